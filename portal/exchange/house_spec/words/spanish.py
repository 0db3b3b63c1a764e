"""Spanish. Common practice of the trade, no source."""

WORDS: dict[str, str] = {
    # The inputs and what carries them.
    "box": (
        "cajetín, cajetín de escenario, caja de escenario, stage box, stagebox, rack de escenario, patch de escenario,"
        " caja de conexiones, caja de patch, caja escenario, patch, cajetin escenario, panel de escenario, stage rack,"
        " caja de entradas, caja, caja del snake, caja de snake, cajas de escenario, cabeza de snake, cabezal, patch"
        " panel, panel de conexiones, panel de entradas, caja de canales, cajetín grande, cajetín del escenario, cuadro"
        " de señal, medusa, panelera, conectera, rack de entradas, cajas de piso, bajante principal, patch de entradas,"
        " patch escenario, panel, panel con entradas"
    ),
    "multicore": (
        "manguera, multipar, manguera multipar, snake, multicable, medusa, multipolar, tirada, tirada de manguera"
    ),
    "sub-box": (
        "submanguera, sub manguera, caja satélite, subcajetín, subcaja, subsnake, cajetín de batería, sub snake,"
        " bajante, cajetín pequeño, submangueras de, satélites, sub cajetín, caja secundaria, sub caja, drop snake,"
        " cajita"
    ),
    "input": (
        "entrada, entradas, envío, envíos, input, entradas de micro, previos, entradas xlr, entradas de micrófono,"
        " líneas de micro, canales de micro, líneas de ida, idas, ida, ins de micro, entradas al control, líneas al"
        " control, preamplificadores, inputs de micro, entradas disponibles, envíos a control, líneas de micrófono"
    ),
    "output": "salida, output",
    "short-in": "in, ins",
    "short-out": "out, outs",
    "return": (
        "retorno, líneas de retorno, return, línea de vuelta, líneas de vuelta, líneas de regreso, regreso, líneas de"
        " retorno a escenario, retornos de línea, vuelta, retornos xlr, retornos al escenario, retorno de línea,"
        " ritornos, regresos de línea"
    ),
    "channel": "canal, línea, líneas, ch, vías, vía, pares, vías de señal, circuitos de señal",
    "input-list": "lista de canales, input list, lista de patch, rider",
    "free": (
        "libre, disponibles para, para la banda, para bandas, quedan, a disposición de la banda, para el grupo, para"
        " vosotros, para los grupos, dejamos, tenéis, quedan libres, son para la banda, son vuestros, vuestras,"
        " disponibles, a vuestra disposición, para invitados, para uso de, para los artistas, para visitantes,"
        " utilizable, para producciones, para las bandas, libres para"
    ),
    "kept": (
        "ocupado, ocupadas, reservado, reservada, usados por, en uso, asignados, fijos para, dedicados, usadas por,"
        " bloqueados, son para, es para, se usan para, los usa, ocupa, ocupan, no tocar, no se tocan, apartados,"
        " bloqueadas, son de, son del, son de la, es del, pillado, van a, van para, usa la casa, de la casa, asignadas,"
        " destinados, destinadas, no disponibles, reservamos, tomado, en uso por, comprometidos, pertenecen,"
        " inutilizables"
    ),
    "permanent": (
        "permanentemente, conectados siempre, no desconectar, siempre conectadas, siempre enchufados, no se"
        " desconectan, quedan conectados, fijo, siempre puestos, cableados fijos, siempre pinchados, siempre conectado,"
        " siempre enchufadas, no desenchufar, no quitar, dejar conectados, dejar enchufados, se dejan conectados, no"
        " desconectarlos, permanente, instalados fijos, no mover, siempre pinchadas, quedan siempre conectados, se"
        " dejan puestos, se quedan puestos, no se quitan, nunca se desconectan, no desconecten, dejar puestos, siempre"
        " montados, fijas"
    ),
    "second": "segundo, segunda, 2º, 2ª, otro, otra, otro cajetín, ii, adicional",
    "each": (
        "por canal, canal por canal, canal a canal, individual, individualmente, por separado, independiente por canal,"
        " cada canal, por cada canal, entrada por entrada, por entrada, para cada canal, independiente,"
        " independientemente, uno por uno, individual por canal, canal x canal, por vía, cada entrada, por canal"
        " individual, en todos los canales por separado, separado por canal, x canal"
    ),
    "bank": "banco, bloque, grupo",
    "one-switch": (
        "general, global, un solo interruptor, para todos los canales, todos los canales, un único interruptor, un"
        " botón, todo junto, todo el cajetín, todo o nada, para todos, a todos los canales, un interruptor, un solo"
        " botón, único, conjunto, global para todos, para toda la caja, de golpe, a la vez, toda la caja, interruptor"
        " único"
    ),
    "phantom": "phantom, alimentación phantom, 48v, fantasma, alimentación fantasma, p48, 48 voltios",
    "line-level": "nivel de línea, señal de línea, señales de línea, nivel línea",
    "soft": (
        "patch libre, soft patch, patch digital, libremente asignables, softpatch, patch por software, patcheo digital,"
        " parcheo digital, asignación libre, se parchea en la mesa, parcheo libre, patcheo libre, se parchea en"
        " digital, patch en la mesa, ruteo libre, ruteable, se rutea, libre asignación, parcheo digital en mesa,"
        " parcheable, el patch es digital, patcheable, ruteo digital, patch libre en mesa, patch flexible, asignable,"
        " digitalmente"
    ),
    "one-to-one": (
        "1 a 1, 1:1, uno a uno, directo 1 a 1, uno por uno en mesa, mismo número, directo a mesa, canal a canal en"
        " mesa, número por número"
    ),
    "fixed-patch": (
        "patch fijo, patch de la casa, no se cambia el patch, parcheo fijo, patcheo fijo, el patch no se toca, patch"
        " inamovible, no se repatchea, no modificar el patch, patch establecido, no se modifica el patch, el patch no"
        " se cambia, no mover el patch, patch residente, parcheo no modificable"
    ),
    "splitter": (
        "splitter, split, caja de split, spliter, caja splitter, separador, divisor de señal, divisores, split con"
        " transformadores, duplicador de señal"
    ),
    "accept": "aceptan, acepta, admiten, soportan, toleran, soporta, sirven para, valen para",
    # Desks, people who mix.
    "desk": "mesa, consola, mixer, mesa de sonido, mezclador, mesa de mezcla, mezcladora, tabla, mesita",
    "front": (
        "foh, control de sonido, control, mesa foh, mesa de sala, mesa de p.a., control foh, control de pa, mesa"
        " principal, posición de mezcla, control de sala, cabina de sonido, mesa de la sala, front, consola en sala,"
        " consola de sala, consola principal, consola foh, mesa de control, cabina, cabina de control, puesto de"
        " mezcla, consola de p.a., f.o.h, mesa de p a, mesa principal de sala, mesa de front, control de sonido en"
        " sala, mix de sala, house, mesa de frente, consola de audio, posición de consola, misma mesa"
    ),
    "to-front": (
        "al control, hasta el control, hasta foh, hasta la mesa, a foh, mesa escenario, control escenario, escenario"
        " control, escenario foh, hasta la mesa de sonido, a la mesa, del escenario al control, escenario a control,"
        " hasta la consola, a la consola, hasta el puesto de control, escenario mesa, de escenario a mesa, distancia"
        " foh, distancia a foh, distancia control, escenario a foh, hasta cabina"
    ),
    "monitor-desk": (
        "mesa monitores, consola de monitores, mesa de monitor, mesa mon, consola de monitores aparte, mesa para"
        " monitores, otra mesa para monitores, segunda mesa, mesa de monitoraje, consola para monitores, consola"
        " monitores, control de monitores en escenario, puesto de monitores, posición de monitores, mixer de monitores,"
        " mesa en escenario, mesa de escenario, consola de escenario, control de monitor"
    ),
    "mixing": (
        "mezcla, mezclado, maneja, salen, desde, opera, lleva, se hacen, mezclan, controlan, se envían, se gestionan,"
        " se llevan, controladas desde, controlados desde, se sacan, salen desde, van desde, hechas desde, gestionadas"
        " desde, se manejan, gestionados, enviados, enviadas, mezcladas, mezclados desde, controlada, hecho desde,"
        " comandados"
    ),
    "engineer": (
        "técnico de sonido, técnico, técnica, sonidista, ingeniero de sonido, técnico de la sala, técnico de sala,"
        " técnico residente, nuestro técnico, técnica de sonido, técnico de la casa, operador de sonido, técnicos para"
        " sala, técnicos de sonido, ingeniero, operador, personal técnico, técnico del local, técnicos, técnico"
        " asignado, técnico de foh, ingeniero de sala, ingeniero residente, operador de audio, voluntario, técnico de"
        " p.a., técnico de audio, chico de sonido, encargado de sonido, responsable de sonido"
    ),
    "visiting": (
        "técnico propio, la banda trae, vuestro técnico, técnico de la banda, técnico del grupo, trae el suyo, su"
        " propio técnico, su técnico, técnicos invitados, técnico de gira, traéis técnico, técnico externo, traer"
        " técnico, vuestro propio técnico, con el vuestro, traéis al vuestro, traigáis técnico, traéis el vuestro,"
        " técnico vuestro, ingeniero propio, su ingeniero, sonidista propio, su propio sonidista, técnicos de las"
        " bandas, técnico de fuera, técnicos externos, su propio ingeniero, ingeniero de la banda, técnico que"
        " traigáis, vuestro sonidista, venís con técnico, traer vuestro técnico, técnico visitante, técnicos"
        " visitantes, ingenieros visitantes, ingenieros invitados, si traen técnico, traen técnico, si traen ingeniero,"
        " si venís con técnico"
    ),
    "self-mix": (
        "mezclo yo, yo mezclo, hago yo el sonido, el sonido lo hago yo, hago el sonido, del sonido me encargo yo, me"
        " encargo del sonido, llevo yo el sonido, el sonido lo llevo yo, llevo el sonido, sonorizo, soy el técnico, yo"
        " llevo la mesa, os mezclo, mezclaré yo, a la mesa estoy yo, el técnico soy yo, hacemos nosotros el sonido, de"
        " sonido se encarga, el sonido lo hace, mezcla el"
    ),
    "provided": (
        "incluido, incluida, disponible, disponemos, de la sala, presente, en la sala, por la sala, proporciona, de la"
        " casa, hay, instalado, aporta la sala, contamos, disponibles, tenemos, ponemos, pone, aporta, incluye, está"
        " incluido, proporcionamos, ofrecemos, dispone, cuenta, facilita, facilitamos, en plantilla, a disposición, de"
        " serie, trae técnicos, asignado, residente"
    ),
    "talkback": "talkback, intercom con escenario, órdenes, órdenes a escenario, talk",
    "recording": (
        "grabación, streaming, stream, multipista, emisión, retransmisión, graba, grabamos, retransmite, unidad móvil,"
        " directo por internet"
    ),
    # What is heard.
    "pa": (
        "pa, equipo pa, sistema de pa, sistema, equipo de sonido, line array, equipo, p.a, equipo de pa, sonorización,"
        " refuerzo sonoro, altavoces, sistema de sala, sistema de sonido, cajas de p.a., tops, equipo de sala, torres"
        " de sonido, bafles, recintos, sistema estéreo, sistema de audio, audio principal, main, arreglo, arreglos"
        " lineales, clúster, cabezas, sonido de sala, audio de sala, sonorización de sala"
    ),
    "stereo": (
        "estéreo, l/r, izquierda/derecha, stereo, l r, lr, izquierda derecha, izq/der, izq-der, izda/dcha, l+r, l y r,"
        " estereofónico"
    ),
    "mono": "mono, monofónico, sumado a mono, misma señal, monoaural",
    "sub": (
        "sub, subs, subgrave, subwoofer, graves, cajas de subgraves, sub graves, cajas de graves, bajo, lows, sub"
        " bajos, subgraves en cluster, subbajo, bafles de graves"
    ),
    "own-send": (
        "envío auxiliar, envío independiente, auxiliar independiente, por auxiliar, auxiliar separado, envío separado,"
        " salida independiente, envío propio, por aux, salida dedicada, salida propia, auxiliar dedicado, matriz"
        " propia, aux independiente, por matriz, aux separado, envío dedicado, por un auxiliar, salida separada,"
        " auxiliar propio, en aux, por separado, por un aux, en un auxiliar, con auxiliar, auxiliar aparte, por"
        " auxiliar aparte, aparte, subgraves aparte, lleva un auxiliar, control aparte, matriz aparte, en matriz, por"
        " salida aparte, salida aux, se controlan aparte, se controlan con un auxiliar, envío aparte, por matrix, en"
        " matrix, bus aparte, bus propio, grupo aparte, auxiliar, en aux aparte, con aux propio, con envío propio, aux"
        " dedicado, desde auxiliar, desde un auxiliar, por aux aparte, controlados por aux, independientes, separados"
        " por aux, x aux, subs x aux"
    ),
    "with-mains": (
        "con la señal general, con el lr, con la pa, con el general, con el principal, filtrados con, por filtro, con"
        " la general, junto al principal, en el mismo envío, con el l/r, con los tops, dentro del l/r, con el master,"
        " salen del l/r, siguen al l/r, por el crossover, sin envío propio, en el l/r, van juntos, van con las cajas,"
        " siguen a los tops, acompañan, filtrados, en pasivo, cruzados con, con el principal estéreo, junto al l/r, van"
        " sumados, van con el sistema, incluidos en el l/r, no van aparte, no tienen envío, sin auxiliar, a través del"
        " procesador, van en la misma señal, misma señal que, comparten señal, por crossover, con el estéreo, sin envío"
        " aparte"
    ),
    "front-fill": (
        "front fill, frontfill, infill, rellenos frontales, near fill, nearfill, boca de escenario fill, lip fill,"
        " relleno delante, relleno de frente, rellenos de boca, fill frontal, frontales, cajas frontales, primeras"
        " filas, cajas de primera fila, cubrimiento frontal, lipfill, relleno, f.fill, f fill"
    ),
    "delay": (
        "delay, retardos, líneas de delay, torres de retardo, línea de delay, altavoces de retardo, retraso, línea de"
        " retardo, líneas de retardo, delays de sala, sistema de delay, sistema retardado, altavoces retardados,"
        " refuerzo trasero, delay de anfiteatro, delays bajo anfiteatro, anfiteatro"
    ),
    "other-fill": "side fill, sidefill, drum fill, drumfill, outfill",
    "monitor": (
        "monitor, monitoraje, monitores de escenario, monitorado, monitorización, monitores de piso, sistema de"
        " monitoreo, monitoreo, mon, monis, escucha, retorno de escenario, monitores para músicos"
    ),
    "wedge": (
        "cuña, monitor de suelo, monitores de suelo, wedge, monitores de cuña, monitores de piso, monitor de piso,"
        " pisos, cuña de monitor, cuñas de monitor, cuñas activas, monitores activos, cuñas pasivas, monitores"
        " autoamplificados, cuñas de escenario, monitores cuña"
    ),
    "mix": (
        "mezcla, mezclas de monitor, mezcla de monitor, envíos de monitor, envíos monitor, auxiliares de monitor,"
        " mezclas independientes, auxiliares, líneas de monitores, envíos a monitores, vías de monitor, envíos"
        " auxiliares, envíos, envíos auxiliares de monitor, mezclas separadas, mezclas de monitoreo, sends, salidas de"
        " monitor, auxiliares para monitores, vías, aux, auxes, canales de monitor, canales de monitoreo, mixes, envíos"
        " de monitoreo, salidas para monitores, circuitos de monitor, monitor mix, mezclas en escenario, envíos para"
        " monitores, envíos de escenario, auxiliares independientes, mezclas distintas"
    ),
    "in-ear": "iem, in ear, in ears",
    # The room and the stage.
    "capacity": (
        "aforo, capacidad, aforo máximo, capacidad máxima, cabida, caben, cupo, cabemos, cabe, entran, capacidad de"
        " público, público máximo, admite, entran unas, cabe gente, cupo máximo, con aforo, ocupación, admiten"
    ),
    "people": (
        "pax, pers, persona, almas, gente, paradas, parados, público, espectador, individuos, usuarios, cabezas,"
        " concurrentes, invitados, asistente, oyentes"
    ),
    "seat": "asientos, plazas, sillas, plazas sentadas, butaca, sentadas, puestos, bancas, sillones, localidad",
    "seated": (
        "sentado, sentadas, en butacas, sentada, plazas sentadas, en mesas, con mesas, con sillas, formato teatro, con"
        " butacas, tipo teatro, en sillas, cabaret, banquete"
    ),
    "standing": (
        "de pie, en pie, paradas, parados, parado, sin sillas, sin butacas, concierto de pie, formato concierto"
    ),
    "room": (
        "sala, recinto, pista, platea, patio, local, plaza, nave, iglesia, discoteca, bar, salón, teatro, auditorio,"
        " carpa, foro, pabellón, club"
    ),
    "stage": (
        "escenario, tarima, medidas del escenario, medidas escenario, dimensiones escenario, espacio escénico,"
        " dimensiones del escenario, medidas de escenario, tablas, tablado, plataforma principal, tarima principal,"
        " escena, caja escénica, superficie del escenario, área escénica, entarimado, superficie útil, escenario fijo,"
        " tablao, esc, escen"
    ),
    "width": "ancho, boca, anchura, embocadura, de lado a lado, ancho de boca, frente, de largo, boca de escena",
    "depth": "fondo, profundidad, hondo, de atrás, prof",
    "height": "alto, altura, de alto, h, de altura sobre, alt, elevado, elevada, levantado, levantada",
    "stage-height": (
        "altura del escenario, altura escenario, altura de escenario, altura de la tarima, altura del suelo, sobre el"
        " suelo, desde el suelo, del suelo, sobre el piso, del piso, desde el piso, sobre el nivel, sobre nivel de"
        " sala, sobre la platea, del suelo a, sobre el patio, desde el suelo de la sala, altura tarima, altura de"
        " tarima, alto del escenario, elevado a, elevación, respecto al suelo, altura desde el suelo, a ras, del patio"
        " de butacas, sobre el patio de butacas, del patio"
    ),
    "headroom": (
        "altura libre, altura útil, altura hasta el techo, altura a peine, altura peine, altura al truss, hasta el"
        " peine, hasta el techo, altura techo, altura del techo, techo a, altura de techo, luz libre, altura máxima, al"
        " techo, al peine, altura bajo truss, libre hacia arriba, hacia arriba, del escenario al techo, techo de"
        " escenario, bajo el truss, bajo truss, bajo el techo, hasta truss, altura de boca, altura hasta truss, altura"
        " de embocadura, alto libre, gálibo, hasta la parrilla, parrilla, peine, altura de varas, varas, techo del"
        " escenario, hasta varas, altura máx, techo libre, despeje, altura al peine, altura del peine, altura máxima"
        " libre, altura al puente, bajo puente, hasta las barras, libres hasta, barras de focos"
    ),
    "riser": (
        "tarima, tarimas, riser, tarima de batería, tarima batería, practicable, praticable, tarima para batería,"
        " plataforma, tarima rodante, practicables rodantes, risers de batería, tarimas para batería, entarimados,"
        " módulos, módulos de tarima, cubos, tarimado, podio"
    ),
    "door": (
        "puerta, puertas, portón, montacargas medidas, pasillo, camión, hueco, puerta de carga, acceso puerta,"
        " persiana, rampa de camiones, ascensor medidas, callejón, entrada principal"
    ),
    "other-room": (
        "camerino, aparcamiento, catering, hotel, vestuario, ducha, parking, merchandising, oficina, camarines,"
        " camerín, estacionamiento, plazas de parking, comidas, cenas, habitaciones, invitaciones, aseos, baños,"
        " merchan, oficinas, hospedaje"
    ),
    "outdoors": (
        "aire libre, al aire libre, exterior, descubierto, escenario exterior, intemperie, plaza al aire libre, al"
        " raso, en la calle, en la plaza, verano, parque, jardín, terraza"
    ),
    "indoors": "interior, cubierto, bajo techo",
    "roofed": "techado, cubierta, techo, carpa, escenario cubierto, con techo, cubrición, lona, bajo cubierta",
    "distance": (
        "distancia, del escenario, al escenario, longitud, hasta el control, al control, mesa escenario, control"
        " escenario, hasta foh, hasta la mesa, desde el escenario, escenario control, a foh, escenario foh, de la"
        " tarima, del proscenio, desde el borde del escenario, de cable, del borde del escenario, longitud de manguera,"
        " de manguera, de tirada, desde tarima, a unos, lejos, desde escenario, al proscenio, de escenario, distancia"
        " a, separación, longitud manguera"
    ),
    "left": "izquierda, izquierdo, izq, izda",
    "right": "derecha, derecho, dcha, der, lado derecho",
    "stage-left": "stage left, sl",
    "stage-right": "stage right, sr",
    "down-left": "delante a la izquierda, delante izquierda",
    "down-right": "delante a la derecha, delante derecha",
    "up-left": "detrás a la izquierda, fondo izquierda, detrás izquierda",
    "up-right": "detrás a la derecha, fondo derecha, detrás derecha",
    "upstage": (
        "fondo del escenario, al fondo, pared del fondo, fondo de escenario, al fondo del escenario, detrás de la"
        " batería, trasera del escenario, atrás, atrás al centro, detrás de la bata, queda atrás, trasero, trasera,"
        " detrás del batería, detrás del baterista, centro fondo, fondo centro, al centro atrás, detrás del todo, telón"
        " de fondo"
    ),
    "downstage": (
        "borde del escenario, proscenio, corbata, boca del escenario, frente del escenario, parte delantera, al frente,"
        " frente al centro, delante, boca de escenario, borde delantero"
    ),
    "off-stage": (
        "fuera del escenario, lateral fuera, hombro, entre cajas, a un lado del escenario, fuera de escena, en hombros,"
        " patas, detrás del escenario, bambalinas"
    ),
    "audience-view": (
        "desde el público, vista público, mirando al escenario, desde la sala, visto de frente, desde sala, desde"
        " platea, de cara al escenario, vista de público, desde el patio de butacas, mirando el escenario, vista de"
        " sala, lado público, según se mira, perspectiva del público"
    ),
    "performer-view": (
        "desde el músico, visto desde el escenario, mirando al público, desde el escenario mirando, desde los músicos,"
        " vista músico, visto por el músico, de cara al público, desde el punto de vista del músico, mano izquierda del"
        " músico, del músico, de los músicos, vista artista, vista del artista, según el músico, vista escenario,"
        " mirando hacia el público, se mira al público, según se mira al público"
    ),
    # Mains.
    "socket": (
        "toma, enchufe, toma de corriente, acometida, tomas de corriente, base, bases, cuadro, regleta, línea"
        " eléctrica, clavija, contacto, contactos dobles, tomacorriente, puntos de luz, circuitos, tablero, tableros,"
        " centro de carga, cuadros, bases de enchufe, centros de carga, líneas eléctricas, cajas de corriente, regletas"
        " de corriente, bases schuko, conexión, alimentaciones"
    ),
    "power": (
        "corta la corriente, corta la luz, deja sin corriente, corriente, electricidad, potencia eléctrica, corriente"
        " eléctrica, energía, toma de corriente, eléctrica, luz eléctrica, alimentación eléctrica, suministro, energía"
        " eléctrica, suministro eléctrico, luz, planta de luz, grupo electrógeno, planta eléctrica, alimentación,"
        " electrico, corriente de escenario, carga eléctrica, acometida eléctrica, potencia"
    ),
    "three-phase": (
        "trifásica, trifásico, trif, 3p n t, 5 polos, 3 fases, tres fases, 3f, 3 f + n, 3f+n+t, 380 v, 400 v, 220/380,"
        " 3 fases + n + t, 3 x 220"
    ),
    "one-phase": "monofásica, monofásico, 1 fase, una fase, 1f+n, 230 v monofásico",
    "iec-60309": (
        "cetac, cee, base industrial, cetac trifásico, cetac trifásica, cetac rojo, cetac azul, clavija industrial, cee"
        " rojo, cee azul, tomas industriales, toma industrial, enchufe industrial"
    ),
    "household": (
        "schuko, doméstico, enchufe normal, enchufes normales, schucko, enchufe doméstico, tomas normales, toma normal,"
        " domésticas, polarizados, edison, de casa"
    ),
    "single-pole": "unipolar, bornes, bornas",
    "supply": (
        "cuadro, acometida, línea, cuadro eléctrico, generador, transformador, fase, diferencial, magnetotérmico,"
        " tablero, acometida general, contador, caja de fusibles, cuadro general, planta, circuito, fusible, línea"
        " eléctrica, subcuadro, circuitos, centro de carga, mismo cuadro"
    ),
    "phase": "fase",
    "same": (
        "mismo, misma, común, única, comparten, comparte, todo en el, compartido, compartida, del mismo, un solo"
        " cuadro, una sola línea, misma línea, única acometida, un único cuadro, todo va a la misma, una sola"
    ),
    "separate": (
        "separada, separadas, independiente, independientes, propia, propio, separado, separados, aparte, en otro,"
        " distinta, distinto, distintas, exclusiva, exclusivo, dedicado, dedicada"
    ),
    "lighting": "iluminación, luces, luz, dimmers",
    "audio": "sonido, audio, sonido y backline",
    # Limits, times, radio.
    "limit": (
        "límite, máximo, limitación, nivel máximo, máximo permitido, leq, laeq, no superar, limitado, presión sonora,"
        " máx, superar, tope, volumen, decibelios, nivel, restricción, sin pasar, promedio, supera, por debajo, no"
        " puede pasar, no pasar, db máximo, máximo de, máx., nivel máx, presión máxima, spl máximo, ordenanza,"
        " normativa, licencia, más de, limitados a, limitada, no exceder, exceder, no rebasar, rebasar, por encima,"
        " promediado, db como máximo, permitidos, hasta un máximo, decibeles, intensidad máxima, volumen máximo"
    ),
    "limiter": (
        "limitador, limitador de sonido, limitador de potencia, equipo limitador, limitador de la sala, limitador con"
        " corte"
    ),
    "capable": "rinde, capaz, entrega, potencia de pico, alcanza",
    "measured": (
        "medido, medida, medición, sonómetro, micro de medida, sensor, micrófono de medida, mide, micro de medición, se"
        " mide, micrófono del limitador, micro del limitador, registrado, medidor, controlado, registra, medidos en,"
        " toma de medida, tomado en"
    ),
    "cuts": (
        "corta la corriente, corta la luz, deja sin corriente, corta, cortar, corte, desconecta, apaga, cortará, salta,"
        " quita, deja sin, corta el sonido, cortan, baja, quita la corriente, corta la energía, corta el suministro,"
        " desconecta la corriente, dispara, interrumpe, tira"
    ),
    "shows-only": (
        "solo indica, no corta, sin corte, solo muestra, solo registra, solo avisa, solo visual, no corta nada, solo"
        " informa, solo mide, no corta el sonido, no interrumpe, luz de aviso, semáforo, solo es visual, sin corte de"
        " corriente, no actúa, solamente avisa, informativo, solo indicador, no desconecta"
    ),
    "ceiling": (
        "en el techo, techo de la sala, en la sala, sobre la pista, centro de la sala, sobre el público, del techo,"
        " encima de la pista, en mitad de la sala, en la pista, en el centro de la pista, en la platea, en platea, en"
        " el patio, medio de la sala"
    ),
    "neighbours": (
        "linde, en la calle, vecino, fachada, perímetro, fachada de los vecinos, casa más cercana, límite de la finca,"
        " perímetro del recinto, en el exterior, calle, vivienda más cercana, viviendas"
    ),
    "curfew": (
        "hora límite, fin de la música, fin del concierto, tiene que terminar, cierre, fin de concierto, final del"
        " concierto, apagar el sonido, corte de música, hora de fin, termina, terminar, fin de música, música hasta,"
        " toque de queda, fin de actuación, fin de la actuación, acabar, hay que acabar, finalización, cortar la"
        " música, final de música, se acaba, fin del sonido, hora fin, parar la música, parar, fin, acabamos, acaban,"
        " se acaba a, terminan, se termina, terminamos, fin de show, hora de término, hora tope, tope, hora final, fin"
        " música, fin de los conciertos, finaliza, finalizan, finalizar, debe finalizar, cierre de sonido, hora de"
        " corte, se corta, se para, parada de música, apagado, apagado de sonido, corte de sonido, corte de audio, fin"
        " de evento, último tema, última canción, silencio, música en vivo hasta, conciertos hasta, fin de directo,"
        " tiene que acabar, hay que terminar, hay que parar, sonido hasta, hora máxima, horario límite, cierre de"
        " música, queda prohibido a partir, se cierra, terminarán antes, terminarán antes de, terminarán"
    ),
    "load-in-time": (
        "descarga a partir, hora de carga, load in, entrada técnica, descarga desde, llegada, montaje, acceso desde,"
        " entrada de material, hora de descarga, llegada de equipo, cita técnica, citación, hora de entrada, llamado"
        " técnico, llamado, acceso a partir, montaje a partir, montaje desde, descarga a las, apertura de carga,"
        " entrada de banda, get in, llegada técnica, carga a partir, llegada de la banda, acceso técnico"
    ),
    "other-time": (
        "apertura de puertas, pruebas, puertas, inicio, prueba de sonido a, prueba de sonido, desmontaje, horario de"
        " oficina, cena, comienzo, puertas a, show, hora del show, line check a, soundcheck a, comida, desmonte,"
        " actuación a, telonero, hora de actuación, catering, inicio de concierto, apertura puertas, prueba a, chequeo"
    ),
    "access": (
        "acceso, carga, descarga, carga y descarga, acceso de carga, muelle de carga, muelle, se entra, descargar,"
        " cargar, acceso carga, entrada de equipo, entrada de carga, entrada, acceso a escenario, acceso camiones,"
        " entramos, subir, bajar, descarga por, carga por, entrada de artistas, meter el equipo, meter equipo, acceso"
        " al escenario, acceso de equipo, acceso para carga, puerta de carga, acceso de camiones, para cargar"
    ),
    "level-way": (
        "pie de calle, a pie de calle, sin escaleras, planta baja, a nivel, sin escalones, nivel de calle, a nivel de"
        " calle, llano, a ras de suelo, mismo nivel, plano, a pie de escenario, pie de escenario, hasta el escenario,"
        " sin desnivel, a la misma altura, a nivel del escenario, a altura de camión, entrada plana, directo al"
        " escenario, entrada a nivel, plana, al mismo nivel, a pie, planta calle, sin peldaños"
    ),
    "ramp": "rampa, rampita, plano inclinado, con rampa, rampa de carga",
    "stairs": "escalera, escalón, escalinata, tramos, tramo de escaleras, subida de escaleras, peldaño, escaleritas",
    "lift": (
        "montacargas, ascensor, elevador, plataforma elevadora, monta cargas, elevador de carga, ascensor de carga,"
        " plataforma hidráulica"
    ),
    "no-lift": "sin ascensor, sin montacargas, no hay ascensor, no hay montacargas",
    "public": "silla de ruedas, entrada de público, minusválidos, movilidad reducida",
    "radio-mic": (
        "micros inalámbricos, micrófonos inalámbricos, micro inalámbrico, micrófono inalámbrico, micros de mano"
        " inalámbricos, inalámbricos de mano, diademas, micros de mano, micros de diadema, petaca, micrófono de mano,"
        " handhelds, manos inalámbricas, micros sin cable, micrófonos sin cable, lavaliers, solapas, manos"
    ),
    "wireless": (
        "inalámbrico, radiofrecuencia, rf, inalámbrica, frecuencia, sistemas inalámbricos, sistemas de rf, equipo"
        " inalámbrico, microfonía inalámbrica, rango, banda, espectro, sistemas inalámbricos de la sala, uhf,"
        " frecuencias propias, inalambr"
    ),
    "coordinates": (
        "coordina, coordinación, coordinación de frecuencias, asigna, coordinado por, gestiona las frecuencias, asigna"
        " las frecuencias, coordinador, coordinan, coordinar, avisar, reparte las frecuencias, plan de frecuencias,"
        " frecuencias con, frecuencias a, coordinadas, coordinadas por, reparte, avisad, avisar a, coordinar con,"
        " consultar con, consultar frecuencias, asigna frecuencias, gestiona, gestión de frecuencias, gestión de rf,"
        " plan de rf, enviar frecuencias, enviar las frecuencias, lleva las frecuencias, coordinación rf, coordinación"
        " de rf, coordinador de rf, asignación de frecuencias, hablar con, frecuencias las"
    ),
    "forbidden": "prohibido, prohibida, evitar, no usar, no se permite, no utilizar, no está permitido",
    # What can be lent, who is there.
    "di": (
        "di, dis, caja de inyección, cajas de inyección, caja di, cajas di, cajas directas, caja directa, di's,"
        " inyector, cajas d.i, inyecciones"
    ),
    "mic": (
        "micro, micrófono, micros de voz, micrófonos de voz, microfonía, mics, micrófonos alámbricos, kit de"
        " micrófonos, paquete de micrófonos, micros varios, set de micros, stock de micros, micrófonos varios, juego de"
        " micrófonos"
    ),
    "stand": (
        "pie, pies, pies de micro, soporte, pie de micro, pies de jirafa, pies de micrófono, jirafa, pies micro,"
        " soportes de micro, bases, bases de micrófono, bases de micro, atriles de micro, parales, soportes de"
        " micrófono, base de micrófono, stands, pies altos, pies bajos, pies jirafa, trípode, bases jirafa, pedestal,"
        " girafas, boom"
    ),
    "dynamic": "dinámico",
    "condenser": "condensador",
    "active": "activa, activas, activos",
    "passive": "pasiva, pasivos",
    "tall": "altos, alto, alta, grande, largos",
    "short": "bajo, baja, bajas, pequeño, chicos, chicas, corto",
    "crew": (
        "nuestro equipo, técnicos de la sala, personal de la sala, nuestro personal, equipo técnico, nuestros técnicos,"
        " personal técnico, técnicos de la casa, personal, staff, personal del foro, personal del teatro, técnicos del"
        " teatro, tramoya, tramoyistas, stage hands, auxiliares, equipo de la sala, nuestra crew, equipo humano,"
        " utileros, auxiliares técnicos, el personal, maquinistas, equipo técnico de la sala, crew local, la sala"
    ),
    "band-crew": "la banda conecta, conectáis vosotros, el grupo conecta",
    "plugs": (
        "conecta, conectan, cableado, patchea, realiza el patch, enchufa, cablea, parchea, hace el patch, pincha,"
        " pinchan, cablean, conecta el escenario, cablear, conexionado, se encarga del cableado, se encarga del patch,"
        " conectar, cableado a cargo, patch a cargo, microfonea, microfonean, patch realizado, conexión de escenario,"
        " enchufan"
    ),
    "sound-check": (
        "prueba de sonido, pruebas de sonido, soundcheck, sound check, prueba completa, chequeo de sonido, check de"
        " sonido, pruebas"
    ),
    "line-check": (
        "line check, linecheck, prueba de línea, solo line check, chequeo de línea, chequeo rápido, solo líneas, sin"
        " prueba de sonido"
    ),
    "technical-role": (
        "técnico de la sala, jefe técnico, director técnico, jefe de sonido, técnico, producción, regidor, contacto"
        " técnico, responsable técnico, técnica, coordinador técnico, oficina de producción, técnico de sala, jefa de"
        " sonido, dirección técnica, departamento técnico, técnico de sonido, jefa técnica, responsable de sonido,"
        " técnico de rf, técnico de la casa, departamento de sonido, equipo técnico, gerencia técnica, gerente técnico,"
        " dirección de producción, stage manager, jefatura técnica, encargado técnico, técnico responsable,"
        " coordinación técnica, productor técnico, jefe de producción, responsable de producción, director de"
        " producción, ingeniero residente, técnico jefe, regiduría, jefe de escenario, coordinadora técnica,"
        " responsable rf, coordinador rf, técnico residente, ingeniero de sistemas, ingeniero de la sala, jefe de"
        " audio, responsable de audio, departamento de audio, área técnica, oficina técnica, técnico encargado"
    ),
    "contact": (
        "contacto, dudas, para dudas, persona de contacto, cualquier duda, consultas, preguntas, llamar a, responsable,"
        " preguntar por, para lo que sea, cualquier cosa, preguntad por, llamad a, llamad, escribid a, contactar con,"
        " contactar, información técnica, info, dudas técnicas, mi teléfono, mi número, hablad con, persona"
        " responsable, contacto sala"
    ),
    "phone": "tel, teléfono, móvil, tfno, tlf, telf, tfn, cel, mov, whatsapp, t",
    "other-office": (
        "taquilla, programación, prensa, administración, alquiler, contratación, oficina, booking, gerencia, seguridad,"
        " reservas, barra, recepción, eventos, promotor, relaciones públicas, camareros, iluminador, luces contacto,"
        " técnico de luces, community, comunicación, boletería, concejalía, ayuntamiento, presidente, presidenta,"
        " director artístico, dirección artística, recepcionista, seguridad contacto, catering, emergencia, gerente,"
        " propietario, dueño, administrador, facturación, conserje"
    ),
    "greeting": (
        "un saludo, saludos, gracias, abrazo, un abrazo, hasta pronto, atentamente, saludos cordiales, nos vemos,"
        " muchas gracias, cordialmente, hasta el sábado, venga, un cordial saludo, suerte, saludos y gracias, un beso,"
        " besos, nos vemos pronto, quedo a la espera, hasta luego, adiós, buen día, que vaya bien, un fuerte abrazo,"
        " atte, gracias y saludos, buenas, cuidaos, a disfrutar, bendiciones, quedamos atentos, quedo atento, quedo"
        " atenta, salud"
    ),
    "red": "roja, rojo",
    "blue": "azul",
    "from": "desde, desde la, del, de la, por, con, vía, a través de, desde el",
    "music": (
        "música, concierto, sonido, ruido, banda, show, espectáculo, actuación, directo, en vivo, musical, amplificado,"
        " amplificada, conciertos en vivo, orquesta, verbena, fiesta, tocar, actuar, bolo, eventos, evento, volumen,"
        " audio"
    ),
    "ends": (
        "termina, terminan, acaba, acaban, acabamos, terminamos, fin, para, paramos, se acaba, cierra, finaliza,"
        " finalizan, cortamos, como muy tarde, a más tardar, acaba a, terminar a, acabar a, se para, parar, para a,"
        " apagar, se apaga, cortar, corta a, cierran, cerrar, fuera, hasta, como máximo, tope, último, finalizar,"
        " silencio"
    ),
    "house-use": (
        "dj, djs, dj residente, presentador, maestro de ceremonias, música ambiente, hilo musical, orquestas, orquesta,"
        " animador, megafonía, locución, anuncios, micro de presentador, pinchadiscos, dj de la sala, música de sala,"
        " música de ambiente, hilo, pinchada, micro de sala, micros de sala, presentadora, speaker, conductor, vídeo,"
        " proyección, proyector, karaoke, bingo, sorteo, cura, órgano, coro, micros de coro, micros ambiente, micros de"
        " ambiente, streaming, cine, locutor, voz en off, intercom, playback, pinchar, reproductor, mc, vj,"
        " intercomunicación, orador, atril"
    ),
    "patch": "patch",
    # Small words.
    "is": (
        "es, son, mide, tiene, hay, son de, miden, cuenta con, está a, queda a, está, están, ubicada, ubicado, situada,"
        " situado, contamos con, tenemos, disponemos de, consta de, posee, son unos, unos, queda, quedan a, dispone de,"
        " ofrece, trae"
    ),
    "per-side": "por lado, a cada lado, cada lado, por cada lado",
    "effects": "reverb, efecto",
    "not": (
        "no, sin, ninguno, ninguna, ningún, nada, tampoco, nunca, carecemos, cero, carece, no hay, no tenemos, no"
        " dispone, falta, faltan, no disponible, ausente, averiado, roto, estropeado, inexistente, nadie, ni uno,"
        " negativo, no disponemos"
    ),
    "or": "o, ni",
    "and": "y, con, pero, además, aunque",
    "yes": "sí, sip, claro, por supuesto, efectivamente, vale, correcto",
    "maybe": (
        "bajo petición, si hace falta, a petición, si es necesario, opcional, posible, quizá, creo, se puede"
        " alquilar, alquilable, bajo demanda, si la banda, consultar, previo aviso, con coste, según, normalmente, en"
        " alquiler, puede, tal vez, a veces, por confirmar, a confirmar, podría, seguramente, posiblemente, si"
        " queréis, si lo pedís, si se solicita, no estoy seguro, supongo, bajo presupuesto, suplemento, a convenir, si"
        " traéis, alquilar, debería, coste adicional, si se necesita, en teoría, si lo necesitáis, previa petición,"
        " pedir, avisando, ni idea, pueden, prestar, no hay problema, si venís, depende, según disponibilidad,"
        " disponibilidad, con antelación, se puede pedir, conseguir, prestado, prestada, de alquiler, se alquila, se"
        " alquilan, con suplemento, consúltanos, consúltenos, preguntad, preguntar, imagino, calculo, diría, más bien,"
        " si no llueve, a negociar, bajo reserva, reservando, solicitar, solicitándolo, por encargo, alquiler aparte,"
        " en reparación, provisional, temporalmente, próximamente, a veces sí, no siempre, casi siempre, generalmente,"
        " habitualmente, suele, suelen, por lo general, más o menos seguro, bienvenido, es bienvenido, son"
        " bienvenidos, si fuera necesario, de ser necesario, en caso de, quien quiera, si acaso, con costo, costo"
        " extra, costo adicional, cargo extra, excepto, salvo, antes había, antes teníamos, anteriormente, antigua,"
        " antiguo"
    ),
    "bring": (
        "traer, aportar, a cargo de la banda, traiga, traed, traéis, por la banda, trae, traigan, hay que traer,"
        " tráete, traeros, trae tu, trae tus, lleven, llevar, a cargo del grupo, a cargo del artista, aporta la banda,"
        " pone la banda, por cuenta de, corre por cuenta"
    ),
    "only": "solo, únicamente, solamente, único, una sola, uno solo, nada más",
    "approx": (
        "aprox, aproximadamente, unos, unas, cerca de, alrededor de, más o menos, casi, hasta, máx, máximo, máxima, en"
        " torno a, sobre, como"
    ),
    "oclock": "h, horas, hs, hrs",
    "am": "am, de la mañana, de la madrugada",
    "pm": "pm, de la noche, de la tarde",
    "midnight": "medianoche, media noche",
    "half": "media, y media, medio, y medio",
    "minute": "min, minuto",
    "metre": "m, metro, mts, mt",
    "centimetre": "cm, centímetros",
    "millimetre": "mm",
    "ampere": "a, amperio, amp",
    "times": "x, por",
    "by": "x, por",
    "to": "a, al, hasta, y",
    "piece": "uds, ud, u, unid, pzas, piezas, pza, nº, cant, cantidad, unidad, und",
    "working": "independientes, separadas, separados, balanceadas, activas, útiles, xlr, distintas",
    "foot": "pies de largo, ft",
    "inch": "pulgada",
    "dozen": "docena",
    "size-word": "medidas, dimensiones, mide",
    "first": "primeras, primeros",
    "quarter-hour": "cuarto de hora",
    "full-hour": "media horaria",
    "n-thousand": "mil",
}
