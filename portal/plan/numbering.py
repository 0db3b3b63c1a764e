"""Which desk channel, box socket and loom way each line gets.

Conventional order; pairs on neighbours starting odd. Where a pair would start even, the next single line steps in front of it; a
vocal does not leave the vocals for that, then the last single line before the pairs steps behind them (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from portal.plan.answer_kinds import read_numbers
from portal.plan.columns import working_inputs
from portal.plan.facts import Facts
from portal.plan.routing import Routing, Sent
from portal.plan.words import BESIDE_THE_LOOM, Lock, LoomWay, Spare

HIGHEST_SOCKET = 128


@dataclass(frozen=True)
class Numbered:
    """A line with its place: ``line`` counts from 1 in desk order; ``box_socket`` is ``None`` over a digital link."""

    sent: Sent
    line: int
    box_socket: int | None
    desk_channel: int
    loom: LoomWay | None


def number(routing: Routing, facts: Facts, locks: Sequence[Lock] = ()) -> tuple[tuple[Numbered, ...], tuple[Spare, ...]]:
    """Numbers for every line, and the loom ways left over."""
    sockets = free_sockets(facts)
    boxed = [sent for sent in routing.lines if sent.kind != "digital-link"]
    blocks = _blocks(boxed)
    patching = facts.value("patching")
    if patching == "soft":
        channels = _place(blocks, range(1, HIGHEST_SOCKET + 1))
    elif patching == "standing":
        channels = _standing(routing, boxed, sockets) or _place(blocks, sockets)
    else:
        channels = _place(blocks, sockets)
    _apply_locks(channels, boxed, locks, range(1, HIGHEST_SOCKET + 1) if patching == "soft" else sockets)
    box = dict(channels)
    if patching == "soft":
        box = {id(sent): sockets[index] for index, sent in enumerate(sorted(boxed, key=_way_order))}
    channels |= _linked(routing.lines, sockets, channels)
    desk_order = sorted(routing.lines, key=lambda sent: channels[id(sent)])
    ways, spare = _loom_ways(routing, sorted(boxed, key=lambda sent: box[id(sent)]))
    lines = tuple(
        Numbered(sent, position, box.get(id(sent)), channels[id(sent)], ways.get(id(sent))) for position, sent in enumerate(desk_order, start=1)
    )
    return lines, spare


def _linked(lines: Sequence[Sent], sockets: Sequence[int], taken: Mapping[int, int]) -> dict[int, int]:
    """Channels of what comes over a digital link: a bank of its own, behind the box's sockets as far as their number is known."""
    behind = max([*taken.values(), *(sockets if len(sockets) < HIGHEST_SOCKET else ())], default=0)
    linked = [sent for sent in lines if sent.kind == "digital-link"]
    first = behind + 1 if behind % 2 == 0 else behind + 2
    return _place(_blocks(linked), range(first, first + 2 * HIGHEST_SOCKET))


def _standing(routing: Routing, boxed: Sequence[Sent], sockets: Sequence[int]) -> dict[int, int] | None:
    """Channels as the whole list would have them, gaps left where something stays out; ``None`` where the sockets do not go that far."""
    whole = [
        tuple(
            Sent((leg,), leg.label, "", (unit.order, rank, leg_rank), pair=unit.key if unit.width > 1 else "")
            for leg_rank, leg in enumerate(unit.legs)
        )
        for rank, unit in sorted(enumerate(routing.units), key=lambda one: (one[1].order, one[0]))
    ]
    places = _place(whole, range(1, HIGHEST_SOCKET + 1))
    place_of = {sent.sources[0].key: places[id(sent)] for block in whole for sent in block}
    channels: dict[int, int] = {}
    for sent in boxed:
        free = sorted({place_of[source.key] for source in sent.sources} - set(channels.values()))
        if not free or free[0] not in sockets:
            return None
        channels[id(sent)] = free[0]
    return channels


def free_sockets(facts: Facts) -> Sequence[int]:
    """The sockets that are ours, in order: those named, else 1, 2, 3 ... as many as there are."""
    named = facts.value("sockets-free")
    sockets = read_numbers(named) if isinstance(named, str) else range(1, HIGHEST_SOCKET + 1)
    return sockets[: working_inputs(facts)]


def _blocks(lines: Sequence[Sent]) -> list[tuple[Sent, ...]]:
    blocks: list[tuple[Sent, ...]] = []
    for sent in lines:
        if blocks and sent.pair and blocks[-1][0].pair == sent.pair:
            blocks[-1] = (*blocks[-1], sent)
        else:
            blocks.append((sent,))
    return blocks


def _place(blocks: list[tuple[Sent, ...]], sockets: Sequence[int]) -> dict[int, int]:
    waiting = list(blocks)
    placed: list[tuple[Sent, ...]] = []
    while waiting:
        position = sum(len(block) for block in placed)
        block = waiting[0]
        if len(block) > 1 and not _starts_odd(sockets, position):
            _make_room(waiting, placed)
        placed.append(waiting.pop(0))
    flat = [sent for block in placed for sent in block]
    return {id(sent): sockets[index] for index, sent in enumerate(flat)}


def _starts_odd(sockets: Sequence[int], position: int) -> bool:
    if position + 1 >= len(sockets):
        return True
    return sockets[position] % 2 == 1 and sockets[position + 1] == sockets[position] + 1


def _make_room(waiting: list[tuple[Sent, ...]], placed: list[tuple[Sent, ...]]) -> None:
    """Bring a single line in front of the waiting pair, or take the last single line behind the pairs."""
    ahead = next((index for index, block in enumerate(waiting) if len(block) == 1), None)
    last = placed[-1] if placed and len(placed[-1]) == 1 and not placed[-1][0].vocal else None
    if ahead is not None and (last is None or not waiting[ahead][0].vocal):
        waiting.insert(0, waiting.pop(ahead))
    elif last is not None:
        placed.pop()
        run = next((index for index, block in enumerate(waiting) if len(block) == 1), len(waiting))
        waiting.insert(run, last)


def _way_order(sent: Sent) -> tuple[int, str, int, tuple[int, int, int]]:
    if sent.splitter is not None:
        return (0, sent.splitter.key, sent.way or 0, sent.order)
    return (1, "", 0, sent.order)


def _apply_locks(channels: dict[int, int], lines: Sequence[Sent], locks: Sequence[Lock], possible: Sequence[int]) -> None:
    """A line that both sides put on a channel goes there, if there is such a channel; whatever stood there takes its place."""
    for lock in locks:
        wanted = int(lock.value) if lock.resource == "desk-channel" and lock.value.isdecimal() else 0
        sent = next((sent for sent in lines if any(source.key == lock.source for source in sent.sources)), None)
        if wanted not in possible or sent is None:
            continue
        for other, channel in channels.items():
            if channel == wanted:
                channels[other] = channels[id(sent)]
        channels[id(sent)] = wanted


def _loom_ways(routing: Routing, by_socket: Sequence[Sent]) -> tuple[dict[int, LoomWay], tuple[Spare, ...]]:
    ways = [LoomWay(loom.key, loom.name or loom.key, way, loom.house_end) for loom in routing.looms for way in range(1, loom.ways + 1)]
    through = [sent for sent in by_socket if sent.kind not in BESIDE_THE_LOOM]
    taken = {id(sent): way for sent, way in zip(through, ways, strict=False)}
    spare = tuple(Spare(way.key, way.name, way.way) for way in ways[len(taken) :])
    return taken, spare
