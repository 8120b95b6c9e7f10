"""What does not go as planned while the pack comes out, each told in a line or two."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from partsvc.domain.plan import Step
from seed.play.bags import TRAY
from seed.play.hand import Hand
from seed.play.job import Played
from seed.play.readings import hold_fields
from seed.play.stripping import InStrip, Strip, in_few_acts
from seed.play.tags import blank
from seed.play.tally import Row

# How this van differs from what the plan expects.
BROKE = {"SC-L2": 1}
MISSING = {"SC-R3": 1}
FOOT_STAYS = "WL-R2"


def instead(van: Played) -> Mapping[str, InStrip]:
    """The steps at which something else happens than the plan says."""
    return {
        "liner-right": partial(_a_clip_breaks_and_its_foot_stays, van),
        "shield-rear": partial(_look_alikes_go_into_a_tray, van),
        "guard-left": partial(_bolts_go_back_finger_tight, van),
        "guard-right": partial(_sent_before_its_turn, van),
        "brake-pipes": _off_already,
        "measure-cover": partial(_an_apprentice_is_supervised, van),
    }


def afterwards(van: Played) -> Mapping[str, InStrip]:
    """What happens behind a step."""
    return {
        "liner-left": partial(_sent_twice, van),
        "service-plug": partial(_dead_is_not_proved_before_its_time, van),
    }


def _dead_is_not_proved_before_its_time(van: Played, work: Strip, step: Step) -> None:
    hold = van.plan.holds["h-dead"][1]
    words = work.hand.beside().refused("hold", "too-early", **hold_fields(hold, work.witness))
    van.tell("proved dead too early", words)


def _apprentice(van: Played, work: Strip) -> Hand:
    return van.hand("lio", work.hand.clock, Row.STRIP)


def _an_apprentice_is_supervised(van: Played, work: Strip, step: Step) -> None:
    lio = _apprentice(van, work)
    first = step.positions[0].id
    asked = {"position": first, "bag": work.bag_at(first)}
    words = lio.beside().refused("remove", "supervision-needed", **asked)
    in_few_acts(replace(work, hand=lio), step, supervised_by=work.hand.person)
    van.tell("an apprentice at high voltage", f"{words} Then done with a technician by.")


def _sent_twice(van: Played, work: Strip, step: Step) -> None:
    """A device out of the network sends the same scan twice: the second comes to nothing."""
    hand = work.hand.beside()
    bag = work.bag_at(step.positions[-1].id)
    key, words = hand.kept("remove", "nothing-there", step=step.id, bag=bag)
    hand.act("dismiss", refused=key, reason="scanned twice under the van, without a network")
    van.tell("out of the network", f"{words} Kept, and dismissed: it was scanned twice.")


def _sent_before_its_turn(van: Played, work: Strip, step: Step) -> None:
    """Another device sends its queue before this one does: refused, kept, and sent again."""
    lio = _apprentice(van, work)
    pipes = van.plan.step_of["brake-pipes"]
    asked = {"step": pipes.id, "bag": work.bag_at(pipes.positions[0].id)}
    key, words = lio.beside().kept("remove", "step-first", **asked)
    in_few_acts(work, step)
    lio.act("remove", amends=key, **asked)
    van.tell("out of the network", f"{words} Kept, and amended when they were off.")


def _off_already(work: Strip, step: Step) -> None:
    """Its act was recorded with the amendment."""


def _a_clip_breaks_and_its_foot_stays(van: Played, work: Strip, step: Step) -> None:
    bag = work.bag_at(FOOT_STAYS)
    work.hand.act("remove", position=FOOT_STAYS, bag=bag, broken=1, rest="in-vehicle")
    in_few_acts(work, step)
    (found,) = [one for one in van.read("reconciliation")["findings"] if one["kind"] == "fragment"]
    van.tell("a clip broke, its foot in the cavity", found["words"])


def _look_alikes_go_into_a_tray(van: Played, work: Strip, step: Step) -> None:
    cover = step.positions[-1].id
    work.hand.act("remove", position=cover, bag=work.bag_at(cover))
    said = work.hand.act("remove", step=step.id, bag=work.bags[TRAY])
    van.tell("look-alikes in a tray with numbered pockets", " ".join(said["warnings"]))


def _bolts_go_back_finger_tight(van: Played, work: Strip, step: Step) -> None:
    in_holes = next(one for one in step.positions if one.id not in work.home)
    work.hand.act("remove", position=in_holes.id, own_hole=True)
    in_few_acts(work, step)
    van.tell("in their own holes, no bag", f"{in_holes.sets} bolts at {in_holes.where}")


def a_soaked_tag_is_replaced(van: Played, desk: Hand) -> None:
    """Coolant on a tag: the bag is counted blind and gets a new one; the old tag is dead."""
    name = van.home["HF-03"]
    new = blank(van.people["jorin"], "Step 270: HF-02, HF-03, new tag")
    counted: list[dict[str, Any]] = [
        {"part": item.part, "quantity": position.sets * item.per_set}
        for _, position in van.plan.each_position()
        for item in position.stack
        if van.home.get(position.id) == name
    ]
    asked = {"bag": van.bags[name], "into": new, "counted": counted}
    said = desk.beside().act("retag", **asked)
    differs = " ".join(said["warnings"]) or "as the book has it"
    van.bags[name] = new
    pieces = sum(one["quantity"] for one in counted)
    van.tell("a soaked tag", f"{pieces} pieces counted blind, {differs}; the bag has a new tag")
