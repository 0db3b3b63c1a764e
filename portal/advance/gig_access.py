"""A gig as one side may see it, and what a link lets its holder do there."""

from dataclasses import dataclass

from portal.store.gigs import Gig
from portal.store.links import POWERS, Link
from portal.wording.catalogue import Words, mark
from portal.wording.formats import join_and

_ACTIONS = Words(
    {
        "view": mark("see the plan and download the documents"),
        "answer": mark("answer the questions"),
        "sign": mark("sign for the house"),
    }
)


@dataclass(frozen=True)
class GigAccess:
    """A gig that whoever asks may see: from which side (band or house), and with which powers."""

    gig: Gig
    party: str
    powers: frozenset[str]


def allowed_actions(link: Link) -> str:
    """What the holder of a link may do, in words."""
    return join_and(_ACTIONS[power] for power in POWERS if link.may(power))
