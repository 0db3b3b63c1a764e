"""The migrations make what the tables say, and nothing else."""

import sqlite3
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine, text
from sqlalchemy.exc import DatabaseError, IntegrityError, ProgrammingError

from portal.store import answers, discussions, plans, signoffs
from portal.store.accounts.bands import Member
from portal.store.database import session
from portal.store.database.session import MIGRATIONS, Session, alembic_config, migrate, open_store
from portal.store.database.tables import METADATA
from portal.store.day import line_checks
from portal.store.gigs import place_key
from tests.builders import NOW, a_band, a_gig, a_link, a_plan, a_stored_rig, an_answer


def table_texts(path: Path) -> dict[str, frozenset[str]]:
    """The parts of each CREATE TABLE and CREATE INDEX, in no order; without the quotes that a table made anew has."""
    shown = [
        (name, sql.replace(f'TABLE "{name}"', f"TABLE {name}")) for kind, name, sql in forms(path) if kind != "trigger"
    ]
    return {name: frozenset(parts(sql)) for name, sql in shown}


def forms(path: Path) -> list[tuple[str, str, str]]:
    """Kind, name and statement of every table, index and trigger, by name; blanks do not count."""
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute(
            "SELECT type, name, sql FROM sqlite_master"
            " WHERE sql IS NOT NULL AND name <> 'alembic_version' ORDER BY name"
        ).fetchall()
    return [(kind, name, " ".join(sql.split())) for kind, name, sql in rows]


def parts(sql: str) -> list[str]:
    """A statement cut at the commas that lie in no more than one pair of brackets."""
    found, depth = [""], 0
    for letter in sql:
        depth += (letter == "(") - (letter == ")")
        if letter == "," and depth == 1:
            found.append("")
        else:
            found[-1] += letter
    return [part.strip(" ()") for part in found]


FIRST_FORM = "c06a717301a2f9b07d70262b9de01bf7a252fc995499595fab366862b432d6f8"
"""SHA-256 of every statement of the first form, blanks aside."""

LANDED = {
    "2026-11-29-1900_first_tables.py": "77b853ae6acd94bb78a69a4e2b0814a4dd6432fba5f76638bafac7dda57884e0",
    "2026-11-29-2045_planning_and_worked_out.py": "549cb7c19f2529236b532c6843210a5e4f6a8fb3a25f20651ef701e21235e3bf",
    "2026-11-29-2100_houses.py": "69d920d88645b905d7166f38a0eba1595957a187ce46888b026642f0819c580b",
    "2026-11-29-2250_reasons_of_proposals.py": "3b884e4713adf9fe602a27df0c80d75ac9261c5bb01b0afd321f957716248436",
    "2026-11-29-2300_line_up.py": "feb53c969749a4f7969d5d196382cc66875b1f18d3ff74479ec6f67200df0347",
    "2026-11-29-2315_calendar_feed.py": "4eff003a4087f524403054f17c863727b91d40fd4af06e300a32bff2cc01d8c3",
    "2026-11-29-2330_emails.py": "e0b6f6f90090162c1b289c54340efa63ab29fd6ef8ed27912789d1cb917acb99",
    "2026-11-29-2345_inquiries_and_looks.py": "2b33e84b568bbc4803b7a60c117501425b03e56cdf9a9fd70e3221dce66b12a7",
    "2026-11-30-0000_chain_head.py": "22318828d216a56171707c63233291147d6bc3f585818f0212b860ceb84d9262",
    "2026-11-30-0015_comparisons.py": "19599d96357277574a466ec9d650d0bd780158d61250ed53c4bccc81d6e34089",
    "2026-11-30-0020_contact_of_the_band.py": "6a0c7a4874fe2a493044b6ff4cace07f47e61614551cfcc0008532581a6ad715",
    "2026-11-30-0030_emails_about_no_gig.py": "8379ca8334e1c4f58a3a4811529534bd9a79fdbb4910414e76a507b7061bb6fa",
    "2026-11-30-0035_names_off_past_plans.py": "c9090f0657d98c1c8ec437c5517322e9ea885d43af226f33adcdd74ab790745a",
    "2026-11-30-0230_places_and_days_of_gigs.py": "ece739a3e26872fc224303c0d9378a9385475ca7308e7e9c16acdf52420240df",
    "2026-11-30-0330_postgresql.py": "466623a77544ac80e23ef6bd8a1a9986f6d3bd33344e735c215f7a7242318683",
    "2026-11-30-0830_brakes.py": "e50602417febbf5d5545d6300dde7f0193f4e56bfcb042b8a520af4dffdd022b",
    "2026-11-30-1500_language_of_emails.py": "fec37dc93b251c1fa0d00adc37f400fa8d8af62dc542c3d87490e48e31675363",
    "2026-11-30-1600_ticked_words.py": "8398e40d8399c642041d748d1e8510b46a57d365d244c7adb74147644eb1361c",
}
"""SHA-256 of each migration that has landed: somebody's data has gone through it. A new one is added here, and an old
one stays as it is."""


def test_the_first_form_is_the_one_that_was_made(tmp_path: Path) -> None:
    """Tables, indexes and triggers of the first form are what they were before its steps were put into one."""
    path = tmp_path / "portal.sqlite3"
    command.upgrade(alembic_config(path), "2026_11_29_1900")
    statements = "\n".join(sql for _, _, sql in forms(path))
    assert sha256(statements.encode()).hexdigest() == FIRST_FORM


def test_a_migration_that_has_landed_is_never_edited() -> None:
    """Every migration has the bytes that it had when it landed."""
    versions = sorted((MIGRATIONS / "versions").glob("*.py"))
    assert {file.name: sha256(file.read_bytes()).hexdigest() for file in versions} == LANDED


def test_an_empty_folder_becomes_the_newest_database(tmp_path: Path) -> None:
    """Migrating makes the folder and the file, and doing it again changes nothing."""
    path = tmp_path / "new" / "portal.sqlite3"
    migrate(path)
    before = table_texts(path)
    migrate(path)
    assert table_texts(path) == before
    assert {"user", "gig", "answer", "plan", "signature", "paper"} <= before.keys()


def test_there_is_one_head() -> None:
    """Two migrations never follow the same one."""
    assert len(ScriptDirectory.from_config(alembic_config(Path("unused"))).get_heads()) == 1


def test_a_migrations_file_bears_the_name_of_its_form() -> None:
    """Which form is known, and which is the newest, is read from the names alone, newest first."""
    steps = ScriptDirectory.from_config(alembic_config(Path("unused"))).walk_revisions()
    assert session.known_forms() == [step.revision for step in steps]


def test_tables_and_migrations_agree(empty_database: Path) -> None:
    """A column that only the code or only the migrations know is found."""
    engine = create_engine(f"sqlite:///{empty_database}")
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True, "target_metadata": METADATA})
        assert compare_metadata(context, METADATA) == []
    engine.dispose()


def test_tables_and_migrations_agree_to_the_letter(empty_database: Path, tmp_path: Path) -> None:
    """Checks, defaults and partial indexes, which the comparison above does not see, are the same as well."""
    made = tmp_path / "made.sqlite3"
    engine = create_engine(f"sqlite:///{made}")
    METADATA.create_all(engine)
    engine.dispose()
    assert table_texts(empty_database) == table_texts(made)


def test_a_failed_migration_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A migration that breaks half-way undoes its tables too, so that it can be run again."""
    versions = tmp_path / "migrations" / "versions"
    versions.mkdir(parents=True)
    for name in ("env.py", "script.py.mako"):
        (versions.parent / name).write_text((MIGRATIONS / name).read_text("utf-8"), "utf-8")
    (versions / "half.py").write_text(
        "from alembic import op\nimport sqlalchemy as sa\nrevision = 'half'\ndown_revision = None\n"
        "def upgrade():\n    op.create_table('half', sa.Column('id', sa.String()))\n    raise RuntimeError('broken')\n",
        "utf-8",
    )
    monkeypatch.setattr("portal.store.database.session.MIGRATIONS", versions.parent)
    path = tmp_path / "portal.sqlite3"
    with pytest.raises(RuntimeError, match="broken"):
        command.upgrade(alembic_config(path), "head")
    assert table_texts(path) == {}


REFUSED: dict[str, tuple[type[DatabaseError], str]] = {
    "sqlite": (IntegrityError, "never changed or deleted"),
    "postgresql": (ProgrammingError, "permission denied for table"),
}
"""What the portal is told that changes what only grows: by the triggers, or by what its role may do."""

GROWS_ONLY = ("answer", "comment", "event", "house_sent", "line_check", "paper", "plan", "rig_revision", "signature")


@pytest.mark.parametrize("table", GROWS_ONLY)
@pytest.mark.parametrize("deed", ["UPDATE {} SET created = created", "DELETE FROM {}"])
def test_what_was_said_and_signed_stays(db: Session, table: str, deed: str) -> None:
    """No statement changes or deletes an answer, a plan, a signature, a revision, a paper or a comment."""
    fill(db)
    db.commit()
    error, words = REFUSED[db.connection().dialect.name]
    with pytest.raises(error, match=words):
        db.connection().execute(text(deed.format(table)))


def fill(db: Session) -> None:
    """One row in each table that only grows."""
    band = a_band(db)
    gig = a_gig(db, band)
    link = a_link(db, gig, band)
    plan = a_plan(db, gig)
    an_answer(db, gig.id, "inputs-free", 12, link_id=link.id)
    answers.send(db, gig.id, link.id, NOW)
    discussions.say(db, gig_id=gig.id, party="house", author="Bo", words="Hello", link_id=link.id, now=NOW)
    finding = line_checks.Finding(("kick",), 1, "checked", "", "", NOW)
    line_checks.add(
        db,
        gig_id=gig.id,
        plan_id=plan.id,
        finding=finding,
        finder=line_checks.Finder("house", "Bo", link_id=link.id),
        now=NOW,
    )
    plans.keep_paper(db, plan_id=plan.id, document="patch-sheet", paper_size="A4", content=b"%PDF", now=NOW)
    signer = signoffs.Signer("house", "Bo", "engineer", link_id=link.id)
    signoffs.sign(db, plan, signer, statement_version="1", ticked=(), now=NOW)


def test_rules_of_the_database_hold(db: Session) -> None:
    """A second owner of a band and a gig without its rig are refused by the database itself."""
    band, other = a_band(db), a_band(db)
    db.add(Member(user_id=other.user_id, band_id=band.band_id, role="owner", created=NOW))
    unique, parent = {
        "sqlite": ("UNIQUE", "FOREIGN KEY"),
        "postgresql": ("unique constraint .ix_member_one_owner", "foreign key constraint"),
    }[db.connection().dialect.name]
    with pytest.raises(IntegrityError, match=unique):
        db.flush()
    db.rollback()
    band = a_band(db)
    stored = a_stored_rig(db, band)
    with pytest.raises(IntegrityError, match=parent):
        db.connection().execute(text("DELETE FROM band"))
    assert stored.id


def test_every_connection_is_set_up(empty_database: Path) -> None:
    """The journal is rolled back, every commit reaches the disk, foreign keys hold, and deleted text is overwritten."""
    opened = open_store(empty_database)
    with opened.reading() as session:
        found = {
            name: session.connection().exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "secure_delete")
        }
    opened.close()
    assert found == {"journal_mode": "delete", "synchronous": 2, "foreign_keys": 1, "secure_delete": 1}


def test_a_check_that_is_missing_is_found(empty_database: Path, tmp_path: Path) -> None:
    """The comparison to the letter sees that one CHECK of one table is gone."""
    with closing(sqlite3.connect(empty_database)) as connection:
        sql = connection.execute("SELECT sql FROM sqlite_master WHERE name = 'link'").fetchone()[0]
    check = "CONSTRAINT ck_link_party CHECK (party IN ('house', 'band')),"
    assert check in sql
    planted = tmp_path / "planted.sqlite3"
    with closing(sqlite3.connect(planted)) as connection:
        connection.execute(sql.replace(check, ""))
    assert table_texts(planted)["link"] != table_texts(empty_database)["link"]


def test_gigs_from_before_are_found_by_their_place(tmp_path: Path) -> None:
    """A gig that was entered before places were compared in the database gets the key that a new one would have."""
    path = tmp_path / "portal.sqlite3"
    command.upgrade(alembic_config(path), "2026_11_30_0035")
    moment = "2026-11-29 00:00:00.000000"
    rows = {
        "user": {"id": "u", "email": "a@b.example", "name": "n", "password_hash": "", "created": moment},
        "band": {"id": "b", "name": "n", "created": moment},
        "rig": {"id": "r", "band_id": "b", "name": "n", "version": 1, "created": moment},
        "rig_revision": {"id": "v", "rig_id": "r", "number": 1, "document": "", "author_id": "u", "created": moment},
        "gig": {
            "id": "g",
            "band_id": "b",
            "name": "n",
            "place": "The Old  Straße, 2",
            "on": "2026-12-05",
            "time_zone": "UTC",
            "times": "{}",
            "configuration": "",
            "rig_id": "r",
            "rig_revision_id": "v",
            "version": 1,
            "created": moment,
        },
    }
    with closing(sqlite3.connect(path)) as connection, connection:
        for table, columns in rows.items():
            names, marks = ", ".join(f'"{name}"' for name in columns), ", ".join("?" * len(columns))
            statement = f'INSERT INTO "{table}" ({names}) VALUES ({marks})'  # noqa: S608 - names of ours
            connection.execute(statement, tuple(columns.values()))
    command.upgrade(alembic_config(path), "head")
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("SELECT place_key FROM gig").fetchall() == [(place_key("the old STRASSE 2"),)]
