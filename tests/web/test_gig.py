"""Gigs: the form, the page, the list, and the state that follows from what happened."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta

import pytest
from sqlalchemy import event

from portal.advance.status.gig_status import GigState, ends, next_of, standing, state_of
from portal.advance.time_zones import all_zones, comes_twice, is_skipped, moment_of
from portal.plan.input.rig import Configuration
from portal.store import answers, gigs, links, plans, rigs, signoffs
from portal.store.database.session import Session, Store
from portal.store.progress import Progress
from portal.web.gig.times_form import write_fields
from portal.wording.times import read_minutes, say_minutes
from tests.builders import NOW, ABand, a_band, a_gig, a_link, a_rig, a_stored_rig, an_answer
from tests.planning import plan_now
from tests.web.conftest import Browser

NEW = "/gigs/new"


def entries(store: Store, band: ABand) -> dict[str, object]:
    """What a leader types for a gig; makes the band's rig where there is none."""
    with store.writing() as db:
        rig = next(iter(rigs.of_band(db, band.band_id)), None) or a_stored_rig(db, band)
    typed = {
        "name": "Harbour night",
        "place": "The Old Net Loft",
        "on": "2026-12-05",
        "zone": "Europe/Berlin",
        "time-load-in": "16:00",
        "time-doors": "1900",
        "time-curfew": "25:30",
        "set_minutes": "75",
        "rig": f"{rig.id}|",
    }
    return dict(typed)


@contextmanager
def counted(store: Store) -> Iterator[list[str]]:
    """The statements that are sent to the database meanwhile."""
    seen: list[str] = []

    def note(_connection: object, _cursor: object, statement: str, *_rest: object) -> None:
        seen.append(statement)

    event.listen(store.engine, "before_cursor_execute", note)
    try:
        yield seen
    finally:
        event.remove(store.engine, "before_cursor_execute", note)


# --- the state

SIGNED, OTHER = frozenset({"h"}), frozenset({"older"})


@pytest.mark.parametrize(
    ("events", "state", "actor"),
    [
        (Progress(), "preparing", "band"),
        (Progress(own_pa=True, plan_hash="h"), "preparing", "band"),
        (Progress(own_pa=True, link_live=True, house_sent=True, plan_hash="h"), "preparing", "band"),
        (Progress(own_pa=True, plan_hash="h", band_signed=SIGNED), "ready", "nobody"),
        (Progress(own_pa=True, plan_hash="h", band_signed=OTHER), "outdated", "band"),
        (Progress(link_live=True), "asking", "house"),
        (Progress(link_live=True, house_sent=True, plan_hash="h"), "planned", "both"),
        (Progress(house_sent=True, plan_hash="h", band_signed=SIGNED), "planned", "house"),
        (Progress(house_sent=True, plan_hash="h", to_decide=frozenset({"band"})), "planned", "band"),
        (
            Progress(house_sent=True, plan_hash="h", band_signed=SIGNED, to_decide=frozenset({"band"})),
            "planned",
            "band",
        ),
        (Progress(house_sent=True, plan_hash="h", to_decide=frozenset({"band", "house"})), "planned", "both"),
        (Progress(house_sent=True, plan_hash="h", blocked=True, to_decide=frozenset({"band"})), "planned", "both"),
        (
            Progress(
                house_sent=True,
                plan_hash="h",
                band_signed=SIGNED,
                house_signed=SIGNED,
                to_decide=frozenset({"band"}),
            ),
            "agreed",
            "nobody",
        ),
        (Progress(house_sent=True, plan_hash="h", house_signed=SIGNED), "planned", "band"),
        (Progress(link_live=True, plan_hash="h", house_signed=SIGNED), "planned", "band"),
        (Progress(house_sent=True, plan_hash="n", no_plan=True), "planned", "both"),
        (Progress(house_sent=True, plan_hash="h", blocked=True, band_signed=SIGNED), "planned", "both"),
        (Progress(own_pa=True, plan_hash="h", blocked=True, band_signed=OTHER), "outdated", "band"),
        (Progress(house_sent=True, plan_hash="h", band_signed=SIGNED, house_signed=SIGNED), "agreed", "nobody"),
        (Progress(house_sent=True, plan_hash="h", band_signed=OTHER, house_signed=OTHER), "outdated", "both"),
        (Progress(house_sent=True, plan_hash="h", band_signed=SIGNED | OTHER, house_signed=OTHER), "outdated", "house"),
        (
            Progress(house_sent=True, plan_hash="n", no_plan=True, band_signed=SIGNED, house_signed=SIGNED),
            "outdated",
            "both",
        ),
    ],
)
def test_the_state_follows_from_what_happened(events: Progress, state: str, actor: str) -> None:
    """Each state follows from events alone, and names who acts next."""
    found = state_of(events, cancelled=False, over=False)
    assert found == state
    assert next_of(found, events)[0] == actor
    assert state_of(events, cancelled=False, over=True) == "played"
    assert state_of(events, cancelled=True, over=True) == "cancelled"


def test_a_gig_is_played_when_its_curfew_is_past_where_it_is() -> None:
    """Half past midnight in Berlin is half past eleven the evening before in UTC."""
    gig = gigs.Gig(
        on=date(2026, 12, 5),
        time_zone="Europe/Berlin",
        times='{"curfew":1470}',
        band_id="",
        name="",
        place="",
        rig_id="",
        rig_revision_id="",
    )
    assert ends(gig).isoformat() == "2026-12-05T23:30:00+00:00"
    gig.times = '{"set":1260}'
    assert ends(gig).isoformat() == "2026-12-06T05:00:00+00:00"
    gig.set_minutes = 90
    assert ends(gig).isoformat() == "2026-12-05T21:30:00+00:00"


def test_the_state_of_a_real_gig_walks_its_whole_way(store: Store) -> None:
    """Link, sending, both signatures, a material change and a withdrawal each move the state on."""
    with store.writing() as db:
        band = a_band(db)
        gig = a_gig(db, band)
        seen = [standing(db, gig, NOW).state]
        link = a_link(db, gig, band)
        seen.append(standing(db, gig, NOW).state)
        answers.send(db, gig.id, link.id, NOW)
        plan = plan_now(db, gig, NOW)
        seen.append(standing(db, gig, NOW).state)
        by_band = signoffs.Signer("band", "Ada", "leader", user_id=band.user_id)
        by_house = signoffs.Signer("house", "Bo", "engineer", link_id=link.id)
        for signer in (by_band, by_house):
            signoffs.sign(db, plan, signer, statement_version="1", ticked=(), now=NOW)
        seen.append(standing(db, gig, NOW).state)
        an_answer(db, gig.id, "inputs-free", 3, link_id=link.id)
        plan_now(db, gig, NOW)
        seen.append(standing(db, gig, NOW).state)
        for signer in (by_band, by_house):
            signoffs.withdraw(db, plan, signer, now=NOW)
        seen.append(standing(db, gig, NOW).state)
        an_answer(db, gig.id, "inputs-free", 0, link_id=link.id)
        plan_now(db, gig, NOW)
        assert standing(db, gig, NOW).no_plan
        seen.append(standing(db, gig, NOW + timedelta(days=20)).state)
    assert seen == ["preparing", "asking", "planned", "agreed", "outdated", "planned", "played"]


def test_a_link_that_only_shows_does_not_ask(db_gig: tuple[Session, gigs.Gig, ABand]) -> None:
    """A crew's link by which nobody can answer leaves the gig in preparation."""
    db, gig, band = db_gig
    a_link(db, gig, band, powers=("view",))
    assert standing(db, gig, NOW).state is GigState.PREPARING


@pytest.fixture
def db_gig(store: Store) -> Iterator[tuple[Session, gigs.Gig, ABand]]:
    with store.writing() as db:
        band = a_band(db)
        yield db, a_gig(db, band), band


# --- the plan is computed when something changes


def test_a_plan_is_solved_once_for_one_basis(db_gig: tuple[Session, gigs.Gig, ABand]) -> None:
    """The same basis gives the stored plan back; another answer, another heading or another variant a new one."""
    db, gig, band = db_gig
    first = plan_now(db, gig, NOW)
    assert plan_now(db, gig, NOW).id == first.id
    assert plan_now(db, gig, NOW, again=True).id == first.id
    an_answer(db, gig.id, "pa", "mono", party="band", user_id=band.user_id)
    assert plan_now(db, gig, NOW).number == 2
    gig.name = "Harbour night, moved indoors"
    renamed = plan_now(db, gig, NOW)
    assert renamed.number == 3
    assert renamed.content_hash != first.content_hash


def test_what_the_house_said_counts_before_the_band(db_gig: tuple[Session, gigs.Gig, ABand]) -> None:
    """House beats band beats assumption, whichever came last; "not known yet" beats nothing that says something."""
    db, gig, band = db_gig
    link = a_link(db, gig, band)

    def give(party: str, state: str, value: int | None) -> None:
        author = {"link_id": link.id} if party == "house" else {"user_id": band.user_id}
        answers.give(
            db, gig_id=gig.id, question="inputs-free", state=state, value=value, party=party, now=NOW, **author
        )

    def counts() -> tuple[object, str]:
        answer = answers.current(db, gig.id)["inputs-free"]
        return answer.value, answer.by

    give("assumed", "answered", 8)
    assert counts() == (8, "assumed")
    give("house", "unknown", None)
    assert counts() == (8, "assumed")
    give("band", "answered", 10)
    assert counts() == (10, "band")
    give("house", "answered", 12)
    give("band", "answered", 16)
    assert counts() == (12, "house")


# --- times


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("19:00", 1140), ("19.30", 1170), ("1900", 1140), ("7:05", 425), ("19h15", 1155), ("25:30", 1530),
        ("1:30 next day", 1530), ("1:30+1", 1530),
        ("7pm", 1140), ("7:30 PM", 1170), ("730pm", 1170), ("12 a.m.", 0), ("1am next day", 1500),
        ("13pm", None), ("0pm", None),
        ("19", 1140), ("", None), ("24:60", None), ("48:00", None), ("half past", None), ("-1:00", None), ("١٩:٠٠",
        None),
    ],
)  # fmt: skip
def test_times_are_read_as_people_write_them(text: str, minutes: int | None) -> None:
    """Every usual spelling is one number of minutes; everything else is none."""
    assert read_minutes(text) == minutes


def test_every_country_finds_its_zone() -> None:
    """A place whose clocks go with a neighbour's stands in the list under its own name."""
    assert {
        f"Europe/{city}" for city in ("Oslo", "Stockholm", "Copenhagen", "Amsterdam", "Luxembourg", "Berlin")
    } <= set(all_zones())
    assert all_zones()[-1] == "UTC"


def test_times_after_midnight_say_so() -> None:
    """25:30 is half past one on the next day, and is the same moment."""
    assert say_minutes(1530) == "01:30 next day"
    assert moment_of(date(2026, 12, 5), 1530, "Europe/Berlin").isoformat() == "2026-12-06T00:30:00+00:00"


def test_nights_on_which_clocks_change_are_noticed() -> None:
    """A skipped time does not exist, a repeated one comes twice, an ordinary one neither."""
    spring, autumn = date(2026, 3, 28), date(2026, 10, 24)
    skipped = [is_skipped(day, 26 * 60 + 30, "Europe/Berlin") for day in (spring, autumn, date(2026, 6, 6))]
    twice = [comes_twice(day, 26 * 60 + 30, "Europe/Berlin") for day in (spring, autumn, date(2026, 6, 6))]
    assert (skipped, twice) == ([True, False, False], [False, True, False])


# --- the pages


def test_a_gig_is_made_and_shown(signed_in: Browser, band: ABand, store: Store) -> None:
    """What was typed is stored as date, minutes and zone, with a first plan, and the page shows it."""
    made = signed_in.send(NEW, entries(store, band), page=NEW)
    assert made.status_code == 303
    page = signed_in.get(made.headers["location"].removesuffix("/who-mixes")).text
    for words in (
        "Harbour night",
        "Sat 5 Dec 2026, The Old Net Loft",
        "01:30 next day",
        "75 minutes",
        "preparing",
        "Dry split",
        "revision 1",
    ):
        assert words in page
    with store.reading() as db:
        (gig,) = gigs.of_band(db, band.band_id)
        assert gig.minutes == {"load-in": 960, "doors": 1140, "curfew": 1530}
        assert plans.newest(db, gig.id).number == 1


def test_sending_the_form_twice_makes_one_gig(signed_in: Browser, band: ABand, store: Store) -> None:
    """A double tap goes to the first result."""
    data = {**entries(store, band), **signed_in.hidden(NEW)}
    places = {signed_in.send(NEW, data).headers["location"] for _ in range(3)}
    assert len(places) == 1
    with store.reading() as db:
        assert len(gigs.of_band(db, band.band_id)) == 1


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("name", "", "Enter a name for the gig"),
        ("place", "", "Enter the place"),
        ("on", "2026-02-30", "Enter the date as year-month-day"),
        ("zone", "Mars/Olympus", "Choose the time zone"),
        ("time-doors", "late", "Doors: enter a time such as 19:00"),
        ("time-curfew", "18:30", "Curfew at 18:30 is before doors at 19:00."),
        ("on", "2025-01-01", "Wed 1 Jan 2025 is past. Enter the day of a gig to come."),
        ("set_minutes", "0", "Set length: enter a whole number from 1"),
        ("rig", "somebody-elses|", "Choose the rig that plays."),
    ],
)
def test_a_fault_is_told_at_its_field_and_entries_are_kept(
    signed_in: Browser, band: ABand, store: Store, field: str, typed: str, sentence: str
) -> None:
    """A page with a fault says what to do, in the summary and at the field, and keeps everything that was typed."""
    data = {**entries(store, band), field: typed}
    answer = signed_in.send(NEW, data, page=NEW)
    assert answer.status_code == 422
    assert answer.text.count(sentence) == 2
    assert f'href="#{field}"' in answer.text
    assert "<title>Error: " in answer.text
    kept = [value for key, value in data.items() if key not in (field, "zone", "rig")]
    assert all(f'value="{value}"' in answer.text for value in kept)


def test_a_time_that_does_not_exist_is_asked_about(signed_in: Browser, band: ABand, store: Store) -> None:
    """On the night when clocks go forward the skipped hour is a fault of its field."""
    answer = signed_in.send(NEW, {**entries(store, band), "on": "2027-03-27", "time-curfew": "26:30"}, page=NEW)
    assert answer.status_code == 422
    assert "clocks go forward that night and 02:30 next day does not exist" in answer.text


def test_a_curfew_after_midnight_is_that_of_the_same_night(signed_in: Browser, band: ABand, store: Store) -> None:
    """01:00 after doors at 19:00 is the next day's, and stands in the form as it was typed."""
    made = signed_in.send(NEW, {**entries(store, band), "time-curfew": "01:00"}, page=NEW)
    assert made.status_code == 303
    with store.reading() as db:
        (gig,) = gigs.of_band(db, band.band_id)
        assert gig.minutes["curfew"] == 1500
    assert 'value="01:00"' in signed_in.get(f"/gigs/{gig.id}/details").text
    for alone in ({"curfew": 1500}, {"doors": 1140, "curfew": 1860}):
        assert write_fields(alone)["time-curfew"].endswith(" next day"), "read back it would be another time"


def test_two_editors_do_not_overwrite_each_other(signed_in: Browser, band: ABand, store: Store) -> None:
    """The second of two saves shows both values and saves nothing; saved again from there it counts."""
    with store.writing() as db:
        gig = a_gig(db, band)
    form = f"/gigs/{gig.id}/details"
    data = {**entries(store, band), "rig": f"{gig.rig_id}|"}
    mine = {**data, **signed_in.hidden(form), "place": "The Cellar"}
    assert signed_in.send(form, {**data, "place": "The Barn"}, page=form).status_code == 303
    refused = signed_in.send(form, mine)
    assert refused.status_code == 409
    assert "The Barn" in refused.text
    assert 'value="The Cellar"' in refused.text
    version = re.search(r'name="form_version" value="(\d+)"', refused.text).group(1)
    key = re.search(r'name="form_key" value="([^"]+)"', refused.text).group(1)
    assert signed_in.send(form, {**mine, "form_version": version, "form_key": key}).status_code == 303
    with store.reading() as db:
        assert gigs.get(db, band.band_id, gig.id).place == "The Cellar"


def test_a_variant_plans_without_its_sources(signed_in: Browser, band: ABand, store: Store) -> None:
    """Choosing another variant of the same rig plans the gig afresh."""
    with store.writing() as db:
        gig = a_gig(db, band, rig=a_rig(configurations={"quiet": Configuration(off=("kick",))}))
        assert len(plan_now(db, gig, NOW).read().lines) == 4
    form = f"/gigs/{gig.id}/details"
    signed_in.send(form, {**entries(store, band), "rig": f"{gig.rig_id}|quiet"}, page=form)
    with store.reading() as db:
        assert len(plans.newest(db, gig.id).read().lines) == 3


def test_a_cancelled_gig_says_so(signed_in: Browser, band: ABand, store: Store) -> None:
    """Cancelling is seen on the gig's page and in the list of past gigs."""
    with store.writing() as db:
        gig = a_gig(db, band)
    form = f"/gigs/{gig.id}/details"
    assert signed_in.send(f"/gigs/{gig.id}/cancel", page=form).status_code == 303
    page = signed_in.get(f"/gigs/{gig.id}").text
    assert "cancelled" in page
    assert "How far it is" in page
    assert "To do" not in page
    assert f'href="/gigs/{gig.id}/sign-off"' not in page
    home = signed_in.get("/").text
    assert home.index("Past") < home.index("Harbour night")


def test_another_bands_gig_is_not_there(signed_in: Browser, store: Store) -> None:
    """Every page and form of a foreign gig answers as one that never was."""
    with store.writing() as db:
        other = a_band(db, name="Somebody Else")
        gig = a_gig(db, other)
        link = a_link(db, gig, other)
    absent = signed_in.get("/gigs/00000000-0000-4000-8000-000000000000").text
    for page in ("", "/details", "/links", "/questions", "/questions/next", "/questions/more", "/questions/inputs"):
        answer = signed_in.get(f"/gigs/{gig.id}{page}")
        assert (answer.status_code, answer.text) == (404, absent)
    for form in (
        "/details",
        "/cancel",
        "/rig",
        "/links",
        f"/links/{link.id}/revoke",
        f"/links/{link.id}/replace",
        "/questions/inputs",
    ):
        assert signed_in.send(f"/gigs/{gig.id}{form}", {"form_key": "k" * 20, "form_version": "1"}).status_code == 404
    with store.reading() as db:
        assert links.by_id(db, link.id).revoked_at is None
        assert gigs.get(db, other.band_id, gig.id).cancelled_at is None


def test_the_list_needs_no_more_queries_for_more_gigs(signed_in: Browser, band: ABand, store: Store) -> None:
    """Twelve gigs take as many queries as one."""

    def add(name: str) -> None:
        with store.writing() as db:
            gig = a_gig(db, band, name=name)
            a_link(db, gig, band)
            plan_now(db, gig, NOW)

    add("first")
    with counted(store) as one:
        assert "first" in signed_in.get("/").text
    for number in range(11):
        add(f"gig {number}")
    with counted(store) as twelve:
        assert "gig 10" in signed_in.get("/").text
    assert len(twelve) == len(one) < 16


def test_the_list_goes_by_date_and_says_what_is_next(signed_in: Browser, band: ABand, store: Store) -> None:
    """The nearest gig comes first, past ones after the coming ones, each with state and next step."""
    with store.writing() as db:
        for name, days in (("far", 60), ("near", 5), ("gone", -5)):
            a_gig(db, band, name=name, on=(NOW + timedelta(days=days)).date())
    text = signed_in.get("/").text
    assert text.index(">near<") < text.index(">far<") < text.index(">gone<")
    assert text.count("The band makes the house&#39;s link") == 2
    assert "played" in text


def test_the_empty_list_teaches(signed_in: Browser) -> None:
    """Without a gig the page says how to come to one, and without a rig the form does."""
    assert "Write down the rig" in signed_in.get("/").text
    assert "There is no rig yet" in signed_in.get(NEW).text


def test_the_zone_of_the_last_gig_is_the_first_choice(signed_in: Browser, band: ABand, store: Store) -> None:
    """A second gig starts with the time zone of the first."""
    with store.writing() as db:
        a_gig(db, band, time_zone="Pacific/Auckland")
    assert '<option value="Pacific/Auckland" selected>' in signed_in.get(NEW).text
