"""A proposal is tried before it is sent, carries a reason, and whoever made it reads what became of it; what the band
leaves out before the house has signed is its own word.
"""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from portal.store import answers
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare, words_of
from tests.web.test_talk import agree, decide, desk, plan_page, proposals, propose, side
from tests.wording.texts import nonsense_catalogue, only


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    gig = prepare(portal, band, signed_in, enter)
    portal.papers.close()
    return gig


def trial(planned: Planned, party: str, about: str, kind: str, channel: str = "") -> str:
    """The page that says what a proposal would change, before it is sent."""
    browser, base = side(planned, party)
    return words_of(browser.get(f"{base}/talk/try?about={about}&kind={kind}&channel={channel}").text)


def proposal_page(planned: Planned, party: str) -> str:
    """The page of the proposal that waits, or else of the only one."""
    browser, base = side(planned, party)
    row = next((one for one in proposals(planned) if one.outcome is None), proposals(planned)[0])
    return words_of(browser.get(f"{base}/talk/proposals/{row.id}").text)


def test_every_language_names_the_other_side_itself(planned: Planned, tmp_path: Path) -> None:
    """No English word for a side stands in another language's sentence: each side has a sentence of its own."""
    nonsense_catalogue(tmp_path, "eo")
    with only(tmp_path):
        planned.house.client.headers["Accept-Language"] = "eo"
        tried = trial(planned, "house", "kick", "desk-channel", "4")
        propose(planned, "band", "kick", "desk-channel", "4")
        asked = proposal_page(planned, "house")
    assert re.findall(r"\b(?:band|house)\b", tried + asked) == []


def test_a_proposal_is_tried_before_it_is_sent(planned: Planned) -> None:
    """The page names what would move, saves nothing and asks for a reason; sent from there, the other side reads the
    reason beside the same change.
    """
    words = trial(planned, "house", "kick", "desk-channel", "4")
    assert "Nothing is sent yet." in words
    assert "Lead:" in words
    assert "desk channel was 4, now 1" in words
    assert "Propose it to the band" in words
    assert proposals(planned) == []
    page = f"{planned.house_base}/talk/try?about=kick&kind=desk-channel&channel=4"
    address = f"{planned.house_base}/talk/proposals?about=kick"
    typed = {"kind": "desk-channel", "channel": "4"}
    without = planned.house.send(address, typed, page=page)
    assert without.status_code == 303
    told = planned.house.get(without.headers["location"])
    assert told.status_code == 422
    assert "Say why in a few words" in told.text
    assert "desk channel was 4, now 1" in words_of(told.text)
    assert proposals(planned) == []
    assert planned.house.send(address, {**typed, "reason": "Drums come last here."}, page=page).status_code == 303
    words = proposal_page(planned, "band")
    assert "The house: Drums come last here." in words
    assert "desk channel was 4, now 1" in words
    assert "Drums come last here." in words_of(plan_page(planned, "band"))


def test_whoever_opens_a_proposal_again_and_again_waits_for_a_turn(planned: Planned) -> None:
    """What it would change is worked out at each look: one person has no more turns than with what-ifs."""
    propose(planned, "house", "kick", "desk-channel", "4")
    (row,) = proposals(planned)
    page, actor = f"{planned.gigs_base}/talk/proposals/{row.id}", f"user:{planned.owner.user_id}"
    with planned.portal.what_if_turns.one(actor), planned.portal.what_if_turns.one(actor):
        assert planned.band.get(page).status_code == 429
    assert planned.band.get(page).status_code == 200


def test_what_cannot_be_proposed_is_told_before_it_is_tried(planned: Planned) -> None:
    """A channel that is missing, or a proposal that waits already, comes back as the form with a sentence."""
    base = f"{planned.house_base}/talk/try?about=kick"
    assert planned.house.get(f"{base}&kind=desk-channel").status_code == 422
    propose(planned, "house", "kick", "leave-out")
    answer = planned.house.get(f"{base}&kind=leave-out")
    assert answer.status_code == 422
    assert "This is proposed already." in answer.text


def test_only_the_plan_that_was_seen_is_proposed_on(planned: Planned) -> None:
    """Where the plan has changed since the trial, nothing is sent and the reason is kept."""
    page = f"{planned.house_base}/talk/try?about=kick&kind=desk-channel&channel=4"
    form = {**planned.house.hidden(page), "kind": "desk-channel", "channel": "4", "reason": "Drums come last here."}
    planned.answer(inputs_free=3)
    answer = planned.house.send(f"{planned.house_base}/talk/proposals?about=kick", form)
    assert answer.status_code == 409
    assert "Nothing was sent." in words_of(answer.text)
    assert 'value="Drums come last here."' in answer.text
    assert proposals(planned) == []


def test_what_nobody_could_sign_is_said_before_it_is_accepted(planned: Planned) -> None:
    """Where both agreed to leave a source out and one proposes a line of its own for it, the trial and the proposal's
    page say that nobody can sign then, and so does the button.
    """
    agree(planned, "bass", "leave-out")
    assert "nobody can sign" in trial(planned, "band", "bass", "own-line")
    propose(planned, "band", "bass", "own-line")
    words = proposal_page(planned, "house")
    assert "With this, nothing fits, and nobody can sign." in words
    assert "Accept for the house, though nobody can sign then" in words


def test_whose_signature_falls_is_said_before_it_is_proposed_and_accepted(planned: Planned) -> None:
    """Where both have signed, the trial, the proposal's page and the button that accepts say that the plan has to be
    signed again; where nobody has signed, none does.
    """
    falls = "This plan is signed for the band and the house. With this change it differs, and has to be signed again."
    propose(planned, "house", "kick", "desk-channel", "4")
    assert "signed again" not in proposal_page(planned, "band")
    planned.sign("house")
    planned.sign("band")
    assert falls in trial(planned, "house", "bass", "leave-out")
    words = proposal_page(planned, "band")
    assert falls in words
    assert "Accept for the band, to be signed again" in words


def test_a_channel_that_the_plan_cannot_keep_is_said_before_it_is_accepted(planned: Planned) -> None:
    """A desk channel that the desk's free inputs do not have blocks the sign-off: both pages say which agreement it
    would be.
    """
    said = "With this, nobody can sign: Both sides agreed on desk channel 30 for Kick; the plan cannot keep that"
    assert said in trial(planned, "house", "kick", "desk-channel", "30")
    propose(planned, "house", "kick", "desk-channel", "30")
    assert said in proposal_page(planned, "band")


def test_whoever_proposed_reads_what_became_of_it(planned: Planned) -> None:
    """Declined with a reason, it stands on the proposer's plan page with who, when and why; the other side's plan page
    does not list it as its own.
    """
    propose(planned, "house", "kick", "desk-channel", "4")
    row = proposals(planned)[0]
    page = f"{planned.gigs_base}/talk/proposals/{row.id}"
    planned.band.send(page, {"deed": "declined", "why": "The scene is built already."}, page=page)
    words = words_of(plan_page(planned, "house"))
    assert "What became of your proposals: 1 not taken declined Kick on desk channel 4" in words
    assert "declined by Ada Example for the band, Wed 25 Nov 2026, 13:00" in words
    assert "The band: The scene is built already." in words
    assert "What became of your proposals" not in plan_page(planned, "band")


def test_while_a_proposal_waits_its_decision_comes_next(planned: Planned) -> None:
    """On either side's page of the gig: nobody is sent to sign a plan that may change."""
    with planned.portal.store.writing() as db:
        answers.send(db, planned.gig.id, planned.link.id, NOW)
    propose(planned, "house", "kick", "desk-channel", "4")
    for browser, base in ((planned.band, planned.gigs_base), (planned.house, planned.house_base)):
        said = words_of(browser.get(base).text)
        assert "sides sign" not in said.partition("What is still open")[0]
        assert "the band decides what the house proposed" in said.lower()
    decide(planned, "band", "declined")
    assert "decides what" not in words_of(planned.band.get(planned.gigs_base).text)


def test_what_was_declined_is_answered_by_something_else_in_one_tap(planned: Planned) -> None:
    """Both who declined and who proposed are led to the form of the same source; it says what it cannot hold."""
    propose(planned, "house", "kick", "desk-channel", "4")
    (row,) = proposals(planned)
    page = f"{planned.gigs_base}/talk/proposals/{row.id}"
    assert "Propose something else" not in planned.band.get(page).text
    led = planned.band.send(page, {"deed": "declined"}, page=page).headers["location"]
    for browser, base, at in (
        (planned.band, planned.gigs_base, led),
        (planned.house, planned.house_base, f"{planned.house_base}/plan"),
    ):
        form = f"{base}/talk?about=kick"
        assert f'href="{form}#propose"' in browser.get(at).text
        shown = browser.get(form).text
        assert '<h2 id="propose">' in shown
        assert "is asked for in a comment above" in shown


def test_what_was_accepted_names_the_revision_since_which_it_holds(planned: Planned) -> None:
    """An agreement says in which revision of the plan it came."""
    planned.answer(room_capacity=80)
    before = planned.newest().number
    agree(planned, "kick", "desk-channel", "4")
    planned.answer(phantom_switching="per-channel")
    assert f"in the plan since revision {before + 1}" in words_of(plan_page(planned, "house"))
    assert f"in the plan since revision {before + 1}" in proposal_page(planned, "house")


def test_what_another_agreement_overtakes_is_settled_and_told(planned: Planned) -> None:
    """With one channel accepted, the open proposal of another one for the same source is overtaken; one for another
    source waits on. Nobody can accept the overtaken one any more.
    """
    propose(planned, "house", "kick", "desk-channel", "3")
    propose(planned, "house", "lead", "desk-channel", "1")
    propose(planned, "band", "kick", "desk-channel", "4")
    by_value = {(row.source, row.value): row for row in proposals(planned)}
    assert decide(planned, "house", "accepted", by_value["kick", "4"]).status_code == 303
    outcomes = {(row.source, row.value): row.outcome for row in proposals(planned)}
    assert outcomes == {("kick", "3"): "overtaken", ("lead", "1"): None, ("kick", "4"): "accepted"}
    assert decide(planned, "band", "accepted", by_value["kick", "3"]).status_code == 409
    words = words_of(planned.band.get(f"{planned.gigs_base}/talk").text)
    assert "overtaken Kick on desk channel 3" in words
    assert "overtaken by what was accepted by House engineer for the house" in words


def test_the_band_leaves_out_its_own_source_until_the_house_has_signed(planned: Planned) -> None:
    """Before the house has signed, the band's word is enough to leave a source out and to bring it back; afterwards the
    house decides. The house never has that word.
    """
    assert "needs nobody's consent" in trial(planned, "band", "bass", "leave-out")
    assert propose(planned, "band", "bass", "leave-out", reason="").status_code == 303
    assert "Bass" not in desk(planned)
    words = words_of(plan_page(planned, "house"))
    assert "decided Leave out Bass" in words
    assert "Decided by Ada Example for the band" in words
    (row,) = proposals(planned)
    page = f"{planned.gigs_base}/talk/proposals/{row.id}"
    assert "Give this up" in planned.band.get(page).text
    assert "Ask the band to give this up" in planned.house.get(page.replace("/gigs/", "/house/")).text
    assert planned.band.send(f"{page}/release", page=page).status_code == 303
    assert "Bass" in desk(planned)
    assert "given up by the band" in words_of(planned.band.get(page).text)
    planned.sign("house")
    assert "needs nobody's consent" not in trial(planned, "band", "kick", "leave-out")
    propose(planned, "band", "kick", "leave-out")
    assert "Kick" in desk(planned)
    assert "needs nobody's consent" not in trial(planned, "house", "bass", "leave-out")
