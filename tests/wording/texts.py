"""Every text that the program marks to be translated, as a catalogue's template; and a catalogue of nonsense that shows
which texts are not marked: ``python -m tests.wording.texts LANGUAGE`` writes or updates that language's catalogue.
"""

import re
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract
from babel.messages.pofile import read_po, write_po

from portal.exchange.house_spec.topics import FREE_TOPICS
from portal.exchange.spreadsheets.source_columns import COLUMNS
from portal.plan.input.answer_kinds import Choice
from portal.plan.input.answer_places import PLACES
from portal.plan.input.facts import ORIGIN_WORDS
from portal.plan.input.questions import QUESTIONS, TOPICS
from portal.plan.model import DESK_SWITCH
from portal.plan.options.routing_policy import ROOM_WORDS, STEPS
from portal.plan.registry import RULES
from portal.plan.result.spelling import WHERE
from portal.wording import catalogue, templates
from portal.wording.plan.entry import Plural
from portal.wording.plan.saying import english_texts

ROOT = Path(__file__).parent.parent.parent

KEYWORDS = {
    "_": None,
    "gettext": None,
    "mark": None,
    "ngettext": (1, 2),
    "pgettext": ((1, "c"), 2),
}
SLOT = re.compile(r"%\((\w+)\)s|\{(\w+)\}")
NO_WORDS = re.compile(r"%\(\w+\)s|\{\w+\}|%%|<[^>]*>|&\w+;")
"""Slots, tags and whatever else of a text is the same in every language."""
PATTERN = "pattern of "
"""Meanings that begin so are patterns of Babel's and no words."""


def sources() -> Iterator[tuple[Path, str]]:
    """Each file that may hold a text, with what reads it."""
    for file in sorted((ROOT / "portal").rglob("*.py")):
        if "wording.catalogue" in file.read_text("utf-8"):
            yield file, "python"
    for file in sorted((ROOT / "templates").rglob("*.html")):
        yield file, "jinja2.ext:babel_extract"


def of_the_engine() -> Iterator[str]:
    """What the engine keeps in English beside its keys: it knows no catalogue."""
    for topic in TOPICS:
        yield topic.title
    for question in QUESTIONS.values():
        yield from (question.house, question.band, question.why, question.help)
        yield from (getattr(question, "not_here", ""), question.assumed_words, question.seen.label)
        yield from question.seen.words.values()
        if isinstance(question.kind, Choice):
            yield from (option.words for option in question.kind.options)
    yield from PLACES.values()
    yield from (*DESK_SWITCH.values(), *WHERE.values())
    for rule in RULES.values():
        yield from (rule.explained, rule.example)
    for step in STEPS.values():
        yield from (step.words, step.how)
    yield from (*ROOM_WORDS.values(), *ORIGIN_WORDS.values())
    for topic in FREE_TOPICS.values():
        yield topic.title
        if isinstance(topic.kind, Choice):
            yield from (option.words for option in topic.kind.options)


def of_the_rig() -> Iterator[str]:
    """What the columns of a rig's rows mean, and the kinds of sources: read by the band alone."""
    for column in COLUMNS:
        yield column.key.doc


def file_of(folder: Path, name: str) -> Path:
    """Where a language's catalogue lies."""
    return folder / name / "LC_MESSAGES" / "portal.po"


@contextmanager
def only(folder: Path, *, for_everybody: bool = True) -> Iterator[None]:
    """The portal with the catalogues of a folder and no others, for both sides or for the house alone."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(catalogue, "FOLDER", folder)
        _forget_languages()
        if for_everybody:
            patch.setattr(catalogue, "EVERYBODY_S", frozenset(catalogue.languages()))
        yield
    _forget_languages()


def _forget_languages() -> None:
    for kept in (catalogue.languages, catalogue.everybody_s, catalogue._catalogue, templates._whole):
        kept.cache_clear()


@contextmanager
def saying(folder: Path, name: str, text: str, *, for_everybody: bool = True) -> Iterator[None]:
    """The portal with one catalogue of a language, by its text."""
    file = file_of(folder, name)
    file.parent.mkdir(parents=True)
    file.write_text(text, "utf-8")
    with only(folder, for_everybody=for_everybody):
        yield


def template() -> Catalog:
    """What every catalogue has to say, each text with the files that it stands in."""
    made = Catalog(project="portal", charset="utf-8", fuzzy=False)
    options = {"trimmed": "true", "silent": "false", "newstyle_gettext": "true"}
    for file, method in sources():
        with file.open("rb") as opened:
            for _line, text, notes, meaning in extract(method, opened, KEYWORDS, ("Translators:",), options):
                made.add(text, locations=[(file.relative_to(ROOT).as_posix(), 0)], auto_comments=notes, context=meaning)
    for text in of_the_engine():
        if text:
            made.add(text, locations=[("portal/plan/input", 0)])
    for text in of_the_rig():
        made.add(text, locations=[("portal/exchange/spreadsheets", 0)])
    for entry in english_texts():
        several = isinstance(entry, Plural)
        for text in [(entry.one, entry.many), entry.none] if several else [entry]:
            if text:
                made.add(text, locations=[("portal/wording/plan", 0)])
    return made


def texts_of(message: Message) -> tuple[str, ...]:
    """The English of a message: one text, or one for each count."""
    return message.id if isinstance(message.id, tuple) else (message.id,)


def slots(text: str) -> frozenset[str]:
    """The names of a text's slots."""
    return frozenset(slot[1] or slot[2] for slot in SLOT.finditer(text))


def faults(found: Catalog, wanted: Catalog, house: Catalog | None = None) -> list[str]:
    """What is wrong in a language's catalogue: missing of what it must say, which is all unless only what the ``house``
    reads; unused, unsure, or with other slots than the English.
    """
    said: list[str] = []
    for message in wanted:
        if not message.id:
            continue
        theirs = found.get(message.id, message.context)
        if theirs is None or not all(_strings(theirs)):
            if house is None or house.get(message.id, message.context):
                said.append(f"missing: {message.id}")
        elif theirs.fuzzy:
            said.append(f"unsure: {message.id}")
        else:
            may = frozenset().union(*map(slots, texts_of(message)))
            said += [
                f"slots: {message.id}" for one in _strings(theirs) if slots(one) - may or may - slots(one) - {"num"}
            ]
    return said + [f"unused: {one.id}" for one in found if one.id and wanted.get(one.id, one.context) is None]


def same(found: Catalog) -> set[str]:
    """The texts of a catalogue that it says as in English."""
    return {
        english
        for message in found
        if message.id
        for english, said in zip(texts_of(message), _strings(message), strict=False)
        if english == said
    }


def has_words(text: str) -> bool:
    """True for a text that is more than slots and signs, and no pattern."""
    return re.search(r"[^\W\d_]{2}", NO_WORDS.sub("", text)) is not None


def _strings(message: Message) -> tuple[str, ...]:
    return message.string if isinstance(message.string, tuple) else (message.string,)


ACCENTS = str.maketrans("aceinouyACEINOUY", "áçéíñöüýÁÇÉÍÑÖÜÝ")


def nonsense(text: str) -> str:
    """A text with accents, two fifths longer, its slots and tags as they are."""
    pieces: list[str] = []
    letters, at = 0, 0
    for kept in [*NO_WORDS.finditer(text), None]:
        plain = text[at : kept.start() if kept else len(text)]
        letters += len(plain.strip())
        pieces += [plain.translate(ACCENTS), kept[0] if kept else ""]
        at = kept.end() if kept else at
    more = -(-letters * 2 // 5)
    return "".join(pieces) + (" " + "ëñgö "[: max(more - 1, 1)] * 99)[:more].rstrip() + "é" if letters else text


def nonsense_catalogue(folder: Path, name: str) -> None:
    """Write a catalogue of nonsense under a language's name."""
    made = template()
    for message in made:
        if not message.id:
            continue
        if (message.context or "").startswith(PATTERN):
            message.string = message.id
        elif isinstance(message.id, tuple):
            message.string = tuple(map(nonsense, message.id))
        else:
            message.string = nonsense(message.id)
    write(file_of(folder, name), made, name)


def write_catalogue(folder: Path, name: str, said: Mapping[str, str]) -> None:
    """Write a language's catalogue that says a few texts."""
    made = Catalog(locale=name, charset="utf-8", fuzzy=False)
    for english, words in said.items():
        made.add(english, words)
    write(file_of(folder, name), made, name)


def write(file: Path, made: Catalog, name: str) -> None:
    """Write a catalogue."""
    made.locale = name
    file.parent.mkdir(parents=True, exist_ok=True)
    with file.open("wb") as opened:
        write_po(opened, made, width=0, sort_output=True, include_lineno=False, omit_header=False)


def main(name: str) -> None:
    """Bring a language's catalogue up to what the program says now; what is new there is still empty."""
    file = file_of(catalogue.FOLDER, name)
    now = Catalog(locale=name)
    if file.exists():
        with file.open("rb") as opened:
            now = read_po(opened, locale=name)
    now.update(template(), no_fuzzy_matching=True)
    now.obsolete.clear()
    write(file, now, name)


if __name__ == "__main__":
    main(sys.argv[1])
