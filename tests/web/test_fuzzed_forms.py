"""Whatever a form sends, the portal answers with a page of its own: no fault of the program, on any route."""

import re
import secrets
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import timedelta
from html.parser import HTMLParser
from urllib.parse import quote_plus

import pytest
from fastapi import APIRouter, FastAPI
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from portal.plan.input.questions import TOPICS
from portal.store.accounts import bands, sessions
from portal.store.house import houses
from portal.web.frame import deps
from portal.web.frame.access import USER_LONGEST, hash_password, new_token, token_hash
from portal.web.frame.deps import Sent
from portal.web.frame.rate_limiter import RateLimiter
from portal.web.frame.running import Portal
from portal.web.house import house_access
from tests.builders import NOW, PASSWORD
from tests.web.access_rules import rule_of
from tests.web.conftest import ORIGIN
from tests.web.test_access import World
from tests.web.test_guard import routes_of

# A torn body ends in the middle of a file, which starlette then leaves to the next collection to close.
pytestmark = pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")

ACTORS = ("owner", "link: answer", "link: sign", "nobody")
"""Who sends a form: the first of them who may."""

RIG_TOPICS = ("mixer", "sources", "splitters", "looms", "ears", "bits", "mix", "configurations", "no-such-topic")


# --- what forms there are


@dataclass(frozen=True)
class Form:
    """One form as a page shows it: where it goes, and its fields as (name, value, whether it is a file)."""

    route: str
    path: str
    actor: str
    page: str = ""
    fields: tuple[tuple[str, str, bool], ...] = ()


class _Forms(HTMLParser):
    """The forms of a page by their address, with every field, chosen or not."""

    def __init__(self, html: str, page: str) -> None:
        super().__init__()
        self.found: dict[str, list[tuple[str, str, bool]]] = {}
        self._page, self._at, self._text = page, "", ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self._at = (given.get("action") or self._page).partition("?")[0]
            self.found.setdefault(self._at, [])
        name = given.get("name", "")
        if name and self._at and tag in {"input", "textarea", "select", "button"}:
            self.found[self._at].append((name, given.get("value", PASSWORD), given.get("type") == "file"))

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._at = ""


class Sender:
    """Everybody who sends forms, under sessions that hold as long as the form does not end them."""

    def __init__(self, world: World, app: FastAPI) -> None:
        self.world, self.app = world, app
        self.posts = sorted(path for path, method in routes_of(app) if method == "POST")
        # A form's page lies above the address to which it goes.
        self.pages = [
            path
            for path, method in routes_of(app)
            if method == "GET" and any(post.startswith(path) for post in self.posts)
        ]
        self._cookies = {actor: self._session(actor) for actor in ACTORS}

    def _session(self, actor: str) -> str:
        visitor, portal, token = self.world.visitors[actor], self.world.portal, new_token()
        with portal.store.writing() as db:
            if visitor.user_id:
                sessions.start_for_user(db, token_hash(token), visitor.user_id, now=NOW, expires=NOW + USER_LONGEST)
                return f"{deps.cookie_name(portal.settings)}={token}"
            if visitor.link:
                sessions.start_for_link(
                    db, token_hash(token), visitor.link.id, only_view=False, now=NOW, expires=visitor.link.expires
                )
                return f"{deps.cookie_name(portal.settings, visitor.link.gig_id)}={token}"
            if visitor.house and (house := houses.by_id(db, visitor.house.id)):
                value = house_access.cookie_value(portal, house, NOW + timedelta(days=9))
                return f"{house_access.cookie_name(portal, house.id)}={value}"
        return ""

    def look(self, actor: str, path: str) -> str:
        self.world.client.cookies.clear()
        return self.world.client.get(path, headers={"Cookie": self._cookies[actor]}).text

    def send(self, form: Form, body: bytes, content_type: str) -> int:
        headers = {"Cookie": self._cookies[form.actor], "Origin": ORIGIN, "Content-Type": content_type}
        self.world.client.cookies.clear()
        return self.world.client.post(form.path, content=body, headers=headers).status_code

    def again(self, form: Form) -> Form:
        """The form as its page shows it now; a session that the last one ended is begun anew."""
        self._cookies[form.actor] = self._session(form.actor)
        fields = _Forms(self.look(form.actor, form.page), form.page).found.get(form.path) if form.page else None
        return Form(form.route, form.path, form.actor, form.page, tuple(fields)) if fields else form

    def _filled(self, route: str, actor: str, **changed: str) -> str:
        visitor = self.world.visitors[actor]
        params = {
            **self.world.params,
            "document": "patch-sheet",
            "token": visitor.token,
            "view_token": visitor.view_token,
            "house_token": visitor.house_token,
            **changed,
        }
        if "{token}" in route:
            params["token"] = self.world.visitors["link: answer"].token
        return re.sub(r"\{(\w+)\}", lambda found: params[found[1]], route)

    def forms(self, addresses: int) -> list[Form]:
        """For every route that takes a form: its form at so many addresses, as a page shows it where one does."""
        shown: dict[tuple[str, str], tuple[str, tuple[tuple[str, str, bool], ...]]] = {}
        for actor in ACTORS:
            for route in self.pages:
                if actor not in (rule_of("GET", route) or ()):
                    continue
                for page in self._addresses(route, actor):
                    for path, fields in _Forms(self.look(actor, page), page).found.items():
                        shown.setdefault((actor, path), (page, tuple(fields)))
        found = []
        for route in self.posts:
            allowed = rule_of("POST", route) or frozenset()
            actor = next((one for one in ACTORS if one in allowed), "owner")
            for path in list(self._addresses(route, actor))[:addresses]:
                page, fields = shown.get((actor, path), ("", ()))
                found.append(Form(route, path, actor, page, fields))
        return found

    def _addresses(self, route: str, actor: str) -> Iterator[str]:
        topics = {"{topic_key}": [topic.key for topic in TOPICS], "{topic}": RIG_TOPICS}
        for name, keys in topics.items():
            if name in route:
                yield from (self._filled(route, actor, **{name[1:-1]: key}) for key in keys)
                return
        yield self._filled(route, actor)


# --- what is wrong with what they send

ODD = [
    b"",
    b" ",
    b"0",
    b"-1",
    b"1e309",
    b"NaN",
    b"9" * 400,
    b"x" * 20_000,
    b"\x00",
    b"\x1b[2J\x7f",
    b"\xff\xfe\xc3\x28",  # no UTF-8
    b"\xed\xa0\x80",  # half a surrogate pair
    "\u202egnp.exe\u2066".encode(),
    "e\u0301\u0301\U0001d518\ufe0f\u200d".encode(),
    b"a\r\nSet-Cookie: a=b\r\n\r\n",
    b"'; DROP TABLE gig; --",
    b"{{ 7 * 7 }}<script>alert(1)</script>",
    b"../../../../etc/passwd",
    b"2026-02-30",
    b"99999-01-01",
    b"0001-01-01",
    b"25:99",
    b"[]",
    b'{"schema": 1, "source": [{"key": null}]}',
    b"[" * 3000,
    b"schema = 1\n[[source]]\nkey = 1",
    b"PK\x03\x04" + b"\x00" * 60,
]
VALUES = st.one_of(
    st.sampled_from(ODD),
    st.text(max_size=30).map(lambda text: text.encode("utf-8", "surrogatepass")),
    st.binary(max_size=30),
)
CHANGES = ("drop", "replace", "replace", "double", "add", "as a file", "as no file", "shuffle")
WAYS = (
    "form",
    "form",
    "form",
    "parts",
    "parts",
    "nested parts",
    "torn parts",
    "torn form",
    "json",
    "wrong charset",
    "nothing",
    "many",
)

Part = tuple[bytes, bytes, bool]


@st.composite
def bodies(draw: st.DrawFn, fields: tuple[tuple[str, str, bool], ...]) -> tuple[bytes, str]:
    """A form's body and its type: some fields changed, then encoded well or badly."""
    parts: list[Part] = [(name.encode(), value.encode(), is_file) for name, value, is_file in fields]
    for change in draw(st.lists(st.sampled_from(CHANGES), min_size=1, max_size=4)):
        parts = changed(draw, change, parts)
    return encoded(draw, draw(st.sampled_from(WAYS)), parts)


def changed(draw: st.DrawFn, change: str, parts: list[Part]) -> list[Part]:
    if change == "shuffle":
        return draw(st.permutations(parts))
    if change == "add" or not parts:
        return [*parts, (draw(VALUES), draw(VALUES), draw(st.booleans()))]
    # What guards a form is left alone as a rule: behind it lies more.
    free = [place for place, part in enumerate(parts) if not part[0].startswith(b"form_")] or [0]
    place = draw(st.sampled_from(free) if draw(st.integers(0, 9)) else st.integers(0, len(parts) - 1))
    name, value, is_file = parts[place]
    new: list[Part] = {
        "drop": [],
        "replace": [(name, draw(VALUES), is_file)],
        "double": [(name, value, is_file), (name, draw(VALUES), is_file)],
        "as a file": [(name, draw(VALUES), True)],
        "as no file": [(name, draw(VALUES), False)],
    }[change]
    return [*parts[:place], *new, *parts[place + 1 :]]


def encoded(draw: st.DrawFn, way: str, parts: list[Part]) -> tuple[bytes, str]:
    plain = b"&".join(quote_plus(name).encode() + b"=" + quote_plus(value).encode() for name, value, _ in parts)
    form_type = "application/x-www-form-urlencoded"
    mixed = multipart(parts, draw(VALUES)[:60])
    nested = (
        b'--b\r\nContent-Disposition: form-data; name="file"\r\nContent-Type: multipart/mixed;'
        b" boundary=c\r\n\r\n--c\r\n\r\nx\r\n--c--\r\n--b--\r\n"
    )
    return {
        "form": (plain, form_type),
        "parts": (mixed, "multipart/form-data; boundary=b"),
        "nested parts": (mixed[:-7] + nested + b"--b--\r\n", "multipart/form-data; boundary=b"),
        "torn parts": (
            mixed[: draw(st.integers(0, len(mixed)))],
            draw(st.sampled_from(["multipart/form-data; boundary=b", "multipart/form-data"])),
        ),
        "torn form": (plain.replace(b"%", b"%%", 3).replace(b"=", b"", 1), form_type),
        "json": (b'{"a": [1, null, "x"]}', "application/json"),
        "wrong charset": (plain, f"{form_type}; charset={draw(st.sampled_from(['utf-16', 'no-such', 'utf-7']))}"),
        "nothing": (b"", draw(st.sampled_from([form_type, "", "multipart/form-data; boundary=b", "text/plain"]))),
        "many": (b"&".join([plain, *[b"x=1"] * 12_100]), form_type),
    }[way]


def multipart(parts: list[Part], file_name: bytes) -> bytes:
    lines = b""
    for name, value, is_file in parts:
        named = name.replace(b'"', b"%22").replace(b"\r", b"%0D").replace(b"\n", b"%0A")
        end = b'; filename="' + file_name.replace(b'"', b"") + b'"\r\nContent-Type: image/png' if is_file else b""
        lines += b'--b\r\nContent-Disposition: form-data; name="' + named + b'"' + end + b"\r\n\r\n" + value + b"\r\n"
    return lines + b"--b--\r\n"


# --- sending them


@dataclass
class Fuzzed:
    """What came of it; ``failures`` as "route status body"."""

    cases: int = 0
    operations: set[str] = field(default_factory=set)
    statuses: Counter[str] = field(default_factory=Counter)
    failures: list[str] = field(default_factory=list)


def fuzz(sender: Sender, forms: list[Form], each: int) -> Fuzzed:
    found = Fuzzed()
    quiet = settings(
        max_examples=each,
        deadline=None,
        phases=[Phase.generate],
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    for form in forms:
        quiet(given(st.data())(sending(sender, sender.again(form), found)))()
    return found


def sending(sender: Sender, form: Form, found: Fuzzed) -> Callable[[st.DataObject], None]:
    def one(data: st.DataObject) -> None:
        key = secrets.token_urlsafe(16)
        fields = tuple((name, key if name == "form_key" else value, is_file) for name, value, is_file in form.fields)
        body, content_type = data.draw(bodies(fields))
        status = sender.send(form, body, content_type)
        found.cases += 1
        found.operations.add(form.route)
        found.statuses[f"{status // 100}xx"] += 1
        if status >= 500:
            found.failures.append(f"{form.path} {status} {content_type} {body[:300]!r}")

    return one


@pytest.fixture
def sender(app: FastAPI, portal: Portal, monkeypatch: pytest.MonkeyPatch) -> Iterator[Sender]:
    """Senders whom no limiter stops, on a portal that prints nothing: what is looked at is what reads forms."""
    for limiter in vars(portal).values():
        if isinstance(limiter, RateLimiter):
            limiter.most = 10**9
    monkeypatch.setattr(portal.papers, "render", lambda *_: b"%PDF")
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client:
        world = World(portal, client)
        with portal.store.writing() as db:
            for user_id in {visitor.user_id for visitor in world.visitors.values() if visitor.user_id}:
                bands.set_password(db, user_id, hash_password(PASSWORD))
        yield Sender(world, app)


def report(sender: Sender, found: Fuzzed) -> None:
    print(  # noqa: T201 - shown with -s
        f"\nfuzzed_forms operations={len(found.operations)}/{len(set(sender.posts))} cases={found.cases}"
        f" failures={len(found.failures)} statuses={dict(sorted(found.statuses.items()))}"
    )
    assert found.failures == [], "\n".join(found.failures)
    assert found.operations == set(sender.posts)
    # Not all of it is turned away at the door.
    assert found.statuses["3xx"] > found.cases * 0.02


@pytest.mark.slow
def test_no_form_breaks_the_portal(sender: Sender) -> None:
    """Every route that takes a form answers odd ones (fields gone, doubled, of another kind, too long, no text at all,
    torn) without a fault.
    """
    report(sender, fuzz(sender, sender.forms(1), each=2))


@pytest.mark.soak
def test_no_form_breaks_the_portal_for_long(sender: Sender) -> None:
    """The same at every address of a route, many more times."""
    report(sender, fuzz(sender, sender.forms(40), each=40))


def test_a_form_that_breaks_is_found(app: FastAPI, sender: Sender) -> None:
    """A route that trips over a missing or strange field is among the failures."""
    router = APIRouter()

    @router.post("/planted")
    def trips(sent: Sent) -> int:
        return int(sent.raw("number"))

    app.include_router(router)
    planted = Form("/planted", "/planted", "nobody", "", (("number", "1", False),))
    assert any("/planted 500" in one for one in fuzz(sender, [planted], each=20).failures)
