"""The parts of a rig besides its rows, as forms: what each form holds, how it is laid out, and the rig that follows
from it.

A list (outputs, splitters, looms, mixes, configurations) is a group of fields for each entry and one blank group below.
``was`` holds the name or key that an entry had, so that a rename is known as one. Where two parts speak of the same
thing, both follow: an output that a form gives to an in-ear mix is named by that mix, and the other way round.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from portal.exchange.rig_words import BIT_WORDS, LABELS
from portal.plan.input.rig import (
    BIT_KEYS,
    EARS,
    FEEDS,
    MAX_LABEL,
    Configuration,
    Ears,
    Loom,
    MixerLink,
    Out,
    Rig,
    Splitter,
    SplitterOutput,
    Standing,
    SubLoom,
)
from portal.web.frame.pages import Fault
from portal.web.rig.rig_access import new_key
from portal.web.rig.rig_fields import Entry, Options, Reading, Values, as_typed, entry

MOST_OUTS = 64
SPLITTER_OUTPUTS = 4
MOST_COUNT = 999
LONGEST_CABLE_M = 999
BLANK_CABLES = 3
MOST_OUTS_OF_A_MIX = 2

MIXER = tuple(LABELS[type(Rig().mixer)])
OUT = ("key", "use", "feeds", "cable_m", "max_dbu", "tap", "mute_cuts")
LINK = ("standard", "channels")
SPLITTER = ("name", "ways", "kind", "to_mixer", "built_in", "plugs")
OUTPUT = ("key", "kind", "lift")
LOOM = ("name", "ways", "length_m", "band_end", "house_end")
EAR_MIX = ("player", "width", "carried_by", "cable_m", "outs")
MIX = ("engineer", "proven_over_pa", "own_pa", "takes_over")
KIT = ("kit",)


@dataclass(frozen=True)
class Group:
    """Fields that belong together. ``hidden`` are names of fields that travel unseen; ``plain``: the fields speak for
    themselves.
    """

    legend: str
    entries: tuple[Entry, ...]
    hidden: tuple[str, ...] = ()
    plain: bool = False


@dataclass(frozen=True)
class Part:
    """One part: its words, and the three ways between form and rig. ``about`` are the fields of contradictions that
    belong here.
    """

    title: str
    lead: str
    draw: Callable[[Rig], Values]
    lay: Callable[[Rig, Values], tuple[Group, ...]]
    read: Callable[[Reading, Rig], Rig]
    about: tuple[str, ...] = ()


def _numbers(values: Values, prefix: str) -> list[int]:
    return Reading(values).numbers(prefix)


def _remove(prefix: str) -> Entry:
    return Entry(prefix + "remove", "Take it away", "tick")


def _removed(reading: Reading, prefix: str) -> bool:
    return reading.text(prefix + "remove") == "yes"


def _text(values: Values, name: str) -> str:
    return next(iter(values.get(name, ())), "")


def _groups(
    values: Values, prefix: str, one: str, name: str, entries: Callable[[str], tuple[Entry, ...]]
) -> tuple[Group, ...]:
    """A group for each entry of a list; those that are new have no button to take them away."""
    groups = []
    for number in _numbers(values, prefix):
        here = f"{prefix}{number}-"
        stored = bool(_text(values, here + "was"))
        legend = f"{one} {_text(values, here + name)}" if stored else f"One more {one[:1].lower() + one[1:]}"
        groups.append(Group(legend, (*entries(here), *((_remove(here),) if stored else ())), (here + "was",)))
    return tuple(groups)


def _listed(prefix: str, drawn: Iterable[tuple[str, Mapping[str, tuple[str, ...]]]]) -> dict[str, tuple[str, ...]]:
    """The fields of a list: ``drawn`` holds, for each entry, what it was and its fields."""
    found: dict[str, tuple[str, ...]] = {}
    for number, (was, fields) in enumerate(drawn, start=1):
        found[f"{prefix}{number}-was"] = (was,)
        found |= {f"{prefix}{number}-{name}": typed for name, typed in fields.items()}
    return found


# The mixer


def _draw_mixer(rig: Rig) -> Values:
    outs = _listed("out", ((out.key, as_typed(_tapped(out), OUT)) for out in rig.mixer.outs))
    links = [*rig.mixer.links, MixerLink()]
    return (
        as_typed(rig.mixer, MIXER)
        | outs
        | {"more": ("",)}
        | _listed("link", ((link.standard, as_typed(link, LINK)) for link in links))
    )


def _tapped(out: Out) -> Out:
    """An output whose tap is known more exactly than the form asks, as the form shows it."""
    return replace(out, tap="after-preamp") if not out.tap and out.unprocessed else out


def _lay_mixer(rig: Rig, values: Values) -> tuple[Group, ...]:
    # A use that the rig's mixes do not explain stays on offer, so that drawing the form changes nothing.
    players = dict.fromkeys(
        [*(EARS + ears.player for ears in rig.ears), *(out.use for out in rig.mixer.outs if out.use.startswith(EARS))]
    )
    uses: Options = (
        *((use, use) for use in ("free", "main", *FEEDS)),
        *((use, use.replace(EARS, "ears of ", 1)) for use in players),
    )

    def out(here: str) -> tuple[Entry, ...]:
        return tuple(entry(Out, name, here, uses if name == "use" else ()) for name in OUT)

    def link(here: str) -> tuple[Entry, ...]:
        return tuple(entry(MixerLink, name, here) for name in LINK)

    return (
        Group("What it has", tuple(entry(type(rig.mixer), name) for name in MIXER)),
        *(replace(group, plain=True) for group in _groups(values, "out", "Output", "key", out)),
        Group("More outputs", (Entry("more", "How many more", "number", "They are added when you save, counted on"),)),
        *_groups(values, "link", "Digital link", "standard", link),
    )


def _read_mixer(reading: Reading, rig: Rig) -> Rig:
    outs: list[Out] = []
    known = {out.key: out for out in rig.mixer.outs}
    renamed: dict[str, str] = {}
    for number in reading.numbers("out"):
        here = f"out{number}-"
        if _removed(reading, here):
            continue
        was = known.get(reading.text(here + "was"), Out())
        out = reading.record(was, OUT, here, f"Output {number}, ")
        if out.tap != _tapped(was).tap:
            out = replace(out, tap_before=())
        elif not was.tap:
            out = replace(out, tap="")
        if not out.key:
            reading.faults.append(Fault(here + "key", f"Output {number}: give it a name."))
        renamed[reading.text(here + "was")] = out.key
        outs.append(out)
    more = reading.count("more", "How many more", MOST_OUTS) or 0
    counted = max([int(out.key) for out in outs if out.key.isdecimal()], default=0)
    outs += [Out(key=str(counted + step)) for step in range(1, more + 1)]
    links = []
    for number in reading.numbers("link"):
        here = f"link{number}-"
        link = (
            MixerLink()
            if _removed(reading, here)
            else reading.record(MixerLink(), LINK, here, f"Digital link {number}, ")
        )
        if link.channels and not link.standard:
            reading.faults.append(Fault(here + "standard", f"Digital link {number}: name its open standard."))
        links.append(link)
    mixer = reading.record(rig.mixer, MIXER)
    mixer = replace(mixer, outs=tuple(outs), links=tuple(link for link in links if link != MixerLink()))
    ears = tuple(replace(one, outs=_outs_of(one, outs, renamed)) for one in rig.ears)
    for one in ears:
        if len(one.outs) > MOST_OUTS_OF_A_MIX:
            sentence = (
                f"The in-ear mix of {one.player} would have {len(one.outs)} outputs; a mix takes {MOST_OUTS_OF_A_MIX}."
            )
            reading.faults.append(Fault("top", f"{sentence} Choose another use for the others."))
    return replace(rig, mixer=mixer, ears=ears)


def _outs_of(ears: Ears, outs: list[Out], renamed: Mapping[str, str]) -> tuple[str, ...]:
    """The outputs that are given to a mix: those that it had first, in its own order."""
    given = [out.key for out in outs if out.use == EARS + ears.player]
    had = [renamed.get(key, "") for key in ears.outs]
    return tuple(dict.fromkeys([*(key for key in had if key in given), *given]))


# Splitters


def _draw_splitters(rig: Rig) -> Values:
    def fields(splitter: Splitter) -> dict[str, tuple[str, ...]]:
        outputs = [*splitter.outputs, SplitterOutput()][:SPLITTER_OUTPUTS]
        found = as_typed(splitter, SPLITTER)
        for number, output in enumerate(outputs, start=1):
            found |= as_typed(output, OUTPUT, f"to{number}-")
        return found

    return _listed(
        "splitter", ((one.key, fields(one)) for one in (*rig.splitter, Splitter(outputs=(SplitterOutput(),))))
    )


def _lay_splitters(_rig: Rig, values: Values) -> tuple[Group, ...]:
    own = _groups(
        values, "splitter", "Splitter", "name", lambda here: tuple(entry(Splitter, name, here) for name in SPLITTER)
    )
    found: list[Group] = []
    for number, group in zip(_numbers(values, "splitter"), own, strict=True):
        places = _output_places(values, f"splitter{number}-")
        found += [group, *(_lay_output(group.legend, f"splitter{number}-to{place}-", place) for place in places)]
    return tuple(found)


def _output_places(values: Values, here: str) -> list[int]:
    return [place for place in range(1, SPLITTER_OUTPUTS + 1) if f"{here}to{place}-key" in values]


def _lay_output(splitter: str, here: str, place: int) -> Group:
    key, *others = (entry(SplitterOutput, name, here) for name in OUTPUT)
    return Group(
        f"{splitter}, output {place}", (replace(key, label=f"Output {place} to the house"), *others), plain=True
    )


def _read_splitters(reading: Reading, rig: Rig) -> Rig:
    stored = {splitter.key: splitter for splitter in rig.splitter}
    splitters = []
    for number in reading.numbers("splitter"):
        here = f"splitter{number}-"
        was = reading.text(here + "was")
        if _removed(reading, here):
            continue
        splitter = reading.record(
            replace(stored.get(was, Splitter()), outputs=()), SPLITTER, here, f"Splitter {number}, "
        )
        outputs = []
        for place in _output_places(reading.values, here):
            output = reading.record(SplitterOutput(), OUTPUT, f"{here}to{place}-", f"Splitter {number}, ")
            if output == SplitterOutput():
                continue
            if not output.key:
                sentence = f"Splitter {number}, output {place}: write the name that stands on its front, for example A."
                reading.faults.append(Fault(f"{here}to{place}-key", sentence))
            outputs.append(output)
        if not was and not outputs and splitter == Splitter():
            continue
        if not splitter.name:
            reading.faults.append(Fault(here + "name", f"Splitter {number}: give it a name."))
        splitters.append(replace(splitter, key=was or new_key(), outputs=tuple(outputs)))
    return replace(rig, splitter=tuple(splitters))


# Looms


def _draw_looms(rig: Rig) -> Values:
    return _listed("loom", ((loom.key, as_typed(loom, LOOM)) for loom in (*rig.loom, Loom())))


def _lay_looms(_rig: Rig, values: Values) -> tuple[Group, ...]:
    return _groups(values, "loom", "Loom", "name", lambda here: tuple(entry(Loom, name, here) for name in LOOM))


def _read_looms(reading: Reading, rig: Rig) -> Rig:
    stored = {loom.key: loom for loom in rig.loom}
    looms = []
    for number in reading.numbers("loom"):
        here = f"loom{number}-"
        was = reading.text(here + "was")
        if _removed(reading, here):
            continue
        loom = reading.record(stored.get(was, Loom()), LOOM, here, f"Loom {number}, ")
        if not was and loom == Loom():
            continue
        if not loom.name:
            reading.faults.append(Fault(here + "name", f"Loom {number}: give it a name."))
        looms.append(replace(loom, key=was or new_key()))
    return replace(rig, loom=tuple(looms))


# Lists without anything particular


def _list_part(title: str, lead: str, field: str, one: str, blank: SubLoom | Standing, names: tuple[str, ...]) -> Part:
    """A list of the rig whose entries need a name and nothing else."""
    table, prefix = type(blank), field.replace("_", "")

    def stored(rig: Rig) -> tuple[SubLoom | Standing, ...]:
        return tuple(getattr(rig, field))

    def draw(rig: Rig) -> Values:
        # An entry is known again by its place; a new one has none.
        kept = ((str(place), as_typed(entry, names)) for place, entry in enumerate(stored(rig)))
        return _listed(prefix, [*kept, ("", as_typed(blank, names))])

    def lay(rig: Rig, values: Values) -> tuple[Group, ...]:
        configurations: Options = (("", "every one"), *((name, name) for name in rig.configurations))

        def fields(here: str) -> tuple[Entry, ...]:
            return tuple(entry(table, name, here, configurations if name == "configuration" else ()) for name in names)

        return _groups(values, prefix, one, "name", fields)

    def read(reading: Reading, rig: Rig) -> Rig:
        changes: dict[str, Any] = {field: tuple(_read_list(reading, stored(rig), prefix, one, blank, names))}
        return replace(rig, **changes)

    return Part(title, lead, draw, lay, read, (field,))


def _read_list(
    reading: Reading,
    stored: tuple[SubLoom | Standing, ...],
    prefix: str,
    one: str,
    blank: SubLoom | Standing,
    names: tuple[str, ...],
) -> Iterator[SubLoom | Standing]:
    """The entries of such a list; each needs a name."""
    for number in reading.numbers(prefix):
        here = f"{prefix}{number}-"
        was = reading.text(here + "was")
        if _removed(reading, here):
            continue
        before = stored[int(was)] if was.isdecimal() and int(was) < len(stored) else blank
        entered = reading.record(before, names, here, f"{one} {number}, ")
        if not was and entered == blank:
            continue
        if not entered.name:
            reading.faults.append(Fault(here + "name", f"{one} {number}: give it a name."))
        yield replace(entered, key=new_key()) if isinstance(entered, SubLoom) and not entered.key else entered


# In-ear mixes


def _draw_ears(rig: Rig) -> Values:
    return _listed("ears", ((one.player, as_typed(one, EAR_MIX)) for one in (*rig.ears, Ears())))


def _lay_ears(rig: Rig, values: Values) -> tuple[Group, ...]:
    outs: Options = tuple(
        (out.key, out.key if out.use == "free" else f"{out.key} ({out.use.replace(EARS, 'ears of ')})")
        for out in rig.mixer.outs
    )

    def fields(here: str) -> tuple[Entry, ...]:
        return tuple(entry(Ears, name, here, outs if name == "outs" else ()) for name in EAR_MIX)

    return _groups(values, "ears", "Mix of", "player", fields)


def _read_ears(reading: Reading, rig: Rig) -> Rig:
    mixes = []
    for number in reading.numbers("ears"):
        here = f"ears{number}-"
        if _removed(reading, here):
            continue
        mix = reading.record(Ears(), EAR_MIX, here, f"Mix {number}, ")
        if mix == Ears() and not reading.text(here + "was"):
            continue
        if not mix.player:
            reading.faults.append(Fault(here + "player", f"Mix {number}: write who hears it."))
        mixes.append(mix)
    holders = {key: mix.player for mix in mixes for key in mix.outs}
    return replace(
        rig, ears=tuple(mixes), mixer=replace(rig.mixer, outs=tuple(_held(out, holders) for out in rig.mixer.outs))
    )


def _held(out: Out, holders: Mapping[str, str]) -> Out:
    """The output as the mixes have it. What carries the main mix is never taken from it unasked."""
    if out.key in holders and out.use != "main":
        return replace(out, use=EARS + holders[out.key])
    return replace(out, use="free") if out.use.startswith(EARS) else out


# Small things


def _draw_bits(rig: Rig) -> Values:
    cables = [(key, count) for key, count in rig.bits.items() if key not in BIT_KEYS]
    drawn = [
        (key, {"metres": (key.removeprefix("xlr_").removesuffix("m"),), "count": (str(count),)})
        for key, count in cables
    ]
    blank: Mapping[str, tuple[str, ...]] = {"metres": ("",), "count": ("",)}
    return {key: (str(rig.bits[key]) if key in rig.bits else "",) for key in BIT_KEYS} | _listed(
        "cable", [*drawn, *([("", blank)] * BLANK_CABLES)]
    )


def _lay_bits(_rig: Rig, values: Values) -> tuple[Group, ...]:
    def cable(number: int) -> Group:
        here = f"cable{number}-"
        entries = (Entry(here + "metres", "Length in metres", "number"), Entry(here + "count", "How many", "number"))
        return Group(f"Cables {number}", entries, (here + "was",), plain=True)

    counts = tuple(Entry(key, BIT_WORDS[key], "number") for key in BIT_KEYS)
    return (Group("How many the band brings", counts), *(cable(number) for number in _numbers(values, "cable")))


def _read_bits(reading: Reading, rig: Rig) -> Rig:
    bits = {key: count for key in BIT_KEYS if (count := reading.count(key, BIT_WORDS[key], MOST_COUNT)) is not None}
    for number in reading.numbers("cable"):
        here = f"cable{number}-"
        metres = reading.count(here + "metres", f"Cables {number}, length", LONGEST_CABLE_M)
        count = reading.count(here + "count", f"Cables {number}, how many", MOST_COUNT)
        if metres:
            bits[f"xlr_{metres}m"] = bits.get(f"xlr_{metres}m", 0) + (count or 0)
        elif count:
            reading.faults.append(Fault(here + "metres", f"Cables {number}: enter the length in whole metres."))
    return replace(rig, bits=bits)


# The audience's mix


def _read_mix(reading: Reading, rig: Rig) -> Rig:
    return replace(rig, mix=reading.record(rig.mix, MIX), kit=reading.record(rig, KIT).kit)


# Configurations


def _draw_configurations(rig: Rig) -> Values:
    drawn = [(name, {"name": (name,), "off": one.off}) for name, one in rig.configurations.items()]
    blank: Mapping[str, tuple[str, ...]] = {"name": ("",), "off": ()}
    return _listed("config", [*drawn, ("", blank)])


def _lay_configurations(rig: Rig, values: Values) -> tuple[Group, ...]:
    rows: Options = tuple((source.key, f"{number} {source.label}") for number, source in enumerate(rig.source, start=1))

    def fields(here: str) -> tuple[Entry, ...]:
        return (
            Entry(here + "name", "Name", "text", "For example acoustic"),
            Entry(here + "off", "Stays at home", "ticks", options=rows),
        )

    return _groups(values, "config", "Configuration", "name", fields)


def _read_configurations(reading: Reading, rig: Rig) -> Rig:
    found: dict[str, Configuration] = {}
    keys = {source.key for source in rig.source}
    for number in reading.numbers("config"):
        here = f"config{number}-"
        name, off = (
            reading.text(here + "name"),
            tuple(key for key in reading.values.get(here + "off", ()) if key in keys),
        )
        if _removed(reading, here) or not (name or off or reading.text(here + "was")):
            continue
        if not 0 < len(name) <= MAX_LABEL or not name.isprintable():
            reading.faults.append(
                Fault(here + "name", f"Configuration {number}: give it a name of at most {MAX_LABEL} characters.")
            )
        elif name in found:
            reading.faults.append(
                Fault(here + "name", f'Two configurations are called "{name}". Give each a name of its own.')
            )
        found[name] = Configuration(off)
    return replace(rig, configurations=found)


PARTS: Mapping[str, Part] = {
    "mixer": Part(
        "In-ear mixer",
        "What is not known can stay empty: empty means unknown, not zero. An output given to somebody's ears belongs to"
        " that in-ear mix.",
        _draw_mixer,
        _lay_mixer,
        _read_mixer,
        ("mixer", "ears"),
    ),
    "splitters": Part(
        "Splitters",
        "Every way of a splitter has one leg to the in-ear mixer and the outputs below to the house.",
        _draw_splitters,
        _lay_splitters,
        _read_splitters,
        ("splitter",),
    ),
    "looms": Part(
        "Looms",
        "The multi-way cables between the rack and the stage box.",
        _draw_looms,
        _lay_looms,
        _read_looms,
        ("loom",),
    ),
    "sub-looms": _list_part(
        "Sub-looms",
        "Short multi-way cables from sources to the rack, such as a drum loom. Which source runs through one stands in"
        " its row.",
        "sub_loom",
        "Sub-loom",
        SubLoom(),
        ("name", "ways", "length_m"),
    ),
    "standing": _list_part(
        "What always comes along",
        "Packs, batteries, tablets, a router, mains leads, and what the band's own PA consists of: each by name and"
        " count. The pack list names them.",
        "standing",
        "Thing",
        Standing(),
        ("name", "count", "when", "configuration"),
    ),
    "ears": Part(
        "In-ear mixes",
        "Who hears what, and which outputs of the mixer carry it. Fit a limiter, start low, and leave ears out until"
        " line check is done.",
        _draw_ears,
        _lay_ears,
        _read_ears,
        ("ears", "mixer.outs"),
    ),
    "bits": Part(
        "Small things",
        "What the band brings besides the rows. Empty means not known.",
        _draw_bits,
        _lay_bits,
        _read_bits,
    ),
    "mix": Part(
        "Mix and own PA",
        "What the band can do about the audience's mix by itself.",
        lambda rig: as_typed(rig.mix, MIX) | as_typed(rig, KIT),
        lambda rig, _values: (
            Group("The audience's mix", tuple(entry(type(rig.mix), name) for name in MIX)),
            Group("The drums", tuple(entry(Rig, name) for name in KIT)),
        ),
        _read_mix,
    ),
    "configurations": Part(
        "Configurations",
        "One rig, several ways to play. A configuration names the rows that stay at home.",
        _draw_configurations,
        _lay_configurations,
        _read_configurations,
        ("configurations",),
    ),
}
