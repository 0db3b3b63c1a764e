"""The sheet of one content, at an address that never means another one, and as a file that a phone keeps."""

from datetime import datetime
from urllib.parse import urlsplit

from fastapi.responses import FileResponse, HTMLResponse, Response

from portal.advance.leading_plan import leading
from portal.documents.day_sheet import day_page, day_sheet
from portal.places import STATIC
from portal.store import plans
from portal.store.database.session import Session
from portal.store.plans import StoredPlan
from portal.web.documents.downloads import a_file, file_name, read_plan
from portal.web.documents.qr_access import cover_of
from portal.web.frame.deps import AllowedGig, Db, Here, Now, TheGig
from portal.web.frame.errors import NotThere
from portal.web.frame.links import Screens, path_to
from portal.web.frame.running import Portal
from portal.wording.catalogue import gettext as _
from portal.wording.times import say_exactly

router = Screens()


def _sheet(
    db: Session, portal: Portal, gig: AllowedGig, content_hash: str, now: datetime, saved: str = ""
) -> tuple[StoredPlan, str]:
    """The sheet of one content. It says by itself whether another revision is meant. Raises ``NotThere``."""
    stored = plans.of_content(db, gig.gig.id, content_hash)
    newest = plans.newest(db, gig.gig.id)
    if stored is None or newest is None:
        raise NotThere
    stale = _stale(stored, leading(db, gig.gig, newest, now), newest)
    if gig.gig.cancelled_at is not None:
        stale = _("Outdated. The gig is cancelled.")
    return stored, day_page(day_sheet(read_plan(stored), cover_of(db, portal, gig.gig, stored), stale, saved))


def _stale(stored: StoredPlan, signed: StoredPlan, newest: StoredPlan) -> str:
    """Which other revision somebody may mean, in words; empty where there is none."""
    if stored.content_hash == signed.content_hash:
        same = newest.content_hash == signed.content_hash
        return (
            ""
            if same
            else _(
                "Revision %(number)s is a newer draft and is not signed. This sheet is signed.", number=newest.number
            )
        )
    if stored.number > signed.number:
        return _("This is a draft. Signed is revision %(number)s.", number=signed.number)
    return _(
        "Outdated. Revision %(number)s is newer and differs. Open the page of the day and use that one.",
        number=signed.number,
    )


@router.get("{base}/day/{content_hash}.html")
def sheet_file(content_hash: str, gig: TheGig, db: Db, portal: Here, now: Now) -> Response:
    """The sheet as one file without script, to open on any phone."""
    where = urlsplit(portal.settings.base_url).netloc + path_to("show_verify")
    saved = _(
        "Saved as a file on %(time_zone)s. Whether it still holds: compare the check code at %(where)s",
        time_zone=say_exactly(now, gig.gig.time_zone),
        where=where,
    )
    stored, html = _sheet(db, portal, gig, content_hash, now, saved)
    return a_file(file_name(stored, "sheet-of-the-day", stored.content_hash[:8], "html"), html.encode())


@router.get("{base}/day/{content_hash}")
def show_sheet(content_hash: str, gig: TheGig, db: Db, portal: Here, now: Now) -> Response:
    """The sheet of one content, at an address that never means another one."""
    return HTMLResponse(_sheet(db, portal, gig, content_hash, now)[1])


@router.get("/day-worker.js")
def day_worker() -> Response:
    """What keeps a sheet on a phone. It is served from the top, so that it may look after the page of the day and
    nothing else; browsers ask for a newer one each time.
    """
    return FileResponse(STATIC / "day-worker.js", media_type="text/javascript", headers={"Cache-Control": "no-cache"})
