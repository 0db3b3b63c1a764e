"""The order of plugging in, and the cautions that belong on a patch sheet: fixed words, chosen by what the plan holds.

The order is common practice, no source. The mains sentences rest on class I protection (IEC 61140, from memory, not
verified).
"""

from __future__ import annotations

from collections.abc import Iterator

from portal.documents.house_48v import ON_AT_THE_DESK, ON_AT_THE_MIXER, ON_AT_THE_SPLITTER
from portal.documents.patch.ears_side import fed_like_their_lines, for_the_ears_alone
from portal.documents.patch.sub_looms import through_sub_looms
from portal.documents.rendering.printed import ranges
from portal.plan.input.rig import Rig
from portal.plan.model import AT_THE_DESK, MIXER_OUTPUTS, PA, Line, Plan, Route
from portal.plan.phrase import Phrase
from portal.plan.result.spelling import (
    STRAIGHT_FEEDS,
    Feed,
    desk_switch,
    feed_of,
    has_loose_transformer,
    leg_named,
    leg_said,
)
from portal.wording.catalogue import Words, gettext, look_up, mark, ngettext
from portal.wording.formats import join_and, join_or
from portal.wording.plan.saying import say

Step = tuple[object, str]
"""A step, behind what is true where it applies."""

SIDES = Words({"band": mark("Band"), "house": mark("House"), "engineer": mark("Engineer")})
"""Whom a step commands."""

EARS_OUT = mark(
    "Keep in-ears out while anything is plugged or 48 V is switched. "
    "At every desk and mixer: before plugging, mute the band's channels and switch 48 V off on the band's inputs."
)
"""What has to be so before anybody plugs, the same words on every paper."""

TINGLE = mark(
    "A tingle between microphone and strings, or rack and box, is a mains fault: hands off, stop, fetch the"
    " electrician. No audio lift or isolator cures it."
)


def plug_in_order(plan: Plan, rig: Rig, other_feeds: str) -> tuple[str, ...]:
    """The steps from dead stage to in-ears in, in order. ``other_feeds``: what the house said feeds the PA as well."""
    steps = (*_made_dead(plan, other_feeds), *_to_the_rack(plan, rig), *_to_the_house(plan, rig), *_brought_up(plan))
    return tuple(step for applies, step in steps if applies)


def _at_a_box(plan: Plan) -> list[Line]:
    return [line for line in plan.lines if line.box != PA]


def _at_the_amplifiers(plan: Plan) -> str:
    """The side that turns the PA's amplifiers: the house wherever one of its people mixes."""
    return SIDES["band" if plan.route in (Route.OWN_PA, Route.BAND_MIXES) else "house"]


def _made_dead(plan: Plan, other_feeds: str) -> Iterator[Step]:
    side, lines = _at_the_amplifiers(plan), _at_a_box(plan)
    ears_out = gettext("Keep in-ears out.")
    amplifiers_down = gettext("%(side)s: PA amplifiers down or off.", side=side)
    yield plan.outputs, f"{ears_out} {amplifiers_down}"
    yield any(line.box == PA for line in plan.lines), _other_feeds_down(side, other_feeds)
    mute = gettext("Band: mute the mixer, 48 V off on all its inputs.")
    yield True, mute if plan.outputs else f"{ears_out} {mute}"
    yield (
        lines,
        gettext("House: mute the desk channels on this sheet, 48 V off on them; leave other acts' channels alone."),
    )


def _other_feeds_down(side: str, said: str) -> str:
    if not said:
        return gettext(
            "%(side)s: whatever else feeds the PA down while anything is plugged, and for the set.", side=side
        )
    return gettext(
        "%(side)s: whatever else feeds the PA down while anything is plugged, and for the set (said: %(other_feeds)s).",
        side=side,
        other_feeds=said,
    )


def _to_the_rack(plan: Plan, rig: Rig) -> Iterator[Step]:
    """Every plug between a source and what it is plugged into first, and those inside the rack."""
    kinds = {line.path.kind for line in plan.lines}
    fed = [feed_of(one) for one in plan.ear_inputs]
    straight = [one for one in fed if one in STRAIGHT_FEEDS]
    alone = () if plan.outputs else for_the_ears_alone(plan)
    yield plan.moves, gettext("Move the plugs under “Plugs that move tonight”.")
    yield (
        any(one.pad_db for one in plan.ear_inputs),
        gettext("Put each pad of the mixer's inputs in the cable there, before any gain."),
    )
    yield (
        through_sub_looms(plan, rig) and not plan.outputs,
        gettext("Plug each source under “Sub-looms” into its way, and the tail of that way into what stands there."),
    )
    yield (
        "split" in kinds or Feed.SPLITTER in fed,
        gettext("Plug each source into the splitter way on its row."),
    )
    yield (
        alone,
        gettext(
            "In-ears only, rows under “The in-ears' side”: %(labels)s.",
            labels=join_and(one.label for one in alone),
        ),
    )
    yield (
        "house-split" in kinds,
        gettext("Plug each source into the house splitter's input for the box input on its row."),
    )
    yield (
        straight,
        gettext("Plug each source into the mixer input on its row.")
        if len(straight) == len(fed)
        else gettext("Plug what comes by its own cable into the mixer input on its row."),
    )
    yield (
        Feed.HOUSE_SPLITTER in fed,
        gettext("Plug each tail of the house's splitter into the mixer input on its row."),
    )
    yield (
        any(mix.cable and mix.carried_by != "radio" for mix in plan.ears),
        gettext("Plug each in-ear cable into the mixer outs on its row."),
    )


def _to_the_house(plan: Plan, rig: Rig) -> Iterator[Step]:
    """Every plug between the rack and the house, or the PA; what lies in a line before its end is plugged."""
    lines = _at_a_box(plan)
    loomed = [line for line in lines if line.loom]
    loose = [line for line in lines if not line.loom]
    of_lines = {line.path.output for line in plan.lines}
    out_of = [line for line in loomed if _comes_out(line)]
    yield out_of, gettext("Plug into loom ways: %(outputs)s.", outputs=_outputs_of(out_of, rig))
    yield (
        any(map(has_loose_transformer, plan.lines)),
        gettext("Put each isolating transformer in its line where the row says."),
    )
    yield any(line.pad_db for line in plan.lines), _pads(plan)
    yield loomed, gettext("Plug each tail into the box input on its row. Read both numbers.")
    yield (
        any(_comes_out(line) for line in loose),
        gettext(
            "Plug each own cable from its output (%(outputs)s) into the box input on its row. Read both numbers.",
            outputs=_outputs_of(loose, rig),
        ),
    )
    yield (
        any(line.path.kind == "straight" for line in loose),
        gettext("Plug each source without a split into the box input on its row."),
    )
    yield (
        any(line.path.kind == "digital-link" for line in loose),
        gettext("Plug the cable of the digital link at both ends."),
    )
    yield (
        any(one.cable and one.out not in of_lines for one in plan.outputs),
        gettext("Plug each output by its cable into what it feeds. Read both numbers."),
    )
    yield len(lines) < len(plan.lines), gettext("Plug the mix from its outputs into the PA's inputs on its rows.")
    turned = any(one.turn_rounds for one in plan.returns)
    yield (
        plan.returns,
        gettext(
            "Plug the returns with their XLR turnarounds. Band: leave 48 V off on the mixer inputs that receive them."
        )
        if turned
        else gettext("Plug the returns. Band: leave 48 V off on the mixer inputs that receive them."),
    )


def _outputs_of(lines: list[Line], rig: Rig) -> str:
    """The outputs in the rack that these lines begin at: of each splitter by name, with what stays free there, and of
    the mixer.
    """
    used: dict[tuple[str, str], set[Phrase]] = {}
    for line in lines:
        if leg := leg_said(line.path):
            used.setdefault((line.path.unit, say(line.path.unit_name)), set()).add(leg)
    found = [
        _of_a_splitter(name, join_and(sorted(map(say, outs))), _left_free(unit, outs, rig))
        for (unit, name), outs in used.items()
    ]
    of_the_mixer = any(line.path.kind in MIXER_OUTPUTS for line in lines)
    return join_or([*found, *([gettext("the row's mixer output")] if of_the_mixer else [])])


def _of_a_splitter(splitter: str, outputs: str, free: list[str]) -> str:
    if not free:
        return f"{splitter} {outputs}"
    return ngettext(
        "%(splitter)s %(outputs)s (%(free)s stays free)",
        "%(splitter)s %(outputs)s (%(free)s stay free)",
        len(free),
        splitter=splitter,
        outputs=outputs,
        free=", ".join(free),
    )


def _left_free(unit: str, outs: set[Phrase], rig: Rig) -> list[str]:
    """What stays free of a splitter's outputs, by its front's names, where one of them is used on every row."""
    named = next((one.outputs for one in rig.splitter if one.key == unit), ())
    return [say(leg) for one in named if (leg := leg_named(one.kind, one.key)) not in outs]


def _pads(plan: Plan) -> str:
    """Where the pads of the lines sit; on a row that is split, one leg's pad loads the other."""
    put = (
        gettext("Put each pad at the end of its line, at the PA's input, before any gain.")
        if all(line.box == PA for line in plan.lines if line.pad_db)
        else gettext("Put each pad at the end of its line, at the stage box, before any gain.")
    )
    split = any(line.pad_db and line.path.kind == "split" for line in plan.lines)
    ears_too = gettext("On a split row it moves the level of the in-ears too.")
    return f"{put} {ears_too}" if split else put


def _brought_up(plan: Plan) -> Iterator[Step]:
    lines, side = _at_a_box(plan), _at_the_amplifiers(plan)
    frozen = [line.desk_channel for line in lines if line.gain_owner == "band"]
    on = [
        gettext("%(side)s: 48 V on where the row says %(words)s.", side=SIDES[side], words=join_or(words))
        for side, words in _who_switches(plan).items()
    ]
    yield on, gettext("Keep all muted. %(switch_on)s Wait for 48 V to settle.", switch_on=" ".join(on))
    yield (
        lines and not plan.outputs,
        gettext("Line check from the top. Both sides: unmute the row's channels, tick it."),
    )
    yield plan.outputs or (not plan.lines and plan.ear_inputs), _checked_at_the_mixer(to_the_house=bool(lines))
    yield (
        plan.outputs,
        gettext(
            "%(side)s: PA amplifiers up last and slowly, the mixer at its usual level, its mix muted.",
            side=side,
        ),
    )
    yield (
        plan.outputs,
        gettext(
            "%(side)s: unmute the mix at its lowest, raise it slowly and hear each source over the PA.",
            side=SIDES["engineer" if plan.route == Route.ON_OUR_MIXER else "band"],
        ),
    )
    yield (
        frozen,
        ngettext(
            "Band: no gain moves on desk channel %(channels)s after line check.",
            "Band: no gain moves on desk channels %(channels)s after line check.",
            len(frozen),
            channels=ranges(frozen),
        ),
    )
    yield (
        any(line.phantom == "band" for line in plan.lines),
        gettext("The rack stays on from line check to the end: it feeds 48 V."),
    )
    yield plan.ears, gettext("In-ears in last, level down, then up slowly.")
    yield True, _unplugged(plan, side)


def _checked_at_the_mixer(*, to_the_house: bool) -> str:
    check = (
        gettext("Line check, mixer input by mixer input from 1, then each row to the house.")
        if to_the_house
        else gettext("Line check, mixer input by mixer input from 1.")
    )
    how = gettext(
        "Band: unmute the channel; listen on headphones at the mixer, the mix to the PA muted. Tick each row."
    )
    return f"{check} {how}"


def _unplugged(plan: Plan, side: str) -> str:
    sentences = [gettext("To unplug: in-ears out.")]
    if plan.outputs:
        sentences.append(gettext("%(side)s: PA amplifiers down.", side=side))
    sentences.append(
        gettext("House and band: mute, 48 V off, wait, unplug.")
        if _at_a_box(plan)
        else gettext("Band: mute, 48 V off, wait, unplug.")
    )
    return " ".join(sentences)


def _comes_out(line: Line) -> bool:
    """Whether a line begins at an output in the rack."""
    return line.path.kind in MIXER_OUTPUTS | {"split"}


def _who_switches(plan: Plan) -> dict[str, list[str]]:
    """Each side that switches 48 V on, and the words on its rows."""
    rows = [one for one in plan.ear_inputs if plan.outputs or one.source not in fed_like_their_lines(plan)]
    at_the_desk = {desk_switch(line) for line in _at_a_box(plan)}
    at_the_mixer = {one.phantom for one in rows}
    band = {
        ON_AT_THE_MIXER: "band" in at_the_mixer,
        AT_THE_DESK["band"]: "band" in at_the_desk,
        AT_THE_DESK["splitter"]: "splitter" in at_the_desk,
        ON_AT_THE_SPLITTER: "splitter" in at_the_mixer,
    }
    found = {
        "house": [_quoted(ON_AT_THE_DESK)] if "house" in at_the_desk else [],
        "band": [_quoted(words) for words, there in band.items() if there],
    }
    return {side: words for side, words in found.items() if words}


def _quoted(words: str) -> str:
    """The words of a cell, as a sentence cites them."""
    return gettext("“%(words)s”", words=look_up(words))


def cautions(plan: Plan) -> tuple[str, ...]:
    """The cautions that apply to this plan, mains first; ``EARS_OUT`` stands by itself, before all."""
    found = [look_up(TINGLE)]
    if plan.lines:
        found.append(
            gettext(
                "Ground lift opens an audio shield only. Never defeat the protective earth of mains equipment to stop"
                " hum."
            )
        )
    found.append(
        gettext(
            "Stage power belongs behind residual current protection (RCD or GFCI). The local code and a licensed"
            " electrician decide."
        )
    )
    if plan.ears:
        found.append(
            gettext(
                "In-ear levels can harm hearing: a limiter on every in-ear output, start low. Information, not medical"
                " advice."
            )
        )
    if any(mix.carried_by == "radio" for mix in plan.ears):
        found.append(
            gettext("Radio: check the licence and the local rules with the national regulator before switching on.")
        )
    if plan.outputs:
        found.append(
            gettext(
                "House and band: lay cables along walls, tape them flat, cover them where people walk, and keep escape"
                " routes free of them."
            )
        )
    found.append(gettext("Lift the rack, and anything else that is heavy, with two people."))
    return tuple(found)
