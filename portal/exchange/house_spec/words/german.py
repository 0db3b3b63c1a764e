"""German. Common practice of the trade, no source."""

WORDS: dict[str, str] = {
    # The inputs and what carries them.
    "box": (
        "stagebox, bühnenkasten, bühnenanschlusskasten, wandkasten, anschlussfeld, anschlusskasten, bodentank,"
        " stageblock, stagerack, stage rack, steckfeld, tonanschlüsse, xlr feld, bühnenbox, anschlussbox,"
        " bühnenanschlüsse, wallbox, anschlusspanel, bühnenanschlussfeld, audioanschlüsse, tonanschlusskasten,"
        " patchfeld, box, kasten, kastl, bühnenkastl, anschlusskasten bühne, steckkasten, stagekiste, kiste,"
        " eingangskasten, bühnenfeld, wandfeld, xlr kasten, eingangsfeld, multicorebox, multicorekopf, corebox,"
        " tonkasten, anschlussplatte, bodendose, i/o box, bühnen io, bühneneinheit, stagecase, patchkasten, tableau,"
        " anschlusstableau, wandtableau, SB"
    ),
    "multicore": (
        "multicore, multicorelänge, tonmulticore, leitungsweg, kabelweg, multi, core, kabelstrecke, multicorestrecke"
    ),
    "sub-box": (
        "subbox, substagebox, drumbox, unterverteiler, subcore, drum box, unterbox, drumcore, satellitenbox, drum core,"
        " zusatzbox, kleiner kasten, satellitenkasten"
    ),
    "input": (
        "eingang, inputs, input, mikrofoneingänge, mikroeingänge, mikrofonleitungen, mikrofonkanäle, mikroleitungen,"
        " tonleitungen, eingangskanäle, rein, mikrofonwege, mikrowege, mikrofonlinien, hinleitungen, hinwege, leitungen"
        " zum foh, leitungen zum pult, mic eingänge, inputkanäle, signalwege, kanäle zum foh, sends, xlr eingang,"
        " mikrokanäle"
    ),
    "output": "ausgang, output",
    "short-in": "in, ins, ein",
    "short-out": "out, outs, aus",
    "return": (
        "return, rückweg, rückleitung, rückspielwege, retour, leitungen zurück, retourleitungen, retourwege, zurück,"
        " rückkanäle, leitungen retour, returnwege, rücklinien, retourlinien, rückwärts, wege zurück, kanäle zurück,"
        " rückspielleitungen, retourkanäle, gegenrichtung, in gegenrichtung, leitungen in gegenrichtung"
    ),
    "channel": (
        "kanal, ch, channel, kan, leitung, linien, plätze am core, wege im core, slot, wege, inputs, pfade, anschlüsse"
        " xlr, kanalig"
    ),
    "input-list": "inputliste, patchliste, kanalliste, input liste",
    "free": (
        "frei, für gastbands, für euch, für bands, verfügbar für, nutzbar, für gäste, übrig, für die band, zur freien"
        " verfügung, für gastproduktionen, bleiben, habt ihr, bekommt ihr, könnt ihr haben, stehen euch, stehen"
        " gastbands, euch bleiben, frei verfügbar, stehen frei, gehören euch, für gastacts, für fremdbands, steht der"
        " band"
    ),
    "kept": (
        "belegt, reserviert, fest belegt, vergeben, gehören, geht für, gehen für, blockiert, für dj, für den dj, für"
        " haus, nicht frei, nicht verfügbar, gesperrt, braucht, liegt drauf, liegen drauf, sind für, ist für,"
        " hausintern, besetzt, nicht anfassen, nicht nutzbar, finger weg, tabu, weg für, geblockt, fix belegt, von uns"
        " belegt, beansprucht, benötigt, vorbehalten"
    ),
    "permanent": (
        "fest belegt, dauerhaft, bleibt gesteckt, bleiben gesteckt, immer gesteckt, fest gesteckt, nicht abstecken,"
        " dauerhaft belegt, bleiben stecken, bleibt stecken, permanent, nicht ausstecken, fix belegt, ständig gesteckt,"
        " nicht umstecken, festverdrahtet, fest verdrahtet, bleibt immer drin, bleiben immer drin, drin lassen, stecken"
        " lassen, gesteckt lassen, bleibt drin, bleiben drin, nicht rausziehen, nicht ziehen, fix gesteckt, dauernd"
        " gesteckt, stehen immer, sind immer gesteckt, immer belegt, fest belegte, nie ausstecken, nicht abziehen, fest"
        " angeschlossen, festinstalliert, dürfen nicht gezogen, verbleiben gesteckt, gesteckt bleiben"
    ),
    "second": "zweite, zweiter, 2te, zusätzliche stagebox, ii, weiterer, weitere, noch ein, noch eine",
    "each": (
        "kanalweise, einzeln, pro kanal, je kanal, kanalgetrennt, für jeden kanal, pro eingang, individuell, je"
        " eingang, separat pro kanal, jeden kanal einzeln, jeder kanal, einzeln pro kanal, separat schaltbar,"
        " einzelschaltung, jeder eingang, jeden eingang, kanalindividuell, je input, pro input"
    ),
    "bank": "bank, block, blockweise, gruppen, gruppe, gruppenweise",
    "bank-of-8": "achterblock, 8er gruppen, achtergruppen, 8er block, 8er bänken, achterbänken, 8er",
    "bank-of-4": "viererblock, 4er gruppen, vierergruppen, 4er block, 4er bänken, 4er",
    "one-switch": (
        "global, zentral, ein schalter, gemeinsam, nur gesamt, alle gemeinsam, alle zusammen, ein einziger schalter,"
        " für alle kanäle, hauptschalter, nur global, nur zentral, nur gemeinsam, für alle, alles auf einmal, alle"
        " eingänge gemeinsam, summarisch, insgesamt, komplett, für die ganze box, gesamte box, alle auf einmal, auf"
        " alle, nur alle zusammen, alle oder keiner"
    ),
    "phantom": "phantom, phantomspeisung, 48v, p48, phantompower, 48 volt, speisung",
    "line-level": "linepegel, line pegel, line level, leitungspegel, line signale",
    "soft": (
        "softpatch, frei patchbar, frei wählbar, soft patch, digital patchbar, frei zuweisbar, frei routbar,"
        " softgepatcht, wird am pult gepatcht, beliebig patchbar, digital gepatcht, frei im pult, patch im pult, im"
        " pult gepatcht, beliebig zuordenbar, frei zuordenbar, frei belegbar, digitales patchen, patch ist frei, patch"
        " frei, frei patchen, frei routen, geroutet, patch digital, beliebig routbar, frei zuzuordnen, beliebig"
        " zuordnen, frei zuordnen"
    ),
    "one-to-one": (
        "1 zu 1, 1:1, eins zu eins, direkt durchgesteckt, 1 auf 1, gleiche nummer, nummerngleich, durchverdrahtet,"
        " gleichen reihenfolge, in gleicher reihenfolge, selben reihenfolge, dieselbe reihenfolge"
    ),
    "fixed-patch": (
        "festpatch, fester patch, hauspatch bleibt, fest gepatcht, patch bleibt stehen, stehender patch, hauspatch"
        " nicht ändern, patch nicht ändern, fixpatch, steht fest, patch fix, kein umpatchen, nicht umpatchen, patch"
        " unverändert, patch ist fix, festes patch, fixer patch, standardpatch bleibt"
    ),
    "splitter": (
        "splitter, aktivsplit, passivsplit, split, signalsplitter, splitbox, aktivsplitter, mikrofonsplitter,"
        " trafosplit, splittsystem, bühnensplit, mikrofonsplit, signalsplit, splitrack, bühnensplitter, aktiver split,"
        " passiver split, trafosplitter, splitterkasten"
    ),
    "accept": "vertragen, verträgt, können, nehmen, geeignet, tauglich, möglich, verarbeiten",
    # Desks, people who mix.
    "desk": (
        "pult, mischpult, konsole, tonpult, digitalpult, mixer, digitalmixer, digitalmischpult, mischer, tisch,"
        " analogpult, mischkonsole, tonmischpult, pultl, mischpultl, digitalkonsole, tonmischer"
    ),
    "front": (
        "foh, foh pult, saalpult, regieplatz, foh platz, regie, tonregie, mischplatz, tonpult, fohpult, hauspult,"
        " pultplatz, saalregie, saalmischpult, front of house, tonplatz, mixplatz, foh mischpult, mischpult saal, saal"
        " pult, von vorne, vorne, pult im saal, f.o.h, mischpult foh, foh mischer, ton regie, frontpult, fronten,"
        " tonpult im saal, regieraum, regiekabine, frontplatz, mixerplatz, mischerplatz, tontisch, publikumspult,"
        " regiepult, saalton, tonkabine, kabine, aus der kabine"
    ),
    "to-front": (
        "zum foh, zum pult, bis foh, bis zum pult, bis zum foh, bis zur regie, zur regie, zum saalpult, zum mischpult,"
        " bühne foh, bühne pult, entfernung bühne pult, abstand foh, foh entfernung, zur tonregie, von foh zur bühne,"
        " bühne regie, weg zum pult, kabel zum pult, bühne mischpult, bühne mischplatz"
    ),
    "monitor-desk": (
        "monitorpult, monitormischpult, monpult, monitorplatz, mon pult, eigenes monitorpult, monitorkonsole,"
        " bühnenpult, mon platz, monitor pult, monitormischer, zweites pult, monitorregie, monitorplatz auf der bühne,"
        " separates monitorpult, zweites mischpult, bühnenmischpult, mon mischer, monitormischplatz, monitor platz,"
        " eigener monitorplatz"
    ),
    "mixing": (
        "mischt, gemischt, mischen, mischen macht, gefahren, fahren, mix, bedient, gemixt, mischung, betreut, fährt,"
        " mixt, gesteuert, läuft über, laufen über, kommt vom, kommen vom, macht den ton, übernimmt, bedient von, gehen"
        " vom, gespeist"
    ),
    "engineer": (
        "tontechniker, haustechniker, techniker, tonmann, toningenieur, tonmensch, haustechnik, tonfrau, foh techniker,"
        " haustontechniker, tonverantwortlicher, tonmeister, tontechnikerin, fachkraft, technikerin, foh mann,"
        " hausmischer, tontechnik, hausmann, hausmensch, haustonmann, haustechnikerin, mischer, tonler, ton techniker,"
        " tonchef, betreuer, tonbetreuung, ehrenamtler, ehrenamtliche, helferin, foh mensch, fohler, hauston, ton"
        " kollege, tonkollege, kollege, tonmädel, tonteam, tonabteilung, abendtechniker, abendtechnikerin, tonoperator,"
        " operator"
    ),
    "visiting": (
        "eigenen techniker, eigener techniker, gasttechniker, eigenen tontechniker, bandtechniker, fremdtechniker,"
        " gastmischer, euer techniker, euren techniker, eigener tontechniker, eigenen tonmann, eigener tonmann, eigenen"
        " mischer, eigener mischer, reisetechniker, tourtechniker, eigenen foh, fremde techniker, eigene techniker,"
        " fremde tontechniker, gast techniker, euer mischer, euer tontechniker, wen dabei habt, jemanden mitbringt,"
        " eigenen menschen, eigener mensch, fremder techniker, eure techniker, eigene tontechniker, mitgebrachte"
        " techniker, gasttontechniker, wer selbst mischt, euer eigener, eigenes personal, eigene leute, fremdpersonal,"
        " bandmischer, gastmischer willkommen, eigene mischer, euren mischer, eigene foh, bringt das ensemble mit,"
        " tontechniker bringt"
    ),
    "self-mix": (
        "mischen macht, wir mischen, mische euch, ton mache ich, ich mach den ton, ton macht, mix macht, ich mache den"
        " ton, mische ich, mischen tut, am ton sitzt, am pult sitzt, ton mach ich, ich misch, mixen tu ich, am pult"
        " steht, mischt der, mischt die, ich sitz am pult, am mischpult sitzt"
    ),
    "provided": (
        "vorhanden, inklusive, inkl, gestellt, verfügbar, stellen, steht bereit, stehen bereit, im preis, zur"
        " verfügung, installiert, eingebaut, enthalten, vor ort, bestand, gibt es, gibt's, haben wir, ist dabei, dabei,"
        " steht zur verfügung, im mietpreis, gehört dazu, stellt das haus, da, inbegriffen, kostenlos, vom haus, ist"
        " da, sind da, anwesend, steht, eingesetzt"
    ),
    "talkback": "talkback, kommandoanlage, kommandoweg, rücksprache",
    "recording": (
        "aufnahme, mitschnitt, stream, streaming, livestream, recording, aufzeichnung, multitrack, übertragung,"
        " aufnahmepult, mitgeschnitten, live stream, aufgezeichnet, videoübertragung, ü wagen, recordingpult,"
        " streamingpult"
    ),
    # What is heard.
    "pa": (
        "pa, beschallung, beschallungsanlage, line array, linearray, hauptsystem, anlage, tonanlage, p a,"
        " saalbeschallung, lautsprecheranlage, frontsystem, topteile, tops, hauptbeschallung, tonsystem,"
        " hauptlautsprecher, frontlautsprecher, saalanlage, saalsystem, lautsprecher, boxen vorne, stacks, säulen,"
        " hauptanlage, bananen, punktquellen, saal pa, gesamtanlage, beschallungssystem"
    ),
    "stereo": (
        "stereo, l/r, links/rechts, links rechts, lr, links und rechts, rechts/links, rechts links, stereofon, in"
        " stereo, stereophon, l+r, l-r, zwei seiten, li/re, re/li"
    ),
    "mono": "mono, monosumme, einkanalig, monofon, in mono, beide seiten gleich, nur mono, monophon, mono gefahren",
    "sub": (
        "sub, subs, subwoofer, basslautsprecher, subweg, bass, bassanlage, basskisten, subbass, bassboxen, subs & tops,"
        " tiefton"
    ),
    "own-send": (
        "eigener aux, eigenen aux, aux weg, separat angesteuert, eigener subweg, separater aux, eigener weg, separaten"
        " ausgang, über aux, separatem weg, getrennt angesteuert, eigenen weg, eigener matrix, auf aux, extra aux, per"
        " aux, separat regelbar, separater weg, eigene matrix, separat gefahren, eigener ausgang, via aux, sub aux, aux"
        " sub, separat ansteuerbar, getrennt ansteuerbar, subaux, auf eigenem aux, eigenem aux, auf matrix, über"
        " matrix, separaten aux, getrennt regelbar, über eigenen, separat, weg für sich, eigenen ausgang, eigener"
        " auxweg, eigenen auxweg, eigene sub gruppe, gruppe, eigener bus, eigenen bus, getrennt, getrennt gefahren,"
        " separat auf, separat gespeist, eigene leitung, für sich, über einen eigenen, extra regelbar, extra weg,"
        " eigene zuspielung, getrennter weg, separatem ausgang, separater ausgang, eigener subaux, per matrix, mit"
        " eigenem aux, mit eigenem weg, eigener send, eigenem send, separat schiebbar, separat zu fahren, gesondert,"
        " separaten auxweg, separatem auxweg, auxweg"
    ),
    "with-mains": (
        "mitlaufen, laufen mit, läuft mit, mit den tops, im summensignal, über weiche, mit der summe, passiv getrennt,"
        " aus der summe, hängen an der summe, kein eigener subweg, in der summe, über die weiche, fullrange, in der"
        " stereosumme, mit der pa, nicht separat, nicht getrennt, aus lr, hängen mit dran, über frequenzweiche, weiche"
        " mit, mit über die weiche, im stereosignal, kriegen das gleiche, gleiches signal, fest getrennt, gekoppelt,"
        " laufen einfach mit, mit in der summe, keine eigene ansteuerung, folgen den tops, folgen der summe, nicht"
        " extra, über systemcontroller, im lr, am lr, aus dem lr, passiv mit, hinter den tops, an den tops"
    ),
    "front-fill": (
        "frontfill, nearfill, nahfeldlautsprecher, nahfeld, infill, front fill, lipfill, nahbeschallung,"
        " kantenlautsprecher, bühnenkantenlautsprecher, frontausfüller, nahfüller, bühnenkanten lautsprecher, nah"
        " fills, near fill, vorne füller, ausfüller vorne, nahbereichslautsprecher, fronts fills"
    ),
    "delay": (
        "delay, delayline, delaylautsprecher, delaytürme, delayzeile, delaysystem, stützlautsprecher,"
        " verzögerungslautsprecher, verzögerte lautsprecher, delay lautsprecher, delayboxen, delaystrecke,"
        " emporenlautsprecher, rangbeschallung, unterrangbeschallung, unterbalkon, delay stacks, rangdelay,"
        " verzögerung, delaytower, verzögerungslinie"
    ),
    "other-fill": "sidefill, drumfill, outfill, side fill, drum fill",
    "monitor": (
        "monitor, monitoring, mon, bühnenmonitore, mons, monitorsystem, monitoranlage, bühnenton, bühnensound,"
        " monitorton, monis, monitorsound"
    ),
    "wedge": (
        "wedge, monitorbox, bodenmonitor, monitorlautsprecher, bühnenmonitor, monitorkeile, floorwedges, floormonitore,"
        " keil, aktivwedges, aktive wedges, passivwedges, bühnenkeile, bodenboxen, floor wedges, schrägen,"
        " bühnenmonitore, wedge monitore, aktivmonitore, aktive monitore"
    ),
    "mix": (
        "weg, wege, wegen, monitorweg, mix, mixe, monitormix, monwege, monitorkreis, auxwege, aux wege, monitorsends,"
        " mon wege, monitorgruppen, monitormischungen, mischungen, monitorkanäle, wegen monitor, monitorsignale,"
        " getrennte mixe, monitorausspielwege, ausspielwege, wedgewege, monitoraux, monitor aux, auxe, monitorausgänge,"
        " aux kanäle, wedge wege"
    ),
    "in-ear": "iem, in ear, inear, in ears",
    # The room and the stage.
    "capacity": (
        "kapazität, kapa, fassungsvermögen, fasst, platzangebot, zuschauer, rein passen, passen rein, besucherzahl,"
        " zuschauerkapazität, besucherkapazität, bestuhlung, passen, personenzahl, max personen, max. personen,"
        " zuschauer max, besucher max, maximal, passen hinein, haben platz, platz für, bietet platz, hält, belegung,"
        " zugelassen, genehmigt, besucher, auslastung, zuschauerzahl, publikum max, gästezahl, stehplätze, platz haben,"
        " gehen rein, kriegen wir rein, finden platz, finden, aufnahmekapazität, zulässige personen"
    ),
    "people": (
        "pers, besucher, gäste, pax, menschen, person, köpfe, mann, leut, personenanzahl, zuseher, zuschauern, zuhörer,"
        " fans, besuchern, nasen, zuschauende, seelen, teilnehmer, publikum"
    ),
    "seat": (
        "sitzplätze, platz, sitzplatz, stühle, sitze, stuhlplätze, sesselplätze, sessel, bestuhlte plätze, bankplätze"
    ),
    "seated": (
        "bestuhlt, reihenbestuhlung, sitzplätze, sitzend, bankett, parlamentarisch, bei bestuhlung, reihenbestuhlt,"
        " sitz, gesetzt, an tischen, sitzkonzert, kinobestuhlung, mit stühlen, mit bestuhlung, tische,"
        " konzertbestuhlung, teilbestuhlt, im sitzen, tischbestuhlung"
    ),
    "standing": (
        "unbestuhlt, stehend, stehplätze, steh, stehkonzert, stehplatz, im stehen, stehen, ohne bestuhlung, ohne"
        " stühle, stehpublikum, stehveranstaltung"
    ),
    "room": (
        "saal, raum, halle, zuschauerraum, club, laden, gewölbe, keller, lokal, kneipe, kirche, scheune, zelt,"
        " gaststätte, veranstaltungsraum, theatersaal, turnhalle, aula"
    ),
    "stage": (
        "bühne, spielfläche, bühnengröße, bühnenfläche, podium, bühnenmaß, bühnengrundfläche, tanzbühne, bühnenmaße b x"
        " t, bühnerl, kleinkunstbühne, bühnenpodium, bühnenraum, bühnenbereich, bühnenboden"
    ),
    "width": (
        "breit, b, bühnenbreite, portalbreite, breit ist, portal, vorne breit, portalöffnung, in der breite,"
        " spielbreite, lichte breite"
    ),
    "depth": "tief, t, bis zur rückwand, in der tiefe, spieltiefe, tiefgang, nutzbare tiefe, bühnentief",
    "height": "hoch, höhe, h, in der höhe, erhöht",
    "stage-height": (
        "bühnenhöhe, podesthöhe, höhe der bühne, höhe bühnenboden, bühnenbodenhöhe, bühnenoberkante, über saalboden,"
        " oberkante bühne, bühne höhe, über boden, über dem boden, über dem saalboden, über parkett, über niveau,"
        " oberkante bühnenboden, vom boden, über dem parkett, bühne liegt, über zuschauerraum, bühnenkante höhe, über"
        " hallenboden, über straßenniveau, überm boden, vom saalboden, podiumshöhe, höhe ab saalboden"
    ),
    "headroom": (
        "lichte höhe, durchfahrtshöhe, deckenhöhe, raumhöhe, lichte, arbeitshöhe, bis unterkante truss, höhe bis decke,"
        " unter traverse, traversenhöhe, lichte bühnenhöhe, unterkante truss, lichthöhe, bis zur decke, bis decke,"
        " kopffreiheit, nutzbare höhe, lichtes maß, bis traverse, bis zur traverse, decke darüber, decke, scheitel, bis"
        " zum scheitel, unterkante decke, bis unter die decke, höhe über bühne, höhe über der bühne, licht h, lichte h,"
        " bis zum grid, bis grid, schnürboden, rigghöhe, riggpunkte, bühne bis decke, hängehöhe, trusshöhe, truss höhe,"
        " unter truss, bis truss, unter der truss, unter der traverse, bis zu den balken, balken, deckenunterkante,"
        " oberkante, freie höhe, bis rig, bis zum rig, maximale aufbauhöhe, max aufbauhöhe, aufbauhöhe, luft, darüber"
        " hat man, kopfhöhe"
    ),
    "riser": (
        "riser, drumriser, schlagzeugpodest, podest, drumpodest, praktikabel, rollriser, bühnenpodeste,"
        " schlagzeugpodium, podestelemente, podesterie, podien, drumpodium, bühnenelement, bühnenteile, rollpodest,"
        " podestplatten, trommelpodest, podestmaterial, riserelemente, podestl"
    ),
    "door": (
        "tor, tür, ladetor, türen, durchgang, tore, rolltor, flügeltür, fahrstuhl innenmaß, kabine, gang, lkw,"
        " durchfahrt, ladetür, einbringöffnung, laderampentor, türbreite, türmaß, laderaum, aufzug maße, kabinenmaß,"
        " liftkabine, einfahrt, garagentor, gasse, hinterhof, fahrkorb, nottür, nadelöhr"
    ),
    "other-room": (
        "garderobe, backstage, catering, parkplatz, foyer, hotel, künstlergarderobe, duschen, übernachtung, tiefgarage,"
        " stellplätze, merch, künstlerraum, aufenthaltsraum, personalraum, crewraum, aufenthalt, schlafplätze, betten,"
        " übernachtungsplätze, gästeliste, essen, abendessen, parken, pkw, busse, duschmöglichkeit, verpflegung,"
        " freikarten, getränke, kühlschrank, sanitäter, ordner"
    ),
    "outdoors": (
        "open air, openair, freiluft, unter freiem himmel, draußen, außenbühne, im freien, freilichtbühne, outdoor"
    ),
    "indoors": "indoor, innen, im saal, innenraum, drinnen",
    "roofed": "überdacht, bühnendach, überdachung, dach",
    "distance": (
        "abstand, entfernung, entfernt, distanz, länge, von der bühne, zur bühne, bis foh, bühnenvorderkante, von"
        " bühnenkante, weg vom, zum foh, zum pult, bis zum pult, kabelweg, bis zum foh, vor der bühne, zur bühnenkante,"
        " bühnenkante, vom bühnenrand, kabelstrecke, weit weg, weit von, in der entfernung, bis bühne, bis zur bühne,"
        " ab bühnenkante, vor bühne, entfernung zur bühne, kabellänge, von der rampe, vom core, entfernung bühne"
    ),
    "left": "links, linke, linker",
    "right": "rechts, rechte, rechter",
    "stage-left": "stage left, sl",
    "stage-right": "stage right, sr",
    "down-left": "dsl, vorne links, downstage left",
    "down-right": "dsr, vorne rechts, downstage right",
    "up-left": "usl, hinten links, upstage left",
    "up-right": "usr, hinten rechts, upstage right",
    "upstage": (
        "bühnenrückwand, bühne hinten, hinten auf der bühne, rückwand, hinten, upstage, hinterer bühnenrand,"
        " hinterkante, bühnenrückseite, rückwand der bühne, bühne mitte hinten, beim schlagzeug, hinterm schlagzeug,"
        " hinter dem schlagzeug, hinterm drumset, hinter den drums, an der hinteren wand, hinter dem drumriser,"
        " bühnenende, rückseite der bühne, us center, usc"
    ),
    "downstage": (
        "bühnenkante, vorderkante, vorne, downstage, bühnenvorderkante, vorderbühne, bühne vorne, vorne mitte, am"
        " bühnenrand, an der bühnenkante, bühnenrand vorne, vorn an der bühne, dsc"
    ),
    "off-stage": (
        "seitenbühne, hinterbühne, neben der bühne, offstage, seitlich der bühne, im off, seitengasse, hinter der"
        " bühne, offstage links, offstage rechts, bühnengang, in der gasse"
    ),
    "audience-view": (
        "vom publikum, publikumssicht, aus zuschauersicht, zuschauersicht, vom foh aus, vom saal aus, blick zur bühne,"
        " aus publikumssicht, vom saal, saalseite, vom zuschauer, zuschauerseite, vom zuschauerraum, vom publikum aus,"
        " aus sicht des publikums, publikumsseitig, blickrichtung bühne, von vorne gesehen, aus dem saal gesehen, aus"
        " publikumsperspektive, foh sicht, aus sicht foh, von foh gesehen, saalansicht, zuschauerperspektive"
    ),
    "performer-view": (
        "sicht vom musiker, musikersicht, aus musikersicht, blick ins publikum, vom musiker aus, künstlersicht,"
        " blickrichtung publikum, aus sicht der band, blick zum publikum, von der bühne aus, sicht ins publikum, vom"
        " drummer aus, vom schlagzeuger aus, mit blick ins publikum, künstlerseitig, aus künstlersicht, von der bühne"
        " gesehen, bühnensicht, aus bühnensicht, mit dem rücken zur rückwand, musikerseitig, aus musikerperspektive,"
        " blickrichtung saal"
    ),
    # Mains.
    "socket": (
        "steckdose, anschluss, dose, abgang, stromanschluss, stromkreis, kreis, kreise, stromkreise, zuleitung,"
        " mehrfachsteckdosen, stromdose, stromabgänge, einspeisungen, stromanschlüssen, steckdosenleiste,"
        " verteilersteckdosen, abgesicherte, dreifachsteckdosen, doppelsteckdosen, steckplätze, wandsteckdosen,"
        " bodendosen strom, dosen auf der bühne, unterverteiler, powerbox"
    ),
    "power": (
        "nimmt den strom, zieht den stecker, strom, stromversorgung, elektrische anlage, stromanschluss, elektro,"
        " stromanschlüsse, energie, bühnenstrom, netz, elektrik, elektroversorgung, elektroanschluss, netzanschluss,"
        " absicherung, spannungsversorgung, energieversorgung, saft, stromkreise bühne, bühne strom, anschlussleistung"
    ),
    "three-phase": (
        "drehstrom, kraftstrom, dreiphasig, 3 phasig, starkstrom, 5 polig, fünfpolig, 3ph, 5pol, 3 phasen, drei phasen,"
        " dreiphasen, 3~, 5p, 3 x 400, drehstromanschluss, kraft, kraftanschluss, 400 v"
    ),
    "one-phase": (
        "wechselstrom, einphasig, 1 phasig, lichtstrom, 3 polig, 1ph, einphasen, 1~, 1 phasen, 230 v einphasig, 3pol"
    ),
    "iec-60309": (
        "cee, ceeform, cee dose, ceekraft, cee kraft, cee rot, cee blau, cee 5 polig, cee steckdose, cee anschluss, cee"
        " abgang"
    ),
    "household": (
        "schuko, schukosteckdose, schuko dosen, schukodosen, lichtsteckdosen, schucko, normal, normale steckdosen,"
        " haushaltssteckdose, haushaltsdosen, schuko steckdosen, schukoleiste, gewöhnliche steckdosen, 230 v"
        " steckdosen, 220 v steckdosen, schuko kreise, schukokreise"
    ),
    "single-pole": "einpolig, einzelpolig, klemmen",
    "supply": (
        "verteiler, verteilung, sicherung, trafo, trenntransformator, stromkreis, verteilerkasten, phase, einspeisung,"
        " unterverteilung, aggregat, kreis, stromverteilung, sicherungskasten, fi, automat, zähler, hauptverteilung,"
        " trafostation, generator, stromquelle, gleiche verteilung, trenntrafo, verteilerkastl, stromkasten,"
        " absicherung, netz, ring"
    ),
    "phase": "phase, selbe phase, eine phase, auf einer phase, gleiche phase",
    "same": (
        "selbe, gleiche, gemeinsamer, gemeinsam, ein verteiler, eine sicherung, derselben, demselben, dieselbe,"
        " gleicher, gleichem, versorgt wird, zusammen, einzige, selber, einem, selbe phase, eine phase, auf einer"
        " phase, gleiche phase, ein und derselbe, einer sicherung, alles auf einer, gleicher verteiler, gleiche"
        " verteilung, eine verteilung"
    ),
    "separate": (
        "getrennt, separat, eigener, eigenes, eigene, separate, eigenen, unabhängige, unabhängig, extra, getrennte,"
        " separater, gesondert, gesonderter, eigenem"
    ),
    "lighting": (
        "licht, lichttechnik, dimmer, lichtpult, beleuchtung, lichtanlage, scheinwerfer, movinglights, lichtstrom,"
        " lichttechniker"
    ),
    "audio": "ton, audio, tontechnik",
    # Limits, times, radio.
    "limit": (
        "limit, grenzwert, pegel, lautstärke, pegelbegrenzung, maximal, max, höchstens, mittelungspegel, pegelgrenze,"
        " schallpegel, leq, laeq, limitiert, lautstärkebegrenzung, nicht über, limitierung, überschreitung,"
        " dauerschallpegel, obergrenze, din 15905, schallschutz, lärmschutz, lautstärkelimit, nicht lauter, zulässig,"
        " beschränkt, darf nicht überschritten, überschreiten, pegelobergrenze, lautstärkegrenze, schallgrenze,"
        " lärmgrenze, schalldruckpegel, dezibel, max laut, db max, richtwert, vorgabe, auflage, behördlich, gemittelt,"
        " mittelung, mittelungszeit, limitiert auf, begrenzt, begrenzt auf, limit ist, maximale lautstärke,"
        " lautstärken, schall, pegellimit, pegelvorgabe, nicht mehr als, immissionsschutz"
    ),
    "limiter": (
        "limiter, pegelbegrenzer, begrenzer, schallpegelbegrenzer, lärmampel, lautstärkewächter, pegelwächter,"
        " soundlimiter, limiteranlage, schallbegrenzer, lärmwächter, lautstärkebegrenzer, pegelwächteranlage,"
        " abschaltautomatik, lärmbegrenzer, abschaltanlage, geräuschwächter, lautstärkeregler automatik"
    ),
    "capable": "leistet, liefert, schafft, maximalpegel der anlage, spitzenpegel, leistung",
    "measured": (
        "gemessen, misst, messort, messpunkt, messmikrofon, messung, messmikro, messposition, sensor, messstelle,"
        " messgerät, messplatz, pegelmesser, schallpegelmesser, messpunkt ist, aufgezeichnet, überwacht, pegelmessung,"
        " messsystem, anzeige hängt, mikro hängt, kontrolliert, protokolliert, hängt am pult, messen"
    ),
    "cuts": (
        "schaltet ab, schaltet aus, schaltet, trennt, kappt, nimmt den strom, nimmt strom, abschaltung, abgeschaltet,"
        " unterbricht, zieht den stecker, haut raus, macht dicht, fliegt, dreht ab, schaltet den strom, strom weg,"
        " strom ab, reißt ab, abgeriegelt, regelt, regelt runter, dreht den saft, saft weg, licht aus, wird abgestellt,"
        " macht aus, stellt ab, abstellen, abschalten, schaltet ihr ab, dreht zu, schaltet die pa, schaltet die anlage,"
        " legt lahm, schmeißt, geschaltet, zieht, stellt die pa ab, dreht die pa"
    ),
    "shows-only": (
        "nur anzeige, reine anzeige, keine automatische abschaltung, eine automatische abschaltung erfolgt nicht,"
        " automatische abschaltung erfolgt nicht, schaltet nicht ab, nur ampel, ohne abschaltung, warnt nur, nur"
        " anzeigend, ohne eingriff, keine abschaltung, nur eine anzeige, zeigt nur, keine automatik, blinkt nur, nur"
        " lämpchen, leuchtet nur, reine messung, nur messung, nichts abgeschaltet, wird nicht abgeschaltet, greift"
        " nicht ein, schaltet nix, schaltet nichts, schaltet nichts ab, nur zur kontrolle, keine zwangsabschaltung, nur"
        " zur information, rein informativ, wird nur angezeigt, geschaltet wird nichts"
    ),
    "ceiling": (
        "saaldecke, decke, im saal, über der tanzfläche, im raum, saalmitte, im publikum, mitte des saals, über dem"
        " publikum, raummitte, an der decke, über dem saal, in der raummitte, publikumsbereich, im zuschauerraum, mitte"
        " saal, über der mitte, über den köpfen, am deckenbalken, über dem parkett, deckenmikro, zeltmitte, hallenmitte"
    ),
    "neighbours": (
        "nachbar, grundstücksgrenze, vor dem fenster, beim nachbarn, immissionsort, nachbarhaus, nachbarschaft,"
        " anwohner, nachbarfenster, fenster des nachbarn, auf der straße, vor dem haus, im freien gemessen, nächste"
        " wohnung"
    ),
    "curfew": (
        "spielende, musikende, ende, schluss, curfew, ende der veranstaltung, feierabend, schluss sein, sperrstunde,"
        " konzertende, leise sein, ende musik, musik aus, musik bis, veranstaltungsende, showende, live bis, ende der"
        " musik, spielschluss, ende live, aus sein, bandende, muss ende sein, pa aus, licht aus, still sein, gespielt"
        " werden, letzter ton, nachtruhe, zapfenstreich, konzert bis, lautes ende, livemusik bis, musikschluss, end of"
        " live, letzter song, letztes lied, ruhe sein, aus die maus, curfew ist, konzertschluss, spielzeit bis, live"
        " musik bis, nach dem konzert ruhe, muss alles aus, stecker raus, ton aus, schicht im schacht, spielen bis,"
        " gespielt wird bis, live ende, ende live musik, ende der lauten, musik nur bis, livebetrieb bis, um muss"
        " schluss, zuende, zu ende, ende spätestens, nachtruhe ab, lautstärke runter, pegel runter, sound aus"
    ),
    "load-in-time": (
        "get in, getin, aufbau ab, load in, ladezeit, einladen ab, anlieferung ab, aufbaubeginn, loadin, zugang ab,"
        " ankunft, eintreffen, aufbau, bühnenzugang, ab wann, get-in ab, load-in ab, aufbau möglich ab, einlass"
        " technik, technikeinlass, ankunft band, treffpunkt, anfahrt ab, ausladen ab, einladen, hausöffnung, halle"
        " offen ab, zutritt ab, saal offen ab, aufbauzeit, getin ab"
    ),
    "other-time": (
        "einlass, beginn, soundcheck, türöffnung, doors, abbau, showbeginn, öffnungszeiten, auftritt, stagetime,"
        " vorband, catering ab, essen um, dienstzeiten, telefonzeiten, kassenöffnung, vorprogramm, hauptact, stage"
        " time, changeover, umbau, umbaupause, türen, tür, bürozeit, erreichbar von, einlass ab, soundcheck ab,"
        " linecheck ab, probe, konzertbeginn, showtime"
    ),
    "access": (
        "anlieferung, zugang, ladeweg, ladezone, entladen, load in, zufahrt, transport, getragen, laden, ladesituation,"
        " be und entladen, beladen, ausladen, reinkommen, einladen, anfahrt, rein geht's, equipment, andienung,"
        " reingetragen, tragen, backline rein, loadin, eingeladen, ausgeladen, reingehen, rein geht, hinein, equipment"
        " rein, zugang bühne, bühnenzugang, zufahrt lkw, ladeweg bühne, transportweg, weg zur bühne, getin,"
        " anlieferweg, zulieferung, ladetür, ausladezone, cases, flightcases, sachen rein, material rein,"
        " hereingetragen, andienen, anlieferer, einfahrt, rein"
    ),
    "level-way": (
        "ebenerdig, barrierefrei, stufenlos, ohne stufen, erdgeschoss, rollbar, niveaugleich, auf bühnenniveau, keine"
        " stufen, schwellenlos, kein treppensteigen, ohne treppe, gleiche ebene, auf einer ebene, auf gleicher höhe,"
        " ebenerdig rein, eben, rollbar rein, niveau bühne, stufenfrei, direkt auf die bühne, bühnenebene, ohne"
        " schwelle, straßenniveau, auf straßenebene, keine treppe"
    ),
    "ramp": "rampe, laderampe, auffahrt, schräge, rampenzugang, ladeschiene, auffahrrampe, schienen, rampe zur bühne",
    "stairs": (
        "treppe, stufe, treppenhaus, keller runter, stiege, stiagn, treppauf, treppab, wendeltreppe, stufen runter,"
        " stufen rauf, treppenstufen, kellertreppe"
    ),
    "lift": (
        "lastenaufzug, aufzug, fahrstuhl, lift, lastenlift, warenaufzug, hebebühne, lastenfahrstuhl, bühnenaufzug,"
        " plattformlift, hubpodium, hubtisch, scherenhebebühne, personenaufzug, warenlift, güterlift, güteraufzug"
    ),
    "no-lift": "kein aufzug, kein lift, kein fahrstuhl, kein lastenaufzug",
    "public": "rollstuhl, publikum, für besucher, rollstuhlfahrer, gästeeingang",
    "radio-mic": (
        "funkmikrofon, handsender, handfunken, funkmikro, taschensender, drahtlose mikrofone, drahtlose handmikrofone,"
        " drahtlosmikrofon, drahtlose mikros, funkhandsender, handfunkmikros, funkmikrophone, headsets, funkheadsets,"
        " funkhandmikros, drahtlosmikros, drahtlose handsender, kopfbügel, kopfbügelmikros, drahtloshandsender,"
        " funkstrecken handheld, handhelds, funkstrecken hand"
    ),
    "wireless": (
        "funk, drahtlos, funkstrecke, drahtlosanlagen, funkfrequenzen, funkanlagen, frequenz, wireless,"
        " drahtlosstrecken, frequenzbereich, sender, drahtlossysteme, drahtlostechnik, drahtlose technik, funktechnik,"
        " hf, funksysteme, sendefrequenzen, trägerfrequenzen, funkmikros frequenzen, drahtlose systeme, sendestrecken,"
        " frequenzbänder, hf technik, funkkanäle"
    ),
    "coordinates": (
        "koordination, koordiniert, frequenzkoordination, anmelden, anzumelden, abstimmen, frequenzabsprache,"
        " frequenzplanung, abzustimmen, vergibt, absprache, frequenzvergabe, koordinieren, frequenzen vergibt,"
        " koordinator, abgestimmt, sprechen, mit sprechen, rücksprache mit, frequenzen mit, frequenzen bitte,"
        " frequenzen vorher, frequenzen abklären, abklären, abklären mit, frequenzliste an, frequenzen an,"
        " frequenzmanagement, weist zu, zugewiesen, zuweist, zugeteilt, teilt zu, frequenzzuweisung,"
        " frequenzabstimmung, macht die frequenzen, plant die frequenzen, frequenzen plant, frequenzen melden, melden"
        " bei, abgesprochen, hf koordination, frequenzen koordiniert, funkkoordination, teilt, zuteilt"
    ),
    "forbidden": (
        "verboten, nicht erlaubt, untersagt, gesperrt, nicht zulässig, meiden, nicht benutzen, darf nicht, nicht"
        " gestattet"
    ),
    # What can be lent, who is there.
    "di": "di, dis, di box, dibox, di's, di-kisten, d i boxen, direktboxen",
    "mic": (
        "mikrofon, mikro, mic, mics, mikrophone, gesangsmikrofone, gesangsmikros, handmikrofone, mikrofonkoffer,"
        " mikrofonpaket, mikrofonset, sprechmikrofone, standardmikrofone, mikrofonauswahl, mikrofonbestand,"
        " instrumentenmikrofone, mikrofonie, mikrofonierung, mikrosatz"
    ),
    "stand": (
        "stativ, mikrofonstative, mikrofonständer, ständer, mikrostative, mikroständer, galgenstative, galgen,"
        " galgenständer, mikrofon stative, mic stands, stativ klein, stativ groß, galgen stative, mic ständer,"
        " mikrogalgen, tischstative, boomstands, mikrofongalgen"
    ),
    "dynamic": "dynamisch",
    "condenser": "kondensator, kondenser",
    "active": "aktiv",
    "passive": "passiv",
    "tall": "große, hohe, groß, lang, lange, hoch",
    "short": "klein, kurz, niedrige",
    "crew": (
        "unser personal, hauspersonal, haustechnik, unsere techniker, bühnencrew, helfer, unsere crew, hauscrew, unsere"
        " leute, stagehand, bühnentechniker, unser team, hausteam, hände, stage hands, helfer vor ort, local crew,"
        " bühnenhelfer, haustechnikteam, stagecrew, bühnenpersonal, technikcrew, unsere bühnencrew, unsere"
        " haustechniker, personal des hauses, das haus, hausmannschaft"
    ),
    "band-crew": (
        "band steckt, bands stecken, ihr steckt, steckt die band, stecken die bands, band verkabelt, ihr verkabelt"
    ),
    "plugs": (
        "stecken, steckt, verkabeln, verkabelt, verkabelung, gesteckt wird, stecken übernimmt, patcht, aufstecken,"
        " anstecken, steckt auf, aufgelegt, legt auf, verkabelung übernimmt, gepatcht wird, verkabelt die bühne,"
        " einstecken, anschließen, schließt an, steckarbeiten, bühnenverkabelung, verkabelung der bühne, patchen,"
        " patcht die bühne, verstöpselt"
    ),
    "sound-check": "soundcheck, sound check, soundchecks, tonprobe, soundprobe, check",
    "line-check": "linecheck, line check, nur linecheck, kurzer linecheck, fliegender wechsel, lediglich linecheck",
    "technical-role": (
        "technische leitung, technischer leiter, haustechnik, veranstaltungsleitung, technik, produktionsleitung,"
        " technischer ansprechpartner, veranstaltungstechnik, bühnenmeister, technikchef, tonabteilung, leiter ton,"
        " leitung ton, tontechniker, frequenzkoordinator, haustechniker, technikleitung, produktionsbüro, techn"
        " leitung, tl, technikbüro, tonmeister, technikteam, ton, technikchefin, technischer kontakt, techn leiter,"
        " leitung technik, technikverantwortlicher, technik kontakt, meister, meister für veranstaltungstechnik,"
        " technik vor ort, ton verantwortlich, verantwortlicher techniker, hausmeister technik, leitung haustechnik,"
        " techniker vom dienst, funkbeauftragter, betriebstechnik, stagemanager, stage manager, produktionsleiter,"
        " technische produktionsleitung, technische ansprechperson, technische fragen, hauptverantwortlicher technik,"
        " technikabteilung, chef technik, cheftechniker, tonchef, betriebsleiter technik, produktion, rf büro,"
        " frequenzbüro, abendtechniker"
    ),
    "contact": (
        "kontakt, ansprechpartner, ansprechpartnerin, ansprechperson, rückfragen, fragen, kontaktperson,"
        " technikkontakt, verantwortlich, ansprechpartner technik, fragen zur technik, wer fragen hat, erreichbar,"
        " auskunft, infos, meldet euch bei, melden, anrufen, ruf an, ansprechbar, telefonisch, kontakt technik, bei"
        " problemen, zuständig"
    ),
    "phone": "telefon, tel, mobil, handy, fon, mobilnummer, handynummer, durchwahl, funktelefon, t, m",
    "other-office": (
        "vermietung, booking, kasse, veranstalter, presse, verwaltung, gastronomie, programm, büro, buchung,"
        " hausmeister, geschäftsführung, disposition, sicherheit, notruf, zentrale, marketing, thekendienst,"
        " pressestelle, ticketing, tickets, abendkasse, vorverkauf, gastro, barchef, barteam, catering kontakt, licht,"
        " lichttechniker, booker, künstlerbetreuung, intendanz, vorstand, verein, sekretariat, vermietungsbüro,"
        " saalvermietung, buchhaltung, catering, notfall, feuerwehr, security, wirt, wirtin"
    ),
    "greeting": (
        "gruß, viele grüße, lg, beste grüße, liebe grüße, vg, mfg, mit freundlichen grüßen, freundliche grüße, schöne"
        " grüße, bis dann, bis dahin, gruesse, viele gruesse, cheers, ciao, tschüs, bis denne, hau rein, servus, pfiat"
        " eich, pfiat euch, baba, gruß und kuss, bis bald, bis samstag, sg, herzliche grüße, herzlich, ahoi, danke,"
        " danke euch, dank euch, vielen dank, cheerio, bussi, peace, adieu, bis später, wir freuen uns, schönen gruß,"
        " merci, grüessli, grüße aus"
    ),
    "red": "rot, rote, roter",
    "blue": "blau",
    "from": "vom, von, über, aus, von vorne, aus dem, ab, durch",
    "music": (
        "musik, live, konzert, lärm, ton, laut, sound, band, gespielt, spielen, auftritt, musikbetrieb, livemusik, live"
        " musik, darbietung, verstärkte musik, verstärkt, konzertbetrieb, pegel, lautstärke, party, gig, gigs, show"
    ),
    "ends": (
        "ende, endet, aus, schluss, stopp, stop, vorbei, fertig, beendet, leise, endgültig, spätestens, zu ende,"
        " feierabend, runter, leiser, zu, ruhig, still, aufhören, hört auf, sense, abschluss, zapfenstreich, ab dann"
    ),
    "house-use": (
        "dj, djs, moderation, ansage, zuspielung, hausmikro, plattenspieler, moderator, pausenmusik, hintergrundmusik,"
        " durchsage, ansagemikro, conferencier, rednerpult, zuspieler, hausdj, haustechnik mikros, redner,"
        " sprechstelle, laptop haus, beamer, videoton, bingo, quiz, karaoke, kinoton, atmo mikros, atmomikros,"
        " haussprecher, haus mikros, hausfunk, funkmikros vom haus, stream, saalmikros, talkback mikro, einrufanlage,"
        " moderationsmikro, kasse, barmusik, jukebox, orgelmikros, pfarrer, chor, hausband, dj pult, dj tisch"
    ),
    "patch": "patch, patchen",
    # Small words.
    "is": (
        "ist, sind, beträgt, hat, haben, misst, besitzt, umfasst, liegt bei, gibt es, stehen, steht, haben wir, habn,"
        " hamma, bleiben, zählt, verfügt über, bietet, lautet, ergibt, macht, hom, ham"
    ),
    "per-side": "je seite, jede seite, pro seite, beidseitig, auf jeder seite, links und rechts je",
    "effects": "hall, effekt, fx, reverb",
    "not": (
        "nicht frei, nicht verfügbar, kein, nicht, ohne, nein, keinerlei, weder, fehlanzeige, entfällt, nix, nie, nö,"
        " fehlt, fehlen, defekt, kaputt, gibt's nicht, nicht da, net, ned, koa, ka, ohne eigenen, negativ, mangels,"
        " unmöglich, niemand, niemals, nimmer"
    ),
    "or": "oder, noch, bzw",
    "and": "und, mit, aber, sowie, doch, jedoch, dafür",
    "yes": "ja, jep, klar, jo, jawohl, freilich, natürlich, jap, sicher, yep, yes, selbstverständlich",
    "maybe": (
        "auf anfrage, bei bedarf, falls, nach absprache, eventuell, evtl, vielleicht, möglicherweise, glaub, auf"
        " wunsch, optional, kann gemietet, mietbar, zumietbar, wenn nötig, normalerweise, in der regel, nach"
        " vereinbarung, wohl, ggf, zubuchbar, wer einen, darf gerne, wenn ihr, könnte, vermutlich, wahrscheinlich,"
        " kann gestellt, kann dazu, extra berechnet, hoffentlich, bei rechtzeitiger anmeldung, anmietbar, zumieten,"
        " wenn das wetter, weiß nicht, keine ahnung, gegen gebühr, kostenpflichtig, angeblich, theoretisch, geplant,"
        " sollte, zur not, müsste, zumietung, auf vorbestellung, gegen miete, anmietung, zugemietet, schätze, denke,"
        " dürfte, besorgen, ausleihen, wenn gewünscht, wenn benötigt, kann man, lässt sich, organisierbar, leihweise,"
        " meistens, manchmal, so 7-8, grob, schätzungsweise, könnten wir, können wir, mieten, kann organisiert, wer"
        " mag, bei schönem wetter, bei gutem wetter, falls vorhanden, samma gwohnt, wer will, gern gesehen,"
        " willkommen, nach rücksprache, auf nachfrage, möglich wäre, hängt ab, je nach, kommt drauf an, nach aufwand,"
        " bestellen, vorbestellen, voranmeldung, in planung, demnächst, momentan, zurzeit, zeitweise, nicht sicher,"
        " unklar, ungeprüft, evt, entgelt, aufpreis, separat berechnet, anfragen, auf abruf, besorgt, müsst ihr"
        " fragen, fragt, so ungefähr, außer, ausgenommen, bis auf, früher, ehemals, bis vor kurzem, bisher, alte,"
        " altes, alter"
    ),
    "bring": (
        "mitbringen, mitzubringen, bringt, von der band, bringen, mitgebracht, selber mitbringen, mitbringts, bringts"
        " mit, bitte selbst, muss die band, mit dabei haben, band bringt, stellt die band, eigene mitbringen, selbst"
        " stellen"
    ),
    "only": "nur, lediglich, ausschließlich, bloß, einziger, einzige, einzigen, genau, einzelner, einzelne",
    "approx": "ca, circa, etwa, ungefähr, rund, zirka, gut, so, bis zu, max, knapp, ungef, an die, rd, maximal",
    "oclock": "uhr",
    "midnight": "mitternacht",
    "half": "halb",
    "half-hour": "halb",
    "minute": "min, minute, minütig, min mittelung, minuten mittelung, minutenwert",
    "metre": "m, meter, mtr",
    "centimetre": "cm, zentimeter",
    "millimetre": "mm",
    "foot": "fuß",
    "inch": "zoll",
    "ampere": "a, ampere, amp",
    "times": "x, mal, stück à, stk",
    "by": "x, auf, mal, à",
    "to": "bis, zu, und",
    "piece": "stück, stk, st, stck, mal, nr, anzahl, exemplare, stückzahl",
    "working": "unabhängige, unabhängigen, getrennte, getrennten, separate, eigene, aktive wege, symmetrische, xlr",
    "dozen": "dutzend",
    "size-word": "maß, größe, abmessung, grundmaß",
    "first": "erste, die ersten",
    "quarter-hour": "viertelstunde",
    "full-hour": "stundenmittel, stundenmittelwert",
    "n-thousand": "tausend",
}
