"""One person at work on one job: each act sent as a phone would send it, with the device's time.

An answer that the story does not expect stops the demonstration at once and says what was sent:
a demonstration that goes on over a refusal would show something that did not happen.
"""

from __future__ import annotations

import uuid
from collections import Counter
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, Protocol

from seed.play.door import Answer, SignedIn

CODE_FIELDS = ("bag", "into", "old_parts")
CODE_LISTS = ("bags", "tags")


class NotAsTold(RuntimeError):
    """The service answered other than the story says."""


class Told(Protocol):
    """A clock that is told the time."""

    at: datetime


@dataclass(slots=True)
class ShiftClock:
    """The time on the devices of one shift; each act takes a little of it.

    `told` is the clock of the service, which goes along and never back.
    """

    at: datetime
    told: Told
    an_act: timedelta = timedelta(seconds=75)

    def next(self) -> str:
        """The time of the next act."""
        self.at += self.an_act
        self.told.at = max(self.told.at, self.at)
        return self.at.strftime("%Y-%m-%dT%H:%M:%SZ")


@dataclass(slots=True)
class Tally:
    """What was sent: acts by kind, scans, refusals."""

    acts: Counter[str] = field(default_factory=Counter)
    scans: int = 0
    refusals: int = 0


@dataclass(slots=True, kw_only=True)
class Hand:
    """A person, the account they work on, the clock of their shift."""

    signed: SignedIn
    path: str
    clock: ShiftClock
    tally: Tally

    @property
    def person(self) -> str:
        """The person's id, as records have it."""
        return self.signed.person

    def act(self, kind: str, **asked: Any) -> dict[str, Any]:
        """Send an act that is expected to be recorded; answers what the service answered."""
        answer, body = self._send(kind, asked)
        if answer.status != 201:
            raise NotAsTold(f"{body} was answered with {answer.status}: {answer.body}")
        self.tally.acts[kind] += 1
        return answer.body  # type: ignore[no-any-return]

    def refused(self, kind: str, rule: str, **asked: Any) -> str:
        """Send an act that is expected to be refused by a rule; answers the service's sentence."""
        answer, body = self._send(kind, asked)
        if answer.status != 409 or answer.body.get("reason") != rule:
            raise NotAsTold(f"{body} was answered with {answer.status}: {answer.body}")
        self.tally.refusals += 1
        return str(answer.body["detail"])

    def anyway(self, kind: str, rule: str, reason: str, **asked: Any) -> dict[str, Any]:
        """Refused, but it has been done already: recorded with the reason given."""
        self.refused(kind, rule, **asked)
        return self.act(kind, already_done={"reason": reason}, **asked)

    def _send(self, kind: str, asked: dict[str, Any]) -> tuple[Answer, dict[str, Any]]:
        body = {"key": str(uuid.uuid4()), "kind": kind, "done_at": self.clock.next()}
        body |= {name: value for name, value in asked.items() if value is not None}
        self.tally.scans += sum(name in body for name in CODE_FIELDS)
        self.tally.scans += sum(len(body.get(name, ())) for name in CODE_LISTS)
        return self.signed.post(f"{self.path}/acts", body), body
