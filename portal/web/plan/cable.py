"""The lines of a plan as cables: one row each from its source on the left to the desk on the right, with its stops in
the order in which the signal meets them, and what is given up at its place.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from portal.documents.house_48v import feed_behind, off_at_the_house
from portal.plan.input.answer_kinds import write_numbers
from portal.plan.model import MIXER_OUTPUTS, PA, EarInput, Line, NotSent, Output, Plan
from portal.plan.packing.item_names import lengths_of
from portal.plan.result.spelling import WHERE, desk_switch
from portal.web.plan.said_once import common_to, shared_words, told
from portal.wording.catalogue import Words, gettext, look_up, mark, ngettext
from portal.wording.formats import headed, join_clauses
from portal.wording.plan.saying import say

CARRIED = Words({"house-split": mark("the house's splitter"), "digital-link": mark("digital link")})
"""What else than a splitter of the band a line passes through, by the kind of its path."""

MOST_JOINED = 6
"""So many sources of one sum are drawn as rows that join; more would hide the sum, and are only counted."""

MOST_OF_INPUTS = 6
"""So many letters of input numbers find room beside the line."""

FED = {"band": "band", "splitter": "band", "house": "house", "unknown": "unknown"}
"""Which side feeds 48 V, by what a plan says of an input or a line; nobody where it is not here."""

ENDS = Words(
    {
        "second-microphone": mark("first microphone stays"),
        "small-room-overheads": mark("the room hears it"),
        "small-room-rack-toms": mark("the room hears it"),
        "small-room-floor-tom": mark("the room hears it"),
        "small-room-cabinets": mark("the room hears it"),
        "percussion-one": mark("other microphone stays"),
        "overheads-to-one": mark("other overhead stays"),
        "stereo-to-mono": mark("other leg goes alone"),
        "keyboards-to-mono": mark("other leg goes alone"),
        "playback-to-mono": mark("other leg goes alone"),
    }
)
"""Why a source ends at the splitter, in four words at most, by the step of the ladder."""


@dataclass(frozen=True)
class CableRow:
    """One row. ``kind``: line, joins (its signal ends in the sum of a row below) or cut (not sent). Empty stops are
    passed by.
    ``pair``: first, second (joins the row above), apart or empty. ``phantom``: who feeds 48 V, or unknown;
    ``fed``: at so many inputs. ``broken``: through the band's mixer. ``dive``: its input, where the line is left.
    """

    kind: str
    label: str
    href: str
    anchor: str = ""
    player: str = ""
    capture: str = ""
    pair: str = ""
    partner: str = ""
    phantom: str = ""
    fed: int = 1
    way: str = ""
    dive: str = ""
    out: str = ""
    broken: bool = False
    pad: int = 0
    carried: str = ""
    house_split: bool = False
    loom_way: str = ""
    box: str = ""
    channel: str = ""
    strip: str = ""
    notes: tuple[str, ...] = ()
    talk: str = ""

    @property
    def said(self) -> str:
        """The row in words, for whoever does not see the line."""
        return join_clauses(part for part in (self.player, self.capture, *_stops(self), *self.notes) if part)


@dataclass(frozen=True)
class CableGroup:
    """Rows over one loom, one after the other; ``head`` names it once, with its length and where it goes."""

    head: str
    rows: tuple[CableRow, ...]


@dataclass(frozen=True)
class Cables:
    """All rows by what carries them, and what every row shares; ``mixer`` is the end of every branch down, ``outputs``
    what leaves the band's mixer where it makes the audience's mix.
    """

    groups: tuple[CableGroup, ...]
    shared: str
    mixer: str
    end: str
    outputs: tuple[Output, ...] = ()

    @property
    def shapes(self) -> Mapping[str, bool]:
        """Which shapes are drawn, for the legend."""
        rows = [row for group in self.groups for row in group.rows]
        return {
            "way": any(row.way for row in rows),
            "house": any(row.house_split for row in rows),
            "out": any(row.out for row in rows),
            "loom": any(row.loom_way for row in rows),
            "box": any(row.box for row in rows),
            "channel": any(row.channel for row in rows),
            "flag": any(row.phantom for row in rows),
            "pad": any(row.pad for row in rows),
            "broken": any(row.broken for row in rows),
        }


@dataclass(frozen=True)
class Places:
    """Where a row leads: a line's page by its number, a source's by its key, and what was said about some sources."""

    line: Callable[[int], str]
    source: Callable[[str], str]
    talk: Callable[[Iterable[str]], str]


def cables(plan: Plan, places: Places) -> Cables:
    """The plan's lines and what it gives up, each at its place."""
    lines = sorted(plan.lines, key=lambda one: one.line)
    if not lines:
        return _to_the_mixer(plan, places)
    common = common_to(lines)
    same_input = all(one.way is not None and one.way == one.mixer_input for one in plan.ear_inputs)
    reader = _Reader(plan, places, common, same_input)
    groups: list[CableGroup] = []
    for line in lines:
        head, rows = reader.head(line), tuple(reader.rows(line))
        if groups and groups[-1].head == head:
            groups[-1] = replace(groups[-1], rows=groups[-1].rows + rows)
        else:
            groups.append(CableGroup(head, (*(() if groups else reader.cuts_first()), *rows)))
    mixer = gettext("The band's mixer: %(count)s inputs", count=len(plan.ear_inputs)) if plan.ear_inputs else ""
    return Cables(
        tuple(groups),
        shared_words(lines, common),
        gettext("%(mixer)s, n from way n", mixer=mixer) if mixer and same_input else mixer,
        end="PA" if all(line.box == PA for line in lines) else gettext("Desk channel"),
        outputs=_outputs(plan),
    )


def _to_the_mixer(plan: Plan, places: Places) -> Cables:
    """Where nothing goes to a house desk, every cable ends at the band's mixer; what most are is said once."""
    counted = Counter(say(one.cable) for one in plan.ear_inputs)
    usual, count = counted.most_common(1)[0] if counted else ("", 0)
    usual = usual if 2 * count > len(plan.ear_inputs) else ""
    rows = tuple(
        CableRow(
            "line",
            one.label,
            places.source(one.source),
            player=one.player,
            capture=say(one.mic_or_di),
            phantom=FED.get(one.phantom, ""),
            way=_number(one.way),
            pad=one.pad_db,
            carried="" if say(one.cable) == usual else say(one.cable),
            channel=_number(one.mixer_input),
            notes=tuple(
                part for part in (gettext("keep 48 V off") if one.phantom == "never" else "", one.note) if part
            ),
            talk=places.talk([one.source]),
        )
        for one in plan.ear_inputs
    )
    groups = (CableGroup(gettext("From the stage to the band's mixer"), rows),) if rows else ()
    every = gettext("Every source") if count == len(plan.ear_inputs) else gettext("Unless a row says otherwise")
    return Cables(groups, f"{headed(every, usual)}." if usual else "", "", gettext("Mixer input"), _outputs(plan))


def only(every: Cables, href: str) -> Cables:
    """The rows that lead to one page, and nothing of the others."""
    groups = (
        replace(group, rows=tuple(row for row in group.rows if row.href == href and row.kind != "cut"))
        for group in every.groups
    )
    return Cables(tuple(group for group in groups if group.rows), every.shared, "", every.end)


class _Reader:
    def __init__(self, plan: Plan, places: Places, common: dict[str, str], same_input: bool) -> None:  # noqa: FBT001
        self.plan, self.places, self.common, self.same_input = plan, places, common, same_input
        self.heard = {one.source: one for one in plan.ear_inputs}
        self.labels = {one.line: one.label for one in plan.lines}
        self.lengths = {name: say(length) for name, length in lengths_of(plan.bring).items()}
        self.boxes = {one.box for one in plan.lines}
        self.above = _places_of_cuts(plan)
        self.drawn: set[str] = set()

    def head(self, line: Line) -> str:
        where = (
            gettext("the PA")
            if line.box == PA
            else gettext("box %(box)s", box=line.box)
            if line.box
            else gettext("the stage box")
        )
        if line.loom is None:
            if line.path.kind == "digital-link":
                return gettext("Digital link to the desk")
            if line.path.kind == "house-split":
                return gettext("The house's own cables to %(where)s", where=where)
            return gettext("Own cables to %(where)s", where=where)
        length = self.lengths.get(line.loom.name, "")
        return ", ".join(part for part in (line.loom.name, length, gettext("to %(where)s", where=where)) if part)

    def rows(self, line: Line) -> Iterator[CableRow]:
        joined = line.sources[:-1] if self._joins(line) else ()
        for source in joined:
            heard = self.heard[source]
            yield self._row(
                "joins",
                heard,
                href=self.places.line(line.line),
                notes=(gettext("joins %(label)s", label=line.label),),
            )
            yield from self.cuts_below(source)
        yield self._line(line)
        for source in line.sources if not joined else line.sources[-1:]:
            yield from self.cuts_below(source)

    def cuts_first(self) -> tuple[CableRow, ...]:
        return tuple(self.cuts_below(""))

    def cuts_below(self, source: str) -> Iterator[CableRow]:
        # Two lines of one mix have the same sources; what ends stands below the first.
        for one in self.above.pop(source, ()):
            heard = self.heard.get(one.source)
            where = look_up(WHERE.get(one.where, one.where))
            notes = (where if one.where == "not-plugged" else ENDS.get(one.step) or where,)
            talk = self.places.talk([one.source])
            if heard is None:
                yield CableRow("cut", one.label, self.places.source(one.source), notes=notes, talk=talk)
            else:
                yield self._row("cut", heard, href=self.places.source(one.source), notes=notes, talk=talk)

    def _row(self, kind: str, heard: EarInput, **more: object) -> CableRow:
        self.drawn.add(heard.source)
        way = _number(heard.way)
        row = CableRow(
            kind,
            heard.label,
            "",
            player=heard.player,
            capture=say(heard.mic_or_di),
            phantom=FED.get(heard.phantom, ""),
            way=way,
            dive="" if way or heard.mixer_input is None else gettext("in %(number)s", number=heard.mixer_input),
        )
        return replace(row, **more)  # type: ignore[arg-type]

    def _joins(self, line: Line) -> bool:
        return (
            line.path.kind == "group"
            and line.stereo_partner is None
            and 1 < len(line.sources) <= MOST_JOINED
            and all(source in self.heard for source in line.sources)
        )

    def _line(self, line: Line) -> CableRow:
        through = line.path.kind in MIXER_OUTPUTS
        last = self.heard.get(line.sources[-1]) if self._joins(line) else None
        way = _number(line.path.way) or (_number(last.way) if last else "")
        into = [self.heard[source] for source in line.sources if source in self.heard and source not in self.drawn]
        self.drawn.update(line.sources)
        # Where the mixer's patch is on the page each input there says its own 48 V.
        phantom, fed = ("", 1) if through and self.plan.outputs else _fed_on(line, into)
        captures = {say(one.mic_or_di) for one in into} if through else {say(line.mic_or_di)}
        return CableRow(
            "line",
            last.label if last else line.label,
            self.places.line(line.line),
            anchor=f"line-{line.line}",
            player=say(line.player),
            capture=captures.pop() if len(captures) == 1 else "",
            pair={None: "", 1: "first", -1: "second"}.get(
                None if line.stereo_partner is None else line.stereo_partner - line.line, "apart"
            ),
            partner=self.labels.get(line.stereo_partner or 0, ""),
            phantom=phantom,
            fed=fed,
            way=way,
            dive=_dive(line, way, [last] if last else [self.heard[one] for one in line.sources if one in self.heard]),
            out=output_words(line.path.output) if through else "",
            broken=through,
            pad=line.pad_db,
            carried=CARRIED.get(line.path.kind, ""),
            house_split=line.path.kind == "house-split",
            loom_way=str(line.loom.way) if line.loom else "",
            box="" if line.box_socket is None or line.box == PA else line.socket,
            channel=line.socket[:1].upper() if line.box == PA else str(line.desk_channel),
            strip=line.strip,
            notes=tuple(self._notes(line, summed=last is not None)),
            talk=self.places.talk(line.sources),
        )

    def _notes(self, line: Line, *, summed: bool) -> Iterator[str]:
        if summed:
            yield line.label
        for name, words in told(line).items():
            if words and self.common.get(name) != words:
                yield words
        if line.polarity not in ("normal", ""):
            yield gettext("polarity flip")
        if not self.same_input and line.path.way is not None and line.mixer_input not in (None, line.path.way):
            yield gettext("mixer input %(mixer_input)s", mixer_input=line.mixer_input)
        if feed := feed_behind(line, self.plan):
            yield join_clauses((feed, off_at_the_house(line)))
        elif desk_switch(line) == "never":
            yield gettext("keep 48 V off")
        if line.note:
            yield say(line.note)


def _fed_on(line: Line, into: list[EarInput]) -> tuple[str, int]:
    """Who feeds 48 V to what a row stands for, and at how many inputs; ``into``: those of the band's mixer that no
    other row stands for.
    """
    fed = sum(FED.get(one.phantom) == "band" for one in into)
    there = {FED.get(one.phantom) for one in into} if line.path.kind in MIXER_OUTPUTS else {FED.get(line.phantom)}
    return next((side for side in ("band", "house", "unknown") if side in there), ""), max(fed, 1)


def _dive(line: Line, way: str, heard: list[EarInput]) -> str:
    """Where a signal leaves its line for the mixer: the inputs of the sources that have no row of their own, or how
    many there are where their numbers find no room.
    """
    if line.path.kind not in MIXER_OUTPUTS or way:
        return ""
    numbers = tuple(sorted({one.mixer_input for one in heard if one.mixer_input}))
    written = write_numbers(numbers or ((line.mixer_input,) if line.mixer_input else ()))
    if not written or len(written) > MOST_OF_INPUTS:
        return gettext("%(inputs)s in", inputs=len(line.sources))
    return gettext("in %(number)s", number=written)


def _places_of_cuts(plan: Plan) -> dict[str, list[NotSent]]:
    """What is not sent, by the source below whose row it stands: the nearest before it in the mixer's order that has
    a line. ``""`` stands for the top.
    """
    sent = {source for line in plan.lines for source in line.sources}
    not_sent = {one.source: one for one in plan.not_sent}
    found: dict[str, list[NotSent]] = {}
    above = ""
    for source in (one.source for one in plan.ear_inputs):
        if source in sent:
            above = source
        elif source in not_sent:
            found.setdefault(above, []).append(not_sent.pop(source))
    if not_sent:
        found.setdefault(above, []).extend(not_sent.values())
    return found


def output_words(key: str) -> str:
    """An output of the band's mixer as the papers have it: "9", "main-l"."""
    return key.removeprefix("out-")


def _outputs(plan: Plan) -> tuple[Output, ...]:
    return tuple(replace(one, out=output_words(one.out)) for one in plan.outputs)


def _number(number: int | None) -> str:
    return "" if number is None else str(number)


def _stops(row: CableRow) -> Iterator[str]:
    if row.phantom == "band":
        yield ngettext("48 V from the band", "48 V from the band at %(num)s inputs", row.fed)
    elif row.phantom:
        yield gettext("48 V from the house") if row.phantom == "house" else gettext("48 V not known")
    yield gettext("splitter way %(way)s", way=row.way) if row.way else row.carried
    yield gettext("into the band's mixer, %(dive)s", dive=row.dive) if row.dive else ""
    yield gettext("out of the band's mixer at %(out)s", out=row.out) if row.out else ""
    yield gettext("pad %(pad)s dB", pad=row.pad) if row.pad else ""
    if row.kind == "cut":
        yield gettext("not sent to the house")
    yield gettext("loom way %(loom_way)s", loom_way=row.loom_way) if row.loom_way else ""
    yield gettext("box input %(box)s", box=row.box) if row.box else ""
    yield gettext("channel %(channel)s", channel=row.channel) if row.channel else ""
