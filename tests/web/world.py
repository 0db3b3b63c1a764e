"""One band with gigs at every point of the way, seen by everybody who may see something: what a crawl of all pages
stands on.
"""

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any, TypeVar

from portal.advance.house_sheet import NIGHT
from portal.exchange.example import example_rig
from portal.plan.input.answer_kinds import Value
from portal.plan.model import Plan
from portal.store import answers, discussions, gigs, plans, rigs, signoffs
from portal.store.accounts import invitations, sessions
from portal.store.database.session import Session, Store
from portal.store.day import line_checks
from portal.store.emails.outbox import Email
from portal.store.gigs import Gig
from portal.store.house import house_gigs, house_specs, houses, inquiries
from portal.store.house.house_specs import ReadFact
from portal.store.house.houses import Line
from portal.store.signoffs import Signer
from portal.web.frame.access import USER_LONGEST, new_token, token_hash
from portal.web.frame.links import path_to
from portal.web.plan.signed_statements import STATEMENT
from portal.wording.plan.saying import say
from tests.builders import NOW, ABand, a_gig, a_link, a_plan, a_source, a_stored_rig, an_answer
from tests.comparisons import a_comparison, compare_now
from tests.planning import plan_now

Result = TypeVar("Result")


def finished(work: Coroutine[Any, Any, Result]) -> Result:
    """What work comes to, in a thread of its own: a browser's loop may run in this one."""
    with ThreadPoolExecutor(1) as other:
        return other.submit(asyncio.run, work).result()


KNOWN: dict[str, Value] = {
    "who-mixes": "house-engineer",
    "inputs-free": 12,
    "pa": "stereo",
    "box-place": "stage-left",
    "box-distance": 1000,
}


@dataclass(frozen=True)
class World:
    """``user_token`` signs the owner in; ``house_tokens``: the session of a link by its gig's id; ``links``: that link;
    ``secret`` opens one.

    ``ways_in``: the addresses of an invitation and of a way back that nobody has used. ``house_key`` opens the house of
    ``house_id``, whose stage most of the gigs are on; ``inquiry_id``: the inquiry link of that stage; ``email_id``: an
    email to the owner.
    """

    user_token: str
    house_tokens: dict[str, str]
    links: dict[str, str]
    secret: str
    rig_id: str
    row_key: str
    ways_in: tuple[str, ...]
    house_key: str
    house_id: str
    inquiry_id: str
    email_id: str


class _Maker:
    def __init__(self, db: Session, band: ABand) -> None:
        self.db, self.band = db, band
        self.rig = a_stored_rig(db, band, example_rig())
        self.house_tokens: dict[str, str] = {}
        self.links: dict[str, str] = {}
        self.days = 0

    def gig(self, name: str, *, linked: bool = True, **changes: object) -> Gig:
        newest = rigs.newest(self.db, self.rig.id)
        self.days += 1
        # Each has its own day: lists have one order in every world, and a crawl that opens some of each kind opens the
        # same ones.
        words = {
            "name": name,
            "on": NOW.date() + timedelta(days=10 + self.days),
            "rig_id": self.rig.id,
            "rig_revision_id": newest.id,
        }
        gig = a_gig(self.db, self.band, **{**words, **changes})
        if linked:
            self.link_to(gig)
        return gig

    def link_to(self, gig: Gig, **changes: object) -> None:
        link = a_link(self.db, gig, self.band, **changes)
        token = new_token()
        sessions.start_for_link(self.db, token_hash(token), link.id, only_view=False, now=NOW, expires=link.expires)
        self.house_tokens[gig.id] = token
        self.links[gig.id] = link.id

    def answer(self, gig: Gig, given: dict[str, Value], party: str = "house") -> None:
        for key, value in given.items():
            an_answer(self.db, gig.id, key, value, party=party, user_id=self.band.user_id)
        plan_now(self.db, gig, NOW)

    def spec(self, gig: Gig) -> None:
        read = (
            ReadFact("room-capacity", 350, ("The room holds 350 people.",)),
            ReadFact("radio", "470-490 MHz", ("470-490 MHz, mostly",), ("The text gives more than one value.",)),
            ReadFact("house-sheet", "Ring the bell twice.", ("Ring the bell twice.",)),
        )
        link_id = self.links[gig.id]
        house_specs.keep(self.db, gig_id=gig.id, text="The room.", read=read, left_over=2, link_id=link_id, now=NOW)

    def sign(self, gig: Gig) -> None:
        plan = plans.newest(self.db, gig.id)
        outcome = plan.read()
        assert isinstance(outcome, Plan)
        ticked = tuple(say(one.said) for one in outcome.asks)
        for party, name in (("band", "Ada Example"), ("house", "Jamie Example")):
            signer = Signer(party, name, "leader", user_id=self.band.user_id)
            signoffs.sign(self.db, plan, signer, statement_version=STATEMENT, ticked=ticked, now=NOW)
        plans.keep_paper(
            self.db, plan_id=plan.id, document="patch-sheet", paper_size="a4", content=b"%PDF-1.7", now=NOW
        )

    def found(self, gig: Gig) -> None:
        plan = plans.newest(self.db, gig.id)
        for line, (state, gain, note) in zip(
            plan.read().lines,
            (("problem", "", "Crackles"), ("checked", "32 dB", ""), ("checked", "", "")),
            strict=False,
        ):
            finding = line_checks.Finding(line.sources, line.desk_channel, state, gain, note, NOW)
            finder = line_checks.Finder("band", "Ada", user_id=self.band.user_id)
            line_checks.add(self.db, gig_id=gig.id, plan_id=plan.id, finding=finding, finder=finder, now=NOW)

    def talk(self, gig: Gig) -> None:
        source = example_rig().source[0].key
        for party, name in (("band", "Ada"), ("house", "Jamie")):
            discussions.say(
                self.db,
                gig_id=gig.id,
                party=party,
                author=name,
                words="Mind the step.",
                source=source,
                user_id=self.band.user_id,
                now=NOW,
            )
            made = [
                discussions.propose(
                    self.db,
                    gig_id=gig.id,
                    source=source,
                    resource="desk-channel",
                    value=str(value),
                    party=party,
                    author=name,
                    now=NOW,
                )
                for value in (3, 5)
            ]
            other = "house" if party == "band" else "band"
            discussions.settle(
                self.db, made[0].id, "declined" if party == "band" else "accepted", other, NOW, author="Somebody"
            )
        plan_now(self.db, gig, NOW)

    def house(self, key: str, tied: tuple[Gig, ...]) -> str:
        """A house with two stages, one of them with a sheet and the gigs; its id."""
        house = houses.make(self.db, "Kiln Yard Hall", token_hash(key), NOW)
        stage = houses.add_stage(self.db, house.id, "big stage", NOW)
        houses.add_stage(self.db, house.id, "cellar", NOW)
        given = {**KNOWN, "box-inputs": 32, "kept-sockets": "29-32", "house-sheet": "Ring the bell twice."}
        lines = [Line(topic, "answered", value) for topic, value in given.items() if topic not in NIGHT]
        houses.save(self.db, stage, lines, NOW - timedelta(days=380))
        houses.save(self.db, stage, [Line("sound-limit", "n/a", None), Line("room-capacity", "answered", 350)], NOW)
        houses.keep_spec(self.db, stage, "The room.")
        inquiries.make_link(self.db, stage.id, NOW)
        asked = self.gig("Asked for")
        inquiries.ask(self.db, asked, stage.id, self.links[asked.id], NOW, actor=f"user:{self.band.user_id}")
        for gig in tied:
            house_gigs.tie(self.db, gig.id, stage.id, self.links[gig.id], NOW)
        return house.id

    def ways_in(self) -> tuple[str, ...]:
        made = {
            "band_id": self.band.band_id,
            "expires": NOW + timedelta(days=7),
            "created_by": self.band.user_id,
            "now": NOW,
        }
        invited, lost = new_token(), new_token()
        invitations.invite(self.db, role="member", token_hash=token_hash(invited), **made)
        invitations.way_back(self.db, user_id=self.band.user_id, token_hash=token_hash(lost), **made)
        return path_to("show_join", join_token=invited), path_to("show_new_password", password_token=lost)


def make_world(store: Store, band: ABand) -> World:
    """The rigs and gigs of the band."""
    secret, user_token = new_token(), new_token()
    with store.writing() as db:
        sessions.start_for_user(db, token_hash(user_token), band.user_id, now=NOW, expires=NOW + USER_LONGEST)
        maker = _Maker(db, band)
        a_stored_rig(db, band, replace(example_rig(), source=()))
        a_stored_rig(
            db, band, replace(example_rig(), source=(a_source("a", mixer_input=1), a_source("b", mixer_input=1)))
        )

        played = maker.gig("Played", on=NOW.date() - timedelta(days=40))
        maker.answer(played, KNOWN)
        maker.found(played)
        maker.spec(played)
        answers.send(db, played.id, maker.links[played.id], NOW)
        agreed = maker.gig("Agreed")
        maker.answer(agreed, KNOWN)
        maker.sign(agreed)
        outdated = maker.gig("Outdated")
        maker.answer(outdated, KNOWN)
        maker.sign(outdated)
        maker.answer(outdated, {"inputs-free": 6})
        planned = maker.gig("Planned")
        maker.answer(planned, KNOWN)
        maker.talk(planned)
        maker.answer(planned, {"inputs-free": 10})
        maker.gig("Preparing", linked=False)
        asking = maker.gig("Asking")
        maker.answer(asking, {"pa": "stereo", "inputs-free": 12, "box-distance": 1000}, party="assumed")
        maker.answer(asking, {"who-mixes": "house-engineer"})
        looked = maker.gig("Only looked at", linked=False)
        maker.answer(looked, KNOWN)
        maker.link_to(looked, powers=("view",), token_hash=token_hash(secret))
        stuck = maker.gig("Nothing fits")
        a_plan(db, stuck)
        cancelled = maker.gig("Cancelled")
        maker.answer(cancelled, KNOWN)
        gigs.cancel(db, cancelled, cancelled.version, NOW, actor=f"user:{band.user_id}")

        stored = rigs.get(db, band.band_id, maker.rig.id)
        compare_now(db, a_comparison(db, band, stored, NOW), made_up=True)
        a_comparison(db, band, stored, NOW - timedelta(days=1))
        rig = replace(example_rig(), source=example_rig().source[1:])
        rigs.save(db, stored, version=stored.version, name=stored.name, rig=rig, author_id=band.user_id, now=NOW)
        ways_in = maker.ways_in()
        house_key = new_token()
        house_id = maker.house(house_key, (played, agreed, outdated, planned, asking, stuck, cancelled))
        inquiry = next(filter(None, (inquiries.link_of(db, one.id) for one in houses.stages_of(db, house_id))))
        told = Email(who=f"user:{band.user_id}", due=NOW, created=NOW)
        db.add(told)
    return World(
        user_token,
        maker.house_tokens,
        maker.links,
        secret,
        maker.rig.id,
        rig.source[0].key,
        ways_in,
        house_key,
        house_id,
        inquiry.id,
        told.id,
    )
