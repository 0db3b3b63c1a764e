"""Every worked case, the project's own lists in five rooms, and generated gigs of all routes, loaded in by their papers
alone.

Each run prints what was plugged and what went wrong.
"""

from __future__ import annotations

import itertools
from collections import Counter
from dataclasses import dataclass

import pytest

from portal.plan.model import Route
from tests.loadin.faults import KINDS, Fault, Report, words
from tests.loadin.files import compare_files
from tests.loadin.gigs import Gig, data_of, generated, numbered, own, worked
from tests.loadin.judge import load_in
from tests.loadin.packing import read_csv, read_paper
from tests.loadin.page import read_page
from tests.loadin.paper import Paper, squashed
from tests.loadin.printed import read_pdf

GENERATED = 100
PRINTED_OF_WORKED, PRINTED_OF_OWN, PRINTED_OF_GENERATED = 3, 6, 40
"""One in so many is printed, in the soak each of the worked cases; the others are read off the page that a browser
shows. What is printed is held against its page, cell for cell.
"""

ALL = (
    "own-pa house-pa-band-mixes left-right-to-the-house-desk engineer-on-the-bands-mixer dry-split house-split"
    " direct-outs groups mixture"
)


@dataclass(frozen=True)
class Run:
    """One gig that was loaded in; ``page`` where it was printed: its page, to compare."""

    gig: Gig
    paper: Paper
    report: Report
    page: Paper | None


def run(gig: Gig, printer=None) -> Run:
    """Load one gig in, off the PDF where there is a printer."""
    html = gig.html()
    page = read_page(html)
    paper = read_pdf(printer(html)) if printer else page
    return Run(gig, paper, load_in(paper, read_csv(gig.table("pack-list")), gig.stage()), page if printer else None)


@pytest.fixture(scope="module")
def runs(printer):
    """Suite -> its load-ins."""
    return {
        "worked cases": [
            run(gig, None if number % PRINTED_OF_WORKED else printer) for number, gig in enumerate(worked())
        ],
        "own lists": [run(gig, None if number % PRINTED_OF_OWN else printer) for number, gig in enumerate(own())],
        "generated": [
            run(gig, None if number % PRINTED_OF_GENERATED else printer)
            for number, gig in enumerate(generated(GENERATED))
        ],
    }


@pytest.fixture(scope="module")
def faults(runs):
    """(route, kind) -> what went wrong, by gig."""
    found: dict[tuple[str, str], list[tuple[str, Fault]]] = {}
    for one in itertools.chain(*runs.values()):
        for fault in one.report.faults:
            found.setdefault((one.gig.route, fault.kind), []).append((one.gig.name, fault))
    return found


def test_every_route_was_plugged(runs, capsys):
    """Load-ins, rows and faults; no suite and no route without rows, and hardly a sheet that forbids its own
    signing.
    """
    everything = [one for suite in runs.values() for one in suite]
    rows = Counter({one.gig.route: 0 for one in everything})
    rows.update({route: sum(one.report.rows for one in everything if one.gig.route == route) for route in rows})
    with capsys.disabled():
        for name, suite in (*runs.items(), ("all", everything)):
            print(f"\n{name}: {counted(suite)}", end="")  # noqa: T201 - the figure that is asked for
        print("\nrows by route: " + " ".join(f"{route}={count}" for route, count in sorted(rows.items())), end="")  # noqa: T201
    assert set(rows) == set(map(str, Route)) == set(ALL.split())
    assert all(rows.values())
    assert all(sum(one.report.rows for one in suite) for suite in runs.values())
    assert sum(one.report.blocked for one in everything) < len(everything) / 10


def counted(suite: list[Run]) -> str:
    """The figures of some load-ins."""
    printed, blocked = sum(one.page is not None for one in suite), sum(one.report.blocked for one in suite)
    rows, found = sum(one.report.rows for one in suite), sum(len(one.report.faults) for one in suite)
    return f"loadins={len(suite)} rows={rows} faults={found} printed={printed} blocked={blocked}"


@pytest.mark.parametrize(("route", "kind"), list(itertools.product(ALL.split(), KINDS)))
def test_nothing_goes_wrong(faults, route, kind):
    """No gig of the route has a fault of the kind."""
    found = faults.get((route, kind), [])
    assert not found, f"{KINDS[kind]}\n" + "\n".join(f"{name}: {fault.row}: {fault.what}" for name, fault in found[:20])


def test_the_print_shows_what_the_page_shows(runs):
    """Every table of every printed sheet, cell for cell, and what is said of a dead rack: so the page may stand for the
    print.
    """
    printed = [one for suite in runs.values() for one in suite if one.page is not None]
    assert len(printed) > len(runs["worked cases"]) / PRINTED_OF_WORKED
    differ = [one.gig.name for one in printed if shown(one.paper) != shown(one.page)]
    assert differ == []


def shown(paper: Paper) -> list[object]:
    """What a paper shows, without how its lines break."""
    tables = [(table.title, table.heads, table.under, *table.rows) for table in paper.tables]
    return [flat(tables), squashed(paper.sections.get("If the rack dies", ""))]


def flat(part: object) -> object:
    return squashed(part) if isinstance(part, str) else tuple(map(flat, part))


def test_the_files_say_what_the_papers_say(runs):
    """Input list, plan as data and the pack list on its page hold the same facts as what was plugged from."""
    differ = [fault for suite in runs.values() for one in suite[::3] for fault in compare(one.gig, one.paper).faults]
    assert not differ, words(differ)


def compare(gig: Gig, paper: Paper) -> Report:
    """Hold a gig's other files against its sheet."""
    printed = read_paper(read_page(gig.html("pack-list")))
    return compare_files(paper, read_csv(gig.table("pack-list")), printed, gig.table("input-list"), data_of(gig))


def test_the_printed_pack_list_is_the_downloaded_one(runs, printer):
    """Off the PDF the same things come in the same counts as off the CSV."""
    for one in runs["worked cases"][::12]:
        printed = read_paper(read_pdf(printer(one.gig.html("pack-list"))))
        downloaded = read_csv(one.gig.table("pack-list"))
        for name in ("bring", "leave", "places", "house"):
            assert flat(rows_of(printed, name)) == flat(rows_of(downloaded, name)), one.gig.name


def rows_of(packing, name):
    """Rows as their texts; a dash on paper is an empty cell in the file."""
    return [
        tuple(str(value).replace("–", "") if value != "–" else "" for value in vars(row).values())
        for row in getattr(packing, name)
    ]


FAULTY_ONCE = {
    70463: "a transformer was packed for plugs that the cut list does not move",
    80194: "a transformer was packed where the house had lent one in the row above",
    80199: "keys in mono at one row never went into the mix at a later one",
    80604: "a pair named one output, and the pad that the house had lent became the band's",
    80612: "the leg that the player's machine leaves empty was to stay in the in-ears",
    81031: "a second microphone that was out already was to be unplugged",
    82319: "a banjo that needs 48 V took turns on a plug that nobody fed",
    82378: "a spare line left the mixer that it was not plugged into",
    82894: "a microphone past the in-ears came back through a splitter, and no row said so",
    81560: "what came over the link later stayed in the in-ears",
    84224: "a sum takes the output whose line went over the digital link",
    84871: "what came over the link goes into the mix",
    151041: "a source that stood out was in the mix of a later row, and no row said so",
    153794: "a microphone that lay in its case was to be unplugged",
    154178: "a spare line over the link had no input of the band's mixer",
    154793: "a second microphone that stays in the in-ears kept the way that another source took",
    151094: "a sum took the output of a source, and no row said where that one goes",
    153623: "a source came back into an input that an exchange of sockets had taken",
    155100: "a sum took the output of a pair in mono, and no row said where that goes",
    156003: "the house had lent one side of a pair its transformer, and the band packed one for the other",
    170004: "a submixer came out on plugs that no row named",
    172579: "a plug that carries both halves moved, and one of them was thought to stay",
    177829: "sources came back on one line, and no row said on which",
    174552: "a loom that reaches only the second box was thought to stay at home",
    175299: "a source came back on an output, and no row said on whose line",
    175899: "ten plugs moved, and the row named none",
    177014: "sources came back on a pair of outputs, and no row said that their plugs are there",
    177159: "who takes turns came back on one line, and no row said on which",
    178583: "who takes turns came back on the line of a pair that leaves",
    180508: "an output that carries a spare was called main mono and named no cable",
    182388: "a spare was thought to be in the in-ears",
    172032: "a submixer's plugs stayed for the in-ears, and were thought to be pulled",
    176111: "a source came back where another one was in the house's splitter",
    176189: "five sources came back, and the row named neither way nor box input",
    180154: "a source left its submixer for the in-ears, and had no plug",
    182439: "a way that nothing was plugged into at the house took a source",
    184122: "one side of a pair was named twice, and read as the other side's input",
    184260: "a pair came back in mono by a plug that its row moves",
    182309: "the plug of a submixer took another way, and what is in it was thought to stay",
    182479: "a plug went into the way of a jack that its row empties",
    183124: "half of a keyboard in mono was thought to be fed at the other half's plug",
    184519: "a microphone came back to a line on which no side could feed its 48 V",
    172091: "a loom was thought to stay at home where the way to its box is not known",
    2178: "the joined cables of the mix were thought to be among the loose ones",
    150978: "a spare line lived on the 48 V of a mixer input that no table named",
}
"""Numbers of invented gigs, and what was wrong there."""


@pytest.mark.parametrize("number", FAULTY_ONCE)
def test_what_went_wrong_once_comes_true(number):
    """Each gig at which something went wrong is loaded in without a fault."""
    found = numbered(number).load_in().faults
    assert not found, f"{FAULTY_ONCE[number]}: {words(found)}"


SOAKED = 2000


@pytest.mark.soak
def test_two_thousand_gigs_come_true(printer, capsys):
    """Two thousand invented gigs of all routes, one in ten printed, and every worked case, printed."""
    found = [run(gig, printer) for gig in worked()]
    found += [run(gig, None if number % 10 else printer) for number, gig in enumerate(generated(SOAKED, start=10_000))]
    kinds = Counter(fault.kind for one in found for fault in one.report.faults)
    with capsys.disabled():
        print(f"\nsoak: {counted(found)} {dict(kinds.most_common())}")  # noqa: T201 - the figure that is asked for
    assert all(shown(one.paper) == shown(one.page) for one in found if one.page is not None)
    assert not kinds
