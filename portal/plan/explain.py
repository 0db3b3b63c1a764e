"""The only writer: a rule's key and parameters become a sentence here and nowhere else."""

from __future__ import annotations

from collections.abc import Mapping

from portal.plan.model import Fact, Reason, Remedy, Statement
from portal.plan.registry import RULES, Finding


class ReasonWithoutFacts(AssertionError):  # noqa: N818 - a defect of a rule, named for what it lacks
    """A reason that rests on nothing is no reason."""


def reason(key: str, parameters: Mapping[str, str], facts: tuple[Fact, ...]) -> Reason:
    """The finished reason of one rule. Raises ``ReasonWithoutFacts`` where nothing is cited."""
    if not facts:
        raise ReasonWithoutFacts(key)
    return Reason(key, sentence(key, parameters), facts)


def statement(key: str, finding: Finding, remedies: tuple[Remedy, ...] = ()) -> Statement:
    """The finished statement of one check."""
    rule = RULES[key]
    if not finding.facts:
        raise ReasonWithoutFacts(key)
    return Statement(key, str(rule.level), sentence(key, finding.parameters), finding.facts, remedies)


def sentence(key: str, parameters: Mapping[str, str]) -> str:
    """A rule's sentence with its parameters filled in, starting with a capital and ending with a full stop."""
    text = " ".join(RULES[key].sentence.format(**parameters).split())
    text = text[0].upper() + text[1:]
    return text if text.endswith((".", "?")) else text + "."


def count_of(number: int, one: str, many: str = "") -> str:
    """A number with its noun: 1 line, 4 lines."""
    return f"{number} {one if number == 1 else many or one + 's'}"
