"""Rows of the patch sheet: one line of the plan, read from the stage to the house."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from portal.documents.house_48v import feed_behind, house_switch, off_at_the_house
from portal.documents.rendering.printed import Printed, ranges
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT
from portal.plan.model import Line, Path, Plan
from portal.plan.phrase import Said
from portal.plan.result.spelling import leg_said, notes_of
from portal.wording.catalogue import Words, gettext, look_up, mark
from portal.wording.kinds import say_stand
from portal.wording.plan.saying import say

SENTENCE = 600
"""Longest printed sentence, in characters."""

CUT = 4 * SENTENCE
"""Longest row of the cut list: each is carried out clause by clause, so none of them may be lost."""

NONE = "–"
"""Printed where nothing is to be done; an empty cell would read as forgotten."""

NOT_DRY = mark("direct out, not dry")
"""What an output whose tap lies after EQ or fader, or is not known, is called on stage."""

SIDES = Words({"band": mark("band"), "house": mark("house"), "each": mark("each")})
"""Who brings a thing, or sets a gain."""

SOCKETS = Words({"left": mark("left"), "right": mark("right"), "mono": mark("mono"), "link": mark("link")})
"""What is plugged into where that is no number."""

LEVELS = Words({"mic": mark("mic"), "line": mark("line"), "digital": mark("digital")})
POLARITY = Words({"": NONE, "normal": NONE, "flip": mark("flip")})

IN_NOTES: Mapping[str, Mapping[str, str]] = {
    "owner": Words({"band": mark("band brings it"), "house": mark("house brings it")}),
    "gain_owner": Words(
        {
            "band": mark("gain by the band"),
            "house": mark("gain by the house"),
            "each": mark("gain by each"),
        }
    ),
    "level": Words({"mic": mark("mic level"), "line": mark("line level"), "digital": mark("digital level")}),
    "polarity": Words({"": mark("polarity normal"), "normal": mark("polarity normal"), "flip": mark("polarity flip")}),
}
"""What a note says of a line that is otherwise than most, by the line's field."""


@dataclass(frozen=True)
class LineRow:
    """One line as papers print it, by its desk channel. Each field is finished text; ``stereo_with`` is the partner's
    channel, ``in_a_note`` what a note says of a field.
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
    in_a_note: Mapping[str, str]


@dataclass(frozen=True)
class PatchRow(LineRow):
    """A line with its way from the stage to the house. ``under`` are the notes that hang under the row."""

    path: str
    split_way: str
    loom: str
    loom_way: str
    tail: str
    transformer: str
    under: tuple[str, ...]


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
    names = [labels[key] for key in line.sources if key in labels]
    told = bool(line.guest) and len(line.label) <= MAX_LABEL
    if names not in ([], [line.label]) and not told:
        yield printed(carries(names), SENTENCE, gettext("what line %(line)s carries", line=line.line))
    if feed := feed_behind(line, plan):
        yield printed(
            gettext("%(at_the_mixer)s; %(at_the_house)s.", at_the_mixer=feed, at_the_house=off_at_the_house(line)),
            SENTENCE,
            gettext("48 V of line %(line)s", line=line.line),
        )
    if line.run:
        yield printed(
            gettext("Cables: %(cables)s.", cables=say(line.run)),
            SENTENCE,
            gettext("the cables of line %(line)s", line=line.line),
        )
    if note := printed(
        notes_of(line, plan.moves),
        MAX_TEXT,
        gettext("the note of line %(line)s", line=line.line),
    ):
        yield note


def socket_words(line: Line) -> str:
    """The box input of a line as papers print it, or which input of a PA."""
    return SOCKETS.get(line.socket, line.socket)


def carries(names: Iterable[str]) -> str:
    """What runs on a line, in a sentence."""
    return gettext("Carries %(labels)s.", labels=", ".join(names))


def line_row(line: Line, channels: Mapping[int, int], printed: Printed) -> LineRow:
    """The row of a line, its note left out. ``channels``: number of a line -> its desk channel."""

    def word(text: Said, what: str) -> str:
        return printed(text, MAX_LABEL, gettext("%(what)s of line %(line)s", what=what, line=line.line)) or NONE

    return LineRow(
        channel=str(line.desk_channel),
        strip=word(line.strip, gettext("the short name")),
        source=word(line.label, gettext("the label")),
        player=word(line.player, gettext("the player")),
        mic_or_di=word(line.mic_or_di, gettext("the microphone or DI")),
        whose=word(SIDES.get(line.owner, line.owner), gettext("the owner")),
        stand=word(say_stand(line.stand), gettext("the stand")),
        phantom=word(house_switch(line), "48 V"),
        pad_db=str(line.pad_db) if line.pad_db else NONE,
        polarity=POLARITY.get(line.polarity, line.polarity),
        stereo_with=str(channels.get(line.stereo_partner or 0, NONE)),
        gain=word(SIDES.get(line.gain_owner, line.gain_owner), gettext("the gain")),
        level=word(LEVELS.get(line.level, line.level), gettext("the level")),
        socket=socket_words(line),
        line=str(line.line),
        note="",
        in_a_note={
            "whose": IN_NOTES["owner"].get(line.owner, line.owner),
            "gain": IN_NOTES["gain_owner"].get(line.gain_owner, line.gain_owner),
            "level": IN_NOTES["level"].get(line.level, line.level),
            "polarity": IN_NOTES["polarity"].get(line.polarity, line.polarity),
        },
    )


def _patch_row(line: Line, row: LineRow, under: tuple[str, ...], printed: Printed) -> PatchRow:
    loom, loose = line.loom, line.transformer and not line.run

    def word(text: Said, what: str) -> str:
        return printed(text, MAX_LABEL, gettext("%(what)s of line %(line)s", what=what, line=line.line)) or NONE

    in_a_note = {
        "path": path_words(line.path),
        "transformer": gettext("isolating transformer at the box") if loose else gettext("no isolating transformer"),
    }
    return PatchRow(
        **{**vars(row), "in_a_note": {**row.in_a_note, **in_a_note}},
        path=word(path_words(line.path), gettext("the path")),
        split_way=str(line.path.way) if line.path.way is not None else NONE,
        loom=word(line.cable, gettext("the loom")),
        loom_way=str(loom.way) if loom else NONE,
        tail=word(loom.house_end if loom else "", gettext("the tail")),
        # Where the cables of a line are said, they say it.
        transformer=gettext("isolating transformer at the box") if loose else NONE,
        under=under,
    )


def lifts_of(plan: Plan, printed: Printed) -> Iterator[tuple[str, str]]:
    """Desk channels and what is said of their ground lift, once for all that share it."""
    channels: dict[str, list[int]] = {}
    for line in plan.lines:
        if line.lift not in {"", "none"}:
            channels.setdefault(printed(line.lift, MAX_TEXT, gettext("a ground lift")), []).append(line.desk_channel)
    for lift, numbers in channels.items():
        yield ranges(numbers), lift


def path_words(path: Path) -> str:
    """How the line travels, in a few words; the splitter's way has a column of its own."""
    if path.kind == "straight":
        return gettext("straight, no split")
    if path.kind == "split":
        leg, unit = leg_said(path), say(path.unit_name)
        return f"{unit}, {say(leg)}" if leg else unit
    output = path.output.removeprefix("out-")
    name = look_up(NOT_DRY) if path.kind == "processed-direct-out" else say(path.unit_name) or path.kind
    return gettext("%(path)s, out %(output)s", path=name, output=output) if output else name
