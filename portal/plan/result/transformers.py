"""In which lines a loose isolating transformer lies, and which lines hang on one 48 V switch of the house."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from portal.plan.input.facts import Facts
from portal.plan.model import BESIDE_THE_LOOM, MIXER_OUTPUTS, Line
from portal.plan.phrase import Phrase, Value
from portal.plan.result.socket_banks import BANKS
from portal.plan.result.spelling import leg_of


def has_transformer(line: Line, facts: Facts) -> bool:
    """Whether a loose transformer lies in the leg to the house: as the line says, else as its path asks for one."""
    return line.transformer or _asks_for_one(line, facts)


def behind_a_transformer(line: Line, facts: Facts) -> bool:
    """Whether a transformer, the splitter's or a loose one, parts a line from the house: none passes 48 V."""
    return leg_of(line.path) == "isolated" or has_transformer(line, facts)


def with_transformers(lines: Sequence[Line], facts: Facts) -> tuple[Line, ...]:
    """The lines, those marked in which a transformer lies: every line from the rack where the house requires it; the
    band's own mix; outputs of the band's mixer on a 48 V switch that has to be on, where the band owns enough.
    """
    found = {line.line for line in lines if _asks_for_one(line, facts)}
    exposed = {
        line.line
        for line in lines
        if line.path.kind in MIXER_OUTPUTS and on_a_live_switch(line, lines, facts) and line.line not in found
    }
    if len(found) + len(exposed) <= facts.rig.bits.get("isolating_transformer", 0):
        found |= exposed
    return tuple(replace(line, transformer=line.line in found) for line in lines)


def on_a_live_switch(line: Line, lines: Sequence[Line], facts: Facts) -> bool:
    """Whether the house's 48 V switch of a line feeds a microphone on another one, so that it has to be on."""
    return any(other.phantom == "house" for other in on_one_switch(line, lines, facts))


def on_one_switch(line: Line, lines: Sequence[Line], facts: Facts) -> list[Line]:
    """The lines that share a 48 V switch of the house with a line, itself among them; none where it switches singly."""
    switching = facts.value("phantom-switching")
    bank = bank_of(line, switching)
    if switching in ("per-channel", None) or bank is None:
        return []
    return [other for other in lines if bank_of(other, switching) == bank]


def bank_of(line: Line, switching: object) -> tuple[str, int] | None:
    """The box and the bank in it that a line's 48 V switch belongs to; ``None`` where there is no socket."""
    if line.box_socket is None:
        return None
    size = BANKS.get(str(switching))
    if switching == "all":
        return "", 0
    return line.box, (line.box_socket - 1) // size if size else line.box_socket


def bank_said(line: Line, switching: object) -> Phrase | None:
    """The inputs on a line's 48 V switch of the house; ``None`` where each has its own, and without a socket."""
    size, bank = BANKS.get(str(switching)), bank_of(line, switching)
    if bank is None or (size is None and switching != "all"):
        return None
    if size is None:
        return Phrase("all-box-inputs")
    box, number = bank
    ends: dict[str, Value] = {"first": number * size + 1, "last": (number + 1) * size}
    return Phrase("bank.of-a-box", {"box": box, **ends}) if box else Phrase("bank", ends)


def asks_for_transformer(kind: str, facts: Facts, *, isolated: bool) -> bool:
    """Whether a line that travels so has to have a loose one; ``isolated``: it leaves the splitter through another."""
    if facts.value("isolation") == "required":
        return kind not in BESIDE_THE_LOOM and not isolated
    return kind == "left-right-mix"


def _asks_for_one(line: Line, facts: Facts) -> bool:
    return asks_for_transformer(line.path.kind, facts, isolated=leg_of(line.path) == "isolated")
