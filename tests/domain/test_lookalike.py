"""Look-alikes are named, told apart in words, and weighed against one another."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsvc.domain import lookalike
from partsvc.domain.assignment import match
from partsvc.domain.lookalike import LIKELY_WITHIN, Shape, difference, distance, groups


def bolt(thread="M8", length_mm=25, drive="hex 13", **more):
    return Shape(kind="bolt", thread=thread, length_mm=length_mm, drive=drive, **more)


def clip(head="", **more):
    return Shape(kind="clip", head=head, **more)


def test_other_lengths_classes_and_coatings_are_look_alikes():
    shapes = {
        "short": bolt(),
        "long": bolt(length_mm=30),
        "strong": bolt(property_class="10.9"),
        "black": bolt(coating="black"),
        "thin": bolt("M6", drive="hex 10"),
        "socket": bolt(drive="hex socket 6"),
    }

    assert groups(shapes) == (frozenset({"short", "long", "strong", "black"}),)


def test_coarse_and_fine_are_look_alikes_because_a_caliper_cannot_tell():
    assert groups({"a": bolt("M8"), "b": bolt("m8 x 1"), "c": bolt("M10")}) == (
        frozenset({"a", "b"}),
    )


def test_two_numbers_for_one_shape_are_look_alikes():
    assert groups({"a": bolt(), "b": bolt()}) == (frozenset({"a", "b"}),)


def test_bolt_and_screw_are_two_words_for_one_thing():
    screw = Shape(kind="screw", thread="M8", length_mm=30, drive="hex 13")

    assert groups({"a": bolt(), "b": screw}) == (frozenset({"a", "b"}),)
    assert distance(bolt(length_mm=30), screw) == 0


def test_spelling_does_not_keep_look_alikes_apart():
    assert groups({"a": bolt("M8x1.25", drive="HEX  13"), "b": bolt(" M8")}) == (
        frozenset({"a", "b"}),
    )


def test_threads_that_are_not_metric_are_compared_as_written():
    tapping = {
        name: bolt(thread, drive="T20")
        for name, thread in [("a", "ST4.8"), ("b", "st4.8"), ("c", "ST5.5")]
    }

    assert groups(tapping) == (frozenset({"a", "b"}),)


def test_clips_are_told_by_their_head_and_nothing_known_is_like_nothing():
    shapes = {
        "fir": clip("fir-tree"),
        "fir black": clip("Fir-tree", coating="black"),
        "push": clip("push rivet"),
        "unknown": clip(),
        "unknown too": clip(),
    }

    assert groups(shapes) == (frozenset({"fir", "fir black"}),)


@pytest.mark.parametrize(
    ("a", "b", "words"),
    [
        (
            bolt(length_mm=30),
            bolt(length_mm=25),
            "same thread and drive, 5 mm longer: M8x30 against M8x25",
        ),
        (
            bolt(head="flange", property_class="8.8", coating="zinc"),
            bolt(head="flange", property_class="10.9", coating="black"),
            "same thread, drive and head, class 8.8 instead of 10.9, "
            "coating zinc instead of black: M8x25 against M8x25",
        ),
        (
            bolt("M8x1"),
            bolt("M8", 30),
            "same drive, another pitch, which a caliper cannot tell (use a pitch gauge), "
            "5 mm shorter: M8x1x25 against M8x30",
        ),
        (
            bolt("M6", drive="hex 10"),
            bolt(),
            "another thread, drive hex 10 instead of hex 13: M6x25 against M8x25",
        ),
        (
            bolt(),
            bolt(),
            "same thread and drive, no difference to be seen, compare the part numbers: "
            "M8x25 against M8x25",
        ),
        (
            clip("fir-tree", length_mm=20),
            clip("fir-tree", length_mm=18),
            "same head, 2 mm longer: clip of 20 mm against clip of 18 mm",
        ),
        (
            clip(),
            Shape(kind="nut", thread="M6"),
            "a clip, not a nut: clip against M6",
        ),
    ],
)
def test_the_difference_is_told_in_words(a, b, words):
    assert difference(a, b) == words


def test_leftovers_and_shortages_are_weighed_as_in_the_worked_example():
    # Computed: 10 for another thread + difference in length / 5 + difference across flats.
    left_over = [bolt("M8", 30), bolt("M6", 20, "hex 10"), bolt("M10", 25, "hex 16")]
    short = [bolt("M6", 20, "hex 10"), bolt("M8", 25), bolt("M8", 30)]

    costs = [[distance(a, b) for b in short] for a in left_over]

    assert costs == [[15, 1, 0], [0, 14, 15], [17, 13, 14]]
    assert match(costs, limit=LIKELY_WITHIN) == ((0, 2), (1, 0))


@pytest.mark.parametrize(
    ("other", "cost"),
    [
        (bolt(), 0),
        (bolt(length_mm=26), 1),
        (bolt(length_mm=31), 2),
        (bolt(length_mm=None), lookalike.NOT_KNOWN),
        (bolt("M8x1"), lookalike.OTHER_PITCH),
        (bolt("M10"), lookalike.OTHER_THREAD),
        (bolt(""), lookalike.NOT_KNOWN),
        (bolt(drive=""), lookalike.NOT_KNOWN),
        (bolt(drive="hex"), lookalike.OTHER_DRIVE),
        (bolt(drive="T45"), lookalike.OTHER_DRIVE),
        (bolt(property_class="8.8"), lookalike.NOT_KNOWN),
        (bolt(coating="zinc"), lookalike.NOT_KNOWN),
        (clip("fir-tree"), lookalike.UNLIKE_KINDS),
    ],
)
def test_one_difference_counts_as_laid_down(other, cost):
    assert distance(bolt(), other) == cost


def test_known_differences_count_more_than_unknown_ones():
    zinc, black = bolt(head="flange", property_class="8.8"), bolt(head="pan", property_class="10.9")

    assert distance(zinc, black) == lookalike.OTHER_HEAD + lookalike.OTHER_CLASS
    assert distance(bolt(coating="zinc"), bolt(coating="black")) == lookalike.OTHER_COATING


SHAPES = st.builds(
    Shape,
    kind=st.sampled_from(["bolt", "screw", "clip"]),
    thread=st.sampled_from(["", "M8", "m8x1", "M6", "ST4.8"]),
    drive=st.sampled_from(["", "hex 13", "Hex 10", "T30"]),
    head=st.sampled_from(["", "flange", "pan"]),
    length_mm=st.none() | st.integers(5, 60),
    property_class=st.sampled_from(["", "8.8", "10.9"]),
    coating=st.sampled_from(["", "zinc"]),
)


@given(SHAPES, SHAPES)
def test_distance_is_the_same_from_both_sides_and_nothing_from_itself(a, b):
    assert distance(a, b) == distance(b, a) >= 0
    assert distance(a, a) == 0


@given(st.dictionaries(st.sampled_from("abcdefgh"), SHAPES, max_size=8))
def test_no_part_is_in_two_groups_and_the_order_of_the_catalogue_does_not_matter(shapes):
    found = groups(shapes)

    assert all(not one & other for one, other in combinations(found, 2))
    assert groups(dict(reversed(shapes.items()))) == found


@given(SHAPES, SHAPES)
def test_two_look_alikes_never_differ_by_another_diameter(a, b):
    if groups({"a": a, "b": b}):
        assert "another thread" not in difference(a, b)
        assert distance(a, b) < lookalike.UNLIKE_KINDS
