"""A rig is typed like a sheet of paper: a label for each row, Enter, and one save."""

import re
from collections.abc import Callable
from dataclasses import dataclass

import pytest
from playwright.sync_api import Page

from portal.plan.coherence import faults
from portal.plan.input.rig import Mixer, Rig, Splitter
from portal.store import rigs
from portal.store.database.session import Store
from portal.web.rig.editing.rig_sheet import FIRST_BLANKS
from portal.web.rig.editing.row_actions import MORE_BLANKS
from tests.builders import ABand, a_rig, a_stored_rig
from tests.web.conftest import Browser, Open
from tests.web.rig_forms import fill, in_a_browser, rows_of, summary

LABELS = (
    *("Kick in", "Kick out", "Snare top", "Snare bottom", "Hat", "Rack tom", "Floor tom", "OH L", "OH R"),
    *("Bass DI", "Bass amp", "Electric guitar", "Acoustic guitar", "Keys L", "Keys R", "Violin", "Tracks L"),
    *("Tracks R", "Voice Ada", "Voice Ben", "Voice Cy", "Voice Dov", "Voice Eli", "Trumpet"),
)


def an_empty_rig(store: Store, band: ABand) -> str:
    with store.writing() as db:
        rig = Rig(mixer=Mixer(inputs=32), splitter=(Splitter(key="s", name="Splitter", ways=24),))
        return a_stored_rig(db, band, rig).id


def stored(store: Store, rig_id: str) -> tuple[Rig, int]:
    with store.reading() as db:
        newest = rigs.newest(db, rig_id)
        return newest.read(), newest.number


PLAYERS = dict(
    zip(
        (1, 10, 12, 13, 14, 16, 17, 24),
        ("Ada", "Ben", "Cy", "Dov", "Eli", "Fay", "Ada", "Fay"),
        strict=True,
    )
)
"""Who plays, by the row from which on the player is typed: the voices name theirs in their labels."""


def player_of(number: int) -> str:
    return next(player for first, player in reversed(PLAYERS.items()) if first <= number)


@dataclass
class Newcomer:
    """Somebody who has never been here: every field, button and fold that is touched is one act."""

    page: Page
    acts: int = 0
    signs: int = 0

    def types(self, field: str, text: str) -> None:
        """Type into a field that has the focus or is tapped first."""
        if self.page.evaluate("document.activeElement.id") != field:
            self.page.locator(f"#{field}").focus()
        self.page.keyboard.type(text)
        self.acts, self.signs = self.acts + 1, self.signs + len(text)

    def presses(self, button: str, then: str) -> None:
        """Press a button; what it does is over when the words stand on the page."""
        self.page.get_by_role("button", name=button).first.click()
        self.page.locator("#main").get_by_text(then).first.wait_for()
        self.acts += 1

    def unfolds(self, words: str) -> None:
        self.page.get_by_role("button", name=words).click()
        self.page.locator("summary", has_text=words).wait_for()
        self.acts += 1

    def pastes(self, field: str, text: str, then: str) -> None:
        """One act, as from a spreadsheet; nothing is typed."""
        self.page.locator(f"#{field}").focus()
        self.page.evaluate(PASTE, text)
        self.page.locator("#main").get_by_text(then).first.wait_for()
        self.acts += 1

    def tells_the_rest(self) -> None:
        """Splitter, loom, mixer and six mixes, then the one save."""
        self.unfolds("Splitters and looms")
        self.types("splitter1-name", "Rack")
        self.types("splitter1-ways", "24")
        self.types("loom1-name", "Main")
        self.types("loom1-ways", "24")
        self.types("loom1-length_m", "15")
        self.unfolds("Mixer and in-ear mixes")
        self.types("inputs", "32")
        self.presses("A mix for each player", "6 in-ear mixes are below")
        self.presses("Save rig", "Saved as revision 2.")


PASTE = """(text) => {
  const data = new DataTransfer();
  data.setData("text", text);
  const event = new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true });
  document.activeElement.dispatchEvent(event);
}"""


@pytest.fixture
def newcomer(open_page: Open, store: Store, band: ABand) -> tuple[Newcomer, str]:
    """Somebody signed in before an empty rig."""
    with store.writing() as db:
        rig = a_stored_rig(db, band, Rig())
    return Newcomer(in_a_browser(open_page, band, rig)), rig.id


def is_whole(rig: Rig) -> bool:
    """True for the six-piece rig with every row known, played by somebody and plugged, six mixes and all outputs."""
    assert [one.label for one in rig.source] == list(LABELS)
    assert all(one.what != "x-other" and one.player for one in rig.source)
    assert [(one.way, one.mixer_input) for one in rig.source] == [(n, n) for n in range(1, 25)]
    assert (rig.splitter[0].ways, rig.loom[0].length_m, rig.mixer.inputs) == (24, 15.0, 32)
    assert [len(mix.outs) for mix in rig.ears] == [2] * 6
    return not faults(rig)


@pytest.mark.browser
def test_a_newcomer_types_a_whole_rig_in_few_acts(newcomer: tuple[Newcomer, str], store: Store) -> None:
    """A six-piece rig of 24 rows, by hand: labels and players down their columns, splitter, loom, mixer and mixes, one
    save and one revision; at most 60 acts.
    """
    one, rig_id = newcomer
    for number, label in enumerate(LABELS, start=1):
        if not one.page.locator(f"#row{number}-label").count():
            one.presses("Add ten rows", "10 blank rows are below.")
        one.types(f"row{number}-label", label)
        one.page.keyboard.press("Enter")
    for number in range(1, 25):
        if not LABELS[number - 1].startswith("Voice"):
            one.types(f"row{number}-player", player_of(number))
            one.page.keyboard.press("Enter")
    one.tells_the_rest()
    print(f"\nby hand: acts={one.acts} signs={one.signs}")  # noqa: T201 - shown with -s
    rig, number = stored(store, rig_id)
    assert number == 2
    assert is_whole(rig)
    assert one.acts <= 60
    assert one.signs <= 400


@pytest.mark.browser
def test_a_newcomer_pastes_a_whole_rig_in_few_acts(newcomer: tuple[Newcomer, str], store: Store) -> None:
    """The same rig, its rows as two columns of a spreadsheet pasted into the first cell: at most 12 acts."""
    one, rig_id = newcomer
    cells = "\n".join(f"{label}\t\t{player_of(number)}" for number, label in enumerate(LABELS, start=1))
    one.pastes("row1-label", cells, "24 rows are pasted, from row 1 on.")
    one.tells_the_rest()
    print(f"\nby paste: acts={one.acts} signs={one.signs}")  # noqa: T201 - shown with -s
    rig, number = stored(store, rig_id)
    assert number == 2
    assert is_whole(rig)
    assert one.acts <= 12
    assert one.signs <= 30


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


def test_ways_are_numbered_as_far_as_the_splitter_has_some(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """A click that only the band hears gets no way, blank rows get none, and nothing counts past the last way."""
    rows = rows_of(club_rig)
    ways = a_rig().splitter[0].ways
    click = {"row4__label": "Click", "row4__what": "click", "row4__way": "", "row4__goes": "ears-only"}
    answer = fill(signed_in, rows, do="number", at="1", row1__way=str(ways - 1), **click)
    assert f'name="row2-way" value="{ways}"' in answer.text
    assert re.search(r'name="row[34]-way" value="[0-9]', answer.text) is None
    assert f"The splitter has {ways} ways: 1 row is left without one." in answer.text


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
