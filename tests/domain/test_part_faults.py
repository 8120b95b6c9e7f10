"""A catalogue that would mislead the parts desk is found when it is read."""

from __future__ import annotations

from dataclasses import replace

import pytest

from partsvc.domain.part_faults import faults, oddities, placed_faults
from partsvc.domain.parts import Part, PartKind

BOLT = Part(
    number="B8", name="Bolt M8x25", kind=PartKind.BOLT, thread="M8", length_mm=25,
    property_class="8.8", mass_g="16.1",
)  # fmt: skip


def bolt(**members: object) -> Part:
    return replace(BOLT, **members)  # type: ignore[arg-type]


def told(*parts: Part, known: tuple[Part, ...] = ()) -> list[str]:
    return [str(fault) for fault in faults(parts, {part.number: part for part in known})]


def test_a_sound_catalogue_has_none() -> None:
    assert told(BOLT, bolt(number="B9", superseded_by="B8")) == []
    assert oddities([BOLT]) == ()


def test_a_number_stands_once() -> None:
    assert told(BOLT, BOLT) == ["part B8: the number stands twice; each part has one line"]


def test_a_successor_may_already_be_in_the_catalogue() -> None:
    old = bolt(number="B7", superseded_by="B8")

    assert told(old, known=(BOLT,)) == []
    assert told(old) == ["part B7: neither the file nor the catalogue has a part B8"]


def test_supersession_in_a_ring_is_told_with_the_parts_of_the_catalogue() -> None:
    new, old = bolt(number="B7", superseded_by="B8"), bolt(superseded_by="B7")

    assert told(new, known=(old,)) == ["part B7: supersession runs in a ring: B7 to B8 to B7"]
    assert told(bolt(superseded_by="B8")) == [
        "part B8: supersession runs in a ring: B8 to B8"
    ]  # fmt: skip


def test_a_ring_that_stood_before_is_not_laid_at_this_file() -> None:
    before = (bolt(number="X1", superseded_by="X2"), bolt(number="X2", superseded_by="X1"))

    assert told(BOLT, known=before) == []


@pytest.mark.parametrize(
    ("part", "says"),
    [
        (bolt(number="B8 "), "part B8 : begins or ends with a blank; take the blank out"),
        (
            bolt(number="stray:1"),
            "part stray:1: numbers that begin with stray: are the book's own",
        ),
        (
            bolt(number="temporary:cap"),
            "part temporary:cap: numbers that begin with temporary: are the book's own",
        ),
        (bolt(name=" "), "part B8: is only blanks; write words or leave it out"),
        (bolt(mass_g="0"), "part B8: a mass is more than 0; leave it out if it is not known"),
    ],
)
def test_what_would_mislead_is_refused(part: Part, says: str) -> None:
    assert told(part) == [says]


def test_a_fault_knows_its_place_in_the_document() -> None:
    parts = (BOLT, bolt(number="B9", mass_g="-1"))

    assert [one.path for one in placed_faults(parts, {})] == ["parts[2].mass_g"]


@pytest.mark.parametrize(
    ("part", "says"),
    [
        (
            bolt(thread="M8x3"),
            "part B8: the thread M8x3 is not one known here; its torques are not compared",
        ),
        (
            bolt(thread=""),
            "part B8: has no thread, so look-alikes and stray pieces cannot be told by it",
        ),
        (
            bolt(length_mm=None),
            "part B8: has no length, so a longer or shorter one is not told from it",
        ),
        (bolt(property_class="8.9"), "part B8: the class 8.9 is not one known here"),
        # A pack of ten weighed as one, and a mass given in kilograms.
        (bolt(mass_g="161"), "part B8: 161 g is hardly the mass of one M8x25 of steel"),
        (bolt(mass_g="0.0161"), "part B8: 0.0161 g is hardly the mass of one M8x25 of steel"),
    ],
)
def test_what_is_odd_is_taken_and_remarked_upon(part: Part, says: str) -> None:
    assert told(part) == []
    assert oddities([part]) == (says,)


def test_two_numbers_written_almost_alike_are_remarked_upon() -> None:
    assert oddities([BOLT, bolt(number="b-8")]) == (
        "part b-8: is written almost like B8; are they two parts?",
    )


def test_a_screw_for_sheet_metal_is_nothing_odd() -> None:
    screw = bolt(kind=PartKind.SCREW, thread="ST4.8", property_class="", length_mm=19, mass_g="2.9")

    assert oddities([screw]) == ()
