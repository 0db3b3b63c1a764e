"""FORMAT.md lists every key of the files."""

import pytest

from portal.exchange.key_list import key_list
from portal.exchange.keys import keys_of
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Mixer, Rig, Source
from tests.exchange.key_list import BEGIN, END, FORMAT, renewed


def test_the_list_is_the_one_of_the_code():
    """The block between the marks in FORMAT.md is the code's; ``python -m tests.exchange.key_list`` renews it."""
    assert renewed(FORMAT.read_text("utf-8")) == FORMAT.read_text("utf-8")


@pytest.mark.parametrize("text", ["", BEGIN, END, END + BEGIN, f"{BEGIN}{END}{BEGIN}{END}"])
def test_a_page_without_its_marks_is_not_written_over(text: str):
    """Where the marks are gone or twice there, nothing is renewed."""
    with pytest.raises(ValueError, match="once each"):
        renewed(text)


def test_every_key_is_in_the_list():
    """Each key of a rig and each question has its row, with a meaning."""
    cells = [row.split(" | ") for row in key_list().splitlines() if row.startswith("| `")]
    listed = {row[0].strip("| `"): row[-1].strip(" |") for row in cells}
    assert len(cells) == len(listed) + 1, "only the format number is in both tables"
    assert all(listed.values())
    assert {f"mixer.{name}" for name in keys_of(Mixer)} <= set(listed)
    assert {f"source[].{name}" for name in keys_of(Source)} <= set(listed)
    assert set(keys_of(Rig)) | set(QUESTIONS) <= set(listed)
