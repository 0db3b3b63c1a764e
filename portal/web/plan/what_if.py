"""What other answers or things would make of the plan. Everything stands in the address; nothing is saved."""

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response
from starlette.datastructures import FormData, UploadFile

from portal.advance.comparing import Ifs, compare
from portal.advance.planning import ground
from portal.advance.sensitivity import Looks, keep, looks, one_more
from portal.advance.solver.process import NotSolved
from portal.advance.solver.wishes import Change
from portal.exchange.rig_words import BIT_WORDS
from portal.plan.input.answer_kinds import Choice, NotAnAnswer, read_numbers
from portal.plan.input.facts import Answer, Facts
from portal.plan.input.questions import QUESTIONS, TOPICS, Question
from portal.plan.input.rig import Rig
from portal.plan.solving.open_questions import Openness, together
from portal.store import plans
from portal.store.database.scopes import result
from portal.store.database.session import CannotWrite, end_reading
from portal.web.frame.deps import AllowedGig, Db, Here, TheGig
from portal.web.frame.errors import PortalError
from portal.web.frame.forms import Check, Posted
from portal.web.frame.links import Screens, house_base, mail, path_to, path_to_question
from portal.web.frame.pages import FormPage, render
from portal.web.frame.rate_limiter import take_place
from portal.web.frame.running import Portal
from portal.web.plan.open_view import OpenView, open_view
from portal.wording.answers import read_answer, refused, say_value
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up, ngettext
from portal.wording.formats import headed
from portal.wording.plan.saying import say

router = Screens()

BITS = ("isolating_transformer", "pad_20_db")
"""Small things whose count can change a plan."""
MOST_BITS = 999
LEFT = "left"
"""Field of the looms that stay at home."""


@dataclass(frozen=True)
class Field:
    """One thing that can be tried. ``options`` is empty for a number; ``now`` says how it is."""

    name: str
    label: str
    now: str
    options: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class AskHouse:
    """Words for the band to send when one question is what the plan hangs on most."""

    words: str
    mail: str


@dataclass(frozen=True, kw_only=True)
class WhatIf(FormPage):
    """The plan as it would be. ``tried`` says what was changed; empty before anything was."""

    template: ClassVar[str] = "plan/what_if.html"
    base: str
    sentence: str
    tried: tuple[str, ...]
    change: Change | None
    open: OpenView
    rest: str
    ask: AskHouse | None
    one_more: tuple[str, Change] | None
    first: tuple[Field, ...]
    more: tuple[Field, ...]
    looms: tuple[tuple[str, str], ...]


@router.get("{base}/what-if")
def show_what_if(request: Request, gig: TheGig, db: Db, portal: Here, rest: str = "") -> Response:
    """Try answers and things: the plan's difference in words."""
    gig.need("follow")
    further = int(rest) if re.fullmatch("[0-9]{1,2}", rest) else 0
    stored = plans.newest(db, gig.gig.id)
    if stored is None:
        raise PortalError(
            409, _("There is no plan yet"), _("There is nothing to compare with. The plan's page says how it is made.")
        )
    stands = ground(db, gig.gig)
    now = Ifs(stands.rig, stands.basis.answers, stands.basis.locks)
    facts = Facts(now.rig, now.answers)
    asked: list[tuple[str, str | UploadFile]] = [*request.query_params.multi_items()]
    check = Check(Posted(FormData(asked)))
    tried: list[str] = []
    then = _then(check, facts, now, tried)
    seen = looks(db, gig.gig, stored, further)
    another = one_more(db, gig.gig, stands, stored)
    end_reading(db)
    change = None
    if tried and check.well:
        with _solving(gig, portal):
            change = compare(portal.solvers, now, then)
    found = open_view(gig, _looked(gig, portal, seen) if further else seen.found, facts)
    fields = tuple(_fields(gig, facts))
    first = {
        question.key
        for question in QUESTIONS.values()
        if question.topic in {topic.key for topic in TOPICS if topic.first}
    }
    page = WhatIf(
        title=_("What if"),
        form=check.draft(),
        base=gig.base,
        sentence=say(stored.read().sentence),
        tried=tuple(tried),
        change=change,
        open=found,
        rest=path_to("show_what_if", gig.base, rest=str(further + 1)) if found.untried else "",
        ask=_ask(gig, portal.settings.base_url, found),
        one_more=another,
        first=tuple(one for one in fields if one.name in first),
        more=tuple(one for one in fields if one.name not in first),
        looms=tuple(
            (
                loom.key,
                ngettext("%(name)s, %(num)s way", "%(name)s, %(num)s ways", loom.ways, name=loom.name or loom.key),
            )
            for loom in now.rig.loom
        ),
    )
    return render(request, page, status=200 if check.well else 422)


@contextmanager
def _solving(gig: AllowedGig, portal: Portal) -> Iterator[None]:
    """A turn with the solver, which counts as one try. Raises ``PortalError``."""
    with portal.what_if_turns.one(gig.actor), portal.waiting_turns.one("what if"):
        take_place((portal.what_if_limiter, gig.actor))
        try:
            yield
        except NotSolved:
            raise PortalError(
                503,
                _("This could not be worked out just now"),
                _("Nothing was changed. Much is being planned: wait a minute, then try again."),
                retry_after_s=60,
            ) from None


def _looked(gig: AllowedGig, portal: Portal, seen: Looks) -> Openness:
    """What is open, with one look more where one is asked for that nobody has taken."""
    if seen.further is None:
        return seen.found
    with _solving(gig, portal):
        look = portal.solvers.ask(seen.further.wish)
    # Where it cannot be kept, somebody else works it out again.
    with suppress(CannotWrite), portal.store.writing(result(seen.further.key)) as db:
        keep(db, seen.further, look, portal.clock())
    return together((*seen.taken, look))


def _questions(facts: Facts) -> Iterator[Question]:
    """What the plan reads, without what is only words for people."""
    for question in QUESTIONS.values():
        if facts.asked(question.key) and "what-if" in question.seen.places:
            yield question


def _fields(gig: AllowedGig, facts: Facts) -> Iterator[Field]:
    for question in _questions(facts):
        label = look_up(question.house if gig.party == "house" else question.band)
        fact = facts.fact(question.key)
        said = say(fact.value)
        now = said
        if facts.says(question.key):
            now = _("%(said)s (assumed)", said=said) if fact.origin == "assumed" else _("%(said)s (told)", said=said)
        options = (
            tuple((option.key, look_up(option.words)) for option in question.kind.options)
            if isinstance(question.kind, Choice)
            else ()
        )
        yield Field(question.key, label, now, (("", _("As it is")), *options) if options else ())
    for key in BITS:
        yield Field(
            key, _("%(words)s that the band brings along", words=BIT_WORDS[key]), str(facts.rig.bits.get(key, 0))
        )


def _then(check: Check, facts: Facts, now: Ifs, tried: list[str]) -> Ifs:
    """The gig as it would be; ``tried`` is filled with what differs, in words."""
    answers = dict(now.answers)
    for question in _questions(facts):
        text = check.text(question.key, longest=400)
        if not text:
            continue
        try:
            value = read_answer(question.kind, text)
        except NotAnAnswer as error:
            check.fault(question.key, refused(error))
            continue
        answers[question.key] = Answer("answered", value, "assumed")
        tried.append(f"{look_up(question.band)} {say_value(question.kind, value)}")
    _contradicted(check, answers)
    rig = _with_bits(check, now.rig, tried)
    left = {loom.key for loom in rig.loom} & set(check.sent.texts(LEFT))
    tried += [_("%(key)s stays at home", key=loom.name or loom.key) for loom in rig.loom if loom.key in left]
    return Ifs(replace(rig, loom=tuple(loom for loom in rig.loom if loom.key not in left)), answers, now.locks)


def _contradicted(check: Check, answers: Mapping[str, Answer]) -> None:
    """Say at its field where a count that was typed is more than the sockets that are named: the sockets count."""
    count, sockets = (answers[key].value if key in answers else None for key in ("inputs-free", "sockets-free"))
    if isinstance(count, int) and isinstance(sockets, str) and check.text("inputs-free", longest=400):
        named = len(read_numbers(sockets))
        if named < count:
            check.fault(
                "inputs-free",
                _(
                    "The sockets named are %(sockets)s, %(named)s in all, and %(count)s are more. Change the"
                    " numbers of the inputs too.",
                    sockets=sockets,
                    named=named,
                    count=count,
                ),
            )


def _with_bits(check: Check, rig: Rig, tried: list[str]) -> Rig:
    bits = dict(rig.bits)
    for key in BITS:
        count = check.number(key, BIT_WORDS[key], lo=0, hi=MOST_BITS)
        if count is not None:
            bits[key] = count
            tried.append(headed(BIT_WORDS[key], str(count)))
    return replace(rig, bits=bits)


def _ask(gig: AllowedGig, base_url: str, found: OpenView) -> AskHouse | None:
    """For the band: the question that settles most, with the address where the house answers it."""
    if gig.party != "band" or not found.questions or gig.gig.cancelled_at is not None:
        return None
    question = QUESTIONS[found.questions[0].key]
    address = base_url + path_to_question(house_base(gig.gig.id), question.key)
    words = _(
        "The plan depends on one question more than on any other: %(house)s Answer it here: %(address)s (If the"
        " page does not open, open the link that we sent you first.)",
        house=look_up(question.house),
        address=address,
    )
    return AskHouse(words, mail(_("%(name)s: one question", name=gig.gig.name), words))
