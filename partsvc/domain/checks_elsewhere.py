"""What is not in order beside the positions: bags, vehicle, counts, looks, holds and steps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from partsvc.domain.checks_position import Explained, called
from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.effects import Confirmed, CountTaken, Overridden, Remarked
from partsvc.domain.findings import Finding
from partsvc.domain.job_state import Happened
from partsvc.domain.ledger import Holding
from partsvc.domain.lost_tags import dead_tags
from partsvc.domain.old_parts import emptied_by_release
from partsvc.domain.parts import is_stray
from partsvc.domain.places import Condition, PlaceKind
from partsvc.domain.plan import Phase
from partsvc.domain.progress import needs_tick
from partsvc.domain.stopping import PASSED_BY
from partsvc.domain.tag_kinds import is_done_with
from partsvc.domain.temporaries import put_on_as, temporary_words
from partsvc.domain.this_vehicle import left_out, settled


def _held_in(desk: Desk, kind: PlaceKind) -> list[Holding]:
    found = [
        held
        for held in desk.book.holdings()
        if held.quantity > 0 and held.spot.place.kind is kind and held.spot.account == desk.account
    ]
    return sorted(found, key=lambda held: (held.spot, held.part))


def _home(desk: Desk, lot: str) -> dict[str, str | int]:
    """Where a lot is at home, if it is a position of this job."""
    step = desk.plan.home_step.get(lot)
    return {"step": step.id, "step_number": step.number, "position": lot} if step else {}


def left_in_bags(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Pieces in bags that no shortage explains; old ones may stay in an old-parts bag."""
    for held in _held_in(desk, PlaceKind.BAG):
        quantity = explained.free(held)
        if quantity > 0 and not is_done_with(desk, held):
            yield _left_over(desk, held, quantity)


def _left_over(desk: Desk, held: Holding, quantity: int) -> Finding:
    bag = shown_bag(held.spot.place.at)
    name = f"{quantity} {called(desk, held.part)}"
    if is_stray(held.part):
        kind, words = "stray", f"Bag {bag}: a piece nobody could place. Say what it is."
    elif held.spot.condition is Condition.NEW:
        kind, words = "issued-not-used", f"Bag {bag}: {name}, new and not used. Return it."
    elif held.spot.condition is Condition.DAMAGED:
        kind, words = "left-over", f"Bag {bag}: {name}, broken. Discard it."
    else:
        kind, words = "left-over", f"Bag {bag}: {name} left over. Discard the old, or say why."
    return Finding(
        kind=kind,
        place=str(held.spot.place),
        words=words,
        quantity=quantity,
        bag=held.spot.place.at,
        part=held.part,
        lot=held.spot.lot,
        **_home(desk, held.spot.lot),  # type: ignore[arg-type]
    )


def on_the_vehicle(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Temporary items that are still on the vehicle."""
    for held in _held_in(desk, PlaceKind.ON_VEHICLE):
        step = desk.plan.step_of.get(held.spot.place.at)
        number = step.number if step else 0
        name = temporary_words(desk, held.part, held.spot.place.at)
        known = put_on_as(desk.state, held)
        yield Finding(
            kind="on-vehicle",
            place=str(held.spot.place),
            words=f"Step {number}: {held.quantity} {name}{known.how} still on the vehicle. "
            f"Take it off{known.back}.",
            quantity=held.quantity,
            step=held.spot.place.at,
            step_number=number,
            part=held.part,
            lot=held.spot.lot,
            photos=known.photos,
        )


def counts_that_differ(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """The last count of a bag that differs from the book and was not settled."""
    last: dict[tuple[str, str], tuple[str, CountTaken]] = {}
    for act, counts in desk.state.counts.items():
        for happened in counts:
            if isinstance(happened.effect, CountTaken):
                last[happened.effect.bag, happened.effect.part] = (act, happened.effect)
    for act, taken in last.values():
        if taken.counted != taken.book and act not in desk.state.adjusted:
            yield Finding(
                kind="count-differs",
                place=f"bag:{taken.bag}",
                words=(
                    f"Bag {shown_bag(taken.bag)}: {taken.counted} {called(desk, taken.part)} "
                    f"counted, {taken.book} by the book. Count again, or have it adjusted."
                ),
                quantity=abs(taken.counted - taken.book),
                bag=taken.bag,
                part=taken.part,
                lot=act,
            )


def looked_wrong(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Independent looks that ended with: this is not right."""
    for place, happened in desk.state.confirmed.items():
        seen = happened.effect
        if isinstance(seen, Confirmed) and not seen.right:
            step = desk.plan.home_step.get(seen.position) or desk.plan.step_of.get(seen.step)
            number = step.number if step else 0
            yield Finding(
                kind="looked-wrong",
                place=place,
                words=f"Step {number}: a second look says: {seen.words}",
                step=step.id if step else "",
                step_number=number,
                position=seen.position,
                lot=happened.act,
            )


def remarks(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Defects seen, until quality or the lead has taken them as they are, or had them repaired."""
    closed = settled(desk.state)
    for happened in desk.state.remarks:
        said = happened.effect
        if isinstance(said, Remarked) and happened.act not in closed:
            step = desk.plan.home_step.get(said.position) or desk.plan.step_of.get(said.step)
            yield Finding(
                kind="remark",
                place=said.position or said.step or said.bag or "job",
                words=f"{_defect(said)}: {said.words}",
                step=step.id if step else "",
                step_number=step.number if step else 0,
                position=said.position,
                bag=said.bag,
                lot=happened.act,
                photos=tuple(said.photos.split()),
            )


def _defect(said: Remarked) -> str:
    return f"Remark ({said.defect.replace('-', ' ')})" if said.defect else "Remark"


# Which findings are the harm that a broken rule does, so that one mistake is told once.
HARM = {
    "single-use": ("unreplaced",),
    "wrong-bag": ("wrong-part",),
    "damaged": ("damaged",),
    "more-than-belong": ("over",),
    "more-than-are-there": ("over", "left-over"),
    "not-empty-in-the-book": ("count-differs",),
    "anothers-lock": ("lock-removed",),
}


def _speaks_for(finding: Finding, over: Overridden) -> bool:
    here = finding.position == over.position if over.position else finding.bag == over.bag
    return here and finding.kind in HARM.get(over.rule, ())


# A rule that is broken only because another one was, by the same act at the same place: five
# pieces out of a bag of four are then one more than belong.
COMES_OF = {"more-than-belong": "more-than-are-there"}


def _comes_of_another(desk: Desk, happened: Happened, over: Overridden) -> bool:
    first = COMES_OF.get(over.rule)
    return any(
        (other.act, said.rule, said.position) == (happened.act, first, over.position)
        for other, said in desk.state.each(Overridden)
    )


def done_anyway(desk: Desk, covered: Sequence[Finding]) -> Iterator[Finding]:
    """Acts that were refused and had been done already.

    While the harm itself is a finding at the same place, that one speaks; once it is put right
    this one remains, for quality or the lead to take.
    """
    for happened in desk.state.overridden:
        over = happened.effect
        if not isinstance(over, Overridden) or _comes_of_another(desk, happened, over):
            continue
        # What stops the job is told whatever else is: by accepting it the stop is ended.
        if over.stops or not any(_speaks_for(finding, over) for finding in covered):
            step = desk.plan.step_of.get(over.step)
            yield Finding(
                kind=PASSED_BY if over.stops else "done-anyway",
                place=over.position or over.step or over.bag or "job",
                words=f"Done although refused: {over.detail} Reason given: {over.reason}",
                step=over.step,
                step_number=step.number if step else 0,
                position=over.position,
                part=over.rule,
                lot=happened.act,
            )


def steps_not_done(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Steps nobody ticked off."""
    for step in desk.plan.steps:
        ticked = needs_tick(step, Phase.STRIP) or needs_tick(step, Phase.REFIT)
        if ticked and step.id not in desk.state.done:
            yield Finding(
                kind="step-not-done",
                place=step.id,
                words=f"Step {step.number}: not done: {step.title}.{_because(desk, step.id)}",
                step=step.id,
                step_number=step.number,
            )


def _because(desk: Desk, step: str) -> str:
    """The reason that was given for leaving a step out."""
    reason = left_out(desk.state).get(step)
    return f" Reason given: {reason}" if reason else ""


def used_bags(desk: Desk) -> frozenset[str]:
    """The bags anything ever lay in: this job's, and those of others that were used anyway."""
    places = {
        spot.place
        for posted in desk.posted
        for spot in (posted.entry.source, posted.entry.target)
        if spot.place.kind is PlaceKind.BAG
    }
    own = {tag for tag in desk.state.tags if f"bag:{tag}" in desk.touched}
    return frozenset(own | {place.at for place in places}) - dead_tags(desk)


def bags_not_seen_empty(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Bags that are empty by the book and that nobody looked into since."""
    full = {held.spot.place.at for held in _held_in(desk, PlaceKind.BAG)}
    for tag in sorted(used_bags(desk) - emptied_by_release(desk)):
        moved = desk.touched.get(f"bag:{tag}", 0)
        if tag not in full and desk.state.seen_empty.get(tag, 0) < moved:
            yield Finding(
                kind="bag-not-seen-empty",
                place=f"bag:{tag}",
                words=f"Bag {shown_bag(tag)} is empty by the book; nobody looked into it since.",
                bag=tag,
            )
