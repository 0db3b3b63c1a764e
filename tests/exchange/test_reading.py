"""Labels are read by the words of the trade, doubts are told, and published lists lose no row."""

import pytest

from portal.exchange.band_list.label_reading import Beside, Certainty
from portal.exchange.band_list.pasted_rows import PastedRow
from portal.exchange.band_list.proposing import propose
from portal.exchange.band_list.reading import read_label
from portal.exchange.band_list.words.facet_words import FACETS
from portal.exchange.band_list.words.reading_words import OPEN, SETTLED
from portal.exchange.keys import keys_of
from portal.plan.input.kinds import KINDS
from portal.plan.input.rig import Source

SURE = [
    # The alias vectors of the trade: several names, one kind.
    ("BD", "drum.kick-drum", {}),
    ("Bass Drum", "drum.kick-drum", {}),
    ("Kik", "drum.kick-drum", {}),
    ("Kick In", "drum.kick-drum", {"position": "in"}),
    ("Sn Top", "drum.snare-drum", {"position": "top"}),
    ("Snare Btm.", "drum.snare-drum", {"position": "bottom"}),
    ("Hat", "metal.hi-hat", {}),
    ("Floor Tom", "drum.tom-tom", {"position": "floor"}),
    ("Low Tom", "drum.tom-tom", {"position": ""}),
    ("OH L", "drum.group.set", {"position": "left", "side": "left", "leg": True, "rows": 1}),
    ("OH", "drum.group.set", {"rows": 2, "pair": True}),
    ("O.H. mono", "drum.group.set", {"rows": 1, "pair": False}),
    ("EGtr SL", "pluck.guitar.electric", {"position": "", "side": "", "place": "stage left"}),
    ("Keys SR", "synth.generic", {"side": "", "place": "stage right"}),
    ("guitar amp", "pluck.guitar.electric", {}),
    ("Bass DI", "pluck.bass.electric", {"capture": "di"}),
    ("Acoustic Bass", "pluck.bass.acoustic", {}),
    ("Keys L/R", "synth.generic", {"rows": 2, "pair": True}),
    ("3 toms", "drum.tom-tom", {"rows": 3, "pair": False}),
    ("2x BV", "voice.vocals", {"rows": 2, "role": "backing"}),
    ("BVs 1-3", "voice.vocals", {"rows": 3}),
    ("Tom 1 & 2", "drum.tom-tom", {"rows": 2}),
    ("Tom 2", "drum.tom-tom", {"rows": 1, "index": "2"}),
    ("Lead Vox", "voice.vocals", {"role": "lead"}),
    ("bass player (vocal)", "voice.vocals", {}),
    ("Vocal — Anna", "voice.vocals", {"rows": 1}),
    ("Click", "x-click", {}),
    ("Akustikgitarre", "pluck.guitar.acoustic", {}),
    ("Große Trommel", "drum.kick-drum", {}),
    ("Hängetom", "drum.tom-tom", {"position": "rack"}),
    ("Guitare élec", "pluck.guitar.electric", {}),
    ("Chœurs 2", "voice.vocals", {"role": "backing"}),
    ("Caja arriba", "drum.snare-drum", {"position": "top"}),
    ("Rullante sotto", "drum.snare-drum", {"position": "bottom"}),
    ("Ｋｉｃｋ　ＩＮ", "drum.kick-drum", {"position": "in"}),
    ("kick +48V", "drum.kick-drum", {"phantom": "yes"}),
    ("Ac. Gtr (house DI)", "pluck.guitar.acoustic", {"owner": "house", "capture": "di"}),
    ("MC wireless", "x-speech", {"capture": "wireless"}),
    ("Vocal 3 (optional)", "voice.vocals", {"optional": True}),
]

ASKED = [
    ("Aux", {"metal.hi-hat", "x-percussion", "x-playback"}),
    ("Vox", {"voice.vocals", "pluck.guitar.electric"}),
    ("Gtr Vox", {"voice.vocals", "pluck.guitar.electric"}),
    ("Guitar", {"pluck.guitar.electric", "pluck.guitar.acoustic"}),
    ("Piano", {"keyboard.piano", "keyboard.piano.electric"}),
    ("Horns", {"brass.trumpet", "wind.reed.saxophone"}),
    ("Drums", {"drum.group.set"}),
    ("Sax / Flute", {"wind.reed.saxophone", "wind.flutes.flute"}),
    ("Talkback to IEM", {"x-talkback", ""}),
    ("FX 1 L", {""}),
    ("Spare vocal", {"voice.vocals", ""}),
    ("Snaer", {"drum.snare-drum"}),
]


@pytest.mark.parametrize(("label", "what", "more"), SURE, ids=[label for label, _, _ in SURE])
def test_a_label_is_read(label: str, what: str, more: dict[str, object]) -> None:
    """Words that leave one meaning are read as that, in each language and way of writing."""
    reading = read_label(label)
    assert (reading.certainty, reading.what) == (Certainty.SURE, what)
    assert {facet: getattr(reading, facet) for facet in more} == more


@pytest.mark.parametrize(("label", "among"), ASKED, ids=[label for label, _ in ASKED])
def test_a_label_that_can_mean_several_things_is_asked(label: str, among: set[str]) -> None:
    """Words that leave more than one meaning are marked, with the meanings and a sentence."""
    reading = read_label(label)
    assert reading.certainty is Certainty.AMBIGUOUS
    assert among <= set(reading.alternatives)
    assert reading.doubts


@pytest.mark.parametrize(
    "label", ["Gtr L", "Trumpet R", "Toms", "Backing vocals", "Keys (mono/stereo)", "12 x 3 Tom 40x"]
)
def test_an_open_number_of_rows_is_asked(label: str) -> None:
    """Left and right of two players or of one, a plural without a number, mono or stereo: the rows are asked about."""
    assert read_label(label).certainty is Certainty.AMBIGUOUS


@pytest.mark.parametrize("label", ["Zorbl", "Anna", "Ch 12", "?!?1"])
def test_an_unknown_label_is_not_guessed(label: str) -> None:
    """Where no word is known nothing is proposed."""
    reading = read_label(label)
    assert (reading.certainty, reading.what) == (Certainty.UNKNOWN, "")


@pytest.mark.parametrize("label", ["-", "", "— — —", "SPARE", "-OPEN-", "frei 2", "n/a"])
def test_a_free_row_is_read_as_free(label: str) -> None:
    """A row that is kept free is no source."""
    assert read_label(label).spare


def test_one_number_makes_overheads_doubtful() -> None:
    """Where the list gives the overheads one channel number, one microphone or a pair is asked; with two numbers they
    are a pair.
    """
    assert read_label("OH", numbers=1).certainty is Certainty.AMBIGUOUS
    assert (read_label("Keys", numbers=2).rows, read_label("Keys", numbers=2).pair) == (2, True)
    assert (read_label("Vocals", numbers=3).rows, read_label("Vocals", numbers=3).pair) == (3, False)


def test_other_columns_are_read_too() -> None:
    """How it is picked up, 48 V, stand and owner are taken from the columns beside the label."""
    reading = read_label("OH L", Beside("Condenser | tall boom | house"))
    assert (reading.capture, reading.phantom, reading.stand, reading.owner) == ("mic", "yes", "tall", "house")
    assert read_label("Guitar 1", Beside("dynamic")).what == "pluck.guitar.electric"
    assert read_label("Vocal", Beside("condenser or dynamic")).phantom == ""
    assert read_label("Violin", Beside("mic or DI")).capture == ""


def test_rows_tie_to_each_other() -> None:
    """Legs find each other, second microphones their first, the only voice that is not backing is the lead, several
    *vox* are voices.
    """
    labels = [
        "Kick In",
        "Kick Out",
        "Snare Top",
        "Snare Btm",
        "Keys L",
        "Keys R",
        "Vox 1",
        "Vox",
        "BV 2",
        "Bass DI",
        "Bass mic",
        "OH L",
    ]
    made = propose([PastedRow("", label) for label in labels])
    assert (made[1].first, made[3].first, made[10].first) == (0, 2, 9)
    assert (made[4].partner, made[5].partner) == (5, 4)
    assert {made[6].reading.what, made[7].reading.what} == {"voice.vocals"}
    assert made[11].reading.certainty is Certainty.AMBIGUOUS
    assert propose([PastedRow("", "Vocal"), PastedRow("", "BV")])[0].reading.role == "lead"
    assert propose([PastedRow("", "Vox"), PastedRow("", "BV")])[0].reading.certainty is Certainty.AMBIGUOUS


def test_the_vocabulary_names_only_what_a_rig_can_hold() -> None:
    """Every kind of the vocabulary is in the table of kinds, and every position, owner and capture is one that a source
    can have.
    """
    assert {kind for table in (SETTLED, OPEN) for kinds in table for kind in kinds} <= set(KINDS)
    keys = keys_of(Source)
    said = {facet: {value for one, value in FACETS if one == facet} for facet, _ in FACETS}
    assert said["inside"] <= set(keys["position"].one_of)
    assert {value.partition(" ")[0] for value in said["capture"]} <= set(keys["capture"].one_of)
    assert said["phantom"] <= set(keys["phantom"].one_of)


@pytest.mark.parametrize(
    "label",
    ["x" * 20_000, "1 " * 5_000, "(" * 3_000, "a\u0301" * 3_000, "\u202e\u0000\ufffd", "9" * 5_000, "l/r/" * 900],
)
def test_any_text_has_a_reading(label: str) -> None:
    """No label, however odd, fails to be read."""
    assert read_label(label).rows >= 0
