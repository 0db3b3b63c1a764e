"""What a solver can be asked, as texts on the way there and back, and the answers worked out in this very process."""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256

from pydantic import TypeAdapter

from portal.compare.cell import Cell
from portal.compare.solving import Range, solve_cell, solve_range
from portal.plan.input.facts import Answer, Answers, Lock
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig
from portal.plan.model import NoPlan, Plan
from portal.plan.phrase import Phrase, Said
from portal.plan.reconcile import outline, reconcile, scale_of_inputs
from portal.plan.signed.difference import NEW, heaviest_first
from portal.plan.signed.serialization import Heading, canonical, content_hash, to_json
from portal.plan.solving.input_scale import Rung
from portal.plan.solving.open_questions import Openness, open_questions, worth_asking

_RIG = TypeAdapter(Rig)
_ANSWERS = TypeAdapter(dict[str, Answer])
_LOCKS = TypeAdapter(tuple[Lock, ...])

Body = dict[str, object]


@dataclass(frozen=True)
class Texts:
    """What a plan is worked out from, as text: a rig and one of its variants, answers and agreements."""

    rig: str
    configuration: str
    answers: str
    locks: str

    @classmethod
    def of(cls, rig: Rig, answers: Answers, locks: Sequence[Lock]) -> "Texts":
        """The texts of what is not stored like this."""
        # The empty mapping of a frozen rig is a read-only view, which pydantic copies only when told to.
        document = _RIG.dump_json(rig, warnings=False, fallback=dict).decode()
        return cls(document, "", _ANSWERS.dump_json(dict(answers)).decode(), _LOCKS.dump_json(tuple(locks)).decode())

    def read(self) -> tuple[Rig, dict[str, Answer], tuple[Lock, ...]]:
        """The same in the core's words."""
        rig = _RIG.validate_json(self.rig).configured(self.configuration)
        return rig, _ANSWERS.validate_json(self.answers), _LOCKS.validate_json(self.locks)

    @property
    def key(self) -> str:
        """SHA-256 over all of it."""
        return sha256(json.dumps([self.rig, self.configuration, self.answers, self.locks]).encode()).hexdigest()


@dataclass(frozen=True)
class PlanMade:
    """A plan or the answer that nothing fits: canonical text, the hash that both sides sign, and how the solve
    ended.
    """

    document: str
    content_hash: str
    ended: str


@dataclass(frozen=True)
class PlanWish:
    """The plan under a heading."""

    texts: Texts
    heading: Heading


@dataclass(frozen=True)
class OpenWish:
    """What is open, among some questions."""

    texts: Texts
    among: tuple[str, ...] = tuple(QUESTIONS)


@dataclass(frozen=True)
class Change:
    """The other plan in one sentence, every material change on the way to it, and what would keep anybody from signing
    it. ``stuck``: nothing would fit.
    """

    sentence: Said
    stuck: bool
    changes: tuple[Said, ...]
    blocks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class CompareWish:
    """What changes from one gig to another."""

    texts: Texts
    then: Texts


@dataclass(frozen=True)
class WorthWish:
    """The first of some groups of questions in which an answer could still change something."""

    texts: Texts
    groups: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Worth:
    """The number of that group; ``None`` where there is none."""

    group: int | None


@dataclass(frozen=True)
class CellWish:
    """What a rig comes to at a gig, for a comparison of rigs."""

    texts: Texts


@dataclass(frozen=True)
class RangeWish:
    """What that could be while the house has not answered; ``loss`` as things stand."""

    texts: Texts
    loss: str


@dataclass(frozen=True)
class ScaleWish:
    """What the house's count of working inputs would mean."""

    texts: Texts


@dataclass(frozen=True)
class Scale:
    """Some counts of inputs, each with what is given up there beyond the count above it."""

    rungs: tuple[Rung, ...] = ()

    @classmethod
    def read(cls, text: str) -> "Scale":
        """The scale of a text that was kept."""
        return _SCALE.validate_json(text)

    def written(self) -> str:
        """The scale as a text to keep."""
        return _SCALE.dump_json(self).decode()


_SCALE = TypeAdapter(Scale)

Wish = PlanWish | OpenWish | CompareWish | WorthWish | CellWish | RangeWish | ScaleWish
Answered = PlanMade | Openness | Change | Worth | Cell | Range | Scale


def hash_of(outcome: Plan | NoPlan, heading: Heading) -> str:
    """The hash that both sides sign. That nothing fits is never signed; its hash only differs from every plan's."""
    if isinstance(outcome, Plan):
        return content_hash(outcome, heading)
    return sha256(b"portal-no-plan-1\n" + canonical(to_json(outcome))).hexdigest()


def make_plan(wish: PlanWish) -> PlanMade:
    """Work out a plan."""
    outcome = reconcile(*wish.texts.read())
    limit_reached = not outcome.proven if isinstance(outcome, Plan) else outcome.limit_reached
    ended = "limit" if limit_reached else "fits" if isinstance(outcome, Plan) else "nothing fits"
    return PlanMade(canonical(to_json(outcome)).decode(), hash_of(outcome, wish.heading), ended)


def look(wish: OpenWish) -> Openness:
    """Work out what is open."""
    return open_questions(*wish.texts.read(), among=wish.among)


def compare(wish: CompareWish) -> Change:
    """Work out what changes."""
    before, after = (outline(*texts.read()) for texts in (wish.texts, wish.then))
    if not isinstance(after, Plan):
        # Why nothing fits takes further solves, which a comparison of plans does not need.
        return Change(reconcile(*wish.then.read()).sentence, stuck=True, changes=())
    blocks = tuple(one.said for one in after.blocks)
    if not isinstance(before, Plan):
        changes: tuple[Said, ...] = (Phrase("plan-at-last"),)
        return Change(after.sentence, stuck=False, changes=changes, blocks=blocks)
    # What blocks is said by itself, whether it is new or not.
    changes = tuple(one.said for one in heaviest_first(before, after) if (one.table, one.deed) != ("blocks", NEW))
    return Change(after.sentence, stuck=False, changes=changes, blocks=blocks)


def first_worth(wish: WorthWish) -> Worth:
    """Try the groups one by one."""
    rig, answers, locks = wish.texts.read()
    for number, keys in enumerate(wish.groups):
        if any(worth_asking(key, rig, answers, locks) for key in keys):
            return Worth(number)
    return Worth(None)


def cell(wish: CellWish) -> Cell:
    """Work out a cell of a comparison."""
    rig, answers, _locks = wish.texts.read()
    return solve_cell(rig, answers)


def cell_range(wish: RangeWish) -> Range:
    """Work out between what a cell lies."""
    rig, answers, _locks = wish.texts.read()
    return solve_range(rig, answers, wish.loss)


def scale(wish: ScaleWish) -> Scale:
    """Work out what a count of inputs means."""
    return Scale(scale_of_inputs(*wish.texts.read()))


@dataclass(frozen=True)
class _Kind:
    """One kind of wish: what reads and writes it and its answer, and what works it out."""

    wish: TypeAdapter[Wish]
    answer: TypeAdapter[Answered]
    work: Callable[[Wish], Answered]
    dear: float
    """How much longer than a plan it takes (measured at 24, 64 and 128 sources)."""


def _kind(wish: type, answer: type, work: Callable[..., Answered], dear: float) -> _Kind:
    return _Kind(TypeAdapter(wish), TypeAdapter(answer), work, dear)


KINDS: Mapping[str, _Kind] = {
    "PlanWish": _kind(PlanWish, PlanMade, make_plan, 1.0),
    "OpenWish": _kind(OpenWish, Openness, look, 3.0),
    "CompareWish": _kind(CompareWish, Change, compare, 0.7),
    "WorthWish": _kind(WorthWish, Worth, first_worth, 1.0),
    "CellWish": _kind(CellWish, Cell, cell, 0.4),
    "RangeWish": _kind(RangeWish, Range, cell_range, 3.0),
    "ScaleWish": _kind(ScaleWish, Scale, scale, 1.0),
}

SECONDS_AT_128 = 3.5
"""Processor time of a plan of 128 sources on a slow core (measured); it grows with their square."""


def seconds(wish: Wish) -> float:
    """About how long a wish will take."""
    sources = len(json.loads(wish.texts.rig).get("source", ()))
    return float(SECONDS_AT_128 * (sources / 128) ** 2 * KINDS[type(wish).__name__].dear)


def write_wish(wish: Wish) -> bytes:
    """A wish as one line."""
    name = type(wish).__name__
    return name.encode() + b" " + KINDS[name].wish.dump_json(wish) + b"\n"


def answer_line(line: bytes) -> bytes:
    """Work out the wish of one line; its answer as one line."""
    name, _, body = line.partition(b" ")
    kind = KINDS[name.decode()]
    return kind.answer.dump_json(kind.work(kind.wish.validate_json(body))) + b"\n"


def read_answer(wish: Wish, line: bytes) -> Answered:
    """The answer to a wish from its line."""
    return KINDS[type(wish).__name__].answer.validate_json(line)
