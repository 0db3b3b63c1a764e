"""A hostile text costs no more than its size: twice the text, twice the steps."""

import pytest

from portal.exchange.house_spec.reader import MOST_SIGNS, read_spec
from tests.steps import Steps

SIZE = 2_000
MOST_GROWTH = 2.4
"""Steps for twice the text; the first use of a word costs a little more than its repeats."""

HOSTILE = {
    "blanks": " ", "newlines": "\n", "one letter a line": "a\n", "digits": "1", "numbers": "1 ", "commas": ",",
    "slashes": "1/", "sizes": "2x",
    "dots": ". ", "leaders": ".... a ", "bars": "a|", "semicolons": "a;\n", "tabs": "a\t", "brackets": "(",
    "boxes": "[x] ", "quotes": "'",
    "at signs": "a@",
    "short words": "a.", "plus": "+0", "zeros": "0 ", "inputs": "32 inputs ", "denials": "no ", "capitals": "Abc De ",
    "accents": "é",
    "combining": "e\N{COMBINING ACUTE ACCENT}", "grown together": "stagebox", "broken words": "a-\nb",
    "kept": "inputs 1-2 reserved, ",
    "ratings": "2 x 16 A ",
    "questions": "a? ", "labels": "a: ", "pairs of labels": "a/b: 1/2\n", "bands": "470-480 MHz ", "pages": "page 1\n",
    "headings": "MONITORS:\n",
    "items": "1. a\n", "addresses": "http://", "curfews": "half eleven curfew ",
    "contacts": "Contact: Abc Def 01632 960 123\n",
    "table": "label     value 32\n",
}  # fmt: skip


def steps(text: str) -> int:
    """How many calls it takes to read a text."""
    with Steps() as taken:
        read_spec(text)
    return taken.count


@pytest.mark.parametrize("piece", HOSTILE.values(), ids=HOSTILE)
def test_twice_the_text_is_twice_the_work(piece: str) -> None:
    """No run of signs makes the reader look at the same place again and again."""
    text = piece * (2 * SIZE // len(piece))
    read_spec(text[: SIZE // 10])
    once, twice = steps(text[:SIZE]), steps(text[: 2 * SIZE])
    assert twice <= MOST_GROWTH * once + SIZE


def test_deeper_and_deeper_rows_are_no_tower() -> None:
    """Each row names those below and further in, up to a few."""
    lines = ["label " + "x" * 60 + "     1"] + [" " * (2 + number % 50) + "ab   32" for number in range(400)]
    half = "\n".join(lines[:201])
    once, twice = steps(half), steps("\n".join(lines))
    assert twice <= MOST_GROWTH * once + SIZE


def test_what_lies_beyond_the_limit_costs_nothing() -> None:
    """Two megabytes are read as far as the limit goes."""
    text = "Capacity 300 people. " * 3000
    assert len(text) >= MOST_SIGNS
    once = steps(text[:MOST_SIGNS])
    assert steps(text * 30) <= once * 1.1
