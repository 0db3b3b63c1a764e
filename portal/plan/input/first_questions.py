"""The questions of the first eight topics, for busy people."""

from __future__ import annotations

from portal.plan.input.answer_kinds import Choice, Count, Distance, Option, Sockets, Text
from portal.plan.input.answer_places import CALLED, HEADED, NIGHT, PLAN, TRIED, Seen
from portal.plan.input.asked_when import (
    has_house_microphones,
    house_has_a_box,
    somebody_else_mixes,
    wants_lines,
)
from portal.plan.input.question import YES_NO, Question

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

FIRST_QUESTIONS = (
    Question(
        "who-mixes",
        "mixing",
        "Who mixes for the audience?",
        "Who mixes for the audience?",
        Choice(
            (
                Option("house-engineer", "The house's engineer"),
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
            ("reconcile", "band-is-responsible", "engineer-without-a-pa", "no-separation"),
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
                Option("groups", "Every source, in groups where the inputs run short"),
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
            ("reconcile", "routing_policy", "capacities", "not-as-wished", "engineer-on-our-mixer", "inseparable-pair"),
        ),
        asked_when=somebody_else_mixes,
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
        asked_when=house_has_a_box,
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
        Seen("Numbers of these inputs", NIGHT + TRIED, ("boxes", "spare-line")),
        help="For example 1-8, 11, or leave it empty when they start at 1",
        asked_when=wants_lines,
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
        asked_when=house_has_a_box,
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
        help="Along the floor and up both ends",
        asked_when=house_has_a_box,
    ),
    Question(
        "rack-power",
        "box",
        "Is there space and a mains outlet for the band's rack on stage, powered through the changeover?",
        "Is there space and a mains outlet for the rack on stage?",
        YES_NO,
        "The rack feeds phantom and the in-ears: it has to stay on from line check to the last song.",
        "yes",
        "space and power for the rack on stage",
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
        asked_when=wants_lines,
    ),
    Question(
        "indoors",
        "room",
        "Is the stage indoors?",
        "Is the stage indoors?",
        YES_NO,
        "Outdoors nothing on stage carries by itself, so drums and amplifiers keep their lines longer.",
        "yes",
        "indoors",
        Seen("Indoors", PLAN + TRIED, ("routing_policy",)),
        asked_when=wants_lines,
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
            ("units", "house-microphones-outside"),
        ),
        asked_when=has_house_microphones,
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
)
