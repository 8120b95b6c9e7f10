"""Whatever file is sent, it is read or refused in words; nothing else ever happens."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partsvc.domain.catalogue_file import read_catalogue, write_catalogue
from partsvc.domain.parts import Part
from partsvc.domain.plan import Plan, Position, StackItem, Step
from partsvc.domain.procedure_file import read_procedure, write_procedure
from partsvc.domain.records import Faulty
from partsvc.domain.text_file import Form

PARTS = {"A": Part(number="A", name="bolt", thread="M8", mass_g="16.1")}
POSITION = Position(id="P1", where="rim", sets=4, stack=(StackItem(part="A"),))
PLAN = Plan(
    key="cover",
    title="Cover off",
    steps=(Step(id="s1", number=10, title="Off", positions=(POSITION,)),),
)


def catalogue(data: bytes, form: Form) -> object:
    return read_catalogue(data, form, {})


def procedure(data: bytes, form: Form) -> object:
    return read_procedure(data, form, PARTS)


READERS: tuple[Callable[[bytes, Form], object], ...] = (catalogue, procedure)
WRITTEN = {
    form: (write_catalogue(PARTS.values(), form), write_procedure(PLAN, form)) for form in Form
}
PIECES = st.one_of(
    st.binary(max_size=6),
    st.sampled_from([b'"', b",", b";", b"\n", b"\r", b"[", b"{", b"null", b"1e999", b"'=", b"-1"]),
)


def read_or_refused(reader: Callable[[bytes, Form], object], data: bytes, form: Form) -> None:
    try:
        assert reader(data, form)
    except Faulty as faulty:
        said = [fault.says for fault in faulty.faults]
    else:
        said = ["read"]
    assert all(said)


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("form", Form)
@given(data=st.binary(max_size=200))
@settings(deadline=None)
def test_any_bytes(reader: Callable[[bytes, Form], object], form: Form, data: bytes) -> None:
    read_or_refused(reader, data, form)


@pytest.mark.parametrize("which", [0, 1])
@pytest.mark.parametrize("form", Form)
@given(at=st.floats(0, 1), cut=st.integers(0, 12), piece=PIECES)
@settings(deadline=None, max_examples=300)
def test_a_good_file_spoilt_anywhere(
    form: Form, which: int, at: float, cut: int, piece: bytes
) -> None:
    good = WRITTEN[form][which]
    start = int(at * len(good))

    read_or_refused(READERS[which], good[:start] + piece + good[start + cut :], form)


@pytest.mark.parametrize("reader", READERS)
def test_a_document_of_nothing_but_brackets(reader: Callable[[bytes, Form], object]) -> None:
    with pytest.raises(Faulty):
        reader(b"[" * 100_000, Form.JSON)
