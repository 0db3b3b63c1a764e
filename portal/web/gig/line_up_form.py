"""The form of a line-up: what it holds of one, and the line-up that follows from what was typed, each mistake at its
field.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from portal.advance.line_up_words import CARRIED
from portal.plan.coherence import RigFault, faults
from portal.plan.input.kinds import KINDS
from portal.plan.input.line_up import MARK, OFF, LineUp, players_of, tonight
from portal.plan.input.rig import MAX_TEXT, Ears, Rig, Source
from portal.web.frame.pages import Fault
from portal.web.rig.editing.new_rows import plugged, with_defaults
from portal.web.rig.editing.sheet_rows import splitter_options
from portal.web.rig.editing.typed_labels import from_labels, on_the_one_splitter
from portal.web.rig.rig_access import new_key
from portal.web.rig.rig_fields import Entry, Options, Reading, Unreadable, Values, as_typed, entry, key_of, read_value
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up, mark
from portal.wording.formats import join_and

GUEST = ("label", "what", "player", "capture", "phantom", "stand", "mixer_input", "splitter", "way", "note")
MIX = ("player", "width", "carried_by", "cable_m", "outs")
BLANK_GUESTS = 2
MOST_GUESTS = 64
GUEST_LEGENDS = (mark("Guest row %(name)s"), mark("One more guest row"))
MIX_LEGENDS = (mark("Mix of %(name)s"), mark("One more mix"))
"""Rows of tonight only that one form holds."""

LONGEST_NOTE = MAX_TEXT - len(MARK) - 2


@dataclass(frozen=True)
class PlayerFields:
    """One player of the rig: what the names of their fields begin with, what they play, and what carries their mix in
    the rig; empty where they have none.
    """

    prefix: str
    name: str
    plays: str
    mixes: Options
    heard_with: str


@dataclass(frozen=True)
class Added:
    """The fields of one row or mix of tonight only; ``was``: the name of the field that tells a kept one. ``typed``:
    a new one holds something.
    """

    legend: str
    was: str
    entries: tuple[Entry, ...]
    kept: bool
    typed: bool


def players(rig: Rig) -> tuple[PlayerFields, ...]:
    """The fields of each player."""
    mixes = _mix_by_first_listener(rig)
    return tuple(
        PlayerFields(
            f"player{number}-",
            name,
            join_and(one.label for one in rig.source if one.player == name),
            _ways_to_hear(mixes[name].carried_by) if name in mixes else (),
            join_and(mixes[name].listeners[1:]) if name in mixes else "",
        )
        for number, name in enumerate(players_of(rig), start=1)
    )


def _mix_by_first_listener(rig: Rig) -> Mapping[str, Ears]:
    """The mixes of the rig by who is named first of each, at whom it is asked what carries it tonight."""
    return {one.listeners[0]: one for one in rig.ears if one.listeners}


def _ways_to_hear(usual: str) -> Options:
    others = ((how, words) for how, words in CARRIED.items() if how != usual)
    return (("", _("%(usual)s, as the rig", usual=CARRIED[usual])), *others, (OFF, _("no mix")))


def drawn(rig: Rig, line_up: LineUp) -> Values:
    """What the form holds of a line-up."""
    deps, carried = dict(line_up.deps), dict(line_up.carried)
    values: dict[str, tuple[str, ...]] = {"off": line_up.off}
    for one in players(rig):
        values |= {
            one.prefix + "was": (one.name,),
            one.prefix + "away": ("yes",) if one.name in line_up.away else (),
            one.prefix + "dep": (deps.get(one.name, ""),),
            one.prefix + "mix": (carried.get(one.name, ""),),
        }
    blank = replace(Source(), what="")
    for number, guest in enumerate((*line_up.guests, *[blank] * BLANK_GUESTS), start=1):
        values |= {f"guest{number}-was": (guest.key,), **as_typed(guest, GUEST, f"guest{number}-")}
    for number, mix in enumerate((*line_up.ears, Ears()), start=1):
        values |= {f"mix{number}-was": (mix.player,), **as_typed(mix, MIX, f"mix{number}-")}
    return values


def guests(rig: Rig, values: Values) -> tuple[Added, ...]:
    """The fields of the rows of tonight only."""
    kinds: Options = (("", _("as its label says")), *((kind.what, kind.words) for kind in KINDS.values()))
    options = {"what": kinds, "splitter": splitter_options(rig)}

    def field(name: str, here: str) -> Entry:
        made = entry(Source, name, here, options.get(name, ()))
        return replace(made, control="choice") if name == "what" else made

    names = tuple(name for name in GUEST if name != "splitter" or len(rig.splitter) > 1)
    return tuple(
        _added(
            values, f"guest{number}-", "label", GUEST_LEGENDS, tuple(field(name, f"guest{number}-") for name in names)
        )
        for number in Reading(values).numbers("guest")[:MOST_GUESTS]
    )


def mixes(rig: Rig, line_up: LineUp, values: Values) -> tuple[Added, ...]:
    """The fields of the in-ear mixes of tonight only, with the outputs that are free tonight."""
    free = [out.key for out in tonight(rig, replace(line_up, ears=())).mixer.outs if out.use == "free"]
    found = []
    for number in Reading(values).numbers("mix"):
        here = f"mix{number}-"
        outs: Options = tuple((key, key) for key in dict.fromkeys((*values.get(here + "outs", ()), *free)) if key)
        fields = tuple(entry(Ears, name, here, outs if name == "outs" else ()) for name in MIX)
        shown = tuple(one for one in fields if one.options or one.control != "ticks")
        found.append(_added(values, here, "player", MIX_LEGENDS, shown))
    return tuple(found)


def _added(values: Values, here: str, name: str, legends: tuple[str, str], entries: tuple[Entry, ...]) -> Added:
    kept = bool(_text(values, here + "was"))
    of_it, one_more = legends
    legend = look_up(of_it) % {"name": _text(values, here + name)} if kept else look_up(one_more)
    remove = (Entry(here + "remove", _("Take it away"), "tick"),) if kept else ()
    typed = bool(_text(values, here + name))
    return Added(legend, here + "was", (*entries, *remove), kept, typed)


def _text(values: Values, name: str) -> str:
    return next(iter(values.get(name, ())), "").strip()


def read(rig: Rig, configuration: str, values: Values) -> tuple[LineUp, tuple[Fault, ...]]:
    """The line-up that a form holds, and everything that is wrong with it. ``rig``: the revision that the gig uses."""
    reading = Reading(values)
    away, deps, carried = _read_players(reading, rig)
    off = tuple(one.key for one in rig.source if one.key in values.get("off", ()))
    line_up = LineUp(off, away, deps, (), carried, _read_mixes(reading))
    added = _read_guests(reading, rig, line_up)
    line_up = replace(line_up, guests=tuple(added.values()))
    if not reading.faults:
        reading.faults += _contradictions(rig, configuration, line_up, {one.key: here for here, one in added.items()})
    return line_up, tuple(reading.faults)


Pairs = tuple[tuple[str, str], ...]


def _read_players(reading: Reading, rig: Rig) -> tuple[tuple[str, ...], Pairs, Pairs]:
    """Who is away, who plays for whom, and what carries whose mix."""
    away: list[str] = []
    deps: list[tuple[str, str]] = []
    carried: list[tuple[str, str]] = []
    known, mixed = players_of(rig), _mix_by_first_listener(rig)
    for number in reading.numbers("player"):
        here = f"player{number}-"
        name = reading.text(here + "was")
        if name not in known or name in away:
            continue
        instead = _name(reading, here + "dep", name)
        if reading.text(here + "away") == "yes":
            away.append(name)
            if instead:
                said = _(
                    "%(instead)s plays for %(name)s, and %(name)s is not there. Take the mark away, or the name.",
                    instead=instead,
                    name=name,
                )
                reading.faults.append(Fault(here + "dep", said))
        elif instead and instead != name:
            deps.append((name, instead))
        how = reading.text(here + "mix")
        if how and name in mixed and how not in (*CARRIED, OFF):
            reading.faults.append(Fault(here + "mix", _("%(name)s: choose how the mix is carried.", name=name)))
        elif how and name in mixed and how != mixed[name].carried_by:
            carried.append((name, how))
    return tuple(away), tuple(deps), tuple(carried)


def _name(reading: Reading, field: str, player: str) -> str:
    try:
        return str(read_value(key_of(Source, "player"), reading.text(field)))
    except Unreadable as error:
        reading.faults.append(Fault(field, _("Who plays for %(player)s: %(error)s", player=player, error=error)))
        return ""


def _read_mixes(reading: Reading) -> tuple[Ears, ...]:
    found = []
    for number in reading.numbers("mix"):
        here = f"mix{number}-"
        if reading.text(here + "remove") == "yes":
            continue
        mix = reading.record(Ears(), MIX, here, _("Mix %(number)s, ", number=number))
        if mix == Ears() and not reading.text(here + "was"):
            continue
        if not mix.player:
            reading.faults.append(Fault(here + "player", _("Mix %(number)s: write who hears it.", number=number)))
        found.append(mix)
    return tuple(found)


def _read_guests(reading: Reading, rig: Rig, line_up: LineUp) -> Mapping[str, Source]:
    """The rows of tonight only, by what the names of their fields begin with. A label may say what a row is; what is
    plugged nowhere gets what is free tonight.
    """
    kept: dict[str, Source] = {}
    fresh: list[str] = []
    numbers = reading.numbers("guest")
    if len(numbers) > MOST_GUESTS:
        said = _(
            "These are %(count)s guest rows; %(most_guests)s fit. Nothing was saved, and the rest was left out.",
            count=len(numbers),
            most_guests=MOST_GUESTS,
        )
        reading.faults.append(Fault(f"guest{numbers[MOST_GUESTS - 1]}-label", said))
    for number in numbers[:MOST_GUESTS]:
        here = f"guest{number}-"
        was = reading.text(here + "was")
        blank = Source(key=was if re.fullmatch("[0-9a-f]{1,40}", was) else new_key(), what="")
        typed = reading.record(blank, GUEST, here, _("Guest row %(number)s, ", number=number))
        empty = typed == blank
        if reading.text(here + "remove") == "yes" or (empty and not was):
            continue
        if not typed.label:
            reading.faults.append(
                Fault(here + "label", _("Guest row %(number)s: write what it is, for example Trumpet.", number=number))
            )
        if len(typed.note) > LONGEST_NOTE:
            said = _(
                "%(count)s characters; %(longest_note)s fit. Shorten it.",
                count=len(typed.note),
                longest_note=LONGEST_NOTE,
            )
            reading.faults.append(
                Fault(here + "note", _("Guest row %(number)s, note: this has %(said)s", number=number, said=said))
            )
        kept[here] = on_the_one_splitter(typed, blank, rig)
        if not typed.what:
            fresh.append(here)
    if reading.faults:
        return kept
    heres = list(kept)
    told = from_labels(list(kept.values()), [heres.index(here) for here in fresh])
    there = tonight(rig, line_up).source
    made: dict[str, Source] = {}
    for here, one in zip(heres, told, strict=True):
        whole = with_defaults(replace(one, what=one.what or "x-other"))
        made[here] = plugged(whole, (*there, *made.values(), *(kept[other] for other in heres if other != here)), rig)
    return made


def _contradictions(rig: Rig, configuration: str, line_up: LineUp, heres: Mapping[str, str]) -> Iterator[Fault]:
    """What contradicts itself tonight and does not in the rig, at the field of the row of tonight that it is about."""
    old = {fault.sentence for fault in faults(rig.configured(configuration))}
    after = tonight(rig, line_up).configured(configuration)
    for fault in faults(after):
        rows = [] if fault.row is None else [after.source[row] for row in (*fault.others, fault.row)]
        here = next((heres[one.key] for one in rows if one.key in heres), "")
        if here:
            yield Fault(here + (fault.field if fault.field in GUEST else "label"), _by_label(fault, after))
        elif fault.row is None and fault.sentence not in old:
            number = next((place for place, one in enumerate(line_up.ears, start=1) if one.player in fault.sentence), 0)
            yield Fault(f"mix{number}-player" if number else "off", fault.sentence)


def _by_label(fault: RigFault, rig: Rig) -> str:
    """The sentence with the names of rows in place of their numbers, which nobody sees here."""

    def labels(found: re.Match[str]) -> str:
        return join_and(f'"{rig.source[int(number) - 1].label}"' for number in re.findall("[0-9]+", found[0]))

    return re.sub(r"\b[Rr]ows? [0-9]+(?:(?:, | and )[0-9]+)*", labels, fault.sentence)
