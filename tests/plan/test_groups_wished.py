"""An engineer who wants groups gets every source: the kit, the guitars and the keys as sums, and nothing left out."""

from portal.exchange.example import example_rig
from portal.plan.reconcile import reconcile
from tests.plan.test_input_scale import told

DESK = {"who_mixes": "house-engineer", "pa": "stereo", "box_distance": 1000, "inputs_free": 8, "room_capacity": 300}


def lines(wish: str) -> list[str]:
    return [line.label for line in reconcile(example_rig(), told(**DESK, what_they_want=wish)).lines]


def kept_back(wish: str) -> set[str]:
    plan = reconcile(example_rig(), told(**DESK, what_they_want=wish))
    return {one.label for one in plan.not_sent if one.step != "second-microphone" and one.step}


def test_groups_carry_what_single_lines_leave_out() -> None:
    """On eight inputs single lines leave the toms and the overheads to the in-ears; groups carry them as a kit pair."""
    assert {"Rack Tom", "Floor Tom", "OH L", "Hat"} <= kept_back("as-much-split-as-fits")
    assert kept_back("groups") == set()
    assert lines("groups") == [
        *("Kit L (sum)", "Kit R (sum)", "Bass DI", "Guitars (sum)"),
        *("Acoustic Ada", "Keys and tracks (sum)", "BVs (sum)", "Voice Ada"),
    ]


def test_no_in_ear_mix_keeps_an_output_that_carries_a_line() -> None:
    """A mix that goes mono for a group is on the output that it keeps, and the group's strip can be read."""
    plan = reconcile(example_rig(), told(**DESK, what_they_want="groups"))
    carry = {line.path.output for line in plan.lines if line.path.unit == "mixer"}
    assert any(mix.to_mono for mix in plan.ears)
    assert not carry & {out for mix in plan.ears for out in mix.outs}
    assert {line.strip for line in plan.lines} >= {"KEYS TRACKS", "KIT L"}
