"""What is marked to be translated can be, and each catalogue says all of it."""

import ast
import re
from functools import cache

import pytest
from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po

from portal.wording import catalogue
from tests.wording import texts

CALLED = frozenset(texts.KEYWORDS)


@cache
def template() -> Catalog:
    return texts.template()


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
    """A text that is put together cannot be found, and a name that hides the marking marks nothing."""
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
    assert wrong == []


@pytest.mark.parametrize("name", [one for one in catalogue.languages() if one != catalogue.ENGLISH])
def test_a_catalogue_says_all_and_nothing_else(name: str) -> None:
    """Nothing is missing, unused or unsure, and no slot is lost."""
    with texts.file_of(catalogue.FOLDER, name).open("rb") as file:
        assert texts.faults(read_po(file, locale=name), template()) == []


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


def test_nonsense_keeps_slots_and_tags_and_is_longer() -> None:
    """Every letter that can bear an accent has one, and nothing that the program needs is touched."""
    made = texts.nonsense('Say <a href="%(address)s">when</a> 50 %% is &amp; done')
    assert '<a href="%(address)s">' in made
    assert "50 %%" in made
    assert "&amp;" in made
    assert not re.search("[aceinouy]", re.sub(r"%\(\w+\)s|<[^>]*>|&\w+;", "", made))
    assert len(texts.nonsense("Save the answers")) >= 16 * 1.4
