"""A job as far as it is played: who works on it, its bags, what was counted, what is told."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from partsvc.domain.parts import Part
from partsvc.domain.plan import Plan
from partsvc.domain.records import decode
from seed.play import tags
from seed.play.catalogue import document, parts_of
from seed.play.door import SignedIn
from seed.play.hand import Hand, ShiftClock, Told
from seed.play.tally import Row, Tally

SECOND_SHIFT = timedelta(hours=8)

Homes = Callable[[Plan, Mapping[str, Part]], Mapping[str, str]]
Tell = Callable[[str, str], None]


@dataclass(slots=True, kw_only=True)
class Played:
    """The job as far as it is played; `tell` says in a line what does not go as planned."""

    job: str
    vehicle: str
    plan: Plan
    parts: Mapping[str, Part]
    people: Mapping[str, SignedIn]
    home: Mapping[str, str]
    bags: dict[str, str]
    start: datetime
    told: Told
    tell: Tell
    tally: Tally = field(default_factory=Tally)
    an_act: timedelta = timedelta(seconds=75)
    order_before: dict[str, Any] = field(default_factory=dict)
    order_after: dict[str, Any] = field(default_factory=dict)

    @property
    def path(self) -> str:
        """Where the job is found."""
        return f"/jobs/{self.job}"

    @property
    def witness(self) -> str:
        """The second person at hold points: the lead."""
        return self.people["jorin"].person

    def read(self, what: str) -> Any:
        """One of the job's views, as the lead reads it."""
        return self.people["jorin"].get(f"{self.path}/{what}")

    def clock(self, *, after: timedelta = timedelta()) -> ShiftClock:
        """The clock of a shift that begins so long after the job does."""
        return ShiftClock(self.start + after, self.told, self.an_act)

    def hand(self, login: str, clock: ShiftClock, row: Row) -> Hand:
        """A person at work on this job."""
        return self._hand(login, clock, row, self.path)

    def store(self, login: str, clock: ShiftClock) -> Hand:
        """A person at work in the store, whose book is the workshop's."""
        return self._hand(login, clock, Row.BESIDE, "/workshop")

    def _hand(self, login: str, clock: ShiftClock, row: Row, path: str) -> Hand:
        signed = self.people[login]
        return Hand(signed=signed, path=path, clock=clock, tally=self.tally, row=row)

    def open_now(self, kind: str) -> list[dict[str, Any]]:
        """What has not been seen yet, of one kind."""
        not_seen = self.read("reconciliation")["not_seen"]
        return [finding for finding in not_seen if finding["kind"] == kind]


def open_van(
    people: Mapping[str, SignedIn],
    start: datetime,
    *,
    told: Told,
    homes: Homes,
    vin: str = "",
    title: str = "Battery pack out and in",
    kits: Iterable[str] = (),
    tell: Tell = lambda title, words: None,
    an_act: timedelta = timedelta(seconds=75),
) -> Played:
    """The job opened on its procedure, a tag for every bag, shelf and trolley made."""
    lead = people["jorin"]
    plan = decode(Plan, document("van_battery", "procedure.json"))
    parts = {one["number"]: decode(Part, one) for one in parts_of("van_battery")}
    described = {"vin": vin, "model": "Electric delivery van (invented)"}
    vehicle = lead.make("/vehicles", described)["id"]
    needed_by = (start + timedelta(days=3)).date().isoformat()
    job = {"title": title, "vehicle": vehicle, "procedure": plan.key, "needed_by": needed_by}
    opened = lead.make("/jobs", job)["id"]
    home = homes(plan, parts)
    return Played(
        job=opened,
        vehicle=vehicle,
        plan=plan,
        parts=parts,
        people=people,
        home=home,
        bags=tags.mint(lead, opened, plan, home, kits),
        start=start,
        told=told,
        tell=tell,
        an_act=an_act,
    )
