"""What whoever runs the portal asks it: does it run, can it work, what did it count."""

import logging
import re
import socket
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from prometheus_client import generate_latest
from prometheus_client.parser import text_string_to_metric_families

from portal.app import JOBS, create_app, give_out_figures
from portal.documents.rendering.worker import RenderBusy
from portal.log_lines import LogLines
from portal.places import DEPLOY
from portal.settings import Settings, from_environment
from portal.store.database import together
from portal.store.database.session import CannotWrite
from portal.web.frame import health, metrics, middleware
from portal.web.frame.running import Portal
from tests import postgresql
from tests.planning import AtOnce, InThisProcess
from tests.store.server.test_together import silent
from tests.web.conftest import ORIGIN, Browser, Clock
from tests.web.planned import Planned, prepare
from tests.web.test_start import start


def test_it_says_that_it_runs_and_can_work(browser: Browser, caplog: pytest.LogCaptureFixture) -> None:
    """Both addresses answer everybody with a word. Whoever watches asks every few seconds: only a page that people
    asked for is a line.
    """
    with caplog.at_level(logging.INFO, logger="portal.requests"):
        assert [browser.get(path).text for path in ("/alive", "/ready")] == ["alive\n", "ready\n"]
        browser.get("/sign-in")
    assert [record.message.split()[1] for record in caplog.records if record.name == "portal.requests"] == ["/sign-in"]


def test_it_is_not_ready_without_its_database(browser: Browser, settings: Settings, portal: Portal) -> None:
    """A database that cannot be read, or has no tables, is 503; the process is alive all the same."""
    portal.store.close()
    settings.database.unlink()
    answer = browser.get("/ready")
    assert (answer.status_code, answer.text) == (503, "not ready\n")
    assert browser.get("/alive").status_code == 200


def test_it_is_not_ready_on_a_full_disk(browser: Browser, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before the disk is full the watcher hears of it, and the log says how much is left."""
    monkeypatch.setattr(health, "LEAST_FREE_BYTES", 1 << 62)
    assert browser.get("/ready").status_code == 503


@pytest.fixture
def beside(settings: Settings, clock: Clock, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[TestClient, str]]:
    """A portal that runs on a server's database as one of several, and the database's name."""
    monkeypatch.setattr(together, "SURE_S", 0.1)
    monkeypatch.setattr(together, "LOOK_S", 0.05)
    postgresql.must_be_here()
    with postgresql.empty_database() as name:
        there = replace(settings, server=postgresql.program(name))
        app = create_app(there, clock, AtOnce(JOBS), InThisProcess())
        with TestClient(app, base_url=ORIGIN) as client:
            yield client, name


def test_it_is_not_ready_where_it_has_not_heard_the_others(
    beside: tuple[TestClient, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A process whose line to the others has been silent for longer than the limit says so, is alive all the same, and
    is ready again once it hears them.
    """
    client, name = beside

    def until(status: int) -> str:
        while (answer := client.get("/ready")).status_code != status:
            assert answer.status_code in {200, 503}
        return answer.text

    monkeypatch.setattr(health, "DEAF_S", 2)
    assert until(200) == "ready\n"
    with silent(name):
        assert until(503) == "not ready: this process has not heard the others for 2 seconds\n"
        assert client.get("/alive").status_code == 200
    assert until(200) == "ready\n"


def counted(**labels: str) -> float:
    """The sum of a figure's series that have the labels."""
    name = labels.pop("name")
    families = text_string_to_metric_families(generate_latest(metrics.REGISTRY).decode())
    samples = [sample for family in families for sample in family.samples if sample.name == name]
    return sum(sample.value for sample in samples if labels.items() <= sample.labels.items())


def busy() -> bytes:
    raise RenderBusy


def full(*_: object, **__: object) -> None:
    raise CannotWrite("full")


@pytest.fixture
def planned(portal: Portal, band, signed_in: Browser, enter) -> Iterator[Planned]:
    yield prepare(portal, band, signed_in, enter)
    portal.papers.close()


def test_requests_plans_and_papers_are_counted(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> None:
    """A page counts under its route as written in the program, a plan and a paper under how they ended; so do writes
    that the disk refused.
    """
    route = "/gigs/{gig_id}/papers/{document}.pdf"
    looked_at = (
        {"name": "portal_requests_total", "route": route, "status": "200", "method": "GET"},
        {"name": "portal_requests_total", "route": route, "status": "503", "method": "GET"},
        {"name": "portal_papers_total", "outcome": "made"},
        {"name": "portal_papers_total", "outcome": "RenderBusy"},
        {"name": "portal_database_refusals_total", "why": "full"},
        {"name": "portal_plans_total", "outcome": "fits"},
    )
    before = [counted(**one) for one in looked_at]
    outcomes: list[Callable[[], bytes]] = [lambda: b"%PDF", busy]
    monkeypatch.setattr(planned.portal.papers, "render", lambda *_: outcomes.pop(0)())
    statuses = [
        planned.band.get(f"{planned.gigs_base}/papers/{document}.pdf").status_code
        for document in ("patch-sheet", "stage-plot")
    ]
    page = f"{planned.house_base}/questions/inputs"
    planned.house.send(page, {"inputs-free": "12"}, page=page)
    monkeypatch.setattr("portal.web.discussion.discussion.discussions.say", full)
    page = f"{planned.gigs_base}/talk"
    statuses.append(planned.band.send(page, {"words": "Mind the step."}, page=page).status_code)
    assert statuses == [200, 503, 503]
    assert [counted(**one) - old for one, old in zip(looked_at, before, strict=True)] == [1] * len(looked_at)
    waiting = ("portal_papers_waiting", "portal_writes_waiting", "portal_streams_open")
    assert [counted(name=name) for name in waiting] == [0, 0, 0]


def test_figures_hold_no_word_of_a_visitor(planned: Planned) -> None:
    """However an address or a method is made up, no word of it becomes a label, and there are no more series than
    routes.
    """
    client: TestClient = planned.band.client
    for number in range(30):
        client.request(f"CANARY{number}", f"/canary-{number}", headers={"Origin": "https://portal.test"})
        client.get(f"/in/canary-{number}?canary")
    client.get(planned.gigs_base)
    text = generate_latest(metrics.REGISTRY).decode()
    assert "portal_requests_total" in text
    for secret in ("canary", planned.gig.id, planned.gig.name, planned.gig.place, planned.owner.email, "Ada Example"):
        assert secret.lower() not in text.lower()
    methods = set(re.findall(r'method="(\w+)"', text))
    assert methods <= {"GET", "HEAD", "POST", "other"}


def test_figures_are_not_given_out_unasked(browser: Browser) -> None:
    """The portal's own port has no figures; a port of their own is set, or there is none."""
    assert browser.get("/metrics").status_code == 404
    assert from_environment({}).metrics_port is None
    assert from_environment({"PORTAL_METRICS_PORT": "9000"}).metrics_port == 9000
    with pytest.raises(ValueError, match="PORTAL_METRICS_PORT"):
        from_environment({"PORTAL_METRICS_PORT": "many"})


@pytest.mark.slow
def test_figures_are_given_out_on_this_machine_only(tmp_path: Path) -> None:
    """Where a port is set, it listens on 127.0.0.1 whatever the portal itself listens on."""
    started = start(tmp_path / "data", PORTAL_PORT="0", PORTAL_HOST="0.0.0.0", PORTAL_METRICS_PORT="0")  # noqa: S104 - that is the case
    try:
        assert started.stdout is not None
        address = next(word for line in started.stdout for word in line.split() if word.endswith("/metrics"))
        assert address.startswith("http://127.0.0.1:")
        with urllib.request.urlopen(address, timeout=60) as answer:  # noqa: S310 - the address that it printed
            assert "portal_build_info" in {
                family.name for family in text_string_to_metric_families(answer.read().decode())
            }
        assert listens_on(int(address.rpartition(":")[2].removesuffix("/metrics"))) == {"0100007F"}
    finally:
        started.kill()
        started.communicate(timeout=60)


def test_a_taken_port_of_the_figures_is_said(settings: Settings) -> None:
    """The sentence names the port and the setting."""
    with socket.create_server((metrics.LOOPBACK, 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(SystemExit, match=f"{port}.*PORTAL_METRICS_PORT"):
            give_out_figures(replace(settings, metrics_port=port))


def listens_on(port: int) -> set[str]:
    """The addresses, in the kernel's hex, on which something listens at a port of this machine."""
    rows = [
        line.split()[1] for line in Path("/proc/net/tcp").read_text("ascii").splitlines()[1:] if line.split()[3] == "0A"
    ]
    return {row.partition(":")[0] for row in rows if int(row.partition(":")[2], 16) == port}


def test_the_port_is_seen_where_it_listens() -> None:
    """The look at the kernel's table sees a port that is open to everybody."""
    with socket.create_server(("0.0.0.0", 0)) as open_to_all:  # noqa: S104 - that is the case
        assert listens_on(open_to_all.getsockname()[1]) == {"00000000"}


def test_no_text_forges_a_line_of_the_log() -> None:
    """Whatever an event holds, its first line alone begins at the margin; time is UTC, and control characters are
    written out.
    """
    forged = "1\r\n2026-11-27T00:00:00.000Z portal.security signed-in\x1b[2J\u2028x"
    record = logging.LogRecord("portal", logging.ERROR, "", 0, "fault %s", (forged,), None)
    record.created, record.msecs = 0, 250
    lines = LogLines("%(asctime)s %(name)s %(message)s").format(record).split("\n")
    assert lines[0] == "1970-01-01T00:00:00.250Z portal fault 1"
    assert len(lines) == 3
    assert all(line.startswith("    ") for line in lines[1:])
    assert all(line.isprintable() for line in lines)


def test_the_proxy_logs_no_secret_address() -> None:
    """Every place below which an address is a secret is one that the proxy's log cuts off, and one that its page
    names.
    """
    cut_off = re.search(r"\^\(/\(\?:([\w|/-]+)\)/\)", (DEPLOY / "nginx.conf").read_text("utf-8"))[1]
    assert {f"/{name}/" for name in cut_off.split("|")} == set(middleware.SECRET_PLACES)
    manual = (DEPLOY / "README.md").read_text("utf-8")
    assert [place for place in middleware.SECRET_PLACES if f"`{place}`" not in manual] == []


def test_what_the_service_sets_is_a_setting() -> None:
    """A setting that a file of the folder names is one that the program reads."""
    settings = Path(metrics.__file__).parents[2] / "settings.py"
    known = set(re.findall(r"PORTAL_[A-Z_]+", settings.read_text("utf-8")))
    for file in DEPLOY.iterdir():
        assert set(re.findall(r"PORTAL_[A-Z_]+", file.read_text("utf-8"))) <= known
