"""The worked cases: reading them, and what a plan says in the form in which a case file asserts it.

``python -m tests.plan.case_files`` writes the ``[says]`` part of every case anew; read each change before it is
committed. The ``[expect]`` part is written by hand, before the engine is asked.
"""

from __future__ import annotations

import json
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from portal.exchange.files import document_to_answers, document_to_rig
from portal.plan import NoPlan, Plan, reconcile
from portal.plan.input.facts import Answers
from portal.plan.input.rig import Rig
from portal.wording.plan.saying import say

FOLDER = Path(__file__).parent / "cases"
SAYS = "\n[says]\n"


@dataclass(frozen=True)
class Case:
    """One case file: the gig, what a person expects, and the exact words."""

    name: str
    rig: Rig
    answers: Answers
    expect: dict[str, object]
    says: dict[str, object]


@cache
def cases() -> tuple[Case, ...]:
    """Every case, by name, read once. They are shared, so nobody may change them."""
    return tuple(read(path) for path in sorted(FOLDER.glob("*.toml")))


def planned_cases() -> list[Case]:
    """The cases of which a person expects a plan, not solved yet."""
    return [case for case in cases() if case.expect["status"] == "plan"]


def read(path: Path) -> Case:
    """One case from its file."""
    document = tomllib.loads(path.read_text(encoding="utf-8"))
    return Case(
        path.stem,
        document_to_rig(document["rig"]).configured(document.get("configuration", "")),
        document_to_answers(document["answers"]),
        document["expect"],
        document.get("says", {}),
    )


def says(outcome: Plan | NoPlan) -> dict[str, object]:
    """Every sentence of an outcome, in reading order."""
    said: dict[str, object] = {"sentence": say(say(outcome.sentence))}
    if isinstance(outcome, NoPlan):
        said["conflicts"] = [say(conflict.said) for conflict in outcome.conflicts]
        said["remedies"] = [f"{remedy.actor}: {say(remedy.said)}" for remedy in outcome.remedies]
        return said
    said["lines"] = [f"{say(reason.said)}" for line in outcome.lines for reason in line.because]
    said["not_sent"] = [say(reason.said) for source in outcome.not_sent for reason in source.because]
    for level in ("blocks", "asks", "notes"):
        said[level] = [f"{one.key}: {say(one.said)}" for one in getattr(outcome, level)]
    said["moves"] = [f"{one.label}: {one.rig_input} to {one.tonight}, {say(one.note)}" for one in outcome.moves]
    said["would_help"] = [f"{remedy.actor}: {say(remedy.said)}" for remedy in outcome.would_help]
    said["cut_list"] = [f"{cut.inputs}: {say(cut.said)}" for cut in outcome.cut_list]
    said["bring"] = [f"{item.count} {say(item.what)}: {say(item.why)}" for item in outcome.bring]
    said["leave"] = [f"{item.count} {say(item.what)}: {say(item.why)}" for item in outcome.leave]
    said["rack_dies"] = say(outcome.rack_dies.said)
    return said


def write_says() -> None:
    """Write what the engine says into every case file."""
    for path in sorted(FOLDER.glob("*.toml")):
        head = path.read_text(encoding="utf-8").partition(SAYS)[0].rstrip("\n")
        case = read(path)
        rows = []
        for key, value in says(reconcile(case.rig, case.answers)).items():
            if isinstance(value, list):
                items = "".join(f"  {json.dumps(item, ensure_ascii=False)},\n" for item in value)
                rows.append(f"{key} = [\n{items}]" if value else f"{key} = []")
            else:
                rows.append(f"{key} = {json.dumps(value, ensure_ascii=False)}")
        path.write_text(head + "\n" + SAYS + "\n".join(rows) + "\n", encoding="utf-8")


if __name__ == "__main__":
    write_says()
