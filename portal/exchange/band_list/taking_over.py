"""The sources that rows become once a person has confirmed them."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from portal.exchange.band_list.columns import NUMBER
from portal.exchange.band_list.pasted_rows import Cell, PastedRow, numbers_in
from portal.exchange.band_list.proposing import LONGEST_SAID, Proposal, stem
from portal.exchange.band_list.reading import read_label
from portal.exchange.band_list.row_labels import with_word
from portal.exchange.band_list.words.label_words import parsed_label, plain_tokens
from portal.exchange.band_list.words.list_words import NOT_WORDS
from portal.exchange.band_list.words.reading_words import COLUMN_STAND_WORDS, WORDS_OF_STANDS
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT, Rig, Source

MAX_WAY, MAX_INPUT = 128, 256

NOTHING = ("-", "–", "—", "/", "")

TAKEN = frozenset({"split", "outside", "rank"})
"""What words of a cell say that means nothing beside the others."""

STAND_TOKENS = frozenset(word for phrase in COLUMN_STAND_WORDS for word in phrase)


@dataclass(frozen=True)
class Confirmed:
    """What a person settled about one row: what it is, the label, how many rows it makes, and which of them, counted
    from 1, sing lead.

    ``rows``: 1, 2 and more are separate rows; ``pair``: two rows, left and right of one thing; ``half``: this row is
    one leg, another the other; ``parts``: the microphones that the label tells apart; ``apart``: the sources that it
    names one by one, each of its own kind.
    """

    proposal: Proposal
    what: str
    label: str
    rows: int = 1
    pair: bool = False
    half: bool = False
    parts: bool = False
    apart: bool = False
    leads: frozenset[int] = frozenset()


def sources_of(rows: Sequence[Confirmed], new_key: Callable[[], str]) -> tuple[tuple[int, Source], ...]:
    """The sources of the rows that are taken, each with the place of its row in ``rows``. Legs and second microphones
    name each other by key.
    """
    made = _tied(rows, [_made(row, new_key) for row in rows])
    return tuple((place, source) for place, sources in enumerate(made) for source in sources)


def _made(row: Confirmed, new_key: Callable[[], str]) -> list[Source]:
    """The sources of one row, not yet tied to those of other rows."""
    source = replace(plain_source(row), key=new_key())
    if row.apart:
        made = [
            replace(source, key=new_key(), label=label[:MAX_LABEL], what=read_label(label).what)
            for label in row.proposal.reading.apart
        ]
    elif row.parts:
        made = _parts(row, source, new_key)
    elif row.pair:
        left = replace(source, position="left", pair_kind="left-right")
        right = replace(left, key=new_key(), position="right", pair_with=left.key)
        made = [replace(left, pair_with=right.key), right]
    elif row.rows == 1:
        made = [source]
    else:
        made = [
            replace(source, key=new_key(), label=with_word(row.label, str(number))) for number in range(1, row.rows + 1)
        ]
    ways, inputs = ways_of(row.proposal), _numbers(row.proposal, "mixer_input", MAX_INPUT)
    made = [
        replace(one, way=_at(ways, place), mixer_input=_at(inputs, place), lead=place + 1 in row.leads)
        for place, one in enumerate(made)
    ]
    return [one if one.way else replace(one, splitter="") for one in made]


def _numbers(proposal: Proposal, field: str, most: int) -> tuple[int, ...]:
    """The numbers in a cell about ways or inputs, each from 1 to ``most``; none where it holds anything else."""
    text = proposal.row.of(field)
    numbers = numbers_in(text) if NUMBER.fullmatch(text) else ()
    return numbers if all(0 < number <= most for number in numbers) else ()


def _at(numbers: tuple[int, ...], place: int) -> int | None:
    """The number of the row at this place of those that one label makes: one way and one input are one row's."""
    return numbers[place] if place < len(numbers) else None


def plain_source(row: Confirmed) -> Source:
    """What all sources of the row have in common, without a key."""
    reading, written = row.proposal.reading, row.proposal.row
    kept = reading.what == row.what
    position = reading.position if kept or reading.side else ""
    source = Source(
        label=row.label[:MAX_LABEL],
        player=reading.player[:MAX_LABEL],
        what=row.what,
        position="" if reading.side and not (row.half or kept or reading.leg is None) else position,
        capture=reading.capture,
        phantom=reading.phantom,
        stand=reading.stand,
        optional=reading.optional,
        splitter=written.of("splitter")[:MAX_LABEL],
        note=_note(row),
        line_plug="xlr" if reading.capture == "line" and _says_xlr(written) else "",
    )
    return replace(source, owner=replace(source.owner, mic="house")) if reading.owner == "house" else source


def _says_xlr(row: PastedRow) -> bool:
    """Whether the label or a cell beside it names the connector."""
    return any("xlr" in plain_tokens(text) for text in (row.label, *(cell.text for cell in row.rest)))


def _parts(row: Confirmed, source: Source, new_key: Callable[[], str]) -> list[Source]:
    first, reading = source.key, row.proposal.reading
    label = reading.stem if row.label == row.proposal.label else row.label
    return [
        replace(
            source,
            key=new_key() if place else first,
            label=with_word(label, part.word),
            position=part.position,
            capture=part.capture or source.capture,
            second_of=first if part.second else "",
        )
        for place, part in enumerate(reading.parts)
    ]


def _note(row: Confirmed) -> str:
    """What the row says beyond what was read: the note, the place on stage, words that no field holds, and a label that
    was too long.
    """
    written = row.proposal.row
    parts = [
        written.label if len(written.label) > MAX_LABEL else "",
        row.proposal.reading.place if not _tells_place(row) else "",
    ]
    parts += [text for cell in written.rest if (text := _left_over(cell, row))]
    note = "; ".join(dict.fromkeys(part for part in parts if re.search(r"\w", part)))
    return note if len(note) <= MAX_TEXT else note[: MAX_TEXT - 1].rstrip() + "…"


def _tells_place(row: Confirmed) -> bool:
    return row.proposal.reading.place in parsed_label(row.label).values("place")


def _left_over(cell: Cell, row: Confirmed) -> str:
    """What of a cell stands in no field of the row."""
    reading = row.proposal.reading
    if cell.field in ("way", "mixer_input"):
        return "" if _numbers(row.proposal, cell.field, MAX_WAY if cell.field == "way" else MAX_INPUT) else cell.text
    if cell.field == "player":
        return cell.text if len(cell.text) > MAX_LABEL else ""
    if cell.field in ("quantity", "splitter", "other") or (
        cell.field == "phantom" and (reading.phantom or cell.text in NOTHING)
    ):
        return ""
    if cell.field == "owner" and reading.owner:
        return ""
    said = parsed_label(cell.text[:LONGEST_SAID])
    words = (STAND_TOKENS if cell.field == "stand" else WORDS_OF_STANDS) if reading.stand else frozenset()
    taken = (
        TAKEN
        | {name for name in ("capture", "phantom", "owner", "place") if getattr(reading, name)}
        | ({"optional"} if reading.optional else set())
    )
    if row.parts:
        taken |= {"inside" if reading.parts[0].position else "capture"}
    if cell.field == "note":
        # What a remark says of its owner is more than whose it is.
        taken -= {"owner"}
    known = all(
        {word.facet for word in found.words} & taken or set(found.text.split()) <= words for found in said.found
    )
    known = known and bool(said.found or words & set(said.tokens))
    known = (
        known and all(said.tokens[at] in words for at in said.unknown) and not (NOT_WORDS - words) & set(said.tokens)
    )
    if cell.field == "note":
        # A remark is taken only where nothing is left of it.
        told = {token for found in said.found for token in found.text.split()} | words
        known = known and all(token in told for token in said.tokens if token.isalnum())
    return "" if known else cell.text


def _tied(rows: Sequence[Confirmed], made: list[list[Source]]) -> list[list[Source]]:
    places = {row.proposal.place: place for place, row in enumerate(rows)}
    for place, other in _halves(rows).items():
        if len(made[place]) == len(made[other]) == 1:
            made[place] = [replace(made[place][0], pair_with=made[other][0].key, pair_kind="left-right")]
    for place, row in enumerate(rows):
        first = row.proposal.first
        line = places.get(first) if first is not None else None
        if line is not None and rows[line].what == row.what and len(made[place]) == 1 and len(made[line]) == 1:
            made[place] = [replace(made[place][0], second_of=made[line][0].key)]
    return made


def _halves(rows: Sequence[Confirmed]) -> dict[int, int]:
    """The other leg of each leg: the same kind, the other side; of one name first, then in the order of the rows."""
    found: dict[int, int] = {}
    for named in (True, False):
        waiting: dict[tuple[str, str, str], list[int]] = {}
        for place, row in enumerate(rows):
            side = row.proposal.reading.side
            if not row.half or place in found or not side:
                continue
            name = stem(row.proposal.row.label) if named else ""
            others = waiting.get((row.what, name, "right" if side == "left" else "left"), [])
            if others:
                other = others.pop()
                found[place], found[other] = other, place
            else:
                waiting.setdefault((row.what, name, side), []).append(place)
    return found


def with_splitter(source: Source, rig: Rig) -> Source:
    """The row with its splitter by key: named by its name, as people write it, or the rig's only one where the row has
    but a way.
    """
    keys = {splitter.name.casefold(): splitter.key for splitter in rig.splitter if splitter.name}
    known = {splitter.key for splitter in rig.splitter}
    if not source.splitter and source.way is not None and len(known) == 1:
        return replace(source, splitter=next(iter(known)))
    return (
        source
        if source.splitter in known
        else replace(source, splitter=keys.get(source.splitter.casefold(), source.splitter))
    )


def ways_without_splitter(proposals: Sequence[Proposal], rig: Rig) -> dict[str, tuple[int, int]]:
    """What a list says of splitters that the rig does not have: by name, empty where it gives none, how many ways are
    written, and the highest of them.
    """
    known = {name.casefold() for splitter in rig.splitter for name in (splitter.name, splitter.key)}
    found: dict[str, list[int]] = {}
    for proposal in proposals:
        name = proposal.row.of("splitter")[:MAX_LABEL].strip()
        if (name.casefold() in known) if name else rig.splitter:
            continue
        if ways := ways_of(proposal):
            found.setdefault(name, []).extend(ways)
    return {name: (len(ways), max(ways)) for name, ways in found.items()}


def ways_of(proposal: Proposal) -> tuple[int, ...]:
    """The splitter ways that a row names."""
    return _numbers(proposal, "way", MAX_WAY)


def wired(source: Source, rig: Rig) -> Source:
    """The row with its splitter by key; what the rig has no splitter for is said in the note."""
    found = with_splitter(source, rig)
    if found.splitter in {"" if found.way is None else None, *(splitter.key for splitter in rig.splitter)}:
        return found
    said = " ".join(
        filter(
            None,
            (
                f"splitter {source.splitter}" if source.splitter else "splitter",
                f"way {source.way}" if source.way else "",
            ),
        )
    )
    return replace(source, splitter="", way=None, note="; ".join(filter(None, (source.note, said)))[:MAX_TEXT])
