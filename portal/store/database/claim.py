"""One portal serves a data folder: each has its own writer's turn, brakes and bell, so that two would hold each other
up and tell nobody.
"""

import fcntl
import os
from pathlib import Path


class AlreadyServed(Exception):  # noqa: N818 - reads as what it says
    """Another portal serves the folder, or the database on a server."""

    def __init__(self, what: str, other: str = "another folder in PORTAL_DATA") -> None:
        super().__init__(f"Another portal already serves {what}. Stop it first, or name {other}.")


def claim(folder: Path) -> int:
    """Claim a folder for this process, until it ends or closes the file that is returned. Raises ``AlreadyServed``."""
    opened = os.open(folder / "serving.lock", os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError as error:
        os.close(opened)
        raise AlreadyServed(str(folder)) from error
    return opened
