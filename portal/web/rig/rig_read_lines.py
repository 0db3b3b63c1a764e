"""The rows that were read in a pasted list, as the page that asks for confirmation shows them."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from portal.exchange.band_list.columns import FIELDS
from portal.exchange.band_list.first_of_two import by_the_stage, picked_up
from portal.exchange.band_list.label_reading import Reading
from portal.exchange.band_list.pasted_rows import Cell, Column, PastedRow
from portal.exchange.band_list.proposing import Proposal, Voice, choice_of
from portal.exchange.band_list.taking_over import Confirmed, plain_source
from portal.exchange.rig_words import WORDS
from portal.exchange.spreadsheets.source_columns import LEAD_VOCAL, VOCAL
from portal.plan.input.kinds import KINDS
from portal.plan.input.rig import Source
from portal.web.frame.pages import Draft, Fault
from portal.web.rig.rig_fields import Options
from portal.wording.catalogue import Words, gettext, mark

MOST_OF_ONE = 8
"""Rows that one label can be made into on this page; more are added in the row editor."""

PART, BETWEEN = "\n", "\t"
"""Between the cells of a row where the form carries them, and between the field of a cell and its text; no cell has
either.
"""

NOBODY = "nobody"

WHY = Words(
    {
        "loud": mark("beside a kit or amplifiers the DI is first"),
        "quiet": mark("on a quiet stage the microphone is first"),
        "upright": mark("of an upright bass the DI is first"),
    }
)
"""Why the stage makes one of two pick-ups the first."""


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


@dataclass(frozen=True)
class ColumnLine:
    """One column of the list: the field of the form that says what it fills, and how it is called."""

    name: str
    label: str
    example: str


def column_values(columns: Sequence[Column]) -> dict[str, tuple[str, ...]]:
    """The fields of the form for the columns: what each fills, and how they are called."""
    values: dict[str, tuple[str, ...]] = {
        f"column{number}": (column.field,) for number, column in enumerate(columns, start=1)
    }
    return values | {"columns": (PART.join(f"{column.heading}{BETWEEN}{column.example}" for column in columns),)}


def column_lines(form: Draft) -> tuple[ColumnLine, ...]:
    """The columns as the form carried them; one without a cell cannot be told anything."""
    lines = []
    for number, text in enumerate(filter(None, form.value("columns").replace("\r", "").split(PART)), start=1):
        heading, _, example = text.partition(BETWEEN)
        if heading or example:
            lines.append(ColumnLine(f"column{number}", heading or gettext("Column %(number)s", number=number), example))
    return tuple(lines)


def prefix_of(proposal: Proposal) -> str:
    """What the names of the row's fields begin with."""
    return f"row{proposal.place + 1}-"


def proposed(proposal: Proposal) -> Iterator[tuple[str, str]]:
    """The fields of a row before anybody has touched them."""
    row, reading, prefix = proposal.row, proposal.reading, prefix_of(proposal)
    yield f"{prefix}number", row.number
    yield f"{prefix}written", row.label
    yield f"{prefix}rest", PART.join(f"{cell.field}{BETWEEN}{cell.text}" for cell in row.rest)
    yield f"{prefix}label", proposal.label
    yield f"{prefix}what", "" if reading.asks_kind else choice_of(reading)
    yield f"{prefix}rows", "" if reading.asks_rows else _rows(proposal)
    if reading.spare:
        yield f"{prefix}out", "yes"


def _rows(proposal: Proposal) -> str:
    reading = proposal.reading
    return (
        "half"
        if proposal.partner is not None
        else "parts"
        if reading.parts
        else "pair"
        if reading.pair
        else str(reading.rows)
    )


def cells_of(text: str) -> tuple[Cell, ...]:
    """The cells beside a label as the form carried them."""
    parts = (part.partition(BETWEEN) for part in text.split(PART))
    return tuple(Cell(field if field in FIELDS else "", said.strip()) for field, _, said in parts if said.strip())


def line_of(proposal: Proposal, proposals: Sequence[Proposal], sources: Sequence[Source], form: Draft) -> ReadLine:
    """One row of the page; ``sources`` are those of all proposals (``source_read``)."""
    reading, prefix = proposal.reading, prefix_of(proposal)
    first = []
    for what in filter(None, reading.alternatives):
        first += [LEAD_VOCAL] * (what == VOCAL and LEAD_VOCAL not in first) + [KINDS[what].words]
    return ReadLine(
        number=proposal.row.number,
        prefix=prefix,
        label=proposal.row.label,
        rest=", ".join(cell.text for cell in proposal.row.rest),
        read="; ".join(_read_words(proposal, proposals, sources)),
        doubts=reading.doubts,
        asks_kind=reading.asks_kind,
        first_choices=tuple(first),
        rows=tuple(rows_options(proposal)),
        spare=reading.spare,
        faults=tuple(fault for fault in form.faults if fault.field.startswith(prefix)),
    )


def _read_words(proposal: Proposal, proposals: Sequence[Proposal], sources: Sequence[Source]) -> Iterator[str]:
    """What was read besides the kind, in words."""
    reading = proposal.reading
    if reading.spare:
        yield gettext("kept free: left out")
    if reading.position:
        yield {"in": "inside", "out": "outside"}.get(reading.position, reading.position)
    if reading.role == "backing":
        yield "backing"
    if proposal.first is not None:
        yield _second_words(proposal, proposals[proposal.first], sources)
    if proposal.partner is not None:
        yield gettext("pair with %(label)s", label=proposals[proposal.partner].row.label)
    if player := proposal.row.of("player") or reading.player:
        yield f"player {player}"
    yield from _wired_words(proposal.row)
    yield from _brought_words(reading)


def _second_words(proposal: Proposal, first: Proposal, sources: Sequence[Source]) -> str:
    """Which of two pick-ups of one sound is the first, and why where the stage says it, not the order of the rows."""
    written = sources[first.place]
    said = by_the_stage(written, sources[proposal.place], sources)
    if said is None:
        return gettext("second microphone of %(label)s", label=first.row.label)
    wanted, why = said
    if picked_up(written) == wanted:
        return gettext("second of %(label)s: %(why)s", label=first.row.label, why=WHY[why])
    return gettext("first, before %(label)s: %(why)s", label=first.row.label, why=WHY[why])


def source_read(proposal: Proposal) -> Source:
    """The source that a row is read as."""
    return plain_source(Confirmed(proposal, proposal.reading.what, proposal.label))


def _wired_words(row: PastedRow) -> Iterator[str]:
    """Where the columns of the list plug it."""
    for field in ("splitter", "way", "mixer_input"):
        if row.of(field):
            yield f"{FIELDS[field]} {row.of(field)}"


def _brought_words(reading: Reading) -> Iterator[str]:
    """How it is picked up, where it stands, and who brings it."""
    if reading.capture:
        yield WORDS["capture"].get(reading.capture, reading.capture)
    if reading.phantom:
        yield "48 V" if reading.phantom == "yes" else gettext("no 48 V")
    if reading.stand and reading.stand != "none":
        yield f"{reading.stand} stand"
    if reading.owner:
        yield gettext("the %(owner)s's", owner=reading.owner)
    if reading.place:
        yield reading.place
    if reading.optional:
        yield gettext("may stay at home")


def rows_options(proposal: Proposal) -> Iterator[tuple[str, str]]:
    """The rows that the label can make."""
    reading = proposal.reading
    if reading.asks_rows:
        yield "", gettext("Choose")
    yield "1", gettext("one row")
    if reading.side:
        yield "half", gettext("half of a pair")
        return
    if reading.parts:
        yield "parts", f"{len(reading.parts)} rows: {', '.join(part.word for part in reading.parts)}"
    if reading.apart:
        yield "apart", f"{len(reading.apart)} rows: {', '.join(reading.apart)}"
    yield "pair", gettext("a pair, 2 rows")
    yield from ((str(number), f"{number} rows") for number in range(2, max(MOST_OF_ONE, reading.rows) + 1))


def voice_value(voice: Voice) -> str:
    """What the form sends for a voice."""
    return f"{voice.proposal.place + 1}.{voice.number}"


def lead_options(voices: Sequence[Voice]) -> Options:
    """The voices that may sing lead, equal labels with the place of their row, and nobody."""
    times = Counter(voice.label for voice in voices)
    named = (
        (
            voice_value(voice),
            voice.label
            if times[voice.label] == 1
            else gettext("%(label)s (row %(place)s)", label=voice.label, place=voice.proposal.place + 1),
        )
        for voice in voices
    )
    return (*named, (NOBODY, gettext("Nobody: no voice leads"))) if voices else ()
