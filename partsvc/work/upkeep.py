"""Keeps the data safe and shows that it is whole: checked, exported, verified, copied.

The acts' texts alone count. Everything else in the database is made from them, and `check` makes
it anew and compares; what differs was changed by something other than this service.
"""

from __future__ import annotations

import json
import os
import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import cast

from partsvc.domain.canonical import (
    CHAIN_START,
    NotCanonical,
    canonical_text,
    chain_hash,
    parse_strict,
)
from partsvc.domain.ledger_file import Verified, ledger_lines, verify_lines
from partsvc.domain.records import Fault, Plain
from partsvc.errors import BadFile, Busy, NotFound
from partsvc.store import acts as act_store
from partsvc.store import checking, endings, photos
from partsvc.store.database import Row
from partsvc.work.act_index import Said, columns_differ, effects_differ, entries_differ
from partsvc.work.service import Service

# Acts the service records by itself; nobody asked for them, so nobody was answered.
UNASKED = ("open", "note", "taken-over")
Spot = tuple[str, str, str, str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Health:
    """How the database is: what was looked at, and everything that is not as it should be."""

    accounts: int
    acts: int
    faults: tuple[Fault, ...]

    @property
    def whole(self) -> bool:
        """Whether nothing at all is wrong."""
        return not self.faults


@dataclass(slots=True)
class _Found:
    """What the acts say, gathered while they are read, to hold the rest against."""

    acts: int = 0
    pieces: dict[Spot, int] = field(default_factory=lambda: defaultdict(int))
    answered: dict[str, tuple[str, int, str]] = field(default_factory=dict)
    tags: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    taken_over: dict[str, str] = field(default_factory=dict)
    states: dict[str, str] = field(default_factory=dict)


def check(service: Service) -> Health:
    """Hold everything in the database against the acts' texts, as of one moment."""
    with service.database.reading() as db:
        faults = [*_file_faults(db)]
        found = _Found()
        accounts = checking.accounts(db, service.site)
        for account in accounts:
            faults += _account_faults(db, service.site, account, found)
        faults += _balance_faults(db, service.site, found)
        faults += _answer_faults(db, service.site, found)
        faults += _index_faults(db, service.site, found)
    return Health(accounts=len(accounts), acts=found.acts, faults=tuple(faults))


def _file_faults(db: sqlite3.Connection) -> Iterator[Fault]:
    yield from (Fault("file", says) for says in checking.damage(db))
    yield from (Fault("file", says) for says in checking.broken_foreign_keys(db))
    yield from (
        Fault("rules", f"the database's own rule {name} is missing or changed")
        for name in checking.missing_rules(db)
    )


def _account_faults(
    db: sqlite3.Connection, site: str, account: Row, found: _Found
) -> Iterator[Fault]:
    """Follow one chain from its start: every link, and every row that repeats what a link says."""
    ident = account["id"]
    entries, effects = (
        _by_seq(checking.entries(db, site, ident)),
        _by_seq(checking.effects(db, site, ident)),
    )
    head, seq = CHAIN_START, 0
    for row in checking.acts(db, site, ident):
        where = f"account {ident}, act {row['seq']}"
        seq += 1
        said, faults = _said(row, head, seq)
        faults += _of_account(said, site, ident)
        faults += columns_differ(said, row)
        faults += entries_differ(said, entries.pop(row["seq"], []))
        faults += effects_differ(said, effects.pop(row["seq"], []))
        yield from (Fault(where, says) for says in faults)
        head = row["hash"]
        try:
            _gather(said, row, ident, found)
        except (KeyError, TypeError, AttributeError):
            yield Fault(where, "its text is no act")
    if (seq, head) != (account["head_seq"], account["head"]):
        yield Fault(f"account {ident}", "its head is not its last act")
    for left in sorted(entries.keys() | effects.keys()):
        yield Fault(f"account {ident}, act {left}", "is not there, but rows of it are")


def _by_seq(rows: Iterable[Row]) -> dict[int, list[Row]]:
    found: dict[int, list[Row]] = defaultdict(list)
    for row in rows:
        found[row["seq"]].append(row)
    return found


def _said(row: Row, head: str, seq: int) -> tuple[Said, list[str]]:
    """The act as its text has it, and what is wrong with the text and its link."""
    faults = [] if row["seq"] == seq else [f"number {seq} is missing before it"]
    if chain_hash(head, row["text"]) != row["hash"]:
        faults.append("its hash is not that of its text after the act before it")
    try:
        said = parse_strict(row["text"])
        canonical = canonical_text(said)
    except NotCanonical as odd:
        return {}, [*faults, f"its text is no record: {odd}"]
    if canonical != row["text"] or not isinstance(said, dict):
        faults.append("its text is not in its one form")
    return cast(Said, said if isinstance(said, dict) else {}), faults


def _of_account(said: Said, site: str, account: str) -> list[str]:
    own = (said.get("site"), said.get("account")) == (site, account)
    return [] if own else ["its text names another site or account"]


def _gather(said: Said, row: Row, account: str, found: _Found) -> None:
    found.acts += 1
    if row["kind"] not in UNASKED:
        found.answered[row["key"]] = (account, row["seq"], row["hash"])
    for entry in _listed(said, "entries"):
        for side, sign in (("from", -1), ("to", 1)):
            spot = cast(dict[str, str], entry[side])
            if not spot["place"].startswith("outside:"):
                key = (
                    spot["account"], spot["place"], str(entry["part"]), spot["condition"],
                    spot["lot"],
                )  # fmt: skip
                found.pieces[key] += sign * cast(int, entry["quantity"])
    for effect in _listed(said, "effects"):
        match effect.get("effect"):
            case "tag-used":
                found.tags[str(effect["tag"])].add(account)
            case "took-over":
                found.taken_over[str(effect["job"])] = account
            case "released":
                found.states[account] = "released"
            case "handed-over":
                found.states[account] = "handed-over"
            case "reopened":
                found.states[account] = "open"


def _listed(said: Said, name: str) -> Sequence[dict[str, Plain]]:
    return cast(Sequence[dict[str, Plain]], said.get(name) or [])


def _balance_faults(db: sqlite3.Connection, site: str, found: _Found) -> Iterator[Fault]:
    """Every spot where the stored balance is not the sum of all movements."""
    stored: dict[Spot, int] = {
        (row["account"], row["place"], row["part"], row["condition"], row["lot"]): row["quantity"]
        for row in checking.balances(db, site)
    }
    for spot in sorted(stored.keys() | found.pieces.keys()):
        has, should = stored.get(spot, 0), found.pieces.get(spot, 0)
        if has != should or should < 0:
            account, place, part, condition, lot = spot
            yield Fault(
                f"balance of {account}",
                f"{has} {condition} {part} of {lot} at {place}, the acts make it {should}",
            )


def _answer_faults(db: sqlite3.Connection, site: str, found: _Found) -> Iterator[Fault]:
    """Acts whose answer is gone or another one, and answers to acts that are not there."""
    given = {row["key"]: row for row in checking.answers(db, site)}
    for key, (account, seq, digest) in found.answered.items():
        row = given.pop(key, None)
        where = f"account {account}, act {seq}"
        if row is None:
            yield Fault(where, "the answer to it is not kept")
        elif not _answers(row, account, seq, digest):
            yield Fault(where, "the answer kept is not the answer to it")
    yield from (Fault(f"answer {key}", "answers an act that is not there") for key in given)


def _answers(row: Row, account: str, seq: int, digest: str) -> bool:
    try:
        body = json.loads(row["body"])
    except ValueError:
        return False
    return (body.get("account"), body.get("seq"), body.get("head")) == (account, seq, digest)


def _index_faults(db: sqlite3.Connection, site: str, found: _Found) -> Iterator[Fault]:
    """Tags and states of jobs that are not as the acts left them."""
    owners = checking.tags_in_use(db, site)
    for tag, users in found.tags.items():
        # A tag goes along when its job is taken over, and stays with the last of them.
        last = sorted(user for user in users if found.taken_over.get(user) not in users)
        if [owners.get(tag)] != last:
            how = "used it first" if len(users) == 1 else "took it over"
            yield Fault(f"tag {tag}", f"is not {', '.join(last)}'s, which {how}")
    if endings.takeovers(db, site) != found.taken_over:
        yield Fault("takeovers", "which job took over which is not as the openings say")
    for account, seq in photos.astray(db, site):
        yield Fault(f"account {account}, act {seq}", "what its photos are of is kept otherwise")
    for job, state in checking.job_states(db, site).items():
        if state != found.states.get(job, "open"):
            yield Fault(f"job {job}", f"is kept as {state}, its acts left it otherwise")


def export_ledger(service: Service, account: str) -> Iterator[str]:
    """The whole ledger of an account as lines of a file that `verify_file` verifies."""
    with service.database.reading() as db:
        head = act_store.head(db, service.site, account)
        if head is None:
            raise NotFound(f"There is no account {account}.", job=account)
        acts = (
            (row["seq"], row["hash"], row["text"])
            for row in checking.acts(db, service.site, account)
        )
        return iter(list(ledger_lines(account, service.site, acts, head=head)))


def verify_file(lines: Iterable[str | bytes]) -> Verified:
    """Verify an exported ledger, line by line: any changed byte is found."""
    return verify_lines(lines)


def back_up(service: Service, target: Path) -> None:
    """Copy the whole database while others go on working; the copy is read back before it counts.

    BadFile when the copy is not sound, Busy when it cannot be written; nothing is left then.
    """
    unproved = target.with_name(f"{target.name}.unproved")
    try:
        checking.copy_live(service.database.path, unproved)
        wrong = checking.copy_opens(unproved)
        if wrong:
            raise BadFile("The copy cannot be read back; it was not kept.", faults=tuple(wrong))
        os.replace(unproved, target)
    except (OSError, sqlite3.OperationalError) as error:
        raise Busy(f"The copy cannot be written to {target}: {error}.") from error
    finally:
        unproved.unlink(missing_ok=True)
