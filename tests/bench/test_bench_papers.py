"""The other papers through the worker against WeasyPrint alone on the same HTML, and the files that need no renderer. Figures, never gates."""

import statistics
import time
from collections.abc import Callable

import pytest

from portal.documents.label_sheet import tail_labels
from portal.documents.labels import KINDS, Wish, labels
from portal.documents.page import page, show
from portal.documents.pdf import STYLESHEET, pdf
from portal.documents.registry import DOCUMENTS
from portal.documents.sizes import A4, SIZES
from portal.documents.worker import Worker
from portal.exchange.plan_file import PlanFile, plan_csv, plan_json, read_plan_csv, read_plan_json
from portal.exchange.tables import csv_bytes, xlsx_bytes
from portal.plan.canonical import Heading, content_hash
from tests.documents.plans import a_cover, plan_of

pytestmark = pytest.mark.bench

TURNS = 5
RULE = f"@page label-page {{ size: {A4.width_mm}mm {A4.height_mm}mm }}"


def median_ms(deed: Callable[[], object]) -> float:
    """Median of several turns after one that does not count, in milliseconds."""
    deed()
    taken = []
    for _ in range(TURNS):
        begun = time.perf_counter()
        deed()
        taken.append((time.perf_counter() - begun) * 1000)
    return statistics.median(taken)


def say(text: str) -> None:
    print(text)  # noqa: T201 - a benchmark prints its figures


def html_of(key: str, count: int) -> str:
    if key != "labels":
        return page(key, plan_of(count), a_cover(), STYLESHEET)
    made = labels(plan_of(count), a_cover(), Wish(tuple(KINDS), tail_labels(A4)))
    return show(DOCUMENTS["labels"], made, STYLESHEET, A4, RULE)


@pytest.mark.parametrize("count", [20, 128])
@pytest.mark.parametrize("key", ["input-list", "labels"])
def test_papers_against_bare_weasyprint(key: str, count: int) -> None:
    """Building the page, then the worker, beside the bare library on the same page."""
    build = median_ms(lambda: html_of(key, count))
    html = html_of(key, count)
    bare = median_ms(lambda: pdf(html))
    with Worker() as worker:
        worker.warm()
        ours = median_ms(lambda: worker.render(html))
    say(f"paper={key} lines={count} html_ms={build:.1f} worker_ms={ours:.0f} bare_ms={bare:.0f} ratio={ours / bare:.2f}")


def test_files_without_a_renderer() -> None:
    """Rows and whole plans, written and read back."""
    plan = plan_of(128)
    table = DOCUMENTS["input-list"].table(plan, a_cover())
    file = PlanFile(Heading("g", "2027-03-12", "p"), 7, content_hash(plan, Heading("g", "2027-03-12", "p")), plan)
    as_json, as_csv = plan_json(file), plan_csv(file)
    figures = {
        "csv": lambda: csv_bytes(table.heads, table.numbers, table.rows),
        "xlsx": lambda: xlsx_bytes(table.title, table.heads, table.numbers, table.rows),
        "json": lambda: plan_json(file),
        "json_back": lambda: read_plan_json(as_json),
        "plan_csv": lambda: plan_csv(file),
        "plan_csv_back": lambda: read_plan_csv(as_csv),
    }
    say(f"files lines=128 sizes={len(SIZES)} " + " ".join(f"{name}_ms={median_ms(deed):.1f}" for name, deed in figures.items()))
