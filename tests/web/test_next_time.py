"""The next gig at a place begins with what was answered there, as an assumption with its age, until the house confirms
it.
"""

import re
from collections.abc import Callable, Mapping
from datetime import date, timedelta

import pytest

from portal.exchange.example import example_rig
from portal.plan.model import Plan
from portal.store import answers, gigs, plans
from portal.store.answers import Before
from portal.store.links import Link
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_band, a_gig, a_link, a_rig, an_answer
from tests.planning import plan_now
from tests.web.conftest import Browser
from tests.web.journey import FIRST_ANSWERS
from tests.web.planned import words_of

EARLIER = NOW - timedelta(days=100)
SAID = {"inputs-free": 32, "who-mixes": "house-engineer", "box-distance": 800, "talkback": "yes"}


@pytest.fixture
def before(portal: Portal, band: ABand) -> gigs.Gig:
    """A gig that the house answered: what it has, and who is there."""
    with portal.store.writing() as db:
        gig = a_gig(db, band)
        link = a_link(db, gig, band)
        for key, value in (SAID | {"contact-name": "Noor"}).items():
            an_answer(db, gig.id, key, value, link_id=link.id, now=EARLIER)
        an_answer(db, gig.id, "pa", "mono", party="band", user_id=band.user_id, now=EARLIER)
        an_answer(db, gig.id, "rack-power", "yes", party="assumed", user_id=band.user_id, now=EARLIER)
        answers.give(
            db,
            gig_id=gig.id,
            question="isolation",
            state="unknown",
            value=None,
            party="house",
            link_id=link.id,
            now=EARLIER,
        )
        return gig


def make(signed_in: Browser, before: gigs.Gig, place: str = "the OLD net-loft ") -> str:
    """Make the next gig through its form; the address where that leads."""
    form = {
        "name": "Harbour night again",
        "place": place,
        "on": "2027-03-20",
        "zone": "Europe/Berlin",
        "rig": f"{before.rig_id}|",
    }
    made = signed_in.send("/gigs/new", form, page="/gigs/new")
    assert made.status_code == 303
    first = made.headers["location"]
    assert first.endswith("/who-mixes")
    chosen = signed_in.send(first, {"choice": "open"}, page=first)
    assert chosen.status_code == 303
    return chosen.headers["location"]


def next_gig(portal: Portal, band: ABand) -> gigs.Gig:
    with portal.store.reading() as db:
        return next(gig for gig in gigs.of_band(db, band.band_id) if gig.on == date(2027, 3, 20))


def linked(portal: Portal, band: ABand, gig: gigs.Gig, *, days: int) -> Link:
    with portal.store.writing() as db:
        return a_link(db, gig, band, expires=NOW + timedelta(days=days))


def take(signed_in: Browser, offer: str, *, people: bool = False) -> None:
    """Press the button as the page stands, with everything ticked that is ticked at first."""
    html = signed_in.get(offer).text
    ticked = [
        part.split('value="')[1].split('"')[0]
        for part in html.split("<input")[1:]
        if "checkbox" in part and " checked" in part
    ]
    extra = {"take-2": ["contact-name", "contact-phone"]} if people else {}
    assert signed_in.send(offer, {"take-1": ticked, **extra}, page=offer).status_code == 303


def test_the_same_place_is_offered_again(signed_in: Browser, before: gigs.Gig, band: ABand, portal: Portal) -> None:
    """Whatever its blanks and capitals, a place that was played before leads to the offer: each answer with who said it
    and when.
    """
    offer = make(signed_in, before)
    gig = next_gig(portal, band)
    assert offer == f"/gigs/{gig.id}/last-time"
    html = signed_in.get(offer).text
    words = words_of(html)
    assert "The house said on Mon 17 Aug 2026, for Harbour night" in words
    assert "How many working inputs at the stage box are free for the band? 32 working inputs" in words
    assert (
        "You said on Mon 17 Aug 2026, for Harbour night What PA is in the room? A PA in mono, or wide pairs are no use"
        " in this room" in words
    )
    assert (
        "People, only where they are still there: the house said on Mon 17 Aug 2026, for Harbour night Who is there on"
        " the day? Noor" in words
    )
    assert html.count(" checked") == 5
    assert not [line for line in html.splitlines() if "contact-name" in line and "checked" in line]
    # What was only assumed then, or not known, is no knowledge.
    assert 'value="rack-power"' not in html
    assert 'value="isolation"' not in html


def test_what_was_of_one_night_is_not_ticked(signed_in: Browser, before: gigs.Gig, band: ABand, portal: Portal) -> None:
    """What the house wrote besides its answers is offered, and taken over only by whoever ticks it."""
    with portal.store.writing() as db:
        link = a_link(db, before, band)
        an_answer(db, before.id, "house-sheet", "Only 8 inputs that night", link_id=link.id, now=EARLIER)
    html = signed_in.get(make(signed_in, before)).text
    (box,) = [part for part in html.split("<input")[1:] if 'value="house-sheet"' in part.split(">")[0]]
    assert " checked" not in box.split(">")[0]


def test_a_copy_begins_with_who_mixed_at_the_gig_it_is_a_copy_of(
    signed_in: Browser, before: gigs.Gig, band: ABand, portal: Portal
) -> None:
    """Not with what the gig had that was made last."""
    with portal.store.writing() as db:
        later = a_gig(db, band, name="Another night")
        an_answer(db, later.id, "pa", "none", party="band", user_id=band.user_id, now=NOW)
    words = {"name": "Again", "place": "Elsewhere", "on": "2027-03-20", "zone": "Europe/Berlin"}
    form = {**words, "rig": f"{before.rig_id}|"}
    made = signed_in.send("/gigs/new", {**form, "copy": before.id}, page=f"/gigs/new?copy={before.id}")
    html = signed_in.get(made.headers["location"]).text
    assert f"Chosen as at {before.name}." in html
    (chosen,) = [part for part in html.split("<input")[1:] if " checked" in part.split(">")[0]]
    assert 'value="house-engineer"' in chosen


def test_another_place_and_another_band_are_not_offered(
    signed_in: Browser, before: gigs.Gig, band: ABand, portal: Portal, password_hash: str
) -> None:
    """A place that this band has not played leads to the gig, whatever other bands know of it."""
    with portal.store.writing() as db:
        other = a_band(db, name="The Others", password_hash=password_hash)
        gig = a_gig(db, other, place="The Tin Barn")
        an_answer(db, gig.id, "inputs-free", 4, party="band", user_id=other.user_id)
    assert make(signed_in, before, "The Tin Barn").endswith("?saved=mixes")
    gig = next_gig(portal, band)
    assert signed_in.get(f"/gigs/{gig.id}/last-time").headers["location"] == f"/gigs/{gig.id}"


def test_what_is_taken_over_is_assumed_and_planned_with(
    signed_in: Browser, before: gigs.Gig, band: ABand, portal: Portal
) -> None:
    """Nothing is typed again: the ticked answers are stored as assumed with their day, the plan reads them and prints
    them as assumed.
    """
    take(signed_in, make(signed_in, before))
    gig = next_gig(portal, band)
    with portal.store.reading() as db:
        rows = {row.question: row for row in answers.newest(db, gig.id)}
        plan = plans.newest(db, gig.id).read()
    assert rows.keys() == {*SAID, "pa"}
    assert {row.party for row in rows.values()} == {"assumed"}
    assert rows["inputs-free"].before == Before("house", "2026-08-17")
    assert rows["pa"].before == Before("band", "2026-08-17")
    assert isinstance(plan, Plan)
    assert {"inputs-free", "who-mixes"} & {one.question for one in plan.assumed}
    words = words_of(signed_in.get(f"/gigs/{gig.id}/questions").text)
    assert "assumed 32 working inputs You assume it, Wed 25 Nov 2026 (the house said so on Mon 17 Aug 2026)" in words


def test_the_house_is_asked_whether_it_is_still_right(
    signed_in: Browser, enter: Callable[..., Browser], before: gigs.Gig, band: ABand, portal: Portal
) -> None:
    """The house reads what it said then and when; one tick makes it an answer of today, and until then it is
    assumed.
    """
    take(signed_in, make(signed_in, before))
    gig = next_gig(portal, band)
    house = enter(linked(portal, band, gig, days=30))
    base = f"/house/{gig.id}"
    page = f"{base}/questions/inputs"
    assert "The band assumed: 32 working inputs (you said so on Mon 17 Aug 2026). Still right?" in words_of(
        house.get(page).text
    )
    assert "The band assumes it (you said so on Mon 17 Aug 2026). Right?" in words_of(
        house.get(f"{base}/questions").text
    )
    assert house.send(page, {"inputs-free-mark": "confirm"}, page=page).status_code == 303
    with portal.store.writing() as db:
        now = answers.current(db, gig.id)
        assert (now["inputs-free"].by, now["inputs-free"].value, now["inputs-free"].on) == ("house", 32, "2026-11-25")
        assert now["box-distance"].by == "assumed"
        assert "inputs-free" not in {one.question for one in plan_now(db, gig, NOW).read().assumed}


def test_people_are_taken_over_only_on_purpose(
    signed_in: Browser, before: gigs.Gig, band: ABand, portal: Portal
) -> None:
    """A name comes along only where somebody ticked it."""
    take(signed_in, make(signed_in, before), people=True)
    with portal.store.reading() as db:
        assert answers.current(db, next_gig(portal, band).id)["contact-name"].value == "Noor"


def test_what_was_said_here_already_is_not_offered(
    signed_in: Browser, before: gigs.Gig, band: ABand, portal: Portal
) -> None:
    """Once taken over, or told anew, an answer is not offered again, and a form that still holds it changes nothing."""
    offer = make(signed_in, before)
    form = {**signed_in.hidden(offer), "take-1": ["inputs-free"]}
    gig = next_gig(portal, band)
    with portal.store.writing() as db:
        link = a_link(db, gig, band, expires=NOW + timedelta(days=30))
        an_answer(db, gig.id, "inputs-free", 12, link_id=link.id)
    assert [signed_in.send(offer, form).status_code for _ in range(2)] == [303, 303]
    assert 'value="inputs-free"' not in signed_in.get(offer).text
    with portal.store.reading() as db:
        assert [row.party for row in answers.newest(db, gig.id)] == ["house"]
    assert "You have played at the OLD net-loft before." in words_of(signed_in.get(f"/gigs/{gig.id}").text)
    take(signed_in, offer, people=True)
    assert "You have played" not in signed_in.get(f"/gigs/{gig.id}").text


def test_the_newest_word_about_a_place_counts(
    signed_in: Browser, before: gigs.Gig, band: ABand, portal: Portal
) -> None:
    """Of two earlier gigs the later answer is offered; an assumption taken over between them is not knowledge of its
    own.
    """
    with portal.store.writing() as db:
        between = a_gig(db, band, rig=a_rig(), on=date(2026, 10, 9))
        link = a_link(db, between, band)
        stored = {"gig_id": between.id, "state": "answered", "now": EARLIER + timedelta(days=40)}
        answers.give(db, question="inputs-free", value=24, party="house", link_id=link.id, **stored)
        answers.give(
            db,
            question="box-distance",
            value=500,
            party="assumed",
            user_id=band.user_id,
            before=Before("house", "2026-08-17"),
            **stored,
        )
    html = signed_in.get(make(signed_in, before)).text
    groups = [words_of(part) for part in html.split("<legend>")[1:]]
    assert any(
        group.startswith("The house said on Sat 26 Sep 2026") and "24 working inputs" in group for group in groups
    )
    assert any(group.startswith("The house said on Mon 17 Aug 2026") and "8 m" in group for group in groups)
    assert "32 working inputs" not in html


def ask_the_house(house: Browser, base: str, said: Mapping[str, str]) -> tuple[int, int, int]:
    """Answer page after page as a person does: what can be tapped is tapped, the rest is typed. Counts pages, taps and
    typed fields.
    """
    pages = taps = typed = 0
    for _ in range(20):
        page = house.get(f"{base}/questions/next").headers["location"]
        if "/questions/more" in page or page.endswith("/questions"):
            return pages, taps, typed
        html = house.get(page).text
        asked = dict.fromkeys(re.findall(r'name="([a-z-]+)-mark"|name="([a-z-]+)" (?:id|type|value)', html))
        keys = [first or second for first, second in asked if (first or second) in said]
        tapped = {
            f"{key}-mark": "confirm" for key in keys if re.search(rf'name="{key}-mark"[^>]*value="confirm"', html)
        }
        tapped |= {key: said[key] for key in keys if re.search(rf'type="radio" name="{key}"', html)}
        written = {key: said[key] for key in keys if key not in tapped and f"{key}-mark" not in tapped}
        assert house.send(page, {**written, **tapped}, page=page).status_code == 303, page
        pages, taps, typed = pages + 1, taps + len(tapped), typed + len(written)
    raise AssertionError("the questions never end")


@pytest.mark.slow
def test_at_a_second_gig_nothing_is_typed_again(
    signed_in: Browser, enter: Callable[..., Browser], band: ABand, portal: Portal
) -> None:
    """At a place that answered before, each answer of then is offered, and one tap makes it one of today."""
    with portal.store.writing() as db:
        first = a_gig(db, band, on=date(2026, 12, 1), rig=example_rig())
        link = a_link(db, first, band)
    figures = [ask_the_house(enter(link), f"/house/{first.id}", FIRST_ANSWERS)]
    take(signed_in, make(signed_in, first), people=True)
    gig = next_gig(portal, band)
    figures.append(ask_the_house(enter(linked(portal, band, gig, days=200)), f"/house/{gig.id}", FIRST_ANSWERS))
    for which, (pages, taps, typed) in zip(("first", "second"), figures, strict=True):
        print(f"\n{which} gig: question_pages={pages} taps={taps} typed_fields={typed}")  # noqa: T201 - shown with -s
    assert sum(figures[0][1:]) == sum(figures[1][1:]) == len(FIRST_ANSWERS)
    assert (figures[0][2], figures[1][2]) == (6, 0)
    with portal.store.reading() as db:
        assert {answers.current(db, gig.id)[key].by for key in FIRST_ANSWERS} == {"house"}


def test_all_that_is_still_right_takes_one_press(
    signed_in: Browser, enter: Callable[..., Browser], before: gigs.Gig, band: ABand, portal: Portal
) -> None:
    """The first page leads the house to everything that the band assumed; one press makes all of it answers of today,
    but only as it was shown.
    """
    take(signed_in, make(signed_in, before))
    gig = next_gig(portal, band)
    house = enter(linked(portal, band, gig, days=30))
    page = f"/house/{gig.id}/questions"
    first = house.get(f"{page}/next").headers["location"]
    assert "The band assumed 5 answers. See all of them on one page" in words_of(house.get(first).text)
    assert "All 5 are right" in house.get(page).text
    stale = {**house.hidden(page), "deed": "confirm"}
    with portal.store.writing() as db:
        an_answer(db, gig.id, "inputs-free", 16, party="band", user_id=band.user_id)
    refused = house.send(page, stale)
    assert refused.status_code == 409
    assert "Somebody changed an answer meanwhile" in refused.text
    with portal.store.reading() as db:
        assert "house" not in {row.party for row in answers.newest(db, gig.id)}
    assert house.send(page, {"deed": "confirm"}, page=page).headers["location"] == page
    with portal.store.reading() as db:
        now = answers.current(db, gig.id)
        assert {one.by for one in now.values()} == {"house"}
        assert (now["inputs-free"].value, now["box-distance"].value) == (16, 800)
        assert answers.sent(db, gig.id) == []
    assert "are right" not in house.get(page).text
