"""In what a gig differs from its rig, in one sentence that both sides read."""

from collections.abc import Iterable, Iterator

from portal.plan.input.line_up import (
    AS_THE_RIG,
    OFF,
    LineUp,
    carried_tonight,
    is_off,
    listeners_tonight,
    players_of,
)
from portal.plan.input.rig import Ears, Rig, Source
from portal.store import discussions, rigs
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan
from portal.wording.catalogue import Words, mark
from portal.wording.catalogue import gettext as _
from portal.wording.formats import join_and

CARRIED = Words({"radio": mark("wireless"), "cable": mark("wired"), "wedge": mark("on a wedge of the house")})
"""How an in-ear mix is carried tonight, in words."""


def says(rig: Rig, line_up: LineUp) -> str:
    """What differs from a rig (every configuration of it), such as "Tonight: without Keys 2; Ana for Bo on Bass.";
    empty where nothing does.
    """
    parts = [*_without(rig, line_up), *_deps(rig, line_up), *_guests(line_up.guests), *_mixes(rig, line_up)]
    return _("Tonight: %(differences)s.", differences="; ".join(parts)) if parts else ""


def parts_said(sentence: str) -> str:
    """What ``says`` wrote, without the words around it: events hold its whole sentence."""
    return sentence.removeprefix(_("Tonight: %(differences)s.", differences="").removesuffix(".")).removesuffix(".")


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
        _("What both sides agreed of %(resting)s rests while it is off.", resting=join_and(resting)) if resting else ""
    )
    return " ".join(sentence for sentence in (says(rig, line_up), rests) if sentence)


def _without(rig: Rig, line_up: LineUp) -> Iterator[str]:
    rows = [one.label for one in rig.source if one.key in line_up.off and one.player not in line_up.away]
    players = [
        _player(player, (one.label for one in rig.source if one.player == player))
        for player in players_of(rig)
        if player in line_up.away
    ]
    if rows or players:
        yield _("without %(names)s", names=join_and((*players, *rows)))


def _player(name: str, labels: Iterable[str]) -> str:
    played = join_and(labels)
    return f"{name} ({played})" if played else name


def _deps(rig: Rig, line_up: LineUp) -> Iterator[str]:
    for player, instead in line_up.deps:
        played = [one.label for one in rig.source if one.player == player and not is_off(one, line_up)]
        if played or any(player in one.listeners for one in rig.ears):
            yield (
                _("%(deputy)s for %(player)s on %(rows)s", deputy=instead, player=player, rows=join_and(played))
                if played
                else _("%(deputy)s for %(player)s", deputy=instead, player=player)
            )


def _guests(guests: tuple[Source, ...]) -> Iterator[str]:
    if guests:
        shown = join_and(f"{one.label} ({one.player})" if one.player else one.label for one in guests)
        yield (
            _("one guest row, %(shown)s", shown=shown)
            if len(guests) == 1
            else _("%(count)s guest rows, %(shown)s", count=len(guests), shown=shown)
        )


def _mixes(rig: Rig, line_up: LineUp) -> Iterator[str]:
    heard = [(one, listeners_tonight(one, line_up, rig.ears), carried_tonight(one, line_up)) for one in rig.ears]
    silent = [name for _mix, names, how in heard if how == OFF for name in names]
    if silent:
        yield _("no in-ear mix for %(silent)s", silent=join_and(silent))
    for mix, names, how in heard:
        if names and how not in (OFF, mix.carried_by):
            yield _("the mix of %(names)s %(how)s", names=join_and(names), how=CARRIED[how])
    if line_up.ears:
        yield _("an in-ear mix for %(ears)s", ears=join_and(map(_listener, line_up.ears)))


def _listener(mix: Ears) -> str:
    return mix.player
