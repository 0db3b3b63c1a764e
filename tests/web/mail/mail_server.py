"""A real mail server for tests, which takes what it is sent, or behaves as some servers do."""

import asyncio
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from email import message_from_bytes, policy
from email.message import EmailMessage

from aiosmtpd.smtp import SMTP

from portal.settings import Settings, Smtp

REPLIES = {
    "refuses": "550 5.1.1 No such address",
    "defers": "451 4.7.1 Come again later",
    "lets nobody send": "530 5.7.0 Sign in first",
}


@dataclass
class MailServer:
    """What has arrived, in order, and how the server behaves next: as named, else it takes everything."""

    port: int = 0
    behaves: str = ""
    arrived: list[EmailMessage] = field(default_factory=list)
    told: list[bytes] = field(default_factory=list)
    meanwhile: Callable[[], None] = lambda: None

    async def handle_MAIL(self, _server, _session, envelope, address, _options):  # noqa: N802 - aiosmtpd's name
        if self.behaves == "lets nobody send":
            return REPLIES[self.behaves]
        envelope.mail_from = address
        return "250 OK"

    async def handle_RCPT(self, _server, _session, envelope, address, _options):  # noqa: N802 - the same
        if self.behaves in {"refuses", "defers"}:
            return REPLIES[self.behaves]
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, _session, envelope):  # noqa: N802 - the same
        if self.behaves == "rejects":
            return "554 5.6.0 Not such a text"
        self.told.append(envelope.original_content)
        self.arrived.append(message_from_bytes(envelope.original_content, policy=policy.default))
        await asyncio.get_running_loop().run_in_executor(None, self.meanwhile)
        if self.behaves == "cuts":
            server.transport.close()
        if self.behaves == "is slow":
            await asyncio.sleep(1.5)
        return "250 OK"

    def text(self, number: int = -1) -> str:
        """The plain text of one email."""
        body = self.arrived[number].get_body(("plain",))
        assert body is not None
        return body.get_content().replace("\r\n", "\n")


def sending_to(port: int, settings: Settings) -> Settings:
    """The settings of a portal that sends its emails to a port of this machine."""
    return replace(settings, smtp=Smtp("127.0.0.1", port, "", "portal@portal.example"))


@contextmanager
def mail_server() -> Iterator[MailServer]:
    """A server that listens on this machine, on a port that the system chose."""
    handler, loop = MailServer(), asyncio.new_event_loop()
    spoken: list[SMTP] = []
    thread = threading.Thread(target=loop.run_forever)
    thread.start()

    def speaker() -> SMTP:
        spoken.append(SMTP(handler, hostname="mail.test", loop=loop))
        return spoken[-1]

    listening = asyncio.run_coroutine_threadsafe(loop.create_server(speaker, "127.0.0.1", 0), loop).result()
    handler.port = listening.sockets[0].getsockname()[1]
    try:
        yield handler
    finally:
        asyncio.run_coroutine_threadsafe(_ended(listening, spoken), loop).result()
        loop.call_soon_threadsafe(loop.stop)
        thread.join()
        loop.close()


async def _ended(listening: asyncio.Server, spoken: list[SMTP]) -> None:
    """Whoever still speaks with the server is cut off, and every line is closed."""
    listening.close()
    speaking = [task for task in asyncio.all_tasks() if task is not asyncio.current_task()]
    for task in speaking:
        task.cancel()
    await asyncio.gather(*speaking, return_exceptions=True)
    for one in spoken:
        if one.transport is not None:
            one.transport.abort()
    # A line is closed by the loop itself, a turn later.
    for _ in range(3):
        await asyncio.sleep(0)
