"""What random acts are made up from: the plans, the workshop of a moment, and chance.

Everything is drawn from one `Random`, so that the same seed in the same state is the same act.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

import random_board
import random_parts
from ledger_bench import Bench, position, step

from partsvc.domain.desk import Desk
from partsvc.domain.ledger import Holding
from partsvc.domain.places import PlaceKind
from partsvc.domain.records import Plain

Members = dict[str, Plain]

STAGES: list[Plain] = [{"id": "torque", "words": "torque"}, {"id": "angle", "words": "angle"}]
DEAD: Members = {
    "id": "H1",
    "title": "proved dead",
    "readings": [{"name": "plus to minus", "unit": "V", "limit": "5"}],
    "instrument": True,
    "witness": True,
}


def big_plan() -> list[Members]:
    """Every rule, stacks, stages, holds both ways, temporaries, ticks and a refit-only step."""
    return [
        step(
            "S1",
            10,
            position("P1", {"part": "A", "rule": "replace"}, sets=4, stages=STAGES),
            position("P2", {"part": "B"}, {"part": "W", "per_set": 2}, sets=3),
            holds=[DEAD],
            temporaries=[{"id": "t1", "words": "red cap", "quantity": 2}],
            applications=[{"what": "threadlock", "amount": "1", "unit": "drop"}],
        ),
        step(
            "S2",
            20,
            position("P3", {"part": "C"}, sets=5),
            position("P4", {"part": "D", "rule": "inspect", "criterion": "clean"}, sets=2),
            position(
                "P5", {"part": "E", "rule": "limited", "max_uses": 2}, sets=2, record="setting"
            ),
            position("P7", {"part": "W"}, sets=1, as_found=True),
            after=["S1"],
        ),
        step(
            "S3",
            30,
            position("P6", {"part": "C"}, sets=2, loosen_only=True, record="values"),
            after=["S2"],
            holds=[{"id": "H2", "title": "harness seen free", "when": "refit"}],
        ),
        step("S4", 40, after=["S1"], phase="strip"),
        step(
            "S5",
            50,
            phase="refit",
            refit_after=["S1"],
            readings=[{"name": "level"}],
            applications=[{"what": "coolant", "amount": "9.5", "unit": "l"}],
        ),
        live_step(),
        *lapsing_steps(),
    ]


def lapsing_steps() -> list[Members]:
    """Holds that stand for a while only, wait, or look at what lies beneath."""
    steady: Members = {"id": "H-UP", "title": "table steady", "when": "both", "valid_hours": 1}
    waits: Members = {"id": "H-WAIT", "title": "discharged", "wait_minutes": 1, "wait_after": "S4"}
    closed: Members = {"id": "H-SHUT", "title": "closed", "when": "refit", "close_up": True}
    return [
        step(
            "S6",
            70,
            position("P8", {"part": "W"}, sets=2),
            holds=[
                {**steady, "until_shift_end": True, "per_person": True, "equipment": ["lift"]},
                waits,
            ],
            lapses=["H1"],
        ),
        step("S7", 80, phase="refit", refit_after=["S6", "S2"], holds=[closed], lapses=["H-UP"]),
    ]


def live_step() -> Members:
    """High voltage, where going past the hold stops the job; and what is critical."""
    hold: Members = {"id": "HV-H", "title": "cover on", "high_voltage": True}
    return step(
        "HV",
        90,
        position("HV-P", {"part": "C"}, sets=2, critical=True),
        holds=[{**hold, "qualified": "high-voltage"}],
        hazards=["high-voltage"],
        energises=True,
    )


def on_a_carrier() -> list[Members]:
    """A removable carrier with a stretch bolt and with another carrier on it."""
    return [
        position("K1", {"part": "E"}, sets=1),
        position("K2", {"part": "A", "rule": "replace"}, sets=2, on="K1", stages=STAGES),
        position("K3", {"part": "B"}, sets=1, on="K1"),
        position("K4", {"part": "W"}, sets=2, on="K3", loosen_only=True),
    ]


def small_plan() -> list[Members]:
    """The same parts at other places, nothing in the way of anything."""
    return [
        step(
            "S1",
            10,
            position("P1", {"part": "C"}, sets=6),
            position("Q2", {"part": "A", "rule": "replace"}, {"part": "W"}, sets=2),
        ),
        step("CARRIED", 20, *on_a_carrier()),
    ]


@dataclass(frozen=True, slots=True)
class Request:
    """An act as somebody sends it."""

    who: str
    account: str
    payload: Members


@dataclass(slots=True)
class World:
    """The workshop and its jobs."""

    bench: Bench
    jobs: list[str]

    @classmethod
    def begun(cls, bench: Bench) -> World:
        """Two jobs on plans, one on none."""
        bench.trained("mate", "high-voltage")
        random_parts.more_parts(bench)
        random_board.a_board(bench)
        jobs = [bench.open_job(*big_plan()), bench.open_job(*small_plan()), bench.open_job()]
        return cls(bench, jobs)


@dataclass(frozen=True, slots=True)
class Moment:
    """What one random act is made up from."""

    world: World
    rng: Random
    desk: Desk

    def chance(self, percent: int) -> bool:
        return self.rng.random() * 100 < percent

    def bag(self, *, holding: str = "") -> str:
        """Mostly a bag that holds the part, of this job; sometimes any tag at all."""
        full = sorted(
            {held.spot.place.at for held in self.held(PlaceKind.BAG) if holding in ("", held.part)}
        )
        if full and self.chance(80):
            return self.rng.choice(full)
        return self.rng.choice(self.world.bench.tags)

    def held(self, *kinds: PlaceKind) -> list[Holding]:
        found = (
            held
            for held in self.desk.book.holdings()
            if held.spot.account == self.desk.account and held.spot.place.kind in kinds
        )
        return sorted(found, key=lambda held: (held.part, held.spot))

    def position(self) -> str:
        known = sorted(self.desk.plan.positions)
        return self.rng.choice(known) if known and self.chance(97) else "nowhere"

    def step(self) -> str:
        known = sorted(self.desk.plan.step_of)
        return self.rng.choice(known) if known and self.chance(97) else "nowhere"

    def part(self) -> str:
        return self.rng.choice(random_parts.NUMBERS if self.chance(98) else ("X",))

    def part_of_the_catalogue(self) -> str:
        return self.rng.choice("ABCDEW")

    def some(self, **optional: Plain) -> Members:
        """Each of these members, or not."""
        return {name: value for name, value in optional.items() if self.chance(35)}

    def number(self, most: int = 4) -> int:
        return self.rng.randint(1, most)

    def key_sent(self, *kinds: str) -> str:
        sent = self.world.bench.keys_of(self.desk.account, *kinds)
        return self.rng.choice(sent) if sent else self.world.bench.new_key()


def at_position(at: Moment) -> Members:
    """A position and how much of it: sets, or pieces of a part."""
    name = at.position()
    found = at.desk.plan.positions.get(name)
    parts = [item.part for item in found.stack] if found else ["B"]
    members: Members = {"position": name}
    if found is not None and found.uncounted and at.chance(80):
        return {**members, "sets": at.number(3)}
    if at.chance(30):
        members |= {"sets": at.number(3)}
    elif at.chance(40):
        members |= {"part": at.rng.choice(parts), "quantity": at.number(3)}
    return members


def new_position(at: Moment) -> Members:
    where = at.some(part=at.part(), rule=at.rng.choice(["reuse", "inspect", "limited", "replace"]))
    home: Members = {"step": at.step()} if at.chance(50) else {"step_title": "unplanned é"}
    return {"where": "behind e\u0301", "quantity": at.number(), "words": "screw", **home, **where}


def in_bag(at: Moment) -> Members:
    """Something in a bag: all of it, or a part, lot or number of it."""
    bagged = at.held(PlaceKind.BAG)
    if not bagged or at.chance(20):
        return {"bag": at.bag(), **at.some(part=at.part(), quantity=at.number())}
    held = at.rng.choice(bagged)
    return {
        "bag": held.spot.place.at,
        **at.some(part=held.part, lot=held.spot.lot, quantity=at.number(3)),
    }


def part_in_bag(at: Moment) -> Members:
    found = in_bag(at)
    return {"part": at.part(), **found}
