"""Sentences with numbers and names in them are recognised and told in another language."""

from __future__ import annotations

import pytest

from partsvc.pages.sentences import Said, sentences_from

FORMS = sentences_from(
    [
        ("not back yet", "noch nicht zurück"),
        ("in bag {}", "in Beutel {}"),
        ("bag {}", "Beutel {}"),
        ("Step {} ({}) asks for this first: {}.", "Schritt {} ({}) verlangt zuerst: {}."),
        ("{} of {} are {}.", "Von {1} sind {0} {2}."),
        ("Take a blank tag.", "Leeren Anhänger nehmen."),
        ("{} {}", "{} {}"),
        ("holds what is {}, {} and {}", "hält, was {}, {} und {} ist"),
        (" and ", " und "),
        ("lost", "verloren"),
        ("no counterpart yet", ""),
    ]
)


def told(text: str) -> str:
    """The whole text in the other language."""
    return " ".join(one.text for one in FORMS.say(text))


@pytest.mark.parametrize(
    ("said", "other"),
    [
        ("not back yet", "noch nicht zurück"),
        ("in bag 4TPA-VV4F", "in Beutel 4TPA-VV4F"),
        (
            "Step 9 (Shield (rear) off) asks for this first: proved dead.",
            "Schritt 9 (Shield (rear) off) verlangt zuerst: proved dead.",
        ),
        ("3 of 4 are lost.", "Von 4 sind 3 verloren."),
        (
            "2 of 4 are in bag K1. Take a blank tag.",
            "Von 4 sind 2 in Beutel K1. Leeren Anhänger nehmen.",
        ),
        ("1 of 2 are lost and in bag K1.", "Von 2 sind 1 verloren und in Beutel K1."),
    ],
)
def test_what_is_put_in_is_put_in_again_and_looked_up_in_its_turn(said: str, other: str) -> None:
    assert told(said) == other


def test_what_no_form_fits_stays_and_says_so() -> None:
    found = FORMS.say("Something nobody wrote down. Take a blank tag.")

    assert found == (
        Said("Something nobody wrote down.", strange=True),
        Said("Leeren Anhänger nehmen."),
    )
    assert FORMS.say("no counterpart yet") == (Said("no counterpart yet", strange=True),)


def test_braces_and_long_texts_do_no_harm() -> None:
    assert told("in bag {0}") == "in Beutel {0}"
    assert len(told("x " * 2000)) > 3000
