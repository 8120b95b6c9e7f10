"""The change of shift: the plug changes hands, another lock goes on, and dead is proved again."""

from __future__ import annotations

from partsvc.domain.plan import Phase
from seed.play.hand import Hand, ShiftClock
from seed.play.job import Played
from seed.play.readings import hold_fields
from seed.play.tally import Row


def change_of_shift(van: Played, clock: ShiftClock) -> Hand:
    """Who goes offers the plug, who comes takes it and hangs their lock; both locks are on now."""
    going, coming = (van.hand(login, clock, Row.REFIT) for login in ("tove", "miro"))
    (plug,) = [step.id for step in van.plan.steps if step.energises and step.positions]
    going.act("hand-over", to=coming.person)
    coming.act("hand-over", to=coming.person)
    coming.act("lock", step=plug)
    for step in van.plan.steps:
        for hold in step.holds:
            if hold.when is Phase.BOTH:
                coming.act("hold", **hold_fields(hold, van.witness))
    return coming


def her_lock_off(van: Played, clock: ShiftClock) -> None:
    """Who went home takes the lock off before: nobody else may."""
    (plug,) = [step.id for step in van.plan.steps if step.energises and step.positions]
    van.hand("tove", clock, Row.REFIT).act("unlock", step=plug)
