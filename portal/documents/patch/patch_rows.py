"""Rows of the patch sheet: one line of the plan, read from the stage to the house."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from portal.documents.house_48v import feed_behind, house_switch, off_at_the_house
from portal.documents.rendering.printed import Printed
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT
from portal.plan.model import Line, Path, Plan
from portal.plan.result.spelling import leg_named

SENTENCE = 600
"""Longest printed sentence, in characters."""

CUT = 4 * SENTENCE
"""Longest row of the cut list: each is carried out clause by clause, so none of them may be lost."""

NONE = "–"
"""Printed where nothing is to be done; an empty cell would read as forgotten."""

NOT_DRY = "direct out, not dry"
"""What an output whose tap lies after EQ or fader, or is not known, is called on stage."""

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
    """A line with its way from the stage to the house. ``under`` are the notes that hang under the row; ``more`` is
    true where they stand elsewhere.
    """

    path: str
    split_way: str
    loom: str
    loom_way: str
    tail: str
    transformer: str
    under: tuple[str, ...]
    more: bool = False


def patch_rows(plan: Plan, printed: Printed) -> Iterator[PatchRow]:
    """The lines by loom, in the order in which the looms first appear; inside a loom by line number."""
    channels = {line.line: line.desk_channel for line in plan.lines}
    labels = source_labels(plan)
    looms: dict[str, list[PatchRow]] = {}
    for line in sorted(plan.lines, key=lambda one: one.line):
        row = line_row(line, channels, printed)
        under = tuple(line_notes(line, plan, labels, printed))
        looms.setdefault(line.loom.key if line.loom else "", []).append(_patch_row(line, row, under, printed))
    for rows in looms.values():
        yield from rows


def source_labels(plan: Plan) -> Mapping[str, str]:
    """Source key -> label, of every source that the plan names by itself."""
    return {one.source: one.label for one in plan.not_sent} | {one.source: one.label for one in plan.ear_inputs}


def line_notes(line: Line, plan: Plan, labels: Mapping[str, str], printed: Printed) -> Iterator[str]:
    """What does not fit a cell: the parts of a summed line, the band's note. ``labels``: source key -> label.
    What moves in the band's rack has a table of its own.
    """
    moved = {move.words for move in plan.moves}
    names = [labels[key] for key in line.sources if key in labels]
    if names not in ([], [line.label]):
        yield printed(f"Carries {', '.join(names)}.", SENTENCE, f"what line {line.line} carries")
    if feed := feed_behind(line, plan):
        yield printed(f"{feed}; {off_at_the_house(line)}.", SENTENCE, f"48 V of line {line.line}")
    if line.run:
        yield printed(f"Cables: {line.run}.", SENTENCE, f"the cables of line {line.line}")
    if note := printed(
        "; ".join(part for part in line.note.split("; ") if part not in moved),
        MAX_TEXT,
        f"the note of line {line.line}",
    ):
        yield note


def line_row(line: Line, channels: Mapping[int, int], printed: Printed) -> LineRow:
    """The row of a line, its note left out. ``channels``: number of a line -> its desk channel."""

    def word(text: str, what: str) -> str:
        return printed(text, MAX_LABEL, f"{what} of line {line.line}") or NONE

    return LineRow(
        channel=str(line.desk_channel),
        strip=word(line.strip, "the short name"),
        source=word(line.label, "the label"),
        player=word(line.player, "the player"),
        mic_or_di=word(line.mic_or_di, "the microphone or DI"),
        whose=word(line.owner, "the owner"),
        stand=word("" if line.stand == "none" else line.stand, "the stand"),
        phantom=word(house_switch(line), "48 V"),
        pad_db=str(line.pad_db) if line.pad_db else NONE,
        polarity=POLARITY.get(line.polarity) or word(line.polarity, "the polarity"),
        stereo_with=str(channels.get(line.stereo_partner or 0, NONE)),
        gain=word(line.gain_owner, "the gain"),
        level=word(line.level, "the level"),
        socket=line.socket,
        line=str(line.line),
        note="",
    )


def _patch_row(line: Line, row: LineRow, under: tuple[str, ...], printed: Printed) -> PatchRow:
    of_line, loom = f"of line {line.line}", line.loom
    return PatchRow(
        **vars(row),
        path=printed(path_words(line.path), MAX_LABEL, f"the path {of_line}"),
        split_way=str(line.path.way) if line.path.way is not None else NONE,
        loom=printed(line.cable, MAX_LABEL, f"the loom {of_line}") or NONE,
        loom_way=str(loom.way) if loom else NONE,
        tail=(printed(loom.house_end, MAX_LABEL, f"the tail {of_line}") if loom else "") or NONE,
        # Where the cables of a line are said, they say it.
        transformer="isolating transformer at the box" if line.transformer and not line.run else NONE,
        under=under,
    )


def path_words(path: Path) -> str:
    """How the line travels, in a few words; the splitter's way has a column of its own."""
    if path.kind == "straight":
        return "straight, no split"
    if path.kind == "split":
        leg = leg_named(path)
        return f"{path.unit_name}, {leg}" if leg else path.unit_name
    output = path.output.removeprefix("out-")
    name = NOT_DRY if path.kind == "processed-direct-out" else path.unit_name or path.kind
    return f"{name}, out {output}" if output else name
