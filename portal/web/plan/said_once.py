"""What most lines say alike is said once above them; a row tells only what differs."""

from collections import Counter

from portal.plan.model import Line
from portal.plan.result.spelling import leg_of
from portal.wording.catalogue import Words, gettext, look_up, mark
from portal.wording.formats import headed
from portal.wording.plan.saying import say

LEVELS = Words({"mic": mark("microphone level"), "line": mark("line level")})
GAINS = Words({"each": mark("each side sets its own gain"), "band": mark("the band sets the gain")})
"""Who sets a line's gain; the house's own is said nowhere."""


def told(line: Line) -> dict[str, str]:
    """What a line says of itself unless all say the same."""
    dry = line.path.kind == "split"
    leg = leg_of(line.path)
    return {
        "level": LEVELS.get(line.level, line.level),
        "splitter": gettext("%(unit_name)s, %(leg)s output", unit_name=say(line.path.unit_name), leg=look_up(leg))
        if leg
        else say(line.path.unit_name)
        if dry
        else "",
        "gain": GAINS.get(line.gain_owner, ""),
        "lift": gettext("ground lift %(lift)s", lift=say(line.lift)) if line.lift else "",
    }


def common_to(lines: list[Line]) -> dict[str, str]:
    """What most lines say alike, by its name: a row tells only what differs."""
    each = [told(line) for line in lines]
    most = {name: Counter(one[name] for one in each).most_common(1)[0] for name in (each[0] if each else ())}
    return {name: words for name, (words, count) in most.items() if 2 * count > len(each)}


def shared_words(lines: list[Line], common: dict[str, str]) -> str:
    """What most lines say alike, as a sentence above them."""
    words = ", ".join(one for one in common.values() if one)
    if not words:
        return ""
    every = all(told(line).get(name) == said for line in lines for name, said in common.items())
    said_of = gettext("Every line") if every else gettext("Unless a row says otherwise")
    return f"{headed(said_of, words)}."
