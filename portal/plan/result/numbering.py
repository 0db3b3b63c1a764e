"""Which desk channel, box socket and loom way each line gets.

Conventional order; pairs on neighbours starting odd. Where a pair would start even, the next single line steps in front
of it; a vocal does not leave the vocals for that, then the last single line before the pairs steps behind them (common
practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from portal.plan.input.facts import Facts, Lock
from portal.plan.input.kinds import Role
from portal.plan.model import LoomWay, Spare
from portal.plan.options.boxes import (
    FIRST,
    HIGHEST_SOCKET,
    SECOND,
    channels_before_second,
    free_sockets,
    pair_places,
    second_box_inputs,
)
from portal.plan.result.agreed_channels import Block, keep_agreed
from portal.plan.result.routing import Routing, Sent, ranks
from portal.plan.result.socket_banks import apart_by_bank


@dataclass(frozen=True)
class Numbered:
    """A line with its place. ``line`` counts from 1 in desk order; ``box`` and ``box_socket`` as in ``Line``."""

    sent: Sent
    line: int
    box: str
    box_socket: int | None
    desk_channel: int
    loom: LoomWay | None


def number(
    routing: Routing, facts: Facts, locks: Sequence[Lock] = ()
) -> tuple[tuple[Numbered, ...], tuple[Spare, ...]]:
    """Numbers for every line, and the loom ways left over."""
    boxes = _boxes(routing, facts)
    boxed = [sent for box in boxes for sent in box.lines]
    patching = facts.value("patching")
    every = range(1, HIGHEST_SOCKET + 1)
    if patching == "soft":
        blocks = _blocks(sorted(boxed, key=lambda sent: sent.order))
        channels = _place(blocks, every)
        in_order = dict(channels)
        keep_agreed(channels, blocks, locks, every)
    else:
        in_order = {}
        standing = _standing(routing, boxed, boxes[0].sockets) if patching == "standing" and len(boxes) == 1 else None
        channels = standing or {
            line: channel for box in boxes for line, channel in _place(_blocks(box.lines), box.channels()).items()
        }
        keep_agreed(
            channels, _blocks(boxed), locks, [channel for box in boxes for channel in box.channels()], boxes[-1].before
        )
        channels |= apart_by_bank(boxed, channels, facts, locks, boxes[-1].before if len(boxes) > 1 else 0)
    channels |= _linked(routing.lines, boxes, channels)
    places = _sockets(boxes, channels, in_order)
    if patching == "soft":
        for one in boxes:
            there = {id(sent): places[id(sent)][1] for sent in one.lines}
            places |= {key: (one.name, socket) for key, socket in apart_by_bank(one.lines, there, facts, ()).items()}
    ways, spare = _loom_ways(routing, boxed, places)
    lines = []
    for position, sent in enumerate(sorted(routing.lines, key=lambda sent: channels[id(sent)]), start=1):
        box, socket = places.get(id(sent), ("", None))
        lines.append(Numbered(sent, position, box, socket, channels[id(sent)], ways.get(id(sent))))
    return tuple(lines), spare


@dataclass(frozen=True)
class _Box:
    """One stage box with the lines that the solver sent there. ``before``: the desk channels before the one of its
    socket 1.
    """

    name: str
    sockets: Sequence[int]
    before: int
    lines: list[Sent]

    def channels(self) -> list[int]:
        return [self.before + socket for socket in self.sockets]


def _boxes(routing: Routing, facts: Facts) -> list[_Box]:
    """The boxes with their lines: the last ones in desk order go to the second box, as many as the solver counted."""
    boxed = [sent for sent in routing.lines if sent.kind != "digital-link"]
    inputs = second_box_inputs(facts)
    if not inputs:
        return [_Box("", free_sockets(facts), 0, boxed)]
    through = [sent for sent in boxed if not sent.beside_the_loom]
    beside = [sent for sent in boxed if sent.beside_the_loom]
    there = _last(through, routing.lines_at_second) | _last(beside, routing.inputs_at_second - routing.lines_at_second)
    return [
        _Box(FIRST, free_sockets(facts), 0, [sent for sent in boxed if id(sent) not in there]),
        _Box(
            SECOND, range(1, inputs + 1), channels_before_second(facts), [sent for sent in boxed if id(sent) in there]
        ),
    ]


def _last(lines: Sequence[Sent], count: int) -> set[int]:
    """So many lines from the end of the list, pairs whole; where only pairs are left for one more line, one is
    parted.
    """

    def fills(blocks: Sequence[Block], needed: int) -> bool:
        singles = sum(len(block) == 1 for block in blocks)
        return any(
            (needed - taken) % 2 == 0 and (needed - taken) // 2 <= len(blocks) - singles
            for taken in range(min(singles, needed) + 1)
        )

    blocks = _blocks(lines)
    if not fills(blocks, count):
        blocks = [(sent,) for sent in lines]
    chosen: set[int] = set()
    while count:
        block = blocks.pop()
        if len(block) <= count and fills(blocks, count - len(block)):
            chosen |= {id(sent) for sent in block}
            count -= len(block)
    return chosen


def _sockets(
    boxes: Sequence[_Box], channels: Mapping[int, int], in_order: Mapping[int, int]
) -> dict[int, tuple[str, int]]:
    """Box and socket of each line, as the channels say. Where the desk patches softly (``in_order``: the conventional
    channels) the sockets keep that order one by one, whatever was agreed on at the desk: that moves no plug.
    """
    if in_order:
        return {
            id(sent): (box.name, box.sockets[index])
            for box in boxes
            for index, sent in enumerate(sorted(box.lines, key=lambda sent: in_order[id(sent)]))
        }
    places = {}
    for sent in (sent for box in boxes for sent in box.lines):
        channel = channels[id(sent)]
        box = boxes[-1] if channel > boxes[-1].before else boxes[0]
        places[id(sent)] = (box.name, channel - box.before)
    return places


def _linked(lines: Sequence[Sent], boxes: Sequence[_Box], taken: Mapping[int, int]) -> dict[int, int]:
    """Channels of what comes over a digital link: a bank of its own, behind the box's sockets as far as their number is
    known.
    """
    known = [channel for box in boxes if len(box.sockets) < HIGHEST_SOCKET for channel in box.channels()]
    behind = max([*taken.values(), *known], default=0)
    linked = [sent for sent in lines if sent.kind == "digital-link"]
    first = pair_places(behind)[1] + 1
    return _place(_blocks(linked), range(first, first + 2 * HIGHEST_SOCKET))


def _standing(routing: Routing, boxed: Sequence[Sent], sockets: Sequence[int]) -> dict[int, int] | None:
    """Channels as the whole list would have them, gaps left where something stays out; ``None`` where the sockets do
    not go that far.
    """
    rank = ranks(routing.units)
    whole = [
        tuple(
            Sent(
                (leg,),
                leg.label,
                "",
                (unit.order, rank[unit.key], leg_rank),
                pair=unit.key if unit.width > 1 else "",
                vocal=unit.role in (Role.BACKING, Role.LEAD),
            )
            for leg_rank, leg in enumerate(unit.legs)
        )
        for unit in sorted(routing.units, key=lambda unit: (unit.order, rank[unit.key]))
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


def _blocks(lines: Sequence[Sent]) -> list[Block]:
    blocks: list[Block] = []
    for sent in lines:
        if blocks and sent.pair and blocks[-1][0].pair == sent.pair:
            blocks[-1] = (*blocks[-1], sent)
        else:
            blocks.append((sent,))
    return blocks


def _place(blocks: list[Block], sockets: Sequence[int]) -> dict[int, int]:
    waiting = list(blocks)
    placed: list[Block] = []
    while waiting:
        position = sum(len(block) for block in placed)
        block = waiting[0]
        if len(block) > 1 and not _starts_odd(sockets, position):
            _make_room(waiting, placed)
        placed.append(waiting.pop(0))
    flat = [sent for block in placed for sent in block]
    return {id(sent): sockets[index] for index, sent in enumerate(flat)}


def _starts_odd(sockets: Sequence[int], position: int) -> bool:
    return position + 1 >= len(sockets) or tuple(sockets[position : position + 2]) == pair_places(sockets[position])


def _make_room(waiting: list[Block], placed: list[Block]) -> None:
    """Bring a single line in front of the waiting pair, or take the last single line behind the pairs."""
    ahead = next((index for index, block in enumerate(waiting) if len(block) == 1), None)
    last = placed[-1] if placed and len(placed[-1]) == 1 and not placed[-1][0].vocal else None
    if ahead is not None and (last is None or not waiting[ahead][0].vocal):
        waiting.insert(0, waiting.pop(ahead))
    elif last is not None:
        placed.pop()
        run = next((index for index, block in enumerate(waiting) if len(block) == 1), len(waiting))
        waiting.insert(run, last)


def _loom_ways(
    routing: Routing, lines: Sequence[Sent], places: Mapping[int, tuple[str, int]]
) -> tuple[dict[int, LoomWay], tuple[Spare, ...]]:
    taken: dict[int, LoomWay] = {}
    spare: list[Spare] = []
    by_socket = [sent for sent in sorted(lines, key=lambda sent: places[id(sent)]) if not sent.beside_the_loom]
    for second in (False, True):
        looms = [loom for loom in routing.looms if (loom.key in routing.to_second) == second]
        ways = [
            LoomWay(loom.key, loom.name or loom.key, way, loom.house_end)
            for loom in looms
            for way in range(1, loom.ways + 1)
        ]
        through = [sent for sent in by_socket if (places[id(sent)][0] == SECOND) == second]
        taken |= {id(sent): way for sent, way in zip(through, ways, strict=False)}
        spare += [Spare(way.key, way.name, way.way) for way in ways[len(through) :]]
    return taken, tuple(spare)
