"""A deed that is told by email, killed at a named step: forks once for each, as ``killed_at`` does, on a copy of the
data folder. Prints the exit of each child.
"""

import contextlib
import json
import os
import shutil
import smtplib
import sys
from collections.abc import Callable
from datetime import datetime
from itertools import count
from pathlib import Path

from portal.app import create_app
from portal.jobs.loop import Jobs
from portal.store import discussions
from portal.store.database import session
from portal.store.database.scopes import gig
from portal.store.emails import outbox
from portal.store.record import events
from portal.web.frame.running import Portal
from portal.web.mail import email_job, smtp
from portal.web.mail.email_job import EMAILS, GATHERED
from tests.builders import NOW
from tests.planning import InThisProcess, waited_for
from tests.web.killed_at import Patch, at, noting, settings_of
from tests.web.mail.mail_server import sending_to


def nth(number: int) -> Callable[..., bool]:
    """The call of that number."""
    calls = count(1)
    return lambda *_args, **_named: next(calls) == number


STEPS: dict[str, Callable[[], Patch]] = {
    "the comment written": lambda: at(events, "append", noting("commented")),
    "its event written": lambda: at(outbox, "note_event"),
    "before the deed is kept": lambda: at(session.Session, "commit", nth(1)),
    "the deed kept": lambda: at(email_job, "_gather"),
    "before it is known who reads": lambda: at(outbox, "unread"),
    "who reads is known": lambda: at(outbox, "spread"),
    "who reads is written": lambda: at(outbox, "waiting"),
    "before it is gathered": lambda: at(outbox, "last_of_gig"),
    "the email begun": lambda: at(outbox, "gather"),
    "the email written": lambda: at(outbox, "forget_told"),
    "before the email is kept": lambda: at(session.Session, "commit", nth(2)),
    "the email kept": lambda: at(email_job, "_compose"),
    "composed": lambda: at(smtp, "send"),
    "connected": lambda: at(smtplib.SMTP, "ehlo_or_helo_if_needed"),
    "greeted": lambda: at(smtplib.SMTP, "mail"),
    "the sender taken": lambda: at(smtplib.SMTP, "rcpt"),
    "the recipient taken": lambda: at(smtplib.SMTP, "data"),
    "the email taken": lambda: at(smtplib.SMTP, "quit"),
    "taken, nothing noted": lambda: at(email_job, "_note"),
    "being noted": lambda: at(outbox, "tried"),
    "noted, not kept": lambda: at(session.Session, "commit", nth(3)),
}


def a_portal(data: Path, port: int, now: datetime) -> Portal:
    """A portal that does nothing by itself."""
    portal: Portal = create_app(sending_to(port, settings_of(data)), lambda: now, Jobs(), InThisProcess()).state.portal
    return portal


def send_what_is_due(portal: Portal, now: datetime) -> None:
    """Gather what waits and send it."""
    for _ in range(2):
        with portal.store.reading() as db:
            due = EMAILS.due(db, now)
        for one in due:
            waited_for(EMAILS.do(portal, one))


def work(data: Path, port: int, gig_id: str, user_id: str) -> None:
    """The band comments; some minutes later the email goes out."""
    portal = a_portal(data, port, NOW + GATHERED)
    with portal.store.writing(gig(gig_id)) as db:
        discussions.say(db, gig_id=gig_id, party="band", author="Ada", words="Hi", user_id=user_id, now=NOW)
    send_what_is_due(portal, NOW + GATHERED)


def main(source: str, target: str, port: str, gig_id: str, user_id: str) -> None:
    ends = {}
    for number, (step, patch) in enumerate(STEPS.items()):
        data = Path(target, str(number))
        shutil.copytree(source, data)
        if (child := os.fork()) == 0:
            with Path(os.devnull).open("w") as nothing, contextlib.redirect_stdout(nothing):
                patch()()
                work(data, int(port), gig_id, user_id)
            os._exit(7)
        ends[step] = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    sys.stdout.write(json.dumps(ends))


if __name__ == "__main__":
    main(*sys.argv[1:])
