"""Said once, seen by: each answer stands in every place that its question names, and in no other."""

import ast
import re
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from portal.documents import registry
from portal.documents.labels import label_document
from portal.exchange.example import example_rig
from portal.plan.input.answer_kinds import Choice, Value
from portal.plan.input.answer_places import PLACES
from portal.plan.input.pa_questions import PA_QUESTIONS
from portal.plan.input.questions import QUESTIONS, Question
from portal.plan.input.rig import MixerLink, Rig
from portal.plan.model import Plan
from portal.store import answers, gigs
from portal.store.record import erasing
from portal.web.frame.running import Portal
from portal.wording.answers import say_value
from portal.wording.seen import seen_words
from tests.builders import NOW, ABand
from tests.documents.reading import pages, squash
from tests.planning import plan_now
from tests.web.conftest import Browser
from tests.web.crawl import Reach, Reader, crawl, route_of
from tests.web.planned import Planned, prepare, words_of

_ = label_document

NOT_IN_BOTH_ROUNDS = {question.key for question in PA_QUESTIONS} | {"talkback-output"}
"""Asked only where no desk of the house takes part, as one does here; or where talkback comes, as in one round."""

ASKED_THERE = ("answers", "what-if")
"""Places that show what is asked, and nothing else that was said before."""

ROUNDS: dict[str, tuple[Value, Value]] = {
    "who-mixes": ("house-engineer", "bands-engineer-your-desk"),
    "pa": ("stereo", "mono"),
    "what-they-want": ("as-much-split-as-fits", "split-each-source"),
    "inputs-free": (23, 27),
    "sockets-free": ("2-24", "3-29"),
    "box-place": ("stage-left", "upstage"),
    "box-distance": (735, 665),
    "rack-power": ("yes", "no"),
    "room-capacity": (477, 533),
    "indoors": ("no", "yes"),
    "pa-inputs": (2, 1),
    "pa-input-connector": ("jack", "other"),
    "pa-input-level": ("line", "mic"),
    "pa-input-distance": (3175, 2825),
    "pa-input-place": ("Amplifier cupboard, Orla opens", "Wall panel beside the bar"),
    "pa-other-feeds": ("A jukebox in the hall", "The fire bell's announcements"),
    "stage-circuits": ("Two of 16 A", "One of 32 A"),
    "access": ("Eleven steps, double door", "Lift from the yard"),
    "house-microphones-through-our-splitter": ("yes", "no"),
    "wedge-mixes": (29, 31),
    "contact-name": ("Canary Marsh", "Wren Marsh"),
    "contact-phone": ("+00 000 555 0134", "+00 000 555 0177"),
    "patching": ("one-to-one", "soft"),
    "digital-link": ("no", "yes"),
    "second-box-inputs": (6, 7),
    "second-box-place": ("stage-right", "downstage"),
    "second-box-distance": (415, 385),
    "isolation": ("dont-mind", "wanted"),
    "phantom-switching": ("per-channel", "banks-of-4"),
    "line-inputs": ("yes", "no"),
    "talkback": ("yes", "no"),
    "talkback-output": (37, 41),
    "other-feeds": ("monitor-desk", "recording-or-stream"),
    "house-split": ("no", "yes"),
    "one-distribution": ("yes", "no"),
    "power-limiter": ("no", "some"),
    "who-plugs": ("house", "together"),
    "sound-check": ("line-check", "sound-check"),
    "sound-limit": (
        "97 dB(A) over 43 minutes, measured where the desk stands, and not a bit more than that",
        "91 dB(C) over 17 minutes",
    ),
    "radio": ("Seven handhelds\n518.35 to 542.65 MHz", "The choir's on 863.15 MHz"),
    "house-sheet": (
        "Canaries in the yard.\n\nThe lift holds 417 kg.\n" + "Long words. " * 300 + "The end of the house sheet.",
        "Nothing but sparrows.",
    ),
}

FREE = ("contact-name", "contact-phone", "sound-limit", "radio", "house-sheet")


def every_rig() -> Rig:
    """A rig for which every question is asked: it has a house microphone and a digital link."""
    rig = example_rig()
    first, *others = rig.source
    lent = replace(first, owner=replace(first.owner, mic="house"))
    return replace(rig, source=(lent, *others), mixer=replace(rig.mixer, links=(MixerLink("AES50", 48),)))


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Iterator[Planned]:
    found = prepare(portal, band, signed_in, enter, every_rig())
    yield found
    portal.papers.close()


def answer_all(planned: Planned, number: int) -> None:
    stored = planned.answer(**{key.replace("-", "_"): both[number] for key, both in ROUNDS.items()})
    assert isinstance(stored.read(), Plan)


def wanted(question: Question, place: str, value: Value) -> list[str]:
    """The words, without white space, by which an answer is found at a place."""
    if question.free_words:
        return [squash(line) for line in str(value).splitlines() if line]
    own = say_value(question.kind, value)
    words = question.seen.words.get(str(value)) or own
    said = {
        "answers": f"{question.house} {own}",
        "history": f"{question.band} {own}",
        "what-if": f"{question.house} {'As it is' if isinstance(question.kind, Choice) else 'Now'}: {own} (told)",
    }.get(place, f"{question.seen.label} {words}")
    rack_from = f"{ROUNDS['box-distance'][value != ROUNDS['box-place'][0]] / 100:g} m of cable from"
    if question.key == "box-place" and place not in ("answers", "history", "plan"):
        said = (
            f"Rack stands{':' if place == 'day' else ''} {rack_from} the stage box; box {words[0].lower()}{words[1:]}"
        )
    return [squash(said)]


def text_at(planned: Planned, place: str) -> str:
    """What the house reads at a place, without white space; of the receipts the band's says whom to call there."""
    browser, base = (planned.band, planned.gigs_base) if place == "receipt" else (planned.house, planned.house_base)
    address = {
        "answers": "/questions",
        "receipt": "/sign-off/1",
        "plan": "/plan",
        "day": "/day",
        "history": "/history",
        "what-if": "/what-if",
    }
    answer = browser.get(base + address.get(place, f"/papers/{place}"))
    assert answer.status_code == 200
    text = words_of(answer.text)
    # The history says what was before as well: only the newest answer is asked for.
    return squash(re.sub(r"Was .*?, now ", "", text) if place == "history" else text)


def pdf_text(planned: Planned, place: str) -> str:
    answer = planned.house.get(f"{planned.house_base}/papers/{place}.pdf")
    assert answer.content.startswith(b"%PDF")
    # Long words run over the foot of a page.
    return re.sub(r"HarbournightSat5Dec2026.{0,200}?page\d+of\d+", "", "".join(pages(answer.content)).replace("·", ""))


@pytest.mark.slow
def test_every_answer_stands_in_every_place_that_its_question_names(planned: Planned) -> None:
    """Two rounds of other answers to all questions: each stands on the pages and papers of the one table as it was
    said, whole.
    """
    assert set(ROUNDS) == set(QUESTIONS)
    planned.sign("band")
    missing, stale = [], []
    for number in (0, 1):
        answer_all(planned, number)
        for place in PLACES:
            text = text_at(planned, place)
            for key, question in QUESTIONS.items():
                if place not in question.seen.places or (question.key in NOT_IN_BOTH_ROUNDS and place in ASKED_THERE):
                    continue
                here, other = (wanted(question, place, ROUNDS[key][one]) for one in (number, 1 - number))
                missing += [(key, place, words) for words in here if words not in text]
                stale += [(key, place) for words in other if words in text and place != "history" and words not in here]
    assert missing == []
    assert stale == []


@pytest.mark.slow
def test_every_answer_stands_on_the_printed_papers(planned: Planned) -> None:
    """What the table says of a paper holds of its PDF, read by another program; nothing is shortened."""
    answer_all(planned, 0)
    for place in sorted(set(PLACES) & set(registry.DOCUMENTS)):
        text = pdf_text(planned, place)
        named = [question for question in QUESTIONS.values() if place in question.seen.places]
        wrapped = {question.key: wanted(question, place, ROUNDS[question.key][0]) for question in named}
        assert [
            (key, words)
            for key, all_words in wrapped.items()
            for words in all_words
            if words.replace("·", "") not in text
        ] == []
        assert "Shortened" not in text


PLACE_OF = {
    "both/questions": "answers",
    "both/questions/{topic_key}": "answers",
    "both/history": "history",
    "both/what-if": "what-if",
    "both/plan": "plan",
    "both/plan/{number}": "plan",
    "both/day": "day",
    "both/day/{content_hash}": "day",
    "both/sign-off/{number}": "receipt",
}
"""Route of a page -> the place of the table that it is."""


def place_of(path: str) -> str:
    route = re.sub(r"^/(gigs|house)/\{gig_id\}", "both", route_of(path))
    paper = re.match(r"both/papers/(?:\{number\}/)?\{document\}", route)
    return path.partition("?")[0].rpartition("/")[2].partition(".")[0] if paper else PLACE_OF.get(route, route)


@pytest.mark.slow
def test_no_other_place_shows_what_was_said(planned: Planned) -> None:
    """On every page that links lead to, and in every file, free words stand exactly where the table says; no plan
    repeats them.
    """
    answer_all(planned, 0)
    signed = planned.sign("band")
    assert signed.status_code == 303, words_of(signed.text)
    found: dict[str, set[str]] = defaultdict(set)
    looked_at: set[str] = set()

    def look(path: str, text: str) -> None:
        text = squash(text)
        for key in FREE:
            if all(words in text for words in wanted(QUESTIONS[key], "", ROUNDS[key][0])):
                found[key].add(place_of(path))

    for viewer, browser, base in (
        ("house", planned.house, planned.house_base),
        ("band", planned.band, planned.gigs_base),
    ):
        reader = Reader(browser.client)
        visited, _ = crawl(viewer, reader, [base, f"{base}/questions"], Reach(of_one=40))
        looked_at |= {place_of(one.path) for one in visited}
        for one in visited:
            text = reader.pages[one.path]
            look(one.path, words_of(text) + "".join(re.findall(r'value="([^"]*)"', text)))
    for document, entry in registry.DOCUMENTS.items():
        for ending in set(entry.formats) - {"pdf", "xlsx"}:
            number = "" if document == "calendar" else f"{planned.newest().number}/"
            path = f"{planned.house_base}/papers/{number}{document}.{ending}"
            answer = planned.house.get(path)
            assert answer.status_code == 200, path
            look(path, answer.text)
    assert looked_at > set(PLACES)
    assert found == {key: set(QUESTIONS[key].seen.places) for key in FREE}


def test_what_nobody_said_is_marked_as_assumed_everywhere(planned: Planned) -> None:
    """What the band only assumes is marked on the plan, the day and the sheet; what does not apply is said; what nobody
    knows is left out.
    """
    with planned.portal.store.writing() as db:
        for question, state, value in (
            ("wedge-mixes", "answered", 3),
            ("sound-limit", "n/a", None),
            ("radio", "unknown", None),
        ):
            row = {"gig_id": planned.gig.id, "question": question, "state": state, "value": value, "party": "assumed"}
            answers.give(db, **row, user_id=planned.owner.user_id, now=NOW)
        plan_now(db, gigs.of_link(db, planned.gig.id), NOW)
    texts = {place: text_at(planned, place) for place in ("plan", "day", "patch-sheet")}
    assert "Wedgesassumed3wedgemixes" in texts["plan"]
    assert "Wedges3wedgemixes·assumed" in texts["day"]
    assert "assumed,25Nov:Wedges3wedgemixes" in texts["patch-sheet"]
    for text in texts.values():
        assert "Thereisnone" in text
        assert squash(QUESTIONS["radio"].seen.label) not in text


def test_erased_words_leave_every_place(planned: Planned) -> None:
    """After the house had its words erased, none of them is left in any place."""
    answer_all(planned, 0)
    with planned.portal.store.writing() as db:
        assert erasing.of_house(db, gigs.of_link(db, planned.gig.id), NOW, actor=f"link:{planned.link.id}") >= len(FREE)
    left = []
    for place in set(PLACES) - {"receipt"}:
        text = text_at(planned, place)
        left += [
            (key, place) for key in FREE for words in wanted(QUESTIONS[key], place, ROUNDS[key][0]) if words in text
        ]
    assert left == []


def test_where_nothing_fits_what_was_said_is_still_read(planned: Planned) -> None:
    """A plan that fails hides no answer: the plan's page shows what the house said."""
    planned.answer(box_distance=9900, sound_limit="97 dB(A)")
    assert not isinstance(planned.newest().read(), Plan)
    assert "Soundlimit97dB(A)" in text_at(planned, "plan")


def test_the_page_that_asks_says_where_the_answer_is_seen(planned: Planned) -> None:
    """Beside each question stands where both sides find the answer, from the same table."""
    for key, question in QUESTIONS.items():
        answer = planned.house.get(f"{planned.house_base}/questions/{question.topic}")
        if answer.status_code == 200 and question.house in words_of(answer.text):
            assert seen_words(question.seen) in words_of(answer.text), key
    assert seen_words(QUESTIONS["pa"].seen) == "Both sides see the answer on the plan."
    assert (
        seen_words(QUESTIONS["radio"].seen)
        == "Both sides, and whoever has the sheet or its code, see the answer on the plan, the patch sheet and the day"
        " sheet."
    )
    assert (
        seen_words(QUESTIONS["contact-name"].seen)
        == "Both sides, and whoever has the sheet or its code, see the answer on the plan and its documents."
    )


def test_papers_read_answers_through_the_table_alone() -> None:
    """No document looks into the answers but through ``told``, which asks the table, to draw the stage box and how
    far it is, to say whose mixer is mixed on, and which banks of 48 V are on.
    """
    readers = defaultdict(set)
    for file in Path(registry.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Call):
                for given in node.args:
                    if isinstance(given, ast.Attribute) and given.attr == "answers":
                        readers[ast.unparse(node.func)].add(file.name)
            elif isinstance(node, ast.Attribute) and node.attr == "answers":
                readers["any"].add(file.name)
    assert set(readers) == {"told", "box_place_of", "stated_distance", "who_mixes", "route_wished", "Facts", "any"}
    named = ("told", "box_place_of", "stated_distance", "who_mixes", "Facts")
    assert readers["any"] == set[str]().union(*(readers[name] for name in named))
