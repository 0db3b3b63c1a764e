"""One warm renderer for all tests of the papers, and a reader that is not the writer."""

import hashlib
import os
from pathlib import Path

import pytest

from portal.documents.rendering.pdf import Attached, RendererMissing
from portal.documents.rendering.worker import Worker
from tests.plan.outcomes import FOLDER


class OnceARun(Worker):
    """A renderer that makes a paper once for all workers of a run, however many tests look at it."""

    def _ask(self, message: bytes) -> bytes:
        file = Path(os.environ[FOLDER]) / hashlib.sha256(message).hexdigest()
        if file.exists():
            return file.read_bytes()
        made = super()._ask(message)
        half = file.with_name(f"{file.name}.{os.getpid()}")
        half.write_bytes(made)
        half.rename(file)
        return made

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
