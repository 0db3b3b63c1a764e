"""Microphone and DI of one instrument: which is first goes by the stage where only the order of words said it."""

from __future__ import annotations

import pytest

from portal.exchange.band_list.first_of_two import first_by_the_stage
from portal.exchange.band_list.pasted import read_text
from portal.exchange.band_list.proposing import propose
from portal.exchange.band_list.taking_over import sources_of
from portal.plan.input.rig import Source
from tests.exchange.own_lists import accepted

KIT = ("Kick", "Snare", "OH")
AMPLIFIER = ("Guitar",)
QUIET = ("Lead Vox", "Organ")
HORNS = ("Trumpet",)


def read(*labels: str) -> list[Source]:
    """The rows of a list as a band reads it, each pair of one sound tied."""
    keys = iter(map(str, range(100)))
    rows = accepted(propose(read_text("\n".join(labels)).rows))
    made = [source for _, source in sources_of(rows, lambda: next(keys))]
    return first_by_the_stage(made, {source.key for source in made})


def firsts(sources: list[Source]) -> dict[str, str]:
    """Label of each second -> that of its first."""
    by_key = {source.key: source.label for source in sources}
    return {source.label: by_key[source.second_of] for source in sources if source.second_of}


@pytest.mark.parametrize("others", [KIT, AMPLIFIER, QUIET, HORNS])
@pytest.mark.parametrize("pair", [("Acoustic DI", "Acoustic mic"), ("Acoustic mic", "Acoustic DI")])
def test_the_stage_says_which_is_first(others: tuple[str, ...], pair: tuple[str, ...]) -> None:
    """Beside a kit or an amplifier the DI, on a quiet stage the microphone, whichever stands first on the list."""
    first, second = ("Acoustic DI", "Acoustic mic") if others in (KIT, AMPLIFIER) else ("Acoustic mic", "Acoustic DI")
    assert firsts(read(*others, *pair)) == {second: first}


@pytest.mark.parametrize("others", [KIT, QUIET])
def test_an_upright_bass_comes_by_its_di_first(others: tuple[str, ...]) -> None:
    """Its microphone hears the room on any stage."""
    assert firsts(read(*others, "Upright bass mic", "Upright bass DI")) == {"Upright bass mic": "Upright bass DI"}


def test_an_electric_bass_brings_its_amplifier() -> None:
    """Its microphone stands before one."""
    assert firsts(read(*QUIET, "Bass mic", "Bass DI")) == {"Bass mic": "Bass DI"}


def test_an_amplifier_of_a_guitar_stays_as_written() -> None:
    """The cabinet is the sound there."""
    assert firsts(read(*KIT, "Electric guitar mic", "Electric guitar DI")) == {
        "Electric guitar DI": "Electric guitar mic"
    }


def test_what_the_rig_had_already_stays_as_the_band_has_it() -> None:
    """The band's own word is not turned by a list that is read later."""
    rows = read(*KIT, "Acoustic DI", "Acoustic mic")
    said = {"Acoustic mic": "Acoustic DI"}
    assert firsts(first_by_the_stage([one for one in rows if one.label.startswith("Acoustic")], set())) == said
