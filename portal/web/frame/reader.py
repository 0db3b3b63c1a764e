"""Which language and unit of length a request is answered in, and which others the reader may choose.

The house, and whoever holds a document's code, read any language that there is; the band one in which its own pages
are said too. Metres or feet is anybody's choice.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from urllib.parse import urlencode

from fastapi import Request
from starlette.datastructures import MutableHeaders

from portal.wording.catalogue import Words, everybody_s, languages, mark, own_name, preferred, read_in
from portal.wording.formats import FEET, METRES, UNITS, length_unit, measured_in

LANGUAGE, LENGTHS = "language", "lengths"
"""A link that ends in ``?language=de`` or ``?lengths=ft`` chooses; the browser keeps the choice by the same name."""

_IN_UNIT = Words({METRES: mark("Lengths in metres"), FEET: mark("Lengths in feet")})

OF_THE_HOUSE = ("/house/", "/houses/", "/house-key/", "/in/")
"""Below these nobody reads but the house and whoever has its link."""

OF_BOTH = ("/ask/", "/day/", "/check", "/why/", "/how-the-portal-chooses", "/emails/stop/")
"""Below these everybody reads; whoever has an account does it for the band."""

_KEPT_S = int(timedelta(days=365).total_seconds())


@dataclass(frozen=True)
class Reader:
    """How whoever asks reads: the language, and the unit of length."""

    language: str
    lengths: str

    @contextmanager
    def reading(self) -> Iterator[None]:
        """Say everything inside so."""
        with read_in(self.language), measured_in(self.lengths):
            yield


@dataclass(frozen=True)
class Choice:
    """A language or a unit that a page can be read in, and the page's address in it; ``chosen`` is the one it is in.
    ``language`` is empty for a unit.
    """

    language: str
    name: str
    address: str
    chosen: bool


def readable(path: str, *, account: bool) -> tuple[str, ...]:
    """The languages that the page at a path can be read in. ``account``: the browser holds an account's cookie."""
    anybody_s = path.startswith(OF_THE_HOUSE) or (path.startswith(OF_BOTH) and not account)
    return languages() if anybody_s else everybody_s()


def reader_of(request: Request, account_cookie: str) -> Reader:
    """How the address asks to be read, else as was chosen before, else by the browser's language, else in English and
    in metres.
    """
    known = readable(request.url.path, account=account_cookie in request.cookies)
    request.state.languages = known
    asked, kept = request.query_params.get(LANGUAGE, ""), request.cookies.get(LANGUAGE, "")
    units = (request.query_params.get(LENGTHS, ""), request.cookies.get(LENGTHS, ""))
    return Reader(
        preferred(known, request.headers.get("accept-language", ""), asked, kept),
        next((unit for unit in units if unit in UNITS), METRES),
    )


def choices(request: Request, now_in: str) -> tuple[Choice, ...]:
    """The languages to choose from at the end of a page; none where there is no choice, and none on the answer to a
    form: what was typed would be lost.
    """
    known: tuple[str, ...] = getattr(request.state, "languages", ())
    if len(known) < 2 or request.method not in {"GET", "HEAD"}:  # noqa: PLR2004 - to choose takes two
        return ()
    return tuple(Choice(one, own_name(one), _address(request, LANGUAGE, one), chosen=one == now_in) for one in known)


def unit_choices(request: Request) -> tuple[Choice, ...]:
    """The units of length to choose from at the end of a page; none on the answer to a form."""
    if request.method not in {"GET", "HEAD"}:
        return ()
    now_in = length_unit()
    return tuple(Choice("", _IN_UNIT[one], _address(request, LENGTHS, one), chosen=one == now_in) for one in UNITS)


def _address(request: Request, name: str, value: str) -> str:
    kept = [(one, given) for one, given in request.query_params.multi_items() if one != name]
    return "?" + urlencode([*kept, (name, value)])


def keep_choices(request: Request, headers: MutableHeaders, reader: Reader) -> None:
    """Say in an answer's headers which language a page is in, and let the browser keep what the address chose."""
    if headers.get("content-type", "").startswith("text/html"):
        headers.setdefault("Content-Language", reader.language)
    for name, chosen in ((LANGUAGE, reader.language), (LENGTHS, reader.lengths)):
        if request.query_params.get(name) == chosen and request.cookies.get(name) != chosen:
            headers.append("Set-Cookie", f"{name}={chosen}; Max-Age={_KEPT_S}; Path=/; SameSite=Lax; HttpOnly")
