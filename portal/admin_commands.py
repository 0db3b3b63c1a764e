"""What whoever runs the portal does with its data folder: migrate it, back it up, restore it, hold it against its own
record.
"""

import errno
import json
import os
import shutil
import sys
import tempfile
import zipfile
import zlib
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import wraps
from hashlib import file_digest
from pathlib import Path
from typing import Concatenate, ParamSpec

from portal.places import DEPLOY
from portal.settings import Server, Settings
from portal.store import worked_out
from portal.store.accounts import sessions
from portal.store.accounts.bands import user_by_email
from portal.store.database import brakes, copying, postgresql, sqlite_backup
from portal.store.database.claim import AlreadyServed, claim
from portal.store.database.refusals import CannotWrite, Unreadable
from portal.store.database.scopes import EVERYTHING, gig
from portal.store.database.server_forms import look, migrate_server, moving_away
from portal.store.database.server_key import fault_of
from portal.store.database.session import Store, migrate, moved_to, open_store, unknown_form
from portal.store.database.together import claim_alone
from portal.store.emails import addresses
from portal.store.record import erasing, form_keys
from portal.store.record.verify import Verdict, verify

DATABASE, KEY, CONTENTS = "portal.sqlite3", "server.key", "contents.json"
"""What a backup holds; ``contents.json`` has the SHA-256 of the other two."""


BACKUP, RESTORE = ".backup-", ".restore-"
"""How the folders are called in which a backup or a restore is made; the number of its process follows."""


def _sweep(parent: Path, prefix: str) -> None:
    """Remove what a process that was killed left behind: it holds everybody's names."""
    for left in parent.glob(f"{prefix}*-*"):
        number = left.name.removeprefix(prefix).partition("-")[0]
        if number.isdecimal() and not _runs(int(number)):
            shutil.rmtree(left, ignore_errors=True)


def _runs(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


P = ParamSpec("P")


def _told(command: Callable[Concatenate[Settings, P], int]) -> Callable[Concatenate[Settings, P], int]:
    """The same command; 1 and a sentence where a database will not do or goes away, or a file cannot be written."""

    @wraps(command)
    def run(settings: Settings, /, *more: P.args, **named: P.kwargs) -> int:
        try:
            return command(settings, *more, **named)
        except (AlreadyServed, CannotWrite, Unreadable) as error:
            _tell(str(error))
        except OSError as error:
            _tell(f"{error.filename or settings.data}: {error.strerror}. Nothing half-done is left.")
        return 1

    return run


@_told
def run_migrate(settings: Settings) -> int:
    """Bring the database to the newest form."""
    if settings.server is not None:
        form = migrate_server(settings.owner or settings.server, settings.server)
    else:
        migrate(settings.database)
        form = sqlite_backup.revision_of(settings.database)
    _tell(f"{settings.where} is at {form}.")
    return 0


@_told
def run_move(settings: Settings, to: str) -> int:
    """Move everything from the data folder to a server, or back, and verify it; 1 where that cannot be done. What it
    came from is served no more.
    """
    if to not in {"server", "file"} or settings.server is None:
        _tell("Say server or file, and name the database in PORTAL_DATABASE_URL. Nothing was changed.")
        return 1
    owner = settings.owner or settings.server
    if to == "server":
        _move_to_server(settings, owner)
    else:
        _move_to_file(settings, settings.server, owner)
    return _judge(settings.server if to == "server" else settings.database, settings.key_file)


def _move_to_server(settings: Settings, owner: Server) -> None:
    if not settings.database.exists():
        raise Unreadable(f"There is no database in {settings.data}. Nothing was changed: PORTAL_DATA names the folder.")
    claimed = claim(settings.data)
    try:
        migrate(settings.database)
        copying.to_server(settings.database, owner)
        settings.database.rename(moved_to(settings.database))
        sqlite_backup.settle(settings.data)
    finally:
        os.close(claimed)
    _tell(f"Everything is in {owner}; {moved_to(settings.database)} is what it was and may be kept or deleted.")


def _move_to_file(settings: Settings, server: Server, owner: Server) -> None:
    if settings.database.exists():
        raise Unreadable(f"{settings.database} is there already. Nothing was changed: name an empty folder.")
    look(server, one_role=True)
    claimed = claim_alone(server)
    try:
        with moving_away(owner):
            copying.to_file(server, settings.database)
    except CannotWrite as error:
        if error.why != "unsure":
            raise
        raise Unreadable(
            f"Everything is in {settings.database}, and nobody knows whether {server} noted it. Start the portal on"
            f" the server: where it says that it was moved, serve {settings.database}, else delete that."
        ) from error
    finally:
        claimed.close()
    _tell(f"Everything is in {settings.database}; {server} is what it was, and is served no more.")


@_told
def run_verify(settings: Settings) -> int:
    """Verify the database and print what was looked at; 1 where something does not hold."""
    if not _usable(settings):
        return 1
    return _judge(settings.where, settings.key_file)


@_told
def run_backup(settings: Settings, file: Path) -> int:
    """Write database and key of a running portal to one file, read it back and verify what it holds; 1 where something
    does not hold.
    """
    if not _usable(settings):
        return 1
    if file.exists():
        _tell(f"{file} is there already. Nothing was written: name another file.")
        return 1
    if not settings.key_file.exists():
        _tell(
            f"The server's key {settings.key_file} is missing. Nothing was written: put the key of this database back"
            " first."
        )
        return 1
    beside = file.absolute().parent
    _sweep(beside, BACKUP)
    with tempfile.TemporaryDirectory(dir=beside, prefix=f"{BACKUP}{os.getpid()}-") as folder:
        copy = Path(folder, DATABASE)
        if settings.server is not None:
            copying.to_file(settings.server, copy)
        else:
            sqlite_backup.copy_to(settings.database, copy)
        shutil.copyfile(settings.key_file, Path(folder, KEY))
        contents = {name: _sha256(Path(folder, name)) for name in (DATABASE, KEY)}
        made = Path(folder, "backup.zip")
        # The file holds the key and everybody's names: nobody else may read it.
        os.close(os.open(made, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as opened:
            opened.writestr(CONTENTS, json.dumps({"made": datetime.now(UTC).isoformat(), "sha256": contents}, indent=1))
            for name in contents:
                opened.write(Path(folder, name), name)
        sqlite_backup.settle(made)
        made.rename(file)
    sqlite_backup.settle(beside)
    with tempfile.TemporaryDirectory(dir=beside, prefix=f"{BACKUP}{os.getpid()}-") as folder:
        if fault := _unpack(file, Path(folder)):
            _tell(f"{file} was written and does not read back: {fault}")
            return 1
        _tell(f"{file} is written, {file.stat().st_size} bytes, and reads back.")
        return _judge(Path(folder, DATABASE), Path(folder, KEY))


@_told
def run_restore(settings: Settings, file: Path) -> int:
    """Unpack a backup into an empty data folder and verify it; 1 where that cannot be done, or something does not
    hold.
    """
    if settings.data.exists() and any(settings.data.iterdir()):
        _tell(f"{settings.data} is not empty. Nothing was restored: name an empty folder in PORTAL_DATA.")
        return 1
    if not file.is_file():
        _tell(f"There is no file {file}.")
        return 1
    parent = settings.data.absolute().parent
    parent.mkdir(parents=True, exist_ok=True)
    _sweep(parent, RESTORE)
    folder = Path(tempfile.mkdtemp(dir=parent, prefix=f"{RESTORE}{os.getpid()}-"))
    try:
        if fault := _unpack(file, folder):
            _tell(f"{file} cannot be restored: {fault} Nothing was changed.")
            return 1
        if settings.server is not None:
            # The data folder gets the key alone.
            migrate(folder / DATABASE)
            copying.to_server(folder / DATABASE, settings.owner or settings.server)
            (folder / DATABASE).unlink()
        if settings.data.exists():
            settings.data.rmdir()
        # One rename: either all of it is there or nothing.
        folder.rename(settings.data)
        sqlite_backup.settle(parent)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    _tell(f"{file} is restored to {settings.where if settings.server else settings.data}.")
    return _judge(settings.where, settings.key_file)


@_told
def run_forget(settings: Settings, email: str = "") -> int:
    """Erase what is past its time, or one account, for good; 1 where that cannot be done."""
    if not _usable(settings):
        return 1
    store = open_store(settings.where)
    try:
        if not email:
            count = forget(store, settings.keep_days, datetime.now(UTC))
            _tell(
                f"Erased what was older than {settings.keep_days} days after its gig: {count} things."
                f" {_written_anew(settings)}"
            )
            return 0
        with store.writing(EVERYTHING) as db:
            user = user_by_email(db, email)
            if user is not None:
                erasing.of_user(db, user.id, datetime.now(UTC))
        if user is None:
            _tell("There is no account with this address. Nothing was erased.")
            return 1
        store.compact()
    except erasing.StillNeeded:
        _tell(
            "This account owns a band to which others belong. Nothing was erased: hand the band to one of them first,"
            " on its members page."
        )
        return 1
    finally:
        store.close()
    _tell(f"The account is erased. {_written_anew(settings)} Backups made before still hold it.")
    return 0


def _written_anew(settings: Settings) -> str:
    """Write a server's tables anew, as their owner; the sentence of what is left of what was erased."""
    if settings.server is None:
        return "The file is written anew."
    if settings.owner is None:
        return "Gaps of the server's files hold it until this is called with PORTAL_DATABASE_OWNER_URL."
    postgresql.write_anew(settings.owner)
    return "The tables are written anew."


def run_deploy_files(folder: Path) -> int:
    """Write what whoever runs the portal starts from to a folder; 1, and nothing written, where one of the files is
    there already.
    """
    targets = {file: folder / file.name for file in sorted(DEPLOY.iterdir())}
    if there := [str(target) for target in targets.values() if target.exists()]:
        _tell(f"{', '.join(there)}: there already. Nothing was written: name another folder.")
        return 1
    folder.mkdir(parents=True, exist_ok=True)
    for file, target in targets.items():
        shutil.copyfile(file, target)
        _tell(f"{target} is written.")
    return 0


def forget(store: Store, keep_days: int, now: datetime) -> int:
    """Erase the free words of the gigs whose time is over, and the stages that no house uses any more. Write the file
    anew, so that nothing is left of what was erased since the last time either. How many things there were.
    """
    count = sum(forget_gig(store, one, now) for one in past(store, keep_days, now))
    with store.writing(EVERYTHING) as db:
        count += erasing.unused_stages(db, now)
    tidy(store, now)
    return count


def tidy(store: Store, now: datetime) -> None:
    """Forget what was worked out for plans that are not the newest, sessions and forms that are past, and write the
    file anew.
    """
    with store.writing(EVERYTHING) as db:
        worked_out.forget_unused(db)
        sessions.forget_ended(db, now)
        form_keys.forget_old(db, now)
        addresses.forget_invited(db, now)
        brakes.forget_past(db, now)
    store.compact()


def past(store: Store, keep_days: int, now: datetime) -> list[str]:
    """The gigs whose time is over and of which free words are left."""
    with store.reading() as db:
        return erasing.past(db, now.date() - timedelta(days=keep_days))


def forget_gig(store: Store, gig_id: str, now: datetime) -> int:
    """Erase the free words of one gig whose time is over; how many things there were."""
    with store.writing(gig(gig_id)) as db:
        return erasing.by_time(db, gig_id, now)


def _unpack(file: Path, folder: Path) -> str:
    """Write what a backup holds to a folder. The sentence of what is wrong with it; empty where it is whole."""
    try:
        with zipfile.ZipFile(file) as opened:
            contents: dict[str, str] = json.loads(opened.read(CONTENTS))["sha256"]
            for name in (DATABASE, KEY):
                target = Path(folder, name)
                with (
                    opened.open(name) as packed,
                    os.fdopen(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as written,
                ):
                    shutil.copyfileobj(packed, written)
                sqlite_backup.settle(target)
                if _sha256(target) != contents[name]:
                    return f"{name} has other bytes than were packed."
    except (zipfile.BadZipFile, zlib.error, EOFError, KeyError, TypeError, ValueError, RuntimeError) as error:
        return f"It is no backup of a portal, or damaged ({type(error).__name__})."
    except OSError as error:
        # A place outside the file, which a damaged list of contents can name; a full disk is something else.
        if error.errno != errno.EINVAL:
            raise
        return "It is damaged."
    if strange := unknown_form(Path(folder, DATABASE)):
        return f"Its database is {strange}."
    damaged = sqlite_backup.damage(Path(folder, DATABASE))
    return damaged[0] if damaged else ""


def _judge(database: Path | Server, key: Path) -> int:
    """Verify a database and its key, and print the verdict."""
    damaged = sqlite_backup.damage(database) if isinstance(database, Path) else ()
    if damaged:
        _tell("The database is damaged:", *(f"  {one}" for one in damaged))
        return 1
    store = open_store(database)
    try:
        with store.reading() as db:
            verdict = verify(db)
            wrong_key = fault_of(db, key)
    finally:
        store.close()
    _tell(words_of(verdict), *(f"  {fault}" for fault in verdict.faults), *filter(None, [wrong_key]))
    return 1 if verdict.faults or wrong_key else 0


def words_of(verdict: Verdict) -> str:
    """The verdict in one line."""
    counts = (
        f"events={verdict.events} plans={verdict.plans} signatures={verdict.signatures} papers={verdict.papers}"
        f" erased={verdict.erased}"
    )
    return f"{counts} faults={len(verdict.faults)} head={verdict.head}"


def _usable(settings: Settings) -> bool:
    """True where there is a database that this portal can use; else says why not. Raises ``Unreadable``."""
    if settings.server is not None:
        look(settings.server, one_role=True)
        return True
    if not settings.database.exists():
        _tell(f"There is no database in {settings.data}. PORTAL_DATA names the folder.")
        return False
    if strange := unknown_form(settings.database):
        _tell(f"The database {settings.database} is {strange}. Nothing was changed: use the version that made it.")
        return False
    return True


def _sha256(path: Path) -> str:
    with path.open("rb") as opened:
        return file_digest(opened, "sha256").hexdigest()


def _tell(*lines: str) -> None:
    sys.stdout.write("".join(line + "\n" for line in lines))
