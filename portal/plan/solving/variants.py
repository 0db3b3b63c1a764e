"""What variants of one gig have in common: most answers that are tried leave its programme as it was."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from portal.plan.input.facts import Answer, Answers, Facts, Lock
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig
from portal.plan.options.gig_program import write_program
from portal.plan.options.routing_options import RoutingOptions
from portal.plan.solving.solve import Failure, Solution, Solved, solve_once


class _Watched(Mapping[str, Answer]):
    """Answers that note which questions were looked up, answered or not."""

    def __init__(self, answers: Answers) -> None:
        self._answers = answers
        self.read: dict[str, Answer | None] = {}

    def __getitem__(self, key: str) -> Answer:
        self.read[key] = self._answers.get(key)
        return self._answers[key]

    def __iter__(self) -> Iterator[str]:
        # Whoever goes through all of them reads every one, also where none is.
        self.read |= {key: self._answers.get(key) for key in QUESTIONS}
        return iter(self._answers)

    def __len__(self) -> int:
        return len(self._answers)


@dataclass(frozen=True)
class _Written:
    """A programme, what it was written from, and what it came to."""

    rig: Rig
    locks: tuple[Lock, ...]
    read: Mapping[str, Answer | None]
    options: RoutingOptions
    outcome: Solution | Failure

    def holds(self, facts: Facts, locks: Sequence[Lock], *, forced_mix: bool) -> bool:
        """Whether the programme of a variant is this one: nothing that was looked up is otherwise."""
        return (
            self.options.forced_mix == forced_mix
            and all(facts.answers.get(key) == answer for key, answer in self.read.items())
            and self.locks == tuple(locks)
            and self.rig == facts.rig
        )


@dataclass
class Variants:
    """The programmes that were written for variants of a gig, each once, and what they came to."""

    _written: list[_Written] = field(default_factory=list)
    _solved: Solved = field(default_factory=dict)

    def solve(
        self, facts: Facts, locks: Sequence[Lock], *, forced_mix: bool
    ) -> tuple[RoutingOptions, Solution | Failure]:
        """The programme of a variant and its best solution."""
        for one in self._written:
            if one.holds(facts, locks, forced_mix=forced_mix):
                return replace(one.options, facts=facts), one.outcome
        watched = _Watched(facts.answers)
        options = write_program(Facts(facts.rig, watched), locks, forced_mix=forced_mix)
        # A programme with another history may still be the same text.
        outcome = solve_once(options.program, self._solved)
        self._written.append(_Written(facts.rig, tuple(locks), watched.read, options, outcome))
        return replace(options, facts=facts), outcome
