"""The words around the inputs of a list: headings of columns and sections, things that are no inputs, and the small
words of sentences.

English, German, French, Spanish, Italian and Dutch. All of it is common practice, no source. Written in small letters
without accents.
"""

from __future__ import annotations

from collections.abc import Iterator

HEADS = {
    "number": (
        "#, ch, channel, no, nr, n, n o, number, input, in, line, pos, strip, console, desk, ch no, input no, input nr,"
        " channel no, channel number, kanal, kanal nr, kanalnummer, eingang, nummer, voie, voie n, numero, no canal, no"
        " voie, ligne, entree, canal, n canal, entrada, linea, canale, ingresso, n canale, kanaal, kanaal nr, ingang,"
        " item no"
    ),
    "quantity": (
        "qty, quantity, count, amount, pcs, pieces, how many, no of, number of, qty needed, anzahl, menge, stuck,"
        " stuckzahl, stk, quantite, qte, nombre, nb, cantidad, cant, uds, unidades, quantita, qta, pezzi, pz, aantal,"
        " stuks, x"
    ),
    "label": (
        "label, instrument, source, name, channel name, input name, description, what, signal, instrument source,"
        " source name, inputs, input source, track name, item, quelle, bezeichnung, kanalname, signalquelle, name"
        " instrument, libelle, nom, source instrument, fuente, instrumento, nombre, senal, descripcion, sorgente,"
        " strumento, nome, segnale, descrizione, bron, naam, omschrijving, signaal, what is needed, instruments"
    ),
    "player": (
        "player, musician, who, performer, artist, played by, who plays, who plays it, plays, person, spieler, musiker,"
        " musikerin, wer, wer spielt, gespielt von, joue par, suonato da, person name, musicien, qui, interprete,"
        " musico, quien, musicista, chi, muzikant, speler, wie"
    ),
    "splitter": "splitter, splitter name, split name",
    "way": (
        "way, splitter way, split way, split, splitter ch, splitter channel, split ch, splitter no, splitterweg,"
        " splitter weg, splitter kanal, weg, voie du splitter, voie splitter, canal del splitter, via splitter, via,"
        " canale splitter, splitter kanaal, splitkanaal"
    ),
    "mixer_input": "mixer input, mixer in, mixer channel, monitor mixer input, iem input, iem channel, in ear channel",
    "capture": (
        "mic, mics, mic di, microphone, microphone di, mic or di, mic type, type, transducer, di, pickup, pick up, mic"
        " model, mic line, picked up by, mikrofon, mikro, mikrofon di, mikrofon oder di, abnahme, micro, micro di,"
        " micro ou di, prise, captation, microfono, microfono di, microfono o di, toma, ripresa, microfoon, microfoon"
        " di, microfoon of di, opname"
    ),
    "phantom": (
        "48, 48v, 48 v, phantom, phantom power, p48, 48v phantom, phantom 48v, phantomspeisung, speisung, fantome,"
        " alimentation fantome, alim fantome, alimentacion phantom, alimentacion fantasma, fantasma, alimentazione"
        " phantom, fantoom, fantoomvoeding"
    ),
    "stand": (
        "stand, stands, mic stand, stand type, stativ, stative, mikrofonstativ, pied, pieds, pied de micro, soporte,"
        " soportes, pie, pie de micro, asta, aste, supporto, statief, statieven"
    ),
    "owner": (
        "owner, who brings it, brings, provided by, supplied by, brought by, from, gestellt von, bringt, fourni par,"
        " apporte par, aportado por, trae, fornito da, porta, eigenaar, geleverd door"
    ),
    "place": (
        "position, location, stage position, place, where, platz, ort, buhnenposition, emplacement, posicion,"
        " ubicacion, lugar, posizione, posto, positie, plaats"
    ),
    "note": (
        "note, notes, comment, comments, remark, remarks, remarks notes, info, details, bemerkung, bemerkungen, notiz,"
        " notizen, anmerkung, anmerkungen, hinweis, hinweise, remarque, remarques, commentaire, commentaires, nota,"
        " notas, observacion, observaciones, comentario, comentarios, commento, commenti, osservazioni, opmerking,"
        " opmerkingen, notitie, notities"
    ),
    "other": (
        "insert, inserts, fx, effects, eq, patch, patched, cable, sub snake, snake, stage box, stagebox, box, iem pack,"
        " pack, pack no, multicore, group, dca, vca, colour, color, pan, level, gain, polarity, gruppe, farbe, groupe,"
        " grupo, gruppo, groep"
    ),
}
"""The headings of columns by the field of a row that they fill; ``other``: known, and nothing of a row."""

OUTPUT_HEADS = (
    "mix, mixes, output, outputs, out, aux, send, sends, bus, monitor, wedge, ausgang, sortie, salida, uscita, uitgang,"
    " retour"
)

_TITLE = (
    "input, inputs, list, channel, channels, patch, sheet, tech, technical, rider, stage, plot, plan, page, version,"
    " date, rev, revision, updated, requirements, specification, spec, foh, band, info, equipment, sound, audio, and,"
    " the, for, of, microphones, needed, live, our, mic, line, setup, kanalliste, liste, belegung, kanalbelegung,"
    " kanale, eingange, fiche, technique, patchliste, entrees, ficha, tecnica, lista, canales, entradas, canali,"
    " ingressi, scheda, kanaallijst, kanalen, inputlijst, techniek, de, di, des, inputliste, musicians, musiker"
)
"""Words of which a line without a number can consist and surely be a heading."""

_INPUTS = (
    "input, inputs, channel, channels, patch, mics, microphones, sources, lines, kanalliste, kanalbelegung, kanale,"
    " eingange, mikrofone, patchliste, inputliste, entrees, voies, micros, canales, entradas, microfonos, canali,"
    " ingressi, microfoni, kanaallijst, kanalen, inputlijst, microfoons, instruments, band"
)
"""Words of a heading under which inputs stand."""

_SECTIONS = (
    "monitor, monitors, monitoring, monitore, monitorwege, monitormix, monitormixe, monitoraggio, monitoreo, wedges,"
    " output, outputs, mixes, sends, returns, in ears, iem, iems, contact, contacts, kontakt, kontakte, contacto,"
    " contactos, contatti, contatto, crew, personnel, staff, team, backline, catering, hospitality, food, drinks,"
    " meals, dinner, rooming, accommodation, accomodation, hotel, travel, transport, parking, schedule, timetable,"
    " times, get in, load in, power, electricity, strom, stromversorgung, alimentation, electricite, electricidad,"
    " corriente, corrente, lights, lighting, light, licht, lumiere, lumieres, luz, luces, luci, video, merch,"
    " merchandise, merchandising, security, dressing room, dressing rooms, garderobe, loge, loges, camerino, camerini,"
    " kleedkamer, pa, pa system, beschallung, fee, payment, guest list, gasteliste, verpflegung, essen, getranke,"
    " unterkunft, restauration, repas, hebergement, comida, bebida, alojamiento, cibo, ospitalita, alloggio, eten,"
    " drinken, retours, ecoutes, escuchas, ascolti, monitori, ausgange, sorties, salidas, uscite, uitgangen, effects,"
    " misc, miscellaneous, sonstiges, verschiedenes, allgemeines, divers, varios, varie, overig, notes, general, stage"
    " plot, soundcheck, sound check, line check, stands, cables, extras, thanks"
)
"""Words of a heading under which no inputs stand."""

_LASTING = (
    "monitor, monitors, monitoring, monitore, monitorwege, monitormix, monitormixe, monitoraggio, monitoreo, monitori,"
    " wedges, output, outputs, mixes, sends, in ears, iem, iems, backline, retours, ecoutes, escuchas, ascolti,"
    " ausgange, sorties, salidas, uscite, uitgangen, stands, cables"
)
"""Those of them whose own headings name sources (*Drums* below *Backline*), so that only a heading of inputs ends
them.
"""

_OUTPUTS = (
    "wedge, monitor, side fill, sidefill, drum fill, drumfill, front fill, speakers, loudspeaker, subwoofer,"
    " headphones, headphone, earphone, monitorbox, monitorboxen, monitore, kopfhorer, retour, casque, cuna,"
    " auriculares, spia, spie, cuffie, koptelefoon, monitor mix"
)
_GEAR = (
    "stand, cable, stool, throne, bench, chair, table, rug, carpet, riser, podium, socket, outlet, extension, power"
    " strip, multiplug, battery, batteries, case, fan, light, spotlight, stativ, stative, galgenstativ, mikrofonstativ,"
    " notenstander, kabel, hocker, stuhl, stuhle, tisch, tische, teppich, podest, steckdose, pied de micro, pieds de"
    " micro, pupitre, tabouret, chaise, tapis, praticable, prise, prises, pie de micro, pies de micro, soportes,"
    " taburete, silla, mesa, alfombra, tarima, enchufe, aste, asta, sgabello, sedia, sedie, tavolo, tappeto, pedana,"
    " prese, leggio, statief, statieven, kruk, stoel, tafel, kleed, stopcontact, dead case, ladder, curtain, backdrop,"
    " banner, dimmer"
)
_CARE = (
    "meal, dinner, lunch, breakfast, snack, sandwich, towel, water, beer, wine, coffee, tea, juice, bottle, fruit, bed,"
    " bedroom, hotel, parking, ticket, shower, mahlzeit, abendessen, handtuch, handtucher, wasser, bier, wein, kaffee,"
    " tee, flasche, bett, parkplatz, gaste, doppelzimmer, einzelzimmer, serviette, repas, eau, biere, vin, bouteille,"
    " chambre, comida, cena, toalla, agua, cerveza, vino, botella, habitacion, pasto, pasti, asciugamano, asciugamani,"
    " acqua, birra, birre, bottiglia, maaltijd, handdoek, koffie, wijn, fles, kamer, duschen, cafe, hour, minute,"
    " person, persons, people"
)
OUTSIDE = {"output": _OUTPUTS, "gear": _GEAR, "care": _CARE}
"""Things that people count in the same lists and that are no inputs."""

_SENTENCE = (
    "we, us, our, you, your, please, thank, thanks, is, are, was, be, will, would, should, must, may, can, could, have,"
    " has, had, need, needs, bring, brings, use, uses, provide, provided, travel, travels, play, plays, if, when, that,"
    " this, there, they, it, do, does, not, wir, uns, unser, ihr, bitte, danke, ist, sind, wird, werden, haben,"
    " brauchen, benotigen, bringen, spielen, wenn, dass, nicht, nous, notre, vous, votre, merci, est, sont, avons,"
    " avoir, faut, prevoir, besoin, jouons, si, nosotros, nuestro, gracias, son, tenemos, necesitamos, traemos,"
    " tocamos, noi, nostro, grazie, sono, abbiamo, serve, servono, portiamo, suoniamo, wij, ons, onze, jullie, graag,"
    " bedankt, zijn, wordt, hebben, nodig, brengen, spelen, als, niet, ask, call, let, keep, place, put, come, comes,"
    " arrive, arrives, hello, dear"
)
"""Words that make a line a sentence."""

_NOT = "no, not, without, none, never, kein, keine, nicht, ohne, sans, pas, sin, senza, non, geen, niet, zonder"
"""Words that turn what is said into its opposite."""

OWNERS = {
    "own": (
        "band, own, we, us, artist, artists, act, musician, player, selbst, eigen, eigene, groupe, artiste, banda,"
        " grupo, gruppo, musicista, muzikant"
    ),
    "house": (
        "house, venue, local, promoter, organizer, organiser, pa, foh, rental, haus, veranstalter, technik, salle,"
        " organisateur, sala, organizador, locale, organizzatore, zaal, organisator"
    ),
}
"""Who brings a thing, in a column that says so; first the word that labels have for it."""

_NO_NAMES = (
    "guest, soloist, gang, crowd, unison, worship, spare, team, group, female, male, girl, boy, host, kids, alt, extra,"
    " centre, stage, harmony, third, second, first, solo, dry, wet, clean, main, sub, rap, scream, shout, growl,"
    " beatbox, handheld, small, big, old, new, stand, table, front, drums, music, gast, gaste, hand, kind, frau, mann,"
    " band, house"
)
"""Words that are no names of people although they stand beside a voice."""


def listed(text: str) -> Iterator[str]:
    """The items of a text that commas part."""
    return (item.strip() for item in text.split(","))


HEAD_FIELDS = {head: field for field, text in HEADS.items() for head in listed(text)}
OUTPUT_NAMES = frozenset(listed(OUTPUT_HEADS))
TITLE_WORDS, INPUT_WORDS, SECTION_NAMES = (
    frozenset(listed(_TITLE)),
    frozenset(listed(_INPUTS)),
    frozenset(listed(_SECTIONS)),
)
LASTING_SECTIONS = frozenset(listed(_LASTING))
SENTENCE_WORDS, NOT_WORDS, NO_NAMES = (
    frozenset(listed(_SENTENCE)),
    frozenset(listed(_NOT)),
    frozenset(listed(_NO_NAMES)),
)
