"""What would help: changes that were solved again and do help, least trouble first, each with who acts.

A candidate is a change of the rig or of one answer. Only those come back with which the test says yes; numbers are the
smallest that help.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from portal.plan.explain import count_of
from portal.plan.input.answer_kinds import Value
from portal.plan.input.facts import Answer, Answers, Facts, wished_route
from portal.plan.input.rig import Loom, Out, Rig, Splitter, SplitterOutput
from portal.plan.model import Remedy
from portal.plan.options.boxes import second_box_inputs
from portal.plan.options.gig_program import write_program
from portal.plan.own_mixer.mixed_tonight import NO_DESK
from portal.plan.result.runs import SLACK_M, runs_of
from portal.plan.solving.solve import Failure, solve

Helps = Callable[[Rig, Answers], bool]

MOST_INPUTS = 128
MOST_TRANSFORMERS = 64
MOST_OUTS = 8
MOST_PAIRS = 4


@dataclass(frozen=True)
class Change:
    """One candidate: its key, who acts, its sentence, and the gig as it would be."""

    key: str
    actor: str
    text: str
    rig: Rig
    answers: Answers


def remedies_for(tags: Iterable[str], rig: Rig, answers: Answers, helps: Helps) -> tuple[Remedy, ...]:
    """Verified remedies for a set of requirement tags."""
    found: dict[str, Remedy] = {}
    for tag in tags:
        for change in _candidates(tag, rig, answers, helps):
            if change.key not in found and helps(change.rig, change.answers):
                found[change.key] = Remedy(change.key, change.actor, change.text)
    return tuple(found.values())


def remedies_together(
    causes: Sequence[Sequence[str]], rig: Rig, answers: Answers, helps: Helps, settles: Callable[[str], Helps]
) -> tuple[Remedy, ...]:
    """Verified pairs of changes for two root causes, since neither change alone helps.

    ``settles(tag)`` tells of a gig whether the cause with that limit is gone, whatever else still clashes; the pair as
    a whole is tested with ``helps``.
    """
    found: dict[str, Remedy] = {}
    first, second = causes[0], causes[1]
    for tag in first:
        for one in _candidates(tag, rig, answers, settles(tag)):
            if not settles(tag)(one.rig, one.answers):
                continue
            for other in (change for tag_2 in second for change in _candidates(tag_2, one.rig, one.answers, helps)):
                if len(found) < MOST_PAIRS and helps(other.rig, other.answers):
                    actor = one.actor if one.actor == other.actor else "both"
                    found.setdefault(
                        f"{one.key}+{other.key}", Remedy(f"{one.key}+{other.key}", actor, f"{one.text} {other.text}")
                    )
    return tuple(found.values())


def _candidates(tag: str, rig: Rig, answers: Answers, helps: Helps) -> Iterator[Change]:
    kind, _, key = tag.partition(":")
    if kind == "inputs-free":
        yield from _more_inputs(rig, answers, helps)
    elif kind == "isolation":
        yield Change(
            "accept-lines-without-transformers",
            "house",
            "The house accepts lines without a transformer.",
            rig,
            _with(answers, "isolation", "dont-mind"),
        )
        yield from _more_bits(rig, answers, helps)
    elif kind == "looms":
        yield from _reach(rig, answers)
    elif kind in ("free-outs", "unprocessed-outs"):
        yield from _more_outs(rig, answers, helps)
    elif kind == "splitter-ways":
        yield _carry_a_splitter(rig, answers)
    elif kind == "dry-only":
        yield Change(
            "accept-processed-direct-outs",
            "house",
            "The house accepts direct outs with the band's processing on them.",
            rig,
            _with(answers, "what-they-want", "as-much-split-as-fits"),
        )
    elif kind == "wish":
        yield Change(
            "take-a-split",
            "house",
            "The house takes as much split as fits instead of a left/right mix.",
            rig,
            _with(answers, "what-they-want", "as-much-split-as-fits"),
        )
    elif kind == "must":
        if any(source.splitter == "" for source in rig.source if source.key == key):
            yield _carry_a_splitter(rig, answers)
        label = next((source.label for source in rig.source if source.key == key), key)
        sources = tuple(
            replace(source, must=False, inseparable=False) if source.key == key else source for source in rig.source
        )
        yield Change(
            f"without-{key}",
            "band",
            f"The band does without {label} at the house.",
            replace(rig, source=sources),
            answers,
        )
    else:
        yield from _unblock(kind, rig, answers, helps)


def _unblock(rule: str, rig: Rig, answers: Answers, helps: Helps) -> Iterator[Change]:
    """Candidates for what blocks a sign-off."""
    answered = {
        "rack-power": (
            "give-the-rack-power",
            "The house gives the rack a place and an outlet on stage.",
            "rack-power",
            "yes",
        ),
        "phantom-bank-clash": (
            "switch-48-v-per-channel",
            "The house switches 48 V per channel.",
            "phantom-switching",
            "per-channel",
        ),
        "nobody-brings-a-pa": ("hire-a-pa", "The house hires a PA in stereo.", "pa", "stereo"),
    }
    if rule in answered:
        key, text, question, value = answered[rule]
        yield Change(key, "house", text, rig, _with(answers, question, value))
    if rule == "phantom-bank-clash":
        yield from _more_bits(rig, answers, helps)
    if rule == "mix-does-not-reach":
        yield from _reach_by_cable(rig, answers)
    if rule == "nothing-feeds-the-pa":
        yield from _more_outs(rig, answers, helps)
    if rule == "nobody-brings-a-pa":
        yield Change(
            "bring-a-pa", "band", "The band hires a PA.", replace(rig, mix=replace(rig.mix, own_pa=True)), answers
        )


def _smallest(lo: int, hi: int, helps: Callable[[int], bool]) -> int | None:
    """Smallest number in ``lo..hi`` that helps, taking for granted that more never helps less."""
    if lo > hi or not helps(hi):
        return None
    while lo < hi:
        middle = (lo + hi) // 2
        if helps(middle):
            hi = middle
        else:
            lo = middle + 1
    return hi


def _more_inputs(rig: Rig, answers: Answers, helps: Helps) -> Iterator[Change]:
    question = "pa-inputs" if wished_route(Facts(rig, answers)) in NO_DESK else "inputs-free"
    now = answers.get(question)
    start = now.value + 1 if now is not None and isinstance(now.value, int) else 1
    without_list = {key: answer for key, answer in answers.items() if key != "sockets-free"}
    number = _smallest(start, MOST_INPUTS, lambda count: helps(rig, _with(without_list, question, count)))
    if number is not None:
        everything = number + second_box_inputs(Facts(rig, answers))
        what = "input" if question == "pa-inputs" else "working input"
        text = f"The house finds {count_of(everything, what)} for the band in all."
        yield Change("more-working-inputs", "house", text, rig, _with(without_list, question, number))
    if question == "pa-inputs" and rig.mix.own_pa:
        yield Change("bring-own-pa", "band", "The band brings its own PA.", rig, _with(answers, "pa", "none"))


def _more_bits(rig: Rig, answers: Answers, helps: Helps) -> Iterator[Change]:
    owned = rig.bits.get("isolating_transformer", 0)

    def owning(count: int) -> Rig:
        return replace(rig, bits={**rig.bits, "isolating_transformer": count})

    least = max(owned + 1, _transformers_for_all(owning(MOST_TRANSFORMERS), answers))
    number = _smallest(least, MOST_TRANSFORMERS, lambda count: helps(owning(count), answers))
    if number is not None:
        text = f"The band brings {count_of(number, 'isolating transformer')}."
        yield Change("bring-isolating-transformers", "band", text, owning(number), answers)


def _transformers_for_all(rig: Rig, answers: Answers) -> int:
    """How many transformers the best plan has use for: one for every line that needs one, not the fewest that make some
    plan.
    """
    options = write_program(Facts(rig, answers))
    outcome = solve(options.program)
    if isinstance(outcome, Failure):
        return 0
    return sum(
        options.uses[index].transformers * count for index, count in outcome.chosen.items() if index in options.uses
    )


def _more_outs(rig: Rig, answers: Answers, helps: Helps) -> Iterator[Change]:
    def freeing(count: int) -> Rig:
        spare = tuple(Out(key=f"freed-{number}", use="free") for number in range(1, count + 1))
        mixer = replace(rig.mixer, outs=(*rig.mixer.outs, *spare))
        return replace(rig, mixer=mixer)

    number = _smallest(1, MOST_OUTS, lambda count: helps(freeing(count), answers))
    if number is not None:
        text = f"The band frees {count_of(number, 'output')} of its mixer."
        yield Change("free-mixer-outputs", "band", text, freeing(number), answers)


def _reach(rig: Rig, answers: Answers) -> Iterator[Change]:
    longest = max((loom.length_m or 0 for loom in rig.loom), default=0)
    distance = answers.get("box-distance")
    if distance is None or not isinstance(distance.value, int):
        return
    yield Change(
        "bring-the-box-nearer",
        "house",
        f"The house brings a stage box or its own multicore within {longest:g} m of the rack.",
        rig,
        _with(answers, "box-distance", int(longest * 100)),
    )
    metres = -(-distance.value // 100)
    loom = Loom(
        key="longer-loom", name="longer loom", ways=max((loom.ways for loom in rig.loom), default=0), length_m=metres
    )
    yield Change(
        "bring-a-longer-loom",
        "band",
        f"The band brings a loom of {loom.ways} ways and {metres} m.",
        replace(rig, loom=(*rig.loom, loom)),
        answers,
    )


def _reach_by_cable(rig: Rig, answers: Answers) -> Iterator[Change]:
    """Cables that are long enough, or a way as short as what the band's cables and looms reach."""
    question = "pa-input-distance" if "pa-input-distance" in answers else "box-distance"
    distance = answers.get(question)
    if distance is None or not isinstance(distance.value, int):
        return
    metres = -(-distance.value // 100) + round(SLACK_M)
    bits = {**rig.bits, f"xlr_{metres}m": 2}
    yield Change(
        "bring-longer-cables", "band", f"The band brings 2 XLR cables of {metres} m.", replace(rig, bits=bits), answers
    )
    longest = _reached_m(rig, answers, -(-distance.value // 100))
    if longest > 0:
        text = f"The mixer stands within {longest} m of the house's inputs."
        yield Change("move-the-mixer", "both", text, rig, _with(answers, question, longest * 100))


def _reached_m(rig: Rig, answers: Answers, below_m: int) -> int:
    """The longest way in whole metres, shorter than one that is too long, that a left/right mix gets along."""
    reached = 0
    while below_m - reached > 1:
        middle = (reached + below_m) // 2
        if runs_of(Facts(rig, _with(answers, "box-distance", middle * 100)), 2).reaches:
            reached = middle
        else:
            below_m = middle
    return reached


def _carry_a_splitter(rig: Rig, answers: Answers) -> Change:
    ways = max(1, sum(1 for source in rig.source if not source.splitter and source.goes in ("", "both")))
    splitter = Splitter(
        key="another-splitter", name="another splitter", ways=ways, outputs=(SplitterOutput(key="B", kind="isolated"),)
    )
    text = f"The band carries a splitter with {count_of(ways, 'way')} and isolated outputs."
    return Change("carry-a-splitter", "band", text, replace(rig, splitter=(*rig.splitter, splitter)), answers)


def _with(answers: Answers, question: str, value: Value) -> Answers:
    return {**answers, question: Answer("answered", value, "assumed")}
