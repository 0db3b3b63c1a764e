"""The pages in a real browser: by keyboard, on a phone, with and without script."""

import pytest
from playwright.sync_api import Page, Route, expect

from tests.builders import PASSWORD, ABand
from tests.web.conftest import Open, sign_in

pytestmark = pytest.mark.browser


def sign_up(page: Page) -> None:
    page.fill("#name", "Ada")
    page.fill("#band", "The Paper Lanterns")
    page.fill("#email", "ada@band.example")
    page.fill("#password", PASSWORD)
    page.click("main button")


@pytest.mark.parametrize("script", [True, False])
def test_sign_up_works_with_and_without_script(open_page: Open, *, script: bool) -> None:
    """The same steps lead to the same page, script or no script."""
    page = open_page("/sign-up", java_script_enabled=script)
    sign_up(page)
    page.get_by_text("There is no gig yet.").wait_for()
    page.get_by_role("link", name="Account").click()
    page.get_by_role("heading", name="Your account").wait_for()
    page.get_by_role("button", name="Sign out").click()
    page.get_by_role("link", name="Make an account").wait_for()


def test_an_empty_form_is_answered_in_our_words(open_page: Open) -> None:
    """The browser's own bubbles are off; the summary gets the focus, and its first link leads to the field."""
    page = open_page("/sign-up")
    page.click("main button")
    expect(page.locator("#faults")).to_be_focused()
    assert page.title().startswith("Error: ")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "name"


def test_a_button_pressed_twice_sends_once(open_page: Open) -> None:
    """The second press of a double click finds the button already resting."""
    page = open_page("/sign-up")
    sent = []
    page.on("request", lambda request: sent.append(request.url) if request.method == "POST" else None)
    page.fill("#name", "Ada")
    page.dblclick("main button")
    page.wait_for_selector("#faults")
    assert len(sent) == 1


def swap_form(page: Page) -> None:
    """Turn the name form of the account page into one that only replaces the main part."""
    page.evaluate("""() => {
          const form = document.querySelector("main form");
          for (const [name, value] of Object.entries({post: form.action, target: "#main", select: "#main",
          swap: "outerHTML"}))
            form.setAttribute("data-hx-" + name, value);
          htmx.process(form);
        }""")


def signed_in(open_page: Open, band: ABand) -> Page:
    page = open_page("/sign-in?then=/account")
    sign_in(page, band)
    page.get_by_role("heading", name="Your account").wait_for()
    return page


def test_a_refused_form_is_swapped_in(open_page: Open, band: ABand) -> None:
    """An answer of 422 to a request by script is shown, its summary has the focus, and the title says that there is an
    error.
    """
    page = signed_in(open_page, band)
    swap_form(page)
    page.fill("#name", "")
    page.get_by_role("button", name="Save name").click()
    expect(page.locator("#faults")).to_be_focused()
    assert page.title().startswith("Error: ")


@pytest.mark.parametrize("status", [0, 401, *(pytest.param(status, marks=pytest.mark.soak) for status in (500, 503))])
def test_what_was_not_saved_is_said(open_page: Open, band: ABand, status: int) -> None:
    """A cut line (0), a fault of the server and a lost session are announced in the one live region; the form stays as
    it is.
    """
    page = signed_in(open_page, band)
    swap_form(page)

    def answer(route: Route) -> None:
        if status:
            route.fulfill(status=status, content_type="text/html", body="<main id=main>lost</main>")
        else:
            route.abort()

    page.route("**/account/name", answer)
    page.fill("#name", "Typed with care")
    page.get_by_role("button", name="Save name").click()
    expect(page.locator("#live")).to_contain_text("Not saved.")
    assert page.input_value("#name") == "Typed with care"
