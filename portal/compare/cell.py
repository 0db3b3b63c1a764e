"""One rig at one gig, read off the plan: what is given up, what binds, what is carried and plugged."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from portal.plan import NoPlan, Plan
from portal.plan.input.rig import Rig
from portal.plan.model import Line, Reason, Route
from portal.plan.options.routing_policy import STEPS
from portal.plan.packing.along import loom_item
from portal.plan.phrase import Said
from portal.plan.result.spelling import through
from portal.wording.catalogue import Words, look_up, mark
from portal.wording.plan.saying import in_english

NOTHING, SECONDS, AUDIBLE, OWN_MIX, NO_PLAN = "nothing", "seconds", "audible", "own-mix", "no-plan"

LOSSES = (NOTHING, SECONDS, AUDIBLE, OWN_MIX, NO_PLAN)
"""What a gig loses, least first. The ladder's step 0 is no loss, step 1 is seconds, from step 15 the house gets the
band's own mix, or a source nothing can carry.
"""

LOSS_WORDS = Words(
    {
        NOTHING: mark("nothing given up"),
        SECONDS: mark("seconds only"),
        AUDIBLE: mark("something audible"),
        OWN_MIX: mark("the band's own mix"),
        NO_PLAN: mark("no plan"),
    }
)

MIX_WISHED = frozenset({Route.BAND_MIXES, Route.LEFT_RIGHT, Route.ON_OUR_MIXER})
"""The room itself asks for the band's mix: that it comes so is no loss."""

TO_MONO = {"mono-at-the-source": "stereo-to-mono", "one-microphone": "stereo-to-mono"}
"""Reasons that stand for a step of the ladder: how mono is made, not which step it was."""

SHORTER = Words({"stereo-to-mono": mark("a stereo source to mono"), "overhead-before-sums": mark("the last overhead")})
"""Steps whose words on the ladder need the other steps beside them."""

FIRST_OF_THE_MIX = "music-mix"

ENDS_OF_A_LINE = {"straight": 1, "house-split": 1, "digital-link": 0}
"""Plugs of a line by its path where it has no loom; any other line has two, at the rack and at the house."""

PLUG_S = 15
"""Seconds for a plug, its number read at both ends (common practice, no source)."""


@dataclass(frozen=True)
class Given:
    """One step that is taken, and for how many sources or lines."""

    step: str
    count: int

    @property
    def words(self) -> str:
        """The step in words."""
        return SHORTER.get(self.step) or look_up(STEPS[self.step].words)


@dataclass(frozen=True)
class Cell:
    """One rig at one gig.

    ``given``: what is given up, the dearest first. ``binds``: the limits that force it. ``blocks``: what forbids
    signing; finished English in a cell that was kept earlier. ``splitters`` and ``looms``: names of what is carried;
    ``built_in``: what is bolted in.
    """

    loss: str
    sentence: Said
    given: tuple[Given, ...] = ()
    binds: tuple[Said, ...] = ()
    blocks: tuple[Said, ...] = ()
    lines: int = 0
    plugs: int = 0
    splitters: tuple[str, ...] = ()
    built_in: tuple[str, ...] = ()
    looms: tuple[str, ...] = ()
    loom_m: float = 0.0
    proven: bool = True

    @property
    def rank(self) -> int:
        """How much is lost; 0 is nothing."""
        return LOSSES.index(self.loss)

    @property
    def minutes(self) -> int:
        """About how long one person plugs, in whole minutes."""
        return -(-self.plugs * PLUG_S // 60)


def cell_of(outcome: Plan | NoPlan, rig: Rig, *, mono_room: bool = False) -> Cell:
    """What a plan for this rig comes to. ``mono_room``: the PA is in mono, so one line of a mix loses nothing."""
    if isinstance(outcome, NoPlan):
        binds = _each_once(fact.value for conflict in outcome.conflicts for fact in conflict.facts)
        return Cell(NO_PLAN, outcome.sentence, binds=binds, proven=not outcome.limit_reached)
    given = _given(outcome)
    carried = {item.what for item in outcome.bring}
    looms = [loom for loom in rig.loom if loom_item(loom) in carried]
    splitters = tuple(
        one.name or one.key for one in rig.splitter if not one.built_in and (one.name or one.key) in carried
    )
    return Cell(
        _loss(outcome, given, mono_room=mono_room),
        outcome.sentence,
        given,
        _each_once(fact.value for reason in _steps(outcome) for fact in reason.facts if _limits(fact.key)),
        _each_once(one.said for one in outcome.blocks),
        len(outcome.lines),
        plugs_of(outcome, splitters),
        splitters,
        tuple(one.name or one.key for one in rig.splitter if one.built_in),
        tuple(loom.name or loom.key for loom in looms),
        sum(loom.length_m or 0 for loom in looms),
        outcome.proven,
    )


def _each_once(several: Iterable[Said]) -> tuple[Said, ...]:
    """What is said, each once: two phrases are the same where they read alike."""
    found: dict[str, Said] = {}
    for one in several:
        found.setdefault(in_english(one), one)
    return tuple(found.values())


def plugs_of(plan: Plan, carried: Iterable[str]) -> int:
    """How many plugs are made that night: each source at the rack; one more for each that runs through a carried
    splitter; both ends of each line, of each return and of each output that feeds the band's own PA.
    """
    rows = [row for row in plan.ear_inputs if row.mic_or_di]
    legs = sum(through(row) == (name, str(row.way)) for row in rows for name in carried)
    sent = {line.path.output for line in plan.lines if line.path.unit == "mixer"}
    outs = sum(bool(out.cable) and out.out not in sent for out in plan.outputs)
    link = any(line.path.kind == "digital-link" for line in plan.lines)
    return len(rows) + legs + sum(map(_ends, plan.lines)) + 2 * (outs + len(plan.returns) + link)


def _ends(line: Line) -> int:
    return 2 if line.loom else ENDS_OF_A_LINE.get(line.path.kind, 2)


def _limits(key: str) -> bool:
    """Whether a fact behind a step is a limit, not what the source itself is."""
    return key not in ("second-of", "pa", "kind", "goes", "output", "links")


def _steps(plan: Plan) -> Iterator[Reason]:
    """Every reason that names a step of the ladder."""
    rows = [reason for row in plan.not_sent if row.step for reason in row.because]
    for reason in (*rows, *(reason for line in plan.lines for reason in line.because)):
        if TO_MONO.get(reason.key, reason.key) in STEPS:
            yield reason


def _given(plan: Plan) -> tuple[Given, ...]:
    """The steps that are taken, the dearest first. Where the room asked for the mix, what is in it is no step."""
    sources = Counter(row.step for row in plan.not_sent if row.step)
    lines: Counter[str] = Counter()
    if plan.route not in MIX_WISHED:
        for line in plan.lines:
            keys = {TO_MONO.get(reason.key, reason.key) for reason in line.because} & STEPS.keys()
            if line.path.kind == "left-right-mix" and not keys:
                keys = {FIRST_OF_THE_MIX}
            lines.update(keys)
    # One of two microphones is told twice: on its line, and where the other one stays.
    found, order = sources | lines, list(STEPS)
    return tuple(Given(step, found[step]) for step in sorted(found, key=order.index, reverse=True))


def _loss(plan: Plan, given: tuple[Given, ...], *, mono_room: bool) -> str:
    if plan.route in MIX_WISHED and len(plan.lines) == 1 and not mono_room:
        return AUDIBLE
    if not given:
        return NOTHING
    step = STEPS[given[0].step]
    if step.number == "0":
        return NOTHING
    if step.number == "1":
        return SECONDS
    order = list(STEPS)
    in_the_mix = any(line.path.kind == "left-right-mix" for line in plan.lines) and plan.route not in MIX_WISHED
    dearest = order.index(step.key) >= order.index(FIRST_OF_THE_MIX) and step.key != "fail-over-out"
    return OWN_MIX if dearest or in_the_mix else AUDIBLE
