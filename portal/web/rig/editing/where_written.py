"""Where on the sheet a change is written that would help a plan."""

import re
from collections.abc import Mapping

from portal.plan.input.rig import Rig
from portal.web.rig.editing.sheet import FOLDS, draw_sheet

WRITTEN: Mapping[str, tuple[str, str]] = {
    "say-where-outputs-are-tapped": ("outs", r"out\d+-tap"),
    "say-where-sources-plug-in": ("splitters", r"splitter\d+-plugs"),
    "free-an-output": ("outs", r"out\d+-feeds"),
    "loose-splitter": ("splitters", r"splitter\d+-name"),
    "lend-a-sub-loom": ("sub-looms", r"subloom\d+-name"),
    "bring-isolating-transformers": ("bits", "isolating_transformer"),
}
"""Changes that would help: the part that holds each, and its fields."""

EMPTY_FIRST = frozenset(
    {"say-where-outputs-are-tapped", "say-where-sources-plug-in", "loose-splitter", "lend-a-sub-loom"}
)
"""Changes that go into a field that is empty, where one is."""


def field_of(change: str, rig: Rig) -> tuple[str, str] | None:
    """The fold that holds a change and the field to begin with; ``None`` for one that is written nowhere."""
    if change not in WRITTEN:
        return None
    part, name = WRITTEN[change]
    fold = next(fold for fold, (_words, parts) in FOLDS.items() if part in parts)
    values = draw_sheet(rig, (fold,))
    fields = [field for field in values if re.fullmatch(name, field)]
    if change == "say-where-outputs-are-tapped":
        heard = {out for mix in rig.ears for out in mix.outs}
        keys = {field: "".join(values[field.replace("-tap", "-key")]) for field in fields}
        fields = [field for field in fields if keys[field] and keys[field] not in heard] or fields
    if change == "say-where-sources-plug-in":
        fields = fields[: len(rig.splitter)] or fields
    empty = [field for field in fields if change in EMPTY_FIRST and not any(values[field])]
    return fold, next(iter([*empty, *fields]), part)
