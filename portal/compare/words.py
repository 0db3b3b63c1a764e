"""The answer in sentences, the same on pages, on paper and on the command line."""

from __future__ import annotations

from portal.compare.cell import LOSS_WORDS, NOTHING, SECONDS, Cell
from portal.compare.grid import Grid, Row
from portal.compare.helps import Help
from portal.compare.solving import Range, Turn
from portal.plan import QUESTIONS
from portal.wording.answers import say_value
from portal.wording.catalogue import gettext, look_up, mark, ngettext
from portal.wording.formats import say_number
from portal.wording.plan.saying import say

TWO_PEOPLE = mark("Lift the rack, and anything else that is heavy, with two people.")

MARKS = {"nothing": "·", "seconds": "2nd", "audible": "hear", "own-mix": "mix", "no-plan": "none"}
"""What a cell says in four letters or fewer, where there is no room for words."""

WHAT_COUNTS = mark(
    "A plug is one connector pushed home. Counted: each source at the rack; its leg to the mixer where it runs through"
    " a carried splitter; both ends of each line and of each output to the band's own PA. A minute is four plugs by one"
    " person."
)


def sentence(grid: Grid) -> str:
    """The answer: the candidate that loses nothing at most gigs, and how today's rig does."""
    today, others = grid.rows[0], grid.rows[1:]
    best = min(grid.rows, key=lambda row: (-row.nothing, row.blocked, row.carried, row.plugs))
    gigs = grid.gigs
    if not others:
        return gettext("Today's rig loses nothing at %(nothing)s of %(gigs)s.", nothing=today.nothing, gigs=_gigs(gigs))
    if best.nothing == today.nothing:
        first = gettext(
            "Today's rig loses nothing at %(nothing)s of %(gigs)s; no other rig at more.",
            nothing=today.nothing,
            gigs=_gigs(gigs),
        )
        less = gettext("%(name)s does the same with less to plug or carry.", name=today.beaten_by)
        return _one_after_the_other(first, less if today.beaten_by else "", _range(today))
    return _one_after_the_other(
        gettext(
            "%(name)s: nothing is lost at %(nothing)s of %(gigs)s%(at_home)s.",
            name=best.candidate.name,
            nothing=best.nothing,
            gigs=_gigs(gigs),
            at_home=_at_home(best, gigs),
        ),
        gettext("Today's rig loses something at %(count)s.", count=gigs - today.nothing),
        _range(best),
    )


def _one_after_the_other(*sentences: str) -> str:
    return " ".join(one for one in sentences if one)


def _at_home(row: Row, gigs: int) -> str:
    if any(cell.built_in for cell in row.cells):
        return gettext(", and the splitter comes along in the rack")
    if not row.candidate.rig.splitter:
        return gettext(", without a splitter")
    return gettext(", and the splitter stays at home at %(count)s", count=gigs - row.carried)


def _range(row: Row) -> str:
    if row.least == row.most:
        return ""
    return gettext("Until the houses have answered it is %(least)s to %(most)s.", least=row.least, most=row.most)


def _gigs(count: int) -> str:
    return ngettext("%(num)s gig", "%(num)s gigs", count)


def one_gig(grid: Grid) -> str:
    """What to say of a year of one gig; empty where there are more."""
    return (
        gettext("This is one gig: it says nothing about a year. Add gigs or typical rooms.") if grid.gigs == 1 else ""
    )


def nothing_of(row: Row) -> str:
    """The gigs that lose nothing, as a range where houses have not answered."""
    return str(row.nothing) if row.least == row.most else f"{row.nothing} ({row.least}-{row.most})"


def beaten(row: Row) -> str:
    """By which other candidate this one is beaten in everything; empty where by none."""
    return gettext("Beaten in everything by %(name)s.", name=row.beaten_by) if row.beaten_by else ""


def worst(row: Row) -> str:
    """What is lost at the worst gig, with the dearest step."""
    return loss_words(row.worst)


def loss_words(cell: Cell) -> str:
    """What a cell loses, with its dearest step."""
    if cell.loss in (NOTHING, SECONDS) or not cell.given:
        return LOSS_WORDS[cell.loss]
    return f"{LOSS_WORDS[cell.loss]}: {cell.given[0].words}"


def given_words(cell: Cell) -> tuple[str, ...]:
    """Each step that is taken, dearest first."""
    return tuple(f"{one.count} x {one.words}" if one.count > 1 else one.words for one in cell.given)


def range_words(found: Range | None) -> str:
    """What a cell could be while houses have not answered; empty where they have."""
    if found is None:
        return ""
    if found.holds:
        return gettext("Holds whatever they answer, each question by itself.")
    first = next(turn for turn in found.turns if turn.loss in (found.worst, found.best))
    return gettext(
        "From %(best)s to %(worst)s, each question by itself. It turns with: %(question)s %(answer)s: %(loss)s.",
        best=LOSS_WORDS[found.best],
        worst=LOSS_WORDS[found.worst],
        question=look_up(QUESTIONS[first.question].band),
        answer=turn_words(first),
        loss=LOSS_WORDS[first.loss],
    )


def turn_words(turn: Turn) -> str:
    """An answer that was tried; of a distance what it has to be more than."""
    if turn.value is None:
        return turn.words
    value = int(turn.value) - 1 if turn.question == "box-distance" else turn.value
    said = say_value(QUESTIONS[turn.question].kind, value)
    return gettext("more than %(length)s", length=said) if turn.question == "box-distance" else said


def ranges_words(grid: Grid, at: int) -> tuple[str, ...]:
    """What a room could be, the rigs of which the same is to be said together."""
    said: dict[str, list[str]] = {}
    for row in grid.rows:
        if row.ranges[at] is not None:
            said.setdefault(range_words(row.ranges[at]), []).append(row.candidate.name)
    everybody = len(grid.rows)
    return tuple(words if len(names) == everybody else f"{', '.join(names)}: {words}" for words, names in said.items())


def binding(grid: Grid) -> str:
    """What binds at the gigs at which today's rig loses something; empty where nothing does."""
    row = grid.rows[0]
    found: dict[str, int] = {}
    for cell, count in zip(row.cells, row.counts, strict=True):
        for one in map(say, cell.binds if cell.loss != NOTHING else ()):
            found[one] = found.get(one, 0) + count
    if not found:
        return ""
    told = ", ".join(f"{one} ({_gigs(count)})" for one, count in sorted(found.items(), key=lambda one: -one[1]))
    return gettext("What binds where today's rig loses something: %(told)s.", told=told)


def help_costs(one: Help) -> str:
    """What a single change takes: price and weight where the band gave them, pieces carried, minutes of plugging."""
    figures = one.figures
    said = [gettext("price %(price)s", price=say_number(figures.price))] if figures.price is not None else []
    said += [f"{say_number(figures.kg)} kg"] if figures.kg is not None else []
    if one.pieces > 0:
        said.append(gettext("%(count)s pieces more carried a year", count=one.pieces))
    else:
        said.append(gettext("nothing more carried"))
    if one.minutes > 0:
        said.append(gettext("%(minutes)s min more plugging a gig", minutes=one.minutes))
    elif one.minutes:
        said.append(gettext("%(minutes)s min less plugging a gig", minutes=-one.minutes))
    else:
        said.append(gettext("no more plugging a gig"))
    return ", ".join(said)


def help_words(one: Help) -> str:
    """What a single change wins."""
    won = ngettext("%(num)s gig more loses nothing", "%(num)s gigs more lose nothing", one.nothing)
    less = ngettext("%(num)s gig loses less", "%(num)s gigs lose less", one.less)
    wins = [won, less] if one.less > one.nothing > 0 else [won] if one.nothing else [less]
    return f"{one.single.words[:1].upper()}{one.single.words[1:]}: {', '.join(wins)}."
