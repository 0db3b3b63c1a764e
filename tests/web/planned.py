"""A gig that was planned, with both its sides at a browser."""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from html import unescape

from portal.plan.input.answer_kinds import Value
from portal.plan.input.rig import Rig
from portal.store import gigs, plans, rigs, signoffs
from portal.store.links import Link
from portal.store.plans import StoredPlan
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_gig, a_link, a_rig, an_answer
from tests.planning import plan_now
from tests.web.conftest import Browser

ANSWERED: dict[str, Value] = {"who-mixes": "house-engineer", "inputs-free": 8, "pa": "stereo"}


def asking_rig() -> Rig:
    """A rig whose plan has one point to tick: its kick needs 48 V, and no transformer lies before the house."""
    rig = a_rig()
    splitter = replace(rig.splitter[0], outputs=(replace(rig.splitter[0].outputs[0], kind="direct"),))
    return replace(rig, splitter=(splitter,), source=(replace(rig.source[0], phantom="yes"), *rig.source[1:]))


@dataclass
class Planned:
    """One gig and both sides."""

    portal: Portal
    owner: ABand
    gig: gigs.Gig
    link: Link
    band: Browser
    house: Browser

    @property
    def gigs_base(self) -> str:
        return f"/gigs/{self.gig.id}"

    @property
    def house_base(self) -> str:
        return f"/house/{self.gig.id}"

    def answer(self, **given: Value) -> StoredPlan:
        """The house answers; the plan follows."""
        with self.portal.store.writing() as db:
            for key, value in given.items():
                an_answer(db, self.gig.id, key.replace("_", "-"), value, link_id=self.link.id)
            return plan_now(db, gigs.of_link(db, self.gig.id), NOW)

    def take_rig(self, rig: Rig) -> StoredPlan:
        """The gig takes a new revision of the rig; the plan follows."""
        with self.portal.store.writing() as db:
            gig = gigs.of_link(db, self.gig.id)
            stored = rigs.get(db, self.owner.band_id, gig.rig_id)
            saved = rigs.save(
                db, stored, version=stored.version, name=stored.name, rig=rig, author_id=self.owner.user_id, now=NOW
            )
            gig.rig_revision_id = saved.id
            db.add(gig)
            db.flush()
            return plan_now(db, gig, NOW)

    def newest(self) -> StoredPlan:
        with self.portal.store.reading() as db:
            return plans.newest(db, self.gig.id)

    def signatures(self) -> list[signoffs.Signature]:
        with self.portal.store.reading() as db:
            return signoffs.history(db, self.gig.id)

    def sign(self, side: str, *, page: str = "", **changes: object) -> object:
        """Sign as a browser does: open the page, tick everything, fill in the names, press the button."""
        browser, base = (self.band, self.gigs_base) if side == "band" else (self.house, self.house_base)
        page = page or f"{base}/sign-off"
        form = (
            filled(browser.get(page).text, name="Ada Example", role="band leader")
            if side == "band"
            else filled(browser.get(page).text, name="Jamie Example", role="house engineer")
        )
        return browser.send(f"{base}/sign-off", {**form, **changes})


def filled(html: str, **typed: str) -> dict[str, object]:
    """The form of the sign-off page with every point ticked."""
    hidden = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', html))
    asks = [unescape(text) for text in re.findall(r'type="checkbox" name="ask" id="[^"]*" value="([^"]*)"', html)]
    return {**hidden, "ask": asks, **typed}


Prepare = Callable[..., Planned]


def prepare(
    portal: Portal,
    band: ABand,
    signed_in: Browser,
    enter: Callable[..., Browser],
    rig: Rig | None = None,
    **more: Value,
) -> Planned:
    with portal.store.writing() as db:
        gig = a_gig(db, band, rig=rig)
        link = a_link(db, gig, band)
    planned = Planned(portal, band, gig, link, signed_in, enter(link))
    planned.answer(**{key.replace("-", "_"): value for key, value in ANSWERED.items()}, **more)
    return planned


TABLE = '<table class="cables"'
"""Where the lines of a plan page begin."""


def rows_of(html: str) -> list[list[str]]:
    """The lines of a plan page, cell by cell, as they are drawn: without what is said for whoever does not see them."""
    table = html[html.index(TABLE) :]
    quiet = r'<span class="(?:unseen|also)"[^>]*>.*?</span>|<[^>]*>'
    return [
        [unescape(re.sub(quiet, "", cell)).strip() for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)]
        for row in re.findall(r'<tr[^>]* id="line-.*?</tr>', table[: table.index("</table>")], re.DOTALL)
    ]


def words_of(html: str) -> str:
    """What stands on a page, tags taken away and blanks made single."""
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", html)).split())
