"""What stored texts hold, read through once by this process and not once a request, and what follows from it. A text
says the same for ever, so nothing here grows old; what is erased must not stay, so nothing stays for long.
"""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from functools import wraps
from threading import Lock
from time import monotonic
from typing import Any, TypeVar

T = TypeVar("T")

MOST_CHARACTERS = 4 << 20
"""Of all texts that are held; a plan of 128 lines has some 200,000."""

MOST_FOLLOWING = 256
"""Things that follow from what was read, such as the lines of a plan as a page shows them."""

LASTS_S = 3600.0
"""After so many seconds all of it is forgotten: another process may have erased a name (common practice, no source)."""


class Readings:
    """What was read of texts that were asked for last. Any thread may ask."""

    def __init__(self, most_characters: int = MOST_CHARACTERS) -> None:
        self._most = most_characters
        self._held: OrderedDict[tuple[object, str], Any] = OrderedDict()
        self._following: OrderedDict[tuple[int, Hashable], tuple[object, object, Any]] = OrderedDict()
        self._characters = 0
        self._since = monotonic()
        self._turn = 0
        self._lock = Lock()

    def of(self, read: Callable[[str], T], text: str) -> T:
        """What a text holds. What was found is shared: nobody changes it."""
        name = (read, text)
        with self._lock:
            if monotonic() - self._since > LASTS_S:
                self._clear()
            turn = self._turn
            if name in self._held:
                self._held.move_to_end(name)
                known: T = self._held[name]
                return known
        found = read(text)
        with self._lock:
            if turn == self._turn and name not in self._held:
                self._held[name] = found
                self._characters += len(text)
                while self._characters > self._most:
                    self._characters -= len(self._held.popitem(last=False)[0][1])
        return found

    def following(self, thing: object, what: Hashable, given: object, make: Callable[[], T]) -> T:
        """What follows from a thing that was read, and from nothing else but what is given: made anew only where that
        is not the same. What was made is shared: nobody changes it.
        """
        # Its number is its own for as long as the thing is held beside what follows from it.
        name = (id(thing), what)
        with self._lock:
            turn = self._turn
            known = self._following.get(name)
            if known is not None:
                self._following.move_to_end(name)
        if known is not None and known[1] == given:
            found: T = known[2]
            return found
        made = make()
        with self._lock:
            if turn == self._turn:
                self._following[name] = (thing, given, made)
                if len(self._following) > MOST_FOLLOWING:
                    self._following.popitem(last=False)
        return made

    def forget(self) -> None:
        """Forget all of it, and what is being read."""
        with self._lock:
            self._clear()

    def _clear(self) -> None:
        self._held.clear()
        self._following.clear()
        self._characters, self._since = 0, monotonic()
        self._turn += 1


READINGS = Readings()
"""Those of this process."""


def read_once(read: Callable[[str], T]) -> Callable[[str], T]:
    """A reader of texts that reads each of them once. It depends on the text alone, and never on who reads."""

    @wraps(read)
    def found(text: str) -> T:
        return READINGS.of(read, text)

    return found
