"""The paper of each signature, made once it was signed and kept as bytes. Where that fails, it is tried again, and the
first download does it too.
"""

import logging
import re
from collections.abc import Sequence
from datetime import datetime, timedelta

from starlette.concurrency import run_in_threadpool

from portal.documents.rendering.pdf import PaperError
from portal.jobs.loop import Job
from portal.store import gigs, plans, signoffs
from portal.store.database.session import Session
from portal.web.documents.downloads import PATCH_SHEET, Wanted, content_of, prepare
from portal.web.frame.running import Portal

log = logging.getLogger("portal")

RECENT = timedelta(days=7)
"""How long after a signature its paper is still made without being asked for (common practice, no source)."""

AGAIN_S, NEVER_S = 600.0, 86_400.0


def due(db: Session, now: datetime) -> Sequence[str]:
    """The plans that were signed lately and of which no paper with these signatures was kept, by id."""
    found = []
    for gig_id in signoffs.signed_since(db, now - RECENT):
        rows = signoffs.history(db, gig_id)
        for content_hash in dict.fromkeys(row.content_hash for row in rows if row.created >= now - RECENT):
            standing = signoffs.under(rows, content_hash)
            stored = plans.of_content(db, gig_id, content_hash) if standing else None
            if stored is None or stored.erased:
                continue
            signed = " ".join([PATCH_SHEET, *sorted((str(row.position) for row in standing.values()), key=int)])
            # With the times as they moved since, or as they were; one in another language is not it.
            if signed not in {re.sub(r" t\d+$", "", one.document) for one in plans.papers_of(db, stored.id)}:
                found.append(f"{gig_id} {stored.id}")
    return found


async def make(portal: Portal, one: str) -> float:
    """Make and keep the paper of a plan just signed."""
    wanted = await run_in_threadpool(_read, portal, *one.split())
    if wanted is None:
        return NEVER_S
    if not wanted.kept_as:
        # The plan is being worked out again, or what was kept was erased with the names on it.
        return AGAIN_S
    try:
        await content_of(portal, wanted)
    except PaperError as error:
        log.warning("paper not made after signing: %s", type(error).__name__)
        return AGAIN_S
    return 0.0


def _read(portal: Portal, gig_id: str, plan_id: str) -> Wanted | None:
    with portal.store.reading() as db:
        gig, stored = gigs.of_link(db, gig_id), plans.get(db, gig_id, plan_id)
        return prepare(db, portal, gig, stored, PATCH_SHEET) if stored else None


SIGNED_PAPERS: Job[Portal] = Job("papers", due, make)
