"""What differs between two states of a rig is said, all of it and nothing else."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from portal.exchange.example import example_rig
from portal.exchange.keys import Key, keys_of
from portal.exchange.rig_changes import rig_changes
from portal.plan.input.rig import Configuration, MixerLink, Out, Owner, Rig
from tests.builders import a_rig, a_source


def other_value(key: Key, value: object) -> object:
    """A value of a key that is not the one it has."""
    if key.is_pair:
        return (1.5, 2.5)
    if key.is_list:
        return ("kick",) if not key.each else key.each[:1]
    if key.one_of:
        return next(one for one in key.one_of if one != value)
    if key.base is bool:
        return not value
    return "other" if key.base is str else (value or 0) + 3


def one_key_changed() -> Iterator[tuple[str, Rig, Rig]]:
    """Every key of every record of a rig, changed alone; ``key`` is what a thing is known by, and the format is not the
    rig's.
    """
    rig = replace(a_rig(), mixer=replace(a_rig().mixer, links=(MixerLink("AES50", 16),)), bits={"di_passive": 1})
    lists = {"source": rig.source, "splitter": rig.splitter, "loom": rig.loom, "ears": rig.ears}
    for name, records in lists.items():
        for field, key in keys_of(type(records[0])).items():
            if (field in ("key", "player") and name != "source") or field in ("key", "owner", "outputs"):
                continue
            changed = replace(records[0], **{field: other_value(key, getattr(records[0], field))})
            yield f"{name}.{field}", rig, replace(rig, **{name: (changed, *records[1:])})
    for field in ("mic", "stand", "cable"):
        yield (
            f"source.owner.{field}",
            rig,
            replace(rig, source=(replace(rig.source[0], owner=Owner(**{field: "house"})), *rig.source[1:])),
        )
    yield "bits", rig, replace(rig, bits={"di_passive": 2})
    yield "configurations", rig, replace(rig, configurations={"acoustic": Configuration(("kick",))})
    yield "name", rig, replace(rig, name="Other")
    yield from one_key_of_the_mixer(rig)


def one_key_of_the_mixer(rig: Rig) -> Iterator[tuple[str, Rig, Rig]]:
    for field, key in keys_of(type(rig.mixer)).items():
        if field not in ("outs", "links"):
            yield (
                f"mixer.{field}",
                rig,
                replace(rig, mixer=replace(rig.mixer, **{field: other_value(key, getattr(rig.mixer, field))})),
            )
    for field, key in keys_of(Out).items():
        if field != "key":
            out = replace(rig.mixer.outs[0], **{field: other_value(key, getattr(rig.mixer.outs[0], field))})
            yield f"out.{field}", rig, replace(rig, mixer=replace(rig.mixer, outs=(out, *rig.mixer.outs[1:])))
    yield "link.channels", rig, replace(rig, mixer=replace(rig.mixer, links=(MixerLink("AES50", 48),)))
    splitter = rig.splitter[0]
    for field in ("kind", "lift"):
        value = "direct" if field == "kind" else True
        yield (
            f"output.{field}",
            rig,
            replace(rig, splitter=(replace(splitter, outputs=(replace(splitter.outputs[0], **{field: value}),)),)),
        )
    for field, key in keys_of(type(rig.mix)).items():
        yield (
            f"mix.{field}",
            rig,
            replace(rig, mix=replace(rig.mix, **{field: other_value(key, getattr(rig.mix, field))})),
        )


CHANGES = list(one_key_changed())


@pytest.mark.parametrize(
    ("before", "after"), [(before, after) for _, before, after in CHANGES], ids=[name for name, _, _ in CHANGES]
)
def test_each_key_is_told_once(before: Rig, after: Rig) -> None:
    """A change of one key makes one sentence, in both directions, and the two say the opposite; a place on stage is two
    numbers.
    """
    told, back = rig_changes(before, after), rig_changes(after, before)
    assert len(told) == len(back) == (2 if before.source[0].at_m != after.source[0].at_m else 1)
    assert told != back


def test_every_key_of_a_rig_is_tried() -> None:
    """The list above leaves out no key of the whole format but those that name a thing, hold other things, or have one
    value only.
    """
    tried = {name for name, _, _ in CHANGES}
    for field in keys_of(type(a_rig().source[0])):
        assert field in ("key", "owner") or f"source.{field}" in tried
    assert len(tried) > 60


def test_the_same_is_not_told() -> None:
    """A rig does not differ from itself."""
    assert rig_changes(example_rig(), example_rig()) == ()


def test_rows_come_go_and_move() -> None:
    """Rows are followed by their keys: a new one, one that is gone, one that moved, one that is called otherwise."""
    before = replace(
        a_rig(), source=tuple(a_source(key, label=key.title()) for key in ("kick", "snare", "hat", "bass"))
    )
    kick, snare, hat, bass = before.source
    after = replace(
        before, source=(bass, replace(kick, label="Kick In"), replace(snare, splitter="s", way=3), a_source("cowbell"))
    )
    assert rig_changes(before, after) == (
        "Cowbell is new: row 4",
        "Hat is no longer there",
        "Bass: was row 4, now row 1",
        "Kick In: label was Kick, now Kick In",
        "Snare: splitter was not said, now Splitter",
        "Snare: splitter way was not said, now 3",
    )
    assert hat not in after.source


def test_the_fewest_rows_are_said_to_have_moved() -> None:
    """Taking one row to the end is one move, not a move of all that follow."""
    before = replace(a_rig(), source=tuple(a_source(key) for key in "abcdefgh"))
    after = replace(before, source=(*before.source[1:], before.source[0]))
    assert rig_changes(before, after) == ("A: was row 1, now row 8",)


def test_values_are_said_in_words() -> None:
    """Keys of rows and splitters are said by name, choices by their words, what was not said as such."""
    before = a_rig()
    kick, bass, *others = before.source
    after = replace(
        before,
        source=(
            replace(kick, way=3, phantom="yes", harmed_by_phantom=True),
            replace(bass, what="drum.snare-drum", goes="ears-only", one_microphone_with="kick", never_with=("kick",)),
            *others,
        ),
        bits={"xlr_10m": 4},
        configurations={"acoustic": Configuration(("kick",))},
    )
    assert rig_changes(before, after) == (
        "Kick: phantom, 48 V was by its kind, now yes",
        'Kick: "48 V can damage it" was no, now yes',
        "Kick: splitter way was 1, now 3",
        "Bass: what it is was Bass guitar, now Snare drum",
        "Bass: goes to was by its kind, now in-ears only",
        "Bass: never played at the same time as was none, now Kick",
        "Bass: may share a microphone with was not said, now Kick",
        "Cables, 10 m: was not said, now 4",
        "Configuration acoustic is new; at home stays: Kick",
    )
