"""How each source gets to the rack: a cable of a length, or a way of a sub-loom. What nobody stated is assumed."""

from __future__ import annotations

from dataclasses import dataclass

from portal.plan.input.rig import Ears, Rig, Source
from portal.plan.options.routing_policy import capture_of
from portal.plan.packing.item_names import cable_item, thing
from portal.plan.phrase import Choice, Phrase, Value, metres

XLR_M, IN_THE_RACK_M, JACK_M = 10.0, 1.0, 3.0
"""Lengths where the rig says nothing: a microphone's or DI's cable, a receiver's in the rack, a line output's (common
practice, no source).
"""

PACK_CABLE_M = 5.0
"""The cable from the mixer to a wired in-ear pack where the rig says nothing (common practice, no source)."""


@dataclass(frozen=True)
class SourceCable:
    """``said`` as a row says it; ``item`` as the pack list counts it, ``None`` where the band packs none for it."""

    said: Phrase
    item: Phrase | None
    assumed: bool = False


def source_cables(rig: Rig) -> dict[str, SourceCable]:
    """The cable of every source, by the source's key."""
    ways = _sub_loom_ways(rig)
    names = {loom.key: loom.name or loom.key for loom in rig.sub_loom}
    return {
        source.key: SourceCable(Phrase("loom-way", {"loom": names[source.sub_loom], "way": ways[source.key]}), None)
        if source.key in ways
        else _own(source)
        for source in rig.source
    }


def _sub_loom_ways(rig: Rig) -> dict[str, int]:
    """The way of each source that runs through a sub-loom: its own, else the lowest free one."""
    found: dict[str, int] = {}
    for loom in rig.sub_loom:
        through = [source for source in rig.source if source.sub_loom == loom.key]
        found |= {source.key: source.sub_loom_way for source in through if source.sub_loom_way}
        free = (way for way in range(1, loom.ways + 1) if way not in {source.sub_loom_way for source in through})
        for source in through:
            if not source.sub_loom_way and (way := next(free, None)) is not None:
                found[source.key] = way
    return found


def _own(source: Source) -> SourceCable:
    if source.owner.cable == "house":
        return SourceCable(Phrase("cable-of-the-house"), None)
    jack = capture_of(source) == "line" and source.line_plug != "xlr"
    usual = JACK_M if jack else IN_THE_RACK_M if stands_in_the_rack(source) else XLR_M
    assumed = source.cable_m is None and not stands_in_the_rack(source)
    return cable(usual if source.cable_m is None else source.cable_m, assumed=assumed, jack=jack)


def stands_in_the_rack(source: Source) -> bool:
    """Whether it takes its power from the rack and dies with it: as marked, else a wireless receiver of the band."""
    if source.in_rack is not None:
        return source.in_rack
    return capture_of(source) == "wireless" and source.owner.mic == "band"


def to_the_ears(ears: Ears) -> SourceCable:
    """What leads an in-ear mix from the mixer to its player; over radio the pack is what is counted."""
    long, assumed = ears.cable_m, ears.cable_m is None
    if ears.carried_by == "radio":
        return SourceCable(Phrase("transmitter-in-the-rack"), thing("in-ear-pack"))
    if ears.carried_by == "cable":
        return _of_kind("pack", PACK_CABLE_M if long is None else long, assumed=assumed)
    return cable(XLR_M if long is None else long, assumed=assumed)


def cable(long: float, *, assumed: bool = False, jack: bool = False) -> SourceCable:
    """One cable between a source or an output of the mixer and what it feeds."""
    return _of_kind("jack" if jack else "xlr", long, assumed=assumed)


def _of_kind(kind: str, long: float, *, assumed: bool) -> SourceCable:
    parameters: dict[str, Value] = {"plugs": Choice("plugs", kind), "length": metres(long)}
    said = Phrase("plugs-of-length.assumed" if assumed else "plugs-of-length", parameters)
    return SourceCable(said, cable_item(kind, long), assumed)
