"""An odd vehicle identification number is remarked upon and kept."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from published_values import rows

from partsvc.domain import vin

SOUND = "11111111111111111"


@pytest.mark.parametrize("row", rows("vin_check"), ids=lambda row: row["vin"])
def test_the_check_digit_is_the_published_one(row):
    # Sources: tests/published/README.md.
    assert vin.check_digit(row["vin"]) == row["check_published"]


@pytest.mark.parametrize("row", rows("vin_check"), ids=lambda row: row["vin"])
def test_a_published_number_raises_no_remark(row):
    number = row["vin"].replace("_", row["check_published"])

    assert vin.findings(number) == ()
    assert vin.findings(number.lower()) == ()


def test_a_failing_check_digit_is_only_remarked_upon():
    (remark,) = vin.findings("11111111211111111")

    assert "usual in many markets" in remark
    assert "kept as given" in remark


@pytest.mark.parametrize(
    ("number", "words"),
    [
        ("1111111111111111", "17 characters; this one has 16"),
        ("", "17 characters; this one has 0"),
        ("1111111111111111O", "here stands O"),
        ("i111111111111111q", "here stands I, Q"),
        ("1111111-111111111", "neither a letter from A to Z nor a digit"),
        ("1111111111111111ß", "neither a letter from A to Z nor a digit"),
        ("1111111٣111111111", "neither a letter from A to Z nor a digit"),
    ],
)
def test_an_odd_number_is_told_in_words(number, words):
    (remark,) = vin.findings(number)

    assert words in remark


def test_everything_odd_is_told_at_once():
    assert len(vin.findings("I-1")) == 3


@given(st.text(max_size=20))
def test_no_text_makes_it_fail(text):
    assert all(remark.endswith(".") for remark in vin.findings(text))


def changed(number, at, digit):
    return number[:at] + digit + number[at + 1 :]


def test_every_single_wrong_digit_is_remarked_upon():
    # The weights 1 to 10 are prime to 11, so this holds at every place but the digit's own; there
    # it holds by itself.
    unnoticed = [
        (at, digit)
        for at in range(17)
        for digit in "023456789"
        if not vin.findings(changed(SOUND, at, digit))
    ]

    assert unnoticed == []


@pytest.mark.parametrize("number", ["1", "1" * 18, "IIIIIIIIIIIIIIIII", "1111111a111111111"])
def test_a_check_digit_is_not_made_up_for_what_is_no_number(number):
    with pytest.raises(ValueError, match="check digit"):
        vin.check_digit(number)
