"""Sign-off: exactly what was shown, once, by whoever may, and visibly outdated when the content moves."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from portal.advance.revision_words import changes
from portal.advance.status.gig_status import GigState, next_of
from portal.store import progress, signoffs
from portal.store.database.scopes import EVERYTHING
from portal.store.record import erasing
from portal.store.rigs import revision_of_gig
from portal.web.frame.running import Portal
from portal.web.plan.signed_statements import STATEMENT
from portal.wording.plan.saying import say
from tests.builders import NOW, ABand, a_link
from tests.web.conftest import Browser
from tests.web.planned import Planned, asking_rig, filled, prepare, words_of


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    gig = prepare(portal, band, signed_in, enter, asking_rig())
    # What these tests look at is the record; papers have their own tests.
    portal.papers.close()
    return gig


def test_a_signature_binds_the_hash_that_was_shown(planned: Planned) -> None:
    """The stored record holds the content's hash, who, as what, by which link, the statement's version, the ticked
    texts and the time.
    """
    answer = planned.sign("house")
    assert (answer.status_code, answer.headers["location"]) == (303, f"{planned.house_base}/sign-off/1")
    (row,) = planned.signatures()
    assert row.content_hash == planned.newest().content_hash
    assert (row.party, row.kind, row.signer_name, row.signer_role) == (
        "house",
        "signed",
        "Jamie Example",
        "house engineer",
    )
    assert (row.link_id, row.user_id, row.statement_version, row.created) == (planned.link.id, None, STATEMENT, NOW)
    with planned.portal.store.reading() as db:
        ticked = signoffs.read_ticked(db, row)
    assert ticked == tuple(say(one.said) for one in planned.newest().read().asks)
    assert len(ticked) == 1


def test_another_hash_is_refused(planned: Planned) -> None:
    """A form that carries a hash other than the plan's signs nothing."""
    answer = planned.sign("band", content_hash="0" * 64)
    assert answer.status_code == 409
    assert "Nothing was signed" in answer.text
    assert planned.signatures() == []


def test_a_stale_form_says_what_changed_and_keeps_what_was_typed(planned: Planned) -> None:
    """When the plan changed after the page was opened, the answer names the change, keeps name and role, and carries
    the new hash.
    """
    form = filled(planned.house.get(f"{planned.house_base}/sign-off").text, name="Jamie Example", role="house engineer")
    planned.answer(inputs_free=3)
    answer = planned.house.send(f"{planned.house_base}/sign-off", form)
    assert answer.status_code == 409
    assert planned.signatures() == []
    assert "No longer goes to the house: " in words_of(answer.text)
    assert 'value="Jamie Example"' in answer.text
    assert 'value="house engineer"' in answer.text
    again = filled(answer.text, name="Jamie Example", role="house engineer")
    assert again["content_hash"] == planned.newest().content_hash
    assert planned.house.send(f"{planned.house_base}/sign-off", again).status_code == 303


def test_every_point_has_to_be_ticked(planned: Planned) -> None:
    """A point left open is answered with 422 at its field, and nothing is signed."""
    answer = planned.sign("house", ask=[])
    assert answer.status_code == 422
    assert 'href="#ask"' in answer.text
    assert 'value="Jamie Example"' in answer.text
    assert planned.signatures() == []


@pytest.mark.parametrize("field", ["name", "role"])
def test_name_and_role_are_asked_for(planned: Planned, field: str) -> None:
    """Nobody signs without a name and a role."""
    answer = planned.sign("house", **{field: "  "})
    assert answer.status_code == 422
    assert f'href="#{field}"' in answer.text
    assert planned.signatures() == []


def test_both_on_the_same_hash_is_agreed(planned: Planned) -> None:
    """After both signed the same content, both receipts and both plan pages say so; after one did, they say who is
    missing.
    """
    planned.sign("house")
    assert "Still to sign: the band." in words_of(planned.house.get(f"{planned.house_base}/sign-off/1").text)
    planned.sign("band")
    for browser, base in ((planned.band, planned.gigs_base), (planned.house, planned.house_base)):
        assert "agreed Both sides signed the same content." in words_of(browser.get(f"{base}/sign-off/1").text)
        page = words_of(browser.get(f"{base}/plan").text)
        assert "Signed for the band by Ada Example" in page
        assert "Signed for the house by Jamie Example, Wed 25 Nov 2026, 13:00 (UTC+01:00)" in page
    assert [row.content_hash for row in planned.signatures()] == [planned.newest().content_hash] * 2


def test_what_was_to_resolve_is_confirmed_on_every_page(planned: Planned) -> None:
    """Once both signed, gig page, house page and plan read as the papers do; with one signature they do not
    yet.
    """
    pages = [
        (browser, f"{base}{page}")
        for browser, base in ((planned.band, planned.gigs_base), (planned.house, planned.house_base))
        for page in ("", "/plan")
    ]
    planned.sign("house")
    assert "To resolve: " in words_of(planned.house.get(planned.house_base).text)
    planned.sign("band")
    for browser, address in pages:
        words = words_of(browser.get(address).text)
        assert "all separate. Confirmed: " in words, address


def test_a_material_change_outdates_and_says_why(planned: Planned) -> None:
    """After a line is gone, both signatures show as outdated with what changed, and signing again starts from that
    difference.
    """
    planned.sign("house")
    planned.sign("band")
    planned.answer(inputs_free=3)
    for browser, base in ((planned.band, planned.gigs_base), (planned.house, planned.house_base)):
        receipt = words_of(browser.get(f"{base}/sign-off/1").text)
        assert "outdated" in receipt
        assert "No longer goes to the house: " in receipt
        page = words_of(browser.get(f"{base}/plan").text)
        assert page.count("at revision 1; this revision differs") == 2
        signing = words_of(browser.get(f"{base}/sign-off").text)
        assert "What has changed since you signed revision 1" in signing
        assert "No longer goes to the house: " in signing
    planned.sign("band")
    assert [row.content_hash == planned.newest().content_hash for row in planned.signatures()] == [False, False, True]


def test_a_note_that_changes_keeps_both_signatures(planned: Planned) -> None:
    """A typo mended in a note makes a new revision with the same hash: both signatures stand, and nobody is asked
    again.
    """
    planned.sign("house")
    planned.sign("band")
    with planned.portal.store.reading() as db:
        rig = revision_of_gig(db, planned.gig.rig_revision_id).read()
    before = planned.newest()
    after = planned.take_rig(
        replace(rig, source=(replace(rig.source[0], note="Reaches the box late"), *rig.source[1:]))
    )
    assert (before.number, after.number) == (1, 2)
    assert before.content_hash == after.content_hash
    page = words_of(planned.house.get(f"{planned.house_base}/plan").text)
    assert "Signed for the band by" in page
    assert "Signed for the house by" in page
    assert "agreed" in words_of(planned.house.get(f"{planned.house_base}/sign-off/2").text)
    assert planned.band.get(f"{planned.gigs_base}/sign-off").headers["location"] == f"{planned.gigs_base}/sign-off/2"


def test_a_moved_date_outdates(planned: Planned) -> None:
    """The heading is part of what is signed: another date asks for new signatures and is named."""
    planned.sign("house")
    with planned.portal.store.writing() as db:
        db.merge(planned.gig.model_copy(update={"on": planned.gig.on.replace(day=6)}))
    planned.answer(pa="stereo")
    assert "The date: was Sat 5 Dec 2026, now Sun 6 Dec 2026." in words_of(
        planned.house.get(f"{planned.house_base}/sign-off").text
    )


def test_sending_again_makes_no_second_signature(planned: Planned) -> None:
    """The same form twice, a second tab, and the way back all lead to the one receipt."""
    address = f"{planned.house_base}/sign-off"
    first = filled(planned.house.get(address).text, name="Jamie Example", role="house engineer")
    second = filled(planned.house.get(address).text, name="Jamie Example", role="house engineer")
    answers = [planned.house.send(address, form) for form in (first, first, second)]
    assert [answer.headers["location"] for answer in answers] == [f"{address}/1"] * 3
    assert planned.house.get(address).headers["location"] == f"{address}/1"
    assert len(planned.signatures()) == 1


def test_a_repeat_after_a_change_still_finds_its_receipt(planned: Planned) -> None:
    """A form sent again after its answer was lost leads to its receipt, even when the plan has moved on."""
    address = f"{planned.house_base}/sign-off"
    form = filled(planned.house.get(address).text, name="Jamie Example", role="house engineer")
    planned.house.send(address, form)
    planned.answer(inputs_free=3)
    answer = planned.house.send(address, form)
    assert (answer.status_code, answer.headers["location"]) == (303, f"{address}/1")


def test_a_withdrawal_is_a_new_row(planned: Planned) -> None:
    """Taking a signature back adds to the record; the plan is unsigned again and may be signed anew."""
    planned.sign("house")
    receipt = f"{planned.house_base}/sign-off/1"
    answer = planned.house.send(f"{receipt}/withdraw", {"name": "Jamie Example"}, page=receipt)
    assert answer.status_code == 303
    assert [row.kind for row in planned.signatures()] == ["signed", "withdrawn"]
    assert "Not signed for the house" in words_of(planned.house.get(f"{planned.house_base}/plan").text)
    assert "The signature no longer stands." in words_of(planned.house.get(receipt).text)
    planned.sign("house")
    assert [row.kind for row in planned.signatures()] == ["signed", "withdrawn", "signed"]


def test_a_blocked_plan_cannot_be_signed(planned: Planned) -> None:
    """While something blocks, the page has no button, and a form sent all the same signs nothing."""
    form = filled(planned.house.get(f"{planned.house_base}/sign-off").text, name="Jamie Example", role="house engineer")
    planned.answer(rack_power="no")
    with planned.portal.store.reading() as db:
        happened = replace(progress.of_gig(db, planned.gig, NOW), house_sent=True)
    assert next_of(GigState.PLANNED, happened) == ("both", "Both sides resolve what blocks signing")
    page = planned.house.get(f"{planned.house_base}/sign-off").text
    assert "This cannot be signed yet" in page
    assert "<form" not in page[page.index("<main") :]
    answer = planned.house.send(
        f"{planned.house_base}/sign-off", {**form, "content_hash": planned.newest().content_hash}
    )
    assert answer.status_code == 409
    assert planned.signatures() == []


def test_a_cancelled_gig_cannot_be_signed(planned: Planned) -> None:
    """What is cancelled is read, not signed."""
    form = filled(planned.band.get(f"{planned.gigs_base}/sign-off").text, name="Ada Example", role="band leader")
    with planned.portal.store.writing() as db:
        db.merge(planned.gig.model_copy(update={"cancelled_at": NOW}))
    assert planned.band.send(f"{planned.gigs_base}/sign-off", form).status_code == 409
    assert planned.band.get(f"{planned.gigs_base}/sign-off").status_code == 409
    assert planned.signatures() == []


@pytest.mark.parametrize("powers", [("view",), ("view", "answer")])
def test_a_link_without_the_power_cannot_sign(
    planned: Planned, enter: Callable[..., Browser], powers: tuple[str, ...]
) -> None:
    """Whoever may only look, or only answer, gets neither the page nor a signature nor a withdrawal."""
    form = filled(planned.house.get(f"{planned.house_base}/sign-off").text, name="Jamie Example", role="house engineer")
    planned.sign("house")
    with planned.portal.store.writing() as db:
        link = a_link(db, planned.gig, planned.owner, powers=powers)
    looker = enter(link)
    assert looker.get(f"{planned.house_base}/sign-off").status_code == 403
    assert looker.send(f"{planned.house_base}/sign-off", form).status_code == 403
    assert looker.send(f"{planned.house_base}/sign-off/1/withdraw", form).status_code == 403
    assert looker.get(f"{planned.house_base}/plan").status_code == 200
    assert len(planned.signatures()) == 1


def test_the_sign_off_page_shows_the_whole_plan(planned: Planned) -> None:
    """Lines, what stays out, notes, assumptions, the ears' side and what is brought stand on the page, in at most five
    folds, with one button that names its deed.
    """
    html = planned.band.get(f"{planned.gigs_base}/sign-off").text
    rest = html[html.index('<section class="rest"') : html.index("</section>")]
    assert html.count("<details") == 3
    for words in (
        "Assumed until told",
        "Inputs of the band's mixer",
        "Bring",
        "If fewer inputs work",
        "If the rack dies",
    ):
        assert words in words_of(rest)
    main = html[html.index("<main") :]
    assert main.count("<button") == 1
    assert "Sign revision 1 for the band" in main


def test_a_receipt_belongs_to_a_signature(planned: Planned) -> None:
    """Without a signature of one's own side there is no receipt; the record shows time with offset, hash and ticked
    points.
    """
    assert planned.house.get(f"{planned.house_base}/sign-off/1").status_code == 404
    planned.sign("house")
    assert planned.band.get(f"{planned.gigs_base}/sign-off/1").status_code == 404
    words = words_of(planned.house.get(f"{planned.house_base}/sign-off/1").text)
    assert "Wed 25 Nov 2026, 13:00 (UTC+01:00)" in words
    assert planned.newest().content_hash in words
    assert "Kick: no transformer" in words
    assert "the link that the band sent" in words
    with planned.portal.store.writing(EVERYTHING) as db:
        erasing.by_time(db, planned.gig.id, NOW)
    words = words_of(planned.house.get(f"{planned.house_base}/sign-off/1").text)
    assert "Ticked The words are erased" in words
    assert "Kick: no transformer" not in words


def test_what_changed_since_a_signature_comes_first(planned: Planned) -> None:
    """Above the plan each side reads what changed since its own signature; a side that never signed reads what changed
    since the other one did; and a plan that is signed as it stands says nothing of the kind.
    """
    planned.sign("house")
    before = planned.newest()
    assert "What has changed" not in words_of(planned.house.get(f"{planned.house_base}/plan").text)
    planned.answer(inputs_free=3)
    for browser, base, who in (
        (planned.house, planned.house_base, "you"),
        (planned.band, planned.gigs_base, "the house"),
    ):
        page = browser.get(f"{base}/plan").text
        words = words_of(page)
        assert f"What has changed since {who} signed revision 1 " in words
        assert (
            words.index("What has changed since")
            < words.index("No longer goes to the house: ")
            < words.index("Go to the sign-off")
        )
        assert page.index("What has changed since") < page.index('class="lead"')
        found = page[page.index("What has changed since") :]
        assert found[: found.index("</section>")].count("<li>") == len(changes(before, planned.newest()))
        assert "<details>" not in found[: found.index("</section>")]
    planned.sign("band")
    assert "What has changed" not in words_of(planned.band.get(f"{planned.gigs_base}/plan").text)
    sheet = words_of(planned.band.get(f"{planned.gigs_base}/papers/2/patch-sheet").text)
    assert "Changed since revision 1, which was signed" in sheet
    assert "Changed since" not in words_of(planned.band.get(f"{planned.gigs_base}/papers/1/patch-sheet").text)
    assert "since you signed revision 1" in words_of(planned.house.get(f"{planned.house_base}/plan").text)


def test_before_anybody_signs_a_side_reads_what_the_other_one_changed(planned: Planned) -> None:
    """What the house's later answers changed is folded above the band's plan, from the band's last deed on; the house,
    whose deed it was, reads nothing of it.
    """
    address = f"{planned.gigs_base}/talk"
    planned.band.send(address, {"words": "Looks good."}, page=address)
    planned.answer(inputs_free=3)
    words = words_of(planned.band.get(f"{planned.gigs_base}/plan").text)
    assert "What has changed since revision 1, where you last did something: " in words
    assert "What has changed" not in words_of(planned.house.get(f"{planned.house_base}/plan").text)
