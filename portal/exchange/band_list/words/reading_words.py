"""The open vocabulary in which people label their inputs: trade words and abbreviations, English first, some German,
French, Spanish, Italian, Dutch.

A word stands for every kind that it can mean, the likeliest first; the words of one label together leave what all of
them can mean. So *guitar* may be electric or acoustic, *amp* an electric guitar, a bass or a keyboard, and *guitar amp*
is an electric guitar. All of it is common practice, no source. Words are written as ``reading`` compares them: small
letters without accents, blanks for hyphens; a plural need not be listed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from portal.exchange.band_list.words.facet_words import FACETS
from portal.exchange.band_list.words.list_words import OUTSIDE
from portal.plan.input.kinds import KINDS

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
    """What a word says. ``kinds``: what it can name; ``settled``: alone it means the first of them. Else a ``facet``
    and its ``value``.
    """

    kinds: tuple[str, ...] = ()
    settled: bool = True
    facet: str = ""
    value: str = ""


SETTLED: dict[tuple[str, ...], str] = {
    (KICK,): (
        "kick, kik, kickdrum, kick drum, bd, bass drum, bassdrum, base drum, grosse trommel, grosse caisse, grancassa,"
        " cassa, bombo, bumbo, basdrum, basstrommel"
    ),
    (SNARE,): (
        "snare, snr, sn, sd, snare drum, caisse claire, rullante, caja, kleine trommel, tamburo, redoblante, snaredrum,"
        " kleine trom"
    ),
    (HAT,): "hat, hh, hi hat, hihat, high hat, highhat, charleston, charley, hats, charles, contratiempo, hihats",
    (TOM,): (
        "tom, tomtom, tom tom, floor, floor tom, floortom, standtom, rack tom, racktom, hangetom, timbale basse,"
        " timbal, goliat, timbal base, timbal aereo, tom basse, timpano, vloertom, hangtom"
    ),
    (RIDE,): "ride, ride cymbal, plato ride, ride becken",
    (CYMBAL,): "crash, splash, china, crash cymbal",
    (
        OVERHEAD,
    ): "oh, ohl, ohr, ovh, overhd, overhead, over head, galgen, underhead, uh, panoramico, panoramici, aereo, aereos",
    (EKIT,): (
        "edrum, edrums, e drum, e drums, electronic drum, electronic drums, electronic kit, e kit, drum pad, drum"
        " machine, trigger pad"
    ),
    ("drum.cajon",): "cajon, kajon",
    ("drum.conga",): "conga, tumba, quinto",
    ("drum.bongo",): "bongo, bongos",
    ("drum.djembe",): "djembe, jembe, djambe",
    (PERC,): (
        "perc, percussion, percs, perkussion, percu, percussioni, percusion, tambourine, shaker, cowbell, tabla,"
        " timpani, pauke, vibes, vibraphone, vibraphon, marimba, xylophone, glockenspiel, glock, triangle, chimes,"
        " woodblock, guiro, maracas, surdo, pandeiro, darbuka, bodhran, washboard, pandereta, tamburello, palmas, stomp"
        " box, stompbox, tamboerijn, percussie, percus, rassel, schellen, shekere, clave, claves, castanets, repinique,"
        " aux perc, toys"
    ),
    (
        BASS,
        UPRIGHT,
        SYNTH_BASS,
    ): (
        "bass, bs, bss, basse, basso, bajo, bas, bass guitar, bassgitarre, e bass, ebass, basgitaar, guitare basse,"
        " guitarra bajo, chitarra basso, bajo electrico, basse electrique, basso elettrico"
    ),
    (UPRIGHT,): (
        "double bass, upright bass, kontrabass, contrabass, kontrabas, contrebasse, contrabbasso, contrabajo,"
        " contrabas, standbass, acoustic bass, db"
    ),
    (SYNTH_BASS,): "bass synth, synth bass, synthbass, key bass, keys bass, keybass, bass keys",
    (EGTR,): "egtr, eg, e git, egit, e gtr, e gitarre, eguitar, e guitar, elec gtr, electric guitar",
    (AGTR,): (
        "agtr, ag, a git, agit, a gtr, ac gtr, acc gtr, aco gtr, acgtr, nylon, nylon guitar, classical guitar,"
        " konzertgitarre, western gitarre, guitarra espanola, spanish guitar, chitarra classica, guitare classique,"
        " guitarra clasica, guitare folk, guitare manouche, guitarra flamenca, guitare nylon, guitarra acustica, 12"
        " string, 12 string guitar"
    ),
    (MODEL,): "modeller, modeler, amp modeller, amp sim",
    (
        AGTR,
        UPRIGHT,
        PIANO,
    ): "acoustic, ac, acst, akustik, acoust, acou, acustica, acustico, acoustique, akustisch, akoestisch, akoestische",
    ("pluck.banjo",): "banjo",
    ("pluck.mandolin",): "mandolin, mandoline, mando",
    ("pluck.bouzouki",): "bouzouki, bouz, zouk",
    ("pluck.ukulele",): "ukulele, uke",
    (
        PIANO,
    ): "grand, grand piano, pianoforte, vleugel, piano a queue, piano de cola, flugel, klavier, upright piano, pno",
    (EPIANO,): (
        "stage piano, e piano, piano numerique, piano electrique, piano electrico, piano digital, pianoforte elettrico,"
        " digitale piano, elektrische piano, epiano, electric piano, digital piano, digi piano"
    ),
    (ORGAN,): "organ, orgel, orgue, organo, rotary speaker, rotor",
    (
        KEYS,
        EPIANO,
        ORGAN,
        SYNTH_BASS,
    ): (
        "keys, key, keyboard, keyboards, kbd, kb, keyb, clavier, tastiera, teclado, teclados, keytar, toetsen,"
        " claviers, tastiere"
    ),
    (KEYS, SYNTH_BASS): "synth, synthesizer, synthesiser, synthi, sintetizador, synthe",
    ("keyboard.accordion",): (
        "accordion, akkordeon, accordeon, ziehharmonika, quetsche, acordeon, fisarmonica, mondharmonica, squeezebox,"
        " melodeon, concertina"
    ),
    (PLAYBACK,): (
        "playback, playbacks, pb, backing track, backtrack, track, tracks, backing tracks, laptop, computer, pc,"
        " sequencer, seq, stem, zuspieler, zuspielung, media player, mp3, cd player, cd, pistes, bases, pista, pistas,"
        " secuencias, sequenze, basi, bande, bandes, sequences, portatil, ordenador, ordinateur, ordi, einspieler,"
        " music player, tablet, phone, samples"
    ),
    (LOOPER,): "loop, looper, loop station, loopstation",
    (
        TRUMPET,
    ): "trumpet, tpt, trpt, trp, trompete, trompette, trompeta, tromba, flugelhorn, fluegelhorn, trompet, cornet",
    (TROMBONE,): "trombone, tbn, trb, trmb, bone, posaune, trombon",
    (SAX,): "sax, saxophone, saxophon, saxofon, saxo, saxofoon, alto sax, tenor sax, bari sax, asax, tsax",
    ("wind.flutes.flute",): (
        "flute, flote, querflote, fluit, dwarsfluit, flute traversiere, recorder, whistle, tin whistle, flauta, flauto,"
        " piccolo, low whistle"
    ),
    ("wind.reed.clarinet",): "clarinet, klarinette, clarinette, klarinet, clarinete, clarinetto, clar",
    ("strings.violin",): "violin, vln, violine, geige, viool, fiddle, violon, violino",
    ("strings.cello",): "cello, vlc, violoncello, violoncelle, chelo, violonchelo, vc",
    (STRINGS,): "viola, vla, bratsche, altviool, string section, string quartet",
    ("wind.reed.harmonica",): "harmonica, mundharmonika, blues harp, mouth organ, armonica",
    (OTHER,): (
        "sitar, tanpura, tuba, sousaphone, bagpipe, bagpipes, dudelsack, oboe, bassoon, fagott, didgeridoo, euphonium,"
        " hurdy gurdy, pedal steel, lap steel, dulcimer, zither, lute, oud, kora, santur, erhu, koto, kalimba,"
        " theremin, steel drum, steel pan, handpan, french horn, cor, pipes, cornemuse, gaita, cornamusa, doedelzak"
    ),
    (VOCAL,): (
        "vocal, voc, vcl, vok, voice, gesang, stimme, chant, voix, voz, voce, voci, voces, hauptstimme, zweitstimme,"
        " hoofdzang, achtergrondzang, zang, singer, sanger, sangerin, zanger, zangeres, cantante, chanteur, chanteuse,"
        " vokal, sing, canto, lead singer, hauptgesang, leadgesang, bv, bgv, bkv, backing, backings, background,"
        " backing vocal, bvox, lvox, choeurs, coros, cori, lv, ldv"
    ),
    ("voice.choir",): "choir, gospel choir, kinderchor",
    (SPEECH,): (
        "speech, announcement, announcer, announce, moderation, moderator, mc, presenter, host, locutor, presentador,"
        " presentatore, presentateur, presentator, spreker, ansage, sprecher, rede, lectern, rednerpult, narrator"
    ),
    ("x-click",): "click, klick, clic, metronome, metronom, click track",
    ("x-cue",): "cue, cues, cue track, guide, guide track, count in",
    (TALKBACK,): "talkback, tb, talk back, talk mic, intercom, shout mic, talk",
    (AUDIENCE,): "audience, crowd, ambience, ambient, ambi, amb, atmo, publikum, room, public",
}
"""Words that name something by themselves. Several kinds: the first is meant unless another word of the label says
otherwise.
"""

OPEN: dict[tuple[str, ...], str] = {
    (EGTR, AGTR, MODEL): "guitar, gtr, git, gitarre, guit, guitare, guitarra, chitarra, gitaar, gt, gitar",
    (EGTR, BASS, KEYS): "amp, amplifier, verstarker, combo, ampli, versterker",
    (EGTR, BASS): "cab, cabinet, 4x12, 2x12",
    (
        EGTR,
        EPIANO,
        BASS,
        EKIT,
    ): "electric, elec, elektrisch, elektrische, el, electrique, electrica, electrico, elettrica, elettrico",
    (PIANO, EPIANO): "piano",
    (UPRIGHT, PIANO): "upright",
    (OVERHEAD, CYMBAL, RIDE): "cymbal, cym, becken, piatti, bekken, bekkens, platos, platillos, cymbale",
    (
        OVERHEAD,
        KICK,
        SNARE,
        HAT,
        TOM,
        RIDE,
        CYMBAL,
        EKIT,
    ): "drum, drums, dr, drs, kit, drumset, drum set, drum kit, schlagzeug, batterie, bateria, batteria, trommel",
    (VOCAL, EGTR): "vox",
    (HAT, PERC, PLAYBACK, OTHER): "aux",
    (TRUMPET, TROMBONE, SAX): "horn, brass, wind, blaser, cuivres, vientos, metales, fiati, blazers, horn section",
    (SAX, TRUMPET, VOCAL): "alto, tenor, bari, baritone, soprano",
    (STRINGS, KEYS): "string, strings, streicher, cordes, cuerdas, archi",
    ("wind.reed.harmonica", STRINGS): "harp",
    (KEYS, EKIT, PLAYBACK): "pad, sampler, sample, electronics",
    (PLAYBACK, OTHER): "dj, turntable, deck, plattenspieler, video, tv, music",
    (EKIT, KICK, SNARE): "trigger, trig",
    ("voice.choir", VOCAL): "chor, coro, choeur, koor, chorus",
    (OTHER, AGTR, EGTR): "slide, resonator, steel",
    (KICK, SYNTH_BASS, PLAYBACK): "sub",
    (TOM, PERC): "timbale, timbales",
}
"""Words that can mean several things, so that alone they are asked about."""

NUMBERS = {
    **dict.fromkeys(["one"], 1),
    **dict.fromkeys(["two", "zwei", "deux", "dos", "both", "due", "twee"], 2),
    **dict.fromkeys(["three", "drei", "trois", "tres", "tre", "drie"], 3),
    **dict.fromkeys(["four", "vier", "quattro", "quatre", "cuatro"], 4),
    **dict.fromkeys(["five"], 5),
}
"""Quantities in words."""

_NOISE = (
    "x, stage, the, a, an, of, for, from, by, with, mit, avec, con, de, der, die, das, fur, des, le, la, les, to, on,"
    " at, in, s, no, nr, nd, rd, th, st, number, ch, channel, kanal, input, signal, source, player, band, member, his,"
    " her, their, our, my, name, model, as, per, each, plus, new, il, lo, el, los, las, het, een, ein, eine, un, una,"
    " uno, por, para, pour, sur, op, auf, del, della, box, boxes"
)
"""Words that change nothing in what a label names."""

STANDS_ANYWHERE = {
    "short": (
        "short boom, small boom, short stand, small stand, low stand, low boom, kleines stativ, petit pied, short"
        " tripod"
    ),
    "tall": (
        "boom, tall boom, boom stand, tall stand, large stand, galgenstativ, boom arm, boomstand, high stand, galgen,"
        " grosses stativ, grand pied, jirafa, girafe, giraffa, hengel, perche"
    ),
    "straight": "round base, straight stand, rundfuss",
    "clip": "clip, clip on, clamp, klemme, pince, pinza, klem",
    "none": "no stand, without stand, ohne stativ, sans pied, sin soporte, senza asta, zonder statief",
}
"""Words that name a stand wherever they stand."""

STANDS_IN_COLUMN = {
    "short": (
        "s, k, short, low, lo, small, klein, kurz, petit, mini, pequeno, bajo, corto, piccola, piccolo, bassa, laag"
    ),
    "tall": "l, g, tall, high, hi, large, gross, hoch, lang, grand, grande, alto, alta, groot, hoog",
    "straight": "straight, gerade, droit, recto, dritta, recht",
    "clip": "rim",
    "none": "none, no, ohne, kein, keins, sans, aucun, sin, ninguno, senza, zonder, geen",
}
"""Words that name one in a column about stands only."""


def _phrases(text: str) -> Iterator[tuple[str, ...]]:
    for phrase in text.split(","):
        yield tuple(phrase.split())


def _vocabulary() -> dict[tuple[str, ...], tuple[Word, ...]]:
    words: dict[tuple[str, ...], tuple[Word, ...]] = {}
    for table, settled in ((SETTLED, True), (OPEN, False)):
        for kinds, text in table.items():
            for phrase in _phrases(text):
                words[phrase] = (*words.get(phrase, ()), Word(kinds, settled))
    outside = {("outside", kind): text for kind, text in OUTSIDE.items()}
    for (facet, value), text in (FACETS | outside).items():
        for phrase in _phrases(text):
            words[phrase] = (*words.get(phrase, ()), Word(facet=facet, value=value))
    return words


NOISE = frozenset(word for (word,) in _phrases(_NOISE))

VOCABULARY = _vocabulary()
"""Every phrase, and all that it says."""

LONGEST = max(len(phrase) for phrase in VOCABULARY)

STAND_WORDS = {phrase: stand for stand, text in STANDS_ANYWHERE.items() for phrase in _phrases(text)}

WORDS_OF_STANDS = frozenset(word for phrase in STAND_WORDS for word in phrase) | {
    "tall",
    "short",
    "straight",
    "small",
    "large",
}

COLUMN_STAND_WORDS = STAND_WORDS | {
    phrase: stand for stand, text in STANDS_IN_COLUMN.items() for phrase in _phrases(text)
}
