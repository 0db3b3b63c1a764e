"""Other files of the same gig, only compared with the papers that were plugged from: input list, plan as data, printed
pack list.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping
from typing import Any

from tests.loadin.faults import Report
from tests.loadin.packing import Packing, Thing
from tests.loadin.paper import Paper, squashed
from tests.loadin.sheet import Sheet, read_sheet
from tests.loadin.wording import INPUT_LIST, LINK, MIXER_LIST, NOTHING, OWN_CABLE, PLAN_LINE, SHORTENED, phantom_of


def compare_files(paper: Paper, packing: Packing, printed: Packing, input_list: bytes, plan: bytes) -> Report:
    """Hold every file against the patch sheet and the pack list that were plugged from: where they differ."""
    report, sheet = Report(), read_sheet(paper)
    _compare_lists(packing, printed, report)
    records = list(csv.DictReader(io.StringIO(input_list.decode("utf-8-sig"), newline="")))
    rows = [row for row in records if row["Line"]]
    _compare_mixer(sheet, [row for row in records if not row["Line"]], report)
    listed = [
        {INPUT_LIST[head]: (cell or "").removeprefix("'") for head, cell in row.items() if head in INPUT_LIST}
        for row in rows
    ]
    for row, fields in zip(rows, listed, strict=True):
        fields["socket"] = f"{row['Box']} {row['Box socket']}".strip() or LINK
    _compare_lines(sheet, listed, "input list", report)
    document = json.loads(plan)["plan"]
    _compare_lines(sheet, [_plan_line(line) for line in document["lines"]], "plan as data", report)
    _compare_counts(packing, document, report)
    return report


def _compare_mixer(sheet: Sheet, records: list[dict[str, str]], report: Report) -> None:
    """Each channel of an engineer on the band's mixer against the input of that number on the sheet."""
    inputs = {row["mixer_input"]: row for row in sheet.ears if "mixer_input" in row}
    for record in records:
        number = record["Mixer input"]
        printed = inputs.get(number, {})
        if not printed:
            report.add("files-differ", f"mixer input {number}", "stands in the input list only")
        for head, field in MIXER_LIST.items():
            said = record[head].removeprefix("'")
            if field in printed and not _alike(_plain("", said), _plain("", printed[field])):
                report.add(
                    "files-differ",
                    f"mixer input {number}",
                    f"{field}: {said!r} in the input list, {printed[field]!r} on the sheet",
                )


def _plan_line(line: Mapping[str, Any]) -> dict[str, str]:
    fields = {field: _said(line[key]) for key, field in PLAN_LINE.items() if key in line}
    fields["split_way"] = str(line["path"]["way"] or "")
    fields |= {"loom": line["loom"]["name"], "loom_way": str(line["loom"]["way"])} if line["loom"] else {}
    fields["socket"] = LINK if line["box_socket"] is None else f"{line['box']} {line['box_socket']}".strip()
    return fields


def _said(value: Any) -> str:
    """What is said by a key has its text beside it."""
    return str(value["text"] if isinstance(value, dict) else value)


def _compare_lines(sheet: Sheet, rows: list[dict[str, str]], file: str, report: Report) -> None:
    by_number, printed = ({_number(row): row for row in side} for side in (rows, sheet.lines))
    for number in sorted(set(by_number) ^ set(printed), key=str):
        report.add(
            "files-differ", f"channel {number}", f"stands in the {file if number in by_number else 'sheet'} only"
        )
    for number in by_number.keys() & printed.keys():
        for field, said in by_number[number].items():
            if field in printed[number] and not _alike(_plain(field, said), _plain(field, printed[number][field])):
                report.add(
                    "files-differ",
                    f"channel {number}",
                    f"{field}: {said!r} in the {file}, {printed[number][field]!r} on the sheet",
                )


AT_A_PA = {"PA 1": "left", "mono": "left", "PA 2": "right"}
"""The inputs of a PA by their number in the files, and the one of a mono mix by its word -> the word on the sheet."""


def _number(row: Mapping[str, str]) -> str:
    """The desk channel of a line. A mix that goes to a PA meets no desk: there its place at the PA."""
    socket = row.get("socket", "")
    return row.get("channel") or PA_LINE.get(AT_A_PA.get(socket, socket), "")


PA_LINE = {"left": "1", "mono": "1", "right": "2"}
"""The word on the sheet for an input of a PA -> the number that files give its line."""


def _plain(field: str, cell: str) -> str:
    """A cell without what only its form makes different: no pad is 0 in one file and a dash on paper."""
    if field == "phantom":
        # On a line's row it is an instruction to the house; the files say who feeds, and nobody does either way.
        return "none" if phantom_of(cell) == "never" else phantom_of(cell)
    if field == "socket":
        return AT_A_PA.get(cell, cell)
    return "" if cell in NOTHING or cell in (OWN_CABLE, "0") else squashed(cell)


def _alike(said: str, printed: str) -> bool:
    """Whether two cells say the same; what is too long for paper ends there with an ellipsis."""
    return said == printed or (printed.endswith(SHORTENED) and said.startswith(printed.removesuffix(SHORTENED)))


def _compare_lists(downloaded: Packing, printed: Packing, report: Report) -> None:
    for name in ("bring", "leave"):
        one, other = (
            [(squashed(thing.what), thing.count, thing.spare) for thing in getattr(packing, name)]
            for packing in (downloaded, printed)
        )
        if one != other:
            report.add("files-differ", "pack list", f"{name}: {sorted(set(one) ^ set(other))} on one of the two only")


def _with_length(thing: Thing) -> str:
    """A cable by its name and length, as the plan counts it."""
    return f"{thing.what}, {thing.length} m" if thing.length not in NOTHING else thing.what


def _compare_counts(packing: Packing, document: Mapping[str, Any], report: Report) -> None:
    loaded = {squashed(_with_length(thing)): thing.count for thing in packing.bring if not thing.again}
    for item in document["bring"]:
        what = _said(item["what"])
        if loaded.get(squashed(what)) != item["count"]:
            report.add(
                "files-differ",
                what,
                f"{item['count']} in the plan as data, {loaded.get(squashed(what), 0)} on the pack list",
            )
