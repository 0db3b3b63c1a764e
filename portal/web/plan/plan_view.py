"""A plan as the pages show it: finished words in the order of reading, with an address wherever a fact has a question
behind it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from portal.documents.patch.ears_side import CARRIED_BY, WIDTHS, WIDTHS_TO_MONO
from portal.plan.input.facts import ORIGIN_WORDS, Answers
from portal.plan.input.questions import QUESTIONS
from portal.plan.model import (
    Assumed,
    Conflict,
    EarInput,
    Fact,
    Item,
    NoPlan,
    NotSent,
    Plan,
    Reason,
    Remedy,
    Statement,
)
from portal.plan.options.routing_policy import STEPS
from portal.plan.registry import RULES
from portal.plan.result.spelling import WHERE, once_agreed
from portal.web.discussion.discussion_view import LineTalk, TalkView
from portal.web.frame.links import path_to, path_to_question
from portal.web.plan.cable import Cables, Places, cables, only, output_words
from portal.web.plan.glance import Glance, glance
from portal.web.plan.mixer_view import MixerPatch, mixer_patch
from portal.wording.answers import told
from portal.wording.catalogue import Words, look_up, mark, ngettext
from portal.wording.catalogue import gettext as _
from portal.wording.formats import join_and, join_clauses
from portal.wording.plan.saying import say
from portal.wording.times import say_date


@dataclass(frozen=True)
class FactShown:
    """One fact: the question behind it (if there is one), its value, who said it and when, and where it is settled."""

    question: str
    value: str
    origin: str
    href: str
    assumed: bool


@dataclass(frozen=True)
class ReasonShown:
    """A sentence, the facts it rests on, the address of the long answer, and its rule's title."""

    text: str
    facts: tuple[FactShown, ...]
    href: str
    title: str


@dataclass(frozen=True)
class RemedyShown:
    """A change that was solved again and does help; its text names who makes it. ``href`` leads to where the reader's
    side makes it or tries it, ``link`` names that place.
    """

    text: str
    href: str = ""
    link: str = ""


@dataclass(frozen=True)
class StatementShown:
    """What the plan says about itself, with what would help."""

    reason: ReasonShown
    remedies: tuple[RemedyShown, ...]


@dataclass(frozen=True)
class NotSentRow:
    """A source that does not go to the house, and why."""

    label: str
    where: str
    reasons: tuple[ReasonShown, ...]
    talk: LineTalk


@dataclass(frozen=True)
class AssumedRow:
    """What is taken for granted, and where it is settled."""

    text: str
    question: str
    href: str


@dataclass(frozen=True)
class HouseAnswer:
    """One answer as both sides read it, who said it and when, and where it is changed; ``href`` is empty for whoever
    may not answer.
    """

    label: str
    words: str
    origin: str
    href: str
    assumed: bool


@dataclass(frozen=True)
class PlanView:
    """A plan in the order in which it is read: the answer, what to settle, the lines, the rest."""

    sentence: str
    blocks: tuple[StatementShown, ...]
    asks: tuple[StatementShown, ...]
    notes: tuple[StatementShown, ...]
    glance: Glance
    cables: Cables
    mixer: MixerPatch | None
    not_sent: tuple[NotSentRow, ...]
    ear_inputs: tuple[tuple[str, ...], ...]
    ears: tuple[tuple[str, ...], ...]
    returns: tuple[tuple[str, ...], ...]
    bring: tuple[tuple[str, ...], ...]
    leave: tuple[tuple[str, ...], ...]
    would_help: tuple[RemedyShown, ...]
    moves: tuple[tuple[str, str, str, str], ...]
    cuts: tuple[tuple[str, str], ...]
    rack_dies: str
    assumed: tuple[AssumedRow, ...]
    spare: str
    proven: bool


@dataclass(frozen=True)
class ConflictShown:
    """Facts that cannot all hold."""

    text: str
    facts: tuple[FactShown, ...]


@dataclass(frozen=True)
class NoPlanView:
    """Why there is no plan, and what would help."""

    sentence: str
    conflicts: tuple[ConflictShown, ...]
    remedies: tuple[RemedyShown, ...]
    assumed: tuple[AssumedRow, ...]


SAID_ON = Words(
    {
        "house": mark("the house said on %(on)s"),
        "band": mark("the band said on %(on)s"),
        "both": mark("both sides agreed on %(on)s"),
    }
)
"""Who said something that a plan rests on, and when."""

FED_BY = Words(
    {
        "band": mark("band"),
        "house": mark("house"),
        "splitter": mark("splitter"),
        "unknown": mark("not known"),
        "never": mark("keep 48 V off"),
    }
)
"""Who feeds 48 V at an input of the band's mixer."""

ANSWERED_AT = {"one-more-input": "inputs-free"}
"""Changes that are an answer of the house, with its question."""

IN_THE_RIG = frozenset(
    {
        "say-where-outputs-are-tapped",
        "say-where-sources-plug-in",
        "free-an-output",
        "loose-splitter",
        "lend-a-sub-loom",
        "bring-isolating-transformers",
    }
)
"""Changes that the band writes into its rig, whose page knows the field of each."""


@dataclass(frozen=True)
class Reader:
    """Who reads which revision: below which address, and from which side; ``talk``: what was said, if shown;
    ``rig_id``: the rig, for whoever may change it; ``follows``: may read what both say, and try; ``agreed``: signed.
    """

    base: str
    party: str
    number: int
    talk: TalkView | None = None
    rig_id: str = ""
    follows: bool = True
    agreed: bool = False

    def plan(self, plan: Plan) -> PlanView:
        """The plan for this reader."""
        return PlanView(
            sentence=say(once_agreed(plan.sentence) if self.agreed else plan.sentence),
            blocks=self._statements(plan.blocks),
            asks=self._statements(plan.asks),
            notes=self._statements(plan.notes),
            glance=glance(plan),
            cables=cables(plan, self._places()),
            mixer=mixer_patch(plan),
            not_sent=tuple(self._not_sent(one) for one in plan.not_sent),
            ear_inputs=tuple(_ear_input(one) for one in plan.ear_inputs),
            ears=tuple(
                (
                    one.player,
                    (WIDTHS_TO_MONO if one.to_mono else WIDTHS).get(one.width, one.width),
                    join_and(map(output_words, one.outs)),
                    CARRIED_BY.get(one.carried_by, one.carried_by),
                )
                for one in plan.ears
            ),
            returns=tuple(
                (
                    say(one.label),
                    _("%(name)s, way %(way)s", name=one.loom.name, way=one.loom.way) if one.loom else _("own cable"),
                    _number(one.mixer_input),
                    str(one.turn_rounds),
                    say(one.note),
                )
                for one in plan.returns
            ),
            bring=tuple(map(_item, plan.bring)),
            leave=tuple(map(_item, plan.leave)),
            would_help=tuple(map(self._remedy, plan.would_help)),
            moves=tuple((one.label, str(one.rig_input), str(one.tonight), say(one.note)) for one in plan.moves),
            cuts=tuple((str(cut.inputs), say(cut.said)) for cut in plan.cut_list),
            rack_dies=say(plan.rack_dies.said),
            assumed=self._assumed(plan.assumed),
            spare=_spare(plan),
            proven=plan.proven,
        )

    def no_plan(self, outcome: NoPlan) -> NoPlanView:
        """Why there is none, for this reader. The cards repeat what the sentence would say after its first full
        stop.
        """
        sentence = say(outcome.sentence)
        sentence = f"{sentence.partition('. ')[0].rstrip('.')}." if outcome.conflicts else sentence
        return NoPlanView(
            sentence,
            tuple(map(self._conflict, outcome.conflicts)),
            tuple(map(self._remedy, outcome.remedies)),
            self._assumed(outcome.assumed),
        )

    def house_answers(self, answers: Answers, *, may_answer: bool) -> tuple[HouseAnswer, ...]:
        """What was answered and is seen on the plan's page."""
        return tuple(
            HouseAnswer(
                one.label,
                one.words,
                "" if one.assumed else _origin(one.by, one.on),
                path_to_question(self.base, one.question) if may_answer else "",
                one.assumed,
            )
            for one in told(answers, "plan")
        )

    def _conflict(self, one: Conflict) -> ConflictShown:
        return ConflictShown(say(one.said), tuple(map(self._fact, one.facts)))

    def _fact(self, fact: Fact) -> FactShown:
        question = QUESTIONS.get(fact.key) if fact.origin != "rig" else None
        origin = _origin(fact.origin, fact.on)
        asked = "" if question is None else look_up(question.house if self.party == "house" else question.band)
        return FactShown(
            asked,
            say(fact.value),
            origin,
            path_to_question(self.base, fact.key) if question else "",
            fact.origin == "assumed",
        )

    def reason(self, reason: Reason | Statement) -> ReasonShown:
        """A reason with the facts that it rests on."""
        rule, said = RULES.get(reason.key), say(reason.said)
        title = look_up(rule.title) if rule else said
        return ReasonShown(
            said,
            tuple(map(self._fact, reason.facts)),
            path_to("show_why", key=reason.key) if rule else "",
            f"{title[:1].upper()}{title[1:]}",
        )

    def _statements(self, statements: tuple[Statement, ...]) -> tuple[StatementShown, ...]:
        return tuple(StatementShown(self.reason(one), tuple(map(self._remedy, one.remedies))) for one in statements)

    def _assumed(self, assumed: tuple[Assumed, ...]) -> tuple[AssumedRow, ...]:
        rows = []
        for one in assumed:
            question = QUESTIONS.get(one.question)
            asked = "" if question is None else look_up(question.house if self.party == "house" else question.band)
            rows.append(AssumedRow(say(one.said), asked, path_to_question(self.base, one.question) if question else ""))
        return tuple(rows)

    def _not_sent(self, one: NotSent) -> NotSentRow:
        return NotSentRow(
            one.label,
            look_up(WHERE.get(one.where, one.where)),
            tuple(map(self.reason, one.because)),
            self.said_of([one.source]),
        )

    def said_of(self, sources: Iterable[str]) -> LineTalk:
        """What was said about some sources; nothing where talk is not shown."""
        return self.talk.of(sources) if self.talk else LineTalk()

    def _remedy(self, remedy: Remedy) -> RemedyShown:
        return RemedyShown(say(remedy.said), *self._made_at(remedy))

    def _made_at(self, remedy: Remedy) -> tuple[str, str]:
        """Where the reader's side makes a change, or tries it, and what that place is called."""
        if not self.follows:
            return "", ""
        if remedy.key.startswith("release-"):
            return path_to("show_discussion", self.base), _("What was agreed")
        question = ANSWERED_AT.get(remedy.key)
        if question and self.party == "house":
            return path_to_question(self.base, question), _("Answer it")
        if remedy.key in IN_THE_RIG and self.rig_id:
            return path_to("show_rig", rig_id=self.rig_id, unfold=remedy.key), _("Write it into the rig")
        if question:
            return path_to("show_what_if", self.base), _("Try it")
        return "", ""

    def cable(self, plan: Plan, line: int) -> Cables:
        """One line of the plan, with what joins it."""
        return only(cables(plan, self._places()), path_to("show_line", self.base, number=self.number, line=line))

    def _places(self) -> Places:
        about = {one.source: one.href for one in self.talk.about} if self.talk else {}
        return Places(
            line=lambda line: path_to("show_line", self.base, number=self.number, line=line),
            source=lambda source: about.get(source, ""),
            talk=lambda sources: self.said_of(sources).mark,
        )


def _origin(by: str, on: str) -> str:
    if on and by in SAID_ON:
        return SAID_ON[by] % {"on": say_date(date.fromisoformat(on))}
    return look_up(ORIGIN_WORDS.get(by, by))


def steps_used(plan: Plan) -> Mapping[str, tuple[str, ...]]:
    """What this plan gives up: step of the ladder -> the labels that it touches."""
    used: dict[str, list[str]] = {}
    for label, step, because in (
        *((one.label, one.step, one.because) for one in plan.not_sent),
        *((line.label, "", line.because) for line in plan.lines),
    ):
        for key in dict.fromkeys((step, *(reason.key for reason in because))):
            if key in STEPS and label not in used.setdefault(key, []):
                used[key].append(label)
    return {key: tuple(labels) for key, labels in used.items()}


def _number(number: int | None) -> str:
    return "–" if number is None else str(number)


def _numbers(numbers: list[int]) -> str:
    """Numbers in a cell: "4", "4, 6", or "4–9" for a run."""
    found = sorted(set(numbers))
    run = len(found) > 2 and found[-1] - found[0] == len(found) - 1  # noqa: PLR2004 - two numbers are no run
    return f"{found[0]}–{found[-1]}" if run else ", ".join(map(str, found))


def _ear_input(one: EarInput) -> tuple[str, ...]:
    phantom = "" if one.phantom == "none" else FED_BY.get(one.phantom, one.phantom)
    return (_number(one.mixer_input), one.label, say(one.fed_by), phantom, "" if one.line is None else str(one.line))


def _item(item: Item) -> tuple[str, ...]:
    return (say(item.what), str(item.count), say(item.why))


def _spare(plan: Plan) -> str:
    ways: dict[str, list[int]] = {}
    for one in plan.spare:
        ways.setdefault(one.name, []).append(one.way)
    return join_clauses(
        ngettext("%(loom)s: way %(ways)s", "%(loom)s: ways %(ways)s", len(found), loom=name, ways=_numbers(found))
        for name, found in ways.items()
    )
