"""Lists of inputs as bands write them, each with the reading that a person would settle, and what the reader makes of
them.

A file of ``data/lists`` has three parts: what it shows and whether who sings lead has to be asked; the list as it is
pasted; the rows expected of each line that makes any (``> `` and the line, below it ``label | kind | facets``). A
question mark for the kind or among the facets: nothing in the list settles it, so it has to be asked. A line that is
not named makes no row.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from portal.exchange.band_list.pasted import read_text
from portal.exchange.band_list.pasted_rows import Pasted
from portal.exchange.band_list.proposing import Proposal, propose
from portal.exchange.band_list.taking_over import Confirmed, sources_of
from portal.exchange.band_list.telling_apart import told_apart
from portal.plan.input.kinds import KINDS
from portal.plan.input.rig import Source

FOLDER = Path(__file__).parent / "data" / "lists"
PART = "\n====\n"
RIGHT, MARKED, WRONG = "right", "to check", "sure and wrong"
WORDS = {kind.words: kind.what for kind in KINDS.values()}
POSITIONS = frozenset(
    ["in", "out", "top", "bottom", "over", "under", "left", "right", "front", "rear", "rack", "floor"]
)
CAPTURES = frozenset(["mic", "di", "di-passive", "di-active", "line", "wireless"])


@dataclass(frozen=True)
class Line:
    """One line of a list as it is written, and the rows expected of it; none where it is no input."""

    number: int
    text: str
    rows: tuple[dict[str, str], ...]


@dataclass(frozen=True)
class OwnList:
    """One list."""

    name: str
    shows: str
    lead: str
    text: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Judged:
    """One expected row, or one that should not be there, with what was made and the verdict."""

    line: Line
    expected: dict[str, str] | None
    made: dict[str, str] | None
    verdict: str


@cache
def own_lists() -> tuple[OwnList, ...]:
    """Every list."""
    return tuple(_list(path) for path in sorted(FOLDER.glob("*.txt")))


def _list(path: Path) -> OwnList:
    head, text, told = path.read_text(encoding="utf-8").removesuffix("\n").split(PART)
    said = dict(line.split(": ", 1) for line in head.splitlines())
    written = text.split("\n")
    found: dict[int, list[dict[str, str]]] = {}
    number = 0
    for line in filter(None, told.split("\n")):
        if line.startswith("> "):
            number = next(
                at for at in range(number + 1, len(written) + 1) if written[at - 1].strip() == line[2:].strip()
            )
            found[number] = []
        else:
            found[number].append(_row(line))
    lines = tuple(Line(at, line, tuple(found.get(at, ()))) for at, line in enumerate(written, start=1) if line.strip())
    return OwnList(path.stem, said["shows"], said["lead"], text, lines)


def _row(line: str) -> dict[str, str]:
    label, kind, facets = (*line.split(" | "), "")[:3]
    row = {"label": label, "what": WORDS.get(kind, "?")}
    assert row["what"] != "?" or kind == "?", line
    for facet in filter(None, facets.split("; ")):
        row |= _facet(facet)
    return row


def _facet(facet: str) -> dict[str, str]:
    if facet in POSITIONS:
        return {"position": facet}
    if facet in CAPTURES:
        return {"capture": facet}
    plain = {
        "lead": {"lead": "yes"},
        "optional": {"optional": "yes"},
        "48 V": {"phantom": "yes"},
        "no 48 V": {"phantom": "no"},
        "pair": {"pair": ""},
    }
    if facet in (*plain, "?", "house"):
        return plain.get(facet, {facet: "yes"})
    name, value = re.fullmatch(r"(second of|pair|player|stand|note|way|splitter) (.+)", facet).groups()
    return {name: value}


def accepted(proposals: tuple[Proposal, ...]) -> list[Confirmed]:
    """The proposals taken as they stand; where something is asked, the first answer that makes a row."""
    return [
        Confirmed(
            one,
            one.reading.what or next(filter(None, one.reading.alternatives), "x-other"),
            one.label or "-",
            one.reading.rows or 1,
            pair=one.reading.pair and bool(one.reading.rows),
            half=one.partner is not None,
            parts=bool(one.reading.parts and one.reading.rows),
            leads=frozenset(range(1, 17)) if one.reading.role == "lead" else frozenset(),
        )
        for one in proposals
        if not one.reading.spare
    ]


def made_of(read: Pasted) -> list[tuple[Proposal, Source]]:
    """The sources of what was read, each with its proposal."""
    rows = accepted(propose(read.rows))
    numbers = iter(range(10_000))
    made = sources_of(rows, lambda: f"k{next(numbers)}")
    return list(zip([rows[at].proposal for at, _ in made], told_apart([source for _, source in made]), strict=True))


def as_row(source: Source, by_key: dict[str, Source]) -> dict[str, str]:
    """A source in the words of the lists."""
    second, pair = by_key.get(source.second_of), by_key.get(source.pair_with)
    row = {
        "label": source.label,
        "what": source.what,
        "position": source.position,
        "capture": source.capture,
        "lead": "yes" if source.lead else "",
        "optional": "yes" if source.optional else "",
        "phantom": source.phantom,
        "stand": source.stand,
        "player": source.player,
        "note": source.note,
        "way": str(source.way or ""),
        "splitter": source.splitter,
        "second of": second.label if second else "",
        "house": "yes" if source.owner.mic == "house" else "",
    }
    row = {name: value for name, value in row.items() if value}
    if pair:
        row["pair"] = pair.label if pair.label != source.label else ""
    return row


def judged(one: OwnList) -> list[Judged]:
    """Every expected row and every line that is no input, with its verdict; a row that is lost or too many is wrong."""
    made = made_of(read_text(one.text))
    by_key = {source.key: source for _, source in made}
    found: dict[int, list[tuple[bool, dict[str, str]]]] = {}
    for proposal, source in made:
        found.setdefault(proposal.row.line, []).append((proposal.settled, as_row(source, by_key)))
    return [verdict for line in one.lines for verdict in _judged(line, found.get(line.number, []))]


def _judged(line: Line, made: list[tuple[bool, dict[str, str]]]) -> list[Judged]:
    if len(made) == len(line.rows):
        pairs = zip(line.rows, made, strict=True)
        return [
            Judged(line, expected, row, MARKED if not sure else RIGHT if agrees(expected, row) else WRONG)
            for expected, (sure, row) in pairs
        ]
    verdict = WRONG if all(sure for sure, _ in made) else MARKED
    return [Judged(line, row, made[0][1] if made else None, verdict) for row in line.rows] or [
        Judged(line, None, row, WRONG if sure else MARKED) for sure, row in made
    ]


def agrees(expected: dict[str, str], made: dict[str, str]) -> bool:
    """True where the row is as expected. A player who is not named leaves that field open, which is not wrong."""
    return made == expected or made == {name: value for name, value in expected.items() if name != "player"}


def counts(lists: tuple[OwnList, ...]) -> Counter[str]:
    """How many rows are proposed right, marked to check, sure and wrong."""
    return Counter(one.verdict for each in lists for one in judged(each))
