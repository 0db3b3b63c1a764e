"""Inputs of the band's mixer found dead, one after the other: each row carried out on top of those above."""

from __future__ import annotations

from tests.loadin.bench import Bench, number_of
from tests.loadin.cut_wording import DEAD, DEAD_48V
from tests.loadin.phantom import BAND, one_switch
from tests.loadin.stage import OWN_PA
from tests.loadin.wording import names_in, switch_of


def ask_dead_inputs(bench: Bench) -> None:
    """Each row makes the place for one more dead input's source."""
    taken = {number: set(signal.legs) for number, signal in bench.at_input.items()}
    if bench.stage.house.mixes == OWN_PA and not bench.sheet.dead and _has_a_free_input(bench):
        bench.report.add("says-no-cut", "dead inputs", "nothing says what gives way when an input of the mixer is dead")
    for number, cells in enumerate(bench.sheet.dead, start=1):
        bench.report.rows += 1
        row, text = f"dead input {cells.get('inputs', '')}", cells.get("text", "")
        if number_of(cells.get("inputs")) != number:
            bench.report.add("not-readable", row, "the rows are not counted from 1")
        _carry_out(text, row, taken, bench)


def _has_a_free_input(bench: Bench) -> bool:
    return bench.stage.mixer_inputs is not None and len(bench.at_input) < bench.stage.mixer_inputs


def _carry_out(text: str, row: str, taken: dict[int, set[str]], bench: Bench) -> None:
    kind = next((kind for kind, pattern in DEAD.items() if pattern.search(text)), "")
    found = DEAD[kind].search(text) if kind else None
    if found is None:
        bench.report.add("not-readable", row, text)
        return
    number, names = int(found[1]), set(names_in(text, bench.stage.names))
    if kind == "moves":
        if number in taken or not 1 <= number <= (bench.stage.mixer_inputs or number):
            bench.report.add("cut-fails", row, f"{text}: mixer input {number} is not free")
    elif not names & taken.get(number, set()):
        bench.report.add("cut-fails", row, f"{text}: it is not at mixer input {number}")
    elif kind == "mono":
        _to_mono(names, int(found[2]), text, row, taken, bench)
    # The source of whichever input dies stands there from now on.
    freed = int(found[2]) if kind == "mono" else number
    taken[freed] = set()
    _ask_48v(text, row, freed, bench)


def _ask_48v(text: str, row: str, number: int, bench: Bench) -> None:
    """The row says what becomes of 48 V where the plug goes; a switch for several inputs follows what else hangs on
    it.
    """
    said = next((kind for kind, one in DEAD_48V.items() if (at := one.search(text)) and int(at[1]) == number), "")
    banks = bench.stage.mixer_banks
    others = [
        cells
        for cells in bench.sheet.ears
        if (other := number_of(cells.get("mixer_input"))) and other != number and one_switch(other, number, banks)
    ]
    on = any(switch_of(cells.get("phantom", "")) == BAND for cells in others)
    harmed = any((one := bench.stage.source(cells.get("source", ""))) and one.harmed for cells in others)
    if said != ("stays on" if on else "stays off" if harmed else "asks the row"):
        bench.report.add("cut-fails", row, f"{text}: and 48 V at mixer input {number}?")


def _to_mono(names: set[str], freed: int, text: str, row: str, taken: dict[int, set[str]], bench: Bench) -> None:
    sources = [source for name in sorted(names) if (source := bench.stage.source(name))]
    if any(one.pickup == "mic" or one.to_mono == "cannot" for one in sources):
        bench.report.add("cut-fails", row, f"{text}: nothing makes one of them")
    if not taken.get(freed, set()) & names:
        bench.report.add("cut-fails", row, f"{text}: mixer input {freed} is none of theirs")
