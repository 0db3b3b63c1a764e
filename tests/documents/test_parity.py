"""The same facts on every paper and in every file: each is read back by another program and compared with the plan."""

import csv
import io
import json
import re
from dataclasses import dataclass, replace
from html import unescape

import openpyxl
import pytest

from portal.documents import input_list, pack_list
from portal.documents.day_sheet import day_page, day_sheet
from portal.documents.labels.label_document import Wish, labels, tail_labels
from portal.documents.labels.label_kinds import KINDS
from portal.documents.patch import patch_sheet
from portal.documents.patch.patch_rows import path_words
from portal.documents.registry import DOCUMENTS
from portal.documents.rendering.page import page, show
from portal.documents.rendering.pdf import STYLESHEET
from portal.documents.rendering.sizes import A4, SIZES
from portal.documents.stage import stage_plot
from portal.exchange.example import example_rig
from portal.exchange.plan_file import PlanFile, plan_csv, plan_json
from portal.exchange.spreadsheets.tables import csv_bytes, xlsx_bytes
from portal.plan import Plan, reconcile
from portal.plan.input.facts import Answer
from portal.plan.input.rig import Rig
from portal.plan.model import Line
from portal.plan.signed.serialization import Heading, content_hash
from portal.wording.plan.saying import say
from tests.documents.plans import a_cover, a_left_right_plan, plan_of
from tests.documents.reading import pages, squash
from tests.loadin.page import read_page
from tests.loadin.sheet import read_sheet
from tests.loadin.wording import phantom_of
from tests.plan.case_files import planned_cases
from tests.plan.outcomes import plan_of_case

_ = (input_list, pack_list, patch_sheet, stage_plot)

RIG = example_rig()


def worked(**given: object) -> Plan:
    answers = {key.replace("_", "-"): Answer("answered", value, "house", "") for key, value in given.items()}
    outcome = reconcile(RIG, answers)
    assert isinstance(outcome, Plan)
    return outcome


MADE = {
    "the example, split": lambda: worked(who_mixes="house-engineer", inputs_free=24, talkback="yes"),
    "the example, squeezed": lambda: worked(who_mixes="house-engineer", inputs_free=12),
    "14 lines": lambda: plan_of(14),
    "40 lines": lambda: plan_of(40),
    "128 lines": lambda: plan_of(128),
    "a pair": a_left_right_plan,
}
CASES = {case.name: case.rig for case in planned_cases()[::7] if case.expect["lines"]}


def plan_and_rig(name: str) -> tuple[Plan, Rig]:
    """Made when it is asked for: to list what there is costs no solve."""
    return (MADE[name](), RIG) if name in MADE else (plan_of_case(name), CASES[name])


@dataclass(frozen=True)
class Fact:
    """One fact of one line: which line, what is said of it, and the words that say it."""

    line: int
    name: str
    words: str


def socket(line: Line) -> str:
    return line.socket


def facts(plan: Plan) -> list[Fact]:
    """What whoever plugs or mixes needs of each line."""
    channel = {line.line: line.desk_channel for line in plan.lines}
    moved = {say(move.told) for move in plan.moves}
    found = []
    for line in plan.lines:
        said = {
            "channel": str(line.desk_channel),
            "socket": socket(line),
            "source": line.label,
            "strip": line.strip,
            "player": say(line.player),
            "mic": say(line.mic_or_di),
            "whose": line.owner,
            "phantom": line.phantom,
            "pad": str(line.pad_db) if line.pad_db else "",
            "polarity": "" if line.polarity == "normal" else line.polarity,
            "gain": line.gain_owner,
            "stand": "" if line.stand == "none" else line.stand,
            "stereo": str(channel[line.stereo_partner]) if line.stereo_partner else "",
            "path": path_words(line.path),
            "way": "" if line.path.way is None else str(line.path.way),
            "loom": line.loom.name if line.loom else "",
            "loom way": str(line.loom.way) if line.loom else "",
            "note": "; ".join(part for part in say(line.note).split("; ") if part not in moved),
        }
        found += [Fact(line.line, name, words) for name, words in said.items() if words]
    return found


WORDS = {"none": "–", "unknown": "not known", "band": "house OFF, band ON", "house": "ON, house"}


def rows_of_html(html: str, table: str) -> list[list[str]]:
    body = re.search(rf'<table class="{table}[^"]*">.*?</table>', html, re.DOTALL)
    if body is None:
        return []
    found = []
    for row in re.findall(r"<tr.*?</tr>", body[0], re.DOTALL):
        cells = re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)
        found.append([unescape(re.sub(r"<[^>]*>", "", cell)).strip() for cell in cells])
    return found


def missing_in_rows(wanted: list[Fact], row_of: dict[int, list[str]]) -> list[Fact]:
    """The facts whose words are no cell of their line's row."""
    return [
        fact
        for fact in wanted
        if fact.words not in row_of.get(fact.line, []) and WORDS.get(fact.words,
        fact.words) not in row_of.get(fact.line, [])
        and not any(fact.name in ("note", "source") and fact.words in cell for cell in row_of.get(fact.line, []))
    ]  # fmt: skip


def missing_in_text(wanted: list[Fact], texts: list[str], row_words: dict[int, str]) -> list[Fact]:
    """The facts of lines whose whole row, as the page has it, cannot be read on the paper."""
    whole = {line for line, words in row_words.items() if any(words in text for text in texts)}
    return [fact for fact in wanted if fact.line not in whole]


IN_THE_LIST = {
    "channel",
    "socket",
    "source",
    "strip",
    "player",
    "mic",
    "whose",
    "phantom",
    "pad",
    "polarity",
    "gain",
    "stand",
    "stereo",
    "note",
}
ON_THE_SHEET = {
    "channel",
    "socket",
    "source",
    "strip",
    "player",
    "mic",
    "whose",
    "phantom",
    "pad",
    "polarity",
    "gain",
    "stand",
    "path",
    "way",
    "loom",
    "loom way",
}
ON_LABELS = {"channel", "socket", "source", "loom way"}


def sheet_rows(plan: Plan, html: str) -> dict[int, list[str]]:
    """Line -> everything that the sheet says of it: in its row, or once for many rows."""
    line_of = {str(line.desk_channel): line.line for line in plan.lines}
    found = {}
    for row in read_sheet(read_page(html)).lines:
        found[line_of[row["channel"]]] = [*row.values(), phantom_of(row["phantom"])]
    return found


def printed_rows(plan: Plan, html: str) -> dict[int, list[str]]:
    """Line -> the cells of its row, as they stand beside each other."""
    heads, *rows = rows_of_html(html, "lines") or [[]]
    line_of = {str(line.desk_channel): line.line for line in plan.lines}
    place = heads.index("Desk channel") if heads else 0
    return {line_of[row[place]]: row for row in rows if len(row) > place and row[place] in line_of}


def list_rows(html: str) -> dict[int, list[str]]:
    heads, *rows = rows_of_html(html, "channels") or [[]]
    place = heads.index("Line") if heads else 0
    return {int(row[place]): row for row in rows if len(row) > place and row[place].isdigit()}


def on_paper(row: list[str]) -> str:
    return squash("".join(row))


QUICK = {"40 lines", "the example, squeezed", "digital-link-beside-a-small-box"}


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=() if name in QUICK else pytest.mark.soak) for name in (*MADE, *CASES)]
)
def test_the_same_facts_stand_everywhere(worker, name, capsys):
    """Patch sheet, input list and stage plot as PDF and page, the sheet of the day, CSV, workbook, JSON and labels say
    the same of every line.
    """
    plan, rig = plan_and_rig(name)
    cover = a_cover(rig=rig)
    wanted = facts(plan)
    players = played(plan, rig)
    missing = {}

    sheet_html = page("patch-sheet", plan, cover, "")
    list_html = page("input-list", plan, cover, "")
    missing["page"] = missing_in_rows(
        [fact for fact in wanted if fact.name in ON_THE_SHEET], sheet_rows(plan, sheet_html)
    )
    missing["page"] += missing_in_rows([fact for fact in wanted if fact.name in IN_THE_LIST], list_rows(list_html))

    missing["pdf"] = []
    for key, rows in (("patch-sheet", printed_rows(plan, sheet_html)), ("input-list", list_rows(list_html))):
        # Rows break alike on both sizes: one plan shows it.
        for size in tuple(SIZES.values())[: 2 if name == "the example, split" else 1]:
            texts = pages(worker.render(page(key, plan, cover, STYLESHEET, size)))
            missing["pdf"] += missing_in_text(wanted, texts, {line: on_paper(row) for line, row in rows.items()})

    plot_html = page("stage-plot", plan, cover, STYLESHEET)
    plot_rows = {row[0]: row for row in rows_of_html(plot_html, "facts pack people")}
    missing["page"] += missing_on_plot(players, plot_rows)
    if players:
        plot = "".join(pages(worker.render(plot_html)))
        missing["pdf"] += missing_on_plot(
            players, {player: row for player, row in plot_rows.items() if on_paper(row) in plot}
        )
    missing["page"] += missing_on_the_day(wanted, day_rows(day_page(day_sheet(plan, cover))))

    table = DOCUMENTS["input-list"].table(plan, cover)
    records = list(
        csv.reader(io.StringIO(csv_bytes(table.heads, table.numbers, table.rows).decode("utf-8-sig"), newline=""))
    )
    place = table.heads.index("Line")
    # The guard before a word that a spreadsheet would take for a formula is no part of the fact.
    bare = [[cell.removeprefix("'") for cell in record] for record in records[1:]]
    told = {line.line: line.at_the_desk or line.phantom for line in plan.lines}
    listed = [replace(fact, words=told[fact.line]) if fact.name == "phantom" else fact for fact in linkless(wanted)]
    missing["csv"] = missing_in_rows(listed, {int(row[place]): row for row in bare if row[place]})
    book = openpyxl.load_workbook(io.BytesIO(xlsx_bytes(table.title, table.heads, table.numbers, table.rows))).active
    cells = [["" if cell.value is None else str(cell.value) for cell in row] for row in book.iter_rows(min_row=2)]
    missing["xlsx"] = missing_in_rows(listed, {int(row[place]): row for row in cells if row[place]})

    heading = Heading("Harbour Night", "2027-03-12", "The Old Rope Hall")
    file = PlanFile(heading, 7, content_hash(plan, heading), plan)
    document = json.loads(plan_json(file))
    json_rows = {line["line"]: json_words(line, document["plan"]["lines"]) for line in document["plan"]["lines"]}
    missing["json"] = missing_in_rows(linkless([fact for fact in wanted if fact.name != "path"]), json_rows)
    whole = {
        record[0]: record[2] or record[3]
        for record in csv.reader(io.StringIO(plan_csv(file).decode("utf-8-sig"), newline=""))
    }
    for index, line in enumerate(document["plan"]["lines"], start=1):
        if whole[f"plan.lines.{index}.label"].removeprefix("'") != line["label"] or whole[
            f"plan.lines.{index}.desk_channel"
        ] != str(line["desk_channel"]):
            missing["csv"].append(Fact(line["line"], "whole plan", line["label"]))

    made = labels(plan, cover, Wish(tuple(KINDS), tail_labels(A4)))
    rule = f"@page label-page {{ size: {A4.width_mm}mm {A4.height_mm}mm }}"
    stuck = "".join(pages(worker.render(show(DOCUMENTS["labels"], made, STYLESHEET, A4, rule)))[: len(made.pages)])
    short = {meaning: form for form, meaning in made.key}
    missing["labels"] = [fact for fact in wanted if fact.name in ON_LABELS and not on_label(fact, plan, stuck, short)]

    with capsys.disabled():
        counts = " ".join(f"{where}={len(missing[where])}" for where in ("csv", "xlsx", "labels", "page", "json"))
        print(f"\n{name}: facts={len(wanted) + len(players)} missing_in_pdf={len(missing['pdf'])} {counts}", end="")  # noqa: T201 - the figure that is asked for
    assert {where: gone for where, gone in missing.items() if gone} == {}


def played(plan: Plan, rig: Rig) -> list[tuple[str, Fact]]:
    """Each source of the rig that a line carries: its player, and the line with the source's name."""
    sources = {source.key: source for source in rig.source}
    return [
        (sources[key].player or "No player named", Fact(line.line, "on the plot", sources[key].label))
        for line in plan.lines
        for key in line.sources
        if key in sources
    ]


def missing_on_plot(players: list[tuple[str, Fact]], rows: dict[str, list[str]]) -> list[Fact]:
    """The facts whose source or line number is not in their player's row."""
    return [
        fact
        for player, fact in players
        if player not in rows or not (fact.words in rows[player][2] and fact.line in numbers(rows[player][2]))
    ]


def numbers(cell: str) -> set[int]:
    """The line numbers at the end of a cell: "(lines 1–3, 7)" has 1, 2, 3 and 7."""
    said = re.search(r"\(lines? ([\d–, ]+)\)$", cell)
    ends = [part.split("–") for part in said[1].split(", ")] if said else []
    return {number for first, *last in ends for number in range(int(first), int(*last or [first]) + 1)}


def day_rows(html: str) -> list[list[str]]:
    return [row for row in rows_of_html(html, "day") if row and row[-1].isdecimal()]


ON_THE_DAY = {"channel": 4, "source": 0, "player": 0, "socket": 3, "loom": 2, "loom way": 2}
"""Fact -> its cell on the sheet of the day."""


def missing_on_the_day(wanted: list[Fact], rows: list[list[str]]) -> list[Fact]:
    """The facts that the row of their line lacks; rows stand in the order of the lines."""
    order = sorted({fact.line for fact in wanted})
    row_of = dict(zip(order, rows, strict=True))
    return [
        fact
        for fact in wanted
        if fact.name in ON_THE_DAY and fact.words not in row_of[fact.line][ON_THE_DAY[fact.name]]
    ]


def linkless(wanted: list[Fact]) -> list[Fact]:
    """Without the word for a socket that is none: a file says that with an empty cell."""
    return [fact for fact in wanted if not (fact.name == "socket" and fact.words == "link")]


def json_words(line: dict[str, object], lines: list[dict[str, object]]) -> list[str]:
    partner = [str(other["desk_channel"]) for other in lines if other["line"] == line["stereo_partner"]]
    inner = [line["path"]["way"], *(line["loom"].values() if line["loom"] else ())]
    said = [value.get("text", "") if isinstance(value, dict) else value for value in (*line.values(), *inner)]
    return [str(value) for value in said if not isinstance(value, list)] + partner


def on_label(fact: Fact, plan: Plan, stuck: str, short: dict[str, str]) -> bool:
    line = next(one for one in plan.lines if one.line == fact.line)
    if fact.name == "socket":
        return fact.words == "link" or squash(f"box {fact.words}") in stuck
    if fact.name == "channel":
        return line.box_socket is None or squash(short.get(f"desk {fact.words}", f"desk {fact.words}")) in stuck
    if fact.name == "source" and line.box_socket is None:
        return squash(short.get(line.strip or line.label, line.strip or line.label)) in stuck
    if fact.name == "source":
        return squash(short.get(fact.words, fact.words)) in stuck
    return squash(f"way {fact.words}") in stuck or squash(short.get(f"way {fact.words}, box end", "nothing")) in stuck


def test_a_planted_difference_is_found():
    """The comparison sees a fact that a row lacks, and a row that a paper lacks."""
    plan = plan_of(2)
    rows = sheet_rows(plan, page("patch-sheet", plan, a_cover(), ""))
    wanted = [fact for fact in facts(plan) if fact.name in ON_THE_SHEET]
    assert missing_in_rows(wanted, rows) == []
    rows[1].remove("Kick In")
    assert [fact.name for fact in missing_in_rows(wanted, rows)] == ["source"]
    assert len(missing_in_text(wanted, ["nothing"], {line: on_paper(row) for line, row in rows.items()})) == len(wanted)


def test_a_planted_difference_on_the_plot_and_on_the_day_is_found():
    """A line that a player's row lacks, and a row of the day with another socket, are seen."""
    plan, rig = plan_and_rig("the example, split")
    rows = {row[0]: row for row in rows_of_html(page("stage-plot", plan, a_cover(rig=rig), ""), "facts pack people")}
    players = played(plan, rig)
    assert missing_on_plot(players, rows) == []
    rows["Eli"][2] = rows["Eli"][2].replace(")", "0)")
    assert {fact.words for fact in missing_on_plot(players, rows)} == {"Voice Eli"}
    day = day_rows(day_page(day_sheet(plan, a_cover(rig=rig))))
    assert missing_on_the_day(facts(plan), day) == []
    day[0][ON_THE_DAY["socket"]] = "99"
    assert [(fact.line, fact.name) for fact in missing_on_the_day(facts(plan), day)] == [(1, "socket")]
