"""What can be wrong at a load-in, by kind."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

KINDS: dict[str, str] = {
    # the van
    "not-packed": "something that a row needs is not in the van",
    "too-few-packed": "fewer of a thing are in the van than are plugged",
    "packed-in-vain": "something in the van has no use and is not called a spare",
    "stays-home-but-named": "something that stays at home stands on the sheet",
    # ends and places
    "ends-do-not-mate": "two ends that meet do not fit",
    "too-short": "a cable or loom does not reach",
    "two-on-one": "two things are to be plugged into one place, or one thing into two",
    "no-such-place": "a way, output, input or socket that is not there",
    # signals
    "wrong-signal": "a channel does not carry exactly what its row says",
    "one-leg": "a row says both legs of a pair, and only one arrives",
    "mono-not-made": "what the paper says makes one of two legs cannot do so here",
    "sum-not-made": "a row says several sources, and nothing on paper sums them",
    "wrong-level": "line level into a microphone input, or a pad where none belongs",
    "not-dry": "a row says untouched, and the band's processing is on it",
    "wrong-gain": "another side turns the gain than the row says",
    "wrong-pick-up": "microphone, DI, stand or owner are not those on the stage",
    "latency-apart": "two microphones of one sound, a pair, or microphone and DI travel paths of different latency",
    "ears-miss": "a source does not reach the in-ear mixes, and the paper does not say so",
    "no-transformer": "isolated lines are required, and a line has no transformer",
    "forgotten": "a source of the band stands nowhere on the sheet",
    # 48 V
    "phantom-from-nobody": "a source needs 48 V and gets none",
    "phantom-from-both": "a source gets 48 V from two sides",
    "phantom-harms": "48 V reaches what it can harm",
    # two places of the paper
    "two-answers": "two places of the papers contradict each other",
    "files-differ": "a downloaded file says something else than the sheet",
    # later on the night
    "cut-fails": "a row of the cut list cannot be carried out",
    "rack-untrue": "what the paper says of a dead rack does not come true",
    # what the paper leaves out
    "says-no-length": "the paper does not say how long a cable is",
    "says-no-connector": "the paper does not say what connector",
    "says-no-input": "the paper does not say into which input or which way",
    "says-no-output": "the paper does not say which output feeds what",
    "says-no-pick-up": "the paper does not say what picks a source up, or on what stand, where it is plugged",
    "says-no-transformer": "the paper does not say in which line a transformer lies",
    "says-no-carrier": "the paper does not say what carries an in-ear mix to its player",
    "says-no-return": "the paper does not say where a return comes from",
    "says-no-controls": "the paper does not say what the engineer mixes on, or which channels",
    "says-no-cut": "a row of the cut list does not say how: which output, what is re-plugged",
    "speaks-of-nothing": "the paper speaks of a box, a desk or a person that is not there",
    "untrue-reason": "a reason on paper is not true of this gig",
    "not-readable": "nobody can follow what stands there",
}
"""Kind -> what it means. A kind is never renamed lightly: marks and tables name it."""


@dataclass(frozen=True, order=True)
class Fault:
    """One thing that went wrong: its kind, the row where it shows, and what happened."""

    kind: str
    row: str
    what: str


@dataclass
class Report:
    """What a load-in found. ``blocked``: the sheet itself says that it may not be signed, so nobody plugged it.
    ``rows`` counts rows plugged.
    """

    faults: list[Fault] = field(default_factory=list)
    rows: int = 0
    blocked: bool = False

    def add(self, kind: str, row: object, what: str) -> None:
        """Note a fault once."""
        if kind not in KINDS:
            raise KeyError(kind)
        fault = Fault(kind, str(row), what)
        if fault not in self.faults:
            self.faults.append(fault)

    def kinds(self) -> set[str]:
        """The kinds that were found."""
        return {fault.kind for fault in self.faults}


def words(faults: Iterable[Fault]) -> str:
    """Faults as lines to read."""
    return "\n".join(f"{fault.kind}: {fault.row}: {fault.what}" for fault in sorted(faults))
