"""The parts of a rig besides its rows, as places of the sheet: lists that are tables to type in, and single facts.

A list (outputs, splitters, looms, mixes) is one line for each entry and blank lines below. ``was`` holds the name or
key that an entry had, so that a rename is known as one.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from portal.plan.input.rig import Rig
from portal.web.frame.pages import Fault
from portal.web.rig.rig_fields import Entry, Reading, Record, Values, as_typed

T = TypeVar("T", bound=Record)


@dataclass(frozen=True)
class Line:
    """One line of a list. ``named`` is how its fields are read out; a stored one can be taken away. ``head``: what
    stands before it, where that is not its number.
    """

    named: str
    prefix: str
    stored: bool
    entries: tuple[Entry, ...]
    head: str = ""


@dataclass(frozen=True)
class Table:
    """A list: its columns, those of them that are shown only on demand, and its lines."""

    caption: str
    heads: tuple[str, ...]
    extra: tuple[bool, ...]
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Group:
    """Fields that belong together. ``hidden`` are names of fields that travel unseen."""

    legend: str
    entries: tuple[Entry, ...]
    hidden: tuple[str, ...] = ()


@dataclass(frozen=True)
class Section:
    """One part as it is typed."""

    key: str
    heading: str
    lead: str
    blocks: tuple[Table | Group, ...]

    def entries(self) -> Iterator[tuple[str, Entry]]:
        """Every field, with what it belongs to."""
        for block in self.blocks:
            if isinstance(block, Group):
                yield from ((block.legend or self.heading, one) for one in block.entries)
            else:
                yield from ((line.named, one) for line in block.lines for one in line.entries)


@dataclass(frozen=True)
class Part:
    """One part: its words, and the three ways between form and rig. ``about`` are the fields of contradictions that
    belong here.
    """

    key: str
    heading: str
    lead: str
    draw: Callable[[Rig], Values]
    lay: Callable[[Rig, Values], tuple[Table | Group, ...]]
    read: Callable[[Reading, Rig], Rig]
    about: tuple[str, ...] = ()


def drawn_lines(prefix: str, drawn: Iterable[tuple[str, Mapping[str, tuple[str, ...]]]]) -> Values:
    """The fields of a list: ``drawn`` holds, for each entry, what it was and its fields."""
    found: dict[str, tuple[str, ...]] = {}
    for number, (was, fields) in enumerate(drawn, start=1):
        found[f"{prefix}{number}-was"] = (was,)
        found |= {f"{prefix}{number}-{name}": typed for name, typed in fields.items()}
    return found


def drawn_records(prefix: str, stored: Iterable[tuple[str, T]], blank: T, blanks: int, names: Sequence[str]) -> Values:
    """The same for records that are typed as they are, with blank lines below."""
    drawn = [(was, as_typed(one, names)) for was, one in stored]
    return drawn_lines(prefix, [*drawn, *[("", as_blank(blank, names))] * blanks])


def as_blank(blank: Record, names: Sequence[str]) -> dict[str, tuple[str, ...]]:
    """The entries of a blank line; a count that nobody typed is not shown as none."""
    return {name: ("",) if typed == ("0",) else typed for name, typed in as_typed(blank, names).items()}


def text_of(values: Values, name: str) -> str:
    """The entry of a field."""
    return next(iter(values.get(name, ())), "")


def table(
    values: Values, prefix: str, one: str, extra: Sequence[str], entries: Callable[[str], tuple[Entry, ...]]
) -> Table:
    """A list as a table; ``entries`` lays the fields of one line by what their names begin with."""
    lines = []
    for number in Reading(values).numbers(prefix):
        here = f"{prefix}{number}-"
        laid = entries(here)
        lines.append(
            Line(f"{one} {text_of(values, laid[0].name) or number}", here, bool(text_of(values, here + "was")), laid)
        )
    heads = entries("")
    return Table(
        f"{one}{'es' if one.endswith('x') else 's'}",
        tuple(head.label for head in heads),
        tuple(head.name in extra for head in heads),
        tuple(lines),
    )


def typed_lines(
    reading: Reading,
    prefix: str,
    one: str,
    blank: T,
    names: Sequence[str],
    stored: Mapping[str, T],
    more: Callable[[str], bool] = lambda _here: False,
) -> Iterator[tuple[str, str, T]]:
    """The entries of a list as typed, without blank lines and those that are taken away: what their fields' names begin
    with, what each was, and the record. An entry without its first field, its name, is a fault. ``more``: whether a
    line says something beside the record.
    """
    for number in reading.numbers(prefix):
        here = f"{prefix}{number}-"
        was = reading.text(here + "was")
        if reading.text(here + "remove") == "yes":
            continue
        entered = reading.record(stored.get(was, blank), names, here, f"{one} {number}, ")
        if not was and entered == blank and not more(here):
            continue
        if not getattr(entered, names[0]):
            sentence = f"{one} {number}: give it a name{', or take it away' if was else ''}."
            reading.faults.append(Fault(here + names[0], sentence))
        yield here, was, entered


def told_twice(reading: Reading, fields: Iterable[tuple[str, str]], sentence: str) -> None:
    """Note a fault at each field that says what one before it says already; ``sentence`` has a place for that."""
    said: set[str] = set()
    for field, text in fields:
        if text and text in said:
            reading.faults.append(Fault(field, sentence.format(text)))
        said.add(text)
