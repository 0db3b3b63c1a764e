"""Killed at any step between a deed and its email, the deed is told as one email, however many copies of it arrive."""

import json
import signal
import sqlite3
import subprocess
import sys
from collections import Counter
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from portal.settings import Settings
from portal.store.emails import addresses
from portal.web.frame.running import Portal
from portal.web.mail.email_job import GATHERED
from tests.builders import NOW, ABand, a_gig, a_link
from tests.web.mail import killed_email
from tests.web.mail.mail_server import MailServer

pytestmark = pytest.mark.slow


def counted(database: Path) -> list[int]:
    """Comments, what is noted of them, and emails sent."""
    with closing(sqlite3.connect(database)) as raw:
        return [
            raw.execute(f"SELECT count(*) FROM {what}").fetchone()[0]  # noqa: S608 - words of this file
            for what in ("comment", "outbox", "email WHERE state = 'sent'")
        ]


def test_a_deed_is_told_as_one_email(
    portal: Portal, band: ABand, settings: Settings, server: MailServer, tmp_path: Path
) -> None:
    """At each of twenty-one steps: what is kept is queued once, arrives at least once, and under one Message-ID."""
    with portal.store.writing() as db:
        gig = a_gig(db, band)
        link = a_link(db, gig, band)
        addresses.give_address(db, f"link:{link.id}", "noor@house.example", "band", NOW)
    portal.store.close()
    target = tmp_path / "killed"
    target.mkdir()
    program = [sys.executable, "-m", "tests.web.mail.killed_email", str(settings.data), str(target), str(server.port)]
    ran = subprocess.run([*program, gig.id, band.user_id], check=True, capture_output=True, text=True, timeout=300)
    assert json.loads(ran.stdout) == dict.fromkeys(killed_email.STEPS, -signal.SIGKILL)
    kept = 0
    for number, step in enumerate(killed_email.STEPS):
        later = NOW + GATHERED + timedelta(hours=1)
        again = killed_email.a_portal(target / str(number), server.port, later)
        killed_email.send_what_is_due(again, later)
        again.store.close()
        comments, noted, sent = counted(again.settings.database)
        assert noted == sent == comments, step
        kept += comments
    copies = Counter(one["Message-ID"] for one in server.arrived)
    print(f"\nkill_points={number + 1} deeds_kept={kept} emails={len(copies)} copies={sorted(copies.values())}")  # noqa: T201 - shown with -s
    assert kept == len(copies) == len(killed_email.STEPS) - 3
    assert max(copies.values()) == 2
