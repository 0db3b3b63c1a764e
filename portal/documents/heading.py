"""The title block and the foot that every paper bears."""

from __future__ import annotations

from dataclasses import dataclass

from portal.documents.cover import Cover
from portal.documents.printed import ELLIPSIS, Printed
from portal.plan.rig import MAX_LABEL, MAX_TEXT

TITLE = 60
"""Longest printed name, in characters; a row's own texts keep the rig's limits."""

UNKNOWN = "not known yet"


@dataclass(frozen=True)
class Heading:
    """The title block. ``mark`` is the state of signing in words."""

    band: str
    gig: str
    date: str
    place: str
    revision: str
    short_hash: str
    content_hash: str
    mark: str
    times: str
    who_mixes: str
    contact: str
    rack_place: str
    rack_power: str


def heading_of(cover: Cover, printed: Printed) -> Heading:
    """The title block of a cover, its texts made fit to print."""

    def words(text: str, what: str, longest: int = MAX_TEXT) -> str:
        return printed(text, longest, what)

    parties = [one.party for one in cover.signatures]
    mark = {
        "draft": "Draft, not signed",
        "signed": words(f"Signed for the {' and the '.join(parties)} only", "a signature"),
        "agreed": "Agreed: both sides signed this",
    }[cover.status]
    contact = ", ".join(part for part in (cover.contact_name, cover.contact_phone) if part)
    return Heading(
        band=words(cover.band, "the band's name", TITLE),
        gig=words(cover.gig, "the gig's name", TITLE),
        date=words(cover.date, "the date", MAX_LABEL),
        place=words(cover.place, "the place", TITLE),
        revision=f"Revision {cover.revision}",
        short_hash=words(cover.short_hash, "the short hash", MAX_LABEL),
        content_hash=words(cover.content_hash, "the hash", MAX_TEXT),
        mark=mark,
        times=words(" · ".join(cover.times), "the times", TITLE * 3),
        who_mixes=words(cover.who_mixes, "who mixes") or UNKNOWN,
        contact=words(contact, "the contact") or UNKNOWN,
        rack_place=words(cover.rack_place, "the rack's place") or UNKNOWN,
        rack_power=words(cover.rack_power, "the rack's power") or UNKNOWN,
    )


def foot_of(heading: Heading) -> str:
    """The line at the foot of every page; long names give way, what tells two sheets apart never does."""
    gig, place = (name if len(name) <= MAX_LABEL else name[: MAX_LABEL - 1].rstrip() + ELLIPSIS for name in (heading.gig, heading.place))
    parts = (gig, heading.date, place, heading.revision, f"hash {heading.short_hash}", heading.mark)
    return " · ".join(part for part in parts if part)
