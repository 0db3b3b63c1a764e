"""What somebody may be in a band, in words."""

ROLE_WORDS = {"owner": "Owner: everything", "editor": "Editor: changes rigs and gigs", "member": "Member: reads"}
ROLES = tuple((role, ROLE_WORDS[role]) for role in ("member", "editor"))
