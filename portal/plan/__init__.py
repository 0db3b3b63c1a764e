"""The planning engine: how the band's signals reach the house desk.

Pure: no web, no database, no clock, no randomness, no files; only ``solve.py`` imports a third-party package. One door,
``reconcile``.

How it thinks, in the order of its files:

1. ``rig.py``, ``questions.py``, ``facts.py``: what the band owns and what the house said become *facts*, each with its
   origin; what nobody said is assumed, and marked so.
2. ``units.py``, ``policy.py``: sources become *units* (a mono source or a stereo pair); the *ladder* says what is given
   up first and last.
3. ``columns.py``: every way in which a unit can reach the house becomes a *pick*, every limit a *row* with the tag of
   the requirement behind it.
4. ``solve.py``: the picks that give up least, by strict priority; then what is carried, then plugs, then one canonical
   choice.
5. ``routing.py``, ``numbering.py``, ``lines.py``: the choice becomes lines with sockets, channels and loom ways; each
   says why.
6. ``rules/``: checks on the finished plan; ``explain.py`` alone writes sentences.
7. ``conflicts.py``, ``remedies.py``: where nothing fits, the smallest set of facts that clash, and changes that were
   solved again and do help.
"""

from portal.plan.input.questions import QUESTIONS
from portal.plan.model import NoPlan, Plan
from portal.plan.reconcile import reconcile
from portal.plan.registry import RULES

__all__ = ["QUESTIONS", "RULES", "NoPlan", "Plan", "reconcile"]
