"""The columns of a pasted list: the fields that they fill, told and changed before the rows are taken over."""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from portal.plan.input.rig import Rig
from portal.store import rigs
from portal.store.database.session import Store
from tests.builders import ABand, a_rig, a_stored_rig
from tests.web.conftest import Browser, Open
from tests.web.looks import NARROW
from tests.web.rig_forms import fill, form_of, send, summary
from tests.web.test_rig_reading import begin_rig, confirm, empty_rig, newest, page_of

__all__ = ["empty_rig", "newest"]

COLUMNS = (
    "Label,Player,Splitter way,Stand,48 V,Note\nKick,Bo,2,short,no,\nHat,Bo,3,tall,yes,over the rim\nVox,Ina,20,,no,\n"
)


def test_columns_fill_their_fields(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]) -> None:
    """Player, way, stand, 48 V and note go to their fields, the way to the rig's only splitter; nothing else is copied
    into the note.
    """
    shown = fill(signed_in, page_of(club_rig), pasted=COLUMNS)
    fields = form_of(shown, f"{page_of(club_rig)}/reading")
    chosen = [fields[f"column{number}"][0] for number in range(1, 7)]
    assert chosen == ["label", "player", "way", "stand", "phantom", "note"]
    answer = confirm(signed_in, club_rig, shown, row3__what="Lead vocal")
    assert [field for field, _ in summary(answer.text)] == ["row3-label"]
    assert confirm(signed_in, club_rig, answer, row3__out="yes").status_code == 303
    kick, hat = newest_rig().source
    assert (kick.key, kick.player, kick.splitter, kick.way, kick.stand, kick.phantom, kick.note) == (
        "kick",
        "Bo",
        "s",
        2,
        "short",
        "no",
        "",
    )
    assert (hat.player, hat.splitter, hat.way, hat.stand, hat.phantom, hat.note) == (
        "Bo",
        "s",
        3,
        "tall",
        "yes",
        "over the rim",
    )


def test_columns_can_be_given_other_fields(
    signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]
) -> None:
    """A column that was read as something else is put right on the page; the rows are read again by it, and what was
    chosen for a row stays.
    """
    shown = fill(signed_in, page_of(empty_rig), pasted="1\tKick\tBo\t2\n2\tAux\tIna\t5\n")
    action = f"{page_of(empty_rig)}/reading"
    fields = form_of(shown, action)
    assert [fields[f"column{number}"][0] for number in range(1, 5)][:2] == ["number", "label"]
    changed = fields | {"column3": ["player"], "column4": ["way"], "row2-what": ["Hi-hat"]}
    again = send(signed_in, f"{page_of(empty_rig)}/columns", changed)
    assert again.status_code == 200
    kept = form_of(again, action)
    assert [kept[f"column{number}"][0] for number in range(1, 5)] == ["number", "label", "player", "way"]
    assert kept["row2-what"] == ["Hi-hat"]
    assert confirm(signed_in, empty_rig, again).status_code == 303
    assert [(one.what, one.player, one.way) for one in newest().source] == [
        ("drum.kick-drum", "Bo", 2),
        ("metal.hi-hat", "Ina", 5),
    ]


def test_columns_that_hold_no_label_are_told(signed_in: Browser, empty_rig: rigs.BandRig) -> None:
    """Without a column for the label nothing is read, the text stays, and a field that is none is read by its words."""
    shown = fill(signed_in, page_of(empty_rig), pasted="1\tKick\tBo\n2\tHat\tIna\n")
    fields = form_of(shown, f"{page_of(empty_rig)}/reading")
    refused = send(signed_in, f"{page_of(empty_rig)}/columns", fields | {"column2": ["note"]})
    assert refused.status_code == 422
    assert summary(refused.text)[0][0] == "pasted"
    assert "Kick" in form_of(refused, page_of(empty_rig))["pasted"][0]
    odd = send(signed_in, f"{page_of(empty_rig)}/columns", fields | {"column3": ["colour"]})
    assert form_of(odd, f"{page_of(empty_rig)}/reading")["column3"] == [""]


def test_a_way_without_a_splitter_is_a_note(signed_in: Browser, store: Store, band: ABand) -> None:
    """A rig that takes no splitter takes the list all the same, and the way that it names stays readable."""
    with store.writing() as db:
        bare = a_stored_rig(db, band, a_rig(source=(), splitter=(), loom=()))
    shown = fill(signed_in, page_of(bare), pasted=COLUMNS)
    assert confirm(signed_in, bare, shown, row3__what="Lead vocal", splitters=[]).status_code == 303
    with store.reading() as db:
        assert [source.note for source in rigs.newest(db, bare.id).read().source] == [
            "splitter way 2",
            "over the rim; splitter way 3",
            "splitter way 20",
        ]


@pytest.mark.browser
def test_columns_and_text_are_changed_with_script_too(open_page: Open) -> None:
    """The buttons that send the table elsewhere reach that place with script: columns are read again, the text comes
    back.
    """
    page = open_page("/sign-up", viewport=NARROW)
    begin_rig(page)
    page.fill("#pasted", "1\tKick\tBo\n2\tHat\tIna")
    page.get_by_role("button", name="Read the rows").click()
    page.select_option("#column3", "player")
    page.get_by_role("button", name="Read the rows again with these columns").click()
    page.get_by_text("player Ina").wait_for()
    expect(page.locator("#column3")).to_have_value("player")
    page.get_by_role("button", name="Change the text").click()
    expect(page.locator("#pasted")).to_have_value("1\tKick\tBo\n2\tHat\tIna")
