"""Where the stage boxes stand, and what the house desk is."""

from __future__ import annotations

from portal.exchange.house_spec.facts.concepts import SIDES
from portal.exchange.house_spec.facts.counts import is_second
from portal.exchange.house_spec.finding import Finds, denied
from portal.exchange.house_spec.proposals import Doubt
from portal.exchange.house_spec.text.statements import Statement

FAR, BESIDE = 22, 4
STANDING_THINGS = (
    "box",
    "sub-box",
    "multicore",
    "monitor-desk",
    "front",
    "desk",
    "door",
    "access",
    "socket",
    "power",
    "riser",
    "delay",
    "stairs",
    "ramp",
    "lift",
    "wedge",
)
OTHER_SIDE = {"stage-left": "stage-right", "stage-right": "stage-left"}
LONGEST_DESK = 120
MOST_DESK_WORDS = 14


def read_places(statement: Statement, finds: Finds) -> None:
    """The place of each box that the statement speaks of, and the desk's own words."""
    _box(statement, finds)
    _desk(statement, finds)


def _box(statement: Statement, finds: Finds) -> None:
    for place in statement.places(*SIDES):
        thing, far, where = statement.nearest(place, STANDING_THINGS)
        if (
            thing not in {"box", "sub-box", "multicore"}
            or (far > FAR and where >= 0)
            or (where < 0 and not _names_box(statement))
        ):
            continue
        side, doubts = _side(statement, place)
        topic = "second-box-place" if is_second(statement, where, thing) else "box-place"
        finds.add(statement, topic, side, [place, where], doubts)
        return


def _names_box(statement: Statement) -> bool:
    return bool(statement.context) and not statement.context[0].isdisjoint({"box", "sub-box", "multicore"})


def _side(statement: Statement, place: int) -> tuple[str, list[Doubt]]:
    """The option, and what is to be asked about it."""
    said = sorted(statement.tokens[place].concepts & SIDES.keys())
    near = [
        SIDES[one]
        for at in statement.places(*SIDES)
        if statement.apart(at, place) <= BESIDE
        for one in statement.tokens[at].concepts & SIDES.keys()
    ]
    sides = [one for one in near if one in OTHER_SIDE]
    side = sides[0] if sides else SIDES[said[0]]
    plain = any(
        not statement.tokens[at].concepts.isdisjoint({"left", "right"})
        for at in statement.places("left", "right")
        if statement.apart(at, place) <= BESIDE
    )
    doubts = []
    if len(set(near)) > 1 or said[0] in {"down-left", "down-right", "up-left", "up-right"}:
        doubts.append(Doubt.PART)
    if statement.has("audience-view"):
        return OTHER_SIDE.get(side, side), [*doubts, Doubt.WHOSE_SIDE]
    if plain and side in OTHER_SIDE and not statement.has("performer-view"):
        doubts.append(Doubt.WHOSE_SIDE)
    return side, doubts


_NO_DESK = ("monitor", "monitor-desk", "wedge", "mix", "capacity", "stage-height")


def _desk(statement: Statement, finds: Finds) -> None:
    """The clause that names the desk, in the house's own words."""
    places = [at for at in statement.places("desk", "front") if "monitor-desk" not in statement.tokens[at].concepts]
    if not places or statement.has("lighting", "visiting", "capable") and not statement.has("channel"):  # noqa: RUF021
        return
    place = places[0]
    tokens = statement.tokens
    if not any(_describes(statement, at) for at in range(max(0, place - 6), min(place + 8, len(tokens)))) or denied(
        statement, place
    ):
        return
    thing, far, _ = statement.nearest(place, ("monitor-desk", "monitor", "recording"))
    if thing and far < BESIDE and not statement.has("front"):
        return
    described = [at for at in range(max(0, place - 6), min(place + 8, len(tokens))) if _describes(statement, at)]
    low, high = _clause(statement, place, described[0])
    words = " ".join(finds.text[tokens[low].start : tokens[high].end].split()).strip(" .,:;-")
    if words and len(words) <= LONGEST_DESK:
        # A clause with more in it than a desk may speak of something else.
        others = any(token.kind in {"phone", "mail"} or token.means(*_NO_DESK) for token in tokens[low : high + 1])
        finds.add(statement, "desk", words, [low, high], [Doubt.FAR] if others else [])


def _describes(statement: Statement, at: int) -> bool:
    token = statement.tokens[at]
    counts = at > 0 and statement.tokens[at - 1].kind == "count" and not token.concepts.isdisjoint({"channel", "input"})
    return counts or token.text.startswith(("digital", "digitaal", "analog", "numeri", "analoog"))


def _clause(statement: Statement, place: int, described: int) -> tuple[int, int]:
    """From the cell's or clause's start to its end; a comma before a number of channels is passed, brackets opened are
    closed.
    """
    tokens = statement.tokens
    first = min(place, described)
    if any(token.text in {"cell", ":"} for token in tokens[first : max(place, described)]):
        first = described
    low = max(
        (at + 1 for at in range(first) if tokens[at].kind == "stop" and tokens[at].text in {";", ":", "cell", ","}),
        default=0,
    )
    high = first
    for at in range(first, min(first + MOST_DESK_WORDS, len(tokens))):
        token = tokens[at]
        if token.kind == "stop" and token.text in {";", "cell", "."}:
            break
        if token.text == ")":
            return low, at
        if (
            token.kind == "stop"
            and token.text == ","
            and not any(_describes(statement, later) for later in range(at, min(at + 4, len(tokens))))
        ):
            break
        high = at
    return low, high
