"""What stands on a paper beside the plan: whose gig, which revision, who signed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

from portal.plan.input.facts import Answers
from portal.plan.input.rig import Rig
from portal.plan.model import NoPlan, Plan
from portal.plan.result.stage import Stage
from portal.wording.catalogue import ENGLISH, gettext, language
from portal.wording.formats import join_and, say_language

Status = Literal["draft", "signed", "agreed"]
"""draft: nobody signed this content; signed: one side did; agreed: both did."""


@dataclass(frozen=True)
class Signature:
    """One side's signature under exactly this content. ``party`` is band or house;
    ``at`` is the gig's local time with its offset, ready to print; ``language`` the one that was read.
    """

    party: str
    name: str
    role: str
    at: str
    language: str = ENGLISH


@dataclass(frozen=True)
class SignedBefore:
    """An earlier revision that somebody signed and may have patched by. ``read`` gives its plan, which only the list of
    what moved asks for.
    """

    number: int
    read: Callable[[], Plan | NoPlan]


@dataclass(frozen=True)
class Cover:
    """The facts around a plan, as finished text. An empty text means not known and is left out or said so.

    ``content_hash`` is the whole hexadecimal hash, ``short_hash`` what people compare by eye. ``link`` is the address
    of the day sheet for the QR code; empty prints none. ``link_asks``: the address asks to sign in. ``contact`` is who
    of the band is called. ``times`` are finished texts such as "Load-in 17:00", ``moved`` says which of them changed
    after signing; ``signed_before`` is the revision that was signed last with another content. ``tonight``: in what the
    gig differs from the rig. ``behind``: the gig has changed since, and its plan is being worked out. ``cancelled``:
    nobody plays. ``rig`` is the rig as the plan was made from it: who brings a stand or a cable stands only there.
    ``stage`` is what the band drew of the stage. ``answers`` are what the plan was made from, and the free words of
    now; a paper shows of them what ``told`` gives for its own key.
    """

    band: str
    gig: str
    date: str
    place: str
    revision: int
    content_hash: str
    short_hash: str
    status: Status = "draft"
    signatures: tuple[Signature, ...] = ()
    answers: Answers = field(default_factory=dict)
    link: str = ""
    link_asks: bool = False
    contact: str = ""
    times: tuple[str, ...] = ()
    moved: str = ""
    signed_before: SignedBefore | None = None
    tonight: str = ""
    behind: bool = False
    cancelled: bool = False
    language: str = field(default_factory=language)
    rig: Rig = field(default_factory=Rig)
    stage: Stage = field(default_factory=Stage)


def translation(cover: Cover) -> str:
    """That nobody signed in the language of the document, and in which they did; empty where somebody did, or nobody
    signed at all.
    """
    languages = dict.fromkeys(one.language for one in cover.signatures)
    if not languages or cover.language in languages:
        return ""
    return gettext("Translation: signed in %(languages)s", languages=join_and(map(say_language, languages)))


def other_language(cover: Cover) -> str:
    """The language of one side that the document is not in: the band's, which is English, else the one in which the
    house signed. Empty where both sides read the document's own, or nobody knows.
    """
    sides = (ENGLISH, *(one.language for one in cover.signatures if one.party == "house"))
    return next((one for one in sides if one != cover.language), "")
