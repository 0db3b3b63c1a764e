"""From a label as people write it to a proposed reading of it: what it is, where, how it is picked up, whose it is, and
how many rows it stands for.

A reading is a proposal that a person confirms. Where the words leave more than one thing, where a word between them is
not known, or where the number of rows is left open, the reading says so and holds the alternatives; it never settles
such a question by itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from difflib import get_close_matches
from functools import lru_cache

from portal.exchange.band_list.label_reading import Beside, Certainty, Reading, doubtful, in_words
from portal.exchange.band_list.row_counts import INSIDE, MOST_ROWS, TWO_LEGGED, counted, with_rows
from portal.exchange.band_list.row_labels import as_written, pieces, singular, without_quantity, without_words
from portal.exchange.band_list.words.label_words import (
    STOPS,
    Label,
    common_kinds,
    is_settled,
    parsed_label,
    plain_tokens,
)
from portal.exchange.band_list.words.reading_words import (
    AGTR,
    BASS,
    COLUMN_STAND_WORDS,
    EGTR,
    EPIANO,
    OTHER,
    OVERHEAD,
    PIANO,
    PLAYBACK,
    STAND_WORDS,
    TALKBACK,
    VOCABULARY,
    VOCAL,
    Word,
)

SHORTEST_GUESS = 4
"""Letters of a word that is compared with known ones; shorter ones resemble too many."""

LONGEST_GUESS = 20

NOTHING = Beside()

FED_RECEIVER = (
    "It names 48 V, which a wireless receiver never needs. It is read as a microphone on a cable;"
    " where it is by radio, say so in its row, without 48 V."
)
"""What to decide about a headset or wireless microphone that is said to need 48 V."""

ALIKE = 0.78
"""How alike two words have to be (``difflib``): one wrong or two swapped letters in five, and not *Marc* for
*maracas*.
"""

MOST_LETTERS_APART = 2

SINGLE_NAMES: dict[str, list[str]] = {}
"""Known words that name a source, by their first letter, which hardly anybody mistypes."""
for _phrase, _words in VOCABULARY.items():
    if _words[0].kinds and len(_phrase) == 1 and len(_phrase[0]) >= SHORTEST_GUESS:
        SINGLE_NAMES.setdefault(_phrase[0][0], []).append(_phrase[0])

NEVER_SUNG = frozenset({OTHER, PLAYBACK, TALKBACK, "x-speech", "x-cue", "x-click"})
"""Kinds that do not say who sings."""

JOINED = frozenset("/+&|")

MOST_NAMED = 4
"""Kinds that one sentence names; the choice beside it holds all."""

MOST_GUESSED = 3
"""Unknown words of a label that are compared with known ones."""

OUTSIDE = {
    "output": "It may be a monitor, which is an output.",
    "gear": "It may be something that stands or lies on stage, not an input.",
    "care": "It may be no input at all.",
}


def read_label(
    label: str, beside: Beside = NOTHING, numbers: int | None = None, names: frozenset[str] = frozenset()
) -> Reading:
    """The reading of a label. ``numbers``: how many channel numbers the list gives it, if any; ``names``: words known
    for names of people.
    """
    parsed, said = parsed_label(label, names), parsed_label(beside.said)
    reading = _what(parsed, _captures(parsed, said), many=(beside.quantity or 1) > 1)
    reading = _places(reading, parsed)
    if not reading.spare:
        reading = with_rows(reading, parsed, beside, numbers)
    reading = _described(reading, parsed, said, beside)
    parts = tuple(part._replace(word=as_written(label, part.word)) for part in reading.parts)
    reading = replace(reading, parts=parts, apart=_apart(label, reading, parsed))
    return replace(reading, label=_label(label, reading, parsed), stem=_stem(label, reading, parsed))


def _captures(parsed: Label, said: Label) -> tuple[str, ...]:
    """How it is picked up: by the label's words; where those say no more than *microphone* or *DI*, by what is beside
    them as far as it fits.
    """
    told, beside = parsed.values("capture"), said.values("capture")
    if told in (("mic",), ("di",)):
        kinds = ("mic", "wireless") if told == ("mic",) else ("di",)
        return tuple(value for value in beside if value.startswith(kinds)) or told
    return told or beside


def _what(parsed: Label, captures: tuple[str, ...], *, many: bool) -> Reading:
    """What the label names. ``many``: a quantity stands beside it."""
    if not any(token not in STOPS for token in parsed.tokens) or (
        "spare" in parsed.values("none") and not parsed.nouns
    ):
        return Reading(spare=True, alternatives=("",))
    if not parsed.nouns:
        return _nameless(parsed)
    outer = tuple(found for found in parsed.nouns if not found.depth) or parsed.nouns
    named = [found.noun for found in outer if found.noun]
    every = [found.noun for found in parsed.nouns if found.noun]
    kinds = common_kinds(every) or common_kinds(named)
    player = _player_sings(parsed)
    if player is not None:
        return player
    if not kinds:
        return _several(every)
    count = counted(parsed)
    if kinds[0] == VOCAL and (
        many
        or parsed.has("role")
        or parsed.has("leader")
        or parsed.unknown
        or parsed.named
        or count.bears
        or count.quantity
    ):
        # "Vox" alone may be an amplifier; with a role, a name, a number or a quantity it is a singer.
        kinds = (VOCAL,)
    reading = _chosen(every if common_kinds(every) else named, kinds, captures, ranked=parsed.has("rank"))
    if not common_kinds(every) and parsed.has("player") is False:
        others = [kind for found in parsed.nouns if found.depth and found.noun for kind in found.noun.kinds[:1]]
        reading = doubtful(
            reading, f"It also says {in_words(others[0]) if others else 'something else'}.", (reading.what, *others)
        )
    return _between(_turned(reading, parsed), parsed)


def _nameless(parsed: Label) -> Reading:
    """A label in which no known word names a source."""
    if "return" in parsed.values("none"):
        sentence = "A return or an effect is no source on stage. Leave it out, or say what it is."
        return Reading(Certainty.AMBIGUOUS, alternatives=("", PLAYBACK, OTHER), doubts=(sentence,))
    if parsed.outside:
        return Reading(Certainty.AMBIGUOUS, alternatives=("", OTHER), doubts=(OUTSIDE[parsed.outside],))
    return _misspelt(parsed)


def _misspelt(parsed: Label) -> Reading:
    """A label of unknown words: what the word that looks most like a known one may mean, to be confirmed."""
    for at in parsed.unknown[:MOST_GUESSED]:
        word = parsed.tokens[at]
        close = _close(word)
        named = next((one for one in VOCABULARY.get((close,), ()) if one.kinds), None)
        if named:
            return Reading(
                Certainty.AMBIGUOUS,
                alternatives=tuple(dict.fromkeys((*named.kinds, OTHER))),
                doubts=(f'"{word}" may stand for "{close}".',),
            )
    return Reading(Certainty.UNKNOWN, alternatives=(OTHER,), doubts=("Nothing in it names a source.",))


@lru_cache(maxsize=4096)
def _close(word: str) -> str:
    """The known word that this one looks like, empty where none does."""
    if not SHORTEST_GUESS <= len(word) <= LONGEST_GUESS:
        return ""
    known = [name for name in SINGLE_NAMES.get(word[0], ()) if abs(len(name) - len(word)) <= MOST_LETTERS_APART]
    return next(iter(get_close_matches(word, known, n=1, cutoff=ALIKE)), "")


def _player_sings(parsed: Label) -> Reading | None:
    """*Bass player (vocal)*, *drum vocal*: the instrument says who sings."""
    vocals = [found for found in parsed.nouns if found.noun and VOCAL in found.noun.kinds[:1]]
    others = [found for found in parsed.nouns if found not in vocals]
    if not vocals or not others or JOINED & set(parsed.tokens) or parsed.has("split"):
        return None
    names = {found.text for found in vocals}
    if parsed.has("player") or parsed.has("role") or others[0].at < vocals[0].at:
        guitar = any(found.noun and found.noun.kinds[0] in (EGTR, AGTR, BASS) for found in others)
        if "vox" in names and guitar and not (parsed.has("player") or parsed.has("role")):
            return _several([found.noun for found in (*others, *vocals) if found.noun])
        if all(found.noun and found.noun.kinds[0] not in NEVER_SUNG for found in others):
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
        # A dynamic microphone stands at a cabinet; an acoustic guitar gets a condenser or a DI (common practice, no
        # source).
        kinds = (EGTR,)
    if is_settled(words, kinds):
        return Reading(what=kinds[0], alternatives=kinds if len(kinds) > 1 else ())
    first = [in_words(kind) for kind in kinds[:MOST_NAMED]]
    listed = (
        ", ".join(first) + " or another part" if len(kinds) > MOST_NAMED else ", ".join(first[:-1]) + f" or {first[-1]}"
    )
    return Reading(Certainty.AMBIGUOUS, alternatives=kinds, doubts=(f"It can be {listed}.",))


def _turned(reading: Reading, parsed: Label) -> Reading:
    """Words that turn a name into something else."""
    out = any(word.value == "output" for found in parsed.found for word in found.words if word.facet == "outside")
    if "spare" in parsed.values("none"):
        return doubtful(reading, "It says spare: a row that is kept free, or a spare line.", (reading.what, ""))
    if reading.what == TALKBACK and ("return" in parsed.values("none") or out):
        return doubtful(
            reading,
            "Talkback from the house to the ears is the house's line, not a source of the band.",
            (TALKBACK, ""),
        )
    outside = "output" if out else parsed.outside
    if outside:
        return doubtful(reading, OUTSIDE[outside], (reading.what, ""))
    if parsed.has("turns"):
        return doubtful(reading, "A word in it may turn it into something else.", (reading.what, OTHER))
    if reading.what == OVERHEAD and "stage" in parsed.tokens:
        return doubtful(reading, "It may hang over the stage, not over the kit.", (OVERHEAD, OTHER))
    return reading


def _between(reading: Reading, parsed: Label) -> Reading:
    """A word that is not known, right before the name, may turn it into something else; before a voice it is the
    singer.
    """
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
    reading = replace(
        reading,
        position=position,
        place=place,
        role=next(iter(parsed.values("role")), "") if reading.what == VOCAL else "",
    )
    if both and "mono" in parsed.values("stereo"):
        return doubtful(replace(reading, rows=0), "It says mono and stereo.")
    if both:
        reading = replace(reading, rows=2, pair=True)
        return (
            reading
            if reading.what in TWO_LEGGED or not sides
            else doubtful(replace(reading, rows=0), _two_players(reading))
        )
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


def _described(reading: Reading, parsed: Label, said: Label, beside: Beside) -> Reading:
    """How it is picked up, whose it is, and what else was said: in the label itself, or else beside it."""

    def one(facet: str) -> str:
        return next(iter(parsed.values(facet) or said.values(facet)), "")

    captures = _captures(parsed, said)
    phantom = one("phantom")
    if phantom == "yes" and _capture(captures) == "wireless":
        # A receiver is never fed; what is fed is a microphone on a cable.
        reading, captures = doubtful(reading, FED_RECEIVER), ("mic",)
    if not phantom and captures == ("mic condenser",):
        # Condenser microphones are fed by phantom (IEC 61938); one with its own supply is the exception that the row
        # editor is for.
        phantom = "yes"
    stand = (
        _stand(plain_tokens(beside.stand), COLUMN_STAND_WORDS)
        or _stand(parsed.tokens, STAND_WORDS)
        or _stand(said.tokens, STAND_WORDS)
    )
    return replace(
        reading,
        capture=_capture(captures),
        phantom=phantom,
        stand=stand,
        owner=one("owner"),
        place=reading.place or one("place"),
        optional=parsed.has("optional") or said.has("optional"),
        leads=parsed.has("leader") and reading.what == VOCAL,
    )


def _capture(captures: tuple[str, ...]) -> str:
    """One way of picking it up; nothing where several are named, as in *microphone or DI*."""
    plain = {capture.partition(" ")[0] for capture in captures}
    exact = {capture for capture in plain if capture.startswith("di-")}
    if exact:
        plain = (plain - {"di", "line"}) if len(exact) == 1 else plain
    if plain == {"di", "line"}:
        return "di"
    if "wireless" in plain and plain <= {"mic", "wireless", "line"}:
        # Its transmitter has a microphone, its receiver an output at line level.
        return "wireless"
    return plain.pop() if len(plain) == 1 else ""


def _stand(tokens: tuple[str, ...], words: Mapping[tuple[str, ...], str]) -> str:
    """The stand that the words name; two words that belong together have the first say."""
    pairs = (tokens[at : at + 2] for at in range(len(tokens) - 1))
    return next((words[phrase] for phrase in (*pairs, *((token,) for token in tokens)) if phrase in words), "")


def _stem(label: str, reading: Reading, parsed: Label) -> str:
    """The label without the words that tell its parts apart."""
    facet = "inside" if reading.parts and reading.parts[0].position else "capture"
    told = {
        token for found in parsed.found for word in found.words if word.facet == facet for token in found.text.split()
    }
    return without_words(without_quantity(label), told) if reading.parts else ""


def _label(label: str, reading: Reading, parsed: Label) -> str:
    """The label of the rows that it becomes, before a number or a word tells them apart."""
    if counted(parsed).quantity is not None and reading.rows:
        label = without_quantity(label)
    return singular(label) if reading.rows > 1 and not reading.pair else label


def _apart(label: str, reading: Reading, parsed: Label) -> tuple[str, ...]:
    """The labels of the sources that it names one by one, where each of them is plain."""
    found = pieces(label) if reading.asks_kind and not reading.what and len(parsed.nouns) > 1 else ()
    if not 1 < len(found) <= MOST_ROWS:
        return ()
    return (
        found
        if all(one.certainty is Certainty.SURE and one.rows == 1 and one.what for one in map(read_label, found))
        else ()
    )
