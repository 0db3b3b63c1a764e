"""One row of a rig with all its fields."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from portal.exchange.keys import keys_of
from portal.exchange.rig_words import LABELS
from portal.plan.input.rig import Rig, Source
from portal.store import rigs
from portal.store.database.session import Store
from portal.web.rig.editing.new_rows import retaken
from portal.web.rig.editing.rig_row import NAMES
from tests.builders import ABand, a_rig, a_source, a_stored_rig
from tests.web.conftest import Browser
from tests.web.rig_forms import fill, form_of, rows_of, send, summary


def test_the_page_of_a_row_has_every_field() -> None:
    """Whatever a source can hold is on its page, its key excepted; each field has words of its own."""
    names = {name.partition(".")[0] for name in NAMES}
    assert names == set(keys_of(Source)) - {"key"}
    assert set(LABELS[Source]) == set(NAMES)
    assert len(set(LABELS[Source].values())) == len(NAMES)


FULL = {
    "label": "Fiddle",
    "strip": "Fid",
    "player": "Eve",
    "what": "strings.violin",
    "position": "left",
    "capture": "di-active",
    "level": "line",
    "family": "strings",
    "submix": "Eve's box",
    "phantom": "yes",
    "phantom_ma": "4,5",
    "harmed_by_phantom": "yes",
    "impedance_ohm": "600",
    "max_dbu": "-10",
    "priority": "high",
    "must": "no",
    "goes": "house-only",
    "loud_on_stage": "yes",
    "fail_over": "yes",
    "optional": "yes",
    "lead": "yes",
    "owner.mic": "house",
    "owner.stand": "house",
    "owner.cable": "house",
    "stand": "clip",
    "mixer_input": "9",
    "splitter": "s",
    "way": "7",
    "at_m.0": "-1.5",
    "at_m.1": "2",
    "note": "Bring spare strings",
    "never_with": ["kick", "bass"],
}


@pytest.mark.parametrize(
    ("was", "becomes", "chosen", "phantom"),
    [
        (("di", "no"), "di-active", None, "yes"),
        (("di", ""), "di-active", None, "yes"),
        (("di", ""), "di-active", "no", "no"),
        (("di-active", "yes"), "di-passive", None, "no"),
        (("di-active", "no"), "di-passive", None, "no"),
        (("di-active", "yes"), "di", None, ""),
        (("di", ""), "mic", None, "no"),
    ],
)
def test_48_v_follows_how_it_is_picked_up(was: tuple[str, str], becomes: str, chosen: str | None, phantom: str) -> None:
    """A bass whose DI becomes active needs 48 V, whatever stood there by itself; what is chosen in the same change
    stays.
    """
    before = a_source("bass", what="pluck.bass.electric", capture=was[0], phantom=was[1])
    after = retaken(replace(before, capture=becomes, phantom=was[1] if chosen is None else chosen), before)
    assert (after.capture, after.phantom) == (becomes, phantom)


def test_a_row_is_saved_with_all_its_fields(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]
) -> None:
    """Every entry reaches the rig as the value that it says, under the same key."""
    page = f"/rigs/{club_rig.id}/row?key=keys"
    fields = form_of(signed_in.get(page), page) | {
        name: value if isinstance(value, list) else [value] for name, value in FULL.items()
    }
    assert send(signed_in, page, fields).status_code == 303
    source = newest_rig().source[2]
    assert source.key == "keys"
    assert (source.phantom_ma, source.impedance_ohm, source.max_dbu, source.at_m) == (4.5, 600, -10.0, (-1.5, 2.0))
    assert (source.harmed_by_phantom, source.must, source.loud_on_stage, source.lead) == (True, False, True, True)
    assert (source.owner.mic, source.owner.stand, source.owner.cable) == ("house", "house", "house")
    assert source.never_with == ("kick", "bass")
    text = signed_in.get(page)
    assert {name: values for name, values in form_of(text, page).items() if name in FULL} == {
        name: value if isinstance(value, list) else [value.replace(",", ".")] for name, value in FULL.items()
    }


def test_a_pair_is_said_once(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]) -> None:
    """Choosing the other half makes both a pair of one kind; choosing another half frees the first."""
    fill(
        signed_in,
        rows_of(club_rig),
        row3__label="Keys left",
        row3__position="left",
        row5__what="Keyboard or synthesizer",
        row5__label="Keys right",
    )
    right = newest_rig().source[4].key
    page = f"/rigs/{club_rig.id}/row?key=keys"
    assert fill(signed_in, page, pair_with=right, pair_kind="left-right", inseparable="yes").status_code == 303
    one, other = newest_rig().source[2], newest_rig().source[4]
    assert (one.pair_with, other.pair_with) == (right, "keys")
    assert other.pair_kind == "left-right"
    assert other.inseparable
    fields = form_of(signed_in.get(page), page)
    del fields["inseparable"]
    assert send(signed_in, page, fields, pair_with="", pair_kind="").status_code == 303
    assert newest_rig().source[4].pair_with == ""
    assert not newest_rig().source[4].inseparable


def test_a_row_tells_its_faults(signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]) -> None:
    """Field faults and contradictions with other rows lead to the row's own fields, and nothing is saved."""
    page = f"/rigs/{club_rig.id}/row?key=lead"
    answer = fill(signed_in, page, **{"at_m.0": "3", "phantom_ma": "99", "mixer_input": "1", "pair_with": "kick"})
    assert answer.status_code == 422
    assert {field for field, _ in summary(answer.text)} == {"phantom_ma", "at_m.1", "mixer_input", "what"}
    for field, _ in summary(answer.text):
        assert f'id="{field}"' in answer.text
    assert newest_number() == 1


def test_two_singers_share_a_microphone_by_a_choice_in_the_row(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig], newest_number: Callable[[], int]
) -> None:
    """A singer of the same part is chosen and said beside the row; a row that is no singer is refused at the field."""
    fill(signed_in, rows_of(club_rig), row4__lead="", row5__what="Vocal", row5__label="Alto")
    alto = newest_rig().source[4].key
    page = f"/rigs/{club_rig.id}/row?key={alto}"
    refused = fill(signed_in, page, one_microphone_with="kick")
    assert refused.status_code == 422
    assert summary(refused.text) == [
        (
            "one_microphone_with",
            "Row 1 is kick drum, not a vocal: only two singers share a microphone. Choose another singer, or none.",
        )
    ]
    assert fill(signed_in, page, lead="yes", one_microphone_with="lead").status_code == 303
    assert newest_rig().source[4].one_microphone_with == "lead"
    told = f"may share a microphone with {newest_rig().source[3].label}"
    assert told in signed_in.get(f"/rigs/{club_rig.id}/revisions/{newest_number()}").text


def test_a_row_leads_to_the_next(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """A save may lead straight to the next row."""
    answer = fill(signed_in, f"/rigs/{club_rig.id}/row?key=kick", do="next")
    assert answer.headers["location"] == f"/rigs/{club_rig.id}/row?key=bass"
    opened = fill(signed_in, rows_of(club_rig), do="all", at="2", row1__note="kept")
    assert opened.headers["location"] == f"/rigs/{club_rig.id}/row?key=bass"


def test_a_row_that_somebody_removed_is_not_lost(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]
) -> None:
    """A row that was taken away meanwhile is told of; saving once more brings it back under its key."""
    page = f"/rigs/{club_rig.id}/row?key=keys"
    mine = form_of(signed_in.get(page), page) | {"note": ["mine"]}
    fields = form_of(fill(signed_in, rows_of(club_rig), do="remove", at="3"), rows_of(club_rig))
    send(signed_in, rows_of(club_rig), fields)
    assert signed_in.get(page).status_code == 404
    answer = send(signed_in, page, mine)
    assert answer.status_code == 409
    assert send(signed_in, page, form_of(answer, page)).status_code == 303
    assert (newest_rig().source[3].key, newest_rig().source[3].note) == ("keys", "mine")


def test_a_key_with_signs_has_its_page(signed_in: Browser, store: Store, band: ABand) -> None:
    """Keys from a file may hold any sign; their rows open and are saved all the same."""
    odd = 'a/b?c=d&e#f "g" +'
    with store.writing() as db:
        rig = a_stored_rig(db, band, a_rig(source=(a_source(odd, label="Odd"),)))
    opened = fill(signed_in, rows_of(rig), do="all", at="1", row1__note="x")
    page = opened.headers["location"]
    answer = signed_in.get(page)
    assert answer.status_code == 200
    assert send(signed_in, page, form_of(answer, page), note="kept").status_code == 303
    with store.reading() as db:
        assert rigs.newest(db, rig.id).read().source[0].note == "kept"
