"""The virtual load-in: a stage, a patch sheet and a pack list in; what went wrong out."""

from __future__ import annotations

from tests.loadin.bench import Bench
from tests.loadin.cut_list import ask_cuts, take_what_cuts_put_between
from tests.loadin.dead_inputs import ask_dead_inputs
from tests.loadin.ears import ask_audience, ask_ears, feed_outputs, plug_ears
from tests.loadin.faults import Report
from tests.loadin.line_outputs import ask_line_outputs
from tests.loadin.lines import plug_lines
from tests.loadin.packing import Packing
from tests.loadin.paper import Paper
from tests.loadin.phantom import ask_comeback, ask_phantom
from tests.loadin.questions import ask_channels, ask_isolation, ask_partners, ask_presence, ask_rack, ask_returns
from tests.loadin.sheet import Sheet, read_sheet
from tests.loadin.stage import Stage
from tests.loadin.van import Van
from tests.loadin.wording import BLOCKS


def load_in(paper: Paper, packing: Packing, stage: Stage) -> Report:
    """Carry the gig in by what the papers say, and ask whether it came true. A sheet that forbids its own signing is
    not plugged.
    """
    sheet = read_sheet(paper)
    report = Report(blocked=any(cells.get("level") == BLOCKS for cells in sheet.remarks))
    if not report.blocked:
        plug_all(sheet, packing, stage, report)
    return report


def plug_all(sheet: Sheet, packing: Packing, stage: Stage, report: Report) -> Bench:
    """Plug everything, ask everything, and give back the bench as it stands then."""
    bench = Bench(stage, sheet, Van(packing), report)
    for table in sheet.unknown:
        report.add("not-readable", "sheet", f"a table that nobody knows: {table}")
    plug_lines(bench)
    plug_ears(bench)
    feed_outputs(bench)
    ask_channels(bench)
    ask_line_outputs(bench)
    ask_ears(bench)
    ask_audience(bench)
    ask_returns(bench)
    ask_phantom(bench)
    ask_partners(bench)
    take_what_cuts_put_between(bench)
    ask_presence(bench)
    ask_isolation(bench)
    ask_cuts(bench)
    ask_dead_inputs(bench)
    ask_rack(bench)
    ask_comeback(bench)
    bench.van.settle(report)
    bench.van.ask_cables(report)
    return bench
