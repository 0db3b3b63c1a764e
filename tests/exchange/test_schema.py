"""The JSON Schemas, judged by a reader of schemas that knows nothing of the code they are made from."""

import json
import re
import tomllib
from copy import deepcopy
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from portal.exchange.faults import NotReadable
from portal.exchange.files import answers_to_document, document_to_answers, document_to_rig, rig_to_document
from portal.exchange.schema import DIALECT, SCHEMAS
from portal.plan.signed.serialization import with_texts
from tests.exchange.reading_back import from_json

PLAN_TESTS = Path(__file__).parents[1] / "plan"
CASES = sorted((PLAN_TESTS / "cases").glob("*.toml"))

ALL = {name: make() for name, make in SCHEMAS.items()}

TYPES = {"object": dict, "array": list, "string": str, "boolean": bool, "null": type(None)}
SAYS_NOTHING = {"$schema", "$defs", "title", "description", "default"}


def has_type(value: object, name: str) -> bool:
    if name in ("integer", "number"):
        return (
            isinstance(value, int | float) and not isinstance(value, bool) and (name == "number" or value == int(value))
        )
    return isinstance(value, TYPES[name])


def is_date(value: object) -> bool:
    try:
        return not isinstance(value, str) or bool(date.fromisoformat(value))
    except ValueError:
        return False


def holds(value: object, schema: dict, root: dict) -> bool:
    """True where the value fits the schema (draft 2020-12, the words used here; another word is an error)."""
    is_table, is_list, is_text = isinstance(value, dict), isinstance(value, list), isinstance(value, str)
    is_number = has_type(value, "number")
    table = value if is_table else {}
    patterns = schema.get("patternProperties", {})
    rest = [
        name
        for name in table
        if name not in schema.get("properties", {}) and not any(re.search(one, name) for one in patterns)
    ]
    more = schema.get("additionalProperties", {})
    judges = {
        "$ref": lambda word: holds(value, root["$defs"][word.removeprefix("#/$defs/")], root),
        "type": lambda word: has_type(value, word),
        "const": lambda word: value == word and type(value) is type(word),
        "enum": lambda word: value in word,
        "anyOf": lambda word: any(holds(value, one, root) for one in word),
        "oneOf": lambda word: sum(holds(value, one, root) for one in word) == 1,
        "properties": lambda word: all(holds(table[name], one, root) for name, one in word.items() if name in table),
        "patternProperties": lambda word: all(
            holds(table[name], one, root) for pattern, one in word.items() for name in table if re.search(pattern, name)
        ),
        "additionalProperties": lambda _: (
            not rest if more is False else all(holds(table[name], more, root) for name in rest)
        ),
        "propertyNames": lambda word: all(holds(name, word, root) for name in table),
        "required": lambda word: not is_table or set(word) <= set(value),
        "maxProperties": lambda word: not is_table or len(value) <= word,
        "items": lambda word: not is_list or all(holds(one, word, root) for one in value),
        "minItems": lambda word: not is_list or len(value) >= word,
        "maxItems": lambda word: not is_list or len(value) <= word,
        "minLength": lambda word: not is_text or len(value) >= word,
        "maxLength": lambda word: not is_text or len(value) <= word,
        "pattern": lambda word: not is_text or bool(re.search(word, value)),
        "format": lambda word: word == "date" and is_date(value),
        "minimum": lambda word: not is_number or value >= word,
        "maximum": lambda word: not is_number or value <= word,
    }
    return all(judges[word](said) for word, said in schema.items() if word not in SAYS_NOTHING)


def fits(value: object, name: str) -> bool:
    return holds(value, ALL[name], ALL[name])


def golden(name: str) -> dict:
    """A stored outcome as today's portal gives it out."""
    outcome = from_json(json.loads((PLAN_TESTS / "golden" / name).read_text("utf-8")))
    return json.loads(json.dumps(with_texts(replace(outcome, schema=2), repr)))


@pytest.mark.parametrize("schema", ALL.values(), ids=ALL)
def test_a_schema_names_its_dialect_and_is_json(schema: dict):
    """Each schema says which draft it follows, and is plain JSON."""
    assert schema["$schema"] == DIALECT
    assert json.loads(json.dumps(schema)) == schema


@pytest.mark.parametrize("case", CASES, ids=lambda file: file.stem)
def test_real_files_fit(case: Path):
    """What the reader takes fits the schema, as it stands in the file and as it is written again."""
    content = tomllib.loads(case.read_text("utf-8"))
    rig, answers = content["rig"], content["answers"]
    assert fits(rig, "rig")
    assert fits(rig_to_document(document_to_rig(rig)), "rig")
    assert fits(answers, "answers")
    assert fits(json.loads(json.dumps(answers_to_document(document_to_answers(answers)))), "answers")


def test_outcomes_fit():
    """A plan fits the plan's schema and not the other, and the other way round."""
    plan, no_plan = golden("plan-2.json"), golden("no-plan.json")
    assert fits(plan, "plan")
    assert fits(no_plan, "no-plan")
    assert not fits(plan, "no-plan")
    assert not fits(no_plan, "plan")


RIG = {
    "schema": 1,
    "mixer": {"inputs": 16, "outs": [{"key": "out-1", "tap_before": ["eq"]}]},
    "source": [{"key": "s-1", "label": "Kick In", "at_m": [0, 1.5], "must": None, "phantom": "yes"}],
    "bits": {"di_active": 1, "xlr_5m": 2},
    "configurations": {"small": {"off": ["s-1"]}},
}


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (["schema"], 2),
        (["schema"], None),
        (["extra"], 1),
        (["mixer", "inputs"], "16"),
        (["mixer", "inputs"], 257),
        (["mixer", "inputs"], True),
        (["mixer", "outs"], {}),
        (["mixer", "outs", 0, "tap_before"], ["reverb"]),
        (["source", 0, "label"], "a" * 41),
        (["source", 0, "label"], None),
        (["source", 0, "at_m"], [0]),
        (["source", 0, "at_m"], [0, 101]),
        (["source", 0, "phantom"], "maybe"),
        (["source", 0, "phanton"], "yes"),
        (["source"], [{}] * 129),
        (["bits", "xlr_m"], 1),
        (["bits", "di_active"], 1000),
        (["configurations", "small", "on"], []),
        (["configurations", "x" * 41], {}),
    ],
)
def test_schema_and_reader_refuse_the_same(path: list, value: object):
    """A rig that the reader refuses does not fit the schema either."""
    document = deepcopy(RIG)
    assert fits(document, "rig")
    document_to_rig(document)
    inner = document
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] = value
    assert not fits(document, "rig")
    with pytest.raises(NotReadable):
        document_to_rig(document)


@pytest.mark.parametrize(
    "entry",
    [
        {"inputs-free": {"value": "12"}},
        {"inputs-free": {"value": 129}},
        {"inputs-free": {"value": 12, "state": "unknown"}},
        {"inputs-free": {"state": "answered"}},
        {"inputs-free": {}},
        {"inputs-free": 12},
        {"inputs-free": {"value": 12, "by": "venue"}},
        {"inputs-free": {"value": 12, "on": "20.11.2026"}},
        {"inputs-fre": {"value": 12}},
        {"pa": {"value": "surround"}},
        {"box-distance": {"value": 100.5}},
        {"contact-name": {"value": ""}},
    ],
)
def test_answers_that_are_none_do_not_fit(entry: dict):
    """Answers that the reader refuses do not fit the schema either."""
    assert fits(
        {"schema": 1, "inputs-free": {"value": 12, "by": "house", "on": "2026-11-20"}, "pa": {"state": "n/a"}},
        "answers",
    )
    assert not fits({"schema": 1, **entry}, "answers")


@pytest.mark.parametrize("name", ["lines", "engine", "status", "ears"])
def test_a_plan_without_a_key_does_not_fit(name: str):
    """A written plan has every key; one that lacks one, or has one more, is no plan."""
    plan = golden("plan-2.json")
    del plan[name]
    assert not fits(plan, "plan")
    assert not fits({**golden("plan-2.json"), "more": 1}, "plan")
    assert not fits({**golden("plan-2.json"), "proven": "yes"}, "plan")
