"""A gig that emails tell of, deeds of both sides, and what a mail program sends back."""

import re
from datetime import timedelta

from sqlmodel import select

from portal.store import answers, discussions, gigs, signoffs
from portal.store.emails import addresses
from portal.store.emails.outbox import Email
from portal.store.gigs import GigWords
from portal.web.frame.running import Portal
from portal.web.mail.email_job import EMAILS, GATHERED
from tests.builders import NOW, ABand, a_gig, a_link
from tests.planning import plan_now, waited_for
from tests.web.conftest import ORIGIN, Browser, Clock
from tests.web.mail.mail_server import MailServer

HOUSE = "noor@house.example"


class Scene:
    """A gig with a link whose address the band gave; deeds of both sides; the job that sends, done by hand."""

    def __init__(self, portal: Portal, clock: Clock, band: ABand, server: MailServer) -> None:
        self.portal, self.clock, self.band, self.server = portal, clock, band, server
        with portal.store.writing() as db:
            self.gig = a_gig(db, band)
            self.link = a_link(db, self.gig, band)
            addresses.give_address(db, f"link:{self.link.id}", HOUSE, "band", NOW)
        self.page = f"/gigs/{self.gig.id}/emails"

    def comment(self, party: str) -> None:
        by = {"user_id": self.band.user_id} if party == "band" else {"link_id": self.link.id}
        with self.portal.store.writing() as db:
            discussions.say(
                db, gig_id=self.gig.id, party=party, author="A", words="Secret words.", now=self.clock.now, **by
            )

    def house_sends(self) -> None:
        with self.portal.store.writing() as db:
            answers.send(db, self.gig.id, self.link.id, self.clock.now)

    def sign(self, party: str) -> None:
        by = {"user_id": self.band.user_id} if party == "band" else {"link_id": self.link.id}
        with self.portal.store.writing() as db:
            stored = plan_now(db, self.gig, self.clock.now)
            signer = signoffs.Signer(party, "A", "leader", **by)
            signoffs.sign(db, stored, signer, statement_version="1", ticked=(), now=self.clock.now)

    def load_in(self, minutes: int) -> None:
        with self.portal.store.writing() as db:
            mine = gigs.of_link(db, self.gig.id)
            told = {field: getattr(mine, field) for field in GigWords.__dataclass_fields__ if field != "times"}
            words = GigWords(**told, times={**mine.minutes, "load-in": minutes})
            assert gigs.save(db, mine, mine.version, words, self.clock.now, actor=f"user:{self.band.user_id}")

    def work(self, job=EMAILS) -> None:
        """Do what is due, as often as something is."""
        done = set()
        while True:
            with self.portal.store.reading() as db:
                left = [one for one in job.due(db, self.clock.now) if one not in done]
            if not left:
                return
            for one in left:
                waited_for(job.do(self.portal, one))
                done.add(one)

    def later(self, **by: int) -> None:
        """Some time goes by, and what is ready is sent."""
        self.clock.now += timedelta(**by)
        self.work()

    def gathered(self) -> None:
        """The time in which things are gathered goes by, and what is ready is sent."""
        self.clock.now += GATHERED
        self.work()

    def rows(self, table: type) -> list:
        with self.portal.store.reading() as db:
            return list(db.exec(select(table)).all())

    def states(self) -> list[tuple[str, str, int]]:
        return [(row.state, row.why, row.tries) for row in self.rows(Email)]


def press_stop(browser: Browser, address: str) -> int:
    """What a mail program's server sends on one click: no origin, no cookie."""
    answer = browser.client.post(address, data={"List-Unsubscribe": "One-Click"}, headers={})
    return answer.status_code


def stop_address(server: MailServer) -> str:
    return re.findall(rf"{ORIGIN}(/emails/stop/\S+)", server.text())[0]
