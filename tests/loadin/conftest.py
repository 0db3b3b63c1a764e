"""The renderer that the portal prints with, shared with the tests of the papers."""

import pytest

from tests.documents.conftest import worker

_ = worker


@pytest.fixture(scope="session")
def printer(worker):
    """A page of HTML -> the PDF that is downloaded."""
    return worker.render
