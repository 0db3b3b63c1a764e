"""Whatever comes in as a file, by whichever door: what is made to hurt is refused with a sentence, after few steps, and
in little memory.
"""

import contextlib
import gc
import gzip
import os
import pickle
import re
import struct
import zlib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NamedTuple

import pytest
from openpyxl import Workbook

from portal.exchange.band_list.pasted import decoded, read_cells, read_text
from portal.exchange.faults import NotReadable
from portal.exchange.files import document_to_answers, document_to_rig, read_document
from portal.exchange.spreadsheets.csv_rows import RowsNotReadable, has_own_columns, read_sources
from portal.exchange.spreadsheets.workbook import is_workbook, read_workbook
from tests.exchange.test_spreadsheet import a_workbook
from tests.steps import Steps

LARGE = 1_900_000
"""Just below what a file may have."""
CUT = 5_000
"""Signs of all that was read, where the rest was cut off: as harmless as nothing."""
MOST_STEPS = 5 * LARGE
"""So many for each byte that a file may have."""
MOST_MORE_KB = 100_000


def rig(content: bytes) -> object:
    """A rig as TOML or JSON."""
    return document_to_rig(read_document(content))


def answers(content: bytes) -> object:
    """Answers as TOML or JSON."""
    return document_to_answers(read_document(content))


def rows(content: bytes) -> object:
    """The portal's own table as CSV."""
    if not has_own_columns(content) or not (sources := read_sources(content)):
        raise NotReadable([])
    return sources


def anything(content: bytes) -> object:
    """A list of inputs of whatever kind, as the page takes it."""
    read = read_cells(read_workbook(content)) if is_workbook(content) else read_text(decoded(content))
    if not read.rows:
        raise NotReadable([])
    return read


def a_picture() -> bytes:
    """A picture of four million black points."""
    part = b"IHDR" + struct.pack(">IIBBBBB", 2000, 2000, 8, 2, 0, 0, 0)
    points = b"IDAT" + zlib.compress(bytes(2000 * 6001), 9)
    parts = [
        struct.pack(">I", len(one) - 4) + one + struct.pack(">I", zlib.crc32(one)) for one in (part, points, b"IEND")
    ]
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


def laughs() -> bytes:
    """Entities that multiply, as a text."""
    entities = "".join(
        f'<!ENTITY {after} "{f"&{before};" * 10}">' for before, after in zip("abcdefgh", "bcdefghi", strict=True)
    )
    return f'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "ha">{entities}]><x>&i;</x>'.encode()


HEADS = b"Label,Kind,Player\r\n"
OF_ANY_KIND: dict[str, bytes] = {
    "a picture": a_picture(),
    "packed zeros": gzip.compress(bytes(50_000_000), 9),
    "entities that multiply": laughs(),
    "zero bytes": bytes(LARGE),
    "half a surrogate": b'{"schema": 1, "name": "\xed\xa0\x80"}',
    "the old western encoding": 'name = "Sn\u00e4re"'.encode("latin-1"),
    "wide characters without a mark": 'schema = 1\nname = "Snare"'.encode("utf-16-le"),
    "more than a file may have": b"#" * 2_000_001,
    "nothing": b"",
    "only a mark": b"\xef\xbb\xbf",
}
DOCUMENTS: dict[str, bytes] = {
    "deep lists in JSON": b'{"schema": 1, "source": ' + b"[" * 900_000 + b"]" * 900_000 + b"}",
    "deep tables in JSON": b'{"a":' * 300_000 + b"1" + b"}" * 300_000,
    "deep lists in TOML": b"schema = 1\nsource = " + b"[" * 900_000 + b"]" * 900_000,
    "deep tables in TOML": b"a = " + b"{a=" * 400_000 + b"1" + b"}" * 400_000,
    "a long dotted key": b"schema = 1\n" + b"a." * 20_000 + b"a = 1",
    "a long dotted heading": b"[" + b"a." * 20_000 + b"a]\nb = 1",
    "many headings": b"schema = 1\n" + b"".join(b"[t%d]\n" % number for number in range(120_000)),
    "a number of a million digits in JSON": b'{"schema": ' + b"9" * 1_000_000 + b"}",
    "a number of a million digits in TOML": b"schema = " + b"9" * 1_000_000,
    "a number beyond all in JSON": b'{"schema": 1, "loom": [{"key": "l", "length_m": 1e999}]}',
    "a number beyond all in TOML": b'schema = 1\n[[loom]]\nkey = "l"\nlength_m = 1e999',
    "a huge hexadecimal number": b"schema = 0x" + b"f" * 1_000_000,
    "one giant text": b'schema = 1\nname = "' + b"x" * LARGE + b'"',
    "a text that never ends": b'schema = 1\nname = """' + b"x" * LARGE,
    "a hundred thousand keys": b'{"schema": 1' + b"".join(b',"k%d":1' % number for number in range(150_000)) + b"}",
    "a hundred thousand sources": b'{"schema": 1, "source": [' + b",".join([b'{"key":"x"}'] * 150_000) + b"]}",
    "one key twice": b'{"schema": 1, "schema": 1}',
    "no number": b'{"schema": NaN}',
}
TABLES: dict[str, bytes] = {
    "one giant cell": HEADS + b"x" * LARGE + b",drum.kick-drum,\r\n",
    "one giant quoted cell": HEADS + b'"' + b"x\n" * (LARGE // 2) + b'",,\r\n',
    "a quote that never ends": HEADS + b'"' + b"x" * LARGE,
    "nothing but quotes": HEADS + b'"' * LARGE,
    "a million columns": HEADS + b"," * LARGE,
    "a million headings": b"Label,Kind" + b",Label" * 250_000,
    "a million rows": HEADS + b",\r\n" * 600_000,
    "far too many sources": HEADS + b"Kick,drum.kick-drum,\r\n" * 1_500,
}
DOORS: tuple[tuple[str, Callable[[bytes], object], dict[str, bytes]], ...] = (
    ("rig", rig, OF_ANY_KIND | DOCUMENTS),
    ("answers", answers, DOCUMENTS),
    ("rows", rows, {name: content for name, content in TABLES.items() if name != "a million headings"}),
    ("list", anything, OF_ANY_KIND | TABLES),
)


class Tried(NamedTuple):
    """What came of reading something: refused, cut, read, or the name of an error."""

    came: str
    steps: int
    more_kb: int


def peak_kb() -> int:
    return int(re.search(r"VmHWM:\s+([0-9]+) kB", Path("/proc/self/status").read_text())[1])


def tried(read: Callable[[bytes], object], bombs: Mapping[str, bytes]) -> dict[str, Tried]:
    """What came of each, the steps that it took and the memory more that it wanted, in a process of its own; one that
    dies with it says so.
    """
    receiver, sender = os.pipe()
    if (child := os.fork()) == 0:
        with os.fdopen(sender, "wb") as out:
            for name, content in bombs.items():
                pickle.dump((name, one_tried(read, content)), out)
                out.flush()
        os._exit(0)
    os.close(sender)
    found = {}
    with os.fdopen(receiver, "rb") as told, contextlib.suppress(EOFError):
        while True:
            name, result = pickle.load(told)  # noqa: S301 - from our own child
            found[name] = result
    os.waitpid(child, 0)
    return {name: found.get(name, Tried("died", 0, 0)) for name in bombs}


def one_tried(read: Callable[[bytes], object], content: bytes) -> Tried:
    Path("/proc/self/clear_refs").write_text("5")  # the peak begins anew
    before = peak_kb()
    with Steps() as taken:
        try:
            came = "cut" if len(repr(read(content))) < CUT else "read"
        except (NotReadable, RowsNotReadable):
            came = "refused"
        except BaseException as error:  # noqa: BLE001 - whatever it is, it is told
            came = type(error).__name__
    return Tried(came, taken.count, peak_kb() - before)


@pytest.mark.slow
def test_bombs_are_refused_at_every_door() -> None:
    """Deep, huge, endless, wrongly encoded or of another kind: each is refused with a sentence at each door, and none
    costs much.
    """
    gc.freeze()
    results = {(door, name): result for door, read, bombs in DOORS for name, result in tried(read, bombs).items()}
    gc.unfreeze()
    odd = {key: result for key, result in results.items() if result.came not in {"refused", "cut"}}
    cut = sum(result.came == "cut" for result in results.values())
    long = max(results, key=lambda key: results[key].steps)
    large = max(results, key=lambda key: results[key].more_kb)
    worst = (
        f"max_steps={results[long].steps} ({' '.join(long)}) peak_more_mb={results[large].more_kb / 1024:.0f}"
        f" ({' '.join(large)})"
    )
    print(f"\nbombs doors={len(DOORS)} refused={len(results) - len(odd) - cut}/{len(results)} cut_short={cut} {worst}")  # noqa: T201 - shown with -s
    assert odd == {}
    assert results[long].steps < MOST_STEPS
    assert results[large].more_kb < MOST_MORE_KB


def test_the_harness_sees_what_is_read_and_what_dies() -> None:
    """A reader that takes a bomb, one that fails otherwise and one that ends its process are told apart from one that
    refuses.
    """

    def fail(_content: bytes) -> object:
        raise MemoryError

    assert tried(lambda content: content * CUT, {"": b"x"})[""].came == "read"
    assert tried(fail, {"": b""})[""].came == "MemoryError"
    assert tried(lambda _content: os._exit(9), {"": b""})[""].came == "died"
    assert tried(lambda _content: bytearray(60_000_000), {"": b""})[""].more_kb > 40_000


def test_many_sheets_cost_nothing() -> None:
    """A workbook with hundreds of sheets is refused, or only its first one is read."""

    def more(book: Workbook) -> None:
        for number in range(300):
            book.create_sheet(f"Sheet {number}").append(["Not this one"] * 20)

    content = a_workbook(("Kick",), ("Snare",), change=more)
    came, steps, more_kb = tried(anything, {"sheets": content})["sheets"]
    print(f"\nsheets=301 came={came} steps={steps} more_mb={more_kb / 1024:.0f}")  # noqa: T201 - shown with -s
    assert came in {"cut", "refused"}
    assert more_kb < 40_000
    with contextlib.suppress(NotReadable):
        assert [row.label for row in anything(content).rows] == ["Kick", "Snare"]
