"""The demonstration's procedure stands up to the same judgement as anyone's."""

from __future__ import annotations

import pytest
from scenario_files import PARTS, PLAN, SEED, catalogue

from partsvc.domain import part_faults
from partsvc.domain.catalogue_file import read_catalogue
from partsvc.domain.plan_faults import faults, oddities
from partsvc.domain.procedure_file import read_procedure, write_procedure
from partsvc.domain.text_file import Form


def test_the_procedure_can_be_worked() -> None:
    assert faults(PLAN, PARTS) == ()


def test_its_look_alikes_and_superseded_parts_are_remarked_upon() -> None:
    said = oddities(PLAN, PARTS)

    assert len([one for one in said if "easily taken for" in one]) >= 8
    assert len([one for one in said if "superseded" in one]) == 3
    assert [one for one in said if "N·m" in one] == []


@pytest.mark.parametrize("scenario", ["van_battery", "dashboard"])
def test_nothing_is_wrong_or_odd_in_the_catalogues(scenario: str) -> None:
    parts = tuple(catalogue(scenario).values())

    assert part_faults.faults(parts, {}) == ()
    assert part_faults.oddities(parts) == ()


@pytest.mark.parametrize("form", Form)
def test_the_procedure_goes_out_and_comes_back_the_same(form: Form) -> None:
    assert read_procedure(write_procedure(PLAN, form), form, PARTS) == PLAN


def test_the_catalogue_is_read_as_any_workshop_s() -> None:
    data = (SEED / "van_battery" / "catalogue.csv").read_bytes()

    assert read_catalogue(data, Form.CSV, {}) == tuple(PARTS.values())
