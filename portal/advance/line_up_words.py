"""In what a gig differs from its rig: as keys and names, which are kept, and as one sentence, which both sides read."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from pydantic import TypeAdapter

from portal.plan.input.line_up import (
    AS_THE_RIG,
    OFF,
    LineUp,
    carried_tonight,
    is_off,
    listeners_tonight,
    players_of,
)
from portal.plan.input.rig import Rig
from portal.store import discussions, rigs
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan
from portal.wording.catalogue import Words, mark
from portal.wording.catalogue import gettext as _
from portal.wording.formats import join_and, join_clauses

CARRIED = Words({"radio": mark("wireless"), "cable": mark("wired"), "wedge": mark("on a wedge of the house")})
"""How an in-ear mix is carried tonight, in words."""


@dataclass(frozen=True)
class Differs:
    """One thing that is other than in the rig. ``what``: a key of ``_CLAUSES``; ``names`` as people typed them, ``of``:
    some with what they play, or with who plays it; ``by``: who plays instead, or a key of ``CARRIED``.
    """

    what: str
    names: tuple[str, ...] = ()
    of: tuple[tuple[str, tuple[str, ...]], ...] = ()
    by: str = ""


_KEPT = TypeAdapter(tuple[Differs, ...])


def differences(rig: Rig, line_up: LineUp) -> tuple[Differs, ...]:
    """What differs from a rig, every configuration of it."""
    return (*_without(rig, line_up), *_instead(rig, line_up), *_guests(line_up), *_mixes(rig, line_up))


def write_differences(found: tuple[Differs, ...]) -> str:
    """What differs as events keep it; empty where nothing does."""
    return _KEPT.dump_json(found, exclude_defaults=True).decode() if found else ""


def says(found: tuple[Differs, ...]) -> str:
    """What differs as a sentence, such as "Tonight: without Keys 2; Ana for Bo on Bass."; empty where nothing does."""
    return _("Tonight: %(differences)s.", differences=_clauses(found)) if found else ""


def kept_words(kept: str) -> str:
    """What an event keeps of a line-up, in words without the sentence around them; older ones keep that sentence."""
    if kept.startswith("["):
        return _clauses(_KEPT.validate_json(kept))
    earlier = re.fullmatch(r"Tonight: (.*)\.", kept, re.DOTALL)
    return earlier[1] if earlier else kept


def _clauses(found: tuple[Differs, ...]) -> str:
    return join_clauses(_CLAUSES[one.what](one) for one in found)


def _said_without(one: Differs) -> str:
    players = (f"{player} ({join_and(played)})" if played else player for player, played in one.of)
    return _("without %(names)s", names=join_and((*players, *one.names)))


def _said_instead(one: Differs) -> str:
    ((player, rows),) = one.of
    if not rows:
        return _("%(deputy)s for %(player)s", deputy=one.by, player=player)
    return _("%(deputy)s for %(player)s on %(rows)s", deputy=one.by, player=player, rows=join_and(rows))


def _said_guests(one: Differs) -> str:
    shown = join_and(f"{label} ({player[0]})" if player else label for label, player in one.of)
    if len(one.of) == 1:
        return _("one guest row, %(shown)s", shown=shown)
    return _("%(count)s guest rows, %(shown)s", count=len(one.of), shown=shown)


_CLAUSES: Mapping[str, Callable[[Differs], str]] = {
    "without": _said_without,
    "instead": _said_instead,
    "guests": _said_guests,
    "no-mix": lambda one: _("no in-ear mix for %(silent)s", silent=join_and(one.names)),
    "carried": lambda one: _("the mix of %(names)s %(how)s", names=join_and(one.names), how=CARRIED[one.by]),
    "new-mix": lambda one: _("an in-ear mix for %(ears)s", ears=join_and(one.names)),
}
"""What says a thing that differs, by what it is."""


def of_gig(db: Session, gig: Gig) -> str:
    """The sentence of a gig (already allowed) as it stands now."""
    line_up = gig.read_line_up()
    return _said(db, gig, gig.rig_revision_id, line_up) if line_up != AS_THE_RIG else ""


def of_plan(db: Session, gig: Gig, stored: StoredPlan) -> str:
    """The sentence of the gig (already allowed) that a plan was made from."""
    line_up = stored.read_line_up()
    return _said(db, gig, stored.rig_revision_id, line_up) if line_up != AS_THE_RIG else ""


def _said(db: Session, gig: Gig, revision_id: str, line_up: LineUp) -> str:
    rig = rigs.revision_of_gig(db, revision_id).read()
    agreed = {lock.source for lock in discussions.locks(db, gig.id)}
    resting = [one.label for one in rig.source if one.key in agreed and is_off(one, line_up)]
    rests = (
        _("What both sides agreed on %(resting)s does not apply while it is off.", resting=join_and(resting))
        if resting
        else ""
    )
    return " ".join(sentence for sentence in (says(differences(rig, line_up)), rests) if sentence)


def _without(rig: Rig, line_up: LineUp) -> Iterator[Differs]:
    rows = tuple(one.label for one in rig.source if one.key in line_up.off and one.player not in line_up.away)
    players = tuple(
        (player, _once(one.label for one in rig.source if one.player == player))
        for player in players_of(rig)
        if player in line_up.away
    )
    if rows or players:
        yield Differs("without", rows, players)


def _once(labels: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(labels))


def _instead(rig: Rig, line_up: LineUp) -> Iterator[Differs]:
    for player, instead in line_up.deps:
        played = _once(one.label for one in rig.source if one.player == player and not is_off(one, line_up))
        if played or any(player in one.listeners for one in rig.ears):
            yield Differs("instead", of=((player, played),), by=instead)


def _guests(line_up: LineUp) -> Iterator[Differs]:
    if line_up.guests:
        yield Differs("guests", of=tuple((one.label, (one.player,) if one.player else ()) for one in line_up.guests))


def _mixes(rig: Rig, line_up: LineUp) -> Iterator[Differs]:
    heard = [(one, listeners_tonight(one, line_up, rig.ears), carried_tonight(one, line_up)) for one in rig.ears]
    silent = tuple(name for _mix, names, how in heard if how == OFF for name in names)
    if silent:
        yield Differs("no-mix", silent)
    for mix, names, how in heard:
        if names and how not in (OFF, mix.carried_by):
            yield Differs("carried", tuple(names), by=how)
    if line_up.ears:
        yield Differs("new-mix", tuple(one.player for one in line_up.ears))
