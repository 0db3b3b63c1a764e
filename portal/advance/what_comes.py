"""What a band brings on stage, before anybody has answered anything: its sources with what each needs of the house."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from portal.plan.input.facts import Facts
from portal.plan.options.routing_policy import capture_of, goes_of, needs_phantom, stand_of
from portal.plan.result.lines import captured
from portal.wording.catalogue import Words, gettext, mark
from portal.wording.kinds import say_stand
from portal.wording.plan.saying import say

STAYS_WITH_THE_BAND = frozenset({"ears-only", "rehearsal-only"})
"""Where sources go that the house never gets."""

NEEDS = Words({"yes": mark("yes"), "no": "–", "unknown": mark("not known"), "never": mark("never")})


@dataclass(frozen=True)
class Coming:
    """One source as the house reads it, without who plays it. ``phantom`` says whether it needs 48 V, from whichever
    side.
    """

    source: str
    mic_or_di: str
    stand: str
    phantom: str


def what_comes(facts: Facts) -> Iterator[Coming]:
    """The sources that may go to the house, in the order of the rig."""
    for source in facts.rig.source:
        if goes_of(source) not in STAYS_WITH_THE_BAND:
            stand = say_stand(stand_of(source))
            yield Coming(
                source=source.label,
                mic_or_di=_whose(say(captured(capture_of(source))), source.owner.mic),
                stand=_whose(stand, source.owner.stand) if stand else "–",
                phantom=NEEDS["never" if source.harmed_by_phantom else needs_phantom(source)],
            )


def _whose(what: str, owner: str) -> str:
    """A thing as the house reads it: the band brings what is not called the house's."""
    return gettext("%(pickup)s, the house's", pickup=what) if owner == "house" else what
