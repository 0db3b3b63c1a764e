"""The text of a PDF, read by a process of its own with narrow limits: whatever the file holds, it costs no more than
they allow.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from portal.exchange.house_spec.text.given import SpecNotReadable, Unreadable

ROOT = Path(__file__).parents[4]
DEADLINE_S = 30.0
"""Longest time in seconds; forty full pages take about a tenth of it on two slow cores. The child's own limit of
processor time is shorter.
"""

MOST_OUT_BYTES = 4_000_000
"""Longest answer of the child, several times what its cap on signs can make."""

_HANDED_ON = ("LANG", "LC_ALL", "LD_LIBRARY_PATH", "PATH", "PYTHONPATH")
"""The portal's settings may hold secrets: the child gets only what the loader needs."""


def pdf_text(content: bytes) -> str:
    """The text of every page, as laid out, pages parted by form feeds. Raises ``SpecNotReadable``."""
    try:
        done = subprocess.run(
            [sys.executable, "-m", "portal.exchange.house_spec.text.pdf_child"],
            input=content,
            capture_output=True,
            cwd=ROOT,
            env={name: os.environ[name] for name in _HANDED_ON if name in os.environ},
            timeout=DEADLINE_S,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise SpecNotReadable(Unreadable.TOO_MUCH_WORK) from None
    kind, _, text = done.stdout[:MOST_OUT_BYTES].decode("utf-8", "replace").partition("\n")
    if done.returncode == 0 and kind == "text":
        return text
    if done.returncode == 0 and kind in set(Unreadable):
        raise SpecNotReadable(Unreadable(kind))
    # It died without a word: no memory, no processor time, or no library.
    raise SpecNotReadable(Unreadable.TOO_MUCH_WORK if done.returncode < 0 else Unreadable.BROKEN)
