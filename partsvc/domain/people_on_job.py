"""Who worked on a job: how many acts of which kinds, and when first and last."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from partsvc.domain.trail_words import ACT_WORDS


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneByOne:
    """So many acts of one kind by one person."""

    person: str
    kind: str
    acts: int
    first_at: str
    last_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonOnJob:
    """One person on the job; who put pieces back, recorded it or stood by, does not release it."""

    name: str
    acts: int
    first_at: str
    last_at: str
    put_back: bool
    did: tuple[str, ...]


def people_on_job(
    done: Iterable[DoneByOne], workers: Collection[str], names: Mapping[str, str]
) -> tuple[PersonOnJob, ...]:
    """Everybody who did anything, who did most first; with those who only recorded or stood by."""
    by_person: dict[str, list[DoneByOne]] = {person: [] for person in workers}
    for one in done:
        by_person.setdefault(one.person, []).append(one)
    found = [
        PersonOnJob(
            name=names.get(person, person),
            acts=sum(one.acts for one in own),
            first_at=min((one.first_at for one in own), default=""),
            last_at=max((one.last_at for one in own), default=""),
            put_back=person in workers,
            did=tuple(
                f"{one.acts} × {ACT_WORDS.get(one.kind, one.kind)}"
                for one in sorted(own, key=lambda one: (-one.acts, one.kind))
            ),
        )
        for person, own in by_person.items()
    ]
    return tuple(sorted(found, key=lambda one: (-one.acts, one.name)))
