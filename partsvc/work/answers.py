"""A lost answer is mended by asking again: answers to keyed requests, kept with what they did.

The answer is stored in the transaction of the work itself, so that there is never one without the
other. Only what succeeded is kept; a refusal does not use the key up.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from partsvc.domain.canonical import canonical_text, normalised
from partsvc.domain.records import Plain
from partsvc.errors import InProgress, KeyReused
from partsvc.store import people
from partsvc.work.posting import Answer
from partsvc.work.service import Service

Writing = sqlite3.Connection
Work = Callable[[Writing], Answer]


def once(
    service: Service, work: Work, *, person: str, key: str, content: dict[str, Plain]
) -> Answer:
    """Do the work in one transaction; with a key, at most once for ever.

    `content` is what tells two requests with the same key apart. KeyReused when it differs,
    InProgress while the first request is still being worked on.
    """
    if not key:
        with service.database.writing() as db:
            return work(db)
    kept_as = f"request:{person}:{key}"
    digest = hashlib.sha256(canonical_text(normalised(content)).encode()).hexdigest()
    with _under_way(service, kept_as, key), service.database.writing() as db:
        row = people.answer(db, service.site, kept_as)
        if row is not None:
            return _given_before(row["request_hash"], digest, key, row["status"], row["body"])
        answer = work(db)
        people.add_answer(
            db,
            service.site,
            key=kept_as,
            request_hash=digest,
            status=answer.status,
            body=json.dumps(answer.body, ensure_ascii=False),
            at=service.stamp(),
        )
        return answer


def _given_before(known: str, digest: str, key: str, status: int, body: str) -> Answer:
    if known != digest:
        raise KeyReused(
            "This key came before with other content. Give the new request a key of its own.",
            key=key,
        )
    return Answer(status, json.loads(body), again=True)


@contextmanager
def _under_way(service: Service, kept_as: str, key: str) -> Iterator[None]:
    with service.in_flight_guard:
        if kept_as in service.in_flight:
            raise InProgress(
                "The first request with this key is being worked on right now. Send it again in "
                "a second to get its answer.",
                key=key,
            )
        service.in_flight.add(kept_as)
    try:
        yield
    finally:
        with service.in_flight_guard:
            service.in_flight.discard(kept_as)
