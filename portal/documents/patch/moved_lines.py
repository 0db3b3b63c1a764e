"""Where sources stood on the sheet that was signed last, and where they stand now: for whoever has patched by that
one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from portal.documents.cover import Cover
from portal.documents.house_48v import house_switch
from portal.documents.patch.patch_rows import NONE, socket_words, source_labels
from portal.documents.rendering.printed import Printed
from portal.plan.input.rig import MAX_LABEL
from portal.plan.model import PA, Line, Plan
from portal.wording.catalogue import gettext, look_up, mark

NOT_SENT = mark("not sent")


@dataclass(frozen=True)
class MovedRow:
    """One source whose line is not where it was; ``channel`` says where it has none any more."""

    source: str
    channel_before: str
    socket_before: str
    channel: str
    socket: str
    phantom: str


def moved_rows(plan: Plan, cover: Cover, printed: Printed) -> Iterator[MovedRow]:
    """The sources that moved, by desk channel, those that do not go to the house any more last. Nothing where either
    plan has no line at a stage box: all of it is new there.
    """
    if cover.signed_before is None:
        return
    before = cover.signed_before.read()
    if not isinstance(before, Plan):
        return
    was, now = _by_source(before), _by_source(plan)
    if not was or not now:
        return
    labels = {**source_labels(before), **source_labels(plan)}
    for source in sorted({**was, **now}, key=lambda one: _order(now.get(one), was.get(one))):
        old, new = _place(was.get(source), NONE), _place(now.get(source), look_up(NOT_SENT))
        if old != new:
            label = labels.get(source) or (now.get(source) or was[source]).label
            phantom = house_switch(now[source]) if source in now else NONE
            yield MovedRow(printed(label, MAX_LABEL, gettext("the label of a source")), *old, *new, phantom)


def _by_source(plan: Plan) -> Mapping[str, Line]:
    return {source: line for line in plan.lines if line.box != PA for source in line.sources}


def _place(line: Line | None, without: str) -> tuple[str, str]:
    return (str(line.desk_channel), socket_words(line)) if line else (without, NONE)


def _order(now: Line | None, was: Line | None) -> tuple[bool, int]:
    line = now or was
    return (now is None, line.desk_channel if line else 0)
