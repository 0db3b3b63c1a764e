"""``portal explain``: the reason of one thing, with its facts, its long why and its numbers."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest

from portal.exchange.command import run_explain

CASE = Path(__file__).parents[1] / "plan" / "cases" / "eight-inputs-500-people.toml"


@pytest.fixture
def files(tmp_path: Path) -> tuple[Path, Path]:
    case = tomllib.loads(CASE.read_text(encoding="utf-8"))
    rig, answers = tmp_path / "rig.json", tmp_path / "answers.json"
    rig.write_text(json.dumps(case["rig"]), encoding="utf-8")
    answers.write_text(json.dumps(case["answers"]), encoding="utf-8")
    return rig, answers


@pytest.mark.parametrize(
    ("about", "said"),
    [
        ("3", "Line 3, Bass DI: stage box input 3, desk channel 3"),
        ("bass di", "The numbers behind it"),
        ("Hat", "the house said on 2026-11-20: 8 working inputs free for this band"),
        ("backing-sum", "Lead vocals never join"),
    ],
)
def test_a_line_a_source_and_a_rule_are_explained(
    files: tuple[Path, Path], capsys: pytest.CaptureFixture[str], about: str, said: str
) -> None:
    """A line by number or label, a source that stays out by label, a rule by key: each is answered with its facts or
    its long text.
    """
    assert run_explain(*files, about) == 0
    assert said in capsys.readouterr().out


def test_what_bears_no_name_is_said_and_returns_one(
    files: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """A name that nothing bears is answered with what can be asked for."""
    assert run_explain(*files, "the moon") == 1
    assert capsys.readouterr().err.startswith('Nothing in this plan is called "the moon".')
