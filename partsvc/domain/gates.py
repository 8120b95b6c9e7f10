"""Whether a step may be worked now: prerequisites and hold points, in both directions."""

from __future__ import annotations

from partsvc.domain.carriers import bench_of, has_part_on
from partsvc.domain.desk import Draft, shown_bag
from partsvc.domain.exposed import nobody_exposed
from partsvc.domain.hold_gates import end_holds, has_to_stand
from partsvc.domain.ledger import Holding
from partsvc.domain.parts import Rule
from partsvc.domain.people_words import called_by_id
from partsvc.domain.places import Condition, Place, PlaceKind, on_vehicle
from partsvc.domain.plan import Phase, Position, Step
from partsvc.domain.progress import (
    before_refit,
    needs_tick,
    not_back,
    not_secured,
    still_on,
)
from partsvc.domain.standing import holds_before
from partsvc.domain.temporaries import temporary_part
from partsvc.domain.this_vehicle import left_out


def may_strip(draft: Draft, step: Step) -> None:
    """Object when something must come off first, or a hold point is still open.

    On the bench, at a carrier that is off the vehicle, steps that only gave access are not asked
    for: those of the same carrier are, and every high-voltage hold.
    """
    bench = _bench(draft)
    _holds(draft, step, Phase.STRIP, bench)
    for name in step.after:
        outer = draft.desk.plan.step_of.get(name)
        if outer is not None and outer.phase is not Phase.REFIT and _asked(draft, outer, bench):
            _must_be_off(draft, step, outer, bench)
    if step.phase is Phase.STRIP:
        end_holds(draft, step)


def may_refit(draft: Draft, step: Step) -> None:
    """Object when something deeper could still go back first, or a hold point is still open."""
    bench = _bench(draft)
    _holds(draft, step, Phase.REFIT, bench)
    plan = draft.desk.plan
    for name in before_refit(plan)[step.id]:
        if _asked(draft, plan.step_of[name], bench):
            _must_be_back(draft, step, plan.step_of[name])
    _caps_off(draft, step)
    nobody_exposed(draft, step)
    end_holds(draft, step)


def _bench(draft: Draft) -> Position | None:
    """The carrier off the vehicle at which the act works; None where it works on the vehicle."""
    position = draft.desk.plan.positions.get(draft.about.get("position", ""))
    return bench_of(draft.desk.plan, draft.book, position) if position else None


def _asked(draft: Draft, other: Step, bench: Position | None) -> bool:
    """Whether another step has anything to do with the place that is worked at."""
    return bench is None or has_part_on(draft.desk.plan, other, bench)


def _caps_off(draft: Draft, step: Step) -> None:
    """Tell of caps and covers that the plan wants off by now: a word, for they may be off."""
    for home in draft.desk.plan.steps:
        for item in home.temporaries:
            on = draft.book.count(on_vehicle(home.id), temporary_part(item))
            if item.off_before == step.id and on:
                draft.warn(
                    f"Still on the vehicle by the book: {item.words} (step {home.number}). It is "
                    f"to be off before step {step.number}."
                )


def _holds(draft: Draft, step: Step, phase: Phase, bench: Position | None) -> None:
    for before, hold in holds_before(draft.desk, step, phase):
        if before is step or hold.high_voltage or _asked(draft, before, bench):
            has_to_stand(draft, step, before, hold)


def _comes_first(draft: Draft, first: Step, words: str) -> None:
    """Object that another step comes first; a word is enough where it was left out for a reason."""
    reason = left_out(draft.desk.state).get(first.id)
    if reason is None:
        draft.objection("step-first", words, first_step=first.id)
    else:
        draft.warn(f"Step {first.number} ({first.title}) was not done: {reason}")


def _must_be_off(draft: Draft, step: Step, outer: Step, bench: Position | None) -> None:
    plan = draft.desk.plan
    # What left with a carrier is still in its position, and in nobody's way.
    on = [
        (position, quantity)
        for position, quantity in still_on(outer, draft.book)
        if bench_of(plan, draft.book, position) == bench
    ]
    again = draft.about.get("position", "") in draft.desk.came_off
    if on and again and all(position.id in draft.desk.came_off for position, _ in on):
        # It was off before and is back: this is putting right, not taking apart.
        draft.warn(f"Step {outer.number} ({outer.title}) is back in place already.")
    elif on:
        position, quantity = on[0]
        still = f"{quantity} still on" if quantity else "not counted yet"
        _comes_first(
            draft,
            outer,
            f"Step {outer.number} ({outer.title}) comes before step {step.number}: "
            f"{still} at {position.where}. Take these off first.",
        )
    elif needs_tick(outer, Phase.STRIP) and outer.id not in draft.desk.state.done:
        _comes_first(
            draft,
            outer,
            f"Step {outer.number} ({outer.title}) comes before step {step.number}. Do it and tick "
            "it off first.",
        )


def _must_be_back(draft: Draft, step: Step, inner: Step) -> None:
    for position, off in not_back(inner, draft.book):
        waiting = in_bags(draft, position)
        if waiting:
            _comes_first(
                draft,
                inner,
                f"Step {inner.number} ({inner.title}) goes back before step {step.number}: {off} "
                f"still off at {position.where}, in {where_words(waiting[0])}. Fit these first.",
            )
            return
        draft.warn(
            f"Step {inner.number}: {off} not back yet at {position.where}, and none in a bag."
        )
    for position, loose in not_secured(inner, draft.book):
        draft.warn(f"Step {inner.number}: {loose} still loose at {position.where}.")
    if needs_tick(inner, Phase.REFIT) and inner.id not in draft.desk.state.done:
        _comes_first(
            draft,
            inner,
            f"Step {inner.number} ({inner.title}) comes before step {step.number}. Do it and tick "
            "it off first.",
        )


def in_bags(draft: Draft, position: Position) -> list[Holding]:
    """Pieces that could go back at a position now: its own, or new ones of its parts."""
    wanted = {number for item in position.stack for number in item.numbers}
    return [
        held
        for held in draft.book.holdings()
        if held.quantity > 0
        and held.spot.account == draft.desk.account
        and held.part in wanted
        and held.spot.place.kind in (PlaceKind.BAG, PlaceKind.OWN_HOLE, PlaceKind.WITH)
        and _for_here(held, position)
    ]


def _for_here(held: Holding, position: Position) -> bool:
    """New pieces may go anywhere; used ones only home, and only where they may go back."""
    if held.spot.condition is not Condition.USED:
        return held.spot.condition is Condition.NEW
    item = position.item(held.part)
    return held.spot.lot == position.id and item is not None and item.rule is not Rule.REPLACE


def where_words(held: Holding) -> str:
    """Where a piece lies, for a sentence."""
    return place_words(held.spot.place)


def place_words(place: Place) -> str:
    """A place in words."""
    if place.kind is PlaceKind.BAG:
        return f"bag {shown_bag(place.at)}"
    if place.kind is PlaceKind.OWN_HOLE:
        return "its own hole"
    if place.kind is PlaceKind.WITH:
        return f"the box of {called_by_id(place.at)}"
    return f"{place.kind.value} {place.at}"
