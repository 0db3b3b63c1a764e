"""Secrets that are planted, used for a whole job, and then searched for in everything that the portal leaves behind."""

import base64
import io
import logging
import re
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
import zxingcpp
from fastapi import APIRouter, FastAPI
from fastapi.testclient import TestClient
from httpx2 import Response

from portal import admin_commands
from portal.log_lines import LogLines
from portal.settings import Settings
from portal.web.frame import middleware
from portal.web.frame.access import read_view_token, token_hash
from portal.web.frame.running import Portal
from tests.builders import NOW, PASSWORD, ABand, a_gig, a_link
from tests.web.conftest import ORIGIN, Browser, Open
from tests.web.planned import Planned, prepare
from tests.web.test_guard import routes_of

WRONG_PASSWORD = "a canary that was mistyped"
NEW_PASSWORD = "a canary that is brand new"


@pytest.fixture
def log_text() -> Iterator[io.StringIO]:
    """Everything that is logged, down to the finest, as a running portal writes it."""
    written = io.StringIO()
    handler = logging.StreamHandler(written)
    handler.setFormatter(LogLines("%(asctime)s %(name)s %(message)s"))
    # The test client logs the addresses that it asks for; a portal does not run inside one.
    handler.addFilter(lambda record: not record.name.startswith("http"))
    root = logging.getLogger()
    before = root.level
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    yield written
    root.removeHandler(handler)
    root.setLevel(before)


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Iterator[Planned]:
    yield prepare(portal, band, signed_in, enter)
    portal.papers.close()


class Job:
    """A whole job, its secrets by name, and every answer but those that show a secret because they are made for
    that.
    """

    def __init__(self, planned: Planned, app: FastAPI, portal: Portal) -> None:
        self.planned = planned
        self.answers: list[Response] = []
        self.guest = Browser(TestClient(app, base_url=ORIGIN, follow_redirects=False))
        for browser in (planned.band, planned.house, self.guest):
            browser.client.event_hooks["response"].append(self.answers.append)
        self.secrets = {
            "password": PASSWORD,
            "wrong password": WRONG_PASSWORD,
            "new password": NEW_PASSWORD,
            "server key": portal.key.hex(),
            "server key, base64": base64.b64encode(portal.key).decode().rstrip("="),
            "account cookie": next(iter(planned.band.client.cookies.values())),
            "house cookie": next(iter(planned.house.client.cookies.values())),
        }

    def shown_once(self, name: str, answer: Response, pattern: str) -> list[str]:
        """The secrets that an answer is made to show."""
        assert answer.status_code == 200
        self.answers.remove(answer)
        found = re.findall(pattern, answer.text)
        assert found
        tokens = [secret.rsplit("/", 1)[-1].removesuffix(".ics") for secret in found]
        self.secrets.update({f"{name} {number}": token for number, token in enumerate(tokens)})
        return found

    def run(self) -> None:
        """Mistype, sign in, hand out, come in, sign, print, break."""
        band, house, guest = self.planned.band, self.planned.house, self.guest
        guest.send("/sign-in", {"email": self.planned.owner.email, "password": WRONG_PASSWORD}, page="/sign-in")
        guest.send("/sign-in", {"email": self.planned.owner.email, "password": PASSWORD}, page="/sign-in")
        self.secrets["second account cookie"] = next(iter(guest.client.cookies.values()))
        address = rf'class="address">{ORIGIN}([^<]+)<'
        page = f"{self.planned.gigs_base}/links"
        made = {"label": "House engineer", "powers": ["answer", "sign"], "until": "2026-12-19"}
        (way_in,) = self.shown_once("link", band.send(page, made, page=page), rf"{ORIGIN}(/in/[\w-]+)")[:1]
        (invited,) = self.shown_once(
            "invitation", band.send("/members/invitations", {"role": "member"}, page="/members"), address
        )
        self.shown_once(
            "recovery code", band.send("/account/codes", page="/account"), r'class="address">([a-z2-7-]{19})<'
        )
        (feed,) = self.shown_once("calendar address", band.send("/account/calendar", page="/account/calendar"), address)
        assert self.guest.get(feed).status_code == 200
        guest.get(feed.replace(".ics", "x.ics"))
        guest.get(f"{way_in}x")
        for secret_page, form in (
            (way_in, {}),
            (invited, {"name": "Cy", "email": "cy@band.example", "password_new": NEW_PASSWORD}),
        ):
            assert guest.send(secret_page, form, page=secret_page).status_code == 303
        assert {self.planned.sign("house").status_code, self.planned.sign("band").status_code} == {303}
        for browser, base in ((band, self.planned.gigs_base), (house, self.planned.house_base)):
            for rest in (
                "",
                "/plan",
                "/sign-off/1",
                "/papers",
                "/papers/1/patch-sheet",
                "/history",
                "/talk",
                "/links",
                "/day",
            ):
                browser.get(base + rest)
        # A new key ends the house's open gigs: it comes last.
        self.keep_a_house()
        for path in ("/", "/account", "/members", "/breaks/" + way_in.rsplit("/", 1)[-1]):
            band.get(path)

    def keep_a_house(self) -> None:
        """Keep the answers under a house key, come in by it on another device, and replace it."""
        house, base = self.planned.house, self.planned.house_base
        kept = {"where": "new", "house": "Kiln Yard Hall", "stage": "big stage", "box-inputs": "32"}
        key = rf'class="address">{ORIGIN}(/house-key/[^<]+)<'
        (opens,) = self.shown_once("house key", house.send(f"{base}/keep", kept, page=f"{base}/keep"), key)
        (home,) = [name.split("at-")[1] for name in house.client.cookies if "at-" in name]
        self.secrets["house key cookie"] = next(value for name, value in house.client.cookies.items() if "at-" in name)
        assert self.guest.send(opens, page=opens).status_code == 303
        self.guest.get(f"{opens}x")
        for path in (f"/houses/{home}", f"/houses/{home}/given.json", f"/houses/{home}/key"):
            assert self.guest.get(path).status_code == 200
        page = f"/houses/{home}/key"
        self.shown_once("second house key", house.send(page, page=page), key)


def is_the_secret_itself(answer: Response) -> bool:
    """True for the page at a secret address, whose form leads to that address."""
    return (
        answer.request.method == "GET"
        and answer.status_code == 200
        and answer.url.path.startswith(middleware.SECRET_PLACES)
    )


def texts_of(answer: Response) -> Iterator[str]:
    """Body and headers, the cookie that hands its own secret over excepted."""
    yield answer.text
    yield from (value for name, value in answer.headers.items() if name.lower() != "set-cookie")


def files_of(backup: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(backup) as opened:
        return {name: opened.read(name) for name in opened.namelist() if name != admin_commands.KEY}


def inside(pdf: bytes) -> bytes:
    """The paper's bytes with everything unpacked."""
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        return (
            pdf
            + b"\n".join(one.read_bytes() for one in opened.objects if isinstance(one, pikepdf.Stream))
            + str(list(opened.objects)).encode()
        )


def codes_of(pdf: bytes) -> list[zxingcpp.Barcode]:
    """The codes printed on the first page."""
    with pypdfium2.PdfDocument(pdf) as opened:
        return zxingcpp.read_barcodes(opened[0].render(scale=3).to_pil())


def hits(secrets: dict[str, str], places: dict[str, bytes]) -> list[str]:
    return [
        f"{name} in {place}"
        for name, secret in secrets.items()
        for place, content in places.items()
        if secret.encode() in content
    ]


@pytest.mark.slow
def test_no_secret_is_left_behind(
    app: FastAPI, portal: Portal, settings: Settings, planned: Planned, log_text: io.StringIO, tmp_path: Path
) -> None:
    """After a whole job no password, token, code or key stands in the log, the database, a backup, an answer or an
    address. On a paper stands the token of its code, which lets people look and nothing else.
    """
    router = APIRouter()

    @router.get("/breaks/{token}")
    def breaks(token: str) -> str:
        raise RuntimeError(str(len(token)))

    app.include_router(router)
    job = Job(planned, app, portal)
    job.run()
    paper = planned.band.get(f"{planned.gigs_base}/papers/1/patch-sheet.pdf")
    assert paper.content.startswith(b"%PDF")
    backup = tmp_path / "backup.zip"
    assert admin_commands.run_backup(settings, backup) == 0
    places = {
        "log": log_text.getvalue().encode(),
        "database": settings.database.read_bytes(),
        "paper": inside(paper.content),
        **{f"backup {name}": content for name, content in files_of(backup).items()},
        **{
            f"answer {number} {one.url.path}": "\n".join(texts_of(one)).encode()
            for number, one in enumerate(job.answers)
            if not is_the_secret_itself(one)
        },
    }
    found = hits(job.secrets, places)
    (declared,) = {code.text.rpartition("/day/")[2] for code in codes_of(paper.content)}
    view = read_view_token(portal.key, declared, NOW)
    print(f"\nsecrets={len(job.secrets)} places={len(places)} canary_hits={len(found)} declared_view_tokens=1")  # noqa: T201 - shown with -s
    assert (view.gig_id, view.link_id in job.secrets.values()) == (planned.gig.id, False)
    assert b"fault " in places["log"]
    assert b"sign-in failed" in places["log"]
    assert found == []
    # The search does see what is there: each secret where it may stand, and the hash of one.
    token = job.secrets["link 0"]
    assert hits({"link": token}, {"page": f"<a href='/in/{token}'>".encode()}) == ["link in page"]
    assert hits({"hash": token_hash(token)}, {"database": places["database"]}) == ["hash in database"]
    assert hits({"words": planned.gig.place}, {"log": places["log"], "database": places["database"]}) == [
        "words in database"
    ]


def test_every_secret_address_is_known_to_the_guard(app: FastAPI) -> None:
    """A route whose address holds a token lies below a place that names only the portal as where somebody came from."""
    secret = {path for path, _ in routes_of(app) if "token" in path}
    assert len(secret) >= 4
    assert [path for path in secret if not path.startswith(middleware.SECRET_PLACES)] == []


@pytest.mark.browser
@pytest.mark.slow
def test_no_secret_travels_on(open_page: Open, portal: Portal, band: ABand, address: str) -> None:
    """Once a browser is in by a link, no address that it asks for, shows or keeps, and no word of where it came from,
    holds the link's token.
    """
    token = "a-canary-in-an-address-000000000000000000000"
    with portal.store.writing() as db:
        a_link(db, a_gig(db, band), band, token_hash=token_hash(token))
    page = open_page("/sign-in")
    asked: list[tuple[str, str, str]] = []
    page.on("request", lambda sent: asked.append((sent.method, sent.url, sent.all_headers().get("referer", ""))))
    page.goto(f"/in/{token}")
    page.get_by_role("button").last.click()
    page.wait_for_url("**/house/**")
    for _ in range(2):
        page.locator("main a").first.click()
        page.wait_for_load_state()
    addresses = [one for one in asked if token in one[1] and not one[1].endswith(f"/in/{token}")]
    came_from = [one for one in asked if token in one[2]]
    print(f"\nrequests={len(asked)} addresses_with_token={len(addresses)} referers_with_token={len(came_from)}")  # noqa: T201 - shown with -s
    assert len(asked) > 4
    assert any(one[2] == f"{address}/" for one in asked)
    assert (addresses, came_from, token in page.url, token in page.content()) == ([], [], False, False)
