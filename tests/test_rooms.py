"""Every room has tests that answer for it, every test answers for a room, and no room is crowded without a reason."""

from collections import Counter
from pathlib import Path

import pytest

from tests.rooms import LAWS, MANY, ROOMS, ROOT, chosen_for, room_of

MOST_FILES = 15


def files_by_folder(*tops: str) -> Counter[str]:
    """How many files of code or pages each folder holds."""
    return Counter(
        path.parent.relative_to(ROOT).as_posix()
        for top in tops
        for path in (ROOT / top).rglob("*")
        if path.is_file() and path.suffix in {".py", ".html", ".js", ".css"} and path.name != "__init__.py"
    )


FOLDERS = sorted(files_by_folder("portal", "templates", "static", "migrations"))
NAMED = {test for tests in ROOMS.values() for test in tests.split()} | set(LAWS)


@pytest.mark.parametrize("folder", FOLDERS)
def test_a_room_has_its_tests(folder: str) -> None:
    """Each folder that holds code or pages belongs to a room; a family of screens and a step of the engine is a room of
    its own.
    """
    room = room_of(f"{folder}/a_file")

    assert room != "portal" or folder == "portal"
    if folder.startswith(("portal/web/", "portal/plan/")):
        assert room == folder


def test_the_tests_that_are_named_are_there() -> None:
    """No entry of the table names a file or a folder that is gone, and no room stands for a folder that is gone."""
    assert [test for test in sorted(NAMED) if not (ROOT / test).exists()] == []
    assert [room for room in ROOMS if not (ROOT / room).is_dir()] == []


def test_no_test_is_forgotten() -> None:
    """Each test file answers for at least one room, itself or with its folder."""
    files = [path.relative_to(ROOT) for path in (ROOT / "tests").rglob("test_*.py")]

    assert [str(file) for file in files if not NAMED & {file.as_posix(), *(up.as_posix() for up in file.parents)}] == []


def why_crowded(folder: str) -> bool:
    """Whether the README of the folder, or else the one of the folder above, says why so many files stand together."""
    place = ROOT / folder
    said = [(place / "README.md", "This room"), (place.parent / "README.md", f"`{place.name}/`")]
    return any(
        file.exists() and f"{name} holds more than fifteen files because" in file.read_text("utf-8")
        for file, name in said
    )


def test_a_crowded_room_says_why() -> None:
    """A folder with more than fifteen files has the sentence that says why it is one room; no other folder has it."""
    files = files_by_folder("portal", "templates", "static", "migrations", "tests")

    assert {folder for folder, count in files.items() if count > MOST_FILES} == {
        folder for folder in files if why_crowded(folder)
    }


@pytest.mark.parametrize(
    ("path", "room"),
    [
        ("portal/app.py", "portal"),
        ("portal/plan/reconcile.py", "portal/plan"),
        ("portal/plan/rules/phantom.py", "portal/plan/rules"),
        ("portal/exchange/house_spec/words/dutch.py", "portal/exchange/house_spec"),
        ("templates/rig/rig_row.html", "portal/web/rig"),
        ("templates/print/labels.html", "templates/print"),
        ("static/vendor/htmx-4.0.1/htmx.min.js", "static"),
        ("README.md", ""),
    ],
)
def test_a_file_belongs_to_the_nearest_room(path: str, room: str) -> None:
    """The longest name that a path begins with is its room."""
    assert room_of(path) == room


def test_what_is_touched_runs_its_rooms_tests_and_the_laws() -> None:
    """One file brings its room's tests; a changed test runs itself; a changed module of the tests brings some that read
    it; the laws always run.
    """
    assert set(ROOMS["portal/plan/rules"].split()) < set(chosen_for(["portal/plan/rules/phantom.py"]))
    assert "tests/plan/test_packing.py" in chosen_for(["tests/plan/test_packing.py"])
    assert any("tests.builders" in Path(ROOT, test).read_text("utf-8") for test in chosen_for(["tests/builders.py"]))
    assert set(LAWS) == set(chosen_for(["README.md"]))


def test_whoever_touches_much_runs_the_first_test_of_each_room() -> None:
    """From a number of rooms on, each brings its most telling test alone."""
    web = [f"portal/web/{name}/a_file.py" for name in ("rig", "gig", "day", "house", "plan")]

    assert len(web) > MANY
    assert len(chosen_for(web)) == len(web) + len(LAWS)
