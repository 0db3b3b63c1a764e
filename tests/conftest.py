"""What every test shares."""

import os

from hypothesis import settings

# In CI the same examples each time, and no deadline on a machine that others use too.
settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("here", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "here")
