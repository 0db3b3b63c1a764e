"""Why a database does not do what it is asked to, whichever it is."""

_UNDONE = "What was begun is undone: do it again once that is well."

_SAID = {
    "full": f"The disk of the database is full. {_UNDONE}",
    "read-only": f"The database is read-only. {_UNDONE}",
    "failing": f"The disk of the database is failing. {_UNDONE}",
    "busy": f"The database is busy: somebody else holds it, or no connection is free. {_UNDONE}",
    "away": f"The database went away, or does not answer. {_UNDONE}",
    "unsure": "The database went away while it was saving. It is unsure whether that is there: look once it is back.",
}


class CannotWrite(Exception):  # noqa: N818 - reads as what it says
    """The database refused, and nothing was written: ``why`` is full, read-only, failing, busy or away; unsure where it
    went away while it was saving, so that nobody knows. Its text is a sentence for whoever runs the portal.
    """

    def __init__(self, why: str) -> None:
        super().__init__(_SAID[why])
        self.why = why


class Unreadable(Exception):  # noqa: N818 - reads as what it says
    """This is no database of this portal, or not one that it can use; the sentence says what to do."""
