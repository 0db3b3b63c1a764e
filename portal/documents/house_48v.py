"""48 V at the house desk, as an instruction that names its side."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace

from portal.documents.cover import Cover
from portal.plan.input.facts import Facts
from portal.plan.model import AT_THE_DESK, PA, Line, Plan
from portal.plan.result.socket_banks import BANKS

ON_AT_THE_DESK = f"{AT_THE_DESK['house']}, house"
"""The side is named: the band's mixer has a column of the same name."""

WITH_THE_BANK = "ON with the bank"
"""On a row that needs no 48 V and bears it: the switch of its bank is on for another row."""


def house_switch(line: Line) -> str:
    """What is done about 48 V at the house desk for a line."""
    return ON_AT_THE_DESK if line.at_the_desk == AT_THE_DESK["house"] else line.at_the_desk


def banks_named(plan: Plan, cover: Cover) -> Plan:
    """The plan, its lines at a box saying so where the house's switch for another one is theirs as well."""
    switching = str(Facts(cover.rig, cover.answers).value("phantom-switching"))
    size = BANKS.get(switching)
    if size is None and switching != "all":
        return plan

    def bank(line: Line) -> Hashable:
        return (line.box, (line.box_socket - 1) // size) if size and line.box_socket else None

    boxed = [line for line in plan.lines if line.box != PA and line.box_socket is not None]
    on = {bank(line) for line in boxed if line.at_the_desk == AT_THE_DESK["house"]}
    borne = {line.line for line in boxed if line.at_the_desk == "–" and bank(line) in on}
    return replace(
        plan,
        lines=tuple(replace(line, desk_phantom=WITH_THE_BANK) if line.line in borne else line for line in plan.lines),
    )
