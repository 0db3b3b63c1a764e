"""What is packed or left at home, and why."""

from __future__ import annotations

from portal.wording.plan.entry import Entries, Plural

PACKING: Entries = {
    "thing": "{named}",
    "thing-of-length": "{thing}, {length}",
    "thing-of-a-source": "{thing} of {label}",
    "cable": "{named}",
    "cable-of-length": "{kind}, {length}",
    "stand": "stand, {stand}",
    "to-a-box": "box {box}",
    "the-stage-box": "the stage box",
    # The signal's own boxes
    "why.feeds-the-ears": "it feeds the in-ears",
    "why.feeds-ears-and-audience": "it feeds the in-ears and the audience",
    "why.in-it": "in it: {things}",
    "why.the-house-has-no-pa": "the band brings it; what it consists of is not in the rig",
    "why.sources-run-through-it": "sources run through it to the house",
    "why.lines-to": Plural("lines", "{lines} line to {there}", "{lines} lines to {there}"),
    "why.one-for-each-source": "one for each source that needs it",
    "why.the-bands-own": "the band's own, the in-ears' included",
    "why.carries-sources-to-the-rack": "it carries sources to the rack",
    # Small things
    "why.line-level-into-microphone-inputs": "line level into microphone inputs",
    "why.line-level-into-microphone-inputs.behind-a-transformer": (
        "line level into microphone inputs, behind the transformer, last before the input"
    ),
    "why.between-rack-and-house": "between the band's rack and the house's system",
    "why.the-last-plug-of-the-mix": "the last plug of the mix, at the PA's inputs",
    "why.sources-take-turns": "sources that take turns share one plug",
    "why.return-runs-backwards": "a return runs against the loom's connectors, at both ends",
    "why.get-more": "the band owns {owned}, get {more} before the gig",
    "why.for-the-cut-list": "in case inputs of the house fail, as the cut list says",
    # Cables
    "why.loose": "{named}",
    "why.talkback-comes-back": "the talkback comes back from the house on it",
    "why.source-to-the-rack": "source to rack",
    "why.source-to-the-houses-splitter": "source to the house's splitter",
    "why.source-to-the-loom": "source to the loom",
    "why.source-to-the-stage-box": "source to the stage box",
    "why.from-an-output": "from an output of the mixer",
    "why.from-a-transformer": "from a transformer into the box",
    "why.the-mix-to-the-house": "the mix to the house",
    "why.distance-not-known": "the distance is not known, {length} assumed",
    "why.lengths-are-assumed": "some of these lengths are assumed: enter them in the rig",
    # What carries the in-ear mixes, works the mixer, or always comes along
    "why.its-mix-comes-by-cable": "its mix comes by cable; batteries with it, if it takes any",
    "why.ears-by-cable": "to a wired in-ear pack",
    "why.ears-by-radio": "radio; batteries with it",
    "why.ears-by-wedge": "to a wedge",
    "why.limiter-cuts-the-power": "a limiter cuts the stage power",
    "why.from-mixer-to-desk": "from the band's mixer to the desk",
    "why.part-of-the-pa": "part of the band's PA",
    "why.always-comes-along": "it always comes along",
    "why.for-the-engineer": "for the engineer, charged; the mixer's program runs on it",
    "why.band-brings-the-tablet": "the band brings it; the mixer's program runs on it",
    "why.own-network": "the engineer works on the band's own network, never on another",
    "why.to-the-engineers-place": "to the engineer's place where it can be laid",
    "why.for-who-takes-over": "on stage, for who takes over",
    "why.surface-is-cabled": "the surface on stage is cabled",
    # What stays at home
    "why.no-line-goes-to-the-house": "no line goes to the house",
    "why.into-the-houses-splitter": "the microphones go into the house's own splitter",
    "why.the-mix-goes-without-it": "the mix goes to the house without it",
    "why.the-lines-fit-without-it": "the lines fit without it",
    "why.the-houses-splitter-takes-them": "the house's own splitter takes the microphones",
    "why.nothing-runs-through-it": "nothing runs through it tonight; its sources plug straight into the mixer",
    "why.for-rehearsals-only": "for rehearsals only",
    "why.for-guests": "for guests at the band's own PA",
    "why.the-house-has-a-pa": "the house has a PA",
}
