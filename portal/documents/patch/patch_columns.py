"""Which columns the stage box's table has: what every row says alike is said once above it, what one row says
otherwise in its note, and the rest by width.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from portal.documents.labels.label_text import width_em
from portal.documents.patch.patch_rows import NONE, PatchRow
from portal.documents.rendering.printed import ranges
from portal.wording.catalogue import Words, gettext, look_up, mark, read_in

POINT_MM = 25.4 / 72
WIDTH_MM = 197.0
"""Room for the table on A4, upright, between its margins."""

HEAD_PT = 9.0
"""Type of the heads, in bold."""

OTHER_PT = 7.0
"""Type of the second line of a head, which is for the other side."""

REGULAR = 0.96
"""Width of regular type, as a share of bold type, at most."""

PADDING_MM = 1.8
"""White on both sides of a cell, and its rule."""

ALIKE_ENOUGH = 2 / 3
"""From this share of rows on, the few that differ say so in their notes, and the column is left out."""


@dataclass(frozen=True)
class Column:
    """One column. ``name`` is a field of a row; ``size_pt`` its cells' type, ``bold`` whether that is bold;
    ``least_mm`` its least width, for the pen. ``other`` is its head in the other side's language, where it differs.
    """

    name: str
    head: str
    kind: str = ""
    size_pt: float = HEAD_PT
    least_mm: float = 0.0
    bold: bool = False
    other: str = ""

    def lines(self, head: str) -> list[str]:
        """What stands below each other of a head: of a column of numbers its words, each at its hyphens."""
        return _pieces(head) if "n" in self.kind.split() else [head]


COLUMNS = (
    Column("split_way", mark("Split way"), "n"),
    Column("loom", mark("Loom")),
    Column("loom_way", mark("Loom way"), "n"),
    Column("tail", mark("Tail")),
    Column("socket", mark("Box input"), "n socket", 17.0, bold=True),
    Column("channel", mark("Desk channel"), "n desk", 13.0, bold=True),
    Column("strip", mark("Short name"), "strip", 10.0, bold=True),
    Column("source", mark("Source"), bold=True),
    Column("mic_or_di", mark("Mic or DI")),
    Column("path", mark("Path"), "path", least_mm=22.0),
    Column("whose", mark("Whose")),
    Column("gain", mark("Gain")),
    Column("phantom", mark("48 V"), "phantom", bold=True),
    Column("pad_db", mark("Pad dB"), "n"),
    Column("stand", mark("Stand")),
    Column("note", mark("Note"), "note", least_mm=20.0),
    Column("tick", mark("Tick"), "tick", least_mm=7.0),
)
"""All columns, from the stage to the house; the last two are also for the pen."""

SAID_ONCE = (
    "loom", "tail", "path", "whose", "gain", "level", "polarity", "transformer", "mic_or_di", "phantom", "pad_db",
    "stand",
)  # fmt: skip
"""Fields that are said once where all rows say the same."""

HEADS = Words(
    {column.name: column.head for column in COLUMNS}
    | {
        "loom": mark("Carried by"),
        "level": mark("Level"),
        "polarity": mark("Polarity"),
        "transformer": mark("In the line"),
    }
)

IN_NOTES = ("path", "whose", "gain", "level", "polarity", "transformer")
"""Fields that a note may say of one row, each in words of its own."""

ONLY_IN_NOTES = frozenset({"level", "polarity", "transformer"})
"""Fields without a column."""

NOTHING = Words({"phantom": mark("off"), "polarity": mark("normal")})
"""What a sentence says for a dash, other than none."""

BY_LOOM = ("tail", "path")
"""Fields that are said once for each loom where all its rows say the same."""

LIKE_THE_INPUT = ("split_way", "loom_way")
"""Numbers that often are those of the box inputs."""

LINES_OF_A_NOTE = 2
"""So many lines of a note stand beside each other in a row's height; a longer one hangs under its row."""

KEPT_WHOLE = ("phantom", "strip", "stand", "source", "mic_or_di", "tail", "loom", "path", "whose", "gain", "note")
"""Columns whose cells stay on one line each, the most important first, as far as there is room."""


@dataclass(frozen=True)
class BoxTable:
    """The table as it is printed. ``once`` and ``otherwise`` are heads with what every row, or every row but those with
    a note, says; ``by_loom`` the same of each loom's rows. ``players`` are names with desk channels. ``whole`` are the
    columns that stay on one line, ``None`` where words themselves must break. ``other`` is the language of the heads'
    second line, empty where they have none.
    """

    columns: tuple[Column, ...]
    rows: tuple[PatchRow, ...]
    once: tuple[tuple[str, str], ...]
    by_loom: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    otherwise: tuple[tuple[str, str], ...]
    players: tuple[tuple[str, str], ...]
    whole: frozenset[str] | None
    other: str = ""


def box_table(rows: Sequence[PatchRow], other: str = "") -> BoxTable:
    """The table of these rows, its heads also in the ``other`` side's language where that is another."""
    once = {name: word for name in SAID_ONCE if (word := _alike(rows, name))}
    once |= {
        name: gettext("= box input")
        for name in LIKE_THE_INPUT
        if rows and all(getattr(row, name) == row.socket for row in rows)
    }
    looms: dict[str, list[PatchRow]] = {}
    for row in rows:
        looms.setdefault(row.loom, []).append(row)
    nameable = all(_sayable(loom) for loom in looms)
    of_looms = [
        name
        for name in BY_LOOM
        if nameable and name not in once and all(_alike(of_one, name) for of_one in looms.values())
    ]
    usual = {name: word for name in IN_NOTES if name not in (*once, *of_looms) and (word := _usual(rows, name))}
    said = {*once, *of_looms, *usual}
    columns = tuple(
        replace(column, head=look_up(column.head), other=_other_head(column.head, other))
        for column in COLUMNS
        if column.name not in said and not _empty(column, rows)
    )
    hung = _hung(rows, usual, _room_for_notes(columns, rows))
    return BoxTable(
        columns,
        hung,
        _said(once),
        tuple(
            filter(
                lambda one: one[1],
                (
                    (loom, _said({name: getattr(of_one[0], name) for name in of_looms}))
                    for loom, of_one in looms.items()
                ),
            )
        ),
        _said(usual),
        tuple(_players(rows)),
        _whole(columns, hung),
        other,
    )


def _other_head(english: str, language: str) -> str:
    if not language:
        return ""
    with read_in(language):
        other = look_up(english)
    return "" if other == look_up(english) else other


def _players(rows: Sequence[PatchRow]) -> Iterator[tuple[str, str]]:
    """Each player with the desk channels of what they play."""
    channels: dict[str, list[int]] = {}
    for row in rows:
        if row.player != NONE:
            channels.setdefault(row.player, []).append(int(row.channel))
    yield from ((player, ranges(numbers)) for player, numbers in channels.items())


def _alike(rows: Sequence[PatchRow], name: str) -> str:
    """What all rows say; empty where they differ, or where a sentence could not hold it."""
    words = {getattr(row, name) for row in rows}
    word = words.pop() if len(words) == 1 else ""
    return word if _sayable(word) else ""


def _sayable(word: str) -> bool:
    """Whether a sentence can hold a word without ending there."""
    return not any(sign in word for sign in ".;:")


def _usual(rows: Sequence[PatchRow], name: str) -> str:
    """What most rows say, where few enough differ."""
    counted = Counter(getattr(row, name) for row in rows)
    word, count = counted.most_common(1)[0] if counted else ("", 0)
    enough = name in ONLY_IN_NOTES or count >= ALIKE_ENOUGH * len(rows)
    return word if enough and _sayable(word) else ""


def _empty(column: Column, rows: Sequence[PatchRow]) -> bool:
    """Whether nobody has anything to read or write there."""
    return not column.least_mm and all(getattr(row, column.name) == NONE for row in rows)


def _said(words: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """Heads and words; what is a dash in a cell is a word in a sentence, but for a tail, since a cable is known to end,
    and for a line in which nothing lies.
    """
    said = {name: word for name, word in words.items() if name not in ("tail", "transformer") or word != NONE}
    return tuple((HEADS[name], _in_a_sentence(name, word)) for name, word in said.items())


def _in_a_sentence(name: str, word: str) -> str:
    return NOTHING.get(name, gettext("none")) if word == NONE else word


def _hung(rows: Sequence[PatchRow], usual: Mapping[str, str], room_mm: float) -> tuple[PatchRow, ...]:
    """The rows with what each says otherwise than most, and its partner: in its note, or under the row where the note
    would make it higher, or something hangs there anyway.
    """
    return tuple(
        replace(row, note=note)
        if _lines(note := " · ".join(_otherwise(row, usual)), room_mm) <= (1 if row.under else LINES_OF_A_NOTE)
        else replace(row, note="", under=(*_otherwise(row, usual, path=HEADS["path"]), *row.under))
        for row in rows
    )


def _otherwise(row: PatchRow, usual: Mapping[str, str], path: str = "") -> list[str]:
    """What a row says otherwise than most, each in words of its own. ``path`` is the head before its path."""
    parts = [
        f"{path} {row.in_a_note[name]}" if path and name == "path" else row.in_a_note[name]
        for name in usual
        if getattr(row, name) != usual[name]
    ]
    if row.stereo_with != NONE:
        parts.append(gettext("stereo with channel %(channel)s", channel=row.stereo_with))
    return parts


def width_mm(text: str) -> float:
    """Width of a text on one line, as cells and notes are set."""
    return width_em(text) * HEAD_PT * REGULAR * POINT_MM


def _lines(text: str, room_mm: float) -> int:
    """How many lines a text takes in so much room."""
    lines, line = 0, ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if line and width_mm(longer) <= room_mm:
            line = longer
        else:
            lines, line = lines + 1, word
    return lines


def _room_for_notes(columns: Sequence[Column], rows: Sequence[PatchRow]) -> float:
    """The width that the other columns leave to the words of the notes, in mm."""
    note = next(column for column in columns if column.name == "note")
    others = [column for column in columns if column is not note]
    whole = _whole(columns, [replace(row, note="") for row in rows]) or frozenset()
    cells = {column: [str(getattr(row, column.name)) for row in rows if column.name != "tick"] for column in others}
    taken = sum(_width(column, texts if column.name in whole else _words(texts)) for column, texts in cells.items())
    return max(note.least_mm, WIDTH_MM - taken) - PADDING_MM


def _whole(columns: Iterable[Column], rows: Sequence[PatchRow]) -> frozenset[str] | None:
    """The columns whose cells stay on one line each, as many as there is room for; ``None`` where not even the longest
    words fit beside each other, so that words themselves must break.
    """
    by_name = {column.name: column for column in columns}
    cells = {name: {str(getattr(row, name, "")) for row in rows} for name in by_name}
    narrow = {name: _width(column, _words(cells[name])) for name, column in by_name.items()}
    room = WIDTH_MM - sum(narrow.values())
    if room < 0:
        return None
    whole = {name for name in by_name if name not in KEPT_WHOLE}
    for name in filter(by_name.__contains__, KEPT_WHOLE):
        more = _width(by_name[name], cells[name]) - narrow[name]
        if more <= room:
            whole.add(name)
            room -= more
    return frozenset(whole)


def _words(texts: Iterable[str]) -> list[str]:
    return [word for text in texts for word in text.split()]


def _pieces(head: str) -> list[str]:
    """What stands below each other of a head at its narrowest: its words, each at its hyphens, soft ones too."""
    return head.replace("-", "- ").replace("\N{SOFT HYPHEN}", "- ").split()


def _width(column: Column, texts: Iterable[str]) -> float:
    """Width of a column whose cells hold these texts; words of its head may stand below each other."""
    share = column.size_pt * (1 if column.bold else REGULAR)
    ems = [HEAD_PT * width_em(piece) for piece in _pieces(column.head)] + [share * width_em(text) for text in texts]
    ems += [OTHER_PT * REGULAR * width_em(piece) for piece in _pieces(column.other)]
    return max(column.least_mm, max(ems) * POINT_MM + PADDING_MM)
