"""A record has one text and one hash, whoever writes it and whenever."""

import hashlib
import json
import unicodedata

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from partsvc.domain.canonical import (
    CHAIN_START,
    DEEPEST,
    LARGEST,
    NotCanonical,
    canonical_text,
    chain_hash,
    normalised,
    parse_strict,
)

TEXTS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12).map(
    lambda text: unicodedata.normalize("NFC", text)
)
NAMES = st.text(st.characters(min_codepoint=1, max_codepoint=127), max_size=8)
NUMBERS = st.integers(min_value=-LARGEST + 1, max_value=LARGEST - 1)
RECORDS = st.recursive(
    st.booleans() | NUMBERS | TEXTS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(NAMES, inner, max_size=4),
    max_leaves=20,
)


def refused(call, value):
    with pytest.raises(NotCanonical) as caught:
        call(value)
    return caught.value


@given(RECORDS)
def test_the_text_is_that_of_another_implementation(record):
    # The rfc8785 package, for all that lies in our restricted set.
    assert canonical_text(record).encode() == rfc8785.dumps(record)


@given(RECORDS)
def test_a_text_read_back_gives_the_same_text(record):
    text = canonical_text(record)

    assert canonical_text(parse_strict(text)) == text


@given(RECORDS)
def test_spelling_out_and_indenting_change_nothing(record):
    written_otherwise = json.dumps(record, indent=3, ensure_ascii=True)

    assert canonical_text(parse_strict(written_otherwise)) == canonical_text(record)


def test_the_string_example_of_the_rfc():
    # RFC 8785, 3.2.2 and 3.2.4: the member "string". The other two members hold fractions and
    # null, which a record does not take.
    given_text = r"""{"string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/"}"""

    assert canonical_text(parse_strict(given_text)) == r"""{"string":"€$\u000f\nA'B\"\\\\\"/"}"""


def test_members_are_sorted_at_every_depth():
    record = {"b": [{"z": 1, "A": 2}], "a": {"10": True, "1": False, "": "x"}}

    assert canonical_text(record) == '{"a":{"":"x","1":false,"10":true},"b":[{"A":2,"z":1}]}'


def test_an_absent_member_leaves_no_trace():
    assert canonical_text({"a": 1, "note": None}) == canonical_text({"a": 1})


@pytest.mark.parametrize(
    ("value", "path", "words"),
    [
        (None, "$", "null is not used"),
        ([1, None], "$[1]", "null is not used"),
        ({"a": [{"torque": 24.5}]}, "$.a[0].torque", "only whole numbers"),
        ({"n": 3.0}, "$.n", "only whole numbers"),
        ({"n": float("nan")}, "$.n", "only whole numbers"),
        ({"n": LARGEST}, "$.n", "too large"),
        ({"n": -LARGEST}, "$.n", "too large"),
        ({"note": "a\ud800"}, "$.note", "half of a surrogate pair"),
        ({"note": "a\0"}, "$.note", "U+0000"),
        ({"note": "cafe\u0301"}, "$.note", "NFC"),
        ({"straße": 1}, "$", "not plain ASCII"),
        ({7: 1}, "$", "not plain ASCII"),
        ({"a b": {"c": None, "d": b"x"}}, "$['a b'].d", "a bytes has no place"),
        ({"when": {1, 2}}, "$.when", "a set has no place"),
    ],
)
def test_what_has_no_single_text_is_refused_by_its_place(value, path, words):
    error = refused(canonical_text, value)

    assert error.path == path
    assert words in error.reason
    assert str(error) == f"{path}: {error.reason}"


@pytest.mark.parametrize(
    ("text", "path", "words"),
    [
        ('{"a": 1, "a": 1}', "$.a", "twice"),
        ('{"b": [{"a b": 1, "c": 2, "a b": 3}]}', "$.b[0]['a b']", "twice"),
        ('{"a": null}', "$.a", "null is not used"),
        ("null", "$", "null is not used"),
        ('{"a": [NaN]}', "$.a[0]", "NaN is not a number"),
        ('{"a": -Infinity}', "$.a", "-Infinity is not a number"),
        ('{"torque": 24.5}', "$.torque", "as text with its unit"),
        ('{"n": 1e-400}', "$.n", "as text with its unit"),
        ('{"n": 9007199254740992}', "$.n", "too large"),
        ('{"n": -9007199254740992.0}', "$.n", "too large"),
        ('{"n": 1e400}', "$.n", "too large"),
        ('{"n": 1e99999999999999999999}', "$.n", "too large"),
        ('{"n": ' + "9" * 5000 + "}", "$.n", "too large"),
        (r'{"note": "\ud83d"}', "$.note", "half of a surrogate pair"),
        (r'{"note": "\u0000"}', "$.note", "U+0000"),
        ('{"größe": 1}', "$", "not plain ASCII"),
        ('{"a": 1,}', "$", "this is not JSON (line 1"),
        ("", "$", "this is not JSON (line 1, column 1"),
        ("\ufeff{}", "$", "this is not JSON"),
        ('{"a": "\t"}', "$", "this is not JSON"),
        ("[" * 100_000, "$", "deep in one another"),
    ],
)
def test_a_text_two_readers_might_differ_on_is_refused_by_its_place(text, path, words):
    error = refused(parse_strict, text)

    assert error.path == path
    assert words in error.reason


def nested(depth):
    return "[" * depth + "]" * depth


def test_depth_has_a_limit_on_both_ways():
    deepest = parse_strict(nested(DEEPEST + 1))

    assert canonical_text(deepest) == nested(DEEPEST + 1)
    assert "deep in one another" in refused(parse_strict, nested(DEEPEST + 2)).reason
    assert "deep in one another" in refused(canonical_text, [deepest]).reason


@pytest.mark.parametrize(
    ("written", "number"),
    [
        ("3.0", 3),
        ("3e0", 3),
        ("1.5e1", 15),
        ("-0", 0),
        ("-0.0", 0),
        ("0e999999999", 0),
        ("9007199254740991", 9007199254740991),
        ("-9007199254740991.000", -9007199254740991),
    ],
)
def test_a_whole_number_may_be_written_in_any_way(written, number):
    value = parse_strict(written)

    assert (value, type(value)) == (number, int)


def test_both_spellings_of_one_name_get_one_text():
    composed, decomposed = {"note": "Mühle"}, {"note": "Mu\u0308hle"}

    assert canonical_text(normalised(decomposed)) == canonical_text(composed)


@given(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")))
def test_whatever_is_normalised_can_be_written(text):
    record = {"notes": [text, {"again": text}], "n": 1, "left_out": None}

    assert parse_strict(canonical_text(normalised(record))) == {
        "notes": [normalised(text), {"again": normalised(text)}],
        "n": 1,
    }


def test_the_hash_ties_an_act_to_the_one_before():
    text = canonical_text({"kind": "remove", "note": "Mühle"})
    by_hand = hashlib.sha256(
        b"partsvc act 1\n" + b"0" * 64 + b'\n{"kind":"remove","note":"M\xc3\xbchle"}'
    ).hexdigest()

    first = chain_hash(CHAIN_START, text)

    assert first == by_hand
    assert chain_hash(first, text) != first


@pytest.mark.parametrize("previous", ["", "0" * 63, "0" * 65, "A" * 64, "0" * 64 + "\n"])
def test_only_a_hash_can_be_tied_to(previous):
    with pytest.raises(ValueError, match="64 small hexadecimal digits"):
        chain_hash(previous, "{}")
