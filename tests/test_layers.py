"""Who may import whom, and what no tracked file may hold."""

import ast
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@dataclass(frozen=True)
class Room:
    """What the modules below one dotted name may import, besides the standard library."""

    portal: frozenset[str]
    outside: frozenset[str] = frozenset()
    without: frozenset[str] = frozenset()
    lazy: bool = False
    """True: only Typer and the standard library at the top of the file, all else inside functions."""


def words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# What would let the same question get two answers, or reach outside: the core does without.
NOT_IN_THE_CORE = words(
    "asyncio http io logging multiprocessing os pathlib random secrets shutil socket sqlite3 ssl subprocess tempfile"
    " threading time urllib"
)
PAPER = words("jinja2 markupsafe segno")
WEB = words("argon2 fastapi jinja2 markupsafe pydantic python_multipart segno starlette typing_extensions")
DATABASE = words("alembic pydantic sqlalchemy sqlmodel")
EVERYTHING_OF_OURS = words("portal")

BELOW_THE_WEB = words(
    "portal.jobs portal.advance portal.compare portal.documents portal.store portal.plan portal.exchange"
    " portal.wording portal.settings portal.places"
)


def family(name: str, *known: str) -> Room:
    """A family of screens: it knows the frame, itself and the families named after it. No two know each other."""
    return Room(BELOW_THE_WEB | {f"portal.web.{one}" for one in ("frame", name, *known)}, WEB)


# The longest name that fits a module is its room. A module that fits none is a fault.
ROOMS = {
    "portal": Room(frozenset()),
    "portal.plan": Room(words("portal.plan"), without=NOT_IN_THE_CORE),
    "portal.plan.solving.loaded_program": Room(words("portal.plan"), words("highspy numpy"), NOT_IN_THE_CORE),
    "portal.wording": Room(words("portal.wording portal.plan"), words("babel jinja2 markupsafe")),
    "portal.exchange": Room(words("portal.exchange portal.plan portal.wording"), words("openpyxl pydantic")),
    "portal.exchange.house_spec": Room(words("portal.exchange portal.plan portal.wording")),
    "portal.exchange.house_spec.text.pdf_child": Room(words("portal.exchange"), words("pypdf")),
    "portal.compare": Room(words("portal.compare portal.exchange portal.plan portal.wording"), words("pydantic")),
    "portal.store": Room(words("portal.store portal.plan portal.places"), DATABASE),
    "portal.store.database": Room(words("portal.store portal.plan portal.places portal.settings"), DATABASE),
    "portal.documents": Room(words("portal.documents portal.plan portal.places portal.wording"), PAPER),
    "portal.documents.labels.label_text": Room(
        words("portal.documents portal.plan portal.places portal.wording"), words("fontTools")
    ),
    "portal.documents.calendar": Room(words("portal.documents portal.plan portal.wording"), words("icalendar")),
    "portal.documents.rendering.pdf": Room(
        words("portal.documents portal.plan portal.places portal.wording"), PAPER | {"fontTools", "weasyprint"}
    ),
    "portal.advance": Room(
        words(
            "portal.advance portal.compare portal.documents portal.store portal.plan portal.exchange portal.places"
            " portal.wording"
        ),
        words("pydantic"),
    ),
    "portal.advance.solver": Room(words("portal.advance.solver portal.compare portal.plan"), words("pydantic")),
    "portal.advance.metrics": Room(frozenset(), words("prometheus_client")),
    "portal.jobs": Room(words("portal.jobs portal.advance portal.compare portal.store portal.plan portal.wording")),
    "portal.web": Room(frozenset()),
    "portal.web.frame": family("frame"),
    "portal.web.frame.metrics": Room(
        words("portal.__version__ portal.advance.metrics portal.documents portal.plan"), words("prometheus_client")
    ),
    "portal.web.frame.health": Room(words("portal.web.frame portal.store"), WEB | {"sqlalchemy"}),
    "portal.web.accounts": family("accounts", "documents", "mail"),
    "portal.web.compare": family("compare", "documents", "rig"),
    "portal.web.day": family("day", "documents"),
    "portal.web.discussion": family("discussion"),
    "portal.web.documents": family("documents"),
    "portal.web.gig": family("gig", "discussion", "documents", "rig"),
    "portal.web.house": family("house", "documents", "gig", "questions"),
    "portal.web.mail": family("mail"),
    "portal.web.plan": family("plan", "discussion", "documents"),
    "portal.web.questions": family("questions", "discussion"),
    "portal.web.rig": family("rig"),
    "portal.settings": Room(words("portal.settings")),
    "portal.places": Room(words("portal.places")),
    "portal.log_lines": Room(frozenset()),
    "portal.admin_commands": Room(words("portal.places portal.settings portal.store")),
    "portal.demo": Room(
        words("portal.advance portal.exchange portal.plan portal.settings portal.store portal.web portal.wording")
    ),
    "portal.app": Room(EVERYTHING_OF_OURS, WEB | DATABASE | {"uvicorn"}),
    "portal.__main__": Room(EVERYTHING_OF_OURS, words("typer"), lazy=True),
    # A migration still has to run after the code has moved on.
    "migrations.versions": Room(frozenset(), words("alembic sqlalchemy")),
}


def lies_in(name: str, places: frozenset[str]) -> bool:
    return any(name == place or name.startswith(place + ".") for place in places)


def room_of(module: str) -> Room | None:
    fitting = [name for name in ROOMS if lies_in(module, frozenset({name}))]
    best = max(fitting, key=len, default=None)
    # The root's own room is for portal/__init__.py alone: a new part of the portal gets its own line.
    return None if best is None or (best == "portal" and module != "portal") else ROOMS[best]


def resolve(name: str, level: int, package: str) -> str:
    """Absolute dotted name of `from <level dots><name>`, seen from the package."""
    if level == 0:
        return name
    base = package.split(".")[: len(package.split(".")) - level + 1]
    return ".".join([*base, name]) if name else ".".join(base)


def imported_by_call(call: ast.Call, package: str, importers: set[str]) -> str | None:
    """Name that a call such as import_module("x") imports; "?" when only a run could tell."""
    called = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    if called not in importers:
        return None
    if not (call.args and isinstance(call.args[0], ast.Constant) and isinstance(call.args[0].value, str)):
        return "?"
    name = call.args[0].value
    dots = len(name) - len(name.lstrip("."))
    return resolve(name[dots:], dots, package)


def imports(tree: ast.Module, package: str) -> Iterator[tuple[int, str, bool]]:
    """Line, absolute name and "inside a function" of each import, however it is written."""
    importers = {"import_module", "__import__"}
    importers |= {
        alias.asname
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module == "importlib"
        for alias in node.names
        if alias.name == "import_module" and alias.asname
    }
    inside = {
        id(below)
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        for statement in node.body
        for below in ast.walk(statement)
    }
    for node in ast.walk(tree):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            module = resolve(node.module or "", node.level, package)
            names = [f"{module}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Call) and (name := imported_by_call(node, package, importers)):
            names = [name]
        for name in names:
            yield node.lineno, name, id(node) in inside


def faults(source: str, module: str, *, is_package: bool = False) -> list[str]:
    """Each import in the source that the module's room does not allow, as "line: name"."""
    room = room_of(module)
    if room is None:
        return [f"{module} has no room in the table"]
    package = module if is_package else module.rpartition(".")[0]
    found = []
    for line, name, inside in imports(ast.parse(source), package):
        top = name.partition(".")[0]
        if top in sys.stdlib_module_names:
            allowed = top not in room.without
        elif top == "portal":
            allowed = lies_in(name, room.portal) and (inside or not room.lazy)
        else:
            allowed = top in room.outside and (inside or not room.lazy or top == "typer")
        if not allowed:
            found.append(f"{line}: {name}")
    return found


def module_name(file: Path) -> str:
    parts = file.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


FILES = sorted([*(ROOT / "portal").rglob("*.py"), *(ROOT / "migrations" / "versions").glob("*.py")])


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.relative_to(ROOT).as_posix())
def test_a_file_imports_only_what_its_room_allows(file: Path) -> None:
    """Each layer imports only what lies below it."""
    found = faults(file.read_text("utf-8"), module_name(file), is_package=file.name == "__init__.py")
    assert found == []


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("portal.plan.input.facts", "import fastapi"),
        ("portal.plan.input.facts", "import numpy as np"),
        ("portal.plan.input.facts", "from portal.web import pages"),
        ("portal.plan.input.facts", "from ... import store"),
        ("portal.plan.input.facts", "from ...store.gigs import Gig"),
        ("portal.plan.input.facts", "from portal import store"),
        ("portal.plan.input.facts", "import portal"),
        ("portal.plan.input.facts", "def late():\n    import highspy"),
        ("portal.plan.input.facts", "class Late:\n    async def load(self):\n        from ...web import rig"),
        ("portal.plan.input.facts", "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import sqlmodel"),
        ("portal.plan.input.facts", "import importlib\nimportlib.import_module('fastapi')"),
        ("portal.plan.input.facts", "from importlib import import_module as get\nget('...store', 'portal.plan.input')"),
        ("portal.plan.input.facts", "from importlib import import_module\nimport_module('fast' + 'api')"),
        ("portal.plan.input.facts", "__import__('sqlmodel')"),
        ("portal.plan.input.facts", "import random"),
        ("portal.plan.input.facts", "from time import time"),
        ("portal.plan.rules.power", "from ...documents import registry"),
        ("portal.plan.solving.loaded_program", "import scipy"),
        ("portal.plan.solving.solve", "import highspy"),
        ("portal.exchange.command", "import portal.store.gigs"),
        ("portal.exchange.house_spec.reader", "def late():\n    import pypdf"),
        ("portal.store.gigs", "from portal.documents import patch_sheet"),
        ("portal.documents.patch.patch_sheet", "from portal.store import gigs"),
        ("portal.documents.patch.patch_sheet", "def late():\n    import weasyprint"),
        ("portal.web.gig.gigs", "from portal import app"),
        ("portal.web.gig.gigs", "import weasyprint"),
        ("portal.web.gig.gigs", "from portal.web.plan import plan_page"),
        ("portal.web.documents.downloads", "from portal.web.plan.plan_page import side_of"),
        ("portal.web.frame.deps", "from portal.web.gig.gigs import router"),
        ("portal.web.somewhere.page", "from portal.web.frame import deps"),
        ("portal.advance.planning", "from portal.web.frame import links"),
        ("portal.advance.planning", "import fastapi"),
        ("portal.advance.planning", "import prometheus_client"),
        ("portal.app", "import weasyprint"),
        ("portal.__main__", "import uvicorn"),
        ("portal.__main__", "from portal.app import serve"),
        ("portal.__main__", "from .exchange import command"),
        ("portal.somewhere", "import ast"),
        ("migrations.versions.first", "from portal.store import gigs"),
    ],
)
def test_a_planted_fault_is_caught(module: str, source: str) -> None:
    """However an import is written, one that the room does not allow is found."""
    assert faults(source, module) != []


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("portal.plan.input.facts", "import dataclasses\nfrom . import words\nfrom .rules.power import load"),
        ("portal.plan.solving.loaded_program", "import highspy\nimport numpy as np\nfrom .columns import Column"),
        ("portal.documents.rendering.pdf", "def late():\n    import weasyprint"),
        (
            "portal.web.gig.gigs",
            "from fastapi import APIRouter\nfrom portal.store.gigs import Gig\nfrom ..frame import deps",
        ),
        ("portal.web.gig.gigs", "from portal.web.rig.rig_access import Editor"),
        ("portal.advance.planning", "from portal.plan.model import ENGINE\nfrom portal.store.gigs import Gig"),
        ("portal.__main__", "import typer\ndef serve():\n    from portal.app import serve"),
    ],
)
def test_a_clean_file_passes(module: str, source: str) -> None:
    """An import that the room allows is not reported."""
    assert faults(source, module) == []


def test_no_two_families_of_screens_know_each_other() -> None:
    """Whatever way one goes from family to family, it never comes back."""
    families = {name: room.portal for name, room in ROOMS.items() if name.count(".") == 2 and "portal.web." in name}
    known = {name: {one for one in allowed if one in families and one != name} for name, allowed in families.items()}
    there = {f"portal.web.{file.parent.name}" for file in (ROOT / "portal" / "web").glob("*/__init__.py")}
    assert known.keys() == there
    assert next(iter(TopologicalSorter(known).static_order())) == "portal.web.frame"


SOLVES = frozenset({"reconcile", "outline", "price", "open_questions", "worth_asking"})
"""What of the engine solves."""

SOLVERS = words("portal.advance.solver.wishes portal.compare.solving portal.exchange.command")
"""Who may call it: a process that serves somebody does not."""


def test_only_a_solver_solves() -> None:
    """No module of the running portal calls what solves, whatever it is about to write."""
    found = {
        module_name(file)
        for file in FILES
        for node in ast.walk(ast.parse(file.read_text()))
        if isinstance(node, ast.ImportFrom) and SOLVES & {alias.name for alias in node.names}
        if not module_name(file).startswith("portal.plan")
    }
    assert {one for one in found if one.startswith("portal.")} == SOLVERS


def test_a_package_resolves_its_dots_from_itself() -> None:
    """One dot in a package's own file means that package, not the one above."""
    assert faults("from . import facts", "portal.plan", is_package=True) == []
    assert faults("from .. import store", "portal.plan", is_package=True) == ["1: portal.store"]


# Written in pieces, so that this file does not hold what it forbids.
FORBIDDEN = [
    "".join(pieces).encode()
    for pieces in [
        ("pypi", ".org"),
        ("python", "hosted.org"),
        ("npm", "js.org"),
        ("npm", "js.com"),
        ("deb.", "debian.org"),
        ("un", "pkg.com"),
        ("js", "delivr.net"),
        ("/", "work/"),
        ("/", "root/"),
        ("/", "home/"),
        ("/opt/", "wheels"),
    ]
]


def forbidden_in(content: bytes) -> list[str]:
    return [word.decode() for word in FORBIDDEN if word in content]


def test_no_tracked_file_names_a_registry_or_a_machine() -> None:
    """No file of the project says where packages come from or where a clone once lay."""
    git = shutil.which("git")
    if git is None or not (ROOT / ".git").exists():
        pytest.skip("only a clone knows which files are tracked")
    listed = subprocess.run(
        [git, "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        check=True,
        capture_output=True,
    )
    names = [name.decode() for name in listed.stdout.split(b"\0") if name]
    assert "pyproject.toml" in names
    files = [ROOT / name for name in names if (ROOT / name).is_file()]
    found = {file.relative_to(ROOT).as_posix(): forbidden_in(file.read_bytes()) for file in files}
    assert {name: words for name, words in found.items() if words} == {}


def test_a_planted_address_is_caught() -> None:
    """The search sees a registry's name in the middle of a binary file."""
    assert forbidden_in(b"\x00--index-url https://" + FORBIDDEN[0] + b"/simple\xff") == [FORBIDDEN[0].decode()]
