"""Wakes whoever waits for something to happen to a gig. It tells nothing: what happened stands in the database, where
the woken look.
"""

import asyncio
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import partial

ANY = ""
"""Waits for every gig."""


class Notifier:
    """One for the whole process; used on its event loop only."""

    def __init__(self) -> None:
        self._waiting: dict[str, set[asyncio.Event]] = {}
        self.closed = False

    @contextmanager
    def listening(self, gig_id: str) -> Iterator[asyncio.Event]:
        """An event that is set whenever the gig is notified, or the notifier closes."""
        event = asyncio.Event()
        self._waiting.setdefault(gig_id, set()).add(event)
        try:
            yield event
        finally:
            self._waiting[gig_id].discard(event)
            if not self._waiting[gig_id]:
                del self._waiting[gig_id]

    def notify(self, gig_id: str) -> None:
        """Something was saved that may concern the gig; ``ANY`` where it concerns none in particular."""
        for event in self._waiting.get(gig_id, set()) | self._waiting.get(ANY, set()):
            event.set()

    def close(self) -> None:
        """Wake everybody for the last time."""
        self.closed = True
        self.notify_all()

    def notify_all(self) -> None:
        """Something may have been missed: wake everybody."""
        for events in self._waiting.values():
            for event in events:
                event.set()


def bells(
    loop: asyncio.AbstractEventLoop, notifier: Notifier, due: Callable[[], None]
) -> tuple[Callable[[str], None], Callable[[], None]]:
    """What another thread may call when another process saved something: of a gig, or ``ANY`` where a job is due with
    it; and where anything may have been missed.
    """

    def ring(*calls: Callable[[], None]) -> None:
        # Where the loop has ended nobody waits any more.
        with suppress(RuntimeError):
            for call in calls:
                loop.call_soon_threadsafe(call)

    def heard(gig_id: str) -> None:
        # To look up what is due takes a question for each job: only where something is.
        ring(partial(notifier.notify, gig_id), *([due] if gig_id == ANY else []))

    return heard, lambda: ring(notifier.notify_all, due)
