"""What the running portal consists of."""

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from threading import Event

from portal.advance.solver.process import Solvers
from portal.documents.rendering.drafts import Drafts
from portal.documents.rendering.pdf import Attached
from portal.documents.rendering.worker import Worker
from portal.jobs.loop import Jobs
from portal.settings import Settings
from portal.store.database.brakes import Brakes
from portal.store.database.session import Store
from portal.store.database.together import Claims, Listener
from portal.web.frame.notifier import Notifier
from portal.web.frame.rate_limiter import RateLimiter, Turns


@dataclass(frozen=True)
class Portal:
    """What the running portal consists of; every handler reaches it through the request."""

    settings: Settings
    store: Store
    key: bytes
    clock: Callable[[], datetime]
    readers: asyncio.Semaphore = field(default_factory=lambda: asyncio.Semaphore(16))
    hashing: asyncio.Semaphore = field(default_factory=lambda: asyncio.Semaphore(2))
    sign_in_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=10, window_s=900))
    account_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=100, window_s=900))
    sign_up_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=20, window_s=900))
    address_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=100, window_s=900))
    link_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=50, window_s=900))
    check_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=20, window_s=900))
    what_if_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=30, window_s=300))
    wiring_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=120, window_s=120))
    what_if_turns: Turns = field(default_factory=lambda: Turns(most=2))
    waiting_turns: Turns = field(default_factory=lambda: Turns(most=8))
    solvers: Solvers = field(default_factory=Solvers)
    jobs: "Jobs[Portal]" = field(default_factory=Jobs)
    ask_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=10, window_s=86_400))
    asked_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=60, window_s=86_400))
    email_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=30, window_s=86_400))
    way_back_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=3, window_s=3600))
    spec_limiter: RateLimiter = field(default_factory=lambda: RateLimiter(most=20, window_s=900))
    spec_readings: asyncio.Semaphore = field(default_factory=lambda: asyncio.Semaphore(2))
    papers: Worker = field(default_factory=Worker)
    papers_making: dict[tuple[str, Attached | None], asyncio.Task[bytes]] = field(default_factory=dict)
    drafts: Drafts = field(default_factory=Drafts)
    notifier: Notifier = field(default_factory=Notifier)
    claims: Claims | None = None
    listener: Listener | None = None
    brakes: Brakes | None = None
    stopping: Event = field(default_factory=Event)

    def __post_init__(self) -> None:
        """Have every limiter count with the other processes, where there are any."""
        for name, limiter in vars(self).items():
            if isinstance(limiter, RateLimiter):
                limiter.kind, limiter.brakes = name, self.brakes

    def leave(self) -> None:
        """Give back to the other processes what this one holds."""
        for one in (self.claims, self.brakes):
            if one:
                one.close()
