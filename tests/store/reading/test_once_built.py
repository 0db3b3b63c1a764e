"""What is asked by statements that are built once: the same rows as the ORM's, whoever asks."""

import pytest
from sqlalchemy import bindparam
from sqlalchemy.exc import MultipleResultsFound
from sqlmodel import col, select

from portal.store.accounts.bands import Band, Member, User
from portal.store.database.once import row_of, rows_of
from portal.store.database.session import Session, Store
from tests.builders import ABand, a_band

pytestmark = pytest.mark.usefixtures("band")

NAMED = select(User).where(col(User.name) == bindparam("name"))
EVERYBODY = select(User).order_by(col(User.email))
NAMES = select(User.name).order_by(col(User.name))
WITH_PLACE = select(User, Member).outerjoin(Member, col(Member.user_id) == col(User.id)).order_by(col(User.email))
WITH_BAND = select(User.name, Band).join(Member, col(Member.user_id) == col(User.id)).join(Band).order_by(User.email)


@pytest.fixture
def band(store: Store) -> ABand:
    with store.writing() as db:
        made = a_band(db)
        db.add(
            User(email="zoe@example.org", name="Zoe", password_hash="none", created=db.get(User, made.user_id).created)
        )
        return made


def columns(row: User) -> dict[str, object]:
    return {column.key: getattr(row, column.key) for column in User.__table__.columns}


def test_a_row_holds_what_the_orm_says(store: Store) -> None:
    """Each column, moments and empty ones too."""
    with store.reading() as db:
        ours, theirs = rows_of(db, EVERYBODY), db.exec(EVERYBODY).all()
        assert [columns(row) for row in ours] == [columns(row) for row in theirs]
        assert len(ours) == 2
        assert all(isinstance(row, User) for row in ours)


def test_a_session_that_writes_gives_its_own_rows(store: Store) -> None:
    """What is changed on one is saved, and what waits to be saved is found."""
    with store.writing() as db:
        row = row_of(db, NAMED, name="Zoe")
        row.name = "Zoë"
        assert row_of(db, NAMED, name="Zoë") is row
    with store.reading() as db:
        assert row_of(db, NAMED, name="Zoë").email == "zoe@example.org"


def test_a_change_of_what_was_only_read_is_saved_nowhere(store: Store) -> None:
    """A session that only reads knows nothing of what it gave."""
    with store.reading() as db:
        row_of(db, NAMED, name="Zoe").name = "Another"
        assert not db.dirty
        db.commit()
        assert rows_of(db, NAMED, name="Another") == []


def test_columns_come_as_they_are(store: Store, band: ABand) -> None:
    """One column alone, and several beside a row."""

    def asked(db: Session) -> tuple[object, object]:
        return rows_of(db, NAMES), [(name, one.id) for name, one in rows_of(db, WITH_BAND)]

    with store.reading() as db:
        read = asked(db)
    with store.writing() as db:
        assert asked(db) == read
    assert read[0][-1] == "Zoe"
    assert read[1][0][1] == band.band_id


def test_an_outer_join_that_finds_nothing_gives_nothing(store: Store) -> None:
    """Beside somebody without a band stands no place in one."""
    with store.reading() as db:
        assert [place is None for _, place in rows_of(db, WITH_PLACE)] == [False, True]


def test_more_rows_than_one_are_an_error(store: Store) -> None:
    """Where one was asked for; none is none."""
    with store.reading() as db:
        assert row_of(db, NAMED, name="Nobody") is None
        with pytest.raises(MultipleResultsFound):
            row_of(db, EVERYBODY)
