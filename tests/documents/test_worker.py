"""The renderer's own process: it ends when it must and leaves nothing behind."""

import os
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from portal.documents.rendering.pdf import APT_LINE, RendererMissing
from portal.documents.rendering.worker import HTML_BYTES, RenderBusy, RenderStopped, RenderTimeout, RenderTooBig, Worker

SMALL = "<p>small</p>"
HUGE = "<table>" + "<tr><td>one<td>two<td>three</tr>" * 30_000 + "</table>"


def gone(pid: int) -> bool:
    """True where the process has ended and was waited for: a zombie still has its number."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return True
    return False


@pytest.fixture(autouse=True)
def _renderer(worker):
    """These tests need the renderer's libraries; the shared worker skips where they are missing."""


def test_a_paper_that_overruns_is_stopped_and_the_next_one_is_made():
    """At the deadline the child is killed and waited for; the next paper gets a new child."""
    with Worker(deadline_s=2) as worker:
        worker.warm()
        first = worker._child.pid
        with pytest.raises(RenderTimeout, match="took too long"):
            worker.render(HUGE)
        assert gone(first)
        # A small paper may need longer than that where others keep the machine busy.
        worker._deadline_s = 120
        assert worker.render(SMALL).startswith(b"%PDF")
        second = worker._child.pid
    assert second != first
    assert gone(second)


@pytest.mark.slow
def test_a_paper_that_needs_too_much_memory_is_refused_and_the_next_one_is_made():
    """The limit on memory ends the paper, not the portal."""
    with Worker(memory_bytes=400 << 20, deadline_s=120) as worker:
        with pytest.raises(RenderTooBig, match="too long to make"):
            worker.render(HUGE)
        assert worker.render(SMALL).startswith(b"%PDF")


def test_a_page_beyond_the_limit_never_reaches_the_renderer():
    """Too long a page is refused before a child is started."""
    with Worker() as worker:
        with pytest.raises(RenderTooBig):
            worker.render("x" * HTML_BYTES)
        assert worker._child is None


def test_a_full_queue_turns_people_away_at_once():
    """Where every place is taken the answer does not wait for the paper that is being made, and says to try again."""
    with Worker(waiting=1, deadline_s=120) as worker:
        worker.warm()
        caught: list[Exception] = []

        def long_paper() -> None:
            try:
                worker.render(HUGE)
            except RenderTooBig as error:
                caught.append(error)

        thread = threading.Thread(target=long_paper)
        thread.start()
        while not worker._turn.locked():
            time.sleep(0.01)
        with pytest.raises(RenderBusy, match="Try again"):
            worker.render(SMALL)
        assert worker._turn.locked()
        assert caught == []
        # The long paper has served its purpose: its maker dies, and it is told as one that found no memory.
        worker._child.kill()
        thread.join()
        assert len(caught) == 1


def test_threads_get_their_own_papers(worker):
    """Several threads ask at once; each gets the paper that it asked for."""
    answers: dict[int, bytes] = {}

    def ask(number: int) -> None:
        answers[number] = worker.render(f"<title>number {number}</title><p>x</p>")

    threads = [threading.Thread(target=ask, args=(number,)) for number in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert all(answers[number] == worker.render(f"<title>number {number}</title><p>x</p>") for number in range(6))
    assert len(set(answers.values())) == 6


def test_a_child_that_was_killed_is_replaced(worker):
    """A child that somebody else ended does not end the service."""
    worker.warm()
    worker._child.kill()
    worker._child.wait()
    assert worker.render(SMALL).startswith(b"%PDF")


def test_missing_libraries_are_named_with_the_line_to_run(monkeypatch, tmp_path):
    """Where the renderer's libraries are missing the error holds the line that installs them, and no child stays."""
    (tmp_path / "weasyprint.py").write_text("print('noise on the output')\nraise OSError('cannot load library')\n")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    with Worker() as worker:
        with pytest.raises(RendererMissing, match="apt-get install") as caught:
            worker.render(SMALL)
        assert caught.value.apt_line == APT_LINE
        assert worker._child is None


def test_a_closed_worker_refuses():
    """After closing no child is started again."""
    worker = Worker()
    worker.close()
    with pytest.raises(RenderStopped):
        worker.render(SMALL)


@pytest.mark.slow
def test_closing_stops_the_paper_that_is_being_made():
    """Whoever closes the worker does not wait for a paper: its child is killed, and whoever asked for it and all who
    wait are told.
    """
    worker = Worker()
    worker.warm()
    child = worker._child.pid
    reading = threading.Event()
    ask = worker._exchange

    def noted(*given):
        reading.set()
        return ask(*given)

    worker._exchange = noted
    with ThreadPoolExecutor(2) as others:
        asked = [others.submit(worker.render, HUGE) for _ in range(2)]
        assert reading.wait(60)
        worker.close()
        for one in asked:
            with pytest.raises(RenderStopped, match="Try again in a minute"):
                one.result(timeout=60)
    assert gone(child)


def test_settings_do_not_reach_the_child(monkeypatch):
    """The child's environment holds nothing that only the portal needs."""
    monkeypatch.setenv("PORTAL_PLANTED", "planted")
    with Worker() as worker:
        worker.warm()
        environment = Path(f"/proc/{worker._child.pid}/environ").read_bytes()
    assert b"PATH=" in environment
    assert b"planted" not in environment


def test_the_child_leaves_when_the_parent_is_gone():
    """A parent that is killed outright leaves no renderer behind."""
    program = (
        "import os, sys, time\n"
        "from portal.documents.rendering.worker import Worker\n"
        "worker = Worker()\n"
        "worker.warm()\n"
        "print(worker._child.pid, flush=True)\n"
        "os.kill(os.getpid(), 9)\n"
    )
    told = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=False, cwd=Path(__file__).parents[2]
    )
    pid = int(told.stdout)
    for _ in range(200):
        try:
            state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
        except (FileNotFoundError, ProcessLookupError):
            return
        if state == "Z":  # ended; whoever adopted it has not waited yet
            return
        time.sleep(0.05)
    pytest.fail("the renderer is still there")


def test_the_parent_never_loads_the_renderer():
    """Making pages and asking for papers imports no renderer."""
    program = (
        "import sys, portal.documents.rendering.page, portal.documents.rendering.worker; sys.exit('weasyprint' in"
        " sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False, cwd=Path(__file__).parents[2]).returncode == 0
