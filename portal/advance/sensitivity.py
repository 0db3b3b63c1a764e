"""What is still open in a gig, for both sides: worked out once for each stored plan and kept in memory."""

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock as Mutex

from pydantic import TypeAdapter

from portal.plan.input.facts import Answer
from portal.plan.input.questions import QUESTIONS
from portal.plan.model import Lock
from portal.plan.solving.open_questions import Open, Openness, open_questions, together
from portal.store import rigs
from portal.store.database.session import Session, end_reading
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan

AT_WORK = Openness((), (), 0, "What is still open is being worked out. Load the page again in a moment.")

_ANSWERS = TypeAdapter(dict[str, Answer])
_LOCKS = TypeAdapter(tuple[Lock, ...])


@dataclass
class _Shelf:
    """What was worked out, by what it was worked out from. A thing is worked out by one request at a time: others would
    only do the same again.
    """

    most: int
    _kept: OrderedDict[tuple[object, ...], Openness] = field(default_factory=OrderedDict)
    _at_work: set[tuple[object, ...]] = field(default_factory=set)
    _lock: Mutex = field(default_factory=Mutex)

    def get(self, key: tuple[object, ...]) -> Openness | None:
        """What was worked out before."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
            return self._kept.get(key)

    def work_out(self, key: tuple[object, ...], work: Callable[[], Openness]) -> Openness | None:
        """Work it out and keep it; ``None`` while another request is at it."""
        with self._lock:
            if key in self._at_work:
                return None
            self._at_work.add(key)
        try:
            made = work()
            with self._lock:
                self._kept[key] = made
                while len(self._kept) > self.most:
                    self._kept.popitem(last=False)
            return made
        finally:
            with self._lock:
                self._at_work.discard(key)

    def clear(self) -> None:
        """Forget everything."""
        with self._lock:
            self._kept.clear()


SHELF = _Shelf(256)


def opened(db: Session, gig: Gig, stored: StoredPlan, further: int = 0) -> Openness:
    """What is open in what a stored plan stands on: a first look, and ``further`` looks at what was left untried.

    Equal texts have equal answers, so a page that is looked at again solves nothing. One request takes at most one new
    look, whatever it asks for.
    """
    rig = rigs.revision_of_gig(db, stored.rig_revision_id).document
    texts = (rig, gig.configuration, stored.answers, stored.locks)
    looks: list[Openness] = []
    among = tuple(QUESTIONS)
    for _ in range(further + 1):
        known = SHELF.get((*texts, among))
        if known is None:
            end_reading(db)
            new = SHELF.work_out((*texts, among), lambda: _look(*texts, among))  # noqa: B023 - called before the next turn
            return together([*looks, new]) if new else together(looks) if looks else AT_WORK
        looks.append(known)
        among = known.untried
        if not among:
            break
    return together(looks)


def _look(rig: str, configuration: str, answers: str, locks: str, among: tuple[str, ...]) -> Openness:
    return open_questions(
        rigs.read(rig).configured(configuration),
        _ANSWERS.validate_json(answers),
        _LOCKS.validate_json(locks),
        among=among,
    )


def question_words(party: str, key: str) -> str:
    """A question as one side is asked it."""
    return QUESTIONS[key].house if party == "house" else QUESTIONS[key].band


def decisive(found: Openness) -> tuple[Open, ...]:
    """The open questions that could still turn the plan."""
    return tuple(one for one in found.questions if one.decisive)


def sentence_for(party: str, found: Openness) -> str:
    """What is open in one sentence, in the words of one side."""
    for one in decisive(found)[:1]:
        return found.sentence.replace(QUESTIONS[one.question].band, question_words(party, one.question))
    return found.sentence
