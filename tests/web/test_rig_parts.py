"""The parts of a rig besides its rows, each with a form of its own."""

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
    Splitter,
    SplitterOutput,
)
from portal.store import rigs
from portal.store.database.session import Store
from portal.web.rig.rig_fields import Reading
from portal.web.rig.rig_parts import _read_mixer
from tests.builders import ABand, a_rig, a_stored_rig
from tests.web.conftest import Browser
from tests.web.rig_forms import fill, form_of, rows_of, send, summary

Newest = Callable[[], Rig]


def page(club_rig: rigs.BandRig, topic: str) -> str:
    return f"/rigs/{club_rig.id}/{topic}"


def test_every_field_of_the_core_has_its_words() -> None:
    """Each key of the rig's records stands in a form under words of its own; keys that are random stay out of sight."""
    unseen = {Mixer: {"outs", "links"}, Splitter: {"key", "outputs"}, Loom: {"key"}}
    for table in (Mixer, Out, MixerLink, Splitter, SplitterOutput, Loom, Ears, Mix):
        assert set(LABELS[table]) == {field.name for field in fields(table)} - unseen.get(table, set()), table


def test_the_rig_is_renamed(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """A new name makes a new revision; an empty one is refused."""
    assert fill(signed_in, page(club_rig, "name"), name="").status_code == 422
    assert fill(signed_in, page(club_rig, "name"), name="Theatre rig").status_code == 303
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
    assert fill(signed_in, page(club_rig, "mixer"), **entries).status_code == 303
    mixer = newest_rig().mixer
    assert (mixer.inputs, mixer.channels, mixer.mono_busses, mixer.latency_ms) == (24, None, 3, 1.2)
    assert (mixer.ear_limiters, mixer.double_patch) == (False, None)
    assert mixer.outs == a_rig().mixer.outs


def test_outputs_are_added_and_tapped(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """Outputs are added by count; where each is tapped is one choice, and what the mute cuts is processed."""
    assert fill(signed_in, page(club_rig, "mixer"), more="3").status_code == 303
    assert [out.key for out in newest_rig().mixer.outs] == ["out 1", "out 2", "1", "2", "3"]
    changes: dict[str, str | list[str]] = {
        "out3-tap": "after-preamp",
        "out4-tap": "post-eq",
        "out5-remove": "yes",
    }
    assert fill(signed_in, page(club_rig, "mixer"), **changes).status_code == 303
    outs = newest_rig().mixer.outs
    assert [out.unprocessed for out in outs] == [False, False, True, False]
    assert outs[3].tap == "post-eq"
    assert fill(signed_in, page(club_rig, "mixer"), out3__mute_cuts="yes").status_code == 303
    assert not newest_rig().mixer.outs[2].unprocessed


def test_a_tap_that_a_file_states_more_exactly_stays_until_another_is_chosen() -> None:
    """The form shows it as the nearest choice; saving something else leaves it as it was."""
    before = Out("9", tap_before=tuple(sorted(UNTOUCHED_TAP)))
    kept = Reading({"out1-was": ("9",), "out1-key": ("9",), "out1-use": ("free",), "out1-tap": ("after-preamp",)})
    rig = Rig(mixer=Mixer(outs=(before,)))
    assert _read_mixer(kept, rig).mixer.outs == (before,)
    other = Reading({"out1-was": ("9",), "out1-key": ("9",), "out1-use": ("free",), "out1-tap": ("post-fader",)})
    assert _read_mixer(other, rig).mixer.outs == (Out("9", tap="post-fader"),)


def test_an_output_and_its_mix_follow_each_other(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest
) -> None:
    """An output given to an in-ear mix, renamed or freed on the mixer's page changes the mix, and the other way
    round.
    """
    fill(signed_in, page(club_rig, "mixer"), more="1")
    fill(signed_in, page(club_rig, "mixer"), out2__key="ears L", out3__use="ears:Ada")
    assert newest_rig().ears[0].outs == ("ears L", "1")
    fill(signed_in, page(club_rig, "mixer"), out2__use="free")
    assert newest_rig().ears[0].outs == ("1",)
    fill(signed_in, page(club_rig, "ears"), ears1__player="Ben", ears1__outs=["ears L"])
    rig = newest_rig()
    assert rig.ears[0].player == "Ben"
    assert [out.use for out in rig.mixer.outs] == ["main", "ears:Ben", "free"]
    fill(signed_in, page(club_rig, "ears"), ears1__remove="yes")
    assert newest_rig().ears == ()
    assert [out.use for out in newest_rig().mixer.outs] == ["main", "free", "free"]
    assert faults(newest_rig()) == ()


def test_a_mix_takes_two_outputs(signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]) -> None:
    """A third output for one mix is refused on both pages, and the main mix is not taken away."""
    fill(signed_in, page(club_rig, "mixer"), more="2")
    answer = fill(signed_in, page(club_rig, "mixer"), out3__use="ears:Ada", out4__use="ears:Ada")
    assert answer.status_code == 422
    assert "would have 3 outputs" in summary(answer.text)[0][1]
    assert fill(signed_in, page(club_rig, "ears"), ears1__outs=["out 2", "1", "2"]).status_code == 422
    taken = fill(signed_in, page(club_rig, "ears"), ears1__outs=["out 1"])
    assert taken.status_code == 422
    assert "which is entered as &#34;main&#34;" in summary(taken.text)[0][1]
    assert newest_number() == 2


def test_two_outputs_need_two_names(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """A contradiction leads to the top of the form, with every entry kept."""
    answer = fill(signed_in, page(club_rig, "mixer"), out1__key="out 2")
    assert answer.status_code == 422
    assert any(field == "top" and "are called &#34;out 2&#34;" in sentence for field, sentence in summary(answer.text))
    assert form_of(answer, page(club_rig, "mixer"))["out1-key"] == ["out 2"]
    nameless = fill(signed_in, page(club_rig, "mixer"), out1__key="", link1__channels="8")
    assert [field for field, _ in summary(nameless.text)] == ["out1-key", "link1-standard"]


def test_a_splitter_is_added_changed_and_removed(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest
) -> None:
    """A splitter keeps its random key through changes; a blank group is no splitter."""
    topic = page(club_rig, "splitters")
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
    topic = page(club_rig, "splitters")
    gone = fill(signed_in, topic, splitter1__remove="yes")
    assert gone.status_code == 422
    assert sum("which is not in the rig" in sentence for _, sentence in summary(gone.text)) == 4
    small = fill(signed_in, topic, splitter1__ways="3")
    assert [sentence[:20] for _, sentence in summary(small.text)] == ["Row 4 uses way 4 of "]
    nameless = fill(signed_in, topic, splitter2__ways="8", **{"splitter1__to2-lift": "yes"})
    assert [field for field, _ in summary(nameless.text)] == ["splitter1-to2-key", "splitter2-name"]
    assert newest_number() == 1


def test_looms_are_written_down(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """A loom keeps its key; a new one gets one; a length beyond the limit is refused with the limit."""
    topic = page(club_rig, "looms")
    assert fill(signed_in, topic, loom1__length_m="12.5 m", loom2__name="Short", loom2__ways="8").status_code == 303
    first, second = newest_rig().loom
    assert first == replace(a_rig().loom[0], length_m=12.5)
    assert (second.name, second.ways, second.length_m) == ("Short", 8, None)
    assert second.key
    refused = fill(signed_in, topic, loom1__length_m="900")
    assert summary(refused.text) == [("loom1-length_m", "Loom 1, length in metres: enter a number from 0 to 300.")]


def test_small_things_are_counted(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """Counts and cables by length; none is zero, empty is unknown, and one length counted twice is one count."""
    topic = page(club_rig, "bits")
    typed = {
        "di_active": "4",
        "di_passive": "0",
        "cable1__metres": "5",
        "cable1__count": "10",
        "cable2__metres": "5",
        "cable2__count": "2",
    }
    assert fill(signed_in, topic, **typed).status_code == 303
    assert dict(newest_rig().bits) == {"di_active": 4, "di_passive": 0, "xlr_5m": 12}
    refused = fill(signed_in, topic, cable2__count="3", pad_20_db="-1")
    assert [field for field, _ in summary(refused.text)] == ["pad_20_db", "cable2-metres"]
    assert fill(signed_in, topic, di_active="", cable1__metres="", cable1__count="").status_code == 303
    assert dict(newest_rig().bits) == {"di_passive": 0}


def test_the_mix_is_said(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """A ticked box is yes, and one that is not ticked is no."""
    assert fill(signed_in, page(club_rig, "mix"), own_pa="yes", engineer="band's engineer").status_code == 303
    assert newest_rig().mix == Mix(engineer="band's engineer", own_pa=True)


def test_a_configuration_leaves_rows_at_home(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Newest) -> None:
    """A configuration names the rows that stay at home; names are given once, and a key that is no row is left out."""
    topic = page(club_rig, "configurations")
    assert fill(signed_in, topic, config1__name="acoustic", config1__off=["bass", "keys", "nobody"]).status_code == 303
    assert dict(newest_rig().configurations) == {"acoustic": Configuration(("bass", "keys"))}
    twice = fill(signed_in, topic, config2__name="acoustic")
    assert [field for field, _ in summary(twice.text)] == ["config2-name"]
    assert fill(signed_in, topic, config2__off=["bass"]).status_code == 422
    assert fill(signed_in, topic, config1__name="quiet", config1__off=["bass"]).status_code == 303
    assert dict(newest_rig().configurations) == {"quiet": Configuration(("bass",))}
    assert fill(signed_in, topic, config1__remove="yes").status_code == 303
    assert dict(newest_rig().configurations) == {}


def test_old_contradictions_of_two_pages_are_mended_one_by_one(signed_in: Browser, store: Store, band: ABand) -> None:
    """What contradicts itself on another page is shown on the rig's page and does not keep this page from being
    saved.
    """
    broken = a_rig(ears=(), source=(replace(a_rig().source[0], mixer_input=99), *a_rig().source[1:]))
    with store.writing() as db:
        club_rig = a_stored_rig(db, band, broken)
    text = signed_in.get(f"/rigs/{club_rig.id}").text
    assert "Row 1 uses mixer input 99" in text
    assert "who has no in-ear mix" in text
    assert fill(signed_in, rows_of(club_rig), row1__mixer_input="1").status_code == 303
    assert (
        send(
            signed_in, page(club_rig, "mixer"), form_of(signed_in.get(page(club_rig, "mixer")), page(club_rig, "mixer"))
        ).status_code
        == 422
    )
    assert fill(signed_in, page(club_rig, "mixer"), out2__use="free").status_code == 303
    with store.reading() as db:
        assert faults(rigs.newest(db, club_rig.id).read()) == ()


def test_a_part_that_is_not_there(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """A name that no part has is a page that is not there."""
    assert signed_in.get(page(club_rig, "drumsticks")).status_code == 404
