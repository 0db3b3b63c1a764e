"""What differs between two states of a rig, in words: rows and things by their keys, so that a new name or another
order is said as such.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from portal.exchange.rig_words import (
    LABELS,
    NO_WORDS,
    OTHER_ROWS,
    UNSET,
    UNSET_YES_NO,
    WORDS,
    bit_words,
    is_length,
    use_words,
    value_at,
)
from portal.plan.input.kinds import KINDS
from portal.plan.input.rig import Configuration, Rig, Splitter
from portal.wording.catalogue import Words, gettext, mark
from portal.wording.formats import inside, say_metres

T = TypeVar("T")


@dataclass(frozen=True)
class _Names:
    """What the keys of one rig stand for."""

    words: Mapping[str, Mapping[str, str]]

    @classmethod
    def of(cls, rig: Rig) -> _Names:
        sources = {one.key: one.label for one in rig.source}
        splitters = {one.key: one.name or one.key for one in rig.splitter}
        kinds = {kind.what: kind.words for kind in KINDS.values()}
        return cls(
            {
                **WORDS,
                "what": kinds,
                "splitter": splitters,
                **dict.fromkeys(OTHER_ROWS, sources),
            }
        )

    def say(self, name: str, value: object) -> str:
        """A value of the key ``name`` in words."""
        if isinstance(value, bool):
            return gettext("yes") if value else gettext("no")
        if value is None or value == "":
            return WORDS.get(name, NO_WORDS).get("") or UNSET.get(name) or UNSET_YES_NO.get(name) or gettext("not said")
        if isinstance(value, tuple):
            return ", ".join(self.say(name, one) for one in value) or gettext("none")
        if is_length(name) and isinstance(value, float | int):
            return say_metres(value)
        text = f"{value:g}" if isinstance(value, float) else str(value)
        return use_words(text) if name == "use" else self.words.get(name, NO_WORDS).get(text, text)


NEW = Words(
    {
        "row": mark("%(thing)s is new: row %(place)s"),
        "splitter": mark("%(thing)s is new: splitter %(place)s"),
        "output": mark("%(thing)s is new: output %(place)s"),
        "digital link": mark("%(thing)s is new: digital link %(place)s"),
        "in-ear mix": mark("%(thing)s is new: in-ear mix %(place)s"),
        "loom": mark("%(thing)s is new: loom %(place)s"),
    }
)
MOVED = Words(
    {
        "row": mark("%(thing)s: was row %(before)s, now row %(after)s"),
        "splitter": mark("%(thing)s: was splitter %(before)s, now splitter %(after)s"),
        "output": mark("%(thing)s: was output %(before)s, now output %(after)s"),
        "digital link": mark("%(thing)s: was digital link %(before)s, now digital link %(after)s"),
        "in-ear mix": mark("%(thing)s: was in-ear mix %(before)s, now in-ear mix %(after)s"),
        "loom": mark("%(thing)s: was loom %(before)s, now loom %(after)s"),
    }
)
"""What came and what moved in a list, by what its things are."""


def rig_changes(before: Rig, after: Rig) -> tuple[str, ...]:
    """One sentence for each thing that was added, taken away, moved or changed; none where both are the same."""
    was, now = _Names.of(before), _Names.of(after)

    def fields(head: str) -> Callable[[object, object], Iterator[str]]:
        return lambda old, new: _fields(head, old, new, was, now)

    def splitter(old: Splitter, new: Splitter) -> Iterator[str]:
        name = new.name or new.key
        yield from _fields(name, old, new, was, now)
        yield from _listed(
            old.outputs,
            new.outputs,
            "output",
            lambda one: one.key,
            lambda one: gettext("%(splitter)s, output %(output)s", splitter=name, output=one.key),
            fields,
        )

    def sentences() -> Iterator[str]:
        if before.name != after.name:
            yield gettext(
                "The name on documents was %(before)s, now %(after)s",
                before=was.say("", before.name),
                after=now.say("", after.name),
            )
        yield from _listed(
            before.source, after.source, "row", lambda one: one.key, lambda one: one.label or one.key, fields
        )
        yield from _listed(
            before.splitter,
            after.splitter,
            "splitter",
            lambda one: one.key,
            lambda one: one.name or one.key,
            lambda _head: splitter,
        )
        yield from _fields(gettext("In-ear mixer"), before.mixer, after.mixer, was, now)
        yield from _listed(
            before.mixer.outs,
            after.mixer.outs,
            "output",
            lambda one: one.key,
            lambda one: gettext("Output %(output)s", output=one.key),
            fields,
        )
        yield from _listed(
            before.mixer.links,
            after.mixer.links,
            "digital link",
            lambda one: one.standard,
            lambda one: gettext("Digital link %(standard)s", standard=one.standard),
            fields,
        )
        yield from _listed(
            before.ears,
            after.ears,
            "in-ear mix",
            lambda one: one.player,
            lambda one: gettext("In-ear mix of %(player)s", player=one.player),
            fields,
        )
        yield from _listed(
            before.loom, after.loom, "loom", lambda one: one.key, lambda one: one.name or one.key, fields
        )
        yield from _counts(before.bits, after.bits)
        yield from _fields(gettext("Mix"), before.mix, after.mix, was, now)
        yield from _configurations(before.configurations, after.configurations, was, now)

    return tuple(sentences())


def _fields(head: str, old: object, new: object, was: _Names, now: _Names) -> Iterator[str]:
    for name, label in LABELS[type(new)].items():
        before, after = value_at(old, name), value_at(new, name)
        if before == after:
            continue
        if isinstance(before, bool) or isinstance(after, bool):
            yield gettext(
                '%(thing)s: "%(label)s" was %(before)s, now %(after)s',
                thing=head,
                label=label,
                before=was.say(name, before),
                after=now.say(name, after),
            )
        else:
            yield gettext(
                "%(thing)s: %(label)s was %(before)s, now %(after)s",
                thing=head,
                label=label if label[1:2].isupper() else inside(label),
                before=was.say(name, before),
                after=now.say(name, after),
            )


def _listed(
    before: Sequence[T],
    after: Sequence[T],
    noun: str,
    key: Callable[[T], str],
    name: Callable[[T], str],
    compare: Callable[[str], Callable[[T, T], Iterator[str]]],
) -> Iterator[str]:
    """What came, went, moved and changed in a list. ``noun`` is what its things are, a key of ``NEW``, ``compare``
    gets the thing's name.
    """
    old, new = _by_key(before, key), _by_key(after, key)
    for place, (which, one) in enumerate(new.items(), start=1):
        if which not in old:
            yield NEW[noun] % {"thing": name(one), "place": place}
    for which, one in old.items():
        if which not in new:
            yield gettext("%(thing)s is no longer there", thing=name(one))
    stayed = [which for which in new if which in old]
    from_place = {which: place for place, which in enumerate(old, start=1)}
    to_place = {which: place for place, which in enumerate(new, start=1)}
    in_order = _longest_rising([from_place[which] for which in stayed])
    for which in stayed:
        if from_place[which] not in in_order:
            yield MOVED[noun] % {"thing": name(new[which]), "before": from_place[which], "after": to_place[which]}
        yield from compare(name(new[which]))(old[which], new[which])


def _by_key(things: Sequence[T], key: Callable[[T], str]) -> dict[tuple[str, int], T]:
    """The things by key; one that bears the key of an earlier one counts as that key's second."""
    found: dict[tuple[str, int], T] = {}
    for one in things:
        turn = sum(1 for bears, _ in found if bears == key(one))
        found[key(one), turn] = one
    return found


def _longest_rising(numbers: Sequence[int]) -> frozenset[int]:
    """The most numbers that stand in rising order: what is not among them was moved."""
    best: list[list[int]] = [[]]
    for number in numbers:
        lower = [run for run in best if not run or run[-1] < number]
        best.append([*max(lower, key=len), number])
    longest = max(best, key=len)
    return frozenset(longest)


def _counts(before: Mapping[str, int], after: Mapping[str, int]) -> Iterator[str]:
    for key in dict.fromkeys((*before, *after)):
        if before.get(key) != after.get(key):
            was, now = (gettext("not said") if count is None else count for count in (before.get(key), after.get(key)))
            yield gettext("%(thing)s: was %(before)s, now %(after)s", thing=bit_words(key), before=was, after=now)


def _configurations(
    before: Mapping[str, Configuration], after: Mapping[str, Configuration], was: _Names, now: _Names
) -> Iterator[str]:
    for name, one in after.items():
        if name not in before:
            yield gettext(
                "Configuration %(name)s is new; at home stays: %(rows)s",
                name=name,
                rows=now.say("never_with", one.off),
            )
        elif before[name] != one:
            yield gettext(
                "Configuration %(name)s: at home stayed %(before)s, now %(after)s",
                name=name,
                before=was.say("never_with", before[name].off),
                after=now.say("never_with", one.off),
            )
    for name in before:
        if name not in after:
            yield gettext("Configuration %(name)s is no longer there", name=name)
