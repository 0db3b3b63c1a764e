"""The name of a rig."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.plan.input.rig import MAX_TEXT
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.forms import Check, Difference, begin, differences
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.rig.rig_access import ELSEWHERE, OpenRig, ToEdit, keep
from portal.wording.catalogue import gettext as _

router = Screens()


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
    page = NamePage(
        title=_("Name of %(name)s", name=opened.stored.name), form=form, rig_id=opened.id, conflict=conflict
    )
    return render(request, page, status=status)


@router.post("/rigs/{rig_id}/name")
def save_name(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Rename the rig."""
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    check = Check(sent)
    name = check.text("name", _("Enter the rig's name."), longest=MAX_TEXT)
    if sent.version() != opened.version:
        form = check.draft(opened.version)
        return _name_page(
            request,
            opened,
            form,
            409,
            differences({"name": _("Name")}, {"name": opened.stored.name}, form) or (ELSEWHERE,),
        )
    if not check.well:
        return _name_page(request, opened, check.draft(opened.version), 422)
    keep(db, opened, opened.rig, now, name=name)
    return once.done(path_to("show_rig", rig_id=opened.id))
