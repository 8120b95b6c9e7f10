"""Vans that come back: one vehicle, and its jobs on a procedure that grows by revisions."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from http_bench import HttpBench, Json

from partsvc.store import keeping

PROCEDURE = "battery-out-and-in"


def vehicle(shop: HttpBench, vin: str = "") -> str:
    """A van that comes in; answers its id."""
    return str(shop.made("/vehicles", {"vin": vin, "model": "panel van"}, "desk")["id"])


def published(
    shop: HttpBench, *steps: Mapping[str, Any], number: int = 1, key: str = PROCEDURE
) -> None:
    """A revision of the procedure is there to open jobs on."""
    plan = {"key": key, "title": "battery out and in", "steps": list(steps)}
    with shop.ledger.service.database.writing() as db:
        keeping.add_revision(
            db, shop.ledger.service.site, procedure=key, number=number, title="battery",
            digest=f"{number:064x}", text=json.dumps(plan), by="lead", at="2030-01-01",
        )  # fmt: skip


def job_on(shop: HttpBench, van: str, *, key: str = PROCEDURE) -> str:
    """The van is taken in on the newest revision; answers the job."""
    given = {"title": "battery", "vehicle": van, "procedure": key}
    return str(shop.made("/jobs", given)["id"])


def opened(shop: HttpBench, job: str) -> list[tuple[str, str, int]]:
    """What is open on a job in the book: kind, place, how many."""
    account = shop.look(f"/jobs/{job}/reconciliation")
    return [(one["kind"], one["place"], one["quantity"]) for one in account["findings"]]


def finding(shop: HttpBench, job: str, kind: str) -> Json:
    """The one open finding of a kind."""
    account = shop.look(f"/jobs/{job}/reconciliation")
    (found,) = [one for one in account["findings"] if one["kind"] == kind]
    return dict(found)


def all_seen(shop: HttpBench, job: str) -> None:
    """Every bag of the job that is empty by the book is looked into."""
    account = shop.look(f"/jobs/{job}/reconciliation")
    bags = [one["bag"] for one in account["not_seen"]]
    if bags:
        shop.act(job, "seen-empty", bags=bags)


def release(shop: HttpBench, job: str, who: str = "lead") -> Json:
    """The job is released on the head as it stands, after every empty bag was looked into."""
    all_seen(shop, job)
    head = shop.look(f"/jobs/{job}")["head"]
    return shop.act(job, "release", who, head=head, **said())


def said() -> dict[str, bool]:
    """What a releaser says when nothing is amiss."""
    questions = ("vehicle_searched", "bay_searched", "panels_back", "tools_complete")
    return dict.fromkeys(questions, True)


def warned(body: Json) -> str:
    """What the person was told who recorded an act."""
    return " ".join(str(words) for words in body["warnings"])
