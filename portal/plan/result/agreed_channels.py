"""Desk channels that both sides agreed on: the line goes there, its stereo partner goes along, and whatever stood there
takes the place left.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, MutableMapping, Sequence

from portal.plan.input.facts import Lock
from portal.plan.model import Line
from portal.plan.options.boxes import pair_places
from portal.plan.result.routing import Sent

Block = tuple[Sent, ...]
"""A single line, or both lines of a stereo pair."""


def keep_agreed(
    channels: MutableMapping[int, int],
    blocks: Sequence[Block],
    locks: Sequence[Lock],
    possible: Sequence[int],
    last_of_first: int = 0,
) -> None:
    """Change ``channels`` (by ``id`` of the line) as far as that can be. A pair starts odd, with its other line on the
    next channel; a lock for which that cannot be is left alone, and the rules say so.

    ``last_of_first``: the first box's last channel. Lines change boxes only with each other, and only where they travel
    alike.
    """
    for lock in locks:
        wanted = int(lock.value) if lock.resource == "desk-channel" and lock.value.isdecimal() else 0
        block = next(
            (block for block in blocks if any(source.key == lock.source for sent in block for source in sent.sources)),
            None,
        )
        if block is None or wanted not in possible:
            continue
        leg = next(
            index for index, sent in enumerate(block) if any(source.key == lock.source for source in sent.sources)
        )
        moves = _moves(channels, blocks, block, wanted - leg)
        if moves and set(moves.values()) <= set(possible) and _alike(channels, blocks, moves, last_of_first):
            channels.update(moves)


def torn_pair(lines: Sequence[Line], source: str, channel: int) -> str:
    """Why the line of a source cannot go to a desk channel, in a sentence: it would tear a stereo pair; empty where it
    can.
    """
    line = next((line for line in lines if source in line.sources), None)
    other = next((one for one in lines if line and one.line == line.stereo_partner), None)
    if line is None or other is None:
        return ""
    leg = int(line.desk_channel > other.desk_channel)
    if channel == pair_places(channel)[leg]:
        return ""
    near = " or ".join(str(one) for one in (channel - 1, channel + 1) if one > 0)
    return (
        f"{line.label} and {other.label} are a pair; a pair starts on an odd channel and takes the next one too. For"
        f" {line.label} enter {near}."
    )


def _moves(channels: Mapping[int, int], blocks: Sequence[Block], block: Block, start: int) -> dict[int, int]:
    """Who goes where once a block starts on a channel, by ``id``; empty where that would tear a pair."""
    moves = {id(sent): start + leg for leg, sent in enumerate(block)}
    taken, own = set(moves.values()), [channels[id(sent)] for sent in block]
    there = [other for other in blocks if other is not block and any(channels[id(sent)] in taken for sent in other)]
    left = [channel for channel in own if channel not in taken]
    pairs = [other for other in there if len(other) > 1]
    if len(block) > 1 and start != pair_places(start)[0]:
        return {}
    if len(block) == 1 and pairs:
        return moves | _slots_change(channels, blocks, block[0], pairs[0], start)
    if pairs and (len(there) > 1 or not _is_slot(left)):
        return {}
    return moves | dict(zip((id(sent) for other in there for sent in other), left, strict=False))


def _slots_change(
    channels: Mapping[int, int], blocks: Sequence[Block], single: Sent, pair: Block, wanted: int
) -> dict[int, int]:
    """A pair makes room for a single line: it takes the two channels where the single line stood, and the neighbour of
    that one comes along.
    """
    now = channels[id(single)]
    slot = pair_places(now)
    old = [channels[id(sent)] for sent in pair]
    beside = [other for other in blocks for sent in other if channels[id(sent)] in slot and sent is not single]
    if not _is_slot(old) or any(len(other) > 1 for other in beside):
        return {id(single): now}
    rest = next(channel for channel in old if channel != wanted)
    return dict(zip(map(id, pair), slot, strict=True)) | {id(other[0]): rest for other in beside}


def _is_slot(channels: Sequence[int]) -> bool:
    """True where the first two channels are the places of a pair."""
    return len(channels) > 1 and tuple(channels[:2]) == pair_places(channels[0])


def _alike(channels: Mapping[int, int], blocks: Sequence[Block], moves: Mapping[int, int], last_of_first: int) -> bool:
    """True where as many lines of each way of travel go to the second box as come from it."""
    if not last_of_first:
        return True
    balance: Counter[bool] = Counter()
    for sent in (sent for block in blocks for sent in block if id(sent) in moves):
        balance[sent.beside_the_loom] += (moves[id(sent)] > last_of_first) - (channels[id(sent)] > last_of_first)
    return not any(balance.values())
