"""Other answers and things are tried in the address alone; what is open, and what hangs on it, is said to both
sides.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from html import unescape

import pytest

from portal.advance.solver import wishes
from portal.plan.input.questions import QUESTIONS
from portal.store import gigs, progress, worked_out
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_gig, a_link, a_rig, an_answer
from tests.planning import plan_now
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare, words_of


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def sides(planned: Planned) -> Iterator[tuple[Browser, str]]:
    yield planned.band, planned.gigs_base
    yield planned.house, planned.house_base


def stored(planned: Planned) -> list[tuple[object, ...]]:
    """Every row of every table but the sessions, whose last use may be noted, and what was worked out of a plan."""
    with planned.portal.store.reading() as db:
        connection = db.connection()
        tables = connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'table'").scalars().all()
        return [
            tuple(row)
            for table in sorted(tables)
            if "session" not in table and table != "worked_out"
            for row in connection.exec_driver_sql(f'SELECT * FROM "{table}"')  # noqa: S608 - names that the database itself gave
        ]


# --- what if


def test_other_answers_are_tried_and_nothing_is_saved(planned: Planned) -> None:
    """Both sides see the plan as it would be, as a sentence and as differences, and the database is the same as
    before.
    """
    before = stored(planned)
    for browser, base in sides(planned):
        words = words_of(browser.get(f"{base}/what-if?inputs-free=2&who-mixes=house-engineer").text)
        assert "How many working inputs at the stage box are free for the band? 2 working inputs" in words
        assert "Dry split: 2 lines" in words
        assert "No longer goes to the house: Bass" in words
        assert "Nothing was saved." in words
    assert stored(planned) == before


def test_more_than_one_thing_is_tried_at_once(planned: Planned) -> None:
    """A loom that stays at home and a count of small things change the rig as answers change the house."""
    words = words_of(planned.band.get(f"{planned.gigs_base}/what-if?left=l&isolating_transformer=3&pa=mono").text)
    assert "Loom stays at home" in words
    assert "Isolating transformers: 3" in words
    assert "What PA is in the room? A PA in mono" in words


def test_where_nothing_would_fit_the_clash_is_named(
    portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]
) -> None:
    """An answer that leaves no plan says which facts clash."""
    rig = a_rig()
    direct = replace(rig.splitter[0], outputs=(replace(rig.splitter[0].outputs[0], kind="direct"),))
    planned = prepare(portal, band, signed_in, enter, replace(rig, splitter=(direct,)))
    words = words_of(planned.band.get(f"{planned.gigs_base}/what-if?isolation=required").text)
    assert (
        "no plan Nothing fits. No routing sends everything that must reach the house. Lead must reach the house;"
        in words
    )
    stuck = prepare(portal, band, signed_in, enter, replace(rig, splitter=(direct,)), isolation="required")
    words = words_of(stuck.band.get(f"{stuck.gigs_base}/what-if?isolation=dont-mind").text)
    assert "Nothing fits as things stand; with this there is a plan." in words


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ("inputs-free=lots", "Write a whole number from 0 to 128"),
        ("inputs-free=129", "Write a whole number from 0 to 128"),
        ("who-mixes=a-ghost", "Choose one of: The house&#39;s engineer"),
        ("sockets-free=1-900", "Socket numbers go from 1 to 128"),
        ("isolating_transformer=-1", "enter a whole number from 0 to 999"),
        ("box-distance=" + "9" * 500, "400 fit. Shorten it."),
    ],
)
def test_what_cannot_be_tried_is_told(planned: Planned, query: str, sentence: str) -> None:
    """A value that is no answer is told at its field, and the page says nothing of a plan that would be."""
    answer = planned.house.get(f"{planned.house_base}/what-if?{query}")
    assert answer.status_code == 422
    assert sentence in answer.text
    assert "If this were so" not in answer.text


def test_what_is_not_asked_cannot_be_tried(planned: Planned) -> None:
    """Words for people and unknown fields do nothing."""
    answer = planned.band.get(f"{planned.gigs_base}/what-if?contact-name=Bo&nonsense=1&left=no-such-loom")
    assert answer.status_code == 200
    assert "If this were so" not in answer.text


def test_one_more_input_says_what_it_gives(planned: Planned) -> None:
    """With too few inputs the page says what the next one brings; with enough, that nothing changes."""
    html = planned.band.get(f"{planned.gigs_base}/what-if").text
    assert "One more input: what 9 working inputs would give you Nothing changes." in words_of(html)
    planned.answer(inputs_free=3)
    words = words_of(planned.band.get(f"{planned.gigs_base}/what-if").text)
    assert re.search(r"what 4 working inputs would give you .*New line: Keys", words)


def test_a_count_that_the_named_sockets_contradict_is_told_at_its_field(planned: Planned) -> None:
    """The sockets count: more inputs than them are refused with both numbers, and tried once the sockets fit."""
    planned.answer(inputs_free=12, sockets_free="1-12")
    page = f"{planned.gigs_base}/what-if"
    told = planned.band.get(f"{page}?inputs-free=14")
    assert told.status_code == 422
    assert "The sockets named are 1-12, 12 in all, and 14 are more." in words_of(told.text)
    assert planned.band.get(f"{page}?inputs-free=14&sockets-free=1-14").status_code == 200
    assert planned.band.get(f"{page}?inputs-free=3").status_code == 200


# --- what is open


def test_every_open_question_leads_to_its_answers(planned: Planned) -> None:
    """Each question that could turn the plan is linked to where it is answered, and each answer that matters to its
    trial, which differs.
    """
    planned.band.get(f"{planned.gigs_base}/what-if")
    for browser, base in sides(planned):
        html = browser.get(f"{base}/what-if?rest=1").text
        tries = [unescape(href) for href in re.findall(rf'href="({base}/what-if\?[^"]+)"', html)]
        assert tries
        for href in tries:
            words = words_of(browser.get(href).text)
            assert "If this were so" in words
        for address, key in re.findall(rf'href="({base}/questions/[a-z-]+)#([a-z-]+)"', html):
            assert f'id="{key}"' in browser.get(address).text


def test_the_plan_says_what_is_open(planned: Planned) -> None:
    """Both sides' plan pages name the decisive questions in their own words, with the way to the answers."""
    for browser, base in sides(planned):
        html = browser.get(f"{base}/plan").text
        part = html[html.index("<h2>Still open") : html.index('<h2 id="told">')]
        keys = re.findall(rf'href="{base}/questions/[a-z-]+#([a-z-]+)"', part)
        assert keys
        for key in keys:
            assert (QUESTIONS[key].house if base == planned.house_base else QUESTIONS[key].band) in words_of(part)


def test_what_is_assumed_is_what_the_plan_stands_on(planned: Planned) -> None:
    """Where the band assumes another value than the portal would, the page says the band's, on either side."""
    assumed = "The plan assumes: as much split as fits"
    assert assumed in words_of(planned.house.get(f"{planned.house_base}/what-if").text)
    with planned.portal.store.writing() as db:
        user = {"user_id": planned.owner.user_id}
        an_answer(db, planned.gig.id, "what-they-want", "split-each-source", party="assumed", **user)
        plan_now(db, gigs.of_link(db, planned.gig.id), NOW)
    for browser, base in sides(planned):
        words = words_of(browser.get(f"{base}/what-if").text)
        assert assumed not in words
        assert "The plan assumes: A full split: every source dry" in words


def test_a_page_that_is_read_again_solves_nothing(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is open is worked out once for a stored plan, whoever looks."""
    planned.band.get(f"{planned.gigs_base}/plan")
    solved: list[object] = []
    real = wishes.open_questions
    monkeypatch.setattr(wishes, "open_questions", lambda *given, **more: solved.append(given) or real(*given, **more))
    assert "still change the plan" in planned.house.get(f"{planned.house_base}/plan").text
    assert solved == []
    with planned.portal.store.writing() as db:
        worked_out.forget(db)
    assert "still change the plan" in planned.house.get(f"{planned.house_base}/plan").text
    assert len(solved) == 1


def test_the_band_can_ask_just_one(planned: Planned) -> None:
    """The band finds words to send with the address of the question that settles most; the house finds none to send to
    itself.
    """
    html = planned.band.get(f"{planned.gigs_base}/what-if").text
    text = unescape(re.search(r"<textarea[^>]*>([^<]*)</textarea>", html).group(1))
    address = re.search(r"https://portal.test(/house/\S+)", text).group(1)
    path, _, key = address.partition("#")
    assert f'id="{key}"' in planned.house.get(path).text
    assert QUESTIONS[key].house in text
    assert "Ask the house just" not in planned.house.get(f"{planned.house_base}/what-if").text


def test_without_a_plan_there_is_nothing_to_compare(portal: Portal, band: ABand, signed_in: Browser) -> None:
    """Before the first plan the page says so."""
    with portal.store.writing() as db:
        gig = a_gig(db, band)
    assert signed_in.get(f"/gigs/{gig.id}/what-if").status_code == 409


def test_the_plan_says_what_one_answer_decides_and_what_would_help(planned: Planned) -> None:
    """Above the lines stands the question that decides most with how the plan would read, and each change that would
    help with the way to make it: for the house its question, for the band a trial.
    """
    planned.answer(inputs_free=3)
    for browser, base in sides(planned):
        html = browser.get(f"{base}/plan").text
        words = " ".join(unescape(re.sub(r"<[^>]*>", " ", html)).split())
        above = words[: words.index("In-ear mixer")]
        assert re.search(r"Decides most: .*\? .*If the answer is “[^”]+”: ", above)
        assert "The house finds one more working input: " in above
        link = "Answer it" if base == planned.house_base else "Try it"
        assert link in above
    assert re.search(
        r'one more working input: [^<]*<a href="[^"]*/questions/inputs#inputs-free">Answer it</a>',
        unescape(planned.house.get(f"{planned.house_base}/plan").text),
    )


# --- whose it is


def tasks(html: str) -> dict[str, str]:
    part = html[html.index("What is still open, and whose it is") :]
    part = part[: part.index("</dl>")]
    found = re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", part, re.DOTALL)
    return {unescape(name): " ".join(re.sub(r"<[^>]*>", " ", unescape(words)).split()) for name, words in found}


def test_every_open_task_names_who_acts(planned: Planned) -> None:
    """Each task is done, to do or waiting, and one that is not done says whose it is, from the reader's side."""
    ownerless = 0
    for browser, base in sides(planned):
        found = tasks(browser.get(base).text)
        for words in found.values():
            status = words.split(":")[0].split()[0]
            assert status in {"Done", "To", "Waits"}
            ownerless += status != "Done" and not re.match(r"(To do|Waits): (you|the (house|band)|both sides)\b", words)
        assert found["Signed for the band"].startswith("To do: you" if base == planned.gigs_base else "To do: the band")
        assert found["The house's answers"].startswith(
            "To do: the house" if base == planned.gigs_base else "To do: you"
        )
    assert ownerless == 0


def test_tasks_follow_what_happens(planned: Planned) -> None:
    """Answers sent, a block, a proposal and signatures each move their task."""
    page = f"{planned.house_base}/questions"
    planned.house.send(page, {"comment": ""}, page=page)
    assert tasks(planned.band.get(planned.gigs_base).text)["The house's answers"].startswith("Done")
    planned.answer(rack_power="no")
    found = tasks(planned.band.get(planned.gigs_base).text)
    assert found["The plan"].startswith("To do: the house")
    assert found["Signed for the band"].startswith("Waits: you")
    planned.answer(rack_power="yes")
    talk = f"{planned.house_base}/talk"
    typed = {"kind": "leave-out", "reason": "No microphone."}
    planned.house.send(f"{talk}/proposals?about=kick", typed, page=f"{talk}?about=kick")
    assert tasks(planned.band.get(planned.gigs_base).text)["Proposals"] == "To do: you 1 proposal to decide"
    assert tasks(planned.house.get(planned.house_base).text)["Proposals"].startswith("To do: the band")
    planned.sign("band")
    assert tasks(planned.house.get(planned.house_base).text)["Signed for the band"] == "Done Signed"


def test_without_a_link_the_band_acts(portal: Portal, band: ABand, signed_in: Browser) -> None:
    """As long as the house cannot answer, the link is the band's task and the answers wait for it."""
    with portal.store.writing() as db:
        gig = a_gig(db, band)
    found = tasks(signed_in.get(f"/gigs/{gig.id}").text)
    assert found["The house's link"].startswith("To do: you")
    assert found["The house's answers"].startswith("Waits: you")
    assert found["The plan"].startswith("To do: you")
    with portal.store.writing() as db:
        a_link(db, gig, band, powers=("view",))
    assert "none of them lets the house answer" in tasks(signed_in.get(f"/gigs/{gig.id}").text)["The house's link"]
    with portal.store.reading() as db:
        assert progress.of_gigs(db, [gig], gig.created)[gig.id].link_live is False
