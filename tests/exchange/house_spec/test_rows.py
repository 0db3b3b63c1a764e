"""How a text's lines become rows: tables, columns, headings, broken sentences, filled-in forms."""

import pytest

from portal.exchange.house_spec.reader import read_spec
from portal.exchange.house_spec.text.layout import rows
from portal.exchange.house_spec.text.statements import statements


def lines(text: str) -> list[str]:
    """The rows' cells, joined by bars."""
    return ["|".join(text[slice(*cell)] for cell in row.cells) for row in rows(text)]


def found(text: str) -> dict[str, object]:
    """Values by topic."""
    return {one.topic: one.value for one in read_spec(text).proposals}


def test_columns_are_read_one_after_the_other() -> None:
    """Two columns that both speak for themselves are two texts."""
    text = "STAGE                    POWER\nSize: 8 x 6 m            2 x 16A\nHeight: 1 m              1 x 32A CEE\n"
    assert lines(text) == ["STAGE", "Size: 8 x 6 m", "Height: 1 m", "POWER", "2 x 16A", "1 x 32A CEE"]


def test_a_table_keeps_labels_and_values_together() -> None:
    """Left cells without numbers name what stands right of them."""
    text = "Stage size        8 x 6 m\nStage height      1 m\nPA                Stereo\n"
    assert lines(text) == ["Stage size|8 x 6 m", "Stage height|1 m", "PA|Stereo"]


def test_a_label_names_the_rows_below_it() -> None:
    """A row that begins further in belongs to the label above."""
    text = "Stage      Width       9 m\n           Depth       7 m\n           Height      1 m\n"
    assert found(text) == {"stage-size": "9 x 7 m", "stage-height": 100}


@pytest.mark.parametrize(
    "text",
    [
        "Wedges\t8\nMonitor mixes\t6\n",
        "Wedges | 8\nMonitor mixes | 6\n",
        "Wedges;8\nMonitor mixes;6\nPA;stereo\n",
        "Wedges ...... 8\nMonitor mixes ..... 6\n",
    ],
)
def test_cells_are_parted_by_tabs_bars_semicolons_or_dots(text: str) -> None:
    """Whatever sets labels and values apart."""
    assert found(text) | {"pa": "stereo"} == {"wedge-count": 8, "wedge-mixes": 6, "pa": "stereo"}


def test_a_page_head_is_read_once() -> None:
    """The head of each page is no part of the sentence that it interrupts."""
    text = "Big Hall - spec page 1\nThe stage is 9 m wide and\n\fBig Hall - spec page 2\n7 m deep.\n"
    assert lines(text)[:2] == ["Big Hall - spec page 1", "The stage is 9 m wide and"]
    assert sum("Big Hall" in line for line in lines(text)) == 1


def test_a_word_parted_at_the_end_of_its_line_is_made_whole() -> None:
    """The hyphen and the break go, and the offsets still show both halves."""
    text = "Es gibt eine Stage-\nbox mit 24 Ein-\ngängen an der Rück-\nwand der Bühne."
    (box,) = [one for one in read_spec(text).proposals if one.topic == "box-inputs"]
    assert box.value == 24
    assert box.words == text[box.start : box.end]


def test_a_heading_says_what_its_lines_are_about() -> None:
    """Until the next heading; numbers of headings count nothing."""
    (first, _, third, _) = statements("1. Monitors\n6 on 4 mixes\n\n2. Power\n16A\n")
    assert first.heading
    assert third.heading
    assert "count" not in {token.kind for token in first.tokens}
    assert found("MONITORS:\nfour, on two mixes, from FOH\n")["monitor-desk"] == "front"


def test_boxes_that_are_not_ticked_say_nothing() -> None:
    """Only what is ticked is read."""
    assert found("Splitter: [ ] yes [x] no")["house-split"] == "no"
    assert found("48 V: ☑ per channel ☐ in banks of 8")["phantom-switching"] == "per-channel"


def test_an_answer_behind_its_question_is_a_value() -> None:
    """A short question is the label of what follows on its line."""
    assert found("9. How many monitor mixes?  6")["wedge-mixes"] == 6
    assert found("Is there a split?  NO")["house-split"] == "no"


def test_two_labels_with_two_values_are_two_rows() -> None:
    """Parted by a slash on both sides, or one after the other."""
    assert found("Monitor mixes / wedges: 5 / 7") == {"wedge-mixes": 5, "wedge-count": 7}
    assert found("front fill: yes / delay: no") == {"front-fills": "yes", "delays": "no"}
