"""What would help: changes that were solved again and do help, least trouble first, each with who acts.

A candidate is a change of the rig or of one answer. Only those come back with which the test says yes; numbers are the
smallest that help.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from portal.plan.input.answer_kinds import Value
from portal.plan.input.facts import Answer, Answers, Facts, wished_route
from portal.plan.input.rig import Loom, Out, Rig, Splitter, SplitterOutput
from portal.plan.model import Remedy
from portal.plan.options.boxes import second_box_inputs
from portal.plan.options.gig_program import write_program
from portal.plan.own_mixer.mixed_tonight import NO_DESK
from portal.plan.phrase import Length, Phrase, sentences
from portal.plan.result.runs import SLACK_M, runs_of
from portal.plan.solving.solve import Failure, solve

Helps = Callable[[Rig, Answers], bool]

MOST_INPUTS = 128
MOST_TRANSFORMERS = 64
MOST_OUTS = 8
MOST_PAIRS = 4


@dataclass(frozen=True)
class Change:
    """One candidate: its key, who acts, what is said of it, and the gig as it would be."""

    key: str
    actor: str
    said: Phrase
    rig: Rig
    answers: Answers


def remedies_for(tags: Iterable[str], rig: Rig, answers: Answers, helps: Helps) -> tuple[Remedy, ...]:
    """Verified remedies for a set of requirement tags."""
    found: dict[str, Remedy] = {}
    for tag in tags:
        for change in _candidates(tag, rig, answers, helps):
            if change.key not in found and helps(change.rig, change.answers):
                found[change.key] = Remedy(change.key, change.actor, change.said)
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
                    key = f"{one.key}+{other.key}"
                    found.setdefault(key, Remedy(key, actor, sentences(one.said, other.said)))
    return tuple(found.values())


def _candidates(tag: str, rig: Rig, answers: Answers, helps: Helps) -> Iterator[Change]:
    kind, _, key = tag.partition(":")
    if kind == "inputs-free":
        yield from _more_inputs(rig, answers, helps)
    elif kind == "isolation":
        yield Change(
            "accept-lines-without-transformers",
            "house",
            Phrase("accept-lines-without-transformers"),
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
            Phrase("accept-processed-direct-outs"),
            rig,
            _with(answers, "what-they-want", "as-much-split-as-fits"),
        )
    elif kind == "wish":
        yield Change(
            "take-a-split",
            "house",
            Phrase("take-a-split"),
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
            Phrase("do-without", {"label": label}),
            replace(rig, source=sources),
            answers,
        )
    else:
        yield from _unblock(kind, rig, answers, helps)


def _unblock(rule: str, rig: Rig, answers: Answers, helps: Helps) -> Iterator[Change]:
    """Candidates for what blocks a sign-off."""
    answered = {
        "rack-power": ("give-the-rack-power", "rack-power", "yes"),
        "phantom-bank-clash": ("switch-48-v-per-channel", "phantom-switching", "per-channel"),
        "nobody-brings-a-pa": ("hire-a-pa", "pa", "stereo"),
    }
    if rule in answered:
        key, question, value = answered[rule]
        yield Change(key, "house", Phrase(key), rig, _with(answers, question, value))
    if rule == "phantom-bank-clash":
        yield from _more_bits(rig, answers, helps)
    if rule == "mix-does-not-reach":
        yield from _reach_by_cable(rig, answers)
    if rule == "nothing-feeds-the-pa":
        yield from _more_outs(rig, answers, helps)
    if rule == "nobody-brings-a-pa":
        yield Change(
            "bring-a-pa", "band", Phrase("bring-a-pa"), replace(rig, mix=replace(rig.mix, own_pa=True)), answers
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
        found = "more-inputs-of-a-pa" if question == "pa-inputs" else "more-working-inputs"
        yield Change(
            "more-working-inputs",
            "house",
            Phrase(found, {"inputs": everything}),
            rig,
            _with(without_list, question, number),
        )
    if question == "pa-inputs" and rig.mix.own_pa:
        yield Change("bring-own-pa", "band", Phrase("bring-own-pa"), rig, _with(answers, "pa", "none"))


def _more_bits(rig: Rig, answers: Answers, helps: Helps) -> Iterator[Change]:
    owned = rig.bits.get("isolating_transformer", 0)

    def owning(count: int) -> Rig:
        return replace(rig, bits={**rig.bits, "isolating_transformer": count})

    least = max(owned + 1, _transformers_for_all(owning(MOST_TRANSFORMERS), answers))
    number = _smallest(least, MOST_TRANSFORMERS, lambda count: helps(owning(count), answers))
    if number is not None:
        said = Phrase("bring-isolating-transformers", {"transformers": number})
        yield Change("bring-isolating-transformers", "band", said, owning(number), answers)


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
        said = Phrase("free-mixer-outputs", {"outputs": number})
        yield Change("free-mixer-outputs", "band", said, freeing(number), answers)


def _reach(rig: Rig, answers: Answers) -> Iterator[Change]:
    longest = max((loom.length_m or 0 for loom in rig.loom), default=0)
    distance = answers.get("box-distance")
    if distance is None or not isinstance(distance.value, int):
        return
    yield Change(
        "bring-the-box-nearer",
        "house",
        Phrase("bring-the-box-nearer", {"length": Length(round(longest * 100))}),
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
        Phrase("bring-a-longer-loom", {"ways": loom.ways, "length": Length(metres * 100)}),
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
        "bring-longer-cables",
        "band",
        Phrase("bring-longer-cables", {"length": Length(metres * 100)}),
        replace(rig, bits=bits),
        answers,
    )
    longest = _reached_m(rig, answers, -(-distance.value // 100))
    if longest > 0:
        said = Phrase("move-the-mixer", {"length": Length(longest * 100)})
        yield Change("move-the-mixer", "both", said, rig, _with(answers, question, longest * 100))


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
    said = Phrase("carry-a-splitter", {"ways": ways})
    return Change("carry-a-splitter", "band", said, replace(rig, splitter=(*rig.splitter, splitter)), answers)


def _with(answers: Answers, question: str, value: Value) -> Answers:
    return {**answers, question: Answer("answered", value, "assumed")}
