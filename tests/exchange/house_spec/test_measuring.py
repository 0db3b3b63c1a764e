"""Numbers with units, however people write them."""

import pytest

from portal.exchange.house_spec.text.measuring import measured
from portal.exchange.house_spec.text.scanning import Token, scanned
from portal.exchange.house_spec.text.vocabulary import languages_of, understood, vocabulary


def quantities(text: str) -> list[Token]:
    """What was measured in a text of the language that its words tell, or that stands before it in brackets."""
    language, _, rest = text.rpartition("] ")
    raw = list(scanned(rest, 0, len(rest)))
    tokens = understood(raw, vocabulary((language.strip("[ "),) if language else languages_of(raw)))
    return [token for token in measured(tokens) if token.kind not in {"word", "sign", "stop"}]


@pytest.mark.parametrize(
    ("text", "cm"),
    [
        ("8m", 800), ("8.5 m", 850), ("8,50 Meter", 850), ("1,250 m", 125), ("60 cm", 60), ("900mm", 90), ("40'",
        1219), ("6'6\"", 198),
        ("6' 6\"", 198),
        ("24 ft", 732), ('30"', 76), ("2m80", 280), ("4 meter 20", 420), ("twelve metres", 1200), ("sieben Meter", 700),
        ("three feet six inches", 107),
        ("[spanish] un metro y medio", 150), ("[italian] mezzo metro", 50), ("[french] 22 pi", 671),
    ],
)  # fmt: skip
def test_a_length_is_centimetres(text: str, cm: int) -> None:
    """Metres, feet and inches with points, commas, signs and words."""
    (found,) = quantities(text)
    assert (found.kind, found.whole) == ("length", cm)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("8 x 6 m", (800, 600)), ("8m x 6m", (800, 600)), ("8,00 × 5,50 m", (800, 550)), ("2x1 m", (200, 100)),
        ("40' x 32'", (1219, 975)),
        ("24' x 18' x 30\"", (732, 549, 76)), ("12.0m W x 9.0m D x 1.1m H", (1200, 900, 110)), ("9 m (L) × 7 m (P)",
        (900, 700)),
        ("10 por 7 metros", (1000, 700)), ("sieben mal fünf Meter", (700, 500)), ("10 mètres sur 8", (1000, 800)),
        ("7 x 5 x 1,20 m", (700, 500, 120)),
    ],
)  # fmt: skip
def test_a_size_is_two_or_three_lengths(text: str, parts: tuple[int, ...]) -> None:
    """The unit may stand at each number, or once; letters for width and depth may stand between."""
    (found,) = quantities(text)
    assert (found.kind, found.parts) == ("size", parts)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("23:00", 1380), ("23.00 Uhr", 1380), ("23h", 1380), ("23h30", 1410), ("23 h 30", 1410), ("11pm", 1380),
        ("10:30 PM", 1350), ("12 am", 0),
        ("24:00", 0), ("1h00", 60), ("ore 24", 0), ("21 Uhr 30", 1290), ("midnight", 0), ("minuit et demi", 30),
        ("2:00 a. m.", 120),
        ("00.30 uur", 30),
    ],
)  # fmt: skip
def test_a_time_of_day_is_minutes(text: str, minutes: int) -> None:
    """Twenty-four hours or twelve, with colon, point or the letter of the country."""
    (found,) = quantities(text)
    assert (found.kind, found.whole) == ("clock", minutes)


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        ("99 dB(A)", "level", "99 dB(A)"), ("102dBA", "level", "102 dB(A)"), ("118 dBC", "level", "118 dB(C)"),
        ("95 dB", "level", "95 dB"),
        ("470-608 MHz", "band", "470-608 MHz"), ("470–608 MHz", "band", "470-608 MHz"), ("between 606 and 614 MHz",
        "band", "606-614 MHz"),
        ("526÷542 MHz", "band", "526-542 MHz"), ("863 MHz", "band", "863 MHz"), ("[spanish] 560 a 572 MHz", "band",
        "560-572 MHz"),
    ],
)  # fmt: skip
def test_levels_and_bands_are_said_one_way(text: str, kind: str, said: str) -> None:
    """The same words whatever the sign between the numbers."""
    assert [(one.kind, one.said) for one in quantities(text)] == [(kind, said)]


def test_two_bands_with_one_unit_are_two() -> None:
    """The unit behind the last band holds for the first as well."""
    assert [one.said for one in quantities("470-478 en 502-510 MHz")] == ["470-478 MHz", "502-510 MHz"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("32ch", [("count", 32)]), ("1,200 people", [("count", 1200)]), ("1.200 Personen", [("count", 1200)]),
        ("1 200 places", [("count", 1200)]),
        ("two hundred and fifty", [("count", 250)]), ("[french] deux mille", [("count", 2000)]), ("two dozen",
        [("count", 24)]),
        ("forty-eight", [("count", 48)]),
        ("16A", [("amps", 16)]), ("32 A", [("amps", 32)]), ("sixty-three amp", [("amps", 63)]), ("63-amp", [("amps",
        63)]),
        ("15 min", [("minutes", 15)]), ("Leq 15'", [("minutes", 15)]), ("LAeq/30", [("minutes", 30)]),
        ("[french] un quart d'heure", [("count", 1),
        ("minutes", 15)]),
    ],
)  # fmt: skip
def test_counts_currents_and_minutes(text: str, expected: list[tuple[str, int]]) -> None:
    """Thousands parted by any sign, numbers in words, ratings and averaging times."""
    assert [(one.kind, one.whole) for one in quantities(text)] == expected


@pytest.mark.parametrize(
    ("text", "kind", "parts"),
    [
        ("A1-A32", "bank", (1, 32)),
        ("B1 to B12", "bank", (1, 12)),
        ("29-32", "run", (29, 32)),
        ("[spanish] 30 a 32", "run", (30, 32)),
        ("24/8", "pair", (24, 8)),
    ],
)
def test_runs_and_pairs_of_numbers(text: str, kind: str, parts: tuple[int, int]) -> None:
    """From a first to a last socket, or inputs and lines back."""
    (found,) = quantities(text)
    assert (found.kind, found.parts) == (kind, parts)


@pytest.mark.parametrize(
    "text", ["2.5 kW", "500 kg/m²", "€ 180", "12.05.2026", "15 %", "1.5 t", "48 V", "4 a.m", "16 a side"]
)
def test_other_numbers_are_no_count_of_anything(text: str) -> None:
    """Weights, money, dates and percentages are left alone, and a small word is no ampere."""
    assert not any(one.kind in {"amps", "length", "size", "level"} for one in quantities(text))
    assert all(one.kind in {"other", "clock", "count", "number"} for one in quantities(text))


def test_telephone_numbers_and_mail_addresses_are_one_token() -> None:
    """They hold numbers that count nothing; a date or a list of sockets is no telephone number."""
    assert [one.kind for one in quantities("+44 1632 960 417 and desk@house.example")] == ["phone", "mail"]
    assert [one.kind for one in quantities("01.02.2026")] == ["other"]
    assert "phone" not in {one.kind for one in quantities("inputs 1 2 3 4 5 6 7 8 9 10")}
