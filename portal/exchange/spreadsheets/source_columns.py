"""The columns in which sources travel through a spreadsheet, and how one cell is read and written."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from portal.exchange.faults import nearest
from portal.exchange.keys import Key, expected, expected_item, keys_of
from portal.exchange.rig_words import NO_WORDS, OTHER_ROWS, WORDS
from portal.plan.input.kinds import KINDS
from portal.plan.input.rig import Source

FORMULA = "=+\\-@\t\r\n\0'"
"""What a spreadsheet may take for the start of a formula (OWASP, CSV Injection), and the apostrophe that guards."""

# A spreadsheet that parts cells by semicolons splits a quoted cell of ours at each of its own.
UNGUARDED_START = re.compile(f"(^|;)(?= *[{FORMULA}])")
GUARDED_START = re.compile(f"(^|;)'(?= *[{FORMULA}])")

NUMBER = re.compile(r"-?[0-9]+([.,][0-9]+)?")

MAX_DIGITS = 20
"""No whole number of a source needs more; Python refuses very long ones with an error of its own."""

YES = frozenset({"yes", "y", "true", "1", "x", "48", "48v", "+48v", "48 v"})
NO = frozenset({"no", "n", "false", "0", "-"})

VOCAL = "voice.vocals"

EARLIER = {
    "goes": {"house and ears": "both"},
    "what": {"audience microphone for the ears": "x-audience"},
}
"""Words that files of earlier versions hold."""

SHORT = {"l": "left", "r": "right"}
"""Short forms of positions that every list uses."""


class UnreadableCell(ValueError):  # noqa: N818 - named for what it says
    """A cell that does not hold what its column expects. The message says what was expected."""


@dataclass(frozen=True)
class Column:
    """One column: the key of a source that it holds, its heading on export, and other headings that mean it."""

    name: str
    heading: str
    also: tuple[str, ...] = ()

    @property
    def key(self) -> Key:
        """The documented key behind the column."""
        outer, _, inner = self.name.partition(".")
        key = keys_of(Source)[outer]
        return keys_of(key.table)[inner] if key.table else key

    @property
    def numeric(self) -> bool:
        """True where cells hold bare numbers."""
        return self.key.is_pair or self.key.base in (int, float)

    @property
    def refers(self) -> bool:
        """True where a cell names other rows, by label or key."""
        return self.name in OTHER_ROWS


COLUMNS = (
    Column("label", "Label", ("name", "channel name", "instrument")),
    Column("player", "Player", ("musician", "who")),
    Column("what", "Source", ("kind", "what it is")),
    Column("position", "Position"),
    Column("capture", "Mic or DI", ("mic/di", "picked up by")),
    Column("phantom", "Phantom", ("48v", "phantom power", "phantom (yes/no)")),
    Column("stand", "Stand", ("mic stand",)),
    Column("mixer_input", "Mixer input", ("mixer in", "mixer channel")),
    Column("splitter", "Splitter"),
    Column("way", "Way", ("splitter way",)),
    Column("pair_with", "Pair with", ("paired with", "stereo with", "pair")),
    Column("second_of", "Second of", ("second microphone of", "second mic of")),
    Column("note", "Note", ("notes", "comment", "comments", "remark", "remarks")),
    Column("strip", "Strip", ("strip label", "short name")),
    Column("level", "Mic or line", ("mic/line", "mic level or line level")),
    Column("family", "Family", ("section", "group")),
    Column("pair_kind", "Kind of pair"),
    Column("to_mono", "To mono"),
    Column("in_ears_anyway", "In the in-ears anyway", ("in the ears anyway",)),
    Column("submix", "Submix", ("submixer",)),
    Column("phantom_ma", "Phantom mA", ("phantom current",)),
    Column("harmed_by_phantom", "Harmed by phantom"),
    Column("impedance_ohm", "Impedance ohm", ("impedance",)),
    Column("max_dbu", "Max dBu", ("highest level dbu",)),
    Column("priority", "Priority"),
    Column("must", "Must", ("must be sent",)),
    Column("goes", "Goes", ("goes to",)),
    Column("loud_on_stage", "Loud on stage", ("loud",)),
    Column("never_with", "Never with", ("never together with",)),
    Column("one_microphone_with", "One microphone with", ("shares a microphone with",)),
    Column("inseparable", "Inseparable"),
    Column("fail_over", "Fail over"),
    Column("optional", "Optional"),
    Column("lead", "Lead"),
    Column("owner.mic", "Mic from", ("owner of mic",)),
    Column("owner.stand", "Stand from", ("owner of stand",)),
    Column("owner.cable", "Cable from", ("owner of cable",)),
    Column("guest", "Guest", ("for guests",)),
    Column("in_rack", "In the rack", ("power from the rack",)),
    Column("line_plug", "Line plug", ("connector of the line output",)),
    Column("cable_m", "Cable m", ("cable length m",)),
    Column("sub_loom", "Sub loom", ("drum loom",)),
    Column("sub_loom_way", "Sub loom way"),
    Column("at_m.0", "Right of centre m", ("x m",)),
    Column("at_m.1", "From the front m", ("y m",)),
    Column("key", "Key", ("id",)),
)


LEAD_VOCAL = "Lead vocal"
"""The vocal kind with its lead mark, as one choice."""


def kind_choice(text: str) -> tuple[str, bool] | None:
    """The sound id behind the words of a kind, and whether it is the lead vocal; ``None`` for other words."""
    plain = text.strip().casefold()
    if plain == LEAD_VOCAL.casefold():
        return VOCAL, True
    plain = EARLIER["what"].get(plain, plain)
    return next(
        ((kind.what, False) for kind in KINDS.values() if plain in (kind.words.casefold(), kind.what.casefold())), None
    )


def plain_heading(heading: str) -> str:
    """A heading without the differences that mean nothing: case, blanks, hyphens, signs."""
    return re.sub(r"[\W_]+", " ", heading.casefold()).strip()


HEADINGS = {plain_heading(name): column for column in COLUMNS for name in (column.name, column.heading, *column.also)}
"""Every heading that is understood, in its plain form."""


def guarded(text: str) -> str:
    """The text so that no spreadsheet takes it, or what follows a semicolon in it, for a formula; ``unguarded`` undoes
    it.
    """
    return UNGUARDED_START.sub(r"\1'", text)


def unguarded(text: str) -> str:
    """The text without guards; an apostrophe that guards nothing stays."""
    return GUARDED_START.sub(r"\1", text)


def read_cell(column: Column, cell: str) -> str | int | float | bool | None:
    """The value of one cell that is not empty. Limits are checked later. Raises ``UnreadableCell``."""
    key, plain = column.key, cell.casefold()
    if column.numeric:
        return _read_number(key, cell)
    if key.base is bool or column.name == "phantom":
        if plain not in YES | NO:
            raise UnreadableCell("yes or no")
        said = plain in YES
        return said if key.base is bool else ("yes" if said else "no")
    if column.name == "what":
        return _read_kind(cell)
    if key.one_of:
        known = WORDS.get(column.name, NO_WORDS)
        spoken = (*known.english.items(), *known.items())
        words = {words.casefold(): value for value, words in spoken if value}
        words |= EARLIER.get(column.name, {})
        return _read_word(key, words.get(plain, SHORT.get(plain, plain) if column.name == "position" else plain))
    return cell


def _read_number(key: Key, cell: str) -> int | float:
    whole = key.base is int
    if not NUMBER.fullmatch(cell) or (whole and (len(cell) > MAX_DIGITS or not cell.lstrip("-").isdecimal())):
        raise UnreadableCell(expected_item(key) if key.is_pair else expected(key))
    return int(cell) if whole else float(cell.replace(",", "."))


def _read_kind(cell: str) -> str:
    choice = kind_choice(cell)
    if choice is not None:
        return choice[0]
    close = nearest(cell, [*(kind.words for kind in KINDS.values()), *KINDS])
    raise UnreadableCell(
        "a kind of source" + (f', perhaps "{close}"' if close else f', such as "{KINDS["x-other"].words}"')
    )


def _read_word(key: Key, plain: str) -> str:
    hyphened = re.sub(r"[\s_-]+", "-", plain)
    for word in key.one_of:
        if word.casefold() == hyphened:
            return word
    close = nearest(hyphened, key.one_of)
    raise UnreadableCell(expected(key) + (f'; perhaps "{close}"' if close else ""))


def write_cell(column: Column, value: object) -> str:
    """One value as a cell, guarded where it needs to be."""
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        # Without an exponent, so that every reader sees a number.
        return format(Decimal(str(value)), "f")
    text = str(value)
    return guarded(KINDS[text].words if column.name == "what" and text in KINDS else text)


def read_names(cell: str) -> tuple[str, ...]:
    """Several names in one cell, parted by upright strokes; quoted as in CSV where a name has one itself."""
    return tuple(
        filter(None, (name.strip() for name in next(csv.reader([cell], delimiter="|", skipinitialspace=True), [])))
    )


def write_names(names: Iterable[str]) -> str:
    """Several names as one cell that ``read_names`` reads."""
    row = io.StringIO()
    csv.writer(row, delimiter="|", lineterminator="").writerow(names)
    return row.getvalue()
