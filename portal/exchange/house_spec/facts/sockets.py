"""Sockets by their numbers: what the house keeps, what stays plugged, what is free."""

from __future__ import annotations

from portal.exchange.house_spec.facts.concepts import BOXES
from portal.exchange.house_spec.finding import Finds
from portal.exchange.house_spec.proposals import Doubt
from portal.exchange.house_spec.text.statements import Statement
from portal.plan.input.answer_kinds import write_numbers

FAR, CLOSE = 18, 6
"""How far from its numbers the word may stand that says what they are for, and how far without a doubt."""

HIGHEST = 256
LONGEST_WORDS = 240
BETWEEN_HEAD_AND_NUMBERS = 3
FOR_WHOM = ("kept", "permanent", "house-use", "free")


def read_sockets(statement: Statement, finds: Finds) -> None:
    """Numbers after "inputs", "channels" or "lines", or after "reserved:", with a word that keeps or frees them."""
    done = -1
    _first_ones(statement, finds)
    for place in [*statement.places("input", "channel", "output"), *statement.places("kept", "permanent")]:
        start = _first_number(statement, place)
        while start > done:
            numbers, past = _numbers(statement, start)
            if not numbers:
                break
            # Of several runs a word before the first one says nothing sure of the others.
            after = start if done > place else -1
            _for_whom(statement, numbers, start, past, place, finds, after)
            done = past - 1
            start = _next_run(statement, past)
    if done < 0 and statement.about("input", "channel", "box") and statement.tokens[0].kind in {"run", "pair", "count"}:
        numbers, past = _numbers(statement, 0)
        if len(numbers) > 1:
            _for_whom(statement, numbers, 0, past, 0, finds)
    if statement.has("permanent") and (
        done >= 0 or statement.about("input", "channel", "box", "mic", "output") or _before_speaks_of_inputs(statement)
    ):
        _stays(statement, finds)


def _first_ones(statement: Statement, finds: Finds) -> None:
    """Read "the first four inputs are reserved"."""
    tokens = statement.tokens
    for place in statement.places("first"):
        around = tokens[place - 1 : place] + tokens[place + 1 : place + 2]
        count = next((token for token in around if token.kind == "count" and "taken" not in token.marks), None)
        if (
            count
            and count.whole > 1
            and statement.near(place, CLOSE, "input", "channel")
            and statement.near(place, FAR, "kept", "permanent", "house-use")
        ):
            count.marks.add("taken")
            at = tokens.index(count)
            finds.add(statement, "kept-sockets", f"1-{count.whole}", [place, at], [Doubt.DERIVED])


def _before_speaks_of_inputs(statement: Statement) -> bool:
    return statement.before is not None and statement.before.has("input", "channel")


def _first_number(statement: Statement, place: int) -> int:
    """Where the numbers behind a word begin; -1 where none do."""
    tokens = statement.tokens
    for at in range(place + 1, min(place + 2 + BETWEEN_HEAD_AND_NUMBERS, len(tokens))):
        token = tokens[at]
        if token.kind in {"run", "pair", "count", "bank"}:
            return at
        if token.kind != "word" and not token.stops(":", "cell", "(", "."):
            return -1
    return -1


def _next_run(statement: Statement, past: int) -> int:
    """A further run after a comma: "1-28 for bands, 29-32 for the DJ"."""
    for at in range(past, min(past + FAR, len(statement.tokens))):
        if statement.tokens[at].kind == "run" and statement.tokens[at - 1].stops(","):
            return at
    return -1


def _for_whom(
    statement: Statement, numbers: tuple[int, ...], start: int, past: int, head: int, finds: Finds, after: int = -1
) -> None:
    """Keep numbers as kept or free by the word that says so; sure only where it stands ``after`` a place."""
    several = len(numbers) > 1 or statement.tokens[start].kind != "count"
    told, far, at = min(
        ((statement.nearest(place, FOR_WHOM)) for place in (past - 1, start, head)), key=lambda found: found[1]
    )
    if head >= 0 and statement.tokens[head].means("kept", "permanent"):
        told, far, at = "kept", 0, head
    if at < 0 or far > FAR:
        told = ""
    following = statement.tokens[past] if past < len(statement.tokens) else None
    if not several and following is not None and following.text in {"x", "×"}:
        # "5 x vocal" counts things: it is no number of a socket.
        return
    radio = not several and statement.has("wireless", "radio-mic")
    if radio or (not several and told not in {"kept", "permanent", "house-use"}):
        return
    if not told and (numbers[0] == 1 or not statement.tokens[head].means("input", "channel")):
        return
    for token in statement.tokens[start:past]:
        token.marks.add("taken")
    places = [start, past - 1, *([head] if abs(head - start) <= FAR else []), *([at] if told else [])]
    if told == "free":
        doubts = [Doubt.FAR] if far > CLOSE or at < after else []
        finds.add(statement, "sockets-free", write_numbers(numbers), places, doubts)
        finds.add(statement, "inputs-free", len(numbers), places, doubts)
        return
    near = statement.tokens[past : at + 1] if at >= past else statement.tokens[at:start]
    # "1-16 go to the left box": they lead there, nobody keeps them.
    leads = told == "kept" and any(
        not token.concepts.isdisjoint(BOXES) for token in statement.tokens[at + 1 : at + CLOSE]
    )
    unclear = not told or leads or at < after or numbers[0] == 1 and any(token.stops(",") for token in near)  # noqa: RUF021
    finds.add(statement, "kept-sockets", write_numbers(numbers), places, [Doubt.FAR] if unclear else [])


def _stays(statement: Statement, finds: Finds) -> None:
    first, last = statement.tokens[0], statement.tokens[-1]
    words = " ".join(finds.text[first.start : last.end].split())
    if not statement.torn and len(words) <= LONGEST_WORDS:
        finds.add(statement, "stays-plugged", words, [0, len(statement.tokens) - 1])


def _numbers(statement: Statement, at: int) -> tuple[tuple[int, ...], int]:
    """The socket numbers that begin here, and where they end: a run, a pair, or numbers joined by commas, signs and
    "and".
    """
    numbers: set[int] = set()
    tokens, past, last_was_run = statement.tokens, at, False
    while at < len(tokens):
        token = tokens[at]
        if token.kind in {"run", "bank", "pair"} and not (last_was_run and tokens[at - 1].stops(",")):
            low, high = token.parts
            numbers.update(range(low, min(high, HIGHEST) + 1) if token.kind != "pair" else (low, high))
            last_was_run = True
        elif token.kind == "count" and "word" not in token.marks and not (last_was_run and tokens[at - 1].stops(",")):
            numbers.add(token.whole)
        elif not (token.text in {",", "/", "+", "&"} or token.means("and")):
            break
        at += 1
        past = at if token.kind in {"run", "bank", "pair", "count"} else past
    return tuple(sorted(one for one in numbers if 1 <= one <= HIGHEST)), past
