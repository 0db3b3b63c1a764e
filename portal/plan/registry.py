"""Every rule once: permanent key, phase, level, and the long answer to "why?".

A key is kebab-case, says the subject and is never re-used. What a rule says is a phrase of this key, put into words by
``portal/wording/plan``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from portal.plan.model import Fact, Level
from portal.plan.phrase import Value
from portal.plan.result.unchecked_plan import UncheckedPlan

EXAMPLE = " Example: "
"""What stands before the example in a rule's long text."""


@dataclass(frozen=True)
class Rule:
    """One rule. ``phase``: column, resource or check. ``level`` is ``None`` for a rule that explains a line.

    ``title`` is what is to settle, in a few words. ``slots``: the parameters of what it says of a line.
    """

    key: str
    phase: str
    level: Level | None
    title: str
    why: str
    slots: tuple[str, ...] = ()

    @property
    def explained(self) -> str:
        """``why`` without its example."""
        return self.why.partition(EXAMPLE)[0]

    @property
    def example(self) -> str:
        """The example at the end of ``why``; empty where there is none."""
        return self.why.partition(EXAMPLE)[2]


@dataclass(frozen=True)
class Finding:
    """What a check found: the parameters of its sentence, the facts it rests on, and which of its sentences it is,
    where it has several.
    """

    parameters: Mapping[str, Value]
    facts: tuple[Fact, ...]
    variant: str = ""


Check = Callable[[UncheckedPlan], Iterable[Finding]]

RULES: dict[str, Rule] = {}
CHECKS: dict[str, Check] = {}


def enter(rule: Rule) -> Rule:
    """Enter a rule; raises ``ValueError`` for a key that is not kebab-case, is used, or comes without its words."""
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", rule.key) or rule.key in RULES:
        raise ValueError(f"rule key {rule.key!r} is not kebab-case or is used already")
    if not (rule.title and rule.why):
        raise ValueError(f"rule {rule.key!r} lacks a title or its why")
    RULES[rule.key] = rule
    return rule


def check(key: str, level: Level, title: str) -> Callable[[Check], Check]:
    """Register a check on the finished plan; its docstring is the long "why?"."""

    def register(function: Check) -> Check:
        enter(Rule(key, "check", level, title, " ".join((function.__doc__ or "").split())))
        CHECKS[key] = function
        return function

    return register
