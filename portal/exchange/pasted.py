"""Rows out of what people paste: columns of a spreadsheet, a numbered list, or the text of an old rider.

Nothing is lost: whatever is not taken for a row is handed back as a heading, where it surely is one, or as *not read*.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from portal.exchange.faults import Fault, NotReadable
from portal.exchange.files import MOST_BYTES
from portal.exchange.label_words import parsed_label, plain_tokens
from portal.exchange.reading import Certainty, read_label
from portal.exchange.source_columns import unguarded
from portal.plan.rig import MAX_SOURCES

MOST_LINES = 2000
"""Lines or records that are looked at, empty ones counted: sheets often carry a tail of empty rows."""

MOST_COLUMNS = 40
"""Columns of a list of inputs that are looked at; more make no such list."""

LONGEST_LABEL = 200
"""Signs of one row that are taken for a label; longer text is prose."""

LONGEST_CELL = 500
"""Signs of a cell beside a label that are kept; the rest of it is shown as cut off."""

LINES_TO_JUDGE = 64
"""Lines by which the columns of a table without headings are told apart."""

MOST_WORDS = 12
"""Words of a line without a number that can still be a row; more of them are a sentence (common practice, no source)."""

FEW_WORDS = 4
"""Words of a line right below a row that is a row whatever it says."""

NUMBER_HEADS = (
    "ch, channel, no, nr, number, input, in, line, kanal, canal, voie, pos, strip, console, desk, patch, ch no, input no, channel number, kanal nr"
)
LABEL_HEADS = (
    "label, instrument, source, name, channel name, input name, description, what, signal, quelle, instrument source, source name, bezeichnung,"
    " instrumento, strumento, inputs, input source, track name, item"
)
OTHER_HEADS = (
    "mic, mics, mic di, microphone, stand, stands, note, notes, comment, comments, remark, remarks, 48v, phantom, phantom power, insert, inserts, fx,"
    " player, musician, position, type, mikrofon, stativ, bemerkung, mic stand, location, transducer, patch, patched, di,"
    " cable, owner, remarks notes, sub snake, eq"
)
_TITLE = (
    "input, inputs, list, channel, channels, patch, sheet, tech, technical, rider, stage, plot, plan, page, version, date, rev, "
    "revision, updated, contact, requirements, specification, spec, foh, monitor, monitors, output, outputs, band, info, equipment, "
    "backline, lighting, sound, audio, pa, and, the, for, of, kanalliste, liste, belegung, kanalbelegung, microphones, needed"
)
"""Words of which a line without a number can consist and surely be a heading."""


def _heads(text: str) -> frozenset[str]:
    return frozenset(head.strip() for head in text.split(","))


NUMBER_NAMES, LABEL_NAMES, OTHER_NAMES, TITLE_WORDS = _heads(NUMBER_HEADS), _heads(LABEL_HEADS), _heads(OTHER_HEADS), _heads(_TITLE)

NUMBERED = re.compile(
    r"(?P<word>(?:ch(?:an(?:nel)?)?|input|in|kanal|line|nr|no)?\.?\s*#?\s*)"
    r"(?P<from>\d{1,3})(?:\s*(?P<link>[-–—+&/,]|to|and|und|bis)\s*(?P<to>\d{1,3}))?"
    r"(?P<end>\s*[.):|]+\s*|\s+[-–—=]+\s+|\t+\s*|\s+|$)(?P<rest>.*)",
    re.IGNORECASE,
)
BULLET = re.compile(r"^\s*(?:[-*•·●○◦▪■□>–—]+|o)\s+")


@dataclass(frozen=True)
class PastedRow:
    """One row: its number as written (``9 + 10``), its label as written, what stands in other columns, and the line that it came from, from 1."""

    number: str
    label: str
    rest: tuple[str, ...] = ()
    line: int = 0

    @property
    def numbers(self) -> int | None:
        """How many channel numbers the row has, ``None`` where it has none."""
        found = [int(number) for number in re.findall(r"\d{1,3}", self.number)]
        if not found:
            return None
        if len(found) == 2 and re.search(r"[-–—]|to|bis", self.number):  # noqa: PLR2004 - from and to
            return max(1, found[1] - found[0] + 1)
        return len(found)


@dataclass(frozen=True)
class Pasted:
    """What was pasted: rows, headings that were passed over, and lines in which no row was found. Every line with a sign is in one of the three."""

    rows: tuple[PastedRow, ...] = ()
    headings: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()


@dataclass
class _Sorted:
    """Rows, headings and unread lines while they are collected."""

    rows: list[PastedRow] = field(default_factory=list)
    headings: list[str] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)

    def done(self) -> Pasted:
        if len(self.rows) > MAX_SOURCES:
            raise NotReadable([Fault("", f"at most {MAX_SOURCES} rows", f"{len(self.rows)} rows")])
        return Pasted(tuple(self.rows), tuple(self.headings), tuple(self.unread))


def decoded(content: bytes) -> str:
    """The text of a file: UTF-8, or UTF-16 with a byte order mark. Raises ``NotReadable``."""
    if len(content) > MOST_BYTES:
        raise NotReadable([Fault("", "a file of at most 2 MB", "a larger one")])
    wide = content.startswith((b"\xff\xfe", b"\xfe\xff"))
    try:
        text = content.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        raise NotReadable([Fault("", "text in UTF-8, or a workbook (XLSX)", "other bytes")]) from None
    if "\0" in text:
        raise NotReadable([Fault("", "text", "bytes that are no text")])
    return text


def read_text(text: str) -> Pasted:
    """The rows in a pasted text. Raises ``NotReadable`` where there are too many."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if len(lines) > MOST_LINES:
        raise NotReadable([Fault("", f"at most {MOST_LINES} lines", f"{len(lines)} lines")])
    delimiter = _delimiter(lines)
    if delimiter:
        return read_cells(_records(text, delimiter))
    return _read_lines(lines)


def _delimiter(lines: Sequence[str]) -> str:
    """What parts the columns, empty where the text has none: most lines with a sign have it, a comma as often in each."""
    full = [line for line in lines if line.strip()]
    for delimiter in ("\t", ";", "|"):
        having = sum(delimiter in line.strip() for line in full)
        if having and having * 2 >= len(full):
            return delimiter
    counts = Counter(line.count(",") for line in full)
    most, times = counts.most_common(1)[0] if counts else (0, 0)
    return "," if most and times > 1 and times * 3 >= len(full) * 2 and _columned(full) else ""


def _columned(lines: Sequence[str]) -> bool:
    """True where commas part columns and not the items of a sentence: the first line names columns, or every line begins with a number or a comma."""
    first = {_plain(cell) for cell in lines[0].split(",")}
    if first & LABEL_NAMES and len(first & (LABEL_NAMES | NUMBER_NAMES | OTHER_NAMES)) > 1:
        return True
    return all(re.match(r'\s*"?\d*"?\s*,', line) for line in lines)


def _records(text: str, delimiter: str) -> list[list[str]]:
    if delimiter == "|":
        return [list(line.strip().strip("|").split("|")) for line in text.splitlines() if not re.fullmatch(r"[\s|:+-]*", line)]
    try:
        return list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    except csv.Error:
        # An inch sign or a single quotation mark is no quoting: then every line is a record as it stands.
        return [line.split(delimiter) for line in text.splitlines()]


def read_cells(records: Iterable[Sequence[str]]) -> Pasted:
    """The rows in the cells of a table. Raises ``NotReadable`` where there are too many rows or columns."""
    table = [[" ".join(unguarded(cell.strip()).split()) for cell in record] for record in records]
    while table and not any(table[-1]):
        table.pop()
    if len(table) > MOST_LINES:
        raise NotReadable([Fault("", f"at most {MOST_LINES} rows, empty ones counted", f"{len(table)} rows")])
    widest = max((at for record in table for at, cell in enumerate(record, start=1) if cell), default=0)
    if widest > MOST_COLUMNS:
        raise NotReadable([Fault("", f"at most {MOST_COLUMNS} columns", f"{widest} columns")])
    table = [(record + [""] * widest)[:widest] for record in table]
    head = _head(table)
    label_at, number_at = _columns(table, head)
    heads = [_plain(cell) for cell in table[head]] if head is not None else [""] * widest
    found = _Sorted()
    for line, cells in enumerate(table):
        told = [cell for cell in cells if cell]
        number = cells[number_at] if number_at is not None else ""
        label = cells[label_at] if label_at is not None else ""
        if number and not re.search(r"\d", number) and not label:
            number, label = "", number
        if line == head or (len(told) == 1 and not number and (_is_title(told[0]) or line < (head or 0))):
            found.headings.append(" | ".join(told))
        elif label or number:
            # A number alone is a row that is kept free.
            rest = tuple(_told(heads[at], _short(cell)) for at, cell in enumerate(cells) if cell and at not in (label_at, number_at))
            found.rows.append(PastedRow(number, label[:LONGEST_LABEL] or "-", rest, line + 1))
        elif told:
            found.unread.append(" | ".join(told))
    return found.done()


FED = frozenset({"yes", "y", "x", "1", "true", "✓", "✔", "on", "ja", "+48v", "48v", "48"})
NOT_FED = frozenset({"no", "n", "0", "false", "off", "nein", "non", "none", "✗", "✘", "-", "–", "—"})


def _told(head: str, cell: str) -> str:
    """A cell beside the label; under a heading about 48 V, a plain yes or no speaks of 48 V, and anything else for itself."""
    if "48" in head or "phantom" in head:
        plain = cell.casefold()
        return "48 V" if plain in FED else "no 48 V" if plain in NOT_FED else cell
    return cell


def _plain(cell: str) -> str:
    return " ".join(re.sub(r"[\W_]+", " ", cell.casefold()).split())


def _head(table: Sequence[Sequence[str]]) -> int | None:
    """The line of headings: one of the first that names the column of labels, or at least two columns."""
    for line, record in enumerate(table[:10]):
        cells = [_plain(cell) for cell in record if cell]
        known = [cell for cell in cells if cell in LABEL_NAMES | NUMBER_NAMES | OTHER_NAMES or cell in ("", "#")]
        if len(cells) > 1 and len(known) * 2 > len(cells) and (set(cells) & LABEL_NAMES or len(known) > 1):
            return line
        if len(cells) == 1 and cells[0] in LABEL_NAMES and line == 0 and len(table) > 1:
            return line
    return None


def _columns(table: Sequence[Sequence[str]], head: int | None) -> tuple[int | None, int | None]:
    """The column of labels and the column of numbers: by their headings, else by what stands in them."""
    widest = max((len(record) for record in table), default=0)
    if not widest:
        return None, None
    named = [_plain(cell) for cell in table[head]] if head is not None else []
    body = [record for line, record in enumerate(table) if line != head][:LINES_TO_JUDGE]
    columns = [[record[at] for record in body if at < len(record) and record[at]] for at in range(widest)]
    label_at = next((at for at, name in enumerate(named) if name in LABEL_NAMES), None)
    if label_at is None or not columns[label_at]:
        label_at = max(range(widest), key=lambda at: (sum(_names(cell) for cell in columns[at]), -at))
        if not any(_names(cell) for cell in columns[label_at]):
            words = [sum(bool(re.search(r"[^\W\d_]{2}", cell)) for cell in column) for column in columns]
            label_at = max(range(widest), key=lambda at: (words[at], -at))
    numeric = [at for at in range(widest) if at != label_at and columns[at] and all(_is_number(cell) for cell in columns[at])]
    number_at = next((at for at in numeric if at >= len(named) or named[at] in NUMBER_NAMES or named[at] == ""), None)
    if number_at is None:
        number_at = next((at for at, name in enumerate(named) if at != label_at and name in NUMBER_NAMES and columns[at]), None)
    return label_at, number_at if number_at is not None else next(iter(at for at in numeric if at < label_at), None)


def _is_number(cell: str) -> bool:
    return bool(re.fullmatch(r"(?:ch\.?|in)?\s*#?\d{1,3}(?:\.0)?(?:\s*(?:[-–—+&/,]|to|and|und|bis)\s*\d{1,3})*[.):]?", cell, re.IGNORECASE))


def _names(text: str) -> bool:
    """True where a word of the text names a source."""
    return bool(parsed_label(text[:LONGEST_LABEL]).nouns)


def _read_lines(lines: Sequence[str]) -> Pasted:
    found = _Sorted()
    spaced = _spaced(lines)
    for at, line in enumerate(lines, start=1):
        # Long runs of blanks say no more than two, and would slow every search below.
        text = re.sub(r"[^\S\t]{3,}", "  ", line).strip()
        if not text:
            continue
        bare = BULLET.sub("", text).strip() if not re.fullmatch(r"[\W_]+", text) else text
        numbered = NUMBERED.fullmatch(bare)
        if numbered and _is_numbering(numbered, spaced):
            label, rest = _parted(numbered["rest"].strip())
            number = f"{numbered['from']}{_link(numbered)}"
            found.rows.append(PastedRow(number, label[:LONGEST_LABEL] or "-", rest, at))
            continue
        _unnumbered(found, bare, at, bulleted=bare != text)
    return found.done()


def _link(numbered: re.Match[str]) -> str:
    if not numbered["to"]:
        return ""
    dash = numbered["link"].casefold() in ("-", "–", "—", "to", "bis")
    return f"-{numbered['to']}" if dash else f" + {numbered['to']}"


def _spaced(lines: Sequence[str]) -> bool:
    """True where numbers that only a blank parts from the words count the rows: three in a row that follow each other."""
    numbers = [int(found[1]) for line in lines if (found := re.match(r"\s*(\d{1,3})\s+[^\s.):=]", line))]
    return sum(after == before + 1 for before, after in pairwise(numbers)) >= 2  # noqa: PLR2004 - three rows make a list


def _is_numbering(numbered: re.Match[str], spaced: bool) -> bool:  # noqa: FBT001 - one word about the list
    """True where the number counts the rows and is no quantity, as in *3 toms*."""
    end = numbered["end"]
    if numbered["word"].strip() or end.strip() or "\t" in end or not numbered["rest"]:
        return True
    return bool(numbered["to"]) or spaced


def _parted(text: str) -> tuple[str, tuple[str, ...]]:
    """A label and what follows it after a tab, an upright stroke or a gap of blanks."""
    label, *rest = [part.strip() for part in re.split(r"\t+|\s{2,}|\s*\|\s*", text)]
    return label, tuple(_short(part) for part in rest if part)


def _short(cell: str) -> str:
    return cell if len(cell) <= LONGEST_CELL else f"{cell[:LONGEST_CELL]}…"


def _unnumbered(found: _Sorted, text: str, line: int, *, bulleted: bool) -> None:
    """A line without a number: a heading, one row, several rows in one line, or not read."""
    if text.endswith(":") or _is_title(text):
        # "Drums:" stands over its rows; the rows say by themselves what they are.
        found.headings.append(text)
        return
    head, _, tail = text.partition(":")
    items = _items(tail) if tail and len(head.split()) <= 3 else ()  # noqa: PLR2004 - a heading in the line is short
    if items:
        found.headings.append(f"{head}:")
    items = items or _items(text)
    if items:
        found.rows += [PastedRow("", item, (), line) for item in items]
        return
    label, rest = _parted(text)
    words = len(text.split())
    # Below a row, a few words that name nothing known are a row as well: people list things that no vocabulary holds.
    below = bool(found.rows) and found.rows[-1].line == line - 1 and words <= FEW_WORDS and not re.search(r"[.!?]$", text)
    if not re.search(r"\w", label) or (words > MOST_WORDS and not bulleted) or not (bulleted or below or _may_name(label)):
        found.unread.append(text)
        return
    found.rows.append(PastedRow("", label[:LONGEST_LABEL], rest, line))


def _items(text: str) -> tuple[str, ...]:
    """The items of a list in one line, where every one of them names a source."""
    parts = [part.strip(" .") for part in re.split(r"[,;]\s+|\s+(?:and|und|et)\s+", text)]
    return tuple(parts) if len(parts) > 1 and all(part and _names(part) and len(part.split()) <= 6 for part in parts) else ()  # noqa: PLR2004 - a short name


def _may_name(label: str) -> bool:
    return read_label(label[:LONGEST_LABEL]).certainty is not Certainty.UNKNOWN


def _is_title(text: str) -> bool:
    """True where every word is one of which headings are made."""
    words = [token for token in plain_tokens(text) if token.isalpha()]
    return bool(words) and all(word in TITLE_WORDS for word in words)
