"""What a reason rests on: what the rig says, and what was agreed."""

from __future__ import annotations

from portal.wording.plan.entry import Entries, Plural

STATED: Entries = {
    "not-known": "not known",
    "milliamperes": "{current} mA",
    # Splitters, links and outputs
    "no-splitter": "no splitter",
    "splitter-of-ways": Plural("ways", "{splitter}, {ways} way", "{splitter}, {ways} ways"),
    "splitter-with-outputs": Plural(
        "ways",
        "{splitter}: {ways} way, {leg} outputs to the house",
        "{splitter}: {ways} ways, {leg} outputs to the house",
    ),
    "link-of-channels": Plural("channels", "{link}, {channels} channel", "{link}, {channels} channels"),
    "label-on-output": "{label} on {output}",
    "none-is-main-or-free": "none is main or free",
    "direct-or-from-the-mixer": "direct, or from the band's mixer",
    "direct-without-a-transformer": "direct, without a transformer",
    "plugs-at-the-splitters-front": "sources plug in at the splitter's front",
    # Sources
    "none-for-the-house": Plural(
        "sources",
        "{sources} source in the rig, none for the house",
        "{sources} sources in the rig, none for the house",
        "no source in the rig",
    ),
    "nobody-is-marked-as-lead": "no source is marked as lead",
    "to-mono-by": "{label}: {by}",
    "to-mono-by.as-is-usual": "{label}: {by}, as is usual; the rig does not say",
    "48-v-needed-by": "48 V needed by {labels}",
    "brought-by-the-house": "brought by the house, kind not known yet",
    "of-kind": "{named}",
    "may-share-a-microphone": "{labels} may share a microphone",
    "is-a-second-microphone": "{label} is a second microphone on {first}",
    "spare-by-passes-the-rig": "a spare that by-passes the rig",
    "rehearsal-only.goes": "rehearsal only",
    "in-ears-only.goes": "in-ears only",
    "house-only.goes": "house only",
    # The band's mixer and its mix
    "one-mixer-for-both": "one mixer for both",
    "nothing-keeps-the-ears-apart": "neither two channels an input nor protected in-ear sends are known",
    "not-tried-over-a-pa": "not yet tried over a PA",
    "no-own-pa": "the band has no PA of its own",
    "nobody-is-named": "nobody is named",
    # What was agreed, and how far the search went
    "agreed-as-the-band-proposed": "{agreed}, proposed by the band",
    "agreed-as-the-house-proposed": "{agreed}, proposed by the house",
    "stopped-at-its-limit": "stopped at its limit",
}
