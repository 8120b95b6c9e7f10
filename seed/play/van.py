"""The van's battery out and back in: two shifts, six people, eight things that go wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import timedelta

from partsvc.domain.plan import Hold
from seed.play import mistakes, parts_desk, scenes_refit, scenes_strip
from seed.play.hand import Hand, ShiftClock
from seed.play.job import SECOND_SHIFT, Played
from seed.play.readings import hold_fields
from seed.play.refitting import Refit, caps_off_together, put_back_together, refit
from seed.play.shifts import change_of_shift
from seed.play.stripping import Strip, in_few_acts, strip
from seed.play.tally import Row

# An invented number: its check digit is right, its maker code belongs to nobody known to us.
VIN = "XX0DEM0A7AB000001"

_FIRST_CLOSE_UP = "h-close-rear"


def order_early(van: Played) -> None:
    """What is known to be needed before the first bolt is loose."""
    van.order_before = van.read("order")


def strip_and_supply(van: Played) -> None:
    """Shift 1 and what the parts desk does beside it."""
    store = van.store("asha", van.clock())
    parts_desk.receive(store, van.order_before, "delivery note D-4711")
    strip(
        Strip(
            hand=van.hand("tove", van.clock(), Row.STRIP),
            plan=van.plan,
            bags=van.bags,
            home=van.home,
            witness=van.witness,
            take_off=in_few_acts,
            broke=scenes_strip.BROKE,
            missing=scenes_strip.MISSING,
            instead=scenes_strip.instead(van),
            afterwards=scenes_strip.afterwards(van),
        )
    )
    van.order_after = van.read("order")
    parts_desk.receive(store, van.order_after, "delivery note D-4718")
    desk = van.hand("asha", van.clock(after=SECOND_SHIFT - timedelta(hours=1)), Row.DESK)
    scenes_strip.a_soaked_tag_is_replaced(van, desk)
    parts_desk.exchange_all(desk, van, scenes_strip.FOOT_STAYS)


Stopped = Callable[[str, str], None]


def refit_with_mistakes(van: Played, stopped: Stopped) -> Refit:
    """Shift 2: refitted in the service's order, with what goes wrong in it.

    What went wrong is found by the close-ups: `stopped` is told which, and what was said.
    """
    evening = van.clock(after=SECOND_SHIFT)
    order = [step["id"] for step in van.read("refit")["steps"]]
    scenes_refit.dead_of_the_last_shift(van, evening, order[0])
    work = Refit(
        hand=change_of_shift(van, evening),
        plan=van.plan,
        parts=van.parts,
        bags=van.bags,
        home=van.home,
        witness=van.witness,
        put_back=put_back_together,
        caps_off=caps_off_together,
        before_close_up=lambda work, hold: _before_close_up(van, work, hold, stopped),
        forgotten=mistakes.FORGOTTEN,
        otherwise=mistakes.OTHERWISE,
        before=scenes_refit.before(van),
    )
    refit(work, order)
    return work


def _before_close_up(van: Played, work: Refit, hold: Hold, stopped: Stopped) -> None:
    if hold.id == mistakes.BENEATH:
        mistakes.bolt_seen_in_the_tray(work)
    if hold.id == _FIRST_CLOSE_UP:
        critical = [one["place"] for one in van.open_now("second-look")]
        scenes_refit.told_on_anothers_badge(van, work.hand.clock, critical)
    _all_looked_at(van, work.hand)
    put_right = mistakes.PUT_RIGHT.get(hold.id)
    if put_right is not None:
        fields = hold_fields(hold, work.witness)
        stopped(hold.id, work.hand.beside().refused("hold", "not-closed-beneath", **fields))
        put_right(work.beside(), van.hand("asha", work.hand.clock, Row.BESIDE))
        _all_looked_at(van, work.hand)


def _all_looked_at(van: Played, hand: Hand) -> None:
    """Before a close-up: another person at everything critical, and into every empty bag."""
    second_looks(van, hand.clock)
    _empty_bags_seen(van, hand)


def second_looks(van: Played, clock: ShiftClock, *others: str) -> None:
    """Somebody who fitted none of it looks at everything critical, in one round: one act."""
    critical = [one["place"] for one in van.open_now("second-look")]
    looked_at = sorted({*critical, *others})
    if looked_at:
        van.hand("tove", clock, Row.REFIT).act("confirm", positions=looked_at)


def _empty_bags_seen(van: Played, hand: Hand) -> None:
    """Every bag that the book says is empty is looked into: one photo of them all."""
    unseen = [finding["bag"] for finding in van.open_now("bag-not-seen-empty")]
    if unseen:
        hand.act("seen-empty", bags=unseen)


def finish(van: Played, work: Refit) -> None:
    """A second look at the gravest, bags seen, van and bay searched."""
    second_looks(van, work.hand.clock, "FS-01", "FS-02")
    _empty_bags_seen(van, work.hand)
    work.hand.act("search", where="van and bay 2", result="nothing found", vehicle=True, bay=True)


ACCEPTED: Mapping[tuple[str, str], str] = {
    ("FS-01", "wrong-bag"): "Wrong bolt taken out, right one in; second look by another person.",
    ("FS-02", "wrong-bag"): "Wrong bolt taken out, right one in; second look by another person.",
    ("PB-L1", "single-use"): "Old bolt out, new one tightened in both stages; second look.",
}


def accept_and_release(van: Played, clock: ShiftClock, say: Callable[[str], None]) -> None:
    """Quality takes what was done against a refusal, each with a reason, and releases."""
    quality = van.hand("brun", clock, Row.REFIT)
    for finding in van.read("reconciliation")["findings"]:
        reason = ACCEPTED[finding["place"], finding["part"]]
        quality.beside().act(
            "accept",
            finding=finding["kind"],
            place=finding["place"],
            part=finding["part"] or None,
            lot=finding["lot"] or None,
            reason=reason,
        )
        say(f"  accepted by quality at {finding['place']} ({finding['part']}): {reason}")
    told = van.read("reconciliation")
    head = quality.signed.get(van.path)["head"]
    scenes_refit.a_release_asks(van, quality, head)
    release(quality, head)
    say(f"  released on head {head[:12]}…, {told['seen_words']}; old parts discarded")
    scenes_refit.on_the_vehicles_record(van)


def release(quality: Hand, head: str) -> None:
    """The questions answered, the old parts thrown out, and the job closed."""
    quality.act(
        "release",
        head=head,
        vehicle_searched=True,
        bay_searched=True,
        panels_back=True,
        tools_complete=True,
        old_parts="discarded",
    )
