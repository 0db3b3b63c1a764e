"""Rig and answers as files: TOML or JSON in, documents out.

A *document* is what JSON can hold: it is what the database stores as well. A rig's document has every key; a file may
leave out any key but ``schema``. In an answers file each question is a table in one of four states: not there (not
asked yet), ``{state = "unknown"}``, ``{state = "n/a"}``, or ``{value = ..., by = "house", on = "2026-11-20"}``; ``by``
and ``on`` may be left out. Distances are written in metres (``value = 12.5``), and kept as whole centimetres.
"""

from __future__ import annotations

import datetime as dt
import json
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import NoReturn

from portal.exchange.checking import ControlCharacters, from_document, tidy_text, to_document
from portal.exchange.faults import Fault, NotReadable, came, nearest, path_of
from portal.exchange.keys import expected_answer
from portal.exchange.sound_rig import document_to_sound_rig
from portal.plan.input.answer_kinds import Distance, NotAnAnswer, Text, Value
from portal.plan.input.facts import Answer, Answers
from portal.plan.input.questions import QUESTIONS, Question
from portal.plan.input.rig import Rig
from portal.plan.signed.serialization import Json

MOST_BYTES = 2_000_000
"""Limit for a file on import: 2 MB."""

MOST_KEYS = 1_000
"""Keys of one table; no table of a rig or of answers has a tenth of them, counts of small things aside."""

MOST_PARTS = 32
"""Parts of a dotted key; the deepest table of a rig lies four deep. TOML's reader takes time and memory by their
square.
"""

_LONG_KEY = re.compile(rf"""(?<![\w"'-])(?:[\w"'-]++[ \t]*+\.[ \t]*+){{{MOST_PARTS}}}""")

_LONG_NUMBER = re.compile(r"(?<!\w)[+-]?[0-9]\w{4999}")

ANSWERS_SCHEMA = 1

ENTRY_KEYS = ("value", "state", "by", "on")
UNANSWERED = ("unknown", "n/a")
ANSWERED_BY = ("house", "band", "assumed")


def read_file(path: Path) -> object:
    """The document in a TOML or JSON file. Raises ``NotReadable``."""
    return read_document(_bytes(path), path.suffix)


def read_rig(path: Path) -> Rig:
    """The rig in a TOML or JSON file. Raises ``NotReadable`` with every fault, and with everything that contradicts
    itself.
    """
    return document_to_sound_rig(read_file(path))


def read_answers(path: Path) -> Answers:
    """The answers in a TOML or JSON file. Raises ``NotReadable`` with every fault."""
    return document_to_answers(read_file(path))


def read_document(content: bytes, suffix: str = "") -> object:
    """What a file says: JSON or TOML by the suffix of its name, else by its first sign. Raises ``NotReadable``."""
    if len(content) > MOST_BYTES:
        raise NotReadable([Fault("", "a file of at most 2 MB", "a larger one")])
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise NotReadable([Fault("", "text in UTF-8", "other bytes")]) from None
    is_json = suffix.lower() == ".json" or (suffix.lower() != ".toml" and text.lstrip()[:1] in ("{", "["))
    try:
        if is_json:
            return json.loads(text, object_pairs_hook=_once_each, parse_constant=_no_constant)
        return _toml(text)
    except RecursionError:
        raise NotReadable([Fault("", "tables within a few tables", "tables nested without end")]) from None
    except ValueError as error:
        raise NotReadable([_syntax_fault(str(error), "JSON" if is_json else "TOML")]) from None


def document_to_rig(document: object) -> Rig:
    """The rig that a document describes, whether or not it contradicts itself. Raises ``NotReadable`` with every
    fault.
    """
    return from_document(Rig, document)


def rig_to_document(rig: Rig) -> dict[str, Json]:
    """The rig with every key; ``document_to_rig`` gives the very same rig back."""
    document = to_document(rig)
    assert isinstance(document, dict)  # noqa: S101 - a dataclass becomes a table
    return document


def document_to_answers(document: object) -> Answers:
    """The answers that a document describes. Raises ``NotReadable`` with every fault."""
    if not isinstance(document, Mapping):
        raise NotReadable([Fault("", "a table", came(document))])
    faults: list[Fault] = []
    schema = document.get("schema")
    if type(schema) is not int or schema != ANSWERS_SCHEMA:
        found = came(schema) if "schema" in document else "nothing: the key is missing"
        faults.append(Fault("schema", f"the number {ANSWERS_SCHEMA}", found))
    answers: dict[str, Answer] = {}
    for key, entry in document.items():
        if key == "schema":
            continue
        try:
            answers[key] = _answer(key, entry)
        except NotReadable as error:
            faults.extend(error.faults)
    if faults:
        raise NotReadable(faults)
    return MappingProxyType(answers)


def answers_to_document(answers: Answers) -> dict[str, Json]:
    """The answers in the form of the file; ``document_to_answers`` gives the very same answers back."""
    document: dict[str, Json] = {"schema": ANSWERS_SCHEMA}
    for key, answer in answers.items():
        entry: dict[str, Json] = {}
        if answer.state != "answered":
            entry["state"] = answer.state
        else:
            entry["value"] = _in_metres(answer.value) if isinstance(QUESTIONS[key].kind, Distance) else answer.value
        document[key] = entry | {name: said for name, said in (("by", answer.by), ("on", answer.on)) if said}
    return document


def _answer(key: str, entry: object) -> Answer:
    """One question's entry. Raises ``NotReadable`` with every fault of the entry."""
    question = QUESTIONS.get(key)
    if question is None:
        close = nearest(key, QUESTIONS)
        expected = "the key of a question" + (f', perhaps "{close}"' if close else "")
        raise NotReadable([Fault(path_of([key]), expected, "a key that no question has")])
    if not isinstance(entry, Mapping):
        raise NotReadable([Fault(path_of([key]), "a table with a value or a state", came(entry))])
    faults = [
        Fault(path_of([key, str(name)]), "one of: " + ", ".join(ENTRY_KEYS), "a key that nothing reads")
        for name in entry
        if name not in ENTRY_KEYS
    ]
    state, by, on = entry.get("state", "answered"), entry.get("by", ""), _date(entry.get("on", ""))
    if ("state" in entry) == ("value" in entry):
        faults.append(Fault(path_of([key]), "either a value or a state", "both" if "state" in entry else "neither"))
    elif "state" in entry and state not in UNANSWERED:
        faults.append(Fault(path_of([key, "state"]), "one of: " + ", ".join(UNANSWERED), came(state)))
    if by not in ("", *ANSWERED_BY):
        faults.append(Fault(path_of([key, "by"]), "one of: " + ", ".join(ANSWERED_BY), came(by)))
    if on is None:
        faults.append(Fault(path_of([key, "on"]), "a date such as 2026-11-20", came(entry["on"])))
    value = _value(question, entry["value"]) if "value" in entry else None
    if isinstance(value, Fault):
        faults.append(value)
    if faults or isinstance(value, Fault):
        raise NotReadable(faults)
    return Answer(str(state), value, str(by), on or "")


def _value(question: Question, value: object) -> Value | Fault:
    """The value as the core keeps it, or why it is none."""
    kind, path = question.kind, path_of([question.key, "value"])
    try:
        if isinstance(kind, Distance):
            return kind.check(_centimetres(value, kind.hi_cm))
        return kind.check(tidy_text(value, lines=isinstance(kind, Text) and kind.lines > 1))
    except ControlCharacters:
        return Fault(path, "text without control characters", "control characters")
    except NotAnAnswer:
        return Fault(path, expected_answer(kind), came(value))


def _centimetres(value: object, most: int) -> int | None:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= most / 100:
        return None
    return round(value * 100)


def _in_metres(value: Value | None) -> int | float:
    whole, rest = divmod(int(value or 0), 100)
    return whole if rest == 0 else int(value or 0) / 100


def _date(value: object) -> str | None:
    """The ISO date, an empty text where none was given, ``None`` where it is not a date."""
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return value.isoformat()
    if value == "":
        return ""
    if not isinstance(value, str) or not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        return None
    try:
        return dt.date.fromisoformat(value).isoformat()
    except ValueError:
        return None


def _bytes(path: Path) -> bytes:
    """The content, and never much more than the limit. Raises ``NotReadable`` where the file cannot be opened."""
    try:
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as error:
        raise NotReadable([Fault("", "a file that can be read", error.strerror or "another answer")]) from None


class _Odd(ValueError):  # noqa: N818 - named for what was found
    """What Python would take: the same key twice, a number that JSON does not have, or keys without end."""


def _toml(text: str) -> dict[str, object]:
    if _LONG_KEY.search(text):
        raise _Odd(f"a key of more than {MOST_PARTS} parts")
    if _LONG_NUMBER.search(text):
        raise _Odd("a number with too many digits")
    if text.count("\n[") > MOST_KEYS:
        raise _Odd(f"more than {MOST_KEYS} tables")
    found = tomllib.loads(text)
    tables: list[object] = [found]
    while tables:
        table = tables.pop()
        if isinstance(table, dict) and len(table) > MOST_KEYS:
            raise _Odd(f"more than {MOST_KEYS} keys in one table")
        tables += table.values() if isinstance(table, dict) else table if isinstance(table, list) else ()
    return found


def _once_each(pairs: list[tuple[str, object]]) -> dict[str, object]:
    if len(pairs) > MOST_KEYS:
        raise _Odd(f"more than {MOST_KEYS} keys in one table")
    found: dict[str, object] = {}
    for name, value in pairs:
        if name in found:
            raise _Odd(f'the key "{name[:40]}" twice in one table')
        found[name] = value
    return found


def _no_constant(name: str) -> NoReturn:
    raise _Odd(f"the word {name} in place of a number")


def _syntax_fault(message: str, form: str) -> Fault:
    """Where a file stops being JSON or TOML. The readers name the place in several ways, and scold."""
    place = re.search(r"line (\d+),? column (\d+)", message)
    said = re.sub(r"\s*(?:\(at [^()]*\)|: line \d+ column \d+ \(char \d+\))$", "", message)
    said = said.replace("Invalid", "unreadable").replace("Illegal", "unreadable")
    if said.startswith("Exceeds the limit"):
        said = "a number with too many digits"
    return Fault(f"line {place[1]}, column {place[2]}" if place else "", form, said[:1].lower() + said[1:120])
