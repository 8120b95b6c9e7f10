"""What a releaser is asked before a job is closed, and what to bear in mind while answering.

The questions are the same for every job. The reminders are this job's own: what may still be in
the vehicle although the book closes, because somebody took it as it stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.desk import Desk
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.look import called
from partsvc.domain.old_parts import OldPart, old_parts
from partsvc.domain.places import PlaceKind
from partsvc.domain.reconciliation import all_findings, open_findings
from partsvc.domain.records import Says
from partsvc.domain.temporaries import PREFIX, temporary_part, temporary_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One fixed question, by the member of the release that answers it."""

    id: str
    asks: str


QUESTIONS = (
    Question(
        id="vehicle_searched",
        asks="Vehicle searched for tools, rags and fragments, also where covers are on again?",
    ),
    Question(id="bay_searched", asks="Bay searched: floor, benches, trolleys, under the lift?"),
    Question(id="panels_back", asks="All panels, covers and linings back in place?"),
    Question(id="tools_complete", asks="Own tools complete, none left in or on the vehicle?"),
)

# Accepted as they stand, these mean that something may still lie in the vehicle.
MAY_LIE_INSIDE = ("lost", "fragment", "fragment-lost", "stray", "on-vehicle")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reminder:
    """What to bear in mind while answering one question."""

    question: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseQuestions:
    """All that a releaser is asked, with what this job gives to think of."""

    job: JobFacts
    questions: tuple[Question, ...]
    reminders: tuple[Reminder, ...]
    old_parts: Annotated[
        tuple[OldPart, ...], Says("what lies in old-parts bags: say what becomes of it")
    ]
    findings_open: int


def release_questions(job: JobFacts, desk: Desk) -> ReleaseQuestions:
    """What is asked before this job is released."""
    return ReleaseQuestions(
        job=job,
        questions=QUESTIONS,
        reminders=reminders(desk),
        old_parts=old_parts(desk),
        findings_open=len(open_findings(desk)),
    )


def reminders(desk: Desk) -> tuple[Reminder, ...]:
    """What this job gives to think of, each said once."""
    return tuple(dict.fromkeys((*_taken_as_it_stands(desk), *_unlisted(desk))))


def _taken_as_it_stands(desk: Desk) -> Iterator[Reminder]:
    still_open = set(open_findings(desk))
    for finding in all_findings(desk):
        if finding.kind in MAY_LIE_INSIDE and finding not in still_open:
            yield Reminder(question="vehicle_searched", words=f"Accepted: {finding.words}")


def _unlisted(desk: Desk) -> Iterator[Reminder]:
    """Rags, tape and timber that no plan lists: nobody misses them when they stay inside."""
    listed = {temporary_part(one) for step in desk.plan.steps for one in step.temporaries}
    for posted in desk.posted:
        place, part = posted.entry.target.place, posted.entry.part
        if place.kind is PlaceKind.ON_VEHICLE and part not in listed:
            step = desk.plan.step_of.get(place.at)
            words = temporary_words(desk, part, place.at)
            name = words if part.startswith(PREFIX) else called(desk, part)
            number = step.number if step else 0
            yield Reminder(
                question="vehicle_searched",
                words=f"Step {number}: {name} was on the vehicle, and is on no list.",
            )
