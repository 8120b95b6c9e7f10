"""What the releaser is asked, what the job gives to think of, and what stands on the paper."""

from __future__ import annotations

import pypdfium2
import pytest
from http_bench import HttpBench, Json
from ledger_bench import STATEMENT, position, step
from vans import all_seen


@pytest.fixture
def job(shop: HttpBench) -> str:
    """A cover off and on again, nothing left open."""
    job = shop.open_job(step("COVER", 10, position("P1", {"part": "C"}, sets=3)))
    shop.remove(job, "P1", shop.tags[0])
    return job


def refit(shop: HttpBench, job: str) -> None:
    shop.secure(job, "P1", bag=shop.tags[0])
    all_seen(shop, job)


def release(shop: HttpBench, job: str, **said: object) -> Json:
    head = shop.look(f"/jobs/{job}")["head"]
    return shop.act(job, "release", "quality", head=head, **{**STATEMENT, **said})


def printed(shop: HttpBench, job: str) -> str:
    paper = pypdfium2.PdfDocument(shop.get(f"/jobs/{job}/release.pdf").data)
    words = " ".join(page.get_textpage().get_text_range() for page in paper)
    return " ".join(words.split())


def test_the_same_four_questions_are_asked_before_every_release(shop: HttpBench, job: str) -> None:
    refit(shop, job)

    asked = shop.look(f"/jobs/{job}/release-questions", "quality")

    assert [one["id"] for one in asked["questions"]] == list(STATEMENT)
    assert all(one["asks"].endswith("?") for one in asked["questions"])
    assert (asked["reminders"], asked["old_parts"], asked["findings_open"]) == ([], [], 0)


@pytest.mark.parametrize("question", list(STATEMENT))
def test_a_question_that_was_not_answered_stops_the_release(
    shop: HttpBench, job: str, question: str
) -> None:
    refit(shop, job)
    head = shop.look(f"/jobs/{job}")["head"]

    refused = shop.refused(job, "release", "quality", head=head, **{**STATEMENT, question: False})

    assert refused["reason"] == "statement-incomplete"
    assert refused["unanswered"] == [question]
    assert question in refused["detail"]


def test_a_release_cannot_be_recorded_as_done_already(shop: HttpBench, job: str) -> None:
    refit(shop, job)
    head = shop.look(f"/jobs/{job}")["head"]

    refused = shop.refused(
        job, "release", "quality", head=head, already_done={"reason": "the van has gone"}
    )

    assert refused["reason"] == "statement-incomplete"


def test_answers_stand_beside_the_two_lines_on_the_paper(shop: HttpBench, job: str) -> None:
    refit(shop, job)
    asked = shop.look(f"/jobs/{job}/release-questions")["questions"]
    release(shop, job)

    words = printed(shop, job)

    assert all(one["asks"] in words for one in asked)
    assert words.index("The book") < words.index("Asked before the release")
    assert words.index("Asked before the release") < words.index("Open findings")


def test_a_rag_that_was_on_no_list_is_to_be_borne_in_mind(shop: HttpBench, job: str) -> None:
    shop.act(job, "put-on", step="COVER", words="red rag")
    shop.act(job, "take-off", step="COVER", words="red rag")
    refit(shop, job)

    (reminder,) = shop.look(f"/jobs/{job}/release-questions")["reminders"]
    release(shop, job)

    assert reminder["question"] == "vehicle_searched"
    assert "red rag was on the vehicle" in reminder["words"]
    assert "red rag was on the vehicle" in printed(shop, job)


def test_what_was_lost_and_taken_as_it_is_is_to_be_borne_in_mind(shop: HttpBench, job: str) -> None:
    shop.act(job, "lose", part="C", bag=shop.tags[0], words="fell into the sill")
    shop.act(job, "search", where="sill", result="nothing", position="P1")
    shop.act(job, "search", "mate", where="sill", result="nothing", position="P1")
    shop.secure(job, "P1", bag=shop.tags[0])
    shop.issue(job, "C", 1, shop.tags[1])
    shop.secure(job, "P1", bag=shop.tags[1])
    assert shop.look(f"/jobs/{job}/release-questions")["reminders"] == []

    shop.act(job, "accept", "quality", finding="lost", reason="plastic, clear of all wiring")

    (reminder,) = shop.look(f"/jobs/{job}/release-questions")["reminders"]
    assert reminder["words"].startswith("Accepted: 1 trim clip (C) lost")


def test_a_release_of_an_older_program_says_that_panels_were_not_asked_for(
    shop: HttpBench, job: str
) -> None:
    refit(shop, job)
    release(shop, job)
    with shop.ledger.service.database.writing() as db:
        db.execute("DROP TRIGGER effect_never_changed")
        db.execute(
            "UPDATE effect SET text = json_remove(text, '$.panels_back') WHERE kind = 'released'"
        )

    assert "not asked then" in printed(shop, job)
