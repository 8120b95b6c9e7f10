"""Whether everything is whole: a check that finds what was meddled with, files that verify."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from ledger_bench import WORKSHOP, Bench, position, step

from partsvc.domain.ledger_file import act_line, foot_line
from partsvc.errors import Busy, NotFound
from partsvc.store.database import FILE
from partsvc.work import upkeep


@pytest.fixture
def job(bench: Bench) -> str:
    """A short day: two positions off, one reversed, new clips issued and fitted."""
    job = bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=2)))
    k, n = bench.tags[:2]
    removed = bench.act(job, "remove", position="P1", bag=n)
    bench.act(job, "reverse", act=removed["key"], reason="wrong bag: é, ☐, \u2028")
    bench.act(job, "remove", position="P1", bag=k, broken=1)
    bench.act(WORKSHOP, "receive", "desk", part="C", quantity=2)
    bench.act(job, "issue", "desk", part="C", quantity=1, bag=n)
    bench.refused(job, "fit", position="P1", bag=bench.tags[3])
    return job


def meddle(bench: Bench, *statements: str) -> None:
    """Change the database behind the service's back, its own rules taken out of the way."""
    with sqlite3.connect(bench.service.database.path) as db:
        rules = db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in rules:
            db.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            db.execute(statement)
        for _, sql in rules:
            db.execute(sql)
    db.close()


def told(bench: Bench) -> str:
    return "\n".join(map(str, upkeep.check(bench.service).faults))


def test_a_day_of_work_is_whole(bench: Bench, job: str) -> None:
    health = upkeep.check(bench.service)

    assert health.faults == ()
    assert health.whole
    assert (health.accounts, health.acts) == (2, 6)


@pytest.mark.parametrize(
    ("meddled", "found"),
    [
        ("UPDATE balance SET quantity = quantity + 1 WHERE place LIKE 'bag:%'", "the acts make it"),
        ("UPDATE balance SET lot = 'P2' WHERE place LIKE 'bag:%'", "the acts make it"),
        ("DELETE FROM balance", "the acts make it"),
        ("UPDATE entry SET quantity = 3 WHERE seq = 2", "its entries are not those of its text"),
        ("UPDATE entry SET n = n + 1 WHERE seq = 2", "not numbered from 0"),
        ("UPDATE entry SET reversal = 1 WHERE seq = 2", "marked wrongly as reversal"),
        ("DELETE FROM entry WHERE seq = 2", "its entries are not those of its text"),
        ("UPDATE effect SET text = '{\"tag\":\"X\"}'", "its effects are not those of its text"),
        ("DELETE FROM effect", "its effects are not those of its text"),
        ("UPDATE act SET text = replace(text, '\"P1\"', '\"P2\"')", "its hash is not that of"),
        ("UPDATE act SET done_by = 'mate' WHERE seq = 2", "done_by is 'mate'"),
        ("UPDATE act SET done_at = '2020' WHERE seq = 2", "done_at is '2020'"),
        ("UPDATE act SET reverses = NULL", "reverses is None"),
        ("UPDATE act SET text = 'no record' WHERE seq = 3", "its text is no record"),
        ("DELETE FROM act WHERE seq = 3", "number 3 is missing before it"),
        ("DELETE FROM act WHERE seq = 5", "its head is not its last act"),
        ("UPDATE account SET head_seq = 4", "its head is not its last act"),
        ("DELETE FROM answer", "the answer to it is not kept"),
        ("UPDATE answer SET body = '{}'", "is not the answer to it"),
        ("UPDATE answer SET body = '{'", "is not the answer to it"),
        ("UPDATE answer SET key = 'a' WHERE key IN (SELECT key FROM answer LIMIT 1)", "answer a"),
        ("UPDATE tag SET account = 'another'", "which used it first"),
        ("UPDATE job SET state = 'released'", "is kept as released"),
        ("INSERT INTO entry SELECT site, account, 9, n, part, quantity, from_account, from_place,"
         " from_condition, from_lot, to_account, to_place, to_condition, to_lot, reversal"
         " FROM entry LIMIT 1", "is not there, but rows of it are"),
    ],
)  # fmt: skip
def test_whatever_is_meddled_with_is_found(
    bench: Bench, job: str, meddled: str, found: str
) -> None:
    meddle(bench, meddled)

    assert found in told(bench)


def test_a_rule_taken_out_of_the_database_is_found(bench: Bench, job: str) -> None:
    with sqlite3.connect(bench.service.database.path) as db:
        db.execute("DROP TRIGGER entry_never_changed")
    db.close()

    assert "rule entry_never_changed is missing" in told(bench)


def test_a_damaged_file_is_found(bench: Bench, job: str) -> None:
    path = bench.service.database.path
    with sqlite3.connect(path) as db:
        db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        page = db.execute("PRAGMA page_size").fetchone()[0]
        root = db.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 'act_by_kind'"
        ).fetchone()[0]
    db.close()
    bench.service.database.close()
    with path.open("r+b") as file:
        file.seek((root - 1) * page + 8)
        file.write(bytes(16))

    reopened = Bench.opened_again(path.parent)

    assert "file:" in told(reopened)


# Exported ledgers --------------------------------------------------------------------------------


def exported(bench: Bench, account: str) -> list[bytes]:
    return [line.encode() for line in upkeep.export_ledger(bench.service, account)]


def _split_at_line_feeds(file: bytes) -> list[bytes]:
    return [line + b"\n" for line in file.split(b"\n")[:-1]] + [
        rest for rest in [file.rpartition(b"\n")[2]] if rest
    ]


def verified(file: bytes) -> bool:
    return not upkeep.verify_file(_split_at_line_feeds(file)).faults


def test_an_exported_ledger_verifies_elsewhere(bench: Bench, job: str) -> None:
    lines = exported(bench, job)

    found = upkeep.verify_file(lines)

    assert found.faults == ()
    assert (found.account, found.site, found.acts) == (job, bench.service.site, 5)
    assert found.head == bench.look(job).head
    assert upkeep.verify_file(line.decode() for line in lines) == found


def test_the_ledger_of_nobody_is_not_exported(bench: Bench) -> None:
    with pytest.raises(NotFound):
        upkeep.export_ledger(bench.service, "nobody")


@pytest.fixture
def short(bench: Bench) -> bytes:
    """The file of a job of three acts, with entries, effects and letters beyond ASCII in it."""
    job = bench.open_job()
    bench.act(job, "stray", bag=bench.tags[0], words='lay on the tray: é, ☐, \u2028, "7"')
    bench.act(job, "seen-empty", bags=[bench.tags[1]])
    return b"".join(exported(bench, job))


# One bit, the other case, a digit, a line end, a blank, a quote.
CHANGES: tuple[Callable[[int], int], ...] = (
    lambda byte: byte ^ 0x01,
    lambda byte: byte ^ 0x20,
    lambda byte: byte ^ 0x80,
    lambda byte: 0x0A,
    lambda byte: 0x20,
    lambda byte: 0x30 + (byte + 1) % 10,
)


@pytest.mark.parametrize("change", CHANGES)
def test_every_changed_byte_is_found(short: bytes, change: Callable[[int], int]) -> None:
    missed = []
    for at, byte in enumerate(short):
        changed = short[:at] + bytes([change(byte)]) + short[at + 1 :]
        if changed != short and verified(changed):
            missed.append(at)

    assert verified(short)
    assert missed == []


def test_every_byte_left_out_or_put_in_is_found(short: bytes) -> None:
    missed = [
        at
        for at in range(len(short) + 1)
        for other in (short[:at] + short[at + 1 :], short[:at] + b" " + short[at:])
        if other != short and verified(other)
    ]

    assert missed == []


def test_every_cut_is_found(short: bytes) -> None:

    assert [length for length in range(len(short)) if verified(short[:length])] == []


def test_whole_lines_left_out_twice_or_in_another_order_are_found(bench: Bench, job: str) -> None:
    lines = exported(bench, job)
    others = [lines[:at] + lines[at + 1 :] for at in range(len(lines))]
    others += [[*lines[:at], lines[at], *lines[at:]] for at in range(len(lines))]
    others += [
        [*lines[:at], lines[at + 1], lines[at], *lines[at + 2 :]] for at in range(len(lines) - 1)
    ]
    others += [[*lines, b"\n"], [b"\n", *lines], [*lines, b"{}\n"], []]

    assert [number for number, other in enumerate(others) if verified(b"".join(other))] == []


def test_an_act_of_another_job_has_no_place_in_the_file(bench: Bench, job: str) -> None:
    other = bench.open_job()
    bench.act(other, "remark", words="scratched")
    theirs = exported(bench, other)
    ours = exported(bench, job)

    found = upkeep.verify_file([ours[0], *theirs[1:]])

    assert "belongs to another account" in str(found.faults[0])


def test_what_cannot_be_read_at_all_is_a_fault_and_not_a_crash(bench: Bench, job: str) -> None:
    head, first, *_ = exported(bench, job)
    for line in (
        b"\xff\n", b"[" * 100_000 + b"\n", b'{"text": 7}\n', b'{"text": "\\ud800"}\n', b"null\n",
        act_line(1, "0" * 64, "[]").encode(), b'{"text": "[1, 1]"}\n', b'{"text": "{}"}\n',
    ):  # fmt: skip
        found = upkeep.verify_file([head, line, foot_line("0" * 64, 1)])
        assert found.faults != ()
        assert upkeep.verify_file([line, first, line]).faults != ()


# Copies ------------------------------------------------------------------------------------------


def test_a_copy_of_the_running_service_is_whole_and_opens(
    bench: Bench, job: str, tmp_path: Path
) -> None:
    folder = tmp_path / "copy"
    folder.mkdir()
    upkeep.back_up(bench.service, folder / FILE)
    bench.act(job, "remark", words="after the copy")

    copy = Bench.opened_again(folder)

    assert [path.name for path in folder.iterdir() if "unproved" in path.name] == []
    assert told(copy) == ""
    assert copy.kinds_of(job) == bench.kinds_of(job)[:-1]


def test_a_copy_that_cannot_be_written_leaves_nothing(
    bench: Bench, job: str, tmp_path: Path
) -> None:
    with pytest.raises(Busy):
        upkeep.back_up(bench.service, tmp_path / "no such folder" / "copy.sqlite3")

    assert list(tmp_path.glob("no such*")) == []
