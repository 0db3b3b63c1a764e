"""What a rig says of singers who may share a microphone, and what of it contradicts itself."""

from __future__ import annotations

import pytest

from portal.plan.coherence import faults
from portal.plan.input.line_up import without_dangling
from portal.plan.input.rig import Rig, Source
from tests.plan.hand_cases import one


def voice(number: int, **more: object) -> tuple[Source, ...]:
    return one(f"BV {number}", "voice.vocals", **more)


SHARES = "Row 1 shares a microphone with"


@pytest.mark.parametrize(
    ("sources", "row", "sentence"),
    [
        (voice(1, one_microphone_with="BV 9"), 0, f'{SHARES} "BV 9", which is not in the rig.'),
        (voice(1, one_microphone_with="BV 1"), 0, f"{SHARES} itself."),
        (
            voice(1, one_microphone_with="sax") + one("sax", "wind.reed.saxophone"),
            0,
            "Row 2 is saxophone, not a vocal: only two singers share a microphone.",
        ),
        (
            one("sax", "wind.reed.saxophone", one_microphone_with="BV 1") + voice(1),
            0,
            "Row 1 is saxophone, not a vocal: only two singers share a microphone.",
        ),
        (
            voice(1, one_microphone_with="BV 2") + voice(2, capture="wireless"),
            0,
            "Row 2 is a wireless microphone, which one singer wears or holds.",
        ),
        (
            voice(1, one_microphone_with="BV 2", capture="line") + voice(2),
            0,
            "Row 1 is not picked up by a microphone.",
        ),
        (
            voice(1, one_microphone_with="BV 2") + voice(2, stand="clip"),
            0,
            "Row 2 has no stand, and two sing only at a microphone on a stand.",
        ),
        (
            voice(1, one_microphone_with="BV 2", lead=True) + voice(2),
            0,
            "Rows 1 and 2 sing two parts: a lead and a backing vocal, or two sections.",
        ),
        (
            voice(1, one_microphone_with="BV 2", family="high") + voice(2, family="low"),
            0,
            "Rows 1 and 2 sing two parts: a lead and a backing vocal, or two sections.",
        ),
        (
            voice(1, one_microphone_with="BV 2") + voice(2) + voice(3, one_microphone_with="BV 2"),
            2,
            "Rows 3 and 1 both share a microphone with row 2.",
        ),
        (
            voice(1, one_microphone_with="BV 2") + voice(2, one_microphone_with="BV 3") + voice(3),
            0,
            "Rows 1 and 3 both share a microphone with row 2.",
        ),
    ],
)
def test_what_contradicts_itself_is_refused_at_the_field(sources: tuple[Source, ...], row: int, sentence: str) -> None:
    """A partner that is no voice, no other row, of another part, on the radio, or shared with a third is refused."""
    found = [fault for fault in faults(Rig(source=sources)) if fault.field == "one_microphone_with"]
    assert (found[0].row, len(found)) == (row, 1)
    assert found[0].sentence.startswith(sentence)
    assert found[0].sentence.endswith(("or none.",))


@pytest.mark.parametrize("named", ["BV 1", ""])
def test_two_rows_may_name_each_other_or_one_the_other(named: str) -> None:
    """Whether one row says it or both do, nothing contradicts itself."""
    other = voice(2, one_microphone_with=named)
    assert faults(Rig(source=voice(1, one_microphone_with="BV 2") + other)) == ()


def test_a_row_that_goes_takes_its_word_along() -> None:
    """Whoever named a row that is deleted names nobody."""
    left = without_dangling(Rig(source=voice(1, one_microphone_with="BV 2")), {"BV 2"})
    assert left.source[0].one_microphone_with == ""
