"""One spelling, one hash, and the difference in words."""

import json
import subprocess
import sys
import unicodedata
from dataclasses import fields, is_dataclass, replace
from itertools import product
from pathlib import Path as File
from typing import get_args, get_type_hints

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.plan import model
from portal.plan.model import (
    Assumed,
    Conflict,
    Cut,
    EarInput,
    EarMix,
    Fact,
    Item,
    Line,
    LoomWay,
    Move,
    NoPlan,
    NotSent,
    Path,
    Plan,
    RackDies,
    Reason,
    Remedy,
    Return,
    Spare,
    Statement,
)
from portal.plan.phrase import Box, Choice, Inputs, Length, Listed, Phrase
from portal.plan.signed.difference import heaviest_first
from portal.plan.signed.serialization import (
    Heading,
    NotCanonical,
    canonical,
    content_hash,
    difference,
    short_hash,
    to_json,
)
from portal.plan.signed.signed_fields import LATER, SIGNED_FIELDS, Effect
from portal.wording.plan.saying import say
from tests.exchange.reading_back import from_json

GOLDEN = File(__file__).parent / "golden"

HEADING = Heading("Spring dance", "2027-04-17", "The Example Hall")

FACT = Fact("inputs-free", "12 working inputs", "house", "2027-03-01")
REASON = Reason("dry-split", "The line goes through the splitter.", (FACT,))


def a_line(number: int, source: str, label: str, **changes: object) -> Line:
    line = Line(
        line=number,
        direction="send",
        sources=(source,),
        label=label,
        strip=label.upper()[:12],
        player="Sam",
        mic_or_di="mic",
        owner="band",
        stand="short",
        stereo_partner=None,
        path=Path("split", "rack-a", "Rack A", number, "b"),
        mixer_input=number,
        loom=LoomWay("loom-12", "Loom 12", number, "XLR male"),
        box_socket=number,
        desk_channel=number,
        level="mic",
        gain_owner="each side its own",
        desk_phantom="–",
        phantom="none",
        pad_db=0,
        lift="",
        polarity="",
        dry=True,
        note="",
        because=(REASON,),
    )
    return replace(line, **changes)


PLAN = Plan(
    schema=1,
    status="plan",
    route="dry-split",
    sentence="Five lines go dry through the splitter.",
    lines=(
        a_line(1, "s-1", "Kick In"),
        a_line(2, "s-2", "Snare"),
        a_line(3, "s-3", "Keys L", mic_or_di="DI", stereo_partner=4),
        a_line(4, "s-4", "Keys R", mic_or_di="DI", stereo_partner=3),
        a_line(5, "s-5", "Vocal", phantom="band", loom=None, note="Sings on stage left"),
    ),
    not_sent=(NotSent("s-6", "Hat", "ears-only-tonight", "2", (REASON,)), NotSent("s-7", "Click", "ears-only", "", ())),
    ear_inputs=(
        EarInput(1, "s-1", "Kick In", "splitter", "none", 1),
        EarInput(7, "s-7", "Click", "straight", "none", None),
    ),
    ears=(EarMix("Sam", "stereo", ("out-1", "out-2"), "radio", to_mono=False),),
    returns=(Return("Talkback", LoomWay("loom-12", "Loom 12", 12, "XLR male"), 8, 2, "Phantom off on this input."),),
    bring=(Item("Loom 12", 1, "Every line goes through it."), Item("Turn-round", 2, "For the talkback.")),
    leave=(Item("Second splitter", 1, "Nothing goes through it."),),
    assumed=(Assumed("pa", "a stereo PA", "assumed"),),
    blocks=(
        Statement(
            "rack-power",
            "blocks",
            "There is no power for the rack.",
            (FACT,),
            (Remedy("r-1", "house", "Power near the box."),),
        ),
    ),
    asks=(Statement("house-phantom", "asks", "48 V stays off on lines 1 to 4.", ()),),
    notes=(Statement("loading", "notes", "Nothing hangs on the box besides.", ()),),
    cut_list=(Cut(4, "keys to mono"),),
    rack_dies=RackDies((1, 2, 3, 4), (5,), (), "Line 5 loses 48 V."),
    spare=(Spare("loom-12", "Loom 12", 11),),
    proven=True,
    engine="1",
    moves=(Move("s-5", "Vocal", 5, 7, "takes way 7 of Rack A"),),
)

SAID = Phrase(
    "sentences", {"sentences": Listed((Phrase("cell-new", {"field": Choice("field", "box"), "now": "Kick"}), "B"))}
)
PLAN_2 = replace(
    PLAN,
    schema=2,
    sentence=SAID,
    lines=tuple(replace(line, because=(replace(REASON, said=SAID),)) for line in PLAN.lines),
    blocks=(replace(PLAN.blocks[0], said=SAID, remedies=(Remedy("r-1", "house", SAID),)),),
    asks=(
        replace(
            PLAN.asks[0], said=Phrase("house-phantom", {"inputs": Inputs((Box("A", (1, 2)),)), "length": Length(5)})
        ),
    ),
)
"""The same as it is said since schema 2: keys and values."""

NO_PLAN = NoPlan(
    schema=1,
    status="no-plan",
    sentence="Two lead vocals need two working inputs; there is one.",
    conflicts=(Conflict("inputs", "2 sources that must be sent, 1 working input.", (FACT,)),),
    remedies=(Remedy("inputs-free", "house", "One more working input."),),
    assumed=(),
    limit_reached=False,
    engine="1",
)


# --- JSON and back


@pytest.mark.parametrize("outcome", [PLAN, NO_PLAN, PLAN_2], ids=["plan", "no plan", "schema 2"])
def test_an_outcome_survives_json(outcome: Plan | NoPlan):
    """What is written as JSON reads back as the very same outcome."""
    assert from_json(json.loads(json.dumps(to_json(outcome)))) == outcome


def test_nothing_is_omitted():
    """Every field of a plan is in its JSON, unknown as null."""
    document = to_json(PLAN)
    assert set(document) == {field.name for field in fields(Plan)}
    assert document["lines"][4]["loom"] is None


# --- the canonical spelling


def test_names_are_sorted_by_utf_16():
    """Names stand in the order of their UTF-16 code units: the example of RFC 8785, section 3.2.3."""
    names = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    # The example's U+FB33 is not in normal form C, where it is two characters; U+FB29 stands in for it.
    spelled = canonical({name.replace("\ufb33", "\ufb29"): 1 for name in names})
    assert list(json.loads(spelled)) == ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb29"]


def test_text_is_escaped_as_the_standard_says():
    """Only quotes, backslashes and control characters are escaped, in the short form where there is one (RFC 8785,
    3.2.2.2).
    """
    assert canonical('\u20ac$\u000f\nA\'B"\\\\"/\u007f') == '"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/\u007f"'.encode()


def test_literals_and_blanks():
    """There are no blanks, and true, false and null are spelled as in JSON."""
    assert canonical({"b": [True, False, None, -3], "a": {}}) == b'{"a":{},"b":[true,false,null,-3]}'


@pytest.mark.parametrize(
    "value",
    [1.0, 0.5, float("nan"), 2**53, -(2**53), "\ud800", {"\udfff": 1}, [[1.5]], {"e\u0301": 1, "\u00e9": 2}],
)
def test_what_has_no_single_spelling_is_refused(value):
    """Fractions, numbers beyond 2^53-1, broken text and names that fall together have no canonical form."""
    with pytest.raises(NotCanonical):
        canonical(value)


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.text(st.characters(codec="utf-8"), max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text("abc\u00f6\U0001f600\ufb29", max_size=3), inner, max_size=4)
    ),
    max_leaves=12,
)


def normal(value):
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, list):
        return [normal(one) for one in value]
    return {name: normal(one) for name, one in value.items()} if isinstance(value, dict) else value


@given(JSON)
def test_the_spelling_means_the_same(value):
    """Any JSON reader gets the value back, and spelling it again changes nothing."""
    spelled = canonical(value)
    assert json.loads(spelled) == normal(value)
    assert canonical(json.loads(spelled)) == spelled


@given(JSON, st.randoms(use_true_random=False))
def test_the_order_of_names_is_no_content(value, random):
    """Two objects that differ only in the order of their names have one spelling."""

    def shuffled(one):
        if isinstance(one, list):
            return [shuffled(inner) for inner in one]
        if not isinstance(one, dict):
            return one
        names = list(one)
        random.shuffle(names)
        return {name: shuffled(one[name]) for name in names}

    assert canonical(shuffled(value)) == canonical(value)


# --- what a signature covers


def reachable(table: type) -> set[type]:
    """Every dataclass that a plan is made of, those left out whose every use is immaterial."""
    found = {table}
    for name, hint in get_type_hints(table).items():
        if SIGNED_FIELDS[table][name] is Effect.KEPT:
            continue
        for one in (hint, *get_args(hint)):
            if isinstance(one, type) and is_dataclass(one) and one is not Phrase:
                found |= reachable(one)
    return found


def test_the_table_says_it_for_every_field():
    """The table names every field of everything that a signature can cover, and nothing else."""
    assert reachable(Plan) == set(SIGNED_FIELDS)
    for table, effects in SIGNED_FIELDS.items():
        assert list(effects) == [field.name for field in fields(table)]


def other(value, hint):
    """A different value of the same type."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + 40
    if isinstance(value, str):
        return value + "x"
    if isinstance(value, tuple):
        return value[:-1] if value else ("x",)
    if is_dataclass(value):
        first = fields(value)[0]
        return replace(value, **{first.name: other(getattr(value, first.name), str)})
    return 99 if int in get_args(hint) else LoomWay("loom-9", "Loom 9", 1, "XLR male")


OUTPUT = model.Output("9", "main left", "XLR 10 m")


def changed_plans():
    """(table, field, plan with that one field changed), for every field of every table but the schema, which says how
    the others are spelled.
    """
    for field in fields(Plan):
        if field.name == "schema":
            continue
        value = (OUTPUT,) if field.name == "outputs" else other(getattr(PLAN, field.name), field.type)
        yield Plan, field.name, replace(PLAN, **{field.name: value})
    places = {
        model.Line: "lines",
        model.NotSent: "not_sent",
        model.EarInput: "ear_inputs",
        model.EarMix: "ears",
        model.Return: "returns",
        model.Item: "bring",
        model.Move: "moves",
        model.Statement: "asks",
        model.Output: "outputs",
    }
    for table, place in places.items():
        hints = get_type_hints(table)
        rows = getattr(PLAN, place) or (OUTPUT,)
        for name in hints:
            row = replace(rows[0], **{name: other(getattr(rows[0], name), hints[name])})
            yield table, name, replace(PLAN, **{place: (row, *rows[1:])})
    for table, place in ((model.Path, "path"), (model.LoomWay, "loom")):
        hints = get_type_hints(table)
        line = PLAN.lines[0]
        for name in hints:
            part = getattr(line, place)
            part = replace(part, **{name: other(getattr(part, name), hints[name])})
            yield table, name, replace(PLAN, lines=(replace(line, **{place: part}), *PLAN.lines[1:]))


CHANGED = list(changed_plans())


def test_every_field_of_the_table_is_tried():
    """The cases below change each field that the table names."""
    assert {(table, name) for table, name, _ in CHANGED} == {
        (table, name) for table, effects in SIGNED_FIELDS.items() for name in effects
    } - {(Plan, "schema")}


@pytest.mark.parametrize(
    ("table", "name", "changed"), CHANGED, ids=[f"{table.__name__}.{name}" for table, name, _ in CHANGED]
)
def test_a_change_does_what_the_table_says(table: type, name: str, changed: Plan):
    """A material change gives another hash and a sentence; any other change gives neither."""
    assert changed != PLAN
    outdated = SIGNED_FIELDS[table][name] is Effect.OUTDATED
    assert (content_hash(changed, HEADING) != content_hash(PLAN, HEADING)) is outdated
    assert (difference(PLAN, changed) != ()) is outdated
    assert (difference(changed, PLAN) != ()) is outdated


def test_the_table_is_what_happens():
    """Field by field, what a change of it does to a signature, beside what the table declares: they never differ."""
    found = {
        f"{table.__name__}.{name}": (
            Effect.OUTDATED if content_hash(changed, HEADING) != content_hash(PLAN, HEADING) else Effect.KEPT
        )
        for table, name, changed in CHANGED
    }
    mismatch = [field for field, effect in found.items() if effect is not declared(field)]
    counts = {effect: list(found.values()).count(effect) for effect in Effect}
    print("", *(f"  {field} -> {effect.value}" for field, effect in found.items()), sep="\n")  # noqa: T201 - shown with -s
    print(  # noqa: T201 - the same
        f"fields={len(found)} kept={counts[Effect.KEPT]} outdated={counts[Effect.OUTDATED]}"
        f" mismatch_with_declared_list={len(mismatch)}"
    )
    assert mismatch == []


def declared(field: str) -> Effect:
    table, _, name = field.partition(".")
    return next(effects[name] for one, effects in SIGNED_FIELDS.items() if one.__name__ == table)


@pytest.mark.parametrize("name", ["gig", "date", "place"])
def test_the_heading_is_signed_as_well(name: str):
    """A signature stands for one gig at one place on one date."""
    assert content_hash(PLAN, replace(HEADING, **{name: "x"})) != content_hash(PLAN, HEADING)


@given(st.permutations(PLAN.lines), st.permutations(PLAN.bring), st.permutations(PLAN.not_sent))
def test_the_order_of_rows_is_no_content(lines, bring, not_sent):
    """Rows bear their own numbers: listing them in another order changes neither hash nor difference."""
    shuffled = replace(PLAN, lines=tuple(lines), bring=tuple(bring), not_sent=tuple(not_sent))
    assert content_hash(shuffled, HEADING) == content_hash(PLAN, HEADING)
    assert difference(PLAN, shuffled) == ()


def test_letters_in_two_pieces_hash_alike():
    """A label typed with a separate accent is the same label."""
    whole, pieces = (replace(HEADING, place=unicodedata.normalize(form, "Caf\u00e9")) for form in ("NFC", "NFD"))
    assert whole != pieces
    assert content_hash(PLAN, whole) == content_hash(PLAN, pieces)


@st.composite
def plans(draw) -> Plan:
    """Small plans that often share rows, so that both alike and different pairs of plans occur."""
    small = st.integers(1, 3)
    some_lines = draw(st.lists(st.tuples(st.sampled_from(["s-1", "s-2"]), small, small, st.none() | small), max_size=3))
    lines = tuple(
        a_line(number, source, source, desk_channel=channel, stereo_partner=partner)
        for source, number, channel, partner in some_lines
    )
    items = tuple(
        Item(what, count, "") for what, count in draw(st.lists(st.tuples(st.sampled_from("ab"), small), max_size=3))
    )
    asks = tuple(
        Statement(key, "asks", text, ())
        for key, text in draw(st.lists(st.tuples(st.sampled_from("ab"), st.sampled_from("xy")), max_size=2))
    )
    inputs = tuple(
        EarInput(None, "s-1", "Kick", "splitter", "none", number)
        for number in draw(st.lists(st.none() | small, max_size=2))
    )
    return replace(PLAN, lines=lines, bring=items, asks=asks, ear_inputs=inputs)


@given(plans(), plans())
def test_a_difference_is_said_exactly_where_the_hash_differs(old: Plan, new: Plan):
    """Two plans have nothing between them in words if and only if one signature stands for both."""
    assert (difference(old, new) == ()) is (content_hash(old, HEADING) == content_hash(new, HEADING))


# --- golden files


def golden(name: str) -> str:
    return (GOLDEN / name).read_text("utf-8")


@pytest.mark.parametrize(("name", "outcome"), [("plan.json", PLAN), ("no-plan.json", NO_PLAN), ("plan-2.json", PLAN_2)])
def test_the_json_of_an_outcome_stays_as_it_is(name: str, outcome: Plan | NoPlan):
    """Stored plans are read for years: the file of an outcome changes only with the format's number."""
    assert json.loads(golden(name)) == to_json(outcome)
    assert from_json(json.loads(golden(name))) == outcome


def test_a_plan_from_before_a_field_was_there_keeps_its_hash():
    """A field that came later is missing in what was stored before: such a plan is read, and its signatures stand."""
    older = json.loads(golden("plan.json"))
    later = (
        (older["lines"], model.Line),
        (older["ear_inputs"], model.EarInput),
        (older["ears"], model.EarMix),
        (older["returns"], model.Return),
    )
    for rows, table in later:
        for row, name in product(rows, LATER[table]):
            del row[name]
    for name in LATER[model.Plan]:
        del older[name]
    before = replace(PLAN, moves=(), would_help=(), lines=tuple(replace(line, desk_phantom="") for line in PLAN.lines))
    assert from_json(older) == before
    assert content_hash(from_json(older), HEADING) == golden("hash-before.txt").strip()


def test_the_hash_of_a_plan_stays_as_it_is():
    """Signatures hold the hash: the same plan has the same hash in every version."""
    assert content_hash(PLAN, HEADING) == golden("hash.txt").strip()
    assert content_hash(PLAN_2, HEADING) == golden("hash-2.txt").strip()


def test_another_process_finds_the_same_hash():
    """The hash does not depend on the process or on the seed of Python's own hashes."""
    program = (
        "import json, sys; from portal.plan.signed.serialization import Heading, content_hash; "
        "from tests.exchange.reading_back import from_json; "
        "print(content_hash(from_json(json.load(sys.stdin)), Heading(*sys.argv[1:])))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program, HEADING.gig, HEADING.date, HEADING.place],
        input=golden("plan.json"),
        env={"PYTHONHASHSEED": "4711", "PYTHONUTF8": "1"},
        cwd=File(__file__).parents[2],
        capture_output=True,
        check=True,
        text=True,
        encoding="utf-8",
    )
    assert ran.stdout.strip() == content_hash(PLAN, HEADING)


def test_people_compare_eight_digits():
    """The short hash is the first eight digits in two groups of four."""
    assert short_hash("0123456789abcdef" * 4) == "0123 4567"


# --- the difference in words


def told(old: Plan, new: Plan) -> tuple[str, ...]:
    return tuple(map(say, difference(old, new)))


def test_a_moved_line_is_said_to_have_moved():
    """A line that only got other numbers is one change, with old and new number."""
    moved = replace(PLAN, lines=(*PLAN.lines[:4], replace(PLAN.lines[4], box_socket=9, desk_channel=11)))
    assert told(PLAN, moved) == ("Vocal: stage box input was 5, now 9; desk channel was 5, now 11.",)


def test_a_partner_with_another_number_is_the_same_partner():
    """When both halves of a pair move, nobody is said to have changed partners."""
    keys_l, keys_r = PLAN.lines[2:4]
    moved = replace(
        PLAN,
        lines=(
            *PLAN.lines[:2],
            replace(keys_l, line=6, stereo_partner=7),
            replace(keys_r, line=7, stereo_partner=6),
            PLAN.lines[4],
        ),
    )
    assert told(PLAN, moved) == ("Keys L: line to the house was 3, now 6.", "Keys R: line to the house was 4, now 7.")


def test_added_and_removed_rows_are_said():
    """A line that comes, one that goes, and where the source went instead."""
    new = replace(
        PLAN,
        lines=(PLAN.lines[0], *PLAN.lines[2:], a_line(6, "s-6", "Hat", box_socket=2, desk_channel=2)),
        not_sent=(PLAN.not_sent[1], NotSent("s-2", "Snare", "ears-only-tonight", "1", ())),
    )
    assert told(PLAN, new) == (
        "Line gone: Snare.",
        "New line: Hat, stage box input 2, desk channel 2.",
        "No longer kept from the house: Hat.",
        "Does not go to the house: Snare, in-ears only tonight.",
    )


def test_one_fact_is_said_in_one_sentence():
    """A source that stays with the band, or goes to the house again, is said by its line; a player who changes, once.
    Each of them is still a change of every table that it stands in.
    """

    def read(old: Plan, new: Plan) -> tuple[str, ...]:
        return tuple(say(change.said) for change in heaviest_first(old, new))

    fed, *others = PLAN.ear_inputs
    less = replace(
        PLAN,
        lines=PLAN.lines[1:],
        not_sent=(*PLAN.not_sent, NotSent("s-1", "Kick In", "ears-only-tonight", "1", ())),
        ear_inputs=(replace(fed, line=None), *others),
    )
    assert len(told(PLAN, less)) == 3
    assert read(PLAN, less) == ("No longer goes to the house: Kick In, in-ears only tonight.",)
    assert read(less, PLAN) == ("New line: Kick In, stage box input 1, desk channel 1.",)

    def played_by(player: str) -> Plan:
        line, *lines = PLAN.lines
        own = replace(fed, player=player)
        return replace(PLAN, lines=(replace(line, player=player), *lines), ear_inputs=(own, *others))

    assert len(told(played_by("Sam"), played_by("Dee"))) == 2
    assert read(played_by("Sam"), played_by("Dee")) == ("Kick In: player was Sam, now Dee.",)


def test_what_happens_alike_to_many_rows_is_said_once():
    """Three rows and more that come, go or become the same; two are said one by one, and so is what differs."""
    one, two, three = (replace(line, strip="", desk_phantom="off", pad_db=20) for line in PLAN.lines[:3])
    others = PLAN.lines[3:]

    def read(old: Plan, new: Plan) -> tuple[str, ...]:
        return tuple(say(change.said) for change in heaviest_first(old, new))

    a, b, c = (line.label for line in (one, two, three))
    padded = replace(PLAN, lines=(one, two, three, *others))
    assert read(PLAN, replace(padded, lines=(one, two, *PLAN.lines[2:]))) == tuple(
        said for said in told(PLAN, padded) if said.startswith((a, b))
    )
    (together,) = read(PLAN, padded)
    assert together.startswith(f"{a}, {b}, {c}: ")
    assert "pad in dB is now 20" in together
    gone = replace(PLAN, lines=others)
    assert f"Lines gone: {a}, {b}, {c}." in read(PLAN, gone)
    (came,) = (said for said in read(gone, PLAN) if said.startswith("New lines: "))
    assert came.startswith(f"New lines: {a}, stage box input 1, desk channel 1; {b}, ")
    assert set(told(PLAN, gone)) > {f"Line gone: {a}.", f"Line gone: {b}.", f"Line gone: {c}."}


def test_path_phantom_and_asks_are_said():
    """A changed route, path and 48 V, and what is newly asked."""
    vocal = replace(PLAN.lines[4], path=Path("direct-out", "mixer", "Mixer", None, "out-3"), phantom="house")
    asks = (
        replace(PLAN.asks[0], said="48 V stays off on lines 1 to 5."),
        Statement("pads", "asks", "Bring two pads.", ()),
    )
    assert told(PLAN, replace(PLAN, route="direct-outs", lines=(*PLAN.lines[:4], vocal), asks=asks)) == (
        "The route is now: Direct outs. It was: Dry split.",
        (
            "Vocal: path was split, now direct out; unit was Rack A, now Mixer; way was 5, now none; output was b, now"
            " out-3; 48 V was band, now house."
        ),
        "Now to be ticked when signing: 48 V stays off on lines 1 to 5. It was: 48 V stays off on lines 1 to 4.",
        "Now to be ticked when signing: Bring two pads.",
    )
