"""The cookies that the portal hands out, and what they are called."""

from datetime import timedelta

from fastapi.responses import Response

from portal.settings import Settings


def cookie_name(settings: Settings, gig_id: str = "") -> str:
    """Name of the cookie: of the account, or of the link to one gig, so that links to several gigs live side by
    side.
    """
    # Browsers take __Host- only with Secure, and Secure only over https or on the machine itself.
    return ("__Host-" if settings.secure_cookies else "") + (f"gig-{gig_id}" if gig_id else "account")


def browser_cookie(settings: Settings) -> str:
    """Name of the cookie by which a browser is known again at the next sign-in."""
    return cookie_name(settings).replace("account", "browser")


def set_cookie(settings: Settings, response: Response, name: str, token: str, *, lasts: timedelta) -> None:
    """Hand the browser a token to keep."""
    response.set_cookie(
        name,
        token,
        max_age=int(lasts.total_seconds()),
        path="/",
        secure=settings.secure_cookies,
        httponly=True,
        samesite="lax",
    )


def clear_cookie(settings: Settings, response: Response, name: str) -> None:
    """Take a token back."""
    response.delete_cookie(
        name,
        path="/",
        secure=settings.secure_cookies,
        httponly=True,
        samesite="lax",
    )
