"""Rows come out of columns, numbered lists and prose; whatever is no row is shown."""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from portal.exchange.band_list.pasted import decoded, read_text
from portal.exchange.band_list.pasted_rows import Cell, Pasted, PastedRow
from portal.exchange.band_list.proposing import propose
from portal.exchange.band_list.taking_over import sources_of
from portal.exchange.faults import NotReadable
from portal.plan.coherence import faults
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT, Rig
from tests.exchange.own_lists import accepted

Short = list[tuple[str, str]]


def short(read: Pasted) -> Short:
    """Numbers and labels of the rows."""
    return [(row.number, row.label) for row in read.rows]


LISTS: dict[str, tuple[str, Short]] = {
    "dots": ("1. Kick\n2. Snare\n10. OH L", [("1", "Kick"), ("2", "Snare"), ("10", "OH L")]),
    "brackets": ("1) Kick\n2) Snare", [("1", "Kick"), ("2", "Snare")]),
    "channel": (
        "ch 1: kick\nCh. 2 - snare\nChannel 3 = hat\n#4 Tom",
        [("1", "kick"), ("2", "snare"), ("3", "hat"), ("4", "Tom")],
    ),
    "blanks": ("1 Kick\n2 Snare\n3 3 toms\n", [("1", "Kick"), ("2", "Snare"), ("3", "3 toms")]),
    "quantities": ("kick\n3 toms\n2 overheads", [("", "kick"), ("", "3 toms"), ("", "2 overheads")]),
    "ranges": (
        "8. Click\n9 + 10 Keys\n11-13 BVs\n14/15: Tracks",
        [("8", "Click"), ("9 + 10", "Keys"), ("11-13", "BVs"), ("14 + 15", "Tracks")],
    ),
    "bullets": ("- kick\n* snare\n• a thing nobody knows", [("", "kick"), ("", "snare"), ("", "a thing nobody knows")]),
    "prose": ("Drums: kick, snare, hi-hat and 3 toms", [("", "kick"), ("", "snare"), ("", "hi-hat"), ("", "3 toms")]),
    "colon": ("Keys: stereo XLR out", [("", "Keys: stereo XLR out")]),
    "tabs": ("1\tKick\tdynamic\n2\tSnare\tdynamic", [("1", "Kick"), ("2", "Snare")]),
    "semicolons": ("Nr;Quelle;Mikro\n1;Bassdrum;dyn\n2;Gesang;dyn", [("1", "Bassdrum"), ("2", "Gesang")]),
    "commas": ("Channel,Instrument,Notes\n1,Kick,\n2,Snare,", [("1", "Kick"), ("2", "Snare")]),
    "strokes": ("| # | Source |\n|---|---|\n| 1 | Kick |\n| 2 | Snare |", [("1", "Kick"), ("2", "Snare")]),
    "no-headings": ("dynamic\tKick\t1\ndynamic\tSnare\t2", [("1", "Kick"), ("2", "Snare")]),
    "free": ("1\tKick\n2\t\n3\tSnare", [("1", "Kick"), ("2", "-"), ("3", "Snare")]),
    "inches": ('1\tTom 12"\n2\tTom 14"\n', [("1", 'Tom 12"'), ("2", 'Tom 14"')]),
    "unknown-below": ("kick\nzorbl thing\nsnare", [("", "kick"), ("", "zorbl thing"), ("", "snare")]),
}


@pytest.mark.parametrize("name", LISTS)
def test_lists_are_read(name: str) -> None:
    """Every way of writing a list gives its rows, the labels as written."""
    text, rows = LISTS[name]
    assert short(read_text(text)) == rows


def test_what_is_no_row_is_shown() -> None:
    """Headings are passed over only where they surely are headings; sentences are handed back as not read."""
    prose = "We would be most grateful for two strong people who help us to carry everything."
    read = read_text(f"INPUT LIST 2026\n\nDrums:\n1. Kick\n2. Snare\n\n{prose}\nThe Invented Four")
    assert short(read) == [("1", "Kick"), ("2", "Snare")]
    assert read.headings == ("INPUT LIST 2026", "Drums:")
    assert read.aside == (prose, "The Invented Four")


def test_a_player_called_as_a_thing_makes_no_source() -> None:
    """A singer called Kit is no drum kit, wherever the rest of a label names a source; a real kit stays one."""
    rows = read_text(
        "Ch\tName\tPlayer\tMic\n1\tAcoustic Kit\tKit\tDI\n2\tGtr Kit\tKit\t\n3\tVox Kit\t\tmic\n"
        "4\tDrum Kit OH\tBo\tmic\n5\tAcoustic gtr\tJuno\tDI\n6\tKit\tBo\t\n"
    ).rows
    read = [one.reading for one in propose(rows)]
    assert [one.what for one in read if one.what] == [
        "pluck.guitar.acoustic", "voice.vocals", "drum.group.set", "pluck.guitar.acoustic",
    ]  # fmt: skip
    assert "drum.group.set" not in read[1].alternatives
    assert "drum.group.set" in read[5].alternatives
    assert read[2].player == "Kit"


def test_names_in_brackets_are_players_where_there_are_several() -> None:
    """A word alone in brackets behind a source is its player; a single one may be anything."""
    read = propose(read_text("Kick (Bo)\nBass DI (Gus)\nE-gtr (Finn) dynamic\nPiano (Stereo)\nKeys (Mono)").rows)
    assert [one.reading.player for one in read] == ["Bo", "Gus", "Finn", "", ""]
    assert propose(read_text("Kick (Bo)\nBass DI").rows)[0].reading.player == ""


@pytest.mark.parametrize("form", ["{0}. {1}", "{1}"])
def test_a_line_parts_at_its_dashes(form: str) -> None:
    """What stands between dashes is who plays and how it is picked up; a dash of the name parts nothing."""
    lines = ("Kick - Bo - mic on small boom", "Bass - Juno - DI", "Keys - L - R")
    read = propose(read_text("\n".join(form.format(n, line) for n, line in enumerate(lines, 1))).rows)
    assert [(one.label, one.reading.player, one.reading.capture, one.reading.stand) for one in read[:2]] == [
        ("Kick", "Bo", "mic", "short"),
        ("Bass", "Juno", "di", ""),
    ]
    assert read[2].label == "Keys - L - R"


@pytest.mark.parametrize("said", ["headset mic 48V", "radio mic, 48 V", "wireless 48V"])
def test_a_receiver_with_48_v_is_asked_about(said: str) -> None:
    """No receiver takes 48 V: such a row is never taken over as one without a question."""
    (row,) = propose(read_text(f"Ch\tName\tMic\n1\tBV Bo\t{said}\n").rows)
    assert not row.settled
    assert (row.reading.capture, row.reading.phantom) == ("mic", "yes")
    assert "a wireless receiver never needs" in row.reading.doubts[0]


@pytest.mark.parametrize("cell", ["wireless bodypack", "wireless bodypack, clip-on condenser", "bodypack; clip mic"])
def test_a_receiver_with_a_line_output_is_wireless(cell: str) -> None:
    """Which microphone its transmitter has, and how its receiver is plugged, make it nothing else."""
    (one,) = propose(read_text(f"Instrument\tMic/DI\tNotes\nTrombone\t{cell}\treceiver in the rack, line out").rows)
    assert one.reading.capture == "wireless"


def test_other_columns_stay_with_their_row() -> None:
    """What stands in other columns is kept, and a yes under a heading about 48 V speaks of 48 V."""
    (row,) = read_text("Ch\tSource\tMic\t48V\tNotes\n7\tOH L\tcondenser\tx\tover the hat\n").rows
    assert row.rest == (Cell("capture", "condenser"), Cell("phantom", "x"), Cell("note", "over the hat"))
    assert propose([row])[0].reading.phantom == "yes"


@pytest.mark.parametrize(
    ("cell", "phantom"), [("no", "no"), ("-", ""), ("YES", "yes"), ("?", ""), ("tbc", ""), ("if active", ""), ("", "")]
)
def test_only_a_plain_no_says_no_48_v(cell: str, phantom: str) -> None:
    """Under a heading about 48 V a stroke, a question mark or a remark is no answer: it stays with its row, and 48 V
    stays open.
    """
    (row,) = read_text(f"Ch\tSource\tMic\t48V\n1\tBass\tDI\t{cell}\n").rows
    assert propose([row])[0].reading.phantom == phantom
    assert (Cell("phantom", cell) in row.rest) is (cell != "")


PIECES = [
    "1.",
    "2 ",
    "3) ",
    "ch 4: ",
    "9 + 10 ",
    "11-13 ",
    "Kick",
    "zorbl",
    "toms",
    "\t",
    ";",
    "|",
    ",",
    "\n",
    "\n\n",
    "- ",
    "• ",
    ": ",
    " and ",
    " ",
    '"',
    "'",
    "=",
    "(",
]


@settings(max_examples=500)
@given(st.lists(st.sampled_from(PIECES), max_size=40).map("".join))
@example("1.Kick\n1.\tch 4: ")
def test_no_word_is_lost(text: str) -> None:
    """Whatever is pasted: every word stands in a row, in a heading or in what was not read, as often as it was
    written.
    """
    read = read_text(text)
    kept = "\n".join(
        [*read.headings, *read.aside, *(" ".join([row.label, *(cell.text for cell in row.rest)]) for row in read.rows)]
    )
    for word in ("Kick", "zorbl", "toms"):
        assert kept.count(word) == text.count(word)


@given(st.text(max_size=400))
@example("⓵")
@example("3² toms")
def test_any_text_is_read(text: str) -> None:
    """No text fails in another way than by a sentence."""
    propose(read_text(text).rows)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"\x89PNG\r\n\x1a\n\xff\xfe", "text in UTF-8"),
        (b"Kick\n\x80", "text in UTF-8"),
        (b"Kick\0Snare", "bytes that are no text"),
        (b"x" * 2_000_001, "2 MB"),
    ],
)
def test_what_is_no_text_is_refused(content: bytes, said: str) -> None:
    """An image, another encoding or too large a file is told in one sentence."""
    with pytest.raises(NotReadable, match=said):
        decoded(content)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("\n".join(f"{number}. Tom" for number in range(1, 130)), "at most 128 rows"),
        ("\n" * 10_000, "at most 2000 lines"),
        ("1\tKick\n2" + "\t" * 60 + "x", "at most 40 columns"),
    ],
)
def test_too_much_is_refused(text: str, said: str) -> None:
    """More rows, lines or columns than a list of inputs has are refused with the limit."""
    with pytest.raises(NotReadable, match=said):
        read_text(text)


def made(*labels: str) -> Rig:
    """The rig of these labels, confirmed as they are proposed."""
    numbers = iter(range(1000))
    rows = accepted(propose([PastedRow("", label) for label in labels]))
    return Rig(source=tuple(source for _, source in sources_of(rows, lambda: f"k{next(numbers)}")))


def test_confirmed_rows_become_sources() -> None:
    """Pairs are two legs that name each other, quantities are as many rows, second microphones name their first;
    nothing contradicts itself.
    """
    rig = made("Kick In", "Kick Out", "3 toms", "OH", "Keys L", "Keys R", "Lead Vox", "Bass DI", "Bass mic")
    labels = [(source.label, source.position) for source in rig.source]
    assert labels[:7] == [
        ("Kick In", "in"),
        ("Kick Out", "out"),
        ("tom 1", ""),
        ("tom 2", ""),
        ("tom 3", ""),
        ("OH", "left"),
        ("OH", "right"),
    ]
    by = {(source.label, source.position): source for source in rig.source}
    assert by["Kick Out", "out"].second_of == by["Kick In", "in"].key
    assert by["OH", "left"].pair_with == by["OH", "right"].key
    assert by["Keys L", "left"].pair_with == by["Keys R", "right"].key
    assert by["Bass mic", ""].second_of == by["Bass DI", ""].key
    assert by["Lead Vox", ""].lead
    assert not faults(rig)


def test_a_long_label_keeps_its_words() -> None:
    """A label that is longer than a label can be is cut, and stands in the note as far as it fits."""
    label = "Acoustic guitar of the second player who sits at the side of the stage"
    (source,) = made(label).source
    assert len(source.label) <= MAX_LABEL
    assert source.note == label
    assert len(made(label * 4).source[0].note) <= MAX_TEXT
