"""Reading costs no more than in proportion to what is read: counted in calls of functions, for one length and twice
that length.
"""

import contextlib
from collections.abc import Callable

import pytest

from portal.exchange.band_list import reading
from portal.exchange.band_list.pasted import read_text
from portal.exchange.band_list.pasted_rows import PastedRow
from portal.exchange.band_list.proposing import propose
from portal.exchange.band_list.taking_over import sources_of
from portal.exchange.band_list.telling_apart import told_apart
from portal.exchange.band_list.words import label_words
from portal.exchange.faults import NotReadable
from portal.plan.input.rig import Source
from tests.exchange.own_lists import accepted
from tests.steps import Steps

MOST = 2.4
"""How many times as many calls twice the length may take; what grows with the square takes four times."""

WORDS = (
    "kick",
    "zorbl",
    "dynamic",
    "wedge",
    "we",
    "need",
    "vocal",
    "snaer",
    "x3",
    "and",
    "L/R",
    "(2 mics)",
    "DI + mic",
    "top/bottom",
)


def calls(work: Callable[[], object]) -> int:
    """Calls of functions, of the interpreter's own too, that the work takes with nothing remembered."""
    label_words.parsed_label.cache_clear()
    label_words._compound.cache_clear()
    reading._close.cache_clear()
    with Steps() as steps:
        work()
    return steps.count


def grows(work: Callable[[int], Callable[[], object]], length: int) -> float:
    """How many times as many calls twice the length takes."""
    return calls(work(2 * length)) / calls(work(length))


def words(at: int, many: int) -> str:
    return " ".join(f"{WORDS[(at * 7 + place * 5) % len(WORDS)]}" for place in range(many))


TEXTS: dict[str, Callable[[int], str]] = {
    "short lines": lambda many: "\n".join(f"Kick {words(at, 2)}" for at in range(many)),
    "sentences": lambda many: "\n".join(words(at, 14) for at in range(many)),
    "numbered": lambda many: "\n".join(f"{at}. {words(at, 3)}" for at in range(1, many)),
    "numbers behind": lambda many: "\n".join(f"vocal: {at % 3}" for at in range(many)),
    "headings": lambda many: "\n".join(["Monitors", "Inputs:"] * (many // 2)),
    "cells below": lambda many: "\n".join(["Kick", *["dynamic mic"] * many]),
    "one cell a line": lambda many: "\n".join(f"{at}\nvocal\ndynamic" for at in range(1, many // 3)),
    "tabs": lambda many: "\n".join(f"{at}\tvocal {at}\tdynamic\t{words(at, 3)}" for at in range(1, many // 4)),
    "headings of tables": lambda many: "\n".join(["Label\tMic\tStand"] * many),
    "aligned": lambda many: "\n".join(f"{at:<5}vocal     dynamic   short" for at in range(many // 4)),
    "one long line": lambda many: words(1, 40 * many),
    "one line of commas": lambda many: "kick, " * many,
    "one line of bullets": lambda many: "- " * 40 * many,
    "one line of gaps": lambda many: "a   b   " * 20 * many,
    "one line of tabs": lambda many: "a\t" * 20 + "x " * 20 * many,
}


@pytest.mark.parametrize("name", TEXTS)
def test_a_text_costs_no_more_than_its_length(name: str) -> None:
    """Twice the lines, or one line of twice the length, take twice the calls at most."""

    def work(many: int) -> Callable[[], object]:
        text = TEXTS[name](many)

        def read() -> None:
            with contextlib.suppress(NotReadable):  # too many rows cost what they cost
                read_text(text)

        return read

    assert grows(work, 400) <= MOST


LABELS: dict[str, Callable[[int], str]] = {
    "one label": lambda _: "Vocal",
    "quantities": lambda at: f"{at % 3 + 1} toms",
    "left": lambda _: "Gtr L",
    "sides": lambda at: f"Keys {'LR'[at % 2]}",
    "second microphones": lambda at: f"Bass {('DI', 'mic')[at % 2]}",
    "names": lambda at: f"Vocal Bo{'abcdefgh'[at % 8]}",
    "unknown": lambda at: f"Zorbl{'abcdefgh'[at % 8]}",
}


@pytest.mark.parametrize("name", LABELS)
def test_rows_cost_no_more_than_their_number(name: str) -> None:
    """Proposing, making sources and telling them apart: twice the rows take twice the calls."""

    def work(many: int) -> Callable[[], object]:
        rows = [PastedRow(str(at), LABELS[name](at), line=at) for at in range(1, many + 1)]

        def take() -> None:
            numbers = iter(range(10_000))
            told_apart([source for _, source in sources_of(accepted(propose(rows)), lambda: f"k{next(numbers)}")])

        return take

    assert grows(work, 60) <= MOST


def test_numbering_costs_no_more_than_the_rows() -> None:
    """Equal labels beside numbers that are taken: each number is tried once."""

    def work(many: int) -> Callable[[], object]:
        beside = [Source(key=f"t{at}", label=f"Vocal {at}") for at in range(many)]
        rows = [Source(key=f"k{at}", label="Vocal") for at in range(many)]
        return lambda: told_apart(rows, beside)

    assert grows(work, 200) <= MOST


@pytest.mark.parametrize(
    "label",
    [
        "x" * 200,
        "( " * 100,
        "1 x " * 50,
        "and " * 50,
        "a/b" * 66,
        "- " * 100,
        "kick in/out " * 16,
        "9" * 200,
        " " * 199 + "x",
    ],
)
def test_a_label_costs_no_more_than_its_length(label: str) -> None:
    """Half a label takes half the calls, whatever signs it is made of."""
    half, whole = (calls(lambda text=text: reading.read_label(text)) for text in (label[: len(label) // 2], label))
    assert whole <= MOST * max(half, 200)
