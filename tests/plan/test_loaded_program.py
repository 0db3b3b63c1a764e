"""The search for the best choice, against going through every choice of small programmes."""

from collections import Counter
from collections.abc import Iterator
from itertools import product
from random import Random

import pytest

from portal.plan.options.program import Pick, Program
from portal.plan.solving import loaded_program
from portal.plan.solving.loaded_program import LoadedProgram, Terms, total

SEEDS = range(120)


def small(seed: int) -> tuple[Program, list[Terms]]:
    """A programme of a few picks, some of units that have exactly one, and priorities over it."""
    random = Random(seed)  # noqa: S311 - a programme by number, not a secret
    program = Program()
    for unit in range(random.randint(0, 3)):
        indexes = [program.add(Pick(f"{unit}|{one}", "", (str(unit),))) for one in range(random.randint(2, 3))]
        program.exactly(dict.fromkeys(indexes, 1), 1)
    for one in range(random.randint(1, 3)):
        program.add(Pick(f"thing {one}", "", most=random.choice([1, 1, 2, 3])))
    for _ in range(random.randint(1, 5)):
        terms = {index: random.randint(-3, 3) for index in range(len(program.picks)) if random.random() < 0.6}
        (program.at_most if random.random() < 0.6 else program.at_least)(terms, random.randint(-3, 4))
    some = range(len(program.picks))
    return program, [{index: random.randint(-1, 6) for index in some} for _ in range(3)]


def choices(program: Program) -> Iterator[Terms]:
    """Every choice that keeps the rows."""
    for counts in product(*(range(pick.most + 1) for pick in program.picks)):
        chosen = dict(enumerate(counts))
        sums = [(total(dict(row.terms), chosen), row) for row in program.rows]
        if all((row.lo is None or row.lo <= at) and (row.hi is None or at <= row.hi) for at, row in sums):
            yield chosen


@pytest.mark.parametrize("most_branches", [loaded_program.MOST_BRANCHES, 3, 0])
def test_the_best_choice_is_the_best_of_all(most_branches: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """By branches of its own, by the solver's search, and where it changes from one to the other; one priority after
    another, each kept for the next.
    """
    monkeypatch.setattr(loaded_program, "MOST_BRANCHES", most_branches)
    seen = Counter[bool]()
    for seed in SEEDS:
        program, wanted = small(seed)
        left = list(choices(program))
        loaded = LoadedProgram(program)
        chosen: Terms | None = None
        for weights in wanted:
            chosen, proven = loaded.minimise(weights, chosen)
            assert proven
            seen[chosen is not None] += 1
            if chosen is None:
                assert not left, f"programme {seed}"
                break
            least = min(total(weights, one) for one in left)
            assert total(weights, chosen) == least, f"programme {seed}"
            assert any(all(one[index] == chosen.get(index, 0) for index in one) for one in left), f"programme {seed}"
            left = [one for one in left if total(weights, one) == least]
            loaded.keep(weights, least)
    assert min(seen[True], seen[False]) > 20


def test_a_known_choice_comes_back_where_none_is_better() -> None:
    """It is returned as it was given; what is better takes its place."""
    program = Program()
    picks = [program.add(Pick(str(one), "")) for one in range(3)]
    program.at_least(dict.fromkeys(picks, 1), 1)
    loaded = LoadedProgram(program)
    assert loaded.minimise({0: 2, 1: 2, 2: 3}, {1: 1}) == ({1: 1}, True)
    assert loaded.minimise({0: 2, 1: 1, 2: 3}, {0: 1}) == ({1: 1}, True)
