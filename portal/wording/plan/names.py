"""What things are called and what a row has to tell: ways, cables, feeds, outputs and lines back."""

from __future__ import annotations

from portal.wording.plan.entry import Entries, Plural

NAMES: Entries = {
    # How a line travels and is picked up
    "captured": "{named}",
    "way-by": "{named}",
    "leg": "{named}",
    "leg.of-a-key": "{leg} {output}",
    "own-cable": "own cable",
    "if-it-hums": "if it hums",
    # What feeds an input of the band's mixer, and who hears it
    "fed-straight": "straight in",
    "fed-past-a-splitter": "straight in, past {splitter}: first unplug the splitter's tail from this input",
    "own-cable.past-a-splitter": "own cable, past {splitter}: first unplug the splitter's tail from this input",
    "fed-by-a-way": "{splitter}, way {way}",
    "fed-by-a-tail": "tail {input} of the house's splitter",
    "fed-by-nothing-tonight": "input stays free: {why}",
    "its-first-carries-the-sound": "its first microphone carries the sound",
    "no-input-is-left-for-it": "no input of the house is left for it",
    "shares-the-plug-of": "it shares the plug of {first}, by an A/B switch",
    "sings-at-another-microphone": "its singer sings at the microphone of {label}",
    "its-jack-stays-empty": "its jack stays empty",
    "the-sum-is-on-its-other-half": "the machine gives the sum on its other half",
    "goes-into-the-submixer": "it goes into the player's own submixer",
    "goes-into-the-submixer.and-fed": "it goes into the player's own submixer, which feeds its 48 V",
    "heard": "{named}",
    # Outputs of the band's mixer
    "feeds": "{named}",
    # Cables
    "loom-way": "{loom} way {way}",
    "plugs-of-length": "{plugs} {length}",
    "plugs-of-length.assumed": "{plugs} {length} (assumed)",
    "cable-of-the-house": "the house's cable",
    "transmitter-in-the-rack": "transmitter in the rack",
    "transformer-at-the-houses-end": "isolating transformer at the house's end, XLR {length}",
    # Plugs that move
    "plug-into-a-way": "plug into way {way} of {splitter}",
    "plug-straight-in": "plug straight into mixer input {input}",
    "plug-straight-in.out-of-a-way": "plug out of way {way} of {splitter}, straight into mixer input {input}",
    "plugged-for-tonight": "plugged for mixer input {tonight} tonight, not {rig}",
    # Notes of a line
    "its-input-stays-free": "{label}: its mixer input stays free",
    "one-microphone-no-sum": "one microphone, no sum; {label} is not on this line",
    "move-it-to-the-middle": "band: move it to the middle",
    "pan-it-to-the-centre": "at the desk: pan it to the centre",
    "take-turns": Plural(
        "labels", "A/B switch: {labels} is on one plug", "A/B switch: {labels} take turns on one plug"
    ),
    "take-turns.on-one-di": Plural(
        "labels", "A/B switch: {labels} is on one DI", "A/B switch: {labels} take turns on one DI"
    ),
    "sings-at-a-microphone": "{guest} sings at the microphone of {label}",
    "from-the-submixer": "from the own submixer of {players}",
    "from-the-submixer.of-the-player": "from the own submixer of the player",
    "not-in-the-in-ears": "not in the in-ears",
    "note-about": "{labels}: {note}",
    # Lines back to the band
    "talkback-from-the-house": "Talkback from the house",
    "return-notes": "{notes}.",
    "return.by-a-cable-of-its-own": "a cable of its own, for no loom way is spare",
    "return.no-mixer-input-is-free": "no mixer input is known to be free",
    "return.48-v-off": "48 V off on the input that receives it",
    "return.muted-until-checked": "muted and limited in the in-ears until checked",
}
