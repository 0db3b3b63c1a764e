"""Two singers of one part at one microphone: who may by the band's word, and what contradicts that word."""

from __future__ import annotations

from collections.abc import Iterator

from portal.plan.input.kinds import kind_of
from portal.plan.input.rig import Rig, Source

VOICE = "voice.vocals"
"""The one kind that two can sing at: a headset and a choir's microphone are no voice of one singer."""

NO_STAND = frozenset({"none", "clip"})
"""A microphone for two stands between them; what is worn or held cannot."""


def stands_for_two(source: Source) -> bool:
    """Whether two can sing at it: a singer's microphone on a cable and on a stand."""
    kind = kind_of(source.what)
    stand = source.stand or kind.stand
    return source.what == VOICE and (source.capture or kind.capture) == "mic" and stand not in NO_STAND


def of_one_part(one: Source, other: Source) -> bool:
    """Whether two voices sing one part: both lead or neither, and of one section."""
    return (one.lead, one.family) == (other.lead, other.family)


def may_share(one: Source, other: Source, *, both_say: bool) -> bool:
    """Whether two voices may share a microphone: one of their rows names the other, or each does where ``both_say``."""
    said = (one.one_microphone_with == other.key, other.one_microphone_with == one.key)
    named = all(said) if both_say else any(said)
    return named and of_one_part(one, other) and stands_for_two(one) and stands_for_two(other)


def contradictions(rig: Rig) -> Iterator[tuple[int, str, tuple[int, ...]]]:
    """What a row names that cannot be, with the rows that it was read from: the row counted from 0, a sentence that
    says what to do, and the others.
    """
    at = {source.key: row for row, source in reversed(list(enumerate(rig.source))) if source.key}
    named_by: dict[str, int] = {}
    for row, source in enumerate(rig.source):
        key = source.one_microphone_with
        if not key:
            continue
        place = at.get(key)
        if place is None:
            said = f'Row {row + 1} shares a microphone with "{key}", which is not in the rig.'
            yield row, f"{said} Choose another singer, or none.", ()
        elif place == row:
            yield row, f"Row {row + 1} shares a microphone with itself. Choose another singer, or none.", ()
        elif wrong := _unfit(row, source) or _unfit(place, rig.source[place]):
            yield row, f"{wrong} Choose another singer, or none.", (place,)
        elif not of_one_part(source, rig.source[place]):
            said = f"Rows {row + 1} and {place + 1} sing two parts: a lead and a backing vocal, or two sections."
            yield row, f"{said} Choose a singer of the same part, or none.", (place,)
        elif (third := _third(row, place, rig, at, named_by)) is not None:
            said = f"Rows {row + 1} and {third + 1} both share a microphone with row {place + 1}."
            yield row, f"{said} Two sing at one microphone: choose another singer, or none.", (place, third)
        named_by.setdefault(key, row)


def _third(row: int, place: int, rig: Rig, at: dict[str, int], named_by: dict[str, int]) -> int | None:
    """The other row that shares a microphone with the one at ``place``."""
    before = named_by.get(rig.source[place].key)
    if before is not None:
        return before
    named = at.get(rig.source[place].one_microphone_with)
    return named if named not in (None, row, place) else None


def _unfit(row: int, source: Source) -> str:
    """Why two cannot sing at a row's microphone; empty where they can."""
    kind = kind_of(source.what)
    if source.what != VOICE:
        return f"Row {row + 1} is {kind.words.lower()}, not a vocal: only two singers share a microphone."
    capture = source.capture or kind.capture
    if capture == "wireless":
        return f"Row {row + 1} is a wireless microphone, which one singer wears or holds."
    if capture != "mic":
        return f"Row {row + 1} is not picked up by a microphone."
    if not stands_for_two(source):
        return f"Row {row + 1} has no stand, and two sing only at a microphone on a stand."
    return ""
