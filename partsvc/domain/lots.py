"""What is known of a lot of new pieces: its batch, how long it is good, for whom it came."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class LotFacts:
    """A lot's batch, the last day on which it is good, and the job it was received for."""

    batch: str = ""
    use_by: str = ""
    job: str = ""

    def beside(self, other: LotFacts) -> LotFacts:
        """Two batches handed out in one act: both are named, and the earlier day counts."""
        batches = dict.fromkeys(one for one in (self.batch, other.batch) if one)
        days = sorted(one for one in (self.use_by, other.use_by) if one)
        return LotFacts(
            batch=" / ".join(batches), use_by=days[0] if days else "", job=self.job or other.job
        )

    def is_past(self, day: str) -> bool:
        """Whether the last good day was before this one."""
        return bool(self.use_by and day and self.use_by < day)


UNKNOWN = LotFacts()
