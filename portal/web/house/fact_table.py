"""One table of facts about a stage, for every page where a house confirms or changes some: what stands in each row, and
what its fields are read as.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from portal.exchange.house_spec.topics import FREE_TOPICS, KINDS
from portal.plan.input.answer_kinds import AnswerKind, Choice, Count, NotAnAnswer, Text, Value
from portal.plan.input.facts import Answer
from portal.plan.input.questions import QUESTIONS
from portal.web.frame.forms import Check
from portal.web.questions.answering import NOT_HERE, check_sockets
from portal.wording.answers import read_answer, refused, say_value, write_answer
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up
from portal.wording.formats import headed

TAKE = "take"
"""Name of the ticks before the rows; the value is the row's name."""


MOST_LINES = 4
"""Lines of a field for free words; it grows no higher in a table."""


@dataclass(frozen=True)
class FactRow:
    """One row: the field's name, what it is about, and how it is entered (choice, line or lines).

    ``mark`` is a kind and its word, ``note`` a sentence below the value, ``words`` the passages that it rests on.
    """

    name: str
    topic: str
    label: str
    shape: str
    options: tuple[tuple[str, str], ...] = ()
    inputmode: str = "text"
    rows: int = 1
    mark: tuple[str, str] = ("", "")
    note: str = ""
    words: tuple[str, ...] = ()


def names_of(topics: Iterable[str]) -> list[str]:
    """A field's name for each of some topics in a row: the topic itself, numbered from the second on."""
    counted: dict[str, int] = {}
    names = []
    for topic in topics:
        counted[topic] = counted.get(topic, 0) + 1
        names.append(topic if counted[topic] == 1 else f"{topic}.{counted[topic]}")
    return names


def row_of(
    name: str,
    topic: str,
    *,
    mark: tuple[str, str] = ("", ""),
    note: str = "",
    words: tuple[str, ...] = (),
    empty: str = "",
) -> FactRow:
    """A row for a topic; a choice gets an option with the words ``empty`` where it may stay open."""
    kind = KINDS[topic]
    options = tuple((option.key, look_up(option.words)) for option in kind.options) if isinstance(kind, Choice) else ()
    lines = min(kind.lines, MOST_LINES) if isinstance(kind, Text) else 1
    return FactRow(
        name=name,
        topic=topic,
        label=label_of(topic),
        shape="choice" if isinstance(kind, Choice) else "lines" if lines > 1 else "line",
        options=((("", empty),) if empty and options else ()) + options,
        inputmode="numeric" if isinstance(kind, Count) else "text",
        rows=lines,
        mark=mark,
        note=note,
        words=words,
    )


def label_of(topic: str) -> str:
    """What a topic is called before its value."""
    return look_up(QUESTIONS[topic].seen.label if topic in QUESTIONS else FREE_TOPICS[topic].title)


def entry_of(topic: str, state: str, value: Value | None) -> str:
    """A value as its field holds it."""
    kind = KINDS[topic]
    if state == NOT_HERE:
        return look_up(QUESTIONS[topic].not_here)
    if value is None:
        return ""
    return write_answer(kind, value)


def words_for(topic: str, state: str, value: Value | None) -> str:
    """A value as people read it."""
    return entry_of(topic, state, value) if value is None else say_value(KINDS[topic], value)


def read_rows(check: Check, rows: Sequence[FactRow], *, needed: bool) -> list[tuple[str, Answer]]:
    """Topic and answer of each row, with a fault at each field that cannot be read; ``needed``: an empty field is a
    fault too.
    """
    found: list[tuple[str, Answer]] = []
    for row in rows:
        text = check.text(row.name, longest=_longest(row.topic), lines=row.shape == "lines")
        answer = _read(check, row, text) if text else None
        if answer is not None:
            found.append((row.topic, answer))
        elif not text and needed:
            check.fault(row.name, _("%(label)s: enter a value, or take the tick off.", label=row.label))
    check_sockets(check, dict(found))
    return found


def _read(check: Check, row: FactRow, text: str) -> Answer | None:
    kind = KINDS[row.topic]
    question = QUESTIONS.get(row.topic)
    if question and question.not_here and text.casefold() == look_up(question.not_here).casefold():
        return Answer(NOT_HERE)
    try:
        read = read_answer(kind, text) if isinstance(kind, AnswerKind) else kind.check(text)
    except NotAnAnswer as error:
        check.fault(row.name, headed(row.label, refused(error)))
        return None
    return Answer("answered", read)


def _longest(topic: str) -> int:
    kind = KINDS[topic]
    return kind.longest if isinstance(kind, Text) else 400
