"""How a row of the cut list says what is done: when the list is worded anew, change this."""

from __future__ import annotations

import re

CUT = {
    "another way": re.compile(r"^the same lines, plugged in another way"),
    "own mix": re.compile(r"^the band's own (?:left/right|mono) mix"),
    "into the mix": re.compile(r"\bgo(?:es)? into the band's own mix"),
    "again": re.compile(r"on (?:its own line|lines of their own) again"),
    "out": re.compile(r"\b(?:ears only|not plugged)\b"),
    "plug": re.compile(r"\bnow (?:through way \d+ of|straight into)\b"),
    "link": re.compile(r"over the digital link"),
    "direct": re.compile(r"on a direct out|on direct out"),
    "pair": re.compile(r"on one pair"),
    "line": re.compile(r"on one line"),
    "mono": re.compile(r"(?:to|in) mono"),
}
"""What a clause of the cut list does; the first that fits."""
DEAD = {
    "moves": re.compile(r"moves to mixer input (\d+)"),
    "gives up": re.compile(r"gives up mixer input (\d+)"),
    "mono": re.compile(r"in mono on mixer input (\d+), from (?:its|their) own mono output; mixer input (\d+) is free"),
}
"""What a row does for one more dead input of the band's mixer."""
DEAD_48V = {
    "asks the row": re.compile(r"48 V on at mixer input (\d+) only if the source's row says “ON, band”"),
    "stays on": re.compile(r"48 V stays on at mixer input (\d+)"),
    "stays off": re.compile(r"48 V stays off at mixer input (\d+)"),
}
"""What a row says of 48 V where the dead input's plug goes."""
FROM_BOTH = re.compile(r"48 V comes from both sides\b.*switch both on before line check", re.IGNORECASE)
"""A remark that names both feeders of a source, and when they are switched."""
BAND_FEEDS = re.compile(r"the band switches 48 V on")
"""A row that takes a source off the house's 48 V says who feeds it then."""
CUT_PLUG = re.compile(
    r"now (?:through way (?P<way>\d+) of (?P<splitter>.+?)|straight)(?: into (?:mixer input (?P<input>\d+)|.+))?(?:,|$)"
)
"""A plug that a row moves: into a way, and where that arrives, or straight into the band's mixer."""
CUT_STRAIGHT = re.compile(r"now straight into mixer inputs ([\d–, -]+), in this order")
"""Several plugs that go straight into inputs of the band's mixer, one each."""
INTO_THE_MIXER = re.compile(r"(?:straight|back) into mixer inputs? ([\d–, -]+)")
MANY_PLUGS = re.compile(r"^(\d+) plugs move: decide before load-in")
A_BOX_INPUT = (
    r"(?:(?:[^,;:()]+? way \d+, )?box input (?:[A-Z] )?\d+|a box input whose 48 V switch (?:is off|can be on))"
)
ANY_OF_A_KIND = "a box input whose 48 V switch"
"""No input is named: whoever plugs it looks at the switch."""
OFF_THERE = re.compile(r"48 V off, never on")
CUT_BOX_INPUT = re.compile(r"box input (?P<input>(?:[A-Z] )?\d+)")
BY_WAY = re.compile(
    r"(?P<name>[^,:]+?) (?:by way (?P<way>\d+)(?: of (?P<splitter>.+?))?|straight|by the house's splitter)"
    rf" to (?P<place>{A_BOX_INPUT})"
)
"""A line of its own that comes back: by which way, and to which box input."""
FROM_THERE = re.compile(rf"from there to ({A_BOX_INPUT})")
TO_THERE = re.compile(rf", to ({A_BOX_INPUT})")
OUTPUT_TO = re.compile(
    r"(?:direct out|output) (?P<out>[^\s,]+)(?: \(the in-ears of .+? turn mono and free it\))?"
    rf"(?: \(|, )to (?P<place>{A_BOX_INPUT})"
)
"""An output that a row plugs in at the house."""
ON_WHOSE_PLUG = re.compile(r"(?:on the plugs?|both at the microphone) of (.+?)(?:,|$)")
AT_ONE_MICROPHONE = re.compile(r"both at the microphone of .+, that of .+ in its case")
CUT_UNDONE = re.compile(r" ?\(and no longer: ((?:[^()]|\([^()]*\))*)\)")
CUT_BACK = re.compile(r"(?:back|straight) into (?:mixer input (\d+)|the band's mixer)")
CUT_FREED = re.compile(r"(?:output|direct out) (\S+) \(the in-ears of (.+?) turn mono and free it\)")
"""An output that an in-ear mix gives up for a row of the cut list."""
CUT_BETWEEN = {
    "pad": re.compile(r"\bpad(?P<several>s)? of 20 dB last"),
    "transformer": re.compile(r"isolating transformer(?P<several>s)? at the box with an XLR (?P<metres>[\d.]+) m"),
}
"""What a row of the cut list puts between an output and the box, one or one each."""
NO_PLAN = re.compile(r"^no plan\b")
OUTPUT_NAMED = re.compile(r"\bout [\w-]*\d|\boutput [\w-]+")
