"""A gig as one side may see it."""

from dataclasses import dataclass

from portal.store.gigs import Gig


@dataclass(frozen=True)
class GigAccess:
    """A gig that whoever asks may see: from which side (band or house), and with which powers."""

    gig: Gig
    party: str
    powers: frozenset[str]
