"""What the running process counts, in the open exposition format. Labels are the program's own words: no address, name,
token or address of a gig.
"""

from collections.abc import Iterator
from contextlib import contextmanager

from prometheus_client import (
    CollectorRegistry,
    Counter,
    Gauge,
    Histogram,
    Info,
    ProcessCollector,
    disable_created_metrics,
    start_http_server,
)

from portal import __version__
from portal.advance.metrics import PLAN_SECONDS, PLANS
from portal.documents.rendering.pdf import PaperError
from portal.plan.model import ENGINE

disable_created_metrics()  # type: ignore[no-untyped-call]

REGISTRY = CollectorRegistry()
"""One for the whole process."""
ProcessCollector(registry=REGISTRY)

LOOPBACK = "127.0.0.1"
"""Whoever is on the machine may read the figures, and nobody else: a reverse proxy that knows only the portal's own
port cannot pass them on.
"""

_METHODS = frozenset({"GET", "HEAD", "POST"})

_BUILD = Info("portal_build", "Versions of the portal and its engine.", registry=REGISTRY)
_BUILD.info({"version": __version__, "engine": ENGINE})
_REQUESTS = Counter(
    "portal_requests",
    "Requests answered, by route as written in the program.",
    ("method", "route", "status"),
    registry=REGISTRY,
)
_REQUEST_SECONDS = Histogram(
    "portal_request_seconds",
    "Time to answer, streams left out.",
    ("method", "route"),
    buckets=(0.05, 0.25, 1, 5),
    registry=REGISTRY,
)
STREAMS = Gauge("portal_streams_open", "Pages that wait for news.", registry=REGISTRY)
WRITES_WAITING = Gauge("portal_writes_waiting", "Requests that wait for their turn to write.", registry=REGISTRY)
DATABASE_REFUSALS = Counter(
    "portal_database_refusals", "Writes that the database refused, by why.", ("why",), registry=REGISTRY
)
for _of_the_engine in (PLAN_SECONDS, PLANS):
    REGISTRY.register(_of_the_engine)
PAPERS_WAITING = Gauge("portal_papers_waiting", "Papers being made or waiting.", registry=REGISTRY)
PAPER_SECONDS = Histogram(
    "portal_paper_seconds", "Time for one paper, waiting included.", buckets=(0.5, 2, 5, 20), registry=REGISTRY
)
PAPERS = Counter("portal_papers", "Papers made, or why not.", ("outcome",), registry=REGISTRY)


def answered(method: str, route: str, status: int, elapsed_s: float, *, stream: bool) -> None:
    """Count one request."""
    known = method if method in _METHODS else "other"
    _REQUESTS.labels(known, route, status).inc()
    if not stream:
        _REQUEST_SECONDS.labels(known, route).observe(elapsed_s)


@contextmanager
def paper() -> Iterator[None]:
    """Count the paper that is made in the block, or why it is not."""
    with PAPERS_WAITING.track_inprogress(), PAPER_SECONDS.time():
        try:
            yield
        except PaperError as error:
            PAPERS.labels(type(error).__name__).inc()
            raise
    PAPERS.labels("made").inc()


def serve(port: int) -> int:
    """Give out the figures on a port of this machine from now on; 0 lets the system choose. The port. Raises
    ``OSError`` where it is taken.
    """
    server, _ = start_http_server(port, LOOPBACK, REGISTRY)
    chosen: int = server.server_port
    return chosen
