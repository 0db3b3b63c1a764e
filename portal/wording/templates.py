"""Texts of templates: ``{% trans %}``, ``_()``, ``ngettext()`` and ``pgettext()`` in the reader's language."""

from functools import lru_cache
from types import FunctionType, MethodType

from jinja2 import Environment
from jinja2.runtime import Context, Macro
from markupsafe import Markup

from portal.wording.catalogue import language, look_up, look_up_count, look_up_meant
from portal.wording.formats import headed, length_unit

EXTENSION = "jinja2.ext.i18n"

MOST_TEXTS = 8192
"""Texts without slots of which the finished words are kept."""


class _Calls(Context):
    """What a template knows. Plain functions and macros, which most calls are of, are called at once: none of them has
    to be asked what else it wants to know.
    """

    def call(self, called: object, /, *args: object, **named: object) -> object:
        """What something gives that a template calls."""
        kind = type(called)
        if kind is Macro:
            args = (self.eval_ctx, *args)
        elif (kind is not FunctionType and kind is not MethodType) or hasattr(called, "jinja_pass_arg"):
            return super().call(called, *args, **named)  # type: ignore[arg-type]
        named.pop("_block_vars", None)
        named.pop("_loop_vars", None)
        return called(*args, **named)  # type: ignore[operator]


def _ours(words: str) -> Markup:
    """A text of the code or of a catalogue, with whatever HTML is in it."""
    return Markup(words)  # noqa: S704 - of the portal itself, never what somebody typed


@lru_cache(maxsize=MOST_TEXTS)
def _whole(_language: str, text: str) -> Markup:
    return _ours(look_up(text)) % {}


def _gettext(text: str, /, **slots: object) -> Markup:
    return _ours(look_up(text)) % slots if slots else _whole(language(), text)


def _ngettext(one: str, many: str, count: int, /, **slots: object) -> Markup:
    return _ours(look_up_count(one, many, count)) % {"num": count, **slots}


def _pgettext(meaning: str, text: str, /, **slots: object) -> Markup:
    return _ours(look_up_meant(meaning, text)) % {"context": meaning, **slots}


def translate(environment: Environment) -> None:
    """Let the templates of an environment that escapes say their texts in the reader's language, and name it:
    ``language()``; and what stands behind a length: ``length_unit()``. ``headed()`` puts words behind what they are
    about.

    Lines and indents inside a ``{% trans %}`` count as one blank each, so that a text may wrap.
    """
    environment.add_extension(EXTENSION)
    environment.policies["ext.i18n.trimmed"] = True
    # The functions that the extension brings copy all that a template knows at each call within a loop.
    environment.newstyle_gettext = True  # type: ignore[attr-defined] # the extension adds it
    environment.globals |= {"gettext": _gettext, "_": _gettext, "ngettext": _ngettext, "pgettext": _pgettext}
    environment.globals |= {"language": language, "length_unit": length_unit, "headed": headed}
    environment.context_class = _Calls
