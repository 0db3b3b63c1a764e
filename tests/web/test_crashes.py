"""Nothing that was acknowledged is lost: not when several save at once, and not when the portal is killed at any
moment.
"""

import os
import random
import secrets
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from contextlib import closing, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from urllib.parse import urlencode

import pytest

from portal.settings import Settings
from portal.store import rigs
from portal.store.accounts import bands, sessions
from portal.store.database import sqlite_backup
from portal.store.database.server_key import open_key
from portal.store.database.session import Store, open_store
from portal.store.record.verify import verify
from portal.web.frame import deps, forms
from portal.web.frame.access import USER_LONGEST, new_token, token_hash
from tests.builders import ABand, a_band, a_gig, a_stored_rig
from tests.web.test_start import printed_address, start

EDITORS = 4


# --- several people save the same thing


def sign_in(store: Store, settings: Settings, user_id: str, now: datetime) -> str:
    """The cookie of a fresh session."""
    token = new_token()
    with store.writing() as db:
        sessions.start_for_user(db, token_hash(token), user_id, now=now, expires=now + USER_LONGEST)
    return f"{deps.cookie_name(settings)}={token}"


@dataclass
class Race:
    """What came of a race of editors, each of whom adds one."""

    acknowledged: int
    refused: int
    lost: int
    took_s: float


def race(store: Store, settings: Settings, address: str, band: ABand, edits: int, now: datetime) -> Race:
    """Several processes add one to a number until each was told so often enough; what is stored afterwards ought to be
    the sum.
    """
    with store.writing() as db:
        rig = a_stored_rig(db, band)
        rigs.save(db, rig, version=1, name="Rig 0", rig=rigs.newest(db, rig.id).read(), author_id=band.user_id, now=now)
    cookie = sign_in(store, settings, band.user_id, now)
    program = [sys.executable, str(Path(__file__).with_name("editing.py")), address, cookie, rig.id, str(edits)]
    started = time.perf_counter()
    editors = [subprocess.Popen(program, stdout=subprocess.PIPE, text=True) for _ in range(EDITORS)]
    said = [editor.communicate(timeout=1200)[0] for editor in editors]
    took_s = time.perf_counter() - started
    assert [editor.returncode for editor in editors] == [0] * EDITORS
    counts = [list(map(int, line.split())) for line in said]
    with store.reading() as db:
        name = rigs.get(db, band.band_id, rig.id).name
    acknowledged = sum(count[0] for count in counts)
    return Race(acknowledged, sum(count[1] for count in counts), acknowledged - int(name.removeprefix("Rig ")), took_s)


class AnyVersion(int):
    """A version that differs from none."""

    __slots__ = ()
    __hash__ = int.__hash__

    def __ne__(self, other: object) -> bool:
        return False


def no_edit_is_lost(
    store: Store, settings: Settings, address: str, edits: int, monkeypatch: pytest.MonkeyPatch, clock
) -> None:
    with store.writing() as db:
        band = a_band(db)
    guarded = race(store, settings, address, band, edits, clock())
    with monkeypatch.context() as planted:
        version = forms.Posted.version
        planted.setattr(forms.Posted, "version", lambda sent: AnyVersion(version(sent)))
        bare = race(store, settings, address, band, edits, clock())
    for name, one in (("guard=on", guarded), ("guard=off", bare)):
        said = (
            f"{name} processes={EDITORS} acked={one.acknowledged} lost={one.lost} refused={one.refused}"
            f" took_s={one.took_s:.1f}"
        )
        print(f"\n{said}")  # noqa: T201 - shown with -s
    assert (guarded.acknowledged, guarded.lost) == (EDITORS * edits, 0)
    assert guarded.refused > 0
    assert bare.lost > 0


def test_no_edit_is_lost(
    store: Store, settings: Settings, address: str, monkeypatch: pytest.MonkeyPatch, clock
) -> None:
    """Four people who save the same rig lose nothing of what they were told is saved; without the versions they
    would.
    """
    no_edit_is_lost(store, settings, address, 15, monkeypatch, clock)


@pytest.mark.soak
def test_no_edit_is_lost_for_long(
    store: Store, settings: Settings, address: str, monkeypatch: pytest.MonkeyPatch, clock
) -> None:
    """The same for more than a thousand edits."""
    no_edit_is_lost(store, settings, address, 320, monkeypatch, clock)


# --- the portal is killed


@dataclass
class Written:
    """Forms that were sent: their words, their one-time keys, and whether the portal said that they are kept."""

    lock: threading.Lock = field(default_factory=threading.Lock)
    sent: dict[str, str] = field(default_factory=dict)
    acknowledged: set[str] = field(default_factory=set)

    def send(self, connection: HTTPConnection, address: str, page: str, cookie: str, words: str) -> None:
        with self.lock:
            key = self.sent.setdefault(words, secrets.token_urlsafe(16))
        body = urlencode({"words": words, "form_key": key, "form_version": "0"})
        headers = {"Cookie": cookie, "Origin": address, "Content-Type": "application/x-www-form-urlencoded"}
        connection.request("POST", page, body, headers)
        answer = connection.getresponse()
        answer.read()
        assert answer.status == 303, answer.status
        with self.lock:
            self.acknowledged.add(words)


def write_until_killed(written: Written, address: str, page: str, cookie: str, who: str) -> None:
    with (
        closing(HTTPConnection(address.removeprefix("http://"), timeout=60)) as connection,
        suppress(OSError, HTTPException),
    ):
        for number in range(100_000):
            written.send(connection, address, page, cookie, f"{who} {number}")


def half_applied(database: Path, words: set[str]) -> int:
    """Comments without their event or their one-time key, or the reverse: what half a transaction would leave."""
    with closing(sqlite3.connect(database)) as raw:
        kept = {row[0] for row in raw.execute("SELECT words FROM comment")}
        events = raw.execute("SELECT count(*) FROM event WHERE kind = 'commented'").fetchone()[0]
        keys = raw.execute("SELECT count(*) FROM form_key WHERE route LIKE '%/talk'").fetchone()[0]
    assert words <= kept
    return abs(len(kept) - events) + abs(len(kept) - keys)


def killed_and_started_again(data: Path, migrated: Path, kills: int, seed: int) -> None:  # noqa: PLR0915 - one story, told in order
    data.mkdir()
    settings = Settings(data, "127.0.0.1", 0, "http://127.0.0.1:0")
    settings.database.write_bytes(migrated.read_bytes())
    store = open_store(settings.database)
    open_key(store, settings.key_file)
    now = datetime.now(UTC)
    with store.writing() as db:
        band = a_band(db)
        gig = a_gig(db, band)
        assert bands.user(db, band.user_id)
    cookie = sign_in(store, settings, band.user_id, now)
    store.close()
    page, chance, written = f"/gigs/{gig.id}/talk", random.Random(seed), Written()  # noqa: S311 - moments, not secrets
    lost = half = sent_again = killed_while_writing = 0
    for kill in range(kills + 1):
        running = start(data, PORTAL_PORT="0")
        try:
            address = printed_address(running)
            assert address, "the portal did not come up again"
            # Whoever got no answer presses the button again.
            open_forms = [words for words in written.sent if words not in written.acknowledged]
            with closing(HTTPConnection(address.removeprefix("http://"), timeout=60)) as connection:
                for words in open_forms:
                    written.send(connection, address, page, cookie, words)
            sent_again += len(open_forms)
            if kill == kills:
                break
            people = [
                threading.Thread(target=write_until_killed, args=(written, address, page, cookie, f"{kill} {who}"))
                for who in range(EDITORS)
            ]
            before = len(written.acknowledged)
            for person in people:
                person.start()
            while len(written.acknowledged) == before and any(person.is_alive() for person in people):
                time.sleep(0.002)
            time.sleep(chance.uniform(0.0, 0.4))
            running.send_signal(signal.SIGKILL)
            for person in people:
                person.join()
            killed_while_writing += len(written.acknowledged) > before
        finally:
            running.kill()
            running.communicate(timeout=60)
        with closing(sqlite3.connect(settings.database)) as raw:
            kept = {row[0] for row in raw.execute("SELECT words FROM comment")}
        lost += len(written.acknowledged - kept)
        half += half_applied(settings.database, written.acknowledged & kept)
        assert sqlite_backup.damage(settings.database) == ()
    with closing(sqlite3.connect(settings.database)) as raw:
        kept_rows = [row[0] for row in raw.execute("SELECT words FROM comment")]
    twice = len(kept_rows) - len(set(kept_rows))
    store = open_store(settings.database)
    with store.reading() as db:
        verdict = verify(db)
    store.close()
    print(  # noqa: T201 - shown with -s
        f"\nkills={kills} while_writing={killed_while_writing} acked={len(written.acknowledged)} acked_lost={lost}"
        f" half={half} sent_again={sent_again} effects_per_intent={len(kept_rows) / len(written.sent):.2f} integrity=ok"
        f" chain_faults={len(verdict.faults)}"
    )
    assert (lost, half, twice, verdict.faults) == (0, 0, 0, ())
    assert set(kept_rows) == set(written.sent)
    assert killed_while_writing == kills


@pytest.mark.slow
def test_a_killed_portal_loses_nothing(tmp_path: Path, migrated: Path) -> None:
    """Killed while four people write, and started again: all that was acknowledged is there, whole, and once."""
    killed_and_started_again(tmp_path / "data", migrated, kills=3, seed=1)


@pytest.mark.soak
def test_a_portal_killed_many_times_loses_nothing(tmp_path: Path, migrated: Path) -> None:
    """The same at forty moments, others each time."""
    killed_and_started_again(tmp_path / "data", migrated, kills=40, seed=int.from_bytes(os.urandom(4)))


def test_the_harness_sees_a_loss(tmp_path: Path, migrated: Path) -> None:
    """A row that is taken away, and a comment without its event, are counted as lost and as half."""
    data = tmp_path / "portal.sqlite3"
    data.write_bytes(migrated.read_bytes())
    with closing(sqlite3.connect(data)) as raw, raw:
        raw.execute(
            "INSERT INTO comment (id, gig_id, party, author, words, created) VALUES ('c', 'g', 'band', 'Ada', 'one',"
            " '2026-11-25')"
        )
    assert half_applied(data, {"one"}) == 2
    with pytest.raises(AssertionError):
        half_applied(data, {"one", "two"})
