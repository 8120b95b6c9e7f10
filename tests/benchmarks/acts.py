"""How long acts and views take on the van's procedure. Run it by hand:

    .venv/bin/python tests/benchmarks/acts.py

It strips every position of the van into bags through the same door as the API, in this process, on
a real file, and prints medians and the slowest tenth in milliseconds.
"""

from __future__ import annotations

import csv
import json
import statistics
import tempfile
import time
import uuid
from collections.abc import Callable
from pathlib import Path

from partsvc.domain import tagcode
from partsvc.domain.records import Plain
from partsvc.store import keeping
from partsvc.work import ordering, reconciling, refit_list, strip_list
from partsvc.work.first_start import at_the_console, first_access
from partsvc.work.openings import open_job
from partsvc.work.posting import post
from partsvc.work.service import Service, open_service, plan_from

VAN = Path(__file__).parents[2] / "seed" / "van_battery"
WHOLE = ("length_mm", "pack_size")


def set_up(folder: Path) -> tuple[Service, str]:
    """A service with the van's catalogue and a job on its procedure."""
    service = open_service(folder)
    first_access(service)
    with service.database.writing() as db:
        for row in csv.DictReader((VAN / "catalogue.csv").open(encoding="utf-8")):
            part = {k: int(v) if k in WHOLE else v for k, v in row.items() if v}
            keeping.put_part(
                db,
                service.site,
                number=row["number"],
                name=row["name"],
                kind=row["kind"],
                text=json.dumps(part),
            )
        text = (VAN / "procedure.json").read_text(encoding="utf-8")
        keeping.add_revision(
            db, service.site, procedure="van", number=1, title="van", digest="0" * 64, text=text,
            by="bench", at=service.stamp(),
        )  # fmt: skip
        codes = [tagcode.from_number(n * 99_991) for n in range(200)]
        blank = [(code, "", "bag", "", "") for code in codes]
        keeping.add_tags(db, service.site, blank, at=service.stamp())
    return service, open_job(service, at_the_console(service), title="van", procedure="van")


def timed(call: Callable[[], object]) -> float:
    """How long a call takes, in milliseconds."""
    begun = time.perf_counter()
    call()
    return (time.perf_counter() - begun) * 1000


def told(name: str, times: list[float]) -> None:
    """Print the median and the slowest tenth."""
    times.sort()
    slow = times[int(len(times) * 0.9)]
    print(f"{name:16} {len(times):4} × median {statistics.median(times):6.2f} ms, 90 % {slow:6.2f}")


def main() -> None:
    """Strip the van, then read every view twenty times."""
    with tempfile.TemporaryDirectory() as folder:
        service, job = set_up(Path(folder))
        sender = at_the_console(service)
        plan = plan_from((VAN / "procedure.json").read_text(encoding="utf-8"))
        times = []
        for n, (_, position) in enumerate(plan.each_position()):
            act: dict[str, Plain] = {
                "kind": "remove",
                "key": str(uuid.uuid4()),
                "position": position.id,
                "bag": tagcode.from_number(n * 99_991),
                "already_done": {"reason": "benchmark: every step at once"},
            }
            times.append(timed(lambda act=act: post(service, job, sender, act)))  # type: ignore[misc]
        told("remove", times)
        for view in (
            strip_list.strip_list, refit_list.refit_list, ordering.order,
            reconciling.reconciliation,
        ):  # fmt: skip
            told(view.__name__, [timed(lambda view=view: view(service, job)) for _ in range(20)])  # type: ignore[misc]
        service.database.close()


if __name__ == "__main__":
    main()
