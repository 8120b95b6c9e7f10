"""The words of a trail: where a piece went, and what was done about it, as the workshop says it.

Nobody who follows a piece reads the ledger's own words here. Places are told from where the reader
stands: at the position, in the bag, or with the part that the trail is of.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.effects import (
    Accepted,
    BagSeenEmpty,
    Confirmed,
    CountAdjusted,
    CountTaken,
    Effect,
    Inspected,
    Overridden,
    PositionCorrected,
    Remarked,
    Searched,
    StageDone,
    Stowed,
)
from partsvc.domain.effects_bags import TagGoodAgain, TagInDoubt, TagReplaced
from partsvc.domain.effects_broken import RestFound, RestLeft
from partsvc.domain.effects_people import Amended, Dismissed, DoneAlone
from partsvc.domain.effects_variants import ArrivedOff, CountFound, Differing, NotApplying, Repaired
from partsvc.domain.findings import KIND_OF
from partsvc.domain.look import called
from partsvc.domain.people_words import named
from partsvc.domain.places import AT_POSITION, Place, PlaceKind

ACT_WORDS: Mapping[str, str] = {
    "open": "job opened",
    "loosen": "loosened",
    "remove": "taken off",
    "missing": "was not there",
    "stray": "found, nobody can place it",
    "put-on": "put on for a while",
    "take-off": "taken off again",
    "rebag": "moved to another bag",
    "stow": "put away",
    "discard": "thrown away",
    "seen-empty": "bag seen empty",
    "receive": "arrived",
    "stock-count": "shelf counted",
    "issue": "handed out",
    "exchange": "exchanged, old for new",
    "return": "back to the store",
    "apply": "applied",
    "fit": "put in",
    "secure": "secured",
    "count": "counted",
    "adjust": "count settled",
    "lose": "reported lost",
    "find": "turned up",
    "broke": "broke",
    "search": "searched for",
    "inspect": "looked over",
    "confirm": "second look",
    "remark": "remark",
    "picture": "photo",
    "spots": "tapped on a photo",
    "correct": "plan put right",
    "identify": "named",
    "done": "done",
    "hold": "hold passed",
    "lapse": "hold no longer good",
    "hand-over": "handed over",
    "lock": "lock hung on",
    "unlock": "lock taken off",
    "retag": "new tag",
    "release": "released",
    "send-away": "sent out of the house",
    "come-back": "came back",
    "exchange-carrier": "assembly exchanged",
    "lend": "lent to another job",
    "borrow": "borrowed",
    "accept": "taken as it is",
    "reverse": "undone",
    "reopen": "opened again",
    "does-not-apply": "not on this vehicle",
    "differs": "otherwise on this vehicle",
    "not-done": "left out",
    "arrived-off": "off on arrival",
    "hand-over-incomplete": "handed over incomplete",
    "dismiss": "refused act dismissed",
    "taken-over": "taken over by another job",
    "note": "noted",
}

_GATES: Mapping[str, str] = {
    "opening": "there when the job was opened",
    "receipt": "bought in",
    "unbooked-receipt": "taken from the shelf, which the store had not booked in",
    "stock-correction": "by a count of the shelf",
    "addition": "added: nobody had planned it",
    "plan-correction": "the plan put right",
    "stray": "found, nobody could place it",
    "count-over": "more counted than were known",
    "other-job": "another job's",
    "untracked-temporary": "the tool wall",
    "unpacked": "unpacked",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """From where a trail is told: the place that is simply *here* to its reader."""

    position: str = ""
    bag: str = ""


def out_of(desk: Desk, stand: Stand, place: Place) -> str:
    """Where pieces came from."""
    match place.kind:
        case PlaceKind.BAG:
            return _bag("out of", stand, place.at)
        case PlaceKind.OUTSIDE:
            return _GATES.get(place.at, place.at)
        case PlaceKind.STOCK | PlaceKind.TOOL_STORE:
            return "from the store"
        case PlaceKind.LOST:
            return "lost before"
        case PlaceKind.WITH:
            return f"from {_person(desk, place.at)}"
        case PlaceKind.AWAY:
            return f"back from {place.at}"
        case PlaceKind.ON_VEHICLE:
            return f"off the vehicle{_of_step(desk, place.at)}"
        case PlaceKind.SCRAP:
            return "from what was thrown away"
        case _:
            return f"off {_position(desk, stand, place.at)}"


_IN_PLACE: Mapping[PlaceKind, str] = {
    PlaceKind.SECURED: "secured",
    PlaceKind.LOOSE: "in, not secured,",
    PlaceKind.OWN_HOLE: "finger-tight in the own hole",
    PlaceKind.MISSING: "missing",
}


def into(desk: Desk, stand: Stand, place: Place) -> str:
    """Where pieces went."""
    match place.kind:
        case PlaceKind.BAG:
            return _bag("into", stand, place.at)
        case PlaceKind.OUTSIDE:
            return f"out of this job: {_GATES.get(place.at, place.at)}"
        case PlaceKind.STOCK | PlaceKind.TOOL_STORE:
            return "to the store"
        case PlaceKind.LOST:
            return "lost"
        case PlaceKind.WITH:
            return f"with {_person(desk, place.at)}"
        case PlaceKind.AWAY:
            return f"to {place.at}"
        case PlaceKind.ON_VEHICLE:
            return f"on the vehicle{_of_step(desk, place.at)}"
        case PlaceKind.SCRAP:
            return "thrown away"
        case _:
            at = _position(desk, stand, place.at)
            return f"{_IN_PLACE[place.kind]} {at if at == 'here' else f'at {at}'}"


def where_now(desk: Desk, stand: Stand, place: Place) -> str:
    """Where pieces are now."""
    if place.kind is PlaceKind.BAG and place.at != stand.bag:
        stowed = desk.state.stowed.get(place.at, "")
        return f"in bag {shown_bag(place.at)}{f', at {stowed}' if stowed else ''}"
    return "in this bag" if place.kind is PlaceKind.BAG else into(desk, stand, place)


def _bag(how: str, stand: Stand, code: str) -> str:
    return f"{how} this bag" if code == stand.bag else f"{how} bag {shown_bag(code)}"


def _person(desk: Desk, person: str) -> str:
    return desk.names.get(person, person)


def _of_step(desk: Desk, step: str) -> str:
    found = desk.plan.step_of.get(step)
    return f" at step {found.number}" if found else ""


def _position(desk: Desk, stand: Stand, position: str) -> str:
    if position == stand.position:
        return "here"
    found, step = desk.plan.positions.get(position), desk.plan.home_step.get(position)
    return f"step {step.number}, {found.where}" if found and step else position


_SAME_PLACE: Mapping[tuple[PlaceKind, PlaceKind], str] = {
    (PlaceKind.SECURED, PlaceKind.LOOSE): "loosened",
    (PlaceKind.LOOSE, PlaceKind.SECURED): "secured",
    (PlaceKind.OWN_HOLE, PlaceKind.SECURED): "secured in the own hole",
    (PlaceKind.MISSING, PlaceKind.SECURED): "was there after all",
}


def moved(desk: Desk, stand: Stand, source: Place, target: Place) -> str:
    """A piece's way in one act."""
    if source == target:
        return "stays where it is, in another condition"
    if source.at == target.at and {source.kind, target.kind} <= set(AT_POSITION):
        same = _SAME_PLACE.get((source.kind, target.kind))
        at = _position(desk, stand, target.at)
        if same:
            return same if at == "here" else f"{same} at {at}"
        return into(desk, stand, target)
    return f"{out_of(desk, stand, source)}, {into(desk, stand, target)}"


def effect_words(desk: Desk, effect: Effect) -> str:
    """What an act did beside moving pieces; empty for what its title says already."""
    match effect:
        case Overridden():
            detail = named(effect.detail, desk.names)
            return f"Was refused, and done anyway. {detail} Reason given: {effect.reason}"
        case Accepted():
            kind = KIND_OF.get(effect.finding)
            return f"Taken as it is ({kind.title if kind else effect.finding}): {effect.reason}"
        case Remarked():
            return f"“{effect.words}”"
        case Confirmed():
            seen = "right" if effect.right else "not right"
            return f"looked at: {seen}{f': {effect.words}' if effect.words else ''}"
        case Inspected():
            seen = "good" if effect.passed else "not good"
            return f"{effect.quantity} {called(desk, effect.part)}: {seen}"
        case StageDone():
            told = ", ".join(filter(None, (effect.tool, effect.setting, effect.readings)))
            stage = "" if effect.stage == "secured" else effect.stage
            return ": ".join(filter(None, (stage, told)))
        case _:
            return _said_of_bags(desk, effect)


def _said_of_bags(desk: Desk, effect: Effect) -> str:
    match effect:
        case CountTaken():
            name = called(desk, effect.part)
            return f"{effect.counted} {name} counted; {effect.book} were expected"
        case CountAdjusted():
            return "the difference was settled"
        case BagSeenEmpty():
            return f"bag {shown_bag(effect.bag)}: nothing in it"
        case Stowed():
            return f"bag {shown_bag(effect.tag)} at {effect.at}"
        case TagReplaced():
            why = f": {effect.why}" if effect.why else ""
            return f"tag {shown_bag(effect.into)} in place of {shown_bag(effect.tag)}{why}"
        case TagGoodAgain():
            return f"tag {shown_bag(effect.tag)} is good again"
        case TagInDoubt():
            return f"not sure which bag it is: {effect.words}"
        case Searched():
            return f"{effect.where}: {effect.result}"
        case _:
            return _said_of_the_vehicle(effect)


def _said_of_the_vehicle(effect: Effect) -> str:
    match effect:
        case RestLeft():
            where = "nobody knows where" if effect.lost else "still in the vehicle"
            return f"the rest of {effect.quantity} broken: {where}"
        case RestFound():
            return f"the rest of {effect.quantity} broken was taken out {effect.words}".rstrip()
        case PositionCorrected():
            named_so = (effect.becomes, f"{effect.sets} sets" if effect.sets else "", effect.rule)
            return ", ".join(filter(None, named_so))
        case Repaired():
            return f"repaired: {effect.words}"
        case Differing():
            return f"{effect.words}: {effect.reason}"
        case NotApplying():
            return f"not on this vehicle: {effect.reason}"
        case ArrivedOff():
            return f"{effect.how} on arrival: {effect.words}"
        case CountFound():
            return f"{effect.sets} were found there"
        case DoneAlone():
            return f"done alone: {effect.reason}"
        case Amended():
            return "puts a refused act right"
        case Dismissed():
            return f"a refused act comes to nothing: {effect.reason}"
        case _:
            return ""
