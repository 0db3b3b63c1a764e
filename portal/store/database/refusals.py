"""Why a database does not do what it is asked to, whichever it is."""


class CannotWrite(Exception):  # noqa: N818 - reads as what it says
    """The database refused, and nothing was written: ``why`` is full, read-only, failing, busy or away; unsure where it
    went away while it was saving, so that nobody knows.
    """

    def __init__(self, why: str) -> None:
        super().__init__(f"the database is {why}")
        self.why = why


class Unreadable(Exception):  # noqa: N818 - reads as what it says
    """This is no database of this portal, or not one that it can use; the sentence says what to do."""
