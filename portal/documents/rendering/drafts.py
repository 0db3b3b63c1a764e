"""Finished papers that no signature keeps, held in memory until something is erased."""

from collections import OrderedDict
from threading import Lock

MOST_BYTES = 32 << 20
"""Papers that are held; a sheet of 128 lines has about 100 kB."""


class Drafts:
    """Finished papers by their digests, those that were asked for last. Any thread may ask."""

    def __init__(self, most_bytes: int = MOST_BYTES) -> None:
        self._most_bytes = most_bytes
        self._held: OrderedDict[str, bytes] = OrderedDict()
        self._bytes = 0
        self._lock = Lock()
        self.turn = 0
        """How often everything was forgotten: what was begun before that is not held."""

    def get(self, digest: str) -> bytes | None:
        """A paper that was made before."""
        with self._lock:
            content = self._held.get(digest)
            if content is not None:
                self._held.move_to_end(digest)
            return content

    def hold(self, digest: str, content: bytes, turn: int) -> None:
        """Hold a paper that was begun in a turn. Beyond the most bytes the one asked for longest ago goes."""
        with self._lock:
            if turn != self.turn or digest in self._held:
                return
            self._held[digest] = content
            self._bytes += len(content)
            while self._bytes > self._most_bytes:
                self._bytes -= len(self._held.popitem(last=False)[1])

    def forget(self) -> None:
        """Forget every paper: the names on one may be erased."""
        with self._lock:
            self._held.clear()
            self._bytes = 0
            self.turn += 1
