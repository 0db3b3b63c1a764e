"""Everything that happened to a gig, for both its sides to read: when, who, and what it was before and after."""

from collections.abc import Mapping
from dataclasses import dataclass
from textwrap import shorten
from typing import Annotated, ClassVar

from fastapi import Query, Request
from fastapi.responses import Response

from portal.advance.gig_access import allowed_actions
from portal.advance.line_up_words import kept_words
from portal.advance.planning import ground
from portal.plan.input.questions import QUESTIONS
from portal.plan.signed.serialization import short_hash
from portal.store import answers, discussions, looks, rigs
from portal.store import links as stored_links
from portal.store.accounts import bands
from portal.store.answers import StoredAnswer
from portal.store.database.session import Session
from portal.store.links import Link
from portal.store.record import events
from portal.store.record.events import Event, Told
from portal.web.discussion.discussion_view import words_of as proposal_words
from portal.web.frame.deps import BY_SHEET, AllowedGig, Db, TheGig
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Page, render
from portal.web.gig.gig_labels import LABELS
from portal.wording.answers import words_of
from portal.wording.catalogue import Words, look_up, mark
from portal.wording.catalogue import gettext as _
from portal.wording.formats import headed
from portal.wording.kinds import SIDES
from portal.wording.times import say_exactly, say_minutes

router = Screens()

FIELDS = Words(
    {
        **LABELS.english,
        "time_zone": LABELS.english["zone"],
        "configuration": mark("Variant of the rig"),
        "rig_revision": mark("Revision of the rig"),
        "line_up": mark("Line-up"),
    }
)


ERASED: Mapping[str, Mapping[str, str]] = {
    "time": Words({"both": mark("Erased contacts, comments and other free words, because the gig is long over")}),
    "asked": Words(
        {
            "house": mark("Erased names and words that the house gave"),
            "band": mark("Erased names and words of somebody of the band"),
            "both": mark("Erased all names and words"),
        }
    ),
}
"""What an erasure is called, by why and whose words it took."""


@dataclass(frozen=True)
class Happened:
    """What one side did at one moment, in sentences."""

    when: str
    who: str
    what: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class HistoryPage(Page):
    """The history of a gig, the newest first."""

    template: ClassVar[str] = "gig/history.html"
    gig_href: str
    gig_name: str
    rows: tuple[Happened, ...]
    earlier: str


@dataclass(frozen=True)
class _Known:
    """Names and words that events point to, as far as they are still there."""

    users: Mapping[str, str]
    links: Mapping[str, Link]
    answers: Mapping[str, StoredAnswer]
    before: Mapping[str, StoredAnswer]
    """The same side's answer to the same question before an answer, by that answer's id."""
    proposals: Mapping[str, tuple[str, discussions.Proposal]]
    comments: Mapping[str, str]
    revisions: Mapping[str, int]


MOST_OF_A_COMMENT = 200
"""So many letters of a comment are read among what happened; its own page has all of it."""

A_PAGE = 200
"""Events on one page."""


@router.get("{base}/history")
def show_history(request: Request, gig: TheGig, db: Db, before: Annotated[int, Query(ge=0, lt=2**62)] = 0) -> Response:
    """The history of a gig: the last page of it, or what happened before an event."""
    gig.need("follow")
    found = events.before(db, gig.gig.id, before, A_PAGE + 1)
    told = found[-A_PAGE:]
    known = _known(db, gig, told)
    rows: list[Happened] = []
    for one in told:
        what = _what(one, known)
        if not what:
            continue
        row = Happened(say_exactly(one.event.created, gig.gig.time_zone), _who(one.event, known), what)
        if rows and (rows[-1].when, rows[-1].who) == (row.when, row.who):
            rows[-1] = Happened(row.when, row.who, row.what + rows[-1].what)
        else:
            rows.append(row)
    page = HistoryPage(
        title=_("What happened"),
        gig_href=gig.base,
        gig_name=gig.gig.name,
        rows=tuple(reversed(rows)),
        earlier=(path_to("show_history", gig.base, before=told[0].event.position) if len(found) > A_PAGE else ""),
    )
    return render(request, page)


def changed_since_look(request: Request, db: Session, gig: AllowedGig) -> tuple[str, ...]:
    """What the other side and the portal did since this side's page was last looked at, the newest first; from now on
    it counts as seen.
    """
    if gig.by_sheet:
        # A code on paper is in everybody's hands: nobody's look.
        return ()
    seen = looks.seen(db, [gig.actor], [gig.gig.id]).get(gig.gig.id)
    newest = looks.newest(db, gig.gig.id)
    if newest > (seen or 0):
        request.state.looked = looks.Look(who=gig.actor, gig_id=gig.gig.id, position=newest)
    if seen is None or newest <= seen:
        return ()
    after = events.of_gig(db, gig.gig.id, after=seen)
    told = [one for one in after if one.event.party != gig.party and one.event.kind not in looks.QUIET]
    known = _known(db, gig, told)
    return tuple(headed(_who(one.event, known), words) for one in reversed(told) for words in _what(one, known))


def comments_of(db: Session, gig: AllowedGig) -> int:
    """How many comments of a gig its side may read."""
    return sum(discussions.counts(db, gig.gig.id).values()) if "follow" in gig.powers else 0


def _known(db: Session, gig: AllowedGig, told: list[Told]) -> _Known:
    actors = {one.event.actor for one in told if one.event.actor.startswith("user:")}
    names = bands.names_of(db, {actor.removeprefix("user:") for actor in actors})
    given = answers.history(db, gig.gig.id)
    last: dict[tuple[str, bool], StoredAnswer] = {}
    before: dict[str, StoredAnswer] = {}
    for row in given:
        side = (row.question, row.party == "house")
        if side in last:
            before[row.id] = last[side]
        last[side] = row
    used = {one for event in told for field, *ids in event.changes if field == "rig_revision" for one in ids if one}
    rig = ground(db, gig.gig).rig
    proposed = discussions.proposals(db, gig.gig.id)
    commented = any(one.event.kind == "commented" for one in told)
    return _Known(
        users={f"user:{user_id}": name for user_id, name in names.items()},
        links={link.id: link for link in stored_links.of_gig(db, gig.gig.id)},
        answers={row.id: row for row in given},
        before=before,
        proposals={row.id: (proposal_words(rig, row, proposed), row) for row in proposed},
        comments={row.id: row.words for row in discussions.comments(db, gig.gig.id)} if commented else {},
        revisions=rigs.numbers(db, gig.gig.rig_id, used),
    )


def _who(event: Event, known: _Known) -> str:
    if _by_sheet(event):
        return look_up(BY_SHEET).capitalize()
    if event.actor.startswith("user:"):
        name = known.users.get(event.actor, "")
    else:
        link = known.links.get(event.actor.removeprefix("link:"))
        name = link.label if link else ""
    if not name and (proposal := known.proposals.get(event.read().get("proposal", ""))):
        name = proposal[1].proposer if event.kind == "proposed" else proposal[1].settler
    if not event.party:
        return _("The portal")
    side = SIDES[event.party]
    return f"{name}, {side}" if name else side[:1].upper() + side[1:]


def _by_sheet(event: Event) -> bool:
    return event.read().get("by") == "sheet"


def _what(told: Told, known: _Known) -> tuple[str, ...]:
    """The event in sentences; none for what nobody needs to read."""
    detail = told.event.read()
    if told.event.kind == "gig-changed":
        return tuple(_changed(change, known) for change in told.changes) or (_("Changed the gig's details"),)
    if told.event.kind == "answered":
        return (_answered(detail, known),)
    link = known.links.get(detail.get("link", ""))
    label = link.label if link else _("somebody")
    proposal = known.proposals.get(detail.get("proposal", ""), (_("what was proposed"), None))[0]
    revision = _(
        "revision %(number)s, check code %(short_hash)s",
        number=detail.get("plan", ""),
        short_hash=short_hash(detail.get("content_hash", "")),
    )
    sentences = {
        "gig-made": _("Made the gig"),
        "gig-cancelled": _("Cancelled the gig"),
        "gig-asked": _("Asked the house for the gig"),
        "gig-accepted": _("Accepted the gig"),
        "gig-declined": _("Declined the gig"),
        "link-made": _("Made a link for %(label)s: %(link)s", label=label, link=allowed_actions(link))
        if link
        else _("Made a link"),
        "link-used": _("Came in by the code on it") if _by_sheet(told.event) else _("Came in by the link"),
        "link-revoked": _("Revoked the link for %(label)s", label=label),
        "answers-sent": _("Checked and sent the answers"),
        "commented": _commented(known.comments.get(detail.get("comment", ""), "")),
        "proposed": _("Proposed: %(proposal)s", proposal=proposal),
        "proposal-accepted": _("Accepted: %(proposal)s", proposal=proposal),
        "proposal-declined": _("Declined: %(proposal)s", proposal=proposal),
        "proposal-taken-back": _("Took back: %(proposal)s", proposal=proposal),
        "proposal-overtaken": _("Overtaken by what was accepted: %(proposal)s", proposal=proposal),
        "finding-taken": _("Took what was found on the night into the rig"),
        "finding-dismissed": _("Left what was found on the night out of the rig"),
        "planned": _("Planned: %(revision)s", revision=revision),
        "signed": _("Signed %(revision)s", revision=revision),
        "withdrawn": _("Withdrew the signature under %(revision)s", revision=revision),
        "erased": ERASED.get(detail.get("why", ""), {}).get(detail.get("of", ""), ""),
    }
    sentence = sentences.get(told.event.kind, "")
    return (sentence,) if sentence else ()


def _commented(words: str) -> str:
    """A comment with its words, the beginning of a long one; without them where they are erased."""
    if not words:
        return _("Wrote a comment")
    return _("Wrote a comment: “%(words)s”", words=shorten(words, MOST_OF_A_COMMENT, placeholder=" …"))


def _changed(change: tuple[str, str, str], known: _Known) -> str:
    field, was, now = change
    return _(
        "%(field)s: was %(known)s, now %(known2)s",
        field=FIELDS.get(field, field),
        known=_value(field, was, known),
        known2=_value(field, now, known),
    )


def _value(field: str, value: str, known: _Known) -> str:
    if not value:
        return _("as the rig") if field == "line_up" else _("not set")
    if field.startswith("time-"):
        return say_minutes(int(value))
    if field == "rig_revision":
        return str(known.revisions.get(value, _("of another rig")))
    if field == "line_up":
        return kept_words(value)
    return value


def _answered(detail: Mapping[str, str], known: _Known) -> str:
    question = QUESTIONS.get(detail.get("question", ""))
    row = known.answers.get(detail.get("answer", ""))
    if question is None or row is None:
        return _("Answered a question")
    if "history" not in question.seen.places:
        return _("Answered: %(band)s", band=look_up(question.band))
    if row.erased:
        return _("Answered: %(band)s The words are erased", band=look_up(question.band))
    now, earlier = row.read(), known.before.get(row.id)
    was = earlier.read() if earlier else None
    said = words_of(question, now) if now else _("an answer of another version")
    if row.party == "assumed":
        said = _("%(answer)s (assumed)", answer=said)
    asked = look_up(question.band)
    if was is None:
        return _("Answered: %(question)s %(said)s", question=asked, said=said)
    return _("Answered: %(question)s Was %(was)s, now %(said)s", question=asked, was=words_of(question, was), said=said)
