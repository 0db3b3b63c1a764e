"""Who mixes, on what, is the first question of a new gig; with the band's own PA its word is enough."""

import re
from collections.abc import Callable
from html import unescape

import pytest

from portal.exchange.example import example_rig
from portal.plan.input.facts import Answer
from portal.plan.input.rig import Mix, Rig
from portal.store import answers, gigs, plans
from portal.web.frame.running import Portal
from portal.web.gig.mixing_choice import CHOICES, answers_for, chosen_in
from tests.builders import ABand
from tests.web.conftest import Browser
from tests.web.planned import prepare, words_of
from tests.web.test_gig import entries


def made(signed_in: Browser, portal: Portal, band: ABand) -> str:
    """Make a gig; the address of its first question."""
    sent = signed_in.send("/gigs/new", entries(portal.store, band), page="/gigs/new")
    assert sent.status_code == 303
    return sent.headers["location"]


@pytest.mark.parametrize("choice", [choice for choice in CHOICES if choice != "open"])
@pytest.mark.parametrize("engineer", ["none", "band's engineer"])
@pytest.mark.parametrize("before", list(CHOICES))
def test_a_choice_is_found_again_whatever_was_chosen_before(choice: str, engineer: str, before: str) -> None:
    """What a choice answers reads back as that choice, also where another one was made first."""
    rig = Rig(mix=Mix(engineer=engineer))
    said: dict[str, Answer] = {}
    for one in (before, choice):
        for question, value in answers_for(one, said, rig).items():
            said[question] = Answer("answered", value, "band") if value else Answer("unknown", None, "band")
    assert chosen_in(said) == choice


def test_a_new_gig_asks_who_mixes_and_own_pa_needs_no_link(signed_in: Browser, portal: Portal, band: ABand) -> None:
    """Made, asked, answered: the plan is the band's own PA, no task is the house's, and a rig without a PA has to be
    put right before the band signs.
    """
    first = made(signed_in, portal, band)
    shown = signed_in.get(first).text
    assert all(words in unescape(shown) for words in CHOICES.values())
    assert signed_in.send(first, {}, page=first).status_code == 422
    chosen = signed_in.send(first, {"choice": "own-pa"}, page=first)
    assert chosen.status_code == 303
    page = signed_in.get(chosen.headers["location"]).text
    assert "Next: the band resolves what blocks the plan" in page
    assert "house's link" not in unescape(page)
    assert "Signed for the house" not in page
    with portal.store.reading() as db:
        gig = gigs.of_band(db, band.band_id)[0]
        assert {key: one.value for key, one in answers.current(db, gig.id).items()} == {
            "pa": "none",
            "who-mixes": "band-from-stage",
        }
        stored = plans.newest(db, gig.id)
        assert stored is not None
        assert stored.read().route == "own-pa"


def test_on_the_bands_mixer_no_desk_and_no_box_is_named(signed_in: Browser, portal: Portal, band: ABand) -> None:
    """Where an engineer mixes on the band's mixer, the task says so, and nobody is asked who plugs at a stage box."""
    first = made(signed_in, portal, band)
    page = words_of(
        signed_in.get(signed_in.send(first, {"choice": "bands-mixer"}, page=first).headers["location"]).text
    )
    assert "on the band's mixer Change" in page
    assert "on the house desk" not in page
    with portal.store.reading() as db:
        gig = gigs.of_band(db, band.band_id)[0]
    asked = signed_in.get(f"/gigs/{gig.id}/questions").text
    assert 'id="who-plugs"' not in asked
    assert 'id="pa-inputs' in asked


def test_the_next_gig_starts_with_what_the_last_one_had(signed_in: Browser, portal: Portal, band: ABand) -> None:
    """The choice of the last gig is set before anybody chooses."""
    first = made(signed_in, portal, band)
    signed_in.send(first, {"choice": "bands-engineer"}, page=first)
    second = made(signed_in, portal, band)
    assert second != first
    assert 'value="bands-engineer" checked' in signed_in.get(second).text


def test_the_plan_of_an_own_pa_waits_for_no_house(
    portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]
) -> None:
    """No house is shown as not having signed, and a cable that most sources have is said once above them."""
    planned = prepare(portal, band, signed_in, enter, example_rig())
    planned.answer(pa="none", who_mixes="band-from-stage")
    html = signed_in.get(f"{planned.gigs_base}/plan").text
    assert "band not signed" in words_of(html)
    assert "house not signed" not in words_of(html)
    (shared,) = re.findall(r'<p class="shared">(.*?)</p>', html)
    assert shared == "Unless a row says otherwise: XLR 10 m (assumed)."
    table = html[html.index('<table class="cables"') :]
    assert "XLR 10 m (assumed)" not in table[: table.index("</table>")]


def test_where_the_band_brings_the_pa_its_word_is_enough_everywhere(
    portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]
) -> None:
    """The receipt waited for a house that nobody asked; the list, the files and the day page said one side only."""
    planned = prepare(portal, band, signed_in, enter, example_rig())
    planned.answer(pa="none", who_mixes="band-from-stage")
    receipt = words_of(signed_in.get(planned.sign("band").headers["location"]).text)
    assert "Still to sign" not in receipt
    assert "The band brings the PA, so its word is enough." in receipt
    listed = signed_in.get(f"{planned.gigs_base}/papers").text
    assert "Ready, on the band's word." in words_of(listed)
    table = next(one for one in re.findall(r'href="([^"]+)"', listed) if one.endswith("pack-list.csv"))
    assert "-ready" in signed_in.get(table).headers["content-disposition"]
    day = words_of(signed_in.get(f"{planned.gigs_base}/day").text)
    assert "signed for the band" in day
    assert "only, check code" not in day
