"""Who and what plays tonight, as a difference from the rig: the rig itself stays as it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from portal.plan.input.rig import EARS, Ears, Out, Rig, Source

OFF = "off"
"""What an in-ear mix is carried by that nobody wears tonight."""

MARK = "Guest tonight"
"""What the note of a row of tonight begins with, wherever the row stands."""


@dataclass(frozen=True)
class LineUp:
    """What differs from the rig at one gig.

    ``off`` are keys of rows, ``away`` players whose rows and mix are off. ``deps``: a player, and who plays instead.
    ``guests`` are rows of tonight only. ``carried``: a player, and what carries the mix tonight that they hear
    (``OFF``: nothing). ``ears`` are mixes of tonight only.
    """

    off: tuple[str, ...] = ()
    away: tuple[str, ...] = ()
    deps: tuple[tuple[str, str], ...] = ()
    guests: tuple[Source, ...] = ()
    carried: tuple[tuple[str, str], ...] = ()
    ears: tuple[Ears, ...] = ()


AS_THE_RIG = LineUp()
"""Nothing differs."""


def tonight(rig: Rig, line_up: LineUp) -> Rig:
    """The rig as a line-up uses it. What the line-up says of rows and players that the rig has not is left aside."""
    if line_up == AS_THE_RIG:
        return rig
    gone = {source.key for source in rig.source if is_off(source, line_up)}
    played = without_dangling(replace(rig, source=tuple(one for one in rig.source if one.key not in gone)), gone)
    deps = dict(line_up.deps)
    ears = _ears(rig.ears, line_up)
    guests = tuple(replace(one, note=f"{MARK}: {one.note}" if one.note else MARK) for one in line_up.guests)
    return replace(
        played,
        source=(*(replace(one, player=deps.get(one.player, one.player)) for one in played.source), *guests),
        ears=ears,
        mixer=replace(rig.mixer, outs=tuple(_held(out, ears) for out in rig.mixer.outs)),
        mix=replace(rig.mix, takes_over=deps.get(rig.mix.takes_over, rig.mix.takes_over)),
    )


def nameless(line_up: LineUp) -> LineUp:
    """A line-up without the names of deps and guests, who are kept nowhere else than at their gig."""
    names = dict.fromkeys([*(one.player for one in line_up.guests), *(one.player for one in line_up.ears)])
    called = {name: f"Guest {number}" if name else "" for number, name in enumerate(names, start=1)}
    guests = tuple(
        replace(one, label=f"Guest row {number}", strip="", note="", player=called[one.player])
        for number, one in enumerate(line_up.guests, start=1)
    )
    ears = tuple(replace(one, player=called[one.player]) for one in line_up.ears)
    return replace(line_up, deps=(), guests=guests, ears=ears)


def players_of(rig: Rig) -> tuple[str, ...]:
    """Everybody who plays or hears a mix, in the order of the rig."""
    names = [*(one.player for one in rig.source), *(name for one in rig.ears for name in one.listeners)]
    return tuple(dict.fromkeys(name for name in names if name))


def on_its_own(rig: Rig) -> Rig:
    """The rig of one night without what leads out of it: other configurations, and rows that it has not."""
    here = {one.key for one in rig.source}
    named = {
        key
        for one in rig.source
        for key in (one.pair_with, one.second_of, one.one_microphone_with, *one.never_with)
        if key
    }
    standing = tuple(replace(one, configuration="") for one in rig.standing)
    return replace(without_dangling(rig, named - here), standing=standing, configurations={})


def is_off(source: Source, line_up: LineUp) -> bool:
    """True where a row of the rig is not played."""
    return source.key in line_up.off or (source.player != "" and source.player in line_up.away)


def carried_tonight(mix: Ears, line_up: LineUp) -> str:
    """What carries a mix of the rig tonight; ``OFF`` where nothing does."""
    carried = dict(line_up.carried)
    return next((carried[name] for name in (mix.player, *mix.listeners) if name in carried), mix.carried_by)


def listeners_tonight(mix: Ears, line_up: LineUp, mixes: tuple[Ears, ...]) -> tuple[str, ...]:
    """Who hears a mix of the rig tonight: without those who are away, and with those who play for somebody unless
    they have a mix of their own among ``mixes``, those of the rig.
    """
    deps, heard = dict(line_up.deps), {name for one in mixes for name in one.listeners}
    there = [name for name in mix.listeners if name not in line_up.away and deps.get(name, "") not in heard - {name}]
    return tuple(dict.fromkeys(deps.get(name, name) for name in there))


def _ears(mixes: tuple[Ears, ...], line_up: LineUp) -> tuple[Ears, ...]:
    """The mixes of tonight."""
    kept = []
    for one in mixes:
        names, how = listeners_tonight(one, line_up, mixes), carried_tonight(one, line_up)
        if how != OFF and (names or not one.listeners):
            player = one.player if names == one.listeners else ", ".join(names)
            kept.append(replace(one, player=player, carried_by=how))
    return (*kept, *line_up.ears)


def _held(out: Out, ears: tuple[Ears, ...]) -> Out:
    """An output as the mixes of tonight hold it. What carries anything else is never taken from it."""
    holder = next((one.player for one in ears if out.key in one.outs), None)
    if holder is not None and (out.use == "free" or out.use.startswith(EARS)):
        return replace(out, use=EARS + holder)
    return replace(out, use="free") if out.use.startswith(EARS) else out


def without_dangling(rig: Rig, gone: Iterable[str]) -> Rig:
    """The rig without what names rows that are gone: the other halves, first microphones, singers at one microphone,
    rows never played together, configurations.
    """
    away = set(gone)
    sources = []
    for source in rig.source:
        changed = source
        if changed.pair_with in away:
            changed = replace(changed, pair_with="", pair_kind="", inseparable=False)
        if changed.second_of in away:
            changed = replace(changed, second_of="")
        if changed.one_microphone_with in away:
            changed = replace(changed, one_microphone_with="")
        if away & set(changed.never_with):
            changed = replace(changed, never_with=tuple(key for key in changed.never_with if key not in away))
        sources.append(changed)
    configurations = {
        name: replace(one, off=tuple(key for key in one.off if key not in away)) if away & set(one.off) else one
        for name, one in rig.configurations.items()
    }
    return replace(rig, source=tuple(sources), configurations=configurations)
