"""Long pages on a phone: a plan of 24 rows is read in two screens, fields say what they are, drawings say that they go
on.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

import pypdfium2
import pytest
from playwright.sync_api import Browser as Chromium
from playwright.sync_api import Page

from portal.plan.input.rig import Rig
from portal.store import rigs
from portal.store.accounts import sessions
from portal.store.database.session import Store
from portal.web.frame import deps
from portal.web.frame.access import USER_LONGEST, new_token, token_hash
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_rig, a_stored_rig
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare
from tests.web.rig_forms import fill
from tests.web.test_rig_typing import LABELS, player_of

pytestmark = pytest.mark.browser

PHONE = {"width": 360, "height": 740}
PLAN_HIGH = 1600
LANGUAGES_HIGH = 90
DARK = [0] * 128 + [255] * 128
"""One bit of each grey."""
SIGN_OFF_HIGH = 3000


@pytest.fixture
def six_piece(signed_in: Browser, store: Store, band: ABand) -> rigs.BandRig:
    """The rig of 24 rows, as a newcomer types it: labels, players, one splitter, one loom, six mixes."""
    with store.writing() as db:
        rig = a_stored_rig(db, band, Rig(name="Six-piece"))
    typed = {f"row{number}__label": label for number, label in enumerate(LABELS, start=1)}
    typed |= {f"row{number}__was": "" for number in range(1, 25)}
    typed |= {f"row{number}__player": player_of(number) for number in range(1, 25)}
    typed |= {"splitter1__name": "Rack", "splitter1__ways": "24", "inputs": "32"}
    typed |= {"loom1__name": "Main", "loom1__ways": "24", "loom1__length_m": "15"}
    assert fill(signed_in, f"/rigs/{rig.id}", **typed).status_code == 303
    return rig


@pytest.fixture
def planned(
    portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser], six_piece: rigs.BandRig
) -> Planned:
    with portal.store.reading() as db:
        typed = rigs.newest(db, six_piece.id).read()
    splitter = replace(typed.splitter[0], outputs=a_rig().splitter[0].outputs)
    sources = tuple(replace(one, lead=one.label == "Voice Ada") for one in typed.source)
    rig = replace(typed, splitter=(splitter,), source=sources)
    return prepare(portal, band, signed_in, enter, rig)


@pytest.fixture
def phone(chromium: Chromium, address: str, planned: Planned, store: Store) -> Iterator[Page]:
    """A phone of somebody who is in for both sides."""
    user, link = new_token(), new_token()
    with store.writing() as db:
        sessions.start_for_user(db, token_hash(user), planned.owner.user_id, now=NOW, expires=NOW + USER_LONGEST)
        sessions.start_for_link(
            db, token_hash(link), planned.link.id, only_view=False, now=NOW, expires=planned.link.expires
        )
    context = chromium.new_context(base_url=address, viewport=PHONE)
    home = address.replace("http:", "https:")
    names = {deps.cookie_name(planned.portal.settings): user}
    names |= {deps.cookie_name(planned.portal.settings, planned.gig.id): link}
    context.add_cookies([{"name": name, "value": value, "url": home} for name, value in names.items()])
    yield context.new_page()
    context.close()


def height(page: Page, path: str) -> int:
    page.goto(path)
    page.locator(".cables tbody").first.wait_for()
    # A pair that is sent as mono is one row.
    assert page.locator(".cables tbody tr:not(.head)").count() >= len(LABELS) - 1
    # Languages and lengths stand after everything that a page is opened for: three short rows, held for themselves.
    languages = page.evaluate(
        "[...document.querySelectorAll('.languages')].reduce((sum, one) => sum + one.offsetHeight, 0)"
    )
    assert languages <= LANGUAGES_HIGH
    return page.evaluate("document.documentElement.scrollHeight") - languages


@pytest.mark.parametrize("free", [24, 20, 12])
def test_a_plan_of_24_rows_is_short_on_a_phone(phone: Page, planned: Planned, free: int) -> None:
    """For the band and for the house: the plan is at most 1,600 px high at 360, with what is to confirm, what helps
    and what is open above the rows too, and what is signed 3,000.
    """
    planned.answer(inputs_free=free)
    # What is open has been looked at, as it is a moment after each plan.
    planned.house.look(f"{planned.house_base}/plan")
    high = {}
    for base in (planned.gigs_base, planned.house_base):
        high |= {f"{base[:6]} {page}": height(phone, f"{base}/{page}") for page in ("plan", "sign-off")}
    print(f"\nof {free} inputs at 360 px: {high}")  # noqa: T201 - shown with -s
    assert all(px <= (PLAN_HIGH if name.endswith("plan") else SIGN_OFF_HIGH) for name, px in high.items()), high


def test_the_legend_on_a_phone_says_what_has_no_head_there(phone: Page, planned: Planned) -> None:
    """Above the rows, since a phone draws no heads: the oval, the square and the big number too."""
    planned.answer(inputs_free=20)
    phone.goto(f"{planned.house_base}/plan")
    legend = phone.locator(".legend")
    said = [one.inner_text().replace("\n", " ") for one in legend.locator("> span").all() if one.is_visible()]
    assert {"n loom way", "n box input", "n desk channel"} <= set(said)
    below = phone.locator(".cables").bounding_box()
    here = legend.bounding_box()
    assert here is not None
    assert below is not None
    assert here["y"] + here["height"] <= below["y"]


@pytest.mark.parametrize("mix", ["as-much-split-as-fits", "left-right-mix", "mix-on-your-mixer"])
def test_no_document_goes_on_sideways_on_a_phone(phone: Page, planned: Planned, mix: str) -> None:
    """What is printed is read on a phone too: nothing stands beside the screen, and a cell whose column is folded
    bears its head.
    """
    planned.answer(inputs_free=20, what_they_want=mix)
    wide = {}
    for document in ("patch-sheet", "input-list", "pack-list", "stage-plot"):
        phone.goto(f"{planned.house_base}/papers/{document}")
        wide[document] = phone.evaluate("document.querySelector('main').scrollWidth")
        bare = phone.evaluate("""() => [...document.querySelectorAll(".cards tbody tr:not(.under) > *")]
            .filter((one) => one.checkVisibility() && !one.dataset.head).map((one) => one.textContent)""")
        assert bare == []
    assert {document: px for document, px in wide.items() if px > PHONE["width"]} == {}


def test_each_field_of_a_row_has_its_head_on_a_phone(phone: Page, six_piece: rigs.BandRig) -> None:
    """Way, input and all other fields bear their short head before them, and what is typed is shown whole."""
    phone.goto(f"/rigs/{six_piece.id}")
    phone.check("#all-columns")
    heads = phone.evaluate("""() => [...document.querySelectorAll("#row1-here td")].map((cell) => {
        const head = getComputedStyle(cell, "::before").content.replaceAll('"', "");
        return head === "none" ? cell.querySelector("[id]").id : head;
    })""")
    assert heads == [
        "row1-label",
        *("What", "Player", "Position", "Way", "Input", "Picked up by", "48 V", "Stand", "Note"),
    ]
    phone.uncheck("#all-columns")
    cut = phone.evaluate("""() => [...document.querySelectorAll(".typed input[id]")]
        .filter((one) => one.checkVisibility() && one.scrollWidth > one.clientWidth).map((one) => one.value)""")
    assert cut == []


def test_text_twice_as_large_stays_on_the_phone(phone: Page, planned: Planned, six_piece: rigs.BandRig) -> None:
    """At 200 % a phone of 360 has 180 pixels, a laptop of 1,280 has 640: no page of the way goes on sideways."""
    planned.answer(inputs_free=20)
    paths = ["/", f"/rigs/{six_piece.id}", f"{planned.house_base}/questions/inputs"]
    paths += [
        f"{planned.gigs_base}{page}" for page in ("", "/plan", "/sign-off", "/day", "/line-up", "/plan/1/lines/1")
    ]
    wide = {}
    for path in paths:
        phone.goto(path)
        assert phone.locator("h1").count() == 1
        for width in (180, 640):
            phone.set_viewport_size({"width": width, "height": 400})
            found = phone.evaluate("document.documentElement.scrollWidth")
            wide |= {f"{path} at {width}": found} if found > width else {}
    assert wide == {}


def test_a_print_without_grounds_keeps_every_shape(phone: Page, planned: Planned) -> None:
    """A printer that leaves grounds away, as browsers do unless asked, prints the plan's flags, dots and ends as black
    as one that does not.
    """
    planned.answer(inputs_free=20)
    phone.goto(f"{planned.gigs_base}/plan")
    assert phone.locator(".flag").count()
    inked = [black(phone.pdf(print_background=grounds)) for grounds in (False, True)]
    assert inked[0] == inked[1]


@pytest.mark.parametrize("dark", [False, True])
def test_pages_are_printed_black_on_white_with_what_they_hold(
    phone: Page, planned: Planned, six_piece: rigs.BandRig, *, dark: bool
) -> None:
    """Rig, day and plan, printed by the browser's own command: the rows are there, the paper is white to its
    edge, and nothing to press is on it.
    """
    planned.answer(inputs_free=20)
    phone.emulate_media(color_scheme="dark" if dark else "light")
    for path, pressed in (
        (f"/rigs/{six_piece.id}", "Save rig"),
        (f"{planned.gigs_base}/day", "Problem, gain"),
        (f"{planned.gigs_base}/plan", "Add the comment"),
    ):
        phone.goto(path)
        with pypdfium2.PdfDocument(phone.pdf(format="A4", print_background=True)) as opened:
            words = "".join(page.get_textpage().get_text_bounded() for page in opened)
            first = opened[0].render(scale=1, grayscale=True).to_pil()
        assert "Voice Ada" in words, path
        assert pressed not in words, path
        assert first.getpixel((1, 1)) == 255, path


def black(pdf: bytes) -> list[int]:
    """How many dots of each page are black in one bit."""
    with pypdfium2.PdfDocument(pdf) as opened:
        return [page.render(scale=2, grayscale=True).to_pil().point(DARK).histogram()[0] for page in opened]


BROKEN = """() => {
  const words = (text) => [...text.data.matchAll(/[^\\s]+/g)].map(({ 0: word, index }) => [word, index]);
  const broken = (text) => words(text).some(([word, at]) => {
    const range = document.createRange();
    range.setStart(text, at);
    range.setEnd(text, at + word.length);
    return range.getClientRects().length > 1 && !/[-–,/]/.test(word.slice(0, -1));
  });
  return [...document.querySelectorAll("th, td")].filter((cell) => cell.checkVisibility() && (
    cell.scrollWidth > cell.clientWidth + 2 ||
    [...cell.childNodes].some((one) => one.nodeType === Node.TEXT_NODE && broken(one))
  )).map((cell) => cell.textContent.trim());
}"""
"""Cells whose words run into the next one, or break."""


@pytest.mark.parametrize("document", ["patch-sheet", "input-list", "pack-list", "stage-plot"])
def test_a_sheet_on_a_phone_keeps_its_words_apart(phone: Page, planned: Planned, document: str) -> None:
    """The page that is there to be printed is read on a phone as well: no cell's words run into the next cell or break
    into letters; what is too wide moves sideways.
    """
    planned.answer(inputs_free=20)
    phone.goto(f"{planned.gigs_base}/papers/{document}")
    assert phone.locator("td").count() > 10
    assert phone.evaluate(BROKEN) == []
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


@pytest.mark.parametrize("zoomed", [False, True])
def test_a_drawing_wider_than_the_phone_says_so(phone: Page, planned: Planned, *, zoomed: bool) -> None:
    """The stage fits its frame, or a sentence says that it can be moved sideways."""
    phone.goto(f"{planned.gigs_base}/stage")
    if zoomed:
        phone.set_viewport_size({"width": 640, "height": 400})
    frame = phone.locator(".drawing")
    wider = frame.evaluate("(one) => one.scrollWidth > one.clientWidth")
    assert not wider or phone.get_by_text("Move it sideways").is_visible()
