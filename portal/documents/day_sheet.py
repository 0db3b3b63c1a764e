"""The sheet for the dark: one row a line, big numbers, white on black, in one page that needs nothing else. Kept on a
phone, it works without a connection; it holds no script, no form and no address of a person but the contacts of the
day.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from markupsafe import Markup

from portal.documents.cover import Cover, translation
from portal.documents.heading import heading_of, sentence_of
from portal.documents.house_48v import banks_named, feed_behind, house_switch, mixer_switch, off_at_the_house
from portal.documents.house_said import SaidRow, house_said
from portal.documents.labels.label_kinds import into_words
from portal.documents.patch.ears_side import for_the_ears_alone
from portal.documents.patch.mixer_rows import by_input, output_rows
from portal.documents.patch.patch_rows import CUT, NONE, SENTENCE, path_words, socket_words
from portal.documents.patch.plugging import EARS_OUT, TINGLE
from portal.documents.patch.sub_looms import through_sub_looms
from portal.documents.rendering.page import environment
from portal.documents.rendering.printed import Printed
from portal.places import STATIC
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT
from portal.plan.model import PA, EarInput, Line, Plan, Return, Route
from portal.plan.phrase import COMMAS, Phrase, Said, parts_of, side_by_side
from portal.plan.result.spelling import Feed, desk_switch, feed_of, feed_said, way_said
from portal.plan.signed.signers import is_agreed
from portal.wording.catalogue import Words, gettext, look_up, mark
from portal.wording.formats import headed, join_and, join_clauses
from portal.wording.kinds import say_stand
from portal.wording.plan.saying import say

STYLE_FILE = STATIC / "day.css"

AT_THE_TOP = frozenset({"contact-name", "contact-phone", "box-place"})
"""The questions whose answers stand above the lines."""


DESK_HEADS = (mark("Desk channel"), mark("Source"), mark("Box input"), mark("Loom way"), mark("48 V, pad"))
MIXER_HEADS = (mark("Mixer input"), mark("Source"), mark("Heard by"), mark("Fed by"), mark("48 V, stand"))


@dataclass(frozen=True)
class Checked:
    """What is checked as one: a line, or an input of the band's mixer where that makes the mix. ``place`` is the desk
    channel or the input, 0 for what only the in-ears hear.
    """

    number: int
    sources: tuple[str, ...]
    place: int
    label: str


def to_check(plan: Plan) -> tuple[Checked, ...]:
    """Everything that is checked, in order."""
    if plan.outputs:
        return tuple(
            Checked(number, (row.source,), row.mixer_input or 0, row.label)
            for number, row in enumerate(by_input(plan.ear_inputs), start=1)
        )
    ordered = sorted(plan.lines, key=lambda one: one.line)
    lines = [Checked(line.line, line.sources, line.desk_channel, line.label) for line in ordered]
    ears = [Checked(number, (one.source,), 0, one.label) for number, one in _for_the_ears(plan)]
    return (*lines, *ears)


def _for_the_ears(plan: Plan) -> Iterator[tuple[int, EarInput]]:
    """What is plugged for the in-ears alone, by mixer input; numbered on from the lines."""
    yield from enumerate(for_the_ears_alone(plan), start=max((line.line for line in plan.lines), default=0) + 1)


@dataclass(frozen=True)
class DayRow:
    """One line. Every field is finished text but ``line``; ``rack`` is where it is looked for in the band's rack;
    ``marks`` are what is out of the ordinary; ``next_loom`` begins another loom.
    """

    line: int
    channel: str
    label: str
    player: str
    socket: str
    loom: str
    way: str
    rack: str
    marks: str
    next_loom: bool


@dataclass(frozen=True)
class DaySheet:
    """All that the page shows. ``signed`` is the state of signing with its times; ``outdated`` says which
    other revision may be meant, empty where none is.
    """

    language: str
    title: str
    band: str
    gig: str
    date: str
    place: str
    times: str
    moved: str
    contact: str
    band_contact: str
    rack_place: str
    revision: str
    signed: str
    short_hash: str
    content_hash: str
    cautions: tuple[str, str]
    sentence: str
    rows: tuple[DayRow, ...]
    returns: tuple[tuple[str, str], ...]
    cut_list: tuple[tuple[str, str], ...]
    rack_dies: str
    said: tuple[SaidRow, ...]
    heads: tuple[str, ...]
    outputs: tuple[str, ...]
    cut_words: tuple[str, str]
    outdated: str = ""
    saved: str = ""


@cache
def style() -> str:
    """The page's own style, word for word as it stands in the page: the policy names its hash."""
    return STYLE_FILE.read_text("utf-8")


def day_sheet(plan: Plan, cover: Cover, outdated: str = "", saved: str = "") -> DaySheet:
    """The sheet for one plan. ``saved`` says of a file when it was saved, and where to ask whether it still holds."""
    printed, plan = Printed(), banks_named(plan, cover)
    heading = heading_of(cover, printed, "day")
    rows: list[DayRow] = []
    above, looms = "", through_sub_looms(plan, cover.rig)
    if plan.outputs:
        rows = [_mixer_row(number, row, printed) for number, row in enumerate(by_input(plan.ear_inputs), start=1)]
    for line in () if plan.outputs else sorted(plan.lines, key=lambda one: one.line):
        loom = line.loom.key if line.loom else ""
        rows.append(_row(line, plan, looms, printed, next_loom=bool(rows) and loom != above))
        above = loom
    if not plan.outputs:
        rows += [_ears_row(number, one, looms, printed) for number, one in _for_the_ears(plan)]
    return DaySheet(
        language=cover.language,
        title=gettext("Sheet of the day, %(gig)s, %(date)s", gig=heading.gig, date=heading.date),
        band=heading.band,
        gig=heading.gig,
        date=heading.date,
        place=heading.place,
        times=heading.times,
        moved=heading.moved,
        contact="" if "contact" in heading.unknown else heading.contact,
        band_contact=heading.band_contact,
        rack_place="" if "rack_place" in heading.unknown else heading.rack_place,
        revision=heading.revision,
        signed=" · ".join(filter(None, (signed_words(plan, cover), translation(cover)))),
        short_hash=heading.short_hash,
        content_hash=heading.content_hash,
        cautions=(look_up(TINGLE), look_up(EARS_OUT)),
        sentence=sentence_of(plan, cover, printed),
        rows=tuple(rows),
        returns=tuple(
            (
                printed(one.label, MAX_LABEL, ""),
                ", ".join(_back(one, printed)),
            )
            for one in plan.returns
        ),
        cut_list=tuple((str(cut.inputs), printed(say(cut.said), CUT, "")) for cut in plan.cut_list),
        rack_dies=printed(say(plan.rack_dies.said), SENTENCE, ""),
        said=house_said(cover, "day", printed, AT_THE_TOP),
        heads=tuple(map(look_up, MIXER_HEADS if plan.outputs else DESK_HEADS)),
        outputs=tuple(_outputs(plan, printed)),
        cut_words=(gettext("If inputs of the band's mixer are dead"), gettext("Dead"))
        if plan.route == Route.OWN_PA
        else (gettext("If you find fewer inputs"), gettext("Only")),
        outdated=outdated,
        saved=saved,
    )


def _back(one: Return, printed: Printed) -> Iterator[str]:
    """The way of a return: from the stage box's output to the mixer's input."""
    if one.box_output is not None:
        yield gettext("box output %(output)s", output=one.box_output)
    if one.loom:
        yield gettext("%(loom)s way %(way)s", loom=printed(one.loom.name, MAX_LABEL, ""), way=one.loom.way)
    else:
        yield gettext("own cable")
    if one.mixer_input is not None:
        yield gettext("mixer input %(mixer_input)s", mixer_input=one.mixer_input)


def _outputs(plan: Plan, printed: Printed) -> Iterator[str]:
    """Each output of the band's mixer with what it feeds, its cable, and where a line to the house or its PA ends."""
    lines = {printed(line.path.output.removeprefix("out-"), MAX_LABEL, ""): line for line in plan.lines}
    for row in output_rows(plan, printed):
        line = lines.get(row.out)
        cable = row.cable if row.cable != NONE else ""
        yield headed(row.out, ", ".join(filter(None, (row.feeds, cable, *(_ends(line) if line else ())))))


def _ends(line: Line) -> Iterator[str]:
    """Where a line from the band's mixer is plugged, the pad before it, and what the house does there."""
    yield into_words(line)
    yield _pad(line.pad_db)
    if line.box == PA:
        yield f"48 V {house_switch(line)}"
    else:
        switch = house_switch(line)
        yield gettext("desk channel %(channel)s: 48 V %(switch)s", channel=line.desk_channel, switch=switch)


def _mixer_row(number: int, one: EarInput, printed: Printed) -> DayRow:
    on = say_stand(one.stand)
    stand = gettext("stand %(stand)s", stand=on) if on else ""
    phantom = f"48 V {mixer_switch(one)}"
    cables = [one.cable] if feed_of(one) is Feed.STRAIGHT else [one.fed_by, one.cable]
    return DayRow(
        line=number,
        channel=NONE if one.mixer_input is None else str(one.mixer_input),
        label=printed(one.label, MAX_LABEL, ""),
        player=_plays(one, printed),
        socket=printed(one.heard, MAX_TEXT, ""),
        loom=printed(side_by_side(cables, COMMAS), MAX_TEXT, ""),
        way="",
        rack="",
        marks=", ".join(part for part in (phantom, _pad(one.pad_db), stand) if part),
        next_loom=False,
    )


def _plays(one: Line | EarInput, printed: Printed) -> str:
    """Who plays, where the label does not say it already."""
    player, label = (printed(said, MAX_LABEL, "") for said in (one.player, one.label))
    return "" if re.search(rf"\b{re.escape(player)}\b", label, re.IGNORECASE) else player


def _pad(decibels: int) -> str:
    return gettext("pad %(decibels)s dB", decibels=decibels) if decibels else ""


SIGNED = Words({"band": mark("signed for the band"), "house": mark("signed for the house")})


def signed_words(plan: Plan, cover: Cover) -> str:
    """Who signed and when, in one line and without names: the sheet lies about."""
    if not cover.signatures:
        return gettext("draft, not signed")
    printed = Printed()
    signed = ", ".join(f"{SIGNED[one.party]} {printed(one.at, MAX_LABEL, '')}" for one in cover.signatures)
    return (
        signed
        if is_agreed(plan, [one.party for one in cover.signatures])
        else gettext("%(signed)s only", signed=signed)
    )


def _row(line: Line, plan: Plan, looms: Mapping[str, Said], printed: Printed, *, next_loom: bool) -> DayRow:
    through = join_and(say(looms[key]) for key in line.sources if key in looms)
    return DayRow(
        line=line.line,
        channel=str(line.desk_channel),
        label=printed(line.label, MAX_LABEL, ""),
        player=_plays(line, printed),
        socket=socket_words(line),
        loom=printed(line.cable, MAX_TEXT, ""),
        way=str(line.loom.way) if line.loom else "",
        rack=printed(", ".join(filter(None, (through, in_the_rack(line)))), MAX_TEXT, ""),
        marks=", ".join((*_at_whose_microphone(line, printed), *marks(line, plan))),
        next_loom=next_loom,
    )


def _ears_row(number: int, one: EarInput, looms: Mapping[str, Said], printed: Printed) -> DayRow:
    """What only the in-ears hear: it has no channel and no box input, but plugs, 48 V and a pad."""
    into = gettext("mixer input %(mixer_input)s", mixer_input=one.mixer_input) if one.mixer_input else ""
    places = (gettext("in-ears only"), say(looms.get(one.source, "")), say(feed_said(one)), into)
    return DayRow(
        line=number,
        channel=NONE,
        label=printed(one.label, MAX_LABEL, ""),
        player=_plays(one, printed),
        socket=NONE,
        loom="",
        way="",
        rack=printed(", ".join(filter(None, places)), MAX_TEXT, ""),
        marks=", ".join(filter(None, (f"48 V {mixer_switch(one)}", _pad(one.pad_db)))),
        next_loom=False,
    )


def in_the_rack(line: Line) -> str:
    """Where a line comes from in the band's rack: the way of a splitter or the output of the mixer, and the mixer's
    input of what has one line to itself.
    """
    path = line.path
    places = [say(way_said(say(path.unit_name), path.way))] if path.kind == "split" and path.way is not None else []
    places += [path_words(path)] if path.output and path.kind != "split" else []
    alone = (len(line.sources) == 1 or bool(line.guest)) and line.mixer_input is not None
    return ", ".join(
        [*places, *([gettext("mixer input %(mixer_input)s", mixer_input=line.mixer_input)] if alone else [])]
    )


def marks(line: Line, plan: Plan) -> tuple[str, ...]:
    """What whoever plugs a line has to mind."""
    behind = feed_behind(line, plan)
    phantom = "" if desk_switch(line) == "none" else f"48 V {house_switch(line)}"
    return tuple(
        filter(
            None,
            (
                join_clauses((off_at_the_house(line), behind)) if behind else phantom,
                _pad(line.pad_db),
                gettext("line level") if line.level == "line" else "",
                gettext("polarity") if line.polarity not in ("normal", "") else "",
            ),
        )
    )


def _at_whose_microphone(line: Line, printed: Printed) -> Iterator[str]:
    """Who sings at whose microphone, where two share one."""
    for part in parts_of(line.note):
        if isinstance(part, Phrase) and part.key == "sings-at-a-microphone":
            yield printed(part, MAX_TEXT, "")


def day_page(sheet: DaySheet) -> str:
    """The sheet as one HTML page with its style inside."""
    # The style is a file of ours; escaping it would change what it says.
    return environment().get_template("print/day_sheet.html").render(sheet=sheet, style=Markup(style()))  # noqa: S704
