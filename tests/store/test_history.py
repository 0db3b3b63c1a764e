"""The history that a chain tells can have happened: each mistake that a writer could make is found."""

import json
from collections.abc import Callable

import pytest
from sqlalchemy import insert, text
from sqlmodel import Session, col, select

from portal.store import plans
from portal.store.database import scopes
from portal.store.database.session import Store
from portal.store.record import events
from portal.store.record.events import Event
from tests.builders import NOW, a_band, a_gig, a_link, a_plan, an_answer
from tests.store import history
from tests.store.test_events import a_history, behind_its_back
from tests.store.test_events import faults as verified

Change = Callable[[list[Event]], list[Event]]


def faults(store: Store) -> list[str]:
    with store.reading() as db:
        return history.faults(db)


def place(told: list[Event], kind: str) -> int:
    """Where the last event of a kind stands."""
    return max(number for number, row in enumerate(told) if row.kind == kind)


def without(kind: str) -> Change:
    return lambda told: [row for number, row in enumerate(told) if number != place(told, kind)]


def twice(kind: str) -> Change:
    return lambda told: [*told, told[place(told, kind)]]


def swapped(first: str, second: str) -> Change:
    """The last events of two kinds in each other's place."""

    def change(told: list[Event]) -> list[Event]:
        one, other = place(told, first), place(told, second)
        moved = list(told)
        moved[one], moved[other] = told[other], told[one]
        return moved

    return change


def answers_swapped(told: list[Event]) -> list[Event]:
    numbers = [number for number, row in enumerate(told) if row.kind == "answered"][-2:]
    moved = list(told)
    moved[numbers[0]], moved[numbers[1]] = told[numbers[1]], told[numbers[0]]
    return moved


def elsewhere(kind: str) -> Change:
    """The last event of a kind told of another gig."""

    def change(told: list[Event]) -> list[Event]:
        row = told[place(told, kind)]
        other = next(one.gig_id for one in told if one.gig_id != row.gig_id)
        return [Event(**{**one.model_dump(), "gig_id": other}) if one is row else one for one in told]

    return change


def another_number(told: list[Event]) -> list[Event]:
    row = told[place(told, "planned")]
    detail = json.dumps({**row.read(), "plan": "9"}, separators=(",", ":"))
    return [Event(**{**one.model_dump(), "detail": detail}) if one is row else one for one in told]


PLANTED: dict[str, Change] = {
    "an event lost": without("answered"),
    "a plan's event lost": without("planned"),
    "the last event lost": lambda told: told[:-1],
    "an answer told twice": twice("answered"),
    "a plan told twice": twice("planned"),
    "a signature told twice": twice("signed"),
    "a link used once more after it was revoked": twice("link-used"),
    "signed before it was planned": swapped("planned", "signed"),
    "withdrawn before it was signed": swapped("signed", "withdrawn"),
    "settled before it was proposed": swapped("proposed", "proposal-accepted"),
    "two answers in each other's place": answers_swapped,
    "an answer told of another gig": elsewhere("answered"),
    "a signature told of another gig": elsewhere("signed"),
    "a gap in the numbers of plans": another_number,
}


@pytest.fixture
def told(store: Store) -> Store:
    """A history in which every kind of thing happened."""
    a_history(store)
    with store.writing() as db:
        band = a_band(db)
        gig = a_gig(db, band)
        link = a_link(db, gig, band)
        for value in (8, 9):
            an_answer(db, gig.id, "inputs-free", value, link_id=link.id)
    assert faults(store) == []
    return store


def retell(store: Store, change: Change) -> None:
    """Write another history, as a chain that holds: places and hashes are made anew."""
    with store.reading() as db:
        changed = change(list(db.exec(select(Event).order_by(col(Event.position)))))
    before, rows = events.START, []
    for position, row in enumerate(changed, start=1):
        made = Event(**{**row.model_dump(), "position": position, "before": before, "hash": "", "words_digest": ""})
        made.hash = before = made.expected_hash()
        rows.append(made.model_dump())
    with behind_its_back(store) as raw:
        for table in ("event_words", "event"):
            raw.execute(text(f"DELETE FROM {table}"))  # noqa: S608 - names of this file
        raw.execute(text("UPDATE chain_head SET position = :end, hash = :hash"), {"end": len(rows), "hash": before})
    with store.open(scopes.EVERYTHING, to_write=True) as db:
        db.connection().execute(insert(Event), rows)
        db.commit()


def test_the_same_history_told_anew_is_whole(told: Store) -> None:
    """To write it anew changes nothing: what is found below is the planted mistake."""
    retell(told, list)
    assert faults(told) == []


@pytest.mark.parametrize("mistake", PLANTED)
def test_each_planted_mistake_is_found(told: Store, mistake: str) -> None:
    """A chain whose hashes hold and that tells what cannot have happened, or what did not, is found out."""
    retell(told, PLANTED[mistake])
    with told.reading() as db:
        assert events.broken(events.everything(db)) == []
    assert faults(told) != []


def test_a_gap_in_the_chain_is_found(told: Store) -> None:
    """A place that was left out breaks the chain, though all that is there holds."""
    with behind_its_back(told) as raw:
        raw.execute(text("UPDATE event SET position = position + 1 WHERE position = (SELECT max(position) FROM event)"))
    assert faults(told) != []
    assert verified(told) != ()


def test_an_end_that_was_cut_off_is_found(told: Store) -> None:
    """The head says where the chain ended: whoever takes the last event away has to change it too."""
    with behind_its_back(told) as raw:
        raw.execute(text("DELETE FROM event WHERE position = (SELECT max(position) FROM event)"))
    with told.reading() as db:
        assert events.broken(events.everything(db)) == []
    assert "The chain does not end where its head says." in verified(told)


def early(db: Session, **given: object) -> None:
    """Notes an event at once, behind the one that stands last when it is noted."""
    position, before = events.head(db)
    event = Event(position=position + 1, before=before, words_digest="", hash="", party="house", actor="", **given)
    event.hash = event.expected_hash()
    db.add(event)
    db.flush()


def test_an_event_written_early_is_found(told: Store) -> None:
    """A writer that does not leave its events to the end of the transaction breaks the chain or its head."""
    with told.writing() as db:
        gig = a_gig(db, a_band(db))
    with told.writing(scopes.gig(gig.id)) as db:
        early(db, gig_id=gig.id, kind="answers-sent", detail="{}", created=NOW)
    assert faults(told) != []


def test_a_row_that_nothing_tells_of_is_found(told: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """A writer that keeps a plan and notes nothing leaves a row that the chain does not know."""
    with told.writing() as db:
        gig = a_gig(db, a_band(db))
    monkeypatch.setattr(plans.events, "append", lambda *_anything, **_more: None)
    with told.writing(scopes.gig(gig.id)) as db:
        a_plan(db, gig)
    assert faults(told) == ["plans and events differ"]
