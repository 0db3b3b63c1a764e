"""Sockets by bank: where the house switches 48 V for several at once, what it can harm goes to a bank that stays off.

Lines exchange places, as few as will do; pairs stay where they are, and so does what both sides agreed on.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from portal.plan.input.facts import Facts
from portal.plan.model import Lock
from portal.plan.result.routing import Sent, harmed_at_the_desk, phantom_of

BANKS = {"banks-of-4": 4, "banks-of-8": 8}


def apart_by_bank(
    lines: Sequence[Sent], places: Mapping[int, int], facts: Facts, locks: Sequence[Lock], before: int = 0
) -> dict[int, int]:
    """Places by ``id`` with what 48 V can harm out of the banks in which the house feeds a microphone, as far as single
    lines can change places. ``before``: places of the first box, whose banks are counted apart.
    """
    size = BANKS.get(str(facts.value("phantom-switching")))
    found = {id(sent): places[id(sent)] for sent in lines}
    if size is None:
        return found
    agreed = {lock.source for lock in locks if lock.resource == "desk-channel"}

    def bank(place: int) -> tuple[bool, int]:
        return (place > before > 0, (place - 1 - (before if place > before > 0 else 0)) // size)

    def movable(sent: Sent) -> bool:
        return not sent.pair and not agreed & {source.key for source in sent.sources}

    fed = [sent for sent in lines if phantom_of(sent) == "house"]
    harmed = [sent for sent in lines if harmed_at_the_desk(sent)]
    for sent, others in (*((one, fed) for one in harmed), *((one, harmed) for one in fed)):
        off_limits = {bank(found[id(other)]) for other in others}
        if bank(found[id(sent)]) not in off_limits or not movable(sent):
            continue
        here = bank(found[id(sent)])
        partner = next(
            (
                other
                for other in sorted(lines, key=lambda one: found[id(one)])
                if movable(other)
                and other not in fed
                and other not in harmed
                and bank(found[id(other)]) not in off_limits
                and bank(found[id(other)])[0] == here[0]
            ),
            None,
        )
        if partner is not None:
            found[id(sent)], found[id(partner)] = found[id(partner)], found[id(sent)]
    return found
