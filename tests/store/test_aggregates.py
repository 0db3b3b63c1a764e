"""Each aggregate gives back what it was given, to its own band only."""

from datetime import timedelta
from threading import Thread

import pytest

from portal.plan.input.answer_kinds import NotAnAnswer
from portal.plan.input.facts import Answer, Lock
from portal.plan.model import NoPlan
from portal.store import answers, discussions, gigs, links, plans, rigs, signoffs
from portal.store.accounts import bands, sessions
from portal.store.database.session import Session, Store
from portal.store.record import form_keys
from tests.builders import NOW, a_band, a_gig, a_link, a_plan, a_rig, a_stored_rig


def test_a_rig_comes_back_as_it_went_in(db: Session) -> None:
    """A rig survives the way into the database and back, value by value."""
    band = a_band(db)
    rig = a_rig(bits={"di_active": 2, "xlr_5m": 4})
    stored = a_stored_rig(db, band, rig)
    assert rigs.newest(db, stored.id).read() == rig
    assert rigs.write(rigs.newest(db, stored.id).read()) == rigs.write(rig)


def test_saving_a_rig_needs_the_version_it_was_drawn_from(db: Session) -> None:
    """Of two people who edit the same version, the second is told; revisions count from 1 without gaps."""
    band = a_band(db)
    stored = a_stored_rig(db, band)
    first = rigs.save(db, stored, version=1, name="Club", rig=a_rig(name="one"), author_id=band.user_id, now=NOW)
    second = rigs.save(db, stored, version=1, name="Club", rig=a_rig(name="two"), author_id=band.user_id, now=NOW)
    assert first is not None
    assert first.number == 2
    assert second is None
    assert [revision.number for revision in rigs.revisions(db, stored.id)] == [2, 1]
    assert rigs.newest(db, stored.id).read().name == "one"


def test_another_band_sees_nothing(db: Session) -> None:
    """Rigs and gigs are found by their own band only."""
    ours, theirs = a_band(db), a_band(db)
    gig = a_gig(db, ours)
    assert gigs.get(db, ours.band_id, gig.id) is not None
    assert gigs.get(db, theirs.band_id, gig.id) is None
    assert gigs.of_band(db, theirs.band_id) == []
    assert rigs.get(db, theirs.band_id, gig.rig_id) is None
    assert rigs.of_band(db, theirs.band_id) == []


def test_a_gig_keeps_its_times_after_midnight(db: Session) -> None:
    """Half past one in the night after the gig's date is minute 1530, in and out."""
    gig = a_gig(db, a_band(db), times={"curfew": 1530, "doors": 1140})
    assert gig.minutes == {"doors": 1140, "curfew": 1530}


def test_saving_a_gig_needs_the_version_it_was_drawn_from(db: Session) -> None:
    """The second of two saves of one version changes nothing."""
    band = a_band(db)
    gig = a_gig(db, band)

    def words(name: str) -> gigs.GigWords:
        return gigs.GigWords(name, "Loft", gig.on, "Europe/Berlin", {}, None, "", gig.rig_id, gig.rig_revision_id)

    assert gigs.save(db, gig, 1, words("one"), NOW, actor="")
    assert not gigs.save(db, gig, 1, words("two"), NOW, actor="")
    assert not gigs.cancel(db, gig, 1, NOW, actor="")
    db.expire_all()
    assert gigs.get(db, band.band_id, gig.id).name == "one"


def test_the_newest_answer_counts(db: Session) -> None:
    """Answers pile up; the core gets the newest of each question, with who and when."""
    band = a_band(db)
    gig = a_gig(db, band)
    link = a_link(db, gig, band)
    for state, value in (("answered", 16), ("unknown", None), ("answered", 12)):
        answers.give(
            db, gig_id=gig.id, question="inputs-free", state=state, value=value, party="house", link_id=link.id, now=NOW
        )
    answers.give(
        db, gig_id=gig.id, question="pa", state="unknown", value=None, party="band", user_id=band.user_id, now=NOW
    )
    assert answers.current(db, gig.id) == {
        "inputs-free": Answer("answered", 12, "house", "2026-11-25"),
        "pa": Answer("unknown", None, "band", "2026-11-25"),
    }
    assert len(answers.history(db, gig.id)) == 4


def test_an_answer_that_its_question_refuses_is_not_stored(db: Session) -> None:
    """The question's own kind guards the way in, and on the way out unknown ones are left aside, not lost."""
    band = a_band(db)
    gig = a_gig(db, band)
    given = {"gig_id": gig.id, "party": "band", "user_id": band.user_id, "now": NOW}
    with pytest.raises(NotAnAnswer):
        answers.give(db, question="inputs-free", state="answered", value=1000, **given)
    db.add(
        answers.StoredAnswer(
            gig_id=gig.id,
            question="asked-by-a-later-version",
            given='{"state":"answered","value":"x"}',
            party="band",
            user_id=band.user_id,
            created=NOW,
        )
    )
    db.flush()
    assert answers.current(db, gig.id) == {}
    assert [row.question for row in answers.newest(db, gig.id)] == ["asked-by-a-later-version"]


def test_a_link_lives_until_it_expires_or_is_revoked(db: Session) -> None:
    """Revoking one link leaves the others alone, and its first time stands."""
    band = a_band(db)
    gig = a_gig(db, band)
    one = a_link(db, gig, band, token_hash="one", powers=("sign", "view"))
    two = a_link(db, gig, band, token_hash="two")
    assert (one.powers, one.may("view"), one.may("answer")) == ("view sign", True, False)
    assert one.live(NOW)
    assert not one.live(one.expires)
    links.revoke(db, one, NOW, actor="")
    links.revoke(db, one, NOW + timedelta(days=1), actor="")
    db.expire_all()
    assert links.by_token_hash(db, "one").revoked_at == NOW
    assert links.by_token_hash(db, "two").live(NOW)
    assert {link.id for link in links.of_gig(db, gig.id)} == {one.id, two.id}


def test_a_proposal_is_settled_once(db: Session) -> None:
    """An accepted proposal is a lock until it is released; a settled one cannot be settled again."""
    gig = a_gig(db, a_band(db))
    proposal = discussions.propose(
        db, gig_id=gig.id, source="kick", resource="desk-channel", value="9", party="house", now=NOW
    )
    assert discussions.locks(db, gig.id) == ()
    assert discussions.settle(db, proposal.id, "accepted", "band", NOW)
    assert not discussions.settle(db, proposal.id, "declined", "band", NOW)
    db.expire_all()
    assert discussions.locks(db, gig.id) == (Lock("kick", "desk-channel", "9", "house", "band"),)
    assert discussions.release(db, proposal.id, NOW)
    assert not discussions.release(db, proposal.id, NOW)
    db.expire_all()
    assert discussions.locks(db, gig.id) == ()


def test_plans_count_per_gig(db: Session) -> None:
    """Each gig counts its plans from 1, and a stored plan reads back in the core's words."""
    band = a_band(db)
    one, two = a_gig(db, band), a_gig(db, band)
    assert [a_plan(db, one).number, a_plan(db, one).number, a_plan(db, two).number] == [1, 2, 1]
    newest = plans.newest(db, one.id)
    assert newest.number == 2
    assert isinstance(newest.read(), NoPlan)
    assert plans.get(db, two.id, newest.id) is None


def test_signing_twice_is_one_signature(db: Session) -> None:
    """The same content signed again is the same row; after a withdrawal it can be signed anew."""
    band = a_band(db)
    gig = a_gig(db, band)
    plan = a_plan(db, gig)
    signer = signoffs.Signer("band", "Ada", "leader", user_id=band.user_id)

    def sign() -> signoffs.Signature:
        return signoffs.sign(db, plan, signer, statement_version="1", ticked=("48 V by the house",), now=NOW)

    assert signoffs.withdraw(db, plan, signer, now=NOW) is None
    first = sign()
    assert sign().id == first.id
    assert signoffs.read_ticked(db, first) == ("48 V by the house",)
    assert signoffs.standing(db, gig.id, "band").id == first.id
    assert signoffs.standing(db, gig.id, "house") is None
    assert signoffs.withdraw(db, plan, signer, now=NOW) is not None
    assert signoffs.withdraw(db, plan, signer, now=NOW) is None
    assert signoffs.standing(db, gig.id, "band") is None
    assert sign().id != first.id
    assert [row.kind for row in signoffs.history(db, gig.id)] == ["signed", "withdrawn", "signed"]


def test_a_newer_signature_does_not_hide_behind_an_older_withdrawal(db: Session) -> None:
    """Withdrawing the older of two signed plans leaves the newer one standing."""
    band = a_band(db)
    gig = a_gig(db, band)
    signer = signoffs.Signer("band", "Ada", "leader", user_id=band.user_id)
    old, new = a_plan(db, gig, content_hash="a"), a_plan(db, gig, content_hash="b")
    for plan in (old, new):
        signoffs.sign(db, plan, signer, statement_version="1", ticked=(), now=NOW)
    signoffs.withdraw(db, old, signer, now=NOW)
    assert signoffs.standing(db, gig.id, "band").content_hash == "b"


def test_a_session_ends_by_time_or_by_hand(db: Session) -> None:
    """A session is found while it is fresh, used and of the right kind."""
    band = a_band(db)
    day = timedelta(days=1)
    sessions.start_for_user(db, "one", band.user_id, now=NOW, expires=NOW + 10 * day)

    def found(later: timedelta, kind: str = "user") -> bool:
        return sessions.find(db, "one", kind, now=NOW + later, idle=5 * day) is not None

    assert found(day)
    assert not found(day, kind="link")
    assert not found(6 * day)
    sessions.update_last_seen(db, "one", NOW + 4 * day)
    db.expire_all()
    assert found(6 * day)
    assert not found(11 * day)
    sessions.start_for_user(db, "two", band.user_id, now=NOW, expires=NOW + 10 * day)
    sessions.end_of_user(db, band.user_id, but="two")
    assert not found(day)


def test_old_form_keys_are_forgotten(db: Session) -> None:
    """A key is recognised for its time, and cleared away after it."""

    def keep(key: str, later: timedelta) -> None:
        form_keys.keep(
            db,
            form_keys.FormKey(key=key, actor="a", route="/r", fingerprint="f", location="/", created=NOW + later),
        )

    keep("old", timedelta())
    assert form_keys.find(db, "old", "a", "/r") is not None
    assert form_keys.find(db, "old", "b", "/r") is None
    keep("new", timedelta(days=1))
    form_keys.forget_old(db, NOW + form_keys.KEPT + timedelta(hours=1))
    db.expire_all()
    assert form_keys.find(db, "new", "a", "/r") is not None
    assert form_keys.find(db, "old", "a", "/r") is None


def test_an_address_is_the_same_in_capitals(db: Session) -> None:
    """Somebody who types the address in capitals finds the same account."""
    user = bands.add_user(db, email="Bo@Band.Example", name="Bo", password_hash="x", now=NOW)
    assert bands.user_by_email(db, "BO@band.example").id == user.id


def test_writers_wait_for_each_other(store: Store) -> None:
    """Four writers that read, add one and write lose nothing."""
    with store.writing() as db:
        band = a_band(db)
        rig_id = a_stored_rig(db, band).id

    def add() -> None:
        for _ in range(5):
            with store.writing() as db:
                stored = rigs.get(db, band.band_id, rig_id)
                assert rigs.save(
                    db,
                    stored,
                    version=stored.version,
                    name="Club",
                    rig=a_rig(),
                    author_id=band.user_id,
                    now=NOW,
                )

    threads = [Thread(target=add) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with store.reading() as db:
        assert rigs.get(db, band.band_id, rig_id).version == 21
        assert rigs.newest(db, rig_id).number == 21


def test_a_block_that_fails_keeps_nothing(store: Store) -> None:
    """An error inside a writing block undoes all of it."""

    def fail() -> None:
        with store.writing() as db:
            a_band(db)
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fail()
    with store.reading() as db:
        assert db.connection().exec_driver_sql("SELECT count(*) FROM band").scalar() == 0
