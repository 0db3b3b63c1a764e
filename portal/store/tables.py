"""Every table together, for whoever compares them with the migrations."""

from portal.store import answers, bands, form_keys, gigs, links, plans, rigs, sessions, signoffs, talk
from portal.store.rows import Row

__all__ = ["METADATA"]

_ = (answers, bands, form_keys, gigs, links, plans, rigs, sessions, signoffs, talk)

METADATA = Row.metadata
