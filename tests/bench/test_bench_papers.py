"""The papers through the worker against WeasyPrint alone on the same HTML, and the files that need no renderer.
Figures, never gates.
"""

import asyncio
import re
import statistics
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from weasyprint import HTML
from weasyprint.urls import URLFetcher, URLFetcherResponse

from portal.documents.labels.label_document import Wish, labels
from portal.documents.labels.label_kinds import KINDS
from portal.documents.labels.label_sheet import tail_labels
from portal.documents.registry import DOCUMENTS
from portal.documents.rendering.page import page, show
from portal.documents.rendering.pdf import _TYPES, ORIGIN, STYLESHEET, _assets
from portal.documents.rendering.sizes import A4, SIZES
from portal.documents.rendering.worker import Worker
from portal.exchange.plan_file import PlanFile, plan_csv, plan_json
from portal.exchange.spreadsheets.tables import csv_bytes, xlsx_bytes
from portal.plan.signed.serialization import Heading, content_hash
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


class Assets(URLFetcher):
    """The stylesheet and the typeface, as the portal's own fetcher gives them."""

    def fetch(self, url: str, _headers: object = None) -> object:
        return URLFetcherResponse(url, _assets()[url], {"Content-Type": _TYPES[Path(url).suffix]})


def bare(html: str) -> bytes:
    """The page by the library alone, in this process, with nothing of ours."""
    return bytes(HTML(string=html, base_url=ORIGIN, url_fetcher=Assets(), media_type="print").write_pdf(pdf_tags=True))


def html_of(key: str, count: int) -> str:
    if key != "labels":
        return page(key, plan_of(count), a_cover(), STYLESHEET)
    made = labels(plan_of(count), a_cover(), Wish(tuple(KINDS), tail_labels(A4)))
    return show(DOCUMENTS["labels"], made, STYLESHEET, A4, RULE)


@pytest.mark.parametrize("count", [20, 128])
@pytest.mark.parametrize("key", ["patch-sheet", "input-list", "labels", "stage-plot"])
def test_papers_against_bare_weasyprint(key: str, count: int) -> None:
    """Building the page, then the worker, beside the bare library on the same page."""
    build = median_ms(lambda: html_of(key, count))
    html = html_of(key, count)
    alone = median_ms(lambda: bare(html))
    with Worker(deadline_s=120) as worker:
        worker.warm()
        ours = median_ms(lambda: worker.render(html))
    say(
        f"paper={key} lines={count} html_ms={build:.1f} worker_ms={ours:.0f} bare_ms={alone:.0f}"
        f" ratio={ours / alone:.2f}"
    )


def test_memory_and_lag() -> None:
    """The child's memory before and after the longest papers, and how late an event loop wakes while 128 lines are
    rendered.
    """
    html = html_of("patch-sheet", 128)
    with Worker() as worker:
        worker.warm()
        before = memory_mb(worker)
        late = asyncio.run(lateness_ms(lambda: worker.render(html)))
        for key in ("labels", "patch-sheet"):
            worker.render(html_of(key, 128))
        after = memory_mb(worker)
    late.sort()
    middle, most = late[len(late) // 2], late[len(late) * 99 // 100]
    say(
        f"loop lag while 128 lines are rendered: turns={len(late)} p50_ms={middle:.1f} p99_ms={most:.1f}"
        f" max_ms={late[-1]:.1f}"
    )
    say(f"worker memory: warm_mb={before['VmRSS']} after_mb={after['VmRSS']} highest_mb={after['VmHWM']}")


def memory_mb(worker: Worker) -> dict[str, int]:
    status = Path(f"/proc/{worker._child.pid}/status").read_text()
    return {name: int(kb) // 1024 for name, kb in re.findall(r"(VmRSS|VmHWM):\s+(\d+) kB", status)}


async def lateness_ms(deed: Callable[[], object]) -> list[float]:
    """How much later than asked the loop wakes, every two milliseconds, while the deed runs in a thread."""
    running = asyncio.create_task(asyncio.to_thread(deed))
    late = []
    while not running.done():
        begun = time.perf_counter()
        await asyncio.sleep(0.002)
        late.append((time.perf_counter() - begun - 0.002) * 1000)
    await running
    return late


def test_files_without_a_renderer() -> None:
    """Rows and whole plans, written."""
    plan = plan_of(128)
    table = DOCUMENTS["input-list"].table(plan, a_cover())
    file = PlanFile(Heading("g", "2027-03-12", "p"), 7, content_hash(plan, Heading("g", "2027-03-12", "p")), plan)
    figures = {
        "csv": lambda: csv_bytes(table.heads, table.numbers, table.rows),
        "xlsx": lambda: xlsx_bytes(table.title, table.heads, table.numbers, table.rows),
        "json": lambda: plan_json(file),
        "plan_csv": lambda: plan_csv(file),
    }
    say(
        f"files lines=128 sizes={len(SIZES)} "
        + " ".join(f"{name}_ms={median_ms(deed):.1f}" for name, deed in figures.items())
    )
