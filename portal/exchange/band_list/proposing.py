"""Rows that were pasted, each with its reading, and what the rows beside it add: legs, second microphones, names, who
sings lead.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from portal.exchange.band_list.label_reading import Beside, Certainty, Reading, doubtful
from portal.exchange.band_list.names import called_as_a_thing, names_in, player_in, trade_names
from portal.exchange.band_list.pasted_rows import PastedRow
from portal.exchange.band_list.reading import read_label
from portal.exchange.band_list.row_counts import INSIDE, TWO_LEGGED
from portal.exchange.band_list.row_labels import with_word
from portal.exchange.band_list.words.label_words import parsed_label, plain_tokens
from portal.exchange.band_list.words.list_words import NOT_WORDS, OWNERS, listed
from portal.exchange.band_list.words.reading_words import BASS, COLUMN_STAND_WORDS, EGTR, KICK, SNARE, VOCAL
from portal.exchange.spreadsheets.source_columns import LEAD_VOCAL, YES
from portal.plan.input.kinds import KINDS
from portal.plan.input.rig import MAX_LABEL

SECOND = {KICK, SNARE, BASS, EGTR, "pluck.guitar.acoustic", "pluck.bass.acoustic"}
"""Kinds of which two rows with one name are two microphones of one sound, where their places or captures differ (common
practice, no source).
"""

PLACED = SECOND | TWO_LEGGED | (INSIDE.keys() - {VOCAL})
"""Kinds of which several rows differ in their places or are legs of one thing."""

LONGEST_SAID = 600
"""Signs of the other columns in which words of the trade are looked for."""

SAYING = ("capture", "phantom", "owner", "place", "note", "")
"""Fields whose words say how a sound is picked up, where it stands and who brings it."""

WIDEST_GAP = 4
"""Channel numbers that one row can take up without naming them."""

QUANTITY = re.compile(r"[x×]?\s?(\d{1,3})(?:\.0)?\s?(?:[x×]|pcs|stk?)?\.?", re.IGNORECASE)

NO_WORDS = {"no", "n", "nein", "non", "nee", "geen", "off", "false", "0", "aus", "none", "✗", "✘"}
YES_WORDS = YES | {"ja", "oui", "si", "sì", "sí", "✓", "✔", "on", "+48", "+48 v", "an", "j", "o", "s"}


@dataclass(frozen=True)
class Proposal:
    """One row at its place, counted from 0, and what is proposed. ``partner``: the place of the other leg; ``first``:
    of the first microphone.
    """

    place: int
    row: PastedRow
    reading: Reading
    partner: int | None = None
    first: int | None = None

    @property
    def settled(self) -> bool:
        """True where nothing about the row has to be asked."""
        return self.reading.certainty is Certainty.SURE

    @property
    def label(self) -> str:
        """The proposed label, without a quantity."""
        return self.reading.label[:MAX_LABEL].strip()


def propose(rows: Sequence[PastedRow]) -> tuple[Proposal, ...]:
    """A proposal for every row, none left out, in the order of the rows."""
    names, listed = names_in(rows), trade_names(rows)
    read = [_read(row, gap, names | called_as_a_thing(row, listed)) for row, gap in zip(rows, _gaps(rows), strict=True)]
    read = _told_apart_by(rows, names, _unnumbered(rows, _lead(_voices(rows, read))))
    partners = _partners(rows, read)
    lonely = {
        (one.what, stem(rows[place].label)) for place, one in enumerate(read) if one.leg and place not in partners
    }
    for place, reading in enumerate(read):
        if reading.leg and place not in partners:
            read[place] = doubtful(replace(reading, leg=None), "No other row is its other leg.")
        elif place not in partners and (reading.what, stem(rows[place].label).rpartition(" ")[0]) in lonely:
            read[place] = doubtful(reading, "It may be the other leg of a row that has none.")
    firsts = _firsts(read)
    return tuple(
        Proposal(place, row, reading, partners.get(place), firsts.get(place))
        for place, (row, reading) in enumerate(zip(rows, read, strict=True))
    )


def _read(row: PastedRow, gap: int, names: frozenset[str], label: str = "") -> Reading:
    """The reading of one row. ``gap``: how many channel numbers it may take up; ``label``: what its label is read
    as.
    """
    beside = _beside(row)
    reading = read_label(label or row.label, beside, row.numbers or row.ways, names)
    if row.numbers == 1 and gap > 1 and reading.rows in (0, 1):
        # Numbers are left out behind it: as many rows as it may be by its words.
        wide = read_label(label or row.label, beside, None, names)
        reading = read_label(label or row.label, beside, gap, names) if wide.rows in (0, gap) else reading
    if row.of("quantity") and beside.quantity is None:
        reading = doubtful(replace(reading, rows=0), "How many rows is it?")
    return replace(reading, player=row.of("player") or player_in(row.label, names))


def _beside(row: PastedRow) -> Beside:
    """What stands beside the label: words, stand, quantity."""
    counted = QUANTITY.fullmatch(row.of("quantity"))
    stand = row.of("stand") or next(
        (cell.text for cell in row.rest if not cell.field and plain_tokens(cell.text) in COLUMN_STAND_WORDS), ""
    )
    said = " | ".join(filter(None, (_words(cell.field, cell.text) for cell in row.rest if cell.field in SAYING)))
    return Beside(said[:LONGEST_SAID], stand, int(counted[1]) if counted else None)


def _words(field: str, text: str) -> str:
    """The words of a cell as a label has them: under 48 V a plain yes or no speaks of 48 V; what a remark denies is not
    read.
    """
    if field == "phantom":
        plain = text.casefold()
        return "48 V" if plain in YES_WORDS else "no 48 V" if plain in NO_WORDS else text
    if field == "owner":
        return next((owner for owner, words in OWNERS.items() if set(plain_tokens(text)) & set(listed(words))), "")
    if field == "capture" and plain_tokens(text) in COLUMN_STAND_WORDS:
        # A microphone that clips on is called by its clip.
        return f"{text} mic"
    return "" if field == "note" and NOT_WORDS & set(plain_tokens(text)) else text


def _gaps(rows: Sequence[PastedRow]) -> list[int]:
    """How many channel numbers each row may take up: up to the number of the row that follows."""
    following = (*rows[1:], PastedRow("", ""))
    gaps = (
        after.channels[0] - row.channels[-1] if row.channels and after.channels else 1
        for row, after in zip(rows, following, strict=False)
    )
    return [gap if gap <= WIDEST_GAP else 1 for gap in gaps]


def _unnumbered(rows: Sequence[PastedRow], read: Sequence[Reading]) -> list[Reading]:
    """In a list that numbers its rows, one without a number may be something else."""
    without = [place for place, row in enumerate(rows) if not row.channels]
    if not without or len(without) * 3 > len(rows):
        return list(read)
    said = "It has no number, unlike the other rows."
    return [
        doubtful(one, said, (one.what, "") if one.what else ()) if place in without and not one.spare else one
        for place, one in enumerate(read)
    ]


def _told_apart_by(rows: Sequence[PastedRow], names: frozenset[str], read: Sequence[Reading]) -> list[Reading]:
    """Of several rows of a kind that has places or legs, an unknown word may say which; a name of a person does not."""
    times = Counter(reading.what for reading in read)
    found = list(read)
    for place, (row, reading) in enumerate(zip(rows, read, strict=True)):
        if (
            times[reading.what] < 2  # noqa: PLR2004 - several
            or reading.what not in PLACED
            or reading.position
            or reading.certainty is not Certainty.SURE
        ):
            continue
        label = parsed_label(row.label, names)
        if label.unknown:
            found[place] = doubtful(
                reading, f'"{label.tokens[label.unknown[0]]}" may say where it stands, or which half of a pair it is.'
            )
    return found


def _voices(rows: Sequence[PastedRow], read: Sequence[Reading]) -> list[Reading]:
    """Where several rows say *vox*, they are voices."""
    open_ones = {place for place, one in enumerate(read) if not one.what and one.alternatives == (VOCAL, EGTR)}
    if sum("vox" in plain_tokens(row.label) for row in rows) < 2:  # noqa: PLR2004 - several
        return list(read)
    sung = {at: _read(rows[at], 1, frozenset(), f"{rows[at].label} singer") for at in open_ones}
    return [replace(sung[at], label=rows[at].label) if at in sung else one for at, one in enumerate(read)]


def _lead(read: Sequence[Reading]) -> list[Reading]:
    """The only voice that is not called backing is the lead, where no row says who is."""
    voices = [place for place, one in enumerate(read) if one.what == VOCAL and one.role != "backing"]
    if len(voices) != 1 or read[voices[0]].rows != 1:
        return list(read)
    return [replace(one, role="lead") if place == voices[0] else one for place, one in enumerate(read)]


class Voice(NamedTuple):
    """A voice that may sing lead: its proposal, which of the proposal's rows it is, from 1, and whether its singer
    leads the band.
    """

    proposal: Proposal
    number: int
    likely: bool

    @property
    def label(self) -> str:
        """Its number in the list, and its label."""
        several = self.proposal.reading.rows > 1
        label = with_word(self.proposal.label, str(self.number)) if several else self.proposal.row.label
        return f"{self.proposal.row.number} {label}".strip()


def voices_to_ask(proposals: Sequence[Proposal]) -> tuple[Voice, ...]:
    """The voices among which somebody has to say who sings lead: several, and none that is called the lead; else
    nothing.
    """
    voices = [
        one
        for one in proposals
        if VOCAL in (one.reading.what, *([] if one.reading.what else one.reading.alternatives[:1]))
    ]
    if any(one.reading.role == "lead" for one in voices) or sum(one.reading.rows or 2 for one in voices) < 2:  # noqa: PLR2004 - several
        return ()
    return tuple(
        Voice(one, number, one.reading.leads) for one in voices for number in range(1, max(one.reading.rows, 1) + 1)
    )


def _partners(rows: Sequence[PastedRow], read: Sequence[Reading]) -> dict[int, int]:
    """Left and right of one thing: two rows of one kind and one name, apart from the side."""
    waiting: dict[tuple[str, str, str], int] = {}
    partners: dict[int, int] = {}
    for place, reading in enumerate(read):
        if not reading.leg or not reading.what:
            continue
        name = stem(rows[place].label)
        other = waiting.pop((reading.what, name, {"left": "right", "right": "left"}[reading.side]), None)
        if other is None:
            waiting[reading.what, name, reading.side] = place
        else:
            partners[place], partners[other] = other, place
    return partners


SIDES = frozenset(
    [
        "l",
        "r",
        "left",
        "right",
        "links",
        "rechts",
        "li",
        "re",
        "lft",
        "rgt",
        "izq",
        "dcha",
        "sx",
        "dx",
        "gauche",
        "droite",
    ]
)
GROWN_TOGETHER = {"ohl": "oh", "ohr": "oh"}


def stem(label: str) -> str:
    """The label without its side."""
    words = re.sub(r"[\W_]+", " ", label.casefold()).split()
    return " ".join(GROWN_TOGETHER.get(word, word) for word in words if word not in SIDES)


def _firsts(read: Sequence[Reading]) -> dict[int, int]:
    """Second microphones of one sound: the same kind and number as an earlier row, at another place or picked up in
    another way.
    """
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
        if apart and (not reading.player or not first.player or reading.player == first.player):
            firsts[place] = seen[name]
    return firsts


def choice_of(reading: Reading) -> str:
    """The words for what is proposed; empty where nothing is."""
    if reading.what == VOCAL and reading.role == "lead":
        return LEAD_VOCAL
    return KINDS[reading.what].words if reading.what else ""
