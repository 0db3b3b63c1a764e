"""From a label as people write it to a proposed reading of it: what it is, where, how it is picked up, whose it is, and how many rows it stands for.

A reading is a proposal that a person confirms. Where the words leave more than one thing, where a word between them is not known, or where the number
of rows is left open, the reading says so and holds the alternatives; it never settles such a question by itself. The label is never changed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import StrEnum

from portal.exchange.label_words import STOPS, Label, common_kinds, is_settled, parsed_label, plain_tokens
from portal.exchange.reading_words import (
    AGTR,
    BASS,
    EGTR,
    EPIANO,
    KICK,
    NUMBERS,
    OTHER,
    OVERHEAD,
    PIANO,
    PLAYBACK,
    SNARE,
    STAND_WORDS,
    SYNTH_BASS,
    TALKBACK,
    TOM,
    VOCABULARY,
    VOCAL,
    Word,
)
from portal.plan.kinds import KINDS

OUTPUTS = frozenset({"wedge", "wedges", "monitor", "monitors", "iem", "iems"})
"""Words of outputs, which stand among inputs in many lists."""

SHORTEST_GUESS = 4
"""Letters of a word that is compared with known ones; shorter ones resemble too many."""

ALIKE = 0.78
"""How alike two words have to be (``difflib``): one wrong or two swapped letters in five, and not *Marc* for *maracas*."""

SINGLE_NAMES = tuple(phrase[0] for phrase, words in VOCABULARY.items() if words[0].kinds and len(phrase) == 1 and len(phrase[0]) >= SHORTEST_GUESS)

MOST_NAMED = 4
"""Kinds that one sentence names; the choice beside it holds all."""

MOST_ROWS = 16
"""More rows out of one label than this are no list of one band's inputs; such a number is asked about."""

INSIDE = {
    KICK: ("in", "out", "front", "rear"),
    SNARE: ("top", "bottom"),
    TOM: ("floor", "rack"),
    "drum.cajon": ("front", "rear", "in", "out"),
    VOCAL: ("front", "rear"),
}
"""Places that belong to a kind: where a microphone stands at it."""

TWO_LEGGED = frozenset(
    {OVERHEAD, "synth.generic", EPIANO, PIANO, PLAYBACK, "x-looper", SYNTH_BASS, "x-electronic-kit", "x-audience", "drum.conga", "keyboard.accordion"}
)
"""Kinds whose left and right are two legs of one thing. Elsewhere left and right may as well be two players (common practice, no source)."""


class Certainty(StrEnum):
    """How far a reading can be trusted."""

    SURE = "sure"
    AMBIGUOUS = "ambiguous"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Reading:
    """A proposed reading of one label.

    ``what`` is a sound id, empty where nothing is proposed; ``alternatives`` begin with the likeliest, and an empty one means *no source, leave it
    out*. ``rows`` is how many rows the label stands for, 0 where that has to be asked; ``pair``: the two rows are left and right of one thing.
    ``side``: the label names one leg, and ``leg`` says whether it is half of a pair (``None``: to be asked). ``doubts`` are sentences;
    ``kind_open``: one of them is about what it is.
    """

    certainty: Certainty = Certainty.SURE
    what: str = ""
    alternatives: tuple[str, ...] = ()
    position: str = ""
    side: str = ""
    leg: bool | None = False
    rows: int = 1
    pair: bool = False
    capture: str = ""
    phantom: str = ""
    stand: str = ""
    owner: str = ""
    place: str = ""
    role: str = ""
    index: str = ""
    optional: bool = False
    spare: bool = False
    doubts: tuple[str, ...] = ()
    kind_open: bool = False

    @property
    def asks_kind(self) -> bool:
        """True where a person has to say what it is."""
        return self.kind_open or not (self.what or self.spare)

    @property
    def asks_rows(self) -> bool:
        """True where a person has to say how many rows it makes, or whether it is one leg of a pair."""
        return not self.spare and (self.rows == 0 or self.leg is None)


def read_label(label: str, said: str = "", numbers: int | None = None) -> Reading:
    """The reading of a label. ``said``: what stands beside it in other columns; ``numbers``: how many channel numbers the list gives it, if any."""
    parsed, beside = parsed_label(label), parsed_label(said)
    reading = _what(parsed, _captures(parsed) or _captures(beside))
    reading = _places(reading, parsed)
    if not reading.spare:
        reading = _how_many(reading, parsed, numbers)
    return _described(reading, parsed, beside, plain_tokens(said))


def in_words(what: str) -> str:
    """The words of a sound id as a sentence uses them."""
    return KINDS[what].words.lower() if what in KINDS else "no source"


def doubtful(reading: Reading, sentence: str, alternatives: Iterable[str] = ()) -> Reading:
    """The reading with a doubt: it is no longer sure. With alternatives the doubt is about what it is."""
    certainty = Certainty.UNKNOWN if reading.certainty is Certainty.UNKNOWN else Certainty.AMBIGUOUS
    others = tuple(dict.fromkeys((*alternatives, *reading.alternatives)))
    kind_open = reading.kind_open or others != reading.alternatives
    return replace(reading, certainty=certainty, doubts=(*reading.doubts, sentence), alternatives=others, kind_open=kind_open)


def _captures(parsed: Label) -> tuple[str, ...]:
    return parsed.values("capture")


def _what(parsed: Label, captures: tuple[str, ...]) -> Reading:
    """What the label names."""
    if not any(token not in STOPS for token in parsed.tokens) or ("spare" in parsed.values("none") and not parsed.nouns):
        return Reading(spare=True, alternatives=("",))
    if not parsed.nouns:
        if "return" in parsed.values("none"):
            sentence = "A return or an effect is no source on stage. Leave it out, or say what it is."
            return Reading(Certainty.AMBIGUOUS, alternatives=("", PLAYBACK, OTHER), doubts=(sentence,))
        return _misspelt(parsed)
    outer = tuple(found for found in parsed.nouns if not found.depth) or parsed.nouns
    named = [found.noun for found in outer if found.noun]
    every = [found.noun for found in parsed.nouns if found.noun]
    kinds = common_kinds(every) or common_kinds(named)
    player = _player_sings(parsed)
    if player is not None:
        return player
    if not kinds:
        return _several(every)
    if kinds[0] == VOCAL and (parsed.has("role") or parsed.unknown or _counted(parsed)[1]):
        # "Vox" alone may be an amplifier; with a role, a name or a number it is a singer.
        kinds = (VOCAL,)
    reading = _chosen(every if common_kinds(every) else named, kinds, captures, ranked=parsed.has("rank"))
    if not common_kinds(every) and parsed.has("player") is False:
        others = [kind for found in parsed.nouns if found.depth and found.noun for kind in found.noun.kinds[:1]]
        reading = doubtful(reading, f"It also says {in_words(others[0]) if others else 'something else'}.", (reading.what, *others))
    return _between(_turned(reading, parsed), parsed)


def _misspelt(parsed: Label) -> Reading:
    """A label of unknown words: what the word that looks most like a known one may mean, to be confirmed."""
    for at in parsed.unknown:
        word = parsed.tokens[at]
        close = next(iter(get_close_matches(word, SINGLE_NAMES, n=1, cutoff=ALIKE)), "") if len(word) >= SHORTEST_GUESS else ""
        named = next((one for one in VOCABULARY.get((close,), ()) if one.kinds), None)
        if named:
            return Reading(
                Certainty.AMBIGUOUS, alternatives=tuple(dict.fromkeys((*named.kinds, OTHER))), doubts=(f'"{word}" may stand for "{close}".',)
            )
    return Reading(Certainty.UNKNOWN, alternatives=(OTHER,), doubts=("Nothing in it names a source.",))


def _player_sings(parsed: Label) -> Reading | None:
    """*Bass player (vocal)*, *drum vocal*: the instrument says who sings."""
    vocals = [found for found in parsed.nouns if found.noun and VOCAL in found.noun.kinds[:1]]
    others = [found for found in parsed.nouns if found not in vocals]
    if not vocals or not others or "/" in parsed.tokens or parsed.has("split"):
        return None
    names = {found.text for found in vocals}
    if parsed.has("player") or others[0].at < vocals[0].at:
        guitar = any(found.noun and found.noun.kinds[0] in (EGTR, AGTR, BASS) for found in others)
        if "vox" in names and guitar and not parsed.has("player"):
            return _several([found.noun for found in (*others, *vocals) if found.noun])
        if all(found.noun and found.noun.kinds[0] not in (OTHER, PLAYBACK, TALKBACK, "x-speech") for found in others):
            return Reading(what=VOCAL)
    return None


def _several(words: Sequence[Word]) -> Reading:
    """Words that have nothing in common: several sources, or one that another names."""
    kinds = tuple(dict.fromkeys(kind for word in words for kind in word.kinds[:1]))
    listed = " and ".join(in_words(kind) for kind in kinds[:3])
    return Reading(Certainty.AMBIGUOUS, alternatives=kinds, doubts=(f"It names {listed}.",))


def _chosen(words: Sequence[Word], kinds: tuple[str, ...], captures: tuple[str, ...], *, ranked: bool) -> Reading:
    """One of the kinds that are left, where the words or the way of picking it up settle it."""
    if {PIANO, EPIANO} <= set(kinds):
        # Two microphones, low and high, stand at strings; a microphone at all says that there is something to hear.
        if ranked or "mic" in {capture.partition(" ")[0] for capture in captures}:
            kinds = tuple(kind for kind in kinds if kind != EPIANO)
        elif any(capture.startswith(("di", "line")) for capture in captures):
            kinds = tuple(kind for kind in kinds if kind != PIANO)
    if {EGTR, AGTR} <= set(kinds) and captures == ("mic dynamic",):
        # A dynamic microphone stands at a cabinet; an acoustic guitar gets a condenser or a DI (common practice, no source).
        kinds = (EGTR,)
    if is_settled(words, kinds):
        return Reading(what=kinds[0], alternatives=kinds if len(kinds) > 1 else ())
    first = [in_words(kind) for kind in kinds[:MOST_NAMED]]
    listed = ", ".join(first) + " or another part" if len(kinds) > MOST_NAMED else ", ".join(first[:-1]) + f" or {first[-1]}"
    return Reading(Certainty.AMBIGUOUS, alternatives=kinds, doubts=(f"It can be {listed}.",))


def _turned(reading: Reading, parsed: Label) -> Reading:
    """Words that turn a name into something else."""
    out = any(token in OUTPUTS for token in parsed.tokens)
    if "spare" in parsed.values("none"):
        return doubtful(reading, "It says spare: a row that is kept free, or a spare line.", (reading.what, ""))
    if reading.what == TALKBACK and ("return" in parsed.values("none") or out):
        return doubtful(reading, "Talkback from the house to the ears is the house's line, not a source of the band.", (TALKBACK, ""))
    if out:
        return doubtful(reading, "It may be a monitor, which is an output.", (reading.what, ""))
    if parsed.has("turns"):
        return doubtful(reading, "A word in it may turn it into something else.", (reading.what, OTHER))
    if reading.what == OVERHEAD and "stage" in parsed.tokens:
        return doubtful(reading, "It may hang over the stage, not over the kit.", (OVERHEAD, OTHER))
    return reading


def _between(reading: Reading, parsed: Label) -> Reading:
    """A word that is not known, right before the name, may turn it into something else; before a voice it is the singer."""
    if reading.what in ("", VOCAL, "x-speech", TALKBACK):
        return reading
    first = min(found.at for found in parsed.nouns)
    before = [at for at in parsed.unknown if at < first and not STOPS & set(parsed.tokens[at:first])]
    if not before:
        return reading
    word = parsed.tokens[before[-1]]
    return doubtful(reading, f'"{word}" may be a name, or make it something else.', (reading.what, OTHER))


def _places(reading: Reading, parsed: Label) -> Reading:
    """Where on the source, which leg, and where on stage."""
    inside = parsed.values("inside")
    kinds = INSIDE.get(reading.what, ())
    position = next((value for value in inside if value in kinds and not parsed.has("role")), "")
    if any(found.text in ("underhead", "uh") for found in parsed.found):
        position = "under"
    if reading.what == VOCAL and set(parsed.values("role")) == {"lead", "backing"}:
        reading = doubtful(reading, "It says lead and backing.", (VOCAL, OTHER))
    sides = [value for value in parsed.values("side") if value != "middle"]
    both = len(sides) > 1 or "stereo" in parsed.values("stereo")
    place = next(iter(parsed.values("place")), "")
    reading = replace(reading, position=position, place=place, role=next(iter(parsed.values("role")), "") if reading.what == VOCAL else "")
    if both and "mono" in parsed.values("stereo"):
        return doubtful(replace(reading, rows=0), "It says mono and stereo.")
    if both:
        reading = replace(reading, rows=2, pair=True)
        return reading if reading.what in TWO_LEGGED or not sides else doubtful(replace(reading, rows=0), _two_players(reading))
    if sides and not position:
        # Nobody sings in stereo.
        leg = True if reading.what in TWO_LEGGED else False if reading.what == VOCAL else None
        reading = replace(reading, side=sides[0], position=sides[0], leg=leg)
        if leg is None:
            reading = doubtful(reading, _two_players(reading))
    return reading


def _two_players(reading: Reading) -> str:
    one = reading.what or next(iter(reading.alternatives), "")
    return f"Left and right may be two players, or one {in_words(one) if one else 'source'} in stereo."


def _how_many(reading: Reading, parsed: Label, numbers: int | None) -> Reading:
    """How many rows the label stands for: from its quantity, its numbers, its plural, or the numbers of the list."""
    quantity, index = _counted(parsed)
    reading = replace(reading, index=index)
    if quantity is not None and quantity > 1:
        if quantity > MOST_ROWS or (numbers is not None and numbers not in (1, quantity)):
            return doubtful(replace(reading, rows=0), "How many rows is it?")
        return replace(reading, rows=quantity, pair=reading.pair and quantity == 2)  # noqa: PLR2004 - left and right
    if quantity is None and numbers is not None and numbers > 1:
        two = numbers == 2 and reading.what in TWO_LEGGED and not index  # noqa: PLR2004 - left and right
        return replace(reading, rows=numbers, pair=reading.pair or two)
    if reading.pair or reading.side or reading.rows == 0 or index:
        return reading
    return _several_of(reading, parsed, numbers)


def _several_of(reading: Reading, parsed: Label, numbers: int | None) -> Reading:
    """A pair of overheads, and plurals that leave the number open."""
    heads = [found for found in parsed.nouns if not found.depth] or list(parsed.nouns)
    above = any(found.text in ("oh", "ovh", "uh") or (found.plural and found.noun and found.noun.kinds[:1] == (OVERHEAD,)) for found in heads)
    if reading.what == OVERHEAD and above and "mono" not in parsed.values("stereo"):
        if numbers == 1:
            return doubtful(replace(reading, rows=0), "It has one channel number: one microphone, or a pair?")
        return replace(reading, rows=2, pair=True)
    # "Lead vocals" and "Anna vocals" are one voice.
    alone = reading.what == VOCAL and (reading.role == "lead" or bool(parsed.unknown) or parsed.has("player"))
    if any(found.plural for found in heads) and numbers is None and not alone:
        return doubtful(replace(reading, rows=0), "How many are there?")
    return reading


def _counted(parsed: Label) -> tuple[int | None, str]:
    """The quantity that a label tells (*3 toms*, *x2*, *1-4*), and the number that it bears (*Tom 2*)."""
    tokens = parsed.tokens
    first = min((found.at for found in parsed.nouns), default=len(tokens))
    plural = any(found.plural for found in parsed.nouns)
    quantity: int | None = None
    listed, index = 1, ""
    for at, token in enumerate(tokens):
        before, after = (tokens[at - 1] if at else ""), (tokens[at + 1] if at + 1 < len(tokens) else "")
        number = NUMBERS.get(token) or (int(token) if token.isdecimal() and len(token) < 4 else None)  # noqa: PLR2004 - no count has four digits
        if number is None or after in ("nd", "rd", "th", "st", "v", "volt") or before in ("p", "#", "no"):
            continue
        if after in ("x", "*") or before in ("x", "*") or (token in NUMBERS and at < first) or (at < first and plural):
            quantity = number
        elif at > first and index and before in ("~", "+", "&", "/", "and", "und"):
            listed = number - int(index) + 1 if before == "~" else listed + 1
        elif at > first and not index:
            index = str(number)
    return (quantity, index) if listed == 1 else (listed, "")


def _described(reading: Reading, parsed: Label, beside: Label, said: tuple[str, ...]) -> Reading:
    """How it is picked up, whose it is, and what else was said: in the label itself, or else beside it."""

    def one(facet: str) -> str:
        return next(iter(parsed.values(facet) or beside.values(facet)), "")

    captures = _captures(parsed) or _captures(beside)
    capture = _capture(captures)
    phantom = one("phantom")
    if not phantom and captures == ("mic condenser",):
        # Condenser microphones are fed by phantom (IEC 61938); one with its own supply is the exception that the row editor is for.
        phantom = "yes"
    stand = next((STAND_WORDS[phrase] for phrase in _stand_phrases(said)), "")
    optional = parsed.has("optional") or beside.has("optional")
    return replace(reading, capture=capture, phantom=phantom, stand=stand, owner=one("owner"), place=reading.place or one("place"), optional=optional)


def _capture(captures: tuple[str, ...]) -> str:
    """One way of picking it up; nothing where several are named, as in *microphone or DI*."""
    plain = {capture.partition(" ")[0] for capture in captures}
    exact = {capture for capture in plain if capture.startswith("di-")}
    if exact:
        plain = (plain - {"di", "line"}) if len(exact) == 1 else plain
    if plain == {"di", "line"}:
        return "di"
    if plain == {"mic", "wireless"}:
        return "wireless"
    return plain.pop() if len(plain) == 1 else ""


def _stand_phrases(tokens: tuple[str, ...]) -> list[tuple[str, ...]]:
    pairs = [tokens[at : at + 2] for at in range(len(tokens) - 1)]
    found = [phrase for phrase in (*pairs, *((token,) for token in tokens)) if phrase in STAND_WORDS]
    return sorted(found, key=len, reverse=True)
