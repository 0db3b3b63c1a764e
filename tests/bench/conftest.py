"""The portal that the figures are taken of: the same fixtures as the web tests'; and all figures in one table at the
end.
"""

import os

import pytest

from tests.web.conftest import app, begun, clock, enter, migrated, portal, settings

__all__ = ["app", "begun", "clock", "enter", "migrated", "portal", "settings"]


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print the figures of every benchmark that was run, and how busy the machine is."""
    told = [
        (report.nodeid.partition("::")[2], line)
        for report in terminalreporter.getreports("passed")
        if "tests/bench/" in report.nodeid
        for line in report.capstdout.splitlines()
        if "=" in line
    ]
    if not told:
        return
    terminalreporter.section("figures")
    for test, line in told:
        terminalreporter.line(f"{test.partition('[')[0].removeprefix('test_')[:44]:44} | {line}")
    load = " ".join(f"{one:.1f}" for one in os.getloadavg())
    terminalreporter.line(f"{'the machine':44} | cores={os.cpu_count()} load={load}")
