"""How a test client asks: a request goes to the loop once and its answer comes back once, whole.

The library's own way crosses to the loop's thread eight times a request, and where no lifespan runs it starts a loop
and threads for each: that took longer than most pages take to write. Nothing here reads an answer while it is written.
"""

from __future__ import annotations

import atexit
from collections.abc import Iterator, MutableMapping
from contextlib import ExitStack, contextmanager
from functools import cache
from typing import Any
from urllib.parse import unquote

import anyio
from anyio.from_thread import BlockingPortal, start_blocking_portal
from httpx2 import ByteStream, Request, Response
from starlette import testclient

Message = MutableMapping[str, Any]


def ask_for_whole_answers() -> None:
    """From now on every test client asks like that."""
    testclient._TestClientTransport.handle_request = _handle
    testclient.TestClient._portal_factory = _loop_of


@cache
def _shared_loop() -> BlockingPortal:
    """The loop of all clients for which no lifespan runs."""
    kept = ExitStack()
    atexit.register(kept.close)
    return kept.enter_context(start_blocking_portal("asyncio"))


@contextmanager
def _loop_of(client: testclient.TestClient) -> Iterator[BlockingPortal]:
    yield client.portal or _shared_loop()


def _handle(transport: testclient._TestClientTransport, request: Request) -> Response:
    with transport.portal_factory() as loop:
        return loop.call(_answer, transport, request)


async def _answer(transport: testclient._TestClientTransport, request: Request) -> Response:
    """What the app answers. Raises what it raises."""
    url = request.url
    scope = {
        "type": "http",
        "http_version": "1.1",
        "method": request.method,
        "path": unquote(url.path),
        "raw_path": url.raw_path.split(b"?", 1)[0],
        "root_path": transport.root_path,
        "scheme": url.scheme,
        "query_string": url.query,
        "headers": [(key.lower(), value) for key, value in request.headers.raw],
        "client": transport.client,
        "server": [url.host, url.port or {"http": 80, "https": 443}[url.scheme]],
        "extensions": {},
        "state": transport.app_state.copy(),
    }
    asked, ended = iter((request.read(),)), anyio.Event()
    started: list[Message] = []
    body: list[bytes] = []

    async def receive() -> Message:
        for content in asked:
            return {"type": "http.request", "body": content}
        await ended.wait()
        return {"type": "http.disconnect"}

    async def send(message: Message) -> None:
        if message["type"] == "http.response.start":
            started.append(message)
            return
        assert started, "a body comes after its head"
        assert not ended.is_set(), "nothing comes after the end"
        body.append(bytes(message.get("body", b"")))
        if not message.get("more_body", False):
            ended.set()

    await transport.app(scope, receive, send)
    (head,) = started
    content = b"" if request.method == "HEAD" else b"".join(body)
    return Response(head["status"], headers=head["headers"], stream=ByteStream(content), request=request)
