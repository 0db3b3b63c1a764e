"""Every table together, for whoever compares them with the migrations."""

from portal.store import (
    answers,
    bands,
    calendar,
    events,
    form_keys,
    gigs,
    invitations,
    line_checks,
    links,
    paper_size,
    plans,
    rigs,
    server_key,
    sessions,
    signoffs,
    stages,
    talk,
)
from portal.store.rows import Row

__all__ = ["METADATA"]

# Importing a module enters its tables.
_ = (
    *(answers, bands, calendar, events, form_keys, gigs, invitations, line_checks, links),
    *(paper_size, plans, rigs, server_key, sessions, signoffs, stages, talk),
)

METADATA = Row.metadata
