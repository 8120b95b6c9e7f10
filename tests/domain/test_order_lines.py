"""Order lines fold to one state, whatever was noted in whatever order; nothing is lost unmarked."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsvc.domain.order_lines import (
    NOTHING,
    LineEvent,
    LineState,
    Noted,
    fold,
    plain,
    state_words,
    why_not,
)

AMOUNTS = st.decimals(min_value=0, max_value=50, places=1)


def noted(event: Noted, amount: str | Decimal = "0", **more: object) -> LineEvent:
    return LineEvent(n=1, event=event, by="desk", at="t", amount=Decimal(amount), **more)  # type: ignore[arg-type]


ANY_EVENT = st.builds(
    LineEvent,
    n=st.just(1),
    event=st.sampled_from(Noted),
    by=st.just("desk"),
    at=st.just("t"),
    amount=AMOUNTS,
    promised=st.sampled_from(["", "2030-01-31", "2031-05-01"]),
    came=st.sampled_from(["", "B"]),
    accepted=st.booleans(),
    words=st.sampled_from(["", "no longer made"]),
)
HISTORIES = st.lists(ANY_EVENT, max_size=12).map(lambda rest: [noted(Noted.ASKED, "4"), *rest])


@given(HISTORIES)
def test_more_than_was_ordered_never_comes_without_a_mark(history: list[LineEvent]) -> None:
    now = fold(history)

    if now.delivered > now.asked:
        assert any("more came" in mark for mark in now.marks)
    else:
        assert now.over == NOTHING


@given(HISTORIES)
def test_what_came_by_plain_counting_is_what_the_line_says(history: list[LineEvent]) -> None:
    came = NOTHING
    for event in history:
        accepted = event.event is Noted.WRONG_PART and event.accepted
        if event.event is Noted.DELIVERED or accepted:
            came += event.amount
        elif event.event is Noted.TAKEN_BACK:
            came = max(NOTHING, came - event.amount)

    assert fold(history).delivered == came


@given(HISTORIES)
def test_nothing_is_outstanding_on_a_closed_line_and_never_less_than_nothing(
    history: list[LineEvent],
) -> None:
    now = fold(history)

    assert now.outstanding >= NOTHING
    if now.state in (LineState.DELIVERED, LineState.CANCELLED, LineState.REFUSED):
        assert now.outstanding == NOTHING
    if now.state in (LineState.PART_DELIVERED, LineState.BACK_ORDERED) and now.asked:
        assert now.outstanding > NOTHING
    assert state_words(now)


@given(HISTORIES)
def test_every_wrong_part_leaves_its_mark(history: list[LineEvent]) -> None:
    wrong = [event for event in history if event.event is Noted.WRONG_PART]

    assert sum("wrong part came" in mark for mark in fold(history).marks) == len(wrong)


@given(HISTORIES, st.sampled_from(Noted))
def test_what_has_happened_can_always_be_noted(history: list[LineEvent], event: Noted) -> None:
    said = why_not(fold(history), event)

    if event in (Noted.DELIVERED, Noted.WRONG_PART, Noted.TAKEN_BACK):
        assert said == ""


@pytest.mark.parametrize(
    ("history", "words"),
    [
        ([], "asked for, not ordered yet"),
        ([noted(Noted.ORDERED)], "ordered"),
        ([noted(Noted.ORDERED, promised="2030-01-31")], "ordered, promised for 2030-01-31"),
        ([noted(Noted.DELIVERED, "3")], "part-delivered (3 of 4)"),
        ([noted(Noted.BACK_ORDERED)], "back-ordered, no date"),
        (
            [noted(Noted.ORDERED, promised="2030-01-31"), noted(Noted.BACK_ORDERED)],
            "back-ordered, no date",
        ),
        (
            [noted(Noted.DELIVERED, "1"), noted(Noted.BACK_ORDERED, promised="2031-05-01")],
            "back-ordered (1 of 4), promised for 2031-05-01",
        ),
        ([noted(Noted.REFUSED, words="no longer made")], "refused by the supplier: no longer made"),
        ([noted(Noted.DELIVERED, "4")], "delivered"),
        ([noted(Noted.DELIVERED, "4"), noted(Noted.TAKEN_BACK, "1")], "part-delivered (3 of 4)"),
        ([noted(Noted.AMENDED, "3"), noted(Noted.DELIVERED, "3")], "delivered"),
        ([noted(Noted.CANCELLED, words="not needed")], "cancelled: not needed"),
        ([noted(Noted.REFUSED, words="none"), noted(Noted.ORDERED)], "ordered"),
    ],
)
def test_a_line_says_where_it_stands(history: list[LineEvent], words: str) -> None:
    assert state_words(fold([noted(Noted.ASKED, "4"), *history])) == words


@pytest.mark.parametrize(
    ("amount", "words"),
    [("4", "4"), ("9.50", "9.5"), ("0.1", "0.1"), ("100", "100"), ("1E+2", "100"), ("0", "0")],
)
def test_amounts_are_written_as_people_write_them(amount: str, words: str) -> None:
    assert plain(Decimal(amount)) == words
