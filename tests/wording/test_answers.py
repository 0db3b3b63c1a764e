"""What was answered, and why something is no answer, in words."""

from pathlib import Path

import pytest

from portal.exchange.house_spec.topics import KINDS, RISERS
from portal.plan.input.answer_kinds import Choice, Count, Distance, NotAnAnswer, Option, Sockets, Text
from portal.plan.input.facts import Answer
from portal.plan.input.questions import QUESTIONS
from portal.wording.answers import refused, say_value, told, words_of
from portal.wording.catalogue import read_in
from tests.wording.texts import only, write_catalogue

GERMAN = {
    "Left": "Links",
    "sockets %(sockets)s": "Buchsen %(sockets)s",
    "Choose one of: %(options)s.": "Zur Wahl: %(options)s.",
    "Not known yet": "Noch offen",
    "%(answer)s (assumed)": "%(answer)s (angenommen)",
}
SIDE = Choice((Option("left", "Left"),))


def test_every_number_has_the_word_for_what_is_counted() -> None:
    """One and several of each kind that counts, in whole texts."""
    said = {kind.unit: (say_value(kind, 1), say_value(kind, 12)) for kind in KINDS.values() if isinstance(kind, Count)}
    assert said.pop("") == ("1", "12")
    assert said.pop("people") == ("1 person", "12 people")
    assert {unit: several for unit, (_, several) in said.items()} == {unit: f"12 {unit}" for unit in said}
    assert all(one != several.replace("12", "1") for one, several in said.values())


@pytest.mark.parametrize(
    ("kind", "wrong", "sentence"),
    [
        (SIDE, "right", "Choose one of: Left."),
        (Count(0, 128, "inputs"), "some", "Write a whole number from 0 to 128, for example 12."),
        (Count(0, 128, "inputs"), "129", "Write a whole number from 0 to 128."),
        (
            Distance(10_000),
            "far",
            "Write a distance in metres from 0 to 100, for example 12 or 12.5; or in feet, for example 50 ft.",
        ),
        (Distance(10_000), "101 m", "Write a distance in metres from 0 to 100."),
        (Sockets(32), ",", 'Write socket numbers, for example "1-8, 11".'),
        (Sockets(32), "A", '"a" is not a socket number; write for example "1-8, 11".'),
        (Sockets(32), "33", "Socket numbers go from 1 to 32; 33 does not fit."),
        (Text(5), " ", "Write a few words."),
        (Text(5), "too long", "Shorten this to 5 characters; it has 8."),
    ],
)
def test_what_is_no_answer_is_told(kind: SIDE, wrong: str, sentence: str) -> None:
    """A whole sentence says what to enter."""
    with pytest.raises(NotAnAnswer) as error:
        kind.read(wrong)
    assert refused(error.value) == sentence


def test_a_value_of_a_grammar_is_told_by_an_example() -> None:
    """The example stands in the sentence."""
    with pytest.raises(NotAnAnswer) as error:
        RISERS.check("high")
    assert refused(error.value) == "Write it as in 4 of 2 x 1 x 0.4 m."


def test_an_answer_is_said_in_the_reader_s_language(tmp_path: Path) -> None:
    """Options, lengths, lists, what is open and what is assumed; free words stay as they are."""
    write_catalogue(tmp_path, "de", GERMAN)
    distance = QUESTIONS["box-distance"]
    assumed = {"box-distance": Answer("answered", 1250, "assumed")}
    with only(tmp_path), read_in("de"):
        assert say_value(SIDE, "left") == "Links"
        assert say_value(Distance(10_000), 1250) == "12,5 m"
        assert say_value(Sockets(32), "1-8") == "Buchsen 1-8"
        assert say_value(Text(9), "Left") == "Left"
        assert words_of(distance, Answer("unknown")) == "Noch offen"
        assert [one.marked for one in told(assumed, distance.seen.places[0])] == ["12,5 m (angenommen)"]
        with pytest.raises(NotAnAnswer) as error:
            SIDE.read("right")
        assert refused(error.value) == "Zur Wahl: Links."
