"""What a signature covers: for every field of a plan, whether a change of it outdates a signature or keeps it.

Material is what somebody plugs, brings, owns, hears or ticks. Words that merely explain it may change freely: reasons,
notes, the cut list.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum

from portal.plan import model


class Effect(Enum):
    """What a change of one field does to a signature."""

    KEPT = "kept"
    OUTDATED = "outdated"


_KEPT, _OUTDATED = Effect.KEPT, Effect.OUTDATED

SIGNED_FIELDS: Mapping[type, Mapping[str, Effect]] = {
    model.Plan: {
        "schema": _KEPT,
        "status": _KEPT,
        "route": _OUTDATED,
        "sentence": _KEPT,
        "lines": _OUTDATED,
        "not_sent": _OUTDATED,
        "ear_inputs": _OUTDATED,
        "ears": _OUTDATED,
        "returns": _OUTDATED,
        "bring": _OUTDATED,
        "leave": _OUTDATED,
        "assumed": _KEPT,
        "blocks": _OUTDATED,
        "asks": _OUTDATED,
        "notes": _KEPT,
        "cut_list": _KEPT,
        "rack_dies": _KEPT,
        "spare": _KEPT,
        "proven": _KEPT,
        "engine": _KEPT,
        "outputs": _OUTDATED,
        "moves": _OUTDATED,
        "would_help": _KEPT,
    },
    model.Line: {
        "line": _OUTDATED,
        "direction": _OUTDATED,
        "sources": _OUTDATED,
        "label": _OUTDATED,
        "strip": _OUTDATED,
        "player": _OUTDATED,
        "mic_or_di": _OUTDATED,
        "owner": _OUTDATED,
        "stand": _OUTDATED,
        "stereo_partner": _OUTDATED,
        "path": _OUTDATED,
        "mixer_input": _OUTDATED,
        "loom": _OUTDATED,
        "box_socket": _OUTDATED,
        "desk_channel": _OUTDATED,
        "level": _OUTDATED,
        "gain_owner": _OUTDATED,
        "phantom": _OUTDATED,
        "pad_db": _OUTDATED,
        "lift": _OUTDATED,
        "polarity": _OUTDATED,
        "dry": _OUTDATED,
        "note": _KEPT,
        "because": _KEPT,
        "box": _OUTDATED,
        "run": _OUTDATED,
        "desk_phantom": _OUTDATED,
        "transformer": _OUTDATED,
    },
    model.Path: {
        "kind": _OUTDATED,
        "unit": _OUTDATED,
        "unit_name": _OUTDATED,
        "way": _OUTDATED,
        "output": _OUTDATED,
    },
    model.LoomWay: {"key": _OUTDATED, "name": _OUTDATED, "way": _OUTDATED, "house_end": _OUTDATED},
    model.NotSent: {
        "source": _OUTDATED,
        "label": _OUTDATED,
        "where": _OUTDATED,
        "step": _KEPT,
        "because": _KEPT,
    },
    model.EarInput: {
        "mixer_input": _OUTDATED,
        "source": _OUTDATED,
        "label": _OUTDATED,
        "fed_by": _OUTDATED,
        "phantom": _OUTDATED,
        "line": _OUTDATED,
        "player": _OUTDATED,
        "mic_or_di": _OUTDATED,
        "owner": _OUTDATED,
        "stand": _OUTDATED,
        "cable": _OUTDATED,
        "pad_db": _OUTDATED,
        "heard": _OUTDATED,
        "channel": _OUTDATED,
        "note": _KEPT,
        "way": _KEPT,
    },
    model.Output: {"out": _OUTDATED, "feeds": _OUTDATED, "cable": _OUTDATED},
    model.EarMix: {
        "player": _OUTDATED,
        "width": _OUTDATED,
        "outs": _OUTDATED,
        "carried_by": _OUTDATED,
        "to_mono": _OUTDATED,
        "cable": _OUTDATED,
    },
    model.Return: {
        "label": _OUTDATED,
        "loom": _OUTDATED,
        "mixer_input": _OUTDATED,
        "turn_rounds": _OUTDATED,
        "note": _KEPT,
        "box_output": _OUTDATED,
    },
    model.Move: {
        "source": _OUTDATED,
        "label": _OUTDATED,
        "rig_input": _OUTDATED,
        "tonight": _OUTDATED,
        "note": _KEPT,
    },
    model.Item: {"what": _OUTDATED, "count": _OUTDATED, "why": _KEPT},
    model.Statement: {"key": _OUTDATED, "level": _KEPT, "said": _OUTDATED, "facts": _KEPT, "remedies": _KEPT},
}
"""Every field of what a plan is made of, and what a change of it does to a signature. A field that is missing here
is an error."""


LATER: Mapping[type, Mapping[str, object]] = {
    model.Plan: {"outputs": (), "moves": (), "would_help": ()},
    model.Line: {"box": "", "run": "", "desk_phantom": "", "transformer": False},
    model.EarInput: {
        "player": "",
        "mic_or_di": "",
        "owner": "",
        "stand": "",
        "cable": "",
        "pad_db": 0,
        "heard": "",
        "channel": None,
        "note": "",
        "way": None,
    },
    model.EarMix: {"cable": ""},
    model.Return: {"box_output": None},
}
"""Fields that came after the first plans were stored, each with the value that says nothing. A stored plan may lack
them, and such a value is in no hash: what was signed before keeps its hash."""


def material_fields(table: type) -> tuple[str, ...]:
    """The names of the fields that a signature covers, in the order of the table."""
    return tuple(name for name, effect in SIGNED_FIELDS[table].items() if effect is Effect.OUTDATED)
