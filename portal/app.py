"""The only place that wires settings, database, templates and pages together."""

import asyncio
import errno
import gc
import importlib
import importlib.util
import logging
import os
import socket
import sys
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from dataclasses import replace
from datetime import UTC, datetime
from types import FrameType
from typing import cast

import uvicorn
from fastapi import FastAPI
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware

from portal import admin_commands
from portal.advance.solver.process import Solvers
from portal.jobs.comparing import COMPARING
from portal.jobs.loop import Job, Jobs
from portal.jobs.openness import ONE_MORE, OPENNESS, SCALES
from portal.jobs.planning import PLANNING
from portal.log_lines import LogLines
from portal.settings import Server, Settings, given
from portal.store.database.brakes import Brakes
from portal.store.database.claim import AlreadyServed, claim
from portal.store.database.server_forms import look
from portal.store.database.server_key import KeyFault, open_key
from portal.store.database.session import CannotWrite, Unreadable, migrate, open_store, readable
from portal.store.database.together import Claims, Listener
from portal.web.accounts import account, data_export, members, recovery
from portal.web.compare import (
    candidate_form,
    cell_page,
    comparison_page,
    comparison_paper,
    make_ours,
    new_comparison,
    single_figures,
)
from portal.web.day import day_page, kept_sheet, line_check
from portal.web.discussion import decisions, discussion, proposals
from portal.web.documents import document_list, downloads, label_choice, qr_access, stage_editor, verify_document
from portal.web.documents.signed_papers import SIGNED_PAPERS
from portal.web.frame import errors, health, live, metrics
from portal.web.frame.middleware import Guard
from portal.web.frame.notifier import bells
from portal.web.frame.pages import environment
from portal.web.frame.running import Portal
from portal.web.frame.static_files import static_files
from portal.web.gig import (
    answer_reuse,
    calendar_feed,
    day_times,
    gigs,
    history,
    home,
    line_up,
    mixing_choice,
    newer_rig,
    post_gig_review,
    share,
)
from portal.web.house import (
    house_area,
    house_emails,
    house_pages,
    inquiry_links,
    keep_answers,
    sheet_reuse,
    spec,
    stage_sheet,
)
from portal.web.mail import email_pages, stop_emails
from portal.web.mail.email_job import EMAILS, REMINDERS
from portal.web.plan import line_detail, plan_page, routing_policy_page, signoff, what_if, why
from portal.web.questions import all_answers, questions
from portal.web.rig import bulk_edit, rig_history, rig_import, rig_name, rig_reading, rigs
from portal.web.rig.editing import rig_row, rig_sheet

ROUTERS = (
    health.router,
    home.router,
    account.router,
    recovery.router,
    members.router,
    data_export.router,
    gigs.router,
    line_up.router,
    calendar_feed.router,
    share.router,
    history.router,
    all_answers.router,
    questions.router,
    house_pages.router,
    spec.router,
    keep_answers.router,
    sheet_reuse.router,
    house_area.router,
    house_emails.router,
    inquiry_links.router,
    email_pages.router,
    stop_emails.router,
    stage_sheet.router,
    answer_reuse.router,
    mixing_choice.router,
    newer_rig.router,
    day_times.router,
    post_gig_review.router,
    plan_page.router,
    line_detail.router,
    live.router,
    signoff.router,
    discussion.router,
    proposals.router,
    decisions.router,
    what_if.router,
    document_list.router,
    label_choice.router,  # before the papers: it takes two of their names
    downloads.router,
    qr_access.router,
    day_page.router,
    line_check.router,
    kept_sheet.router,  # after the findings: it takes any name
    verify_document.router,
    stage_editor.router,
    why.router,
    routing_policy_page.router,
    new_comparison.router,
    candidate_form.router,
    single_figures.router,
    cell_page.router,
    make_ours.router,
    comparison_paper.router,
    comparison_page.router,
    rigs.router,
    rig_sheet.router,
    bulk_edit.router,
    rig_history.router,
    rig_row.router,
    rig_import.router,
    rig_reading.router,
    rig_name.router,
)
"""The routers of every screen; a new screen adds its own here."""


DAY_S = 86_400

TOLD_S = 2.0
"""How long a process that stops still answers where others serve the same database, so that whoever asks ``/ready``
hears of it (common practice, no source).
"""

log = logging.getLogger("portal")


def utc_now() -> datetime:
    """The clock of a running portal."""
    return datetime.now(UTC)


def create_app(
    settings: Settings,
    clock: Callable[[], datetime] = utc_now,
    jobs: Jobs[Portal] | None = None,
    solvers: Solvers | None = None,
    claims: Claims | None = None,
) -> FastAPI:
    """The portal on a migrated database; its jobs and solvers are its own unless given, its ``claims`` are shared."""
    store = open_store(settings.where)
    store.emails = settings.smtp is not None

    @asynccontextmanager
    async def life(_app: FastAPI) -> AsyncIterator[None]:
        await run_in_threadpool(portal.solvers.warm)
        at_work = asyncio.create_task(portal.jobs.run(portal))
        if portal.listener:
            portal.listener.start(*bells(asyncio.get_running_loop(), portal.notifier, portal.jobs.ring))
        yield
        if portal.listener:
            portal.listener.close()
        at_work.cancel()
        await run_in_threadpool(portal.solvers.close)
        portal.papers.close()
        with suppress(asyncio.CancelledError):
            await at_work
        await run_in_threadpool(portal.leave)
        store.close()

    key = open_key(store, settings.key_file)
    portal = Portal(
        settings,
        store,
        key,
        clock,
        solvers=solvers or Solvers(),
        jobs=Jobs(JOBS) if jobs is None else jobs,
        claims=claims,
        listener=Listener(settings.server) if settings.server else None,
        brakes=Brakes(settings.server, key) if settings.server else None,
    )
    app = FastAPI(
        lifespan=life,
        openapi_url=None,
        redirect_slashes=False,
        middleware=[Middleware(Guard, settings=settings, refuse=errors.page_for, crashed=errors.crash_page)],
    )
    app.state.portal = portal
    errors.install(app)
    app.mount("/static", static_files())
    for router in ROUTERS:
        # Routes of an included router are looked up twice on every request (fastapi 0.165).
        app.router.routes.extend(router.routes)
    return app


async def _forget_by_time(portal: Portal, _what: str) -> float:
    """Erase what is past its time, one gig a transaction, and write the file anew."""
    for one in await run_in_threadpool(admin_commands.past, portal.store, portal.settings.keep_days, portal.clock()):
        async with portal.store.turn():
            await run_in_threadpool(admin_commands.forget_gig, portal.store, one, portal.clock())
    portal.drafts.forget()
    async with portal.store.turn():
        await run_in_threadpool(admin_commands.tidy, portal.store, portal.clock())
    return DAY_S


JOBS = (
    PLANNING,
    SCALES,
    ONE_MORE,
    OPENNESS,
    COMPARING,
    SIGNED_PAPERS,
    EMAILS,
    REMINDERS,
    Job("erasing", lambda _db, _now: ("by time",), _forget_by_time, every_s=DAY_S, at_start=False),
)
"""What the portal does by itself; a new job adds its own here."""


ERASING = "erasing by time"
"""What the last of them claims, which is done once at the start too."""


def _forget(portal: Portal) -> None:
    """Erase what is past its time; a disk that takes nothing is told to the log and tried again the next day."""
    try:
        count = admin_commands.forget(portal.store, portal.settings.keep_days, portal.clock())
    except CannotWrite as error:
        log.warning("nothing could be erased: the database is %s", error.why)
    else:
        log.info("erased by time things=%d", count)


class _Server(uvicorn.Server):
    """Ends the streams of open pages before it waits for what is still being answered: they would never end by
    themselves.
    """

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Say first that others are to be asked from now on."""
        cast("FastAPI", self.config.app).state.portal.stopping.set()
        super().handle_exit(sig, frame)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Stop; the same as the base's, after the notifier and the papers."""
        portal: Portal = cast("FastAPI", self.config.app).state.portal
        if portal.claims:
            await asyncio.sleep(TOLD_S)
        portal.notifier.close()
        # A paper that is being made would hold the stop up; whoever waits for it is told to come again.
        await run_in_threadpool(portal.papers.close)
        await run_in_threadpool(portal.solvers.close)
        await super().shutdown(sockets)


def serve() -> None:
    """Start the portal on this machine, until it is stopped."""
    log_lines = logging.StreamHandler(sys.stderr)
    log_lines.setFormatter(LogLines("%(asctime)s %(name)s %(message)s"))
    logging.basicConfig(level=logging.INFO, handlers=[log_lines])
    logging.getLogger("alembic").setLevel(logging.WARNING)
    settings = given()
    listener = _listen(settings)
    give_out_figures(settings)
    if settings.port == 0:
        chosen = f"{settings.base_url.removesuffix(':0')}:{listener.getsockname()[1]}"
        settings = replace(settings, base_url=chosen if settings.base_url.endswith(":0") else settings.base_url)
    first_start = settings.server is None and not settings.database.exists()
    try:
        settings.data.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        sys.exit(f"The folder {settings.data} cannot be made: {error.strerror}. PORTAL_DATA names another one.")
    if not os.access(settings.data, os.W_OK):
        sys.exit(
            f"The portal cannot write in {settings.data}. Give the folder to the user who runs it, or name another one"
            " in PORTAL_DATA."
        )
    app = _on_its_folder(settings)
    if first_start and importlib.util.find_spec("portal.demo"):
        importlib.import_module("portal.demo").ensure_demo(settings)
    if not settings.secure_cookies:
        _tell(
            "Warning: without https, whoever shares the network can read cookies. Set PORTAL_BASE_URL to an https"
            " address."
        )
    _tell(f"The portal is at {settings.base_url}  (stop with Ctrl+C)")
    config = uvicorn.Config(
        app,
        access_log=False,  # it would write secret addresses; the guard writes its own lines
        log_config=None,
        server_header=False,
        timeout_graceful_shutdown=10,
    )
    environment()
    # What is loaded by now stays; a full collection of it would stop every request for some 50 ms.
    gc.collect()
    gc.freeze()
    gc.enable()
    # A request that waits for a row asks for the interpreter anew each time. At the usual 5 ms a page that is being
    # written beside it holds it up some forty times.
    sys.setswitchinterval(0.0005)
    _Server(config).run(sockets=[listener])


def _on_its_folder(settings: Settings) -> FastAPI:
    """The app on a folder that is its own, its database in the newest form; ends with a sentence where that cannot
    be.
    """
    try:
        if settings.server is not None:
            return _on_its_server(settings, settings.server)
        claim(settings.data)
        migrate(settings.database)
        with readable(settings.database):
            app = create_app(settings)
            _forget(app.state.portal)
    except (AlreadyServed, CannotWrite, KeyFault, Unreadable) as error:
        sys.exit(str(error))
    return app


def _on_its_server(settings: Settings, server: Server) -> FastAPI:
    """The same with a database on a server, which ``python -m portal migrate`` has made."""
    look(server, one_role=settings.one_role)
    claims = Claims(server)
    claims.open()
    app = create_app(settings, claims=claims)
    if claims.take(ERASING):
        _forget(app.state.portal)
        claims.give_back(ERASING)
    return app


def give_out_figures(settings: Settings) -> None:
    """Give out the figures for monitoring where a port is set for them; ends with a sentence where it is taken."""
    if settings.metrics_port is None:
        return
    try:
        port = metrics.serve(settings.metrics_port)
    except OSError as error:
        sys.exit(
            f"The figures cannot be given out on port {settings.metrics_port}: {error.strerror}. Set"
            " PORTAL_METRICS_PORT."
        )
    _tell(f"The figures for monitoring are at http://{metrics.LOOPBACK}:{port}/metrics")


def _listen(settings: Settings) -> socket.socket:
    """The listening socket, opened first, so that a taken port is said before anything else happens."""
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    listener = socket.socket(family, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((settings.host, settings.port))
    except OSError as error:
        if error.errno == errno.EADDRINUSE:
            sys.exit(
                f"Port {settings.port} is taken. Name another one, for example: PORTAL_PORT={settings.port + 1}"
                " make run"
            )
        sys.exit(f"Cannot listen on {settings.host}:{settings.port}: {error.strerror}. Set PORTAL_HOST or PORTAL_PORT.")
    # Whoever opens the address at once waits for the answer instead of being turned away.
    listener.listen()
    return listener


def _tell(words: str) -> None:
    sys.stdout.write(words + "\n")
    sys.stdout.flush()
