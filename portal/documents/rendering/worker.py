"""The renderer in a process of its own: it can be stopped when it overruns, and its memory has a limit.

The parent never imports the renderer. Parent and child speak over the child's pipes; each message is its length in four
bytes and then its bytes. When the parent goes away the child reads the end of its input and leaves by itself. Run as a
module, this file is the child.
"""

from __future__ import annotations

import gc
import json
import os
import resource
import signal
import struct
import subprocess
import sys
import threading
from dataclasses import asdict
from pathlib import Path
from types import TracebackType
from typing import IO, Self

from portal.documents.rendering.pdf import Attached, PaperError, RendererMissing, pdf, probe
from portal.wording.catalogue import gettext

ROOT = Path(__file__).parents[3]

DEADLINE_S = 20.0
"""Longest time for one paper in seconds; the longest sheet (128 lines) takes about a fifth of it on two slow cores."""

START_S = 60.0
"""Longest time in seconds for the child to load the renderer."""

MEMORY_BYTES = 1 << 30
"""Address space of the child; a sheet of 128 lines needs about a sixth of it."""

BEHIND_PAGES = 5
"""How much the renderer stands back for the pages where a machine is busy (common practice, no source)."""

WAITING = 8
"""Papers that may be under way or waiting; more are turned away at once."""

HTML_BYTES = 4_000_000
"""Longest page that is given to the renderer; the longest sheet has about a twentieth."""

# The portal's settings may hold secrets: the child gets only what the loader and the font search need.
_HANDED_ON = (
    "HOME",
    "LANG",
    "LC_ALL",
    "LD_LIBRARY_PATH",
    "PATH",
    "PYTHONPATH",
    "TMPDIR",
    "XDG_CACHE_HOME",
    "FONTCONFIG_FILE",
    "FONTCONFIG_PATH",
)

_READY, _DONE, _MISSING, _TOO_BIG, _FAILED = b"r", b"d", b"m", b"b", b"f"


class RenderTooBig(PaperError):  # noqa: N818 - named for what happened
    """The page is too long, or its layout needs more memory than the limit."""

    def __init__(self) -> None:
        super().__init__(gettext("This paper is too long to make. Shorten the notes, or print fewer lines at a time."))


class RenderTimeout(PaperError):  # noqa: N818 - named for what happened
    """The renderer did not finish before the deadline and was stopped."""

    def __init__(self) -> None:
        super().__init__(
            gettext("This paper took too long to make and was stopped. Shorten the notes, or use the print page.")
        )


class RenderBusy(PaperError):  # noqa: N818 - named for what happened
    """Too many papers are waiting."""

    def __init__(self) -> None:
        super().__init__(gettext("Many papers are being made just now. Try again in a minute."))


class RenderStopped(PaperError):  # noqa: N818 - named for what happened
    """The worker was closed meanwhile."""

    def __init__(self) -> None:
        super().__init__(gettext("The portal is being stopped, and this paper with it. Try again in a minute."))


class RenderFailed(PaperError):  # noqa: N818 - named for what happened
    """The renderer reported a fault of its own; ``detail`` is for the log and holds nothing of the page."""

    def __init__(self, detail: str) -> None:
        super().__init__(gettext("This paper could not be made. The print page shows the same facts."))
        self.detail = detail


class Worker:
    """One warm child, one paper at a time; any thread may ask. Use as a context manager, or call ``close``."""

    def __init__(
        self, *, deadline_s: float = DEADLINE_S, memory_bytes: int = MEMORY_BYTES, waiting: int = WAITING
    ) -> None:
        self._deadline_s = deadline_s
        self._memory_bytes = memory_bytes
        self._places = threading.BoundedSemaphore(waiting)
        self._turn = threading.Lock()
        self._child: subprocess.Popen[bytes] | None = None
        self._closed = threading.Event()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def warm(self) -> None:
        """Start the child, so that the first paper need not wait for it. Raises ``RendererMissing``."""
        with self._turn:
            self._running()

    def render(self, html: str, attached: Attached | None = None) -> bytes:
        """The page as PDF. Raises ``RendererMissing``, ``RenderTooBig``, ``RenderTimeout``, ``RenderBusy``,
        ``RenderStopped`` or ``RenderFailed``.
        """
        message = json.dumps({"html": html, "attached": asdict(attached) if attached else None}).encode()
        if len(message) > HTML_BYTES:
            raise RenderTooBig
        if not self._places.acquire(blocking=False):
            raise RenderBusy
        try:
            with self._turn:
                return self._ask(message)
        finally:
            self._places.release()

    def close(self) -> None:
        """Stop the child, whatever it is making, and wait for its end. Later papers are refused."""
        self._closed.set()
        child = self._child
        if child is not None:
            # Whoever waits for its answer reads the end of its pipe.
            child.kill()
        with self._turn:
            self._stop()

    def _ask(self, message: bytes) -> bytes:
        kind, body = self._exchange(self._running(), message, self._deadline_s)
        if kind == _DONE:
            return body
        if kind == _TOO_BIG:
            # What ran out of memory may have left the renderer in any state.
            self._stop()
            raise RenderTooBig
        raise RenderFailed(body.decode())

    def _running(self) -> subprocess.Popen[bytes]:
        if self._closed.is_set():
            raise RenderStopped
        if self._child is not None and self._child.poll() is None:
            return self._child
        self._stop()
        env = {name: os.environ[name] for name in _HANDED_ON if name in os.environ}
        # Fonts are cut down to the letters used; without a fixed date they would carry today's.
        env["SOURCE_DATE_EPOCH"] = "946684800"
        self._child = subprocess.Popen(  # noqa: S603 - our own module, no shell
            [sys.executable, "-m", "portal.documents.rendering.worker", str(self._memory_bytes)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            cwd=ROOT,
            env=env,
            # A key press that ends the portal must not tear down a paper half way: the parent ends the child.
            start_new_session=True,
        )
        if self._closed.is_set():
            # Closed while it was started: the one who closes may not have seen it.
            self._child.kill()
        kind, _ = self._exchange(self._child, None, START_S)
        if kind == _MISSING:
            self._stop()
            raise RendererMissing
        return self._child

    def _exchange(self, child: subprocess.Popen[bytes], message: bytes | None, limit_s: float) -> tuple[bytes, bytes]:
        """Send a message, if any, and read the answer; a child that overruns is killed, which ends the reading."""
        overrun = threading.Event()

        def kill() -> None:
            overrun.set()
            child.kill()

        timer = threading.Timer(limit_s, kill)
        timer.daemon = True
        timer.start()
        try:
            if child.stdin is None or child.stdout is None:
                raise RenderFailed("the child has no pipes")
            if message is not None:
                _write(child.stdin, message)
            answer = _read(child.stdout)
        except BrokenPipeError:
            answer = None
        finally:
            timer.cancel()
            timer.join()
        if answer:
            return answer[:1], answer[1:]
        self._stop()
        if self._closed.is_set():
            raise RenderStopped
        if overrun.is_set():
            raise RenderTimeout
        if message is None:
            raise RenderFailed("the child did not start")
        # It died without a word: a library that finds no memory ends the process.
        raise RenderTooBig

    def _stop(self) -> None:
        child, self._child = self._child, None
        if child is None:
            return
        child.kill()
        child.wait()
        for pipe in (child.stdin, child.stdout):
            if pipe is not None:
                pipe.close()


def _write(pipe: IO[bytes], message: bytes) -> None:
    pipe.write(struct.pack("!I", len(message)) + message)
    pipe.flush()


def _read(pipe: IO[bytes]) -> bytes | None:
    """The next message; ``None`` at the end of the pipe."""
    head = pipe.read(4)
    if len(head) < 4:  # noqa: PLR2004 - the four bytes of the length
        return None
    (length,) = struct.unpack("!I", head)
    body = pipe.read(length)
    return body if len(body) == length else None


def _answer(message: bytes) -> bytes:
    wish = json.loads(message)
    attached = Attached(**wish["attached"]) if wish["attached"] else None
    # Collecting while a page is laid out finds nothing to free and costs about a seventh of the time.
    gc.disable()
    try:
        return _DONE + pdf(wish["html"], attached)
    except (MemoryError, RecursionError):
        return _TOO_BIG
    except Exception as fault:  # noqa: BLE001 - the child lives on; the parent is told which kind of fault
        return _FAILED + type(fault).__name__.encode()
    finally:
        gc.enable()
        gc.collect()


def child(memory_bytes: int) -> None:
    """Serve one page after another until the input ends."""
    resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # Whoever waits for a page goes before whoever waits for a paper.
    os.nice(BEHIND_PAGES)
    wishes = sys.stdin.buffer
    # Libraries print to the standard output when something is missing; the messages go through a copy that they do not
    # know.
    with os.fdopen(os.dup(1), "wb") as answers, Path(os.devnull).open("wb") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        try:
            probe()
        except RendererMissing:
            _write(answers, _MISSING)
            return
        _write(answers, _READY)
        while (message := _read(wishes)) is not None:
            _write(answers, _answer(message))


if __name__ == "__main__":
    child(int(sys.argv[1]))
