"""What is still open in a gig, for both sides: worked out once for each stored plan and kept in memory."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from pydantic import TypeAdapter

from portal.plan.boxes import DISTANCE
from portal.plan.facts import Answer
from portal.plan.questions import QUESTIONS
from portal.plan.unknowns import FIRST_SOLVES, Open, Openness, open_questions
from portal.plan.words import Lock
from portal.store import rigs
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan
from portal.store.session import Session
from portal.web import links
from portal.web.deps import AllowedGig

ALL_SOLVES = 10_000

_ANSWERS = TypeAdapter(dict[str, Answer])
_LOCKS = TypeAdapter(tuple[Lock, ...])


@dataclass(frozen=True)
class OpenShown:
    """One open question in the reader's words. ``href``: where it is answered, empty for who may not; ``tries``: each answer that matters."""

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


def opened(db: Session, gig: Gig, stored: StoredPlan, *, every: bool = False) -> Openness:
    """What is open in what a stored plan stands on, within the first solves or all of them."""
    rig = rigs.revision_of_gig(db, stored.rig_revision_id).document
    return _opened(rig, gig.configuration, stored.answers, stored.locks, ALL_SOLVES if every else FIRST_SOLVES)


@lru_cache(maxsize=256)
def _opened(rig: str, configuration: str, answers: str, locks: str, most_solves: int) -> Openness:
    """The same for what is stored of it: equal texts have equal answers, so a page that is looked at again solves nothing."""
    return open_questions(rigs.read(rig).configured(configuration), _ANSWERS.validate_json(answers), _LOCKS.validate_json(locks), most_solves)


def open_view(gig: AllowedGig, found: Openness) -> OpenView:
    """What is open for one side of a gig."""
    decisive = [one for one in found.questions if one.decisive]
    sentence = found.sentence
    if decisive:
        question = QUESTIONS[decisive[0].question]
        sentence = sentence.replace(question.band, _words(gig, question.key))
    return OpenView(sentence, tuple(_shown(gig, one) for one in decisive), len(found.untried), links.what_if(gig.base))


def _words(gig: AllowedGig, key: str) -> str:
    return QUESTIONS[key].house if gig.party == "house" else QUESTIONS[key].band


def _shown(gig: AllowedGig, one: Open) -> OpenShown:
    question = QUESTIONS[one.question]
    entries: Mapping[str, str] = {outcome.words: _entry(one.question, outcome.value) for outcome in one.outcomes}
    return OpenShown(
        key=one.question,
        words=_words(gig, one.question),
        takes=question.assumed_words,
        href=links.question(gig.base, one.question) if "answer" in gig.powers else "",
        tries=tuple((words, links.what_if(gig.base, **{one.question: entry})) for words, entry in entries.items()),
    )


def _entry(key: str, value: str | int) -> str:
    return f"{int(value) / 100:g}" if key in DISTANCE.values() else str(value)
