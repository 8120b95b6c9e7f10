"""Which numbers stand for a planned one, and how far they fill a set; checked against networkx."""

from __future__ import annotations

import networkx
from hypothesis import given
from hypothesis import strategies as st

from partsvc.domain.accepted_numbers import accepting, successors
from partsvc.domain.effects_numbers import NumberAccepted, NumberRefused
from partsvc.domain.order_wants import ordered_as, successor
from partsvc.domain.parts import Part, PartContent
from partsvc.domain.plan import AcceptedNumber, Plan, Position, StackItem, Step

NAMES = tuple(f"N{n}" for n in range(8))
#: Each part may be superseded by one that comes later: a catalogue without rings.
CHAINS = st.tuples(
    *(st.sampled_from(("", *NAMES[n + 1 :])) for n in range(len(NAMES)))
).map(lambda following: dict(zip(NAMES, following, strict=True)))  # fmt: skip


def catalogue(following: dict[str, str]) -> dict[str, Part]:
    return {
        number: Part(number=number, name="bolt", superseded_by=after)
        for number, after in following.items()
    }


def plan(*stack: StackItem, sets: int = 4) -> Plan:
    position = Position(id="P1", where="rim", sets=sets, stack=stack)
    step = Step(id="S1", number=10, title="cover", positions=(position,))
    return Plan(key="p", title="t", steps=(step,))


def lines(found: Plan) -> tuple[StackItem, ...]:
    return found.positions["P1"].stack


@given(CHAINS)
def test_whatever_can_be_reached_by_supersession_is_accepted_and_nothing_else(
    following: dict[str, str],
) -> None:
    graph = networkx.DiGraph((old, new) for old, new in following.items() if new)
    graph.add_nodes_from(NAMES)
    parts = catalogue(following)

    for part in NAMES:
        (item,) = lines(accepting(plan(StackItem(part=part)), (), parts))

        assert set(item.numbers) == {part} | networkx.descendants(graph, part)
        path = list(networkx.dfs_preorder_nodes(graph, part))
        assert [number for number, _ in successors(part, parts)] == path[1:]
        assert successor(part, parts) == ordered_as(item, parts) == path[-1]


def test_supersession_that_runs_in_a_ring_ends_before_it_begins_again() -> None:
    parts = catalogue({"A": "B", "B": "C", "C": "A"})

    assert [number for number, _ in successors("A", parts)] == ["B", "C"]


@given(st.integers(0, 6), st.integers(0, 6), st.integers(0, 6), st.integers(1, 5), st.booleans())
def test_a_number_that_two_lines_take_fills_as_much_as_can_be_filled(
    one: int, other: int, both: int, sets: int, planned: bool
) -> None:
    shared = AcceptedNumber(number="X", source="bulletin")
    first = StackItem(part="A", accepts=(shared,))
    second = StackItem(part="X") if planned else StackItem(part="B", accepts=(shared,))
    position = Position(id="P1", where="rim", sets=sets, stack=(first, second))
    pieces = {"A": one, "X": both} | ({} if planned else {"B": other})

    full = position.filled(pieces)

    graph = networkx.DiGraph()
    for number, quantity in pieces.items():
        graph.add_edge("store", number, capacity=quantity)
        for item in position.stack:
            if number in item.numbers:
                graph.add_edge(number, f"line {item.part}", capacity=quantity)
    for item in position.stack:
        graph.add_edge(f"line {item.part}", "full", capacity=sets)
    most, _ = networkx.maximum_flow(graph, "store", "full")
    assert sum(min(sets, filled) for filled in full.values()) == most
    assert sum(full.values()) == sum(pieces.values())


SEMS = {
    "B": Part(number="B", name="bolt", superseded_by="A"),
    "W": Part(number="W", name="washer"),
    "A": Part(
        number="A",
        name="bolt with washers",
        captive=True,
        contents=(PartContent(part="B"), PartContent(part="W", quantity=2)),
    ),
}


@given(st.integers(0, 5), st.integers(0, 5), st.integers(0, 10))
def test_an_assembled_piece_fills_bolt_and_washers_at_once(
    assembled: int, bolts: int, washers: int
) -> None:
    found = accepting(plan(StackItem(part="B"), StackItem(part="W", per_set=2)), (), SEMS)

    full = found.positions["P1"].filled({"A": assembled, "B": bolts, "W": washers})

    assert full == {"B": bolts + assembled, "W": washers + 2 * assembled}


def test_a_planned_washer_under_a_planned_assembled_bolt_is_wanted() -> None:
    found = accepting(plan(StackItem(part="A"), StackItem(part="W")), (), SEMS)

    assert found.positions["P1"].filled({"A": 4}) == {"A": 4, "W": 0}


def test_one_twin_clip_stands_for_two() -> None:
    parts = {
        "C": Part(number="C", name="clip", superseded_by="TWIN"),
        "TWIN": Part(
            number="TWIN", name="clip", captive=True, contents=(PartContent(part="C", quantity=2),)
        ),
    }
    found = accepting(plan(StackItem(part="C", per_set=2)), (), parts)

    assert found.positions["P1"].filled({"TWIN": 3, "C": 1}) == {"C": 7}


def test_the_last_word_on_a_number_counts() -> None:
    said = {"position": "P1", "part": "N0", "number": "N1"}
    yes, no = NumberAccepted(**said, source="letter"), NumberRefused(**said, source="does not fit")
    parts = catalogue({"N0": "N1", "N1": ""})
    item = StackItem(part="N0")

    assert lines(accepting(plan(item), (yes, no), parts))[0].numbers == ("N0",)
    (again,) = lines(accepting(plan(item), (no, yes), parts))
    assert again.accepts == (AcceptedNumber(number="N1", source="letter"),)


def test_what_was_accepted_for_another_part_of_the_set_is_not_taken_for_this() -> None:
    said = NumberAccepted(position="P1", part="N2", number="N1", source="letter")
    parts = catalogue({"N0": "", "N1": "", "N2": ""})

    assert lines(accepting(plan(StackItem(part="N0")), (said,), parts))[0].accepts == ()
