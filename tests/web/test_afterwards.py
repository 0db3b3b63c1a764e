"""What a night taught is offered back to the rig, once, and never by itself."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from portal.plan.input.rig import Rig
from portal.store import discussions, gigs, rigs
from portal.store.day import line_checks
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand
from tests.planning import plan_now
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare, words_of

YESTERDAY = NOW.date() - timedelta(days=1)


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def find(planned: Planned, line: int, who: str = "Sam", **said: str) -> None:
    form = {
        "form_key": f"a-key-of-sixteen-{line}-{who}-{len(said)}",
        "form_version": "1",
        "line": str(line),
        "who": who,
        "state": "checked",
        **said,
    }
    assert planned.house.send(f"{planned.house_base}/day/lines", form).status_code == 303


def agree_on_the_day(planned: Planned, source: str, channel: int) -> None:
    with planned.portal.store.writing() as db:
        row = discussions.propose(
            db,
            gig_id=planned.gig.id,
            source=source,
            resource="desk-channel",
            value=str(channel),
            party="house",
            now=NOW,
        )
        discussions.settle(db, row.id, "accepted", "band", NOW)
        plan_now(db, gigs.of_link(db, planned.gig.id), NOW)


def newest(planned: Planned) -> tuple[int, Rig]:
    with planned.portal.store.reading() as db:
        revision = rigs.newest(db, planned.gig.rig_id)
        return revision.number, revision.read()


def offered(planned: Planned) -> str:
    """The page after the gig."""
    with planned.portal.store.writing() as db:
        gig = gigs.of_link(db, planned.gig.id)
        gig.on = YESTERDAY
        db.add(gig)
    return planned.band.get(f"{planned.gigs_base}/afterwards").text


def finding_form(html: str, heading: str) -> dict[str, str]:
    """The fields of one line's form, as they are shown."""
    part = html.partition(f">{heading}</h2>")[2].partition("</section>")[0]
    inputs = [piece.split(">")[0] for piece in part.split("<input")[1:]]
    return {
        one.split('name="')[1].split('"')[0]: one.split('value="')[1].split('"')[0].replace("&#34;", '"')
        for one in inputs
    }


def test_nothing_is_offered_before_the_gig_is_over(planned: Planned) -> None:
    """During the night the rig is left alone; after it the gig's page names how many lines there are. A bare tick
    teaches nothing.
    """
    find(planned, 1, gain="32 dB", note="Crackles.")
    find(planned, 2)
    assert "The night left something" not in planned.band.get(planned.gigs_base).text
    assert planned.band.get(f"{planned.gigs_base}/afterwards").headers["location"] == planned.gigs_base
    html = offered(planned)
    assert "The night left something on 1 line." in words_of(planned.band.get(planned.gigs_base).text)
    assert "Sam: checked, gain 32 dB, Crackles" in words_of(html)
    assert "Bass" not in html


def test_a_line_is_taken_with_one_press(planned: Planned) -> None:
    """Gain, note and what was agreed on the day become the row's note in a new revision; the gig keeps the revision
    that it was planned with.
    """
    find(planned, 1, gain="32 dB", note="Crackles.")
    find(planned, 1, who="Ada", state="problem", note="Swap the cable")
    agree_on_the_day(planned, "kick", 7)
    html = offered(planned)
    form = finding_form(html, "Line 4: Kick")
    assert "Agreed on the day: Kick on desk channel 7" in words_of(html)
    before, _ = newest(planned)
    answer = planned.band.send(f"{planned.gigs_base}/afterwards", {**form, "deed": "take"})
    number, rig = newest(planned)
    assert answer.headers["location"].endswith("?done=taken")
    assert number == before + 1
    assert rig.source[0].note == f"{planned.gig.place}: gain 32 dB, Crackles, Swap the cable, desk channel 7"
    assert planned.band.get(answer.headers["location"]).text.count("<section") == 0
    with planned.portal.store.reading() as db:
        assert rigs.revision_of_gig(db, gigs.of_link(db, planned.gig.id).rig_revision_id).number == before


def test_label_and_note_can_be_put_otherwise(planned: Planned) -> None:
    """What is typed over the proposal counts; an old note stays in front of the news; a label that another row bears is
    refused, entries kept.
    """
    _, rig = newest(planned)
    planned.take_rig(replace(rig, source=(replace(rig.source[0], note="Pillow inside"), *rig.source[1:])))
    find(planned, 1, note="Hole in the skin")
    form = finding_form(offered(planned), "Line 1: Kick")
    note, label = (next(name for name in form if name.startswith(prefix)) for prefix in ("note-", "label-"))
    assert form[note] == f"Pillow inside; {planned.gig.place}: Hole in the skin"
    refused = planned.band.send(
        f"{planned.gigs_base}/afterwards", {**form, "deed": "take", label: rig.source[1].label, note: "New skin"}
    )
    assert refused.status_code == 422
    assert 'value="New skin"' in refused.text
    sent = {**form, "deed": "take", label: "Kick Drum", note: "New skin", "form_key": "another-key-of-sixteen"}
    assert planned.band.send(f"{planned.gigs_base}/afterwards", sent).status_code == 303
    assert (newest(planned)[1].source[0].label, newest(planned)[1].source[0].note) == ("Kick Drum", "New skin")


def test_what_is_dismissed_stays_away_until_there_is_news(planned: Planned) -> None:
    """The rig stays as it is; a finding that arrives later, from a phone that was off line, is offered again."""
    find(planned, 1, note="Crackles")
    form = finding_form(offered(planned), "Line 1: Kick")
    before = newest(planned)
    assert (
        planned.band.send(f"{planned.gigs_base}/afterwards", {**form, "deed": "dismiss"})
        .headers["location"]
        .endswith("?done=dismissed")
    )
    assert newest(planned) == before
    assert planned.band.get(f"{planned.gigs_base}/afterwards").status_code == 303
    again = planned.band.send(
        f"{planned.gigs_base}/afterwards", {**form, "deed": "take", "form_key": "another-key-of-sixteen"}
    )
    assert again.status_code == 409
    find(planned, 1, who="Late", note="It was the lead")
    assert "It was the lead" in planned.band.get(f"{planned.gigs_base}/afterwards").text
    history = planned.band.get(f"{planned.gigs_base}/history").text
    assert "Left what was found on the night out of the rig" in history


def test_a_rig_that_somebody_saved_meanwhile_is_not_overwritten(planned: Planned) -> None:
    """A form drawn from an older revision changes nothing, says so and keeps its entries."""
    find(planned, 1, note="Crackles")
    form = finding_form(offered(planned), "Line 1: Kick")
    note = next(name for name in form if name.startswith("note-"))
    _, rig = newest(planned)
    planned.take_rig(replace(rig, source=(replace(rig.source[0], note="Somebody's words"), *rig.source[1:])))
    answer = planned.band.send(f"{planned.gigs_base}/afterwards", {**form, note: "Mine", "deed": "take"})
    assert answer.status_code == 409
    assert 'value="Mine"' in answer.text
    assert "Now: Somebody" in answer.text
    assert newest(planned)[1].source[0].note == "Somebody's words"


def test_a_line_of_several_rows_teaches_all_of_them(planned: Planned, band: ABand) -> None:
    """The note goes to every row that the line carries; a row that has left the rig can only be dismissed."""
    finder = line_checks.Finder("band", "Ada", user_id=band.user_id)
    with planned.portal.store.writing() as db:
        for sources in (("bass", "lead"), ("gone",)):
            finding = line_checks.Finding(sources, 5, "problem", "", "Hum", NOW)
            line_checks.add(
                db, gig_id=planned.gig.id, plan_id=planned.newest().id, finding=finding, finder=finder, now=NOW
            )
    html = offered(planned)
    assert "A row that is not in the rig any more" in html
    assert html.count('value="take"') == 1
    form = finding_form(html, "Bass, Lead")
    assert not any(name.startswith("label-") for name in form)
    assert planned.band.send(f"{planned.gigs_base}/afterwards", {**form, "deed": "take"}).status_code == 303
    assert {source.key for source in newest(planned)[1].source if source.note.endswith("Hum")} == {"bass", "lead"}
