"""What whoever runs the portal may set, read once from the environment."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

HIGHEST_PORT = 65535
"""Of TCP."""

LONGEST_KEPT = 3650
"""Days for which words may be kept at most; whoever wants them longer keeps papers (common practice, no source)."""

LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})


@dataclass(frozen=True)
class Settings:
    """Every setting of the portal; each has a default that works on one's own machine."""

    data: Path
    """Folder of the database and the server key (``PORTAL_DATA``, default ``data``)."""
    host: str
    """Address to listen on (``PORTAL_HOST``, default ``127.0.0.1``: this machine only)."""
    port: int
    """Port to listen on (``PORTAL_PORT``, default 8100; 0 lets the system choose)."""
    base_url: str
    """Address that people type, without a slash at the end (``PORTAL_BASE_URL``, default: host and port)."""
    metrics_port: int | None = None
    """Port of this machine that gives out figures for monitoring (``PORTAL_METRICS_PORT``, default: nobody gets
    them).
    """

    keep_days: int = 90
    """Days after a gig after which its contacts and other free words are erased (``PORTAL_KEEP_DAYS``, default 90:
    common practice, no source).
    """

    @property
    def database(self) -> Path:
        """The SQLite file."""
        return self.data / "portal.sqlite3"

    @property
    def key_file(self) -> Path:
        """The server's own key, without which the codes on signed papers lead nowhere."""
        return self.data / "server.key"

    @property
    def origin(self) -> str:
        """Scheme, host and port of the address, as a browser writes them in ``Origin``."""
        parts = urlsplit(self.base_url)
        return f"{parts.scheme}://{parts.netloc}".lower()

    @property
    def https(self) -> bool:
        """True where people reach the portal over https."""
        return urlsplit(self.base_url).scheme == "https"

    @property
    def secure_cookies(self) -> bool:
        """True where a browser accepts ``Secure`` cookies: https, or this machine itself."""
        return self.https or urlsplit(self.base_url).hostname in LOOPBACK


def from_environment(environment: Mapping[str, str] = os.environ) -> Settings:
    """The settings as the environment gives them. Raises ``ValueError`` with a sentence when one makes no sense."""
    host = environment.get("PORTAL_HOST", "127.0.0.1")
    port = _number("PORTAL_PORT", environment.get("PORTAL_PORT", "8100"), 0, HIGHEST_PORT)
    metrics = environment.get("PORTAL_METRICS_PORT", "")
    shown = f"[{host}]" if ":" in host else host
    base_url = environment.get("PORTAL_BASE_URL", f"http://{shown}:{port}").rstrip("/")
    parts = urlsplit(base_url)
    if parts.scheme not in {"http", "https"} or not parts.netloc or parts.path:
        raise ValueError(f'PORTAL_BASE_URL is "{base_url}"; give an address such as https://advance.example.')
    metrics_port = _number("PORTAL_METRICS_PORT", metrics, 0, HIGHEST_PORT) if metrics else None
    keep_days = _number(
        "PORTAL_KEEP_DAYS",
        environment.get("PORTAL_KEEP_DAYS", str(Settings.keep_days)),
        1,
        LONGEST_KEPT,
        "a number of days",
    )
    return Settings(Path(environment.get("PORTAL_DATA", "data")), host, port, base_url, metrics_port, keep_days)


def _number(name: str, text: str, lo: int, hi: int, what: str = "a number") -> int:
    if not text.isdecimal() or not lo <= int(text) <= hi:
        raise ValueError(f'{name} is "{text}"; give {what} from {lo} to {hi}.')
    return int(text)
