"""What an email says of one gig: what happened, in sentences, and what is next. Made when it is sent, from what is true
then.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from portal.advance.status.gig_status import Standing, ends, outdated_for, standing
from portal.store import plans, progress
from portal.store.accounts import bands
from portal.store.database.session import Session
from portal.store.emails.outbox import Outbox
from portal.store.gigs import Gig
from portal.store.record import events
from portal.store.record.erasing import CONTACT
from portal.store.record.events import Told
from portal.web.mail.readers import Reader
from portal.wording.catalogue import Words, gettext, look_up, mark, ngettext
from portal.wording.formats import inside
from portal.wording.times import TIME_WORDS, say_date, say_minutes

ANSWERS_DUE, SIGN_DUE, LINK = "answers-due", "sign-due", "link"
"""What is told of a gig and is no event: two reminders, and the link itself."""

INVITATION, NEW_PASSWORD = "invitation", "new-password"
"""What is told of no gig: a way into a band, and one to a new password."""

WAYS_IN = frozenset({INVITATION, NEW_PASSWORD})

ALONE = WAYS_IN | {LINK}
"""What goes alone and at once."""

_ASKED = Words(
    {
        "gig-asked": mark("The band asks for the gig. The house accepts or declines it in its list."),
        "gig-accepted": mark("The house accepted the gig. What its stage's sheet says stands in it."),
        "gig-declined": mark("The house declined the gig."),
    }
)
"""What comes of an inquiry link, by the kind of event."""

ASKS = mark("A few questions to the house")
"""The headline of the email that brings a link."""

AT_ONCE = frozenset(
    {"signed", "withdrawn", "planned", "gig-changed", "gig-cancelled", *_ASKED, ANSWERS_DUE, SIGN_DUE, LINK}
)
"""What waits for no other email about its gig; the rest comes at most once a day."""

DETAILS = Words(
    {
        "name": mark("Name"),
        "place": mark("Place"),
        "on": mark("Date"),
        **{f"time-{key}": words for key, words in TIME_WORDS.english.items()},
        "set_minutes": mark("Set length in minutes"),
    }
)
"""What may move of a gig without its plan, by column."""

_SIGNED = Words(
    {
        "band": mark("The band signed revision %(number)s."),
        "house": mark("The house signed revision %(number)s."),
    }
)
_WITHDREW = Words(
    {"band": mark("The band withdrew its signature."), "house": mark("The house withdrew its signature.")}
)
_ON_THE_DAY = Words(
    {
        "band": mark("The band changed who is there on the day."),
        "house": mark("The house changed who is there on the day."),
    }
)
_CHANGED_SINCE = Words(
    {
        "band": mark("The plan has changed since the band signed it. It is revision %(number)s now."),
        "house": mark("The plan has changed since the house signed it. It is revision %(number)s now."),
    }
)
_NOT_SIGNED = Words(
    {
        "band": mark("The gig is on %(day)s, and the band has not signed the plan."),
        "house": mark("The gig is on %(day)s, and the house has not signed the plan."),
    }
)
_TURN = Words({"band": mark("The band's turn"), "house": mark("The house's turn")})
"""Sentences by the side that they are about."""


@dataclass(frozen=True)
class AboutGig:
    """One gig in an email: its head, what happened, what is next, where it is opened; ``headline`` for the subject."""

    title: str
    act: str
    headline: str
    sentences: tuple[str, ...]
    next_step: str
    opens: str
    because: str


def about(db: Session, gig: Gig, reader: Reader, rows: Sequence[Outbox], now: datetime) -> AboutGig | None:
    """What one reader is told of a gig; ``None`` where nothing of it is true any more."""
    if now >= ends(gig):
        return None
    stands = standing(db, gig, now)
    # What happened at one moment has one time: only its position says what came first.
    positions = sorted(int(row.about) for row in rows if row.about.isdecimal())
    happened = [told for position in positions if (told := events.at(db, position))]
    if gig.cancelled_at is not None:
        sentences: list[str] = [gettext("The band cancelled the gig.")] if _has(rows, "gig-cancelled") else []
    else:
        sentences = [
            *_links(db, gig, rows),
            *_reminders(db, gig, reader.party, rows, stands, now),
            *_moved(happened),
            *_deeds(db, gig, reader.party, happened, now),
        ]
    if not sentences:
        return None
    mine = stands.actor in (reader.party, "both")
    return AboutGig(
        title=one_line(f"{gig.name}, {say_date(gig.on)}, {gig.place}"),
        act=one_line(bands.name_of(db, gig.band_id)),
        headline=look_up(ASKS) if _has(rows, LINK) else _headline(gig, reader.party, happened, mine=mine),
        sentences=tuple(dict.fromkeys(sentences)),
        next_step=(
            gettext("Next: %(next_step)s.", next_step=inside(stands.next_step)) if stands.actor != "nobody" else ""
        ),
        opens=reader.opens,
        because=reader.because,
    )


def concerns(told: Told) -> bool:
    """True for an event that somebody has to be told of: an answer only where it leads to a person, a change only where
    it moves the gig itself.
    """
    if told.event.kind == "answered":
        return told.event.read().get("question") in CONTACT
    if told.event.kind == "gig-changed":
        return any(field in DETAILS for field, _, _ in told.changes)
    return True


def sides_of(db: Session, gig: Gig, told: Told, now: datetime) -> tuple[str, ...]:
    """The sides that an event is told to: the one that did not do it; of a new plan those whose signature fell."""
    if told.event.party:
        return ("house",) if told.event.party == "band" else ("band",)
    happened = progress.of_gig(db, gig, now)
    return tuple(party for party in ("band", "house") if outdated_for(party, happened))


def _has(rows: Sequence[Outbox], kind: str) -> bool:
    return any(row.kind == kind for row in rows)


def one_line(words: str) -> str:
    """Words that somebody typed, as a line of their own."""
    return " ".join("".join(one if one.isprintable() else " " for one in words).split())


def _headline(gig: Gig, party: str, happened: Sequence[Told], *, mine: bool) -> str:
    kinds = {one.event.kind for one in happened}
    if gig.cancelled_at is not None:
        return gettext("Cancelled")
    if "gig-changed" in kinds:
        return gettext("The gig has moved")
    if mine:
        return _TURN[party]
    return gettext("Signed") if "signed" in kinds else gettext("News")


def _links(db: Session, gig: Gig, rows: Sequence[Outbox]) -> Iterator[str]:
    band = one_line(bands.name_of(db, gig.band_id))
    if _has(rows, LINK):
        yield gettext(
            "%(band)s asks the house about this gig. A few answers make a plan that both sides sign before load-in.",
            band=band,
        )
        yield gettext("No account is needed. The link is for one person: whoever has it can do what its page says.")


def _reminders(
    db: Session, gig: Gig, party: str, rows: Sequence[Outbox], stands: Standing, now: datetime
) -> Iterator[str]:
    day = say_date(gig.on)
    if _has(rows, ANSWERS_DUE) and not progress.of_gig(db, gig, now).house_answered:
        yield gettext("The gig is on %(day)s, and the house has not sent its answers.", day=day)
    if _has(rows, SIGN_DUE) and stands.actor in (party, "both"):
        yield _NOT_SIGNED[party] % {"day": day}


def _moved(happened: Sequence[Told]) -> Iterator[str]:
    """What moved of the gig itself: as it was before the first change, and as it is after the last."""
    first: dict[str, str] = {}
    last: dict[str, str] = {}
    for one in happened:
        for field, was, now in one.changes if one.event.kind == "gig-changed" else ():
            first.setdefault(field, was)
            last[field] = now
    for field, words in DETAILS.items():
        if field in last and first[field] != last[field]:
            yield gettext(
                "%(what)s: was %(before)s, now %(now)s.",
                what=words,
                before=_value(field, first[field]),
                now=_value(field, last[field]),
            )


def _value(field: str, value: str) -> str:
    if not value:
        return gettext("not set")
    if field == "on":
        return say_date(datetime.fromisoformat(value).date())
    return say_minutes(int(value)) if field.startswith("time-") else one_line(value)


def _deeds(db: Session, gig: Gig, party: str, happened: Sequence[Told], now: datetime) -> Iterator[str]:
    other = "house" if party == "band" else "band"
    counts = Counter(one.event.kind for one in happened)
    newest = plans.newest(db, gig.id)
    for one in happened:
        if one.event.kind == "signed":
            yield _SIGNED[one.event.party] % {"number": one.event.read().get("plan", "")}
        if one.event.kind == "withdrawn":
            yield _WITHDREW[one.event.party]
    yield from (words for kind, words in _ASKED.items() if counts[kind])
    if counts["answers-sent"]:
        yield gettext("The house sent its answers.")
    if counts["answered"]:
        yield _ON_THE_DAY[other]
    yield from _said_by_the_band(counts) if other == "band" else _said_by_the_house(counts)
    if counts["planned"] and newest and outdated_for(party, progress.of_gig(db, gig, now)):
        yield _CHANGED_SINCE[party] % {"number": newest.number}


def _said_by_the_band(counts: Mapping[str, int]) -> Iterator[str]:
    if count := counts.get("proposed", 0):
        yield ngettext("The band proposed a change.", "The band proposed %(num)s changes.", count)
    if count := counts.get("proposal-accepted", 0):
        yield ngettext("The band accepted a proposal.", "The band accepted %(num)s proposals.", count)
    if count := counts.get("proposal-declined", 0):
        yield ngettext("The band declined a proposal.", "The band declined %(num)s proposals.", count)
    if count := counts.get("commented", 0):
        yield ngettext("The band wrote a comment.", "The band wrote %(num)s comments.", count)


def _said_by_the_house(counts: Mapping[str, int]) -> Iterator[str]:
    if count := counts.get("proposed", 0):
        yield ngettext("The house proposed a change.", "The house proposed %(num)s changes.", count)
    if count := counts.get("proposal-accepted", 0):
        yield ngettext("The house accepted a proposal.", "The house accepted %(num)s proposals.", count)
    if count := counts.get("proposal-declined", 0):
        yield ngettext("The house declined a proposal.", "The house declined %(num)s proposals.", count)
    if count := counts.get("commented", 0):
        yield ngettext("The house wrote a comment.", "The house wrote %(num)s comments.", count)
