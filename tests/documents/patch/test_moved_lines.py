"""What moved since the sheet that was signed last: said on page 1, listed whole on a page of its own."""

from dataclasses import replace

import pytest

from portal.documents.cover import SignedBefore
from portal.documents.patch.moved_lines import NOT_SENT, Moved
from portal.documents.patch.patch_sheet import patch_sheet
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET
from portal.documents.rendering.sizes import SIZES
from portal.plan.model import LoomWay, NotSent, Path, Plan
from portal.plan.phrase import Phrase
from tests.documents.plans import a_cover, an_own_pa_plan, plan_of
from tests.documents.reading import pages, squash


def moved(before: Plan, now: Plan) -> Moved | None:
    return patch_sheet(now, a_cover(signed_before=SignedBefore(3, lambda: before))).moved


def house(before: Plan, now: Plan) -> list[tuple[str, ...]]:
    """Source, then channel and box input before and now."""
    found = moved(before, now)
    assert found is not None
    return [(row.source, row.before.channel, row.before.socket, row.now.channel, row.now.socket) for row in found.house]


def band(before: Plan, now: Plan) -> dict[str, dict[str, tuple[str, str]]]:
    """Source -> field of the band's half -> what it was and what it is, where these differ."""
    found = moved(before, now)
    assert found is not None
    return {
        row.source: {
            field: (was, vars(row.now)[field]) for field, was in vars(row.before).items() if was != vars(row.now)[field]
        }
        for row in found.band
    }


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
    rows = house(before, now)
    assert [row[1:] for row in rows] == [
        *((str(number + 1), str(number + 1), str(number), str(number)) for number in range(4, 12)),
        ("4", "4", NOT_SENT, "–"),
    ]
    assert rows[-1][0] == before.lines[3].label
    back = house(now, before)
    assert [row[1:] for row in back if row[1] == NOT_SENT] == [(NOT_SENT, "–", "4", "4")]
    assert len(back) == len(rows)


def test_what_moves_in_the_rack_alone_is_listed_for_the_band():
    """Box input and channel stay: way of the loom, splitter's way, output, pad, 48 V and level say before and now, each
    side's on its half; the other sources are on neither.
    """
    before = plan_of(6)
    out = Path("direct-out", "mixer", "direct out", None, "out-12")
    lines = list(before.lines)
    lines[0] = replace(lines[0], path=out, pad_db=20, level="line", phantom="none", gain_owner="band")
    lines[1] = replace(lines[1], loom=LoomWay("loom-0", "Loom 1", 11, "XLR male"))
    lines[2] = replace(lines[2], path=replace(lines[2].path, way=12))
    lines[3] = replace(lines[3], transformer=True)
    inputs = tuple(
        replace(one, mixer_input=one.mixer_input + 10, phantom="none") if one.source == "s-6" else one
        for one in before.ear_inputs
    )
    now = replace(before, lines=tuple(lines), ear_inputs=inputs)
    assert band(before, now) == {
        "Kick In": {
            "path": ("Rack A, isolated B, way 1", "direct out, out 12"), "pad_db": ("–", "20"),
        },
        "Kick Out": {"loom_way": ("2", "11")},
        "Snare Top": {"path": ("Rack A, isolated B, way 3", "Rack A, isolated B, way 12")},
        "Rack Tom": {"note": ("–", "isolating transformer at the box")},
        "Overhead Left": {"mixer_input": ("6", "16"), "phantom": ("ON, band", "OFF")},
    }  # fmt: skip
    found = moved(before, now)
    assert found is not None
    (row,) = found.house
    assert (row.before.level, row.before.phantom) == ("mic", "house OFF, band ON")
    assert (row.now.level, row.now.phantom) == ("line", "OFF, never")
    assert found.count == 5


def test_what_is_made_mono_or_taken_out_of_the_ears_is_listed():
    """A pair on one line says who makes it mono; a source that stays in the in-ears says so where its way was."""
    before = plan_of(11)
    left, right = before.lines[9:11]
    jack = Phrase("plugs-the-mono-jack", {"player": "Noor"})
    mono = replace(left, label="Keys (mono)", sources=(*left.sources, *right.sources), note=jack, stereo_partner=None)
    gone = NotSent("s-1", "Kick In", "not-plugged", "", ())
    now = replace(
        before,
        lines=(*before.lines[1:9], mono),
        not_sent=(*before.not_sent, gone),
        ear_inputs=tuple(one for one in before.ear_inputs if one.source != "s-1"),
    )
    found = band(before, now)
    told = "on the line “Keys (mono)”, Noor plugs only the left/mono jack"
    assert found["Keys Left"] == {"note": ("–", told)}
    assert found["Keys Right"]["note"] == ("–", told)
    assert found["Kick In"]["path"] == ("Rack A, isolated B, way 1", "not plugged")
    assert [row[0] for row in house(before, now)] == ["Keys Left", "Keys Right", "Kick In"]


def test_a_return_and_an_in_ear_mix_that_move_are_listed():
    """Their plugs move as well: input, way, output of the box, outputs of the mixer."""
    before = plan_of(3)
    (back,) = before.returns
    now = replace(
        before,
        returns=(replace(back, mixer_input=9, box_output=8),),
        ears=(replace(before.ears[0], outs=("out-11", "out-12")), *before.ears[1:]),
    )
    assert band(before, now) == {
        "Engineer's talkback": {"mixer_input": ("6", "9"), "fed_by": ("output not known", "output 8")},
        "In-ear mix of Robin": {"path": ("mixer outs 1 2", "mixer outs 11 12")},
    }
    assert [row[0] for row in house(before, now)] == ["Engineer's talkback"]


def test_words_that_differ_are_no_move():
    """A plan that was stored with finished words has the same plugs."""
    plan = plan_of(6)
    then = replace(
        plan,
        lines=tuple(replace(one, desk_phantom="OFF, band feeds") for one in plan.lines),
        ear_inputs=tuple(replace(one, phantom=one.phantom.replace("none", "")) for one in plan.ear_inputs),
    )
    now = replace(plan, lines=tuple(replace(one, desk_phantom="band") for one in plan.lines))
    assert moved(then, now) is None


def test_nothing_is_listed_where_nothing_moved_or_all_of_it_is_new():
    """No revision signed before, the same places, or another route: no page and no word of it."""
    plan = plan_of(12)
    assert not patch_sheet(plan, a_cover()).moved
    assert not moved(plan, replace(plan, sentence="Another."))
    assert not moved(an_own_pa_plan(), plan)
    assert not moved(plan, an_own_pa_plan())
    assert "Changed since" not in page(
        "patch-sheet", plan, a_cover(signed_before=SignedBefore(3, lambda: plan)), STYLESHEET
    )


@pytest.mark.parametrize("size", SIZES)
def test_moved_sources_have_a_page_of_their_own(worker, size):
    """Page 1 says how many changed and since when; pages of their own list each of them."""
    before = plan_of(32)
    now = without(before, before.lines[2].desk_channel)
    cover = a_cover(signed_before=SignedBefore(3, lambda: before))
    told = pages(worker.render(page("patch-sheet", now, cover, STYLESHEET, SIZES[size]), None))
    found = patch_sheet(now, cover).moved
    assert found is not None
    first = f"Changed since revision 3, which was signed: {found.count} rows. They stand at the end"
    assert squash(first) in told[0]
    begins = next(at for at, text in enumerate(told) if text.startswith(squash("Changed since revision 3, which was")))
    listed = "".join(told[begins:])
    assert listed.count(squash(NOT_SENT)) == 1
    assert all(squash(row.source) in listed for row in (*found.house, *found.band))
    assert len(told) - begins <= 3
