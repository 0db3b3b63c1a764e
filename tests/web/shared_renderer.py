"""One renderer after another uses the same child process: to start one takes longer than to make most papers."""

import subprocess
from typing import ClassVar

from portal.documents.rendering.worker import Worker


class PassedOn(Worker):
    """A portal's renderer whose idle child goes to the next portal of the same run, instead of being stopped."""

    idle: ClassVar[list[subprocess.Popen[bytes]]] = []

    def close(self) -> None:
        """Hand the child on where it makes nothing just now; else it is stopped, as ever. Later papers are refused."""
        if self._turn.acquire(blocking=False):
            if self._child is not None and self._child.poll() is None:
                self.idle.append(self._child)
                self._child = None
            self._turn.release()
        super().close()

    def _running(self) -> subprocess.Popen[bytes]:
        if self._child is None and self.idle and not self._closed.is_set():
            self._child = self.idle.pop()
        return super()._running()

    @classmethod
    def stop_all(cls) -> None:
        """Stop the children that nobody uses."""
        while cls.idle:
            last = Worker()
            last._child = cls.idle.pop()
            last.close()
