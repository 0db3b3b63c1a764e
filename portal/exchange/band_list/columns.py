"""What the columns of a list hold: the field of a row that each fills, by its heading or by what stands in it.

``fields_of`` proposes; whoever reads a table can give other fields instead (``pasted.read_text``,
``pasted.read_cells``).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise

from portal.exchange.band_list.pasted_rows import LONGEST_LABEL, MOST_COLUMNS
from portal.exchange.band_list.row_counts import MOST_ROWS
from portal.exchange.band_list.words.label_words import parsed_label, plain_tokens
from portal.exchange.band_list.words.list_words import HEAD_FIELDS, OUTPUT_NAMES
from portal.exchange.band_list.words.reading_words import COLUMN_STAND_WORDS

FIELDS: Mapping[str, str] = {
    "number": "channel number",
    "quantity": "how many",
    "label": "label",
    "player": "player",
    "splitter": "splitter",
    "way": "splitter way",
    "mixer_input": "mixer input",
    "capture": "microphone or DI",
    "phantom": "48 V",
    "stand": "stand",
    "owner": "who brings it",
    "place": "place on stage",
    "note": "note",
    "": "its words",
    "other": "left out",
}
"""The fields that a column can fill, in words."""

COUNTING = frozenset({"number", "quantity", "way", "mixer_input"})
EITHER = frozenset({"no", "nr", "n", "n o", "number", "nummer", "numero", "#"})
"""Headings of channel numbers that may stand over quantities."""
NAMES_OF_PEOPLE = frozenset({"name", "naam", "nom", "nome", "nombre"})
"""Headings of labels that may stand over people."""

LINES_TO_JUDGE = 64
"""Lines by which the columns of a table are told apart."""

LONGEST_HEAD = 40
MOST_HEAD_WORDS = 3

NUMBER = re.compile(
    r"(?:ch\.?|in)?\s?#?\d{1,3}(?:\.0)?(?:\s?(?:[-–—+&/,]|to|and|und|bis|à|a|al|au|tot|t/m)\s?\d{1,3})*[.):]?",
    re.IGNORECASE,
)

Record = Sequence[str]


def plain_head(cell: str) -> str:
    """A heading without the differences that mean nothing: case, accents, signs."""
    return " ".join(word for word in plain_tokens(cell[:LONGEST_HEAD]) if word.isalnum() or word == "#")


_HEADS = {plain_head(head): field for head, field in HEAD_FIELDS.items()}
_OUTPUTS = frozenset(map(plain_head, OUTPUT_NAMES))
_TELLING = frozenset({"capture", "stand", "phantom", "note", "quantity"})


def field_of(heading: str) -> str | None:
    """The field that a heading names, ``None`` where it is not known. Several fields in one heading fill none: their
    words tell.
    """
    plain = plain_head(heading)
    if plain in _HEADS and not re.search(r"[/&+,]", heading):
        return _HEADS[plain]
    parts = [_HEADS.get(plain_head(part)) for part in re.split(r"[/&+,]", heading[:LONGEST_HEAD])]
    known = {part for part in parts if part}
    if len(parts) > 1 and known:
        return "label" if "label" in known else known.pop() if len(known) == 1 else ""
    if plain in _HEADS:
        return _HEADS[plain]
    told = {_HEADS[word] for word in plain.split() if _HEADS.get(word) in _TELLING}
    return (
        told.pop() if len(told) == 1 and len(plain.split()) <= MOST_HEAD_WORDS and not names_source(heading) else None
    )


def names_column(text: str) -> bool:
    """True for a text that is, word for word, the heading of a column, and names no source."""
    return plain_head(text) in _HEADS and len(text) <= LONGEST_HEAD and not names_source(text)


def is_head(record: Record) -> bool:
    """True for a line of headings: most of its cells are known ones, a column of labels or two others among them."""
    cells = [cell for cell in record if cell]
    if len(cells) > MOST_COLUMNS:
        return False
    fields = [field_of(cell) if len(cell) <= LONGEST_HEAD else None for cell in cells]
    known = [field for field in fields if field is not None]
    if len(known) > 1 and "label" in known and len(known) * 2 >= len(cells):
        return True
    if len(cells) < 2 or len(known) * 2 <= len(cells) or ("label" not in known and len(known) < 2):  # noqa: PLR2004 - two columns make a table
        return False
    # A row of inputs may hold words that are headings elsewhere, such as "Mic" or "DI"; then one of its other cells is
    # a number or a source.
    others = [cell for cell, field in zip(cells, fields, strict=True) if field is None]
    return not any(NUMBER.fullmatch(cell) or names_source(cell) for cell in others)


def is_output_head(record: Record) -> bool:
    """True for the headings of a table of mixes or outputs."""
    cells = [cell for cell in record if cell]
    outputs = [len(cell) <= LONGEST_HEAD and plain_head(cell) in _OUTPUTS for cell in cells[:MOST_COLUMNS]]
    if not any(outputs) or any(NUMBER.fullmatch(cell) for cell in cells):
        return False
    known = any(field_of(cell) is not None for cell in cells[1:])
    return (outputs[0] and known) or (is_head(record) and not any(field_of(cell) == "label" for cell in cells))


def names_source(text: str) -> bool:
    """True where a word of the text names a source."""
    return bool(parsed_label(text[:LONGEST_LABEL]).nouns)


def fields_of(head: Record | None, body: Sequence[Record], widest: int) -> tuple[str, ...]:
    """The field of each column."""
    judged = body[:LINES_TO_JUDGE]
    columns = [[record[at] for record in judged if record[at]] for at in range(widest)]
    named = [field_of(head[at]) if head and head[at] else None for at in range(widest)]
    fields = [field if _fits(field, column) else None for field, column in zip(named, columns, strict=True)]
    label_at = _label_column(fields, columns)
    for at, field in enumerate(fields):
        if field == "label" and at != label_at:
            person = (
                head is not None
                and plain_head(head[at]) in NAMES_OF_PEOPLE
                and sum(map(names_source, columns[at])) * 2 < len(columns[at])
            )
            fields[at] = "quantity" if columns[at] and _counts(columns[at]) else "player" if person else ""
    if label_at is not None:
        fields[label_at] = "label"
    plain = [plain_head(head[at]) if head else "" for at in range(widest)]
    fields = _numbered(fields, columns, label_at, plain)
    return tuple(_by_words(column) if field is None else field for field, column in zip(fields, columns, strict=True))


def _by_words(column: Sequence[str]) -> str:
    """The field of a column that no heading settles, where the words of most cells speak of one: a place on stage, a
    stand.
    """
    labels = [parsed_label(cell[:LONGEST_LABEL]) for cell in column]
    places = sum(bool(label.has("place") and not label.nouns and not label.unknown) for label in labels)
    stands = sum(plain_tokens(cell[:LONGEST_LABEL]) in COLUMN_STAND_WORDS for cell in column)
    return "place" if places * 2 > len(column) else "stand" if stands * 2 > len(column) else ""


def _fits(field: str | None, column: Sequence[str]) -> bool:
    """False for a column of words under a heading of numbers, and for one of numbers under *position*."""
    return _counts(column) if field in COUNTING else not (field == "place" and column and _counts(column))


def _counts(column: Sequence[str]) -> bool:
    """True where most cells are numbers."""
    return sum(bool(NUMBER.fullmatch(cell)) for cell in column) * 2 >= len(column)


def _label_column(fields: Sequence[str | None], columns: Sequence[Sequence[str]]) -> int | None:
    """The column of labels: the one of that heading in which most cells name a source; else the one in which most do,
    or that has most words.
    """
    naming = [sum(map(names_source, column)) for column in columns]
    for wanted in ("label", None):
        open_ones = [
            at for at, field in enumerate(fields) if field == wanted and columns[at] and not _counts(columns[at])
        ]
        if open_ones and any(naming[at] or (wanted and not any(naming)) for at in open_ones):
            return max(open_ones, key=lambda at: (naming[at], -at))
    words = [sum(bool(re.search(r"[^\W\d_]{2}", cell)) for cell in column) for column in columns]
    open_ones = [at for at, field in enumerate(fields) if not field and columns[at]] or [
        at for at, column in enumerate(columns) if column
    ]
    return max(open_ones, key=lambda at: (naming[at], words[at], -at), default=None)


def _numbered(
    fields: Sequence[str | None], columns: Sequence[Sequence[str]], label_at: int | None, plain: Sequence[str]
) -> list[str | None]:
    """The fields with those columns of numbers that no heading settles: channel numbers, or a quantity. ``plain``: the
    headings.
    """
    found = list(fields)
    for at, column in enumerate(columns):
        open_one = found[at] is None or (found[at] == "number" and plain[at] in EITHER)
        if at == label_at or not open_one or not column or not all(map(NUMBER.fullmatch, column)):
            continue
        wanted = "quantity" if are_quantities(column, headed=found[at] is not None) else "number"
        found[at] = wanted if wanted not in found or found[at] == wanted else None
    return found


def are_quantities(column: Sequence[str], *, headed: bool) -> bool:
    """True where the numbers count things and not the rows: one comes again, or they neither rise nor name each row
    once.
    """
    numbers = [int(found[0]) for cell in column if (found := re.search(r"\d+", cell))]
    if not all(cell.isdecimal() for cell in column) or max(numbers) > MOST_ROWS:
        return False
    if len(numbers) == 1:
        return numbers[0] > 1 and not headed
    rises = sum(after > before for before, after in pairwise(numbers)) >= 0.8 * (len(numbers) - 1)
    return not rises and (len(set(numbers)) < len(numbers) or (not headed and max(numbers) > len(numbers)))
