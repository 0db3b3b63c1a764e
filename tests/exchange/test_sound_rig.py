"""A rig file that is wrong in several ways: every one of them is told at its key, and none that is not there."""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import combinations

import pytest

from portal.exchange.faults import NotReadable
from portal.exchange.files import read_document, rig_to_document
from portal.exchange.sound_rig import document_to_sound_rig
from portal.plan.input.rig import Configuration, Ears, Loom, Mixer, Out, Rig, Source, Splitter, SplitterOutput

RIG = Rig(
    name="Invented band",
    mixer=Mixer(inputs=8, outs=(Out(key="o1", use="ears:Lou"), Out(key="o2", use="main"))),
    source=(
        Source(key="kick", label="Kick", what="drum.kick-drum", splitter="box", way=1, mixer_input=1),
        Source(
            key="kick-out",
            label="Kick out",
            what="drum.kick-drum",
            second_of="kick",
            splitter="box",
            way=2,
            mixer_input=2,
        ),
        Source(
            key="kl",
            label="Keys L",
            what="synth.generic",
            position="left",
            pair_with="kr",
            splitter="box",
            way=3,
            mixer_input=3,
        ),
        Source(
            key="kr",
            label="Keys R",
            what="synth.generic",
            position="right",
            pair_with="kl",
            splitter="box",
            way=4,
            mixer_input=4,
        ),
        Source(key="flute", label="Flute", what="wind.flutes.flute", never_with=("sax",), mixer_input=5),
        Source(key="sax", label="Sax", what="wind.reed.saxophone", never_with=("flute",), mixer_input=5),
        Source(key="lead", label="Lead", what="voice.vocals", lead=True, splitter="box", way=5, mixer_input=6),
    ),
    splitter=(Splitter(key="box", name="Box", ways=8, outputs=(SplitterOutput(key="b", kind="isolated"),)),),
    loom=(Loom(key="loom", name="Loom", ways=8, length_m=15),),
    ears=(Ears(player="Lou", width="mono", outs=("o1",)),),
    bits={"pad_20_db": 2},
    configurations={"small": Configuration(off=("kick-out",))},
)
Document = dict[str, object]


def spoil(*steps: str | int, to: object) -> Callable[[Document], None]:
    def spoiled(document: Document) -> None:
        here: object = document
        for step in steps[:-1]:
            here = here[step]  # type: ignore[index]
        here[steps[-1]] = to  # type: ignore[index]

    return spoiled


SPOILT: dict[str, tuple[Callable[[Document], None], str]] = {
    "a negative length": (
        spoil("loom", 0, "length_m", to=-3),
        "loom[0].length_m: expected a number from 0 to 300; found the number -3.",
    ),
    "a word for a number": (
        spoil("splitter", 0, "ways", to="8"),
        'splitter[0].ways: expected a whole number from 0 to 128; found the text "8".',
    ),
    "two sources on one way": (
        spoil("source", 6, "way", to=1),
        "source[0].way: Rows 1 and 7 both use way 1 of Box. Give one of them another way.",
    ),
    "an unknown word": (
        spoil("source", 0, "phantom", to="perhaps"),
        'source[0].phantom: expected one of: yes, no (or empty); found the text "perhaps".',
    ),
    "a key nobody reads": (
        spoil("source", 1, "colour", to="red"),
        "source[1].colour: expected a known key; found a key that nothing reads.",
    ),
    "another format": (spoil("schema", to=2), "schema: expected the number 1; found the number 2."),
    "no first microphone": (
        spoil("source", 1, "second_of", to="tom"),
        (
            'source[1].second_of: Row 2 is the second microphone of "tom", which is not in the rig. Choose the first'
            " microphone, or none."
        ),
    ),
    "no singer": (
        spoil("source", 6, "one_microphone_with", to="sax"),
        (
            "source[6].one_microphone_with: Row 6 is saxophone, not a vocal: only two singers share a microphone."
            " Choose another singer, or none."
        ),
    ),
    "half a pair": (
        spoil("source", 3, "what", to="x-playback"),
        (
            "source[2].what: Rows 3 and 4 are one pair, and one is keyboard or synthesizer, the other playback. "
            "Give both the same kind, or end the pair."
        ),
    ),
    "a name of a bit": (
        spoil("bits", "pads", to=3),
        (
            "bits.pads: expected one of: di_passive, di_active, pad_20_db, isolating_transformer, turn_round "
            "or xlr_ with metres, such as xlr_5m or xlr_7_5m; found another name."
        ),
    ),
    "a stranger in a configuration": (
        spoil("configurations", "small", "off", to=["cowbell"]),
        (
            'configurations: The configuration "small" leaves "cowbell" at home, which is not in the rig. Take it off'
            " the list."
        ),
    ),
    "an output for nobody": (
        spoil("mixer", "outs", 1, "use", to="ears:Eve"),
        (
            'mixer.outs: The output "o2" is held for the in-ears of "Eve", who has no in-ear mix in the rig. Add the'
            ' mix, or enter "free".'
        ),
    ),
    "an input that is not there": (
        spoil("source", 6, "mixer_input", to=9),
        (
            "source[6].mixer_input: Row 7 uses mixer input 9; the mixer has 8 inputs. "
            "Give the row an input that the mixer has, or change the mixer's inputs."
        ),
    ),
}
"""What one person may have got wrong -> how, and all that is said of it."""


def told(*names: str) -> list[str]:
    document = json.loads(json.dumps(rig_to_document(RIG)))
    for name in names:
        SPOILT[name][0](document)
    try:
        document_to_sound_rig(document)
    except NotReadable as error:
        return sorted(fault.say() for fault in error.faults)
    return []


def test_a_sound_rig_is_read() -> None:
    """What contradicts itself nowhere is the very rig that was written."""
    assert document_to_sound_rig(rig_to_document(RIG)) == RIG


@pytest.mark.parametrize("name", SPOILT)
def test_a_fault_is_told_at_its_key_once(name: str) -> None:
    """Each way to get it wrong has its sentence, and no other is said."""
    assert told(name) == [SPOILT[name][1]]


def test_no_fault_hides_another() -> None:
    """Of any two and any three faults in one file each is told as it would be alone, and nothing else."""
    for size in (2, 3, len(SPOILT)):
        for names in combinations(SPOILT, size):
            assert told(*names) == sorted(SPOILT[name][1] for name in names), names


UNREADABLE: dict[str, tuple[Callable[[Document], None], str]] = {
    "key of a row": (spoil("source", 0, "key", to=7), "source[0].key"),
    "a row": (spoil("source", 3, to="Keys R"), "source[3]"),
    "all rows": (spoil("source", to={}), "source"),
    "partner": (spoil("source", 2, "pair_with", to=True), "source[2].pair_with"),
    "kind of a half": (spoil("source", 2, "what", to=None), "source[2].what"),
    "never with": (spoil("source", 4, "never_with", to=["sax", 3]), "source[4].never_with[1]"),
    "label": (spoil("source", 2, "label", to=4), "source[2].label"),
    "key of the splitter": (spoil("splitter", 0, "key", to=4), "splitter[0].key"),
    "a splitter": (spoil("splitter", 0, to=[]), "splitter[0]"),
    "ways": (spoil("splitter", 0, "ways", to=-1), "splitter[0].ways"),
    "inputs": (spoil("mixer", "inputs", to=-1), "mixer.inputs"),
    "mixer": (spoil("mixer", to=1), "mixer"),
    "use of an output": (spoil("mixer", "outs", 0, "use", to=0), "mixer.outs[0].use"),
    "player of a mix": (spoil("ears", 0, "player", to=0), "ears[0].player"),
    "outs of a mix": (spoil("ears", 0, "outs", to=["o1", "o2", "o3"]), "ears[0].outs"),
    "key of a loom": (spoil("loom", 0, "key", to=0), "loom[0].key"),
    "place": (spoil("source", 0, "at_m", to=[1.0, "x"]), "source[0].at_m[1]"),
    "bits": (spoil("bits", to=3), "bits"),
}


@pytest.mark.parametrize("name", UNREADABLE)
def test_what_cannot_be_read_is_not_said_to_contradict(name: str) -> None:
    """Where a key cannot be read nothing is concluded from its absence, and what has nothing to do with it is told all
    the same.
    """
    spoilt, path = UNREADABLE[name]
    for with_another in (False, True):
        document = json.loads(json.dumps(rig_to_document(RIG)))
        spoilt(document)
        if with_another and isinstance(document["source"], list):
            document["source"][6]["must"], document["source"][6]["goes"] = True, "ears-only"
        with pytest.raises(NotReadable) as raised:
            document_to_sound_rig(document)
        others = [fault.path for fault in raised.value.faults if fault.path != path]
        assert others == (["source[6].must"] if with_another and isinstance(document["source"], list) else [])


@pytest.mark.parametrize(
    "content", ["[]", "3", "null", '{"schema": 1, "source": 3}', '{"source": [' + ",".join(["[]"] * 900) + "]}"]
)
def test_what_is_no_rig_at_all_is_refused_as_before(content: str) -> None:
    """A document that is beyond mending has the faults of its keys, and nothing is concluded."""
    with pytest.raises(NotReadable) as raised:
        document_to_sound_rig(read_document(content.encode(), ".json"))
    assert not [fault for fault in raised.value.faults if fault.said]


def test_the_document_itself_stays_as_it_is() -> None:
    """To look behind a fault nothing of what was given is changed."""
    document = json.loads(json.dumps(rig_to_document(RIG)))
    for name in SPOILT:
        SPOILT[name][0](document)
    before = json.dumps(document)
    with pytest.raises(NotReadable):
        document_to_sound_rig(document)
    assert json.dumps(document) == before
