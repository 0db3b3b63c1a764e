"""How many rows a label stands for: its quantity, its numbers, its plural, left and right, both microphones of one
sound.
"""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from portal.exchange.band_list.label_reading import Beside, Part, Reading, doubtful
from portal.exchange.band_list.words.label_words import CLOSING, OPENING, Found, Label, parsed_label
from portal.exchange.band_list.words.list_words import NO_NAMES, listed
from portal.exchange.band_list.words.reading_words import (
    AUDIENCE,
    EKIT,
    EPIANO,
    KEYS,
    KICK,
    LOOPER,
    MODEL,
    NUMBERS,
    OVERHEAD,
    PIANO,
    PLAYBACK,
    SAX,
    SNARE,
    STRINGS,
    SYNTH_BASS,
    TOM,
    TROMBONE,
    TRUMPET,
    VOCAL,
)

MOST_ROWS = 16
"""More rows out of one label than this are no list of one band's inputs; such a number is asked about."""

INSIDE = {
    KICK: ("in", "out", "front", "rear"),
    SNARE: ("top", "bottom"),
    TOM: ("floor", "rack"),
    "drum.cajon": ("front", "rear", "in", "out"),
    "drum.djembe": ("top", "bottom"),
    VOCAL: ("front", "rear"),
}
"""Places that belong to a kind: where a microphone stands at it."""

OPPOSITE = (("in", "out"), ("top", "bottom"), ("front", "rear"), ("rack", "floor"))
"""Places that name two microphones where a label has both; rack and floor are two drums."""

TWO_MICROPHONES = {KICK: ("in", "out"), SNARE: ("top", "bottom")}
"""Drums of which *two* are rather two microphones of one."""

ONE_OR_TWO = frozenset({KEYS, EPIANO, PIANO, PLAYBACK, LOOPER, SYNTH_BASS, EKIT, AUDIENCE})
"""Kinds of which *two* may as well be left and right of one."""

TWO_LEGGED = ONE_OR_TWO | {OVERHEAD, MODEL, "drum.conga", "keyboard.accordion"}
"""Kinds whose left and right are two legs of one thing. Elsewhere left and right may as well be two players (common
practice, no source).
"""

SECTION = frozenset(
    {
        TRUMPET,
        TROMBONE,
        SAX,
        STRINGS,
        "wind.flutes.flute",
        "wind.reed.clarinet",
        "strings.violin",
        "strings.cello",
        "voice.choir",
        "x-other",
    }
)
"""Kinds of which several players may share a microphone."""

CAPTURES = frozenset(["mics", "dis", "micros", "mikros", "mikrofone", "microfoni", "microfonos", "microfoons"])

ONE_LINE = frozenset({PLAYBACK, "x-speech", "x-click", "x-cue"})
"""Kinds whose plural names no quantity: *announcements*, *cues*."""

BOTH = frozenset(["+", "&", "and", "und", "et", "y", "e", "en", "plus", "|", "/"])
EITHER = frozenset(["or", "oder", "ou", "o"])
CHANNELS = frozenset(
    listed(
        "ch, chs, chan, channel, channels, kanal, kanale, line, lines, input, inputs, canaux, voies, canales, canali,"
        " kanalen"
    )
)


class Count(NamedTuple):
    """The quantity that a label tells (*3 toms*, *x2*, *1-4*) and the number that it bears (*Tom 2*).

    ``of``: what is counted, ``mics`` or ``channels`` or the thing itself; ``open``: it may be a quantity or a number.
    """

    quantity: int | None = None
    bears: str = ""
    of: str = ""
    open: bool = False


def counted(parsed: Label) -> Count:
    """The quantity and the number of a label."""
    tokens = parsed.tokens
    first = min((found.at for found in parsed.nouns), default=len(tokens))
    plural = any(found.plural and found.noun for found in parsed.found) or any(
        _are_captures(found) for found in parsed.found
    )
    inside = {at for found in parsed.found for at in range(found.at, found.at + len(found.text.split()))}
    plurals = {found.at: found for found in parsed.found}
    count = Count()
    last = listed = 0
    for at, token in enumerate(tokens):
        number = NUMBERS.get(token) or (int(token) if token.isdecimal() and len(token) < 4 else None)  # noqa: PLR2004 - no count has four digits
        if number is None or at in inside or _is_measure(tokens, at):
            continue
        of = _what_is_counted(tokens, at, plurals.get(at + 1), first, plural=plural)
        if of is not None:
            count = count._replace(quantity=number, of=of or count.of)
        elif (
            at > first
            and count.bears
            and _before(tokens, at) in {"~", *BOTH}
            and (_before(tokens, at) != "|" or number == last + 1)
        ):
            listed = number - int(count.bears) + 1 if _before(tokens, at) == "~" else max(listed, 1) + 1
            last = number
        elif _stands_apart(tokens, at) and at > first and not count.bears:
            count = count._replace(open=True)
        elif at > first and not count.bears:
            count, last = count._replace(bears=str(number)), number
    return count._replace(quantity=listed, bears="") if listed > 1 or listed < 0 else count


def _are_captures(found: Found) -> bool:
    """True for a plural of microphones or DIs."""
    return any(word.facet == "capture" for word in found.words) and (found.plural or found.text in CAPTURES)


def _before(tokens: tuple[str, ...], at: int) -> str:
    return tokens[at - 1] if at else ""


def _after(tokens: tuple[str, ...], at: int) -> str:
    return tokens[at + 1] if at + 1 < len(tokens) else ""


def _is_measure(tokens: tuple[str, ...], at: int) -> bool:
    """True for an ordinal, a voltage, and a size such as *4x12*."""
    before, after = _before(tokens, at), _after(tokens, at)
    if after in ("nd", "rd", "th", "st", "v", "volt", "string", "inch", "m") or before == "p":
        return True
    return (after == "x" and _after(tokens, at + 1).isdecimal()) or (
        before == "x" and _before(tokens, at - 1).isdecimal()
    )


def _stands_apart(tokens: tuple[str, ...], at: int) -> bool:
    """True for a number that begins a bracket, or stands alone behind a colon or a dash: it may count or name."""
    return _before(tokens, at) in OPENING or (at == len(tokens) - 1 and _before(tokens, at) == "|")


def _is_alone_in_brackets(tokens: tuple[str, ...], at: int) -> bool:
    return _before(tokens, at) in OPENING and _after(tokens, at) in CLOSING


def _what_is_counted(
    tokens: tuple[str, ...], at: int, following: Found | None, first: int, *, plural: bool
) -> str | None:
    """What the number counts: ``mics``, ``channels``, empty for the thing itself; ``None`` where it is no quantity."""
    before, after = _before(tokens, at), _after(tokens, at)
    bracketed = before in OPENING
    captured = following is not None and any(word.facet == "capture" for word in following.words)
    if captured and following is not None and not following.noun and (_are_captures(following) or bracketed or not at):
        return "mics"
    if after in CHANNELS and (bracketed or at > first):
        return "channels"
    if after in ("x", "*") or before in ("x", "*"):
        return ""
    if tokens[at] in NUMBERS and (at < first or plural):
        return ""
    if (at < first and plural) or (at == 0 and first == 1):
        return ""
    return "" if plural and _is_alone_in_brackets(tokens, at) else None


def with_rows(reading: Reading, parsed: Label, beside: Beside, numbers: int | None) -> Reading:
    """The reading with the rows that the label stands for, or 0 and a doubt."""
    count = counted(parsed)
    reading = replace(reading, index=count.bears)
    quantity = count.quantity if count.quantity is not None else beside.quantity
    if (count.open and beside.quantity is None) or (
        count.quantity and beside.quantity not in (None, 1, count.quantity)
    ):
        return _how_many(reading)
    parts, sure = _parts(reading, parsed, beside, quantity)
    if parts:
        reading = replace(reading, position="", parts=parts, rows=len(parts))
        sure = sure and quantity in (None, len(parts)) and numbers in (None, 1, len(parts))
        return reading if sure else doubtful(replace(reading, rows=0), "It names two microphones: one row or two?")
    if quantity is not None and quantity > 1:
        return _of_quantity(reading, parsed, quantity, count.of, numbers)
    if quantity is None and numbers is not None and numbers > 1:
        two = numbers == 2 and reading.what in TWO_LEGGED and not count.bears  # noqa: PLR2004 - left and right
        return replace(reading, rows=numbers, pair=reading.pair or two)
    if reading.pair or reading.side or reading.rows == 0 or count.bears:
        return reading
    return _several_of(reading, parsed, numbers if quantity is None else 1, told=quantity is not None)


def _how_many(reading: Reading) -> Reading:
    return doubtful(replace(reading, rows=0), "How many rows is it?")


def _of_quantity(reading: Reading, parsed: Label, quantity: int, of: str, numbers: int | None) -> Reading:
    """The rows of a quantity: as many, a pair, or to be asked."""
    if quantity > MOST_ROWS or numbers not in (None, 1, quantity) or (reading.side and not reading.pair):
        return _how_many(reading)
    if quantity == 2:  # noqa: PLR2004 - left and right
        return _of_two(reading, parsed, of)
    if reading.pair:
        return doubtful(replace(reading, rows=0, pair=False), "It says stereo as well.")
    return _each(reading, parsed, quantity, of)


def _of_two(reading: Reading, parsed: Label, of: str) -> Reading:
    """The rows where there are two: a pair, two things, or to be asked."""
    if reading.what in TWO_MICROPHONES:
        told = TWO_MICROPHONES[reading.what]
        parts = tuple(Part(place, place, second=place != told[0]) for place in told)
        return doubtful(replace(reading, rows=0, parts=parts), "Two microphones of one, or two of them?")
    if reading.pair or reading.what == OVERHEAD or (of == "channels" and reading.what in TWO_LEGGED):
        return replace(reading, rows=2, pair="mono" not in parsed.values("stereo"))
    if reading.what in ONE_OR_TWO:
        return doubtful(replace(reading, rows=0), "Left and right of one, or two of them?")
    return _each(reading, parsed, 2, of)


def _each(reading: Reading, parsed: Label, quantity: int, of: str) -> Reading:
    """A row for each of several; of a section it is asked, since players share microphones."""
    if reading.what in SECTION and of not in ("mics", "channels") and not parsed.has("capture"):
        return doubtful(replace(reading, rows=0), "A microphone for each, or one for all?")
    return replace(reading, rows=quantity)


def _several_of(reading: Reading, parsed: Label, numbers: int | None, *, told: bool) -> Reading:
    """A pair of overheads, and plurals that leave the number open. ``told``: a quantity of one stands beside it."""
    heads = [found for found in parsed.nouns if not found.depth] or list(parsed.nouns)
    above = any(
        found.text in ("oh", "ovh", "uh") or (found.plural and found.noun and found.noun.kinds[:1] == (OVERHEAD,))
        for found in heads
    )
    if reading.what == OVERHEAD and above and "mono" not in parsed.values("stereo") and not told:
        if numbers == 1:
            return doubtful(replace(reading, rows=0), "It has one channel number: one microphone, or a pair?")
        return replace(reading, rows=2, pair=True)
    # "Lead vocals" and "Anna vocals" are one voice; "Anna and Ben vocals" are not.
    listed = any(token in BOTH - {"/"} for token in parsed.joiners)
    called = parsed.named or any(parsed.tokens[at] not in NO_NAMES for at in parsed.unknown)
    alone = reading.what == VOCAL and not listed and (reading.role == "lead" or bool(called) or parsed.has("player"))
    if any(found.plural for found in heads) and numbers is None and not alone and reading.what not in ONE_LINE:
        return doubtful(replace(reading, rows=0), "How many are there?")
    return reading


def _parts(reading: Reading, parsed: Label, beside: Beside, quantity: int | None) -> tuple[tuple[Part, ...], bool]:
    """The microphones that a label tells apart (*in/out*, *DI + mic*), and whether it surely means all of them."""
    said = parsed_label(beside.said)
    for told in (parsed, said) if quantity == 2 else (parsed,):  # noqa: PLR2004 - the remark says which two
        places = _places(reading, told)
        if places:
            return places, not _has_more(told) and "or" not in told.tokens
    for told in (parsed, said):
        captures, both = _captures(reading, told, own=told is parsed)
        if captures:
            return captures, both and (told is parsed or quantity == len(captures)) and not _has_more(told)
    return (), False


def _has_more(parsed: Label) -> bool:
    """True where more than two things are joined: what the third one is, nobody knows."""
    return sum(token in BOTH - {"|"} for token in parsed.joiners) > 1


def _places(reading: Reading, parsed: Label) -> tuple[Part, ...]:
    inside = [value for value in parsed.values("inside") if value in INSIDE.get(reading.what, ())]
    for pair in OPPOSITE:
        if set(pair) <= set(inside) and not parsed.has("role"):
            ordered = sorted(pair, key=inside.index)
            second = reading.what != TOM
            return tuple(
                Part(_word(parsed, "inside", value), value, second=second and place > 0)
                for place, value in enumerate(ordered)
            )
    return ()


def _captures(reading: Reading, parsed: Label, *, own: bool) -> tuple[tuple[Part, ...], bool]:
    """Two ways of picking up one sound, and whether the words between them say *both* rather than *one of them*.
    ``own``: they stand in the label.
    """
    told = [
        (found, word.value.partition(" ")[0])
        for found in parsed.found
        for word in found.words
        if word.facet == "capture"
    ]
    direct = next(((found, value) for found, value in told if value.startswith("di")), None)
    heard = next(((found, value) for found, value in told if value == "mic"), None)
    if (
        direct is None
        or heard is None
        or reading.what in ("", VOCAL)
        or any(value in ("line", "wireless") for _, value in told)
    ):
        return (), False
    one, other = sorted((direct, heard), key=lambda found: found[0].at)
    between = set(parsed.tokens[one[0].at + len(one[0].text.split()) : other[0].at])
    if between & EITHER or not between & (BOTH if own else BOTH - {"|"}):
        return (), False
    words = [
        "DI" if value.startswith("di") else found.text if own and " " not in found.text else "mic"
        for found, value in (one, other)
    ]
    parts = tuple(
        Part(word, capture=value, second=place > 0)
        for place, (word, (_, value)) in enumerate(zip(words, (one, other), strict=True))
    )
    return parts, "/" not in between


def _word(parsed: Label, facet: str, value: str) -> str:
    """The word by which a label says it, the plain one where that is a single letter or more than one word."""
    text = next(
        found.text for found in parsed.found for word in found.words if (word.facet, word.value) == (facet, value)
    )
    return text if len(text) > 1 and " " not in text else value
