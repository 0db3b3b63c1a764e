"""What a paper that no signature keeps is held under: a digest of everything that is rendered in it."""

import json
from hashlib import sha256

from portal.documents.rendering.sizes import PaperSize
from portal.store import answers, discussions, signoffs
from portal.store.accounts import bands
from portal.store.database.session import Session
from portal.store.day import stages
from portal.store.day.moved_times import moved_since
from portal.store.gigs import Gig
from portal.store.planning import behind
from portal.store.plans import StoredPlan
from portal.web.documents.qr_access import crew_address
from portal.web.frame.running import Portal
from portal.wording.catalogue import language
from portal.wording.formats import length_unit


def digest_of(db: Session, portal: Portal, gig: Gig, stored: StoredPlan, form: str, size: PaperSize) -> str:
    """SHA-256 over the rows that a paper of a plan is rendered from, as they are stored; none of them is read through.
    ``form``: which paper, in which form. One program renders the same from the same rows, and what is held ends with
    it.
    """
    signed = signoffs.history(db, gig.id)
    standing = signoffs.under(signed, stored.content_hash)
    moved, stage = moved_since(db, gig, standing.values()), stages.get(db, gig.id)
    parts: list[object] = [
        form,
        language(),
        length_unit(),
        size.name,
        stored.id,
        stored.document_hash(),
        [str(getattr(gig, column.key)) for column in Gig.__table__.columns],  # type: ignore[attr-defined]
        bands.name_of(db, gig.band_id),
        [[row.position, row.signer_name, row.signer_role] for row in standing.values()],
        signed[-1].position if signed else 0,
        [moved.position, dict(moved.was)] if moved else None,
        [[row.position, row.given] for row in answers.newest(db, gig.id)],
        stored.line_up,
        # Agreements of a row that is off tonight are said beside the line-up.
        [[row.id, row.outcome, str(row.released_at)] for row in discussions.proposals(db, gig.id) if stored.line_up],
        stage.document if stage else "",
        behind(db, gig.id),
        crew_address(db, portal, gig),
    ]
    return sha256(json.dumps(parts).encode()).hexdigest()
