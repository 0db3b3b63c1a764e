"""A portal that sends its emails to a mail server of the tests' own."""

from collections.abc import Iterator

import pytest

from portal.settings import Settings
from portal.web.frame.running import Portal
from tests.builders import ABand
from tests.web.conftest import Clock
from tests.web.mail.email_scene import Scene
from tests.web.mail.mail_server import MailServer, mail_server, sending_to


@pytest.fixture
def server() -> Iterator[MailServer]:
    with mail_server() as made:
        yield made


@pytest.fixture
def settings(settings: Settings, server: MailServer) -> Settings:
    return sending_to(server.port, settings)


@pytest.fixture
def scene(portal: Portal, clock: Clock, band: ABand, server: MailServer) -> Scene:
    return Scene(portal, clock, band, server)
