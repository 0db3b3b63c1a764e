"""Radio: which bands the house uses, and who hands out frequencies."""

from __future__ import annotations

import re

from portal.exchange.house_spec.facts.people import NAME, ONE_NAME
from portal.exchange.house_spec.finding import Finds, denied
from portal.exchange.house_spec.proposals import Doubt
from portal.exchange.house_spec.text.statements import Statement

LONGEST_ROLE = 120
TV_CHANNELS = (21, 69)
"""Television channels in which radio microphones work in Europe (common practice, no source)."""


def read_radio(statement: Statement, finds: Finds) -> None:
    """The house's own radio bands, and who coordinates."""
    told = statement.about("wireless", "radio-mic")
    forbidden = statement.has("forbidden")
    for at, token in enumerate(statement.tokens):
        if token.kind == "band" and not (forbidden and denied(statement, at)):
            finds.add(
                statement,
                "radio",
                token.said,
                [at],
                [*([Doubt.CONDITION] if forbidden else []), *([] if told else [Doubt.FAR])],
            )
    for at in statement.places("channel"):
        number = statement.tokens[at + 1] if at + 1 < len(statement.tokens) else None
        if told and number and number.kind == "count" and TV_CHANNELS[0] <= number.whole <= TV_CHANNELS[1]:
            finds.add(statement, "radio", f"channel {number.whole}", [at, at + 1], [Doubt.FAR])
    for at in statement.places("coordinates"):
        if told or statement.has_kind("band") or "freq" in statement.tokens[at].text or statement.label_end > at:
            _coordinator(statement, at, finds)
            return


def _coordinator(statement: Statement, at: int, finds: Finds) -> None:
    """A role, else what stands beside the label, else a name."""
    tokens = statement.tokens
    roles = [
        place
        for place in statement.places("technical-role", "crew", "engineer")
        if place != at and not tokens[place].means("coordinates")
    ]
    beside = statement.label_end > at and statement.label_end + 1 < len(tokens)
    if roles and not beside:
        role = min(roles, key=lambda place: statement.apart(at, place))
        finds.add(statement, "radio-coordinator", _words(finds.text, tokens[role].start, tokens[role].end), [role, at])
    elif beside and not statement.torn and tokens[statement.label_end + 1].kind == "word":
        first, last = tokens[statement.label_end + 1], tokens[-1]
        words = _words(finds.text, first.start, last.end).rstrip(" .")
        if len(words) <= LONGEST_ROLE:
            told = any(place > statement.label_end for place in roles)
            finds.add(
                statement,
                "radio-coordinator",
                words,
                [statement.label_end + 1, len(tokens) - 1],
                [] if told else [Doubt.FAR],
            )
    else:
        name = NAME.search(finds.text, tokens[at].end, tokens[-1].end) or _capital(finds.text, statement, at)
        if name:
            inside = [
                place
                for place, token in enumerate(tokens)
                if name.start() <= token.start < name.end() and token.kind == "word"
            ]
            finds.add(
                statement, "radio-coordinator", _words(finds.text, name.start(), name.end()), [*inside, at], [Doubt.FAR]
            )


def _capital(text: str, statement: Statement, at: int) -> re.Match[str] | None:
    """One word in capitals behind, or a little before, the word for coordinating, that means nothing else."""
    for token in [*statement.tokens[at + 1 :], *reversed(statement.tokens[max(1, at - 3) : at])]:
        if token.kind == "word" and token.upper and not token.concepts:
            return ONE_NAME.match(text, token.start, token.end)
    return None


def _words(text: str, start: int, end: int) -> str:
    return " ".join(text[start:end].split())
