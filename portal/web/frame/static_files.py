"""The files of ``static/``, packed, and the scripts of every page as one file: a phone waits for each file it asks
for.
"""

from functools import cache

from fastapi import Request
from fastapi.responses import Response
from starlette.middleware.gzip import GZipMiddleware
from starlette.routing import Mount, Route, Router
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from portal.places import STATIC
from portal.web.frame.links import SCRIPTS


@cache
def script() -> bytes:
    """All of them, the one from elsewhere as it is."""
    return b"\n".join((STATIC / name).read_bytes() for name in SCRIPTS)


def _script(_request: Request) -> Response:
    return Response(script(), media_type="text/javascript")


def static_files() -> ASGIApp:
    """What answers below ``/static``."""
    # Only files are packed: a packed page would let its length tell what stands beside a secret.
    return GZipMiddleware(
        Router([Route("/page.js", _script), Mount("/", StaticFiles(directory=STATIC))]), minimum_size=1000
    )
