"""An account's ledger as a file of lines that anybody can verify without this service.

A head line, one line for every act with its stored text byte for byte, a foot line with the head
of the chain. Each line can be written in one way only, from the acts' texts alone; verifying
writes every line anew and compares, so that no byte of the file can be another one unnoticed. Cuts
at the end and files written anew from the start show only to whoever keeps the head elsewhere.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from partsvc.domain.canonical import (
    CHAIN_START,
    NotCanonical,
    canonical_text,
    chain_hash,
    parse_strict,
)
from partsvc.domain.records import Fault

FORMAT = "partsvc-ledger-1"
MOST_FAULTS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Verified:
    """What came of verifying a ledger file: how many acts, up to which head, and what is wrong."""

    acts: int
    head: str
    faults: tuple[Fault, ...]
    account: str = ""
    site: str = ""


def head_line(account: str, site: str) -> str:
    """The first line: whose ledger this is."""
    return _line({"format": FORMAT, "account": account, "site": site, "start": CHAIN_START})


def act_line(seq: int, digest: str, text: str) -> str:
    """The line of one act."""
    return _line({"seq": seq, "hash": digest, "text": text})


def foot_line(head: str, head_seq: int) -> str:
    """The last line: where the chain ends."""
    return _line({"head": head, "head_seq": head_seq})


def _line(members: Mapping[str, str | int]) -> str:
    return json.dumps(members, ensure_ascii=False) + "\n"


def ledger_lines(
    account: str, site: str, acts: Iterable[tuple[int, str, str]], *, head: tuple[int, str]
) -> Iterator[str]:
    """The whole file of an account: its acts as number, hash and text; its head's number, hash."""
    yield head_line(account, site)
    for seq, digest, text in acts:
        yield act_line(seq, digest, text)
    yield foot_line(head[1], head[0])


def verify_lines(lines: Iterable[str | bytes]) -> Verified:
    """Verify a ledger file, given line by line; bytes, or text in which no line end was changed.

    A file without acts has nothing that its head line could be held against.
    """
    reading = _Reading()
    last: str | bytes | None = None
    for number, (line, following) in enumerate(pairwise(_and_then_none(lines)), start=1):
        if following is None:
            last = line
        elif line is not None and number == 1:
            reading.begin(line)
        elif line is not None:
            reading.act(line)
    reading.end(last)
    return reading.verified()


def _and_then_none(lines: Iterable[str | bytes]) -> Iterator[str | bytes | None]:
    yield from lines
    yield None


@dataclass(slots=True)
class _Reading:
    """A ledger file being read: what it should say next follows from what it said so far."""

    seq: int = 0
    head: str = CHAIN_START
    first: str | None = None
    account: str = ""
    site: str = ""
    faults: tuple[Fault, ...] = ()

    def begin(self, line: str | bytes) -> None:
        self.first = _text_of(line)
        said = _members(self.first or "")
        self.account, self.site = str(said.get("account", "")), str(said.get("site", ""))
        if self.first is None or self.first != head_line(self.account, self.site):
            self._fault("head line", "is not as it is written")

    def act(self, line: str | bytes) -> None:
        self.seq += 1
        where = f"act {self.seq}"
        read = _text_of(line)
        text = _members(read or "").get("text")
        if read is None or not isinstance(text, str) or _text_of(text) is None:
            self._fault(where, "cannot be read")
            return
        self._told(where, text)
        self.head = chain_hash(self.head, text)
        if read != act_line(self.seq, self.head, text):
            self._fault(where, "is not what its hash was made of, or not in its place")

    def _told(self, where: str, text: str) -> None:
        """Whether the act's own text is a record, and of this account and place in the chain."""
        try:
            said = parse_strict(text)
            canonical = canonical_text(said)
        except NotCanonical as odd:
            self._fault(where, f"its text is no record: {odd}")
            return
        own = said if isinstance(said, Mapping) else {}
        if canonical != text:
            self._fault(where, "its text is not in its one form")
        if (own.get("account"), own.get("site")) != (self.account, self.site):
            self._fault(where, "belongs to another account or site than the head line says")
        if own.get("seq") != self.seq:
            self._fault(where, f"calls itself number {own.get('seq')}")

    def end(self, line: str | bytes | None) -> None:
        if self.first is None:
            self._fault("head line", "is missing")
        if line is None or _text_of(line) != foot_line(self.head, self.seq):
            self._fault("foot line", "is missing, not the last, or names another head")

    def _fault(self, where: str, says: str) -> None:
        if len(self.faults) < MOST_FAULTS:
            self.faults = (*self.faults, Fault(where, says))

    def verified(self) -> Verified:
        return Verified(
            acts=self.seq,
            head=self.head,
            faults=self.faults,
            account=self.account,
            site=self.site,
        )


def _text_of(line: str | bytes) -> str | None:
    try:
        text = line.decode() if isinstance(line, bytes) else line
        text.encode()
    except UnicodeError:
        return None
    return text


def _members(line: str) -> Mapping[str, object]:
    try:
        read = json.loads(line)
    except (ValueError, RecursionError):
        return {}
    return read if isinstance(read, dict) else {}
