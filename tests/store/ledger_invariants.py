"""The rules of the ledger, told plainly from the rows, by none of the service's own functions."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections import Counter
from contextlib import closing
from pathlib import Path
from typing import Any

RANK = {"new": 0, "used": 1, "damaged": 2}
TABLES = (
    "account", "act", "entry", "effect", "balance", "answer", "tag", "job", "order_line",
    "order_event", "notice",
)  # fmt: skip
# A lot is where a piece comes from; only what the store hands out or takes back gets a new one.
OTHER_LOT = ("issue", "exchange", "return", "put-on", "take-off", "reverse")


def rows(db: sqlite3.Connection, sql: str) -> list[dict[str, Any]]:
    return [dict(row) for row in db.execute(sql)]


def opened(path: Path) -> sqlite3.Connection:
    db = sqlite3.connect(path)
    db.row_factory = sqlite3.Row
    return db


def snapshot(path: Path) -> dict[str, list[dict[str, Any]]]:
    """Everything the ledger and its indexes are made of."""
    with closing(opened(path)) as db:
        return {table: rows(db, f"SELECT * FROM {table}") for table in TABLES}


def refusals(path: Path) -> int:
    with closing(opened(path)) as db:
        return int(db.execute("SELECT count(*) FROM refused").fetchone()[0])


def hold(path: Path) -> None:
    """Assert every rule that can be told from the rows."""
    with closing(opened(path)) as db:
        acts = rows(db, "SELECT * FROM act ORDER BY account, seq")
        entries = rows(db, "SELECT * FROM entry ORDER BY account, seq, n")
        effects = rows(db, "SELECT * FROM effect ORDER BY account, seq, n")
        accounts = {row["id"]: row for row in rows(db, "SELECT * FROM account")}
        balances = rows(db, "SELECT * FROM balance WHERE quantity <> 0")
        tags = {row["code"]: row["account"] for row in rows(db, "SELECT * FROM tag")}
    _chains(acts, accounts)
    _texts(acts, entries, effects)
    _movements(acts, entries)
    _sums(entries, balances)
    _reversals(acts)
    _tags(effects, tags)


def _chains(acts: list[dict[str, Any]], accounts: dict[str, dict[str, Any]]) -> None:
    for ident, account in accounts.items():
        chain = [act for act in acts if act["account"] == ident]
        assert [act["seq"] for act in chain] == list(range(1, len(chain) + 1))
        head = "0" * 64
        for act in chain:
            told = f"partsvc act 1\n{head}\n{act['text']}"
            head = hashlib.sha256(told.encode()).hexdigest()
            assert act["hash"] == head
        assert (account["head_seq"], account["head"]) == (len(chain), head)
    assert len({act["key"] for act in acts}) == len(acts)


def _texts(
    acts: list[dict[str, Any]], entries: list[dict[str, Any]], effects: list[dict[str, Any]]
) -> None:
    entries_of, effects_of = _by_act(entries), _by_act(effects)
    for act in acts:
        said = json.loads(act["text"])
        mine = (act["account"], act["seq"])
        own = entries_of.pop(mine, [])
        assert [row["n"] for row in own] == list(range(len(said["entries"])))
        for row, told in zip(own, said["entries"], strict=True):
            assert (row["part"], row["quantity"]) == (told["part"], told["quantity"])
            for side in ("from", "to"):
                spot = {name: row[f"{side}_{name}"] for name in told[side]}
                assert spot == told[side]
                assert set(spot) == {"account", "place", "condition", "lot"}
        done = effects_of.pop(mine, [])
        assert [{"effect": row["kind"], **json.loads(row["text"])} for row in done] == said[
            "effects"
        ]
        assert (said["seq"], said["account"], said["key"]) == (*mine[::-1], act["key"])
        assert (said["kind"], said.get("reverses")) == (act["kind"], act["reverses"])
    assert (entries_of, effects_of) == ({}, {})


def _by_act(found: list[dict[str, Any]]) -> dict[tuple[str, int], list[dict[str, Any]]]:
    by_act: dict[tuple[str, int], list[dict[str, Any]]] = {}
    for row in found:
        by_act.setdefault((row["account"], row["seq"]), []).append(row)
    return by_act


def _movements(acts: list[dict[str, Any]], entries: list[dict[str, Any]]) -> None:
    kind = {(act["account"], act["seq"]): act["kind"] for act in acts}
    for row in entries:
        assert row["quantity"] > 0
        sides = [
            tuple(row[f"{side}_{name}"] for name in ("account", "place", "condition", "lot"))
            for side in ("from", "to")
        ]
        assert sides[0] != sides[1]
        did = kind[row["account"], row["seq"]]
        if did != "reverse" and not row["from_place"].startswith("outside:"):
            assert RANK[row["from_condition"]] <= RANK[row["to_condition"]]
            left_secured = row["from_place"].startswith("secured:")
            stays = row["to_place"].startswith(("secured:", "outside:"))
            assert not (left_secured and not stays and row["to_condition"] == "new")
        assert row["from_lot"] == row["to_lot"] or did in OTHER_LOT
        for side in ("from", "to"):
            assert row[f"{side}_account"] in (row["account"], "workshop")
            if row[f"{side}_place"] in ("stock:main", "tool-store:main"):
                assert row[f"{side}_account"] == "workshop"


def _sums(entries: list[dict[str, Any]], balances: list[dict[str, Any]]) -> None:
    total: Counter[tuple[str, ...]] = Counter()
    for row in entries:
        for side, sign in (("from", -1), ("to", 1)):
            spot = tuple(row[f"{side}_{name}"] for name in ("account", "place", "condition", "lot"))
            total[(row["part"], *spot)] += sign * row["quantity"]
    inside = {
        spot: quantity
        for spot, quantity in total.items()
        if quantity and not spot[2].startswith("outside:")
    }
    stored = {
        (row["part"], row["account"], row["place"], row["condition"], row["lot"]): row["quantity"]
        for row in balances
    }
    assert stored == inside
    assert all(quantity > 0 for quantity in inside.values())
    per_part: Counter[str] = Counter()
    for spot, quantity in total.items():
        per_part[spot[0]] += quantity
    assert set(per_part.values()) <= {0}


def _reversals(acts: list[dict[str, Any]]) -> None:
    kind = {act["key"]: act["kind"] for act in acts}
    undone = [act["reverses"] for act in acts if act["reverses"]]
    assert len(undone) == len(set(undone))
    never = {"reverse", "open", "release", "reopen", "hand-over-incomplete", "taken-over"}
    assert not {kind[key] for key in undone} & never


def _tags(effects: list[dict[str, Any]], tags: dict[str, str]) -> None:
    """A tag is the job's that used it, or that of whoever took that job over."""
    later = {
        json.loads(row["text"])["job"]: row["account"]
        for row in effects
        if row["kind"] == "took-over"
    }
    for row in effects:
        if row["kind"] == "tag-used":
            last = row["account"]
            while last in later:
                last = later[last]
            assert tags[json.loads(row["text"])["tag"]] == last
