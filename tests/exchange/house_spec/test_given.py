"""What a house gives: text in any encoding, PDFs of every kind, and what is made to hurt; each fault has its
sentence.
"""

import html
import io
import os
import subprocess
import sys
import zlib
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pytest
from weasyprint import HTML

from portal.exchange.files import MOST_BYTES
from portal.exchange.house_spec.reader import read_spec
from portal.exchange.house_spec.text import pdf_text
from portal.exchange.house_spec.text.given import MOST_PAGES, SpecNotReadable, Unreadable, text_of
from portal.exchange.house_spec.text.pdf_child import MEMORY_BYTES
from tests.exchange.house_spec.corpus import facts_of, score
from tests.exchange.house_spec.corpus import text_of as corpus_text

ROOT = Path(__file__).parents[3]
SENTENCES = [
    ("Stage box with 32 inputs and 8 outputs.", "box-inputs", 32),
    ("Die Bühne ist 8 m breit und 6 m tief.", "stage-size", "8 x 6 m"),
]


def a_pdf(body: str, style: str = "") -> bytes:
    """A PDF as a page printer makes it."""
    made = HTML(
        string=f"<style>@page {{ size: A4; margin: 2cm }} body {{ font: 10pt sans-serif }} {style}</style>{body}"
    ).write_pdf()
    assert made is not None
    return made


def objects(*bodies: bytes, root: int = 1) -> bytes:
    """A PDF from the bodies of its objects, numbered from one, with a table of where they are."""
    out = io.BytesIO()
    out.write(b"%PDF-1.7\n")
    places = []
    for number, body in enumerate(bodies, start=1):
        places.append(out.tell())
        out.write(b"%d 0 obj\n%s\nendobj\n" % (number, body))
    table = out.tell()
    out.write(b"xref\n0 %d\n0000000000 65535 f \n" % (len(bodies) + 1))
    for place in places:
        out.write(b"%010d 00000 n \n" % place)
    out.write(b"trailer << /Size %d /Root %d 0 R >>\nstartxref\n%d\n%%%%EOF\n" % (len(bodies) + 1, root, table))
    return out.getvalue()


def a_stream(content: bytes, more: bytes = b"") -> bytes:
    """A compressed stream."""
    packed = zlib.compress(content, 9)
    return b"<< /Length %d /Filter /FlateDecode %s >>\nstream\n%s\nendstream" % (len(packed), more, packed)


FONT = b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>"
CATALOG = b"<< /Type /Catalog /Pages 2 0 R >>"


def one_page(content: bytes, *more: bytes, resources: bytes = b"") -> bytes:
    """A PDF of one page with a drawing."""
    page = (
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 600 800] /Contents 4 0 R /Resources << /Font << /F 5 0 R >> %s"
        b" >> >>" % resources
    )
    return objects(CATALOG, b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>", page, a_stream(content), FONT, *more)


def pages(number: int, told: int | None = None) -> bytes:
    """A PDF of many pages that all show the same drawing; ``told`` is what it says of their number."""
    kids = b" ".join(b"%d 0 R" % (at + 5) for at in range(number))
    page = (
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 600 800] /Contents 4 0 R /Resources << /Font << /F 3 0 R >> >> >>"
    )
    tree = b"<< /Type /Pages /Kids [%s] /Count %d >>" % (kids, number if told is None else told)
    return objects(
        CATALOG, tree, FONT, a_stream(b"BT /F 12 Tf 50 700 Td (The stage box has 24 inputs.) Tj ET"), *[page] * number
    )


def locked(content: bytes, **passwords: str) -> bytes:
    """The same PDF with a password."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(content)) as pdf:
        pdf.save(out, encryption=pikepdf.Encryption(**{"R": 3, "aes": False, "metadata": False, **passwords}))
    return out.getvalue()


def fault_of(content: bytes) -> Unreadable:
    """Why nothing can be read; the sentence is there as well."""
    with pytest.raises(SpecNotReadable) as caught:
        text_of(content)
    (fault,) = caught.value.faults
    assert fault.say().startswith("expected ")
    assert fault.say().endswith(".")
    return caught.value.why


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_text_file_is_read_in_whatever_letters_it_was_written(encoding: str) -> None:
    """With and without a byte order mark, and as old programs wrote it."""
    assert (
        text_of("Bühne: 8 x 6 m\r\nCapacité: 300 – debout".encode(encoding))
        == "Bühne: 8 x 6 m\r\nCapacité: 300 – debout"
    )


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", Unreadable.EMPTY),
        (b" \r\n\t ", Unreadable.EMPTY),
        (b"PK\x03\x04\x14\x00\x00\x00", Unreadable.NO_TEXT_FILE),
        (b"\x89PNG\r\n\x1a\n\x00\x00", Unreadable.NO_TEXT_FILE),
        (b"\xff\xfeA", Unreadable.NO_TEXT_FILE),
        (b"x" * (MOST_BYTES + 1), Unreadable.TOO_LARGE),
        (b"%PDF-1.7" + b"x" * MOST_BYTES, Unreadable.TOO_LARGE),
        (b"%PDF-1.7\nnothing more", Unreadable.BROKEN),
        (b"%PDF-1.7\n" + b"1 0 obj << /Type" * 5000, Unreadable.BROKEN),
    ],
)
def test_what_is_no_spec_is_refused_with_its_sentence(content: bytes, why: Unreadable) -> None:
    """Empty, pictures, archives, too large, damaged."""
    assert fault_of(content) is why


def test_a_text_of_two_megabytes_is_taken() -> None:
    """The largest file that is allowed gives its proposals and keeps its rest."""
    text = text_of((SENTENCES[0][0] + "\n").encode() * 48_000)
    reading = read_spec(text)
    assert any((one.topic, one.value) == SENTENCES[0][1:] for one in reading.proposals)
    assert reading.not_understood[-1].end == len(text)


@pytest.mark.parametrize(("sentence", "topic", "value"), SENTENCES)
def test_a_printed_sentence_is_read(sentence: str, topic: str, value: object) -> None:
    """A PDF's text gives what the same text gives when pasted."""
    assert any(
        (one.topic, one.value) == (topic, value) for one in read_spec(text_of(a_pdf(f"<p>{sentence}</p>"))).proposals
    )


@pytest.mark.parametrize("name", ["en-theatre-long", "de-kulturhaus-tabelle", "fr-club-liste", "nl-poppodium-lijst"])
def test_a_printed_spec_is_read_like_the_pasted_one(name: str) -> None:
    """In letters of different widths, over several pages with a foot on each, hardly anything is lost and nothing
    becomes wrong.
    """
    text = corpus_text(name)
    parts = "".join(f"<p>{html.escape(part).replace(chr(10), '<br>')}</p>" for part in text.split("\n\n"))
    printed = read_spec(text_of(a_pdf(parts, '@page { @bottom-center { content: "page " counter(page) } }')))
    pasted, read = score(facts_of(name), read_spec(text)), score(facts_of(name), printed)
    assert read.proposed >= pasted.proposed - 2
    assert read.sure_and_wrong == []


def test_a_printed_table_keeps_its_cells() -> None:
    """Labels and values stay together, whatever their widths."""
    rows = {"Wedges": "8", "Monitor mixes": "6", "Stage box": "32 in / 8 out", "Curfew": "23:00", "PA": "Stereo"}
    table = "".join(f"<tr><td>{label}</td><td>{value}</td></tr>" for label, value in rows.items())
    values = {
        one.topic: one.value
        for one in read_spec(text_of(a_pdf(f"<table>{table}</table>", "td { padding: 2mm 12mm }"))).proposals
    }
    expected = {"wedge-count": 8, "wedge-mixes": 6, "box-inputs": 32, "returns": 8, "curfew": "23:00", "pa": "stereo"}
    assert {topic: values.get(topic) for topic in expected} == expected


def test_printed_columns_are_read_one_after_the_other() -> None:
    """A sentence broken in its column is whole again."""
    left = (
        "<p>Stage: 8 x 6 m<br>Height: 1 m<br>Capacity: 300<br>The stage box at the back wall has twenty-four"
        " inputs.</p>"
    )
    right = (
        "<p>Wedges: 8<br>Mixes: 6<br>Curfew: 23:00<br>The desk is a digital one with 48 channels, 18 m from the"
        " stage.</p>"
    )
    body = f"<div style='columns: 2; column-gap: 3cm'>{left}<div style='break-before: column'>{right}</div></div>"
    values = {one.topic: one.value for one in read_spec(text_of(a_pdf(body))).proposals}
    expected = {"box-inputs": 24, "desk-channels": 48, "wedge-count": 8, "stage-size": "8 x 6 m"}
    assert {topic: values.get(topic) for topic in expected} == expected


def test_a_pdf_of_pictures_says_so() -> None:
    """Neither a drawing nor a page number alone is a text."""
    drawing = "<svg width='200' height='200'><rect width='100' height='100'/></svg>"
    assert fault_of(a_pdf(drawing)) is Unreadable.NO_TEXT_LAYER
    assert fault_of(a_pdf(f"<p>1</p>{drawing}")) is Unreadable.NO_TEXT_LAYER


def test_a_password_to_read_is_asked_for_in_a_sentence() -> None:
    """What is locked against reading is refused; what is only locked against change is read."""
    content = a_pdf(f"<p>{SENTENCES[0][0]}</p>")
    assert fault_of(locked(content, user="secret", owner="other")) is Unreadable.LOCKED
    assert fault_of(locked(content, user="secret", owner="other", R=6, aes=True)) is Unreadable.LOCKED
    assert SENTENCES[0][0] in text_of(locked(content, user="", owner="other"))


@pytest.mark.parametrize(("number", "told"), [(10_000, None), (MOST_PAGES + 1, None), (MOST_PAGES + 1, 1), (2, 10_000)])
def test_too_many_pages_are_refused(number: int, told: int | None) -> None:
    """Ten thousand, or one too many, or that the file says so, or says otherwise."""
    assert fault_of(pages(number, told)) is Unreadable.TOO_MANY_PAGES


def test_as_many_pages_as_are_allowed_are_read() -> None:
    """Each with its text."""
    assert text_of(pages(MOST_PAGES)).count("stage box") == MOST_PAGES


TEXT = b"BT /F 12 Tf 50 700 Td (The stage box has 24 inputs and a desk.) Tj ET\n"
FORM = b"/Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources << /XObject << /X 6 0 R >> >>"
NO_PAGES = b"<< /Type /Pages /Kids [] /Count 0 >>"

HOSTILE = {
    "a drawing that inflates a thousandfold": lambda: one_page(b" " * 900_000_000),
    "a text that inflates a thousandfold": lambda: one_page(b"BT /F 9 Tf " + b"(stage) Tj " * 20_000_000 + b"ET"),
    "pages in a circle": lambda: objects(CATALOG, b"<< /Type /Pages /Kids [2 0 R] /Count 1 >>"),
    "a drawing within itself": lambda: one_page(
        b"/X Do " + TEXT, a_stream(b"/X Do ", FORM), resources=b"/XObject << /X 6 0 R >>"
    ),
    "letters a light year apart": lambda: one_page(
        b"BT /F 12 Tf 1 0 0 1 9e15 9e15 Tm (stage box) Tj 1 0 0 1 -9e15 -9e15 Tm (24 inputs) Tj ET"
    ),
    "a row of blanks without end": lambda: one_page(
        b"BT /F 0.0001 Tf 1 0 0 1 0 0 Tm (stage box) Tj 1 0 0 1 1e9 0 Tm (with 24 inputs there) Tj ET"
    ),
    "brackets in brackets": lambda: objects(
        b"<< /Type /Catalog /Pages 2 0 R /Deep %s >>" % (b"[" * 30_000 + b"]" * 30_000), NO_PAGES
    ),
    "a root that is itself": lambda: objects(b"1 0 R"),
    "forty thousand objects": lambda: objects(CATALOG, NO_PAGES, *[b"null"] * 40_000),
}
"""Files made to waste memory, time or the stack, each made when it is used."""


@pytest.mark.parametrize("make", HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_pdf_ends_in_a_text_or_a_sentence(make: Callable[[], bytes]) -> None:
    """It is answered within the limits of its own process, and this process goes on."""
    content = make()
    assert len(content) <= MOST_BYTES
    try:
        assert isinstance(text_of(content), str)
    except SpecNotReadable as fault:
        assert fault.why in {  # noqa: PT017 - either answer is right
            Unreadable.BROKEN,
            Unreadable.TOO_MUCH_WORK,
            Unreadable.NO_TEXT_LAYER,
        }
    assert text_of(b"the next one") == "the next one"


def test_the_reading_process_gets_no_secrets_and_little_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither settings nor anything else of this process's environment but what a loader needs; its address space has a
    limit.
    """
    seen: dict[str, object] = {}
    started = subprocess.run

    def watched(program: list[str], **options: object) -> subprocess.CompletedProcess[bytes]:
        seen.update(options)
        return started(program, **options)

    monkeypatch.setenv("PORTAL_SECRET_KEY", "secret")
    monkeypatch.setattr(pdf_text.subprocess, "run", watched)
    text_of(pages(1))
    assert set(seen["env"]) <= {"LANG", "LC_ALL", "LD_LIBRARY_PATH", "PATH", "PYTHONPATH"}
    looked = started(
        [
            sys.executable,
            "-c",
            (
                "from portal.exchange.house_spec.text.pdf_child import limit; limit(); import resource;"
                " print(resource.getrlimit(resource.RLIMIT_AS))"
            ),
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert looked.stdout.strip() == str((MEMORY_BYTES, MEMORY_BYTES))


def test_this_process_never_loads_the_library() -> None:
    """The parser of PDFs lives in the child alone."""
    code = (
        f"from portal.exchange.house_spec.text.given import text_of; import sys; text_of({pages(1)!r});"
        " print('pypdf' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True, env=dict(os.environ)
    )
    assert done.stdout.strip() == "False"
