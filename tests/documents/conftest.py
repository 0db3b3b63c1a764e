"""One warm renderer for all tests of the papers, and a reader that is not the writer."""

import os

import pytest

from portal.documents.rendering.pdf import RendererMissing
from portal.documents.rendering.worker import Worker


@pytest.fixture(scope="session")
def worker():
    with Worker(deadline_s=120) as one:
        try:
            one.warm()
        except RendererMissing as missing:
            if os.environ.get("CI"):
                raise
            pytest.skip(str(missing))
        yield one
