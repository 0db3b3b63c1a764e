"""What changed since somebody looked: sentences on the gig's page, a number in the lists, to each side its own."""

import re
import sqlite3
from collections.abc import Callable
from contextlib import closing

from portal.settings import Settings
from portal.store import answers, discussions, gigs, links
from portal.store.database.session import Store
from portal.store.gigs import Gig, GigWords
from portal.store.house import house_gigs, houses
from portal.web.frame.running import Portal
from portal.web.house import house_access
from tests.builders import NOW, ABand, a_gig, a_link, an_answer
from tests.web.conftest import Browser


def news(text: str) -> list[str]:
    """What a gig's page says of what changed."""
    found = re.search(r'<section aria-labelledby="changed">.*?</section>', text, re.DOTALL)
    return re.findall(r"<li>(.*?)</li>", found[0]) if found else []


def told(text: str) -> list[str]:
    """What a list says of it."""
    return re.findall(r"<b>(\d+ changes?) since you looked</b>", text)


def say(store: Store, gig: Gig, party: str, band: ABand, link: links.Link) -> None:
    by = {"user_id": band.user_id} if party == "band" else {"link_id": link.id}
    with store.writing() as db:
        discussions.say(db, gig_id=gig.id, party=party, author="A", words="x", now=NOW, **by)


def test_the_band_reads_what_the_house_did(
    store: Store, gig: Gig, link: links.Link, band: ABand, signed_in: Browser
) -> None:
    """Nothing at the first look; then the house's deeds, once; never one's own."""
    page = f"/gigs/{gig.id}"
    assert news(signed_in.get(page).text) == []
    say(store, gig, "house", band, link)
    say(store, gig, "band", band, link)
    with store.writing() as db:
        answers.send(db, gig.id, link.id, NOW)
        links.used(db, link, NOW)
    assert told(signed_in.get("/").text) == ["2 changes"]
    assert news(signed_in.get(page).text) == [
        "House engineer, the house: Checked and sent the answers",
        "House engineer, the house: Wrote a comment: “x”",
    ]
    assert news(signed_in.get(page).text) == []
    assert told(signed_in.get("/").text) == []


def test_to_look_keeps_nothing_but_how_far_somebody_looked(
    settings: Settings, gig: Gig, link: links.Link, signed_in: Browser, enter: Callable[..., Browser]
) -> None:
    """One row for each who looked at first, and none at the second look."""
    house = enter(link)

    def rows() -> set[str]:
        with closing(sqlite3.connect(settings.database)) as raw:
            return set(raw.iterdump())

    def look() -> list[str]:
        before = rows()
        signed_in.get(f"/gigs/{gig.id}")
        house.get(f"/house/{gig.id}")
        return [row.partition(" VALUES")[0] for row in rows() ^ before]

    assert look() == ['INSERT INTO "look"'] * 2
    assert look() == []


def test_times_and_contacts_are_among_it_from_either_side(
    store: Store, gig: Gig, link: links.Link, band: ABand, signed_in: Browser, enter: Callable[..., Browser]
) -> None:
    """The house reads which time moved, as it was and as it is; the band reads that a contact changed."""
    house = enter(link)
    page = f"/house/{gig.id}"
    house.get(page)
    signed_in.get(f"/gigs/{gig.id}")
    with store.writing() as db:
        mine = gigs.of_link(db, gig.id)
        kept = {field: getattr(mine, field) for field in GigWords.__dataclass_fields__ if field != "times"}
        words = GigWords(**kept, times={**mine.minutes, "load-in": 1020})
        assert gigs.save(db, mine, mine.version, words, NOW, actor=f"user:{band.user_id}")
        an_answer(db, gig.id, "contact-name", "Noor", link_id=link.id)
    assert news(house.get(page).text) == ["Ada Example, the band: Load-in: was 16:00, now 17:00"]
    (line,) = news(signed_in.get(f"/gigs/{gig.id}").text)
    assert "the house: Answered" in line


def test_the_house_s_list_counts_for_each_gig(
    store: Store, portal: Portal, gig: Gig, link: links.Link, band: ABand, enter: Callable[..., Browser]
) -> None:
    """What happened in one gig since the house opened it; a gig that was never opened has none."""
    with store.writing() as db:
        house = houses.make(db, "Kiln Yard Hall", "hash", NOW)
        stage = houses.add_stage(db, house.id, "big stage", NOW)
        other = a_gig(db, band, name="Another night")
        other_link = a_link(db, other, band)
        for one, by in ((gig, link), (other, other_link)):
            house_gigs.tie(db, one.id, stage.id, by.id, NOW)
    visitor = enter(link)
    value = house_access.cookie_value(portal, house, NOW.replace(year=2027))
    visitor.client.cookies.set(house_access.cookie_name(portal, house.id), value, domain="portal.test")
    visitor.get(f"/house/{gig.id}")
    say(store, gig, "band", band, link)
    say(store, other, "band", band, other_link)
    assert told(visitor.get(f"/houses/{house.id}").text) == ["1 change"]


def test_a_code_on_paper_is_nobody_s_look(
    store: Store, gig: Gig, link: links.Link, band: ABand, enter: Callable[..., Browser]
) -> None:
    """Whoever came by a code reads no news, and takes none from the holder of the link."""
    page = f"/house/{gig.id}"
    house = enter(link)
    house.get(page)
    say(store, gig, "band", band, link)
    assert enter(link, only_view=True).get(page).headers["location"] == f"{page}/day"
    assert news(enter(link).get(page).text) == ["Ada Example, the band: Wrote a comment: “x”"]
