"""What a saved rig leaves open: no mistake, but seldom what a band meant."""

from collections.abc import Iterator

from portal.plan.input.rig import Rig, Splitter
from portal.plan.options.routing_policy import TO_THE_HOUSE, goes_of
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import ngettext
from portal.wording.formats import join_and


def left_open(rig: Rig) -> Iterator[str]:
    """Sentences on who hears no mix, on splitters that nothing is plugged into, and on rows beside free ways."""
    players = dict.fromkeys(one.player for one in rig.source if one.player)
    heard = dict.fromkeys(name for mix in rig.ears for name in mix.listeners)
    deaf = [name for name in players if name not in heard]
    if rig.ears and deaf:
        strange = [name for name in heard if name not in players]
        sentences = [_("No in-ear mix: %(deaf)s.", deaf=join_and(deaf))]
        if strange:
            sentences.append(
                ngettext(
                    "%(strange)s has one, and no row names them.",
                    "%(strange)s have one, and no row names them.",
                    len(strange),
                    strange=join_and(strange),
                )
            )
        yield " ".join(sentences)
    used = {one.splitter for one in rig.source if one.way is not None}
    if rig.source:
        for splitter in rig.splitter:
            if splitter.key not in used:
                yield (
                    f"No row is on {splitter.name or 'the splitter'}, which has {splitter.ways} ways. "
                    'Type a way, or choose "Number ways from here" beside a row.'
                )
    yield from _beside_free_ways(rig, [one for one in rig.splitter if one.key in used])


MOST_NAMED = 4
"""So many rows are named one by one."""


def _beside_free_ways(rig: Rig, splitters: list[Splitter]) -> Iterator[str]:
    """Rows that go to the house past a splitter in which others are plugged and ways are free."""
    rows = [one.label for one in rig.source if one.way is None and goes_of(one) in TO_THE_HOUSE]
    for splitter in splitters:
        taken = {one.way for one in rig.source if one.splitter == splitter.key} - {None}
        if rows and len(taken) < splitter.ways:
            yield ngettext(
                "%(rows)s is on no splitter way, and %(splitter)s still has free ways."
                ' Type a way where the row belongs there, or choose "Number ways from here".',
                "%(rows)s are on no splitter way, and %(splitter)s still has free ways."
                ' Type a way where a row belongs there, or choose "Number ways from here".',
                len(rows),
                rows=join_and(rows) if len(rows) <= MOST_NAMED else _("%(count)s rows", count=len(rows)),
                splitter=splitter.name or _("the splitter"),
            )
            return
