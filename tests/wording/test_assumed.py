"""What a plan takes for granted, where no question stands beside it."""

from portal.plan.input.facts import Answer, Facts
from portal.plan.input.rig import Rig
from portal.wording.plan.assumed import say_assumed


def test_an_assumed_answer_stands_behind_what_it_answers() -> None:
    """Such as "No need"; what the portal assumes by itself is a sentence and stays one."""
    somebody_s = Facts(Rig(), {"isolation": Answer("answered", "dont-mind", "assumed")})
    said = {one.question: say_assumed(one) for one in somebody_s.assumptions()}
    assert said["isolation"] == "Transformer-isolated lines: No need"
    assert said["pa"] == "a stereo PA"
