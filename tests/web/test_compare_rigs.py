"""A band compares rigs over its year: begun, left, found again, read, printed, made its own, erased."""

import csv
import io
import json
import re
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from portal.advance.rig_comparison import ON_OUR_MIXER, OWN_PA, Opened, open_comparison, read_basis
from portal.advance.solver.process import Busy, Crashed
from portal.compare.cell import cell_of
from portal.compare.changes import read_changes
from portal.exchange.example import example_rig
from portal.jobs.comparing import AT_ONCE, COMPARING, NOT_WORKED_OUT, compare
from portal.plan import reconcile
from portal.plan.input.rig import Rig
from portal.plan.model import ENGINE
from portal.store import comparisons, gigs, rigs
from portal.store.database.session import Store
from portal.store.gigs import Gig
from portal.store.record import data_export, erasing
from portal.web.frame.running import Portal
from portal.wording.plan.saying import say
from tests.builders import NOW, ABand, a_gig, a_rig, a_stored_rig, an_answer
from tests.compare.invented import RIG
from tests.comparisons import a_comparison, compare_now
from tests.planning import waited_for
from tests.web.conftest import Browser
from tests.web.rig_forms import fill, form_of, send, summary

FORM = {"own_pa": "20", "inputs_8": "2", "inputs_24": "1", "on_our_mixer": "1"}


@pytest.fixture
def rig(store: Store, band: ABand) -> rigs.BandRig:
    with store.writing() as db:
        return a_stored_rig(db, band, RIG)


def begun(browser: Browser, rig: rigs.BandRig, **form: str) -> str:
    """The address of a comparison that was begun by its form."""
    answer = fill(browser, f"/rigs/{rig.id}/compare", **{**FORM, **form})
    assert answer.status_code == 303, summary(answer.text)
    return str(answer.headers["location"])


def work(portal: Portal) -> None:
    """Do what the job has to do."""
    waited_for(portal.jobs.work_off(portal, COMPARING))  # type: ignore[attr-defined]


def opened(store: Store, address: str) -> Opened:
    with store.reading() as db:
        row = comparisons.by_id(db, address.rpartition("/")[2])
        assert row is not None
        return open_comparison(db, row)


def test_a_year_is_begun_left_and_found_again(signed_in: Browser, portal: Portal, rig: rigs.BandRig) -> None:
    """The page says that the gigs are being worked out and may be left; later it has the sentence, the picture and the
    table, and the list of comparisons leads to it.
    """
    address = begun(signed_in, rig)
    page = signed_in.get(address).text
    assert "The gigs are being worked out. You can leave this page and come back." in page
    assert 'data-hx-trigger="every 3s"' in page
    assert signed_in.get(address + "/papers/comparison").status_code == 409
    assert "Say its size, weight and price" in page

    work(portal)
    fill(signed_in, address + "/rigs/new", splitter="floor", ways="16")
    waiting = signed_in.get(address).text
    assert "being worked out" in waiting
    work(portal)

    assert address in signed_in.get("/compare").text
    page = signed_in.get(address).text
    assert "being worked out" not in page
    assert "data-hx-trigger" not in page
    assert "Floor splitter, 16 ways: nothing is lost at 22 of 24 gigs, and the splitter stays at home at 21." in page
    assert "Today&#39;s rig loses something at 3." in page
    assert page.count("<use ") == 5 + 2 * 4
    assert "Lift the rack, and anything else that is heavy, with two people." in page


def test_a_band_says_what_a_single_change_costs(signed_in: Browser, portal: Portal, rig: rigs.BandRig) -> None:
    """Price and weight stand beside the change on the page, on the paper and in the form; what is left empty is said
    nowhere; a number that is none gets its sentence and loses nothing that was typed.
    """
    address = begun(signed_in, rig)
    work(portal)
    assert "Say what a change costs and weighs" in signed_in.get(address).text
    answer = fill(signed_in, address + "/figures", **{"price-splitter-16": "dear", "kg-splitter-16": "8,5"})
    assert answer.status_code == 422
    assert "Price: enter a number from 0 to 1000000, for example 12.5." in answer.text
    assert 'value="8,5"' in answer.text
    said = {"price-splitter-16": "900", "kg-splitter-16": "8,5"}
    assert fill(signed_in, address + "/figures", **said).status_code == 303
    work(portal)
    page = signed_in.get(address).text
    (line,) = re.findall(r"<li>(?:<b>)?A floor splitter of 16 ways:.*?</li>", page)
    assert "price 900, 8.5 kg, " in line
    assert page.count(" kg, ") == 1
    assert 'value="900"' in signed_in.get(address + "/figures").text
    assert fill(signed_in, address, address + "/again").status_code == 303
    work(portal)
    assert "price 900, 8.5 kg, " in signed_in.get(address).text


def test_progress_is_counted(signed_in: Browser, portal: Portal, rig: rigs.BandRig, monkeypatch: Any) -> None:
    """While it is worked out the page says how many of how many are there, and what is there stays where the solvers
    stop.
    """
    address = begun(signed_in, rig)
    asked = 0
    ask = portal.solvers.ask

    def three(*args: Any, **options: Any) -> Any:
        nonlocal asked
        asked += 1
        if asked > 3:
            raise Busy
        return ask(*args, **options)

    monkeypatch.setattr("portal.jobs.comparing.BATCH", 1)
    monkeypatch.setattr(portal.solvers, "ask", three)
    pauses = [waited_for(compare(portal, address.rpartition("/")[2])) for _ in range(4)]
    assert [pause > 0 for pause in pauses] == [False, False, False, True]
    assert "The gigs are being worked out: 3 of 4." in signed_in.get(address).text

    monkeypatch.setattr(portal.solvers, "ask", ask)
    work(portal)
    assert "being worked out" not in signed_in.get(address).text


def test_two_comparisons_are_worked_out_side_by_side(
    portal: Portal, store: Store, band: ABand, rig: rigs.BandRig, monkeypatch: Any
) -> None:
    """One call does one batch, and whichever comparison got least comes next: none waits for all of another."""
    monkeypatch.setattr("portal.jobs.comparing.BATCH", 2)
    with store.writing() as db:
        first, second = (a_comparison(db, band, rig, NOW).id for _ in range(2))
    turns = []
    for _ in range(4):
        with store.reading() as db:
            turns.append(COMPARING.due(db, NOW)[0])
        assert waited_for(compare(portal, turns[-1])) == 0.0
    assert sorted(turns[:2]) == sorted(turns[2:]) == sorted([first, second])
    with store.reading() as db:
        assert sorted(COMPARING.due(db, NOW)) == sorted([first, second])


def test_long_pieces_are_taken_a_few_at_a_time(
    portal: Portal, store: Store, band: ABand, rig: rigs.BandRig, monkeypatch: Any
) -> None:
    """What is estimated to take long makes a batch of as many pieces as there are solvers."""
    asked: list[str] = []
    ask = portal.solvers.ask

    def counted(wish: Any, *args: Any, **options: Any) -> Any:
        asked.append(wish.texts.key)
        return ask(wish, *args, **options)

    monkeypatch.setattr(portal.solvers, "ask", counted)
    monkeypatch.setattr("portal.jobs.comparing.SHORT_S", 0.0)
    with store.writing() as db:
        one = a_comparison(db, band, rig, NOW).id
    waited_for(compare(portal, one))
    assert len(asked) == AT_ONCE


def test_equal_problems_are_solved_once_and_kept(
    signed_in: Browser, portal: Portal, store: Store, rig: rigs.BandRig, monkeypatch: Any
) -> None:
    """Another candidate costs its own problems only, and equal rooms are one problem."""
    asked: list[tuple[str, str]] = []
    ask = portal.solvers.ask

    def counted(wish: Any, *args: Any, **options: Any) -> Any:
        asked.append((type(wish).__name__, wish.texts.key))
        return ask(wish, *args, **options)

    monkeypatch.setattr(portal.solvers, "ask", counted)
    address = begun(signed_in, rig, left_right="0")
    work(portal)
    first = len(asked)
    fill(signed_in, address + "/rigs/new", splitter="none", unprocessed="2")
    work(portal)
    found = opened(store, address)

    assert len(asked) == len(set(asked))
    # The single change of two outputs was tried already: at the gigs that lose something it is the same problem.
    assert len(asked) - first <= len(found.comparison.year.rooms)
    assert found.done


def test_the_gigs_of_the_span_are_counted_once_with_their_answers(
    signed_in: Browser, store: Store, band: ABand, rig: rigs.BandRig
) -> None:
    """Gigs that this rig plays stand in the year with what their houses answered; cancelled ones, other rigs' and other
    days' do not.
    """
    with store.writing() as db:
        newest = rigs.newest(db, rig.id)
        here = {"rig_id": rig.id, "rig_revision_id": newest.id}
        ours = a_gig(db, band, on=NOW.date() + timedelta(days=9), **here)
        called_off = a_gig(db, band, name="Called off", **here)
        gigs.cancel(db, called_off, called_off.version, NOW, actor="")
        a_gig(db, band, name="Too late", on=NOW.date() + timedelta(days=900), **here)
        a_gig(db, band, name="Another rig")
        for key, value in (("inputs-free", 11), ("contact-name", "Secret Person")):
            an_answer(db, ours.id, key, value, user_id=band.user_id)
    address = begun(signed_in, rig)
    basis = read_basis(opened(store, address).row.basis)

    assert [room.gig_id for room in basis.year.rooms if room.gig_id] == [ours.id]
    assert basis.year.rooms[0].answers["inputs-free"].value == 11
    assert "Secret Person" not in opened(store, address).row.basis
    assert "Harbour night" not in opened(store, address).row.basis
    assert "25 gigs: 1 in the portal" in signed_in.get(address).text


def test_typical_rooms_are_proposed_from_the_year_before(
    signed_in: Browser, store: Store, band: ABand, rig: rigs.BandRig
) -> None:
    """The form is filled with what the past twelve months had."""
    with store.writing() as db:
        newest = rigs.newest(db, rig.id)
        here = {"rig_id": rig.id, "rig_revision_id": newest.id}
        told: tuple[dict[str, Any], ...] = (
            {"pa": "none"},
            {"pa": "none"},
            {"inputs-free": 18},
            {"what-they-want": "left-right-mix"},
            {},
        )
        for number, given in enumerate(told):
            gig = a_gig(db, band, on=NOW.date() - timedelta(days=30 * (number + 1)), **here)
            for key, value in given.items():
                an_answer(db, gig.id, key, value, user_id=band.user_id)
    form = form_of(signed_in.get(f"/rigs/{rig.id}/compare"), f"/rigs/{rig.id}/compare")

    assert (form["own_pa"], form["inputs_16"], form["left_right"], form["inputs_8"]) == (["2"], ["1"], ["1"], [""])


@pytest.mark.parametrize(
    ("form", "field", "said"),
    [
        ({**dict.fromkeys(FORM, "")}, "first", "There is no gig to compare at. Add a gig or a typical room."),
        ({"first": "soon"}, "first", "Enter the date as year-month-day, for example 2026-12-05."),
        ({"first": "2027-01-01", "last": "2026-01-01"}, "last", "The last day lies before the first."),
        ({"own_pa": "many"}, "own_pa", "enter a whole number from 0 to 200."),
        ({"minutes": "0"}, "minutes", "enter a whole number from 1 to 600."),
    ],
)
def test_a_year_that_cannot_be_compared_is_told_at_its_field(
    form: dict[str, str], field: str, said: str, signed_in: Browser, store: Store, band: ABand, rig: rigs.BandRig
) -> None:
    """Each has its sentence, nothing typed is lost, and nothing is kept."""
    answer = fill(signed_in, f"/rigs/{rig.id}/compare", **{**FORM, **form})

    assert answer.status_code == 422
    assert [(place, said in sentence) for place, sentence in summary(answer.text)] == [(field, True)]
    sent = form_of(answer, f"/rigs/{rig.id}/compare")
    assert {name: sent[name] for name in form} == {name: [value] for name, value in form.items()}
    with store.reading() as db:
        assert comparisons.of_band(db, band.band_id) == []


def test_a_rig_without_a_mixer_is_refused(signed_in: Browser, store: Store, band: ABand) -> None:
    """The form says what to enter first."""
    with store.writing() as db:
        bare = a_stored_rig(db, band, replace(RIG, mixer=Rig().mixer, ears=()))
    answer = fill(signed_in, f"/rigs/{bare.id}/compare", **FORM)

    assert answer.status_code == 422
    assert "The rig has no mixer" in summary(answer.text)[0][1]


def test_one_gig_is_said_to_be_no_year(signed_in: Browser, portal: Portal, rig: rigs.BandRig) -> None:
    """One gig is compared, with a sentence about it."""
    address = begun(signed_in, rig, **{**dict.fromkeys(FORM, ""), "own_pa": "1"})
    work(portal)
    assert "This is one gig: it says nothing about a year." in signed_in.get(address).text


@pytest.mark.parametrize(
    ("form", "field", "said"),
    [
        ({}, "splitter", "is the same as today"),
        ({"splitter": "floor"}, "ways", "Enter how many ways the splitter has"),
        ({"splitter": "floor", "ways": "129"}, "ways", "from 1 to 128"),
        ({"looms": "a long one"}, "looms", "Enter ways and metres of each loom"),
        ({"looms": ", ".join(["8 x 10"] * 9)}, "looms", "Enter 8 looms at most."),
        ({"mixer_inputs": "8"}, "splitter", "mixer input"),
        ({"unprocessed": "2", "price": "cheap"}, "price", "enter a number from 0 to 1000000"),
        ({"unprocessed": "2", "name": "x" * 41}, "name", "41 characters"),
        ({"unprocessed": "2", "name": "Twice"}, "name", "Another rig of this comparison is called so."),
    ],
)
def test_a_candidate_that_cannot_be_compared_is_told_at_its_field(
    form: dict[str, str], field: str, said: str, signed_in: Browser, store: Store, rig: rigs.BandRig
) -> None:
    """What changes nothing, contradicts itself or cannot be read has its sentence, and the entries stay."""
    address = begun(signed_in, rig)
    fill(signed_in, address + "/rigs/new", splitter="none", processed="1", name="Twice")
    answer = fill(signed_in, address + "/rigs/new", **form)

    assert answer.status_code == 422
    assert any(place == field and said in sentence for place, sentence in summary(answer.text)), summary(answer.text)
    sent = form_of(answer, address + "/rigs/new")
    assert all(sent[name] == [value] for name, value in form.items())
    assert len(read_changes(opened(store, address).row.candidates)) == 2


def test_every_plain_change_can_be_made(signed_in: Browser, store: Store, band: ABand) -> None:
    """What the form says is what the rig of the candidate has, and the form shows it again."""
    with store.writing() as db:
        rig = a_stored_rig(db, band, example_rig())
    address = begun(signed_in, rig)
    form = {
        "name": "All of it",
        "splitter": "rack",
        "ways": "20",
        "isolated": "direct",
        "unprocessed": "2",
        "processed": "1",
        "mixer_inputs": "32",
        "mono_busses": "4",
        "stereo_busses": "3",
        "also": ["ears_to_mono", "seconds_straight"],
        "looms": "24 x 30, 8 x 12.5",
        "di_passive": "6",
        "di_active": "0",
        "pad_20_db": "4",
        "isolating_transformer": "8",
        "units": "3",
        "kg": "6.5",
        "price": "900",
        "fee": "25",
    }
    assert fill(signed_in, address + "/rigs/new", **form).status_code == 303
    made = opened(store, address).comparison.candidates[1]
    splitter = made.rig.splitter[0]

    assert (splitter.ways, splitter.built_in, splitter.outputs[0].kind) == (20, True, "direct")
    assert len(made.rig.mixer.outs) == len(example_rig().mixer.outs) + 3
    assert (made.rig.mixer.inputs, made.rig.mixer.mono_busses, made.rig.mixer.stereo_busses) == (32, 4, 3)
    assert {one.width for one in made.rig.ears} == {"mono"}
    assert all(one.goes == "house-only" for one in made.rig.source if one.second_of)
    assert [(loom.ways, loom.length_m) for loom in made.rig.loom] == [(24, 30.0), (8, 12.5)]
    assert (made.rig.bits["di_active"], made.rig.bits["isolating_transformer"]) == (0, 8)
    assert (made.figures.units, made.figures.kg, made.figures.price, made.figures.fee) == (3, 6.5, 900, 25)
    again = form_of(signed_in.get(address + "/rigs/1"), address + "/rigs/1")
    assert {name: again[name] for name in form} == {
        name: value if isinstance(value, list) else [value] for name, value in form.items()
    }


def test_candidates_are_five_at_most_and_can_be_taken_away(signed_in: Browser, store: Store, rig: rigs.BandRig) -> None:
    """A sixth rig is refused with a sentence; one less makes room; today's rig stays."""
    address = begun(signed_in, rig)
    for number in range(1, 5):
        assert fill(signed_in, address + "/rigs/new", unprocessed=str(number)).status_code == 303
    assert signed_in.get(address + "/rigs/new").status_code == 409
    gone = fill(signed_in, address + "/rigs/2", address + "/rigs/2/remove")
    assert gone.status_code == 303
    assert [one.unprocessed for one in read_changes(opened(store, address).row.candidates)] == [0, 1, 3, 4]
    fields = form_of(signed_in.get(address + "/rigs/1"), address + "/rigs/1/remove")
    assert send(signed_in, address + "/rigs/0/remove", fields).status_code == 404


def test_figures_of_the_band_stand_in_the_table(signed_in: Browser, portal: Portal, rig: rigs.BandRig) -> None:
    """Units, kilos and the price with a year's hire are columns where the band gave one; else they are not there."""
    address = begun(signed_in, rig)
    work(portal)
    assert "Rack units" not in signed_in.get(address).text
    fill(signed_in, address + "/rigs/0", units="10", price="0")
    fill(signed_in, address + "/rigs/new", splitter="floor", ways="16", units="12", price="900", fee="10")
    work(portal)
    rows = re.findall(r'<td data-head="Price and a year&#39;s hire">(.*?)</td>', signed_in.get(address).text)

    assert rows == ["0", "930"]


def test_a_cell_opens_the_plan_of_the_engine(
    signed_in: Browser, portal: Portal, store: Store, rig: rigs.BandRig
) -> None:
    """Each box leads to the plan of that gig with that rig; the cell is what the engine says."""
    address = begun(signed_in, rig)
    fill(signed_in, address + "/rigs/new", splitter="floor", ways="16")
    work(portal)
    found = opened(store, address)
    hrefs = re.findall(rf'href="({address}/rigs/\d+/gigs/\d+)" title', signed_in.get(address).text)
    assert len(hrefs) == 2 * len(found.comparison.year.rooms)
    for href in hrefs:
        number, room = (int(part) for part in re.findall(r"/(\d+)(?=/|$)", href)[-2:])
        problem = found.comparison.problems[found.comparison.keys[number][room]]
        plan = reconcile(problem.rig, problem.answers)
        page = signed_in.get(href)
        assert page.status_code == 200
        assert say(plan.sentence).replace("'", "&#39;") in page.text
        assert found.cells[problem.key] == cell_of(plan, problem.rig)
    assert signed_in.get(f"{address}/rigs/2/gigs/0").status_code == 404
    assert signed_in.get(f"{address}/rigs/0/gigs/99").status_code == 404


def test_make_this_our_rig_is_a_new_revision_and_no_gig_changes(
    signed_in: Browser, store: Store, band: ABand, rig: rigs.BandRig
) -> None:
    """The page says what would change and which gigs keep what they have; the deed makes the newest revision."""
    with store.writing() as db:
        newest = rigs.newest(db, rig.id)
        gig = a_gig(db, band, rig_id=rig.id, rig_revision_id=newest.id, on=NOW.date() + timedelta(days=3))
    address = begun(signed_in, rig)
    fill(signed_in, address + "/rigs/new", splitter="floor", ways="16")
    page = signed_in.get(address + "/rigs/1/ours").text
    assert "Floor splitter is new: splitter 1" in page
    assert "keeps revision 1" in page

    assert fill(signed_in, address + "/rigs/1/ours").headers["location"] == f"/rigs/{rig.id}"
    with store.reading() as db:
        made = rigs.newest(db, rig.id)
        kept = db.get(Gig, gig.id)
    assert (made.number, made.read()) == (2, opened(store, address).comparison.candidates[1].rig)
    assert kept is not None
    assert kept.rig_revision_id == newest.id
    again = signed_in.get(address + "/rigs/1/ours").text
    assert "The rig is so already: nothing would change." in again
    assert signed_in.get(address + "/rigs/0/ours").status_code == 404


def test_what_was_typed_for_a_new_candidate_survives_a_change_meanwhile(
    signed_in: Browser, store: Store, rig: rigs.BandRig
) -> None:
    """The form comes back as it was typed, and saves by a second press."""
    address = begun(signed_in, rig)
    page = address + "/rigs/new"
    typed = {**form_of(signed_in.get(page), page), "name": ["Mine"], "splitter": ["floor"], "ways": ["16"]}
    fill(signed_in, page, name="Theirs", splitter="floor", ways="8")
    answer = send(signed_in, page, typed)
    assert answer.status_code == 409
    assert "Somebody else changed this comparison meanwhile." in answer.text
    assert send(signed_in, page, form_of(answer, page)).status_code == 303
    assert [one.name for one in opened(store, address).comparison.candidates[1:]] == ["Theirs", "Mine"]


def test_a_candidate_sent_twice_is_added_once(signed_in: Browser, store: Store, rig: rigs.BandRig) -> None:
    """The second answer is the first one's, and no word about a name that is taken by it."""
    address = begun(signed_in, rig)
    page = address + "/rigs/new"
    typed = {**form_of(signed_in.get(page), page), "name": ["Mine"], "splitter": ["floor"], "ways": ["16"]}
    assert [send(signed_in, page, typed).status_code for _ in range(2)] == [303, 303]
    assert [one.name for one in opened(store, address).comparison.candidates[1:]] == ["Mine"]


def test_a_candidate_changed_meanwhile_is_looked_at_first(signed_in: Browser, store: Store, rig: rigs.BandRig) -> None:
    """Whoever saw one candidate does not save another one that took its number."""
    address = begun(signed_in, rig)
    fill(signed_in, address + "/rigs/new", name="First", splitter="floor", ways="16")
    fill(signed_in, address + "/rigs/new", name="Second", splitter="floor", ways="8")
    fields = form_of(signed_in.get(address + "/rigs/1/ours"), address + "/rigs/1/ours")
    page = address + "/rigs/1"
    removal = form_of(signed_in.get(page), page + "/remove")
    assert send(signed_in, page + "/remove", removal).status_code == 303
    assert send(signed_in, address + "/rigs/1/ours", fields).status_code == 409
    with store.reading() as db:
        assert not rigs.newest(db, rig.id).read().splitter


def test_a_rig_saved_meanwhile_is_looked_at_first(signed_in: Browser, store: Store, rig: rigs.BandRig) -> None:
    """Whoever saw the changes to an older revision does not save over a newer one."""
    address = begun(signed_in, rig)
    fill(signed_in, address + "/rigs/new", splitter="floor", ways="16")
    fields = form_of(signed_in.get(address + "/rigs/1/ours"), address + "/rigs/1/ours")
    fill(signed_in, f"/rigs/{rig.id}/name", name="Renamed")
    assert send(signed_in, address + "/rigs/1/ours", fields).status_code == 409
    with store.reading() as db:
        assert not rigs.newest(db, rig.id).read().splitter


def test_what_changed_since_is_taken_by_a_button(
    signed_in: Browser, portal: Portal, store: Store, band: ABand, rig: rigs.BandRig
) -> None:
    """A comparison stands as it was begun until the band takes gigs and rig as they are now."""
    address = begun(signed_in, rig)
    work(portal)
    with store.writing() as db:
        stored = rigs.get(db, band.band_id, rig.id)
        assert stored is not None
        more = replace(RIG, bits={**RIG.bits, "di_passive": 9})
        newer = rigs.save(
            db, stored, version=stored.version, name=stored.name, rig=more, author_id=band.user_id, now=NOW
        )
        assert newer is not None
        a_gig(db, band, rig_id=rig.id, rig_revision_id=newer.id, on=NOW.date() + timedelta(days=5))
    assert opened(store, address).comparison.year.gigs == 24
    assert fill(signed_in, address, address + "/again").status_code == 303
    found = opened(store, address)
    assert found.comparison.year.gigs == 25
    assert found.comparison.candidates[0].rig == more
    assert not found.done


def test_two_who_change_a_comparison_do_not_lose_each_other(
    signed_in: Browser, store: Store, rig: rigs.BandRig
) -> None:
    """A form that was drawn before somebody else's change is refused, and theirs stays."""
    address = begun(signed_in, rig)
    old = form_of(signed_in.get(address + "/rigs/new"), address + "/rigs/new")
    fill(signed_in, address + "/rigs/new", unprocessed="3")
    assert send(signed_in, address + "/rigs/new", old, unprocessed="4").status_code == 409
    assert [one.unprocessed for one in read_changes(opened(store, address).row.candidates)] == [0, 3]


def test_a_solver_that_fails_is_told_and_not_asked_for_ever(
    signed_in: Browser, portal: Portal, store: Store, rig: rigs.BandRig, monkeypatch: Any
) -> None:
    """What a solver does not master is no plan, with a sentence; the comparison ends."""
    address = begun(signed_in, rig, **{**dict.fromkeys(FORM, ""), "own_pa": "2"})

    def crash(*_args: Any, **_options: Any) -> Any:
        raise Crashed("MemoryError")

    with monkeypatch.context() as patched:
        patched.setattr(portal.solvers, "ask", crash)
        work(portal)
    found = opened(store, address)
    assert found.done
    assert {cell.sentence for cell in found.cells.values()} == {NOT_WORKED_OUT}


def test_what_is_erased_meanwhile_stays_erased(
    signed_in: Browser, portal: Portal, store: Store, rig: rigs.BandRig, monkeypatch: Any
) -> None:
    """A comparison that is erased while it is worked out leaves no cell behind."""
    address = begun(signed_in, rig)
    fields = form_of(signed_in.get(address), address + "/erase")
    ask = portal.solvers.ask

    def erase_first(*args: Any, **options: Any) -> Any:
        with store.writing() as db:
            if row := comparisons.by_id(db, address.rpartition("/")[2]):
                comparisons.erase(db, row)
        return ask(*args, **options)

    monkeypatch.setattr("portal.jobs.comparing.AT_ONCE", 1)
    monkeypatch.setattr(portal.solvers, "ask", erase_first)
    work(portal)
    with store.reading() as db:
        assert db.exec(comparisons.select(comparisons.ComparisonCell)).all() == []
    assert signed_in.get(address).status_code == 404
    assert send(signed_in, address + "/erase", fields).status_code == 404


def test_erasing_and_taking_along(signed_in: Browser, store: Store, band: ABand, rig: rigs.BandRig) -> None:
    """Whoever began a comparison takes it along; the button erases one, the end of the band all of them."""
    address = begun(signed_in, rig)
    fill(signed_in, address + "/rigs/new", unprocessed="2", name="Canary rig")
    with store.reading() as db:
        told = json.loads(data_export.write(data_export.of_account(db, band.user_id)))
    assert "Canary rig" in told["comparisons"][0]["candidates"]
    assert OWN_PA in told["comparisons"][0]["year"]
    assert ON_OUR_MIXER in told["comparisons"][0]["year"]

    with store.writing() as db:
        compare_now(db, a_comparison(db, band, rig, NOW), made_up=True)
    assert fill(signed_in, address, address + "/erase").headers["location"] == "/compare"
    assert signed_in.get(address).status_code == 404
    with store.writing() as db:
        assert len(comparisons.of_band(db, band.band_id)) == 1
        erasing.of_user(db, band.user_id, NOW)
        assert comparisons.of_band(db, band.band_id) == []
        assert db.exec(comparisons.select(comparisons.ComparisonCell)).all() == []


def test_a_newer_engine_works_it_out_anew(signed_in: Browser, portal: Portal, store: Store, rig: rigs.BandRig) -> None:
    """Cells of other rules are not shown, and the job does the comparison again."""
    address = begun(signed_in, rig)
    work(portal)
    with store.writing() as db:
        db.exec(comparisons.update(comparisons.ComparisonCell).values(engine="0"))
        db.exec(comparisons.update(comparisons.Comparison).values(engine="0"))
    assert "being worked out" in signed_in.get(address).text
    work(portal)
    found = opened(store, address)
    assert (found.done, found.row.engine) == (True, ENGINE)
    with store.reading() as db:
        assert comparisons.cells(db, found.row.id, "cell", "0") == {}


def test_the_paper_and_the_rows(signed_in: Browser, store: Store, band: ABand, rig: rigs.BandRig) -> None:
    """The paper says sentence, table, every gig and the caution; the rows are one for each rig and gig."""
    with store.writing() as db:
        row = a_comparison(db, band, rig, NOW)
        compare_now(db, row, made_up=True)
    address = f"/compare/{row.id}"
    page = signed_in.get(address + "/papers/comparison").text
    for words in ("Comparison of rigs", "Over the year", "Gig by gig", OWN_PA.replace("'", "&#39;"), "two people"):
        assert words in page
    made = signed_in.get(address + "/papers/comparison.pdf")
    assert (made.headers["content-type"], made.content[:5]) == ("application/pdf", b"%PDF-")
    table = signed_in.get(address + "/papers/comparison.csv").content.decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(table, newline="")))
    found = opened(store, address)
    assert len(rows) == len(found.comparison.candidates) * len(found.comparison.year.rooms)
    assert {one["Rig"] for one in rows} == {one.name for one in found.comparison.candidates}


def test_a_band_keeps_twenty(signed_in: Browser, store: Store, band: ABand, rig: rigs.BandRig) -> None:
    """One more is refused with a sentence."""
    with store.writing() as db:
        for _ in range(comparisons.MOST):
            a_comparison(db, band, rig, NOW)
    answer = fill(signed_in, f"/rigs/{rig.id}/compare", **FORM)
    assert answer.status_code == 409
    assert "Erase one that is not needed any more" in answer.text


def test_the_rigs_page_and_the_rig_lead_here(signed_in: Browser, store: Store, band: ABand) -> None:
    """One line on each."""
    with store.writing() as db:
        rig = a_stored_rig(db, band, a_rig())
    assert 'href="/compare"' in signed_in.get("/rigs").text
    assert f'href="/rigs/{rig.id}/compare"' in signed_in.get(f"/rigs/{rig.id}").text
