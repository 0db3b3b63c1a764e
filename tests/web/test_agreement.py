"""Whatever two sides do in whatever order: a signature covers what its signer was shown, and "agreed" means both signed
this.
"""

import logging
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from portal.advance.status import gig_status
from portal.jobs.planning import PLANNING
from portal.store import gigs, links, plans, rigs, signoffs
from portal.store.plans import StoredPlan
from portal.store.record import form_keys
from portal.web.frame import forms
from portal.web.frame.running import Portal
from portal.web.plan import signoff
from tests.builders import ABand, a_link, a_rig
from tests.web.conftest import Browser
from tests.web.planned import Planned, filled, prepare

PARTIES = ("band", "house")
QUICK = settings(max_examples=10, stateful_step_count=12, derandomize=True)
LONG = settings(max_examples=150, stateful_step_count=30)
NAMES = {"band": "Ada Example", "house": "Jamie Example"}


@dataclass
class Drawn:
    """A sign-off form as one side got it. ``worked``: it was carried out once."""

    party: str
    content_hash: str
    sent: dict[str, object]
    worked: bool = False


@dataclass
class Figures:
    """What the runs of one test add up to."""

    examples: int = 0
    steps: int = 0
    signed: int = 0
    refused: int = 0
    agreed: int = 0


@dataclass
class Model:
    """What ought to be true of one gig: the rows of the signature table, and who was shown what."""

    rows: list[tuple[str, str, str]] = field(default_factory=list)
    shown: dict[str, set[str]] = field(default_factory=lambda: {party: set() for party in PARTIES})
    drawn: list[Drawn] = field(default_factory=list)

    def stands(self, party: str, content_hash: str) -> bool:
        mine = [kind for who, kind, what in self.rows if (who, what) == (party, content_hash)]
        return bool(mine) and mine[-1] == "signed"


def machine(  # noqa: C901 - one class with its rules, which share what they stand on
    start: Callable[[], Planned], enter: Callable[..., Browser], figures: Figures
) -> type[RuleBasedStateMachine]:
    """Both sides of a fresh gig at their browsers, doing things in any order."""

    class TwoSides(RuleBasedStateMachine):
        @initialize()
        def begin(self) -> None:
            self.planned = start()
            self.model = Model()
            self.note = self.name = 0
            self.link_lives = True
            self.inputs = "8"
            figures.examples += 1

        def browser(self, party: str) -> tuple[Browser, str]:
            return (
                (self.planned.band, self.planned.gigs_base)
                if party == "band"
                else (self.planned.house, self.planned.house_base)
            )

        @property
        def now(self) -> StoredPlan:
            return self.planned.newest()

        @rule(party=st.sampled_from(PARTIES))
        def look(self, party: str) -> None:
            """Open the sign-off page; what it shows is what it carries."""
            figures.steps += 1
            browser, base = self.browser(party)
            answer = browser.get(f"{base}/sign-off")
            if party == "house" and not self.link_lives:
                assert answer.status_code == 404, "a revoked link still shows the page"
                return
            if answer.status_code == 303:
                assert self.model.stands(party, self.now.content_hash)
                return
            form = filled(answer.text, name=NAMES[party], role="engineer")
            assert form["content_hash"] == self.now.content_hash
            self.model.shown[party].add(self.now.content_hash)
            self.model.drawn.append(Drawn(party, self.now.content_hash, form))

        @rule(parties=st.sampled_from([("band",), ("house",), PARTIES, PARTIES]), times=st.integers(1, 2))
        def sign_off(self, parties: tuple[str, ...], times: int) -> None:
            """One side or both open the page and press its button, once or twice."""
            for party in parties:
                before = len(self.model.drawn)
                self.look(party)
                for _ in range(times if len(self.model.drawn) > before else 0):
                    figures.steps += 1
                    self.send(self.model.drawn[before])

        @rule(party=st.sampled_from(PARTIES), change=st.sampled_from(["name", "inputs", "note"]))
        def sign_while_something_changes(self, party: str, change: str) -> None:
            """Between opening the page and pressing its button the other side changes something."""
            before = len(self.model.drawn)
            self.look(party)
            {"name": self.rename, "inputs": lambda: self.give("3" if self.inputs == "8" else "8"), "note": self.mend}[
                change
            ]()
            if len(self.model.drawn) > before:
                self.send(self.model.drawn[before])

        @precondition(lambda self: self.model.drawn)
        @rule(data=st.data(), times=st.integers(1, 2))
        def sign_what_was_drawn_before(self, data: st.DataObject, times: int) -> None:
            """A tab left open: its form is fresh, stale, used, or from before a withdrawal."""
            drawn = data.draw(st.sampled_from(self.model.drawn))
            for _ in range(times):
                figures.steps += 1
                self.send(drawn)

        @precondition(lambda self: any(one.worked for one in self.model.drawn))
        @rule(data=st.data())
        def send_a_used_form_again(self, data: st.DataObject) -> None:
            """A lost answer makes people press again, even after the signature was withdrawn meanwhile."""
            drawn = data.draw(st.sampled_from([one for one in self.model.drawn if one.worked]))
            self.take_back(drawn.party)
            self.send(drawn)

        def send(self, drawn: Drawn) -> None:
            browser, base = self.browser(drawn.party)
            answer = browser.send(f"{base}/sign-off", drawn.sent)
            if drawn.party == "house" and not self.link_lives:
                assert answer.status_code == 404, "a revoked link signed"
            elif drawn.worked:
                assert answer.status_code == 303, "a form that was sent twice lost its receipt"
            elif drawn.content_hash != self.now.content_hash:
                figures.refused += 1
                assert answer.status_code == 409, "a stale form was not refused"
                # The page that refuses shows the plan as it is now.
                self.model.shown[drawn.party].add(self.now.content_hash)
                self.model.drawn.append(
                    Drawn(
                        drawn.party,
                        self.now.content_hash,
                        filled(answer.text, name=NAMES[drawn.party], role="engineer"),
                    )
                )
            else:
                assert answer.status_code == 303, "a form for the plan as it stands was refused"
                drawn.worked = True
                if not self.model.stands(drawn.party, drawn.content_hash):
                    figures.signed += 1
                    self.model.rows.append((drawn.party, "signed", drawn.content_hash))

        @precondition(lambda self: self.model.rows)
        @rule(party=st.sampled_from(PARTIES))
        def withdraw(self, party: str) -> None:
            figures.steps += 1
            self.take_back(party)

        def take_back(self, party: str) -> None:
            """Withdraw from the receipt of the newest revision, where one's signature stands there."""
            browser, base = self.browser(party)
            stored = self.now
            if not self.model.stands(party, stored.content_hash):
                return
            receipt = f"{base}/sign-off/{stored.number}"
            assert browser.send(f"{receipt}/withdraw", {"name": NAMES[party]}, page=receipt).status_code == 303
            self.model.rows.append((party, "withdrawn", stored.content_hash))

        @rule(inputs=st.sampled_from(["3", "8", "12"]))
        def answer(self, inputs: str) -> None:
            """The house changes what it has; few inputs change what is plugged."""
            self.give(inputs)

        def give(self, inputs: str) -> None:
            figures.steps += 1
            self.inputs = inputs
            page = f"{self.planned.house_base}/questions/inputs"
            assert self.planned.house.send(page, {"inputs-free": inputs}, page=page).status_code == 303

        @rule()
        def rename_the_gig(self) -> None:
            """The heading is part of what is signed."""
            self.rename()

        def rename(self) -> None:
            figures.steps += 1
            self.name += 1
            page = f"{self.planned.gigs_base}/details"
            html = self.planned.band.get(page).text
            rig = re.search(r'<option value="([^"]+\|)"', html)
            typed = {
                "name": f"Harbour night {self.name}",
                "place": "The Old Net Loft",
                "on": "2026-12-05",
                "zone": "Europe/Berlin",
                "rig": rig[1],
            }
            assert self.planned.band.send(page, typed, page=page).status_code == 303

        @rule()
        def mend_a_note(self) -> None:
            """A typo in a note is not part of what is signed: the plan gets a number, not another hash."""
            self.mend()

        def mend(self) -> None:
            figures.steps += 1
            self.note += 1
            before = self.now.content_hash
            with self.planned.portal.store.reading() as db:
                rig = rigs.newest(db, gigs.of_link(db, self.planned.gig.id).rig_id).read()
            noted = replace(rig.source[0], note=f"Reaches the box late, {self.note}")
            self.planned.take_rig(replace(rig, source=(noted, *rig.source[1:])))
            assert self.now.content_hash == before

        @precondition(lambda self: self.link_lives and any(one.party == "house" for one in self.model.drawn))
        @rule(data=st.data())
        def revoke_the_link(self, data: st.DataObject) -> None:
            """The old link opens and signs nothing more; whoever gets another one goes on."""
            figures.steps += 1
            page = f"{self.planned.gigs_base}/links"
            assert self.planned.band.send(f"{page}/{self.planned.link.id}/revoke", page=page).status_code == 303
            self.link_lives = False
            self.look("house")
            self.send(data.draw(st.sampled_from([one for one in self.model.drawn if one.party == "house"])))
            with self.planned.portal.store.writing() as db:
                self.planned.link = a_link(db, self.planned.gig, self.planned.owner)
            self.planned.house = enter(self.planned.link)
            self.link_lives = True
            # A form is the holder's own: what the old link drew, the new one sends for the first time.
            for one in self.model.drawn:
                one.worked = one.worked and one.party == "band"

        @invariant()
        def the_record_is_what_was_done(self) -> None:
            """One intent, one row; and nobody's name stands under what was not shown to that side."""
            rows = [(row.party, row.kind, row.content_hash) for row in self.planned.signatures()]
            assert rows == self.model.rows, "the record differs from what was done"
            assert all(
                content_hash in self.model.shown[party] for party, kind, content_hash in rows if kind == "signed"
            ), "signed unseen"

        @invariant()
        def agreed_means_both_signed_this(self) -> None:
            both = all(self.model.stands(party, self.now.content_hash) for party in PARTIES)
            figures.agreed += both
            party = PARTIES[figures.steps % 2]
            browser, base = self.browser(party)
            assert ('<span class="mark agreed">' in browser.get(base).text) == both, f"{party}: agreed is wrong"

    return TwoSides


@pytest.fixture
def figures() -> Figures:
    return Figures()


@pytest.fixture
def two_sides(
    portal: Portal,
    band: ABand,
    signed_in: Browser,
    enter: Callable[..., Browser],
    figures: Figures,
) -> Iterator[type[RuleBasedStateMachine]]:
    """The machine on the real app. Papers are left out: they have their own tests."""
    logging.getLogger("portal").setLevel(logging.ERROR)
    portal.jobs.jobs = (PLANNING,)
    portal.papers.close()
    yield machine(lambda: prepare(portal, band, signed_in, enter, a_rig()), enter, figures)
    logging.getLogger("portal").setLevel(logging.NOTSET)


def run(two_sides: type[RuleBasedStateMachine], how: settings) -> None:
    quiet = list(HealthCheck)
    run_state_machine_as_test(
        two_sides, settings=settings(how, deadline=None, database=None, suppress_health_check=quiet, print_blob=False)
    )


def said(figures: Figures, violations: int) -> str:
    return (
        f"\nexamples={figures.examples} steps={figures.steps} signed={figures.signed} stale_refused={figures.refused} "
        f"agreed_states={figures.agreed} violations={violations}"
    )


@pytest.mark.slow
def test_two_sides_in_any_order(two_sides: type[RuleBasedStateMachine], figures: Figures) -> None:
    """In every order of looking, answering, renaming, signing, withdrawing and revoking, the record says what was shown
    and done.
    """
    run(two_sides, QUICK)
    print(said(figures, 0))  # noqa: T201 - shown with -s
    assert figures.signed > 10
    assert figures.refused > 0
    assert figures.agreed > 0


@pytest.mark.soak
def test_two_sides_for_long(two_sides: type[RuleBasedStateMachine], figures: Figures) -> None:
    """The same for many more orders, others each time."""
    run(two_sides, LONG)
    print(said(figures, 0))  # noqa: T201 - shown with -s
    assert figures.examples >= LONG.max_examples


class Anything(str):
    """A hash that differs from none."""

    __slots__ = ()
    __hash__ = str.__hash__

    def __ne__(self, other: object) -> bool:
        return False


def no_hash_check(planted: pytest.MonkeyPatch) -> None:
    """The revision that the form names is signed, whether or not the plan has moved on."""
    named: list[StoredPlan] = []
    newest = signoff.newest_plan

    def by_number(db, gig_id: str, number: int) -> StoredPlan | None:
        named.append(plans.by_number(db, gig_id, number))
        return named[-1]

    # Only where a form is sent is a revision named before the newest one is looked for.
    planted.setattr(signoff, "plans", SimpleNamespace(**{**vars(plans), "by_number": by_number}))
    planted.setattr(signoff, "newest_plan", lambda *given: named.pop() if named else newest(*given))
    planted.setattr(signoff, "stands", lambda *_anything: True)


def sign_latest(planted: pytest.MonkeyPatch) -> None:
    """Whatever the plan holds now is signed, whatever was shown."""
    raw = forms.Posted.raw
    planted.setattr(
        forms.Posted, "raw", lambda sent, name: Anything(raw(sent, name)) if name == "content_hash" else raw(sent, name)
    )


def sticky_agreement(planted: pytest.MonkeyPatch) -> None:
    """Once both have signed the same, the gig stays agreed."""
    planted.setattr(gig_status, "agreed", lambda events: bool(events.band_signed & events.house_signed))


def no_idempotency(planted: pytest.MonkeyPatch) -> None:
    """A form that was carried out is carried out again."""
    planted.setattr(form_keys, "find", lambda *_anything: None)
    planted.setattr(form_keys, "keep", lambda db, entry: db.merge(entry))


def withdrawal_forgotten(planted: pytest.MonkeyPatch) -> None:
    """The page says withdrawn, the record does not."""
    planted.setattr(signoffs, "withdraw", lambda *_anything, **_more: None)


def revoked_link_lives(planted: pytest.MonkeyPatch) -> None:
    """Revoking is noted and changes nothing."""
    planted.setattr(links.Link, "live", lambda link, now: now < link.expires)
    planted.setattr("portal.web.gig.share.sessions.end_of_link", lambda *_anything: None)


Bug = Callable[[pytest.MonkeyPatch], None]

PLANTED = (no_hash_check, sign_latest, sticky_agreement, no_idempotency, withdrawal_forgotten, revoked_link_lives)


@contextmanager
def planted_bug(bug: Bug) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as planted:
        bug(planted)
        yield


@pytest.mark.slow
@pytest.mark.parametrize(
    "bugs", [pytest.param(PLANTED[:2], id="two"), pytest.param(PLANTED, id="all", marks=pytest.mark.soak)]
)
def test_planted_bugs_are_found(
    two_sides: type[RuleBasedStateMachine], figures: Figures, bugs: tuple[Bug, ...]
) -> None:
    """Each of the mistakes that such a sign-off is prone to breaks a law within a few runs."""
    found = []
    for bug in bugs:
        try:
            with planted_bug(bug):
                run(
                    two_sides,
                    settings(
                        max_examples=30,
                        stateful_step_count=15,
                        derandomize=True,
                        phases=[Phase.generate],
                        report_multiple_bugs=False,
                    ),
                )
        except AssertionError as error:
            found.append((bug.__name__, str(error).splitlines()[0]))
    print(f"\nplanted_bugs_found={len(found)}/{len(bugs)} in examples={figures.examples}", *found, sep="\n  ")  # noqa: T201 - shown with -s
    assert [name for name, _ in found] == [bug.__name__ for bug in bugs]
