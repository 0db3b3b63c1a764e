"""The rows of a rig, all on one page: the most used fields of each source, order, copies, new rows.

The form is a draft of its own: moving, copying and removing only draw it again. Saving makes one new revision of it.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.exchange.rig_words import LABELS
from portal.plan.input.kinds import KINDS, kind_of
from portal.plan.input.line_up import without_dangling
from portal.plan.input.rig import MAX_SOURCES, Rig, Source
from portal.plan.options.routing_policy import capture_of, usual_phantom
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.errors import TOO_LARGE
from portal.web.frame.forms import Difference, begin, many_fields
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, Fault, FormPage, render
from portal.web.rig.rig_access import ELSEWHERE, OpenRig, ToEdit, contradictions, keep, new_key
from portal.web.rig.rig_fields import Options, Reading, Values, as_typed, changed, kind_words, options_of
from portal.web.rig.typed_labels import from_labels, on_the_one_splitter

router = Screens()

INLINE = ("label", "what", "player", "position", "splitter", "way", "mixer_input", "phantom", "stand", "note")
"""The fields that every row shows on the page of all rows."""

TELLS = ("label", "what", "player", "position", "way", "mixer_input", "note")
"""A new row that has none of these is a blank one."""

BLANKS = 3
FIRST_BLANKS = 8
MORE_BLANKS = 10

EXTRA = ("position", "splitter", "stand", "note")
"""The fields of a row that are shown only on demand."""

Row = Mapping[str, tuple[str, ...]]
"""One row as typed. Besides its fields: ``was``, its key (empty for a new row), and ``like``, the key of the row that
it copies.
"""


@dataclass(frozen=True)
class RowLine:
    """One row of the form."""

    number: int
    prefix: str
    named: str
    stored: bool
    blank: bool
    open: bool
    faults: tuple[Fault, ...]


@dataclass(frozen=True, kw_only=True)
class RowsPage(FormPage):
    """All rows of a rig in one form."""

    template: ClassVar[str] = "rig/rig_rows.html"
    rig_id: str
    rig_name: str
    rows: tuple[RowLine, ...]
    kinds: tuple[str, ...]
    positions: Options
    splitters: Options
    phantoms: Options
    stands: Options
    all_columns: bool
    notice: str
    done: str
    undo: int
    conflict: tuple[Difference, ...]


@dataclass(frozen=True)
class News:
    """What just happened: in words, the place of the row that it happened to, and by which button. ``undo``: the
    revision that can be put back. ``blanks``: how many blank rows are asked for.
    """

    words: str = ""
    place: int = -1
    row_action: str = ""
    undo: int = 0
    blanks: int = 0


@router.get("/rigs/{rig_id}/rows")
def show_rows(request: Request, opened: ToEdit, saved: int = 0) -> Response:
    """The rows as they are stored, with blank ones below."""
    notice = f"Saved as revision {saved}." if saved == opened.revision.number else ""
    return _page(
        request,
        opened,
        [_row_of(source) for source in opened.rig.source],
        news=News(notice, undo=saved - 1 if notice else 0),
    )


@router.post("/rigs/{rig_id}/rows")
@many_fields
def save_rows(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Draw the form again with a row moved, copied or removed, or save it."""
    rows = typed_rows(sent.draft().values)
    if len(rows) > 2 * MAX_SOURCES:
        raise TOO_LARGE
    row_action, _, which = sent.text("do").partition(":")
    place = int(which) - 1 if re.fullmatch(r"[0-9]{1,4}", which) else -1
    news: News | None = None
    if row_action in _ROW_ACTIONS and 0 <= place < len(rows):
        sentence, shown = _ROW_ACTIONS[row_action](rows, place)
        news = News(sentence, shown, row_action)
    elif row_action == "ten":
        news = News(f"{MORE_BLANKS} blank rows are below. Not saved yet.", blanks=MORE_BLANKS)
    elif row_action == "number" and (number := sent.text("from")):
        news = _number_from(rows, number)
    elif row_action == "to" and 0 <= place < len(rows):
        news = _move_to(rows, place, sent.text(f"row{place + 1}-to"))
    if news:
        return _page(request, opened, rows, version=sent.version(), news=news)
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    if sent.version() != opened.version:
        return _page(request, opened, rows, conflict=row_differences(opened.rig, rows) or (ELSEWHERE,))
    rig, faults = read_rows(rows, opened.rig)
    if faults:
        return _page(request, opened, rows, faults=faults)
    keep(db, opened, rig, now)
    if row_action == "all" and 0 <= place < len(rig.source):
        return once.done(path_to("show_row", rig_id=opened.id, key=rig.source[place].key))
    return once.done(path_to("show_rows", rig_id=opened.id, saved=opened.revision.number + (rig != opened.rig)))


def _page(
    request: Request,
    opened: OpenRig,
    rows: list[Row],
    *,
    faults: tuple[Fault, ...] = (),
    version: int | None = None,
    news: News | None = None,
    conflict: tuple[Difference, ...] = (),
) -> Response:
    """The form with its rows."""
    news = news or News()
    blanks = max(0, min(news.blanks or (BLANKS if rows else FIRST_BLANKS), MAX_SOURCES - len(rows)))
    values = _drawn(rows, blanks)
    kept = {source.key for source in opened.rig.source}
    lines = tuple(
        RowLine(
            number=number,
            prefix=f"row{number}-",
            named=_first(row, "label") or f"row {number}",
            stored=_first(row, "was") in kept,
            blank=number > len(rows),
            open=number - 1 == news.place,
            faults=tuple(fault for fault in faults if fault.field.startswith(f"row{number}-")),
        )
        for number, row in enumerate([*rows, *([{}] * blanks)], start=1)
    )
    page = RowsPage(
        title=f"Rows of {opened.stored.name}",
        form=Draft(values, faults, opened.version if version is None else version),
        rig_id=opened.id,
        rig_name=opened.stored.name,
        rows=lines,
        kinds=tuple(kind.words for kind in KINDS.values()),
        positions=_short(options_of(Source, "position")),
        splitters=_short(splitter_options(opened.rig)),
        phantoms=_short(options_of(Source, "phantom"), "by kind"),
        stands=_short(options_of(Source, "stand")),
        all_columns=any(fault.field.partition("-")[2] in EXTRA for fault in faults),
        notice=news.words,
        done=news.row_action,
        undo=news.undo,
        conflict=conflict,
    )
    return render(request, page, status=409 if conflict else 422 if faults else 200)


def _short(options: Options, unset: str = "-") -> Options:
    """The options with few signs for "nothing chosen": most rows choose nothing, and the eye looks for those that
    do.
    """
    return tuple((value, words if value else unset) for value, words in options)


def splitter_options(rig: Rig) -> Options:
    """The rig's splitters, and none."""
    return (("", "none"), *((splitter.key, splitter.name or splitter.key) for splitter in rig.splitter))


def _row_of(source: Source) -> Row:
    return {**as_typed(source, INLINE), "what": (kind_words(source.what),), "was": (source.key,)}


def _first(row: Row, name: str) -> str:
    return next(iter(row.get(name, ())), "").strip()


def typed_rows(values: Values) -> list[Row]:
    """The rows of a sent form in their order, blank ones left out."""
    numbers = Reading(values).numbers("row")
    rows: list[Row] = [
        {name: values.get(f"row{number}-{name}", ()) for name in (*INLINE, "was", "like")} for number in numbers
    ]
    return [row for row in rows if any(_first(row, name) for name in ("was", "like", *TELLS))]


def _drawn(rows: list[Row], blanks: int) -> Values:
    """The rows as the fields of a form, counted from 1."""
    values = {f"row{number}-{name}": typed for number, row in enumerate(rows, start=1) for name, typed in row.items()}
    return values | {f"row{number}-was": ("",) for number in range(len(rows) + 1, len(rows) + blanks + 1)}


def _number_from(rows: list[Row], typed: str) -> News:
    """Splitter ways one after the other, from a row down to the last one; its own way begins, else the one after the
    highest above it.
    """
    if not re.fullmatch(r"[0-9]{1,4}", typed) or not 0 < int(typed) <= len(rows):
        return News(f"Enter the number of a row, from 1 to {len(rows)}. Nothing was numbered.")
    start = int(typed) - 1
    ways = [int(_first(row, "way")) for row in rows[:start] if re.fullmatch(r"[0-9]{1,3}", _first(row, "way"))]
    own = _first(rows[start], "way")
    first = int(own) if re.fullmatch(r"[0-9]{1,3}", own) else max(ways, default=0) + 1
    for place in range(start, len(rows)):
        rows[place] = {**rows[place], "way": (str(first + place - start),)}
    return News(f"Splitter ways count from {first}, from row {start + 1} on. Not saved yet.", start)


def _move_to(rows: list[Row], place: int, typed: str) -> News:
    if not re.fullmatch(r"[0-9]{1,4}", typed):
        return News(
            f"Enter the number of the row that {_named(rows[place], place)} is to become. Nothing was moved.",
            place,
            "to",
        )
    sentence, shown = _move(rows, place, min(max(int(typed), 1), len(rows)) - 1)
    return News(sentence, shown, "to")


def _up(rows: list[Row], place: int) -> tuple[str, int]:
    return _move(rows, place, max(0, place - 1))


def _down(rows: list[Row], place: int) -> tuple[str, int]:
    return _move(rows, place, min(len(rows) - 1, place + 1))


def _move(rows: list[Row], place: int, to: int) -> tuple[str, int]:
    rows.insert(to, rows.pop(place))
    return f"{_named(rows[to], to)} is row {to + 1} now. Not saved yet.", to


def _copy(rows: list[Row], place: int) -> tuple[str, int]:
    row = rows[place]
    # A copy is plugged elsewhere; saving gives it what is free next.
    copied = {
        **row,
        "was": ("",),
        "like": row.get("was", ()),
        "label": (f"{_first(row, 'label')} 2",),
        "way": (),
        "mixer_input": (),
    }
    rows.insert(place + 1, copied)
    return f"{_named(row, place)} is copied to row {place + 2}. Not saved yet.", place + 1


def _remove(rows: list[Row], place: int) -> tuple[str, int]:
    gone = rows.pop(place)
    return f"{_named(gone, place)} is taken away. Not saved yet.", -1


def _named(row: Row, place: int) -> str:
    label = _first(row, "label")
    return f'"{label}"' if label else f"Row {place + 1}"


_ROW_ACTIONS = {"up": _up, "down": _down, "copy": _copy, "remove": _remove}


def read_rows(rows: list[Row], rig: Rig) -> tuple[Rig, tuple[Fault, ...]]:
    """The rig with the rows as typed, and everything that is wrong with them."""
    reading = Reading(_drawn(rows, 0))
    before = {source.key: source for source in rig.source}
    sources: list[Source] = []
    new: list[int] = []
    fresh: list[int] = []
    for place, row in enumerate(rows):
        was, like = _first(row, "was"), before.get(_first(row, "like"))
        base = before.get(was)
        if base is None:
            new.append(place)
            base = _blank_like(like, was or new_key())
        source = reading.record(base, INLINE, f"row{place + 1}-", f"Row {place + 1}, ")
        source = on_the_one_splitter(source, base, rig)
        if place in new and like is None:
            fresh.append(place)
            sources.append(replace(source, what="" if not _first(row, "what") else source.what))
        else:
            sources.append(retaken(replace(source, what=source.what or "x-other"), base))
    sources = from_labels(sources, fresh)
    for place in fresh:
        sources[place] = with_defaults(replace(sources[place], what=sources[place].what or "x-other"))
    for place in new:
        sources[place] = plugged(sources[place], sources, rig)
    after = replace(rig, source=tuple(sources))
    after = without_dangling(after, before.keys() - {source.key for source in sources})
    faulty = {fault.field for fault in reading.faults}
    for fault in contradictions(rig, after, lambda fault: fault.row is not None):
        # Without a row, the sentence speaks of another page; the first field of this one is as near as it gets.
        field = f"row{(fault.row or 0) + 1}-{fault.field if fault.field in INLINE else 'label'}"
        if field not in faulty:
            reading.faults.append(Fault(field, fault.sentence))
    return after, tuple(reading.faults)


def _blank_like(source: Source | None, key: str) -> Source:
    if source is None:
        return Source(key=key)
    return replace(
        source,
        key=key,
        pair_with="",
        pair_kind="",
        inseparable=False,
        second_of="",
        never_with=(),
        way=None,
        mixer_input=None,
    )


def _usual(source: Source) -> dict[str, object]:
    """What follows from a row's kind, and for 48 V from how it is picked up; a DI that may be active or passive says
    nothing of it.
    """
    kind = kind_of(source.what)
    phantom = "" if capture_of(source) == "di" else usual_phantom(source)
    return {
        "capture": kind.capture,
        "level": kind.level,
        "phantom": phantom if phantom in ("yes", "no") else "",
        "stand": kind.stand,
        "loud_on_stage": kind.loud,
        "goes": kind.goes,
    }


def with_defaults(source: Source) -> Source:
    """A new row with what follows from its kind, where nothing else was said; its kind names it where it has no
    label.
    """
    unsaid = {name: value for name, value in _usual(source).items() if getattr(source, name) in ("", None)}
    named = source if source.label else replace(source, label=kind_of(source.what).words)
    return changed(named, unsaid)


def retaken(source: Source, before: Source) -> Source:
    """A row whose kind or pick-up changed: what it had from the old one follows the new one, what somebody chose stays.
    A DI that becomes active is fed, unless the same change says otherwise.
    """
    if source.what == before.what and source.capture == before.capture:
        return source
    old = _usual(before)
    followed = {name for name in old if getattr(source, name) == getattr(before, name) == old[name]}
    if source.what != before.what:
        source = changed(
            source, {name: value for name, value in _usual(source).items() if name in followed - {"phantom"}}
        )
    active = source.capture == "di-active" != before.capture and source.phantom == before.phantom
    return changed(source, {"phantom": _usual(source)["phantom"]}) if active or "phantom" in followed else source


def plugged(source: Source, others: Iterable[Source], rig: Rig) -> Source:
    """A new row with the next free mixer input, and, where it goes to the house, the next free way of the first
    splitter.
    """
    taken = [other for other in others if other.key != source.key]
    if source.mixer_input is None:
        used = {other.mixer_input for other in taken}
        most = rig.mixer.inputs if rig.mixer.inputs is not None else len(used) + 1
        source = replace(
            source, mixer_input=next((number for number in range(1, most + 1) if number not in used), None)
        )
    if source.way is not None or source.goes in ("ears-only", "rehearsal-only"):
        return source
    for splitter in rig.splitter:
        if source.splitter not in ("", splitter.key):
            continue
        ways = {other.way for other in taken if other.splitter == splitter.key}
        free = next((way for way in range(1, splitter.ways + 1) if way not in ways), None)
        if free is not None:
            return replace(source, splitter=splitter.key, way=free)
    return source


def row_differences(theirs: Rig, rows: list[Row]) -> tuple[Difference, ...]:
    """What a form holds otherwise than the stored rows: fields by row, rows that only one of the two has, and another
    order.
    """
    stored = {source.key: source for source in theirs.source}
    typed = {_first(row, "was"): row for row in rows if _first(row, "was")}
    found = [
        Difference(
            f"{source.label}, {LABELS[Source][name].lower()}", _first(_row_of(source), name), _first(typed[key], name)
        )
        for key, source in stored.items()
        if key in typed
        for name in INLINE
        if _first(_row_of(source), name) != _first(typed[key], name)
    ]
    found += [
        Difference(f"The row {source.label}", "is there", "is not there")
        for key, source in stored.items()
        if key not in typed
    ]
    found += [
        Difference(f"The row {_named(row, place)}", "is not there", "is there")
        for place, row in enumerate(rows)
        if _first(row, "was") not in stored
    ]
    order = [key for key in typed if key in stored]
    if order != [key for key in stored if key in typed]:
        found.append(Difference("The order of the rows", "as saved", "as in the form below"))
    return tuple(found)


@dataclass(frozen=True, kw_only=True)
class NewRowPage(FormPage):
    """What a new row is, asked first."""

    template: ClassVar[str] = "rig/rig_row_new.html"
    rig_id: str
    rig_name: str
    kinds: Options


@router.get("/rigs/{rig_id}/rows/new")
def show_new_row(request: Request, opened: ToEdit) -> Response:
    """What is it? Everything else follows from that, and can be changed."""
    return _ask(request, opened, Draft(version=opened.version))


def _ask(request: Request, opened: OpenRig, form: Draft, status: int = 200) -> Response:
    kinds = (("", "Choose"), *((kind.what, kind.words) for kind in KINDS.values()))
    page = NewRowPage(
        title="Add a row: what is it?", form=form, rig_id=opened.id, rig_name=opened.stored.name, kinds=kinds
    )
    return render(request, page, status=status)


@router.post("/rigs/{rig_id}/rows/new")
@many_fields
def add_row(request: Request, opened: ToEdit, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Add the row below all others. Rows that somebody else saved meanwhile do no harm to it."""
    once = begin(request, db, sent, actor=opened.user.actor, key=portal.key, now=now)
    values = sent.draft().values
    reading = Reading(values)
    source = reading.record(Source(key=new_key(), what=""), ("what", "label", "player"))
    if not source.what and not reading.faults:
        reading.faults.append(Fault("what", "Choose what it is. Something else is on the list as well."))
    source = with_defaults(source)
    source = plugged(source, opened.rig.source, opened.rig)
    rig = replace(opened.rig, source=(*opened.rig.source, source))
    if not reading.faults:
        mine = len(rig.source) - 1
        reading.faults += [
            Fault("label", fault.sentence) for fault in contradictions(opened.rig, rig, lambda fault: fault.row == mine)
        ]
    if reading.faults:
        return _ask(request, opened, Draft(values, tuple(reading.faults), opened.version), 422)
    keep(db, opened, rig, now)
    return once.done(path_to("show_row", rig_id=opened.id, key=source.key))
