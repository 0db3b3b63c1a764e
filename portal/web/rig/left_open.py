"""What a saved rig leaves open: no mistake, but seldom what a band meant."""

from collections.abc import Iterator

from portal.plan.input.rig import Rig
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import ngettext
from portal.wording.formats import join_and


def left_open(rig: Rig) -> Iterator[str]:
    """Sentences on who hears no mix, and on splitters that nothing is plugged into."""
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
