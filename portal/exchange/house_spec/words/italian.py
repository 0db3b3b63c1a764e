"""Italian. Common practice of the trade, no source."""

WORDS: dict[str, str] = {
    # The inputs and what carries them.
    "box": (
        "stagebox, ciabatta, cassetta di palco, pozzetto, patch di palco, box di palco, cassetta palco, ciabatta audio,"
        " pannello di palco, rack di palco, patch palco, scatola di palco, ciabatte, pozzetti, cassetta, cassette,"
        " cassetta di scena, cassetta audio, cassettone, box palco, stage, patchbay, torretta audio, scatola, pannello,"
        " cassetta multipolare, box ingressi, punto di raccolta, cassetta a parete, patch"
    ),
    "multicore": "multicore, frusta, multipolare, fruste, snake, multicavo, cavo multi, stesa, cavo audio",
    "sub-box": (
        "sub stage box, satellite, sottociabatta, ciabatta batteria, ciabattine, ciabattina, substage, sotto ciabatta,"
        " cassetta ausiliaria, cassetta secondaria, ciabatta secondaria, cassettine, box secondario, frustini,"
        " frustino, cassettina, ciabatta piccola, sottocassetta, ciabatte secondarie, sub box"
    ),
    "input": (
        "ingresso, ingressi, input, inputs, ingressi microfonici, ingressi mic, entrate, preamplificatori, pre"
        " microfonici, canali microfonici, linee microfoniche, ingressi palco, mandate al mixer, linee verso regia,"
        " linee al mixer, ingressi xlr, linee in andata, andata, andate, linee mic, invii, canali verso regia, ingressi"
        " in regia, canali in andata"
    ),
    "output": "uscita, uscite, output, outputs",
    "short-in": "in, ins",
    "short-out": "out, outs",
    "return": (
        "ritorno, ritorni, linee di ritorno, return, returns, ritorni di linea, linea di ritorno, rit, ritorni al"
        " palco, linee in ritorno, ritorni xlr, ritorni verso il palco, ritorni da regia, linee ritorno, ritorni in"
        " palco, di ritorno, in ritorno"
    ),
    "channel": "canale, canali, linea, linee, ch, vie, coppie, canali disponibili, coppia",
    "input-list": "lista canali, channel list, input list, patch list",
    "free": (
        "libero, liberi, libere, disponibili per, a disposizione della band, per voi, restano, per la band, per le"
        " band, rimangono, per i gruppi, utilizzabili, per il gruppo, a vostra disposizione, ne avete, avete, ve ne"
        " restano, liberi per, sono vostri, sono vostre, disponibili, utilizzabile, lasciamo, a voi, per il vostro, per"
        " gli ospiti, per le produzioni ospiti, disponibile per, per gruppi ospiti"
    ),
    "kept": (
        "occupato, occupati, riservato, riservati, occupate, riservate, usati da, in uso, assegnati, bloccati,"
        " dedicati, utilizzati da, impegnati, riservata, sono per, è per, servono per, usate da, impegnate, li usa, le"
        " usa, usiamo, non toccare, non si toccano, sono del, sono della, è del, destinati, destinate, a uso interno,"
        " uso interno, riservati a, non disponibili, assegnate, tenuti, teniamo, ci servono, servono a noi, dedicate,"
        " presi, prese dal, preso, sono occupati, indisponibili, di servizio"
    ),
    "permanent": (
        "sempre collegati, fissi, sempre collegate, non scollegare, permanentemente, in permanenza, restano collegati,"
        " sempre patchati, fisse, rimangono collegati, non si scollegano, sempre cablati, sempre inseriti, restano"
        " attaccati, sempre attaccati, non staccare, da non scollegare, lasciare collegati, lasciare inseriti, lasciati"
        " collegati, sempre inserite, permanenti, permanente, fissa, fisso, non vanno scollegati, non vanno staccati,"
        " non devono essere scollegati, sempre connessi, sempre montati, restano inseriti, restano sempre, rimangono"
        " sempre, lasciateli, non spostare, stabilmente, non staccarlo, non staccarli, non staccarle"
    ),
    "second": "seconda, secondo, 2a, altra, altro, ausiliaria, secondaria, n. 2, ii",
    "each": (
        "per canale, singolarmente, singola, canale per canale, individuale, indipendente per canale, singolarmente per"
        " canale, ogni canale, per ogni canale, individualmente, per ingresso, per singolo ingresso, per singolo"
        " canale, ingresso per ingresso, singolo, singoli, singoli canali, su ciascun ingresso, su ogni ingresso,"
        " ciascun canale, indipendente, indipendentemente, individuale per canale, canale x canale, canale singolo, uno"
        " per uno"
    ),
    "bank": "banco, banchi, blocco, blocchi, gruppo, gruppi",
    "one-switch": (
        "generale, globale, un solo interruttore, per tutti i canali, tutti insieme, interruttore unico, unico"
        " interruttore, un unico tasto, un solo tasto, su tutti i canali, tutti i canali insieme, unico su tutti, su"
        " tutti, unico, un pulsante, tutti assieme, in blocco, tutto insieme, o tutti o nessuno, solo generale, per"
        " tutta la ciabatta, per tutta la stage box, per tutti, collettivo, complessivo, unico per tutti,"
        " simultaneamente"
    ),
    "phantom": (
        "phantom, alimentazione phantom, 48v, p48, 48 volt, alimentazione microfoni 48v, alimentazione 48v,"
        " alimentazione fantasma"
    ),
    "line-level": (
        "livello linea, segnali di linea, livello di linea, segnale linea, segnali linea, livelli di linea, livello"
        " line"
    ),
    "soft": (
        "soft patch, patch libero, patch digitale, softpatch, patch via software, patchabile liberamente, liberamente"
        " patchabile, liberamente patchabili, patch software, patch nel mixer, si patcha in digitale, si patcha sul"
        " mixer, instradamento libero, patch via mixer, assegnabili, instradabile, instradabili, patch completamente"
        " digitale, routing libero, patch in digitale, patch assegnabile, assegnare liberamente, assegnare liberamente"
        " i canali"
    ),
    "one-to-one": (
        "1 a 1, 1:1, uno a uno, diretto 1 a 1, diretto, uno ad uno, numero per numero, stesso numero, 1 ad 1,"
        " corrispondenza diretta"
    ),
    "fixed-patch": (
        "patch fisso, patch della casa, patch residente, patch non modificabile, il patch non si tocca, patch bloccato,"
        " patch residente fisso, non ripatchare, patch da non modificare, patch non si cambia, non modificare il patch,"
        " patch immutabile, il patch resta, niente ripatch, il patch è fisso"
    ),
    "splitter": "splitter, split, splittaggio, partitore, partitori, sdoppiatore, separatore",
    "accept": (
        "accettano, accetta, supportano, reggono, accettati, accettate, ammessi, ammesso, supportati, vanno bene,"
        " tollerano, possibili"
    ),
    # Desks, people who mix.
    "desk": (
        "mixer, console, banco, consolle, banco mixer, mixer audio, tavolo, banco audio, mixerone, banchi, mixers,"
        " mixerino, banco digitale, consolle audio"
    ),
    "front": (
        "foh, mixer di sala, regia, mixer foh, regia audio, console foh, console di sala, postazione foh, regia foh,"
        " postazione mixer, sala regia, mixer sala, regia di sala, banco foh, banco di sala, postazione audio,"
        " postazione regia, console principale, postazione di regia, regia in sala, mixer in sala, banco regia,"
        " postazione, consolle di sala, mixer principale, banco principale, console regia, posizione mixer, regia foh"
        " in sala, postazione fonica, postazione mix, postazione di mixaggio, torretta regia, fonica, consolle foh,"
        " mixer davanti"
    ),
    "to-front": (
        "fino alla regia, fino al mixer, palco regia, palco foh, palco mixer, regia palco, mixer palco, alla regia, al"
        " mixer, fino al foh, fino a regia, dal palco alla regia, dal palco al mixer, dal proscenio alla regia, al"
        " banco, alla postazione, palco banco, distanza regia, distanza mixer"
    ),
    "monitor-desk": (
        "console monitor, mixer monitor, mixer palco, regia monitor, banco monitor, mixer di palco, postazione monitor,"
        " mixer dedicato ai monitor, console di palco, seconda console, secondo mixer, mixer dedicato, banco per i"
        " monitor, console dedicata ai monitor, postazione monitor in palco, regia di palco, monitor engineer, mixer"
        " per i monitor, console per i monitor, banco monitor dedicato, regia palco"
    ),
    "mixing": (
        "mix, gestiti, gestito, fatti, mixati, mixa, missaggio, fatto, mixato, dal, dalla, pilotati, controllati, si"
        " fanno, si gestiscono, segue, serviti, comandati, comandate, comandato, mixate, fatte, fatto dal, fatti dal,"
        " gestite, controllate, escono, partono, si mixano, gestito dal, regolati, li facciamo, si mixa, mixati da,"
        " curato, cura, lo usa, manda"
    ),
    "engineer": (
        "fonico, tecnico audio, fonico residente, fonico di sala, tecnico del suono, tecnico, fonica, fonici, fonico di"
        " casa, fonico interno, tecnici, service, fonico del teatro, fonico del locale, fonico di servizio, tecnico di"
        " sala, tecnico fonico, tecnici audio, operatore audio, operatore, fonico nostro, nostro fonico, volontario,"
        " volontari, fonico foh, tecnico del locale, tecnico di servizio, addetto audio, sound engineer, il fonico"
    ),
    "visiting": (
        "vostro fonico, fonico della band, proprio fonico, fonico al seguito, vostro tecnico, fonico ospite, fonico"
        " esterno, fonico vostro, un fonico vostro, fonici ospiti, fonico di tour, avete il vostro fonico, vostri"
        " fonici, portate il fonico, portate un fonico, fonico personale, fonico della compagnia, tecnico vostro,"
        " fonici esterni, fonici al seguito, tecnici ospiti, fonico proprio, proprio tecnico, con il vostro fonico,"
        " portate il vostro, fonico del gruppo, un vostro fonico, fonici ospiti benvenuti, ospiti benvenuti"
    ),
    "self-mix": (
        "faccio io, il suono lo faccio io, faccio io il suono, al mixer ci sono io, al mixer sto io, il fonico sono io,"
        " mixo, al mixer io, il suono lo curo io, curo io il suono, vi sonorizzo io, sto io al mixer, al banco ci sono"
        " io, faccio i suoni, sono io il fonico, di solito mixo, i suoni li faccio, i suoni li fa, al mixer c'è, vi"
        " mixa, vi mixerà, mixa il, sono io al mixer"
    ),
    "provided": (
        "presente, presenti, incluso, disponibile, fornito, compreso, disponibili, residente, installato, inclusi,"
        " compresi, in dotazione, forniti, interno, a disposizione, c'è, ci sono, compreso nel noleggio, compresa,"
        " comprende, messo a disposizione, messi a disposizione, assicurato, garantito, previsto, interna, interni, è"
        " incluso, è compreso, mettiamo, mette, fornita, fornite, di servizio, in loco, disponiamo, si occupa, segue la"
        " serata, sempre presente"
    ),
    "talkback": "talkback, talk back, interfono, microfono di servizio, interfono/talkback, citofono",
    "recording": (
        "registrazione, streaming, stream, diretta, multitraccia, ripresa, registriamo, registra, si registra,"
        " streaming video, diretta video, riprese, registrazioni, multitrack"
    ),
    # What is heard.
    "pa": (
        "pa, impianto, impianto audio, sistema, diffusione, impianto di diffusione, casse, main system, sistema l-r,"
        " diffusori, casse principali, array, line arrays, teste, satelliti, cluster, p.a, impianto di sala, sistema di"
        " sala, frontali di sala, diffusori frontali, impianto frontale, sound system, impianto pa, sonorizzazione"
    ),
    "stereo": (
        "stereo, l/r, sinistra/destra, lr, l r, stereofonico, destra/sinistra, l+r, in stereo, sx/dx, dx/sx, sx-dx,"
        " dx-sx, destra e sinistra, sinistra e destra, stereofonia, left right, left/right"
    ),
    "mono": "mono, monofonico, in mono, mono in pratica, stesso segnale, sommato",
    "sub": (
        "sub, subs, subwoofer, bassi, subwoofers, sub bassi, basse, subwoofer a terra, casse basse, frequenze basse,"
        " sub a terra, cassoni, woofer"
    ),
    "own-send": (
        "mandata ausiliaria, mandata separata, aux separato, uscita dedicata, mandata dedicata, su aux, uscita"
        " separata, aux dedicato, matrice dedicata, mandata indipendente, aux indipendente, in aux, su ausiliaria, su"
        " mandata, via aux, da aux, uscita indipendente, matrice separata, con aux, mandata a parte, pilotati"
        " separatamente, separati, su un aux, ausiliaria dedicata, separatamente, con mandata propria, mandata propria,"
        " linea propria, linea dedicata, bus dedicato, a parte, sono a parte, gestiti a parte, con uscita propria,"
        " uscita propria, mandata sub, aux sub, in mandata, mandata per i sub, matrice propria, matrice, controllo"
        " separato, separati su, sub separati, aux a parte, canale a parte, pilotati da aux, pilotati in aux, gestiti"
        " in aux, regolabili a parte, regolabili separatamente, via matrice, da matrice, in matrice, su un ausiliario,"
        " ausiliario dedicato, ausiliaria separata, con ausiliaria, indipendente, comandati separatamente, con"
        " ausiliario, comandati con ausiliario, comandati da ausiliario, da ausiliario, su ausiliario"
    ),
    "with-mains": (
        "insieme al main, con il main, insieme alle teste, con l'impianto, nel main, con il master, insieme al master,"
        " in fullrange, con le teste, insieme al left right, insieme ai satelliti, con l/r, nel l/r, col main, dal"
        " main, via crossover, con il l/r, non separati, senza mandata, insieme al l/r, dal crossover, con i top,"
        " insieme ai top, col master, con le casse, seguono le teste, seguono, crossover, filtrati con, filtrati, vanno"
        " insieme, vanno con, nello stesso segnale, stesso segnale delle teste, in serie, fanno parte, insieme alle"
        " casse, assieme al main, assieme alle teste, dentro il master, senza uscita separata, non hanno mandata, in"
        " passivo, sul l/r, sul main, nel l-r, nel master, stessa uscita, stessa uscita delle teste"
    ),
    "front-fill": (
        "frontfill, frontfills, infill, in fill, nearfill, fill frontali, front fil, frontali di prossimità, frontali,"
        " fill di prossimità, riempimento frontale, casse frontali, fill, fills, diffusori frontali di prossimità,"
        " rinforzo frontale, infills, bordo palco fill, diffusori a bordo palco"
    ),
    "delay": (
        "delay, delays, torri di ritardo, linea di ritardo, linee di ritardo, linea delay, diffusori di ritardo,"
        " ritardi, ritardati, ritardate, diffusori ritardati, linee ritardate, linea ritardata, casse ritardate, delay"
        " di galleria, rinforzi in galleria, sotto galleria, sottogalleria, delay di sala, sistema delay, ritardo"
    ),
    "other-fill": "side fill, sidefill, drum fill, drumfill, outfill, side fills, side",
    "monitor": (
        "monitor, monitoraggio, monitors, monitor di palco, monitor da palco, monitoria, ascolti, ascolti in palco,"
        " ascolto, ascolti palco, monitor sul palco, monitoraggio palco, palco monitor"
    ),
    "wedge": (
        "spia, spie, wedge, wedges, monitor a terra, spie da palco, monitor a pavimento, spie monitor, monitor spia,"
        " diffusori monitor, casse spia, monitor attivi, spie attive, monitor wedge, wedge attivi, monitor a cuneo,"
        " cunei, floor monitor, spie passive, casse monitor, monitor da pavimento"
    ),
    "mix": (
        "mix, mix monitor, mandata, mandate, mandate monitor, linee monitor, ausiliarie, mix indipendenti, mandate"
        " indipendenti, aux monitor, mixaggi, missaggi, mandate ausiliarie, ausiliari, linee di monitor, aux per i"
        " monitor, mandate aux, linee, linee di ascolto, linee ascolto, vie monitor, uscite monitor, mix separati,"
        " invii, mandate separate, mandate spie, mandate per monitor, linee separate, aux, uscite per monitor, mandate"
        " per le spie, mix di palco, mix distinti, ausiliari monitor, canali monitor, uscite aux, sends, mixate, linee"
        " monitor indipendenti, circuiti, linee indipendenti"
    ),
    "in-ear": "iem, in ear, in ears",
    # The room and the stage.
    "capacity": (
        "capienza, capacità, tiene, posti totali, ospita, agibilità, posti in piedi, ci stanno, entrano, pubblico"
        " massimo, tetto massimo di, omologato per, omologata per, pubblico, agibile per, agibilità per, si sta in,"
        " teniamo, accoglie, contiene, capienze"
    ),
    "people": (
        "persone, pax, spettatori, pers, persona, ospiti, presenze, posti in piedi, clienti, spettatore, teste,"
        " pubblico, avventori, anime, invitati, uditori, ascoltatori"
    ),
    "seat": (
        "posti, posti a sedere, poltrone, posti seduti, sedie, poltroncine, seduti, sedute, posto a sedere, poltrona,"
        " posto, posti in platea, sedili"
    ),
    "seated": (
        "a sedere, seduti, seduto, sedute, con sedie, ai tavoli, tavoli, con poltrone, sedia, posti a sedere, in"
        " poltrona"
    ),
    "standing": "in piedi, posti in piedi, senza sedie, piedi, senza poltrone, in piedi senza",
    "room": (
        "sala, locale, platea, pista, teatro, cantina, salone, discoteca, pub, auditorium, chiesa, piazza, arena, club,"
        " tensostruttura, circolo, capannone"
    ),
    "stage": (
        "palco, palcoscenico, dimensioni palco, misure palco, misure del palco, dimensioni del palco, pedana palco,"
        " palchetto, spazio scenico, piano scena, scena, area scenica, palco fisso, palco mobile, tavolato, pedana"
        " fissa, ribalta, proscenio area"
    ),
    "width": (
        "largo, larghezza, largh, fronte, l, boccascena, base, frontale, fronte palco, di fronte, in larghezza,"
        " boccascena larghezza, larghezza palco, larga, larghi"
    ),
    "depth": "profondo, profondità, prof, p, di fondo, in profondità, profonda, profondi, profondità palco",
    "height": "alto, altezza, h, alt, alta, alti, in altezza, rialzata, rialzati, sopraelevato",
    "stage-height": (
        "altezza palco, altezza del palco, altezza piano palco, da terra, altezza da terra, altezza piano, dal suolo,"
        " rialzato, piano scena, altezza piano scena, altezza scena, dal pavimento, dal piano sala, dal piano platea,"
        " da pavimento, sopra la platea, dal livello sala, altezza del piano, rialzato di, quota palco, dalla platea,"
        " dal piano di sala, altezza pedana, da piano sala, piano a, piano palco a, quota"
    ),
    "headroom": (
        "altezza utile, altezza libera, altezza soffitto, altezza americana, altezza alla graticcia, altezza graticcia,"
        " altezza al soffitto, luce, al soffitto, altezza truss, sotto americana, sotto truss, graticcia, altezza sotto"
        " americana, altezza massima, graticcio, americane, luce netta, luce utile, altezza da palco, sopra il palco,"
        " fino alle americane, altezza sotto trave, sotto trave, travi, soffitto, altezza netta, sotto la truss,"
        " altezza al tetto, sotto tetto, altezza sotto copertura, sotto copertura, altezza appendimenti, punti di"
        " appendimento, altezza min, altezza disponibile, altezza max, altezza dal palco"
    ),
    "riser": (
        "pedana, pedane, riser, risers, praticabile, praticabili, pedana per batteria, rialzo, pedanina, pedana mobile,"
        " moduli, moduli pedana, pedane 2x1, piattaforma, piattaforme, pedana x la batteria, basamento"
    ),
    "door": (
        "porta, porte, portone, varco, corridoio, camion, furgone, passaggio, banchina misure, portoncino, serranda,"
        " cancello, scarico porta, montacarichi misure, portelloni, ingresso carraio, corridoi, vicolo, androne,"
        " cortile, tir"
    ),
    "other-room": (
        "camerino, camerini, parcheggio, catering, albergo, doccia, docce, hotel, ufficio, cucina, merchandising,"
        " spogliatoio, spogliatoi, parcheggi, pasti, cene, ospitalità, camere, posti letto, accrediti, biglietti,"
        " bagni, buffet, merch, guest list"
    ),
    "outdoors": (
        "all'aperto, esterno, aperto, open air, estivo, estiva, in esterna, piazza, parco, giardino, cortile, in"
        " piazza, all'esterno"
    ),
    "indoors": "al chiuso, interno, chiuso, in interno, indoor",
    "roofed": "coperto, copertura, tettoia, coperta, palco coperto",
    "distance": (
        "distanza, dal palco, lunghezza, al palco, fino alla regia, palco regia, distante, palco foh, palco mixer, di"
        " distanza, regia palco, mixer palco, fino al mixer, dista, dal proscenio, di cavo, lontano, dal bordo palco,"
        " dal fronte palco, distanza foh, da palco, dal filo palco, di multicore, dal boccascena, a circa, distanza da,"
        " dalla ribalta, distanza palco, dal bordo del palco, lunghezza frusta, lunghezza multicore"
    ),
    "left": "sinistra, sinistro, sx, sin",
    "right": "destra, destro, dx, des",
    "stage-left": "stage left, sl",
    "stage-right": "stage right, sr",
    "down-left": "davanti a sinistra, fronte palco sx",
    "down-right": "davanti a destra, fronte palco dx",
    "up-left": "fondo palco sx, dietro a sinistra",
    "up-right": "fondo palco dx, dietro a destra",
    "upstage": (
        "fondo palco, fondo del palco, in fondo al palco, retro palco, parete di fondo, in fondo, fondo, retropalco, al"
        " fondale, fondale, parete di fondo del palco, dietro, a fondo palco, al centro in fondo"
    ),
    "downstage": (
        "fronte palco, bordo palco, proscenio, davanti al palco, ribalta, davanti, fronte palco centro, a bordo palco,"
        " avanti, centro fronte palco, in ribalta, in proscenio"
    ),
    "off-stage": (
        "fuori palco, quinte, in quinta, quinta, dietro le quinte, a lato palco, lato palco, fianco palco, di fianco al"
        " palco, accanto al palco, dietro al palco, dietro il palco, laterale, backstage lato, fuori scena"
    ),
    "audience-view": (
        "vista pubblico, visto dalla sala, guardando il palco, dalla platea, lato pubblico, guardando verso il palco,"
        " dal punto di vista del pubblico, dalla parte del pubblico, visto di fronte, visto da davanti, visto dalla"
        " platea, fronte palco vista, dal pubblico, faccia al palco, per chi guarda, vista sala, vista platea"
    ),
    "performer-view": (
        "vista dal musicista, visto dal musicista, vista palco, visto dal palco, guardando il pubblico, guardando la"
        " platea, lato musicista, spalle al fondo, spalle al fondale, con le spalle al fondo, per il musicista, visto"
        " dai musicisti, vista musicista, vista artista, faccia al pubblico, lato musicisti, guardando verso il"
        " pubblico, dal palco guardando, dal batterista, punto di vista del musicista, visto dalla band, vista"
        " musicisti, rivolti al pubblico, con le spalle al fondale"
    ),
    # Mains.
    "socket": (
        "presa, prese, attacco, attacchi, allaccio, allacci, utenza, linea elettrica, torretta, torrette, quadretto,"
        " fornitura, prese di corrente, utenze, alimentazioni, linee elettriche, quadretti, quadri, presa industriale,"
        " prese industriali, ciabatta elettrica, ciabatte elettriche, quadro prese, quadro di palco, forniture"
    ),
    "power": (
        "stacca la corrente, toglie corrente, stacca corrente, toglie la corrente, corrente, elettricità, potenza,"
        " impianto elettrico, alimentazione, energia, corrente elettrica, elettrico, energia elettrica, impianto"
        " elettrico di palco, alimentazione elettrica, allacci elettrici, allacciamento, rete elettrica, gruppo"
        " elettrogeno, corrente palco, elettrica, fornitura elettrica, kw disponibili"
    ),
    "three-phase": (
        "trifase, 5 poli, trifasi, 3p+n+t, 3f+n, 5p, 380v, 3f+n+t, trifase+n, 3 fasi, tre fasi, 400v, pentapolare,"
        " 3p n t"
    ),
    "one-phase": "monofase, 3 poli, monofasi, 3p, 2p+t, 1p+n+t, 230v monofase, una fase, tripolare, 2p t, 1 fase",
    "iec-60309": (
        "cee, industriale, industriali, ceeform, interbloccata, cee blu, cee rossa, cee 5p, cee 3p, presa cee, prese"
        " cee, cee industriale, cee interbloccata"
    ),
    "household": (
        "schuko, civile, civili, domestica, domestiche, shuko, bivalente, bivalenti, schucko, prese normali, presa"
        " normale, prese civili, presa civile, italiane, universali, presa schuko, prese schuko, schuko/civile, 10/16a,"
        " presa di casa, da casa"
    ),
    "single-pole": "unipolare, unipolari, morsetti",
    "supply": (
        "quadro, contatore, linea, gruppo elettrogeno, generatore, trasformatore, fase, quadro elettrico,"
        " magnetotermico, interruttore, linea elettrica, fasi, salvavita, quadri, gruppo, sottoquadro, fornitura, rete,"
        " circuito, circuiti, contatori, alimentazione comune, differenziale"
    ),
    "phase": "fase, fasi",
    "same": (
        "stesso, stessa, comune, unico, unica, medesimo, stessi, stesse, alimentati dallo, tutto sullo, tutto sulla,"
        " condiviso, condivisa, in comune, un solo quadro, unico contatore, condividono, un'unica, una sola linea"
    ),
    "separate": (
        "separato, separata, separati, dedicata, indipendente, indipendenti, dedicato, distinti, separate, propria,"
        " proprio, a parte, separatamente, distinta, distinto, diversa, diverso, rete separata"
    ),
    "lighting": "luci, illuminazione, dimmer, luce, reparto luci",
    "audio": "audio, suono, fonica, rete audio, audio e palco, regia e palco",
    # Limits, times, radio.
    "limit": (
        "limite, massimo, limitazione, max, superano, superare, leq, laeq, non superare, livello massimo, limitato,"
        " decibel, volume, oltre, tetto, supera, limiti, media, livello, consentito, consentiti, emissione, limite di"
        " emissione, non si può superare, non superiamo, non più di, non oltre i, max db, massimo consentito, livelli,"
        " limite massimo, db max, non sforare, sforare, spl, pressione, db di limite, sopra i, soglia, volume massimo,"
        " entro i, mediato, limitata a, fonometrico"
    ),
    "limiter": (
        "limitatore, fonometro limitatore, limitatori, taglia suono, limitatore di rumore, limitatore fonometrico,"
        " limitatore di sala"
    ),
    "capable": "eroga, potenza di picco, raggiunge, sviluppa, capace di",
    "measured": (
        "misurato, misurati, misura, microfono di misura, fonometro, misurazione, rilevato, rilevati, si misura, punto"
        " di misura, sensore, rilevazione, rilevati in, rilevato in, misurati in, misurato in, misurati al, rilevati"
        " al, misurazione in, microfono del limitatore, microfono di rilevazione, microfono posto, punto misura,"
        " rilevamento, controllato, monitorato, fonometro in, fonometro al, misuratore, centralina, si rileva, rilevata"
    ),
    "cuts": (
        "toglie corrente, stacca corrente, toglie la corrente, toglie, taglia, stacca, stacca la corrente, spegne,"
        " interrompe, scatta, leva, disinserisce, salta la corrente, salta tutto, toglie la luce, spegne tutto,"
        " interviene, abbassa, blocca, taglia l'audio, muta, disattiva, toglie l'alimentazione, fa saltare"
    ),
    "shows-only": (
        "solo indicativo, non taglia, solo visualizzazione, non stacca, solo segnalazione, non interviene, solo"
        " display, senza distacco, solo avviso, solo indicazione, solo misura, senza intervento, luce di avviso,"
        " semaforo, soltanto indicativo, non stacca nulla, non toglie, solo visivo, solo informativo, puramente"
        " indicativo, non agisce, solo lettura, segnala solo, si limita a mostrare, nessun taglio, nessun distacco, non"
        " comanda nulla, non comanda"
    ),
    "ceiling": (
        "a soffitto, in sala, al centro della sala, sopra la pista, sul soffitto, sopra il pubblico, in mezzo alla"
        " sala, centro sala, rilevati in sala, in platea, appeso al soffitto, soffitto della sala, in pista, sopra la"
        " platea, centro della sala, a centro sala, al centro della pista"
    ),
    "neighbours": (
        "vicini, confine, in strada, recettore, all'esterno, vicino di casa, casa più vicina, abitazione più vicina, al"
        " confine, confine di proprietà, finestra del vicino, esterno locale, perimetro, in facciata, facciata"
    ),
    "curfew": (
        "fine musica, fine concerto, si deve finire, stop musica, chiusura, coprifuoco, fine spettacolo, deve finire,"
        " termine musica, orario di chiusura, finire entro, orario limite, musica fino, stop, finire, musica entro,"
        " fine esibizione, termine concerto, spegnere entro, fine live, fine, si chiude, termine, si stacca, deve"
        " terminare, terminare entro, si spegne, entro le, fine dei concerti, silenzio, si smette, smettere a, fine"
        " attività, termine attività, si finisce, finire alle, finire a, stop alle, stop ore, fine ore, fine alle,"
        " chiusura musica, musica stop, stop audio, spegnimento, spegnimento impianto, termine spettacolo, fine dei"
        " live, fine esibizioni, musica dal vivo fino, live fino, ultimo pezzo, fine set, concerto entro, tutto spento,"
        " si deve smettere, basta musica, fine suono, limite orario, termine esibizione, termine live, fine emissione,"
        " fine emissioni sonore, silenzio dalle, ultimo brano, orario fine, a che ora si finisce, fine show"
    ),
    "load-in-time": (
        "load in, arrivo, scarico dalle, ingresso tecnico, get in, ingresso palco, montaggio, arrivo band, carico"
        " dalle, inizio montaggio, scarico ore, arrivo al locale, arrivo previsto, arrivo tecnico, accesso dalle,"
        " ingresso dalle, ingresso band, carico ore, ritrovo, montaggio da, scarico da, apertura scarico, accesso"
        " palco, accesso al palco dalle, apertura locale per, convocazione, ingresso materiali dalle"
    ),
    "other-time": (
        "apertura porte, inizio concerto, inizio, soundcheck dalle, prove, cena, smontaggio, porte, apertura, orario"
        " uffici, check, soundcheck, cena alle, apertura pubblico, inizio spettacolo, inizio show, show, linecheck"
        " alle, porte aperte, spettacolo ore, cambio palco, primo gruppo, support, aperitivo, check alle, doors, orari"
        " ufficio"
    ),
    "access": (
        "carico, accesso, si scarica, scarico, carico scarico, accesso carico, si carica, ingresso merci, area di"
        " carico, carico e scarico, scaricare, si entra, ingresso materiali, entrata, ingresso, banchina, banchina di"
        " carico, si entra da, ingresso scarico, scarico diretto, accesso palco, accesso al palco, accesso furgone,"
        " accesso camion, arrivo al palco, si arriva al palco, scarica, scarichi, portare dentro, ingresso artisti,"
        " ingresso palco, scarico/carico, carico/scarico, portare il materiale"
    ),
    "level-way": (
        "piano terra, senza gradini, a livello, a raso, piano strada, stesso livello, senza scale, a piano, complanare,"
        " livello strada, nessun gradino, in piano, piano stradale, livello palco, a quota palcoscenico, quota"
        " palcoscenico, quota palco, quota camion, altezza camion, stesso piano, senza dislivello, accesso diretto,"
        " diretto al palco, in quota, direttamente sul palco, a filo palco, piano unico, al piano strada, pianterreno,"
        " pian terreno, niente scale, niente gradini, zero gradini, scarico al piano"
    ),
    "ramp": "rampa, rampe, scivolo, rampetta, piano inclinato, rampa di carico, pedana di carico",
    "stairs": (
        "scala, scale, gradini, gradino, scalini, scalinata, scalino, rampa di scale, rampe di scale, scalette,"
        " gradoni, scaletta"
    ),
    "lift": (
        "montacarichi, ascensore, elevatore, monta carichi, ascensori, piattaforma elevatrice, pedana elevatrice,"
        " montacarico"
    ),
    "no-lift": "senza ascensore, senza montacarichi, niente ascensore",
    "public": "disabili, ingresso pubblico, carrozzina",
    "radio-mic": (
        "radiomicrofoni, radiomicrofono, gelati, radiomicrofoni palmari, palmari, radiomicrofoni a mano, radiomicrofono"
        " a mano, archetti, ad archetto, bodypack, lavalier, microfoni wireless, microfoni radio, microfono wireless,"
        " palmare, handheld, gelato, radiomic, microfoni senza fili, radiomicrofoni palmari e archetti"
    ),
    "wireless": (
        "wireless, frequenze, radiofrequenze, senza fili, radio, frequenza, rf, radiofrequenza, uso interno, bande rf"
        " di sala, bande rf, banda rf, radiofrequenze in uso, bande, frequenze in uso, gamma, uhf, banda"
    ),
    "coordinates": (
        "coordinamento, coordina, coordinazione, assegna, coordinate da, coordinatore, gestisce le frequenze,"
        " coordinati, assegna le frequenze, coordinano, comunicare a, coordinare, pianificazione, pianificazione a"
        " cura, a cura, frequenze da concordare, concordare con, da concordare con, coordinamento frequenze,"
        " coordinamento rf, gestione frequenze, comunicare le frequenze, comunicate le frequenze, assegnazione, si"
        " occupa delle frequenze, gestisce, gestita da, assegnate da, frequenze con, comunicare al, concordare le"
        " frequenze, pianifica, richiesta frequenze, sentire, chiedere a, frequenze a, sentire il service, chiedete a"
    ),
    "forbidden": "vietato, vietata, vietati, vietate, evitare, non usare, proibito, non ammesso, non consentito",
    # What can be lent, who is there.
    "di": "di, dis, direct box, dibox, scatole dirette, d.i, d i",
    "mic": "microfono, microfoni, mic, mics, parco microfoni, microfoni a filo, microfonazione",
    "stand": (
        "asta, aste, giraffe, supporti, aste a giraffa, giraffa, stativi, astine, aste giraffa, aste microfono, aste"
        " alte, aste basse, asta giraffa, aste piccole, astine basse, aste da tavolo, supporti microfono, stand"
    ),
    "dynamic": "dinamico, dinamici",
    "condenser": "condensatore, a condensatore",
    "active": "attive, attiva, attivi",
    "passive": "passive, passiva, passivi",
    "tall": "alte, grandi, lunghe, alta, grande, alte e basse",
    "short": "basse, piccole, corte, nane, bassa, piccola, corta, bassi",
    "crew": (
        "nostro personale, nostri tecnici, personale del teatro, tecnici residenti, il nostro staff, personale di"
        " palco, nostra crew, nostro staff, tecnici del teatro, personale di sala, personale interno, staff tecnico,"
        " macchinisti, tecnici di palco, backliner, facchini, facchinaggio, personale tecnico del teatro, nostra"
        " squadra, squadra, tecnici nostri, lo staff, personale residente, stagehand, stage hand, assistenti di palco,"
        " tecnici interni"
    ),
    "band-crew": "la band collega, collegate voi, il gruppo collega",
    "plugs": (
        "collega, collegano, cablaggio, patcha, cabla, patchano, cablano, fa il patch, collegamenti, allestimento e"
        " cablaggio, cablaggio a cura, si occupa del cablaggio, cablaggio palco, cablare, collegare, patch a cura,"
        " collegamenti a cura, patchano il palco, attaccano, attacca, cabla il palco, collegamento palco, cablaggi,"
        " cura il patch, cablaggio del palco, microfonazione a cura"
    ),
    "sound-check": (
        "soundcheck, sound check, prova suono, prove suono, check, prova fonica, prove fonica, prova audio, prove"
        " audio, soundchecks, prova suoni, check suoni"
    ),
    "line-check": (
        "line check, linecheck, solo line check, check di linea, check linee, solo linecheck, verifica linee, check"
        " veloce, cambio palco veloce"
    ),
    "technical-role": (
        "ufficio produzione, direttore tecnico, referente tecnico, responsabile tecnico, capo fonico, direzione"
        " tecnica, tecnico audio, fonico residente, produzione, responsabile audio, direttore di produzione, ufficio"
        " tecnico, contatto tecnico, tecnico residente, fonico, capotecnico, capo tecnico, stage manager, direttrice"
        " tecnica, coordinatore rf, nostro fonico, responsabile fonica, responsabile di sala, resp tecnico, resp."
        " tecnico, tecnico responsabile, coordinatore tecnico, coordinamento tecnico, produzione tecnica, responsabile"
        " di produzione, ufficio di produzione, direttore di palco, direttore di palcoscenico, direttore di scena,"
        " tecnico del locale, fonico del locale, responsabile rf, rf manager, tecnico capo, fonico responsabile,"
        " referente audio, tecnica, area tecnica, reparto audio, reparto fonica, ufficio allestimenti, produttore"
        " esecutivo, sound manager, fonico del teatro, direttore allestimenti, service"
    ),
    "contact": (
        "contatto, contatti, riferimento, referente, per informazioni, per domande, info, chiamare, domande, chiedere"
        " di, per dubbi, recapiti, recapito, per qualsiasi cosa, qualsiasi cosa, per qualunque cosa, scrivete a,"
        " scrivere a, chiamate, chiamatemi, sentite, rivolgersi a, parlare con, informazioni tecniche, riferimento"
        " tecnico, contattare, contattate, mio numero, persona di riferimento"
    ),
    "phone": "tel, telefono, cellulare, cell, mobile, t, cel, whatsapp",
    "other-office": (
        "biglietteria, ufficio stampa, prenotazioni, amministrazione, noleggio, booking, ufficio, segreteria,"
        " sicurezza, emergenze, programmazione, bar, botteghino, direttore artistico, proprietario, gestore, direzione,"
        " promozione, barista, cassa, luci, tecnico luci, lighting, light designer, custode, portineria, comune,"
        " assessorato, presidente, catering, ufficio cultura, social, marketing, produzione artistica, casse, promoter,"
        " emergenza"
    ),
    "greeting": (
        "un saluto, saluti, cordiali saluti, grazie, a presto, buona giornata, distinti saluti, ciao, un abbraccio, a"
        " sabato, buon lavoro, tanti saluti, grazie mille, ci vediamo, saluti a tutti, ciao ciao, baci, un bacio,"
        " ciaooo, ciao ragazzi, alla prossima, buona serata, buona musica, a domani, grazie ancora, cari saluti,"
        " saludos, resto a disposizione, a disposizione, rimango a disposizione, ci si vede, ci sentiamo, buone cose,"
        " un caro saluto, cordialità, buon viaggio, grazie e a presto"
    ),
    "red": "rossa, rosso, rosse",
    "blue": "blu, azzurra",
    "from": "dalla, dal, da, tramite, via, con, attraverso",
    "music": (
        "musica, concerto, concerti, suono, rumore, live, spettacolo, band, si suona, attività musicali, esibizione,"
        " musica dal vivo, dal vivo, concertistica, suonare, suonate, emissioni sonore, emissione sonora, volume,"
        " serata, serate, esibizioni, amplificata, audio, spettacoli, gruppi"
    ),
    "ends": (
        "finisce, finiscono, si finisce, si smette, smettere, smette, stop, termina, terminano, fine, chiude, spento,"
        " basta, non oltre, entro, si stacca, staccare, spegne, spegnere, si spegne, terminare, finire, chiudere, si"
        " chiude, fino alle, termine, spegnimento, silenzio, massimo alle, al massimo, tassativo, tassativamente"
    ),
    "house-use": (
        "dj, djs, musica di sottofondo, sottofondo, annunci, presentatore, presentatrice, radiomicrofoni del teatro,"
        " microfoni di sala, filodiffusione, speaker, scena, karaoke, video, voce fuori campo, annunci e scena,"
        " annuncio, microfono presentatore, microfono ambiente, microfoni ambientali, ambientali, panoramici, microfoni"
        " panoramici, playback, computer, cd, proiezioni, proiettore, cinema, relatori, leggio, podio oratore,"
        " sacerdote, organo, coro, dj residente, mc, vj, streaming, intercom, interfono, console dj, dj console,"
        " lotteria, tombola, cabaret, effetti scena, musica in sala, quiz"
    ),
    "patch": "patch",
    # Small words.
    "is": (
        "sono, misura, ha, sono in tutto, conta, dispone di, sta a, sta, stanno, posta, posto, posta a, ci sono, c'è,"
        " abbiamo, sono circa, misurano, ha una, sono a, dispone, disponiamo di, offre, situata, situato, si trova, si"
        " trovano, ci stanno"
    ),
    "per-side": "per lato, ogni lato, ai lati",
    "effects": "effetti, riverbero, effetto, reverb",
    "not": (
        "non, nessun, nessuno, nessuna, senza, niente, no, assente, assenti, mai, nulla, mancano, zero, manca, non"
        " disponibile, non disponibili, non presente, non c'è, non ci sono, non abbiamo, non sono presenti, sprovvisto,"
        " sprovvisti, guasto, guasti, rotto, rotti, fuori uso, inesistente, neanche, nemmeno, neppure, privo, priva,"
        " non previsto"
    ),
    "or": "o, né, oppure",
    "and": "e, con, ma, ed, poi, però, mentre",
    "yes": "sì, certo, ok, ovvio, presente, affermativo, certamente",
    "maybe": (
        "su richiesta, se necessario, eventualmente, opzionale, possibile, forse, credo, a noleggio, noleggiabile, a"
        " richiesta, previo accordo, se serve, con supplemento, se portate, secondo, di solito, normalmente, in caso,"
        " salvo, può essere, da confermare, probabilmente, penso, noleggiabili, da concordare, a pagamento, se volete,"
        " si può, dovrebbe, magari, sovrapprezzo, se occorre, previa richiesta, in genere, facoltativo, su preventivo,"
        " potrebbe, qualora, previo avviso, in teoria, se disponibile, se avete, ben accetto, benvenuto, benvenuti,"
        " extra, mi pare, noleggiare, prestito, meglio ancora, dipende, secondo disponibilità, disponibilità, in"
        " prestito, da noleggiare, si noleggia, si noleggiano, noleggiata, noleggiate, a parte si noleggia, prenotare,"
        " su prenotazione, chiedere, chiedete, da richiedere, previa prenotazione, se piove, tempo permettendo, si"
        " potrebbe, potremmo, procurare, a volte, ogni tanto, spesso, solitamente, generalmente, normalmente sì, non"
        " sempre, più o meno, quasi sempre, non sono sicuro, non garantito, non garantiti, direi, suppongo, immagino,"
        " da verificare, verificare, da valutare, provvisorio, in riparazione, prossimamente, concordato, concordata,"
        " prova fonica concordata, da definire, tbd, se richiesta, richiesto, con preavviso, preavviso, con costo"
        " aggiuntivo, costo aggiuntivo, se proprio, volendo, se ve ne serve, in teoria sì, sono i benvenuti, ben"
        " accetti, nessun problema, tranne, eccetto, prima era, prima c'era, in passato, vecchio, vecchia"
    ),
    "bring": (
        "portare, portate, a carico della band, a cura della band, portatevi, porta, della band, portarsi, porti,"
        " portate le vostre, portate i vostri, porta la band, a carico del gruppo, a carico dell'artista, portatevele,"
        " portateli, da portare, vostre, vostri, a cura del gruppo, fornito dalla band, fornite voi"
    ),
    "only": "solo, soltanto, solamente, unicamente, e basta, un solo, una sola, uno solo, una solo, mix solo",
    "approx": "circa, ca, più o meno, intorno, quasi, max, massimo, fino a, all'incirca, sui, sulle, sugli",
    "oclock": "ore, h",
    "midnight": "mezzanotte",
    "half": "mezza, mezzo, e mezza, e mezzo",
    "minute": "min, minuti, minuto",
    "metre": "m, mt, metro, metri, mtl",
    "centimetre": "cm, centimetri",
    "millimetre": "mm",
    "ampere": "a, ampere, amp",
    "times": "x, per",
    "by": "x, per",
    "to": "a, al, alle, e, fino a, ai",
    "piece": "pezzi, pz, n, nr, unità, n., pz., num, quantità, q.tà, qta, nr.",
    "working": "indipendenti, separate, separati, bilanciati, microfonici, attivi, xlr, distinte, distinti",
    "dozen": "dozzina",
    "size-word": "misure, dimensioni, ingombro",
    "first": "primi, prime",
    "quarter-hour": "quarto d'ora",
    "full-hour": "media oraria",
    "n-thousand": "mila",
}
