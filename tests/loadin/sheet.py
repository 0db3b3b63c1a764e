"""The patch sheet as rows: what a person reads off it, by the names in ``wording``."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from tests.loadin.paper import Paper, Table, squashed
from tests.loadin.wording import (
    BEHIND,
    BELOW,
    CARRIES,
    EARS_SIDE,
    FED_ALIKE,
    FED_WITH_48V,
    IN_NOTES,
    LIKE_THE_INPUT,
    NOTHING,
    PLAYER,
    PLAYERS,
    RACK_DIES,
    SAID_OF_INPUTS,
    SAID_OF_MOST,
    SAID_ONCE,
    SPARE_ROW,
    TABLES,
    UNDER_ROWS,
    is_changed,
    numbers_in,
    phantom_of,
)

Cells = Mapping[str, str]
"""One row: field -> what its cell says. A column that is not printed is not in it."""


@dataclass(frozen=True)
class Sheet:
    """All tables by kind, in printed order, and the running text. ``unknown`` are tables that ``wording`` does not
    know.
    """

    lines: tuple[Cells, ...]
    spare: tuple[Cells, ...]
    ears: tuple[Cells, ...]
    mixes: tuple[Cells, ...]
    outputs: tuple[Cells, ...]
    line_outputs: tuple[Cells, ...]
    returns: tuple[Cells, ...]
    cuts: tuple[Cells, ...]
    dead: tuple[Cells, ...]
    remarks: tuple[Cells, ...]
    stays: tuple[Cells, ...]
    moves: tuple[Cells, ...]
    sub_looms: tuple[Cells, ...]
    rack_dies: str
    text: str
    unknown: tuple[str, ...]

    @property
    def tables(self) -> tuple[tuple[Cells, ...], ...]:
        """Every table that says what is plugged, and what stays."""
        first = (self.lines, self.ears, self.mixes, self.outputs)
        return (*first, self.returns, self.remarks, self.stays, self.dead)

    @property
    def whole(self) -> str:
        """Every word of it, for what must stand somewhere or nowhere."""
        cells = (cell for table in self.tables for row in table for cell in row.values())
        return "\n".join((self.text, *cells))


def read_sheet(paper: Paper) -> Sheet:
    """The sheet's rows. Rows that say the same line on two pages are put together."""
    found: dict[str, list[dict[str, str]]] = {kind: [] for kind, _, _ in TABLES}
    unknown = []
    for table in paper.tables:
        kind = kind_of(table.heads)
        if is_changed(table.heads):
            continue  # read by ``moved``, beside the sheet from before
        if not kind:
            unknown.append(f"{table.title}: {', '.join(table.heads)}")
            continue
        found[kind] += _rows(table, kind)
    text = " ".join(paper.text.split())
    notes: dict[str, list[str]] = {}
    for note in found["notes"]:
        notes.setdefault(note["channel"], []).append(note["text"])
    players = _players(text)
    lines = []
    for row in _together(found["lines"]):
        row["under"] = " · ".join(filter(None, (row.get("under", ""), *notes.get(row.get("channel", ""), ()))))
        lines.append(whole := _whole(row, text, players))
        parts = [part for part in whole.get("note", "").split(" · ") if part not in (BELOW, "")]
        whole["note"] = " · ".join(filter(None, (*parts, whole.pop("under"))))
    for sentence in SAID_OF_INPUTS.findall(text):
        found["ears"] = [_said(sentence, "ears") | row for row in found["ears"]]
    found["ears"] += _fed_alike(" ".join(paper.sections.get(EARS_SIDE, "").split()), lines)
    sent = tuple(row for row in lines if not _is_spare(row))
    spare = tuple(row for row in lines if _is_spare(row))
    others = {kind: tuple(rows) for kind, rows in found.items() if kind not in ("lines", "notes")}
    return Sheet(
        lines=sent,
        spare=spare,
        rack_dies=paper.sections.get(RACK_DIES, ""),
        text=paper.text,
        unknown=tuple(unknown),
        **others,
    )


def _is_spare(row: Cells) -> bool:
    return row.get("source", "") == SPARE_ROW or (
        row.get("number", "x") in NOTHING and row.get("channel", "") in NOTHING and row.get("socket", "") in NOTHING
    )


def kind_of(heads: tuple[str, ...]) -> str:
    """What kind of table has these heads; empty where nobody knows."""
    plain = {squashed(head) for head in heads}
    return next((kind for kind, needed, _ in TABLES if plain & needed), "")


def _rows(table: Table, kind: str) -> Iterator[dict[str, str]]:
    """Each row as field -> cell. Two halves side by side are read one after the other."""
    for half in fields_of(table.heads, kind):
        for cells, under in zip(table.rows, table.under, strict=True):
            row = {field: cells[place] for place, field in half.items()}
            if any(row.values()):
                yield row | ({"under": under} if under else {})


def fields_of(heads: tuple[str, ...], kind: str) -> list[dict[int, str]]:
    """Place of a column -> its field, for each of the halves that stand side by side; columns that nobody knows are
    left out.
    """
    columns = next(columns for name, _, columns in TABLES if name == kind)
    middle = len(heads) // 2
    width = middle if len(heads) % 2 == 0 and heads[:middle] == heads[middle:] else len(heads)
    fields = _fields(heads[:width], columns)
    return [{start + at: field for at, field in enumerate(fields) if field} for start in range(0, len(heads), width)]


def _fields(heads: tuple[str, ...], columns: Mapping[str, str]) -> list[str]:
    fields: list[str] = []
    for head in heads:
        name = squashed(head)
        before = fields[-1] if fields else ""
        fields.append(BEHIND.get((before, name)) or columns.get(name, ""))
    return fields


def _together(rows: list[dict[str, str]]) -> list[dict[str, str]]:
    """Rows of several tables that speak of one line, as one row; the first table's order."""
    joined: dict[tuple[str, str], dict[str, str]] = {}
    alone: list[dict[str, str]] = []
    for row in rows:
        key = next(
            ((name, row[name]) for name in ("number", "channel", "socket") if row.get(name, "") not in NOTHING), None
        )
        if key is None:
            alone.append(row)
        elif key in joined and not set(row) & set(joined[key]) - {key[0], "source", "under"}:
            joined[key] |= row
        elif key in joined:
            alone.append(row)
        else:
            joined[key] = dict(row)
    return [*joined.values(), *alone]


def _whole(row: dict[str, str], text: str, players: Mapping[str, str]) -> dict[str, str]:
    """A row with what the sentences above the table say for it, and what its note says otherwise."""
    said: dict[str, str] = {}
    for sentence in SAID_OF_MOST.findall(text):
        said |= _said(sentence)
    for found in SAID_ONCE.finditer(text):
        if found["loom"] in (None, row.get("loom")):
            said |= _said(found["says"])
    says: dict[str, str] = {}
    for part in row.get("note", "").split(" · "):
        field = next((name for name, pattern in IN_NOTES.items() if pattern.fullmatch(part)), "")
        if field:
            says[field] = IN_NOTES[field].sub(r"\1", part)
        elif part not in (BELOW, *NOTHING) and "path" in said:
            says["path"] = part
    for part in row["under"].split(" · "):
        for field, pattern in (IN_NOTES | UNDER_ROWS).items():
            if pattern.fullmatch(part):
                says[field] = pattern.sub(r"\1", part)
    by_player = {"player": players[row["channel"]]} if row.get("channel") in players else {}
    whole = by_player | said | row | says
    return {field: whole.get("socket", "") if cell == LIKE_THE_INPUT else cell for field, cell in whole.items()}


def _said(sentence: str, of: str = "lines") -> dict[str, str]:
    """Cells that one sentence says. ``of``: the kind of table."""
    found: dict[str, str] = {}
    columns = next(columns for kind, _, columns in TABLES if kind == of)
    for part in sentence.split(";"):
        head = next((head for head in sorted(columns, key=len, reverse=True) if squashed(part).startswith(head)), "")
        if head:
            found[columns[head]] = _behind(part, head)
    return found


def _players(text: str) -> dict[str, str]:
    """Desk channel -> who plays it."""
    found: dict[str, str] = {}
    begin = PLAYERS.search(text)
    one = PLAYER.match(text, begin.end()) if begin else None
    while one:
        found |= {str(number): one["name"] for number in numbers_in(one["channels"])}
        one = PLAYER.match(text, one.end()) if one["end"] == ";" else None
    return found


def _fed_alike(text: str, lines: list[dict[str, str]]) -> Iterator[dict[str, str]]:
    """Inputs of the band's mixer that are said in runs: a line's way feeds each, with 48 V as the line says."""
    for run in FED_ALIKE.finditer(text):
        pairs = zip(sorted(numbers_in(run["ways"])), sorted(numbers_in(run["inputs"])), strict=True)
        for way, number in pairs:
            for row in lines:
                if row.get("split_way") == str(way) and squashed(row.get("path", "")).startswith(squashed(run["unit"])):
                    on = FED_WITH_48V in text and phantom_of(row.get("phantom", "")) == "band"
                    yield {
                        "mixer_input": str(number),
                        "source": row["source"],
                        "fed_by": f"{run['unit']}, way {way}",
                        "phantom": "band" if on else "–",
                        "line": row.get("channel", ""),
                    }


def _behind(part: str, head: str) -> str:
    """What stands behind a head, which may hold spaces."""
    for end in range(len(part) + 1):
        if squashed(part[:end]) == head:
            return part[end:].strip()
    return ""


def carried(row: Cells) -> str:
    """What the row's note says it carries, as it stands there; empty where it says nothing."""
    said = CARRIES.search(row.get("note", ""))
    return said[1] if said else ""
