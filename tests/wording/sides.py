"""Which texts the house reads: a catalogue of one of its languages says these, and the band's as well where the portal
reads to both in it (``EVERYBODY_S`` of ``portal/wording/catalogue.py``).
"""

import re

from babel.messages.catalog import Catalog, Message

from portal.exchange.rig_words import BIT_WORDS
from portal.web.gig.share import FIRST_WORDS

ONLY_THE_BAND = re.compile(
    r"(portal/web|templates)/(rig|compare)/|portal/compare/|portal/advance/rig_comparison\."
    r"|(portal/web|templates)/accounts/(?!data_export\.)"
    r"|(templates/gig|portal/web/gig)/(home|gig_form|newer_rig|calendar_feed|new_calendar_feed|line_up|line_up_form"
    r"|mixing_choice|answer_reuse|links|new_link|post_gig_review|weeks|gigs|share)\."
    r"|(templates/print|portal/documents)/comparison\."
    r"|portal/exchange/(?!house_spec/)"
    r"|portal/web/frame/begin_session\."
)
"""Files whose texts nobody but the band reads. Everything else is the house's as well."""

OF_BOTH = frozenset(BIT_WORDS.english.values()) | {FIRST_WORDS}
"""Texts of those files that the house reads all the same: what may be brought along, where it tries something, and the
email that brings it a link.
"""


def of_the_house(message: Message) -> bool:
    """True for a text that the house may read: one of its files is not the band's alone, or it is said to both."""
    return message.id in OF_BOTH or any(not ONLY_THE_BAND.match(path) for path, _line in message.locations)


def house_template(wanted: Catalog) -> Catalog:
    """The part of a catalogue's template that the house reads."""
    made = Catalog(project=wanted.project, charset=wanted.charset, fuzzy=False)
    for one in wanted:
        if one.id and of_the_house(one):
            made.add(one.id, locations=one.locations, auto_comments=one.auto_comments, context=one.context)
    return made
