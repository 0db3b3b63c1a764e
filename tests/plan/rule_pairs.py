"""For every check one gig in which it speaks, with its exact words, and one beside it in which it does not."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from portal.plan import reconcile
from portal.plan.input.facts import Answers, Lock
from portal.plan.input.rig import UNTOUCHED_TAP, Ears, Loom, Mix, Mixer, Out, Owner, Rig, Splitter, SplitterOutput
from portal.plan.model import Plan
from portal.wording.plan.saying import say
from tests.plan.hand_cases import one, pair, said

ISOLATED = SplitterOutput("b", "isolated")
LIFTED = SplitterOutput("b", "isolated", lift=True)
DIRECT = SplitterOutput("c", "direct")


def rack(*outputs: SplitterOutput, ways: int = 8, **more: object) -> tuple[Splitter, ...]:
    """One splitter, bolted into the rack."""
    return (replace(Splitter(key="rack", name="Rack", ways=ways, built_in=True, outputs=outputs), **more),)


KICK = one("Kick", "drum.kick-drum")
CHOIR = one("Choir", "voice.choir")
BASS = one("Bass", "pluck.bass.electric")
KEYS = pair("Keys", "synth.generic", player="Kay")
LEAD = one("Lead", "voice.vocals", lead=True, player="Lou")
BACKINGS = one("BV 1", "voice.vocals") + one("BV 2", "voice.vocals")
IN_TWOS = one("BV 1", "voice.vocals", one_microphone_with="BV 2") + one("BV 2", "voice.vocals")
RIBBON = one("Guitar", "pluck.guitar.electric", harmed_by_phantom=True)
LENT = one("Speech", "x-speech", owner=Owner(mic="house"), player="Lou")
CHOIR_IN_1 = one("Choir", "voice.choir", mixer_input=1)
RECEIVER_IN_2 = one("Speech", "x-speech", capture="wireless", mixer_input=2)
LOOPER = pair("Looper", "x-looper", inseparable=True)
MAINS = (Out("main-l", use="main"), Out("main-r", use="main"))
FREE = tuple(Out(f"out-{number}", use="free") for number in range(1, 5))
DRY = tuple(Out(f"dry-{number}", use="free", tap_before=tuple(UNTOUCHED_TAP)) for number in range(1, 5))
MIXER = Mixer(inputs=16, channels=32, mono_busses=4, stereo_busses=2, outs=(*MAINS, *FREE), ears_protected=True)
LOOM = Loom(key="loom", name="Loom", ways=8, length_m=15)
EARS = (Ears(player="Lou", width="stereo", outs=("ear-l", "ear-r"), carried_by="cable"),)
EAR_OUTS = (Out("ear-l", use="ears:Lou"), Out("ear-r", use="ears:Lou"))

BASE = Rig(
    name="Invented band",
    mixer=MIXER,
    source=KICK + BASS + LEAD,
    splitter=rack(ISOLATED),
    ears=EARS,
    mix=Mix(proven_over_pa=True),
)


def with_sources(*sources: tuple[object, ...], **more: object) -> Rig:
    """The base with other sources, and whatever else is different."""
    return replace(BASE, source=sum(sources, ()), **more)


SHORT_OF_WAYS = with_sources(LEAD, one("Hat", "metal.hi-hat"), mixer=replace(MIXER, outs=MAINS))
AT_THE_FRONT = with_sources(
    (
        replace(KEYS[0], splitter="rack", way=1, mixer_input=1),
        replace(KEYS[1], splitter="rack", way=2, mixer_input=2),
    ),
    (replace(LEAD[0], mixer_input=3),),
    one("BV", "voice.vocals", mixer_input=4),
    mixer=replace(MIXER, outs=DRY),
)
PAIR_WANTED = said(what_they_want="left-right-mix")
BAND_MIXES = said(who_mixes="band-from-stage")
NO_PA = said(pa="none")
OURS = said(what_they_want="mix-on-your-mixer")
ALL_DRY = said(what_they_want="split-each-source")


def with_mixer(rig: Rig = BASE, **more: object) -> Rig:
    """The rig with another mixer."""
    return replace(rig, mixer=replace(rig.mixer, **more))


@dataclass(frozen=True)
class Side:
    """One gig."""

    rig: Rig = BASE
    answers: Answers = field(default_factory=dict)
    locks: tuple[Lock, ...] = ()


@dataclass(frozen=True)
class Pair:
    """What the check says about ``speaks``; about ``silent`` it says nothing."""

    key: str
    speaks: Side
    silent: Side
    text: str


def text_of(key: str, side: Side) -> str | None:
    """What a check says about a gig; ``None`` where it is silent. Raises where there is no plan."""
    outcome = reconcile(side.rig, side.answers, side.locks)
    if not isinstance(outcome, Plan):
        raise TypeError(outcome.sentence)
    return next((say(one.said) for one in outcome.blocks + outcome.asks + outcome.notes if one.key == key), None)


BANKED = said(phantom_switching="banks-of-8")
FED_BESIDE_A_RIBBON = with_sources(
    RIBBON,
    one("Room", "x-audience", goes="house-only"),
    KICK,
    *(one(f"BV {number}", "voice.vocals") for number in range(1, 8)),
    LEAD,
    splitter=rack(DIRECT, ways=12),
)
ONE_SWITCH = said(phantom_switching="all")
FED_BESIDE_AN_OVERHEAD = with_sources(
    one("Room", "x-audience", goes="house-only"),
    one("Overhead", "drum.group.set", mixer_input=6),
    LEAD,
    splitter=rack(DIRECT),
)
BANK_AND_MICROPHONE = with_mixer(
    with_sources(
        one("Kick", "drum.kick-drum", splitter="rack", way=1),
        LEAD,
        one("Ambience", "x-audience", goes="house-only"),
        splitter=rack(ISOLATED, ways=1),
    ),
    outs=DRY,
)
LOOM_FULL = replace(BASE, loom=(replace(LOOM, ways=2),), bits={"xlr_20m": 3})

TWO_BOXES = said(inputs_free=2, box_place="stage-left", second_box_inputs=8, second_box_place="stage-right")


PAIRS = (
    Pair(
        "two-boxes",
        Side(BASE, TWO_BOXES),
        Side(BASE, said(inputs_free=3, second_box_inputs=8)),
        "Box A (stage left) takes lines 1-2; box B (stage right) takes line 3.",
    ),
    Pair(
        "loom-just-reaches",
        Side(
            replace(BASE, loom=(LOOM, Loom(key="l25", name="Long loom", ways=8, length_m=25))), said(box_distance=1450)
        ),
        Side(replace(BASE, loom=(LOOM,)), said(box_distance=1300)),
        "Loom is 15 m long for 14.5 m: 0.5 m to spare. A loom is measured for its way, so the plan takes it. Band:"
        " check the way before load-in, or bring Long loom too.",
    ),
    Pair(
        "loom-too-short",
        Side(
            replace(BASE, loom=(LOOM, Loom(key="short", name="Short loom", ways=8, length_m=5))),
            said(box_distance=1200),
        ),
        Side(replace(BASE, loom=(LOOM,)), said(box_distance=1200)),
        "Short loom (5 m) does not reach the box at 12 m and stays at home.",
    ),
    Pair(
        "loose-cables",
        Side(LOOM_FULL, said(box_distance=1200)),
        Side(replace(LOOM_FULL, loom=(LOOM,)), said(box_distance=1200)),
        "Lines on loose cables: 1; the looms that come along are full.",
    ),
    Pair(
        "pads-short",
        Side(BASE, PAIR_WANTED),
        Side(replace(BASE, bits={"pad_20_db": 2}), PAIR_WANTED),
        "Pads of 20 dB at microphone inputs: 2 needed, on stage box inputs 1-2; the band owns 0. Band: get"
        " 2 more before the gig.",
    ),
    Pair(
        "isolation-not-met",
        Side(replace(BASE, splitter=rack(DIRECT)), said(isolation="wanted")),
        Side(BASE, said(isolation="wanted")),
        "The house would like isolated lines; no transformer on stage box inputs 1-3.",
    ),
    Pair(
        "further-split",
        Side(BASE, said(other_feeds="monitor-desk")),
        Side(BASE, said(other_feeds="nothing")),
        "A monitor desk from the same box: a third load on every passive line; listen for thin dynamic microphones.",
    ),
    Pair(
        "lift-only-if-it-hums",
        Side(replace(BASE, splitter=rack(LIFTED))),
        Side(),
        "Ground lift: only if it hums; to begin with, all in the same position. It opens an audio shield;"
        " never defeat a protective earth.",
    ),
    Pair(
        "different-supplies",
        Side(BASE, said(one_distribution="no")),
        Side(BASE, said(one_distribution="yes")),
        "Stage power and the desk come from different distributions. Band and house: agree who brings isolating"
        " transformers for lines that hum, and use isolated splitter outputs where there are any. Call a licensed"
        " electrician for anything that tingles.",
    ),
    Pair(
        "spare-line",
        Side(replace(BASE, loom=(LOOM,)), said(inputs_free=16)),
        Side(replace(BASE, loom=(LOOM,)), said(inputs_free=15)),
        "Leave a spare line on Loom way 4 in stage box input 4, and keep a spare vocal microphone at hand, for the"
        " stand of one that fails.",
    ),
    Pair(
        "ear-mix-gone-mono",
        Side(with_mixer(with_sources(LEAD, BACKINGS), outs=EAR_OUTS), said(inputs_free=2)),
        Side(with_mixer(with_sources(LEAD, BACKINGS), outs=EAR_OUTS), said(inputs_free=3)),
        "Lou hears tonight's in-ear mix in mono: it frees an output of the mixer for the house.",
    ),
    Pair(
        "ear-mix-lacks-a-side",
        Side(replace(BASE, ears=(replace(EARS[0], outs=("ear-l",)),))),
        Side(replace(BASE, ears=(replace(EARS[0], width="mono", outs=("ear-l",)),))),
        "Lou: the in-ear mix is stereo, and one output carries it, so one ear hears nothing. Band: give it the output"
        " of the other side in the rig, or make it mono.",
    ),
    Pair(
        "gain-is-ours",
        Side(replace(BASE, splitter=rack(ISOLATED, kind="active"))),
        Side(),
        "Stage box inputs 1-3: the band sets the preamp gain and leaves it alone after line check. It warns the"
        " engineer before any change.",
    ),
    Pair(
        "house-split-tails",
        Side(BASE, said(house_split="yes")),
        Side(BASE, said(house_split="no")),
        "Tails of the house's splitter to the band's rack: 3, each with the number of its box input; settle their"
        " connector and length.",
    ),
    Pair(
        "group-is-blind",
        Side(with_sources(LEAD, BACKINGS), said(inputs_free=2)),
        Side(with_sources(LEAD, BACKINGS), said(inputs_free=3)),
        "BVs (sum) on stage box input 1: balanced by the band, on its own bus, without compression; the house cannot"
        " treat one part alone.",
    ),
    Pair(
        "mix-not-proven",
        Side(replace(BASE, mix=Mix()), PAIR_WANTED),
        Side(BASE, PAIR_WANTED),
        "The band's own mix goes to the audience, and it was never tried over a PA: set it at sound check, start low.",
    ),
    Pair(
        "no-separation",
        Side(BASE, PAIR_WANTED),
        Side(),
        "The house gets the band's finished mix: its level and tone can be set there, its balance cannot.",
    ),
    Pair(
        "band-is-responsible",
        Side(BASE, BAND_MIXES),
        Side(BASE, PAIR_WANTED),
        "Nobody from the house mixes: the band is responsible for the audience's sound, its level included.",
    ),
    Pair(
        "ears-follow-the-mix",
        Side(with_mixer(ears_protected=None), PAIR_WANTED),
        Side(BASE, PAIR_WANTED),
        "The audience's mix and the in-ears share channels on the band's mixer: a fader or mute for one can change the"
        " other. Band: take the in-ear sends before EQ, mute and fader, and enter in the rig that it is so.",
    ),
    Pair(
        "ear-limiters",
        Side(BASE, OURS),
        Side(with_mixer(ear_limiters=True), OURS),
        "Somebody other than the band works on the mixer that feeds the in-ears, and no limiter on every in-ear"
        " output is known.",
    ),
    Pair(
        "engineer-on-our-mixer",
        Side(replace(with_mixer(remote_surfaces=2), mix=Mix(takes_over="Mia")), OURS),
        Side(BASE, PAIR_WANTED),
        "The engineer gets channels 1-3, which the in-ears share, effects and the main mix of the band's mixer; not"
        " sends and outputs of the in-ears, input patch and scenes. Preamp gain and 48 V, shared with the in-ears,"
        " are set together at line check with the loudest song and then locked. The band brings the engineer's tablet,"
        " charged, and its own network: by cable where it can be laid, else 5 GHz. Mia takes over on the cabled"
        " surface. Tablet lost: the mix stands as it is.",
    ),
    Pair(
        "who-takes-over",
        Side(BASE, OURS),
        Side(replace(BASE, mix=Mix(takes_over="Mia")), OURS),
        "Nobody is named who takes over from the stage when the engineer's tablet is lost. Band: name one person in the"
        " rig, under Mix and own PA.",
    ),
    Pair(
        "not-as-wished",
        Side(with_sources(LEAD, BACKINGS), {**ALL_DRY, **said(inputs_free=2)}),
        Side(BASE, ALL_DRY),
        "The engineer wants every source dry; BVs (sum) cannot be.",
    ),
    Pair(
        "inseparable-pair",
        Side(with_sources(LOOPER, LEAD), ALL_DRY),
        Side(with_sources(KEYS, LEAD), ALL_DRY),
        "Looper L and Looper R exist only as one finished stereo pair and cannot be had apart.",
    ),
    Pair(
        "nobody-brings-a-pa",
        Side(BASE, NO_PA),
        Side(replace(BASE, mix=Mix(own_pa=True)), NO_PA),
        "The house has no PA, and the band has none to bring.",
    ),
    Pair(
        "engineer-without-a-pa",
        Side(BASE, said(pa="none", who_mixes="house-engineer")),
        Side(BASE, said(pa="none", who_mixes="band-from-stage")),
        "Somebody other than the band is to mix, and there is no PA in the house: settle which desk and which PA.",
    ),
    Pair(
        "mixer-inputs-short",
        Side(with_mixer(inputs=2)),
        Side(with_mixer(inputs=3)),
        "The band's mixer has 2 inputs; 3 sources go into it.",
    ),
    Pair(
        "nothing-to-send",
        Side(replace(BASE, source=())),
        Side(replace(BASE, source=()), said(pa="none")),
        "Nothing goes to the house: this rig, as the gig uses it, has no source that could.",
    ),
    Pair(
        "own-48-v-bank-clash",
        Side(with_mixer(with_sources(CHOIR_IN_1, RECEIVER_IN_2, LEAD), phantom_banks=8), BAND_MIXES),
        Side(with_mixer(with_sources(CHOIR_IN_1, RECEIVER_IN_2, LEAD), phantom_banks=1), BAND_MIXES),
        "The band's mixer switches 48 V in banks of 8: what feeds Choir also reaches Speech.",
    ),
    Pair(
        "own-48-v-switching",
        Side(with_sources(CHOIR_IN_1, RECEIVER_IN_2, LEAD), BAND_MIXES),
        Side(with_sources(CHOIR_IN_1, LEAD), BAND_MIXES),
        "The rig does not say whether the band's mixer switches 48 V for each input: taken for granted that it does; "
        "Speech must get none.",
    ),
    Pair(
        "nothing-feeds-the-pa",
        Side(with_mixer(replace(BASE, mix=Mix(proven_over_pa=True, own_pa=True)), outs=EAR_OUTS), NO_PA),
        Side(replace(BASE, mix=Mix(proven_over_pa=True, own_pa=True)), NO_PA),
        "No output of the band's mixer is main or free: nothing feeds the PA.",
    ),
    Pair(
        "mix-does-not-reach",
        Side(replace(BASE, bits={"xlr_10m": 2}), {**BAND_MIXES, **said(pa_input_distance=3000)}),
        Side(replace(BASE, bits={"xlr_10m": 8}), {**BAND_MIXES, **said(pa_input_distance=3000)}),
        "The band's mix needs 32 m with 2 m of slack; the band has no loom or cable as long, and 4 joined do not "
        "reach.",
    ),
    Pair(
        "cables-joined",
        Side(replace(BASE, bits={"xlr_10m": 4}), {**BAND_MIXES, **said(pa_input_distance=1500)}),
        Side(replace(BASE, bits={"xlr_20m": 4}), {**BAND_MIXES, **said(pa_input_distance=1500)}),
        "XLR 10 m + XLR 10 m joined for 15 m: the cables join without a coupler; the excess lies at the rack in a "
        "figure of eight.",
    ),
    Pair(
        "pa-input-connector",
        Side(BASE, {**BAND_MIXES, **said(pa_input_connector="jack")}),
        Side(BASE, {**BAND_MIXES, **said(pa_input_connector="xlr")}),
        "The PA's inputs take jacks. The band brings 2 adapters from XLR to jack, one for each input; jacks join only"
        " with a coupler.",
    ),
    Pair(
        "amplifiers-last",
        Side(BASE, BAND_MIXES),
        Side(BASE, OURS),
        "Amplifiers of the PA down until the band's mixer stands at its usual level, then up slowly.",
    ),
    Pair(
        "one-preamp-for-all",
        Side(BASE, BAND_MIXES),
        Side(BASE, PAIR_WANTED),
        "Audience and in-ears share the preamps of the band's mixer: set the gain at line check with the loudest song, "
        "then correct on faders.",
    ),
    Pair(
        "rack-power",
        Side(BASE, said(rack_power="no")),
        Side(BASE, said(rack_power="yes")),
        "There is no space or mains outlet for the band's rack on stage.",
    ),
    Pair(
        "power-limiter",
        Side(BASE, said(power_limiter="some")),
        Side(BASE, said(power_limiter="no")),
        "A sound limiter cuts the stage power: when it trips, the in-ears and all 48 V from the band's rack go with"
        " it; use an outlet that escapes it for the rack.",
    ),
    Pair(
        "house-microphones-outside",
        Side(with_sources(LEAD, LENT), said(house_microphones_through_our_splitter="no")),
        Side(with_sources(LEAD, LENT), said(house_microphones_through_our_splitter="yes")),
        "Speech: the house's microphones stay outside the band's splitter, so Lou plays without them in the in-ears.",
    ),
    Pair(
        "line-check-only",
        Side(BASE, said(sound_check="line-check")),
        Side(BASE, said(sound_check="sound-check")),
        "A line check only: the band pre-sets its rack off the stage; in-ears stay out until line check is done.",
    ),
    Pair(
        "lock-not-kept",
        Side(BASE, said(inputs_free=3), (Lock("Lead", "desk-channel", "9", "house", "band"),)),
        Side(BASE, said(inputs_free=3), (Lock("Lead", "desk-channel", "1", "house", "band"),)),
        "Both sides agreed on desk channel 9 for Lead; the plan cannot keep that: it comes on desk channel 3.",
    ),
    Pair(
        "no-talkback",
        Side(BASE, said(talkback="no")),
        Side(BASE, said(talkback="yes")),
        "No talkback comes from the house: agree on a hand sign for the line check.",
    ),
    Pair(
        "talkback-output-unknown",
        Side(BASE, said(talkback="yes")),
        Side(BASE, said(talkback="yes", talkback_output=4)),
        "Talkback comes from the house: the house names the output of its stage box before line check.",
    ),
    Pair(
        "wedges-wanted",
        Side(replace(BASE, ears=(Ears(player="Lou", width="mono", carried_by="wedge"),)), said(wedge_mixes=0)),
        Side(replace(BASE, ears=(Ears(player="Lou", width="mono", carried_by="wedge"),)), said(wedge_mixes=1)),
        "Mixes on wedges for Lou: 1; the house has none.",
    ),
    Pair(
        "radio-rules",
        Side(replace(BASE, ears=(replace(EARS[0], carried_by="radio"),))),
        Side(),
        "Ear mixes on radio: 1. Licences and local rules are checked with the national regulator, and the frequencies"
        " agreed with the house.",
    ),
    Pair(
        "house-phantom-off",
        Side(with_sources(CHOIR, LEAD)),
        Side(),
        "The band's rack feeds 48 V to Choir. House: leave 48 V off on stage box input 1.",
    ),
    Pair(
        "two-phantom-feeders",
        Side(with_sources(CHOIR, LEAD, splitter=rack(DIRECT))),
        Side(with_sources(KICK, LEAD, splitter=rack(DIRECT))),
        "Choir: no transformer, and the band's rack feeds 48 V. House: leave 48 V off on stage box input 1. House and"
        " band: switch no 48 V there during the show.",
    ),
    Pair(
        "house-feeds-phantom",
        Side(with_sources(CHOIR, LEAD, splitter=rack(ISOLATED, DIRECT, to_mixer="isolated"))),
        Side(with_sources(CHOIR, LEAD)),
        "The house feeds 48 V to Choir (stage box input 1).",
    ),
    Pair(
        "house-feeds-direct-legs",
        Side(FED_BESIDE_AN_OVERHEAD, ONE_SWITCH),
        Side(FED_BESIDE_AN_OVERHEAD),
        "Overhead (stage box input 1): the house's 48 V is on there for Room and feeds it too, through the direct leg."
        " Band: leave 48 V off at mixer input 6.",
    ),
    Pair(
        "phantom-from-both",
        Side(replace(FED_BESIDE_AN_OVERHEAD, splitter=rack(DIRECT, kind="active")), ONE_SWITCH),
        Side(FED_BESIDE_AN_OVERHEAD, ONE_SWITCH),
        "Overhead (stage box input 1): 48 V comes from both sides, for a switch of each side has to be on. Band: say"
        " whether the splitter's outputs bear 48 V, else put an isolating transformer there.",
    ),
    Pair(
        "house-microphone-phantom-unknown",
        Side(with_sources(LEAD, LENT)),
        Side(with_sources(LEAD, KICK)),
        "Speech: the house's own microphones; say before line check which of them need 48 V.",
    ),
    Pair(
        "phantom-bank-under-our-outputs",
        Side(BASE, {**PAIR_WANTED, **BANKED}),
        Side(BASE, PAIR_WANTED),
        "Stage box inputs 1-2 carry outputs of the band's mixer. The house switches 48 V in banks of 8. House: keep"
        " 48 V off on stage box inputs 1-2 all night.",
    ),
    Pair(
        "phantom-bank-on",
        Side(FED_BESIDE_A_RIBBON, BANKED),
        Side(FED_BESIDE_A_RIBBON),
        "House: switch 48 V on for bank 9-16, to feed Room. It also reaches BV 7 and Lead (stage box inputs 9-10),"
        " which take it.",
    ),
    Pair(
        "phantom-bank-off",
        Side(FED_BESIDE_A_RIBBON, BANKED),
        Side(replace(FED_BESIDE_A_RIBBON, source=FED_BESIDE_A_RIBBON.source[1:]), BANKED),
        "House: leave the 48 V of bank 1-8 off all night, to protect Guitar (stage box input 2). House and band: never"
        " re-patch it into bank 9-16.",
    ),
    Pair(
        "phantom-bank-clash",
        Side(BANK_AND_MICROPHONE, BANKED),
        Side(BANK_AND_MICROPHONE),
        "48 V can damage the outputs of the band's mixer on stage box input 2, and the same switch of the house feeds"
        " Ambience.",
    ),
    Pair(
        "harmed-by-phantom",
        Side(with_sources(RIBBON, LEAD)),
        Side(),
        "Guitar: 48 V can damage it. Band: keep 48 V off on the band's mixer; the house's 48 V has no effect"
        " behind the transformer.",
    ),
    Pair(
        "leave-the-ears",
        Side(replace(SHORT_OF_WAYS, splitter=rack(ISOLATED, ways=1))),
        Side(replace(SHORT_OF_WAYS, splitter=rack(ISOLATED, ways=2))),
        "Hat goes straight to the house and is not in the in-ears tonight: no splitter way is left for it. The band"
        " agrees once for all of them.",
    ),
    Pair(
        "players-make-mono",
        Side(with_sources(KEYS, LEAD), said(inputs_free=2)),
        Side(with_sources(KEYS, LEAD), said(inputs_free=3)),
        "Keys L and Keys R: Kay plugs only the left/mono jack of the keyboard. Their in-ears turn mono for it too;"
        " the band's leader agrees once for all of them.",
    ),
    Pair(
        "singers-share-a-microphone",
        Side(with_sources(LEAD, IN_TWOS), said(inputs_free=2)),
        Side(with_sources(LEAD, BACKINGS), said(inputs_free=2)),
        "BV 2 sings at the microphone of BV 1. Singers at one microphone are on one channel in the in-ears: no mix has"
        " one of them louder. The band tells both singers before line check.",
    ),
    Pair(
        "who-sings-lead",
        Side(with_sources(*[(voice,) for voice in BACKINGS])),
        Side(with_sources(LEAD, *[(voice,) for voice in BACKINGS])),
        "Nobody is marked as lead among BV 1 and BV 2: say who sings lead. Until then none of them is summed with"
        " others.",
    ),
    Pair(
        "exchanged-sockets",
        Side(replace(AT_THE_FRONT, splitter=rack(ISOLATED, ways=2, plugs="front"))),
        Side(replace(AT_THE_FRONT, splitter=rack(ISOLATED, ways=2, plugs="inside"))),
        "Plugs that move tonight, by mixer input: Keys L from 1 to 4; Keys R from 2 to 3; Lead from 3 to 2; BV from 4"
        " to 1. Band: work in a copy of the scene, change the input patch of these channels, 48 V off at these inputs"
        " first; gain and 48 V stay with the input, so set both anew. Plug back after the gig.",
    ),
    Pair(
        "phantom-mark",
        Side(with_sources(one("Bass", "pluck.bass.electric", capture="di-active", phantom="no"), LEAD)),
        Side(
            with_sources(
                one("Bass", "pluck.bass.electric", capture="di-active"),
                one("Banjo", "pluck.banjo", capture="di", phantom="no"),
                LEAD,
            )
        ),
        "Bass: an active DI, and marked as needing no 48 V. Without 48 V or a battery it is silent.",
    ),
    Pair(
        "phantom-budget",
        Side(with_mixer(with_sources(one("Choir", "voice.choir", phantom_ma=5.5), LEAD), phantom_budget_ma=4)),
        Side(with_mixer(with_sources(one("Choir", "voice.choir", phantom_ma=4), LEAD), phantom_budget_ma=4)),
        "The rack gives 4 mA of phantom current; what it feeds tonight draws 5.5 mA.",
    ),
    Pair(
        "rack-stays-on",
        Side(with_sources(CHOIR, LEAD)),
        Side(),
        "The band's rack stays on from line check to the last song. Switching it off cuts 48 V to Choir (stage box"
        " input 1) and thumps the PA.",
    ),
)
