"""A workshop small enough to see through: real store, real acts, the verbs of the people in it."""

from __future__ import annotations

import itertools
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from uuid import UUID

from partsvc.domain import tagcode
from partsvc.domain.desk import Desk
from partsvc.domain.findings import Finding
from partsvc.domain.reconciliation import Reconciliation, reconcile
from partsvc.domain.records import Plain
from partsvc.errors import Refused
from partsvc.store import keeping, people
from partsvc.work import facts
from partsvc.work.openings import open_job
from partsvc.work.posting import Answer, post
from partsvc.work.service import Sender, Service, open_service

WORKSHOP = "workshop"

# Who works here. Two technicians, because a second look needs a second person.
ROLES = {
    "tech": "technician",
    "mate": "technician",
    "desk": "parts",
    "quality": "quality",
    "lead": "lead",
}

# What a releaser says when nothing is amiss.
STATEMENT: dict[str, bool] = {
    "vehicle_searched": True,
    "bay_searched": True,
    "panels_back": True,
    "tools_complete": True,
}

CATALOGUE: tuple[dict[str, str], ...] = (
    {"number": "A", "name": "stretch bolt", "kind": "bolt", "spent_at": "secure"},
    {"number": "B", "name": "long bolt", "kind": "bolt"},
    {"number": "C", "name": "trim clip", "kind": "clip"},
    {"number": "D", "name": "patched screw", "kind": "screw", "spent_at": "fit"},
    {"number": "E", "name": "reaction bolt", "kind": "bolt"},
    {"number": "W", "name": "washer", "kind": "washer"},
)


def position(ident: str, *stack: Mapping[str, Plain], sets: int, **more: Plain) -> dict[str, Plain]:
    """A position as a procedure has it."""
    return {"id": ident, "where": f"at {ident}", "sets": sets, "stack": list(stack), **more}


def step(
    ident: str, number: int, *positions: Mapping[str, Plain], **more: Plain
) -> dict[str, Plain]:
    """A step as a procedure has it."""
    return {
        "id": ident, "number": number, "title": f"step {ident}", "positions": list(positions),
        **more,
    }  # fmt: skip


@dataclass(slots=True)
class Bench:
    """One workshop."""

    service: Service
    tags: list[str]
    keys: itertools.count[int] = field(default_factory=lambda: itertools.count(1))
    revisions: itertools.count[int] = field(default_factory=lambda: itertools.count(1))

    @classmethod
    def opened(cls, folder: Path, *, blank_tags: int = 12) -> Bench:
        """Set the workshop up in a folder."""
        service = open_service(folder)
        codes = [tagcode.from_number(n * 77_777 + 5) for n in range(blank_tags)]
        with service.database.writing() as db:
            for part in CATALOGUE:
                keeping.put_part(
                    db, service.site, number=part["number"], name=part["name"],
                    kind=part["kind"], text=json.dumps(part),
                )  # fmt: skip
            for ident, roles in ROLES.items():
                people.add_person(
                    db, service.site, ident=ident, login=ident, name=ident, roles=roles, secret=""
                )
            minted = [(code, "", "bag", "", "") for code in codes]
            keeping.add_tags(db, service.site, minted, at="2030-01-01T00:00:00.000Z")
        return cls(service, codes)

    @classmethod
    def opened_again(cls, folder: Path) -> Bench:
        """Open a workshop that was set up before."""
        return cls(open_service(folder), [], itertools.count(1_000))

    def trained(self, who: str, *qualifications: str) -> None:
        """Somebody has a training from now on."""
        with self.service.database.writing() as db:
            row = people.person(db, self.service.site, who)
            assert row is not None
            people.change_person(
                db, self.service.site, ident=who, version=row["version"], name=row["name"],
                roles=row["roles"], active=True, qualifications=" ".join(qualifications),
            )  # fmt: skip

    def sender(self, who: str) -> Sender:
        """A person signed in on the bench's own device."""
        return Sender(person=who, roles=frozenset(ROLES[who].split()), device="bench")

    def new_key(self) -> str:
        """A key like those that devices make, but the same in every run."""
        return str(UUID(int=next(self.keys) << 64 | 0x4000_8000_0000_0000_0000, version=4))

    def open_job(self, *steps: Mapping[str, Plain]) -> str:
        """Open a job on a procedure of these steps; without steps, on none at all."""
        procedure = f"procedure-{next(self.revisions)}" if steps else ""
        if steps:
            plan = {"key": procedure, "title": "a small procedure", "steps": list(steps)}
            with self.service.database.writing() as db:
                keeping.add_revision(
                    db, self.service.site, procedure=procedure, number=1, title="small",
                    digest="0" * 64, text=json.dumps(plan), by="lead", at="2030-01-01",
                )  # fmt: skip
        return open_job(self.service, self.sender("tech"), title="a job", procedure=procedure)

    def post(self, who: str, account: str, payload: Mapping[str, Plain]) -> Answer:
        """Send an act just as it is."""
        return post(self.service, account, self.sender(who), payload)

    def act(self, account: str, kind: str, who: str = "tech", **members: Plain) -> dict[str, Plain]:
        """Record an act under a key of its own; answers the body."""
        return self.post(who, account, {"key": self.new_key(), "kind": kind, **members}).body

    def done_anyway(
        self, account: str, kind: str, who: str = "tech", **members: Plain
    ) -> dict[str, Plain]:
        """Record what had been done before it was allowed."""
        return self.act(account, kind, who, already_done={"reason": "it was late"}, **members)

    def refused(self, account: str, kind: str, who: str = "tech", **members: Plain) -> Refused:
        """The refusal an act meets; fails when it is recorded instead."""
        try:
            body = self.act(account, kind, who, **members)
        except Refused as refused:
            return refused
        raise AssertionError(f"{kind} was recorded: {body}")

    def look(self, job: str) -> Desk:
        """All that is known of a job."""
        with self.service.database.reading() as db:
            row = facts.job_row(self.service, db, job)
            return facts.job_desk(self.service, db, row, look_back=True)

    def reconcile(self, job: str) -> Reconciliation:
        """How a job stands."""
        return reconcile(self.look(job))

    def findings(self, job: str, *, seen: bool = False) -> list[tuple[str, str, int]]:
        """What is open in the book, as kind, place and quantity; with `seen`, both lines."""
        return [
            (one.kind, one.place, one.quantity)
            for one in self.reconcile(job).open
            if seen or one.kind != "bag-not-seen-empty"
        ]

    def finding(self, job: str, kind: str) -> Finding:
        """The one open finding of a kind."""
        (found,) = [one for one in self.reconcile(job).open if one.kind == kind]
        return found

    def at(self, account: str, place: str) -> dict[str, int]:
        """What lies at a place by the stored balances: part, and its condition if not used."""
        with self.service.database.reading() as db:
            rows = db.execute(
                "SELECT part, condition, sum(quantity) AS n FROM balance WHERE account = ?"
                " AND place = ? AND quantity > 0 GROUP BY part, condition ORDER BY part, condition",
                (account, place),
            ).fetchall()
        return {
            row["part"] + ("" if row["condition"] == "used" else f" {row['condition']}"): row["n"]
            for row in rows
        }

    def kinds_of(self, account: str) -> list[str]:
        """The kinds of all acts of an account, in their order."""
        with self.service.database.reading() as db:
            rows = db.execute(
                "SELECT kind FROM act WHERE account = ? ORDER BY seq", (account,)
            ).fetchall()
        return [row["kind"] for row in rows]

    def keys_of(self, account: str, *kinds: str) -> list[str]:
        """The keys of an account's acts in their order; of all kinds unless some are named."""
        with self.service.database.reading() as db:
            found = db.execute(
                "SELECT key, kind FROM act WHERE account = ? ORDER BY seq", (account,)
            ).fetchall()
        return [row["key"] for row in found if not kinds or row["kind"] in kinds]
