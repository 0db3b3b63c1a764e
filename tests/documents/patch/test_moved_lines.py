"""What moved since the sheet that was signed last: said on page 1, listed whole on a page of its own."""

from dataclasses import replace

import pytest

from portal.documents.cover import SignedBefore
from portal.documents.patch.moved_lines import NOT_SENT
from portal.documents.patch.patch_sheet import patch_sheet
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET
from portal.documents.rendering.sizes import SIZES
from portal.plan.model import Plan
from tests.documents.plans import a_cover, an_own_pa_plan, plan_of
from tests.documents.reading import pages, squash


def moved(before: Plan, now: Plan) -> list[tuple[str, ...]]:
    sheet = patch_sheet(now, a_cover(signed_before=SignedBefore(3, lambda: before)))
    return [
        (row.source, row.channel_before, row.socket_before, row.channel, row.socket, row.phantom) for row in sheet.moved
    ]


def without(plan: Plan, channel: int) -> Plan:
    """The plan with one line fewer, those after it moved up."""
    lines = (line for line in plan.lines if line.desk_channel != channel)
    return replace(
        plan,
        lines=tuple(
            replace(line, desk_channel=number, box_socket=number) for number, line in enumerate(lines, start=1)
        ),
    )


def test_every_source_that_moved_is_listed_with_both_places():
    """Each with its place before and now; what stays where it was is not; what is sent no more says so, last."""
    before = replace(
        plan_of(12),
        lines=tuple(replace(line, desk_channel=line.line, box_socket=line.line) for line in plan_of(12).lines),
    )
    now = without(before, 4)
    rows = moved(before, now)
    assert [row[1:5] for row in rows] == [
        *((str(number + 1), str(number + 1), str(number), str(number)) for number in range(4, 12)),
        ("4", "4", NOT_SENT, "–"),
    ]
    assert rows[-1][0] == before.lines[3].label
    assert all(row[5] for row in rows)
    back = moved(now, before)
    assert [row[1:5] for row in back if row[1] == "–"] == [("–", "–", "4", "4")]
    assert len(back) == len(rows)


def test_nothing_is_listed_where_nothing_moved_or_all_of_it_is_new():
    """No revision signed before, the same places, or another route: no page and no word of it."""
    plan = plan_of(12)
    assert not patch_sheet(plan, a_cover()).moved
    assert not moved(plan, replace(plan, sentence="Another."))
    assert not moved(an_own_pa_plan(), plan)
    assert not moved(plan, an_own_pa_plan())
    assert "Moved since" not in page(
        "patch-sheet", plan, a_cover(signed_before=SignedBefore(3, lambda: plan)), STYLESHEET
    )


@pytest.mark.parametrize("size", SIZES)
def test_moved_sources_have_a_page_of_their_own(worker, size):
    """Page 1 says how many moved and since when; the last page lists each of them."""
    before = plan_of(32)
    now = without(before, before.lines[2].desk_channel)
    cover = a_cover(signed_before=SignedBefore(3, lambda: before))
    told = pages(worker.render(page("patch-sheet", now, cover, STYLESHEET, SIZES[size]), None))
    rows = patch_sheet(now, cover).moved
    first = f"Moved since revision 3, which was signed: {len(rows)} sources. The last page lists them."
    assert squash(first) in told[0]
    assert told[-1].startswith(squash("Moved since revision 3, which was signed House: before a plug moves, mute"))
    assert told[-1].count(squash(NOT_SENT)) == 1
    assert all(squash(row.source) in told[-1] for row in rows)
    assert len(told) <= 3
