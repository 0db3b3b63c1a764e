"""Feet or metres as the reader chose: on pages, in fields and on papers, while metres are what is kept."""

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from portal.exchange.example import example_rig
from portal.plan.input.rig import Rig
from portal.plan.input.small_things import cable_key
from portal.plan.registry import RULES
from portal.store import answers, plans, rigs
from portal.store.day import stages
from portal.web.frame.running import Portal
from tests.builders import ABand, a_rig
from tests.documents.reading import pages
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare, words_of
from tests.web.rig_forms import fill, form_of, rows_of

IN_METRES = re.compile(r"(?<![\w'/])m\b(?! \()|\b[Mm]etres?\b")
OFFERED = re.compile("Lengths in metres|or in metres as in 15 m|a metre short")
"""What offers the other unit, at the end of each page and at a field; and a way of speaking."""


def in_feet(browser: Browser) -> Browser:
    browser.client.cookies.set("lengths", "ft", domain="portal.test")
    return browser


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    rig = example_rig()
    sources = tuple(replace(one, cable_m=one.cable_m or 5.0) for one in rig.source)
    bits = {**rig.bits, "xlr_10m": 4}
    made = prepare(portal, band, signed_in, enter, replace(rig, source=sources, bits=bits))
    made.answer(inputs_free=24, box_place="stage-left", box_distance=800)
    return made


def distance_of(planned: Planned) -> object:
    with planned.portal.store.reading() as db:
        return answers.current(db, planned.gig.id)["box-distance"].value


def test_a_reader_chooses_at_the_end_of_a_page(planned: Planned) -> None:
    """Metres until somebody chose, whatever the browser's language; the choice is kept, leads to the same page, and is
    one reader's own. What makes no sense is metres.
    """
    path = f"{planned.house_base}/questions/box?change=box-distance"
    page = planned.house.get(path, **{"Accept-Language": "en-US"}).text
    assert '<b aria-current="true">Lengths in metres</b>' in page
    assert '<a href="?change=box-distance&amp;lengths=ft" rel="nofollow">Lengths in feet</a>' in page
    assert 'value="8 m"' in page
    for asked in ("ft", "yards"):
        assert '<b aria-current="true">Lengths in feet</b>' in planned.house.get(f"{path}&lengths={asked}").text
    assert 'value="26.24 ft"' in planned.house.get(path).text
    assert "8 m" in words_of(planned.band.get(f"{planned.gigs_base}/questions").text)
    planned.house.client.cookies.set("lengths", '"; Path=/', domain="portal.test")
    assert '<b aria-current="true">Lengths in metres</b>' in planned.house.get(path).text
    refused = planned.house.send(path, {"box-distance": "far"}, page=path)
    assert "Lengths in metres" not in refused.text


def test_an_answer_is_typed_in_feet(planned: Planned) -> None:
    """A bare number is feet, metres are understood, and each side reads its own unit of what is kept in metres. A field
    left alone changes nothing.
    """
    page = f"{planned.house_base}/questions/box"
    others = {"box-place": "stage-left", "rack-power": "yes"}
    assert 'value="26.24 ft"' in in_feet(planned.house).get(page).text
    planned.house.send(page, {**others, "box-distance": "26.24 ft"}, page=page)
    assert distance_of(planned) == 800
    for typed, kept, shown in (("30", 915, "30 ft"), ("12,5 m", 1250, "41 ft"), ("15-20", 610, "20 ft")):
        planned.house.send(page, {**others, "box-distance": typed}, page=page)
        assert distance_of(planned) == kept
        assert f'value="{shown}"' in planned.house.get(page).text
    assert "6.1 m" in words_of(planned.band.get(f"{planned.gigs_base}/questions").text)
    refused = planned.house.send(page, {**others, "box-distance": "far"}, page=page)
    assert "Write a distance in feet from 0 to 328" in words_of(refused.text)


def test_what_was_typed_counts_in_the_unit_of_its_page(planned: Planned) -> None:
    """A page that was drawn before another one chose the other unit is read as it was drawn."""
    page = f"{planned.house_base}/questions/box"
    drawn = planned.house.hidden(page)
    in_feet(planned.house)
    planned.house.send(page, {**drawn, "box-place": "stage-left", "rack-power": "yes", "box-distance": "30"})
    assert distance_of(planned) == 3000


@pytest.mark.parametrize("side", ["band", "house"])
def test_no_page_and_no_paper_says_metres_to_a_reader_of_feet(planned: Planned, side: str) -> None:
    """Plan, reasons, answers, stage, rig and each document."""
    with planned.portal.store.reading() as db:
        rig_id = rigs.revision_of_gig(db, planned.newest().rig_revision_id).rig_id
    browser, base = (planned.band, planned.gigs_base) if side == "band" else (planned.house, planned.house_base)
    number = planned.newest().number
    paths = ["", "/plan", "/questions/box", "/questions", "/stage", "/what-if", "/papers", "/history", "/sign-off"]
    paths += ["/choosing", "/talk", f"/plan/{number}/lines/1"]
    paths += [f"/papers/{number}/{one}" for one in ("patch-sheet", "input-list", "stage-plot", "pack-list")]
    whole = [base + path for path in paths] + [f"/why/{key}" for key in RULES]
    if side == "band":
        whole += [f"/rigs/{rig_id}?unfold=all", f"/rigs/{rig_id}/row?key=s-kick-in", f"{base}/line-up"]
    in_feet(browser)
    feet = 0
    for path in whole:
        answer = browser.get(path)
        assert answer.status_code == 200, path
        words = OFFERED.sub("", words_of(answer.text))
        assert not (found := IN_METRES.search(words)), (path, words[max(0, found.start() - 80) : found.end() + 20])
        feet += bool(re.search(r"[0-9] ft\b|\bfeet\b", words.replace("Lengths in feet", "")))
    assert feet >= 5


def test_files_for_other_programs_stay_in_metres(planned: Planned) -> None:
    """Rows and data are the same whoever reads, and their heads name the unit."""
    number = planned.newest().number
    for file in ("pack-list.csv", "input-list.csv"):
        path = f"{planned.gigs_base}/papers/{number}/{file}"
        before = planned.band.get(path)
        after = in_feet(planned.band).get(path)
        assert before.status_code == 200
        assert before.content == after.content
        assert before.headers.get("content-disposition") == after.headers.get("content-disposition")
        planned.band.client.cookies.delete("lengths")
    assert "Length m" in planned.band.get(f"{planned.gigs_base}/papers/{number}/pack-list.csv").text


def test_a_signed_document_is_kept_in_each_unit(planned: Planned) -> None:
    """What was kept stays as it was, to the byte; whoever reads feet gets one of their own, under its own name."""
    planned.sign("house")
    sheet = f"{planned.house_base}/papers/patch-sheet.pdf"
    first = planned.house.get(sheet)
    feet = in_feet(planned.house).get(sheet)
    assert feet.headers["content-disposition"].endswith('-ft.pdf"')
    assert feet.content != first.content
    assert planned.house.get(sheet).content == feet.content
    planned.house.client.cookies.delete("lengths")
    assert planned.house.get(sheet).content == first.content
    with planned.portal.store.reading() as db:
        kept = {paper.document: paper.content for paper in plans.papers_of(db, planned.newest().id)}
    assert kept == {"patch-sheet 1": first.content, "patch-sheet 1 ft": feet.content}


def test_a_draft_is_made_in_the_unit_of_whoever_asks(planned: Planned) -> None:
    """The pack list held for one reader is not handed to another who reads another unit."""
    paper = f"{planned.gigs_base}/papers/stage-plot.pdf"
    metres = "".join(pages(planned.band.get(paper).content))
    feet = "".join(pages(in_feet(planned.band).get(paper).content))
    assert "8mwide" in metres
    assert "26.2ftwide" in feet


def test_the_rig_is_typed_in_feet(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]) -> None:
    """Loom, source and loose cable come back as typed; the list of changes says feet; a field left alone stays."""
    browser, rows = in_feet(signed_in), rows_of(club_rig)
    assert form_of(browser.get(f"{rows}?unfold=all"), rows)["loom1-length_m"] == ["32.8 ft"]
    typed = {"loom1__length_m": "30", "cable1__length": "25", "cable1__count": "6"}
    assert fill(browser, rows, **typed).status_code == 303
    assert newest_rig().loom[0].length_m == 9.15
    assert dict(newest_rig().bits) == {cable_key(7.62): 6}
    assert newest_rig().loose_cables == {7.62: 6}
    shown = form_of(browser.get(f"{rows}?unfold=all"), rows)
    assert (shown["loom1-length_m"], shown["cable1-length"]) == (["30 ft"], ["25 ft"])
    row = f"{rows}/row?key=kick"
    assert fill(browser, row, cable_m="16'", **{"at_m.0": "-3", "at_m.1": "6"}).status_code == 303
    kick = newest_rig().source[0]
    assert (kick.cable_m, kick.at_m) == (4.88, (-0.92, 1.83))
    changes = words_of(browser.get(f"/rigs/{club_rig.id}/revisions").text)
    assert "length in feet was 32.8 ft, now 30 ft" in changes
    refused = fill(browser, row, cable_m="2000")
    assert "Cable to the rack in feet: enter feet from 0 to 984." in words_of(refused.text)


def test_the_stage_is_typed_in_feet(planned: Planned) -> None:
    """Its size and places, with a comma, in metres too; its page names feet."""
    page = f"{planned.gigs_base}/stage"
    typed = {"width": "40", "depth": "30 ft", "box-right": "-16,4", "box-front": "2 m"}
    assert in_feet(planned.band).send(page, typed, page=page).status_code == 303
    with planned.portal.store.reading() as db:
        drawn = stages.get(db, planned.gig.id).read()
    assert (drawn.width_m, drawn.depth_m, drawn.box) == (12.2, 9.15, (-5.0, 2.0))
    shown = planned.band.get(page).text
    assert "Width in feet" in shown
    assert 'value="40 ft"' in shown
    assert "40 ft wide, 30 ft deep" in words_of(shown)
    refused = planned.band.send(page, {"width": "1"}, page=page)
    assert "enter feet from 4 to" in words_of(refused.text)


def test_a_candidate_s_looms_are_typed_in_feet(signed_in: Browser, portal: Portal, band: ABand) -> None:
    """Ways and feet of each, kept in metres, shown as typed."""
    from tests.web.test_compare_rigs import begun, opened

    with portal.store.writing() as db:
        stored = rigs.add(
            db, band_id=band.band_id, name="Club rig", rig=a_rig(), author_id=band.user_id, now=portal.clock()
        )
    address = begun(signed_in, stored)
    form = f"{address}/rigs/new"
    answer = fill(in_feet(signed_in), form, looms="16 x 65, 8 x 15 m")
    assert answer.status_code == 303
    added = opened(portal.store, address).comparison.candidates[-1].rig
    assert [(one.ways, one.length_m) for one in added.loom] == [(16, 19.82), (8, 15.0)]
