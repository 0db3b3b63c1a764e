"""The long answer to "why?" of every rule, at an address of its own."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.plan.model import Level
from portal.plan.options.routing_policy import STEPS
from portal.plan.registry import RULES
from portal.web.frame.errors import NotThere
from portal.web.frame.links import Screens
from portal.web.frame.pages import Page, render
from portal.wording.catalogue import Words, look_up, mark
from portal.wording.formats import lengths_in

router = Screens()

LEVELS = Words(
    {
        Level.BLOCKS: mark("While this holds, nobody can sign the plan."),
        Level.ASKS: mark("Whoever signs ticks this point; the ticked words are kept with the signature."),
        Level.NOTES: mark("This is for information. Nobody has to do anything about it before signing."),
    }
)


@dataclass(frozen=True, kw_only=True)
class Why(Page):
    """One rule: what it says, why, and what it asks of people."""

    template: ClassVar[str] = "plan/why.html"
    kind: str
    level: str
    step: str
    how: str
    text: str
    example: str


@router.get("/why/{key}")
def show_why(key: str, request: Request) -> Response:
    """The long answer of one rule."""
    rule = RULES.get(key)
    if rule is None:
        raise NotThere
    step, title, example = STEPS.get(key), look_up(rule.title), look_up(rule.example)
    page = Why(
        title=title[0].upper() + title[1:],
        kind=str(rule.level) if rule.level else "",
        level=LEVELS[rule.level] if rule.level else "",
        step=step.number if step else "",
        how=look_up(step.how) if step else "",
        text=lengths_in(look_up(rule.explained)),
        example=lengths_in(example[:1].upper() + example[1:]),
    )
    return render(request, page)
