"""A document as a page of HTML: what the renderer prints, and what a browser shows and prints where there is no
renderer.
"""

from __future__ import annotations

from functools import cache

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from portal.documents.cover import Cover
from portal.documents.registry import DOCUMENTS, Document
from portal.documents.rendering.printed import typeset
from portal.documents.rendering.sizes import A4, PaperSize
from portal.places import TEMPLATES
from portal.plan.model import Plan
from portal.wording.kinds import KIND_WORDS
from portal.wording.templates import translate


@cache
def environment() -> Environment:
    """The templates of papers; a misspelt name is an error."""
    found = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    translate(found)
    found.filters["typeset"] = typeset
    found.filters["on_one_line"] = on_one_line
    found.globals["kind_words"] = KIND_WORDS
    return found


def on_one_line(head: str) -> str:
    """A column's head without its breaks, as a cell bears it where its row is folded."""
    return str(head).replace("<br>", " ")


def page(key: str, plan: Plan, cover: Cover, stylesheet: str, size: PaperSize = A4) -> str:
    """The document as a whole HTML page. ``stylesheet`` is the address of ``print.css`` for whoever reads the page.

    Raises ``KeyError`` where no paper has that key. The template escapes every text.
    """
    entry = DOCUMENTS[key]
    if entry.build is None:
        raise KeyError(key)
    return show(entry, entry.build(plan, cover), stylesheet, size)


def show(entry: Document, sheet: object, stylesheet: str, size: PaperSize = A4, page_rule: str = "") -> str:
    """What a builder made, as a whole HTML page. ``page_rule`` is a style of its own for a page of any size; a
    browser's policy stops it.
    """
    template = environment().get_template(f"print/{entry.template}")
    return template.render(sheet=sheet, stylesheet=stylesheet, size=size.name, wide=entry.wide, page_rule=page_rule)
