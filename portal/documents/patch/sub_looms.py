"""Which way of a sub-loom each source runs through on its way to the rack, and what that way's tail is plugged into."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from portal.documents.patch.patch_rows import NONE, source_labels
from portal.documents.rendering.printed import Printed
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT, Rig
from portal.plan.model import Plan
from portal.plan.packing.source_cables import source_cables
from portal.plan.phrase import Phrase, Said
from portal.plan.result.spelling import STRAIGHT_FEEDS, Feed, feed_of, feed_said, way_said
from portal.wording.catalogue import gettext
from portal.wording.plan.saying import say

WAY_OF_A_LOOM = "loom-way"
"""How the cable of a source is said that is a way of a sub-loom."""


@dataclass(frozen=True)
class SubLoomRow:
    """One way of a sub-loom."""

    loom: str
    way: str
    source: str
    into: str


def through_sub_looms(plan: Plan, rig: Rig) -> Mapping[str, Phrase]:
    """Source -> the sub-loom and its way, of every source that is plugged at the rack tonight."""
    into = _into(plan)
    cables = source_cables(rig)
    return {key: one.said for key, one in cables.items() if one.said.key == WAY_OF_A_LOOM and key in into}


def sub_loom_rows(plan: Plan, rig: Rig, printed: Printed) -> Iterator[SubLoomRow]:
    """The ways of sub-looms that carry something, by loom and way; nothing where the mixer's patch says them itself."""
    if plan.outputs:
        return
    into, labels = _into(plan), _labels(plan)
    ways = [
        (str(said.parameters["loom"]), int(str(said.parameters["way"])), source)
        for source, said in through_sub_looms(plan, rig).items()
    ]
    for loom, way, source in sorted(ways):
        yield SubLoomRow(
            loom=printed(loom, MAX_LABEL, gettext("a loom's name")),
            way=str(way),
            source=printed(labels[source], MAX_LABEL, gettext("the label of a source")),
            into=printed(into[source], MAX_TEXT, gettext("what feeds an input")) or NONE,
        )


def _into(plan: Plan) -> dict[str, Said]:
    """Source -> what it is plugged into at the rack: the way of a splitter, or an input of the mixer."""
    found: dict[str, Said] = {}
    for one in plan.ear_inputs:
        feed = feed_of(one)
        if feed is Feed.SPLITTER:
            found[one.source] = feed_said(one)
        elif feed in STRAIGHT_FEEDS and one.mixer_input is not None:
            found[one.source] = gettext("mixer input %(mixer_input)s", mixer_input=one.mixer_input)
    for line in plan.lines:
        if line.path.kind == "split" and len(line.sources) == 1:
            found.setdefault(line.sources[0], way_said(say(line.path.unit_name), line.path.way))
    return found


def _labels(plan: Plan) -> Mapping[str, str]:
    return {line.sources[0]: line.label for line in plan.lines} | dict(source_labels(plan))
