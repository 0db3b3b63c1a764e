"""One warm renderer for all tests of the papers, and a reader that is not the writer."""

import hashlib
import os

import pytest

from portal.documents.rendering.pdf import Attached, RendererMissing
from portal.documents.rendering.worker import Worker
from tests.plan.outcomes import kept_for_all


class OnceARun(Worker):
    """A renderer that makes a paper once for all workers of a run, however many tests look at it."""

    def _ask(self, message: bytes) -> bytes:
        return kept_for_all(hashlib.sha256(message).hexdigest(), lambda: Worker._ask(self, message))

    def again(self, html: str, attached: Attached | None = None) -> bytes:
        """The paper, made once more."""
        with pytest.MonkeyPatch.context() as patched:
            patched.setattr(OnceARun, "_ask", Worker._ask)
            return self.render(html, attached)


@pytest.fixture(scope="session")
def worker():
    with OnceARun(deadline_s=120) as one:
        try:
            one.warm()
        except RendererMissing as missing:
            if os.environ.get("CI"):
                raise
            pytest.skip(str(missing))
        yield one
