"""What is out of the house over all jobs, with the day it is due; the overdue first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.away import due_of, due_words, expected
from partsvc.domain.effects_away import SentAway
from partsvc.domain.job_state import Happened, JobState, fold
from partsvc.domain.ledger import Book, Holding
from partsvc.domain.parts import part_words
from partsvc.domain.records import Says
from partsvc.store import between
from partsvc.store.balances import holdings_of
from partsvc.store.database import Row
from partsvc.work import clock
from partsvc.work.service import Service, parts_of


@dataclass(frozen=True, slots=True, kw_only=True)
class AwayLine:
    """Pieces of one job that somebody outside has."""

    job: str
    job_number: int
    job_title: str
    part: str
    called: str
    quantity: int
    condition: str
    to: str
    home: Annotated[str, Says("where they belong")]
    note: str
    due: str
    due_words: str
    overdue: bool
    sent_by: str
    sent_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AwayShown:
    """All that is out of the house and expected back."""

    as_of: Annotated[str, Says("the day, by the workshop's own calendar")]
    away: Annotated[tuple[AwayLine, ...], Says("overdue first, then by the day they are due")]


def away(service: Service) -> AwayShown:
    """All that is out of the house and expected back."""
    today = clock.day_of(service.stamp(), service.zone)
    with service.database.reading() as db:
        rows = between.away(db, service.site)
        jobs = {row["account"]: row for row in rows}
        said = between.said_of_away(db, service.site, jobs)
        parts = parts_of(service, db)
    book = Book(holdings_of(rows))
    lines = []
    for account, job in jobs.items():
        state = fold(said.get(account, ()))
        for held in expected(book, state, account):
            words = part_words(held.part, parts.get(held.part))
            lines.append(_line(job, held, _sent(state, held), words, today))
    lines.sort(key=lambda one: (not one.overdue, one.due or "9999-12-31", one.job_number, one.home))
    return AwayShown(as_of=today, away=tuple(lines))


def _sent(state: JobState, held: Holding) -> tuple[Happened | None, SentAway]:
    """What was said of these pieces, and the act that said it."""
    sent = list(state.each(SentAway))
    said = due_of(
        [one for _, one in sent], held.spot.place, held.part, held.spot.lot, held.quantity
    )
    acts = [act for act, one in sent if one is said]
    return (acts[0] if acts else None), said


def _line(
    job: Row, held: Holding, sent: tuple[Happened | None, SentAway], called: str, today: str
) -> AwayLine:
    act, said = sent
    return AwayLine(
        job=job["account"],
        job_number=job["number"],
        job_title=job["title"],
        part=held.part,
        called=called,
        quantity=held.quantity,
        condition=held.spot.condition.value,
        to=held.spot.place.at,
        home=said.home,
        note=said.note,
        due=said.due,
        due_words=due_words(said.due, today),
        overdue=bool(said.due) and said.due < today,
        sent_by=act.by if act else "",
        sent_at=act.at if act else "",
    )
