"""From numbered signals to the lines of the sheet, complete but for what the checks say about them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from portal.plan.input.facts import Facts
from portal.plan.input.kinds import Role
from portal.plan.input.rig import Source
from portal.plan.model import BESIDE_THE_LOOM, Line, Path
from portal.plan.options.routing_policy import capture_of, level_of, role_of, stand_of
from portal.plan.phrase import AND, Choice, Phrase, Said, Value, listed, side_by_side
from portal.plan.result.line_reasons import because_of, made_mono
from portal.plan.result.not_sent import moves_of
from portal.plan.result.numbering import Numbered
from portal.plan.result.routing import Routing, Sent, desk_phantom_of, phantom_of
from portal.plan.result.spelling import leg_key
from portal.plan.result.unchecked_plan import labels_of
from portal.plan.solving.binding_limits import BindingLimits

OUT_LEVEL_DBU = 18.0
"""Assumed highest level of a mixer output where the rig says nothing (common practice, no source)."""

MIC_INPUT_DBU = 10.0
"""Assumed highest level of a house microphone input (common practice, no source)."""

MARGIN_DB = 3.0

STRIP_LETTERS = 12
"""What a scribble strip holds; the same as a rig's own strip names."""

SHORT_WORD = 3
"""A word of so many letters keeps its vowels: DI stays DI."""

SIDES = {"LEFT": "L", "RIGHT": "R"}

VOWELS = str.maketrans("", "", "AEIOU")


def lines_of(
    numbered: tuple[Numbered, ...], facts: Facts, routing: Routing, binding: BindingLimits
) -> tuple[Line, ...]:
    """Every line in desk order, complete but for what the checks say about it."""
    partners = {(one.sent.pair, one.sent.side): one.line for one in numbered if one.sent.pair}
    return tuple(_line(one, partners, facts, routing, binding) for one in numbered)


def _line(
    one: Numbered, partners: dict[tuple[str, str], int], facts: Facts, routing: Routing, binding: BindingLimits
) -> Line:
    sent = one.sent
    first, plug = sent.sources[0], sent.plug
    alone = len(sent.sources) == 1
    other = {"L": "R", "R": "L"}.get(sent.side, "")
    from_mixer = sent.out is not None
    mixed = sent.kind in ("group", "left-right-mix")
    return Line(
        line=one.line,
        direction="send",
        sources=tuple(source.key for source in sent.sources),
        label=sent.label,
        strip=(first.strip if alone else "") or strip_name(sent.label),
        player=side_by_side((source.player for source in sent.sources if source.player), AND),
        mic_or_di=captured("mixer-output" if from_mixer else capture_of(plug)),
        owner="band" if from_mixer else plug.owner.mic,
        stand="" if mixed else stand_of(plug),
        stereo_partner=partners.get((sent.pair, other)) if sent.pair else None,
        path=_path(sent),
        mixer_input=routing.mixer_input(plug),
        loom=one.loom,
        box=one.box,
        box_socket=one.box_socket,
        desk_channel=one.desk_channel,
        level=level_at_the_house(sent),
        gain_owner=_gain_owner(sent),
        phantom=phantom_of(sent),
        desk_phantom=desk_phantom_of(sent),
        pad_db=pad_db(sent, facts),
        lift=Phrase("if-it-hums") if _has_a_lift(sent) else "",
        polarity="flip" if role_of(first) is Role.SNARE and first.position == "bottom" and alone else "normal",
        dry=sent.kind in ("split", "direct-out") or sent.kind in BESIDE_THE_LOOM,
        note=side_by_side((*told_on(sent, routing), *_notes_of(sent, mixed=mixed or bool(sent.guest)))),
        because=because_of(sent, facts, binding),
    )


def captured(how: str) -> Phrase:
    """How a source is picked up, or that a line comes out of the band's mixer."""
    return Phrase("captured", {"named": Choice("capture", how)})


def _notes_of(sent: Sent, *, mixed: bool) -> Iterator[Said]:
    """The band's notes on the sources of a line; on a sum's row each with whom it is about."""
    about: dict[str, list[str]] = {}
    for source in sent.sources:
        if note := own_note(source, sent.way):
            about.setdefault(note, []).append(source.label)
    for note, labels in about.items():
        about_it: dict[str, Value] = {"labels": listed(labels), "note": note.replace("; ", ", ")}
        yield Phrase("note-about", about_it) if mixed else note


def own_note(source: Source, way: int | None) -> str:
    """The band's note on a source, without a splitter's way that its row says anyway."""
    said = re.compile(rf"splitter\b.* way {way}", re.IGNORECASE)
    return "; ".join(part for part in source.note.split("; ") if not said.fullmatch(part.strip()))


JOINING = frozenset({"AND", "&", "+"})


def strip_name(label: str) -> str:
    """What the strip says where the band wrote nothing: its label in capitals. Where that is too long, "and" goes, then
    the vowels inside its words, the first word's first: labels begin with what a source is, and what is alike is
    shortened alike. Short words at the end (a number, a side) stay, or two lines would read alike.
    """
    words = label.partition(" (")[0].upper().split()
    if len(" ".join(words)) > STRIP_LETTERS:
        words = [word for word in words if word not in JOINING] or words
    if len(" ".join(words)) <= STRIP_LETTERS:
        return " ".join(words)
    words[-1] = SIDES.get(words[-1], words[-1])
    for index, word in enumerate(words):
        if len(" ".join(words)) > STRIP_LETTERS and len(word) > SHORT_WORD:
            words[index] = word[0] + word[1:].translate(VOWELS)
    kept = ""
    while len(words) > 1 and len(f" {words[-1]}{kept}") <= STRIP_LETTERS // 2:
        kept = f" {words.pop()}{kept}"
    return " ".join(words)[: STRIP_LETTERS - len(kept)].rstrip() + kept


def _path(sent: Sent) -> Path:
    if sent.splitter is not None:
        output = leg_key(sent.output.kind, sent.output.key) if sent.output else ""
        return Path(sent.kind, sent.splitter.key, sent.splitter.name or sent.splitter.key, sent.way, output)
    if sent.out is not None:
        return Path(sent.kind, "mixer", _way(sent.group if sent.group == "to-mono" else sent.kind), None, sent.out.key)
    unit = {"digital-link": "mixer", "house-split": "house"}.get(sent.kind, "")
    return Path(sent.kind, unit, _way(sent.kind), None, "")


def _has_a_lift(sent: Sent) -> bool:
    return sent.output is not None and sent.output.lift and sent.output.kind == "isolated"


def _way(key: str) -> Phrase:
    """What a line comes by where no splitter of the band's has a name."""
    return Phrase("way-by", {"named": Choice("way-by", key)})


def _gain_owner(sent: Sent) -> str:
    if (
        sent.out is not None
        or sent.kind == "digital-link"
        or (sent.splitter is not None and sent.splitter.kind == "active")
    ):
        return "band"
    return "house" if sent.kind == "straight" else "each"


def level_at_the_house(sent: Sent) -> str:
    """What arrives at the house: line, mic, or digital over a link."""
    if sent.out is not None:
        return "line"
    return "digital" if sent.kind == "digital-link" else level_of(sent.sources[0])


def pad_db(sent: Sent, facts: Facts) -> int:
    """The pad before the house's input, in dB; 0 for none."""
    if level_at_the_house(sent) != "line" or facts.value("line-inputs") == "yes":
        return 0
    highest = sent.out.max_dbu if sent.out is not None else sent.sources[0].max_dbu
    wanted = (OUT_LEVEL_DBU if highest is None else highest) + MARGIN_DB - MIC_INPUT_DBU
    return 20 if wanted > 0 else 0


def right_leg_is_free(sent: Sent) -> bool:
    """Whether the second leg of what the player makes mono is plugged nowhere: its jack is empty, or only one leg of
    the machine is plugged.
    """
    return sent.made_mono == "jack" or (sent.made_mono == "switch" and sent.kind in ("house-split", "straight"))


def told_on(sent: Sent, routing: Routing) -> tuple[Phrase, ...]:
    """What a line's row has to tell whoever plugs or plays it."""
    first = sent.sources[0]
    said = [made_mono(sent)] if sent.made_mono in ("jack", "switch") else []
    if sent.made_mono == "switch" and right_leg_is_free(sent):
        said.append(Phrase("its-input-stays-free", {"label": sent.sources[1].label}))
    if sent.without:
        said.append(Phrase("one-microphone-no-sum", {"label": sent.without.label}))
        said += [Phrase("move-it-to-the-middle"), Phrase("pan-it-to-the-centre")]
    if sent.step == "share-a-line":
        turns = "take-turns.on-one-di" if capture_of(first).startswith("di") else "take-turns"
        said.append(Phrase(turns, {"labels": labels_of(sent.sources)}))
    if sent.guest:
        said.append(Phrase("sings-at-a-microphone", {"guest": sent.guest.label, "label": first.label}))
    if sent.step == "own-submix":
        players = listed(source.player for source in sent.sources if source.player)
        named = Phrase("from-the-submixer", {"players": players})
        said.append(named if players.listed else Phrase("from-the-submixer.of-the-player"))
    if sent.step == "out-of-the-ears":
        said.append(Phrase("not-in-the-in-ears"))
    said += [move.told for move in moves_of(routing) if move.source == first.key]
    return tuple(said)
