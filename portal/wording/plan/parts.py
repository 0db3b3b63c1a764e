"""What stands inside the sentences: limits, places, who does what."""

from __future__ import annotations

from portal.wording.plan.entry import Entries, Plural

PARTS: Entries = {
    "sentences": "{sentences}",
    "these": "{things}",
    "answer": "{answer}",
    "output": "output {output}",
    "none-of-them": "none",
    # Places and things
    "pa-inputs": "the PA's inputs",
    "over-the-digital-link": "{labels} over the digital link",
    "mixer-inputs": Plural("inputs", "mixer input {inputs}", "mixer inputs {inputs}"),
    "the-bands-mixer": "the band's mixer",
    "outputs-of-the-bands-mixer": "the outputs of the band's mixer",
    "all-box-inputs": "all box inputs",
    "bank": "bank {first}-{last}",
    "bank.of-a-box": "bank {box} {first}-{last}",
    "in-banks-of": "in banks of {size}",
    "all-at-once": "for all inputs at once",
    "loom-of-length": "{loom} ({length})",
    "loom-to-spare": "{loom} is {length} long for {distance}: {spare} to spare",
    "loom-to-a-box": "{loom} to box {box}",
    "box-takes": Plural("lines", "box {box} takes line {lines}", "box {box} takes lines {lines}"),
    "box-takes.at-a-place": Plural(
        "lines", "box {box} ({place}) takes line {lines}", "box {box} ({place}) takes lines {lines}"
    ),
    "box-takes-nothing": "box {box} takes no line",
    "xlr-of-length": "XLR {length}",
    "cables-joined-end-to-end": "{pieces} joined",
    "cables-unjoined": "{pieces}",
    "cables-unjoined.assumed": "{pieces} (assumed)",
    "mixer-channels": "channels {channels}",
    "shared-mixer-channels": "channels {channels}, which the in-ears share",
    "the-channels": "the channels",
    "in-ears": "sends and outputs",
    "in-ears.channels-up-to": Plural(
        "channels", "channel {channels}, sends and outputs", "channels {channels}, sends and outputs"
    ),
    "in-ears.own-channels": "channels {channels}, which only the in-ears hear, sends and outputs",
    # Who does what
    "takes-over-on-the-surface": "{person} takes over on the cabled surface",
    "takes-over-from-the-stage": "{person} takes over from the stage",
    "nobody-takes-over-yet": "Who takes over from the stage is not named yet",
    "band-brings-the-tablet": "The band brings the engineer's tablet, charged,",
    "who-brings-a-tablet": (
        "Settle who brings a tablet that can control the mixer; the band brings the mixer's program for it"
    ),
    "player-makes-mono": "{labels}: {how}",
    "the-player": "the player",
    "plugs-the-mono-jack": "{player} plugs only the left/mono jack",
    "plugs-its-mono-jack": "{player} plugs only the left/mono jack of {of}",
    "sets-to-mono": "{player} sets {what} to mono",
    "plug-moves": "{label} from {rig} to {tonight}",
    "source-not-in-the-rig": "a source that is not in the rig",
    "agreed-own-line": "a line of its own",
    "agreed-leave-out": "leaving it out",
    "agreed-desk-channel": "desk channel {channel}",
    # Where a source stays
    "is-not-plugged-tonight": "is not plugged tonight",
    "stays-in-the-in-ears": "stays in the in-ears only tonight",
    "the-first": "the first",
    "the-room-hears-it": "the room hears it from the stage",
    "overheads-hear-it": Plural("overheads", "the overhead hears it", "the overheads hear it"),
    "left-out-by-the-band": "the band leaves it out",
    "left-out-by-both": "house and band agreed on it",
    "first-stays-there": "{first} stays there",
    "overheads-stay-there": "the overheads stay there",
    "house-feeds-its-48-v": "The house feeds its 48 V.",
    "microphone-of-the-house-stays-outside": "the house's microphone may not run through it",
    "band-does-not-monitor-it": "the band does not monitor it",
    # Why it travels so
    "with-processing": "with the band's processing on it",
    "counted-as-processed": "counted as processed",
    "processing-changes-it": "the band's mute, EQ and fader cut or change what the house hears",
    "output-is-free": "{out} is free, {tap}",
    "tapped-after-preamp": "tapped after the preamp, before all else",
    "tapped-pre-eq": "tapped before the EQ; high-pass or gate may lie before it",
    "tapped-post-eq": "tapped after the EQ, before the fader",
    "tapped-post-fader": "tapped after the fader",
    "tapped-before": "tapped before {parts}",
    "tap-not-stated": "where it is tapped is not stated",
    "band-carries-no-splitter": "the band carries no splitter",
    "no-splitter-way-is-left": "no splitter way is left",
    "no-splitter-output-is-fit": "no splitter output is fit for it",
    "nothing-cheaper-is-left": "nothing cheaper is left",
    "digital": "digital",
    "nobody-from-the-house-mixes": "nobody from the house mixes",
    "engineer-wants-a-left-right-mix": "the engineer wants a left/right mix",
    "mixed-on-the-bands-mixer": "the mixing is done on the band's mixer",
}

LIMITS: Entries = {
    "sources-and-limits": "{sources} sources; {limits}.",
    "free-for-this-band": "{limit} free for this band",
    "must-reach-the-house": "{labels} must reach the house",
    "cannot-all-hold": "{clash}.",
    "limit-inputs": Plural("inputs", "{inputs} working input", "{inputs} working inputs", "no working input"),
    "limit-inputs.on-two-boxes": Plural(
        "inputs",
        "{inputs} working input on two boxes",
        "{inputs} working inputs on two boxes",
        "no working input on two boxes",
    ),
    "limit-free-outputs": Plural(
        "outputs",
        "{outputs} output free on the band's mixer",
        "{outputs} outputs free on the band's mixer",
        "no output free on the band's mixer",
    ),
    "limit-unprocessed-outputs": Plural(
        "outputs",
        "{outputs} unprocessed output free on the band's mixer",
        "{outputs} unprocessed outputs free on the band's mixer",
        "no unprocessed output free on the band's mixer",
    ),
    "taps-not-stated": Plural(
        "outputs", "the tap of {outputs} output not stated", "the tap of {outputs} outputs not stated"
    ),
    "none-unprocessed": "none unprocessed",
    "none-known-to-be-unprocessed": "none known to be unprocessed",
    "of-them-unprocessed": "{outputs} of them unprocessed",
    "of-unknown-tap": "{outputs} of unknown tap",
    "limit-busses": Plural(
        "busses",
        "{busses} bus free on the band's mixer",
        "{busses} busses free on the band's mixer",
        "no bus free on the band's mixer",
    ),
    "limit-isolation": Plural(
        "owned",
        "isolated lines are required and the band owns {owned} isolating transformer",
        "isolated lines are required and the band owns {owned} isolating transformers",
        "isolated lines are required and the band owns no isolating transformer",
    ),
    "limit-isolation.48-v": "isolated lines are required, which pass no 48 V",
    "limit-splitter": "{splitter} has {ways} ways",
    "limit-looms": "the looms that reach carry {ways} ways",
    "limit-no-loom-reaches": "no loom reaches the box at {distance}",
    "limit-digital-link": "the digital link carries {channels} channels",
    "limit-dry-only": "the house wants dry lines only",
    "limit-left-right-mix": "a left/right mix is wanted",
    "limit-agreed-leave-out": "both sides agreed on leaving out {label}",
    "limit-agreed-own-line": "both sides agreed on a line of its own for {label}",
}
"""What binds, and what cannot all hold."""

SUMMARIES: Entries = {
    "nothing-entered": "The band's mixer, splitter and looms are not entered yet; enter them first.",
    "plan-all-separate": "{route}: {lines}, all separate.",
    "plan-of-lines": "{route}: {lines} for {sources}.",
    "plan-in-the-audiences-mix": Plural(
        "sources",
        "{route}: {sources} source in the audience's mix, {fed}.",
        "{route}: {sources} sources in the audience's mix, {fed}.",
    ),
    "sources": Plural("sources", "{sources} source", "{sources} sources"),
    "house-stage-box": "the house stage box",
    "two-stage-boxes": "the house's two stage boxes",
    "lines-there": Plural("lines", "{lines} line to {house}", "{lines} lines to {house}"),
    "lines-there.and-linked": Plural(
        "lines",
        "{lines} line to {house} and {linked} over the digital link",
        "{lines} lines to {house} and {linked} over the digital link",
    ),
    "fed-by-nothing": "and no output of the band's mixer feeds it",
    "fed-from-outputs": Plural(
        "outputs",
        "in mono from the band's mixer on {outputs}",
        "left and right from the band's mixer on {outputs}",
    ),
    "to-resolve": "To resolve: {titles}.",
    "confirmed": "Confirmed: {titles}.",
    "open.being-worked-out": "What is still open is being worked out. Load the page again in a moment.",
    "open.nothing-matters": "No open answer would change this plan.",
    "open.nothing-so-far": Plural(
        "questions",
        "Nothing tried so far changes the plan; {questions} question not tried yet.",
        "Nothing tried so far changes the plan; {questions} questions not tried yet.",
    ),
    "open.one-question": "It all depends on one question: {question}",
    "open.several-questions": Plural(
        "questions",
        "{questions} open question can still change the plan. Most depends on: {question}",
        "{questions} open questions can still change the plan, each taken by itself. Most depends on: {question}",
    ),
    "open.more-than": "more than {answer}",
    "no-routing": "No routing sends everything that must reach the house.",
    "search-stopped": "The search stopped at its limit before it found a routing.",
}
"""The plan in a sentence."""
