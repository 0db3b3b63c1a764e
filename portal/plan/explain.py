"""What a rule says: its key and parameters as a phrase, with the facts that it rests on."""

from __future__ import annotations

from collections.abc import Mapping

from portal.plan.model import Fact, Reason, Remedy, Statement
from portal.plan.phrase import Phrase, Value, sentences
from portal.plan.registry import RULES, Finding


class ReasonWithoutFacts(AssertionError):  # noqa: N818 - a defect of a rule, named for what it lacks
    """A reason that rests on nothing is no reason."""


def reason(
    key: str,
    parameters: Mapping[str, Value],
    facts: tuple[Fact, ...],
    *,
    variant: str = "",
    then: Phrase | None = None,
) -> Reason:
    """The reason of one rule, with another sentence behind it. Raises ``ReasonWithoutFacts`` where nothing is cited."""
    if not facts:
        raise ReasonWithoutFacts(key)
    said = Phrase(_key(key, variant), {name: parameters[name] for name in RULES[key].slots})
    return Reason(key, sentences(said, then), facts)


def statement(key: str, finding: Finding, remedies: tuple[Remedy, ...] = ()) -> Statement:
    """The statement of one check."""
    if not finding.facts:
        raise ReasonWithoutFacts(key)
    said = Phrase(_key(key, finding.variant), finding.parameters)
    return Statement(key, str(RULES[key].level), said, finding.facts, remedies)


def _key(key: str, variant: str) -> str:
    return f"{key}.{variant}" if variant else key


def count_of(number: int, one: str, many: str = "") -> str:
    """A number with its noun: 1 line, 4 lines."""
    return f"{number} {one if number == 1 else many or one + 's'}"
