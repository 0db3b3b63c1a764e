"""What a handler may ask for: the database in one transaction, the time, who is there, and a gig that they may see."""

import logging
from collections.abc import AsyncIterator, Iterator
from contextlib import AsyncExitStack
from dataclasses import dataclass
from datetime import datetime
from time import monotonic
from typing import Annotated
from urllib.parse import urlsplit

from fastapi import Depends, Path, Request
from starlette.concurrency import run_in_threadpool

from portal.advance.gig_access import GigAccess
from portal.jobs.planning import PLANNING
from portal.store import gigs, links, looks
from portal.store.accounts import bands, sessions
from portal.store.database import scopes
from portal.store.database.scopes import Scope
from portal.store.database.session import CannotWrite, Session, news, woken
from portal.store.emails import addresses
from portal.web.frame import metrics
from portal.web.frame.access import (
    LAST_SEEN_STEP,
    LINK_IDLE,
    PROOF_LASTS,
    USER_IDLE,
    token_hash,
)
from portal.web.frame.cookies import cookie_name
from portal.web.frame.errors import NotThere, PortalError, ProveFirst, SignInFirst
from portal.web.frame.forms import Posted, posted
from portal.web.frame.links import band_base, house_base, path_to
from portal.web.frame.pages import Viewer
from portal.web.frame.running import Portal
from portal.wording.catalogue import Words, language, look_up, mark
from portal.wording.formats import measure_in

log = logging.getLogger("portal.security")

ANSWER_S = 0.2
"""The answer to a form waits until then for a plan that may be there so soon, its own time counted: a small gig's is
there before the next page (measured).
"""

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})


async def the_portal(request: Request) -> Portal:
    """The running portal."""
    portal: Portal = request.app.state.portal
    return portal


async def the_time(portal: Annotated[Portal, Depends(the_portal)]) -> datetime:
    """Now, in UTC."""
    return portal.clock()


async def database(request: Request, portal: Annotated[Portal, Depends(the_portal)]) -> AsyncIterator[Session]:
    """The request's one transaction: it ends before the answer leaves, and any error undoes all of it. Handlers never
    commit.
    """
    writes = request.method not in SAFE_METHODS
    begun = monotonic()
    async with AsyncExitStack() as turn:
        if writes:
            turn.push_async_callback((await posted(request)).close)
            with metrics.WRITES_WAITING.track_inprogress():
                await turn.enter_async_context(portal.store.turn())
        else:
            await turn.enter_async_context(portal.readers)
            request.state.reading = turn
        session = portal.store.open(*_named(request), to_write=writes)
        try:
            yield session
            if writes:
                saved_of = str(request.path_params.get("gig_id", ""))
                news(session, saved_of)
                await run_in_threadpool(session.commit)
                if getattr(request.state, "erased", False):
                    await run_in_threadpool(_compact, portal)
                portal.notifier.notify(saved_of)
        finally:
            # To end a transaction that only read writes nothing.
            if writes:
                await run_in_threadpool(session.close)
            else:
                session.close()
    if due := woken(session):
        left_s = ANSWER_S - (monotonic() - begun)
        soon = [gig_id for gig_id, takes_s in due.get(PLANNING.name, {}).items() if takes_s < left_s]
        await portal.jobs.soon(portal, soon, left_s)
    looked: looks.Look | None = getattr(request.state, "looked", None)
    if looked is not None:
        await portal.store.write(lambda db: looks.look(db, looked), scopes.gig(looked.gig_id))
    reads: tuple[str, str] | None = getattr(request.state, "reads", None)
    if reads is not None:
        await portal.store.write(lambda db: addresses.keep_language(db, *reads), scopes.reader(reads[0]))
    # A page that was only read still counts as use of the session, in a transaction of its own and not every time.
    seen: str = getattr(request.state, "session_seen", "")
    if seen:
        now = portal.clock()
        await portal.store.write(lambda db: sessions.update_last_seen(db, seen, now), scopes.browser(seen))


def note_language(request: Request, db: Session, who: str) -> None:
    """Have emails to somebody of the house written in the language that they read now."""
    if addresses.reads_other(db, who, language()):
        request.state.reads = (who, language())


async def done_reading(request: Request, db: Session) -> None:
    """End what only reads, before it waits for what takes long: an open read transaction would keep every writer from
    ending, and its place another reader from beginning. Nothing more is read.
    """
    db.rollback()
    reading: AsyncExitStack = request.state.reading
    await reading.aclose()


def _named(request: Request) -> Iterator[Scope]:
    """The scopes that an address names; who may write to them is asked where they are looked up."""
    for name, of in (("gig_id", scopes.gig), ("house_id", scopes.house)):
        if one := request.path_params.get(name):
            yield of(one)


def _compact(portal: Portal) -> None:
    """Forget the papers that are held, and write the file anew after an erasure. What was erased is overwritten by
    then: where this fails, the daily round does the rest.
    """
    portal.drafts.forget()
    try:
        portal.store.compact()
    except CannotWrite as error:
        log.warning("not compacted after erasing: the database is %s", error.why)


Number = Annotated[int, Path(ge=0, lt=2**31)]
"""The number of a revision or a line in an address; any other leads nowhere."""

Here = Annotated[Portal, Depends(the_portal)]
Now = Annotated[datetime, Depends(the_time)]
Db = Annotated[Session, Depends(database, scope="function")]


async def sent_form(request: Request) -> AsyncIterator[Posted]:
    """What the request's form sent, its files open while the handler works."""
    form = await posted(request)
    # What was typed is in the unit that its page was drawn in, whatever was chosen since.
    measure_in(form.raw("form_lengths"))
    try:
        yield form
    finally:
        await form.close()


Sent = Annotated[Posted, Depends(sent_form, scope="function")]


@dataclass(frozen=True)
class BandUser:
    """Somebody signed in, as a member of a band. ``session`` is the id of the browser's session."""

    session: str
    user_id: str
    name: str
    email: str
    band_id: str
    band_name: str
    role: str
    proven_at: datetime | None = None

    def proven(self, now: datetime) -> bool:
        """True while the password was given shortly before."""
        return self.proven_at is not None and now - self.proven_at < PROOF_LASTS

    @property
    def actor(self) -> str:
        """The name under which one-time keys are kept."""
        return f"user:{self.user_id}"


def _session(
    request: Request, db: Session, portal: Portal, now: datetime, *, gig_id: str = ""
) -> sessions.WebSession | None:
    token = request.cookies.get(cookie_name(portal.settings, gig_id), "")
    if not token:
        return None
    kind, idle = ("link", LINK_IDLE) if gig_id else ("user", USER_IDLE)
    found = sessions.find(db, token_hash(token), kind, now=now, idle=idle)
    if found is not None and now - found.last_seen > LAST_SEEN_STEP:
        request.state.session_seen = found.id
    return found


def maybe_user(request: Request, db: Db, portal: Here, now: Now) -> BandUser | None:
    """Who is signed in, if anybody is."""
    found = _session(request, db, portal, now)
    if found is None or found.user_id is None:
        return None
    member = next(iter(bands.memberships(db, found.user_id)), None)
    if member is None:
        return None
    if db.info["writes"]:
        scopes.take(db, scopes.band(member.band_id), scopes.account(member.user_id), scopes.browser(found.id))
    request.state.viewer = Viewer(member.user_name, "band", member.band_name)
    return BandUser(
        found.id,
        member.user_id,
        member.user_name,
        member.email,
        member.band_id,
        member.band_name,
        member.role,
        found.proven_at,
    )


MaybeUser = Annotated[BandUser | None, Depends(maybe_user)]


def need_user(user: BandUser | None) -> BandUser:
    """Who is signed in. Raises ``SignInFirst``."""
    if user is None:
        raise SignInFirst
    return user


# What asks the database nothing takes no thread: to be handed to one costs more than it does there.
async def signed_in(user: MaybeUser) -> BandUser:
    """Who is signed in; the way to the sign-in page for everybody else."""
    return need_user(user)


SignedIn = Annotated[BandUser, Depends(signed_in)]


def need_proof(request: Request, user: BandUser, now: datetime) -> None:
    """Raise ``ProveFirst`` where the password was given too long ago for what is asked. The way back is the page that
    the form stood on.
    """
    if not user.proven(now):
        came_from = urlsplit(request.headers.get("referer", ""))
        here = came_from.netloc == request.headers.get("host")
        raise ProveFirst(came_from.path if here else path_to("show_account"))


async def owner(user: SignedIn) -> BandUser:
    """Who is signed in, if the band is theirs. Raises ``PortalError`` 403."""
    if user.role != "owner":
        log.warning("refused power=own band=%s by=%s", user.band_id, user.actor)
        raise PortalError(403, *_REFUSED["band"])
    return user


Owner = Annotated[BandUser, Depends(owner)]


BAND_POWERS = {
    "owner": frozenset({*links.POWERS, "follow", "edit", "share", "given"}),
    "editor": frozenset({"view", "follow", "answer", "edit"}),
    "member": frozenset({"view", "follow"}),
}
"""What each role may do with its band's gigs: look, follow what both sides say and what happened, answer for the band,
change the gig, hand out links, sign, have what the house gave.
"""

BY_SHEET = mark("somebody with the sheet")
"""What whoever came by the code on a document is called: nobody knows who holds it."""

ROLE_WORDS = Words(
    {
        "owner": mark("Owner: everything"),
        "editor": mark("Editor: changes rigs and gigs"),
        "member": mark("Member: reads"),
    }
)
ROLES = ("member", "editor")
"""The roles that can be given, and what people read of them."""

_REFUSED = {
    "band": (
        mark("You cannot do that"),
        mark("Nothing was saved. Ask the owner of the band's account to do it, or to give you the right."),
    ),
    "house": (mark("This link cannot do that"), mark("Nothing was saved. Ask the band for a link that does.")),
    "sheet": (
        mark("The code does not open this"),
        mark(
            "The code on a document opens the day, the plan and the documents. For anything else ask the band"
            " for a link."
        ),
    ),
}


@dataclass(frozen=True)
class AllowedGig(GigAccess):
    """A gig that whoever asks may see, below which address, and who asks."""

    base: str
    actor: str
    user_id: str | None = None
    link_id: str | None = None
    name: str = ""

    @property
    def by_sheet(self) -> bool:
        """True for whoever came by the code on a document, to look and tick."""
        return self.link_id is not None and "follow" not in self.powers

    def need(self, power: str) -> None:
        """Raise ``PortalError`` 403 where the link or the role does not carry the power (view, follow, answer, sign,
        given; the band: edit, share).
        """
        if power not in self.powers:
            log.warning("refused power=%s gig=%s by=%s", power, self.gig.id, self.actor)
            raise PortalError(403, *_REFUSED["sheet" if self.by_sheet else "house" if self.link_id else "band"])


def the_gig(gig_id: str, request: Request, db: Db, portal: Here, now: Now) -> AllowedGig:
    """The gig of the address, already allowed; 404 for a gig that is absent or somebody else's.

    Below ``/house/`` the session of a link decides, everywhere else the account: a band member who tries the house's
    link sees what the house sees.
    """
    if request.url.path.startswith("/house/"):
        return _house_gig(gig_id, request, db, portal, now)
    user = need_user(maybe_user(request, db, portal, now))
    found = _band_gig(gig_id, db, user)
    if found is None:
        raise NotThere
    return found


def may_see(gig_id: str, request: Request, db: Session, portal: Portal, now: datetime) -> AllowedGig | None:
    """The gig for whoever asks on a page that is not the gig's own: by account, else by the session of a link; ``None``
    for everybody else.
    """
    user = maybe_user(request, db, portal, now)
    if user is not None and (found := _band_gig(gig_id, db, user)):
        return found
    try:
        return _house_gig(gig_id, request, db, portal, now)
    except NotThere:
        return None


def _band_gig(gig_id: str, db: Session, user: BandUser) -> AllowedGig | None:
    gig = gigs.get(db, user.band_id, gig_id)
    if gig is None:
        return None
    powers = BAND_POWERS[user.role]
    return AllowedGig(gig, "band", powers, band_base(gig.id), user.actor, user_id=user.user_id, name=user.name)


def _house_gig(gig_id: str, request: Request, db: Session, portal: Portal, now: datetime) -> AllowedGig:
    found = _session(request, db, portal, now, gig_id=gig_id)
    link = links.by_id(db, found.link_id) if found is not None and found.link_id else None
    if found is None or link is None or not link.live(now) or link.gig_id != gig_id:
        raise NotThere
    gig = gigs.of_link(db, link.gig_id)
    base = house_base(gig.id)
    # A code on paper is in everybody's hands: the name and what came by the link are only for whoever holds the link.
    powers = {"view"} if found.only_view else {*link.powers.split(), "follow", "given"}
    name = BY_SHEET if found.only_view else link.label
    if not found.only_view:
        note_language(request, db, f"link:{link.id}")
    shown = look_up(name) if found.only_view else name
    request.state.viewer = Viewer(shown, "" if found.only_view else link.party, "", base)
    return AllowedGig(gig, link.party, frozenset(powers), base, f"link:{link.id}", link_id=link.id, name=name)


TheGig = Annotated[AllowedGig, Depends(the_gig)]
