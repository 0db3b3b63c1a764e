"""How one line travels."""

from __future__ import annotations

from portal.plan.registry import Rule, enter


def _path(key: str, title: str, why: str, slots: tuple[str, ...]) -> None:
    enter(Rule(key, "column", None, title, why, slots))


_path(
    "own-line-through-the-splitter",
    "a line of its own, dry",
    "A splitter hands the same microphone to both desks. On a passive one each side sets its own gain, while 48 V,"
    " pad and loading are common to both. A pad pressed at one desk moves the other by about 1 dB, so pads are set"
    " before line check. The in-ear mixer sits on the direct leg and feeds 48 V; the house takes the isolated leg"
    " where there is one. Example: Kick on way 1 reaches mixer input 1 directly and stage box input 1 through the"
    " transformer.",
    ("label", "splitter", "way", "output"),
)
_path(
    "direct-out",
    "a direct out, unprocessed",
    "Where no splitter way is left, an output of the band's mixer can carry one source. Its tap has to come before"
    " high-pass, gate, EQ, compressor, insert, delay, mute and fader. The house then hears what the microphone"
    " delivers, at the band's preamp gain. The band says so before it touches that gain. Example: a rack with 8 ways"
    " and 9 sources sends the ninth on output 9.",
    ("label", "out", "cause"),
)
_path(
    "processed-direct-out",
    "a direct out, processed",
    "A tap that lies after mute, EQ or fader follows what the band does for its own ears. It is better than no line, and worse than a dry one; it is never"
    " used where the house asked for dry lines only. An output counts as processed until the rig says where it is tapped. Example: an output tapped after the fader: when the drummer turns the click microphone down, the house loses it.",
    ("label", "out", "kind", "cause", "tap"),
)
_path(
    "digital-link",
    "over a digital link",
    "Where both desks speak the same open standard, the band's mixer can hand its inputs over one cable. It takes no socket of the stage box and no way of a"
    " loom. The gain is the band's, the clock is one desk's, and the line goes silent with the rack. It arrives later or earlier than the split lines, so the"
    " kit travels one way as a whole where that is possible. Example: eight working inputs, twelve sources: four come over the link.",
    ("label", "standard", "cause"),
)
_path(
    "straight-to-the-box",
    "straight to the box",
    "Some microphones never pass through the band's rack: a house microphone that may not, or a source that the band does not monitor. It uses one input at"
    " the box and nothing of the band's. Whoever needs it in the in-ears does not get it that way. Example: a house ambience microphone at the front edge.",
    ("label", "ears"),
)
_path(
    "out-of-the-ears",
    "straight to the house, out of the in-ears",
    "Where splitter ways are short and the house has free inputs, a second microphone or the hat goes to the"
    " house alone. It goes dry and at the house's gain. In the in-ears its first microphone or the overheads carry the"
    " sound. That comes before any direct out. Example: kick out beside kick in.",
    ("label", "heard"),
)
_path(
    "house-split",
    "through the house's splitter",
    "Where the house has a splitter on the stage, its box takes the microphones and the band's rack takes split tails. A carried splitter stays at home, a"
    " built-in one is by-passed: one plug to move for each source. The house feeds 48 V unless it says otherwise. Example: a festival stage with a split of 48.",
    ("label",),
)
_path(
    "in-the-bands-mix",
    "in the band's mix",
    "A finished mix needs two inputs at the house, or one in mono. There is no separation: the engineer can set its level and tone, not its balance. It rests"
    " on a mix that was tried over a PA. Example: two inputs left, five sources: the band mixes, the house turns up.",
    ("label", "members", "out", "cause"),
)

_path(
    "spare-not-plugged",
    "a spare, not plugged",
    "A spare that by-passes the band's rack has no input of the band's mixer. With the band's own PA it goes straight into a loudspeaker when the rack has"
    " to be left out. Example: a spare vocal microphone beside the lead's.",
    ("label",),
)
