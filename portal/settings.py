"""What whoever runs the portal may set, read once from the environment."""

import os
import re
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from urllib.parse import parse_qsl, unquote, urlsplit

HIGHEST_PORT = 65535
"""Of TCP."""

LONGEST_KEPT = 3650
"""Days for which words may be kept at most; whoever wants them longer keeps papers (common practice, no source)."""

LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})

LONGEST_ADDRESS = 254
"""Characters of an email address (RFC 5321 with its erratum 1690)."""

SMTP_PORTS = {"smtp": 587, "smtps": 465}
"""The port of each kind of line to a mail server (RFC 6409, RFC 8314)."""


@dataclass(frozen=True)
class Smtp:
    """The mail server that takes the portal's emails. ``tls``: at once (smtps), started (starttls), or empty on this
    machine itself.
    """

    host: str
    port: int
    tls: str
    sender: str
    user: str = ""
    password: str = field(default="", repr=False)


POSTGRESQL_PORT = 5432
"""The port that PostgreSQL listens on unless told otherwise."""

SOCKETS = "/run/postgresql"
"""The folder of the server's socket on Debian."""

TLS = ("require", "verify-ca", "verify-full")
"""What may be asked of the line to a database server, the weakest first (libpq's words)."""


@dataclass(frozen=True)
class Server:
    """A database on a PostgreSQL server, and as whom to use it. ``host``: a name, an address, or the folder of the
    server's socket. ``tls``: one of ``TLS``, or empty on this machine itself. ``certificates``: a file of those that
    are trusted.
    """

    host: str
    port: int
    name: str
    user: str
    password: str = field(default="", repr=False)
    tls: str = ""
    certificates: str = ""

    def __str__(self) -> str:
        """How sentences name it, without the password."""
        return f"{self.name} on {self.host}:{self.port} as {self.user}"


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
    smtp: Smtp | None = None
    """The mail server (``PORTAL_SMTP_URL``, ``PORTAL_SMTP_PASSWORD_FILE``, ``PORTAL_SMTP_FROM``; default: no emails are
    sent).
    """

    server: Server | None = None
    """The PostgreSQL server that holds the database (``PORTAL_DATABASE_URL``, ``PORTAL_DATABASE_PASSWORD_FILE``;
    default: a file in the data folder).
    """
    owner: Server | None = None
    """The same database as the owner of its tables reaches it (``PORTAL_DATABASE_OWNER_URL``,
    ``PORTAL_DATABASE_OWNER_PASSWORD_FILE``; default: as ``server``).
    """
    one_role: bool = False
    """That the owner of the tables may serve (``PORTAL_DATABASE_ONE_ROLE``: yes)."""

    @property
    def database(self) -> Path:
        """The SQLite file."""
        return self.data / "portal.sqlite3"

    @property
    def where(self) -> Path | Server:
        """The database: the server's, else the file."""
        return self.server or self.database

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
    data = Path(environment.get("PORTAL_DATA", "data"))
    server = _server(environment, "PORTAL_DATABASE_URL", "PORTAL_DATABASE_PASSWORD_FILE")
    owner = _server(environment, "PORTAL_DATABASE_OWNER_URL", "PORTAL_DATABASE_OWNER_PASSWORD_FILE")
    if owner and (server is None or replace(owner, user=server.user, password=server.password) != server):
        raise ValueError(
            "PORTAL_DATABASE_OWNER_URL names another database than PORTAL_DATABASE_URL; only the role differs."
        )
    one_role = environment.get("PORTAL_DATABASE_ONE_ROLE", "")
    if one_role not in {"", "no", "yes"}:
        raise ValueError(f'PORTAL_DATABASE_ONE_ROLE is "{one_role}"; give yes or no.')
    smtp = _smtp(environment)
    return Settings(data, host, port, base_url, metrics_port, keep_days, smtp, server, owner, one_role == "yes")


def given() -> Settings:
    """The settings of the environment; ends the program with a sentence where one makes no sense."""
    try:
        return from_environment()
    except ValueError as error:
        sys.exit(str(error))


def _server(environment: Mapping[str, str], name: str, password_file: str) -> Server | None:
    url = environment.get(name, "")
    if not url:
        return None
    # The sentence never repeats the address: somebody may have written a password into it.
    wrong = ValueError(
        f"{name} makes no sense; give an address such as postgresql://portal@db.example:5432/portal, or"
        f" postgresql://portal@/portal for this machine's own socket, and the password in {password_file}."
    )
    try:
        parts = urlsplit(url)
        port = parts.port or POSTGRESQL_PORT
        asked = dict(parse_qsl(parts.query, keep_blank_values=True, strict_parsing=bool(parts.query)))
    except ValueError:
        raise wrong from None
    database, user = unquote(parts.path.removeprefix("/")), unquote(parts.username or "")
    host = parts.hostname or asked.pop("host", SOCKETS)
    here = host.startswith("/") or host in LOOPBACK
    tls, certificates = asked.pop("sslmode", "" if here else TLS[0]), asked.pop("sslrootcert", "")
    said = (parts.scheme in {"postgresql", "postgres"}, user, database, not parts.password, not parts.fragment)
    if not all(said) or "/" in database or asked or (not parts.hostname and not host.startswith("/")):
        raise wrong
    if tls not in TLS and not (here and not tls):
        raise ValueError(f"{name} asks for a line that others can read; sslmode is one of {', '.join(TLS)}.")
    return Server(host, port, database, user, _password(environment, password_file), tls, certificates)


def _smtp(environment: Mapping[str, str]) -> Smtp | None:
    url = environment.get("PORTAL_SMTP_URL", "")
    if not url:
        return None
    try:
        parts = urlsplit(url)
        port = parts.port or SMTP_PORTS[parts.scheme]
    except (ValueError, KeyError):
        parts, port = urlsplit(""), 0
    if not parts.hostname or parts.path.strip("/") or parts.query or parts.password:
        raise ValueError(
            "PORTAL_SMTP_URL makes no sense; give an address such as smtp://name@mail.example:587 or"
            " smtps://mail.example, and the password in PORTAL_SMTP_PASSWORD_FILE."
        )
    tls = "smtps" if parts.scheme == "smtps" else "" if parts.hostname in LOOPBACK else "starttls"
    sender = environment.get("PORTAL_SMTP_FROM", "")
    if not is_address(sender):
        raise ValueError(f'PORTAL_SMTP_FROM is "{sender}"; give the address that emails come from.')
    return Smtp(
        parts.hostname,
        port,
        tls,
        sender,
        unquote(parts.username or ""),
        _password(environment, "PORTAL_SMTP_PASSWORD_FILE"),
    )


def _password(environment: Mapping[str, str], name: str) -> str:
    file = environment.get(name, "")
    if not file:
        return ""
    try:
        return Path(file).read_text("utf-8").strip()
    except (OSError, UnicodeDecodeError) as error:
        raise ValueError(f"{name} {file} cannot be read. Name a file that the portal may read.") from error


_WORD = r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+"
_LABEL = r"[A-Za-z0-9](?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])?"
_ADDRESS = re.compile(rf"(?=.{{1,64}}@){_WORD}(?:\.{_WORD})*@{_LABEL}(?:\.{_LABEL})+")
"""An address in ASCII without quotes or comments (RFC 5321, section 4.1.2, the part that every server takes)."""


def is_address(text: str) -> bool:
    """True for one email address that every mail server takes."""
    return len(text) <= LONGEST_ADDRESS and _ADDRESS.fullmatch(text) is not None


def _number(name: str, text: str, lo: int, hi: int, what: str = "a number") -> int:
    if not text.isdecimal() or not lo <= int(text) <= hi:
        raise ValueError(f'{name} is "{text}"; give {what} from {lo} to {hi}.')
    return int(text)
