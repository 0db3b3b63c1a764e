"""Planning from the command line."""

import importlib.util
import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import pytest

from portal.exchange.command import run_explain, run_format, run_plan
from portal.exchange.key_list import key_list
from portal.exchange.plan_text import plan_text
from portal.exchange.schema import SCHEMAS
from portal.plan.input.facts import Answers
from portal.plan.input.rig import Rig
from portal.plan.model import NoPlan, Plan
from tests.exchange.reading_back import from_json

ROOT = Path(__file__).parents[2]


def golden(name: str) -> Plan | NoPlan:
    return from_json(json.loads((ROOT / "tests" / "plan" / "golden" / name).read_text("utf-8")))


RIG = (
    'schema = 1\n[[source]]\nkey = "s-1"\nlabel = "Kick In"\n[[source]]\nkey = "s-2"\nlabel ='
    ' "Vocal"\n[configurations.small]\noff = ["s-1"]\n'
)


@pytest.fixture
def rig(tmp_path: Path) -> Path:
    (tmp_path / "rig.toml").write_text(RIG, "utf-8")
    return tmp_path / "rig.toml"


@pytest.fixture
def answers(tmp_path: Path) -> Path:
    (tmp_path / "answers.toml").write_text('schema = 1\ninputs-free = {value = 12, by = "house"}\n', "utf-8")
    return tmp_path / "answers.toml"


@pytest.fixture
def engine(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Rig, Answers]]:
    """The engine's place taken by one that gives a known plan for two sources, and none for any other number."""
    asked = []

    def reconcile(rig: Rig, answers: Answers) -> Plan | NoPlan:
        asked.append((rig, answers))
        return golden("plan.json" if len(rig.source) == 2 else "no-plan.json")

    module = ModuleType("portal.plan.reconcile")
    module.reconcile = reconcile
    monkeypatch.setitem(sys.modules, "portal.plan.reconcile", module)
    return asked


def test_a_plan_is_printed_to_be_read(engine, rig, answers, capsys):
    """With a plan the program returns 0 and says the route first."""
    assert run_plan(rig, answers, as_json=False) == 0
    printed = capsys.readouterr()
    assert printed.out == plan_text(golden("plan.json")) + "\n"
    assert printed.err == ""
    assert [source.label for source in engine[0][0].source] == ["Kick In", "Vocal"]
    assert engine[0][1]["inputs-free"].value == 12


def test_the_text_of_a_plan():
    """The text names every part of a plan; columns line up, and empty ones are left out."""
    assert plan_text(golden("plan.json")) == (Path(__file__).parent / "plan.txt").read_text("utf-8").rstrip("\n")
    assert plan_text(golden("no-plan.json")) == (Path(__file__).parent / "no-plan.txt").read_text("utf-8").rstrip("\n")


def test_a_plan_that_was_not_proven_says_so():
    """A plan that the search did not prove to be the best is never shown as the best."""
    text = plan_text(replace(golden("plan.json"), proven=False))
    assert "The search was cut short: there may be a better plan." in text
    assert "cut short" not in plan_text(golden("plan.json"))


@pytest.mark.usefixtures("engine")
def test_json_is_the_plan_itself(rig, answers, capsys):
    """With --json the output is the plan's own JSON, which reads back as the plan."""
    assert run_plan(rig, answers, as_json=True) == 0
    assert from_json(json.loads(capsys.readouterr().out)) == golden("plan.json")


def test_no_plan_is_an_answer(engine, rig, answers, capsys):
    """Without a plan the program returns 1 and explains; a configuration is planned as the band uses it."""
    assert run_plan(rig, answers, as_json=False, configuration="small") == 1
    assert capsys.readouterr().out == plan_text(golden("no-plan.json")) + "\n"
    assert [source.label for source in engine[0][0].source] == ["Vocal"]
    assert run_plan(rig, answers, as_json=True, configuration="small") == 1
    assert from_json(json.loads(capsys.readouterr().out)) == golden("no-plan.json")


def test_nobody_has_answered_yet(engine, rig):
    """A hyphen in place of the answers means that none were given."""
    assert run_plan(rig, Path("-"), as_json=False) == 0
    assert engine[0][1] == {}


def test_every_fault_of_both_files_is_told(engine, tmp_path, capsys):
    """Files that cannot be read return 2, and nothing is planned; every fault of both is named, as text or as JSON."""
    rig, answers = tmp_path / "rig.toml", tmp_path / "answers.toml"
    rig.write_text("name = 3\nsurce = []\n", "utf-8")
    answers.write_text("schema = 1\ninputs-free = {value = -1}\n", "utf-8")
    told = [
        (rig, "schema", "the number 1", "nothing: the key is missing"),
        (rig, "name", "text of at most 120 characters", "the number 3"),
        (rig, "surce", 'a known key, perhaps "source"', "a key that nothing reads"),
        (answers, "inputs-free.value", "a whole number from 0 to 128", "the number -1"),
    ]
    assert run_plan(rig, answers, as_json=False) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.splitlines() == [
        f"{file}: {path}: expected {expected}; found {came}." for file, path, expected, came in told
    ]
    assert run_plan(rig, answers, as_json=True) == 2
    printed = capsys.readouterr()
    assert printed.err == ""
    assert json.loads(printed.out) == {
        "status": "unreadable",
        "faults": [
            {"file": str(file), "path": path, "expected": expected, "came": came} for file, path, expected, came in told
        ],
    }
    assert engine == []


def test_an_unknown_configuration_is_a_fault(engine, rig, capsys):
    """A configuration that the rig does not have returns 2 and names those that it has."""
    assert run_plan(rig, Path("-"), as_json=False, configuration="big") == 2
    assert capsys.readouterr().err == f'{rig}: configurations: expected one of: small; found the text "big".\n'
    assert engine == []


TWO_ON_A_WAY = """
[[splitter]]
key = "box"
ways = 4
[[splitter.outputs]]
kind = "isolated"
[[loom]]
key = "loom"
ways = 4
length_m = -2
"""


def test_a_rig_that_contradicts_itself_is_refused_like_in_the_editor(engine, rig, capsys):
    """Two sources on one way return 2 and plan nothing, for a plan and for an explanation, each named at its key, as
    text and as JSON.
    """
    on_one_way = RIG.replace("[[source]]", '[[source]]\nsplitter = "box"\nway = 1')
    rig.write_text(on_one_way + TWO_ON_A_WAY.replace("-2", "2"), "utf-8")
    said = "Rows 1 and 2 both use way 1 of box. Give one of them another way."
    assert run_plan(rig, Path("-"), as_json=False) == 2
    assert run_explain(rig, Path("-"), "1") == 2
    printed = capsys.readouterr()
    assert (printed.out, printed.err) == ("", f"{rig}: source[0].way: {said}\n" * 2)
    assert run_plan(rig, Path("-"), as_json=True) == 2
    printed = capsys.readouterr()
    assert printed.err == ""
    assert json.loads(printed.out) == {
        "status": "unreadable",
        "faults": [{"file": str(rig), "path": "source[0].way", "said": said}],
    }
    assert engine == []


def test_one_fault_hides_no_other(engine, rig, capsys):
    """A length below nothing, two sources on one way and a configuration that the rig does not have are told at
    once.
    """
    rig.write_text(RIG.replace("[[source]]", '[[source]]\nsplitter = "box"\nway = 1') + TWO_ON_A_WAY, "utf-8")
    assert run_plan(rig, Path("-"), as_json=False, configuration="big") == 2
    assert capsys.readouterr().err.splitlines() == [
        f"{rig}: loom[0].length_m: expected a number from 0 to 300; found the number -2.",
        f"{rig}: source[0].way: Rows 1 and 2 both use way 1 of box. Give one of them another way.",
        f'{rig}: configurations: expected one of: small; found the text "big".',
    ]
    assert engine == []


def test_a_configuration_leaves_rows_at_home_without_contradicting_itself(engine, rig, capsys):
    """The rows that a configuration leaves out are in the rig: neither they nor their other halves are said to be
    missing.
    """
    paired = RIG.replace('key = "s-1"', 'key = "s-1"\npair_with = "s-2"').replace(
        'key = "s-2"', 'key = "s-2"\npair_with = "s-1"'
    )
    rig.write_text(paired, "utf-8")
    assert run_plan(rig, Path("-"), as_json=False, configuration="small") == 1
    assert capsys.readouterr().err == ""
    assert [source.label for source in engine[0][0].source] == ["Vocal"]


def loaded_by(statement: str) -> set[str]:
    program = f"import sys; {statement}; print(*{{name.partition('.')[0] for name in sys.modules}})"
    ran = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, check=True, text=True)
    return set(ran.stdout.split())


def test_planning_loads_no_web_and_no_database():
    """The command line plans without loading the web's or the database's libraries."""
    assert importlib.util.find_spec("fastapi")
    assert not {"fastapi", "starlette", "sqlalchemy", "sqlmodel", "weasyprint"} & loaded_by(
        "import portal.exchange.command"
    )
    assert "fastapi" in loaded_by("import fastapi")


def test_the_format_is_printed(capsys):
    """Without a name the list of all keys, with one its schema; an unknown name is told with the known ones."""
    assert run_format() == 0
    assert capsys.readouterr().out == key_list()
    assert run_format("rig") == 0
    assert json.loads(capsys.readouterr().out) == SCHEMAS["rig"]()
    assert run_format("song") == 2
    assert capsys.readouterr().err == "There is no schema called song. Say rig, answers, plan, no-plan.\n"
