"""The chain of events: nothing in it can be changed unseen, and nothing in it names anybody."""

# ruff: noqa: S608 - the names of tables and columns are this file's own

import json
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from sqlalchemy import Connection, create_engine, text

from portal.store import discussions, gigs, links, signoffs
from portal.store.accounts import bands
from portal.store.database.session import Session, Store
from portal.store.record import events
from portal.store.record.verify import verify
from tests import postgresql
from tests.builders import NOW, a_band, a_gig, a_link, a_plan, an_answer
from tests.store.test_migrations import REFUSED, fill

COLUMNS = ("gig_id", "kind", "party", "actor", "detail", "words_digest", "created", "before", "hash")


@contextmanager
def behind_its_back(store: Store) -> Iterator[Connection]:
    """A connection of somebody with the database in hand: no triggers, no keys."""
    if store.engine.dialect.name == "sqlite":
        engine = create_engine(store.engine.url)
        with engine.begin() as raw:
            for (name,) in raw.execute(text("SELECT name FROM sqlite_master WHERE type = 'trigger'")).all():
                raw.execute(text(f'DROP TRIGGER "{name}"'))
            yield raw
        engine.dispose()
        return
    with postgresql.as_superuser(store.engine.url.database) as raw:
        raw.execute(text("SET session_replication_role = replica"))
        triggers = text("SELECT tgname, tgrelid::regclass FROM pg_trigger WHERE NOT tgisinternal")
        for name, table in raw.execute(triggers).all():
            raw.execute(text(f"DROP TRIGGER {name} ON {table}"))
        yield raw


def faults(store: Store) -> tuple[str, ...]:
    with store.reading() as db:
        return verify(db).faults


def a_history(store: Store) -> None:
    """One of each thing that is noted."""
    with store.writing() as db:
        fill(db)
        band = a_band(db)
        gig = a_gig(db, band)
        link = a_link(db, gig, band)
        links.used(db, link, NOW)
        words = gigs.GigWords(
            "Harbour nights", gig.place, gig.on, gig.time_zone, gig.minutes, 60, "", gig.rig_id, gig.rig_revision_id
        )
        assert gigs.save(db, gig, 1, words, NOW, actor=f"user:{band.user_id}")
        proposal = discussions.propose(
            db, gig_id=gig.id, source="kick", resource="desk-channel", value="9", party="house", now=NOW
        )
        discussions.settle(db, proposal.id, "accepted", "band", NOW)
        plan = a_plan(db, gig)
        signer = signoffs.Signer("band", "Ada", "leader", user_id=band.user_id)
        signoffs.sign(db, plan, signer, statement_version="1", ticked=(), now=NOW)
        signoffs.withdraw(db, plan, signer, now=NOW)
        links.revoke(db, link, NOW, actor=f"user:{band.user_id}")
        assert gigs.cancel(db, gig, 2, NOW, actor=f"user:{band.user_id}")


def other_byte(value: object) -> object:
    """The value with one byte changed."""
    if isinstance(value, bytes):
        return bytes([value[0] ^ 1, *value[1:]])
    written = str(value)
    return (("1" if written[0] != "1" else "2") + written[1:]) if written else "x"


@pytest.mark.slow
def test_one_byte_changed_in_any_event_is_found(store: Store) -> None:
    """Whichever column of whichever event is changed by one byte, the walk along the chain says so; changed back, it is
    content.
    """
    a_history(store)
    assert faults(store) == ()
    tried = detected = 0
    with store.reading() as db:
        count = verify(db).events
    for position in range(1, count + 1):
        for column in COLUMNS:
            with behind_its_back(store) as raw:
                read = text(f'SELECT "{column}" FROM event WHERE position = :position')
                value = raw.execute(read, {"position": position}).scalar_one()
                if column == "created":
                    changed = value.replace("2026", "2025") if isinstance(value, str) else value.replace(year=2025)
                elif column == "party":
                    changed = "house" if value != "house" else "band"
                else:
                    changed = other_byte(value)
                write = text(f'UPDATE event SET "{column}" = :value WHERE position = :position')
                raw.execute(write, {"value": changed, "position": position})
            tried += 1
            detected += faults(store) != ()
            with behind_its_back(store) as raw:
                raw.execute(write, {"value": value, "position": position})
    print(f"\nevents={count} bytes_flipped={tried} detected={detected}/{tried}")  # noqa: T201 - shown with -s
    assert detected == tried
    assert count >= 15
    assert faults(store) == ()


def test_an_event_that_is_missing_is_found(store: Store) -> None:
    """An event taken out of the middle breaks the chain; one of a signature at the very end leaves its signature
    unaccounted for.
    """
    a_history(store)
    with store.writing() as db:
        band = a_band(db)
        gig = a_gig(db, band)
        signer = signoffs.Signer("band", "Ada", "leader", user_id=band.user_id)
        signoffs.sign(db, a_plan(db, gig, content_hash="c"), signer, statement_version="1", ticked=(), now=NOW)
        last = verify(db).events
    for position in (3, last):
        with behind_its_back(store) as raw:
            here = {"position": position}
            row = raw.execute(text("SELECT * FROM event WHERE position = :position"), here).mappings().one()
            raw.execute(text("DELETE FROM event WHERE position = :position"), here)
        assert faults(store) != ()
        with behind_its_back(store) as raw:
            columns = ", ".join(f'"{name}"' for name in row)
            values = ", ".join(f":{name}" for name in row)
            raw.execute(text(f"INSERT INTO event ({columns}) VALUES ({values})"), dict(row))
    assert faults(store) == ()


@pytest.mark.parametrize(
    ("table", "column"),
    [
        ("plan", "document"),
        ("plan", "heading"),
        ("plan", "content_hash"),
        ("paper", "content"),
        ("paper", "sha256"),
        ("signature", "content_hash"),
        ("signature", "ticked"),
        ("signature", "party"),
        ("signature", "statement_version"),
    ],
)
def test_one_byte_changed_in_what_was_signed_is_found(store: Store, table: str, column: str) -> None:
    """A plan, a paper or a signature that differs from what was stored is named."""
    a_history(store)
    with behind_its_back(store) as raw:
        value = raw.execute(text(f'SELECT "{column}" FROM {table} ORDER BY id LIMIT 1')).scalar_one()
        changed = {"party": "house" if value == "band" else "band"}.get(column, other_byte(value))
        first = f"(SELECT id FROM {table} ORDER BY id LIMIT 1)"
        raw.execute(text(f'UPDATE {table} SET "{column}" = :value WHERE id = {first}'), {"value": changed})
    assert any(fault.lower().startswith(table) for fault in faults(store))


@pytest.mark.parametrize("table", ["plan", "paper", "signature"])
def test_what_was_signed_cannot_disappear(store: Store, table: str) -> None:
    """A plan, a paper or a signature that is gone is missed."""
    a_history(store)
    with behind_its_back(store) as raw:
        raw.execute(text(f"DELETE FROM {table}"))
    assert any(fault.endswith("is gone.") for fault in faults(store))


def test_the_chain_names_nobody(store: Store) -> None:
    """Names, addresses, labels and words that people typed stand in no event."""
    with store.writing() as db:
        user = bands.add_user(db, email="canary@band.example", name="Canary Person", password_hash="x", now=NOW)
        band = bands.add_band(db, name="The Canary Band", owner_id=user.id, now=NOW)
        gig = a_gig(db, type(a_band(db))(band.id, user.id, user.email), name="Canary night", place="Canary hall")
        link = a_link(db, gig, type(a_band(db))(band.id, user.id, user.email))
        an_answer(db, gig.id, "contact-name", "Canary Person", link_id=link.id)
        discussions.say(
            db, gig_id=gig.id, party="house", author="Canary Person", words="Canary words", link_id=link.id, now=NOW
        )
        signer = signoffs.Signer("house", "Canary Person", "canary", link_id=link.id)
        signoffs.sign(db, a_plan(db, gig), signer, statement_version="1", ticked=(), now=NOW)
        words = gigs.GigWords(
            "Canary noon", gig.place, gig.on, gig.time_zone, {}, None, "", gig.rig_id, gig.rig_revision_id
        )
        gigs.save(db, gig, 1, words, NOW, actor=f"user:{user.id}")
    with store.reading() as db:
        rows = db.connection().execute(text("SELECT * FROM event")).fetchall()
    assert len(rows) >= 7
    assert "canary" not in json.dumps([list(map(str, row)) for row in rows]).lower()


def test_words_can_be_erased_and_the_chain_holds(store: Store) -> None:
    """What a gig was called before may be deleted; it may not be changed, neither through the portal nor behind its
    back.
    """
    a_history(store)
    with store.writing() as db:
        assert db.connection().execute(text("DELETE FROM event_words")).rowcount == 1
    assert faults(store) == ()
    a_history(store)
    error, words = REFUSED[store.engine.dialect.name]
    with pytest.raises(error, match=words), store.writing() as db:
        db.connection().execute(text("UPDATE event_words SET changes = '[]'"))
    with behind_its_back(store) as raw:
        raw.execute(text("UPDATE event_words SET changes = '[]'"))
    assert faults(store) != ()


def test_what_was_ticked_can_be_erased_and_not_changed(store: Store) -> None:
    """Without the words of what was ticked a signature still verifies; other words in their place are found, and so are
    words at a signature that holds its own, as older ones do.
    """
    with store.writing() as db:
        band = a_band(db)
        plan = a_plan(db, a_gig(db, band))
        for party, ticked in (("house", ("Ada sets the gain",)), ("band", ())):
            signer = signoffs.Signer(party, "Ada", "leader", user_id=band.user_id)
            signoffs.sign(db, plan, signer, statement_version="1", ticked=ticked, now=NOW)
        of_house, of_band = (row.id for row in signoffs.history(db, plan.gig_id))
    assert faults(store) == ()
    with behind_its_back(store) as raw:
        raw.execute(text("""UPDATE ticked_words SET words = '["Eli sets the gain"]'"""))
    assert faults(store) == (f"Signature {of_house} is not what was signed.",)
    with store.writing() as db:
        assert db.connection().execute(text("DELETE FROM ticked_words")).rowcount == 1
    assert faults(store) == ()
    with behind_its_back(store) as raw:
        raw.execute(text("INSERT INTO ticked_words VALUES (:id, '', '[]')"), {"id": of_band})
    assert faults(store) == (f"Signature {of_band} is not what was signed.",)


def test_a_signature_of_before_keeps_its_words(store: Store) -> None:
    """What was ticked stood in the signature itself: it is read as it was, and verifies."""
    with store.writing() as db:
        band = a_band(db)
        plan = a_plan(db, a_gig(db, band))
        row = signoffs.Signature(
            gig_id=plan.gig_id,
            plan_id=plan.id,
            content_hash=plan.content_hash,
            party="band",
            kind="signed",
            turn=0,
            signer_name="Ada",
            signer_role="leader",
            statement_version="1",
            ticked='["48 V by the house"]',
            user_id=band.user_id,
            created=NOW,
        )
        db.add(row)
        detail = {"signature": row.id, "digest": row.digest()}
        events.append(db, gig_id=plan.gig_id, kind="signed", party="band", actor="", now=NOW, detail=detail)
    assert faults(store) == ()
    with store.reading() as db:
        (kept,) = signoffs.history(db, plan.gig_id)
        assert signoffs.read_ticked(db, kept) == ("48 V by the house",)


def test_what_a_gig_was_is_told(db: Session) -> None:
    """A change names each field with what it was and what it became."""
    band = a_band(db)
    gig = a_gig(db, band)
    words = gigs.GigWords(
        "Harbour nights", gig.place, gig.on, gig.time_zone, {"doors": 1200}, 60, "", gig.rig_id, gig.rig_revision_id
    )
    assert gigs.save(db, gig, 1, words, NOW, actor="user:x")
    db.commit()
    told = events.of_gig(db, gig.id)[-1]
    assert told.event.kind == "gig-changed"
    assert told.changes == (
        ("name", "Harbour night", "Harbour nights"),
        ("time-load-in", "960", ""),
        ("time-doors", "1140", "1200"),
        ("time-set", "1260", ""),
        ("time-curfew", "1470", ""),
        ("set_minutes", "75", "60"),
    )
