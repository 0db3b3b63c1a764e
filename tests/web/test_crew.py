"""The day: the sheet for the dark, what line check found, and the sheet to keep."""

import re
from collections.abc import Callable
from datetime import timedelta

import pytest

from portal.store import gigs
from portal.store.day import line_checks
from portal.store.record import erasing
from portal.web.documents.qr_access import crew_address
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand
from tests.web.conftest import Browser
from tests.web.planned import Planned, asking_rig, prepare, words_of

KEY = "a-key-of-sixteen-or-more"


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter, asking_rig(), **{"contact-name": "Jo", "contact-phone": "0123 456"})


def found(planned: Planned) -> list[line_checks.LineCheck]:
    with planned.portal.store.reading() as db:
        return line_checks.of_gig(db, planned.gig.id)


def tick(planned: Planned, side: str = "house", **fields: str) -> object:
    browser, base = (planned.house, planned.house_base) if side == "house" else (planned.band, planned.gigs_base)
    form = {"form_key": KEY + side + fields.get("line", "1"), "form_version": "1", "line": "1", "state": "checked"}
    return browser.send(f"{base}/day/lines", {**form, **fields})


def rows_of_page(html: str) -> dict[str, str]:
    return {number: words_of(row) for number, row in re.findall(r'<tr id="line-(\d+)".*?>(.*?)</tr>', html, re.DOTALL)}


def test_each_line_is_one_row(planned: Planned) -> None:
    """A row holds desk channel, label, place in the rack, box input, loom way and 48 V, for both sides alike, below two
    cautions and the revision.
    """
    for browser, base in ((planned.house, planned.house_base), (planned.band, planned.gigs_base)):
        page = browser.get(f"{base}/day").text
        rows = rows_of_page(page)
        assert len(rows) == 4
        assert rows["1"].startswith("Kick Splitter, way 1, mixer input 1 48 V ")
        assert page.count('class="caution"') == 2
        assert "Revision 1 , draft, not signed, check code" in words_of(page)
        assert "Jo, 0123 456" in page


def test_a_finding_is_kept_with_who_and_when(planned: Planned) -> None:
    """A tick by form alone leads back to its row, which says what, when, who, gain and note."""
    answer = tick(planned, state="problem", who="Sam", gain="32 dB", note="Crackles")
    assert (answer.status_code, answer.headers["location"]) == (303, f"{planned.house_base}/day?who=Sam#line-1")
    page = planned.house.get(f"{planned.house_base}/day?who=Sam").text
    assert "Problem 13:00, Sam. Gain 32 dB. Crackles" in rows_of_page(page)["1"]
    assert "0 of 4 lines checked, 1 with a problem." in words_of(page)
    assert 'name="who" value="Sam"' in page


def test_without_a_name_the_links_label_stands(planned: Planned) -> None:
    """Whoever gives no name is named by the link or the account."""
    tick(planned)
    tick(planned, "band")
    assert [row.who for row in found(planned)] == ["House engineer", "Ada Example"]


def test_two_people_who_differ_are_both_shown(planned: Planned) -> None:
    """What two phones found while both were offline stands side by side, each with its own time, and the line does not
    count as checked.
    """
    early, late = (NOW - timedelta(minutes=9)).isoformat(), (NOW - timedelta(minutes=2)).isoformat()
    with planned.portal.store.writing() as db:
        db.merge(planned.gig.model_copy(update={"created": NOW - timedelta(days=2)}))
    # The later one arrives first.
    tick(planned, who="Lee", said_at=late)
    tick(planned, "band", who="Sam", said_at=early, state="problem", note="Hums")
    page = planned.house.get(f"{planned.house_base}/day").text
    row = rows_of_page(page)["1"]
    assert row.index("Problem 12:51, Sam") < row.index("Checked 12:58, Lee")
    assert "0 of 4 lines checked, 1 with a problem." in words_of(page)
    assert "Hums" in page
    assert len(found(planned)) == 2


def test_a_later_word_of_the_same_person_replaces_the_earlier_on_the_row_only(planned: Planned) -> None:
    """A problem that was put right is checked; what was said before stays in one fold below all lines."""
    tick(planned, form_key=KEY + "one", state="problem", who="Sam", note="Hums")
    tick(planned, form_key=KEY + "two", who="Sam")
    page = planned.house.get(f"{planned.house_base}/day").text
    standing = words_of(re.search(r'id="line-1".*?<p class="standing">(.*?)</p>', page, re.DOTALL).group(1))
    assert standing == "Checked 13:00, Sam"
    folds = re.findall(r"<details.*?</details>", page, re.DOTALL)
    assert [words_of(one) for one in folds] == ["Said before: 1 Kick: Problem 13:00, Sam. Hums"]
    assert "1 of 4 lines checked." in words_of(page)
    assert len(found(planned)) == 2


def test_the_same_finding_twice_is_one(planned: Planned) -> None:
    """A phone that did not hear the answer sends again; it is kept once. Something else under the same key is not
    taken.
    """
    assert [tick(planned, said_at="2026-11-25T11:00:00+00:00").status_code for _ in range(3)] == [303] * 3
    assert len(found(planned)) == 1
    assert tick(planned, state="problem").status_code == 422
    assert len(found(planned)) == 1


def test_who_ticked_is_erased_with_what_was_found(planned: Planned) -> None:
    """The name is in the address that the answer leads to, for the first sending and a repeat, and nowhere in what is
    remembered of the form.
    """
    leads = [tick(planned, who="Zelda", light="1").headers["location"] for _ in range(2)]
    assert leads == [f"{planned.house_base}/day?who=Zelda&light=1#line-1"] * 2
    database = planned.portal.settings.database
    assert b"Zelda" in database.read_bytes()
    with planned.portal.store.writing() as db:
        erasing.of_link(db, planned.link, NOW, actor=f"link:{planned.link.id}")
    planned.portal.store.compact()
    assert b"Zelda" not in database.read_bytes()


@pytest.mark.parametrize(
    "said_at", ["", "soon", "2026-11-25T11:00:00", "2031-01-01T00:00:00+00:00", "1999-01-01T00:00:00+00:00", "9" * 500]
)
def test_a_clock_that_cannot_be_right_is_not_believed(planned: Planned, said_at: str) -> None:
    """A time in the future, before the gig was made, or none at all: the portal's own time stands."""
    tick(planned, said_at=said_at)
    assert [row.said_at for row in found(planned)] == [NOW]


@pytest.mark.parametrize(
    ("fields", "status"),
    [
        ({"state": "fine"}, 422),
        ({"note": "x" * 501}, 422),
        ({"gain": "x" * 41}, 422),
        ({"who": "x\u202e" * 5}, 422),
        ({"line": "9" * 20}, 422),
        ({"line": "99"}, 404),
        ({"line": ""}, 422),
        ({"form_version": "9"}, 404),
        ({"form_version": ""}, 428),
        ({"form_key": "short"}, 428),
    ],
)
def test_what_is_no_finding_is_not_kept(planned: Planned, fields: dict[str, str], status: int) -> None:
    """Wrong words, lengths, lines and forms are answered with a page and change nothing."""
    assert tick(planned, **fields).status_code == status
    assert found(planned) == []


def test_a_finding_stays_with_its_line(planned: Planned) -> None:
    """When the plan moves a line, its finding moves along and says on which channel it was made; a line that is gone
    keeps it below.
    """
    tick(planned, line="4")
    planned.answer(inputs_free=2)
    page = words_of(planned.house.get(f"{planned.house_base}/day").text)
    assert "then on desk channel 4" in page
    tick(planned, line="1", form_version="1")
    planned.take_rig(planned_rig_without_kick())
    page = words_of(planned.house.get(f"{planned.house_base}/day").text)
    assert "Found on lines that are no more" in page


def planned_rig_without_kick() -> object:
    rig = asking_rig()
    return type(rig)(**{**vars(rig), "source": rig.source[1:]})


def test_a_link_that_only_looks_ticks_lines_and_nothing_else(planned: Planned, enter: Callable[..., Browser]) -> None:
    """The holder of a code on paper may write findings, the page says so, and a cancelled gig takes none."""
    crew = enter(planned.link, only_view=True)
    page = f"{planned.house_base}/day"
    assert "Whoever sees this page can tick lines." in crew.get(page).text
    assert crew.send(f"{page}/lines", {"line": "2", "state": "checked"}, page=page).status_code == 303
    assert crew.send(f"{planned.house_base}/talk", {"words": "x"}, page=page).status_code == 403
    with planned.portal.store.writing() as db:
        assert gigs.cancel(db, gigs.of_link(db, planned.gig.id), 1, NOW, actor="")
    assert (
        crew.send(
            f"{page}/lines", {"form_key": KEY + "late", "form_version": "1", "line": "3", "state": "checked"}
        ).status_code
        == 409
    )
    assert "<button" not in re.search(r"<table.*</table>", crew.get(page).text, re.DOTALL)[0]


def test_whoever_has_the_sheet_is_not_named_as_the_house(planned: Planned, browser: Browser) -> None:
    """By the code on a document nobody is called what the link is called: not on the pages, in ticks, in the history
    and in what the house takes with it; a name that they give says how they came.
    """
    planned.sign("house")
    with planned.portal.store.reading() as db:
        code = crew_address(db, planned.portal, gigs.of_link(db, planned.gig.id)).removeprefix(
            planned.portal.settings.base_url
        )
    opens = words_of(browser.get(code).text)
    assert "opens the day with its line check" in opens
    assert "It opens no comments and no history" in opens
    assert browser.send(code, page=code).headers["location"] == f"{planned.house_base}/day"
    for line, who in (("1", ""), ("2", "Sam")):
        assert tick_as(browser, planned, line=line, who=who).status_code == 303
    label = planned.link.label
    for page in ("day", "plan"):
        text = browser.get(f"{planned.house_base}/{page}").text
        assert label not in text
        assert "Somebody with the sheet" in text
    rows = rows_of_page(planned.band.get(f"{planned.gigs_base}/day").text)
    assert "Checked 13:00, somebody with the sheet" in rows["1"]
    assert "Checked 13:00, Sam, with the sheet" in rows["2"]
    for side, base in ((planned.band, planned.gigs_base), (planned.house, planned.house_base)):
        history = words_of(side.get(f"{base}/history").text)
        assert "Somebody with the sheet Came in by the code on it" in history
    given = planned.house.get(f"{planned.house_base}/given.json").text
    assert '"somebody with the sheet"' in given
    assert label not in given[given.index('"findings"') : given.index('"findings"') + 400]


def tick_as(browser: Browser, planned: Planned, **fields: str) -> object:
    form = {"form_key": KEY + fields["line"], "form_version": "1", "state": "checked"}
    return browser.send(f"{planned.house_base}/day/lines", {**form, **fields})


def test_line_check_does_not_fill_the_disk(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> None:
    """A gig holds so many findings and no more."""
    monkeypatch.setattr(line_checks, "MOST", 1)
    assert [tick(planned, line=line).status_code for line in ("1", "2")] == [303, 409]


def test_the_sheet_of_a_content_is_one_page(planned: Planned) -> None:
    """The sheet has its style inside, as the policy allows, no script, no form, no other address, and of people only
    the day's contact.
    """
    content_hash = planned.newest().content_hash
    answer = planned.house.get(f"{planned.house_base}/day/{content_hash}")
    assert answer.status_code == 200
    assert not re.search(r"<script|<form|<link|src=|href=|url\(|@import", answer.text)
    assert "0123 456" in answer.text
    assert "@" not in re.sub(r"<style>.*?</style>", "", answer.text, flags=re.DOTALL)
    assert "Outdated" not in answer.text
    file = planned.house.get(f"{planned.house_base}/day/{content_hash}.html")
    assert (
        file.headers["content-disposition"]
        == f'attachment; filename="harbour-night-2026-12-05-sheet-of-the-day-revision-1-{content_hash[:8]}.html"'
    )
    assert "Saved as a file on Wed 25 Nov 2026, 13:00 (UTC+01:00)" in file.text
    assert "portal.test/check" in file.text


def test_an_older_sheet_says_so(planned: Planned) -> None:
    """As soon as a newer revision differs, the older sheet's own page says that it is outdated; the page of the day
    shows the newer one.
    """
    old = planned.newest().content_hash
    planned.answer(inputs_free=2)
    assert "Revision 2 is newer and differs" in planned.house.get(f"{planned.house_base}/day/{old}").text
    assert "Revision 2" in planned.house.get(f"{planned.house_base}/day").text
    assert planned.house.get(f"{planned.house_base}/day/{'0' * 64}").status_code == 404


def lines_and_ears(html: str) -> tuple[int, int]:
    """How many rows of the day's page are lines to the house, and how many only the in-ears hear."""
    ears = html.count('<span class="soft">in-ears only, ')
    return html.count('<tr id="line-') - ears, ears


def test_the_day_leads_with_what_is_signed(planned: Planned) -> None:
    """A newer draft changes nothing on the page of the day: it is announced with what differs, and is one tap away;
    findings stand on both. Signed by both, it takes the place.
    """
    planned.portal.papers.close()
    planned.sign("house")
    planned.sign("band")
    signed = planned.newest().content_hash
    planned.answer(inputs_free=2)
    page = f"{planned.house_base}/day"
    html = planned.house.get(page).text
    words = words_of(html)
    assert "Revision 1" in words
    assert "Revision 2 is a newer draft and is not signed. This page shows what is signed." in words
    assert "What differs: " in words
    assert "No longer goes to the house: " in words
    assert lines_and_ears(html) == (4, 0)
    tick(planned, who="Sam")
    draft = planned.house.get(f"{page}?draft=1").text
    assert lines_and_ears(draft) == (2, 2)
    assert "This is a draft. Signed is revision 1." in words_of(draft)
    assert "Sam" in draft
    sheet = planned.house.get(f"{page}/{signed}").text
    assert "Revision 2 is a newer draft and is not signed. This sheet is signed." in sheet
    assert "Outdated" not in sheet
    planned.sign("house")
    assert lines_and_ears(planned.house.get(page).text) == (4, 0)
    planned.sign("band")
    assert lines_and_ears(planned.house.get(page).text) == (2, 2)
    assert "Outdated. Revision 2 is newer" in planned.house.get(f"{page}/{signed}").text


def test_what_was_found_is_told_to_a_page_that_asks(planned: Planned) -> None:
    """The state of each line comes with its words and who, by the lines of the revision that asks; a revision that is
    not there is not found.
    """
    tick(planned, who="Sam")
    told = planned.house.get(f"{planned.house_base}/day/found?revision=1").json()
    assert told["lines"]["1"] == [["checked", "Checked 13:00, Sam", "Sam"]]
    assert told["lines"]["2"] == []
    assert told["sheet"].endswith(planned.newest().content_hash)
    assert planned.house.get(f"{planned.house_base}/day/found?revision=9").status_code == 404


def test_the_sheet_says_who_signed_when(planned: Planned) -> None:
    """Signed by one side and by both are told apart, with local times and without names."""
    planned.portal.papers.close()
    planned.sign("house")
    one = planned.house.get(f"{planned.house_base}/day").text
    assert "signed for the house Wed 25 Nov 2026, 13:00 (UTC+01:00) only" in one
    planned.sign("band")
    sheet = planned.house.get(f"{planned.house_base}/day/{planned.newest().content_hash}").text
    assert "signed for the band Wed 25 Nov 2026, 13:00 (UTC+01:00), signed for the house" in sheet
    assert "Jamie Example" not in sheet


def test_the_worker_may_look_after_the_day_only(planned: Planned) -> None:
    """The worker is served from the top as a script that browsers ask for anew; the policy allows workers of our
    own.
    """
    answer = planned.house.get("/day-worker.js")
    assert answer.headers["content-type"].startswith("text/javascript")
    assert answer.headers["cache-control"] == "no-cache"
    assert "worker-src 'self'" in answer.headers["content-security-policy"]
