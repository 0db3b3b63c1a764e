"""What comes of the gigs by number, worked out once for all test files and all workers of one run."""

from __future__ import annotations

import os
import pickle
import threading
from collections.abc import Callable
from functools import cache, wraps
from pathlib import Path
from typing import TypeVar

from portal.plan import NoPlan, Plan, reconcile
from portal.plan.input.facts import Answers
from portal.plan.input.rig import Rig
from tests.plan.case_files import cases
from tests.plan.oracle import Outcome, best

Result = TypeVar("Result")
Make = Callable[[int], tuple[Rig, Answers]]

FOLDER = "PORTAL_TESTS_OUTCOMES"
"""Variable that names where the workers of a run leave their results for each other. The run makes and removes it."""


def kept_for_all(name: str, work: Callable[[], bytes]) -> bytes:
    """What work comes to, done by one worker of the run and read by the others; ``name`` tells it from other work."""
    if FOLDER not in os.environ:
        return work()
    file = Path(os.environ[FOLDER]) / name
    if file.exists():
        return file.read_bytes()
    result = work()
    half = file.with_name(f"{name}.{os.getpid()}.{threading.get_ident()}")
    half.write_bytes(result)
    half.rename(file)
    return result


def once_a_run(work: Callable[..., Result]) -> Callable[..., Result]:
    """The same function of names and numbers, called once for each of them. Its results are shared, so nobody may
    change them.
    """

    @cache
    @wraps(work)
    def found(*names: object) -> Result:
        said = "-".join(str(getattr(name, "__name__", name)) for name in (work, *names))
        kept = kept_for_all(said, lambda: pickle.dumps(work(*names)))
        return pickle.loads(kept)  # noqa: S301 - written by this run

    return found


@once_a_run
def outcome_of(make: Make, seed: int) -> Plan | NoPlan:
    """What the engine makes of a gig."""
    return reconcile(*make(seed))


@once_a_run
def best_of(make: Make, seed: int) -> Outcome | None:
    """What the second opinion makes of a gig."""
    return best(*make(seed))


@once_a_run
def outcome_of_case(name: str) -> Plan | NoPlan:
    """What the engine makes of a worked case."""
    case = next(one for one in cases() if one.name == name)
    return reconcile(case.rig, case.answers)


def plan_of_case(name: str) -> Plan:
    """The plan of a worked case that has one."""
    outcome = outcome_of_case(name)
    assert isinstance(outcome, Plan), name
    return outcome
