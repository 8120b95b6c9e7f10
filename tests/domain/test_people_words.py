"""What is kept calls people by their ids; what is shown, by their names."""

from __future__ import annotations

from partsvc.domain.people_words import called_by_id, calls_somebody, named

NAMES = {"p7kz": "Tove", "p9ab": ""}


def test_a_sentence_is_read_with_names_in_it() -> None:
    kept = f"1 plug still with {called_by_id('p7kz')}. Ask {called_by_id('p7kz')}, now."

    assert kept == "1 plug still with person p7kz. Ask person p7kz, now."
    assert named(kept, NAMES) == "1 plug still with Tove. Ask Tove, now."


def test_whose_name_was_erased_stays_an_id_and_other_words_stay_as_they_are() -> None:
    assert named(f"the lock of {called_by_id('p9ab')}", NAMES) == "the lock of person p9ab"
    assert named("It asks for a second person: name somebody.", NAMES) == (
        "It asks for a second person: name somebody."
    )
    assert not calls_somebody("It asks for a second person, and for gloves.")
