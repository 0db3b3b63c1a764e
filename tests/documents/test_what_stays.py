"""No paper names a thing that stays at home, but the list of what stays."""

from __future__ import annotations

import re
from dataclasses import replace
from html import unescape

import pytest

from portal.documents.registry import DOCUMENTS
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET
from portal.documents.rendering.sizes import A4
from portal.exchange.example import example_rig
from portal.plan import Plan, reconcile
from portal.plan.input.facts import Answer
from portal.plan.input.rig import Mix
from portal.wording.plan.saying import say
from tests.documents.plans import a_cover

ROUTES = (
    {"who-mixes": "band-from-stage"},
    {"what-they-want": "left-right-mix"},
    {"what-they-want": "mix-on-your-mixer"},
    {"pa": "none"},
    {"house-split": "yes"},
    {"inputs-free": 12},
)
PAPERS = sorted(key for key, entry in DOCUMENTS.items() if entry.build and key != "pack-list")


@pytest.mark.parametrize("answers", ROUTES, ids=str)
def test_no_paper_names_what_stays_at_home(answers: dict[str, str | int]) -> None:
    """With splitters that are carried, and on every route, no drawn paper and no table holds the name of something the
    pack list leaves at home.
    """
    rig = example_rig()
    rig = replace(
        rig,
        mix=Mix(own_pa=True),
        splitter=tuple(
            replace(splitter, built_in=False, name=f"Carried split {number}")
            for number, splitter in enumerate(rig.splitter)
        ),
        loom=tuple(replace(loom, name=f"Numbered loom {number}") for number, loom in enumerate(rig.loom)),
    )
    plan = reconcile(rig, {key: Answer("answered", value, "house") for key, value in answers.items()})
    assert isinstance(plan, Plan)
    # A microphone or DI that stays goes by its source's name; the same kind comes along for others.
    left = (say(item.what) for item in plan.leave if say(item.why) != "for rehearsals only")
    names = {what.partition(",")[0] for what in left if not what.startswith(("microphone of ", "DI"))}
    assert names or answers == {"inputs-free": 12}
    cover = a_cover(rig=rig)
    for key in PAPERS:
        texts = [unescape(re.sub("<[^>]+>", " ", page(key, plan, cover, STYLESHEET, A4)))]
        if (table := DOCUMENTS[key].table) is not None:
            texts += [str(cell) for row in table(plan, cover).rows for cell in row]
        for name in names:
            assert not [text for text in texts if name in text], f"{key}: {name}"
