"""Two solvers side by side, so that one gig that takes long never holds up the other gigs.

Parent and child speak in lines over the child's pipes. When the parent goes away the child reads the end of its input
and leaves by itself. Run as a module, this file is the child.
"""

import os
import resource
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import overload

from portal.advance.solver.wishes import (
    Answered,
    CellWish,
    Change,
    CompareWish,
    OpenWish,
    PlanMade,
    PlanWish,
    RangeWish,
    Scale,
    ScaleWish,
    Wish,
    Worth,
    WorthWish,
    answer_line,
    read_answer,
    seconds,
    write_wish,
)
from portal.compare.cell import Cell
from portal.compare.solving import Range
from portal.plan.solving import loaded_program
from portal.plan.solving.open_questions import Openness

ROOT = Path(__file__).parents[3]

COUNT = 2
"""Solvers; one more than a gig that takes long may hold."""

LONG_S = 2.0
"""What is estimated to take longer may hold one solver only."""

PLAN_S = 120.0
"""Longest time of one plan in seconds, waiting included; 128 sources take a few of them."""

TRY_S = 20.0
"""Longest time in seconds of what somebody waits for at a page."""

MEMORY_BYTES = 1 << 30
"""Address space of a child; a plan of 128 sources needs about a fifth of it."""

BEHIND_PAGES = 5
"""How much the solvers stand back for the pages where a machine is busy (common practice, no source)."""

# The portal's settings may hold secrets: the child gets only what the loader needs.
_HANDED_ON = ("HOME", "LANG", "LC_ALL", "LD_LIBRARY_PATH", "PATH", "PYTHONPATH", "TMPDIR")

_DONE, _FAILED = b"d", b"f"


class NotSolved(Exception):  # noqa: N818 - named for what happened
    """No answer: ``TooLong``, ``Crashed``, ``Busy`` or ``Stopped``."""


class TooLong(NotSolved):
    """The solver did not finish before the deadline and was stopped."""


class Crashed(NotSolved):
    """The solver ended over it: a fault of its own, or no memory. The text names the kind of fault and nothing of the
    gig.
    """


class Busy(NotSolved):
    """The solvers had no time for it before the deadline."""


class Stopped(NotSolved):
    """The portal is being stopped."""


class Solvers:
    """A few warm children, one wish a child at a time; any thread may ask. ``close`` stops them, whatever they do."""

    def __init__(self, *, count: int = COUNT, memory_bytes: int = MEMORY_BYTES) -> None:
        self._memory_bytes = memory_bytes
        self._free = [_Child() for _ in range(count)]
        self._all = tuple(self._free)
        self._turn = threading.Condition()
        self._long = False
        self._giving_way: set[_Child] = set()
        self._closed = False

    def warm(self) -> None:
        """Start every child, so that the first plan need not wait for it."""
        for child in self._all:
            child.running(self._memory_bytes)

    @overload
    def ask(self, wish: PlanWish, limit_s: float = ..., *, gives_way: bool = ...) -> PlanMade: ...
    @overload
    def ask(self, wish: OpenWish, limit_s: float = ..., *, gives_way: bool = ...) -> Openness: ...
    @overload
    def ask(self, wish: CompareWish, limit_s: float = ..., *, gives_way: bool = ...) -> Change: ...
    @overload
    def ask(self, wish: WorthWish, limit_s: float = ..., *, gives_way: bool = ...) -> Worth: ...
    @overload
    def ask(self, wish: CellWish, limit_s: float = ..., *, gives_way: bool = ...) -> Cell: ...
    @overload
    def ask(self, wish: RangeWish, limit_s: float = ..., *, gives_way: bool = ...) -> Range: ...
    @overload
    def ask(self, wish: ScaleWish, limit_s: float = ..., *, gives_way: bool = ...) -> Scale: ...
    def ask(self, wish: Wish, limit_s: float = TRY_S, *, gives_way: bool = False) -> Answered:
        """The answer to a wish within a time, waiting included; what ``gives_way`` is stopped for a plan that has to
        wait. Raises ``NotSolved``. Hold no transaction meanwhile.
        """
        ends = time.monotonic() + limit_s
        with self._one(wish, ends, long=seconds(wish) > LONG_S) as child:
            child.running(self._memory_bytes)
            if self._closed:
                child.stop()
                raise Stopped
            if gives_way:
                self._giving_way.add(child)
            try:
                line = child.ask(write_wish(wish), ends)
            except Crashed:
                if gives_way and child not in self._giving_way:
                    raise Busy from None
                raise
            finally:
                self._giving_way.discard(child)
                if self._closed:
                    raise Stopped
        return read_answer(wish, line)

    @contextmanager
    def _one(self, wish: Wish, ends: float, *, long: bool) -> Iterator["_Child"]:
        """A child for the time of a block."""
        with self._turn:
            while not self._closed and (not self._free or (long and self._long)):
                if isinstance(wish, PlanWish):
                    for child in tuple(self._giving_way):
                        self._giving_way.discard(child)
                        child.kill()
                if not self._turn.wait(ends - time.monotonic()) and time.monotonic() >= ends:
                    raise Busy
            if self._closed:
                raise Stopped
            child = self._free.pop()
            self._long = self._long or long
        try:
            yield child
        finally:
            with self._turn:
                self._free.append(child)
                self._long = self._long and not long
                self._turn.notify_all()

    def close(self) -> None:
        """Stop every child and wait for its end. Later wishes are refused."""
        with self._turn:
            self._closed = True
            self._turn.notify_all()
        # Whoever waits for an answer reads the end of its pipe, and gives its child back.
        for child in self._all:
            child.kill()
        with self._turn:
            self._turn.wait_for(lambda: len(self._free) == len(self._all), timeout=10)
        for child in self._all:
            child.stop()


class _Child:
    """One process; used by one thread at a time."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None

    def running(self, memory_bytes: int) -> None:
        """Start the process where none runs."""
        if self._process is not None and self._process.poll() is None:
            return
        self.stop()
        self._process = subprocess.Popen(  # noqa: S603 - our own module, no shell
            [sys.executable, "-m", "portal.advance.solver.process", str(memory_bytes)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            cwd=ROOT,
            env={name: os.environ[name] for name in _HANDED_ON if name in os.environ},
            # A key press that ends the portal must not tear a plan: the parent ends the child.
            start_new_session=True,
        )

    def ask(self, line: bytes, ends: float) -> bytes:
        """Send a line and read the answer; a process that overruns is killed, which ends the reading."""
        process = self._process
        if process is None or process.stdin is None or process.stdout is None:
            raise Crashed("not started")
        overrun = threading.Event()

        def kill() -> None:
            overrun.set()
            process.kill()

        timer = threading.Timer(max(0.0, ends - time.monotonic()), kill)
        timer.daemon = True
        timer.start()
        try:
            process.stdin.write(line)
            process.stdin.flush()
            answer = process.stdout.readline()
        except BrokenPipeError:
            answer = b""
        finally:
            timer.cancel()
            timer.join()
        if answer.startswith(_DONE) and answer.endswith(b"\n"):
            return answer[1:]
        # What failed may have left the process in any state.
        self.stop()
        if overrun.is_set():
            raise TooLong
        raise Crashed(answer[1:].decode().strip() or "ended")

    def kill(self) -> None:
        """End the process, whoever waits for it."""
        if (process := self._process) is not None:
            process.kill()

    def stop(self) -> None:
        """End the process and wait for its end."""
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        process.wait()
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                pipe.close()


def _answer(line: bytes) -> bytes:
    try:
        return _DONE + answer_line(line)
    except Exception as fault:  # noqa: BLE001 - the parent is told which kind of fault, and ends this process
        return _FAILED + type(fault).__name__.encode() + b"\n"


def child(memory_bytes: int) -> None:
    """Answer one wish after another until the input ends."""
    resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # Whoever waits for a page goes before whoever waits for a plan.
    os.nice(BEHIND_PAGES)
    # The parent's deadline ends a solve. A limit of time within it would let the load of a machine decide what is
    # stored.
    loaded_program.OPTIONS["time_limit"] = loaded_program.INFINITY
    # Libraries print to the standard output; the answers go through a copy that they do not know.
    with os.fdopen(os.dup(1), "wb") as answers, Path(os.devnull).open("wb") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        for line in sys.stdin.buffer:
            answers.write(_answer(line))
            answers.flush()


if __name__ == "__main__":
    child(int(sys.argv[1]))
