"""A house keeps its answers: the next band's questions are answered from its stage sheet, and nobody else sees it."""

import html
import re
from collections.abc import Callable, Iterator
from datetime import timedelta

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from httpx2 import Response

from portal import admin_commands
from portal.advance.house_sheet import NIGHT
from portal.plan.input.questions import QUESTIONS
from portal.store import answers, gigs, links, signoffs
from portal.store.database.session import Store
from portal.store.house import house_gigs, houses
from portal.store.record.verify import verify
from portal.web.frame.access import new_token, token_hash
from portal.web.frame.running import Portal
from portal.web.house.house_access import cookie_name
from tests.builders import NOW, ABand, a_band, a_gig, a_link, an_answer
from tests.planning import plan_now
from tests.web.conftest import ORIGIN, Browser, Clock

ANSWERS = {
    "who-mixes": "house-engineer",
    "what-they-want": "as-much-split-as-fits",
    "inputs-free": 24,
    "sockets-free": "1-24",
    "box-place": "stage-left",
    "box-distance": 1000,
    "rack-power": "yes",
    "pa": "stereo",
    "room-capacity": 350,
    "wedge-mixes": 4,
    "house-microphones-through-our-splitter": "yes",
    "contact-name": "Noor Dalen",
    "contact-phone": "0123 456 789",
    "sound-limit": "98 dB",
}


class Asked:
    """A gig of a band of its own, and the address by which the house comes in."""

    def __init__(self, store: Store, name: str, **link: object) -> None:
        self.token = new_token()
        with store.writing() as db:
            self.band = a_band(db, name=name)
            self.gig = a_gig(db, self.band)
            self.link = a_link(db, self.gig, self.band, token_hash=token_hash(self.token), **link)
        self.way_in = f"/in/{self.token}"
        self.base = f"/house/{self.gig.id}"


@pytest.fixture
def browser_of(app: FastAPI) -> Iterator[Callable[[], Browser]]:
    """A fresh browser, as often as one is asked for."""
    opened = []

    def make() -> Browser:
        opened.append(TestClient(app, base_url=ORIGIN, follow_redirects=False))
        return Browser(opened[-1])

    yield make
    for client in opened:
        client.close()


def answer_one_by_one(store: Store, house: Browser, asked: Asked) -> None:
    """The first time: every answer given, and sent."""
    assert house.send(asked.way_in, page=asked.way_in).status_code == 303
    with store.writing() as db:
        for key, value in ANSWERS.items():
            an_answer(db, asked.gig.id, key, value, link_id=asked.link.id)
        plan_now(db, asked.gig, NOW)
    assert house.send(f"{asked.base}/questions", page=f"{asked.base}/questions").status_code == 303


def keep(house: Browser, asked: Asked, **form: str) -> Response:
    page = f"{asked.base}/keep"
    filled = {
        "where": "new",
        "house": "Kiln Yard Hall",
        "stage": "big stage",
        "box-inputs": "32",
        "kept-sockets": "29-32",
        **form,
    }
    return house.send(page, filled, page=page)


@pytest.fixture
def first(store: Store) -> Asked:
    return Asked(store, "The First Act")


@pytest.fixture
def house(store: Store, browser_of: Callable[[], Browser], first: Asked) -> Browser:
    """A house's browser after the first band, with a key."""
    browser = browser_of()
    answer_one_by_one(store, browser, first)
    made = keep(browser, first)
    assert made.status_code == 200
    browser.key = re.search(r"/house-key/([\w-]{43})", made.text)[1]
    return browser


def the_stage(store: Store) -> houses.HouseStage:
    with store.reading() as db:
        return next(iter(db.exec(houses.select(houses.HouseStage))))


def said(store: Store, asked: Asked) -> dict[str, object]:
    with store.reading() as db:
        return {key: answer.value for key, answer in answers.current(db, asked.gig.id).items()}


def answer_as(house: Browser, asked: Asked, stage: houses.HouseStage, **form: str) -> Response:
    """Two taps: answer as the stage, and send."""
    opened = house.send(asked.way_in, {"stage": stage.id}, page=asked.way_in)
    assert opened.headers["location"] == f"{asked.base}/sheet"
    return send(house, asked, **form)


def send(house: Browser, asked: Asked, **form: str) -> Response:
    page = f"{asked.base}/sheet"
    shown = house.get(page).text
    fields = dict(re.findall(r'<input id="([\w-]+)"[^>]* value="([^"]*)"', shown))
    for name, body in re.findall(r'<select id="([\w-]+)".*?>(.*?)</select>', shown, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', body)
        fields[name] = chosen[1] if chosen else ""
    return house.send(page, {**fields, **form}, page=page)


def test_the_night_is_never_part_of_a_sheet(store: Store, house: Browser) -> None:
    """What is kept is what holds on other nights too, with the box and the sockets that the house keeps."""
    with store.reading() as db:
        kept = {fact.topic: fact.value for fact in houses.facts_of(db, the_stage(store).id)}
    assert kept.keys() & NIGHT == set()
    assert kept == {
        **{key: value for key, value in ANSWERS.items() if key not in NIGHT},
        "box-inputs": 32,
        "kept-sockets": "29-32",
    }
    assert set(QUESTIONS) >= NIGHT
    assert house.key


def test_the_second_band_is_answered_by_two_taps(store: Store, house: Browser) -> None:
    """One tap names the stage, one sends: everything is answered, each with its age, and inputs free are the box minus
    what the house keeps.
    """
    second = Asked(store, "The Second Band")
    page = house.get(second.way_in).text
    assert "Answer as Kiln Yard Hall, big stage (confirmed " in page
    assert answer_as(house, second, the_stage(store)).headers["location"] == f"{second.base}/questions/sent"
    expected = {**ANSWERS, "inputs-free": 28, "sockets-free": "1-28"}
    # What this band's plan does not ask is not told.
    del expected["house-microphones-through-our-splitter"]
    assert said(store, second) == expected
    with store.reading() as db:
        rows = {row.question: row for row in answers.newest(db, second.gig.id)}
        assert answers.sent(db, second.gig.id)
    assert rows["room-capacity"].before.on == NOW.date().isoformat()
    assert rows["inputs-free"].before is None
    assert "From your sheet, " in house.get(f"{second.base}/questions").text


def test_nothing_is_told_before_it_is_sent(store: Store, house: Browser) -> None:
    """To choose the stage ties the gig to the list and tells the band nothing."""
    second = Asked(store, "The Second Band")
    house.send(second.way_in, {"stage": the_stage(store).id}, page=second.way_in)
    assert said(store, second) == {}
    listed = house.get(f"/houses/{the_stage(store).house_id}").text
    assert "The Second Band" in listed


def test_what_is_older_than_a_year_is_asked_again(store: Store, house: Browser, clock: Clock) -> None:
    """After a year the lines stand in the form with their day; sent, they are a day old."""
    clock.now = NOW + timedelta(days=400)
    house.send(f"/house-key/{house.key}", page=f"/house-key/{house.key}")
    second = Asked(store, "A Year Later", expires=clock.now + timedelta(days=9))
    house.send(second.way_in, {"stage": the_stage(store).id}, page=second.way_in)
    page = house.get(f"{second.base}/sheet").text
    assert page.count("older than a year") >= 10
    assert "From your sheet: 0" in page
    assert send(house, second, **{"room-capacity": "400"}).status_code == 303
    assert said(store, second)["room-capacity"] == 400
    with store.reading() as db:
        kept = {fact.topic: fact for fact in houses.facts_of(db, the_stage(store).id)}
    assert (kept["room-capacity"].value, kept["room-capacity"].said) == (400, clock.now)
    assert kept["pa"].said == clock.now


def test_a_value_that_cannot_be_read_sends_nothing(store: Store, house: Browser) -> None:
    second = Asked(store, "The Second Band")
    answer = answer_as(house, second, the_stage(store), **{"inputs-free": "plenty"})
    assert answer.status_code == 422
    assert 'value="plenty"' in answer.text
    assert said(store, second) == {}


def test_a_sheet_that_changed_meanwhile_is_looked_at_again(store: Store, house: Browser) -> None:
    """Another device saves the sheet while this one shows it: nothing is sent unseen."""
    second = Asked(store, "The Second Band")
    stage = the_stage(store)
    house.send(second.way_in, {"stage": stage.id}, page=second.way_in)
    hidden = house.hidden(f"{second.base}/sheet")
    with store.writing() as db:
        kept = houses.stage(db, stage.house_id, stage.id)
        houses.save(db, kept, [houses.Line("room-capacity", "answered", 900)], NOW)
    answer = house.send(f"{second.base}/sheet", {**hidden, "inputs-free": "28"})
    assert answer.status_code == 409
    assert "Something changed meanwhile" in answer.text
    assert said(store, second) == {}


def test_another_device_comes_in_by_the_key(store: Store, house: Browser, browser_of: Callable[[], Browser]) -> None:
    """The key is typed at the band's link, as an address or its last part; then the stage is offered there too."""
    second = Asked(store, "The Second Band")
    for typed in (house.key, f"{ORIGIN}/house-key/{house.key}"):
        other = browser_of()
        assert "Answer as Kiln Yard Hall" not in other.get(second.way_in).text
        came = other.send(f"{second.way_in}/house-key", {"house_key": f" {typed} "}, page=second.way_in)
        assert came.headers["location"] == second.way_in
        assert "Answer as Kiln Yard Hall" in other.get(second.way_in).text
    assert answer_as(other, second, the_stage(store)).status_code == 303


def test_a_wrong_key_is_told_and_braked(
    store: Store, house: Browser, browser_of: Callable[[], Browser], portal: Portal
) -> None:
    """What was typed stays, no stage is told, and guessing comes to an end; the right key is heard all the same."""
    second = Asked(store, "The Second Band")
    guesser = browser_of()
    portal.link_limiter.most = 3
    codes = []
    for number in range(5):
        answer = guesser.send(f"{second.way_in}/house-key", {"house_key": f"guess-{number}"}, page=second.way_in)
        codes.append(answer.status_code)
    assert codes == [422, 422, 422, 429, 429]
    assert guesser.get("/house-key/guess").status_code == 429
    assert guesser.get(f"/house-key/{house.key}").status_code == 200


def test_looking_at_a_key_changes_nothing(house: Browser, browser_of: Callable[[], Browser]) -> None:
    """A program that opens every link is remembered by nobody."""
    scanner = browser_of()
    for _ in range(20):
        assert scanner.get(f"/house-key/{house.key}").status_code == 200
    assert not scanner.client.cookies


def test_a_new_key_ends_the_old_one_everywhere_else(
    store: Store, house: Browser, browser_of: Callable[[], Browser]
) -> None:
    """The old key and the browsers that remember it end at once; this browser goes on."""
    home = f"/houses/{the_stage(store).house_id}"
    other = browser_of()
    other.send(f"/house-key/{house.key}", page=f"/house-key/{house.key}")
    assert other.get(home).status_code == 200
    made = house.send(f"{home}/key", page=f"{home}/key")
    newer = re.search(r"/house-key/([\w-]{43})", made.text)[1]
    assert (house.get(home).status_code, other.get(home).status_code) == (200, 404)
    assert other.get(f"/house-key/{house.key}").status_code == 404
    assert other.get(f"/house-key/{newer}").status_code == 200
    house.send(f"{home}/forget")
    assert house.get(home).status_code == 404


def test_gigs_that_a_key_opened_end_with_it(store: Store, house: Browser, browser_of: Callable[[], Browser]) -> None:
    """A lost phone shows no gig any more once the key is replaced, nor does one that was told to forget the key."""
    home = f"/houses/{the_stage(store).house_id}"
    second = Asked(store, "The Second Band")
    answer_as(house, second, the_stage(store))
    lost, lent = browser_of(), browser_of()
    for other in (lost, lent):
        other.send(f"/house-key/{house.key}", page=f"/house-key/{house.key}")
        other.send(f"{home}/gigs/{second.gig.id}/open")
        assert other.get(second.base).status_code == 200
    lent.send(f"{home}/forget")
    assert (lent.get(home).status_code, lent.get(second.base).status_code) == (404, 404)
    assert lost.get(second.base).status_code == 200
    house.send(f"{home}/key", page=f"{home}/key")
    assert (lost.get(home).status_code, lost.get(second.base).status_code) == (404, 404)
    assert house.send(f"{home}/gigs/{second.gig.id}/open").status_code == 303


def test_a_cookie_that_somebody_wrote_opens_nothing(store: Store, house: Browser, portal: Portal) -> None:
    """Another end, another house, no mark: each is a stranger's."""
    stage = the_stage(store)
    name = cookie_name(portal, stage.house_id)
    value = house.client.cookies.get(name)
    until, mac = value.split(".")
    for forged in ("", until, f"{int(until) + 1}.{mac}", f"{until}.{'0' * 64}", f"9{'9' * 30}.{mac}", "x.y"):
        house.client.cookies.set(name, forged, domain="portal.test")
        assert house.get(f"/houses/{stage.house_id}").status_code == 404
    house.client.cookies.clear()
    house.client.cookies.set(name, value, domain="portal.test")
    assert house.get(f"/houses/{stage.house_id}").status_code == 200


def test_two_houses_of_one_name_are_told_apart(store: Store, house: Browser, browser_of: Callable[[], Browser]) -> None:
    """Each key opens its own; neither sees the other's stages, gigs or sheet, nor can tie a gig to them."""
    theirs = Asked(store, "Elsewhere")
    others = browser_of()
    answer_one_by_one(store, others, theirs)
    assert keep(others, theirs).status_code == 200
    with store.reading() as db:
        ours, namesake = (db.exec(houses.select(houses.House).order_by(houses.House.created, houses.House.id))).all()
        stages = {one.id: houses.stages_of(db, one.id)[0] for one in (ours, namesake)}
    mine = the_house_of(house, (ours.id, namesake.id))
    foreign = namesake.id if mine == ours.id else ours.id
    stage = stages[foreign]
    for path in ("", "/key", "/given.json", f"/stages/{stage.id}", f"/stages/{stage.id}/erase"):
        assert house.get(f"/houses/{foreign}{path}").status_code == 404
        assert house.get(f"/houses/{mine}/stages/{stage.id}").status_code == 404
    assert "Elsewhere" not in house.get(f"/houses/{mine}").text
    second = Asked(store, "The Second Band")
    assert house.send(second.way_in, {"stage": stage.id}, page=second.way_in).status_code == 404
    assert house.send(f"/houses/{mine}/gigs/{theirs.gig.id}/open").status_code == 404


def the_house_of(browser: Browser, ids: tuple[str, ...]) -> str:
    return next(one for one in ids if browser.get(f"/houses/{one}").status_code == 200)


def test_the_list_says_what_waits_for_the_house(store: Store, house: Browser, first: Asked) -> None:
    """What waits for the house stands first, with its state and what is open; a gig opens by its link, as long as that
    lives.
    """
    home = f"/houses/{the_stage(store).house_id}"
    second = Asked(store, "The Waiting Band")
    house.send(second.way_in, {"stage": the_stage(store).id}, page=second.way_in)
    third = Asked(store, "The Cancelled Band")
    answer_as(house, third, the_stage(store))
    with store.writing() as db:
        gig = gigs.get(db, third.band.band_id, third.gig.id)
        gigs.cancel(db, gig, gig.version, NOW, actor=f"user:{third.band.user_id}")
    page = html.unescape(house.get(home).text)
    waits, past = page.index("Waits for the house"), page.index("Past and cancelled")
    assert waits < page.index("The Waiting Band") < past < page.index("The Cancelled Band")
    assert waits < page.index("The First Act") < past
    assert "The house answers the questions" in page
    opened = house.send(f"{home}/gigs/{second.gig.id}/open")
    assert opened.headers["location"] == second.base
    assert house.get(second.base).status_code == 200
    with store.writing() as db:
        links.revoke(db, links.by_id(db, second.link.id), NOW, actor="")
    assert house.send(f"{home}/gigs/{second.gig.id}/open").status_code == 404
    assert house.get(second.base).status_code == 404
    assert "The band's link has ended" in html.unescape(house.get(home).text)
    assert first.gig.name in page


def test_a_key_opens_a_gig_only_as_far_as_its_link(
    store: Store, house: Browser, browser_of: Callable[[], Browser]
) -> None:
    """The key on a new device signs where the link may sign, and nowhere else."""
    second = Asked(store, "No Signature", powers=("view", "answer"))
    house.send(second.way_in, {"stage": the_stage(store).id}, page=second.way_in)
    other = browser_of()
    other.send(f"/house-key/{house.key}", page=f"/house-key/{house.key}")
    other.send(f"/houses/{the_stage(store).house_id}/gigs/{second.gig.id}/open")
    assert other.get(f"{second.base}/questions").status_code == 200
    assert other.get(f"{second.base}/sign-off").status_code == 403


def test_a_newer_link_takes_the_older_ones_place(store: Store, house: Browser) -> None:
    """The band replaces its link: opened once on this device, the list leads by the new one."""
    second = Asked(store, "The Second Band")
    answer_as(house, second, the_stage(store))
    token = new_token()
    with store.writing() as db:
        links.revoke(db, links.by_id(db, second.link.id), NOW, actor="")
        a_link(db, second.gig, second.band, token_hash=token_hash(token))
    house.send(f"/in/{token}", page=f"/in/{token}")
    home = f"/houses/{the_stage(store).house_id}"
    assert house.send(f"{home}/gigs/{second.gig.id}/open").status_code == 303


def test_bands_never_see_each_other_or_the_sheet(store: Store, house: Browser, signed_in: Browser, band: ABand) -> None:
    """A band reads what was sent to its own gig: no stage, no house, no other act, no line that was not asked."""
    with store.writing() as db:
        kept = houses.stage(db, the_stage(store).house_id, the_stage(store).id)
        houses.save(db, kept, [houses.Line("stays-plugged", "answered", "CANARY drum kit")], NOW)
        mine = Asked.__new__(Asked)
        mine.token, mine.band, mine.gig = new_token(), band, a_gig(db, band)
        mine.link = a_link(db, mine.gig, band, token_hash=token_hash(mine.token))
        mine.way_in, mine.base = f"/in/{mine.token}", f"/house/{mine.gig.id}"
    assert answer_as(house, mine, kept).status_code == 303
    for rest in ("", "/questions", "/plan", "/history", "/day", "/given", "/given.json", "/papers"):
        page = signed_in.get(f"/gigs/{mine.gig.id}{rest}").text
        assert not [word for word in ("CANARY", "The First Act", "big stage", "Kiln Yard") if word in page]
    assert "from its sheet of" in signed_in.get(f"/gigs/{mine.gig.id}/questions").text


def test_the_sheet_is_changed_and_called_true_again(store: Store, house: Browser, clock: Clock) -> None:
    """Edited values are kept, an emptied one is off, and all of it is true today; gigs answered before stay."""
    clock.now = NOW + timedelta(days=10)
    stage = the_stage(store)
    page = f"/houses/{stage.house_id}/stages/{stage.id}"
    fields = {"name": "main hall", "room-capacity": "500", "pa": "stereo", "sound-limit": "There is none"}
    assert house.send(page, fields, page=page).status_code == 303
    with store.reading() as db:
        after = houses.stage(db, stage.house_id, stage.id)
        kept = {fact.topic: (fact.state, fact.value) for fact in houses.facts_of(db, stage.id)}
    assert kept == {
        "room-capacity": ("answered", 500),
        "pa": ("answered", "stereo"),
        "sound-limit": ("n/a", None),
    }
    assert (after.name, after.confirmed) == ("main hall", clock.now)
    faulty = house.send(page, {**fields, "room-capacity": "many"}, page=page)
    assert faulty.status_code == 422
    assert 'value="many"' in faulty.text
    old = house.send(page, {**fields, "form_version": "1", "form_key": "k" * 20})
    assert old.status_code == 409


def test_the_box_is_not_filled_in_from_what_was_free(
    store: Store, browser_of: Callable[[], Browser], first: Asked
) -> None:
    """How many inputs were free for one band says nothing of how many the box has: the field stays empty."""
    browser = browser_of()
    answer_one_by_one(store, browser, first)
    assert "inputs-free" in said(store, first)
    page = browser.get(f"{first.base}/keep").text
    assert re.search(r'<input[^>]*name="box-inputs"[^>]*>', page)
    assert not re.search(r'<input[^>]*name="box-inputs"[^>]*value="[0-9]+"', page)


def test_another_stage_of_the_same_house(store: Store, house: Browser) -> None:
    """A second stage joins the house that this browser remembers, without another key; a name is there once."""
    second = Asked(store, "The Second Band")
    answer_one_by_one(store, house, second)
    home = the_stage(store).house_id
    refused = keep(house, second, where=home, stage="big stage")
    assert refused.status_code == 422
    assert "has a stage of this name" in refused.text
    made = keep(house, second, where=home, stage="cellar")
    assert made.headers["location"].startswith(f"/houses/{home}/stages/")
    with store.reading() as db:
        assert [one.name for one in houses.stages_of(db, home)] == ["big stage", "cellar"]
        assert len(db.exec(houses.select(houses.House)).all()) == 1


def test_a_stage_is_taken_along(store: Store, house: Browser) -> None:
    """The file holds every line, and no key."""
    given = house.get(f"/houses/{the_stage(store).house_id}/given.json")
    assert given.headers["content-disposition"].startswith("attachment")
    text = given.text
    assert all(word in text for word in ("Kiln Yard Hall", "big stage", "Noor Dalen", "room-capacity", "98 dB"))
    assert house.key not in text
    assert token_hash(house.key) not in text


def test_an_erased_stage_is_gone_from_the_file(store: Store, house: Browser, portal: Portal, first: Asked) -> None:
    """The sheet, the contact and its copies at the gigs leave no trace in the database; the chain still holds."""
    second = Asked(store, "The Second Band")
    answer_as(house, second, the_stage(store))
    stage = the_stage(store)
    page = f"/houses/{stage.house_id}/stages/{stage.id}/erase"
    assert house.send(page, page=page).status_code == 422
    assert house.send(page, {"sure": "yes"}, page=page).status_code == 303
    raw = portal.settings.database.read_bytes()
    assert not [word for word in (b"Noor Dalen", b"0123 456 789", b"Kiln Yard", b"big stage") if word in raw]
    assert {said(store, one).get("room-capacity") for one in (first, second)} == {350}
    with store.reading() as db:
        assert verify(db).faults == ()
    assert house.get(f"/houses/{stage.house_id}").status_code == 404


def test_a_signed_gig_to_come_keeps_its_contact(store: Store, house: Browser) -> None:
    """Both sides rely on it until the gig is over; the page says so before."""
    second = Asked(store, "The Signed Band")
    answer_as(house, second, the_stage(store))
    with store.writing() as db:
        plan = plan_now(db, second.gig, NOW)
        signer = signoffs.Signer("house", "Bo", "engineer", link_id=second.link.id)
        signoffs.sign(db, plan, signer, statement_version="1", ticked=(), now=NOW)
    stage = the_stage(store)
    page = f"/houses/{stage.house_id}/stages/{stage.id}/erase"
    assert "The Signed Band" in house.get(page).text
    house.send(page, {"sure": "yes"}, page=page)
    assert said(store, second)["contact-name"] == "Noor Dalen"


def test_a_stage_that_nobody_uses_is_erased(store: Store, house: Browser) -> None:
    """After 24 months without use the stage goes, and the house with its last one."""
    admin_commands.forget(store, 90, NOW + timedelta(days=700))
    assert the_stage(store)
    admin_commands.forget(store, 90, NOW + timedelta(days=740))
    with store.reading() as db:
        assert db.exec(houses.select(houses.HouseStage)).all() == []
        assert db.exec(houses.select(houses.House)).all() == []
        assert db.exec(house_gigs.select(house_gigs.StageGig)).all() == []
    assert house.key


def test_where_the_band_says_otherwise_it_is_asked(store: Store, house: Browser) -> None:
    """The band said something that the sheet does not say: both stand in the form, and the sheet keeps its own."""
    second = Asked(store, "The Second Band")
    with store.writing() as db:
        an_answer(db, second.gig.id, "what-they-want", "left-right-mix", party="band", user_id=second.band.user_id)
    house.send(second.way_in, {"stage": the_stage(store).id}, page=second.way_in)
    assert "the band says otherwise" in house.get(f"{second.base}/sheet").text
    assert send(house, second, **{"what-they-want": "left-right-mix"}).status_code == 303
    assert said(store, second)["what-they-want"] == "left-right-mix"
    with store.reading() as db:
        kept = {fact.topic: fact.value for fact in houses.facts_of(db, the_stage(store).id)}
    assert kept["what-they-want"] == ANSWERS["what-they-want"]
