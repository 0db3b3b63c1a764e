"""A candidate as a form: today's rig with plain changes, and what the band says of its size, weight and price."""

import re
from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.compare.changes import (
    BIT_WORDS,
    COUNTED,
    FLOOR,
    KEEP,
    RACK,
    SPLITTERS,
    Changes,
    Figures,
    faults_of,
)
from portal.compare.grid import MOST_CANDIDATES
from portal.plan.input.rig import MAX_LABEL
from portal.web.compare.comparison_access import Compared, ToChange, keep, numbered
from portal.web.frame.deps import Db, Here, Now, Number, Sent
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.wording.catalogue import Words, gettext, look_up, mark
from portal.wording.formats import of_unit, read_length, write_length

router = Screens()

MOST_WAYS, MOST_OUTS, MOST_INPUTS, MOST_BUSSES, MOST_BITS, MOST_LOOMS = 128, 32, 256, 64, 999, 8
MOST_METRES = 300

FIGURES = {
    "units": (mark("Rack units"), 100),
    "kg": (mark("Weight in kg"), 1_000),
    "price": (mark("Price"), 1_000_000),
    "fee": (mark("Hire a gig"), 100_000),
}

A_LOOM = re.compile(r"([0-9]{1,3})\s*[x×*]\s*([0-9].*)")

ISOLATION = Words({"isolated": mark("Isolated, with transformers"), "direct": mark("Direct")})


@dataclass(frozen=True, kw_only=True)
class CandidatePage(FormPage):
    """One candidate; ``today`` where it is today's rig, which has figures only."""

    template: ClassVar[str] = "compare/candidate_form.html"
    action: str
    back: str
    today: bool
    remove: str
    splitters: tuple[tuple[str, str], ...]
    isolation: tuple[tuple[str, str], ...]
    bits: tuple[tuple[str, str], ...]
    figures: tuple[tuple[str, str], ...]


@router.get("/compare/{comparison_id}/rigs/new")
def show_new_candidate(request: Request, compared: ToChange) -> Response:
    """An empty form."""
    _room_for_more(compared)
    form = Draft.of({"splitter": KEEP, "isolated": "isolated"}, version=compared.opened.row.version)
    return _page(request, compared, None, form)


@router.post("/compare/{comparison_id}/rigs/new")
def add_candidate(request: Request, compared: ToChange, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """One more candidate. What was typed comes back where somebody changed the comparison meanwhile."""
    # The same form again adds nothing: its key is looked at before what it holds is held against itself.
    once = begin(request, db, sent, actor=compared.user.actor, key=portal.key, now=now)
    _room_for_more(compared)
    check = Check(sent)
    made = _read(check, compared, None)
    if made is None:
        return _page(request, compared, None, check.draft(compared.opened.row.version), 422)
    if sent.version() != compared.opened.row.version:
        check.fault(
            "name", gettext("Somebody else changed this comparison meanwhile. Look at its rigs, then save this one.")
        )
        return _page(request, compared, None, check.draft(compared.opened.row.version), 409)
    keep(db, compared, sent.version(), (*compared.changes, made))
    return once.done(path_to("show_comparison", comparison_id=compared.id))


@router.get("/compare/{comparison_id}/rigs/{number}")
def show_candidate(request: Request, compared: ToChange, number: Number) -> Response:
    """A candidate to change."""
    form = Draft(_values(numbered(compared, number)), version=compared.opened.row.version)
    return _page(request, compared, number, form)


@router.post("/compare/{comparison_id}/rigs/{number}")
def change_candidate(
    request: Request, compared: ToChange, number: Number, sent: Sent, portal: Here, now: Now, db: Db
) -> Response:
    """Change a candidate, or say the figures of today's rig."""
    numbered(compared, number)
    check = Check(sent)
    made = _read(check, compared, number)
    if made is None:
        return _page(request, compared, number, check.draft(compared.opened.row.version), 422)
    once = begin(request, db, sent, actor=compared.user.actor, key=portal.key, now=now)
    others = compared.changes
    keep(db, compared, sent.version(), (*others[:number], made, *others[number + 1 :]))
    return once.done(path_to("show_comparison", comparison_id=compared.id))


@router.post("/compare/{comparison_id}/rigs/{number}/remove")
def remove_candidate(
    request: Request, compared: ToChange, number: Number, sent: Sent, portal: Here, now: Now, db: Db
) -> Response:
    """Take a candidate away; today's rig stays."""
    once = begin(request, db, sent, actor=compared.user.actor, key=portal.key, now=now)
    if number == 0:
        raise NotThere
    numbered(compared, number)
    others = compared.changes
    keep(db, compared, sent.version(), (*others[:number], *others[number + 1 :]))
    return once.done(path_to("show_comparison", comparison_id=compared.id))


def _room_for_more(compared: Compared) -> None:
    if len(compared.changes) >= MOST_CANDIDATES:
        raise PortalError(
            409,
            gettext("%(most_candidates)s rigs are compared already", most_candidates=MOST_CANDIDATES),
            gettext("Nothing was saved. Take one away, then add another."),
        )


def _page(request: Request, compared: Compared, number: int | None, form: Draft, status: int = 200) -> Response:
    here = {"comparison_id": compared.id}
    today = number == 0
    added = path_to("show_new_candidate", **here)
    page = CandidatePage(
        title=gettext("Today's rig")
        if today
        else gettext("Another rig")
        if number is None
        else gettext("Change this rig"),
        form=form,
        action=added if number is None else path_to("show_candidate", number=number, **here),
        back=path_to("show_comparison", **here),
        today=today,
        remove=path_to("remove_candidate", number=number, **here) if number else "",
        splitters=tuple(SPLITTERS.items()),
        isolation=tuple(ISOLATION.items()),
        bits=tuple((key, BIT_WORDS[key]) for key in COUNTED),
        figures=tuple((key, look_up(words)) for key, (words, _) in FIGURES.items()),
    )
    return render(request, page, status=status)


def _values(changes: Changes) -> dict[str, tuple[str, ...]]:
    """A candidate as the entries of the form."""
    figures = {key: getattr(changes.figures, key) for key in FIGURES}
    counts = {
        "ways": changes.ways or None,
        "unprocessed": changes.unprocessed or None,
        "processed": changes.processed or None,
        "mixer_inputs": changes.mixer_inputs,
        "mono_busses": changes.mono_busses,
        "stereo_busses": changes.stereo_busses,
        **{key: changes.bits.get(key) for key in COUNTED},
    }
    texts = {
        "name": changes.name,
        "splitter": changes.splitter,
        "isolated": "isolated" if changes.isolated else "direct",
        "looms": ", ".join(f"{ways} x {write_length(metres)}" for ways, metres in changes.looms or ()),
        **{key: str(count) for key, count in counts.items() if count is not None},
        **{key: write_figure(number) for key, number in figures.items()},
    }
    ticked = {"also": [key for key in ("ears_to_mono", "seconds_straight") if getattr(changes, key)]}
    return {key: (text,) for key, text in texts.items()} | {key: tuple(each) for key, each in ticked.items()}


def _read(check: Check, compared: Compared, number: int | None) -> Changes | None:
    """The candidate of the form; ``None`` where something is wrong, which is noted at its field."""
    figures = Figures(**{key: read_figure(check, key, key) for key in FIGURES})
    if number == 0:
        return Changes(figures=figures) if check.well else None
    splitter = check.choice("splitter", tuple(SPLITTERS), gettext("Choose what becomes of the splitter."))
    ways = check.number("ways", gettext("Ways"), lo=1, hi=MOST_WAYS)
    if splitter in (RACK, FLOOR) and ways is None:
        check.fault("ways", gettext("Enter how many ways the splitter has, for example 16."))
    also = check.sent.texts("also")
    made = Changes(
        check.text("name", longest=MAX_LABEL),
        splitter or KEEP,
        (ways or 0) if splitter in (RACK, FLOOR) else 0,
        check.sent.text("isolated") != "direct",
        check.number("unprocessed", gettext("Outputs before all processing"), lo=0, hi=MOST_OUTS) or 0,
        check.number("processed", gettext("Processed outputs"), lo=0, hi=MOST_OUTS) or 0,
        check.number("mixer_inputs", gettext("Inputs"), lo=1, hi=MOST_INPUTS),
        check.number("mono_busses", gettext("Mono busses"), lo=0, hi=MOST_BUSSES),
        check.number("stereo_busses", gettext("Stereo busses"), lo=0, hi=MOST_BUSSES),
        "ears_to_mono" in also,
        "seconds_straight" in also,
        _looms(check),
        {key: count for key in COUNTED if (count := check.number(key, BIT_WORDS[key], lo=0, hi=MOST_BITS)) is not None},
        figures,
    )
    wrong = faults_of(compared.opened.comparison.candidates[0].rig, made) if check.well else ()
    for sentence in wrong:
        check.fault("splitter", sentence)
    if any(made.words == one.words for at, one in enumerate(compared.changes) if at not in (0, number)):
        check.fault("name", gettext("Another rig of this comparison is called so. Give this one a name of its own."))
    return made if check.well else None


def _looms(check: Check) -> tuple[tuple[int, float], ...] | None:
    """The looms of the form, as ways x metres; ``None`` where they stay as they are."""
    text = check.text("looms")
    if not text:
        return None
    found = [A_LOOM.fullmatch(part.strip()) for part in re.split(r",\s|;|\n", text)]
    try:
        looms = [(int(one[1]), round(read_length(one[2]), 2)) for one in found if one]
    except ValueError:
        looms = []
    if len(looms) < len(found) or any(not 1 <= ways <= MOST_WAYS or metres > MOST_METRES for ways, metres in looms):
        wrong = of_unit(
            gettext("Enter ways and metres of each loom, for example 16 x 20, 8 x 15."),
            gettext("Enter ways and feet of each loom, for example 16 x 65, 8 x 50."),
        )
        check.fault("looms", wrong)
        return None
    if len(looms) > MOST_LOOMS:
        check.fault("looms", gettext("Enter %(most_looms)s looms at most.", most_looms=MOST_LOOMS))
        return None
    return tuple(looms)


def write_figure(number: float | None) -> str:
    """A figure as a form holds it; empty where it is not said."""
    return "" if number is None else f"{number:g}"


def read_figure(check: Check, name: str, key: str) -> float | None:
    """A field as a figure; ``None`` where it is empty, or wrong, which is noted."""
    words, most = look_up(FIGURES[key][0]), FIGURES[key][1]
    text = check.text(name).replace(",", ".")
    if not text:
        return None
    if not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,2})?", text) or float(text) > most:
        check.fault(
            name, gettext("%(words)s: enter a number from 0 to %(most)s, for example 12.5.", words=words, most=most)
        )
        return None
    return float(text)
