"""One person at work on one job: each act sent as a phone would send it, with the device's time.

An answer that the story does not expect stops the demonstration at once and says what was sent:
a demonstration that goes on over a refusal would show something that did not happen.
"""

from __future__ import annotations

import uuid
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any, Protocol

from seed.play.door import Answer, SignedIn
from seed.play.tally import SEEN_EMPTY, Row, Tally


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


@dataclass(slots=True, kw_only=True)
class Hand:
    """A person, the account they work on, the clock of their shift, what the work is part of."""

    signed: SignedIn
    path: str
    clock: ShiftClock
    tally: Tally
    row: Row

    @property
    def person(self) -> str:
        """The person's id, as records have it."""
        return self.signed.person

    def beside(self) -> Hand:
        """The same person, busy with what does not go as planned."""
        return replace(self, row=Row.BESIDE)

    def act(self, kind: str, **asked: Any) -> dict[str, Any]:
        """Send an act that is expected to be recorded; answers what the service answered."""
        answer, body = self._send(kind, asked)
        if answer.status != 201:
            raise NotAsTold(f"{body} was answered with {answer.status}: {answer.body}")
        self._count(body, recorded=True)
        return answer.body  # type: ignore[no-any-return]

    def refused(self, kind: str, rule: str, **asked: Any) -> str:
        """Send an act that is expected to be refused by a rule; answers the service's sentence."""
        return self._refused(kind, rule, asked)[1]

    def kept(self, kind: str, rule: str, **asked: Any) -> tuple[str, str]:
        """An act out of a device's queue, refused and kept; answers its key and the sentence."""
        return self._refused(kind, rule, asked | {"queued": True})

    def anyway(self, kind: str, rule: str, reason: str, **asked: Any) -> dict[str, Any]:
        """Refused, but it has been done already: recorded with the reason given."""
        self.refused(kind, rule, **asked)
        return self.act(kind, already_done={"reason": reason}, **asked)

    def _refused(self, kind: str, rule: str, asked: dict[str, Any]) -> tuple[str, str]:
        answer, body = self._send(kind, asked)
        if answer.status != 409 or answer.body.get("reason") != rule:
            raise NotAsTold(f"{body} was answered with {answer.status}: {answer.body}")
        self._count(body, recorded=False)
        return body["key"], str(answer.body["detail"])

    def _send(self, kind: str, asked: dict[str, Any]) -> tuple[Answer, dict[str, Any]]:
        body = {"key": str(uuid.uuid4()), "kind": kind, "done_at": self.clock.next()}
        body |= {name: value for name, value in asked.items() if value is not None}
        return self.signed.post(f"{self.path}/acts", body), body

    def _count(self, body: dict[str, Any], *, recorded: bool) -> None:
        row = Row.SEEN if body["kind"] == SEEN_EMPTY else self.row
        self.tally.sent(row, body, recorded=recorded)
