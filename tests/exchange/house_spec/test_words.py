"""The word tables: six languages with the same concepts, each word readable as it stands, a new one learnt by one
line.
"""

import ast
from pathlib import Path

import pytest

from portal.exchange.house_spec.reader import read_spec
from portal.exchange.house_spec.text import vocabulary as words
from portal.exchange.house_spec.text.scanning import scanned, words_of
from portal.exchange.house_spec.text.vocabulary import LANGUAGES, languages_of, understood, vocabulary
from portal.exchange.house_spec.topics import FREE_TOPICS, KINDS
from portal.plan.input.questions import QUESTIONS

PACKAGE = Path(words.__file__).parents[1]
ENGLISH_ONLY = {"foot", "inch", "am", "pm", "half-hour", "bank-of-4", "bank-of-8", "perhaps"}
"""Concepts that some languages have no words of their own for."""


def concepts_in_code() -> set[str]:
    """Every text constant of the rules: a concept that none of them names is read by nobody."""
    found: set[str] = set()
    for file in PACKAGE.rglob("*.py"):
        if file.parent.name == "words":
            continue
        tree = ast.parse(file.read_text("utf-8"))
        found |= {
            node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)
        }
    return found


def meaning(text: str, *languages: str) -> list[frozenset[str]]:
    """What each word of a text stands for."""
    return [token.concepts for token in understood(list(scanned(text, 0, len(text))), vocabulary(languages))]


def test_a_free_fact_is_no_question() -> None:
    """What becomes a question is asked there alone, and every value that the reader can give is of a known kind."""
    assert set(FREE_TOPICS) & set(QUESTIONS) == set()
    assert set(KINDS) == set(FREE_TOPICS) | set(QUESTIONS)


def test_every_language_knows_every_concept() -> None:
    """A concept of one language has words in all of them, units that only some countries use aside."""
    tables = {language: set(table) for language, (table, _) in LANGUAGES.items()}
    every = set().union(*tables.values()) - ENGLISH_ONLY
    assert {language: every - table for language, table in tables.items() if every - table} == {}


def test_every_concept_is_read_by_a_rule() -> None:
    """No concept is listed for nothing."""
    assert {concept for table, _ in LANGUAGES.values() for concept in table} - concepts_in_code() == set()


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_phrase_is_found_as_it_is_written(language: str) -> None:
    """Each listed phrase, read alone, stands for its concept."""
    lost = []
    for concept, listed in LANGUAGES[language][0].items():
        for phrase in listed.split(","):
            found = meaning(phrase.strip().upper(), language)
            if not any(concept in concepts for concepts in found):
                lost.append((concept, phrase))
    assert lost == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_numbers_in_words_count_to_ninety_nine(language: str) -> None:
    """Twelve, sixteen, twenty-four, thirty-two and forty-eight are known in each language."""
    numbers = {
        concept
        for phrase, concepts in words._table(language)[0].items()
        for concept in concepts
        if phrase and concept.startswith("n:")
    }
    assert {f"n:{number}" for number in (1, 2, 8, 12, 16, 24, 32, 48)} <= numbers


def test_one_line_teaches_a_word(monkeypatch: pytest.MonkeyPatch) -> None:
    """A phrase added to a concept's line is understood, with its plural, wherever the rules read the concept."""
    text = "We have 5 thunderboards on 3 mixes."
    assert not any(one.topic == "wedge-count" for one in read_spec(text).proposals)
    table, numbers = LANGUAGES["english"]
    monkeypatch.setattr(
        words, "LANGUAGES", {**LANGUAGES, "english": ({**table, "wedge": table["wedge"] + ", thunderboard"}, numbers)}
    )
    words._table.cache_clear()
    vocabulary.cache_clear()
    try:
        found = {one.topic: one.value for one in read_spec(text).proposals}
    finally:
        monkeypatch.undo()
        words._table.cache_clear()
        vocabulary.cache_clear()
    assert found["wedge-count"] == 5


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Auf der Bühne stehen vier Monitore und ein Pult", "german"),
        ("Les retours sont mixés depuis la console de façade", "french"),
        ("El escenario tiene cuatro monitores y una mesa", "spanish"),
        ("Sul palco ci sono quattro spie e un mixer", "italian"),
        ("Op het podium liggen vier monitoren op twee groepen", "dutch"),
        ("There are four wedges on the stage and a desk", "english"),
    ],
)
def test_the_language_of_a_text_is_told_by_its_words(text: str, expected: str) -> None:
    """The language that explains most of the words comes first; English is always among them."""
    languages = languages_of(scanned(text, 0, len(text)))
    assert languages[0] == expected
    assert "english" in languages


@pytest.mark.parametrize(
    ("word", "language", "concept"),
    [
        ("BÜHNENHÖHE", "german", "stage-height"),
        ("Stagebox-Eingänge", "german", "input"),
        ("monitorwegen", "german", "mix"),
        ("podiumvloerhoogte", "dutch", "height"),
        ("micro-cravate", "french", "radio-mic"),
        ("frontfills", "english", "front-fill"),
        ("steckdoose", "german", "socket"),
        ("entradass", "spanish", "input"),
    ],
)
def test_words_are_known_however_they_are_written(word: str, language: str, concept: str) -> None:
    """Capitals, accents, hyphens, plurals, words grown together and a slip of the pen do not hide a word."""
    assert any(concept in concepts for concepts in meaning(word, language))


def test_a_slip_is_looked_past_but_asked_about() -> None:
    """A misspelt word is understood, and what rests on it is never sure."""
    (right,) = [one for one in read_spec("Frontfills: yes").proposals if one.topic == "front-fills"]
    (slip,) = [one for one in read_spec("Frontfilsl: yes").proposals if one.topic == "front-fills"]
    assert (right.certainty, slip.certainty) == ("sure", "check")


def test_phrases_are_cut_as_texts_are() -> None:
    """A phrase of the tables and the same words in a text give the same tokens."""
    assert words_of("L/R-Anlage") == ("l", "/", "r", "anlage")
    assert words_of("+48V") == ("+", "48", "v")
