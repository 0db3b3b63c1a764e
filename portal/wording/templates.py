"""Texts of templates: ``{% trans %}``, ``_()``, ``ngettext()`` and ``pgettext()`` in the reader's language."""

from jinja2 import Environment

from portal.wording.catalogue import language, look_up, look_up_count, look_up_meant
from portal.wording.formats import length_unit

EXTENSION = "jinja2.ext.i18n"


def translate(environment: Environment) -> None:
    """Let an environment's templates say their texts in the reader's language, and name it: ``language()``; and
    what stands behind a length: ``length_unit()``.

    Lines and indents inside a ``{% trans %}`` count as one blank each, so that a text may wrap.
    """
    environment.add_extension(EXTENSION)
    environment.policies["ext.i18n.trimmed"] = True
    environment.install_gettext_callables(  # type: ignore[attr-defined] # the extension adds it
        look_up, look_up_count, newstyle=True, pgettext=look_up_meant
    )
    environment.globals["language"] = language
    environment.globals["length_unit"] = length_unit
