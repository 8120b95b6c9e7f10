"""Kits are laid out so that no bag holds two parts that a person takes for each other."""

from __future__ import annotations

from itertools import combinations

from partsvc.domain.look import alike_among
from partsvc.domain.parts import Part
from partsvc.domain.records import decode
from partsvc.work.kit_bench import ToIssue, kept_apart
from seed.play.catalogue import parts_of

PARTS = {one["number"]: decode(Part, one) for one in parts_of("van_battery")}


def wanted(part: str, *, ready: int = 4) -> ToIssue:
    return ToIssue(
        part=part,
        called=PARTS[part].name,
        quantity=4,
        ready=ready,
        in_store=ready,
        on_order=0,
        step_number=10,
        why=("4 single-use",),
    )


def test_no_two_parts_in_one_bag_are_easily_confused() -> None:
    laid = kept_apart([wanted(part) for part in PARTS], PARTS)

    for one, other in combinations(laid, 2):
        if one.bag == other.bag:
            assert alike_among({one.part, other.part}, PARTS) in ((), ({one.part}, {other.part}))
    assert [one.part for one in laid] == list(PARTS)


def test_what_is_there_goes_into_the_first_bag_and_the_other_says_what_it_is_like() -> None:
    long, short = kept_apart([wanted("KF-1012", ready=0), wanted("KF-1010")], PARTS)

    assert (long.bag, short.bag) == (2, 1)
    assert long.confused_with == (PARTS["KF-1010"].name,)


def test_what_is_like_nothing_else_stays_in_the_first_bag() -> None:
    laid = kept_apart([wanted("KF-1010"), wanted("KF-1322")], PARTS)

    assert [(one.bag, one.confused_with) for one in laid] == [(1, ()), (1, ())]
