"""Dutch. Common practice of the trade, no source."""

WORDS: dict[str, str] = {
    # The inputs and what carries them.
    "box": (
        "stagebox, stage box, stagekast, podiumkast, stageblok, stage rack, stagerack, aansluitkast, podiumblok,"
        " wandkast, stageplaat, podiumbox, stekkerkast, i/o box, prikkast, prikbord, vloerput, patchkast, kast op het"
        " podium, doos, kastje, podiumaansluitkast, xlr kast, ingangenkast, aansluitpaneel, prikplaat, stagebord,"
        " stageboxje, stekkerpaneel, kop van de multi, multikop, vloerkast, wandpaneel, i/o kast, podium i/o,"
        " prikpaneel, inputkast, prikdoos, hoofdkast, steekkast, aansluitbord, tie lines, podiumpatch, kist"
    ),
    "multicore": (
        "multikabel, multicore, multi, slang, multiekabel, snake, multicable, multislang, kabelweg, kabeltracé"
    ),
    "sub-box": (
        "substage, subsnake, drumbox, satellietkast, subkast, subblok, substagebox, subblokken, tweede kastje,"
        " drumkast, kleine stagebox, satelliet, drop, dropsnake, drum snake, satellietjes, sub stagebox, subbox, kleine"
        " kast"
    ),
    "input": (
        "ingang, ingangen, input, microfooningangen, inlijnen, microfoonlijnen, mic lijnen, kanalen in, heen,"
        " heenlijnen, microfoonkanalen, lijnen naar foh, lijnen naar de zaal, xlr ingangen, mic inputs, ingaande"
        " lijnen, inputkanalen, micingang, ingangkanalen, lijnen naar de tafel, signaallijnen, ins, heengaand"
    ),
    "output": "uitgang, output",
    "short-in": "in, ins",
    "short-out": "uit, out, outs",
    "return": (
        "return, retour, lijnen terug, retourlijn, retourtjes, lijn terug, retours, terug, lijnen retour,"
        " retourkanalen, terugweg, terug naar het podium, sturingen terug, kanalen terug, terugkomende lijnen,"
        " retourleidingen, retour kanalen, teruglijnen, uitlijnen, retoursturingen"
    ),
    "channel": "kanaal, kanalen, lijn, ch, kan, prikken, kanals, vakken, kan., kanaaltjes, sporen",
    "input-list": "inputlijst, prikliijst, kanalenlijst, priklijst",
    "free": (
        "vrij, beschikbaar voor, voor de band, voor jullie, over, voor bands, te gebruiken, voor gastbands, bruikbaar,"
        " blijven er, blijven over, houden jullie over, voor artiesten, voor gezelschappen, krijgen jullie, hebben"
        " jullie, staan vrij, zijn van jullie, voor jullie beschikbaar, beschikbaar, te gebruiken door, voor gasten,"
        " vrij beschikbaar, kun je gebruiken, kan je gebruiken, mag je gebruiken"
    ),
    "kept": (
        "in gebruik, bezet, gereserveerd, voor de dj, voor dj, niet beschikbaar, voor het huis, bezet door, gebruikt"
        " door, gebruikt voor, bestemd voor, vergeven, afblijven, dienen voor, zijn voor, is voor, houden we, bezette,"
        " niet te gebruiken, niet aankomen, in bezet, zitten vol, gaan naar, gaat naar, gebruiken wij, gebruiken we,"
        " ingenomen, hebben we zelf nodig, hangt aan, hangen aan, gebruikt het huis, weg voor, niet vrij, in beslag,"
        " voorbehouden, toegewezen, vastgelegd"
    ),
    "permanent": (
        "altijd ingeplugd, blijven ingeplugd, vast geprikt, vast bezet, blijft zitten, permanent, blijven zitten, niet"
        " loshalen, altijd geprikt, vast aangesloten, blijven geprikt, vaste prik, niet uittrekken, zitten altijd vast,"
        " blijven er in, blijft erin, blijven erin, laten zitten, nooit uittrekken, niet uitpluggen, niet lostrekken,"
        " vast ingeplugd, vaste prikken, altijd aangesloten, vast, vaste, staan altijd geprikt, blijven gepatcht, vast"
        " gepatcht, laat zitten, laat maar zitten, niet uithalen, blijven aangesloten, altijd zitten, nooit loshalen,"
        " altijd in, zitten vast aan, zit vast aan, laten we zo, vast voor"
    ),
    "second": "tweede, 2e, 2de, andere, nog een, extra",
    "each": (
        "per kanaal, individueel, per ingang, afzonderlijk, per lijn, elk kanaal, los per kanaal, ieder kanaal, apart"
        " per kanaal, per ingang aan en uit, afzonderlijk per kanaal, individueel per kanaal, apart, kanaal per kanaal,"
        " ieder kanaal apart, per kanaal apart, elk kanaal apart, per prik, los, los schakelbaar, afzonderlijk"
        " schakelbaar, kanaal voor kanaal, stuk voor stuk, per input, iedere ingang, elke ingang"
    ),
    "bank": "bank, groep, blok, blokken, groepjes, blokjes",
    "one-switch": (
        "centraal, één schakelaar, alles tegelijk, globaal, alle kanalen tegelijk, 1 schakelaar, gezamenlijk, voor alle"
        " kanalen, hoofdschakelaar, alles of niets, één knop, allemaal tegelijk, in een keer, voor alles, collectief,"
        " op alle kanalen, op alles, alle tegelijk, enkel centraal, enkel globaal, hele kast, één centrale schakelaar,"
        " globale, centrale schakelaar"
    ),
    "phantom": (
        "fantoomvoeding, fantoom, 48v, phantom, p48, voeding 48v, 48 volt, 48v voeding, fantoom voeding, phantomvoeding"
    ),
    "line-level": "lijnniveau, line niveau, line level, lijnsignalen, lijn niveau, lijnsignaal",
    "soft": (
        "softpatch, vrij te patchen, digitaal gepatcht, soft patch, vrij patchbaar, vrij toe te wijzen, digitaal te"
        " patchen, patchen op de tafel, softwarematig, volledig in de tafel, patch gebeurt volledig, in de tafel"
        " gepatcht, gebeurt in de tafel, digitale patch, vrije patch, patchen doen we in de tafel, vrij te routeren,"
        " vrij routeerbaar, routeren, patch is vrij, patchen kan vrij, vrij in te delen, gepatcht op de tafel,"
        " softwarepatch, patch digitaal, vrij routeren"
    ),
    "one-to-one": "1 op 1, 1:1, een op een, recht door, rechtdoor, gelijk genummerd, recht toe recht aan",
    "fixed-patch": (
        "vaste patch, vast gepatcht, patch blijft staan, niet ompatchen, niet omprikken, huispatch, patch ligt vast,"
        " patch vast, niet omgooien, patch niet wijzigen, niet repatchen, standaardpatch blijft, we prikken niet om,"
        " patch niet aanpassen, patch mag niet"
    ),
    "splitter": (
        "splitter, split, actieve split, passieve split, splitterkast, trafosplit, splitkast, split kast, splitsysteem,"
        " microfoonsplitter, mic split, splitrek, passieve splitter, actieve splitter, transformatorsplit,"
        " podiumsplitter"
    ),
    "accept": "kunnen, accepteren, geschikt, slikken, verdragen, mogen, accepteert",
    # Desks, people who mix.
    "desk": (
        "tafel, mengtafel, mixer, mengpaneel, console, geluidstafel, paneel, mengpanelen, mixtafel, paneeltje,"
        " mixertje, tafeltje, geluidsmixer"
    ),
    "front": (
        "foh, foh tafel, zaaltafel, regie, zaalpositie, mengpositie, geluidsregie, fohtafel, mixpositie, front of"
        " house, zaalgeluid, regieplek, zaalmix, tafelpositie, zaal tafel, foh mixplek, mixplek, mixplaats, mengplaats,"
        " regietafel, zaaltechniek, foh paneel, hoofdtafel, tafel in de zaal, foh mixer, zaalmixer, pa tafel, foh"
        " mengtafel, geluidspositie, foh mengpaneel, geluidstafel in de zaal, mengtafel in de zaal, tafelplek,"
        " frontplek, front, technieklocatie, foh regie, de tafel"
    ),
    "to-front": (
        "tot foh, podium foh, naar foh, tot de tafel, tot aan foh, afstand foh, naar de tafel, tot de zaaltafel, naar"
        " de zaal, podium tafel, podium naar foh, podium tot foh, van podium naar foh, tot aan de tafel, tot de"
        " mengtafel, afstand tafel, afstand podium tafel, tot de regie, naar de regie, afstand tot foh, afstand"
        " mengtafel, v/h podium naar foh, tot mengpositie"
    ),
    "monitor-desk": (
        "monitortafel, monitormixer, montafel, monitor tafel, aparte monitortafel, monitorpositie, mon tafel,"
        " monitorregie, monitorpaneel, monitor desk, tweede tafel, aparte tafel voor monitoren, monitortafel op het"
        " podium, podiumtafel, monitorplek, losse monitortafel, monitor console, monitorconsole, eigen tafel voor"
        " monitoren, monitor mixer, monitormengtafel, monitorset met tafel, tafel op het podium, aparte tafel"
    ),
    "mixing": (
        "mixt, mixen, gemixt, mix, regelen, vanaf, bediend, gestuurd, gedraaid, bedient, verzorgt, aangestuurd, gedaan,"
        " draait, gaat via, gaan via, geregeld, geregeld vanaf, doen we vanaf, doen we via, komen van, komt van, wordt"
        " gedaan, worden gedaan, gestuurd vanaf, sturen we, gemengd, mengen, mengt, aangestuurd vanaf, staat aan de"
        " tafel, zit aan de tafel, bedienen, loopt via, lopen via, regelt, vanaf foh, bediend vanaf"
    ),
    "engineer": (
        "technicus, geluidstechnicus, huistechnicus, geluidsman, technici, geluid, geluidsvrouw, huistechnici,"
        " geluidstechnici, vrijwilliger, geluidsmens, technica, huisgeluidsman, technieker, huisgeluidstechnicus,"
        " huismixer, zaaltechnicus, foh technicus, vaste technicus, geluidsjongen, geluidsmeisje, technische man,"
        " geluidstechnieker, geluidsvrijwilliger, eigen huistechnicus, huisgeluidsvrouw, foh engineer, engineer,"
        " geluidsengineer, vaste geluidsman, techneut, technisch medewerker, medewerker techniek, geluidscrew"
    ),
    "visiting": (
        "eigen technicus, eigen geluidsman, gasttechnicus, bandtechnicus, eigen geluidstechnicus, gasttechnici, jullie"
        " technicus, eigen technici, meereizende technicus, eigen mixer, eigen geluidsmens, externe technicus,"
        " gastmixer, eigen technieker, gasttechnieker, eigen engineer, gast engineer, gastengineer, technicus van de"
        " band, geluidsman van de band, eigen foh, zelf iemand mee, zelf een technicus, iemand meenemen, eigen"
        " geluidstechnieker, eigen geluidsvrouw, gast technicus, gasten technici, eigen iemand, jullie geluidsman, zelf"
        " een geluidsman, technicus van jullie, bandmixer"
    ),
    "self-mix": (
        "ik mix, wij mixen, ik doe het geluid, mix ik, ik draai het geluid, ik draai, wij doen het geluid, geluid doe"
        " ik, geluid doen we, geluid doet, doet het geluid, achter de knoppen, aan de knoppen, ik sta aan de tafel, ik"
        " zit aan de tafel, ik regel het geluid, wij regelen het geluid, ik verzorg het geluid, mixen doe ik, mixen"
        " doet, ik sta achter de tafel, ik bedien de tafel, de mix doe ik"
    ),
    "provided": (
        "aanwezig, inbegrepen, beschikbaar, van het huis, inclusief, aanwezig in huis, geleverd, verzorgt, in huis,"
        " doet het geluid, voorzien, wordt verzorgd, ingebouwd, voorhanden, incl, er is altijd, altijd bij, is erbij,"
        " erbij, zit erbij, inbegrepen in de huur, leveren wij, leveren we, hebben wij, hebben we, staat klaar, staan"
        " klaar, vast, van dienst, kan het geluid doen, op locatie, in de huurprijs, standaard, ter plaatse, zorgen wij"
    ),
    "talkback": "talkback, terugspreek, terugspreken, spreekverbinding, terugspreekmic",
    "recording": (
        "opname, stream, streaming, livestream, multitrack, registratie, opgenomen, nemen op, streamen, video,"
        " uitzending, multitrackopname, livestreams"
    ),
    # What is heard.
    "pa": (
        "pa, installatie, geluidsinstallatie, line array, systeem, zaalsysteem, geluidssysteem, hoofdsysteem,"
        " geluidset, toppen, zaalset, speakers, pa systeem, geluidsinstallatie zaal, zaalspeakers, frontset,"
        " luidsprekers, hoofdset, topkasten, set, hoofdinstallatie, pa set, front, geluidsset, topjes, toppen en subs,"
        " geïnstalleerde set, zaal pa, puntbron, arrays, hoofdluidsprekers, fronts, foh systeem, kolom, kolommen"
    ),
    "stereo": (
        "stereo, l/r, links/rechts, lr, links rechts, l-r, l+r, in stereo, li/re, links en rechts, stereofoon,"
        " rechts/links, linker en rechter, linker en rechter kolom"
    ),
    "mono": "mono, in mono, zelfde signaal, allebei hetzelfde, mono gestuurd, mono set",
    "sub": (
        "sub, subs, subwoofer, sublaag, laag, bassen, sub meelopend, subje, laagkasten, baskasten, bas, basspeakers,"
        " sub kasten, subkasten pa, sublow"
    ),
    "own-send": (
        "aparte aux, eigen aux, aparte uitgang, op aux, eigen send, aparte send, losse aux, aparte matrix, aparte"
        " groep, los aangestuurd, apart aangestuurd, eigen matrix, via aux, eigen uitgang, apart te regelen, op een"
        " aux, eigen weg, los te regelen, aux gestuurd, via een aux, losse matrix, aux sub, apart, losse send, via"
        " matrix, op matrix, aparte sturing, eigen sturing, losse sturing, aparte bus, eigen bus, eigen groep, apart op"
        " een aux, via een aparte, via aparte aux, apart uit te sturen, apart uitstuurbaar, apart aan te sturen, los"
        " regelbaar, apart regelbaar, gescheiden aangestuurd, op de aux, op eigen aux, op een matrix, sub aux, subaux,"
        " aux subs, aux-fed, los van de toppen, apart gestuurd, losse uitgang, op een aparte, op aparte, afzonderlijk,"
        " afzonderlijk te regelen, op een eigen"
    ),
    "with-mains": (
        "lopen mee, loopt mee, in de mix, fullrange, via crossover, uit links rechts, niet apart, meelopen, met de"
        " toppen, via het crossover, mee in de l/r, uit de l/r, via de crossover, vanaf l/r, niet los, meelopend, loopt"
        " gewoon mee, volgen de toppen, volgt de toppen, lopen gewoon mee, mee met de rest, crossover, via de"
        " processor, niet apart te regelen, zitten in de l/r, gekoppeld aan de toppen, zelfde sturing, zelfde signaal"
        " als, in de stereo, mee op links rechts, mee op l/r, filter, via het filter, mee met de l/r, hangen aan de"
        " toppen, meegestuurd, niet los te regelen, zonder aparte sturing, met het systeem mee, aan de l/r, op de l/r,"
        " gewoon achter hangt, hangt erachter, erachter hangt"
    ),
    "front-fill": (
        "frontfill, front fill, infill, nearfill, lipfill, ff, nabijheidsspeakers, podiumrandspeakers, speakers in de"
        " podiumrand, frontvulling, lip fill, in-fills, near fill, voorvulling, randspeakers, nearfields"
    ),
    "delay": (
        "delay, delaylijn, delay speakers, delaytoren, delayspeakers, delayset, delaysysteem, vertraagde speakers,"
        " balkonspeakers, delay set, onder balkon, onderbalkon, delay lijn, vertraagde luidsprekers, zaaldelay,"
        " delayers, achterzaalspeakers"
    ),
    "other-fill": "sidefill, drumfill, side fill, drum fill, outfill, drumsub",
    "monitor": (
        "monitor, monitoring, podiummonitor, mons, monitorset, podiumgeluid, monis, monitorsysteem, podium monitoring,"
        " monitorboxen, retourspeakers"
    ),
    "wedge": (
        "wedge, vloermonitor, monitorkasten, monitorspeaker, monitorwedges, monitor wedges, actieve wedges, actieve"
        " monitoren, vloerwedges, floormonitoren, floor monitors, retours, podiumwedges, 12 inch wedges, monitorboxen,"
        " passieve wedges, schuine monitoren, vloerkasten, keilen"
    ),
    "mix": (
        "mix, mixen, groep, mixes, monitormix, monitorgroep, sends, monitormixes, monitorwegen, auxen, aux groepen,"
        " monitorauxen, monitorlijnen, monitorkanalen, aux mixen, monitor mixen, losse mixen, mon mix, aparte mixen,"
        " auxes, monitor groepen, gescheiden mixen, monitorsturingen, sturingen, wegen, monitor mixes, individuele"
        " mixen, monitorsend, monitoruitgangen, aux uitgangen, monitor sends, mixjes, mengingen, uitsturingen,"
        " monitoruitsturingen"
    ),
    "in-ear": "iem, in ear, in ears, oortjes",
    # The room and the stage.
    "capacity": (
        "capaciteit, maximaal aantal bezoekers, max capaciteit, passen, kunnen er, zaalcapaciteit, bezoekersaantal,"
        " kunnen, plek voor, ruimte voor, biedt plaats aan, plaats aan, plaats voor, max. bezoekers, max bezoekers,"
        " aantal bezoekers, kan er, gaan er in, gaan erin, er kunnen, er mogen, mogen er, maximum aantal, max personen,"
        " capaciteit staand, capaciteit zittend, publiek, publieksaantal, bezoekers max, vergunning voor, toegestaan,"
        " maximaal, telt, herbergt, zaal voor, brandweer, goed voor, kan hebben, we kunnen"
    ),
    "people": (
        "personen, mensen, pers, man, gasten, pax, persoon, bezoeker, rechtstaand, publiek, toeschouwers, koppen,"
        " aanwezigen, luisteraars, staanplaatsen"
    ),
    "seat": (
        "stoelen, zitplaatsen, plaatsen, zitplekken, zetels, stoeltjes, zitjes, zitplaats, tribuneplaatsen, plekken"
    ),
    "seated": (
        "zittend, zitplaatsen, stoelen, bestoeld, zit, aan tafels, met stoelen, theateropstelling, tribune,"
        " tafelopstelling, concertopstelling, zitconcert, zittend publiek"
    ),
    "standing": (
        "staand, staanplaatsen, staplaatsen, rechtstaand, zonder stoelen, staconcert, staan, staand publiek, sta"
    ),
    "room": (
        "zaal, ruimte, hal, kelder, kerk, café, loods, tent, theater, club, kroeg, gymzaal, feesttent, foyerzaal, kapel"
    ),
    "stage": (
        "podium, toneel, bühne, podiummaat, speelvlak, podiummaten, podiumvloer, toneelvloer, podiumformaat, scène,"
        " speelvloer, podium is, podiumvlak, podiumoppervlak, speelvlakte, podiumafmeting, podiumruimte, podium meet,"
        " planken, vast podium, toneelmaat, afmetingen podium"
    ),
    "width": (
        "breed, breedte, b, br, podiumbreedte, br., in de breedte, portaal, portaalbreedte, speelbreedte, van links"
        " naar rechts, portaalopening, toneelopening, opening"
    ),
    "depth": (
        "diep, diepte, d, podiumdiepte, in de diepte, speeldiepte, tot achterwand, tot de achterwand, van voor naar"
        " achter"
    ),
    "height": "hoog, hoogte, h, in de hoogte, verhoogd",
    "stage-height": (
        "podiumhoogte, hoogte podium, hoogte van het podium, vanaf de vloer, boven zaalvloer, boven de zaalvloer, boven"
        " de vloer, boven vloer, boven de grond, hoog podium, podium hoogte, boven zaalniveau, boven het maaiveld, van"
        " de vloer, vanaf de zaalvloer, podium is hoog, hoogte podium vanaf, boven de begane vloer, vloer tot podium,"
        " verhoogd met, boven het parket, hoogte speelvlak, boven de dansvloer, van de grond"
    ),
    "headroom": (
        "vrije hoogte, plafondhoogte, hoogte onder truss, tot het grid, tot de kap, tot de trekken, trussing hoogte,"
        " hoogte tot grid, tot plafond, onder de truss, tot het plafond, onder truss, kaphoogte, vrije hoogte boven"
        " podium, hoogte tot, tussen podium en rig, rig, tot de rig, tot truss, tot de truss, tot aan het plafond,"
        " hoogte boven podium, hoogte boven het podium, ruimte boven, onder de kap, grid, trekken, trekkenwand,"
        " plafond, speelhoogte, doorrijhoogte, hoogte grid, balken, werkhoogte, inhanghoogte, maximale hoogte, hoogte"
        " tot dak, tot aan het dak, tot dak, tot de nok, nok, vrije ruimte, trusshoogte, hoogte truss, dakhoogte,"
        " hoogte tot plafond, max hoogte, vrij onder, vrij onder het dak, onder het dak"
    ),
    "riser": (
        "riser, drumriser, praktikabel, drumpodium, podiumdelen, podiumdeel, verhoging, drumverhoging, practicabel,"
        " practicables, praticables, podiumdelen 2x1, podiumblokken, riser delen, drumpodia, podiumelement, praktikabel"
        " delen, verhogen, rolriser, podiumplaten"
    ),
    "door": (
        "deur, deuren, laaddeur, poort, doorgang, gang, vrachtwagen, bus, deuropening, roldeur, rolpoort, hal ingang,"
        " liftmaat, kooi, liftkooi, zijdeur, achterdeur maat, steeg, steegje, brandgang, laadklep, inham, poortje"
    ),
    "other-room": (
        "kleedkamer, parkeren, parkeerplaats, catering, foyer, hotel, douche, keuken, overnachting, merch, parking,"
        " parkeerplekken, eten, warm eten, consumptiebonnen, gastenlijst, hotelkamers, slaapplaatsen, artiestenruimte,"
        " backstage, bedden, broodjes, koelkast, wifi, toiletten, drankbonnen, maaltijden"
    ),
    "outdoors": (
        "buiten, openlucht, open lucht, buitenpodium, buitenlucht, openluchttheater, buitenterrein, terrein, weide,"
        " park, plein, tuin, op het plein, festivalterrein, openlucht podium"
    ),
    "indoors": "binnen, overdekt, binnenpodium",
    "roofed": "overkapping, overkapt, dak, overdekt",
    "distance": (
        "afstand, van het podium, tot het podium, lengte, tot foh, podium foh, van podium, tot de tafel, vanaf het"
        " podium, vanaf podium, afstand foh, van de podiumrand, naar foh, podiumrand, tot aan foh, vanaf de podiumrand,"
        " v/h podium, kabellengte, kabel tot, van podiumrand, afstand tot podium, v.h. podium, naar het podium, tot"
        " podiumrand, van het toneel, kabel, van de bühne, afstand tot het podium, verderop, van de scène, multikabel"
        " lengte"
    ),
    "left": "links, linker, linkerkant, linkerzijde, linkszijde, li",
    "right": "rechts, rechter, rechterkant, rechterzijde, re",
    "stage-left": "stage left, sl",
    "stage-right": "stage right, sr",
    "down-left": "linksvoor, links voor",
    "down-right": "rechtsvoor, rechts voor",
    "up-left": "linksachter, links achter",
    "up-right": "rechtsachter, rechts achter",
    "upstage": (
        "achter op het podium, achterwand, achterop het podium, achterzijde podium, achterkant podium, achterdoek,"
        " midden achter, achter midden, achterin, achterop, achteraan, achter op, achterkant, achterwand podium, achter"
        " de drums, achter het drumstel, achteraan het podium, middenachter, bij de achterwand, achter de drummer,"
        " achterzijde, us center"
    ),
    "downstage": (
        "voorkant podium, podiumrand, voor op het podium, voorop het podium, midden voor, voor midden, voorop, aan de"
        " voorkant, podiumrand midden, vooraan, voorzijde podium, middenvoor, voorrand"
    ),
    "off-stage": (
        "naast het podium, in de coulissen, coulissen, achtertoneel, zijtoneel, zijkant podium, aan de zijkant, in de"
        " coulisse, coulisse, naast podium, achter het podium, zijkant van het podium, off stage, offstage"
    ),
    "audience-view": (
        "vanuit de zaal, vanaf het publiek, publiekszijde, vanuit het publiek, zaalzijde, vanuit publiek, publiekskant,"
        " zaalkant, kijkend naar het podium, vanuit zaal, publieksperspectief, vanaf de zaal, gezien vanaf foh"
    ),
    "performer-view": (
        "vanuit de muzikant, gezien vanaf het podium, muzikantzijde, vanaf de muzikanten, vanaf de band, vanuit"
        " muzikant, kijkend naar het publiek, vanaf het podium gezien, vanuit de band, vanuit de drummer, met gezicht"
        " naar publiek, gezicht naar de zaal, gezien door de muzikant, muzikanten perspectief, vanaf podium gezien,"
        " vanuit artiest, artiestzijde, kijkend naar de zaal, vanuit de artiest, vanuit podium gezien, vanuit het"
        " podium gezien, de zaal in kijkt"
    ),
    # Mains.
    "socket": (
        "stopcontact, aansluiting, wandcontactdoos, groep, krachtaansluiting, wandcontactdozen, stroompunt, wcd, dozen,"
        " stroomgroepen, contactdozen, wandcontactdoosjes, stekkerdozen, stekkerdoos, krachtpunt, voedingen, voeding,"
        " aansluitpunt, dubbele stopcontacten, kringen, kring, circuits, stroomaansluitingen, stroomaansluiting,"
        " afgezekerd, groepjes, wcd's"
    ),
    "power": (
        "haalt de stroom, schakelt de stroom, stroom, elektra, stroomvoorziening, elektriciteit, krachtstroom,"
        " podiumstroom, netspanning, stroomgroepen, elektrische, voeding podium, elektra podium, aggregaat, netstroom,"
        " spanning, krachtstroomaansluiting, stroomaansluiting"
    ),
    "three-phase": (
        "3 fase, drie fase, krachtstroom, driefase, driefasen, 5 polig, 3 fasen, kracht, driefasig, 5p, 400v,"
        " krachtstroomaansluiting, 3x400v, 380v, vijfpolig, 3f, driefase stroom"
    ),
    "one-phase": (
        "1 fase, eenfase, enkelfase, eenfasig, lichtnet, 3 polig, enkele fase, monofase, 1f, 1 fasig, enkelfasig,"
        " driepolig"
    ),
    "iec-60309": (
        "cee, ceeform, cee aansluiting, cee rood, cee blauw, cee contact, ceeform rood, ceeform blauw, krachtstekker"
    ),
    "household": (
        "schuko, huishoudelijk, wandcontactdoos, gewone stopcontacten, schuco, gewone stekkers, normale stopcontacten,"
        " normaal, schukostopcontacten, schuko stopcontacten, schuko's, gewoon stopcontact, geaarde stopcontacten,"
        " huishoudstopcontacten, geaard, 230v stopcontacten"
    ),
    "single-pole": "enkelpolig, klemmen",
    "supply": (
        "groep, verdeler, kast, groepenkast, aggregaat, verdeelkast, zekering, trafo, fase, meterkast, stroomverdeler,"
        " verdeling, kring, hoofdverdeler, meter, schakelkast, subverdeler, voeding, automaat, aardlek, stoppenkast,"
        " generator, elektriciteitskast, transformator, verdeelkastje, fasen"
    ),
    "phase": "fase, fasen",
    "same": (
        "dezelfde, gezamenlijke, zelfde, één groep, gedeeld, één verdeler, zelfde groepenkast, zelfde groep, dezelfde"
        " groep, dezelfde kast, alles op één, alles op 1, op één groep, één kring, zelfde kring, samen op,"
        " gemeenschappelijk, delen, deelt, allemaal op, dezelfde kring, alles hangt op"
    ),
    "separate": (
        "apart, aparte, gescheiden, eigen, los, losse, onafhankelijke, andere, ander, op een andere, gescheiden van,"
        " eigen kring"
    ),
    "lighting": "licht, dimmers, lichttafel, verlichting, lichtinstallatie",
    "audio": "geluid, audio, pa stroom, geluid en podium, geluidsstroom",
    # Limits, times, radio.
    "limit": (
        "limiet, geluidslimiet, maximum, maximaal, max, geluidsniveau, grens, boven, niet boven, leq, laeq,"
        " geluidsnorm, norm, begrenzing, niet harder, geluid, volume, geluidsgrens, niet meer dan, hooguit, convenant,"
        " gemiddeld, begrensd, max geluid, maximaal geluidsniveau, max db, mag niet, niet hoger, niet overschrijden,"
        " overschrijden, maximaal toegestaan, toegestaan, db max, vergunning, geluidsdruk, decibel, limiet is, limiet"
        " van, max., over de, hard, vlarem, categorie, grenswaarde, maximum geluid, niet te hard, niveaus, norm is, max"
        " volume, volumelimiet"
    ),
    "limiter": (
        "begrenzer, geluidsbegrenzer, limiter, geluidslimiter, lawaaibegrenzer, geluidbegrenzer, begrenzing met"
        " uitschakeling, uitschakelaar, geluidswachter, db-meter met uitschakeling, afslag"
    ),
    "capable": "levert, haalt, vermogen, kan leveren",
    "measured": (
        "gemeten, meet, meetpunt, meetmicrofoon, meetpositie, meting, meter, sensor, meetmic, meten, meter hangt,"
        " gemeten op, gemeten bij, meter staat, meetmicro, db meter, decibelmeter, gemeten ter hoogte, opgemeten,"
        " meetpunt is, meetlocatie, bemeten, uitlezing, gelogd, loggen"
    ),
    "cuts": (
        "schakelt de stroom, schakelt uit, schakelt, onderbreekt, slaat af, haalt de stroom, valt uit, afslaat, zet"
        " uit, trekt eruit, gooit, afsnijdt, afsnijden, snijdt, stroom eraf, schakelt het geluid, onderbreken, valt"
        " weg, valt de stroom, gaat de stroom, gooit de stroom, kapt, slaat de stroom, schakelt de pa, zet de pa,"
        " uitschakelt, afschakelt, springt, trekt de stekker, ligt eruit, klapt, legt plat, eraf"
    ),
    "shows-only": (
        "alleen weergave, schakelt niet, alleen indicatie, grijpt niet in, alleen display, alleen uitlezing, geen"
        " afschakeling, waarschuwt alleen, alleen een display, knippert alleen, knippert enkel, enkel indicatie, enkel"
        " display, enkel aflezing, er wordt niets uitgeschakeld, geen uitschakeling, alleen een lampje, geeft alleen"
        " aan, schakelt niet uit, niets wordt uitgeschakeld, enkel weergave, alleen waarschuwing, alleen ter info,"
        " alleen meten, enkel meting, waarschuwt enkel, alleen een meter, alleen stoplicht, niet begrensd"
    ),
    "ceiling": (
        "aan het plafond, in de zaal, boven de dansvloer, plafond, boven het publiek, aan het dak, boven de zaal,"
        " midden zaal, in het midden van de zaal, boven de vloer van de zaal, in de nok, aan een balk, boven publiek,"
        " zaal midden, in het plafond"
    ),
    "neighbours": (
        "buren, erfgrens, buiten, gevel, bij de buren, op straat, bij buren, dichtstbijzijnde woning, dichtstbijzijnde"
        " huis, woningen, gevel van de buren, terreingrens, perceelgrens, op de gevel, buitenshuis gemeten"
    ),
    "curfew": (
        "eindtijd, stil zijn, einde muziek, sluitingstijd, muziek stopt, curfew, einde voorstelling, uiterlijk,"
        " afgelopen, muziek uit, laatste noot, einde optreden, klaar zijn, moet het stil, einde concert, muziek tot,"
        " stoppen, geluid uit, muziek afgelopen, einde show, eind, einde live, gespeeld worden, moet het afgelopen,"
        " klaar, gaat de muziek uit, muziek eindigt, muziek moet uit, uit met de muziek, eind muziek, eind show, einde"
        " van de muziek, einde van het concert, muziek klaar, live tot, concert tot, klaar om, stop muziek, geluid"
        " stopt, geluid moet uit, alles uit, pa uit, volume omlaag, muziek zachter, eindigen, stoppen om, stoppen we,"
        " afgelopen om, afgelopen zijn, laatste nummer, laatste lied, muziek einde, einde geluid, nachtrust, einduur,"
        " sluitingsuur, muziek mag tot, spelen tot, gespeeld tot, curfew is, om is het klaar, muziek ten einde,"
        " versterkte muziek meer"
    ),
    "load-in-time": (
        "load in, laden vanaf, get in, opbouw vanaf, loadin, aankomst, laadtijd, inladen, opbouw, binnenkomst, laden en"
        " lossen vanaf, laden kan vanaf, opbouwen vanaf, opbouwen kan vanaf, inladen vanaf, aankomst band, zaal open"
        " voor, aankomst vanaf, binnen vanaf, toegang vanaf, deur open voor crew, ontvangst vanaf, ontvangst band, get"
        " in vanaf, load in vanaf, laden en lossen om, techniek aanwezig vanaf, load in om"
    ),
    "other-time": (
        "deuren open, aanvang, soundcheck om, zaal open, kantooruren, deuren, afbouw, eten, diner, soundcheck, deur"
        " open, start, start concert, changeover, ombouw, voorprogramma, hoofdact, eten om, speeltijd, doors, linecheck"
        " om, set, catering om, show om, begin, aanvangstijd, kassa open, telefonisch bereikbaar"
    ),
    "access": (
        "laden, lossen, laden en lossen, toegang, inladen, laadperron, uitladen, binnenkomen, bereikbaarheid, load in,"
        " laad en los, spullen, inkomen, aanvoer, laaddok, laadkade, inladen via, laden via, toegang podium, lossen"
        " via, naar binnen, binnen via, ingang, artiesteningang, laadplaats, laden kan, spullen naar binnen, in- en"
        " uitladen, loading, laden/lossen, aanrijden, spullen binnen, toegankelijk via, flightcases, aanvoerroute,"
        " laadroute, sjouw, laadzone, los en laad"
    ),
    "level-way": (
        "gelijkvloers, zonder drempels, drempelvrij, begane grond, gelijk met toneelvloer, drempelloos, gelijk met het"
        " podium, vlak, geen drempels, straatniveau, zonder trappen, geen trappen, op podiumhoogte, geen trap, gelijk"
        " aan de straat, op straatniveau, vlakke vloer, zelfde niveau, zonder trap, zonder treden, geen treden,"
        " drempelloze, stoep ja, rolt zo naar binnen, recht naar binnen, op gelijke hoogte, gelijke vloer, één niveau,"
        " vlakke toegang, rolbaar"
    ),
    "ramp": (
        "helling, oprijplaat, laadhelling, oprit, hellingbaan, hellinkje, rijplaten, hellend vlak, klein hellend vlak,"
        " oprijgoot, schuin vlak, hellende, laadgoot, oprijplaten, rampe"
    ),
    "stairs": (
        "trap, trappen, treden, traptreden, trede, trapje, trapopgang, wenteltrap, trappetje, treetjes, tree,"
        " trappenhuis"
    ),
    "lift": "lift, goederenlift, laadlift, vrachtlift, personenlift, heftafel, podiumlift, schaarlift, plateaulift",
    "no-lift": "geen lift, zonder lift",
    "public": "rolstoel, publieksingang, mindervaliden",
    "radio-mic": (
        "draadloze microfoon, handheld, draadloze handhelds, handzender, draadloze mics, draadloze handmicrofoons,"
        " draadloze handmic, beltpacks, handmics draadloos, dasspelden, draadloze zenders hand, draadloze headset,"
        " draadloze micro's, hoofdmicrofoons, draadloze sets handheld, headset, draadloos handheld, draadloze micro"
    ),
    "wireless": (
        "draadloos, draadloze, zender, frequentie, rf, wireless, frequentiegebied, frequentieband, zendapparatuur,"
        " banden, spectrum, zendfrequenties, eigen zenders"
    ),
    "coordinates": (
        "coördinatie, coördineert, frequentiecoördinatie, frequentieplan, afstemmen, coördineren, frequentieplanning,"
        " deelt uit, verdeelt de frequenties, aanmelden, melden bij, coördinator, afgestemd, spreek je af, spreek af"
        " met, afspreken met, frequenties spreek, frequenties in overleg met, overleggen met, afstemmen met, in overleg"
        " met, doorgeven aan, frequenties doorgeven, aan te vragen bij, aanvragen bij, frequentiebeheer, beheert,"
        " regelt de frequenties, frequenties regelt, frequentie coördinatie, frequenties via, coördinatie door, plant"
        " de frequenties, toegewezen door, wijst toe, verdeelt, deelt frequenties, frequenties worden, geef"
        " frequenties, frequenties melden, rf coördinatie, gecoördineerd, centraal gecoördineerd"
    ),
    "forbidden": "verboden, niet toegestaan, vermijden, niet gebruiken, mag niet",
    # What can be lent, who is there.
    "di": "di, dis, di's, dibox, di kasten, di kastje",
    "mic": (
        "microfoon, mic, mics, zangmicrofoons, zangmics, microfoontjes, micro's, micro, microfoonpakket, microfoonset,"
        " mickoffer, zangmicro's, micset, microfoonkoffer, instrumentmics, instrumentmicrofoons, standaard mics"
    ),
    "stand": (
        "statief, statieven, microfoonstatieven, standaard, standaards, micstatieven, microfoonstandaards, hengels,"
        " standaarden, hengelstatieven, micro statieven, microstatieven, hoge statieven, lage statieven, micstands, mic"
        " stands, statiefjes, hengeltjes, microfoonhengels, ronde voeten, stands, microstandaards"
    ),
    "dynamic": "dynamisch",
    "condenser": "condensator",
    "active": "actieve, actief",
    "passive": "passieve, passief",
    "tall": "hoge, grote, groot, lang, hoog",
    "short": "lage, klein, laag, kort",
    "crew": (
        "onze crew, huistechnici, onze mensen, onze technici, eigen crew van het huis, huiscrew, onze stagehands, ons"
        " team, huistechniekers, onze techniekers, de crew, podiumcrew, onze vrijwilligers, onze ploeg, hands,"
        " stagehand, technische ploeg, lokale crew, locale crew, stagemanager, podiumtechnicus, podiumploeg, onze"
        " medewerkers, onze stagecrew, technische crew, huis crew"
    ),
    "band-crew": "band plugt, jullie pluggen, de band prikt, bands prikken, jullie prikken",
    "plugs": (
        "plugt, pluggen, prikt, prikken, bekabelt, bekabelen, inpluggen, inprikken, pluggen in, plugt in, prikken"
        " alles, steekt, steken, patcht, patchen het podium, aansluiten, sluit aan, sluiten aan, bekabeling, doen het"
        " prikken, prikwerk, verzorgt de bekabeling, bekabelt het podium, plug in, ingeplugd door, geprikt door,"
        " sluiten alles aan"
    ),
    "sound-check": (
        "soundcheck, geluidscheck, soundchecks, sound check, geluidstest, uitgebreide soundcheck, soundchecken,"
        " geluidchecks, checken"
    ),
    "line-check": (
        "linecheck, line check, alleen linecheck, lijncheck, enkel linecheck, enkel een linecheck, alleen een"
        " linecheck, checken van lijnen"
    ),
    "technical-role": (
        "hoofd techniek, technisch contact, productieleider, technische dienst, huistechnicus, hoofd geluid, eerste"
        " inspiciënt, productie, podiummanager, technisch coördinator, onze huistechnicus, inspiciënt,"
        " productiekantoor, technische leiding, afdeling geluid, stagemanager, techniek, geluidsafdeling, chef"
        " techniek, chef geluid, technisch producent, hoofdtechnicus, productie contact, productieverantwoordelijke,"
        " technisch verantwoordelijke, technische verantwoordelijke, verantwoordelijke techniek, technische"
        " coördinatie, technisch leider, tech contact, technisch manager, technisch hoofd, hoofdtechnieker, technisch"
        " directeur, zaaltechnicus, podiummeester, toneelmeester, hoofd podium, productiemanager, rf coördinator, rf"
        " man, contact techniek, hoofd podiumtechniek, tech, eerste geluidstechnicus, geluidsverantwoordelijke,"
        " verantwoordelijke geluid, coördinator techniek, technisch team, techniekteam, dienst techniek, team techniek,"
        " productieleiding, productiebureau"
    ),
    "contact": (
        "contact, contactpersoon, vragen, bij vragen, bereikbaar, aanspreekpunt, informatie, vragen bij, bellen met,"
        " contactgegevens, vraag naar, bellen, bel, mailen naar, mail naar, aanspreekpersoon, vragen aan, vragen over,"
        " neem contact op, info, te bereiken, bij problemen, voor vragen, contact op de dag, bel maar, app, appen,"
        " contactpersoon techniek"
    ),
    "phone": "tel, telefoon, mobiel, gsm, mob, nummer, t, m, 06",
    "other-office": (
        "kassa, programmering, marketing, verhuur, boekingen, kantoor, horeca, directie, beveiliging, administratie,"
        " booking, receptie, programmeur, bedrijfsleider, bar, ticketing, tickets, zaalhuur, verhuur contact,"
        " programmator, boekingskantoor, communicatie, pers, lichttechnicus, licht, lichtman, secretariaat, zaalwacht,"
        " huisbaas, gemeente, voorzitter, noodnummer, onthaal, balie, keuken, catering, gastvrouw,"
        " artiestenbegeleiding, planner, planning, eigenaar, uitbater, baas, zakelijk leider, artistiek leider"
    ),
    "greeting": (
        "groet, met vriendelijke groet, groetjes, bedankt, tot dan, mvg, vriendelijke groeten, gr, tot snel, hartelijke"
        " groet, tot zaterdag, doei, grt, met groet, mazzel, groetjes en tot dan, dag, tot ziens, tot gauw, tot zo,"
        " later, de groeten, met muzikale groeten, hoogachtend, succes, hopelijk tot snel, dank, alvast bedankt, dank"
        " je wel, thx, merci, cheers, gegroet, liefs, xx, tot horens, vele groeten, veel groetjes, tot de volgende"
    ),
    "red": "rood, rode",
    "blue": "blauw",
    "from": "vanaf, van, via, v.a., vanuit, door, vanaf de, uit",
    "music": (
        "muziek, geluid, concert, live, band, lawaai, optreden, gespeeld, muziek en geluid, livemuziek, live muziek,"
        " versterkt, spelen, volume, show, feest, gig, gigs, set"
    ),
    "ends": (
        "stopt, eindigt, afgelopen, uit, klaar, gaat uit, gaat de muziek uit, stil, eind, over, gedaan, uiterlijk,"
        " stoppen, eindigen, dicht, sluit, zachter, maximum tot, tot, tot uiterlijk, stop, laatste, geen muziek meer,"
        " mag er geen, meer klinken"
    ),
    "house-use": (
        "dj, djs, presentator, presentatrice, omroep, achtergrondmuziek, pauzemuziek, huismicrofoons, spreker, mc,"
        " spreekstalmeester, quiz, video, huisdj, quizmaster, quizmicrofoon, presentatie, presentatiemic,"
        " spreekgestoelte, huismuziek, muziek van de bar, barmuziek, publieksmics, sfeermics, ambiance mics,"
        " sfeermicrofoons, stream, livestream, film, filmgeluid, bioscoop, karaoke, bingo, koor, koormics, orgel,"
        " pastoor, dominee, kerk, intercom, laptop, computer, beamer, playback, cd speler, host, omroepmic,"
        " ceremoniemeester, deejay, draaitafels, huis mics, spreekmic, preekstoel"
    ),
    "patch": "patch, prik",
    # Small words.
    "is": (
        "is, zijn, heeft, bedraagt, meet, telt, hebben, staat, ligt, zit, biedt, beschikt over, voorzien van, staan er,"
        " bestaat uit, telt er, zitten er, liggen"
    ),
    "per-side": "per kant, per zijde, aan beide kanten, elke kant",
    "effects": "galm, reverb, effect",
    "not": (
        "niet beschikbaar, geen, niet, zonder, nee, niks, nooit, nul, noch, nope, is er niet, zijn er niet, ontbreekt,"
        " ontbreken, niet aanwezig, nvt, kapot, stuk, defect, hebben we niet, geen enkele, nergens, niemand, afwezig,"
        " buiten gebruik, noppes, neen, zonder eigen"
    ),
    "or": "of, noch",
    "and": "en, met, maar, plus",
    "yes": "ja, jazeker, jep, jawel, zeker, ok, uiteraard, natuurlijk, yes, jup",
    "maybe": (
        "op aanvraag, indien nodig, in overleg, eventueel, tegen meerprijs, misschien, optioneel, desgewenst, kan"
        " gehuurd, op verzoek, denk ik, mogelijk, meestal, gerust, als jullie, waarschijnlijk, normaal gesproken,"
        " afhankelijk, bij te huren, in te huren, onder voorbehoud, als dat nodig, zo nodig, volgens mij, geloof ik,"
        " zou kunnen, kan geregeld, tegen betaling, soms, te regelen, welkom, nader te bepalen, geen idee, indien"
        " gewenst, in principe, huren, kan wel, lenen, te leen, uiteraard welkom, toegestaan, mits, op afspraak, af te"
        " spreken, indien beschikbaar, als het kan, in bruikleen, bruikleen, huur, gehuurd, bijgehuurd, ingehuurd,"
        " vergoeding, meerkost, extra kosten, kosten, op bestelling, bestellen, vraag ernaar, vragen, vooraf, op tijd"
        " melden, doorgaans, vaak, in de regel, gewoonlijk, af en toe, bij slecht weer, bij mooi weer, als het weer,"
        " vermoedelijk, lijkt me, dacht ik, schat ik, gok, zoiets, niet zeker, weet ik niet, binnenkort, tijdelijk,"
        " voorlopig, in reparatie, wordt vervangen, kunnen we regelen, kunnen we lenen, bespreekbaar, te bespreken, in"
        " samenspraak, naar wens, naar keuze, kan eventueel, mogen ook, mag ook, mag altijd, mogen altijd, geen"
        " probleem, prima, kan ook, zouden, zou moeten, in theorie, als het goed is, behalve, uitgezonderd, vroeger,"
        " voorheen, oude"
    ),
    "bring": (
        "meenemen, meebrengen, zelf mee, neem, brengt, neemt, door de band, breng, zelf voorzien, zelf te voorzien,"
        " neem je eigen, eigen meenemen, brengen jullie, neemt de band, moeten jullie, door de artiest, meegebracht,"
        " mee te brengen, moet de band, brengt de band, eigen inbreng"
    ),
    "only": "alleen, slechts, maar één, enkel, uitsluitend, één enkel, maar 1, eentje",
    "approx": (
        "ca, circa, ongeveer, zo'n, rond, bijna, max, maximaal, tot, hooguit, om en bij, een stuk of, plusminus, zowat,"
        " een kleine, een dikke, krap"
    ),
    "oclock": "uur, u",
    "midnight": "middernacht",
    "half": "half",
    "half-hour": "half",
    "minute": "min, minuten, minuut",
    "metre": "m, meter, mtr",
    "centimetre": "cm, centimeter",
    "millimetre": "mm",
    "ampere": "a, ampère, amp",
    "times": "x, keer, maal, stuks",
    "by": "x, bij, op, keer",
    "to": "tot, t/m, en, tm, tot en met",
    "piece": "stuks, st, stk, aantal, stuk, nr, st.",
    "working": "onafhankelijke, aparte, losse, gescheiden, actieve, gebalanceerde, xlr",
    "dozen": "dozijn",
    "size-word": "afmeting, maten, maat",
    "first": "eerste",
    "quarter-hour": "kwartier",
    "full-hour": "uurgemiddelde, per uur gemiddeld",
    "n-thousand": "duizend",
}
