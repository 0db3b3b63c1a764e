"""Every address that a page or a handler needs, named for its target. Templates never glue paths.

A gig's pages exist twice: for the band below ``/gigs/<id>``, for whoever came by a link below ``/house/<id>``.
Functions that take ``base`` want one of the two; ``AllowedGig.base`` holds the right one.
"""

from collections.abc import Iterable
from functools import cache
from hashlib import sha256
from urllib.parse import quote, urlencode

from portal.places import STATIC
from portal.plan.input.questions import QUESTIONS


@cache
def static(name: str) -> str:
    """A file of ``static/``. The address changes with the content, so that browsers may keep it for ever."""
    return f"/static/{name}?v={sha256((STATIC / name).read_bytes()).hexdigest()[:12]}"


SCRIPTS = ("vendor/htmx-4.0.1/htmx.min.js", "portal.js")
"""The scripts of every page, sent as one file."""


@cache
def script() -> str:
    """The one script of every page; its address changes with its content as well."""
    content = b"".join((STATIC / name).read_bytes() for name in SCRIPTS)
    return f"/static/page.js?v={sha256(content).hexdigest()[:12]}"


def home() -> str:
    """The list of gigs, or the way in."""
    return "/"


def sign_in(then: str = "") -> str:
    """Sign in, and go on to ``then``."""
    return "/sign-in" + (f"?then={quote(then)}" if then else "")


def sign_up() -> str:
    """Make an account and a band."""
    return "/sign-up"


def sign_out() -> str:
    """Sign out (POST)."""
    return "/sign-out"


def account() -> str:
    """One's own account."""
    return "/account"


def account_name() -> str:
    """Change one's name (POST)."""
    return "/account/name"


def account_password() -> str:
    """Change one's password (POST)."""
    return "/account/password"


def rigs() -> str:
    """The band's rigs."""
    return "/rigs"


def rig(rig_id: str) -> str:
    """One rig."""
    return f"/rigs/{rig_id}"


def new_rig(start: str = "") -> str:
    """The ways to begin a rig, or one of them: nothing, example, file (POST)."""
    return f"/rigs/new/{start}" if start else "/rigs/new"


def rig_rows(rig_id: str, saved: int = 0) -> str:
    """All rows of a rig in one form; ``saved`` is the revision that was just made."""
    return f"/rigs/{rig_id}/rows" + (f"?saved={saved}" if saved else "")


def rig_row_new(rig_id: str) -> str:
    """A new row: what it is."""
    return f"/rigs/{rig_id}/rows/new"


def rig_row(rig_id: str, key: str) -> str:
    """Every field of one row."""
    return f"/rigs/{rig_id}/row?key={quote(key, safe='')}"


def rig_topic(rig_id: str, topic: str) -> str:
    """One part of a rig besides its rows: name, mixer, splitters, looms, ears, bits, mix, configurations."""
    return f"/rigs/{rig_id}/{topic}"


def rig_revisions(rig_id: str) -> str:
    """Every revision of a rig; one of them is put back there (POST)."""
    return f"/rigs/{rig_id}/revisions"


def rig_copy(rig_id: str) -> str:
    """A copy of a rig, as a rig of its own."""
    return f"/rigs/{rig_id}/copy"


def rig_together(rig_id: str, tick: str = "") -> str:
    """Several rows of a rig changed at once; ``tick``: which rows begin with a tick."""
    return f"/rigs/{rig_id}/rows/together" + (f"?{urlencode({'tick': tick})}" if tick else "")


def rig_revision(rig_id: str, number: int) -> str:
    """One revision of a rig, to read."""
    return f"/rigs/{rig_id}/revisions/{number}"


def rig_csv(rig_id: str, number: int) -> str:
    """The rows of one revision as a file for spreadsheets."""
    return f"/rigs/{rig_id}/revisions/{number}/rows.csv"


def rig_json(rig_id: str, number: int) -> str:
    """One revision as a file that can be read in again."""
    return f"/rigs/{rig_id}/revisions/{number}/rig.json"


def rig_import(rig_id: str) -> str:
    """Rows from a spreadsheet, pasted or as a file."""
    return f"/rigs/{rig_id}/import"


def rig_import_confirm(rig_id: str) -> str:
    """Take over the rows that were read (POST)."""
    return f"/rigs/{rig_id}/import/confirm"


def rig_import_reading(rig_id: str) -> str:
    """Take over the rows whose labels were read and confirmed (POST)."""
    return f"/rigs/{rig_id}/import/reading"


def rig_import_text(rig_id: str) -> str:
    """Back to the pasted text, with the text (POST)."""
    return f"/rigs/{rig_id}/import/text"


def rig_import_whole(rig_id: str) -> str:
    """A whole rig from a file in place of this one (POST)."""
    return f"/rigs/{rig_id}/import/whole"


def new_gig() -> str:
    """The form for a new gig."""
    return "/gigs/new"


def gig(gig_id: str) -> str:
    """A gig's page for the band; also the ``base`` of its other pages."""
    return f"/gigs/{gig_id}"


def house(gig_id: str) -> str:
    """A gig's page for whoever came by a link; also the ``base`` of its other pages."""
    return f"/house/{gig_id}"


def way_in(token: str) -> str:
    """The landing page of a secret link."""
    return f"/in/{token}"


def plan(base: str) -> str:
    """The plan of a gig."""
    return f"{base}/plan"


def sign_off(base: str) -> str:
    """The page on which one side signs."""
    return f"{base}/sign-off"


def plan_revision(base: str, number: int) -> str:
    """A plan of a gig as it was stored."""
    return f"{base}/plan/{number}"


def line(base: str, number: int, line_number: int) -> str:
    """One line of a revision of the plan, with the numbers behind it."""
    return f"{base}/plan/{number}/lines/{line_number}"


def plan_again(base: str) -> str:
    """Compute the plan with the rules of today (POST)."""
    return f"{base}/plan/again"


def receipt(base: str, number: int) -> str:
    """What a side signed under one revision of the plan."""
    return f"{base}/sign-off/{number}"


def withdraw(base: str, number: int) -> str:
    """Withdraw a signature (POST)."""
    return f"{base}/sign-off/{number}/withdraw"


def paper(base: str, number: int, document: str) -> str:
    """A document of one revision, to read in the browser."""
    return f"{base}/papers/{number}/{document}"


def paper_file(base: str, number: int, document: str, paper: str = "") -> str:
    """A document of one revision as a file; ``paper`` names another size than the band's."""
    return f"{base}/papers/{number}/{document}.pdf" + (f"?paper={paper}" if paper else "")


def paper_data(base: str, number: int, document: str, ending: str) -> str:
    """A document of one revision for other software: csv, xlsx or json."""
    return f"{base}/papers/{number}/{document}.{ending}"


def papers(base: str) -> str:
    """Every document of the newest plan; the band chooses its paper there (POST)."""
    return f"{base}/papers"


def papers_of_revision(base: str, number: int) -> str:
    """Every document of one revision."""
    return f"{base}/revisions/{number}/papers"


def label_sheet(base: str, number: int) -> str:
    """Which labels on which sheet."""
    return f"{base}/papers/{number}/label-sheet"


def calendar(base: str) -> str:
    """The times of the gig as a calendar file."""
    return f"{base}/papers/calendar.ics"


def current_paper(base: str, document: str) -> str:
    """A document of the newest plan, to read in the browser."""
    return f"{base}/papers/{document}"


def current_paper_file(base: str, document: str) -> str:
    """A document of the newest plan as a file."""
    return f"{base}/papers/{document}.pdf"


def kept_paper(base: str, paper_id: str) -> str:
    """A signed document exactly as it was stored."""
    return f"{base}/papers/kept/{paper_id}.pdf"


def why(key: str) -> str:
    """The long answer to "why?" of one rule."""
    return f"/why/{key}"


def how_the_portal_chooses() -> str:
    """What is given up first and last, in every gig."""
    return "/how-the-portal-chooses"


def choosing(base: str) -> str:
    """What is given up in one gig."""
    return f"{base}/choosing"


def day(view_token: str) -> str:
    """Where the code on a paper leads: a way in to look, not to sign."""
    return f"/day/{view_token}"


def question(base: str, key: str) -> str:
    """Where one question is answered: its place on the page of its topic."""
    return f"{base}/questions/{QUESTIONS[key].topic}#{key}"


def gig_details(gig_id: str) -> str:
    """The form with a gig's name, date, place, times and rig."""
    return f"/gigs/{gig_id}/details"


def cancel_gig(gig_id: str) -> str:
    """Cancel a gig (POST)."""
    return f"/gigs/{gig_id}/cancel"


def take_rig(gig_id: str) -> str:
    """Plan a gig with the newest revision of its rig (POST)."""
    return f"/gigs/{gig_id}/rig"


def share(gig_id: str) -> str:
    """The links of a gig, and the form for a new one."""
    return f"/gigs/{gig_id}/links"


def revoke_link(gig_id: str, link_id: str) -> str:
    """Revoke a link (POST)."""
    return f"/gigs/{gig_id}/links/{link_id}/revoke"


def replace_link(gig_id: str, link_id: str) -> str:
    """Revoke a link and make another one like it (POST)."""
    return f"/gigs/{gig_id}/links/{link_id}/replace"


def questions(base: str) -> str:
    """Every answer of a gig: for the house the page to check and send, for the band the page to fill in."""
    return f"{base}/questions"


def next_question(base: str) -> str:
    """Goes on to the first question that is not answered."""
    return f"{base}/questions/next"


def more_questions(base: str) -> str:
    """The page between the first questions and the rest."""
    return f"{base}/questions/more"


def leaving_out(address: str, topics: Iterable[str]) -> str:
    """The address of a page that asks, or of all answers, which says which topics were left out on the way there."""
    keys = ",".join(topics)
    return f"{address}?{urlencode({'left-out': keys}, safe=',')}" if keys else address


def answers_sent(base: str) -> str:
    """What happens after the house has sent its answers."""
    return f"{base}/questions/sent"


def topic(base: str, key: str, *, change: str = "") -> str:
    """The page of one topic; ``change`` is the question that is changed, after which the way leads back to all
    answers.
    """
    return f"{base}/questions/{key}" + (f"?change={change}#{change}" if change else "")


def mail(subject: str, words: str) -> str:
    """A new mail in the reader's own program."""
    return f"mailto:?subject={quote(subject)}&body={quote(words)}"


def talk(base: str, about: str = "", before: int = 0) -> str:
    """What was said about a gig, or about one source of it, before a comment; comments go there too (POST)."""
    asked = {**({"about": about} if about else {}), **({"before": str(before)} if before else {})}
    return f"{base}/talk" + (f"?{urlencode(asked, quote_via=quote, safe='')}" if asked else "")


def propose(base: str, about: str) -> str:
    """Propose a change of one source's line (POST)."""
    return f"{base}/talk/proposals?about={quote(about, safe='')}"


def proposal(base: str, proposal_id: str) -> str:
    """One proposal: what it would change, and the way to settle it (POST)."""
    return f"{base}/talk/proposals/{proposal_id}"


def ask_release(base: str, proposal_id: str) -> str:
    """Ask the other side to give up what was agreed (POST)."""
    return f"{base}/talk/proposals/{proposal_id}/release"


def what_if(base: str, **changes: str) -> str:
    """What other answers or things would make of the plan; ``changes`` by field."""
    return f"{base}/what-if" + (f"?{urlencode(changes)}" if changes else "")


def last_time(gig_id: str) -> str:
    """What was answered at the same place before, to be taken as assumed."""
    return f"/gigs/{gig_id}/last-time"


def afterwards(gig_id: str) -> str:
    """What was found and changed on the night, to be taken into the rig (POST)."""
    return f"/gigs/{gig_id}/afterwards"


def crew(base: str, *, who: str = "", light: bool = False) -> str:
    """The page of the day: the newest sheet and the line check; ``who`` checks, and ``light`` is black on white."""
    said = {**({"who": who} if who else {}), **({"light": "1"} if light else {})}
    return f"{base}/day" + (f"?{urlencode(said)}" if said else "")


def line_check(base: str) -> str:
    """Keep what was found on a line (POST)."""
    return f"{base}/day/lines"


def day_sheet(base: str, content_hash: str) -> str:
    """The sheet of one content, which may be kept on a phone."""
    return f"{base}/day/{content_hash}"


def day_sheet_file(base: str, content_hash: str) -> str:
    """The same sheet as one file."""
    return f"{base}/day/{content_hash}.html"


def check() -> str:
    """Whether a sheet is the current one, by its hash or its file."""
    return "/check"


def home_events(seen: str) -> str:
    """What happens to the band's gigs, as a stream; ``seen`` is the mark of the state that the page shows."""
    return f"/events?seen={seen}"


def gig_events(gig_id: str, seen: str) -> str:
    """What happens to one gig, as a stream."""
    return f"/gigs/{gig_id}/events?seen={seen}"


def house_news(gig_id: str, seen: str) -> str:
    """What happened to one gig, for a phone that asks now and then."""
    return f"/house/{gig_id}/news?seen={seen}"


def history(base: str) -> str:
    """What happened to a gig."""
    return f"{base}/history"


def given(base: str) -> str:
    """What the house gave for a gig, for whoever gave it and for the band's owner."""
    return f"{base}/given"


def given_file(base: str) -> str:
    """The same as a file."""
    return f"{base}/given.json"


def erase_given(base: str) -> str:
    """Erase it (POST)."""
    return f"{base}/given/erase"


def account_file() -> str:
    """Everything that an account gave, as a file."""
    return "/account/given.json"


def erase_account() -> str:
    """What erasing one's account does, and the form for it (POST)."""
    return "/account/erase"


def stage(base: str) -> str:
    """The stage of a gig and who stands where; the band saves it there too (POST)."""
    return f"{base}/stage"


def confirm(then: str = "") -> str:
    """Give the password once more, and go on to ``then``."""
    return "/account/confirm" + (f"?then={quote(then)}" if then else "")


def recovery_codes() -> str:
    """Make a new list of recovery codes (POST)."""
    return "/account/codes"


def recover() -> str:
    """A new password by a recovery code."""
    return "/recover"


def members() -> str:
    """Who belongs to the band."""
    return "/members"


def invite() -> str:
    """Hand out a way into the band (POST)."""
    return "/members/invitations"


def end_invitation(invitation_id: str) -> str:
    """Take a way in back (POST)."""
    return f"/members/invitations/{invitation_id}/end"


def member(user_id: str, deed: str) -> str:
    """Change what a member may do, remove the member, or hand out a way back in (POST): role, owner, remove,
    way-back.
    """
    return f"/members/{user_id}/{deed}"


def join(token: str) -> str:
    """Where an invitation leads."""
    return f"/join/{token}"


def new_password(token: str) -> str:
    """Where a way back in leads."""
    return f"/new-password/{token}"
