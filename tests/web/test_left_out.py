"""What was announced is asked, or the page says that it is not needed and why."""

import re
from collections.abc import Callable, Iterator
from html import unescape

import pytest

from portal.plan.input.answer_kinds import Choice
from portal.plan.input.questions import TOPICS, questions_of
from portal.plan.model import NoPlan, Plan
from portal.web.frame.running import Portal
from portal.web.questions.answering import UNKNOWN
from tests.builders import ABand
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare, words_of

TITLES = {topic.title: topic.key for topic in TOPICS}

FIRST = {
    "box-place": "stage-left",
    "box-distance": 700,
    "rack-power": "yes",
    "wedge-mixes": 2,
    "what-they-want": "as-much-split-as-fits",
    "room-capacity": 300,
    "indoors": "yes",
}

NOTHING_FITS = {"box_distance": 9900}
"""Farther than any loom of the band reaches."""


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Iterator[Planned]:
    found = prepare(portal, band, signed_in, enter, **{key.replace("-", "_"): value for key, value in FIRST.items()})
    yield found
    portal.papers.close()


def announced(text: str) -> list[str]:
    """The topics that the page between offers to ask."""
    return [TITLES[unescape(title)] for title in re.findall(r"<li>([^<]+)</li>", text)]


def named_as_needless(text: str) -> list[str]:
    said = re.search(
        r"Not needed now: (.*?)\. As things stand, no answer to (?:it|them) would change the plan\.", words_of(text)
    )
    return [TITLES[title] for title in said[1].split("; ")] if said else []


def the_rest(house: Browser, base: str) -> tuple[list[str], list[str], list[str]]:
    """What is announced, what is then asked, and what pages say is not needed, to the end."""
    page = f"{base}/questions/more"
    text = house.get(page).text
    wanted, asked, needless = announced(text), [], named_as_needless(text)
    page = re.search(rf'href="({base}/questions/[\w-]+)">Two more', text)[1]
    while (topic := page.partition("?")[0].rsplit("/", 1)[-1]) in TITLES.values():
        asked.append(topic)
        typed = {
            one.key: UNKNOWN if isinstance(one.kind, Choice) else "0" if one.key == "second-box-inputs" else ""
            for one in questions_of(topic)
        }
        page = str(house.send(page.partition("?")[0], typed, page=page).headers["location"])
        needless += named_as_needless(house.get(page).text)
        assert len(asked) < 40
    return wanted, asked, needless


def test_a_topic_that_is_left_out_is_named_with_the_reason(planned: Planned) -> None:
    """Of what was announced, each topic is asked or the page that follows says that it is not needed, and why; none is
    both.
    """
    assert isinstance(planned.newest().read(), Plan)
    wanted, asked, needless = the_rest(planned.house, planned.house_base)
    assert len(wanted) > 6
    assert set(wanted) == set(asked) | set(needless)
    assert needless, "this gig has topics that could change nothing"
    assert not set(asked) & set(needless)


def test_while_nothing_fits_every_topic_is_asked(planned: Planned) -> None:
    """A plan that fails silences no question: what would help is not known yet."""
    assert isinstance(planned.answer(**NOTHING_FITS).read(), NoPlan)
    wanted, asked, needless = the_rest(planned.house, planned.house_base)
    assert (asked, needless) == (wanted, [])
    assert len(wanted) > 6


def test_a_topic_left_out_can_be_answered_all_the_same(planned: Planned) -> None:
    """The page that names it leads to all answers, where it is; once it is answered, no page says that it is not
    needed.
    """
    base = planned.house_base
    page = f"{base}/questions/returns?left-out=patching,nonsense"
    assert named_as_needless(planned.house.get(page).text) == ["patching"]
    assert f'<a href="{base}/questions">Answer all the same</a>' in planned.house.get(page).text
    assert f'href="{base}/questions/patching?change=patching#patching"' in planned.house.get(f"{base}/questions").text
    planned.answer(patching="soft")
    assert named_as_needless(planned.house.get(page).text) == []
