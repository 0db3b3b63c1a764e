"""The pages of what changed, held against both sheets: the one signed before, and the one that they are part of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tests.loadin.faults import Report
from tests.loadin.paper import Paper, Table, squashed
from tests.loadin.sheet import Cells, Sheet, carried, read_sheet
from tests.loadin.wording import CHANGED_HOUSE, CHANGED_MIX, NOTHING, NOW, is_changed, names_in, switch_of

Places = Mapping[str, tuple[str, ...]]
"""Name -> where it is, cell by cell; the last one, what shares its rows, is not on the pages of what changed."""

Rows = Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]]
"""Name -> where it was and where it is, by the pages of what changed."""

NOWHERE = frozenset({"off", "notsent"})
"""Words for nothing: not at the desk, or no 48 V."""


def ask_changed(before: Paper, now: Paper, report: Report) -> None:
    """Each row that is plugged or switched otherwise stands on its side's page with both places, and no other."""
    was, is_now = read_sheet(before), read_sheet(now)
    names = {row["source"] for sheet in (was, is_now) for row in (*sheet.ears, *sheet.stays) if "source" in row}
    tables = [table for table in now.tables if is_changed(table.heads)]
    house = [table for table in tables if squashed(CHANGED_HOUSE) in map(squashed, table.heads)]
    _compare("house", _house(was, names), _house(is_now, names), _side_by_side(house), report)
    band = [table for table in tables if table not in house]
    _compare("band", _band(was, names), _band(is_now, names), _stacked(band), report)


def _compare(side: str, was: Places, is_now: Places, listed: Rows, report: Report) -> None:
    for name in sorted({*was, *is_now, *listed}):
        cells = len(next(iter((*was.values(), *is_now.values()))))
        places = (was.get(name, ("–",) * cells), is_now.get(name, ("–",) * cells))
        row = f"{name}, {side}'s page of changes"
        if name not in listed:
            if places[0] != places[1]:
                report.add("two-answers", row, f"not there, though {places[0]} became {places[1]}")
        elif places[0] == places[1]:
            report.add("two-answers", row, f"there, though {places[0]} stays")
        else:
            for said, true in zip(listed[name], places, strict=True):
                if said != true[:-1]:
                    report.add("two-answers", row, f"says {said} where the sheet says {true}")


def _plain(cell: str) -> str:
    return "–" if cell in NOTHING or squashed(cell) in NOWHERE else squashed(cell)


def _switched(cell: str) -> str:
    """Who switches 48 V on at an input of the band's mixer; off is off, whatever it could harm."""
    said = switch_of(cell)
    return "–" if said in ("never", "none") else said


def _shares(rows: list[Cells], names: set[str]) -> str:
    """What else comes on the rows of a source."""
    return ",".join(sorted({name for row in rows for name in _carried(row, names)})) or "–"


def _side_by_side(tables: list[Table]) -> Rows:
    """Channel, box input, level and 48 V, before and now; the short name is only for the eye."""
    found = {}
    for table in tables:
        for source, *cells, _done in table.rows:
            half = len(cells) // 2
            pair = [tuple(map(_plain, (one[0], *one[2:]))) for one in (cells[:half], cells[half:])]
            found[source] = (pair[0], pair[1])
    return found


def _stacked(tables: list[Table]) -> Rows:
    """Mixer input, feed, 48 V, path, way of the loom and pad, in two rows each."""
    found: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {}
    for table in tables:
        for source, when, *cells, _note, _done in table.rows:
            place = (*map(_plain, cells[:2]), _switched(cells[2]), *map(_plain, cells[3:]))
            found[source] = (found[source][0], place) if when == NOW else (place, ())
    return found


def _house(sheet: Sheet, names: set[str]) -> Places:
    found = {}
    for name, rows in _lines_of(sheet, names).items():
        cells = ([row.get(field, "") for row in rows] for field in ("channel", "socket", "level", "phantom"))
        found[name] = (*map(_joined, cells), _shares(rows, names))
    for row in sheet.returns:
        found[row["label"]] = ("–", squashed(f"output {row['socket']}"), "–", "–", "–")
    return found


def _band(sheet: Sheet, names: set[str]) -> Places:
    inputs = {row["source"]: row for row in sheet.ears}
    lines = _lines_of(sheet, names)
    stays = {row["source"]: row["where"] for row in sheet.stays}
    several = len({row.get("loom") for row in sheet.lines if row.get("loom_way", "–") not in NOTHING}) > 1
    found = {}
    for name in {*inputs, *lines, *stays}:
        at_the_mixer = [_plain(inputs.get(name, {}).get(field, "")) for field in ("mixer_input", "fed_by")]
        at_the_mixer.append(_switched(inputs.get(name, {}).get("phantom", "")))
        rows = lines.get(name, [])
        path = _joined(map(_way_out, rows)) if rows else _plain(stays.get(name, ""))
        ways = _joined(_loom_way(row, several=several) for row in rows)
        found[name] = (*at_the_mixer, path, ways, _joined(row.get("pad", "") for row in rows), _shares(rows, names))
    for row in sheet.returns:
        name = row.get("loom", "") if several else ""
        back = ("mixer_input", row["mixer_input"]), ("fed_by", f"output {row['socket']}")
        found[row["label"]] = (*(_plain(cell) for _, cell in back), "–", "–", _plain(f"{name} {row['way']}"), "–", "–")
    for row in sheet.mixes:
        outs = row["outs"]
        path = "–" if outs in NOTHING else squashed(f"mixer outs {outs}")
        found[CHANGED_MIX.format(row["player"])] = ("–", "–", "–", path, "–", "–", "–")
    return found


def _lines_of(sheet: Sheet, names: set[str]) -> dict[str, list[Cells]]:
    """Source -> the rows that carry it."""
    found: dict[str, list[Cells]] = {}
    for row in sheet.lines:
        for name in _carried(row, names):
            found.setdefault(name, []).append(row)
    return found


def _carried(row: Cells, names: set[str]) -> Iterator[str]:
    said = carried(row)
    yield from names_in(said, names) if said else [row["source"]]


def _joined(cells: Iterator[str] | list[str] | map[str]) -> str:
    return ",".join(dict.fromkeys(map(_plain, cells))) or "–"


def _way_out(row: Cells) -> str:
    way = row.get("split_way", "")
    return row.get("path", "") if way in NOTHING else f"{row.get('path', '')}, way {way}"


def _loom_way(row: Cells, *, several: bool) -> str:
    way = row.get("loom_way", "")
    return way if way in NOTHING or not several else f"{row.get('loom', '')} {way}"
