"""From what the database holds of a comparison of rigs to what has to be solved, and back to the answer."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cached_property

from pydantic import TypeAdapter

from portal.advance.solver.wishes import Texts
from portal.compare.cell import Cell
from portal.compare.changes import Figures, changed, read_changes
from portal.compare.grid import TODAY, Candidate, Comparison, Grid, Problem, grid_of
from portal.compare.helps import Help, Tried, helps_of, tried
from portal.compare.solving import Range
from portal.compare.year import Room, Year
from portal.plan.input.facts import Answer, Answers
from portal.plan.input.line_up import nameless
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig
from portal.plan.model import ENGINE
from portal.store import answers, comparisons, gigs, rigs
from portal.store.comparisons import Comparison as Stored
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.wording.catalogue import gettext, look_up, mark

CELL, RANGE = "cell", "range"

BOX_M = 15.0
"""How far a typical room's stage box is from the rack (common practice, no source)."""

OWN_PA, ON_OUR_MIXER = mark("The band's own PA"), mark("Engineer on the band's mixer")
LEFT_RIGHT = mark("Left/right mix wanted")
WITH_A_DESK = re.compile(r"House engineer, ([0-9]+) inputs")
"""What typical rooms are called where they are kept."""

FULL_SIZES = (8, 16, 24, 32)
"""Working inputs of typical rooms (common practice, no source)."""

A_YEAR = timedelta(days=365)


@dataclass(frozen=True)
class Basis:
    """The year as it was taken. The name of a gig is read where it stands, and is empty here. ``singles``: what the
    band says of single changes, by their keys.
    """

    first: str
    last: str
    year: Year
    singles: Mapping[str, Figures] = field(default_factory=dict)


_BASIS = TypeAdapter(Basis)
_CELL, _RANGE = TypeAdapter(Cell), TypeAdapter(Range)


def write_basis(basis: Basis) -> str:
    """The year as a text to store."""
    return _BASIS.dump_json(basis).decode()


def read_basis(text: str) -> Basis:
    """The year in a stored text."""
    return _BASIS.validate_json(text)


def write_found(found: Cell | Range) -> str:
    """A cell or a range as a text to store."""
    return (_CELL.dump_json(found) if isinstance(found, Cell) else _RANGE.dump_json(found)).decode()


# --- the year


def room_words(room: Room) -> str:
    """What a room is called, to its reader: a gig as the band called it."""
    if found := WITH_A_DESK.fullmatch(room.name):
        return gettext("House engineer, %(inputs)s inputs", inputs=found[1])
    return look_up(room.name) if room.name in {OWN_PA, ON_OUR_MIXER, LEFT_RIGHT} else room.name


def rooms_of_gigs(db: Session, rig_id: str, rig: Rig, first: date, last: date) -> tuple[Room, ...]:
    """The gigs of a span that this rig plays, cancelled ones left out, in the order of their days."""
    return tuple(_room_of(gig, rig, given) for gig, given in _answered(db, rig_id, first, last))


def _answered(db: Session, rig_id: str, first: date, last: date) -> Iterator[tuple[Gig, Answers]]:
    """The gigs of a span that a rig plays, cancelled ones left out, by date, each with its answers."""
    given = answers.current_of(db, gigs.ids_played(rig_id, first, last))
    return ((gig, given.get(gig.id, {})) for gig in gigs.played(db, rig_id, first, last))


def _room_of(gig: Gig, rig: Rig, given: Answers) -> Room:
    read = {key: answer for key, answer in given.items() if not QUESTIONS[key].free_words}
    configuration = gig.configuration if gig.configuration in rig.configurations else ""
    return Room("", 1, gig.on.isoformat(), configuration, read, gig.id, nameless(gig.read_line_up()))


@dataclass(frozen=True)
class Typical:
    """Rooms by number: over the own PA, with an engineer on the band's mixer, with a left/right mix, and with a house
    engineer and so many working inputs.
    """

    own_pa: int = 0
    on_our_mixer: int = 0
    left_right: int = 0
    split: Mapping[int, int] = field(default_factory=dict)

    def rooms(self) -> Iterator[Room]:
        """The rooms, everything that decides answered by the band."""
        if self.own_pa:
            yield Room(OWN_PA, self.own_pa, "", "", _said({"who-mixes": "band-from-stage", "pa": "none"}))
        for inputs, count in sorted(self.split.items(), reverse=True):
            if count:
                yield Room(f"House engineer, {inputs} inputs", count, "", "", _desk({"inputs-free": inputs}))
        if self.left_right:
            mix = _desk({"what-they-want": "left-right-mix", "inputs-free": 2})
            yield Room(LEFT_RIGHT, self.left_right, "", "", mix)
        if self.on_our_mixer:
            own = _said({"who-mixes": "bands-engineer-our-mixer", "pa": "stereo", "pa-inputs": 2})
            yield Room(ON_OUR_MIXER, self.on_our_mixer, "", "", own | _said({"isolation": "dont-mind"}))


def _said(values: Mapping[str, str | int]) -> dict[str, Answer]:
    return {key: Answer("answered", value, "band") for key, value in values.items()}


def _desk(values: Mapping[str, str | int]) -> Answers:
    """A room with a desk, as rooms are assumed to be unless ``values`` says otherwise."""
    usual: dict[str, str | int] = {
        "who-mixes": "house-engineer",
        "pa": "stereo",
        "what-they-want": "as-much-split-as-fits",
        "box-distance": round(BOX_M * 100),
        "rack-power": "yes",
        "room-capacity": 300,
        "indoors": "yes",
        "isolation": "dont-mind",
        "phantom-switching": "per-channel",
        "house-split": "no",
    }
    return _said(usual | dict(values))


def proposed(db: Session, rig_id: str, today: date) -> Typical:
    """Typical rooms by number, from the gigs of the year before."""
    own = mixer = mix = 0
    split: dict[int, int] = {}
    for _, said in _answered(db, rig_id, today - A_YEAR, today - timedelta(days=1)):
        given = {key: one.value for key, one in said.items() if one.state == "answered"}
        inputs = given.get("inputs-free")
        if given.get("pa") == "none":
            own += 1
        elif given.get("who-mixes") == "bands-engineer-our-mixer" or given.get("what-they-want") == "mix-on-your-mixer":
            mixer += 1
        elif given.get("what-they-want") == "left-right-mix":
            mix += 1
        elif isinstance(inputs, int):
            size = max((one for one in FULL_SIZES if one <= inputs), default=FULL_SIZES[0])
            split[size] = split.get(size, 0) + 1
    return Typical(own, mixer, mix, split)


# --- the comparison


@dataclass(frozen=True)
class Opened:
    """A comparison read from its row, with what is worked out of it so far."""

    row: Stored
    basis: Basis
    comparison: Comparison
    cells: Mapping[str, Cell]
    ranges: Mapping[str, Range]

    @cached_property
    def grid(self) -> Grid | None:
        """The answer, as soon as every cell is there."""
        if not self.comparison.problems.keys() <= self.cells.keys():
            return None
        return grid_of(self.comparison, self.cells, self.ranges)

    @property
    def done(self) -> bool:
        """True where everything is worked out by the rules of now."""
        return self.row.worked == self.row.version and self.row.engine == ENGINE

    @property
    def helps(self) -> tuple[Help, ...] | None:
        """What would help most; ``None`` while it is being worked out."""
        if self.grid is None or not self.tried.keys() <= self.cells.keys():
            return None
        return helps_of(self.grid, self._asked, self.cells, self.basis.singles)

    @property
    def tried(self) -> Mapping[str, Problem]:
        """What is solved to see what would help, by the digests; known as soon as the answer is."""
        return {one.key: one for _, several in self._asked for one in several}

    @cached_property
    def _asked(self) -> Tried:
        return tried(self.grid) if self.grid else ()


def open_comparison(db: Session, row: Stored) -> Opened:
    """A comparison (already allowed) as it stands. The names of gigs are those that they have now."""
    basis = read_basis(row.basis)
    names = gigs.names_of(db, row.band_id, {room.gig_id for room in basis.year.rooms if room.gig_id})
    rooms = tuple(replace(room, name=names.get(room.gig_id, room.name)) for room in basis.year.rooms)
    rig = rigs.revision_of_gig(db, row.rig_revision_id).read()
    today, *others = read_changes(row.candidates)
    made = (Candidate(one.words, changed(rig, one), one.figures) for one in others)
    comparison = Comparison(replace(basis.year, rooms=rooms), (Candidate(look_up(TODAY), rig, today.figures), *made))
    cells, ranges = (comparisons.cells(db, row.id, kind, ENGINE) for kind in (CELL, RANGE))
    return Opened(
        row,
        basis,
        comparison,
        {key: _CELL.validate_json(text) for key, text in cells.items()},
        {key: _RANGE.validate_json(text) for key, text in ranges.items()},
    )


@dataclass(frozen=True)
class Piece:
    """One thing to work out: a cell, or the range of one whose loss is known."""

    kind: str
    problem: Problem
    loss: str = ""

    @property
    def texts(self) -> Texts:
        """What a solver is given of it."""
        return Texts.of(self.problem.rig, self.problem.answers, ())


def missing(opened: Opened) -> tuple[Piece, ...]:
    """What can be worked out now and is not: first the cells, then the ranges and what would help."""
    comparison, cells = opened.comparison, opened.cells
    first = tuple(Piece(CELL, one) for key, one in comparison.problems.items() if key not in cells)
    if first:
        return first
    later = [
        Piece(RANGE, comparison.problems[key], cells[key].loss)
        for key in comparison.problems
        if key in comparison.open and key not in opened.ranges
    ]
    return (*later, *(Piece(CELL, one) for key, one in opened.tried.items() if key not in cells))


def wanted(opened: Opened) -> frozenset[str]:
    """The digests of everything that the comparison has use for."""
    return frozenset((*opened.comparison.problems, *opened.tried))
