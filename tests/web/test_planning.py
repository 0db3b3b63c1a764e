"""A change asks for the plan, a solver works it out, and it is kept where the gig still is what it was solved for."""

import inspect
from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from datetime import timedelta
from itertools import chain, repeat

import pytest

from portal.advance import planning
from portal.advance.planning import Ground, ground, stands, want
from portal.advance.solver.process import Busy, Crashed, TooLong
from portal.jobs.planning import PLANNING
from portal.plan import reconcile
from portal.plan.input.facts import Answer, Lock
from portal.plan.input.rig import Configuration
from portal.store import discussions, gigs
from portal.store import planning as rows
from portal.store.database.scopes import EVERYTHING
from portal.store.database.session import Session
from portal.store.record.verify import verify
from portal.web.frame import deps
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_gig, a_rig, an_answer
from tests.planning import SOLVER, AtOnce
from tests.web.conftest import ORIGIN, Browser
from tests.web.planned import Planned, prepare, words_of
from tests.web.world import finished


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def give(db: Session, planned: Planned, value: int, question: str = "inputs-free") -> None:
    an_answer(db, planned.gig.id, question, value, link_id=planned.link.id)


def change(planned: Planned, value: int = 3) -> None:
    """The house says another number, and nobody has planned with it yet."""
    with planned.portal.store.writing() as db:
        give(db, planned, value)
        want(db, gigs.of_link(db, planned.gig.id), NOW + timedelta(hours=1))


def row_of(planned: Planned) -> rows.Planning:
    with planned.portal.store.reading() as db:
        found = rows.of_gig(db, planned.gig.id)
        assert found is not None
        return found


# --- how long the answer to a form waits for it


class Waits(AtOnce):
    """Notes who waits for which plans, and how many seconds at most."""

    def __init__(self) -> None:
        super().__init__()
        self.heard: list[tuple[Sequence[str], float]] = []

    async def soon(self, hands: object, gig_ids: Sequence[str], wait_s: float) -> None:  # noqa: ARG002
        self.heard.append((gig_ids, wait_s))


@pytest.mark.parametrize(
    ("took_s", "large", "waits"),
    [(0.05, False, True), (0.15, False, False), (0.05, True, False)],
    ids=["it may be there by then", "the form itself took its time", "it takes longer anyway"],
)
def test_a_form_waits_only_for_a_plan_that_comes_soon(
    planned: Planned, monkeypatch: pytest.MonkeyPatch, took_s: float, *, large: bool, waits: bool
) -> None:
    """What the form took itself is taken off the time, and a plan that takes longer than what is left is not waited
    for.
    """
    heard = Waits()
    planned.house.client.app.state.portal = replace(planned.portal, jobs=heard)
    moments = chain([100.0], repeat(100.0 + took_s))
    page = f"{planned.house_base}/questions/inputs"
    form = {**planned.house.hidden(page), "inputs-free": "6"}
    monkeypatch.setattr(deps, "monotonic", lambda: next(moments))
    monkeypatch.setattr(planning, "seconds", lambda _wish: 3.0 if large else 0.1)
    assert planned.house.client.post(page, data=form, headers={"Origin": ORIGIN}).status_code == 303
    [(gig_ids, wait_s)] = heard.heard
    assert gig_ids == ([planned.gig.id] if waits else [])
    assert wait_s == pytest.approx(deps.ANSWER_S - took_s)


# --- what a plan is asked for by


def digest(found: Ground) -> str:
    return found.wish.digest


def a_ground(store_session: Session, planned: Planned) -> Ground:
    return ground(store_session, gigs.of_link(store_session, planned.gig.id))


def test_any_input_changes_the_digest(planned: Planned) -> None:
    """Rig, variant, each part of an answer, each part of an agreement, each part of the heading and the engine: with
    another one the digest is another. The engine reads nothing else.
    """
    assert list(inspect.signature(reconcile).parameters) == ["rig", "answers", "locks"]
    with planned.portal.store.reading() as db:
        found = a_ground(db, planned)
    lock = Lock("kick", "desk-channel", "3", "band", "house")
    answer = Answer("answered", 8, "house", "2026-11-25")
    basis = replace(found.basis, answers={"inputs-free": answer}, locks=(lock,))
    one = replace(found, basis=basis)
    others = [
        replace(one, basis=replace(basis, rig_revision_id="another")),
        replace(one, configuration="small"),
        replace(one, basis=replace(basis, answers={})),
        replace(one, basis=replace(basis, answers={"pa": answer})),
        replace(one, basis=replace(basis, locks=())),
    ]
    for name, value in (("state", "unknown"), ("value", 9), ("by", "band"), ("on", "2026-11-26")):
        others.append(replace(one, basis=replace(basis, answers={"inputs-free": replace(answer, **{name: value})})))
    locks = [replace(lock, **{field.name: "other"}) for field in fields(Lock)]
    others += [replace(one, basis=replace(basis, locks=(other,))) for other in locks]
    others += [replace(one, heading=replace(one.heading, **{field.name: "other"})) for field in fields(one.heading)]
    found_digests = [digest(one), *map(digest, others)]
    assert len(set(found_digests)) == len(found_digests) == 6 + 4 + len(fields(Lock)) + len(fields(one.heading))
    # Which answer was stored first says nothing.
    two = {"inputs-free": answer, "pa": Answer("answered", "stereo", "house")}
    assert digest(replace(one, basis=replace(basis, answers=two))) == digest(
        replace(one, basis=replace(basis, answers=dict(reversed(two.items()))))
    )


def test_another_engine_is_another_digest(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> None:
    """With new rules what was planned before no longer stands as planned."""
    with planned.portal.store.reading() as db:
        found = a_ground(db, planned)
        before = digest(found)
        monkeypatch.setattr(planning, "ENGINE", "of tomorrow")
        assert digest(found) != before
        assert not stands(db, planned.gig)


def test_what_is_read_tonight_is_in_the_digest(portal: Portal, band: ABand) -> None:
    """From the database: a variant of the rig, a name and an agreement each ask again; free words and times do not."""
    with portal.store.writing() as db:
        rig = replace(a_rig(), configurations={"small": Configuration(("keys",))})
        gig = a_gig(db, band, rig=rig)
        seen = [digest(ground(db, gig))]

        def note() -> str:
            seen.append(digest(ground(db, gig)))
            return seen[-1]

        gig.times = '{"set":1200}'
        assert note() == seen[0]
        an_answer(db, gig.id, "contact-name", "Bo", party="band", user_id=band.user_id)
        assert note() == seen[0]
        gig.configuration = "small"
        note()
        gig.name = "Another"
        note()
        row = discussions.propose(
            db, gig_id=gig.id, source="kick", resource="desk-channel", value="3", party="band", author="", now=NOW
        )
        discussions.settle(db, row.id, "accepted", "house", NOW, author="")
        db.expire_all()
        note()
        assert len(set(seen[2:])) == len(seen[2:])


def test_asking_is_part_of_the_change(planned: Planned) -> None:
    """A change that is undone asks for nothing."""
    before = row_of(planned)
    with planned.portal.store.open(EVERYTHING, to_write=True) as db:
        give(db, planned, 5)
        want(db, planned.gig, NOW)
        assert rows.behind(db, planned.gig.id)
        db.rollback()
    assert row_of(planned) == before


def test_back_to_what_is_planned_needs_no_plan(planned: Planned) -> None:
    """Whoever takes a change back before it was planned finds the plan in order."""
    with planned.portal.store.writing() as db:
        gig = gigs.of_link(db, planned.gig.id)
        gig.name = "Another"
        want(db, gig, NOW)
        assert rows.due(db) == [gig.id]
        gig.name = planned.gig.name
        want(db, gig, NOW)
        assert rows.due(db) == []
        assert stands(db, gig)


# --- compare and set


class Meanwhile:
    """A solver during whose work something happens."""

    def __init__(self, *deeds: Callable[[], None]) -> None:
        self.deeds = list(deeds)
        self.asked = 0

    def ask(self, wish: object, limit_s: float = 0.0) -> object:
        del limit_s
        self.asked += 1
        if self.deeds:
            self.deeds.pop(0)()
        return SOLVER.ask(wish)


def with_solver(planned: Planned, solver: object) -> Portal:
    return replace(planned.portal, solvers=solver)


def work_off(portal: Portal) -> None:
    jobs = portal.jobs
    assert isinstance(jobs, AtOnce)
    finished(jobs.work_off(portal, PLANNING))


def test_a_change_meanwhile_is_planned_and_the_old_one_is_not_kept(planned: Planned) -> None:
    """What was solved for a gig that has changed is thrown away; the next round answers the gig as it is."""
    before = planned.newest().number
    change(planned, 5)
    solver = Meanwhile(lambda: change(planned, 3))
    work_off(with_solver(planned, solver))
    newest = planned.newest()
    assert solver.asked == 2
    assert (newest.number, newest.read_answers()["inputs-free"].value) == (before + 1, 3)
    assert not row_of(planned).behind
    with planned.portal.store.reading() as db:
        assert verify(db).faults == ()


def test_a_change_that_nobody_asked_for_is_planned_too(planned: Planned) -> None:
    """Compare and set looks at the gig itself, not at what was noted of it."""
    change(planned, 5)

    def unasked() -> None:
        with planned.portal.store.writing() as db:
            give(db, planned, 4)

    work_off(with_solver(planned, Meanwhile(unasked)))
    assert planned.newest().read_answers()["inputs-free"].value == 4
    assert not row_of(planned).behind


def test_who_keeps_typing_gives_the_turn_back(planned: Planned) -> None:
    """After three rounds in a row others have their turn, nothing is kept, and the gig is still due."""
    before = planned.newest().number
    change(planned, 1)
    solver = Meanwhile(*[lambda value=value: change(planned, value) for value in (2, 3, 4, 5, 6)])
    assert finished(PLANNING.do(with_solver(planned, solver), planned.gig.id)) > 0
    assert solver.asked == 3
    assert planned.newest().number == before
    with planned.portal.store.reading() as db:
        assert rows.due(db) == [planned.gig.id]


def test_done_twice_it_is_there_once(planned: Planned) -> None:
    """The job does nothing where nothing is wanted; a plan that differs in nothing is not stored again."""
    before = planned.newest().number
    work_off(planned.portal)
    assert finished(PLANNING.do(planned.portal, planned.gig.id)) == 0
    with planned.portal.store.writing() as db:
        want(db, planned.gig, NOW, again=True)
    work_off(planned.portal)
    assert planned.newest().number == before
    assert not row_of(planned).behind


class Fails:
    """A solver that ends so often with a fault, and then works."""

    def __init__(self, error: type[Exception], times: int) -> None:
        self.error, self.left = error, times

    def ask(self, wish: object, limit_s: float = 0.0) -> object:
        del limit_s
        self.left -= 1
        if self.left >= 0:
            raise self.error
        return SOLVER.ask(wish)


@pytest.mark.parametrize(
    ("error", "times", "fault"),
    [(Crashed, 2, ""), (Crashed, 3, "crashed"), (TooLong, 1, "too-long"), (Busy, 3, "")],
)
def test_a_solver_that_ends_is_tried_again(planned: Planned, error: type[Exception], times: int, fault: str) -> None:
    """Two crashes cost nothing, three give the plan up, and so does the deadline; a solver without time is asked again.
    Whoever asks again, or changes something, has it tried anew.
    """
    change(planned, 5)
    portal = with_solver(planned, Fails(error, times))
    for _ in range(times + 1):
        finished(PLANNING.do(portal, planned.gig.id))
    assert row_of(planned).fault == fault
    assert row_of(planned).behind == bool(fault)
    if fault:
        with planned.portal.store.reading() as db:
            assert rows.due(db) == []
        words = words_of(planned.band.get(f"{planned.gigs_base}/plan").text)
        assert "The plan could not be worked out again; this is revision 1. Why:" in words
        assert "Go to the sign-off" not in words
        page = f"{planned.gigs_base}/plan"
        assert planned.band.send(f"{page}/again", page=page).status_code == 303
        assert planned.newest().number == 2
        assert not row_of(planned).behind
