"""A procedure is written in a spreadsheet or as JSON, and both are the same procedure."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from made_plans import ACCEPTED_ONLY, NUMBERS, plans

from partsvc.domain.parts import Rule
from partsvc.domain.plan import (
    Application,
    Hazard,
    Hold,
    Phase,
    Plan,
    Position,
    Reading,
    Record,
    StackItem,
    Stage,
    Step,
    Temporary,
)
from partsvc.domain.procedure_columns import COLUMNS, KINDS, used_by
from partsvc.domain.procedure_file import read_procedure, write_procedure
from partsvc.domain.records import Faulty
from partsvc.domain.text_file import Form

KNOWN = frozenset({"B8", "W8", "T1"})
HEADER = "what,id,number,words,when,after,quantity,part,rule,torque_nm,unit,limit"


def table(*lines: str) -> bytes:
    return "\n".join((HEADER, row("procedure,cover,,Cover off"), *lines)).encode()


def told(*lines: str, data: bytes = b"", form: Form = Form.CSV) -> list[str]:
    with pytest.raises(Faulty) as caught:
        read_procedure(data or table(*lines), form, KNOWN)
    return [str(fault) for fault in caught.value.faults]


def row(line: str) -> str:
    """The line, filled up with empty cells."""
    return line + "," * (HEADER.count(",") - line.count(","))


@given(plans())
@settings(max_examples=60, deadline=None)
@pytest.mark.parametrize("form", Form)
def test_what_goes_out_comes_back_the_same(form: Form, plan: Plan) -> None:
    known = frozenset((*NUMBERS, *ACCEPTED_ONLY))

    assert read_procedure(write_procedure(plan, form), form, known) == plan


def test_a_procedure_is_written_row_by_row_in_a_spreadsheet() -> None:
    data = """\
what;id;number;words;when;after;hazards;quantity;part;rule;criterion;record;critical;torque_nm;source;unit;limit;witness;off_before;amount
procedure;cover;;Cover off and on;;;;;;;;;;;;;;;;
caution;;;The maker's instructions govern.;;;;;;;;;;;;;;;;
step;lift;10;Van on the lift;Strip;;Lifted;;;;;;;;;;;;;
hold;h-lift;;Arms locked;;;;;;;;;;;;;;yes;;
hold-reading;;;Height;;;;;;;;;;;;mm;200,5;;;
step;cover;20;Cover off;;lift;;;;;;;;;;;;;;
caution;;;Sharp edges.;;;;;;;;;;;;;;;;
reading;;;Gap;;;;;;;;;;;;mm;;;;
application;;;wax;;;;;;;;;;;;ml;;;;2,5
temporary;t-cap;;hose cap;;;;2;T1;;;;;;;;;;cover;
position;P1;;rim;;;;4;B8;replace;;values;YES;;;;;;;
stack;;;;;;;;W8;inspect;flat;;;;;;;;;
stage;torque;;tighten;;;;;;;;;;9,5;invented;;;;;
"""

    plan = read_procedure(data.encode(), Form.CSV, KNOWN)

    assert plan == Plan(
        key="cover",
        title="Cover off and on",
        cautions=("The maker's instructions govern.",),
        steps=(
            Step(
                id="lift",
                number=10,
                title="Van on the lift",
                phase=Phase.STRIP,
                hazards=(Hazard.LIFTED,),
                holds=(
                    Hold(
                        id="h-lift",
                        title="Arms locked",
                        readings=(Reading(name="Height", unit="mm", limit="200.5"),),
                        witness=True,
                    ),
                ),
            ),
            Step(
                id="cover",
                number=20,
                title="Cover off",
                after=("lift",),
                cautions=("Sharp edges.",),
                readings=(Reading(name="Gap", unit="mm"),),
                applications=(Application(what="wax", amount="2.5", unit="ml"),),
                temporaries=(
                    Temporary(
                        id="t-cap", words="hose cap", quantity=2, part="T1", off_before="cover"
                    ),
                ),
                positions=(
                    Position(
                        id="P1",
                        where="rim",
                        sets=4,
                        stack=(
                            StackItem(part="B8", rule=Rule.REPLACE),
                            StackItem(part="W8", rule=Rule.INSPECT, criterion="flat"),
                        ),
                        record=Record.VALUES,
                        critical=True,
                        stages=(
                            Stage(id="torque", words="tighten", torque_nm="9.5", source="invented"),
                        ),
                    ),
                ),
            ),
        ),
    )


def test_every_column_is_used_by_some_row_and_no_row_uses_another() -> None:
    assert {column for kind in KINDS for column in used_by(kind)} == set(COLUMNS)


# Faults, by row and column


def test_every_fault_of_form_is_named_by_row_and_column() -> None:
    assert told(
        row("step,s10,ten,Cover off,always"),
        row("position,P 1,,rim,,,0,B8,reuse"),
        row("stage,torque,,,,,,,,much"),
        row("stack,,,,,,,,replace"),
        row("hold,,,Seen,,,,B8"),
        row("bolt,x"),
        row(",,,words"),
    ) == [
        "row 3, column number: “ten” is not a whole number",
        "row 3, column when: must be one of: both, strip, refit",
        "row 4, column id: must be an id (letters, digits, . _ : -)",
        "row 4, column quantity: must be from 1 to 9999",
        "row 5, column torque_nm: “much” is not a number; write it like 24 or 24.5",
        "row 5, column words: is missing",
        "row 6, column part: is missing",
        "row 7, column part: is not used in a row `hold`; used there: id, words, when, instrument, "
        "witness, high_voltage, qualified, valid_hours, until_shift_end, per_person, "
        "wait_minutes, wait_after, equipment, close_up, beneath",
        "row 7, column id: is missing",
        "row 8, column what: “bolt” is not one of: " + ", ".join(kind.what for kind in KINDS),
        "row 9, column what: is missing",
    ]


def test_a_row_stands_under_what_it_belongs_to() -> None:
    assert told(row("position,P1,,rim,,,4,B8"), row("step,s10,10,Off"), row("stage,t,,tight")) == [
        "row 3, column what: no row `step` stands above, to which it belongs",
        "row 5, column what: no row `position` stands above, to which it belongs",
    ]


def test_a_stage_does_not_belong_to_a_position_of_the_step_before() -> None:
    lines = (
        row("step,s10,10,Off"),
        row("position,P1,,rim,,,4,B8"),
        row("step,s20,20,Off"),
        row("stage,t,,tight"),
    )

    assert told(*lines) == [
        "row 6, column what: no row `position` stands above, to which it belongs"
    ]


def test_a_file_holds_one_procedure_and_it_comes_first() -> None:
    twice = row("procedure,other,,Other")

    assert told(row("step,s10,10,Off"), twice) == [
        "row 4, column what: stands twice; one file holds one procedure, and it comes first"
    ]
    assert told(data=f"{HEADER}\n{row('step,s10,10,Off')}\n".encode()) == [
        "row 2, column what: the first row is the row `procedure`"
    ]
    assert told(data=f"{HEADER}\n{row('procedure')}\n".encode()) == [
        "row 2, column id: is missing",
        "row 2, column words: is missing",
    ]


def test_faults_of_meaning_are_named_by_row_and_column_too() -> None:
    assert told(
        row("step,s10,10,Cover off,,s30"),
        row("position,P1,,rim,,,4,B9"),
        row("step,s20,20,Shield off,,s10"),
        row("position,P1,,rim,,,4"),
        row("stage,t,,tight,,,,,,0"),
        row("step,s30,20,Guard off,,s20 s99"),
    ) == [
        "row 3, column after: when stripping, the steps wait for one another: step 10 waits for "
        "step 20, step 20 waits for step 20, step 20 waits for step 10",
        "row 4, column part: the catalogue has no part B9; add it to the catalogue first",
        "row 6, column id: the id P1 stands twice; it is taken by step 10, position P1",
        "row 6, column part: names no part; say what belongs there",
        "row 7, column torque_nm: a torque is more than 0; compare the maker's document",
        "row 8, column number: two steps have the number 20; give each its own",
        "row 8, column after: there is no step with the id s99",
    ]


def test_a_procedure_without_steps_is_named_by_its_own_row() -> None:
    assert told() == ["row 2: has no steps; write at least one"]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ("{}", ["key: is missing", "title: is missing"]),
        ('{"format": "x", "key": "k", "title": "t"}', ["format: must be partsvc-procedure-1"]),
        ('{"key": "k", "title": "t"}', ["the procedure: has no steps; write at least one"]),
        (
            '{"key": "k", "title": "t", "steps": [{"id": "a", "number": 10, "title": "x", '
            '"positions": [{"id": "P1", "where": "rim", "sets": 4, "stack": []}]}]}',
            ["step 10, position P1: names no part; say what belongs there"],
        ),
        (
            '{"key": "k", "title": "t", "steps": [{"id": "a", "number": 10, "title": "x", '
            '"positions": [{"id": "P1", "where": "rim", "sets": 4, "stack": [{"prt": "B8"}]}]}]}',
            [
                "steps[1].positions[1].stack[1].prt: is not known here; known: part, per_set, "
                "rule, max_uses, criterion, accepts",
                "steps[1].positions[1].stack[1].part: is missing",
            ],
        ),
    ],
)
def test_faults_of_a_document_are_named_by_their_place(data: str, says: list[str]) -> None:
    assert told(data=data.encode(), form=Form.JSON) == says
