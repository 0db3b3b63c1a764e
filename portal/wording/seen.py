"""Where an answer is found, and by whom, in the reader's language."""

from portal.plan.input.answer_places import PLACES, QUIET, Seen
from portal.wording.catalogue import gettext, look_up
from portal.wording.formats import join_and

NAMED = 3
"""Places that a reader takes in; more of them are the plan and its documents."""


def seen_words(seen: Seen) -> str:
    """One sentence for the page that asks: where the answer is found, and by whom."""
    places = [place for place in seen.places if place not in QUIET]
    where = join_and(look_up(PLACES[place]) for place in places)
    # A document goes from hand to hand, and its code opens the day.
    if "day" in places and len(places) > NAMED:
        return gettext(
            "Both sides, and whoever has the sheet or its code, see the answer on the plan and its documents."
        )
    if "day" in places:
        return gettext("Both sides, and whoever has the sheet or its code, see the answer on %(where)s.", where=where)
    return gettext("Both sides see the answer on %(where)s.", where=where)
