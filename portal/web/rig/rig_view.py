"""A rig in words, for whoever reads it."""

from collections.abc import Iterator
from dataclasses import dataclass

from portal.documents.patch.ears_side import CARRIED_BY, WIDTHS
from portal.exchange.rig_words import KINDS_OF_OUTPUT, KINDS_OF_SPLITTER, LABELS, WORDS, bit_words, use_words
from portal.plan.input.kinds import kind_of
from portal.plan.input.rig import Rig, Source, SplitterOutput
from portal.plan.options.routing_policy import capture_of, goes_of, needs_phantom
from portal.wording.catalogue import Words, look_up, mark, pgettext
from portal.wording.catalogue import gettext as _
from portal.wording.formats import say_metres, say_number
from portal.wording.kinds import say_stand


@dataclass(frozen=True)
class SourceLine:
    """One source, from the stage on the left to the mixer on the right."""

    number: int
    label: str
    what: str
    player: str
    picked_up: str
    phantom: str
    stand: str
    way: str
    mixer_input: str
    to_know: str


@dataclass(frozen=True)
class Part:
    """One part of the rig besides its sources: facts, or a table, or a sentence where there is nothing yet."""

    topic: str
    heading: str
    facts: tuple[tuple[str, str, str], ...] = ()
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    nothing: str = ""


def source_lines(rig: Rig) -> tuple[SourceLine, ...]:
    """The sources in the band's own order."""
    # With one splitter its name says nothing new.
    splitters = {
        splitter.key: splitter.name or splitter.key if len(rig.splitter) > 1 else "" for splitter in rig.splitter
    }
    labels = {source.key: source.label for source in rig.source}
    return tuple(
        SourceLine(
            number=number,
            label=source.label,
            what=" ".join(filter(None, (look_up(kind_of(source.what).words), source.position))),
            player=source.player,
            picked_up=WORDS["capture"].get(capture_of(source), capture_of(source)),
            phantom=NEEDED[needs_phantom(source)] if needs_phantom(source) in NEEDED else _("not known"),
            stand="" if source.stand in ("", "none") else say_stand(source.stand),
            way=f"{splitters.get(source.splitter, source.splitter)} {source.way or ''}".strip(),
            mixer_input=str(source.mixer_input or ""),
            to_know="; ".join(_to_know(source, labels)),
        )
        for number, source in enumerate(rig.source, start=1)
    )


def _to_know(source: Source, labels: dict[str, str]) -> Iterator[str]:
    if goes_of(source) != "both":
        yield WORDS["goes"][goes_of(source)]
    if source.pair_with:
        together = _("inseparable from") if source.inseparable else _("pair with")
        yield f"{together} {labels.get(source.pair_with, source.pair_with)}"
    if source.second_of:
        yield _("second of %(label)s", label=labels.get(source.second_of, _("a row that is gone")))
    if source.one_microphone_with:
        other = labels.get(source.one_microphone_with, _("a row that is gone"))
        yield _("may share a microphone with %(label)s", label=other)
    if source.never_with:
        yield _("never with %(labels)s", labels=", ".join(labels.get(key, key) for key in source.never_with))
    marks = {
        _("lead"): source.lead,
        _("may stay at home"): source.optional,
        _("spare"): source.fail_over,
        _("harmed by 48 V"): source.harmed_by_phantom,
    }
    yield from (words for words, so in marks.items() if so)
    house = [
        what
        for what, owner in (
            (_("mic or DI"), source.owner.mic),
            (_("stand"), source.owner.stand),
            (_("cable"), source.owner.cable),
        )
        if owner == "house"
    ]
    if house:
        yield _("house brings %(house)s", house=", ".join(house))
    if source.note:
        yield source.note


NOT_SAID = mark("not said")
NEEDED = Words({"yes": mark("yes"), "no": ""})
YES_OR_NO = Words({"yes": mark("yes"), "no": mark("no")})


def parts_of(rig: Rig) -> tuple[Part, ...]:
    """Everything besides the sources, in the order of the signal."""
    return (
        _splitters(rig),
        _mixer(rig),
        _ears(rig),
        _looms(rig),
        _sub_looms(rig),
        _standing(rig),
        Part(
            "bits",
            _("Small things"),
            facts=_bits(rig),
            nothing="" if rig.bits else _("No DIs, pads, turnarounds or loose cables are written down yet."),
        ),
        Part("mix", _("Mix and own PA"), facts=_facts_of_mix(rig)),
        _configurations(rig),
    )


def _value_words(value: object) -> str:
    if isinstance(value, bool):
        return YES_OR_NO["yes" if value else "no"]
    return look_up(NOT_SAID) if value is None else say_number(value) if isinstance(value, float) else str(value)


def _mixer(rig: Rig) -> Part:
    values = {label: getattr(rig.mixer, name) for name, label in LABELS[type(rig.mixer)].items()}
    unsaid = [label[0].lower() + label[1:] for label, value in values.items() if value is None]
    # What nobody said yet stands in one row at the end.
    together = len(unsaid) > 1
    facts = [(label, _value_words(value), "") for label, value in values.items() if value is not None or not together]
    uses: dict[str, list[str]] = {}
    for out in rig.mixer.outs:
        use = use_words(out.use)
        if out.use == "free" and out.unprocessed:
            use = _("free, unprocessed")
        elif out.use == "free" and out.tap_known:
            use = _("free, processed")
        uses.setdefault(use, []).append(out.key)
    facts += [(_("Outputs: %(use)s", use=use), ", ".join(keys), "") for use, keys in uses.items()]
    facts += [
        (
            _("Digital link"),
            _("%(standard)s, %(channels)s channels each way", standard=link.standard, channels=link.channels),
            "",
        )
        for link in rig.mixer.links
    ]
    return Part("mixer", _("In-ear mixer"), facts=(*facts, *[(_("Not said yet"), "; ".join(unsaid), "")] * together))


def _splitters(rig: Rig) -> Part:
    heads = (_("Splitter"), _("Ways"), _("Kind"), _("Leg to the mixer"), _("Outputs to the house"), _("In the rack"))
    rows = tuple(
        (
            one.name or one.key,
            str(one.ways),
            KINDS_OF_SPLITTER.get(one.kind, one.kind),
            KINDS_OF_OUTPUT.get(one.to_mixer, one.to_mixer),
            ", ".join(map(_output_words, one.outputs)),
            _("built in") if one.built_in else _("carried"),
        )
        for one in rig.splitter
    )
    nothing = _(
        "There is no splitter yet. Without one, lines to the house come from direct outs or the band's own mix."
    )
    return Part("splitters", _("Splitters"), heads=heads, rows=rows, nothing=nothing)


def _output_words(out: SplitterOutput) -> str:
    name, kind = out.key or _("unnamed"), KINDS_OF_OUTPUT.get(out.kind, out.kind)
    kind = _("%(kind)s, lift", kind=kind) if out.lift else kind
    return f"{name}: {kind}"


def _looms(rig: Rig) -> Part:
    heads = (_("Loom"), _("Ways"), _("Length"), _("At the rack"), _("At the stage box"))
    rows = tuple(
        (
            one.name or one.key,
            str(one.ways),
            look_up(NOT_SAID) if one.length_m is None else say_metres(one.length_m),
            one.band_end,
            one.house_end,
        )
        for one in rig.loom
    )
    return Part("looms", _("Looms"), heads=heads, rows=rows, nothing=_("There is no loom yet."))


def _sub_looms(rig: Rig) -> Part:
    rows = tuple(
        (one.name or one.key, str(one.ways), NOT_SAID if one.length_m is None else say_metres(one.length_m))
        for one in rig.sub_loom
    )
    return Part(
        "sub-looms",
        _("Sub-looms"),
        heads=(_("Sub-loom"), _("Ways"), _("Length")),
        rows=rows,
        nothing=_("There is no sub-loom yet."),
    )


def _standing(rig: Rig) -> Part:
    rows = tuple(
        (one.name, str(one.count), WORDS["when"][one.when], one.configuration or _("every one")) for one in rig.standing
    )
    return Part(
        "standing",
        _("What always comes along"),
        heads=(_("What"), _("Count"), _("At which gigs"), _("Configuration")),
        rows=rows,
        nothing=_("No packs, batteries, tablets, leads or loudspeakers are written down yet."),
    )


def _ears(rig: Rig) -> Part:
    rows = tuple(
        (
            one.player,
            WIDTHS.get(one.width, one.width),
            ", ".join(one.outs),
            CARRIED_BY.get(one.carried_by, one.carried_by),
        )
        for one in rig.ears
    )
    heads = (_("Who hears it"), pgettext("stereo or mono", "Width"), _("Outputs of the mixer"), _("Carried by"))
    return Part("ears", _("In-ear mixes"), heads=heads, rows=rows, nothing=_("There is no in-ear mix yet."))


def _configurations(rig: Rig) -> Part:
    labels = {source.key: source.label for source in rig.source}
    rows = tuple(
        (name, ", ".join(labels.get(key, key) for key in one.off) or _("nothing"))
        for name, one in rig.configurations.items()
    )
    nothing = _(
        "There is one way to play: with everything. A configuration names what stays at home, for example acoustic."
    )
    return Part(
        "configurations",
        _("Configurations"),
        heads=(_("Configuration"), _("Stays at home")),
        rows=rows,
        nothing=nothing,
    )


def _bits(rig: Rig) -> tuple[tuple[str, str, str], ...]:
    return tuple((bit_words(key), str(count), "") for key, count in rig.bits.items())


def _facts_of_mix(rig: Rig) -> tuple[tuple[str, str, str], ...]:
    return tuple((label, _value_words(getattr(rig.mix, name)), "") for name, label in LABELS[type(rig.mix)].items())
