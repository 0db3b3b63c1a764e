"""The rows of the sheet: from the rig to what is typed and back, and every mistake at its cell.

A row that is typed has, besides its fields, ``was``, its key (empty for a new row), and ``like``, the key of the row
that it copies.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from portal.exchange.rig_words import LABELS
from portal.plan.coherence import faults as contradictions_in
from portal.plan.input.line_up import without_dangling
from portal.plan.input.rig import Rig, Source
from portal.web.frame.forms import Difference
from portal.web.frame.pages import Fault
from portal.web.rig.editing.new_rows import blank_like, plugged, retaken, with_defaults
from portal.web.rig.editing.typed_labels import from_labels, on_the_one_splitter
from portal.web.rig.rig_access import new_key
from portal.web.rig.rig_fields import Options, Reading, Values, as_typed, kind_words, said
from portal.wording.catalogue import gettext as _

INLINE = (
    "label",
    "what",
    "player",
    "position",
    "splitter",
    "way",
    "mixer_input",
    "capture",
    "phantom",
    "stand",
    "note",
)
"""The fields of a row that the sheet holds."""

EXTRA = ("position", "splitter", "capture", "stand", "note")
"""Those that are shown only with all columns."""

WORDED = ("position", "capture", "stand")
"""Those of them that are typed in words, with the page's lists to choose from."""

TELLS = ("label", "what", "player", "position", "way", "mixer_input", "note")
"""A new row that has none of these is a blank one."""

Row = Mapping[str, tuple[str, ...]]
"""One row as typed."""


def first(row: Row, name: str) -> str:
    """The entry of a row's field without outer blanks."""
    return next(iter(row.get(name, ())), "").strip()


def named(row: Row, place: int) -> str:
    """A row as sentences call it."""
    label = first(row, "label")
    return f'"{label}"' if label else _("Row %(place)s", place=place + 1)


def row_of(source: Source) -> Row:
    """A row as it is typed."""
    words = {name: (said(Source, name, getattr(source, name)),) for name in WORDED}
    return {**as_typed(source, INLINE), **words, "what": (kind_words(source.what),), "was": (source.key,)}


def typed_rows(values: Values) -> dict[int, Row]:
    """The rows of a sent form by their numbers there, blank ones left out."""
    rows = {
        number: {name: values.get(f"row{number}-{name}", ()) for name in (*INLINE, "was", "like")}
        for number in Reading(values).numbers("row")
    }
    return {number: row for number, row in rows.items() if any(first(row, name) for name in ("was", "like", *TELLS))}


def drawn(rows: Sequence[Row], blanks: int = 0) -> Values:
    """The rows as the fields of a form, counted from 1."""
    values = {f"row{number}-{name}": typed for number, row in enumerate(rows, start=1) for name, typed in row.items()}
    return values | {f"row{number}-was": ("",) for number in range(len(rows) + 1, len(rows) + blanks + 1)}


def splitter_options(rig: Rig) -> Options:
    """The rig's splitters, and none."""
    return (("", _("none")), *((splitter.key, splitter.name or splitter.key) for splitter in rig.splitter))


def read_rows(rows: Sequence[Row], rig: Rig) -> tuple[Rig, tuple[Fault, ...]]:
    """The rig with the rows as typed, and what is wrong with single cells of them."""
    reading = Reading(drawn(rows))
    before = {source.key: source for source in rig.source}
    splitters = {splitter.key for splitter in rig.splitter}
    sources: list[Source] = []
    new: list[int] = []
    fresh: list[int] = []
    for place, row in enumerate(rows):
        was, like = first(row, "was"), before.get(first(row, "like"))
        base = before.get(was)
        if base is None:
            new.append(place)
            base = blank_like(like, was or new_key())
        # A rig of one splitter shows none; then the row stays where it is.
        names = [name for name in INLINE if name != "splitter" or row.get(name)]
        source = reading.record(base, names, f"row{place + 1}-", f"Row {place + 1}, ")
        source = on_the_one_splitter(source, base, rig)
        if source.way is None and source.splitter not in splitters:
            source = replace(source, splitter="")
        if place in new and like is None:
            fresh.append(place)
            sources.append(replace(source, what="" if not first(row, "what") else source.what))
        else:
            sources.append(retaken(replace(source, what=source.what or "x-other"), base))
    sources = from_labels(sources, fresh)
    for place in fresh:
        sources[place] = with_defaults(replace(sources[place], what=sources[place].what or "x-other"))
    for place in new:
        sources[place] = plugged(sources[place], sources, rig)
    after = without_dangling(replace(rig, source=tuple(sources)), before.keys() - {source.key for source in sources})
    return after, tuple(reading.faults)


def row_faults(rig: Rig, before: Rig) -> Iterator[Fault]:
    """What contradicts itself in the rows, each at the cell that is to change, with words of its own."""
    splitters = {splitter.key for splitter in rig.splitter}
    astray = [place for place, one in enumerate(rig.source) if one.way is not None and one.splitter not in splitters]
    if astray and (not splitters or any(rig.source[place].splitter for place in astray)):
        # Said once: it is one mistake, however many rows it reaches.
        yield Fault(f"row{astray[0] + 1}-way", _astray(astray, none=not splitters))
        sources = tuple(
            replace(one, way=None, splitter="") if place in astray else one for place, one in enumerate(rig.source)
        )
        rig = replace(rig, source=sources)
    for fault in contradictions_in(rig):
        if fault.row is None:
            continue
        if fault.others and fault.field in _TAKEN:
            yield from _taken(rig, before, fault.field, [fault.row, *fault.others])
        else:
            field = fault.field if fault.field in INLINE else "label"
            yield Fault(f"row{fault.row + 1}-{field}", fault.sentence)


def _astray(rows: Sequence[int], *, none: bool) -> str:
    numbers = ", ".join(str(row + 1) for row in rows)
    said = _("Row %(numbers)s is", numbers=numbers) if len(rows) == 1 else _("Rows %(numbers)s are", numbers=numbers)
    if none:
        return _(
            "%(said)s on a splitter way, and the rig has no splitter. Write the splitter down, or take the ways out.",
            said=said,
        )
    return _("%(said)s on a splitter that is not in the rig. Choose another splitter, or take the ways out.", said=said)


def _taken(rig: Rig, before: Rig, field: str, rows: Sequence[int]) -> Iterator[Fault]:
    """One value in several rows: told at those that took it just now, or else at all but the first."""
    stored = {source.key: getattr(source, field) for source in before.source}
    just_now = [row for row in rows if stored.get(rig.source[row].key) != getattr(rig.source[row], field)]
    wrong = just_now if len(just_now) < len(rows) else rows[1:]
    holder = next((row for row in rows if row not in wrong), rows[0])
    for row in wrong or rows[1:]:
        yield Fault(f"row{row + 1}-{field}", _TAKEN[field](rig, row, holder if row != holder else rows[0]))


def _way_taken(rig: Rig, row: int, holder: int) -> str:
    source = rig.source[row]
    splitter = next(one for one in rig.splitter if one.key == source.splitter)
    used = {one.way for one in rig.source if one.splitter == splitter.key}
    return f"Way {source.way} is taken by {_holder(rig, holder)}.{_free('way', used, splitter.ways)}"


def _input_taken(rig: Rig, row: int, holder: int) -> str:
    used = {one.mixer_input for one in rig.source}
    most = rig.mixer.inputs or len(rig.source)
    return f"Input {rig.source[row].mixer_input} is taken by {_holder(rig, holder)}.{_free('input', used, most)}"


def _label_taken(rig: Rig, row: int, holder: int) -> str:
    said = _('Row %(holder)s is called "%(label)s" as well', holder=holder + 1, label=rig.source[row].label)
    return _("%(said)s. Make each label say which one it is.", said=said)


def _holder(rig: Rig, row: int) -> str:
    return f"{rig.source[row].label or 'the row'} in row {row + 1}"


def _free(word: str, used: set[int | None], most: int) -> str:
    free = next((number for number in range(1, most + 1) if number not in used), None)
    return f" No {word} is free." if free is None else f" Enter a free {word}, for example {free}."


_TAKEN = {"way": _way_taken, "mixer_input": _input_taken, "label": _label_taken}


def row_differences(theirs: Rig, rows: Sequence[Row]) -> Iterator[Difference]:
    """What a form holds otherwise than the stored rows: fields by row, rows that only one of the two has, and another
    order.
    """
    stored = {source.key: source for source in theirs.source}
    typed = {first(row, "was"): row for row in rows if first(row, "was")}
    for key, source in stored.items():
        row = row_of(source)
        for name in INLINE if key in typed else ():
            if first(row, name) != first(typed[key], name) and (name != "splitter" or typed[key].get(name)):
                label = f"{source.label}, {LABELS[Source][name].lower()}"
                yield Difference(label, first(row, name), first(typed[key], name))
    for key, source in stored.items():
        if key not in typed:
            yield Difference(_("The row %(label)s", label=source.label), _("is there"), _("is not there"))
    for place, row in enumerate(rows):
        if first(row, "was") not in stored:
            yield Difference(_("The row %(place)s", place=named(row, place)), _("is not there"), _("is there"))
    order = [key for key in typed if key in stored]
    if order != [key for key in stored if key in typed]:
        yield Difference(_("The order of the rows"), _("as saved"), _("as in the form below"))
