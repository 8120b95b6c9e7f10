"""Failing at the first statement of an act, at the second, the third …: nothing is ever half done.

First statement by statement as the service sends them, then within them, at the database's own
small steps, so that a trigger too is stopped between its debit and its credit.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from pathlib import Path

import ledger_invariants
import pytest
from ledger_bench import STATEMENT, WORKSHOP, Bench, position, step

from partsvc.domain.records import Plain
from partsvc.errors import Busy
from partsvc.store import database
from partsvc.work import upkeep

Act = tuple[str, str, dict[str, Plain]]


class Disk:
    """Runs full once, at a statement or at one of the database's small steps."""

    def __init__(self) -> None:
        self.statement = self.small_step = 0

    def asked_for_a_statement(self) -> None:
        self.statement -= 1
        if self.statement == 0:
            full = sqlite3.OperationalError("database or disk is full")
            full.sqlite_errorcode = sqlite3.SQLITE_FULL
            raise full

    def goes_a_small_step(self) -> bool:
        self.small_step -= 1
        return self.small_step == 0

    @property
    def has_failed(self) -> bool:
        return self.statement <= 0 and self.small_step <= 0


class OverADisk:
    """The service's door to SQLite, with a disk behind it; all else is SQLite as it is."""

    def __init__(self, disk: Disk) -> None:
        self.disk = disk

    def __getattr__(self, name: str) -> object:
        return getattr(sqlite3, name)

    def connect(self, *where: object, **how: object) -> sqlite3.Connection:
        disk = self.disk

        class Connection(sqlite3.Connection):
            def execute(self, *statement: object) -> sqlite3.Cursor:  # type: ignore[override]
                if statement[0] != "ROLLBACK":
                    disk.asked_for_a_statement()
                return super().execute(*statement)  # type: ignore[arg-type]

        made: sqlite3.Connection = sqlite3.connect(*where, **how, factory=Connection)  # type: ignore[call-overload]
        made.set_progress_handler(disk.goes_a_small_step, 1)
        return made


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> Disk:
    """Every connection of the service opened from now on writes to this disk."""
    made = Disk()
    monkeypatch.setattr(database, "sqlite3", OverADisk(made))
    return made


def acts_to_come(bench: Bench) -> dict[str, Act]:
    """A job in the middle of things, and the acts that are about to be recorded on it."""
    tags = bench.tags
    job = bench.open_job(
        step(
            "S1",
            10,
            position("P1", {"part": "C"}, {"part": "W"}, sets=3),
            position("P2", {"part": "B"}, sets=3),
        )
    )
    bench.act(WORKSHOP, "receive", "desk", part="B", quantity=1)
    bench.act(job, "remove", position="P2", bag=tags[0])
    issued = bench.act(job, "issue", "desk", part="B", quantity=2, bag=tags[1])
    spare = bench.open_job()
    return {
        "remove": ("tech", job, {"kind": "remove", "position": "P1", "bag": tags[2]}),
        "remove what nobody planned": ("tech", job, {"kind": "remove", "bag": tags[2], "add": {
            "where": "behind", "quantity": 2, "step_title": "unplanned", "words": "screw"}}),
        "issue beyond stock": ("desk", job, {
            "kind": "issue", "part": "W", "quantity": 5, "bag": tags[3]}),
        "secure from a bag": ("tech", job, {"kind": "secure", "position": "P2", "bag": tags[0]}),
        "exchange": ("desk", job, {
            "kind": "exchange", "bag": tags[0], "old_parts": tags[4], "part": "B"}),
        "reverse": ("tech", job, {
            "kind": "reverse", "act": issued["key"], "reason": "for another job"}),
        "release": ("quality", spare, {
            "kind": "release", "head": bench.look(spare).head, **STATEMENT}),
    }  # fmt: skip


NAMES = (
    "remove", "remove what nobody planned", "issue beyond stock", "secure from a bag", "exchange",
    "reverse", "release",
)  # fmt: skip


def failures_until_it_succeeds(
    bench: Bench, act: Act, disk: Disk, *, fails_in: str, at: Iterable[int]
) -> int:
    """Send an act while the disk fails ever later; answers how often it failed before it was in.

    Failing at the very end, when it was durable already, the act is there whole and only its
    answer is lost.
    """
    who, account, payload = act
    payload = {"key": bench.new_key(), **payload}
    path = bench.service.database.path
    before = ledger_invariants.snapshot(path)
    for failed, n in enumerate(at):
        setattr(disk, fails_in, n)
        try:
            bench.post(who, account, payload)
        except Busy:
            assert disk.has_failed
            assert ledger_invariants.refusals(path) == 0
            if ledger_invariants.snapshot(path) == before:
                continue
        disk.statement = disk.small_step = 0
        assert bench.post(who, account, payload).again
        ledger_invariants.hold(path)
        assert upkeep.check(bench.service).faults == ()
        return failed
    raise AssertionError("it never succeeded")


def ever_later(growth: float) -> Iterable[int]:
    n = 1
    while n < 1_000_000:
        yield n
        n = int(n * growth) + 1


@pytest.mark.parametrize("name", NAMES)
def test_an_act_failing_at_any_statement_is_not_there_at_all(
    tmp_path: Path, disk: Disk, name: str
) -> None:
    bench = Bench.opened(tmp_path / "workshop")
    act = acts_to_come(bench)[name]

    failed = failures_until_it_succeeds(bench, act, disk, fails_in="statement", at=range(1, 400))

    assert failed >= 15


@pytest.mark.parametrize("name", NAMES)
def test_an_act_failing_within_a_statement_is_not_there_at_all(
    tmp_path: Path, disk: Disk, name: str
) -> None:
    bench = Bench.opened(tmp_path / "workshop")
    act = acts_to_come(bench)[name]

    failed = failures_until_it_succeeds(
        bench, act, disk, fails_in="small_step", at=ever_later(1.03)
    )

    assert failed >= 100


def test_a_refusal_that_cannot_be_kept_is_not_answered_as_kept(tmp_path: Path, disk: Disk) -> None:
    """Either the refused act stands beside the ledger, or the sender is told to send it again."""
    bench = Bench.opened(tmp_path / "workshop")
    job = bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=3)))
    path = bench.service.database.path
    payload = {"key": bench.new_key(), "kind": "fit", "position": "P1", "bag": bench.tags[0]}

    kept = []
    for n in range(1, 60):
        disk.statement = n
        before = ledger_invariants.refusals(path)
        try:
            bench.post("tech", job, payload)  # type: ignore[arg-type]
        except Busy:
            assert ledger_invariants.refusals(path) == before
        except Exception as refused:
            kept.append((type(refused).__name__, ledger_invariants.refusals(path) - before))

    assert set(kept) == {("Refused", 1)}
