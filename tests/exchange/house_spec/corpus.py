"""Invented specs of invented houses, and by hand what each of them states.

Beside each text lies a file of facts, one a line: ``topic = value``, with a question mark behind it where the text ties
the fact to a condition, gives two values, or does not say it outright, so that it may be proposed but not as sure.
Where a value is the house's own words, the fact is a part of them.
"""

from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from portal.exchange.house_spec.proposals import Certainty, Proposal, SpecReading
from portal.exchange.house_spec.reader import read_spec

FOLDER = Path(__file__).parent / "corpus"
NAMES = sorted(path.stem for path in FOLDER.glob("*.txt"))
OWN_WORDS = {"desk", "stays-plugged", "radio-coordinator", "contact-name", "contact-phone"}


@dataclass(frozen=True)
class Fact:
    """One stated fact; ``open``: it may not be proposed as sure."""

    topic: str
    value: str
    open: bool

    def is_met_by(self, one: Proposal) -> bool:
        """True for a proposal of this very fact."""
        if self.topic != one.topic:
            return False
        said = " ".join(str(one.value).split())
        return self.value.casefold() in said.casefold() if self.topic in OWN_WORDS else self.value == said


@dataclass
class Score:
    """What became of the facts of some texts."""

    stated: int = 0
    proposed: int = 0
    to_check: int = 0
    sure: int = 0
    sure_and_wrong: list[str] = field(default_factory=list)

    def add(self, other: "Score") -> None:
        """Count another text in."""
        self.stated += other.stated
        self.proposed += other.proposed
        self.to_check += other.to_check
        self.sure += other.sure
        self.sure_and_wrong += other.sure_and_wrong

    def say(self) -> str:
        """The figures in one line."""
        return (
            f"{self.stated} facts, proposed {self.proposed / self.stated:.1%}, of these to be checked"
            f" {self.to_check / self.proposed:.1%}; sure {self.sure}, sure and wrong {len(self.sure_and_wrong)}"
        )


def text_of(name: str) -> str:
    """The spec itself."""
    return (FOLDER / f"{name}.txt").read_text("utf-8")


def facts_of(name: str) -> list[Fact]:
    """What it states."""
    facts = []
    for line in (FOLDER / f"{name}.facts").read_text("utf-8").splitlines():
        if line.strip():
            topic, _, value = line.partition(" = ")
            facts.append(Fact(topic.strip(), value.strip().removesuffix(" ?").strip(), value.strip().endswith(" ?")))
    return facts


@cache
def reading_of(name: str) -> SpecReading:
    """The spec as read."""
    return read_spec(text_of(name))


def score(facts: list[Fact], reading: SpecReading) -> Score:
    """What became of the facts in a reading."""
    found = Score(stated=len(facts))
    for fact in facts:
        hits = [one for one in reading.proposals if fact.is_met_by(one)]
        found.proposed += bool(hits)
        found.to_check += bool(hits) and hits[0].certainty is Certainty.CHECK
        if fact.open and any(one.certainty is Certainty.SURE for one in hits):
            found.sure_and_wrong.append(f"{fact.topic} = {fact.value}: only to be checked")
    for one in reading.proposals:
        if one.certainty is Certainty.SURE:
            found.sure += 1
            if not any(fact.is_met_by(one) for fact in facts):
                found.sure_and_wrong.append(f"{one.topic} = {one.value}: {one.words!r}")
    return found
