"""Who stands where on a stage and how far each loom has to reach, as rows of words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from portal.documents.patch.patch_rows import NONE
from portal.documents.rendering.printed import Printed, ranges
from portal.plan.input.kinds import Role
from portal.plan.input.rig import MAX_LABEL, Rig
from portal.plan.model import BESIDE_THE_LOOM, PA, Line, Plan
from portal.plan.options.boxes import SECOND
from portal.plan.options.routing_policy import role_of
from portal.plan.options.units import ACOUSTIC
from portal.plan.packing.item_names import LOOSE_XLR, THING_OF_LENGTH, cable_named, cable_of
from portal.plan.packing.source_cables import source_cables, stands_in_the_rack, to_the_ears
from portal.plan.phrase import Phrase, metres
from portal.plan.result.stage import Cable, Person, Placed, Point, cable, reaches
from portal.wording.catalogue import Words, gettext, look_up, mark, ngettext
from portal.wording.formats import length_figure, say_metres


@dataclass(frozen=True)
class PersonRow:
    """Who stands where, with their lines and what they hear by."""

    player: str
    place: str
    sources: str
    hears: str
    to_rack: str


@dataclass(frozen=True)
class LoomRow:
    """One loom of the plan on this stage, lengths as figures in the reader's unit; ``short`` is true where what is
    owned does not reach.
    """

    loom: str
    owned: str
    along: str
    up_and_down: str
    slack: str
    needed: str
    verdict: str
    short: bool


@dataclass(frozen=True)
class DropRow:
    """One place where mains outlets are wanted, how many, and what for."""

    place: str
    count: str
    what: str


POWERED = {
    Role.GUITAR: mark("amplifier or processor"),
    Role.BASS: mark("amplifier or processor"),
    Role.KEYBOARD: mark("keyboards"),
    Role.ELECTRONIC_KIT: mark("drum module"),
    Role.PLAYBACK: mark("playback"),
}
"""Parts that take mains at their player's place -> what takes it (common practice, no source)."""

UNPOWERED = frozenset({"pluck.bass.acoustic", "keyboard.piano", *ACOUSTIC})
"""Kinds among those that sound by themselves."""


def powered(one: Person) -> tuple[str, ...]:
    """What takes mains at a player's place, each once: one outlet for each."""
    roles = [role_of(source) for source, _ in one.sources if source.what not in UNPOWERED]
    return tuple(dict.fromkeys(look_up(POWERED[role]) for role in roles if role in POWERED))


def drop_rows(stage: Placed, printed: Printed) -> Iterator[DropRow]:
    """The rack's outlet and those at players' places."""
    yield DropRow(gettext("Rack"), "1", gettext("in-ear rack"))
    for one in stage.people:
        if what := powered(one):
            name = printed(one.name, MAX_LABEL, gettext("a player's name")) or gettext("No player named")
            yield DropRow(name, str(len(what)), ", ".join(what))


def assumed_words(stage: Placed, printed: Printed) -> str:
    """What nobody stated of this stage, in words."""
    said = [words for key, words in ASSUMED.items() if key in stage.assumed]
    if stage.people and all(one.assumed for one in stage.people):
        return ", ".join([*said, gettext("where everybody stands")])
    for one in stage.people:
        if one.assumed:
            name = printed(one.name, MAX_LABEL, gettext("a player's name"))
            said.append(
                gettext("where %(player)s stands", player=name)
                if name
                else gettext("where players without a name stand")
            )
    return ", ".join(said)


ASSUMED = Words(
    {
        "width": mark("its width"),
        "depth": mark("its depth"),
        "box": mark("the box's place"),
        "rack": mark("the rack's place"),
        "power": mark("the outlet's place"),
        "up-and-down": mark("up and down at the ends"),
    }
)
"""What of a stage may be assumed."""


def tenths(length_m: float) -> str:
    """A length to a tenth of the reader's unit, without a nought at its end and without its name."""
    return length_figure(length_m, tenths=True)


def in_tenths(length_m: float) -> str:
    """A length to a tenth of the reader's unit, with its name."""
    return say_metres(length_m, tenths=True)


def place_words(at: Point) -> str:
    """A place on the stage in words."""
    across, front = in_tenths(abs(at[0])), in_tenths(at[1])
    if abs(at[0]) < 0.05:  # noqa: PLR2004 - what rounds to nothing
        return gettext("in the middle, %(front)s from the front", front=front)
    if at[0] > 0:
        return gettext("%(across)s right, %(front)s from the front", across=across, front=front)
    return gettext("%(across)s left, %(front)s from the front", across=across, front=front)


def line_words(numbers: str) -> str:
    """Numbers of lines with their word; nothing where there is none."""
    return numbers and ngettext("line %(lines)s", "lines %(lines)s", _how_many(numbers), lines=numbers)


def input_words(numbers: str) -> str:
    """Numbers of inputs of the band's mixer with their word, where all know of which; nothing where there is none."""
    return numbers and ngettext("input %(inputs)s", "inputs %(inputs)s", _how_many(numbers), inputs=numbers)


def _how_many(numbers: str) -> int:
    return 1 if numbers.isdecimal() else 2


def at_the_mixer(plan: Plan | None) -> Mapping[str, int]:
    """Source -> its input of the band's mixer, where that mixer makes the audience's mix: there a line says nothing of
    a place on stage.
    """
    rows = plan.ear_inputs if plan is not None and plan.outputs else ()
    return {one.source: one.mixer_input for one in rows if one.mixer_input is not None}


def hears(name: str, rig: Rig) -> str:
    """What a player hears by, in words."""
    return ", ".join(HEARD_BY.get(one, one) for one in carried_to(name, rig))


HEARD_BY = Words({"wedge": mark("wedge"), "radio": mark("in-ears, radio"), "cable": mark("in-ears, cable")})


def carried_to(name: str, rig: Rig) -> tuple[str, ...]:
    """How a player's mixes are carried, each way once: radio, cable or wedge."""
    return tuple(dict.fromkeys(ears.carried_by for ears in rig.ears if name in ears.listeners))


def _numbers(person: Person, lines: tuple[Line, ...]) -> list[int]:
    mine = {source.key for source, _ in person.sources}
    return [line.line for line in lines if mine & set(line.sources)]


def person_row(one: Person, plan: Plan | None, rig: Rig, stage: Placed, printed: Printed) -> PersonRow:
    """The row of one player."""
    run = cable(one.at, stage.rack, stage, across=True)
    inputs = at_the_mixer(plan)
    mixer = ranges(inputs[source.key] for source, _ in one.sources if source.key in inputs)
    found = (
        line_words(ranges(_numbers(one, plan.lines if plan else ()))),
        mixer and ngettext("mixer input %(inputs)s", "mixer inputs %(inputs)s", _how_many(mixer), inputs=mixer),
    )
    numbers = ", ".join(filter(None, found))
    labels = ", ".join(printed(source.label, 40, gettext("a source's label")) for source, _ in one.sources)
    sources, place = printed(labels, 300, gettext("the sources of a player")), place_words(one.at)
    return PersonRow(
        player=printed(one.name, 60, gettext("a player's name")) or gettext("No player named"),
        place=gettext("%(said)s (assumed)", said=place) if one.assumed else place,
        sources=(f"{sources} ({numbers})" if numbers else sources) or NONE,
        hears=hears(one.name, rig) or NONE,
        to_rack=_to_rack(one, run.needed_m, left_for_sources(plan, rig)) if _plugs(one, plan) else NONE,
    )


def _to_rack(one: Person, needed_m: float, loose: list[float]) -> str:
    """How far it is to the rack, and whether a loose cable of the band reaches."""
    if not _by_cable(one):
        return gettext("none, it stands in the rack")
    owned, length = reaches(needed_m, loose), in_tenths(needed_m)
    if owned is not None:
        return gettext("%(length)s, a %(cable)s cable reaches", length=length, cable=in_tenths(owned))
    if two_reach(needed_m, loose):
        return gettext("%(length)s, join two cables or bring a longer one", length=length)
    return gettext("%(length)s, no cable of the band reaches", length=length) if loose else length


def out_of_reach(plan: Plan, rig: Rig, stage: Placed) -> Iterator[tuple[str, float, bool]]:
    """Players with sources whose place no loose cable of the band reaches from the rack, as far as it says what it
    owns, each with the metres that it takes, and whether two joined reach.
    """
    left = left_for_sources(plan, rig)
    for one in stage.people if rig.loose_cables else ():
        needed = cable(one.at, stage.rack, stage, across=True).needed_m
        if _plugs(one, plan) and _by_cable(one) and reaches(needed, left) is None:
            yield one.name or gettext("No player named"), needed, two_reach(needed, left)


def packed_too_short(rig: Rig, stage: Placed) -> Iterator[tuple[str, Phrase, float]]:
    """What is packed with a length of its own and ends before the place that the stage has for its player: who, the
    cable as it is packed, and the metres that it takes. Loose XLR cables are not in it, nor is a cable of the house.
    ``rig`` and ``stage`` hold the sources that are plugged.
    """
    to_the_rack = source_cables(rig)
    for one in stage.people:
        needed = cable(one.at, stage.rack, stage, across=True).needed_m
        own = [to_the_rack[source.key].item for source, _ in one.sources]
        ears = [to_the_ears(mix).item for mix in rig.ears if mix.carried_by == "cable" and one.name in mix.listeners]
        for item in dict.fromkeys(filter(None, (*own, *ears))):
            packed = cable_named(item)
            if packed and packed.kind not in LOOSE_XLR and float(packed.metres) < needed:
                yield one.name or gettext("No player named"), item, needed
        through = {source.sub_loom for source, _ in one.sources}
        for loom in rig.sub_loom:
            if loom.key in through and loom.length_m is not None and loom.length_m < needed:
                named = Phrase(THING_OF_LENGTH, {"thing": loom.name or loom.key, "length": metres(loom.length_m)})
                yield one.name or gettext("No player named"), named, needed


def two_reach(needed_m: float, lengths: Iterable[float]) -> bool:
    """Whether two cables joined are long enough."""
    return 2 * max(lengths, default=0) >= needed_m


def _plugs(one: Person, plan: Plan | None) -> bool:
    """Whether a player has anything to plug: who sings at another's microphone has not."""
    guests = {line.guest for line in plan.lines} if plan else set()
    return any(source.key not in guests for source, _ in one.sources)


def _by_cable(one: Person) -> bool:
    """Whether anything of a player runs to the rack by cable; a receiver stands there."""
    return any(not stands_in_the_rack(source) for source, _ in one.sources)


def left_for_sources(plan: Plan | None, rig: Rig) -> list[float]:
    """Lengths of the band's loose cables of which one is left for a source: what the plan takes for the mix, for lines
    to the box or for in-ears is gone.
    """
    own = rig.loose_cables
    if plan is not None:
        plugged = {key for line in plan.lines for key in line.sources} | {one.source for one in plan.ear_inputs}
        cables = (one.item for key, one in source_cables(rig).items() if key in plugged)
        of_sources = Counter(cable_named(what) for what in cables if what is not None)
        for item in plan.bring:
            if (packed := cable_of(item)) and packed.kind in LOOSE_XLR:
                own[float(packed.metres)] -= item.count - of_sources[packed]
    return [length for length, count in own.items() if count > 0]


def loom_rows(
    plan: Plan, rig: Rig, stage: Placed, printed: Printed, stated_m: float | None = None
) -> Iterator[LoomRow]:
    """Each loom of the plan that runs to the stage box, with the length that it needs: where the house stated a
    distance, never less than that.
    """
    used = {
        way.key: way.name
        for way in (
            *(line.loom for line in plan.lines if line.box not in (SECOND, PA)),
            *(one.loom for one in plan.returns),
        )
        if way
    }
    lengths = {loom.key: loom.length_m for loom in rig.loom}
    run = cable(stage.rack, stage.box, stage)
    for key, name in used.items():
        length = lengths.get(key)
        yield _loom_row(
            printed(name or key, 40, gettext("a loom's name")),
            "" if length is None else tenths(length),
            run,
            length,
            stated_m,
        )
    loose = [
        line for line in plan.lines if line.loom is None and line.box != PA and line.path.kind not in BESIDE_THE_LOOM
    ]
    if loose:
        owned = rig.loose_cables
        yield _loom_row(
            ngettext("%(num)s loose cable", "%(num)s loose cables", len(loose)),
            ", ".join(tenths(one) for one in sorted(owned)),
            run,
            max(owned, default=None),
            stated_m,
        )


def _loom_row(name: str, owned: str, run: Cable, longest: float | None, stated_m: float | None) -> LoomRow:
    needed = max(run.needed_m, stated_m or 0.0)
    short = longest is not None and longest < needed
    if longest is None:
        verdict = gettext("Its length is not stated in the rig")
    elif short:
        verdict = gettext("Too short by %(missing)s", missing=in_tenths(needed - longest))
    else:
        verdict = gettext("Reaches")
    if stated_m is not None:
        verdict = gettext("%(verdict)s; the house says %(stated)s", verdict=verdict, stated=in_tenths(stated_m))
    return LoomRow(
        name,
        owned or gettext("not stated"),
        tenths(run.along_m),
        tenths(run.up_and_down_m),
        tenths(run.slack_m),
        tenths(needed),
        verdict,
        short,
    )
