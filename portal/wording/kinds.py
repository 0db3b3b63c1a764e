"""Words beside the marks of pages and documents, by kind."""

from portal.wording.catalogue import Words, mark, pgettext

SIDES = Words({"band": mark("the band"), "house": mark("the house")})
"""The two sides, as a sentence names them."""

STANDS = Words({"none": "", "short": mark("short"), "tall": mark("tall"), "clip": mark("clip")})
"""What a microphone stands on, by the rig's key; empty for nothing."""


def say_stand(stand: str) -> str:
    """A stand in the reader's language; empty where there is none."""
    # A path is straight too, and other languages have two words for the two.
    return pgettext("a microphone's stand", "straight") if stand == "straight" else STANDS.get(stand, stand)


DID = {
    "band": Words(
        {
            "sent": mark("The band has sent its answers."),
            "answers": mark("The band has answered."),
            "comments": mark("The band has commented."),
            "proposals": mark("The band has proposed a change."),
            "settled": mark("The band has decided on a proposal."),
            "signed": mark("The band has signed."),
            "withdrawn": mark("The band has withdrawn a signature."),
        }
    ),
    "house": Words(
        {
            "sent": mark("The house has sent its answers."),
            "answers": mark("The house has answered."),
            "comments": mark("The house has commented."),
            "proposals": mark("The house has proposed a change."),
            "settled": mark("The house has decided on a proposal."),
            "signed": mark("The house has signed."),
            "withdrawn": mark("The house has withdrawn a signature."),
        }
    ),
}
"""What the other side did, by what is counted."""

KIND_WORDS = Words(
    {
        "blocks": mark("blocker"),
        "asks": mark("to confirm"),
        "notes": mark("note"),
        "assumed": mark("assumed"),
        "preparing": mark("preparing"),
        "ready": mark("ready"),
        "asking": mark("asking"),
        "planned": mark("planned"),
        "being worked out": mark("being worked out"),
        "agreed": mark("agreed"),
        "outdated": mark("outdated"),
        "played": mark("played"),
        "cancelled": mark("cancelled"),
        "current": mark("current"),
        "signed": mark("signed"),
        "open": mark("open"),
        "decide": mark("decide"),
    }
)
"""A kind that is not in here is its own word."""
