"""How a browser's session begins: for somebody who signs in, and for whoever holds a link."""

from datetime import datetime

from fastapi.responses import Response

from portal.store import links
from portal.store.accounts import sessions
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.web.frame.access import BROWSER_KNOWN, USER_LONGEST, new_browser_mark, new_token, token_hash
from portal.web.frame.cookies import browser_cookie, cookie_name, set_cookie
from portal.web.frame.running import Portal


def start_user_session(portal: Portal, db: Session, response: Response, user_id: str, now: datetime) -> None:
    """Sign somebody in: always under a new token. The browser is known from now on."""
    scopes.take(db, scopes.account(user_id))
    token = new_token()
    sessions.start_for_user(db, token_hash(token), user_id, now=now, expires=now + USER_LONGEST)
    set_cookie(portal.settings, response, cookie_name(portal.settings), token, lasts=USER_LONGEST)
    mark = new_browser_mark(portal.key, user_id)
    set_cookie(portal.settings, response, browser_cookie(portal.settings), mark, lasts=BROWSER_KNOWN)


def start_link_session(
    portal: Portal,
    db: Session,
    response: Response,
    link: links.Link,
    now: datetime,
    *,
    view_until: datetime | None = None,
) -> None:
    """Let the holder of a live link in, for as long as the link lasts; by a code on paper only to view, and only until
    its own end.
    """
    scopes.take(db, scopes.gig(link.gig_id))
    token = new_token()
    expires = min(link.expires, view_until or link.expires)
    sessions.start_for_link(db, token_hash(token), link.id, only_view=view_until is not None, now=now, expires=expires)
    links.used(db, link, now, by_sheet=view_until is not None)
    set_cookie(portal.settings, response, cookie_name(portal.settings, link.gig_id), token, lasts=expires - now)
