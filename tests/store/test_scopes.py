"""Nothing is written without the scope that says so, and what happened is written last."""

import ast
import importlib
import inspect
import shutil
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import MagicMock

import pytest
from sqlalchemy import event
from sqlmodel import col, select

import portal.store
from portal.settings import Server
from portal.store import answers, discussions, links, plans
from portal.store.accounts import bands, sessions
from portal.store.database import scopes
from portal.store.database.scopes import NoScope
from portal.store.database.session import Store, open_store
from portal.store.house import houses
from portal.store.record import events
from portal.store.record.events import Event
from tests import postgresql
from tests.builders import NOW, ABand, a_band, a_gig, a_link, a_plan

STORE = Path(inspect.getfile(portal.store)).parent
PORTAL = STORE.parent
ROW_WRITES = {"add", "add_all", "merge", "delete"}
STATEMENTS = {"update", "delete", "insert"}
OPENS_ITS_OWN = {"open_key", "to_file", "to_server"}
"""Opens a transaction of its own, while nobody else has the database or the file that it makes."""


def calls(body: ast.AST) -> Iterator[ast.Call]:
    return (node for node in ast.walk(body) if isinstance(node, ast.Call))


def writes(body: ast.AST) -> bool:
    """True where a function itself writes a row, a statement or an event."""
    for call in calls(body):
        called = call.func
        if isinstance(called, ast.Name) and called.id in STATEMENTS:
            return True
        if isinstance(called, ast.Attribute) and isinstance(called.value, ast.Name):
            where, what = called.value.id, called.attr
            if (where, what) == ("events", "append") or (where == "db" and what in ROW_WRITES):
                return True
    return False


def functions(file: Path) -> dict[str, ast.FunctionDef]:
    return {one.name: one for one in ast.parse(file.read_text()).body if isinstance(one, ast.FunctionDef)}


def writers(file: Path) -> list[str]:
    """The functions of a file that others may call and that write, by themselves or by what is private to the file."""
    found = functions(file)
    known = {name for name, body in found.items() if writes(body)}
    while more := {
        name
        for name, body in found.items()
        if name not in known and any(isinstance(c.func, ast.Name) and c.func.id in known for c in calls(body))
    }:
        known |= more
    return sorted(name for name in known if not name.startswith("_") and name not in OPENS_ITS_OWN)


WRITERS = [
    (".".join(("portal.store", *file.relative_to(STORE).with_suffix("").parts)), name)
    for file in sorted(STORE.rglob("*.py"))
    for name in writers(file)
]


def given(function: object, known: dict[str, object]) -> dict[str, object]:
    """Something for each parameter: what is known by its name, else a word, else a stand-in."""
    found: dict[str, object] = {}
    for name, parameter in list(inspect.signature(function).parameters.items())[1:]:
        if parameter.default is inspect.Parameter.empty or name in known:
            found[name] = known.get(name, "x" if parameter.annotation is str else MagicMock())
    return found


def test_there_are_writers() -> None:
    """The search finds what writes: answers, plans, signatures, rigs, erasing."""
    assert len(WRITERS) > 50
    assert {("portal.store.answers", "give"), ("portal.store.plans", "keep_paper")} < set(WRITERS)
    assert {("portal.store.signoffs", "sign"), ("portal.store.record.erasing", "of_user")} < set(WRITERS)


@dataclass(frozen=True)
class LaidOut:
    """A store in which something of each kind stands. All refusals share it, as none of them changes it."""

    store: Store
    known: dict[str, object]
    stage_id: str


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def laid_out(
    request: pytest.FixtureRequest, empty_database: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[LaidOut]:
    """A store on each database in turn, laid out once."""
    with ExitStack() as stack:
        if request.param == "sqlite":
            place: Path | Server = Path(shutil.copy(empty_database, tmp_path_factory.mktemp("laid_out")))
        else:
            postgresql.must_be_here()
            place = postgresql.program(stack.enter_context(postgresql.empty_database()))
        store = open_store(place)
        stack.callback(store.close)
        with store.writing() as db:
            band = a_band(db)
            gig = a_gig(db, band)
            link, plan = a_link(db, gig, band), a_plan(db, gig)
            proposal = discussions.propose(
                db, gig_id=gig.id, source="kick", resource="desk-channel", value="9", party="house", now=NOW
            )
            stage = houses.add_stage(db, houses.make(db, "The Old Net Loft", "k", NOW).id, "Main", NOW)
            known = {"link_id": link.id, "plan_id": plan.id, "proposal_id": proposal.id, "link": link, "plan": plan}
        yield LaidOut(store, known, stage.id)


@pytest.mark.parametrize(
    ("module", "name"), WRITERS, ids=[f"{m.removeprefix('portal.store.')}.{n}" for m, n in WRITERS]
)
def test_a_write_without_its_scope_fails(
    laid_out: LaidOut, module: str, name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each function that writes refuses a transaction that has not taken the scope it writes to, before it has changed
    anything or made a file. Another gig's, band's, house's or account's scope does not help.
    """
    # A stand-in is a path as well, relative to here.
    here = tmp_path / "empty"
    here.mkdir()
    monkeypatch.chdir(here)
    # What finds its scope by a row needs the row.
    known = laid_out.known | ({"stage_id": laid_out.stage_id} if "inquiries" in module else {})
    function = getattr(importlib.import_module(module), name)
    others = [of("another") for of in (scopes.account, scopes.address, scopes.band, scopes.gig, scopes.house)]
    for held in ([], others):
        if held and name == "make" and module.endswith(".houses"):
            continue  # a new house is nobody's yet: whoever writes at all may make one
        with laid_out.store.open(*held, to_write=True) as db, pytest.raises(NoScope):
            function(db, **given(function, known))
        assert not db.new
        assert not db.dirty
        assert "events" not in db.info
        assert list(here.iterdir()) == []


def test_nothing_outside_the_store_writes() -> None:
    """Rows, statements and events are written by functions of the store, which ask for scopes."""
    outside = [
        f"{file.relative_to(PORTAL)}: {name}"
        for file in sorted(PORTAL.rglob("*.py"))
        if STORE not in file.parents
        for name, body in functions(file).items()
        if any(
            isinstance(c.func, ast.Attribute)
            and isinstance(c.func.value, ast.Name)
            and c.func.value.id in {"db", "session", "events"}
            and c.func.attr in ROW_WRITES | {"append"}
            for c in calls(body)
        )
    ]
    assert outside == []


def test_who_reads_takes_no_scope(store: Store) -> None:
    """A transaction that only reads can neither take a scope nor write."""
    with store.reading() as db:
        with pytest.raises(NoScope):
            scopes.take(db, scopes.EVERYTHING)
        with pytest.raises(NoScope):
            answers.send(db, "x", "x", NOW)


def test_the_scope_of_what_was_made_is_its_makers(store: Store) -> None:
    """Whoever makes an account, a band and a gig may go on with them in the same transaction, and with no other."""
    with store.writing(scopes.address("ada@band.example")) as db:
        user = bands.add_user(db, email="Ada@band.example", name="Ada", password_hash="x", now=NOW)
        band = bands.add_band(db, name="The Paper Lanterns", owner_id=user.id, now=NOW)
        gig = a_gig(db, ABand(band.id, user.id, user.email))
        link = a_link(db, gig, ABand(band.id, user.id, user.email))
        sessions.start_for_link(db, "t", link.id, only_view=True, now=NOW, expires=NOW)
    with store.writing(scopes.gig(gig.id)) as db:
        links.used(db, link, NOW)
        with pytest.raises(NoScope):
            bands.set_name(db, user.id, "Bo")


def test_what_happened_is_written_last(store: Store) -> None:
    """In a transaction that notes several things the events and the chain's head are written after everything else,
    once, in the order of what was noted.
    """
    with store.writing() as db:
        band = a_band(db)
        gig = a_gig(db, band)
        link = a_link(db, gig, band)
    said: list[str] = []

    def listen(_connection: object, _cursor: object, statement: str, *_more: object) -> None:
        said.append(" ".join(statement.split()[:3]))

    event.listen(store.engine, "before_cursor_execute", listen)
    with store.writing(scopes.gig(gig.id)) as db:
        links.used(db, link, NOW)
        a_plan(db, gig)
        discussions.say(db, gig_id=gig.id, party="house", author="Bo", words="Hello", link_id=link.id, now=NOW)
    of_the_chain = [number for number, one in enumerate(said) if "event" in one or "chain_head" in one]
    assert of_the_chain == list(range(len(said) - len(of_the_chain), len(said)))
    with store.reading() as db:
        told = [row.kind for row in db.exec(select(Event).order_by(col(Event.position)))][-3:]
    assert told == ["link-used", "planned", "commented"]


def test_what_was_undone_did_not_happen(store: Store) -> None:
    """What a transaction noted and took back is never written, also where the same session goes on."""
    with store.writing() as db:
        gig = a_gig(db, a_band(db))
    with store.open(scopes.gig(gig.id), to_write=True) as db:
        a_plan(db, gig)
        db.rollback()
        a_plan(db, gig, content_hash="b" * 64)
        db.commit()
        assert [one.event.read()["content_hash"] for one in events.of_gig(db, gig.id, "planned")] == ["b" * 64]
        assert [one.content_hash for one in plans.revisions(db, gig.id)] == ["b" * 64]
