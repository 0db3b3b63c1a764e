"""Every page keeps its word: fields and template agree, files are what was fetched, and scripts are optional."""

import base64
import hashlib
import json
import re
from dataclasses import fields
from pathlib import Path

import pytest
from jinja2 import nodes
from starlette.datastructures import FormData

from portal.app import ROUTERS
from portal.web.frame import links
from portal.web.frame.forms import Check, Posted, differences
from portal.web.frame.middleware import CONTENT_SECURITY_POLICY
from portal.web.frame.pages import TEMPLATES, Draft, Fault, Page, environment
from tests.web.conftest import Browser

VENDOR = links.STATIC / "vendor"


def pages(of: type[Page] = Page) -> list[type[Page]]:
    found = []
    for page in of.__subclasses__():
        found += [page, *pages(page)] if hasattr(page, "template") else pages(page)
    return found


def template_files(name: str) -> set[str]:
    """The template and what it includes, the frame of all pages excepted."""
    source = (TEMPLATES / name).read_text("utf-8")
    found = {name}
    for node in environment().parse(source).find_all((nodes.Include, nodes.Extends)):
        if isinstance(node.template, nodes.Const) and node.template.value != "frame/base.html":
            found |= template_files(node.template.value)
    return found


def read_fields(name: str) -> set[str]:
    """Every ``page.<field>`` that a template reads."""
    found = set()
    for file in template_files(name):
        for node in environment().parse((TEMPLATES / file).read_text("utf-8")).find_all(nodes.Getattr):
            if isinstance(node.node, nodes.Name) and node.node.name == "page":
                found.add(node.attr)
    return found


@pytest.mark.parametrize("page", pages(), ids=lambda page: page.__name__)
def test_page_and_template_agree(page: type[Page]) -> None:
    """A template reads what its page declares, and a page declares what its template reads."""
    assert ROUTERS
    declared = {field.name for field in fields(page)}
    derived = {name for name in dir(page) if isinstance(getattr(page, name), property)}
    used = read_fields(page.template)
    assert used <= declared | derived, "read but not declared"
    assert declared - used <= {"title"}, "declared but not read"


def test_a_template_that_reads_more_is_found() -> None:
    """The comparison above sees a field that nobody declared."""
    assert "sentence" in read_fields("frame/error.html")
    assert "sentence" not in {field.name for field in fields(Page)}


SOURCES = sorted(file for file in TEMPLATES.rglob("*.html") if file.parent.name != "print")


@pytest.mark.parametrize("file", SOURCES, ids=lambda file: file.name)
def test_a_template_keeps_to_the_rules(file: Path) -> None:
    """No inline script or style, no browser's own checks, no words that help nobody, and every form posts without
    script.
    """
    text = file.read_text("utf-8")
    assert not re.search(r"<script(?![^>]*\ssrc=)|<style|\sstyle=|\son[a-z]+=|javascript:|hx-on|\|\s*safe", text)
    plain = re.sub(r"\{[%#].*?[%#]\}|\{\{.*?\}\}", " ", text, flags=re.DOTALL)
    assert not re.search(r"\srequired[\s>]", plain)
    for form in re.findall(r"<form[^>]*>", text):
        assert "novalidate" in form
        assert 'method="post"' in form or 'method="get"' in form
        assert "action=" in form
    words = re.sub(r"<[^>]*>|aria-\w+", " ", plain).lower()
    assert not re.search(r"\b(please|invalid|illegal|oops|forbidden|submit|preciousness|column)\b", words)


def test_forms_carry_their_hidden_fields() -> None:
    """Each form that changes something carries a one-time key and its version, signing in and out excepted."""
    for file in SOURCES:
        text = file.read_text("utf-8")
        for form in re.findall(r"<form[^>]*post.*?</form>", text, re.DOTALL):
            if re.search(r"path_to\('(show_sign_in|sign_out)'\)", form):
                continue
            # What was typed before and not saved goes with the hidden fields of its own time.
            if file.name == "rig_sheet.html" and 'id="typed-before"' in form:
                continue
            assert "ui.hidden(" in form, file.name


def test_a_page_loads_only_from_here(browser: Browser) -> None:
    """Whatever a page names, it is an address of this portal, and the file is there."""
    text = browser.get("/sign-up").text
    named = re.findall(r'(?:src|href)="([^"]*)"', text)
    assert any(address.startswith("/static/page.js") for address in named)
    for address in named:
        assert address.startswith(("/", "#"))
        if address.startswith("/static/"):
            assert browser.get(address).status_code == 200


def test_the_first_visit_is_light(browser: Browser) -> None:
    """A page with style, script and the two weights of its typeface is at most five requests, beside the sign of the
    tab, and 60 kB; the style alone stays below 20 kB.
    """
    page = browser.get("/sign-up")
    files = re.findall(r'(?:src|href)="(/static/[^"]*)"', page.text)
    assert len(files) <= 3
    packed = [int(browser.get(file, **{"Accept-Encoding": "gzip"}).headers["content-length"]) for file in files]
    style = (links.STATIC / "portal.css").read_text("utf-8")
    weights = {name for name in re.findall(r"fonts/[\w-]+\.woff2", style) if "-ext-" not in name}
    fonts = sum((links.STATIC / name).stat().st_size for name in weights)
    assert style.count("font-display: swap") == style.count("@font-face")
    assert len(files) + len(weights) <= 5
    assert fonts <= 30_000
    assert len(page.content) + sum(packed) + fonts < 60_000
    assert len(style) < 20_000


@pytest.mark.parametrize("folder", [path for path in VENDOR.iterdir() if path.is_dir()], ids=lambda path: path.name)
def test_a_fetched_file_is_what_its_note_says(folder: Path) -> None:
    """Every file of a package from elsewhere has its hash beside it, its licence with it, and nothing more is there."""
    note = json.loads((folder / "VENDOR.json").read_text("utf-8"))
    assert folder.name == f"htmx-{note['version']}"
    assert set(note["files"]) == {path.name for path in folder.iterdir()} - {"VENDOR.json"}
    assert "LICENSE" in note["files"]
    for name, stated in note["files"].items():
        digest = hashlib.sha384((folder / name).read_bytes()).digest()
        assert stated == "sha384-" + base64.b64encode(digest).decode()


def test_htmx_keeps_within_the_policy() -> None:
    """The settings in the page's head are JSON that turns off what the policy would stop or a reader would not want."""
    head = (TEMPLATES / "frame/base.html").read_text("utf-8")
    config = json.loads(re.search(r"name=\"htmx-config\" content='([^']*)'", head).group(1))
    assert config["mode"] == "same-origin"
    assert config["includeIndicatorCSS"] is False
    assert config["history"] is False
    assert config["implicitInheritance"] is False
    assert 0 < config["defaultTimeout"] <= 30_000
    script = (VENDOR / "htmx-4.0.1" / "htmx.min.js").read_text("utf-8")
    for name in config:
        assert re.search(rf"\b{name}\b", script), f"htmx does not know {name}"
    # What people are shown must be swapped in; what they are told of in the live region must not.
    shown = {str(status) for status in (409, 412, 422, 428, 429)}
    assert not shown & {str(status) for status in config["noSwap"]}
    assert "4xx" not in config["noSwap"]
    assert "unsafe" not in CONTENT_SECURITY_POLICY


def contrast(one: str, other: str) -> float:
    """Contrast of two hex colours (WCAG 2.2, relative luminance)."""

    def luminance(colour: str) -> float:
        digits = colour.lstrip("#")
        digits = "".join(digit * 2 for digit in digits) if len(digits) == 3 else digits
        parts = [int(digits[place : place + 2], 16) / 255 for place in (0, 2, 4)]
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.parametrize("scheme", [0, 1], ids=["light", "dark"])
def test_colours_can_be_read(scheme: int) -> None:
    """Text has a contrast of at least 4.5 to 1 on paper and wash, edges of controls 3 to 1, in both schemes (WCAG 2.2,
    1.4.3 and 1.4.11).
    """
    css = (links.STATIC / "portal.css").read_text("utf-8")
    blocks = re.findall(r":root \{(.*?)\}", css, re.DOTALL)
    colours = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{3,6})", blocks[scheme]))
    for ground in ("paper", "wash"):
        for ink in ("ink", "soft", "accent", "turn"):
            assert contrast(colours[ink], colours[ground]) >= 4.5, (ink, ground)
    assert contrast(colours["on-accent"], colours["accent"]) >= 4.5
    assert contrast(colours["on-turn"], colours["turn"]) >= 4.5
    assert contrast(colours["edge"], colours["paper"]) >= 3


def test_contrast_is_measured_as_published() -> None:
    """Black on white is 21 to 1, and #767676 on white is just above 4.5 to 1."""
    assert round(contrast("#000", "#fff"), 2) == 21
    assert 4.5 < contrast("#767676", "#ffffff") < 4.6


def macro(name: str, *arguments: object, **more: object) -> str:
    return str(getattr(environment().globals["ui"], name)(*arguments, **more))


def test_entries_are_text_and_never_markup() -> None:
    """Whatever somebody typed comes back as text, in every component."""
    nasty = '"><img src=x onerror=alert(1)>'
    form = Draft({"a": (nasty,)}, (Fault("a", nasty),))
    shown = [
        macro("field", form, "a", nasty, nasty),
        macro("textarea", form, "a", nasty, nasty),
        macro("select", form, "a", nasty, [(nasty, nasty)], nasty),
        macro("radios", form, "a", nasty, [(nasty, nasty)], nasty),
        macro("error_summary", form.faults),
        macro("summary_list", [(nasty, nasty, "/x")]),
        macro("table", nasty, [nasty, nasty], [(nasty, nasty)]),
        macro("conflict", differences({"a": nasty}, {"a": nasty + "x"}, form)),
        macro("mark", "asks", nasty),
    ]
    for html in shown:
        assert "&lt;img" in html
        assert "<img" not in html


def test_a_radio_group_is_linked_from_the_summary() -> None:
    """The link of a group's fault leads to its first choice, and what was chosen stays chosen."""
    form = Draft({"pa": ("mono",)}, (Fault("pa", "Choose what PA there is."),))
    html = macro("radios", form, "pa", "What PA?", [("stereo", "Stereo"), ("mono", "Mono")])
    assert re.search(r'<input type="radio" name="pa" id="pa" value="stereo">', html)
    assert re.search(r'<input type="radio" name="pa" id="pa-2" value="mono" checked>', html)
    assert 'href="#pa"' in macro("error_summary", form.faults)


def test_every_mark_says_its_word() -> None:
    """A mark is its word first; each has a shape of its own in the style sheet."""
    css = re.sub(
        r"\.mark:is\(([^)]*)\)::before",
        lambda found: ", ".join(f".mark{kind}::before" for kind in found[1].split(", ")),
        (links.STATIC / "portal.css").read_text("utf-8"),
    )
    said = {"blocks": "blocker", "asks": "to confirm", "notes": "note"}
    for kind in ("blocks", "asks", "notes", "assumed", "agreed", "outdated"):
        assert f">{said.get(kind, kind)}<" in macro("mark", kind)
        assert f".mark.{kind}::before" in css


def test_what_two_people_changed_is_shown_side_by_side() -> None:
    """Only the fields that differ are listed, with both entries."""
    yours = Draft.of({"name": "Harbour", "place": "Loft"})
    found = differences({"name": "Name", "place": "Place"}, {"name": "Harbour", "place": "Cellar"}, yours)
    assert [(entry.label, entry.theirs, entry.yours) for entry in found] == [("Place", "Cellar", "Loft")]


def check_of(**values: str) -> Check:
    return Check(Posted(FormData(values)))


@pytest.mark.parametrize(("text", "number"), [("32", 32), (" 3 2 ", 32), ("1,000", 1000), ("-5", -5), ("", None)])
def test_numbers_are_read_with_tolerance(text: str, number: int | None) -> None:
    """Blanks and thousands marks do not make a number wrong."""
    check = check_of(n=text)
    assert check.number("n", "Inputs", lo=-10, hi=2000) == number
    assert check.well


@pytest.mark.parametrize("text", ["32 ch!", "1.5", "2001", "-11", "٣", "1e3"])
def test_other_numbers_are_refused_with_the_limits(text: str) -> None:
    """The sentence names the field and both limits."""
    check = check_of(n=text)
    assert check.number("n", "Inputs", lo=-10, hi=2000) is None
    assert check.draft().fault("n") == "Inputs: enter a whole number from -10 to 2000."


def test_a_date_and_a_choice_are_checked() -> None:
    """A day that does not exist and an option that was not offered are faults of their fields."""
    check = check_of(on="2026-02-30", zone="Mars")
    assert check.date("on", "Enter the date.") is None
    assert check.choice("zone", ("Europe/Berlin",), "Choose a time zone.") == ""
    assert [fault.field for fault in check.draft().faults] == ["on", "zone"]
    assert check.draft().value("zone") == "Mars"


def test_passwords_are_never_drawn_again() -> None:
    """A form comes back with its entries, its passwords excepted."""
    draft = check_of(name="Ada", password="a", password_new="b", form_key="k").draft()
    assert dict(draft.values) == {"name": ("Ada",)}
