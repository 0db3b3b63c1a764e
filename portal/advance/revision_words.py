"""A stored plan in words: which gig it is of, how it was computed, and what two of them differ in."""

from collections.abc import Mapping
from datetime import date

from portal.plan.model import Plan
from portal.plan.signed.difference import heaviest_first
from portal.plan.signed.serialization import short_hash
from portal.plan.signed.signers import BOTH_SIDES
from portal.store.plans import StoredPlan
from portal.store.signoffs import Signature
from portal.wording.catalogue import gettext as _
from portal.wording.formats import say_language
from portal.wording.plan.saying import in_english, say
from portal.wording.times import say_date, say_exactly


def where_words(stored: StoredPlan) -> str:
    """Gig, date and place as they stand above what belongs to a plan."""
    return f"{gig_words(stored)} · {stored.read_heading().place}"


def gig_words(stored: StoredPlan) -> str:
    """Gig and date, where there is no room for the place."""
    heading = stored.read_heading()
    return f"{heading.gig} · {say_date(date.fromisoformat(heading.date))}"


def signed_in(standing: Mapping[str, Signature]) -> tuple[str, ...]:
    """In which language each side signed, as sentences."""
    said = {
        party: {
            "band": _("The band signed in %(language)s.", language=say_language(row.language)),
            "house": _("The house signed in %(language)s.", language=say_language(row.language)),
        }[party]
        for party, row in standing.items()
    }
    return tuple(said[party] for party in BOTH_SIDES if party in said)


def about_words(stored: StoredPlan, zone: str, *, proven: bool) -> str:
    """Revision, short hash, when it was computed, and whether it is proven."""
    best = _("proven to be the best") if proven else _("the best found, not proven")
    return _(
        "Revision %(number)s · check code %(content_hash)s · computed %(zone)s · %(best)s",
        number=stored.number,
        content_hash=short_hash(stored.content_hash),
        zone=say_exactly(stored.created, zone),
        best=best,
    )


def changes(old: StoredPlan, new: StoredPlan) -> tuple[str, ...]:
    """What a signature under the one does not cover of the other, as sentences."""
    was, now = old.read_heading(), new.read_heading()
    sentences = [
        _("%(name)s: was %(before)s, now %(after)s.", name=name, before=before, after=after)
        for name, before, after in (
            (_("The gig's name"), was.gig, now.gig),
            (_("The date"), say_date(date.fromisoformat(was.date)), say_date(date.fromisoformat(now.date))),
            (_("The place"), was.place, now.place),
        )
        if before != after
    ]
    before, after = old.read(), new.read()
    if isinstance(before, Plan) and isinstance(after, Plan):
        found = tuple(say(one.said) for one in heaviest_first(before, after, in_english))
        if not (sentences or found) and old.content_hash != new.content_hash:
            found = (_("Nothing moves. The portal writes plans down in another way now, so they are signed again."),)
        return (*sentences, *found)
    if isinstance(before, Plan):
        sentences.append(_("There was a plan; now nothing fits."))
    elif isinstance(after, Plan):
        sentences.append(_("Nothing fitted; now there is a plan."))
    return tuple(sentences)
