"""The van's battery out and back in: two shifts, four people, eight things that go wrong."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from partsvc.domain.parts import Part
from partsvc.domain.plan import Hold, Phase, Plan
from partsvc.domain.records import decode
from seed.play import mistakes, parts_desk, tags
from seed.play.bags import OLD_PARTS, bags_by_position
from seed.play.catalogue import document, parts_of
from seed.play.door import SignedIn
from seed.play.hand import Hand, ShiftClock, Tally, Told
from seed.play.readings import hold_fields
from seed.play.refitting import Refit, refit
from seed.play.stripping import strip

SECOND_SHIFT = timedelta(hours=8)

# An invented number: its check digit is right, its maker code belongs to nobody known to us.
VIN = "XX0DEM0A7AB000001"


@dataclass(slots=True, kw_only=True)
class Played:
    """The job as far as it is played: who works on it, its bags, what was counted."""

    job: str
    plan: Plan
    parts: Mapping[str, Part]
    people: Mapping[str, SignedIn]
    home: Mapping[str, str]
    bags: Mapping[str, str]
    start: datetime
    told: Told
    tally: Tally = field(default_factory=Tally)
    order_before: dict[str, Any] = field(default_factory=dict)
    order_after: dict[str, Any] = field(default_factory=dict)
    received: int = 0

    @property
    def path(self) -> str:
        """Where the job is found."""
        return f"/jobs/{self.job}"

    def read(self, what: str) -> Any:
        """One of the job's views, as the lead reads it."""
        return self.people["jorin"].get(f"{self.path}/{what}")

    def hand(self, login: str, clock: ShiftClock, path: str = "") -> Hand:
        """A person at work on this job, or on another account."""
        return Hand(
            signed=self.people[login], path=path or self.path, clock=clock, tally=self.tally
        )


def open_van(people: Mapping[str, SignedIn], start: datetime, *, told: Told) -> Played:
    """The job opened on its procedure, a tag for every bag, shelf and trolley made."""
    lead = people["jorin"]
    plan = decode(Plan, document("van_battery", "procedure.json"))
    parts = {one["number"]: decode(Part, one) for one in parts_of("van_battery")}
    vehicle = lead.make("/vehicles", {"vin": VIN, "model": "Electric delivery van (invented)"})
    job = lead.make(
        "/jobs",
        {
            "title": "Battery pack out and in",
            "vehicle": vehicle["id"],
            "procedure": plan.key,
            "needed_by": (start + timedelta(days=3)).date().isoformat(),
        },
    )["id"]
    home = bags_by_position(plan, parts)
    bags = tags.mint(lead, job, plan, home)
    return Played(
        job=job,
        plan=plan,
        parts=parts,
        people=people,
        home=home,
        bags=bags,
        start=start,
        told=told,
    )


def strip_and_supply(van: Played) -> None:
    """Shift 1 and what the parts desk does beside it."""
    morning = ShiftClock(van.start, van.told)
    desk_clock = ShiftClock(van.start, van.told)
    store = van.hand("asha", desk_clock, "/workshop")
    van.order_before = van.read("order")
    van.received = parts_desk.receive(store, van.order_before, "delivery note D-4711")
    bag_at = {position: van.bags[name] for position, name in van.home.items()}
    strip(van.hand("tove", morning), van.plan, bag_at, witness=van.people["jorin"].person)
    van.order_after = van.read("order")
    van.received += parts_desk.receive(store, van.order_after, "delivery note D-4718")
    desk_clock.at = van.start + SECOND_SHIFT - timedelta(hours=1)
    desk = van.hand("asha", desk_clock)
    parts_desk.lay_out(desk, van.plan, van.parts, van.bags, van.home)


Stopped = Callable[[str, str], None]


def refit_with_mistakes(van: Played, stopped: Stopped) -> Refit:
    """Shift 2: refitted in the service's order, with what goes wrong in it.

    What went wrong is found by the close-ups: `stopped` is told which, and what was said.
    """
    evening = ShiftClock(van.start + SECOND_SHIFT, van.told)
    _change_of_shift(van, evening)

    def before_close_up(work: Refit, hold: Hold) -> None:
        if hold.id == mistakes.BENEATH:
            mistakes.bolt_seen_in_the_tray(work)
        _all_looked_at(van, work)
        put_right = mistakes.PUT_RIGHT.get(hold.id)
        if put_right is not None:
            fields = hold_fields(hold, work.witness)
            stopped(hold.id, work.hand.refused("hold", "not-closed-beneath", **fields))
            put_right(work, van.hand("asha", evening))
            _all_looked_at(van, work)

    work = Refit(
        hand=van.hand("miro", evening),
        plan=van.plan,
        parts=van.parts,
        bags=van.bags,
        home=van.home,
        witness=van.people["jorin"].person,
        forgotten=mistakes.FORGOTTEN,
        otherwise=mistakes.OTHERWISE,
        before_close_up=before_close_up,
    )
    refit(work, [step["id"] for step in van.read("refit")["steps"]])
    return work


def _change_of_shift(van: Played, clock: ShiftClock) -> None:
    """The plug changes hands, one lock comes off and another on, and dead is proved again."""
    going, coming = van.hand("tove", clock), van.hand("miro", clock)
    (plug,) = [step.id for step in van.plan.steps if step.energises and step.positions]
    going.act("hand-over", to=coming.person)
    coming.act("hand-over", to=coming.person)
    coming.act("lock", step=plug)
    going.act("unlock", step=plug)
    for step in van.plan.steps:
        for hold in step.holds:
            if hold.when is Phase.BOTH:
                coming.act("hold", **hold_fields(hold, van.people["jorin"].person))


def _all_looked_at(van: Played, work: Refit) -> None:
    """Before a close-up: another person at everything critical, and into every empty bag."""
    second_looks(van, work.hand.clock)
    _empty_bags_seen(van, work.hand)


def second_looks(van: Played, clock: ShiftClock, *others: str) -> None:
    """Somebody who fitted none of it looks at everything critical, in one round: one act."""
    critical = [one["place"] for one in _not_seen(van, "second-look")]
    looked_at = sorted({*critical, *others})
    if looked_at:
        van.hand("tove", clock).act("confirm", positions=looked_at)


def _not_seen(van: Played, kind: str) -> list[dict[str, Any]]:
    not_seen = van.read("reconciliation")["not_seen"]
    return [finding for finding in not_seen if finding["kind"] == kind]


def _empty_bags_seen(van: Played, hand: Hand) -> None:
    """Every bag that the book says is empty is looked into."""
    unseen = [finding["bag"] for finding in _not_seen(van, "bag-not-seen-empty")]
    if unseen:
        hand.act("seen-empty", bags=unseen)


def finish(van: Played, work: Refit) -> None:
    """The old parts thrown out, a second look at the gravest, bags seen, van and bay searched."""
    van.hand("asha", work.hand.clock).act("discard", bag=van.bags[OLD_PARTS])
    second_looks(van, work.hand.clock, "FS-01", "FS-02")
    _empty_bags_seen(van, work.hand)
    work.hand.act("search", where="van and bay 2", result="nothing found", vehicle=True, bay=True)


ACCEPTED: Mapping[tuple[str, str], str] = {
    ("FS-01", "wrong-bag"): "Wrong bolt taken out, right one in; second look by another person.",
    ("FS-02", "wrong-bag"): "Wrong bolt taken out, right one in; second look by another person.",
    ("PB-L1", "single-use"): "Old bolt out, new one tightened in both stages; second look.",
}


def accept_and_release(van: Played, clock: ShiftClock, say: Callable[[str], None]) -> None:
    """Quality takes what was done against a refusal, each with a reason, and releases."""
    quality = van.hand("brun", clock)
    for finding in van.read("reconciliation")["findings"]:
        reason = ACCEPTED[finding["place"], finding["part"]]
        quality.act(
            "accept",
            finding=finding["kind"],
            place=finding["place"],
            part=finding["part"] or None,
            lot=finding["lot"] or None,
            reason=reason,
        )
        say(f"  accepted by quality at {finding['place']} ({finding['part']}): {reason}")
    told = van.read("reconciliation")
    answer = van.people["brun"].make(
        f"{van.path}/release",
        {
            "key": str(uuid.uuid4()),
            "done_at": clock.next(),
            "head": van.people["brun"].get(van.path)["head"],
            "vehicle_searched": True,
            "bay_searched": True,
            "panels_back": True,
            "tools_complete": True,
        },
    )
    say(f"  released on head {answer['head'][:12]}…, {told['seen_words']}")
