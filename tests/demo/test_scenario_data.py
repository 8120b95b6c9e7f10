"""The invented scenarios are whole and large enough to be worth a demonstration."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from itertools import combinations

from scenario_files import (
    HOLDS,
    PANEL,
    PANEL_PARTS,
    PARTS,
    PEOPLE,
    PLAN,
    POSITIONS,
    PROCEDURE,
    STRIP,
    TEMPORARIES,
    parts_at,
)

from partsvc.domain.parts import PartKind, Rule, SpentAt
from partsvc.domain.plan import Step

TAG_LINE = 60
PART_NAME = 40


# How much there is to lose sight of


def test_the_job_is_larger_than_a_head_can_hold() -> None:
    pieces = sum(position.pieces() for position in POSITIONS)

    assert len(STRIP) >= 48
    assert len(POSITIONS) >= 125
    assert pieces >= 330


def test_every_kind_of_part_comes_off_somewhere() -> None:
    off = Counter(part.kind for position in POSITIONS for part in parts_at(position))

    assert set(PartKind) - {PartKind.TEMPORARY} == set(off)


def test_all_four_reuse_rules_are_used_and_say_what_they_need() -> None:
    items = [item for position in POSITIONS for item in position.stack]

    assert set(Rule) == {item.rule for item in items}
    assert [i for i in items if (i.rule is Rule.INSPECT) != bool(i.criterion)] == []
    assert [i for i in items if (i.rule is Rule.LIMITED) != (i.max_uses is not None)] == []


def test_bolts_that_are_spent_once_are_always_replaced() -> None:
    rules = {(PARTS[i.part].spent_at, i.rule) for p in POSITIONS for i in p.stack}

    assert {(SpentAt.FIT, Rule.REPLACE), (SpentAt.SECURE, Rule.REPLACE)} == {
        (spent_at, rule) for spent_at, rule in rules if spent_at is not SpentAt.NEVER
    }


def test_stacks_of_two_and_three_parts_carry_a_rule_each() -> None:
    mixed = {len(p.stack) for p in POSITIONS if len({i.rule for i in p.stack}) > 1}

    assert {2, 3} <= mixed


def test_captive_screws_and_plugs_stay_where_they_are() -> None:
    stays = {part.kind for p in POSITIONS if p.loosen_only for part in parts_at(p)}
    captive = {p.id for p in POSITIONS if any("captive" in part.name for part in parts_at(p))}

    assert stays == {PartKind.SCREW, PartKind.CONNECTOR}
    assert captive == {
        p.id for p in POSITIONS if p.loosen_only and PARTS[p.stack[0].part].kind is PartKind.SCREW
    }


def test_every_plug_has_a_primary_and_a_secondary_lock() -> None:
    plugs = [p for p in POSITIONS if PARTS[p.stack[0].part].kind is PartKind.CONNECTOR]
    locked = [p for p in plugs if p.id != "KB-03"]  # the 12 V clamp is screwed, not plugged

    assert {("primary-lock", "secondary-lock")} == {
        tuple(stage.id for stage in p.stages) for p in locked
    }


def test_both_sides_of_the_van_have_the_same_work() -> None:
    # The right rail alone carries the bridge hose, and has one brake pipe clip fewer.
    paired = [p for p in POSITIONS if p.id[:2] not in {"HB", "BP"}]
    left = [(p.id.replace("-L", "-"), p.pieces()) for p in paired if p.side == "left"]
    right = [(p.id.replace("-R", "-"), p.pieces()) for p in paired if p.side == "right"]

    assert len(left) >= 20
    assert left == right


def look_alikes(step: Step) -> set[frozenset[str]]:
    """Pairs in one step that a hand takes for one another."""
    parts = {part.number: part for p in step.positions for part in parts_at(p) if part.thread}
    return {
        frozenset((one.number, other.number))
        for one, other in combinations(parts.values(), 2)
        if (one.kind, one.thread, one.drive, one.head)
        == (other.kind, other.thread, other.drive, other.head)
        and (one.length_mm, one.property_class, one.coating)
        != (other.length_mm, other.property_class, other.coating)
    }


def test_look_alikes_of_each_sort_lie_in_neighbouring_positions() -> None:
    pairs = {tuple(PARTS[n] for n in sorted(p)) for step in STRIP for p in look_alikes(step)}

    assert len(pairs) >= 3
    assert any(one.length_mm != other.length_mm for one, other in pairs)
    assert any(one.property_class != other.property_class for one, other in pairs)
    assert any(one.coating != other.coating for one, other in pairs)


# Names and texts


def test_every_part_named_is_in_the_catalogue_and_every_part_is_used() -> None:
    off = {item.part for position in POSITIONS for item in position.stack}
    put_on = {item.part for _, item in TEMPORARIES}
    successors = {part.superseded_by for part in PARTS.values()} - {""}

    assert off | put_on | successors == set(PARTS)
    assert {n for n, part in PARTS.items() if part.kind is PartKind.TEMPORARY} == put_on


def test_supersession_ends_and_packs_hold_more_than_one() -> None:
    old = [part for part in PARTS.values() if part.superseded_by]

    assert old
    assert all(not PARTS[part.superseded_by].superseded_by for part in old)
    assert any(part.pack_size > 1 for part in PARTS.values())


def test_ids_are_unique() -> None:
    ids = [
        *(step.id for step in PLAN.steps),
        *(position.id for position in POSITIONS),
        *(hold.id for hold in HOLDS),
        *(item.id for _, item in TEMPORARIES),
    ]
    twice = [name for name, times in Counter(ids).items() if times > 1]

    assert twice == []
    assert len({step.number for step in PLAN.steps}) == len(PLAN.steps)
    assert all(len({s.id for s in p.stages}) == len(p.stages) for p in POSITIONS)


def tag_texts() -> Iterator[tuple[str, int]]:
    yield from ((part.name, PART_NAME) for part in PARTS.values())
    yield from ((hold.title, TAG_LINE) for hold in HOLDS)
    yield from ((item.words, TAG_LINE) for _, item in TEMPORARIES)
    for step in PLAN.steps:
        yield from ((step.title, TAG_LINE), (step.zone, PART_NAME))
    for position in POSITIONS:
        yield from ((position.where, TAG_LINE), (position.pattern, TAG_LINE))
        yield from ((stage.words, TAG_LINE) for stage in position.stages)


def test_every_text_fits_a_line_of_a_tag() -> None:
    assert [text for text, most in tag_texts() if len(text) > most] == []


def words_in(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, list | dict):
        for inner in value.values() if isinstance(value, dict) else value:
            yield from words_in(inner)


def test_nothing_looks_like_a_real_make_or_number() -> None:
    texts = [*words_in(PROCEDURE), *words_in(PANEL)]
    texts += [t for c in (PARTS, PANEL_PARTS) for p in c.values() for t in (p.name, p.note)]
    inside = re.compile(r"(?<=[a-z0-9,] )[A-Z][A-Za-z]+")
    named = {word for text in texts for word in inside.findall(text)}

    assert named <= {"HV", "UN", "DC", "ISO", "ST", "KF", "DB"}
    assert all(re.fullmatch(r"KF-\d{4}", number) for number in PARTS)
    assert all(re.fullmatch(r"DB-\d{4}", number) for number in PANEL_PARTS)


# People, and the job without a procedure


def test_six_people_share_the_four_roles_and_one_of_them_learns() -> None:
    roles = Counter(role for person in PEOPLE for role in person["roles"])
    learns = [person["key"] for person in PEOPLE if person.get("qualifications")]

    assert roles == {"technician": 3, "parts": 1, "quality": 1, "lead": 1}
    assert learns == ["lio"]


def test_the_panel_is_recorded_by_what_was_seen_and_named_later() -> None:
    groups = PANEL["groups"]
    named = [group["named_later"] for group in groups]
    spots = [(group["step_title"], group["zone"], group["where"]) for group in groups]

    assert len(groups) >= 14
    assert None in named
    assert set(named) - {None} <= set(PANEL_PARTS)
    assert len(set(spots)) == len(spots)
    assert all(group["words"] and group["quantity"] > 0 for group in groups)
    assert any(group.get("broken") for group in groups)
    assert any(group.get("missing") for group in groups)
