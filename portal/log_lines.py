"""How an event reads in the log."""

import logging
import time


class LogLines(logging.Formatter):
    """One line an event, in UTC: time, logger, what happened, then key=value. What follows (a trace) is indented, so
    that no text forges a line.
    """

    default_time_format = "%Y-%m-%dT%H:%M:%S"
    default_msec_format = "%s.%03dZ"

    @staticmethod
    def converter(seconds: float | None) -> time.struct_time:
        """The time of an event in UTC."""
        return time.gmtime(seconds)

    def format(self, record: logging.LogRecord) -> str:
        """The event as text."""
        lines = super().format(record).splitlines()
        return "\n    ".join(
            "".join(one if one.isprintable() else f"\\x{ord(one):02x}" for one in line) for line in lines
        )
