"""What emails to the house say is among the texts that each language of the house's says."""

from pathlib import Path

from portal.store import gigs
from portal.store.database import scopes
from portal.store.emails import addresses
from portal.web.mail.email_job import REMINDERS
from tests.builders import NOW
from tests.web.mail.email_scene import HOUSE, Scene
from tests.web.mail.mail_server import MailServer
from tests.wording.looked_up import beyond, lacking, looked_up


def test_what_emails_to_the_house_say_stands_in_every_catalogue(
    scene: Scene, server: MailServer, tmp_path: Path
) -> None:
    """What happened, what is due, what is next and why it is sent: each text is marked, the house's, and translated."""
    with looked_up(tmp_path, "nl") as asked:
        with scene.portal.store.writing() as db:
            scopes.take(db, scopes.reader(f"link:{scene.link.id}"))
            addresses.keep_language(db, f"link:{scene.link.id}", "nl")
        scene.clock.now = NOW.replace(month=12, day=3)
        scene.work(REMINDERS)
        scene.gathered()
        scene.clock.now = NOW.replace(month=12, day=4)
        for deed in (scene.comment, scene.sign):
            deed("band")
        scene.load_in(1000)
        scene.gathered()
        with scene.portal.store.writing() as db:
            gig = gigs.of_link(db, scene.gig.id)
            gigs.cancel(db, gig, gig.version, scene.clock.now, actor=f"user:{scene.band.user_id}")
        scene.gathered()
    assert {one["To"] for one in server.arrived} == {HOUSE}
    print(f"\nemails={len(server.arrived)} texts={len(asked)}")  # noqa: T201 - shown with -s
    assert len(asked) > 20
    assert beyond(asked) == []
    assert lacking(asked) == {}
