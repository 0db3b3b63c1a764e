"""What would help, and what becomes of the lines when the band's rack loses power."""

from __future__ import annotations

from portal.wording.plan.entry import Entries, Plural

REMEDIES: Entries = {
    "release-lock": "Both sides release what they agreed {agreed}.",
    "agreed-for": "for {label}: {agreed}",
    "accept-lines-without-transformers": "The house accepts lines without a transformer.",
    "accept-processed-direct-outs": "The house accepts direct outs with the band's processing on them.",
    "take-a-split": "The house takes as much split as fits instead of a left/right mix.",
    "do-without": "The band does without {label} at the house.",
    "give-the-rack-power": "The house gives the rack a place and an outlet on stage.",
    "switch-48-v-per-channel": "The house switches 48 V per channel.",
    "hire-a-pa": "The house hires a PA in stereo.",
    "bring-a-pa": "The band hires a PA.",
    "bring-own-pa": "The band brings its own PA.",
    "more-working-inputs": Plural(
        "inputs",
        "The house finds {inputs} working input for the band in all.",
        "The house finds {inputs} working inputs for the band in all.",
    ),
    "more-inputs-of-a-pa": Plural(
        "inputs",
        "The house finds {inputs} input for the band in all.",
        "The house finds {inputs} inputs for the band in all.",
    ),
    "bring-isolating-transformers": Plural(
        "transformers",
        "The band brings {transformers} isolating transformer.",
        "The band brings {transformers} isolating transformers.",
    ),
    "free-mixer-outputs": Plural(
        "outputs", "The band frees {outputs} output of its mixer.", "The band frees {outputs} outputs of its mixer."
    ),
    "bring-the-box-nearer": "The house brings a stage box or its own multicore within {length} of the rack.",
    "bring-a-longer-loom": "The band brings a loom of {ways} ways and {length}.",
    "bring-longer-cables": "The band brings 2 XLR cables of {length}.",
    "move-the-mixer": "The mixer stands within {length} of the house's inputs.",
    "carry-a-splitter": Plural(
        "ways",
        "The band carries a splitter with {ways} way and isolated outputs.",
        "The band carries a splitter with {ways} ways and isolated outputs.",
    ),
    # Where something is lost: a change, and what it wins
    "wins": "{change}: {wins}.",
    "wins.at-a-price": "{change}: {wins}. The price: {takes}.",
    "told-where-outputs-are-tapped": Plural(
        "outputs",
        "The band finds that {outputs} is tapped straight after the preamp",
        "The band finds that {outputs} are tapped straight after the preamp",
    ),
    "told-where-sources-plug-in": "The band finds that any source plugs into any way at the front of {splitter}",
    "one-more-input": "The house finds one more working input",
    "with-a-loose-splitter": Plural(
        "ways",
        "The band brings a loose splitter of {ways} way, with transformers",
        "The band brings a loose splitter of {ways} ways, with transformers",
    ),
    "free-an-output": "The band frees one more output of its mixer",
    "lend-a-sub-loom": Plural(
        "ways",
        "The house lends a sub-loom of {ways} way, or the band brings one",
        "The house lends a sub-loom of {ways} ways, or the band brings one",
    ),
    "with-isolating-transformers": Plural(
        "transformers",
        "With {transformers} isolating transformer in all",
        "With {transformers} isolating transformers in all",
    ),
    "wins-dry-lines": Plural(
        "labels",
        "{labels} goes to the house on a dry line of its own",
        "{labels} go to the house on dry lines of their own",
    ),
    "wins-a-microphone": Plural(
        "labels", "{labels} at a microphone of its own", "{labels} at microphones of their own"
    ),
    "wins-stereo": "{labels} in stereo",
    "wins-being-sent": "{labels} sent too",
    "takes-lines": "{labels} not sent",
    "takes-own-lines": Plural("labels", "{labels} without a line of its own", "{labels} without lines of their own"),
    "takes-stereo": "{labels} in mono",
    "takes-a-microphone": "{labels} at another singer's microphone",
    "takes-dry": "{labels} by an output of the band's mixer",
    "takes-plugs": Plural("plugs", "{plugs} plug moves", "{plugs} plugs move"),
    "takes-pads": Plural(
        "pads", "{pads} pad needed, the band owns {owned}", "{pads} pads needed, the band owns {owned}"
    ),
}

RACK_DIES: Entries = {
    "rack-alive": Plural("channels", "Alive: desk channel {channels}.", "Alive: desk channels {channels}."),
    "rack-loses-48-v": Plural(
        "channels",
        "Without 48 V, so without sound: desk channel {channels}.",
        "Without 48 V, so without sound: desk channels {channels}.",
    ),
    "rack-silent": Plural("channels", "Silent: desk channel {channels}.", "Silent: desk channels {channels}."),
    "rack-may-come-back": Plural(
        "channels",
        "Desk channel {channels} may come back on the house's own 48 V, lower while the band's dead mixer loads the same legs. House: mute while 48 V is switched.",
        "Desk channels {channels} may come back on the house's own 48 V, lower while the band's dead mixer loads the same legs. House: mute while 48 V is switched.",
    ),
    "rack-may-come-back.in-a-bank": Plural(
        "channels",
        "Desk channel {channels} may come back on the house's own 48 V, lower while the band's dead mixer loads the same leg.",
        "Desk channels {channels} may come back on the house's own 48 V, lower while the band's dead mixer loads the same legs.",
    ),
    "muted-before-48-v": "House: mute {bank} while 48 V is switched; one switch feeds {bank}.",
    "unplugged-before-48-v": Plural(
        "inputs",
        "House: mute {bank}, unplug {inputs} and leave it out, for 48 V can damage what is plugged there. Only then switch 48 V on; one switch feeds {bank}.",
        "House: mute {bank}, unplug {inputs} and leave them out, for 48 V can damage what is plugged there. Only then switch 48 V on; one switch feeds {bank}.",
    ),
    "rack-must-not-come-back": Plural(
        "channels",
        "Desk channel {channels} stays without sound. House: leave the 48 V of {bank} off; it can damage {labels} ({inputs}).",
        "Desk channels {channels} stay without sound. House: leave the 48 V of {bank} off; it can damage {labels} ({inputs}).",
    ),
    "rack-holds-receivers": Plural(
        "channels",
        "Assumed: the wireless receivers on desk channel {channels} stand in the band's rack.",
        "Assumed: the wireless receivers on desk channels {channels} stand in the band's rack.",
    ),
    "nothing-goes-to-the-house": "Nothing goes to the house.",
    "everything-is-silent": "Everything is silent: the audience's mix and the in-ears come from the rack.",
    "way-out-by-a-receiver": "Way out: the receiver of {label}, on another supply, straight into one loudspeaker of the PA.",
    "way-out-by-a-mixer": "Way out: a microphone through the {mixer}, on another supply, straight into one loudspeaker of the PA.",
    "way-out-by-a-loudspeaker": "Way out: a loudspeaker of the PA that takes a microphone by itself, on another supply.",
}
