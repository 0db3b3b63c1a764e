"""The stage of a gig: by fields, by hand and by keyboard; and the paper of it."""

import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from playwright.sync_api import Page, expect

from portal.store.accounts import sessions
from portal.store.database.session import Store
from portal.store.day import stages
from portal.web.frame.access import USER_LONGEST, new_token, token_hash
from portal.web.frame.deps import cookie_name
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_rig
from tests.documents.reading import pages
from tests.web.conftest import Browser, Open
from tests.web.planned import Planned, prepare, words_of


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    rig = a_rig()
    sources = tuple(replace(source, player="Ada" if source.key == "lead" else "Bo") for source in rig.source)
    return prepare(
        portal, band, signed_in, enter, replace(rig, source=sources, loom=(replace(rig.loom[0], length_m=10.0),))
    )


def stage_of(planned: Planned) -> stages.GigStage | None:
    with planned.portal.store.reading() as db:
        return stages.get(db, planned.gig.id)


def save(planned: Planned, **fields: str) -> object:
    page = f"{planned.gigs_base}/stage"
    names = {"person-1-name": "Ada", "person-2-name": "Bo"}
    return planned.band.send(
        page, {**names, **{name.replace("_", "-"): value for name, value in fields.items()}}, page=page
    )


def test_a_stage_that_nobody_drew_is_marked_as_assumed(planned: Planned) -> None:
    """The page shows the usual stage, says what of it is assumed, and stores nothing by being looked at."""
    page = words_of(planned.band.get(f"{planned.gigs_base}/stage").text)
    assert "8 m wide, 6 m deep, assumed" in page
    assert "the box's place" in page
    assert stage_of(planned) is None


def test_fields_place_things(planned: Planned) -> None:
    """Metres with a point or a comma, left below zero; both the page and the paper show them, and nothing else of the
    gig changes.
    """
    before = planned.newest().content_hash
    answer = save(
        planned,
        width="10",
        depth="7,5",
        box_right="-5",
        box_front="2",
        rack_right="-4",
        rack_front="2.5",
        person_1_right="0",
        person_1_front="1",
    )
    assert (answer.status_code, answer.headers["location"]) == (303, f"{planned.gigs_base}/stage?saved=yes")
    drawn = stage_of(planned).read()
    assert (drawn.width_m, drawn.depth_m, drawn.box, drawn.people) == (10.0, 7.5, (-5.0, 2.0), (("Ada", (0.0, 1.0)),))
    page = words_of(planned.band.get(f"{planned.gigs_base}/stage").text)
    assert "Now 5 m left, 2 m from the front." in page
    assert "10 m wide, 7.5 m deep" in page
    paper = planned.house.get(f"{planned.house_base}/papers/1/stage-plot").text
    assert "10 m wide, 7.5 m deep" in paper
    assert planned.newest().content_hash == before


def test_a_loom_that_does_not_reach_is_said(planned: Planned) -> None:
    """Page, gig and paper say which loom is too short and by how much, with what its length is made of."""
    save(planned, width="10", depth="6", box_right="5", box_front="1", rack_right="-5", rack_front="1", up_and_down="1")
    # 5 back, 10 across, 5 forward; 1 up and down; a tenth of 21 is 2.1: 23.1 m against 10.
    for text in (
        planned.band.get(f"{planned.gigs_base}/stage").text,
        planned.house.get(f"{planned.house_base}/papers/1/stage-plot").text,
    ):
        assert "too short by 13.1 m" in words_of(text).lower()
        assert "23.1" in text
    assert "too short by 13.1 m" in words_of(planned.band.get(planned.gigs_base).text)


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"width": "0"}, "Width: enter metres from 1 to 60"),
        ({"depth": "wide"}, "Depth: enter metres from 1 to 60"),
        ({"width": "1e1"}, "Width: enter metres"),
        ({"width": "nan"}, "Width: enter metres"),
        ({"box_right": "1"}, "Stage box: enter both numbers"),
        ({"rack_right": "1", "rack_front": "-1"}, "Rack, metres from the front: enter metres from 0 to 60"),
        (
            {"person_1_right": "99", "person_1_front": "1"},
            "Ada, metres right of the middle: enter metres from -31 to 31",
        ),
    ],
)
def test_what_is_no_place_is_said_at_its_field(planned: Planned, fields: dict[str, str], sentence: str) -> None:
    """A faulty field keeps its entry and is named; nothing is saved."""
    answer = save(planned, **fields)
    assert answer.status_code == 422
    assert sentence in words_of(answer.text)
    assert stage_of(planned) is None


def test_two_people_who_draw_at_once(planned: Planned) -> None:
    """The second one sees both entries side by side, at the first drawing and at any later one; nothing is lost
    silently.
    """
    for version, width in ((0, "9"), (1, "11")):
        hidden = planned.band.hidden(f"{planned.gigs_base}/stage")
        assert hidden["form_version"] == str(version)
        save(planned, width=width)
        answer = planned.band.send(f"{planned.gigs_base}/stage", {**hidden, "width": "12"})
        assert answer.status_code == 409
        assert "Somebody else saved this meanwhile" in answer.text
        assert stage_of(planned).read().width_m == float(width)


def test_the_house_looks_and_does_not_draw(planned: Planned) -> None:
    """Below the house's address there is the drawing and no form."""
    page = planned.house.get(f"{planned.house_base}/stage").text
    assert "<svg" in page
    assert "<form" not in page


def test_the_paper_is_one_page_with_every_person(planned: Planned) -> None:
    """The PDF holds the players, their lines, what each hears by, and the performer's sides."""
    found = pages(planned.house.get(f"{planned.house_base}/papers/1/stage-plot.pdf").content)
    assert len(found) == 1
    for words in ("Ada", "Bo", "lines1–3", "Stageright", "(performer's)", "Audience", "in-ears,radio", "Needed"):
        assert words in found[0].replace(" ", "").replace("\n", ""), words


# --- in the browser


@pytest.fixture
def open_stage(open_page: Open, planned: Planned, store: Store, portal: Portal) -> Callable[..., Page]:
    def open_it(**options: object) -> Page:
        token = new_token()
        with store.writing() as db:
            sessions.start_for_user(db, token_hash(token), planned.owner.user_id, now=NOW, expires=NOW + USER_LONGEST)
        page = open_page("/check", **options)
        page.context.add_cookies(
            [
                {
                    "name": cookie_name(portal.settings),
                    "value": token,
                    "url": page.url.replace("http:", "https:"),
                    "secure": True,
                }
            ]
        )
        page.goto(f"{planned.gigs_base}/stage")
        return page

    return open_it


@pytest.mark.browser
def test_a_thing_follows_the_hand(open_stage: Callable[..., Page], planned: Planned) -> None:
    """Dragging a player to the middle of the stage fills the fields with its metres, and saving keeps them."""
    page = open_stage()
    thing = page.get_by_role("button", name="Ada")
    stage = page.locator(".plot > rect").bounding_box()
    at = thing.locator("circle").first.bounding_box()
    page.mouse.move(at["x"] + at["width"] / 2, at["y"] + at["height"] / 2)
    page.mouse.down()
    page.mouse.move(stage["x"] + stage["width"] / 2, stage["y"] + stage["height"] / 2, steps=8)
    page.mouse.up()
    page.mouse.move(5, 5)
    expect(page.locator("#moved")).to_have_text("Ways and lengths follow when the stage is saved.")
    assert abs(float(page.input_value("#person-1-right"))) <= 0.1
    assert abs(float(page.input_value("#person-1-front")) - 3) <= 0.1
    shown = [float(page.input_value(f"#person-1-{side}")) for side in ("right", "front")]
    page.get_by_role("button", name="Save the stage").click()
    expect(page.get_by_text("The stage is saved.").first).to_be_visible()
    assert dict(stage_of(planned).read().people) == {"Ada": tuple(shown)}


@pytest.mark.browser
def test_a_thing_follows_a_finger(open_stage: Callable[..., Page], planned: Planned) -> None:
    """On a phone a finger moves a player, and neither the page nor the drawing scrolls meanwhile."""
    page = open_stage(has_touch=True, is_mobile=True, viewport={"width": 390, "height": 780})
    thing = page.get_by_role("button", name="Ada")
    thing.scroll_into_view_if_needed()
    at = thing.locator("circle").first.bounding_box()
    x, y = at["x"] + at["width"] / 2, at["y"] + at["height"] / 2
    before = page.evaluate("[scrollX, scrollY, document.querySelector('.drawing').scrollLeft]")
    touch = page.context.new_cdp_session(page)

    def finger(kind: str, *points: tuple[float, float]) -> None:
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y} for x, y in points]})

    finger("touchStart", (x, y))
    for step in range(1, 6):
        finger("touchMove", (x + 6 * step, y - 8 * step))
    finger("touchEnd")
    expect(page.locator("#moved")).to_have_text("Ways and lengths follow when the stage is saved.")
    assert page.evaluate("[scrollX, scrollY, document.querySelector('.drawing').scrollLeft]") == before
    right, front = (float(page.input_value(f"#person-1-{side}")) for side in ("right", "front"))
    now = thing.locator("circle").first.bounding_box()
    assert (round(now["x"] - at["x"]), round(now["y"] - at["y"])) == pytest.approx((30, -40), abs=5)
    page.get_by_role("button", name="Save the stage").click()
    expect(page.get_by_text("The stage is saved.").first).to_be_visible()
    assert dict(stage_of(planned).read().people) == {"Ada": (right, front)}


@pytest.mark.browser
def test_a_thing_follows_the_arrows(open_stage: Callable[..., Page]) -> None:
    """By keyboard alone: tab to the stage box, arrows by a tenth of a metre and by half a metre with shift, and its
    name says where it is. The box stops one metre beside the stage, and at the front edge.
    """
    page = open_stage()
    box = page.get_by_role("button", name="Stage box")
    for _ in range(12):
        page.keyboard.press("Tab")
        if box.evaluate("(one) => one === document.activeElement"):
            break
    expect(box).to_be_focused()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowDown")
    assert (page.input_value("#box-right"), page.input_value("#box-front")) == ("4.1", "2.5")
    expect(box).to_have_attribute("aria-label", "Stage box: 4.1 metres right, 2.5 metres from the front")
    for _ in range(12):
        page.keyboard.press("Shift+ArrowLeft")
        page.keyboard.press("Shift+ArrowDown")
    assert (page.input_value("#box-right"), page.input_value("#box-front")) == ("5", "0")


@pytest.mark.browser
def test_the_drawing_follows_the_fields(open_stage: Callable[..., Page]) -> None:
    """What is typed moves the thing in the drawing at once."""
    page = open_stage()
    page.fill("#rack-right", "-2,5")
    page.fill("#rack-front", "1")
    expect(page.get_by_role("button", name="Rack with")).to_have_attribute(
        "aria-label", "Rack with the splitter: 2.5 metres left, 1 metres from the front"
    )


@pytest.mark.browser
def test_the_drawing_is_moved_in_feet(open_stage: Callable[..., Page], planned: Planned) -> None:
    """Whoever reads feet types them, and the fields and words of what is moved are in feet; metres are understood."""
    page = open_stage()
    page.goto(page.url + "?lengths=ft")
    rack = page.get_by_role("button", name="Rack with")
    page.fill("#rack-right", "-8.2")
    page.fill("#rack-front", "1 m")
    expect(rack).to_have_attribute("aria-label", "Rack with the splitter: 8.2 feet left, 3.3 feet from the front")
    rack.focus()
    page.keyboard.press("ArrowUp")
    assert (page.input_value("#rack-right"), page.input_value("#rack-front")) == ("-8.2 ft", "3.6 ft")
    page.get_by_role("button", name="Save the stage").click()
    expect(page.get_by_text("The stage is saved.").first).to_be_visible()
    assert stage_of(planned).read().rack == (-2.5, 1.1)


@pytest.mark.browser
def test_the_stage_is_drawn_without_script(open_stage: Callable[..., Page], planned: Planned) -> None:
    """Fields and one button are enough."""
    page = open_stage(java_script_enabled=False)
    page.fill("#width", "7")
    page.fill("#person-2-right", "-1")
    page.fill("#person-2-front", "4")
    page.get_by_role("button", name="Save the stage").click()
    assert page.url.endswith("?saved=yes")
    drawn = stage_of(planned).read()
    assert (drawn.width_m, drawn.people) == (7.0, (("Bo", (-1.0, 4.0)),))


@pytest.mark.browser
def test_the_stage_can_be_read_on_a_phone(open_stage: Callable[..., Page], planned: Planned) -> None:
    """At 320 pixels the drawing scrolls in its frame, with letters of at least 16 pixels."""
    page = open_stage(viewport={"width": 320, "height": 640})
    for path in (f"{planned.gigs_base}/stage", planned.gigs_base):
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        size = page.evaluate(
            "(() => { const s = document.querySelector('.plot'); return s.getAttribute('font-size') *"
            " s.getScreenCTM().a; })()"
        )
        assert size >= 16


def test_names_are_text_and_never_markup(planned: Planned) -> None:
    """A player with a hostile name is drawn as text."""
    rig = a_rig()
    nasty = '"><script>x</script>'
    planned.take_rig(replace(rig, source=tuple(replace(source, player=nasty) for source in rig.source)))
    for path in ("stage", "papers/2/stage-plot"):
        page = planned.band.get(f"{planned.gigs_base}/{path}").text
        assert not re.search(r"<script>x", page)
        assert "&lt;script&gt;" in page
