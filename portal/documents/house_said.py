"""What the house said, as a section of a paper: every answer that people need on the night, whole, with who said it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from portal.documents.cover import Cover
from portal.documents.patch.patch_rows import NONE
from portal.documents.rendering.printed import Printed, clean
from portal.plan.input.answer_kinds import Text
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import MAX_TEXT
from portal.wording.answers import Told, told
from portal.wording.catalogue import Words, gettext, mark
from portal.wording.times import say_day_of_year

SHORT = 60
"""An answer of one line up to this length needs no row of its own."""

SAID_BY = Words({"house": mark("house"), "band": mark("band"), "assumed": mark("assumed")})

MOST_LINES = 60
"""Words of more lines run on, so that short lines do not fill page after page."""


@dataclass(frozen=True)
class SaidRow:
    """One answer behind its label; ``by`` says who said it, and when, or that it is assumed."""

    label: str
    lines: tuple[str, ...]
    by: str
    assumed: bool

    @property
    def short(self) -> bool:
        """True where it can stand beside another one."""
        return len(self.lines) == 1 and len(self.lines[0]) <= SHORT


def house_said(cover: Cover, place: str, printed: Printed, above: frozenset[str]) -> tuple[SaidRow, ...]:
    """The answers that are seen at a place, those to the questions ``above`` left out, in the order of the questions,
    short ones first.
    """
    rows = [_row(one, printed) for one in told(cover.answers, place) if one.question not in above]
    return tuple(sorted(rows, key=lambda row: not row.short))


def _row(one: Told, printed: Printed) -> SaidRow:
    by = SAID_BY[one.by]
    if one.on:
        by = gettext("%(who)s, %(day)s", who=by, day=say_day_of_year(date.fromisoformat(one.on)))
    return SaidRow(one.label, _lines(one, printed), by, one.assumed)


def _lines(one: Told, printed: Printed) -> tuple[str, ...]:
    """The words as they were written, line by line. No answer is shortened that its question's kind would take."""
    kind = QUESTIONS[one.question].kind
    longest = kind.longest if isinstance(kind, Text) else MAX_TEXT
    if len(one.words) > longest:
        return (printed(one.words, longest, one.label),)
    lines = tuple(filter(None, map(clean, one.words.splitlines())))
    run_on = " · ".join(lines) or NONE
    return (run_on,) if len(run_on) <= SHORT or len(lines) > MOST_LINES else lines
