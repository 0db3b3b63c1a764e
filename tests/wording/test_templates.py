"""How templates say their texts: in the reader's language, escaped, and each call as the template engine means it."""

import pytest
from jinja2 import Environment, pass_context
from jinja2.runtime import Context

from portal.wording import catalogue
from portal.wording.catalogue import read_in
from portal.wording.templates import translate


@pytest.fixture
def environment() -> Environment:
    made = Environment(autoescape=True)
    translate(made)
    return made


def said(environment: Environment, text: str, **known: object) -> str:
    return environment.from_string(text).render(known)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('{{ _("at <b>most</b> 50%%") }}', "at <b>most</b> 50%"),
        ('{{ _("<b>%(who)s</b>", who=who) }}', "<b>&lt;Ana&gt;</b>"),
        ("{% trans %}at most 50 % of it{% endtrans %}", "at most 50 % of it"),
        ("{% trans %}for {{ who }}{% endtrans %}", "for &lt;Ana&gt;"),
        ("{% trans num=2 %}{{ num }} line{% pluralize %}{{ num }} lines{% endtrans %}", "2 lines"),
        ('{{ ngettext("%(num)s line", "%(num)s lines", 1) }}', "1 line"),
        ('{{ pgettext("of a plan", "%(who)s", who=who) }}', "&lt;Ana&gt;"),
        ('{% for one in "ab" %}{{ _("%(one)s.", one=one) }}{% endfor %}', "a.b."),
    ],
)
def test_a_text_is_ours_and_its_slots_are_escaped(environment: Environment, text: str, words: str) -> None:
    """What nobody typed may hold HTML, and a percent sign is one."""
    assert said(environment, text, who="<Ana>") == words


def test_each_reader_gets_the_own_language(environment: Environment) -> None:
    """Whoever read it before."""
    words = {}
    for name in ("en", "de", "en"):
        with read_in(name):
            words[name] = said(environment, '{{ _("Band") }} {{ _("Save") }} {{ _("Label") }}')
            assert words[name] == " ".join(map(catalogue.look_up, ("Band", "Save", "Label")))
    assert words["en"] != words["de"]


def test_a_function_that_asks_for_the_template_gets_it(environment: Environment) -> None:
    """With what was set around the call."""

    @pass_context
    def known(context: Context, name: str) -> object:
        return context.resolve(name)

    environment.globals["known"] = known
    text = "{% for one in 'ab' %}{% set two = one %}{{ known('two') }}{% endfor %}{{ known('who') }}"
    assert said(environment, text, who="Ana") == "abAna"


def test_a_macro_is_called_with_its_own_names(environment: Environment) -> None:
    """And may be handed on and called again; a value that is called like a function has its method."""
    text = "{% macro twice(one, sep='-') %}{{ one }}{{ sep }}{{ caller() }}{% endmacro %}"
    text += "{% call twice('<', sep='+') %}{{ who.upper() }}{% endcall %}"
    assert said(environment, text, who="b") == "&lt;+B"
