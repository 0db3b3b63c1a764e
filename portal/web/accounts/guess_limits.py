"""How many guesses at a password are heard, and whose are counted together.

Nobody can lock somebody else out: a browser in which the account signed in before has a place of its own, and so has a
session that asks for the password once more. Strangers share theirs: ten for an account from one line, a hundred from
all lines together.
"""

from fastapi import Request
from starlette.concurrency import run_in_threadpool

from portal.store.accounts import bands, sessions
from portal.web.frame.access import USER_IDLE, browser_mark_fits, hash_password, password_fits, token_hash
from portal.web.frame.cookies import browser_cookie, cookie_name
from portal.web.frame.rate_limiter import Place, address_of, take_place_soon
from portal.web.frame.running import Portal


async def may_sign_in(request: Request, portal: Portal, user: bands.User | None, email: str, password: str) -> bool:
    """Whether a password is that of an account, which may not be there: that takes the same time. Raises
    ``PortalError`` 429.
    """
    mark = request.cookies.get(browser_cookie(portal.settings), "")
    if user is not None and browser_mark_fits(portal.key, mark, user.id):
        return await _fits(portal, await take_place_soon((portal.sign_in_limiter, f"browser {mark}")), user, password)
    address = address_of(request)
    place = await take_place_soon(
        (portal.address_limiter, address),
        (portal.sign_in_limiter, f"{address} {email}"),
        (portal.account_limiter, email),
    )
    return await _fits(portal, place, user, password)


async def prove_session(request: Request, portal: Portal, password: str) -> str:
    """Id of whoever is signed in, where the password is theirs, else empty. Raises ``PortalError`` 429."""
    token = request.cookies.get(cookie_name(portal.settings), "")

    def find() -> tuple[str, bands.User | None]:
        with portal.store.reading() as db:
            found = sessions.find(db, token_hash(token), "user", now=portal.clock(), idle=USER_IDLE)
            return (found.id, bands.user(db, found.user_id)) if found and found.user_id else ("", None)

    session_id, user = await run_in_threadpool(find)
    if user is None:
        return ""
    return (
        user.id
        if await _fits(portal, await take_place_soon((portal.sign_in_limiter, f"session {session_id}")), user, password)
        else ""
    )


async def _fits(portal: Portal, place: Place, user: bands.User | None, password: str) -> bool:
    async with portal.hashing:
        fits = await run_in_threadpool(password_fits, user.password_hash if user else None, password)
    if fits:
        await run_in_threadpool(place.give_back)
    return fits


async def hashed(portal: Portal, password: str) -> str:
    """The hash of a new password."""
    async with portal.hashing:
        return await run_in_threadpool(hash_password, password)
