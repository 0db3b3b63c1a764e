"""What is still open in a gig, for both sides: worked out once for each stored plan and kept in memory."""

from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from threading import Lock as Mutex

from pydantic import TypeAdapter

from portal.plan.input.facts import Answer
from portal.plan.input.questions import QUESTIONS
from portal.plan.model import Lock
from portal.plan.options.boxes import DISTANCE
from portal.plan.solving.open_questions import Open, Openness, open_questions, together
from portal.store import rigs
from portal.store.database.session import Session, end_reading
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan
from portal.web.frame.deps import AllowedGig
from portal.web.frame.links import path_to, path_to_question

AT_WORK = Openness((), (), 0, "What is still open is being worked out. Load the page again in a moment.")

_ANSWERS = TypeAdapter(dict[str, Answer])
_LOCKS = TypeAdapter(tuple[Lock, ...])


@dataclass(frozen=True)
class OpenShown:
    """One open question in the reader's words. ``href``: where it is answered, empty for who may not; ``tries``: each
    answer that matters.
    """

    key: str
    words: str
    takes: str
    href: str
    tries: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class OpenView:
    """What is open, the question that settles most first; ``untried`` counts those that nobody has looked at yet."""

    sentence: str
    questions: tuple[OpenShown, ...]
    untried: int
    what_if: str


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

    def work_out(self, key: tuple[object, ...], deed: Callable[[], Openness]) -> Openness | None:
        """Work it out and keep it; ``None`` while another request is at it."""
        with self._lock:
            if key in self._at_work:
                return None
            self._at_work.add(key)
        try:
            made = deed()
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


def open_view(gig: AllowedGig, found: Openness) -> OpenView:
    """What is open for one side of a gig."""
    decisive = [one for one in found.questions if one.decisive]
    sentence = found.sentence
    if decisive:
        question = QUESTIONS[decisive[0].question]
        sentence = sentence.replace(question.band, _words(gig, question.key))
    return OpenView(
        sentence, tuple(_shown(gig, one) for one in decisive), len(found.untried), path_to("show_what_if", gig.base)
    )


def _words(gig: AllowedGig, key: str) -> str:
    return QUESTIONS[key].house if gig.party == "house" else QUESTIONS[key].band


def _shown(gig: AllowedGig, one: Open) -> OpenShown:
    question = QUESTIONS[one.question]
    entries: Mapping[str, str] = {outcome.words: _entry(one.question, outcome.value) for outcome in one.outcomes}
    return OpenShown(
        key=one.question,
        words=_words(gig, one.question),
        takes=question.assumed_words,
        href=path_to_question(gig.base, one.question) if "answer" in gig.powers else "",
        tries=tuple(
            (words, path_to("show_what_if", gig.base, **{one.question: entry})) for words, entry in entries.items()
        ),
    )


def _entry(key: str, value: str | int) -> str:
    return f"{int(value) / 100:g}" if key in DISTANCE.values() else str(value)
