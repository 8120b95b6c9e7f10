"""Strays of the bay: they lie between the vans, belong to the workshop, and end in one of three.

It is of a job, whose own book then takes it in; or it is the store's own; or nobody ever knows.
"""

from __future__ import annotations

from dataclasses import dataclass

from partsvc.domain.acts.known import in_catalogue
from partsvc.domain.desk import WORKSHOP, Draft, total
from partsvc.domain.effects_between import Lent, StrayPlaced
from partsvc.domain.ledger import Holding
from partsvc.domain.other_books import OtherJob
from partsvc.domain.parts import is_stray
from partsvc.domain.places import SCRAP, STOCK, Condition, Gate
from partsvc.errors import Invalid, NotFound


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """What is said of a stray of the bay."""

    what: str
    is_a: str
    part: str | None = None
    of_job: str | None = None
    reason: str | None = None


def place_bay_stray(draft: Draft, act: Placing) -> None:
    """What a piece from the bay turned out to be."""
    pieces = [held for held in draft.book.holdings() if held.quantity > 0 and held.part == act.what]
    if not pieces or not is_stray(act.what):
        raise NotFound(
            f"No piece from the bay is called {act.what}. Look at the list of strays.",
            what=act.what,
        )
    match act.is_a:
        case "of-job":
            _of_a_job(draft, act, pieces)
        case "stores-own":
            _stores_own(draft, act, pieces)
        case "not-known":
            _not_known(draft, act, pieces)
        case _:
            raise Invalid(
                "A piece from the bay is of a job (`of-job`), the store's own (`stores-own`), or "
                "nobody knows (`not-known`).",
                field="is_a",
            )
    draft.effect(
        StrayPlaced(stray=act.what, is_a=act.is_a, part=act.part or "", reason=act.reason or "")
    )


def _of_a_job(draft: Draft, act: Placing, pieces: list[Holding]) -> None:
    """It leaves the workshop's book; the job's own act takes it in."""
    part = _named(draft, act)
    other = given_to(draft, act.of_job)
    for held in pieces:
        draft.gate_out(held, gate=Gate.OTHER_JOB)
    give(draft, other, part, pieces, words=act.reason or "found in the bay")
    draft.warn(
        f"Have it taken in on job {other.number} (borrow from the workshop, or find if it was lost "
        "there); until then that job asks for it."
    )


def give(draft: Draft, other: OtherJob, part: str, pieces: list[Holding], *, words: str) -> None:
    """Say in this book that pieces went to another one."""
    draft.effect(
        Lent(
            other=other.account,
            number=other.number,
            part=part,
            quantity=total(pieces),
            lot=pieces[0].spot.lot,
            condition=Condition.USED.value,
            words=words,
        )
    )


def given_to(draft: Draft, named: str | None) -> OtherJob:
    """The job that a piece is of."""
    if named is None:
        raise Invalid("Say of which job it is: `of_job`.", field="of_job")
    other = draft.desk.other_jobs.get(named)
    if other is None or other.account == WORKSHOP:
        raise NotFound(f"There is no job {named}. Look at the list of jobs.", job=named)
    if other.account == draft.desk.account:
        raise Invalid("That is this very job. Name the other one.", field="of_job")
    return other


def _named(draft: Draft, act: Placing) -> str:
    if act.part is None:
        raise Invalid("Say which `part` it is.", field="part")
    in_catalogue(draft, act.part)
    return act.part


def _stores_own(draft: Draft, act: Placing, pieces: list[Holding]) -> None:
    """A new part goes back on the shelf; a tool of the workshop only leaves the list."""
    for held in pieces:
        draft.gate_out(held, gate=Gate.STRAY)
    if act.part is not None:
        draft.gate_in(
            _named(draft, act),
            total(pieces),
            STOCK,
            gate=Gate.STOCK_CORRECTION,
            condition=Condition.NEW,
            lot=draft.doing.key,
        )


def _not_known(draft: Draft, act: Placing, pieces: list[Holding]) -> None:
    if not act.reason:
        raise Invalid("Say in `reason` who was asked and what was compared.", field="reason")
    for held in pieces:
        draft.carry(held, SCRAP)
