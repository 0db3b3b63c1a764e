"""What is counted of the engine's work. The process's registry takes these up where there is one; alone they only
count.
"""

from prometheus_client import Counter, Histogram

PLAN_SECONDS = Histogram(
    "portal_plan_seconds", "Time of the engine for one plan.", buckets=(0.1, 0.5, 2, 10), registry=None
)
PLANS = Counter(
    "portal_plans", "Plans made: fits, nothing fits, or stopped at the effort limit.", ("outcome",), registry=None
)
