"""Plans written by hand for the papers: one invented band, full defaults, keyword overrides."""

from __future__ import annotations

from dataclasses import replace

from portal.documents.cover import Cover, Signature
from portal.plan.input.answer_kinds import Distance, Value
from portal.plan.input.facts import Answer
from portal.plan.input.questions import QUESTIONS
from portal.plan.model import (
    Assumed,
    Cut,
    EarInput,
    EarMix,
    Line,
    LoomWay,
    NotSent,
    Path,
    Plan,
    RackDies,
    Reason,
    Remedy,
    Return,
    Spare,
    Statement,
)

# label, strip, player, microphone or DI, stand, 48 V, pair
ROWS = (
    ("Kick In", "KICK IN", "Robin", "boundary condenser", "none", "band", 0),
    ("Kick Out", "KICK OUT", "Robin", "dynamic, large", "short", "none", 0),
    ("Snare Top", "SN TOP", "Robin", "dynamic", "short", "none", 0),
    ("Rack Tom", "TOM 1", "Robin", "dynamic", "clip", "none", 0),
    ("Floor Tom", "TOM 2", "Robin", "dynamic", "clip", "none", 0),
    ("Overhead Left", "OH L", "Robin", "condenser", "tall", "band", 1),
    ("Overhead Right", "OH R", "Robin", "condenser", "tall", "band", -1),
    ("Bass", "BASS", "Kim", "active DI", "none", "band", 0),
    ("Guitar", "GTR", "Alex", "dynamic", "short", "none", 0),
    ("Keys Left", "KEYS L", "Noor", "passive DI", "none", "none", 1),
    ("Keys Right", "KEYS R", "Noor", "passive DI", "none", "none", -1),
    ("Alex Vocal", "VOX ALEX", "Alex", "dynamic", "tall", "none", 0),
    ("Noor Vocal", "VOX NOOR", "Noor", "dynamic", "tall", "none", 0),
    ("Sam Lead Vocal", "VOX SAM", "Sam", "dynamic, wireless", "straight", "none", 0),
)


def a_line(number: int, **changes: object) -> Line:
    """One line of a dry split over looms of 16 ways; every fact is its number's own."""
    label, strip, player, mic, stand, phantom, pair = ROWS[(number - 1) % len(ROWS)]
    turn = (number - 1) // len(ROWS)
    loom = (number - 1) // 16
    line = Line(
        line=number,
        direction="send",
        sources=(f"s-{number}",),
        label=label if not turn else f"{label} {turn + 1}",
        strip=strip if not turn else f"{strip[:9]} {turn + 1}",
        player=player,
        mic_or_di=mic,
        owner="house" if number % 9 == 4 else "band",
        stand=stand,
        stereo_partner=number + pair if pair else None,
        path=Path("split", f"rack-{loom}", f"Rack {'ABCDEFGH'[loom]}", (number - 1) % 16 + 1, "isolated output B"),
        mixer_input=number,
        loom=LoomWay(f"loom-{loom}", f"Loom {loom + 1}", (number - 1) % 16 + 1, "XLR male"),
        box_socket=number + 2,
        desk_channel=number,
        level="mic",
        gain_owner="each",
        phantom=phantom,
        pad_db=20 if number % 11 == 9 else 0,
        lift="if it hums",
        polarity="flip" if number == 2 else "normal",
        dry=True,
        note="",
        because=(),
    )
    return replace(line, **changes)


def a_plan(lines: tuple[Line, ...], **changes: object) -> Plan:
    """A dry split with everything else that a sheet can hold."""
    fed = tuple(
        EarInput(
            one.mixer_input,
            one.sources[0],
            one.label,
            f"{one.path.unit_name}, way {one.path.way}",
            one.phantom,
            one.line,
        )
        for one in lines
    )
    own = len(lines)
    plan = Plan(
        schema=1,
        status="plan",
        route="dry-split",
        sentence=(
            f"Dry split: {own} lines to the house stage box, all separate. One thing to settle: who feeds 48 V on"
            " line 1."
        ),
        lines=lines,
        not_sent=(
            NotSent(
                "s-hat",
                "Hi-hat",
                "ears-only-tonight",
                "second microphones",
                (Reason("too-few-inputs", "The box has 14 working inputs; the overheads hear the hi-hat.", ()),),
            ),
            NotSent("s-click", "Click", "ears-only", "", ()),
        ),
        ear_inputs=(
            *fed,
            EarInput(own + 1, "s-hat", "Hi-hat", "straight in", "band", None),
            EarInput(own + 2, "s-click", "Click", "straight in", "none", None),
        ),
        ears=(
            EarMix("Robin", "stereo", ("out-1", "out-2"), "cable", False),
            EarMix("Kim", "stereo", ("out-3", "out-4"), "radio", False),
            EarMix("Alex", "stereo", ("out-5", "out-6"), "radio", False),
            EarMix("Noor", "stereo", ("out-7",), "radio", True),
            EarMix("Sam", "stereo", ("out-9", "out-10"), "radio", False),
        ),
        returns=(
            Return(
                "Engineer's talkback",
                LoomWay("loom-0", "Loom 1", 16, "XLR male"),
                own + 3,
                2,
                "48 V off; muted and limited until checked",
            ),
        ),
        bring=(),
        leave=(),
        assumed=(
            Assumed("pa-width", "The PA is stereo.", "assumed"),
            Assumed("box-distance", "The stage box is 15 m from the rack.", "assumed"),
            Assumed("phantom-switching", "48 V is switched per channel on the house desk.", "assumed"),
        ),
        blocks=(),
        asks=(
            Statement(
                "one-phantom-feeder",
                "asks",
                "Our rack feeds 48 V on lines 1, 6, 7 and 8: leave it off there on the house desk.",
                (),
                (Remedy("house-feeds", "house", "The house feeds 48 V and the rack leaves it off."),),
            ),
        ),
        notes=(Statement("splitter-leg", "notes", "The house takes the isolated leg of every way.", ()),),
        cut_list=(
            Cut(12, "Kick Out and Floor Tom: in-ears only tonight. The other lines keep their numbers."),
            Cut(10, "Keys to mono as well: Noor plugs the mono jack; the in-ears turn mono too."),
            Cut(8, "One overhead, one tom: the right overhead is not plugged."),
        ),
        rack_dies=RackDies(
            (2, 3, 4, 5, 9, 10, 11, 12, 13, 14),
            (1, 6, 7, 8),
            (),
            "The passive split keeps every microphone alive at the house; lines fed with 48 V by the rack fall silent"
            " with a thump.",
        ),
        spare=tuple(Spare("loom-0", "Loom 1", way) for way in (15,)),
        proven=True,
        engine="1",
    )
    return replace(plan, **changes)


def plan_of(count: int, **changes: object) -> Plan:
    """A plan of so many lines."""
    return a_plan(tuple(a_line(number) for number in range(1, count + 1)), **changes)


def said(**words: Value) -> dict[str, Answer]:
    """Answers of the house by question, with underscores for hyphens."""
    return {key.replace("_", "-"): Answer("answered", value, "house", "2027-02-20") for key, value in words.items()}


ANSWERS = said(
    who_mixes="house-engineer",
    box_place="stage-left",
    rack_power="yes",
    contact_name="Jo Marsh",
    contact_phone="+00 000 555 0134",
    wedge_mixes=2,
    talkback="yes",
    who_plugs="together",
    sound_check="line-check",
    sound_limit="99 dB(A) over 30 minutes, measured at the desk",
    radio="Four handhelds\n518 to 542 MHz\nthe compère's on 863 MHz",
    house_sheet="Load-in by the yard, not by the front.\nThe lift holds 400 kg.",
)


def a_cover(**changes: object) -> Cover:
    """The cover of the invented gig."""
    cover = Cover(
        band="The Lantern Hours",
        gig="Harbour Night",
        date="Friday 12 March 2027",
        place="The Old Rope Hall, stage 1",
        revision=7,
        content_hash="3fa9c21d" * 8,
        short_hash="3fa9-c21d",
        answers=ANSWERS,
        link="https://portal.example/p/0123456789abcdef0123456789abcdef",
        times=("Load-in 16:00", "Sound check 17:30", "Doors 19:30", "Set 21:00", "Curfew 23:30"),
    )
    return replace(cover, **changes)


SIGNED = (
    Signature("band", "Sam Ellery", "band leader", "2 March 2027, 18:04 (UTC+01:00)"),
    Signature("house", "Jo Marsh", "house engineer", "3 March 2027, 10:31 (UTC+01:00)"),
)


MARKUP = (
    '<b>bold</b><img src="{address}"><link rel=stylesheet href="{address}"><link rel=attachment href="{address}">'
    "<style>@import url({address})</style>{{{{ 7*7 }}}}"
)
"""Markup that would fetch an address if a template let it through."""


def an_own_pa_plan() -> Plan:
    """The band mixes on its own PA: nothing goes to a house desk."""
    plan = plan_of(6)
    return replace(
        plan,
        route="own-pa",
        sentence="Own PA: the band mixes on its own mixer; nothing goes to a house desk.",
        lines=(),
        ear_inputs=tuple(replace(one, fed_by="straight in", line=None) for one in plan.ear_inputs),
        not_sent=(),
        returns=(),
        cut_list=(),
        asks=(),
        notes=(),
        rack_dies=RackDies((), (), (), "If the rack dies, everything falls silent."),
        spare=(),
    )


def a_left_right_plan() -> Plan:
    """The band's finished mix as one pair, with a kick beside it."""
    common = {
        "loom": LoomWay("loom-0", "Loom 1", 1, "XLR male"),
        "player": "",
        "stand": "",
        "phantom": "none",
        "pad_db": 20,
    }
    left = a_line(
        1,
        **common,
        label="Music Left",
        strip="MUSIC L",
        mic_or_di="",
        stereo_partner=2,
        level="line",
        gain_owner="band",
        sources=("s-1", "s-2", "s-3"),
        mixer_input=None,
        path=Path("left-right-mix", "mixer", "left/right mix", None, "out-15"),
        note=(
            "Isolating transformer in this line; who may turn it down: the house engineer, at the desk, after a word"
            " with us."
        ),
    )
    right = replace(left, line=2, label="Music Right", strip="MUSIC R", stereo_partner=1, box_socket=4, desk_channel=2,
                    loom=LoomWay("loom-0", "Loom 1", 2, "XLR male"), note="",
                    path=Path("left-right-mix", "mixer", "left/right mix", None, "out-16"))  # fmt: skip
    kick = a_line(
        3,
        label="Kick",
        strip="KICK",
        loom=None,
        path=Path("straight", "", "straight to the box", None, ""),
        owner="house",
        lift="lift only if it hums",
        phantom="unknown",
    )
    group = a_line(
        4,
        label="Backing vocals",
        strip="BV SUM",
        sources=("s-1", "s-2"),
        phantom="none",
        mic_or_di="",
        path=Path("group", "mixer", "group", None, "out-12"),
    )
    return replace(
        plan_of(3),
        lines=(left, right, kick, group),
        route="left-right-to-the-house-desk",
        blocks=(Statement("mix-not-proven", "blocks", "The band's mix was never proven over a PA.", ()),),
    )


def a_hostile_plan(text: str, count: int = 14) -> Plan:
    """The same text in every field that a person may have typed."""
    plan = plan_of(count)
    lines = tuple(
        replace(
            line,
            label=text,
            strip=text,
            player=text,
            mic_or_di=text,
            stand=text,
            note=text,
            lift=text,
            path=replace(line.path, unit_name=text, output=text),
            loom=LoomWay("loom", text, line.line, text),
        )
        for line in plan.lines
    )
    return replace(
        plan,
        sentence=text,
        lines=lines,
        not_sent=tuple(replace(one, label=text, because=(Reason("rule", text, ()),)) for one in plan.not_sent),
        ear_inputs=tuple(replace(one, label=text, fed_by=text) for one in plan.ear_inputs),
        ears=tuple(replace(one, player=text, outs=(text,)) for one in plan.ears),
        returns=tuple(replace(one, label=text, note=text) for one in plan.returns),
        assumed=(Assumed("question", text, "assumed"),),
        asks=(Statement("rule", "asks", text, (), (Remedy("remedy", "house", text),)),),
        notes=(Statement("rule", "notes", text, ()),),
        cut_list=(Cut(8, text),),
        rack_dies=RackDies((), (), (), text),
        spare=(Spare("loom", text, 1),),
    )


def a_hostile_cover(text: str) -> Cover:
    """The same text in every free field of the cover."""
    return a_cover(
        band=text,
        gig=text,
        date=text,
        place=text,
        answers={
            key: Answer("answered", 800 if isinstance(one.kind, Distance) else text, "house", "2027-02-20")
            for key, one in QUESTIONS.items()
        },
        times=(text, text),
        link=text,
        status="signed",
        signatures=(Signature("band", text, text, text),),
    )
