"""A disk that is full, read-only or failing, met by the forms of everyday: a plain page, nothing half saved, and the
same form works later.
"""

import resource
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest
from sqlalchemy import Connection, event

from portal.settings import Settings
from portal.web.frame.running import Portal
from tests.builders import ABand
from tests.web.conftest import Browser
from tests.web.planned import Planned, filled, prepare
from tests.web.test_keeping import rows_of

LONG = "Mind the step. " * 260


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    """A planned gig."""
    gig = prepare(portal, band, signed_in, enter)
    portal.papers.close()
    return gig


@contextmanager
def told_at_begin(portal: Portal, settings: Settings, pragma: str) -> Iterator[None]:
    """A setting of every connection in use, from its next transaction on."""
    pages = settings.database.stat().st_size // 4096

    def tell(connection: Connection) -> None:
        connection.exec_driver_sql(f"PRAGMA {pragma.format(pages=pages)}")

    event.listen(portal.store.engine, "begin", tell)
    yield
    event.remove(portal.store.engine, "begin", tell)
    portal.store.engine.dispose()


@contextmanager
def full(portal: Portal, settings: Settings) -> Iterator[None]:
    with told_at_begin(portal, settings, "max_page_count={pages}"):
        yield


@contextmanager
def read_only(portal: Portal, settings: Settings) -> Iterator[None]:
    with told_at_begin(portal, settings, "query_only=ON"):
        yield


@contextmanager
def failing(_portal: Portal, settings: Settings) -> Iterator[None]:
    """No file may grow beyond what the database has: the system's own refusal."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (settings.database.stat().st_size, hard))
    yield
    resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def comment(gig: Planned) -> tuple[Browser, str, dict[str, object]]:
    page = f"{gig.gigs_base}/talk"
    for _ in range(2):
        # They fill the page of the file that holds comments.
        assert gig.band.send(page, {"words": LONG[:1900]}, page=page).status_code == 303
    return gig.band, page, {**gig.band.hidden(page), "words": LONG[:2000]}


def house_sheet(gig: Planned) -> tuple[Browser, str, dict[str, object]]:
    page = f"{gig.house_base}/questions/house-sheet"
    return gig.house, page, {**gig.house.hidden(page), "house-sheet": LONG}


def sign_off(gig: Planned) -> tuple[Browser, str, dict[str, object]]:
    page = f"{gig.gigs_base}/sign-off"
    return gig.band, page, filled(gig.band.get(page).text, name="Ada Example", role="band leader")


TROUBLES = {
    "full": (full, "disk is full"),
    "read-only": (read_only, "read-only"),
    "failing": (failing, "gave an error"),
}
FORMS = (comment, house_sheet, sign_off)


@pytest.mark.parametrize("trouble", TROUBLES)
def test_a_disk_that_takes_nothing(planned: Planned, portal: Portal, settings: Settings, trouble: str) -> None:
    """Each form gets a page that says what is wrong and that nothing was saved, and it is true; reading works on; later
    the same form works.
    """
    enter, words = TROUBLES[trouble]
    tried = plain = partial = 0
    for form in FORMS:
        # A signature is too small to need a new page for certain.
        if form is sign_off and trouble != "read-only":
            continue
        browser, page, data = form(planned)
        portal.store.compact()
        before = rows_of(settings.database)
        tried += 1
        with enter(portal, settings):
            answer = browser.send(page, data)
            assert browser.get(page).status_code == 200
        plain += (answer.status_code, words in answer.text, "Nothing was saved" in answer.text) == (503, True, True)
        partial += rows_of(settings.database) != before
        assert browser.send(page, data).status_code == 303
        assert rows_of(settings.database) != before
    print(f"\ndisk={trouble} forms={tried} plain_pages={plain} with_partial_state={partial}")  # noqa: T201 - shown with -s
    assert (plain, partial) == (tried, 0)
