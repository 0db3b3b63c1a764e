"""What bare numbers mean: inputs, lines back, mixes, wedges, people, what can be lent.

Whose inputs they are, the nearest box, desk or splitter says.
"""

from __future__ import annotations

from collections.abc import Callable

from portal.exchange.house_spec.facts.concepts import BOXES, DESKS, SUBJECTS
from portal.exchange.house_spec.facts.heads import Head, head_of
from portal.exchange.house_spec.finding import Finds, denied
from portal.exchange.house_spec.proposals import Doubt
from portal.exchange.house_spec.text.statements import HEADING_COST, Statement

FEW_PEOPLE = 25
"""Fewer than these are a crew unless the words say that a room holds them (common practice, no source)."""

SHORT_LINE = 5
"""Tokens of a line that says nothing else."""

BESIDE, IN_CLAUSE = 3, 6
"""How far, in words and signs, a word may stand that belongs to a number at once, or within its clause."""

_MIC_KINDS = ("dynamic", "condenser", "wireless")
_STOCK = {
    "di": ("dis", ("active", "passive")), "stand": ("stands", ("tall", "short")),
    **dict.fromkeys(("mic", "radio-mic", "condenser", "dynamic"), ("microphones", _MIC_KINDS)),
}  # fmt: skip
_NAMED_STOCK = {"radio-mic": "wireless", "condenser": "condenser", "dynamic": "dynamic"}


def read_counts(statement: Statement, finds: Finds) -> None:
    """Everything that bare numbers of the statement count."""
    for at, token in enumerate(statement.tokens):
        if "taken" in token.marks:
            continue
        if token.kind == "pair":
            _pair(statement, at, finds)
        elif token.kind == "count":
            _count(statement, at, finds)
    _none(statement, finds)


def _count(statement: Statement, at: int, finds: Finds) -> None:
    token = statement.tokens[at]
    head = head_of(statement, at)
    following = statement.tokens[at + 1] if at + 1 < len(statement.tokens) else None
    if "word" in token.marks and token.whole == 1 and not (following and following.means("only")):
        # The forms of one are articles as well: "ein Pult" counts nothing.
        return
    if head is not None:
        known = len(finds.found)
        _RULES[head.concept](statement, at, head, finds)
        if _one_of_several(statement, at, head):
            finds.doubt_bare(known)
    elif statement.about("box", "input", "channel") and statement.near(at, BESIDE, "free"):
        finds.add(statement, "inputs-free", token.whole, [at, statement.nearest(at, ("free",))[2]], [Doubt.FAR])
    elif (
        token.whole >= FEW_PEOPLE
        and statement.places("capacity", "people", "seat", "standing", "seated")
        and _beside_people(statement, at)
    ):
        finds.add(statement, "room-capacity", token.whole, [at], [Doubt.FAR])


def _one_of_several(statement: Statement, at: int, head: Head) -> bool:
    """True where the line counts more of the same: "4 x vocal, 2 x drums" under one label, or the noun twice."""
    for other, token in enumerate(statement.tokens):
        if token.kind != "count" or other == at or "taken" in token.marks:
            continue
        theirs = head_of(statement, other)
        if theirs is None:
            article = "word" in token.marks and token.whole == 1
            beside = 0 < other - at <= IN_CLAUSE and statement.commas(at, other) == 1
            if (beside or (head.label and other > head.place)) and not article:
                return True
        elif theirs.concept == head.concept and token.whole != statement.tokens[at].whole:
            return True
    return False


def _beside_people(statement: Statement, at: int) -> bool:
    """True for the second number of "425 GA / 210": nothing but words and a comma or slash lie between it and a number
    of people.
    """
    for other, token in enumerate(statement.tokens):
        if token.kind == "count" and other != at and token.whole >= FEW_PEOPLE and abs(other - at) <= IN_CLAUSE:
            head = head_of(statement, other)
            if head and head.concept in {"capacity", "people", "seat", "standing", "seated"}:
                return True
    return False


def _lines(statement: Statement, at: int, head: Head, finds: Finds) -> None:
    """Inputs, outputs and channels: of the box, of the desk, of a splitter, free or kept."""
    value, places = statement.tokens[at].whole, [at, head.place]
    subject, far, where = statement.nearest(at, SUBJECTS)
    free = head.concept != "output" and statement.near(at, IN_CLAUSE - 1, "free")
    if statement.near(at, IN_CLAUSE, "kept", "permanent", "house-use") and not free:
        return
    if free:
        finds.add(statement, "inputs-free", value, [*places, statement.nearest(at, ("free",))[2]])
    elif subject in DESKS:
        _of_desk(statement, at, head, finds)
    elif subject not in {"splitter", "recording"} and not (head.concept == "channel" and not subject):
        unclear = head.far or not subject or (head.concept == "channel" and subject == "multicore")
        unclear = unclear or (far >= HEADING_COST and not statement.about("box", "input", "stage"))
        doubts = [Doubt.FAR] if unclear else []
        doubts += [Doubt.PART] if _several_boxes(statement, at, where) else []
        second = is_second(statement, where, subject)
        if head.concept != "output":
            finds.add(statement, "second-box-inputs" if second else "box-inputs", value, [*places, where], doubts)
        elif not second:
            finds.add(statement, "returns", value, [*places, where], doubts)


def _of_desk(statement: Statement, at: int, head: Head, finds: Finds) -> None:
    where = statement.nearest(at, DESKS)[2]
    if head.concept != "output" and not statement.near(at, HEADING_COST - 1, "monitor-desk"):
        finds.add(
            statement,
            "desk-channels",
            statement.tokens[at].whole,
            [at, head.place, where],
            [Doubt.FAR] if where < 0 else [],
        )


def _several_boxes(statement: Statement, at: int, where: int) -> bool:
    """True where the box that a number belongs to is one of several: "two stage boxes, 16 inputs each"."""
    return any(
        token.kind == "count" and token.whole > 1 and place != at and head_of(statement, place) is None
        for place, token in enumerate(statement.tokens[: max(where, 0)])
        if where - place <= BESIDE
    )


def is_second(statement: Statement, where: int, subject: str) -> bool:
    """True where the box is the second one: by its word, its number or its letter."""
    if subject == "sub-box":
        return True
    if where < 0:
        return any("second" in above for above in statement.context)
    tokens = statement.tokens
    if any(token.means("second") for token in tokens[max(0, where - 2) : where]):
        return True
    after = tokens[where + 1] if where + 1 < len(tokens) else None
    return after is not None and ((after.kind == "count" and after.whole == 2) or after.text in {"b", "ii"})  # noqa: PLR2004


def _returns(statement: Statement, at: int, head: Head, finds: Finds) -> None:
    """Lines back to the stage; in French the same word also means monitors."""
    value, places = statement.tokens[at].whole, [at, head.place]
    if statement.tokens[head.place].means("monitor") and not statement.has("box", "input", "multicore"):
        if statement.has("channel") and not statement.has("mix"):
            finds.add(statement, "returns", value, places, [Doubt.FAR])
        else:
            finds.add(statement, "wedge-count", value, places, [] if statement.has("mix", "wedge") else [Doubt.FAR])
    elif not is_second(statement, statement.nearest(at, SUBJECTS)[2], ""):
        finds.add(statement, "returns", value, places, [Doubt.FAR] if head.far else [])


def _mixes(statement: Statement, at: int, head: Head, finds: Finds) -> None:
    if statement.tokens[head.place].means("bank") and statement.has("phantom"):
        return
    if (
        statement.tokens[head.place].means("input")
        and statement.has(*BOXES, "return")
        and not statement.has("wedge", "monitor")
    ):
        _lines(statement, at, head, finds)
        return
    if not statement.has("in-ear", "sub", "delay") or statement.has("wedge", "monitor"):
        finds.add(
            statement, "wedge-mixes", statement.tokens[at].whole, [at, head.place], [Doubt.FAR] if head.far else []
        )


def _wedges(statement: Statement, at: int, head: Head, finds: Finds) -> None:
    unclear = head.far or (head.concept == "monitor" and head.label and not statement.has("mix", "wedge"))
    finds.add(statement, "wedge-count", statement.tokens[at].whole, [at, head.place], [Doubt.FAR] if unclear else [])


def _capacity(statement: Statement, at: int, head: Head, finds: Finds) -> None:
    value = statement.tokens[at].whole
    if statement.about("other-room") or statement.near(at, IN_CLAUSE - 1, "engineer", "crew", "plugs"):
        return
    if value < FEW_PEOPLE and (
        head.concept in {"standing", "seated"} or not statement.about("capacity", "seat", "room")
    ):
        return
    beside = [concept for concept in ("seated", "standing") if statement.near(at, IN_CLAUSE, concept)]
    note = (
        min(beside, key=lambda concept: statement.nearest(at, (concept,))[1])
        if beside
        else "seated"
        if head.concept == "seat"
        else ""
    )
    companions = [
        one
        for one, token in enumerate(statement.tokens)
        if one != at and token.kind == "count" and token.whole >= FEW_PEOPLE and head_of(statement, one) is None
    ]
    doubts = [Doubt.TWO_VALUES] if any(abs(one - at) <= IN_CLAUSE for one in companions) else []
    finds.add(statement, "room-capacity", value, [at, head.place], doubts, note=note)


def _stock(statement: Statement, at: int, head: Head, finds: Finds) -> None:
    """Microphones, DIs and stands of the house; at a stage box, microphones are its inputs."""
    topic, kinds = _STOCK[head.concept]
    value, places = statement.tokens[at].whole, [at, head.place]
    if statement.near(at, IN_CLAUSE + 2, "bring", "kept") or (
        head.concept in {"condenser", "dynamic"} and not statement.about("mic", "di", "stand")
    ):
        return
    if head.concept == "mic" and statement.has(*BOXES, "return"):
        subject, _, where = statement.nearest(at, BOXES)
        second = is_second(statement, where, subject)
        finds.add(statement, "second-box-inputs" if second else "box-inputs", value, places, [Doubt.FAR])
        return
    low, high = min(at, head.place), max(at, head.place)
    times = any(token.text in {"x", "×"} for token in statement.tokens[high + 1 : high + 2])
    beyond = 4 if times else 2
    around = [token for token in statement.tokens[low : high + beyond] if token.kind == "word"]
    said = {kind for kind in kinds if any(token.means(kind) for token in around)}
    said |= {_NAMED_STOCK[head.concept]} if head.concept in _NAMED_STOCK else set()
    # "6 handheld dynamic" are of one kind or of the other.
    named = min(said) if len(said) == 1 else ""
    told = (
        head.label
        or bool(named)
        or head.concept not in {"mic", "radio-mic"}
        or statement.about("di", "stand", "is", "provided", "maybe")
    )
    told = told or any("mic" in above for above in statement.context) or len(statement.tokens) <= SHORT_LINE
    clear = told and not head.far and len(said) <= 1
    finds.add(statement, topic, f"{value} {named}".strip(), places, [] if clear else [Doubt.FAR])


def _risers(statement: Statement, at: int, head: Head, finds: Finds) -> None:
    if not any(token.kind in {"size", "pair"} for token in statement.tokens):
        finds.add(
            statement, "risers", str(statement.tokens[at].whole), [at, head.place], [Doubt.FAR] if head.far else []
        )


_RULES: dict[str, Callable[[Statement, int, Head, Finds], None]] = {
    "input": _lines, "output": _lines, "channel": _lines, "return": _returns, "mix": _mixes, "wedge": _wedges,
    "monitor": _wedges,
    "seat": _capacity, "people": _capacity, "capacity": _capacity, "standing": _capacity, "seated": _capacity,
    "riser": _risers,
    **dict.fromkeys(_STOCK, _stock),
}  # fmt: skip


def _pair(statement: Statement, at: int, finds: Finds) -> None:
    """Two numbers beside a stage box are its inputs and its lines back."""
    inputs, returns = statement.tokens[at].parts
    subject, far, where = statement.nearest(at, SUBJECTS)
    if (
        subject not in {"box", "multicore"}
        or where < 0
        or returns > inputs
        or statement.has("kept", "permanent", "house-use")
    ):
        return
    doubts = [Doubt.FAR] if far > IN_CLAUSE else []
    doubts += [Doubt.PART] if _several_boxes(statement, at, where) else []
    second = is_second(statement, where, subject)
    finds.add(statement, "second-box-inputs" if second else "box-inputs", inputs, [at, where], doubts)
    if not second:
        finds.add(statement, "returns", returns, [at, where], doubts)


def _none(statement: Statement, finds: Finds) -> None:
    """Count "no wedges" as none."""
    for concept, topic, value in (("wedge", "wedge-mixes", 0), ("di", "dis", "no"), ("riser", "risers", "no")):
        for place in statement.places(concept):
            if denied(statement, place):
                otherwise = statement.has("maybe") or any(token.kind == "size" for token in statement.tokens)
                finds.add(statement, topic, value, [place], [Doubt.CONDITION] if otherwise else [])
