"""Words may be changed without changing what the portal does: nothing in it is decided by a text that people read."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent

READ_WHAT_PEOPLE_TYPE = ("portal/exchange/band_list/", "portal/exchange/house_spec/", "portal/exchange/spreadsheets/")

SAID_BY_OTHERS = {
    ("portal/exchange/files.py", "Exceeds the limit"),
    ("portal/store/database/server_forms.py", "connection failed: "),
    ("portal/store/database/server_forms.py", "UTF8"),
    ("portal/web/frame/forms.py", "Too many"),
    ("portal/web/frame/forms.py", "maximum size"),
    ("portal/web/frame/errors.py", "GET"),
    ("portal/web/frame/errors.py", "HEAD"),
    ("portal/web/frame/reader.py", "GET"),
    ("portal/web/frame/reader.py", "HEAD"),
    ("portal/web/rig/editing/rig_sheet.py", "POST"),
    ("portal/web/gig/calendar_feed.py", "W/"),
    ("portal/documents/calendar.py", "UTC"),
    ("portal/documents/rendering/pdf.py", "MCID"),
    ("portal/documents/rendering/pdf.py", "Metadata"),
}
"""Texts of libraries, servers and standards."""

OWN_KEYS = {("portal/plan/result/routing.py", "R"), ("portal/plan/solving/cut_list.py", "R")}
"""The right side of a pair."""

ASKS = frozenset({"startswith", "endswith", "removeprefix", "removesuffix", "partition", "rpartition"})


def _asked(tree: ast.AST) -> Iterator[ast.expr]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare):
            yield from (node.left, *node.comparators)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in ASKS:
            yield from node.args
        elif isinstance(node, ast.MatchValue):
            yield node.value


def _words_asked_for(source: str) -> Iterator[str]:
    """Texts with a blank or a capital in them that a program compares with or looks for."""
    for expression in _asked(ast.parse(source)):
        if isinstance(expression, ast.Constant | ast.Tuple | ast.Set | ast.List):
            for node in ast.walk(expression):
                if isinstance(node, ast.Constant) and isinstance(node.value, str) and _reads(node.value):
                    yield node.value


def _reads(text: str) -> bool:
    return bool(re.search("[A-Za-z]", text) and re.search("^[A-Z]| ", text))


@pytest.mark.parametrize(
    "source",
    [
        'if row.said == "not known yet": pass',
        'x = fed.startswith("Straight")',
        'y = ", way " in words',
        'z = a in ("No",)',
    ],
)
def test_a_text_that_decides_is_found(source: str) -> None:
    assert list(_words_asked_for(source))


def test_no_text_that_people_read_decides_anything() -> None:
    found = {
        (file, words)
        for path in sorted((ROOT / "portal").rglob("*.py"))
        if not (file := path.relative_to(ROOT).as_posix()).startswith(READ_WHAT_PEOPLE_TYPE)
        for words in _words_asked_for(path.read_text("utf-8"))
    }
    assert found - SAID_BY_OTHERS - OWN_KEYS == set()
    assert not (SAID_BY_OTHERS | OWN_KEYS) - found
