"""``python -m portal plan``, ``explain`` and ``format``: files in; a plan, a reason or a list of keys out. No server,
no database.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO, TypeVar

from portal.exchange.faults import Fault, NotReadable, came
from portal.exchange.files import read_answers, read_file, read_rig
from portal.exchange.plan_text import plan_text
from portal.plan.input.facts import Answers
from portal.plan.input.rig import Rig
from portal.plan.model import Plan
from portal.plan.signed.serialization import Json, with_texts
from portal.wording.plan.saying import say

T = TypeVar("T")

PLAN, NO_PLAN, UNREADABLE = 0, 1, 2
"""What the program returns to the shell."""

NONE_ANSWERED = Path("-")
"""In place of the answers: nobody has answered anything yet."""


@dataclass(frozen=True)
class FileFault:
    """A fault and the file that it is in."""

    file: str
    fault: Fault


def run_plan(rig: Path, answers: Path, as_json: bool, configuration: str = "") -> int:  # noqa: FBT001 - a switch of the command line
    """Plan and print: 0 a plan, 1 no plan, 2 files that cannot be read or contradict themselves."""
    from portal.plan.reconcile import reconcile

    given = _gig(rig, answers, configuration, as_json=as_json)
    if given is None:
        return UNREADABLE
    outcome = reconcile(*given)
    _write(_json(with_texts(outcome, say)) if as_json else plan_text(outcome), sys.stdout)
    return PLAN if isinstance(outcome, Plan) else NO_PLAN


def run_explain(rig: Path, answers: Path, about: str, configuration: str = "") -> int:
    """Explain a line (number or label), a source that stays out, or a rule (key): 0; 1 where nothing bears that name; 2
    for unreadable files.
    """
    from portal.exchange.explain_text import explain_text
    from portal.plan.reconcile import reconcile

    given = _gig(rig, answers, configuration, as_json=False)
    if given is None:
        return UNREADABLE
    text = explain_text(*given, reconcile(*given), about)
    if text is None:
        _write(
            f'Nothing in this plan is called "{about}". Give the number or label of a line, the label of a source, or'
            " the key of a rule.",
            sys.stderr,
        )
        return NO_PLAN
    _write(text, sys.stdout)
    return PLAN


def run_format(schema: str = "") -> int:
    """Print every key of rig and answers files, or one JSON Schema: 0; 2 where there is no schema of that name."""
    from portal.exchange.key_list import key_list
    from portal.exchange.schema import SCHEMAS

    if schema and schema not in SCHEMAS:
        _write(f"There is no schema called {schema[:40]}. Say {', '.join(SCHEMAS)}.", sys.stderr)
        return UNREADABLE
    _write(_json(SCHEMAS[schema]()) if schema else key_list().rstrip("\n"), sys.stdout)
    return PLAN


def _gig(rig: Path, answers: Path, configuration: str, *, as_json: bool) -> tuple[Rig, Answers] | None:
    """Rig and answers; or nothing, and every fault has been written."""
    faults: list[FileFault] = []
    given_rig = _read(rig, read_rig, faults)
    given_answers: Answers | None = {} if answers == NONE_ANSWERED else _read(answers, read_answers, faults)
    if configuration:
        known = _configurations(rig, given_rig)
        if known is not None and configuration not in known:
            expected = f"one of: {', '.join(known)}" if known else "none, for the rig has no configurations"
            faults.append(FileFault(str(rig), Fault("configurations", expected, came(configuration))))
    if given_rig is None or given_answers is None or faults:
        _write_faults(faults, as_json=as_json)
        return None
    return given_rig.configured(configuration), given_answers


def _read(path: Path, read: Callable[[Path], T], faults: list[FileFault]) -> T | None:
    """What the file holds; or nothing, and its faults are added."""
    try:
        return read(path)
    except NotReadable as error:
        faults.extend(FileFault(str(path), fault) for fault in error.faults)
        return None


def _configurations(path: Path, rig: Rig | None) -> tuple[str, ...] | None:
    """The names of the configurations, also where something else in the file is wrong; ``None`` where they cannot be
    told.
    """
    if rig is not None:
        return tuple(rig.configurations)
    try:
        document = read_file(path)
    except NotReadable:
        return None
    named = document.get("configurations", {}) if isinstance(document, dict) else None
    return tuple(named) if isinstance(named, dict) else None


def _write_faults(faults: list[FileFault], *, as_json: bool) -> None:
    if as_json:
        _write(_json({"status": "unreadable", "faults": [_as_json(one.file, one.fault) for one in faults]}), sys.stdout)
    else:
        _write("\n".join(f"{one.file}: {one.fault.say()}" for one in faults), sys.stderr)


def _as_json(file: str, fault: Fault) -> Json:
    told: dict[str, Json] = {"said": fault.said} if fault.said else {"expected": fault.expected, "came": fault.came}
    return {"file": file, "path": fault.path, **told}


def _write(text: str, stream: TextIO) -> None:
    stream.write(text + "\n")


def _json(value: Json) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2)
