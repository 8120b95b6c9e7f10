"""Both sides of an account are read by people: every door and every place has its words."""

from __future__ import annotations

import pytest

from partsvc.domain.places import Gate, PlaceKind
from partsvc.work.papers.account_words import (
    CAME_IN,
    IS_NOW,
    WENT_OUT,
    came_and_went,
    where_now,
)

STORES = {PlaceKind.STOCK.value, PlaceKind.TOOL_STORE.value}


@pytest.mark.parametrize("words", [CAME_IN, WENT_OUT], ids=["came in", "went out"])
def test_every_door_is_said_in_words(words: dict[str, str]) -> None:
    assert set(words) == {gate.value for gate in Gate} | STORES
    assert [said for said in words.values() if "-" in said] == []


def test_every_place_is_said_in_words() -> None:
    assert set(IS_NOW) == {kind.value for kind in PlaceKind} - {PlaceKind.OUTSIDE.value}


def test_a_stretch_bolt_s_account_reads_as_a_sum() -> None:
    assert came_and_went({"opening": 4, "stock": 4}, {}, 8) == (
        "4 on the vehicle + 4 from the store = 8"
    )
    assert where_now({"scrap": 4, "secured": 4}, 8) == "4 discarded + 4 secured = 8"


def test_what_was_put_on_and_taken_off_leaves_nothing() -> None:
    assert came_and_went({"untracked-temporary": 4}, {"untracked-temporary": 4}, 0) == (
        "4 put on − 4 taken off = 0"
    )
    assert where_now({}, 0) == "nothing left of it"
