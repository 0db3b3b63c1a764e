"""The band's own mixer on paper: its inputs, what its outputs feed, and what goes from it to a PA of the house."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from portal.documents.house_48v import house_switch, mixer_switch
from portal.documents.patch.patch_rows import NONE, SENTENCE, SIDES, carries, path_words, socket_words, source_labels
from portal.documents.rendering.printed import Printed, ranges
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT, Rig
from portal.plan.model import MIXER_OUTPUTS, PA, EarInput, Line, Plan
from portal.plan.phrase import Said
from portal.plan.result.spelling import cables_of, feed_said
from portal.wording.catalogue import Words, gettext, mark
from portal.wording.kinds import say_stand


@dataclass(frozen=True)
class MixerRow:
    """One input of the band's mixer: from the source to who hears it. ``channel`` is the one of an engineer on it."""

    mixer_input: str
    source: str
    player: str
    mic_or_di: str
    stand: str
    fed_by: str
    cable: str
    phantom: str
    pad_db: str
    heard: str
    channel: str
    note: str


@dataclass(frozen=True)
class OutputRow:
    """One output of the band's mixer that no in-ear mix holds."""

    out: str
    feeds: str
    cable: str
    pad_db: str
    phantom: str


@dataclass(frozen=True)
class SentRow:
    """One output of the band's mixer that carries a line tonight, beside the house's own desk."""

    out: str
    carries: str
    mixer_inputs: str
    loom_way: str
    socket: str
    pad_db: str


@dataclass(frozen=True)
class PaRow:
    """One side of the mix at the inputs of a PA."""

    line: str
    socket: str
    source: str
    path: str
    phantom: str
    pad_db: str
    gain: str
    run: str
    note: str


def mixer_rows(plan: Plan, printed: Printed) -> tuple[MixerRow, ...]:
    """Every input of the mixer, in order; nothing where the house mixes line by line."""
    if not plan.outputs:
        return ()
    return tuple(_mixer_row(one, printed) for one in by_input(plan.ear_inputs))


def by_input(rows: Iterable[EarInput]) -> list[EarInput]:
    """The inputs of the mixer in order, those without a number last."""
    return sorted(rows, key=lambda row: (row.mixer_input is None, row.mixer_input or 0))


SAID_ONCE = Words({"fed_by": mark("Fed by"), "heard": mark("Heard by")})
"""Fields that are said once where every input says the same, with their heads."""


def said_once(rows: Sequence[MixerRow]) -> tuple[tuple[str, str, str], ...]:
    """Fields with their heads and the words that hold for every input; a single row keeps its cells."""
    words = {name: {getattr(row, name) for row in rows} for name in SAID_ONCE}
    return tuple((name, SAID_ONCE[name], *found) for name, found in words.items() if len(rows) > 1 and len(found) == 1)


def _mixer_row(one: EarInput, printed: Printed) -> MixerRow:
    def word(text: Said, what: str, longest: int = MAX_LABEL) -> str:
        return printed(text, longest, gettext("%(what)s of %(label)s", what=what, label=one.label)) or NONE

    pickup = word(one.mic_or_di, gettext("the microphone or DI"))

    return MixerRow(
        mixer_input=str(one.mixer_input) if one.mixer_input is not None else NONE,
        source=word(one.label, gettext("the label")),
        player=word(one.player, gettext("the player")),
        mic_or_di=gettext("%(pickup)s, the house's", pickup=pickup) if one.owner == "house" else pickup,
        stand=word(say_stand(one.stand), gettext("the stand")),
        fed_by=word(feed_said(one), gettext("the way"), MAX_TEXT),
        cable=word(one.cable, gettext("the cable"), MAX_TEXT),
        phantom=mixer_switch(one),
        pad_db=str(one.pad_db) if one.pad_db else NONE,
        heard=word(one.heard, gettext("who hears it"), MAX_TEXT),
        channel=str(one.channel) if one.channel is not None else NONE,
        note=word(one.note, gettext("the note"), MAX_TEXT),
    )


def output_rows(plan: Plan, printed: Printed) -> Iterator[OutputRow]:
    """Every output that no in-ear mix holds, the free ones said so; of a line to the house, the pad before its end and
    48 V there.
    """
    lines = {line.path.output: line for line in plan.lines if line.path.kind in MIXER_OUTPUTS}
    for one in plan.outputs:
        line = lines.get(one.out)
        yield OutputRow(
            printed(one.out.removeprefix("out-"), MAX_LABEL, gettext("an output")),
            printed(one.feeds, MAX_TEXT, gettext("what an output feeds")),
            printed(one.cable, SENTENCE, gettext("the cable of an output")) or NONE,
            str(line.pad_db) if line and line.pad_db else NONE,
            house_switch(line) if line else NONE,
        )


def sent_rows(plan: Plan, printed: Printed) -> Iterator[SentRow]:
    """The outputs that carry lines to the stage box, in the order of the lines; nothing where the mixer's patch is on
    the sheet.
    """
    into = {one.source: one.mixer_input for one in plan.ear_inputs if one.mixer_input is not None}
    several = len({line.loom.key for line in plan.lines if line.loom}) > 1
    for line in () if plan.outputs else _out_of_the_mixer(plan):
        loom = printed(line.loom.name, MAX_LABEL, gettext("a loom")) + " " if line.loom and several else ""
        yield SentRow(
            out=printed(line.path.output.removeprefix("out-"), MAX_LABEL, gettext("an output")) or NONE,
            carries=printed(line.label, MAX_LABEL, gettext("the label of a line")),
            mixer_inputs=ranges(into[key] for key in line.sources if key in into) or NONE,
            loom_way=f"{loom}{line.loom.way}" if line.loom else gettext("own cable"),
            socket=socket_words(line),
            pad_db=str(line.pad_db) if line.pad_db else NONE,
        )


def taken_from(plan: Plan, rig: Rig, printed: Printed) -> Iterator[str]:
    """What outputs feed by the rig's word, where they carry something else tonight."""
    feeds = {out.key: out.feeds for out in rig.mixer.outs if out.feeds}
    for line in () if plan.outputs else _out_of_the_mixer(plan):
        if usual := feeds.get(line.path.output):
            out = printed(line.path.output.removeprefix("out-"), MAX_LABEL, gettext("an output"))
            yield printed(
                gettext(
                    "Output %(output)s feeds %(usual)s by the rig's word and carries %(label)s tonight. Band: unplug"
                    " %(usual)s there before plugging.",
                    output=out,
                    usual=usual,
                    label=line.label,
                ),
                SENTENCE,
                gettext("what an output feeds"),
            )


def _out_of_the_mixer(plan: Plan) -> list[Line]:
    lines = sorted(plan.lines, key=lambda one: one.line)
    return [line for line in lines if line.path.kind in MIXER_OUTPUTS and line.box != PA]


def pa_rows(plan: Plan, printed: Printed) -> Iterator[PaRow]:
    """What goes from the mixer to the PA's inputs."""
    labels = source_labels(plan)
    for line in sorted(plan.lines, key=lambda one: one.line):
        if line.box == PA:
            yield _pa_row(line, labels, printed)


def _pa_row(line: Line, labels: Mapping[str, str], printed: Printed) -> PaRow:
    names = [labels[key] for key in line.sources if key in labels]
    return PaRow(
        line=str(line.line),
        socket=socket_words(line),
        source=printed(line.label, MAX_LABEL, gettext("the label of a line")),
        path=printed(path_words(line.path), MAX_LABEL, gettext("the path of a line")),
        phantom=house_switch(line),
        pad_db=str(line.pad_db) if line.pad_db else NONE,
        gain=SIDES.get(line.gain_owner, line.gain_owner),
        run=printed(cables_of(line), SENTENCE, gettext("the cables of a line")),
        note=printed(carries(names), SENTENCE, gettext("what a line carries")) if names else "",
    )
