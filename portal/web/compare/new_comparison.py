"""The comparisons of a band, and the form that begins one: a span of gigs, and typical rooms by number."""

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.rig_comparison import A_YEAR, FULL_SIZES, Basis, Typical, proposed, rooms_of_gigs, write_basis
from portal.compare.changes import Changes, write_changes
from portal.compare.grid import has_mixer
from portal.compare.year import MOST_MINUTES, Year, faults_of
from portal.store import comparisons, rigs
from portal.store.comparisons import Comparison
from portal.store.database.session import Session, wake
from portal.web.frame.deps import Db, Here, Now, Sent, SignedIn
from portal.web.frame.errors import PortalError
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.rig.rig_access import OpenRig, ToEdit, may_edit
from portal.wording.catalogue import Words, mark
from portal.wording.catalogue import gettext as _
from portal.wording.times import say_date

router = Screens()

MOST_TYPICAL = 200

BESIDE = Words({"own_pa": mark("Over the band's own PA"), "on_our_mixer": mark("With an engineer on the band's mixer")})
COUNTS = Words({**BESIDE.english, "left_right": mark("With a left/right mix to the house desk")})


@dataclass(frozen=True)
class ComparisonLine:
    """One comparison of the list."""

    words: str
    href: str
    rig: str
    state: str


@dataclass(frozen=True, kw_only=True)
class ComparisonsPage(Page):
    """The comparisons of a band, and the rigs that one can begin from."""

    template: ClassVar[str] = "compare/comparisons.html"
    comparisons: tuple[ComparisonLine, ...]
    rigs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class NewComparisonPage(FormPage):
    """The year that rigs are to be compared over."""

    template: ClassVar[str] = "compare/new_comparison.html"
    rig_id: str
    rig_name: str
    counts: tuple[tuple[str, str], ...]
    sizes: tuple[int, ...]
    without_mixer: bool


@router.get("/compare")
def show_comparisons(request: Request, user: SignedIn, db: Db) -> Response:
    """Every comparison that the band keeps."""
    names = {one.id: one.name for one in rigs.of_band(db, user.band_id)}
    lines = tuple(
        ComparisonLine(
            _("Begun %(date)s", date=say_date(row.created.date())),
            path_to("show_comparison", comparison_id=row.id),
            names.get(row.rig_id, ""),
            _("worked out") if row.worked == row.version else _("being worked out"),
        )
        for row in comparisons.of_band(db, user.band_id)
    )
    begun = tuple((name, path_to("show_new_comparison", rig_id=one)) for one, name in names.items())
    return render(
        request,
        ComparisonsPage(title=_("Compare rigs"), comparisons=lines, rigs=begun if may_edit(user) else ()),
    )


@router.get("/rigs/{rig_id}/compare")
def show_new_comparison(request: Request, opened: ToEdit, db: Db, now: Now) -> Response:
    """The form, with typical rooms as the year before had them."""
    today = now.date()
    typical = proposed(db, opened.id, today)
    values = {"first": today.isoformat(), "last": (today + A_YEAR).isoformat()}
    values |= {name: str(getattr(typical, name) or "") for name in COUNTS}
    values |= {f"inputs_{size}": str(typical.split.get(size) or "") for size in FULL_SIZES}
    return _form_page(request, opened, Draft.of(values))


def _form_page(request: Request, opened: OpenRig, form: Draft, status: int = 200) -> Response:
    page = NewComparisonPage(
        title=_("Compare rigs over a year"),
        form=form,
        rig_id=opened.id,
        rig_name=opened.stored.name,
        counts=tuple(COUNTS.items()),
        sizes=FULL_SIZES,
        without_mixer=not has_mixer(opened.rig),
    )
    return render(request, page, status=status)


@router.post("/rigs/{rig_id}/compare")
def begin_comparison(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Take the year as it stands, and begin to work it out with today's rig."""
    check = Check(sent)
    first = check.date("first", _("Enter the first day."))
    last = check.date("last", _("Enter the last day."))
    minutes = check.number("minutes", _("Minutes for plugging"), lo=1, hi=MOST_MINUTES)
    typical = _typical(check)
    year = _year(db, opened, check, typical, first, last, minutes)
    if year is None:
        return _form_page(request, opened, check.draft(), 422)
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    if comparisons.count_of_band(db, opened.user.band_id) >= comparisons.MOST:
        raise PortalError(
            409,
            _("The band keeps %(most)s comparisons already", most=comparisons.MOST),
            _("Nothing was saved. Erase one that is not needed any more, then begin another."),
        )
    row = Comparison(
        band_id=opened.user.band_id,
        rig_id=opened.id,
        rig_revision_id=opened.revision.id,
        author_id=opened.user.user_id,
        basis=write_basis(year),
        candidates=write_changes((Changes(),)),
        created=now,
    )
    comparisons.add(db, row)
    wake(db, "comparing", row.id)
    return once.done(path_to("show_comparison", comparison_id=row.id))


def _typical(check: Check) -> Typical:
    """The typical rooms of the form."""
    counts = {name: check.number(name, words, lo=0, hi=MOST_TYPICAL) or 0 for name, words in COUNTS.items()}
    split = {
        size: check.number(f"inputs_{size}", _("Gigs with %(inputs)s inputs", inputs=size), lo=0, hi=MOST_TYPICAL) or 0
        for size in FULL_SIZES
    }
    return Typical(**counts, split=split)


def _year(
    db: Session,
    opened: OpenRig,
    check: Check,
    typical: Typical,
    first: date | None,
    last: date | None,
    minutes: int | None,
) -> Basis | None:
    """The year of the form; ``None`` where something is wrong with it, which is noted at its field."""
    if not has_mixer(opened.rig):
        check.fault("first", _("The rig has no mixer. Enter its inputs and outputs on the rig's page first."))
    if first is None or last is None or not check.well:
        return None
    if last < first:
        check.fault("last", _("The last day lies before the first. Enter a later one."))
        return None
    gigs = rooms_of_gigs(db, opened.id, opened.rig, first, last)
    year = Year("", (*gigs, *typical.rooms()), minutes)
    wrong = faults_of(year)
    for sentence in wrong:
        check.fault("first", sentence)
    return None if wrong else Basis(first.isoformat(), last.isoformat(), year)
