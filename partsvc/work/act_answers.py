"""What the sender of an act gets back, as records: the API document is made from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.records import Says


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotShown:
    """Where pieces lie: account, place, condition, and where they come from."""

    account: str
    place: str
    condition: str
    lot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryShown:
    """So many of one part moved from one spot to another."""

    part: str
    quantity: int
    from_: SpotShown
    to: SpotShown


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceShown:
    """What lies at one spot now."""

    part: str
    account: str
    place: str
    condition: str
    lot: str
    quantity: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """An act as it was recorded."""

    account: str
    seq: Annotated[int, Says("its number in the ledger of the account, without gaps")]
    key: str
    kind: str
    head: Annotated[str, Says("the hash of this act: the new head of the chain")]
    entries: tuple[EntryShown, ...]
    effects: Annotated[tuple[Mapping[str, object], ...], Says("what it did beside moving pieces")]
    balances: Annotated[tuple[BalanceShown, ...], Says("what lies now where it moved anything")]
    warnings: Annotated[tuple[str, ...], Says("what the person should know")]


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemAnswered:
    """The answer to one act of a batch."""

    key: str
    status: Annotated[int, Says("201 recorded, 200 recorded before, 424 held back, else refused")]
    answer: Recorded | None = None
    problem: Annotated[Mapping[str, object] | None, Says("the problem document")] = None
    held_by: Annotated[
        str | None, Says("the key of the refused act this one builds on; send it again later")
    ] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchAnswered:
    """The answers to a batch, in its order."""

    acts: tuple[ItemAnswered, ...]
