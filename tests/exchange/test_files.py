"""Rigs and answers as files."""

import json
import math
import unicodedata
from collections.abc import Callable
from dataclasses import fields
from pathlib import Path
from types import MappingProxyType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.exchange.faults import Fault, NotReadable
from portal.exchange.files import (
    MOST_BYTES,
    answers_to_document,
    document_to_answers,
    document_to_rig,
    read_answers,
    read_document,
    read_rig,
    rig_to_document,
)
from portal.exchange.keys import Key, keys_of
from portal.plan.input.facts import Answer
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import (
    Configuration,
    Ears,
    Loom,
    Mixer,
    MixerLink,
    Out,
    Rig,
    Source,
    Splitter,
    SplitterOutput,
)
from portal.plan.input.small_things import BIT_KEYS

RIG = """
schema = 1
name = "The Example Five"
[mixer]
inputs = 24
phantom_budget_ma = 120
outs = [{key = "out-1", use = "ears:Sam"}, {key = "out-9", tap_before = ["gate", "eq"], max_dbu = 18.5}]
[[source]]
key = "s-1"
label = "Kick In"
what = "drum.kick-drum"
must = true
at_m = [0, 2.5]
owner = {mic = "house"}
[[source]]
key = "s-2"
label = "Vocal"
max_dbu = -10
[[splitter]]
key = "rack-a"
ways = 16
[[ears]]
width = "mono"
player = "Sam"
outs = ["out-1"]
[bits]
di_active = 2
xlr_5m = 20
[configurations.acoustic]
off = ["s-1"]
"""

ANSWERS = """
schema = 1
inputs-free = {value = 12, by = "house", on = "2026-11-20"}
box-distance = {value = 12.5, by = "band"}
pa = {state = "unknown"}
talkback = {state = "n/a", by = "house", on = 2026-11-20}
radio = {value = "Two in-ear systems\\nand a guitar", by = "house"}
"""


def faults_of(document: object) -> tuple[Fault, ...]:
    with pytest.raises(NotReadable) as caught:
        document_to_rig(document)
    return caught.value.faults


def answer_faults(document: object) -> tuple[Fault, ...]:
    with pytest.raises(NotReadable) as caught:
        document_to_answers(document)
    return caught.value.faults


def faults_or_none(read: Callable[[object], object], what: object) -> tuple[Fault, ...]:
    try:
        read(what)
    except NotReadable as error:
        return error.faults
    return ()


# --- reading


def test_a_toml_rig_becomes_the_cores_own(tmp_path: Path):
    """A file's keys are the rig's fields; what is left out is unknown."""
    file = tmp_path / "rig.toml"
    file.write_text(RIG, "utf-8")
    rig = read_rig(file)
    assert rig.mixer == Mixer(
        inputs=24,
        phantom_budget_ma=120,
        outs=(Out(key="out-1", use="ears:Sam"), Out(key="out-9", tap_before=("gate", "eq"), max_dbu=18.5)),
    )
    assert [source.label for source in rig.source] == ["Kick In", "Vocal"]
    assert rig.source[0].at_m == (0.0, 2.5)
    assert (rig.source[0].owner.mic, rig.source[0].owner.stand) == ("house", "band")
    assert rig.source[1].phantom_ma is None
    assert rig.splitter == (Splitter(key="rack-a", ways=16),)
    assert rig.ears == (Ears(player="Sam", width="mono", outs=("out-1",)),)
    assert dict(rig.bits) == {"di_active": 2, "xlr_5m": 20}
    assert rig.configurations["acoustic"] == Configuration(off=("s-1",))


def test_toml_and_json_say_the_same(tmp_path: Path):
    """The same keys in JSON give the same rig, and the suffix is not needed to tell them apart."""
    for name, content in (("a.toml", RIG), ("b.json", json.dumps(read_document(RIG.encode()))), ("c", "\ufeff" + RIG)):
        (tmp_path / name).write_text(content, "utf-8")
    (tmp_path / "d").write_bytes((tmp_path / "b.json").read_bytes())
    assert (
        read_rig(tmp_path / "a.toml")
        == read_rig(tmp_path / "b.json")
        == read_rig(tmp_path / "c")
        == read_rig(tmp_path / "d")
    )


def test_answers_have_four_states(tmp_path: Path):
    """Absent, unknown, not applicable, or a value with who said it and when; a distance in metres is kept in
    centimetres.
    """
    (tmp_path / "answers.toml").write_text(ANSWERS, "utf-8")
    answers = read_answers(tmp_path / "answers.toml")
    assert dict(answers) == {
        "inputs-free": Answer("answered", 12, "house", "2026-11-20"),
        "box-distance": Answer("answered", 1250, "band"),
        "pa": Answer("unknown"),
        "talkback": Answer("n/a", None, "house", "2026-11-20"),
        "radio": Answer("answered", "Two in-ear systems\nand a guitar", "house"),
    }


# --- every fault at once


def test_every_fault_of_a_rig_comes_at_once():
    """Each fault is named by its path, with what was expected and what came."""
    document = {
        "mixer": {
            "inputs": "12",
            "ear_limiters": 1,
            "phantom_budget_ma": True,
            "outs": [{"tap_before": ["eq", "reverb"]}],
        },
        "source": [
            {"phanton_ma": 2, "at_m": [0], "label": "a" * 41, "note": "a\nb", "stand": "big", "way": 1.0},
            {"at_m": [0, "x"], "mixer_input": 0, "max_dbu": math.nan, "never_with": "s-1", "key": None},
            3,
        ],
        "bits": {"di_activ": 1, "xlr_5m": -1, "xlr_05m": 1},
        "configurations": {"my set": {"off": [1]}},
        "splitter": {},
        "mix": None,
        "stage_view": "audience",
    }
    names = ", ".join(BIT_KEYS) + " or xlr_ with metres, such as xlr_5m or xlr_7_5m"
    assert set(faults_of(document)) == {
        Fault("schema", "the number 1", "nothing: the key is missing"),
        Fault("mixer.inputs", "a whole number from 0 to 256", 'the text "12"'),
        Fault("mixer.ear_limiters", "true or false", "the number 1"),
        Fault("mixer.phantom_budget_ma", "a number from 0 to 2000", "true"),
        Fault(
            "mixer.outs[0].tap_before[1]",
            "one of: compressor, delay, eq, fader, gate, high-pass, insert, mute",
            'the text "reverb"',
        ),
        Fault("source[0].phanton_ma", 'a known key, perhaps "phantom_ma"', "a key that nothing reads"),
        Fault("source[0].at_m", "two numbers, each from -100 to 100", "a list of 1"),
        Fault("source[0].label", "text of at most 40 characters", f'the text "{"a" * 39}…" and more'),
        Fault("source[0].note", "text without control characters", "control characters"),
        Fault("source[0].stand", "one of: none, short, tall, clip, straight (or empty)", 'the text "big"'),
        Fault("source[0].way", "a whole number from 1 to 128", "the number 1.0"),
        Fault("source[1].at_m[1]", "a number from -100 to 100", 'the text "x"'),
        Fault("source[1].mixer_input", "a whole number from 1 to 256", "the number 0"),
        Fault("source[1].max_dbu", "a number from -80 to 30", "the number nan"),
        Fault("source[1].never_with", "a list of at most 16 texts", 'the text "s-1"'),
        Fault("source[1].key", "text of at most 40 characters", "nothing"),
        Fault("source[2]", "a table", "the number 3"),
        Fault("bits.di_activ", f'one of: {names}; perhaps "di_active"', "another name"),
        Fault("bits.xlr_5m", "a whole number from 0 to 999", "the number -1"),
        Fault("bits.xlr_05m", f"one of: {names}", "another name"),
        Fault('configurations."my set".off[0]', "text of at most 40 characters", "the number 1"),
        Fault("splitter", "a list of at most 8 tables", "a table"),
        Fault("mix", "a table", "nothing"),
        Fault("stage_view", 'the word "performer"', 'the text "audience"'),
    }


@pytest.mark.parametrize("schema", [0, 2, "1", 1.0, True, None])
def test_another_format_number_is_refused(schema: object):
    """A file of another format is never read as if it were this one."""
    assert [fault.path for fault in faults_of({"schema": schema})] == ["schema"]
    assert [fault.path for fault in answer_faults({"schema": schema})] == ["schema"]


@pytest.mark.parametrize("document", [None, 3, "rig", [], [{"schema": 1}]])
def test_a_document_is_a_table(document: object):
    """Anything but a table is refused as a whole."""
    assert [fault.expected for fault in faults_of(document)] == ["a table"]
    assert [fault.expected for fault in answer_faults(document)] == ["a table"]


def test_more_rows_than_the_portal_takes():
    """Limits of lists hold: 128 sources and not one more."""
    document = {"schema": 1, "source": [{}] * 129}
    assert faults_of(document) == (Fault("source", "a list of at most 128 tables", "a list of 129"),)
    assert len(document_to_rig({"schema": 1, "source": [{}] * 128}).source) == 128


@pytest.mark.parametrize("text", ["a\x00b", "a\tb", "a\u202eb", "a\u2028b", "a\ud800b", "\x9b31m"])
def test_characters_that_cannot_be_printed_are_refused(text: str):
    """No label turns the direction of writing, breaks a row or drives a terminal."""
    assert [fault.path for fault in faults_of({"schema": 1, "name": text})] == ["name"]
    assert [fault.path for fault in answer_faults({"schema": 1, "contact-name": {"value": text}})] == [
        "contact-name.value"
    ]


def test_a_file_that_is_no_rig_at_all_is_told_so_in_few_words():
    """A table of thousands of unknown keys gives a list that still can be read."""
    found = faults_of({"schema": 1} | {f"k{number}": 1 for number in range(3000)})
    assert len(found) == 501
    assert found[-1] == Fault("", "a file with fewer faults", "2500 more")


def test_accents_in_two_pieces_become_one():
    """Text is kept in normal form C, and the limit counts what is kept."""
    rig = document_to_rig({"schema": 1, "source": [{"label": "e\u0301" * 40}]})
    assert rig.source[0].label == "\u00e9" * 40


def test_every_fault_of_the_answers_comes_at_once():
    """Unknown questions, wrong values, two states at once: all are named together."""
    document = {
        "schema": 1,
        "inputs-fre": {"value": 12},
        "inputs-free": {"value": "12", "by": "venue", "on": "20.11.2026"},
        "pa": {"value": "surround", "state": "unknown"},
        "talkback": {},
        "who-mixes": {"state": "answered"},
        "patching": {"value": "soft", "when": "today"},
        "isolation": "wanted",
        "box-distance": {"value": "12"},
        "room-capacity": {"value": 0},
        "sockets-free": {"value": "0-4"},
        "contact-name": {"value": " "},
        "sound-check": {"value": None, "on": "2026-02-30"},
    }
    assert answer_faults(document) == (
        Fault("inputs-fre", 'the key of a question, perhaps "inputs-free"', "a key that no question has"),
        Fault("inputs-free.by", "one of: house, band, assumed", 'the text "venue"'),
        Fault("inputs-free.on", "a date such as 2026-11-20", 'the text "20.11.2026"'),
        Fault("inputs-free.value", "a whole number from 0 to 128", 'the text "12"'),
        Fault("pa", "either a value or a state", "both"),
        Fault("pa.value", "one of: stereo, mono, none", 'the text "surround"'),
        Fault("talkback", "either a value or a state", "neither"),
        Fault("who-mixes.state", "one of: unknown, n/a", 'the text "answered"'),
        Fault("patching.when", "one of: value, state, by, on", "a key that nothing reads"),
        Fault("isolation", "a table with a value or a state", 'the text "wanted"'),
        Fault("box-distance.value", "a number of metres from 0 to 100", 'the text "12"'),
        Fault("room-capacity.value", "a whole number from 1 to 100000", "the number 0"),
        Fault("sockets-free.value", 'socket numbers from 1 to 128 as text, such as "1-8, 11"', 'the text "0-4"'),
        Fault("contact-name.value", "text of 1 to 80 characters", 'the text " "'),
        Fault("sound-check.on", "a date such as 2026-11-20", 'the text "2026-02-30"'),
        Fault("sound-check.value", "one of: sound-check, line-check, none", "nothing"),
    )


@pytest.mark.parametrize("metres", [-0.001, 100.01, math.nan, math.inf, True, 10**400])
def test_a_distance_has_limits(metres: object):
    """A distance lies from 0 to 100 metres, and is a number."""
    assert [fault.path for fault in answer_faults({"schema": 1, "box-distance": {"value": metres}})] == [
        "box-distance.value"
    ]


# --- files that are no TOML or JSON


@pytest.mark.parametrize(
    ("content", "fault"),
    [
        (b'{"schema": 1,}', Fault("line 1, column 14", "JSON", "expecting property name enclosed in double quotes")),
        (b'{"schema": 1, "schema": 1}', Fault("", "JSON", 'the key "schema" twice in one table')),
        (b'{"schema": NaN}', Fault("", "JSON", "the word NaN in place of a number")),
        (b'{"schema": "\\x"}', Fault("line 1, column 13", "JSON", "unreadable \\escape")),
        (b'schema = 1\nname = "a\x01"', Fault("line 2, column 10", "TOML", "unreadable character '\\x01'")),
        (b"schema = 1\nschema = 2", Fault("", "TOML", "cannot overwrite a value")),
        (b"schema = 1" + b"0" * 5000, Fault("", "TOML", "a number with too many digits")),
        (b"\xff\xfe", Fault("", "text in UTF-8", "other bytes")),
        (b"a." * 32 + b"a = 1", Fault("", "TOML", "a key of more than 32 parts")),
        (
            b"schema = 1\n" + b"".join(b"[t%d]\n" % number for number in range(1_001)),
            Fault("", "TOML", "more than 1000 tables"),
        ),
        (
            b"schema = 1\n[bits]\n" + b"".join(b"k%d = 1\n" % number for number in range(1_001)),
            Fault("", "TOML", "more than 1000 keys in one table"),
        ),
        (
            b'{"schema": 1' + b"".join(b',"k%d":1' % number for number in range(1_000)) + b"}",
            Fault("", "JSON", "more than 1000 keys in one table"),
        ),
        (b"[" * 100_000, Fault("", "tables within a few tables", "tables nested without end")),
        (b"#" * (MOST_BYTES + 1), Fault("", "a file of at most 2 MB", "a larger one")),
    ],
    ids=lambda value: value[:20] if isinstance(value, bytes) else "",
)
def test_a_file_that_cannot_be_read_says_where(content: bytes, fault: Fault):
    """Broken files are refused with their place, without scolding."""
    with pytest.raises(NotReadable) as caught:
        read_document(content)
    assert caught.value.faults == (fault,)


def test_a_file_that_is_not_there_is_a_fault(tmp_path: Path):
    """A missing file, and a folder in its place, are told like any other fault."""
    for place in (tmp_path / "none.toml", tmp_path):
        with pytest.raises(NotReadable) as caught:
            read_rig(place)
        assert caught.value.faults[0].expected == "a file that can be read"


def test_the_largest_file_is_still_read(tmp_path: Path):
    """A file of exactly the limit is read."""
    (tmp_path / "rig.toml").write_bytes(b"schema = 1\n#" + b"a" * (MOST_BYTES - 12))
    assert read_rig(tmp_path / "rig.toml") == Rig()


@given(st.binary(max_size=60) | st.text(max_size=40).map(lambda text: ("{" + text).encode("utf-8", "replace")))
def test_no_bytes_bring_the_reader_down(content: bytes):
    """Whatever a file holds, it is read or refused with faults."""
    assert all(
        fault.expected and fault.came
        for fault in faults_or_none(lambda given: document_to_rig(read_document(given)), content)
    )


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from([*keys_of(Rig), *keys_of(Source), "x"]), inner, max_size=4)
    ),
    max_leaves=15,
)


@given(st.dictionaries(st.sampled_from([*keys_of(Rig), *QUESTIONS]), JSON, max_size=6))
def test_no_document_brings_the_readers_down(document: dict):
    """Whatever a document holds, it is read or refused, and each fault says what was expected and what came."""
    for read in (document_to_rig, document_to_answers):
        assert all(fault.expected and fault.came for fault in faults_or_none(read, document))


# --- there and back


PRINTABLE = st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp", "Cf"))


def texts(longest: int, shortest: int = 0) -> st.SearchStrategy[str]:
    tidy = st.text(PRINTABLE, min_size=shortest, max_size=longest).map(lambda text: unicodedata.normalize("NFC", text))
    return tidy.filter(lambda text: shortest <= len(text) <= longest)


def values(key: Key) -> st.SearchStrategy:
    """Any value that the key's own limits allow."""
    numbers = st.floats(key.lo, key.hi)
    if key.is_pair:
        made = st.tuples(numbers, numbers)
    elif key.is_list:
        item = records(key.table) if key.table else st.sampled_from(key.each) if key.each else texts(key.longest)
        made = st.lists(item, max_size=min(key.most or 3, 3)).map(tuple)
    elif key.is_named and key.table:
        made = st.dictionaries(texts(40, 1), records(key.table), max_size=2).map(MappingProxyType)
    elif key.is_named:
        names = st.sampled_from([*BIT_KEYS, "xlr_1m", "xlr_100m"])
        made = st.dictionaries(names, st.integers(0, 999), max_size=3).map(MappingProxyType)
    elif key.table:
        made = records(key.table)
    elif key.base is str:
        made = st.sampled_from(key.one_of) if key.one_of else texts(key.longest)
    elif key.base is bool:
        made = st.booleans()
    else:
        made = st.integers(int(key.lo), int(key.hi)) if key.base is int else numbers
    return st.none() | made if key.optional else made


def records(table: type) -> st.SearchStrategy:
    return st.builds(table, **{name: values(key) for name, key in keys_of(table).items()})


@given(records(Rig))
def test_a_rig_survives_its_document(rig: Rig):
    """What is stored is read back as the very same rig, through JSON text as well."""
    document = rig_to_document(rig)
    assert document_to_rig(document) == rig
    assert document_to_rig(json.loads(json.dumps(document, allow_nan=False))) == rig


def test_a_document_has_every_key():
    """A stored rig does not change when a default does: every key of it is written out."""
    document = rig_to_document(Rig(source=(Source(),)))
    assert set(document) == {field.name for field in fields(Rig)}
    assert set(document["source"][0]) == {field.name for field in fields(Source)}
    assert document["source"][0]["phantom_ma"] is None


@st.composite
def answer_sets(draw) -> dict[str, Answer]:
    answers = {}
    for key in draw(st.lists(st.sampled_from(sorted(QUESTIONS)), unique=True, max_size=6)):
        kind = QUESTIONS[key].kind
        said = {
            "Choice": lambda kind: st.sampled_from([option.key for option in kind.options]),
            "Count": lambda kind: st.integers(kind.lo, kind.hi),
            "Distance": lambda kind: st.integers(0, kind.hi_cm),
            "Sockets": lambda _: st.sampled_from(["1", "1-8, 11", "2, 4, 6"]),
            "Text": lambda _: texts(20, 1).filter(str.strip),
        }[type(kind).__name__](kind)
        by = draw(st.sampled_from(["", "house", "band", "assumed"]))
        on = draw(st.just("") | st.dates().map(lambda date: date.isoformat()))
        state = draw(st.sampled_from(["answered", "unknown", "n/a"]))
        answers[key] = Answer(state, draw(said) if state == "answered" else None, by, on)
    return answers


@given(answer_sets())
def test_answers_survive_their_document(answers: dict[str, Answer]):
    """What is written is read back as the very same answers, centimetre by centimetre."""
    document = json.loads(json.dumps(answers_to_document(answers)))
    assert dict(document_to_answers(document)) == answers


def test_every_centimetre_survives():
    """No distance is off by a centimetre after a trip through metres."""
    for distance in range(10_001):
        answers = {"box-distance": Answer("answered", distance)}
        assert dict(document_to_answers(answers_to_document(answers))) == answers


# --- the documented keys themselves


def tables(table: type) -> set[type]:
    return {table}.union(*(tables(key.table) for key in keys_of(table).values() if key.table))


@pytest.mark.parametrize(
    "table", sorted(tables(Rig), key=lambda table: table.__name__), ids=lambda table: table.__name__
)
def test_every_key_is_documented_and_bounded(table: type):
    """Each key says what it means, and nothing in a rig is without a limit."""
    for key in keys_of(table).values():
        assert key.doc
        numbers = key.base in (int, float) or key.is_pair or (key.is_named and not key.table)
        assert not numbers or (key.lo is not None and key.hi is not None), key.name
        assert not (key.is_list or (key.is_named and key.table)) or key.most, key.name


def test_a_default_is_a_value_that_the_key_takes():
    """Writing every default out is the same as leaving it out."""
    rig = Rig(
        mixer=Mixer(outs=(Out(),), links=(MixerLink(),)),
        source=(Source(),),
        splitter=(Splitter(outputs=(SplitterOutput(),)),),
        loom=(Loom(),),
        ears=(Ears(),),
        configurations=MappingProxyType({"small": Configuration()}),
    )
    sparse = {
        "schema": 1,
        "mixer": {"outs": [{}], "links": [{}]},
        "source": [{}],
        "splitter": [{"outputs": [{}]}],
        "loom": [{}],
        "ears": [{}],
        "configurations": {"small": {}},
    }
    assert document_to_rig(rig_to_document(rig)) == document_to_rig(sparse) == rig
