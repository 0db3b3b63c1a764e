"""One page for each part of a rig besides its rows, and its name."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.plan.coherence import RigFault
from portal.plan.input.rig import MAX_TEXT
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.errors import NotThere
from portal.web.frame.forms import Check, Difference, begin, differences, many_fields
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, Fault, FormPage, render
from portal.web.rig.rig_access import ELSEWHERE, OpenRig, ToEdit, contradictions, keep
from portal.web.rig.rig_fields import Reading, Values
from portal.web.rig.rig_parts import PARTS, Group

router = Screens()


@dataclass(frozen=True, kw_only=True)
class TopicPage(FormPage):
    """One part of a rig as a form."""

    template: ClassVar[str] = "rig/rig_topic.html"
    rig_id: str
    rig_name: str
    topic: str
    lead: str
    groups: tuple[Group, ...]
    conflict: tuple[Difference, ...]


@dataclass(frozen=True, kw_only=True)
class NamePage(FormPage):
    """The name of a rig."""

    template: ClassVar[str] = "rig/rig_name.html"
    rig_id: str
    conflict: tuple[Difference, ...]


@router.get("/rigs/{rig_id}/name")
def show_name(request: Request, opened: ToEdit) -> Response:
    """The name as it is."""
    return _name_page(request, opened, Draft.of({"name": opened.stored.name}, opened.version))


def _name_page(
    request: Request, opened: OpenRig, form: Draft, status: int = 200, conflict: tuple[Difference, ...] = ()
) -> Response:
    page = NamePage(title=f"Name of {opened.stored.name}", form=form, rig_id=opened.id, conflict=conflict)
    return render(request, page, status=status)


@router.post("/rigs/{rig_id}/name")
def save_name(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Rename the rig."""
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    check = Check(sent)
    name = check.text("name", "Enter the rig's name.", longest=MAX_TEXT)
    if sent.version() != opened.version:
        form = check.draft(opened.version)
        return _name_page(
            request,
            opened,
            form,
            409,
            differences({"name": "Name"}, {"name": opened.stored.name}, form) or (ELSEWHERE,),
        )
    if not check.well:
        return _name_page(request, opened, check.draft(opened.version), 422)
    keep(db, opened, opened.rig, now, name=name)
    return once.done(path_to("show_rig", rig_id=opened.id))


@router.get("/rigs/{rig_id}/{topic}")
def show_topic(request: Request, opened: ToEdit, topic: str) -> Response:
    """The part as it is stored."""
    if topic not in PARTS:
        raise NotThere
    return _page(request, opened, topic, Draft(PARTS[topic].draw(opened.rig), version=opened.version))


@router.post("/rigs/{rig_id}/{topic}")
@many_fields
def save_topic(request: Request, opened: ToEdit, topic: str, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Save the part as a new revision."""
    if topic not in PARTS:
        raise NotThere
    part = PARTS[topic]
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    values = sent.draft().values
    if sent.version() != opened.version:
        form = Draft(values, version=opened.version)
        return _page(request, opened, topic, form, _differences(opened, topic, values) or (ELSEWHERE,), 409)
    reading = Reading(values)
    rig = part.read(reading, opened.rig)
    if not reading.faults:

        def belongs(fault: RigFault) -> bool:
            return fault.row is None and fault.field.startswith(part.about)

        reading.faults += [Fault("top", fault.sentence) for fault in contradictions(opened.rig, rig, belongs)]
    if reading.faults:
        return _page(request, opened, topic, Draft(values, tuple(reading.faults), opened.version), status=422)
    keep(db, opened, rig, now)
    return once.done(path_to("show_rig", rig_id=opened.id, anchor=topic))


def _page(
    request: Request, opened: OpenRig, topic: str, form: Draft, conflict: tuple[Difference, ...] = (), status: int = 200
) -> Response:
    part = PARTS[topic]
    page = TopicPage(
        title=part.title,
        form=form,
        rig_id=opened.id,
        rig_name=opened.stored.name,
        topic=topic,
        lead=part.lead,
        groups=part.lay(opened.rig, form.values),
        conflict=conflict,
    )
    return render(request, page, status=status)


def _differences(opened: OpenRig, topic: str, yours: Values) -> tuple[Difference, ...]:
    """Every field in which the form differs from what somebody else saved; boxes that are not ticked count as "no"."""
    part = PARTS[topic]
    theirs = part.draw(opened.rig)
    labels = {
        one.name: f"{group.legend}, {one.label[:1].lower() + one.label[1:]}"
        for values in (theirs, yours)
        for group in part.lay(opened.rig, values)
        for one in group.entries
    }
    return tuple(
        Difference(label, mine, other)
        for name, label in labels.items()
        if (mine := _entry_words(theirs, name)) != (other := _entry_words(yours, name))
    )


def _entry_words(values: Values, name: str) -> str:
    return ", ".join(text for text in values.get(name, ()) if text not in ("", "no"))
