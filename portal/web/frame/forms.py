"""From what a form sent to checked values, or to a sentence for each field; and what makes sending twice harmless."""

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from http import HTTPStatus
from typing import TypeVar

from fastapi import Request
from fastapi.responses import RedirectResponse
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException

from portal.settings import LONGEST_ADDRESS, is_address
from portal.store.database import scopes
from portal.store.database.server_key import keyed_hash
from portal.store.database.session import Session
from portal.store.record import form_keys
from portal.web.frame.errors import TOO_LARGE, PortalError, Repeated
from portal.web.frame.pages import NO_FAULTS, Draft, Fault
from portal.wording.catalogue import gettext as _

FEW_FIELDS = 200
"""Fields of a form; the longest page of questions has a tenth."""
MANY_FIELDS = 4_000
"""Fields of a form that holds a list of the rig: 128 rows with every field have less than half."""
LARGEST_PART = 2 * 1024 * 1024
"""Bytes of one field or file, the limit for imports."""


@dataclass(frozen=True)
class Difference:
    """A field that two people changed: what is stored now, and what this form holds."""

    label: str
    theirs: str
    yours: str


def differences(labels: Mapping[str, str], theirs: Mapping[str, str], yours: Draft) -> tuple[Difference, ...]:
    """The fields, by their labels, in which a form differs from what somebody else saved meanwhile."""
    return tuple(
        Difference(label, theirs.get(name, ""), yours.value(name))
        for name, label in labels.items()
        if theirs.get(name, "") != yours.value(name)
    )


class Posted:
    """What a form sent."""

    def __init__(self, data: FormData) -> None:
        self._data = data
        self._values: dict[str, list[str | UploadFile]] = {}
        for name, value in data.multi_items():
            self._values.setdefault(name, []).append(value)

    def text(self, name: str) -> str:
        """The field's text without outer blanks, empty where it was not sent. Line ends are plain."""
        return self.raw(name).replace("\r\n", "\n").strip()

    def raw(self, name: str) -> str:
        """The field's text as sent (passwords keep their blanks)."""
        value = self._values.get(name, [""])[-1]
        return value if isinstance(value, str) else ""

    def texts(self, name: str) -> tuple[str, ...]:
        """Every value of a field that may come more than once."""
        return tuple(value for value in self._values.get(name, ()) if isinstance(value, str))

    def names(self) -> tuple[str, ...]:
        """Every field's name, once, in the order in which they were sent."""
        return tuple(self._values)

    def file(self, name: str) -> UploadFile | None:
        """The field's file, if one was chosen."""
        value = self._values.get(name, [""])[-1]
        return value if isinstance(value, UploadFile) and value.filename else None

    async def close(self) -> None:
        """Let go of the files that were sent along."""
        await self._data.close()

    def draft(self, *, faults: tuple[Fault, ...] = NO_FAULTS, version: int = 0) -> Draft:
        """The form again as it was sent, passwords excepted."""
        values = {name: self.texts(name) for name in self.names() if not name.startswith(("password", "form_"))}
        return Draft(values, faults, version)

    def version(self) -> int:
        """The version that the form was drawn from. Raises ``PortalError`` 428 where it is missing."""
        text = self.raw("form_version")
        if not re.fullmatch(r"[0-9]{1,9}", text):
            raise _incomplete()
        return int(text)

    def fingerprint(self, key: bytes) -> str:
        """A keyed hash of everything that was sent, the one-time key excepted."""
        parts = [
            (name, value if isinstance(value, str) else f"{value.filename}:{value.size}")
            for name, value in self._data.multi_items()
            if name != "form_key"
        ]
        return keyed_hash(key, "form", json.dumps(parts).encode())


Handler = TypeVar("Handler", bound=Callable[..., object])

_MANY: set[object] = set()


def many_fields(handler: Handler) -> Handler:
    """Let a handler's forms hold many fields."""
    _MANY.add(handler)
    return handler


async def posted(request: Request) -> Posted:
    """What the request's form sent; read before any transaction begins, so that a slow line holds nobody up. Raises
    ``PortalError`` 413.
    """
    most = MANY_FIELDS if request.scope.get("endpoint") in _MANY else FEW_FIELDS
    try:
        return Posted(await request.form(max_files=1, max_fields=most, max_part_size=LARGEST_PART))
    except HTTPException as error:
        if "Too many" in error.detail or "maximum size" in error.detail:
            raise TOO_LARGE from error
        raise


@dataclass(frozen=True)
class Once:
    """A form that is being carried out for the first time."""

    db: Session
    entry: form_keys.FormKey

    def done(self, location: str, *, named: str = "") -> RedirectResponse:
        """Remember where the result is, and go there; to ``named`` where the address holds a name, which is not
        remembered.
        """
        self.entry.location = location
        form_keys.keep(self.db, self.entry)
        return RedirectResponse(named or location, HTTPStatus.SEE_OTHER)


def begin(request: Request, db: Session, sent: Posted, *, actor: str, key: bytes, now: datetime) -> Once:
    """Start to carry out a form. The same form again raises ``Repeated``; other content under its key, or no key, a
    ``PortalError``.
    """
    one_time = sent.raw("form_key")
    if not re.fullmatch(r"[A-Za-z0-9_-]{16,64}", one_time):
        raise _incomplete()
    route = request.url.path
    fingerprint = sent.fingerprint(key)
    scopes.take(db, scopes.form(one_time, actor, route))
    earlier = form_keys.find(db, one_time, actor, route)
    if earlier is None:
        entry = form_keys.FormKey(
            key=one_time, actor=actor, route=route, fingerprint=fingerprint, location="", created=now
        )
        return Once(db, entry)
    if earlier.fingerprint != fingerprint:
        raise PortalError(
            422,
            _("This form was sent before"),
            _(
                "It was saved once, and this time it says something else. Load the page again and make the change"
                " there."
            ),
        )
    raise Repeated(earlier.location)


def _incomplete() -> PortalError:
    return PortalError(
        428, _("The form did not arrive whole"), _("Nothing was saved. Load the page again and send it from there.")
    )


class Check:
    """Reads the fields of a sent form one by one and collects what is wrong. A faulty field reads as empty."""

    def __init__(self, sent: Posted) -> None:
        self.sent = sent
        self._faults: dict[str, Fault] = {}

    @property
    def well(self) -> bool:
        """True while nothing is wrong."""
        return not self._faults

    def fault(self, name: str, sentence: str) -> None:
        """Note what is wrong with a field; the first sentence counts."""
        self._faults.setdefault(name, Fault(name, sentence))

    def draft(self, version: int = 0) -> Draft:
        """The form again, with what is wrong."""
        return self.sent.draft(faults=tuple(self._faults.values()), version=version)

    def text(self, name: str, missing: str = "", *, longest: int = 120, lines: bool = False) -> str:
        """A text of one line, or of ``lines``; ``missing`` is the sentence for an empty one (without it, empty is
        fine).
        """
        text = self.sent.text(name)
        if not text and missing:
            self.fault(name, missing)
        if len(text) > longest:
            self.fault(
                name, _("This has %(count)s characters; %(longest)s fit. Shorten it.", count=len(text), longest=longest)
            )
            return ""
        if any(not character.isprintable() and character != "\n" for character in text):
            self.fault(name, _("This holds characters that cannot be shown. Type it instead of pasting it."))
            return ""
        if "\n" in text and not lines:
            self.fault(name, _("This is one line. Take the line break out."))
            return ""
        return text

    def email(self, name: str) -> str:
        """An e-mail address in small letters. Only its shape is checked; a mail would be the real test."""
        text = self.text(name, _("Enter your email address."), longest=254).lower()
        if text and not re.fullmatch(r"[^@\s]+@[^@\s]+", text):
            self.fault(name, _("Enter an email address such as name@example.org."))
            return ""
        return text

    def email_or_none(self, name: str) -> str:
        """An email address as every mail server takes it; empty is fine."""
        text = self.text(name, longest=LONGEST_ADDRESS)
        if text and not is_address(text):
            self.fault(name, _("Enter one email address, for example name@example.org."))
            return ""
        return text

    def number(self, name: str, words: str, *, lo: int, hi: int) -> int | None:
        """A whole number within its limits, ``None`` when empty; ``words`` name the field in the sentence."""
        text = re.sub(r"[\s,_]", "", self.sent.text(name))
        if not text:
            return None
        if not re.fullmatch(r"-?[0-9]{1,9}", text) or not lo <= int(text) <= hi:
            self.fault(name, _("%(words)s: enter a whole number from %(lo)s to %(hi)s.", words=words, lo=lo, hi=hi))
            return None
        return int(text)

    def choice(self, name: str, options: tuple[str, ...], missing: str) -> str:
        """One of the options; ``missing`` is the sentence when none was chosen."""
        text = self.sent.text(name)
        if text not in options:
            self.fault(name, missing)
            return ""
        return text

    def date(self, name: str, missing: str) -> date | None:
        """A date as browsers send it (2026-12-05)."""
        text = self.sent.text(name)
        try:
            return date.fromisoformat(text)
        except ValueError:
            self.fault(name, _("Enter the date as year-month-day, for example 2026-12-05.") if text else missing)
            return None
