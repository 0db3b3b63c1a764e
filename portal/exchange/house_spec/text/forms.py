"""What people fill in: boxes that are ticked or not, questions with the answer behind them, two labels with two
values.
"""

from __future__ import annotations

from collections.abc import Sequence

from portal.exchange.house_spec.text.scanning import Token

TICKS = frozenset({"x", "v", "✓", "✔", "✗"})
EMPTY, TICKED = frozenset("☐□◻"), frozenset("☑☒■✅")
LONGEST_QUESTION = 14
"""Tokens of the longest question that is taken for a label of what stands behind it."""

LONGEST_LABEL = 5

SEPARATORS = frozenset({"/", "-", ","})
"""Signs behind which a further label can begin on the same line."""


def filled_in(tokens: list[Token]) -> list[list[Token]]:
    """The tokens of a row without what is not ticked; two where the row holds two labels with two values."""
    return _pairs(_questions(_ticked(tokens)))


def _ticked(tokens: list[Token]) -> list[Token]:
    """Without empty boxes and what stands behind them up to the next box."""
    if not any(token.text in {"[", *EMPTY, *TICKED} for token in tokens):
        return tokens
    kept: list[Token] = []
    at, chosen = 0, True
    while at < len(tokens):
        state, past = _box(tokens, at)
        if state is not None:
            chosen = state
        elif tokens[at].text in {"cell", "line"}:
            chosen = True
            kept.append(tokens[at])
        elif chosen:
            kept.append(tokens[at])
        at = past
    return kept


def _box(tokens: Sequence[Token], at: int) -> tuple[bool | None, int]:
    """Whether a box begins here and is ticked, and where the tokens go on."""
    token = tokens[at]
    if token.text in EMPTY or token.text in TICKED:
        return token.text in TICKED, at + 1
    if token.text != "[":
        return None, at + 1
    if at + 1 < len(tokens) and tokens[at + 1].text == "]":
        return False, at + 2
    if at + 2 < len(tokens) and tokens[at + 1].text in TICKS and tokens[at + 2].text == "]":
        return True, at + 3
    return None, at + 1


def _questions(tokens: list[Token]) -> list[Token]:
    """A short question with its answer behind it becomes a label."""
    for at, token in enumerate(tokens[:LONGEST_QUESTION]):
        if token.text == "?" and 0 < at < len(tokens) - 1:
            token.text = ":"
            return tokens
        if token.text in {":", "cell", "."}:
            return tokens
    return tokens


def _pairs(tokens: list[Token]) -> list[list[Token]]:
    """Part "front fill / delay: yes / no" into two rows, and "ff: no / delay: no" as well."""
    end = next((at for at, token in enumerate(tokens) if token.text in {":", "cell"}), -1)
    slashes = [at for at, token in enumerate(tokens) if token.text == "/"]
    if (
        end > 0
        and len(slashes) == 2  # noqa: PLR2004 - year, month, day
        and slashes[0] < end < slashes[1]
        and all(token.kind != "number" for token in tokens[:end])
    ):
        first, second = slashes
        return [[*tokens[:first], *tokens[end:second]], [*tokens[first + 1 : end], tokens[end], *tokens[second + 1 :]]]
    parts: list[list[Token]] = [[]]
    for at, token in enumerate(tokens):
        following = [later.text for later in tokens[at + 1 : at + 2 + LONGEST_LABEL]]
        if (
            token.text in SEPARATORS
            and not (token.text == "-" and token.glued)
            and ":" in following
            and end > 0
            and all(later.kind != "number" for later in tokens[at + 1 : at + 1 + following.index(":")])
        ):
            parts.append([])
        else:
            parts[-1].append(token)
    return parts
