"""Both sides comment and propose on the page; what both accept binds every later plan until both give it up."""

import re
from collections.abc import Callable
from dataclasses import replace
from html import unescape

import pytest

from portal.plan.input.rig import Source
from portal.plan.model import NoPlan
from portal.store import discussions, gigs
from portal.store.discussions import Proposal
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_link, a_rig
from tests.web.conftest import Browser
from tests.web.planned import TABLE, Planned, prepare, rows_of, words_of


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def side(planned: Planned, party: str) -> tuple[Browser, str]:
    return (planned.band, planned.gigs_base) if party == "band" else (planned.house, planned.house_base)


def say(planned: Planned, party: str, words: str, about: str = "") -> object:
    browser, base = side(planned, party)
    address = f"{base}/talk" + (f"?about={about}" if about else "")
    return browser.send(address, {"words": words}, page=address)


def propose(
    planned: Planned, party: str, about: str, kind: str, channel: str = "", reason: str = "It suits the desk."
) -> object:
    """One side proposes; it has seen what that would change where the plan has the source."""
    browser, base = side(planned, party)
    typed = {"kind": kind, "channel": channel, "reason": reason}
    return browser.send(f"{base}/talk/proposals?about={about}", typed, page=f"{base}/talk?about={about}")


def proposals(planned: Planned) -> list[Proposal]:
    with planned.portal.store.reading() as db:
        return discussions.proposals(db, planned.gig.id)


def decide(planned: Planned, party: str, deed: str, row: Proposal | None = None) -> object:
    """One side presses a button of a proposal, of the open one unless told."""
    browser, base = side(planned, party)
    row = row or next(one for one in proposals(planned) if one.outcome is None)
    return browser.send(f"{base}/talk/proposals/{row.id}", {"deed": deed}, page=f"{base}/talk")


def agree(planned: Planned, about: str, kind: str, channel: str = "") -> None:
    """The house proposes, the band accepts."""
    assert propose(planned, "house", about, kind, channel).status_code == 303
    assert decide(planned, "band", "accepted").status_code == 303


def plan_page(planned: Planned, party: str) -> str:
    browser, base = side(planned, party)
    return browser.get(f"{base}/plan").text


def opened(planned: Planned, party: str, address: str) -> str:
    return side(planned, party)[0].get(address).text


def desk(planned: Planned) -> dict[str, str]:
    return {row[0]: row[8] for row in rows_of(plan_page(planned, "band"))}


# --- comments


def test_a_comment_is_read_by_both_sides(planned: Planned) -> None:
    """A comment on a line and one on the whole stand on both sides' plan pages, with who and when in the gig's zone,
    the line's with the line too.
    """
    assert say(planned, "house", "We have a better microphone.\nShall we bring it?", "kick").status_code == 303
    assert say(planned, "band", "Load-in is tight <b>.").status_code == 303
    for party in ("band", "house"):
        html = plan_page(planned, party)
        table, rest = html[html.index(TABLE) : html.index("</table>")], html[html.index('id="talk"') :]
        kick = table[table.index('id="line-1"') : table.index('id="line-2"')]
        assert "1 comment" in kick
        line = opened(planned, party, re.search(r'href="([^"]*/lines/1)"', kick)[1])
        assert "We have a better microphone.\nShall we bring it?" in line
        assert "House engineer for the house, Wed 25 Nov 2026, 13:00" in words_of(line)
        assert "tight" not in table
        assert "2 comments" in rest
        assert "Load-in is tight &lt;b&gt;." in rest
        assert "Ada Example for the band, Wed 25 Nov 2026, 13:00" in words_of(rest)
        assert "about Kick" in words_of(rest)


def test_what_else_the_house_says_is_shown(planned: Planned) -> None:
    """What the house wrote when it sent its answers is read beside the plan."""
    page = f"{planned.house_base}/questions"
    assert planned.house.send(page, {"comment": "The lift is out of order."}, page=page).status_code == 303
    assert "The lift is out of order." in plan_page(planned, "band")


def test_a_comment_sent_twice_is_one(planned: Planned) -> None:
    """The same form again leads to the same place and leaves one comment; without its key it is refused."""
    address = f"{planned.house_base}/talk"
    form = {**planned.house.hidden(address), "words": "Hello"}
    assert [planned.house.send(address, form).status_code for _ in range(2)] == [303, 303]
    with planned.portal.store.reading() as db:
        assert [row.words for row in discussions.comments(db, planned.gig.id)] == ["Hello"]
    assert planned.house.send(address, {"words": "Hello"}).status_code == 428


@pytest.mark.parametrize(
    ("words", "sentence"), [("  ", "Write what you want to say."), ("x" * 2001, "2000 fit. Shorten it.")]
)
def test_an_empty_or_endless_comment_is_told(planned: Planned, words: str, sentence: str) -> None:
    """The entry is kept beside the sentence, and nothing is stored."""
    answer = say(planned, "house", words, "kick")
    assert answer.status_code == 422
    assert sentence in answer.text
    assert words.strip() in answer.text
    with planned.portal.store.reading() as db:
        assert discussions.comments(db, planned.gig.id) == []


def test_nothing_is_said_about_what_is_not_there(planned: Planned) -> None:
    """A source that the rig does not have is not found, whatever is done with it."""
    assert planned.house.get(f"{planned.house_base}/talk?about=triangle").status_code == 404
    assert say(planned, "house", "Hm", "triangle").status_code == 404
    assert propose(planned, "house", "triangle", "leave-out").status_code in {404, 428}


def test_who_may_only_look_reads_and_says_nothing(planned: Planned, band: ABand, enter: Callable[..., Browser]) -> None:
    """A link without the power to answer finds no form, and its posts are refused."""
    say(planned, "band", "Read this.")
    propose(planned, "band", "kick", "leave-out")
    with planned.portal.store.writing() as db:
        link = a_link(db, planned.gig, band, powers=("view",))
    crew = enter(link)
    address = f"{planned.house_base}/talk"
    for page in (
        address,
        f"{address}?about=kick",
        f"{planned.house_base}/plan",
        f"{address}/proposals/{proposals(planned)[0].id}",
    ):
        text = crew.get(page).text
        assert "<textarea" not in text
        assert "/talk/proposals?" not in text
        assert 'name="deed"' not in text
    assert "Read this." in crew.get(address).text
    key = {"form_key": "k" * 20, "form_version": "1", "words": "Hi", "kind": "leave-out", "deed": "accepted"}
    for path in (address, f"{address}/proposals?about=kick", f"{address}/proposals/{proposals(planned)[0].id}"):
        assert crew.send(path, key).status_code == 403


# --- proposals


def test_a_proposal_waits_for_the_other_side(planned: Planned) -> None:
    """What is proposed changes nothing yet; both see it, only the other side can accept it, and it says first what
    would change.
    """
    before = desk(planned)
    assert propose(planned, "house", "kick", "desk-channel", "4").status_code == 303
    assert desk(planned) == before
    address = f"/talk/proposals/{proposals(planned)[0].id}"
    ours, theirs = (
        planned.band.get(planned.gigs_base + address).text,
        planned.house.get(planned.house_base + address).text,
    )
    for html in (ours, theirs):
        assert "Kick on desk channel 4" in html
        assert re.search(r"Kick: [^.]*desk channel was 1, now 4", words_of(html))
        assert re.search(r"Lead: [^.]*desk channel was 4, now 1", words_of(html))
    assert "Accept for the band" in ours
    assert "Take it back" not in ours
    assert "Take it back" in theirs
    assert "Accept" not in theirs
    assert "proposed Kick on desk channel 4. Look at it and decide" in words_of(plan_page(planned, "band"))
    assert "Look at it and decide" not in plan_page(planned, "house")
    assert decide(planned, "house", "accepted").status_code == 409
    assert proposals(planned)[0].outcome is None


def test_what_is_accepted_is_planned_at_once_and_kept(planned: Planned) -> None:
    """An accepted channel is on the plan at once, what stood there takes its place, and a later plan from other answers
    keeps it.
    """
    agree(planned, "kick", "desk-channel", "4")
    assert desk(planned) == {"Lead": "1", "Bass": "2", "Keys": "3", "Kick": "4"}
    planned.answer(room_capacity=80, phantom_switching="per-channel")
    assert desk(planned)["Kick"] == "4"
    for party in ("band", "house"):
        words = words_of(plan_page(planned, party))
        assert "1 agreement" in words
        assert (
            "Proposed by House engineer for the house, Wed 25 Nov 2026, 13:00; accepted by Ada Example for the band,"
            " Wed 25 Nov 2026, 13:00" in words
        )


@pytest.mark.parametrize("deed", ["declined", "taken-back"])
def test_a_proposal_that_came_to_nothing_stays_in_the_record(planned: Planned, deed: str) -> None:
    """Declined or taken back, it changes no plan, cannot be settled again, and both sides read what became of it."""
    propose(planned, "house", "kick", "leave-out")
    number = planned.newest().number
    assert decide(planned, "band" if deed == "declined" else "house", deed).status_code == 303
    assert planned.newest().number == number
    assert decide(planned, "band", "accepted", proposals(planned)[0]).status_code == 409
    for party in ("band", "house"):
        browser, base = side(planned, party)
        text = words_of(browser.get(f"{base}/talk").text)
        assert "Decided before: 1" in text
        assert (
            "Leave out Kick Proposed by House engineer for the house, Wed 25 Nov 2026, 13:00;"
            f" {deed.replace('-', ' ')} by" in text
        )


def test_leaving_out_and_bringing_back(planned: Planned) -> None:
    """A line can be left out by agreement; from what is not sent, a line of its own is proposed, and the two clash
    until one is given up.
    """
    agree(planned, "bass", "leave-out")
    assert "Bass" not in desk(planned)
    browser, base = side(planned, "band")
    html = plan_page(planned, "band")
    assert f'href="{base}/talk?about=bass"' in html
    offered = browser.get(f"{base}/talk?about=bass").text
    assert 'value="own-line"' in offered
    assert 'value="leave-out"' not in offered
    propose(planned, "band", "bass", "own-line")
    (row,) = [one for one in proposals(planned) if one.outcome is None]
    words = words_of(planned.house.get(f"{planned.house_base}/talk/proposals/{row.id}").text)
    assert "no plan With this, nothing fits, and nobody can sign." in words


@pytest.fixture
def with_keys(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    """The gig with a stereo pair, Keys L and Keys R, behind everything else."""
    rig = a_rig()
    keys = [
        Source(
            key=f"k{one}",
            label=f"Keys {one}",
            what="synth.generic",
            position=word,
            pair_with=f"k{other}",
            splitter="s",
            way=way,
        )
        for one, word, other, way in (("L", "left", "R", 5), ("R", "right", "L", 6))
    ]
    return prepare(portal, band, signed_in, enter, replace(rig, source=(*rig.source, *keys)))


def test_a_pair_is_left_out_together(with_keys: Planned) -> None:
    """How a stereo source is sent is proposed for both its sides, and the words say so."""
    agree(with_keys, "kL", "leave-out")
    assert "Leave out Keys L and Keys R" in words_of(plan_page(with_keys, "house"))
    assert not {"Keys L", "Keys R"} & desk(with_keys).keys()


def test_a_pair_moves_together(with_keys: Planned) -> None:
    """A channel agreed for one line of a pair takes the other line along, and the words say so; one that would tear the
    pair is refused.
    """
    before = desk(with_keys)
    for key, channel, sentence in (("kL", "6", "For Keys L enter 5 or 7."), ("kR", "7", "For Keys R enter 6 or 8.")):
        refused = propose(with_keys, "house", key, "desk-channel", channel)
        assert refused.status_code == 422
        assert sentence in unescape(refused.text)
    agree(with_keys, "kR", "desk-channel", "8")
    assert desk(with_keys) == {**before, "Keys L": "7", "Keys R": "8"} != before
    assert "Keys R (and Keys L with it) on desk channel 8" in words_of(plan_page(with_keys, "band"))


def test_the_same_is_not_proposed_twice(planned: Planned) -> None:
    """What is proposed or agreed already is not proposed again; the same form sent twice is one proposal."""
    base = planned.house_base
    form = {**planned.house.hidden(f"{base}/talk?about=kick"), "kind": "leave-out", "reason": "No mic."}
    address = f"{base}/talk/proposals?about=kick"
    assert [planned.house.send(address, form).status_code for _ in range(2)] == [303, 303]
    assert len(proposals(planned)) == 1
    again = propose(planned, "band", "kick", "leave-out")
    assert again.status_code == 422
    assert "This is proposed already." in again.text
    decide(planned, "band", "accepted")
    assert propose(planned, "band", "kick", "leave-out").status_code == 422


@pytest.mark.parametrize(
    ("kind", "channel"),
    [("", ""), ("paint-it-black", ""), ("desk-channel", ""), ("desk-channel", "0"), ("desk-channel", "129")],
)
def test_a_proposal_that_says_nothing_is_told(planned: Planned, kind: str, channel: str) -> None:
    """Without a choice, or with a channel that no desk has, nothing is proposed and the form comes back."""
    answer = propose(planned, "house", "kick", kind, channel)
    assert answer.status_code == 422
    assert "One place needs another look" in answer.text
    assert proposals(planned) == []


def test_only_what_was_shown_is_accepted(planned: Planned) -> None:
    """Where the plan has changed since the page was opened, nothing is accepted and the page says what it would change
    now.
    """
    propose(planned, "house", "kick", "desk-channel", "4")
    page = f"{planned.gigs_base}/talk/proposals/{proposals(planned)[0].id}"
    form = planned.band.hidden(page)
    planned.answer(inputs_free=3)
    answer = planned.band.send(page, {**form, "deed": "accepted"})
    assert answer.status_code == 409
    assert "The plan has changed meanwhile" in answer.text
    assert proposals(planned)[0].outcome is None
    assert planned.band.send(page, {"deed": "accepted"}, page=page).status_code == 303


# --- what was agreed


def test_both_sides_give_up_what_was_agreed(planned: Planned) -> None:
    """One side asks, the plan keeps it, the other side confirms, and the plan is as it was; the record holds every
    step.
    """
    before = desk(planned)
    agree(planned, "kick", "desk-channel", "4")
    lock = proposals(planned)[0]
    page = f"{planned.house_base}/talk/proposals/{lock.id}"
    assert planned.house.send(f"{page}/release", page=page).status_code == 303
    assert desk(planned)["Kick"] == "4"
    assert planned.house.send(f"{page}/release", page=f"{planned.house_base}/talk").status_code == 409
    asked = words_of(plan_page(planned, "band"))
    assert "Give up what was agreed: Kick on desk channel 4. Look at it and decide" in asked
    assert decide(planned, "house", "accepted").status_code == 409
    assert decide(planned, "band", "accepted").status_code == 303
    assert desk(planned) == before
    words = words_of(planned.house.get(f"{planned.house_base}/talk").text)
    assert "Decided before: 2" in words
    assert "given up by both sides, Wed 25 Nov 2026, 13:00" in words
    with planned.portal.store.reading() as db:
        assert discussions.locks(db, planned.gig.id) == ()


def test_a_plan_that_cannot_keep_it_says_so(planned: Planned) -> None:
    """A channel that is no longer there blocks the sign-off, names what was agreed, and offers the release, which was
    tried.
    """
    agree(planned, "kick", "desk-channel", "8")
    planned.answer(sockets_free="1-4", inputs_free=4)
    for party in ("band", "house"):
        _, base = side(planned, party)
        html = plan_page(planned, party)
        words = words_of(html)
        assert (
            "Both sides agreed on desk channel 8 for Kick; the plan cannot keep that: it comes on desk channel 1"
            in words
        )
        assert "Both sides release what they agreed for Kick: desk channel 8." in words
        assert f'<a href="{base}/talk">What was agreed</a>' in html
        assert "Go to the sign-off" not in html


def test_no_plan_names_what_was_agreed(planned: Planned) -> None:
    """Where a line of its own leaves no plan, the conflict says that both sides agreed on it, and its release is
    offered, and does help.
    """
    agree(planned, "bass", "leave-out")
    propose(planned, "band", "bass", "own-line")
    decide(planned, "house", "accepted")
    assert isinstance(planned.newest().read(), NoPlan)
    words = words_of(plan_page(planned, "house"))
    assert "oth sides agreed on leaving out Bass" in words
    assert "oth sides agreed on a line of its own for Bass" in words
    assert "Both sides release what they agreed for Bass: leaving it out." in words
    lock = next(one for one in proposals(planned) if one.value == "leave-out")
    page = f"{planned.gigs_base}/talk/proposals/{lock.id}"
    planned.band.send(f"{page}/release", page=page)
    decide(planned, "house", "accepted")
    assert desk(planned)["Bass"]


def test_a_signature_does_not_cover_what_was_agreed_later(planned: Planned) -> None:
    """An accepted proposal outdates both signatures, and the page says what changed since."""
    assert planned.sign("band").status_code == 303
    assert planned.sign("house").status_code == 303
    agree(planned, "kick", "desk-channel", "4")
    words = words_of(plan_page(planned, "house"))
    assert words.count("this revision differs") == 2
    sheet = words_of(planned.house.get(f"{planned.house_base}/sign-off").text)
    assert re.search(r"Kick: [^.]*desk channel was 1, now 4", sheet)


def test_a_cancelled_gig_is_only_talked_about(planned: Planned) -> None:
    """Nothing is proposed or accepted for a gig that is cancelled; a comment still is."""
    propose(planned, "house", "kick", "leave-out")
    with planned.portal.store.writing() as db:
        gig = gigs.of_link(db, planned.gig.id)
        gigs.cancel(db, gig, gig.version, NOW, actor="")
    assert propose(planned, "house", "kick", "desk-channel", "4").status_code == 409
    assert decide(planned, "band", "accepted").status_code == 409
    assert say(planned, "house", "A pity.").status_code == 303


def test_the_closed_page_stays_quiet(planned: Planned) -> None:
    """Without a word said nothing but two closed lines is added to the plan."""
    html = plan_page(planned, "band")
    assert 'What was said, and revisions</b><span class="broad">: no comments yet' in html
    assert not re.search(r"<details[^>]* open", html)
    assert html.count("<textarea") == 1
