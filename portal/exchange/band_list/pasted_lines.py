"""Rows out of lines of text: numbered ones, bullets, one label a line; and tables that a copy left without their
columns.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from portal.exchange.band_list.columns import are_quantities, field_of, is_head, names_source
from portal.exchange.band_list.names import MOST_NAMES
from portal.exchange.band_list.pasted_rows import LONGEST_LABEL, MOST_COLUMNS, Cell, PastedRow, cut
from portal.exchange.band_list.sorting import Sorter, ends_list, is_beside, says_capture
from portal.exchange.band_list.words.label_words import parsed_label

NUMBERED = re.compile(
    r"(?P<word>(?:ch(?:an(?:nel)?)?|input|in|kanal|line|nr|no)?\.?\s?#?\s?)"
    r"(?P<from>\d{1,3})(?:\s?(?P<link>[-–—+&/,]|to|and|und|bis|à|a|al|au|tot|t/m)\s?(?P<to>\d{1,3}))?"
    r"(?P<end>\s?[.):|]+\s?|\s[-–—=]+\s|\t\s?|\s+|$)(?P<rest>.*)",
    re.IGNORECASE,
)
BULLET = re.compile(r"^(?:[-*•·●○◦▪■□>–—]+|o)\s+")
BEHIND = re.compile(r"(?:[:=…]|\s[-–—]|\.{2})\s?(?P<number>\d{1,3})(?:\s?(?P<times>[x×]|pcs|st(?:k|ück)?\.?))?$")
LONGEST_BEHIND = 16
"""Signs at the end of a line in which a number behind a label stands."""
BARE_NUMBER = re.compile(r"(?:ch\.?\s?)?#?(\d{1,3})(?:\s?[-–—+&/]\s?(\d{1,3}))?[.)]?", re.IGNORECASE)
GAP = re.compile(r"(?<=\S)\s{2,}(?=\S)")

MOST_CELLS = 12
"""Cells of a row that were pasted one a line."""

FEWEST = 3
"""Rows that make a list: numbers in order, columns that start at one place."""

Line = tuple[int, str]


def numbered_row(text: str, *, always: bool = False) -> tuple[str, str]:
    """The number that stands before a label, as written, and the label; no number where it may be a quantity, as in *3
    toms*, unless ``always``.
    """
    numbered = NUMBERED.fullmatch(text)
    if not numbered:
        return "", text
    end = numbered["end"]
    counts = numbered["word"].strip() or end.strip() or "\t" in end or not numbered["rest"] or numbered["to"]
    if not (counts or always):
        return "", text
    return f"{numbered['from']}{_link(numbered)}", numbered["rest"].strip()


def _link(numbered: re.Match[str]) -> str:
    if not numbered["to"]:
        return ""
    dash = numbered["link"].casefold() in ("-", "–", "—", "to", "bis", "à", "a", "al", "au", "tot", "t/m")
    return f"-{numbered['to']}" if dash else f" + {numbered['to']}"


def sort_lines(lines: Sequence[Line], found: Sorter) -> None:
    """Sort the lines, one after the other."""
    full = [(at, _without_runs(text)) for at, text in lines if text.strip()]
    spaced, gapped = counts_rows(text for _, text in full), _is_gapped(full)
    numbers = [numbered_row(BULLET.sub("", text), always=spaced)[0] for _, text in full]
    found.numbered = found.numbered or _follow([_last(number) for number in numbers if number])
    behind = {} if found.numbered else _numbers_behind(full)
    counting = (
        "quantity"
        if behind and are_quantities([told["number"] for _, told in behind.values()], headed=False)
        else "number"
    )
    beside = sum(is_beside(text) for _, text in full)
    found.capitals = sum(text.isupper() for _, text in full) * 2 >= len(full)
    below = found.numbered or beside >= max(FEWEST, len(full) / 4)
    for (at, text), number, following in zip(full, numbers, [*numbers[1:], ""], strict=False):
        bare = BULLET.sub("", text)
        if at in behind:
            _sort_behind(behind[at], counting, (at, text), found)
        elif (
            number
            and not _follow([_last(number), _last(following)], most=1)
            and found.chapter(numbered_row(bare, always=spaced)[1], text)
        ):
            continue
        elif number:
            label, cells = _parted(numbered_row(bare, always=spaced)[1], gapped=gapped)
            found.row(PastedRow(number, label[:LONGEST_LABEL] or "-", cells, at), text)
        elif below and found.rows and len(found.rows[-1].rest) < MOST_CELLS and is_beside(bare):
            found.rows[-1] = replace(found.rows[-1], rest=(*found.rows[-1].rest, Cell("", cut(bare))))
        else:
            label, cells = _parted(bare, gapped=gapped)
            found.text(label, at, bulleted=bare != text, cells=cells)


def _numbers_behind(lines: Sequence[Line]) -> dict[int, tuple[str, re.Match[str]]]:
    """The lines that end in a number, each with its label, where most do."""
    behind: dict[int, tuple[str, re.Match[str]]] = {}
    for at, text in lines:
        bare = BULLET.sub("", text)
        told = BEHIND.search(bare, max(len(bare) - LONGEST_BEHIND, 0))
        label = bare[: told.start()].rstrip(" .:=…–—-") if told else ""
        if told and label and len(label) <= LONGEST_LABEL:
            behind[at] = label, told
    return behind if len(behind) >= max(2, len(lines) / 2) else {}


def _sort_behind(behind: tuple[str, re.Match[str]], counting: str, line: Line, found: Sorter) -> None:
    """A label with a number behind it (*Vocal mic: 3*), which counts the rows or the things."""
    label, told = behind
    counts = counting == "quantity" or bool(told["times"])
    row = PastedRow(
        "" if counts else told["number"], label, (Cell("quantity", told["number"]),) if counts else (), line[0]
    )
    found.row(row, line[1])


def _last(number: str) -> int:
    """The last number of a row; less than none where it has none."""
    return int((re.findall(r"\d+", number) or ["-1"])[-1])


def _follow(numbers: Sequence[int], most: int = FEWEST - 1) -> bool:
    """True where so many numbers follow the one before them, so that they count the rows."""
    return sum(after == before + 1 for before, after in pairwise(numbers)) >= most


def _without_runs(text: str) -> str:
    """The line without outer blanks; long runs of blanks say no more than two, and would slow every search."""
    return re.sub(r"[^\S\t]{3,}", "  ", text).strip()


def counts_rows(lines: Iterable[str]) -> bool:
    """True where numbers that only a blank parts from the words count the rows: they follow each other."""
    numbers = [int(found[1]) for line in lines if (found := re.match(r"(\d{1,3})\s+[^\s.):=]", line))]
    steps = [after - before for before, after in pairwise(numbers)]
    return sum(step == 1 for step in steps) >= max(2, 3 * sum(step <= 0 for step in steps))


def _is_gapped(lines: Sequence[Line]) -> bool:
    """True where gaps of blanks part columns: in most lines, so that it is no slip of a finger."""
    return sum(bool(GAP.search(NUMBERED.sub(r"\g<rest>", text, count=1))) for _, text in lines) * 2 >= max(
        len(lines), 2
    )


def _parted(text: str, *, gapped: bool) -> tuple[str, tuple[Cell, ...]]:
    """A label and what follows it after a tab, an upright stroke or, where the list has such columns, a gap of
    blanks.
    """
    label, *rest = [part.strip() for part in re.split(r"\t+|\s{2,}|\s?\|\s?" if gapped else r"\t+|\s?\|\s?", text)]
    return (
        _dashed(" ".join(label.split()))
        if not rest
        else (" ".join(label.split()), tuple(Cell("", cut(" ".join(part.split()))) for part in rest if part))
    )


def _dashed(text: str) -> tuple[str, tuple[Cell, ...]]:
    """A label and what follows it between dashes, where that is who plays and how it is picked up; else all of it."""
    label, *rest = re.split(r"\s[-–—]+\s", text)
    if len(rest) < 2 or not names_source(label):  # noqa: PLR2004 - one dash may belong to the name
        return text, ()
    cells = tuple(Cell("" if says_capture(part) else "player", cut(part)) for part in rest)
    if sum(bool(cell.field) for cell in cells) != 1 or not all(cell.text for cell in cells):
        return text, ()
    return (label, cells) if all(_is_name(cell.text) for cell in cells if cell.field) else (text, ())


def _is_name(text: str) -> bool:
    words = text.split()
    return len(words) <= MOST_NAMES and all(word[0].isupper() for word in words) and not parsed_label(text).found


def one_cell_a_line(lines: Sequence[str]) -> tuple[int, int, list[tuple[int, list[str]]]] | None:
    """A numbered table that was pasted one cell a line: the first line of it, the line after it, and its records;
    ``None`` where there is none.
    """
    full = [(at, text.strip()) for at, text in enumerate(lines, start=1) if text.strip()]
    starts = _number_lines(full)
    if len(starts) < FEWEST:
        return None
    ends = [*starts[1:], len(full)]
    sizes = [end - start for start, end in zip(starts, ends, strict=True)]
    heads = 0
    while heads < starts[0] and (field := field_of(full[starts[0] - heads - 1][1])) is not None:
        heads += 1
        if field == "number":
            break
    if heads < max(sizes[:-1]) <= starts[0] and field_of(full[starts[0] - max(sizes[:-1])][1]) == "number":
        # As many lines as a row has cells, the first of them a heading of numbers: all of them are headings.
        heads = max(sizes[:-1])
    most = max(sizes[:-1]) if heads < 2 else max(heads, *sizes[:-1])  # noqa: PLR2004 - number and label
    ends[-1] = min(len(full), starts[-1] + (max(sizes[:-1]) if sizes[-1] > most else sizes[-1]))
    ends[-1] = next((at for at in range(starts[-1] + 2, ends[-1]) if ends_list(full[at][1])), ends[-1])
    records = [(full[start][0], [text for _, text in full[start:end]]) for start, end in zip(starts, ends, strict=True)]
    if heads == most:
        records.insert(0, (full[starts[0] - heads][0], [text for _, text in full[starts[0] - heads : starts[0]]]))
    first = full[starts[0] - (heads if heads == most else 0)][0]
    after = full[ends[-1]][0] if ends[-1] < len(full) else len(lines) + 1
    return first, after, records


def _number_lines(full: Sequence[Line]) -> list[int]:
    """The places of lines that hold nothing but the next number, with a few cells below each."""
    starts: list[int] = []
    wanted = 0
    for place, (_, text) in enumerate(full):
        found = BARE_NUMBER.fullmatch(text)
        number = int(found[1]) if found else 0
        if not found or (starts and (number != wanted or place - starts[-1] < 2)):  # noqa: PLR2004 - a number and a label
            continue
        if starts and place - starts[-1] > MOST_CELLS:
            break
        starts.append(place)
        wanted = int(found[2] or number) + 1
    return starts


def aligned(lines: Sequence[Line]) -> list[int]:
    """The places in the lines at which columns of aligned blanks begin; fewer than two where there are none."""
    begins = Counter(found.end() for _, text in lines for found in GAP.finditer(text.rstrip()))
    gaps = sum(bool(GAP.search(text)) for _, text in lines)
    headed = next((cells for _, text in lines if is_head(cells := GAP.split(text.strip()))), [])
    heads = {found.end() for _, text in lines if GAP.split(text.strip()) == headed for found in GAP.finditer(text)}
    columns = sorted(
        at for at, count in begins.items() if count >= max(FEWEST, gaps * 0.4) or (at in heads and count > 1)
    )
    first = min((len(text) - len(text.lstrip()) for _, text in lines if GAP.search(text)), default=0)
    return [first, *(at for at in columns if at > first)] if 0 < len(columns) < MOST_COLUMNS else []


def at_columns(text: str, columns: Sequence[int]) -> list[str]:
    """The line cut where columns begin; a text that reaches over the beginning of a column stays whole."""
    cuts = [at for at in columns if at == columns[0] or at >= len(text) or text[at - 1].isspace()]
    if not any(text[at - 2 : at].isspace() for at in cuts[1:] if at < len(text)):
        return [text.strip()]
    cells = dict.fromkeys(columns, "")
    for start, end in zip(cuts, [*cuts[1:], len(text)], strict=True):
        cells[start] = text[start:end].strip()
    return list(cells.values())
