"""A page is a frozen dataclass that names its template; ``render`` is the only door to the templates."""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property
from types import MappingProxyType
from typing import ClassVar

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from portal.places import TEMPLATES
from portal.web.frame.kept import drawn_once
from portal.web.frame.links import band_base, page_script, path_to, static
from portal.web.frame.reader import choices, unit_choices
from portal.wording.catalogue import language
from portal.wording.kinds import KIND_WORDS
from portal.wording.plan.saying import say
from portal.wording.templates import translate


@dataclass(frozen=True)
class Fault:
    """A field and the sentence that says what to do about it."""

    field: str
    sentence: str


NO_FAULTS: tuple[Fault, ...] = ()


@dataclass(frozen=True)
class Draft:
    """What a form shows: entries, faults, the version it is drawn from (0: nothing to collide with) and its one-time
    key.
    """

    values: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    faults: tuple[Fault, ...] = NO_FAULTS
    version: int = 0
    key: str = field(default_factory=lambda: secrets.token_urlsafe(16))

    @classmethod
    def of(cls, values: Mapping[str, str], version: int = 0) -> "Draft":
        """A form filled with stored values."""
        return cls({name: (value,) for name, value in values.items()}, version=version)

    def value(self, name: str) -> str:
        """The entry of a field, empty where there is none."""
        return next(iter(self.values.get(name, ())), "")

    def has(self, name: str, option: str) -> bool:
        """True where the option of a radio group or list is chosen."""
        return option in self.values.get(name, ())

    def fault(self, name: str) -> str:
        """The sentence at a field, empty where all is well."""
        return self._sentences.get(name, "")

    @cached_property
    def _sentences(self) -> dict[str, str]:
        return {fault.field: fault.sentence for fault in reversed(self.faults)}


@dataclass(frozen=True)
class Choice:
    """What a field offers, value and words, and the value that is chosen."""

    options: tuple[tuple[str, str], ...]
    chosen: str


@dataclass(frozen=True, kw_only=True)
class Page:
    """What every page has. A subclass names its template and adds a field for each thing that the template reads as
    ``page.<field>``.
    """

    template: ClassVar[str]
    title: str

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What is wrong in the page's form; empty on pages without one."""
        return NO_FAULTS


@dataclass(frozen=True, kw_only=True)
class FormPage(Page):
    """A page whose main content is one form."""

    form: Draft

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What is wrong in the form."""
        return self.form.faults


@dataclass(frozen=True)
class Viewer:
    """Who is looking, for the head of the page: a member of a band, the holder of a link to one gig, or somebody with
    the sheet, who stands for no party.
    """

    name: str
    party: str
    band_name: str
    gig_base: str = ""


@cache
def environment() -> Environment:
    """The templates, with the macros as ``ui`` and what writes addresses; a misspelt name is an error, not an empty
    place.
    """
    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    translate(made)
    for known in (band_base, drawn_once, page_script, path_to, static):
        made.globals[known.__name__] = known
    # As a global, the macros are there even where one block is rendered alone.
    made.globals["kind_words"] = KIND_WORDS
    made.filters["say"] = say
    made.globals["ui"] = made.get_template("frame/ui.html").module
    return made


def render(request: Request, page: Page, *, block: str = "", status: int = 200) -> HTMLResponse:
    """The page, or one block of it for a request that replaces only that block."""
    template = environment().get_template(page.template)
    viewer: Viewer | None = getattr(request.state, "viewer", None)
    languages = () if block else choices(request, language())
    units = unit_choices(request) if viewer and not block else ()
    context = template.new_context({"page": page, "viewer": viewer, "languages": languages, "units": units})
    if block:
        return HTMLResponse("".join(template.blocks[block](context)), status)
    return HTMLResponse(template.render(context.get_all()), status)
