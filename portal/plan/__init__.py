"""The planning engine: how the band's signals reach the house desk.

Pure: no web, no database, no clock, no randomness, no files; only ``solving/loaded_program.py`` imports a
third-party package. One door, ``reconcile``.

How it thinks, in the order of its folders:

1. ``input/``: what the band owns and what the house said become *facts*, each with its origin; what nobody said is
   assumed, and marked so.
2. ``options/``: sources become *units* (a mono source or a stereo pair), ``routing_policy.py`` says what is given up
   first and last. Every way in which a unit can reach the house becomes a *pick*, every limit a *row* with the tag of
   the requirement behind it.
3. ``solving/``: the picks that give up least, by strict priority; then what is carried, then plugs, then one canonical
   choice. Where nothing fits, the smallest set of facts that clash, and changes that were solved again and do help.
4. ``result/``: the choice becomes lines with sockets, channels and loom ways; each says why.
5. ``rules/``: checks on the *unchecked plan*. What is said is a *phrase*, a key and typed values (``phrase.py``);
   ``portal/wording`` puts it into words.
6. ``signed/``: what a signature covers, its canonical spelling and hash, and the difference between two plans.
"""

from portal.plan.input.questions import QUESTIONS
from portal.plan.model import NoPlan, Plan
from portal.plan.reconcile import reconcile
from portal.plan.registry import RULES

__all__ = ["QUESTIONS", "RULES", "NoPlan", "Plan", "reconcile"]
