"""A band asks for a gig by a house's inquiry link: what each side sees before and after the house accepts."""

import html
import re
from collections.abc import Callable, Iterator

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from portal.store import answers, gigs, links
from portal.store.database.session import Store
from portal.store.house import house_gigs, houses, inquiries
from portal.store.house.houses import Line
from portal.store.record import erasing
from portal.store.rigs import BandRig
from portal.web.frame.access import new_token, token_hash, write_id_token
from portal.web.frame.running import Portal
from portal.web.house.inquiry_links import INQUIRY
from tests.builders import NOW, ABand, a_band, a_stored_rig
from tests.web.conftest import ORIGIN, Browser
from tests.web.test_members import as_user

SHEET = {"pa": "stereo", "room-capacity": 350, "sound-limit": "98 dB", "box-place": "stage-left", "box-inputs": 32}


class House:
    """A house with one stage, and a browser that has its key."""

    def __init__(self, store: Store, app: FastAPI) -> None:
        key = new_token()
        with store.writing() as db:
            self.house = houses.make(db, "Kiln Yard Hall", token_hash(key), NOW)
            self.stage = houses.add_stage(db, self.house.id, "big stage", NOW)
            houses.save(db, self.stage, [Line(topic, "answered", value) for topic, value in SHEET.items()], NOW)
        self.browser = Browser(TestClient(app, base_url=ORIGIN, follow_redirects=False))
        assert self.browser.send(f"/house-key/{key}", page=f"/house-key/{key}").status_code == 303
        self.list = f"/houses/{self.house.id}"
        self.link_page = f"{self.list}/stages/{self.stage.id}/inquiry"

    def link(self) -> str:
        """The inquiry link, made once and shown again."""
        assert self.browser.send(self.link_page, page=self.link_page).status_code == 303
        shown = re.findall(rf'class="address">{ORIGIN}(/ask/[\w-]+)<', self.browser.get(self.link_page).text)
        assert len(shown) == 1
        return shown[0]

    def settle(self, gig_id: str, outcome: str) -> object:
        return self.browser.send(f"{self.list}/inquiries/{gig_id}", {"outcome": outcome}, page=self.list)


@pytest.fixture
def house(store: Store, app: FastAPI) -> Iterator[House]:
    made = House(store, app)
    yield made
    made.browser.client.close()


@pytest.fixture
def ask(signed_in: Browser, club_rig: BandRig, house: House) -> Callable[..., object]:
    """The band asks for a gig."""
    way = house.link()

    def send(**changed: str) -> object:
        form = {"name": "Autumn night", "on": "2026-12-12", "zone": "Europe/Berlin", "rig": club_rig.id, **changed}
        return signed_in.send(way, form, page=way)

    return send


def asked_gig(answer: object) -> str:
    assert answer.status_code == 303
    return answer.headers["location"].rpartition("/")[2]


def test_before_it_is_accepted_each_side_sees_names_alone(
    ask: Callable[..., object], house: House, signed_in: Browser
) -> None:
    """The band: house and stage. The house: act, name and date. Neither sheet nor plan crosses."""
    gig_id = asked_gig(ask())
    page = signed_in.get(f"/gigs/{gig_id}").text
    assert "Asked: Kiln Yard Hall, big stage. The house has not accepted yet" in page
    for path in ("", "/plan", "/questions", "/history"):
        assert "98 dB" not in signed_in.get(f"/gigs/{gig_id}{path}").text
    listed = house.browser.get(house.list).text
    assert "<b>The Paper Lanterns</b> asks for Sat 12 Dec 2026 on big stage: Autumn night" in html.unescape(listed)
    assert house.browser.get(f"/house/{gig_id}").status_code == 404
    assert house.browser.send(f"{house.list}/gigs/{gig_id}/open", page=house.list).status_code == 404


def test_once_accepted_the_stage_s_answers_stand_in_the_gig(
    ask: Callable[..., object], house: House, signed_in: Browser, store: Store
) -> None:
    """As said by the house, of the day on which its sheet's line was said; what belongs to the night is asked next."""
    gig_id = asked_gig(ask())
    accepted = house.settle(gig_id, "accepted")
    assert accepted.headers["location"] == f"/house/{gig_id}/sheet"
    night = house.browser.get(f"/house/{gig_id}/sheet")
    assert night.status_code == 200
    with store.reading() as db:
        given = {row.question: row for row in answers.newest(db, gig_id)}
        assert {key: given[key].read().value for key in ("pa", "room-capacity", "sound-limit")} == {
            "pa": "stereo", "room-capacity": 350, "sound-limit": "98 dB",
        }  # fmt: skip
        assert {row.party for row in given.values()} == {"house"}
        assert given["pa"].before.on == NOW.date().isoformat()
        assert house_gigs.stage_of(db, gig_id).id == house.stage.id
        assert not answers.sent(db, gig_id)
    sent = house.browser.send(f"/house/{gig_id}/sheet", filled(night.text), page=f"/house/{gig_id}/sheet")
    assert sent.status_code == 303
    assert "Accepted the gig" in signed_in.get(f"/gigs/{gig_id}/history").text
    assert "98 dB" in signed_in.get(f"/gigs/{gig_id}/plan").text


def test_accepting_by_two_presses_is_accepting_once(ask: Callable[..., object], house: House) -> None:
    """The second press of one form leads where the first one did."""
    gig_id = asked_gig(ask())
    key = re.findall(r'name="form_key" value="([^"]+)"', house.browser.get(house.list).text)[0]
    sent = {"form_key": key, "outcome": "accepted"}
    pressed = [
        house.browser.client.post(f"{house.list}/inquiries/{gig_id}", data=sent, headers={"Origin": ORIGIN})
        for _ in range(2)
    ]
    assert [one.headers.get("location") for one in pressed] == [f"/house/{gig_id}/sheet"] * 2


def filled(text: str) -> dict[str, str]:
    """The fields of a page as they stand in it."""
    checked = re.findall(r'<input type="radio" name="([\w-]+)"[^>]*value="([^"]*)" checked', text)
    typed = re.findall(r'<input id="([\w-]+)" name="[\w-]+" type="text"[^>]*\svalue="([^"]*)"', text)
    hidden = re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', text)
    return dict([*hidden, *checked, *typed])


def test_a_declined_gig_is_told_and_its_link_ends(
    ask: Callable[..., object], house: House, signed_in: Browser, store: Store
) -> None:
    """The gig stays the band's own; the house settles it once."""
    gig_id = asked_gig(ask())
    assert house.settle(gig_id, "declined").status_code == 303
    assert house.settle(gig_id, "accepted").status_code == 404
    assert "Kiln Yard Hall declined the gig." in signed_in.get(f"/gigs/{gig_id}").text
    with store.reading() as db:
        assert [link.live(NOW) for link in links.of_gig(db, gig_id)] == [False]
        assert house_gigs.stage_of(db, gig_id) is None


def test_an_ended_link_asks_for_nothing(ask: Callable[..., object], house: House, browser: Browser) -> None:
    """It looks like none at all; what was asked for stays, and a new link is another one."""
    way = house.link()
    asked_gig(ask())
    assert house.browser.send(house.link_page, {"end": "yes"}, page=house.link_page).status_code == 303
    ended, never = browser.get(way), browser.get("/ask/nothing")
    assert (ended.status_code, ended.text) == (404, never.text)
    assert ask().status_code == 404
    assert "Autumn night" in house.browser.get(house.list).text
    assert house.link() != way


def test_another_token_of_the_portal_is_no_inquiry_link(house: House, portal: Portal, browser: Browser) -> None:
    """A stage's id, or a link's token made for something else, opens nothing."""
    way = house.link()
    assert browser.get(way).status_code == 200
    for made in (write_id_token(portal.key, INQUIRY, house.stage.id), write_id_token(portal.key, "x", house.stage.id)):
        assert browser.get(f"/ask/{made}").status_code == 404


def test_looking_at_the_link_changes_nothing_and_shows_two_names(
    house: House, browser: Browser, settings: object
) -> None:
    """Anybody may open it; to ask needs an account."""
    way = house.link()
    before = settings.database.read_bytes()
    for _ in range(20):
        shown = browser.get(way)
    assert "Kiln Yard Hall, big stage" in shown.text
    assert f"/sign-in?then={way}" in shown.text
    assert not any(str(value) in shown.text for value in (350, "98 dB"))
    assert settings.database.read_bytes() == before
    assert browser.send(way, {"name": "x"}).status_code == 401


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"name": ""}, "name"),
        ({"on": "2026-11-24"}, "on"),
        ({"on": "soon"}, "on"),
        ({"zone": "Nowhere"}, "zone"),
        ({"rig": "another band's"}, "rig"),
    ],
)
def test_what_cannot_be_asked_for_gets_its_sentence(
    changed: dict[str, str], field: str, ask: Callable[..., object], store: Store, band: ABand
) -> None:
    """At its field, with the rest as it was typed, and no gig is made."""
    answer = ask(**changed)
    assert answer.status_code == 422
    assert f'id="{field}-fault"' in answer.text
    with store.reading() as db:
        assert gigs.of_band(db, band.band_id) == []


def test_asking_is_braked(ask: Callable[..., object]) -> None:
    """Ten a day and account; sent twice, one form asks once."""
    statuses = [ask(name=f"Night {number}").status_code for number in range(11)]
    assert statuses == [303] * 10 + [429]


class Askers:
    """Bands with an account and a rig, each in a browser that comes by an address."""

    def __init__(self, portal: Portal, app: FastAPI, way: str) -> None:
        self.portal, self.app, self.way = portal, app, way

    def ask(self, line: str, times: int = 1) -> list[object]:
        """A new account asks by a line, so often."""
        with self.portal.store.writing() as db:
            band = a_band(db)
            rig = a_stored_rig(db, band)
        form = {"name": "Autumn night", "on": "2026-12-12", "zone": "Europe/Berlin", "rig": rig.id}
        with TestClient(self.app, base_url=ORIGIN, follow_redirects=False, client=(line, 50_000)) as client:
            browser = as_user(self.portal, Browser(client), band.user_id)
            return [browser.send(self.way, form, page=self.way) for _ in range(times)]


def test_one_attacker_with_many_accounts_shuts_nobody_out(portal: Portal, app: FastAPI, house: House) -> None:
    """Six accounts by one line ask for ten gigs in all; a band on another line is heard, and so is the next."""
    askers = Askers(portal, app, house.link())
    statuses = [answer.status_code for _ in range(6) for answer in askers.ask("192.0.2.1", 11)]
    assert (statuses.count(303), statuses.count(429)) == (10, 56)
    assert [askers.ask(f"198.51.100.{host}")[0].status_code for host in range(3)] == [303] * 3


def test_a_house_opens_a_link_again_that_very_many_asked_by(portal: Portal, app: FastAPI, house: House) -> None:
    """By many lines at once it is closed for the day, which house and band are told; one press opens it."""
    askers = Askers(portal, app, house.link())
    while not portal.asked_limiter.take(house.stage.id):
        pass
    (answer,) = askers.ask("192.0.2.1")
    assert answer.status_code == 429
    assert "This house takes no more today" in answer.text
    assert "The inquiry link of big stage takes no more gigs today." in house.browser.get(house.list).text
    assert "Take more gigs today" in house.browser.get(house.link_page).text
    house.browser.send(house.link_page, {"more": "yes"}, page=house.link_page)
    assert "takes no more gigs today" not in house.browser.get(house.list).text
    assert askers.ask("192.0.2.1")[0].status_code == 303


def test_a_form_that_is_repeated_takes_no_second_place(
    signed_in: Browser, club_rig: BandRig, house: House, portal: Portal
) -> None:
    """Whoever presses twice gets the gig that was asked for, also where no further one may be."""
    way = house.link()
    form = {"name": "Autumn night", "on": "2026-12-12", "zone": "Europe/Berlin", "rig": club_rig.id}
    form["form_key"] = "a" * 32
    first = signed_in.send(way, form, page=way)
    while not portal.asked_limiter.take(house.stage.id):
        pass
    assert signed_in.send(way, form, page=way).headers["location"] == first.headers["location"]


def test_an_erased_stage_takes_its_inquiries_along(
    ask: Callable[..., object], house: House, store: Store, signed_in: Browser
) -> None:
    """The link, what was asked by it, and no gig."""
    gig_id = asked_gig(ask())
    with store.writing() as db:
        erasing.of_stage(db, houses.stage(db, house.house.id, house.stage.id), NOW)
        assert inquiries.of_gig(db, gig_id) is None
        assert inquiries.link_of(db, house.stage.id) is None
    assert signed_in.get(f"/gigs/{gig_id}").status_code == 200
