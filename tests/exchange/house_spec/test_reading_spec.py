"""What the rules make of single sentences: values, doubts, and what they leave alone."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.exchange.house_spec.proposals import Certainty, Doubt, Proposal
from portal.exchange.house_spec.reader import MOST_SIGNS, read_spec
from portal.exchange.house_spec.topics import KINDS, is_value
from tests.exchange.house_spec.corpus import NAMES, text_of


def found(text: str) -> dict[str, object]:
    """Values by topic; several of one topic as a list."""
    values: dict[str, list[object]] = {}
    for one in read_spec(text).proposals:
        values.setdefault(one.topic, []).append(one.value)
    return {topic: some[0] if len(some) == 1 else some for topic, some in values.items()}


def one(text: str, topic: str) -> Proposal:
    """The only proposal of a topic."""
    (proposal,) = [one for one in read_spec(text).proposals if one.topic == topic]
    return proposal


UNCLEAR = (Path(__file__).parent / "unclear_lines.txt").read_text("utf-8").splitlines()
"""Lines of no spec that are easily read for more than they say; behind the bar what may be sure in each."""


@pytest.mark.parametrize("line", UNCLEAR)
def test_what_a_line_leaves_open_is_never_sure(line: str) -> None:
    """Parts of a list, one of several boxes, what was so once, one phase: please check, or nothing at all."""
    text, _, allowed = line.partition(" |")
    sure = {f"{one.topic} = {one.value}" for one in read_spec(text).proposals if one.certainty is Certainty.SURE}
    assert sure <= {one.strip() for one in allowed.split(";")}


@pytest.mark.parametrize(
    ("text", "topic", "value"),
    [
        ("Stage box with 32 inputs and 8 outputs, stage left", "box-inputs", 32),
        ("24/8 stage box", "returns", 8),
        ("Die Stagebox hat 24 Eingänge", "box-inputs", 24),
        ("Le boîtier de scène a 24 entrées", "box-inputs", 24),
        ("El cajetín tiene 24 entradas", "box-inputs", 24),
        ("La ciabatta ha 24 ingressi", "box-inputs", 24),
        ("De stagebox heeft 24 ingangen", "box-inputs", 24),
        ("Desk: 48 channels", "desk-channels", 48),
        ("6 wedge mixes", "wedge-mixes", 6),
        ("No wedges", "wedge-mixes", 0),
        ("Wedges: 8", "wedge-count", 8),
        ("PA: mono", "pa", "mono"),
        ("Phantom in banks of eight", "phantom-switching", "banks-of-8"),
        ("Phantom: one global switch", "phantom-switching", "all"),
        ("Kein Splitter vorhanden", "house-split", "no"),
        ("Pas de front fill ni de rappel", "delays", "no"),
        ("We don't have a splitter", "house-split", "no"),
        ("Inputs 29-32 are reserved for the DJ", "kept-sockets", "29-32"),
        ("Inputs 1-24 are free for bands", "sockets-free", "1-24"),
        ("Music must stop by 11pm", "curfew", "23:00"),
        ("Limit 99 dB(A) over 30 minutes, measured at FOH", "limiter-point", "desk"),
        ("The limiter cuts all sockets on the stage", "power-limiter", "yes"),
        ("The limiter cuts the PA", "limiter-cuts", "pa"),
        ("There is no sound limiter", "power-limiter", "no"),
        ("2 x 16A Schuko", "power", "2 x 16 A, household"),
        ("1 x CEE 32A three phase", "power", "1 x 32 A, three-phase, IEC 60309"),
        ("House wireless: 470-490 MHz", "radio", "470-490 MHz"),
        ("Stage 24' x 16'", "stage-size", "7.32 x 4.88 m"),
        ("Distance from stage to FOH desk: 18 m", "desk-distance", 1800),
        ("4 active DI boxes", "dis", "4 active"),
    ],
)
def test_plain_statements_are_read_for_sure(text: str, topic: str, value: object) -> None:
    """One clear sentence gives its value without a doubt."""
    proposal = one(text, topic)
    assert (proposal.value, proposal.certainty) == (value, Certainty.SURE)


@pytest.mark.parametrize(
    ("text", "topic", "doubt"),
    [
        ("A drum riser of 2 x 2 m on request", "risers", Doubt.CONDITION),
        ("Front fills if needed", "front-fills", Doubt.CONDITION),
        ("Frontfills bei Bedarf", "front-fills", Doubt.CONDITION),
        ("I think phantom is per channel", "phantom-switching", Doubt.CONDITION),
        ("Capacity 350 standing, 180 seated", "room-capacity", Doubt.TWO_VALUES),
        ("Curfew 23:00, on Sundays 22:00", "curfew", Doubt.TWO_VALUES),
        ("Die Stagebox steht auf der Bühne links", "box-place", Doubt.WHOSE_SIDE),
        ("Stage box downstage left", "box-place", Doubt.PART),
        ("Stage box: 32 inputs", "inputs-free", Doubt.DERIVED),
    ],
)
def test_what_is_open_asks_for_a_look(text: str, topic: str, doubt: Doubt) -> None:
    """A condition, a second value, an unnamed view, a part, a conclusion: each with its own sentence."""
    proposals = [one for one in read_spec(text).proposals if one.topic == topic]
    assert proposals
    assert all(doubt in one.doubts and one.certainty is Certainty.CHECK for one in proposals)


def test_both_of_two_values_are_shown_with_what_tells_them_apart() -> None:
    """Seated and standing are named."""
    proposals = [
        one for one in read_spec("Capacity: 350 standing / 180 seated").proposals if one.topic == "room-capacity"
    ]
    assert {(one.value, one.note) for one in proposals} == {(350, "standing"), (180, "seated")}


def test_free_inputs_follow_from_the_box_and_what_the_house_keeps() -> None:
    """Thirty-two less four are twenty-eight, to be checked."""
    values = found("Stage box: 32 inputs. Inputs 29-32 are reserved for the DJ.")
    assert (values["box-inputs"], values["kept-sockets"], values["inputs-free"]) == (32, "29-32", 28)
    assert found("Stage box: 32 inputs, 20 are free for bands")["inputs-free"] == 20


def test_the_view_of_the_stage_is_minded() -> None:
    """Left of the performers as it stands, left of the audience turned round, jardin and cour by their meaning."""
    assert one("Stage box stage left", "box-place").certainty is Certainty.SURE
    assert one("Stagebox links, Sicht vom Musiker", "box-place").value == "stage-left"
    assert one("Stagebox links, vom Publikum aus gesehen", "box-place").value == "stage-right"
    assert one("Boîtier de scène à jardin", "box-place").value == "stage-right"


def test_the_second_box_is_told_from_the_first() -> None:
    """By its word, its number or its letter."""
    values = found("Stage box A: 32 inputs, stage left\nStage box B: 16 inputs, upstage\n")
    assert (values["box-inputs"], values["second-box-inputs"], values["second-box-place"]) == (32, 16, "upstage")


@pytest.mark.parametrize(
    "text",
    [
        "Dressing room for 8 people, parking for 2 cars, catering for 12.",
        "Please bring your own DI boxes and 4 stands.",
        "The lift is 1.4 x 2.2 m and carries 2 t.",
        "Our festival was founded in 1998 and won 3 prizes.",
        "Bühnenwerkstatt: 2 Festangestellte, 500 kg/m² Traglast",
    ],
)
def test_other_numbers_answer_nothing_for_sure(text: str) -> None:
    """What a spec tells beside the stage and the sound is left alone."""
    assert [one for one in read_spec(text).proposals if one.certainty is Certainty.SURE] == []


def test_a_booking_office_is_no_technical_contact() -> None:
    """Only the number of whoever is there on the day is proposed."""
    text = "Box office: 01632 960 800\nTechnical manager: Ada Quill, 01632 960 801, ada@house.example\n"
    values = found(text)
    assert (values["contact-name"], values["contact-phone"], values["contact-mail"]) == (
        "Ada Quill",
        "01632 960 801",
        "ada@house.example",
    )


def test_what_is_not_understood_is_kept_word_for_word() -> None:
    """Sentences from which nothing was read come back with their place, and so does what lies beyond the part that is
    read.
    """
    text = "The ghost likes jazz. Capacity 300 people."
    (left,) = read_spec(text).not_understood
    assert (left.words, text[left.start : left.end]) == ("The ghost likes jazz", "The ghost likes jazz")
    long = "Capacity 300 people.\n" + "x" * MOST_SIGNS
    last = read_spec(long).not_understood[-1]
    assert last.end == len(long)
    assert last.words == long[MOST_SIGNS:]


def test_nothing_is_read_from_nothing() -> None:
    """Empty and blank texts give no proposals."""
    for text in ("", " \n\t\n", "---\n***"):
        assert read_spec(text).proposals == read_spec(text).not_understood == ()


WORDS = st.sampled_from(sorted({word for name in NAMES for word in text_of(name).split()}))


@given(st.lists(WORDS | st.sampled_from(["\n", "|", "   ", ":", ",", "•"]) | st.text(max_size=4), max_size=60))
def test_any_text_gives_values_of_their_kind_with_their_words(words: list[str]) -> None:
    """Whatever is pasted, nothing is raised, every value fits its topic, every offset lies in the text."""
    text = " ".join(words)
    reading = read_spec(text)
    for proposal in reading.proposals:
        assert proposal.topic in KINDS
        assert is_value(proposal.topic, proposal.value)
        assert text[proposal.start : proposal.end] == proposal.words
    assert all(text[passage.start : passage.end] == passage.words for passage in reading.not_understood)


OVER_A_LINE = """Stagebox 40 In / 16 Out, Bühne links hinten; Wege 37-40 fest belegt (Moderation, Zuspieler)
FOH-Platz in Saalmitte, ca. 22 m zur Bühnenkante, Digitalpult 64 Kanäle"""


def sure_of(text: str, topic: str) -> list[object]:
    """The values of a topic that are proposed as sure."""
    return [one.value for one in read_spec(text).proposals if one.topic == topic and one.certainty is Certainty.SURE]


@pytest.mark.parametrize(
    ("text", "phone"),
    [
        ("Contact: Noor Dalen 0123 456789. 230 people standing.", "0123 456789"),
        ("Contact: Noor Dalen 0123 456789 - 230 standing.", "0123 456789"),
        ("Contact: Noor Dalen 0123 456789  230 standing.", "0123 456789"),
        ("Contact tel. 55 5550 1420. 230 capacity", "55 5550 1420"),
        ("Contact: Noor Dalen, tel 01.23.45.67.89. 230 places debout", "01.23.45.67.89"),
        ("Contact: Noor Dalen 0123 - 456789, 230 standing", "0123 - 456789"),
    ],
)
def test_a_number_behind_a_telephone_number_is_its_own(text: str, phone: str) -> None:
    """A telephone number ends where a sentence or a cell does; what follows is read for itself."""
    values = found(text)
    assert (values["contact-phone"], values["room-capacity"]) == (phone, 230)


@pytest.mark.parametrize(
    ("text", "topic"),
    [
        ("palco 6x4, h 60 cm\ncapienza 180 in piedi\nmixer di sala 32 canali", "desk"),
        (OVER_A_LINE, "stays-plugged"),
        ("Monitore vom FOH, 8 Wege, digital", "desk"),
        ("PA: mono left right (the same both sides).", "pa"),
        ("Max 95 dB(A) wegen Nachbarn", "limiter-point"),
        ("lignes 41 à 48 restent à la maison", "inputs-free"),
    ],
)
def test_what_only_looks_like_a_value_is_not_sure(text: str, topic: str) -> None:
    """Words over the end of a short line, a clause about something else, two values, a reason."""
    assert sure_of(text, topic) == []


def test_a_word_before_the_first_of_several_runs_says_nothing_of_the_others() -> None:
    """Only the run that it stands at is kept for sure."""
    text = "Channels 1-16 house drums stay in place all day, 17-40 per act."
    assert sure_of(text, "kept-sockets") == ["1-16"]


def test_a_kind_of_microphone_behind_its_number_is_read() -> None:
    """Whatever the number is written with."""
    assert sure_of("Mics: 12 dyn, 8 cond", "microphones") == ["12 dynamic", "8 condenser"]
    assert sure_of("Microfoons: 6x dynamisch, 2x condensator", "microphones") == ["6 dynamic", "2 condenser"]
