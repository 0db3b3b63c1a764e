"""A house answers with its own spec: proposals are confirmed in one table, and bad input gets a sentence and loses
nothing.
"""

import html
import io
from collections.abc import Callable
from dataclasses import replace

import pikepdf
import pytest
from fastapi.testclient import TestClient
from httpx2 import Response

from portal.exchange.files import MOST_BYTES
from portal.plan.input.questions import TOPICS, questions_of
from portal.store import answers, gigs, links
from portal.store.database.session import Store
from portal.store.gigs import Gig
from portal.store.house import house_specs
from portal.store.record import data_export, erasing
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_link
from tests.exchange.house_spec.test_given import a_pdf, pages
from tests.web.conftest import ORIGIN, Browser

SPEC = """Stage box: 32 inputs, stage left.
Sockets 29-32 are kept by the house for the DJ.
PA: stereo.
Capacity 350.
Four wedges on 4 mixes, maybe 6 if needed.
Sound limit 98 dB.
House engineer: Noor Dalen, phone 0123 456 789.
"""


def give(house: Browser, gig: Gig, text: str = "", file: bytes = b"", name: str = "spec.pdf") -> Response:
    page = f"/house/{gig.id}/spec"
    files = {"file": (name, io.BytesIO(file))} if file else {"file": ("", b"")}
    return house.client.post(page, data={**house.hidden(page), "text": text}, files=files, headers={"Origin": ORIGIN})


def said(store: Store, gig: Gig) -> dict[str, object]:
    with store.reading() as db:
        return {key: answer.value for key, answer in answers.current(db, gig.id).items()}


def confirm(house: Browser, gig: Gig, take: list[str], **values: str) -> Response:
    page = f"/house/{gig.id}/spec/table"
    return house.send(page, {"take": take, **values}, page=page)


def test_nothing_is_answered_before_it_is_confirmed(house: Browser, gig: Gig, store: Store) -> None:
    """The text alone answers nothing; the table shows each value with the words it rests on, the sure ones ticked."""
    answer = give(house, gig, SPEC)
    assert (answer.status_code, answer.headers["location"]) == (303, f"/house/{gig.id}/spec/table")
    assert said(store, gig) == {}
    page = html.unescape(house.get(answer.headers["location"]).text)
    assert "“Capacity 350.”" in page or "“Capacity 350”" in page
    assert 'value="room-capacity" checked' in page
    assert "please check" in page


def test_only_what_is_ticked_is_taken_and_as_it_stands_in_the_form(house: Browser, gig: Gig, store: Store) -> None:
    """Values are edited in the table; a row without a tick answers nothing; facts without a question are kept too."""
    give(house, gig, SPEC)
    answer = confirm(
        house,
        gig,
        ["room-capacity", "box-inputs"],
        **{"room-capacity": "400", "box-inputs": "32", "pa": "stereo"},
    )
    assert answer.status_code == 303
    assert said(store, gig) == {"room-capacity": 400}
    with store.reading() as db:
        kept = house_specs.get(db, gig.id)
        assert [(one.topic, one.value) for one in kept.read_confirmed()] == [("box-inputs", 32)]
        assert kept.text == SPEC.strip()


def test_what_was_taken_and_what_was_not_is_told(house: Browser, gig: Gig, store: Store) -> None:
    """The page after the table counts the answers, names what stays for the stage sheet, and leads to the times where a
    ticked one differs from the gig's.
    """
    give(house, gig, SPEC + "\nLoad-in 15:30\n")
    with store.writing() as db:
        stored = gigs.of_link(db, gig.id)
        words = replace(gigs.words_of(stored), times={"load-in": 16 * 60})
        gigs.save(db, stored, stored.version, words, NOW, actor="user:test")
    answer = confirm(house, gig, ["room-capacity", "load-in-time"], **{"room-capacity": "400", "load-in-time": "15:30"})
    page = html.unescape(house.get(answer.headers["location"]).text)
    assert "1 answer taken for this gig." in page
    assert "no answer to this gig: Load-in." in page
    assert "Load-in 15:30; the gig says 16:00." in page
    assert "not taken." in page
    assert f'href="/house/{gig.id}/times">Correct the times' in page
    assert "Nothing is answered yet" not in page


def test_a_value_that_cannot_be_read_keeps_the_form(house: Browser, gig: Gig, store: Store) -> None:
    """The sentence stands at its row, the other rows keep what was typed, and nothing is saved."""
    give(house, gig, SPEC)
    answer = confirm(house, gig, ["room-capacity", "pa"], **{"room-capacity": "lots", "pa": "mono"})
    page = answer.text
    assert answer.status_code == 422
    assert 'id="room-capacity-fault"' in page
    assert 'value="lots"' in page
    assert '<option value="mono" selected>' in page
    assert said(store, gig) == {}


def test_two_values_for_one_thing_are_refused(house: Browser, gig: Gig, store: Store) -> None:
    """A text that says two capacities offers both, unticked; ticking both is a fault."""
    give(house, gig, "Capacity 350.\nThe room holds 500 people.")
    values = {"room-capacity": "350", "room-capacity.2": "500"}
    answer = confirm(house, gig, ["room-capacity", "room-capacity.2"], **values)
    assert answer.status_code == 422
    assert "is ticked twice" in answer.text
    assert confirm(house, gig, ["room-capacity.2"], **values).status_code == 303
    assert said(store, gig) == {"room-capacity": 500}


def test_a_table_of_an_older_text_saves_nothing(house: Browser, gig: Gig, store: Store) -> None:
    """Two people on the house's side give two texts: the table of the first one says so."""
    give(house, gig, SPEC)
    hidden = house.hidden(f"/house/{gig.id}/spec/table")
    give(house, gig, "Capacity 700.")
    answer = house.send(f"/house/{gig.id}/spec/table", {**hidden, "take": "room-capacity", "room-capacity": "350"})
    assert answer.status_code == 409
    assert "Another text was given meanwhile" in answer.text
    assert said(store, gig) == {}


def encrypted(pdf: bytes) -> bytes:
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        opened.save(out, encryption=pikepdf.Encryption(owner="owner", user="user"))
    return out.getvalue()


def blank() -> bytes:
    out = io.BytesIO()
    with pikepdf.new() as made:
        made.add_blank_page(page_size=(200, 200))
        made.save(out)
    return out.getvalue()


BAD = {
    "too large": (lambda: b"Capacity 350. " * (MOST_BYTES // 14 + 1), "at most 2 MB"),
    "no text layer": (blank, "pictures of pages only"),
    "encrypted": (lambda: encrypted(a_pdf("<p>Capacity 350.</p>")), "without its password"),
    "ten thousand pages": (lambda: pages(10_000), "keep the pages about the stage"),
    "broken": (lambda: b"%PDF-1.7\nnothing more", "damaged one"),
    "a picture": (lambda: b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "another kind of file"),
}


@pytest.mark.parametrize("kind", BAD)
def test_a_bad_file_gets_its_sentence_and_loses_nothing(kind: str, house: Browser, gig: Gig, store: Store) -> None:
    """The sentence stands at the file's field; what was typed, and the text given before, are still there."""
    give(house, gig, SPEC)
    make, sentence = BAD[kind]
    answer = give(house, gig, "Typed beside it", make())
    page = html.unescape(answer.text)
    assert answer.status_code == 422
    assert 'id="file-fault"' in page
    assert sentence in page
    assert "Typed beside it" in page
    with store.reading() as db:
        assert house_specs.get(db, gig.id).text == SPEC.strip()


def test_an_empty_form_is_told_what_to_give(house: Browser, gig: Gig) -> None:
    answer = give(house, gig)
    assert answer.status_code == 422
    assert "Paste the text of your spec" in answer.text


def test_a_pdf_is_read_like_its_text(house: Browser, gig: Gig) -> None:
    """A PDF with a text layer comes to the same table."""
    give(house, gig, file=a_pdf("<p>Stage box with 32 inputs.</p><p>Capacity 350.</p>"))
    page = house.get(f"/house/{gig.id}/spec/table").text
    assert 'value="room-capacity" checked' in page
    assert 'name="box-inputs"' in page


HOSTILE = '<img src=x onerror=alert(1)> Capacity 350. </p><script>alert(2)</script> "{{ 7*7 }}" <b hx-get="/">'


def test_hostile_markup_is_shown_as_it_was_written(house: Browser, gig: Gig) -> None:
    """Markup in a text is letters: on the table, in its passages, and below as the text."""
    give(house, gig, HOSTILE)
    page = house.get(f"/house/{gig.id}/spec/table").text
    assert "<img src=x" not in page
    assert "<script>alert" not in page
    assert "<b hx-get" not in page
    assert "{{ 7*7 }}" in html.unescape(page)


def test_the_band_never_sees_the_text(house: Browser, gig: Gig, signed_in: Browser) -> None:
    """The band gets the confirmed answers; the text, and what was not taken, stay with the house."""
    give(house, gig, SPEC + "\nCanary in the small print.")
    confirm(house, gig, ["room-capacity"], **{"room-capacity": "350"})
    for rest in ("", "/questions", "/plan", "/history", "/day", "/talk"):
        page = signed_in.get(f"/gigs/{gig.id}{rest}").text
        assert "Canary" not in page
        assert "98 dB" not in page
    assert signed_in.get(f"/house/{gig.id}/spec").status_code == 404


def test_a_link_that_may_not_answer_reads_nothing(
    enter: Callable[..., Browser], store: Store, band: ABand, gig: Gig, portal: Portal
) -> None:
    """Nobody spends the machine's time on a text that they may not give; a stranger's is not even opened."""
    with store.writing() as db:
        link = a_link(db, gig, band, powers=("view",))
    portal.spec_limiter.most = 0
    assert give(enter(link), gig, SPEC).status_code == 403
    stranger = Browser(TestClient(enter(link).client.app, base_url=ORIGIN, follow_redirects=False))
    assert give(stranger, gig, SPEC).status_code == 404


def test_reading_is_braked(house: Browser, gig: Gig, portal: Portal) -> None:
    """Whoever gives one text after the other is told to wait."""
    portal.spec_limiter.most = 2
    assert [give(house, gig, SPEC).status_code for _ in range(3)] == [303, 303, 429]


def test_the_text_goes_with_the_link_and_is_taken_along(
    house: Browser, gig: Gig, store: Store, link: links.Link
) -> None:
    """It stands in the file of what was given, and is erased with what came by the link, or with time."""
    give(house, gig, SPEC)
    with store.writing() as db:
        assert SPEC.strip() in data_export.write(data_export.of_house(db, gig, link.id)).decode().replace("\\n", "\n")
        erasing.of_link(db, link, NOW, actor=f"link:{link.id}")
        assert house_specs.get(db, gig.id) is None
    give(house, gig, SPEC)
    with store.writing() as db:
        assert erasing.by_time(db, gig.id, NOW) >= 1
        assert house_specs.get(db, gig.id) is None


def test_after_a_spec_the_first_pages_come_first(house: Browser, gig: Gig, store: Store, link: links.Link) -> None:
    """What the spec answers of the later pages skips no first page, and the house is still asked whether it has two
    more minutes.
    """
    give(house, gig, SPEC)
    confirm(house, gig, ["room-capacity", "sound-limit"], **{"room-capacity": "350", "sound-limit": "98 dB"})
    assert "sound-limit" in said(store, gig)
    base = f"/house/{gig.id}/questions"
    assert house.get(f"{base}/next").headers["location"].partition("?")[0] == f"{base}/mixing"
    with store.writing() as db:
        for topic in TOPICS:
            for question in questions_of(topic.key) if topic.first else ():
                answers.give(
                    db, gig_id=gig.id, question=question.key, state="unknown", value=None, party="house",
                    link_id=link.id, now=NOW,
                )  # fmt: skip
    assert house.get(f"{base}/next?after=contact").headers["location"].partition("?")[0] == f"{base}/more"
    assert house.get(f"{base}/next").headers["location"].partition("?")[0] == f"{base}/more"
