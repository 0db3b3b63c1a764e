"""Rows from a spreadsheet, read and shown before they are taken over; and a whole rig from a file."""

import csv
import io
import json
from dataclasses import dataclass, replace
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.exchange.band_list.columns import FIELDS
from portal.exchange.band_list.pasted import decoded, read_cells, read_text
from portal.exchange.band_list.pasted_rows import Pasted
from portal.exchange.band_list.taking_over import with_splitter
from portal.exchange.band_list.telling_apart import told_apart
from portal.exchange.checking import from_document, to_document
from portal.exchange.faults import Fault as FileFault
from portal.exchange.faults import NotReadable
from portal.exchange.files import MOST_BYTES
from portal.exchange.spreadsheets.csv_rows import (
    RowFault,
    RowsNotReadable,
    has_own_columns,
    names_own_columns,
    read_sources,
)
from portal.exchange.spreadsheets.source_columns import COLUMNS, Column
from portal.exchange.spreadsheets.workbook import is_workbook, read_workbook
from portal.plan.coherence import faults as contradictions_in
from portal.plan.input.line_up import without_dangling
from portal.plan.input.rig import SCHEMA, Rig, Source
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.errors import PortalError
from portal.web.frame.forms import Difference, Posted, begin, many_fields
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, Fault, FormPage, Page, render
from portal.web.rig.rig_access import OpenRig, ToEdit, keep, new_key, rekeyed
from portal.web.rig.rig_reading import decided_rows, show_reading
from portal.web.rig.rig_view import SourceLine, source_lines
from portal.web.rig.rigs import read_whole
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up

router = Screens()

LONGEST_TO_CHANGE = 100_000
"""Signs of a file that can be changed as text on the page; a list of inputs has a twentieth of that."""


@dataclass(frozen=True, kw_only=True)
class ImportPage(Page):
    """Where rows are pasted or a file is chosen; and a whole rig from a file."""

    template: ClassVar[str] = "rig/rig_import.html"
    rig_id: str
    rig_name: str
    rows: Draft
    whole: Draft
    headings: tuple[str, ...]
    conflict: tuple[Difference, ...]

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What is wrong in the form that was sent."""
        return self.rows.faults + self.whole.faults


@dataclass(frozen=True, kw_only=True)
class ConfirmPage(FormPage):
    """The rows that were read, before they are taken over."""

    template: ClassVar[str] = "rig/rig_import_confirm.html"
    rig_id: str
    rig_name: str
    sources: tuple[SourceLine, ...]
    present: int
    same: int
    conflict: tuple[Difference, ...]


@router.get("/rigs/{rig_id}/import")
def show_import(request: Request, opened: ToEdit) -> Response:
    """The paste box and the file choosers."""
    return _import_page(request, opened)


def _heading_words(one: Column) -> str:
    """A heading as a file has it, and what stands below it in the reader's language."""
    said = look_up(one.key.doc)
    return f"{one.heading}: {said[:1].lower()}{said[1:]}"


def _import_page(
    request: Request,
    opened: OpenRig,
    *,
    rows: Draft | None = None,
    whole: Draft | None = None,
    conflict: tuple[Difference, ...] = (),
    status: int = 200,
) -> Response:
    page = ImportPage(
        title=_("Import rows"),
        rig_id=opened.id,
        rig_name=opened.stored.name,
        rows=rows or Draft(version=opened.version),
        whole=whole or Draft(version=opened.version),
        headings=tuple(_heading_words(one) for one in COLUMNS),
        conflict=conflict,
    )
    return render(request, page, status=status)


@router.post("/rigs/{rig_id}/import")
def read_import(request: Request, opened: ToEdit, sent: Sent) -> Response:
    """Read the rows and show them. Nothing is saved yet, and with any fault nothing can be.

    A table of the portal's own, with its headings, says all by itself; the labels of any other text or sheet are read
    and confirmed.
    """
    upload, pasted = sent.file("file"), sent.raw("pasted")
    content = upload.file.read(MOST_BYTES + 1) if upload else pasted.strip("\r\n").encode()
    faults: tuple[str, ...] = ()
    try:
        if not content.strip():
            faults = (_("Paste rows or the text of a list, or choose a file."),)
        elif (table := _table_of_ours(content)) is not None:
            sources = told_apart([with_splitter(source, opened.rig) for source in read_sources(table)])
            if sources:
                sources = _same_keys(sources, opened.rig)
                return _confirm_page(
                    request, opened, sources, Draft({"rows": (_written(sources),)}, version=opened.version)
                )
            faults = (_("There is no row below the headings. Nothing was saved. Add a row, then read it again."),)
        else:
            read, text = _read(content)
            if read.rows:
                return show_reading(
                    request, opened, read, pasted if not upload else text if len(text) <= LONGEST_TO_CHANGE else ""
                )
            faults = (
                (
                    _(
                        "No row was found. Nothing was saved. Put each input on a line of its own, such as 1. Kick,"
                        " then read it again."
                    )
                ),
            )
    except (RowsNotReadable, NotReadable) as error:
        faults = tuple(_sentence(fault) for fault in error.faults)
    draft = Draft(
        {"pasted": (pasted,)},
        tuple(Fault("file" if upload else "pasted", sentence) for sentence in faults),
        opened.version,
    )
    return _import_page(request, opened, rows=draft, status=422)


def _read(content: bytes) -> tuple[Pasted, str]:
    """What is found in a list of any kind, and the list as text that can be changed. Raises ``NotReadable``."""
    if not is_workbook(content):
        text = decoded(content)
        return read_text(text), text
    rows = read_workbook(content)
    return read_cells(rows), "\n".join("\t".join(" ".join(cell.split()) for cell in row) for row in rows)


def _table_of_ours(content: bytes) -> bytes | None:
    """The content as CSV where its first row holds headings of the portal's own export, the label and the kind among
    them; else ``None``.
    """
    if is_workbook(content):
        rows = read_workbook(content)
        if not rows or not names_own_columns(rows[0]):
            return None
        table = io.StringIO()
        csv.writer(table).writerows(rows)
        return table.getvalue().encode()
    return content if has_own_columns(content) else None


@router.post("/rigs/{rig_id}/import/text")
def change_import_text(request: Request, opened: ToEdit, sent: Sent) -> Response:
    """Back from the rows that were read to the text as it was pasted."""
    return _import_page(request, opened, rows=Draft({"pasted": (sent.raw("pasted"),)}, version=opened.version))


@router.post("/rigs/{rig_id}/import/columns")
@many_fields
def read_by_columns(request: Request, opened: ToEdit, sent: Sent) -> Response:
    """Read the rows again, with columns that fill other fields; what was chosen for single rows stays."""
    pasted = sent.raw("pasted")
    numbers = range(1, len(sent.raw("columns").splitlines()) + 1)
    fields = [sent.text(f"column{number}") for number in numbers]
    fields = [field if field in FIELDS else "" for field in fields]
    again = Draft({"pasted": (pasted,)}, version=opened.version)
    if "label" not in fields:
        fault = Fault("pasted", _("No column was chosen for the label, so nothing was read. Read the rows again."))
        return _import_page(request, opened, rows=replace(again, faults=(fault,)), status=422)
    try:
        read = read_text(pasted, fields)
    except NotReadable as error:
        faults = tuple(Fault("pasted", _sentence(fault)) for fault in error.faults)
        return _import_page(request, opened, rows=replace(again, faults=faults), status=422)
    return show_reading(request, opened, read, pasted, decided_rows(sent))


def _sentence(fault: RowFault | FileFault) -> str:
    words = fault.say()
    return words[:1].upper() + words[1:]


def _same_keys(sources: tuple[Source, ...], rig: Rig) -> tuple[Source, ...]:
    """Rows that are in the rig already, by label and player, under the keys that they have there: comments and locks
    stay with them.
    """
    stored = _by_name(rig.source)
    read = _by_name(sources)
    known = {source.key for source in rig.source}
    keys = {source.key: stored[name].key for name, source in read.items() if source.key not in known and name in stored}
    if len(set(keys.values())) < len(keys) or {source.key for source in sources} & set(keys.values()):
        return sources
    return rekeyed(sources, keys)


def _by_name(sources: tuple[Source, ...]) -> dict[tuple[str, str, str], Source]:
    """The rows by label, player and position; what two rows share names neither."""
    found: dict[tuple[str, str, str], list[Source]] = {}
    for source in sources:
        found.setdefault((source.label.casefold(), source.player.casefold(), source.position), []).append(source)
    return {name: same[0] for name, same in found.items() if len(same) == 1}


def _written(sources: tuple[Source, ...]) -> str:
    return json.dumps([to_document(source) for source in sources], ensure_ascii=False)


def _confirm_page(
    request: Request,
    opened: OpenRig,
    sources: tuple[Source, ...],
    form: Draft,
    conflict: tuple[Difference, ...] = (),
    status: int = 200,
) -> Response:
    keys = {source.key for source in opened.rig.source}
    page = ConfirmPage(
        title=_("%(sources)s read: take them over?", sources=_rows(len(sources))),
        form=form,
        rig_id=opened.id,
        rig_name=opened.stored.name,
        sources=source_lines(replace(opened.rig, source=sources)),
        present=len(opened.rig.source),
        same=sum(source.key in keys for source in sources),
        conflict=conflict,
    )
    return render(request, page, status=status)


def _rows(count: int) -> str:
    return _("1 row") if count == 1 else f"{count} rows"


@router.post("/rigs/{rig_id}/import/confirm")
def confirm_import(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Take over the rows that were shown: in place of the rig's rows, or below them."""
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    sources = _shown(sent)
    values = {"rows": (sent.raw("rows"),)}
    if sent.version() != opened.version:
        difference = Difference(
            _("The rows of the rig"),
            _("%(source)s in revision %(number)s", source=_rows(len(opened.rig.source)), number=opened.revision.number),
            f"{_rows(len(sources))} read",
        )
        return _confirm_page(request, opened, sources, Draft(values, version=opened.version), (difference,), 409)
    before = opened.rig
    if sent.text("do") == "add":
        rig = replace(before, source=(*before.source, *told_apart(_fresh(sources, before), before.source)))
    else:
        rig = without_dangling(
            replace(before, source=sources),
            {source.key for source in before.source} - {source.key for source in sources},
        )
    # Rows come in as one: whatever contradicts itself afterwards is told before anything is saved.
    wrong = tuple(Fault("rows-read", fault.sentence) for fault in contradictions_in(rig))
    if wrong:
        return _confirm_page(request, opened, sources, Draft(values, wrong, opened.version), status=422)
    keep(db, opened, rig, now)
    return once.done(path_to("show_rig", rig_id=opened.id, saved=opened.revision.number + (rig != before)))


def _shown(sent: Posted) -> tuple[Source, ...]:
    """The rows that the page of confirmation carried along, checked again. Raises ``PortalError`` 422."""
    try:
        rig = from_document(Rig, {"schema": SCHEMA, "source": json.loads(sent.raw("rows"))})
    except (NotReadable, ValueError, RecursionError):
        raise PortalError(422, _("The rows did not arrive whole"), _("Nothing was saved. Import them again.")) from None
    return rig.source


def _fresh(sources: tuple[Source, ...], rig: Rig) -> tuple[Source, ...]:
    """The rows under keys that no row of the rig has."""
    taken = {source.key for source in rig.source}
    keys = {source.key: new_key() for source in sources if source.key in taken}
    return rekeyed(sources, keys)


@router.post("/rigs/{rig_id}/import/whole")
def replace_rig(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """A whole rig from a file as the newest revision. The one before it stays readable."""
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    rig, sentences = read_whole(sent, "file_whole")
    if sent.version() != opened.version:
        difference = Difference(_("The rig"), f"revision {opened.revision.number}", _("the file; choose it again"))
        return _import_page(request, opened, conflict=(difference,), status=409)
    if rig is None:
        draft = Draft({}, tuple(Fault("file_whole", sentence) for sentence in sentences), opened.version)
        return _import_page(request, opened, whole=draft, status=422)
    keep(db, opened, rig, now)
    return once.done(path_to("show_rig", rig_id=opened.id))
