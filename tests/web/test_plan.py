"""The plan page: one set of facts for both sides, with reasons, origins and a way on."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from portal.documents.patch.patch_sheet import patch_sheet
from portal.exchange.example import example_rig
from portal.plan.input.answer_kinds import Value
from portal.plan.input.facts import Answers
from portal.plan.input.rig import Source
from portal.plan.model import EarInput, Item, Path
from portal.plan.registry import RULES
from portal.store import plans
from portal.web.frame.running import Portal
from portal.web.plan.cable import Places, cables
from portal.web.plan.glance import BROAD, NARROW, glance
from tests.builders import ABand, a_band, a_gig, a_rig
from tests.documents.plans import a_cover, a_line, a_plan
from tests.plan.seven_players import BY_TABLET, EIGHT_INPUTS, NOBODY_MIXES
from tests.plan.seven_players import planned as planned_seven
from tests.web.conftest import Browser
from tests.web.planned import TABLE, Planned, asking_rig, prepare, rows_of, words_of


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def test_both_sides_read_the_same_lines(planned: Planned) -> None:
    """Source, player, path, loom, socket and channel are the same on the band's page and on the house's."""
    ours, theirs = (
        planned.band.get(f"{planned.gigs_base}/plan").text,
        planned.house.get(f"{planned.house_base}/plan").text,
    )
    assert rows_of(ours) == rows_of(theirs)
    assert rows_of(ours)[0] == ["Kick", "", "mic", "", "1", "", "1", "1", "1", "kick", ""]
    assert [row[0] for row in rows_of(ours)] == ["Kick", "Bass", "Keys", "Lead"]


def test_the_answer_stands_first(planned: Planned) -> None:
    """The route in one sentence comes before the lines, the lines before everything else."""
    html = planned.band.get(f"{planned.gigs_base}/plan").text
    places = [
        html.index(text)
        for text in (
            "Dry split: 4 lines to the house stage box",
            TABLE,
            "Assumed until told",
            "Revision 1",
        )
    ]
    assert places == sorted(places)


def test_every_line_says_why_and_from_whom(planned: Planned) -> None:
    """Each line leads to a page that cites its facts with who said them and when; the long answer and the question are
    linked.
    """
    html = planned.house.get(f"{planned.house_base}/plan").text
    addresses = re.findall(r'href="([^"]*/lines/\d)"', html)
    assert len(addresses) == 4
    for address in addresses:
        line = planned.house.get(address).text
        assert 'href="/why/own-line-through-the-splitter"' in line
        assert "Splitter: 8 ways, isolated outputs to the house" in words_of(line)
        assert "(the rig says)" in words_of(line)
        assert "(the house said on Wed 25 Nov 2026)" in words_of(line)
        assert f'href="{planned.house_base}/questions/mixing#who-mixes"' in line


def test_what_is_assumed_leads_to_its_question(planned: Planned) -> None:
    """Each assumption is marked in words and leads to the question that settles it, on the reader's own side."""
    for browser, base in ((planned.band, planned.gigs_base), (planned.house, planned.house_base)):
        html = browser.get(f"{base}/plan").text
        rest = html[html.index("Assumed until told") :]
        assert "assumed a room for about 300 people" in words_of(rest)
        assert f'href="{base}/questions/room#room-capacity"' in rest
        for address, question in re.findall(rf'href="({base}/questions/[a-z-]+)#([a-z-]+)"', html):
            assert f'id="{question}"' in browser.get(address).text, question


def test_a_pair_is_joined_and_a_new_loom_is_seen(
    portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]
) -> None:
    """The two rows of a pair are marked as its first and second, and say so to whoever cannot see it."""
    rig = a_rig()
    keys = [
        Source(
            key=f"k{side}",
            label=f"Keys {side}",
            what="synth.generic",
            position=word,
            pair_with=f"k{other}",
            splitter="s",
            way=way,
            mixer_input=way,
        )
        for side, word, other, way in (("L", "left", "R", 5), ("R", "right", "L", 6))
    ]
    gig = prepare(portal, band, signed_in, enter, replace(rig, source=(*rig.source, *keys)))
    html = gig.band.get(f"{gig.gigs_base}/plan").text
    row = r'<tr role="row" class="line %s" id="line-\d">\s*<th[^>]*><a[^>]*>%s</a><span class="unseen">%s'
    assert re.search(row % ("first", "Keys L", ", stereo with Keys R"), html)
    assert re.search(row % ("second", "Keys R", ", stereo with Keys L"), html)


def test_the_number_in_the_splitter_says_what_it_counts() -> None:
    """The ways that hold a plug tonight, in words; where there is no room for words there is no number."""
    plan = a_plan((a_line(1), a_line(2)), ear_inputs=(), returns=())
    drawn = glance(plan)
    assert [text.words for text in drawn.broad.texts if "way" in text.words] == ["2 ways used"]
    left, right = NARROW.splitter
    inside = [text.words for text in drawn.narrow.texts if left < text.x < right and text.words.isdecimal()]
    assert inside == []


@pytest.mark.parametrize("count", [1, 8, 24])
def test_what_stays_at_home_is_not_cut_off_below_the_picture(count: int) -> None:
    """However few lines make the picture low, no word of it lies below its edge."""
    stays = tuple(Item(f"microphone {number}", 1, "it stays") for number in range(3))
    lines = tuple(a_line(number) for number in range(1, count + 1))
    drawn = glance(a_plan(lines, ear_inputs=(), returns=(), leave=stays)).broad
    assert "microphone 0" in [text.words for text in drawn.texts]
    assert max(text.y for text in drawn.texts) < drawn.height


@pytest.mark.parametrize(
    ("count", "lines", "outputs"),
    [
        (1, "1 line runs from the stage on the left", "1 comes out of the band's mixer."),
        (2, "2 lines run from the stage on the left", "2 come out of the band's mixer."),
    ],
)
def test_the_picture_is_read_aloud_in_whole_sentences(count: int, lines: str, outputs: str) -> None:
    """What somebody hears instead of the picture says one as one and several as several."""
    path = Path("direct-out", "mixer", "direct-out", None, "out-1")
    plan = a_plan(tuple(a_line(number, path=path) for number in range(1, count + 1)), ear_inputs=(), returns=())
    said = glance(plan).said
    assert lines in said
    assert outputs in said


@pytest.mark.parametrize(
    ("sources", "kind"), [(3, "direct-out"), (3, "group"), (9, "group")], ids=["alone", "joined", "counted"]
)
def test_48_v_through_the_bands_mixer_keeps_its_flags(sources: int, kind: str) -> None:
    """The flags on the rows are as many as the picture counts, whatever way the microphones leave the mixer."""
    names = [f"mic {number}" for number in range(sources)]
    groups = [(name,) for name in names] if kind == "direct-out" else [tuple(names)]
    lines = tuple(
        a_line(number, sources=group, path=Path(kind, "mixer", kind, None, f"out-{number}"), stereo_partner=None)
        for number, group in enumerate(groups, start=1)
    )
    inputs = tuple(
        EarInput(number, name, name, "straight in", "band", 1, mic_or_di="mic")
        for number, name in enumerate(names, start=1)
    )
    plan = a_plan(lines, ear_inputs=inputs, returns=(), not_sent=())
    table = cables(plan, Places(str, str, lambda _: ""))
    rows = [row for group in table.groups for row in group.rows]
    assert sum(row.fed for row in rows if row.phantom == "band") == sources
    assert {row.capture for row in rows} == {"mic"}
    flag = glance(plan).broad.flag
    assert flag is not None
    assert flag.words == f"48 V to {sources}"


@pytest.mark.parametrize("answers", [BY_TABLET, NOBODY_MIXES])
def test_the_row_of_the_whole_mix_bears_no_48_v(answers: Answers) -> None:
    """Eight microphones behind one flag are nobody's to switch: each input of the band's mixer says its own."""
    table = cables(planned_seven(answers), Places(str, str, lambda _: ""))
    assert [row.phantom for group in table.groups for row in group.rows if row.kind == "line"] == ["", ""]


def test_a_microphone_that_is_not_plugged_is_so_on_the_plan() -> None:
    """Plan, sheet and packing list say one thing of it."""
    table = cables(planned_seven(EIGHT_INPUTS), Places(str, str, lambda _: ""))
    rows = {row.label: row.notes for group in table.groups for row in group.rows if row.kind == "cut"}
    assert rows["Bass mic"] == ("not plugged",)


def test_a_block_names_what_helps_and_who_acts(planned: Planned) -> None:
    """What blocks stands above the lines with changes that were tried, and the way to the sign-off is gone."""
    planned.answer(rack_power="no")
    html = planned.house.get(f"{planned.house_base}/plan").text
    words = words_of(html[: html.index(TABLE)])
    assert "blocker There is no space or mains outlet for the band's rack on stage." in words
    assert "Helps , as was tried : The house gives the rack a place and an outlet on stage." in words
    assert "sign-off" not in html


def test_where_nothing_fits_the_clash_is_said_neutrally(
    portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]
) -> None:
    """A conflict shows both sides' facts with their origin, then remedies with who acts; there is nothing to sign or to
    print.
    """
    rig = a_rig()
    direct = replace(rig.splitter[0], outputs=(replace(rig.splitter[0].outputs[0], kind="direct"),))
    gig = prepare(portal, band, signed_in, enter, replace(rig, splitter=(direct,)), isolation="required")
    for browser, base in ((gig.band, gig.gigs_base), (gig.house, gig.house_base)):
        html = browser.get(f"{base}/plan").text
        words = words_of(html)
        assert "Lead must reach the house (the rig says)" in words
        assert "They are required here (the house said on Wed 25 Nov 2026)" in words
        assert "The house accepts lines without a transformer." in words
        assert "The band brings 4 isolating transformers." in words
        assert "must:" not in html
        assert "patch-sheet" not in html
        assert browser.get(f"{base}/papers/patch-sheet").status_code == 409
        assert browser.get(f"{base}/sign-off").status_code == 409


def test_an_earlier_revision_is_shown_as_it_was(planned: Planned) -> None:
    """A stored plan reads the same after the answers changed, says that it is not the newest, and what has changed
    since.
    """
    before = rows_of(planned.band.get(f"{planned.gigs_base}/plan").text)
    planned.answer(inputs_free=2)
    assert rows_of(planned.band.get(f"{planned.gigs_base}/plan").text) != before
    earlier = planned.band.get(f"{planned.gigs_base}/plan/1").text
    assert rows_of(earlier) == before
    assert "Revision 2 is the newest." in words_of(earlier)
    assert "No longer goes to the house: Bass" in words_of(earlier)
    assert planned.band.get(f"{planned.gigs_base}/plan/3").status_code == 404


def test_what_one_visit_led_to_is_one_row_of_the_revisions(planned: Planned) -> None:
    """What nobody signed of one visit is one row that leads to its newest; there each has its own. What was signed, and
    another visit's, stands by itself.
    """

    def listed(page: str) -> list[str]:
        html = planned.band.get(f"{planned.gigs_base}/{page}").text
        return re.findall(r">(Revisions? \d+(?: to \d+)?)</a>,", html)

    assert listed("plan") == []
    for inputs in (7, 6, 2):
        planned.answer(inputs_free=inputs)
    assert listed("plan") == ["Revisions 1 to 3"]
    assert listed("plan/3") == ["Revision 4", "Revision 2", "Revision 1"]
    planned.sign("house")
    planned.answer(inputs_free=7)
    newest = planned.newest()
    for minutes in (40, 50):
        with planned.portal.store.writing() as db:
            plans.keep(
                db,
                gig_id=planned.gig.id,
                basis=plans.Basis(newest.rig_revision_id, newest.read_answers(), newest.read_locks()),
                engine=newest.engine,
                heading=newest.read_heading(),
                document=newest.document,
                content_hash=f"{minutes:064}",
                now=newest.created + timedelta(minutes=minutes),
            )
    assert listed("plan") == ["Revision 6", "Revision 5", "Revision 4", "Revisions 1 to 3"]
    assert f'href="{planned.gigs_base}/plan/3"' in planned.band.get(f"{planned.gigs_base}/plan").text


def test_a_stored_plan_keeps_its_heading(planned: Planned) -> None:
    """A gig that moved to another place leaves what stood above an earlier revision as it was."""
    with planned.portal.store.writing() as db:
        gig = planned.gig.model_copy(update={"place": "The Boathouse"})
        db.merge(gig)
    planned.answer(pa="stereo")
    assert "The Old Net Loft" in planned.band.get(f"{planned.gigs_base}/plan/1").text
    newest = planned.band.get(f"{planned.gigs_base}/plan").text
    assert "The Boathouse" in newest
    assert "The place: was The Old Net Loft, now The Boathouse." in words_of(
        planned.band.get(f"{planned.gigs_base}/plan/1").text
    )


def test_earlier_rules_offer_to_plan_again_to_the_band_only(planned: Planned) -> None:
    """A plan of an earlier engine stays as it is; the band may plan again, which adds a revision."""
    newest = planned.newest()
    with planned.portal.store.writing() as db:
        plans.keep(
            db,
            gig_id=planned.gig.id,
            basis=plans.Basis(newest.rig_revision_id, newest.read_answers(), newest.read_locks()),
            engine="0",
            heading=newest.read_heading(),
            document=newest.document,
            content_hash=newest.content_hash,
            now=newest.created,
        )
    address = f"{planned.gigs_base}/plan"
    assert "Plan again" not in planned.house.get(f"{planned.house_base}/plan").text
    assert "Plan again" in planned.band.get(address).text
    assert planned.band.send(f"{address}/again", page=address).status_code == 303
    assert planned.newest().number == 3
    assert "Plan again" not in planned.band.get(address).text


def test_somebody_elses_plan_is_not_there(planned: Planned, portal: Portal) -> None:
    """Plans, sign-off, papers and the ladder of another band's gig are answered like addresses that do not exist."""
    with portal.store.writing() as db:
        other = a_gig(db, a_band(db, name="The Tin Kettles"))
    for tail in (
        "plan",
        "plan/1",
        "sign-off",
        "sign-off/1",
        "papers/patch-sheet",
        "papers/patch-sheet.pdf",
        "papers/1/patch-sheet",
        "choosing",
    ):
        assert planned.band.get(f"/gigs/{other.id}/{tail}").status_code == 404, tail
        assert planned.house.get(f"/house/{other.id}/{tail}").status_code == 404, tail


def test_texts_of_the_rig_stay_text(
    portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]
) -> None:
    """A label that looks like markup is shown as it was typed."""
    rig = a_rig()
    nasty = replace(rig.source[0], label="<b>Kick</b>", player="<img src=x>")
    gig = prepare(portal, band, signed_in, enter, replace(rig, source=(nasty, *rig.source[1:])))
    for tail in ("plan", "sign-off", "papers/patch-sheet"):
        html = gig.band.get(f"{gig.gigs_base}/{tail}").text
        assert "&lt;b&gt;Kick&lt;/b&gt;" in html
        assert "<img" not in html


def test_every_rule_has_its_long_answer(browser: Browser) -> None:
    """The why-page of each rule shows its title and its reason."""
    assert RULES
    for key, rule in RULES.items():
        answer = browser.get(f"/why/{key}")
        assert answer.status_code == 200, key
        words = words_of(answer.text)
        assert rule.title[1:] in words
        assert rule.why.partition(" Example: ")[0] in words


def test_an_unknown_rule_is_not_there(browser: Browser) -> None:
    """A key that no rule has leads to the ordinary page."""
    assert browser.get("/why/no-such-rule").status_code == 404


def test_the_ladder_marks_what_this_gig_gives_up(planned: Planned) -> None:
    """The page for all gigs names no gig; the one for a gig names its room, that it is assumed, and the sources beside
    their steps.
    """
    for_all = words_of(planned.band.get("/how-the-portal-chooses").text)
    assert "This gig" not in for_all
    assert "Hi-hat and ride" in for_all
    planned.answer(inputs_free=2)
    html = planned.house.get(f"{planned.house_base}/choosing").text
    assert "A normal room: the PA carries the stage. This gig. assumed" in words_of(html)
    row = next(row for row in re.findall(r"<tr>.*?</tr>", html, re.DOTALL) if "/why/left-out" in row)
    assert "<b>Bass and Keys</b>" in row


def test_what_is_to_be_ticked_stands_above_the_lines(
    portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]
) -> None:
    """A point to settle is marked with its word and opens to its facts."""
    gig = prepare(portal, band, signed_in, enter, asking_rig())
    html = gig.house.get(f"{gig.house_base}/plan").text
    head = html[: html.index(TABLE)]
    assert "Kick: no transformer" in words_of(head)
    assert 'href="/why/two-phantom-feeders"' in head


OWN_PA = {"pa": "none", "who_mixes": "band-from-stage"}
HOUSE_PA = {"pa": "stereo", "who_mixes": "band-from-stage", "pa_inputs": 2}
ON_OUR_MIXER = {"who_mixes": "bands-engineer-our-mixer"}


@pytest.mark.parametrize(
    ("said", "route"),
    [
        (OWN_PA, "own-pa"),
        (HOUSE_PA, "house-pa-band-mixes"),
        (ON_OUR_MIXER, "engineer-on-the-bands-mixer"),
    ],
)
def test_the_mixers_patch_is_read_as_on_the_sheet(
    portal: Portal,
    band: ABand,
    signed_in: Browser,
    enter: Callable[..., Browser],
    said: dict[str, Value],
    route: str,
) -> None:
    """Where the audience hears the band's mixer, both sides and whoever signs read what comes in, by which cable and
    who hears it, and what each output feeds.
    """
    planned = prepare(portal, band, signed_in, enter, example_rig())
    plan = planned.answer(**said).read()
    assert plan.route == route
    sheet = patch_sheet(plan, a_cover())
    for browser, page in (
        (planned.band, f"{planned.gigs_base}/plan"),
        (planned.house, f"{planned.house_base}/plan"),
        (planned.band, f"{planned.gigs_base}/sign-off"),
    ):
        words = words_of(browser.get(page).text)
        for row in sheet.mixer:
            for cell in (row.source, row.fed_by, row.cable, row.heard, row.phantom, row.channel):
                assert cell in ("–", "") or cell in words
        for row in sheet.outputs:
            assert " ".join(part for part in (row.out, row.feeds, row.cable) if part != "–") in words
        assert words.count("Inputs of the band's mixer") == 1
        assert ("Dead inputs: 1" in words) == (route == "own-pa")


def test_the_ways_that_are_used_stand_inside_their_box() -> None:
    """Two digits and their words are no wider than the splitter of the picture."""
    left, right = BROAD.splitter
    assert len("16 ways used") * 0.55 * BROAD.size <= right - left
