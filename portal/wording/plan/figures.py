"""The numbers behind a line: what each is of, and what it rests on."""

from __future__ import annotations

from portal.wording.plan.entry import Entries, Plural

FIGURES: Entries = {
    "figure": "{figure} {unit}",
    "from-to": "{low} to {high}",
    "figure.level-at-our-mixer": "Level at the band's mixer, against the source with nothing plugged in",
    "figure.level-at-the-house": "Level at the stage box, against the source with nothing plugged in",
    "figure.load-ratio": "All inputs together, against the source's impedance",
    "figure.di-load": "Load that the instrument sees through the DI",
    "figure.phantom-volt": "48 V supply, measured at the microphone",
    "figure.phantom-in-all": "48 V current from the band's mixer, all inputs together",
    "figure.pad": "Attenuation wanted",
    "figure.peak-at-the-house": "Loudest moment at the house's input",
    "figure.cable-corner": "Top end at the stage box, 3 dB down",
    "figure.latency": "Delay through the band's mixer",
    "figure.first-comb": "First notch where both are in the mix",
    # What they rest on
    "ohms.stated": "{ohms} ohm (stated)",
    "ohms.usual": "{ohms} ohm (usual, not stated)",
    "basis.source": "source {ohms}",
    "basis.bands-mixer": "the band's mixer {ohms}",
    "basis.house-desk": "house desk {ohms}",
    "basis.same-values": "from the same values",
    "basis.at-least": "at least {ratio} is usual, and below that a dynamic microphone can sound different",
    "basis.di": "a {ratio}:1 DI (assumed) into all inputs together; an active DI shows at least {active} kohm",
    "basis.further-inputs": Plural(
        "inputs", "{inputs} further input on the house's side", "{inputs} further inputs on the house's side"
    ),
    "basis.nothing-else": "nothing else on the house's side (assumed)",
    "basis.house-splitter": "the house's splitter with or without a transformer to the band",
    "basis.windings": "transformer windings of {ohms} ohm (assumed)",
    "basis.loose-transformer": "a loose transformer, windings of {ohms} ohm (assumed)",
    "basis.feed-resistors.stated": "48 V through 6.81 kohm a leg, {current} mA (stated)",
    "basis.feed-resistors.usual": "48 V through 6.81 kohm a leg, {current} mA (usual, not stated)",
    "basis.other-desks": Plural(
        "desks",
        "the low end where {desks} other desk with 48 V off ties the pins to 0 V through its resistors, which depends on its switch",
        "the low end where {desks} other desks with 48 V off tie the pins to 0 V through their resistors, which depends on their switches",
    ),
    "basis.sources": Plural("sources", "{sources} source on the band's mixer", "{sources} sources on the band's mixer"),
    "basis.sources.some-not-stated": Plural(
        "sources",
        "{sources} source on the band's mixer, {unknown} of them not stated and taken at {current} mA",
        "{sources} sources on the band's mixer, {unknown} of them not stated and taken at {current} mA",
    ),
    "basis.mixer-gives": "the band's mixer gives {current} mA in all (stated)",
    "basis.mixer-gives.not-stated": "how much the band's mixer gives in all is not stated",
    "basis.output-gives.stated": "the band's output gives {level} dBu at most (stated)",
    "basis.output-gives.assumed": "the band's output gives {level} dBu at most (assumed)",
    "basis.source-gives.stated": "the source gives {level} dBu at most (stated)",
    "basis.source-gives.assumed": "the source gives {level} dBu at most (assumed)",
    "basis.input-takes": "a microphone input takes {level} dBu (assumed); {margin} dB kept in hand",
    "basis.behind-a-pad": "behind a {pad} dB pad that leaves 150 ohm (assumed)",
    "basis.no-pad": "no pad",
    "basis.transformer-before": "a loose transformer before it",
    "basis.loom": "{length} of loom at {capacitance} pF/m (usual, not stated)",
    "basis.lower-still": "the microphone's own cable and the house's multicore lower it further",
    "basis.as-the-rig-states": "as the rig states; the house desk's own comes on top",
    "basis.same-sound": (
        "with {label}, which picks up the same sound without that delay; the notches repeat at 3, 5, 7 ... times this"
    ),
}
