"""What a page asks of the database: each thing once, and as much with a thousand gigs, revisions and comments as with
ten.
"""

from collections import Counter

import pytest

from portal.store.database import scopes
from portal.store.database.session import Store
from tests.web.asked import Asked, Growing, statements
from tests.web.conftest import Browser
from tests.web.crawl import Reach, Visited, kind_of
from tests.web.test_gates import every_page, settings, visitors, world  # noqa: F401 - pytest finds fixtures by their name
from tests.web.world import World

FEW, MANY = 10, 1000

SOLVED = "both/what-if"
"""A page that asks a solver: what it tries is bounded by turns, and read in two moments."""


def asked_by(store: Store, browser: Browser, path: str) -> Asked:
    """What a page asks that was looked at before: to note that somebody looked is another transaction."""
    browser.client.get(path)
    with statements(store) as asked:
        assert browser.client.get(path).status_code < 500, path
    return asked


def one_of_each(pages: list[Visited]) -> list[Visited]:
    """The richest page of each kind for each viewer."""
    richest: dict[tuple[str, str], Visited] = {}
    for page in sorted(pages, key=lambda one: (-len(one.marks), one.path)):
        richest.setdefault((page.viewer, kind_of(page.route)), page)
    return list(richest.values())


@pytest.mark.slow
def test_a_page_asks_once_however_much_there_is(
    store: Store,
    world: World,  # noqa: F811 - the fixture
    visitors: dict[str, tuple[Browser, list[str]]],  # noqa: F811 - the fixture
) -> None:
    """No page asks the same thing twice, and none asks more things where a hundred times as much has happened."""
    pages = [one for one in one_of_each(every_page(visitors, Reach(of_one=1, of_all=3))) if one.route]
    counts: dict[int, dict[str, int]] = {}
    twice: dict[str, list[str]] = {}
    for many in (FEW, MANY):
        with store.writing(scopes.EVERYTHING) as db:
            Growing(db, world.links).grow(many)
        counts[many] = {}
        for one in pages:
            asked = asked_by(store, visitors[one.viewer][0], one.path)
            name = f"{one.viewer} {kind_of(one.route)}"
            counts[many][name] = len(asked)
            times = Counter((statement, repr(values)) for statement, values in asked)
            again = [" ".join(statement.split())[:300] for (statement, _), count in times.items() if count > 1]
            if again and kind_of(one.route) != SOLVED:
                twice[f"{name} at {many}"] = again
    print(f"\npages={len(pages)} most={max(counts[MANY].values())}")  # noqa: T201 - shown with -s
    grown = {name: (few, counts[MANY][name]) for name, few in counts[FEW].items() if few != counts[MANY][name]}
    assert not twice, "\n".join(f"{name}: {again}" for name, again in twice.items())
    assert grown == {}
