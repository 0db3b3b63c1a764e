"""Who mixes what, whose gain it is, and what the engineer has to know about a sum."""

from __future__ import annotations

from collections.abc import Iterable

from portal.plan.model import Fact, Level, Line, Route
from portal.plan.options.routing_policy import goes_of
from portal.plan.own_mixer.mixer_patch import audience_channels
from portal.plan.phrase import SEMICOLONS, Choice, Listed, MixerOutput, Numbers, Phrase, Value, listed, these
from portal.plan.registry import Finding, check
from portal.plan.result.line_reasons import made_mono, splitters_of
from portal.plan.result.routing import Sent
from portal.plan.result.spelling import leg_of
from portal.plan.result.unchecked_plan import UncheckedPlan, inputs, labels_of, places


def _of_kind(unchecked: UncheckedPlan, *kinds: str) -> list[Line]:
    return [line for line in unchecked.lines if line.path.kind in kinds]


def _paths(lines: Iterable[Line]) -> Fact:
    return Fact("path", these(_on_its_output(line) for line in lines), "rig")


def _on_its_output(line: Line) -> Phrase:
    if leg := leg_of(line.path):
        return Phrase("label-on-output", {"label": line.label, "output": Choice("splitter-output", leg)})
    if not line.path.output:
        return Phrase("comes-over-the-link", {"label": line.label})
    output = Phrase("output", {"output": MixerOutput(line.path.output)})
    return Phrase("label-on-output", {"label": line.label, "output": output})


@check(
    "gain-is-ours",
    Level.ASKS,
    "the band's preamp gain on some lines",
)
def gain_is_ours(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Every output of the band's mixer lies after the band's preamp, and so does an active splitter's. The house trims with its own input and has no say
    over the first gain. Where the audience hears nothing but the band's own mix, that is said of the mix. Example: two tracks on one output.
    """
    lines = [line for line in unchecked.lines if line.gain_owner == "band"]
    if lines and not unchecked.band_mixes:
        yield Finding({"places": places(lines)}, (_paths(lines),))


@check(
    "leave-the-ears",
    Level.ASKS,
    "microphones that leave the in-ears",
)
def leave_the_ears(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A second microphone or the hat is missed least in the in-ears, where its first microphone or the overheads stay.
    To the house it goes dry, by its own cable into a way of the loom. A loose splitter before it would feed both.
    Example: kick out, snare bottom and hat of a band with sixteen ways.
    """
    lines = [line for line, sent in unchecked.pairs() if sent.step == "out-of-the-ears"]
    if lines:
        yield Finding({"labels": labels_of(lines)}, (splitters_of(unchecked.facts),))


@check(
    "players-make-mono",
    Level.ASKS,
    "which players go to mono",
)
def players_make_mono(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Two halves come on one line only where somebody makes them one: by plugging the left/mono jack alone, or by a switch in the machine. The player is told
    before line check. Where the rig does not say how a keyboard does it, the jack is taken as usual. Example: keys and tracks on sixteen inputs.
    """
    made = [sent for _, sent in unchecked.pairs() if sent.made_mono in ("jack", "switch")]
    if made:
        told = Listed(tuple(map(_told_of_mono, made)), SEMICOLONS)
        said = Fact("to-mono", these(_said_of_mono(sent) for sent in made), "rig")
        yield Finding({"told": told}, (said,))


def _told_of_mono(sent: Sent) -> Phrase:
    return Phrase("player-makes-mono", {"labels": listed(one.label for one in sent.sources), "how": made_mono(sent)})


def _said_of_mono(sent: Sent) -> Phrase:
    stated = any(source.to_mono for source in sent.sources)
    by: dict[str, Value] = {"label": sent.sources[0].label, "by": Choice("made-mono", sent.made_mono)}
    return Phrase("to-mono-by" if stated else "to-mono-by.as-is-usual", by)


@check(
    "singers-share-a-microphone",
    Level.ASKS,
    "two singers at one microphone",
)
def singers_share_a_microphone(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The two come dry on one line, and the engineer has them on one fader. In the in-ears they are on one channel as well, so no mix can have one louder than
    the other: they balance by how near they stand. Both singers know before line check. Example: two of four sopranos.
    """
    shared = [sent for _, sent in unchecked.pairs() if sent.guest]
    if shared:
        told = tuple(map(_told_of_guest, shared))
        said = Fact("one-microphone", these(_said_of_guest(sent) for sent in shared), "rig")
        yield Finding({"told": Listed(told, SEMICOLONS)}, (said,))


def _told_of_guest(sent: Sent) -> Phrase:
    guest = sent.guest.label if sent.guest else ""
    return Phrase("sings-at-a-microphone", {"guest": guest, "label": sent.sources[0].label})


def _said_of_guest(sent: Sent) -> Phrase:
    return Phrase("may-share-a-microphone", {"labels": listed(one.label for one in sent.sources)})


@check(
    "who-sings-lead",
    Level.ASKS,
    "who sings lead",
)
def who_sings_lead(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A lead keeps a line of its own to the last, and the engineer looks for it first. Among several voices only the band knows which it is; each may be one,
    or none. Example: eight voices that were entered alike.
    """
    voices = [unit.lead_leg.label for unit in unchecked.routing.units if unit.may_lead]
    if len(voices) > 1:
        yield Finding({"labels": listed(voices)}, (Fact("lead", Phrase("nobody-is-marked-as-lead"), "rig"),))


@check(
    "exchanged-sockets",
    Level.ASKS,
    "plugs that move tonight",
)
def exchanged_sockets(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Where sources plug into the splitter's front, a voice can take the way of a keyboard that comes over an output of
    the band's mixer. The two exchange plugs, because each way's tail is already in its mixer input. It costs plugs and
    new gains, so it is done only where lines gain by it.
    """
    moved = unchecked.routing.exchanges
    if moved:
        moves = tuple(
            Phrase("plug-moves", {"label": one.source.label, "rig": one.rig_input, "tonight": one.tonight})
            for one in moved
        )
        yield Finding(
            {"moves": Listed(moves, SEMICOLONS)}, (Fact("plugs", Phrase("plugs-at-the-splitters-front"), "rig"),)
        )


@check(
    "house-split-tails",
    Level.ASKS,
    "tails of the house's splitter to the band's rack",
)
def house_split_tails(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Where the rack runs through a splitter of its own, the band moves those plugs at load-in; a carried splitter
    stays at home. Tails that do not reach are found out only then, unless the band asks now.
    """
    lines = _of_kind(unchecked, "house-split")
    if lines:
        built_in = {splitter.key for splitter in unchecked.facts.rig.splitter if splitter.built_in}
        wired = {source.key for source in unchecked.sources() if source.splitter in built_in}
        moved = sum(1 for line in lines for key in line.sources if key in wired)
        cited = (unchecked.facts.fact("house-split"),)
        if moved:
            yield Finding({"count": len(lines), "moved": moved}, cited, "plugs-move")
        else:
            yield Finding({"count": len(lines)}, cited)


@check(
    "group-is-blind",
    Level.ASKS,
    "a sum that the band balances",
)
def group_is_blind(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Inside a sum nobody at the house can lift, mute or ring out one part. Its balance has to be tried over a PA before the gig."""
    lines = [
        line
        for line, sent in unchecked.pairs()
        if sent.kind == "group" and len(line.sources) > 1 and sent.group != "to-mono"
    ]
    if lines:
        yield Finding({"labels": labels_of(lines), "inputs": inputs(lines)}, (_paths(lines),))


@check(
    "mix-not-proven",
    Level.ASKS,
    "the band's mix was never tried over a PA",
)
def mix_not_proven(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A mix made in in-ears has too little of what is loud on stage and too much of what in-ears need. Only a PA shows
    that.
    """
    if unchecked.route is Route.ON_OUR_MIXER:
        return
    if (
        _of_kind(unchecked, "left-right-mix") or unchecked.route is Route.OWN_PA
    ) and not unchecked.facts.rig.mix.proven_over_pa:
        yield Finding({}, (Fact("mix", Phrase("not-tried-over-a-pa"), "rig"),))


@check(
    "no-separation",
    Level.NOTES,
    "one mix, no separation",
)
def no_separation(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Left and right arrive mixed. Whoever wants to change one voice has to ask the person at the band's mixer."""
    if unchecked.route is Route.LEFT_RIGHT:
        yield Finding({}, (unchecked.facts.fact("who-mixes"),))


@check(
    "band-is-responsible",
    Level.NOTES,
    "the band answers for the audience's sound",
)
def band_is_responsible(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Where no engineer stands in the room, the band sets the level that people are exposed to, and keeps to the
    house's limit. Band: start low.
    """
    if unchecked.route in (Route.BAND_MIXES, Route.OWN_PA):
        yield Finding({}, (unchecked.facts.fact("who-mixes"),))


@check(
    "ears-follow-the-mix",
    Level.ASKS,
    "the audience's mix can change the in-ears",
)
def ears_follow_the_mix(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Each input on two channels, or in-ear sends before EQ, dynamics, mute and fader, keep the two apart. Neither is known of this mixer."""
    mixer = unchecked.facts.rig.mixer
    if (
        (unchecked.band_mixes or _of_kind(unchecked, "left-right-mix"))
        and not mixer.ears_protected
        and not mixer.double_patch
    ):
        yield Finding({}, (Fact("mixer", Phrase("nothing-keeps-the-ears-apart"), "rig"),))


@check(
    "ear-limiters",
    Level.ASKS,
    "a limiter on every in-ear output",
)
def ear_limiters(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A mistake on the band's mixer goes straight into the players' ears. Band: fit a limiter on every in-ear output,
    and start low. This is information on exposure, not medical advice.
    """
    if unchecked.route is Route.ON_OUR_MIXER and not unchecked.facts.rig.mixer.ear_limiters:
        yield Finding({}, (Fact("ear-limiters", Phrase("not-known"), "rig"),))


@check(
    "engineer-on-our-mixer",
    Level.ASKS,
    "how the engineer works on the band's mixer",
)
def engineer_on_our_mixer(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """One wrong recall silences the in-ears of everybody on stage. The network is the band's own, never the house's or a guest network, and one named person
    on stage can take over.
    """
    if unchecked.route is Route.ON_OUR_MIXER:
        surfaces = unchecked.facts.rig.mixer.remote_surfaces
        person = unchecked.facts.rig.mix.takes_over
        takes_over = "takes-over-on-the-surface" if surfaces > 1 else "takes-over-from-the-stage"
        fallback = Phrase(takes_over, {"person": person}) if person else Phrase("nobody-takes-over-yet")
        brings = Phrase("band-brings-the-tablet" if surfaces else "who-brings-a-tablet")
        own = sorted(audience_channels(unchecked.facts).values())
        shared, unshared = _inputs_that_go(unchecked, "both"), _inputs_that_go(unchecked, "ears-only")
        channels = (
            Phrase("mixer-channels", {"channels": Numbers(tuple(own))})
            if own
            else Phrase("shared-mixer-channels", {"channels": Numbers(shared)})
            if shared
            else Phrase("the-channels")
        )
        ears = (
            Phrase("in-ears.channels-up-to", {"channels": Numbers(tuple(range(1, own[0])))})
            if own and own[0] > 1
            else Phrase("in-ears.own-channels", {"channels": Numbers(unshared)})
            if unshared
            else Phrase("in-ears")
        )
        facts = (unchecked.facts.fact("what-they-want"), Fact("remote-surfaces", these([surfaces]), "rig"))
        parameters: dict[str, Value] = {"fallback": fallback, "channels": channels, "brings": brings, "ears": ears}
        yield Finding(parameters, facts)


@check(
    "who-takes-over",
    Level.ASKS,
    "who takes over from the stage",
)
def who_takes_over(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A tablet runs flat, or its network goes, in the middle of a song. One person who knows the mixer then takes it over; where it is everybody's task, nobody
    does it. Once named, the person stands in what both sides sign. Example: the singer plays no instrument and stands by the surface.
    """
    if unchecked.route is Route.ON_OUR_MIXER and not unchecked.facts.rig.mix.takes_over:
        yield Finding({}, (Fact("takes-over", Phrase("nobody-is-named"), "rig"),))


def _inputs_that_go(unchecked: UncheckedPlan, where: str) -> tuple[int, ...]:
    """The mixer's inputs of the sources that go there, in order."""
    there = (source for source in unchecked.sources() if goes_of(source) == where)
    return tuple(sorted(source.mixer_input for source in there if source.mixer_input))


@check("not-as-wished", Level.ASKS, "lines that are not dry")
def not_as_wished(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The wish is met as far as inputs, ways and outputs go. What is left over is named here, so that nobody finds out
    at line check.
    """
    if unchecked.facts.value("what-they-want") == "split-each-source":
        lines = [line for line in unchecked.lines if not line.dry]
        if lines:
            yield Finding({"labels": labels_of(lines)}, (unchecked.facts.fact("what-they-want"), _paths(lines)))


@check(
    "inseparable-pair",
    Level.NOTES,
    "a finished pair",
)
def inseparable_pair(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A looper or a playback machine with a finished stereo output has no single parts to send. A voice that also runs through it is sent dry as well only
    where its live signal can be kept out of the pair.
    """
    keys = {source.key for source in unchecked.sources() if source.inseparable}
    lines = [line for line in unchecked.lines if keys & set(line.sources) and line.path.kind != "left-right-mix"]
    if lines and unchecked.facts.value("what-they-want") == "split-each-source":
        labels = labels_of(lines)
        cited = (Fact("inseparable", these(labels.listed), "rig"), unchecked.facts.fact("what-they-want"))
        yield Finding({"labels": labels}, cited)


@check("nobody-brings-a-pa", Level.BLOCKS, "who brings the PA")
def nobody_brings_a_pa(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The audience hears nothing but the stage until somebody hires a PA. Settle who does and who pays, and answer the questions about it then. Example: a
    barn with a stage and no speakers.
    """
    if unchecked.facts.value("pa") == "none" and not unchecked.facts.rig.mix.own_pa:
        yield Finding({}, (unchecked.facts.fact("pa"), Fact("own-pa", Phrase("no-own-pa"), "rig")))


@check(
    "engineer-without-a-pa",
    Level.ASKS,
    "an engineer, and no PA",
)
def engineer_without_a_pa(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Until that is settled the plan takes the band's own PA and the band's own mix. Example: the house offers an engineer and thinks that the band brings
    the speakers, while the band thinks that the house does.
    """
    if (
        unchecked.facts.value("pa") == "none"
        and unchecked.facts.known("who-mixes")
        and unchecked.facts.value("who-mixes") != "band-from-stage"
    ):
        yield Finding({}, (unchecked.facts.fact("pa"), unchecked.facts.fact("who-mixes")))


@check(
    "mixer-inputs-short",
    Level.BLOCKS,
    "more sources than mixer inputs",
)
def mixer_inputs_short(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """What does not reach the in-ear mixer is heard by nobody on stage. Leave something at home, let two sources that are never played together share an
    input, or bring a second box of inputs. Example: 24 inputs and 26 sources.
    """
    inputs = unchecked.facts.rig.mixer.inputs
    wanted = [source for source in unchecked.sources() if source.goes not in ("house-only", "rehearsal-only")]
    if inputs is not None and len(wanted) > inputs:
        yield Finding(
            {"inputs": inputs, "sources": len(wanted)},
            (Fact("mixer-inputs", these([inputs]), "rig"), Fact("sources", these([len(wanted)]), "rig")),
        )


@check(
    "not-proven-best",
    Level.ASKS,
    "best found, not proven",
)
def not_proven_best(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The search has a fixed effort limit, so that the same gig always gives the same plan. Very large gigs can reach it."""
    if not unchecked.proven:
        yield Finding({}, (Fact("search", Phrase("stopped-at-its-limit"), "rig"),))
