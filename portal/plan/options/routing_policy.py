"""What is given up first, and what last: the ladder, the room that changes its order, and what each source may do.

All of it is common practice, no source. Every step is a *closed* kind of give-up; a way of sending that no step names
does not exist. The order is strict: no number of cheaper steps outweighs one dearer step.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from portal.plan.input.facts import Facts
from portal.plan.input.kinds import Kind, Role, kind_of
from portal.plan.input.rig import Source

SMALL_ROOM_PEOPLE = 200
"""Up to about this many people the stage itself is heard in the room (common practice, no source)."""

CYMBALS_CARRY_PEOPLE = 500
"""Up to about this many people indoors the cymbals of a rock kit are heard without a microphone (common practice, no
source)."""


@dataclass(frozen=True)
class Step:
    """One kind of give-up: permanent key, number on the ladder as shown, and its words."""

    key: str
    number: str
    words: str
    how: str


STEPS: dict[str, Step] = {
    step.key: step
    for step in (
        Step("share-a-line", "0", "sources never played together share a line", "a switch or one common DI"),
        Step(
            "out-of-the-ears",
            "0",
            "second microphones and the hat straight to the house where no splitter way is left",
            "they leave the in-ears; the house feeds their 48 V",
        ),
        Step("direct-out", "0", "an unprocessed direct out where no splitter way is left", "the gain is the band's"),
        Step(
            "digital-link",
            "0",
            "a digital link where no splitter way or working input is left",
            "the gain is the band's",
        ),
        Step("optional-source", "0", "a source that the band marked as optional", "in-ears only tonight"),
        Step(
            "second-microphone",
            "1",
            "second microphones whose first stays",
            "not plugged, unless the band wants them in the in-ears",
        ),
        Step("hat-and-ride", "2", "hi-hat and ride", "in-ears only tonight; the overheads hear them"),
        Step(
            "light-kit-snare",
            "2",
            "the snare microphone of a light kit",
            "in-ears only tonight; the overheads are the kit",
        ),
        Step(
            "small-room-overheads", "2", "overheads in a small, loud room", "in-ears only tonight; the room hears them"
        ),
        Step(
            "small-room-rack-toms", "2", "rack toms in a small, loud room", "in-ears only tonight; the room hears them"
        ),
        Step("small-room-floor-tom", "2", "floor tom in a small, loud room", "in-ears only tonight; the room hears it"),
        Step(
            "small-room-cabinets",
            "2",
            "loud guitar cabinets in a small, loud room",
            "in-ears only tonight; the room hears them",
        ),
        Step(
            "processed-direct-out",
            "2b",
            "a processed direct out in place of a dry line",
            "the band's processing is on it",
        ),
        Step("own-submix", "3", "one player's keyboards", "through the player's own submixer"),
        Step("keyboards-to-mono", "4", "stereo keyboards to mono", "the left/mono jack; of a piano one microphone"),
        Step("playback-to-mono", "4", "stereo playback to mono", "in the machine, else a mono bus of the band's mixer"),
        Step("ear-mix-to-mono", "4", "a stereo in-ear mix to mono", "it frees an output of the mixer"),
        Step("percussion-sum", "5", "percussion spots to one line", "a group on the band's mixer"),
        Step("percussion-one", "5", "percussion spots to one microphone", "in-ears only tonight for the others"),
        Step("overheads-to-one", "6", "overheads to one", "one microphone, never a sum of a spaced pair"),
        Step("rack-toms", "7", "rack toms", "in-ears only tonight"),
        Step("floor-tom", "7", "floor tom", "in-ears only tonight"),
        Step(
            "light-kit-kick",
            "7",
            "the kick microphone of a light kit",
            "in-ears only tonight; the overheads are the kit",
        ),
        Step("light-kit-overheads", "7", "overheads of a light kit to one", "one microphone over the kit"),
        Step("stereo-to-mono", "8", "any other stereo source to mono", "at the source; of two microphones one"),
        Step(
            "overhead-before-sums",
            "8b",
            "indoors, up to about 500 people, the one overhead of a rock kit",
            "in-ears only tonight, before any sum of open microphones",
        ),
        Step(
            "two-at-one-microphone",
            "8c",
            "two singers of one part at one microphone",
            "only with the band's word; the other microphone stays in its case",
        ),
        Step("section-sum", "9", "a section to one line", "a group on the band's mixer"),
        Step("backing-sum", "10", "backing vocals to one line", "a group on the band's mixer"),
        Step("guitars-sum", "11", "guitars of different players to one line", "a group on the band's mixer"),
        Step("last-overhead", "11b", "the one overhead as well", "in-ears only tonight"),
        Step(
            "only-playback-to-mono",
            "11c",
            "stereo playback of an act of machines and voices to mono",
            "in the machine, else a mono bus of the band's mixer",
        ),
        Step("keyboards-with-playback", "12", "keyboards with playback on one line", "a group on the band's mixer"),
        Step("kit-pair", "13", "the kit as a pair, kick and snare apart", "a stereo group on the band's mixer"),
        Step("snare-in-kit-pair", "14", "the snare into the kit pair", "a stereo group on the band's mixer"),
        Step("kick-in-kit-pair", "14", "the kick into the kit pair", "a stereo group on the band's mixer"),
        Step("music-mix", "15", "everything but the leads in a left/right mix", "the band's own mix"),
        Step("snare-in-music-mix", "15", "the snare in the left/right mix too", "the band's own mix"),
        Step("bass-in-music-mix", "15", "the bass in the left/right mix too", "the band's own mix"),
        Step("kick-in-music-mix", "15", "the kick in the left/right mix too", "the band's own mix"),
        Step("fail-over-out", "15", "a spare line that by-passes the rig", "not plugged"),
        Step("whole-mix", "16", "the leads in the left/right mix too", "the band's own mix"),
        Step("mix-to-mono", "16", "the band's mix in mono", "one input where two are wanted"),
        Step("left-out", "17", "a source that nothing above can carry", "in-ears only tonight"),
    )
}
"""The ladder, cheapest step first. Inside one number the order is the order here."""

STEP_ORDER: tuple[str, ...] = tuple(STEPS)


FINER: tuple[str, ...] = (
    "voices-on-outs",
    "microphones-on-outs",
    "singles-on-outs",
    "mono-by-bus",
)
"""What decides between plans that give up the same, dearest first: an output of the band's mixer goes to pairs at line
level first, then to single DIs, then to instruments before microphones, then to voices; mono is made at the source
rather than on a bus.
"""

LAST = "low-inputs"
"""What decides after everything else, what is carried and plugged included: of sources that are alike those on the
lower inputs of the band's mixer keep more.
"""


class Room(IntEnum):
    """Which of the three orders applies."""

    NORMAL = 0
    SMALL_AND_LOUD = 1
    SILENT = 2


ROOM_WORDS = {
    Room.NORMAL: "a normal room: the PA carries the stage",
    Room.SMALL_AND_LOUD: (
        "a small, loud room: what the room hears anyway goes first, before anything is folded or summed"
    ),
    Room.SILENT: (
        "a silent stage, or an engineer who wants groups: what is not sent is not heard, so only folds and sums"
    ),
}


TO_THE_HOUSE = ("both", "house-only")
"""Where a source goes that the house's desk is to get."""


def goes_of(source: Source) -> str:
    """Where a source goes: as the rig says, else by its kind."""
    return source.goes or kind_of(source.what).goes


def is_loud(source: Source) -> bool:
    """Whether the room hears it without the PA; unset means by kind, and a DI is never loud by kind."""
    if source.loud_on_stage is not None:
        return source.loud_on_stage
    return kind_of(source.what).loud and capture_of(source) in ("mic", "wireless")


def capture_of(source: Source) -> str:
    """How it is picked up; unset means by kind. A DI that is marked as needing 48 V is an active one."""
    capture = _entered_capture(source)
    return "di-active" if capture == "di" and source.phantom == "yes" else capture


def _entered_capture(source: Source) -> str:
    """How it is picked up, whatever is marked about 48 V."""
    return source.capture or kind_of(source.what).capture


def stand_of(source: Source) -> str:
    """The stand that it needs, "none" for none; unset means by kind where it is a microphone on a cable."""
    return source.stand or (kind_of(source.what).stand if capture_of(source) == "mic" else "") or "none"


def level_of(source: Source) -> str:
    """Mic or line; unset means line for a line capture, else by kind."""
    if source.level:
        return source.level
    return "line" if capture_of(source) == "line" else kind_of(source.what).level


NEVER_FED = ("di-passive", "line", "wireless")
"""What takes no 48 V whatever a row's mark says: it is at no use there, and can damage a receiver or a line output."""


def needs_phantom(source: Source) -> str:
    """yes, no or unknown: no by how it is picked up, else as marked, else as usual."""
    return "no" if capture_of(source) in NEVER_FED else source.phantom or usual_phantom(source)


def usual_phantom(source: Source) -> str:
    """yes, no or unknown, whatever is marked: an active DI needs it; what the house's own microphone needs is the
    house's to say; else by kind.
    """
    capture = _entered_capture(source)
    if capture == "di-active":
        return "yes"
    if capture in ("di", *NEVER_FED):
        return "no"
    if source.owner.mic == "house":
        return "unknown"
    return kind_of(source.what).phantom


def role_of(source: Source) -> Role:
    """The part a source plays on the ladder."""
    kind: Kind = kind_of(source.what)
    if kind.role is Role.RACK_TOM and source.position == "floor":
        return Role.FLOOR_TOM
    if kind.role is Role.OVERHEAD and source.position in ("in", "front", "under"):
        return Role.KIT
    if kind.what == "voice.vocals" and source.lead:
        return Role.LEAD
    return kind.role


def section_of(source: Source) -> str:
    """The section a source belongs to: its family, else by the kind of instrument; empty where it is in none."""
    if role_of(source) is not Role.SECTION or source.lead:
        return ""
    if source.family:
        return source.family
    group = source.what.partition(".")[0]
    return {"brass": "horns", "wind": "horns", "strings": "strings", "voice": "choir"}.get(group, "")


def mono_way(legs: tuple[Source, ...]) -> str:
    """How a pair becomes one line: jack, switch, bus, cannot, or microphone, for one of two is no sum. As the band
    says, else by kind: an instrument has a left/mono jack, playback cannot by itself.
    """
    if capture_of(legs[0]) in ("mic", "wireless"):
        return "microphone"
    said = next((leg.to_mono for leg in legs if leg.to_mono), "")
    return said or ("cannot" if role_of(legs[0]) is Role.PLAYBACK else "jack")


def never_phantom(source: Source) -> bool:
    """Whether 48 V can do harm to what stands on a source's tail: as marked, receivers and line outputs by kind."""
    return (source.harmed_by_phantom or capture_of(source) in ("wireless", "line")) and needs_phantom(source) != "yes"


def is_must(source: Source) -> bool:
    """Whether the plan has to send it. Unset means: every lead vocal, the only microphone of kick and snare, an
    inseparable pair.
    """
    if source.must is not None:
        return source.must
    if source.optional or source.fail_over:
        return False
    return (
        role_of(source) is Role.LEAD
        or source.inseparable
        or (role_of(source) in (Role.KICK, Role.SNARE) and not source.second_of)
    )


def room_of(facts: Facts) -> Room:
    """The order that applies: silent where nothing on stage is heard in the room or the engineer wants every source in
    groups, small and loud up to about 200 people, else normal.
    """
    sent = [source for source in facts.rig.source if goes_of(source) in TO_THE_HOUSE]
    loud = any(is_loud(source) for source in sent)
    if not loud or facts.value("what-they-want") == "groups":
        return Room.SILENT
    capacity = facts.value("room-capacity")
    small = isinstance(capacity, int) and capacity <= SMALL_ROOM_PEOPLE
    carries = facts.value("indoors") != "no" and not has_light_kit(facts)
    return Room.SMALL_AND_LOUD if small and carries else Room.NORMAL


def has_light_kit(facts: Facts) -> bool:
    """Whether the overheads are the kit: the band says so, and there are some."""
    return facts.rig.kit == "light" and any(
        role_of(source) is Role.OVERHEAD and goes_of(source) == "both" for source in facts.rig.source
    )


def cymbals_carry(facts: Facts) -> bool:
    """Whether the last overhead goes before any sum of open microphones: indoors, not too large, a rock kit whose kick
    and snare stay.
    """
    capacity = facts.value("room-capacity")
    roles = {role_of(source) for source in facts.rig.source if goes_of(source) == "both"}
    return (
        facts.value("indoors") != "no"
        and isinstance(capacity, int)
        and capacity <= CYMBALS_CARRY_PEOPLE
        and not has_light_kit(facts)
        and {Role.KICK, Role.SNARE} <= roles
    )


def is_act_of_machines(facts: Facts) -> bool:
    """Whether everything that is sent comes from machines and voices: its playback is the music."""
    roles = {role_of(source) for source in facts.rig.source if goes_of(source) in TO_THE_HOUSE}
    return Role.PLAYBACK in roles and roles <= MACHINES_AND_VOICES


MACHINES_AND_VOICES = frozenset({Role.PLAYBACK, Role.KEYBOARD, Role.ELECTRONIC_KIT, Role.BACKING, Role.LEAD})


def nobody_leads(facts: Facts) -> bool:
    """Whether there are voices and none of them, nor any instrument, is marked as lead."""
    sent = [source for source in facts.rig.source if goes_of(source) in TO_THE_HOUSE]
    roles = {role_of(source) for source in sent}
    return Role.BACKING in roles and Role.LEAD not in roles and not any(source.lead for source in sent)
