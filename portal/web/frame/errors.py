"""Errors that people may meet, and the one place that turns them into a page."""

import logging
import secrets
from dataclasses import dataclass
from http import HTTPStatus
from typing import ClassVar

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import RedirectResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException

from portal.store.database.session import CannotWrite
from portal.web.frame import metrics
from portal.web.frame.links import path_to
from portal.web.frame.pages import Page, render
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up, mark, ngettext

log = logging.getLogger("portal")
security_log = logging.getLogger("portal.security")


class PortalError(Exception):
    """What somebody did that cannot be done: a status, what happened, and what to do. Everything else is a fault of the
    program.
    """

    def __init__(self, status: int, title: str, sentence: str, *, retry_after_s: int = 0) -> None:
        super().__init__(sentence)
        self.status = status
        self.title = title
        self.sentence = sentence
        self.retry_after_s = retry_after_s


class NotThere(PortalError):  # noqa: N818 - reads as what it says
    """Absent, or somebody else's: the page is the same."""

    def __init__(self) -> None:
        super().__init__(
            404,
            _("There is no such page"),
            _(
                "The address may be incomplete, or what it named is not there any more. Check the address, or start"
                " again from the home page."
            ),
        )


class SignInFirst(PortalError):  # noqa: N818 - reads as what it says
    """The page is for people with an account."""

    def __init__(self) -> None:
        super().__init__(
            401,
            _("You are signed out"),
            _("Nothing was saved. Sign in in another tab, then come back here and send the form again."),
        )


def refuse_for_now(wait_s: int) -> None:
    """Raise ``PortalError`` 429 while somebody has to wait, because there were too many tries."""
    if wait_s:
        raise PortalError(
            429,
            _("Too many tries"),
            ngettext("Wait %(num)s minute, then try again.", "Wait %(num)s minutes, then try again.", -(-wait_s // 60)),
            retry_after_s=wait_s,
        )


class Unwell(Exception):  # noqa: N818 - nothing broke: a field is wrong
    """A form is refused before its turn to write: ``page`` is the form again, with what is wrong."""

    def __init__(self, page: Page) -> None:
        super().__init__(page.title)
        self.page = page


class Elsewhere(Exception):  # noqa: N818 - nothing went wrong
    """The answer is at another address."""

    def __init__(self, location: str) -> None:
        super().__init__(location)
        self.location = location


class ProveFirst(Elsewhere):
    """The password was given too long ago for this; ``then`` is the page to come back to."""

    def __init__(self, then: str) -> None:
        super().__init__(path_to("show_confirm", then=then))


class Repeated(Elsewhere):
    """The same form came twice; its first result is at ``location``."""


@dataclass(frozen=True, kw_only=True)
class ErrorPage(Page):
    """A page that says what happened and what to do."""

    template: ClassVar[str] = "frame/error.html"
    sentence: str
    reference: str = ""


TOO_LARGE = PortalError(
    413,
    mark("That is too much at once"),
    mark(
        "Nothing was saved. A form may hold 4 MB, a file 2 MB, and no more fields than its page has: send less, or in"
        " parts."
    ),
)

_OTHERS = {
    405: (mark("This page does not take that"), mark("Nothing was saved. Go back and use the buttons on the page.")),
    413: (TOO_LARGE.title, TOO_LARGE.sentence),
    400: (mark("The form did not arrive whole"), mark("Nothing was saved. Go back and send it again.")),
}


_CANNOT_WRITE = {
    "full": (
        mark("There is no room left"),
        mark("Nothing was saved: the portal's disk is full. Tell whoever runs the portal, then send it again."),
    ),
    "read-only": (
        mark("The portal cannot write"),
        mark("Nothing was saved: its data folder is read-only. Tell whoever runs the portal, then send it again."),
    ),
    "failing": (
        mark("The portal's disk gave an error"),
        (
            mark(
                "Nothing was saved: the disk, or the room that the portal may fill on it, is at its end. Tell whoever"
                " runs the portal, then send it again."
            )
        ),
    ),
    "busy": (
        mark("The portal is busy"),
        mark("Nothing was saved: somebody else is saving right now. Send it again in a minute."),
    ),
    "away": (
        mark("The portal's database does not answer"),
        mark("Nothing was saved. Try again in a minute; if it goes on, tell whoever runs the portal."),
    ),
    "unsure": (
        mark("The portal's database went away"),
        mark("Nobody knows whether this was saved. Send it again: what was saved already is not saved twice."),
    ),
}
for _why in _CANNOT_WRITE:
    metrics.DATABASE_REFUSALS.labels(_why)  # a series that is there from the start shows its first rise


def page_for(request: Request, error: PortalError) -> Response:
    """The error as a page. What is raised from a table or made once is only marked, and looked up here."""
    page = ErrorPage(title=look_up(error.title), sentence=look_up(error.sentence))
    response = render(request, page, status=error.status)
    if error.retry_after_s:
        response.headers["Retry-After"] = str(error.retry_after_s)
    if error.status == HTTPStatus.REQUEST_TIMEOUT:
        # What is still to come of the form is of no use: without this the connection would wait for it.
        response.headers["Connection"] = "close"
    return response


def crash_page(request: Request, error: Exception) -> Response:
    """A fault of the program: the log gets the trace, the page a number by which it is found there."""
    reference = secrets.token_hex(4)
    log.error("fault %s", reference, exc_info=error)
    sentence = _(
        "This is a fault of the portal, not yours. Your last change may not be saved. Go back and look before you"
        " send it again."
    )
    return render(request, ErrorPage(title=_("Something broke"), sentence=sentence, reference=reference), status=500)


def install(app: FastAPI) -> None:
    """Make every error of the app a page."""

    @app.exception_handler(PortalError)
    async def _portal_error(request: Request, error: PortalError) -> Response:
        if isinstance(error, SignInFirst) and request.method in {"GET", "HEAD"}:
            return RedirectResponse(path_to("show_sign_in", then=request.url.path), HTTPStatus.SEE_OTHER)
        if error.status == HTTPStatus.TOO_MANY_REQUESTS:
            security_log.warning("braked route=%s", getattr(request.scope.get("route"), "path", "-"))
        return page_for(request, error)

    @app.exception_handler(Elsewhere)
    async def _elsewhere(_request: Request, error: Elsewhere) -> Response:
        return RedirectResponse(error.location, HTTPStatus.SEE_OTHER)

    @app.exception_handler(Unwell)
    async def _unwell(request: Request, error: Unwell) -> Response:
        return await run_in_threadpool(render, request, error.page, status=422)

    @app.exception_handler(CannotWrite)
    async def _cannot_write(request: Request, error: CannotWrite) -> Response:
        log.error("the database is %s", error.why, exc_info=error)
        metrics.DATABASE_REFUSALS.labels(error.why).inc()
        return page_for(request, PortalError(503, *_CANNOT_WRITE[error.why], retry_after_s=60))

    @app.exception_handler(RequestValidationError)
    async def _not_an_address(request: Request, _error: RequestValidationError) -> Response:
        # Handlers read forms themselves; what FastAPI checks is only the address.
        return page_for(request, NotThere())

    @app.exception_handler(HTTPException)
    async def _http(request: Request, error: HTTPException) -> Response:
        if error.status_code in _OTHERS:
            response = page_for(request, PortalError(error.status_code, *_OTHERS[error.status_code]))
            response.headers.update(error.headers or {})
            return response
        return page_for(request, NotThere())
