"""The address of every screen, by the name of the function that answers it. Handlers and templates never glue paths.

A gig's screens exist twice: below ``/gigs/<id>`` for the band, below ``/house/<id>`` for whoever came by a link. A
route that begins with ``{base}`` is both; ``AllowedGig.base`` is the one of the two that somebody reads.
"""

from collections.abc import Callable
from functools import cache
from hashlib import sha256
from string import Formatter
from typing import Any
from urllib.parse import quote, urlencode

from fastapi import APIRouter

from portal.places import STATIC
from portal.plan.input.questions import QUESTIONS

MOUNTS = ("/gigs/{gig_id}", "/house/{gig_id}")
"""What ``{base}`` stands for in the path of a route."""

SCREENS: dict[str, tuple[str, frozenset[str]]] = {}
"""Each screen's path, ``{base}`` in place of the mount, and the names of the values in it."""

SCRIPTS = ("vendor/htmx-4.0.1/htmx.min.js", "portal.js", "unsaved.js")
"""The scripts of every page, sent as one file."""


class Screens(APIRouter):
    """The routes of one file; ``path_to`` finds each by its function's name."""

    def add_api_route(self, path: str, endpoint: Callable[..., Any], **options: Any) -> None:  # noqa: ANN401 - FastAPI's
        """Add a route, or one at each mount for ``{base}``. Raises ``ValueError`` where the name is taken."""
        for mount in MOUNTS if path.startswith("{base}") else ("",):
            super().add_api_route(path.replace("{base}", mount), endpoint, **options)
        for mount in MOUNTS:
            path = path.replace(mount, "{base}")
        values = frozenset(name for _, name, _, _ in Formatter().parse(path) if name) - {"base"}
        if SCREENS.setdefault(endpoint.__name__, (path, values)) != (path, values):
            raise ValueError(f"two screens are called {endpoint.__name__}")


def path_to(screen: str, base: str = "", /, anchor: str = "", **values: str | int) -> str:
    """The address of a screen. ``values`` that its path does not name become the query; empty ones are left out.

    Raises ``KeyError`` for an unknown screen and for a value that its path needs.
    """
    path, names = SCREENS[screen]
    address = path.format(base=base, **{name: quote(str(values[name]), safe="") for name in names})
    query = {name: value for name, value in values.items() if value and name not in names}
    if query:
        address += "?" + urlencode(query, quote_via=quote, safe="/,")
    return f"{address}#{anchor}" if anchor else address


def band_base(gig_id: str) -> str:
    """A gig's page for the band, and the base of its other screens."""
    return f"/gigs/{gig_id}"


def house_base(gig_id: str) -> str:
    """A gig's page for whoever came by a link, and the base of its other screens."""
    return f"/house/{gig_id}"


def path_to_question(base: str, key: str) -> str:
    """Where one question of a gig is answered: its place on the page of its topic."""
    return path_to("show_question", base, topic_key=QUESTIONS[key].topic, anchor=key)


def task_addresses(base: str) -> dict[str, str]:
    """Where the tasks of a gig are done, by the name of the place."""
    return {
        "who_mixes": path_to("show_mixing_choice", base),
        "links": path_to("show_links", base),
        "emails": path_to("show_emails", base),
        "answers": path_to("show_answers", base),
        "what_if": path_to("show_what_if", base),
        "discussion": path_to("show_discussion", base),
        "plan": path_to("show_plan", base),
        "sign_off": path_to("show_sign_off", base),
    }


def mail(subject: str, words: str) -> str:
    """A new email in the reader's own program."""
    return f"mailto:?subject={quote(subject)}&body={quote(words)}"


@cache
def static(name: str) -> str:
    """A file of ``static/``. The address changes with the content, so that browsers may keep it for ever."""
    return f"/static/{name}?v={sha256((STATIC / name).read_bytes()).hexdigest()[:12]}"


@cache
def page_script() -> str:
    """The one script of every page; its address changes with its content as well."""
    content = b"".join((STATIC / name).read_bytes() for name in SCRIPTS)
    return f"/static/page.js?v={sha256(content).hexdigest()[:12]}"
