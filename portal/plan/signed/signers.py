"""Whose signature a plan asks for."""

from collections.abc import Collection

from portal.plan.model import Plan, Route

BOTH_SIDES = ("band", "house")


def asked_to_sign(plan: Plan) -> tuple[str, ...]:
    """The sides whose signatures a plan asks for: the band's word is enough where it brings the PA."""
    return ("band",) if plan.route == Route.OWN_PA else BOTH_SIDES


def is_agreed(plan: Plan, signed: Collection[str]) -> bool:
    """Whether every side whose signature a plan asks for is among those that ``signed`` it."""
    return set(asked_to_sign(plan)) <= set(signed)
