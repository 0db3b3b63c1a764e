"""The trade's nouns for what the engine gives back: facts, reasons, lines, plans.

Nothing here has behaviour beyond reading itself; the glossary in README.md beside it uses the same words.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from portal.plan.phrase import Phrase, Said

ENGINE = "10"
"""Version of the rules. A stored plan names it; a newer engine never changes a stored plan."""


class Level(StrEnum):
    """How much a statement of the plan asks of people."""

    BLOCKS = "blocks"
    ASKS = "asks"
    NOTES = "notes"


class Route(StrEnum):
    """The route as a whole; a mixture is named after what most lines do."""

    OWN_PA = "own-pa"
    BAND_MIXES = "house-pa-band-mixes"
    LEFT_RIGHT = "left-right-to-the-house-desk"
    ON_OUR_MIXER = "engineer-on-the-bands-mixer"
    DRY_SPLIT = "dry-split"
    HOUSE_SPLIT = "house-split"
    DIRECT_OUTS = "direct-outs"
    GROUPS = "groups"
    MIXTURE = "mixture"


@dataclass(frozen=True)
class Fact:
    """One thing that somebody stated or that was assumed. ``origin`` is band, house, both, rig or assumed; ``on`` an
    ISO date or empty.
    """

    key: str
    value: Said
    origin: str
    on: str = ""


@dataclass(frozen=True)
class Reason:
    """Why something is so: the rule's key, what it says and the facts it rests on."""

    key: str
    said: Said
    facts: tuple[Fact, ...]


BESIDE_THE_LOOM = frozenset({"straight", "house-split", "digital-link"})
"""Kinds of path that never run through the band's loom."""


MIXER_OUTPUTS = frozenset({"direct-out", "processed-direct-out", "group", "left-right-mix"})
"""Kinds of path that end in an output of the band's mixer: 48 V never goes into one."""

NEVER = "OFF, never"
AT_THE_DESK = {
    "band": "house OFF, band ON",
    "splitter": "house OFF, splitter ON",
    "house": "ON",
    "unknown": "not known",
}
"""Who feeds 48 V -> what is done about it: both sides read the cell, so each is named where one switch is off and
another on; "–" where nobody feeds it.
"""

DESK_SWITCH = {**AT_THE_DESK, "never": NEVER, "none": "–", "bank": "ON with the bank"}
"""What the house does with the 48 V switch of a line -> how it is said; ``bank``: its bank is on for another row."""


PA = "PA"
"""What stands for a stage box where the band's mixer feeds a PA of the house."""


@dataclass(frozen=True)
class Path:
    """How a line travels.

    ``kind``: split, house-split, digital-link, direct-out, processed-direct-out, group, left-right-mix, straight
    (outside the split).
    """

    kind: str
    unit: str
    unit_name: Said
    way: int | None
    output: str


@dataclass(frozen=True)
class LoomWay:
    """One way of a loom, with the connector at the stage box end."""

    key: str
    name: str
    way: int
    house_end: str


@dataclass(frozen=True)
class Line:
    """One signal that goes to the house. Numbers start at 1; ``stereo_partner`` is the other line's number.

    ``box_socket`` is ``None`` for a line that comes over a digital link; ``box`` is empty where there is only one stage
    box. ``run``: the cables of a line of the band's own mix, joined where one is too short.
    """

    line: int
    direction: str
    sources: tuple[str, ...]
    label: str
    strip: str
    player: Said
    mic_or_di: Said
    owner: str
    stand: str
    stereo_partner: int | None
    path: Path
    mixer_input: int | None
    loom: LoomWay | None
    box_socket: int | None
    desk_channel: int
    level: str
    gain_owner: str
    phantom: str
    pad_db: int
    lift: Said
    polarity: str
    dry: bool
    note: Said
    because: tuple[Reason, ...]
    box: str = ""
    run: Said = ""
    desk_phantom: str = ""
    """A key of ``DESK_SWITCH``; its words in a plan of engine 8 or older, empty in those from before it came."""
    transformer: bool = False
    """A loose isolating transformer lies in it, at the house's end."""

    @property
    def guest(self) -> str:
        """Key of who sings at the microphone of the first source, the own one not plugged; empty for nobody."""
        return self.sources[1] if any(one.key == "two-at-one-microphone" for one in self.because) else ""

    @property
    def beside_the_loom(self) -> bool:
        """Whether it runs outside the band's loom whatever is carried: a source's own cable, the house's splitter, a
        link.
        """
        return self.path.kind in BESIDE_THE_LOOM and self.loom is None

    @property
    def at_the_desk(self) -> str:
        """What the house does with its 48 V switch, in the words of ``DESK_SWITCH``."""
        if self.desk_phantom:
            return DESK_SWITCH.get(self.desk_phantom, self.desk_phantom)
        unfed = NEVER if self.path.kind in MIXER_OUTPUTS else "–"
        return unfed if self.phantom in ("none", "") else AT_THE_DESK.get(self.phantom, self.phantom)

    @property
    def socket(self) -> str:
        """The box socket as written: "3", "B 3" where there are two boxes, "link" for what comes over a digital
        link; "left", "right" or "mono" at the inputs of a PA.
        """
        if self.box == PA:
            return {"L": "left", "R": "right"}.get(self.label[-1:], "mono")
        return "link" if self.box_socket is None else f"{self.box} {self.box_socket}".strip()

    @property
    def cable(self) -> Said:
        """What carries the line to the box: the loom's name, its own cable, or nothing over a digital link."""
        return self.loom.name if self.loom else "" if self.path.kind == "digital-link" else Phrase("own-cable")


@dataclass(frozen=True)
class NotSent:
    """A source that does not go to the house. ``where``: ears-only, ears-only-tonight, not-plugged,
    in-the-ears-from-the-house.
    """

    source: str
    label: str
    where: str
    step: str
    because: tuple[Reason, ...]


@dataclass(frozen=True)
class EarInput:
    """An input of the band's mixer and what feeds it.

    ``phantom``: band (the mixer feeds it), splitter, none, unknown, or never (48 V can harm it). ``cable`` is how the
    source gets to the rack, ``heard`` who hears it, ``channel`` the one an engineer on this mixer has it on; ``way`` is
    the splitter's that feeds it.
    """

    mixer_input: int | None
    source: str
    label: str
    fed_by: Said
    phantom: str
    line: int | None
    player: str = ""
    mic_or_di: Said = ""
    owner: str = ""
    stand: str = ""
    cable: Said = ""
    pad_db: int = 0
    heard: Said = ""
    channel: int | None = None
    note: str = ""
    way: int | None = None


@dataclass(frozen=True)
class Output:
    """An output of the band's mixer, what it feeds tonight, and by which cable."""

    out: str
    feeds: Said
    cable: Said


@dataclass(frozen=True)
class EarMix:
    """One in-ear mix and the outputs that carry it tonight. ``to_mono``: this gig takes one of its outputs away."""

    player: str
    width: str
    outs: tuple[str, ...]
    carried_by: str
    to_mono: bool
    cable: Said = ""


@dataclass(frozen=True)
class Return:
    """One line from the house to the band. ``box_output``: of the stage box; ``None`` where the house has not said."""

    label: Said
    loom: LoomWay | None
    mixer_input: int | None
    turn_rounds: int
    note: Said
    box_output: int | None = None


@dataclass(frozen=True)
class Item:
    """Something to bring or to leave at home."""

    what: Said
    count: int
    why: Said


@dataclass(frozen=True)
class Assumed:
    """A question that nobody has answered, and what the plan takes for granted meanwhile."""

    question: str
    said: Said
    origin: str


@dataclass(frozen=True)
class Remedy:
    """A change that was solved again and does help. ``actor`` is band, house or both."""

    key: str
    actor: str
    said: Said


@dataclass(frozen=True)
class Statement:
    """Something the plan says about itself, at one of the three levels."""

    key: str
    level: str
    said: Said
    facts: tuple[Fact, ...]
    remedies: tuple[Remedy, ...] = ()


@dataclass(frozen=True)
class Cut:
    """What changes when only so many working inputs are found."""

    inputs: int
    said: Said


@dataclass(frozen=True)
class RackDies:
    """Line numbers that stay alive, lose 48 V, or go silent when the band's rack loses power; ``said`` says it
    of desk channels.
    """

    alive: tuple[int, ...]
    lose_phantom: tuple[int, ...]
    silent: tuple[int, ...]
    said: Said


@dataclass(frozen=True)
class Spare:
    """A way of a loom that carries nothing tonight."""

    loom: str
    name: str
    way: int


@dataclass(frozen=True)
class Move:
    """One source that is plugged elsewhere than the rig says: the inputs of the band's mixer at which it arrives.
    ``note`` says where its plug goes.
    """

    source: str
    label: str
    rig_input: int
    tonight: int
    note: Said

    @property
    def told(self) -> Phrase:
        """What the note of its line says of it."""
        return Phrase("plugged-for-tonight", {"tonight": self.tonight, "rig": self.rig_input})


@dataclass(frozen=True)
class Plan:
    """The best routing that both sides' constraints allow, with its reasons. ``proven`` is false when the effort limit
    stopped the proof. ``outputs`` is filled where the audience hears a mix of the band's mixer.
    """

    schema: int
    status: str
    route: str
    sentence: Said
    lines: tuple[Line, ...]
    not_sent: tuple[NotSent, ...]
    ear_inputs: tuple[EarInput, ...]
    ears: tuple[EarMix, ...]
    returns: tuple[Return, ...]
    bring: tuple[Item, ...]
    leave: tuple[Item, ...]
    assumed: tuple[Assumed, ...]
    blocks: tuple[Statement, ...]
    asks: tuple[Statement, ...]
    notes: tuple[Statement, ...]
    cut_list: tuple[Cut, ...]
    rack_dies: RackDies
    spare: tuple[Spare, ...]
    proven: bool
    engine: str
    outputs: tuple[Output, ...] = ()
    moves: tuple[Move, ...] = ()
    would_help: tuple[Remedy, ...] = ()


@dataclass(frozen=True)
class Conflict:
    """A smallest set of facts that cannot all hold. Taking any one of them away makes a plan possible."""

    key: str
    said: Said
    facts: tuple[Fact, ...]


@dataclass(frozen=True)
class NoPlan:
    """No routing sends every source that must be sent. ``limit_reached`` is true where the effort ran out before that
    was proven.
    """

    schema: int
    status: str
    sentence: Said
    conflicts: tuple[Conflict, ...]
    remedies: tuple[Remedy, ...]
    assumed: tuple[Assumed, ...]
    limit_reached: bool
    engine: str
