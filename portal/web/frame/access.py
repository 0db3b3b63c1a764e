"""Passwords and tokens."""

import base64
import hashlib
import hmac
import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import UUID

from argon2 import PasswordHasher
from argon2.exceptions import VerificationError
from argon2.low_level import ARGON2_VERSION

from portal.store.database.server_key import keyed_hash
from portal.wording.catalogue import gettext

SHORTEST_PASSWORD = 15
"""Characters; NIST SP 800-63B-4 asks 15 where the password is the only factor."""
LONGEST_PASSWORD = 128

USER_IDLE = timedelta(days=14)
USER_LONGEST = timedelta(days=60)
LINK_IDLE = timedelta(days=30)
"""Limits of a session without use and in all; OWASP ASVS 5.0 7.3.1-7.3.2 ask that they be written down, the days are
common practice, no source.
"""
BROWSER_KNOWN = timedelta(days=400)
"""How long a browser is known by which somebody signed in; browsers keep no cookie longer."""
LAST_SEEN_STEP = timedelta(hours=1)
"""How exactly the last use of a session is known."""

PROOF_LASTS = timedelta(minutes=15)
"""For how long a password once given is enough for what is sensitive (OWASP ASVS 5.0 7.5.1; the minutes are common
practice, no source).
"""
INVITATION_LASTS = timedelta(days=7)
RESET_LINK_LASTS = timedelta(days=1)
"""How long what the owner hands out works (common practice, no source)."""
RECOVERY_CODES = 10

# What people type when fifteen characters are asked for: keyboard rows, counting, one word twice.
_WORN_OUT = (
    "passwordpassword",
    "password1234567",
    "correcthorsebatterystaple",
    "qwertyuiopasdfgh",
    "qwertyuiop12345",
    "123456789012345",
    "1234567890123456",
    "abcdefghijklmno",
    "abcdefghijklmnop",
    "letmeinletmein1",
    "iloveyouiloveyou",
    "administrator123",
    "testtesttesttest",
    "changemechangeme",
    "soundchecksoundcheck",
    "rockandrollrockandroll",
)
_FEWEST_DIFFERENT = 5

_HASHER = PasswordHasher()  # Argon2id with the library's defaults: 64 MiB, 3 passes, 4 lanes (RFC 9106, second choice)


def _hash_of_nothing() -> str:
    """A hash that no password has and that takes as long to try as any other; nothing is hashed to make it."""
    salt, digest = (
        base64.b64encode(secrets.token_bytes(length)).rstrip(b"=").decode()
        for length in (_HASHER.salt_len, _HASHER.hash_len)
    )
    costs = f"m={_HASHER.memory_cost},t={_HASHER.time_cost},p={_HASHER.parallelism}"
    return f"$argon2id$v={ARGON2_VERSION}${costs}${salt}${digest}"


_NOBODY = _hash_of_nothing()


def password_fault(password: str, *, about: tuple[str, ...] = ()) -> str:
    """Why the password cannot be taken, as a sentence; empty when it can. ``about`` holds the person's own names."""
    if len(password) < SHORTEST_PASSWORD:
        return gettext(
            "Use at least %(shortest_password)s characters. A few words with blanks are fine.",
            shortest_password=SHORTEST_PASSWORD,
        )
    if len(password) > LONGEST_PASSWORD:
        return gettext("Use at most %(longest_password)s characters.", longest_password=LONGEST_PASSWORD)
    plain = "".join(password.lower().split())
    rest = plain
    for word in (*about, "password", "portal"):
        rest = rest.replace("".join(word.lower().split()), "") if word.strip() else rest
    if plain in _WORN_OUT or len(set(plain)) < _FEWEST_DIFFERENT or len(set(rest)) < _FEWEST_DIFFERENT:
        return gettext("This password is easy to guess. Use a few words that have nothing to do with you or the band.")
    return ""


def hash_password(password: str) -> str:
    """Argon2id hash with its salt. Takes about a quarter of a second and 64 MiB: never call it in the event loop."""
    return _HASHER.hash(password)


def password_fits(password_hash: str | None, password: str) -> bool:
    """True where the password is the hash's. ``None`` (no such account) takes the same time and is false."""
    try:
        _HASHER.verify(password_hash or _NOBODY, password[: LONGEST_PASSWORD + 1])
    except VerificationError:
        return False
    return password_hash is not None


def new_token() -> str:
    """256 random bits for a cookie or a link, safe in an address."""
    return secrets.token_urlsafe(32)


def token_hash(token: str) -> str:
    """What is stored of a token: its SHA-256 in hex. Random bits need no salt."""
    return hashlib.sha256(token.encode()).hexdigest()


def new_recovery_code() -> str:
    """80 random bits in four groups of letters and digits that are not mistaken for each other (the base32
    alphabet).
    """
    code = base64.b32encode(secrets.token_bytes(10)).decode().lower()
    return "-".join(code[place : place + 4] for place in range(0, 16, 4))


def recovery_hash(code: str) -> str:
    """What is stored of a recovery code, however it was typed."""
    return token_hash("recovery " + "".join(character for character in code.lower() if character.isalnum()))


def new_browser_mark(key: bytes, user_id: str) -> str:
    """What a browser keeps after somebody signed in, even when they sign out. It opens nothing and names nobody."""
    number = secrets.token_urlsafe(16)
    return f"{number}.{keyed_hash(key, 'browser', f'{user_id} {number}'.encode())[:32]}"


def browser_mark_fits(key: bytes, mark: str, user_id: str) -> bool:
    """True where the mark was made for this account."""
    number, _, mac = mark.partition(".")
    return hmac.compare_digest(mac.encode(), keyed_hash(key, "browser", f"{user_id} {number}".encode())[:32].encode())


@dataclass(frozen=True)
class ViewToken:
    """What the QR code on a paper carries: the right to look at one gig, as far and as long as its link allows."""

    gig_id: str
    link_id: str
    expires: datetime


_MAC_BYTES = 16  # 128 bits, what OWASP ASVS 5.0 11.5.1 asks of a secret in an address
_VIEW_BYTES = 16 + 16 + 4 + _MAC_BYTES
_ID_BYTES = 16 + _MAC_BYTES


def write_view_token(key: bytes, token: ViewToken) -> str:
    """The token as text for an address, signed with the server's key."""
    content = UUID(token.gig_id).bytes + UUID(token.link_id).bytes
    content += int(token.expires.timestamp()).to_bytes(4, "big")
    mac = bytes.fromhex(keyed_hash(key, "view", content))[:_MAC_BYTES]
    return base64.urlsafe_b64encode(content + mac).rstrip(b"=").decode()


WAY_IN = "way in by email"
"""What a link's token is made for that stands in an email."""


def write_id_token(key: bytes, purpose: str, row_id: str, bound: str = "") -> str:
    """A row's id for an address, signed with the server's key for one purpose, and bound to something that the row
    holds: a second one is the same, and nothing of it is stored.
    """
    content = UUID(row_id).bytes
    mac = bytes.fromhex(keyed_hash(key, purpose, content + bound.encode()))[:_MAC_BYTES]
    return base64.urlsafe_b64encode(content + mac).rstrip(b"=").decode()


def id_in_token(text: str) -> str:
    """The id that such a token names, not yet proven; empty for a text that is none."""
    try:
        raw = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
    except ValueError:
        return ""
    return str(UUID(bytes=raw[:16])) if len(raw) == _ID_BYTES else ""


def id_token_fits(key: bytes, text: str, purpose: str, row_id: str, bound: str = "") -> bool:
    """True where the token was made with this key, for this purpose and this row."""
    return hmac.compare_digest(text.encode(), write_id_token(key, purpose, row_id, bound).encode())


def read_view_token(key: bytes, text: str, now: datetime) -> ViewToken | None:
    """The token of an address; ``None`` when it was not made with this key or its time is over."""
    try:
        raw = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
    except ValueError:
        return None
    content, mac = raw[:-_MAC_BYTES], raw[-_MAC_BYTES:]
    if len(raw) != _VIEW_BYTES:
        return None
    if not hmac.compare_digest(mac, bytes.fromhex(keyed_hash(key, "view", content))[:_MAC_BYTES]):
        return None
    expires = datetime.fromtimestamp(int.from_bytes(content[32:36], "big"), UTC)
    if now >= expires:
        return None
    return ViewToken(str(UUID(bytes=content[:16])), str(UUID(bytes=content[16:32])), expires)
