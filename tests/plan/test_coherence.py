"""What in a rig contradicts itself."""

from collections.abc import Callable
from dataclasses import replace
from types import MappingProxyType

import pytest

from portal.plan.coherence import RigFault, faults
from portal.plan.input.rig import Configuration, Ears, Loom, Mixer, Out, Rig, Source, Splitter, SplitterOutput

COHERENT = Rig(
    name="The Example Five",
    mixer=Mixer(
        inputs=16,
        outs=(
            Out(key="out-1", use="ears:Sam"),
            Out(key="out-2", use="ears:Sam"),
            Out(key="out-3", use="free"),
            Out(key="out-4", use="main"),
        ),
    ),
    source=(
        Source(
            key="s-1",
            label="Kick In",
            player="Sam",
            what="drum.kick-drum",
            position="in",
            mixer_input=1,
            splitter="rack-a",
            way=1,
        ),
        Source(
            key="s-2",
            label="Kick Out",
            player="Sam",
            what="drum.kick-drum",
            position="out",
            mixer_input=2,
            second_of="s-1",
        ),
        Source(
            key="s-3", label="Keys", player="Kim", what="synth.generic", position="left", pair_with="s-4", mixer_input=3
        ),
        Source(
            key="s-4",
            label="Keys",
            player="Kim",
            what="synth.generic",
            position="right",
            pair_with="s-3",
            mixer_input=4,
        ),
        Source(
            key="s-5", label="Guitar", player="Jo", what="pluck.guitar.acoustic", mixer_input=5, never_with=("s-6",)
        ),
        Source(key="s-6", label="Banjo", player="Jo", what="pluck.banjo", mixer_input=5),
        Source(key="s-7", label="Click", what="x-click", mixer_input=6),
    ),
    splitter=(
        Splitter(key="rack-a", name="Rack A", ways=4, outputs=(SplitterOutput(key="a"), SplitterOutput(key="b"))),
    ),
    loom=(Loom(key="loom-1", ways=8),),
    ears=(Ears(player="Sam", outs=("out-1", "out-2")),),
    configurations=MappingProxyType({"small": Configuration(off=("s-2",))}),
)


def test_a_coherent_rig_has_no_faults():
    """Pairs that share a label, things never played together on one input, and partly filled rows are no
    contradiction.
    """
    assert faults(COHERENT) == ()
    assert faults(Rig()) == ()


def with_row(row: int, **changes: object) -> Rig:
    sources = list(COHERENT.source)
    sources[row] = replace(sources[row], **changes)
    return replace(COHERENT, source=tuple(sources))


def with_outs(*outs: Out) -> Rig:
    return replace(COHERENT, mixer=replace(COHERENT.mixer, outs=(*COHERENT.mixer.outs, *outs)))


ROW_FAULTS: list[tuple[Rig, int, str, str]] = [
    (with_row(6, key="s-1"), 0, "key", 'Rows 1 and 7 both have the key "s-1". Give each row a key of its own.'),
    (with_row(6, key=""), 6, "key", "Row 7 has no key. Give it one that no other row has."),
    (with_row(6, label=" "), 6, "label", "Row 7 has no label. Write what the band calls it."),
    (
        with_row(1, label="kick in"),
        0,
        "label",
        'Rows 1 and 2 both are called "Kick In". Make each label say which one it is.',
    ),
    (with_row(3, position=""), 2, "label", 'Rows 3 and 4 both are called "Keys". Make each label say which one it is.'),
    (
        with_row(6, mixer_input=3),
        2,
        "mixer_input",
        "Rows 3 and 7 both use mixer input 3. Give one of them another input.",
    ),
    (
        with_row(6, mixer_input=5),
        4,
        "mixer_input",
        "Rows 5, 6 and 7 all use mixer input 5. Give all but one of them another input.",
    ),
    (
        with_row(6, mixer_input=17),
        6,
        "mixer_input",
        (
            "Row 7 uses mixer input 17; the mixer has 16 inputs. Give the row an input that the mixer has, or change"
            " the mixer's inputs."
        ),
    ),
    (
        with_row(1, splitter="rack-a", way=1),
        0,
        "way",
        "Rows 1 and 2 both use way 1 of Rack A. Give one of them another way.",
    ),
    (
        with_row(1, splitter="rack-a", way=5),
        1,
        "way",
        "Row 2 uses way 5 of Rack A, which has 4 ways. Give the row a way that the splitter has.",
    ),
    (with_row(1, way=2), 1, "way", "Row 2 has the splitter way 2 and no splitter. Name the splitter as well."),
    (
        with_row(1, splitter="rack-b"),
        1,
        "splitter",
        (
            'Row 2 is wired to the splitter "rack-b", which is not in the rig. Name one of the rig\'s splitters, or'
            " leave it empty."
        ),
    ),
    (
        with_row(6, pair_with="s-1"),
        6,
        "pair_with",
        "Row 7 is paired with row 1, and row 1 is not paired with row 7. Pair both with each other, or neither.",
    ),
    (
        with_row(6, pair_with="s-9"),
        6,
        "pair_with",
        'Row 7 is paired with "s-9", which is not in the rig. Choose the other half, or none.',
    ),
    (with_row(6, pair_with="s-7"), 6, "pair_with", "Row 7 is paired with itself. Choose the other half, or none."),
    (
        with_row(3, what="keyboard.organ"),
        2,
        "what",
        (
            "Rows 3 and 4 are one pair, and one is keyboard or synthesizer, the other organ. Give both the same kind,"
            " or end the pair."
        ),
    ),
    (
        with_row(3, pair_kind="mid-side"),
        2,
        "pair_kind",
        "Rows 3 and 4 are one pair, and they name two kinds of pair. Give both the same kind of pair.",
    ),
    (
        with_row(3, inseparable=True),
        2,
        "inseparable",
        "Rows 3 and 4 are one pair, and only one is marked inseparable. Mark both, or neither.",
    ),
    (
        with_row(4, inseparable=True),
        4,
        "inseparable",
        "Row 5 is marked inseparable and has no other half. Pair it with its other half, or take the mark away.",
    ),
    (
        with_row(1, second_of="s-2"),
        1,
        "second_of",
        "Row 2 is the second microphone of itself. Choose the first microphone, or none.",
    ),
    (
        with_row(1, second_of="s-9"),
        1,
        "second_of",
        'Row 2 is the second microphone of "s-9", which is not in the rig. Choose the first microphone, or none.',
    ),
    (
        with_row(4, second_of="s-2"),
        4,
        "second_of",
        (
            "Row 5 is the second microphone of row 2, which is a second microphone itself. Choose the first microphone"
            " of the sound."
        ),
    ),
    (
        with_row(1, never_with=("s-9",)),
        1,
        "never_with",
        'Row 2 is never played together with "s-9", which is not in the rig. Choose a row of the rig, or none.',
    ),
    (
        with_row(1, never_with=("s-2",)),
        1,
        "never_with",
        "Row 2 is never played together with itself. Choose another row, or none.",
    ),
    (
        with_row(6, goes="both"),
        6,
        "goes",
        'Row 7 is click, which stays in the in-ears, and it is marked to go to the house. Choose "in-ears only".',
    ),
    (
        with_row(6, must=True),
        6,
        "must",
        'Row 7 is click, which stays in the in-ears, and it must reach the house. Take "must" away.',
    ),
    (
        with_row(1, must=True, goes="ears-only"),
        1,
        "must",
        'Row 2 must reach the house, and it is marked "in-ears only". Take "must" away, or send it to the house.',
    ),
    (
        with_row(1, must=True, what="x-audience"),
        1,
        "must",
        'Row 2 must reach the house, and it is marked "in-ears only". Take "must" away, or send it to the house.',
    ),
]


@pytest.mark.parametrize(
    ("rig", "row", "field", "sentence"), ROW_FAULTS, ids=lambda value: value if isinstance(value, str) else ""
)
def test_a_row_that_contradicts_another_is_named(rig: Rig, row: int, field: str, sentence: str):
    """One contradiction gives one fault, at its first row, with a sentence that names both sides and what to do."""
    assert faults(rig) == (RigFault(row, field, sentence),)


REST: list[tuple[Rig, str, str]] = [
    (
        with_outs(Out(key="out-3")),
        "mixer.outs",
        'Two outputs of the mixer are called "out-3". Give each a name of its own.',
    ),
    (
        with_outs(Out(key="out-5", use="wedges")),
        "mixer.outs",
        (
            'The output "out-5" is entered as "wedges". Enter "free", "main", "subs", "fill", "delay", "wedge",'
            ' "recorder", or "ears:" and the player\'s name.'
        ),
    ),
    (
        with_outs(Out(key="out-5", use="ears:Kim")),
        "mixer.outs",
        (
            'The output "out-5" is held for the in-ears of "Kim", who has no in-ear mix in the rig. Add the mix, or'
            ' enter "free".'
        ),
    ),
    (
        with_outs(Out(key="out-5", use="ears:Sam")),
        "ears",
        (
            'The output "out-5" is held for the in-ears of Sam, and the mix of Sam does not name it. Add it to the'
            ' mix, or enter "free".'
        ),
    ),
    (
        replace(COHERENT, ears=(*COHERENT.ears, Ears(player="Kim", width="mono", outs=("out-9",)))),
        "ears",
        'The in-ear mix of Kim is on the output "out-9", which the mixer does not have. Choose an output of the mixer.',
    ),
    (
        replace(COHERENT, ears=(*COHERENT.ears, Ears(player="Kim", width="mono", outs=("out-3",)))),
        "mixer.outs",
        (
            'The in-ear mix of Kim is on the output "out-3", which is entered as "free". Enter "ears:Kim" there, or'
            " choose another output."
        ),
    ),
    (
        replace(
            with_outs(Out(key="out-5", use="ears:Kim")),
            ears=(*COHERENT.ears, Ears(player="Kim", outs=("out-5",))),
        ),
        "ears",
        (
            "The in-ear mix of Kim is stereo and has one output: one ear would hear nothing. Give it a second output,"
            " or make it mono."
        ),
    ),
    (
        replace(COHERENT, ears=(*COHERENT.ears, Ears(player="Sam"))),
        "ears",
        'Two in-ear mixes are for "Sam". Give each mix a player of its own.',
    ),
    (
        replace(COHERENT, splitter=(*COHERENT.splitter, Splitter(key="rack-a", ways=4))),
        "splitter",
        'Two splitters have the key "rack-a". Give each a key of its own.',
    ),
    (
        replace(COHERENT, loom=(*COHERENT.loom, Loom())),
        "loom",
        "A loom has no key. Give it one that no other loom has.",
    ),
    (
        replace(
            COHERENT,
            splitter=(replace(COHERENT.splitter[0], outputs=(SplitterOutput(key="a"), SplitterOutput(key="a"))),),
        ),
        "splitter",
        'Two outputs of Rack A are called "a". Give each a name of its own.',
    ),
    (
        replace(COHERENT, configurations=MappingProxyType({"small": Configuration(off=("s-9",))})),
        "configurations",
        'The configuration "small" leaves "s-9" at home, which is not in the rig. Take it off the list.',
    ),
    (
        replace(COHERENT, loom=tuple(Loom(key=f"loom-{number}") for number in range(17))),
        "loom",
        "There are 17 entries under loom; the portal takes 16. Take some away.",
    ),
]


@pytest.mark.parametrize(("rig", "field", "sentence"), REST, ids=lambda value: value if isinstance(value, str) else "")
def test_a_contradiction_outside_the_rows_is_named(rig: Rig, field: str, sentence: str):
    """One contradiction between the other parts of a rig gives one fault, without a row."""
    assert faults(rig) == (RigFault(None, field, sentence),)


def test_an_output_in_two_mixes_is_named():
    """An output carries one in-ear mix."""
    rig = replace(COHERENT, ears=(*COHERENT.ears, Ears(player="Kim", outs=("out-1",))))
    assert (
        'The output "out-1" is named 2 times by the in-ear mixes of Sam and Kim. Give each mix outputs of its own.'
        in [fault.sentence for fault in faults(rig)]
    )


def test_every_fault_comes_at_once_in_the_order_of_rows():
    """All contradictions of a rig come together: rows first, in their order, then the rest."""
    rig = with_row(6, pair_with="s-9", goes="both", mixer_input=99)
    rig = replace(rig, source=(replace(rig.source[0], way=9), *rig.source[1:]), loom=(Loom(),))
    found = faults(rig)
    assert [(fault.row, fault.field) for fault in found] == [
        (0, "way"),
        (6, "mixer_input"),
        (6, "pair_with"),
        (6, "goes"),
        (None, "loom"),
    ]


def test_sources_that_may_sound_together_do_not_share_an_input():
    """Sharing an input is a fault as soon as two of the sharers may be played at the same time."""
    guitar_banjo = [row for row, source in enumerate(COHERENT.source) if source.mixer_input == 5]
    rig = with_row(guitar_banjo[0], never_with=())
    assert [fault.field for fault in faults(rig)] == ["mixer_input"]


def neutral(sentence: str) -> bool:
    return not any(
        word in sentence.lower()
        for word in ("please", "invalid", "illegal", "oops", "forbidden", "wrong", "error", "you ")
    )


@pytest.mark.parametrize("rig", [case[0] for case in ROW_FAULTS] + [case[0] for case in REST])
def test_no_sentence_scolds(rig: Rig):
    """Every sentence is a plain one, and the deed that helps stands in it."""
    for fault in faults(rig):
        assert neutral(fault.sentence)
        assert fault.sentence.count(". ") >= 1
        assert fault.sentence.endswith(".")


def test_a_scolding_sentence_would_be_caught():
    """The check above sees a word that scolds."""
    check: Callable[[str], bool] = neutral
    assert not check("Row 1 is invalid.")
