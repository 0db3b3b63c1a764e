"""Drives the portal: a gig's papers as they are downloaded, and its stage as the files describe it. The judge sees none
of this.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from portal.documents import input_list, pack_list
from portal.documents.cover import Cover
from portal.documents.patch import patch_sheet
from portal.documents.registry import DOCUMENTS
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET
from portal.exchange.files import answers_to_document, read_answers, read_rig, rig_to_document
from portal.exchange.plan_file import PlanFile, plan_json
from portal.exchange.spreadsheets.tables import csv_bytes
from portal.plan import Plan, reconcile
from portal.plan.input.facts import Answers
from portal.plan.input.rig import Out, Rig, Source
from portal.plan.signed.serialization import Heading, content_hash
from tests.loadin.faults import Report
from tests.loadin.judge import load_in
from tests.loadin.packing import read_csv
from tests.loadin.page import read_page
from tests.loadin.paper import Paper
from tests.loadin.printed import read_pdf
from tests.loadin.stage import Stage
from tests.loadin.truth import stage_of
from tests.plan.case_files import planned_cases
from tests.plan.gigs import answered, gig, medium
from tests.plan.outcomes import plan_of_case

_ = (input_list, pack_list, patch_sheet)

Printer = Callable[[str], bytes]
"""A page of HTML -> the PDF that is downloaded."""


@dataclass(frozen=True)
class Gig:
    """One gig with its plan. ``route`` as the plan names it, for counting only."""

    name: str
    rig: Rig
    answers: Answers
    plan: Plan

    @property
    def route(self) -> str:
        return self.plan.route

    def stage(self) -> Stage:
        """What stands there, from the band's and the house's own files."""
        return stage_of(rig_to_document(self.rig), answers_to_document(self.answers))

    def cover(self) -> Cover:
        """What stands around the plan on paper."""
        return Cover(
            band=self.rig.name,
            gig="Net Loft",
            date="Friday 12 March 2027",
            place="The Old Net Loft",
            revision=1,
            content_hash="3fa9c21d" * 8,
            short_hash="3fa9-c21d",
            answers=self.answers,
            rig=self.rig,
        )

    def html(self, key: str = "patch-sheet") -> str:
        """A paper as a page."""
        return page(key, self.plan, self.cover(), STYLESHEET)

    def table(self, key: str) -> bytes:
        """A paper's rows as the CSV that is downloaded."""
        make = DOCUMENTS[key].table
        assert make is not None
        table = make(self.plan, self.cover())
        return csv_bytes(table.heads, table.numbers, table.rows)

    def sheet(self, printer: Printer | None = None) -> Paper:
        """The patch sheet as read: off the PDF where there is a printer, else off the page that a browser shows."""
        return read_pdf(printer(self.html())) if printer else read_page(self.html())

    def load_in(self, printer: Printer | None = None) -> Report:
        """Load the gig in."""
        return load_in(self.sheet(printer), read_csv(self.table("pack-list")), self.stage())


def planned(name: str, rig: Rig, answers: Answers) -> Gig | None:
    """The gig with its plan; ``None`` where there is none."""
    plan = reconcile(rig, answers)
    return Gig(name, rig, answers, plan) if isinstance(plan, Plan) else None


def data_of(gig: Gig) -> bytes:
    """The plan as data, as it is downloaded."""
    heading = Heading("Net Loft", "2027-03-12", "The Old Net Loft")
    return plan_json(PlanFile(heading, 1, content_hash(gig.plan, heading), gig.plan))


# --- where gigs come from

HERE = Path(__file__).parent


def worked() -> list[Gig]:
    """Every worked case that has a plan."""
    return [Gig(case.name, case.rig, case.answers, plan_of_case(case.name)) for case in planned_cases()]


LISTS = tuple(sorted(path.stem for path in (HERE / "lists").glob("*.toml")))
ROOMS = tuple(sorted(path.stem for path in (HERE / "rooms").glob("*.toml")))


def own() -> list[Gig]:
    """The project's own lists, each in every room."""
    return [in_a_room(name, room) for name, room in itertools.product(LISTS, ROOMS)]


def in_a_room(name: str, room: str) -> Gig:
    """One of the project's own lists in one of its rooms."""
    found = planned(
        f"{name}, {room}", read_rig(HERE / "lists" / f"{name}.toml"), read_answers(HERE / "rooms" / f"{room}.toml")
    )
    assert found is not None
    return found


SPECIAL = {
    5: {"pa": "none"},
    6: {"who-mixes": "band-from-stage"},
    7: {"what-they-want": "mix-on-your-mixer", "who-mixes": "house-engineer"},
    8: {"what-they-want": "left-right-mix", "who-mixes": "house-engineer"},
}
"""Last figure of a generated gig's number -> who mixes on what there; the others are split, as their own answers
say.
"""
MEDIUM = 9


def generated(count: int, start: int = 0) -> Iterator[Gig]:
    """So many invented gigs that have a plan, of all routes, by number."""
    for number in itertools.count(start):
        if count <= 0:
            return
        if found := _generated(number):
            count -= 1
            yield found


def numbered(number: int) -> Gig:
    """An invented gig that has a plan, by its number."""
    found = _generated(number)
    assert found is not None
    return found


def _generated(number: int) -> Gig | None:
    rig, answers = medium(number) if number % 10 == MEDIUM else gig(number)
    rig = replace(rig, source=_told_apart(rig.source))
    if said := SPECIAL.get(number % 10):
        mixer = replace(
            rig.mixer,
            outs=(*rig.mixer.outs, *(Out(f"pa-{side}", use="main") for side in ("left", "right"))),
            remote_surfaces=1,
        )
        mixer = replace(mixer, double_patch=True, ears_protected=True, ear_limiters=True)
        rig = replace(rig, mixer=mixer, mix=replace(rig.mix, own_pa=True, proven_over_pa=True))
        answers = {**answers, **answered(said)}
    return planned(f"gig {number}", rig, answers)


def _told_apart(sources: tuple[Source, ...]) -> tuple[Source, ...]:
    """The same sources, none called as another: a band that has two kicks tells them apart."""
    seen: Counter[str] = Counter()
    apart = []
    for source in sources:
        seen[source.label] += 1
        base, _, side = source.label.rpartition(" ") if source.pair_with else (source.label, "", "")
        label = (
            f"{base} {chr(ord('A') + seen[source.label] - 1)} {side}".strip()
            if seen[source.label] > 1
            else source.label
        )
        apart.append(replace(source, label=label))
    return tuple(apart)
