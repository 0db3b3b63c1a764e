"""The open vocabulary in which people label their inputs: trade words and abbreviations, English first, some German, French, Spanish, Italian, Dutch.

A word stands for every kind that it can mean, the likeliest first; the words of one label together leave what all of them can mean.
So *guitar* may be electric or acoustic, *amp* an electric guitar, a bass or a keyboard, and *guitar amp* is an electric guitar.
All of it is common practice, no source.
Words are written as ``reading`` compares them: small letters without accents, blanks for hyphens; a plural need not be listed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from portal.plan.kinds import KINDS

EGTR, MODEL, AGTR = "pluck.guitar.electric", "x-guitar-modelled", "pluck.guitar.acoustic"
BASS, UPRIGHT, SYNTH_BASS = "pluck.bass.electric", "pluck.bass.acoustic", "x-bass-synth"
PIANO, EPIANO, ORGAN, KEYS = "keyboard.piano", "keyboard.piano.electric", "keyboard.organ", "synth.generic"
KICK, SNARE, HAT, TOM = "drum.kick-drum", "drum.snare-drum", "metal.hi-hat", "drum.tom-tom"
RIDE, CYMBAL, OVERHEAD, EKIT = "metal.cymbal.ride", "metal.cymbal.crash", "drum.group.set", "x-electronic-kit"
PERC, PLAYBACK, LOOPER, OTHER, VOCAL = "x-percussion", "x-playback", "x-looper", "x-other", "voice.vocals"
TRUMPET, TROMBONE, SAX, STRINGS = "brass.trumpet", "brass.trombone", "wind.reed.saxophone", "strings.group"
SPEECH, TALKBACK, AUDIENCE = "x-speech", "x-talkback", "x-audience"

ANYTHING = tuple(KINDS)


@dataclass(frozen=True)
class Word:
    """What a word says. ``kinds``: what it can name; ``settled``: alone it means the first of them. Else a ``facet`` and its ``value``."""

    kinds: tuple[str, ...] = ()
    settled: bool = True
    facet: str = ""
    value: str = ""


SETTLED: dict[tuple[str, ...], str] = {
    (KICK,): "kick, kik, kickdrum, kick drum, bd, bass drum, bassdrum, base drum, grosse trommel, grosse caisse, grancassa, cassa, bombo, bumbo",
    (SNARE,): "snare, snr, sn, sd, snare drum, caisse claire, rullante, caja, kleine trommel",
    (HAT,): "hat, hh, hi hat, hihat, high hat, highhat, charleston, charley, hats",
    (TOM,): "tom, tomtom, tom tom, floor, floor tom, floortom, standtom, rack tom, racktom, hangetom, timbale basse, timbal, goliat",
    (RIDE,): "ride, ride cymbal, ride becken",
    (CYMBAL,): "crash, splash, china, crash cymbal",
    (OVERHEAD,): "oh, ovh, overhead, over head, galgen, underhead, uh",
    (EKIT,): "edrum, edrums, e drum, e drums, electronic drum, electronic drums, electronic kit, e kit, drum pad, drum machine, trigger pad",
    ("drum.cajon",): "cajon, kajon",
    ("drum.conga",): "conga, congas, tumba, quinto",
    ("drum.bongo",): "bongo, bongos",
    ("drum.djembe",): "djembe, jembe, djambe",
    (PERC,): "perc, percussion, percs, perkussion, percu, percussioni, percusion, tambourine, shaker, cowbell, timbales, tabla, timpani, pauke,"
    " vibes, vibraphone, vibraphon, marimba, xylophone, glockenspiel, glock, triangle, chimes, woodblock, guiro, maracas, surdo, pandeiro, darbuka,"
    " bodhran, washboard, repinique, aux perc, toys",
    (BASS, UPRIGHT, SYNTH_BASS): "bass, bs, bss, basse, basso, bajo, bas, bass guitar, bassgitarre, e bass, ebass",
    (UPRIGHT,): "double bass, upright bass, kontrabass, contrabass, contrebasse, contrabbasso, contrabajo, contrabas, standbass, acoustic bass, db",
    (SYNTH_BASS,): "bass synth, synth bass, synthbass, key bass, keys bass, keybass, bass keys",
    (EGTR,): "egtr, eg, e git, egit, e gtr, e gitarre, eguitar, e guitar, elec gtr, electric guitar",
    (AGTR,): "agtr, ag, a git, agit, a gtr, ac gtr, acc gtr, aco gtr, acgtr, nylon, nylon guitar, classical guitar, konzertgitarre, western gitarre",
    (MODEL,): "modeller, modeler, amp modeller, amp sim",
    (AGTR, UPRIGHT, PIANO): "acoustic, ac, akustik, acoust, acou, acustica, acoustique",
    ("pluck.banjo",): "banjo",
    ("pluck.mandolin",): "mandolin, mandoline, mando",
    ("pluck.bouzouki",): "bouzouki, bouz, zouk",
    ("pluck.ukulele",): "ukulele, uke",
    (PIANO,): "grand, grand piano, flugel, klavier, upright piano, pno",
    (EPIANO,): "stage piano, e piano, epiano, electric piano, digital piano, digi piano",
    (ORGAN,): "organ, orgel, orgue, organo",
    (KEYS, EPIANO, ORGAN, SYNTH_BASS): "keys, key, keyboard, keyboards, kbd, kb, keyb, clavier, tastiera, teclado, teclados, keytar, toetsen",
    (KEYS, SYNTH_BASS): "synth, synthesizer, synthesiser, synthi, sintetizador, synthe",
    ("keyboard.accordion",): "accordion, akkordeon, accordeon, acordeon, fisarmonica, squeezebox, melodeon, concertina",
    (PLAYBACK,): "playback, playbacks, pb, backing track, backtrack, track, tracks, backing tracks, laptop, computer, pc, sequencer, seq, stem,"
    " zuspieler, zuspielung,"
    " media player, mp3, cd player, cd, pistes, bases, pista, music player, tablet, phone, samples",
    (LOOPER,): "loop, looper, loop station, loopstation",
    (TRUMPET,): "trumpet, tpt, trpt, trp, trompete, trompette, trompeta, tromba, flugelhorn, fluegelhorn, cornet",
    (TROMBONE,): "trombone, tbn, trb, trmb, bone, posaune, trombon",
    (SAX,): "sax, saxophone, saxophon, saxofon, saxo, alto sax, tenor sax, bari sax, asax, tsax",
    ("wind.flutes.flute",): "flute, flote, querflote, recorder, whistle, tin whistle, flauta, flauto, piccolo, low whistle",
    ("wind.reed.clarinet",): "clarinet, klarinette, clarinette, clarinete, clarinetto, clar",
    ("strings.violin",): "violin, vln, violine, geige, fiddle, violon, violino",
    ("strings.cello",): "cello, vlc, violoncello, violoncelle, vc",
    (STRINGS,): "viola, vla, bratsche, string section, string quartet",
    ("wind.reed.harmonica",): "harmonica, mundharmonika, blues harp, mouth organ, armonica",
    (OTHER,): "sitar, tanpura, tuba, sousaphone, bagpipe, dudelsack, oboe, bassoon, fagott, didgeridoo, euphonium, hurdy gurdy, pedal steel,"
    " lap steel, dulcimer, zither, lute, oud, kora, santur, erhu, koto, kalimba, theremin, steel drum, steel pan, handpan, french horn, cor",
    (VOCAL,): "vocal, voc, vcl, vok, voice, gesang, stimme, chant, voix, voz, voce, zang, singer, sanger, vokal, sing, canto,"
    " bv, bgv, bkv, backing, backings, background, backing vocal, bvox, lvox, choeurs, coros, cori, lv, ldv",
    ("voice.choir",): "choir, gospel choir, kinderchor",
    (
        SPEECH,
    ): "speech, announcement, announcer, announce, moderation, moderator, mc, presenter, host, ansage, sprecher, rede, lectern, rednerpult, narrator",
    ("x-click",): "click, klick, clic, metronome, metronom, click track",
    ("x-cue",): "cue, cues, cue track, guide, guide track, count in",
    (TALKBACK,): "talkback, tb, talk back, talk mic, intercom, shout mic, talk",
    (AUDIENCE,): "audience, crowd, ambience, ambient, ambi, amb, atmo, publikum, room, public",
}
"""Words that name something by themselves. Several kinds: the first is meant unless another word of the label says otherwise."""

OPEN: dict[tuple[str, ...], str] = {
    (EGTR, AGTR, MODEL): "guitar, gtr, git, gitarre, guit, guitare, guitarra, chitarra, gitaar, gt, gitar",
    (EGTR, BASS, KEYS): "amp, amplifier, verstarker, combo, ampli, versterker",
    (EGTR, BASS): "cab, cabinet, 4x12, 2x12",
    (EGTR, EPIANO, BASS, EKIT): "electric, elec, elektrisch, el, electrique, electrica, elettrica",
    (PIANO, EPIANO): "piano",
    (UPRIGHT, PIANO): "upright",
    (OVERHEAD, CYMBAL, RIDE): "cymbal, cym, becken, piatti, platillos, cymbale",
    (OVERHEAD, KICK, SNARE, HAT, TOM, RIDE, CYMBAL, EKIT): "drum, drums, dr, drs, kit, drumset, drum set, drum kit, schlagzeug, batterie, bateria,"
    " batteria, trommel",
    (VOCAL, EGTR): "vox",
    (HAT, PERC, PLAYBACK, OTHER): "aux",
    (TRUMPET, TROMBONE, SAX): "horn, brass, wind, blaser, cuivres, vientos, metales, fiati, blazers, horn section",
    (SAX, TRUMPET, VOCAL): "alto, tenor, bari, baritone, soprano",
    (STRINGS, KEYS): "string, streicher, cordes, cuerdas, archi",
    ("wind.reed.harmonica", STRINGS): "harp",
    (KEYS, EKIT, PLAYBACK): "pad, sampler, sample, electronics",
    (PLAYBACK, OTHER): "dj, turntable, deck, plattenspieler, video, tv, music",
    (EKIT, KICK, SNARE): "trigger, trig",
    ("voice.choir", VOCAL): "chor, coro, choeur, koor",
    (OTHER, AGTR, EGTR): "slide, resonator, steel",
    (KICK, SYNTH_BASS, PLAYBACK): "sub",
}
"""Words that can mean several things, so that alone they are asked about."""

FACETS: dict[tuple[str, str], str] = {
    ("inside", "in"): "in, inside, innen, inner, dentro, dedans, boundary, beater",
    ("inside", "out"): "out, outside, aussen, outer, fuori, dehors, port, reso, resonant, hole",
    ("inside", "top"): "top, tp, oben, up, upper, over, dessus, sopra, arriba, batter",
    ("inside", "bottom"): "bottom, btm, bot, bttm, below, unten, lower, dessous, sotto, abajo, under, bt",
    ("inside", "front"): "front, vorne, front face, face, front port",
    ("inside", "rear"): "rear, back, hinten, behind",
    ("inside", "floor"): "floor, ft, stand tom, floor tom, floortom, standtom",
    ("inside", "rack"): "rack, mounted, hange, rack tom, racktom, hangetom",
    ("rank", ""): "low, lo, high, hi, mid, middle, medium, small, large, tief, hoch, mittel",
    ("side", "left"): "l, left, links, lft, li, gauche, izquierda, sinistra, lh",
    ("side", "right"): "r, right, rechts, rgt, re, droite, derecha, destra, rh",
    ("side", "middle"): "c, center, centre, mitte, ctr",
    ("stereo", "stereo"): "stereo, st, lr, l r, left right, pair, paar, st pair, stereo pair, xy, ortf",
    ("stereo", "mono"): "mono",
    ("place", "stage left"): "sl, stage left",
    ("place", "stage right"): "sr, stage right",
    ("place", "stage centre"): "sc, stage centre, stage center, dsc, usc, ds, us, msc, downstage, upstage, upstage centre, downstage centre",
    ("place", "stage left, front"): "dsl, dcl, downstage left",
    ("place", "stage right, front"): "dsr, dcr, downstage right",
    ("place", "stage left, back"): "usl, ucl, upstage left",
    ("place", "stage right, back"): "usr, ucr, upstage right",
    ("role", "lead"): "lead, ld, main, haupt, leadvocal, principal, principale, solista, lvox, lv, ldv",
    (
        "role",
        "backing",
    ): "backing, backing vocal, bv, bgv, bkv, background, back, backup, bg, bk, bck, harmony, harm, bvox, backings, choeurs, coros, cori",
    ("capture", "di"): "di, dis, di box, dibox, direct, direct box, d i, pickup, pick up, piezo",
    ("capture", "di-active"): "active di, aktive di",
    ("capture", "di-passive"): "passive di, passiv di",
    ("capture", "line"): "line, line out, direct out, xlr out, xlr, jack, fx out, out line, minijack, rca, xlr line, line in, xlr direct out, di out",
    (
        "capture",
        "mic",
    ): "mic, mike, microphone, mikro, mikrofon, micro, mikrofonierung, microphono, microfono, abgenommen, clip mic, contact mic, mics",
    ("capture", "mic dynamic"): "dynamic, dyn, dynamisch, dynamic mic",
    ("capture", "mic condenser"): "condenser, cond, kondensator, condensateur, condenser mic, small diaphragm, large diaphragm",
    ("capture", "mic ribbon"): "ribbon, ribbon mic, bandchen",
    (
        "capture",
        "wireless",
    ): "wireless, radio mic, funk, drahtlos, handheld radio, rf mic, headset, hf, sans fil, inalambrico, funkmikro, radio, lavalier, lav, bodypack",
    ("phantom", "yes"): "48 v, 48 volt, phantom, phantom power, phantomspeisung, p 48, phantom yes, with phantom",
    ("phantom", "no"): "no phantom, no 48 v, without phantom, phantom no, ohne phantom, 48 v off, phantom off",
    ("owner", "house"): "house, venue, provided by venue, from house, supplied by venue, house mic, by promoter",
    ("owner", "band"): "own, our own, own mic, eigenes, eigene, band s, band mic, brings own",
    ("optional", "yes"): "optional, opt, if needed, if required, if available, bei bedarf, if possible, maybe, optionnel",
    ("none", "spare"): "spare, open, empty, unused, free, frei, leer, reserve, blank, not used, n a, n / a, libre, vide, n c, nc",
    ("none", "return"): "fx, effect, effekt, reverb, delay, echo, hall, return, rtn, ret, retour, fx return, wedge, monitor, iem, foh",
    ("player", ""): "player, drummer, bassist, guitarist, gitarrist, keyboarder, keyboardist, spieler, vocalist, musician, saxophonist",
    ("turns", ""): "pedal, machine, effects, fx send, mix, submix, effekte, wing, area, feed",
    ("split", ""): "or, oder, ou, and, und, et",
}
"""Words that say where, how, whose and what for. A word may stand here and above: ``backing`` names a vocal and says which."""

NUMBERS = {"two": 2, "zwei": 2, "deux": 2, "dos": 2, "both": 2, "three": 3, "drei": 3, "trois": 3, "tres": 3, "four": 4, "vier": 4, "five": 5}
"""Quantities in words."""

_NOISE = (
    "x, stage, the, a, an, of, for, from, by, with, mit, avec, con, de, der, die, das, fur, des, le, la, les, to, on, at, in, s, "
    "no, nr, nd, rd, th, st, number, ch, channel, kanal, input, signal, source, player, band, member, his, her, their, our, my, "
    "name, model, as, per, each, plus, new"
)
"""Words that change nothing in what a label names."""

STANDS = {
    "short": "short, low, lo, small, klein, kurz, short boom, small boom, petit, mini",
    "tall": "tall, high, hi, boom, tall boom, large, gross, galgen, grand, boom stand",
    "straight": "straight, round base, gerade, straight stand",
    "clip": "clip, clamp, rim, clip on",
    "none": "none, no stand, without stand",
}
"""Words of a column about stands."""


def _phrases(text: str) -> Iterator[tuple[str, ...]]:
    for phrase in text.split(","):
        yield tuple(phrase.split())


def _vocabulary() -> dict[tuple[str, ...], tuple[Word, ...]]:
    words: dict[tuple[str, ...], tuple[Word, ...]] = {}
    for table, settled in ((SETTLED, True), (OPEN, False)):
        for kinds, text in table.items():
            for phrase in _phrases(text):
                words[phrase] = (*words.get(phrase, ()), Word(kinds, settled))
    for (facet, value), text in FACETS.items():
        for phrase in _phrases(text):
            words[phrase] = (*words.get(phrase, ()), Word(facet=facet, value=value))
    return words


NOISE = frozenset(word for (word,) in _phrases(_NOISE))

VOCABULARY = _vocabulary()
"""Every phrase, and all that it says."""

LONGEST = max(len(phrase) for phrase in VOCABULARY)

STAND_WORDS = {phrase: stand for stand, text in STANDS.items() for phrase in _phrases(text)}
