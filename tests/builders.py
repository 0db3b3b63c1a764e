"""Things that tests stand on: full defaults, keyword overrides, nothing random but ids. Every name is invented."""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from itertools import count

from portal.plan.input.answer_kinds import Value
from portal.plan.input.rig import Ears, Loom, Mixer, Out, Rig, Source, Splitter, SplitterOutput
from portal.plan.signed.serialization import Heading
from portal.store import answers, gigs, links, plans, rigs
from portal.store.accounts import bands
from portal.store.database.session import Session

NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
PASSWORD = "three wet towels drying"
PASSWORD_HASH = "not a hash: nobody signs in with it"

_numbers = count(1)


def a_source(key: str = "kick", **changes: object) -> Source:
    return replace(Source(key=key, label=key.title(), strip=key[:6], what="drum.kick-drum", capture="mic"), **changes)


def a_rig(**changes: object) -> Rig:
    """A small band: four sources on a built-in splitter, one loom, one in-ear mix."""
    rig = Rig(
        name="The Paper Lanterns",
        mixer=Mixer(inputs=16, channels=16, outs=(Out(key="out 1", use="main"), Out(key="out 2", use="ears:Ada"))),
        source=(
            a_source("kick", splitter="s", way=1, mixer_input=1),
            a_source("bass", what="pluck.bass.electric", capture="di", splitter="s", way=2, mixer_input=2),
            a_source("keys", what="synth.generic", capture="di", splitter="s", way=3, mixer_input=3),
            a_source("lead", what="voice.vocals", lead=True, splitter="s", way=4, mixer_input=4),
        ),
        splitter=(
            Splitter(
                key="s", name="Splitter", ways=8, built_in=True, outputs=(SplitterOutput(key="A", kind="isolated"),)
            ),
        ),
        loom=(Loom(key="l", name="Loom", ways=8, length_m=10.0),),
        ears=(Ears(player="Ada", width="mono", outs=("out 2",)),),
    )
    return replace(rig, **changes)


@dataclass(frozen=True)
class ABand:
    """A band with its owner."""

    band_id: str
    user_id: str
    email: str


def a_band(db: Session, *, name: str = "The Paper Lanterns", password_hash: str = PASSWORD_HASH) -> ABand:
    email = f"leader{next(_numbers)}@band.example"
    user = bands.add_user(db, email=email, name="Ada Example", password_hash=password_hash, now=NOW)
    band = bands.add_band(db, name=name, owner_id=user.id, now=NOW)
    return ABand(band.id, user.id, email)


def a_stored_rig(db: Session, band: ABand, rig: Rig | None = None) -> rigs.BandRig:
    return rigs.add(db, band_id=band.band_id, name="Club rig", rig=rig or a_rig(), author_id=band.user_id, now=NOW)


def a_gig(
    db: Session, band: ABand, *, rig: Rig | None = None, stored: rigs.BandRig | None = None, **changes: object
) -> gigs.Gig:
    stored = stored or a_stored_rig(db, band, rig)
    words = gigs.GigWords(
        name="Harbour night",
        place="The Old Net Loft",
        on=date(2026, 12, 5),
        time_zone="Europe/Berlin",
        times={"load-in": 960, "doors": 1140, "set": 1260, "curfew": 1470},
        set_minutes=75,
        configuration="",
        rig_id=stored.id,
        rig_revision_id=rigs.newest(db, stored.id).id,
    )
    return gigs.add(db, band.band_id, replace(words, **changes), NOW, actor=f"user:{band.user_id}")


def a_link(
    db: Session,
    gig: gigs.Gig,
    band: ABand,
    *,
    token_hash: str = "",
    powers: tuple[str, ...] = links.POWERS,
    expires: datetime = NOW + timedelta(days=30),
) -> links.Link:
    return links.make(
        db,
        gig_id=gig.id,
        party="house",
        label="House engineer",
        powers=frozenset(powers),
        token_hash=token_hash or f"hash {next(_numbers)}",
        expires=expires,
        created_by=band.user_id,
        now=NOW,
    )


def an_answer(
    db: Session, gig_id: str, question: str, value: Value, *, party: str = "house", now: datetime = NOW, **by: str
) -> answers.StoredAnswer:
    """An answer of one side; ``by``: the ``link_id`` or the ``user_id`` of whoever gave it."""
    return answers.give(db, gig_id=gig_id, question=question, state="answered", value=value, party=party, now=now, **by)


def a_plan(db: Session, gig: gigs.Gig, *, content_hash: str = "a" * 64) -> plans.StoredPlan:
    """A stored result. It says that there is no plan, which is the shortest thing that can be stored."""
    return plans.keep(
        db,
        gig_id=gig.id,
        basis=plans.Basis(gig.rig_revision_id, {}, ()),
        engine="1",
        heading=Heading(gig.name, gig.on.isoformat(), gig.place),
        document='{"schema":1,"status":"no-plan","sentence":"Nothing fits.","conflicts":[],"remedies":[],"assumed":[],'
        '"limit_reached":false,"engine":"1"}',
        content_hash=content_hash,
        now=NOW,
    )
