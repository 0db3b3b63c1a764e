"""What no test notices: each room's code is changed in one place at a time, and its tests are run.

``make mutants`` takes a fixed sample of each room, about an hour, and goes on where it was stopped;
``make mutants MUTANTS="--sample 0 portal/plan/rules"`` takes every change of one room, ``--minutes`` sets an end.
A copy of the clone below ``.mutants`` is changed, never the clone; ``.mutants/survivors.md`` lists what lived.
Survivors that change nothing stand with their reason in ``tests/equivalent_mutants.toml``.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import shlex
import shutil
import signal
import sqlite3
import subprocess
import sys
import tomllib
from collections.abc import Iterable, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from tests.rooms import NOT_IN_A_HURRY, ROOMS, ROOT

WORTH_IT = ("portal/plan/rules", "portal/plan/options", "portal/web/frame")
"""The rooms where a change that nobody notices costs most: what is safe, what is given up, who gets in."""

FOLDER = ROOT / ".mutants"
SURVIVORS = FOLDER / "survivors.md"
EQUIVALENT = ROOT / "tests" / "equivalent_mutants.toml"
LIBRARY = FOLDER / "library" / "bin"

OPERATORS = [
    "AddNot",
    "NumberReplacer",
    "ExceptionReplacer",
    "ZeroIterationForLoop",
    "ReplaceAndWithOr",
    "ReplaceOrWithAnd",
    "ReplaceTrueWithFalse",
    "ReplaceFalseWithTrue",
    "ReplaceContinueWithBreak",
    "ReplaceBreakWithContinue",
    "ReplaceUnaryOperator_Delete_Not",
    "ReplaceUnaryOperator_Delete_USub",
    "ReplaceComparisonOperator_Eq_NotEq",
    "ReplaceComparisonOperator_NotEq_Eq",
    "ReplaceComparisonOperator_Is_IsNot",
    "ReplaceComparisonOperator_IsNot_Is",
    "ReplaceComparisonOperator_Lt_LtE",
    "ReplaceComparisonOperator_LtE_Lt",
    "ReplaceComparisonOperator_Gt_GtE",
    "ReplaceComparisonOperator_GtE_Gt",
    "ReplaceBinaryOperator_Add_Sub",
    "ReplaceBinaryOperator_Sub_Add",
    "ReplaceBinaryOperator_Mul_Div",
    "ReplaceBinaryOperator_Div_Mul",
    "ReplaceBinaryOperator_FloorDiv_Mul",
    "ReplaceBinaryOperator_Mod_Mul",
    "ReplaceBinaryOperator_BitAnd_BitOr",
]
"""Changes that a person could make by mistake. The library has some hundred more, which a type checker would see."""

SLOW = "slow and not browser and not bench and not soak"
TIMEOUT_S = 900
SAMPLE = 90
"""Mutants of a room, of some hundreds, where no number is given."""


@dataclass(frozen=True)
class Survivor:
    """A change that no test noticed: where, and the line before and after."""

    path: str
    row: int
    operator: str
    before: str
    after: str


def judging(room: str, *, quick: bool) -> list[str]:
    """The command that runs the room's tests."""
    return [sys.executable, "-m", "tests.mutants", "--judge", *(["--quick"] if quick else []), room]


def config(room: str, *, quick: bool) -> str:
    """The library's settings for a room, as TOML."""
    judge = shlex.join(judging(room, quick=quick))
    others = f"core/(?!({'|'.join(OPERATORS)})$)"
    return "\n".join(
        [
            "[cosmic-ray]",
            f'module-path = "{room}"',
            f"timeout = {TIMEOUT_S}.0",
            "excluded-modules = []",
            f"test-command = {json.dumps(judge)}",
            "[cosmic-ray.distributor]",
            'name = "local"',
            "[cosmic-ray.filters.operators-filter]",
            f"exclude-operators = [{json.dumps(others)}]",
            "",
        ]
    )


def judge(room: str, *, quick: bool) -> int:
    """Run the room's tests, the quick ones first, or those alone; returns 0 where none of them fails."""
    tests = ROOMS[room].split()
    for marked in (NOT_IN_A_HURRY,) if quick else (NOT_IN_A_HURRY, SLOW):
        run = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "-m", marked, *tests]
        # 5: no test has this mark.
        if (code := subprocess.run(run, check=False, capture_output=True).returncode) not in (0, 5):
            return code
    return 0


class Session:
    """The library's file for one room, with the copy of the clone that it changes."""

    def __init__(self, room: str) -> None:
        self.room = room
        self.folder = FOLDER / room.replace("/", "-")
        self.copy = self.folder / "clone"
        self.file = self.folder / "session.sqlite"

    def prepare(self, *, quick: bool) -> None:
        """Copy the clone as it stands. What was found out stays as long as the room's own code is the same."""
        stamp = self.folder / "code"
        code = _digest(sorted((ROOT / self.room).rglob("*.py")))
        if self.copy.exists():
            shutil.rmtree(self.copy)
        self.copy.mkdir(parents=True)
        listed = _output("git", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
        for name in filter(None, listed.split("\0")):
            if (ROOT / name).is_file():
                (self.copy / name).parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(ROOT / name, self.copy / name)
        (self.folder / "config.toml").write_text(config(self.room, quick=quick), "utf-8")
        if not self.file.exists() or not stamp.exists() or stamp.read_text("utf-8") != code:
            self.file.unlink(missing_ok=True)
            self._library("cosmic-ray", "init", "../config.toml", str(self.file))
            self._library("cr-filter-operators", str(self.file), "../config.toml")
            stamp.write_text(code, "utf-8")

    def run(self, sample: int, minutes: float | None, *, quick: bool) -> None:
        """Judge the first ``sample`` mutants by a fixed throw of dice (0: all), for at most so many minutes; those
        judged before are not judged again. Raises ``SystemExit`` where the tests fail without any change.
        """
        if fault := subprocess.run(judging(self.room, quick=quick), cwd=self.copy, check=False).returncode:
            raise SystemExit(f"{self.room}: its tests fail without any change ({fault})")
        self._choose(sample)
        running = subprocess.Popen(
            [LIBRARY / "cosmic-ray", "exec", "../config.toml", str(self.file)], cwd=self.copy, start_new_session=True
        )
        try:
            running.wait(None if minutes is None else 60 * minutes)
        except (subprocess.TimeoutExpired, KeyboardInterrupt) as ended:
            # The tests of the mutant at hand are in the same group; what they were about to say is asked next time.
            os.killpg(running.pid, signal.SIGTERM)
            running.wait()
            if isinstance(ended, KeyboardInterrupt):
                raise

    def _choose(self, sample: int) -> None:
        """Leave the mutants outside the sample for another time."""
        with closing(sqlite3.connect(self.file)) as db, db:
            db.execute("DELETE FROM work_results WHERE output = 'not yet'")
            rows = db.execute(
                "SELECT job_id, module_path || operator_name || occurrence || operator_args FROM mutation_specs"
                " WHERE job_id NOT IN (SELECT job_id FROM work_results WHERE worker_outcome = 'SKIPPED')"
            ).fetchall()
            thrown = sorted(rows, key=lambda row: hashlib.sha256(row[1].encode()).digest())
            done = {row[0] for row in db.execute("SELECT job_id FROM work_results")}
            later = [(job,) for job, _ in thrown[sample or len(thrown) :] if job not in done]
            db.executemany(
                "INSERT INTO work_results (job_id, worker_outcome, output) VALUES (?, 'SKIPPED', 'not yet')", later
            )

    def survivors(self) -> tuple[int, list[Survivor]]:
        """How many were judged, and those that lived."""
        with closing(sqlite3.connect(self.file)) as db:
            judged = db.execute("SELECT count(*) FROM work_results WHERE test_outcome IS NOT NULL").fetchone()[0]
            found = db.execute(
                "SELECT module_path, start_pos_row, operator_name, diff FROM work_results JOIN mutation_specs"
                " USING (job_id) WHERE test_outcome = 'SURVIVED' ORDER BY 1, 2, 3"
            ).fetchall()
        return judged, [
            Survivor(path, row, operator.removeprefix("core/"), _side(diff, "-"), _side(diff, "+"))
            for path, row, operator, diff in found
        ]

    def _library(self, program: str, *words: str) -> None:
        subprocess.run([LIBRARY / program, *words], cwd=self.copy, check=True)


def _side(diff: str, sign: str) -> str:
    lines = [line[1:].strip() for line in diff.splitlines() if line.startswith(sign) and line[:3] != sign * 3]
    return " ".join(lines)


def _digest(files: Iterable[Path]) -> str:
    return hashlib.sha256(b"\0".join(file.read_bytes() for file in files)).hexdigest()


def _output(*command: str) -> str:
    return subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout


def excused() -> dict[tuple[str, str, str], str]:
    """File, line before and line after -> why nothing changes by it."""
    entries = tomllib.loads(EQUIVALENT.read_text("utf-8")).get("mutant", [])
    return {(one["file"], one["before"], one["after"]): one["why"] for one in entries}


def report(rooms: Iterable[str]) -> str:
    """The list of survivors as Markdown: the score of each room, what to kill, and what changes nothing."""
    reasons = excused()
    lines = ["# Mutants that no test notices", ""]
    for room in rooms:
        session = Session(room)
        if not session.file.exists():
            continue
        judged, lived = session.survivors()
        open_ones = [one for one in lived if (one.path, one.before, one.after) not in reasons]
        same = len(lived) - len(open_ones)
        score = f"{100 * (judged - len(lived)) / (judged - same):.1f} % killed" if judged > same else "no score"
        lines.append(f"## {room}: {judged} judged, {len(open_ones)} live, {same} change nothing: {score}")
        lines += [
            "",
            *(f"- {one.path}:{one.row} {one.operator}\n  - `{one.before}`\n  - `{one.after}`" for one in open_ones),
            "",
        ]
    return "\n".join(lines)


def main(arguments: Sequence[str]) -> int:
    """Judge the mutants of the rooms that are named, or of all."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("rooms", nargs="*", default=WORTH_IT, help="rooms to change, as paths")
    parser.add_argument("--sample", type=int, default=SAMPLE, help="mutants of each room; 0 for all")
    parser.add_argument("--minutes", type=float, help="how long to judge a room at most")
    parser.add_argument("--quick", action="store_true", help="leave out the slow tests, which know some survivors more")
    parser.add_argument("--report", action="store_true", help="write the list of what was judged so far, and stop")
    parser.add_argument("--judge", action="store_true", help=argparse.SUPPRESS)
    chosen = parser.parse_args(arguments)
    if chosen.judge:
        return judge(*chosen.rooms, quick=chosen.quick)
    for room in () if chosen.report else chosen.rooms:
        session = Session(room)
        session.prepare(quick=chosen.quick)
        session.run(chosen.sample, chosen.minutes, quick=chosen.quick)
    SURVIVORS.write_text(report(WORTH_IT), "utf-8")
    sys.stdout.write(SURVIVORS.read_text("utf-8"))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
