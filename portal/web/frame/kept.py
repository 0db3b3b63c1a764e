"""What follows from a stored plan or rig, as it is read in one language and unit, is worked out once a process and not
once a page.
"""

from collections.abc import Callable, Hashable
from typing import TypeVar

from jinja2.runtime import Macro
from markupsafe import Markup

from portal.store.database.readings import READINGS
from portal.wording.catalogue import language
from portal.wording.formats import length_unit

T = TypeVar("T")


def following(thing: object, what: Hashable, given: object, make: Callable[[], T]) -> T:
    """What follows from a thing that a stored text holds, and from nothing else but what is given and who reads.
    ``what`` tells it from whatever else follows from the same thing. It is shared: nobody changes it.
    """
    return READINGS.following(thing, (what, language(), length_unit()), given, make)


def drawn_once(shown: object, macro: Macro) -> Markup:
    """What a macro makes of something that ``following`` gave. A macro that was imported knows nothing of the page, so
    that nothing else can be in it.
    """
    return following(shown, macro.name, macro, lambda: Markup(macro(shown)))  # noqa: S704 - it has escaped it
