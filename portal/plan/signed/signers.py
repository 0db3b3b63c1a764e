"""Whose signature a plan asks for."""

from portal.plan.model import Plan, Route

BOTH_SIDES = ("band", "house")


def asked_to_sign(plan: Plan) -> tuple[str, ...]:
    """The sides whose signatures a plan asks for: the band's word is enough where it brings the PA."""
    return ("band",) if plan.route == Route.OWN_PA else BOTH_SIDES
