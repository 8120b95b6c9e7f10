"""The demonstration's procedure stands up to the same judgement as anyone's."""

from __future__ import annotations

from scenario_files import PARTS, PLAN

from partsvc.domain.plan_faults import faults, oddities


def test_the_procedure_can_be_worked() -> None:
    assert faults(PLAN, PARTS) == ()


def test_its_look_alikes_and_superseded_parts_are_remarked_upon() -> None:
    said = oddities(PLAN, PARTS)

    assert len([one for one in said if "easily taken for" in one]) >= 8
    assert len([one for one in said if "superseded" in one]) == 3
    assert [one for one in said if "N·m" in one] == []
