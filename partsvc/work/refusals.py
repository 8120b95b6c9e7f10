"""Refused acts, kept beside the ledger; those that a device had queued until they are put right.

An act sent by a person who stands there is seen to be refused. An act from a device's queue was
done long before, and nobody may be looking: whatever was wrong with it, it is never lost.
"""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Collection
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.codes import read_code
from partsvc.domain.canonical import canonical_text, normalised
from partsvc.domain.desk import RefusedAct
from partsvc.domain.effects_people import Amended, Dismissed
from partsvc.domain.job_state import Happened, JobState
from partsvc.domain.records import UUID_PATTERN, Says
from partsvc.errors import (
    Invalid,
    Mistyped,
    NotAllowed,
    NotFound,
    PartsvcError,
    Refused,
    Stale,
)
from partsvc.store import acts as act_store
from partsvc.store import people, permits
from partsvc.store.database import Row
from partsvc.work import clock
from partsvc.work.asked import Payload
from partsvc.work.service import Sender, Service

# No id or code is longer; what is, was no name of anything here.
LONGEST_NAME = 80
# What sending the same again would not mend; all else the device tries again by itself.
_FOR_GOOD = (Refused, Invalid, Mistyped, NotAllowed, NotFound, Stale)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ending:
    """How a refused act ended: recorded after all, put right by another act, or dismissed."""

    how: Annotated[str, Says("recorded, amended or dismissed")]
    seq: Annotated[int, Says("the number of the act that ended it")]
    act: Annotated[str, Says("the key of that act")]
    by: str = ""
    because: str = ""


def is_kept(payload: Payload, problem: PartsvcError) -> bool:
    """Whether this refusal is kept: every one by a rule, and all of those that were queued."""
    queued = payload.get("queued") is True and isinstance(problem, _FOR_GOOD)
    named = re.fullmatch(UUID_PATTERN, str(payload.get("key", ""))) is not None
    return isinstance(problem, Refused) or (queued and named)


def keep(
    service: Service, account: str, sender: Sender, payload: Payload, problem: PartsvcError
) -> None:
    """Keep a refused act with who, on which device, and why."""
    if not is_kept(payload, problem):
        return
    with service.database.writing() as db:
        if act_store.head(db, service.site, account) is None:
            return
        people.add_refused(
            db,
            service.site,
            ident=clock.new_id("r"),
            account=account,
            key=str(payload.get("key", "")),
            kind=str(payload.get("kind", "")),
            done_by=str(payload.get("by") or sender.person),
            recorded_by=sender.person,
            sent_by=sender.device,
            reason=problem.reason if isinstance(problem, Refused) else problem.code,
            detail=problem.detail,
            text=canonical_text(normalised(dict(payload))),
            at=service.stamp(),
            queued=payload.get("queued") is True,
        )


def waiting(
    service: Service, db: sqlite3.Connection, account: str, state: JobState
) -> tuple[RefusedAct, ...]:
    """The queued acts that were refused and still wait, each as it was refused last."""
    ended = {said.refused for _, said in state.each(Amended)}
    ended |= {said.refused for _, said in state.each(Dismissed)}
    rows = permits.queued_refused(db, service.site, account)
    return tuple({row["key"]: _refused(row) for row in rows if row["key"] not in ended}.values())


def _refused(row: Row) -> RefusedAct:
    sent = json.loads(row["text"])
    about = {name: sent.get(name) for name in ("step", "position", "bag")}
    named = {
        name: value
        for name, value in about.items()
        if isinstance(value, str) and len(value) <= LONGEST_NAME
    }
    return RefusedAct(
        key=row["key"],
        kind=row["kind"],
        by=row["done_by"],
        recorded_by=row["recorded_by"],
        at=row["at"],
        detail=row["detail"],
        step=named.get("step", ""),
        position=named.get("position", ""),
        bag=_code(named.get("bag", "")),
    )


def _code(typed: str) -> str:
    """The tag code as the book has it; empty for what is no code of ours."""
    try:
        return read_code(typed, "bag") if typed else ""
    except Mistyped:
        return ""


def endings(
    service: Service, db: sqlite3.Connection, account: str, keys: Collection[str]
) -> dict[str, Ending]:
    """How those of these refused acts ended that have ended."""
    found = {
        row["key"]: Ending(how="recorded", seq=row["seq"], act=row["key"], by=row["done_by"])
        for row in permits.recorded_later(db, service.site, keys)
    }
    for happened in act_store.effects_of_kind(db, service.site, account, ("amended", "dismissed")):
        match happened.effect:
            case Amended(refused=key):
                found[key] = _ended(happened, "amended")
            case Dismissed(refused=key, reason=reason):
                found[key] = _ended(happened, "dismissed", because=reason)
    return found


def _ended(happened: Happened, how: str, *, because: str = "") -> Ending:
    return Ending(how=how, seq=happened.seq, act=happened.act, by=happened.by, because=because)
