"""JSON Schema (draft 2020-12) of what the portal reads and writes as JSON: rig, answers, plan, no plan.

Made from the dataclasses themselves. A schema judges one key at a time; what contradicts itself is found by
``portal.plan.coherence``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import cast

from pydantic import TypeAdapter
from pydantic.json_schema import GenerateJsonSchema

from portal.exchange.checking import model_of
from portal.exchange.files import ANSWERED_BY, ANSWERS_SCHEMA, UNANSWERED
from portal.plan.input.answer_kinds import AnswerKind, Choice, Count, Distance, Sockets
from portal.plan.input.questions import QUESTIONS, Question
from portal.plan.input.rig import Rig
from portal.plan.model import NoPlan, Plan
from portal.plan.signed.serialization import Json

DIALECT = "https://json-schema.org/draft/2020-12/schema"


class _WithoutTitles(GenerateJsonSchema):
    """A key's name in capitals says nothing more than the key."""

    def field_title_should_be_set(self, _schema: object) -> bool:
        return False


def rig_schema() -> dict[str, Json]:
    """The schema of a rig's file or document."""
    return _dialect(_closed(model_of(Rig).model_json_schema(schema_generator=_WithoutTitles)))


def answers_schema() -> dict[str, Json]:
    """The schema of an answers file or document."""
    around: dict[str, Json] = {"by": {"enum": list(ANSWERED_BY)}, "on": {"type": "string", "format": "date"}}
    unanswered: dict[str, Json] = {
        "type": "object",
        "properties": {"state": {"enum": list(UNANSWERED)}, **around},
        "required": ["state"],
        "additionalProperties": False,
    }
    questions: dict[str, Json] = {
        question.key: {
            "description": question.house,
            "oneOf": [
                {
                    "type": "object",
                    "properties": {"value": _value(question), **around},
                    "required": ["value"],
                    "additionalProperties": False,
                },
                {"$ref": "#/$defs/unanswered"},
            ],
        }
        for question in QUESTIONS.values()
    }
    return _dialect(
        {
            "title": "Answers",
            "type": "object",
            "properties": {"schema": {"const": ANSWERS_SCHEMA}, **questions},
            "required": ["schema"],
            "additionalProperties": False,
            "$defs": {"unanswered": unanswered},
        }
    )


def _outcome(outcome: type[Plan | NoPlan], status: str) -> dict[str, Json]:
    made = _closed(
        TypeAdapter(outcome).json_schema(mode="serialization", schema_generator=_WithoutTitles), every_key=True
    )
    properties, parts = cast("dict[str, Json]", made["properties"]), cast("dict[str, Json]", made["$defs"])
    phrase = cast("dict[str, dict[str, Json]]", parts["Phrase"])
    phrase["properties"]["text"] = {"type": "string"}
    return _dialect({**made, "properties": {**properties, "status": {"const": status}}})


def _closed(schema: dict[str, Json], *, every_key: bool = False) -> dict[str, Json]:
    """The schema so that each table has no keys but the named ones; with ``every_key`` it has every one of them."""
    inner: dict[str, Json] = {}
    for name, below in schema.items():
        if isinstance(below, dict):
            inner[name] = _closed(below, every_key=every_key)
        elif isinstance(below, list):
            inner[name] = [_closed(one, every_key=every_key) if isinstance(one, dict) else one for one in below]
        else:
            inner[name] = below
    properties = inner.get("properties")
    if "patternProperties" in inner or isinstance(properties, dict):
        inner["additionalProperties"] = False
    if every_key and isinstance(properties, dict):
        inner["required"] = list(properties)
    return inner


def _value(question: Question) -> Json:
    kind: AnswerKind = question.kind
    if isinstance(kind, Choice):
        return {"enum": [option.key for option in kind.options]}
    if isinstance(kind, Count):
        return {"type": "integer", "minimum": kind.lo, "maximum": kind.hi}
    if isinstance(kind, Distance):
        return {"type": "number", "minimum": 0, "maximum": kind.hi_cm // 100, "description": "Metres"}
    if isinstance(kind, Sockets):
        return {"type": "string", "minLength": 1, "description": f"Socket numbers from 1 to {kind.hi}, such as 1-8, 11"}
    return {"type": "string", "minLength": 1, "maxLength": kind.longest}


def _dialect(made: dict[str, Json]) -> dict[str, Json]:
    return {"$schema": DIALECT, **made}


SCHEMAS: Mapping[str, Callable[[], dict[str, Json]]] = MappingProxyType(
    {
        "rig": rig_schema,
        "answers": answers_schema,
        "plan": lambda: _outcome(Plan, "plan"),
        "no-plan": lambda: _outcome(NoPlan, "no-plan"),
    }
)
"""The maker of each schema, by what it is the schema of."""
