"""The cut list, carried out from top to bottom on what is plugged, with what is in the van."""

from __future__ import annotations

import re

from tests.loadin.bench import Bench, Signal, number_of
from tests.loadin.cut_places import ends_of, looms_of, place_lines
from tests.loadin.cut_wording import (
    AT_ONE_MICROPHONE,
    BAND_FEEDS,
    CUT,
    CUT_BACK,
    CUT_BETWEEN,
    CUT_FREED,
    CUT_UNDONE,
    MANY_PLUGS,
    NO_PLAN,
    OUTPUT_NAMED,
    TO_THERE,
)
from tests.loadin.ears import free_outputs
from tests.loadin.lines import bare
from tests.loadin.night import Night, empty_jack, holders_of, on_one_plug, plug, pull, take
from tests.loadin.phantom import HOUSE
from tests.loadin.stage import Source
from tests.loadin.wording import ANY_CABLE, EMPTY_JACK, HOW_MONO, NETWORK, PAIR_SIDE, SUBMIXER, SWITCHED, names_in


def ask_cuts(bench: Bench) -> None:
    """Each row, on top of those above it: it says how, and then no more lines are left than there are inputs."""
    plugged = [(line, frozenset(one.name for one in line.says)) for line in bench.lines]
    lines, links = ([legs for line, legs in plugged if line.linked == linked] for linked in (False, True))
    summed = {legs for line, legs in plugged if line.from_mixer and len(legs) > 1}
    night = Night(bench, lines, links, len(free_outputs(bench)), summed)
    free = {cells.get("source", ""): bool(EMPTY_JACK.search(cells.get("fed_by", ""))) for cells in bench.sheet.ears}
    night.without |= {name for name in (*bench.unplugged, *free) if free.get(name, True)}
    night.holders = holders_of(bench, night.without)
    night.ends, night.looms = ends_of(bench, night.without), looms_of(bench)
    night.bussed |= {legs for line, legs in plugged if line.way.kind == "to mono"}
    night.direct |= {legs for line, legs in plugged if line.from_mixer and not line.linked and len(legs) == 1}
    night.mix = next((legs for line, legs in plugged if line.way.kind == "left/right mix"), frozenset())
    for cells in bench.sheet.cuts:
        bench.report.rows += 1
        text, inputs = cells.get("text", ""), number_of(cells.get("inputs"))
        if NO_PLAN.search(text):
            return
        row = f"cut {cells.get('inputs', '')}"
        fed = _fed_by_the_house_alone(night)
        _carry_out(text, row, night)
        for name in sorted(fed - _fed_by_the_house_alone(night)):
            if not (BAND_FEEDS.search(text) or _stays_apart(name, text, night)):
                bench.report.add("cut-fails", row, f"{text}: who feeds 48 V to {name} from now on?")
        if inputs is not None and len(night.lines) > inputs:
            bench.report.add("cut-fails", row, f"{text}: {len(night.lines)} lines are left for {inputs} inputs")
            # What follows is judged by itself: the paper had them fit.
            del night.lines[inputs:]


def _fed_by_the_house_alone(night: Night) -> set[str]:
    """Sources of the in-ears too with a line of their own that live on the house's 48 V."""
    needs = {one.name for one in night.bench.stage.sources if one.needs_48v and one.goes == "both"}
    alone = {name for line in night.lines if len(line) == 1 for name in line}
    return {name for name in needs & alone if night.bench.fed.get(name) == {HOUSE}}


def _stays_apart(name: str, text: str, night: Night) -> bool:
    """Whether a source is unplugged, or still leaves the stage by one plug, for its player makes the sum."""
    own = next((one for one in text.split(";") if name in names_in(one, night.bench.stage.names)), "")
    by_hand = any(HOW_MONO[how].search(own) for how in ("jack", "switch"))
    return bool(EMPTY_JACK.search(own) or by_hand or SWITCHED.search(own) or SUBMIXER.search(own))


def take_what_cuts_put_between(bench: Bench) -> None:
    """Pads and transformers that rows name: each row's are in the van, and what the lines did not take is theirs."""
    for thing, pattern in CUT_BETWEEN.items():
        rows = [list(pattern.finditer(cells.get("text", ""))) for cells in bench.sheet.cuts]
        counts = [sum(2 if one["several"] else 1 for one in row) for row in rows]
        if max(counts, default=0) > bench.van.loaded[thing]:
            bench.report.add("not-packed", thing, f"a row of the cut list takes {max(counts)}")
        metres = next((float(one["metres"]) for row in rows for one in row if "metres" in one.groupdict()), None)
        for _ in range(min(sum(counts), bench.van.loaded[thing] - bench.van.taken[thing])):
            bench.van.take(thing, "the cut list")
            if metres is not None:
                bench.van.take(ANY_CABLE, "the cut list")
                bench.van.lengths[metres] += 1


def _carry_out(text: str, row: str, night: Night) -> None:
    undone = CUT_UNDONE.search(text)
    clauses = [clause.strip() for clause in CUT_UNDONE.sub("", text).split(";") if clause]
    elsewhere = [clause for clause in clauses if not CUT["again"].search(clause)]
    told = set(names_in("; ".join(elsewhere), night.bench.stage.names))
    night.before = list(night.lines)
    for clause in undone[1].split(";") if undone else ():
        names = set(names_in(clause, night.bench.stage.names))
        if not names <= told:
            # What the row itself puts elsewhere does not come back by itself.
            _undo(clause.strip(), names, night)
    _ask_how_many(clauses, row, night)
    pull(clauses, night)
    for clause in clauses:
        _clause(clause, row, night)
    place_lines(clauses, row, night)
    for clause in (one for one in clauses if CUT["out"].search(one) and "ears" in one):
        _ask_who_comes_along(clause, row, night)
    for clause in filter(CUT["own mix"].search, clauses):
        for name in sorted(_apart(clause, night)):
            if any(name in line and not line <= _apart(clause, night) for line in night.lines):
                night.bench.report.add("says-no-cut", row, f"{text}: what brings {name} out of the mix?")


MANY = 5
"""So many plugs nobody moves in a changeover."""


def _ask_how_many(clauses: list[str], row: str, night: Night) -> None:
    """Of many plugs that move the row says how many, so that nobody begins with them in a changeover."""
    moving = [name for one in clauses if CUT["plug"].search(one) for name in names_in(one, night.bench.stage.names)]
    night.moving = set(moving)
    said = next((int(found[1]) for one in clauses if (found := MANY_PLUGS.search(one))), 0)
    if said != (len(moving) if len(moving) >= MANY else 0):
        night.bench.report.add("says-no-cut", row, f"{len(moving)} plugs move, the row says {said or 'nothing of it'}")


def _clause(clause: str, row: str, night: Night) -> None:
    kind = next((kind for kind, pattern in CUT.items() if pattern.search(clause)), "")
    names = set(names_in(TO_THERE.sub("", clause), night.bench.stage.names))
    report = night.bench.report
    _free(clause, row, night)
    if MANY_PLUGS.search(clause):
        return
    if kind in ("another way", "own mix"):
        if not OUTPUT_NAMED.search(clause):
            report.add("says-no-cut", row, f"{clause}: which plug goes where?")
        if kind == "own mix":
            _own_mix(clause, row, night)
    elif not kind or not names:
        report.add("not-readable", row, clause)
    elif kind in MOVES:
        MOVES[kind](names, clause, row, night)
    elif kind == "direct":
        if not OUTPUT_NAMED.search(clause):
            report.add("says-no-cut", row, f"{clause}: on which output, into which way of the loom?")
        _onto_lines_of_their_own(names, night)
        night.outputs -= 1
        night.direct.add(frozenset(names))
    else:
        _together(names, clause, row, night, kind)


def _free(clause: str, row: str, night: Night) -> None:
    """Outputs that an in-ear mix gives up, once each: its second one, where it has two."""
    for name, player in CUT_FREED.findall(clause):
        mix = next((one for one in night.bench.stage.ears if one.player == player), None)
        outs = [bare(out) for out in mix.outs] if mix else []
        if len(outs) < 2 or bare(name) != outs[-1]:
            night.bench.report.add("cut-fails", row, f"{clause}: the in-ears of {player} have no output {name} to give")
        elif name not in night.freed:
            night.freed.add(name)
            night.outputs += 1


def _out(names: set[str], clause: str, row: str, night: Night) -> None:
    """Sources that are not sent any more; those that stay in the in-ears are there."""
    there = night.bench.in_the_mixer
    for name in sorted(names):
        if not night.carrying({name}):
            night.bench.report.add("cut-fails", row, f"{clause}: {name} is on no line at this point")
        if "ears" in clause and name not in there and not _plugged_back(name, clause, night):
            night.bench.report.add("cut-fails", row, f"{clause}: {name} is at no input of the band's mixer")
    night.leave(names)


def _ask_who_comes_along(clause: str, row: str, night: Night) -> None:
    """Whoever stays in the in-ears shares no plug with what goes on to the house."""
    for name in names_in(clause, night.bench.stage.names):
        others = [signal.legs - {name} for signal in night.bench.at_input.values() if name in signal.legs]
        if any(line & legs and name not in line for legs in others for line in night.lines):
            night.bench.report.add("cut-fails", row, f"{clause}: {name} comes to the house by another's plug")


def _plugged_back(name: str, clause: str, night: Night) -> bool:
    """Whether the row plugs a source back into an input of the band's mixer, one that nothing else holds."""
    back = CUT_BACK.search(clause)
    if not back:
        return False
    if back[1] is None:
        # The band's mixer, where the rig numbers no inputs.
        return True
    take(night.bench.at_input, int(back[1]), Signal(frozenset({name})), clause, night.bench)
    night.holders[int(back[1])] = name
    night.straight.add(name)
    return True


def _together(names: set[str], clause: str, row: str, night: Night, kind: str) -> None:
    """Several sources on fewer lines: something has to make them one, and the row has to say what."""
    before = night.carrying(names)
    whole = frozenset(names).union(*before)
    night.clear(names)
    night.lines += [whole] * (2 if kind == "pair" else 1)
    if OUTPUT_NAMED.search(clause):
        night.bussed.add(whole)
    sources = [source for name in sorted(names) if (source := night.bench.stage.source(name))]
    in_the_mixer = OUTPUT_NAMED.search(clause) and (names <= night.bench.in_the_mixer or CUT_BACK.search(clause))
    report = night.bench.report
    turns = all({other.name for other in sources if other is not one} <= set(one.never_with) for one in sources)
    at_one = AT_ONE_MICROPHONE.search(clause) and any(one.sings_with in names for one in sources)
    submixed = sources[0].submix and all(one.submix == sources[0].submix for one in sources)
    if (
        len(before) < len(names)
        and not any(len(line) > 1 for line in before)
        and not (TO_THERE.search(clause) or in_the_mixer or submixed or names & night.moving)
    ):
        report.add("cut-fails", row, f"{clause}: not all of them are on a line at this point")
    if kind == "mono" and all(one.pickup == "mic" for one in sources):
        report.add("cut-fails", row, f"{clause}: two microphones have no mono")
    elif (
        (kind == "mono" and _says_how(sources, clause))
        or (turns and SWITCHED.search(clause))
        or at_one
        or (submixed and SUBMIXER.search(clause))
    ):
        if kind == "mono" and HOW_MONO["jack"].search(clause):
            empty_jack(sources, night)

        elif kind != "mono":
            on_one_plug(names, clause, row, night)
    elif turns or submixed or kind == "mono":
        report.add("says-no-cut", row, f"{clause}: what makes them one, and what does the player do?")
    else:
        _on_outputs(before, whole, clause, row, night)


def _says_how(sources: list[Source], clause: str) -> bool:
    how = next((one for one, pattern in HOW_MONO.items() if pattern.search(clause)), "")
    if how == "bus":
        # Any two halves at line level can be summed there, whatever the machine can do by itself.
        return bool(OUTPUT_NAMED.search(clause))
    return bool(how) and sources[0].to_mono in ("", how)


def _on_outputs(before: list[frozenset[str]], whole: frozenset[str], clause: str, row: str, night: Night) -> None:
    """A sum leaves the mixer on an output of its own, that of an earlier sum or a free one; the row names it."""
    if not any(line in night.summed for line in before):
        night.outputs += sum(line in night.direct for line in before) - 1
        night.direct -= set(before)
    night.summed.add(whole)
    if night.outputs < 0:
        night.bench.report.add("cut-fails", row, f"{clause}: no output of the band's mixer is free for it")
    elif not OUTPUT_NAMED.search(clause):
        night.bench.report.add("says-no-cut", row, f"{clause}: on which output, into which way of the loom?")


def _apart(clause: str, night: Night) -> set[str]:
    """Who stays apart from the band's mix; both halves of what stays apart in mono, and all of a submix."""
    stage = night.bench.stage
    names = set(names_in(clause, stage.names))
    for one in stage.sources:
        pair = PAIR_SIDE.sub("", one.name) if one.partner else ""
        in_mono = pair and f"{pair} (mono)" in clause
        submixed = one.submix and re.search(rf"(?<!\w){re.escape(one.submix)} (?:\(mono\)|[LR]\b)", clause)
        if in_mono or submixed:
            names.add(one.name)
    if "(sum)" in clause:
        names |= frozenset().union(*(line for line in night.lines if line in night.summed))
    return names


def _own_mix(clause: str, row: str, night: Night) -> None:
    """The band's own mix, and the lines that stay apart from it; who shares a line with others goes into it."""
    apart = _apart(clause, night)
    # A mix that stands becomes mono, and a row that says nothing of who stays apart moves nobody.
    narrower = night.mix and "apart" not in clause
    stays = [line for line in night.lines if (line != night.mix if narrower else line <= apart)]
    joins = [line for line in night.lines if line not in stays] + [line for line in night.links if not line & apart]
    night.links = [line for line in night.links if line & apart]
    width = 1 if re.search(r"\bmono\b(?!\))", clause) else 2
    mixed = frozenset[str]().union(*joins)
    if not night.freed and not any(one.use in ("main", "free") for one in night.bench.stage.outputs):
        night.bench.report.add("cut-fails", row, f"{clause}: the band's mixer has no output for it")
    night.lines = [*stays, *[mixed] * width]
    night.mix = mixed


def _join(names: set[str], clause: str, row: str, night: Night) -> None:
    """Sources that leave their lines for the mix that is plugged already."""
    if not any(line == night.mix for line in night.lines):
        night.bench.report.add("cut-fails", row, f"{clause}: no mix of the band's is plugged at this point")
        return
    there = night.bench.in_the_mixer
    for name in sorted(names - there):
        if len(names) == 1 and _plugged_back(name, clause, night):
            continue
        night.bench.report.add("cut-fails", row, f"{clause}: {name} is at no input of the band's mixer")
    larger = night.mix | names
    night.lines = [larger if line == night.mix else line - names for line in night.lines if line - names]
    night.links = [line - names for line in night.links if line - names]
    night.mix = larger


def _again(names: set[str], clause: str, row: str, night: Night) -> None:
    """Sources that come out of the mix, or of a sum, to lines of their own."""
    if all(frozenset({name}) in night.before for name in names):
        night.bench.report.add("cut-fails", row, f"{clause}: there they are already")
    _onto_lines_of_their_own(names, night)
    for number, name in enumerate(sorted(names - night.bench.in_the_mixer)):
        # Its plug goes in as its row of the sheet says; which number that is does not matter any more.
        night.bench.at_input[-1 - number] = Signal(frozenset({name}))


def _onto_lines_of_their_own(names: set[str], night: Night) -> None:
    night.lines = [line - names for line in night.lines if line - names]
    night.mix -= names
    night.summed = {line - names for line in night.summed}
    night.direct = {line - names for line in night.direct}
    night.lines += [frozenset({name}) for name in sorted(names)]


def _over_the_link(names: set[str], clause: str, row: str, night: Night) -> None:
    """Sources that go over the digital link; who went past the in-ears is plugged into the mixer for it."""
    if not night.bench.van.has(NETWORK):
        night.bench.report.add("cut-fails", row, f"{clause}: no cable for the link is in the van")
    night.leave(names)
    for name in sorted(names - night.bench.in_the_mixer):
        _plugged_back(name, clause, night)
    night.links += [frozenset({name}) for name in sorted(names)]


MOVES = {"link": _over_the_link, "out": _out, "into the mix": _join, "again": _again, "plug": plug}
"""What a clause does to sources that it names, by kind."""


def _undo(clause: str, names: set[str], night: Night) -> None:
    """What comes back: its sources on lines of their own again."""
    held = [line for line in night.lines if line & names]
    if CUT["direct"].search(clause):
        night.bench.report.add("says-no-cut", "cut", f"no longer: {clause}: where does its plug go?")
    if CUT["out"].search(clause):
        night.lines += [frozenset({name}) for name in sorted(names) if not night.carrying({name})]
    elif len(held) == 1 and len(names) > 1:
        if held[0] in night.summed:
            night.outputs += 1
        night.lines = [line for line in night.lines if line not in held] + [frozenset({name}) for name in sorted(names)]
