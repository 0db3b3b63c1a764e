"""Rows that were pasted, each with its reading: what the rows beside it add, and the sources that a confirmed row becomes."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from portal.exchange.label_words import plain_tokens
from portal.exchange.pasted import PastedRow
from portal.exchange.reading import Certainty, Reading, doubtful, read_label
from portal.exchange.reading_words import BASS, EGTR, KICK, SNARE, VOCAL
from portal.plan.kinds import KINDS
from portal.plan.rig import MAX_LABEL, MAX_TEXT, Source

SECOND = {KICK, SNARE, BASS, EGTR, "pluck.guitar.acoustic", "pluck.bass.acoustic"}
"""Kinds of which two rows with one name are two microphones of one sound, where their places or captures differ (common practice, no source)."""


LONGEST_SAID = 600
"""Signs of the other columns in which words of the trade are looked for."""


@dataclass(frozen=True)
class Proposal:
    """One row at its place, counted from 0, and what is proposed. ``partner``: the place of the other leg; ``first``: of the first microphone."""

    place: int
    row: PastedRow
    reading: Reading
    partner: int | None = None
    first: int | None = None

    @property
    def settled(self) -> bool:
        """True where nothing about the row has to be asked."""
        return self.reading.certainty is Certainty.SURE


def propose(rows: Sequence[PastedRow]) -> tuple[Proposal, ...]:
    """A proposal for every row, none left out, in the order of the rows."""
    read = [read_label(row.label, _said(row), row.numbers) for row in rows]
    read = _lead(_voices(rows, read))
    partners = _partners(rows, read)
    for place, reading in enumerate(read):
        if reading.leg and place not in partners:
            read[place] = doubtful(replace(reading, leg=None), "No other row is its other leg.")
    firsts = _firsts(read)
    return tuple(
        Proposal(place, row, reading, partners.get(place), firsts.get(place)) for place, (row, reading) in enumerate(zip(rows, read, strict=True))
    )


def _said(row: PastedRow) -> str:
    """What stands beside the label."""
    return " | ".join(row.rest)[:LONGEST_SAID]


def _voices(rows: Sequence[PastedRow], read: Sequence[Reading]) -> list[Reading]:
    """Where several rows say *vox*, they are voices."""
    open_ones = [place for place, one in enumerate(read) if not one.what and one.alternatives == (VOCAL, EGTR)]
    if sum("vox" in plain_tokens(row.label) for row in rows) < 2:  # noqa: PLR2004 - several
        return list(read)
    return [read_label(f"{row.label} singer", _said(row), row.numbers) if at in open_ones else read[at] for at, row in enumerate(rows)]


def _lead(read: Sequence[Reading]) -> list[Reading]:
    """The only voice that is not called backing is the lead, where no row says who is."""
    voices = [place for place, one in enumerate(read) if one.what == VOCAL and one.role != "backing"]
    if len(voices) != 1 or read[voices[0]].rows != 1:
        return list(read)
    return [replace(one, role="lead") if place == voices[0] else one for place, one in enumerate(read)]


def _partners(rows: Sequence[PastedRow], read: Sequence[Reading]) -> dict[int, int]:
    """Left and right of one thing: two rows of one kind and one name, apart from the side."""
    waiting: dict[tuple[str, str, str], int] = {}
    partners: dict[int, int] = {}
    for place, reading in enumerate(read):
        if not reading.leg or not reading.what:
            continue
        stem = _stem(rows[place].label)
        other = waiting.pop((reading.what, stem, {"left": "right", "right": "left"}[reading.side]), None)
        if other is None:
            waiting[reading.what, stem, reading.side] = place
        else:
            partners[place], partners[other] = other, place
    return partners


def _stem(label: str) -> str:
    """The label without its side."""
    words = re.sub(r"[\W_]+", " ", label.casefold()).split()
    return " ".join(word for word in words if word not in ("l", "r", "left", "right", "links", "rechts", "li", "re", "lft", "rgt"))


def _firsts(read: Sequence[Reading]) -> dict[int, int]:
    """Second microphones of one sound: the same kind and number as an earlier row, at another place or picked up in another way."""
    firsts: dict[int, int] = {}
    seen: dict[tuple[str, str], int] = {}
    for place, reading in enumerate(read):
        if reading.what not in SECOND or reading.side or reading.rows != 1 or reading.certainty is not Certainty.SURE:
            continue
        name = (reading.what, reading.index)
        if name not in seen:
            seen[name] = place
            continue
        first = read[seen[name]]
        apart = (reading.position and first.position and reading.position != first.position) or (
            reading.capture and first.capture and reading.capture != first.capture
        )
        if apart:
            firsts[place] = seen[name]
    return firsts


@dataclass(frozen=True)
class Confirmed:
    """What a person settled about one row: what it is, whether a voice is the lead, the label, and how many rows it makes.

    ``rows``: 1, 2 and more are separate rows; ``pair``: two rows, left and right of one thing; ``half``: this row is one leg, another the other.
    """

    proposal: Proposal
    what: str
    lead: bool
    label: str
    rows: int = 1
    pair: bool = False
    half: bool = False


def sources_of(rows: Sequence[Confirmed], new_key: Callable[[], str]) -> tuple[tuple[int, Source], ...]:
    """The sources of the rows that are taken, each with the place of its row in ``rows``. Legs and second microphones name each other by key."""
    made = _tied(rows, [_made(row, new_key) for row in rows])
    return tuple((place, source) for place, sources in enumerate(made) for source in sources)


def _made(row: Confirmed, new_key: Callable[[], str]) -> list[Source]:
    """The sources of one row, not yet tied to those of other rows."""
    reading = row.proposal.reading
    kept = reading.what == row.what
    position = reading.position if kept or reading.side else ""
    note = _note(row)
    source = Source(
        key=new_key(),
        label=row.label[:MAX_LABEL],
        what=row.what,
        position="" if reading.side and not (row.half or kept or reading.leg is None) else position,
        capture=reading.capture,
        phantom=reading.phantom,
        stand=reading.stand,
        lead=row.lead,
        optional=reading.optional,
        note=note,
    )
    if reading.owner == "house":
        source = replace(source, owner=replace(source.owner, mic="house"))
    if row.pair:
        left = replace(source, position="left", pair_kind="left-right")
        right = replace(left, key=new_key(), position="right", pair_with=left.key)
        return [replace(left, pair_with=right.key), right]
    if row.rows == 1:
        return [source]
    return [replace(source, key=new_key(), label=_counted_label(row.label, number)) for number in range(1, row.rows + 1)]


def _counted_label(label: str, number: int) -> str:
    return f"{label[: MAX_LABEL - 3].rstrip()} {number}"


def _note(row: Confirmed) -> str:
    """What the row says beyond what was read: other columns, the place on stage, and the label where it was too long."""
    written = row.proposal.row
    parts = [written.label if len(written.label) > MAX_LABEL else "", row.proposal.reading.place, *written.rest]
    # 48 V has a field of its own.
    plain = [part for part in dict.fromkeys(parts) if part not in ("48 V", "no 48 V") and re.search(r"\w", part)]
    note = "; ".join(plain)
    return note if len(note) <= MAX_TEXT else note[: MAX_TEXT - 1].rstrip() + "…"


def _tied(rows: Sequence[Confirmed], made: list[list[Source]]) -> list[list[Source]]:
    places = {row.proposal.place: place for place, row in enumerate(rows)}
    halves = {place: _other_half(rows, place) for place, row in enumerate(rows) if row.half and len(made[place]) == 1}
    for place, other in halves.items():
        if other is not None and halves.get(other) == place:
            made[place] = [replace(made[place][0], pair_with=made[other][0].key, pair_kind="left-right")]
    for place, row in enumerate(rows):
        first = row.proposal.first
        line = places.get(first) if first is not None else None
        if line is not None and rows[line].what == row.what and len(made[place]) == 1 and len(made[line]) == 1:
            made[place] = [replace(made[place][0], second_of=made[line][0].key)]
    return made


def _other_half(rows: Sequence[Confirmed], place: int) -> int | None:
    """The row of the other leg: the same kind, the other side, the nearest."""
    one = rows[place]
    others = [
        other
        for other, row in enumerate(rows)
        if other != place and row.half and row.what == one.what and {row.proposal.reading.side, one.proposal.reading.side} == {"left", "right"}
    ]
    same = [other for other in others if _stem(rows[other].proposal.row.label) == _stem(one.proposal.row.label)]
    return min(same or others, key=lambda other: abs(other - place), default=None)


def kind_choice(text: str) -> tuple[str, bool] | None:
    """The sound id behind the words of a kind, and whether it is the lead vocal; ``None`` for other words."""
    plain = text.strip().casefold()
    if plain == LEAD_VOCAL.casefold():
        return VOCAL, True
    return next(((kind.what, False) for kind in KINDS.values() if plain in (kind.words.casefold(), kind.what.casefold())), None)


LEAD_VOCAL = "Lead vocal"
"""The vocal kind with its lead mark, as one choice."""


def choice_of(reading: Reading) -> str:
    """The words for what is proposed; empty where nothing is."""
    if reading.what == VOCAL and reading.role == "lead":
        return LEAD_VOCAL
    return KINDS[reading.what].words if reading.what else ""
