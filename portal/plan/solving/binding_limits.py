"""What binds: which limits force a give-up, found by taking each away and solving again; and their names in facts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from portal.plan.explain import count_of
from portal.plan.input.facts import Facts
from portal.plan.input.rig import Out
from portal.plan.model import Fact
from portal.plan.options.boxes import second_box_inputs, usable_looms, working_inputs
from portal.plan.options.program import Program, relaxed
from portal.plan.options.routing_options import RoutingOptions
from portal.plan.result.unchecked_plan import named
from portal.plan.solving.solve import Solution, give_ups, gives_up_less

LIMITS = ("inputs-free", "looms", "unprocessed-outs", "free-outs", "busses", "isolation", "dry-only", "link-channels")
"""Tags of rows that are limits rather than wishes; splitter ways are tagged one by one."""


@dataclass(frozen=True)
class BindingLimits:
    """The limits that bind, as facts and in words; empty where nothing is given up."""

    facts: tuple[Fact, ...]
    words: str


def binding_limits_of(options: RoutingOptions, solution: Solution) -> BindingLimits:
    """The limits without which less would be given up. Where only several together bind, all of those are named."""
    tags = [
        tag for tag in dict.fromkeys(_may_bind(options.program)) if tag in LIMITS or tag.startswith("splitter-ways:")
    ]
    if not any(solution.given_up):
        return BindingLimits((), "")
    first, others = tags[:1], tags[1:]  # the inputs, which bind most often
    binding = _binding(options.program, first, solution) + _binding(options.program, others, solution)
    if not binding and gives_up_less(relaxed(options.program, frozenset(tags)), solution):
        least = give_ups(relaxed(options.program, frozenset(tags)))
        binding = [tag for tag in tags if give_ups(relaxed(options.program, frozenset(tags) - {tag})) != least]
    if not binding:
        return BindingLimits((_wiring(options.facts),), "")
    facts = tuple(fact_of(options.facts, tag) for tag in binding)
    return BindingLimits(facts, _sentence(options, binding))


def _may_bind(program: Program) -> Iterable[str]:
    """Tags of the rows that some choice of picks breaks; taking any other away changes nothing."""
    for row in program.rows:
        most = sum(value * program.picks[index].most for index, value in row.terms if value > 0)
        least = sum(value * program.picks[index].most for index, value in row.terms if value < 0)
        if (row.hi is not None and most > row.hi) or (row.lo is not None and least < row.lo):
            yield row.tag


def _binding(program: Program, tags: list[str], solution: Solution) -> list[str]:
    """Those that bind each by itself. Where all of them together do not, none does."""
    if not tags or not gives_up_less(relaxed(program, frozenset(tags)), solution):
        return []
    if len(tags) == 1:
        return tags
    half = len(tags) // 2
    return _binding(program, tags[:half], solution) + _binding(program, tags[half:], solution)


def _sentence(options: RoutingOptions, binding: list[str]) -> str:
    wanted = sum(unit.width for unit in options.units)
    return f"{wanted} sources; {phrases_of(options.facts, binding)}."


def phrases_of(facts: Facts, tags: Iterable[str]) -> str:
    """Limits in a few words each, joined; the outputs of the band's mixer are counted once."""
    tags = list(tags)
    if {"unprocessed-outs", "free-outs"} <= set(tags):
        tags.remove("unprocessed-outs")
        return named(_free_and_unprocessed(facts) if tag == "free-outs" else phrase_of(facts, tag) for tag in tags)
    return named(phrase_of(facts, tag) for tag in tags)


def _free_and_unprocessed(facts: Facts) -> str:
    """How many outputs are free, and how many of those are known to be unprocessed."""
    free = [out for out in facts.rig.mixer.outs if out.use == "free"]
    words = phrase_of(facts, "free-outs")
    if not free:
        return words
    known, unknown = sum(out.unprocessed for out in free), sum(not out.tap_known for out in free)
    if not known:
        return f"{words}, none {'known to be ' * bool(unknown)}unprocessed"
    return f"{words}, {known} of them unprocessed" + f", {unknown} of unknown tap" * bool(unknown)


def _wiring(facts: Facts) -> Fact:
    keys = [splitter.name or splitter.key for splitter in facts.rig.splitter]
    return Fact("splitters", named(keys) or "no splitter", "rig")


def fact_of(facts: Facts, tag: str) -> Fact:
    """The stated fact behind a tag: an answer with its origin and date, or what the rig says."""
    kind = tag.partition(":")[0]
    question = QUESTION_BEHIND.get(kind)
    if kind == "looms" and facts.rig.loom and not usable_looms(facts):
        question = "box-distance"
    if question is None:
        return Fact(tag, phrase_of(facts, tag), "both" if kind == "lock" else "rig")
    stated = facts.fact(question)
    value = f"{phrase_of(facts, tag)} free for this band" if kind == "inputs-free" else stated.value
    return Fact(tag, value, stated.origin, stated.on)


QUESTION_BEHIND = {
    "inputs-free": "inputs-free",
    "isolation": "isolation",
    "dry-only": "what-they-want",
    "wish": "what-they-want",
}
"""Limits that the house's answers set; the others are the rig's own."""


def phrase_of(facts: Facts, tag: str) -> str:
    """A limit in a few words, for the middle of a sentence."""
    kind, _, key = tag.partition(":")
    rig = facts.rig
    free = [out for out in rig.mixer.outs if out.use == "free"]
    if kind == "looms":
        ways = sum(loom.ways for loom in usable_looms(facts))
        if rig.loom and not ways:
            return f"no loom reaches the box at {facts.fact('box-distance').value}"
        return f"the looms that reach carry {ways} ways"
    if kind == "splitter-ways":
        splitter = next(one for one in rig.splitter if one.key == key)
        return f"{splitter.name or splitter.key} has {splitter.ways} ways"
    phrases = {
        "inputs-free": (
            _none_or(working_inputs(facts) or 0, "working input") + " on two boxes" * bool(second_box_inputs(facts))
        ),
        "unprocessed-outs": _unprocessed(free),
        "free-outs": f"{_none_or(len(free), 'output')} free on the band's mixer",
        "busses": (
            f"{_none_or(rig.mixer.mono_busses + rig.mixer.stereo_busses, 'bus', 'busses')} free on the band's mixer"
        ),
        "isolation": (
            "isolated lines are required and the band owns"
            f" {_none_or(rig.bits.get('isolating_transformer', 0), 'isolating transformer')}"
        ),
        "link-channels": f"the digital link carries {sum(link.channels for link in rig.mixer.links)} channels",
        "dry-only": "the house wants dry lines only",
        "must": f"{label_of(facts, key)} must reach the house",
        "lock": f"both sides agreed on {agreed_words(facts, *key.partition(':')[::2])}",
        "wish": "a left/right mix is wanted",
    }
    return phrases[kind]


def _unprocessed(free: list[Out]) -> str:
    """How many free outputs are known to be unprocessed, and of how many that is not known."""
    unknown = sum(not out.tap_known for out in free)
    known = _none_or(sum(out.unprocessed for out in free), "unprocessed output")
    return f"{known} free on the band's mixer" + (
        f", the tap of {count_of(unknown, 'output')} not stated" if unknown else ""
    )


def agreed_words(facts: Facts, value: str, key: str) -> str:
    """What was agreed for how a source is sent, in a few words."""
    return (
        f"leaving out {label_of(facts, key)}"
        if value == "leave-out"
        else f"a line of its own for {label_of(facts, key)}"
    )


def _none_or(number: int, one: str, many: str = "") -> str:
    if number == 0:
        return f"no {one}"
    return f"{number} {one if number == 1 else many or one + 's'}"


def label_of(facts: Facts, key: str) -> str:
    """The label of a source; its key where the rig has none of that key."""
    return next((source.label for source in facts.rig.source if source.key == key), key)
