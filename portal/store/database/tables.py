"""Every table together, for whoever compares them with the migrations."""

from portal.store import (
    answers,
    comparisons,
    discussions,
    gigs,
    links,
    looks,
    paper_size,
    planning,
    plans,
    rigs,
    signoffs,
    worked_out,
)
from portal.store.accounts import bands, invitations, sessions
from portal.store.database import brakes, server_key
from portal.store.database.rows import Row
from portal.store.day import calendar, calendar_feeds, line_checks, stages
from portal.store.emails import addresses, outbox
from portal.store.house import house_gigs, house_specs, houses, inquiries
from portal.store.record import events, form_keys

__all__ = ["METADATA"]

# Importing a module enters its tables.
_ = (
    addresses,
    answers,
    bands,
    brakes,
    calendar,
    calendar_feeds,
    comparisons,
    discussions,
    events,
    form_keys,
    gigs,
    house_gigs,
    house_specs,
    houses,
    inquiries,
    invitations,
    line_checks,
    links,
    looks,
    outbox,
    paper_size,
    planning,
    plans,
    rigs,
    server_key,
    sessions,
    signoffs,
    stages,
    worked_out,
)

METADATA = Row.metadata
