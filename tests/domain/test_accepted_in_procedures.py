"""A procedure may name further numbers with their source; what follows of itself is left out."""

from __future__ import annotations

import pytest

from partsvc.domain.job_as_procedure import as_procedure
from partsvc.domain.parts import Part, PartContent
from partsvc.domain.plan import AcceptedNumber, Plan, Position, StackItem, Step
from partsvc.domain.plan_faults import faults, oddities
from partsvc.domain.procedure_file import read_procedure
from partsvc.domain.records import Faulty
from partsvc.domain.text_file import Form

ALSO = AcceptedNumber(number="B9", source="parts letter 12")


def plan(*accepts: AcceptedNumber, part: str = "B8") -> Plan:
    stack = (StackItem(part=part, accepts=accepts), StackItem(part="W8"))
    position = Position(id="P1", where="rim", sets=4, stack=stack)
    step = Step(id="S1", number=10, title="cover", positions=(position,))
    return Plan(key="p", title="t", steps=(step,))


@pytest.mark.parametrize(
    ("accepts", "says"),
    [
        ((ALSO,), []),
        (
            (AcceptedNumber(number="B7", source="letter"),),
            ["the catalogue has no part B7; add it to the catalogue first"],
        ),
        (
            (AcceptedNumber(number="W8", source="letter"),),
            ["W8 is planned in this set already"],
        ),
        ((ALSO, ALSO), ["B9 stands twice; name it once, with its source"]),
        (
            (AcceptedNumber(number="B9", source="letter", covers=2),),
            ["what it stands for follows from the catalogue; leave it out here"],
        ),
    ],
)
def test_a_number_is_named_once_with_its_source(
    accepts: tuple[AcceptedNumber, ...], says: list[str]
) -> None:
    assert [one.says for one in faults(plan(*accepts), {"B8", "B9", "W8"})] == says


def test_a_kit_is_not_what_is_fitted() -> None:
    parts = {
        "K1": Part(number="K1", name="kit", contents=(PartContent(part="W8"),)),
        "W8": Part(number="W8", name="washer"),
    }

    assert (
        "step 10, position P1, part K1: K1 is a kit; name what it holds, which is what is fitted"
    ) in oddities(plan(part="K1"), parts)


def test_in_a_table_a_number_stands_below_the_part_it_may_stand_for() -> None:
    table = (
        "what,id,number,words,quantity,part,source\n"
        "procedure,p,,t,,,\n"
        "step,S1,10,cover,,,\n"
        "position,P1,,rim,4,B8,\n"
        "accepts,,,,,B9,parts letter 12\n"
        "stack,,,,,W8,\n"
    )

    assert read_procedure(table.encode(), Form.CSV, {"B8", "B9", "W8"}) == plan(ALSO)


def test_in_a_table_a_number_without_a_part_above_it_belongs_to_nothing() -> None:
    table = (
        "what,id,number,words,quantity,part,source\n"
        "procedure,p,,t,,,\n"
        "step,S1,10,cover,,,\n"
        "accepts,,,,,B9,parts letter 12\n"
    )

    with pytest.raises(Faulty, match="no row `stack` stands above"):
        read_procedure(table.encode(), Form.CSV, {"B9"})


def test_a_job_saved_as_a_procedure_keeps_what_the_procedure_accepted_and_no_more() -> None:
    here = AcceptedNumber(number="B10", source="for this van")

    saved = as_procedure(plan(ALSO, here), planned=plan(ALSO), ranks={}, key="q", title="t")

    assert saved.positions["P1"].stack == plan(ALSO).positions["P1"].stack
