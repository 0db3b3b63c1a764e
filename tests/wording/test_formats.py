"""What is said of dates, numbers and lists, in English and in another language."""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.plan.phrase import SEMICOLONS, Listed, Phrase
from portal.wording import catalogue, formats, times
from portal.wording.plan.saying import say
from tests.wording.texts import saying

GERMAN = """
msgid ""
msgstr "Content-Type: text/plain; charset=utf-8\\nPlural-Forms: nplurals=2; plural=(n != 1);\\n"
msgctxt "pattern of a date"
msgid "EEE d MMM y"
msgstr "EEE d. MMM y"
msgid "%(clock)s next day"
msgstr "%(clock)s am Folgetag"
msgid "next day"
msgstr "am Folgetag"
msgid "Load-in"
msgstr "Aufbau"
msgid "%(num)s line"
msgid_plural "%(num)s lines"
msgstr[0] "%(num)s Weg"
msgstr[1] "%(num)s Wege"
"""


@pytest.fixture
def german(tmp_path: Path):
    """A portal with a German catalogue."""
    with saying(tmp_path, "de", GERMAN):
        yield


@given(st.dates(date(1990, 1, 1), date(2060, 12, 31)))
def test_an_english_date_has_its_short_names(day: date) -> None:
    """Weekday, day, three letters of the month, year."""
    assert times.say_date(day) == f"{day:%a} {day.day} {day:%b %Y}"


@given(st.integers(0, 999_999).map(lambda hundredths: hundredths / 100))
def test_an_english_number_ends_without_zeros(value: float) -> None:
    """A point, no groups, no zeros at the end."""
    assert formats.say_number(value) == f"{value:.2f}".rstrip("0").rstrip(".")


@pytest.mark.parametrize(
    ("parts", "said"),
    [("", ""), ("A", "A"), ("AB", "A and B"), ("ABC", "A, B and C"), ("ABAC", "A, B and C")],
)
def test_a_list_names_each_once(parts: str, said: str) -> None:
    """Commas, and one word before the last."""
    assert formats.join_and(parts) == said
    assert formats.join_or(parts) == said.replace("and", "or")


@pytest.mark.usefixtures("german")
def test_another_language_writes_its_own_way() -> None:
    """Date, number, list, count and word follow the reader's language, and English comes back afterwards."""
    moment = datetime(2026, 12, 5, 18, 4, tzinfo=UTC)
    with catalogue.read_in("de"):
        assert times.say_moment(moment, "Europe/Berlin") == "Sa. 5. Dez. 2026, 19:04"
        assert times.say_minutes(25 * 60) == "01:00 am Folgetag"
        assert times.read_minutes("1:00 am Folgetag") == times.read_minutes("1:00 next day") == 25 * 60
        assert formats.say_metres(12.5) == "12,5 m"
        assert formats.join_and("ABC") == "A, B und C"
        assert formats.join_or("AB") == "A oder B"
        assert times.TIME_WORDS["load-in"] == "Aufbau"
        assert catalogue.ngettext("%(num)s line", "%(num)s lines", 1) == "1 Weg"
        assert catalogue.ngettext("%(num)s line", "%(num)s lines", 4) == "4 Wege"
        assert catalogue.gettext("not in the catalogue") == "not in the catalogue"
    assert times.TIME_WORDS["load-in"] == "Load-in"


@pytest.mark.usefixtures("german")
@pytest.mark.parametrize(
    ("accepted", "chosen", "language"),
    [
        ("de-AT,de;q=0.9,en;q=0.8", (), "de"),
        ("fr,en;q=0.8,de;q=0.9", (), "de"),
        ("en-GB,de;q=0.5", (), "en"),
        ("de;q=0", (), "en"),
        ("de;q=x, ;;,", (), "en"),
        ("fr", (), "en"),
        ("", (), "en"),
        ("de", ("en",), "en"),
        ("en", ("xx", "de"), "de"),
        ("en", ("../../de",), "en"),
    ],
)
def test_a_reader_gets_a_language_that_there_is(accepted: str, chosen: tuple[str, ...], language: str) -> None:
    """What is chosen comes first, then the browser's wish by its weight, then English."""
    assert catalogue.preferred(catalogue.languages(), accepted, *chosen) == language


def test_a_language_without_a_catalogue_is_english() -> None:
    """Nobody is shown a half of nothing."""
    with catalogue.read_in("xx"):
        assert catalogue.language() == "en"


FRENCH = """
msgid ""
msgstr "Content-Type: text/plain; charset=utf-8\\n"
msgid "%(said)s; %(more)s"
msgstr "%(said)s\u202f; %(more)s"
msgid "%(head)s: %(words)s"
msgstr "%(head)s\u202f: %(words)s"
"""


def test_what_parts_clauses_is_the_language_s_own(tmp_path: Path) -> None:
    """A language that puts a space before semicolon and colon does so between what is put together too."""
    clauses = Listed(("a", "b 100%", "c"), SEMICOLONS)
    assert say(Phrase("these", {"things": clauses})) == formats.join_clauses(("a", "b 100%", "c")) == "a; b 100%; c"
    assert formats.join_clauses(()) == ""
    with saying(tmp_path, "fr", FRENCH), catalogue.read_in("fr"):
        assert say(Phrase("these", {"things": clauses})) == "a\u202f; b 100%\u202f; c"
        assert formats.headed("a", "b") == "a\u202f: b"
