"""The kinds of answer a question can have: how one is read from text, checked, and said again.

Reading is tolerant ("32 ch" is 32); checking is strict, because the same checks guard the file format and what the
database hands back.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import ceil


class NotAnAnswer(ValueError):  # noqa: N818 - named for what it says, and caught by that name
    """What was typed cannot be an answer. ``why`` is the key of the sentence to show at the field, ``said`` what stands
    in it.
    """

    def __init__(self, why: str, **said: object) -> None:
        super().__init__(why)
        self.why = why
        self.said = said


Value = str | int


@dataclass(frozen=True)
class Option:
    """One choice: stable key, words on the page."""

    key: str
    words: str


@dataclass(frozen=True)
class Choice:
    """One of a few options. New options go last; a key is never re-used."""

    options: tuple[Option, ...]

    def read(self, text: str) -> Value:
        """The chosen key. Raises ``NotAnAnswer`` when nothing on the list was chosen."""
        return self.check(text.strip())

    def check(self, value: object) -> Value:
        """The value itself when it is one of the keys; raises ``NotAnAnswer`` otherwise."""
        for option in self.options:
            if option.key == value:
                return option.key
        raise NotAnAnswer("choice", options=tuple(option.words for option in self.options))

    def say(self, value: Value) -> str:
        """The option in words."""
        return next((option.words for option in self.options if option.key == value), str(value))


@dataclass(frozen=True)
class Count:
    """A whole number with limits and the word for what is counted; ``numbered``: it is a socket's number, which people
    write with the socket's name before it.
    """

    lo: int
    hi: int
    unit: str
    numbered: bool = False

    def read(self, text: str) -> Value:
        """The number in a text such as "32", "32 ch" or " 32 inputs", and in "Out 8" where it is ``numbered``. Raises
        ``NotAnAnswer``.
        """
        before = r"(?:[^\W\d_]{1,20}\.? ?){0,2}" if self.numbered else ""
        match = re.fullmatch(rf"\s*{before}(\d{{1,6}})\s*[a-zA-Z. ]{{0,20}}\s*", text)
        if not match:
            raise NotAnAnswer("count", lo=self.lo, hi=self.hi, example=min(max(self.lo, 12), self.hi))
        return self.check(int(match.group(1)))

    def check(self, value: object) -> Value:
        """The number itself when it lies within the limits; raises ``NotAnAnswer`` otherwise."""
        if isinstance(value, bool) or not isinstance(value, int) or not self.lo <= value <= self.hi:
            raise NotAnAnswer("count-limits", lo=self.lo, hi=self.hi)
        return value

    def say(self, value: Value) -> str:
        """The number with its unit."""
        return f"{value} {self.unit}".strip()


_LENGTH = r"(\d{1,4})(?:[.,](\d{1,2}))?\s*(m|metres?|meters?|ft|foot|feet|['\u2032])?"
_DISTANCE = re.compile(rf"\s*{_LENGTH}(?:\s*(?:-|\u2013|to)\s*{_LENGTH})?\s*", re.IGNORECASE)
CM_IN_FOOT = 30.48


@dataclass(frozen=True)
class Distance:
    """A distance in metres, kept as whole centimetres. Feet are understood, and of a range the longer counts: a cable
    that is too long reaches.
    """

    hi_cm: int

    def read(self, text: str) -> Value:
        """Centimetres from "12", "12,5 m", "50 ft" (rounded up), "15-20 m". Raises ``NotAnAnswer``."""
        match = _DISTANCE.fullmatch(text)
        if not match:
            raise NotAnAnswer("distance", hi=self.hi_cm // 100)
        parts = match.groups()
        several = [one for one in (parts[:3], parts[3:]) if one[0]]
        # "15-20 ft" means feet both times.
        return self.check(max(_centimetres(whole, rest, unit or several[-1][2]) for whole, rest, unit in several))

    def check(self, value: object) -> Value:
        """The centimetres themselves when within the limit; raises ``NotAnAnswer`` otherwise."""
        if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= self.hi_cm:
            raise NotAnAnswer("distance-limits", hi=self.hi_cm // 100)
        return value

    def say(self, value: Value) -> str:
        """Metres, with a decimal only where there is one."""
        whole, rest = divmod(int(value), 100)
        return f"{whole} m" if rest == 0 else f"{whole}.{rest:02d}".rstrip("0") + " m"


def _centimetres(whole: str, rest: str | None, unit: str | None) -> int:
    hundredths = int(whole) * 100 + int((rest or "0").ljust(2, "0"))
    return hundredths if (unit or "m").lower().startswith("m") else ceil(hundredths * CM_IN_FOOT / 100)


@dataclass(frozen=True)
class Sockets:
    """A list of socket numbers, kept as canonical text such as "1-8, 11"."""

    hi: int

    def read(self, text: str) -> Value:
        """The canonical list from "1-8 and 11" or "1 to 8, 11". Raises ``NotAnAnswer``."""
        return write_numbers(self._numbers(text))

    def check(self, value: object) -> Value:
        """The list in canonical text; raises ``NotAnAnswer`` when it is not a list of numbers within the limit."""
        if not isinstance(value, str):
            raise NotAnAnswer("sockets")
        return self.read(value)

    def say(self, value: Value) -> str:
        """The list as written on the box."""
        return f"sockets {value}"

    def _numbers(self, text: str) -> tuple[int, ...]:
        tidy = re.sub(r"\s*(?:-|–|to)\s*", "-", text.strip().lower().replace("and", ","))
        numbers: set[int] = set()
        for part in filter(None, re.split(r"[,;\s]+", tidy)):
            match = re.fullmatch(r"(\d{1,4})(?:-(\d{1,4}))?", part)
            if not match:
                raise NotAnAnswer("socket", part=part[:20])
            first, last = int(match.group(1)), int(match.group(2) or match.group(1))
            if not 1 <= first <= last <= self.hi:
                raise NotAnAnswer("socket-limits", hi=self.hi, part=part)
            numbers.update(range(first, last + 1))
        if not numbers:
            raise NotAnAnswer("sockets")
        return tuple(sorted(numbers))


@dataclass(frozen=True)
class Text:
    """Free words of limited length."""

    longest: int
    lines: int = 1

    def read(self, text: str) -> Value:
        """The text without outer blanks. Raises ``NotAnAnswer`` when empty or too long."""
        return self.check(text.strip())

    def check(self, value: object) -> Value:
        """The text itself when it is not empty and short enough; raises ``NotAnAnswer`` otherwise."""
        if not isinstance(value, str) or not value.strip():
            raise NotAnAnswer("no-words")
        if len(value) > self.longest:
            raise NotAnAnswer("too-long", longest=self.longest, length=len(value))
        return value

    def say(self, value: Value) -> str:
        """The words as written."""
        return str(value)


AnswerKind = Choice | Count | Distance | Sockets | Text


def read_numbers(text: str) -> tuple[int, ...]:
    """The numbers of a canonical list ("1-8, 11"), in order."""
    numbers: list[int] = []
    for part in text.split(", "):
        first, _, last = part.partition("-")
        numbers.extend(range(int(first), int(last or first) + 1))
    return tuple(numbers)


def write_numbers(numbers: tuple[int, ...]) -> str:
    """The canonical list of ascending numbers: runs of two or more become "1-8"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)
