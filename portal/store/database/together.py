"""Several processes on one database on a server: who does what, and who hears what the others saved. Each has two
connections of its own for it; a process that ends, or hangs, holds up no other.
"""

import logging
import secrets
import threading
import time
from collections.abc import Callable
from typing import Any

from sqlalchemy import Connection, Select, bindparam, func, literal, select, text
from sqlalchemy.exc import SQLAlchemyError

from portal.settings import Server
from portal.store.database.claim import AlreadyServed
from portal.store.database.postgresql import NEWS, patient_engine_of
from portal.store.database.refusals import CannotWrite, Unreadable

log = logging.getLogger("portal")

SILENT_S = 60
"""After so long without a sign of life the server gives what a process holds to the others (common practice, no
source).
"""

SIGN_S = 15.0
"""How often a process gives a sign of life."""

AGAIN_S = (0.5, 1.0, 2.0, 5.0, 10.0)
"""How long after each try the server is tried again; the last wait is kept."""

SURE_S = 10.0
"""How often a process makes sure that it hears the others (common practice, no source)."""

LOOK_S = 0.5
"""How soon a process that listens finds out that it is to stop."""

_SERVING = func.hashtextextended("portal:serving", 0)
_NAMED = func.hashtextextended(bindparam("name"), 0)
_TAKE, _GIVE_BACK = select(func.pg_try_advisory_lock(_NAMED)), select(func.pg_advisory_unlock(_NAMED))
_SIGN = select(literal(value=True))


def claim_alone(server: Server) -> Connection:
    """Claim a database that no portal serves, until the connection that comes back ends. Raises ``AlreadyServed``."""
    connection = _line(server)
    if not connection.execute(select(func.pg_try_advisory_lock(_SERVING))).scalar_one():
        connection.close()
        raise AlreadyServed(str(server), "another database in PORTAL_DATABASE_URL")
    return connection


def _line(server: Server) -> Connection:
    """A connection whose locks are held until it ends."""
    return patient_engine_of(server).connect().execution_options(isolation_level="AUTOCOMMIT")


class Claims:
    """What this process does while no other does it: locks that last as long as its line to the server. A process that
    was killed has lost them at once, one that hangs after a minute. Any thread may ask.
    """

    def __init__(self, server: Server) -> None:
        self._server = server
        self._connection: Connection | None = None
        self._turn = threading.Lock()
        self._ends = threading.Event()
        self._alive = threading.Thread(target=self._give_signs, name="claims", daemon=True)

    def open(self) -> None:
        """Serve the database from now on, as others may too. Raises ``Unreadable`` while it is being moved."""
        with self._turn:
            self._connected()
        self._alive.start()

    def take(self, what: str) -> bool:
        """Claim a piece of work; false where another process does it. Raises ``CannotWrite``."""
        return self._ask(_TAKE, what)

    def give_back(self, what: str) -> None:
        """End a claim; what was lost with the line is ended already."""
        if self._connection is None:
            return
        try:
            self._ask(_GIVE_BACK, what)
        except (CannotWrite, SQLAlchemyError) as error:
            log.info("a claim ended with its line: %s", type(error).__name__)

    def close(self) -> None:
        """End every claim."""
        self._ends.set()
        with self._turn:
            self._lose()

    def _ask(self, statement: Select[bool], what: str) -> bool:
        with self._turn:
            if self._ends.is_set():
                return False
            try:
                return bool(self._connected().execute(statement, {"name": f"portal:work:{what}"}).scalar_one())
            except Unreadable:
                return False
            except BaseException:
                # A line that broke holds nothing any more; the next one begins anew.
                self._lose()
                raise

    def _connected(self) -> Connection:
        if self._connection is None:
            connection = _line(self._server)
            connection.execute(text(f"SET idle_session_timeout = '{SILENT_S}s'"))
            if not connection.execute(select(func.pg_try_advisory_lock_shared(_SERVING))).scalar_one():
                connection.close()
                raise Unreadable(
                    f"The database {self._server} is being moved. Nothing was changed: start the portal once that is"
                    " done."
                )
            self._connection = connection
        return self._connection

    def _lose(self) -> None:
        if self._connection is not None:
            self._connection.invalidate()
            self._connection.close()
            self._connection = None

    def _give_signs(self) -> None:
        while not self._ends.wait(SIGN_S):
            try:
                self._ask(_SIGN, "")
            except (CannotWrite, SQLAlchemyError) as error:
                log.warning("claims were lost: %s", type(error).__name__)


class Listener:
    """Hears what other processes saved, on a thread of its own. A line may be cut without a word: what hears its own
    sign hears the others.
    """

    def __init__(self, server: Server) -> None:
        self._server = server
        self._sign = f"portal_sign_{secrets.token_hex(8)}"
        self._sure = time.monotonic()
        self._ends = threading.Event()

    def start(self, heard: Callable[[str], None], everything: Callable[[], None]) -> None:
        """Listen from now on: ``heard`` is called with each gig, ``everything`` whenever something may have been
        missed.
        """
        threading.Thread(target=self._listen, args=(heard, everything), name="listener", daemon=True).start()

    def unsure_s(self) -> float:
        """The seconds since it was last sure to hear the other processes: a few while it does."""
        return time.monotonic() - self._sure

    def close(self) -> None:
        """Stop listening."""
        self._ends.set()

    def _listen(self, heard: Callable[[str], None], everything: Callable[[], None]) -> None:
        tries = 0
        while not self._ends.is_set():
            try:
                with _line(self._server) as connection:
                    connection.exec_driver_sql(f"LISTEN {NEWS}")
                    connection.exec_driver_sql(f"LISTEN {self._sign}")
                    self._sure, tries = time.monotonic(), 0
                    # What was said while nobody listened is lost.
                    everything()
                    self._hear(connection, heard)
            except Exception as error:  # noqa: BLE001 - none may end it
                # Whatever it is, the pages that wait look by themselves meanwhile.
                log.warning("other processes are not heard: %s", type(error.__cause__ or error).__name__)
                self._ends.wait(AGAIN_S[min(tries, len(AGAIN_S) - 1)])
                tries += 1

    def _hear(self, connection: Connection, heard: Callable[[str], None]) -> None:
        line: Any = connection.connection.driver_connection
        asked = time.monotonic()
        while not self._ends.is_set():
            for one in line.notifies(timeout=LOOK_S):
                if one.channel == self._sign:
                    self._sure = time.monotonic()
                else:
                    heard(one.payload)
            if time.monotonic() - asked >= SURE_S:
                asked = time.monotonic()
                # Where the server says nothing, this waits, and nothing is sure any more.
                connection.exec_driver_sql(f"NOTIFY {self._sign}")
