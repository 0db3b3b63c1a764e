"""``python -m tests.loadin.report > FILE``: every gig of the tests printed, loaded in and judged; faults by kind and
route, with examples.

Takes some minutes: everything is read off its PDF.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from dataclasses import dataclass

from portal.documents.rendering.pdf import pdf
from tests.loadin.faults import KINDS
from tests.loadin.gigs import generated, own, worked

EXAMPLES = 3
GENERATED = 200


@dataclass(frozen=True)
class Example:
    """One fault, and where it was found."""

    suite: str
    route: str
    gig: str
    text: str


def chosen(examples: list[Example]) -> list[Example]:
    """A few of them, as unlike each other as can be: by suite and route, then by gig."""
    kept: list[Example] = []
    for like in (lambda one: (one.suite, one.route), lambda one: one.gig, lambda one: one.text):
        for example in examples:
            if len(kept) < EXAMPLES and like(example) not in map(like, kept):
                kept.append(example)
    return kept


def main() -> None:
    """Print the tables."""
    suites = {"worked cases": worked(), "own lists": own(), "generated": list(generated(GENERATED))}
    counts: Counter[tuple[str, str]] = Counter()
    by_suite: dict[str, Counter[str]] = defaultdict(Counter)
    gigs: Counter[str] = Counter()
    rows: Counter[str] = Counter()
    examples: dict[str, list[Example]] = defaultdict(list)
    out = ["# Load-ins", ""]
    for suite, some in suites.items():
        found = rowed = blocked = 0
        for gig in some:
            report = gig.load_in(pdf)
            gigs[gig.route] += 1
            rows[gig.route] += report.rows
            found, rowed, blocked = found + len(report.faults), rowed + report.rows, blocked + report.blocked
            for fault in report.faults:
                counts[fault.kind, gig.route] += 1
                by_suite[suite][fault.kind] += 1
                examples[fault.kind].append(
                    Example(suite, gig.route, gig.name, f"*{gig.name}* ({gig.route}), {fault.row}: {fault.what}")
                )
        out.append(f"- {suite}: loadins={len(some)} rows={rowed} faults={found} blocked={blocked}")
    routes = sorted(gigs)
    out += ["", "| | " + " | ".join(routes) + " | all |", "|---|" + "---|" * (len(routes) + 1)]
    for name, tally in (("gigs", gigs), ("rows plugged", rows)):
        out.append(f"| {name} | " + " | ".join(str(tally[route]) for route in routes) + f" | {sum(tally.values())} |")
    for kind in KINDS:
        numbers = [counts[kind, route] for route in routes]
        out.append(f"| {kind} | " + " | ".join(str(number or "·") for number in numbers) + f" | {sum(numbers)} |")
    out += ["", "| kind | " + " | ".join(suites) + " |", "|---|" + "---|" * len(suites)]
    out += [f"| {kind} | " + " | ".join(str(by_suite[suite][kind] or "·") for suite in suites) + " |" for kind in KINDS]
    for kind, meaning in KINDS.items():
        if examples[kind]:
            out += ["", f"## {kind}: {meaning}", ""]
            out += [f"- {example.text}" for example in chosen(examples[kind])]
    sys.stdout.write("\n".join(out) + "\n")


if __name__ == "__main__":
    main()
