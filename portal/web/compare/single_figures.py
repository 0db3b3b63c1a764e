"""What the band says of single changes: price and weight of each, where it knows them. The portal makes up none."""

from dataclasses import dataclass, replace
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.rig_comparison import write_basis
from portal.compare.changes import Figures
from portal.compare.helps import singles
from portal.web.compare.candidate_form import FIGURES, read_figure, write_figure
from portal.web.compare.comparison_access import Compared, ToChange, change
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up

router = Screens()

ASKED = ("price", "kg")


@dataclass(frozen=True, kw_only=True)
class SingleFigures(FormPage):
    """Every single change of the portal's list; ``rows``: its words, and name and label of each field."""

    template: ClassVar[str] = "compare/single_figures.html"
    action: str
    back: str
    rows: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]


@router.get("/compare/{comparison_id}/figures")
def show_single_figures(request: Request, compared: ToChange) -> Response:
    """The form with what the band said."""
    said = compared.opened.basis.singles
    values = {f"{key}-{one}": write_figure(getattr(said[one], key)) for one in said for key in ASKED}
    return _page(request, compared, Draft.of(values, version=compared.opened.row.version))


@router.post("/compare/{comparison_id}/figures")
def save_single_figures(request: Request, compared: ToChange, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Keep the figures, empty ones as not said."""
    check = Check(sent)
    given = {
        one.key: Figures(**{key: read_figure(check, f"{key}-{one.key}", key) for key in ASKED})
        for one in singles(compared.opened.comparison.candidates[0].rig)
    }
    if not check.well:
        return _page(request, compared, check.draft(sent.version()), 422)
    once = begin(request, db, sent, actor=compared.user.actor, key=portal.key, now=now)
    said = {key: figures for key, figures in given.items() if figures != Figures()}
    change(db, compared, sent.version(), basis=write_basis(replace(compared.opened.basis, singles=said)))
    return once.done(path_to("show_comparison", comparison_id=compared.id))


def _page(request: Request, compared: Compared, form: Draft, status: int = 200) -> Response:
    rows = (
        (one.words[:1].upper() + one.words[1:], tuple((f"{key}-{one.key}", look_up(FIGURES[key][0])) for key in ASKED))
        for one in singles(compared.opened.comparison.candidates[0].rig)
    )
    page = SingleFigures(
        title=_("What a change costs and weighs"),
        form=form,
        action=path_to("show_single_figures", comparison_id=compared.id),
        back=path_to("show_comparison", comparison_id=compared.id),
        rows=tuple(rows),
    )
    return render(request, page, status=status)
