"""The parts of a rig besides its rows, as they are typed in the sheet."""

from collections.abc import Callable
from dataclasses import fields, replace

from portal.exchange.rig_words import LABELS
from portal.plan.coherence import faults
from portal.plan.input.rig import (
    UNTOUCHED_TAP,
    Configuration,
    Ears,
    Loom,
    Mix,
    Mixer,
    MixerLink,
    Out,
    Rig,
    Source,
    Splitter,
    SplitterOutput,
)
from portal.store import rigs
from portal.store.database.session import Store
from portal.web.rig.editing.parts_of_signal import read_ears, read_outs
from portal.web.rig.left_open import left_open
from portal.web.rig.rig_fields import Reading
from tests.builders import ABand, a_rig, a_stored_rig
from tests.web.conftest import Browser
from tests.web.rig_forms import fill, form_of, rows_of, send, summary

Newest = Callable[[], Rig]


def test_every_field_of_the_core_has_its_words() -> None:
    """Each key of the rig's records stands in a form under words of its own; keys that are random stay out of sight."""
    unseen = {Mixer: {"outs", "links"}, Splitter: {"key", "outputs"}, Loom: {"key"}}
    for table in (Mixer, Out, MixerLink, Splitter, SplitterOutput, Loom, Ears, Mix):
        assert set(LABELS[table]) == {field.name for field in fields(table)} - unseen.get(table, set()), table


def test_the_rig_is_renamed(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """A new name makes a new revision; an empty one is refused."""
    assert fill(signed_in, f"/rigs/{club_rig.id}/name", name="").status_code == 422
    assert fill(signed_in, f"/rigs/{club_rig.id}/name", name="Theatre rig").status_code == 303
    assert "<h1>Theatre rig</h1>" in signed_in.get(f"/rigs/{club_rig.id}").text


def test_the_mixer_is_counted(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """Counts, yes and no, and what is not known reach the mixer as such: empty is unknown, not zero."""
    entries = {
        "inputs": "24",
        "channels": "",
        "mono_busses": "3",
        "ear_limiters": "no",
        "double_patch": "",
        "latency_ms": "1,2",
    }
    assert fill(signed_in, rows_of(club_rig), **entries).status_code == 303
    mixer = newest_rig().mixer
    assert (mixer.inputs, mixer.channels, mixer.mono_busses, mixer.latency_ms) == (24, None, 3, 1.2)
    assert (mixer.ear_limiters, mixer.double_patch) == (False, None)
    assert mixer.outs == a_rig().mixer.outs


def test_outputs_are_added_and_tapped(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """Outputs are added by count; where each is tapped is one choice, and what the mute cuts is processed."""
    assert fill(signed_in, rows_of(club_rig), more="3").status_code == 303
    assert [out.key for out in newest_rig().mixer.outs] == ["out 1", "out 2", "1", "2", "3"]
    changes: dict[str, str | list[str]] = {
        "out3-tap": "after-preamp",
        "out4-tap": "post-eq",
        "out5-remove": "yes",
    }
    assert fill(signed_in, rows_of(club_rig), **changes).status_code == 303
    outs = newest_rig().mixer.outs
    assert [out.unprocessed for out in outs] == [False, False, True, False]
    assert outs[3].tap == "post-eq"
    assert fill(signed_in, rows_of(club_rig), out3__mute_cuts="yes").status_code == 303
    assert not newest_rig().mixer.outs[2].unprocessed


def test_a_tap_that_a_file_states_more_exactly_stays_until_another_is_chosen() -> None:
    """The form shows it as the nearest choice; saving something else leaves it as it was."""
    before = Out("9", tap_before=tuple(sorted(UNTOUCHED_TAP)))
    kept = Reading({"out1-was": ("9",), "out1-key": ("9",), "out1-use": ("free",), "out1-tap": ("after-preamp",)})
    rig = Rig(mixer=Mixer(outs=(before,)))
    assert read_outs(kept, rig).mixer.outs == (before,)
    other = Reading({"out1-was": ("9",), "out1-key": ("9",), "out1-use": ("free",), "out1-tap": ("post-fader",)})
    assert read_outs(other, rig).mixer.outs == (Out("9", tap="post-fader"),)


def test_an_output_follows_its_mix(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """Outputs are named by the mixes: one that is renamed stays with its mix, one that a mix names anew is held by it,
    and one that no mix names is free. All of it in one save, or in several.
    """
    page = rows_of(club_rig)
    fill(signed_in, page, more="1", ears1__out2="1", out2__key="ears L")
    rig = newest_rig()
    assert rig.ears[0].outs == ("ears L", "1")
    assert [out.use for out in rig.mixer.outs] == ["main", "ears:Ada", "ears:Ada"]
    fill(signed_in, page, ears1__out1="", ears1__player="Ben", ears1__width="mono")
    rig = newest_rig()
    assert (rig.ears[0].player, rig.ears[0].outs) == ("Ben", ("1",))
    assert [out.use for out in rig.mixer.outs] == ["main", "free", "ears:Ben"]
    fill(signed_in, page, ears1__remove="yes")
    assert newest_rig().ears == ()
    assert [out.use for out in newest_rig().mixer.outs] == ["main", "free", "free"]
    assert faults(newest_rig()) == ()


def test_a_mixer_without_outputs_has_those_that_the_mixes_name() -> None:
    """A new rig is typed from the top, and the outputs stand below the mixes. A word that is no number names none."""
    typed = {"was": "", "player": "Ben", "width": "stereo", "out1": "3", "out2": "4", "carried_by": "cable"}
    values = {f"ears1-{name}": (text,) for name, text in typed.items()}
    reading = Reading(values)
    rig = read_ears(reading, Rig())
    assert [(out.key, out.use) for out in rig.mixer.outs] == [
        *(("1", "free"), ("2", "free")),
        *(("3", "ears:Ben"), ("4", "ears:Ben")),
    ]
    assert not reading.faults
    for empty in ("out1", "out2"):
        reading = Reading({**values, f"ears1-{empty}": ("",)})
        read_ears(reading, Rig())
        assert {fault.field for fault in reading.faults} == {f"ears1-{empty}"}, "one output carries no stereo"
        reading = Reading({**values, f"ears1-{empty}": ("",), "ears1-width": ("mono",)})
        read_ears(reading, Rig())
        assert not reading.faults
    for wrong in ("left", "500"):
        reading = Reading({**values, "ears1-out1": (wrong,)})
        read_ears(reading, Rig())
        assert "ears1-out1" in {fault.field for fault in reading.faults}, wrong


def test_what_a_mix_cannot_have_is_told_at_its_cell(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """An output that is not there, that is the main mix, or that carries a mix already; and a player with two mixes."""
    changes = {
        "ears1__out1": "out 1",
        "ears1__out2": "out 9",
        "ears2__player": "Ben",
        "ears2__out1": "out 2",
        "ears2__out2": "out 2",
        "ears3__player": "Ben",
        "ears4__width": "mono",
    }
    answer = fill(signed_in, rows_of(club_rig), **changes)
    assert answer.status_code == 422
    told = dict(summary(answer.text))
    assert "entered as main" in told["ears1-out1"]
    assert "has no output &#34;out 9&#34;" in told["ears1-out2"]
    assert "this mix already" in told["ears2-out2"]
    assert "&#34;Ben&#34; has a mix already" in told["ears3-player"]
    assert told["ears4-player"] == "Mix 4: write who hears it."
    assert len(told) == 5
    assert newest_number() == 1


def test_two_outputs_need_two_names(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """What contradicts itself is told at the second of two cells, with every entry kept and its fold open."""
    answer = fill(signed_in, rows_of(club_rig), out1__key="out 2")
    assert answer.status_code == 422
    assert ("out2-key", "Another output is called &#34;out 2&#34;. Give each a name of its own.") in summary(
        answer.text
    )
    assert form_of(answer, rows_of(club_rig))["out1-key"] == ["out 2"]
    nameless = fill(signed_in, rows_of(club_rig), out1__key="", link1__channels="8")
    assert [field for field, _ in summary(nameless.text)] == ["link1-standard", "out1-key"]


def test_a_mix_for_each_player_is_one_button(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest, newest_number: Callable[[], int]
) -> None:
    """Every player of the rows who has no mix gets a stereo one on free outputs, a mono one on the last; nothing is
    saved by that, and where no output is free the mix waits for one.
    """
    page = rows_of(club_rig)
    typed = {"row1__player": "Ben", "row2__player": "Cy", "row4__player": "Ada", "more": "3"}
    assert fill(signed_in, page, **typed).status_code == 303
    answer = fill(signed_in, page, do="mixes")
    assert "2 in-ear mixes are below, one for each player. Not saved yet." in answer.text
    assert newest_number() == 2
    assert send(signed_in, page, form_of(answer, page)).status_code == 303
    assert [(one.player, one.width, one.outs) for one in newest_rig().ears] == [
        ("Ada", "mono", ("out 2",)),
        ("Ben", "stereo", ("1", "2")),
        ("Cy", "mono", ("3",)),
    ]
    assert "Every player whom the rows name has a mix." in fill(signed_in, page, do="mixes").text


def test_mixes_of_a_mixer_without_outputs_bring_them(signed_in: Browser, store: Store, band: ABand) -> None:
    """In a rig that says nothing of its mixer, the mixes and their outputs come in one save."""
    with store.writing() as db:
        rig = a_stored_rig(db, band, Rig(name="x"))
    fields = form_of(fill(signed_in, rows_of(rig), do="mixes", row1__label="Voice", row1__player="Ada"), rows_of(rig))
    assert send(signed_in, rows_of(rig), fields).status_code == 303
    with store.reading() as db:
        saved = rigs.newest(db, rig.id).read()
    assert saved.ears == (Ears(player="Ada", outs=("1", "2")),)
    assert [(out.key, out.use) for out in saved.mixer.outs] == [("1", "ears:Ada"), ("2", "ears:Ada")]


def test_a_splitter_is_added_changed_and_removed(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest
) -> None:
    """A splitter keeps its random key through changes; a blank group is no splitter."""
    topic = rows_of(club_rig)
    added = {
        "splitter2__name": "Second",
        "splitter2__ways": "16",
        "splitter2__built_in": "yes",
        "splitter2__to1-key": "A",
    }
    assert fill(signed_in, topic, **added).status_code == 303
    first, second = newest_rig().splitter
    assert first == a_rig().splitter[0]
    assert (second.name, second.ways, second.built_in, second.outputs) == (
        "Second",
        16,
        True,
        (SplitterOutput(key="A"),),
    )
    fill(signed_in, topic, splitter2__name="Other", **{"splitter2__to1-kind": "isolated", "splitter2__to2-key": "B"})
    changed = newest_rig().splitter[1]
    assert (changed.key, changed.name) == (second.key, "Other")
    assert changed.outputs == (SplitterOutput(key="A", kind="isolated"), SplitterOutput(key="B"))
    assert fill(signed_in, topic, splitter2__remove="yes").status_code == 303
    assert newest_rig().splitter == a_rig().splitter


def test_a_splitter_in_use_stays(signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]) -> None:
    """A splitter that rows are wired to is not taken away, nor made too small; the rows are named."""
    topic = rows_of(club_rig)
    gone = fill(signed_in, topic, splitter1__remove="yes")
    assert gone.status_code == 422
    said = (
        "Rows 1, 2, 3, 4 are on a splitter way, and the rig has no splitter. Write the splitter down, or take the ways"
        " out."
    )
    assert summary(gone.text) == [("row1-way", said)]
    small = fill(signed_in, topic, splitter1__ways="3")
    assert [sentence[:20] for _, sentence in summary(small.text)] == ["Row 4 uses way 4 of "]
    nameless = fill(signed_in, topic, splitter2__ways="8", **{"splitter1__to2-lift": "yes"})
    assert [field for field, _ in summary(nameless.text)] == ["splitter1-to2-key", "splitter2-name"]
    assert newest_number() == 1


def test_looms_are_written_down(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """A loom keeps its key; a new one gets one; a length beyond the limit is refused with the limit."""
    topic = rows_of(club_rig)
    assert fill(signed_in, topic, loom1__length_m="12.5 m", loom2__name="Short", loom2__ways="8").status_code == 303
    first, second = newest_rig().loom
    assert first == replace(a_rig().loom[0], length_m=12.5)
    assert (second.name, second.ways, second.length_m) == ("Short", 8, None)
    assert second.key
    refused = fill(signed_in, topic, loom1__length_m="900")
    assert summary(refused.text) == [("loom1-length_m", "Loom 1, length in metres: enter metres from 0 to 300.")]


def test_small_things_are_counted(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """Counts and cables by length; none is zero, empty is unknown, and one length counted twice is one count."""
    topic = rows_of(club_rig)
    typed = {
        "di_active": "4",
        "di_passive": "0",
        "cable1__length": "5",
        "cable1__count": "10",
        "cable2__length": "5",
        "cable2__count": "2",
    }
    assert fill(signed_in, topic, **typed).status_code == 303
    assert dict(newest_rig().bits) == {"di_active": 4, "di_passive": 0, "xlr_5m": 12}
    refused = fill(signed_in, topic, cable2__count="3", pad_20_db="-1")
    assert [field for field, _ in summary(refused.text)] == ["pad_20_db", "cable2-length"]
    assert "<caption>Loose cables</caption>" in refused.text
    assert fill(signed_in, topic, di_active="", cable1__length="", cable1__count="").status_code == 303
    assert dict(newest_rig().bits) == {"di_passive": 0}


def test_the_mix_is_said(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """A ticked box is yes, and one that is not ticked is no."""
    assert fill(signed_in, rows_of(club_rig), own_pa="yes", engineer="band's engineer").status_code == 303
    assert newest_rig().mix == Mix(engineer="band's engineer", own_pa=True)


def test_a_configuration_leaves_rows_at_home(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """A configuration names the rows that stay at home; names are given once, and a key that is no row is left out."""
    topic = rows_of(club_rig)
    assert fill(signed_in, topic, config1__name="acoustic", config1__off=["bass", "keys", "nobody"]).status_code == 303
    assert dict(newest_rig().configurations) == {"acoustic": Configuration(("bass", "keys"))}
    twice = fill(signed_in, topic, config2__name="acoustic")
    assert [field for field, _ in summary(twice.text)] == ["config2-name"]
    assert fill(signed_in, topic, config2__off=["bass"]).status_code == 422
    assert fill(signed_in, topic, config1__name="quiet", config1__off=["bass"]).status_code == 303
    assert dict(newest_rig().configurations) == {"quiet": Configuration(("bass",))}
    assert fill(signed_in, topic, config1__remove="yes").status_code == 303
    assert dict(newest_rig().configurations) == {}


def test_contradictions_of_an_older_rig_are_told_when_it_is_opened(
    signed_in: Browser, store: Store, band: ABand
) -> None:
    """A rig that was stored with contradictions shows each at its cell at once, and is saved when they are mended."""
    broken = a_rig(ears=(), source=(replace(a_rig().source[0], mixer_input=99), *a_rig().source[1:]))
    with store.writing() as db:
        rig = a_stored_rig(db, band, broken)
    opened = signed_in.get(rows_of(rig))
    assert opened.status_code == 200
    assert [field for field, _ in summary(opened.text)] == ["row1-mixer_input", "outs"]
    assert fill(signed_in, rows_of(rig), row1__mixer_input="1").status_code == 303
    with store.reading() as db:
        assert faults(rigs.newest(db, rig.id).read()) == ()


def test_a_part_that_is_not_there(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """No part has a page of its own."""
    for part in ("mixer", "ears", "drumsticks"):
        assert signed_in.get(f"/rigs/{club_rig.id}/{part}").status_code == 404


def test_a_rig_says_who_hears_no_mix_and_which_splitter_is_empty() -> None:
    """A mix under a name that nobody plays under leaves the players without one; without any mix nothing is said."""
    rig = Rig(
        source=(Source(label="Sax", player="Mara"), Source(label="Horn", player="Piet"), Source(player="Bo")),
        ears=(Ears(player="Horns"), Ears(player="Bo")),
        splitter=(Splitter(key="s", name="Rack split", ways=16),),
    )
    assert tuple(left_open(rig)) == (
        "No in-ear mix: Mara and Piet. Horns has one, and no row names them.",
        'No row is on Rack split, which has 16 ways. Type a way, or choose "Number ways from here" beside a row.',
    )
    plugged = replace(rig, source=(replace(rig.source[0], splitter="s", way=1),), ears=())
    assert tuple(left_open(plugged)) == ()


def test_rows_beside_a_splitter_with_free_ways_are_named() -> None:
    """A splitter that is added after its rows leaves none of them unsaid: those that go to the house past free ways are
    named, many are counted; where the splitter is full, or nothing goes to the house, nothing is said.
    """
    rows = tuple(Source(key=f"r{number}", label=f"Row {number}", what="voice.vocals") for number in range(1, 8))
    rig = Rig(source=(replace(rows[0], splitter="s", way=1), *rows[1:3]), splitter=(Splitter(key="s", ways=4),))
    said = " splitter way, and the splitter still has free ways. Type a way where a row belongs there, or choose"
    said += ' "Number ways from here".'
    assert tuple(left_open(rig)) == (f"Row 2 and Row 3 are on no{said}",)
    assert tuple(left_open(replace(rig, source=(rig.source[0], *rows[1:])))) == (f"6 rows are on no{said}",)
    assert tuple(left_open(replace(rig, splitter=(Splitter(key="s", ways=1),)))) == ()
    kept = tuple(replace(one, goes="ears-only") for one in rig.source[1:])
    assert tuple(left_open(replace(rig, source=(rig.source[0], *kept)))) == ()
