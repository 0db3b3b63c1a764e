"""The pack list: what the band brings and what stays at home, counted, with spares, and what stands at each player's
place.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from portal.documents.abbreviations import used
from portal.documents.cover import Cover
from portal.documents.heading import TitleBlock, foot_of, heading_of
from portal.documents.patch.patch_rows import NONE, SENTENCE
from portal.documents.registry import document
from portal.documents.rendering.printed import Printed, ranges
from portal.documents.stage.stage_rows import out_of_reach, packed_too_short
from portal.documents.table import Table
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT, Rig, Source
from portal.plan.input.small_things import cable_key
from portal.plan.model import Item, Plan
from portal.plan.options.routing_policy import capture_of, stand_of
from portal.plan.packing.along import stand_item
from portal.plan.packing.item_names import CAPTURED_BY, LOOSE_XLR, OWNED, cable_kind, cable_of, thing, thing_of
from portal.plan.result.spelling import Feed, feed_of
from portal.plan.result.stage import Placed, box_place_of, placed, stated_distance
from portal.wording.catalogue import Words, gettext, mark, ngettext
from portal.wording.formats import join_clauses, length_figure, length_unit, say_metres
from portal.wording.plan.saying import say

SMALL_THINGS = frozenset({"di", "di-active", "di-passive", "mic"}) | OWNED
"""What the plan counts by the piece and what breaks or gets lost; racks, splitters, looms and a PA come once."""

ONE_SPARE_FOR = 10

ENDS = Words(
    {
        "xlr": mark("XLR female to XLR male"),
        "jack": mark("jack to XLR male"),
        "pack": mark("as the mixer and the pack need"),
        "network": mark("network plugs"),
        "to-the-box": mark("XLR female to XLR male"),
    }
)
"""Kinds of cable that the plan counts by length -> what is on their ends."""


@dataclass(frozen=True)
class PackRow:
    """One kind of thing to bring. Every field is finished text; ``spare`` comes on top of ``count``."""

    what: str
    count: str
    spare: str
    why: str


@dataclass(frozen=True)
class CableRow:
    """Cables of one kind: ``ends`` are their connectors, ``length`` and ``ways`` are empty where they are not known or
    not needed.
    """

    what: str
    count: str
    spare: str
    ends: str
    length: str
    ways: str
    why: str


@dataclass(frozen=True)
class PersonRow:
    """What stands at one player's place for one source."""

    person: str
    source: str
    things: str


@dataclass(frozen=True)
class PackList:
    """All that the template sees."""

    language: str
    title: str
    foot: str
    heading: TitleBlock
    bring: tuple[PackRow, ...]
    cables: tuple[CableRow, ...]
    owned: str
    far: str
    short: str
    people: tuple[PersonRow, ...]
    house: tuple[PersonRow, ...]
    leave: tuple[PackRow, ...]
    rule: str
    shortened: str
    key: tuple[tuple[str, str], ...]


def spares(count: int, owned: int | None = None) -> int:
    """How many spares so many of a kind need; where it is known how many the band owns, no more than it has left."""
    wanted = max(1, count // ONE_SPARE_FOR) if count else 0
    return wanted if owned is None else max(0, min(wanted, owned - count))


def _spare(item: Item, plan: Plan, rig: Rig) -> str:
    """The spares of an item as its cell says them. Cables of one length come from one heap, whatever they are for."""
    small, cable = thing_of(item), cable_of(item)
    if small in OWNED:
        left = spares(item.count, rig.bits.get(small, 0))
    elif cable and cable.kind in LOOSE_XLR and cable_key(float(cable.metres)) in rig.bits:
        others = sum(
            one.count
            for one in plan.bring
            if (other := cable_of(one)) and other.kind in LOOSE_XLR and other.metres == cable.metres and other != cable
        )
        left = spares(item.count, rig.bits[cable_key(float(cable.metres))] - others)
    else:
        left = spares(item.count) if cable or small in SMALL_THINGS else 0
    return str(left) if left else NONE


def _table(plan: Plan, cover: Cover) -> Table:
    """Everything to bring or leave as rows, with a column that says which."""
    sheet = pack_list(plan, cover)
    count, left = gettext("Count"), gettext("Spares")
    long = gettext("Length %(unit)s", unit=length_unit())
    heads = (
        gettext("What to do"), gettext("What"), count, left, gettext("Connectors"), long,
        gettext("Ways"), gettext("Player"), gettext("Why"),
    )  # fmt: skip
    bring = gettext("bring")

    def number(text: str) -> int | None:
        return int(text) if text.isdecimal() else None

    def length(text: str) -> str:
        return "" if text == NONE else text

    rows = [(bring, row.what, number(row.count), number(row.spare), "", "", "", "", row.why) for row in sheet.bring]
    rows += [
        (
            bring,
            row.what,
            number(row.count),
            number(row.spare),
            row.ends,
            length(row.length),
            length(row.ways),
            "",
            row.why,
        )
        for row in sheet.cables
    ]
    rows += [
        (gettext("at the place of"), f"{row.source}: {row.things}", None, None, "", "", "", row.person, "")
        for row in sheet.people
    ]
    rows += [
        (gettext("the house provides"), f"{row.source}: {row.things}", None, None, "", "", "", row.person, "")
        for row in sheet.house
    ]
    rows += [(gettext("leave"), row.what, number(row.count), None, "", "", "", "", row.why) for row in sheet.leave]
    return Table(gettext("Packing list"), heads, frozenset({count, left}), tuple(rows))


@document(
    "pack-list",
    title=mark("Packing list"),
    purpose=mark("What the band brings, with spares, and what stays at home."),
    template="pack_list.html",
    formats=("pdf", "csv", "xlsx"),
    signed=True,
    table=_table,
)
def pack_list(plan: Plan, cover: Cover) -> PackList:
    """The list for one plan and the rig that it was made from."""
    printed = Printed()
    heading = heading_of(cover, printed, "pack-list")
    sources = _taken(plan, cover.rig)
    plugged = replace(cover.rig, source=sources)
    stage = placed(cover.stage, plugged, box_place_of(cover.answers), stated_distance(cover.answers))
    sheet = PackList(
        language=cover.language,
        title=gettext("Packing list, %(gig)s, %(date)s", gig=heading.gig, date=heading.date),
        foot=foot_of(heading),
        heading=heading,
        bring=tuple(_row(item, _spare(item, plan, cover.rig), printed) for item in plan.bring if not cable_of(item)),
        cables=tuple(_cables(plan, cover.rig, printed)),
        owned=_counted(cover.rig.loose_cables),
        far=_far(plan, cover.rig, stage, printed),
        short=_short_ones(plugged, stage, printed),
        people=tuple(_people(sources, "band", printed)),
        house=tuple(_people(sources, "house", printed)),
        leave=tuple(_row(item, NONE, printed) for item in plan.leave),
        rule=gettext(
            "Spares: one for each %(count)s of a kind of small things and cables, at least one, where the band owns it."
            " Common practice; no standard says so.",
            count=ONE_SPARE_FOR,
        ),
        shortened="",
        key=(),
    )
    texts = [text for row in (*sheet.bring, *sheet.leave) for text in (row.what, row.why)]
    texts += [text for row in sheet.cables for text in (row.what, row.ends)] + [
        row.things for row in (*sheet.people, *sheet.house)
    ]
    return replace(
        sheet,
        shortened=printed(", ".join(printed.shortened), SENTENCE, ""),
        key=used([*texts, sheet.owned]),
    )


def _far(plan: Plan, rig: Rig, stage: Placed, printed: Printed) -> str:
    """Whose place no loose cable of the band reaches from the rack, in a sentence for each remedy."""
    by_two: dict[bool, list[str]] = {True: [], False: []}
    for name, far_m, joined in out_of_reach(plan, rig, stage):
        player = printed(name, MAX_LABEL, gettext("a player"))
        by_two[joined].append(f"{player} {say_metres(far_m)}")
    said = []
    if by_two[True]:
        said.append(
            gettext(
                "No loose cable of the band reaches from the rack to: %(players)s (stage plot). Join two or bring"
                " longer ones.",
                players=", ".join(by_two[True]),
            )
        )
    if by_two[False]:
        said.append(
            gettext(
                "No loose cable of the band reaches from the rack to: %(players)s (stage plot). Bring longer ones.",
                players=", ".join(by_two[False]),
            )
        )
    return " ".join(said)


def _short_ones(rig: Rig, stage: Placed, printed: Printed) -> str:
    """The cables of a kind and the sub-looms that end before the places of their players on the stage plot."""
    found = [
        gettext(
            "%(player)s: %(cable)s, %(needed)s needed",
            player=printed(name, MAX_LABEL, gettext("a player")),
            cable=printed(item, MAX_TEXT, gettext("a thing")),
            needed=say_metres(needed),
        )
        for name, item, needed in packed_too_short(rig, stage)
    ]
    if not found:
        return ""
    return gettext(
        "Shorter than the way on the stage plot: %(cables)s. Band: bring longer ones, or move the rack or the player.",
        cables=join_clauses(found),
    )


def _taken(plan: Plan, rig: Rig) -> tuple[Source, ...]:
    """The sources of the rig that are plugged at this gig, in the rig's order."""
    free = {one.source for one in plan.ear_inputs if feed_of(one) is Feed.NOTHING}
    keys = {key for line in plan.lines for key in line.sources} | {one.source for one in plan.ear_inputs}
    keys -= free
    return tuple(source for source in rig.source if source.key in keys)


def _row(item: Item, spare: str, printed: Printed) -> PackRow:
    return PackRow(
        printed(item.what, MAX_TEXT, gettext("a thing")),
        str(item.count),
        spare,
        printed(item.why, SENTENCE, gettext("a reason")),
    )


def _cables(plan: Plan, rig: Rig, printed: Printed) -> Iterator[CableRow]:
    """The cables by kind and length, each with what the band lacks of it, and the looms with their ends."""
    short = dict(_short(plan, rig))
    for item in plan.bring:
        if cable := cable_of(item):
            # Two kinds may be of one length; what is lacking is said at the first.
            lacking = short.pop(float(cable.metres), "") if cable.kind in LOOSE_XLR else ""
            yield CableRow(
                say(cable_kind(cable.kind)),
                str(item.count),
                _spare(item, plan, rig),
                ENDS[cable.kind],
                length_figure(float(cable.metres)),
                NONE,
                printed(join_clauses(filter(None, (lacking, say(item.why)))), SENTENCE, gettext("a reason")),
            )
    for loom in rig.loom:
        ways = [line.loom.way for line in plan.lines if line.loom and line.loom.key == loom.key]
        ways += [one.loom.way for one in plan.returns if one.loom and one.loom.key == loom.key]
        if ways:
            name = gettext(
                "%(loom)s (listed above)", loom=printed(loom.name or loom.key, MAX_LABEL, gettext("a loom's name"))
            )
            ends = gettext("%(band_end)s to %(house_end)s", band_end=loom.band_end, house_end=loom.house_end)
            length = length_figure(loom.length_m) if loom.length_m is not None else NONE
            yield CableRow(
                name,
                "1",
                NONE,
                printed(ends, MAX_TEXT, gettext("a loom's ends")),
                length,
                ranges(ways),
                "",
            )


def _counted(lengths: Mapping[float, int]) -> str:
    return ", ".join(
        gettext("%(number)s of %(length)s", number=count, length=say_metres(length))
        for length, count in sorted(lengths.items())
    )


def _short(plan: Plan, rig: Rig) -> Mapping[float, str]:
    """Metres -> how many XLR cables of that length the band has to get, and how many longer ones of its own stand in;
    nothing where none is entered.
    """
    left, short, longer = rig.loose_cables, Counter[float](), Counter[tuple[float, float]]()
    if not left:
        return {}
    needed = Counter[float]()
    for item in plan.bring:
        if (cable := cable_of(item)) and cable.kind in LOOSE_XLR:
            needed[float(cable.metres)] += item.count
    # The longest first, each the shortest that is left and reaches.
    for metres, count in sorted(needed.items(), reverse=True):
        for _ in range(count):
            fit = min((length for length, there in left.items() if there and length >= metres), default=None)
            if fit is None:
                short[metres] += 1
            else:
                left[fit] -= 1
                longer[metres, fit] += fit > metres
    said: dict[float, list[str]] = {}
    for metres, count in short.items():
        said[metres] = [gettext("get %(number)s more before the gig", number=count)]
    for (metres, fit), count in sorted(longer.items()):
        if count:
            stands = ngettext(
                "%(num)s of %(length)s stands in", "%(num)s of %(length)s stand in", count, length=say_metres(fit)
            )
            said.setdefault(metres, []).append(stands)
    return {metres: join_clauses(parts) for metres, parts in said.items()}


def _people(sources: tuple[Source, ...], owner: str, printed: Printed) -> Iterator[PersonRow]:
    """What one side provides for each source, by player."""
    rows = []
    for source in sources:
        things = []
        if source.owner.mic == owner and (how := capture_of(source)) in CAPTURED_BY:
            things.append(say(thing(how)))
        if source.owner.stand == owner and (stand := stand_of(source)) != "none":
            things.append(say(stand_item(stand)))
        if source.owner.cable == owner:
            things.append(gettext("cable"))
        if things:
            person = printed(source.player, MAX_LABEL, gettext("a player")) or NONE
            label = printed(source.label, MAX_LABEL, gettext("the label of a source"))
            rows.append(PersonRow(person, label, join_clauses(things)))
    players = list(dict.fromkeys(row.person for row in rows))
    yield from sorted(rows, key=lambda row: players.index(row.person))
