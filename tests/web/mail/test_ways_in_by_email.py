"""Ways in that come by email: an invitation to a band, and a link to a new password."""

import re
from collections.abc import Callable

from sqlalchemy import event
from sqlmodel import select

from portal import admin_commands
from portal.store.accounts import bands
from portal.store.accounts.invitations import Invitation
from portal.store.emails.addresses import EmailAddress
from portal.store.emails.outbox import Email, Outbox
from portal.store.record import erasing
from portal.web.frame.access import INVITATION_LASTS, RESET_LINK_LASTS
from tests.builders import ABand
from tests.web.conftest import ORIGIN, Browser, Clock
from tests.web.mail.email_scene import Scene, press_stop, stop_address
from tests.web.mail.mail_server import MailServer

NEW = "bo@band.example"
NEW_PASSWORD = "a long walk home after the show"
JOIN = {"name": "Bo Example", "email": NEW, "password_new": NEW_PASSWORD}
RECOVER = "/recover/email"


def invite(browser: Browser, address: str = NEW) -> str:
    answer = browser.send("/members/invitations", {"role": "editor", "email": address}, page="/members")
    assert answer.status_code == 200
    return answer.text


def ask(browser: Browser, address: str) -> str:
    answer = browser.send(RECOVER, {"email": address}, page=RECOVER)
    assert (answer.status_code, answer.headers["location"]) == (303, f"{RECOVER}?done=yes")
    return browser.get(answer.headers["location"]).text


def opens(server: MailServer, number: int = -1) -> str:
    """The one address in an email that is not its stop."""
    (found,) = re.findall(rf"{ORIGIN}(/(?:join|new-password)/\S+)", server.text(number))
    return found


def both_ways(scene: Scene, inviting: Browser, asking: Browser) -> list[str]:
    """The addresses of an invitation and of a link to a new password, which came by email."""
    invite(inviting)
    ask(asking, scene.band.email)
    scene.work()
    return [opens(scene.server, number) for number in range(2)]


def test_an_invitation_comes_by_email_and_works_once(
    scene: Scene, server: MailServer, signed_in: Browser, another: Callable[[], Browser]
) -> None:
    """At once, to the address alone, under the band's name; the link on the page is another one, and either ends
    both.
    """
    page = invite(signed_in)
    assert f"An email with the link goes to {NEW}." in page
    scene.work()
    (told,) = server.arrived
    assert (told["To"], told["Subject"]) == (NEW, "Join The Paper Lanterns")
    assert server.text() == (
        "Ada Example invites you to The Paper Lanterns on this portal.\n\n"
        "Here a band agrees with each house how its signals reach the desk.\n\n"
        "Editor: changes rigs and gigs.\n\nThe link works once, until Wed 2 Dec 2026, 12:00 (UTC+00:00).\n\n"
        f"Join The Paper Lanterns: {ORIGIN}{opens(server)}\n\n"
        "-- \nThe Paper Lanterns gave this address to invite you.\n"
        "The portal wrote this. Nobody reads replies to this address.\n"
        f"Stop these emails: {ORIGIN}{stop_address(server)}\n"
    )
    shown = re.search(rf"{ORIGIN}(/join/[\w-]+)", page)[1]
    assert shown != opens(server)
    waiting = signed_in.get("/members").text
    assert f"Sent to {NEW}. The last email was sent" in waiting
    for _ in range(5):
        assert another().get(opens(server)).status_code == 200
    assert another().send(opens(server), JOIN, page=opens(server)).status_code == 303
    assert [another().get(path).status_code for path in (opens(server), shown)] == [404, 404]
    assert [row.who for row in scene.rows(EmailAddress)] == [f"link:{scene.link.id}"]


def test_an_invitation_that_is_taken_back_or_old_is_not_sent(
    scene: Scene, server: MailServer, signed_in: Browser, another: Callable[[], Browser], clock: Clock
) -> None:
    """What waits is dropped, what came leads nowhere, and its address is forgotten."""
    server.behaves = "defers"
    invite(signed_in)
    scene.work()
    (made,) = scene.rows(Invitation)
    assert "The mail server did not take the last email yet." in signed_in.get("/members").text
    signed_in.send(f"/members/invitations/{made.id}/end", page="/members")
    server.behaves = ""
    scene.later(minutes=2)
    assert server.arrived == []
    assert NEW not in [row.address for row in scene.rows(EmailAddress)]
    invite(signed_in)
    scene.work()
    clock.now += INVITATION_LASTS
    assert another().get(opens(server)).status_code == 404
    admin_commands.tidy(scene.portal.store, clock.now)
    assert NEW.encode() not in scene.portal.settings.database.read_bytes()


def test_an_invitation_to_a_refused_address_is_told_where_it_was_made(
    scene: Scene, server: MailServer, signed_in: Browser
) -> None:
    """On the page of the members, with what to do."""
    server.behaves = "refuses"
    invite(signed_in)
    scene.work()
    refused = f"Sent to {NEW}. The mail server refused this address. Take the link back, and send one to another"
    assert refused in signed_in.get("/members").text


def test_whoever_stopped_emails_is_not_invited_by_one(
    scene: Scene, server: MailServer, signed_in: Browser, browser: Browser
) -> None:
    """One press in the first invitation is enough."""
    invite(signed_in)
    scene.work()
    press_stop(browser, stop_address(server))
    invite(signed_in)
    scene.work()
    assert len(server.arrived) == 1
    assert "Whoever reads this address stopped these emails." in signed_in.get("/members").text


def test_invitations_by_email_are_braked(scene: Scene, signed_in: Browser) -> None:
    """One account sends no more than 30 a day; without an address it still hands out links."""
    for number in range(30):
        invite(signed_in, f"bo{number}@band.example")
    form = {"role": "editor", "email": "bo30@band.example"}
    assert signed_in.send("/members/invitations", form, page="/members").status_code == 429
    invite(signed_in, "")
    assert len(scene.rows(Outbox)) == 30


def test_a_lost_password_is_replaced_by_a_link_in_an_email(
    scene: Scene, server: MailServer, browser: Browser, another: Callable[[], Browser], band: ABand
) -> None:
    """It works once, opening it changes nothing, and every older link to a new password ends with it."""
    assert "Send me a link by email" in browser.get("/recover").text
    for _ in range(2):
        ask(browser, band.email.upper())
    scene.work()
    assert [one["To"] for one in server.arrived] == [band.email] * 2
    told = server.arrived[-1]
    assert told["Subject"] == "A new password"
    assert told["List-Unsubscribe"] is None
    assert server.text() == (
        "Somebody asked for a new password for the account of this address.\n\n"
        "The link works once, until Thu 26 Nov 2026, 12:00 (UTC+00:00).\n\nA new password signs out every other"
        " browser.\n\n"
        "Was it somebody else? Then do nothing: the password stays as it is.\n\n"
        f"Set a new password: {ORIGIN}{opens(server)}\n\n"
        "-- \nThis address belongs to an account.\nThe portal wrote this. Nobody reads replies to this address.\n"
    )
    links = [opens(server, 0), opens(server, 1)]
    assert links[0] != links[1]
    for _ in range(5):
        assert another().get(links[0]).status_code == 200
    assert another().send(links[0], {"password_new": "short"}, page=links[0]).status_code == 422
    fresh = another()
    assert fresh.send(links[0], {"password_new": NEW_PASSWORD}, page=links[0]).status_code == 303
    assert "Ada Example" in fresh.get("/").text
    assert [another().get(link).status_code for link in links] == [404, 404]
    form = {"email": band.email, "password": NEW_PASSWORD}
    assert another().send("/sign-in", form, page="/sign-in").status_code == 303


def test_a_link_to_a_new_password_ends_after_a_day(
    scene: Scene, server: MailServer, browser: Browser, band: ABand, clock: Clock
) -> None:
    """By then it leads nowhere, and one that no server took is not sent any more."""
    ask(browser, band.email)
    scene.work()
    ask(browser, band.email)
    server.behaves = "defers"
    scene.work()
    server.behaves = ""
    clock.now += RESET_LINK_LASTS
    assert browser.get(opens(server)).status_code == 404
    scene.work()
    assert len(server.arrived) == 1


def test_nobody_learns_who_has_an_account(
    scene: Scene, server: MailServer, another: Callable[[], Browser], band: ABand
) -> None:
    """A known and an unknown address get the same page after the same statements, as often as somebody asks."""

    def told(address: str) -> tuple[list[str], list[str]]:
        said: list[str] = []

        def hear(_connection, _cursor, statement, *_rest) -> None:
            said.append(statement)

        browser = another()
        event.listen(scene.portal.store.engine, "before_cursor_execute", hear)
        pages = [re.sub(r'value="[\w-]{20,}"', "", ask(browser, address)) for _ in range(4)]
        event.remove(scene.portal.store.engine, "before_cursor_execute", hear)
        return pages, said

    known, unknown = told(band.email), told("nobody@band.example")
    assert known == unknown
    assert len(set(known[0])) == 1
    assert known[1]
    scene.work()
    assert [one["To"] for one in server.arrived] == [band.email] * 3


def test_whoever_asks_in_somebody_s_name_shuts_nobody_out(
    scene: Scene, server: MailServer, another: Callable[[], Browser], band: ABand
) -> None:
    """However often somebody asks, three emails an hour come, each works, and the owner's link and codes go on."""
    for _ in range(10):
        ask(another(), band.email)
    scene.work()
    assert len(server.arrived) == 3
    for number in range(3):
        assert another().get(opens(server, number)).status_code == 200


def test_a_new_password_comes_although_emails_were_stopped_or_refused(
    scene: Scene, server: MailServer, browser: Browser, band: ABand
) -> None:
    """Whoever lost the password asks for it; nothing else is sent there."""
    scene.house_sends()
    scene.gathered()
    press_stop(browser, stop_address(server))
    assert "A link to a new password still comes" in browser.get(stop_address(server)).text
    ask(browser, band.email)
    scene.work()
    assert [one["Subject"] for one in server.arrived][-1] == "A new password"
    server.behaves = "refuses"
    ask(browser, band.email)
    scene.work()
    server.behaves = ""
    ask(browser, band.email)
    scene.house_sends()
    scene.gathered()
    assert [one["Subject"] for one in server.arrived][-1] == "A new password"
    assert len(server.arrived) == 3


def test_no_token_and_no_address_is_stored_or_logged(
    scene: Scene, signed_in: Browser, browser: Browser, band: ABand, caplog
) -> None:
    """The address of an invitation stands in its one row; of the tokens nothing is stored."""
    caplog.set_level("DEBUG", "portal")
    tokens = [path.rsplit("/", 1)[1] for path in both_ways(scene, signed_in, browser)]
    content = scene.portal.settings.database.read_bytes()
    logged = "\n".join(record.getMessage() for record in caplog.records if record.name.startswith("portal"))
    assert [token for token in tokens if token.encode() in content or token in logged] == []
    assert [address for address in (NEW, band.email) if address in logged] == []
    assert all(NEW not in f"{row!r}" and band.email not in f"{row!r}" for row in scene.rows(Outbox) + scene.rows(Email))


def test_made_up_ways_in_open_nothing(scene: Scene, signed_in: Browser, browser: Browser) -> None:
    """An id with any other ending is as unknown as none; a way of one kind opens none of the other."""
    join, password = (path.rsplit("/", 1)[1] for path in sorted(both_ways(scene, signed_in, browser)))
    never = browser.get("/join/never-made")
    for path in (
        f"/join/{password}",
        f"/new-password/{join}",
        f"/join/{join[:-2]}AA",
        f"/new-password/{password[:-2]}AA",
    ):
        assert (browser.get(path).status_code, browser.get(path).text) == (404, never.text)


def test_all_of_it_is_erased_with_band_and_account(
    scene: Scene, signed_in: Browser, browser: Browser, band: ABand
) -> None:
    """Address, what waits and what was sent; whoever owns the account takes the address along before."""
    ways = both_ways(scene, signed_in, browser)
    assert NEW in signed_in.get("/account/given.json").text
    with scene.portal.store.writing() as db:
        erasing.of_user(db, band.user_id, scene.clock.now)
        assert [row.who for row in db.exec(select(EmailAddress))] == []
        assert [table for table in (Outbox, Email, Invitation) if db.exec(select(table)).first()] == []
    assert [browser.get(path).status_code for path in ways] == [404, 404]


def test_somebody_of_no_band_sets_a_new_password(
    scene: Scene, server: MailServer, browser: Browser, another: Callable[[], Browser]
) -> None:
    """An account that was removed from its band has nobody else to ask."""
    with scene.portal.store.writing() as db:
        bands.add_user(db, email="di@band.example", name="Di Example", password_hash="x", now=scene.clock.now)
    ask(browser, "di@band.example")
    scene.work()
    assert another().send(opens(server), {"password_new": NEW_PASSWORD}, page=opens(server)).status_code == 303


def test_without_a_mail_server_the_pages_stay_as_they_were(
    scene: Scene, signed_in: Browser, another: Callable[[], Browser]
) -> None:
    """No field, no button, no page; an address that is sent all the same goes nowhere."""
    scene.portal.store.emails = False
    assert "Send it to" not in signed_in.get("/members").text
    assert "An email" not in invite(signed_in)
    assert "by email" not in another().get("/recover").text
    assert another().get(RECOVER).status_code == 404
    assert scene.rows(Outbox) == []
