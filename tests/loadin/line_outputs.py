"""The table of outputs of the band's mixer that carry lines: it says what the lines' rows say, and leaves none out."""

from __future__ import annotations

from tests.loadin.bench import Bench
from tests.loadin.lines import bare


def ask_line_outputs(bench: Bench) -> None:
    """Whoever patches the rack reads output, signal and box input here, and does not look at the lines."""
    if bench.sheet.outputs:
        return
    table = bench.sheet.line_outputs
    rows = {(cells.get("label", ""), cells.get("socket", "")): bare(cells.get("out", "")) for cells in table}
    bench.report.rows += len(rows)
    wanted = {
        (line.cells.get("source", ""), line.cells.get("socket", "")): bare(line.way.output)
        for line in bench.lines
        if line.from_mixer and not line.linked and line.socket is not None
    }
    for (label, socket), out in wanted.items():
        said = rows.pop((label, socket), None)
        if said is None:
            bench.report.add("two-answers", label, f"no output of the mixer is named for box input {socket}")
        elif said != out:
            bench.report.add("two-answers", label, f"leaves by output {out} on its row, by {said} in the mixer's table")
    for label, socket in rows:
        bench.report.add("two-answers", label, f"in the mixer's table for box input {socket}, and on no row")
