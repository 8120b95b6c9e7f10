"""What is not in order because it is not in the house: sent away, or told by one of two books."""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.away import due_of, due_words, expected
from partsvc.domain.between import Sides, both_sides
from partsvc.domain.checks_position import Explained, called
from partsvc.domain.desk import Desk
from partsvc.domain.effects_away import SentAway
from partsvc.domain.findings import Finding
from partsvc.domain.ledger import Holding
from partsvc.domain.other_books import book_words
from partsvc.domain.site_time import local_day


def away_pieces(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """What is out of the house and expected back, until it is back or quality has taken it so."""
    sent = [said for _, said in desk.state.each(SentAway)]
    today = local_day(desk.now, desk.zone) if desk.now else ""
    for held in expected(desk.book, desk.state, desk.account):
        said = due_of(sent, held.spot.place, held.part, held.spot.lot, held.quantity)
        yield _away(desk, held, said, today)


def _away(desk: Desk, held: Holding, said: SentAway, today: str) -> Finding:
    step = desk.plan.home_step.get(held.spot.lot)
    home = f" (of {said.home})" if said.home else ""
    note = f", {said.note}" if said.note else ""
    return Finding(
        kind="away",
        place=str(held.spot.place),
        words=(
            f"{held.quantity} {called(desk, held.part)}{home} away: {held.spot.place.at}{note}; "
            f"{due_words(said.due, today)}. Have it back, or let quality accept that it stays."
        ),
        quantity=held.quantity,
        step=step.id if step else "",
        step_number=step.number if step else 0,
        position=held.spot.lot if step else "",
        part=held.part,
        lot=held.spot.lot,
    )


def between_jobs(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """What one book says passed between it and another, and the other does not."""
    for other, part, side in both_sides(desk):
        name, who = called(desk, part), book_words(side.number)
        gave, got = _given(side, name, who), _taken(side, name, who)
        gaps = (
            ("given", side.gave_here - side.got_there, gave),
            ("taken", side.got_here - side.gave_there, got),
        )
        for way, gap, words in gaps:
            if gap:
                yield Finding(
                    kind="between-jobs",
                    place=f"{way}:{other}",
                    words=words,
                    quantity=abs(gap),
                    part=part,
                )


def _given(side: Sides, name: str, who: str) -> str:
    if side.gave_here > side.got_there:
        missing = side.gave_here - side.got_there
        return (
            f"{missing} {name} lent to {who}, which has not recorded that it has them. Have it "
            "recorded there (borrow)."
        )
    missing = side.got_there - side.gave_here
    return (
        f"{who[0].upper()}{who[1:]} says it took {missing} {name} from here, and nothing here says "
        "so. Look, and record what was lent (lend)."
    )


def _taken(side: Sides, name: str, who: str) -> str:
    if side.got_here > side.gave_there:
        missing = side.got_here - side.gave_there
        return (
            f"{missing} {name} borrowed from {who}, which does not say so. Have it recorded there "
            "(lend)."
        )
    missing = side.gave_there - side.got_here
    words = f" ({'; '.join(dict.fromkeys(side.words))})" if side.words else ""
    return (
        f"{who[0].upper()}{who[1:]} says {missing} {name} came here{words}, and nothing here says "
        "so. Look, and record what came (borrow)."
    )
