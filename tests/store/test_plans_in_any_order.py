"""Whatever is said, agreed, changed, planned, signed and killed in whatever order: a plan that counts is of what the
gig says, nobody signs any other, and the record tells each thing once.
"""

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from portal.advance import planning
from portal.advance.planning import Work
from portal.advance.solver.wishes import PlanMade
from portal.store import answers, discussions, gigs, plans, signoffs
from portal.store import planning as rows
from portal.store.database import scopes, session
from portal.store.database.session import Session, Store
from tests.builders import NOW, a_band, a_gig, a_link, an_answer
from tests.store import history

QUICK = settings(max_examples=8, stateful_step_count=20, derandomize=True)
LONG = settings(max_examples=300, stateful_step_count=40)


def made_of(work: Work) -> PlanMade:
    """A result that says what it was made of, in place of a solve: that nothing fits is the shortest one."""
    digest = sha256(repr(work.wish).encode()).hexdigest()
    document = (
        f'{{"schema":1,"status":"no-plan","sentence":"{digest}","conflicts":[],"remedies":[],"assumed":[],'
        '"limit_reached":false,"engine":"1"}'
    )
    return PlanMade(document, digest, "nothing fits")


def machine(store: Store) -> type[RuleBasedStateMachine]:  # noqa: C901 - one rule after another
    class OneGig(RuleBasedStateMachine):
        """One gig with two sides, and up to two solvers at work for it."""

        def __init__(self) -> None:
            super().__init__()
            with store.writing() as db:
                band = a_band(db)
                self.gig_id = a_gig(db, band).id
                self.link = a_link(db, gigs.of_link(db, self.gig_id), band)
                self.user = f"user:{band.user_id}"
                planning.want(db, gigs.of_link(db, self.gig_id), NOW)
            self.works: list[Work] = []
            self.signed: list[tuple[str, str]] = []

        @contextmanager
        def deed(self) -> Iterator[Session]:
            """A change with what it asks for, in one transaction."""
            with store.writing(scopes.gig(self.gig_id)) as db:
                yield db
                planning.want(db, gigs.of_link(db, self.gig_id), NOW)

        @rule(value=st.integers(4, 9))
        def answer(self, value: int) -> None:
            with self.deed() as db:
                an_answer(db, self.gig_id, "inputs-free", value, link_id=self.link.id)

        @rule(channel=st.integers(1, 6))
        def agree(self, channel: int) -> None:
            with self.deed() as db:
                proposal = discussions.propose(
                    db,
                    gig_id=self.gig_id,
                    source="kick",
                    resource="desk-channel",
                    value=str(channel),
                    party="house",
                    now=NOW,
                )
                discussions.settle(db, proposal.id, "accepted", "band", NOW)

        @rule(name=st.sampled_from(["Harbour night", "Harbour nights"]))
        def rename(self, name: str) -> None:
            with self.deed() as db:
                gig = gigs.of_link(db, self.gig_id)
                words = gigs.GigWords(
                    name, gig.place, gig.on, gig.time_zone, gig.minutes, 75, "", gig.rig_id, gig.rig_revision_id
                )
                assert gigs.save(db, gig, gig.version, words, NOW, actor=self.user)

        @rule()
        def begun_and_undone(self) -> None:
            """A change whose transaction fails leaves neither an answer nor a wish."""
            with store.open(scopes.gig(self.gig_id), to_write=True) as db:
                answers.send(db, self.gig_id, self.link.id, NOW)
                planning.want(db, gigs.of_link(db, self.gig_id), NOW, again=True)
                db.rollback()

        @precondition(lambda self: len(self.works) < 2)
        @rule()
        def a_solver_reads(self) -> None:
            with store.reading() as db:
                work = planning.work_of(db, self.gig_id)
            if work is not None:
                self.works.append(work)

        @precondition(lambda self: self.works)
        @rule(data=st.data())
        def a_solver_ends(self, data: st.DataObject) -> None:
            work = self.works.pop(data.draw(st.integers(0, len(self.works) - 1)))
            with store.writing(scopes.gig(self.gig_id)) as db:
                planning.keep(db, self.gig_id, work, made_of(work), NOW)

        @precondition(lambda self: self.works)
        @rule()
        def killed(self) -> None:
            """The process dies with its solvers: what they worked on is lost."""
            self.works.clear()

        @rule(party=st.sampled_from(["band", "house"]))
        def sign(self, party: str) -> None:
            """As the page does: only what stands is signed."""
            with store.writing(scopes.gig(self.gig_id)) as db:
                newest = plans.newest(db, self.gig_id)
                if newest is None or not planning.stands(db, gigs.of_link(db, self.gig_id)):
                    return
                found = planning.ground(db, gigs.of_link(db, self.gig_id))
                before = len(signoffs.history(db, self.gig_id))
                by = {"link_id": self.link.id} if party == "house" else {"user_id": self.user.removeprefix("user:")}
                signer = signoffs.Signer(party, "Ada", "leader", **by)
                signoffs.sign(db, newest, signer, statement_version="1", ticked=(), now=NOW)
                if len(signoffs.history(db, self.gig_id)) > before:
                    self.signed.append((newest.content_hash, made_of(Work(wish_of(found), "")).content_hash))

        @invariant()
        def what_counts_is_of_what_the_gig_says(self) -> None:
            with store.reading() as db:
                row, newest = rows.of_gig(db, self.gig_id), plans.newest(db, self.gig_id)
                gig = gigs.of_link(db, self.gig_id)
                found = planning.ground(db, gig)
                assert row is not None
                assert row.wanted == found.wish.digest, "a change that nobody asked the plan of"
                if row.wanted == row.done:
                    assert newest is not None
                    assert newest.content_hash == made_of(Work(wish_of(found), "")).content_hash, "another gig's plan"
                assert planning.stands(db, gig) == (row.wanted == row.done)

        @invariant()
        def only_what_stood_is_signed(self) -> None:
            assert [hashed for hashed, _ in self.signed] == [meant for _, meant in self.signed], "signed what it is not"

        def teardown(self) -> None:
            """Whatever was killed or overtaken, the plan is there in the end, once; and the record can be so."""
            for _ in range(3):
                self.works.clear()
                self.a_solver_reads()
                if not self.works:
                    break
                with store.writing(scopes.gig(self.gig_id)) as db:
                    assert planning.keep(db, self.gig_id, self.works[0], made_of(self.works[0]), NOW)
            self.what_counts_is_of_what_the_gig_says()
            with store.reading() as db:
                assert rows.due(db) == []
                numbers = [row.number for row in plans.revisions(db, self.gig_id)]
                assert numbers == list(range(len(numbers), 0, -1))
                assert history.faults(db) == []

    return OneGig


def wish_of(found: planning.Ground) -> planning.PlanWish:
    return planning.PlanWish(found.texts, found.heading)


@pytest.fixture
def _no_waiting_for_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody cuts the power between these transactions."""
    monkeypatch.setattr(
        session, "PRAGMAS", tuple(one.replace("synchronous=FULL", "synchronous=OFF") for one in session.PRAGMAS)
    )


@pytest.fixture
def store(empty_database: Path, tmp_path: Path, _no_waiting_for_the_disk: None) -> Iterator[Store]:
    opened = session.open_store(Path(shutil.copy(empty_database, tmp_path / "portal.sqlite3")))
    yield opened
    opened.close()


def run(store: Store, how: settings) -> None:
    quiet = list(HealthCheck)
    run_state_machine_as_test(
        machine(store),
        settings=settings(how, deadline=None, database=None, suppress_health_check=quiet, print_blob=False),
    )


def test_a_gig_in_any_order(store: Store) -> None:
    """In every order of answering, agreeing, renaming, solving, being killed and signing, plan and record are true."""
    run(store, QUICK)


@pytest.mark.soak
def test_a_gig_in_any_order_for_long(store: Store) -> None:
    """The same for many more orders, others each time."""
    run(store, LONG)


def kept_without_comparing(planted: pytest.MonkeyPatch) -> None:
    """A solver's result is kept whatever the gig says by then."""
    keep = planning.keep
    planted.setattr(
        planning,
        "keep",
        lambda db, gig_id, work, made, now: keep(
            db, gig_id, replace(work, digest=planning.ground(db, gigs.of_link(db, gig_id)).wish.digest), made, now
        ),
    )


def signed_without_comparing(planted: pytest.MonkeyPatch) -> None:
    """The newest plan is signed whether or not it is of what the gig says."""
    planted.setattr(planning, "stands", lambda *_anything: True)


def asked_before_the_commit(planted: pytest.MonkeyPatch) -> None:
    """What is wanted is noted of the gig as it was before the change."""
    want = rows.want

    def once(db, gig_id: str, *more: object, **named: object) -> bool:
        return rows.of_gig(db, gig_id) is None and want(db, gig_id, *more, **named)

    planted.setattr(rows, "want", once)


def told_twice(planted: pytest.MonkeyPatch) -> None:
    """A plan's event is noted twice."""
    append = plans.events.append

    def twice(db, **given: object) -> None:
        for _ in range(1 + (given["kind"] == "planned")):
            append(db, **given)

    planted.setattr(plans.events, "append", twice)


Bug = Callable[[pytest.MonkeyPatch], None]

PLANTED = (kept_without_comparing, signed_without_comparing, asked_before_the_commit, told_twice)


@pytest.mark.slow
@pytest.mark.parametrize("bug", PLANTED, ids=[re.sub("_", " ", one.__name__) for one in PLANTED])
def test_each_planted_mistake_is_found(store: Store, monkeypatch: pytest.MonkeyPatch, bug: Bug) -> None:
    """A writer that compares nothing, asks too early or tells twice is found by the same machine."""
    bug(monkeypatch)
    # It ends with the first order that shows it; which one that is changes with every change of the machine.
    with pytest.raises(AssertionError):
        run(store, settings(QUICK, max_examples=200, phases=[Phase.generate], report_multiple_bugs=False))
