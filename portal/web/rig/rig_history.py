"""The revisions of a rig: what changed from one to the next, an earlier one put back, and a copy as a rig of its
own.
"""

from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import Query, Request
from fastapi.responses import Response

from portal.exchange.rig_changes import rig_changes
from portal.plan.input.rig import MAX_TEXT
from portal.store import rigs
from portal.store.accounts import bands
from portal.store.database.session import Session
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.rig.rig_access import OpenRig, ToEdit, ToRead, keep, may_edit
from portal.wording.catalogue import gettext as _
from portal.wording.times import say_moment

router = Screens()

FIRST_CHANGES = 3
"""So many changes of a revision stand in the list of revisions; all of them only of one at a time."""


@dataclass(frozen=True)
class RevisionLine:
    """One revision in the list of them; the first ``changes`` since the one before, and how many ``more`` there are.
    ``back``: it can be put back.
    """

    number: int
    href: str
    saved: str
    rows: int
    changes: tuple[str, ...]
    more: int
    back: bool


@dataclass(frozen=True, kw_only=True)
class RevisionsPage(Page):
    """Every revision of a rig; its one form puts one of them back."""

    template: ClassVar[str] = "rig/rig_revisions.html"
    form: Draft
    rig_id: str
    rig_name: str
    revisions: tuple[RevisionLine, ...]
    before: int
    earlier: str


@dataclass(frozen=True, kw_only=True)
class CopyPage(FormPage):
    """The name of the copy."""

    template: ClassVar[str] = "rig/rig_copy.html"
    rig_id: str
    rig_name: str


A_PAGE = 20
"""Revisions on one page; each is read whole to say what it changed."""


def saved_words(db: Session, *revisions: rigs.RigRevision) -> tuple[str, ...]:
    """Who saved each of some revisions, and when."""
    names = bands.names_of(db, {one.author_id for one in revisions})
    return tuple(
        f"{say_moment(one.created, 'UTC')} UTC" + (f", by {names[one.author_id]}" if one.author_id in names else "")
        for one in revisions
    )


def revision_of(opened: OpenRig, number: int, db: Session) -> rigs.RigRevision:
    """One revision of an opened rig. Raises ``NotThere``."""
    # SQLite refuses whole numbers of more than 64 bits with an error of its own.
    revision = rigs.revision(db, opened.id, number) if 0 < number <= opened.revision.number else None
    if revision is None:
        raise NotThere
    return revision


def changes_since(opened: OpenRig, number: int, db: Session) -> tuple[str, ...]:
    """What the newest revision holds otherwise than an earlier one."""
    return rig_changes(revision_of(opened, number, db).read(), opened.rig)


@router.get("/rigs/{rig_id}/revisions")
def show_revisions(
    request: Request, opened: ToRead, db: Db, before: Annotated[int, Query(ge=0)] = 0, of: int = 0
) -> Response:
    """The revisions, the newest first, with the first of their changes: one page of them, from the newest or from those
    before a number. ``of``: the one with all of its changes.
    """
    found = rigs.revisions(db, opened.id, before=min(before, opened.revision.number), most=A_PAGE + 1)
    contents = [one.read() for one in found]
    several, befores = found[:A_PAGE], [*contents[1:], None]
    changes = [rig_changes(was, content) if was else () for content, was in zip(contents, befores, strict=True)]
    lines = tuple(
        RevisionLine(
            number=one.number,
            href=path_to("show_rig_revision", rig_id=opened.id, number=one.number),
            saved=saved,
            rows=len(content.source),
            changes=told if one.number == of else told[:FIRST_CHANGES],
            more=0 if one.number == of else max(0, len(told) - FIRST_CHANGES),
            back=may_edit(opened.user) and content != opened.rig,
        )
        for one, saved, content, told in zip(several, saved_words(db, *several), contents, changes, strict=False)
    )
    page = RevisionsPage(
        title=_("Revisions of %(name)s", name=opened.stored.name),
        form=Draft(version=opened.version),
        rig_id=opened.id,
        rig_name=opened.stored.name,
        revisions=lines,
        before=before,
        earlier=path_to("show_revisions", rig_id=opened.id, before=lines[-1].number) if len(found) > A_PAGE else "",
    )
    return render(request, page)


@router.post("/rigs/{rig_id}/revisions")
def put_back(opened: ToEdit, request: Request, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Make a new revision with the content of an earlier one; nothing is taken away, so this can be undone in the same
    way.
    """
    check = Check(sent)
    number = check.number("number", _("Revision"), lo=1, hi=opened.revision.number)
    if number is None:
        raise PortalError(
            422,
            _("No revision was named"),
            _("Nothing was put back. Choose a revision from the list and press its button again."),
        )
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    if sent.version() != opened.version:
        raise PortalError(
            409,
            _("Somebody else saved this rig meanwhile"),
            _(
                "Nothing was put back. Look at the rig as it is now; revision %(number)s can still be put back from"
                " the list of all revisions.",
                number=number,
            ),
        )
    rig = revision_of(opened, number, db).read()
    keep(db, opened, rig, now)
    return once.done(path_to("show_rig", rig_id=opened.id, back=number))


@router.get("/rigs/{rig_id}/copy")
def show_copy(request: Request, opened: ToEdit) -> Response:
    """Ask for the name."""
    return _copy_page(request, opened, Draft.of({"name": f"{opened.stored.name} 2"[:MAX_TEXT]}))


@router.post("/rigs/{rig_id}/copy")
def make_copy(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """A rig of its own that begins as this one stands.

    Its rows keep their keys: a gig that changes over to the copy keeps what was said and agreed about each row.
    """
    check = Check(sent)
    name = check.text("name", _("Enter a name for the copy, for example Acoustic rig."), longest=MAX_TEXT)
    if not check.well:
        return _copy_page(request, opened, check.draft(), 422)
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    copied = rigs.add(
        db, band_id=opened.user.band_id, name=name, rig=opened.rig, author_id=opened.user.user_id, now=now
    )
    return once.done(path_to("show_rig", rig_id=copied.id))


def _copy_page(request: Request, opened: OpenRig, form: Draft, status: int = 200) -> Response:
    page = CopyPage(
        title=_("Copy %(name)s", name=opened.stored.name), form=form, rig_id=opened.id, rig_name=opened.stored.name
    )
    return render(request, page, status=status)
