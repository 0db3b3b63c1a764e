"""What every test shares."""

import gc
import os
import shutil
import tempfile
from collections import Counter
from collections.abc import Callable
from contextlib import AbstractContextManager
from functools import wraps

import pytest
from hypothesis import settings
from sqlalchemy import Engine, create_engine

from portal.plan.phrase import Phrase
from portal.store.database import session
from portal.store.database.scopes import EVERYTHING, Scope
from portal.store.database.session import Session, Store
from tests import postgresql
from tests.plan.outcomes import FOLDER

# A check gives the same verdict on the same code; a soak looks for what no run has seen yet. No deadline on a machine
# that others use too.
settings.register_profile("check", derandomize=True, deadline=None)
settings.register_profile("soak", deadline=None)


def whole(store: Store, *scopes: Scope) -> AbstractContextManager[Session]:
    """What a test lays out reaches everywhere, and need not say so. The portal must: its calls have no such default."""
    return _writing(store, *(scopes or (EVERYTHING,)))


_writing, Store.writing = Store.writing, whole


def knowing(make: Callable[..., Engine]) -> Callable[..., Engine]:
    """The same engine for a file, which knows every statement that another one has compiled: each test has a database
    of its own, and to compile a statement takes longer than most take to run.
    """
    first = create_engine("sqlite://", query_cache_size=5000)
    first.connect().close()

    @wraps(make)
    def made(*given: object, **options: object) -> Engine:
        engine = make(*given, **options)
        # What is compiled is known by the statement and the one dialect.
        engine.dialect, engine._compiled_cache = first.dialect, first._compiled_cache
        return engine

    return made


session.create_engine = knowing(session.create_engine)


def unsaid(phrase: Phrase) -> str:
    """A phrase has its words from ``portal/wording``; where one is printed as it is, somebody would read its key."""
    raise TypeError(f"printed, and not said: {phrase!r}")


Phrase.__str__ = unsaid  # type: ignore[method-assign]


def pytest_configure(config: pytest.Config) -> None:
    """Choose new examples for a soak, the same ones for everything else; give the workers a folder that they share."""
    settings.load_profile("soak" if config.getoption("markexpr") == "soak" else "check")
    # What is imported and gathered lives until the end: to look through it for rubbish, again and again, finds none.
    gc.disable()
    if not hasattr(config, "workerinput"):
        os.environ[FOLDER] = tempfile.mkdtemp(prefix="outcomes-")
        postgresql.open_folder()


def pytest_collection_finish() -> None:
    """Look for rubbish in what the tests leave, now and then, and in nothing that was there before."""
    gc.freeze()
    gc.set_threshold(20_000, 20, 100)
    gc.enable()


def pytest_unconfigure(config: pytest.Config) -> None:
    """Leave nothing behind: no folder, and no server that a test has started."""
    if not hasattr(config, "workerinput"):
        shutil.rmtree(os.environ.pop(FOLDER))
        postgresql.end()


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say in one line what was not run for want of a server."""
    skipped = [one for one in terminalreporter.getreports("skipped") if postgresql.NOT_HERE in str(one.longrepr)]
    if skipped:
        why = skipped[0].longrepr[2].removeprefix("Skipped: ")
        terminalreporter.write_line(f"{len(skipped)} tests were not run on PostgreSQL. {why}")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files whose tests take long go first, then those with many: a long one that begins last would leave the other
    cores idle.
    """
    tests = Counter(item.path for item in items)
    long = {item.path for item in items if item.get_closest_marker("slow") or item.get_closest_marker("browser")}
    items.sort(key=lambda item: (item.path in long, tests[item.path], item.path), reverse=True)
