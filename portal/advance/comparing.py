"""What another rig, other answers or other agreements would make of a plan, in words. Nothing of it is stored."""

from collections.abc import Sequence
from dataclasses import dataclass

from portal.advance.solver.process import Solvers
from portal.advance.solver.wishes import Change, CompareWish, Texts
from portal.plan.input.facts import Answers, Lock
from portal.plan.input.rig import Rig


@dataclass(frozen=True)
class Ifs:
    """What a plan would be computed from."""

    rig: Rig
    answers: Answers
    locks: Sequence[Lock]

    @property
    def texts(self) -> Texts:
        """What a solver is given of it."""
        return Texts.of(self.rig, self.answers, self.locks)


def compare(solvers: Solvers, now: Ifs, then: Ifs) -> Change:
    """What changes from the one to the other. End the transaction that ``now`` was read in first. Raises
    ``NotSolved``.
    """
    return solvers.ask(CompareWish(now.texts, then.texts))
