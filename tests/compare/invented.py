"""The invented year with its rigs, and the table that was worked out by hand."""

from __future__ import annotations

import tomllib
from pathlib import Path

from portal.compare.changes import FLOOR, RACK, Changes, changed
from portal.compare.grid import TODAY, Candidate, Comparison
from portal.compare.year import read_year
from portal.exchange.files import read_rig

DATA = Path(__file__).parent / "data"

CHANGES = {
    "floor-16": Changes(splitter=FLOOR, ways=16),
    "rack-16": Changes(splitter=RACK, ways=16),
    "floor-12": Changes(splitter=FLOOR, ways=12),
    "outs-8": Changes(unprocessed=8),
}

RIG = read_rig(DATA / "rig.toml")
YEAR = read_year(DATA / "year.toml")
BY_HAND = tomllib.loads((DATA / "expected.toml").read_text("utf-8"))


def invented() -> Comparison:
    """Today's rig and the four others over the invented year."""
    others = (Candidate(name, changed(RIG, one)) for name, one in CHANGES.items())
    return Comparison(YEAR, (Candidate(TODAY, RIG), *others))
