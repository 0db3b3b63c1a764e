"""What a bare number counts: the word behind it ("32 inputs"), else the label before it ("Inputs: 32")."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from portal.exchange.house_spec.facts.concepts import COUNTED
from portal.exchange.house_spec.text.scanning import Token
from portal.exchange.house_spec.text.statements import Statement

MOST_FILLERS = 3
"""Words between a number and what it counts."""

CLOSE_FILLERS = 2
LONGEST_LABEL = 12

WEAK = frozenset({"channel", "people", "standing", "seated", "capacity", "condenser", "dynamic"})
"""Words that say less than a label before the number does."""

LABEL_ENDS = frozenset({":", "cell", "-", "=", "("})
QUANTITIES = frozenset(
    {
        "count",
        "length",
        "size",
        "amps",
        "level",
        "band",
        "clock",
        "minutes",
        "pair",
        "run",
        "other",
        "bank",
        "phone",
        "mail",
    }
)
_PASSED = frozenset({"working", "piece", "active", "passive", "each"})
"""What stands between a number and its noun without setting them apart."""


@dataclass(frozen=True)
class Head:
    """What a number counts: the concept, where it stands, how many words are between, and whether it is a label before
    the number.
    """

    concept: str
    place: int
    fillers: int
    label: bool

    @property
    def far(self) -> bool:
        """True where the number and the word stand so far apart that it is worth a look."""
        return self.fillers > CLOSE_FILLERS


def counted(token: Token) -> str:
    """The countable concept of a token, the most exact one; "" where it has none."""
    return next((concept for concept in COUNTED if concept in token.concepts), "") if token.kind == "word" else ""


def head_of(statement: Statement, at: int) -> Head | None:
    """What the number at a place counts; ``None`` where nothing near can be counted."""
    after, before = _forward(statement.tokens, at), _backward(statement, at)
    if after is None or before is None:
        return after or before
    if before.label and (after.concept in WEAK or after.far) and before.concept not in WEAK:
        return before
    return after


def _forward(tokens: Sequence[Token], at: int) -> Head | None:
    fillers = 0
    if at + 1 < len(tokens) and (short := _short(tokens, at + 1)):
        return Head(short, at + 1, 0, label=False)
    for place in range(at + 1, min(at + 2 + 2 * MOST_FILLERS, len(tokens))):
        token = tokens[place]
        if counted(token):
            return _exact(tokens, at, place, fillers)
        opening = token.text == "(" and fillers == 0
        if (
            token.kind in QUANTITIES
            or (token.kind == "stop" and not (opening or (token.text == "-" and token.glued)))
            or token.means("and")
        ):
            return None
        fillers += token.kind == "word" and token.text != "x" and not token.concepts & _PASSED
        if fillers > MOST_FILLERS:
            return None
    return None


def _exact(tokens: Sequence[Token], at: int, place: int, fillers: int) -> Head | None:
    """The most exact of the countable words that stand together; nothing where they are the label of what follows."""
    past = place + 1
    while past < len(tokens) and counted(tokens[past]):
        past += 1
    if counted(tokens[place]) == "mic" and past < len(tokens) and tokens[past].means("short-in", "socket"):
        return Head("input", place, fillers, label=False)
    best = min(range(place, past), key=lambda where: COUNTED.index(counted(tokens[where])))
    concept = _together(counted(tokens[best]), tokens[place:past])
    following = tokens[past] if past < len(tokens) else None
    names_next = (
        following is not None
        and following.kind == "count"
        and "word" not in following.marks
        and at > 0
        and bool(counted(tokens[at - 1]))
    )
    if following is not None and (following.text in {":", "cell", "="} or names_next):
        return None
    return Head(concept, best, fillers, label=False)


def _together(best: str, tokens: Sequence[Token]) -> str:
    """Microphone lines and microphone channels are inputs."""
    return "input" if best == "mic" and any(token.means("channel", "input", "socket") for token in tokens) else best


def _short(tokens: Sequence[Token], at: int) -> str:
    """What "in" and "out" behind a number count: "32 in / 16 out"; in running text they are little words."""
    name = _short_name(tokens[at])
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    beyond = tokens[at + 2] if at + 2 < len(tokens) else None
    if after is None or after.kind in {"stop", "sign"} or after.means("and"):
        return name
    return name if after.kind == "count" and beyond is not None and beyond.means("short-out") else ""


def _short_name(token: Token) -> str:
    return "input" if token.means("short-in") else "output" if token.means("short-out") else ""


def _backward(statement: Statement, at: int) -> Head | None:
    tokens = statement.tokens
    fillers = 0
    for place in range(at - 1, max(at - 2 - 2 * MOST_FILLERS, -1), -1):
        token = tokens[place]
        if counted(token):
            return Head(_best_before(tokens, place), place, 0, label=False) if fillers == 0 else None
        if token.kind in QUANTITIES:
            return None
        if token.text == ")" and place == at - 1:
            return _label(statement, at)
        if token.kind == "stop" or token.means("is", "piece") or (token.text == "x" and place == at - 1):
            return _label(statement, place) if token.text in LABEL_ENDS or token.kind != "stop" else None
        fillers += token.text != "x" and not token.means("approx", "limit", "only")
        if fillers > MOST_FILLERS:
            return None
    return None


def _best_before(tokens: Sequence[Token], place: int) -> str:
    best, past = counted(tokens[place]), place + 1
    while place > 0 and (earlier := counted(tokens[place - 1])):
        best = min(best, earlier, key=COUNTED.index)
        place -= 1
    return _together(best, tokens[place:past])


def _label(statement: Statement, end: int) -> Head | None:
    """The most exact countable word of the label that ends here; brackets in it are passed over."""
    tokens = statement.tokens
    deep, found = 0, []
    whole = end == statement.label_end
    for place in range(end - 1, max(end - 1 - LONGEST_LABEL, -1), -1):
        token = tokens[place]
        deep += (token.text == ")") - (token.text == "(")
        if deep > 0 or token.text == "(":
            continue
        if (
            token.kind in QUANTITIES - {"other"}
            or (token.kind == "stop" and not (whole and token.text in {",", "-", "/", "cell"}))
            or token.means("and")
        ):
            break
        concept = counted(token) or (_short_name(token) if end - place == 1 and place == 0 else "")
        if concept:
            found.append((COUNTED.index(concept), place))
        elif not whole and found:
            break
    if not found:
        return None
    best = min(found)
    concept = _together(COUNTED[best[0]], [tokens[place] for _, place in found])
    return Head(concept, best[1], 0 if whole or end - best[1] <= CLOSE_FILLERS + 1 else MOST_FILLERS, label=True)
