"""A rig of one's own band, opened to read or to edit, and kept as a new revision."""

import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Annotated

from fastapi import Depends

from portal.plan.coherence import RigFault, faults
from portal.plan.input.rig import Rig, Source
from portal.store import rigs
from portal.store.database.session import Session
from portal.web.frame.deps import BAND_POWERS, BandUser, Db, SignedIn
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import Difference
from portal.wording.catalogue import gettext as _


@dataclass(frozen=True)
class OpenRig:
    """A rig that whoever asks may read, at its newest revision."""

    stored: rigs.BandRig
    revision: rigs.RigRevision
    rig: Rig
    user: BandUser

    @property
    def id(self) -> str:
        """The rig's id, for addresses."""
        return self.stored.id

    @property
    def version(self) -> int:
        """The version that a form of this rig is drawn from."""
        return self.stored.version


def may_edit(user: BandUser) -> bool:
    """Owner and editors change rigs; every other member reads them."""
    return "edit" in BAND_POWERS[user.role]


def need_editor(user: BandUser) -> BandUser:
    """Who is signed in, if they may change rigs. Raises ``PortalError`` 403."""
    if not may_edit(user):
        raise PortalError(
            403,
            _("You can read this, not change it"),
            _("Nothing was saved. Ask the owner of the band's account to make the change."),
        )
    return user


async def editor(user: SignedIn) -> BandUser:
    """The same, as what a handler asks for."""
    return need_editor(user)


Editor = Annotated[BandUser, Depends(editor)]


def to_read(rig_id: str, user: SignedIn, db: Db) -> OpenRig:
    """The rig of the address; 404 for one that is absent or another band's."""
    stored = rigs.get(db, user.band_id, rig_id)
    if stored is None:
        raise NotThere
    revision = rigs.newest(db, stored.id)
    return OpenRig(stored, revision, revision.read(), user)


async def to_edit(opened: Annotated[OpenRig, Depends(to_read)]) -> OpenRig:
    """The same, for members who may change it."""
    need_editor(opened.user)
    return opened


ToRead = Annotated[OpenRig, Depends(to_read)]
ToEdit = Annotated[OpenRig, Depends(to_edit)]


def contradictions(before: Rig, after: Rig, belongs_here: Callable[[RigFault], bool]) -> tuple[RigFault, ...]:
    """What keeps a change from being saved: every contradiction that belongs to the page, and every new one.

    An old contradiction of another page does not count here, so that two of them on two pages can be mended one after
    the other.
    """
    old = {fault.sentence for fault in faults(before)}
    return tuple(fault for fault in faults(after) if belongs_here(fault) or fault.sentence not in old)


def keep(db: Session, opened: OpenRig, rig: Rig, now: datetime, *, name: str = "") -> None:
    """Make the changed rig the newest revision; nothing happens where nothing changed.

    The request's transaction writes, so nobody else can have saved since ``opened`` was read; the form's own version
    was compared with it.
    """
    name = name or opened.stored.name
    if rig == opened.rig and name == opened.stored.name:
        return
    saved = rigs.save(
        db, opened.stored, version=opened.version, name=name, rig=rig, author_id=opened.user.user_id, now=now
    )
    if saved is None:
        raise PortalError(
            409,
            _("Somebody else saved this rig meanwhile"),
            _("Nothing was saved. Load the page again and make the change there."),
        )


ELSEWHERE = Difference("Another part of the rig", "changed", "as before")
"""What somebody else saved, where it touches no field of the form."""


def new_key() -> str:
    """A key for a new row, splitter or loom: random, and kept through rename and re-order."""
    return secrets.token_hex(6)


def rekeyed(sources: tuple[Source, ...], keys: Mapping[str, str]) -> tuple[Source, ...]:
    """The rows under other keys, where ``keys`` has one; they name each other by these."""
    return tuple(
        replace(
            source,
            key=keys.get(source.key, source.key),
            pair_with=keys.get(source.pair_with, source.pair_with),
            second_of=keys.get(source.second_of, source.second_of),
            one_microphone_with=keys.get(source.one_microphone_with, source.one_microphone_with),
            never_with=tuple(keys.get(key, key) for key in source.never_with),
        )
        for source in sources
    )
