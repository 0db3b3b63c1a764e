"""A stored plan in words: which gig it is of, how it was computed, and what two of them differ in."""

from datetime import date

from portal.plan.model import Plan
from portal.plan.signed.difference import heaviest_first
from portal.plan.signed.serialization import short_hash
from portal.store.plans import StoredPlan
from portal.wording.plan.saying import say
from portal.wording.times import say_date, say_exactly


def where_words(stored: StoredPlan) -> str:
    """Gig, date and place as they stand above what belongs to a plan."""
    return f"{gig_words(stored)} · {stored.read_heading().place}"


def gig_words(stored: StoredPlan) -> str:
    """Gig and date, where there is no room for the place."""
    heading = stored.read_heading()
    return f"{heading.gig} · {say_date(date.fromisoformat(heading.date))}"


def about_words(stored: StoredPlan, zone: str, *, proven: bool) -> str:
    """Revision, short hash, when it was computed, and whether it is proven."""
    best = "proven to be the best" if proven else "the best found, not proven"
    return (
        f"Revision {stored.number} · hash {short_hash(stored.content_hash)} · computed"
        f" {say_exactly(stored.created, zone)} · {best}"
    )


def changes(old: StoredPlan, new: StoredPlan) -> tuple[str, ...]:
    """What a signature under the one does not cover of the other, as sentences."""
    was, now = old.read_heading(), new.read_heading()
    sentences = [
        f"{name}: was {before}, now {after}."
        for name, before, after in (
            ("The gig's name", was.gig, now.gig),
            ("The date", say_date(date.fromisoformat(was.date)), say_date(date.fromisoformat(now.date))),
            ("The place", was.place, now.place),
        )
        if before != after
    ]
    before, after = old.read(), new.read()
    if isinstance(before, Plan) and isinstance(after, Plan):
        return (*sentences, *(say(one.said) for one in heaviest_first(before, after)))
    if isinstance(before, Plan):
        sentences.append("There was a plan; now nothing fits.")
    elif isinstance(after, Plan):
        sentences.append("Nothing fitted; now there is a plan.")
    return tuple(sentences)
