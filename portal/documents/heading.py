"""The title block and the foot that every paper bears."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import segno
from markupsafe import Markup

from portal.documents.cover import Cover, translation
from portal.documents.labels.label_text import width_em
from portal.documents.patch.patch_rows import SENTENCE
from portal.documents.rendering.printed import ELLIPSIS, Printed
from portal.plan.input.facts import Answers, Facts, wished_route
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT, Rig
from portal.plan.model import Plan, Route
from portal.plan.own_mixer.mixed_tonight import NO_DESK
from portal.plan.result.spelling import once_agreed
from portal.plan.result.stage import NEAR_M, box_place_of, stated_distance
from portal.wording.answers import Told, told
from portal.wording.catalogue import Words, gettext, look_up, mark
from portal.wording.formats import inside, say_metres
from portal.wording.plan.saying import say

TITLE = 60
"""Longest printed name, in characters; a row's own texts keep the rig's limits."""

UNKNOWN = mark("not known yet")

IN_THE_HEADING = frozenset({"who-mixes", "contact-name", "contact-phone", "box-place", "rack-power"})
"""The questions whose answers the title block says."""

MARKS = Words({"draft": mark("Draft, not signed"), "agreed": mark("Agreed: both sides signed this")})
SIGNED_FOR = Words({"band": mark("Signed for the band only"), "house": mark("Signed for the house only")})
"""How far signing is, in words: nobody or both, and one side alone."""

MIXED_BY = {Route.OWN_PA: "band", Route.BAND_MIXES: "band", Route.ON_OUR_MIXER: "house-engineer"}
"""Who mixes on the routes that make the audience's mix on the band's mixer, where the band has no engineer of its
own.
"""

ON_THE_BANDS_MIXER = Words(
    {
        "band": mark("The band, on the band's mixer"),
        "house-engineer": mark("The house's engineer, on the band's mixer"),
        "own-engineer": mark("The band's own engineer, on the band's mixer"),
        "undecided": mark("Somebody, not decided who, on the band's mixer"),
    }
)

OWN_ENGINEERS = frozenset({"bands-engineer-your-desk", "bands-engineer-our-mixer"})


@dataclass(frozen=True)
class TitleBlock:
    """The title block. ``state`` is how far signing is, in words. Empty is what nobody needs: the house's contact at
    the band's own PA, the rack's place and power where there is no stage box. ``unknown`` names those of the contact
    and the rack's place that somebody needs and nobody has said.
    ``link_asks``: the code's page asks to sign in.
    """

    band: str
    gig: str
    date: str
    place: str
    number: int
    revision: str
    short_hash: str
    content_hash: str
    state: str
    times: str
    moved: str
    tonight: str
    who_mixes: str
    contact: str
    band_contact: str
    rack_place: str
    rack_power: str
    unknown: frozenset[str]
    link_asks: bool


def heading_of(cover: Cover, printed: Printed, document: str) -> TitleBlock:
    """The title block of a cover for one document, its texts made fit to print."""

    def words(text: str, what: str, longest: int = MAX_TEXT) -> str:
        return printed(text, longest, what)

    route = route_wished(cover.answers)
    own_pa, no_desk = route is Route.OWN_PA, route in NO_DESK
    known = {one.question: one for one in told(cover.answers, document)}
    contact = words(
        ", ".join(known[key].words for key in ("contact-name", "contact-phone") if key in known),
        gettext("the contact"),
    )
    rack_place = words(_rack_place(known, cover), gettext("the rack's place"))
    mixes = who_mixes(cover.answers) or _marked(known, "who-mixes")
    power = _marked(known, "rack-power")
    return TitleBlock(
        band=words(cover.band, gettext("the band's name"), TITLE),
        gig=words(cover.gig, gettext("the gig's name"), TITLE),
        date=words(cover.date, gettext("the date"), MAX_LABEL),
        place=words(cover.place, gettext("the place"), TITLE),
        number=cover.revision,
        revision=gettext("Revision %(number)s", number=cover.revision),
        short_hash=words(cover.short_hash, gettext("the check code"), MAX_LABEL),
        content_hash=words(cover.content_hash, gettext("the whole check code"), MAX_TEXT),
        state=" · ".join(filter(None, (_state(cover, own_pa=own_pa), translation(cover)))),
        times=words(" · ".join(cover.times), gettext("the times"), TITLE * 3),
        moved=words(cover.moved, gettext("which times changed"), TITLE * 4),
        tonight=words(cover.tonight, gettext("who plays tonight"), TITLE * 5),
        who_mixes=words(mixes, gettext("who mixes")) or look_up(UNKNOWN),
        contact=contact or ("" if own_pa else look_up(UNKNOWN)),
        band_contact=words(cover.contact, gettext("the band's contact")),
        rack_place=rack_place or ("" if no_desk else look_up(UNKNOWN)),
        rack_power=words(power, gettext("the rack's power")) or ("" if no_desk else look_up(UNKNOWN)),
        unknown=frozenset(name for name, said in (("contact", contact), ("rack_place", rack_place)) if not said),
        link_asks=cover.link_asks,
    )


def _state(cover: Cover, *, own_pa: bool) -> str:
    """The state of signing in words."""
    if cover.cancelled:
        return gettext("The gig is cancelled")
    if cover.status != "signed":
        state = MARKS[cover.status]
    else:
        state = gettext("Ready, on the band's word") if own_pa else SIGNED_FOR[cover.signatures[0].party]
    if cover.behind:
        return gettext("%(state)s · Not the newest: the plan is being worked out again", state=state)
    return state


def route_wished(answers: Answers) -> Route:
    """The route that the answers ask for, whatever the rig."""
    return wished_route(Facts(Rig(), answers))


def who_mixes(answers: Answers) -> str:
    """Who mixes, and on what: a PA of the band's or the house's wish moves the mix to the band's mixer. Empty where the
    answer itself says it.
    """
    route = route_wished(answers)
    answer = answers.get("who-mixes")
    said = str(answer.value) if answer is not None and answer.state == "answered" else ""
    if route in MIXED_BY:
        undecided = route is Route.ON_OUR_MIXER and said != "house-engineer"
        who = "own-engineer" if said in OWN_ENGINEERS else "undecided" if undecided else MIXED_BY[route]
        words = ON_THE_BANDS_MIXER[who]
    else:
        words = gettext("The house's engineer, on the house desk") if said == "house-engineer" else ""
    assumed = words and answer is not None and answer.by == "assumed"
    return gettext("%(said)s (assumed)", said=words) if assumed else words


def _marked(known: Mapping[str, Told], question: str) -> str:
    return known[question].marked if question in known else ""


def _rack_place(known: Mapping[str, Told], cover: Cover) -> str:
    """Where the rack stands, from the stage box: near it, or as far from it as somebody said; the place that the
    house told is the box's.
    """
    if route_wished(cover.answers) in NO_DESK:
        return ""  # there is no stage box
    said = _marked(known, "box-place")
    if not said or box_place_of(cover.answers) == "no-box":
        return said
    way_m, place = stated_distance(cover.answers), inside(said)
    if way_m is not None and way_m > NEAR_M:
        return gettext("%(length)s of cable from the stage box; box %(place)s", length=say_metres(way_m), place=place)
    return gettext("Near the stage box, %(place)s", place=place)


def sentence_of(plan: Plan, cover: Cover, printed: Printed) -> str:
    """The plan in one sentence, as the state of signing has it."""
    said = once_agreed(plan.sentence) if cover.status == "agreed" else plan.sentence
    return printed(say(said), SENTENCE, gettext("the plan's sentence"))


FOOT_EM = 57.0
"""Room of the foot beside the page's number, in em of its type: one line of upright A4."""

LEAST_OF_A_NAME = 8
"""Signs of the gig's name that the foot keeps in any case."""

DOT = " · "


def foot_of(heading: TitleBlock) -> str:
    """The line at the foot of every page. What tells two sheets apart is always whole; the place and the end of a long
    name give way to keep it on one line, where that helps.
    """
    code = gettext("check code %(short_hash)s", short_hash=heading.short_hash)
    told = [part for part in (heading.date, heading.revision, code, heading.state) if part]
    whole = DOT.join(filter(None, (heading.gig, heading.date, heading.place, *told[1:])))
    if width_em(whole) <= FOOT_EM:
        return whole
    room = FOOT_EM - width_em(DOT.join(("", *told)))
    name, least = heading.gig[:MAX_LABEL], min(LEAST_OF_A_NAME, len(heading.gig))
    if width_em(name) > room >= width_em(name[:least] + ELLIPSIS):
        while len(name) > least and width_em(name + ELLIPSIS) > room:
            name = name[:-1]
    return DOT.join((name if name == heading.gig else name.rstrip() + ELLIPSIS, *told))


def code_of(link: str) -> Markup:
    """The QR code of the day sheet's address as inline SVG; empty where there is no web address."""
    if not link.startswith(("https://", "http://")):
        return Markup()
    code = segno.make(link, error="m", micro=False)
    # The drawing holds numbers only; the address is nowhere in it as text.
    return Markup(  # noqa: S704 - our own drawing
        code.svg_inline(
            border=2, omitsize=True, svgclass="code", lineclass=None, title=gettext("Code of the day sheet's address")
        )
    )
