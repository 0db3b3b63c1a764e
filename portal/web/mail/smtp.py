"""One email handed to the mail server, and what came of it.

The standard library's client, in a thread of the job that waits for it: one email at a time needs no other library.
"""

import smtplib
import socket
import ssl
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from email.message import EmailMessage
from enum import StrEnum
from threading import Timer

from portal.settings import Smtp

TIME_OUT_S = 30.0
"""How long one answer of the server is waited for (common practice; RFC 5321, 4.5.3.2, allows minutes)."""

WHOLE_S = 120.0
"""How long a whole email may take: a server that sends its answers letter by letter holds nobody up for ever."""

FOR_GOOD = 500
"""The first of the codes by which a server says no for good (RFC 5321, section 4.2.1)."""


class Outcome(StrEnum):
    """What came of it: taken, or why not. ``CUT``: the line ended before the answer, so the email may have arrived."""

    SENT = "sent"
    REFUSED = "refused"
    REJECTED = "rejected"
    DEFERRED = "deferred"
    CUT = "cut"
    SLOW = "slow"
    DOWN = "down"


AGAIN = frozenset({Outcome.DEFERRED, Outcome.CUT, Outcome.SLOW, Outcome.DOWN})
"""What is tried again."""


def send(server: Smtp, message: EmailMessage, time_out_s: float = TIME_OUT_S) -> Outcome:
    """Hand one email with one recipient over."""
    try:
        with _connected(server, time_out_s) as client:
            return _hand_over(client, server, message)
    except TimeoutError:
        return Outcome.SLOW
    except (OSError, smtplib.SMTPException):
        # A wrong password or certificate is the operator's to mend: the log says so, and nothing is lost meanwhile.
        return Outcome.DOWN


@contextmanager
def _connected(server: Smtp, time_out_s: float) -> Iterator[smtplib.SMTP]:
    tls = ssl.create_default_context()
    if server.tls == "smtps":
        client: smtplib.SMTP = smtplib.SMTP_SSL(server.host, server.port, timeout=time_out_s, context=tls)
    else:
        client = smtplib.SMTP(server.host, server.port, timeout=time_out_s)
    ends = Timer(WHOLE_S, _end, [client])
    ends.daemon = True
    ends.start()
    try:
        if server.tls == "starttls":
            client.starttls(context=tls)
        if server.user:
            client.login(server.user, server.password)
        yield client
    finally:
        ends.cancel()
        # What was taken is taken, however the line ends.
        with suppress(OSError, smtplib.SMTPException):
            client.quit()
        client.close()


def _end(client: smtplib.SMTP) -> None:
    if client.sock is not None:
        with suppress(OSError):
            client.sock.shutdown(socket.SHUT_RDWR)


def _hand_over(client: smtplib.SMTP, server: Smtp, message: EmailMessage) -> Outcome:
    try:
        client.send_message(message, server.sender, [str(message["To"])])
    except smtplib.SMTPRecipientsRefused as error:
        ((code, _),) = error.recipients.values()
        return Outcome.REFUSED if code >= FOR_GOOD else Outcome.DEFERRED
    except smtplib.SMTPDataError as error:
        return Outcome.REJECTED if error.smtp_code >= FOR_GOOD else Outcome.DEFERRED
    except smtplib.SMTPResponseException:
        # It does not take the portal as a sender, or not now: no fault of the address.
        return Outcome.DEFERRED
    except smtplib.SMTPServerDisconnected as error:
        # The library turns a time-out into an end of the line.
        return Outcome.SLOW if isinstance(error.__context__, TimeoutError) else Outcome.CUT
    return Outcome.SENT
