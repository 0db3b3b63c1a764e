"""Pasted or uploaded rows with what was read in their labels: one table to confirm, in which open questions come first.

Nothing is saved before it is confirmed. The page carries the rows as they were written; each time they are read anew, so that only what a person
decided travels as decided.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from fastapi import APIRouter, Request
from fastapi.responses import Response

from portal.exchange.checking import ControlCharacters, tidy_text
from portal.exchange.pasted import LONGEST_LABEL, Pasted, PastedRow
from portal.exchange.proposing import LEAD_VOCAL, Confirmed, Proposal, choice_of, kind_choice, propose, sources_of
from portal.exchange.reading import Reading
from portal.exchange.rig_words import WORDS
from portal.plan.coherence import faults as contradictions_in
from portal.plan.kinds import KINDS
from portal.plan.rig import MAX_LABEL, MAX_SOURCES, Rig, Source
from portal.web import links
from portal.web.deps import Db, Here, Now, Sent
from portal.web.forms import Difference, Posted, begin, many_fields
from portal.web.pages import Draft, Fault, FormPage, render
from portal.web.rig_fields import Options
from portal.web.rig_open import OpenRig, ToEdit, keep, new_key, rekeyed, without_dangling
from portal.web.rig_rows import plugged, with_defaults

router = APIRouter()

CHOICES = (*(kind.words for kind in KINDS.values()), LEAD_VOCAL)
MOST_OF_ONE = 8
"""Rows that one label can be made into on this page; more are added in the row editor."""

PART = "\n"
"""Between the cells of a row where the form carries them; a cell has no line ends."""


@dataclass(frozen=True)
class ReadLine:
    """One row as it was written, what was read, and what is asked."""

    number: str
    prefix: str
    label: str
    rest: str
    read: str
    doubts: tuple[str, ...]
    asks_kind: bool
    first_choices: tuple[str, ...]
    rows: Options
    spare: bool
    faults: tuple[Fault, ...]


@dataclass(frozen=True, kw_only=True)
class ReadingPage(FormPage):
    """Every row that was read, those with a question first."""

    template: ClassVar[str] = "rig_reading.html"
    rig_id: str
    rig_name: str
    present: int
    to_settle: tuple[ReadLine, ...]
    settled: tuple[ReadLine, ...]
    choices: tuple[str, ...]
    headings: tuple[str, ...]
    unread: tuple[str, ...]
    from_text: bool
    conflict: tuple[Difference, ...]


def show_reading(request: Request, opened: OpenRig, read: Pasted, pasted: str) -> Response:
    """The table for rows that were just read. ``pasted``: the text as it was typed, empty for a file."""
    proposals = propose(read.rows)
    values = {name: (value,) for proposal in proposals for name, value in _proposed(proposal)}
    values |= {"pasted": (pasted,), "headings": (PART.join(read.headings),), "unread": (PART.join(read.unread),)}
    return _page(request, opened, proposals, Draft(values, version=opened.version))


def _prefix(proposal: Proposal) -> str:
    return f"row{proposal.place + 1}-"


def _proposed(proposal: Proposal) -> Iterator[tuple[str, str]]:
    """The fields of a row before anybody has touched them."""
    row, reading, prefix = proposal.row, proposal.reading, _prefix(proposal)
    yield f"{prefix}number", row.number
    yield f"{prefix}written", row.label
    yield f"{prefix}rest", PART.join(row.rest)
    yield f"{prefix}label", row.label[:MAX_LABEL].strip()
    yield f"{prefix}what", "" if reading.asks_kind else choice_of(reading)
    yield f"{prefix}rows", "" if reading.asks_rows else "half" if proposal.partner is not None else "pair" if reading.pair else str(reading.rows)
    if reading.spare:
        yield f"{prefix}out", "yes"


def _page(
    request: Request, opened: OpenRig, proposals: Sequence[Proposal], form: Draft, conflict: tuple[Difference, ...] = (), status: int = 200
) -> Response:
    lines = [(proposal.settled, _line(proposal, proposals, form)) for proposal in proposals]
    page = ReadingPage(
        title="1 row read: take it over?" if len(lines) == 1 else f"{len(lines)} rows read: take them over?",
        form=form,
        rig_id=opened.id,
        rig_name=opened.stored.name,
        present=len(opened.rig.source),
        to_settle=tuple(line for settled, line in lines if not settled),
        settled=tuple(line for settled, line in lines if settled),
        choices=CHOICES,
        headings=_parts(form.value("headings")),
        unread=_parts(form.value("unread")),
        from_text=bool(form.value("pasted")),
        conflict=conflict,
    )
    return render(request, page, status=status)


def _line(proposal: Proposal, proposals: Sequence[Proposal], form: Draft) -> ReadLine:
    reading, prefix = proposal.reading, _prefix(proposal)
    first = [KINDS[what].words for what in reading.alternatives if what]
    if "Vocal" in first:
        first.insert(first.index("Vocal"), LEAD_VOCAL)
    return ReadLine(
        number=proposal.row.number,
        prefix=prefix,
        label=proposal.row.label,
        rest=", ".join(proposal.row.rest),
        read="; ".join(_read_words(proposal, proposals)),
        doubts=reading.doubts,
        asks_kind=reading.asks_kind,
        first_choices=tuple(first),
        rows=tuple(_rows_options(proposal)),
        spare=reading.spare,
        faults=tuple(fault for fault in form.faults if fault.field.startswith(prefix)),
    )


def _read_words(proposal: Proposal, proposals: Sequence[Proposal]) -> Iterator[str]:
    """What was read besides the kind, in words."""
    reading = proposal.reading
    if reading.spare:
        yield "kept free: left out"
    if reading.position:
        yield {"in": "inside", "out": "outside"}.get(reading.position, reading.position)
    if reading.role == "backing":
        yield "backing"
    if proposal.first is not None:
        yield f"second microphone of {proposals[proposal.first].row.label}"
    if proposal.partner is not None:
        yield f"pair with {proposals[proposal.partner].row.label}"
    yield from _brought_words(reading)


def _brought_words(reading: Reading) -> Iterator[str]:
    """How it is picked up, where it stands, and who brings it."""
    if reading.capture:
        yield WORDS["capture"].get(reading.capture, reading.capture)
    if reading.phantom:
        yield "48 V" if reading.phantom == "yes" else "no 48 V"
    if reading.stand and reading.stand != "none":
        yield f"{reading.stand} stand"
    if reading.owner:
        yield f"the {reading.owner}'s"
    if reading.place:
        yield reading.place
    if reading.optional:
        yield "may stay at home"


def _rows_options(proposal: Proposal) -> Iterator[tuple[str, str]]:
    if proposal.reading.asks_rows:
        yield "", "Choose"
    yield "1", "one row"
    if proposal.reading.side:
        yield "half", "half of a pair"
        return
    yield "pair", "a pair, 2 rows"
    yield from ((str(number), f"{number} rows") for number in range(2, max(MOST_OF_ONE, proposal.reading.rows) + 1))


def _parts(text: str) -> tuple[str, ...]:
    return tuple(part for part in text.split(PART) if part)


@router.post("/rigs/{rig_id}/import/reading")
@many_fields
def take_reading(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Take over the rows as they were confirmed: in place of the rig's rows, or below them."""
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    proposals = propose(_written(sent))
    values = dict(sent.draft().values)
    adding = sent.text("do") == "add"
    if sent.version() != opened.version:
        said = Difference("The rows of the rig", f"{len(opened.rig.source)} in revision {opened.revision.number}", f"{len(proposals)} read")
        return _page(request, opened, proposals, Draft(values, version=opened.version), (said,), 409)
    rows, found = _confirmed(proposals, sent)
    if not rows and not found:
        found = [Fault("rows-read", "Every row is left out, so there is nothing to take over. Take the tick away from at least one.")]
    rig = opened.rig
    if not found:
        rig, found = _with_rows(opened.rig, rows, adding=adding)
    if found:
        return _page(request, opened, proposals, Draft(values, tuple(found), opened.version), status=422)
    keep(db, opened, rig, now)
    return once.done(links.rig_rows(opened.id, opened.revision.number + (rig != opened.rig)))


def _written(sent: Posted) -> list[PastedRow]:
    """The rows as the page carried them."""
    rows: list[PastedRow] = []
    names = frozenset(sent.names())
    for number in range(1, MAX_SOURCES + 1):
        if f"row{number}-written" not in names:
            break
        rest = _parts(sent.text(f"row{number}-rest"))
        rows.append(PastedRow(sent.text(f"row{number}-number"), sent.text(f"row{number}-written")[:LONGEST_LABEL], rest, number))
    return rows


def _confirmed(proposals: Sequence[Proposal], sent: Posted) -> tuple[list[Confirmed], list[Fault]]:
    """The rows that are taken, and what still has to be said about them."""
    rows: list[Confirmed] = []
    found: list[Fault] = []
    for proposal in proposals:
        prefix = _prefix(proposal)
        if sent.text(f"{prefix}out"):
            continue
        named = f'"{proposal.row.label[:MAX_LABEL]}"'
        kind, rows_said, label = kind_choice(sent.text(f"{prefix}what")), sent.text(f"{prefix}rows"), _label(sent.text(f"{prefix}label"))
        if kind is None:
            found.append(Fault(f"{prefix}what", f"Choose what {named} is, or leave the row out."))
        if rows_said not in dict(_rows_options(proposal)) or not rows_said:
            found.append(Fault(f"{prefix}rows", f"Choose how many rows {named} makes, or leave it out."))
        if not 0 < len(label) <= MAX_LABEL:
            found.append(Fault(f"{prefix}label", f"Write a label of 1 to {MAX_LABEL} characters for {named}."))
        what, lead = kind or ("x-other", False)
        many = int(rows_said) if re.fullmatch(r"[0-9]{1,3}", rows_said) else 1
        rows.append(Confirmed(proposal, what, lead, label, many, pair=rows_said == "pair", half=rows_said == "half"))
    return rows, found


def _label(text: str) -> str:
    try:
        return str(tidy_text(text))
    except ControlCharacters:
        return ""


def _with_rows(rig: Rig, rows: Sequence[Confirmed], *, adding: bool) -> tuple[Rig, list[Fault]]:
    """The rig with the rows, and what contradicts itself in it, each at the field of its row."""
    made = sources_of(rows, new_key)
    lonely = [
        Fault(f"{_prefix(rows[at].proposal)}rows", f'"{source.label}" is half of a pair, and no other row is its other half. Choose one row for it.')
        for at, source in made
        if rows[at].half and not source.pair_with
    ]
    if lonely:
        return rig, lonely
    before = rig.source if adding else ()
    sources = tuple(source for _, source in made)
    if not adding:
        sources = _known(sources, rig)
    known = {source.key for source in rig.source}
    taken = [*before, *(source if source.key in known else with_defaults(source) for source in sources)]
    if len(taken) > MAX_SOURCES:
        return rig, [Fault("rows-read", f"A rig holds at most {MAX_SOURCES} rows, and these would make {len(taken)}. Leave some out.")]
    for at, source in enumerate(taken):
        if source.key not in known:
            taken[at] = plugged(source, taken, rig)
    after = without_dangling(replace(rig, source=tuple(taken)), known - {source.key for source in taken})
    return after, [_placed(fault.row, fault.sentence, len(before), made, rows) for fault in contradictions_in(after)]


def _placed(row: int | None, sentence: str, before: int, made: Sequence[tuple[int, Source]], rows: Sequence[Confirmed]) -> Fault:
    """A contradiction at the label of the row that it is about; that of another row at the heading."""
    if row is None or not 0 <= row - before < len(made):
        return Fault("rows-read", sentence)
    return Fault(f"{_prefix(rows[made[row - before][0]].proposal)}label", sentence)


def _known(sources: tuple[Source, ...], rig: Rig) -> tuple[Source, ...]:
    """The rows, those that the rig has already (one label, one position, one kind) as they are there: comments, locks and wiring stay with them."""
    stored, read = _by_name(rig.source), _by_name(sources)
    same = {source.key: stored[name] for name, source in read.items() if name in stored}
    kept = {old.key: old for old in same.values()}
    found = []
    for source in rekeyed(sources, {new: old.key for new, old in same.items()}):
        known = kept.get(source.key, source)
        if source.pair_with:
            known = replace(known, pair_with=source.pair_with, pair_kind=source.pair_kind)
        found.append(replace(known, second_of=source.second_of) if source.second_of else known)
    return tuple(found)


def _by_name(sources: Sequence[Source]) -> dict[tuple[str, str, str], Source]:
    """The rows by label, position and kind; what two rows share names neither."""
    found: dict[tuple[str, str, str], list[Source]] = {}
    for source in sources:
        found.setdefault((source.label.casefold(), source.position, source.what), []).append(source)
    return {name: same[0] for name, same in found.items() if len(same) == 1}
