"""French. Common practice of the trade, no source."""

WORDS: dict[str, str] = {
    # The inputs and what carries them.
    "box": (
        "boîtier de scène, boîtier scène, boitier, patch de scène, patch scène, stage box, stagebox, boîte de scène,"
        " stage rack, rack de scène, rack scène, bloc de scène, boîtier plateau, patch plateau, boîte scène, coffret de"
        " scène, boîtier d'entrées, patch, boîte de patch, boîtier de patch, boîte plateau, boîte de raccordement,"
        " bornier scène, point de patch, boîtiers de scène, prise de scène, boîtier audio, plastron, boîte d'entrées,"
        " patch de plateau, tête de multi, tête de multipaire, boîtier de plateau, platine scène, arrivée multi, bloc"
        " entrées"
    ),
    "multicore": "multipaire, snake, câble multipaire, multi, câble multi, passage de câbles",
    "sub-box": (
        "sous patch, sous boîtier, boîtier batterie, épanoui, sous répartiteur, sous boîte, sous multi, boîtiers"
        " satellites, petit boîtier, boîtiers secondaires, sous multipaire, satellite"
    ),
    "input": (
        "entrée, input, entrées micro, entrée micro, préampli, entrées xlr, départs scène, lignes micro, voies micro,"
        " entrées de scène, entrées plateau, départs micro, lignes montantes, micros lignes, lignes aller, aller,"
        " entrées analogiques, lignes vers la face, lignes vers la régie, lignes scène"
    ),
    "output": "sortie, output, sorties xlr",
    "short-in": "in, ins",
    "short-out": "out, outs",
    "return": (
        "retour ligne, retours ligne, lignes retour, lignes de retour, retours xlr, return, retour scène en ligne,"
        " retour, lignes descendantes, retours vers la scène, retours plateau ligne, retours vers le plateau, retours"
        " de lignes, retours audio, lignes en retour, sens retour, retours multi, sorties retour"
    ),
    "channel": (
        "voie, canal, canaux, ligne, lignes, ch, tranche, paire, circuits modulés, circuits micro, arrivées, liaisons"
    ),
    "input-list": "patch list, liste de patch, input list",
    "free": (
        "libre, disponibles pour, à votre disposition, utilisables, pour vous, pour les groupes, restent, reste, pour"
        " le groupe, à disposition des groupes, dispo, disponibles, restent libres, sont à vous, à vous, pour les"
        " bands, vous avez, vous disposez, laissons, pour les artistes, pour les accueils, utilisables par, accueil,"
        " restantes"
    ),
    "kept": (
        "réservé, réservée, réservés, utilisées par, prises par, pris, affectées, bloquées, dédiées, dédiée, sert au,"
        " servent au, mobilisées, pour la maison, réquisitionnées, on touche pas, ne pas toucher, on n'y touche pas,"
        " sont celles, est celle, bloqués, pour le dj, pris par, indisponibles, non disponibles, attribuées, attribués,"
        " réservés à, à nous, monopolisées, servent pour, sert pour, utilisés par, occupé, restent à la maison, reste à"
        " la maison, restent à la salle, restent chez nous"
    ),
    "permanent": (
        "en permanence, restent branchées, restent branchés, reste branché, à demeure, restent câblées, fixe, toujours"
        " câblées, câblées en permanence, branchés en permanence, restent câblés, toujours branché, reste câblé, ne se"
        " débranchent pas, jamais débranchés, jamais être débranchées, jamais débranchées, ne doivent jamais, ne jamais"
        " débrancher, laisser branché, restent patchés, restent patchées, on laisse branché, branchées en permanence,"
        " câblé en fixe, câblés en fixe, câblées en fixe, à laisser, pas débrancher, restent en place, patchées en"
        " fixe, patchés en fixe, patché en permanence, toujours patchés, toujours patchées, laissées en place, laissé"
        " en place, laissés en place"
    ),
    "second": "deuxième, second, seconde, 2e, 2eme, un autre, une autre, la seconde, n°2, numéro 2, bis",
    "each": (
        "par voie, voie par voie, individuelle, individuellement, indépendante par voie, par canal, sur chaque voie,"
        " chaque voie, ligne par ligne, par tranche, par entrée, individuel, sur chacune, chacune, séparément, sur"
        " chaque entrée, indépendamment, indépendant, voie à voie, entrée par entrée, par ligne, unitaire,"
        " unitairement, séparée par voie, canal par canal, par piste"
    ),
    "bank": "bloc, groupe, groupes, banc, bancs, par paquets, paquets, banque, banks",
    "one-switch": (
        "général, global, un seul interrupteur, interrupteur unique, pour toutes les voies, toutes voies, commun, sur"
        " tout, un seul bouton, un bouton, sur toutes les voies, d'un coup, tout ou rien, toutes les voies en même"
        " temps, pour toutes, pour l'ensemble, en bloc, unique, ensemble, toutes à la fois, sur toute la boîte, par"
        " boîtier, tout le boîtier, pour tout le monde"
    ),
    "phantom": "fantôme, alimentation fantôme, phantom, 48v, alim fantôme, alim 48v, p48, 48 volts, alim phantom",
    "line-level": "niveau ligne, signaux ligne, niveaux ligne",
    "soft": (
        "patch libre, patch logiciel, patch numérique, soft patch, librement patchable, softpatch, patch virtuel,"
        " assignables librement, patchable librement, entièrement patchable, logiciel, patch numérique libre, on patche"
        " dans la console, patch dans la console, routage libre, librement assignable, patch entièrement libre,"
        " assignation libre, patch assignable, patch en numérique, tout est patchable, routable, reroutable,"
        " affectation libre, numériquement, patch souple, souple"
    ),
    "one-to-one": (
        "1 pour 1, 1:1, un pour un, patch droit, un à un, 1 à 1, ligne pour ligne, même numéro, 1 / 1, numéro pour"
        " numéro"
    ),
    "fixed-patch": (
        "patch fixe, patch maison, patch à demeure, patch figé, on ne repatche pas, ne pas repatcher, patch permanent,"
        " patch qui ne bouge pas, le patch ne change pas, patch résident, patch imposé, patch à ne pas modifier, ne pas"
        " modifier le patch, patch en fixe, pas de repatch, merci de ne pas repatcher"
    ),
    "splitter": (
        "splitter, split, splitteur, boîte de split, split passif, split actif, split transformateur, split à"
        " transformateur, boîte de séparation, splitter actif, splitter passif, splitteur actif, séparateur, doublage"
        " de lignes, boîtier split, système de split, splittés, splittée, doublées, splitées"
    ),
    "accept": "acceptent, accepte, supportent, prennent, supporte, tolèrent, tolère, encaissent, acceptant",
    # Desks, people who mix.
    "desk": (
        "console, table de mixage, table, mixeur, table de mix, mixette, console son, surface de contrôle, consoles"
        " numériques, table son, mélangeur, console audio, consolette, surface, bécane, pupitre"
    ),
    "front": (
        "foh, façade, face, régie, régie son, console face, console façade, console de façade, console de face, régie"
        " façade, régie face, régie salle, la face, console foh, fohs, régie de façade, console en salle, console de la"
        " face, table de façade, régie technique, poste de mixage, point de mixage, cabine, régie fixe, foh régie,"
        " devant, poste face, table de face, cabine régie, gradin régie, emplacement console, position console, console"
        " principale, position face, emplacement de la régie, console salle, console de salle, du foh, de face"
    ),
    "to-front": (
        "jusqu'à la régie, jusqu'à la face, vers la régie, scène régie, plateau régie, distance régie, face scène,"
        " régie scène, à la régie, jusqu'à la console, vers la face, scène face, plateau face, distance scène régie,"
        " distance plateau régie, de la scène à la régie, du plateau à la régie, face plateau, scène console"
    ),
    "monitor-desk": (
        "console retour, plateau retours, régie retour, console de retour, console moniteur, console monitor, table de"
        " retours, console en coulisse, console à jardin, console à cour, console retours dédiée, deuxième console,"
        " console plateau, console de plateau, pupitre retours, seconde console, plateau : console, poste de retours,"
        " mixeur retours, poste retour, table retour, console dédiée aux retours"
    ),
    "mixing": (
        "mixés, mixé, mixage, mix, géré, pilotés, fait depuis, faits depuis, mixés depuis, envoyés, pilotée, assuré,"
        " assurés, depuis, contrôlé, faits de, faits par, envoyés de, gérés de, gérés par, géré de, mixés de, mixés"
        " par, se font, se fait, pilotés depuis, pilotage depuis, commande, contrôlés de, depuis la console, partent"
        " de, part de, fait de"
    ),
    "engineer": (
        "technicien son, ingénieur du son, ingé son, sonorisateur, technicien, sondier, régisseur son, technicienne,"
        " ingé, ingénieur son, tech son, technicien d'accueil, ingés son, sonoriste, technicien de son, tech,"
        " ingénieurs du son, bénévole son, bénévole, techniciens son, technicien permanent, régisseurs, ingénieure du"
        " son, ingée son, personnel technique, technicien d'accueil son, opérateur son, opérateur, technicien de salle,"
        " un technicien, régie assurée"
    ),
    "visiting": (
        "votre sonorisateur, votre ingé son, votre technicien, propre ingénieur, technicien du groupe, votre ingénieur,"
        " sonorisateur du groupe, ingé son du groupe, votre technicienne, votre propre technicien, votre propre ingé,"
        " votre propre ingé son, technicien extérieur, votre sondier, ingé son extérieur, technicien de tournée,"
        " techniciens invités, ingénieurs des artistes, ingénieur du groupe, ingénieur des groupes, technicien des"
        " groupes, sonorisateurs extérieurs, ingés extérieurs, si vous avez quelqu'un, amenez votre, avec votre,"
        " technicien invité, son propre technicien, vos techniciens, technicien tournée, ingé son de tournée, votre"
        " technicien son, ingénieur de tournée, votre propre sonorisateur, propre sondier, technicien du band, vos"
        " sondiers, ingé du groupe, ingés son des groupes, votre ingénieur du son, accueil d'ingé son, ingés son"
        " accueillis"
    ),
    "self-mix": (
        "je fais le son, je mixe, nous mixons, je sonorise, je m'occupe du son, on fait le son, on mixe, je gère le"
        " son, c'est moi au son, moi au son, je vous mixe, le son c'est, au son c'est, je m'occupe de la sono, à la"
        " console c'est, derrière la console, c'est lui qui mixe, c'est elle qui mixe, qui mixe c'est, je tiens la"
        " console, je suis au son, je suis à la console, on sonorise, mixage par mes soins, mixe le plateau, je"
        " sonoriserai, je mixerai, mixé par moi"
    ),
    "provided": (
        "fourni, inclus, disponible, assure, présent, compris, assurent, assurée, à disposition, sur place, installés,"
        " intégrés, prévu, disponibles, comprend, compris dans, inclus dans, mis à dispo, habituellement, nous"
        " fournissons, on fournit, fait partie, en place, permanent, dispo sur place, prévoit, est là, sera là, sont"
        " là, de service, dans la location, équipée"
    ),
    "talkback": "talkback, réseau d'ordres, talk back, micro d'ordre, ordre, ordres vers le plateau",
    "recording": (
        "enregistrement, captation, streaming, stream, multipiste, diffusion en direct, enreg, retransmission,"
        " enregistre, captations, en ligne, webdiffusion, diffuse en direct, car régie, régie vidéo, stream vidéo"
    ),
    # What is heard.
    "pa": (
        "façade, diffusion, sono, système façade, système de diffusion, sonorisation, line array, pa, système son,"
        " enceintes, système principal, système de façade, tetes, enceintes de façade, sono de façade, system,"
        " clusters, line source, accroche, points sources, diffusion façade, facades, ensemble de diffusion, système"
        " diffusion, colonnes, dispositif de diffusion, plan de diffusion, sonorisation principale, sono principale,"
        " diff"
    ),
    "stereo": (
        "stéréo, l/r, gauche/droite, gauche droite, g/d, lr, l-r, stéréophonique, stéréophonie, lr stéréo, d/g, droite"
        " gauche, deux côtés, gauche et droite, g-d"
    ),
    "mono": "mono, monophonique, mono sur deux côtés, somme mono, même signal, un seul canal, sommé, centrale",
    "sub": (
        "subs indépendants, subs séparés, sub, subs, caisson de grave, caissons de grave, subwoofer, caisson, subgrave,"
        " infra, caissons de basse, renforts de grave, renfort de grave, basses fréquences, grave, sub graves, woofers,"
        " boomers, basse, caissons graves, infragrave, infra basses"
    ),
    "own-send": (
        "départ séparé, aux séparé, sur aux, départ auxiliaire, envoi séparé, subs indépendants, départ indépendant,"
        " sortie séparée, départ dédié, aux dédié, auxiliaire dédié, par un aux, par aux, sur auxiliaire, aux"
        " indépendant, sortie dédiée, matrice dédiée, sur un aux, sur matrice, sur un auxiliaire, sur un départ, sur"
        " départ, sortie indépendante, gérés séparément, indépendants, séparés, en aux, attaqués séparément, en"
        " auxiliaire, matrice distincte, attaqués par une matrice, bus séparé, départ propre, départ à part, à part,"
        " envoi dédié, envoi propre, gestion séparée, contrôle séparé, sur aux séparé, leur propre départ, leur aux,"
        " gérés par aux, gérés à part, séparément, contrôlés par un aux, contrôlés par aux, mix séparé, sur matrice"
        " séparée, sortie matrice, commandés par, indépendant, départ sub, aux sub, sub sur aux, subs sur aux, subs en"
        " aux, départ grave séparé, groupe séparé, sur un bus"
    ),
    "with-mains": (
        "avec les têtes, alimentés avec, dans le mix, avec la façade, filtrés avec, sur le gauche droite, passifs, par"
        " filtre, dans la façade, sur le lr, via le filtre, suivent la façade, pas de départ sub, repris du stéréo,"
        " avec le système, pas séparés, sur le stéréo, sur la stéréo, par le filtre, même départ, dans la stéréo, pas"
        " indépendants, issus de la façade, suit, suivent, le sub suit, les subs suivent, suit les têtes, filtré, en"
        " passif, non séparé, pas de départ séparé, pas de départ dédié, sur la même sortie, avec la stéréo, dans le"
        " gauche/droite, sur le l/r, dans le l-r, repris sur la façade, filtre passif, liés aux têtes, couplés aux"
        " têtes, filtre actif de la façade, sur les mêmes canaux, inclus dans le mix, pas d'aux, sans départ séparé"
    ),
    "front-fill": (
        "front fill, frontfill, débouchage, nez de scène, in fill, infill, lip fill, enceintes de nez de scène,"
        " frontfill's, fills, enceintes de débouchage, débouchage avant scène, petites enceintes en nez de scène,"
        " bouche-trou, near fill, débouche nez de scène, ff, débouchages avant, enceintes nez de scène, débouche,"
        " débouchage nez de scène"
    ),
    "delay": (
        "délai, delay, rappel, retards, ligne à retard, enceintes de rappel, ligne de rappel, lignes de rappel, rappels"
        " de diffusion, retardée, enceintes retardées, ligne de retard, lignes de retard, tours de délai, tours de"
        " rappel, système de rappel, système retardé, rappels balcon, enceintes sous balcon, diffusion retardée,"
        " sous-balcon, délais balcon, diffusions retardées"
    ),
    "other-fill": "sidefill, side, drum fill, drumfill, sub batterie, outfill, out fill",
    "monitor": (
        "retour, moniteur, monitoring, retours de scène, retour de scène, retours scène, système retours, son plateau,"
        " moniteurs de scène, retours plateau, circuit retour, écoute, enceintes de retour, enceinte de retour, bains,"
        " son retour, monitors, wedges retours"
    ),
    "wedge": (
        "wedge, bain de pied, bains de pied, retours bain de pied, retour bain de pied, retours de sol, retours au sol,"
        " retours bains de pied, bdp, cales, retours actifs, moniteurs de sol, moniteurs bain de pied, retours wedges,"
        " enceintes bain de pied, bains de pied actifs, wedges actifs, cubes, moniteurs de plancher, retours de"
        " plancher, moniteurs au sol, retours bdp, retour au sol, enceintes de retours"
    ),
    "mix": (
        "mix, mixes, circuit, circuits, départ, départs, mixes retours, mix de retours, départs retour, mix retour,"
        " auxiliaire, envois, circuits retour, canaux de retours, lignes de retours, départs moniteurs, mix"
        " indépendants, dep, départs auxiliaires, auxs, mixs, circuits de retour, circuits séparés, mix séparés,"
        " départs de retour, voies de retour, circuits indépendants, retours séparés, lignes retours mix, canaux"
        " retours, sorties retours, mix moniteur, mixages retours, envois retours, départs indépendants, départs"
        " différents, aux retours"
    ),
    "in-ear": "iem, in ear, ear monitor, in ears",
    # The room and the stage.
    "capacity": (
        "jauge, capacité, jauge maximale, jauge max, accueille, accueillir, erp, jauge debout, jauge assise, capacité"
        " d'accueil, reçoit, recevoir, effectif, on rentre, tiennent, limitée à, public max, effectif public, jauge"
        " public, entre, on tient à, on loge, accueil de, attend"
    ),
    "people": (
        "personnes, pers, spectateurs, places, public, pax, personne, gens, têtes, spectatrices, auditeurs, clients,"
        " convives, visiteurs, tête, debouts, assis, entrées payantes"
    ),
    "seat": (
        "places assises, sièges, places, strapontins, gradin, chaises, places en gradin, places numérotées, fauteuil,"
        " bancs"
    ),
    "seated": (
        "assis, assise, places assises, cabaret, en gradin, gradin déployé, avec chaises, avec gradin, banquet, à"
        " table, en tables, places gradin, en assis, théâtre"
    ),
    "standing": "debout, places debout, gradin replié, sans chaises, sans gradin, fosse, concert debout",
    "room": (
        "salle, club, halle, lieu, auditorium, cave, chapelle, église, chapiteau, hangar, grange, bar, théâtre,"
        " gymnase, grande salle, café"
    ),
    "stage": (
        "scène, plateau, dimensions scène, aire de jeu, espace scénique, dimensions de la scène, dimensions plateau,"
        " podium, dimensions du plateau, surface de jeu, estrade, plato, stage, tréteaux, espace de jeu, scène fixe,"
        " scène mobile, plateau de jeu, surface scénique, aire scénique, cage de scène, plancher de scène, surface de"
        " scène"
    ),
    "width": (
        "largeur, ouverture, l, de large, de largeur, d'ouverture, cadre de scène, de mur à mur, d'un mur à l'autre,"
        " larg, ouv, ouverture au cadre, cadre, largeur au cadre, largeur scène, l., frontal, ouverture utile"
    ),
    "depth": (
        "profondeur, profond, p, de profondeur, prof, de fond, du nez de scène au fond, jusqu'au fond, jusqu'au mur du"
        " fond, profondeur scène"
    ),
    "height": "haut, hauteur, h, de haut, de hauteur, ht, h., de ht, surélévation",
    "stage-height": (
        "hauteur de scène, hauteur scène, hauteur du plateau, du sol, hauteur plateau, hauteur de plateau, hauteur de"
        " la scène, hauteur nez de scène, surélevé, au dessus du sol, au dessus du parterre, au dessus de la salle, au"
        " dessus de la fosse, hauteur de plancher, du plancher, hauteur de nez de scène, haute de, surélevé de, par"
        " rapport au sol, niveau salle, au dessus du niveau de la salle, hauteur podium, hauteur de podium, plancher à"
    ),
    "headroom": (
        "hauteur sous perches, hauteur sous plafond, gril, hauteur libre, sous perche, hauteur sous gril, hauteur sous"
        " pont, sous pont, hauteur utile, sous plafond, sous grill, hauteur grill, hauteur sous grill, hsp, sous"
        " accroche, hauteur d'accroche, ss plafond, sous le plafond, dégagement, dégagement en hauteur, sous les"
        " perches, à l'appui haut, hauteur d'appui, appui haut, sous poutre, sous porteuse, sous ferme, hauteur sous"
        " poutre, hauteur disponible, au gril, cintres, hauteur sous cintre, sous structure, sous toit, hauteur max,"
        " hauteur de plafond, haut sous plafond, hauteur sous gril technique, hauteur sous structure, sous la"
        " structure, plafond, de passage sous, sous les ponts"
    ),
    "riser": (
        "praticable, riser, podium batterie, plateau batterie, estrade batterie, prat, praticable à roulettes,"
        " praticables de, estrades, plateaux batterie, podium roulant, plateformes, plate forme, praticable de"
        " batterie, podiums, praticables roulants"
    ),
    "door": (
        "porte, portes, passage, portail, cadre de porte, dimensions monte charge, couloir, camion, ruelle, hayon,"
        " monte charge dimensions, cage d'ascenseur, rideau, grille, sas, allée, cour intérieure"
    ),
    "other-room": (
        "loge, parking, catering, foyer, hôtel, bureau de production, douche, cuisine, hébergement, merch, repas,"
        " vestiaire, chambres, dodos, stationnement, invitations, repas chauds, salle de repos, espace détente, tables"
        " de merch, bouffe, souper, cantine, dortoir, sanitaires, wc"
    ),
    "outdoors": (
        "plein air, extérieur, scène extérieure, dehors, théâtre de verdure, parc, place du village, kiosque,"
        " esplanade, sous les étoiles"
    ),
    "indoors": "intérieur, en salle",
    "roofed": "couvert, toit, toiture, bâche",
    "distance": (
        "distance, à distance, longueur, de la scène, du plateau, jusqu'à la régie, scène régie, vers la régie, plateau"
        " régie, jusqu'à la face, du nez de scène, entre la scène, face scène, régie scène, distance régie, de câble,"
        " du stage, de longueur, scène console, du bord de scène, du bord du plateau, plateau console, éloignée, du"
        " plato, de multi, de multipaire, depuis la scène, depuis le plateau, depuis le nez de scène, en face de la"
        " scène, à partir de la scène, longueur de câble, distance console, longueur multi"
    ),
    "left": "gauche",
    "right": "droite, côté droit",
    "stage-left": "cour, à cour, stage left, sl, coulisse cour, plateau cour, cour plateau",
    "stage-right": "jardin, à jardin, stage right, sr, coulisse jardin, plateau jardin, jardin plateau",
    "down-left": "nez de scène cour, face cour, avant scène cour",
    "down-right": "nez de scène jardin, face jardin, avant scène jardin",
    "up-left": "lointain cour",
    "up-right": "lointain jardin",
    "upstage": (
        "lointain, fond de scène, au lointain, mur de fond, derrière la batterie, au fond, fond plateau, au fond de la"
        " scène, derrière le batteur, fond du plateau, mur du lointain, arrière scène, au mur du fond, fond de plateau,"
        " à l'arrière, à l'arrière au centre, arrière centre"
    ),
    "downstage": (
        "nez de scène, avant scène, à la face, bord de scène, bord plateau, face, nez de scène centre, à l'avant scène,"
        " au nez de scène, au bord de la scène"
    ),
    "off-stage": (
        "hors scène, coulisse, à côté de la scène, derrière la scène, hors plateau, dégagement jardin, dégagement cour,"
        " sur le côté de la scène, en dehors de la scène, backstage"
    ),
    "audience-view": (
        "vu de la salle, vue du public, depuis la salle, vu du public, vu de la régie, vu de face, vu de la face, face"
        " à la scène, en regardant la scène, du point de vue du public, vue public, côté public, vue salle, vue de la"
        " salle, quand on regarde la scène, dos au public"
    ),
    "performer-view": (
        "vu du plateau, vue musicien, depuis la scène, vu de la scène, vu du musicien, vu du batteur, vue artiste,"
        " point de vue du musicien, face au public, du point de vue des musiciens, vu des musiciens, vue plateau, en"
        " regardant le public, en regardant la salle"
    ),
    # Mains.
    "socket": (
        "prise, départ électrique, alimentation, alimentations, arrivée, arrivées, ligne, lignes, pc, multiprise,"
        " branchement, prises de courant, quadri, boîtiers, circuits électriques, arrivées électriques, départs"
        " électriques, pc 16, boîtiers électriques, prises électriques, tableautins, lignes directes, prise de terre,"
        " circuits, blocs prises, bloc prise, triplette, rallonge"
    ),
    "power": (
        "met hors tension, coupe le courant, coupe l'électricité, électricité, élec, courant, alimentation, elec"
        " plateau, alim plateau, énergie, puissance, alimentation électrique, electrique, jus, alim, secteur, courant"
        " scène, alimentations électriques, puissance électrique, distribution électrique, distri, énergie électrique,"
        " électricité plateau, alimentations, ampérage, branchements, électros, groupe électrogène, groupe"
    ),
    "three-phase": (
        "triphasé, tri, tétra, tétrapolaire, 3 phases, 3p n t, 3p+n+t, 5 pôles, tri+n, 3p+n, 3 ph, tri-phasé, tetra 32,"
        " 5 broches, 400 v, 380 v, 3p+t+n"
    ),
    "one-phase": "monophasé, 2p t, mono phasé, 1 phase, 230 v mono, ph+n+t, p+n+t",
    "iec-60309": (
        "p17, cee, ceeform, prise industrielle, p17 tétra, prise p17, prises p17, industrielle, cee17, prises"
        " industrielles"
    ),
    "household": (
        "domestique, 2p t 16a, prise domestique, ménagère, schuko, 2p+t, prises classiques, prises normales, prise"
        " normale, prise classique, prise murale, prises murales, pc"
    ),
    "single-pole": "unipolaire, cosses, bornier",
    "supply": (
        "armoire, disjoncteur, tableau, ligne, transformateur, circuit, arrivée, alimentation, groupe électrogène,"
        " coffret, phase, compteur, tableau électrique, tgbt, transfo, départ, différentiel, source, alim,"
        " distribution, circuit électrique, coffret électrique, réseau, transformateur d'isolement, plombs"
    ),
    "phase": "phase",
    "same": (
        "même, commun, seule armoire, unique, les mêmes, tout sur, sur le même, seul circuit, seule ligne, seul"
        " tableau, en commun, partagé, partagent, communs, un seul circuit, une seule ligne"
    ),
    "separate": (
        "séparé, dédiée, dédié, indépendante, indépendantes, indépendants, indépendant, à part, propre, réservé,"
        " distinct"
    ),
    "lighting": "lumière, lumières, éclairage, gradateurs, lights",
    "audio": "son, audio, sonorisation, sono, son et plateau, régie son comprise",
    # Limits, times, radio.
    "limit": (
        "limite, limitation, niveau, maximum, max, maximal, pas plus de, au delà de, leq, laeq, ne pas dépasser,"
        " plafonné, dépasser, sous les, volume, niveau max, décret, plafond, dépasse, maxi, moyenne, niveau maximal,"
        " niveau maximum, plafonné à, db max, on dépasse pas, ne dépasse pas, ne doit pas dépasser, réglementation,"
        " décret bruit, volume sonore, niveaux sonores, limité à, niveau de pression, pression acoustique, niveau"
        " limité, db maxi, nuisances sonores, seuil, plus de, dba max, décibels, intensité, au dessus de"
    ),
    "limiter": (
        "limiteur, limiteur de pression, afficheur enregistreur, coupeur, boîtier limiteur, limiteur de bruit, limiteur"
        " de niveau, limiteur de son, coupe circuit, dispositif de coupure, dispositif"
    ),
    "capable": "délivre, capable, puissance max, atteint, système capable",
    "measured": (
        "mesuré, mesurés, capteur, mesurée, micro de mesure, point de mesure, sonomètre, relevé, mesuré à, prise de"
        " mesure, point de mesure situé, sonde, mesure prise, sonomètre à, mesuré au, contrôlé, micro de mesure à,"
        " micros de mesure, afficheur à, prise à, capteur à"
    ),
    "cuts": (
        "coupe, couper, coupure, coupent, disjoncte, éteint, coupera, met hors tension, coupe le courant, coupe"
        " l'électricité, sautent, saute, coupe le son, coupe tout, ça coupe, il coupe, coupe les prises, fait sauter,"
        " fait disjoncter, éteindra, arrête, déclenche, coupe la sono, coupe le jus, baisse, stoppe"
    ),
    "shows-only": (
        "affichage seul, ne coupe pas, simple affichage, pas de coupure, afficheur simple, sans coupure, afficheur"
        " seul, affichage uniquement, afficheur seulement, ne coupe rien, n'agit pas, indicatif, ne coupe pas le son,"
        " aucune coupure, affichage simple, sans action, voyant seulement, juste un afficheur, simple voyant, rien"
        " n'est coupé, clignote seulement, clignote, juste un voyant, pas d'asservissement, simple sonomètre,"
        " informatif, à titre indicatif, n'est relié à rien, relié à rien"
    ),
    "ceiling": (
        "au plafond, plafond, dans la salle, au milieu de la salle, milieu de salle, au dessus du public, dans le"
        " public, au dessus de la piste, centre de la salle, au centre de la salle, au dessus du dancefloor, dans le"
        " plafond, sous le plafond, pendu, au dessus de la salle"
    ),
    "neighbours": (
        "voisin, voisinage, limite de propriété, chez les voisins, façade du voisin, à l'extérieur, riverain, dehors,"
        " en limite, limite de site, dans la rue, à la fenêtre, façade voisine"
    ),
    "curfew": (
        "couvre feu, fin des concerts, fin de concert, arrêt du son, doit s'arrêter, fin de la musique, couper le son,"
        " fin du concert, extinction, fin de diffusion, arrêt de la musique, fin musique, fin du son, fermeture, fin de"
        " soirée, son coupé, fin du live, doit être terminé, terminé, fin de spectacle, musique jusqu'à, fin concert,"
        " plus de son après, on coupe à, stop musique, fin impérative, arrêt des concerts, on arrête, fini, fin, heure"
        " de fin, fini à, finit à, fin à, arrêt à, doit être coupé, coupure à, plus de musique, plus de bruit, silence,"
        " fin du show, fin de show, fin de représentation, fin des représentations, s'achèvent à, arrêt musique, arrêt"
        " impératif, on arrête à, on coupe le son à, fin de la représentation, terminé à, musique jusque, concerts"
        " jusqu'à, concert jusqu'à, live jusqu'à, heure limite, fermeture à, extinction du son, dernière note, dernier"
        " morceau, fin des lives, fin du live à, stop son, arrêt des diffusions, fin d'exploitation"
    ),
    "load-in-time": (
        "arrivée technique, get in, load in, arrivée, accès plateau, arrivée du groupe, arrivée groupe, installation,"
        " montage, déchargement dès, accueil technique, accueil à, arrivée des groupes, arrivée équipe, arrivée des"
        " artistes, montée, installation à partir, ouverture du lieu, arrivée possible, accès dès, accès à partir,"
        " entrée technique, déchargement à"
    ),
    "other-time": (
        "ouverture des portes, début, horaires bureau, démontage, repas, balance, ouverture public, début du concert,"
        " portes, soundcheck, ouverture, dîner, service, première partie, heure de jeu, set, début concert, show,"
        " spectacle à, catering, changement de plateau, doors, début de spectacle, bureau ouvert, représentation,"
        " filage, démontage à"
    ),
    "access": (
        "accès, déchargement, livraison, chargement, on entre, quai, décharge, accès technique, accès camion, charger,"
        " accès scène, entrée matériel, décharger, accès plateau, accès déchargement, débarcadère, on accède, accéder,"
        " rentrer, on rentre, entrée artistes, entrée des artistes, par la cour, aire de déchargement, quai de"
        " déchargement, accès livraison, semi remorque, porteur, manutention, porter, portage, entrée du matériel,"
        " entrée matos, monter le matériel, arrivée du matériel, zone de déchargement"
    ),
    "level-way": (
        "plain pied, de plain pied, au niveau, rez de chaussée, sans marche, au niveau du plateau, à niveau, pas de"
        " marche, rdc, même niveau, plein pied, à hauteur de camion, à hauteur de quai, de niveau, même niveau que,"
        " sans escalier, pas d'escalier, à plat, accès direct, ça roule, roulant, de plein pied, à hauteur de scène, au"
        " niveau de la rue, niveau rue, accès plat, niveau scène, niveau plateau, niveau du plateau"
    ),
    "ramp": "rampe, plan incliné, rampe d'accès, pente",
    "stairs": "marche, escalier, escalier de, marches à, colimaçon, volée, marches d'escalier",
    "lift": "monte charge, ascenseur, élévateur, monte matériel, ascenseur de charge, plateau élévateur",
    "no-lift": "pas d'ascenseur, pas de monte charge, sans ascenseur",
    "public": "pmr, fauteuil roulant, accès public, entrée du public",
    "radio-mic": (
        "micros hf, micro hf, micros sans fil, micro sans fil, hf main, micros main hf, micros main sans fil,"
        " serre-tête, micro-cravate, micros cravate, mains hf, émetteurs main, ensembles hf, systèmes hf main"
    ),
    "wireless": (
        "hf, sans fil, liaisons hf, systèmes hf, fréquence, parc hf, émetteurs, rf, fréquences utilisées, plage de"
        " fréquences, bande de fréquences, bandes, systèmes sans fil, hf salle, ondes, radiofréquences"
    ),
    "coordinates": (
        "coordination, coordonne, coordonnées par, coordination hf, gère les fréquences, attribue, coordonner,"
        " coordinateur, coordonnés par, coordination des fréquences, gère le hf, attribue les fréquences, déclarer,"
        " établit le plan, gestion des fréquences, plan hf, plan de fréquence, fréquences à voir, gère les fréq,"
        " s'occupe des fréquences, fréquences gérées, attribution, valider les fréquences, fréquences à valider, valide"
        " les fréquences, annoncer vos fréquences, déclarer au, à déclarer, à coordonner, coordonner avec, centralise"
        " les fréquences, fréquences à communiquer, communiquer vos fréquences, voir avec, centralise, gère le plan,"
        " donner vos fréquences, s'occupe du hf, répartit, contact préalable, plan géré, géré par la régie, plan"
        " géré par"
    ),
    "forbidden": "interdit, à éviter, proscrire, proscrit, éviter, n'utilisez pas, pas le droit",
    # What can be lent, who is there.
    "di": (
        "di, dis, boîte de direct, boîtes de direct, boîte directe, boîtes directes, boîtes d'injection, boîtier di,"
        " directs, boîtiers de direct, d.i, boitiers di, boîte d'injection, boîtes actives"
    ),
    "mic": "micro, micros, microphone, mics, kit de micros, parc micro, kit micro, micro filaire, jeu de micros",
    "stand": (
        "pied, pieds de micro, pied de micro, pieds micro, perchettes, grands pieds, petits pieds, pied micro, perches"
        " micro, pieds grands, pieds petits, pieds perche, grand pied, petit pied, pieds grand perche, stands, pieds à"
        " perche"
    ),
    "dynamic": "dynamique",
    "condenser": "statique, condensateur, électrostatique",
    "active": "active, actives, actif",
    "passive": "passive, passif, passifs",
    "tall": "grand",
    "short": "petit",
    "crew": (
        "notre équipe, nos techniciens, équipe technique, équipe d'accueil, techniciens d'accueil, équipe maison, nos"
        " régisseurs, notre personnel, l'équipe du lieu, équipe locale, l'équipe technique, techniciens du lieu, notre"
        " staff, nos équipes, notre équipe technique, machinistes, roads, technicien plateau, techniciens plateau,"
        " régisseur plateau, équipe du théâtre, équipe de la salle, nos bénévoles, l'équipe, staff, plateaux, nos"
        " plateaux"
    ),
    "band-crew": "le groupe branche, vous branchez, les groupes branchent, le groupe câble, vous câblez",
    "plugs": (
        "branche, câble, patche, patch assuré, câblage, branchement assuré, assure le patch, assure le câblage, patch"
        " fait par, fait le patch, câblent, branchent, patchent, assurent le câblage, câblage du plateau, s'occupe du"
        " patch, s'occupe du câblage, patch réalisé, câblage assuré, câblage par, patch par, fait le câblage, installe"
        " et câble, patche le plateau, branche le plateau, branchements faits, branchés par, câblés par, patchés par,"
        " patch effectué, réalise le patch, gère le patch, câblent le plateau"
    ),
    "sound-check": (
        "balance, soundcheck, la balance, balances de, balance prévue, temps de balance, essais son, check son, test"
        " de son"
    ),
    "line-check": (
        "line check, linecheck, line check uniquement, simple line check, changement plateau rapide, changement rapide,"
        " juste un line check, line check seulement, linecheck uniquement, que le line check, vérification de lignes,"
        " check lignes"
    ),
    "technical-role": (
        "régisseur son, régisseur général, régie générale, directeur technique, contact technique, régisseur, direction"
        " technique, technicien son, régisseuse, régisseuse générale, régisseur d'accueil, responsable technique,"
        " régisseuse son, bureau de production, responsable son, coordinateur hf, régisseur technique, ingé son maison,"
        " chef son, équipe son, régie technique, régisseur de site, production, dir technique, resp technique, le son,"
        " dt, rg, rt, régisseur de la salle, régisseur lieu, directrice technique, régisseur principal, chef de site,"
        " responsable hf, coordinatrice technique, référent technique, référente technique, équipe technique, régie"
        " son, directeur de production, directrice de production, technicien référent, régisseur plateau, responsable"
        " régie, chef électro, régisseur du lieu, resp. son, resp son, responsable rf, technique, pôle technique,"
        " régisseur d'accueil technique, coordinateur technique, coordination technique, administrateur technique,"
        " direction tech, dir tech, dir. technique, prod, la prod"
    ),
    "contact": (
        "contact, renseignements, infos, questions, joindre, contacter, appeler, référent, questions techniques,"
        " contact régie, pour toute question, contact son, interlocuteur, infos techniques, renseignements techniques,"
        " une question, appelez, écrivez, joignable au, à contacter, demander, voir avec"
    ),
    "phone": "tél, téléphone, portable, mobile, port, gsm, mob, t, joignable",
    "other-office": (
        "billetterie, programmation, communication, administration, location, bar, accueil public, presse, booking,"
        " direction, secrétariat, sécurité, bureau, urgence, programmatrice, programmateur, accueil, compta,"
        " responsable bar, chargé de production accueil, hôtesse, catering, hébergement, régie lumière, éclairagiste,"
        " lumière, chargée de communication, directeur, directrice, président, trésorier, gardien, concierge, mairie,"
        " standard, communication et presse, relations publiques, réservation"
    ),
    "greeting": (
        "à bientôt, cordialement, bien à vous, bises, merci, amitiés, bonne journée, salutations, à plus, biz,"
        " sportivement, bien cordialement, à très vite, la bise, merci d'avance, à très bientôt, musicalement, a+,"
        " bonne réception, tchao, ciao, bien amicalement, bien à toi, bonne route, à samedi, à vendredi, au plaisir,"
        " merci à vous, merci bien, salut, la bise à tous, respectueusement, bonne soirée, excellente journée, à la"
        " revoyure, bon courage, bizz, à la prochaine, portez vous bien, sincèrement, kisses, bisous"
    ),
    "red": "rouge",
    "blue": "bleu",
    "from": "du, depuis, par la, à partir de, via, depuis la, de, par, géré de, à partir, dans",
    "music": (
        "musique, son, concert, live, bruit, sono, groupes, spectacle, jeu, bandes, groupe, représentation,"
        " représentations, sets, diffusions, soirée, jouer, volume"
    ),
    "ends": (
        "fin, finit, fini, s'arrête, arrêt, terminé, stop, s'achèvent, s'achève, cesse, on coupe, au plus tard,"
        " impérativement, se terminent, fin de, finir, finissent, couper, coupe, éteint, éteindre, termine à, s'arrête"
        " à, s'arrêtent, doit s'arrêter, doivent s'arrêter, arrêter, pas après, avant, jusqu'à, maximum, dernier délai,"
        " terminés, se termine, extinction, arrêtée"
    ),
    "house-use": (
        "dj, djs, lecteur cd, micro animateur, animateur, présentateur, micros d'ambiance, annonce, musique d'ambiance,"
        " captation, musique d'attente, micro annonce, speaker, vidéo, sonorisation générale, micro d'accueil, platine,"
        " la régie vidéo, streaming, ordi maison, ordinateur, lecteur, cd, mc, animatrice, pupitre orateur, orateur,"
        " sono bar, musique du bar, micro d'annonce, micros d'annonce, micros ambiance, ambiance, captation vidéo,"
        " retour loges, télé, tv, projecteur, projection, vidéoprojecteur, ciné, cinéma, écran, karaoké, quiz, loto,"
        " curé, prêtre, chorale, orgue, micros permanents, interphonie, intercom, playback maison, musique d'entracte,"
        " conférencier, communication interne"
    ),
    "patch": "patch, patcher",
    # Small words.
    "is": (
        "est, sont, mesure, fait, compte, est de, comporte, possède, dispose de, c'est, sont de, y a, on a, nous avons,"
        " disposons de, nous disposons, comprend, situé, totalise, offre, propose, fait environ, est à, sont à,"
        " mesurent, consiste en, dont"
    ),
    "per-side": "de chaque côté, par côté, chaque côté, des deux côtés",
    "effects": "reverb, réverbération, effet",
    "not": (
        "pas, sans, aucun, non, ni, néant, jamais, rien, n'avons, nada, zéro, plus de, ne possède pas, manque,"
        " manquent, inexistant, absent, hors service, hs, en panne, n'a pas, n'y a pas, n'existe pas, y a pas, non"
        " disponible, indisponible, niet, non fourni, nulle, personne, que dalle, exclu"
    ),
    "or": "ou, ni",
    "and": "et, avec, mais, puis, dont",
    "yes": "oui, ouais, bien sûr, ok, affirmatif, évidemment",
    "maybe": (
        "sur demande, si besoin, si nécessaire, en option, possible, éventuellement, peut être, à la demande, en"
        " location, selon, sauf si, je crois, je pense, location possible, en supplément, sur devis, normalement, à"
        " prévoir, en principe, est le bienvenu, bienvenu, sous réserve, à confirmer, pourrait, si vous voulez, si"
        " dispo, louable, à louer, probablement, sans doute, il me semble, parfois, pas sûr, à voir, en cas de, à la"
        " location, optionnel, si demandé, prévenir, au pire, à vérifier, peuvent être, facturé, prêter, au besoin,"
        " prêtons volontiers, peut se, on peut, pouvons, possiblement, si météo, si le temps, sous condition, contre"
        " supplément, extra, à la carte, non garanti, j'imagine, à peu près sûr, pas certain, faut voir, faudrait,"
        " devrait, théoriquement, à discuter, d'un commun accord, après accord, avec accord, en accord avec, sont"
        " accueillis, accueillis, avec plaisir, pas de souci, aucun problème, ça se fait, souvent, généralement,"
        " habituellement, en général, la plupart du temps, s'en passe, parfois oui, louons, on loue, à louer sur"
        " place, se loue, en sus, tarif, à réserver, sur réservation, réserver à l'avance, prévenez, demandez, à"
        " demander, en prêt, emprunter, prête, en réparation, provisoire, provisoirement, prévu pour, bientôt,"
        " courant, sauf, hormis, excepté, avant il y avait, auparavant il y avait, autrefois, jadis, ancien, ancienne"
    ),
    "bring": (
        "apporter, amener, à apporter, apportez, amenez, fourni par le groupe, prévoyez, à fournir par le groupe, à"
        " amener, merci d'apporter, prenez, ramenez, ramener, amène, apportent, doit fournir, doivent fournir, fournit"
        " ses, à votre charge, à la charge du groupe, venez avec, prévoir vos, apporte, à charge du groupe, prévoir"
        " ses, non fourni merci de"
    ),
    "only": "seulement, uniquement, seul, que, rien que, simple, unique, juste",
    "approx": (
        "environ, à peu près, env, autour de, quelque, plus ou moins, max, maxi, maximum, jusqu'à, à peine, presque,"
        " grosso modo, dans les"
    ),
    "oclock": "h, heure",
    "midnight": "minuit",
    "half": "demi, et demi",
    "minute": "min, mn, minute",
    "metre": "m, mètre, ml",
    "centimetre": "cm, centimètres",
    "millimetre": "mm",
    "ampere": "a, ampère, amp",
    "times": "x, fois",
    "by": "x, sur, par",
    "to": "à, au, et, jusqu'à",
    "piece": "unités, pièces, u, ex, pcs, nb, nombre, qté, quantité, nbre, n°",
    "working": "indépendants, indépendantes, séparés, micro, distincts, différents, symétriques, actives",
    "foot": "pi",
    "inch": "po, pouce",
    "pm": "pm, du soir",
    "am": "am, du matin",
    "dozen": "douzaine",
    "size-word": "dimensions, mesures",
    "first": "premières, premiers",
    "quarter-hour": "quart d'heure",
    "full-hour": "moyenne horaire, horaire",
    "n-thousand": "mille",
}
