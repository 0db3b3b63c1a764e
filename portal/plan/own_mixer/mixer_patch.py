"""The band's own mixer tonight: what feeds each input and with what, what each output feeds, and who hears it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from portal.plan.input.facts import Facts
from portal.plan.input.rig import Ears, Mixer, Out, Rig, Source, Splitter
from portal.plan.model import EarInput, EarMix, Line, NotSent, Output, Route
from portal.plan.options.boxes import DISTANCE, FIRST
from portal.plan.options.routing_policy import capture_of, goes_of, level_of, never_phantom, stand_of
from portal.plan.options.units import own_way
from portal.plan.own_mixer.mixed_tonight import MIXED_BY_THE_BAND
from portal.plan.packing.loose_cables import is_loose, lengths_to
from portal.plan.packing.source_cables import XLR_M, SourceCable, cable, source_cables, to_the_ears
from portal.plan.phrase import COMMAS, PLUS, Choice, Listed, Phrase, Said, metres, side_by_side
from portal.plan.result.lines import MARGIN_DB, MIC_INPUT_DBU, captured, own_note
from portal.plan.result.not_sent import not_plugged
from portal.plan.result.routing import Routing, needs_of, starves
from portal.plan.result.runs import BEHIND_THE_TRANSFORMER_M
from portal.plan.result.spelling import cables_of, past, stays_free, way_said
from portal.plan.result.unchecked_plan import box_input

SIDES = ("left", "right")


def ear_inputs_of(
    facts: Facts, rig: Rig, lines: tuple[Line, ...], routing: Routing, route: Route, not_sent: tuple[NotSent, ...]
) -> tuple[EarInput, ...]:
    """What each input of the band's mixer gets, in the order of the inputs; unnumbered ones last. ``rig`` is the one
    that the band wrote, which says what only the audience is to hear.
    """
    away = {leg.key for unit in routing.units if unit.house_only for leg in unit.legs}
    away |= {sent.sources[0].key for sent in routing.lines if sent.step == "out-of-the-ears"}
    away |= {one.source for one in not_sent if one.where == "not-plugged"}
    unplugged = not_plugged(routing)
    line_of = _line_of(lines, routing)
    by_key = {source.key: source for source in rig.source}
    cables = source_cables(facts.rig)
    channels = audience_channels(facts) if route is Route.ON_OUR_MIXER else {}
    by_the_house = {
        key for line in lines if line.path.kind == "split" and line.phantom == "house" for key in line.sources
    }
    rows = []
    for source in facts.rig.source:
        if goes_of(source) in ("house-only", "rehearsal-only") or source.key in away:
            continue
        line = line_of.get(source.key)
        past_the_mixer = line is None or line.path.kind == "straight"
        if source.fail_over and route in MIXED_BY_THE_BAND and past_the_mixer:
            continue
        number = line.line if line else None
        if source.key in unplugged:
            free = stays_free(unplugged[source.key])
            rows.append(EarInput(source.mixer_input, source.key, source.label, free, "none", number))
            continue
        fed = _feed(source, line, routing)
        shared = next((sent.at_the_plug for sent in routing.lines if sent.plug.key == source.key), (source,))
        rows.append(
            EarInput(
                routing.mixer_input(source),
                source.key,
                source.label,
                fed.said,
                "none" if source.key in by_the_house else _phantom(shared, fed),
                number,
                player=source.player,
                mic_or_di=captured(capture_of(source)),
                owner=source.owner.mic,
                stand=stand_of(source),
                cable=cables[source.key].said,
                pad_db=_pad(source),
                heard=_heard(_who_hears(by_key[source.key])),
                channel=channels.get(source.key),
                note=own_note(source, fed.way),
                way=fed.way,
            )
        )
    return tuple(sorted(rows, key=lambda row: (row.mixer_input is None, row.mixer_input or 0)))


def _line_of(lines: tuple[Line, ...], routing: Routing) -> dict[str, Line]:
    """The line of each source, by key: the first that carries it; of a submixer in stereo, the one that its own plug
    feeds.
    """
    found = {key: line for line in reversed(lines) for key in line.sources}
    for sent in routing.lines:
        if sent.step == "own-submix":
            found[sent.plug.key] = next(
                line for line in lines if line.label == sent.label and sent.plug.key in line.sources
            )
    return found


def _who_hears(source: Source) -> str:
    return "spare" if source.fail_over else "guest" if source.guest else goes_of(source)


def _heard(by: str) -> Phrase:
    return Phrase("heard", {"named": Choice("heard", by)})


class _Fed(NamedTuple):
    """What feeds an input; the splitter in between and its way; ``direct``: nothing stands in between."""

    said: Phrase
    splitter: Splitter | None = None
    way: int | None = None
    direct: bool = False


def _feed(source: Source, line: Line | None, routing: Routing) -> _Fed:
    """What feeds the mixer's input of a source."""
    splitters = {splitter.key: splitter for splitter in routing.splitters}
    through = next((one for one in routing.lines if one.plug.key == source.key and one.splitter is not None), None)
    moved = any(one.source.key == source.key for one in routing.exchanges)
    wired = None if moved else own_way(source, splitters)
    splitter, way = splitters.get(source.splitter) if wired else None, wired
    if wired is None and through is not None:
        splitter, way = through.splitter, through.way
    if splitter is not None and through is None and starves(source, splitter):
        # Nothing of the house hangs on the way tonight, so nothing is lost by going past it.
        return _Fed(past(splitter.name or splitter.key), direct=True)
    if splitter is not None:
        return _Fed(way_said(splitter.name or splitter.key, way), splitter, way)
    if line is not None and line.path.kind == "house-split":
        # Its tails bear the numbers of its inputs, and those are the box's.
        return _Fed(Phrase("fed-by-a-tail", {"input": box_input(line)}))
    return _Fed(Phrase("fed-straight"), direct=True)


def _phantom(shared: tuple[Source, ...], fed: _Fed) -> str:
    """Who feeds 48 V at an input; ``shared``: all that take turns on its plug."""
    needs, splitter = needs_of(shared), fed.splitter
    if needs == "yes" and splitter is not None and splitter.kind == "active":
        return "splitter"
    if needs == "yes":
        own_feed = fed.direct if splitter is None else splitter.to_mixer == "direct"
        return "band" if own_feed else "none"
    if any(map(never_phantom, shared)):
        return "never"
    return "unknown" if needs == "unknown" else "none"


def _pad(source: Source) -> int:
    """Decibels before an input of the mixer: only where the rig says that the source is too loud for one."""
    loud = source.max_dbu is not None and source.max_dbu + MARGIN_DB > MIC_INPUT_DBU
    return 20 if loud and level_of(source) == "line" else 0


def audience_channels(facts: Facts) -> Mapping[str, int]:
    """The channel of the audience's mix for each source, behind those of the in-ears; empty where the mixer cannot feed
    two channels from one input.
    """
    mixer = facts.rig.mixer
    into = [source for source in facts.rig.source if source.mixer_input and goes_of(source) != "rehearsal-only"]
    heard = sorted((one for one in into if goes_of(one) == "both"), key=lambda one: one.mixer_input or 0)
    last = max((source.mixer_input or 0 for source in into), default=0)
    if not mixer.double_patch or (mixer.channels is not None and last + len(heard) > mixer.channels):
        return {}
    return {source.key: last + number for number, source in enumerate(heard, start=1)}


# --- outputs


def ears_of(facts: Facts, routing: Routing) -> tuple[EarMix, ...]:
    """The in-ear mixes as they are tonight, each with the outputs that it keeps."""
    return tuple(_mix_tonight(ears, folded=ears.fold in routing.folded) for ears in facts.rig.ears)


def _mix_tonight(ears: Ears, *, folded: bool) -> EarMix:
    outs = ears.outs[:-1] if folded else ears.outs
    return EarMix(ears.player, ears.width, outs, ears.carried_by, to_mono=folded, cable=to_the_ears(ears).said)


def main_outs(mixer: Mixer) -> tuple[Out, ...]:
    """The outputs that carry the audience's left and right: those marked so, else the first free ones."""
    marked = tuple(out for out in mixer.outs if out.use == "main")
    return (marked or tuple(out for out in mixer.outs if out.use == "free"))[: len(SIDES)]


def outputs_of(facts: Facts, lines: tuple[Line, ...], route: Route) -> tuple[Output, ...]:
    """Every output of the mixer that no in-ear mix holds; nothing where the house mixes line by line."""
    if route not in MIXED_BY_THE_BAND:
        return ()
    mixer = facts.rig.mixer
    main = main_outs(mixer) if route is Route.OWN_PA else ()
    cables = _cables_of_lines(facts, lines)
    found = []
    for out in mixer.outs:
        line = next((one for one in lines if one.path.unit == "mixer" and one.path.output == out.key), None)
        if line is not None:
            found.append(Output(out.key, _carried(line), cables[line.line]))
        elif out in main:
            side = SIDES[main.index(out)] if len(main) > 1 else "mono"
            found.append(Output(out.key, out.feeds or _feeds(side), output_cable(out).said))
        elif not out.use.startswith("ears:"):
            found.append(_beside_the_main(out, route))
    return tuple(found)


def _feeds(what: str) -> Phrase:
    return Phrase("feeds", {"named": Choice("feeds", what)})


def _carried(line: Line) -> Said:
    """What an output puts on a line: a side of the mix, or what has a line beside it."""
    if line.path.kind != "left-right-mix":
        return line.label
    return _feeds({"L": "left", "R": "right"}.get(line.label[-1:], "mono"))


def _cables_of_lines(facts: Facts, lines: tuple[Line, ...]) -> dict[int, Said]:
    """What each line runs through, by its number."""
    loose = [line for line in lines if is_loose(line)]
    lengths = lengths_to((line.box or FIRST for line in loose), facts)
    long = {line.line: length for line, length in zip(loose, lengths, strict=True)}
    return {
        line.line: _to_the_box(long[line.line], line, facts) if line.line in long else cables_of(line) for line in lines
    }


def _to_the_box(length: int, line: Line, facts: Facts) -> Said:
    known = facts.known(DISTANCE[line.box or FIRST])
    pieces = Listed((Phrase("xlr-of-length", {"length": metres(length)}),), PLUS)
    way = Phrase("cables-unjoined" if known else "cables-unjoined.assumed", {"pieces": pieces})
    lead = Phrase("transformer-at-the-houses-end", {"length": metres(BEHIND_THE_TRANSFORMER_M)})
    return side_by_side([way, *([lead] if line.transformer else [])], COMMAS)


def _beside_the_main(out: Out, route: Route) -> Output:
    own_pa_only = out.use in ("subs", "fill", "delay")
    if out.use in ("free", "main") or (own_pa_only and route is not Route.OWN_PA):
        return Output(out.key, _feeds("free"), "")
    return Output(out.key, out.feeds or _feeds(out.use), output_cable(out).said)


def output_cable(out: Out) -> SourceCable:
    """The cable of an output that feeds something of the band's."""
    return cable(XLR_M if out.cable_m is None else out.cable_m, assumed=out.cable_m is None)
