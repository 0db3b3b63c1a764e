"""What a process keeps of a page is what it would work out: whoever read before, and in which language or unit."""

import re
from itertools import product

import pytest

from portal.store.database.readings import READINGS
from tests.web.conftest import Browser, band, password_hash, store  # noqa: F401 - pytest finds fixtures by their name
from tests.web.test_gates import settings, visitors, world  # noqa: F401 - pytest finds fixtures by their name
from tests.web.world import World

OF_A_GIG = ("", "/plan", "/plan/1", "/day", "/stage", "/papers")
OF_A_RIG = ("", "?unfold=all", "/revisions/1")
READERS = (("en", "m"), ("de", "m"), ("en", "ft"))


def read(browser: Browser, path: str, language: str, unit: str) -> str:
    """A page without the keys of its forms."""
    browser.client.cookies.update({"language": language, "lengths": unit})
    answer = browser.client.get(path)
    assert answer.status_code < 500, path
    return re.sub(r'name="form_key" value="[^"]*"', "", answer.text)


@pytest.mark.slow
def test_a_page_reads_alike_whoever_read_before(
    world: World,  # noqa: F811 - the fixture
    visitors: dict[str, tuple[Browser, list[str]]],  # noqa: F811 - the fixture
) -> None:
    """Both sides, each gig and its pages, in two languages and two units, one after the other; then each of them as the
    first one that a process shows.
    """
    paths = [("band", f"/gigs/{gig}{page}") for gig in world.house_tokens for page in OF_A_GIG]
    paths += [("house", f"/house/{gig}{page}") for gig in world.house_tokens for page in OF_A_GIG if page != "/stage"]
    paths += [("band", f"/rigs/{world.rig_id}{page}") for page in OF_A_RIG]
    for viewer, path in paths:
        # The first look changes what the page says of news.
        read(visitors[viewer][0], path, "en", "m")
    asked = list(product(paths, READERS))
    warm = [read(visitors[viewer][0], path, *reader) for (viewer, path), reader in asked]
    for ((viewer, path), reader), before in zip(asked, warm, strict=True):
        READINGS.forget()
        assert read(visitors[viewer][0], path, *reader) == before, f"{viewer} {path} {reader}"
