"""Every address that a page or a handler needs, named for its target. Templates never glue paths.

A gig's pages exist twice: for the band below ``/gigs/<id>``, for whoever came by a link below ``/house/<id>``. Functions that take ``base``
want one of the two; ``AllowedGig.base`` holds the right one.
"""

from functools import cache
from hashlib import sha256
from pathlib import Path
from urllib.parse import quote

STATIC = Path(__file__).parents[2] / "static"


@cache
def static(name: str) -> str:
    """A file of ``static/``. The address changes with the content, so that browsers may keep it for ever."""
    return f"/static/{name}?v={sha256((STATIC / name).read_bytes()).hexdigest()[:12]}"


def home() -> str:
    """The list of gigs, or the way in."""
    return "/"


def sign_in(then: str = "") -> str:
    """Sign in, and go on to ``then``."""
    return "/sign-in" + (f"?then={quote(then)}" if then else "")


def sign_up() -> str:
    """Make an account and a band."""
    return "/sign-up"


def sign_out() -> str:
    """Sign out (POST)."""
    return "/sign-out"


def account() -> str:
    """One's own account."""
    return "/account"


def account_name() -> str:
    """Change one's name (POST)."""
    return "/account/name"


def account_password() -> str:
    """Change one's password (POST)."""
    return "/account/password"


def rigs() -> str:
    """The band's rigs."""
    return "/rigs"


def rig(rig_id: str) -> str:
    """One rig."""
    return f"/rigs/{rig_id}"


def new_gig() -> str:
    """The form for a new gig."""
    return "/gigs/new"


def gig(gig_id: str) -> str:
    """A gig's page for the band; also the ``base`` of its other pages."""
    return f"/gigs/{gig_id}"


def house(gig_id: str) -> str:
    """A gig's page for whoever came by a link; also the ``base`` of its other pages."""
    return f"/house/{gig_id}"


def way_in(token: str) -> str:
    """The landing page of a secret link."""
    return f"/in/{token}"


def plan(base: str) -> str:
    """The plan of a gig."""
    return f"{base}/plan"


def sign_off(base: str) -> str:
    """The page on which one side signs."""
    return f"{base}/sign-off"
