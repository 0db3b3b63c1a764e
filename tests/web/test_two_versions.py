"""Processes of two versions serve one database while they are exchanged: the rules of both make no plan in turns."""

from collections.abc import Callable
from datetime import timedelta

import pytest

from portal.advance import planning
from portal.advance.planning import want
from portal.jobs.planning import PLANNING
from portal.plan.model import ENGINE
from portal.store import planning as rows
from tests.builders import NOW
from tests.web.planned import Planned
from tests.web.test_planning import change, planned, row_of, work_off
from tests.web.world import finished

__all__ = ["planned"]

ASKED = NOW + timedelta(hours=1)
"""When ``change`` asks."""


@pytest.fixture
def beside(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """A way to be the process of one version of the rules among several that serve at once."""

    def become(engine: str) -> None:
        monkeypatch.setattr(planning, "ENGINE", engine)

    assert planned.newest().engine == ENGINE
    return become


def test_two_versions_of_the_rules_make_no_plan_in_turns(planned: Planned, beside: Callable[[str], None]) -> None:
    """While processes are exchanged one after the other, what newer rules were asked for older ones neither work out
    nor ask again; a change that comes in by an older process is planned by the newer ones, once.
    """
    before, newer, older = planned.newest().number, str(int(ENGINE) + 1), ENGINE
    beside(newer)
    change(planned, 5)
    beside(older)
    with planned.portal.store.reading() as db:
        assert PLANNING.due(db, ASKED) == []
        assert rows.due(db) == [planned.gig.id]
    beside(newer)
    work_off(planned.portal)
    assert (planned.newest().number, planned.newest().engine) == (before + 1, newer)
    beside(older)
    with planned.portal.store.writing() as db:
        want(db, planned.gig, NOW)
        assert rows.due(db) == []
    change(planned, 4)
    work_off(planned.portal)
    assert planned.newest().number == before + 1
    beside(newer)
    work_off(planned.portal)
    assert (planned.newest().number, planned.newest().engine) == (before + 2, newer)
    assert planned.newest().read_answers()["inputs-free"].value == 4


def test_older_rules_plan_what_nobody_with_newer_ones_does(planned: Planned, beside: Callable[[str], None]) -> None:
    """Whoever went back to an earlier version gets plans again: after a minute nobody is waited for."""
    before = planned.newest().number
    beside(str(int(ENGINE) + 1))
    change(planned, 5)
    beside(ENGINE)
    with planned.portal.store.reading() as db:
        assert PLANNING.due(db, ASKED + timedelta(seconds=59)) == []
        assert PLANNING.due(db, ASKED + timedelta(seconds=60)) == [planned.gig.id]
    assert finished(PLANNING.do(planned.portal, planned.gig.id)) == 0
    assert (planned.newest().number, planned.newest().engine) == (before + 1, ENGINE)
    assert not row_of(planned).behind


def test_versions_are_ordered_as_numbers() -> None:
    """The tenth version of the rules came after the ninth."""
    assert rows.is_newer("10", "9")
    assert not rows.is_newer("9", "10")
    assert not rows.is_newer("9", "9")
