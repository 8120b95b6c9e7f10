"""A tour of every page: which there are, who looks at them, and at which stage of the van.

The tour is compared with the addresses of the application, so that a new page is not forgotten.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from floor import Van

Path = Callable[[Van], str]


@dataclass(frozen=True, slots=True)
class Stop:
    """A page: its rule, its name as a file, who looks, at which stage, and its address."""

    rule: str
    name: str
    login: str
    stage: str
    path: Path


def at(path: str) -> Path:
    """An address that needs to know nothing, or the job."""
    return lambda van: path.replace("<job>", van.job)


# What answers no page of its own: files, data for scripts, a worker.
NO_PAGES = frozenset(
    {
        "/live",
        "/live/now",
        "/scan",
        "/said",
        "/sw.js",
        "/manifest.webmanifest",
        "/trust/authority.pem",
        "/static/<version>/<path:name>",
        "/parts/order.csv",
        "/lead/parts/export",
        "/lead/procedures/<key>/export",
        "/lead/keeping/copies/<name>",
        "/print/<job>/scale.pdf",
        "/print/<job>/tags.pdf",
        "/print/now/<printer>",
        "/lead/printers/<printer>/now",
        "/T/<code>",
        "/sign-out",
    }
)

STOPS: tuple[Stop, ...] = (
    Stop("/sign-in", "sign-in", "", "opened", at("/sign-in")),
    Stop("/", "jobs", "tove", "opened", at("/")),
    Stop("/me", "me", "tove", "opened", at("/me")),
    Stop("/open", "open-a-job", "tove", "opened", at("/open")),
    Stop("/offline", "offline", "", "opened", at("/offline")),
    Stop("/trust", "trust", "", "opened", at("/trust")),
    Stop("/bench/<job>", "strip", "tove", "opened", at("/bench/<job>")),
    Stop("/bench/<job>/refit", "refit", "miro", "stripped", at("/bench/<job>/refit")),
    Stop("/bench/<job>/bags", "bags", "miro", "stripped", at("/bench/<job>/bags")),
    Stop("/t/<code>", "tag", "miro", "stripped", lambda van: f"/t/{van.bags[van.home['FS-01']]}"),
    Stop("/pictures/<job>", "pictures", "miro", "stripped", at("/pictures/<job>")),
    Stop(
        "/pictures/<job>/timeline", "timeline", "brun", "refitted", at("/pictures/<job>/timeline")
    ),
    Stop(
        "/pictures/<job>/spots/<step>", "spots", "tove", "opened",
        at("/pictures/<job>/spots/shield-front"),
    ),
    Stop("/print/<job>", "print", "asha", "stripped", at("/print/<job>")),
    Stop("/parts", "parts-order", "asha", "opened", at("/parts")),
    Stop("/parts/jobs/<job>", "parts-job", "asha", "opened", at("/parts/jobs/<job>")),
    Stop("/parts/kits/<job>", "parts-kits", "asha", "stripped", at("/parts/kits/<job>")),
    Stop("/parts/receive", "parts-receive", "asha", "opened", at("/parts/receive")),
    Stop("/parts/store", "parts-store", "asha", "stripped", at("/parts/store")),
    Stop("/parts/count", "parts-count", "asha", "stripped", at("/parts/count?part=KF-1010")),
    Stop("/parts/told", "parts-told", "asha", "stripped", at("/parts/told")),
    Stop("/parts/unknown", "parts-unknown", "asha", "stripped", at("/parts/unknown")),
    Stop("/check/<job>", "check", "brun", "refitted", at("/check/<job>")),
    Stop("/check/<job>/holds", "check-holds", "brun", "refitted", at("/check/<job>/holds")),
    Stop("/check/<job>/record", "check-record", "brun", "refitted", at("/check/<job>/record")),
    Stop("/check/<job>/release", "check-release", "brun", "refitted", at("/check/<job>/release")),
    Stop("/check/<job>/trail", "check-places", "brun", "refitted", at("/check/<job>/trail")),
    Stop(
        "/check/<job>/trail/position/<name>", "trail-position", "brun", "refitted",
        at("/check/<job>/trail/position/FS-01"),
    ),
    Stop(
        "/check/<job>/trail/bag/<name>", "trail-bag", "brun", "refitted",
        lambda van: f"/check/{van.job}/trail/bag/{van.bags[van.home['FS-01']]}",
    ),
    Stop(
        "/check/<job>/trail/part/<path:name>", "trail-part", "brun", "refitted",
        at("/check/<job>/trail/part/KF-1010"),
    ),
    Stop("/lead", "lead", "jorin", "opened", at("/lead")),
    Stop("/lead/jobs", "lead-jobs", "jorin", "opened", at("/lead/jobs")),
    Stop("/lead/jobs/<job>", "lead-job", "jorin", "opened", at("/lead/jobs/<job>")),
    Stop("/lead/jobs/new", "lead-job-new", "jorin", "opened", at("/lead/jobs/new")),
    Stop("/lead/people", "lead-people", "jorin", "opened", at("/lead/people")),
    Stop("/lead/people/new", "lead-person-new", "jorin", "opened", at("/lead/people/new")),
    Stop(
        "/lead/people/<person>", "lead-person", "jorin", "opened",
        lambda van: f"/lead/people/{van.people['lio']}",
    ),
    Stop("/lead/parts", "lead-parts", "jorin", "opened", at("/lead/parts")),
    Stop("/lead/parts/new", "lead-part-new", "jorin", "opened", at("/lead/parts/new")),
    Stop(
        "/lead/parts/of/<path:number>", "lead-part", "jorin", "opened",
        at("/lead/parts/of/KF-1010"),
    ),
    Stop("/lead/parts/import", "lead-import", "jorin", "opened", at("/lead/parts/import")),
    Stop("/lead/procedures", "lead-procedures", "jorin", "opened", at("/lead/procedures")),
    Stop(
        "/lead/procedures/<key>", "lead-procedure", "jorin", "opened",
        at("/lead/procedures/ev-pack-out-and-in"),
    ),
    Stop(
        "/lead/procedures/<key>/compare", "lead-compare", "jorin", "opened",
        at("/lead/procedures/ev-pack-out-and-in/compare?before=1&after=1"),
    ),
    Stop(
        "/lead/procedures/import", "lead-procedure-import", "jorin", "opened",
        at("/lead/procedures/import"),
    ),
    Stop("/lead/vehicles", "lead-vehicles", "jorin", "opened", at("/lead/vehicles")),
    Stop("/lead/vehicles/new", "lead-vehicle-new", "jorin", "opened", at("/lead/vehicles/new")),
    Stop("/lead/equipment", "lead-equipment", "jorin", "opened", at("/lead/equipment")),
    Stop("/lead/equipment/new", "lead-equipment-new", "jorin", "opened", at("/lead/equipment/new")),
    Stop(
        "/lead/equipment/of/<path:number>", "lead-equipment-one", "jorin", "opened",
        at("/lead/equipment/of/M-07"),
    ),
    Stop("/lead/printers", "lead-printers", "jorin", "opened", at("/lead/printers")),
    Stop("/lead/printers/new", "lead-printer-new", "jorin", "opened", at("/lead/printers/new")),
    Stop("/lead/keeping", "lead-keeping", "jorin", "opened", at("/lead/keeping")),
)  # fmt: skip
