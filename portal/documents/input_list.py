"""The input list: one row a desk channel, in the order in which the engineer builds the desk file; where the band's
mixer feeds a PA, one row an input of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from portal.documents.abbreviations import used
from portal.documents.cover import Cover
from portal.documents.heading import TitleBlock, foot_of, heading_of, sentence_of
from portal.documents.house_48v import banks_named, house_switch, mixer_switch
from portal.documents.patch.mixer_rows import MixerRow, by_input, mixer_rows
from portal.documents.patch.patch_rows import (
    LEVELS,
    NONE,
    SENTENCE,
    SIDES,
    LineRow,
    line_notes,
    line_row,
    path_words,
    source_labels,
)
from portal.documents.registry import document
from portal.documents.rendering.printed import Printed
from portal.documents.table import Cell, Table
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT
from portal.plan.model import PA, EarInput, Line, Plan, Route
from portal.plan.phrase import Said
from portal.plan.result.spelling import desk_switch, feed_said
from portal.wording.catalogue import gettext, look_up, mark
from portal.wording.kinds import say_stand
from portal.wording.plan.saying import say

ON_THE_BANDS_MIXER = "engineer-on-our-mixer"
"""The statement that says what a house engineer on the band's mixer gets, and who brings it."""

NUMBERS = (
    mark("Desk channel"),
    mark("Pad dB"),
    mark("Stereo with channel"),
    mark("Box socket"),
    mark("Line"),
    mark("Splitter way"),
    mark("Loom way"),
    mark("Mixer channel"),
    mark("Mixer input"),
)
"""Heads of a spreadsheet's columns that hold numbers."""

HEADS = (
    "Desk channel", mark("Strip"), mark("Source"), mark("Player"), mark("Mic or DI"), mark("Mic or DI from"),
    mark("Stand"), mark("48 V at the desk"), "Pad dB", mark("Polarity"), "Stereo with channel", mark("Gain by"),
    mark("Level"), mark("Box"), "Box socket", "Line", mark("Path"), "Splitter way", mark("Loom"), "Loom way",
    mark("Tail"), mark("Ground lift"), mark("Note"), "Mixer channel", "Mixer input", mark("48 V at the mixer"),
    mark("Heard by"),
)  # fmt: skip
"""Heads of a spreadsheet, in order. The last four are filled in where an engineer works the band's mixer."""

HEADINGS = ("DI", "48 V", "dB", "Pol.")
"""Heads that the template prints itself and that hold abbreviations."""

RARE = ("pad_db", "polarity", "stereo_with")
"""Columns of the paper that stand only where a row has something to say there: the notes have their room else."""

OF_RARE = {"Pol.": "polarity"}
"""Heads of ``HEADINGS`` that stand over such a column."""


@dataclass(frozen=True)
class InputList:
    """All that the template sees. ``empty`` are the columns of ``RARE`` that no row needs."""

    language: str
    title: str
    foot: str
    heading: TitleBlock
    sentence: str
    engineer: str
    on_the_mixer: tuple[MixerRow, ...]
    rows: tuple[LineRow, ...]
    empty: frozenset[str]
    at_pa: bool
    returns: tuple[tuple[str, str, str], ...]
    any_link: bool
    any_bank: bool
    shortened: str
    key: tuple[tuple[str, str], ...]


def _by_channel(plan: Plan) -> list[Line]:
    return sorted(plan.lines, key=lambda line: (line.desk_channel, line.line))


def _table(plan: Plan, cover: Cover) -> Table:
    """The rows for a spreadsheet: numbers as numbers, nothing where a number is not known or not needed. The channels
    of an engineer on the band's mixer come first.
    """
    printed, plan = Printed(), banks_named(plan, cover)
    rows = (*_mixer_records(plan, printed), *_line_records(plan, printed))
    return Table(
        gettext("Input list"),
        tuple(map(look_up, HEADS)),
        frozenset(map(look_up, NUMBERS)),
        tuple(tuple(row.get(head, None if head in NUMBERS else "") for head in HEADS) for row in rows),
    )


def _line_records(plan: Plan, printed: Printed) -> Iterator[Mapping[str, Cell]]:
    """Each line to the house, head -> cell."""
    channel = {line.line: line.desk_channel for line in plan.lines if line.box != PA}
    labels = source_labels(plan)

    def word(text: Said) -> str:
        return printed(text, MAX_LABEL, "")

    for line in _by_channel(plan):
        yield {
            "Desk channel": channel.get(line.line),
            "Strip": word(line.strip),
            "Source": word(line.label),
            "Player": word(line.player),
            "Mic or DI": word(line.mic_or_di),
            "Mic or DI from": SIDES.get(line.owner, line.owner),
            "Stand": word(say_stand(line.stand) or gettext("none")),
            "48 V at the desk": house_switch(line),
            "Pad dB": line.pad_db,
            "Polarity": gettext("flip") if line.polarity == "flip" else gettext("normal"),
            "Stereo with channel": channel.get(line.stereo_partner) if line.stereo_partner else None,
            "Gain by": SIDES.get(line.gain_owner, line.gain_owner),
            "Level": LEVELS.get(line.level, line.level),
            "Box": line.box,
            "Box socket": line.box_socket,
            "Line": line.line,
            "Path": printed(path_words(line.path), MAX_TEXT, ""),
            "Splitter way": line.path.way,
            "Loom": word(line.loom.name) if line.loom else "",
            "Loom way": line.loom.way if line.loom else None,
            "Tail": word(line.loom.house_end) if line.loom else "",
            "Ground lift": printed(line.lift, MAX_TEXT, ""),
            "Note": " ".join(line_notes(line, plan, labels, printed)),
        }


def _mixer_records(plan: Plan, printed: Printed) -> Iterator[Mapping[str, Cell]]:
    """Each channel of an engineer on the band's mixer, head -> cell; the same as on paper."""
    for one in by_input(_heard_inputs(plan)):
        yield {
            "Source": printed(one.label, MAX_LABEL, ""),
            "Player": printed(one.player, MAX_LABEL, ""),
            "Mic or DI": printed(one.mic_or_di, MAX_LABEL, ""),
            "Mic or DI from": SIDES.get(one.owner, one.owner),
            "Stand": printed(say_stand(one.stand) or gettext("none"), MAX_LABEL, ""),
            "Pad dB": one.pad_db,
            "Path": printed(feed_said(one), MAX_TEXT, ""),
            "Splitter way": one.way,
            "Note": printed(one.note, MAX_TEXT, ""),
            "Mixer channel": one.mixer_input if one.channel is None else one.channel,
            "Mixer input": one.mixer_input,
            "48 V at the mixer": mixer_switch(one),
            "Heard by": printed(one.heard, MAX_TEXT, ""),
        }


def _heard_inputs(plan: Plan) -> tuple[EarInput, ...]:
    """The inputs of the band's mixer that the audience hears, where an engineer works it; none on another route."""
    if plan.route != Route.ON_OUR_MIXER:
        return ()
    heard = {key for line in plan.lines for key in line.sources}
    return tuple(one for one in plan.ear_inputs if one.source in heard)


def _on_the_mixer(plan: Plan, printed: Printed) -> tuple[MixerRow, ...]:
    """The channels of an engineer on the band's mixer, each by its own where the mixer has two for an input. Nothing on
    another route.
    """
    rows = mixer_rows(replace(plan, ear_inputs=_heard_inputs(plan)), printed)
    return tuple(replace(row, channel=row.mixer_input if row.channel == NONE else row.channel) for row in rows)


@document(
    "input-list",
    title=mark("Input list"),
    purpose=mark("The desk's channels in order, to build the desk file from."),
    template="input_list.html",
    formats=("pdf", "csv", "xlsx"),
    wide=True,
    signed=True,
    table=_table,
)
def input_list(plan: Plan, cover: Cover) -> InputList:
    """The list for one plan. Texts beyond their limits are shortened, and the list says which."""
    printed, plan = Printed(), banks_named(plan, cover)
    heading = heading_of(cover, printed, "input-list")
    channels = {line.line: line.desk_channel for line in plan.lines}
    on_the_mixer = _on_the_mixer(plan, printed)
    # What the mix carries stands above it, channel by channel.
    labels = {} if on_the_mixer else source_labels(plan)
    rows = tuple(
        replace(line_row(line, channels, printed), note=" ".join(line_notes(line, plan, labels, printed)))
        for line in _by_channel(plan)
    )
    sheet = InputList(
        language=cover.language,
        title=gettext("Input list, %(gig)s, %(date)s", gig=heading.gig, date=heading.date),
        foot=foot_of(heading),
        heading=heading,
        sentence=sentence_of(plan, cover, printed),
        engineer=printed(
            next((say(one.said) for one in plan.asks if one.key == ON_THE_BANDS_MIXER), ""),
            SENTENCE,
            gettext("the engineer's part"),
        ),
        on_the_mixer=on_the_mixer,
        rows=rows,
        empty=frozenset(name for name in RARE if all(getattr(row, name) == NONE for row in rows)),
        at_pa=all(line.box == PA for line in plan.lines),
        returns=tuple(
            (
                printed(one.label, MAX_LABEL, gettext("the label of a return")),
                gettext("not known") if one.box_output is None else str(one.box_output),
                printed(one.note, SENTENCE, gettext("the note of a return")),
            )
            for one in plan.returns
        ),
        any_link=any(line.box_socket is None and line.box != PA for line in plan.lines),
        any_bank=any(desk_switch(line) == "bank" for line in plan.lines),
        shortened="",
        key=(),
    )
    texts = [text for row in rows for text in (row.source, row.strip, row.mic_or_di, row.note)]
    texts += [text for row in sheet.on_the_mixer for text in (row.source, row.mic_or_di, row.note)]
    said = [sheet.sentence, sheet.engineer, heading.who_mixes, *(text for pair in sheet.returns for text in pair)]
    return replace(
        sheet,
        shortened=printed(", ".join(printed.shortened), SENTENCE, ""),
        key=used([*(head for head in HEADINGS if rows and OF_RARE.get(head) not in sheet.empty), *texts, *said]),
    )
