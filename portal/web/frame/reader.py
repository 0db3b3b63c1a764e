"""Which language a request is answered in."""

from datetime import timedelta

from fastapi import Request
from starlette.datastructures import MutableHeaders

from portal.wording.catalogue import preferred

COOKIE = "language"
ASKED = "language"
"""A link that ends in ``?language=de`` chooses; the browser keeps the choice."""

_KEPT_S = int(timedelta(days=365).total_seconds())


def reader_of(request: Request) -> str:
    """The language that the address asks for, else the one chosen before, else the browser's, else English."""
    asked, kept = request.query_params.get(ASKED, ""), request.cookies.get(COOKIE, "")
    return preferred(request.headers.get("accept-language", ""), asked, kept)


def name_language(request: Request, headers: MutableHeaders, language: str) -> None:
    """Say in an answer's headers which language a page is in, and let the browser keep what the address chose."""
    if headers.get("content-type", "").startswith("text/html"):
        headers.setdefault("Content-Language", language)
    if request.query_params.get(ASKED) == language and request.cookies.get(COOKIE) != language:
        headers.append("Set-Cookie", f"{COOKIE}={language}; Max-Age={_KEPT_S}; Path=/; SameSite=Lax; HttpOnly")
