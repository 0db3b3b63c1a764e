"""What in a rig contradicts itself: found once, for the row editor, the importer and the command line alike.

A reader checks each key by itself; here one row is held against the others. Sentences name both sides and what to do;
rows are counted from 1.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass, fields
from dataclasses import field as a_field
from typing import TypeVar

from portal.plan.input.kinds import Role, kind_of
from portal.plan.input.one_microphone import contradictions
from portal.plan.input.rig import EARS, FEEDS, Rig, Source

V = TypeVar("V", bound=Hashable)

STAYS = {"ears-only": "in-ears only", "rehearsal-only": "rehearsal only"}
"""Where a source may go that never reaches the house, in words."""


@dataclass(frozen=True)
class RigFault:
    """One contradiction. ``row`` is the place in ``rig.source`` counted from 0, or ``None`` where it is not about a
    source; ``others`` are further rows that it was read from.
    """

    row: int | None
    field: str
    sentence: str
    others: tuple[int, ...] = a_field(default=(), compare=False)


def faults(rig: Rig) -> tuple[RigFault, ...]:
    """Every contradiction: those of sources in the order of their rows, then those of the rest of the rig."""
    found = [fault for check in CHECKS for fault in check(rig)]
    return tuple(sorted(found, key=lambda fault: len(rig.source) if fault.row is None else fault.row))


def _keys_and_labels(rig: Rig) -> Iterator[RigFault]:
    for row, source in enumerate(rig.source):
        if not source.key:
            yield RigFault(row, "key", f"Row {row + 1} has no key. Give it one that no other row has.")
        if not source.label.strip():
            yield RigFault(row, "label", f"Row {row + 1} has no label. Write what the band calls it.")
    for key, rows in _shared(rig, lambda source: source.key or None):
        yield RigFault(
            rows[0], "key", f'{_rows(rows)} have the key "{key}". Give each row a key of its own.', tuple(rows[1:])
        )
    for _, rows in _shared(rig, _label_and_player):
        if not _is_told_apart(rig, rows):
            label = rig.source[rows[0]].label
            yield RigFault(
                rows[0],
                "label",
                f'{_rows(rows)} are called "{label}". Make each label say which one it is.',
                tuple(rows[1:]),
            )


def _label_and_player(source: Source) -> tuple[str, str] | None:
    label = source.label.strip()
    return (label.casefold(), source.player.strip().casefold()) if label else None


def _is_told_apart(rig: Rig, rows: list[int]) -> bool:
    """True for the two halves of one pair whose positions say which is which."""
    if len(rows) != 2:  # noqa: PLR2004 - a pair has two halves
        return False
    one, other = (rig.source[row] for row in rows)
    return one.pair_with == other.key and "" not in (one.position, other.position) and one.position != other.position


def _mixer_inputs(rig: Rig) -> Iterator[RigFault]:
    for number, rows in _shared(rig, lambda source: source.mixer_input):
        if not _never_together(rig, rows):
            yield RigFault(
                rows[0],
                "mixer_input",
                f"{_rows(rows)} use mixer input {number}. Give {_others(rows)} another input.",
                tuple(rows[1:]),
            )
    inputs = rig.mixer.inputs
    for row, source in enumerate(rig.source):
        if inputs is not None and source.mixer_input is not None and source.mixer_input > inputs:
            said = f"Row {row + 1} uses mixer input {source.mixer_input}; the mixer has {_count(inputs, 'input')}."
            yield RigFault(
                row, "mixer_input", f"{said} Give the row an input that the mixer has, or change the mixer's inputs."
            )


def _splitter_ways(rig: Rig) -> Iterator[RigFault]:
    splitters = {splitter.key: splitter for splitter in rig.splitter}
    for row, source in enumerate(rig.source):
        if source.splitter and source.splitter not in splitters:
            said = f'Row {row + 1} is wired to the splitter "{source.splitter}", which is not in the rig.'
            yield RigFault(row, "splitter", f"{said} Name one of the rig's splitters, or leave it empty.")
        if source.way is None:
            continue
        if not source.splitter:
            yield RigFault(
                row,
                "way",
                f"Row {row + 1} has the splitter way {source.way} and no splitter. Name the splitter as well.",
            )
        elif source.splitter in splitters and source.way > splitters[source.splitter].ways:
            splitter = splitters[source.splitter]
            said = (
                f"Row {row + 1} uses way {source.way} of {splitter.name or splitter.key}, which has"
                f" {_count(splitter.ways, 'way')}."
            )
            yield RigFault(row, "way", f"{said} Give the row a way that the splitter has.")
    for (key, way), rows in _shared(
        rig, lambda source: (source.splitter, source.way) if source.splitter and source.way else None
    ):
        if not _never_together(rig, rows):
            name = splitters[key].name or key if key in splitters else key
            yield RigFault(
                rows[0],
                "way",
                f"{_rows(rows)} use way {way} of {name}. Give {_others(rows)} another way.",
                tuple(rows[1:]),
            )


def _pairs(rig: Rig) -> Iterator[RigFault]:
    at = _by_key(rig)
    for row, source in enumerate(rig.source):
        if source.inseparable and not source.pair_with:
            said = f"Row {row + 1} is marked inseparable and has no other half."
            yield RigFault(row, "inseparable", f"{said} Pair it with its other half, or take the mark away.")
        if not source.pair_with:
            continue
        if source.pair_with == source.key:
            yield RigFault(row, "pair_with", f"Row {row + 1} is paired with itself. Choose the other half, or none.")
            continue
        other_row = at.get(source.pair_with)
        if other_row is None:
            said = f'Row {row + 1} is paired with "{source.pair_with}", which is not in the rig.'
            yield RigFault(row, "pair_with", f"{said} Choose the other half, or none.")
            continue
        other = rig.source[other_row]
        if other.pair_with != source.key:
            said = (
                f"Row {row + 1} is paired with row {other_row + 1}, and row {other_row + 1} is not paired with row"
                f" {row + 1}."
            )
            yield RigFault(row, "pair_with", f"{said} Pair both with each other, or neither.", (other_row,))
        elif row < other_row:
            yield from _halves(row, other_row, source, other)


def _halves(row: int, other_row: int, source: Source, other: Source) -> Iterator[RigFault]:
    both = f"Rows {row + 1} and {other_row + 1} are one pair"
    if source.what != other.what:
        said = (
            f"{both}, and one is {kind_of(source.what).words.lower()}, the other {kind_of(other.what).words.lower()}."
        )
        yield RigFault(row, "what", f"{said} Give both the same kind, or end the pair.", (other_row,))
    if source.pair_kind != other.pair_kind:
        yield RigFault(
            row, "pair_kind", f"{both}, and they name two kinds of pair. Give both the same kind of pair.", (other_row,)
        )
    if source.inseparable != other.inseparable:
        yield RigFault(
            row, "inseparable", f"{both}, and only one is marked inseparable. Mark both, or neither.", (other_row,)
        )


def _seconds(rig: Rig) -> Iterator[RigFault]:
    at = _by_key(rig)
    for row, source in enumerate(rig.source):
        if not source.second_of:
            continue
        first_row = at.get(source.second_of)
        if source.second_of == source.key:
            said = f"Row {row + 1} is the second microphone of itself."
            yield RigFault(row, "second_of", f"{said} Choose the first microphone, or none.")
        elif first_row is None:
            said = f'Row {row + 1} is the second microphone of "{source.second_of}", which is not in the rig.'
            yield RigFault(row, "second_of", f"{said} Choose the first microphone, or none.")
        elif rig.source[first_row].second_of:
            what = "second microphone"
            said = f"Row {row + 1} is the {what} of row {first_row + 1}, which is a {what} itself."
            yield RigFault(row, "second_of", f"{said} Choose the first microphone of the sound.", (first_row,))


def _never_with(rig: Rig) -> Iterator[RigFault]:
    at = _by_key(rig)
    for row, source in enumerate(rig.source):
        for key in source.never_with:
            if key == source.key:
                said = f"Row {row + 1} is never played together with itself."
                yield RigFault(row, "never_with", f"{said} Choose another row, or none.")
            elif key not in at:
                said = f'Row {row + 1} is never played together with "{key}", which is not in the rig.'
                yield RigFault(row, "never_with", f"{said} Choose a row of the rig, or none.")


def _at_one_microphone(rig: Rig) -> Iterator[RigFault]:
    for row, said, others in contradictions(rig):
        yield RigFault(row, "one_microphone_with", said, others)


def _where_it_goes(rig: Rig) -> Iterator[RigFault]:
    for row, source in enumerate(rig.source):
        kind = kind_of(source.what)
        if kind.role is Role.NEVER_OUT:
            if source.goes in ("both", "house-only"):
                said = (
                    f"Row {row + 1} is {kind.words.lower()}, which stays in the in-ears, and it is marked to go to the"
                    " house."
                )
                yield RigFault(row, "goes", f'{said} Choose "in-ears only".')
            if source.must:
                said = (
                    f"Row {row + 1} is {kind.words.lower()}, which stays in the in-ears, and it must reach the house."
                )
                yield RigFault(row, "must", f'{said} Take "must" away.')
        elif source.must and (source.goes or kind.goes) in STAYS:
            where = STAYS[source.goes or kind.goes]
            said = f'Row {row + 1} must reach the house, and it is marked "{where}".'
            yield RigFault(row, "must", f'{said} Take "must" away, or send it to the house.')


def _ear_mixes(rig: Rig) -> Iterator[RigFault]:
    for player in _repeated(ears.player for ears in rig.ears):
        yield RigFault(None, "ears", f'Two in-ear mixes are for "{player}". Give each mix a player of its own.')
    uses = {out.key: out.use for out in rig.mixer.outs}
    for ears in rig.ears:
        for key in ears.outs:
            if key not in uses:
                said = f'The in-ear mix of {ears.player} is on the output "{key}", which the mixer does not have.'
                yield RigFault(None, "ears", f"{said} Choose an output of the mixer.")
            elif uses[key] != EARS + ears.player:
                said = f'The in-ear mix of {ears.player} is on the output "{key}", which is entered as "{uses[key]}".'
                there = f'Enter "{EARS}{ears.player}" there, or choose another output.'
                yield RigFault(None, "mixer.outs", f"{said} {there}")
        if ears.lacks_a_side:
            said = f"The in-ear mix of {ears.player} is stereo and has one output: one ear would hear nothing."
            yield RigFault(None, "ears", f"{said} Give it a second output, or make it mono.")
    for key, players in _held(rig).items():
        if len(players) > 1:
            said = f'The output "{key}" is named {len(players)} times by the in-ear mixes of {_listed(players)}.'
            yield RigFault(None, "ears", f"{said} Give each mix outputs of its own.")


def _outs(rig: Rig) -> Iterator[RigFault]:
    for key in _repeated(out.key for out in rig.mixer.outs):
        yield RigFault(None, "mixer.outs", f'Two outputs of the mixer are called "{key}". Give each a name of its own.')
    listeners, held = {ears.player for ears in rig.ears}, _held(rig)
    for out in rig.mixer.outs:
        player = out.use.removeprefix(EARS)
        if not out.use.startswith(EARS):
            if out.use not in ("free", "main", *FEEDS):
                said = f'The output "{out.key}" is entered as "{out.use}".'
                words = ", ".join(f'"{use}"' for use in ("free", "main", *FEEDS))
                yield RigFault(None, "mixer.outs", f'{said} Enter {words}, or "{EARS}" and the player\'s name.')
        elif player not in listeners:
            said = f'The output "{out.key}" is held for the in-ears of "{player}", who has no in-ear mix in the rig.'
            yield RigFault(None, "mixer.outs", f'{said} Add the mix, or enter "free".')
        elif player not in held.get(out.key, ()):
            said = (
                f'The output "{out.key}" is held for the in-ears of {player}, and the mix of {player} does not name it.'
            )
            yield RigFault(None, "ears", f'{said} Add it to the mix, or enter "free".')


def _held(rig: Rig) -> dict[str, list[str]]:
    """The players of the in-ear mixes that name each output."""
    held: dict[str, list[str]] = {}
    for ears in rig.ears:
        for key in ears.outs:
            held.setdefault(key, []).append(ears.player)
    return held


def _equipment(rig: Rig) -> Iterator[RigFault]:
    for field in ("splitter", "loom", "sub_loom"):
        name, keys = field.replace("_", "-"), [unit.key for unit in getattr(rig, field)]
        if "" in keys:
            yield RigFault(None, field, f"A {name} has no key. Give it one that no other {name} has.")
        for key in _repeated(keys):
            yield RigFault(None, field, f'Two {name}s have the key "{key}". Give each a key of its own.')
    for splitter in rig.splitter:
        for key in _repeated(output.key for output in splitter.outputs):
            said = f'Two outputs of {splitter.name or splitter.key} are called "{key}".'
            yield RigFault(None, "splitter", f"{said} Give each a name of its own.")


def _sub_looms(rig: Rig) -> Iterator[RigFault]:
    ways = {unit.key: unit.ways for unit in rig.sub_loom}
    for row, source in enumerate(rig.source):
        if source.sub_loom and source.sub_loom not in ways:
            said = f'Row {row + 1} runs through the sub-loom "{source.sub_loom}", which is not in the rig.'
            yield RigFault(row, "sub_loom", f"{said} Choose one of the rig, or none.")
        elif source.sub_loom and source.sub_loom_way and source.sub_loom_way > ways[source.sub_loom]:
            said = f"Row {row + 1} is on way {source.sub_loom_way} of a sub-loom of {ways[source.sub_loom]} ways."
            yield RigFault(row, "sub_loom_way", f"{said} Choose one of its ways.")
    for key, number in ways.items():
        users = [row for row, source in enumerate(rig.source) if source.sub_loom == key]
        if len(users) > number:
            said = f"{_rows(users)} run through a sub-loom of {number} ways."
            yield RigFault(users[-1], "sub_loom", f"{said} Give some of them a cable of their own.", tuple(users[:-1]))
    for (_, way), rows in _shared(rig, lambda source: (source.sub_loom, source.sub_loom_way)):
        if rig.source[rows[0]].sub_loom and way:
            said = f"{_rows(rows)} are on way {way} of one sub-loom."
            yield RigFault(rows[0], "sub_loom_way", f"{said} Give each a way of its own.", tuple(rows[1:]))


def _configurations(rig: Rig) -> Iterator[RigFault]:
    for one in rig.standing:
        if one.configuration and one.configuration not in rig.configurations:
            said = f'"{one.name}" comes along in the configuration "{one.configuration}", which the rig does not have.'
            yield RigFault(None, "standing", f"{said} Choose one of the rig, or none.")
    at = _by_key(rig)
    for name, configuration in rig.configurations.items():
        for key in configuration.off:
            if key not in at:
                said = f'The configuration "{name}" leaves "{key}" at home, which is not in the rig.'
                yield RigFault(None, "configurations", f"{said} Take it off the list.")


def _limits(rig: Rig) -> Iterator[RigFault]:
    lists = [("", rig, field) for field in fields(rig)] + [("mixer.", rig.mixer, field) for field in fields(rig.mixer)]
    for prefix, owner, field in lists:
        most, value = field.metadata["most"], getattr(owner, field.name)
        if most is not None and len(value) > most:
            said = f"There are {len(value)} entries under {prefix}{field.name}; the portal takes {most}."
            yield RigFault(None, prefix + field.name, f"{said} Take some away.")


CHECKS: tuple[Callable[[Rig], Iterator[RigFault]], ...] = (
    _keys_and_labels,
    _mixer_inputs,
    _splitter_ways,
    _pairs,
    _seconds,
    _never_with,
    _at_one_microphone,
    _where_it_goes,
    _ear_mixes,
    _outs,
    _equipment,
    _sub_looms,
    _configurations,
    _limits,
)


def _by_key(rig: Rig) -> dict[str, int]:
    """The first row of each key."""
    return {source.key: row for row, source in reversed(list(enumerate(rig.source))) if source.key}


def _shared(rig: Rig, value_of: Callable[[Source], V | None]) -> list[tuple[V, list[int]]]:
    """Each value that several rows have, with those rows."""
    rows: dict[V, list[int]] = {}
    for row, source in enumerate(rig.source):
        value = value_of(source)
        if value is not None:
            rows.setdefault(value, []).append(row)
    return [(value, shared) for value, shared in rows.items() if len(shared) > 1]


def _repeated(values: Iterable[str]) -> list[str]:
    """Each value, empty ones left out, that occurs more than once."""
    counted: dict[str, int] = {}
    for value in values:
        counted[value] = counted.get(value, 0) + 1
    return [value for value, count in counted.items() if value and count > 1]


def _never_together(rig: Rig, rows: list[int]) -> bool:
    """True where no two of the rows are ever played at the same time: those may share a switch or a DI."""
    sources = [rig.source[row] for row in rows]
    return all(
        other.key in one.never_with or one.key in other.never_with
        for place, one in enumerate(sources)
        for other in sources[place + 1 :]
    )


def _rows(rows: list[int]) -> str:
    numbers = _listed([str(row + 1) for row in rows])
    return f"Rows {numbers} {'both' if len(rows) == 2 else 'all'}"  # noqa: PLR2004 - both is for two


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]


def _others(rows: list[int]) -> str:
    return "one of them" if len(rows) == 2 else "all but one of them"  # noqa: PLR2004 - one of two


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
