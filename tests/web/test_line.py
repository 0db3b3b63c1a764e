"""A line at length: its long answers, and the numbers that follow from what its plan was computed from."""

from collections.abc import Callable

import pytest

from portal.web.frame.running import Portal
from tests.builders import ABand
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def test_a_line_shows_its_reasons_at_length_and_its_numbers(planned: Planned) -> None:
    """From the plan page one link leads to the long answer and the figures, on both sides alike."""
    for browser, base in ((planned.band, planned.gigs_base), (planned.house, planned.house_base)):
        page = browser.get(f"{base}/plan/1/lines/1").text

        assert f"{base}/plan/1/lines/1" in browser.get(f"{base}/plan").text
        assert "A splitter hands the same microphone to both desks" in page
        assert "The numbers behind it" in page
        assert " dB" in page


def test_a_line_that_is_not_there_is_not_there(planned: Planned) -> None:
    """A line number or a revision that does not exist is answered like any page that does not exist."""
    assert planned.band.get(f"{planned.gigs_base}/plan/1/lines/99").status_code == 404
    assert planned.band.get(f"{planned.gigs_base}/plan/99/lines/1").status_code == 404
