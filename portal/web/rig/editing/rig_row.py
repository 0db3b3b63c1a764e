"""Every field of one row of a rig."""

from dataclasses import dataclass, replace
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.exchange.rig_words import ANOTHER_ROW, LABELS
from portal.plan.input.kinds import KINDS, kind_of
from portal.plan.input.rig import MAX_LABEL, Rig, Source
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.errors import NotThere
from portal.web.frame.forms import Difference, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, Fault, FormPage, render
from portal.web.rig.editing.new_rows import retaken
from portal.web.rig.editing.sheet_rows import splitter_options
from portal.web.rig.rig_access import ELSEWHERE, OpenRig, ToEdit, contradictions, keep
from portal.web.rig.rig_fields import Entry, Options, Reading, as_typed, entry
from portal.wording.catalogue import gettext

router = Screens()

PAIRED = (
    "pair_with",
    "pair_kind",
    "to_mono",
    "second_of",
    "in_ears_anyway",
    "family",
    "submix",
    "inseparable",
    "never_with",
    "one_microphone_with",
)

GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("What it is", ("label", "what", "player", "position", "strip", "note")),
    (
        "How it is picked up",
        ("capture", "level", "phantom", "phantom_ma", "impedance_ohm", "max_dbu", "harmed_by_phantom", "in_rack"),
    ),
    ("Where it is plugged", ("splitter", "way", "mixer_input", "line_plug", "cable_m", "sub_loom", "sub_loom_way")),
    ("On stage", ("stand", "owner.mic", "owner.stand", "owner.cable", "at_m.0", "at_m.1")),
    ("Where it goes", ("goes", "must", "priority", "loud_on_stage", "lead", "optional", "fail_over", "guest")),
    ("With other rows", PAIRED),
)
NAMES = tuple(name for _, names in GROUPS for name in names)


@dataclass(frozen=True)
class FieldGroup:
    """Fields that belong together, under one heading."""

    heading: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True, kw_only=True)
class RowPage(FormPage):
    """One row with all its fields."""

    template: ClassVar[str] = "rig/rig_row.html"
    rig_id: str
    rig_name: str
    key: str
    place: str
    groups: tuple[FieldGroup, ...]
    last: bool
    conflict: tuple[Difference, ...]


@router.get("/rigs/{rig_id}/row")
def show_row(request: Request, opened: ToEdit, key: str = "") -> Response:
    """The row as it is stored."""
    source = next((source for source in opened.rig.source if source.key == key), None)
    if source is None:
        raise NotThere
    return _page(request, opened, source, Draft(as_typed(source, NAMES), version=opened.version))


@router.post("/rigs/{rig_id}/row")
def save_row(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db, key: str = "") -> Response:
    """Save the row; the other half of a pair follows."""
    if not 0 < len(key) <= MAX_LABEL:
        raise NotThere
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    stored = next((source for source in opened.rig.source if source.key == key), None)
    base = stored or Source(key=key)
    values = sent.draft().values
    if sent.version() != opened.version:
        form = Draft(values, version=opened.version)
        return _page(request, opened, base, form, _differences(stored, form) or (ELSEWHERE,), 409)
    reading = Reading(values)
    source = retaken(reading.record(base, NAMES), base)
    rig = _with(opened.rig, source)
    place = next(place for place, one in enumerate(rig.source) if one.key == key)
    faulty = {fault.field for fault in reading.faults}
    for fault in contradictions(opened.rig, rig, lambda fault: fault.row == place):
        field = {"at_m": "at_m.0", "owner": "owner.mic"}.get(fault.field, fault.field)
        field = field if field in NAMES else "label"
        if field not in faulty:
            reading.faults.append(Fault(field, fault.sentence))
    if reading.faults:
        return _page(request, opened, base, Draft(values, tuple(reading.faults), opened.version), status=422)
    keep(db, opened, rig, now)
    if sent.text("do") == "next" and place + 1 < len(rig.source):
        return once.done(path_to("show_row", rig_id=opened.id, key=rig.source[place + 1].key))
    saved = opened.revision.number + (rig != opened.rig)
    return once.done(path_to("show_rig", rig_id=opened.id, saved=saved, anchor=f"row{place + 1}-here"))


def _page(
    request: Request,
    opened: OpenRig,
    source: Source,
    form: Draft,
    conflict: tuple[Difference, ...] = (),
    status: int = 200,
) -> Response:
    keys = [one.key for one in opened.rig.source]
    place = keys.index(source.key) if source.key in keys else len(keys)
    page = RowPage(
        title=source.label or kind_of(source.what).words,
        form=form,
        rig_id=opened.id,
        rig_name=opened.stored.name,
        key=source.key,
        place=gettext("Row %(place)s of %(count)s", place=place + 1, count=max(len(keys), place + 1)),
        groups=tuple(
            FieldGroup(heading, tuple(_entry(opened.rig, source, name) for name in names)) for heading, names in GROUPS
        ),
        last=place + 1 >= len(keys),
        conflict=conflict,
    )
    return render(request, page, status=status)


def _entry(rig: Rig, source: Source, name: str) -> Entry:
    others = tuple(
        (one.key, f"{number} {one.label}") for number, one in enumerate(rig.source, start=1) if one.key != source.key
    )
    if name == "what":
        kinds: Options = tuple((kind.what, kind.words) for kind in KINDS.values())
        return replace(
            entry(Source, name),
            control="choice",
            options=kinds if source.what in KINDS else ((source.what, source.what), *kinds),
        )
    if name in ANOTHER_ROW:
        return entry(Source, name, options=(("", gettext("none")), *others))
    if name == "never_with":
        return entry(Source, name, options=others)
    if name == "sub_loom":
        looms = ((one.key, one.name or one.key) for one in rig.sub_loom)
        return replace(entry(Source, name, options=(("", gettext("none")), *looms)), control="choice")
    return entry(Source, name, options=splitter_options(rig) if name == "splitter" else ())


def _differences(stored: Source | None, form: Draft) -> tuple[Difference, ...]:
    if stored is None:
        return (Difference(gettext("The row"), gettext("is not there"), gettext("is there")),)
    theirs = as_typed(stored, NAMES)
    return tuple(
        Difference(LABELS[Source][name], ", ".join(theirs[name]), ", ".join(form.values.get(name, ())))
        for name in NAMES
        if _without_no(theirs[name]) != _without_no(form.values.get(name, ()))
    )


def _without_no(texts: tuple[str, ...]) -> tuple[str, ...]:
    """Entries so that a box that is not ticked, which browsers do not send, is the same as "no"."""
    return tuple(text for text in texts if text not in ("", "no"))


def _with(rig: Rig, changed: Source) -> Rig:
    """The rig with one row changed. A pair is said once: the other half follows, halves that were left are single
    again.
    """
    sources = []
    for source in rig.source:
        if source.key == changed.key:
            sources.append(changed)
        elif source.key == changed.pair_with:
            sources.append(
                replace(source, pair_with=changed.key, pair_kind=changed.pair_kind, inseparable=changed.inseparable)
            )
        elif source.pair_with and source.pair_with in (changed.key, changed.pair_with):
            sources.append(replace(source, pair_with="", pair_kind="", inseparable=False))
        else:
            sources.append(source)
    if all(source.key != changed.key for source in sources):
        sources.append(changed)
    return replace(rig, source=tuple(sources))
