"""What is told by email: noted with the deed, gathered, sent once as new, and kept through whatever a mail server
does.
"""

import logging
import re
from dataclasses import replace
from datetime import timedelta

import pytest

from portal.settings import Smtp
from portal.store import answers, discussions, links
from portal.store.accounts import bands
from portal.store.database.session import CannotWrite
from portal.store.emails import addresses
from portal.store.emails.outbox import Email, Outbox
from portal.store.house import house_gigs, houses
from portal.web.frame.access import id_in_token
from portal.web.frame.running import Portal
from portal.web.mail import smtp
from portal.web.mail.email_job import EMAILS, GIVEN_UP, REMINDERS
from tests.builders import NOW, ABand, a_band, a_gig, a_link, an_answer
from tests.planning import plan_now
from tests.web.conftest import Browser
from tests.web.mail.email_scene import HOUSE, Scene
from tests.web.mail.mail_server import MailServer


def test_several_things_come_in_one_email(scene: Scene, server: MailServer) -> None:
    """What the house did within some minutes is told to the band once, and to nobody else."""
    scene.house_sends()
    scene.comment("house")
    scene.comment("house")
    scene.work()
    assert server.arrived == []
    scene.gathered()
    (told,) = server.arrived
    assert told["To"] == scene.band.email
    assert "- The house sent its answers.\n- The house wrote 2 comments.\n" in server.text()
    assert "Secret words" not in server.text()
    assert f"Open the gig: https://portal.test/gigs/{scene.gig.id}\n" in server.text()
    scene.later(days=3)
    assert len(server.arrived) == 1


def test_an_email_looks_as_it_should(scene: Scene, server: MailServer) -> None:
    """Plain text first, simple HTML after it without anything that is fetched; the headers of RFC 8058 and RFC 3834."""
    scene.house_sends()
    scene.gathered()
    (told,) = server.arrived
    (row,) = scene.rows(Email)
    assert [part.get_content_type() for part in told.iter_parts()] == ["text/plain", "text/html"]
    html = told.get_body(("html",)).get_content()
    assert re.findall(r"<(img|script|style|link|iframe)\b", html) == []
    assert told["From"] == "Gig advance portal <portal@portal.example>"
    assert told["Message-ID"] == f"<{row.id}@portal.test>"
    assert told["Auto-Submitted"] == "auto-generated"
    assert told["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert re.fullmatch(r"<https://portal\.test/emails/stop/[\w-]{43}>", told["List-Unsubscribe"])
    assert told["Subject"] == "The band's turn: Harbour night, Sat 5 Dec 2026, The Old Net Loft"
    assert max(map(len, server.told[0].splitlines())) <= 998


@pytest.mark.parametrize(
    "name", ["Loud\r\nBcc: other@house.example", "Loud\nSubject: Other", "Löud " * 20, "Loud\u2028night", "\x00Loud"]
)
def test_a_name_forges_no_header(name: str, scene: Scene, server: MailServer) -> None:
    """Whatever a band calls its gig stays in the subject, in one line."""
    with scene.portal.store.writing() as db:
        scene.gig = a_gig(db, scene.band, name=name)
        scene.link = a_link(db, scene.gig, scene.band)
    scene.house_sends()
    scene.gathered()
    (told,) = server.arrived
    assert told["Bcc"] is None
    assert len(told.get_all("Subject")) == 1
    assert "Loud" in told["Subject"] or "Löud" in told["Subject"]


def test_the_house_gets_its_own_way_in_and_nothing_of_the_band(
    scene: Scene, server: MailServer, browser: Browser
) -> None:
    """The address in the house's email opens its link, once it is pressed; no token stands in the database; it ends
    with the link.
    """
    scene.sign("band")
    scene.gathered()
    (told,) = server.arrived
    assert told["To"] == HOUSE
    assert "- The band signed revision 1.\n" in server.text()
    (opens,) = re.findall(r"Open the gig: https://portal\.test(/in/[\w-]{43})\n", server.text())
    assert "/gigs/" not in server.text()
    assert opens.rpartition("/")[2].encode() not in scene.portal.settings.database.read_bytes()
    assert browser.get(opens).status_code == 200
    assert browser.send(opens, page=opens).status_code == 303
    assert browser.get(f"/house/{scene.gig.id}").status_code == 200
    with scene.portal.store.writing() as db:
        links.revoke(db, links.by_id(db, scene.link.id), NOW, actor="")
    assert browser.get(opens).status_code == 404


def test_a_way_in_that_somebody_made_up_opens_nothing(scene: Scene, browser: Browser) -> None:
    """The id of a link with any other ending is as unknown as no link at all."""
    made_up = addresses.stop_digest(scene.portal.key, scene.link.id)[:43]
    assert browser.get(f"/in/{made_up}").status_code == 404


def test_a_scanner_that_opens_every_address_changes_nothing(scene: Scene, server: MailServer, browser: Browser) -> None:
    """Every address of every email, looked at ten times, leaves every row as it was."""
    scene.house_sends()
    scene.comment("band")
    scene.gathered()
    assert len(server.arrived) == 2
    before = scene.portal.settings.database.read_bytes()
    looked = 0
    for number in range(2):
        for address in re.findall(r"https://portal\.test(/\S+)", server.text(number)) * 10:
            assert browser.get(address).status_code in {200, 303}
            looked += 1
    print(f"\nemails=2 looked={looked} state_changes={scene.portal.settings.database.read_bytes() != before:d}")  # noqa: T201 - shown with -s
    assert looked == 40
    assert scene.portal.settings.database.read_bytes() == before


def test_a_thing_that_is_undone_is_not_told(scene: Scene, server: MailServer) -> None:
    """What moved and moved back is no news, and no email goes out for it."""
    scene.load_in(1000)
    scene.load_in(960)
    scene.gathered()
    assert server.arrived == []
    assert scene.states() == [("dropped", "", 1)]


def test_moved_times_are_told_as_they_were_and_are(scene: Scene, server: MailServer) -> None:
    """Each time once, from before the first change to after the last."""
    scene.load_in(990)
    scene.load_in(1020)
    scene.gathered()
    assert "- Load-in: was 16:00, now 17:00.\n" in server.text()
    assert server.arrived[0]["Subject"].startswith("The gig has moved: ")


def test_a_signature_that_fell_is_told_to_whoever_gave_it(scene: Scene, server: MailServer) -> None:
    """A new plan is told to the side that signed the one before, and to nobody where nobody signed."""
    scene.sign("band")
    scene.gathered()
    server.arrived.clear()
    with scene.portal.store.writing() as db:
        for key, value in {"inputs-free": 2, "pa": "mono"}.items():
            an_answer(db, scene.gig.id, key, value, link_id=scene.link.id, now=scene.clock.now)
        plan_now(db, scene.gig, scene.clock.now)
    scene.gathered()
    assert [one["To"] for one in server.arrived] == [scene.band.email]
    assert "The plan has changed since the band signed it. It is revision 2 now." in server.text()


def test_a_contact_that_changes_is_told_and_other_answers_are_not(scene: Scene, server: MailServer) -> None:
    """Who is there on the day, without the name."""
    for key, value in {"contact-name": "Noor Dalen", "room-capacity": 300}.items():
        with scene.portal.store.writing() as db:
            an_answer(db, scene.gig.id, key, value, link_id=scene.link.id, now=scene.clock.now)
    scene.gathered()
    assert "- The house changed who is there on the day.\n" in server.text()
    assert "Noor" not in server.text()
    assert len(scene.rows(Outbox)) == 1


def test_what_does_not_press_comes_once_a_day(scene: Scene, server: MailServer) -> None:
    """A comment an hour after an email waits for the next day; a signature does not."""
    scene.house_sends()
    scene.gathered()
    scene.later(hours=1)
    scene.comment("house")
    scene.gathered()
    assert len(server.arrived) == 1
    scene.later(days=1)
    assert len(server.arrived) == 2
    assert "The house wrote a comment." in server.text()
    scene.sign("house")
    scene.gathered()
    assert len(server.arrived) == 3


TROUBLE = {
    "refuses": ("failed", "refused", "The mail server refused this address"),
    "rejects": ("failed", "rejected", "The mail server refused the last email."),
    "defers": ("queued", "deferred", "The mail server did not take the last email yet."),
    "lets nobody send": ("queued", "deferred", "The mail server did not take the last email yet."),
    "cuts": ("queued", "cut", "the last email may have arrived"),
    "is slow": ("queued", "slow", "The mail server did not answer in time."),
}
COPIES = {"cuts": 2, "is slow": 2, "refuses": 0, "rejects": 0}


@pytest.mark.parametrize("behaves", TROUBLE)
def test_whatever_the_mail_server_does_nothing_is_lost(
    behaves: str, scene: Scene, server: MailServer, signed_in: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each has its sentence on the page of the side that gave the address; what can be tried again is, and every copy
    has one Message-ID.
    """
    monkeypatch.setattr(smtp.send, "__defaults__", (0.5,))
    state, why, sentence = TROUBLE[behaves]
    scene.comment("band")
    server.behaves = behaves
    scene.gathered()
    assert scene.states() == [(state, why, 1)]
    assert sentence in signed_in.get(scene.page).text
    server.behaves = ""
    scene.work()
    assert scene.states() == [(state, why, 1)]
    scene.later(minutes=1)
    if state == "queued":
        assert scene.states() == [("sent", "sent", 2)]
        assert "The last email was sent" in signed_in.get(scene.page).text
    assert len({one["Message-ID"] for one in server.arrived}) == (state == "queued")
    assert len(server.arrived) == COPIES.get(behaves, 1)
    scene.later(days=5)
    assert len(scene.rows(Email)) == 1


def test_a_refused_address_gets_nothing_until_it_is_corrected(
    scene: Scene, server: MailServer, signed_in: Browser
) -> None:
    """What follows goes nowhere; a corrected address hears of what comes next."""
    server.behaves = "refuses"
    scene.comment("band")
    scene.gathered()
    server.behaves = ""
    scene.sign("band")
    scene.gathered()
    assert server.arrived == []
    form = {f"email-{scene.link.id}": "new@house.example", "days": "7"}
    assert signed_in.send(scene.page, form, page=scene.page).status_code == 303
    scene.comment("band")
    scene.later(days=2)
    assert [one["To"] for one in server.arrived] == ["new@house.example"]


def test_waits_grow_until_it_is_given_up(scene: Scene, server: MailServer, signed_in: Browser) -> None:
    """A server that never takes it is asked after 1, 5, 30 minutes, 2, 6, 12 hours, and no more after two days."""
    scene.comment("band")
    server.behaves = "defers"
    scene.gathered()
    waits = []
    while scene.rows(Email)[0].state == "queued":
        (row,) = scene.rows(Email)
        waits.append(round((row.due - scene.clock.now).total_seconds() / 60))
        scene.clock.now = row.due
        scene.work()
    assert waits[:6] == [1, 5, 30, 120, 360, 720]
    assert sum(waits) >= GIVEN_UP.total_seconds() / 60
    assert "given up after two days" in signed_in.get(scene.page).text


def test_nobody_listens(scene: Scene, server: MailServer, monkeypatch: pytest.MonkeyPatch) -> None:
    """A mail server that is not there loses nothing either."""
    scene.comment("band")
    with monkeypatch.context() as away:
        away.setattr(server, "port", 1)
        away.setattr(smtp, "send", lambda given, message: real(replace(given, port=1), message))
        scene.gathered()
    assert scene.states() == [("queued", "down", 1)]
    scene.later(minutes=1)
    assert scene.states() == [("sent", "sent", 2)]


real = smtp.send


def test_a_line_that_cannot_be_made_secret_is_not_used(server: MailServer) -> None:
    """Where the mail server offers no TLS, nothing is sent in the clear."""
    message = smtp.EmailMessage()
    message["To"] = HOUSE
    assert real(Smtp("127.0.0.1", server.port, "starttls", "portal@portal.example"), message) is smtp.Outcome.DOWN
    assert server.arrived == []


def test_while_the_server_has_it_nobody_holds_a_transaction(scene: Scene, server: MailServer) -> None:
    """Somebody else writes while an email is under way."""
    scene.comment("band")
    server.meanwhile = lambda: scene.comment("house")
    scene.gathered()
    assert scene.states()[0] == ("sent", "sent", 1)


def test_what_is_undone_is_not_queued(scene: Scene) -> None:
    """A deed whose transaction falls leaves nothing to tell."""

    def falls() -> None:
        with scene.portal.store.writing() as db:
            answers.send(db, scene.gig.id, scene.link.id, NOW)
            raise CannotWrite("full")

    with pytest.raises(CannotWrite):
        falls()
    assert scene.rows(Outbox) == []


def test_each_is_queued_once_for_each_reader(scene: Scene, server: MailServer) -> None:
    """Twelve deeds and three readers: each reader has each deed in exactly one email."""
    with scene.portal.store.writing() as db:
        other = a_link(db, scene.gig, scene.band)
        addresses.give_address(db, f"link:{other.id}", "second@house.example", "band", NOW)
    for number in range(6):
        scene.comment("band")
        scene.comment("house")
        scene.later(hours=number)
    scene.later(days=2)
    rows = scene.rows(Outbox)
    message_ids = [one["Message-ID"] for one in server.arrived]
    print(f"\ndeeds=12 queued={len(rows)} twice={len(rows) - len({(row.once, row.who) for row in rows})}")  # noqa: T201 - shown with -s
    assert len(rows) == len({(row.once, row.who) for row in rows}) == 18
    assert all(row.email_id for row in rows)
    assert {one["To"] for one in server.arrived} == {scene.band.email, HOUSE, "second@house.example"}
    assert len(set(message_ids)) == len(message_ids)


@pytest.mark.parametrize(("days", "told"), [(11, 0), (7, 1), (2, 1)])
def test_the_house_is_reminded_once(days: int, told: int, scene: Scene, server: MailServer) -> None:
    """Seven days before the gig where nothing was answered."""
    scene.clock.now = NOW.replace(month=12, day=5) - timedelta(days=days)
    for _ in range(3):
        scene.work(REMINDERS)
        scene.gathered()
    assert len(server.arrived) == told
    if told:
        assert "The gig is on Sat 5 Dec 2026, and the house has not sent its answers." in server.text()
        assert "Next: the house answers the questions." in server.text()


def test_no_reminder_where_the_band_wants_none(scene: Scene, server: MailServer) -> None:
    """The band's choice counts for all of its gigs."""
    with scene.portal.store.writing() as db:
        addresses.choose_reminder(db, scene.band.band_id, 0)
    scene.clock.now = NOW.replace(month=12, day=3)
    scene.work(REMINDERS)
    scene.gathered()
    assert server.arrived == []


def test_a_reminder_that_became_untrue_is_dropped(scene: Scene, server: MailServer) -> None:
    """The house answers between the reminder and its sending: only the band hears."""
    scene.clock.now = NOW.replace(month=12, day=1)
    scene.work(REMINDERS)
    scene.house_sends()
    scene.gathered()
    assert [one["To"] for one in server.arrived] == [scene.band.email]


def test_whoever_has_not_signed_is_reminded(scene: Scene, server: MailServer) -> None:
    """Three days before the gig."""
    scene.house_sends()
    scene.sign("band")
    scene.gathered()
    server.arrived.clear()
    scene.clock.now = NOW.replace(month=12, day=2)
    scene.work(REMINDERS)
    scene.gathered()
    assert [one["To"] for one in server.arrived] == [HOUSE]
    assert "and the house has not signed the plan." in server.text()


def test_one_house_reads_of_two_bands_in_one_email(
    portal: Portal, band: ABand, scene: Scene, server: MailServer
) -> None:
    """The house's own address hears of all gigs on its stages; each opens by its own link."""
    with portal.store.writing() as db:
        house = houses.make(db, "Kiln Yard Hall", "hash", NOW)
        stage = houses.add_stage(db, house.id, "big stage", NOW)
        addresses.give_address(db, f"house:{house.id}", "house@house.example", "house", NOW)
        for one in (band, a_band(db, name="The Wet Towels")):
            gig = a_gig(db, one)
            house_gigs.tie(db, gig.id, stage.id, a_link(db, gig, one).id, NOW)
            discussions.say(db, gig_id=gig.id, party="band", author="Ada", words="Hi", user_id=one.user_id, now=NOW)
    scene.gathered()
    (told,) = server.arrived
    assert told["Subject"] == "News of 2 gigs"
    assert len(set(re.findall(r"/in/[\w-]{43}", server.text()))) == 2
    assert "The Paper Lanterns" in server.text()
    assert "The Wet Towels" in server.text()


def test_an_address_that_is_changed_before_the_email_leaves_gets_nothing_of_another_reader(
    scene: Scene, server: MailServer
) -> None:
    """One address of two links, one email; its first reader moves away while it waits to be tried again."""
    with scene.portal.store.writing() as db:
        gig = a_gig(db, scene.band, name="The other gig")
        other = a_link(db, gig, scene.band)
        addresses.give_address(db, f"link:{other.id}", HOUSE, "band", NOW)
        for told in (scene.gig, gig):
            discussions.say(
                db,
                gig_id=told.id,
                party="band",
                author="A",
                words="Words.",
                now=scene.clock.now,
                user_id=scene.band.user_id,
            )
    server.behaves = "defers"
    scene.gathered()
    with scene.portal.store.writing() as db:
        (email,) = scene.rows(Email)
        moved, stays = (other, scene.gig) if email.who == f"link:{other.id}" else (scene.link, gig)
        addresses.give_address(db, f"link:{moved.id}", "moved@house.example", "band", NOW)
    server.behaves = ""
    scene.later(minutes=5)
    scene.later(minutes=1)
    told = {one["To"]: one.get_body(("plain",)).get_content() for one in server.arrived}
    assert told.keys() == {"moved@house.example", HOUSE}
    assert stays.name not in told["moved@house.example"]
    assert stays.name in told[HOUSE]


def test_an_address_that_is_changed_while_the_server_refuses_the_old_one_is_told(
    scene: Scene, server: MailServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The address that was refused is marked, not the one that was given meanwhile."""
    sending = smtp.send

    def send(*args):
        outcome = sending(*args)
        with scene.portal.store.writing() as db:
            addresses.give_address(db, f"link:{scene.link.id}", "moved@house.example", "band", NOW)
        return outcome

    monkeypatch.setattr(smtp, "send", send)
    scene.comment("band")
    server.behaves = "refuses"
    scene.gathered()
    server.behaves = ""
    scene.later(minutes=1)
    (told,) = server.arrived
    assert told["To"] == "moved@house.example"


def test_one_address_of_two_links_reads_of_a_gig_once(scene: Scene, server: MailServer) -> None:
    """Whoever has two links to a gig, or a link and the house's own address, is told once, by the link that can
    more.
    """
    with scene.portal.store.writing() as db:
        less = a_link(db, scene.gig, scene.band, powers=("view",))
        addresses.give_address(db, f"link:{less.id}", HOUSE.title(), "band", NOW)
        house = houses.make(db, "Kiln Yard Hall", "hash", NOW)
        stage = houses.add_stage(db, house.id, "big stage", NOW)
        house_gigs.tie(db, scene.gig.id, stage.id, less.id, NOW)
        addresses.give_address(db, f"house:{house.id}", HOUSE, "house", NOW)
    scene.comment("band")
    scene.gathered()
    (told,) = server.arrived
    assert told["Subject"].endswith("The Old Net Loft")
    assert server.text().count("- The band wrote a comment.") == 1
    (opens,) = re.findall(r"/in/([\w-]{43})", server.text())
    assert id_in_token(opens) == scene.link.id


def test_neither_address_nor_token_is_logged_or_stored(
    scene: Scene, server: MailServer, browser: Browser, caplog: pytest.LogCaptureFixture
) -> None:
    """After an email that arrived, one that was refused, its way in and its stop: the log has ids alone, and of the
    tokens nothing stands in the database.
    """
    caplog.set_level(logging.DEBUG, "portal")
    scene.sign("band")
    scene.gathered()
    tokens = re.findall(r"/(?:in|stop)/([\w-]{43})", server.text())
    browser.send(f"/in/{tokens[0]}", page=f"/in/{tokens[0]}")
    browser.client.post(f"/emails/stop/{tokens[1]}", data={"again": "yes"})
    server.behaves = "refuses"
    scene.sign("house")
    scene.gathered()
    logged = "\n".join(record.getMessage() for record in caplog.records if record.name.startswith("portal"))
    assert "email sent" in logged
    assert "email address refused" in logged
    assert [secret for secret in (HOUSE, scene.band.email, *tokens) if secret in logged] == []
    content = scene.portal.settings.database.read_bytes()
    assert [token for token in tokens if token.encode() in content] == []


def test_without_a_mail_server_nothing_changes(scene: Scene, signed_in: Browser) -> None:
    """Nothing is noted and no page speaks of emails."""
    scene.portal.store.emails = False
    scene.house_sends()
    assert scene.rows(Outbox) == []
    with scene.portal.store.reading() as db:
        assert EMAILS.due(db, NOW + timedelta(days=1)) == REMINDERS.due(db, NOW) == ()
    for page in (f"/gigs/{scene.gig.id}", f"/gigs/{scene.gig.id}/links", "/account"):
        assert re.search(r"[Ee]mails|Send it to", signed_in.get(page).text) is None
    assert signed_in.get(scene.page).status_code == 404


def test_whoever_left_the_band_is_told_nothing(scene: Scene, server: MailServer) -> None:
    """An editor who goes between a deed and its email hears nothing of it."""
    with scene.portal.store.writing() as db:
        user = bands.add_user(db, email="ed@band.example", name="Ed", password_hash="x", now=NOW)
        bands.add_member(db, scene.band.band_id, user.id, "editor", NOW)
    scene.house_sends()
    server.behaves = "defers"
    scene.gathered()
    with scene.portal.store.writing() as db:
        bands.remove(db, scene.band.band_id, user.id)
    server.behaves = ""
    scene.later(minutes=1)
    assert [one["To"] for one in server.arrived] == [scene.band.email]
