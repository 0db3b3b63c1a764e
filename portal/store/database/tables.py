"""Every table together, for whoever compares them with the migrations."""

from portal.store import (
    answers,
    calendar,
    calendar_feeds,
    comparisons,
    discussions,
    emails,
    gigs,
    house_gigs,
    house_specs,
    houses,
    inquiries,
    line_checks,
    links,
    looks,
    paper_size,
    planning,
    plans,
    rigs,
    signoffs,
    stages,
    worked_out,
)
from portal.store.accounts import bands, invitations, sessions
from portal.store.database import server_key
from portal.store.database.rows import Row
from portal.store.record import events, form_keys

__all__ = ["METADATA"]

# Importing a module enters its tables.
_ = (
    *(
        answers,
        bands,
        calendar,
        calendar_feeds,
        comparisons,
        emails,
        events,
        form_keys,
        gigs,
        house_gigs,
        house_specs,
        houses,
        inquiries,
        invitations,
        line_checks,
    ),
    *(links, looks, paper_size, planning, plans, rigs, server_key, sessions, signoffs, stages, discussions, worked_out),
)

METADATA = Row.metadata
