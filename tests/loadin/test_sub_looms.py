"""A drum loom at a gig where the house mixes: which way carries what, and where its tail goes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.documents.patch.sub_looms import sub_loom_rows
from portal.exchange.files import read_answers
from tests.loadin.faults import words
from tests.loadin.gigs import HERE, Gig, planned, worked


@pytest.fixture(scope="module")
def gig() -> Gig:
    """A kit on a sub-loom, plugged for a house engineer."""
    own = next(one for one in worked() if one.name == "own-pa-function-band")
    found = planned("a kit on a loom", own.rig, read_answers(HERE / "rooms" / "twelve-inputs.toml"))
    assert found is not None
    assert found.plan.lines
    assert not found.plan.outputs
    return found


def test_a_loom_to_the_rack_is_plugged_from_the_sheet(gig):
    """Every source on it has its way and what that is plugged into; nothing goes wrong, and a step names the table."""
    through = {source.label for source in gig.rig.source if source.sub_loom}
    report = gig.load_in()
    assert not report.faults, words(report.faults)
    table = next(table for table in gig.sheet().tables if "Tail into" in table.heads)
    assert {cell for row in table.rows for cell in row} >= through
    assert "Plug each source under “Sub-looms” into its way" in gig.sheet().text


def test_a_loom_that_the_sheet_leaves_out_is_found(gig, monkeypatch):
    """Nobody knows then which of its ways is whose."""
    monkeypatch.setattr("portal.documents.patch.patch_sheet.sub_loom_rows", lambda *_: ())
    assert "says-no-input" in gig.load_in().kinds()


def test_a_tail_that_goes_elsewhere_is_found(gig, monkeypatch):
    """The table and the row of the mixer's input name one place."""
    monkeypatch.setattr(
        "portal.documents.patch.patch_sheet.sub_loom_rows",
        lambda *given: tuple(replace(row, into="mixer input 31") for row in sub_loom_rows(*given)),
    )
    assert "two-answers" in gig.load_in().kinds()
