"""No verdict hangs on a clock: on a machine that is busy with something else the same code passes the same tests."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

TESTS = Path(__file__).parent

CLOCKS = frozenset(
    {"time", "monotonic", "perf_counter", "process_time", "thread_time", "getrusage", "timeit", "times", "cpu_times"}
)
"""Names of what reads a clock: of the modules below, or of a process."""
MODULES = frozenset({"time", "timeit", "resource", "os"})
UNITS = ("_s", "_ms", "_us", "_ns", "seconds", "took", "elapsed", "duration")
"""Endings of names that hold a time, in a module that reads a clock."""

LEAST_S, LEAST_MS = 60, 30_000
"""Waiting may end only so late that no busy machine is taken for one that hangs."""
BROWSER = ("to_", "wait_for", "set_default")
"""Beginnings of calls whose ``timeout`` is in milliseconds."""


def is_clock(node: ast.AST) -> bool:
    """True for ``time.monotonic()``, ``perf_counter_ns()`` and their like."""
    if not isinstance(node, ast.Call):
        return False
    called = node.func
    if isinstance(called, ast.Attribute):
        return (
            isinstance(called.value, ast.Name)
            and called.value.id in MODULES
            and called.attr.removesuffix("_ns") in CLOCKS
        )
    return isinstance(called, ast.Name) and called.id.removesuffix("_ns") in CLOCKS - {"time", "times"}


def names_in(node: ast.AST) -> set[str]:
    """Every name and attribute that is read in a part of a program."""
    parts = list(ast.walk(node))
    return {one.id for one in parts if isinstance(one, ast.Name)} | {
        one.attr for one in parts if isinstance(one, ast.Attribute)
    }


def returns_of(function: ast.FunctionDef) -> list[ast.Return]:
    return [node for node in ast.walk(function) if isinstance(node, ast.Return)]


def is_plain(node: ast.AST | None) -> bool:
    """True for a time by itself, not for a thing that holds one among others."""
    return isinstance(node, ast.Name | ast.BinOp) or (node is not None and is_clock(node))


def timed_names(tree: ast.Module) -> set[str]:
    """Names that hold what a clock said, or came from one that does: variables, fields given by keyword, and functions
    that give it back.
    """
    timed: set[str] = set()

    def tells(node: ast.AST | None) -> bool:
        return not isinstance(node, ast.JoinedStr | None) and (
            any(map(is_clock, ast.walk(node))) or bool(timed & names_in(node))
        )

    while True:
        before = len(timed)
        for node in ast.walk(tree):
            if isinstance(node, ast.Assign | ast.AnnAssign | ast.AugAssign) and tells(node.value):
                for target in node.targets if isinstance(node, ast.Assign) else [node.target]:
                    timed |= {one.id for one in ast.walk(target) if isinstance(one, ast.Name)}
            elif isinstance(node, ast.keyword) and node.arg and is_plain(node.value) and tells(node.value):
                timed.add(node.arg)
            elif isinstance(node, ast.FunctionDef) and any(
                is_plain(one.value) and tells(one.value) for one in returns_of(node)
            ):
                timed.add(node.name)
        if len(timed) == before:
            return timed


def faults_in(source: str) -> Iterator[tuple[int, str]]:
    """Where a verdict hangs on a clock, with what is wrong there."""
    tree = ast.parse(source)
    reads = any(map(is_clock, ast.walk(tree)))
    timed = timed_names(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.Assert | ast.If):
            for one in ast.walk(node.test):
                if isinstance(one, ast.Compare) and any(
                    isinstance(sign, ast.Lt | ast.LtE | ast.Gt | ast.GtE) for sign in one.ops
                ):
                    said = names_in(one)
                    if (
                        any(map(is_clock, ast.walk(one)))
                        or said & timed
                        or (reads and any(name.endswith(UNITS) for name in said))
                    ):
                        yield node.lineno, "judges a time"
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and "\n" in node.value:
            if any(word in node.value for word in ("perf_counter", "monotonic(", "process_time")):
                yield node.lineno, "a program in a text reads a clock"
        elif isinstance(node, ast.Call):
            yield from impatient(node)


def impatient(call: ast.Call) -> Iterator[tuple[int, str]]:
    """Waiting that ends too soon."""
    called = (
        call.func.attr
        if isinstance(call.func, ast.Attribute)
        else call.func.id
        if isinstance(call.func, ast.Name)
        else ""
    )
    least = LEAST_MS if called.startswith(BROWSER) else LEAST_S
    for one in call.keywords:
        if (
            one.arg == "timeout"
            and isinstance(one.value, ast.Constant)
            and isinstance(one.value.value, int | float)
            and one.value.value < least
        ):
            yield call.lineno, "waits too short a time"


def test_no_test_judges_a_time() -> None:
    """Outside of the benches, which print figures, nothing is asserted of a time, and nobody who waits gives up
    early.
    """
    files = [file for file in TESTS.rglob("*.py") if "bench" not in file.parts and file != Path(__file__)]
    assert len(files) > 100
    found = {
        f"{file.relative_to(TESTS)}:{line}: {what}"
        for file in files
        for line, what in faults_in(file.read_text("utf-8"))
    }
    assert found == set()


PLANTED = (
    "import time\nbegan = time.monotonic()\nassert time.monotonic() - began < 5",
    (
        "import time\nbegan = time.perf_counter()\nwork()\ntook = time.perf_counter() - began\nprint(took)\nassert"
        " took < 1"
    ),
    (
        "import time\nbegan = time.process_time_ns()\nspent = time.process_time_ns() - began\nworst = max(spent,"
        " 0)\nassert 3 > worst"
    ),
    "from time import perf_counter\nbegan = perf_counter()\nassert perf_counter() - began <= 1",
    "import time\ntimes = []\ntimes.append(time.perf_counter())\nassert max(one.seconds for one in told) < 3",
    "import time\ndef spent():\n    return time.process_time()\nassert spent() < 2",
    "import time\nmade = Run(took_for=time.monotonic() - began)\nassert made.took_for < 2",
    "import time\nspent = time.process_time()\nif spent > LIMIT:\n    faults.append('slow')",
    "PROGRAM = '''\nimport time\nprint(time.perf_counter())\n'''",
    "running.communicate(timeout=5)",
    "expect(page).to_have_text('Saved', timeout=3000)",
)

INNOCENT = (
    "import time\nbegan = time.monotonic()\nwork()\nprint(time.monotonic() - began)",
    "import time\nwhile time.monotonic() < until:\n    work()",
    "import time\nassert steps < 5\ntime.sleep(0.1)",
    "assert gig.minutes < 5\nassert clock.time() < later",
    "running.communicate(timeout=120)\nexpect(page).to_have_text('Saved', timeout=60_000)",
)


@pytest.mark.parametrize("source", PLANTED)
def test_a_planted_verdict_on_a_clock_is_found(source: str) -> None:
    """Asserted, compared on the way to a fault, hidden in a name, a field, a function, a text or an impatient wait:
    each is seen.
    """
    assert list(faults_in(source))


@pytest.mark.parametrize("source", INNOCENT)
def test_what_only_prints_or_waits_is_let_through(source: str) -> None:
    """A figure that is printed, a loop that ends some time, and a generous wait are no verdict."""
    assert not list(faults_in(source))
