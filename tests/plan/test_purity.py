"""The engine alone: what importing it and planning with it bring into a process."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
RIG = ROOT / "portal" / "exchange" / "example_rig.toml"

NEVER = frozenset(
    {
        "fastapi",
        "starlette",
        "sqlalchemy",
        "sqlmodel",
        "alembic",
        "jinja2",
        "weasyprint",
        "uvicorn",
        "argon2",
        "sqlite3",
    }
)
"""Web, database, paper."""

NOT_BY_THE_ENGINE = NEVER | {
    "pydantic",
    "typer",
    "datetime",
    "time",
    "random",
    "secrets",
    "pathlib",
    "os",
    "socket",
    "ssl",
    "asyncio",
    "logging",
}
"""What would let the same question get two answers, or reach outside; the solver's own libraries may load some of
it.
"""


def loaded_by(code: str) -> frozenset[str]:
    """Top-level names of everything that a fresh interpreter has loaded after the code, beyond what an empty one
    has.
    """
    listing = (
        "; import sys as _s, json as _j; print('\\n' + _j.dumps(sorted({name.partition('.')[0] for name in"
        " _s.modules})))"
    )
    done = subprocess.run([sys.executable, "-c", code + listing], capture_output=True, text=True, check=True, cwd=ROOT)
    return frozenset(json.loads(done.stdout.splitlines()[-1]))


@pytest.fixture(scope="module")
def solver_alone() -> frozenset[str]:
    return loaded_by("import highspy, numpy")


def test_the_engine_loads_nothing_that_its_solver_does_not(solver_alone: frozenset[str]) -> None:
    """Importing the engine brings no web, no database, no clock and no chance into a process, beyond what the solver's
    libraries bring themselves.
    """
    loaded = loaded_by("import portal.plan")
    assert "highspy" in loaded
    assert not (loaded - solver_alone) & NOT_BY_THE_ENGINE


def test_a_whole_plan_loads_nothing_more(solver_alone: frozenset[str]) -> None:
    """Nor does planning a gig, with its conflicts, remedies and open questions."""
    code = (
        "from tests.plan.hand_cases import CASES\n"
        "from portal.plan import reconcile\n"
        "from portal.plan.signed.serialization import to_json\n"
        "[to_json(reconcile(case.rig, case.answers)) for case in CASES]\n"
        "pass"
    )
    assert not (loaded_by(code) - solver_alone) & NOT_BY_THE_ENGINE


def test_the_command_plans_without_web_and_database() -> None:
    """``python -m portal plan`` loads neither, and no paper maker."""
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "portal", "plan", str(RIG), "-"],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    loaded = {
        line.rpartition("|")[2].strip().partition(".")[0]
        for line in done.stderr.splitlines()
        if line.startswith("import time:")
    }
    assert {"portal", "highspy"} <= loaded
    assert not loaded & NEVER


def test_the_look_at_modules_can_fail(solver_alone: frozenset[str]) -> None:
    """A process that does load a database is seen."""
    assert "sqlalchemy" in loaded_by("import portal.plan, sqlalchemy") - solver_alone
