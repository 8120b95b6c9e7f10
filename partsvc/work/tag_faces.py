"""What stands on a printed tag: job and vehicle, step and place, part and count, rule, warning."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from labels.shapes import Shape
from labels.tag import Band, TagFace
from partsvc.domain.job_plan import job_plan
from partsvc.domain.ledger import Book, Holding
from partsvc.domain.look import look_alike_words, look_alikes, rule_words
from partsvc.domain.lots import LotFacts
from partsvc.domain.parts import Part, Rule, part_words
from partsvc.domain.places import Condition, bag
from partsvc.domain.plan import Plan, Position
from partsvc.store import acts as act_store
from partsvc.store import badges, balances, boards, keeping, supply
from partsvc.store.database import Row
from partsvc.work.facts import pinned_plan
from partsvc.work.service import Service, parts_of

RULE_SHAPES = {
    Rule.REUSE: Shape.CIRCLE,
    Rule.INSPECT: Shape.DIAMOND,
    Rule.LIMITED: Shape.HALF_DISC,
    Rule.REPLACE: Shape.CROSSED_BOX,
}
_STRICTEST = (Rule.REPLACE, Rule.LIMITED, Rule.INSPECT, Rule.REUSE)
# What each kind of tag is called, how it is framed, and its sign: by shape and word, not colour.
_KINDS = {
    "bag": ("BAG", Band.OUTLINE, Shape.POUCH),
    "kit": ("NEW PARTS", Band.SOLID, Shape.STAR),
    "old-parts": ("OLD PARTS", Band.DOUBLE, Shape.BIN),
    "board": ("BOARD", Band.DOUBLE, Shape.SQUARE),
    "pocket": ("POCKET", Band.OUTLINE, Shape.SQUARE),
    "rack": ("RACK PLACE", Band.OUTLINE, Shape.SHELVES),
    "person": ("PERSON", Band.OUTLINE, Shape.PERSON),
    "temporary": ("TEMPORARY: TAKE IT OFF", Band.SOLID, Shape.HOURGLASS),
}
BY_HAND = ("Step", "Place", "Part", "Count", "Who")
"""What is written by hand on a blank tag, in this order; the last ones go where room is short."""


def plan_of(service: Service, db: sqlite3.Connection, job: Row) -> Plan:
    """The plan of a job as it stands now, with all that was added to it."""
    pinned, _ = pinned_plan(service, db, job)
    return job_plan(pinned, (one.effect for one in act_store.effects(db, service.site, job["id"])))


def faces_of(service: Service, db: sqlite3.Connection, rows: Sequence[Row]) -> list[TagFace]:
    """What stands on each of these tags, in their order."""
    parts = parts_of(service, db)

    @cache
    def known_job(account: str) -> _About | None:
        job = keeping.job(db, service.site, account) if account else None
        if job is None:
            return None
        inside = Book(balances.of_account(db, service.site, account))
        new = (held.spot.lot for held in inside.holdings() if held.spot.condition is Condition.NEW)
        return _About(job, plan_of(service, db, job), inside, supply.lots(db, service.site, new))

    on_boards = boards.places(db, service.site, [row["code"] for row in rows])
    names = _names(service, db, rows)
    return [
        _face(
            service, row, known_job(row["account"]), parts, on_boards.get(row["code"]),
            names.get(row["code"], row["words"]),
        )
        for row in rows
    ]  # fmt: skip


def _names(service: Service, db: sqlite3.Connection, rows: Sequence[Row]) -> dict[str, str]:
    """What the people are called whose badges are among these tags; an erased name is an id."""
    codes = [row["code"] for row in rows if row["kind"] == "person"]
    found = badges.holders(db, service.site, codes) if codes else {}
    return {code: one["name"] or f"person {one['person']}" for code, one in found.items()}


@dataclass(frozen=True, slots=True)
class _About:
    """The job a tag belongs to: its plan, and what lies in its bags."""

    job: Row
    plan: Plan
    inside: Book
    lots: Mapping[tuple[str, str], LotFacts]


def _face(
    service: Service,
    row: Row,
    about: _About | None,
    parts: Mapping[str, Part],
    on_board: tuple[str, int] | None,
    words: str,
) -> TagFace:
    kind, band, shape = _KINDS.get(row["kind"], _KINDS["bag"])
    if on_board is not None:
        kind = f"{kind} {on_board[1]}"
    face = TagFace(
        code=row["code"],
        payload=link_of(service, row["code"]),
        kind=kind,
        kind_band=band,
        kind_shape=shape,
        part=words or None,
    )
    if about is None:
        return face if words else replace(face, lines=BY_HAND)
    vehicle = about.job["model"] or about.job["vin"] or None
    face = replace(face, job=f"Job {about.job['number']}", vehicle=vehicle)
    held = about.inside.at(bag(row["code"]))
    if held and on_board is None and all(one.spot.condition is Condition.NEW for one in held):
        name, frame, sign = _KINDS["kit"]
        face = replace(face, kind=name, kind_band=frame, kind_shape=sign)
    if held:
        return _dated(_filled(face, held, about.plan, parts), held, about.lots)
    position = about.plan.positions.get(row["position"])
    return face if position is None else _placed(face, position, about.plan, parts)


def link_of(service: Service, code: str) -> str | None:
    """What a scanner reads where a public address is set: capitals, so that the symbol is small."""
    return f"{service.public_address}/t/{code}".upper() if service.public_address else None


def _filled(
    face: TagFace, held: Sequence[Holding], plan: Plan, parts: Mapping[str, Part]
) -> TagFace:
    """With what is in the bag now: where it came off, how many of what, under which rule."""
    homes = [plan.positions[lot] for lot in _homes(held) if lot in plan.positions]
    steps = dict.fromkeys(plan.home_step[home.id].number for home in homes)
    number_of: dict[str, int] = defaultdict(int)
    for one in held:
        number_of[one.part] += one.quantity
    # New pieces are there to be fitted: a rule about what came off would be read against them.
    came_off = {one.part for one in held if one.spot.condition is not Condition.NEW}
    items = [item for home in homes for item in home.stack if item.part in came_off]
    face = replace(
        face,
        step=_step_words(plan, homes, list(steps)) if homes else None,
        position="; ".join(home.where for home in homes) or None,
        part=" + ".join(
            f"{count} {part_words(part, parts.get(part))}" for part, count in number_of.items()
        ),
        count=f"{sum(number_of.values())} pieces",
        lookalike=_taken_for(number_of, plan, parts),
    )
    if not items:
        return face
    strictest = min(items, key=lambda item: _STRICTEST.index(item.rule))
    return replace(face, rule=rule_words(strictest), rule_shape=RULE_SHAPES[strictest.rule])


def _dated(
    face: TagFace, held: Sequence[Holding], lots: Mapping[tuple[str, str], LotFacts]
) -> TagFace:
    """With the batches of new pieces, and the first day on which one of them is no longer good."""
    known = [lots[one.spot.lot, one.part] for one in held if (one.spot.lot, one.part) in lots]
    batches = ", ".join(dict.fromkeys(one.batch for one in known if one.batch))
    days = sorted(one.use_by for one in known if one.use_by)
    words = [face.count, f"batch {batches}" if batches else "", f"use by {days[0]}" if days else ""]
    return replace(face, count=" · ".join(filter(None, words)) or None)


def _homes(held: Sequence[Holding]) -> list[str]:
    return list(dict.fromkeys(one.spot.lot for one in held))


def _step_words(plan: Plan, homes: Sequence[Position], numbers: Sequence[int]) -> str:
    if len(numbers) == 1:
        return f"Step {numbers[0]} {plan.home_step[homes[0].id].title}"
    return f"Steps {', '.join(map(str, numbers))}"


def _taken_for(wanted: Iterable[str], plan: Plan, parts: Mapping[str, Part]) -> str | None:
    """The first part that one of these would be confused with, in words."""
    alike = look_alikes(plan, parts)
    found = (
        words for part in wanted for words in look_alike_words(part, alike.get(part, ()), parts)
    )
    first = next(found, None)
    return f"not {first}" if first else None


def _placed(face: TagFace, position: Position, plan: Plan, parts: Mapping[str, Part]) -> TagFace:
    """With step and place, part and count, the strictest rule of the set, the first look-alike."""
    step = plan.home_step[position.id]
    strictest = min(position.stack, key=lambda item: _STRICTEST.index(item.rule))
    names = " + ".join(part_words(item.part, parts.get(item.part)) for item in position.stack)
    return replace(
        face,
        step=f"Step {step.number} {step.title}",
        position=position.where,
        part=names,
        count=f"{position.sets} ×" if len(position.stack) == 1 else f"{position.sets} sets",
        rule=rule_words(strictest),
        rule_shape=RULE_SHAPES[strictest.rule],
        lookalike=_taken_for([item.part for item in position.stack], plan, parts),
    )
