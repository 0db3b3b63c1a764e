"""A changed rig changes no gig by itself: what a newer revision would change is read first, then taken on purpose."""

from collections.abc import Callable

import pytest

from portal.plan.input.rig import Configuration, Rig
from portal.store import gigs, plans, rigs
from portal.store.database.session import Store
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_gig, a_rig
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare, words_of


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    gig = prepare(portal, band, signed_in, enter)
    portal.papers.close()
    return gig


def save(planned: Planned, rig: Rig) -> None:
    """The band saves its rig; no gig takes it yet."""
    with planned.portal.store.writing() as db:
        stored = rigs.get(db, planned.owner.band_id, planned.gig.rig_id)
        user = planned.owner.user_id
        rigs.save(db, stored, version=stored.version, name=stored.name, rig=rig, author_id=user, now=NOW)


def test_an_agreed_gig_reads_what_a_newer_rig_changes_before_it_takes_it(planned: Planned) -> None:
    """The page names both signatures and every change of plan and rig while nothing is saved; one press takes it, and
    then there is nothing left to take.
    """
    planned.sign("house")
    planned.sign("band")
    save(planned, a_rig(source=a_rig().source[:2]))
    page = f"{planned.gigs_base}/rig"
    assert "See what revision 2 would change" in planned.band.get(planned.gigs_base).text
    words = words_of(planned.band.get(page).text)
    assert "This plan is signed for the band and the house. With the newer rig it differs" in words
    assert words.count("Line gone: ") == 2
    assert "is no longer there" in words
    assert planned.newest().number == 1
    assert planned.band.send(page, page=page).status_code == 303
    assert [len(one.read().lines) for one in (planned.newest(),)] == [2]
    assert "See what revision" not in planned.band.get(planned.gigs_base).text
    assert planned.band.client.get(page, follow_redirects=False).status_code == 303


def test_the_signed_patch_sheet_stands_before_a_newer_draft(planned: Planned) -> None:
    """Both sides' pages offer one patch sheet while signed and newest are one; then each says which it is. An agreed
    gig has no open question to do.
    """
    planned.sign("house")
    planned.sign("band")
    sides = ((planned.band, planned.gigs_base), (planned.house, planned.house_base))
    for browser, base in sides:
        words = words_of(browser.get(base).text)
        assert "Patch sheet" in words
        assert "draft revision" not in words
        assert "Open questions" not in words
    planned.take_rig(a_rig(source=a_rig().source[:2]))
    for browser, base in sides:
        html = browser.get(base).text
        assert "Signed patch sheet, revision 1 Patch sheet, draft revision 2" in words_of(html)
        assert f'href="{base}/papers/1/patch-sheet">Signed' in html


def test_whoever_looks_again_and_again_waits_for_a_turn(planned: Planned) -> None:
    """Each look takes a solver and a reader's place: one person has no more of them than with what-ifs."""
    save(planned, a_rig(bits={"turn_round": 20}))
    page, actor = f"{planned.gigs_base}/rig", f"user:{planned.owner.user_id}"
    with planned.portal.what_if_turns.one(actor), planned.portal.what_if_turns.one(actor):
        assert planned.band.get(page).status_code == 429
    assert planned.band.get(page).status_code == 200


def test_what_nobody_signed_for_leaves_the_signatures(planned: Planned) -> None:
    """A revision that changes nothing a signature covers says that the signature stands, and it does."""
    planned.sign("house")
    save(planned, a_rig(bits={"turn_round": 20}))
    page = f"{planned.gigs_base}/rig"
    words = words_of(planned.band.get(page).text)
    assert "This plan is signed for the house. The signature stands with the newer rig too." in words
    planned.band.send(page, page=page)
    assert "Signed for the house by" in words_of(planned.band.get(f"{planned.gigs_base}/plan").text)


def test_a_newer_rig_that_nobody_could_sign_says_so(planned: Planned) -> None:
    """Where the plan with the newer rig could not be signed, the page says why before it is taken."""
    save(planned, a_rig(source=()))
    words = words_of(planned.band.get(f"{planned.gigs_base}/rig").text)
    assert "With this, nobody can sign: Nothing goes to the house" in words


def test_only_what_was_shown_is_taken(planned: Planned) -> None:
    """A rig that changed again, or a gig that somebody else saved, since the page was drawn: nothing is taken."""
    save(planned, a_rig(source=a_rig().source[:2]))
    page = f"{planned.gigs_base}/rig"
    form = planned.band.hidden(page)
    save(planned, a_rig(source=a_rig().source[:1]))
    answer = planned.band.send(page, form)
    assert answer.status_code == 409
    assert "Nothing was saved" in answer.text
    with planned.portal.store.reading() as db:
        assert gigs.of_link(db, planned.gig.id).rig_revision_id == planned.gig.rig_revision_id


def test_saving_the_details_takes_no_newer_rig(signed_in: Browser, band: ABand, store: Store) -> None:
    """A gig keeps its revision whatever else of it is saved."""
    with store.writing() as db:
        gig = a_gig(db, band)
        rig = rigs.get(db, band.band_id, gig.rig_id)
        fewer = a_rig(source=a_rig().source[:2])
        rigs.save(db, rig, version=rig.version, name=rig.name, rig=fewer, author_id=band.user_id, now=NOW)
    form = f"/gigs/{gig.id}/details"
    entries = {
        "name": gig.name,
        "place": gig.place,
        "on": gig.on.isoformat(),
        "zone": gig.time_zone,
        "rig": f"{gig.rig_id}|",
    }
    assert signed_in.send(form, entries, page=form).status_code == 303
    with store.reading() as db:
        assert gigs.of_link(db, gig.id).rig_revision_id == gig.rig_revision_id
        assert len(plans.newest(db, gig.id).read().lines) == 4


def test_a_variant_that_is_gone_is_not_dropped_silently(signed_in: Browser, band: ABand, store: Store) -> None:
    """The newest revision is refused where the gig's variant is missing, with what to do."""
    with_variant = a_rig(configurations={"quiet": Configuration(off=("kick",))})
    with store.writing() as db:
        gig = a_gig(db, band, rig=with_variant, configuration="quiet")
        rig = rigs.get(db, band.band_id, gig.rig_id)
        rigs.save(db, rig, version=rig.version, name=rig.name, rig=a_rig(), author_id=band.user_id, now=NOW)
    for answer in (
        signed_in.get(f"/gigs/{gig.id}/rig"),
        signed_in.send(f"/gigs/{gig.id}/rig", {"revision": "2"}, page=f"/gigs/{gig.id}/details"),
    ):
        assert answer.status_code == 409
        assert "no variant quiet" in answer.text
