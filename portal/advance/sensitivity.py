"""What is still open in a gig, what a count of inputs would mean for it, and what one more would give: worked out once
for what its newest plan answers, and kept in rows.
"""

from dataclasses import dataclass
from datetime import datetime

from pydantic import TypeAdapter

from portal.advance.planning import Ground, document_of, ground
from portal.advance.solver.wishes import Change, CompareWish, OpenWish, Scale, ScaleWish, Texts
from portal.plan.input.facts import Answer, Facts
from portal.plan.input.questions import QUESTIONS
from portal.plan.model import ENGINE, Plan
from portal.plan.options.boxes import first_box_inputs
from portal.plan.solving.open_questions import BEING_WORKED_OUT, Open, Openness, to_the_house, together
from portal.store import planning, plans, rigs, worked_out
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.gigs import of_link as gig_of
from portal.store.plans import StoredPlan
from portal.wording.catalogue import look_up, ngettext
from portal.wording.plan.saying import say

_OPENNESS = TypeAdapter(Openness)

_CHANGE: TypeAdapter[Change | None] = TypeAdapter(Change | None)

KIND, SCALE, ONE_MORE = "open", "inputs", "one-more"


@dataclass(frozen=True)
class Look:
    """A look that nobody has taken: the wish, and as what its result is kept."""

    wish: OpenWish
    kind: str
    key: str


@dataclass(frozen=True)
class Looks:
    """The looks that were taken, and the next one; ``None`` where nothing is left to look at, or no more is asked."""

    taken: tuple[Openness, ...]
    further: Look | None

    @property
    def found(self) -> Openness:
        """What is known so far."""
        return together(self.taken) if self.taken else BEING_WORKED_OUT


def looks(db: Session, gig: Gig, stored: StoredPlan, further: int = 0) -> Looks:
    """What was worked out of what the newest plan of a gig (already allowed) stands on: a first look, and ``further``
    looks at what was left untried. Nothing is worked out here.
    """
    row = planning.of_gig(db, gig.id)
    key = row.done if row else ground(db, gig).wish.digest
    taken: list[Openness] = []
    among = tuple(QUESTIONS)
    for number in range(further + 1):
        kind = f"{KIND}-{number}" if number else KIND
        kept = worked_out.get(db, kind, key, ENGINE)
        if kept is None:
            rig = document_of(rigs.revision_of_gig(db, stored.rig_revision_id), stored.read_line_up())
            texts = Texts(rig, gig.configuration, stored.answers, stored.locks)
            return Looks(tuple(taken), Look(OpenWish(texts, among), kind, key))
        taken.append(_OPENNESS.validate_json(kept))
        among = taken[-1].untried
        if not among:
            break
    return Looks(tuple(taken), None)


def keep(db: Session, look: Look, found: Openness, now: datetime) -> None:
    """Keep what a look found."""
    worked_out.keep(db, look.kind, look.key, ENGINE, _OPENNESS.dump_json(found).decode(), now)


def first_look(db: Session, gig_id: str) -> Look | None:
    """The first look at a gig that is due; ``None`` where it was taken, or there is nothing to look at."""
    gig, stored = gig_of(db, gig_id), plans.newest(db, gig_id)
    return looks(db, gig, stored).further if stored and not stored.erased else None


def scale_of(db: Session, gig_id: str) -> Scale:
    """What a count of inputs would mean for a gig (already allowed) as its newest plan answers it; empty until that is
    worked out.
    """
    row = planning.of_gig(db, gig_id)
    kept = worked_out.get(db, SCALE, row.done, ENGINE) if row and row.done == row.wanted else None
    return Scale.read(kept) if kept else Scale()


def scale_wish(db: Session, gig_id: str) -> tuple[ScaleWish, str] | None:
    """What is to be worked out of it, and under which key it is kept; ``None`` while its plan is not there."""
    row = planning.of_gig(db, gig_id)
    if row is None or row.behind:
        return None
    found = ground(db, gig_of(db, gig_id))
    return (ScaleWish(found.texts), row.done) if found.wish.digest == row.done else None


def keep_scale(db: Session, key: str, scale: Scale, now: datetime) -> None:
    """Keep what was worked out."""
    worked_out.keep(db, SCALE, key, ENGINE, scale.written(), now)


def one_more_inputs(stands: Ground, stored: StoredPlan) -> int | None:
    """How many working inputs there would be with one more; ``None`` while nobody knows how many there are, and where
    the plan sends no line.
    """
    inputs, outcome = first_box_inputs(Facts(stands.rig, stands.basis.answers)), stored.read()
    return inputs + 1 if inputs is not None and isinstance(outcome, Plan) and outcome.lines else None


def one_more(db: Session, gig: Gig, stands: Ground, stored: StoredPlan) -> tuple[str, Change] | None:
    """What another working input would give a gig (already allowed): how many there would be, and what that changes;
    ``None`` until it is worked out.
    """
    inputs, row = one_more_inputs(stands, stored), planning.of_gig(db, gig.id)
    kept = worked_out.get(db, ONE_MORE, row.done, ENGINE) if row and row.done == row.wanted else None
    change = _CHANGE.validate_json(kept) if kept else None
    return (ngettext("%(num)s working input", "%(num)s working inputs", inputs), change) if inputs and change else None


def one_more_wish(db: Session, gig_id: str) -> tuple[CompareWish | None, str] | None:
    """What is to be worked out of it, nothing where one more means nothing, and under which key it is kept; ``None``
    while its plan is not there.
    """
    row, stored = planning.of_gig(db, gig_id), plans.newest(db, gig_id)
    if row is None or row.behind or stored is None or stored.erased:
        return None
    stands = ground(db, gig_of(db, gig_id))
    if stands.wish.digest != row.done:
        return None
    inputs, given, locks = one_more_inputs(stands, stored), stands.basis.answers, stands.basis.locks
    if inputs is None:
        return None, row.done
    answers = {key: answer for key, answer in given.items() if key != "sockets-free"}
    answers["inputs-free"] = Answer("answered", inputs, "assumed")
    return CompareWish(Texts.of(stands.rig, given, locks), Texts.of(stands.rig, answers, locks)), row.done


def keep_one_more(db: Session, key: str, change: Change | None, now: datetime) -> None:
    """Keep what it gives."""
    worked_out.keep(db, ONE_MORE, key, ENGINE, _CHANGE.dump_json(change).decode(), now)


def question_words(party: str, key: str) -> str:
    """A question as one side is asked it."""
    return look_up(QUESTIONS[key].house if party == "house" else QUESTIONS[key].band)


def decisive(found: Openness) -> tuple[Open, ...]:
    """The open questions that could still turn the plan."""
    return tuple(one for one in found.questions if one.decisive)


def sentence_for(party: str, found: Openness) -> str:
    """What is open in one sentence, in the words of one side."""
    return say(to_the_house(found.sentence) if party == "house" else found.sentence)
