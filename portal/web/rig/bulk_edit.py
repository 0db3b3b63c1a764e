"""Several rows of a rig changed at once: who plays them, their stand, 48 V, whose microphone it is; the rest stays as
it is.
"""

from dataclasses import dataclass, replace
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.exchange.rig_words import LABELS
from portal.plan.input.kinds import kind_of
from portal.plan.input.rig import Rig, Source
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.forms import begin, many_fields
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, Fault, FormPage, render
from portal.web.rig.rig_access import OpenRig, ToEdit, contradictions, keep
from portal.web.rig.rig_fields import Options, Reading, Values, options_of
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up

router = Screens()

CHOICES = ("stand", "phantom", "owner.mic", "owner.stand", "owner.cable")
"""The fields with a choice each; ``player`` is typed."""

AS_IT_IS = "as-it-is"
"""The choice that changes nothing."""
UNSET = "unset"


@dataclass(frozen=True)
class TickLine:
    """One row to tick."""

    key: str
    words: str
    ticked: bool


@dataclass(frozen=True)
class Choice:
    """One field to set, with what it can be set to."""

    name: str
    label: str
    options: Options


@dataclass(frozen=True, kw_only=True)
class TogetherPage(FormPage):
    """The rows to tick, and the fields to set in them. ``ticks``: ways to begin with some of them ticked."""

    template: ClassVar[str] = "rig/bulk_edit.html"
    rig_id: str
    rig_name: str
    lines: tuple[TickLine, ...]
    ticks: tuple[tuple[str, str], ...]
    choices: tuple[Choice, ...]


@router.get("/rigs/{rig_id}/rows/together")
def show_bulk_edit(request: Request, opened: ToEdit, tick: str = "") -> Response:
    """The rows; those of ``tick``, a player or ``all``, are ticked."""
    ticked = tuple(source.key for source in opened.rig.source if tick and tick in {"all", source.player})
    return _page(request, opened, Draft({"row": ticked}, version=opened.version))


@router.post("/rigs/{rig_id}/rows/together")
@many_fields
def save_bulk_edit(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Set what was chosen in every ticked row. Rows that somebody else saved meanwhile keep everything else of
    theirs.
    """
    values = sent.draft().values
    ticked = {key for key in values.get("row", ()) if any(source.key == key for source in opened.rig.source)}
    rig, faults = _set(opened.rig, ticked, values)
    if faults:
        return _page(request, opened, Draft(values, faults, opened.version), 422)
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    keep(db, opened, rig, now)
    return once.done(path_to("show_rig", rig_id=opened.id, saved=opened.revision.number + (rig != opened.rig)))


def _set(rig: Rig, ticked: set[str], values: Values) -> tuple[Rig, tuple[Fault, ...]]:
    """The rig with the chosen fields set in the ticked rows, and what is wrong with that."""
    typed = Reading(values)
    names = [name for name in (*CHOICES, "player") if typed.text(name) not in ("", AS_IT_IS)]
    if not ticked:
        return rig, (Fault("row", _("Tick at least one row.")),)
    if not names:
        return rig, (Fault("player", _("Choose what to set in the ticked rows.")),)
    # "Not said" is a value as well; a field that sends nothing leaves the rows as they are.
    reading = Reading({name: ("" if typed.text(name) == UNSET else typed.text(name),) for name in names})
    after = replace(
        rig, source=tuple(reading.record(source, names) if source.key in ticked else source for source in rig.source)
    )
    wrong = tuple(dict.fromkeys(reading.faults))
    return after, wrong or tuple(
        Fault("row", fault.sentence) for fault in contradictions(rig, after, lambda _fault: False)
    )


def _page(request: Request, opened: OpenRig, form: Draft, status: int = 200) -> Response:
    players = tuple(dict.fromkeys(source.player for source in opened.rig.source if source.player))
    page = TogetherPage(
        title=_("Change several rows of %(name)s", name=opened.stored.name),
        form=form,
        rig_id=opened.id,
        rig_name=opened.stored.name,
        lines=tuple(_line(number, source, form) for number, source in enumerate(opened.rig.source, start=1)),
        ticks=(
            (_("All rows"), path_to("show_bulk_edit", rig_id=opened.id, tick="all")),
            *((player, path_to("show_bulk_edit", rig_id=opened.id, tick=player)) for player in players),
            (_("None"), path_to("show_bulk_edit", rig_id=opened.id)),
        ),
        choices=tuple(Choice(name, LABELS[Source][name], _options(name)) for name in CHOICES),
    )
    return render(request, page, status=status)


def _line(number: int, source: Source, form: Draft) -> TickLine:
    kind = look_up(kind_of(source.what).words)
    about = ", ".join(filter(None, (kind, source.player)))
    return TickLine(source.key, f"{number} {source.label or kind} ({about})", form.has("row", source.key))


def _options(name: str) -> Options:
    return ((AS_IT_IS, _("leave as it is")), *((value or UNSET, words) for value, words in options_of(Source, name)))
