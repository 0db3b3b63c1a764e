"""What a source can be, and what follows from it when the band says nothing else.

The ids are those of MusicXML's ``sounds.xml`` (W3C Music Notation Community Group) where it has one; ids of our own
start with ``x-``. Defaults are common practice, no source. ``order`` is the conventional place in an input list: kit
from the kick upward, percussion, bass, guitars, keyboards, playback, sections, others, backing vocals, leads.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Role(StrEnum):
    """The part that a source plays when channels are short; the ladder in ``routing_policy.py`` speaks of these."""

    KICK = "kick"
    SNARE = "snare"
    HAT = "hat"
    RIDE = "ride"
    RACK_TOM = "rack-tom"
    FLOOR_TOM = "floor-tom"
    OVERHEAD = "overhead"
    KIT = "kit"
    ELECTRONIC_KIT = "electronic-kit"
    PERCUSSION = "percussion"
    BASS = "bass"
    GUITAR = "guitar"
    KEYBOARD = "keyboard"
    PLAYBACK = "playback"
    SECTION = "section"
    OTHER = "other"
    BACKING = "backing-vocal"
    LEAD = "lead-vocal"
    NEVER_OUT = "never-out"


@dataclass(frozen=True)
class Kind:
    """One entry: sound id, words for the editor, role, and defaults for a new row."""

    what: str
    words: str
    role: Role
    order: int
    capture: str = "mic"
    level: str = "mic"
    phantom: str = "no"
    stand: str = "tall"
    loud: bool = False
    goes: str = "both"


def _entries() -> tuple[Kind, ...]:
    return (
        Kind("drum.kick-drum", "Kick drum", Role.KICK, 100, stand="short", loud=True),
        Kind("drum.snare-drum", "Snare drum", Role.SNARE, 110, stand="short", loud=True),
        Kind("metal.hi-hat", "Hi-hat", Role.HAT, 120, phantom="yes", loud=True),
        Kind("drum.tom-tom", "Tom", Role.RACK_TOM, 130, stand="clip", loud=True),
        Kind("metal.cymbal.ride", "Ride cymbal", Role.RIDE, 140, phantom="yes", loud=True),
        Kind("metal.cymbal.crash", "Other cymbal", Role.KIT, 145, phantom="yes", loud=True),
        Kind("drum.group.set", "Overhead or whole kit", Role.OVERHEAD, 150, phantom="yes", loud=True),
        Kind("x-electronic-kit", "Electronic kit", Role.ELECTRONIC_KIT, 160, capture="di", stand="none"),
        Kind("drum.cajon", "Cajon", Role.PERCUSSION, 200, stand="short"),
        Kind("drum.conga", "Conga", Role.PERCUSSION, 210, stand="tall"),
        Kind("drum.bongo", "Bongo", Role.PERCUSSION, 215),
        Kind("drum.djembe", "Djembe", Role.PERCUSSION, 220, stand="short"),
        Kind("x-percussion", "Other percussion", Role.PERCUSSION, 230),
        Kind("pluck.bass.electric", "Bass guitar", Role.BASS, 300, capture="di", stand="none"),
        Kind("pluck.bass.acoustic", "Upright bass", Role.BASS, 310, capture="di", stand="none"),
        Kind("x-bass-synth", "Bass synthesizer", Role.BASS, 320, capture="di", stand="none"),
        Kind("pluck.guitar.electric", "Electric guitar", Role.GUITAR, 400, stand="short", loud=True),
        Kind("x-guitar-modelled", "Guitar rig without a cabinet", Role.GUITAR, 405, capture="di", stand="none"),
        Kind("pluck.guitar.acoustic", "Acoustic guitar", Role.GUITAR, 410, capture="di", stand="none"),
        Kind("pluck.banjo", "Banjo", Role.GUITAR, 420, capture="di", stand="none"),
        Kind("pluck.mandolin", "Mandolin", Role.GUITAR, 430, capture="di", stand="none"),
        Kind("pluck.bouzouki", "Bouzouki", Role.GUITAR, 435, capture="di", stand="none"),
        Kind("pluck.ukulele", "Ukulele", Role.GUITAR, 440, capture="di", stand="none"),
        Kind("keyboard.piano", "Piano", Role.KEYBOARD, 500, phantom="yes"),
        Kind("keyboard.piano.electric", "Electric piano", Role.KEYBOARD, 510, capture="di", stand="none"),
        Kind("keyboard.organ", "Organ", Role.KEYBOARD, 520),
        Kind("synth.generic", "Keyboard or synthesizer", Role.KEYBOARD, 530, capture="di", stand="none"),
        Kind("keyboard.accordion", "Accordion", Role.OTHER, 540),
        Kind("x-playback", "Playback", Role.PLAYBACK, 600, capture="di", stand="none"),
        Kind("x-looper", "Looper", Role.PLAYBACK, 610, capture="di", stand="none"),
        Kind("brass.trumpet", "Trumpet", Role.SECTION, 700, loud=True),
        Kind("brass.trombone", "Trombone", Role.SECTION, 710, loud=True),
        Kind("wind.reed.saxophone", "Saxophone", Role.SECTION, 720, loud=True),
        Kind("wind.flutes.flute", "Flute", Role.SECTION, 730),
        Kind("wind.reed.clarinet", "Clarinet", Role.SECTION, 735),
        Kind("strings.violin", "Violin or fiddle", Role.SECTION, 740, capture="di", stand="none"),
        Kind("strings.cello", "Cello", Role.SECTION, 750, capture="di", stand="none"),
        Kind("strings.group", "Other strings", Role.SECTION, 760),
        Kind("wind.reed.harmonica", "Harmonica", Role.OTHER, 780),
        Kind("x-other", "Something else", Role.OTHER, 790),
        Kind("voice.vocals", "Vocal", Role.BACKING, 800),
        Kind("x-headset", "Headset of a cast", Role.LEAD, 805, capture="wireless", stand="none"),
        Kind("voice.choir", "Choir", Role.SECTION, 810, phantom="yes"),
        Kind("x-speech", "Speech or announcements", Role.OTHER, 900),
        Kind("x-click", "Click", Role.NEVER_OUT, 950, capture="line", level="line", stand="none", goes="ears-only"),
        Kind("x-cue", "Cue track", Role.NEVER_OUT, 960, capture="line", level="line", stand="none", goes="ears-only"),
        Kind("x-talkback", "Band talkback", Role.NEVER_OUT, 970, goes="ears-only"),
        Kind("x-audience", "Audience microphone for the in-ears", Role.OTHER, 980, phantom="yes", goes="ears-only"),
    )


KINDS: dict[str, Kind] = {kind.what: kind for kind in _entries()}
"""Every kind by its sound id, in the order of an input list."""

UNKNOWN_KIND = KINDS["x-other"]


def kind_of(what: str) -> Kind:
    """The kind of a sound id; an id that the table does not know is treated as *something else*, its label kept as
    written.
    """
    return KINDS.get(what, UNKNOWN_KIND)
