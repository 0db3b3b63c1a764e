"""The whole rig as one sheet: what every part and every row draws, how it is laid out, and the rig that was typed."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from portal.plan.coherence import faults as contradictions_in
from portal.plan.input.rig import Rig
from portal.web.frame.forms import Difference
from portal.web.frame.pages import Fault
from portal.web.rig.editing import parts_besides as besides
from portal.web.rig.editing import parts_of_signal as signal
from portal.web.rig.editing.sheet_parts import Part, Section
from portal.web.rig.editing.sheet_rows import Row, drawn, read_rows, row_differences, row_faults, row_of, typed_rows
from portal.web.rig.rig_fields import Reading, Values
from portal.wording.catalogue import Words, look_up, mark, ngettext

BEFORE_ROWS: tuple[Part, ...] = (
    Part(
        "splitters",
        mark("Splitters"),
        mark("Every way has one leg to the in-ear mixer and the outputs below to the house."),
        signal.draw_splitters,
        signal.lay_splitters,
        signal.read_splitters,
        ("splitter",),
    ),
    Part(
        "looms",
        mark("Looms"),
        mark("The multi-way cables between the rack and the stage box."),
        signal.draw_looms,
        signal.lay_looms,
        signal.read_looms,
        ("loom",),
    ),
    Part(
        "sub-looms",
        mark("Sub-looms"),
        mark(
            "Short multi-way cables from sources to the rack, such as a drum loom. Which source runs through one stands"
            " among all fields of its row."
        ),
        besides.draw_sub_looms,
        besides.lay_sub_looms,
        besides.read_sub_looms,
        ("sub_loom",),
    ),
    Part(
        "mixer",
        mark("In-ear mixer"),
        mark("What is not known can stay empty: empty means unknown, not zero."),
        signal.draw_mixer,
        signal.lay_mixer,
        signal.read_mixer,
        ("mixer.links",),
    ),
    Part(
        "outs",
        mark("Outputs of the mixer"),
        mark("What each one feeds. An output of an in-ear mix is named by the mix."),
        signal.draw_outs,
        signal.lay_outs,
        signal.read_outs,
        ("mixer.outs",),
    ),
    Part(
        "ears",
        mark("In-ear mixes"),
        mark(
            "Who hears what, and which outputs of the mixer carry it. Fit a limiter, start low, and leave in-ears out"
            " until line check is done."
        ),
        signal.draw_ears,
        signal.lay_ears,
        signal.read_ears,
        ("ears",),
    ),
)
"""Parts that the rows are plugged into, in the order in which they are read."""

AFTER_ROWS: tuple[Part, ...] = (
    Part(
        "configurations",
        mark("Configurations"),
        mark("One rig, several ways to play. A configuration names the rows that stay at home."),
        besides.draw_configurations,
        besides.lay_configurations,
        besides.read_configurations,
        ("configurations",),
    ),
    Part(
        "bits",
        mark("Small things"),
        mark("What the band brings besides the rows. Empty means not known."),
        besides.draw_bits,
        besides.lay_bits,
        besides.read_bits,
    ),
    Part(
        "standing",
        mark("What always comes along"),
        mark(
            "Packs, batteries, tablets, a router, mains leads, and what the band's own PA consists of: each by name and"
            " count. The packing list names them."
        ),
        besides.draw_standing,
        besides.lay_standing,
        besides.read_standing,
        ("standing",),
    ),
    Part(
        "mix",
        mark("Mix and own PA"),
        mark("What the band can do about the audience's mix by itself."),
        besides.draw_mix,
        besides.lay_mix,
        besides.read_mix,
    ),
)
"""Parts that speak of rows, or of nothing else."""

PARTS: Mapping[str, Part] = {part.key: part for part in (*BEFORE_ROWS, *AFTER_ROWS)}

FOLDS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "cables": (mark("Splitters and looms"), ("splitters", "looms", "sub-looms")),
    "monitors": (mark("Mixer and in-ear mixes"), ("ears", "outs", "mixer")),
    "besides": (mark("Small things, what always comes along, own PA"), ("bits", "standing", "mix")),
    "ways-to-play": (mark("Configurations"), ("configurations",)),
}
"""The folds of the sheet: words, and the parts in each."""

UNFOLDED = "unfolded"
"""The field that names the folds whose parts are in the form. What is not in it stays as it is stored."""

ROWS = "rows"
"""The place of the rows; what is wrong with all of them is told there."""


@dataclass(frozen=True)
class Fold:
    """Some parts together, fetched on demand, and what they hold in a few words."""

    key: str
    words: str
    holds: str
    sections: tuple[Section, ...]


def draw_sheet(rig: Rig, folds: Iterable[str] = FOLDS) -> dict[str, tuple[str, ...]]:
    """The rows and the parts of some folds as the rig is stored."""
    values: dict[str, tuple[str, ...]] = dict(drawn([row_of(source) for source in rig.source]))
    for fold in folds:
        values = unfolded(values, rig, fold)
    return values


def unfolded(values: Values, rig: Rig, fold: str) -> dict[str, tuple[str, ...]]:
    """The form with one more fold, as the rig is stored."""
    open_ones = _open(values)
    if fold in open_ones:
        return dict(values)
    found = {**values, UNFOLDED: (*open_ones, fold)}
    for part in _parts((fold,)):
        found |= part.draw(rig)
    return found


def _open(values: Values) -> tuple[str, ...]:
    return tuple(fold for fold in FOLDS if fold in values.get(UNFOLDED, ()))


def _parts(folds: Iterable[str]) -> list[Part]:
    keys = {key for fold in folds for key in FOLDS[fold][1]}
    return [part for key, part in PARTS.items() if key in keys]


def lay_sheet(rig: Rig, values: Values) -> tuple[Fold, ...]:
    """The folds of the sheet, those that are open with their parts."""
    open_ones = _open(values)
    return tuple(
        Fold(
            fold,
            look_up(words),
            _holds(rig, keys),
            tuple(_section(PARTS[key], rig, values) for key in keys if fold in open_ones),
        )
        for fold, (words, keys) in FOLDS.items()
    )


def _section(part: Part, rig: Rig, values: Values) -> Section:
    return Section(part.key, look_up(part.heading), look_up(part.lead), part.lay(rig, values))


def _holds(rig: Rig, keys: tuple[str, ...]) -> str:
    counts = {
        "splitters": len(rig.splitter),
        "looms": len(rig.loom),
        "ears": len(rig.ears),
        "outs": len(rig.mixer.outs),
        "bits": sum(rig.bits.values()),
        "standing": len(rig.standing),
        "configurations": len(rig.configurations),
    }
    return ", ".join(COUNTED[key](counts[key]) if counts[key] else NONE_OF[key] for key in keys if key in counts)


COUNTED: Mapping[str, Callable[[int], str]] = {
    "splitters": lambda count: ngettext("%(num)s splitter", "%(num)s splitters", count),
    "looms": lambda count: ngettext("%(num)s loom", "%(num)s looms", count),
    "ears": lambda count: ngettext("%(num)s mix", "%(num)s mixes", count),
    "outs": lambda count: ngettext("%(num)s output", "%(num)s outputs", count),
    "bits": lambda count: ngettext("%(num)s small thing", "%(num)s small things", count),
    "standing": lambda count: ngettext(
        "%(num)s thing that always comes along", "%(num)s things that always come along", count
    ),
    "configurations": lambda count: ngettext("%(num)s configuration", "%(num)s configurations", count),
}
NONE_OF = Words(
    {
        "splitters": mark("no splitters"),
        "looms": mark("no looms"),
        "ears": mark("no mixes"),
        "outs": mark("no outputs"),
        "bits": mark("no small things"),
        "standing": mark("no things that always come along"),
        "configurations": mark("no configurations"),
    }
)
"""How much of what a fold holds."""


def read_sheet(rows: list[Row], values: Values, before: Rig) -> tuple[Rig, tuple[Fault, ...]]:
    """The rig as it was typed, and everything that is wrong with it, each at its cell: rows first, then the rest."""
    reading = Reading(values)
    rig, parts = before, _parts(_open(values))
    for part in BEFORE_ROWS:
        rig = part.read(reading, rig) if part in parts else rig
    rig, found = read_rows(rows, rig)
    for part in AFTER_ROWS:
        rig = part.read(reading, rig) if part in parts else rig
    faults = {fault.field: fault for fault in found}
    clashes = sorted(row_faults(rig, before), key=lambda fault: int(fault.field[3:].partition("-")[0]))
    for fault in (*clashes, *reading.faults):
        faults.setdefault(fault.field, fault)
    if not reading.faults:
        # What no cell was found for is told at the heading of its part.
        for rest in contradictions_in(rig):
            if rest.row is None:
                place = next((one.key for one in PARTS.values() if rest.field.startswith(one.about or "-")), ROWS)
                faults.setdefault(place, Fault(place, rest.sentence))
    return rig, tuple(faults.values())


def told_unfolded(values: Values, rig: Rig, faults: Iterable[Fault]) -> dict[str, tuple[str, ...]]:
    """The form with every fold in which something is wrong."""
    wrong = {fault.field for fault in faults}
    found = dict(values)
    for fold, (_words, keys) in FOLDS.items():
        if wrong & set(keys):
            found = unfolded(found, rig, fold)
    return found


def sheet_differences(theirs: Rig, values: Values) -> Iterator[Difference]:
    """Every field in which a form differs from what somebody else saved: rows, then the rest."""
    yield from row_differences(theirs, list(typed_rows(values).values()))
    for part in _parts(_open(values)):
        stored = part.draw(theirs)
        labels = {
            one.name: f"{belongs}, {one.label[:1].lower() + one.label[1:]}"
            for drawn_values in (stored, values)
            for belongs, one in _section(part, theirs, drawn_values).entries()
        }
        for name, label in labels.items():
            mine, other = _said(stored, name), _said(values, name)
            if mine != other:
                yield Difference(label, mine, other)


def _said(values: Values, name: str) -> str:
    """A field's entries in words; a box that is not ticked, which browsers do not send, counts as "no"."""
    return ", ".join(text for text in values.get(name, ()) if text not in ("", "no"))


def with_rows(values: Values, rows: list[Row], blanks: int) -> dict[str, tuple[str, ...]]:
    """The form with its rows drawn anew."""
    rest = {name: typed for name, typed in values.items() if not _of_row(name)}
    return rest | dict(drawn(rows, blanks))


def _of_row(name: str) -> bool:
    head, _, _ = name.partition("-")
    return head.startswith("row") and head[3:].isdecimal()
