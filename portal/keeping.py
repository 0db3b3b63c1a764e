"""What whoever runs the portal does with its data folder: hold it against its own record."""

import sys

from portal.settings import Settings
from portal.store.session import open_store
from portal.store.verify import Verdict, verify


def run_verify(settings: Settings) -> int:
    """Verify the database and print what was looked at; 1 where something does not hold."""
    if not settings.database.exists():
        _tell(f"There is no database in {settings.data}. PORTAL_DATA names the folder.")
        return 1
    store = open_store(settings.database)
    try:
        with store.reading() as db:
            verdict = verify(db)
    finally:
        store.close()
    _tell(words_of(verdict), *(f"  {fault}" for fault in verdict.faults))
    return 1 if verdict.faults else 0


def words_of(verdict: Verdict) -> str:
    """The verdict in one line."""
    counts = f"events={verdict.events} plans={verdict.plans} signatures={verdict.signatures} papers={verdict.papers}"
    return f"{counts} faults={len(verdict.faults)} head={verdict.head}"


def _tell(*lines: str) -> None:
    sys.stdout.write("".join(line + "\n" for line in lines))
