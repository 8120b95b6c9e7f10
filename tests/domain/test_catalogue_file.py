"""A catalogue comes from a spreadsheet or as JSON, and goes out so that it comes back the same."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest
from hypothesis import given
from made_plans import parts

from partsvc.domain.catalogue_file import COLUMNS, read_catalogue, write_catalogue
from partsvc.domain.parts import Part, PartKind
from partsvc.domain.records import Faulty
from partsvc.domain.text_file import Form, form_of

OLD = {"OLD-1": Part(number="OLD-1", name="Clip of old")}


def told(data: str | bytes, form: Form = Form.CSV) -> list[str]:
    with pytest.raises(Faulty) as caught:
        read_catalogue(data.encode() if isinstance(data, str) else data, form, OLD)
    return [str(fault) for fault in caught.value.faults]


@given(parts())
@pytest.mark.parametrize("form", Form)
def test_what_goes_out_comes_back_the_same(form: Form, catalogue: tuple[Part, ...]) -> None:
    assert read_catalogue(write_catalogue(catalogue, form), form, OLD) == catalogue


def test_the_columns_are_the_fields_of_a_part() -> None:
    assert tuple(COLUMNS) == tuple(field.name for field in fields(Part))


def test_a_small_table_is_enough() -> None:
    data = b"name;number;kind;mass_g;length_mm\nBolt M8x25; B8 ;Bolt;16,1;25\n"

    assert read_catalogue(data, Form.CSV, {}) == (
        Part(number="B8", name="Bolt M8x25", kind=PartKind.BOLT, mass_g="16.1", length_mm=25),
    )


def test_json_may_be_a_plain_list_or_say_its_format() -> None:
    part = '{"number": "B8", "name": "Bolt"}'
    expected = (Part(number="B8", name="Bolt"),)

    assert read_catalogue(f"[{part}]".encode(), Form.JSON, {}) == expected
    whole = f'{{"format": "partsvc-catalogue-1", "parts": [{part}]}}'
    assert read_catalogue(whole.encode(), Form.JSON, {}) == expected


def test_every_fault_of_a_table_is_named_by_row_and_column() -> None:
    table = (
        "number,name,kind,length_mm,mass_g,pack_size\n"
        "B1,,bolt,25,16.1,1\n"
        "B2,Bolt,bult,25.5,\"16,1\",0\n"
        "B3,Bolt,bolt,,\"1,250\",1\n"
        ",Bolt,bolt,,,\n"
    )  # fmt: skip

    assert told(table) == [
        "row 2, column name: is missing",
        "row 3, column length_mm: “25.5” is not a whole number",
        "row 3, column mass_g: “16,1” is not a number; write it like 24 or 24.5",
        "row 3, column kind: must be one of: " + ", ".join(PartKind),
        "row 3, column pack_size: must be from 1 to 10000",
        "row 4, column mass_g: “1,250” may be read in two ways; write it with a point, or with "
        "fewer decimals",
        "row 5, column number: is missing",
    ]


def test_faults_of_meaning_are_named_by_row_and_column_too() -> None:
    table = "number,name,superseded_by\nB1,Bolt,B9\n\nB1,Bolt,\nB2,Bolt,B2\n"

    assert told(table) == [
        "row 2, column superseded_by: neither the file nor the catalogue has a part B9",
        "row 4, column number: the number stands twice; each part has one line",
        "row 5, column superseded_by: supersession runs in a ring: B2 to B2",
    ]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ("[]", "the file: has no parts"),
        ("{}", "parts: is missing"),
        ('"parts"', "must be an object with named members"),
        ('{"format": "list-7", "parts": []}', "format: must be partsvc-catalogue-1"),
        ('[{"number": "B8"}]', "parts[1].name: is missing"),
        ('[{"number": "B8", "name": null}]', "[0].name: null is not used; leave the member out"),
        (
            '[{"number": "B8", "name": "Bolt", "length_mm": 2.5}]',
            "[0].length_mm: only whole numbers are taken; send a decimal reading as text with its "
            'unit, as in "24.5 N·m"',
        ),
        (
            '[{"number": "B8"',
            "the file: this is not JSON (line 1, column 17: Expecting ',' delimiter)",
        ),
        ("", "the file: is empty"),
        (b"\xff\xfe[\0", "the file: is UTF-16; save it as UTF-8"),
    ],
)  # fmt: skip
def test_json_that_cannot_be_read_says_why(data: str | bytes, says: str) -> None:
    assert told(data, Form.JSON) == [says]


def test_the_form_is_told_by_the_name_or_else_by_the_content() -> None:
    assert form_of("parts.CSV", b"[]") is Form.CSV
    assert form_of("parts.json", b"number") is Form.JSON
    assert form_of("parts", b"\xef\xbb\xbf  [") is Form.JSON
    assert form_of("", b"number,name") is Form.CSV


def test_a_part_unchanged_by_its_defaults_leaves_its_cells_empty() -> None:
    bolt = Part(number="B8", name="Bolt")
    lines = write_catalogue([bolt, replace(bolt, number="B9", pack_size=4)], Form.CSV).decode()

    assert lines.splitlines()[1:] == ["B8,Bolt" + "," * 15, "B9,Bolt" + "," * 10 + "4" + "," * 5]
