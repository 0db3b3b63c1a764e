"""The stage of a gig as the band drew it, for the stage plot. A gig without a row has the usual stage."""

from datetime import datetime

from pydantic import TypeAdapter
from sqlalchemy import Text, bindparam
from sqlmodel import Field, Session, col, select, update

from portal.plan.result.stage import Stage
from portal.store.database import scopes
from portal.store.database.once import once, row_of
from portal.store.database.readings import read_once
from portal.store.database.rows import Row

_STAGE = TypeAdapter(Stage)

_read = read_once(_STAGE.validate_json)


class GigStage(Row, table=True):
    """One gig's stage as one document; ``version`` counts its changes."""

    __tablename__ = "gig_stage"
    gig_id: str = Field(foreign_key="gig.id", primary_key=True)
    document: str = Field(sa_type=Text)
    version: int = 1
    changed: datetime

    def read(self) -> Stage:
        """The stage in the core's words."""
        return _read(self.document)


_GET = select(GigStage).where(col(GigStage.gig_id) == bindparam("gig_id"))


@once
def get(db: Session, gig_id: str) -> GigStage | None:
    """The stage of a gig (already allowed), if somebody drew one."""
    return row_of(db, _GET, gig_id=gig_id)


def save(db: Session, gig_id: str, version: int, stage: Stage, now: datetime) -> bool:
    """Keep a stage, if it is still at ``version`` (0: nobody drew one yet); false when somebody else saved
    meanwhile.
    """
    scopes.need(db, scopes.gig(gig_id))
    document = _STAGE.dump_json(stage).decode()
    if version == 0:
        if db.exec(select(GigStage.version).where(col(GigStage.gig_id) == gig_id)).one_or_none() is not None:
            return False
        db.add(GigStage(gig_id=gig_id, document=document, changed=now))
        db.flush()
        return True
    changed = db.exec(
        update(GigStage)
        .where(col(GigStage.gig_id) == gig_id, col(GigStage.version) == version)
        .values(document=document, version=version + 1, changed=now)
    )
    return changed.rowcount == 1
