"""Gigs worked out by hand, and the trade's worked examples: what is given up, what is carried, what is plugged."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from portal.plan.input.facts import Answer, Answers
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import UNTOUCHED_TAP, Ears, Loom, Mixer, Out, Owner, Rig, Source, Splitter, SplitterOutput

ISOLATED, DIRECT = SplitterOutput("b", "isolated"), SplitterOutput("c", "direct")
RACK = Splitter(key="rack", ways=40, built_in=True, outputs=(ISOLATED,))
DRY_OUT = Out("dry", use="free", tap_before=tuple(UNTOUCHED_TAP))
WET_OUT = Out("wet", use="free")
MAINS = (Out("main-l", use="main"), Out("main-r", use="main"))
FREE_OUTS = tuple(Out(f"out-{number}", use="free") for number in range(8))


def one(key: str, what: str, **more: object) -> tuple[Source, ...]:
    return (replace(Source(key=key, label=key, what=what), **more),)


def pair(key: str, what: str, **more: object) -> tuple[Source, ...]:
    left, right = f"{key} L", f"{key} R"
    return one(left, what, pair_with=right, position="left", **more) + one(
        right, what, pair_with=left, position="right", **more
    )


def said(**values: str | int) -> Answers:
    keyed = {key.replace("_", "-"): value for key, value in values.items()}
    return {key: Answer("answered", QUESTIONS[key].kind.check(value), "house") for key, value in keyed.items()}


def band(
    *sources: tuple[Source, ...], outs: tuple[Out, ...] = (), mono: int = 0, stereo: int = 0, **more: object
) -> Rig:
    """A rig with a built-in splitter that has room for all, unless said otherwise; every line is plugged on the day."""
    mixer = Mixer(mono_busses=mono, stereo_busses=stereo, outs=outs)
    return replace(Rig(mixer=mixer, source=sum(sources, ()), splitter=(RACK,)), **more)


KICK = one("kick", "drum.kick-drum")
KICK_OUT = one("kick out", "drum.kick-drum", second_of="kick")
SNARE = one("snare", "drum.snare-drum")
SNARE_BOTTOM = one("snare bottom", "drum.snare-drum", second_of="snare")
HAT = one("hat", "metal.hi-hat")
RACK_TOM = one("rack tom", "drum.tom-tom", position="rack")
FLOOR_TOM = one("floor tom", "drum.tom-tom", position="floor")
OVERHEADS = pair("overhead", "drum.group.set")
BASS = one("bass", "pluck.bass.electric", player="bo")
BASS_MIC = one("bass mic", "pluck.bass.electric", second_of="bass", capture="mic")
GUITAR_1 = one("guitar 1", "pluck.guitar.electric", player="gil")
GUITAR_2 = one("guitar 2", "pluck.guitar.electric", player="gus")
KEYS = pair("keys", "synth.generic", player="kay")
TRACKS = pair("tracks", "x-playback", player="kay")
LEAD = one("lead", "voice.vocals", lead=True)
LEAD_2 = one("lead 2", "voice.vocals", lead=True)
BACKING_1 = one("backing 1", "voice.vocals")
BACKING_2 = one("backing 2", "voice.vocals")
IN_TWOS = one("backing 1", "voice.vocals", one_microphone_with="backing 2") + BACKING_2
LEADS_IN_TWOS = one("lead", "voice.vocals", lead=True, one_microphone_with="lead 2") + one(
    "lead 2", "voice.vocals", lead=True, one_microphone_with="lead"
)
TRUMPET = one("trumpet", "brass.trumpet")
TROMBONE = one("trombone", "brass.trombone")
SAXOPHONE = one("saxophone", "wind.reed.saxophone")
CAJON = one("cajon", "drum.cajon")
CONGA = one("conga", "drum.conga")
BANJO_TURN = one("acoustic", "pluck.guitar.acoustic", never_with=("banjo",)) + one(
    "banjo", "pluck.banjo", never_with=("acoustic",)
)
KIT = (KICK, SNARE, RACK_TOM, FLOOR_TOM, OVERHEADS)
SILENT_KIT = tuple(tuple(replace(source, loud_on_stage=False) for source in part) for part in KIT)
SUBMIXED = tuple(
    replace(source, submix="kay's mixer", player="kay")
    for source in pair("keys", "synth.generic") + one("organ", "keyboard.organ")
)
EARS = (Ears(player="lou", width="stereo", outs=("ear-l", "ear-r")),)
EAR_OUTS = (Out("ear-l", use="ears:lou"), Out("ear-r", use="ears:lou"))
TWO_EARS = (*EARS, Ears(player="lee", width="stereo", outs=("ear-3", "ear-4")))
TWO_EAR_OUTS = (*EAR_OUTS, Out("ear-3", use="ears:lee"), Out("ear-4", use="ears:lee"))


@dataclass(frozen=True)
class Case:
    """``gives``: the count of every step that is not nothing, ``None`` where no plan exists."""

    words: str
    rig: Rig
    answers: Answers
    gives: dict[str, int] | None = field(default_factory=dict)
    carry: int = 0
    plugs: int = 0


CASES = (
    Case("three sources, room for all: nothing given up, three plugs", band(KICK, SNARE, LEAD), {}, {}, 0, 3),
    Case(
        "a line that is wired into the rack needs no plug",
        band(one("kick", "drum.kick-drum", splitter="rack", way=1), LEAD),
        {},
        {},
        0,
        1,
    ),
    Case("one input short: the hi-hat", band(KICK, SNARE, HAT, LEAD), said(inputs_free=3), {"hat-and-ride": 1}, 0, 3),
    Case(
        "the second microphone goes before the hi-hat",
        band(KICK, KICK_OUT, HAT),
        said(inputs_free=2),
        {"second-microphone": 1},
        0,
        2,
    ),
    Case(
        "with a small, loud room the overheads and the rack tom go, the floor tom last",
        band(SNARE, RACK_TOM, FLOOR_TOM, OVERHEADS, LEAD),
        said(inputs_free=3, room_capacity=120),
        {"small-room-overheads": 2, "small-room-rack-toms": 1},
        0,
        3,
    ),
    Case(
        "200 people are still a small room: the overheads go before anything is folded",
        band(SNARE, OVERHEADS, KEYS),
        said(inputs_free=3, room_capacity=200),
        {"small-room-overheads": 2},
        0,
        3,
    ),
    Case(
        "201 people are a normal room: the keyboards go to mono before an overhead goes",
        band(SNARE, OVERHEADS, KEYS),
        said(inputs_free=3, room_capacity=201),
        {"keyboards-to-mono": 1, "overheads-to-one": 1},
        0,
        3,
    ),
    Case(
        "a loud cabinet stays out of a small room's PA; a lead guitar does not",
        band(GUITAR_1, one("guitar 2", "pluck.guitar.electric", lead=True), LEAD),
        said(inputs_free=2, room_capacity=120),
        {"small-room-cabinets": 1},
        0,
        2,
    ),
    Case(
        "two inputs short: one overhead, then the rack tom",
        band(SNARE, RACK_TOM, FLOOR_TOM, OVERHEADS),
        said(inputs_free=3),
        {"overheads-to-one": 1, "rack-toms": 1},
        0,
        3,
    ),
    Case(
        "both overheads are two steps: to one, and the last one too",
        band(SNARE, OVERHEADS),
        said(inputs_free=1),
        {"overheads-to-one": 1, "last-overhead": 1},
        0,
        1,
    ),
    Case(
        "an electronic kit to mono",
        band(pair("kit", "x-electronic-kit")),
        said(inputs_free=1),
        {"stereo-to-mono": 1},
        0,
        1,
    ),
    Case(
        "an inseparable pair does not go to mono, and has to be sent",
        band(pair("kit", "x-electronic-kit", inseparable=True)),
        said(inputs_free=1),
        None,
    ),
    Case("in a mono PA one leg of the keys costs nothing", band(KEYS), said(inputs_free=1, pa="mono"), {}, 0, 1),
    Case(
        "a sum on the mixer where no splitter is and the only out is not free",
        band(KEYS, splitter=(), outs=MAINS, mono=1),
        said(inputs_free=2),
        {"keyboards-to-mono": 1},
        0,
        1,
    ),
    Case(
        "three backing vocals and a lead on two inputs: one group of three is a count of two",
        band(LEAD, BACKING_1, BACKING_2, one("backing 3", "voice.vocals"), outs=MAINS, mono=1),
        said(inputs_free=2),
        {"backing-sum": 2},
        0,
        2,
    ),
    Case(
        "the same without a bus: two are left out",
        band(LEAD, BACKING_1, BACKING_2, one("backing 3", "voice.vocals"), outs=MAINS),
        said(inputs_free=2),
        {"left-out": 2},
        0,
        2,
    ),
    Case(
        "an ear mix goes to mono so that the group has an out",
        band(LEAD, BACKING_1, BACKING_2, outs=EAR_OUTS, mono=1, ears=EARS),
        said(inputs_free=2),
        {"backing-sum": 1, "ear-mix-to-mono": 1},
        0,
        2,
    ),
    Case(
        "an ear mix in mono frees nothing for a direct out",
        band(LEAD, outs=EAR_OUTS, ears=EARS, splitter=()),
        {},
        None,
    ),
    Case(
        "no splitter: unprocessed direct outs",
        band(LEAD, BASS, splitter=(), outs=(DRY_OUT, DRY_OUT)),
        {},
        {"direct-out": 2},
        0,
        2,
    ),
    Case(
        "no splitter, one out processed: that is the dearer kind",
        band(LEAD, BASS, splitter=(), outs=(DRY_OUT, WET_OUT)),
        {},
        {"direct-out": 1, "processed-direct-out": 1},
        0,
        2,
    ),
    Case(
        "who wants every source dry gets no processed out: the bass stays out",
        band(LEAD, BASS, splitter=(), outs=(DRY_OUT, WET_OUT)),
        said(what_they_want="split-each-source"),
        {"direct-out": 1, "left-out": 1},
        0,
        1,
    ),
    Case("two leads, one input, no bus: no plan", band(LEAD, LEAD_2), said(inputs_free=1), None),
    Case(
        "two leads, one input, one bus: the whole mix in mono",
        band(LEAD, LEAD_2, outs=MAINS, mono=1),
        said(inputs_free=1),
        {"whole-mix": 2, "mix-to-mono": 1},
        0,
        1,
    ),
    Case(
        "two inputs and a stereo bus: the mix stays stereo rather than one lead apart in mono",
        band(LEAD, LEAD_2, GUITAR_1, outs=MAINS, stereo=1),
        said(inputs_free=2),
        {"music-mix": 1, "whole-mix": 2},
        0,
        2,
    ),
    Case(
        "two outs, one bus and two ear mixes that stay stereo: the kick dry, all else in the mix in mono",
        band(
            one("trumpet", "brass.trumpet"),
            one("trombone", "brass.trombone"),
            KICK,
            SNARE,
            HAT,
            RACK_TOM,
            OVERHEADS,
            splitter=(),
            outs=(*TWO_EAR_OUTS, WET_OUT, DRY_OUT),
            mono=1,
            ears=TWO_EARS,
        ),
        said(inputs_free=2),
        {"mix-to-mono": 1, "snare-in-music-mix": 1, "music-mix": 6, "direct-out": 1},
        0,
        2,
    ),
    Case(
        "a mix of one lead takes two inputs, more inputs than the band has sources",
        band(LEAD, LEAD_2, splitter=(), outs=(DRY_OUT, *MAINS), stereo=1),
        {},
        {"direct-out": 1, "whole-mix": 1},
        0,
        3,
    ),
    Case(
        "one input short of three voices, two of whom may share a microphone: they do, and nothing is summed",
        band(LEAD, IN_TWOS, outs=MAINS, mono=1),
        said(inputs_free=2),
        {"two-at-one-microphone": 1},
        0,
        2,
    ),
    Case(
        "without the band's word the same two are summed",
        band(LEAD, BACKING_1, BACKING_2, outs=MAINS, mono=1),
        said(inputs_free=2),
        {"backing-sum": 1},
        0,
        2,
    ),
    Case(
        "in a normal room the rack tom stays in the in-ears before two share a microphone, the last overhead after",
        band(KICK, SNARE, RACK_TOM, one("overhead", "drum.group.set"), LEAD, IN_TWOS),
        said(inputs_free=5, room_capacity=900),
        {"two-at-one-microphone": 1, "rack-toms": 1},
        0,
        5,
    ),
    Case(
        "two leads share a microphone where both rows say so",
        band(LEADS_IN_TWOS, outs=MAINS, mono=1),
        said(inputs_free=1),
        {"two-at-one-microphone": 1},
        0,
        1,
    ),
    Case(
        "one lead's word is no word of the other's",
        band((LEADS_IN_TWOS[0], replace(LEADS_IN_TWOS[1], one_microphone_with="")), outs=MAINS, mono=1),
        said(inputs_free=1),
        {"whole-mix": 2, "mix-to-mono": 1},
        0,
        1,
    ),
    Case("never at once: one line", band(BANJO_TURN, LEAD), said(inputs_free=2), {"share-a-line": 1}, 0, 2),
    Case(
        "the player's submixer before anything goes to mono",
        band(SUBMIXED, LEAD),
        said(inputs_free=3),
        {"own-submix": 1},
        0,
        3,
    ),
    Case(
        "the player's submixer in mono",
        band(SUBMIXED, LEAD),
        said(inputs_free=2),
        {"own-submix": 1, "keyboards-to-mono": 1},
        0,
        2,
    ),
    Case(
        "a silent kit on four inputs: a pair, the snare in it, the kick apart",
        band(*SILENT_KIT, LEAD, outs=MAINS, stereo=1),
        said(inputs_free=4),
        {"kit-pair": 4, "snare-in-kit-pair": 1},
        0,
        4,
    ),
    Case(
        "a silent kit on three inputs: all of it in the pair",
        band(*SILENT_KIT, LEAD, outs=MAINS, stereo=1),
        said(inputs_free=3),
        {"kit-pair": 4, "snare-in-kit-pair": 1, "kick-in-kit-pair": 1},
        0,
        3,
    ),
    Case(
        "the rack's splitter is full: the carried one of four ways comes along, before any direct out",
        band(
            LEAD,
            BASS,
            splitter=(replace(RACK, ways=1), replace(RACK, key="box", ways=4, built_in=False)),
            outs=(DRY_OUT,),
        ),
        {},
        {},
        8,
        2,
    ),
    Case(
        "three lines, looms of four and eight: the smaller one is carried",
        band(KICK, SNARE, LEAD, loom=(Loom("four", ways=4, length_m=10), Loom("eight", ways=8, length_m=30))),
        {},
        {},
        4,
        3,
    ),
    Case(
        "the same where the box is twenty metres away: the longer one",
        band(KICK, SNARE, LEAD, loom=(Loom("four", ways=4, length_m=10), Loom("eight", ways=8, length_m=30))),
        said(box_distance=2000),
        {},
        8,
        3,
    ),
    Case(
        "a loom of two and one loose cable for the third line: carrying 2 and 3, one plug more",
        band(KICK, SNARE, LEAD, loom=(Loom("two", ways=2, length_m=15),), bits={"xlr_10m": 4}),
        said(box_distance=1000),
        {},
        5,
        4,
    ),
    Case(
        "loose cables count only where the distance is known",
        band(LEAD, BASS, BACKING_1, loom=(Loom("two", ways=2, length_m=15),), bits={"xlr_10m": 4}),
        {},
        {"left-out": 1},
        2,
        2,
    ),
    Case(
        "isolation required, direct outputs, one transformer: the bass stays out",
        band(LEAD, BASS, splitter=(replace(RACK, outputs=(DIRECT,)),), bits={"isolating_transformer": 1}),
        said(isolation="required"),
        {"left-out": 1},
        0,
        1,
    ),
    Case(
        "48 V does not pass the isolated leg alone, so a condenser cannot take it",
        band(LEAD, one("choir", "voice.choir"), splitter=(replace(RACK, to_mixer="isolated"),)),
        {},
        {"left-out": 1},
        0,
        1,
    ),
    Case(
        "with a direct output beside it, the condenser takes that one",
        band(
            LEAD,
            one("choir", "voice.choir"),
            splitter=(replace(RACK, to_mixer="isolated", outputs=(ISOLATED, DIRECT)),),
        ),
        {},
        {},
        0,
        2,
    ),
    Case(
        "a ribbon does not go where the house's one 48 V switch has to be on",
        band(
            LEAD,
            one("spot", "x-percussion", phantom="yes", goes="house-only"),
            one("guitar", "pluck.guitar.electric", harmed_by_phantom=True),
            splitter=(replace(RACK, outputs=(DIRECT,)),),
        ),
        said(phantom_switching="all"),
        {"left-out": 1},
        0,
        1,
    ),
    Case(
        "a house microphone that may not use the splitter goes straight: an input, but no plug and no loom",
        band(LEAD, one("trumpet", "brass.trumpet", owner=Owner(mic="house")), loom=(Loom("one", ways=1),)),
        said(house_microphones_through_our_splitter="no"),
        {},
        1,
        1,
    ),
    Case(
        "the spare line goes before a lead",
        band(LEAD, one("spare", "voice.vocals", fail_over=True)),
        said(inputs_free=1),
        {"fail-over-out": 1},
        0,
        1,
    ),
    Case(
        "percussion without a bus: one microphone",
        band(CAJON, CONGA, GUITAR_1),
        said(inputs_free=2),
        {"percussion-one": 1},
        0,
        2,
    ),
    Case(
        "on a silent stage no percussion microphone stays in the ears: it counts as left out",
        band(CAJON, CONGA, LEAD),
        said(inputs_free=2),
        {"left-out": 1},
        0,
        2,
    ),
    Case(
        "percussion with a bus: a sum, which is the cheaper step",
        band(CAJON, CONGA, LEAD, outs=MAINS, mono=1),
        said(inputs_free=2),
        {"percussion-sum": 1},
        0,
        2,
    ),
    Case(
        "a section to one line",
        band(TRUMPET, TROMBONE, SAXOPHONE, LEAD, outs=MAINS, mono=1),
        said(inputs_free=2),
        {"section-sum": 2},
        0,
        2,
    ),
    Case(
        "guitars of two players to one line",
        band(GUITAR_1, GUITAR_2, outs=MAINS, mono=1),
        said(inputs_free=1),
        {"guitars-sum": 1},
        0,
        1,
    ),
    Case(
        "two guitars of one player have no group: the mix in mono",
        band(GUITAR_1, one("guitar 2", "pluck.guitar.electric", player="gil"), outs=MAINS, mono=1),
        said(inputs_free=1),
        {"music-mix": 2, "mix-to-mono": 1},
        0,
        1,
    ),
    Case(
        "keyboards with playback, both legs each: a count of three",
        band(KEYS, TRACKS, LEAD, outs=MAINS, mono=1),
        said(inputs_free=2),
        {"keyboards-with-playback": 3},
        0,
        2,
    ),
    Case(
        "an optional source is among the first, even a lead",
        band(LEAD, one("guest", "voice.vocals", lead=True, optional=True)),
        said(inputs_free=1),
        {"optional-source": 1},
        0,
        1,
    ),
    Case("nothing to send is a plan", band(one("click", "x-click")), said(inputs_free=0), {}, 0, 0),
)


ROCK = (*KIT, HAT, BASS, GUITAR_1, GUITAR_2, LEAD, BACKING_1, BACKING_2)
FUNCTION = (*KIT, HAT, BASS, GUITAR_1, KEYS, TRUMPET, TROMBONE, SAXOPHONE, LEAD, LEAD_2)
BIG_ROCK = (*ROCK, KICK_OUT, SNARE_BOTTOM, BASS_MIC)
FOLK = (
    LEAD,
    LEAD_2,
    BANJO_TURN,
    one("fiddle", "strings.violin"),
    one("fiddle mic", "strings.violin", second_of="fiddle", capture="mic"),
    one("upright", "pluck.bass.acoustic"),
    one("upright mic", "pluck.bass.acoustic", second_of="upright", capture="mic"),
    CAJON,
)
SILENT_BAND = (
    pair("kit", "x-electronic-kit"),
    BASS,
    pair("guitar 1", "x-guitar-modelled", player="gil"),
    pair("guitar 2", "x-guitar-modelled", player="gus"),
    KEYS,
    TRACKS,
    LEAD,
    BACKING_1,
    BACKING_2,
)
OUT_RACK_AND_FLOOR = {"hat-and-ride": 1, "overheads-to-one": 1, "rack-toms": 1, "floor-tom": 1}
WORKED = (
    (
        "8 inputs, 500 people, rock",
        ROCK,
        said(inputs_free=8, room_capacity=500),
        {**OUT_RACK_AND_FLOOR, "overhead-before-sums": 1},
    ),
    (
        "8 inputs, a loud pub of 120",
        ROCK,
        said(inputs_free=8, room_capacity=120),
        {"hat-and-ride": 1, "small-room-overheads": 2, "small-room-rack-toms": 1, "small-room-floor-tom": 1},
    ),
    (
        "8 inputs, function band",
        FUNCTION,
        said(inputs_free=8),
        {**OUT_RACK_AND_FLOOR, "keyboards-to-mono": 1, "section-sum": 2, "overhead-before-sums": 1},
    ),
    (
        "12 inputs, rock with second microphones",
        BIG_ROCK,
        said(inputs_free=12),
        {"second-microphone": 3, "hat-and-ride": 1},
    ),
    (
        "12 inputs, function band",
        FUNCTION,
        said(inputs_free=12),
        {"hat-and-ride": 1, "keyboards-to-mono": 1, "overheads-to-one": 1, "rack-toms": 1},
    ),
    (
        "16 inputs, rock with keys and tracks",
        (*BIG_ROCK, KEYS, TRACKS),
        said(inputs_free=16),
        {"second-microphone": 3, "hat-and-ride": 1},
    ),
    ("8 inputs, folk", FOLK, said(inputs_free=8), {"share-a-line": 1}),
    ("4 inputs, bar", ROCK, said(inputs_free=4), {"music-mix": 9, "snare-in-music-mix": 1, "bass-in-music-mix": 1}),
    (
        "8 inputs, silent stage",
        SILENT_BAND,
        said(inputs_free=8),
        {"keyboards-to-mono": 1, "playback-to-mono": 1, "stereo-to-mono": 3, "backing-sum": 1},
    ),
)
