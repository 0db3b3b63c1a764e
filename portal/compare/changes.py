"""Candidates: another rig made from today's by plain changes. Never a maker or a model."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from pydantic import TypeAdapter

from portal.plan.coherence import faults
from portal.plan.input.rig import Loom, Mixer, Out, Rig, Source, Splitter, SplitterOutput
from portal.plan.options.routing_policy import goes_of
from portal.wording.catalogue import Words, gettext, mark, ngettext
from portal.wording.formats import join_and, say_metres

KEEP, WITHOUT, RACK, FLOOR = "keep", "none", "rack", "floor"

SPLITTERS = Words(
    {
        KEEP: mark("As it is today"),
        WITHOUT: mark("No splitter"),
        RACK: mark("In the rack, plugged once at home"),
        FLOOR: mark("On the floor, carried to the gigs that need it"),
    }
)

SPLITTER, SPLITTER_OUT = "compared-splitter", "B"

COUNTED = ("di_passive", "di_active", "pad_20_db", "isolating_transformer")
"""Small things of which another number may be tried."""


@dataclass(frozen=True)
class Figures:
    """What the band says of a candidate, each where it knows it: rack units, weight in kilograms, price and hire a gig
    in the band's currency.
    """

    units: float | None = None
    kg: float | None = None
    price: float | None = None
    fee: float | None = None


@dataclass(frozen=True)
class Changes:
    """What is other than in today's rig; what is left alone is as today.

    ``ways`` and ``isolated`` belong to a splitter in the rack or on the floor. ``unprocessed`` and ``processed``: free
    outputs of the mixer more than today. ``looms``: ways and metres of each, in place of today's. ``bits``: how many of
    each small thing the band then owns.
    """

    name: str = ""
    splitter: str = KEEP
    ways: int = 0
    isolated: bool = True
    unprocessed: int = 0
    processed: int = 0
    mixer_inputs: int | None = None
    mono_busses: int | None = None
    stereo_busses: int | None = None
    ears_to_mono: bool = False
    seconds_straight: bool = False
    looms: tuple[tuple[int, float], ...] | None = None
    bits: Mapping[str, int] = field(default_factory=dict)
    figures: Figures = field(default_factory=Figures)

    @property
    def words(self) -> str:
        """The candidate in a few words: its name, else what is changed."""
        told = self.name or "; ".join(_told(self)) or gettext("today's rig")
        return told[:1].upper() + told[1:]


_CHANGES = TypeAdapter(tuple[Changes, ...])


def read_changes(text: str) -> tuple[Changes, ...]:
    """The candidates in a stored text."""
    return _CHANGES.validate_json(text)


def write_changes(candidates: tuple[Changes, ...]) -> str:
    """The candidates as a text to store."""
    return _CHANGES.dump_json(candidates).decode()


def changed(rig: Rig, changes: Changes) -> Rig:
    """The rig with the changes made."""
    for step in (_splitter, _outs, _mixer, _ears, _seconds, _looms):
        rig = step(rig, changes)
    return replace(rig, bits={**rig.bits, **changes.bits}) if changes.bits else rig


def faults_of(rig: Rig, changes: Changes) -> tuple[str, ...]:
    """Why a candidate cannot be compared with today's rig, in sentences."""
    other = changed(rig, changes)
    if other == rig:
        same = gettext('"%(name)s" is the same as today\'s rig. Change something, or take it away.', name=changes.words)
        return (same,)
    known = {one.sentence for one in faults(rig)}
    return tuple(one.sentence for one in faults(other) if one.sentence not in known)


def _told(changes: Changes) -> Iterator[str]:
    if changes.splitter == WITHOUT:
        yield gettext("no splitter")
    elif changes.splitter != KEEP:
        yield (
            gettext("rack splitter, %(ways)s ways", ways=changes.ways)
            if changes.splitter == RACK
            else gettext("floor splitter, %(ways)s ways", ways=changes.ways)
        ) + ("" if changes.isolated else gettext(", direct outputs"))
    yield from _outs_told(changes)
    if changes.mixer_inputs is not None:
        yield gettext("mixer with %(inputs)s inputs", inputs=changes.mixer_inputs)
    yield from _busses_told(changes)
    if changes.ears_to_mono:
        yield gettext("in-ear mixes in mono")
    if changes.seconds_straight:
        yield gettext("seconds straight to the house")
    if changes.looms is not None:
        looms = (
            gettext("loom of %(ways)s ways, %(length)s", ways=ways, length=say_metres(metres))
            for ways, metres in changes.looms
        )
        yield ", ".join(looms) or gettext("no loom")
    for key, count in changes.bits.items():
        yield f"{count} x {BIT_WORDS[key]}"


def _busses_told(changes: Changes) -> Iterator[str]:
    said = []
    if changes.mono_busses is not None:
        said.append(gettext("%(count)s mono busses free", count=changes.mono_busses))
    if changes.stereo_busses is not None:
        said.append(gettext("%(count)s stereo busses free", count=changes.stereo_busses))
    if said:
        yield join_and(said)


def _outs_told(changes: Changes) -> Iterator[str]:
    if changes.unprocessed:
        yield more_outputs(changes.unprocessed)
    if changes.processed:
        yield ngettext("%(num)s free output more, processed", "%(num)s free outputs more, processed", changes.processed)


def more_outputs(count: int) -> str:
    """So many free outputs more, in words."""
    return ngettext(
        "%(num)s free output more, before all processing", "%(num)s free outputs more, before all processing", count
    )


BIT_WORDS = Words(
    {
        "di_passive": mark("passive DI"),
        "di_active": mark("active DI"),
        "pad_20_db": mark("20 dB pad"),
        "isolating_transformer": mark("isolating transformer"),
    }
)


def _splitter(rig: Rig, changes: Changes) -> Rig:
    if changes.splitter == KEEP:
        return rig
    bare = replace(rig, splitter=(), source=tuple(replace(one, splitter="", way=None) for one in rig.source))
    if changes.splitter == WITHOUT:
        return bare
    in_rack = changes.splitter == RACK
    output = SplitterOutput(SPLITTER_OUT, "isolated" if changes.isolated else "direct", lift=changes.isolated)
    name = "Rack splitter" if in_rack else "Floor splitter"
    made = Splitter(SPLITTER, name, changes.ways, built_in=in_rack, outputs=(output,), plugs="front")
    return replace(bare, splitter=(made,), source=_wired(bare.source, changes.ways) if in_rack else bare.source)


def _wired(sources: tuple[Source, ...], ways: int) -> tuple[Source, ...]:
    """The rows wired to the ways of the rack's splitter one after the other: those that go to both sides."""
    both = [one.key for one in sources if goes_of(one) == "both" and not one.fail_over and one.owner.mic == "band"]
    way = {key: number for number, key in enumerate(both[:ways], start=1)}
    return tuple(replace(one, splitter=SPLITTER, way=way[one.key]) if one.key in way else one for one in sources)


def _outs(rig: Rig, changes: Changes) -> Rig:
    taken = {out.key for out in rig.mixer.outs}
    keys = (f"more-{number}" for number in range(1, 1000) if f"more-{number}" not in taken)
    more = [Out(next(keys), "free", tap="after-preamp") for _ in range(changes.unprocessed)]
    more += [Out(next(keys), "free", tap="post-fader") for _ in range(changes.processed)]
    return _with_mixer(rig, lambda mixer: replace(mixer, outs=(*mixer.outs, *more))) if more else rig


def _mixer(rig: Rig, changes: Changes) -> Rig:
    counts = {
        "inputs": changes.mixer_inputs,
        "mono_busses": changes.mono_busses,
        "stereo_busses": changes.stereo_busses,
    }
    said = {name: count for name, count in counts.items() if count is not None}
    if "inputs" in said and rig.mixer.channels is not None:
        said["channels"] = max(rig.mixer.channels, said["inputs"])
    return _with_mixer(rig, lambda mixer: replace(mixer, **said)) if said else rig  # type: ignore[arg-type]


def _with_mixer(rig: Rig, change: Callable[[Mixer], Mixer]) -> Rig:
    return replace(rig, mixer=change(rig.mixer))


def _ears(rig: Rig, changes: Changes) -> Rig:
    """Every in-ear mix in mono; its second output becomes free."""
    if not changes.ears_to_mono:
        return rig
    freed = {out for one in rig.ears for out in one.outs[1:]}
    ears = tuple(replace(one, width="mono", outs=one.outs[:1]) for one in rig.ears)
    outs = tuple(replace(out, use="free") if out.key in freed else out for out in rig.mixer.outs)
    return replace(rig, ears=ears, mixer=replace(rig.mixer, outs=outs))


def _seconds(rig: Rig, changes: Changes) -> Rig:
    """Second microphones by their own cable to the house, out of the ears."""
    if not changes.seconds_straight:
        return rig
    return replace(rig, source=tuple(_straight(one) if one.second_of else one for one in rig.source))


def _straight(source: Source) -> Source:
    return replace(source, goes="house-only", splitter="", way=None, mixer_input=None)


def _looms(rig: Rig, changes: Changes) -> Rig:
    if changes.looms is None:
        return rig
    names = [f"{ways}-way loom" for ways, _ in changes.looms]
    looms = tuple(
        Loom(
            f"compared-loom-{number}",
            name if names.count(name) == 1 else f"{name} {'ABCDEFGH'[number - 1]}",
            ways,
            metres,
        )
        for number, (name, (ways, metres)) in enumerate(zip(names, changes.looms, strict=True), start=1)
    )
    return replace(rig, loom=looms)
