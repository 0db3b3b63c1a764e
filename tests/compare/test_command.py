"""Comparing from the command line: what it returns, and a clear sentence for what cannot be compared."""

import csv
import io
import json
import subprocess
import sys
from pathlib import Path

import pytest

from portal.compare.command import run_compare
from portal.exchange.files import rig_to_document
from tests.compare.invented import DATA, invented

ROOT = Path(__file__).parents[2]
YEAR_FILE, RIG_FILE = DATA / "year.toml", DATA / "rig.toml"


@pytest.fixture
def floor(tmp_path: Path) -> Path:
    file = tmp_path / "floor.json"
    file.write_text(json.dumps(rig_to_document(invented().candidates[1].rig)), "utf-8")
    return file


def written(tmp_path: Path, text: str, name: str = "year.toml") -> Path:
    (tmp_path / name).write_text(text, "utf-8")
    return tmp_path / name


def refused(capsys: pytest.CaptureFixture[str], year: Path, *rigs: Path) -> str:
    assert run_compare(year, rigs or (RIG_FILE,)) == 2
    said = capsys.readouterr()
    assert said.out == ""
    return said.err


def test_the_program_compares_two_files(floor: Path) -> None:
    """The sentence stands first, the table and the picture below; nothing else is printed and it returns 0."""
    ran = subprocess.run(
        [sys.executable, "-m", "portal", "compare", str(YEAR_FILE), str(RIG_FILE), str(floor)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )

    assert ran.stderr == ""
    assert ran.stdout.startswith("floor: nothing is lost at 26 of 27 gigs, and the splitter stays at home at 23.")
    assert "  2 House engineer, 24 inputs     mix    ·" in ran.stdout
    assert "Lift the rack, and anything else that is heavy, with two people." in ran.stdout


def test_json_holds_every_cell(floor: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Other software gets each rig at each room with what is given up and what binds."""
    assert run_compare(YEAR_FILE, (RIG_FILE, floor), as_json=True) == 0
    told = json.loads(capsys.readouterr().out)

    assert [rig["lose_nothing"] for rig in told["rigs"]] == [23, 26]
    ten = told["rigs"][1]["cells"][2]
    assert ten["binds"] == ["10 working inputs free for this band"]
    assert ten["given"][0] == {"step": "overhead-before-sums", "count": 2}


def test_csv_holds_a_row_for_each_rig_and_gig(floor: Path, capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    """A spreadsheet gets bare numbers and quoted texts."""
    assert run_compare(YEAR_FILE, (RIG_FILE, floor), as_csv=True) == 0
    rows = list(csv.DictReader(io.StringIO(capfdbinary.readouterr().out.decode("utf-8-sig"), newline="")))

    assert len(rows) == 10
    assert [row["Plugs"] for row in rows[5:]] == ["20", "64", "44", "20", "64"]
    assert rows[7]["Splitter carried"] == "Floor splitter"


def test_a_gig_without_any_plan_returns_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where a gig has no plan with any of the rigs the program says so to the shell."""
    year = written(tmp_path, 'schema = 1\n[[room]]\nname = "No way in"\nanswers.inputs-free = { value = 0 }\n')

    assert run_compare(year, (RIG_FILE,)) == 1
    assert "none" in capsys.readouterr().out


def test_a_year_without_gigs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing to compare at is said, with what to do."""
    assert "There is no gig to compare at. Add a gig or a typical room." in refused(
        capsys, written(tmp_path, "schema = 1\n")
    )


def test_a_year_of_one_gig_says_what_it_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One gig is compared, and said to be no year."""
    assert run_compare(written(tmp_path, 'schema = 1\n[[room]]\nname = "The Barn"\n'), (RIG_FILE,)) == 0
    assert "This is one gig: it says nothing about a year." in capsys.readouterr().out


def test_a_rig_that_changes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A candidate that is today's rig is refused by the name of its file."""
    same = written(tmp_path, RIG_FILE.read_text("utf-8"), "same.toml")

    assert "same.toml: the rig is the same as the first. Change something in it, or leave it out." in refused(
        capsys, YEAR_FILE, RIG_FILE, same
    )


def test_more_than_sixty_different_rooms(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Sixty-one rooms that differ are refused with the number and what to do; equal ones count once."""
    room = '[[room]]\nname = "Room"\nanswers.inputs-free = {{ value = {} }}\n'
    many = "schema = 1\n" + "".join(room.format(number) for number in range(10, 71))

    said = refused(capsys, written(tmp_path, many))
    assert "There are 61 different rooms; 60 at most can be compared, equal ones counted once." in said

    alike = "schema = 1\n" + room.format(24) * 61
    assert run_compare(written(tmp_path, alike), (RIG_FILE,)) == 0


def test_a_rig_without_a_mixer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Of a rig without a mixer nothing can be said, and that is said."""
    bare = written(tmp_path, 'schema = 1\n[[source]]\nkey = "a"\nlabel = "Voice"\n', "bare.toml")

    assert "bare.toml: mixer: the rig has no mixer. Enter its inputs and outputs first" in refused(
        capsys, YEAR_FILE, bare
    )


def test_too_many_rigs(capsys: pytest.CaptureFixture[str], floor: Path) -> None:
    """Today's rig and four others is the most."""
    assert "6 rigs are too many" in refused(capsys, YEAR_FILE, RIG_FILE, *[floor] * 5)


def test_every_fault_of_a_year_is_told_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Wrong keys, counts, days, answers and configurations are each named with their place."""
    year = written(
        tmp_path,
        'schema = 2\nname = 7\nminutes = 0\nplace = "x"\n'
        '[[room]]\nname = ""\ncount = 0\non = "soon"\nanswers.inputs-free = { value = "many" }\n'
        '[[room]]\nname = "a\\u0007"\nanswers = 3\n[[room]]\nname = "b"\nroom = 1\n',
    )
    said = refused(capsys, year)

    for place in (
        "schema: expected the number 1",
        "name: expected a text",
        "minutes: expected a whole number from 1 to 600",
        "place: expected one of",
        "room[0].name: expected the name of a gig or room",
        "room[0].count: expected a whole number from 1 to 400",
        "room[0].on: expected a date",
        "room[0].answers.inputs-free.value: expected",
        "room[1].name: expected text without control characters",
        "room[1].answers: expected a table of answers",
        "room[2].room: expected one of",
    ):
        assert place in said

    other = written(tmp_path, 'schema = 1\n[[room]]\nname = "a"\nconfiguration = "duo"\n')
    assert "room[0].configuration: expected a configuration of rig.toml" in refused(capsys, other)


@pytest.mark.parametrize("text", ["[]", "7", '{"schema": 1, "room": "x"}', '{"schema": 1, "room": [3]}'])
def test_what_is_no_year_is_said(text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file of another shape has a sentence as well, and never a trace."""
    assert "expected a" in refused(capsys, written(tmp_path, text, "year.json"))
