"""What is plugged or switched otherwise than on the sheet that was signed last, as it was and as it is, for each side's
half: for whoever has patched by that one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from portal.documents.cover import Cover
from portal.documents.house_48v import banks_named, house_switch, mixer_switch
from portal.documents.patch.patch_rows import LEVELS, NONE, SENTENCE, path_words, socket_words, source_labels
from portal.documents.rendering.printed import Printed
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT
from portal.plan.model import PA, EarInput, EarMix, Line, LoomWay, Plan, Return
from portal.plan.phrase import Phrase, Said, parts_of
from portal.plan.result.spelling import WHERE, desk_switch, feed_of, feed_said, leg_said, through
from portal.wording.catalogue import gettext, look_up, mark
from portal.wording.plan.saying import say

NOT_SENT = mark("not sent")

MADE_MONO = frozenset({"plugs-the-mono-jack", "plugs-its-mono-jack", "sets-to-mono"})
"""What a line's note says of who makes it mono."""

Key = tuple[str, str]
"""What a row is about: ``source``, ``return`` or ``mix``, and which."""

Place = TypeVar("Place", "HousePlace", "BandPlace")


@dataclass(frozen=True)
class HousePlace:
    """Where the house has a source. Each field is finished text."""

    channel: str = NONE
    strip: str = NONE
    socket: str = NONE
    level: str = NONE
    phantom: str = NONE


@dataclass(frozen=True)
class BandPlace:
    """Where the band has it: at its mixer, and on the way to the house. Each field is finished text."""

    mixer_input: str = NONE
    fed_by: str = NONE
    phantom: str = NONE
    path: str = NONE
    loom_way: str = NONE
    pad_db: str = NONE
    note: str = NONE


@dataclass(frozen=True)
class MovedRow(Generic[Place]):
    """One row of a side's half."""

    source: str
    before: Place
    now: Place


@dataclass(frozen=True)
class Moved:
    """All that changed, by side; ``count`` is how many sources, returns and in-ear mixes that are."""

    house: tuple[MovedRow[HousePlace], ...]
    band: tuple[MovedRow[BandPlace], ...]
    count: int


@dataclass(frozen=True)
class _Found(Generic[Place]):
    """A place with the facts that it is compared by: words may differ between versions and languages. No facts where
    there is nothing to plug.
    """

    facts: object
    place: Place


def moved_since(plan: Plan, cover: Cover, printed: Printed) -> Moved | None:
    """What changed since the revision that was signed last; nothing where nothing did, or where either plan has no line
    at a stage box: all of it is new there.
    """
    before = cover.signed_before.read() if cover.signed_before else None
    if not isinstance(before, Plan):
        return None
    before, now = (banks_named(_at_a_box(one), cover) for one in (before, plan))
    if not before.lines or not now.lines:
        return None
    several = len({line.loom.key for one in (before, now) for line in one.lines if line.loom}) > 1
    labels = {**_labels(before, printed), **_labels(now, printed)}
    house = _changed(_house_places(before, printed), _house_places(now, printed), HousePlace())
    band = _changed(
        _band_places(before, printed, several=several), _band_places(now, printed, several=several), BandPlace()
    )
    if not house and not band:
        return None
    ordered = sorted({**house, **band}, key=_order(now, before))
    return Moved(
        tuple(MovedRow(labels[key], *house[key]) for key in ordered if key in house),
        tuple(MovedRow(labels[key], *band[key]) for key in ordered if key in band),
        len(ordered),
    )


def _at_a_box(plan: Plan) -> Plan:
    return replace(plan, lines=tuple(line for line in plan.lines if line.box != PA))


def _changed(
    was: Mapping[Key, _Found[Place]], now: Mapping[Key, _Found[Place]], nowhere: Place
) -> dict[Key, tuple[Place, Place]]:
    """Both places of everything whose facts differ."""
    empty = _Found(None, nowhere)
    found = {key: (was.get(key, empty), now.get(key, empty)) for key in {**was, **now}}
    return {key: (old.place, new.place) for key, (old, new) in found.items() if old.facts != new.facts}


def _order(now: Plan, before: Plan) -> Callable[[Key], tuple[int, int, int, Key]]:
    """By desk channel now, then what the house does not get by mixer input, then what came before only."""
    channels = [{source: line.desk_channel for line in plan.lines for source in line.sources} for plan in (now, before)]
    inputs = {one.source: one.mixer_input or 0 for one in (*before.ear_inputs, *now.ear_inputs)}

    def order(key: Key) -> tuple[int, int, int, Key]:
        kind, name = key
        at = next((number for number, by in enumerate(channels) if name in by), len(channels))
        beside = 0 if kind == "source" else 1
        return (beside, at, channels[at][name] if at < len(channels) else inputs.get(name, 0), key)

    return order


def _labels(plan: Plan, printed: Printed) -> dict[Key, str]:
    sources = {source: line.label for line in plan.lines for source in line.sources} | dict(source_labels(plan))
    found = {
        ("source", source): printed(label, MAX_LABEL, gettext("the label of a source"))
        for source, label in sources.items()
    }
    found |= {_return(one): printed(one.label, MAX_LABEL, gettext("the label of a return")) for one in plan.returns}
    for mix in plan.ears:
        player = printed(mix.player, MAX_LABEL, gettext("a player"))
        found["mix", mix.player] = gettext("In-ear mix of %(player)s", player=player)
    return found


def _return(one: Return) -> Key:
    return ("return", say(one.label))


def _by_source(plan: Plan) -> dict[str, list[Line]]:
    """Source -> the lines that carry it, by number."""
    found: dict[str, list[Line]] = {}
    for line in sorted(plan.lines, key=lambda one: one.line):
        for source in line.sources:
            found.setdefault(source, []).append(line)
    return found


def _joined(texts: Iterable[str]) -> str:
    """What several lines say of one thing, each once."""
    return ", ".join(dict.fromkeys(texts)) or NONE


# --- the house's half


def _house_places(plan: Plan, printed: Printed) -> dict[Key, _Found[HousePlace]]:
    found: dict[Key, _Found[HousePlace]] = {
        ("source", source): _at_the_house(lines, printed) for source, lines in _by_source(plan).items()
    }
    others = (*(one.source for one in plan.not_sent), *(one.source for one in plan.ear_inputs))
    for source in others:
        found.setdefault(("source", source), _Found(None, HousePlace(channel=look_up(NOT_SENT))))
    for back in plan.returns:
        found[_return(back)] = _Found(back.box_output, HousePlace(socket=_box_output(back)))
    return found


def _at_the_house(lines: list[Line], printed: Printed) -> _Found[HousePlace]:
    facts = tuple((line.desk_channel, line.socket, line.level, desk_switch(line), line.sources) for line in lines)
    return _Found(
        facts,
        HousePlace(
            channel=_joined(str(line.desk_channel) for line in lines),
            strip=_joined(printed(line.strip, MAX_LABEL, gettext("the short name")) for line in lines),
            socket=_joined(map(socket_words, lines)),
            level=_joined(LEVELS.get(line.level, line.level) for line in lines),
            phantom=_joined(map(house_switch, lines)),
        ),
    )


def _box_output(one: Return) -> str:
    if one.box_output is None:
        return gettext("output not known")
    return gettext("output %(output)s", output=one.box_output)


# --- the band's half


def _band_places(plan: Plan, printed: Printed, *, several: bool) -> dict[Key, _Found[BandPlace]]:
    lines, inputs = _by_source(plan), {one.source: one for one in plan.ear_inputs}
    stays = {one.source: one.where for one in plan.not_sent}
    found: dict[Key, _Found[BandPlace]] = {
        ("source", source): _at_the_band(
            inputs.get(source), lines.get(source, []), stays.get(source, ""), printed, several=several
        )
        for source in {**inputs, **lines, **stays}
    }
    found |= {_return(one): _back(one, printed, several=several) for one in plan.returns}
    found |= {("mix", one.player): _mix(one, printed) for one in plan.ears}
    return found


def _at_the_band(
    one: EarInput | None, lines: list[Line], stays: str, printed: Printed, *, several: bool
) -> _Found[BandPlace]:
    plugged = (one.mixer_input, feed_of(one), through(one), one.phantom or "none") if one else None
    facts = (plugged, tuple(map(_on_the_way, lines)), "" if lines else stays)
    where = look_up(WHERE.get(stays, "")) or stays or NONE
    return _Found(
        facts,
        BandPlace(
            mixer_input=str(one.mixer_input) if one and one.mixer_input is not None else NONE,
            fed_by=(printed(feed_said(one), MAX_TEXT, gettext("what feeds an input")) if one else "") or NONE,
            phantom=mixer_switch(one) if one else NONE,
            path=_joined(_by_way(line, printed) for line in lines) if lines else where,
            loom_way=_joined(_loom_way(line.loom, printed, several=several) for line in lines),
            pad_db=_joined(str(line.pad_db) if line.pad_db else NONE for line in lines),
            note=printed(_joined(_notes(lines)), SENTENCE, gettext("what a line carries")),
        ),
    )


def _on_the_way(line: Line) -> object:
    """How a line leaves the rack and what lies in it, as facts."""
    path, loom = line.path, line.loom
    out = say(leg) if (leg := leg_said(path)) else path.output
    by = (path.kind, path.unit, path.way, out, (loom.key, loom.way) if loom else None)
    return (by, line.pad_db, line.transformer, line.sources, tuple(map(say, _made_mono(line.note))))


def _by_way(line: Line, printed: Printed) -> str:
    """A line's path with the splitter's way."""
    words = printed(path_words(line.path), MAX_LABEL, gettext("the path of a line"))
    if line.path.way is None:
        return words
    return gettext("%(path)s, way %(way)s", path=words, way=line.path.way)


def _loom_way(loom: LoomWay | None, printed: Printed, *, several: bool) -> str:
    if loom is None:
        return NONE
    name = printed(loom.name, MAX_LABEL, gettext("a loom"))
    return f"{name} {loom.way}" if several else str(loom.way)


def _made_mono(note: Said) -> Iterator[Phrase]:
    """Who makes a line mono; plans of engine 8 and older say it in a whole sentence, which is not read."""
    if not isinstance(note, str):
        yield from (part for part in parts_of(note) if isinstance(part, Phrase) and part.key in MADE_MONO)


def _notes(lines: Iterable[Line]) -> Iterator[str]:
    """With what a source shares its line, who makes it mono, and the transformer in it."""
    for line in lines:
        if len(line.sources) > 1:
            yield gettext("on the line “%(label)s”", label=line.label)
        yield from map(say, _made_mono(line.note))
        if line.transformer:
            yield gettext("isolating transformer at the box")


def _back(one: Return, printed: Printed, *, several: bool) -> _Found[BandPlace]:
    facts = (one.mixer_input, one.box_output, (one.loom.key, one.loom.way) if one.loom else None)
    return _Found(
        facts,
        BandPlace(
            mixer_input=str(one.mixer_input) if one.mixer_input is not None else NONE,
            fed_by=_box_output(one),
            phantom=gettext("OFF"),
            loom_way=_loom_way(one.loom, printed, several=several),
        ),
    )


def _mix(one: EarMix, printed: Printed) -> _Found[BandPlace]:
    outs = printed(" ".join(out.removeprefix("out-") for out in one.outs), MAX_LABEL, gettext("an output"))
    return _Found(one.outs, BandPlace(path=gettext("mixer outs %(outs)s", outs=outs) if outs else NONE))
