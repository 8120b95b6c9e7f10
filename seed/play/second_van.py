"""A second van of the same procedure, recorded the long way and quietly: only to count it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from partsvc.domain.plan import Hold
from seed.play import long_way, parts_desk
from seed.play.bags import bags_by_position
from seed.play.door import SignedIn
from seed.play.hand import Told
from seed.play.job import SECOND_SHIFT, Played, open_van
from seed.play.refitting import Refit, refit
from seed.play.shifts import change_of_shift, her_lock_off
from seed.play.stripping import Strip, strip
from seed.play.tally import Row

# Twice as many acts in the same two shifts: each takes half as long.
AN_ACT = timedelta(seconds=40)
TITLE = "Battery pack out and in, recorded the long way"


def open_second(people: Mapping[str, SignedIn], start: datetime, *, told: Told) -> Played:
    """The job opened, with bags for every step and kits for all that is new."""
    return open_van(
        people,
        start,
        told=told,
        homes=bags_by_position,
        title=TITLE,
        kits=long_way.KITS,
        an_act=AN_ACT,
    )


def strip_and_supply(van: Played) -> None:
    """Shift 1, position by position; the parts desk issues kits."""
    parts_desk.receive(van.store("asha", van.clock()), van.read("order"), "delivery note D-4802")
    strip(
        Strip(
            hand=van.hand("tove", van.clock(), Row.STRIP),
            plan=van.plan,
            bags=van.bags,
            home=van.home,
            witness=van.witness,
            take_off=long_way.take_off,
        )
    )
    desk = van.hand("asha", van.clock(after=SECOND_SHIFT / 2), Row.DESK)
    long_way.lay_out(desk, van.plan, van.parts, van.bags, van.home)


def refit_without_mistakes(van: Played) -> None:
    """Shift 2, position by position, each cap and each bag by itself."""
    evening = van.clock(after=SECOND_SHIFT)
    coming = change_of_shift(van, evening)
    her_lock_off(van, evening)
    work = Refit(
        hand=coming,
        plan=van.plan,
        parts=van.parts,
        bags=van.bags,
        home=van.home,
        witness=van.witness,
        put_back=long_way.put_back,
        caps_off=long_way.caps_off,
        before_close_up=lambda work, hold: _all_looked_at(van, work, hold),
    )
    refit(work, [step["id"] for step in van.read("refit")["steps"]])
    where = {"where": "van and bay 3", "result": "nothing found"}
    coming.act("search", **where, vehicle=True, bay=True)


def _all_looked_at(van: Played, work: Refit, hold: Hold) -> None:
    other = van.hand("tove", work.hand.clock, Row.REFIT)
    long_way.each_looked_at(other, [one["place"] for one in van.open_now("second-look")])
    unseen = [one["bag"] for one in van.open_now("bag-not-seen-empty")]
    long_way.each_seen_empty(work.hand, unseen)
