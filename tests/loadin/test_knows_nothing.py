"""The judge knows nothing of the portal: it imports the standard library, a reader of PDFs, and itself."""

import ast
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent

READERS = {"pypdfium2"}

DRIVERS = {"conftest", "gigs", "report"}
"""What plans and prints the gigs that are judged, beside the tests themselves."""

JUDGES = sorted(
    path.stem for path in HERE.glob("*.py") if path.stem not in DRIVERS and not path.stem.startswith("test_")
)


def imported(path: Path) -> set[str]:
    """Every module that a file imports, inside functions too."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name} imports by dots"
            names.add(node.module)
        elif isinstance(node, ast.Call) and getattr(node.func, "attr", getattr(node.func, "id", "")) in (
            "import_module",
            "__import__",
        ):
            names.add("imported by name")
    return names


def allowed(name: str) -> bool:
    own = name.startswith("tests.loadin.") and name.removeprefix("tests.loadin.") in JUDGES
    return own or name.partition(".")[0] in sys.stdlib_module_names | READERS


def test_there_is_a_judge():
    """The files that judge are found, and those that drive the portal are not among them."""
    assert {"judge", "words", "printed", "sheet", "van", "truth", "wording"} <= set(JUDGES)
    assert all((HERE / f"{name}.py").exists() for name in DRIVERS)


@pytest.mark.parametrize("name", JUDGES)
def test_the_judge_imports_nothing_of_the_portal(name):
    """What it reads are papers; what it knows of the stage is plain data."""
    assert {one for one in imported(HERE / f"{name}.py") if not allowed(one)} == set()


def test_an_import_of_the_portal_would_be_found(tmp_path):
    """At the top, inside a function, and by name."""
    file = tmp_path / "spy.py"
    file.write_text(
        "import portal.plan\ndef look():\n    from tests.loadin.gigs import own\n   "
        " importlib.import_module('portal')\n",
        encoding="utf-8",
    )
    assert {name for name in imported(file) if not allowed(name)} == {
        "portal.plan",
        "tests.loadin.gigs",
        "imported by name",
    }
