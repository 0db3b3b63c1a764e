"""A list that goes on both ways from today: one page of what is to come and one of what is past; a further page of
either stands alone.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Generic, TypeVar

from fastapi import Query

from portal.store.gigs import A_PAGE
from portal.web.frame.errors import NotThere

T = TypeVar("T")

PageNumber = Annotated[int, Query(ge=0, lt=10_000)]
"""Which page of a list, the first one 0; any other leads nowhere."""


@dataclass(frozen=True)
class BothWays(Generic[T]):
    """What is on one page. ``first_page``, ``later`` and ``earlier`` lead to what is not; each is empty where there is
    nothing, ``first_page`` on the first page.
    """

    forwards: list[T]
    backwards: list[T]
    first_page: str
    later: str
    earlier: str


def both_ways(
    coming: Callable[[int], list[T]],
    gone: Callable[[int], list[T]],
    later: int,
    earlier: int,
    address: Callable[..., str],
) -> BothWays[T]:
    """The page of a list with these numbers. ``coming`` and ``gone`` read one page of it, and one more where there are
    more; ``address`` writes where a page lies. Raises ``NotThere`` where a further page is empty.
    """
    ahead = coming(later) if not earlier else []
    behind = gone(earlier) if not later else []
    if (later or earlier) and not ahead and not behind:
        raise NotThere
    return BothWays(
        forwards=ahead[:A_PAGE],
        backwards=behind[:A_PAGE],
        first_page=address() if later or earlier else "",
        later=address(later=later + 1) if len(ahead) > A_PAGE else "",
        earlier=address(earlier=earlier + 1) if len(behind) > A_PAGE else "",
    )
