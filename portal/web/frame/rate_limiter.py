"""Limits on guessing and on what costs much: so many tries a name and a while, counted before a try is heard."""

import time
from collections import Counter, OrderedDict, deque
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from hashlib import blake2b
from ipaddress import IPv6Address, ip_address, ip_network
from threading import Lock

from fastapi import Request
from starlette.concurrency import run_in_threadpool

from portal.store.database.brakes import Brakes
from portal.web.frame.errors import PortalError, refuse_for_now
from portal.wording.catalogue import gettext as _


@dataclass
class RateLimiter:
    """Counts tries per name: in memory, or as one ``kind`` of the ``brakes`` that several processes share. A try takes
    its place first, so that many at once are no more than many in a row.
    """

    most: int
    window_s: float
    names: int = 10_000
    kind: str = ""
    brakes: Brakes | None = None
    _tries: OrderedDict[bytes, deque[float]] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def take(self, name: str) -> int:
        """Take a place for one try: 0 where it is heard, else the seconds until one is free."""
        if self.brakes:
            return self.brakes.take(self.kind, name, self.most, self.window_s)
        with self._lock:
            key, now = _key(name), time.monotonic()
            tries = self._tries.setdefault(key, deque())
            self._tries.move_to_end(key)
            while len(self._tries) > self.names:
                self._tries.popitem(last=False)
            wait_s = self._wait_s(tries, now)
            if not wait_s:
                tries.append(now)
            return wait_s

    def wait_s(self, name: str) -> int:
        """The seconds until a place is free, 0 where one is; takes none."""
        if self.brakes:
            return self.brakes.wait_s(self.kind, name, self.most, self.window_s)
        with self._lock:
            return self._wait_s(self._tries.get(_key(name), deque()), time.monotonic())

    def forget(self, name: str) -> None:
        """Give back every place of a name: whoever they were taken from has said so."""
        if self.brakes:
            self.brakes.forget(self.kind, name)
            return
        with self._lock:
            self._tries.pop(_key(name), None)

    def _wait_s(self, tries: deque[float], now: float) -> int:
        while tries and tries[0] <= now - self.window_s:
            tries.popleft()
        return int(tries[0] + self.window_s - now) + 1 if len(tries) >= self.most else 0

    def give_back(self, name: str) -> None:
        """Give a place back: the try was none of those that are counted."""
        if self.brakes:
            self.brakes.give_back(self.kind, name)
            return
        with self._lock:
            tries = self._tries.get(_key(name))
            if tries:
                tries.pop()
            if not tries:
                self._tries.pop(_key(name), None)


def _key(name: str) -> bytes:
    """What is kept of a name, which may be an address of any length that somebody typed."""
    return blake2b(name.encode(errors="replace"), digest_size=16).digest()


@dataclass(frozen=True)
class Place:
    """The places of one try."""

    taken: Sequence[tuple[RateLimiter, str]]

    def give_back(self) -> None:
        """Give all of them back."""
        for one, name in self.taken:
            one.give_back(name)


async def take_place_soon(*wanted: tuple[RateLimiter, str]) -> Place:
    """The same for who must not wait for a database: a place taken in another thread."""
    return await run_in_threadpool(take_place, *wanted)


def take_place(*wanted: tuple[RateLimiter, str]) -> Place:
    """A place in each of some limiters, or in none: raises ``PortalError`` 429 where one is full."""
    place = Place([])
    for one, name in wanted:
        if wait_s := one.take(name):
            place.give_back()
            refuse_for_now(wait_s)
        place = Place([*place.taken, (one, name)])
    return place


def address_of(request: Request) -> str:
    """Whose line a request came by: the address, or the network of 64 bits that one line has in IPv6."""
    host = request.client.host if request.client else ""
    try:
        address = ip_address(host)
    except ValueError:
        return host
    if isinstance(address, IPv6Address):
        return str(address.ipv4_mapped or ip_network((address, 64), strict=False))
    return host


@dataclass
class Turns:
    """Lets each name do a few things at a time."""

    most: int
    _held: Counter[str] = field(default_factory=Counter)
    _lock: Lock = field(default_factory=Lock)

    @contextmanager
    def one(self, name: str) -> Iterator[None]:
        """A turn for the time of a block. Raises ``PortalError`` 429 where the name has all of its turns."""
        with self._lock:
            if self._held[name] >= self.most:
                raise PortalError(
                    429,
                    _("Not so many at once"),
                    _("The last ones are being worked out. Wait for them, then try again."),
                    retry_after_s=10,
                )
            self._held[name] += 1
        try:
            yield
        finally:
            with self._lock:
                self._held[name] -= 1
                if not self._held[name]:
                    del self._held[name]
