"""What the engine can say has its words, and no word of them is in what is signed."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from itertools import product
from pathlib import Path
from string import Formatter

import pytest

from portal.plan import NoPlan, Plan, reconcile
from portal.plan.input.facts import Answers, Facts, Lock
from portal.plan.input.rig import Rig
from portal.plan.phrase import Listed, Phrase, listed, phrases_in
from portal.plan.reconcile import scale_of_inputs
from portal.plan.result.figures import figures_of
from portal.plan.result.read_back import mono_label
from portal.plan.rules import phantom
from portal.plan.signed.difference import TABLES, difference
from portal.plan.signed.serialization import Heading, canonical, content_hash, to_json
from portal.plan.solving.cut_clauses import EARLIER
from portal.plan.solving.open_questions import open_questions
from portal.wording.plan import saying
from portal.wording.plan.entry import Entry, Plural
from portal.wording.plan.saying import ENTRIES, SENTENCE_OF, say
from tests.plan.case_files import cases
from tests.plan.rule_pairs import PAIRS

ROOT = Path(__file__).parents[2]
HEADING = Heading("A gig", "2026-11-30", "A place")
SLOTS = Formatter()

Gig = tuple[Rig, Answers, tuple[Lock, ...]]


def gigs() -> dict[str, Gig]:
    """Every worked case, and for every check a gig in which it speaks."""
    found: dict[str, Gig] = {case.name: (case.rig, case.answers, ()) for case in cases()}
    return found | {pair.key: (pair.speaks.rig, pair.speaks.answers, pair.speaks.locks) for pair in PAIRS}


@pytest.fixture(scope="module")
def outcomes() -> dict[str, tuple[Gig, Plan | NoPlan]]:
    """Each of these gigs with its outcome."""
    return {name: (gig, reconcile(*gig)) for name, gig in gigs().items()}


def said_in(value: object, place: str = "") -> Iterator[tuple[str, Phrase | str]]:
    """Everything that an outcome says, with its place: a phrase, or a finished text where a phrase belongs."""
    if isinstance(value, Phrase):
        yield place, value
    elif isinstance(value, tuple):
        for one in value:
            yield from said_in(one, place)
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            yield from said_in(getattr(value, field.name), f"{type(value).__name__}.{field.name}")
    elif isinstance(value, str):
        yield place, value


NAMED = {
    "EarInput.cable",
    "EarInput.fed_by",
    "EarInput.heard",
    "EarInput.mic_or_di",
    "EarMix.cable",
    "Item.what",
    "Item.why",
    "Line.lift",
    "Line.mic_or_di",
    "Line.note",
    "Line.player",
    "Line.run",
    "Move.note",
    "Output.cable",
    "Output.feeds",
    "Path.unit_name",
    "Return.label",
    "Return.note",
}
"""The places that hold a phrase, or a text that somebody typed."""


def slots_of(entry: Entry) -> set[str]:
    texts = [entry.one, entry.many, entry.none] if isinstance(entry, Plural) else [entry]
    found = {name for text in texts for _, name, _, _ in SLOTS.parse(text) if name}
    return found | ({entry.by} if isinstance(entry, Plural) else set())


def typed_by_somebody(rig: Rig, answers: Answers, locks: tuple[Lock, ...]) -> set[str]:
    """Every text that stands in a rig, its answers or what was agreed, as it is."""

    def texts(value: object) -> Iterator[str]:
        if isinstance(value, str):
            yield value
        elif isinstance(value, dict):
            for name, one in value.items():
                yield from (*texts(name), *texts(one))
        elif isinstance(value, tuple | list | frozenset):
            for one in value:
                yield from texts(one)
        elif is_dataclass(value):
            for field in fields(value):
                yield from texts(getattr(value, field.name))

    return set(texts((rig, dict(answers), locks)))


def test_every_key_has_its_words_and_every_slot_its_value(outcomes: dict[str, tuple[Gig, Plan | NoPlan]]) -> None:
    """Whatever is said has an entry whose slots are its parameters, no more and no fewer."""
    for _, outcome in outcomes.values():
        for _, said in said_in(outcome):
            for phrase in phrases_in(said):
                assert slots_of(SENTENCE_OF[phrase.key]) == set(phrase.parameters), phrase
            assert isinstance(say(said), str)


BESIDE = ("everything-unknown", "sixteen-ways-wired-inside", "left-right-mix-wanted", "own-pa")


@pytest.mark.parametrize("name", BESIDE)
def test_what_is_worked_out_beside_a_plan_is_said_by_keys_too(
    name: str, outcomes: dict[str, tuple[Gig, Plan | NoPlan]]
) -> None:
    """What is still open, what a count of inputs comes to, and the figures of each line."""
    (rig, answers, _), plan = outcomes[name]
    assert isinstance(plan, Plan)
    figures = tuple(one for line in plan.lines for one in figures_of(line, plan.lines, Facts(rig, answers)))
    said = list(said_in((open_questions(rig, answers), scale_of_inputs(rig, answers), figures)))
    places = {"Outcome.said", "Openness.sentence", "Rung.said", "Figure.basis"}
    assert {place for place, one in said if isinstance(one, str)} & places == set()
    shown = (*(one for _, one in said), *(one.what for one in figures), *(one.value for one in figures))
    for phrase in (phrase for one in shown for phrase in phrases_in(one)):
        assert slots_of(SENTENCE_OF[phrase.key]) == set(phrase.parameters), phrase
        assert say(phrase)


def test_no_key_has_two_entries() -> None:
    """A key belongs to one family."""
    counts = Counter(key for family in ENTRIES.values() for key in family)
    assert [key for key, count in counts.items() if count > 1] == []


def test_what_stored_rows_of_the_cut_list_hold_is_said_for_ever() -> None:
    """A plan of engine 9 reads as it did."""
    labels = listed(["Kick", "Hat"])
    again = Phrase("on-its-own-line-again", {"labels": labels})
    left = Phrase("on-the-line-that-is-left", {"label": "Kick"})
    ways = Phrase("into-the-ways-of", {"labels": labels})
    assert say(again) == "Kick and Hat on lines of their own again"
    assert say(left) == "on the line that Kick leaves"
    assert say(ways) == "by cables into the loom ways that Kick and Hat leave"
    assert SENTENCE_OF.keys() >= EARLIER | phantom.EARLIER


def test_no_entry_is_for_nothing() -> None:
    """Each key of an entry is one that the engine can give, or gave in a stored plan: it stands in its code, whole or
    in two parts.
    """
    texts = {
        node.value
        for path in (ROOT / "portal" / "plan").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    } | {"plan-at-last", "way-out-by-a-mixer"}
    named = {f"{table}-{deed}" for table, deed in product(TABLES, ("new", "gone"))}
    named |= {f"{key}-many" for key in named} | {"row-changed-many"}
    named |= {f"{table}-reworded" for table in ("blocks", "asks")}

    def made_of_parts(key: str) -> bool:
        ends = [place for place, letter in enumerate(key) if letter in ".-"]
        return any({key[:at], key[: at + 1]} & texts and {key[at:], key[at + 1 :]} & texts for at in ends)

    assert [key for key in SENTENCE_OF if key not in texts | named and not made_of_parts(key)] == []


def test_a_text_in_a_phrase_was_typed_by_somebody(outcomes: dict[str, tuple[Gig, Plan | NoPlan]]) -> None:
    """No English hides among the parameters: a text is a label, a name or a key of the gig, or a line's label."""

    def texts(value: object) -> Iterator[str]:
        if isinstance(value, str):
            yield value
        elif isinstance(value, Listed):
            for one in value.listed:
                yield from texts(one)
        elif isinstance(value, Phrase):
            for one in value.parameters.values():
                yield from texts(one)

    for gig, outcome in outcomes.values():
        known = typed_by_somebody(*gig) | {"", "A", "B"}
        known |= {mono_label(text) for text in known}
        known |= {line.label for line in outcome.lines} if isinstance(outcome, Plan) else set()
        for place, said in said_in(outcome):
            if isinstance(said, Phrase) or place in NAMED:
                assert set(texts(said)) <= known, (place, said)


def test_rewording_everything_changes_no_hash(monkeypatch: pytest.MonkeyPatch) -> None:
    """With another text for every key the golden cases are the same plans, to the byte and under the same hash, though
    they read otherwise.
    """
    planned = {case.name: reconcile(case.rig, case.answers) for case in cases()}
    read = {name: say(outcome.sentence) for name, outcome in planned.items()}
    other = {
        key: f"({key}) " + " ".join(f"{{{slot}}}" for slot in sorted(slots_of(SENTENCE_OF[key]))) for key in SENTENCE_OF
    }
    monkeypatch.setattr(saying, "SENTENCE_OF", other)
    for case in cases():
        before, after = planned[case.name], reconcile(case.rig, case.answers)
        assert canonical(to_json(after)) == canonical(to_json(before))
        assert say(after.sentence) != read[case.name]
        if isinstance(before, Plan) and isinstance(after, Plan):
            assert content_hash(after, HEADING) == content_hash(before, HEADING)
            assert difference(before, after) == ()


SAID = {
    "Assumed.said",
    "Conflict.said",
    "Cut.said",
    "Fact.value",
    "NoPlan.sentence",
    "Plan.sentence",
    "RackDies.said",
    "Reason.said",
    "Remedy.said",
    "Statement.said",
}
"""The places in which something is said."""


def test_everything_is_said_by_a_key(outcomes: dict[str, tuple[Gig, Plan | NoPlan]]) -> None:
    """No finished English stands where something is said."""
    found = [(place, said) for _, outcome in outcomes.values() for place, said in said_in(outcome) if place in SAID]
    assert {place for place, _ in found} == SAID
    assert [(place, said) for place, said in found if isinstance(said, str)] == []
