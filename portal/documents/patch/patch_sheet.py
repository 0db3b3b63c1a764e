"""The patch sheet: what both sides plug from. Left is the stage, right is the house."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass, replace

from markupsafe import Markup

from portal.documents.abbreviations import used
from portal.documents.cover import Cover, Signature, other_language
from portal.documents.heading import IN_THE_HEADING, TITLE, TitleBlock, code_of, foot_of, heading_of, sentence_of
from portal.documents.house_48v import banks_named
from portal.documents.house_said import SaidRow, house_said
from portal.documents.patch.ears_side import (
    EarRow,
    MixRow,
    MoveRow,
    ReturnRow,
    ear_rows,
    fed_alike,
    in_halves,
    mix_rows,
    move_rows,
    return_rows,
)
from portal.documents.patch.mixer_rows import (
    MixerRow,
    OutputRow,
    PaRow,
    SentRow,
    mixer_rows,
    output_rows,
    pa_rows,
    said_once,
    sent_rows,
    taken_from,
)
from portal.documents.patch.moved_lines import Moved, moved_since
from portal.documents.patch.patch_columns import BoxTable, box_table
from portal.documents.patch.patch_rows import CUT, SENTENCE, lifts_of, patch_rows
from portal.documents.patch.plugging import EARS_OUT, cautions, plug_in_order
from portal.documents.patch.row_heights import ROOM_MM, ROW_MM, Below, height, placed
from portal.documents.patch.side_by_side import cuts_beside, steps_share
from portal.documents.patch.sub_looms import SubLoomRow, sub_loom_rows
from portal.documents.registry import document
from portal.documents.rendering.printed import Printed, ranges
from portal.plan.input.rig import MAX_LABEL
from portal.plan.model import PA, Plan, Route, Statement
from portal.plan.own_mixer.mixed_tonight import NO_DESK
from portal.plan.result.spelling import WHERE, desk_switch
from portal.plan.signed.signers import asked_to_sign
from portal.wording.answers import told
from portal.wording.catalogue import gettext, look_up, mark, ngettext
from portal.wording.formats import join_clauses
from portal.wording.kinds import KIND_WORDS
from portal.wording.plan.assumed import say_assumed
from portal.wording.plan.saying import say

CUTS_OF_THE_HOUSE = (mark("Cut list for the day"), mark("Inputs found"))
CUTS_OF_THE_MIXER = (mark("If inputs of the band's mixer are dead"), mark("Dead inputs"))
"""Heading of the cut list, and the head of its numbers."""

POINTS_AND_NOTES = mark("To resolve and to know")
CONFIRMED_AND_NOTES = mark("Confirmed by both sides, and to know")
"""Heading of what stands beside the rows, before and after both sides signed."""

BLANK_ROWS = 4
"""Spare ways printed as rows to write in; further ones are named in words. Common practice, no source."""

# Heads of tables, printed by the template itself: the key covers them too.
HEADINGS = ("DI", "48 V", "dB")

OF_A_BOX = frozenset(
    {
        "box-distance",
        "box-place",
        "digital-link",
        "line-inputs",
        "other-feeds",
        "second-box-distance",
        "second-box-inputs",
        "second-box-place",
        "talkback-output",
        "who-plugs",
    }
)
"""Questions about a stage box or a desk of the house: no news where no line goes there."""


@dataclass(frozen=True)
class SpareRow:
    """One way that carries nothing, as a row to write in."""

    loom: str
    way: str


@dataclass(frozen=True)
class StayRow:
    """A source that does not go to the house."""

    label: str
    where: str
    why: str


@dataclass(frozen=True)
class Remark:
    """A statement of the plan with its level, the word for that, and what would help."""

    level: str
    word: str
    text: str
    helps: tuple[str, ...]


@dataclass(frozen=True)
class PatchSheet:
    """All that the template sees; nothing in it is computed any more."""

    language: str
    title: str
    foot: str
    heading: TitleBlock
    code: Markup
    sentence: str
    blocked: str
    remarks_title: str
    remarks: tuple[Remark, ...]
    any_help: bool
    box: BoxTable
    spare: tuple[SpareRow, ...]
    also_spare: str
    lifts: tuple[tuple[str, str], ...]
    below: tuple[Below, ...]
    mixer: tuple[MixerRow, ...]
    mixer_once: tuple[tuple[str, str, str], ...]
    any_channel: bool
    any_pad: bool
    any_note: bool
    outputs: tuple[OutputRow, ...]
    sent: tuple[tuple[SentRow, SentRow], ...]
    taken: tuple[str, ...]
    pa: tuple[PaRow, ...]
    stay_title: str
    cut_title: tuple[str, str]
    fed_alike: tuple[str, ...]
    ear_inputs: tuple[tuple[EarRow, EarRow], ...]
    moves: tuple[MoveRow, ...]
    sub_looms: tuple[tuple[SubLoomRow, SubLoomRow], ...]
    ears: tuple[tuple[MixRow, MixRow], ...]
    returns: tuple[ReturnRow, ...]
    stay: tuple[StayRow, ...]
    any_link: bool
    any_bank: bool
    any_tail: bool
    first_caution: str
    order: tuple[str, ...]
    cautions: tuple[str, ...]
    share: int
    cut_list: tuple[tuple[str, str], ...]
    cuts_beside: bool
    would_help: tuple[str, ...]
    rack_dies: str
    assumed: tuple[str, ...]
    said: tuple[SaidRow, ...]
    shortened: str
    moved_since: str
    moved: Moved | None
    signatures: tuple[Signature, ...]
    unsigned: tuple[str, ...]
    key: tuple[tuple[str, str], ...]


@document(
    "patch-sheet",
    title=mark("Patch sheet"),
    purpose=mark("What both sides plug from."),
    template="patch_sheet.html",
    signed=True,
)
def patch_sheet(plan: Plan, cover: Cover) -> PatchSheet:
    """The sheet for one plan. Texts beyond their limits are shortened with an ellipsis, and the sheet says which."""
    printed = Printed()
    heading = heading_of(cover, printed, "patch-sheet")
    at_a_box = replace(plan, lines=tuple(line for line in banks_named(plan, cover).lines if line.box != PA))
    moved = moved_since(plan, cover, printed)
    box, below = placed(box_table(tuple(patch_rows(at_a_box, printed)), other_language(cover)))
    mixer, blank = mixer_rows(plan, printed), _blank_rows(plan, box)
    above = IN_THE_HEADING if at_a_box.lines else IN_THE_HEADING | OF_A_BOX
    said = house_said(cover, "patch-sheet", printed, above)
    answers = told(cover.answers, "patch-sheet")
    other_feeds = next((one.words for one in answers if one.question == "pa-other-feeds"), "")
    order = tuple(printed(step, SENTENCE, gettext("a step")) for step in plug_in_order(plan, cover.rig, other_feeds))
    warned = cautions(plan)
    sheet = PatchSheet(
        language=cover.language,
        title=gettext("Patch sheet, %(gig)s, %(date)s", gig=heading.gig, date=heading.date),
        foot=foot_of(heading),
        heading=heading,
        code=code_of(cover.link),
        sentence=sentence_of(plan, cover, printed),
        blocked=_blocked(plan),
        remarks_title=_remarks_title(plan, cover),
        remarks=tuple(_remarks(plan, cover, printed)),
        any_help=any(one.remedies for one in (*plan.blocks, *plan.asks, *plan.notes)),
        box=box,
        spare=tuple(
            SpareRow(printed(one.name, MAX_LABEL, gettext("a loom's name")), str(one.way)) for one in plan.spare[:blank]
        ),
        also_spare=_also_spare(plan, blank, printed),
        lifts=tuple(lifts_of(plan, printed)),
        below=below,
        mixer=mixer,
        mixer_once=said_once(mixer),
        any_channel=any(one.channel is not None for one in plan.ear_inputs),
        any_pad=any(one.pad_db for one in plan.ear_inputs),
        any_note=any(one.note for one in plan.ear_inputs),
        outputs=tuple(output_rows(plan, printed)),
        sent=in_halves(tuple(sent_rows(plan, printed)), SentRow("", "", "", "", "", "")),
        taken=tuple(taken_from(plan, cover.rig, printed)),
        pa=tuple(pa_rows(plan, printed)),
        stay_title=_stay_title(plan),
        cut_title=_cut_title(plan),
        fed_alike=tuple(
            printed(one, SENTENCE, gettext("the in-ears' side")) for one in (() if plan.outputs else fed_alike(plan))
        ),
        ear_inputs=in_halves(() if plan.outputs else tuple(ear_rows(plan, printed)), EarRow("", "", "", "", "")),
        moves=tuple(move_rows(plan, printed)),
        sub_looms=in_halves(tuple(sub_loom_rows(plan, cover.rig, printed)), SubLoomRow("", "", "", "")),
        ears=in_halves(tuple(mix_rows(plan, printed)), MixRow("", "", "", "", "")),
        returns=tuple(return_rows(plan, printed)),
        stay=tuple(_stay(plan, printed)),
        any_link=any(line.box_socket is None and line.box != PA for line in plan.lines),
        any_tail=any(line.loom for line in at_a_box.lines),
        any_bank=any(desk_switch(line) == "bank" for line in at_a_box.lines),
        first_caution=look_up(EARS_OUT),
        order=order,
        cautions=warned,
        share=steps_share(order, warned),
        would_help=tuple(printed(say(one.said), SENTENCE, gettext("what would help")) for one in plan.would_help),
        cut_list=tuple(
            (str(cut.inputs), printed(say(cut.said), CUT, gettext("the cut list"))) for cut in plan.cut_list
        ),
        cuts_beside=False,
        rack_dies=printed(say(plan.rack_dies.said), SENTENCE, gettext("if the rack dies")),
        assumed=tuple(
            printed(say_assumed(one), SENTENCE, gettext("an assumption"))
            for one in plan.assumed
            if _is_used(one.question, plan)
        ),
        said=said,
        shortened="",
        moved_since=(
            gettext("revision %(number)s", number=cover.signed_before.number) if moved and cover.signed_before else ""
        ),
        moved=moved,
        signatures=tuple(_signatures(cover, printed)),
        unsigned=_unsigned(plan, cover),
        key=(),
    )
    sheet = replace(sheet, shortened=printed(", ".join(printed.shortened), SENTENCE, ""))
    beside = cuts_beside((text for _, text in sheet.cut_list), (sheet.rack_dies, " · ".join(sheet.assumed)))
    heads = HEADINGS if box.rows or sheet.mixer else ()
    return replace(sheet, cuts_beside=beside, key=used([*heads, *_texts(sheet)]))


def _blank_rows(plan: Plan, box: BoxTable) -> int:
    """How many spare ways have a row to write in: as many as there is room for, where the columns can say them."""
    names = {column.name for column in box.columns}
    looms = {one.name for one in plan.spare} | {row.loom for row in box.rows}
    if "loom_way" not in names or ("loom" not in names and len(looms) > 1):
        return 0
    return min(BLANK_ROWS, max(0, int((ROOM_MM - height(box.rows)) // ROW_MM)))


def _blocked(plan: Plan) -> str:
    """One sentence before the rows where nobody may sign yet."""
    count = len(plan.blocks)
    if not count:
        return ""
    return ngettext(
        "Not to be signed yet: one blocker stands below.", "Not to be signed yet: %(num)s blockers stand below.", count
    )


def _remarks_title(plan: Plan, cover: Cover) -> str:
    if not (plan.blocks or plan.asks or plan.notes):
        return ""
    return look_up(CONFIRMED_AND_NOTES if cover.status == "agreed" else POINTS_AND_NOTES)


def _remarks(plan: Plan, cover: Cover, printed: Printed) -> Iterator[Remark]:
    words = {**KIND_WORDS, **({"asks": gettext("confirmed")} if cover.status == "agreed" else {})}

    def remark(level: str, statement: Statement) -> Remark:
        helps = tuple(printed(say(one.said), SENTENCE, gettext("what would help")) for one in statement.remedies)
        return Remark(level, words[level], printed(say(statement.said), SENTENCE, gettext("a statement")), helps)

    for level, statements in (("blocks", plan.blocks), ("asks", plan.asks), ("notes", plan.notes)):
        yield from (remark(level, statement) for statement in statements)


def _also_spare(plan: Plan, blank: int, printed: Printed) -> str:
    ways: dict[str, list[int]] = {}
    for one in plan.spare[blank:]:
        ways.setdefault(printed(one.name, MAX_LABEL, gettext("a loom's name")), []).append(one.way)
    text = join_clauses(f"{name} {ranges(numbers)}" for name, numbers in ways.items())
    return printed(text, SENTENCE, gettext("the spare ways"))


def _stay(plan: Plan, printed: Printed) -> Iterator[StayRow]:
    for one in plan.not_sent:
        yield StayRow(
            label=printed(one.label, MAX_LABEL, gettext("the label of a source")),
            where=look_up(WHERE.get(one.where, "")) or printed(one.where, MAX_LABEL, gettext("where a source goes")),
            why=printed(say(one.because[0].said), SENTENCE, gettext("a reason")) if one.because else "",
        )


def _is_used(question: str, plan: Plan) -> bool:
    """Whether any line rests on what is assumed of a question; what no line tells stays on the sheet."""
    lines = plan.lines
    used_by = {
        "box-distance": any(line.loom for line in lines),
        "isolation": any(line.transformer or line.path.kind == "split" for line in lines),
        "phantom-switching": any(line.box != PA and desk_switch(line) in ("never", "house") for line in lines),
    }
    return used_by.get(question, True)


def _stay_title(plan: Plan) -> str:
    if not plan.not_sent:
        return ""
    return gettext("Not in the audience's mix") if plan.route in NO_DESK else gettext("Not on the house desk")


def _cut_title(plan: Plan) -> tuple[str, str]:
    if not plan.cut_list:
        return ("", "")
    title, head = CUTS_OF_THE_MIXER if plan.route == Route.OWN_PA else CUTS_OF_THE_HOUSE
    return look_up(title), look_up(head)


def _signatures(cover: Cover, printed: Printed) -> Iterator[Signature]:
    for one in cover.signatures:
        parts = (one.party, one.name, one.role, one.at)
        yield Signature(*(printed(part, TITLE, gettext("a signature")) for part in parts))


def _unsigned(plan: Plan, cover: Cover) -> tuple[str, ...]:
    """The sides whose signature is missing."""
    signed = {one.party.casefold() for one in cover.signatures}
    return tuple(party for party in asked_to_sign(plan) if party not in signed)


def _texts(part: object) -> Iterator[str]:
    """Every text of the sheet, for the key. The QR code is a drawing, not a text."""
    if isinstance(part, Markup):
        return
    if isinstance(part, str):
        yield part
    elif isinstance(part, tuple):
        for one in part:
            yield from _texts(one)
    elif is_dataclass(part):
        for one in fields(part):
            yield from _texts(getattr(part, one.name))
