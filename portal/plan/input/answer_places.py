"""Where an answer is seen: the pages and papers that show it, and what in the engine reads it. One entry beside each
question.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

PLACES: Mapping[str, str] = MappingProxyType(
    {
        "answers": "the page of answers",
        "history": "the history",
        "what-if": "the page that tries answers",
        "plan": "the plan",
        "patch-sheet": "the patch sheet",
        "input-list": "the input list",
        "stage-plot": "the stage plot",
        "day": "the day sheet",
        "receipt": "the receipt of a signature",
    }
)
"""Every page and paper that shows what was answered, by its key, in words. A paper's key is its document's."""

PLAN = ("answers", "history", "plan")
NIGHT = (*PLAN, "patch-sheet", "day")
TRIED = ("what-if",)
HEADED = (*NIGHT, "input-list", "stage-plot")
CALLED = ("answers", "plan", "patch-sheet", "day", "input-list", "stage-plot", "receipt")
"""Who to call is for the people of the day: not in the history, which stays when words are erased."""


@dataclass(frozen=True)
class Seen:
    """Where the answer to one question is seen.

    ``label`` stands before the answer wherever both sides read it. ``places`` are keys of ``PLACES``. ``steers`` names
    what reads the answer when a plan is made: keys of rules, else modules of ``portal.plan``; it is empty where only
    people read it. ``needed``: people need the answer itself, so it is asked whatever it does to the plan. ``words``
    has other words for options that say too little behind the label.
    """

    label: str
    places: tuple[str, ...]
    steers: tuple[str, ...] = ()
    needed: bool = False
    words: Mapping[str, str] = field(default_factory=dict)


QUIET = ("answers", "history", "what-if")
"""Places that show every answer to whoever gave it, or may look back: no question names them."""
