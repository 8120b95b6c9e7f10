"""Tags on a photo: which bags stand here, which of a job are missing, which are not of it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from labels.reading import PictureFault, Reading, read_codes
from partsvc.domain.desk import shown_bag
from partsvc.domain.open_bags import OpenBags
from partsvc.domain.records import Id, Says
from partsvc.domain.tagcode import MistypedCode, read
from partsvc.errors import Invalid, NotFound
from partsvc.store import balances, keeping
from partsvc.store.database import Row
from partsvc.work import photos
from partsvc.work.facts import job_row
from partsvc.work.open_bags import open_bags
from partsvc.work.posting import Answer, post
from partsvc.work.service import Sender, Service

MOST_ON_A_PHOTO = 100


class Belongs(StrEnum):
    """Whose tag it is that stands on the photo."""

    THIS_JOB = "this-job"
    ANOTHER_JOB = "another-job"
    BLANK = "blank"
    VOID = "void"
    UNKNOWN = "unknown"
    NO_TAG = "no-tag"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadWanted:
    """What is to be made of the photo."""

    job: Annotated[Id | None, Says("compare with the bags of this job")] = None
    keep: Annotated[bool, Says("keep the photo, so that acts can name it")] = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TagSeen:
    """A tag on the photo, and where: its middle in thousandths of the width and height."""

    text: Annotated[str, Says("what the symbol says")]
    code: str
    shown: str
    x_permille: Annotated[int, Says("from the left, in thousandths of the photo's width")]
    y_permille: Annotated[int, Says("from the top, in thousandths of the photo's height")]
    belongs: Belongs
    job_number: int | None
    kind: str
    words: str
    pieces: Annotated[int, Says("how many pieces the book has in it")]


@dataclass(frozen=True, slots=True, kw_only=True)
class BagMissing:
    """A bag of the job that holds something and is not on the photo."""

    code: str
    shown: str
    words: str
    stowed_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoRead:
    """What stands on a photo; `empty` are this job's bags that the book has nothing in."""

    tags: tuple[TagSeen, ...]
    missing: tuple[BagMissing, ...]
    empty: tuple[str, ...]
    photo: Annotated[str, Says("the hash of the kept photo")]


def read_photo(service: Service, sender: Sender, sent: bytes, wanted: ReadWanted) -> PhotoRead:
    """Every tag on the photo, told apart by whose it is; Invalid if the file is no picture."""
    found = _codes_on(sent)
    bags = open_bags(service, wanted.job) if wanted.job else None
    with service.database.reading() as db:
        if wanted.job is not None:
            job_row(service, db, wanted.job)
        seen = _seen(service, db, found, wanted.job or "")
    kept = photos.add(service, sender, sent).hash if wanted.keep else ""
    return PhotoRead(
        tags=seen,
        missing=_missing(bags, seen),
        empty=tuple(one.code for one in seen if one.belongs is Belongs.THIS_JOB and not one.pieces),
        photo=kept,
    )


def record_emptied(service: Service, sender: Sender, job: str, sent: bytes, key: str) -> Answer:
    """One photo of all emptied bags: those empty by the book are recorded as seen empty."""
    found = read_photo(service, sender, sent, ReadWanted(job=job, keep=True))
    if not found.empty:
        full = ", ".join(f"{one.shown} ({one.pieces} pieces)" for one in found.tags if one.pieces)
        raise NotFound(
            "No bag on this photo is an empty one of this job by the book. "
            + (f"By the book these hold something: {full}." if full else "Take it from nearer."),
            job=job,
        )
    payload = {
        "key": key,
        "kind": "seen-empty",
        "bags": list(found.empty),
        "photos": [found.photo],
    }
    answer = post(service, job, sender, payload)  # type: ignore[arg-type]
    left = [one.shown for one in found.tags if one.belongs is Belongs.THIS_JOB and one.pieces]
    warned = answer.body.get("warnings")
    if left and isinstance(warned, list):
        warned.append(f"On the photo too, but not empty by the book: {', '.join(left)}.")
    return answer


def _codes_on(sent: bytes) -> tuple[Reading, ...]:
    try:
        found = read_codes(sent)
    except PictureFault as fault:
        raise Invalid(str(fault), field="photo") from fault
    if len(found) > MOST_ON_A_PHOTO:
        raise Invalid(
            f"{len(found)} codes on one photo; at most {MOST_ON_A_PHOTO}. Take two photos.",
            field="photo",
        )
    return found


def _seen(
    service: Service, db: sqlite3.Connection, found: Sequence[Reading], job: str
) -> tuple[TagSeen, ...]:
    codes = {one.text: code for one in found if (code := _code_in(one.text))}
    rows = {row["code"]: row for row in keeping.tags(db, service.site, codes.values())}
    pieces = _pieces(service, db, rows.values())
    return tuple(_tag_seen(one, codes.get(one.text, ""), rows, pieces, job) for one in found)


def _code_in(text: str) -> str:
    """The tag code that a symbol says, bare or as the end of an address; empty for any other."""
    try:
        return read(text.rstrip("/").rpartition("/")[2])
    except MistypedCode:
        return ""


def _pieces(service: Service, db: sqlite3.Connection, rows: Iterable[Row]) -> dict[str, int]:
    """How many pieces lie in each of these bags, in one query an account."""
    accounts = {row["account"] for row in rows if row["account"]}
    found: dict[str, int] = {}
    for account in sorted(accounts):
        for held in balances.of_account(db, service.site, account):
            if held.spot.place.kind.value == "bag" and held.quantity > 0:
                found[held.spot.place.at] = found.get(held.spot.place.at, 0) + held.quantity
    return found


def _tag_seen(
    one: Reading, code: str, rows: dict[str, Row], pieces: dict[str, int], job: str
) -> TagSeen:
    row = rows.get(code)
    return TagSeen(
        text=one.text[:200],
        code=code,
        shown=shown_bag(code) if code else "",
        x_permille=round(one.x * 1000),
        y_permille=round(one.y * 1000),
        belongs=_belongs(code, row, job),
        job_number=row["job_number"] if row else None,
        kind=row["kind"] if row else "",
        words=row["words"] if row else "",
        pieces=pieces.get(code, 0),
    )


def _belongs(code: str, row: Row | None, job: str) -> Belongs:
    if not code:
        return Belongs.NO_TAG
    if row is None:
        return Belongs.UNKNOWN
    if row["void_reason"]:
        return Belongs.VOID
    if not row["account"]:
        return Belongs.BLANK
    return Belongs.THIS_JOB if job in ("", row["account"]) else Belongs.ANOTHER_JOB


def _missing(bags: OpenBags | None, seen: Sequence[TagSeen]) -> tuple[BagMissing, ...]:
    there = {one.code for one in seen}
    return tuple(
        BagMissing(code=one.code, shown=one.shown, words=one.words, stowed_at=one.stowed_at)
        for one in (bags.bags if bags else ())
        if one.code not in there
    )
