"""The same paper as a browser shows it, where nothing prints it. Gives what ``printed`` gives, cell for cell; a test
holds the two together.
"""

from __future__ import annotations

from html.parser import HTMLParser

from tests.loadin.paper import Paper, Table

SILENT = frozenset({"title", "style", "script", "svg"})
BREAKS = frozenset({"p", "li", "dt", "dd", "h1", "h2", "br", "tr", "th", "td", "div", "section"})


def read_page(html: str) -> Paper:
    """Everything that the page shows."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    sections = {title: " ".join(" ".join(words).split()) for title, words in reader.sections.items()}
    return Paper(
        tuple(reader.tables), sections, "\n".join(line for line in map(_tidy, "".join(reader.text).split("\n")) if line)
    )


def _tidy(text: str) -> str:
    return " ".join(text.split())


class _Reader(HTMLParser):
    """Collects tables and the running text around them."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tables: list[Table] = []
        self.sections: dict[str, list[str]] = {}
        self.text: list[str] = []
        self.title = ""
        self.silent: list[str] = []
        self.foot = False
        self.heading: list[str] | None = None
        self.in_head = False
        self.in_table = False
        self.row: list[str] = []
        self.row_is_under = False
        self.heads: tuple[str, ...] = ()
        self.rows: list[tuple[str, ...]] = []
        self.under: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        classes = (dict(attrs).get("class") or "").split()
        if tag in SILENT:
            self.silent.append(tag)
        if tag == "p":
            self.foot = "foot" in classes
        if tag == "h2":
            self.heading = []
        if tag == "table":
            self.in_table, self.heads, self.rows, self.under = True, (), [], []
        elif tag == "thead":
            self.in_head = True
        elif tag == "tr":
            self.row, self.row_is_under = [], "under" in classes
        elif tag in ("td", "th"):
            self.row.append("")
        self._break(tag)

    def handle_endtag(self, tag: str) -> None:
        if self.silent and tag == self.silent[-1]:
            self.silent.pop()
        if tag == "h2" and self.heading is not None:
            self.title = _tidy("".join(self.heading))
            self.sections.setdefault(self.title, [])
            self.heading = None
        elif tag == "p":
            self.foot = False
        elif tag == "thead":
            self.in_head = False
        elif tag == "tr":
            self._end_row()
        elif tag == "table":
            self.in_table = False
            if self.heads:
                self.tables.append(Table(self.title, self.heads, tuple(self.rows), tuple(self.under)))
        self._break(tag)

    def handle_data(self, data: str) -> None:
        if self.silent or self.foot:
            return
        if self.in_table:
            if self.row:
                self.row[-1] += data
            return
        self.text.append(data)
        if self.heading is not None:
            self.heading.append(data)
        elif self.title:
            self.sections[self.title].append(data)

    def _break(self, tag: str) -> None:
        if tag in BREAKS and self.in_table and self.row:
            self.row[-1] += " "
        elif tag in BREAKS:
            self.text.append("\n")

    def _end_row(self) -> None:
        cells = tuple(map(_tidy, self.row))
        if self.in_head:
            # The last row of a head names the columns.
            self.heads = cells
        elif self.row_is_under:
            self.under[-1] = _tidy(" ".join(cells))
        elif cells:
            self.rows.append(cells)
            self.under.append("")
        self.row = []
