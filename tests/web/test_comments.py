"""However much is said, a page holds so much of it, everything is reached, and it stands in the order in which it was
said.
"""

import re
from collections.abc import Callable
from datetime import timedelta
from html import unescape

import pytest

from portal.store import discussions
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand
from tests.web.conftest import Browser, Clock
from tests.web.planned import TABLE, Planned, prepare


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def say(planned: Planned, words: str) -> object:
    address = f"{planned.gigs_base}/talk"
    return planned.band.send(address, {"words": words}, page=address)


def leave_out(planned: Planned, about: str) -> object:
    base = f"{planned.house_base}/talk"
    typed = {"kind": "leave-out", "reason": "The inputs are few."}
    return planned.house.send(f"{base}/proposals?about={about}", typed, page=f"{base}?about={about}")


def put(planned: Planned, count: int, about: str = "") -> None:
    """Comments that say their number."""
    with planned.portal.store.writing() as db:
        for number in range(count):
            discussions.say(
                db,
                gig_id=planned.gig.id,
                party="band",
                author="Ada",
                words=f"Word {number}.",
                source=about or None,
                user_id=planned.owner.user_id,
                now=NOW,
            )


def words_on(html: str) -> list[int]:
    return [int(number) for number in re.findall(r"Word ([0-9]+)\.", html)]


def test_comments_stand_as_they_were_said_whatever_the_clock_does(planned: Planned, clock: Clock) -> None:
    """A comment said after another one stands below it, though the clock was set back meanwhile."""
    for words, hours in (("Word 1.", 0), ("Word 2.", -3), ("Word 3.", -2)):
        clock.now = NOW + timedelta(hours=hours)
        assert say(planned, words).status_code == 303
    clock.now = NOW
    assert words_on(planned.house.get(f"{planned.house_base}/talk").text) == [1, 2, 3]
    page = planned.house.get(f"{planned.house_base}/plan").text
    assert words_on(page[page.index('id="talk"') :]) == [1, 2, 3]


def test_a_comment_reaches_the_other_side_and_is_found_again(planned: Planned) -> None:
    """The house reads its words when it looks, and the way to all comments whenever it looks again; before the first
    one there is no such way.
    """
    way = f'href="{planned.house_base}/talk"'
    assert way not in planned.house.get(planned.house_base).text
    say(planned, "Who brings the third pad?\nWe have two.")
    first, again = (planned.house.get(planned.house_base).text for _ in range(2))
    assert "Wrote a comment: “Who brings the third pad? We have two.”" in first
    for html in (first, again, planned.band.get(planned.gigs_base).text):
        assert "Read the comment" in html
    assert way in again
    assert "Who brings the third pad?" in planned.house.get(f"{planned.house_base}/history").text


def test_many_comments_come_by_pages(planned: Planned) -> None:
    """The newest fifty stand on a page, with the way to those before; every one is reached, in order, on everything and
    on one source.
    """
    put(planned, 60)
    put(planned, 120, "kick")
    for about, count in (("", 180), ("?about=kick", 120)):
        seen: list[int] = []
        address = f"{planned.house_base}/talk{about}"
        for _ in range(9):
            html = planned.house.get(address).text
            found = words_on(html)
            assert 0 < len(found) <= 50
            seen = found + seen
            earlier = re.search(r'<a href="([^"]+)">Earlier comments</a>', html)
            if earlier is None:
                break
            address = unescape(earlier[1])
        assert seen == [*range(180 - 120 if about == "" else 0), *range(120)]
        assert len(seen) == count


def test_the_plan_shows_the_newest_comments_and_counts_all(planned: Planned) -> None:
    """However much was said, a plan page holds five comments on the whole and five on each source, with the way to all
    of them.
    """
    put(planned, 7)
    put(planned, 9, "kick")
    html = planned.house.get(f"{planned.house_base}/plan").text
    table, rest = html[html.index(TABLE) : html.index("</table>")], html[html.index('id="talk"') :]
    line = planned.house.get(f"{planned.house_base}/plan/{planned.newest().number}/lines/1").text
    assert "9 comments" in table
    assert words_on(line) == [4, 5, 6, 7, 8]
    assert "These are the newest of 9 comments." in line
    assert words_on(rest) == [4, 5, 6, 7, 8]
    assert f'<a href="{planned.house_base}/talk">All 16 comments</a>' in rest


def test_a_gig_takes_so_many_comments(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> None:
    """When it is full a sentence says so at the field, and what was typed stays there."""
    monkeypatch.setattr(discussions, "MOST_COMMENTS", 3)
    put(planned, 2)
    address = f"{planned.house_base}/talk"
    last = {**planned.house.hidden(address), "words": "The last."}
    assert [planned.house.send(address, last).status_code for _ in range(2)] == [303, 303]
    refused = say(planned, "One more.")
    assert refused.status_code == 409
    assert "comments already" in refused.text
    assert "One more." in refused.text
    with planned.portal.store.reading() as db:
        assert len(discussions.comments(db, planned.gig.id)) == 3


def test_a_gig_takes_so_many_proposals(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> None:
    """When there are enough a sentence says so."""
    monkeypatch.setattr(discussions, "MOST_PROPOSALS", 1)
    assert leave_out(planned, "kick").status_code == 303
    refused = leave_out(planned, "bass")
    assert refused.status_code == 422
    assert "1 proposals already" in unescape(refused.text)
    with planned.portal.store.reading() as db:
        assert len(discussions.proposals(db, planned.gig.id)) == 1
