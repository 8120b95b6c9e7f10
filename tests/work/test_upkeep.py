"""The database is shown to be whole, and a changed byte anywhere in an exported ledger is found."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from ledger_bench import Bench, position, step

from partsvc.store.database import FILE
from partsvc.work.ledger_reading import ledger_file
from partsvc.work.service import open_service
from partsvc.work.upkeep import back_up, check, verify_file


@pytest.fixture
def job(bench: Bench) -> str:
    """A job on which something was taken off and put into a bag."""
    opened = bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=2)))
    bench.act(opened, "remove", position="P1", bag=bench.tags[0])
    return opened


def lines(bench: Bench, job: str) -> list[bytes]:
    return ledger_file(bench.service, job).encode().splitlines(keepends=True)


def test_a_ledger_file_verifies_as_written(bench: Bench, job: str) -> None:
    verified = verify_file(lines(bench, job))

    assert verified.faults == ()
    assert verified.account == job


def test_any_byte_changed_anywhere_in_a_ledger_file_is_found(bench: Bench, job: str) -> None:
    written = b"".join(lines(bench, job))

    unseen = [
        (at, new)
        for at in range(len(written))
        for new in {written[at] ^ 0x01, written[at] ^ 0x20, 0x20, 0x22, 0x0A, 0x30, 0xFF}
        if new != written[at]
        and not verify_file(
            (written[:at] + bytes([new]) + written[at + 1 :]).splitlines(keepends=True)
        ).faults
    ]

    assert unseen == []


def test_a_ledger_file_cut_anywhere_is_found(bench: Bench, job: str) -> None:
    written = b"".join(lines(bench, job))

    whole = [
        at
        for at in range(len(written))
        if not verify_file(written[:at].splitlines(keepends=True)).faults
    ]

    assert whole == []


def test_an_act_left_out_or_a_line_added_is_found(bench: Bench, job: str) -> None:
    written = lines(bench, job)

    assert verify_file(written[:1] + written[2:]).faults
    assert verify_file([*written, written[-1]]).faults


def test_a_sound_database_has_no_faults(bench: Bench, job: str) -> None:
    health = check(bench.service)

    assert health.faults == ()
    assert health.acts >= 2


@pytest.mark.parametrize(
    ("tamper", "told"),
    [
        ("UPDATE balance SET quantity = quantity + 1 WHERE place LIKE 'bag:%'", "balance of C"),
        ("UPDATE act SET done_by = 'somebody' WHERE kind = 'remove'", "done_by"),
        ("UPDATE act SET text = replace(text, 'remove', 'loosen') WHERE kind = 'remove'", "follow"),
        ("UPDATE entry SET quantity = 1 WHERE to_place LIKE 'bag:%'", "entries"),
        ('UPDATE effect SET text = \'{"tag":"22222222","kind":"bag"}\'', "effects"),
        ("DELETE FROM act WHERE kind = 'remove'", "head is not its last act"),
    ],
)
def test_a_tampered_database_is_found_out(bench: Bench, job: str, tamper: str, told: str) -> None:
    with sqlite3.connect(bench.service.database.path) as plain:
        for (name,) in plain.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            plain.execute(f"DROP TRIGGER {name}")
        plain.execute(tamper)
    plain.close()

    faults = check(bench.service).faults

    assert any(told in fault for fault in faults), faults


def test_a_backup_opens_as_a_database_of_its_own(bench: Bench, job: str, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    copy.mkdir()

    back_up(bench.service, copy / FILE)

    opened = open_service(copy)
    assert check(opened).faults == ()
    assert lines(bench, job) == ledger_file(opened, job).encode().splitlines(keepends=True)
    opened.database.close()
