"""What changes with fewer inputs than the plan uses: what a row of the cut list is made of."""

from __future__ import annotations

from portal.wording.plan.entry import Entries, Plural

CUTS: Entries = {
    "no-plan-for-it": "no plan: something that must be heard cannot be sent",
    "and-for-it": "{what}: {how}",
    "and-no-longer": "{changes} (and no longer: {back})",
    "no-longer": "(and no longer: {back})",
    # What is given up
    "stays-ears-only": "{label} in-ears only",
    "stays-not-plugged": "{label} not plugged",
    "comes-over-the-link": "{label} over the digital link",
    "on-a-direct-out": "{label} on {output}",
    "to-mono": "{labels} to mono",
    "to-mono.on-a-bus": "{labels} to mono on a bus",
    "on-one-pair": "{labels} on one pair",
    "on-one-line": "{labels} on one line",
    "bands-mix-from": Plural(
        "labels",
        "the band's own left/right mix from {outputs}, with {labels} apart",
        "the band's own left/right mix from {outputs}, with {labels} apart",
        "the band's own left/right mix from {outputs}, nothing apart",
    ),
    "bands-mix-from.in-mono": Plural(
        "labels",
        "the band's own mono mix from {outputs}, with {labels} apart",
        "the band's own mono mix from {outputs}, with {labels} apart",
        "the band's own mono mix from {outputs}, nothing apart",
    ),
    "into-the-bands-mix": Plural(
        "labels", "{labels} goes into the band's own mix", "{labels} go into the band's own mix"
    ),
    "on-its-own-line-again": Plural("labels", "{labels} on its own line again", "{labels} on lines of their own again"),
    "on-its-own-line-again.placed": Plural(
        "lines", "on its own line again: {lines}", "on lines of their own again: {lines}"
    ),
    "line-to-place": "{label} by way {way} to {place}",
    "line-to-place.of-a-splitter": "{label} by way {way} of {splitter} to {place}",
    "line-to-place.straight": "{label} straight to {place}",
    "line-to-place.house-split": "{label} by the house's splitter to {place}",
    "many-plugs-move": "{plugs} plugs move: decide before load-in, not in the changeover",
    "now-from-output": "{labels} now from output {output}",
    "plugged-in-another-way": "the same lines, plugged in another way: {plugs}",
    "plugged-so": "{label} {how}",
    "now-through-way": "{label} now through way {way} of {splitter}",
    "now-through-way.to-input": "{label} now through way {way} of {splitter} into mixer input {input}",
    "now-straight-into": "{label} now straight into {there}",
    "now-straight-into.each": "{labels} now straight into {there}, in this order",
    # How it is done
    "from-there-to": "from there to {place}",
    "to-a-place": "to {place}",
    "over-the-link": "over the digital link",
    "through-way": "through way {way}",
    "straight-into-the-box": "straight into the box",
    "on-the-line-that-is-left": "on the line that {label} leaves",
    "on-a-line-that-is-free": "on a line that this row frees",
    "by-share-a-line": "by an A/B switch",
    "by-share-a-line.on-a-plug": "by an A/B switch on the plug of {label}",
    "at-one-microphone": "both at the microphone of {label}, that of {guest} in its case",
    "by-own-submix": "from the player's own submixer",
    "by-own-submix.on-plugs": Plural(
        "labels",
        "from the player's own submixer on the plug of {labels}",
        "from the player's own submixer on the plugs of {labels}",
    ),
    "from-outputs": "from {outputs}",
    "from-outputs.as-plugged": Plural(
        "outputs", "from {outputs}, where it is plugged", "from {outputs}, where they are plugged"
    ),
    "into-the-ways-of": Plural(
        "labels",
        "by a cable into the loom way that {labels} leaves",
        "by cables into the loom ways that {labels} leave",
    ),
    "into-loom-ways": "by cable into loom ways that its sources leave",
    "into-loom-ways.one": "by cable into a loom way that one of its sources leaves",
    "direct-out-named": "direct out {output}",
    "output-freed": "{output} (the in-ears of {player} turn mono and free it)",
    "output-in-its-place": "{output} (in {place})",
    "output-to-a-place": "{output} (to {place})",
    "loom-way-to": "loom way {way} to {input}",
    "at-box-input": "box input {input}",
    "box-input-is-free": "box input {input} is free",
    "of-a-box": "{box} {input}",
    # 48 V and what lies between
    "back-into": "back into {there}",
    "back-into.and-fed": "back into {there}, where the band switches 48 V on",
    "straight-into.and-fed": "straight into {there}, where the band switches 48 V on",
    "plugged-back-into": Plural(
        "inputs", "plugged back into mixer input {inputs}", "plugged back into mixer inputs {inputs}"
    ),
    "plugged-straight-into": Plural(
        "inputs",
        "plugged straight into mixer input {inputs}, where the band switches 48 V on",
        "plugged straight into mixer inputs {inputs}, where the band switches 48 V on",
    ),
    "the-band-feeds": Plural(
        "inputs",
        "the band switches 48 V on at mixer input {inputs}",
        "the band switches 48 V on at mixer inputs {inputs}",
    ),
    "the-band-feeds.no-more": "the band switches 48 V off at mixer input {inputs}",
    "the-band-feeds.at-its-mixer": "the band switches 48 V on at its mixer",
    "line-level": "line level",
    "transformer-at-the-box": Plural(
        "lines",
        "isolating transformer at the box with an XLR {length}",
        "isolating transformers at the box with an XLR {length} each",
    ),
    "transformer-lent": Plural(
        "lines", "isolating transformer from the house", "isolating transformers from the house"
    ),
    "pad-last": Plural("lines", "pad of 20 dB last", "pads of 20 dB last"),
    "pad-of-the-house": "the house's own pad in",
    "box-input-outside": Plural("lines", "box input outside {banks}", "box inputs outside {banks}"),
    "the-house-feeds-there": "the house switches 48 V on there",
    "a-box-input-to-feed": "a box input whose 48 V switch can be on",
    "a-safe-box-input": "a box input whose 48 V switch is off",
    "48-v-off-never-on": "48 V off, never on",
    # The band mixes: an input of the house, or of its own mixer, is missing
    "bands-mix-turns-mono": "the band's own mono mix on output {output}, the cables of the right side unplugged and coiled",
    "mix-has-no-way": "no plan: the mix has no way to the PA; would help: the house finds an input",
    "mix-has-no-way.but-a-pa": "no plan: the mix has no way to the PA; would help: the band brings its own PA, or the house finds an input",
    "dead-input-moves": "Band: 48 V off at the dead input. Its plug moves to mixer input {input}, its channel is patched to that input. {switched}.",
    "source-gives-way": "{label} gives up mixer input {input} and stays unplugged. Band: 48 V off there, then the dead input's plug goes in. {switched}.",
    "pair-gives-way": "{label} and {other} in mono on mixer input {kept}, from their own mono output; mixer input {input} is free for the dead input's plug. {switched}.",
    "48-v-stays-on": "48 V stays on at mixer input {input}: never for a receiver, a ribbon or a line output",
    "48-v-stays-off": "48 V stays off at mixer input {input}: plug only a source whose row does not say “ON, band”",
    "48-v-as-the-row-says": "48 V on at mixer input {input} only if the source's row says “ON, band”",
    # The scale of inputs beside its question
    "each-on-its-own-line": "every source on its own line",
    "nothing-fits-so-few": "nothing fits: something that must be heard cannot be sent",
    "all-ears-only": "{labels} only in the in-ears",
    "all-not-plugged": "{labels} not plugged",
    "no-longer-so": "no longer: {what}",
    "and-more-things": Plural("things", "and {things} thing more", "and {things} things more"),
}
