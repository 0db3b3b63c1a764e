"""What the fields of a gig are called, on its form and in its history."""

from portal.wording.catalogue import Words, mark
from portal.wording.times import TIME_WORDS

LABELS = Words(
    {
        "name": mark("Name"),
        "place": mark("Place"),
        "on": mark("Date"),
        "zone": mark("Time zone"),
        **{f"time-{key}": words for key, words in TIME_WORDS.english.items()},
        "set_minutes": mark("Set length in minutes"),
        "contact": mark("The band's contact on the day"),
        "rig": mark("Rig"),
    }
)
