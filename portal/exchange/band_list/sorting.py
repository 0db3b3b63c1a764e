"""Which lines of a list are rows, which are headings, and which are set aside because they are no inputs."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from portal.exchange.band_list.columns import names_column, names_source
from portal.exchange.band_list.label_reading import Certainty
from portal.exchange.band_list.pasted_rows import LONGEST_LABEL, Cell, Column, Pasted, PastedRow
from portal.exchange.band_list.reading import read_label
from portal.exchange.band_list.words.label_words import parsed_label, plain_tokens
from portal.exchange.band_list.words.list_words import (
    INPUT_WORDS,
    LASTING_SECTIONS,
    SECTION_NAMES,
    SENTENCE_WORDS,
    TITLE_WORDS,
)
from portal.exchange.band_list.words.reading_words import WORDS_OF_STANDS
from portal.exchange.faults import Fault, NotReadable
from portal.plan.input.rig import MAX_SOURCES

MOST_WORDS = 12
"""Words of a line without a number that can still be a row; more of them are a sentence (common practice, no
source).
"""

FEW_WORDS = 4
"""Words of a line right below a row that is a row whatever it says; words of a heading that begins with the name of a
section.
"""

SENTENCE = 7
"""Words of a line of which one small word makes a sentence; with two such words fewer are enough."""


@dataclass
class Sorter:
    """Rows, headings and what is set aside, while a list is gone through from top to bottom.

    ``numbered``: the list numbers its rows, so a line without a number is doubtful. ``lenient``: nothing is set aside
    that names a source. ``capitals``: capital letters alone make no heading, since most lines have them.
    """

    numbered: bool = False
    lenient: bool = False
    capitals: bool = True
    rows: list[PastedRow] = field(default_factory=list)
    headings: list[str] = field(default_factory=list)
    aside: list[str] = field(default_factory=list)
    columns: list[Column] = field(default_factory=list)
    _section: str = ""
    _last: int = 0

    def done(self) -> Pasted:
        """What was found. Raises ``NotReadable`` where it is more than a rig holds."""
        if len(self.rows) > MAX_SOURCES:
            raise NotReadable([Fault("", f"at most {MAX_SOURCES} rows", f"{len(self.rows)} rows")])
        return Pasted(tuple(self.rows), tuple(self.headings), tuple(self.aside), tuple(self.columns))

    def head(self, text: str, *, outputs: bool) -> None:
        """A line of headings, of a table of outputs or of inputs."""
        self._section = "lasting" if outputs and not self.lenient else ""
        self.headings.append(text)

    def chapter(self, label: str, text: str) -> bool:
        """True for the heading of a chapter, which has a number as well; it is kept as a heading."""
        return not names_source(label) and heading_of(label) is not None and self._is_heading(label, text)

    def row(self, row: PastedRow, text: str) -> None:
        """A row with a number, a quantity or cells of its own; ``text``: the line as it stands."""
        label = parsed_label(row.label)
        no_input = (label.outside and not row.channels) or (not label.nouns and is_sentence(row.label))
        if (self._section and not self._resumes(row)) or (no_input and not self.lenient):
            self.aside.append(text)
        else:
            self._section = ""
            self._last = row.channels[-1] if row.channels else self._last
            self.rows.append(row)

    def _resumes(self, row: PastedRow) -> bool:
        """True for a row with which the list of inputs goes on: its number follows, or it is the first one below a
        section of another kind.
        """
        if not row.channels:
            return False
        return row.channels[0] == self._last + 1 and (
            bool(self.rows) or (self._section == "passing" and names_source(row.label))
        )

    def text(self, text: str, line: int, *, bulleted: bool = False, cells: tuple[Cell, ...] = ()) -> None:
        """A line without a number: a heading, one row, several rows in one line, or set aside. ``cells``: what stood
        behind a gap.
        """
        whole = " | ".join([text, *(cell.text for cell in cells)])
        if self._is_heading(text, whole):
            return
        if self._section or (self._is_no_input(text, bulleted=bulleted) and not self.lenient):
            self.aside.append(whole)
        elif not cells and self._items(text, line):
            return
        elif re.search(r"\w", text) and (
            bulleted or self._below(text, line) or may_name(text) or (not self.numbered and says_capture(text))
        ):
            self.rows.append(PastedRow("", text[:LONGEST_LABEL], cells, line))
        else:
            self.aside.append(whole)

    def _is_heading(self, text: str, whole: str) -> bool:
        """True for a heading, which is kept; from it follows whether inputs stand below."""
        section = heading_of(text)
        named = only_names(text) if self.numbered and self.rows else not self.rows and names_column(text)
        if section is None and (named or (not self.capitals and text.isupper() and _is_open(text))):
            section = ""
        if section is None:
            return False
        lasts = self._section == "lasting" and not section and not INPUT_WORDS & set(plain_tokens(text))
        self._section = "" if self.lenient else self._section if lasts else section
        self.headings.append(whole)
        return True

    def _is_no_input(self, text: str, *, bulleted: bool) -> bool:
        head, colon, tail = text.partition(":")
        if colon and tail.strip() and heading_of(f"{head}:"):
            return True
        if self.numbered and not self.rows and not bulleted:
            return True
        if (len(text.split()) > MOST_WORDS and not bulleted and not self._listed(text)) or is_sentence(text):
            return True
        return bool(parsed_label(text[:LONGEST_LABEL]).outside)

    def _below(self, label: str, line: int) -> bool:
        """True for a few words right below a row: people list things that no vocabulary holds."""
        below = bool(self.rows) and self.rows[-1].line == line - 1 and not self.numbered
        return below and len(label.split()) <= FEW_WORDS and not re.search(r"[.!?]$", label)

    def _items(self, text: str, line: int) -> bool:
        """True for a list in one line, such as *Drums: kick, snare and hat*, whose items become rows."""
        head, colon, tail = text.partition(":")
        items = _all_named(tail) if colon and len(head.split()) <= 3 else ()  # noqa: PLR2004 - a heading in the line is short
        if items:
            self.headings.append(f"{head}:")
        elif self._listed(text):
            items = _all_named(text)
        self.rows += [PastedRow("", item, (), line) for item in items]
        return bool(items)

    def _listed(self, text: str) -> bool:
        """True where commas part names; what only *and* joins may be one sound on one microphone."""
        return bool(re.search(r"[,;]\s", text) and _all_named(text))


def _all_named(text: str) -> tuple[str, ...]:
    """The items of a list in one line, where every one of them names a source."""
    parts = [part.strip(" .") for part in re.split(r"[,;]\s+|\s(?:and|und|et|y|e|en)\s+", text[: LONGEST_LABEL * 4])]
    short = len(text) <= LONGEST_LABEL * 4 and len(parts) > 1 and all(part and len(part.split()) <= 6 for part in parts)  # noqa: PLR2004 - a short name
    return tuple(parts) if short and all(map(names_source, parts)) else ()


def heading_of(text: str) -> str | None:
    """The section that a heading opens: ``lasting`` or ``passing`` where no inputs stand below, empty where they may;
    ``None`` for no heading.
    """
    words = [token for token in plain_tokens(text) if token.isalpha()] if len(text) <= LONGEST_LABEL else []
    if not words:
        return None
    whole, colon = " ".join(words), text.rstrip().endswith(":")
    known = [word for word in words if word in SECTION_NAMES]
    titled = all(word in TITLE_WORDS or word in SECTION_NAMES or word in INPUT_WORDS for word in words)
    begins = words[0] in SECTION_NAMES or " ".join(words[:2]) in SECTION_NAMES
    opens = (
        whole in SECTION_NAMES
        or (known and titled)
        or (colon and known and not names_source(text))
        or (begins and len(words) <= FEW_WORDS)
    )
    if known and re.match(r"\W*\d", text):
        return None
    if opens and not INPUT_WORDS & set(words):
        return "lasting" if LASTING_SECTIONS & {*words, " ".join(words[:2])} else "passing"
    return "" if colon or titled else None


def ends_list(text: str) -> bool:
    """True for a line that surely belongs to no row: a heading of a section, with or without its content, or a
    sentence.
    """
    return bool(heading_of(text) or heading_of(f"{text.partition(':')[0].strip()}:")) or is_sentence(text)


def _is_open(text: str) -> bool:
    """True for two or three words at most that leave open what they name."""
    return len(text.split()) <= 3 and read_label(text[:LONGEST_LABEL]).certainty is not Certainty.SURE  # noqa: PLR2004 - a short heading


def only_names(text: str) -> bool:
    """True for a line of one or two words, all of them names of sources: *Vocals* over the rows of a numbered list."""
    label = parsed_label(text[:LONGEST_LABEL])
    words = label.tokens
    return len(words) <= 2 and len(words) == sum(len(found.text.split()) for found in label.nouns) > 0  # noqa: PLR2004 - a short name


def is_sentence(text: str) -> bool:
    """True where small words make it a sentence, those in brackets not counted."""
    words = [token for token in plain_tokens(re.sub(r"\([^()]*\)?", " ", text[: LONGEST_LABEL * 2])) if token.isalpha()]
    small = sum(word in SENTENCE_WORDS for word in words)
    return (small > 1 and len(words) > FEW_WORDS) or (small == 1 and len(words) >= SENTENCE)


def is_beside(text: str) -> bool:
    """True where every word says how a sound is picked up, and none what it is: a cell that belongs to the row above
    it.
    """
    if len(text) > LONGEST_LABEL:
        return False
    label = parsed_label(text)
    says = any(word.facet in ("capture", "phantom") for found in label.found for word in found.words)
    unknown = any(label.tokens[at] not in WORDS_OF_STANDS for at in label.unknown)
    return says and not label.nouns and not unknown


def says_capture(text: str) -> bool:
    """True where a word says how a sound is picked up; *di* in small letters is a word of its own in some languages."""
    values = parsed_label(text[:LONGEST_LABEL]).values("capture")
    return any(value.startswith(("mic", "wireless")) for value in values) or (
        bool(values) and re.search(r"\bDI\b", text) is not None
    )


def may_name(label: str) -> bool:
    """True where something in the label names a source, or, in a short one, may be a slip for one that does."""
    if names_source(label):
        return True
    return len(label.split()) <= FEW_WORDS and read_label(label[:LONGEST_LABEL]).certainty is not Certainty.UNKNOWN
