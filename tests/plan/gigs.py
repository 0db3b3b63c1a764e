"""Small invented gigs by number, made to press on every corner of the model; the same number gives the same gig for
ever.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from itertools import pairwise
from random import Random

import pytest

from portal.plan.input.facts import Answer, Answers
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import (
    UNTOUCHED_TAP,
    Ears,
    Loom,
    Mixer,
    MixerLink,
    Out,
    Owner,
    Rig,
    Source,
    Splitter,
    SplitterOutput,
)

MOST_UNITS = 7
FOCUSED = (
    0.4  # of the gigs have neighbours on the ladder compete for inputs, with boxes, cables, busses and outs for all
)
WELL_OFF = 0.3  # of the others have a splitter for all, and as many need no loom
PROCESSED_TAP = ("high-pass",)

every_third = pytest.mark.parametrize(
    "part", [pytest.param(3, id="some"), pytest.param(1, id="all", marks=pytest.mark.soak)]
)
"""For a law that solves gigs anew: it looks at one of ``part`` gigs, in the soak at all."""


@dataclass
class Stage:
    """The sources so far. Everything random about a gig comes from ``random``."""

    random: Random
    sources: list[Source] = field(default_factory=list)

    def chance(self, probability: float) -> bool:
        return self.random.random() < probability

    def add(self, label: str, what: str, **more: object) -> Source:
        source = replace(Source(key=f"s-{len(self.sources) + 1:02d}", label=label, what=what), **more)
        self.sources.append(source)
        return source

    def pair(self, label: str, what: str, **more: object) -> None:
        left, right = (
            self.add(f"{label} L", what, position="left", **more),
            self.add(f"{label} R", what, position="right", **more),
        )
        self.sources[-2:] = [replace(left, pair_with=right.key), replace(right, pair_with=left.key)]

    def add_second(self, label: str, first: Source, **more: object) -> None:
        self.add(label, first.what, player=first.player, second_of=first.key, **more)

    def never_together(self, *sources: Source) -> None:
        keys = [source.key for source in sources]
        for index, source in enumerate(self.sources):
            if source.key in keys:
                self.sources[index] = replace(source, never_with=tuple(key for key in keys if key != source.key))


def drums(stage: Stage) -> None:
    for label, what, position, probability, second in (
        ("Kick", "drum.kick-drum", "in", 0.9, "out"),
        ("Snare", "drum.snare-drum", "top", 0.8, "bottom"),
        ("Hat", "metal.hi-hat", "", 0.5, ""),
        ("Ride", "metal.cymbal.ride", "", 0.2, ""),
        ("Rack tom", "drum.tom-tom", "rack", 0.4, ""),
        ("Floor tom", "drum.tom-tom", "floor", 0.4, ""),
        ("Kit front", "drum.group.set", "front", 0.1, ""),
    ):
        if stage.chance(probability):
            first = stage.add(label, what, position=position, player="Kim")
            if second and stage.chance(0.3):
                stage.add_second(f"{label} {second}", first, position=second)
    if stage.chance(0.4):
        stage.pair("Overhead", "drum.group.set", player="Kim")
    elif stage.chance(0.5):
        stage.add("Overhead", "drum.group.set", player="Kim")


def electronic_kit(stage: Stage) -> None:
    stage.pair("E-kit", "x-electronic-kit", player="Kim", inseparable=stage.chance(0.3))


def percussion(stage: Stage) -> None:
    whats = stage.random.sample(["drum.cajon", "drum.conga", "drum.bongo", "drum.djembe"], stage.random.randint(1, 3))
    for what in whats:
        stage.add(what.partition(".")[2].capitalize(), what, player="Pat")


def bass(stage: Stage) -> None:
    what = stage.random.choice(["pluck.bass.electric", "pluck.bass.acoustic", "x-bass-synth"])
    first = stage.add("Bass DI", what, player="Bo", capture=stage.random.choice(["di", "di-active", "di-passive"]))
    if stage.chance(0.4):
        stage.add_second("Bass mic", first, capture="mic", harmed_by_phantom=stage.chance(0.3))


def guitars(stage: Stage) -> None:
    players = stage.random.sample(["Gil", "Gus", "Gwen", ""], stage.random.randint(1, 3))
    if stage.chance(0.2):
        players = [players[0]] * len(players)
    for number, player in enumerate(players, 1):
        if stage.chance(0.25):
            stage.pair(f"Guitar {number}", "x-guitar-modelled", player=player, lead=stage.chance(0.1))
        elif stage.chance(0.3):
            what = stage.random.choice(["pluck.guitar.acoustic", "pluck.mandolin", "pluck.ukulele"])
            stage.add(f"Guitar {number}", what, player=player, capture=stage.random.choice(["", "di-active", "mic"]))
        else:
            first = stage.add(f"Guitar {number}", "pluck.guitar.electric", player=player, lead=stage.chance(0.1))
            if stage.chance(0.15):
                stage.add_second(f"Guitar {number} second", first, position="rear")


def never_at_once(stage: Stage) -> None:
    whats = ["pluck.guitar.acoustic", "pluck.banjo", "pluck.mandolin", "keyboard.accordion", "wind.flutes.flute"]
    chosen = stage.random.sample(whats, stage.random.choice([2, 2, 3]))
    stage.never_together(*[stage.add(what.rpartition(".")[2].capitalize(), what, player="Nell") for what in chosen])


def keyboards(stage: Stage) -> None:
    submix = "keys" if stage.chance(0.4) else ""
    if stage.chance(0.8):
        stage.pair("Keys", "synth.generic", player="Kay", submix=submix, inseparable=stage.chance(0.1))
    if submix or stage.chance(0.3):
        stage.add("Organ", "keyboard.organ", player="Kay", submix=submix)
    if submix and stage.chance(0.4):
        stage.pair("Piano", "keyboard.piano.electric", player="Kay", submix=submix)


def playback(stage: Stage) -> None:
    if stage.chance(0.7):
        stage.pair("Tracks", "x-playback", player="Kay", inseparable=stage.chance(0.15))
    else:
        stage.add("Tracks", "x-playback", player="Kay")


def section(stage: Stage) -> None:
    horns = ["brass.trumpet", "brass.trombone", "wind.reed.saxophone"]
    strings = ["strings.violin", "strings.cello"]
    players = stage.random.choice([horns, horns[:2], strings, [*horns[:2], *strings], ["voice.choir", "voice.choir"]])
    family = stage.random.choice(["", "", "", "hired"])
    for number, what in enumerate(players, 1):
        lead = number == 1 and stage.chance(0.1)
        stage.add(
            f"{what.rpartition('.')[2].capitalize()} {number}",
            what,
            player=f"Section {number}",
            family=family,
            lead=lead,
        )


def leads(stage: Stage) -> None:
    for number in range(1, stage.random.choice([1, 1, 1, 2, 2, 3]) + 1):
        stage.add(f"Lead {number}", "voice.vocals", player=f"Lou {number}", lead=True)


def backing(stage: Stage) -> None:
    for number in range(1, stage.random.randint(1, 3) + 1):
        stage.add(f"Backing {number}", "voice.vocals", player=f"Ben {number}")


def extras(stage: Stage) -> None:
    if stage.chance(0.4):
        stage.add("Speech", "x-speech", goes="house-only", owner=Owner(mic="house", stand="house", cable="house"))
    if stage.chance(0.4):
        stage.add("Spare line", "voice.vocals", fail_over=True)
    if stage.chance(0.2):
        stage.pair("Accordion", "keyboard.accordion", player="Ann")
    if stage.chance(0.3):
        stage.add("Click", "x-click")


BLOCKS: tuple[tuple[Callable[[Stage], None], float], ...] = (
    (drums, 0.5),
    (electronic_kit, 0.12),
    (percussion, 0.3),
    (bass, 0.4),
    (guitars, 0.4),
    (never_at_once, 0.2),
    (keyboards, 0.35),
    (playback, 0.3),
    (section, 0.25),
    (leads, 0.7),
    (backing, 0.4),
    (extras, 0.3),
)


NEIGHBOURS: tuple[tuple[Callable[[Stage], None], ...], ...] = (
    (drums,),
    (drums, electronic_kit),
    (drums, percussion),
    (drums, guitars),
    (drums, section),
    (drums, backing),
    (drums, bass, leads),
    (percussion, keyboards),
    (percussion, playback),
    (never_at_once, bass),
    (keyboards, playback),
    (keyboards, guitars),
    (playback, electronic_kit),
    (section, backing),
    (section, guitars),
    (backing, guitars),
    (guitars, keyboards, playback),
    (bass, leads, extras),
)


def gig(seed: int) -> tuple[Rig, Answers]:
    """A gig of 2 to 7 units; some with a second stage box, a digital link or a splitter of the house."""
    random = Random(seed)  # noqa: S311 - a gig by number, not a secret
    focused = random.random() < FOCUSED
    sources: list[Source] = []
    while count_units(sources) < 2:
        stage = Stage(random)
        blocks = list(random.choice(NEIGHBOURS)) if focused else list(dict(BLOCKS))
        random.shuffle(blocks)
        # The first block is always there, so that gigs full of one thing are common.
        for place, block in enumerate(blocks):
            wanted = focused or place == 0 or stage.chance(dict(BLOCKS)[block])
            if wanted and count_units(stage.sources) < MOST_UNITS:
                block(stage)
        sources = first_units(stage.sources, random.choice([2, 3, 4, 4, 5, 5, 6, 6, 7, 7]))
    rig, answers = dress_well(random, sources) if focused else dress(random, sources)
    answers = answers | second_box(random, answers)
    if random.random() < 0.12:
        answers = answers | answered({"digital-link": "yes"})
        rig = replace(rig, mixer=replace(rig.mixer, links=(MixerLink("AES50", random.choice([1, 2, 4, 48])),)))
    if random.random() < 0.08:
        answers = answers | answered({"house-split": "yes"})
    return particular(Random(seed + 1_000_000), rig, answers)  # noqa: S311 - a gig by number, not a secret


def particular(random: Random, rig: Rig, answers: Answers) -> tuple[Rig, Answers]:
    """What only some say: how pairs become mono, the kind of kit, plugs at a splitter's front, outdoors."""
    sources = [
        replace(source, to_mono=random.choice(["", "", "jack", "switch", "bus", "cannot"]))
        if source.pair_with and source.position == "left"
        else source
        for source in rig.source
    ]
    voices = [index for index, source in enumerate(sources) if source.what == "voice.vocals"]
    if random.random() < 0.04:
        for index in voices:
            sources[index] = replace(sources[index], lead=False)
    if random.random() < 0.15:
        for index in voices:
            sources[index] = replace(sources[index], family=random.choice(["high", "low"]))
    if random.random() < 0.1:
        sources = [replace(source, in_ears_anyway=bool(source.second_of)) for source in sources]
    splitters = tuple(replace(one, plugs=random.choice(["", "front", "front", "inside"])) for one in rig.splitter)
    kit = random.choice(["", "", "", "", "rock", "rock", "rock", "light"])
    if random.random() < 0.2:
        answers = answers | answered({"indoors": "no"})
    sources = in_twos(random, sources, voices)
    return replace(rig, source=tuple(sources), splitter=splitters, kit=kit), answers


def in_twos(random: Random, sources: list[Source], voices: list[int]) -> list[Source]:
    """At a third of the gigs voices may share a microphone with the next one; at times only one row says so, and at
    times the two cannot.
    """
    if random.random() > 0.35:
        return sources
    for one, other in pairwise(voices):
        if random.random() < 0.6:
            for here, there in ((one, other), (other, one)):
                if here == one or random.random() < 0.6:
                    sources[here] = replace(sources[here], one_microphone_with=sources[there].key)
    return sources


def second_box(random: Random, answers: Answers) -> Answers:
    """At times a second stage box, which takes some of the inputs."""
    inputs = answers.get("inputs-free")
    if inputs is None or not isinstance(inputs.value, int) or random.random() > 0.15:
        return {}
    there = random.randint(0, inputs.value)
    said: dict[str, str | int] = {"inputs-free": inputs.value - there, "second-box-inputs": there}
    if random.random() < 0.6:
        said["second-box-distance"] = random.choice([500, 1000, 1550, 2000])
    return answered(said)


def medium(seed: int) -> tuple[Rig, Answers]:
    """A gig of 12 to 40 sources: several of everything."""
    random = Random(seed)  # noqa: S311 - a gig by number, not a secret
    wanted = random.randint(12, 40)
    stage = Stage(random)
    while len(stage.sources) < wanted:
        for block, _ in random.sample(BLOCKS, len(BLOCKS)):
            block(stage)
    sources = stage.sources[:wanted]
    if sources[-1].pair_with and sources[-1].pair_with not in {source.key for source in sources}:
        sources[-1] = replace(sources[-1], pair_with="")
    return dress(random, without_dangling(sources))


def count_units(sources: list[Source]) -> int:
    """Sources that can be sent, pairs counted once."""
    return sum(1 if not source.pair_with else 0.5 for source in sources if source.what != "x-click")


def first_units(sources: list[Source], most: int) -> list[Source]:
    """The first so many units; nobody keeps a key of somebody who is not there."""
    kept: list[Source] = []
    for source in sources:
        if count_units(kept) + (0.5 if source.pair_with else 1) > most and source.what != "x-click":
            break
        kept.append(source)
    if kept and kept[-1].pair_with and kept[-1].position == "left":
        kept.pop()
    return without_dangling(kept)


def without_dangling(sources: list[Source]) -> list[Source]:
    keys = {source.key for source in sources}
    return [replace(source, never_with=tuple(key for key in source.never_with if key in keys)) for source in sources]


def dress(random: Random, sources: list[Source]) -> tuple[Rig, Answers]:
    """Wishes of the band, the boxes and cables, and the answers, around these sources."""
    sources = [replace(source, mixer_input=number) for number, source in enumerate(mark(random, sources), 1)]
    splitters = choose_splitters(random, len(sources))
    sources = wire(random, sources, splitters)
    mixer, ears = choose_mixer(random)
    answers = answer(random, sum(source.what != "x-click" for source in sources))
    looms, bits = choose_cables(random, len(sources))
    rig = Rig(
        name="Invented band", mixer=mixer, source=tuple(sources), splitter=splitters, loom=looms, ears=ears, bits=bits
    )
    return rig, answers


def dress_well(random: Random, sources: list[Source]) -> tuple[Rig, Answers]:
    """Everything in plenty but working inputs, and at times the stereo busses that a left/right mix or a kit pair would
    need.
    """
    legs = sum(source.what != "x-click" for source in sources)
    sources = [replace(source, mixer_input=number) for number, source in enumerate(mark(random, sources), 1)]
    outs = tuple(Out(f"out-{number}", use="free") for number in range(random.choice([0, 8, 8])))
    mixer = Mixer(
        inputs=48, channels=64, mono_busses=random.choice([0, 1, 4]), stereo_busses=random.choice([0, 1]), outs=outs
    )
    splitter = Splitter(
        key="rack-a", ways=len(sources), built_in=True, outputs=(SplitterOutput(key="b", kind="isolated"),)
    )
    said: dict[str, str | int] = {
        "inputs-free": max(0, legs - random.randint(1, 4)),
        "room-capacity": random.choice([120, 300]),
    }
    return Rig(name="Invented band", mixer=mixer, source=tuple(sources), splitter=(splitter,)), answered(said)


def answered(said: dict[str, str | int]) -> dict[str, Answer]:
    return {
        key: Answer("answered", QUESTIONS[key].kind.check(value), "house", "2026-11-20") for key, value in said.items()
    }


def mark(random: Random, sources: list[Source]) -> list[Source]:
    """Optional, low, high, must, loud, house microphones: the same for both halves of a pair."""
    few = random.choice([0.0, 0.05, 0.15])
    silent = random.random() < 0.2
    firsts = {source.second_of for source in sources}
    wishes: dict[str, dict[str, object]] = {}
    for source in sources:
        wish = wishes[source.pair_with] if source.pair_with in wishes else wish_for(random, few, silent=silent)
        # A second microphone leans on a first that can be sent, and some sources say by themselves where they go.
        if source.key in firsts or source.goes or source.what == "x-click":
            wish = {key: value for key, value in wish.items() if key != "goes"}
        wishes[source.key] = wish
    return [replace(source, **wishes[source.key]) for source in sources]


def wish_for(random: Random, few: float, *, silent: bool) -> dict[str, object]:
    possible: tuple[tuple[str, tuple[object, ...], float], ...] = (
        ("optional", (True,), few),
        ("priority", ("low", "high"), few),
        ("must", (True, False), few),
        ("loud_on_stage", (False,) if silent else (True, False), 1 if silent else few),
        ("owner", (Owner(mic="house"),), few),
        ("goes", ("house-only", "ears-only"), few / 3),
        ("phantom", ("yes", "no"), few),
    )
    return {key: random.choice(values) for key, values, probability in possible if random.random() < probability}


def choose_splitters(random: Random, sources: int) -> tuple[Splitter, ...]:
    if random.random() < WELL_OFF:
        return (
            Splitter(
                key="rack-a", ways=sources + 2, built_in=True, outputs=(SplitterOutput(key="b", kind="isolated"),)
            ),
        )
    kinds = [("isolated",), ("direct",), ("isolated", "direct"), ("isolated", "isolated"), ()]
    splitters = []
    for key in ["rack-a", "box-b"][: random.choice([0, 0, 1, 1, 1, 1, 1, 2, 2])]:
        chosen = random.choices(kinds, weights=[4, 3, 3, 1, 0.3])[0]
        outputs = tuple(SplitterOutput(key=name, kind=kind) for name, kind in zip("bc", chosen, strict=False))
        splitters.append(
            Splitter(
                key=key,
                ways=random.choice([2, 4, 8, max(1, sources - 1), sources, sources + 2]),
                built_in=random.random() < 0.5,
                to_mixer=random.choice(["direct", "direct", "isolated"]),
                outputs=outputs,
                kind=random.choice(["passive", "passive", "active"]),
            )
        )
    return tuple(splitters)


def wire(random: Random, sources: list[Source], splitters: tuple[Splitter, ...]) -> list[Source]:
    """Some sources have a way of their own; halves of a pair and parts of a submix are wired alike."""
    if not splitters:
        return sources
    share = random.choice([0.0, 0.5, 1.0])
    free = {splitter.key: list(range(1, splitter.ways + 1)) for splitter in splitters}
    together: dict[str, list[int]] = {}
    for index, source in enumerate(sources):
        name = f"submix {source.submix}" if source.submix else min(source.key, source.pair_with or source.key)
        together.setdefault(name, []).append(index)
    wired = list(sources)
    for indexes in together.values():
        key = random.choice(splitters).key
        if random.random() < share and len(free[key]) >= len(indexes):
            for index in indexes:
                wired[index] = replace(sources[index], splitter=key, way=free[key].pop(0))
    return wired


def choose_mixer(random: Random) -> tuple[Mixer, tuple[Ears, ...]]:
    outs: list[Out] = []
    ears: list[Ears] = []
    for number in range(random.choice([0, 1, 2])):
        keys = (f"ear-{number}a", f"ear-{number}b")
        stereo = random.random() < 0.7
        outs += [Out(key, use=f"ears:Player {number}") for key in keys[: 2 if stereo else 1]]
        ears.append(
            Ears(player=f"Player {number}", width="stereo" if stereo else "mono", outs=keys[: 2 if stereo else 1])
        )
    outs += [Out(f"main-{number}", use="main") for number in range(random.choice([0, 0, 1, 2]))]
    for number in range(random.choice([0, 0, 0, 1, 2, 4, 8])):
        unprocessed = random.random() < 0.5
        outs.append(
            Out(f"out-{number}", use="free", tap_before=tuple(sorted(UNTOUCHED_TAP)) if unprocessed else PROCESSED_TAP)
        )
    mixer = Mixer(
        inputs=48,
        channels=64,
        mono_busses=random.choice([0, 0, 1, 2, 4]),
        stereo_busses=random.choice([0, 0, 1, 2]),
        outs=tuple(outs),
    )
    return mixer, tuple(ears)


def choose_cables(random: Random, sources: int) -> tuple[tuple[Loom, ...], dict[str, int]]:
    if random.random() < WELL_OFF:
        return (), {"isolating_transformer": 8}
    looms = tuple(
        Loom(key=f"loom-{number}", ways=random.choice([2, 4, 8, sources]), length_m=random.choice([None, 10, 15.5, 30]))
        for number in range(random.choice([0, 0, 0, 1, 1, 2]))
    )
    bits = {"isolating_transformer": random.choice([0, 0, 1, 2, 4])}
    if random.random() < 0.5:
        bits["xlr_10m"] = random.choice([0, 1, 3])
        bits["xlr_20m"] = random.choice([0, 1, 3])
    return looms, bits


def answer(random: Random, legs: int) -> Answers:
    """Answers within each question's limits; many questions are not asked yet."""
    said: dict[str, str | int] = {}

    def maybe(question: str, probability: float, *values: str | int) -> None:
        if random.random() < probability:
            said[question] = random.choice(values)

    maybe("who-mixes", 0.4, "house-engineer", "nobody-known", "bands-engineer-your-desk")
    maybe("pa", 0.5, "stereo", "mono")
    maybe("what-they-want", 0.6, "as-much-split-as-fits", "split-each-source", "dont-mind")
    maybe("inputs-free", 0.85, *range(legs + 1), *range(legs + 1), *range(1, legs + 1), legs)
    maybe("room-capacity", 0.6, 80, 200, 201, 900)
    maybe("house-microphones-through-our-splitter", 0.6, "no", "yes")
    maybe("isolation", 0.5, "dont-mind", "wanted", "required")
    maybe("phantom-switching", 0.5, "per-channel", "banks-of-8", "all")
    maybe("box-distance", 0.6, 500, 1000, 1550, 2000, 2500)
    answers = answered(said)
    if "inputs-free" not in answers and random.random() < 0.5:
        answers["inputs-free"] = Answer("unknown")
    return answers
