"""QUESTIONS: every question once, with its words for both sides, its answer type, why we ask, and what is assumed until
told.

Laws of change: a key is never re-used or given a new meaning; a retired question keeps its entry; new options go last.
Pages ask one *topic* at a time; the first eight topics are for busy people, the rest is "two more minutes".
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from portal.plan.input.answer_kinds import AnswerKind, Choice, Count, Distance, Option, Sockets, Text, Value
from portal.plan.input.answer_places import CALLED, HEADED, NIGHT, PLAN, TRIED, Seen
from portal.plan.input.rig import Rig

Lookup = Callable[[str], Value | None]
"""The value a question has for now: answered, else assumed; ``None`` where neither."""


@dataclass(frozen=True)
class Topic:
    """One page of questions. ``first`` marks the pages for busy people."""

    key: str
    title: str
    first: bool


def _always(_rig: Rig, _value: Lookup) -> bool:
    return True


@dataclass(frozen=True)
class Question:
    """One question. ``assumed`` is the value the plan takes until told; ``assumed_words`` says it, empty where nothing
    is assumed.

    ``not_here`` are the words for "does not apply", empty where that is no sensible answer.
    """

    key: str
    topic: str
    house: str
    band: str
    kind: AnswerKind
    why: str
    assumed: Value | None
    assumed_words: str
    seen: Seen
    help: str = ""
    asked_when: Callable[[Rig, Lookup], bool] = _always
    contact: bool = False
    retired: bool = False

    @property
    def stands_on_the_sheet(self) -> bool:
        """True where people read the answer itself, on the sheet or beside the plan, whatever it does to the
        routing.
        """
        return self.seen.needed

    @property
    def free_words(self) -> bool:
        """True where the answer is whatever somebody writes, which may name people: only people read it, no plan
        records it.
        """
        return isinstance(self.kind, Text)

    not_here: str = ""


TOPICS: tuple[Topic, ...] = (
    Topic("mixing", "Who mixes", first=True),
    Topic("wish", "What the house wants", first=True),
    Topic("inputs", "Inputs at the stage box", first=True),
    Topic("box", "Where the stage box is", first=True),
    Topic("room", "The room", first=True),
    Topic("house-microphones", "House microphones", first=True),
    Topic("wedges", "Wedge mixes", first=True),
    Topic("contact", "Who is there on the day", first=True),
    Topic("patching", "Patching", first=False),
    Topic("second-box", "A second stage box", first=False),
    Topic("isolation", "Hum and isolation", first=False),
    Topic("phantom", "Phantom power", first=False),
    Topic("line-level", "Line inputs", first=False),
    Topic("returns", "Lines back to the stage", first=False),
    Topic("sharing", "Other feeds from the box", first=False),
    Topic("power", "Stage power", first=False),
    Topic("plugging", "Plugging and checking", first=False),
    Topic("limits", "Limits and radio", first=False),
    Topic("house-sheet", "House sheet", first=False),
)


def _somebody_else_mixes(_rig: Rig, value: Lookup) -> bool:
    return value("who-mixes") != "band-from-stage" and value("pa") != "none"


def _house_has_a_pa(_rig: Rig, value: Lookup) -> bool:
    return value("pa") != "none"


def _wants_lines(rig: Rig, value: Lookup) -> bool:
    return _somebody_else_mixes(rig, value) and value("what-they-want") not in ("left-right-mix", "mix-on-your-mixer")


def _counts_inputs(rig: Rig, value: Lookup) -> bool:
    return _wants_lines(rig, value) and (
        isinstance(value("inputs-free"), int) or isinstance(value("sockets-free"), str)
    )


def _has_a_second_box(rig: Rig, value: Lookup) -> bool:
    return _counts_inputs(rig, value) and bool(value("second-box-inputs"))


def _mixer_outputs_may_go_out(rig: Rig, value: Lookup) -> bool:
    if not _house_has_a_pa(rig, value):
        return False
    pair = value("what-they-want") in ("left-right-mix", "mix-on-your-mixer") or not _somebody_else_mixes(rig, value)
    return (
        pair
        or any(out.use == "free" for out in rig.mixer.outs)
        or any(source.owner.mic == "house" for source in rig.source)
    )


def _has_house_microphones(rig: Rig, value: Lookup) -> bool:
    return _wants_lines(rig, value) and any(source.owner.mic == "house" for source in rig.source)


def _has_a_link(rig: Rig, value: Lookup) -> bool:
    return _wants_lines(rig, value) and any(link.channels for link in rig.mixer.links)


def _sends_line_level(rig: Rig, value: Lookup) -> bool:
    return _mixer_outputs_may_go_out(rig, value) or any(source.level == "line" for source in rig.source)


BOX_PLACES = Choice(
    (
        Option("stage-right", "Stage right (performer's view)"),
        Option("stage-left", "Stage left (performer's view)"),
        Option("upstage", "At the back of the stage"),
        Option("downstage", "At the front edge"),
        Option("off-stage", "Off the stage"),
        Option("no-box", "No box: the desk stands at the stage"),
    )
)

RACK_POWER = {
    "yes": "Mains socket by the rack, on through the changeover",
    "no": "No space or no mains socket there through the changeover",
}

YES_NO = Choice((Option("yes", "Yes"), Option("no", "No")))

_QUESTIONS = (
    Question(
        "who-mixes",
        "mixing",
        "Who mixes for the audience?",
        "Who mixes for the audience?",
        Choice(
            (
                Option("house-engineer", "The house's engineer, on the house desk"),
                Option("band-from-stage", "Nobody from the house: the band mixes from the stage"),
                Option("bands-engineer-your-desk", "The band's own engineer, on the house desk"),
                Option("bands-engineer-our-mixer", "The band's own engineer, on the band's mixer"),
                Option("nobody-known", "Somebody will, it is not decided who"),
            )
        ),
        "It decides whether every source has to reach a desk at all.",
        "house-engineer",
        "somebody other than the band mixes",
        Seen(
            "Who mixes",
            HEADED + TRIED,
            ("reconcile", "lines", "band-is-responsible", "engineer-without-a-pa", "no-separation"),
        ),
    ),
    Question(
        "pa",
        "room",
        "What PA is in the room?",
        "What PA is in the room?",
        Choice(
            (
                Option("stereo", "A PA in stereo"),
                Option("mono", "A PA in mono, or wide pairs are no use in this room"),
                Option("none", "No PA: the band brings its own"),
            )
        ),
        "In mono a stereo source needs one input, not two.",
        "stereo",
        "a stereo PA",
        Seen("PA", PLAN + TRIED, ("reconcile", "routing_options", "nobody-brings-a-pa", "engineer-without-a-pa")),
    ),
    Question(
        "what-they-want",
        "wish",
        "What do you want from the band?",
        "What does the engineer want?",
        Choice(
            (
                Option("as-much-split-as-fits", "As many split lines as fit; the band says what is left out"),
                Option("split-each-source", "A full split: every source dry, gain set at the house desk"),
                Option("left-right-mix", "A left/right mix from the band"),
                Option("mix-on-your-mixer", "The house engineer mixes on the band's mixer"),
                Option("dont-mind", "No preference"),
            )
        ),
        "Dry means: as it leaves the microphone, the DI or the player's own rig, with nothing of the band's mixer"
        " on it.",
        "as-much-split-as-fits",
        "as much split as fits",
        Seen(
            "What the house wants",
            PLAN + TRIED,
            ("reconcile", "routing_options", "lines", "not-as-wished", "engineer-on-our-mixer", "inseparable-pair"),
        ),
        asked_when=_somebody_else_mixes,
    ),
    Question(
        "inputs-free",
        "inputs",
        "How many working inputs at the stage box are free for this band?",
        "How many working inputs at the stage box are free for the band?",
        Count(0, 128, "working inputs"),
        "Not the desk's number: without sockets that are shared, faulty, or kept for DJ, compère or walk-in music.",
        None,
        "as many working inputs as the band has lines",
        Seen("Inputs for the band", PLAN + TRIED, ("boxes", "spare-line", "two-boxes")),
        help="Count only the working sockets kept free for the band",
        asked_when=_house_has_a_pa,
    ),
    Question(
        "sockets-free",
        "inputs",
        "Which sockets are they?",
        "Which sockets are they?",
        Sockets(128),
        "Then the sheet names the sockets as the house does.",
        None,
        "",
        Seen("Numbers of these inputs", PLAN + TRIED, ("boxes", "spare-line")),
        help="For example 1-8, 11, or leave it empty when they start at 1",
        asked_when=_wants_lines,
    ),
    Question(
        "box-place",
        "box",
        "Where is the stage box?",
        "Where is the stage box?",
        BOX_PLACES,
        "The rack stands near it.",
        None,
        "",
        Seen("Stage box", HEADED, ("two-boxes",), needed=True),
        asked_when=_house_has_a_pa,
    ),
    Question(
        "box-distance",
        "box",
        "How long a cable does it take from the band's rack to the box, along the floor?",
        "How long a cable does it take from the rack to the box?",
        Distance(10_000),
        "The band's looms have fixed lengths.",
        None,
        "the band's longest loom reaches",
        Seen("Cable from the rack to the stage box", PLAN + TRIED, ("boxes", "loom-too-short")),
        help="In metres, along the floor and up both ends",
        asked_when=_house_has_a_pa,
    ),
    Question(
        "rack-power",
        "box",
        "Is there space and a mains outlet for the band's rack near it, powered through the changeover?",
        "Is there space and a mains outlet for the rack near the box?",
        YES_NO,
        "The rack feeds phantom and the ears: it has to stay on from line check to the last song.",
        "yes",
        "space and power for the rack near the box",
        Seen("Rack power", HEADED + TRIED, ("rack-power",), words=RACK_POWER),
    ),
    Question(
        "room-capacity",
        "room",
        "How many people does the room hold?",
        "How many people does the room hold?",
        Count(1, 100_000, "people"),
        "In a small room the drums and amplifiers are heard without the PA, so they are what stays out first.",
        300,
        "a room for about 300 people",
        Seen("Size of the room", PLAN + TRIED, ("routing_policy",)),
        asked_when=_wants_lines,
    ),
    Question(
        "house-microphones-through-our-splitter",
        "house-microphones",
        "May house microphones run through the band's splitter on their way to the stage box?",
        "May the house's microphones run through the band's splitter?",
        YES_NO,
        "If not, the players in question do not hear them in their ears.",
        "yes",
        "house microphones run through the band's splitter",
        Seen(
            "House microphones through the band's splitter",
            PLAN + TRIED,
            ("units", "lines", "house-microphones-outside"),
        ),
        asked_when=_has_house_microphones,
    ),
    Question(
        "wedge-mixes",
        "wedges",
        "How many wedge mixes can the house run?",
        "How many wedge mixes can the house run?",
        Count(0, 32, "wedge mixes"),
        "The band hears itself on its own in-ears; wedges are for guests and for the day an in-ear fails.",
        None,
        "",
        Seen("Wedges", NIGHT, ("wedges-wanted",), needed=True),
        help="0 when there are none",
    ),
    Question(
        "contact-name",
        "contact",
        "Who is there on the day?",
        "Who is there on the day?",
        Text(80),
        "The band asks for this person at load-in.",
        None,
        "",
        Seen("House contact", CALLED, needed=True),
        help="A first name and what they do is enough",
        contact=True,
    ),
    Question(
        "contact-phone",
        "contact",
        "How does the band reach them on the day?",
        "How does the band reach them on the day?",
        Text(80),
        "The band calls this number on the day.",
        None,
        "",
        Seen("House contact's phone", CALLED, needed=True),
        help="A phone number",
        contact=True,
    ),
    Question(
        "patching",
        "patching",
        "How do box sockets become desk channels?",
        "How do box sockets become desk channels?",
        Choice(
            (
                Option("one-to-one", "Socket 1 is channel 1, and so on"),
                Option("soft", "Soft patch: channels are assigned at the desk"),
                Option("standing", "A standing patch: channels keep their places, gaps stay"),
            )
        ),
        "With a soft patch the loom is plugged straight through and channels are assigned at the desk.",
        "one-to-one",
        "socket 1 is desk channel 1",
        Seen("Patching at the desk", NIGHT + TRIED, ("numbering",)),
        asked_when=_wants_lines,
    ),
    Question(
        "digital-link",
        "patching",
        "Does your desk take the inputs of the band's mixer over a digital link of the same open standard?",
        "Does the house desk take the band's inputs over a digital link of the same open standard?",
        YES_NO,
        "Sources without a working input can then still reach the desk dry, at the band's preamp gain.",
        "no",
        "no digital link to the house desk",
        Seen("Digital link to the house desk", NIGHT + TRIED, ("routing_options", "lines")),
        help="The band's mixer names its standard; the plan says which",
        asked_when=_has_a_link,
    ),
    Question(
        "second-box-inputs",
        "second-box",
        "How many working inputs are free for this band at a second stage box?",
        "How many working inputs are free for the band at a second stage box?",
        Count(0, 128, "working inputs at a second box"),
        "A loom runs to one box. With two boxes the plan says which loom goes where.",
        None,
        "",
        Seen("Inputs for the band at the second stage box", PLAN + TRIED, ("boxes", "two-boxes")),
        help="0 when there is one box; its sockets count from 1 as well",
        asked_when=_counts_inputs,
    ),
    Question(
        "second-box-place",
        "second-box",
        "Where is the second box?",
        "Where is the second box?",
        BOX_PLACES,
        "The sheet says which box is which.",
        None,
        "",
        Seen("Second stage box", NIGHT, ("two-boxes",), needed=True),
        asked_when=_has_a_second_box,
    ),
    Question(
        "second-box-distance",
        "second-box",
        "How long a cable does it take from the band's rack to the second box, along the floor?",
        "How long a cable does it take from the rack to the second box?",
        Distance(10_000),
        "The band's looms have fixed lengths.",
        None,
        "the band's looms reach the second box",
        Seen("Cable from the rack to the second stage box", PLAN + TRIED, ("boxes",)),
        help="In metres, along the floor and up both ends",
        asked_when=_has_a_second_box,
    ),
    Question(
        "isolation",
        "isolation",
        "Do you want transformer-isolated lines from the band?",
        "Does the house want transformer-isolated lines?",
        Choice(
            (
                Option("dont-mind", "No need"),
                Option("wanted", "Preferred: there has been buzz on this stage"),
                Option("required", "They are required here"),
            )
        ),
        "Hum is likely where the band's rack and the house desk are on different supplies.",
        "dont-mind",
        "isolated lines where the band owns them",
        Seen(
            "Transformer-isolated lines",
            PLAN + TRIED,
            ("routing_options", "packing", "isolation-not-met", "phantom-stopped-by-a-transformer"),
        ),
        asked_when=_house_has_a_pa,
    ),
    Question(
        "phantom-switching",
        "phantom",
        "How is 48 V switched on your stage box inputs?",
        "How does the house switch 48 V?",
        Choice(
            (
                Option("per-channel", "Per channel"),
                Option("banks-of-4", "In banks of 4"),
                Option("banks-of-8", "In banks of 8"),
                Option("all", "One switch for all"),
            )
        ),
        "48 V must never reach the outputs of the band's mixer.",
        "per-channel",
        "48 V per channel at the house",
        Seen("48 V at the house", NIGHT + TRIED, ("phantom-bank-clash", "phantom-bank-under-our-outputs")),
        asked_when=_mixer_outputs_may_go_out,
    ),
    Question(
        "line-inputs",
        "line-level",
        "Do the stage box inputs take line level?",
        "Do the stage box inputs take line level?",
        YES_NO,
        "If not, the band brings pads for the lines that come from its mixer.",
        "no",
        "microphone inputs only",
        Seen("Line level at the stage box", NIGHT + TRIED, ("lines", "pads-short")),
        asked_when=_sends_line_level,
    ),
    Question(
        "talkback",
        "returns",
        "Will you send your talkback to the band?",
        "Will the engineer send talkback to the band's ears?",
        YES_NO,
        "With in-ears the band does not hear the engineer across the room.",
        None,
        "",
        Seen("Talkback to the in-ears", NIGHT + TRIED, ("packing", "no-talkback")),
        asked_when=_somebody_else_mixes,
    ),
    Question(
        "other-feeds",
        "sharing",
        "What else is fed from the same stage box?",
        "What else is fed from the same stage box?",
        Choice(
            (
                Option("nothing", "Nothing"),
                Option("monitor-desk", "A monitor desk"),
                Option("recording-or-stream", "A recording or a stream"),
                Option("both", "Both"),
            )
        ),
        "A further split is a third load on every microphone.",
        "nothing",
        "nothing else hangs on the box",
        Seen("Also fed from the stage box", NIGHT + TRIED, ("further-split",)),
        asked_when=_wants_lines,
    ),
    Question(
        "house-split",
        "sharing",
        "Do you have a splitter of your own on the stage that takes the band's microphones?",
        "Does the house have a splitter of its own on the stage that takes the band's microphones?",
        YES_NO,
        "If so, the band's microphones go into the house splitter and its tails feed the band's rack. The band's own"
        " splitter is not used.",
        "no",
        "the band's own splitter is used",
        Seen(
            "House splitter for the band's microphones",
            NIGHT + TRIED,
            ("routing_options", "lines", "house-split-tails"),
        ),
        asked_when=_wants_lines,
    ),
    Question(
        "one-distribution",
        "power",
        "Do stage power and the desk come from one distribution?",
        "Do stage power and the desk come from one distribution?",
        YES_NO,
        "Different supplies are the usual cause of hum.",
        None,
        "",
        Seen("Stage power and desk on one distribution", NIGHT + TRIED, ("different-supplies",)),
    ),
    Question(
        "power-limiter",
        "power",
        "Is there a sound limiter that cuts the stage power?",
        "Is there a sound limiter that cuts the stage power?",
        Choice(
            (
                Option("no", "No"),
                Option("yes", "Yes, all stage outlets"),
                Option("some", "Yes, but some outlets escape it"),
            )
        ),
        "When it trips, the ears and every 48 V that the band's rack feeds go with it.",
        None,
        "",
        Seen("Sound limiter that cuts stage power", NIGHT + TRIED, ("power-limiter",)),
    ),
    Question(
        "who-plugs",
        "plugging",
        "Who plugs the lines at the box?",
        "Who plugs the lines at the box?",
        Choice(
            (
                Option("house", "The house crew"),
                Option("band", "The band"),
                Option("together", "Together"),
            )
        ),
        "Whoever plugs gets the sheet.",
        None,
        "",
        Seen("Who patches at the stage box", NIGHT, needed=True),
        asked_when=_house_has_a_pa,
    ),
    Question(
        "sound-check",
        "plugging",
        "Is there a sound check?",
        "Is there a sound check?",
        Choice(
            (
                Option("sound-check", "A sound check"),
                Option("line-check", "A line check only"),
                Option("none", "Neither: straight on"),
            )
        ),
        "With a line check only, the band pre-sets its rack off the stage.",
        None,
        "",
        Seen("Sound check", NIGHT, ("line-check-only",), needed=True),
    ),
    Question(
        "sound-limit",
        "limits",
        "Is there a sound limit?",
        "Is there a sound limit?",
        Text(120),
        "The drummer should know before packing.",
        None,
        "",
        Seen("Sound limit", NIGHT, needed=True),
        help="For example: 99 dB(A) over 30 minutes",
        not_here="There is none",
    ),
    Question(
        "radio",
        "limits",
        "What radio equipment is in use in the room?",
        "What radio equipment is in use in the room?",
        Text(240, lines=3),
        "The band's in-ears use radio too. Licences and local rules must be checked with the national regulator.",
        None,
        "",
        Seen("Radio in use in the room", NIGHT, needed=True),
        help="Frequencies or channels, as far as they are known",
        not_here="There is none",
    ),
    Question(
        "house-sheet",
        "house-sheet",
        "Paste your house sheet, or write anything else the band should know",
        "Anything else the house should know or has said",
        Text(4000, lines=8),
        "Both sides read it as it stands; the plan does not interpret it.",
        None,
        "",
        Seen("House sheet", NIGHT, needed=True),
    ),
)


def _keyed(questions: tuple[Question, ...]) -> dict[str, Question]:
    topics = {topic.key for topic in TOPICS}
    keyed: dict[str, Question] = {}
    for question in questions:
        if question.key in keyed or question.topic not in topics:
            raise ValueError(f"question {question.key!r} is entered twice or belongs to no topic")
        keyed[question.key] = question
    return keyed


QUESTIONS: dict[str, Question] = _keyed(_QUESTIONS)
"""Every question by its key."""


def questions_of(topic: str) -> tuple[Question, ...]:
    """The questions of one page, retired ones left out."""
    return tuple(question for question in QUESTIONS.values() if question.topic == topic and not question.retired)
