"""The manual cannot drift: what exists in code stands in it."""

import re
from dataclasses import fields
from pathlib import Path

import pytest

from portal.__main__ import app
from portal.documents.registry import DOCUMENTS
from portal.exchange.plan_file import HEADS
from portal.plan.input.questions import QUESTIONS
from portal.plan.registry import RULES
from portal.settings import Settings
from tests.documents.plans import a_cover, plan_of

ROOT = Path(__file__).parent.parent
MANUAL = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_every_setting_stands_in_the_readme() -> None:
    """A setting that the environment may give is in the README's table."""
    code = (ROOT / "portal" / "settings.py").read_text(encoding="utf-8")
    names = set(re.findall(r"PORTAL_[A-Z_]+", code))

    assert len(names) >= len(fields(Settings)) - 1
    assert [name for name in sorted(names) if f"`{name}`" not in README] == []


def test_every_command_stands_in_the_manual() -> None:
    """A command of the program is in the manual's one table of commands."""
    names = [command.name or command.callback.__name__.replace("_", "-") for command in app.registered_commands]

    assert [name for name in names if f"`python -m portal {name}" not in MANUAL] == []


@pytest.mark.parametrize("key", RULES)
def test_every_rule_has_its_long_answer(key: str) -> None:
    """The page at /why/<key> has something to say: what, why, and where it can, an example."""
    rule = RULES[key]

    assert len(rule.why) >= 80
    assert rule.why[0].isupper()
    assert rule.why.endswith((".", "?"))


@pytest.mark.parametrize("key", QUESTIONS)
def test_every_question_has_its_words(key: str) -> None:
    """Both wordings are questions or requests of one sentence, a reason is given, and an assumption has its words."""
    question = QUESTIONS[key]

    assert question.house
    assert question.band
    assert question.why.endswith(".")
    assert bool(question.assumed_words) >= (question.assumed is not None)
    assert not question.help.endswith(".")


def test_every_document_and_column_stands_in_the_manual() -> None:
    """What other software may read is written down: each document with its formats, each column of its rows."""
    for entry in DOCUMENTS.values():
        assert f"| `{entry.key}` | {', '.join(entry.formats)} |" in MANUAL
        if entry.table:
            table = entry.table(plan_of(1), a_cover())
            section = re.search(rf"`{entry.key}` columns.*?\n\n", MANUAL, re.DOTALL)[0]
            assert [head for head in table.heads if head not in section] == []
    assert all(head in MANUAL for head in HEADS)
