"""The portal read in a language of nonsense, in which every marked text has accents and is two fifths longer: what has
none is not marked, and what breaks there would break in a real language.
"""

from __future__ import annotations

import json
import re
from collections import defaultdict
from collections.abc import Iterator
from html import unescape
from html.parser import HTMLParser

import pytest
from babel import Locale
from fastapi import FastAPI
from fastapi.testclient import TestClient
from httpx2 import Response
from playwright.sync_api import Browser as Chromium
from sqlmodel import Session as Database
from sqlmodel import SQLModel, select

from portal.exchange.spreadsheets.source_columns import COLUMNS
from portal.plan import RULES
from portal.plan.options.routing_policy import STEPS
from portal.store.accounts.bands import Band, User
from portal.store.answers import StoredAnswer
from portal.store.comparisons import Comparison
from portal.store.database.session import Store
from portal.store.day.line_checks import LineCheck
from portal.store.discussions import Comment, Proposal
from portal.store.gigs import Gig
from portal.store.house.house_specs import GigSpec
from portal.store.house.houses import House, HouseStage
from portal.store.links import Link
from portal.store.rigs import BandRig, RigRevision
from portal.store.signoffs import Signature, TickedWords
from portal.web.frame import deps
from tests.builders import ABand
from tests.web.conftest import ORIGIN, Browser
from tests.web.crawl import ROUTES, Reach, Reader, crawl, route_of
from tests.web.world import World, make_world
from tests.wording.texts import nonsense_catalogue, only

NAME = "eo"
"""Any language whose dates Babel knows will do."""

NOT_MARKED = {"compare": 6, "rig": 40}
"""Family of pages, both the band's alone -> different texts on them that no catalogue can say yet: what binds in a
cell, which is kept in words, and how rows of a rig contradict each other. No number may grow, and no other family has
any. Which rigs and gigs are opened follows from their random keys, so a number is some more than one run counts.
"""

SILENT = frozenset({"script", "style", "textarea", "code", "option"})
"""Tags without words of the portal; options are time zones and what the band called things."""

CALLED = frozenset({"label", "player", "name", "strip", "note", "submix", "band_end", "house_end", "who"})
"""Keys of a rig below which the band's own words stand."""

TYPED: tuple[tuple[type[SQLModel], tuple[str, ...]], ...] = (
    (Band, ("name",)),
    (BandRig, ("name",)),
    (Comment, ("words", "author")),
    (Gig, ("name", "place", "contact", "time_zone")),
    (GigSpec, ("text", "read")),
    (House, ("name",)),
    (Link, ("label",)),
    (HouseStage, ("name", "spec")),
    (LineCheck, ("note", "gain", "who")),
    (Proposal, ("proposer", "settler")),
    (Signature, ("signer_name", "signer_role", "ticked")),
    (StoredAnswer, ("given",)),
    (TickedWords, ("words",)),
    (User, ("name", "email")),
)
OF_NO_LANGUAGE = frozenset({"csv", "dbu", "json", "letter", "utc"})
"""What is called so everywhere: formats of files and of paper, units."""

PLAIN = re.compile(r"[A-Za-z]{3,}")
NAMES = re.compile(
    r"\b[0-9a-f]{4} [0-9a-f]{4}\b|\b[0-9a-f]{16,}\b|\bportal\.test\b"
    r"|\bmain-[lr]\b|\bMusic [LR]\b|\bMUSIC [LR]\b|\((?:sum|mono)\)"
)
"""Check codes, the portal's address, outputs by the band's keys, and what the plan calls a line that it makes of
others: the same for every reader, on the desk's strip too.
"""
HEADING = re.compile("|".join(f"^{re.escape(column.heading)}: " for column in COLUMNS))
"""A column of a file, as every file has it."""

PHONE = {"width": 360, "height": 740}
OF_THE_HOUSE = (
    "",
    "/questions",
    "/questions/inputs",
    "/questions/next",
    "/spec",
    "/times",
    "/plan",
    "/sign-off",
    "/talk",
    "/papers",
    "/day",
    "/history",
    "/given",
)
READ = frozenset({"aria-label", "title", "placeholder", "alt", "data-head", "data-announce"})


@pytest.fixture(autouse=True)
def nonsense(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """A portal that has a catalogue of nonsense."""
    folder = tmp_path_factory.mktemp("locale")
    nonsense_catalogue(folder, NAME)
    with only(folder):
        yield


@pytest.fixture
def world(store: Store, band: ABand) -> World:
    return make_world(store, band)


class _Seen(HTMLParser):
    """Every text that a page shows or reads aloud."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.texts: set[str] = set()
        self._hidden, self._foreign = 0, ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag != "html" and any(name == "lang" for name, _ in attrs):
            # What a language is called in itself.
            self._foreign = tag
        self._hidden += tag in SILENT or tag == self._foreign
        self.texts |= {value or "" for name, value in attrs if name in READ}

    def handle_endtag(self, tag: str) -> None:
        self._hidden -= tag in SILENT or tag == self._foreign
        self._foreign = "" if tag == self._foreign else self._foreign

    def handle_data(self, data: str) -> None:
        if not self._hidden:
            self.texts.add(" ".join(data.split()))


def own_words(db: Database) -> set[str]:
    """Every word that somebody typed or that names a line, and those of Babel's dates and lists."""
    known = Locale(NAME)
    typed = [text for row in db.exec(select(RigRevision)) for text in _named(json.loads(row.document))]
    typed += [text for row in db.exec(select(Comparison)) for text in _named(json.loads(row.candidates))]
    for table, fields in TYPED:
        typed += [str(getattr(row, name)) for row in db.exec(select(table)) for name in fields]
    typed += [*known.months["format"]["abbreviated"].values(), *known.days["format"]["abbreviated"].values()]
    typed += ["kaj", *known.languages.values()]
    return {word.lower() for text in typed for word in PLAIN.findall(text)} | OF_NO_LANGUAGE


def _named(part: object, key: str = "") -> Iterator[str]:
    """What the band called things in a rig."""
    if isinstance(part, dict):
        for name, value in part.items():
            yield from _named(value, name)
            yield from [name] if key == "configurations" else []
    elif isinstance(part, list):
        for one in part:
            yield from _named(one, key)
    elif isinstance(part, str) and key in CALLED:
        yield part


def plain_texts(html: str, own: set[str]) -> set[str]:
    """Texts of a page with a word that bears no accent where nonsense has one, and that nobody typed."""
    found = set()
    for text in _Seen(html).texts:
        words = PLAIN.findall(NAMES.sub(" ", HEADING.sub("", text)))
        if any(re.search("[aceinouy]", word.lower()) and word.lower() not in own for word in words):
            found.add(re.sub(r"\d+", "#", text))
    return found


def family_of(path: str) -> str:
    """The family of screens that answers an address; empty where none does."""
    route = route_of(path)
    return next((one.endpoint.__module__.split(".")[2] for one in ROUTES if one.path == route), "")


class Nonsense(Reader):
    """Somebody who reads nonsense."""

    def get(self, path: str, **headers: str) -> Response:
        answer = super().get(path, **headers, **{"Accept-Language": NAME})
        if path in self.pages:
            assert answer.headers["content-language"] == NAME
        return answer


@pytest.mark.slow
def test_what_is_not_marked_grows_less(
    app: FastAPI, portal: deps.Portal, store: Store, world: World, signed_in: Browser
) -> None:
    """Each family of pages shows at most so many texts that no catalogue can say."""
    with store.reading() as db:
        own = own_words(db)
    house = TestClient(app, base_url=ORIGIN, follow_redirects=False)
    for gig_id, token in world.house_tokens.items():
        house.cookies.set(deps.cookie_name(portal.settings, gig_id), token, domain="portal.test")
    starts = (
        (Nonsense(signed_in.client), ["/", "/sign-in", f"/in/{world.secret}"]),
        (Nonsense(house), [f"/house/{gig}" for gig in world.house_tokens]),
    )
    found: dict[str, set[str]] = defaultdict(set)
    for reader, addresses in starts:
        crawl("reader", reader, addresses, Reach(1, 2))
        for path, html in reader.pages.items():
            found[family_of(path)] |= plain_texts(html, own)
    counted = {family: len(several) for family, several in sorted(found.items())}
    print(f"\nnot marked: {counted}, {sum(counted.values())} in all")  # noqa: T201 - shown with -s
    more = {family: several for family, several in found.items() if len(several) > NOT_MARKED.get(family, 0)}
    assert more == {}


def test_the_long_answer_of_every_rule_is_marked(browser: Browser) -> None:
    """Each rule and each step of what is given up is said in the reader's language, title and example too."""
    reader = Nonsense(browser.client)
    assert reader.get("/how-the-portal-chooses").status_code == 200
    for key, rule in RULES.items():
        said = unescape(reader.get(f"/why/{key}").text)
        english = [rule.example[1:], *([STEPS[key].how] if key in STEPS else [])]
        assert [text for text in english if text and text in said] == []
    assert {address: left for address, html in reader.pages.items() if (left := plain_texts(html, set()))} == {}


@pytest.mark.browser
@pytest.mark.slow
def test_longer_texts_fit_a_phone(chromium: Chromium, address: str, portal: deps.Portal, world: World) -> None:
    """No page of the house is wider than a phone of 360 pixels where every text is two fifths longer."""
    context = chromium.new_context(base_url=address, viewport=PHONE, locale=NAME)
    home = address.replace("http:", "https:")
    for gig_id, token in world.house_tokens.items():
        name = deps.cookie_name(portal.settings, gig_id)
        context.add_cookies([{"name": name, "value": token, "url": home}])
    page = context.new_page()
    wide = []
    for gig_id in list(world.house_tokens)[:3]:
        for rest in OF_THE_HOUSE:
            page.goto(f"/house/{gig_id}{rest}")
            assert page.evaluate("document.documentElement.lang") == NAME
            page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
            width = page.evaluate("document.documentElement.scrollWidth")
            wide += [f"{rest}: {width}"] if width > PHONE["width"] else []
    context.close()
    assert wide == []
