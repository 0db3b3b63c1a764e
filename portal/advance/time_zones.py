"""When a gig's times are, where it is: zones, and nights on which the clocks change."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from importlib.resources import files
from zoneinfo import ZoneInfo


def moment_of(on: date, minutes: int, zone: str) -> datetime:
    """The moment in UTC. Where clocks go back and the hour comes twice, the first one."""
    wall = datetime.combine(on, time()) + timedelta(minutes=minutes)
    return wall.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)


def is_skipped(on: date, minutes: int, zone: str) -> bool:
    """True where clocks go forward and the time does not exist that night."""
    wall = datetime.combine(on, time()) + timedelta(minutes=minutes)
    return moment_of(on, minutes, zone).astimezone(ZoneInfo(zone)).replace(tzinfo=None) != wall


def comes_twice(on: date, minutes: int, zone: str) -> bool:
    """True where clocks go back and the time comes twice that night."""
    wall = (datetime.combine(on, time()) + timedelta(minutes=minutes)).replace(tzinfo=ZoneInfo(zone))
    return not is_skipped(on, minutes, zone) and wall.utcoffset() != wall.replace(fold=1).utcoffset()


@cache
def all_zones() -> tuple[str, ...]:
    """The zones of every country, those that keep another's time included, and UTC, by name."""
    folder = files("tzdata").joinpath("zoneinfo")
    lines = [
        line for tab in ("zone.tab", "zone1970.tab") for line in folder.joinpath(tab).read_text("utf-8").splitlines()
    ]
    return (*sorted({line.split("\t")[2] for line in lines if line and not line.startswith("#")}), "UTC")


def zone_options(first: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """The choice of time zones, value and words, the ones that the band used before at the top."""
    before = tuple(dict.fromkeys(first))
    return tuple(
        (zone, zone.replace("_", " ")) for zone in (*before, *(zone for zone in all_zones() if zone not in before))
    )
