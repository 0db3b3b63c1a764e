"""The whole rig as one page: one save for all of it, cells that are pasted, the wiring drawn while it is typed."""

import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from playwright.sync_api import expect

from portal.exchange.example import example_rig
from portal.plan.input.rig import Rig
from portal.store import rigs
from portal.store.database.session import Store
from portal.web.frame.running import Portal
from portal.web.plan.plan_view import IN_THE_RIG
from portal.web.rig.editing.sheet import FOLDS, PARTS
from portal.web.rig.editing.where_written import WRITTEN, field_of
from tests.builders import ABand, a_rig, a_stored_rig
from tests.web.conftest import Browser, Open
from tests.web.looks import NARROW, WIDER, Figures, examine, examine_colours, measure
from tests.web.rig_forms import fill, form_of, in_a_browser, rows_of, send, summary

MOST_FOLDS = 5


def test_one_save_makes_one_revision_of_everything(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig], newest_number: Callable[[], int]
) -> None:
    """Rows, splitter, loom, mixer, mixes and small things that were typed on the page come in one revision; a row may
    use what the same save adds.
    """
    typed = {
        "row5__label": "Egg",
        "row5__way": "12",
        "row5__player": "Ben",
        "splitter1__ways": "16",
        "loom2__name": "Second",
        "inputs": "24",
        "more": "2",
        "ears2__player": "Ben",
        "ears2__width": "mono",
        "ears2__out1": "1",
        "di_active": "3",
        "config1__name": "quiet",
        "config1__off": "keys",
    }
    assert fill(signed_in, rows_of(club_rig), **typed).status_code == 303
    rig = newest_rig()
    assert newest_number() == 2
    assert (rig.source[4].label, rig.source[4].way, rig.splitter[0].ways) == ("Egg", 12, 16)
    assert ([loom.name for loom in rig.loom], rig.mixer.inputs) == (["Loom", "Second"], 24)
    assert [(mix.player, mix.outs) for mix in rig.ears] == [("Ada", ("out 2",)), ("Ben", ("1",))]
    assert (rig.bits["di_active"], rig.configurations["quiet"].off) == (3, ("keys",))


def test_mistakes_of_all_parts_are_told_at_once(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """Each stands at its own cell in its own words, and all that was typed is kept."""
    typed = {
        "row2__way": "1",
        "row3__label": "Kick",
        "loom1__length_m": "900",
        "ears1__out1": "x",
        "config1__off": "keys",
    }
    answer = fill(signed_in, rows_of(club_rig), **typed)
    assert answer.status_code == 422
    told = dict(summary(answer.text))
    assert told == {
        "row2-way": "Way 1 is taken by Kick in row 1. Enter a free way, for example 2.",
        "row3-label": "Row 1 is called &#34;Kick&#34; as well. Make each label say which one it is.",
        "loom1-length_m": "Loom 1, length in metres: enter metres from 0 to 300.",
        "ears1-out1": "The mixer has no output &#34;x&#34;. Write one that it has, or add it to the outputs.",
        "config1-name": "Configuration 1: give it a name of at most 40 characters.",
    }
    for field in told:
        assert re.search(rf'<input id="{field}" name="{field}"', answer.text), field
        assert answer.text.index(f'id="{field}"') < answer.text.index(f'id="{field}-fault"')
    fields = form_of(answer, rows_of(club_rig))
    assert {name: fields[name.replace("__", "-")][0] for name in typed} == typed
    assert answer.text.count("<details open>") == 4
    assert newest_number() == 1


def test_a_clash_is_told_where_it_was_made(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """Of two rows on one way the one that took it just now is told, whichever stands first."""
    answer = fill(signed_in, rows_of(club_rig), row1__way="4", row1__mixer_input="4")
    assert [field for field, _ in summary(answer.text)] == ["row1-mixer_input", "row1-way"]
    assert "taken by Lead in row 4" in answer.text


def test_ways_without_a_splitter_are_told_once(signed_in: Browser, store: Store, band: ABand) -> None:
    """However many ways were typed, a rig without a splitter is one mistake; with the splitter in the same save it is
    none.
    """
    with store.writing() as db:
        rig = a_stored_rig(db, band, Rig(name="x"))
    typed = {f"row{number}__label": f"Voice {name}" for number, name in enumerate(("Ada", "Ben", "Cy"), start=1)}
    typed |= {f"row{number}__way": str(number) for number in (1, 2, 3)}
    answer = fill(signed_in, rows_of(rig), **typed)
    assert [field for field, _ in summary(answer.text)] == ["row1-way"]
    assert fill(signed_in, rows_of(rig), **typed, splitter1__name="Rack", splitter1__ways="8").status_code == 303
    with store.reading() as db:
        saved = rigs.newest(db, rig.id).read()
    assert [(one.splitter, one.way) for one in saved.source] == [(saved.splitter[0].key, way) for way in (1, 2, 3)]


def test_parts_that_somebody_else_saved_are_told(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig], newest_number: Callable[[], int]
) -> None:
    """Who comes second sees what differs in every part, and saving once more counts."""
    page = rows_of(club_rig)
    mine = form_of(signed_in.get(f"{page}?unfold=all"), page) | {"loom1-name": ["Mine"], "double_patch": ["yes"]}
    fill(signed_in, page, loom1__name="Theirs", splitter1__ways="12")
    answer = send(signed_in, page, mine)
    assert answer.status_code == 409
    told = re.findall(
        r'<th scope="row">(.*?)</th><td data-head="Theirs">(.*?)</td><td data-head="Yours">(.*?)</td>', answer.text
    )
    assert ("Splitter Splitter, ways", "12", "8") in told
    assert ("Loom Mine, name", "Theirs", "Mine") in told
    assert len(told) == 3
    assert newest_number() == 2
    assert send(signed_in, page, form_of(answer, page)).status_code == 303
    assert (newest_rig().loom[0].name, newest_rig().splitter[0].ways) == ("Mine", 8)


def test_a_block_of_cells_is_pasted_over_the_rows(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """Cells go into the named columns from a row on and make new rows below; the number of a list goes, a choice that
    the column does not offer is left out and counted, and nothing is saved.
    """
    page = rows_of(club_rig)
    cells = "3. Piano\tAda\tno\r\n4. Vox\tBen\tperhaps\r\n5. Egg\tCy\tYES"
    answer = fill(signed_in, page, do="paste", at="3", column="label,player,phantom", cells=cells)
    fields = form_of(answer, page)
    assert [fields[f"row{number}-label"][0] for number in range(1, 7)] == ["Kick", "Bass", "Piano", "Vox", "Egg", ""]
    assert [fields[f"row{number}-player"][0] for number in (3, 4, 5)] == ["Ada", "Ben", "Cy"]
    assert [fields[f"row{number}-phantom"][0] for number in (3, 5)] == ["no", "yes"]
    assert fields["row3-was"] == ["keys"]
    assert "3 rows are pasted, from row 3 on. Not saved yet. 1 cell was left out" in answer.text
    for cells, column, at in (
        ("", "label", "1"),
        ("a\nb", "key", "1"),
        ("a\nb", "label", "x"),
        ("a\n" * 129, "label", "1"),
    ):
        refused = fill(signed_in, page, do="paste", at=at, column=column, cells=cells)
        assert "Nothing was pasted." in refused.text
    assert newest_number() == 1


def test_a_fold_is_fetched_with_what_is_typed(signed_in: Browser, store: Store, band: ABand) -> None:
    """A part whose fold is closed is not in the form and stays as it is; opening one keeps what was typed and saves
    nothing; a save of rows alone changes rows alone.
    """
    with store.writing() as db:
        rig = a_stored_rig(db, band, example_rig())
    page = rows_of(rig)
    fields = form_of(signed_in.get(page), page)
    assert not {"loom1-name", "inputs", "di_active"} & fields.keys()
    answer = send(signed_in, page, fields, do="unfold-cables", row1__note="kept")
    fields = form_of(answer, page)
    assert (fields["row1-note"], fields["loom1-name"]) == (["kept"], [example_rig().loom[0].name])
    assert "inputs" not in fields
    assert send(signed_in, page, fields | {"loom1-name": ["Other"]}).status_code == 303
    with store.reading() as db:
        saved = rigs.newest(db, rig.id).read()
    expected = replace(
        example_rig(),
        source=(replace(example_rig().source[0], note="kept"), *example_rig().source[1:]),
        loom=(replace(example_rig().loom[0], name="Other"), *example_rig().loom[1:]),
    )
    assert saved == expected


def test_what_is_wrong_in_a_closed_fold_opens_it(signed_in: Browser, store: Store, band: ABand) -> None:
    """A contradiction that was stored in another part is told when the rig is opened, in its fold."""
    broken = a_rig(ears=())
    with store.writing() as db:
        rig = a_stored_rig(db, band, broken)
    opened = signed_in.get(rows_of(rig))
    assert [field for field, _ in summary(opened.text)] == ["outs"]
    assert 'id="outs"' in opened.text
    assert "out1-key" in form_of(opened, rows_of(rig))
    assert fill(signed_in, rows_of(rig)).status_code == 303


def test_no_part_is_left_out_of_the_sheet() -> None:
    """Every part is in one fold, and draws fields of names that no other part has."""
    rig = example_rig()
    assert sorted(key for _, keys in FOLDS.values() for key in keys) == sorted(PARTS)
    seen: set[str] = set()
    for part in PARTS.values():
        names = set(part.draw(rig))
        assert names
        assert not names & seen, part.key
        seen |= names


def test_enter_in_a_field_saves(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """The first button of the form, which Enter presses where there is no script, is the one that saves."""
    form = signed_in.get(rows_of(club_rig)).text.partition('<form id="sheet"')[2]
    first = re.search(r"<button([^>]*)>(.*?)</button>", form)
    assert first
    assert first[2] == "Save rig"
    assert "name=" not in first[1]


# The wiring


def test_the_way_on_to_a_gig_stands_before_the_rows(
    signed_in: Browser, club_rig: rigs.BandRig, store: Store, band: ABand
) -> None:
    """A keyboard passes no row on the way to a new gig, which this rig is chosen for, and none on the way below them;
    a rig without rows leads to none.
    """
    with store.writing() as db:
        empty = a_stored_rig(db, band, Rig(name="Another rig"))
    text = signed_in.get(f"/rigs/{club_rig.id}").text
    to_gig, over_rows = f'href="/gigs/new?rig={club_rig.id}"', 'href="#after-rows"'
    assert text.index(to_gig) < text.index(over_rows) < text.index('id="row1-label"')
    assert text.index('id="row3-label"') < text.index('id="after-rows" tabindex="-1"') < text.index('value="ten"')
    assert "/gigs/new" not in signed_in.get(f"/rigs/{empty.id}").text
    for rig in (club_rig, empty):
        form = signed_in.get(f"/gigs/new?rig={rig.id}").text
        assert re.findall(r'<option value="([^"|]+)\|[^"]*" selected', form) == [rig.id]


def test_the_wiring_is_drawn_from_what_is_typed_and_nothing_is_saved(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """Sockets in their order, a way that is taken twice, the drawing and the same in words; mistakes do not keep it
    from being drawn.
    """
    page = rows_of(club_rig)
    fields = form_of(signed_in.get(page), page)
    answer = send(
        signed_in, f"{page}/wiring", fields, row1__label="Boom", row2__way="1", row3__way="x", row5__label="Egg"
    )
    assert answer.status_code == 200
    sockets = re.findall(r"<li(?: class=\"(\w+)\")?><b>(\d+)</b> (.*?)</li>", answer.text)
    assert sockets[0] == ("twice", "1", "Boom and Bass (taken twice)")
    assert sockets[2] == ("", "3", "Keys")
    assert sockets[7] == ("free", "8", "free")
    assert "<desc" in answer.text
    assert "Boom: Splitter way 1, then mixer input 1" in answer.text
    assert "<html" not in answer.text
    assert newest_number() == 1


def test_drawing_is_braked(signed_in: Browser, club_rig: rigs.BandRig, portal: Portal) -> None:
    """Whoever sends more than a person types keeps the picture that is there: no error, no work."""
    page = rows_of(club_rig)
    fields = form_of(signed_in.get(page), page)
    portal.wiring_limiter.most = 2
    assert [send(signed_in, f"{page}/wiring", fields).status_code for _ in range(3)] == [200, 200, 204]


@pytest.mark.browser
def test_the_wiring_follows_the_keyboard(open_page: Open, band: ABand, club_rig: rigs.BandRig) -> None:
    """What is typed is in the picture a moment later: the focus and an open drawing stay as they are."""
    page = in_a_browser(open_page, band, club_rig)
    page.locator("summary", has_text="How it is wired").click()
    page.locator("#row1-label").fill("Boom")
    expect(page.locator(".sockets li").first).to_have_text("1 Boom")
    expect(page.locator("#wiring svg")).to_be_visible()
    expect(page.locator("#wiring svg")).to_contain_text("Boom")
    expect(page.locator("#row1-label")).to_be_focused()


# How it looks


@pytest.mark.browser
def test_every_state_of_the_sheet_reads_well(open_page: Open, store: Store, band: ABand) -> None:
    """Full, unfolded, with all columns, refused, and empty: axe finds nothing, nothing is too small or too wide at any
    width, and there are five folds at most; the colours of what shows everything hold in the dark too.
    """
    with store.writing() as db:
        full, empty = (
            a_stored_rig(db, band, example_rig()),
            a_stored_rig(db, band, a_rig(source=(), splitter=(), ears=())),
        )
    page, figures = in_a_browser(open_page, band, full, viewport=NARROW), Figures()

    def look(state: str, *, colours: bool = False) -> None:
        for width in (*WIDER, NARROW["width"]):
            page.set_viewport_size({"width": width, "height": 800})
            measure(page, f"{state} {width}", figures)
        examine(page, state, figures, colours=colours)
        if colours:
            page.emulate_media(color_scheme="dark")
            examine_colours(page, f"dark {state}", figures)
            page.emulate_media(color_scheme="light")
        assert page.locator("details").count() <= MOST_FOLDS

    look("full")
    page.goto(f"{rows_of(full)}?unfold=all")
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    page.check("#all-columns")
    look("unfolded", colours=True)
    page.set_viewport_size({"width": WIDER[-1], "height": 800})
    examine_colours(page, "wide", figures)
    page.fill("#row2-way", page.input_value("#row1-way"))
    page.fill("#loom1-length_m", "far")
    page.get_by_role("button", name="Save rig").first.click()
    page.locator("#faults").wait_for()
    look("refused", colours=True)
    page.goto(rows_of(empty))
    look("empty")
    assert figures.wrong == []


@pytest.mark.parametrize("change", sorted(IN_THE_RIG))
def test_a_change_that_helps_leads_to_its_field(signed_in: Browser, club_rig: rigs.BandRig, change: str) -> None:
    """From the plan: its fold is open, every column is shown, and the address ends in the field itself."""
    assert set(WRITTEN) == IN_THE_RIG
    led = signed_in.get(f"{rows_of(club_rig)}?unfold={change}").headers["location"]
    page, _, field = led.partition("#")
    shown = signed_in.get(page).text
    assert re.search(rf'<(?:input|select) [^>]*id="{field}"', shown)
    assert re.search(r'id="all-columns" checked', shown)
    if change == "say-where-outputs-are-tapped":
        key = re.search(rf'id="{field.replace("-tap", "-key")}"[^>]*value="([^"]+)"', shown)
        assert key is not None
        assert key.group(1) not in {out for mix in a_rig().ears for out in mix.outs}


def test_a_splitter_that_says_where_sources_plug_in_is_passed_over() -> None:
    """The field is that of the first splitter which does not say so, never that of a new row."""
    (splitter, *_) = a_rig().splitter
    front, unsaid = replace(splitter, plugs="front"), replace(splitter, key="second", plugs="")
    change = "say-where-sources-plug-in"
    assert field_of(change, replace(a_rig(), splitter=(front, unsaid))) == ("cables", "splitter2-plugs")
    assert field_of(change, replace(a_rig(), splitter=(front,))) == ("cables", "splitter1-plugs")


@pytest.mark.browser
def test_the_field_that_a_change_goes_into_is_seen_and_typed_into(
    open_page: Open, band: ABand, club_rig: rigs.BandRig
) -> None:
    """What is typed next stands in it, without a tap."""
    page = in_a_browser(open_page, band, club_rig)
    page.goto(f"{rows_of(club_rig)}?unfold=say-where-outputs-are-tapped")
    field = page.url.partition("#")[2]
    expect(page.locator(f"#{field}")).to_be_focused()
    expect(page.locator(f"#{field}")).to_be_in_viewport()


def test_a_rig_as_large_as_it_may_be_fits_its_form(signed_in: Browser, store: Store, band: ABand) -> None:
    """The fields of the largest parts together are no more than a form may hold."""
    rig = a_rig()
    outs = tuple(replace(rig.mixer.outs[0], key=f"o{number}", use="free") for number in range(64))
    ears = tuple(replace(rig.ears[0], player=f"P{number}", outs=()) for number in range(32))
    source = tuple(
        replace(rig.source[0], key=f"k{number}", label=f"S{number}", splitter="", way=None, mixer_input=None)
        for number in range(128)
    )
    with store.writing() as db:
        large = a_stored_rig(db, band, replace(rig, source=source, ears=ears, mixer=replace(rig.mixer, outs=outs)))
    assert fill(signed_in, rows_of(large)).status_code == 303
    with store.reading() as db:
        assert rigs.newest(db, large.id).number == 1
