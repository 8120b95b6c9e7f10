"""The tables attacked directly: what the database itself never lets happen.

Also from a connection of another program, that knows nothing of this service's settings.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass

import pytest
from ledger_bench import Bench, position, step

from partsvc.store.database import connect
from partsvc.work import upkeep

WAYS = ("INSERT", "INSERT OR IGNORE", "INSERT OR REPLACE", "INSERT OR FAIL", "INSERT OR ROLLBACK")
UPDATES = ("UPDATE", "UPDATE OR IGNORE", "UPDATE OR REPLACE", "UPDATE OR FAIL")


@dataclass
class Attack:
    """A connection to a workshop's database, and what was there before."""

    bench: Bench
    job: str
    db: sqlite3.Connection
    before: list[str]

    def fails(self, sql: str, *values: str | int) -> str:
        """The statement is stopped; answers by what words. Nothing of it may remain."""
        try:
            with pytest.raises(sqlite3.IntegrityError) as stopped:
                self.db.execute(sql, values)
        finally:
            self.db.rollback()
        assert everything(self.db) == self.before
        return str(stopped.value)


def everything(db: sqlite3.Connection) -> list[str]:
    return list(db.iterdump())


@pytest.fixture(params=["of the service", "of another program"])
def attack(request: pytest.FixtureRequest, bench: Bench) -> Iterator[Attack]:
    job = bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=4)))
    bag = bench.tags[0]
    removed = bench.act(job, "remove", position="P1", bag=bag)
    bench.act(job, "reverse", act=removed["key"], reason="wrong bag")
    bench.act(job, "remove", position="P1", bag=bag)
    bench.refused(job, "remove", position="P1", bag=bag)
    own = request.param == "of the service"
    path = bench.service.database.path
    with closing(connect(path) if own else sqlite3.connect(path)) as db:
        yield Attack(bench, job, db, everything(db))


ENTRY = (
    "(site, account, seq, n, part, quantity, from_account, from_place, from_condition, from_lot,"
    " to_account, to_place, to_condition, to_lot, reversal)"
)


def entry(attack: Attack, **changed: str | int) -> tuple[str | int, ...]:
    """A movement of the newest act: one clip out of the bag, changed as an attacker would."""
    told: dict[str, str | int] = {
        "site": attack.bench.service.site, "account": attack.job, "seq": 4, "n": 1, "part": "C",
        "quantity": 1, "from_account": attack.job, "from_place": f"bag:{attack.bench.tags[0]}",
        "from_condition": "used", "from_lot": "P1", "to_account": attack.job,
        "to_place": "scrap:bin", "to_condition": "used", "to_lot": "P1", "reversal": 0,
    }  # fmt: skip
    return tuple((told | changed).values())


def marks(values: tuple[str | int, ...]) -> str:
    return "(" + ", ".join("?" * len(values)) + ")"


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"quantity": 5}, "not that many there"),
        ({"from_lot": "P2"}, "not that many there"),
        ({"from_condition": "new", "to_condition": "new"}, "not that many there"),
        ({"from_place": "bag:nowhere"}, "not that many there"),
        ({"quantity": 0}, "at least one piece"),
        ({"quantity": -3}, "at least one piece"),
        ({"n": 0}, "number is taken"),
        ({"seq": 3}, "only the newest act"),
        ({"seq": 5}, "only the newest act"),
        ({"account": "nobody"}, "only the newest act"),
        ({"from_place": "OUTSIDE:opening"}, "no such place"),
        ({"to_place": "Scrap:bin"}, "no such place"),
        ({"to_place": "nowhere"}, "no such place"),
    ],
)
def test_no_movement_the_book_forbids_gets_in_by_any_door(
    attack: Attack, way: str, changed: dict[str, str | int], words: str
) -> None:
    values = entry(attack, **changed)

    assert words in attack.fails(f"{way} INTO entry {ENTRY} VALUES {marks(values)}", *values)


@pytest.mark.parametrize(
    "changed",
    [
        {"to_condition": "new"},
        {"to_account": "another job"},
        {"to_lot": ""},
        {"to_condition": "splendid"},
        {"reversal": 2},
    ],
)
def test_no_movement_makes_a_piece_better_or_another_jobs(
    attack: Attack, changed: dict[str, str | int]
) -> None:
    values = entry(attack, **changed)

    assert "CHECK" in attack.fails(f"INSERT INTO entry {ENTRY} VALUES {marks(values)}", *values)


@pytest.mark.parametrize("way", ["INSERT OR IGNORE", "INSERT OR REPLACE"])
def test_a_movement_left_out_as_a_whole_moves_nothing_by_half(attack: Attack, way: str) -> None:
    values = entry(attack, to_condition="new")
    balances = "SELECT * FROM balance ORDER BY place, lot"
    before = attack.db.execute(balances).fetchall()

    try:
        attack.db.execute(f"{way} INTO entry {ENTRY} VALUES {marks(values)}", values)
    except sqlite3.IntegrityError:
        attack.db.rollback()

    assert [tuple(row) for row in attack.db.execute(balances)] == [tuple(row) for row in before]
    attack.db.rollback()


ACT = (
    "(site, account, seq, key, kind, done_by, recorded_by, sent_by, done_at, received_at, reverses,"
    " format, text, hash)"
)


def act(attack: Attack, **changed: str | int | None) -> tuple[str | int, ...]:
    told: dict[str, str | int | None] = {
        "site": attack.bench.service.site, "account": attack.job, "seq": 5, "key": "k",
        "kind": "remark", "done_by": "tech", "recorded_by": "tech", "sent_by": "d", "done_at": "x",
        "received_at": "x", "reverses": None, "format": 1, "text": "{}", "hash": "0" * 64,
    }  # fmt: skip
    return tuple((told | changed).values())  # type: ignore[arg-type]


@pytest.mark.parametrize("way", WAYS)
def test_an_act_out_of_its_place_gets_in_by_no_door(attack: Attack, way: str) -> None:
    (first, second) = attack.db.execute(
        "SELECT key FROM act WHERE account = ? AND kind = 'remove' ORDER BY seq", (attack.job,)
    ).fetchall()
    for changed, words in (
        ({"seq": 4}, "does not follow the head"),
        ({"seq": 6}, "does not follow the head"),
        ({"account": "nobody", "seq": 1}, "does not follow the head"),
        ({"key": second[0]}, "the key is taken"),
        ({"reverses": first[0]}, "reversed before"),
    ):
        values = act(attack, **changed)
        assert words in attack.fails(f"{way} INTO act {ACT} VALUES {marks(values)}", *values)


@pytest.mark.parametrize("table", ["act", "entry", "effect", "revision", "answer", "refused"])
def test_a_record_is_never_changed_or_deleted(attack: Attack, table: str) -> None:
    assert attack.db.execute(f"SELECT count(*) FROM {table}").fetchone()[0] > 0
    column = "at" if table == "refused" else "text" if table != "answer" else "body"
    column = "part" if table == "entry" else column

    for update in UPDATES:
        assert "never changed" in attack.fails(f"{update} {table} SET {column} = 'x'")
    assert "never deleted" in attack.fails(f"DELETE FROM {table}")


@pytest.mark.parametrize("table", ["account", "balance", "tag", "job"])
def test_what_indexes_the_records_is_never_deleted(attack: Attack, table: str) -> None:
    words = "follows the entries" if table == "balance" else "never"

    assert words in attack.fails(f"DELETE FROM {table}")


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    "table", ["account", "act", "entry", "effect", "revision", "answer", "refused", "tag", "job"]
)
def test_no_row_is_put_in_the_place_of_another(attack: Attack, way: str, table: str) -> None:
    attack.fails(f"{way} INTO {table} SELECT * FROM {table}")


@pytest.mark.parametrize("update", UPDATES)
@pytest.mark.parametrize(
    ("table", "change"),
    [
        ("account", "head_seq = 1"),
        ("account", "head_seq = head_seq + 1"),
        ("account", "head = 'x'"),
        ("account", "kind = 'workshop'"),
        ("account", "id = 'other' || id"),
        ("tag", "code = 'X'"),
        ("tag", "site = 'X'"),
        ("job", "number = 7"),
        ("job", "procedure = 'another'"),
        ("job", "revision = 2"),
    ],
)
def test_what_is_fixed_for_life_stays(attack: Attack, update: str, table: str, change: str) -> None:
    attack.fails(f"{update} {table} SET {change}")


@pytest.mark.parametrize("update", UPDATES)
def test_a_tag_has_one_job_for_life(attack: Attack, update: str) -> None:
    for other in ("another job", ""):
        words = attack.fails(
            f"{update} tag SET account = ? WHERE code = ?", other, attack.bench.tags[0]
        )
        assert "one job for life" in words


def test_a_balance_is_never_below_nothing(attack: Attack) -> None:
    assert "CHECK" in attack.fails("UPDATE balance SET quantity = -1")


def test_a_balance_meddled_with_is_found_by_the_check(attack: Attack) -> None:
    attack.db.execute("UPDATE balance SET quantity = quantity + 1 WHERE place LIKE 'bag:%'")
    attack.db.commit()

    (fault,) = upkeep.check(attack.bench.service).faults

    assert "5 used C of P1 at bag:" in str(fault)
    assert "the acts make it 4" in str(fault)


def test_a_movement_added_to_the_newest_act_is_found_by_the_check(attack: Attack) -> None:
    values = entry(attack)
    attack.db.execute(f"INSERT INTO entry {ENTRY} VALUES {marks(values)}", values)
    attack.db.commit()

    faults = "\n".join(map(str, upkeep.check(attack.bench.service).faults))

    assert "its entries are not those of its text" in faults
    assert "at scrap:bin, the acts make it 0" in faults
