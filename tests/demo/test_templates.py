"""The files a workshop starts from are taken as they are, and their columns are all explained."""

from __future__ import annotations

import re

import pytest
from scenario_files import SEED

from partsvc.domain import catalogue_file, part_faults, procedure_columns
from partsvc.domain.catalogue_file import read_catalogue
from partsvc.domain.parts import PartKind, Rule, SpentAt
from partsvc.domain.plan import Hazard, Phase, Record
from partsvc.domain.plan_faults import oddities
from partsvc.domain.procedure_file import read_procedure
from partsvc.domain.tabular import MOST_IN_A_CELL, MOST_ROWS
from partsvc.domain.text_file import MOST_BYTES, Form

TEMPLATES = SEED / "templates"
README = (TEMPLATES / "README.md").read_text("utf-8")
PARTS = {
    part.number: part
    for part in read_catalogue((TEMPLATES / "catalogue.csv").read_bytes(), Form.CSV, {})
}


@pytest.mark.parametrize("form", Form)
def test_a_template_is_taken_without_a_fault_or_a_remark(form: Form) -> None:
    plan = read_procedure((TEMPLATES / f"procedure.{form}").read_bytes(), form, PARTS)

    assert oddities(plan, PARTS) == ()
    assert part_faults.oddities(tuple(PARTS.values())) == ()


def test_table_and_document_are_the_same_procedure() -> None:
    table, document = (
        read_procedure((TEMPLATES / f"procedure.{form}").read_bytes(), form, PARTS) for form in Form
    )

    assert table == document


def test_the_example_shows_every_kind_of_row() -> None:
    first_cells = {
        line.split(",")[0] for line in (TEMPLATES / "procedure.csv").read_text("utf-8").split("\n")
    }

    assert {kind.what for kind in procedure_columns.KINDS} <= first_cells


def explained(heading: str) -> dict[str, str]:
    """The rows of the tables under a heading: first cell to the others."""
    chapter = README.split(f"## {heading}\n", 1)[1].split("\n## ", 1)[0]
    return dict(re.findall(r"^\| `([a-z_-]+)` \| (.*) \|$", chapter, re.MULTILINE))


def test_every_column_of_a_catalogue_is_explained() -> None:
    assert list(explained("Columns of a catalogue")) == list(catalogue_file.COLUMNS)


def test_every_row_and_column_of_a_procedure_is_explained() -> None:
    kinds = [kind.what for kind in procedure_columns.KINDS]
    told = explained("A procedure as a table")

    assert [name for name in told if name in kinds] == kinds
    assert set(told) - set(kinds) - {"what"} == set(procedure_columns.COLUMNS)


def test_it_is_told_rightly_which_rows_use_a_column() -> None:
    told = explained("A procedure as a table")
    kinds = procedure_columns.KINDS
    used = {
        column: {kind.what for kind in kinds if column in procedure_columns.used_by(kind)}
        for column in procedure_columns.COLUMNS
    }
    said = {column: set(told[column].split(" | ")[0].split(", ")) for column in used}

    assert said.pop("words") == {"all but stack and accepts"}
    assert used.pop("words") == {kind.what for kind in kinds} - {"stack", "accepts"}
    assert said == used


@pytest.mark.parametrize("choice", [*PartKind, *SpentAt, *Rule, *Record, *Hazard, *Phase])
def test_every_choice_is_named(choice: str) -> None:
    assert f"`{choice}`" in README


def test_the_maxima_are_those_that_hold() -> None:
    assert f"At most {MOST_BYTES:,} bytes, {MOST_ROWS:,} rows, {MOST_IN_A_CELL:,} characters" in (
        README
    )
