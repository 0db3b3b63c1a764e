"""DEVELOPERS.md lists every key of the files."""

from pathlib import Path

from portal.exchange.key_list import BEGIN, END, key_list
from portal.exchange.keys import keys_of
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Mixer, Rig, Source

DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"


def test_the_list_in_the_manual_is_the_one_of_the_code():
    """The block between the marks in DEVELOPERS.md is what the code says. To renew it: put key_list() there."""
    text = DEVELOPERS.read_text("utf-8")
    assert text.count(BEGIN) == text.count(END) == 1
    assert text.split(BEGIN)[1].split(END)[0] == "\n" + key_list()


def test_every_key_is_in_the_list():
    """Each key of a rig and each question has its row, with a meaning."""
    cells = [row.split(" | ") for row in key_list().splitlines() if row.startswith("| `")]
    listed = {row[0].strip("| `"): row[-1].strip(" |") for row in cells}
    assert len(cells) == len(listed) + 1, "only the format number is in both tables"
    assert all(listed.values())
    assert {f"mixer.{name}" for name in keys_of(Mixer)} <= set(listed)
    assert {f"source[].{name}" for name in keys_of(Source)} <= set(listed)
    assert set(keys_of(Rig)) | set(QUESTIONS) <= set(listed)
