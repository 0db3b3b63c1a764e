"""``python -m portal compare YEAR RIG...``: files in, the answer out. No server, no database."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

from portal.compare.cell import NO_PLAN as WITHOUT_PLAN
from portal.compare.grid import MOST_CANDIDATES, TODAY, Candidate, Comparison, has_mixer
from portal.compare.solve_all import compare
from portal.compare.text import compare_csv, compare_json, compare_text
from portal.compare.year import Year, read_year
from portal.exchange.faults import Fault, NotReadable, came
from portal.exchange.files import read_rig
from portal.plan.input.rig import Rig
from portal.wording.catalogue import look_up

T = TypeVar("T")

COMPARED, NO_PLAN, UNREADABLE = 0, 1, 2
"""What the program returns to the shell; ``NO_PLAN`` where a gig has no plan with any of the rigs."""


def run_compare(year: Path, rigs: Sequence[Path], *, as_json: bool = False, as_csv: bool = False) -> int:
    """Compare and print: 0; 1 where some gig has no plan with any rig; 2 for files that cannot be read or compared."""
    faults: list[tuple[str, Fault]] = []
    given_year = _read(year, read_year, faults)
    given = [(path, _read(path, read_rig, faults)) for path in rigs]
    faults += _unfit(given_year, str(year), given)
    found = [(path, rig) for path, rig in given if rig is not None]
    if faults or given_year is None:
        if as_json:
            told = [{"file": file, "path": one.path, "said": one.say()} for file, one in faults]
            sys.stdout.write(json.dumps({"status": "unreadable", "faults": told}, ensure_ascii=False, indent=2) + "\n")
        else:
            sys.stderr.write("".join(f"{file}: {one.say()}\n" for file, one in faults))
        return UNREADABLE
    names = _names([path for path, _ in found])
    candidates = [Candidate(name, rig) for name, (_, rig) in zip(names, found, strict=True)]
    done = compare(Comparison(given_year, tuple(candidates)))
    if as_csv:
        sys.stdout.buffer.write(compare_csv(done.grid))
    elif as_json:
        sys.stdout.write(json.dumps(compare_json(done.grid, done.helps), ensure_ascii=False, indent=2) + "\n")
    else:
        sys.stdout.write(compare_text(done.grid, done.helps) + "\n")
    by_gig = zip(*(row.cells for row in done.grid.rows), strict=True)
    return NO_PLAN if any(all(cell.loss == WITHOUT_PLAN for cell in cells) for cells in by_gig) else COMPARED


NO_MIXER = "the rig has no mixer. Enter its inputs and outputs first: without them nothing can be compared."


def _unfit(year: Year | None, year_file: str, given: Sequence[tuple[Path, Rig | None]]) -> list[tuple[str, Fault]]:
    """Why these files cannot be compared with each other."""
    found: list[tuple[str, Fault]] = []
    if len(given) > MOST_CANDIDATES:
        said = f"{len(given)} rigs are too many: today's and up to {MOST_CANDIDATES - 1} others can be compared."
        found.append((str(given[MOST_CANDIDATES][0]), Fault("", said=said)))
    first = given[0][1]
    for path, rig in given:
        if rig is None:
            continue
        if not has_mixer(rig):
            found.append((str(path), Fault("mixer", said=NO_MIXER)))
        if rig is not first and rig == first:
            said = "the rig is the same as the first. Change something in it, or leave it out."
            found.append((str(path), Fault("", said=said)))
        for number, room in enumerate(year.rooms if year else ()):
            if room.configuration and room.configuration not in rig.configurations:
                expected = f"a configuration of {path.name}"
                found.append((year_file, Fault(f"room[{number}].configuration", expected, came(room.configuration))))
    return found


def _names(paths: Sequence[Path]) -> list[str]:
    """The first is today's rig, the others are called by their files."""
    names = [look_up(TODAY)]
    for path in paths[1:]:
        name = path.stem if path.stem not in names else f"{path.stem} {len(names) + 1}"
        names.append(name)
    return names


def _read(path: Path, read: Callable[[Path], T], faults: list[tuple[str, Fault]]) -> T | None:
    try:
        return read(path)
    except NotReadable as error:
        faults.extend((str(path), fault) for fault in error.faults)
        return None
