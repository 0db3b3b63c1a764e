"""A rig's undo, its copy, several rows at once, and the drawing of its wiring."""

import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from playwright.sync_api import expect

from portal.exchange.example import example_rig
from portal.plan.input.rig import Rig, Splitter, SplitterOutput
from portal.store import rigs
from portal.store.database.session import Store
from portal.web.rig.rig_history import FIRST_CHANGES
from portal.web.rig.wiring_picture import picture_of
from tests.builders import ABand, a_gig, a_rig, a_source, a_stored_rig
from tests.web.conftest import Browser, Open
from tests.web.rig_forms import fill, form_of, rows_of, send, summary
from tests.web.test_screen import signed_in as in_a_browser

Newest = Callable[[], Rig]
Number = Callable[[], int]


def revisions_of(club_rig: rigs.BandRig) -> str:
    return f"/rigs/{club_rig.id}/revisions"


def together(club_rig: rigs.BandRig) -> str:
    return f"/rigs/{club_rig.id}/rows/together"


# Undo


def test_a_save_is_undone_by_one_button(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest, newest_number: Number
) -> None:
    """After a save the page offers the revision before; putting it back makes a new revision with the old content,
    undone in the same way.
    """
    before = newest_rig()
    saved = fill(signed_in, rows_of(club_rig), row1__label="Other")
    page = saved.headers["location"]
    assert "Put revision 1 back" in signed_in.get(page).text
    assert fill(signed_in, page, revisions_of(club_rig), number="1").status_code == 303
    assert (newest_rig(), newest_number()) == (before, 3)
    fill(signed_in, revisions_of(club_rig), number="2")
    assert newest_rig().source[0].label == "Other"
    assert newest_number() == 4


def test_what_a_save_changed_is_said(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """The rig, the list and an old revision say in words what changed."""
    fill(signed_in, rows_of(club_rig), row1__way="7")
    said = "Kick: splitter way was 1, now 7"
    for address in (revisions_of(club_rig), f"{revisions_of(club_rig)}/2", f"{revisions_of(club_rig)}/1"):
        assert said in signed_in.get(address).text, address


def test_of_many_changes_the_first_are_listed(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """The list of revisions has no fold: each revision says its first changes, and all of them on demand."""
    notes = {f"row{number}__note": f"Note {number}" for number in range(1, 5)}
    fill(signed_in, rows_of(club_rig), **notes, row1__player="Zoe")
    fill(signed_in, rows_of(club_rig), row1__player="Ada")
    page = signed_in.get(revisions_of(club_rig)).text
    assert "<details" not in page
    assert page.count("<li>") == FIRST_CHANGES + 1
    link = re.search(r'<a href="([^"#]*)#of-2">2 more changes', page)
    assert link
    whole = signed_in.get(link[1]).text
    assert whole.count("<li>") == FIRST_CHANGES + 3
    assert "more change" not in whole


def test_nothing_is_put_back_over_somebody_elses_save(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Number
) -> None:
    """A button that was drawn before somebody else saved does nothing and says so; a number that no revision has is
    asked for again.
    """
    fill(signed_in, rows_of(club_rig), row1__label="Mine")
    old = form_of(signed_in.get(revisions_of(club_rig)), revisions_of(club_rig))
    fill(signed_in, rows_of(club_rig), row1__label="Theirs")
    refused = send(signed_in, revisions_of(club_rig), old, number="1")
    assert refused.status_code == 409
    assert "Nothing was put back." in refused.text
    for number in ("0", "9", "-1", "x", "99999999999999999999"):
        assert fill(signed_in, revisions_of(club_rig), number=number).status_code == 422
    assert newest_number() == 3


# Copy and use


def test_a_copy_is_a_rig_of_its_own(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest, store: Store, band: ABand
) -> None:
    """The copy begins as the rig stands, keys included; a change of one leaves the other alone; without a name none is
    made.
    """
    copy = f"/rigs/{club_rig.id}/copy"
    assert fill(signed_in, copy, name="").status_code == 422
    made = fill(signed_in, copy, name="Acoustic rig").headers["location"].removeprefix("/rigs/")
    fill(signed_in, rows_of(club_rig), row1__label="Other")
    with store.reading() as db:
        stored = rigs.get(db, band.band_id, made)
        copied = rigs.newest(db, made).read()
    assert stored.name == "Acoustic rig"
    assert (copied.source[0].key, copied.source[0].label, newest_rig().source[0].label) == ("kick", "Kick", "Other")


def test_the_gigs_of_a_rig_are_named(signed_in: Browser, club_rig: rigs.BandRig, store: Store, band: ABand) -> None:
    """The rig's page leads to the gigs that use it, with the revision of each, and to no other gig."""
    with store.writing() as db:
        mine = a_gig(db, band, name="Mine", rig_id=club_rig.id, rig_revision_id=rigs.newest(db, club_rig.id).id)
        a_gig(db, band, name="Another rig's gig")
    fill(signed_in, rows_of(club_rig), row1__label="Other")
    text = signed_in.get(f"/rigs/{club_rig.id}").text
    assert re.search(rf'href="/gigs/{mine.id}">Mine, Sat 5 Dec 2026, [^<]*</a> .revision 1, not the newest', text)
    assert "Another rig" not in text


# Several rows at once


def test_several_rows_are_set_at_once(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest, newest_number: Number
) -> None:
    """What was chosen is set in the ticked rows and nowhere else; what was left as it is stays; one revision is
    made.
    """
    before = newest_rig()
    changes = {"player": "Bo", "stand": "tall", "phantom": "yes", "owner.mic": "house"}
    answer = send(
        signed_in,
        together(club_rig),
        form_of(signed_in.get(together(club_rig)), together(club_rig)) | {"row": ["kick", "lead"]},
        **changes,
    )
    assert answer.status_code == 303
    for was, now in zip(before.source, newest_rig().source, strict=True):
        if was.key in ("kick", "lead"):
            assert (now.player, now.stand, now.phantom, now.owner.mic) == ("Bo", "tall", "yes", "house")
            assert replace(now, player=was.player, stand=was.stand, phantom=was.phantom, owner=was.owner) == was
        else:
            assert now == was
    assert newest_number() == 2


def test_a_choice_can_be_taken_back_at_once(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """To say nothing is a choice as well, other than leaving rows as they are."""
    every = [source.key for source in newest_rig().source]
    form = form_of(signed_in.get(together(club_rig)), together(club_rig))
    send(signed_in, together(club_rig), form | {"row": every}, stand="tall")
    form = form_of(signed_in.get(together(club_rig)), together(club_rig))
    send(signed_in, together(club_rig), form | {"row": every[:1]}, stand="unset")
    assert [source.stand for source in newest_rig().source] == ["", "tall", "tall", "tall"]


@pytest.mark.parametrize(
    ("rows", "changes", "said"),
    [
        ([], {"stand": "tall"}, ("row", "Tick at least one row.")),
        (["kick"], {}, ("player", "Choose what to set in the ticked rows.")),
        (["kick"], {"stand": "golden"}, ("stand", "Stand: &#34;golden&#34; is not one of the list. Choose from it.")),
        (["kick"], {"player": "x" * 41}, ("player", "Player: this has 41 characters; 40 fit. Shorten it.")),
    ],
)
def test_what_cannot_be_set_is_said(
    signed_in: Browser,
    club_rig: rigs.BandRig,
    newest_number: Number,
    rows: list[str],
    changes: dict[str, str],
    said: tuple[str, str],
) -> None:
    """Nothing ticked, nothing chosen, or a value that does not fit: one sentence at its field, ticks kept, nothing
    saved.
    """
    form = form_of(signed_in.get(together(club_rig)), together(club_rig))
    answer = send(signed_in, together(club_rig), form | {"row": rows}, **changes)
    assert answer.status_code == 422
    assert summary(answer.text) == [said]
    assert form_of(answer, together(club_rig)).get("row", []) == rows
    assert newest_number() == 1


def test_rows_of_a_player_begin_ticked(signed_in: Browser, store: Store, band: ABand) -> None:
    """A link ticks one player's rows, another all of them."""
    rig = replace(
        a_rig(),
        source=(a_source("kick", player="Bo"), a_source("lead", player="Ada & Co"), a_source("snare", player="Bo")),
    )
    with store.writing() as db:
        stored = a_stored_rig(db, band, rig)
    page = signed_in.get(together(stored)).text
    found = dict(re.findall(r'<a href="(/rigs/[^"]*together[^"]*)">(.*?)</a>', page))
    ticked = {words: form_of(signed_in.get(href), together(stored)).get("row", []) for href, words in found.items()}
    assert ticked == {
        "All rows": ["kick", "lead", "snare"],
        "Bo": ["kick", "snare"],
        "Ada &amp; Co": ["lead"],
        "None": [],
    }


# Moving


def test_a_row_moves_to_a_number(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """A row goes to the place that was typed, at most to the end; a place that is no number moves nothing and says so.
    Nothing is saved.
    """

    def order(at: str, to: str) -> list[str]:
        fields = form_of(signed_in.get(rows_of(club_rig)), rows_of(club_rig))
        answer = send(signed_in, rows_of(club_rig), fields, do="to", at=at, to=to)
        after = form_of(answer, rows_of(club_rig))
        return [after[f"row{number}-label"][0] for number in range(1, 5)]

    assert order("4", "1") == ["Lead", "Kick", "Bass", "Keys"]
    assert order("1", "99") == ["Bass", "Keys", "Lead", "Kick"]
    assert order("1", "first") == ["Kick", "Bass", "Keys", "Lead"]


@pytest.mark.browser
def test_a_row_is_moved_by_keyboard_alone(open_page: Open, band: ABand, club_rig: rigs.BandRig) -> None:
    """Pressed again and again, the same key takes a row further: the focus goes along with the button."""
    page = in_a_browser(open_page, band)
    page.goto(rows_of(club_rig))
    page.locator("#row1-label").focus()
    down = page.get_by_role("button", name="Down")
    down.focus()
    for number in (2, 3):
        page.keyboard.press("Enter")
        expect(page.locator(f"#row{number}-label")).to_have_value("Kick")
        expect(down).to_be_focused()
    page.keyboard.press("Enter")
    page.locator("#main").get_by_text("is row 4 now").wait_for()
    page.get_by_role("button", name="Save rig").first.focus()
    page.keyboard.press("Enter")
    page.locator("#main").get_by_text("Saved as revision 2.").wait_for()
    assert page.locator("[id^=row][id$=-label]").evaluate_all(
        "fields => fields.slice(0, 4).map(field => field.value)"
    ) == [
        "Bass",
        "Keys",
        "Lead",
        "Kick",
    ]


# The drawing


def test_the_drawing_says_what_the_rig_says() -> None:
    """Each row stands at its number with its way and input; dots are the ways that split; in-ears and looms are named;
    the words say the same.
    """
    rig = example_rig()
    drawn = picture_of(rig)
    texts = [one.text for one in drawn.words]
    assert [text for text in texts if text.startswith("input ")] == [
        f"input {source.mixer_input}" for source in rig.source
    ]
    assert len(drawn.dots) == sum(source.way is not None for source in rig.source)
    for ears in rig.ears:
        assert any(text.startswith(f"{ears.player}: in-ears") for text in texts)
    for number, source in enumerate(rig.source, start=1):
        assert drawn.sentences[number - 1].startswith(f"{number} {source.label}: ")
    assert drawn.sentences[0] == "1 Kick In: Stage splitter way 1, then mixer input 1"
    assert len(drawn.sentences) == len(rig.source) + len(rig.splitter) + len(rig.loom) + len(rig.ears) + 2


SHAPES = {
    "nothing plugged": a_rig(source=(a_source("kick"),), splitter=(), loom=(), ears=()),
    "no splitter": a_rig(
        splitter=(), source=tuple(replace(source, splitter="", way=None) for source in a_rig().source)
    ),
    "two splitters": a_rig(
        splitter=(
            *a_rig().splitter,
            Splitter(key="t", name="A splitter with quite a long name", ways=4, outputs=(SplitterOutput("B"),)),
        ),
        source=(*a_rig().source, a_source("sax", splitter="t", way=1)),
    ),
    "full": a_rig(
        source=tuple(
            a_source(f"k{number}", label="W" * 40, splitter="s", way=number, mixer_input=number)
            for number in range(1, 129)
        )
    ),
    "example": example_rig(),
}


@pytest.mark.parametrize("rig", SHAPES.values(), ids=SHAPES)
def test_nothing_is_drawn_outside_or_over_another(rig: Rig) -> None:
    """Everything lies within the drawing's edges, no two boxes overlap, every wire is level or upright and every dot
    lies on one.
    """
    drawn = picture_of(rig)
    for one in drawn.boxes:
        assert 0 <= one.x <= one.x + one.width <= drawn.width
        assert 0 <= one.y <= one.y + one.height <= drawn.height
    for one in drawn.boxes:
        for other in drawn.boxes:
            apart = (
                one.x + one.width <= other.x
                or other.x + other.width <= one.x
                or one.y + one.height <= other.y
                or other.y + other.height <= one.y
            )
            assert one is other or apart
    for wire in drawn.wires:
        assert wire.x1 == wire.x2 or wire.y1 == wire.y2
        assert max(wire.x1, wire.x2) <= drawn.width
        assert max(wire.y1, wire.y2) <= drawn.height
    for x, y in drawn.dots:
        assert any(
            wire.x1 == wire.x2 == x and min(wire.y1, wire.y2) <= y <= max(wire.y1, wire.y2) for wire in drawn.wires
        )
    assert picture_of(replace(rig, source=())) is None


@pytest.mark.browser
def test_the_drawing_fits_its_words_and_scrolls_in_its_box(open_page: Open, store: Store, band: ABand) -> None:
    """On a phone the page stays still and the drawing scrolls, reachable by keyboard; every text in it stays within its
    box and its edges.
    """
    with store.writing() as db:
        stored = a_stored_rig(db, band, example_rig())
    page = in_a_browser(open_page, band)
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"/rigs/{stored.id}")
    page.get_by_text("drawn and in words").click()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert page.locator(".wiring").evaluate("box => box.scrollWidth > box.clientWidth && box.tabIndex === 0")
    over = page.evaluate("""() => {
          const boxes = [...document.querySelectorAll(".wiring rect")].map((one) => one.getBBox());
          const width = document.querySelector(".wiring svg").width.baseVal.value;
          return [...document.querySelectorAll(".wiring text")].filter((text) => {
            const t = text.getBBox(), middle = t.y + t.height / 2;
            const across = (b) => b.x <= t.x && t.x <= b.x + b.width;
            const inside = boxes.find((b) => across(b) && b.y <= middle && middle <= b.y + b.height);
            return t.x + t.width > (inside ? inside.x + inside.width : width);
          }).map((text) => text.textContent);
        }""")
    assert over == []
