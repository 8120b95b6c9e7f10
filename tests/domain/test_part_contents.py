"""What a kit or an assembled part is said to hold must be there, and hold nothing itself."""

from __future__ import annotations

import pytest

from partsvc.domain.part_faults import faults
from partsvc.domain.parts import Part, PartContent

SEAL = Part(number="S1", name="seal")
BOLT = Part(number="B1", name="bolt")


def part(number: str, *held: str, **members: object) -> Part:
    contents = tuple(PartContent(part=one) for one in held)
    return Part(number=number, name="set", contents=contents, **members)  # type: ignore[arg-type]


def told(*parts: Part, known: tuple[Part, ...] = ()) -> list[str]:
    return [str(fault) for fault in faults(parts, {one.number: one for one in known})]


def test_a_kit_may_hold_assembled_pieces_and_be_the_only_way_to_get_them() -> None:
    washer = Part(number="W1", name="washer")
    sems = part("A1", "B1", "W1", captive=True, only_in="K1")

    assert told(BOLT, washer, sems, part("K1", "A1")) == []


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        (
            (part("K1", "S9"),),
            "part K1: neither the file nor the catalogue has a part S9",
        ),
        ((SEAL, part("K1", "S1", "S1")), "part K1: S1 stands twice; say once how many there are"),
        ((part("K1", "K1"),), "part K1: it cannot hold itself"),
        (
            (SEAL, part("K1", "S1"), part("K2", "K1")),
            "part K1: K2 holds it, and what is held has no contents of its own; write them down at "
            "K2",
        ),
        (
            (BOLT, part("A1", "B1", captive=True), part("A2", "A1", captive=True)),
            "part A2: A1 is assembled itself; write down what that one is made of",
        ),
        (
            (part("A1", captive=True),),
            "part A1: is one assembled piece, but of what is not said",
        ),
        (
            (SEAL, part("K1", "S1"), Part(number="S0", name="seal", superseded_by="K1")),
            "part S0: K1 is a kit; name the part in it that takes this one's place",
        ),
        (
            (Part(number="S2", name="seal", only_in="K9"),),
            "part S2: neither the file nor the catalogue has a part K9",
        ),
        (
            (SEAL, Part(number="S2", name="seal", only_in="S1")),
            "part S2: S1 is no kit; write down there what it holds",
        ),
        (
            (SEAL, part("K1", "S1"), Part(number="S2", name="seal", only_in="K1")),
            "part S2: the kit K1 does not hold it",
        ),
    ],
)
def test_what_cannot_be_is_told_with_what_to_write_instead(
    parts: tuple[Part, ...], says: str
) -> None:
    assert says in told(*parts)


def test_two_kits_do_not_hold_one_another() -> None:
    found = told(part("K1", "K2"), part("K2", "K1"))

    assert "part K1: K2 is a kit itself; write down what that one holds instead" in found
    assert "part K2: K1 is a kit itself; write down what that one holds instead" in found


def test_a_part_of_the_catalogue_becomes_no_kit_while_another_holds_it() -> None:
    inside, outer = Part(number="K1", name="seal"), part("K2", "K1")

    assert told(SEAL, part("K1", "S1"), known=(inside, outer)) == [
        "part K1: K2 holds it, and what is held has no contents of its own; write them down at K2"
    ]
