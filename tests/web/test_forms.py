"""What a form may hold, and what reading it costs: no more than its size."""

from collections.abc import Iterator

import pytest
from starlette.datastructures import FormData

from portal.plan.input.rig import MAX_SOURCES
from portal.store import rigs
from portal.web.frame.forms import FEW_FIELDS, MANY_FIELDS, Check, Posted
from portal.web.frame.running import Portal
from portal.web.rig.editing.rig_sheet import FIRST_BLANKS
from portal.web.rig.editing.sheet_rows import INLINE
from tests.builders import ABand, a_gig
from tests.web.conftest import Browser


class Counting(FormData):
    """A form that counts how often one of its fields is touched."""

    touched = 0

    def multi_items(self) -> list[tuple[str, object]]:
        self.touched += len(self._list)
        return super().multi_items()

    def getlist(self, key: str) -> list[object]:
        self.touched += len(self._list)
        return super().getlist(key)

    def keys(self) -> Iterator[str]:
        self.touched += len(self._list)
        return super().keys()


@pytest.mark.parametrize("count", [10, 1_000, 12_000])
def test_a_form_is_read_in_one_pass(count: int) -> None:
    """However many fields came, each is touched once: for every value, every name, and the form drawn again."""
    data = Counting([(f"field{number}", "x") for number in range(count)])
    sent = Posted(data)
    check = Check(sent)
    for name in sent.names():
        assert sent.texts(name) == (sent.raw(name),) == ("x",)
        check.fault(name, "No.")
    draft = check.draft()
    assert (len(draft.values), len(draft.faults), draft.fault(f"field{count - 1}")) == (count, count, "No.")
    assert data.touched == count


def test_the_last_of_equal_names_counts() -> None:
    """A field that came twice has both texts, and the last one where one is asked for."""
    sent = Posted(FormData([("a", "1"), ("b", "2"), ("a", "3")]))
    assert (sent.texts("a"), sent.raw("a"), sent.names()) == (("1", "3"), "3", ("a", "b"))


def filled(count: int) -> dict[str, object]:
    return {f"x{number}": "" for number in range(count)}


def test_a_form_holds_what_its_page_has(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """A form of a few fields takes a few, one with a list of the rig takes that; more are refused with a sentence,
    nothing done.
    """
    few, many = "/sign-up", f"/rigs/{club_rig.id}/rows/together"
    assert signed_in.send(few, filled(FEW_FIELDS)).status_code == 422
    assert signed_in.send(many, filled(MANY_FIELDS)).status_code == 422
    for path, most in ((few, FEW_FIELDS), (many, MANY_FIELDS)):
        refused = signed_in.send(path, filled(most + 1))
        assert refused.status_code == 413
        assert "no more fields than its page has" in refused.text


def test_forms_with_lists_hold_the_longest_list() -> None:
    """Every field of as many rows as a rig may have, and of the blank ones below them, fits."""
    assert (MAX_SOURCES + FIRST_BLANKS) * len((*INLINE, "was", "like")) < MANY_FIELDS


def test_more_rows_than_any_page_has_are_refused(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """A form with far more rows than a rig may have is not drawn again."""
    typed = {f"row{number}-{name}": "x" for number in range(1, 2 * MAX_SOURCES + 2) for name in ("was", "label")}
    assert signed_in.send(f"/rigs/{club_rig.id}", {**typed, "do": "up", "at": "1"}).status_code == 413


def test_a_field_of_one_line_takes_one(signed_in: Browser, portal: Portal, band: ABand) -> None:
    """A line break in a name is refused at its field and kept there; words of several lines keep theirs."""
    answer = signed_in.send("/account/name", {"name": "Ada\r\nExample"}, page="/account")
    assert answer.status_code == 422
    assert "This is one line. Take the line break out." in answer.text
    assert signed_in.send("/account/name", {"name": "Ada Example\r\n"}, page="/account").status_code == 303
    with portal.store.writing() as db:
        gig = a_gig(db, band)
    assert (
        signed_in.send(f"/gigs/{gig.id}/talk", {"words": "One.\r\nTwo."}, page=f"/gigs/{gig.id}/talk").status_code
        == 303
    )
    check = Check(Posted(FormData([("words", "One.\r\nTwo.")])))
    assert check.text("words", lines=True) == "One.\nTwo."
