"""Times of day: when music ends, and when load-in begins."""

from __future__ import annotations

import re

from portal.exchange.house_spec.finding import Finds
from portal.exchange.house_spec.proposals import Doubt
from portal.exchange.house_spec.text.scanning import Token
from portal.exchange.house_spec.text.statements import HEADING_COST, Statement

CLOSE, AT_ONCE = 12, 6
LATE = (19, 24)
"""Hours without a sign of time that can end an evening."""

NOON, DAY = 12 * 60, 24 * 60
EVENING = (6 * 60, NOON)
"""Half-day times between these can be evening times: a curfew at 11 is one."""

EARLIEST_HOUR, LAST_HALF_HOUR = 7, 12
"""Hours in words, without a sign of time, that can end an evening."""


def read_times(statement: Statement, finds: Finds) -> None:
    """Clock times by the nearest word that says what happens then."""
    for at, token in enumerate(statement.tokens):
        if token.kind == "clock":
            _time(statement, at, token.whole, "unclear" in token.marks, finds)
        elif token.kind == "count" and "taken" not in token.marks:
            _bare_hour(statement, at, token, finds)
        elif token.kind == "other" and (minutes := _dotted(token)) is not None:
            _time(statement, at, minutes, False, finds, Doubt.FAR)


def _time(statement: Statement, at: int, minutes: int, unclear: bool, finds: Finds, *doubts: Doubt) -> None:  # noqa: FBT001
    told, far, where = statement.nearest(at, ("curfew", "load-in-time", "other-time"))
    why = list(doubts)
    if not told or far >= HEADING_COST:
        ends, near, place = statement.nearest(at, ("ends",))
        if ends and place >= 0 and near <= CLOSE:
            music = statement.nearest(at, ("music",))
            told, far, where = "curfew", near, place
            why += [] if music[2] >= 0 and not doubts else [Doubt.FAR]
    if not told and statement.has("music") and statement.has("not", "forbidden"):
        told, far, where = "curfew", *statement.nearest(at, ("music",))[1:]
        why.append(Doubt.FAR)
    if not told and statement.near(at, AT_ONCE, "access"):
        told, far, where = "load-in-time", *statement.nearest(at, ("access",))[1:]
        why.append(Doubt.FAR)
    if told not in {"curfew", "load-in-time"}:
        return
    if far > CLOSE * 2 and (where >= 0 or far > HEADING_COST + 10):
        why.append(Doubt.FAR)
    if told == "curfew" and unclear and EVENING[0] <= minutes <= EVENING[1]:
        minutes += NOON
        why.append(Doubt.FAR)
    finds.add(statement, told, _clock(minutes), [at, where], why)


def _bare_hour(statement: Statement, at: int, token: Token, finds: Finds) -> None:
    """Read "half eleven" and "um elf": an hour in words or without a sign of time, beside the word for the end of
    music.
    """
    if token.text.isdigit() and (
        LATE[0] <= token.whole <= LATE[1] or re.fullmatch(r"(?:[01]\d|2[0-4])[0-5]\d", token.text)
    ):
        told, far, where = statement.nearest(at, ("curfew", "ends", "other-time"))
        hour, minute = divmod(token.whole, 100) if len(token.text) == 4 else (token.whole, 0)  # noqa: PLR2004
        if told in {"curfew", "ends"} and where >= 0 and far <= AT_ONCE and not _counts(statement.tokens, at):
            finds.add(statement, "curfew", _clock(hour * 60 + minute), [at, where], [Doubt.FAR])
        return
    if not 1 <= token.whole <= LAST_HALF_HOUR:
        return
    before = statement.tokens[at - 1] if at else None
    after = [one for one in statement.tokens[at + 1 : at + 3] if not one.means("and", "oclock") or one.means("half")]
    if after and after[0].means("half") and "word" in token.marks:
        half = 30
    elif before and before.means("half"):
        half = -30 if before.means("half-hour") else 30
    elif "word" in token.marks and token.whole >= EARLIEST_HOUR and not _counts(statement.tokens, at):
        half = 0
    else:
        return
    told, far, where = statement.nearest(at, ("curfew", "ends", "load-in-time", "other-time"))
    if told in {"curfew", "ends"} and where >= 0 and far <= CLOSE:
        finds.add(statement, "curfew", _clock(token.whole * 60 + half + NOON), [at, where], [Doubt.FAR])


def _clock(minutes: int) -> str:
    hour, minute = divmod(minutes % DAY, 60)
    return f"{hour:02d}:{minute:02d}"


def _counts(tokens: list[Token], at: int) -> bool:
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    return after is not None and after.kind == "word" and bool(after.concepts - {"curfew", "is", "ends"})


def _dotted(token: Token) -> int | None:
    """Read "23.30" where no word says that it is a time."""
    hour, point, minute = token.text.partition(".")
    if (
        point
        and hour.isdigit()
        and minute.isdigit()
        and len(hour) <= 2  # noqa: PLR2004 - the clock
        and len(minute) == 2  # noqa: PLR2004 - the clock
        and int(hour) <= 24  # noqa: PLR2004 - the clock
        and int(minute) < 60  # noqa: PLR2004 - the clock
    ):
        return int(hour) * 60 + int(minute)
    return None
