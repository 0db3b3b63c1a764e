"""What the fields of a gig are called, on its form and in its history."""

from collections.abc import Mapping

from portal.wording.times import TIME_WORDS

LABELS: Mapping[str, str] = {
    "name": "Name",
    "place": "Place",
    "on": "Date",
    "zone": "Time zone",
    **{f"time-{key}": words for key, words in TIME_WORDS.items()},
    "set_minutes": "Set length in minutes",
    "contact": "The band's contact on the day",
    "rig": "Rig",
}
