"""The state of a gig and who acts next, derived from what happened. Never stored."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from portal.advance.time_zones import moment_of
from portal.store import plans, progress, signoffs
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.progress import Progress
from portal.wording.catalogue import look_up, mark
from portal.wording.formats import join_and
from portal.wording.kinds import SIDES
from portal.wording.times import DAY

LATEST_END = DAY + 6 * 60
"""Minutes; six in the morning after, for a gig whose curfew nobody knows (common practice, no source)."""

BEING_WORKED_OUT = mark("being worked out again")
"""How a plan is that no longer is of what the gig says."""


class GigState(StrEnum):
    """Where a gig stands. The value is the word on the page and the kind of its mark."""

    PREPARING = "preparing"
    READY = "ready"
    ASKING = "asking"
    PLANNED = "planned"
    WORKING = "being worked out"
    AGREED = "agreed"
    OUTDATED = "outdated"
    PLAYED = "played"
    CANCELLED = "cancelled"


@dataclass(frozen=True)
class Standing:
    """A gig's state, what is left to do in words, who does it (band, house, both or nobody), and since when.
    ``own_pa``: there is no house.
    """

    state: GigState
    no_plan: bool
    actor: str
    next_step: str
    since: datetime | None = None
    own_pa: bool = False


def agreed(events: Progress) -> bool:
    """True where both sides signed the newest plan's content."""
    return not events.no_plan and events.plan_hash in events.band_signed & events.house_signed


def ready(events: Progress) -> bool:
    """True where the band brings the PA and gave its word on the newest plan: nobody else has to."""
    return events.own_pa and events.plan_hash in events.band_signed


def outdated_for(party: str, events: Progress) -> bool:
    """True where the party signed something, but not what the newest plan holds."""
    signed = events.band_signed if party == "band" else events.house_signed
    return bool(signed) and (events.no_plan or events.plan_hash not in signed)


def state_of(events: Progress, *, cancelled: bool, over: bool) -> GigState:
    """The state, by the first rule that fits. ``over``: the gig's curfew is past."""
    rules = (
        (cancelled, GigState.CANCELLED),
        (over, GigState.PLAYED),
        # Between a change and its plan nobody may print an agreement that is about to fall.
        (events.behind and events.begun, GigState.WORKING),
        (agreed(events), GigState.AGREED),
        (ready(events), GigState.READY),
        (outdated_for("band", events) or outdated_for("house", events), GigState.OUTDATED),
        (events.own_pa, GigState.PREPARING),
        (events.house_answered, GigState.PLANNED),
        (events.link_live, GigState.ASKING),
    )
    return next((state for fits, state in rules if fits), GigState.PREPARING)


PAST = (GigState.PLAYED, GigState.CANCELLED)
"""States of a gig that nobody acts on any more."""

SETTLED = {
    GigState.CANCELLED: mark("Nothing left to do"),
    GigState.PLAYED: mark("Nothing left to do"),
    GigState.AGREED: mark("Both sides signed. Take the sheet along"),
    GigState.READY: mark("The band is ready. Take the sheet along"),
}
"""States in which nobody acts next, and what is said then."""

_FIRST_STEPS = {
    GigState.PREPARING: ("band", mark("The band makes the house's link")),
    GigState.ASKING: ("house", mark("The house answers the questions")),
}
"""Who acts before there is anything to sign, and the step."""

_WORKED_OUT = {
    False: ("nobody", mark("The plan is being worked out again")),
    True: ("both", mark("Both sides look at the plan: it could not be worked out")),
}
"""The same while a plan is worked out, by whether it was given up."""


_DECISIONS = {
    frozenset({"band"}): ("band", mark("The band decides what the house proposed")),
    frozenset({"house"}): ("house", mark("The house decides what the band proposed")),
    frozenset({"band", "house"}): ("both", mark("Both sides decide what the other proposed")),
}
"""Who decides before anybody signs, by the sides for which a proposal waits."""


def next_of(state: GigState, events: Progress) -> tuple[str, str]:
    """Who acts next (band, house, both or nobody), and the step in words."""
    actor, step = _next_of(state, events)
    return actor, look_up(step)


def _next_of(state: GigState, events: Progress) -> tuple[str, str]:
    if state in SETTLED:
        return "nobody", SETTLED[state]
    if state is GigState.WORKING:
        return _WORKED_OUT[bool(events.fault)]
    if events.own_pa and not events.no_plan:
        return (
            "band",
            mark("The band resolves what blocks the plan")
            if events.blocked
            else mark("The band signs, and the gig is ready"),
        )
    if state in _FIRST_STEPS:
        return _FIRST_STEPS[state]
    return _to_agree(events)


def _to_agree(events: Progress) -> tuple[str, str]:
    if events.no_plan:
        return "both", mark("Both sides resolve what clashes")
    if events.blocked:
        return "both", mark("Both sides resolve what blocks signing")
    if events.to_decide:
        return _DECISIONS[events.to_decide]
    missing = [
        party
        for party, signed in (("band", events.band_signed), ("house", events.house_signed))
        if events.plan_hash not in signed
    ]
    anew = all(outdated_for(party, events) for party in missing)
    if len(missing) > 1:
        return "both", mark("Both sides sign again") if anew else mark("Both sides sign")
    if missing[0] == "band":
        return "band", mark("The band signs again") if anew else mark("The band signs")
    return "house", mark("The house signs again") if anew else mark("The house signs")


def ends(gig: Gig) -> datetime:
    """When a gig is over: its curfew, else the end of its set, else six in the morning after; in UTC."""
    minutes = gig.minutes
    over = minutes.get("curfew")
    if over is None and "set" in minutes and gig.set_minutes:
        over = minutes["set"] + gig.set_minutes
    return moment_of(gig.on, LATEST_END if over is None else over, gig.time_zone)


def standings(db: Session, gigs: Sequence[Gig], now: datetime) -> dict[str, Standing]:
    """The state of each of some gigs (already allowed), by the gig's id; the number of queries does not grow with the
    list.
    """
    happened = progress.of_gigs(db, gigs, now)
    return {gig.id: _standing(gig, happened[gig.id], now) for gig in gigs}


def standing(db: Session, gig: Gig, now: datetime) -> Standing:
    """The state of one gig (already allowed)."""
    return _standing(gig, progress.of_gig(db, gig, now), now)


def _standing(gig: Gig, events: Progress, now: datetime) -> Standing:
    state = state_of(events, cancelled=gig.cancelled_at is not None, over=now >= ends(gig))
    actor, step = next_of(state, events)
    return Standing(state, events.no_plan, actor, step, events.since, events.own_pa)


def signed_for(db: Session, gig_id: str) -> str:
    """Whose signatures stand under the newest plan of a gig (already allowed), in words; empty where nobody signed."""
    plan = plans.newest(db, gig_id)
    signed = sorted(signoffs.under(signoffs.history(db, gig_id), plan.content_hash)) if plan else []
    return join_and(SIDES[party] for party in signed)
