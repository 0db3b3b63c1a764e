"""No page that is only read solves while its transaction is open: a reader keeps every writer from its end."""

import re
import sys
from collections.abc import Callable
from dataclasses import replace
from urllib.parse import urlsplit

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from portal.advance import sensitivity
from portal.advance.planning import want
from portal.advance.solver import wishes
from portal.exchange.example import example_rig
from portal.jobs.openness import OPENNESS, SCALES
from portal.plan.solving.open_questions import FIRST_SOLVES, open_questions
from portal.store import answers, discussions, plans, rigs
from portal.store.accounts import bands, sessions
from portal.store.database.scopes import EVERYTHING, Scope
from portal.store.database.session import Session, Store, end_reading
from portal.web.frame import deps
from portal.web.frame.access import new_token, token_hash
from portal.web.frame.errors import PortalError
from portal.web.frame.links import path_to
from portal.web.frame.rate_limiter import Turns
from portal.web.frame.running import Portal
from tests import planning
from tests.builders import NOW, ABand, an_answer
from tests.web.conftest import ORIGIN, Browser
from tests.web.crawl import Reach, crawl, kind_of, route_of
from tests.web.planned import Planned, prepare
from tests.web.world import World, finished, make_world

LOOKING = {"both/what-if", "both/talk/proposals/{proposal_id}"}
CELL = "/compare/{comparison_id}/rigs/{number}/gigs/{room}"

SOLVING = {
    "code": set(),
    "house": LOOKING | {"both/questions/next", "both/talk/try"},
    "band": LOOKING | {"both/questions/next", "both/talk/try", "both/rig", CELL},
}
"""Every kind of page that solves when somebody reads it."""


class Spy:
    """Notes every solve: for which address, and how many transactions are open at that moment."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.path = ""
        self.solves: list[tuple[str, int]] = []
        self.opened: list[Session] = []
        engine = sys.modules["portal.plan.reconcile"]
        plan, open_session = engine._plan, Store.open

        def noted(*given: object, **more: object) -> object:
            self.solves.append((self.path, sum(one.in_transaction() for one in self.opened)))
            return plan(*given, **more)

        def kept(store: Store, *scopes: Scope, to_write: bool) -> Session:
            session = open_session(store, *scopes, to_write=to_write)
            self.opened.append(session)
            return session

        monkeypatch.setattr(engine, "_plan", noted)
        # Here each solve counts, not its result.
        monkeypatch.setattr(planning, "answered", lambda _engine, line: wishes.answer_line(line))
        monkeypatch.setattr(wishes, "reconcile", engine.reconcile)
        monkeypatch.setattr(Store, "open", kept)


class Watched(Browser):
    """A browser whose addresses the spy knows."""

    def __init__(self, client: TestClient, spy: Spy) -> None:
        super().__init__(client)
        self.spy = spy

    def get(self, path: str, **headers: str) -> object:
        self.spy.path = path
        self.spy.opened.clear()
        return self.client.get(path, headers=headers)


@pytest.fixture
def world(store: Store, band: ABand) -> World:
    return make_world(store, band)


@pytest.fixture
def watched(app: FastAPI, portal: Portal, monkeypatch: pytest.MonkeyPatch) -> Callable[[dict[str, str]], Watched]:
    spy = Spy(monkeypatch)
    for limiter in (portal.what_if_limiter, portal.link_limiter):
        limiter.most = 10**9

    def made(tokens: dict[str, str]) -> Watched:
        client = TestClient(app, base_url=ORIGIN, follow_redirects=False)
        for gig_id, token in tokens.items():
            client.cookies.set(deps.cookie_name(portal.settings, gig_id), token, domain="portal.test")
        return Watched(client, spy)

    return made


def by_code(portal: Portal, world: World) -> dict[str, str]:
    """The sessions of somebody who came in by the code on a paper, to every gig."""
    tokens = {}
    with portal.store.writing() as db:
        for gig_id, link_id in world.links.items():
            tokens[gig_id] = new_token()
            sessions.start_for_link(
                db, token_hash(tokens[gig_id]), link_id, only_view=True, now=NOW, expires=NOW.replace(year=NOW.year + 1)
            )
    return tokens


def test_no_page_solves_while_it_reads(
    world: World, band: ABand, portal: Portal, watched: Callable[[dict[str, str]], Watched]
) -> None:
    """For the band, the house and a code's holder: wherever reading a page solves, its transaction has ended. The pages
    that solve are these.
    """
    gig_id = next(iter(world.house_tokens))
    with portal.store.writing() as db:
        answers.give(
            db,
            gig_id=gig_id,
            question="who-mixes",
            state="unknown",
            value=None,
            party="band",
            user_id=band.user_id,
            now=NOW,
        )
    with portal.store.reading() as db:
        source = plans.newest(db, gig_id).read().lines[0].sources[0]
        proposals = {
            gig: [row.id for row in discussions.proposals(db, gig) if row.outcome is None] for gig in world.house_tokens
        }
    known = [
        (gig, path_to("show_proposal", "{base}", proposal_id=one)) for gig, found in proposals.items() for one in found
    ]
    held = {"band": {"": world.user_token}, "house": world.house_tokens, "code": by_code(portal, world)}
    for who, tokens in held.items():
        side = "/gigs" if who == "band" else "/house"
        starts = [f"{side}/{gig}{rest}" for gig in world.house_tokens for rest in ("", "/questions/next")]
        starts += [f"{side}/{gig_id}/what-if{rest}" for rest in ("?rest=2", "?inputs-free=3")]
        starts += [f"{side}/{gig_id}/talk/try?about={source}&kind=leave-out"]
        starts += [place.replace("{base}", f"{side}/{gig}") for gig, place in known]
        browser = watched(tokens)
        crawl(who, browser, starts, Reach(of_one=1, of_all=1))
        within = [path for path, open_ones in browser.spy.solves if open_ones]
        assert within == [], who
        kinds = {kind_of(route_of(urlsplit(path).path)) for path, _ in browser.spy.solves}
        assert kinds == SOLVING[who]
        browser.spy.solves.clear()


def test_no_form_solves_while_it_writes(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever form changes what a plan is made from: it is solved once no transaction is open, and the plan is there
    when the form is answered.
    """
    spy = Spy(monkeypatch)
    band, house = planned.band.client, planned.house.client

    def send(client: TestClient, path: str, page: str, **typed: object) -> None:
        form = Browser(client).hidden(page)
        before = planned.newest().number
        spy.solves.clear()
        spy.opened.clear()
        spy.path = path
        answer = client.post(path, data={**form, **typed}, headers={"Origin": ORIGIN})
        assert answer.status_code == 303, path
        assert spy.solves, path
        assert [found for found in spy.solves if found[1]] == []
        assert planned.newest().number == before + 1

    page = f"{planned.house_base}/questions/inputs"
    send(house, page, page, **{"inputs-free": "6"})
    page = f"{planned.gigs_base}/details"
    gig = {"name": "Another name", "place": "The Old Net Loft", "on": "2026-12-05", "zone": "Europe/Berlin"}
    send(band, page, page, **gig, rig=f"{planned.gig.rig_id}|")
    with planned.portal.store.writing() as db:
        row = discussions.propose(
            db,
            gig_id=planned.gig.id,
            source=planned.newest().read().lines[0].sources[0],
            resource="desk-channel",
            value="30",
            party="band",
            author="Ada",
            now=NOW,
        )
    page = f"{planned.house_base}/talk/proposals/{row.id}"
    send(house, page, page, deed="accepted")


def test_a_session_that_writes_keeps_its_transaction(store: Store) -> None:
    """To end reading is nothing to a writer: what it wrote is still its own to undo."""
    with store.open(EVERYTHING, to_write=True) as db:
        bands.add_user(db, email="a@band.example", name="Ada", password_hash="", now=NOW)
        end_reading(db)
        db.rollback()
    with store.reading() as db:
        assert bands.user_by_email(db, "a@band.example") is None
        end_reading(db)
        assert not db.in_transaction()


# --- what one look may cost


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    """A gig with more open questions than one look takes."""
    rig = example_rig()
    looms = tuple(replace(rig.loom[0], key=f"l{number}", length_m=10.0 + number) for number in range(12))
    return prepare(portal, band, signed_in, enter, replace(rig, loom=looms))


@pytest.fixture
def looks(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The solves of every look at what is open that was taken."""
    taken: list[int] = []

    def counted(*given: object, **more: object) -> object:
        found = open_questions(*given, **more)
        taken.append(found.solves)
        return found

    monkeypatch.setattr(wishes, "open_questions", counted)
    return taken


def untried(html: str) -> int:
    found = re.search(r"Look at the other (\d+|one) too", html)
    return 0 if found is None else 1 if found[1] == "one" else int(found[1])


@pytest.mark.slow
def test_the_rest_comes_in_looks_of_one_size(planned: Planned, looks: list[int]) -> None:
    """Whatever an address asks for, a request takes one look more; what was looked at stays, and in the end nothing is
    untried.
    """
    left = []
    for number in range(1, 9):
        left.append(untried(planned.house.client.get(f"{planned.house_base}/what-if?rest=99").text))
        assert len(looks) <= number
        if not left[-1]:
            break
    assert left == sorted(left, reverse=True)
    assert left[0] > left[-1] == 0
    assert max(looks) <= FIRST_SOLVES
    before = len(looks)
    html = planned.band.get(f"{planned.gigs_base}/what-if?rest=99").text
    assert untried(html) == 0
    assert len(looks) == before
    stored = planned.newest()
    with planned.portal.store.reading() as db:
        whole = open_questions(
            rigs.revision_of_gig(db, stored.rig_revision_id).read(), stored.read_answers(), stored.read_locks(), 10_000
        )
        found = sensitivity.looks(db, planned.gig, stored, 99).found
    assert (found.questions, found.sentence) == (whole.questions, whole.sentence)


def test_a_page_waits_for_no_look(planned: Planned, looks: list[int]) -> None:
    """While nobody has worked out what is open, a page says so and works out nothing; the job does, once, and from then
    on every page shows it.
    """
    page = f"{planned.house_base}/plan"
    assert "What is still open is being worked out" in planned.house.client.get(page).text
    assert looks == []
    jobs = planned.portal.jobs
    for _ in range(2):
        finished(jobs.work_off(planned.portal, OPENNESS))
    assert len(looks) == 1
    assert "What is still open is being worked out" not in planned.house.client.get(page).text


def test_the_question_about_inputs_shows_what_a_count_comes_to(planned: Planned) -> None:
    """As soon as a job has worked it out, the count's scale stands beside its question, for what the gig says now; a
    page works out nothing.
    """
    page = f"{planned.house_base}/questions/inputs"
    heading = "What that number means for this band"
    assert heading not in planned.house.client.get(page).text
    finished(planned.portal.jobs.work_off(planned.portal, SCALES))
    shown = planned.house.client.get(page).text
    rungs = re.findall(r'<th scope="row" class="number">(\d+)</th><td>([^<]+)</td>', shown[shown.index(heading) :])
    assert rungs[0] == ("20", "every source on its own line")
    assert [count for count, _ in rungs] == ["20", "16", "12", "8"]
    assert heading not in planned.house.client.get(f"{planned.house_base}/questions/pa").text
    planned.answer(pa="none")
    assert heading not in planned.house.client.get(page).text


def test_no_look_is_taken_while_a_plan_waits(planned: Planned) -> None:
    """What is open comes after every plan that somebody waits for."""
    with planned.portal.store.writing() as db:
        assert OPENNESS.due(db, NOW) == [planned.gig.id]
        an_answer(db, planned.gig.id, "inputs-free", 5, link_id=planned.link.id)
        want(db, planned.gig, NOW)
        assert OPENNESS.due(db, NOW) == ()


def test_trying_is_braked_for_each_holder(planned: Planned, enter: Callable[..., Browser]) -> None:
    """After thirty tries a holder waits, told for how long; to look at the page is no try. Whoever came in by a code on
    paper tries nothing.
    """
    planned.portal.what_if_limiter.most = 3
    empty = f"{planned.house_base}/what-if"
    assert [planned.house.client.get(empty).status_code for _ in range(5)] == [200] * 5
    page = f"{empty}?inputs-free=3"
    guest = enter(planned.link, only_view=True)
    assert [guest.get(page).status_code for _ in range(4)] == [403] * 4
    house = enter(planned.link)
    answers_ = [house.get(page) for _ in range(4)]
    assert [one.status_code for one in answers_] == [200, 200, 200, 429]
    assert "Too many tries" in answers_[-1].text
    assert "Wait 5 minutes, then try again." in answers_[-1].text
    assert house.get(empty).status_code == 200
    assert planned.band.get(f"{planned.gigs_base}/what-if?inputs-free=3").status_code == 200


def test_a_holder_tries_two_things_at_a_time() -> None:
    """A third one at the same time is refused; once one has ended there is room again, whoever else tries."""
    turns = Turns(most=2)
    with turns.one("link:1"), turns.one("link:2"):
        with turns.one("link:1"), pytest.raises(PortalError, match="Wait for them"), turns.one("link:1"):
            pass
        with turns.one("link:1"):
            pass
