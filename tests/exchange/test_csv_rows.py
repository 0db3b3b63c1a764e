"""Sources as rows of a spreadsheet."""

import csv
import io
import unicodedata
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.exchange.keys import Key, keys_of
from portal.exchange.spreadsheets.csv_rows import RowFault, RowsNotReadable, read_sources, write_sources
from portal.exchange.spreadsheets.source_columns import COLUMNS, HEADINGS, guarded, plain_heading, unguarded
from portal.plan.input.kinds import KINDS
from portal.plan.input.rig import Owner, Source


def keys():
    """Keys that a test can know beforehand."""
    numbers = iter(range(1, 1000))
    return lambda: f"s-{next(numbers)}"


def read(text: str) -> tuple[Source, ...]:
    return read_sources(text.encode(), keys())


def faults_of(content: str | bytes) -> tuple[RowFault, ...]:
    with pytest.raises(RowsNotReadable) as caught:
        read_sources(content.encode() if isinstance(content, str) else content, keys())
    return caught.value.faults


SHEET = """\
Label,Player,Source,Mic or DI,Phantom,Stand,Mixer Input,Splitter,Way,Pair with,Second of,Note
Kick In,Sam,kick drum,mic,no,short,1,rack-a,1,,,
Kick Out,Sam,drum.kick-drum,Mic,-,Short,2,rack-a,2,,kick in,"half open, on a stand"
Keys L,Kim,KEYBOARD OR SYNTHESIZER,DI,,none,3,,,Keys R,,
Keys R,Kim,Keyboard or synthesizer,di,,,4,,,keys l,,
Vocal,Jo,vocal,wireless,+48V,,5,,,,,"says ""one"" two"
"""

SOURCES = (
    Source(
        key="s-1",
        label="Kick In",
        player="Sam",
        what="drum.kick-drum",
        capture="mic",
        phantom="no",
        stand="short",
        mixer_input=1,
        splitter="rack-a",
        way=1,
    ),
    Source(
        key="s-2",
        label="Kick Out",
        player="Sam",
        what="drum.kick-drum",
        capture="mic",
        phantom="no",
        stand="short",
        mixer_input=2,
        splitter="rack-a",
        way=2,
        second_of="s-1",
        note="half open, on a stand",
    ),
    Source(
        key="s-3",
        label="Keys L",
        player="Kim",
        what="synth.generic",
        capture="di",
        stand="none",
        mixer_input=3,
        pair_with="s-4",
    ),
    Source(key="s-4", label="Keys R", player="Kim", what="synth.generic", capture="di", mixer_input=4, pair_with="s-3"),
    Source(
        key="s-5",
        label="Vocal",
        player="Jo",
        what="voice.vocals",
        capture="wireless",
        phantom="yes",
        mixer_input=5,
        note='says "one" two',
    ),
)


def test_a_sheet_becomes_sources():
    """Headings, kinds and choices are taken in any case; other rows are named by their label; keys are made where there
    are none.
    """
    assert read(SHEET) == SOURCES


def with_delimiter(delimiter: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter).writerows(csv.reader(io.StringIO(SHEET)))
    return out.getvalue()


@pytest.mark.parametrize(
    "content",
    [
        with_delimiter(";").encode(),
        with_delimiter("\t").encode(),
        SHEET.encode("utf-8-sig"),
        with_delimiter("\t").encode("utf-16"),
        SHEET.replace("\n", "\r\n").encode(),
        SHEET.replace("\n", "\r").encode(),
        SHEET.replace("\n", "\n,,,\n\n").encode(),
        SHEET.replace("Label", ' "LABEL" ').replace("Mixer Input", "mixer_input").replace("Note", "Comments").encode(),
        ",".join([*SHEET.splitlines()[0].split(","), ""]).encode() + b"\n" + "\n".join(SHEET.splitlines()[1:]).encode(),
    ],
    ids=["semicolon", "tab", "utf-8 mark", "utf-16", "crlf", "cr", "blank rows", "headings", "empty heading"],
)
def test_the_same_sheet_in_other_clothes(content: bytes):
    """Delimiter, encoding, line ends, blank rows and spelling of the headings make no difference."""
    assert read_sources(content, keys()) == SOURCES


def test_every_fault_has_its_row_and_column():
    """All faults of all cells come at once, each with row, heading, what was expected and what came; nothing is taken
    over.
    """
    sheet = (
        "Label,Source,Mic or DI,Phantom,Mixer input,Way,Max dBu,Pair with,Must,Right of centre m,Stand\n"
        "Kick,kik drum,mike,maybe,twelve,0,-10,Snare,perhaps,1.5,shrt\n"
        ",drum.snare-drum,mic,yes,1,1.5,99,Kick,yes,,\n"
        f"{'a' * 41},,,,,,,Kik,,,,stray\n"
        "Kick,,,,,,,Kick,,,\n"
    )
    assert faults_of(sheet) == (
        RowFault(2, "Source", 'a kind of source, perhaps "Kick drum"', 'the text "kik drum"'),
        RowFault(
            2, "Mic or DI", "one of: mic, di, di-passive, di-active, line, wireless (or empty)", 'the text "mike"'
        ),
        RowFault(2, "Phantom", "yes or no", 'the text "maybe"'),
        RowFault(2, "Mixer input", "a whole number from 1 to 256", 'the text "twelve"'),
        RowFault(2, "Pair with", "the label of another row", 'the text "Snare"'),
        RowFault(2, "Must", "yes or no", 'the text "perhaps"'),
        RowFault(
            2, "Stand", 'one of: none, short, tall, clip, straight (or empty); perhaps "short"', 'the text "shrt"'
        ),
        RowFault(2, "Way", "a whole number from 1 to 128", "the number 0"),
        RowFault(2, "From the front m", "a number from -100 to 100", "nothing"),
        RowFault(3, "Way", "a whole number from 1 to 128", 'the text "1.5"'),
        RowFault(3, "Pair with", "a label that only one other row has, or a key", 'the text "Kick"'),
        RowFault(3, "Label", "what the band calls it", "an empty cell"),
        RowFault(3, "Max dBu", "a number from -80 to 30", "the number 99.0"),
        RowFault(4, "", "a heading above every cell", 'the text "stray" without one'),
        RowFault(4, "Pair with", 'the label of another row, perhaps "Kick"', 'the text "Kik"'),
        RowFault(4, "Label", "text of at most 40 characters", f'the text "{"a" * 39}…" and more'),
    )


@pytest.mark.parametrize(
    ("header", "fault"),
    [
        ("", RowFault(1, "", 'a header row with the heading "Label"', "none")),
        ("Source", RowFault(1, "", 'a header row with the heading "Label"', "none")),
        ("Label,Fantom", RowFault(1, "", 'a known heading, perhaps "Phantom"', 'the text "Fantom"')),
        ("Label,Zzz", RowFault(1, "", "a known heading, such as Label, Player, Source, Position", 'the text "Zzz"')),
        ("Label,48V,Phantom", RowFault(1, "Phantom", "one column of this heading", "two")),
        ("Label" + ",x" * 100, RowFault(1, "", "at most 100 columns", "101 columns")),
    ],
)
def test_a_header_row_is_required(header: str, fault: RowFault):
    """The first row names the columns: each known, each once, and the label among them."""
    assert faults_of(header + "\n") == (fault,)


@pytest.mark.parametrize(
    ("words", "goes"),
    [
        ("house and in-ears", "both"),
        ("house and ears", "both"),
        ("in-ears only", "ears-only"),
        ("ears only", "ears-only"),
        ("ears-only", "ears-only"),
    ],
)
def test_todays_and_earlier_words_are_read(words: str, goes: str) -> None:
    found = read_sources(f"Label,What,Goes\r\nHat,Hi-hat,{words}\r\n".encode())
    assert [source.goes for source in found] == [goes]


@pytest.mark.parametrize("words", ["Audience microphone for the in-ears", "Audience microphone for the ears"])
def test_todays_and_earlier_words_of_a_kind_are_read(words: str) -> None:
    assert [source.what for source in read(f"Label,What\nRoom,{words}\n")] == ["x-audience"]


def test_keys_in_the_file_are_kept():
    """A key column keeps the keys; an empty cell gets a new one, and the same key twice is a fault."""
    assert [source.key for source in read("Key,Label\nmine,Kick\n,Snare\n")] == ["mine", "s-1"]
    assert [(fault.row, fault.column) for fault in faults_of("Key,Label\nmine,Kick\nmine,Snare\n")] == [
        (2, "Key"),
        (3, "Key"),
    ]


def test_halves_of_a_pair_may_share_their_label():
    """A label means the other row of that label; with three of them only a key can tell."""
    left, right = read("Label,Position,Pair with\nOverhead,L,Overhead\nOverhead,r,overhead\n")
    assert (left.pair_with, right.pair_with) == ("s-2", "s-1")
    assert (left.position, right.position) == ("left", "right")
    assert len(faults_of("Label,Pair with\nOverhead,Overhead\nOverhead,\nOverhead,\n")) == 1


def test_several_rows_are_named_with_strokes():
    """A cell may name several rows, parted by upright strokes."""
    guitar = read("Label,Never with\nGuitar,Banjo | Mandolin\nBanjo,\nMandolin,\n")[0]
    assert guitar.never_with == ("s-2", "s-3")


# --- limits


def test_limits():
    """128 rows and 2 MB are read; one more is refused, and so are endless rows, columns and cells."""
    assert len(read("Label\n" + "Kick\n" * 128)) == 128
    assert faults_of("Label\n" + "Kick\n" * 129) == (RowFault(None, "", "at most 128 rows", "129 rows"),)
    assert faults_of(b"Label\n" + b"a" * 2_000_000) == (RowFault(None, "", "a file of at most 2 MB", "a larger one"),)
    assert faults_of("Label" + "\n" * 1_900_000) == (
        RowFault(None, "", "at most 2000 rows, empty ones counted", "more"),
    )
    assert faults_of("," * 1_900_000) == (RowFault(1, "", "at most 100 columns", "1900001 columns"),)
    assert faults_of("Label\nKick" + ",x" * 900_000) == (
        RowFault(2, "", "a heading above every cell", 'the text "x" without one'),
    )
    assert faults_of('Label\n"' + "a" * 200_000 + '"\n')[0].expected == "quoted cells as in RFC 4180"


@pytest.mark.parametrize("content", [b"\xff\xfea", b"Label\n\xff", b'Label\n"Kick', b'Label\n"Kick"x'])
def test_what_is_no_csv_is_refused(content: bytes):
    """Other bytes, and quotes that never end, are a fault of the file."""
    assert [fault.row for fault in faults_of(content)] == [None]


@pytest.mark.parametrize("cell", ["a\0b", '"a\nb"', "a\u202eb"])
def test_characters_that_cannot_be_printed_are_refused(cell: str):
    """A cell holds one line of visible text."""
    assert faults_of(f"Label\n{cell}\n") == (
        RowFault(2, "Label", "text without control characters", "control characters"),
    )


@given(st.binary(max_size=80) | st.text("Label,;\t\"\n\r='Pair with1", max_size=60).map(str.encode))
def test_no_bytes_bring_the_reader_down(content: bytes):
    """Whatever a file holds, it is read or refused with faults."""
    try:
        read_sources(content)
    except RowsNotReadable as error:
        told = error.faults
        assert told


# --- the guard against formulas

FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\0")

HOSTILE = [
    '=HYPERLINK("http://example.invalid","x")',
    "=1+1",
    "+1",
    "-1+2",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\n=1",
    "\0=1",
    "'=1",
    "''",
    "'",
    "  =1",
    "+48V",
    "-10 dBV",
    "+4 dBu",
    "-",
    "@FOH",
    "=",
    "'quoted'",
    "=cmd|' /C calc'!A0",
    '"=1"',
    "1;=1",
]
"""Formulas, and the trade's own values that begin like one."""


@pytest.mark.parametrize("text", HOSTILE)
def test_a_guard_is_taken_away_again(text: str):
    """A guarded text begins with no formula, and reading gives the text back."""
    assert not guarded(text).lstrip(" ").startswith(FORMULA)
    assert unguarded(guarded(text)) == text


@given(st.text(st.sampled_from("=+-@'\t \" a1;,"), max_size=6))
def test_guarding_loses_nothing(text: str):
    """Guard and its undoing are exact for any text, guarded or not."""
    assert unguarded(guarded(text)) == text
    assert not any(part.lstrip(" ").startswith(FORMULA) for part in guarded(text).split(";"))


def live_cells(content: bytes, delimiter: str) -> list[str]:
    """Cells that a spreadsheet with this delimiter would take for a formula, line ends before it left aside; numbers
    are none.
    """
    rows = csv.reader(io.StringIO(content.decode("utf-8-sig")), delimiter=delimiter)
    return [
        cell
        for row in rows
        for cell in row
        if cell.lstrip(" \r\n")[:1] in FORMULA and cell.strip() and not is_number(cell)
    ]


def is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


def test_no_cell_of_an_export_is_live():
    """The trade's own values stay what they are, and no cell of an export is a formula."""
    printable = [text for text in HOSTILE if text.isprintable() and text == text.strip()]
    sources = tuple(
        Source(key=f"s-{place}", label=text[:40], note=text, player=text[:40], max_dbu=-10.0)
        for place, text in enumerate(printable)
    )
    content = write_sources(sources)
    assert live_cells(content, ",") == live_cells(content, ";") == []
    assert '"-10.0"' in content.decode("utf-8-sig")
    assert read_sources(content) == sources


def test_a_live_cell_would_be_seen():
    """The check above finds a formula that is only quoted."""
    assert live_cells(b'"Label"\n"=1+1"\n', ",") == ["=1+1"]


# --- there and back


def test_every_key_of_a_source_has_a_column():
    """The columns hold a source's every key, and no two headings mean different columns."""
    outer = [column.name.partition(".")[0] for column in COLUMNS]
    assert set(outer) == set(keys_of(Source))
    assert [column.name for column in COLUMNS if column.name.startswith("owner.")] == [
        f"owner.{name}" for name in keys_of(Owner)
    ]
    assert len({column.heading for column in COLUMNS}) == len(COLUMNS)
    assert all(HEADINGS[name] is column for column in COLUMNS for name in [plain_heading(column.heading)])
    assert len({kind.words.casefold() for kind in KINDS.values()}) == len(KINDS)


VISIBLE = st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp", "Cf")) | st.sampled_from(
    "=+-@'|\",; "
)


def texts(longest: int, shortest: int = 0) -> st.SearchStrategy[str]:
    tidy = st.text(VISIBLE, max_size=longest).map(lambda text: unicodedata.normalize("NFC", text).strip())
    return tidy.filter(lambda text: shortest <= len(text) <= longest)


def values(key: Key) -> st.SearchStrategy:
    numbers = st.floats(key.lo, key.hi)
    if key.is_pair:
        made = st.tuples(numbers, numbers)
    elif key.name == "what":
        made = st.sampled_from(sorted(KINDS))
    elif key.table:
        made = st.builds(key.table, **{name: values(inner) for name, inner in keys_of(key.table).items()})
    elif key.base is str:
        made = st.sampled_from(key.one_of) if key.one_of else texts(key.longest)
    elif key.base is bool:
        made = st.booleans()
    else:
        made = st.integers(int(key.lo), int(key.hi)) if key.base is int else numbers
    return st.none() | made if key.optional else made


REFERENCES = ("pair_with", "second_of", "one_microphone_with", "never_with")
PLAIN = {name: values(key) for name, key in keys_of(Source).items() if name not in (*REFERENCES, "key", "label")}


@st.composite
def source_lists(draw) -> tuple[Source, ...]:
    """Rows whose labels may be equal, may look like keys or formulas, and which name each other."""
    names = draw(
        st.lists(
            texts(8, 1) | st.sampled_from(["Kick", "kick", "=1", "a|b", "s-1"]), min_size=1, max_size=4, unique=True
        )
    )
    sources = [
        draw(st.builds(Source, key=st.just(name), label=st.sampled_from(names) | texts(40, 1), **PLAIN))
        for name in names
    ]
    one_of = st.sampled_from(["", *names])
    return tuple(
        replace(
            source,
            pair_with=draw(one_of),
            second_of=draw(one_of),
            one_microphone_with=draw(one_of),
            never_with=tuple(draw(st.lists(st.sampled_from(names), max_size=3))),
        )
        for source in sources
    )


@given(source_lists())
def test_sources_survive_a_spreadsheet(sources: tuple[Source, ...]):
    """What is exported reads back as the very same sources, every key of them."""
    assert read_sources(write_sources(sources)) == sources


@given(source_lists())
def test_no_export_is_live(sources: tuple[Source, ...]):
    """Whatever the band calls its sources, no cell of the export is a formula."""
    content = write_sources(sources)
    assert live_cells(content, ",") == live_cells(content, ";") == []
