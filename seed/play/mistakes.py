"""What goes wrong in this refit, each as it goes wrong in a workshop, and how it is put right.

Three things went wrong before: a clip broke at removal and is quietly left out, a screw was missing
on arrival and nobody fitted one, and the cap on the return hose is forgotten. The others are played
here. What a mistake costs in acts stands beside the ordinary work.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from partsvc.domain.plan import Position
from seed.play.bags import OLD_PARTS
from seed.play.hand import Hand
from seed.play.readings import hold_fields
from seed.play.refitting import Refit

FORGOTTEN = frozenset({"t-return-hose"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Planted:
    """A mistake, as the reconciliation must find it: kind, step, place and number of pieces."""

    kind: str
    step: str
    place: str
    quantity: int
    told: str
    found_at: str


#: The close-ups that find something: before the shields, and before the road test.
BENEATH = "h-close-under"
OUTSIDE = "h-temporaries"

PLANTED = (
    Planted(
        kind="not-back",
        step="bracket-left",
        place="HK-L2",
        quantity=1,
        told="bolt left in tray",
        found_at=BENEATH,
    ),
    Planted(
        kind="wrong-part",
        step="shield-front",
        place="FS-01",
        quantity=1,
        told="longer bolt taken",
        found_at=OUTSIDE,
    ),
    Planted(
        kind="wrong-part",
        step="shield-front",
        place="FS-02",
        quantity=1,
        told="shorter bolt left",
        found_at=OUTSIDE,
    ),
    Planted(
        kind="unreplaced",
        step="bolts-left",
        place="PB-L1",
        quantity=1,
        told="stretch bolt reused",
        found_at=BENEATH,
    ),
    Planted(
        kind="loose",
        step="hv-charge",
        place="HC-01",
        quantity=1,
        told="second lock open",
        found_at=BENEATH,
    ),
    Planted(
        kind="on-vehicle",
        step="hose-return",
        place="on-vehicle:hose-return",
        quantity=1,
        told="cap left on",
        found_at=BENEATH,
    ),
    Planted(
        kind="broken",
        step="sill-left",
        place="SC-L2",
        quantity=1,
        told="broken clip left out",
        found_at=OUTSIDE,
    ),
    Planted(
        kind="missing-on-arrival",
        step="sill-right",
        place="SC-R3",
        quantity=1,
        told="screw missing",
        found_at=OUTSIDE,
    ),
)


def _longer_bolt_taken(work: Refit, position: Position) -> None:
    """Five right ones, then a hand in the wrong bag; the scan is refused, the bolt is in."""
    work.secure(position, bag=work.bag_at("FS-01"), quantity=5)
    _wrong_bag(work, position, bag=work.bag_at("FS-02"), quantity=1)


def _shorter_bolt_left(work: Refit, position: Position) -> None:
    work.secure(position, bag=work.bag_at("FS-02"))
    _wrong_bag(work, position, bag=work.bag_at("FS-01"), sets=1)


def _wrong_bag(work: Refit, position: Position, **asked: object) -> None:
    work.hand.beside().anyway(
        "secure",
        "wrong-bag",
        "already in and tight when I scanned the bag",
        position=position.id,
        tool="W-12",
        setting="20 N m",
        **asked,
    )


def _stretch_bolt_reused(work: Refit, position: Position) -> None:
    bag = work.bag_at(position.id)
    work.secure(position, bag=bag, part="KF-1010", quantity=4)
    work.secure(position, bag=bag, part="KF-1436")
    work.hand.beside().anyway(
        "secure",
        "single-use",
        "the fifth was in before I saw that it came from the old-parts box",
        position=position.id,
        bag=work.bags[OLD_PARTS],
        part="KF-1010",
        quantity=1,
        tool="W-31",
        values=[{"name": "bolt 5", "value": "60", "unit": "N m"}],
    )


def _all_four_scanned(work: Refit, position: Position) -> None:
    work.secure(position, bag=work.bag_at(position.id))


def _second_lock_open(work: Refit, position: Position) -> None:
    work.secure(position, stage="primary-lock")


OTHERWISE: Mapping[str, Callable[[Refit, Position], None]] = {
    "FS-01": _longer_bolt_taken,
    "FS-02": _shorter_bolt_left,
    "PB-L1": _stretch_bolt_reused,
    "HK-L2": _all_four_scanned,
    "HC-01": _second_lock_open,
}


def bolt_seen_in_the_tray(work: Refit) -> None:
    """A bolt lies in the tray at the end: the scan of four is undone, three were in."""
    beside = work.beside()
    beside.hand.act(
        "reverse",
        act=work.acts["HK-L2"],
        reason="scanned for four, but one bolt still lies in the tray: three went in",
    )
    beside.secure(work.plan.positions["HK-L2"], bag=work.bag_at("HK-L2"), quantity=3)


def put_right_beneath(work: Refit, desk: Hand) -> None:
    """What the close-up stopped at, put right before anything covers it."""
    where = work.plan.positions
    work.secure(where["HK-L2"], bag=work.bag_at("HK-L2"))
    _new_stretch_bolt(work)
    work.secure(where["HC-01"], stage="secondary-lock")
    work.hand.act("take-off", step="hose-return", item="t-return-hose", quantity=1)


def put_right_outside(work: Refit, desk: Hand) -> None:
    """What was found on the shields and sills, put right before the road test.

    The van stands on its wheels already: it goes up once more, and the lifting points are checked
    once more.
    """
    lifting_points = work.plan.holds["h-lift"][1]
    work.hand.act("hold", **hold_fields(lifting_points, work.witness))
    _exchange_back(work)
    _new_clip(work, desk)
    desk.act("issue", bag=work.bag_at("SC-R3"), part="KF-1230", quantity=1)
    work.secure(work.plan.positions["SC-R3"], bag=work.bag_at("SC-R3"))
    work.hand.act("done", step="van-down")


#: How each close-up that finds something is satisfied.
PUT_RIGHT: Mapping[str, Callable[[Refit, Hand], None]] = {
    BENEATH: put_right_beneath,
    OUTSIDE: put_right_outside,
}


def _exchange_back(work: Refit) -> None:
    first, second = work.plan.positions["FS-01"], work.plan.positions["FS-02"]
    work.hand.act("remove", position="FS-01", part="KF-1112", bag=work.bag_at("FS-02"))
    work.hand.act("remove", position="FS-02", part="KF-1110", bag=work.bag_at("FS-01"))
    work.secure(first, bag=work.bag_at("FS-01"))
    work.secure(second, bag=work.bag_at("FS-02"))


def _new_stretch_bolt(work: Refit) -> None:
    """One bolt at a time, all others tight: the pack never moves."""
    work.hand.act(
        "remove",
        position="PB-L1",
        part="KF-1010",
        quantity=1,
        bag=work.bags[OLD_PARTS],
    )
    work.secure(work.plan.positions["PB-L1"], bag=work.bag_at("PB-L1"), part="KF-1010", quantity=1)


def _new_clip(work: Refit, desk: Hand) -> None:
    """One for one: the broken clip to the old parts, its successor of today into the bag."""
    bag = work.bag_at("SC-L2")
    desk.act("exchange", bag=bag, old_parts=work.bags[OLD_PARTS])
    work.secure(work.plan.positions["SC-L2"], bag=bag)
