"""A rig as one page that is typed like a sheet: rows, splitters, looms, mixer, mixes and the rest, one save for all.

The form is a draft of its own: moving, copying, numbering and the picture of the wiring only draw it again. Saving
makes one new revision, or none where nothing changed.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from http import HTTPStatus
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.exchange.example import example_rig
from portal.plan.input.kinds import KINDS
from portal.plan.input.rig import MAX_SOURCES, Out, Rig, Source
from portal.store.database.session import Session
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.errors import TOO_LARGE
from portal.web.frame.forms import Difference, begin, many_fields
from portal.web.frame.kept import following
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, Fault, FormPage, Page, render
from portal.web.rig.editing.new_rows import beyond_the_mixer
from portal.web.rig.editing.parts_of_signal import mixes_for
from portal.web.rig.editing.row_actions import News, act_on
from portal.web.rig.editing.sheet import (
    FOLDS,
    UNFOLDED,
    Fold,
    draw_sheet,
    lay_sheet,
    read_sheet,
    sheet_differences,
    told_unfolded,
    unfolded,
    with_rows,
)
from portal.web.rig.editing.sheet_rows import EXTRA, WORDED, Row, splitter_options, typed_rows
from portal.web.rig.editing.where_written import field_of
from portal.web.rig.left_open import left_open
from portal.web.rig.rig_access import ELSEWHERE, OpenRig, ToEdit, ToRead, keep, may_edit
from portal.web.rig.rig_fields import Options, Values, options_of
from portal.web.rig.rig_history import saved_words
from portal.web.rig.rig_view import SourceLine, source_lines
from portal.web.rig.rigs import EXAMPLE_ROWS, Use, reading_page, uses_of
from portal.web.rig.wiring_picture import Wiring, wiring_of
from portal.wording.catalogue import gettext

router = Screens()

KIND_WORDS = tuple(kind.words for kind in KINDS.values())

COLUMNS = "columns"
BLANKS = 3
FIRST_BLANKS = 8


@dataclass(frozen=True)
class RowLine:
    """One row of the sheet."""

    number: int
    prefix: str
    open: bool
    faults: tuple[Fault, ...]


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """All that follows from a rig and what is typed; ``form`` has no one-time key. ``unsaved``: it holds something that
    no revision has.
    """

    form: Draft
    left_open: tuple[str, ...]
    rows: tuple[RowLine, ...]
    example: tuple[SourceLine, ...]
    choices: dict[str, Options]
    offers: dict[str, tuple[str, ...]]
    all_columns: bool
    folds: tuple[Fold, ...]
    wiring: Wiring
    unsaved: bool


@dataclass(frozen=True, kw_only=True)
class SheetPage(FormPage):
    """The whole rig in one form. ``mine``: whoever reads it saved the newest revision."""

    template: ClassVar[str] = "rig/rig_sheet.html"
    sheet: Sheet
    rig_id: str
    number: int
    saved: str
    uses: tuple[Use, ...]
    empty: bool
    news: News
    conflict: tuple[Difference, ...]
    unsaved: bool
    mine: bool


@dataclass(frozen=True, kw_only=True)
class WiringPage(Page):
    """The picture of the wiring alone."""

    template: ClassVar[str] = "rig/_wiring.html"
    wiring: Wiring


@router.get("/rigs/{rig_id}")
def show_rig(
    request: Request, opened: ToRead, db: Db, saved: int = 0, back: int = 0, splitters: int = 0, unfold: str = ""
) -> Response:
    """The rig at its newest revision: to type for whoever may, to read for everybody else. ``saved``: the revision that
    was just saved; ``splitters``: how many came with its rows; ``back``: the one that was just put back; ``unfold``: a
    fold that is open, or ``all``, and ``columns`` beside it shows all of them; or a change that would help a plan,
    which leads to its field.
    """
    if found := field_of(unfold, opened.rig):
        fold, field = found
        page = path_to("show_rig", rig_id=opened.stored.id, unfold=f"{fold},{COLUMNS}", anchor=field)
        return RedirectResponse(page, HTTPStatus.SEE_OTHER)
    number = opened.revision.number
    if not may_edit(opened.user):
        return reading_page(request, opened, opened.revision, db)
    news = News()
    if saved == number:
        news = News(
            " ".join(
                filter(
                    None,
                    (
                        gettext("Saved as revision %(number)s.", number=number),
                        *_made(opened.rig, splitters),
                        beyond_the_mixer(opened.rig),
                    ),
                )
            ),
            undo=number - 1,
        )
    elif 0 < back < number:
        news = News(gettext("Revision %(number)s holds what revision %(back)s held.", number=number, back=back))
    wanted = unfold.split(",")
    folds = tuple(fold for fold in FOLDS if fold in wanted or unfold == "all")
    name = opened.stored.name
    sheet = following(opened.rig, "the sheet", (name, folds), lambda: _as_stored(name, opened.rig, folds))
    if COLUMNS in wanted:
        sheet = replace(sheet, all_columns=True)
    return _shown(request, opened, db, sheet, Draft(version=opened.version), news=news)


def _as_stored(name: str, rig: Rig, folds: Iterable[str]) -> Sheet:
    """The sheet of a rig with some open folds, and nothing else typed in it."""
    values = draw_sheet(rig, folds)
    read = read_sheet(list(typed_rows(values).values()), values, rig)
    return _sheet(name, rig, Draft(values, read[1], key=""), News(), read)


def _made(rig: Rig, count: int) -> Iterator[str]:
    """What came with the rows, to be looked at: a list tells the ways of a splitter and no more."""
    for one in rig.splitter[-count:] if count > 0 else ():
        outputs = ", ".join(f"{output.key} {output.kind}" for output in one.outputs)
        yield (
            f"Made: {one.name}, {one.ways} {'way' if one.ways == 1 else 'ways'}, output to the house {outputs}."
            " Check it under Splitters."
        )


@router.post("/rigs/{rig_id}")
@many_fields
def save_rig(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Draw the form again with a row moved, copied or removed, or save all of it."""
    values = sent.draft().values
    numbered = _typed(values)
    rows, deed = list(numbered.values()), sent.text("do")
    if again := _drawn_again(opened, rows, list(numbered), deed, values):
        form, news = again
        return _page(request, opened, db, Draft(form, version=sent.version()), news=news)
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    if sent.version() != opened.version:
        conflict = tuple(sheet_differences(opened.rig, values)) or (ELSEWHERE,)
        return _page(request, opened, db, Draft(values, version=opened.version), conflict=conflict)
    rig, faults = read_sheet(rows, values, opened.rig)
    if faults:
        return _page(request, opened, db, Draft(with_rows(values, rows, 0), faults, opened.version))
    keep(db, opened, rig, now)
    at = sent.text("at")
    if deed == "all" and at.isdecimal() and int(at) in numbered:
        source = rig.source[list(numbered).index(int(at))]
        return once.done(path_to("show_row", rig_id=opened.id, key=source.key))
    return once.done(path_to("show_rig", rig_id=opened.id, saved=opened.revision.number + (rig != opened.rig)))


def _drawn_again(
    opened: OpenRig, rows: list[Row], numbers: list[int], deed: str, values: Values
) -> tuple[Values, News] | None:
    """The form after a deed that saves nothing, and what happened; ``None`` for any other word."""
    fold = deed.removeprefix("unfold-")
    if fold in FOLDS and fold != deed:
        return unfolded(values, opened.rig, fold), News(deed=deed)
    if deed == "mixes":
        typed, _ = read_sheet(rows, values, opened.rig)
        form, words = mixes_for((source.player for source in typed.source), values)
        return form, News(words, deed=deed)
    typed = read_sheet(rows, values, opened.rig)[0] if deed == "number" else opened.rig
    news = act_on(rows, numbers, deed, values, typed)
    return (with_rows(values, rows, 0), news) if news else None


@router.post("/rigs/{rig_id}/wiring")
@many_fields
def draw_wiring(request: Request, opened: ToEdit, sent: Sent, portal: Here) -> Response:
    """The picture of the wiring as the form has it. Nothing is saved, whatever is typed."""
    if portal.wiring_limiter.take(opened.user.actor):
        # Whoever types that fast keeps the last picture.
        return Response(status_code=HTTPStatus.NO_CONTENT)
    values = sent.draft().values
    rig, _ = read_sheet(list(_typed(values).values()), values, opened.rig)
    return render(request, WiringPage(title=opened.stored.name, wiring=wiring_of(opened.stored.name, rig)))


def _typed(values: Values) -> dict[int, Row]:
    """The rows by their numbers. Raises ``PortalError`` 413 for many more than a rig may have."""
    rows = typed_rows(values)
    if len(rows) > 2 * MAX_SOURCES:
        raise TOO_LARGE
    return rows


def _page(
    request: Request,
    opened: OpenRig,
    db: Session,
    form: Draft,
    *,
    news: News | None = None,
    conflict: tuple[Difference, ...] = (),
) -> Response:
    """The sheet with what is typed in it."""
    news = news or News()
    return _shown(
        request, opened, db, _sheet(opened.stored.name, opened.rig, form, news), form, news=news, conflict=conflict
    )


def _sheet(name: str, rig: Rig, form: Draft, news: News, read: tuple[Rig, tuple[Fault, ...]] | None = None) -> Sheet:
    """The sheet of a stored rig with what is typed in it; ``read``: what was read of it already."""
    faults = form.faults
    rows = list(typed_rows(form.values).values())
    blanks = max(0, min(news.blanks or (BLANKS if rows else FIRST_BLANKS), MAX_SOURCES - len(rows)))
    values = told_unfolded(with_rows(form.values, rows, blanks), rig, faults)
    # More blank rows change nothing of what is read, another open fold does.
    if read is None or values.get(UNFOLDED) != form.values.get(UNFOLDED):
        read = read_sheet(rows, values, rig)
    typed, wrong = read
    return Sheet(
        form=Draft(values, faults, form.version, key=""),
        left_open=tuple(left_open(rig)),
        rows=tuple(
            RowLine(
                number,
                f"row{number}-",
                number - 1 == news.place,
                tuple(fault for fault in faults if fault.field.startswith(f"row{number}-")),
            )
            for number in range(1, len(rows) + blanks + 1)
        ),
        example=() if rows else source_lines(example_rig())[:EXAMPLE_ROWS],
        choices=_choices(rig),
        offers=_offers() | {"kinds": KIND_WORDS, "players": _players(typed), "outs": _outs(typed)},
        all_columns=any(fault.field.partition("-")[2] in EXTRA for fault in faults),
        folds=lay_sheet(rig, values),
        wiring=wiring_of(name, typed),
        unsaved=typed != rig or bool(wrong),
    )


def _shown(
    request: Request,
    opened: OpenRig,
    db: Session,
    sheet: Sheet,
    form: Draft,
    *,
    news: News,
    conflict: tuple[Difference, ...] = (),
) -> Response:
    """The page around a sheet; ``form``: its version and one-time key."""
    sent = request.method == "POST"
    page = SheetPage(
        title=opened.stored.name,
        form=replace(form, values=sheet.form.values, faults=sheet.form.faults),
        sheet=sheet,
        rig_id=opened.id,
        number=opened.revision.number,
        saved=saved_words(db, opened.revision)[0],
        uses=uses_of(db, opened),
        empty=not opened.rig.source,
        news=news,
        conflict=conflict,
        unsaved=sent and sheet.unsaved,
        mine=opened.revision.author_id == opened.user.user_id,
    )
    return render(request, page, status=409 if conflict else 422 if sent and page.faults else 200)


def _players(rig: Rig) -> tuple[str, ...]:
    names = (*(source.player for source in rig.source), *(mix.player for mix in rig.ears))
    return tuple(dict.fromkeys(name for name in names if name))


def _outs(rig: Rig) -> tuple[str, ...]:
    return tuple(out.key for out in rig.mixer.outs)


def _choices(rig: Rig) -> dict[str, Options]:
    """What each field of a row offers, with few signs for "nothing chosen": the eye looks for those that do."""
    chosen = {"phantom": options_of(Source, "phantom"), "splitter": splitter_options(rig)}
    return {
        name: tuple((value, words if value else "-") for value, words in options) for name, options in chosen.items()
    }


def _offers() -> dict[str, tuple[str, ...]]:
    """The words of each field that is typed with a list to choose from, by the list's name."""
    fields = {**{f"of-{name}": (Source, name) for name in WORDED}, "of-tap": (Out, "tap")}
    return {name: tuple(words for value, words in options_of(*field) if value) for name, field in fields.items()}
