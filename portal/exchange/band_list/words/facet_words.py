"""Words of a label that say where, how, whose and what for, beside what is named. Common practice, no source."""

FACETS: dict[tuple[str, str], str] = {
    (
        "inside",
        "in",
    ): "in, inside, innen, inner, dentro, dedans, boundary, beater, binnen, interno, interieur, interior",
    (
        "inside",
        "out",
    ): "out, outside, aussen, outer, fuori, dehors, port, reso, resonant, hole, buiten, esterno, exterieur, exterior",
    ("inside", "top"): "top, tp, oben, up, upper, over, dessus, sopra, arriba, batter, boven, t / b, t & b, t + b",
    (
        "inside",
        "bottom",
    ): "bottom, btm, bot, bttm, below, unten, lower, dessous, sotto, abajo, under, bt, onder, t / b, t & b, t + b",
    ("inside", "front"): "front, vorne, front face, avant, devant, delante, davanti, voor, frontale, face, front port",
    ("inside", "rear"): "rear, back, hinten, arriere, derriere, detras, dietro, achter, retro, behind",
    (
        "inside",
        "floor",
    ): "floor, ft, stand tom, floor tom, floortom, standtom, timbal base, tom basse, timpano, vloertom",
    ("inside", "rack"): "rack, mounted, hange, rack tom, racktom, hangetom, timbal aereo, hangtom",
    ("rank", ""): "low, lo, high, hi, mid, middle, medium, small, large, tief, hoch, mittel",
    ("side", "left"): "l, ohl, left, links, lft, li, gauche, izquierda, izq, izqda, izda, sinistra, sx, lh",
    ("side", "right"): "r, ohr, right, rechts, rgt, re, droite, derecha, dcha, dcho, drcha, destra, dx, rh",
    ("side", "middle"): "c, center, centre, mitte, ctr",
    ("stereo", "stereo"): "stereo, st, lr, l r, left right, pair, paar, st pair, stereo pair, xy, ortf, estereo",
    ("stereo", "mono"): "mono",
    ("place", "stage left"): "sl, stage left",
    ("place", "stage right"): "sr, stage right",
    (
        "place",
        "stage centre",
    ): "sc, stage centre, stage center, dsc, usc, ds, us, msc, downstage, upstage, upstage centre, downstage centre",
    ("place", "stage left, front"): "dsl, dcl, downstage left",
    ("place", "stage right, front"): "dsr, dcr, downstage right",
    ("place", "stage left, back"): "usl, ucl, upstage left",
    ("place", "stage right, back"): "usr, ucr, upstage right",
    (
        "role",
        "lead",
    ): (
        "lead, hauptstimme, hoofdzang, ld, main, haupt, leadvocal, principal, principale, solista, lvox, lv, ldv, lead"
        " singer, hauptgesang, leadgesang, hoofd"
    ),
    (
        "role",
        "backing",
    ): (
        "backing, achtergrondzang, zweitstimme, choeur, backing vocal, bv, bgv, bkv, background, back, backup, bg, bk,"
        " bck, bkg, bkgd, harmony, harm, bvox, backings, choeurs, coros, cori"
    ),
    (
        "capture",
        "di",
    ): (
        "di, dis, di box, dibox, direct, direct box, d i, pickup, pick up, piezo, tonabnehmer, pastilla, cellule,"
        " trasduttore, contact pickup, boite de direct, caja directa, caja de inyeccion, boite directe"
    ),
    (
        "capture",
        "di-active",
    ): (
        "active di, aktive di, di active, di aktiv, di ( active ), di ( aktiv ), di activa, di attiva, di actief,"
        " actieve di, active di box, aktive di box"
    ),
    (
        "capture",
        "di-passive",
    ): (
        "passive di, passiv di, passive di box, di passive, di ( passive ), di passiv, di pasiva, di passiva, di"
        " passief, passieve di"
    ),
    (
        "capture",
        "line",
    ): (
        "line, line out, linea, ligne, lijn, klinke, salida de linea, uscita linea, sortie ligne, direct out, xlr out,"
        " xlr, jack, fx out, out line, minijack, rca, xlr line, line in, xlr direct out, di out"
    ),
    (
        "capture",
        "mic",
    ): (
        "mic, mike, microphone, mikro, mikrofon, micro, mikrofonierung, microphono, microfono, abgenommen, clip mic,"
        " clip on mic, contact mic, clip mikro, clip mikrofon, microfoni, microfonos, micros, mikrofone, mikros,"
        " microfoons, gooseneck, schwanenhals, mics, microfoon, boundary, boundary mic, grenzflache, handheld, hand"
        " held"
    ),
    ("capture", "mic dynamic"): "dynamic, dyn, dynamisch, dynamic mic, dynamique, dinamico, dinamica",
    (
        "capture",
        "mic condenser",
    ): (
        "condenser, cond, kondensator, condensateur, condenser mic, small diaphragm, large diaphragm, statique,"
        " condensador, condensatore, condensator, electret, elektret"
    ),
    ("capture", "mic ribbon"): "ribbon, ribbon mic, bandchen, ruban, cinta, nastro",
    (
        "capture",
        "wireless",
    ): (
        "wireless, radio mic, radiomic, funk, funkmikrofon, ansteckmikrofon, microfono inalambrico, radiomicrofono,"
        " radiomicrofoni, micro hf, micro cravate, dasspeldmicrofoon, draadloze microfoon, drahtlos, handheld radio, rf"
        " mic, headset, hf, diadema, petaca, archetto, serre tete, kopfbugel, sans fil, inalambrico, funkmikro, radio,"
        " lavalier, lav, bodypack, draadloos, senza fili"
    ),
    (
        "phantom",
        "yes",
    ): (
        "48 v, 48 volt, phantom, phantom power, phantomspeisung, p 48, phantom yes, with phantom, fantome, fantasma,"
        " fantoom, fantoomvoeding"
    ),
    ("phantom", "no"): "no phantom, no 48 v, without phantom, phantom no, ohne phantom, 48 v off, phantom off",
    ("owner", "house"): "house, venue, provided by venue, from house, supplied by venue, house mic, by promoter",
    ("owner", "band"): "own, our own, own mic, eigenes, eigene, band s, band mic, brings own",
    (
        "optional",
        "yes",
    ): (
        "optional, opt, if needed, if required, if available, bei bedarf, if possible, maybe, optionnel, evtl,"
        " eventuell, si necesario, si besoin, se serve, indien nodig"
    ),
    (
        "none",
        "spare",
    ): (
        "spare, open, empty, unused, free, frei, leer, reserve, blank, not used, n a, n / a, libre, vide, n c, nc,"
        " libero, vuoto, vacio, vrij, leeg, reserva, riserva"
    ),
    (
        "none",
        "return",
    ): "fx, effect, effekt, reverb, delay, echo, hall, return, rtn, ret, retour, fx return, wedge, monitor, iem, foh",
    (
        "player",
        "",
    ): (
        "player, drummer, bassist, guitarist, gitarrist, keyboarder, keyboardist, spieler, vocalist, musician,"
        " saxophonist, schlagzeuger, batteur, baterista, batterista, guitariste, guitarrista, chitarrista, bassiste,"
        " bajista, bassista, tastierista, teclista, pianist, violinist, trumpeter"
    ),
    ("leader", ""): "leader, bandleader, worship leader, frontman, frontwoman, front man, front woman, front person",
    ("turns", ""): "pedal, machine, effects, fx send, mix, submix, effekte, wing, area, feed",
    ("split", ""): "or, oder, ou, and, und, et, y, e, en, o",
}
"""Words that say where, how, whose and what for. A word may also stand among those that name a kind:
``backing`` names a vocal and says which.
"""
