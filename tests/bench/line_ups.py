"""Line-ups by size, shape and number for figures alone: the engine is neither checked nor tuned on them."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import count
from random import Random

from portal.plan.input.facts import Answer, Answers
from portal.plan.input.rig import Ears, Loom, Mixer, Out, Owner, Rig, Source, Splitter, SplitterOutput

MICROPHONES = (
    "drum.cajon",
    "drum.conga",
    "brass.trombone",
    "brass.trumpet",
    "wind.reed.saxophone",
    "strings.violin",
    "strings.cello",
    "pluck.guitar.electric",
    "voice.vocals",
    "voice.vocals",
)
LINES = ("pluck.bass.electric", "pluck.guitar.acoustic", "pluck.mandolin", "keyboard.organ", "x-bass-synth")
STEREO = ("synth.generic", "keyboard.piano.electric", "x-playback", "x-guitar-modelled", "x-electronic-kit")


@dataclass(frozen=True)
class Shape:
    """How many sources, how many inputs for them, and what is special. ``pairs``: share of the entries that are stereo;
    ``submixes``: of the stereo entries that are a player's rack with a submixer.
    """

    name: str
    sources: int
    inputs: int
    pairs: float = 0.2
    submixes: float = 0.0
    second_box: int = 0


SHAPES = (
    Shape("16/12", 16, 12),
    Shape("32/16", 32, 16),
    Shape("64/32", 64, 32),
    Shape("128/64", 128, 64),
    Shape("128/2", 128, 2),
    Shape("pairs 64/24", 64, 24, pairs=0.7),
    Shape("submixes 48/16", 48, 16, pairs=0.5, submixes=0.6),
    Shape("two boxes 48/24", 48, 24, second_box=8),
)


def line_up(shape: Shape, number: int) -> tuple[Rig, Answers]:
    """One gig of a shape; the same number gives the same gig."""
    random = Random(f"{shape.name} {number}")  # noqa: S311 - a gig by number, not a secret
    sources: list[Source] = []
    for entry in _entries(random, shape):
        if len(sources) + len(entry) > shape.sources:
            break
        sources += entry
    sources = _wired(random, sources)
    outs, ears = _outputs(random)
    ways = random.choice([len(sources), len(sources), len(sources) * 3 // 4])
    rig = Rig(
        name="Figures",
        mixer=Mixer(
            inputs=len(sources),
            channels=len(sources) + 16,
            mono_busses=random.randint(0, 6),
            stereo_busses=random.randint(0, 3),
            outs=outs,
        ),
        source=tuple(sources),
        splitter=_splitters(random, ways),
        loom=tuple(
            Loom(key=f"loom-{place}", ways=max(4, shape.inputs * share // 4), length_m=15)
            for place, share in enumerate(random.choice([(4,), (2, 2), (3, 2), (1, 1, 1, 1)]))
        ),
        ears=ears,
        bits={"isolating_transformer": random.choice([0, 4]), "xlr_20m": random.choice([0, 2, 6])},
    )
    return rig, _answers(random, shape)


def _entries(random: Random, shape: Shape) -> Iterator[list[Source]]:
    """A kit, a lead, and then what comes, each entry with the key of its place."""
    places = count(1)

    def one(what: str, **more: object) -> Source:
        place = next(places)
        return replace(Source(key=f"k{place:03d}", label=f"{what.rpartition('.')[2]} {place}", what=what), **more)

    def pair(what: str, **more: object) -> list[Source]:
        left, right = one(what, position="left", **more), one(what, position="right", **more)
        return [replace(left, pair_with=right.key), replace(right, pair_with=left.key)]

    kick, snare = (
        one("drum.kick-drum", position="in", player="D"),
        one("drum.snare-drum", position="top", player="D"),
    )
    yield [kick]
    yield [snare]
    yield [one("voice.vocals", player="L", lead=True)]
    yield [one("metal.hi-hat", player="D")]
    yield pair("drum.group.set", player="D")
    yield [one("drum.tom-tom", position=random.choice(["rack", "floor"]), player="D")]
    if random.random() < 0.5:
        yield [one(kick.what, position="out", player="D", second_of=kick.key)]
    while True:
        player = f"P{random.randint(1, max(3, shape.sources // 6))}"
        if random.random() < shape.pairs / 2 * (2 - shape.pairs):
            if random.random() < shape.submixes:
                name = f"rack of {player}, {next(places)}"
                yield pair("synth.generic", player=player, submix=name) + [
                    one("keyboard.organ", player=player, submix=name) for _ in range(random.randint(1, 2))
                ]
            else:
                yield pair(random.choice(STEREO), player=player, inseparable=random.random() < 0.04)
        elif random.random() < 0.6:
            yield [
                one(
                    random.choice(MICROPHONES),
                    player=player,
                    optional=random.random() < 0.08,
                    priority=random.choice(["", "", "", "", "", "low", "high"]),
                    owner=Owner(mic=random.choice(["band", "band", "band", "band", "house"])),
                )
            ]
        else:
            yield [one(random.choice(LINES), player=player, capture=random.choice(["", "di", "di-active"]))]


def _wired(random: Random, sources: list[Source]) -> list[Source]:
    """Numbered at the mixer in order; at most gigs every source has a way, at some the last third has none."""
    ways = len(sources) if random.random() < 0.6 else len(sources) * 2 // 3
    return [
        replace(source, mixer_input=place, **({"splitter": "s1", "way": place} if place <= ways else {}))
        for place, source in enumerate(sources, start=1)
    ]


def _splitters(random: Random, ways: int) -> tuple[Splitter, ...]:
    outputs = (SplitterOutput(key="H", kind=random.choice(["isolated", "isolated", "direct"])),)
    first = Splitter(key="s1", ways=min(128, ways), built_in=random.random() < 0.7, outputs=outputs)
    plugs = random.choice(["", "front", "inside"])
    second = Splitter(key="s2", ways=8, outputs=(SplitterOutput(key="H", kind="isolated"),))
    return (replace(first, plugs=plugs), *((second,) if random.random() < 0.3 else ()))


def _outputs(random: Random) -> tuple[tuple[Out, ...], tuple[Ears, ...]]:
    mixes = random.randint(1, 4)
    ears = tuple(Ears(player=f"P{place}", outs=(f"e{place}l", f"e{place}r")) for place in range(1, mixes + 1))
    outs = [Out(key=key, use=f"ears:{mix.player}") for mix in ears for key in mix.outs]
    outs += [
        Out(key=f"o{place}", tap=random.choice(["after-preamp", "pre-eq", "post-fader", ""]))
        for place in range(random.choice([2, 4, 8]))
    ]
    return tuple(outs), ears


def _answers(random: Random, shape: Shape) -> Answers:
    said: dict[str, str | int] = {
        "who-mixes": "house-engineer",
        "pa": random.choice(["stereo", "stereo", "mono"]),
        "what-they-want": random.choice(["as-much-split-as-fits", "as-much-split-as-fits", "dont-mind"]),
        "inputs-free": shape.inputs - shape.second_box,
        "room-capacity": random.choice([150, 400, 900]),
        "isolation": random.choice(["dont-mind", "dont-mind", "wanted"]),
        "box-distance": random.choice([500, 1000]),
    }
    if shape.second_box:
        said |= {"second-box-inputs": shape.second_box, "second-box-distance": 1000}
    return {key: Answer("answered", value, "house") for key, value in said.items()}
