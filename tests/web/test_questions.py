"""The questions: one topic a page, saved as it is sent, resumed anywhere, checked and sent at the end."""

import re
from collections.abc import Iterator
from dataclasses import replace
from html import unescape

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from portal.advance.status.gig_status import standing
from portal.plan.input.answer_kinds import Choice, Count, Distance, Sockets, Text
from portal.plan.input.questions import QUESTIONS, TOPICS, questions_of
from portal.store import answers, discussions, links, plans
from portal.store.accounts import sessions
from portal.store.database.session import Store
from portal.store.gigs import Gig
from portal.web.frame import deps
from portal.web.frame.access import new_token, token_hash
from portal.web.frame.running import Portal
from portal.web.questions.answering import CONFIRM, NOT_HERE, UNKNOWN, optional
from tests.builders import NOW, ABand, a_band, a_gig, a_link, a_rig, a_source, an_answer
from tests.planning import plan_now
from tests.web.conftest import ORIGIN, Browser

TYPICAL = {
    "who-mixes": "house-engineer",
    "what-they-want": "split-each-source",
    "inputs-free": "16 ch",
    "box-place": "stage-left",
    "box-distance": "7,5 m",
    "rack-power": "yes",
    "pa": "stereo",
    "room-capacity": "200",
    "indoors": "yes",
    "wedge-mixes": "2",
}


@pytest.fixture
def second(app: FastAPI, portal: Portal, link: links.Link) -> Iterator[Browser]:
    """The same holder's other device."""
    token = new_token()
    with portal.store.writing() as db:
        sessions.start_for_link(db, token_hash(token), link.id, only_view=False, now=NOW, expires=link.expires)
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client:
        client.cookies.set(deps.cookie_name(portal.settings, link.gig_id), token, domain="portal.test")
        yield Browser(client)


@pytest.fixture
def base(gig: Gig) -> str:
    return f"/house/{gig.id}"


def page_of(base: str, question: str) -> str:
    return f"{base}/questions/{QUESTIONS[question].topic}"


def save(browser: Browser, page: str, **typed: object) -> str:
    """Send a page and return where it leads."""
    answer = browser.send(page, {key.replace("_", "-"): value for key, value in typed.items()}, page=page)
    assert answer.status_code == 303, unescape(answer.text)
    return str(answer.headers["location"])


def last_part(page: str) -> str:
    return page.partition("?")[0].rsplit("/", 1)[-1]


def walk(browser: Browser, page: str, said: dict[str, object]) -> list[str]:
    """Follow the pages from one on, giving the answers at hand, until a page that does not ask."""
    seen = []
    while (topic := last_part(page)) in {one.key for one in TOPICS}:
        seen.append(topic)
        text = browser.get(page).text
        here = {
            question.key: said[question.key]
            for question in questions_of(topic)
            if question.key in said and f'name="{question.key}"' in text
        }
        page = save(browser, page, **here)
        assert len(seen) < 40
    return [*seen, last_part(page)]


def current(store: Store, gig: Gig) -> dict[str, tuple[str, object, str]]:
    with store.reading() as db:
        return {key: (answer.state, answer.value, answer.by) for key, answer in answers.current(db, gig.id).items()}


# --- the way through


def test_a_whole_visit(house: Browser, base: str, gig: Gig, store: Store) -> None:
    """First the eight pages, then the offer to stop, then all answers; sending them makes the gig planned, with a plan
    from them.
    """
    seen = walk(house, house.get(f"{base}/questions/next").headers["location"], TYPICAL)
    assert seen == ["mixing", "wish", "inputs", "box", "room", "wedges", "contact", "more"]
    assert "Check and send" in house.get(f"{base}/questions/more").text
    check = house.get(f"{base}/questions").text
    for words in ("16 working inputs", "7.5 m", "Stage left", "200 people", "Send answers to The Paper Lanterns"):
        assert words in check
    sent = house.send(f"{base}/questions", {"comment": "Load-in by the ramp."}, page=f"{base}/questions")
    assert sent.headers["location"] == f"{base}/questions/sent"
    after = house.get(sent.headers["location"]).text
    assert "What happens next" in after
    assert f'href="{base}/plan"' in after
    with store.reading() as db:
        assert standing(db, gig, NOW).state == "planned"
        assert answers.current(db, gig.id)["house-sheet"].value == "Load-in by the ramp."
        assert discussions.comments(db, gig.id) == []
        assert plans.newest(db, gig.id).read_answers()["inputs-free"].value == 16


def test_the_rest_takes_two_more_minutes(house: Browser, base: str) -> None:
    """Whoever goes on comes through every page that is left, and not through one twice."""
    walk(house, f"{base}/questions/mixing", TYPICAL)
    rest = {key: UNKNOWN for key, question in QUESTIONS.items() if isinstance(question.kind, Choice)} | {
        "second-box-inputs": "0"
    }
    on = re.search(rf'href="({base}/questions/[\w-]+)">Two more', house.get(f"{base}/questions/more").text).group(1)
    seen = walk(house, on, rest)
    assert seen[-1] == "questions"
    assert len(set(seen)) == len(seen) > 6
    assert not set(seen) & {topic.key for topic in TOPICS if topic.first}


def test_saved_page_by_page_and_resumed_elsewhere(
    house: Browser, second: Browser, base: str, gig: Gig, store: Store
) -> None:
    """After any page another browser goes on where the first one stopped, and nothing is lost."""
    page, said = f"{base}/questions/mixing", dict(TYPICAL)
    for count in range(1, 7):
        topic = page.rsplit("/", 1)[-1]
        page = save(
            house,
            page,
            **{question.key: said[question.key] for question in questions_of(topic) if question.key in said},
        )
        resumed = second.get(f"{base}/questions/next").headers["location"]
        assert resumed == page
        assert len(current(store, gig)) >= count


def test_an_answer_can_be_changed_from_the_check_page(house: Browser, base: str, gig: Gig, store: Store) -> None:
    """Change leads to the filled page and straight back; unchanged it leaves no trace, changed it re-plans."""
    walk(house, f"{base}/questions/mixing", TYPICAL)
    for key in TYPICAL:
        href = f"{page_of(base, key)}?change={key}"
        assert f'href="{href}#{key}"' in house.get(f"{base}/questions").text
        text = house.get(href).text
        shown = {
            name: value
            for name, value in re.findall(r'name="([\w-]+)"[^>]*?value="([^"]*)"(?: checked)?[^>]*>', text)
            if name in TYPICAL
        }
        shown |= dict(re.findall(r'type="radio" name="([\w-]+)" id="[\w-]+" value="([^"]*)" checked', text))
        with store.reading() as db:
            before = len(answers.history(db, gig.id))
        back = house.send(page_of(base, key), shown, page=href)
        assert back.headers["location"] == f"{base}/questions#{key}"
        with store.reading() as db:
            assert len(answers.history(db, gig.id)) == before
    href = f"{page_of(base, 'inputs-free')}?change=inputs-free"
    house.send(page_of(base, "inputs-free"), {"inputs-free": "3"}, page=href)
    with store.reading() as db:
        assert plans.newest(db, gig.id).read_answers()["inputs-free"].value == 3


def test_a_change_that_opens_questions_asks_those_first(house: Browser, base: str) -> None:
    """Once somebody else mixes after all, what they want is asked before the way leads back."""
    save(house, f"{base}/questions/mixing", who_mixes="band-from-stage")
    assert house.get(f"{base}/questions/wish").headers["location"] == f"{base}/questions"
    form = f"{base}/questions/mixing"
    changed = house.send(form, {"who-mixes": "house-engineer"}, page=f"{form}?change=who-mixes")
    assert changed.headers["location"].startswith(f"{base}/questions/wish?change=")


@pytest.mark.parametrize("change", ["", "talkback"])
def test_what_an_answer_opens_on_its_own_page_is_asked_next(house: Browser, base: str, change: str) -> None:
    """Whoever sends talkback is asked at once which output it leaves, as the socket is called."""
    save(house, f"{base}/questions/mixing", who_mixes="house-engineer")
    page = f"{base}/questions/returns"
    opened = save(house, page, talkback="yes", change=change)
    assert re.split("[?#]", opened)[0] == page
    assert opened.endswith("#talkback-output")
    shown = house.get(opened).text
    assert 'name="talkback-output"' in shown
    assert "The number beside the socket" in shown
    assert page not in save(house, page, talkback="yes", talkback_output="Out 8", change=change)
    assert 'value="8"' in house.get(page).text


def test_answers_may_be_changed_after_sending(house: Browser, base: str, gig: Gig, store: Store) -> None:
    """Sending ends nothing: a later answer is saved and planned."""
    walk(house, f"{base}/questions/mixing", TYPICAL)
    house.send(f"{base}/questions", page=f"{base}/questions")
    with store.reading() as db:
        before = plans.newest(db, gig.id)
    save(house, f"{base}/questions/inputs", inputs_free="2")
    with store.reading() as db:
        after = plans.newest(db, gig.id)
    assert after.number == before.number + 1
    assert after.content_hash != before.content_hash


# --- only what can change the plan


def test_irrelevant_questions_are_not_asked(house: Browser, base: str) -> None:
    """Where the band brings its own PA nothing about the box is asked, and its pages lead back to the answers."""
    assert 'id="inputs-free"' in house.get(f"{base}/questions").text
    save(house, f"{base}/questions/room", pa="none", room_capacity="100", indoors="yes")
    text = house.get(f"{base}/questions").text
    for key in ("inputs-free", "box-place", "isolation", "who-plugs"):
        assert f'id="{key}"' not in text
    assert house.get(f"{base}/questions/inputs").headers["location"] == f"{base}/questions"


def test_house_microphones_are_asked_about_only_where_the_band_wants_some(
    house: Browser, base: str, second: Browser, band: ABand, store: Store
) -> None:
    """The question about them appears exactly in a gig whose rig borrows one."""
    assert "house-microphones" not in house.get(f"{base}/questions").text
    borrowed = a_source("lead", what="voice.vocals", lead=True)
    rig = a_rig(source=(replace(borrowed, owner=replace(borrowed.owner, mic="house")),))
    token = new_token()
    with store.writing() as db:
        gig = a_gig(db, band, rig=rig)
        link = a_link(db, gig, band)
        sessions.start_for_link(db, token_hash(token), link.id, only_view=False, now=NOW, expires=link.expires)
    second.client.cookies.set(f"__Host-gig-{gig.id}", token, domain="portal.test")
    assert "house-microphones" in second.get(f"/house/{gig.id}/questions").text


def test_nothing_is_chosen_beforehand(house: Browser, base: str) -> None:
    """On a first visit no page has a chosen option or a filled field."""
    for topic in TOPICS:
        answer = house.get(f"{base}/questions/{topic.key}")
        if answer.status_code == 200:
            assert '" checked' not in answer.text
            assert not re.search(r'type="text"[^>]*value="[^"]', answer.text)
            assert answer.text.count("<h1>") == 1
            assert "*" not in re.sub(r"<[^>]*>", "", answer.text)


# --- what can be answered


def test_not_known_yet_is_an_answer(house: Browser, base: str, gig: Gig, store: Store) -> None:
    """It is stored as its own state, shown in its own words, and planned with the assumption."""
    save(house, f"{base}/questions/mixing", who_mixes=UNKNOWN)
    save(house, f"{base}/questions/inputs", inputs_free_mark=UNKNOWN)
    assert current(store, gig) == {"who-mixes": ("unknown", None, "house"), "inputs-free": ("unknown", None, "house")}
    assert house.get(f"{base}/questions").text.count("Not known yet") == 2
    with store.reading() as db:
        assert {one.question for one in plans.newest(db, gig.id).read().assumed} >= {"who-mixes", "inputs-free"}


def test_does_not_apply_is_an_answer_where_it_makes_sense(house: Browser, base: str, gig: Gig, store: Store) -> None:
    """There may be no sound limit; there is no stage box that does not apply."""
    save(house, f"{base}/questions/limits", sound_limit_mark=NOT_HERE)
    assert current(store, gig) == {"sound-limit": ("n/a", None, "house")}
    assert "There is none" in house.get(f"{base}/questions").text
    assert 'value="n/a"' not in house.get(f"{base}/questions/box").text


def test_optional_fields_leave_no_row_when_empty(house: Browser, base: str, gig: Gig, store: Store) -> None:
    """Sockets and contact may stay empty and are then as if never asked; emptied later they are not known any more."""
    save(house, f"{base}/questions/inputs", inputs_free="8")
    save(house, f"{base}/questions/contact")
    assert set(current(store, gig)) == {"inputs-free"}
    save(house, f"{base}/questions/contact", contact_name="Bo, sound")
    assert current(store, gig)["contact-name"] == ("answered", "Bo, sound", "house")
    save(house, f"{base}/questions/contact", contact_name="")
    assert current(store, gig)["contact-name"] == ("unknown", None, "house")


@pytest.mark.parametrize(
    ("question", "typed", "value"),
    [
        ("inputs-free", "32ch", 32), ("inputs-free", " 32 inputs ", 32), ("inputs-free", "0", 0),
        ("sockets-free", "1 to 8 and 11", "1-8, 11"), ("sockets-free", "1-8,11", "1-8, 11"),
        ("box-distance", "12,5 m", 1250), ("box-distance", "12 metres", 1200),
    ],
)  # fmt: skip
def test_answers_are_read_with_tolerance(
    house: Browser, base: str, gig: Gig, store: Store, question: str, typed: str, value: object
) -> None:
    """Units, blanks and commas do not make an answer wrong."""
    others = {"box-distance": {"box_place": "upstage", "rack_power": "no"}, "sockets-free": {"inputs_free": "9"}}.get(
        question, {}
    )
    save(house, page_of(base, question), **{question: typed}, **others)
    assert current(store, gig)[question] == ("answered", value, "house")


@pytest.mark.parametrize(
    ("page", "typed", "fault"),
    [
        ("mixing", {}, "Choose one."),
        ("mixing", {"who-mixes": "the-cat"}, "Choose one of:"),
        ("inputs", {}, "Enter an answer, or tick"),
        ("inputs", {"inputs-free": "a dozen"}, "Write a whole number from 0 to 128"),
        ("inputs", {"inputs-free": "129"}, "Write a whole number from 0 to 128"),
        ("inputs", {"inputs-free": "8", "inputs-free-mark": UNKNOWN}, "Leave either the answer or one tick"),
        ("inputs", {"inputs-free": "8", "sockets-free": "1-6"}, "These are 6 sockets, and 8 working inputs are free."),
        ("inputs", {"inputs-free": "8", "sockets-free": "left ones"}, "is not a socket number"),
        ("box", {"box-place": "upstage", "rack-power": "yes", "box-distance": "far"}, "Write a distance in metres"),
        ("contact", {"contact-name": "x" * 81}, "81 characters"),
    ],
)
def test_a_fault_is_told_at_its_field_and_entries_are_kept(
    house: Browser, base: str, gig: Gig, store: Store, page: str, typed: dict[str, str], fault: str
) -> None:
    """Nothing of a faulty page is stored, everything typed is still there, and the sentence says what to do."""
    address = f"{base}/questions/{page}"
    answer = house.send(address, typed, page=address)
    assert answer.status_code == 422
    text = unescape(answer.text)
    assert text.count(fault) == 2
    assert "<title>Error: " in text
    for name, value in typed.items():
        # An option that is not on the page cannot be shown again.
        assert value == "the-cat" or re.search(rf'name="{name}"[^>]*value="{value}"', text)
        assert (" checked" in text) == bool({"upstage", UNKNOWN} & set(typed.values()))
    assert current(store, gig) == {}


def test_a_field_of_another_page_changes_nothing(house: Browser, base: str, gig: Gig, store: Store) -> None:
    """Names that the page does not show are not read, nor is a party that a form invents."""
    save(house, f"{base}/questions/wedges", wedge_mixes="2", inputs_free="1", sure="band", party="band")
    assert current(store, gig) == {"wedge-mixes": ("answered", 2, "house")}


# --- two people on one side


def test_two_devices_do_not_overwrite_each_other(
    house: Browser, second: Browser, base: str, gig: Gig, store: Store
) -> None:
    """A page drawn before somebody else saved it is refused with both answers; saved again from there it counts."""
    page = f"{base}/questions/wedges"
    stale = house.hidden(page)
    save(second, page, wedge_mixes="3")
    refused = house.send(page, {**stale, "wedge-mixes": "5"})
    assert refused.status_code == 409
    assert "3 wedge mixes" in refused.text
    assert 'value="5"' in refused.text
    fresh = dict(re.findall(r'name="(form_\w+)" value="([^"]+)"', refused.text))
    assert house.send(page, {**fresh, "wedge-mixes": "5"}).status_code == 303
    assert current(store, gig)["wedge-mixes"][1] == 5


def test_a_double_tap_is_one_answer(house: Browser, base: str, gig: Gig, store: Store) -> None:
    """The same page sent three times is stored once and leads to the same place."""
    page = f"{base}/questions/wedges"
    data = {**house.hidden(page), "wedge-mixes": "2"}
    assert len({house.send(page, data).headers["location"] for _ in range(3)}) == 1
    with store.reading() as db:
        assert len(answers.history(db, gig.id)) == 1


def test_answers_that_changed_are_looked_at_before_they_are_sent(
    house: Browser, second: Browser, base: str, gig: Gig, store: Store
) -> None:
    """What is sent is what was on the page: a change meanwhile is shown first, and the comment is kept."""
    page = f"{base}/questions"
    stale = house.hidden(page)
    save(second, f"{base}/questions/wedges", wedge_mixes="3")
    refused = house.send(page, {**stale, "comment": "The ramp is steep."})
    assert refused.status_code == 409
    assert "Somebody changed an answer meanwhile" in refused.text
    assert "The ramp is steep." in refused.text
    with store.reading() as db:
        assert answers.sent(db, gig.id) == []
        assert "house-sheet" not in answers.current(db, gig.id)


def test_what_else_the_house_says_stands_below_its_sheet(house: Browser, base: str, gig: Gig, store: Store) -> None:
    """A second word comes below the first, and one that makes the sheet too long is told at its field and kept."""
    page = f"{base}/questions"
    for words in ("DJ is on 1-4.", "The lift is small."):
        assert house.send(page, {"comment": words}, page=page).status_code == 303
    with store.reading() as db:
        assert answers.current(db, gig.id)["house-sheet"].value == "DJ is on 1-4.\nThe lift is small."
    assert house.send(page, {"comment": "x" * 2000}, page=page).status_code == 303
    refused = house.send(page, {"comment": "y" * 2000}, page=page)
    assert refused.status_code == 422
    assert "This stands below the house sheet. Shorten this to 4000 characters" in refused.text
    assert "y" * 2000 in refused.text


# --- the band's side


def test_the_band_says_what_it_knows_and_what_it_assumes(signed_in: Browser, gig: Gig, store: Store) -> None:
    """The same pages in the band's words; each answer is stored as known or as assumed, and planned with."""
    page = f"/gigs/{gig.id}/questions/inputs"
    assert QUESTIONS["inputs-free"].band in signed_in.get(page).text
    refused = signed_in.send(page, {"inputs-free": "12"}, page=page)
    assert refused.status_code == 422
    assert "Say whether you know this or assume it." in refused.text
    for sure in ("assumed", "band"):
        save(signed_in, page, inputs_free="12", sure=sure)
        assert current(store, gig)["inputs-free"] == ("answered", 12, sure)
    assert "You said so, Wed 25 Nov 2026" in signed_in.get(f"/gigs/{gig.id}/questions").text
    with store.reading() as db:
        assert plans.newest(db, gig.id).read_answers()["inputs-free"].value == 12


def test_the_band_may_leave_everything_empty(signed_in: Browser, gig: Gig, store: Store) -> None:
    """Going through all pages without an answer ends, and stores nothing."""
    seen = walk(signed_in, f"/gigs/{gig.id}/questions/mixing", {})
    assert seen[-1] in {"more", "questions"}
    assert current(store, gig) == {}


def test_the_house_confirms_what_the_band_assumed_in_one_tap(
    house: Browser, signed_in: Browser, base: str, gig: Gig, store: Store
) -> None:
    """The assumption is shown as words, not filled in; one tick makes it the house's own answer."""
    with store.writing() as db:
        user = links.of_gig(db, gig.id)[0].created_by
        for question, value in (("inputs-free", 12), ("pa", "mono")):
            an_answer(db, gig.id, question, value, party="assumed", user_id=user)
    page = f"{base}/questions/inputs"
    text = house.get(page).text
    assert "The band assumed: 12 working inputs. Right?" in text
    assert '" checked' not in text
    assert 'value="12"' not in text
    assert "The band assumed: A PA in mono" in house.get(f"{base}/questions/room").text
    save(house, page, inputs_free_mark=CONFIRM)
    assert current(store, gig)["inputs-free"] == ("answered", 12, "house")
    assert "The house said so" in signed_in.get(f"/gigs/{gig.id}/questions").text
    assert "The band assumed" not in house.get(page).text


def test_the_houses_answer_counts_and_the_band_is_told(
    signed_in: Browser, link: links.Link, gig: Gig, store: Store
) -> None:
    """What the band enters after the house has answered does not displace it, and its page says so."""
    with store.writing() as db:
        an_answer(db, gig.id, "inputs-free", 8, link_id=link.id)
        an_answer(db, gig.id, "contact-name", "Noor. Ask at the bar.", link_id=link.id)
        plan_now(db, gig, NOW)
    page = f"/gigs/{gig.id}/questions/inputs"
    assert "The house said: 8 working inputs. That counts." in signed_in.get(page).text
    assert "Ask at the bar. That counts." in signed_in.get(f"/gigs/{gig.id}/questions/contact").text
    save(signed_in, page, inputs_free="16", sure="band")
    assert current(store, gig)["inputs-free"] == ("answered", 8, "house")


def test_the_band_cannot_send_for_the_house(signed_in: Browser, gig: Gig, store: Store) -> None:
    """The button stands on the house's page only, and the band's address does not take it."""
    page = f"/gigs/{gig.id}/questions"
    assert "Send answers" not in signed_in.get(page).text
    assert signed_in.send(page, {"comment": "x"}, page=page).status_code == 405
    with store.reading() as db:
        assert answers.sent(db, gig.id) == []


def test_another_gigs_answers_are_not_shown(house: Browser, store: Store, base: str) -> None:
    """Questions of a gig without a link in this browser are not there, and unknown topics are not either."""
    with store.writing() as db:
        other = a_band(db, name="Somebody Else")
        foreign = a_gig(db, other)
    assert house.get(f"/house/{foreign.id}/questions").status_code == 404
    assert house.get(f"{base}/questions/the-weather").status_code == 404
    assert house.send(f"{base}/questions/the-weather", {"form_version": "0", "form_key": "k" * 20}).status_code == 404


# --- the registry and the pages agree


def test_every_kind_of_answer_has_its_field() -> None:
    """Each question's kind is one that the page can draw, and no option is spelled like a state."""
    for question in QUESTIONS.values():
        assert isinstance(question.kind, Choice | Count | Distance | Sockets | Text)
        if isinstance(question.kind, Choice):
            assert not {option.key for option in question.kind.options} & {UNKNOWN, NOT_HERE, CONFIRM}
            assert not optional(question)
    assert not {topic.key for topic in TOPICS} & {"next", "more", "sent"}


def test_every_question_says_why_it_is_asked(house: Browser, base: str) -> None:
    """The reason stands at each question that the house sees."""
    for topic in TOPICS:
        answer = house.get(f"{base}/questions/{topic.key}")
        if answer.status_code == 200:
            text = unescape(answer.text)
            for question in questions_of(topic.key):
                assert (question.house in text) == (question.why in text)
