"""Rows of the patch sheet: one line of the plan, read from the stage to the house."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from portal.documents.labels.label_text import width_em
from portal.documents.rendering.printed import Printed
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT
from portal.plan.model import Line, Path, Plan

SENTENCE = 600
"""Longest printed sentence, in characters."""

NONE = "–"
"""Printed where nothing is to be done; an empty cell would read as forgotten."""

ROOM_FOR_NOTES = 20
"""Up to so many lines a note hangs under its row; beyond that 32 rows have to fit one page, and notes follow the
table.
"""

FREE_TEXT = ("tail", "path", "strip", "stand", "mic_or_di", "player", "loom", "source")
"""Columns whose words people choose; all other columns hold fixed words and numbers. What breaks soonest looks worst,
and stands first.
"""

ROOM_EM = 40.0
"""Width that the widest cells of those columns may have together, in em: the least that was seen to overflow A4, lying
on its side, has 41.4.
"""

HEAD_EM = 2.6
"""What the head of such a column needs at least."""

PHANTOM = {"none": NONE, "": NONE, "unknown": "not known"}
POLARITY = {"": NONE, "normal": NONE}


@dataclass(frozen=True)
class LineRow:
    """One line as papers print it, by its desk channel. Each field is finished text; ``stereo_with`` is the partner's
    channel.
    """

    channel: str
    strip: str
    source: str
    player: str
    mic_or_di: str
    whose: str
    stand: str
    phantom: str
    pad_db: str
    polarity: str
    stereo_with: str
    gain: str
    level: str
    socket: str
    line: str
    note: str


@dataclass(frozen=True)
class PatchRow(LineRow):
    """A line with its way from the stage to the house. ``pair`` is the partner's line; ``under`` hangs under the row,
    ``note`` says where to look else.
    """

    pair: str
    path: str
    split_way: str
    loom: str
    loom_way: str
    tail: str
    under: str


@dataclass(frozen=True)
class LineGroup:
    """The rows that one loom carries; ``loom`` is empty where lines run outside any loom."""

    loom: str
    rows: tuple[PatchRow, ...]


def line_groups(plan: Plan, printed: Printed) -> Iterator[LineGroup]:
    """The lines by loom, in the order in which the looms first appear; inside a loom by line number."""
    looms: dict[str, list[PatchRow]] = {}
    labels = source_labels(plan)
    hang = len(plan.lines) <= ROOM_FOR_NOTES
    for line in sorted(plan.lines, key=lambda one: one.line):
        notes = tuple(line_notes(line, labels, printed))
        row = _patch_row(line, printed)
        row = replace(row, under=" · ".join(notes)) if hang else replace(row, note="below" if notes else "")
        looms.setdefault(line.loom.key if line.loom else "", []).append(row)
    for key, rows in looms.items():
        yield LineGroup(rows[0].loom if key else "", tuple(rows))


def source_labels(plan: Plan) -> Mapping[str, str]:
    """Source key -> label, of every source that the plan names by itself."""
    return {one.source: one.label for one in plan.not_sent} | {one.source: one.label for one in plan.ear_inputs}


def line_notes(line: Line, labels: Mapping[str, str], printed: Printed) -> Iterator[str]:
    """What does not fit a cell: the parts of a summed line, the band's note. ``labels``: source key -> label."""
    names = [labels[key] for key in line.sources if key in labels]
    if len(line.sources) > 1 and names:
        yield printed(f"Carries {', '.join(names)}.", SENTENCE, f"what line {line.line} carries")
    if line.run:
        yield printed(f"Cables: {line.run}.", SENTENCE, f"the cables of line {line.line}")
    if note := printed(line.note, MAX_TEXT, f"the note of line {line.line}"):
        yield note


def whole_columns(groups: tuple[LineGroup, ...]) -> frozenset[str] | None:
    """The columns whose cells stay on one line each, as many as there is room for; ``None`` where not even the longest
    words fit beside each other, so that words themselves must break.
    """
    rows = [row for group in groups for row in group.rows]
    cells = {name: {getattr(row, name) for row in rows} for name in FREE_TEXT}
    words = {name: _widest(word for cell in texts for word in cell.split()) for name, texts in cells.items()}
    room = ROOM_EM - sum(words.values())
    if room < 0:
        return None
    whole: set[str] = set()
    for name, texts in cells.items():
        more = _widest(texts) - words[name]
        if more <= room:
            whole.add(name)
            room -= more
    return frozenset(whole)


def _widest(texts: Iterable[str]) -> float:
    return max((HEAD_EM, *map(width_em, texts)))


def line_row(line: Line, channels: Mapping[int, int], printed: Printed) -> LineRow:
    """The row of a line, its note left out. ``channels``: number of a line -> its desk channel."""

    def word(text: str, what: str) -> str:
        return printed(text, MAX_LABEL, f"{what} of line {line.line}") or NONE

    return LineRow(
        channel=str(line.desk_channel),
        strip=word(line.strip, "the strip name"),
        source=word(line.label, "the label"),
        player=word(line.player, "the player"),
        mic_or_di=word(line.mic_or_di, "the microphone or DI"),
        whose=word(line.owner, "the owner"),
        stand=word("" if line.stand == "none" else line.stand, "the stand"),
        phantom=line.desk_phantom or PHANTOM.get(line.phantom) or word(line.phantom, "48 V"),
        pad_db=str(line.pad_db) if line.pad_db else NONE,
        polarity=POLARITY.get(line.polarity) or word(line.polarity, "the polarity"),
        stereo_with=str(channels.get(line.stereo_partner or 0, NONE)),
        gain=word(line.gain_owner, "the gain"),
        level=word(line.level, "the level"),
        socket=line.socket,
        line=str(line.line),
        note="",
    )


def _patch_row(line: Line, printed: Printed) -> PatchRow:
    row = line_row(line, {}, printed)
    of_line, loom = f"of line {line.line}", line.loom
    return PatchRow(
        **vars(row),
        pair=str(line.stereo_partner) if line.stereo_partner else "",
        path=printed(path_words(line.path), MAX_LABEL, f"the path {of_line}"),
        split_way=str(line.path.way) if line.path.way is not None else NONE,
        loom=printed(line.cable, MAX_LABEL, f"the loom {of_line}") or NONE,
        loom_way=str(loom.way) if loom else NONE,
        tail=(printed(loom.house_end, MAX_LABEL, f"the tail {of_line}") if loom else "") or NONE,
        under="",
    )


def path_words(path: Path) -> str:
    """How the line travels, in a few words; the splitter's way has a column of its own."""
    output = path.output.replace(" output", "").removeprefix("out-")
    if path.kind == "straight":
        return "straight, no split"
    if path.kind == "split":
        return f"{path.unit_name}, {output}" if output else path.unit_name
    return f"{path.unit_name or path.kind}, out {output}" if output else path.unit_name or path.kind
