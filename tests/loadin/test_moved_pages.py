"""A band that patched by one signed sheet gets the next: what its pages of changes say, against both sheets."""

from __future__ import annotations

import importlib
from dataclasses import replace

import pytest

from portal.documents.cover import SignedBefore
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET
from tests.loadin.faults import Report, words
from tests.loadin.gigs import LISTS, Gig, in_a_room, planned
from tests.loadin.moved import ask_changed
from tests.loadin.page import read_page
from tests.loadin.paper import Paper
from tests.plan.gigs import answered

ROOM = "twelve-inputs"
OTHERWISE: dict[str, dict[str, str | int]] = {
    "fewer inputs": {"inputs-free": 9, "talkback-output": 8},
    "more inputs": {"inputs-free": 18},
    "line level": {"line-inputs": "yes", "talkback-output": 8},
    "no talkback, one switch": {"talkback": "no", "phantom-switching": "all", "inputs-free": 14},
    "far away": {"box-distance": 40, "inputs-free": 16},
}
"""What the house says anew after a sheet was signed."""


def before(name: str) -> Gig:
    """The gig as it was signed."""
    return in_a_room(name, ROOM)


def answered_anew(name: str, what: str) -> Gig | None:
    """The gig as it is planned now; ``None`` where it has no plan any more."""
    gig = before(name)
    return planned(name, gig.rig, {**gig.answers, **answered(OTHERWISE[what])})


def without_a_source(name: str) -> Gig | None:
    """The gig without the third row of its rig."""
    gig = before(name)
    return planned(name, replace(gig.rig, source=(*gig.rig.source[:2], *gig.rig.source[3:])), gig.answers)


def changed(before: Gig, now: Gig) -> Paper:
    """The sheet of now, for whoever has patched by the one before."""
    cover = replace(now.cover(), revision=2, signed_before=SignedBefore(1, lambda: before.plan))
    return read_page(page("patch-sheet", now.plan, cover, STYLESHEET))


def judged(before: Gig, now: Gig) -> Report:
    report = Report()
    ask_changed(before.sheet(), changed(before, now), report)
    return report


@pytest.mark.parametrize("name", LISTS)
def test_the_pages_of_changes_say_what_two_sheets_say(name):
    """Every row that is plugged or switched otherwise, with both places, and no other; there and back."""
    was = before(name)
    others = [now for now in (*(answered_anew(name, what) for what in OTHERWISE), without_a_source(name)) if now]
    assert len(others) > 2
    assert any("Changed since" in changed(was, now).text for now in others)
    for now in others:
        for report in (judged(was, now), judged(now, was)):
            assert not report.faults, words(report.faults)


@pytest.mark.parametrize(
    ("place", "answer"),
    [
        ("_on_the_way", "x"),
        ("_by_way", "x"),
        ("_loom_way", "x"),
        ("mixer_switch", "x"),
        ("house_switch", "x"),
        ("socket_words", "x"),
        ("_by_source", {}),
        ("_box_output", "x"),
    ],
)
def test_a_fault_on_these_pages_is_found(monkeypatch, place, answer):
    """Where the product forgets a fact, or says another, the two sheets show it."""
    was, now = before("gravel-lane"), answered_anew("gravel-lane", "fewer inputs")
    assert now is not None
    assert not judged(was, now).faults
    made = importlib.import_module("portal.documents.patch.moved_lines")
    monkeypatch.setattr(made, place, lambda *_, **__: answer)
    assert judged(was, now).kinds() == {"two-answers"}
