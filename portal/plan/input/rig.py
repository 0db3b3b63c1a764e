"""The band's rig as the engine reads it: frozen data, and the public file format at the same time.

Every field carries its own documentation and limits (``dataclasses.field`` metadata), so that the file reader, the JSON
Schema, the row editor and the key list in FORMAT.md all follow from this one page. ``None`` or an empty text means
*unknown*, never zero.

Units stand in the names: ``_m`` metres, ``_ma`` milliamperes, ``_ohm`` ohms, ``_dbu`` dBu, ``_ms`` milliseconds.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Any, NewType

from portal.plan.input.small_things import BIT_KEYS_TOLD, cable_metres

SCHEMA = 1

SourceKey = NewType("SourceKey", str)

MAX_SOURCES = 128
MAX_EARS = 32
MAX_STANDING = 64
MAX_TEXT = 120
MAX_LABEL = 40

EMPTY: Mapping[str, Any] = MappingProxyType({})

FEEDS = ("subs", "fill", "delay", "wedge", "recorder")
"""What an output of the mixer can feed beside the main left/right and the ears. Nothing of a line's may take it."""

EARS = "ears:"
"""What the ``use`` of a mixer output begins with when an in-ear mix holds it."""

UNTOUCHED_TAP = frozenset({"high-pass", "gate", "eq", "compressor", "insert", "delay", "mute", "fader"})
"""What a tap can lie before. Before all but the high-pass it is *unprocessed* (common practice, no source)."""

TOUCHED_IN_A_SHOW = UNTOUCHED_TAP - {"high-pass"}


def _key(  # noqa: PLR0913 - one keyword per kind of limit reads better than a limits object
    doc: str,
    default: Any,
    *,
    lo: float | None = None,
    hi: float | None = None,
    longest: int | None = None,
    one_of: tuple[str, ...] = (),
    most: int | None = None,
    each: tuple[str, ...] = (),
) -> Any:
    """One documented key: what it means, its default, and its limits (numbers: lo/hi; text: longest or one_of; lists:
    most/each).
    """
    metadata = {"doc": doc, "lo": lo, "hi": hi, "longest": longest, "one_of": one_of, "most": most, "each": each}
    if default is EMPTY:
        return field(default_factory=lambda: EMPTY, metadata=metadata)
    return field(default=default, metadata=metadata)


@dataclass(frozen=True)
class Out:
    """One analogue output of the band's mixer."""

    key: str = _key("Name of the output, unique on the mixer", "", longest=MAX_LABEL)
    use: str = _key(
        "free, main (the first main is left, the second right), "
        + ", ".join(FEEDS)
        + ", or ears:PLAYER when an in-ear mix holds it",
        "free",
        longest=MAX_LABEL,
    )
    feeds: str = _key("What it feeds, in the band's own words, e.g. wedge 1, horns", "", longest=MAX_TEXT)
    cable_m: float | None = _key("Length of its cable in metres", None, lo=0, hi=300)
    tap_before: tuple[str, ...] = _key(
        "What the direct-out tap lies before, where somebody knows it that exactly; all eight means unprocessed",
        (),
        most=8,
        each=tuple(sorted(UNTOUCHED_TAP)),
    )
    tap: str = _key(
        "Where a direct out is tapped: after-preamp (before all else), pre-eq (high-pass or gate may lie before it),"
        " post-eq (before the fader), post-fader; empty: not known, counted as processed",
        "",
        one_of=("", "after-preamp", "pre-eq", "post-eq", "post-fader"),
    )
    mute_cuts: bool | None = _key("The channel's mute cuts a direct out on this output", None)
    max_dbu: float | None = _key("Highest level of the output in dBu", None, lo=-40, hi=30)

    @property
    def unprocessed(self) -> bool:
        """True where the tap lies before everything that the band may touch during the show; a fixed high-pass before
        it is no processing.
        """
        return (self.tap == "after-preamp" or set(self.tap_before) >= TOUCHED_IN_A_SHOW) and self.mute_cuts is not True

    @property
    def tap_known(self) -> bool:
        """True where somebody said anything of the tap."""
        return bool(self.tap or self.tap_before)


@dataclass(frozen=True)
class MixerLink:
    """A digital link of the band's mixer, by the name of its open standard."""

    standard: str = _key("Name of the open standard, e.g. AES50", "", longest=MAX_LABEL)
    channels: int = _key("Channels each way", 0, lo=0, hi=512)


@dataclass(frozen=True)
class Mixer:
    """The band's in-ear mixer. Busses are counted free of the in-ear mixes' own."""

    inputs: int | None = _key("Microphone inputs", None, lo=0, hi=256)
    channels: int | None = _key("Channels that can be mixed", None, lo=0, hi=512)
    mono_busses: int = _key("Mono busses left once every in-ear mix has its own", 0, lo=0, hi=64)
    stereo_busses: int = _key(
        "Stereo busses left once every in-ear mix has its own (the main left/right mix counts)", 0, lo=0, hi=64
    )
    ear_limiters: bool | None = _key("A limiter on every in-ear output", None)
    outs: tuple[Out, ...] = _key("Analogue outputs", (), most=64)
    phantom_budget_ma: float | None = _key("Total phantom current in mA", None, lo=0, hi=2000)
    input_impedance_ohm: int | None = _key("Impedance of one microphone input in ohms", None, lo=100, hi=100_000)
    latency_ms: float | None = _key("Input to analogue output in ms", None, lo=0, hi=100)
    remote_surfaces: int = _key("Tablets or surfaces that can control the mixer", 0, lo=0, hi=64)
    ears_protected: bool | None = _key("Ear sends lie before EQ, dynamics, mute and fader", None)
    double_patch: bool | None = _key("One input can feed two channels", None)
    links: tuple[MixerLink, ...] = _key("Digital links", (), most=8)
    phantom_banks: int | None = _key(
        "Inputs that share one 48 V switch: 1 where each has its own, 8 in banks of eight, 0 where one feeds all",
        None,
        lo=0,
        hi=256,
    )


@dataclass(frozen=True)
class Owner:
    """Who brings each item of a source: band or house."""

    mic: str = _key("Microphone or DI", "band", one_of=("band", "house"))
    stand: str = _key("Stand", "band", one_of=("band", "house"))
    cable: str = _key("Cable", "band", one_of=("band", "house"))


@dataclass(frozen=True)
class Source:
    """One signal of the band: a microphone, a DI, one leg of a stereo instrument."""

    key: str = _key("Random and stable; kept through rename and re-order", "", longest=MAX_LABEL)
    label: str = _key("What the band calls it", "", longest=MAX_LABEL)
    strip: str = _key("Short name for a scribble strip", "", longest=12)
    player: str = _key("Who plays or sings it", "", longest=MAX_LABEL)
    what: str = _key("What it is: a sound id of the kind table, e.g. drum.kick-drum", "x-other", longest=MAX_LABEL)
    position: str = _key(
        "Which of several microphones or legs",
        "",
        one_of=(
            "",
            "in",
            "out",
            "top",
            "bottom",
            "over",
            "under",
            "left",
            "right",
            "front",
            "rear",
            "rack",
            "floor",
            "mid",
            "side",
        ),
    )
    capture: str = _key(
        "How it is picked up", "", one_of=("", "mic", "di", "di-passive", "di-active", "line", "wireless")
    )
    level: str = _key("Level on the tail", "", one_of=("", "mic", "line"))
    family: str = _key("Section or group it belongs to, e.g. horns", "", longest=MAX_LABEL)
    second_of: str = _key("Key of the first microphone of the same sound", "", longest=MAX_LABEL)
    pair_with: str = _key("Key of the other half of a stereo pair", "", longest=MAX_LABEL)
    pair_kind: str = _key("Kind of pair", "", one_of=("", "left-right", "mid-side"))
    to_mono: str = _key(
        "How a stereo source becomes mono, on its left half: jack (its own mono output or left/mono jack), switch (in"
        " the machine, both halves then carry the sum), bus (a mono bus of the band's mixer), cannot; unset means by"
        " kind",
        "",
        one_of=("", "jack", "switch", "bus", "cannot"),
    )
    in_ears_anyway: bool = _key(
        "A second microphone that the band wants in the in-ears even where the house does not get it", default=False
    )
    submix: str = _key("Name of the player's own submixer that can carry it", "", longest=MAX_LABEL)
    phantom: str = _key("Needs 48 V", "", one_of=("", "yes", "no"))
    phantom_ma: float | None = _key("Phantom current in mA", None, lo=0, hi=14)
    harmed_by_phantom: bool = _key("48 V can damage it", default=False)
    impedance_ohm: int | None = _key("Output impedance in ohms", None, lo=1, hi=1_000_000)
    max_dbu: float | None = _key("Highest level in dBu", None, lo=-80, hi=30)
    priority: str = _key(
        "low: goes among the first; high: own line as long as possible", "", one_of=("", "low", "high")
    )
    must: bool | None = _key("Must reach the house; unset means by kind", None)
    goes: str = _key(
        "Where it goes; unset means by kind", "", one_of=("", "both", "ears-only", "house-only", "rehearsal-only")
    )
    loud_on_stage: bool | None = _key("Heard in the room without the PA; unset means by kind", None)
    never_with: tuple[str, ...] = _key("Keys of sources never played at the same time", (), most=16)
    one_microphone_with: str = _key(
        "Key of another singer of the same part, with whom it may share a microphone", "", longest=MAX_LABEL
    )
    inseparable: bool = _key("The two halves only exist as one finished stereo pair", default=False)
    fail_over: bool = _key("A spare that by-passes the rig", default=False)
    optional: bool = _key("May stay at home", default=False)
    lead: bool = _key("A lead vocal or the lead instrument", default=False)
    owner: Owner = _key("Who brings what", Owner())
    stand: str = _key("Stand it needs", "", one_of=("", "none", "short", "tall", "clip", "straight"))
    mixer_input: int | None = _key("Input of the band's mixer", None, lo=1, hi=256)
    splitter: str = _key("Key of the splitter it is wired to", "", longest=MAX_LABEL)
    way: int | None = _key("Way of that splitter", None, lo=1, hi=128)
    at_m: tuple[float, float] | None = _key(
        "Place on stage: metres right of centre (performer's view) and metres from the front", None, lo=-100, hi=100
    )
    note: str = _key("Anything the engineer should read", "", longest=MAX_TEXT)
    guest: bool = _key("For guests: speech, DJ; plugged only where the band brings the PA", default=False)
    in_rack: bool | None = _key(
        "Takes its power from the rack and dies with it; unset: a wireless receiver of the band does", None
    )
    line_plug: str = _key("Connector of its line output; unset: jack", "", one_of=("", "jack", "xlr"))
    cable_m: float | None = _key("Length of its cable to the rack in metres", None, lo=0, hi=300)
    sub_loom: str = _key("Key of the sub-loom that carries it to the rack", "", longest=MAX_LABEL)
    sub_loom_way: int | None = _key("Way of that sub-loom; unset: in the order of the rows", None, lo=1, hi=128)


@dataclass(frozen=True)
class SplitterOutput:
    """One output that every way of a splitter has towards the house."""

    key: str = _key("Name on the splitter's front", "", longest=12)
    kind: str = _key("isolated (transformer) or direct", "direct", one_of=("isolated", "direct"))
    lift: bool = _key("Has a ground lift for the audio shield", default=False)


@dataclass(frozen=True)
class Splitter:
    """A splitter of the band: every way has one leg to the in-ear mixer and the listed outputs to the house."""

    key: str = _key("Key of the splitter", "", longest=MAX_LABEL)
    name: str = _key("Name on the sheet", "", longest=MAX_LABEL)
    ways: int = _key("Number of ways", 0, lo=0, hi=128)
    built_in: bool = _key("Bolted into the rack: it comes along anyway", default=False)
    to_mixer: str = _key("Which leg feeds the in-ear mixer", "direct", one_of=("direct", "isolated"))
    outputs: tuple[SplitterOutput, ...] = _key("Outputs towards the house", (), most=4)
    kind: str = _key("passive or active", "passive", one_of=("passive", "active"))
    plugs: str = _key(
        "Where sources plug into it: front (any source into any way), inside (wired way by way); empty: not known",
        "",
        one_of=("", "front", "inside"),
    )


@dataclass(frozen=True)
class Loom:
    """A multi-way cable between the rack and the stage box."""

    key: str = _key("Key of the loom", "", longest=MAX_LABEL)
    name: str = _key("Name on the sheet", "", longest=MAX_LABEL)
    ways: int = _key("Number of ways", 0, lo=0, hi=128)
    length_m: float | None = _key("Length end to end in metres", None, lo=0, hi=300)
    band_end: str = _key("Connector at the rack", "XLR female", longest=MAX_LABEL)
    house_end: str = _key("Connector at the stage box", "XLR male", longest=MAX_LABEL)


@dataclass(frozen=True)
class SubLoom:
    """A short multi-way cable from sources to the rack: female leads on the microphones, male tails at the rack."""

    key: str = _key("Key of the sub-loom", "", longest=MAX_LABEL)
    name: str = _key("Name on the sheet", "", longest=MAX_LABEL)
    ways: int = _key("Number of ways", 0, lo=0, hi=128)
    length_m: float | None = _key("Length end to end in metres", None, lo=0, hi=300)


@dataclass(frozen=True)
class Standing:
    """Something that comes along whatever the plan says: packs, batteries, tablets, mains leads, the parts of a PA."""

    name: str = _key("What it is", "", longest=MAX_LABEL)
    count: int = _key("How many", 1, lo=1, hi=999)
    when: str = _key(
        "At which gigs: own-pa where the band brings the PA, band-mixes where the band's mixer feeds a PA of the house;"
        " empty: at every gig",
        "",
        one_of=("", "own-pa", "band-mixes"),
    )
    configuration: str = _key("Only in this configuration; empty: in every one", "", longest=MAX_LABEL)


@lru_cache(maxsize=256)
def listeners_of(text: str) -> tuple[str, ...]:
    """The names in what is written of who hears a mix ("Juno, Esme and Bo"), in order, each once."""
    return tuple(dict.fromkeys(filter(None, map(str.strip, re.split(r",|;|\s(?:&|and)\s", text)))))


@dataclass(frozen=True)
class Ears:
    """One in-ear mix."""

    player: str = _key("Who hears it", "", longest=MAX_LABEL)
    width: str = _key("mono or stereo", "stereo", one_of=("mono", "stereo"))
    outs: tuple[str, ...] = _key("Keys of the mixer outputs that carry it", (), most=2)
    carried_by: str = _key("radio, cable, or a wedge of the house", "radio", one_of=("radio", "cable", "wedge"))
    cable_m: float | None = _key("Length of the cable to the player's pack or wedge in metres", None, lo=0, hi=300)

    @property
    def listeners(self) -> tuple[str, ...]:
        """The names of those who hear it; none where nobody is named."""
        return listeners_of(self.player)

    @property
    def fold(self) -> str:
        """What its going mono is called. It gives up the last of its outputs then."""
        return "+".join(sorted(self.outs))

    @property
    def lacks_a_side(self) -> bool:
        """Whether it is stereo and one output carries it, so that one ear would hear nothing."""
        return self.width == "stereo" and len(self.outs) == 1


@dataclass(frozen=True)
class Mix:
    """What the band can do about the audience's mix by itself."""

    proven_over_pa: bool = _key("The band's own mix was proven over a PA", default=False)
    engineer: str = _key("Own engineer", "none", one_of=("none", "band's engineer"))
    own_pa: bool = _key("The band can bring its own PA", default=False)
    takes_over: str = _key("Who takes over on stage when an engineer's tablet is lost", "", longest=MAX_LABEL)


@dataclass(frozen=True)
class Configuration:
    """A variant of the band: the sources that stay at home."""

    off: tuple[str, ...] = _key("Keys of the sources that are not used", (), most=MAX_SOURCES)


@dataclass(frozen=True)
class Rig:
    """Everything the band owns that can matter at the stage box."""

    schema: int = _key("Format number, first key of the file", SCHEMA, lo=SCHEMA, hi=SCHEMA)
    name: str = _key("Name of the band or rig", "", longest=MAX_TEXT)
    stage_view: str = _key("Whose left and right", "performer", one_of=("performer",))
    kit: str = _key(
        "Kind of drum kit: rock, or light (jazz, brushes, folk: the overheads are the kit); empty: not known, as rock",
        "",
        one_of=("", "rock", "light"),
    )
    mixer: Mixer = _key("The in-ear mixer", Mixer())
    source: tuple[Source, ...] = _key("Sources, in the band's own order", (), most=MAX_SOURCES)
    splitter: tuple[Splitter, ...] = _key("Splitters", (), most=8)
    loom: tuple[Loom, ...] = _key("Looms", (), most=16)
    sub_loom: tuple[SubLoom, ...] = _key("Sub-looms from sources to the rack", (), most=16)
    ears: tuple[Ears, ...] = _key("In-ear mixes", (), most=MAX_EARS)
    standing: tuple[Standing, ...] = _key("What comes along whatever the plan says", (), most=MAX_STANDING)
    bits: Mapping[str, int] = _key(f"Small things by count: {BIT_KEYS_TOLD}", EMPTY, lo=0, hi=999)
    mix: Mix = _key("The audience's mix", Mix())
    configurations: Mapping[str, Configuration] = _key("Variants by name", EMPTY, most=16)

    @property
    def loose_cables(self) -> Counter[float]:
        """The loose XLR cables that the band owns: metres -> how many."""
        return Counter({cable_metres(key): count for key, count in self.bits.items() if key[:4] == "xlr_" and count})

    def configured(self, name: str) -> Rig:
        """The rig as one configuration uses it; an empty name is the whole rig. Raises ``KeyError`` when the rig has no
        configuration of that name.
        """
        standing = tuple(one for one in self.standing if one.configuration in ("", name))
        if not name:
            return replace(self, standing=standing)
        off = set(self.configurations[name].off)
        used = tuple(source for source in self.source if source.key not in off)
        stays = {source.player for source in self.source} - {source.player for source in used}
        ears = tuple(one for one in self.ears if one.player not in stays)
        return replace(self, source=used, ears=ears, standing=standing, mixer=_without_ears(self.mixer, stays))


def _without_ears(mixer: Mixer, players: set[str]) -> Mixer:
    """The mixer with the outputs of players who stay at home free."""
    held = {f"ears:{player}" for player in players}
    return replace(mixer, outs=tuple(replace(out, use="free") if out.use in held else out for out in mixer.outs))
