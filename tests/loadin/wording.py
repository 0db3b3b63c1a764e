"""The one place that knows how the papers word things: heads of columns, headings, and fixed words. When a sheet
changes, this file changes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from tests.loadin.paper import squashed

NOTHING = frozenset({"", "–", "-", "none"})

# --- heads of columns, squashed -> field. A head that stands twice in one table is told apart by the field on its left
# (``BEHIND``).

LINES = {
    "line": "number", "source": "source", "pairwith": "pair", "player": "player", "micordi": "pickup",
    "mic/di": "pickup", "whose": "whose",
    "stand": "stand", "path": "path", "way": "way", "loom": "loom", "tail": "tail", "boxsocket": "socket",
    "boxinput": "socket",
    "houseinput": "socket", "level": "level", "48v": "phantom", "pad": "pad", "pol.": "polarity",
    "gain": "gain", "note": "note",
    "deskchannel": "channel", "strip": "strip", "shortname": "strip", "byhand": "by_hand", "tick": "by_hand",
    "mixerinput": "mixer_input", "carriedby": "loom",
    "intheline": "transformer", "cable": "cable", "lengthm": "length", "splitway": "split_way", "loomway": "loom_way",
    "paddb": "pad", "polarity": "polarity",
}  # fmt: skip
BEHIND = {("path", "way"): "split_way", ("loom", "way"): "loom_way", ("tail", "way"): "loom_way"}

EARS = {
    "mixerinput": "mixer_input", "source": "source", "fedby": "fed_by", "heardby": "heard", "48v": "phantom",
    "housechannel": "line",
    "micordi": "pickup",
    "mic/di": "pickup", "stand": "stand", "cable": "cable", "pad": "pad", "paddb": "pad", "player": "player",
    "note": "note",
}  # fmt: skip
MIXES = {"whohearsit": "player", "mix": "width", "mixerouts": "outs", "carriedby": "carried_by", "cable": "cable"}
OUTPUTS = {"mixeroutput": "out", "output": "out", "out": "out", "feeds": "feeds", "cable": "cable", "note": "note"}
LINE_OUTPUTS = {
    "output": "out", "carries": "label", "mixerinput": "mixer_inputs", "loomway": "loom_way", "boxinput": "socket",
    "paddb": "pad",
}  # fmt: skip
RETURNS = {
    "return": "label", "mixerinput": "mixer_input", "loom": "loom", "loomway": "way", "tail": "tail",
    "xlrturnarounds": "turn_rounds",
    "boxoutput": "socket", "note": "note",
}  # fmt: skip
CUTS = {"inputsfound": "inputs", "whatchanges,ontopofthecutsabove": "text"}
REMARKS = {"level": "level", "what": "text", "whatwouldhelp": "helps"}
STAYS = {"source": "source", "where": "where", "why": "why"}
NOTES = {"forchannel": "channel", "note": "text"}
DEATHS_OF_INPUTS = {"deadinputs": "inputs", "whatchanges,ontopofthecutsabove": "text"}
MOVES = {"source": "source", "mixerinputintherig": "from", "mixerinputtonight": "to", "note": "note"}

SUB_LOOMS = {"sub-loom": "loom", "source": "source", "tailinto": "into"}

CHANGED = "done"
CHANGED_HOUSE = "Short name"
CHANGED_MIX = "In-ear mix of {}"
NOW = "Now"
"""The pages of what changed since a sheet that was signed before: what heads them, and which of two rows is of now."""


def is_changed(heads: tuple[str, ...]) -> bool:
    """Whether a table with these heads lists what changed."""
    return CHANGED in map(squashed, heads)


TABLES: tuple[tuple[str, frozenset[str], Mapping[str, str]], ...] = (
    # kind of table, heads of which one must be there, its columns; the first that fits
    ("cuts", frozenset({"inputsfound"}), CUTS),
    ("dead", frozenset({"deadinputs"}), DEATHS_OF_INPUTS),
    ("mixes", frozenset({"whohearsit"}), MIXES),
    ("returns", frozenset({"return"}), RETURNS),
    ("remarks", frozenset({"what"}), REMARKS),
    ("stays", frozenset({"where"}), STAYS),
    ("line_outputs", frozenset({"carries"}), LINE_OUTPUTS),
    ("lines", frozenset({"boxsocket", "boxinput", "deskchannel", "houseinput"}), LINES),
    ("outputs", frozenset({"feeds"}), OUTPUTS),
    ("moves", frozenset({"mixerinputintherig"}), MOVES),
    ("sub_looms", frozenset({"tailinto"}), SUB_LOOMS),
    ("ears", frozenset({"mixerinput"}), EARS),
    ("notes", frozenset({"note"}), NOTES),
)

RACK_DIES = "If the rack dies"
SAID_ONCE = re.compile(r"On every row(?: of (?P<loom>[^.:]+))?: (?P<says>[^.]*)\.")
"""Columns in which every row says the same, or every row of one loom, as one sentence above the table: ``On every row:
Carried by 24-way loom; Stand none.``
"""
SAID_OF_INPUTS = re.compile(r"On every input: ([^.]*)\.")
"""The same of the band's mixer: what every row of its inputs says."""
SAID_OF_MOST = re.compile(r"Unless its note says otherwise: ([^.]*)\.")
"""What every row says whose note does not say otherwise."""
LIKE_THE_INPUT = "= box input"
"""A number that on each row is the box input's own."""

IN_NOTES = {
    "level": re.compile(r"(\S+) level"),
    "whose": re.compile(r"(\S+) brings it"),
    "gain": re.compile(r"gain by (?:the )?(\S+)"),
    "polarity": re.compile(r"polarity (\S+)"),
    "pair": re.compile(r"stereo with channel (\d+)"),
    "transformer": re.compile(r"((?:no )?isolating transformer.*)"),
}
"""Parts of a row's note that are a column's cell; a part that is none of them, and no word of its own, is the path."""
UNDER_ROWS = {"path": re.compile(r"Path (.+)")}
"""The same where a note hangs under its row: there a path has its head."""

PLAYERS = re.compile(r"Players, by desk channel:")
PLAYER = re.compile(r"\s*(?P<name>.+?) (?P<channels>\d+(?:–\d+)?(?:, \d+(?:–\d+)?)*)(?P<end>;|\.)", re.DOTALL)
"""Who plays what, by desk channel: ``Robin 1–7, 9; Kim 8.``"""

FED_ALIKE = re.compile(r"(?P<unit>\S[^.]*?) ways? (?P<ways>[\d–, ]+) feeds? mixer inputs? (?P<inputs>[\d–, ]+)\.")
FED_WITH_48V = "On these inputs 48 V is “ON, band” where the line's row says “house OFF, band ON”, else OFF."
"""Inputs of the band's mixer that the lines' own ways feed, and where 48 V is on there."""
EARS_SIDE = "The in-ears' side: inputs of the band's mixer"

SHORTENED = "…"
SPARE_ROW = "spare"
LINK = "link"
OWN_CABLE = "own cable"
BELOW = "see notes"
BLOCKS = "blocker"

CARRIES = re.compile(r"Carries (.*?)\.(?: · |$)")
PAIR_SIDE = re.compile(r"[\s/_-]*\(?\b(L|R|Left|Right)\)?$", re.IGNORECASE)
MONO = re.compile(r"\(mono\)|\bmono\b", re.IGNORECASE)

HOW_MONO = {
    "jack": re.compile(
        r"left/ ?mono (?:jack|output)|only the left(?:/ ?mono)? (?:jack|output)|own mono (?:jack|output)", re.IGNORECASE
    ),
    "switch": re.compile(r"(?:sets?|switch\w*)\b[^.;]*\bto mono|mono in the machine|in the machine", re.IGNORECASE),
    "bus": re.compile(r"\bto mono\b.*\bout\b|\bbus\b|\bgroup\b", re.IGNORECASE),
    "microphone": re.compile(r"one microphone", re.IGNORECASE),
}
"""Ways to make one of two legs, as an instruction on paper."""

SWITCHED = re.compile(r"A/B switch|one (?:common )?DI\b|re-?plug", re.IGNORECASE)
"""How sources that are never played together share one way."""

SUBMIXER = re.compile(r"\bsubmix", re.IGNORECASE)
FED_IN_THE_SUBMIXER = re.compile(r"submixer, which feeds its 48 V")

TRANSFORMER = re.compile(r"(?<!no )isolating transformer", re.IGNORECASE)
TAIL = re.compile(r"(?:a tail|tail (.+)) of the house's splitter")
"""Which tail of the house's splitter feeds an input: it bears the number of the box input beside it."""
TO_MONO_TONIGHT = "to mono tonight"
NOT_IN_THE_EARS = re.compile(
    r"not in the in-ears|in the in-ears from the house|without (?:them|it) in the in-ears", re.IGNORECASE
)
EMPTY_JACK = re.compile(r"(?:jack|input) (?:stays )?(?:empty|free)|not plugged", re.IGNORECASE)
ITS_JACK = re.compile(r"its jack stays empty")
SHARES_PLUG = re.compile(r"it shares the plug of (.+?), by ")
"""The source whose plug another takes its turn on."""
SINGS_AT = re.compile(r"\bsings at the microphone of (.+?)(?:;|$)")
"""At whose microphone another sings, on the line's row and on that of the input that stays free for it."""
STAYS_IN_THE_EARS = re.compile(r"stays in the in-ears", re.IGNORECASE)
CARRIED = re.compile(r"in the rack|transmitter|\d m\b", re.IGNORECASE)
CARRIER = re.compile(r"\bear\b.*(?:transmitter|pack)|pack cable", re.IGNORECASE)
"""What carries an in-ear mix to its player: in its own row, or as a thing on the pack list."""

HEARD_BY_ALL = re.compile(r"\baudience\b")
HEARD_IN_THE_EARS = re.compile(r"(?<!muted in the )\bin-ears\b")
"""Who hears an input of the band's mixer: the audience, the in-ears, or both."""
CONTROLS = re.compile(r"router|tablet|surface|network cable", re.IGNORECASE)
TABLET_ITSELF = re.compile(r"tablet|surface for the engineer", re.IGNORECASE)
WHO_BRINGS = re.compile(r"who brings a tablet", re.IGNORECASE)
NETWORK = re.compile(r"network cable|link cable|digital link", re.IGNORECASE)
CHANNELS = re.compile(r"(?<!desk )\bchannels? \d", re.IGNORECASE)
MAY_COME_BACK = re.compile(r"Desk channels? ([^.]*?) may come back", re.IGNORECASE)
UNPLUG_FIRST = re.compile(r"unplug stage box inputs? ([^.]*?) and leave (?:it|them) out", re.IGNORECASE)

NOT_THERE = {
    "own PA": re.compile(
        r"stage box|box socket|house desk|house stage box|house line|For the house|near the box|desk channel"
        r"|nothing goes to",
        re.IGNORECASE,
    ),
    "house PA": re.compile(r"desk channel|house desk|stage box|house engineer|looms are full", re.IGNORECASE),
    "tablet": re.compile(r"desk channel|house desk", re.IGNORECASE),
}
"""What no paper speaks of, by who mixes on what: there is none."""

# --- other files that are downloaded

INPUT_LIST = {
    "Desk channel": "channel", "Strip": "strip", "Source": "source", "Player": "player", "Mic or DI": "pickup",
    "Mic or DI from": "whose",
    "Stand": "stand",
    "48 V at the desk": "phantom", "Pad dB": "pad", "Gain by": "gain", "Level": "level", "Line": "number",
    "Path": "path",
    "Splitter way": "split_way", "Loom": "loom", "Loom way": "loom_way", "Tail": "tail",
}  # fmt: skip
"""Heads of the downloaded input list -> field of the sheet."""

MIXER_LIST = {
    "Source": "source", "Player": "player", "Stand": "stand", "48 V at the mixer": "phantom", "Pad dB": "pad",
    "Path": "fed_by", "Heard by": "heard", "Note": "note",
}  # fmt: skip
"""Heads of the same for a channel of an engineer on the band's mixer -> field of the sheet's mixer input."""

PLAN_LINE = {
    "line": "number", "label": "source", "strip": "strip", "player": "player", "mic_or_di": "pickup", "owner": "whose",
    "stand": "stand",
    "desk_channel": "channel", "level": "level", "gain_owner": "gain", "desk_phantom": "phantom", "pad_db": "pad",
}  # fmt: skip
"""Keys of a line in the plan as data -> field of the sheet."""

# --- things on the pack list: its words -> the kind of thing

SOURCE_CABLE, BOX_CABLE, ANY_CABLE = "cable to the rack", "cable to the box", "XLR cable"

THINGS: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), kind)
    for pattern, kind in (
        ("microphone.*", "mic"), ("wireless microphone.*", "wireless"), ("DI", "di"), ("DI, passive.*", "di-passive"),
        ("DI, active.*", "di-active"),
        ("pad, 20 dB", "pad"), ("isolating transformer", "transformer"), ("XLR turnaround", "XLR turnaround"),
        ("stand, short", "short"),
        ("stand, tall", "tall"), ("stand, straight", "straight"), ("clip", "clip"), ("cable, source to rack.*",
        SOURCE_CABLE), ("jack to XLR cable.*", SOURCE_CABLE),
        ("loose cable to the box.*", BOX_CABLE), (r"XLR(?: cable)?,? \d+(?:\.\d+)? m\b.*|XLR cable.*", ANY_CABLE),
        (".*A/B switch.*", "A/B switch"),
    )
)  # fmt: skip
PIECE = re.compile(r"(?<!to )XLR (\d+(?:\.\d+)?) m\b")
"""One cable in a cell that names them: "XLR 20 m + XLR 10 m joined"."""
LINKED_ON = re.compile(r"\blinked\b", re.IGNORECASE)
"""What an output feeds hands it on by a second cable."""
BEFORE_THE_TRANSFORMER = re.compile(r"^.*?(?=,? ?isolating transformer|$)")
IN_METRES = re.compile(r"(\d+(?:\.\d+)?) m\b")
NO_TRANSFORMER_SAID = re.compile(r": no transformer,|\bno transformer on\b", re.IGNORECASE)
SPARE_LINE = re.compile(r"spare line (?:on (?P<loom>.+?) way (?P<way>\d+) )?in stage box input (?P<socket>[A-Z]? ?\d+)")
LOOMS_ARE_FULL = re.compile(r"looms? that comes? along (?:is|are) full", re.IGNORECASE)
NO_LOOM_REACHES = re.compile(r"no loom reaches", re.IGNORECASE)
ANOTHER_LOOM = re.compile(r"less to carry than another loom", re.IGNORECASE)
COUNTED = frozenset(kind for _, kind in THINGS)
"""Kinds of things that are plugged or set up one by one, so that one without a use is seen."""

PICKED_UP = frozenset({"mic", "wireless", "di", "di-passive", "di-active"})
STANDS = frozenset({"short", "tall", "straight", "clip"})

NO_CONNECTOR = re.compile(r"as the instrument needs|^–?$")

# --- fixed words in cells

PHANTOM = {
    "band": "band", "houseoff,bandon": "band", "house": "house", "on": "house", "on,house": "house",
    "onwiththebank": "none",
    "splitter": "splitter",
    "houseoff,splitteron": "splitter", "mixeroff,splitteron": "splitter",
    "off,never": "never", "never": "never", "off": "none", "none": "none", "notknown": "unknown", "unknown": "unknown",
}  # fmt: skip

SWITCHED_ON = {"on,band": "band", "off": "none", "never": "never"}
"""At an input of the band's mixer the switch itself is named."""

PICKUPS = {
    "mic": "mic", "microphone": "mic", "di": "di", "di,passive": "di-passive", "di,active": "di-active",
    "passivedi": "di-passive",
    "activedi": "di-active", "line": "line", "wirelessreceiver": "wireless", "wirelessmicrophone": "wireless",
    "mixeroutput": "mixer",
}  # fmt: skip

OUT_PATHS = ("direct out, not dry", "direct out", "left/right mix", "to mono", "group")


def pair_of(label: str) -> str:
    """What both rows of a pair are called: "Keys L" is Keys, "Kit R (sum)" is Kit (sum)."""
    name, _, more = label.partition(" (")
    return f"{PAIR_SIDE.sub('', name)} ({more}" if more else PAIR_SIDE.sub("", name)


def phantom_of(cell: str) -> str:
    """Who feeds 48 V by a cell: band, house, splitter, none, never, unknown. Words that nobody knows come back as they
    are.
    """
    return "none" if cell in NOTHING else PHANTOM.get(squashed(cell), cell)


def switch_of(cell: str) -> str:
    """Who feeds 48 V at an input of the band's mixer, by its cell."""
    return SWITCHED_ON.get(squashed(cell)) or phantom_of(cell)


def pickup_of(cell: str) -> str:
    """What picks a source up: a fixed word where it is one, else the band's own word for it."""
    return PICKUPS.get(squashed(cell), cell)


@dataclass(frozen=True)
class Way:
    """How a line travels: ``kind`` is split, straight, house-split, link or one of ``OUT_PATHS``; ``name`` is a
    splitter's, ``output`` one of it or of the mixer.
    """

    kind: str
    name: str = ""
    output: str = ""
    isolated: bool = False


def way_of(path: str, splitters: Iterable[str]) -> Way:
    """What a path cell says. ``splitters``: names that stand on the splitters' fronts. Kind ``?`` where nobody could
    follow it.
    """
    for name in sorted(splitters, key=len, reverse=True):
        if squashed(path).startswith(squashed(name)):
            rest = re.search(r"\b(isolated|direct)\b(?: output)? ?(\S*)$", path)
            return Way("split", name, rest[2] if rest else "", isolated=bool(rest and rest[1] == "isolated"))
    if path.startswith("straight"):
        return Way("straight")
    if "house's splitter" in path:
        return Way("house-split")
    if path.startswith("digital link"):
        return Way("link")
    kind = next((one for one in OUT_PATHS if path.startswith(one)), "?")
    out = re.search(r"\bout (\S+)$", path.removeprefix("direct out"))
    return Way(kind, "", out[1] if out else "")


@dataclass(frozen=True)
class Feed:
    """What feeds an input of the band's mixer: a splitter's ``way``, a tail of the house's splitter (``name`` is the
    tail's), straight in, or ``?``.
    """

    kind: str
    name: str = ""
    way: int | None = None


def feed_of(cell: str, splitters: Iterable[str]) -> Feed:
    """What the cell *fed by* says."""
    for name in sorted(splitters, key=len, reverse=True):
        found = re.search(r"\bway (\d+)$", cell)
        if squashed(cell).startswith(squashed(name)):
            return Feed("split", name, int(found[1]) if found else None)
    if tail := TAIL.fullmatch(cell):
        return Feed("house-split", tail[1] or "")
    return Feed("straight") if cell.startswith("own cable") else Feed("?", cell)


def names_in(text: str, known: Iterable[str]) -> list[str]:
    """The names of ``known`` in a text, in its order; the longest that fits, so that "Kick" is not found in "Kick
    Out".
    """
    ordered = sorted(known, key=len, reverse=True)
    if not ordered:
        return []
    pattern = re.compile("|".join(rf"(?<!\w){re.escape(name)}(?!\w)" for name in ordered))
    return pattern.findall(text)


def numbers_in(text: str) -> set[int]:
    """The numbers of "1-4, 8–12": every one of them."""
    found: set[int] = set()
    for first, last in re.findall(r"(\d+)(?:[-–](\d+))?", text):
        found |= set(range(int(first), int(last or first) + 1))
    return found


DEATHS = {
    "alive": re.compile(r"Alive: ([^.]*)"),
    "lost": re.compile(r"Without 48 V, (?:so without sound|silent): ([^.]*)"),
    "silent": re.compile(r"(?:^|[.;] )[Ss]ilent: ([^.]*)"),
}


def deaths_of(text: str) -> dict[str, set[int]]:
    """Desk channels that live, lose 48 V, or fall silent when the rack dies."""
    return {state: set().union(*map(numbers_in, pattern.findall(text))) for state, pattern in DEATHS.items()}
