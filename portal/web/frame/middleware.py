"""What stands around every request: whose form it is, which headers the answer carries, one log line without
secrets.
"""

import asyncio
import logging
import time
from base64 import b64encode
from collections.abc import Callable
from hashlib import sha256
from http import HTTPStatus
from urllib.parse import urlsplit

from fastapi import Request
from fastapi.responses import Response
from starlette.datastructures import Headers, MutableHeaders
from starlette.middleware.body_limit import RequestBodyLimitMiddleware
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from portal.documents.day_sheet import style
from portal.settings import Settings
from portal.web.frame import metrics
from portal.web.frame.cookies import cookie_name
from portal.web.frame.errors import TOO_LARGE, PortalError
from portal.web.frame.health import ALIVE, READY
from portal.web.frame.reader import keep_choices, reader_of
from portal.wording.catalogue import mark

log = logging.getLogger("portal.requests")
security_log = logging.getLogger("portal.security")

LARGEST_BODY = 4 * 1024 * 1024
"""Bytes; twice the largest file on import, common practice, no source."""

BODY_S = 120.0
"""Seconds in which a form has to arrive; the largest file takes 40 over a line of 400 kbit/s (common practice, no
source).
"""

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})

# The sheet of the day is one file with its style inside; the style is allowed word for word, and no other.
_DAY_STYLE = b64encode(sha256(style().encode()).digest()).decode()

CONTENT_SECURITY_POLICY = (
    f"default-src 'none'; script-src 'self'; worker-src 'self'; style-src 'self' 'sha256-{_DAY_STYLE}'; img-src 'self';"
    " font-src 'self'; manifest-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors"
    " 'none'"
)

HEADERS = {
    "Content-Security-Policy": CONTENT_SECURITY_POLICY,
    "X-Content-Type-Options": "nosniff",
    # Not no-referrer: that would make browsers send "Origin: null" with a plain form.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Robots-Tag": "noindex",
}

ONE_CLICK = "/emails/stop/"
"""Below this a mail program's own server may post: one click stops emails, and the address itself is the power (RFC
8058).
"""

SECRET_PLACES = ("/in/", "/house-key/", "/day/", "/join/", "/new-password/", "/calendar/", "/ask/", ONE_CLICK)
"""Below these an address is a secret. Their pages name only the portal, not themselves, as where a visitor came from: a
proxy may log that.
"""

_TOO_SLOW = PortalError(
    408,
    mark("The form did not arrive"),
    mark("Nothing was saved: it took too long. Send it again when the line is better."),
)

_STRANGE = PortalError(
    403,
    mark("The form came from somewhere else"),
    mark(
        "Nothing was saved: this browser says that the form was not sent from a page of the portal. Open the portal's"
        " own page and send it from there."
    ),
)

_STOPPING = PortalError(
    503,
    mark("The portal is being stopped"),
    mark("Nobody knows whether this was saved. Send it again: what was saved already is not saved twice."),
    retry_after_s=5,
)


def comes_from_us(method: str, headers: Headers, origin: str) -> bool:
    """True where a request may change something: its form is on one of our pages, says the browser.

    ``Sec-Fetch-Site`` decides where it is sent (https and the machine itself), else ``Origin``. Neither means no:
    people come by browser. Source: OWASP Cross-Site Request Forgery Prevention cheat sheet, Fetch Metadata, with its
    fail-safe choice.
    """
    if method in SAFE_METHODS:
        return True
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site == "same-origin"
    return headers.get("origin", "").lower() == origin


class Guard:
    """The outermost layer of the app."""

    def __init__(
        self,
        app: ASGIApp,
        settings: Settings,
        refuse: Callable[[Request, PortalError], Response],
        crashed: Callable[[Request, Exception], Response],
    ) -> None:
        self.app = RequestBodyLimitMiddleware(app, LARGEST_BODY)
        self.origin = settings.origin
        self.account_cookie = cookie_name(settings)
        self.headers = dict(HEADERS)
        if settings.https:
            self.headers["Strict-Transport-Security"] = "max-age=31536000"
        self.refuse = refuse
        self.crashed = crashed

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on, between check, headers and log."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        started = time.perf_counter()
        status = 0
        stream = False
        static = scope["path"].startswith("/static/")
        request = Request(scope)
        reader = reader_of(request, self.account_cookie)

        async def answer(message: Message) -> None:
            nonlocal status, stream
            if message["type"] == "http.response.start":
                status = message["status"]
                headers = MutableHeaders(scope=message)
                stream = headers.get("content-type", "").startswith("text/event-stream")
                metrics.STREAMS.inc(stream)
                keep_choices(request, headers, reader)
                self._add_headers(headers, scope["path"], kept=static and status == HTTPStatus.OK)
            await send(message)

        try:
            with reader.reading():
                refusal = self._refusal(request)
                if refusal is None:
                    await self.app(scope, _in_time(receive), answer)
                else:
                    await self.refuse(request, refusal)(scope, receive, answer)
        except asyncio.CancelledError:
            # The server waits no longer for what it is answering. A thread may still save, and the form counts once.
            if status == 0:
                with reader.reading():
                    await self.refuse(request, _STOPPING)(scope, receive, answer)
        except Exception as error:  # noqa: BLE001 - the last resort, which logs the trace
            with reader.reading():
                response = self.crashed(request, error)
            if status == 0:
                await response(scope, receive, answer)
        finally:
            # The address as written in the program: what stands in its place may be a secret.
            route = getattr(scope.get("route"), "path", "/static" if static else "-")
            elapsed_s = time.perf_counter() - started
            metrics.STREAMS.dec(stream)
            metrics.answered(scope["method"], route, status, elapsed_s, stream=stream)
            # Whoever watches asks every few seconds; a line is worth reading only where the answer is not the usual
            # one.
            if route not in (ALIVE, READY) or status != HTTPStatus.OK:
                log.info("%s %s %d %.0f ms", scope["method"], route, status, elapsed_s * 1000)

    def _add_headers(self, headers: MutableHeaders, path: str, *, kept: bool) -> None:
        """``kept``: a file that is there, whose address changes with its content."""
        headers.update(self.headers)
        if path.startswith(SECRET_PLACES):
            headers["Referrer-Policy"] = "strict-origin"
        if kept:
            headers["Cache-Control"] = "public, max-age=31536000, immutable"
        else:
            headers.setdefault("Cache-Control", "no-store")

    def _refusal(self, request: Request) -> PortalError | None:
        one_click = request.url.path.startswith(ONE_CLICK)
        if not one_click and not comes_from_us(request.method, request.headers, self.origin):
            security_log.warning("form from elsewhere refused")
            return _STRANGE
        # A body without a length is counted while it comes in; this one says beforehand that it is too large.
        length = request.headers.get("content-length", "0")
        return TOO_LARGE if not length.isdecimal() or int(length) > LARGEST_BODY else None


def _in_time(receive: Receive) -> Receive:
    """The same, but a body that does not end in time raises ``PortalError`` 408; what follows a body may take for
    ever.
    """
    ends = asyncio.get_running_loop().time() + BODY_S
    whole = False

    async def next_message() -> Message:
        nonlocal whole
        try:
            async with asyncio.timeout_at(None if whole else ends):
                message = await receive()
        except TimeoutError:
            raise _TOO_SLOW from None
        whole = whole or not message.get("more_body", False)
        return message

    return next_message


def local_path(text: str) -> str:
    """The text where it is an address of this portal, else the home page: nobody is sent elsewhere after signing in."""
    parts = urlsplit(text)
    plain = text.startswith("/") and not text.startswith(("//", "/\\")) and not parts.scheme and not parts.netloc
    return text if plain and text.isprintable() else "/"
