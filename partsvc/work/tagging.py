"""Tags: minted blank or for a job's positions, printed, voided. A tag has one job for life."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from labels.draw_pdf import SheetFault, sheet_pdf
from labels.draw_png import png
from labels.fit import LayoutFault
from labels.stock import Stock, StockFault, load
from labels.symbol import PayloadFault
from labels.tag import TagFace
from partsvc.domain.acts.codes import read_code
from partsvc.domain.acts.fields import Why
from partsvc.domain.desk import shown_bag
from partsvc.domain.parts import part_words
from partsvc.domain.plan import Phase, Plan, Position, Step
from partsvc.domain.records import AtMost, Between, Id, Line, Says
from partsvc.domain.tagcode import CAPACITY, from_number
from partsvc.errors import Conflict, Invalid, NotFound
from partsvc.store import balances, keeping
from partsvc.store.database import Row
from partsvc.work import clock
from partsvc.work.facts import job_row
from partsvc.work.service import Service, parts_of
from partsvc.work.tag_faces import faces_of, plan_of

USUAL_STOCK = "a4-3x7"
ONE_LABEL = "single-70x50-300"
MOST_ON_A_SHEET = 500


class PrintedUse(StrEnum):
    """What a tag is printed for, when it is for something special."""

    KIT = "kit"
    OLD_PARTS = "old-parts"
    RACK = "rack"
    TEMPORARY = "temporary"


@dataclass(frozen=True, slots=True, kw_only=True)
class NewTags:
    """Tags to mint: so many blank ones, or one for each position of a job that goes into a bag."""

    count: Annotated[int | None, Between(1, 1000), Says("so many blank tags")] = None
    job: Annotated[Id | None, Says("tags for this job's positions")] = None
    positions: Annotated[
        tuple[Id, ...], AtMost(200), Says("only these positions; all of the job if left out")
    ] = ()
    words: Annotated[Line | None, Says("what is to stand on blank tags")] = None
    use: Annotated[
        PrintedUse | None, Says("what blank tags are for, such as the job's old parts")
    ] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TagLine:
    """A tag: its code, as scanned and as printed, and what it is for."""

    code: str
    shown: str
    job: str
    position: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TagsMade:
    """The tags that were minted."""

    tags: tuple[TagLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class VoidTag:
    """A tag that is lost, torn or unreadable."""

    reason: Why


def mint(service: Service, db: sqlite3.Connection, given: NewTags) -> TagsMade:
    """New tags; their codes are drawn by chance and were never used before."""
    if (given.count is None) == (given.job is None):
        raise Invalid("Say either a `count` of blank tags or a `job`.", field="count")
    if given.job is None:
        if given.positions:
            raise Invalid("Say the `job` that the positions belong to.", field="job")
        wanted = [("", given.words or "")] * (given.count or 0)
    else:
        wanted = _for_positions(service, db, given.job, given.positions)
    lines = [
        TagLine(code=code, shown=shown_bag(code), job=given.job or "", position=at, words=words)
        for code, (at, words) in zip(new_codes(service, db, len(wanted)), wanted, strict=True)
    ]
    use = given.use.value if given.use else "bag"
    minted = [(one.code, one.job, use, one.words, one.position) for one in lines]
    keeping.add_tags(db, service.site, minted, at=service.stamp())
    return TagsMade(tags=tuple(lines))


def new_codes(service: Service, db: sqlite3.Connection, count: int) -> list[str]:
    """So many codes that no tag of this site has."""
    found: dict[str, None] = {}
    while len(found) < count:
        drawn = {from_number(clock.below(CAPACITY)) for _ in range(count - len(found))}
        taken = {row["code"] for row in keeping.tags(db, service.site, drawn)}
        found.update(dict.fromkeys(sorted(drawn - taken)))
    return list(found)[:count]


def _for_positions(
    service: Service, db: sqlite3.Connection, job: str, asked: Sequence[str]
) -> list[tuple[str, str]]:
    plan = plan_of(service, db, job_row(service, db, job))
    unknown = [one for one in asked if one not in plan.positions]
    if unknown:
        raise NotFound(
            f"There is no position {unknown[0]} on this job. Look at the strip list.",
            position=unknown[0],
        )
    found = [
        (position.id, _words(service, db, step, position))
        for step, position in _bagged(plan)
        if not asked or position.id in asked
    ]
    if not found:
        raise Conflict("No position of this job goes into a bag. Mint blank tags.", job=job)
    if len(found) > 1000:
        raise Invalid(f"{len(found)} tags at once; at most 1000. Name the positions.", field="job")
    return found


def has_bagged(service: Service, db: sqlite3.Connection, job: str) -> bool:
    """Whether anything of this job goes into a bag by its plan."""
    return bool(_bagged(plan_of(service, db, job_row(service, db, job))))


def _bagged(plan: Plan) -> list[tuple[Step, Position]]:
    """The positions whose pieces come off and into a bag."""
    return [
        (step, position)
        for step, position in plan.each_position()
        if step.phase is not Phase.REFIT and not position.loosen_only
    ]


def _words(service: Service, db: sqlite3.Connection, step: Step, position: Position) -> str:
    known = parts_of(service, db)
    pieces = ", ".join(
        f"{position.sets * item.per_set} {part_words(item.part, known.get(item.part))}"
        for item in position.stack
    )
    return f"Step {step.number}, {position.where}: {pieces}"[:200]


def tag_row(service: Service, db: sqlite3.Connection, typed: str) -> Row:
    """A tag by its code as typed or scanned; Mistyped or NotFound."""
    code = read_code(typed)
    rows = keeping.tags(db, service.site, [code])
    if not rows:
        raise NotFound(
            f"No tag {shown_bag(code)} was ever printed here. Check the code on the bag.",
            code=shown_bag(code),
        )
    return rows[0]


def void(service: Service, db: sqlite3.Connection, typed: str, given: VoidTag) -> TagLine:
    """A tag is no longer good; Conflict while pieces are in its bag, or if it was voided before."""
    row = tag_row(service, db, typed)
    if row["void_reason"]:
        raise Conflict(
            f"Tag {shown_bag(row['code'])} was voided before: {row['void_reason']}.",
            code=shown_bag(row["code"]),
        )
    if row["account"] and _holds_anything(service, db, row):
        raise Conflict(
            f"By the book pieces are in bag {shown_bag(row['code'])}. Move them into another bag "
            "first.",
            code=shown_bag(row["code"]),
        )
    keeping.void_tag(db, service.site, row["code"], given.reason)
    return line_of(row)


def _holds_anything(service: Service, db: sqlite3.Connection, row: Row) -> bool:
    return bool(balances.in_bag(db, service.site, row["account"], row["code"]))


def tags_of_job(service: Service, job: str) -> TagsMade:
    """The tags of a job that are still good."""
    with service.database.reading() as db:
        job_row(service, db, job)
        return TagsMade(tags=tuple(map(line_of, _good_tags(service, db, job))))


def _good_tags(service: Service, db: sqlite3.Connection, job: str) -> list[Row]:
    rows = keeping.tags_of_job(db, service.site, job)
    return [row for row in rows if not row["void_reason"]]


def line_of(row: Row) -> TagLine:
    """A stored tag as a line of a list."""
    return TagLine(
        code=row["code"],
        shown=shown_bag(row["code"]),
        job=row["account"],
        position=row["position"],
        words=row["words"],
    )


def picture_of_tag(service: Service, typed: str, *, stock: str = ONE_LABEL) -> bytes:
    """One tag as a black and white PNG, at the size of a label stock."""
    with service.database.reading() as db:
        (face,) = faces_of(service, db, [tag_row(service, db, typed)])
    return png(face, stock_of(stock))


def sheet_of_tags(
    service: Service, codes: Sequence[str], *, stock: str = USUAL_STOCK, start_at: int = 1
) -> bytes:
    """Tags by their codes, in the order given, as a PDF of label sheets."""
    with service.database.reading() as db:
        rows = [tag_row(service, db, code) for code in dict.fromkeys(codes)]
        return _sheet(service, db, rows, stock, start_at)


def sheet_of_job(
    service: Service, job: str, *, stock: str = USUAL_STOCK, start_at: int = 1
) -> bytes:
    """All tags of a job that are still good, as a PDF of label sheets."""
    with service.database.reading() as db:
        job_row(service, db, job)
        return _sheet(service, db, _good_tags(service, db, job), stock, start_at)


def _sheet(
    service: Service, db: sqlite3.Connection, rows: Sequence[Row], stock: str, start_at: int
) -> bytes:
    try:
        return sheet_pdf(faces_of(service, db, rows), stock_of(stock), start_at=start_at)
    except SheetFault as fault:
        raise Invalid(str(fault), field="start_at") from fault
    except (LayoutFault, PayloadFault) as fault:
        raise Invalid(str(fault), field="stock") from fault


def tray_sheet(face: TagFace, stock: Stock) -> bytes:
    """The tag of a tray with all its pockets; Invalid where the stock has too few."""
    try:
        return sheet_pdf([face], stock)
    except LayoutFault as fault:
        raise Invalid(str(fault), field="stock") from fault


def stock_of(key: str) -> Stock:
    """A label stock by its key; Invalid lists those there are."""
    try:
        return load(key)
    except StockFault as fault:
        raise Invalid(str(fault), field="stock") from fault
