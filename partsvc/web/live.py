"""Who listens for what is recorded: one look at the heads for all, and only so many listeners."""

from __future__ import annotations

import threading
import time
from collections.abc import Mapping

from partsvc.work.heads import heads
from partsvc.work.service import Service

LOOK_EVERY_S = 0.25


class Heads:
    """The newest act of each job and of the workshop, looked at no more often than needed."""

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._looked = -LOOK_EVERY_S
        self._found: Mapping[str, int] = {}

    def now(self, service: Service) -> Mapping[str, int]:
        """The heads as of a quarter of a second ago or newer."""
        with self._guard:
            if time.monotonic() - self._looked >= LOOK_EVERY_S:
                self._found = heads(service)
                self._looked = time.monotonic()
            return self._found


class Listeners:
    """How many listen, of how many that may."""

    def __init__(self, most: int) -> None:
        self.most = most
        self.now = 0
        self._guard = threading.Lock()

    def come(self) -> bool:
        """Whether there is room for one more."""
        with self._guard:
            if self.now >= self.most:
                return False
            self.now += 1
            return True

    def go(self) -> None:
        """One listens no longer."""
        with self._guard:
            self.now -= 1
