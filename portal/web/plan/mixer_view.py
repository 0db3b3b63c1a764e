"""The inputs of the band's mixer as the plan's page lists them where that mixer makes the audience's mix: the rows of
the patch sheet. What its outputs feed is drawn with the cables.
"""

from dataclasses import astuple, dataclass

from portal.documents.patch.mixer_rows import mixer_rows
from portal.documents.patch.patch_rows import NONE
from portal.documents.rendering.printed import Printed
from portal.plan.model import Plan, Route
from portal.wording.catalogue import look_up, mark

HEADS = (
    mark("Input"),
    mark("Source"),
    mark("Player"),
    mark("Mic or DI"),
    mark("Stand"),
    mark("Fed by"),
    mark("Cable"),
    "48 V",
    mark("Pad, dB"),
    mark("Heard by"),
    mark("Audience channel"),
    mark("Note"),
)
"""One for each field of a row of the sheet."""


@dataclass(frozen=True)
class MixerPatch:
    """What comes into the mixer, under ``heads``. ``alone``: nothing goes to the house, so the plan's cuts count dead
    inputs of the mixer.
    """

    heads: tuple[str, ...]
    inputs: tuple[tuple[str, ...], ...]
    alone: bool


def mixer_patch(plan: Plan) -> MixerPatch | None:
    """The patch without the columns that say nothing; ``None`` where the house mixes line by line."""
    if not plan.outputs:
        return None
    rows = [tuple("" if cell == NONE else cell for cell in astuple(row)) for row in mixer_rows(plan, Printed())]
    told = [number for number in range(len(HEADS)) if any(row[number] for row in rows)]
    return MixerPatch(
        tuple(look_up(HEADS[number]) for number in told),
        tuple(tuple(row[number] for number in told) for row in rows),
        plan.route == Route.OWN_PA,
    )
