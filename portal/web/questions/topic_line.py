"""The topics as stops on one line, which ends where the answers are sent."""

from dataclasses import dataclass

from portal.plan.input.questions import Topic
from portal.web.frame.deps import AllowedGig
from portal.web.frame.links import path_to
from portal.web.questions.answering import Sheet
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up


@dataclass(frozen=True)
class Stop:
    """One stop of the line. ``state``: answered, here or empty."""

    title: str
    href: str
    state: str


def stops(gig: AllowedGig, sheet: Sheet, here: Topic | None) -> tuple[Stop, ...]:
    """The topics that are asked together with ``here``, the first ones or the rest, and the page of all answers as the
    last stop; ``None`` stands for that page.
    """
    first = here is None or here.first
    line = [_stop(gig, sheet, topic, here) for topic in sheet.topics if topic.first == first]
    end = Stop(
        _("Send") if gig.party == "house" else _("Answers"), path_to("show_answers", gig.base), "" if here else "here"
    )
    return (*line, end)


def _stop(gig: AllowedGig, sheet: Sheet, topic: Topic, here: Topic | None) -> Stop:
    state = "here" if topic == here else "" if sheet.waiting(topic) else "answered"
    return Stop(look_up(topic.title), path_to("show_question", gig.base, topic_key=topic.key), state)
