"""What becomes of a confirmed row: fields that its cells fill, a note that holds only what no field holds, labels of
their own.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.exchange.band_list.pasted import read_text
from portal.exchange.band_list.pasted_rows import Cell, PastedRow
from portal.exchange.band_list.proposing import propose
from portal.exchange.band_list.taking_over import sources_of, wired
from portal.exchange.band_list.telling_apart import told_apart
from portal.plan.coherence import faults
from portal.plan.input.rig import MAX_LABEL, Rig, Source, Splitter
from tests.exchange.own_lists import accepted, made_of


def made(label: str, *cells: tuple[str, str]) -> list[Source]:
    """The sources of one row with these cells beside its label."""
    numbers = iter(range(100))
    rows = accepted(propose([PastedRow("", label, tuple(Cell(*cell) for cell in cells))]))
    return [source for _, source in sources_of(rows, lambda: f"k{next(numbers)}")]


@pytest.mark.parametrize(
    ("cells", "note"),
    [
        ([("capture", "dynamic"), ("stand", "short")], ""),
        ([("capture", "mic or DI")], "mic or DI"),
        ([("capture", "the black one")], "the black one"),
        ([("stand", "from the hall")], "from the hall"),
        ([("phantom", "yes")], ""),
        ([("phantom", "ask me")], "ask me"),
        ([("note", "short stand")], ""),
        ([("note", "short stand, please")], "short stand, please"),
        ([("note", "no DI")], "no DI"),
        ([("place", "SL")], "stage left"),
        ([("", "condenser on a tall boom")], ""),
        ([("", "stage right"), ("note", "needs a chair")], "stage right; needs a chair"),
        ([("player", "Bo"), ("quantity", "1"), ("other", "A7"), ("owner", "house")], ""),
        ([("way", "seven")], "seven"),
        ([("", "-")], ""),
    ],
)
def test_the_note_holds_what_no_field_holds(cells: list[tuple[str, str]], note: str) -> None:
    """Words that were read into a field are not copied; others stay as they are written."""
    assert [source.note for source in made("Cello", *cells)] == [note]


def test_cells_fill_their_fields() -> None:
    """Player, splitter, way, mixer input, stand, 48 V and owner."""
    cells = {
        "player": "Bo",
        "splitter": "Rack",
        "way": "3",
        "mixer_input": "9",
        "stand": "low",
        "phantom": "ja",
        "capture": "mic",
        "owner": "Haus",
    }
    (cello,) = made("Cello", *cells.items())
    assert (cello.player, cello.splitter, cello.way, cello.mixer_input) == ("Bo", "Rack", 3, 9)
    assert (cello.stand, cello.phantom, cello.capture, cello.owner.mic) == ("short", "yes", "mic", "house")


@pytest.mark.parametrize(
    ("said", "phantom"),
    [
        ("no", "no"),
        ("-", ""),
        ("", ""),
        ("x", "yes"),
        ("?", ""),
        ("+48V", "yes"),
        ("no 48 V", "no"),
        ("48 V, please", "yes"),
    ],
)
def test_only_a_plain_answer_speaks_of_48_v(said: str, phantom: str) -> None:
    """A stroke under 48 V says nothing, so it stays by kind; an active DI is not told that it needs none."""
    assert [source.phantom for source in made("Bass", ("capture", "active DI"), ("phantom", said))] == [phantom]


def test_ways_follow_the_rows() -> None:
    """Two numbers are those of a pair; one number is that of the first row alone; what is no number stays in the
    note.
    """
    assert [source.way for source in made("Keys L/R", ("way", "7-8"))] == [7, 8]
    assert [(source.way, source.splitter) for source in made("3 toms", ("way", "5"), ("splitter", "A"))] == [
        (5, "A"),
        (None, ""),
        (None, ""),
    ]
    assert [(source.way, source.note) for source in made("Cello", ("way", "999"))] == [(None, "999")]


def test_a_way_finds_its_splitter() -> None:
    """By its key, by its name, by being the only one; else the way is a note."""
    one = Rig(splitter=(Splitter(key="s", name="Rack split", ways=8),))
    two = Rig(splitter=(*one.splitter, Splitter(key="t", name="Drums", ways=8)))
    assert wired(Source(way=3), one) == Source(way=3, splitter="s")
    assert wired(Source(way=3, splitter="rack SPLIT"), two) == Source(way=3, splitter="s")
    assert wired(Source(way=3), two) == Source(note="splitter way 3")
    assert wired(Source(way=3, splitter="stage"), two) == Source(note="splitter stage way 3")
    assert wired(Source(), Rig()) == Source()


QUANTITIES = (
    "3 vocal mics",
    "3x vocal mic",
    "3 x vocal mic",
    "vocal mic x3",
    "vocal mic ×3",
    "vocal mics (3)",
    "vocal mic (x3)",
    "three vocal mics",
    "vocal mics 1-3",
    "vocal mic | 3\nbass | 1\ncello | 3",
    "3 | vocal mic\n1 | bass\n3 | cello",
    "vocal mic: 3\nbass: 1\ncello: 3",
    "Item;Qty\nvocal mic;3\nbass;1",
)


@pytest.mark.parametrize("text", QUANTITIES)
def test_every_way_of_writing_a_quantity_gives_the_same_rows(text: str) -> None:
    """So many rows, numbered by themselves, the label as one of them."""
    found = [
        source.label
        for proposal, source in made_of(read_text(text))
        if source.what == "voice.vocals" and proposal.settled
    ]
    assert found == ["vocal mic 1", "vocal mic 2", "vocal mic 3"]


LABELS = st.sampled_from(["Vocal", "vocal ", "Vocal 1", "Vocal 2", "Kick", "x" * MAX_LABEL, "9", "Vocal 1 (1)"])
ROWS = st.lists(st.tuples(LABELS, st.sampled_from(["", "Bo", "bo "]), st.booleans()), max_size=12)


def rig_of(rows: list[tuple[str, str, bool]], prefix: str = "k") -> list[Source]:
    """Sources with these labels and players; a marked one is left and right of one pair."""
    found: list[Source] = []
    for place, (label, player, pair) in enumerate(rows):
        source = Source(key=f"{prefix}{place}", label=label, player=player)
        legs = [
            Source(key=f"{prefix}{place}{leg[0]}", label=label, player=player, position=leg)
            for leg in ("left", "right")
        ]
        left, right = legs
        found += (
            [Source(**{**vars(left), "pair_with": right.key}), Source(**{**vars(right), "pair_with": left.key})]
            if pair
            else [source]
        )
    return found


@given(ROWS, ROWS)
def test_no_two_rows_are_called_alike(rows: list[tuple[str, str, bool]], beside: list[tuple[str, str, bool]]) -> None:
    """Whatever the labels are, the rig has no fault of labels, halves of a pair share theirs, and numbering again
    changes nothing.
    """
    theirs = told_apart(rig_of(beside, "t"))
    mine = told_apart(rig_of(rows), theirs)
    assert [fault.sentence for fault in faults(Rig(source=(*theirs, *mine))) if fault.field == "label"] == []
    by_key = {source.key: source for source in mine}
    assert all(source.label == by_key[source.pair_with].label for source in mine if source.pair_with)
    assert told_apart(mine, theirs) == mine
    assert all(len(source.label) <= MAX_LABEL for source in mine)


def test_labels_that_tell_already_stay() -> None:
    """One label of two players, and labels that differ, are left alone; numbers go on from those that are there."""
    rows = [
        Source(key="a", label="BV", player="Bo"),
        Source(key="b", label="BV", player="Ina"),
        Source(key="c", label="Kick"),
    ]
    assert told_apart(rows) == tuple(rows)
    assert [source.label for source in told_apart([Source(key="d", label="Kick")], rows)] == ["Kick 2"]
    assert [
        source.label for source in told_apart([Source(key="d", label="Tom (low)"), Source(key="e", label="Tom (low)")])
    ] == [
        "Tom 1 (low)",
        "Tom 2 (low)",
    ]


@pytest.mark.parametrize(
    ("capture", "plug"),
    [("modeller, line, XLR out", "xlr"), ("line, XLR", "xlr"), ("line", ""), ("line, jack", ""), ("mic on XLR", "")],
)
def test_a_line_output_on_xlr_keeps_its_connector(capture: str, plug: str) -> None:
    """A modeller with XLR outputs needs another cable than a jack; of a microphone XLR says nothing."""
    (guitar,) = made("Guitar", ("capture", capture))
    assert guitar.line_plug == plug
