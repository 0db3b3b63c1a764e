"""The invented demo: one band, its rig, and four gigs at four points of the way, one of them with the band's own PA.
Made once, on the very first start.
"""

import secrets
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from portal.advance.planning import keep, want, work_of
from portal.advance.solver.wishes import make_plan
from portal.exchange.example import example_rig
from portal.plan.input.answer_kinds import Value
from portal.plan.input.line_up import AS_THE_RIG, LineUp
from portal.plan.model import Plan
from portal.settings import Settings
from portal.store import answers, gigs, links, planning, plans, rigs, signoffs
from portal.store.accounts import bands
from portal.store.database.scopes import EVERYTHING
from portal.store.database.session import CannotWrite, Session, Store, open_store
from portal.store.gigs import Gig, GigWords
from portal.store.signoffs import Signer
from portal.web.frame.access import hash_password, new_token, token_hash
from portal.web.frame.links import path_to
from portal.web.house.house_pages import show_link
from portal.web.plan.signed_statements import STATEMENT
from portal.wording.plan.saying import say

LEADER = "ada@ferry-lamps.example"
ZONE = "Europe/London"
LASTS = timedelta(days=14)

KNOWN_EVERYWHERE: dict[str, Value] = {
    "who-mixes": "house-engineer",
    "pa": "stereo",
    "what-they-want": "as-much-split-as-fits",
    "box-place": "stage-left",
    "box-distance": 1000,
    "rack-power": "yes",
    "talkback": "yes",
    "who-plugs": "together",
    "sound-check": "sound-check",
}


@dataclass(frozen=True)
class DemoGig:
    """One gig of the demo: where it stands is what was answered, by which side (``party``), and signed. At the band's
    own PA there is no house, and no link.
    """

    name: str
    place: str
    in_days: int
    answers: dict[str, Value]
    comment: str = ""
    signed: bool = False
    party: str = "house"
    line_up: LineUp = AS_THE_RIG


GIGS = (
    DemoGig("Spring benefit", "Kiln Yard Hall", 31, {}),
    DemoGig(
        "Club night",
        "The Tallow Room",
        12,
        KNOWN_EVERYWHERE
        | {
            "inputs-free": 12,
            "sockets-free": "1-12",
            "room-capacity": 350,
            "phantom-switching": "per-channel",
            "line-inputs": "no",
            "contact-name": "Noor, house sound",
        },
        "The box says 24, but 13 to 24 are dead since the flood. Twelve work.",
    ),
    DemoGig(
        "Town hall dance",
        "Quillford Town Hall",
        4,
        KNOWN_EVERYWHERE
        | {
            "inputs-free": 32,
            "room-capacity": 500,
            "patching": "one-to-one",
            "phantom-switching": "per-channel",
            "line-inputs": "yes",
            "contact-name": "Ravi, town hall sound",
        },
        "",
        signed=True,
    ),
    DemoGig(
        "Boathouse dance",
        "The Withy Boathouse",
        19,
        {"pa": "none", "who-mixes": "band-from-stage", "room-capacity": 120},
        signed=True,
        party="band",
        line_up=LineUp(deps=(("Eli", "Mika"),)),
    ),
)

TIMES = {"load-in": 16 * 60, "sound-check": 17 * 60, "doors": 19 * 60, "set": 20 * 60 + 30, "curfew": 24 * 60 + 30}


def ensure_demo(settings: Settings) -> None:
    """Fill an empty database with the demo and print how to get in. The password and the link are shown here and
    nowhere else.
    """
    now = datetime.now(UTC)
    password = "-".join(secrets.token_hex(3) for _ in range(3))
    store = open_store(settings.where)
    try:
        with store.writing(EVERYTHING) as db:
            token = _fill(db, now, password)
        _plan(store, now)
    finally:
        store.close()
    _tell(
        "The invented demo band is in. Shown this once:",
        f"  band leader   {settings.base_url}/sign-in   {LEADER}   {password}",
        f"  the house     {_house_address(settings, token)}",
        "  Another link or password: python -m portal demo --new-link, --new-password",
    )


def new_link(settings: Settings) -> None:
    """Print another house's link for the demo's first gig."""
    with _changed(settings) as db:
        user, gig = _leader_and_gig(db)
        _tell(_house_address(settings, _link(db, gig, user, datetime.now(UTC))))


def new_password(settings: Settings) -> None:
    """Give the demo's leader another password and print it."""
    password = "-".join(secrets.token_hex(3) for _ in range(3))
    with _changed(settings) as db:
        user, _gig = _leader_and_gig(db)
        bands.set_password(db, user, hash_password(password))
    _tell(f"{LEADER}   {password}")


@contextmanager
def _changed(settings: Settings) -> Iterator[Session]:
    """A session that commits when its block ends well; ends the program with a sentence where there is no database."""
    if settings.server is None and not settings.database.exists():
        sys.exit(NO_DEMO)
    store = open_store(settings.where)
    try:
        with store.writing(EVERYTHING) as db:
            yield db
    except CannotWrite as error:
        sys.exit(str(error))
    finally:
        store.close()


NO_DEMO = "There is no demo in this data folder. It is made on the first start with an empty one."


def _leader_and_gig(db: Session) -> tuple[str, Gig]:
    user = bands.user_by_email(db, LEADER)
    if user is None:
        sys.exit(NO_DEMO)
    band = bands.memberships(db, user.id)[0].band_id
    gig = next((gig for gig in gigs.of_band(db, band) if gig.name == GIGS[0].name), None)
    if gig is None:
        sys.exit(f'The demo\'s gig "{GIGS[0].name}" is not there any more.')
    return user.id, gig


def _fill(db: Session, now: datetime, password: str) -> str:
    leader = bands.add_user(db, email=LEADER, name="Ada", password_hash=hash_password(password), now=now)
    band = bands.add_band(db, name="The Ferry Lamps", owner_id=leader.id, now=now)
    rig = rigs.add(db, band_id=band.id, name="Electric rig", rig=example_rig(), author_id=leader.id, now=now)
    revision = rigs.newest(db, rig.id)
    tokens = []
    for demo in GIGS:
        words = GigWords(demo.name, demo.place, _day(now, demo.in_days), ZONE, TIMES, 75, "", rig.id, revision.id)
        gig = gigs.add(db, band.id, words, now, actor=f"user:{leader.id}", line_up=demo.line_up)
        if demo.party == "house":
            tokens.append(_link(db, gig, leader.id, now))
        _answer(db, gig, demo, leader.id, now)
        want(db, gig, now)
    return tokens[0]


def _plan(store: Store, now: datetime) -> None:
    """Plan each gig while no transaction is open, and sign what the demo shows as signed."""
    with store.reading() as db:
        work = {gig_id: found for gig_id in planning.due(db) if (found := work_of(db, gig_id))}
    made = {gig_id: make_plan(found.wish) for gig_id, found in work.items()}
    with store.writing(EVERYTHING) as db:
        leader = bands.user_by_email(db, LEADER)
        for gig_id, found in work.items():
            keep(db, gig_id, found, made[gig_id], now)
            gig = gigs.of_link(db, gig_id)
            if leader and any(demo.signed for demo in GIGS if demo.name == gig.name):
                _sign(db, gig, leader.id, now)


def _house_address(settings: Settings, token: str) -> str:
    return settings.base_url + path_to(show_link.__name__, token=token)


def _day(now: datetime, days: int) -> date:
    return (now + timedelta(days=days)).date()


def _link(db: Session, gig: Gig, user_id: str, now: datetime) -> str:
    token = new_token()
    links.make(
        db,
        gig_id=gig.id,
        party="house",
        label="House engineer",
        powers=frozenset(links.POWERS),
        token_hash=token_hash(token),
        expires=datetime.combine(gig.on, datetime.min.time(), UTC) + LASTS,
        created_by=user_id,
        now=now,
    )
    return token


def _answer(db: Session, gig: Gig, demo: DemoGig, user_id: str, now: datetime) -> None:
    if not demo.answers:
        return
    link = next(iter(links.of_gig(db, gig.id)), None)
    for question, value in (demo.answers | ({"house-sheet": demo.comment} if demo.comment else {})).items():
        answers.give(
            db,
            gig_id=gig.id,
            question=question,
            state="answered",
            value=value,
            party=demo.party,
            link_id=link.id if link else None,
            user_id=None if link else user_id,
            now=now,
        )
    if link:
        answers.send(db, gig.id, link.id, now)


def _sign(db: Session, gig: Gig, user_id: str, now: datetime) -> None:
    plan = plans.newest(db, gig.id)
    outcome = plan.read() if plan else None
    if plan is None or not isinstance(outcome, Plan):
        raise TypeError("the demo's signed gig has no plan")
    ticked = tuple(say(ask.said) for ask in outcome.asks)
    signers = [Signer("band", "Ada", "band leader", user_id=user_id)]
    signers += [Signer("house", "Ravi", "house engineer", link_id=link.id) for link in links.of_gig(db, gig.id)[:1]]
    for signer in signers:
        signoffs.sign(db, plan, signer, statement_version=STATEMENT, ticked=ticked, now=now)


def _tell(*lines: str) -> None:
    sys.stdout.write("\n".join(lines) + "\n")
    sys.stdout.flush()
