"""The band's rigs: the list, a new one, a rig as it stands and as it stood, and its files."""

import json
import re
from dataclasses import dataclass, replace
from typing import ClassVar
from urllib.parse import quote

from fastapi import Request
from fastapi.responses import Response

from portal.exchange.example import example_rig
from portal.exchange.faults import NotReadable
from portal.exchange.files import MOST_BYTES, read_document, rig_to_document
from portal.exchange.sound_rig import document_to_sound_rig
from portal.exchange.spreadsheets.csv_rows import write_sources
from portal.plan.coherence import faults as contradictions_in
from portal.plan.input.rig import MAX_TEXT, Rig
from portal.store import gigs, rigs
from portal.store.database.session import Session
from portal.web.frame.deps import Db, Here, Now, Sent, SignedIn
from portal.web.frame.forms import Check, Posted, begin
from portal.web.frame.links import Screens, band_base, path_to
from portal.web.frame.pages import Draft, Fault, Page, render
from portal.web.rig.rig_access import Editor, OpenRig, ToRead, may_edit, new_key, rekeyed
from portal.web.rig.rig_history import changes_since, revision_of, saved_words
from portal.web.rig.rig_view import Part, SourceLine, parts_of, source_lines
from portal.web.rig.wiring_picture import Wiring, wiring_of
from portal.wording.catalogue import gettext
from portal.wording.times import say_date

router = Screens()

EXAMPLE_ROWS = 3


@dataclass(frozen=True)
class RigLine:
    """One rig of the list."""

    name: str
    href: str
    rows: int
    revision: int
    saved: str


@dataclass(frozen=True, kw_only=True)
class RigsPage(Page):
    """The rigs of a band."""

    template: ClassVar[str] = "rig/rigs.html"
    rigs: tuple[RigLine, ...]
    may_edit: bool


@dataclass(frozen=True, kw_only=True)
class NewRigPage(Page):
    """The ways to begin a rig, each a form."""

    template: ClassVar[str] = "rig/rig_new.html"
    nothing: Draft
    example: Draft
    file: Draft

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What is wrong in the form that was sent."""
        return self.nothing.faults + self.example.faults + self.file.faults


@dataclass(frozen=True)
class Use:
    """A gig that this rig plays, and the revision that it is planned with."""

    words: str
    href: str
    number: int


@dataclass(frozen=True, kw_only=True)
class RigPage(Page):
    """A rig at one of its revisions."""

    template: ClassVar[str] = "rig/rig.html"
    rig_id: str
    number: int
    newest: int
    saved: str
    may_edit: bool
    sources: tuple[SourceLine, ...]
    parts: tuple[Part, ...]
    contradictions: tuple[str, ...]
    form: Draft
    compared: int
    changes: tuple[str, ...]
    back: int
    wiring: Wiring
    uses: tuple[Use, ...]


@router.get("/rigs")
def show_rigs(request: Request, user: SignedIn, db: Db) -> Response:
    """The rigs of the band."""
    found = rigs.newest_of_band(db, user.band_id)
    lines = tuple(
        RigLine(stored.name, path_to("show_rig", rig_id=stored.id), len(one.read().source), one.number, saved)
        for (stored, one), saved in zip(found, saved_words(db, *(one for _, one in found)), strict=True)
    )
    return render(request, RigsPage(title=gettext("Rigs"), rigs=lines, may_edit=may_edit(user)))


@router.get("/rigs/new")
def show_new_rig(request: Request, _user: Editor) -> Response:
    """The ways to begin."""
    return _begin_page(request)


def _begin_page(
    request: Request,
    status: int = 200,
    *,
    nothing: Draft | None = None,
    example: Draft | None = None,
    file: Draft | None = None,
) -> Response:
    page = NewRigPage(
        title=gettext("New rig"), nothing=nothing or Draft(), example=example or Draft(), file=file or Draft()
    )
    return render(request, page, status=status)


@router.post("/rigs/new/nothing")
def from_nothing(request: Request, user: Editor, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """An empty rig by name."""
    check = Check(sent)
    name = check.text("name", gettext("Enter the rig's name, for example Club rig."), longest=MAX_TEXT)
    if not check.well:
        return _begin_page(request, 422, nothing=check.draft())
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    stored = rigs.add(
        db, band_id=user.band_id, name=name, rig=Rig(name=user.band_name), author_id=user.user_id, now=now
    )
    return once.done(path_to("show_rig", rig_id=stored.id))


@router.post("/rigs/new/example")
def from_example(request: Request, user: Editor, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """A rig that begins as the invented example, under keys of its own."""
    check = Check(sent)
    name = check.text("example_name", gettext("Enter the rig's name, for example Club rig."), longest=MAX_TEXT)
    if not check.well:
        return _begin_page(request, 422, example=check.draft())
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    rig = with_new_keys(replace(example_rig(), name=user.band_name))
    stored = rigs.add(db, band_id=user.band_id, name=name, rig=rig, author_id=user.user_id, now=now)
    return once.done(path_to("show_rig", rig_id=stored.id))


@router.post("/rigs/new/file")
def from_file(request: Request, user: Editor, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """A rig from a file that was written by hand or saved from here."""
    rig, sentences = read_whole(sent, "file")
    if rig is None:
        return _begin_page(request, 422, file=Draft({}, tuple(Fault("file", sentence) for sentence in sentences)))
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    upload = sent.file("file")
    name = rig.name or (re.sub(r"\.\w+$", "", upload.filename or "") if upload else "") or gettext("New rig")
    stored = rigs.add(db, band_id=user.band_id, name=name[:MAX_TEXT], rig=rig, author_id=user.user_id, now=now)
    return once.done(path_to("show_rig", rig_id=stored.id))


def read_whole(sent: Posted, field: str) -> tuple[Rig | None, tuple[str, ...]]:
    """The rig in a form's file; or nothing, and everything that is wrong with the file: each key by itself, then what
    contradicts itself.
    """
    upload = sent.file(field)
    if upload is None:
        return None, (gettext("Choose a file: a rig that was saved from here, or one written as TOML or JSON."),)
    suffix = "." + (upload.filename or "").rpartition(".")[2]
    try:
        return document_to_sound_rig(read_document(upload.file.read(MOST_BYTES + 1), suffix)), ()
    except NotReadable as error:
        return None, tuple(fault.said or _sentence(fault.say()) for fault in error.faults)


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:] if words.startswith("expected") else words


def with_new_keys(rig: Rig) -> Rig:
    """The rig with a random key for each row; rows, and configurations, name each other by the new ones."""
    keys = {source.key: new_key() for source in rig.source}
    configurations = {
        name: replace(one, off=tuple(keys.get(key, key) for key in one.off)) for name, one in rig.configurations.items()
    }
    return replace(rig, source=rekeyed(rig.source, keys), configurations=configurations)


@router.get("/rigs/{rig_id}/revisions/{number}")
def show_rig_revision(request: Request, opened: ToRead, number: int, db: Db) -> Response:
    """The rig as it stood at one revision."""
    return reading_page(request, opened, revision_of(opened, number, db), db)


def reading_page(request: Request, opened: OpenRig, revision: rigs.RigRevision, db: Session) -> Response:
    """One revision to read: its rows as cables, its parts in words, what changed since."""
    rig = revision.read()
    newest = revision.number == opened.revision.number
    # The newest is compared with the one before it, an earlier one with the newest.
    compared = revision.number - 1 if newest else revision.number
    changes = changes_since(opened, compared, db) if compared else ()
    page = RigPage(
        title=opened.stored.name,
        rig_id=opened.id,
        number=revision.number,
        newest=opened.revision.number,
        saved=saved_words(db, revision)[0],
        may_edit=may_edit(opened.user),
        sources=source_lines(rig),
        parts=parts_of(rig),
        contradictions=tuple(fault.sentence for fault in contradictions_in(rig)),
        form=Draft(version=opened.version),
        compared=compared,
        changes=changes,
        back=compared if changes and may_edit(opened.user) else 0,
        wiring=wiring_of(opened.stored.name, rig),
        uses=uses_of(db, opened) if newest else (),
    )
    return render(request, page)


def uses_of(db: Session, opened: OpenRig) -> tuple[Use, ...]:
    """The gigs that this rig plays, the last one first; one page of them."""
    return tuple(
        Use(f"{gig.name}, {say_date(gig.on)}, {gig.place}", band_base(gig.id), number)
        for gig, number in gigs.of_rig(db, opened.id)
    )


@router.get("/rigs/{rig_id}/revisions/{number}/rows.csv")
def rows_file(opened: ToRead, number: int, db: Db) -> Response:
    """The rows as CSV."""
    rig = revision_of(opened, number, db).read()
    return _download(
        write_sources(rig.source),
        "text/csv; charset=utf-8",
        f"{opened.stored.name} revision {number} rows.csv",
    )


@router.get("/rigs/{rig_id}/revisions/{number}/rig.json")
def rig_file(opened: ToRead, number: int, db: Db) -> Response:
    """The whole rig as JSON."""
    document = rig_to_document(revision_of(opened, number, db).read())
    content = json.dumps(document, ensure_ascii=False, indent=2).encode() + b"\n"
    return _download(
        content,
        "application/json",
        f"{opened.stored.name} revision {number}.json",
    )


def _download(content: bytes, media_type: str, name: str) -> Response:
    """A file to keep. Its name comes twice, plain and in full (RFC 6266, section 4.3)."""
    plain = re.sub(r"[^A-Za-z0-9.]+", "-", name).strip("-")
    disposition = f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name, safe='')}"
    return Response(content, media_type=media_type, headers={"Content-Disposition": disposition})
