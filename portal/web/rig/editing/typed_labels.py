"""New rows whose label says what they are: the same reading as for pasted rows, so that a label is all that has to be
typed.
"""

from collections.abc import Sequence
from dataclasses import replace

from portal.exchange.band_list.first_of_two import first_by_the_stage
from portal.exchange.band_list.pasted_rows import PastedRow
from portal.exchange.band_list.proposing import Proposal, propose
from portal.plan.input.kinds import KINDS
from portal.plan.input.rig import Rig, Source
from portal.web.rig.rig_fields import changed


def from_labels(sources: Sequence[Source], new: Sequence[int]) -> list[Source]:
    """The rows, the new ones among them with what their labels say for sure where nothing else was said; legs and
    second microphones name each other by key.
    """
    read = dict(zip(new, propose([PastedRow("", sources[place].label) for place in new]), strict=True))
    taken = {place: one for place, one in read.items() if _says_all(one) and sources[place].what == ""}
    made = list(sources)
    for place, one in taken.items():
        said = {
            name: value
            for name in ("player", "position", "capture", "phantom", "stand")
            if (value := getattr(one.reading, name)) and getattr(made[place], name) == ""
        }
        made[place] = changed(replace(made[place], what=one.reading.what), said)
    for place, one in taken.items():
        partner = None if one.partner is None else new[one.partner]
        if partner in taken:
            made[place] = replace(made[place], pair_with=sources[partner].key, pair_kind="left-right")
        first = None if one.first is None else new[one.first]
        if first in taken:
            made[place] = replace(made[place], second_of=sources[first].key)
    return first_by_the_stage(made, {sources[place].key for place in taken})


def _says_all(one: Proposal) -> bool:
    reading = one.reading
    return one.settled and reading.what in KINDS and reading.rows == 1 and not reading.parts


def on_the_one_splitter(source: Source, before: Source, rig: Rig) -> Source:
    """The row on the rig's only splitter where it has a way and names none, and off it where its way was taken away."""
    if len(rig.splitter) != 1:
        return source
    if source.way is not None and not source.splitter:
        return replace(source, splitter=rig.splitter[0].key)
    gone = source.way is None and before.way is not None
    return replace(source, splitter="") if gone and source.splitter == before.splitter else source
