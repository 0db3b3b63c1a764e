"""Two addresses for whoever watches the portal: does it run, and can it take work."""

import logging
import shutil
from http import HTTPStatus

from fastapi.responses import PlainTextResponse
from sqlalchemy.exc import SQLAlchemyError

from portal.store.database.session import CannotWrite
from portal.web.frame.deps import Here
from portal.web.frame.links import Screens
from portal.web.frame.running import Portal

router = Screens()
log = logging.getLogger("portal")

ALIVE, READY = "/alive", "/ready"

DEAF_S = 30
"""How long what other processes save may be unheard of (common practice, no source)."""

LEAST_FREE_BYTES = 64 * 1024 * 1024
"""Room for the longest forms and some papers (common practice, no source)."""


@router.get(ALIVE)
async def alive() -> PlainTextResponse:
    """The process answers. Where it does not, start it again."""
    return PlainTextResponse("alive\n")


@router.get(READY)
def ready(portal: Here) -> PlainTextResponse:
    """The database can be read and there is room to write; 503 where not. What is wrong with them stands in the log
    only.
    """
    if why := _leaves(portal):
        return PlainTextResponse(f"not ready: {why}\n", HTTPStatus.SERVICE_UNAVAILABLE)
    fault = _fault(portal)
    if fault:
        log.error("not ready: %s", fault)
        return PlainTextResponse("not ready\n", HTTPStatus.SERVICE_UNAVAILABLE)
    return PlainTextResponse("ready\n")


def _leaves(portal: Portal) -> str:
    """Why the others on its database are to be asked."""
    if portal.stopping.is_set():
        return "this process is being stopped"
    if portal.listener and portal.listener.unsure_s() > DEAF_S:
        return f"this process has not heard the others for {DEAF_S} seconds"
    return ""


def _fault(portal: Portal) -> str:
    try:
        portal.store.revision()
        free = shutil.disk_usage(portal.settings.data).free
    except (CannotWrite, SQLAlchemyError, OSError) as error:
        return type(error).__name__
    return f"{free} bytes free" if free < LEAST_FREE_BYTES else ""
