"""The in-ears' side of the patch sheet: inputs of the band's mixer, as far as the lines' rows do not say them already,
plugs that move, in-ear mixes, and what comes back from the house.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import zip_longest
from typing import TypeVar

from portal.documents.house_48v import mixer_switch
from portal.documents.patch.mixer_rows import by_input
from portal.documents.patch.patch_rows import NONE, SENTENCE
from portal.documents.rendering.printed import Printed, ranges
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT
from portal.plan.model import EarInput, EarMix, Line, Plan
from portal.plan.result.spelling import Feed, desk_switch, feed_of, feed_said, through
from portal.wording.catalogue import Words, gettext, mark, ngettext
from portal.wording.plan.saying import say

Row = TypeVar("Row")

MOST_RUNS = 4
"""So many runs of ways are read at a glance; where there are more, every input has a row of its own."""


@dataclass(frozen=True)
class MoveRow:
    """One plug that sits elsewhere than the rig says."""

    source: str
    rig: str
    tonight: str
    note: str


@dataclass(frozen=True)
class EarRow:
    """One input of the band's mixer."""

    mixer_input: str
    source: str
    fed_by: str
    phantom: str
    channel: str


@dataclass(frozen=True)
class MixRow:
    """One in-ear mix."""

    player: str
    width: str
    outs: str
    carried_by: str
    cable: str


@dataclass(frozen=True)
class ReturnRow:
    """One line from the house to the band."""

    label: str
    loom: str
    way: str
    tail: str
    box_output: str
    mixer_input: str
    turn_rounds: str
    note: str


def fed_like_their_lines(plan: Plan) -> Mapping[str, Line]:
    """Source -> its line, where the line's own way of the splitter feeds the mixer's input, and 48 V is on there
    exactly where the line says that the band feeds it.
    """
    lines = {line.sources[0]: line for line in plan.lines if len(line.sources) == 1 and line.path.kind == "split"}
    found = {
        one.source: lines[one.source]
        for one in plan.ear_inputs
        if one.source in lines and _alike(one, lines[one.source])
    }
    return found if len(_runs(plan, found)) <= MOST_RUNS else {}


def _alike(one: EarInput, line: Line) -> bool:
    way = (line.path.unit_name, str(line.path.way))
    said = ("band",) if desk_switch(line) == "band" else ("none", "never", "")
    return one.mixer_input is not None and through(one) == way and one.phantom in said


def fed_alike(plan: Plan) -> Iterator[str]:
    """One sentence for each run of ways: which inputs of the mixer they feed."""
    for (unit, _), pairs in _runs(plan, fed_like_their_lines(plan)).items():
        ways, inputs = zip(*pairs, strict=True)
        yield ngettext(
            "%(splitter)s way %(ways)s feeds mixer input %(inputs)s.",
            "%(splitter)s ways %(ways)s feed mixer inputs %(inputs)s.",
            len(pairs),
            splitter=unit,
            ways=ranges(ways),
            inputs=ranges(inputs),
        )


def _runs(plan: Plan, alike: Mapping[str, Line]) -> dict[tuple[str, int], list[tuple[int, int]]]:
    """Splitter and how far its ways and the mixer's inputs are apart -> ways with inputs."""
    runs: dict[tuple[str, int], list[tuple[int, int]]] = {}
    for one in plan.ear_inputs:
        line = alike.get(one.source)
        if line is not None and line.path.way is not None and one.mixer_input is not None:
            key = (say(line.path.unit_name), one.mixer_input - line.path.way)
            runs.setdefault(key, []).append((line.path.way, one.mixer_input))
    return runs


def for_the_ears_alone(plan: Plan) -> list[EarInput]:
    """What is plugged into the band's mixer and goes to nobody else, by mixer input."""
    sent = {key for line in plan.lines for key in line.sources}
    return [one for one in by_input(plan.ear_inputs) if one.source not in sent and feed_of(one) is not Feed.NOTHING]


def ear_rows(plan: Plan, printed: Printed) -> Iterator[EarRow]:
    alike = fed_like_their_lines(plan)
    for one in by_input(one for one in plan.ear_inputs if one.source not in alike):
        yield EarRow(
            mixer_input=str(one.mixer_input) if one.mixer_input is not None else NONE,
            source=printed(one.label, MAX_LABEL, gettext("the label of a source")),
            fed_by=printed(feed_said(one), MAX_TEXT, gettext("what feeds an input")) or NONE,
            phantom=printed(mixer_switch(one), MAX_LABEL, "48 V"),
            channel=ranges(line.desk_channel for line in plan.lines if one.source in line.sources) or NONE,
        )


def move_rows(plan: Plan, printed: Printed) -> Iterator[MoveRow]:
    for one in plan.moves:
        label = printed(one.label, MAX_LABEL, gettext("the label of a source"))
        yield MoveRow(label, str(one.rig_input), str(one.tonight), printed(one.note, MAX_TEXT, gettext("a moved plug")))


def in_halves(rows: tuple[Row, ...], empty: Row) -> tuple[tuple[Row, Row], ...]:
    """The rows in two halves side by side, the first half on the left; ``empty`` fills the last place where their
    number is odd.
    """
    middle = (len(rows) + 1) // 2
    return tuple(zip_longest(rows[:middle], rows[middle:], fillvalue=empty))


def mix_rows(plan: Plan, printed: Printed) -> Iterator[MixRow]:
    for one in plan.ears:
        outs = " ".join(out.removeprefix("out-") for out in one.outs)
        yield MixRow(
            player=printed(one.player, MAX_LABEL, gettext("a player")),
            width=_width_words(one),
            outs=printed(outs, MAX_LABEL, gettext("the outs of an in-ear mix")),
            carried_by=CARRIED_BY.get(one.carried_by, one.carried_by),
            cable=printed(one.cable, MAX_TEXT, gettext("the cable of an in-ear mix")) or NONE,
        )


def _width_words(one: EarMix) -> str:
    """Whether a mix is in stereo, and what is not as the rig has it."""
    if one.to_mono:
        return WIDTHS_TO_MONO.get(one.width, one.width)
    if one.width == "stereo" and len(one.outs) == 1:
        return gettext("stereo, one side missing")
    return WIDTHS.get(one.width, one.width)


WIDTHS = Words({"stereo": mark("stereo"), "mono": mark("mono")})
WIDTHS_TO_MONO = Words({"stereo": mark("stereo, to mono tonight"), "mono": mark("mono, to mono tonight")})
CARRIED_BY = Words({"cable": mark("cable"), "radio": mark("radio"), "wedge": mark("wedge")})


def return_rows(plan: Plan, printed: Printed) -> Iterator[ReturnRow]:
    for one in plan.returns:
        yield ReturnRow(
            label=printed(one.label, MAX_LABEL, gettext("the label of a return")),
            loom=printed(one.loom.name, MAX_LABEL, gettext("a loom's name")) if one.loom else gettext("own cable"),
            way=str(one.loom.way) if one.loom else NONE,
            tail=(printed(one.loom.house_end, MAX_LABEL, gettext("a tail")) if one.loom else "") or NONE,
            box_output=str(one.box_output) if one.box_output is not None else gettext("not known"),
            mixer_input=str(one.mixer_input) if one.mixer_input is not None else NONE,
            turn_rounds=str(one.turn_rounds),
            note=printed(one.note, SENTENCE, gettext("the note of a return")),
        )
