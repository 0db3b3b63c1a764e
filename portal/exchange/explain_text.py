"""Why one thing of a plan is as it is, as text for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from portal.plan.input.facts import ORIGIN_WORDS, Answers, Facts
from portal.plan.input.rig import Rig
from portal.plan.model import Line, NoPlan, NotSent, Plan, Reason
from portal.plan.registry import RULES
from portal.plan.result.figures import figures_of
from portal.plan.result.spelling import WHERE
from portal.wording.plan.saying import say

WIDTH = 100


def explain_text(rig: Rig, answers: Answers, outcome: Plan | NoPlan, about: str) -> str | None:
    """The reasons of a line, of a source that stays out, or of a rule; ``None`` where nothing bears that name."""
    wanted = about.strip().casefold()
    if isinstance(outcome, Plan):
        line = next((line for line in outcome.lines if wanted in (str(line.line), line.label.casefold())), None)
        if line is not None:
            return "\n".join(_line(line, outcome, Facts(rig, answers)))
        kept = next((source for source in outcome.not_sent if source.label.casefold() == wanted), None)
        if kept is not None:
            return "\n".join(_kept(kept))
    return "\n".join(_rule(wanted)) if wanted in RULES else None


def _line(line: Line, plan: Plan, facts: Facts) -> Iterable[str]:
    where = "over the digital link" if line.box_socket is None else f"stage box input {line.socket}"
    yield f"Line {line.line}, {line.label}: {where}, desk channel {line.desk_channel}"
    yield from _reasons(line.because)
    figures = figures_of(line, plan.lines, facts)
    if figures:
        yield ""
        yield "The numbers behind it"
    for figure in figures:
        yield f"  {say(figure.what)}: {say(figure.value)}" + ("  (look at this one)" if figure.careful else "")
        yield from _wrapped(say(figure.basis), "    ")


def _kept(source: NotSent) -> Iterable[str]:
    yield f"{source.label}: {WHERE[source.where]}"
    yield from _reasons(source.because)


def _reasons(reasons: Sequence[Reason]) -> Iterable[str]:
    for number, one in enumerate(reasons, start=1):
        yield ""
        yield from _wrapped(f"{number}. {say(one.said)}", "")
        for fact in one.facts:
            who = f"{ORIGIN_WORDS.get(fact.origin, fact.origin)}{f' on {fact.on}' if fact.on else ''}"
            yield f"   {who}: {say(fact.value)}"
        yield from _wrapped(f"Why ({one.key}): {RULES[one.key].why}", "   ")


def _rule(key: str) -> Iterable[str]:
    rule = RULES[key]
    yield f"{key}: {rule.title}" + (f" ({rule.level})" if rule.level else "")
    yield from _wrapped(rule.why, "")


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)
