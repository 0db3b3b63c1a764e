"""A rig is typed like a sheet of paper: a label for each row, Enter, and one save."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from portal.plan.input.rig import Mixer, Rig, Splitter
from portal.store import rigs
from portal.store.database.session import Store
from portal.web.rig.rig_sheet import FIRST_BLANKS
from portal.web.rig.row_actions import MORE_BLANKS
from tests.builders import PASSWORD, ABand, a_rig, a_stored_rig
from tests.web.conftest import Browser, Open
from tests.web.rig_forms import fill, rows_of, summary

LABELS = (
    *("Kick in", "Kick out", "Snare top", "Snare bottom", "Hat", "Rack tom", "Floor tom", "OH L", "OH R"),
    *("Bass DI", "Bass amp", "Electric guitar", "Acoustic guitar", "Keys L", "Keys R", "Violin", "Tracks L"),
    *("Tracks R", "Voice Ada", "Voice Ben", "Voice Cy", "Voice Di", "Voice Eli", "Trumpet"),
)


def an_empty_rig(store: Store, band: ABand) -> str:
    with store.writing() as db:
        rig = Rig(mixer=Mixer(inputs=32), splitter=(Splitter(key="s", name="Splitter", ways=24),))
        return a_stored_rig(db, band, rig).id


def stored(store: Store, rig_id: str) -> tuple[Rig, int]:
    with store.reading() as db:
        newest = rigs.newest(db, rig_id)
        return newest.read(), newest.number


@pytest.mark.browser
def test_a_newcomer_types_24_rows_in_few_acts(open_page: Open, store: Store, band: ABand) -> None:
    """24 labels and Enter after each, twice ten more rows, one save: at most 60 acts and 300 signs, one revision, and
    every row knows what it is and where it is plugged.
    """
    rig_id = an_empty_rig(store, band)
    page: Page = open_page(f"/sign-in?then=/rigs/{rig_id}")
    page.fill("#email", band.email)
    page.fill("#password", PASSWORD)
    page.click("main button")
    page.locator("#row1-label").focus()
    acts = signs = 0
    for number, label in enumerate(LABELS, start=1):
        if not page.locator(f"#row{number}-label").count():
            page.get_by_role("button", name="Add ten rows").click()
            page.locator(f"#row{number}-label").wait_for()
            page.locator(f"#row{number}-label").focus()
            acts += 2
        assert page.evaluate("document.activeElement.id") == f"row{number}-label"
        page.keyboard.type(label)
        page.keyboard.press("Enter")
        acts, signs = acts + 1, signs + len(label)
    page.get_by_role("button", name="Save rig").first.click()
    page.get_by_text("Saved as revision 2.").first.wait_for()
    acts += 1
    print(f"\ntyping 24 rows: acts={acts} signs={signs}")  # noqa: T201 - shown with -s
    rig, number = stored(store, rig_id)
    assert number == 2
    assert [one.label for one in rig.source] == list(LABELS)
    assert all(one.what != "x-other" for one in rig.source)
    assert [(one.splitter, one.way, one.mixer_input) for one in rig.source] == [("s", n, n) for n in range(1, 25)]
    assert acts <= 60
    assert signs <= 300


def test_a_label_says_what_a_row_is(signed_in: Browser, store: Store, band: ABand) -> None:
    """Legs name each other, a second microphone its first one; what a label does not say for sure is left open."""
    rig_id = an_empty_rig(store, band)
    labels = ("Kick in", "Kick out", "Keys L", "Keys R", "Bass DI", "Egg")
    typed = {f"row{number}__label": label for number, label in enumerate(labels, start=1)}
    assert fill(signed_in, f"/rigs/{rig_id}", **typed).status_code == 303
    kick, out, left, right, bass, egg = stored(store, rig_id)[0].source
    assert (kick.what, kick.position, out.position, out.second_of) == ("drum.kick-drum", "in", "out", kick.key)
    assert (left.pair_with, right.pair_with, left.pair_kind) == (right.key, left.key, "left-right")
    assert (bass.what, bass.capture) == ("pluck.bass.electric", "di")
    assert egg.what == "x-other"


def test_the_only_splitter_is_named_once(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]
) -> None:
    """A way is enough where the rig has one splitter, and no row shows which; a way that is taken away frees it."""
    page = signed_in.get(rows_of(club_rig)).text
    assert '<select id="row1-splitter"' not in page
    answer = fill(signed_in, rows_of(club_rig), row1__way="", row5__label="Egg", row5__way="7")
    assert answer.status_code == 303
    rig = newest_rig()
    assert (rig.source[0].splitter, rig.source[0].way) == ("", None)
    assert (rig.source[4].splitter, rig.source[4].way) == ("s", 7)


def test_a_mistake_stands_below_its_row(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """Each wrong cell is marked, its sentence stands below the row, and the list on top leads to a field that is
    shown.
    """
    answer = fill(signed_in, rows_of(club_rig), row2__way="1")
    assert answer.status_code == 422
    fields = [field for field, _ in summary(answer.text)]
    assert fields
    for field in fields:
        assert f'<input id="{field}"' in answer.text
        assert answer.text.index(f'id="{field}"') < answer.text.index(f'id="{field}-fault"')


def test_ways_are_numbered_from_a_row(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """From one row on, every way follows the one before; nothing is saved by it. Ten more rows come on demand."""
    answer = fill(signed_in, rows_of(club_rig), do="number", at="3", row3__way="5")
    assert "Splitter ways count from 5, from row 3 on. Not saved yet." in answer.text
    assert 'name="row3-way" value="5"' in answer.text
    assert 'name="row4-way" value="6"' in answer.text
    wrong = fill(signed_in, rows_of(club_rig), do="number", at="99")
    assert "Enter the number of the row that is meant. Nothing was done." in wrong.text
    more = fill(signed_in, rows_of(club_rig), do="ten")
    assert f'id="row{len(a_rig().source) + MORE_BLANKS}-label"' in more.text
    assert FIRST_BLANKS < MORE_BLANKS
