"""What changed between two plans."""

from __future__ import annotations

from portal.wording.plan.entry import Entries

DIFFERENCES: Entries = {
    "route-changed": "The route was {was}, now {now}.",
    "lines-new": "New line: {row}.",
    "lines-gone": "Line gone: {row}.",
    "not_sent-new": "Does not go to the house: {row}.",
    "not_sent-gone": "No longer kept from the house: {row}.",
    "returns-new": "New line back to the band: {row}.",
    "returns-gone": "Line back to the band gone: {row}.",
    "ear_inputs-new": "New input of the band's mixer: {row}.",
    "ear_inputs-gone": "Input of the band's mixer gone: {row}.",
    "moves-new": "A plug that moves: {row}.",
    "moves-gone": "A plug that no longer moves: {row}.",
    "ears-new": "New in-ear mix: {row}.",
    "ears-gone": "In-ear mix gone: {row}.",
    "outputs-new": "New output of the band's mixer: {row}.",
    "outputs-gone": "Output of the band's mixer gone: {row}.",
    "bring-new": "Bring as well: {row}.",
    "bring-gone": "No need to bring: {row}.",
    "leave-new": "Leave at home as well: {row}.",
    "leave-gone": "No longer left at home: {row}.",
    "blocks-new": "Now blocks the sign-off: {row}",
    "blocks-gone": "No longer blocks the sign-off: {row}",
    "blocks-reworded": "Now blocks the sign-off: {row} It was: {was}",
    "asks-new": "Now to be ticked when signing: {row}",
    "asks-gone": "No longer to be ticked when signing: {row}",
    "asks-reworded": "Now to be ticked when signing: {row} It was: {was}",
    "plan-at-last": "Nothing fits as things stand; with this there is a plan.",
    "row-changed": "{row}: {cells}.",
    "field-is": "{field} {value}",
    "cell-new": "{field} is now {now}",
    "cell-changed": "{field} was {was}, now {now}",
}
