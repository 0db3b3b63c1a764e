"""Deeds on the rows of the sheet while it is typed: they draw the form again and save nothing."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from portal.plan.input.rig import MAX_SOURCES, Rig, Source
from portal.plan.options.routing_policy import TO_THE_HOUSE, goes_of
from portal.web.rig.editing.sheet_rows import INLINE, WORDED, Row, first, named
from portal.web.rig.rig_fields import Reading, Values, options_of
from portal.wording.catalogue import gettext

MORE_BLANKS = 10


@dataclass(frozen=True)
class News:
    """What just happened: in words, the place of the row that it happened to, and by which button. ``undo``: the
    revision that can be put back. ``blanks``: how many blank rows are asked for.
    """

    words: str = ""
    place: int = -1
    deed: str = ""
    undo: int = 0
    blanks: int = 0


def act_on(rows: list[Row], numbers: Sequence[int], deed: str, values: Values, rig: Rig) -> News | None:
    """Do a deed of the sheet to its rows; ``None`` for a word that is none. The row is meant whose number in the form,
    one of ``numbers``, stands in ``at``. ``rig``: as it was typed, a source for each row.
    """
    typed = Reading(values)
    if deed == "ten":
        return News(
            gettext("%(more_blanks)s blank rows are below. Not saved yet.", more_blanks=MORE_BLANKS),
            deed=deed,
            blanks=MORE_BLANKS,
        )
    if deed == "back":
        return News(gettext("What was typed here before is in the form again. Not saved yet."), deed=deed)
    if deed == "paste":
        return _paste(rows, numbers, typed)
    return _act_on_one(rows, numbers, deed, typed, rig) if deed in (*_DEEDS, "to", "number") else None


def _act_on_one(rows: list[Row], numbers: Sequence[int], deed: str, typed: Reading, rig: Rig) -> News:
    at = typed.text("at")
    if not re.fullmatch(r"[0-9]{1,4}", at) or int(at) not in numbers:
        return News(gettext("Enter the number of the row that is meant. Nothing was done."), deed=deed)
    place = numbers.index(int(at))
    if deed == "number":
        return _number_from(rows, place, rig)
    if deed == "to":
        return _move_to(rows, place, typed.text("to"))
    sentence, shown = _DEEDS[deed](rows, place)
    return News(gettext("%(sentence)s Not saved yet.", sentence=sentence), shown, deed)


def _number_from(rows: list[Row], start: int, rig: Rig) -> News:
    """Splitter ways one after the other, from a row down to the last one that the splitter has; its own way begins,
    else the one after the highest above it. What stays in the in-ears and has no way gets none.
    """
    ways = [int(first(row, "way")) for row in rows[:start] if re.fullmatch(r"[0-9]{1,3}", first(row, "way"))]
    own = first(rows[start], "way")
    begin = int(own) if re.fullmatch(r"[0-9]{1,3}", own) else max(ways, default=0) + 1
    split = [
        place
        for place in range(start, len(rows))
        if first(rows[place], "way") or (rig.source[place].label and goes_of(rig.source[place]) in TO_THE_HOUSE)
    ]
    most = max((splitter.ways for splitter in rig.splitter), default=len(rows))
    for way, place in enumerate(split, start=begin):
        rows[place] = {**rows[place], "way": (str(way) if way <= most else "",)}
    words = gettext(
        "Splitter ways count from %(begin)s, from row %(start)s on. Not saved yet.", begin=begin, start=start + 1
    )
    if left := split[max(0, most - begin + 1) :]:
        words += f" The splitter has {most} ways: {_count(len(left))} left without one."
    return News(words, start, "number")


def _count(rows: int) -> str:
    return gettext("1 row is") if rows == 1 else gettext("%(rows)s rows are", rows=rows)


def _move_to(rows: list[Row], place: int, typed: str) -> News:
    if not re.fullmatch(r"[0-9]{1,4}", typed):
        words = gettext(
            "Enter the number of the row that %(place)s is to become. Nothing was moved.",
            place=named(rows[place], place),
        )
        return News(words, place, "to")
    sentence, shown = _move(rows, place, min(max(int(typed), 1), len(rows)) - 1)
    return News(gettext("%(sentence)s Not saved yet.", sentence=sentence), shown, "to")


def _up(rows: list[Row], place: int) -> tuple[str, int]:
    return _move(rows, place, max(0, place - 1))


def _down(rows: list[Row], place: int) -> tuple[str, int]:
    return _move(rows, place, min(len(rows) - 1, place + 1))


def _move(rows: list[Row], place: int, to: int) -> tuple[str, int]:
    rows.insert(to, rows.pop(place))
    return gettext("%(label)s is row %(number)s now.", label=named(rows[to], to), number=to + 1), to


def _copy(rows: list[Row], place: int) -> tuple[str, int]:
    row = rows[place]
    # A copy is plugged elsewhere; saving gives it what is free next.
    copied = {
        **row,
        "was": ("",),
        "like": row.get("was", ()),
        "label": (f"{first(row, 'label')} 2",),
        "way": (),
        "mixer_input": (),
    }
    rows.insert(place + 1, copied)
    return gettext("%(label)s is copied to row %(number)s.", label=named(row, place), number=place + 2), place + 1


def _remove(rows: list[Row], place: int) -> tuple[str, int]:
    gone = rows.pop(place)
    return gettext("%(place)s is taken away.", place=named(gone, place)), -1


def _paste(rows: list[Row], numbers: Sequence[int], typed: Reading) -> News:
    """Lay a block of pasted cells over the rows from one on, in the columns that are named; below the last row they
    make new ones.
    """
    lines = [line.split("\t") for line in typed.text("cells").splitlines() if line.strip()]
    columns = [name for name in typed.text("column").split(",") if name in INLINE]
    at = typed.text("at")
    if not lines or not columns or not re.fullmatch(r"[0-9]{1,4}", at) or len(lines) > MAX_SOURCES:
        return News(
            gettext(
                "Nothing was pasted. At most %(max_sources)s rows fit, into the cells of a row.",
                max_sources=MAX_SOURCES,
            ),
            deed="paste",
        )
    if columns[0] == "label" and all(_NUMBERED.match(cells[0]) for cells in lines):
        lines = [[_NUMBERED.sub("", cells[0]), *cells[1:]] for cells in lines]
    start = sum(number < int(at) for number in numbers)
    rows += [{"was": ("",)}] * (start + len(lines) - len(rows))
    strange = 0
    for place, cells in enumerate(lines, start=start):
        laid = {name: _cell(name, cell.strip()) for name, cell in zip(columns, cells, strict=False)}
        strange += sum(cell is None for cell in laid.values())
        rows[place] = {**rows[place], **{name: (cell,) for name, cell in laid.items() if cell is not None}}
    words = gettext(
        "%(count)s rows are pasted, from row %(start)s on. Not saved yet.", count=len(lines), start=start + 1
    )
    if strange:
        words += f" {strange} {'cell was' if strange == 1 else 'cells were'} left out: not one of the list's choices."
    return News(words, start, "paste")


_NUMBERED = re.compile(r"\s*[0-9]{1,3}[.):]\s+")
"""The number before a label, as lists have it."""


def _cell(name: str, text: str) -> str | None:
    """What a pasted cell says in a column; ``None`` where the column offers choices and this is none of them."""
    offered = options_of(Source, name)
    if not offered or name in WORDED:
        return text
    said = {words.casefold(): value for value, words in offered} | {value.casefold(): value for value, _ in offered}
    return said.get(text.casefold())


_DEEDS = {"up": _up, "down": _down, "copy": _copy, "remove": _remove}
