"""A line-up as gigs and plans hold it: JSON, and an empty text where nothing differs from the rig."""

from pydantic import TypeAdapter

from portal.plan.input.line_up import AS_THE_RIG, LineUp
from portal.store.database.readings import read_once

_LINE_UP = TypeAdapter(LineUp)


@read_once
def read(text: str) -> LineUp:
    """The line-up that a text holds."""
    return _LINE_UP.validate_json(text) if text else AS_THE_RIG


def write(line_up: LineUp) -> str:
    """A line-up as text; what it leaves as the rig has it is left out."""
    return "" if line_up == AS_THE_RIG else _LINE_UP.dump_json(line_up, exclude_defaults=True).decode()
