"""The title block of a paper says what the plan says."""

from dataclasses import replace

import pytest

from portal.documents.heading import FOOT_EM, UNKNOWN, foot_of, heading_of
from portal.documents.labels.label_text import width_em
from portal.documents.rendering.printed import Printed
from portal.plan import Plan, reconcile
from portal.plan.input.facts import Answer
from portal.plan.input.rig import Mixer, Out
from portal.wording.catalogue import languages, read_in
from tests.builders import a_rig
from tests.documents.plans import SIGNED, a_cover


@pytest.mark.parametrize(
    ("way", "words"),
    [
        (None, "Near the stage box, "),
        (400, "Near the stage box, "),
        (2800, "28 m of cable from the stage box; box "),
    ],
)
def test_the_rack_is_near_the_box_only_where_the_way_is_short(way: int | None, words: str) -> None:
    """A way that somebody stated and "near" never stand side by side, and far from the box its place is no rack's."""
    said = {"box-place": Answer("answered", "stage-left", "house")}
    said |= {"box-distance": Answer("answered", way, "house")} if way else {}
    assert (
        heading_of(a_cover(answers=said), Printed(), "patch-sheet").rack_place
        == f"{words}stage left (performer's view)"
    )


@pytest.mark.parametrize(
    ("answers", "by", "words"),
    [
        ({}, "house", UNKNOWN),
        ({"who-mixes": "house-engineer"}, "house", "The house's engineer, on the house desk"),
        (
            {"who-mixes": "house-engineer", "what-they-want": "left-right-mix"},
            "house",
            "The house's engineer, on the house desk",
        ),
        ({"who-mixes": "bands-engineer-your-desk"}, "house", "The band's own engineer, on the house desk"),
        (
            {"who-mixes": "house-engineer", "what-they-want": "mix-on-your-mixer"},
            "house",
            "The house's engineer, on the band's mixer",
        ),
        (
            {"who-mixes": "bands-engineer-your-desk", "what-they-want": "mix-on-your-mixer"},
            "band",
            "The band's own engineer, on the band's mixer",
        ),
        ({"what-they-want": "mix-on-your-mixer"}, "house", "Somebody, not decided who, on the band's mixer"),
        (
            {"who-mixes": "nobody-known", "what-they-want": "mix-on-your-mixer"},
            "house",
            "Somebody, not decided who, on the band's mixer",
        ),
        (
            {"who-mixes": "bands-engineer-our-mixer"},
            "assumed",
            "The band's own engineer, on the band's mixer (assumed)",
        ),
        ({"who-mixes": "band-from-stage"}, "band", "The band, on the band's mixer"),
        ({"pa": "none"}, "house", "The band, on the band's mixer"),
        ({"pa": "none", "who-mixes": "house-engineer"}, "house", "The band, on the band's mixer"),
        (
            {"pa": "none", "who-mixes": "bands-engineer-your-desk"},
            "house",
            "The band's own engineer, on the band's mixer",
        ),
    ],
)
def test_who_mixes_is_what_the_plan_says(answers: dict[str, str], by: str, words: str) -> None:
    """The heading names the band's mixer exactly where the plan makes the audience's mix there, whatever else was
    answered.
    """
    given = {key: Answer("answered", value, by) for key, value in answers.items()}
    assert heading_of(a_cover(answers=given), Printed(), "patch-sheet").who_mixes == words
    outs = (Out(key="main-l", use="main"), Out(key="main-r", use="main"))
    plan = reconcile(a_rig(mixer=Mixer(stereo_busses=1, outs=outs), ears=()), given)
    assert isinstance(plan, Plan)
    assert ("on the band's mixer" in words) is (
        plan.route in ("own-pa", "house-pa-band-mixes", "engineer-on-the-bands-mixer")
    )


@pytest.mark.parametrize("language", sorted(languages()))
def test_the_foot_is_one_line_in_every_language(language: str) -> None:
    """However long the names: day, revision, check code and state are whole, and the gig is known by its beginning."""
    with read_in(language):
        cover = a_cover(status="agreed", signatures=SIGNED, date="Mer. 12 mars 2027", language=language)
        heading = heading_of(cover, Printed(), "patch-sheet")
        heading = replace(heading, gig="The harbour night of the long table and all its guests", place="Hall " * 8)
        # What is translated says so too, and takes a second line.
        heading = replace(heading, state=heading.state.partition(" · ")[0])
        foot = foot_of(heading)
    assert width_em(foot) <= FOOT_EM
    assert foot.startswith("The harb")
    assert all(part in foot for part in (heading.date, heading.revision, heading.short_hash, heading.state))


def test_the_foot_keeps_what_fits() -> None:
    """Short names stand whole, the place too; where the state alone fills the line, no name is cut for it."""
    heading = replace(heading_of(a_cover(), Printed(), "patch-sheet"), gig="Quay", place="Hall", date="5 Dec 2026")
    assert foot_of(heading).startswith("Quay · 5 Dec 2026 · Hall · Revision 7")
    long = replace(heading, gig="Harbour Night", state="Agreed: both sides signed this · a translation of it" * 2)
    assert foot_of(long).startswith("Harbour Night · 5 Dec 2026 · Revision 7")
