"""The key list of FORMAT.md beside this file: every key that a rig or an answers file may hold."""

from __future__ import annotations

from collections.abc import Iterator

from portal.exchange.keys import Key, expected, expected_answer, keys_of
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig


def key_list() -> str:
    """The list in Markdown, without the marks around it."""
    rows = ["| key | type and limits | default | meaning |", "|---|---|---|---|"]
    rows += [
        f"| `{path}` | {_cell(expected(key))} | {_default(key)} | {_cell(key.doc)} |" for path, key in _keys(Rig, "")
    ]
    rows += [
        "",
        "| question | value | meaning |",
        "|---|---|---|",
        "| `schema` | the number 1 | Format number, first key of the file |",
    ]
    rows += [f"| `{one.key}` | {_cell(expected_answer(one.kind))} | {_cell(one.house)} |" for one in QUESTIONS.values()]
    return "\n".join(rows) + "\n"


def _keys(table: type, prefix: str) -> Iterator[tuple[str, Key]]:
    for key in keys_of(table).values():
        path = prefix + key.name
        yield path, key
        if key.table is not None:
            below = "[]" if key.is_list else ".NAME" if key.is_named else ""
            yield from _keys(key.table, f"{path}{below}.")


def _default(key: Key) -> str:
    if key.required:
        return "none: required"
    if key.table is not None or key.is_list or key.is_named:
        return "empty"
    if key.default is None or key.default == "":
        return "unknown"
    return f"`{str(key.default).lower() if isinstance(key.default, bool) else key.default}`"


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("<", "&lt;")
