"""What is marked to be translated can be, and each catalogue says all of it."""

import ast
import re
from functools import cache

import pytest
from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po

from portal.wording import catalogue
from tests.wording import glossaries, texts
from tests.wording.sides import house_template, of_the_house

TRANSLATED = [one for one in catalogue.languages() if one != catalogue.ENGLISH]

SAID_OTHERWISE = {"de": 6, "es": 2, "fr": 2, "it": 12, "nl": 2}
"""Language -> terms in texts whose translation says them in another way. No number may grow."""

PATTERNS = {"EEE d MMM y", "d MMM", "HH:mm"}
"""Of dates: no words, and the same in many languages."""

CALLED = frozenset(texts.KEYWORDS)


@cache
def template() -> Catalog:
    return texts.template()


def read(name: str) -> Catalog:
    with texts.file_of(catalogue.FOLDER, name).open("rb") as file:
        return read_po(file, locale=name)


def test_every_folder_of_templates_has_marked_texts() -> None:
    """What finds texts reads every folder."""
    found = {path.split("/")[1] for one in template() for path, _ in one.locations if path.startswith("templates/")}
    there = {file.parent.name for file in (texts.ROOT / "templates").glob("*/*.html")}
    assert found == there
    print(f"\ntexts={len(template())}")  # noqa: T201 - shown with -s


def test_every_slot_has_a_name() -> None:
    """A percent sign that begins no named slot is doubled, and the texts for two counts have the same slots."""
    wrong = [
        one.id
        for one in template()
        if one.id and any("%" in texts.SLOT.sub("", text.replace("%%", "")) for text in texts.texts_of(one))
    ]
    unlike = [
        one.id
        for one in template()
        if isinstance(one.id, tuple) and texts.slots(one.id[0]) - {"num"} != texts.slots(one.id[1]) - {"num"}
    ]
    assert (wrong, unlike) == ([], [])


def test_a_marked_text_is_a_literal() -> None:
    """A text that is put together cannot be found, nor one inside an f-string, and a name that hides the marking marks
    nothing.
    """
    wrong = []
    for file in sorted((texts.ROOT / "portal").rglob("*.py")):
        tree = ast.parse(file.read_text("utf-8"))
        names = {
            alias.asname or alias.name
            for node in ast.walk(tree)
            if isinstance(node, ast.ImportFrom) and node.module == "portal.wording.catalogue"
            for alias in node.names
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in names & CALLED:
                counted = {"ngettext": 2, "pgettext": 2}.get(node.func.id, 1)
                if not all(isinstance(one, ast.Constant) for one in node.args[:counted]):
                    wrong.append(f"{file}:{node.lineno}")
            elif isinstance(node, ast.Name) and node.id in names & CALLED and isinstance(node.ctx, ast.Store):
                wrong.append(f"{file}:{node.lineno} hides {node.id}")
            elif isinstance(node, ast.JoinedStr):
                inside = {one.id for one in ast.walk(node) if isinstance(one, ast.Name)}
                wrong += [f"{file}:{node.lineno} marks inside a string"] if inside & names & CALLED else []
    assert wrong == []


@pytest.mark.parametrize("name", TRANSLATED)
def test_a_catalogue_says_all_that_its_readers_read(name: str) -> None:
    """Nothing is missing of what the house reads, and of the band's side where the band reads it too; nothing is unused
    or unsure, and no slot is lost.
    """
    house = None if name in catalogue.EVERYBODY_S else house_template(template())
    assert texts.faults(read(name), template(), house) == []


@pytest.mark.parametrize("name", TRANSLATED)
def test_a_text_is_said_as_in_english_only_on_purpose(name: str) -> None:
    """Those that are stand in a list, and no others do."""
    listed = (catalogue.FOLDER / name / "same.txt").read_text("utf-8").splitlines()
    said = {one.replace("\n", "\\n") for one in texts.same(read(name))}
    assert sorted(filter(texts.has_words, said - PATTERNS - set(listed))) == []
    assert sorted(set(listed) - said) == []


@pytest.mark.parametrize("name", TRANSLATED)
def test_a_term_of_the_trade_is_called_one_thing(name: str) -> None:
    """A glossary has each term once, with a source; where a text has the term, the translation has one of its forms."""
    rows = glossaries.rows(catalogue.FOLDER / name / "glossary.tsv")
    assert glossaries.faults(rows) == []
    unlike = list(glossaries.unlike(read(name), glossaries.terms(rows)))
    print(f"\n{name}: terms={len(rows) - 1} otherwise={len(unlike)}", *unlike, sep="\n")  # noqa: T201 - shown with -s
    assert len(unlike) <= SAID_OTHERWISE[name]


def test_a_planted_fault_of_a_catalogue_is_found() -> None:
    """Missing, half said, unused and of other slots: each is named."""
    wanted, found = Catalog(), Catalog()
    for text in ("Save", "Enter %(most)s.", ("%(num)s line", "%(num)s lines"), "Sign"):
        wanted.add(text)
    found.add("Enter %(most)s.", "Voer %(meest)s in.")
    found.add(("%(num)s line", "%(num)s lines"), ("een weg", ""))
    found.add("Sign", "Onderteken")
    found.add("Gone", "Weg")
    said = " ".join(map(str, texts.faults(found, wanted)))
    assert re.findall(r"(\w+): ", said) == ["missing", "slots", "missing", "unused"]


def test_a_planted_fault_of_a_house_s_catalogue_is_found() -> None:
    """What only the band reads may be missing, what the house reads may not."""
    wanted = Catalog()
    wanted.add("New rig", locations=[("templates/rig/rigs.html", 0)])
    wanted.add("Sign", locations=[("templates/rig/rigs.html", 0), ("templates/plan/plan.html", 0)])
    assert [of_the_house(one) for one in wanted if one.id] == [False, True]
    assert texts.faults(Catalog(), wanted, house_template(wanted)) == ["missing: Sign"]


def test_a_planted_fault_of_a_glossary_is_found() -> None:
    """An empty cell, a term said twice, forms that are no pattern or miss the word; and a text that says otherwise."""
    head = ["english", "translation", "forms", "source"]
    desk, box = ["desk", "Pult", "pult(e?s|en)?", "common practice"], ["stage box", "Stagebox", "stagebox(en)?", "x"]
    wrong = [["way", "", "weg", "x"], ["Desk", "Pult", "pult", "x"], ["tail", "Ende", "(", "x"], ["a", "b", "c", "d"]]
    assert glossaries.faults([head, desk, box]) == []
    assert [one.partition(":")[0] for one in glossaries.faults([[], desk, *wrong])] == [
        "head",
        "cells",
        "twice",
        "forms",
        "forms",
    ]
    found = Catalog()
    found.add("Two desks at %(box)s", "Zwei Pulte an %(box)s")
    found.add("The stage box", "Die Kiste")
    found.add("A desktop", "Ein Tisch")
    assert list(glossaries.unlike(found, glossaries.terms([head, desk, box]))) == [
        "stage box: The stage box = Die Kiste"
    ]


def test_what_is_said_as_in_english_is_found() -> None:
    """An empty text is not, and one of slots and signs has no words."""
    found = Catalog()
    for text, said, meaning in (
        ("FOH", "FOH", None),
        ("Sign", "Onderteken", None),
        ("%(a)s: %(b)s", "%(a)s: %(b)s", None),
        ("d MMM", "d MMM", "pattern of a day"),
        ("Save", "", None),
    ):
        found.add(text, said, context=meaning)
    assert texts.same(found) == {"FOH", "%(a)s: %(b)s", "d MMM"}
    assert set(filter(texts.has_words, texts.same(found))) == {"FOH", "d MMM"}


def test_nonsense_keeps_slots_and_tags_and_is_longer() -> None:
    """Every letter that can bear an accent has one, and nothing that the program needs is touched."""
    made = texts.nonsense('Say <a href="%(address)s">when</a> 50 %% is &amp; done')
    assert '<a href="%(address)s">' in made
    assert "50 %%" in made
    assert "&amp;" in made
    assert not re.search("[aceinouy]", re.sub(r"%\(\w+\)s|<[^>]*>|&\w+;", "", made))
    assert len(texts.nonsense("Save the answers")) >= 16 * 1.4
