"""The ears' side of the patch sheet: which inputs of the band's mixer the rows of the lines say already."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from portal.documents.rendering.printed import ranges
from portal.plan.model import AT_THE_DESK, EarInput, Line, Plan

MOST_RUNS = 4
"""So many runs of ways are read at a glance; where there are more, every input has a row of its own."""


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
    way = f"{line.path.unit_name}, way {line.path.way}"
    said = ("band",) if line.at_the_desk == AT_THE_DESK["band"] else ("none", "never", "")
    return one.mixer_input is not None and one.fed_by == way and one.phantom in said


def fed_alike(plan: Plan) -> Iterator[str]:
    """One sentence for each run of ways: which inputs of the mixer they feed."""
    for (unit, _), pairs in _runs(plan, fed_like_their_lines(plan)).items():
        ways, inputs = zip(*pairs, strict=True)
        if len(pairs) == 1:
            yield f"{unit} way {ways[0]} feeds mixer input {inputs[0]}."
        else:
            yield f"{unit} ways {ranges(ways)} feed mixer inputs {ranges(inputs)}."


def _runs(plan: Plan, alike: Mapping[str, Line]) -> dict[tuple[str, int], list[tuple[int, int]]]:
    """Splitter and how far its ways and the mixer's inputs are apart -> ways with inputs."""
    runs: dict[tuple[str, int], list[tuple[int, int]]] = {}
    for one in plan.ear_inputs:
        line = alike.get(one.source)
        if line is not None and line.path.way is not None and one.mixer_input is not None:
            key = (line.path.unit_name, one.mixer_input - line.path.way)
            runs.setdefault(key, []).append((line.path.way, one.mixer_input))
    return runs
