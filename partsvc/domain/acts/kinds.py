"""What a kind of act is: what it asks for, what it does, who may record it.

Each module of acts ends with the rows of its own kinds; `registry` puts them together. A row
drives validation, the API document, the role table and the help.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from partsvc.domain.desk import Draft
from partsvc.domain.records import Plain


class Role(StrEnum):
    """What a person is here for."""

    TECHNICIAN = "technician"
    PARTS = "parts"
    QUALITY = "quality"
    LEAD = "lead"


ALL = frozenset(Role)
HANDS = frozenset({Role.TECHNICIAN, Role.LEAD})
SUPPLY = frozenset({Role.PARTS, Role.TECHNICIAN, Role.LEAD})
JUDGES = frozenset({Role.QUALITY, Role.LEAD})

JOB = "job"
WORKSHOP = "workshop"


class Needs(StrEnum):
    """What an act is judged by beyond plan, balances and state; read only for those that say so."""

    HISTORY = "history"
    TOUCHED = "touched"
    CAME_OFF = "came-off"
    WORKED_AT = "worked-at"
    PAST = "past"
    EQUIPMENT = "equipment"
    BOARDS = "boards"
    BAG_IN_STORE = "bag-in-store"
    OTHER_JOB = "other-job"
    HANDS = "hands"
    REFUSED = "refused"
    SHELF = "shelf"
    ORDER_LINE = "order-line"
    PHOTOS = "photos"


@dataclass(frozen=True, slots=True, kw_only=True)
class ActKind:
    """One kind of act; `accounts` are the books it is recorded in, a job's or the workshop's.

    `after_release` marks what is taken on a released job too: it settles there without reopening.
    """

    kind: str
    group: str
    request: type
    function: Callable[[Draft, Any], None]
    says: str
    roles: frozenset[Role] = ALL
    after_release: bool = False
    accounts: frozenset[str] = frozenset({JOB})
    needs: frozenset[Needs] = frozenset()
    example: Mapping[str, Plain] = field(default_factory=dict)
