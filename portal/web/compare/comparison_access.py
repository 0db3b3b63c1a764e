"""A comparison of one's own band, opened to read or to change."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends

from portal.advance.rig_comparison import Opened, open_comparison
from portal.compare.changes import Changes, read_changes, write_changes
from portal.store import comparisons, rigs
from portal.store.database.session import Session, wake
from portal.web.frame.deps import BandUser, Db, Number, SignedIn
from portal.web.frame.errors import NotThere, PortalError
from portal.web.rig.rig_access import need_editor
from portal.wording.catalogue import gettext as _


@dataclass(frozen=True)
class Compared:
    """A comparison that whoever asks may see."""

    opened: Opened
    stored: rigs.BandRig
    user: BandUser

    @property
    def id(self) -> str:
        """The comparison's id, for addresses."""
        return self.opened.row.id

    @property
    def changes(self) -> tuple[Changes, ...]:
        """The changes of each candidate, those of today's rig first: it has none, but may have figures."""
        return read_changes(self.opened.row.candidates)


def to_see(comparison_id: str, user: SignedIn, db: Db) -> Compared:
    """The comparison of the address; 404 for one that is absent or another band's."""
    row = comparisons.get(db, user.band_id, comparison_id)
    stored = rigs.get(db, user.band_id, row.rig_id) if row else None
    if row is None or stored is None:
        raise NotThere
    return Compared(open_comparison(db, row), stored, user)


async def to_change(compared: Annotated[Compared, Depends(to_see)]) -> Compared:
    """The same, for members who may change rigs."""
    need_editor(compared.user)
    return compared


ToSee = Annotated[Compared, Depends(to_see)]
ToChange = Annotated[Compared, Depends(to_change)]


def numbered(compared: Compared, number: Number) -> Changes:
    """The candidate of a number; 0 is today's rig. Raises ``NotThere``."""
    if number >= len(compared.changes):
        raise NotThere
    return compared.changes[number]


def keep(db: Session, compared: Compared, version: int, candidates: tuple[Changes, ...]) -> None:
    """Compare other candidates from now on. Raises ``PortalError`` 409 where somebody changed them meanwhile."""
    change(db, compared, version, candidates=write_changes(candidates))


def change(db: Session, compared: Compared, version: int, **values: str) -> None:
    """Change columns of a comparison and have it worked out. Raises ``PortalError`` 409 where somebody changed it
    meanwhile.
    """
    if not comparisons.change(db, compared.opened.row, version, **values):
        raise PortalError(
            409,
            _("Somebody else changed this comparison meanwhile"),
            _("Nothing was saved. Load the page again and make the change there."),
        )
    wake(db, "comparing", compared.id)
