"""Where the rules put what they find, and what they ask of a statement: whether it is denied, or tied to a
condition.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from portal.exchange.house_spec.proposals import Doubt, Proposal
from portal.exchange.house_spec.text.scanning import Token
from portal.exchange.house_spec.text.statements import Statement, words_between
from portal.exchange.house_spec.topics import is_value
from portal.plan.input.answer_kinds import Value

MOST_OF_A_TOPIC = 40
"""Findings of one topic that are kept; a text with more of them is no spec, and the rest of it counts as not
understood.
"""

FULL_LINE = 60
"""Characters of a line that was broken because it was full; a shorter one ends where a thing ends."""

NEAR = 12
"""How far, in words and signs, a condition reaches."""

CLAUSE = 12
"""How far, in words and signs, a "no" may stand and still belong to the same clause."""

BEFORE, AFTER = 5, 8
"""Words between "no" and what it denies, on either side."""

DENIABLE = frozenset(
    {
        "front-fill",
        "delay",
        "sub",
        "riser",
        "splitter",
        "limiter",
        "talkback",
        "monitor-desk",
        "other-fill",
        "lift",
        "stairs",
        "ramp",
        "wedge",
        "own-send",
    }
)
"""What a "no" right before it denies, rather than what stands before the "no"."""


@dataclass
class Finds:
    """What has been found in a text so far."""

    text: str
    found: list[Proposal] = field(default_factory=list)
    _kept: Counter[str] = field(default_factory=Counter)

    def add(
        self,
        statement: Statement,
        topic: str,
        value: Value,
        places: Sequence[int],
        doubts: Iterable[Doubt] = (),
        *,
        note: str = "",
        beside: Statement | None = None,
    ) -> None:
        """Keep a value with the words at the places; the first place is the one it stands at. What the topic cannot
        take is left out.

        ``beside``: a second statement on which the value rests as well.
        """
        if not is_value(topic, value) or self._kept[topic] >= MOST_OF_A_TOPIC:
            return
        stand = [statement.tokens[place] for place in places if place >= 0]
        why = set(doubts)
        if conditional(statement, places):
            why.add(Doubt.CONDITION)
        if any("typo" in token.marks for token in stand):
            why.add(Doubt.SPELLING)
        if statement.heading or any("half" in token.marks for token in stand):
            why.add(Doubt.FAR)
        start, end = words_between(statement, places)
        if self._over_an_end(start, end):
            why.add(Doubt.FAR)
        statement.understood = True
        if beside is not None:
            beside.understood = True
            if not (statement.torn or beside.torn):
                start, end = min(start, beside.tokens[0].start), max(end, beside.tokens[-1].end)
        self._kept[topic] += 1
        self.found.append(
            Proposal(
                topic, value, self.text[start:end], start, end, tuple(doubt for doubt in Doubt if doubt in why), note
            )
        )

    def doubt_bare(self, since: int) -> None:
        """Doubt the bare numbers among the values that were kept since: they count a part of what the line lists."""
        for at, one in enumerate(self.found[since:], start=since):
            if isinstance(one.value, int) or str(one.value).isdecimal():
                self.found[at] = replace(
                    one, doubts=tuple(doubt for doubt in Doubt if doubt in {*one.doubts, Doubt.PART})
                )

    def _over_an_end(self, start: int, end: int) -> bool:
        """True where words go on behind a line that was not full, or before one that begins anew: two things may only
        look like one.
        """
        for at in range(start, end):
            if self.text[at] == "\n":
                begins = self.text[at + 1 : at + 1 + FULL_LINE].lstrip()[:1]
                if at - self.text.rfind("\n", 0, at) <= FULL_LINE or not begins.islower():
                    return True
        return False


def conditional(statement: Statement, places: Iterable[int]) -> bool:
    """True where a condition or a doubt stands near, or opens the statement."""
    wanted = [place for place in places if place >= 0]
    for at in statement.places("maybe", "bring"):
        if at < 2 or any(statement.apart(at, place) <= NEAR for place in wanted):  # noqa: PLR2004 - the first words
            return True
    return any("maybe" in above for above in statement.context)


def denied(statement: Statement, place: int) -> bool:
    """True where a "no" stands at the thing: before it, behind it, or as the value beside its label."""
    return _denied_before(statement.tokens, place) or _denied_after(statement, place)


def perhaps_denied(statement: Statement, place: int) -> bool:
    """True where a "no" stands in the same clause, but not so that it surely denies the thing."""
    return any(statement.apart(at, place) <= CLAUSE for at in statement.places("not"))


def _denied_before(tokens: Sequence[Token], place: int) -> bool:
    left = BEFORE
    for at in range(place - 1, -1, -1):
        token = tokens[at]
        if token.means("not", "no-lift"):
            return True
        if token.means("or") or token.text == "&":
            left = BEFORE + 1
        elif (token.kind == "stop" and token.text not in {"(", "-"}) or token.means("and"):
            return False
        left -= 1
        if left == 0:
            return False
    return False


def _denied_after(statement: Statement, place: int) -> bool:
    tokens = statement.tokens
    for at in range(place + 1, min(place + 1 + AFTER, len(tokens))):
        token = tokens[at]
        after = tokens[at + 1] if at + 1 < len(tokens) else None
        if token.means("not"):
            return after is None or after.kind == "stop" or not after.concepts & DENIABLE
        if token.stops(":", "cell") and after is not None and after.means("not"):
            return True
        if (token.kind == "stop" and not (at == statement.label_end or token.text in {"-", "("})) or token.means("and"):
            return False
    return False
