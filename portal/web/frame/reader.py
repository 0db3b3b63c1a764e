"""Which language a request is answered in, and which others the reader may choose.

The house, and whoever holds a document's code, read any language that there is; the band one in which its own pages
are said too.
"""

from dataclasses import dataclass
from datetime import timedelta
from urllib.parse import urlencode

from fastapi import Request
from starlette.datastructures import MutableHeaders

from portal.wording.catalogue import everybody_s, languages, own_name, preferred

COOKIE = "language"
ASKED = "language"
"""A link that ends in ``?language=de`` chooses; the browser keeps the choice."""

OF_THE_HOUSE = ("/house/", "/houses/", "/house-key/", "/in/")
"""Below these nobody reads but the house and whoever has its link."""

OF_BOTH = ("/ask/", "/day/", "/check", "/why/", "/how-the-portal-chooses", "/emails/stop/")
"""Below these everybody reads; whoever has an account does it for the band."""

_KEPT_S = int(timedelta(days=365).total_seconds())


@dataclass(frozen=True)
class Choice:
    """A language that a page can be read in, and the page's address in it; ``chosen`` is the one it is in."""

    language: str
    name: str
    address: str
    chosen: bool


def readable(path: str, *, account: bool) -> tuple[str, ...]:
    """The languages that the page at a path can be read in. ``account``: the browser holds an account's cookie."""
    anybody_s = path.startswith(OF_THE_HOUSE) or (path.startswith(OF_BOTH) and not account)
    return languages() if anybody_s else everybody_s()


def reader_of(request: Request, account_cookie: str) -> str:
    """The language that the address asks for, else the one chosen before, else the browser's, else English."""
    asked, kept = request.query_params.get(ASKED, ""), request.cookies.get(COOKIE, "")
    known = readable(request.url.path, account=account_cookie in request.cookies)
    request.state.languages = known
    return preferred(known, request.headers.get("accept-language", ""), asked, kept)


def choices(request: Request, now_in: str) -> tuple[Choice, ...]:
    """The languages to choose from at the end of a page; none where there is no choice, and none on the answer to a
    form: what was typed would be lost.
    """
    known: tuple[str, ...] = getattr(request.state, "languages", ())
    if len(known) < 2 or request.method not in {"GET", "HEAD"}:  # noqa: PLR2004 - to choose takes two
        return ()
    kept = [(name, value) for name, value in request.query_params.multi_items() if name != ASKED]
    return tuple(
        Choice(one, own_name(one), "?" + urlencode([*kept, (ASKED, one)]), chosen=one == now_in) for one in known
    )


def name_language(request: Request, headers: MutableHeaders, language: str) -> None:
    """Say in an answer's headers which language a page is in, and let the browser keep what the address chose."""
    if headers.get("content-type", "").startswith("text/html"):
        headers.setdefault("Content-Language", language)
    if request.query_params.get(ASKED) == language and request.cookies.get(COOKIE) != language:
        headers.append("Set-Cookie", f"{COOKIE}={language}; Max-Age={_KEPT_S}; Path=/; SameSite=Lax; HttpOnly")
