"""Both sides walk a gig from the first answer to the signed sheet by two processes that are killed in turn; then all of
it moves to a file, to another server, and back.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field, replace

import pytest
from sqlmodel import select

from portal import admin_commands
from portal.settings import Settings
from portal.store import answers, discussions, planning, plans, signoffs
from portal.store.database.session import Store
from portal.store.plans import Paper, StoredPlan
from portal.store.record.verify import Verdict
from tests import postgresql
from tests.store import history
from tests.store.server.test_commands import dump, told
from tests.web.planned import filled
from tests.web.test_many_at_once import hidden
from tests.web.test_two_processes import Night, Process, night

__all__ = ["night"]

TYPED = {
    "mixing": {"who-mixes": "house-engineer"},
    "inputs": {"inputs-free": "8"},
    "box": {"box-place": "stage-left", "box-distance": "10 m", "rack-power": "yes"},
    "room": {"pa": "stereo", "room-capacity": "200", "indoors": "yes"},
}
"""What the house types, by page."""

SAID = {"who-mixes": "house-engineer", "inputs-free": 8, "box-distance": 1000, "pa": "stereo", "room-capacity": 200}
TWO = ("one", "other")


@dataclass
class Walk:
    """Both sides at a gig. Each deed goes by the next of two processes, which is killed with its answer, while it still
    works on what the deed asked for; another one takes its place.
    """

    night: Night
    stack: ExitStack
    serving: dict[str, Process] = field(default_factory=dict)
    kills: int = 0

    def next(self) -> Process:
        """The process whose turn it is; both are there."""
        for name in TWO:
            if name not in self.serving:
                self.serving[name] = self.stack.enter_context(self.night.serve(f"{name} {self.kills}"))
        return self.serving[TWO[self.kills % 2]]

    def kill(self) -> None:
        """End the process whose turn it was, without a word."""
        process = self.serving.pop(TWO[self.kills % 2])
        process.running.kill()
        process.running.wait(timeout=60)
        self.kills += 1

    def do(self, cookie: str, page: str, form: Callable[[str], dict[str, object]]) -> None:
        """Open a page, send its form, and kill whoever took it; the other gets the same form again, as somebody does
        who saw no answer.
        """
        process = self.next()
        status, html = process.ask(page, cookie)
        assert status == 200, page
        given = form(html)
        assert process.ask(page, cookie, given)[0] == 303, page
        self.kill()
        assert self.next().ask(page, cookie, given)[0] == 303, page

    def until(self, so: Callable[[Store], bool]) -> None:
        """Wait for what the processes do by themselves; whoever waits for ever is ended by the runner."""
        while not so(self.night.store):
            time.sleep(0.2)

    def planned(self) -> None:
        """Wait for the plan of everything that was said."""

        def there(store: Store) -> bool:
            with store.reading() as db:
                return not planning.behind(db, self.night.gig.id)

        self.until(there)


@pytest.fixture
def walk(night: Night) -> Iterator[Walk]:
    with ExitStack() as stack:
        yield Walk(night, stack)


def go(walk: Walk) -> None:
    """From the first answer to the sheet that both sides signed."""
    night = walk.night
    ours, theirs = f"/gigs/{night.gig.id}", f"/house/{night.gig.id}"
    for topic, typed in TYPED.items():
        walk.do(night.house, f"{theirs}/questions/{topic}", lambda html, typed=typed: {**hidden(html), **typed})
    for who, base in ((night.house, theirs), (night.band, ours)):
        words = f"Mind the step, says {base[1:5]}."
        walk.do(who, f"{base}/talk", lambda html, words=words: {**hidden(html), "words": words})
    walk.planned()
    for who, base, role in ((night.house, theirs, "house engineer"), (night.band, ours, "band leader")):
        walk.do(who, f"{base}/sign-off", lambda html, role=role: filled(html, name="Ada Example", role=role))
    walk.until(lambda store: kept(store) > 0)
    status, sheet = walk.next().ask(f"{theirs}/papers/patch-sheet", night.house)
    assert (status, "Ada Example" in sheet) == (200, True)


def kept(store: Store) -> int:
    with store.reading() as db:
        return len(db.exec(select(Paper.id)).all())


def looked_at(walk: Walk) -> None:
    """What was said and signed is there, each of it once."""
    night = walk.night
    with night.store.reading() as db:
        given = answers.current(db, night.gig.id)
        assert {key: given[key].value for key in SAID} == SAID
        assert Counter(one.party for one in discussions.comments(db, night.gig.id)) == {"house": 1, "band": 1}
        numbers = Counter(row.number for row in db.exec(select(StoredPlan)))
        signed = [(row.party, row.content_hash) for row in signoffs.history(db, night.gig.id)]
        newest = plans.newest(db, night.gig.id)
        assert newest is not None
        assert sorted(signed) == [("band", newest.content_hash), ("house", newest.content_hash)]
        papers = Counter((row.plan_id, row.document, row.paper_size) for row in db.exec(select(Paper)))
        assert history.faults(db) == []
    assert set(numbers.values()) == set(papers.values()) == {1}


@pytest.mark.soak
def test_a_walk_over_kills_and_there_and_back(walk: Walk) -> None:
    """Every deed of both sides is there once although each process that took one was killed over it; moved to a file,
    to another server and back, every row and the head are the same.
    """
    night = walk.night
    go(walk)
    for name in TWO:
        if name in walk.serving:
            walk.serving[name].running.terminate()
            walk.serving[name].running.wait(timeout=60)
    looked_at(walk)
    night.store.close()
    first = replace(night.settings, owner=postgresql.owner(str(night.store.engine.url.database)))
    heads, dumps = [told(first)], []
    with postgresql.empty_database() as other:
        second = replace(first, server=postgresql.program(other), owner=postgresql.owner(other))
        for settings, to in ((first, "file"), (second, "server"), (second, "file")):
            assert admin_commands.run_move(settings, to) == 0
            heads.append(head_of(settings, to))
            if to == "file":
                dumps.append(dump(settings.database))
    figures = f"kills={walk.kills} rows={len(dumps[0])} equal_dumps={dumps[0] == dumps[1]} head={heads[0].head[:12]}"
    print(f"\n{figures}")  # noqa: T201 - shown with -s
    assert dumps[0] == dumps[1]
    assert heads == [heads[0]] * 4
    assert heads[0].faults == ()
    assert heads[0].signatures == 2


def head_of(settings: Settings, to: str) -> Verdict:
    return told(settings if to == "server" else replace(settings, server=None))
