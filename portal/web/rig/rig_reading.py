"""Pasted or uploaded rows with what was read in their labels: one table to confirm, in which open questions come first.

Nothing is saved before it is confirmed. The page carries the rows as they were written; each time they are read anew,
so that only what a person decided travels as decided.
"""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.exchange.band_list.columns import FIELDS
from portal.exchange.band_list.first_of_two import first_by_the_stage
from portal.exchange.band_list.pasted_rows import LONGEST_LABEL, Pasted, PastedRow
from portal.exchange.band_list.proposing import Proposal, Voice, propose, voices_to_ask
from portal.exchange.band_list.taking_over import Confirmed, sources_of, ways_without_splitter, wired
from portal.exchange.band_list.telling_apart import told_apart
from portal.exchange.checking import ControlCharacters, tidy_text
from portal.exchange.spreadsheets.source_columns import LEAD_VOCAL, VOCAL, kind_choice
from portal.plan.coherence import faults as contradictions_in
from portal.plan.input.kinds import KINDS
from portal.plan.input.line_up import without_dangling
from portal.plan.input.rig import MAX_LABEL, MAX_SOURCES, Rig, Source, Splitter, SplitterOutput
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.forms import Difference, Posted, begin, many_fields
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, Fault, FormPage, render
from portal.web.rig.editing.new_rows import plugged, with_defaults
from portal.web.rig.rig_access import OpenRig, ToEdit, keep, new_key, rekeyed
from portal.web.rig.rig_fields import Options, Values, changed
from portal.web.rig.rig_read_lines import (
    NOBODY,
    PART,
    ColumnLine,
    ReadLine,
    cells_of,
    column_lines,
    column_values,
    lead_options,
    line_of,
    prefix_of,
    proposed,
    rows_options,
    source_read,
    voice_value,
)
from portal.wording.catalogue import gettext as _

router = Screens()

SAID = (
    "player",
    "capture",
    "phantom",
    "stand",
    "note",
    "splitter",
    "way",
    "mixer_input",
    "lead",
    "optional",
    "pair_with",
    "pair_kind",
    "second_of",
)
"""Fields of a row that a list can say."""

UNNAMED = "Splitter"
"""What a splitter is called of which a list names but the ways."""

NOTHING_DECIDED: Mapping[str, Values] = MappingProxyType({})

CHOICES = (*(kind.words for kind in KINDS.values()), LEAD_VOCAL)


@dataclass(frozen=True, kw_only=True)
class ReadingPage(FormPage):
    """Every row that was read, those with a question first."""

    template: ClassVar[str] = "rig/rig_reading.html"
    rig_id: str
    rig_name: str
    present: int
    to_settle: tuple[ReadLine, ...]
    settled: tuple[ReadLine, ...]
    choices: tuple[str, ...]
    voices: Options
    splitters: Options
    columns: tuple[ColumnLine, ...]
    column_fields: Options
    headings: tuple[str, ...]
    aside: tuple[str, ...]
    from_text: bool
    conflict: tuple[Difference, ...]


def show_reading(
    request: Request, opened: OpenRig, read: Pasted, pasted: str, decided: Mapping[str, Values] = NOTHING_DECIDED
) -> Response:
    """The table for rows that were just read. ``pasted``: the text as it was typed, or that of a file; empty where it
    is too long to be changed. ``decided``: what a person chose for a row already, by its label as written.
    """
    proposals = propose(read.rows)
    values: dict[str, tuple[str, ...]] = {
        name: (value,) for proposal in proposals for name, value in proposed(proposal)
    }
    values |= {"pasted": (pasted,), "headings": (PART.join(read.headings),), "aside": (PART.join(read.aside),)}
    values |= {
        **column_values(read.columns),
        "lead": tuple(voice_value(voice) for voice in voices_to_ask(proposals) if voice.likely),
        "splitters": tuple(value for value, _words in _splitter_options(proposals, opened.rig)),
    }
    for proposal in proposals:
        for name, typed in decided.get(proposal.row.label, {}).items():
            values[f"{prefix_of(proposal)}{name}"] = typed
    return _page(request, opened, proposals, Draft(values, version=opened.version))


def decided_rows(sent: Posted) -> dict[str, Values]:
    """What a person chose otherwise than it was proposed, by the label of each row as written; a label that two rows
    have tells nothing.
    """
    proposals = propose(_written(sent))
    times = Counter(proposal.row.label for proposal in proposals)
    found: dict[str, Values] = {}
    for proposal in proposals:
        drawn, prefix = dict(proposed(proposal)), prefix_of(proposal)
        typed = {name: sent.text(prefix + name) for name in ("what", "rows", "label", "out")}
        if times[proposal.row.label] == 1:
            found[proposal.row.label] = {
                name: (text,) for name, text in typed.items() if text != drawn.get(prefix + name, "")
            }
    return found


def _page(
    request: Request,
    opened: OpenRig,
    proposals: Sequence[Proposal],
    form: Draft,
    conflict: tuple[Difference, ...] = (),
    status: int = 200,
) -> Response:
    sources = [source_read(proposal) for proposal in proposals]
    lines = [(proposal.settled, line_of(proposal, proposals, sources, form)) for proposal in proposals]
    page = ReadingPage(
        title=_("1 row read: take it over?")
        if len(lines) == 1
        else _("%(count)s rows read: take them over?", count=len(lines)),
        form=form,
        rig_id=opened.id,
        rig_name=opened.stored.name,
        present=len(opened.rig.source),
        to_settle=tuple(line for settled, line in lines if not settled),
        settled=tuple(line for settled, line in lines if settled),
        choices=CHOICES,
        voices=lead_options(voices_to_ask(proposals)) if form.fault("lead") or not _led(opened.rig) else (),
        splitters=_splitter_options(proposals, opened.rig),
        columns=column_lines(form),
        column_fields=tuple(FIELDS.items()),
        headings=_parts(form.value("headings")),
        aside=_parts(form.value("aside")),
        from_text=bool(form.value("pasted")),
        conflict=conflict,
    )
    return render(request, page, status=status)


def _parts(text: str) -> tuple[str, ...]:
    return tuple(part for part in text.split(PART) if part)


@router.post("/rigs/{rig_id}/import/reading")
@many_fields
def confirm_reading(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Take over the rows as they were confirmed: in place of the rig's rows, or below them."""
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    proposals = propose(_written(sent))
    values = dict(sent.draft().values)
    adding = sent.text("do") == "add"
    if sent.version() != opened.version:
        differs = Difference(
            _("The rows of the rig"),
            _("%(count)s in revision %(number)s", count=len(opened.rig.source), number=opened.revision.number),
            f"{len(proposals)} read",
        )
        return _page(request, opened, proposals, Draft(values, version=opened.version), (differs,), 409)
    rows, found = _confirmed(proposals, sent)
    said = sent.texts("lead")
    known = adding and _led(opened.rig) and not said
    rows, asked = _with_leads(rows, () if known else voices_to_ask(proposals), said)
    found += asked
    if not rows and not found:
        found = [
            Fault(
                "rows-read",
                _("Every row is left out, so there is nothing to take over. Take the tick away from at least one."),
            )
        ]
    rig = opened.rig
    made = _splitters_made([row.proposal for row in rows], opened.rig, sent.texts("splitters"))
    if not found:
        rig, found = _with_rows(replace(rig, splitter=(*rig.splitter, *made)), rows, adding=adding)
    if found:
        return _page(request, opened, proposals, Draft(values, tuple(found), opened.version), status=422)
    keep(db, opened, rig, now)
    number = opened.revision.number + (rig != opened.rig)
    return once.done(path_to("show_rig", rig_id=opened.id, saved=number, splitters=len(made)))


def _splitter_options(proposals: Sequence[Proposal], rig: Rig) -> Options:
    """Each splitter that the list names ways of and the rig does not have."""
    return tuple(
        (
            name or UNNAMED,
            _(
                "Add %(most)s: %(count)s written, the highest %(most2)s",
                most=_splitter_words(name, most),
                count=_ways(count),
                most2=most,
            ),
        )
        for name, (count, most) in ways_without_splitter(proposals, rig).items()
    )


def _splitter_words(name: str, ways: int) -> str:
    return f"{name or 'a splitter'}, {_ways(ways)}"


def _ways(count: int) -> str:
    return _("1 way") if count == 1 else f"{count} ways"


def _splitters_made(proposals: Sequence[Proposal], rig: Rig, wanted: Sequence[str]) -> tuple[Splitter, ...]:
    """The splitters to add, each with the ways that the rows name and one output to the house."""
    return tuple(
        Splitter(key=new_key(), name=name or UNNAMED, ways=most, outputs=(SplitterOutput("A"),))
        for name, (_name, most) in ways_without_splitter(proposals, rig).items()
        if (name or UNNAMED) in wanted
    )


def _written(sent: Posted) -> list[PastedRow]:
    """The rows as the page carried them."""
    rows: list[PastedRow] = []
    names = frozenset(sent.names())
    for number in range(1, MAX_SOURCES + 1):
        if f"row{number}-written" not in names:
            break
        rest = cells_of(sent.text(f"row{number}-rest"))
        rows.append(
            PastedRow(sent.text(f"row{number}-number"), sent.text(f"row{number}-written")[:LONGEST_LABEL], rest, number)
        )
    return rows


def _confirmed(proposals: Sequence[Proposal], sent: Posted) -> tuple[list[Confirmed], list[Fault]]:
    """The rows that are taken, and what still has to be said about them."""
    rows: list[Confirmed] = []
    found: list[Fault] = []
    for proposal in proposals:
        prefix = prefix_of(proposal)
        if sent.text(f"{prefix}out"):
            continue
        named = f'"{proposal.row.label[:MAX_LABEL]}"'
        kind, rows_chosen, label = (
            kind_choice(sent.text(f"{prefix}what")),
            sent.text(f"{prefix}rows"),
            _label(sent.text(f"{prefix}label")),
        )
        if kind is None and rows_chosen != "apart":
            found.append(Fault(f"{prefix}what", _("Choose what %(named)s is, or leave the row out.", named=named)))
        if rows_chosen not in dict(rows_options(proposal)) or not rows_chosen:
            found.append(
                Fault(f"{prefix}rows", _("Choose how many rows %(named)s makes, or leave it out.", named=named))
            )
        if not 0 < len(label) <= MAX_LABEL:
            found.append(
                Fault(
                    f"{prefix}label",
                    _(
                        "Write a label of 1 to %(max_label)s characters for %(named)s.",
                        max_label=MAX_LABEL,
                        named=named,
                    ),
                )
            )
        what, lead = kind or ("x-other", False)
        many = int(rows_chosen) if re.fullmatch(r"[0-9]{1,3}", rows_chosen) else 1
        leads = frozenset(range(1, MAX_SOURCES + 1)) if lead else frozenset()
        said = {name: rows_chosen == name for name in ("pair", "half", "parts", "apart")}
        rows.append(Confirmed(proposal, what, label, many, leads=leads, **said))
    return rows, found


def _with_leads(
    rows: Sequence[Confirmed], voices: Sequence[Voice], said: tuple[str, ...]
) -> tuple[list[Confirmed], list[Fault]]:
    """The rows with those that sing lead, and a fault where that was asked and not said. A row that is called the lead
    vocal has said it.
    """
    taken = {row.proposal.place for row in rows if row.what == VOCAL}
    asked = [voice for voice in voices if voice.proposal.place in taken]
    leading = [voice for voice in asked if voice_value(voice) in said]
    if not asked or any(row.leads for row in rows):
        return list(rows), []
    if bool(leading) == (NOBODY in said):
        return list(rows), [Fault("lead", _("Say who sings lead, or that nobody does."))]
    led = {place: frozenset(voice.number for voice in leading if voice.proposal.place == place) for place in taken}
    return [replace(row, leads=led.get(row.proposal.place, row.leads)) for row in rows], []


def _led(rig: Rig) -> bool:
    """True where a row of the rig sings lead already."""
    return any(source.lead for source in rig.source)


def _label(text: str) -> str:
    try:
        return str(tidy_text(text))
    except ControlCharacters:
        return ""


def _with_rows(rig: Rig, rows: Sequence[Confirmed], *, adding: bool) -> tuple[Rig, list[Fault]]:
    """The rig with the rows, and what contradicts itself in it, each at the field of its row."""
    made = sources_of(rows, new_key)
    lonely = [
        Fault(
            f"{prefix_of(rows[at].proposal)}rows",
            _(
                '"%(label)s" is half of a pair, and no other row is its other half. Choose one row for it.',
                label=source.label,
            ),
        )
        for at, source in made
        if rows[at].half and not source.pair_with
    ]
    if lonely:
        return rig, lonely
    before = rig.source if adding else ()
    sources = told_apart([wired(source, rig) for _at, source in made], before)
    if not adding:
        sources = _known(sources, rig)
    known = {source.key for source in rig.source}
    taken = [*before, *(source if source.key in known else with_defaults(source) for source in sources)]
    taken = first_by_the_stage(taken, {source.key for source in sources} - known)
    if len(taken) > MAX_SOURCES:
        return rig, [
            Fault(
                "rows-read",
                _(
                    "A rig holds at most %(max_sources)s rows, and these would make %(count)s. Leave some out.",
                    max_sources=MAX_SOURCES,
                    count=len(taken),
                ),
            )
        ]
    for at, source in enumerate(taken):
        if source.key not in known:
            taken[at] = plugged(source, taken, rig)
    after = without_dangling(replace(rig, source=tuple(taken)), known - {source.key for source in taken})
    return after, [_placed(fault.row, fault.sentence, len(before), made, rows) for fault in contradictions_in(after)]


def _placed(
    row: int | None, sentence: str, before: int, made: Sequence[tuple[int, Source]], rows: Sequence[Confirmed]
) -> Fault:
    """A contradiction at the label of the row that it is about; that of another row at the heading."""
    if row is None or not 0 <= row - before < len(made):
        return Fault("rows-read", sentence)
    return Fault(f"{prefix_of(rows[made[row - before][0]].proposal)}label", sentence)


def _known(sources: tuple[Source, ...], rig: Rig) -> tuple[Source, ...]:
    """The rows, those that the rig has already (one label, one position, one kind) as they are there, save for what the
    list says of them.

    So comments, locks and wiring stay with them.
    """
    stored, read = _by_name(rig.source), _by_name(sources)
    same = {source.key: stored[name] for name, source in read.items() if name in stored}
    kept = {old.key: old for old in same.values()}
    found = []
    for source in rekeyed(sources, {new: old.key for new, old in same.items()}):
        said = {name: value for name in SAID if (value := getattr(source, name))}
        found.append(changed(kept.get(source.key, source), said))
    return tuple(found)


def _by_name(sources: Sequence[Source]) -> dict[tuple[str, str, str], Source]:
    """The rows by label, position and kind; what two rows share names neither."""
    found: dict[tuple[str, str, str], list[Source]] = {}
    for source in sources:
        found.setdefault((source.label.casefold(), source.position, source.what), []).append(source)
    return {name: same[0] for name, same in found.items() if len(same) == 1}
