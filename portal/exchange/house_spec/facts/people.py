"""Who mixes, and whom to ask."""

from __future__ import annotations

import re

from portal.exchange.house_spec.finding import Finds, denied
from portal.exchange.house_spec.proposals import Doubt
from portal.exchange.house_spec.text.scanning import Token
from portal.exchange.house_spec.text.statements import Statement

_CAPITAL = r"[^\W\d_a-zß-öø-ÿ]"
NAME = re.compile(
    rf"(?:{_CAPITAL}[\w'’-]{{1,30}}(?: (?:van|von|de|der|den|da|di|del|della|le|la|du|ter|ten)){{0,3}}"
    rf" ){{1,3}}{_CAPITAL}[\w'’-]{{1,30}}"
)
ONE_NAME = re.compile(rf"{_CAPITAL}[\w'’-]{{1,30}}")
AFTER_GREETING = 3
"""Statements after a greeting in which a mail's signature is looked for."""

SHORT = 6
"""Tokens of the longest line that is a greeting, a signature or a name with its telephone."""

SHORTEST_PHONE = 8
CLOSE = 12


class People:
    """Reads who mixes and whom to ask, and keeps whether a mail has come to its signature."""

    def __init__(self) -> None:
        self._signing = 0

    def read(self, statement: Statement, finds: Finds) -> None:
        """Who mixes; name, telephone and mail address of the technical contact."""
        _who_mixes(statement, finds)
        if statement.has("other-office") and not statement.has("technical-role", "contact"):
            return
        told = statement.has("contact", "technical-role", "phone") or self._signing > 0
        reached = self._reached(statement, told, finds)
        if statement.has("contact", "technical-role") and (reached or statement.label_end >= 0):
            _name(statement, finds, ONE_NAME if statement.label_end >= 0 else NAME)
        elif reached and not _name(statement, finds, NAME, Doubt.DERIVED) and len(statement.tokens) <= SHORT:
            _signature(statement.tokens, statement, finds)
        elif self._signing and _signature(statement.tokens, statement, finds):
            self._signing = 1
        greeting = [at for at in statement.places("greeting") if at <= 2]  # noqa: PLR2004 - the line begins with it
        if greeting and len(statement.tokens) <= SHORT:
            self._signing = AFTER_GREETING
            _signature(statement.tokens[greeting[-1] + 1 :], statement, finds)
        elif self._signing:
            self._signing -= 1

    def _reached(self, statement: Statement, told: bool, finds: Finds) -> bool:  # noqa: FBT001 - what was looked up already
        """Keep telephone and mail address; true where there is one."""
        phones = [at for at, token in enumerate(statement.tokens) if token.kind == "phone"]
        mails = [at for at, token in enumerate(statement.tokens) if token.kind == "mail"]
        doubts = [] if told else [Doubt.FAR]
        if phones:
            token = statement.tokens[phones[0]]
            finds.add(
                statement, "contact-phone", " ".join(finds.text[token.start : token.end].split()), phones[:1], doubts
            )
        else:
            phones = _in_groups(statement, finds)
        if mails:
            token = statement.tokens[mails[0]]
            sure = told and (phones or statement.has("contact")) and not statement.has("wireless", "coordinates")
            finds.add(
                statement, "contact-mail", finds.text[token.start : token.end], mails[:1], [] if sure else [Doubt.FAR]
            )
        return bool(phones or mails)


def _in_groups(statement: Statement, finds: Finds) -> list[int]:
    """A telephone number in groups that only the word before it makes one: "tel. 55 5550 1420"."""
    for place in statement.places("phone"):
        groups: list[int] = []
        for at in range(place + 1, len(statement.tokens)):
            token = statement.tokens[at]
            if token.text == "." and _whole(statement, groups):
                break
            if token.kind in {"count", "run", "pair"}:
                groups.append(at)
            elif not (token.kind in {"sign", "stop"} and token.text in {".", ":", "-", "/", "(", ")", "+"}):
                break
        if _whole(statement, groups):
            words = " ".join(finds.text[statement.tokens[groups[0]].start : statement.tokens[groups[-1]].end].split())
            finds.add(statement, "contact-phone", words, groups)
            for at in groups:
                statement.tokens[at].marks.add("taken")
            return groups
    return []


def _whole(statement: Statement, groups: list[int]) -> bool:
    """True where groups have the digits of a telephone number together."""
    return sum(sign.isdigit() for at in groups for sign in statement.tokens[at].text) >= SHORTEST_PHONE


def _name(statement: Statement, finds: Finds, shortest: re.Pattern[str], *doubts: Doubt) -> bool:
    """Capitals in a line that says who the contact is."""
    tokens = statement.tokens
    after = statement.label_end + 1 if 0 <= statement.label_end < len(tokens) - 1 else 0
    for pattern in dict.fromkeys((NAME, shortest)):
        for match in pattern.finditer(finds.text, tokens[after].start, tokens[-1].end):
            inside = [
                at
                for at, token in enumerate(tokens)
                if match.start() <= token.start < match.end() and token.text != "cell"
            ]
            if (
                not inside
                or not all(_can_be_name(tokens[at]) for at in inside)
                or (pattern is ONE_NAME and inside[0] != after)
            ):
                continue
            finds.add(
                statement,
                "contact-name",
                match.group(),
                inside,
                [*doubts, *([Doubt.FAR] if pattern is ONE_NAME else [])],
            )
            return True
    return False


def _can_be_name(token: Token) -> bool:
    return token.kind == "word" and (not token.concepts or "typo" in token.marks)


def _signature(tokens: list[Token], statement: Statement, finds: Finds) -> bool:
    """A short line that holds a name only, beside a number at most."""
    words = [token for token in tokens if token.kind == "word" and not token.means("phone")]
    if (
        not words
        or len(words) > 3  # noqa: PLR2004 - a short name
        or len(tokens) > SHORT
        or not all(token.upper and _can_be_name(token) for token in words)
    ):
        return False
    name = " ".join(finds.text[words[0].start : words[-1].end].split())
    finds.add(
        statement,
        "contact-name",
        name,
        [at for at, token in enumerate(statement.tokens) if token in words],
        [Doubt.DERIVED],
    )
    return True


def _who_mixes(statement: Statement, finds: Finds) -> None:
    for place in statement.places("visiting"):
        if not denied(statement, place):
            finds.add(statement, "who-mixes", "bands-engineer-your-desk", [place], [Doubt.CONDITION])
            break
    for place in statement.places("self-mix"):
        finds.add(statement, "who-mixes", "house-engineer", [place], [Doubt.DERIVED])
        return
    if statement.has("wireless", "coordinates", "limit", "limiter") or statement.about("lighting"):
        return
    label = statement.tokens[: max(statement.label_end, 0)]
    if (statement.has("monitor-desk") or any(token.means("monitor") for token in label)) and not statement.has("front"):
        return
    for place in statement.places("engineer"):
        if statement.tokens[place].means("visiting"):
            continue
        said, far, where = statement.nearest(place, ("mixing", "provided"))
        if where < 0 or far > CLOSE or denied(statement, place) or denied(statement, where):
            continue
        sure = said == "provided" or not statement.tokens[where].means("mix") or statement.has("front", "desk")
        finds.add(statement, "who-mixes", "house-engineer", [place, where], [] if sure else [Doubt.DERIVED])
        return
