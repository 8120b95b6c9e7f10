"""What lies on a carrier, on a carrier on it, and where to look for it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from partsvc.domain.carriers import (
    bench_of,
    bench_words,
    carried_by,
    carried_words,
    carriers,
    lying_on,
)
from partsvc.domain.desk import Desk
from partsvc.domain.job_state import fold
from partsvc.domain.ledger import Book, Holding, Spot
from partsvc.domain.places import Condition, Place, PlaceKind, bag, loose, secured
from partsvc.domain.plan import Plan, Position, StackItem, Step
from partsvc.domain.procedure_file import read_procedure, write_procedure
from partsvc.domain.text_file import Form


def at(ident: str, *, on: str = "", sets: int = 1) -> Position:
    return Position(
        id=ident, where=f"at {ident}", sets=sets, stack=(StackItem(part=ident.lower()),), on=on
    )


PACK, BRACKET, SCREWS, FREE = (
    at("PACK"),
    at("BRACKET", on="PACK"),
    at("SCREWS", on="BRACKET", sets=4),
    at("FREE"),
)
STEP = Step(id="S", number=10, title="all", positions=(PACK, BRACKET, SCREWS, FREE))
PLAN = Plan(key="k", title="t", steps=(STEP,))


def desk(*where: tuple[str, str, Place]) -> Desk:
    """A desk on which these parts of these positions lie there."""
    held = [
        Holding(part, Spot("j", place, Condition.USED, home), 4 if part == "screws" else 1)
        for part, home, place in where
    ]
    return Desk(account="j", plan=PLAN, state=fold(()), book=Book(held))


def test_a_carrier_may_lie_on_another() -> None:
    assert [one.id for one in carriers(PLAN, SCREWS)] == ["BRACKET", "PACK"]
    assert [one.id for one in lying_on(PLAN, "PACK")] == ["BRACKET", "SCREWS"]
    assert lying_on(PLAN, "FREE") == ()


def test_carriers_in_a_ring_are_told_once_and_never_followed_for_ever() -> None:
    ring = replace(PACK, on="SCREWS")
    plan = Plan(key="k", title="t", steps=(replace(STEP, positions=(ring, BRACKET, SCREWS)),))

    assert [one.id for one in carriers(plan, SCREWS)] == ["BRACKET", "PACK"]
    assert [one.id for one in carriers(plan, ring)] == ["SCREWS", "BRACKET"]


def test_what_lies_on_the_vehicle_is_on_no_bench() -> None:
    found = desk(("pack", "PACK", secured("PACK")), ("bracket", "BRACKET", loose("BRACKET")))

    assert bench_of(PLAN, found.book, SCREWS) is None
    assert carried_words(found, SCREWS) == "on the bracket, on the pack"
    assert bench_words(found, SCREWS) == ""


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (bag("7K3M9HWZ"), "on the bracket, on the pack, which is in bag 7K3M-9HWZ"),
        (Place(PlaceKind.AWAY, "maker"), "on the bracket, on the pack, which is away: maker"),
        (Place(PlaceKind.LOST, "secured:PACK"), "on the bracket, on the pack, which is lost"),
        (Place(PlaceKind.SCRAP, "bin"), "on the bracket, on the pack, which is not in place"),
    ],
)
def test_the_words_say_where_the_carrier_is(place: Place, words: str) -> None:
    found = desk(
        ("pack", "PACK", place),
        ("bracket", "BRACKET", secured("BRACKET")),
        ("screws", "SCREWS", secured("SCREWS")),
    )

    assert bench_words(found, SCREWS) == words
    assert bench_of(PLAN, found.book, SCREWS) == PACK


def test_a_bag_tells_what_lies_on_the_carrier_in_it() -> None:
    found = desk(
        ("pack", "PACK", bag("7K3M9HWZ")),
        ("bracket", "BRACKET", secured("BRACKET")),
        ("screws", "SCREWS", loose("SCREWS")),
    )

    assert carried_by(found, "7K3M9HWZ") == (
        "step 10, at BRACKET: bracket, 1 secured",
        "step 10, at SCREWS: screws, 4 loose",
    )
    assert carried_by(found, "4TPAVV4F") == ()


@pytest.mark.parametrize("form", Form)
def test_what_a_position_lies_on_goes_into_the_file_and_comes_back(form: Form) -> None:
    known = frozenset({"pack", "bracket", "screws", "free"})

    assert read_procedure(write_procedure(PLAN, form), form, known) == PLAN
