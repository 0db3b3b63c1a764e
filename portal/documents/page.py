"""A document as a page of HTML: what the renderer prints, and what a browser shows and prints where there is no renderer."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from portal.documents.cover import Cover
from portal.documents.registry import DOCUMENTS
from portal.plan.words import Plan

TEMPLATES = Path(__file__).parents[2] / "templates"


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def page(key: str, plan: Plan, cover: Cover, stylesheet: str) -> str:
    """The document as a whole HTML page. ``stylesheet`` is the address of ``print.css`` for whoever reads the page.

    Raises ``KeyError`` where no document has that key. The template escapes every text.
    """
    entry = DOCUMENTS[key]
    template = _environment().get_template(f"documents/{entry.template}")
    return template.render(sheet=entry.build(plan, cover), stylesheet=stylesheet)
