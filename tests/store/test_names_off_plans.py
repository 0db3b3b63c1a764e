"""Names go off whatever a plan says, phrases too, and no key goes with them."""

import json
from dataclasses import replace

from portal.plan import Plan, reconcile
from portal.plan.input.line_up import LineUp, nameless
from portal.plan.input.rig import Source
from portal.plan.phrase import Choice, Listed, Numbers, Phrase
from portal.plan.signed.serialization import canonical, to_json
from portal.store.plans import read_outcome
from portal.store.record.names_off_plans import without_names
from portal.wording.plan.saying import say
from tests.plan.case_files import planned_cases


def test_a_name_goes_off_every_phrase_and_no_key_with_it() -> None:
    """A guest plays what is called as a key is: the label goes and the key stays, wherever the two stand."""
    guest = Source(key="ab", label="stand", player="Cleo", note="thing")
    night = LineUp(guests=(guest,))
    case = planned_cases()[0]
    plan = reconcile(case.rig, case.answers)
    assert isinstance(plan, Plan)
    told = Phrase("player-makes-mono", {"labels": Listed(("stand", "Kick")), "how": Phrase("the-player")})
    item = replace(plan.bring[0], what=Phrase("stand", {"stand": Choice("stand", "short")}), why="Cleo brings it")
    moved = Phrase("heard", {"named": Phrase("take-turns", {"labels": Listed(("Cleo", "Eli"))})})
    named = replace(
        plan,
        asks=(replace(plan.asks[0], said=told),),
        bring=(item,),
        ear_inputs=(replace(plan.ear_inputs[0], heard=moved),),
        rack_dies=replace(plan.rack_dies, said=Phrase("rack-alive", {"channels": Numbers((1, 2))})),
    )
    bare = without_names(canonical(to_json(named)).decode(), night, nameless(night))
    left = read_outcome(bare)
    assert isinstance(left, Plan)
    assert say(left.asks[0].said) == "Guest row 1 and Kick: the player"
    assert (say(left.bring[0].what), say(left.bring[0].why)) == ("stand, short", "Guest 1 brings it")
    assert say(left.ear_inputs[0].heard) == "A/B switch: Guest 1 and Eli take turns on one plug"
    assert say(left.rack_dies.said) == "Alive: desk channels 1-2."
    assert "Cleo" not in json.dumps(json.loads(bare))
