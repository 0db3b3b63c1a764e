"""Keys and typed values as the words that people read."""

import json

import pytest

from portal.plan.model import Conflict, NoPlan
from portal.plan.phrase import (
    COMMAS,
    SEMICOLONS,
    SENTENCES,
    Answered,
    Box,
    Choice,
    Inputs,
    Length,
    Listed,
    Measure,
    Numbers,
    Phrase,
    Value,
    listed,
)
from portal.plan.signed.serialization import to_json
from portal.store.plans import read_outcome
from portal.wording.plan import saying
from portal.wording.plan.entry import Plural
from portal.wording.plan.saying import say

VALUES: list[tuple[Value, str]] = [
    ("iPad {left}", "iPad {left}"),
    (3, "3"),
    (Numbers((3, 9, 10, 11)), "3, 9-11"),
    (Inputs((Box("", (3,)),)), "stage box input 3"),
    (Inputs((Box("", (3, 9, 10)),)), "stage box inputs 3, 9-10"),
    (Inputs((Box("A", (3,)), Box("B", (1, 2)))), "stage box inputs A 3 and B 1-2"),
    (Length(1250), "12.5 m"),
    (Measure(2500), "2.5"),
    (Answered("indoors", "no"), "No"),
    (Choice("where", "ears-only"), "in-ears only"),
    (listed(["Kick"]), "Kick"),
    (listed(["Kick", "Snare", "Kick", "Hat"]), "Kick, Snare and Hat"),
    (Listed(("a", "b"), COMMAS), "a, b"),
    (Listed(("a", "b"), SEMICOLONS), "a; b"),
    (Listed(("A.", "B."), SENTENCES), "A. B."),
    (Phrase("count", {"count": 1}), "one line"),
    (Phrase("count", {"count": 4}), "4 lines"),
    (Phrase("whole", {"label": "kick", "count": Phrase("count", {"count": 2})}), "Kick has 2 lines."),
]


@pytest.fixture
def entries(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two entries of the tests' own."""
    monkeypatch.setitem(saying.SENTENCE_OF, "count", Plural("count", "one line", "{count} lines"))
    monkeypatch.setitem(saying.SENTENCE_OF, "whole", "{label} has {count}.")


@pytest.mark.usefixtures("entries")
@pytest.mark.parametrize(("value", "words"), VALUES, ids=repr)
def test_each_kind_of_value_has_its_words(value: Value, words: str) -> None:
    """Typed values are said in one place; braces in what somebody typed are letters like others."""
    assert say(Phrase("sentences", {"sentences": Listed((value,))})) == words


@pytest.mark.parametrize("value", [value for value, _ in VALUES], ids=repr)
def test_what_is_said_survives_being_stored(value: Value) -> None:
    """Each kind of value comes back as itself from the JSON of an outcome, and equal phrases hash alike."""
    said = Phrase("anything", {"slot": value, "label": "Kick"})
    outcome = NoPlan(2, "no-plan", said, (Conflict("inputs", said, ()),), (), (), limit_reached=False, engine="8")
    read = read_outcome(json.dumps(to_json(outcome)))
    assert read == outcome
    assert hash(read.sentence) == hash(Phrase("anything", {"label": "Kick", "slot": value}))
