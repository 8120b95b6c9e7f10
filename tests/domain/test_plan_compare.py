"""Two revisions of a procedure side by side."""

from __future__ import annotations

from partsvc.domain.plan import Plan
from partsvc.domain.plan_compare import Difference, compare_plans
from partsvc.domain.records import Plain, decode


def plan(*steps: dict[str, Plain], **more: Plain) -> Plan:
    return decode(Plan, {"key": "k", "title": "a plan", "steps": list(steps), **more})


def step(ident: str, number: int, *positions: dict[str, Plain], **more: Plain) -> dict[str, Plain]:
    return {"id": ident, "number": number, "title": f"step {ident}", "positions": list(positions),
            **more}  # fmt: skip


def position(ident: str, *parts: str, **more: Plain) -> dict[str, Plain]:
    stack: list[Plain] = [{"part": part} for part in parts]
    return {"id": ident, "where": f"at {ident}", "sets": 1, "stack": stack, **more}


def test_nothing_differs_between_a_plan_and_itself() -> None:
    one = plan(step("a", 10, position("P1", "B", "W")))

    assert compare_plans(one, one).same


def test_a_torque_that_became_another_stands_with_both_figures_and_its_source() -> None:
    def tightened(torque_nm: str, source: str) -> Plan:
        stage: Plain = {"id": "s1", "words": "first", "torque_nm": torque_nm, "source": source}
        return plan(step("a", 10, position("P1", "B", stages=[stage])))

    found = compare_plans(tightened("20", "sheet 4"), tightened("24", "sheet 5"))

    assert found.steps[0].differences == (
        Difference(where=("positions", "P1", "stages", "s1", "torque_nm"), before="20", after="24"),
        Difference(
            where=("positions", "P1", "stages", "s1", "source"), before="sheet 4", after="sheet 5"
        ),
    )


def test_steps_that_are_new_or_gone_are_said_to_be() -> None:
    found = compare_plans(plan(step("a", 10), step("b", 20)), plan(step("a", 10), step("c", 30)))

    assert [(one.number, one.what) for one in found.steps] == [(30, "new"), (20, "gone")]


def test_a_position_and_a_part_that_came_or_went_are_said_in_words() -> None:
    before = plan(step("a", 10, position("P1", "B", "W"), position("P2", "C")))
    after = plan(step("a", 10, position("P1", "B"), position("P3", "C")))

    (changed,) = compare_plans(before, after).steps

    told = {one.where: (one.before, one.after) for one in changed.differences}
    assert told == {
        ("positions", "P1", "stack", "W"): ("part W", ""),
        ("positions", "P2"): ("where at P2; sets 1; stack part C", ""),
        ("positions", "P3"): ("", "where at P3; sets 1; stack part C"),
    }


def test_another_order_of_steps_or_of_a_stack_is_a_difference() -> None:
    turned = compare_plans(
        plan(step("a", 10, position("P1", "B", "W"))), plan(step("a", 10, position("P1", "W", "B")))
    )
    moved = compare_plans(plan(step("a", 10), step("b", 20)), plan(step("b", 20), step("a", 10)))

    assert turned.steps[0].differences[0].before == "B, W"
    assert turned.steps[0].differences[0].after == "W, B"
    assert moved.moved


def test_the_heading_is_compared_too() -> None:
    found = compare_plans(plan(title="old", cautions=["hot"]), plan(title="new", cautions=["cold"]))

    assert {one.where for one in found.heading} == {("title",), ("cautions",)}
