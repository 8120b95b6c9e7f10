"""What acts of supply do beside moving pieces: batches and use-by days, order lines, the shelf."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """New parts arrived, of a batch, good until a day, for a job or on its order line."""

    part: str
    quantity: int
    batch: str = ""
    use_by: str = ""
    job: str = ""
    line: str = ""
    came: str = ""
    reference: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptUndone:
    """What had come on an order line has not come after all."""

    line: str
    part: str
    quantity: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchIssued:
    """New pieces of one batch were handed out into a kit; their lot is the act itself."""

    part: str
    batch: str
    use_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockCounted:
    """One part was counted on the shelf, with what the store's book had."""

    part: str
    counted: int
    book: int
    reason: str
