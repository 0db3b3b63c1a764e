"""Who may use which address. A new route needs its line here, else the access test fails.

``both`` stands for the two mounts of a gig's page: ``/gigs/{gig_id}`` for the band and ``/house/{gig_id}`` for whoever
came by a link.
"""

EVERYBODY = frozenset(
    {
        "nobody",
        "owner",
        "editor",
        "member",
        "other band",
        "link: view",
        "link: answer",
        "link: sign",
        "code on paper",
        "link of another gig",
        "link expired",
        "link revoked",
    }
)
ACTORS = tuple(sorted(EVERYBODY))

READS = frozenset({"owner", "editor", "member"})
EDITS = frozenset({"owner", "editor"})
OWNS = frozenset({"owner"})
HAS_ACCOUNT = READS | {"other band"}
LINKS = frozenset({"link: view", "link: answer", "link: sign"})
LOOKS = LINKS | {"code on paper"}
ANSWERS = frozenset({"link: answer"})
SIGNS = frozenset({"link: sign"})
HOLDS_A_LINK = frozenset({"link: view", "link: answer", "link: sign", "link of another gig"})
"""Every link also views; "link: answer" and "link: sign" carry one more power each."""

RULES: dict[str, frozenset[str]] = {
    "GET /alive": EVERYBODY,
    "GET /ready": EVERYBODY,
    "GET /": EVERYBODY,
    "GET /sign-up": EVERYBODY,
    "POST /sign-up": EVERYBODY,
    "GET /sign-in": EVERYBODY,
    "POST /sign-in": EVERYBODY,
    "POST /sign-out": EVERYBODY,
    "GET /why/{key}": EVERYBODY,
    "GET /how-the-portal-chooses": EVERYBODY,
    "GET /account": HAS_ACCOUNT,
    "POST /account/name": HAS_ACCOUNT,
    "POST /account/password": HAS_ACCOUNT,
    "GET /account/confirm": HAS_ACCOUNT,
    "POST /account/confirm": HAS_ACCOUNT,
    "POST /account/codes": HAS_ACCOUNT,
    "GET /account/given.json": HAS_ACCOUNT,
    "GET /account/erase": HAS_ACCOUNT,
    "POST /account/erase": HAS_ACCOUNT,
    "GET /recover": EVERYBODY,
    "POST /recover": EVERYBODY,
    "GET /members": HAS_ACCOUNT,
    "POST /members/invitations": OWNS | {"other band"},
    "POST /members/invitations/{invitation_id}/end": OWNS,
    "POST /members/{user_id}/role": OWNS,
    "POST /members/{user_id}/owner": OWNS,
    "POST /members/{user_id}/remove": OWNS,
    "POST /members/{user_id}/way-back": OWNS,
    "GET /join/{join_token}": EVERYBODY,
    "POST /join/{join_token}": EVERYBODY,
    "GET /new-password/{password_token}": EVERYBODY,
    "POST /new-password/{password_token}": EVERYBODY,
    "GET /in/{token}": HOLDS_A_LINK,
    "HEAD /in/{token}": HOLDS_A_LINK,
    "POST /in/{token}": HOLDS_A_LINK,
    "GET /day/{view_token}": HOLDS_A_LINK | {"code on paper"},
    "POST /day/{view_token}": HOLDS_A_LINK | {"code on paper"},
    "GET /gigs/new": EDITS | {"other band"},
    "POST /gigs/new": EDITS | {"other band"},
    "GET /gigs/{gig_id}": READS,
    "GET /events": HAS_ACCOUNT,
    "GET /gigs/{gig_id}/events": READS,
    "GET /house/{gig_id}/news": LOOKS,
    "GET /gigs/{gig_id}/details": EDITS,
    "POST /gigs/{gig_id}/details": EDITS,
    "POST /gigs/{gig_id}/cancel": EDITS,
    "POST /gigs/{gig_id}/rig": EDITS,
    "POST /gigs/{gig_id}/plan/again": EDITS,
    "GET /gigs/{gig_id}/who-mixes": EDITS,
    "POST /gigs/{gig_id}/who-mixes": EDITS,
    "GET /gigs/{gig_id}/last-time": EDITS,
    "POST /gigs/{gig_id}/last-time": EDITS,
    "GET /gigs/{gig_id}/afterwards": EDITS,
    "POST /gigs/{gig_id}/afterwards": EDITS,
    "GET /gigs/{gig_id}/links": OWNS,
    "POST /gigs/{gig_id}/links": OWNS,
    "POST /gigs/{gig_id}/links/{link_id}/revoke": OWNS,
    "POST /gigs/{gig_id}/links/{link_id}/replace": OWNS,
    "GET /house/{gig_id}": LOOKS,
    "POST /house/{gig_id}/questions": ANSWERS,
    "GET /house/{gig_id}/questions/sent": ANSWERS,
    "GET both/questions": EDITS | ANSWERS,
    "GET both/questions/next": EDITS | ANSWERS,
    "GET both/questions/more": EDITS | ANSWERS,
    "GET both/questions/{topic_key}": EDITS | ANSWERS,
    "POST both/questions/{topic_key}": EDITS | ANSWERS,
    "GET both/given": OWNS | LINKS,
    "GET both/given.json": OWNS | LINKS,
    "POST both/given/erase": OWNS | LINKS,
    "GET both/history": READS | LOOKS,
    "GET both/plan": READS | LOOKS,
    "GET both/plan/{number}": READS | LOOKS,
    "GET both/plan/{number}/lines/{line}": READS | LOOKS,
    "GET both/choosing": READS | LOOKS,
    "GET both/what-if": READS | LOOKS,
    "GET both/talk": READS | LOOKS,
    "POST both/talk": EDITS | ANSWERS,
    "POST both/talk/proposals": EDITS | ANSWERS,
    "GET both/talk/proposals/{proposal_id}": READS | LOOKS,
    "POST both/talk/proposals/{proposal_id}": EDITS | ANSWERS,
    "POST both/talk/proposals/{proposal_id}/release": EDITS | ANSWERS,
    "GET both/sign-off": OWNS | SIGNS,
    "POST both/sign-off": OWNS | SIGNS,
    "GET both/sign-off/{number}": READS | LOOKS,
    "POST both/sign-off/{number}/withdraw": OWNS | SIGNS,
    "GET both/stage": READS | LOOKS,
    "POST /gigs/{gig_id}/stage": EDITS,
    "GET both/papers": READS | LOOKS,
    "POST /gigs/{gig_id}/papers": EDITS,
    "GET both/revisions/{number}/papers": READS | LOOKS,
    "GET both/papers/calendar.ics": READS | LOOKS,
    "GET both/papers/{number}/label-sheet": READS | LOOKS,
    "GET both/papers/{number}/labels.pdf": READS | LOOKS,
    "GET both/papers/{number}/label-test.pdf": READS | LOOKS,
    "GET both/papers/{number}/{document}.{ending}": READS | LOOKS,
    "GET both/papers/{document}": READS | LOOKS,
    "GET both/papers/{document}.pdf": READS | LOOKS,
    "GET both/papers/kept/{paper_id}.pdf": READS | LOOKS,
    "GET both/papers/{number}/{document}": READS | LOOKS,
    "GET both/papers/{number}/{document}.pdf": READS | LOOKS,
    "GET both/day": READS | LOOKS,
    "POST both/day/lines": READS | LOOKS,
    "GET both/day/{content_hash}": READS | LOOKS,
    "GET both/day/{content_hash}.html": READS | LOOKS,
    "GET /day-worker.js": EVERYBODY,
    "GET /check": EVERYBODY,
    "POST /check": EVERYBODY,
    "GET /rigs": HAS_ACCOUNT,
    "GET /rigs/new": EDITS | {"other band"},
    "POST /rigs/new/nothing": EDITS | {"other band"},
    "POST /rigs/new/example": EDITS | {"other band"},
    "POST /rigs/new/file": EDITS | {"other band"},
    "GET /rigs/{rig_id}": READS,
    "GET /rigs/{rig_id}/revisions": READS,
    "POST /rigs/{rig_id}/revisions": EDITS,
    "GET /rigs/{rig_id}/copy": EDITS,
    "POST /rigs/{rig_id}/copy": EDITS,
    "GET /rigs/{rig_id}/rows/together": EDITS,
    "POST /rigs/{rig_id}/rows/together": EDITS,
    "GET /rigs/{rig_id}/revisions/{number}": READS,
    "GET /rigs/{rig_id}/revisions/{number}/rows.csv": READS,
    "GET /rigs/{rig_id}/revisions/{number}/rig.json": READS,
    "GET /rigs/{rig_id}/rows": EDITS,
    "POST /rigs/{rig_id}/rows": EDITS,
    "GET /rigs/{rig_id}/rows/new": EDITS,
    "POST /rigs/{rig_id}/rows/new": EDITS,
    "GET /rigs/{rig_id}/row": EDITS,
    "POST /rigs/{rig_id}/row": EDITS,
    "GET /rigs/{rig_id}/import": EDITS,
    "POST /rigs/{rig_id}/import": EDITS,
    "POST /rigs/{rig_id}/import/confirm": EDITS,
    "POST /rigs/{rig_id}/import/reading": EDITS,
    "POST /rigs/{rig_id}/import/text": EDITS,
    "POST /rigs/{rig_id}/import/whole": EDITS,
    "GET /rigs/{rig_id}/name": EDITS,
    "POST /rigs/{rig_id}/name": EDITS,
    "GET /rigs/{rig_id}/{topic}": EDITS,
    "POST /rigs/{rig_id}/{topic}": EDITS,
}


def rule_of(method: str, path: str) -> frozenset[str] | None:
    """Who may use a route; ``None`` where nobody said."""
    own = RULES.get(f"{method} {path}")
    if own is not None:
        return own
    for mount, actors in (("/gigs/{gig_id}", READS), ("/house/{gig_id}", LOOKS)):
        if path.startswith(mount + "/"):
            shared = RULES.get(f"{method} both{path.removeprefix(mount)}")
            return None if shared is None else shared & actors
    return None
