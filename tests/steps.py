"""Counting work instead of timing it: a busy machine runs slower and counts the same."""

from __future__ import annotations

from cProfile import Profile
from types import TracebackType
from typing import Self


class Steps:
    """Counts the calls inside it, those of the program and those into what it is built on. A loop in C is one call:
    bound what it eats.
    """

    def __init__(self) -> None:
        self.count = 0
        self._calls = Profile()

    def __enter__(self) -> Self:
        self._calls.enable()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._calls.disable()
        self.count = sum(function.callcount for function in self._calls.getstats())
