"""Facts that are one of a few: each by a key concept, whose it must be, and what a "no" makes of it. The table is the
reader's knowledge of them.
"""

from __future__ import annotations

from dataclasses import dataclass

from portal.exchange.house_spec.finding import Finds, denied, perhaps_denied
from portal.exchange.house_spec.proposals import Doubt
from portal.exchange.house_spec.text.statements import Statement


@dataclass(frozen=True)
class Choice:
    """Where ``key`` stands and the nearest of ``of`` and ``rivals`` is in ``of``, the topic has the value; where it is
    denied, ``denied``, if any.

    ``far``: how far ``of`` may be. ``needs``: what must stand in the statement or above it; ``without``: what must not
    stand in it. ``doubt``: always. ``above``: whether a heading's words count.
    """

    topic: str
    value: str
    key: str
    of: tuple[str, ...] = ()
    rivals: tuple[str, ...] = ()
    far: int = 14
    denied: str = ""
    needs: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    doubt: Doubt | None = None
    above: bool = True


_ON_STAGE = ("monitor", "wedge", "mix", "return", "in-ear", "di", "recording", "monitor-desk", "input", "channel")
_HEARD = (
    "sub",
    "front-fill",
    "delay",
    "monitor",
    "wedge",
    "mix",
    "return",
    "in-ear",
    "di",
    "recording",
    "monitor-desk",
    "input",
    "channel",
    "other-fill",
)

CHOICES: tuple[Choice, ...] = (
    Choice("pa", "stereo", "stereo", of=("pa", "audio"), rivals=_ON_STAGE, far=60),
    Choice("pa", "mono", "mono", of=("pa", "audio"), rivals=_HEARD, far=20),
    Choice(
        "pa",
        "stereo",
        "stereo",
        of=("sub", "front-fill", "delay"),
        rivals=_ON_STAGE,
        far=8,
        doubt=Doubt.DERIVED,
        above=False,
    ),
    Choice(
        "subs",
        "own-send",
        "own-send",
        of=("sub",),
        rivals=("mix", "monitor", "delay", "front-fill", "wedge", "other-fill"),
        denied="with-mains",
        above=False,
    ),
    Choice(
        "subs", "with-mains", "with-mains", of=("sub",), rivals=("delay", "front-fill", "wedge", "monitor"), above=False
    ),
    Choice("front-fills", "yes", "front-fill", denied="no", without=("effects",)),
    Choice("delays", "yes", "delay", denied="no", without=("effects",)),
    Choice("monitor-desk", "own", "monitor-desk", denied="front"),
    Choice("house-split", "yes", "splitter", denied="no", without=("lighting", "door")),
    Choice(
        "phantom-switching", "per-channel", "each", of=("phantom",), rivals=("power", "wedge", "mix", "socket"), far=60
    ),
    Choice("phantom-switching", "all", "one-switch", of=("phantom",), far=60),
    Choice("phantom-switching", "banks-of-8", "bank-of-8", of=("phantom",), far=60),
    Choice("phantom-switching", "banks-of-4", "bank-of-4", of=("phantom",), far=60),
    Choice("patching", "soft", "soft"),
    Choice(
        "patching",
        "one-to-one",
        "one-to-one",
        needs=("input", "channel", "box", "soft", "desk", "input-list", "plugs", "socket", "patch"),
    ),
    Choice("patching", "standing", "fixed-patch"),
    Choice("line-inputs", "yes", "line-level", of=("input", "accept", "box"), denied="no", above=False),
    Choice("talkback", "yes", "talkback", denied="no", doubt=Doubt.DERIVED),
    Choice(
        "other-feeds",
        "recording-or-stream",
        "recording",
        of=("splitter", "input", "box", "accept"),
        doubt=Doubt.DERIVED,
        above=False,
    ),
    Choice("sound-check", "sound-check", "sound-check", doubt=Doubt.DERIVED, without=("line-check",)),
    Choice("sound-check", "line-check", "line-check"),
    Choice("who-plugs", "house", "plugs", of=("crew", "technical-role", "engineer"), rivals=("power",), above=False),
    Choice("who-plugs", "band", "band-crew"),
    Choice(
        "setting",
        "outdoors",
        "outdoors",
        of=("stage", "room", "roofed"),
        rivals=("access", "measured", "limit", "lift", "stairs"),
        far=20,
    ),
    Choice(
        "setting",
        "indoors",
        "indoors",
        of=("stage", "room"),
        rivals=("access", "measured", "limit"),
        far=20,
        doubt=Doubt.DERIVED,
    ),
    Choice("load-in-access", "level", "level-way", without=("public",)),
    Choice("load-in-access", "ramp", "ramp", without=("public",)),
    Choice("load-in-access", "stairs", "stairs", without=("public",)),
    Choice("load-in-access", "lift", "lift", without=("public",)),
)


def read_choices(statement: Statement, finds: Finds) -> None:
    """Every entry of the table that the statement fits."""
    present = frozenset().union(*(token.concepts for token in statement.tokens))
    for choice in CHOICES:
        if (
            choice.key in present
            and present.isdisjoint(choice.without)
            and (not choice.needs or statement.about(*choice.needs))
        ):
            _choice(statement, choice, finds)
    _banks(statement, finds)
    _monitors_from_front(statement, finds)
    _own_under_heading(statement, finds)
    _one_distribution(statement, finds)


def _choice(statement: Statement, choice: Choice, finds: Finds) -> None:
    for place in statement.places(choice.key):
        places = [place]
        if choice.of:
            thing, far, where = statement.nearest(place, (*choice.of, *choice.rivals))
            own = statement.tokens[place].concepts & set(choice.of)
            if own:
                thing, far, where = min(own), 0, place
            if thing not in choice.of or far > choice.far or (where < 0 and not choice.above):
                continue
            places.append(where)
        said = denied(statement, place) or (
            choice.key == "splitter" and any(denied(statement, one) for one in places if one >= 0)
        )
        value = choice.denied if said else choice.value
        doubts = [choice.doubt] if choice.doubt else []
        if not said and perhaps_denied(statement, place):
            doubts.append(Doubt.FAR)
        if value:
            finds.add(statement, choice.topic, value, places, [*doubts, *_own_doubts(statement, choice, said=said)])
            return


def _own_doubts(statement: Statement, choice: Choice, *, said: bool) -> list[Doubt]:
    """What only some topics have to ask."""
    if choice.topic == "load-in-access" and (
        not statement.about("access", "door", "load-in-time") or (choice.value == "level" and statement.has("stairs"))
    ):
        return [Doubt.FAR]
    if (
        choice.topic == "house-split"
        and not said
        and not statement.has("channel", "provided", "active", "passive", "yes", "input")
    ):
        return [Doubt.FAR]
    if (
        choice.topic == "sound-check"
        and choice.value == "line-check"
        and statement.has("sound-check")
        and not _no_sound_check(statement)
    ):
        return [Doubt.FAR]
    if choice.topic == "pa" and statement.has("mono") and statement.has("stereo"):
        return [Doubt.TWO_VALUES]
    if choice.topic == "subs" and said:
        return [Doubt.DERIVED]
    return []


def _no_sound_check(statement: Statement) -> bool:
    return any(denied(statement, place) for place in statement.places("sound-check"))


def _banks(statement: Statement, finds: Finds) -> None:
    """48 V "in banks of eight": the number stands beside the word."""
    for place in statement.places("bank"):
        thing, _, where = statement.nearest(place, ("phantom",))
        if not thing:
            continue
        for at in range(max(0, place - 2), min(place + 4, len(statement.tokens))):
            token = statement.tokens[at]
            if token.kind == "count" and token.whole in {4, 8} and "taken" not in token.marks:
                finds.add(statement, "phantom-switching", f"banks-of-{token.whole}", [place, at, where])
                return


def _monitors_from_front(statement: Statement, finds: Finds) -> None:
    """Monitors that are mixed from the house desk."""
    if not statement.about("monitor", "wedge", "mix") or statement.has("monitor-desk"):
        return
    for place in statement.places("mixing", "from"):
        front, far, where = statement.nearest(place, ("front", "desk"))
        if (
            front
            and where >= 0
            and far <= (3 if statement.tokens[place].means("from") else 5)
            and where != place
            and _speaks_of_monitors(statement, place, where)
        ):
            doubts = [] if front == "front" else [Doubt.FAR]
            finds.add(statement, "monitor-desk", "front", [place, where], doubts)
            return


def _own_under_heading(statement: Statement, finds: Finds) -> None:
    """A desk that is named under a heading for monitors, and is not the house desk."""
    desks = statement.places("desk")
    under = any(above & {"monitor", "wedge"} for above in statement.context)
    if desks and under and not statement.has("front", "monitor-desk", "mixing") and not denied(statement, desks[0]):
        finds.add(statement, "monitor-desk", "own", desks[:1], [Doubt.FAR])


def _speaks_of_monitors(statement: Statement, place: int, where: int) -> bool:
    others = [
        at for at in statement.places("monitor", "wedge", "mix") if at not in {place, where} and at < max(place, where)
    ]
    return (
        bool(others)
        or any(not above.isdisjoint({"monitor", "wedge"}) for above in statement.context)
        or "monitor" in statement.tokens[place].text
    )


def _one_distribution(statement: Statement, finds: Finds) -> None:
    for place in statement.places("same"):
        _, far, where = statement.nearest(place, ("supply",))
        if statement.tokens[place].means("supply") or " " in statement.tokens[place].text:
            far, where = 0, place
        if where < 0 or far > 4 or denied(statement, place) or statement.has("wedge", "monitor", "mix"):  # noqa: PLR2004 - side by side
            continue
        if not statement.about("power", "socket", "audio", "desk", "front"):
            continue
        told = statement.has("audio", "desk", "front") and not statement.has("lighting")
        # Circuits on one phase may well come from two distributions.
        clear = told and not statement.has("phase")
        finds.add(statement, "one-distribution", "yes", [place, where], [] if clear else [Doubt.DERIVED])
        return
