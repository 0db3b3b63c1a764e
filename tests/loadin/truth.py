"""The stage of a gig from the files that a band and a house write: their rig and their answers, in the public format.
Nothing of a plan.

What a rig leaves open is filled from the trade here, by what an instrument is; this table is the judge's own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from tests.loadin.stage import (
    HOUSE_DESK,
    HOUSE_PA,
    OWN_PA,
    TABLET,
    EarMix,
    House,
    Loom,
    Output,
    Source,
    Splitter,
    Stage,
)
from tests.loadin.wording import numbers_in

Document = Mapping[str, Any]

CONDENSERS = frozenset(
    {"metal.hi-hat", "metal.cymbal.ride", "metal.cymbal.crash", "drum.group.set", "keyboard.piano", "voice.choir",
    "x-audience"}
)  # fmt: skip
"""Kinds that a microphone with 48 V stands before, where the band says nothing."""

BY_LINE = frozenset({"x-click", "x-cue"})
BY_DI = frozenset(
    {
        "x-electronic-kit", "pluck.bass.electric", "pluck.bass.acoustic", "x-bass-synth", "x-guitar-modelled",
        "pluck.guitar.acoustic", "pluck.banjo",
        "pluck.mandolin", "pluck.bouzouki", "pluck.ukulele", "keyboard.piano.electric", "synth.generic", "x-playback",
        "x-looper", "strings.violin",
        "strings.cello",
    }
)  # fmt: skip
BY_RADIO = frozenset({"x-headset"})
SHORT_STAND = frozenset({"drum.kick-drum", "drum.snare-drum", "drum.cajon", "drum.djembe", "pluck.guitar.electric"})
CLIPPED = frozenset({"drum.tom-tom"})
EARS_ONLY = frozenset({"x-click", "x-cue", "x-talkback", "x-audience"})
ALL_TAPS = 8

AT_THE_PA = {"pa-inputs": "inputs-free", "pa-input-distance": "box-distance"}

BANKS = {"per-channel": 1, "banks-of-4": 4, "banks-of-8": 8, "all": 0}


def stage_of(rig: Document, answers: Document) -> Stage:
    """The stage that a rig's document and an answers document describe."""
    mixer = rig.get("mixer", {})
    # Guests plug in where the band brings the PA; elsewhere they are the house's.
    there = [one for one in rig.get("source", ()) if not one.get("guest") or _house(answers).mixes == OWN_PA]
    sources = [_source(one) for one in there]
    names = {one["key"]: one.get("label", "") for one in there}
    looms = {one["key"]: one.get("name") or one["key"] for one in rig.get("sub_loom", ())}
    return Stage(
        sources=tuple(
            _with_names(replace(source, loom=looms.get(one.get("sub_loom", ""), "")), one, names)
            for source, one in zip(sources, there, strict=True)
        ),
        splitters=tuple(_splitter(one) for one in rig.get("splitter", ())),
        looms=tuple(_loom(one) for one in rig.get("loom", ())),
        outputs=tuple(
            Output(one["key"], one.get("use", "free").partition(":")[0], _clean(one)) for one in mixer.get("outs", ())
        ),
        ears=tuple(_ear_mix(one) for one in rig.get("ears", ())),
        mixer_inputs=mixer.get("inputs"),
        house=_house(answers),
        mixer_banks=1 if mixer.get("phantom_banks") is None else mixer["phantom_banks"],
        sub_looms=tuple(
            Loom(one.get("name") or one["key"], one.get("ways", 0), one.get("length_m"), "", "")
            for one in rig.get("sub_loom", ())
        ),
    )


def _clean(out: Document) -> bool:
    """Whether an output is tapped before everything that somebody may touch; a fixed high-pass is no matter."""
    before = {*out.get("tap_before", ()), "high-pass"}
    return (out.get("tap") == "after-preamp" or len(before) == ALL_TAPS) and not out.get("mute_cuts")


def _source(one: Document) -> Source:
    what = one.get("what", "x-other")
    owner = one.get("owner") or {}
    usual = {**dict.fromkeys(BY_LINE, "line"), **dict.fromkeys(BY_DI, "di"), **dict.fromkeys(BY_RADIO, "wireless")}
    pickup = one.get("capture") or usual.get(what, "mic")
    if pickup == "di" and one.get("phantom") == "yes":
        pickup = "di-active"
    stand = one.get("stand") or (
        "none"
        if pickup != "mic" or what in BY_DI
        else "short"
        if what in SHORT_STAND
        else "clip"
        if what in CLIPPED
        else "tall"
    )
    needs = _needs(one.get("phantom", ""), pickup, what, owner.get("mic", "band"))
    return Source(
        name=one.get("label", ""),
        player=one.get("player", ""),
        pickup=pickup,
        needs_48v=needs,
        harmed=(bool(one.get("harmed_by_phantom")) or pickup in ("wireless", "line")) and not needs,
        level=one.get("level") or ("line" if pickup == "line" else "mic"),
        stand=stand,
        goes=one.get("goes") or ("ears-only" if what in EARS_ONLY else "both"),
        to_mono="cannot" if pickup in ("mic", "wireless") else one.get("to_mono", ""),
        submix=one.get("submix", ""),
        mic_from=owner.get("mic", "band"),
        stand_from=owner.get("stand", "band"),
        cable_from=owner.get("cable", "band"),
        fail_over=bool(one.get("fail_over")),
        guest=bool(one.get("guest")),
        # Receivers stand in the rack unless somebody says otherwise.
        in_rack=pickup == "wireless" if one.get("in_rack") is None else bool(one["in_rack"]),
    )


def _needs(said: str, pickup: str, what: str, mic_from: str) -> bool | None:
    if pickup in ("wireless", "line", "di-passive"):
        return False
    if said:
        return said == "yes"
    if pickup != "mic":
        return pickup == "di-active"
    return None if mic_from == "house" else what in CONDENSERS


def _with_names(source: Source, one: Document, names: Mapping[str, str]) -> Source:
    """The same source with its partners by the names that stand on paper instead of by keys."""
    partner = names.get(one.get("pair_with", ""), "")
    first = names.get(one.get("second_of", ""), "")
    never = tuple(names[key] for key in one.get("never_with", ()) if key in names)
    sings_with = names.get(one.get("one_microphone_with", ""), "")
    more = {"partner": partner, "first": first, "never_with": never, "sings_with": sings_with}
    return Source(**{**source.__dict__, **more})


def _splitter(one: Document) -> Splitter:
    return Splitter(
        one.get("name") or one["key"],
        one.get("ways", 0),
        bool(one.get("built_in")),
        one.get("kind", "passive") == "active",
        one.get("to_mixer", "direct"),
        {output["key"]: output.get("kind", "direct") for output in one.get("outputs", ())},
    )


def _loom(one: Document) -> Loom:
    name = one.get("name") or one["key"]
    return Loom(
        name,
        one.get("ways", 0),
        one.get("length_m"),
        one.get("band_end") or "XLR female",
        one.get("house_end") or "XLR male",
    )


def _ear_mix(one: Document) -> EarMix:
    return EarMix(
        one.get("player", ""), one.get("width", "stereo"), tuple(one.get("outs", ())), one.get("carried_by", "radio")
    )


def _house(answers: Document) -> House:
    said = {key: entry["value"] for key, entry in answers.items() if isinstance(entry, Mapping) and "value" in entry}
    mixes = _who_mixes(said)
    if mixes in (HOUSE_PA, TABLET):
        # There is no stage box: what counts are the PA's own inputs.
        said |= {at_box: said[at_pa] for at_pa, at_box in AT_THE_PA.items() if at_pa in said}
        said |= {"line-inputs": "yes" if said["pa-input-level"] == "line" else "no"} if "pa-input-level" in said else {}
    inputs, named = said.get("inputs-free"), said.get("sockets-free")
    sockets = sorted(numbers_in(named)) if named else range(1, inputs + 1) if inputs is not None else None
    return House(
        mixes=mixes,
        sockets=None if sockets is None else tuple(sockets)[:inputs],
        second_sockets=said.get("second-box-inputs") or 0,
        distance=said.get("box-distance"),
        second_distance=said.get("second-box-distance"),
        banks=BANKS[said.get("phantom-switching", "per-channel")],
        line_inputs={"yes": True, "no": False}.get(said.get("line-inputs", "")),
        isolation_required=said.get("isolation") == "required",
        one_to_one=said.get("patching", "one-to-one") == "one-to-one",
        own_splitter=said.get("house-split") == "yes",
        own_mics_apart=said.get("house-microphones-through-our-splitter") == "no",
        talkback=said.get("talkback") == "yes",
    )


def _who_mixes(said: Document) -> str:
    if said.get("pa") == "none":
        return OWN_PA
    if said.get("who-mixes") == "band-from-stage":
        return HOUSE_PA
    if said.get("who-mixes") == "bands-engineer-our-mixer" or said.get("what-they-want") == "mix-on-your-mixer":
        return TABLET
    return HOUSE_DESK
