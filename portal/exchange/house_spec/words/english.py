"""English. Common practice of the trade, no source."""

WORDS: dict[str, str] = {
    # The inputs and what carries them.
    "box": (
        "stage box, stagebox, stage rack, floor box, input box, snake head, patch box, io rack, i/o rack, xlr box,"
        " stage panel, patch panel, patch bay, patchbay, stage block, input rack, snake box, stage io, stage i/o, floor"
        " pocket, box, tie line, wall panel, stage patch, floor boxes, wall boxes, stage connection box, xlr panel, tie"
        " line panel, connection panel, stage plate, input panel, stage wall plate, input station, stage input box,"
        " jack field, SB, main rack"
    ),
    "multicore": "multicore, multi, snake, audio snake, cable run, multicore run",
    "sub-box": (
        "sub snake, subsnake, drop snake, satellite box, drum box, sub box, substage box, sub rack, drop box, drop"
        " boxes, satellite, drum snake, mini box, smaller box, second rack"
    ),
    "input": (
        "input, mic line, mic input, inp, inps, mic pre, mic pres, preamp, mic way, mic ways, microphone inputs,"
        " microphone line, xlr inputs, sends to foh, lines to foh, lines to the desk, lines from stage, mic sends,"
        " stage inputs, xlr ins, channels to foh, ways to foh"
    ),
    "output": "output, outp",
    "short-in": "in, ins",
    "short-out": "out, outs",
    "return": (
        "return, line return, rtn, rtns, stage return, line back, lines back, xlr return, returns to stage, lines back"
        " to stage, lines run back, run back, lines return, come back, return lines, back to stage, back to the stage,"
        " lines going back, sends to stage, lines to stage, sends back, returns available"
    ),
    "channel": "channel, ch, chs, chan, line, way, ways, chnl, feeds to desk, circuits to desk, sockets",
    "input-list": "input list, patch list, channel list, line list",
    "free": (
        "free, available for bands, for you, for visiting bands, for guests, left for, usable by bands, for the band,"
        " for bands, yours, for visitors, for touring acts, for acts, for your use, for visiting acts, remain for, are"
        " free, remaining, leaves, leaving, left over, call it, visitors get, at your disposal, acts get, you can have,"
        " you get, you may use, spare for, open to bands, available to bands, available to you, available for your use,"
        " guests get"
    ),
    "kept": (
        "reserved, kept, taken, in use, occupied, used by, used for, already used, held for, keeps, carry, carries,"
        " hard wired, assigned to, not available, tied up, house use, are for, is for, leave them alone, leave alone,"
        " hands off, ours, go to, goes to, feeds the, permanently used, blocked, spoken for, belong to, belongs to, off"
        " limits, must stay, cannot be used, lost to, used up, take up, god mic"
    ),
    "permanent": (
        "permanently, always plugged, stay plugged, stays plugged, remain plugged, do not unplug, cannot be unplugged,"
        " left plugged, permanently patched, always patched, stays patched, stay patched, leave plugged, always"
        " connected, never unplugged, not be unplugged, don't unplug, never unplug, stay connected, live permanently,"
        " left connected, never to be unplugged, do not pull, stays connected, stay where they are, stay put, not be"
        " repatched, left in, stay in, in permanent use, permanent use, always in use, leave 'em, leave them,"
        " hardwired, not be disturbed"
    ),
    "second": "second, 2nd, other stage box",
    "each": (
        "each, per channel, on every channel, individually, individual, per input, channel by channel, every, on every"
        " input, independently, for every channel, per ch, each input, each channel, single channels"
    ),
    "bank": "bank, group, block",
    "one-switch": (
        "global, globally, one switch, single switch, master switch, all or nothing, all at once, one button, all"
        " channels at once, one global switch, on or off for all, all inputs at once, in one go, box-wide, whole box,"
        " for the lot, ganged, for all inputs, all on or all off, all of them together, all together"
    ),
    "phantom": "phantom, phantom power, 48v, p48, 48 volt, phantom supply",
    "line-level": "line level, line signals, line sources",
    "soft": (
        "soft patch, soft patched, softly, freely patchable, digitally patched, softpatch, soft patching, patched on"
        " the desk, any socket may go to any channel, freely assignable, patched in the desk, routed anywhere, any"
        " input to any channel, patch is digital, patching is digital, virtual patch, patched in software, freely"
        " routable, patching happens on the desk, patch at the desk, patched digitally, can be routed, routing is free"
    ),
    "one-to-one": (
        "1 to 1, 1:1, one to one, straight patch, patched straight, straight through, one-for-one, pin for pin, number"
        " for number, straight across, same numbers on the desk, line for line, same number on the desk"
    ),
    "fixed-patch": (
        "standing patch, house patch stays, fixed patch, do not repatch, no repatching, no re-patching, hard patched,"
        " cannot be repatched, permanently patched, patch never changes, no repatch, patch is fixed, do not change the"
        " patch, not be re-patched, patch stays as it is, leave the patch alone"
    ),
    "splitter": (
        "splitter, mic split, passive split, active split, transformer split, split box, split, mic splitter, split"
        " snake, transformer isolated splitter, passive splitter, active splitter, splitter box, stage split, splitter"
        " system"
    ),
    "accept": "accept, take, takes, handle",
    # Desks, people who mix.
    "desk": (
        "desk, console, mixer, mixing desk, mixing console, sound desk, audio console, mix desk, surface, mixing board,"
        " soundboard, sound board, board, mixing surface"
    ),
    "front": (
        "foh, front of house, mix position, sound position, control position, mixing position, mix pos, main desk,"
        " house desk, foh desk, house console, foh console, front desk, main console, desk position, house mix, house"
        " mixer, main mixer, foh mixer, foh mix, sound booth, sound desk position, console position, mix booth, mixing"
        " booth, mix tower, foh tower, tower, mixing tower, mixer position, sound desk, sound table, foh riser, main"
        " board, out front, house sound desk, house board, mixing platform, foh mixing position, control room, mixing"
        " console position, booth, sound is mixed, cutout, balcony rail"
    ),
    "to-front": (
        "to the desk, to foh, to front of house, to desk, to mix position, foh distance, to the sound desk, to the"
        " mixer, to the console, to the mix position, to the sound position, to the tower, to foh position, to the"
        " board, to foh mix, to mixing position"
    ),
    "monitor-desk": (
        "monitor desk, monitor console, monitor mixer, mon desk, separate monitors, monitor world, monitor board, mon"
        " board, monitor position, stage monitor desk, monitor city, mon console, mons desk, foldback desk, dedicated"
        " monitor engineer, monitors desk, monitor mix position, second desk for monitors, desk for monitors, console"
        " for monitors, monitor station, mons console, stage desk, monitors are mixed from the side, monitor mixing"
        " desk, monitor mixing position, mon world, dedicated monitor desk, monitor operator, second console"
    ),
    "mixing": (
        "mix, mixes, mixed, mixing, run, operate, driven, controlled, sent, controlled from, done from, run from, mixed"
        " from, handled, driven from, come from, comes from, looked after, fed from, set from, mixes you, babysit,"
        " looks after"
    ),
    "engineer": (
        "engineer, sound engineer, foh engineer, sound tech, sound technician, technician, house tech, soundman, sound"
        " person, in house engineer, sound operator, operator, sound guy, audio engineer, in house tech, audio tech,"
        " volunteer, foh tech, foh operator, sound crew member, sound volunteer, sound op, mixer person, sound man,"
        " venue engineer, one of our team, sound team, soundperson, sound lady, foh person, venue tech, audio"
        " technician, mix engineer, audio lead, evening engineer"
    ),
    "visiting": (
        "visiting engineer, own engineer, your engineer, guest engineer, bring an engineer, touring engineer, band's"
        " engineer, own sound engineer, own sound person, own sound tech, bring your own engineer, band engineer, guest"
        " mixers, own foh, own mixer, your foh, visiting sound engineers, your own tech, incoming engineer, someone to"
        " mix, bring someone, your mixing engineer, act's engineer, acts' engineers, artist engineers, your mix"
        " engineer, band's own engineer, travelling engineer, outside engineers, bring your own foh, guest engineers"
        " welcome"
    ),
    "self-mix": (
        "i'll mix, i will mix, i mix, we mix, we'll mix you, i do sound, i do the sound, we do the sound, mix you"
        " myself, i run the sound, i do foh, i'll do sound, i mix everything, i'm on sound, i'm the sound, i do the"
        " mixing, i engineer, i look after the sound, i'm the engineer, yours truly mixes, i work the desk, i'll be"
        " mixing, i handle sound, mixed by me"
    ),
    "provided": (
        "provided, included, supplied, available, present, in house, on site, comes with, installed, inc, incl, in"
        " place, fitted, provides, supplies, on shift, on hand, there, we have, in the price, in the hire, in the fee,"
        " is here, staffed, we provide, we supply, on duty, part of the deal, comes free, free of charge, standard,"
        " with the room, included in hire, one for, attends"
    ),
    "talkback": "talkback, talk back",
    "recording": (
        "recording, stream, streaming, multitrack, live stream, broadcast, record feed, recording feed, recording desk,"
        " webcast, recorder, recorded, streamed, recording truck, recording rig, multi-track, broadcast feed,"
        " webstream, stream mix"
    ),
    # What is heard.
    "pa": (
        "pa, p a, sound system, line array, line source, line source system, system, speakers, loudspeakers, mains, l/r"
        " system, array, pa system, hangs, cluster, centre cluster, tops, foh system, rig, sound rig, stacks, foh"
        " speakers, system is, point source, mains hang, top boxes, left and right hangs"
    ),
    "stereo": (
        "stereo, l/r, left/right, left right, lr, left and right, l-r, l+r, in stereo, two sides, stereo l/r, left &"
        " right, l & r"
    ),
    "mono": (
        "mono, same signal, single channel, summed, in mono, both sides the same, one channel, centre cluster, mono"
        " only, summed mono, everything mono, sums to mono, carry the same, same thing"
    ),
    "sub": (
        "sub, subs, subwoofer, bass bins, sub send, sub feed, subbass, low end, bass cabinets, bass speakers, sub"
        " speakers, bass stacks, sub array, low frequency, lf, bottom end, bass cabs, lows"
    ),
    "own-send": (
        "own send, own aux, aux send, separate send, on aux, separate feed, aux fed, separate aux, independent send,"
        " own feed, separate output, matrix output, separate matrix, dedicated send, on their own, aux driven, aux"
        " feed, separately fed, driven separately, on an aux, separate matrix output, on a separate aux, fed"
        " separately, dedicated aux, own matrix, on a matrix, fed from aux, on auxiliary, driven from an aux, sub aux,"
        " via aux, off an aux, own matrix output, own bus, own mix bus, matrix of their own, send of their own, a"
        " matrix of its own, separate bus, own control, separately controllable, ride it, sub group of their own,"
        " separate mix, fed by aux, individually driven, on a group of their own, aux bus, own fader, independently"
        " controlled, addressed separately, own output, separate sub send, separate sub feed, sub send available, on a"
        " separate send, separate line, own row"
    ),
    "with-mains": (
        "fed from the mains, with the mains, from the main mix, crossed over, passive crossover, from left/right, full"
        " range, with the main pa, off the main, no separate sub send, run off the mains, same send, follows left"
        " right, from the l/r, crossed over from the mains, via the crossover, part of the main mix, crossover from"
        " l/r, not on a separate send, not separately, follow the tops, follow the main, follows the mains, same feed"
        " as the tops, come off the crossover, run with the tops, with the tops, from the crossover, via crossover, no"
        " separate feed, no sub send, not on a separate, tied to the mains, linked to the tops, passive subs, part of"
        " the left/right, off the l/r, in the l/r, on the l/r, signal from the tops, their signal from the tops, from"
        " the tops"
    ),
    "front-fill": (
        "front fill, frontfill, infill, in fill, lip fill, stage lip speakers, near fill, nearfill, ff, lip speaker,"
        " stage-front speakers, front row speakers, front-row fills, apron speakers, stage edge speakers, apron fill,"
        " front rows speakers, small speakers along the stage edge, down fills"
    ),
    "delay": (
        "delay, delay line, delay tower, delay ring, delay pa, delay system, delayed speakers, under-balcony speakers,"
        " delayed system, rear speakers, balcony delays, gallery speakers"
    ),
    "other-fill": "side fill, sidefill, drum fill, drumfill, drum sub, out fill, outfill, balcony fill",
    "monitor": (
        "monitor, mon, mons, foldback, monitoring, stage monitor, stage monitors, stage sound, floor speakers,"
        " monitoring system, stage speakers, playback speakers on stage"
    ),
    "wedge": (
        "wedge, floor monitor, floor wedge, monitor wedge, stage wedge, foldback wedge, powered wedges, active wedges,"
        " passive wedges, floor boxes for monitoring, floor speaker, bi-amped wedges, monitor cabs, monitor cabinets,"
        " monitor boxes, stage monitors"
    ),
    "mix": (
        "mix, mixes, monitor mix, monitor mixes, monitor send, send, aux sends, foldback send, mon mix, mon mixes,"
        " foldback mix, wedge mix, wedge mixes, monitor feed, separate feeds, auxes, monitor aux, monitor auxes, mon"
        " send, foldback feed, independent mixes, monitor circuit, foldback circuits, foldback mixes, mon auxes,"
        " monitor lines, monitor channels, independent monitor mixes, aux mixes, ways of monitoring, ways of monitors,"
        " mixes of monitor, monitor ways, monitor outs, separate mixes, wedge sends, monitor outputs, aux outs, amp"
        " channels for monitors, monitor groups, foldback lines, foldback channels, stage mixes, mixes for monitors,"
        " discrete mixes, discrete monitor mixes, outputs for monitors, headphone lines"
    ),
    "in-ear": "iem, in ear, in ears, iems, inears",
    # The room and the stage.
    "capacity": (
        "capacity, cap, audience, audience capacity, hold, max capacity, maximum capacity, licensed for, licenced for,"
        " capacities, attendance, room holds, max cap, audience max, crowd, occupancy, fits, takes, room for, audience"
        " numbers, ga, general admission, fire limit, max audience, sell"
    ),
    "people": (
        "people, pax, guests, visitors, punters, person, heads, folk, bodies, peeps, humans, attendees, patrons, souls,"
        " spectators, audience members, concertgoers, adults, ppl, listeners"
    ),
    "seat": (
        "seat, seater, seating, chairs, fixed seats, seated places, tiered seats, raked seats, retractable seats,"
        " places, numbered seats"
    ),
    "seated": (
        "seated, sitting, theatre style, chairs in, tables, cabaret, banquet, theatre seating, with chairs, with seats,"
        " on chairs, sit down"
    ),
    "standing": (
        "standing, stood, chairs out, no chairs, ga, general admission, stand up, without chairs, without seats, gig"
        " layout"
    ),
    "room": (
        "room, hall, auditorium, venue, dancefloor, audience area, tent, marquee, big top, barn, church, club, floor,"
        " theatre, cellar, basement, space, ballroom, gym, chapel"
    ),
    "stage": (
        "stage, playing area, deck, stage size, stage dimensions, performance area, acting area, staging area,"
        " platform, playing space, acting space, stage is, performing area, stage deck, bandstand, thrust, usable"
        " stage, stage floor, stage platform"
    ),
    "width": (
        "wide, width, w, across, proscenium, proscenium opening, pros opening, pros, side to side, stage width, usable"
        " width, pros width, proscenium width"
    ),
    "depth": (
        "deep, depth, d, front to back, front to rear, stage depth, depth to back wall, usable depth, upstage to"
        " downstage, to the back wall, from the plaster line, plaster line to back wall, to back wall, plaster line, to"
        " the rear wall"
    ),
    "height": "high, height, h, tall, off the floor, above floor, above the ground, up, in height, raised",
    "stage-height": (
        "stage height, deck height, height of stage, height of the stage, stage floor height, lip height, above the"
        " floor, above stalls, above the stalls, above the auditorium floor, from the floor, above the grass, above"
        " ground, above the ground, off the ground, off the floor, above floor level, above audience level, above dance"
        " floor, raised, height of deck, stage lip, lip of the stage, stage rise, deck is, above the hall floor, above"
        " house floor, from audience floor, above the dancefloor, above grade, above the orchestra floor, above the"
        " orchestra, above the stalls floor, above the house floor, above the seating, off the deck, off the grass"
    ),
    "headroom": (
        "headroom, clear height, clearance, height to grid, trim height, ceiling height, grid height, under roof,"
        " clearance height, to the grid, ceiling above stage, height above stage, stage to ceiling, height to truss, to"
        " lighting bar, to lighting bars, roof height, ceiling, lowest point, lowest beam, to the truss, to truss,"
        " below the truss, under the truss, ceiling is, to the ceiling, clear above stage, clear above the stage, beam"
        " height, lighting bar height, roof clearance, ceiling clearance, trim, grid, truss height, fly height, lowest"
        " obstruction, min clearance, working height, stage ceiling, clear to grid, floor to ceiling, to the steel, to"
        " steel"
    ),
    "riser": (
        "riser, drumriser, decks, staging, rostra, rostrum, drum platform, platform, platforms, drum podium, staging"
        " decks, stage decks, platform risers, deck sections, deck panels, risers on wheels, wheeled risers, steel"
        " deck, modular stage, stage blocks, praticables"
    ),
    "door": (
        "door, doors, doorway, gate, lift size, opening, shutter, dock, elevator size, corridor, truck, van, loading"
        " door, dock door, passenger lift, hatch, lift car, double doors, loading gate, alley, hallway"
    ),
    "other-room": (
        "dressing room, green room, backstage, catering, parking, car park, foyer, bar area, hotel, rider, bedrooms,"
        " shower, kitchen, merch, crew room, bunks, changing room, toilets, accommodation, production office room,"
        " guest list, guestlist, buyout, dinner for, meals, towels, tickets, merchandise"
    ),
    "outdoors": "outdoor, open air, openair, outside stage, in the open",
    "indoors": "indoor",
    "roofed": "roof, covered, canopy, with roof",
    "distance": (
        "distance, away, from stage, from the stage, from the lip, to stage, to the stage, to foh, to front of house,"
        " to desk, to the desk, length, throw, to mix position, from the platform, cable run, from the edge of stage,"
        " from the edge of the stage, from the front of the stage, run of cable, to the stage box, away from the stage,"
        " from stage to foh, stage to foh, from downstage, from the downstage edge, from lip, foh to stage"
    ),
    "left": "left",
    "right": "right",
    "stage-left": "stage left, sl, stage l, s/l, off stage left, left wing performers",
    "stage-right": "stage right, sr, stage r, s/r, off stage right",
    "down-left": "downstage left, dsl, front left of stage",
    "down-right": "downstage right, dsr",
    "up-left": "upstage left, usl",
    "up-right": "upstage right, usr",
    "upstage": (
        "upstage, usc, back of the stage, rear of stage, back of stage, behind the drums, rear of the stage, back wall,"
        " stage rear, at the back, rear centre, back centre, back line position, behind drums, behind the drum riser,"
        " at the rear, rear wall, under the drum riser, behind the backline"
    ),
    "downstage": (
        "downstage, dsc, front of stage, stage front, front edge, stage edge, front of the stage, front centre, on the"
        " stage lip, at the lip"
    ),
    "off-stage": (
        "off stage, offstage, wings, backstage area, side of stage, stage side, beside the stage, next to the stage,"
        " off to the side, in the wing, behind the stage, in the corridor, off-stage left, off-stage right, backstage"
        " corridor"
    ),
    "audience-view": (
        "house left, house right, from the audience, audience view, audience's view, from audience, facing the stage,"
        " looking at the stage, as you look at it, as seen from foh, from the house, from the floor, from foh view, as"
        " seen by the audience, from front of house, audience left, audience right, as you face the stage"
    ),
    "performer-view": (
        "performer's view, from the performer, musician's view, facing the audience, looking out, performers view, from"
        " the players, from the band's view, from the drummer, from the drummer's seat, from a performer's view, as you"
        " face the crowd, facing the crowd, looking at the audience, facing audience, seen from the stage, performer"
        " view, performer left, performer right"
    ),
    # Mains.
    "socket": (
        "socket, sockets, outlet, mains outlet, plug, receptacle, gpo, gpos, supply, supplies, feed, service, duplex,"
        " drops, quad box, quad boxes, outlet circuits, 13a sockets, doubles, twins, points, power points, power"
        " outlets, dropouts, distro outlet, outlets on stage, breakers, tails, quads, doubles sockets, sockets on"
        " stage, tap, taps, disconnect, company switch, cams, connections, plug sockets, wall plugs"
    ),
    "power": (
        "power, mains, electricity, electrical, stage power, power supply, mains supply, circuit, circuits, ring, ring"
        " main, amps available, mains power, stage electrics, mains distribution, generator, generators, genset,"
        " electric, power available, amperage, mains on stage"
    ),
    "three-phase": (
        "three phase, 3 phase, 3ph, 3p, tpn, tp, 3 ø, 3~, three-ph, 3 phase power, five pin, 5-pin, 3 phases plus"
        " neutral, 3ph+n+e, tp&n, tpn+e, tpne, 120/208, 208v, 415v, 400v"
    ),
    "one-phase": "single phase, 1 phase, 1ph, sp, single ph, single, 1~, sp&n, spn, 240v single",
    "iec-60309": "ceeform, ce form, iec 60309, cee, 5 pin, blue ceeform, red ceeform, cform, c-form, 16a cee, ceefs",
    "household": (
        "domestic, household, uk socket, edison, wall outlet, schuko, shuko, 13a type, normal plugs, ordinary sockets,"
        " normal sockets, type f, type g, u-ground"
    ),
    "single-pole": "single pole, bare ends, tails, bare end tails, cams, cam tails",
    "supply": (
        "distribution, distro, supply, transformer, circuit, breaker, board, distribution board, feed, ring, generator,"
        " phase, fuse, one distro, single distro, one supply, one distribution, panel, fuse box, fusebox, consumer"
        " unit, service, circuit breaker, rings, mains ring, intake, genny, breaker panel, disco, sub panel, electrical"
        " panel"
    ),
    "phase": "phase",
    "same": (
        "same, one distro, single distro, shared, share, one supply, one distribution, share one, one breaker, on 1"
        " breaker, one ring, all one, common, all on one, one board, single board, one transformer, together on, one"
        " and the same, shared with, one feed"
    ),
    "separate": "separate, separately, independent, different, own, dedicated, seperate, segregated, clean",
    "lighting": "lighting, light, lx, dimmer, lampies",
    "audio": "sound, audio, sound system, audio power, sound desk",
    # Limits, times, radio.
    "limit": (
        "limit, limited, max, maximum, not exceed, noise limit, sound limit, sound level, noise level, spl limit, no"
        " louder than, under, below, levels, laeq, leq, average, sound pressure, noise, restricted to, restriction, not"
        " to exceed, capped, volume, don't go over, loudness, no more than, at most, may not exceed, council, licence,"
        " license condition, don't exceed, quieter than, kept below, loud, allows us, not above, ceiling of, spl, max"
        " spl, sound restrictions, noise restriction"
    ),
    "limiter": (
        "limiter, noise limiter, sound limiter, noise limiting device, spl limiter, cut out, cutout, trip device, noise"
        " cut out, noise control device, sound monitor, sound level limiter, orange light, limiting device, power cut"
        " device, cut-off"
    ),
    "capable": "capable, delivers, peak output, can do, rated, continuous output, rig does",
    "measured": (
        "measured, measures, metered, sensor, monitored, read at, taken at, measuring mic, measurement mic, mic is,"
        " microphone is, measuring point, sampled, reading taken, metering point, sound level meter, meter sits, at the"
        " tower, measuring position, measurement position, mic position, measured at foh, meter is, readout, meter at,"
        " microphone hangs, meter hangs, reference point, mic hangs, is measured, measure at, logged at, measurement"
        " point, meter in, we meter, we measure, screen on the desk"
    ),
    "cuts": (
        "cuts, cut, cuts out, kills, shuts off, shuts down, disconnects, turns off, cutting, cuts off, switch off,"
        " switches off, shut off, drops out, take out, takes out, turn off, turn you off, switches the power off, drops"
        " the power, cuts the power, kills the power, pulls the plug, shut you down, goes dead, dies, trips out,"
        " isolate, drop the stage power, trip, tripping, knocks out, cuts power, kills power"
    ),
    "shows-only": (
        "display only, shows only, no automatic cut, warning only, indicator only, warning light, advisory, traffic"
        " light, does not cut any power, nothing is cut, not cut, no automatic shutdown, nothing gets cut, does not"
        " switch, doesn't cut, won't cut, only flashes, just flashes, only a display, display, only warns, flashes, red"
        " light only, nothing switches off, lights only, no cut off, only shows, nothing trips"
    ),
    "ceiling": (
        "in the ceiling, hung from the ceiling, above the dance floor, in the room, over the dance floor, on the"
        " ceiling, above the audience, above the dancefloor, over the audience, middle of the room, above the crowd, on"
        " the dance floor, over the dancefloor, in the middle of the room, hanging from the ceiling, in the rafters, on"
        " a beam, over the floor, centre of the room, middle of the hall, in the hall, in the roof"
    ),
    "neighbours": (
        "boundary, nearest house, outside the venue, at the neighbours, neighbours window, property line, nearest"
        " cottage, neighbour, neighbor, on the street, outside the building, nearest property, nearest residence,"
        " nearest dwelling, site perimeter"
    ),
    "curfew": (
        "curfew, music must stop, music ends, must stop, end of music, music off, music stop, finish by, finish, hard"
        " stop, show must end, quiet by, off by, sound off, live music until, ends at, last note, music until, music"
        " finishes, music has to stop, wrap by, music to end, end of show, noise curfew, done by, bands off, live music"
        " ends, band finishes, no live music after, no music after, stop playing by, must be over by, music curfew,"
        " must finish, has to finish, music to finish, until, hard out, amplified music ends, no amplified music after,"
        " pa off, noise down by, sound ends, music down by, amplified sound ends, curfue, stop music, last song, end"
        " time, latest finish, finish time, hard end, show ends, live ends, sound curfew, close down, gigs finish, gig"
        " finishes, we finish at, bands finish, bands must finish, must be finished, everything off, all off, off stage"
        " by, done at, finished by, down by, pa must be off, pa switched off, cut off time, show down, music off by,"
        " live music must finish, live music stops, bands stop, wrap up, ends no later than, everything quiet, last"
        " chord, end of live music, has to be over"
    ),
    "load-in-time": (
        "load in starts, load in from, load in time, get in from, get in time, access from, doors for load in, load in"
        " at, load in, get in, arrival, loadin, load-in for, load-in begins, get-in at, loading from, access time,"
        " building open, venue open from, doors open for crew, crew call, earliest access, earliest load-in"
    ),
    "other-time": (
        "doors, doors open, showtime, stage time, sound check at, soundcheck from, office hours, opening hours, dinner,"
        " set time, on stage, support on, load out, get out, line check at, changeover, first act, curtain, interval,"
        " show time, show start, start time, on at, performance, performance at, soundcheck, ticket desk, doors at,"
        " support act, lunch, supper"
    ),
    "access": (
        "access, load in, get in, load in access, loading, parking for loading, loading access, loadin, loading dock,"
        " way in, unload, unloading, comes in, bring gear in, carry, carried, getting in, getting to it, loading door,"
        " route to stage, push, bring in, carry in, into the building, equipment goes, gear goes, gear comes, flight"
        " cases, truck access, dock, loads in, stage door"
    ),
    "level-way": (
        "level access, step free, ground floor, flat, street level, no steps, level with the stage, ground level, roll"
        " straight in, flat access, level load in, rolls straight in, flat push, step free access, push in flat,"
        " stepfree, flat all the way, no stairs, flat from the street, same level, flat load in, on one level, roll in,"
        " straight onto the stage, at grade, dock height, dock level, truck height, level loading, level push,"
        " dock-high"
    ),
    "ramp": "ramp, ramped, slope, sloped, short ramp",
    "stairs": (
        "staircase, flight of stairs, flights of stairs, flight of steps, upstairs, step, stair, flights, stairwell,"
        " stairs down, down the stairs, up the stairs, stairway, steps down, steps up, steps to"
    ),
    "lift": "lift, elevator, service lift, service elevator, hoist, stage lift, platform lift, loading lift",
    "no-lift": "no lift, no elevator, no hoist, no forklift, lift is out",
    "public": "wheelchair, disabled, public, audience entrance, for the audience, guests with",
    "wireless": (
        "wireless, rf, radio, radio systems, wireless systems, frequencies, frequency, freq, uhf, radio frequencies, rf"
        " systems, radio spectrum, iems and radios, spectrum"
    ),
    "radio-mic": (
        "radio mic, radio mics, radio microphone, wireless mic, wireless mics, wireless microphone, handheld, handheld"
        " radio microphones, handheld radio mics, wireless handhelds, handheld wireless, radio handheld, lavalier,"
        " radio headsets, headsets, wireless headsets, uhf mics, handheld mics wireless, radio hand mics, beltpack,"
        " lavs, wireless hand helds, radio beltpacks"
    ),
    "coordinates": (
        "coordinate, coordination, co ordinate, co ordination, assigned by, frequencies assigned, manages frequencies,"
        " frequency plan, clears frequencies, coordinated, co ordinated, co ord, coord, looks after frequencies,"
        " frequency coordination, freq coord, manages all frequencies, allocated by, hands out frequencies, cleared"
        " with, clear with, clears, rf coordination, co-ordinated by, plans frequencies, frequency planning, frequency"
        " list to, frequencies to, send your frequencies, in charge of frequencies, sorts frequencies, handles"
        " frequencies, sorts out the frequencies, coordinates rf, rf co-ord, rf coordinator, frequency co-ordination,"
        " frequency clearance, frequencies are allocated, allocate, agree frequencies, ask for a frequency, coordinate"
        " with, frequencies with"
    ),
    "forbidden": (
        "forbidden, not permitted, not allowed, avoid, illegal, banned, may not be used, do not use, keep clear of,"
        " stay out of, don't use, must not be used"
    ),
    # What can be lent, who is there.
    "di": (
        "di, dis, di box, direct box, direct boxes, d i, di's, dibox, d i box, d i's, direct injects, direct injection"
        " boxes, d.i.s"
    ),
    "mic": "mic, mics, microphone, vocal microphones, microphones in stock",
    "stand": (
        "stand, mic stand, microphone stand, booms, tall boom, short boom, mic booms, straight stands, round base"
        " stands, stands for mics, boom arms, round bases"
    ),
    "dynamic": "dynamic, dyn",
    "condenser": "condenser, cond",
    "active": "active",
    "passive": "passive",
    "tall": "tall, full size, long, full height",
    "short": "short, low, small, kick stands",
    "crew": (
        "our crew, house crew, stage crew, local crew, our stagehands, stage hands, house techs, our technicians,"
        " technicians, stagehand, hands, house stage crew, stage team, stage manager and crew, our people, our team,"
        " our lot, technical crew, deck crew, patch tech, our stage crew, the house crew, our patch crew, our"
        " volunteers, stage tech, our staff, house staff, the crew, patch person"
    ),
    "band-crew": "band plugs, bands plug, bands patch, your crew plugs, band patches",
    "plugs": (
        "plugs the, plugs in, patches, does the patching, does all patching, patch the stage, plugs the stage, plugs"
        " up, plug up, plug you in, plugs you in, patch you in, patches you in, plugs everything, does the plugging,"
        " does the stage patch, patches the stage, do the patch, does the patch, plug in, plug the lines, patch the"
        " lines, handles patching, do all patching, patch from your list, connects the stage, plugs all lines, wires"
        " the stage, plug from, plugs from"
    ),
    "sound-check": (
        "sound check, soundcheck, soundchecks, full soundcheck, full sound check, soundchecking, proper soundcheck,"
        " checks"
    ),
    "line-check": "line check, linecheck, line check only, line checks only, throw and go, festival style",
    "technical-role": (
        "technical manager, production manager, head of sound, rf tech, rf coordinator, tech manager, technical"
        " contact, tech contact, technical director, stage manager, production office, our technician, house"
        " technician, sound department, duty technician, technical department, head of audio, chief engineer, head"
        " technician, audio head, technical office, production, sound crew, head sound engineer, house rf, chief"
        " technician, venue technician, stage rf tech, rf desk, production mgr, production contact, tech director,"
        " technical lead, technical coordinator, venue technical manager, tech lead, sound lead, lead engineer, stage"
        " mgr, tour liaison, technical team, production lead, tech office, chief sound engineer, crew chief, audio"
        " lead, venue production manager, audio dept, tech dept, technical services, house technical manager, venue"
        " audio lead, spectrum manager, technicians office, production coordinator, head of technical, senior"
        " technician, sound manager"
    ),
    "contact": (
        "contact, questions, call, reach, get in touch, queries, ring, text, enquiries, ask, who to talk to, who to"
        " call, call or text, give a ring, shout, contact person, speak to, write to, email, mail"
    ),
    "phone": "phone, tel, telephone, mobile, mob, cell, t, m",
    "other-office": (
        "box office, booking, programming, promoter, marketing, press, hire, venue hire, general manager, accounts,"
        " hire enquiries, reception, duty manager, emergency, office, security, programmer, bar, general enquiries,"
        " artist liaison, artists liaison, catering contact, venue manager, hires manager, events manager, events team,"
        " ticketing, admin, booker, front of house manager, duty phone, emergencies, hospitality, lighting tech,"
        " lighting contact, lighting designer, accessibility, community manager, sales"
    ),
    "greeting": (
        "cheers, regards, best, thanks, best wishes, all the best, kind regards, many thanks, see you, ta, yours, best"
        " regards, warm regards, speak soon, see you then, over and out, thx, later, ttyl, love, yours sincerely,"
        " warmly, hope that helps, looking forward, take care, ciao, sincerely, see you soon, see you on the day, thank"
        " you, see ya, rock on, bye, over to you"
    ),
    "red": "red",
    "blue": "blue",
    "from": "from, off, via, by",
    "music": (
        "music, noise, sound, amplified sound, concert, live, show, gig, gigs, amplified, band, playing, volume,"
        " performance, live music, amplified music, loud music, amplification, everything"
    ),
    "ends": (
        "ends, end, stop, finishes, finish, over, down, quiet, done, finished, ended, stopped, cease, wrap, close, off,"
        " at the latest, shows are down"
    ),
    "house-use": (
        "dj, djs, dj booth, compere, walk in music, house mic, house mics, background music, announcement, announcement"
        " mic, mc, choir mics, choir, playback, talkback mic, ambience mics, lectern, presenter, quiz, host mic,"
        " stream, dj rig, intro music, ambient mics, audience mics, comms, announce mic, house music, stage announce,"
        " vj, the stream, streaming, projection, cinema sound, foh playback, priest, pulpit, organ mics, host, bingo,"
        " karaoke, raffle, comedian, mc mic, compere mic, emcee, comedy, quiz mic, evac, spot mics, god mic, archive,"
        " ambient mics for archive, ambience"
    ),
    "patch": "patch",
    # Small words.
    "is": (
        "is, are, has, was, offers, counts, numbers, with, reads, sits at, comes to, makes, there are, there is, we"
        " have, we've got, got, is a, are a, stands at, measures, gives"
    ),
    "per-side": "either side, each side, per side, both sides, every side, either end, each end",
    "effects": "reverb, fx, effect",
    "not": (
        "not available, cannot be unplugged, no, not, none, without, don't, doesn't, isn't, aren't, cannot, can't,"
        " nothing, nil, nope, never, n/a, neither, won't, haven't, hasn't, ain't, zero, missing, lacking, lack, absent,"
        " broken, out of order, fresh out, nowt, naw, nah, not installed, not provided, not present, not fitted,"
        " doesnt, dont, havent, isnt, arent, cant, wont, hardly any, minus, nobody, no one"
    ),
    "or": "or, nor",
    "and": "and, with, but, plus, while",
    "yes": "yes, y, yep, yup, yeah, ok, okay, available yes",
    "maybe": (
        "on request, if needed, if required, by arrangement, available on request, can be hired, hired in, maybe,"
        " perhaps, probably, possibly, think, not sure, depends, depending, extra charge, additional charge, upon"
        " request, can be arranged, can be rented, rental, subject to, normally, usually, if you ask, can lend,"
        " optional, if available, sometimes, could, can hire, unless, when needed, to be confirmed, tbc, tba, on"
        " demand, no idea, as needed, ask us, should be, weather permitting, for hire, can get, in theory, planned,"
        " soon, hopefully, at a push, with notice, if you like, are welcome, is welcome, welcome to, by prior"
        " arrangement, roughly half, reckon, supposed to, allegedly, if we can, chargeable, hire in, at your own risk,"
        " might, may, occasionally, in a pinch, extra cost, must be booked, bookable, if you tell us, happy to, ask"
        " first, to be arranged, negotiable, often, sort of, kind of, ish, more or less, probably not, supposedly, if"
        " it works, when it works, borrow, can be borrowed, can be booked, can be brought in, by agreement, if the"
        " weather, hired by, priced separately, additional cost, surcharge, guess, pretty sure, not certain, unclear,"
        " who knows, dunno, no promises, should have, ought to, assume, provisional, some nights, on weekends only,"
        " seasonally, temporarily, out for repair, in for repair, we hope, except, apart from, other than, used to,"
        " formerly, previously, until recently, the old"
    ),
    "bring": (
        "bring, bands must bring, bring your own, to bring, you supply, band supplies, supplied by band, by the band,"
        " bring ur own, bring own, bring yr own, please supply, you provide, your own dis, act to supply, bands bring,"
        " must provide, bands provide, visitors bring, band to provide"
    ),
    "only": "only, just, single, sole, only one, a single",
    "approx": (
        "approx, approximately, about, around, circa, ca, c, roughly, ish, some, or so, near enough, nearly, just"
        " under, just over, up to, max, maximum"
    ),
    "oclock": "o'clock, hrs, hour, hr, hundred hours",
    "am": "am, a m, in the morning",
    "pm": "pm, p m, at night, in the evening, evening",
    "midnight": "midnight",
    "half": "half",
    "minute": "minute, min, mins, min., mins., minute average",
    "metre": "m, metre, meter, mtr, mtrs",
    "centimetre": "cm, centimetre, centimeters",
    "millimetre": "mm",
    "foot": "ft, foot, feet",
    "inch": "inch",
    "ampere": "a, amp, amps, ampere",
    "times": "x, times",
    "by": "x, by",
    "to": "to, through, thru, until, and",
    "piece": "off, pcs, pieces, units, pc, no., qty, quantity, nos, count",
    "working": "working, separate, independent, individual, balanced, xlr, discrete, clean, live, usable, total, full",
    "dozen": "dozen",
    "size-word": "size, dimensions, measurements, measures, footprint",
    "first": "first",
    "quarter-hour": "quarter of an hour, quarter hour",
    "full-hour": "hourly, one hour mean, per hour",
    "n-thousand": "thousand",
}
