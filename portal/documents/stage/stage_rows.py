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
from portal.plan.packing.item_names import LOOSE_XLR, cable_of
from portal.plan.packing.source_cables import source_cables, stands_in_the_rack
from portal.plan.result.stage import Cable, Person, Placed, Point, cable, reaches
from portal.wording.formats import say_number


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
    """One loom of the plan on this stage, lengths in metres; ``short`` is true where what is owned does not reach."""

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
    Role.GUITAR: "amplifier or processor",
    Role.BASS: "amplifier or processor",
    Role.KEYBOARD: "keyboards",
    Role.ELECTRONIC_KIT: "drum module",
    Role.PLAYBACK: "playback",
}
"""Parts that take mains at their player's place -> what takes it (common practice, no source)."""

UNPOWERED = frozenset({"pluck.bass.acoustic", "keyboard.piano", *ACOUSTIC})
"""Kinds among those that sound by themselves."""


def powered(one: Person) -> tuple[str, ...]:
    """What takes mains at a player's place, each once: one outlet for each."""
    roles = [role_of(source) for source, _ in one.sources if source.what not in UNPOWERED]
    return tuple(dict.fromkeys(POWERED[role] for role in roles if role in POWERED))


def drop_rows(stage: Placed, printed: Printed) -> Iterator[DropRow]:
    """The rack's outlet and those at players' places."""
    yield DropRow("Rack", "1", "in-ear rack")
    for one in stage.people:
        if what := powered(one):
            name = printed(one.name, MAX_LABEL, "a player's name") or "No player named"
            yield DropRow(name, str(len(what)), ", ".join(what))


def assumed_words(stage: Placed, printed: Printed) -> str:
    """What nobody stated of this stage, in words."""
    names = {
        "width": "its width",
        "depth": "its depth",
        "box": "the box's place",
        "rack": "the rack's place",
        "power": "the outlet's place",
    }
    names |= {"up-and-down": "up and down at the ends"}
    said = [words for key, words in names.items() if key in stage.assumed]
    people = [
        printed(one.name, MAX_LABEL, "a player's name") or "players without a name"
        for one in stage.people
        if one.assumed
    ]
    return ", ".join([*said, *(f"where {name} stands" for name in people)])


def metres(length: float) -> str:
    """A length to a tenth of a metre, without a nought at its end."""
    return say_number(round(length + 0.0, 1))


def place_words(at: Point) -> str:
    """A place on the stage in words."""
    side = "in the middle" if abs(at[0]) < 0.05 else f"{metres(abs(at[0]))} m {'right' if at[0] > 0 else 'left'}"  # noqa: PLR2004 - what rounds to nothing
    return f"{side}, {metres(at[1])} m from the front"


def line_words(numbers: str, word: str = "line") -> str:
    """Numbers of lines, or of what ``word`` says, with their word; nothing where there is none."""
    return f"{word}{'' if numbers.isdecimal() else 's'} {numbers}" if numbers else ""


def at_the_mixer(plan: Plan | None) -> Mapping[str, int]:
    """Source -> its input of the band's mixer, where that mixer makes the audience's mix: there a line says nothing of
    a place on stage.
    """
    rows = plan.ear_inputs if plan is not None and plan.outputs else ()
    return {one.source: one.mixer_input for one in rows if one.mixer_input is not None}


def hears(name: str, rig: Rig) -> str:
    """What a player hears by, in words."""
    return ", ".join("wedge" if one == "wedge" else f"in-ears, {one}" for one in carried_to(name, rig))


def carried_to(name: str, rig: Rig) -> tuple[str, ...]:
    """How a player's mixes are carried, each way once: radio, cable or wedge."""
    return tuple(dict.fromkeys(ears.carried_by for ears in rig.ears if name in ears.listeners))


def _numbers(person: Person, lines: tuple[Line, ...]) -> list[int]:
    mine = {source.key for source, _ in person.sources}
    return [line.line for line in lines if mine & set(line.sources)]


NO_REACH = ", no cable of the band reaches"
JOIN_TWO = ", join two cables or bring a longer one"
IN_THE_RACK = "none, it stands in the rack"


def person_row(one: Person, plan: Plan | None, rig: Rig, stage: Placed, printed: Printed) -> PersonRow:
    """The row of one player."""
    run = cable(one.at, stage.rack, stage, across=True)
    loose = left_for_sources(plan, rig)
    owned = reaches(run.needed_m, loose)
    joined = JOIN_TWO if two_reach(run.needed_m, loose) else ""
    reach = f", a {metres(owned)} m cable reaches" if owned is not None else joined or (NO_REACH if loose else "")
    needed = f"{metres(run.needed_m)} m{reach}" if _by_cable(one) else IN_THE_RACK
    inputs = at_the_mixer(plan)
    mixer = ranges(inputs[source.key] for source, _ in one.sources if source.key in inputs)
    found = (
        line_words(ranges(_numbers(one, plan.lines if plan else ()))),
        line_words(mixer, "mixer input"),
    )
    numbers = ", ".join(filter(None, found))
    labels = ", ".join(printed(source.label, 40, "a source's label") for source, _ in one.sources)
    return PersonRow(
        player=printed(one.name, 60, "a player's name") or "No player named",
        place=place_words(one.at) + (" (assumed)" if one.assumed else ""),
        sources=printed(labels, 300, "the sources of a player") + (f" ({numbers})" if numbers else "") or NONE,
        hears=hears(one.name, rig) or NONE,
        to_rack=needed if one.sources else NONE,
    )


def out_of_reach(plan: Plan, rig: Rig, stage: Placed) -> Iterator[tuple[str, float, bool]]:
    """Players with sources whose place no loose cable of the band reaches from the rack, as far as it says what it
    owns, each with the metres that it takes, and whether two joined reach.
    """
    left = left_for_sources(plan, rig)
    for one in stage.people if rig.loose_cables else ():
        needed = cable(one.at, stage.rack, stage, across=True).needed_m
        if _by_cable(one) and reaches(needed, left) is None:
            yield one.name or "No player named", needed, two_reach(needed, left)


def two_reach(needed_m: float, lengths: Iterable[float]) -> bool:
    """Whether two cables joined are long enough."""
    return 2 * max(lengths, default=0) >= needed_m


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
        of_sources = Counter(one.item for key, one in source_cables(rig).items() if key in plugged)
        for item in plan.bring:
            if (packed := cable_of(item)) and packed.kind in LOOSE_XLR:
                own[float(packed.metres)] -= item.count - of_sources[item.what]
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
            printed(name or key, 40, "a loom's name"), "" if length is None else metres(length), run, length, stated_m
        )
    loose = [
        line for line in plan.lines if line.loom is None and line.box != PA and line.path.kind not in BESIDE_THE_LOOM
    ]
    if loose:
        owned = rig.loose_cables
        yield _loom_row(
            f"{len(loose)} loose cables",
            ", ".join(metres(one) for one in sorted(owned)),
            run,
            max(owned, default=None),
            stated_m,
        )


def _loom_row(name: str, owned: str, run: Cable, longest: float | None, stated_m: float | None) -> LoomRow:
    needed = max(run.needed_m, stated_m or 0.0)
    short = longest is not None and longest < needed
    if longest is None:
        verdict = "Its length is not stated in the rig"
    elif short:
        verdict = f"Too short by {metres(needed - longest)} m"
    else:
        verdict = "Reaches"
    if stated_m is not None:
        verdict += f"; the house says {metres(stated_m)} m"
    return LoomRow(
        name,
        owned or "not stated",
        metres(run.along_m),
        metres(run.up_and_down_m),
        metres(run.slack_m),
        metres(needed),
        verdict,
        short,
    )
