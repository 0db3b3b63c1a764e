"""Slips in downloaded papers, one at a time: each has to show as the kind of fault that it is, beyond what the papers
had before.
"""

from __future__ import annotations

import csv
import io
import itertools
from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest

from tests.loadin.faults import Fault
from tests.loadin.files import compare_files
from tests.loadin.gigs import Gig, data_of, in_a_room
from tests.loadin.judge import load_in
from tests.loadin.packing import read_csv, read_paper
from tests.loadin.page import read_page
from tests.loadin.planting import Pages, cell, row_gone, text
from tests.loadin.printed import paper_of
from tests.loadin.stage import Stage
from tests.loadin.words import read_pages


@dataclass(frozen=True)
class Papers:
    """What one gig's people hold in their hands, and the stage that they stand on."""

    pages: Pages
    packing: bytes
    stage: Stage

    def line(self, row: str, field: str, words: str) -> Papers:
        """With another text in one cell of a line to the house."""
        return replace(self, pages=cell(self.pages, "lines", row, field, words))

    def ear(self, row: str, field: str, words: str) -> Papers:
        """With another text in one cell of an input of the band's mixer."""
        return replace(self, pages=cell(self.pages, "ears", row, field, words))

    def output(self, row: str, field: str, words: str) -> Papers:
        """With another text in one cell of the outputs that carry lines."""
        return replace(self, pages=cell(self.pages, "line_outputs", row, field, words))

    def cut(self, row: str, field: str, words: str) -> Papers:
        """With another text in one cell of the cut list."""
        return replace(self, pages=cell(self.pages, "cuts", row, field, words))

    def strike(self, table: str, row: str) -> Papers:
        """Without a row of the sheet."""
        return replace(self, pages=row_gone(self.pages, table, row))

    def reword(self, old: str, new: str) -> Papers:
        """With other running text on the sheet."""
        return replace(self, pages=text(self.pages, old, new))

    def pack(self, what: str, **changes: Callable[[str], str]) -> Papers:
        """With another text in the pack list's rows for a thing, by the column's name with a bar for a blank:
        ``Count``, ``What_to_do``.
        """
        rows = list(csv.DictReader(io.StringIO(self.packing.decode("utf-8-sig"), newline="")))
        mine = [row for row in rows if row["What"].startswith(what)]
        assert mine, self.packing.decode()
        for row, (column, change) in itertools.product(mine, changes.items()):
            row[column.replace("_", " ")] = change(row[column.replace("_", " ")])
        file = io.StringIO()
        writer = csv.DictWriter(file, rows[0], lineterminator="\r\n")
        writer.writeheader()
        writer.writerows(row for row in rows if row["What to do"])
        return replace(self, packing=file.getvalue().encode())

    def unpack(self, what: str) -> Papers:
        """Without the rows of the pack list for a thing."""
        return self.pack(what, What_to_do=lambda _: "")

    def standing(self, name: str, **changes: object) -> Papers:
        """With a source that is not what the band wrote down."""
        sources = tuple(replace(one, **changes) if one.name == name else one for one in self.stage.sources)
        assert sources != self.stage.sources
        return replace(self, stage=replace(self.stage, sources=sources))

    def on_stage(self, **changes: object) -> Papers:
        """With a stage that is not what the band wrote down."""
        return replace(self, stage=replace(self.stage, **changes))

    def in_the_house(self, **changes: object) -> Papers:
        """With a house that is not what it said."""
        return self.on_stage(house=replace(self.stage.house, **changes))

    def faults(self) -> set[Fault]:
        """What goes wrong with them."""
        return set(load_in(paper_of(self.pages), read_csv(self.packing), self.stage).faults)


def fewer(count: str) -> str:
    return str(int(count) - 1)


def more(count: str) -> str:
    return str(int(count) + 2)


BASES = (
    "harbour-wedding, twelve-inputs",
    "gravel-lane, twelve-inputs",
    "three-chairs, twelve-inputs",
    "nine-bells, twelve-inputs",
    "night-bus, twelve-inputs",
    "blue-room-four, twelve-inputs",
    "gravel-lane, left-right-only",
    "gravel-lane, own-pa",
)


@pytest.fixture(scope="module")
def gigs() -> dict[str, Gig]:
    return {base: in_a_room(*base.split(", ")) for base in BASES}


@pytest.fixture(scope="module")
def printed(printer, gigs):
    """Gig -> its papers as printed and downloaded, and what was wrong with them before."""
    papers = {
        name: Papers(read_pages(printer(gig.html())), gig.table("pack-list"), gig.stage()) for name, gig in gigs.items()
    }
    return {name: (one, one.faults()) for name, one in papers.items()}


WEDDING, LANE, CHAIRS, BELLS, BUS, BLUE, LEFT_RIGHT, OWN_PA = BASES
Plant = Callable[[Papers], Papers]

PLANTS: tuple[tuple[str, str, str, Plant], ...] = (
    # what, the kind that has to be reported, whose papers, the slip
    ("a splitter left at home but on the sheet", "stays-home-but-named", BLUE, lambda it: it.pack("Active splitter",
    What_to_do=lambda _: "leave")),
    ("a splitter that nobody packs", "not-packed", BLUE, lambda it: it.unpack("Active splitter")),
    ("a wrong output in the mixer's table", "two-answers", WEDDING,
     lambda it: it.output("Horns (sum)", "out", "14")),
    ("an output that the mixer's table leaves out", "two-answers", WEDDING,
     lambda it: it.strike("line_outputs", "Horns (sum)")),
    ("a loom that nobody packs", "not-packed", WEDDING, lambda it: it.unpack("Long loom")),
    ("one microphone too few", "too-few-packed", LANE, lambda it: it.pack("microphone", Count=fewer)),
    ("two microphones without a use", "packed-in-vain", LANE, lambda it: it.pack("microphone", Count=more)),
    ("a loom that nothing runs through", "packed-in-vain", BELLS, lambda it: it.pack("Drum loom",
    What_to_do=lambda _: "bring")),
    ("pads that nobody packs", "not-packed", LEFT_RIGHT, lambda it: it.unpack("pad, 20 dB")),
    ("both loom ends male", "ends-do-not-mate", WEDDING, lambda it: it.pack("Long loom",
    Connectors=lambda _: "XLR male to XLR male")),
    ("cables with two male ends", "ends-do-not-mate", LANE, lambda it: it.pack("XLR cable",
    Connectors=lambda _: "XLR male to XLR male")),
    ("a tail of the other gender", "two-answers", LANE, lambda it: it.reword("XLR male;", "XLR female;")),
    ("a loom that is too short", "too-short", WEDDING, lambda it: it.in_the_house(distance=24.0)),
    ("two sources on one way of the splitter", "two-on-one", WEDDING, lambda it: it.line("Bass DI", "split_way", "1")),
    ("two lines on one way of the loom", "two-on-one", WEDDING, lambda it: it.reword("way = box input.", "way 1.")),
    ("two tails in one socket of the box", "two-on-one", WEDDING, lambda it: it.line("Bass DI", "socket", "1")),
    ("two tails on one input of the band's mixer", "two-on-one", LANE, lambda it: it.ear("Hat", "mixer_input",
    "3")),
    ("two DIs on a Y", "two-on-one", CHAIRS, lambda it: it.line("Mandolin", "source", "Guitar / Mandolin")),
    ("a way that the splitter does not have", "no-such-place", WEDDING, lambda it: it.line("Bass DI", "split_way",
    "25")),
    ("a socket that is not free for the band", "no-such-place", WEDDING, lambda it: it.line("Bass DI", "socket", "14")),
    ("an output that the splitter does not have", "no-such-place", LANE, lambda it: it.line("Kick In", "note",
    "Split rack, direct Z")),
    ("a mono row with one leg", "one-leg", LANE, lambda it: it.line("OH L", "source", "OH (mono)")),
    ("a sum that a jack cannot make", "mono-not-made", WEDDING, lambda it: it.standing("Keys L", to_mono="cannot")),
    ("a channel that carries less than its row says", "wrong-signal", LEFT_RIGHT, lambda it: it.strike("ears",
    "BV Nils")),
    ("line level into a microphone input", "wrong-level", LEFT_RIGHT, lambda it: it.reword("Pad dB 20;",
    "Pad dB none;")),
    ("a gain that the other side turns", "wrong-gain", LANE, lambda it: it.line("Kick In", "note",
    "gain by the house")),
    ("a DI where a microphone stands", "wrong-pick-up", LANE, lambda it: it.line("Kick In", "pickup", "DI, passive")),
    (
        "an output that is not tapped where the row says", "not-dry", BUS,
        lambda it: it.on_stage(outputs=tuple(replace(one, clean=False) for one in it.stage.outputs)),
    ),
    ("overheads on paths of different latency", "latency-apart", LANE, lambda it: it.line("OH R", "note",
    "direct out, out 11")),
    ("microphone and DI on paths of different latency", "latency-apart", CHAIRS, lambda it: it.line("Fiddle Mic",
    "note", "group, out 6")),
    ("a source that is at no input of the band's mixer", "ears-miss", LANE, lambda it: it.strike("ears", "Hat")),
    ("a source that stands nowhere", "forgotten", LANE, lambda it: it.strike("ears", "Hat").strike("stays", "Hat")),
    ("48 V from nobody", "phantom-from-nobody", LANE, lambda it: it.ear("Hat", "phantom", "–")),
    ("48 V from both sides", "phantom-from-both", LANE, lambda it: it.line("OH L", "phantom", "house")),
    ("48 V on a ribbon", "phantom-harms", LANE, lambda it: it.line("Guitar Cora", "phantom",
    "house OFF, band ON")),
    ("the house's bank of 48 V over a ribbon", "phantom-harms", LANE, lambda it: it.line("OH R", "phantom",
    "house").in_the_house(banks=0)),
    (
        "the band's own bank of 48 V under a receiver", "phantom-harms", WEDDING,
        lambda it: it.line("BV Gusti", "phantom", "house OFF, band ON").on_stage(mixer_banks=8),
    ),
    ("a receiver in a dead rack counted alive", "rack-untrue", LANE, lambda it: it.standing("Lead Vroni",
    in_rack=True)),
    ("lines counted alive that lose their 48 V", "rack-untrue", LANE,
    lambda it: it.reword("Without 48 V, so without sound:", "Alive:")),
    ("48 V on a ribbon once the rack is dead", "phantom-harms", LANE,
     lambda it: it.reword("Desk channels 5–7 stay without sound.",
     "Desk channels 5–7 may come back on the house's own 48 V.")),
    ("a cut row without an output", "says-no-cut", LANE, lambda it: it.cut("11", "text",
    "Guitar Cora and Guitar Vroni on one line")),
    ("a cut row for a source that is not sent", "cut-fails", LANE, lambda it: it.cut("11", "text", "Hat in-ears only")),
    ("a cut row that leaves too many lines", "cut-fails", LANE, lambda it: it.cut("11", "inputs", "9")),
    ("transformers that nobody packs", "not-packed", LEFT_RIGHT,
    lambda it: it.unpack("isolating transformer")),
    ("a box where there is none", "speaks-of-nothing", OWN_PA, lambda it: it.reword("Keep in-ears out.",
    "Plug each line into its box socket.")),
    ("a name that is on no instrument", "not-readable", LANE, lambda it: it.line("Kick In", "source", "Timpani")),
)  # fmt: skip


@pytest.mark.parametrize(("what", "kind", "base", "plant"), PLANTS, ids=[one[0] for one in PLANTS])
def test_a_slip_on_paper_is_found(printed, what, kind, base, plant):
    """The slip is reported as what it is; the papers without it do not have it."""
    papers, before = printed[base]
    found = plant(papers).faults() - before
    assert kind in {fault.kind for fault in found}, f"{what}: found {sorted(found)}"


def test_a_file_that_differs_is_found(gigs):
    """Another channel in the downloaded input list, another count in the plan as data."""
    gig = gigs[WEDDING]
    paper, packing, listed = gig.sheet(), read_csv(gig.table("pack-list")), gig.table("input-list")
    printed_list = read_paper(read_page(gig.html("pack-list")))
    assert compare_files(paper, packing, printed_list, listed, data_of(gig)).faults == []
    other = listed.replace(b'"BASS DI"', b'"BASS"')
    assert other != listed
    assert compare_files(paper, packing, printed_list, other, data_of(gig)).kinds() == {"files-differ"}
    two = read_csv(gig.table("pack-list").replace(b'"Long loom, 20 m","1"', b'"Long loom, 20 m","2"'))
    assert compare_files(paper, two, printed_list, listed, data_of(gig)).kinds() == {"files-differ"}


def test_enough_is_planted():
    """Thirty slips and more, each of a kind that the judge knows."""
    assert len(PLANTS) >= 30
    assert len({what for what, *_ in PLANTS}) == len(PLANTS)
