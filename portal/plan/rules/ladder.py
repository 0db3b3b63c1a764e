"""The steps of the ladder: what may stand where a source gives something up, and why that comes when it comes."""

from __future__ import annotations

from portal.plan.options.routing_policy import STEPS
from portal.plan.registry import Rule, enter

_STEPS: dict[str, tuple[tuple[str, ...], str]] = {
    "share-a-line": (
        ("members",),
        "Two instruments that one player never plays at the same time lose nothing on one line, by a switch or one common DI. It is the first thing to"
        " give up. Example: guitar and banjo of one player on one DI.",
    ),
    "optional-source": (
        ("label", "stays"),
        "What the band itself can do without goes before anything else is folded or summed. Example: a second hand drum.",
    ),
    "second-microphone": (
        ("label", "stays", "first"),
        "A second microphone on the same sound is a matter of taste; the first is the sound. It is never summed with"
        " another second microphone. Clean and driven bass are two sounds, not a first and a second. Example: kick out"
        " goes, kick in stays.",
    ),
    "light-kit-snare": (
        ("label", "stays"),
        "Brushes and a light stick sound through the overheads; the snare microphone is the first of a light kit to go, then the kick's. Example: a jazz trio"
        " on six inputs.",
    ),
    "light-kit-kick": (
        ("label", "stays"),
        "A small kick drum without a hole reaches the overheads. Its microphone goes after the snare's, the overheads never. Example: a jazz trio on five inputs.",
    ),
    "light-kit-overheads": (
        ("label",),
        "One microphone over a light kit is the kit in mono. It comes after the snare and kick microphones have gone. Example: a jazz trio on four inputs.",
    ),
    "overhead-before-sums": (
        ("label", "stays"),
        "Indoors, up to about 500 people, the cymbals of a rock kit are heard without a microphone. So the last"
        " overhead goes before horns or voices are summed. Not outdoors, not on a silent stage, not with a light kit."
        " Example: horns on thirteen inputs.",
    ),
    "only-playback-to-mono": (
        ("members",),
        "Where everything comes from machines and voices, the stereo playback is the music; it goes to mono after"
        " every other pair. Example: a duo with machines on five inputs.",
    ),
    "hat-and-ride": (
        ("label", "stays", "heard"),
        "Hi-hat and ride are loud in the overheads and, in most rooms, loud without any. Example: thirteen sources for twelve inputs: the hat goes.",
    ),
    "small-room-overheads": (
        ("label", "stays"),
        "Up to about 200 people the cymbals reach the last row by themselves, so overheads go before anything is folded or summed. Example: a pub of 120.",
    ),
    "small-room-rack-toms": (
        ("label", "stays"),
        "Up to about 200 people the kit is heard without the PA. Toms go after the overheads. Example: a pub of 120 keeps kick and snare.",
    ),
    "small-room-floor-tom": (
        ("label", "stays"),
        "The floor tom carries the low end of the kit, so it goes after the rack toms. Example: a pub of 120 with nine inputs keeps it.",
    ),
    "small-room-cabinets": (
        ("label", "stays"),
        "Up to about 200 people a guitar cabinet is often too loud already. It goes before two voices are summed. Example: seven inputs in a pub of 120.",
    ),
    "own-submix": (
        ("members",),
        "A keyboard player who mixes several keyboards anyway can hand over that mix as one pair; it needs no bus of the band's mixer. Example: two keyboards,"
        " four outputs, one pair.",
    ),
    "keyboards-to-mono": (
        ("members",),
        "Most keyboard sounds survive in mono better than a drum or a voice survives being left out. Use the machine's mono output where it has one; one leg"
        " alone can lose what was panned away. Example: twelve inputs for a function band: keyboards first.",
    ),
    "playback-to-mono": (
        ("members",),
        "Playback in mono keeps every part only if the machine itself sums; so set it there. It goes to mono after the keyboards. Example: a silent stage with"
        " eight inputs.",
    ),
    "percussion-sum": (
        ("members",),
        "Percussion spots of one player are balanced by hand anyway. A sum is blind: it needs a bus of its own, a"
        " balance tried over a PA, no compression, and an engineer who knows. Example: conga high, conga low and"
        " djembe on one line.",
    ),
    "percussion-one": (
        ("label", "stays"),
        "Where the mixer has no bus to sum on, one microphone over the percussion is the next best. Example: three spots, one input, no bus.",
    ),
    "overheads-to-one": (
        ("label",),
        "Two spaced microphones summed cancel at some frequencies; one microphone does not. So the other overhead stays in the in-ears only. Example: eight inputs"
        " for 500 people.",
    ),
    "rack-toms": (
        ("label", "stays", "heard"),
        "Toms sound a few times a song. Without gates a sum of toms is mostly spill, so they stay out instead. Rack toms go before the floor tom. Example:"
        " twelve inputs for a function band keep the floor tom.",
    ),
    "floor-tom": (
        ("label", "stays", "heard"),
        "The floor tom goes after the rack toms, since its low end reaches the overheads least. Example: eight inputs for 500 people.",
    ),
    "stereo-to-mono": (
        ("members",),
        "A guitar rig or an electronic kit in mono loses width and keeps its part. It comes after keyboards and playback, because panned toms and delays are"
        " missed sooner. Example: a silent stage with eight inputs.",
    ),
    "two-at-one-microphone": (
        ("members", "label", "guest"),
        "Two singers of one part at one microphone stay dry, so this comes before any sum of voices. It is done only with the band's word; of two leads"
        " each row has to say so. In the in-ears the two are on one channel. Example: eight voices on five inputs.",
    ),
    "section-sum": (
        ("members",),
        "A section that plays together can be balanced by the band. A sum is blind: it needs a bus of its own, a"
        " balance tried over a PA, no compression, and an engineer who knows. Example: three horns on one line.",
    ),
    "backing-sum": (
        ("members",),
        "Backing vocals are summed before guitars, because their balance is rehearsed; the price is that feedback on one microphone is feedback on the line. Lead"
        " vocals never join. Example: eight inputs for 500 people.",
    ),
    "guitars-sum": (
        ("members",),
        "Two guitars of different players lose their places left and right, and the house cannot lift a solo. It comes after the voices. Example: seven inputs.",
    ),
    "last-overhead": (
        ("label", "stays"),
        "Without overheads the kit is kick and snare in the PA and cymbals from the stage. Never on a silent stage. Example: a function band on eight inputs.",
    ),
    "keyboards-with-playback": (
        ("members",),
        "Keyboards and playback together are a bed; the engineer loses the fader that is reached for most when a track is too loud. Example: six inputs.",
    ),
    "kit-pair": (
        ("members",),
        "The kit as a pair keeps its picture and loses every single fader. Kick and snare stay apart as long as they can: snare goes in first, then kick. Example:"
        " an electronic kit with eight outputs on a silent stage.",
    ),
    "music-mix": (
        ("members",),
        "The last step before there is no plan: music left, music right, and each lead apart. While inputs are left,"
        " the kick, then the bass, then the snare get lines of their own. Example: four inputs in a bar: music left"
        " and right, lead, kick.",
    ),
    "whole-mix": (
        ("members",),
        "The last step of all. There is no separation, so it rests on a mix that was tried over a PA. Example: two"
        " inputs.",
    ),
    "mix-to-mono": (
        (),
        "One input where two are wanted. Check the mix in mono before doors. Example: one working input.",
    ),
    "fail-over-out": (
        ("label",),
        "A spare line by-passes the rig, so that a voice survives when the rack does not. It looks redundant and is given up late. Example: one input too few.",
    ),
    "left-out": (
        ("label", "stays"),
        "Where ways, outputs and busses are all used, a source that is not a must can stay out. It is dearer than any mix. Example: no splitter way left, and ear"
        " mixes hold every output.",
    ),
    "ear-mix-to-mono": (
        ("player",),
        "A stereo in-ear mix holds two outputs. In mono it frees one, for a sum or for the mix. The player should hear of it before load-in. Example: eight outputs,"
        " four stereo in-ear mixes, and a mix for the house.",
    ),
}

for _key, (_slots, _why) in _STEPS.items():
    enter(Rule(_key, "column", None, STEPS[_key].words, _why, _slots))

enter(
    Rule(
        "mono-at-the-source",
        "column",
        None,
        "mono made by the player",
        "A machine sums itself where it is set to mono, or where its left/mono jack is the only one plugged. It is"
        " then mono in the in-ears too, and the player is told. One leg alone would lose what was panned away from it."
        " Example: keyboards by the left/mono jack, the right one empty.",
        ("members", "how"),
    )
)
enter(
    Rule(
        "one-microphone",
        "column",
        None,
        "one microphone of a pair",
        "Two microphones apart cancel at some frequencies when they are summed; one of them, moved to the middle, does not. It is never called mono."
        " Example: one of the two microphones of a piano.",
        ("label", "other"),
    )
)
enter(
    Rule(
        "never-to-front-of-house",
        "column",
        None,
        "never leaves the in-ear mixer",
        "Click, band talkback and cue tracks are for the players. A plan that sends one of them to the audience is"
        " wrong, whoever asks for it.",
        ("label",),
    )
)
enter(
    Rule(
        "left-out-by-word",
        "column",
        None,
        "left out because somebody said so",
        "What both sides agreed on, or the band left out by its own word, is not sent, whatever would carry it. Whoever wants it back releases it on the page of the line.",
        ("label", "stays", "who"),
    )
)
enter(
    Rule(
        "ears-only-by-the-band",
        "column",
        None,
        "in the in-ears only, as the band wants it",
        "Some microphones are only there for the players: a drum microphone for the feel in the in-ears, ambience for the room. Nothing is given up.",
        ("label",),
    )
)
enter(
    Rule(
        "rehearsal-only",
        "column",
        None,
        "not at this gig",
        "A source that the band uses in rehearsal only stays off the sheet and out of the rack. Example: a room"
        " microphone that lets players with in-ears hear each other talk.",
        ("label",),
    )
)
