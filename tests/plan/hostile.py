"""Rigs, answers and locks as nobody should write them, by number: the engine has to say something about every one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import Field, dataclass, fields, replace
from random import Random

from portal.plan.input.answer_kinds import Choice, Count, Distance, Sockets, Value
from portal.plan.input.facts import Answer, Lock
from portal.plan.input.kinds import KINDS
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import (
    MAX_EARS,
    MAX_SOURCES,
    UNTOUCHED_TAP,
    Configuration,
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
from portal.plan.input.small_things import BIT_KEYS
from tests.plan.gigs import gig, medium

NOBODY = "nobody"
ODD_TEXTS = ("", " ", "0", "-1", "é" * 40, "<b>Kim</b>", "line\nbreak", "{label}", "%s", "مايك", "a, b and c", NOBODY)


@dataclass(frozen=True)
class Hostile:
    """One case. ``odd``: the names of what was done to an ordinary gig."""

    rig: Rig
    answers: dict[str, Answer]
    locks: tuple[Lock, ...]
    odd: tuple[str, ...]


def hostile(seed: int) -> Hostile:
    """Mostly small gigs; the same number gives the same case for ever."""
    random = Random(seed)  # noqa: S311 - a case by number, not a secret
    rig, answers = start(random, seed)
    odd = random.sample(list(MUTATIONS), random.choice([0, 1, 1, 2, 2, 3, 4, 6]))
    for name in odd:
        rig = MUTATIONS[name](random, rig)
    said = dict(answers) | said_at_random(random, random.choice([0.0, 0.2, 0.6, 1.0]))
    if random.random() < 0.2:
        said["inputs-free"] = Answer("answered", random.choice([0, 1, 128]), "house")
    locks = tuple(lock_for(random, rig) for _ in range(random.choice([0, 0, 0, 1, 2, 5])))
    return Hostile(rig, said, locks, tuple(odd))


def start(random: Random, seed: int) -> tuple[Rig, dict[str, Answer]]:
    """Something to spoil: nothing at all, a small gig, a medium one, or as many sources as a rig may have."""
    kind = random.choices(["empty", "small", "medium", "full"], weights=[2, 90, 7, 0.5])[0]
    if kind == "empty":
        return Rig(), {}
    rig, answers = gig(seed) if kind == "small" else medium(seed)
    if kind == "full":
        more = (
            replace(source, key=f"{source.key}-{copy}", pair_with="", second_of="")
            for copy in range(20)
            for source in rig.source
        )
        rig = replace(rig, source=(*rig.source, *more)[:MAX_SOURCES])
    return rig, dict(answers)


# --- values of every documented field
# -----------------------------------------------------------------------------------------


def value_of(random: Random, entry: Field[object], rig: Rig) -> object:
    """A value within the field's own limits, the extremes first; a key of somebody, of oneself or of nobody where it
    names one.
    """
    limits, kind = entry.metadata, str(entry.type)
    low, high = limits["lo"], limits["hi"]
    possible: list[object] = [entry.default]
    if entry.name == "what":
        possible = [*KINDS, "x-nothing-known"]
    elif limits["one_of"]:
        possible = list(limits["one_of"])
    elif limits["most"] is not None:
        possible = [tuple(some_key(random, rig) for _ in range(count)) for count in (0, 1, 2, limits["most"])]
    elif "bool" in kind:
        possible = [None, True, False] if entry.default is None else [True, False]
    elif low is not None:
        possible = [
            entry.default,
            low,
            high,
            random.randint(int(low), int(high)) if "int" in kind else (low + high) / 2,
        ]
    elif entry.name in {"pair_with", "second_of", "one_microphone_with", "splitter"}:
        possible = [some_key(random, rig)]
    elif isinstance(entry.default, str):
        possible = [text[: limits["longest"]] for text in ODD_TEXTS]
    return random.choice(possible)


def some_key(random: Random, rig: Rig) -> str:
    keys = [source.key for source in rig.source] + [splitter.key for splitter in rig.splitter]
    return random.choice([*keys, "", NOBODY])


def change_fields(random: Random, rig: Rig, source: Source) -> Source:
    """A few fields of one source, each to any value that its documentation allows."""
    possible = [entry for entry in fields(Source) if entry.name not in {"key", "owner", "at_m"}]
    chosen = random.sample(possible, random.choice([1, 1, 2, 4, 12]))
    return replace(source, **{entry.name: value_of(random, entry, rig) for entry in chosen})


# --- what is done to a rig
# ------------------------------------------------------------------------------------------------------


def each(random: Random, rig: Rig, change: Callable[[Source], Source], share: float = 0.4) -> Rig:
    return replace(rig, source=tuple(change(source) if random.random() < share else source for source in rig.source))


def dangling(random: Random, rig: Rig) -> Rig:
    names = ("pair_with", "second_of", "one_microphone_with", "splitter")
    spoiled = each(random, rig, lambda source: replace(source, **{random.choice(names): NOBODY}))
    return each(random, spoiled, lambda source: replace(source, never_with=(*source.never_with, NOBODY)))


def of_itself(random: Random, rig: Rig) -> Rig:
    def change(source: Source) -> Source:
        name = random.choice(["pair_with", "second_of", "one_microphone_with", "never_with"])
        return replace(source, **{name: (source.key,) if name == "never_with" else source.key})

    return each(random, rig, change)


def crossed(random: Random, rig: Rig) -> Rig:
    """Pairs of three, seconds of seconds in a ring, and never-at-once that only one side says."""
    keys = [source.key for source in rig.source]
    if not keys:
        return rig
    following = dict(zip(keys, [*keys[1:], keys[0]], strict=True))
    name = random.choice(["pair_with", "second_of", "one_microphone_with", "never_with"])
    return each(
        random,
        rig,
        lambda source: replace(
            source, **{name: (following[source.key],) if name == "never_with" else following[source.key]}
        ),
        0.7,
    )


def all_never_at_once(_random: Random, rig: Rig) -> Rig:
    keys = tuple(source.key for source in rig.source)[:17]
    return replace(
        rig,
        source=tuple(
            replace(source, never_with=tuple(key for key in keys if key != source.key)[:16]) for source in rig.source
        ),
    )


def doubled_keys(random: Random, rig: Rig) -> Rig:
    if not rig.source:
        return rig
    spoiled = each(random, rig, lambda source: replace(source, key=rig.source[0].key), 0.3)
    outs = tuple(replace(out, key="out") for out in rig.mixer.outs)
    mixer = replace(rig.mixer, outs=outs) if random.random() < 0.5 else rig.mixer
    splitters, looms = (tuple(replace(one, key="same") for one in things) for things in (rig.splitter, rig.loom))
    return replace(spoiled, mixer=mixer, splitter=splitters, loom=looms)


def nameless(random: Random, rig: Rig) -> Rig:
    return each(random, rig, lambda source: replace(source, key="", label="", player=""), 0.2)


def beyond_the_splitter(random: Random, rig: Rig) -> Rig:
    if not rig.splitter:
        return rig
    return each(
        random,
        rig,
        lambda source: replace(source, splitter=random.choice(rig.splitter).key, way=random.choice([1, 128, None])),
        0.7,
    )


def extreme_splitters(random: Random, rig: Rig) -> Rig:
    outputs = [
        SplitterOutput(key, random.choice(["isolated", "direct"]), random.random() < 0.5) for key in ("a", "b", "", "b")
    ]
    splitters = tuple(
        Splitter(
            key=f"splitter-{number}",
            ways=random.choice([0, 1, 128]),
            built_in=random.random() < 0.5,
            to_mixer=random.choice(["direct", "isolated"]),
            outputs=tuple(outputs[: random.choice([0, 1, 4])]),
            kind=random.choice(["passive", "active"]),
        )
        for number in range(random.choice([1, 2, 8]))
    )
    return beyond_the_splitter(random, replace(rig, splitter=splitters))


def extreme_looms(random: Random, rig: Rig) -> Rig:
    sizes = [random.choice([0, 1, 2, 128]) for _ in range(random.choice([0, 1, 3, 16]))]
    looms = tuple(
        Loom(f"loom-{place}", "", ways, random.choice([None, 0, 10.5, 300])) for place, ways in enumerate(sizes)
    )
    return replace(rig, loom=looms)


def extreme_bits(random: Random, rig: Rig) -> Rig:
    keys = (*BIT_KEYS, "xlr_0m", "xlr_10m", "xlr_300m")
    return replace(rig, bits={key: random.choice([0, 1, 999]) for key in keys if random.random() < 0.7})


def extreme_mixer(random: Random, rig: Rig) -> Rig:
    taps = ((), ("fader",), tuple(sorted(UNTOUCHED_TAP)))
    uses = ("free", "main", "ears:Kim", "ears:", "")
    outs = [
        Out(f"out-{number}", random.choice(uses), tap_before=random.choice(taps))
        for number in range(random.choice([0, 2, 64]))
    ]
    mixer = Mixer(
        inputs=random.choice([None, 0, 1, 256]),
        channels=random.choice([None, 0, 1, 512]),
        mono_busses=random.choice([0, 1, 64]),
        stereo_busses=random.choice([0, 1, 64]),
        outs=tuple(outs),
        phantom_budget_ma=random.choice([None, 0, 2000]),
        double_patch=random.choice([None, True, False]),
        ears_protected=random.choice([None, True, False]),
        links=tuple(MixerLink("AES50", random.choice([0, 1, 512])) for _ in range(random.choice([0, 0, 1, 8]))),
    )
    return replace(rig, mixer=mixer)


def extreme_ears(random: Random, rig: Rig) -> Rig:
    keys = [out.key for out in rig.mixer.outs] + [NOBODY]
    ears = tuple(
        Ears(
            random.choice(ODD_TEXTS),
            random.choice(["mono", "stereo"]),
            tuple(random.choices(keys, k=random.choice([0, 1, 2]))),
        )
        for _ in range(random.choice([0, 1, MAX_EARS]))
    )
    return replace(rig, ears=ears)


def all_must(random: Random, rig: Rig) -> Rig:
    return each(random, rig, lambda source: replace(source, must=True, inseparable=random.random() < 0.2), 1.0)


def all_of_the_house(random: Random, rig: Rig) -> Rig:
    changed = each(random, rig, lambda source: replace(source, owner=Owner("house", "house", "house")), 0.8)
    return each(
        random,
        changed,
        lambda source: replace(source, goes=random.choice(["house-only", "ears-only", "rehearsal-only"])),
        0.3,
    )


def one_submix(random: Random, rig: Rig) -> Rig:
    return each(random, rig, lambda source: replace(source, submix="all"), 0.7)


def at_home(random: Random, rig: Rig) -> Rig:
    """A configuration that leaves some at home, so that others name sources that are not there."""
    off = tuple(source.key for source in rig.source if random.random() < 0.4)
    return replace(rig, configurations={"few": Configuration(off)}).configured("few")


def any_fields(random: Random, rig: Rig) -> Rig:
    return each(random, rig, lambda source: change_fields(random, rig, source))


MUTATIONS: dict[str, Callable[[Random, Rig], Rig]] = {
    change.__name__: change
    for change in (
        dangling,
        of_itself,
        crossed,
        all_never_at_once,
        doubled_keys,
        nameless,
        beyond_the_splitter,
        extreme_splitters,
        extreme_looms,
        extreme_bits,
        extreme_mixer,
        extreme_ears,
        all_must,
        all_of_the_house,
        one_submix,
        at_home,
        any_fields,
    )
}


# --- what is said
# ---------------------------------------------------------------------------------------------------------------


def said_at_random(random: Random, share: float) -> dict[str, Answer]:
    """Any answer to so many of the questions: every option, both ends of every range, not known, does not apply."""
    said = {}
    for key in QUESTIONS:
        if random.random() < share:
            state = random.choice(["answered"] * 6 + ["unknown", "n/a"])
            value = answer_to(random, key) if state == "answered" else None
            said[key] = Answer(state, value, random.choice(["house", "band", "assumed"]), "2027-03-01")
    return said


def answer_to(random: Random, question: str) -> Value:
    kind = QUESTIONS[question].kind
    if isinstance(kind, Choice):
        return random.choice(kind.options).key
    if isinstance(kind, Count):
        return random.choice(
            [kind.lo, kind.hi, random.randint(kind.lo, kind.hi), min(kind.hi, kind.lo + random.randint(0, 9))]
        )
    if isinstance(kind, Distance):
        return random.choice([0, 1, 1050, kind.hi_cm])
    if isinstance(kind, Sockets):
        return kind.read(random.choice(["1", "1-8, 11", "128", "2 4 6 8", "1-128", "60-70"]))
    return kind.check(random.choice(["x", "é" * kind.longest, "{label} %s"])[: kind.longest])


def lock_for(random: Random, rig: Rig) -> Lock:
    """Somebody who may not be there, kept on something that may not exist."""
    resource = random.choice(["send", "send", "desk-channel", "desk-channel", "", "loom"])
    values = {
        "send": ["own-line", "leave-out", "split", ""],
        "desk-channel": ["1", "7", "0", "-3", "999999", "seven", "", "1.5", "²"],
    }
    return Lock(some_key(random, rig), resource, random.choice(values.get(resource, ["1", "anything"])))
