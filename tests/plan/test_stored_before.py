"""Plans that were stored under engine 8 hold English where today's hold keys. They keep their hash, are read, compared
and printed as ever.

The files in ``golden/engine-8`` were written by the portal of that time: they are never made anew.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from portal.documents.day_sheet import day_sheet
from portal.documents.input_list import input_list
from portal.documents.pack_list import pack_list
from portal.documents.patch.patch_sheet import patch_sheet
from portal.plan import Plan, reconcile
from portal.plan.input.facts import Answer
from portal.plan.model import ENGINE
from portal.plan.signed.difference import difference, heaviest_first
from portal.plan.signed.serialization import Heading, content_hash
from portal.store.plans import read_outcome
from portal.wording.plan.saying import in_english
from tests.documents.plans import a_cover
from tests.plan.case_files import FOLDER, read

STORED = sorted((Path(__file__).parent / "golden" / "engine-8").glob("*.json"))
HEADING = Heading("A gig", "2026-11-30", "A place")
DOCUMENTS = (patch_sheet, input_list, pack_list, day_sheet)


@pytest.fixture(params=STORED, ids=lambda path: path.stem)
def both(request: pytest.FixtureRequest) -> tuple[Plan, Plan]:
    """The plan as it was stored, and the one that the same gig gets today, but for a sentence that says more today: who
    gets the pads that are missing.
    """
    then = read_outcome(json.dumps(json.loads(request.param.read_text("utf-8"))["plan"]))
    case = read(FOLDER / f"{request.param.stem}.toml")
    now = reconcile(case.rig, {**case.answers, "talkback": Answer("answered", "yes", "house")})
    assert isinstance(then, Plan)
    assert isinstance(now, Plan)
    pads = next((one for one in then.asks if one.key == "pads-short"), None)
    return then, replace(now, asks=tuple(pads if pads and one.key == pads.key else one for one in now.asks))


def test_its_hash_is_the_one_of_then(both: tuple[Plan, Plan]) -> None:
    """A signature under it holds; today's plan is signed anew, for it is written down in another way."""
    then, now = both
    assert (then.engine, now.engine) == ("8", ENGINE)
    told = {json.loads(path.read_text("utf-8"))["hash"] for path in STORED}
    assert content_hash(then, HEADING) in told
    assert content_hash(now, HEADING) not in told


def test_what_reads_alike_has_not_moved(both: tuple[Plan, Plan]) -> None:
    """The two hold nothing alike to the letter, and people read the same: so they are told no change."""
    then, now = both
    assert difference(then, now) != ()
    assert heaviest_first(then, now, in_english) == ()
    assert heaviest_first(now, then, in_english) == ()


def test_what_did_move_is_told(both: tuple[Plan, Plan]) -> None:
    """A thing more and another name of what feeds an input are found among all that only reads alike."""
    then, now = both
    more = replace(now, bring=(*now.bring, replace(now.bring[0], what="fog machine")))
    (change,) = heaviest_first(then, more, in_english)
    assert in_english(change.said) == "Bring as well: fog machine, count 1."
    first, *others = now.ear_inputs
    other = replace(now, ear_inputs=(replace(first, heard="nobody"), *others))
    (change,) = heaviest_first(then, other, in_english)
    assert in_english(change.said) == f"{first.label}: who hears it was {in_english(first.heard)}, now nobody."


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda document: document.__name__)
def test_its_documents_say_what_those_of_today_say(both: tuple[Plan, Plan], document: object) -> None:
    """But for the line back to the band, whose note is a whole sentence today, and the cut list, which says more."""
    then, now = both
    assert callable(document)
    notes = {one.label: one.note for one in then.returns}
    alike = replace(
        now,
        returns=tuple(replace(one, note=notes[in_english(one.label)]) for one in now.returns),
        cut_list=then.cut_list,
        engine="8",
    )
    assert document(then, a_cover()) == document(alike, a_cover())
