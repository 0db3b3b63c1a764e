"""Mains on the stage: how many, which rating, how many phases, which connector. Reading says nothing about whether it
is safe to use.
"""

from __future__ import annotations

from collections.abc import Sequence

from portal.exchange.house_spec.facts.heads import head_of
from portal.exchange.house_spec.finding import Finds, denied
from portal.exchange.house_spec.proposals import Doubt
from portal.exchange.house_spec.text.scanning import Token
from portal.exchange.house_spec.text.statements import Statement

CONNECTORS = {"household": "household", "iec-60309": "IEC 60309", "single-pole": "single-pole"}
PHASES = {"three-phase": "three-phase", "one-phase": "one-phase"}
BY_COLOUR = {"red": "three-phase", "blue": "one-phase"}
"""IEC 60309: red is 380 to 480 V, blue 200 to 250 V."""

IEC_RATINGS = frozenset({16, 32, 63, 125})

PASSED = frozenset(
    {
        "socket", "power", "three-phase", "one-phase", "household", "iec-60309", "single-pole", "times", "piece",
        "supply", "by", "only", "channel",
        "ampere", "each", "separate", "bank", "mix", "working", "stage",
    }
)  # fmt: skip
"""What may stand between a number and the rating it counts."""

LITTLE_WORDS = frozenset(
    {
        "de", "da", "à", "a", "con", "mit", "of", "di", "van", "d", "en", "von", "al", "at", "à-",
    }
)  # fmt: skip
MOST_BETWEEN = 6
MOST_OUTLETS = 60
THREE_PHASE_VOLTS = frozenset({"380", "400", "415"})


def read_mains(statement: Statement, finds: Finds) -> None:
    """Every rating in the statement, and outlets that are counted without one."""
    _bare_ratings(statement)
    ratings = [at for at, token in enumerate(statement.tokens) if token.kind == "amps"]
    for number, at in enumerate(ratings):
        earlier = ratings[number - 1] if number else -1
        following = ratings[number + 1] if number + 1 < len(ratings) else len(statement.tokens)
        _rating(statement, at, earlier, following, finds)
    for at, token in enumerate(statement.tokens):
        if token.kind == "count" and "taken" not in token.marks and token.whole <= MOST_OUTLETS:
            _unrated(statement, at, ratings, finds)


def _bare_ratings(statement: Statement) -> None:
    """Take the number in "CEE 32" for a rating."""
    for place in statement.places("iec-60309"):
        after = statement.tokens[place + 1] if place + 1 < len(statement.tokens) else None
        if after and after.kind == "count" and after.whole in IEC_RATINGS:
            after.kind = "amps"


def _rating(statement: Statement, at: int, earlier: int, following: int, finds: Finds) -> None:
    tokens = statement.tokens
    number, place, loose = _how_many(statement, at)
    start = place if place >= 0 else _clause_start(tokens, at, earlier)
    here, behind = tokens[start : _clause_end(tokens, at, following)], _clause_end(tokens, at, following)
    shared = _trailing(tokens)
    connector = _first(here, CONNECTORS) or _first(shared, CONNECTORS)
    phases = (
        _first(here, PHASES) or _first(shared, PHASES) or (_first(here, BY_COLOUR) if connector == "IEC 60309" else "")
    )
    if any(token.kind == "other" and token.text.split()[0] in THREE_PHASE_VOLTS for token in here):
        phases = phases or "three-phase"
    doubts = []
    if denied(statement, at) or any(token.means("not") for token in tokens[at:]):
        doubts.append(Doubt.CONDITION)
    others = (
        any(token.kind == "count" and "taken" not in token.marks for token in tokens[earlier + 1 : at]) and number == 0
    )
    if number > 1 and _split_up(statement, at, following):
        doubts.append(Doubt.PART)
    if loose or others or statement.has("per-side") or any(token.means("same") for token in here):
        doubts.append(Doubt.FAR)
    words = (f"{number} x " if number else "") + f"{tokens[at].whole} A"
    words += f", {phases}" if phases else ""
    words += f", {connector}" if connector else ""
    finds.add(statement, "power", words, [at, start, *range(start, behind)], doubts)


def _split_up(statement: Statement, at: int, following: int) -> bool:
    """True where words behind a rating say what one or some of the circuits are for: "two of them for the bar"."""
    tokens = statement.tokens
    for place in range(at + 2, following):
        token = tokens[place]
        if token.kind == "count" and head_of(statement, place) is None:
            article = "word" in token.marks and token.whole == 1
            if not article or any(before.stops(",", "(", "-") for before in tokens[place - 3 : place]):
                return True
    return False


def _how_many(statement: Statement, at: int) -> tuple[int, int, bool]:
    """The count before a rating, where it stands, and whether more than the trade's own words lie between them."""
    tokens, left, loose = statement.tokens, MOST_BETWEEN, False
    for place in range(at - 1, -1, -1):
        token = tokens[place]
        if token.kind == "count" and "taken" not in token.marks:
            if token.whole > MOST_OUTLETS or (token.whole == 1 and "word" in token.marks and loose):
                break
            token.marks.add("taken")
            return token.whole, place, loose
        if token.kind == "stop":
            if not token.stops("/", "-", "(", ")", ","):
                break
            loose = loose or token.text == ","
        elif token.kind not in {"word", "sign", "other"}:
            break
        elif token.kind == "word" and not token.concepts & PASSED and token.text not in LITTLE_WORDS:
            left -= 1
            loose = loose or not statement.about("power", "socket")
        left -= 1
        if left <= 0:
            break
    return 0, -1, False


def _clause_start(tokens: Sequence[Token], at: int, earlier: int) -> int:
    """Where the words about a rating without a count begin."""
    start = at
    while (
        start - 1 > earlier
        and tokens[start - 1].kind == "word"
        and (tokens[start - 1].concepts & PASSED or tokens[start - 1].text in LITTLE_WORDS)
    ):
        start -= 1
    return start


def _clause_end(tokens: Sequence[Token], at: int, following: int) -> int:
    """Where the words about a rating end: at the next comma, or before the next rating's own words."""
    for place in range(at + 1, following):
        token = tokens[place]
        if (
            token.stops(",", ";", "cell", ":", "line")
            or token.kind == "count"
            or (token.means("and") and following < len(tokens))
        ):
            return place
    return following


def _trailing(tokens: Sequence[Token]) -> list[Token]:
    """What stands in brackets at the end and speaks of everything before it."""
    opening = next(
        (place for place in range(len(tokens) - 1, max(len(tokens) - 8, -1), -1) if tokens[place].text == "("), -1
    )
    return list(tokens[opening:]) if opening >= 0 and tokens[-1].text in {")", "."} else []


def _unrated(statement: Statement, at: int, ratings: Sequence[int], finds: Finds) -> None:
    """Read "12 x Schuko": outlets with a connector and no rating."""
    tokens = statement.tokens
    for place in range(at + 1, min(at + 4, len(tokens))):
        token = tokens[place]
        if token.kind in {"amps", "count", "stop"}:
            return
        named = next((said for concept, said in CONNECTORS.items() if token.means(concept)), "")
        if named:
            token_count = tokens[at]
            token_count.marks.add("taken")
            finds.add(statement, "power", f"{token_count.whole} x {named}", [at, place], [Doubt.FAR] if ratings else [])
            return


def _first(tokens: Sequence[Token], names: dict[str, str]) -> str:
    return next((said for token in tokens for concept, said in names.items() if token.means(concept)), "")
