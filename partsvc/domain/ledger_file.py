"""An exported ledger, verified without the service that wrote it: any changed byte is found.

A file is a head line, one line an act with its stored text and hash, and a foot line. Each line
must be spelled exactly as the service spells it, so that no byte can change unnoticed: the texts
are under the chain of hashes, the head line is held to what every text says of itself, the foot
line to the chain's end.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from partsvc.domain.canonical import CHAIN_START, chain_hash

FORMAT = "partsvc-ledger-1"
HEAD = ("format", "account", "site", "start")
ACT = ("seq", "hash", "text")
FOOT = ("head", "head_seq")


@dataclass(frozen=True, slots=True, kw_only=True)
class Verified:
    """What a ledger file turned out to be; without faults it is as it was written."""

    account: str
    acts: int
    head: str
    faults: tuple[str, ...]


@dataclass(slots=True)
class _Reading:
    """How far a file has been read."""

    head: Mapping[str, object] = field(default_factory=dict)
    seq: int = 0
    chain: str = CHAIN_START
    closed: bool = False
    faults: list[str] = field(default_factory=list)


def spelled(members: Mapping[str, object]) -> str:
    """A line of a ledger file, as the service spells it."""
    return json.dumps(members, ensure_ascii=False) + "\n"


def verify(lines: Iterable[bytes]) -> Verified:
    """Read a whole ledger file and name what is not as it was written."""
    reading = _Reading()
    for number, line in enumerate(lines, start=1):
        members = _members(reading, number, line)
        if members is None or reading.closed:
            if reading.closed:
                reading.faults.append(f"line {number}: stands after the end")
            break
        _take(reading, number, members)
    if not reading.closed and not reading.faults:
        reading.faults.append("the file is cut short: its last line is missing")
    if reading.closed and not reading.seq:
        reading.faults.append("the file holds no act, so there is nothing to verify")
    return Verified(
        account=str(reading.head.get("account", "")),
        acts=reading.seq,
        head=reading.chain,
        faults=tuple(reading.faults),
    )


def _members(reading: _Reading, number: int, line: bytes) -> Mapping[str, object] | None:
    """The members of a line, if it is spelled as the service spells it."""
    try:
        text = line.decode("utf-8")
        members = json.loads(text)
        if isinstance(members, dict) and spelled(members) == text:
            return members
    except (ValueError, RecursionError) as broken:
        reading.faults.append(f"line {number}: cannot be read ({broken})")
        return None
    reading.faults.append(f"line {number}: is not spelled as it was written")
    return None


def _take(reading: _Reading, number: int, members: Mapping[str, object]) -> None:
    names = tuple(members)
    if number == 1:
        _take_head(reading, names, members)
    elif names == ACT:
        _take_act(reading, number, members)
    elif names == FOOT:
        reading.closed = True
        if dict(members) != {"head": reading.chain, "head_seq": reading.seq}:
            reading.faults.append(f"line {number}: the end does not fit the acts before it")
    else:
        reading.faults.append(f"line {number}: has other members than it should")


def _take_head(reading: _Reading, names: tuple[str, ...], members: Mapping[str, object]) -> None:
    reading.head = members
    if names != HEAD or members["format"] != FORMAT or members["start"] != CHAIN_START:
        reading.faults.append("line 1: is not the head of a ledger file")


def _take_act(reading: _Reading, number: int, members: Mapping[str, object]) -> None:
    text = str(members["text"])
    reading.seq += 1
    reading.chain = chain_hash(reading.chain, text)
    if members["seq"] != reading.seq or members["hash"] != reading.chain:
        reading.faults.append(f"line {number}: act {reading.seq} does not follow the one before")
        return
    act = json.loads(text)
    said = {name: act.get(name) for name in ("account", "site", "seq")}
    if said != {
        "account": reading.head.get("account"),
        "site": reading.head.get("site"),
        "seq": reading.seq,
    }:
        reading.faults.append(f"line {number}: the act belongs to another ledger")
