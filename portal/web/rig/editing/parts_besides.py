"""What comes along besides, as typed in the sheet: sub-looms, small things, standing things, mix and own PA,
configurations.
"""

from collections.abc import Mapping
from dataclasses import replace

from portal.exchange.rig_words import BIT_WORDS
from portal.plan.input.rig import MAX_LABEL, Configuration, Rig, Standing, SubLoom
from portal.plan.input.small_things import BIT_KEYS, cable_key, cable_metres
from portal.web.frame.pages import Fault
from portal.web.rig.editing.sheet_parts import Group, Table, drawn_lines, drawn_records, table, text_of, typed_lines
from portal.web.rig.rig_access import new_key
from portal.web.rig.rig_fields import Entry, Options, Reading, Values, as_typed, entry
from portal.wording.catalogue import gettext
from portal.wording.formats import of_unit, write_length

MOST_COUNT = 999
SHORTEST_CABLE_M, LONGEST_CABLE_M = 0.1, 999
BLANK_CABLES = 3
BLANK_THINGS = 3

MIX = ("engineer", "proven_over_pa", "own_pa", "takes_over")
SUB_LOOM = ("name", "ways", "length_m")
STANDING = ("name", "count", "when", "configuration")


# Sub-looms


def draw_sub_looms(rig: Rig) -> Values:
    """The sub-looms, and one more."""
    return drawn_records("subloom", ((one.key, one) for one in rig.sub_loom), SubLoom(), 1, SUB_LOOM)


def lay_sub_looms(_rig: Rig, values: Values) -> tuple[Table, ...]:
    """The sub-looms."""
    return (
        table(
            values,
            "subloom",
            gettext("Sub-loom"),
            (),
            lambda here: tuple(entry(SubLoom, name, here) for name in SUB_LOOM),
        ),
    )


def read_sub_looms(reading: Reading, rig: Rig) -> Rig:
    """The rig with the sub-looms as typed."""
    stored = {one.key: one for one in rig.sub_loom}
    typed = typed_lines(reading, "subloom", gettext("Sub-loom"), SubLoom(), SUB_LOOM, stored)
    return replace(rig, sub_loom=tuple(replace(one, key=was or new_key()) for _, was, one in typed))


# What always comes along


def draw_standing(rig: Rig) -> Values:
    """The things, known again by their place, and blank lines."""
    stored = ((str(place), one) for place, one in enumerate(rig.standing))
    return drawn_records("standing", stored, Standing(), BLANK_THINGS, STANDING)


def lay_standing(rig: Rig, values: Values) -> tuple[Table, ...]:
    """The things; a configuration that is typed just now can be chosen once it is saved."""
    offered: Options = (("", gettext("every one")), *((name, name) for name in rig.configurations))

    def fields(here: str) -> tuple[Entry, ...]:
        return tuple(entry(Standing, name, here, offered if name == "configuration" else ()) for name in STANDING)

    return (table(values, "standing", gettext("Thing"), ("when", "configuration"), fields),)


def read_standing(reading: Reading, rig: Rig) -> Rig:
    """The rig with the things as typed."""
    stored = {str(place): one for place, one in enumerate(rig.standing)}
    things = []
    for here, _, thing in typed_lines(reading, "standing", gettext("Thing"), Standing(), STANDING, stored):
        if thing.configuration and thing.configuration not in rig.configurations:
            sentence = gettext(
                'The rig has no configuration "%(configuration)s". Choose another, or every one.',
                configuration=thing.configuration,
            )
            reading.faults.append(Fault(here + "configuration", sentence))
        things.append(thing)
    return replace(rig, standing=tuple(things))


# Small things


def draw_bits(rig: Rig) -> Values:
    """The counts, and the loose cables by length with blank lines."""
    cables = [(key, count) for key, count in rig.bits.items() if key not in BIT_KEYS]
    drawn = [(key, {"length": (write_length(cable_metres(key)),), "count": (str(count),)}) for key, count in cables]
    blank: Mapping[str, tuple[str, ...]] = {"length": ("",), "count": ("",)}
    return {
        **{key: (str(rig.bits[key]) if key in rig.bits else "",) for key in BIT_KEYS},
        **drawn_lines("cable", [*drawn, *[("", blank)] * BLANK_CABLES]),
    }


def lay_bits(_rig: Rig, values: Values) -> tuple[Table | Group, ...]:
    """The counts, and the cables."""

    def cable(here: str) -> tuple[Entry, ...]:
        label = of_unit(gettext("Length in metres"), gettext("Length in feet"))
        return Entry(here + "length", label, "number"), Entry(here + "count", gettext("How many"), "number")

    counts = tuple(Entry(key, BIT_WORDS[key], "number") for key in BIT_KEYS)
    cables = table(values, "cable", gettext("Loose cable"), (), cable)
    # Without a length a cable is none; nothing else takes it away.
    return Group("", counts), replace(cables, lines=tuple(replace(line, stored=False) for line in cables.lines))


def read_bits(reading: Reading, rig: Rig) -> Rig:
    """The rig with the counts as typed; empty is not known, and one length counted twice is one count."""
    bits = {key: count for key in BIT_KEYS if (count := reading.count(key, BIT_WORDS[key], MOST_COUNT)) is not None}
    for number in reading.numbers("cable"):
        here = f"cable{number}-"
        length = gettext("Cables %(number)s, length", number=number)
        metres = reading.length(here + "length", length, SHORTEST_CABLE_M, LONGEST_CABLE_M)
        count = reading.count(here + "count", gettext("Cables %(number)s, how many", number=number), MOST_COUNT)
        if metres:
            bits[cable_key(metres)] = bits.get(cable_key(metres), 0) + (count or 0)
        elif count:
            reading.faults.append(
                Fault(here + "length", gettext("Cables %(number)s: enter the length.", number=number))
            )
    return replace(rig, bits=bits)


# The audience's mix


def draw_mix(rig: Rig) -> Values:
    """What the band can do about the mix, and the kind of kit."""
    return {**as_typed(rig.mix, MIX), **as_typed(rig, ("kit",))}


def lay_mix(rig: Rig, _values: Values) -> tuple[Group, ...]:
    """The same as fields."""
    return (Group("", (*(entry(type(rig.mix), name) for name in MIX), entry(Rig, "kit"))),)


def read_mix(reading: Reading, rig: Rig) -> Rig:
    """The rig with them as typed."""
    return replace(rig, mix=reading.record(rig.mix, MIX), kit=reading.record(rig, ("kit",)).kit)


# Configurations


def draw_configurations(rig: Rig) -> Values:
    """The configurations, and one more."""
    drawn = [(name, {"name": (name,), "off": one.off}) for name, one in rig.configurations.items()]
    blank: Mapping[str, tuple[str, ...]] = {"name": ("",), "off": ()}
    return drawn_lines("config", [*drawn, ("", blank)])


def lay_configurations(rig: Rig, values: Values) -> tuple[Group, ...]:
    """A group for each; rows that are typed just now can be ticked once they are saved."""
    rows: Options = tuple((source.key, f"{number} {source.label}") for number, source in enumerate(rig.source, start=1))
    groups = []
    for number in Reading(values).numbers("config"):
        here = f"config{number}-"
        stored = bool(text_of(values, here + "was"))
        entries = [Entry(here + "name", gettext("Name"), "text", gettext("For example acoustic"))]
        if rows:
            entries.append(Entry(here + "off", gettext("Stays at home"), "ticks", options=rows))
        if stored:
            entries.append(Entry(here + "remove", gettext("Take it away"), "tick"))
        legend = f"Configuration {text_of(values, here + 'name')}" if stored else gettext("One more configuration")
        groups.append(Group(legend, tuple(entries), (here + "was",)))
    return tuple(groups)


def read_configurations(reading: Reading, rig: Rig) -> Rig:
    """The rig with the configurations as typed."""
    found: dict[str, Configuration] = {}
    keys = {source.key for source in rig.source}
    for number in reading.numbers("config"):
        here = f"config{number}-"
        name = reading.text(here + "name")
        off = tuple(key for key in reading.values.get(here + "off", ()) if key in keys)
        gone = reading.text(here + "remove") == "yes"
        if gone or not (name or off or reading.text(here + "was")):
            continue
        if not 0 < len(name) <= MAX_LABEL or not name.isprintable():
            sentence = gettext(
                "Configuration %(number)s: give it a name of at most %(max_label)s characters.",
                number=number,
                max_label=MAX_LABEL,
            )
            reading.faults.append(Fault(here + "name", sentence))
        elif name in found:
            sentence = gettext('Two configurations are called "%(name)s". Give each a name of its own.', name=name)
            reading.faults.append(Fault(here + "name", sentence))
        found[name] = Configuration(off)
    return replace(rig, configurations=found)
