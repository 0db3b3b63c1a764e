"""What binds: which limits force a give-up, found by taking each away and solving again; and what is said of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from portal.plan.input.facts import Facts
from portal.plan.input.rig import Out
from portal.plan.model import Fact
from portal.plan.options.boxes import second_box_inputs, usable_looms, working_inputs
from portal.plan.options.program import Program, relaxed
from portal.plan.options.routing_options import NO_48_V, RoutingOptions
from portal.plan.phrase import COMMAS, Listed, Phrase, Value, listed, these
from portal.plan.solving.solve import Solution, give_ups, gives_up_less

LIMITS = (
    "inputs-free",
    "looms",
    "unprocessed-outs",
    "free-outs",
    "busses",
    "isolation",
    "dry-only",
    "link-channels",
    NO_48_V,
)
"""Tags of rows that are limits rather than wishes; splitter ways are tagged one by one."""


@dataclass(frozen=True)
class BindingLimits:
    """The limits that bind; empty where nothing is given up. ``said`` is the sentence, with the number of sources."""

    facts: tuple[Fact, ...] = ()
    limits: Listed | None = None
    said: Phrase | None = None


def binding_limits_of(options: RoutingOptions, solution: Solution) -> BindingLimits:
    """The limits without which less would be given up. Where only several together bind, all of those are named."""
    tags = [
        tag for tag in dict.fromkeys(_may_bind(options.program)) if tag in LIMITS or tag.startswith("splitter-ways:")
    ]
    if not any(solution.given_up):
        return BindingLimits()
    may = tags if solution.rests_on is None else [tag for tag in tags if tag in solution.rests_on]
    first, others = may[:1], may[1:]  # the inputs, which bind most often
    binding = _binding(options.program, first, solution) + _binding(options.program, others, solution)
    if not binding and gives_up_less(relaxed(options.program, frozenset(tags)), solution):
        least = give_ups(relaxed(options.program, frozenset(tags)))
        binding = [tag for tag in tags if give_ups(relaxed(options.program, frozenset(tags) - {tag})) != least]
    if not binding:
        return BindingLimits((_wiring(options.facts),))
    facts = tuple(fact_of(options.facts, tag) for tag in binding)
    limits, wanted = limits_of(options.facts, binding), sum(unit.width for unit in options.units)
    return BindingLimits(facts, limits, Phrase("sources-and-limits", {"sources": wanted, "limits": limits}))


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


def limits_of(facts: Facts, tags: Iterable[str]) -> Listed:
    """Limits for the middle of a sentence; the outputs of the band's mixer are counted once."""
    tags = list(tags)
    if {"unprocessed-outs", "free-outs"} <= set(tags):
        tags.remove("unprocessed-outs")
        return listed(_free_and_unprocessed(facts) if tag == "free-outs" else limit_of(facts, tag) for tag in tags)
    return listed(limit_of(facts, tag) for tag in tags)


def _free_and_unprocessed(facts: Facts) -> Value:
    """How many outputs are free, and how many of those are known to be unprocessed."""
    free = [out for out in facts.rig.mixer.outs if out.use == "free"]
    said = limit_of(facts, "free-outs")
    if not free:
        return said
    known, unknown = sum(out.unprocessed for out in free), sum(not out.tap_known for out in free)
    if not known:
        return Listed((said, Phrase("none-known-to-be-unprocessed" if unknown else "none-unprocessed")), COMMAS)
    more = (Phrase("of-unknown-tap", {"outputs": unknown}),) if unknown else ()
    return Listed((said, Phrase("of-them-unprocessed", {"outputs": known}), *more), COMMAS)


def _wiring(facts: Facts) -> Fact:
    keys = [splitter.name or splitter.key for splitter in facts.rig.splitter]
    return Fact("splitters", these(keys) if keys else Phrase("no-splitter"), "rig")


def fact_of(facts: Facts, tag: str) -> Fact:
    """The stated fact behind a tag: an answer with its origin and date, or what the rig says."""
    kind = tag.partition(":")[0]
    question = QUESTION_BEHIND.get(kind)
    if kind == "looms" and facts.rig.loom and not usable_looms(facts):
        question = "box-distance"
    if question is None:
        return Fact(tag, Phrase("these", {"things": limit_of(facts, tag)}), "both" if kind == "lock" else "rig")
    stated = facts.fact(question)
    limit = limit_of(facts, tag)
    value = Phrase("free-for-this-band", {"limit": limit}) if kind == "inputs-free" else stated.value
    return Fact(tag, value, stated.origin, stated.on)


QUESTION_BEHIND = {
    "inputs-free": "inputs-free",
    "isolation": "isolation",
    "dry-only": "what-they-want",
    "wish": "what-they-want",
}
"""Limits that the house's answers set; the others are the rig's own."""


def limit_of(facts: Facts, tag: str) -> Value:
    """A limit for the middle of a sentence."""
    kind, _, key = tag.partition(":")
    if kind == "looms":
        return _loom_limit(facts)
    if kind == "splitter-ways":
        splitter = next(one for one in facts.rig.splitter if one.key == key)
        return Phrase("limit-splitter", {"splitter": splitter.name or splitter.key, "ways": splitter.ways})
    if kind in ("unprocessed-outs", "free-outs"):
        free = [out for out in facts.rig.mixer.outs if out.use == "free"]
        return Phrase("limit-free-outputs", {"outputs": len(free)}) if kind == "free-outs" else _unprocessed(free)
    if kind == "must":
        return Phrase("must-reach-the-house", {"labels": listed([label_of(facts, key)])})
    if kind == "lock":
        value, _, source = key.partition(":")
        return Phrase(f"limit-agreed-{value}", {"label": label_of(facts, source)})
    return _counted_limit(facts, NO_48_V if tag == NO_48_V else kind)


def _counted_limit(facts: Facts, kind: str) -> Phrase:
    rig = facts.rig
    if kind == "inputs-free":
        two = ".on-two-boxes" if second_box_inputs(facts) else ""
        return Phrase(f"limit-inputs{two}", {"inputs": working_inputs(facts) or 0})
    if kind == "busses":
        return Phrase("limit-busses", {"busses": rig.mixer.mono_busses + rig.mixer.stereo_busses})
    if kind == "isolation":
        return Phrase("limit-isolation", {"owned": rig.bits.get("isolating_transformer", 0)})
    if kind == "link-channels":
        return Phrase("limit-digital-link", {"channels": sum(link.channels for link in rig.mixer.links)})
    alone = {"dry-only": "limit-dry-only", "wish": "limit-left-right-mix", NO_48_V: "limit-isolation.48-v"}
    return Phrase(alone[kind])


def _loom_limit(facts: Facts) -> Phrase:
    ways = sum(loom.ways for loom in usable_looms(facts))
    if facts.rig.loom and not ways:
        return Phrase("limit-no-loom-reaches", {"distance": facts.answered("box-distance")})
    return Phrase("limit-looms", {"ways": ways})


def _unprocessed(free: list[Out]) -> Value:
    """How many free outputs are known to be unprocessed, and of how many that is not known."""
    unknown = sum(not out.tap_known for out in free)
    known = Phrase("limit-unprocessed-outputs", {"outputs": sum(out.unprocessed for out in free)})
    return Listed((known, Phrase("taps-not-stated", {"outputs": unknown})), COMMAS) if unknown else known


def label_of(facts: Facts, key: str) -> str:
    """The label of a source; its key where the rig has none of that key."""
    return next((source.label for source in facts.rig.source if source.key == key), key)
