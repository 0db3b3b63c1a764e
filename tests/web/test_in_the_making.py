"""Between a change and its plan: what people see, and that nothing is signed."""

from collections.abc import Callable

import pytest
from sqlmodel import select

from portal import admin_commands
from portal.advance.planning import want, work_of
from portal.store import gigs, plans, progress
from portal.store import planning as rows
from portal.store.worked_out import WorkedOut
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_gig
from tests.planning import plan_now
from tests.web.conftest import Browser
from tests.web.planned import Planned, filled, prepare, words_of
from tests.web.test_planning import change, give, work_off


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def test_every_page_says_that_the_plan_is_in_the_making(planned: Planned) -> None:
    """Both sides see the last revision, marked, with a way to look again and none to sign; the gig's state, its tasks
    and the receipt say so, and papers are marked as not the newest.
    """
    for side in ("band", "house"):
        assert planned.sign(side).status_code == 303
    agreed = words_of(planned.band.get(planned.gigs_base).text)
    assert "Both sides signed. Take the sheet along" in agreed
    kept = planned.band.get(f"{planned.gigs_base}/papers/patch-sheet")
    assert "Not the newest" not in kept.text
    change(planned)
    for browser, base in ((planned.band, planned.gigs_base), (planned.house, planned.house_base)):
        html = browser.get(f"{base}/plan").text
        assert "The plan is being worked out again since 14:00;" in words_of(html)
        assert "this is revision 1." in words_of(html)
        assert f'<a href="{base}/plan">Look again</a>' in html
        assert "Go to the sign-off" not in html
        words = words_of(browser.get(base).text)
        assert "being worked out" in words
        assert "Both sides signed" not in words
        assert browser.get(f"{base}/sign-off").headers["location"] == f"{base}/plan"
        assert "The plan is being worked out again" in browser.get(f"{base}/sign-off/1").text
        sheet = browser.get(f"{base}/papers/patch-sheet").text
        assert "Not the newest: the plan is being worked out again" in sheet
    work_off(planned.portal)
    assert "being worked out" not in words_of(planned.band.get(f"{planned.gigs_base}/plan").text).split("still open")[0]
    assert "outdated" in words_of(planned.band.get(planned.gigs_base).text)


def test_before_the_first_plan_the_page_says_so(portal: Portal, band: ABand, signed_in: Browser) -> None:
    """A gig without a revision has one sentence and no sign-off."""
    with portal.store.writing() as db:
        gig = a_gig(db, band)
        want(db, gig, NOW)
    words = words_of(signed_in.get(f"/gigs/{gig.id}/plan").text)
    assert "The plan is being worked out since" in words
    assert "there is none yet." in words
    assert "There is no plan yet" not in words


def test_nothing_is_signed_between_a_change_and_its_plan(planned: Planned) -> None:
    """A form drawn before the change signs nothing, says what has changed, and has the plan worked out; after it, the
    new hash is needed.
    """
    page = f"{planned.house_base}/sign-off"
    form = filled(planned.house.get(page).text, name="Jamie Example", role="house engineer")
    change(planned)
    answer = planned.house.send(page, form)
    assert answer.status_code == 409
    words = words_of(answer.text)
    assert "Nothing was signed." in words
    assert "Was: 8 working inputs. Now: 3 working inputs." in words
    work_off(planned.portal)
    assert planned.house.send(page, form).status_code == 409
    assert planned.signatures() == []
    assert planned.sign("house").status_code == 303


def test_a_change_that_asked_for_no_plan_is_not_signed_either(planned: Planned) -> None:
    """Signing looks at the gig itself: what nobody noted is found, refused, and planned."""
    page = f"{planned.house_base}/sign-off"
    form = filled(planned.house.get(page).text, name="Jamie Example", role="house engineer")
    with planned.portal.store.writing() as db:
        give(db, planned, 5)
    assert planned.house.send(page, form).status_code == 409
    assert planned.signatures() == []
    assert planned.newest().read_answers()["inputs-free"].value == 5


def test_a_gig_from_before_is_signed_as_it_stands(planned: Planned) -> None:
    """Where nobody has noted what a gig is planned from, its plan tells: it is signed where it is of what the gig says,
    and planned anew where it is not.
    """
    with planned.portal.store.writing() as db:
        db.delete(rows.of_gig(db, planned.gig.id))
    assert planned.sign("band").status_code == 303
    with planned.portal.store.writing() as db:
        give(db, planned, 5)
    page = f"{planned.house_base}/sign-off"
    form = filled(planned.house.get(page).text, name="Jamie Example", role="house engineer")
    assert planned.house.send(page, form).status_code == 409
    assert planned.newest().number == 2


def test_the_state_of_a_list_says_it_too(planned: Planned) -> None:
    """The list of gigs marks what is being worked out, in as many queries as before."""
    planned.sign("band")
    change(planned)
    with planned.portal.store.reading() as db:
        found = progress.of_gigs(db, [planned.gig], NOW)[planned.gig.id]
        assert found.behind
        assert work_of(db, planned.gig.id) is not None
    assert "being worked out" in words_of(planned.band.get("/").text)


def test_what_was_worked_out_goes_with_its_plan(planned: Planned) -> None:
    """What no newest plan stands on is forgotten by the daily round, and nothing else."""
    planned.band.get(f"{planned.gigs_base}/plan")
    first = kept(planned)
    planned.answer(inputs_free=3)
    planned.band.get(f"{planned.gigs_base}/plan")
    both = kept(planned)
    admin_commands.forget(planned.portal.store, 90, NOW)
    assert (len(first), len(both)) == (1, 2)
    assert kept(planned) == both - first


def kept(planned: Planned) -> set[str]:
    with planned.portal.store.reading() as db:
        return {row.key for row in db.exec(select(WorkedOut))}


def test_a_plan_made_again_by_hand_is_no_plan_from_nowhere(planned: Planned) -> None:
    """The helper of these tests plans as the job does."""
    change(planned, 6)
    with planned.portal.store.writing() as db:
        made = plan_now(db, gigs.of_link(db, planned.gig.id), NOW)
        assert made.number == 2
        assert plans.newest(db, planned.gig.id).id == made.id
