"""What every test shares."""

import pytest
from hypothesis import settings

# A check gives the same verdict on the same code; a soak looks for what no run has seen yet. No deadline on a machine that others use too.
settings.register_profile("check", derandomize=True, deadline=None)
settings.register_profile("soak", deadline=None)


def pytest_configure(config: pytest.Config) -> None:
    """Choose new examples for a soak, the same ones for everything else."""
    settings.load_profile("soak" if config.getoption("markexpr") == "soak" else "check")
