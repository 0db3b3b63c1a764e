"""What is looked up in a catalogue while something is done."""

from collections.abc import Iterator
from contextlib import contextmanager
from gettext import NullTranslations
from pathlib import Path

import pytest
from babel.messages.pofile import read_po

from portal.wording import catalogue
from tests.wording import texts
from tests.wording.sides import of_the_house

Asked = set[tuple[str, str | None]]
"""English texts with their meanings; of a text with counts the one for one."""


class Recorder(NullTranslations):
    """A catalogue that says everything in English and keeps what it was asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: Asked = set()

    def gettext(self, message: str) -> str:
        self.asked.add((message, None))
        return message

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        self.asked.add((msgid1, None))
        return super().ngettext(msgid1, msgid2, n)

    def pgettext(self, context: str, message: str) -> str:
        self.asked.add((message, context))
        return message


@contextmanager
def looked_up(folder: Path, name: str) -> Iterator[Asked]:
    """What is looked up inside in one language, which is the house's alone, and in no other."""
    recorder = Recorder()
    with texts.saying(folder, name, "", for_everybody=False), pytest.MonkeyPatch.context() as patch:
        patch.setattr(catalogue, "_catalogue", lambda one: recorder if one == name else NullTranslations())
        yield recorder.asked


def beyond(asked: Asked) -> list[str]:
    """What was looked up that is not marked, or that the band alone reads."""
    wanted = texts.template()
    known = {key for key in asked if (one := wanted.get(*key)) is not None and of_the_house(one)}
    return sorted(text for text, _meaning in asked - known if text)


def lacking(asked: Asked) -> dict[str, list[str]]:
    """Language -> what was looked up that its catalogue does not say."""
    found = {}
    for name in catalogue.languages():
        if name != catalogue.ENGLISH:
            with texts.file_of(catalogue.FOLDER, name).open("rb") as file:
                there = read_po(file, locale=name)
            missing = [text for text, meaning in asked if text and not getattr(there.get(text, meaning), "string", "")]
            found |= {name: sorted(missing)} if missing else {}
    return found
