"""Every route of the app against every kind of visitor."""

import hmac
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from uuid import uuid4

import pytest
from fastapi import APIRouter, FastAPI
from fastapi.testclient import TestClient
from httpx2 import Response

from portal.plan.registry import RULES as REASONS
from portal.settings import Settings
from portal.store import discussions, gigs, links, plans, rigs, signoffs
from portal.store.accounts import bands, invitations, sessions
from portal.store.day import calendar_feeds
from portal.store.emails import outbox
from portal.store.house import house_gigs, houses, inquiries
from portal.store.links import Link
from portal.web.frame import deps
from portal.web.frame.access import USER_LONGEST, ViewToken, new_token, token_hash, write_id_token, write_view_token
from portal.web.frame.running import Portal
from portal.web.house import house_access
from portal.web.house.inquiry_links import INQUIRY
from portal.web.mail.letters import stop_token
from tests.builders import NOW, ABand, a_band, a_gig, a_link
from tests.comparisons import a_comparison, compare_now
from tests.planning import plan_now
from tests.web.access_rules import ACTORS, RULES, rule_of
from tests.web.conftest import ORIGIN
from tests.web.mail.mail_server import sending_to
from tests.web.test_guard import routes_of


@dataclass
class Visitor:
    """One kind of visitor: an account, or a link with the token that leads in by it."""

    user_id: str = ""
    link: Link | None = None
    token: str = "no such token"
    view_token: str = "nothing"
    only_view: bool = False
    house: houses.House | None = None
    house_token: str = "no such key"


class World:
    """Two bands with a gig each; the first one's gig is planned, signed by both sides and has a kept paper."""

    def __init__(self, portal: Portal, client: TestClient) -> None:
        self.portal = portal
        self.client = client
        with portal.store.writing() as db:
            self.ours, self.theirs = a_band(db), a_band(db, name="The Wet Towels")
            self.gig, self.foreign_gig = a_gig(db, self.ours), a_gig(db, self.theirs)
            self.next_gig = a_gig(db, self.ours)
            people = {role: self._person(db, role) for role in ("editor", "member")}
            self.visitors = {
                "nobody": Visitor(),
                "owner": Visitor(self.ours.user_id),
                **{role: Visitor(user_id) for role, user_id in people.items()},
                "other band": Visitor(self.theirs.user_id),
                "link: view": self._by_link(db, self.gig, self.ours, ("view",)),
                "link: answer": self._by_link(db, self.gig, self.ours, ("view", "answer")),
                "link: sign": self._by_link(db, self.gig, self.ours, ("view", "sign")),
                "code on paper": self._by_link(db, self.gig, self.ours, links.POWERS, only_view=True),
                "link of another gig": self._by_link(db, self.next_gig, self.ours, links.POWERS),
                "link expired": self._by_link(db, self.gig, self.ours, links.POWERS, expires=NOW),
                "link revoked": self._by_link(db, self.gig, self.ours, links.POWERS),
            }
            links.revoke(db, self.visitors["link revoked"].link, NOW, actor="")
            by = self.visitors["link: answer"].link
            self.visitors["house key"], self.stage = self._by_key(db, self.gig, by.id)
            foreign = a_link(db, self.foreign_gig, self.theirs)
            self.visitors["key of another house"], self.foreign_stage = self._by_key(db, self.foreign_gig, foreign.id)
            self.spare, self.foreign_link = a_link(db, self.gig, self.ours), a_link(db, self.next_gig, self.ours)
            self.proposal, self.foreign_proposal = (
                discussions.propose(
                    db, gig_id=gig.id, source="kick", resource="desk-channel", value="9", party="house", now=NOW
                )
                for gig in (self.gig, self.foreign_gig)
            )
            for gig, stage, link_id in (
                (self.gig, self.stage, by.id),
                (self.foreign_gig, self.foreign_stage, foreign.id),
            ):
                inquiries.ask(db, gig, stage.id, link_id, NOW, actor="")
            self.ask_token = write_id_token(portal.key, INQUIRY, inquiries.make_link(db, self.stage.id, NOW).id)
            self.invited = [self._way_in(db, self.ours, "")[1], self._way_in(db, self.theirs, "")[1]]
            self.join_token, _ = self._way_in(db, self.ours, "")
            self.password_token, _ = self._way_in(db, self.ours, people["member"])
            self.calendar_token = new_token()
            calendar_feeds.make(
                db,
                user_id=people["member"],
                band_id=self.ours.band_id,
                token_hash=token_hash(self.calendar_token),
                now=NOW,
            )
            self.paper_id = self._signed_paper(db, self.gig, self.ours)
            self.foreign_paper = self._signed_paper(db, self.foreign_gig, self.theirs)
            told = outbox.Email(who=f"user:{self.ours.user_id}", due=NOW, created=NOW)
            db.add(told)
            db.flush()
            self.stop_token = stop_token(portal.key, told.id, self.ours.email)
            self.content_hash = plans.newest(db, self.gig.id).content_hash
            self.comparison_id = self._compared(db, self.gig, self.ours)
            self.foreign_comparison = self._compared(db, self.foreign_gig, self.theirs)
        self.params = {
            "gig_id": self.gig.id,
            "rig_id": self.gig.rig_id,
            "link_id": self.spare.id,
            "number": "1",
            "line": "1",
            "paper_id": self.paper_id,
            "content_hash": self.content_hash,
            "proposal_id": self.proposal.id,
            "invitation_id": self.invited[0],
            "user_id": people["member"],
            "join_token": self.join_token,
            "password_token": self.password_token,
            "calendar_token": self.calendar_token,
            "stop_token": self.stop_token,
            "ask_token": self.ask_token,
            "topic_key": "inputs",
            "topic": "mixer",
            "key": next(iter(REASONS)),
            "house_id": self.stage.house_id,
            "stage_id": self.stage.id,
            "comparison_id": self.comparison_id,
            "room": "0",
        }
        self.foreign = {
            "gig_id": self.foreign_gig.id,
            "rig_id": self.foreign_gig.rig_id,
            "link_id": self.foreign_link.id,
            "paper_id": self.foreign_paper,
            "proposal_id": self.foreign_proposal.id,
            "house_id": self.foreign_stage.house_id,
            "stage_id": self.foreign_stage.id,
            "comparison_id": self.foreign_comparison,
        }

    def _person(self, db: deps.Session, role: str) -> str:
        user = bands.add_user(db, email=f"{role}@band.example", name=role.title(), password_hash="x", now=NOW)
        db.add(bands.Member(user_id=user.id, band_id=self.ours.band_id, role=role, created=NOW))
        db.flush()
        return user.id

    def _way_in(self, db: deps.Session, band: ABand, user_id: str) -> tuple[str, str]:
        """An invitation, or a way to a new password: its token and its id."""
        token = new_token()
        rest = {
            "band_id": band.band_id,
            "token_hash": token_hash(token),
            "expires": NOW + timedelta(days=1),
            "created_by": band.user_id,
            "now": NOW,
        }
        made = (
            invitations.way_back(db, user_id=user_id, **rest)
            if user_id
            else invitations.invite(db, role="member", **rest)
        )
        return token, made.id

    def _by_link(
        self,
        db: deps.Session,
        gig: gigs.Gig,
        band: ABand,
        powers: tuple[str, ...],
        *,
        only_view: bool = False,
        expires=NOW + timedelta(days=30),
    ) -> Visitor:
        token = new_token()
        link = a_link(db, gig, band, token_hash=token_hash(token), powers=powers, expires=expires)
        view_token = write_view_token(self.portal.key, ViewToken(gig.id, link.id, NOW + timedelta(days=9)))
        return Visitor("", link, "no such token" if only_view else token, view_token, only_view)

    def _by_key(self, db: deps.Session, gig: gigs.Gig, link_id: str) -> tuple[Visitor, houses.HouseStage]:
        """The holder of the key of a house of its own, to which a gig is tied."""
        token = new_token()
        house = houses.make(db, "The Old Net Loft", token_hash(token), NOW)
        stage = houses.add_stage(db, house.id, "Main stage", NOW)
        house_gigs.tie(db, gig.id, stage.id, link_id, NOW)
        return Visitor(house=house, house_token=token), stage

    def _signed_paper(self, db: deps.Session, gig: gigs.Gig, band: ABand) -> str:
        stored = plan_now(db, gig, NOW)
        link = a_link(db, gig, band)
        signers = (
            signoffs.Signer("band", "Ada", "leader", user_id=band.user_id),
            signoffs.Signer("house", "Bo", "engineer", link_id=link.id),
        )
        rows = [signoffs.sign(db, stored, one, statement_version="1", ticked=(), now=NOW) for one in signers]
        name = " ".join(["patch-sheet", *(str(row.position) for row in rows)])
        return plans.keep_paper(db, plan_id=stored.id, document=name, paper_size="A4", content=b"%PDF", now=NOW).id

    def _compared(self, db: deps.Session, gig: gigs.Gig, band: ABand) -> str:
        row = a_comparison(db, band, rigs.get(db, band.band_id, gig.rig_id), NOW)
        compare_now(db, row, made_up=True)
        return row.id

    def ask(self, actor: str, method: str, path: str, **changed: str) -> Response:
        """One request of one visitor, under a session of its own."""
        visitor = self.visitors[actor]
        token = new_token()
        cookies: dict[str, str] = {}
        with self.portal.store.writing() as db:
            if visitor.user_id:
                sessions.start_for_user(db, token_hash(token), visitor.user_id, now=NOW, expires=NOW + USER_LONGEST)
                cookies = {deps.cookie_name(self.portal.settings): token}
            if visitor.link:
                sessions.start_for_link(
                    db,
                    token_hash(token),
                    visitor.link.id,
                    only_view=visitor.only_view,
                    now=NOW,
                    expires=NOW + timedelta(days=99),
                )
                # The cookie also stands under the other gig's name: it must not count there.
                cookies = {
                    deps.cookie_name(self.portal.settings, one): token for one in (visitor.link.gig_id, self.gig.id)
                }
        if visitor.house:
            name = house_access.cookie_name(self.portal, visitor.house.id)
            cookies = {name: house_access.cookie_value(self.portal, visitor.house, NOW + timedelta(days=9))}
            # The cookie also stands under the name of the house that is asked for: it must not count there.
            cookies.setdefault(house_access.cookie_name(self.portal, self.stage.house_id), next(iter(cookies.values())))
        self.portal.link_limiter.give_back("testclient")
        filled = {
            **self.params,
            "document": "input-list" if "{ending}" in path else "patch-sheet",
            "ending": "csv",
            "token": visitor.token,
            "view_token": visitor.view_token,
            "house_token": visitor.house_token,
            **changed,
        }
        address = re.sub(r"\{(\w+)\}", lambda found: filled[found[1]], path)
        query = "?key=kick" if path.endswith("/row") else ""
        headers = {"Origin": ORIGIN, "Cookie": "; ".join(f"{name}={value}" for name, value in cookies.items())}
        self.client.cookies.clear()
        # A form that names a revision names one that is there; otherwise forms arrive empty, and are refused only after
        # the visitor was.
        sent = {"number": "1"} if method == "POST" else None
        return self.client.request(method, address + query, data=sent, headers=headers)


def refused(answer: Response) -> bool:
    return answer.status_code in {401, 403, 404} or (
        answer.status_code == 303 and answer.headers["location"].startswith("/sign-in?then=")
    )


@dataclass
class Matrix:
    """What was found wrong, as "method path actor status"."""

    cells: int
    undeclared: list[str]
    unexpected_allow: list[str]
    unexpected_deny: list[str]


def matrix(app: FastAPI, world: World, only: str = "") -> Matrix:
    found = Matrix(0, [], [], [])
    for path, method in routes_of(app):
        if path.startswith("/static") or only not in ("", f"{method} {path}"):
            continue
        allowed = rule_of(method, path)
        if allowed is None:
            found.undeclared.append(f"{method} {path}")
            continue
        for actor in ACTORS:
            found.cells += 1
            answer = world.ask(actor, method, path)
            if refused(answer) and actor in allowed:
                found.unexpected_deny.append(f"{method} {path} {actor} {answer.status_code}")
            if actor not in allowed and not refused(answer):
                found.unexpected_allow.append(f"{method} {path} {actor} {answer.status_code}")
    return found


@pytest.fixture
def settings(settings: Settings) -> Settings:
    """A portal that may send emails, so that every route is there."""
    return sending_to(1, settings)


@pytest.fixture
def world(app: FastAPI, portal: Portal) -> Iterator[World]:
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client:
        yield World(portal, client)


@pytest.mark.slow
def test_every_route_lets_in_whom_its_rule_names(app: FastAPI, world: World) -> None:
    """For each route of the app and each kind of visitor the answer is what the table says; a route without a line
    there fails.
    """
    found = matrix(app, world)
    routes = len([path for path, _ in routes_of(app) if not path.startswith("/static")])
    print(  # noqa: T201 - shown with -s
        f"\nroutes={routes} actors={len(ACTORS)} cells={found.cells} undeclared={len(found.undeclared)} "
        f"unexpected_allow={len(found.unexpected_allow)} unexpected_deny={len(found.unexpected_deny)}"
    )
    assert (found.undeclared, found.unexpected_allow, found.unexpected_deny) == ([], [], [])


def test_every_line_of_the_table_is_a_route(app: FastAPI) -> None:
    """A rule whose route is gone, or that is misspelt, is found."""
    known = {f"{method} {path}" for path, method in routes_of(app)}
    known |= {
        line.replace(mount, "both")
        for line in known
        for mount in ("/gigs/{gig_id}", "/house/{gig_id}")
        if mount + "/" in line
    }
    assert RULES.keys() - known == set()


ACTOR_BELOW = {"/house/": "link: answer", "/houses/": "house key"}


def test_a_foreign_id_is_answered_like_an_absent_one(app: FastAPI, world: World) -> None:
    """Each id of an address in turn is one that belongs to somebody else, then one that nobody has: status and page are
    the same.
    """
    compared = 0
    for path, method in routes_of(app):
        for name in world.foreign.keys() & set(re.findall(r"\{(\w+)\}", path)):
            actor = next((one for start, one in ACTOR_BELOW.items() if path.startswith(start)), "owner")
            foreign = world.ask(actor, method, path, **{name: world.foreign[name]})
            absent = world.ask(actor, method, path, **{name: str(uuid4())})
            if rule_of(method, path) and actor in rule_of(method, path):
                assert (method, path, name, foreign.status_code) == (method, path, name, 404)
            assert (method, path, name, foreign.status_code, foreign.text) == (
                method,
                path,
                name,
                absent.status_code,
                absent.text,
            )
            compared += 1
    print(f"\nforeign_ids={compared} differences=0")  # noqa: T201 - shown with -s
    assert compared >= 70


def test_planted_holes_are_found(app: FastAPI, world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    """A route that nobody declared, a power that is not asked for, and a gig that is not checked are each found by the
    matrix.
    """
    router = APIRouter()

    @router.get("/gigs/{gig_id}/cellar")
    def cellar(gig_id: str) -> str:
        return gig_id

    app.include_router(router)
    assert matrix(app, world, "GET /gigs/{gig_id}/cellar").undeclared == ["GET /gigs/{gig_id}/cellar"]
    holes = (
        (deps.AllowedGig, "need", lambda _gig, _power: None, "POST /house/{gig_id}/sign-off", "link: view"),
        (gigs, "get", lambda db, _band_id, gig_id: db.get(gigs.Gig, gig_id), "GET /gigs/{gig_id}", "other band"),
        (
            rigs,
            "get",
            lambda db, _band_id, rig_id: db.get(rigs.BandRig, rig_id),
            "POST /rigs/{rig_id}",
            "other band",
        ),
        (links.Link, "live", lambda _link, _now: True, "GET /house/{gig_id}", "link revoked"),
        (hmac, "compare_digest", lambda _a, _b: True, "GET /houses/{house_id}", "key of another house"),
    )
    caught = 0
    for where, name, hole, route, actor in holes:
        with monkeypatch.context() as planted:
            planted.setattr(where, name, hole)
            caught += f"{route} {actor} " in " ".join(matrix(app, world, route).unexpected_allow)
    print(f"\nplanted_holes_found={caught + 1}/{len(holes) + 1}")  # noqa: T201 - shown with -s
    assert caught == len(holes)


@pytest.mark.parametrize("number", ["99999999999999999999999", "2147483648", "-1", "9" * 5000])
def test_a_number_that_no_revision_has_leads_nowhere(app: FastAPI, world: World, number: str) -> None:
    """Whatever number stands in an address, for those who may see the gig too, the page is simply not there."""
    changed = dict.fromkeys(("number", "line"), number)
    asked = [
        (
            method,
            path,
            world.ask("link: sign" if path.startswith("/house") else "owner", method, path, **changed).status_code,
        )
        for path, method in routes_of(app)
        if re.search(r"\{(number|line)\}", path)
    ]
    assert len(asked) > 20
    assert [one for one in asked if one[2] != 404] == []
