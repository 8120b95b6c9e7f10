"""Steps taken out of a plan leave the order that ran through them, in both directions."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from partsvc.domain.plan import Hold, Phase, Plan, Position, StackItem, Step, Temporary
from partsvc.domain.plan_splice import without
from partsvc.domain.precedence import ancestors
from partsvc.domain.progress import before_refit


def step(name: str, *after: str, refit_after: tuple[str, ...] = (), **more: object) -> Step:
    number = ord(name) - 64
    return Step(
        id=name,
        number=number,
        title=name,
        after=after,
        refit_after=refit_after,
        **more,  # type: ignore[arg-type]
    )


def left(*steps: Step, gone: str) -> dict[str, Step]:
    return without({one.id: one for one in steps}, gone)


def test_who_waited_for_the_gone_step_waits_for_what_it_waited_for() -> None:
    found = left(step("A"), step("B", "A"), step("C", "B"), gone="B")

    assert found["C"].after == ("A",)


def test_two_steps_gone_in_a_row_are_bridged() -> None:
    found = left(step("A"), step("B", "A"), step("C", "B"), step("D", "C"), gone="BC")

    assert found["D"].after == ("A",)


def test_what_lay_behind_still_goes_back_first() -> None:
    found = left(step("A"), step("B", "A"), step("C", "B"), step("D", refit_after=("B",)), gone="B")

    assert before_refit(Plan(key="p", title="t", steps=tuple(found.values())))["D"] == ("C",)


def test_what_the_gone_step_waited_for_at_the_refit_is_waited_for_by_the_one_before_it() -> None:
    fill = step("F", phase=Phase.REFIT)
    found = left(step("A"), fill, step("B", "A", refit_after=("F",)), gone="B")

    assert found["A"].refit_after == ("F",)


def test_a_cap_due_off_before_the_gone_step_is_due_by_the_end() -> None:
    cap = Temporary(id="t", words="cap", off_before="B")

    found = left(step("A", temporaries=(cap,)), step("B"), gone="B")

    assert found["A"].temporaries[0].off_before == ""


def test_holds_no_longer_look_at_the_gone_step() -> None:
    hold = Hold(
        id="H", title="close up", beneath=("A", "B"), wait_after="B", wait_minutes=5, close_up=True
    )
    lapsed = Hold(id="L", title="lifted")

    found = left(
        step("A"), step("B", holds=(lapsed,)), step("C", holds=(hold,), lapses=("L", "H")), gone="B"
    )

    (kept,) = found["C"].holds
    assert (kept.beneath, kept.wait_after, kept.wait_minutes) == (("A",), "", None)
    assert found["C"].lapses == ("H",)


@st.composite
def plans(draw: st.DrawFn) -> tuple[list[Step], str]:
    """Plans without rings, and one of their steps."""
    names = "ABCDEFG"
    steps = []
    for at, name in enumerate(names):
        before = draw(st.sets(st.sampled_from(names[:at]))) if at else set()
        spot = Position(id=f"P{name}", where="there", sets=1, stack=(StackItem(part="X"),))
        steps.append(step(name, *sorted(before), positions=(spot,)))
    return steps, draw(st.sampled_from(names))


@given(plans())
def test_whatever_came_before_comes_before_still(given_plan: tuple[list[Step], str]) -> None:
    steps, gone = given_plan
    plan = Plan(key="p", title="t", steps=tuple(steps))
    found = without({one.id: one for one in steps}, [gone])
    after = Plan(key="p", title="t", steps=tuple(found.values()))

    for one in found:
        assert ancestors(one, after.strip_after) == ancestors(one, plan.strip_after) - {gone}
        assert ancestors(one, before_refit(after)) == ancestors(one, before_refit(plan)) - {gone}
