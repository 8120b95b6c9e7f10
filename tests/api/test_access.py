"""Who may do what: nobody without signing in, and each by their role."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from http_bench import HttpBench, problem
from ledger_bench import ROLES

from partsvc.api.document import document_of
from partsvc.domain.acts.registry import KINDS
from partsvc.web.pace import Pace

OPEN = {
    "/api/v1/session post",
    "/api/v1/health get",
    "/api/v1/problems/{code} get",
}


def operations(bench: HttpBench) -> list[tuple[str, str, set[str]]]:
    """Every address with its method and the roles that may call it."""
    return [
        (path, method, set(operation.get("x-roles", ())))
        for path, methods in document_of(bench.app)["paths"].items()
        for method, operation in methods.items()
        if method != "parameters"
    ]


def at(path: str) -> str:
    """An address with something in each of its gaps."""
    gaps = (
        "job", "part", "code", "photo", "number", "key", "vehicle", "person", "line", "printer",
        "printing", "stock",
    )  # fmt: skip
    return path.format(**dict.fromkeys(gaps, "1")).removeprefix("/api/v1")


def with_tags(example: Mapping[str, object], tags: list[str]) -> dict[str, object]:
    """An example with the tags of this bench in the places of its own."""
    bags = ("bag", "into", "old_parts")
    found = {
        name: tags[bags.index(name)] if name in bags else given for name, given in example.items()
    }
    return found | {name: tags[:2] for name in ("bags", "tags") if name in example}


def test_nobody_gets_in_without_signing_in(bench: HttpBench) -> None:
    tried = 0
    for path, method, _ in operations(bench):
        if f"{path} {method}" not in OPEN:
            found = bench.send(method.upper(), at(path), "")
            assert (found.status_code, problem(found)["code"]) == (401, "not-signed-in"), path
            assert found.headers["WWW-Authenticate"] == "Bearer"
            tried += 1

    assert tried >= 45


@pytest.mark.parametrize(
    "sent", ["Bearer", "Bearer wrong", "Basic dGVjaDp4", "Bearer a b", "tech", "Bearer \u00e9"]
)
def test_a_wrong_token_does_not_get_in(bench: HttpBench, sent: str) -> None:
    found = bench.get("/jobs", "", headers={"Authorization": sent})

    assert (found.status_code, problem(found)["code"]) == (401, "not-signed-in")


def test_each_role_gets_where_it_may_and_nowhere_else(bench: HttpBench) -> None:
    for path, method, roles in operations(bench):
        if f"{path} {method}" in OPEN or (path, method) == ("/api/v1/session", "delete"):
            continue
        for who, role in ROLES.items():
            found = bench.send(method.upper(), at(path), who)
            assert (found.status_code == 403) == (role not in roles), (path, method, who)


def test_each_kind_of_act_is_recorded_by_its_roles_only(bench: HttpBench) -> None:
    job = bench.open_job()
    for kind in KINDS:
        path = f"/jobs/{job}/acts" if "job" in kind.accounts else "/workshop/acts"
        for who, role in ROLES.items():
            act = bench.payload(kind.kind, **with_tags(kind.example, bench.tags))
            found = bench.post(path, act, who)
            assert (found.status_code == 403) == (role not in kind.roles), (kind.kind, who)


def test_a_token_ends_with_the_shift_and_with_the_person(bench: HttpBench) -> None:
    assert bench.get("/session", "mate").status_code == 200
    etag = bench.get("/people/mate", "lead").headers["ETag"]

    bench.send("PATCH", "/people/mate", "lead", json={"active": False}, headers={"If-Match": etag})

    assert bench.get("/session", "mate").status_code == 401
    later = datetime.now(UTC) + timedelta(days=366)
    bench.ledger.service.now = lambda: later
    assert bench.get("/session", "tech").status_code == 401


def test_too_many_sign_ins_have_to_wait(tmp_path: Path) -> None:
    bench = HttpBench.opened(tmp_path / "workshop", sign_ins_at_once=2)
    wrong = {"login": "tech", "password": "guess"}
    for _ in range(2):
        assert bench.post("/session", wrong, "").status_code == 401

    found = bench.post("/session", wrong, "")

    assert (found.status_code, problem(found)["code"]) == (429, "too-many-tries")
    assert 1 <= int(found.headers["Retry-After"]) <= 6
    bench.ledger.service.database.close()


def test_the_pace_gives_a_try_back_for_every_pause() -> None:
    pace = Pace(at_once=2, seconds_each=6)
    start = datetime(2030, 1, 1, tzinfo=UTC)

    waits = [pace.seconds_to_wait("a", start) for _ in range(3)]
    other = pace.seconds_to_wait("b", start)
    later = pace.seconds_to_wait("a", start + timedelta(seconds=6))

    assert waits == [0, 0, 6]
    assert (other, later) == (0, 0)


def test_the_clock_going_back_locks_nobody_out_for_long() -> None:
    pace = Pace(at_once=1, seconds_each=6)
    start = datetime(2030, 1, 1, tzinfo=UTC)
    assert pace.seconds_to_wait("a", start) == 0

    assert pace.seconds_to_wait("a", start - timedelta(days=1)) == 6
