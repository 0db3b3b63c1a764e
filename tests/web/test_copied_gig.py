"""A gig that was copied is planned as the one that it was copied from."""

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from portal.exchange.example import example_rig
from portal.plan.model import Line, Plan
from portal.store import answers, gigs, rigs
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, an_answer
from tests.planning import plan_now
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare, words_of


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter, example_rig(), **{"inputs-free": 16})


def copy_of(planned: Planned) -> gigs.Gig:
    """The copy that the band makes, on another day."""
    page = f"/gigs/new?copy={planned.gig.id}"
    hidden = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', planned.band.get(page).text))
    words = {"name": "Harbour again", "place": "The Old Net Loft", "on": "2027-01-09", "zone": "Europe/London"}
    form = {**hidden, **words, "rig": f"{planned.gig.rig_id}|"}
    assert planned.band.send("/gigs/new", form).status_code == 303
    with planned.portal.store.reading() as db:
        return next(gig for gig in gigs.of_band(db, planned.owner.band_id) if gig.name == "Harbour again")


def place(line: Line) -> tuple[object, ...]:
    return line.label, line.desk_channel, line.box, line.box_socket, line.path.way, line.loom


def test_a_copy_keeps_every_number(planned: Planned) -> None:
    """Once the house answers the same, each line of the copy has channel, socket and way of the original."""
    copy, first = copy_of(planned), planned.newest().read()
    with planned.portal.store.writing() as db:
        for question, given in answers.current(db, planned.gig.id).items():
            an_answer(db, copy.id, question, given.value, link_id=planned.link.id)
        second = plan_now(db, copy, NOW).read()
    assert isinstance(first, Plan)
    assert isinstance(second, Plan)
    assert [place(line) for line in second.lines] == [place(line) for line in first.lines]


def test_a_copy_says_that_it_takes_a_newer_rig(planned: Planned) -> None:
    """The gig keeps the revision of its rig, a copy takes the newest: its form says so where they differ."""

    def said() -> str:
        return words_of(planned.band.get(f"/gigs/new?copy={planned.gig.id}").text)

    assert "uses revision" not in said()
    with planned.portal.store.writing() as db:
        stored = rigs.get(db, planned.owner.band_id, planned.gig.rig_id)
        rig = replace(example_rig(), name="Renamed")
        author = planned.owner.user_id
        rigs.save(db, stored, version=stored.version, name=stored.name, rig=rig, author_id=author, now=NOW)
    assert "Harbour night uses revision 1 of its rig. The copy uses the newest, revision 2." in said()
