"""A rig from a document that holds together: every key that cannot be read and everything that contradicts itself, told
at once.

What cannot be read is left out, and what remains is held against itself; only contradictions that rest on what was read
are told.
"""

from __future__ import annotations

from collections.abc import Iterable

from portal.exchange.checking import Steps, from_document, readable_part
from portal.exchange.faults import Fault, NotReadable, path_of
from portal.exchange.rig_words import OTHER_ROWS
from portal.plan.coherence import RigFault, faults
from portal.plan.input.rig import Rig

ROW_KEYS = {
    "label": {"player", "position", "pair_with"},
    "mixer_input": {"never_with"},
    "way": {"splitter", "never_with"},
    "what": {"pair_with"},
    "one_microphone_with": {"what", "capture", "stand", "lead", "family"},
    "pair_kind": {"pair_with"},
    "inseparable": {"pair_with"},
    "goes": {"what"},
    "must": {"what", "goes"},
}
"""Field of a contradiction -> the other keys of the rows that it was read from."""

NAMING_A_ROW = OTHER_ROWS | {"configurations"}
"""Fields that name a row by its key."""

NAMES = frozenset({"key", "name", "player", "outs", "use"})
"""Keys by which tables of the rig name each other."""

NAMING = {
    "splitter": {"splitter"},
    "loom": {"loom"},
    "ears": {"ears", "mixer.outs"},
    "mixer": {"ears", "mixer.outs"},
    "outs": {"ears", "mixer.outs"},
    "configurations": {"configurations"},
}
"""Table -> the fields whose contradictions rest on the names in it."""


def document_to_sound_rig(document: object) -> Rig:
    """The rig that a document describes, free of contradictions. Raises ``NotReadable``: first each key by itself, then
    what contradicts itself.
    """
    unread: tuple[Fault, ...] = ()
    left_out: tuple[Steps, ...] = ()
    try:
        rig = from_document(Rig, document)
    except NotReadable as error:
        unread = error.faults
        rig, left_out = readable_part(Rig, document)
    found = [Fault(_place(one), said=one.sentence) for one in faults(rig) if not _rests_on(one, left_out)]
    if unread or found:
        raise NotReadable([*unread, *found])
    return rig


def _place(fault: RigFault) -> str:
    return fault.field if fault.row is None else path_of(["source", fault.row, fault.field])


def _rests_on(fault: RigFault, left_out: Iterable[Steps]) -> bool:
    """Whether a contradiction was read from something that is left out."""
    rows = () if fault.row is None else (fault.row, *fault.others)
    keys = {fault.field} | ROW_KEYS.get(fault.field, set())
    for steps in left_out:
        if not steps:
            return True
        table, row, key = (*(steps[1:] if steps[0] == "mixer" and steps[1:] else steps), None, None, None)[:3]
        if table == "source":
            if (
                row is None
                or (row in rows and key in (None, *keys))
                or (fault.field in NAMING_A_ROW and key in (None, "key"))
            ):
                return True
        elif fault.field in NAMING.get(str(table), ()) and (key is None or key in NAMES):
            return True
    return False
