"""How often one address may try to sign in: a bucket that fills again slowly."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field
from datetime import datetime
from math import ceil

MOST_ADDRESSES = 10_000


@dataclass(slots=True, kw_only=True)
class Pace:
    """So many tries at once, then one every so many seconds; counted for each address."""

    at_once: int
    seconds_each: int
    _left: dict[str, tuple[float, datetime]] = field(default_factory=dict)
    _guard: threading.Lock = field(default_factory=threading.Lock)

    def seconds_to_wait(self, address: str, now: datetime) -> int:
        """Take one try of this address; 0, or the seconds to wait when none is left."""
        with self._guard:
            left = self._left_now(address, now)
            if left < 1:
                return max(1, ceil((1 - left) * self.seconds_each))
            self._forget_the_idle(now)
            self._left[address] = (left - 1, now)
            return 0

    def _left_now(self, address: str, now: datetime) -> float:
        left, at = self._left.get(address, (float(self.at_once), now))
        passed = max(0.0, (now - at).total_seconds())
        return min(float(self.at_once), left + passed / self.seconds_each)

    def _forget_the_idle(self, now: datetime) -> None:
        """Addresses whose bucket is full again need not be remembered."""
        if len(self._left) >= MOST_ADDRESSES:
            full = [one for one in self._left if self._left_now(one, now) >= self.at_once]
            for address in full or list(self._left)[: MOST_ADDRESSES // 2]:
                del self._left[address]
