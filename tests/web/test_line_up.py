"""Tonight's line-up: entered on one page, shown as a difference from the rig, planned, printed, and erased with the
band.
"""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from html import unescape

import pytest
from sqlalchemy.exc import IntegrityError

from portal.advance import line_up_words
from portal.advance.planning import changed_since, stands
from portal.exchange.example import example_rig
from portal.exchange.files import document_to_rig
from portal.plan.input.line_up import AS_THE_RIG, MARK
from portal.plan.input.rig import Ears
from portal.plan.reconcile import reconcile
from portal.plan.result.stage import Stage
from portal.plan.signed.serialization import canonical, to_json
from portal.store import answers, discussions, gigs, plans, rigs, signoffs
from portal.store.database.session import Store
from portal.store.day import stages
from portal.store.record import data_export, erasing, events
from portal.store.record.verify import verify
from portal.web.frame.running import Portal
from portal.web.gig import line_up_form
from tests.builders import NOW, ABand, a_band, a_gig
from tests.planning import plan_now
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare, words_of

STANDS = "Tonight: without Bo (Guitar Bo and Voice Bo) and Keys R; Ana for Eli on Bass DI and Voice Eli; one guest row,"
STANDS += " Trumpet (Cleo); the mix of Cem wired; an in-ear mix for Cleo."


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter, example_rig(), **{"inputs-free": 32})


def form_of(html: str) -> dict[str, object]:
    """Everything that the page's form would send as it is drawn."""
    main = html[html.index("<main") :]
    values: dict[str, object] = {}
    for tag in re.findall(r"<input[^>]*>", main):
        known = dict(re.findall(r'([\w-]+)="([^"]*)"', tag))
        if known.get("type") == "checkbox" and " checked" not in tag:
            continue
        value = unescape(known.get("value", ""))
        values[known["name"]] = [*values.get(known["name"], []), value] if known.get("type") == "checkbox" else value
    for name, options in re.findall(r'<select[^>]*name="([^"]+)"[^>]*>(.*?)</select>', main, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', options) or re.search(r'value="([^"]*)"', options)
        values[name] = chosen[1]
    return values


def number_of(form: dict[str, object], player: str) -> str:
    return next(
        name.removesuffix("was") for name, value in form.items() if name.startswith("player") and value == player
    )


def fill(planned: Planned, **more: object) -> dict[str, object]:
    """The form with Bo away, a dep for Eli, half of the keys off, Cem wired, and a guest with a mix of her own."""
    form = form_of(planned.band.get(f"{planned.gigs_base}/line-up").text)
    return {
        **form,
        "off": ["s-keys-r"],
        f"{number_of(form, 'Bo')}away": "yes",
        f"{number_of(form, 'Eli')}dep": "Ana",
        f"{number_of(form, 'Cem')}mix": "cable",
        "guest1-label": "Trumpet",
        "guest1-player": "Cleo",
        "mix1-player": "Cleo",
        "mix1-width": "mono",
        **more,
    }


def save(planned: Planned, **more: object) -> None:
    page = f"{planned.gigs_base}/line-up"
    answer = planned.band.client.post(page, data=fill(planned, **more), headers={"origin": "https://portal.test"})
    assert answer.status_code == 303, words_of(answer.text)


def test_what_differs_is_one_sentence_for_both_sides(planned: Planned) -> None:
    """The gig's page, the line-up and the plan, also as the house reads it, say in what tonight differs."""
    save(planned)
    for browser, base in ((planned.band, planned.gigs_base), (planned.house, planned.house_base)):
        assert STANDS in words_of(browser.get(f"{base}/plan").text)
    for page in (planned.gigs_base, f"{planned.gigs_base}/line-up"):
        assert STANDS in words_of(planned.band.get(page).text)


def test_the_rig_stays_as_it_is(planned: Planned) -> None:
    """A line-up makes no revision of the rig; taken back, the gig is planned from the rig again."""
    before = planned.newest()
    save(planned)
    with planned.portal.store.reading() as db:
        assert len(rigs.revisions(db, planned.gig.rig_id)) == 1
    form = form_of(planned.band.get(f"{planned.gigs_base}/line-up").text)
    empty = {name: "" for name, value in form.items() if name.endswith(("-dep", "-mix", "-away"))}
    back = {**form, **empty, "off": [], "guest1-remove": "yes", "mix1-remove": "yes"}
    answer = planned.band.send(f"{planned.gigs_base}/line-up", back)
    assert answer.status_code == 303
    with planned.portal.store.reading() as db:
        gig = gigs.of_link(db, planned.gig.id)
        assert gig.read_line_up() == AS_THE_RIG
        assert gig.line_up == ""
        assert plans.newest(db, gig.id).content_hash == before.content_hash


def test_the_plan_is_of_tonight(planned: Planned) -> None:
    """Nothing that is off has a line; the dep and the guest stand where the player would, and the guest is marked. The
    earlier plan keeps what it was made from.
    """
    before = planned.newest()
    save(planned)
    after = planned.newest()
    plan = after.read()
    players = {line.player for line in plan.lines}
    assert not [player for player in players if "Bo" in player or "Eli" in player]
    assert {"Ana", "Cleo"} <= players
    (guest,) = [line for line in plan.lines if line.player == "Cleo"]
    assert MARK in guest.note
    assert (before.read_line_up(), after.read_line_up().away) == (AS_THE_RIG, ("Bo",))


def test_a_shared_mix_is_asked_at_its_first_listener_and_each_listener_is_a_player() -> None:
    """Bo and Cem hear one mix: each can be off or have a dep; what carries the mix is asked once."""
    rig = replace(example_rig(), ears=(Ears(player="Bo, Cem"),))
    shown = {one.name: one for one in line_up_form.players(rig)}
    assert [(name, one.heard_with) for name, one in shown.items() if one.mixes] == [("Bo", "Cem")]
    assert "Bo, Cem" not in shown
    values = {
        name: (value,) for name, value in {"player1-was": "Bo", "player1-away": "yes", "player1-mix": "wedge"}.items()
    }
    line_up, mistakes = line_up_form.read(rig, "", values)
    assert (line_up.away, line_up.carried, mistakes) == (("Bo",), (("Bo", "wedge"),), ())
    assert line_up_words.says(line_up_words.differences(rig, line_up)).endswith(
        "; the mix of Cem on a wedge of the house."
    )


def test_a_repeat_plans_nothing_anew(planned: Planned) -> None:
    """The same line-up saved again makes no further revision of the plan."""
    save(planned)
    number = planned.newest().number
    form = form_of(planned.band.get(f"{planned.gigs_base}/line-up").text)
    assert planned.band.send(f"{planned.gigs_base}/line-up", form).status_code == 303
    assert planned.newest().number == number


def test_a_guest_gets_what_is_free_tonight(planned: Planned) -> None:
    """What Bo's guitar leaves free is the guest's, and the label says what it is."""
    save(planned)
    with planned.portal.store.reading() as db:
        (guest,) = gigs.of_link(db, planned.gig.id).read_line_up().guests
    assert (guest.what, guest.capture, guest.mixer_input, guest.splitter, guest.way) == (
        "brass.trumpet",
        "mic",
        11,
        "stage-split",
        11,
    )


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        (
            {"guest1-mixer_input": "1"},
            '"Kick In" and "Trumpet" both use mixer input 1. Give one of them another input.',
        ),
        ({"guest1-way": "2"}, "both use way 2 of Stage splitter. Give one of them another way."),
        ({"guest1-mixer_input": "99"}, '"Trumpet" uses mixer input 99; the mixer has 24 inputs.'),
        ({"guest1-label": ""}, "Guest row 1: write what it is, for example Trumpet."),
        ({"guest1-note": "x" * 110}, "Guest row 1, note: this has 110 characters; 105 fit. Shorten it."),
        ({"mix1-player": "Ada"}, 'Two in-ear mixes are for "Ada". Give each mix a player of its own.'),
        ({"mix1-player": ""}, "Mix 1: write who hears it."),
        (
            {"mix1-width": "stereo", "mix1-outs": "out-10"},
            "The in-ear mix of Cleo is stereo and has one output: one ear would hear nothing.",
        ),
        ({"configuration": "loud"}, "Choose one of the rig's variants."),
    ],
)
def test_a_mistake_is_told_at_its_field(planned: Planned, typed: dict[str, str], sentence: str) -> None:
    """What cannot be is told with the names of rows, nothing is saved, and nothing typed is lost."""
    answer = planned.band.send(f"{planned.gigs_base}/line-up", fill(planned, **typed))
    assert answer.status_code == 422
    assert sentence in words_of(answer.text)
    assert form_of(answer.text)[f"{number_of(form_of(answer.text), 'Eli')}dep"] == "Ana"
    with planned.portal.store.reading() as db:
        assert gigs.of_link(db, planned.gig.id).line_up == ""


def test_nobody_plays_for_somebody_who_is_off(planned: Planned) -> None:
    """A dep's name beside the mark that the player is not there is asked about."""
    form = fill(planned)
    form[f"{number_of(form, 'Bo')}dep"] = "Ana"
    answer = planned.band.send(f"{planned.gigs_base}/line-up", form)
    assert answer.status_code == 422
    assert "Ana plays for Bo, and Bo is not there." in words_of(answer.text)


def test_somebody_elses_line_up_is_shown_first(planned: Planned) -> None:
    """A form drawn before another was saved saves nothing and shows what the other said."""
    late = fill(planned, **{"guest1-label": "Horn"})
    save(planned)
    answer = planned.band.send(f"{planned.gigs_base}/line-up", late)
    assert answer.status_code == 409
    assert "one guest row, Trumpet (Cleo)" in words_of(answer.text)
    assert form_of(answer.text)["guest1-label"] == "Horn"


def test_what_was_agreed_of_a_row_that_is_off_rests(planned: Planned) -> None:
    """An agreement about a row that is off binds no plan, and both sides read that it rests; it is back with the
    row.
    """
    with planned.portal.store.writing() as db:
        row = discussions.propose(
            db, gig_id=planned.gig.id, source="s-bass", resource="desk-channel", value="3", party="house", now=NOW
        )
        discussions.settle(db, row.id, "accepted", "band", NOW)
        bound = plan_now(db, gigs.of_link(db, planned.gig.id), NOW)
    assert [lock.source for lock in bound.read_locks()] == ["s-bass"]
    save(planned, off=["s-bass"])
    assert planned.newest().read_locks() == ()
    rests = "What both sides agreed on Bass DI does not apply while it is off."
    assert rests in words_of(planned.house.get(f"{planned.house_base}/plan").text)
    save(planned, **{"off": [], "guest1-mixer_input": "23", "guest1-way": "21"})
    assert [lock.source for lock in planned.newest().read_locks()] == ["s-bass"]
    assert rests not in words_of(planned.house.get(f"{planned.house_base}/plan").text)


def test_the_papers_name_who_plays(planned: Planned) -> None:
    """Patch sheet, input list and packing list know the dep and the guest, and not who is away; the sheet says the
    difference.
    """
    save(planned)
    for document in ("patch-sheet", "input-list", "pack-list"):
        words = words_of(planned.house.get(f"{planned.house_base}/papers/{document}").text)
        assert STANDS in words, document
        said = words.replace(STANDS, "")
        assert {name: name in said for name in ("Cleo", "Ana", "Guitar Bo", "Voice Bo")} == {
            "Cleo": True,
            "Ana": True,
            "Guitar Bo": False,
            "Voice Bo": False,
        }, document
        assert document == "pack-list" or MARK in said


def test_the_command_line_gets_the_same_from_a_file(planned: Planned) -> None:
    """The rig as it is used tonight, downloaded, makes the very plan of the gig."""
    save(planned, configuration="acoustic")
    answer = planned.band.get(f"{planned.gigs_base}/line-up/rig.json")
    assert answer.headers["content-disposition"].startswith('attachment; filename="')
    rig, stored = document_to_rig(json.loads(answer.text)), planned.newest()
    assert rig.configurations == {}
    assert canonical(to_json(reconcile(rig, stored.read_answers()))).decode() == stored.document


def test_the_history_tells_the_difference(planned: Planned) -> None:
    """Both sides read what the line-up was and is."""
    save(planned)
    said = words_of(planned.house.get(f"{planned.house_base}/history").text)
    assert "Line-up: was as the rig, now without Bo (Guitar Bo and Voice Bo) and Keys R; Ana for Eli" in said


def test_the_difference_is_told_in_the_reader_s_language(planned: Planned) -> None:
    """Keys and names are kept and no sentence; what was kept as one before is read as it was."""
    save(planned)
    with planned.portal.store.writing() as db:
        kept = events.of_gig(db, planned.gig.id, "gig-changed")[-1].changes
        assert not any(words in str(kept) for words in ("Tonight", "for Eli", "wired"))
        earlier = (("line_up", "", "Tonight: without Keys 2; Ana for Bo."),)
        events.append(db, gig_id=planned.gig.id, kind="gig-changed", party="band", actor="", now=NOW, changes=earlier)
    planned.house.client.headers["Accept-Language"] = "fr"
    said = words_of(planned.house.get(f"{planned.house_base}/history").text)
    assert re.search(r"sans Bo \(Guitar Bo et Voice Bo\) et Keys R ?; Ana remplace Eli", said)
    assert "without Keys 2; Ana for Bo" in said


def test_a_band_that_is_erased_takes_its_line_up_along(planned: Planned) -> None:
    """Names of deps and guests are gone from gig, plans and history, and everything still verifies."""
    save(planned)
    with planned.portal.store.writing() as db:
        erasing.of_user(db, planned.owner.user_id, NOW)
        assert gigs.of_link(db, planned.gig.id).line_up == ""
        assert {plans.get(db, planned.gig.id, one.id).line_up for one in plans.revisions(db, planned.gig.id)} == {""}
    with planned.portal.store.reading() as db:
        assert events.broken(events.everything(db)) == []
        everything = "\n".join(db.connection().connection.driver_connection.iterdump())
    assert "Cleo" not in everything
    assert "Ana for" not in everything


def test_copy_gig_takes_the_line_up_along(planned: Planned) -> None:
    """A copied gig has line-up, stage and details, and its own date; nothing that the house said."""
    save(planned)
    with planned.portal.store.writing() as db:
        stages.save(db, planned.gig.id, 0, Stage(width_m=7.5), NOW)
    (copy,) = re.findall(r'href="(/gigs/new\?copy=[^"]+)"', planned.band.get(planned.gigs_base).text)
    form = form_of(planned.band.get(copy).text)
    assert (form["name"], form["on"], form["time-doors"]) == ("Harbour night", "", "19:00")
    assert planned.band.send("/gigs/new", {**form, "on": ""}).status_code == 422
    assert planned.band.send("/gigs/new", {**form, "on": "2027-01-09", "name": "Harbour again"}).status_code == 303
    with planned.portal.store.reading() as db:
        again = next(gig for gig in gigs.of_band(db, planned.owner.band_id) if gig.name == "Harbour again")
        assert again.read_line_up() == gigs.of_link(db, planned.gig.id).read_line_up() != AS_THE_RIG
        assert stages.get(db, again.id).read().width_m == 7.5
        assert answers.current(db, again.id) == {}


def test_nobody_copies_another_bands_gig(planned: Planned, store: Store) -> None:
    """The gig of another band is not there to be copied."""
    with store.writing() as db:
        other = a_gig(db, a_band(db, name="The Others"))
    assert planned.band.get(f"/gigs/new?copy={other.id}").status_code == 404
    form = {**form_of(planned.band.get("/gigs/new").text), "copy": other.id}
    assert planned.band.send("/gigs/new", form).status_code == 404


def test_who_typed_a_line_up_takes_it_along(planned: Planned) -> None:
    """The band's download holds the line-up; the house's does not."""
    save(planned)
    with planned.portal.store.reading() as db:
        mine = json.loads(data_export.write(data_export.of_account(db, planned.owner.user_id)))
        gig = gigs.of_link(db, planned.gig.id)
        theirs = data_export.write(data_export.of_house(db, gig, planned.link.id)).decode()
    assert mine["gigs"][0]["line_up"]["deps"] == [["Eli", "Ana"]]
    assert "Cleo" not in theirs


def test_a_newer_rig_is_looked_at_as_it_is_used_tonight(planned: Planned) -> None:
    """What a newer revision would change is told with the line-up: who is away does not come back by it."""
    save(planned)
    with planned.portal.store.writing() as db:
        stored = rigs.get(db, planned.owner.band_id, planned.gig.rig_id)
        rig = example_rig()
        newer = replace(rig, mixer=replace(rig.mixer, latency_ms=1.5))
        rigs.save(
            db,
            stored,
            version=stored.version,
            name=stored.name,
            rig=newer,
            author_id=planned.owner.user_id,
            now=NOW,
        )
    words = words_of(planned.band.get(f"{planned.gigs_base}/rig").text)
    assert "What revision 2 of the rig would change" in words
    assert "New line" not in words
    assert "Line gone" not in words
    assert "No longer goes" not in words


def test_a_played_gig_whose_names_time_took_keeps_its_plan(planned: Planned, store: Store) -> None:
    """What is erased after a gig is no change to it: its plan still is the one of the gig, and can be read."""
    save(planned)
    with store.writing() as db:
        gig = gigs.of_link(db, planned.gig.id)
        plan_now(db, gig, NOW)
        assert stands(db, gig)
        assert erasing.by_time(db, gig.id, NOW) > 0
    with store.reading() as db:
        gig = gigs.of_link(db, planned.gig.id)
        assert "Ana" not in gig.line_up
        assert "Cleo" not in gig.line_up
        assert stands(db, gig)
        assert changed_since(db, gig, plans.newest(db, gig.id)) == ()
    assert planned.band.get(f"{planned.gigs_base}/plan").status_code == 200


def test_time_takes_the_names_of_the_night_off_its_plans(planned: Planned, store: Store) -> None:
    """Signed or not, dep and guest are gone from the database; what was signed is still what was signed; a change to a
    plan afterwards is refused, or found.
    """
    save(planned)
    with store.writing() as db:
        gig = gigs.of_link(db, planned.gig.id)
        drawn = Stage(people=(("Ana", (1.0, 2.0)), ("Cleo", (2.0, 2.0))))
        stages.save(db, gig.id, 0, drawn, NOW)
        stored = plan_now(db, gig, NOW)
        assert "Ana" in stored.document
        assert "Cleo" in stored.document
        signer = signoffs.Signer("band", "Ada Example", "leader", user_id=planned.owner.user_id)
        signoffs.sign(db, stored, signer, statement_version="1", ticked=(), now=NOW)
        signed = stored.content_hash
    with store.writing() as db:
        assert planned.gig.id in erasing.past(db, gig.on)
        erasing.by_time(db, planned.gig.id, NOW)
        assert planned.gig.id not in erasing.past(db, gig.on)
        assert erasing.by_time(db, planned.gig.id, NOW) == 0
    with store.reading() as db:
        everything = "\n".join(db.connection().connection.driver_connection.iterdump())
        assert [name for name in ("Ana", "Cleo") if re.search(rf"\b{name}\b", everything)] == []
        assert verify(db).faults == ()
        stored = plans.newest(db, planned.gig.id)
        assert stored.content_hash == signed
        assert {line.player for line in stored.read().lines} >= {"Eli", "Guest 1"}
        assert stages.get(db, planned.gig.id).read().people[0][0] == "Eli"
    assert planned.band.get(f"{planned.gigs_base}/plan").status_code == 200
    assert "Those names are part of what was signed" in planned.band.get(f"{planned.gigs_base}/given").text
    for change in ("document = '{}'", "content_hash = 'other'", "line_up = '{\"off\":[\"x\"]}', heading = ''"):
        with pytest.raises(IntegrityError, match="never changed"), store.writing() as db:
            db.connection().exec_driver_sql(f"UPDATE plan SET {change}")  # noqa: S608 - its own words
    with store.writing() as db:
        db.connection().exec_driver_sql("UPDATE plan SET document = '{}', line_up = '{\"off\":[\"x\"]}'")
    with store.reading() as db:
        assert len(verify(db).faults) == len(plans.revisions(db, planned.gig.id))


def test_too_many_guest_rows_get_one_sentence(planned: Planned) -> None:
    """A page is not as long as whatever was sent: rows that no line-up has are neither read nor shown."""
    rows = {f"guest{number}-was": "zz" for number in range(1, 401)}
    page = f"{planned.gigs_base}/line-up"
    answer = planned.band.client.post(page, data=fill(planned, **rows), headers={"origin": "https://portal.test"})
    assert answer.status_code == 422
    assert "These are 400 guest rows; 64 fit." in answer.text
    assert "guest64-was" in answer.text
    assert "guest65-" not in answer.text
