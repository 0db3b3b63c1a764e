"""HTML -> PDF. The only file that imports WeasyPrint, and only once a paper is made: it needs system libraries."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

from portal.places import STATIC
from portal.wording.catalogue import gettext

ORIGIN = "https://paper.invalid/"
"""Made-up address (RFC 2606) under which a page may ask for its assets; nothing else is answered."""

STYLESHEET = f"{ORIGIN}print.css"

_TYPES = {".css": "text/css", ".woff2": "font/sfnt"}

APT_LINE = (
    "apt-get install --no-install-recommends libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core"
)

LONG_AGO = datetime(2000, 1, 1, tzinfo=UTC)
"""Date of every attachment: the same plan gives the same bytes whenever it is printed."""


class PaperError(Exception):
    """A paper could not be made. The text is a sentence for the person who asked for it."""


class RendererMissing(PaperError):  # noqa: N818 - named for what happened
    """The renderer's system libraries are not there. ``apt_line`` is what an administrator runs once."""

    def __init__(self, apt_line: str = APT_LINE) -> None:
        super().__init__(
            gettext(
                "PDF files need system libraries that are not installed. An administrator runs once: %(command)s",
                command=apt_line,
            )
        )
        self.apt_line = apt_line


class ReachesOut(PaperError):  # noqa: N818 - named for what happened
    """The page asked for something that is not part of the paper: a defect of ours, so nothing is printed."""

    def __init__(self) -> None:
        super().__init__(gettext("This paper asks for something outside itself and was not made."))


@dataclass(frozen=True)
class Attached:
    """A file inside the PDF: the signed plan as JSON text."""

    name: str
    text: str
    description: str


def probe() -> None:
    """Load the renderer. Raises ``RendererMissing`` where its libraries are not installed."""
    try:
        import weasyprint  # noqa: F401
    except (ImportError, OSError) as missing:
        raise RendererMissing from missing


@cache
def _assets() -> dict[str, bytes]:
    """Address -> content of everything that a page may use: the print stylesheet, and the typeface, which the renderer
    would unpack anew for every paper.
    """
    from fontTools.ttLib import woff2

    found = {STYLESHEET: (STATIC / "print.css").read_bytes()}
    for file in sorted((STATIC / "fonts").glob("*.woff2")):
        unpacked = BytesIO()
        with file.open("rb") as packed:
            woff2.decompress(packed, unpacked)
        found[ORIGIN + file.relative_to(STATIC).as_posix()] = unpacked.getvalue()
    return found


class _Whole(str):
    """A text whose only letter is itself."""

    __slots__ = ()

    def __iter__(self) -> Iterator[str]:
        yield str(self)


@cache
def _set_drawn_texts_whole() -> None:
    """Make the renderer (70.0) set each text of a drawing in one piece.

    Left alone it sets letter after letter from left to right: that mirrors what is written from right to left, tears
    marks off their letters, and costs most of the time of a sheet of labels. No drawing of ours places letters singly.
    """
    from weasyprint import svg

    letter_by_letter: Callable[[Any, Any, float], None] = svg.text

    def whole(drawing: Any, node: Any, font_size: float) -> None:  # noqa: ANN401 - the library has no types
        if node.text:
            node._etree_node.text = _Whole(node.text)  # noqa: SLF001 - there is no other way to it
        letter_by_letter(drawing, node, font_size)

    svg.text = whole
    svg.TAGS.update({tag: whole for tag, draw in svg.TAGS.items() if draw is letter_by_letter})


def _finish(document: Any, written: Any) -> None:  # noqa: ANN401 - the library has no types
    """What the renderer (70.0) leaves out and readers that speak need: which header heads what, what is only the foot
    of a page, the title.
    """
    parts: dict[bytes, Any] = {part.reference: part for part in written.objects}
    _say_what_headers_head(parts)
    _set_feet_apart(parts, parts[written.catalog["StructTreeRoot"]])
    if "Metadata" not in written.catalog:
        # Only the archive form has any; a title alone claims no conformance.
        document.metadata.include_in_pdf(written, "a", None, None, compress=True)


def _say_what_headers_head(parts: dict[bytes, Any]) -> None:
    """Give each header cell its scope: without it a corner cell heads nothing."""
    for part in parts.values():
        if isinstance(part, dict) and part.get("S") == "/TH":
            row = parts[part["P"]]
            part["A"]["Scope"] = "/Column" if parts[row["P"]].get("S") == "/THead" else "/Row"


def _set_feet_apart(parts: dict[bytes, Any], root: Any) -> None:  # noqa: ANN401 - the library has no types
    """Mark what no branch of the structure holds, the foot of each page, as an artifact: it is not read out between two
    rows.
    """
    held: set[bytes] = set()
    waiting = list(root["K"])
    while waiting:
        name = waiting.pop()
        if name in parts and name not in held:
            held.add(name)
            waiting += parts[name].get("K", ())
    # Numbers of pages and their lists take turns; each place of a list is a mark in the page's content.
    owners = iter(parts[root["ParentTree"]]["Nums"])
    of_page = dict(zip(owners, owners, strict=True))
    for page in (part for part in parts.values() if isinstance(part, dict) and part.get("Type") == "/Page"):
        marks = of_page[page["StructParents"]]
        content = parts[page["Contents"]].stream
        for place, one in enumerate(content):
            if isinstance(one, dict) and "MCID" in one and marks[one["MCID"]] not in held:
                marks[one.pop("MCID")] = "null"
                one["Type"] = "/Pagination"
                content[place - 1] = "/Artifact"


def pdf(html: str, attached: Attached | None = None) -> bytes:
    """The page as tagged PDF; with an attachment as PDF/A-3a, the signed form.

    The same page gives the same bytes on the same versions of renderer, libraries and typeface. No network and no file
    but the packaged assets is read, whatever the page asks for. Raises ``RendererMissing`` or ``ReachesOut``.
    """
    probe()
    _set_drawn_texts_whole()
    from weasyprint import HTML, Attachment
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

    class AssetsOnly(URLFetcher):  # type: ignore[misc]  # the library has no types
        def fetch(self, url: str, headers: dict[str, str] | None = None) -> object:
            _ = headers
            content = _assets().get(url)
            if content is None:
                raise FatalURLFetchingError("not part of the paper")
            return URLFetcherResponse(url, content, {"Content-Type": _TYPES[Path(url).suffix]})

    document = HTML(string=html, base_url=ORIGIN, url_fetcher=AssetsOnly(), media_type="print")
    try:
        if attached is None:
            return bytes(document.write_pdf(finisher=_finish, pdf_tags=True))
        file = Attachment(
            string=attached.text,
            name=attached.name,
            description=attached.description,
            created=LONG_AGO,
            modified=LONG_AGO,
            relationship="Data",
        )
        return bytes(document.write_pdf(finisher=_finish, pdf_variant="pdf/a-3a", attachments=[file]))
    except FatalURLFetchingError as reached:
        # The library's error passes every "except Exception"; ours does not.
        raise ReachesOut from reached
