"""Rows from a spreadsheet: read, shown, taken over or refused as a whole; and files out."""

import csv
import io
import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from httpx2 import Response

from portal.exchange.example import example_rig
from portal.exchange.files import document_to_rig
from portal.plan.input.rig import Configuration, Rig
from portal.store import rigs
from portal.store.database.session import Store
from tests.builders import NOW, ABand, a_rig, a_stored_rig
from tests.web.conftest import ORIGIN, Browser
from tests.web.rig_forms import fill, form_of, rows_of, send, summary

ROWS = (
    "Label\tSource\tPlayer\tPhantom\tSplitter\tWay\nKick\tKick drum\t\tno\tSplitter\t1\nTambourine\tOther"
    " percussion\tEve\t\tsplitter\t6\n"
)


def paste(browser: Browser, club_rig: rigs.BandRig, text: str) -> Response:
    return fill(browser, f"/rigs/{club_rig.id}/import", pasted=text)


def upload(browser: Browser, club_rig: rigs.BandRig, content: bytes, name: str = "rows.csv") -> Response:
    page = f"/rigs/{club_rig.id}/import"
    return browser.client.post(
        page, data=form_of(browser.get(page), page), files={"file": (name, content)}, headers={"Origin": ORIGIN}
    )


def confirm(browser: Browser, club_rig: rigs.BandRig, shown: Response, do: str) -> Response:
    action = f"/rigs/{club_rig.id}/import/confirm"
    return send(browser, action, form_of(shown, action), do=do)


def test_pasted_rows_are_shown_first(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """What was read stands in a table, and nothing is saved until it is taken over."""
    shown = paste(signed_in, club_rig, ROWS)
    assert shown.status_code == 200
    assert "2 rows read: take them over?" in shown.text
    assert "Tambourine" in shown.text
    assert re.search(r'class="stop way">.*?<b>6</b>', shown.text, re.DOTALL)
    assert newest_number() == 1


def test_rows_replace(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig], newest_number: Callable[[], int]
) -> None:
    """Replaced rows are one new revision; a row known by label and player keeps its key."""
    assert confirm(signed_in, club_rig, paste(signed_in, club_rig, ROWS), "replace").status_code == 303
    kick, tambourine = newest_rig().source
    assert (kick.key, kick.way, kick.phantom) == ("kick", 1, "no")
    assert (tambourine.splitter, tambourine.way) == ("s", 6)
    assert newest_number() == 2


def test_rows_are_added(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]) -> None:
    """Added rows stand below under keys of their own, and the old rows are as they were."""
    text = "Label,Source,Pair with\nPads L,Keyboard or synthesizer,Pads R\nPads R,Keyboard or synthesizer,Pads L\n"
    assert confirm(signed_in, club_rig, paste(signed_in, club_rig, text), "add").status_code == 303
    sources = newest_rig().source
    assert sources[:4] == a_rig().source
    assert (sources[4].pair_with, sources[5].pair_with) == (sources[5].key, sources[4].key)


def test_added_rows_that_clash_are_told(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """Rows that contradict the rig's rows are refused with every contradiction, and can still be taken in their
    place.
    """
    shown = paste(signed_in, club_rig, ROWS)
    answer = confirm(signed_in, club_rig, shown, "add")
    assert answer.status_code == 422
    said = " ".join(sentence for _, sentence in summary(answer.text))
    assert "use way 1 of Splitter" in said
    assert newest_number() == 1
    assert confirm(signed_in, club_rig, answer, "replace").status_code == 303


def test_equal_labels_of_a_full_table_are_numbered(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]
) -> None:
    """Equal labels refuse no full table; *Lead vocal* is a source there as on the page of pasted rows, and a way is the
    only splitter's.
    """
    text = (
        "Label,Source,Mic or DI,Way\nVocal,Lead vocal,microphone,5\nVocal,Vocal,,6\nKick,Kick drum,,7\nBass 2,Bass"
        " guitar,active DI,8\n"
    )
    assert confirm(signed_in, club_rig, paste(signed_in, club_rig, text), "add").status_code == 303
    added = newest_rig().source[4:]
    assert [(source.label, source.lead, source.splitter) for source in added] == [
        ("Vocal 1", True, "s"),
        ("Vocal 2", False, "s"),
        ("Kick 2", False, "s"),
        ("Bass 2", False, "s"),
    ]
    assert (added[0].capture, added[3].capture) == ("mic", "di-active")


def test_configurations_forget_replaced_rows(signed_in: Browser, store: Store, band: ABand) -> None:
    """A configuration names no row that an import took away."""
    with store.writing() as db:
        club_rig = a_stored_rig(db, band, a_rig(configurations={"quiet": Configuration(("kick", "bass"))}))
    confirm(signed_in, club_rig, paste(signed_in, club_rig, ROWS), "replace")
    with store.reading() as db:
        assert rigs.newest(db, club_rig.id).read().configurations["quiet"].off == ("kick",)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "Label,Source,Phantom\nKick,Kik drum,perhaps\n,Vocal,no\n",
            [
                (
                    "Row 2, Source: expected a kind of source, perhaps &#34;Kick drum&#34;; found the text &#34;Kik"
                    " drum&#34;."
                ),
                "Row 2, Phantom: expected yes or no; found the text &#34;perhaps&#34;.",
                "Row 3, Label: expected what the band calls it; found an empty cell.",
            ],
        ),
        ("Label;Source\n", ["There is no row below the headings."]),
        ("Only a heading:\n", ["No row was found."]),
        ("", ["Paste rows or the text of a list, or choose a file."]),
        ("Label,Source\n" + "x,Tom\n" * 129, ["at most 128 rows; found 129 rows"]),
        ("Label\n" + "Tom\n" * 129, ["at most 128 rows; found 129 rows"]),
    ],
    ids=["cells", "no-rows", "no-row", "nothing", "too-many", "too-many-lines"],
)
def test_faulty_rows_are_refused_whole(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int], text: str, said: list[str]
) -> None:
    """Every fault is told by row and heading with what was expected; the pasted text stays, and nothing is saved."""
    answer = paste(signed_in, club_rig, text)
    assert answer.status_code == 422
    listed = [sentence for _, sentence in summary(answer.text)]
    assert len(listed) == len(said)
    for words, sentence in zip(said, listed, strict=True):
        assert words in sentence
    assert (
        form_of(answer, f"/rigs/{club_rig.id}/import")["pasted"] == [text.rstrip("\n") if text else ""]
        or text.strip() in answer.text
    )
    assert newest_number() == 1


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"\x89PNG\r\n\x1a\n\x00\xff", "Expected text in UTF-8, or a workbook (XLSX); found other bytes."),
        (b"Label\n" + b"x" * 2_000_000, "Expected a file of at most 2 MB; found a larger one."),
        (b'Label,Source\n"never closed', "Expected quoted cells as in RFC 4180"),
    ],
    ids=["image", "large", "quotes"],
)
def test_a_file_of_another_kind_is_refused(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int], content: bytes, said: str
) -> None:
    """A file that is not text, too big or broken gets one clear sentence at its field, and nothing is saved."""
    answer = upload(signed_in, club_rig, content)
    assert answer.status_code == 422
    ((field, sentence),) = summary(answer.text)
    assert field == "file"
    assert said in sentence
    assert newest_number() == 1


def test_a_body_beyond_every_limit_is_refused(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """What is larger than a form may be is refused before it is read."""
    answer = upload(signed_in, club_rig, b"x" * 4_300_000)
    assert answer.status_code == 413
    assert newest_number() == 1


def test_a_spreadsheet_file_is_read(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]) -> None:
    """A file with semicolons in UTF-16, as spreadsheets write it, is read as well."""
    shown = upload(signed_in, club_rig, "Label;Source\nTrömmel;Kick drum\n".encode("utf-16"))
    assert confirm(signed_in, club_rig, shown, "replace").status_code == 303
    assert newest_rig().source[0].label == "Trömmel"


def test_stale_rows_are_not_taken_over(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """Rows that were read before somebody else saved are shown again and not lost."""
    shown = paste(signed_in, club_rig, ROWS)
    fill(signed_in, rows_of(club_rig), row1__note="theirs")
    answer = confirm(signed_in, club_rig, shown, "replace")
    assert answer.status_code == 409
    assert "Tambourine" in answer.text
    assert newest_number() == 2
    assert confirm(signed_in, club_rig, answer, "replace").status_code == 303


@pytest.mark.parametrize("rows", ["", "[", "{}", '[{"label": 5}]', "[" * 100_000])
def test_rows_that_did_not_arrive_whole(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int], rows: str
) -> None:
    """What the page of confirmation carries is checked again, like any file."""
    action = f"/rigs/{club_rig.id}/import/confirm"
    fields = form_of(paste(signed_in, club_rig, ROWS), action) | {"rows": [rows]}
    assert send(signed_in, action, fields, do="replace").status_code == 422
    assert newest_number() == 1


def test_files_hold_the_whole_rig(signed_in: Browser, store: Store, band: ABand) -> None:
    """The JSON file is the rig, the CSV file its rows, and rows that went out come in again as they were."""
    with store.writing() as db:
        full = a_stored_rig(db, band, example_rig())
    whole = signed_in.get(f"/rigs/{full.id}/revisions/1/rig.json")
    assert document_to_rig(whole.json()) == example_rig()
    assert whole.headers["content-disposition"].startswith('attachment; filename="Club-rig-revision-1.json"')
    rows = signed_in.get(f"/rigs/{full.id}/revisions/1/rows.csv")
    assert rows.headers["content-type"] == "text/csv; charset=utf-8"
    table = list(csv.DictReader(io.StringIO(rows.content.decode("utf-8-sig"))))
    assert [row["Label"] for row in table] == [source.label for source in example_rig().source]
    fill(signed_in, rows_of(full), row1__label="Other")
    shown = upload(signed_in, full, rows.content)
    assert confirm(signed_in, full, shown, "replace").status_code == 303
    with store.reading() as db:
        assert rigs.newest(db, full.id).read() == example_rig()


def test_a_files_name_is_safe(signed_in: Browser, store: Store, band: ABand) -> None:
    """Whatever a rig is called, its file's name stays inside the header."""
    with store.writing() as db:
        odd = rigs.add(
            db,
            band_id=band.band_id,
            name='Ö "x"; y\u2019s / rig',
            rig=replace(a_rig(), name="x"),
            author_id=band.user_id,
            now=NOW,
        )
    header = signed_in.get(f"/rigs/{odd.id}/revisions/1/rig.json").headers["content-disposition"]
    assert header.startswith(
        'attachment; filename="x-y-s-rig-revision-1.json";'
        " filename*=UTF-8''%C3%96%20%22x%22%3B%20y%E2%80%99s%20%2F%20rig"
    )


def test_a_line_of_no_end_is_not_read(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """What is longer than any row gets a sentence at its field, also where columns were chosen."""
    for action, more in (("import", {}), ("import/columns", {"columns": "a", "column1": "label"})):
        page = f"/rigs/{club_rig.id}/import"
        form = {**form_of(signed_in.get(page), page), "pasted": "1," * 20_000 + "1", **more}
        answer = signed_in.client.post(f"/rigs/{club_rig.id}/{action}", data=form, headers={"Origin": ORIGIN})
        assert answer.status_code == 422
        assert ("pasted", "Expected lines of at most 10000 characters; found one of 40001.") in summary(answer.text)
