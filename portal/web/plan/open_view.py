"""The open questions of a gig as a page shows them to one side, each with the way to answer it and to try answers."""

from collections.abc import Mapping
from dataclasses import dataclass

from portal.advance.sensitivity import decisive, question_words, sentence_for
from portal.plan.input.facts import Facts
from portal.plan.input.questions import QUESTIONS
from portal.plan.options.boxes import DISTANCE
from portal.plan.solving.open_questions import Open, Openness
from portal.web.frame.deps import AllowedGig
from portal.web.frame.links import path_to, path_to_question
from portal.wording.catalogue import look_up
from portal.wording.plan.saying import say


@dataclass(frozen=True)
class OpenShown:
    """One open question in the reader's words. ``href``: where it is answered, empty for who may not; ``tries``: each
    answer that matters; ``best``: the one that changes most, with how the plan ``would_read`` then.
    """

    key: str
    words: str
    label: str
    takes: str
    href: str
    tries: tuple[tuple[str, str], ...]
    best: str
    would_read: str


@dataclass(frozen=True)
class OpenView:
    """What is open, the question that settles most first; ``untried`` counts those that nobody has looked at yet."""

    sentence: str
    questions: tuple[OpenShown, ...]
    untried: int
    what_if: str


def open_view(gig: AllowedGig, found: Openness, facts: Facts) -> OpenView:
    """What is open for one side of a gig; ``facts`` are those that its plan stands on."""
    return OpenView(
        sentence_for(gig.party, found),
        tuple(_shown(gig, one, facts) for one in decisive(found)),
        len(found.untried),
        path_to("show_what_if", gig.base),
    )


def _shown(gig: AllowedGig, one: Open, facts: Facts) -> OpenShown:
    question = QUESTIONS[one.question]
    best = max(one.outcomes, key=lambda outcome: outcome.weight)
    entries: Mapping[str, str] = {say(outcome.said): _entry(one.question, outcome.value) for outcome in one.outcomes}
    return OpenShown(
        key=one.question,
        words=question_words(gig.party, one.question),
        label=look_up(question.seen.label),
        takes=say(facts.fact(one.question).value) if facts.says(one.question) else "",
        href=path_to_question(gig.base, one.question) if "answer" in gig.powers else "",
        tries=tuple(
            (words, path_to("show_what_if", gig.base, **{one.question: entry})) for words, entry in entries.items()
        ),
        best=say(best.said),
        would_read=say(best.sentence),
    )


def _entry(key: str, value: str | int) -> str:
    return f"{int(value) / 100:g}" if key in DISTANCE.values() else str(value)
