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
FORMAT = (ROOT / "portal" / "exchange" / "FORMAT.md").read_text(encoding="utf-8")
PAGES = sorted(
    {
        *(ROOT / name for name in ("DEVELOPERS.md", "README.md", "CHANGELOG.md", "SECURITY.md")),
        *(ROOT / "portal").rglob("*.md"),
        *(ROOT / "tests").glob("*.md"),
    }
)
MADE = ("data", ".venv", ".mutants", "...")
"""What is named and stands in no clone, because running or checking makes it."""
MOST = 12_000
"""Bytes of the map: more belongs into the README of a room."""


def stated(page: str) -> list[str]:
    """Each piece of code in a page, outside its blocks."""
    return re.findall(r"`([^`\n]+)`", re.sub(r"```.*?```", "", page, flags=re.DOTALL))


def is_path(name: str) -> bool:
    """A name with a folder in it or the ending of a file of ours; an address begins with a slash."""
    if name.startswith(("/", *MADE)) or re.search(r"[\s=()|{}*?]", name):
        return False
    return (
        name.endswith("/")
        or re.search(r"[\w>]\.(py|md|html|js|css|toml|mako|txt|lock|service|conf)$", name) is not None
    )


def is_there(name: str, page: Path) -> bool:
    """True where a file or folder stands there, seen from the clone, the page's own folder, or the tests of a room;
    ``<name>`` stands for any.
    """
    pattern = re.sub(r"<[^>]+>", "*", name.rstrip("/"))
    return any(next(top.glob(pattern), None) for top in (ROOT, page.parent, *page.parent.glob("*/")))


def missing(text: str, page: Path) -> list[str]:
    """What a page names and is not there: paths, targets of make, modules that are run."""
    paths = [name for name in stated(text) if is_path(name) and not is_there(name, page)]
    targets = re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text("utf-8"), re.MULTILINE)
    made = [one for name in stated(text) for one in re.findall(r"^make ([a-z]+)", name) if one not in targets]
    ran = re.findall(r"python -m (tests(?:\.\w+)+)", text)
    return paths + made + [name for name in ran if not (ROOT / f"{name.replace('.', '/')}.py").exists()]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_what_a_page_names_is_there(page: Path) -> None:
    """Each path, each target of make and each module to run that a page for people names exists."""
    assert missing(page.read_text("utf-8"), page) == []


@pytest.mark.parametrize("gone", ["`portal/plan/gone.py`", "`gone/`", "`<name>.gone.toml`", "`make gone`"])
def test_a_planted_name_is_found(gone: str) -> None:
    """What is named and is not there is found."""
    assert missing(f"Change {gone}.", ROOT / "DEVELOPERS.md")


def test_the_map_is_short_and_every_room_has_its_page() -> None:
    """The manual stays within its bytes and links to the page of each room; each folder of the program has one."""
    rooms = [page.relative_to(ROOT).as_posix() for page in PAGES if page.parent.parent == ROOT / "portal"]

    assert len(MANUAL.encode()) <= MOST
    assert [room for room in rooms if f"`{room}`" not in MANUAL] == []
    assert {Path(room).parent.name for room in rooms} >= {
        folder.name for folder in (ROOT / "portal").iterdir() if (folder / "__init__.py").exists()
    }


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


def test_every_document_and_column_stands_in_the_list_of_formats() -> None:
    """What other software may read is written down: each document with its formats, each column of its rows."""
    for entry in DOCUMENTS.values():
        assert f"| `{entry.key}` | {', '.join(entry.formats)} |" in FORMAT
        if entry.table:
            table = entry.table(plan_of(1), a_cover())
            section = re.search(rf"`{entry.key}` columns.*?\n\n", FORMAT, re.DOTALL)[0]
            assert [head for head in table.heads if head not in section] == []
    assert all(head in FORMAT for head in HEADS)
