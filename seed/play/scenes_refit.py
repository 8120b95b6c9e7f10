"""What does not go as planned while the pack goes back, each told in a line or two."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from partsvc.domain.plan import Step
from seed.play.hand import Hand, ShiftClock
from seed.play.job import Played
from seed.play.readings import securing_fields
from seed.play.refitting import PutBack, Refit
from seed.play.scenes_strip import FOOT_STAYS
from seed.play.tally import Row

LOST_AT = "PA-02"
LOST_PART = "KF-1214"


def before(van: Played) -> Mapping[str, PutBack]:
    """What happens before a step is put back."""
    return {
        "service-plug": partial(_nobody_re_energises_under_anothers_lock, van),
        "liner-right": partial(_the_foot_is_taken_out, van),
        "plug-access": partial(_a_screw_is_lost, van),
    }


def dead_of_the_last_shift(van: Played, clock: ShiftClock, first: str) -> None:
    """Who stays after the end of the shift is told that what was proved dead lapsed with it."""
    fields = securing_fields(van.plan.step_of[first].positions[1])
    words = _beside(van, "tove", clock).refused("secure", "hold-open", step=first, **fields)
    van.tell("the shift is over", words)


def _nobody_re_energises_under_anothers_lock(van: Played, work: Refit, step: Step) -> None:
    """The one who pulled the plug is still at the vehicle: her lock is on, and she takes it off."""
    plug = step.positions[0].id
    words = work.hand.beside().refused("secure", "locked-by-others", position=plug)
    van.hand("tove", work.hand.clock, Row.REFIT).act("unlock", step=step.id)
    van.tell("another's lock is on", words)


def _the_foot_is_taken_out(van: Played, work: Refit, step: Step) -> None:
    work.hand.beside().act("find", position=FOOT_STAYS, fragment=True, words="hooked out")
    where = van.plan.positions[FOOT_STAYS].where
    van.tell("the foot of the clip", f"taken out of the cavity before the liner goes on: {where}")


def _a_screw_is_lost(van: Played, work: Refit, step: Step) -> None:
    """Reported at once, searched for by two people, decided on by quality; a new one goes in."""
    clock, miro = work.hand.clock, work.hand.beside()
    bag = work.bag_at(LOST_AT)
    asked = {"part": LOST_PART, "lot": LOST_AT, "bag": bag}
    miro.act("lose", **asked, words="fell behind the seat frame")
    words = []
    for searcher, with_what in ((miro, "a lamp"), (_beside(van, "tove", clock), "a magnet")):
        where = f"seat frame and floor, with {with_what}"
        searcher.act("search", where=where, result="nothing", position=LOST_AT)
        words.append(with_what)
    reason = "steel screw under the carpet, no wiring, nothing moves there"
    _beside(van, "brun", clock).act("accept", finding="lost", part=LOST_PART, reason=reason)
    miro.act("issue", bag=bag, part=LOST_PART, quantity=1, source="bench")
    by_two = f"searched by two people ({' and '.join(words)}); quality goes on: {reason}"
    van.tell("a screw is lost", by_two)


def _beside(van: Played, login: str, clock: ShiftClock) -> Hand:
    return van.hand(login, clock, Row.BESIDE)


def told_on_anothers_badge(van: Played, clock: ShiftClock, positions: list[str]) -> None:
    """A second look at what is critical is told by whoever looked, on their own sign-in."""
    asked = {"positions": positions, "by": van.people["tove"].person}
    words = _beside(van, "jorin", clock).refused("confirm", "own-badge", **asked)
    van.tell("second looks, told by another", words)


def a_release_asks(van: Played, quality: Hand, head: str) -> None:
    """The fixed questions are put to whoever signs, before anything is released."""
    words = quality.beside().refused("release", "statement-incomplete", head=head)
    van.tell("asked before release", words)


def on_the_vehicles_record(van: Played) -> None:
    """What was lost is read on the vehicle's record for as long as the vehicle is known."""
    record = van.people["brun"].get(f"/vehicles/{van.vehicle}/record")
    (lost,) = record["lost"]
    decided = lost["decided"][0]["words"]
    words = f"{lost['still_lost']} {lost['called']}, {lost['home']}: {decided}"
    van.tell("on the vehicle's record", words)
