"""What the rows run through, as typed in the sheet: splitters, mixer, outputs, in-ear mixes, looms."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from portal.exchange.rig_words import LABELS
from portal.plan.input.rig import (
    EARS,
    FEEDS,
    Ears,
    Loom,
    Mixer,
    MixerLink,
    Out,
    Rig,
    Splitter,
    SplitterOutput,
    listeners_of,
)
from portal.web.frame.pages import Fault
from portal.web.rig.editing.sheet_parts import (
    Group,
    Line,
    Table,
    as_blank,
    drawn_lines,
    drawn_records,
    table,
    text_of,
    told_twice,
    typed_lines,
)
from portal.web.rig.rig_access import new_key
from portal.web.rig.rig_fields import Entry, Options, Reading, Values, as_typed, entry, said
from portal.wording.catalogue import gettext

MOST_OUTS = 64
SPLITTER_OUTPUTS = 4
NEW_OUTPUTS = 2
BLANK_MIXES = 3
FIRST_MIXES = 6
BLANK_LOOMS = 2
MIX_OUTS = ("out1", "out2")
"""The fields of the outputs that carry a mix; a mix takes two at most."""

MIXER = tuple(LABELS[Mixer])
OUT = ("key", "use", "feeds", "cable_m", "max_dbu", "tap", "mute_cuts")
LINK = ("standard", "channels")
SPLITTER = ("name", "ways", "kind", "to_mixer", "built_in", "plugs")
OUTPUT = ("key", "kind", "lift")
LOOM = ("name", "ways", "length_m", "band_end", "house_end")
EAR_MIX = ("player", "width", "carried_by", "cable_m")


# Splitters


def draw_splitters(rig: Rig) -> Values:
    """The splitters, and one more."""

    def fields(splitter: Splitter, most: int) -> dict[str, tuple[str, ...]]:
        outputs = [*splitter.outputs, SplitterOutput(), SplitterOutput()][:most]
        found = as_typed(splitter, SPLITTER) if splitter.key else as_blank(splitter, SPLITTER)
        for number, output in enumerate(outputs, start=1):
            found |= as_typed(output, OUTPUT, f"to{number}-")
        return found

    drawn = [(one.key, fields(one, min(len(one.outputs) + 1, SPLITTER_OUTPUTS))) for one in rig.splitter]
    return drawn_lines("splitter", [*drawn, ("", fields(Splitter(), NEW_OUTPUTS))])


def lay_splitters(_rig: Rig, values: Values) -> tuple[Table, ...]:
    """The splitters, and below them their outputs."""
    own = table(
        values,
        "splitter",
        gettext("Splitter"),
        ("plugs",),
        lambda here: tuple(entry(Splitter, name, here) for name in SPLITTER),
    )
    outputs = tuple(
        _output_line(values, line, number, place)
        for number, line in enumerate(own.lines, start=1)
        for place in _output_places(values, line.prefix)
    )
    heads = tuple(LABELS[SplitterOutput][name] for name in OUTPUT)
    return own, Table(gettext("Outputs of the splitters to the house"), heads, (False,) * len(heads), outputs)


def _output_line(values: Values, splitter: Line, number: int, place: int) -> Line:
    named = f"{text_of(values, splitter.prefix + 'name') or f'Splitter {number}'}, output {place}"
    here = f"{splitter.prefix}to{place}-"
    return Line(
        named, here, stored=False, entries=tuple(entry(SplitterOutput, name, here) for name in OUTPUT), head=named
    )


def _output_places(values: Values, here: str) -> list[int]:
    return [place for place in range(1, SPLITTER_OUTPUTS + 1) if f"{here}to{place}-key" in values]


def read_splitters(reading: Reading, rig: Rig) -> Rig:
    """The rig with the splitters as typed."""
    splitters = []
    stored = {splitter.key: replace(splitter, outputs=()) for splitter in rig.splitter}

    def has_outputs(here: str) -> bool:
        return any(reading.text(f"{here}to{place}-key") for place in _output_places(reading.values, here))

    for here, was, splitter in typed_lines(
        reading, "splitter", gettext("Splitter"), Splitter(), SPLITTER, stored, has_outputs
    ):
        outputs = tuple(_outputs_typed(reading, here))
        told_twice(
            reading,
            [(f"{here}to{place}-key", one.key) for place, one in outputs],
            'Another output of this splitter is called "{}". Give each a name of its own.',
        )
        splitters.append(replace(splitter, key=was or new_key(), outputs=tuple(one for _, one in outputs)))
    return replace(rig, splitter=tuple(splitters))


def _outputs_typed(reading: Reading, here: str) -> Iterator[tuple[int, SplitterOutput]]:
    for place in _output_places(reading.values, here):
        prefix = f"{here}to{place}-"
        output = reading.record(SplitterOutput(), OUTPUT, prefix, f"Output {place}, ")
        if output == SplitterOutput():
            continue
        if not output.key:
            sentence = gettext("Output %(place)s: write the name that stands on its front, for example A.", place=place)
            reading.faults.append(Fault(f"{prefix}key", sentence))
        yield place, output


# Looms


def draw_looms(rig: Rig) -> Values:
    """The looms, and blank lines."""
    return drawn_records("loom", ((loom.key, loom) for loom in rig.loom), Loom(), BLANK_LOOMS, LOOM)


def lay_looms(_rig: Rig, values: Values) -> tuple[Table, ...]:
    """The looms."""
    return (
        table(
            values,
            "loom",
            gettext("Loom"),
            ("band_end", "house_end"),
            lambda here: tuple(entry(Loom, name, here) for name in LOOM),
        ),
    )


def read_looms(reading: Reading, rig: Rig) -> Rig:
    """The rig with the looms as typed."""
    stored = {loom.key: loom for loom in rig.loom}
    typed = typed_lines(reading, "loom", gettext("Loom"), Loom(), LOOM, stored)
    return replace(rig, loom=tuple(replace(loom, key=was or new_key()) for _, was, loom in typed))


# The mixer


def draw_mixer(rig: Rig) -> Values:
    """What the mixer has, and its digital links with one more."""
    links = ((link.standard, link) for link in rig.mixer.links)
    return {**as_typed(rig.mixer, MIXER), **drawn_records("link", links, MixerLink(), 1, LINK)}


def lay_mixer(_rig: Rig, values: Values) -> tuple[Table | Group, ...]:
    """What the mixer has, and its links."""
    links = table(
        values, "link", gettext("Digital link"), (), lambda here: tuple(entry(MixerLink, name, here) for name in LINK)
    )
    return Group("", tuple(entry(Mixer, name) for name in MIXER)), links


def read_mixer(reading: Reading, rig: Rig) -> Rig:
    """The rig with the mixer as typed, its outputs as they were."""
    mixer = reading.record(rig.mixer, MIXER)
    links = tuple(link for _, _, link in typed_lines(reading, "link", gettext("Digital link"), MixerLink(), LINK, {}))
    return replace(rig, mixer=replace(mixer, links=tuple(link for link in links if link != MixerLink())))


# Outputs


def draw_outs(rig: Rig) -> Values:
    """The mixer's outputs, and how many more."""

    def fields(out: Out) -> dict[str, tuple[str, ...]]:
        return as_typed(out, OUT) | {"tap": (said(Out, "tap", out.tap),)}

    return {**drawn_lines("out", ((out.key, fields(_tapped(out))) for out in rig.mixer.outs)), "more": ("",)}


def _tapped(out: Out) -> Out:
    """An output whose tap is known more exactly than the form asks, as the form shows it."""
    return replace(out, tap="after-preamp") if not out.tap and out.unprocessed else out


def _untapped(typed: Out, before: Out) -> Out:
    """The output as it is kept: what was known more exactly stays until another tap is chosen."""
    if typed.tap != _tapped(before).tap:
        return replace(typed, tap_before=())
    return typed if before.tap else replace(typed, tap="")


def lay_outs(_rig: Rig, values: Values) -> tuple[Table | Group, ...]:
    """The outputs. An output of an in-ear mix is named by the mix; here it can be read."""

    def out(here: str) -> tuple[Entry, ...]:
        held = text_of(values, here + "use")
        uses: Options = tuple((use, use) for use in ("free", "main", *FEEDS))
        if held.startswith(EARS):
            uses = (*uses, (held, held.replace(EARS, "in-ears of ", 1)))
        entries = {name: entry(Out, name, here, uses if name == "use" else ()) for name in OUT}
        entries["tap"] = replace(entries["tap"], control="text", options=(), offers="of-tap")
        return tuple(entries.values())

    more = Entry(
        "more",
        gettext("Outputs to add"),
        "number",
        gettext("Beside those above, numbered on from the last when the rig is saved"),
    )
    return table(values, "out", gettext("Output"), ("cable_m", "max_dbu", "tap", "mute_cuts"), out), Group("", (more,))


def read_outs(reading: Reading, rig: Rig) -> Rig:
    """The rig with the outputs as typed; those of in-ear mixes wait for what the mixes name."""
    outs: list[Out] = []
    fields: list[tuple[str, str]] = []
    known = {out.key: out for out in rig.mixer.outs}
    shown = {key: _tapped(one) for key, one in known.items()}
    for here, was, out in typed_lines(reading, "out", gettext("Output"), Out(), OUT, shown):
        fields.append((here + "key", out.key))
        outs.append(_untapped(out, known.get(was, Out())))
    told_twice(reading, fields, 'Another output is called "{}". Give each a name of its own.')
    more = reading.count("more", gettext("How many more outputs"), MOST_OUTS) or 0
    counted = max([int(out.key) for out in outs if out.key.isdecimal()], default=0)
    outs += [Out(key=str(counted + step)) for step in range(1, more + 1)]
    return replace(rig, mixer=replace(rig.mixer, outs=tuple(outs)))


# In-ear mixes


def draw_ears(rig: Rig) -> Values:
    """The mixes with their outputs, and blank lines."""

    def fields(one: Ears) -> dict[str, tuple[str, ...]]:
        outs = dict(zip(MIX_OUTS, (*one.outs, "", ""), strict=False))
        return as_typed(one, EAR_MIX) | {name: (out,) for name, out in outs.items()}

    blanks = [Ears()] * (BLANK_MIXES if rig.ears else FIRST_MIXES)
    return drawn_lines("ears", ((one.player, fields(one)) for one in (*rig.ears, *blanks)))


def lay_ears(_rig: Rig, values: Values) -> tuple[Table, ...]:
    """The mixes."""

    def fields(here: str) -> tuple[Entry, ...]:
        player, width, carried_by, cable = (entry(Ears, name, here) for name in EAR_MIX)
        outs = (
            Entry(here + "out1", gettext("Output, left or mono"), "text", offers="outs"),
            Entry(here + "out2", gettext("Output, right"), "text", offers="outs"),
        )
        return replace(player, offers="players"), width, *outs, carried_by, cable

    return (table(values, "ears", gettext("Mix"), ("cable_m",), fields),)


def read_ears(reading: Reading, rig: Rig) -> Rig:
    """The rig with the mixes as typed. What they name is theirs: an output follows its mix, and is free where none
    names it. A mixer whose outputs nobody has entered has them up to the highest number that a mix names.
    """
    if not rig.mixer.outs:
        rig = replace(rig, mixer=replace(rig.mixer, outs=_numbered_by_mixes(reading)))
    mixes: list[Ears] = []
    players: list[tuple[str, str]] = []
    holders: dict[str, str] = {}
    for number in reading.numbers("ears"):
        here = f"ears{number}-"
        if reading.text(here + "remove") == "yes":
            continue
        mix = reading.record(Ears(), EAR_MIX, here, f"Mix {number}, ")
        outs = tuple(_outs_of_mix(reading, rig, here, holders))
        if mix == Ears() and not outs and not reading.text(here + "was"):
            continue
        if not mix.player:
            reading.faults.append(Fault(here + "player", gettext("Mix %(number)s: write who hears it.", number=number)))
        if replace(mix, outs=outs).lacks_a_side and not all(reading.text(here + name) for name in MIX_OUTS):
            empty = next(name for name in MIX_OUTS if not reading.text(here + name))
            said = gettext("This mix is stereo: write the output of the other side too, or make the mix mono.")
            reading.faults.append(Fault(here + empty, said))
        holders |= dict.fromkeys(outs, mix.player)
        players.append((here + "player", mix.player))
        mixes.append(replace(mix, outs=outs))
    told_twice(reading, players, '"{}" has a mix already. Give each mix a player of its own.')
    held = tuple(_held(out, holders) for out in rig.mixer.outs)
    return replace(rig, ears=tuple(mixes), mixer=replace(rig.mixer, outs=held))


def _numbered_by_mixes(reading: Reading) -> tuple[Out, ...]:
    named = (reading.text(f"ears{number}-{name}") for number in reading.numbers("ears") for name in MIX_OUTS)
    highest = max((int(name) for name in named if re.fullmatch(r"[0-9]{1,3}", name)), default=0)
    return tuple(Out(key=str(number)) for number in range(1, highest + 1)) if highest <= MOST_OUTS else ()


def mixes_for(players: Iterable[str], values: Values) -> tuple[dict[str, tuple[str, ...]], str]:
    """The form with a stereo mix for each of the players who has none, on outputs that are free, mono on the last; and
    what was done, in words. Where the mixer has no output yet, as many as are needed are added to it.
    """
    reading, drawn = Reading(values), dict(values)
    lines = reading.numbers("ears")
    heard = {name for number in lines for name in listeners_of(reading.text(f"ears{number}-player"))}
    wanted = [player for player in dict.fromkeys(players) if player and player not in heard]
    if not wanted:
        return drawn, gettext("Every player whom the rows name has a mix. Nothing was added.")
    taken = {reading.text(f"ears{number}-{name}") for number in lines for name in MIX_OUTS}
    outs = [f"out{number}-" for number in reading.numbers("out")]
    free = [reading.text(out + "key") for out in outs if reading.text(out + "use") == "free"]
    free = [key for key in free if key not in taken]
    if not outs and not reading.text("more"):
        free = [str(number) for number in range(1, 2 * len(wanted) + 1)][:MOST_OUTS]
        drawn["more"] = (str(len(free)),)
    blank = [
        number for number in lines if not reading.text(f"ears{number}-was") and not reading.text(f"ears{number}-player")
    ]
    places = [*blank, *range(max(lines, default=0) + 1, max(lines, default=0) + 1 + len(wanted))]
    for player, number in zip(wanted, places, strict=False):
        here = f"ears{number}-"
        width = "mono" if len(free) == 1 else "stereo"
        drawn |= {here + "was": ("",), **as_typed(Ears(player=player, width=width), EAR_MIX, here)}
        drawn |= {here + name: (free.pop(0) if free else "",) for name in MIX_OUTS}
    return drawn, gettext("%(count)s in-ear mixes are below, one for each player. Not saved yet.", count=len(wanted))


def _outs_of_mix(reading: Reading, rig: Rig, here: str, holders: Mapping[str, str]) -> Iterator[str]:
    """The outputs that a mix names, each a fault where it cannot be had. One that was renamed in the same form is known
    by either name.
    """
    uses = {out.key: out.use for out in rig.mixer.outs}
    renamed = {reading.text(f"out{number}-was"): reading.text(f"out{number}-key") for number in reading.numbers("out")}
    found: list[str] = []
    for name in MIX_OUTS:
        typed = reading.text(here + name)
        key = typed if typed in uses else renamed.get(typed, typed)
        if not typed or (key == "" and typed in renamed):
            continue
        if key not in uses:
            sentence = gettext(
                'The mixer has no output "%(typed)s". Write one that it has, or add it to the outputs.',
                typed=typed[:40],
            )
        elif uses[key] != "free" and not uses[key].startswith(EARS):
            sentence = gettext(
                'The output "%(key)s" is entered as %(key2)s. Write another, or enter "free" there.',
                key=key,
                key2=uses[key],
            )
        elif key in holders or key in found:
            sentence = f'The output "{key}" carries {"this" if key in found else "another"} mix already. Write another.'
        else:
            found.append(key)
            continue
        reading.faults.append(Fault(here + name, sentence))
    yield from found


def _held(out: Out, holders: Mapping[str, str]) -> Out:
    """The output as the mixes have it."""
    if out.key in holders:
        return replace(out, use=EARS + holders[out.key])
    return replace(out, use="free") if out.use.startswith(EARS) else out
