"""A procedure that cannot be worked is found before anybody stands under the vehicle with it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from partsvc.domain.parts import Part, PartKind, Rule, SpentAt
from partsvc.domain.plan import (
    Hazard,
    Hold,
    Phase,
    Plan,
    Position,
    Reading,
    Record,
    StackItem,
    Stage,
    Step,
    Temporary,
)
from partsvc.domain.plan_faults import faults, oddities, placed_faults

BOLT = Part(
    number="B8", name="Bolt M8x25", kind=PartKind.BOLT, thread="M8", length_mm=25,
    drive="E10", head="flange", property_class="8.8", coating="zinc",
)  # fmt: skip
LONG = replace(BOLT, number="B8L", name="Bolt M8x35", length_mm=35)
CLIP = Part(number="C1", name="Clip", kind=PartKind.CLIP, superseded_by="C2")
STRETCH = replace(BOLT, number="S8", drive="E12", spent_at=SpentAt.SECURE)
CAP = Part(number="T1", name="Cap", kind=PartKind.TEMPORARY)
PARTS = {part.number: part for part in (BOLT, LONG, CLIP, STRETCH, CAP)}


def bolts(ident: str = "P1", part: str = "B8", **members: object) -> Position:
    stack = (StackItem(part=part),)
    return replace(Position(id=ident, where="edge", sets=4, stack=stack), **members)  # type: ignore[arg-type]


def step(number: int, *positions: Position, **members: object) -> Step:
    made = Step(id=f"s{number}", number=number, title="Cover off", positions=positions)
    return replace(made, **members)  # type: ignore[arg-type]


def plan(*steps: Step) -> Plan:
    return Plan(key="cover", title="Cover off and on", steps=steps)


def told(*steps: Step) -> list[str]:
    return [str(fault) for fault in faults(plan(*steps), PARTS)]


def odd(*steps: Step) -> tuple[str, ...]:
    assert faults(plan(*steps), PARTS) == ()
    return oddities(plan(*steps), PARTS)


# Faults


def test_a_plain_procedure_has_none() -> None:
    assert told(step(10, bolts()), step(20, bolts("P2"), after=("s10",))) == []


def test_a_procedure_without_steps_cannot_be_worked() -> None:
    assert told() == ["the procedure: has no steps; write at least one"]


def test_ids_and_numbers_stand_once() -> None:
    hold, cap = Hold(id="h", title="Drained"), Temporary(id="t", words="cap")
    first = step(10, bolts(), holds=(hold,), temporaries=(cap,))
    second = step(10, bolts(), holds=(hold,), temporaries=(cap,))

    assert told(first, second) == [
        "step 10: the id s10 stands twice; it is taken by step 10",
        "step 10: two steps have the number 10; give each its own",
        "step 10, position P1: the id P1 stands twice; it is taken by step 10, position P1",
        "step 10, hold h: the id h stands twice; it is taken by step 10, hold h",
        "step 10, temporary item t: the id t stands twice; it is taken by step 10, temporary item"
        " t",
    ]


def test_stages_and_readings_of_one_name_cannot_be_told_apart() -> None:
    twice = (Stage(id="torque", words="first pass"), Stage(id="torque", words="second pass"))
    volts = (Reading(name="HV+", unit="V"), Reading(name="hv+", unit="V"))

    assert told(step(10, bolts(stages=twice), readings=volts)) == [
        "step 10, position P1: the stage id torque stands twice; give each stage its own",
        "step 10, reading “hv+”: two readings have this name; nobody could tell them apart",
    ]


@pytest.mark.parametrize(
    ("given", "says"),
    [
        (
            step(10, bolts(stack=())),
            "step 10, position P1: names no part; say what belongs there",
        ),
        (
            step(10, bolts(stack=(StackItem(part="B8"), StackItem(part="B8")))),
            "step 10, position P1: part B8 stands twice in one set; count it with per_set",
        ),
        (
            step(10, bolts(part="B9")),
            "step 10, position P1, part B9: the catalogue has no part B9; "
            "add it to the catalogue first",
        ),
        (
            step(10, bolts(stack=(StackItem(part="B8", rule=Rule.LIMITED),))),
            "step 10, position P1, part B8: the rule is limited, but how many uses is not said",
        ),
        (
            step(10, bolts(stages=(Stage(id="t", words="tighten", torque_nm="-5"),))),
            "step 10, position P1, stage t: a torque is more than 0; compare the maker's document",
        ),
        (
            step(10, bolts(where="  ")),
            "step 10, position P1: the text is only blanks; write words or leave it out",
        ),
        (
            step(10, temporaries=(Temporary(id="t", words="cap", part="T9"),)),
            "step 10, temporary item t: the catalogue has no part T9; "
            "add it to the catalogue first",
        ),
        (
            step(10, temporaries=(Temporary(id="t", words="cap", off_before="s99"),)),
            "step 10, temporary item t: there is no step with the id s99",
        ),
        (step(10, after=("s99",)), "step 10: there is no step with the id s99"),
        (step(10, refit_after=("s99",)), "step 10: there is no step with the id s99"),
        (
            step(10, phase=Phase.REFIT, holds=(Hold(id="h", title="Seen", when=Phase.BOTH),)),
            "step 10, hold h: its step is worked at the refit alone; write refit",
        ),
        (
            step(10, lapses=("h9",)),
            "step 10: there is no hold with the id h9",
        ),
        (
            step(10, holds=(Hold(id="h", title="Dead", wait_minutes=5),)),
            "step 10, hold h: a waiting time needs both: `wait_minutes`, and the step it runs "
            "from, `wait_after`",
        ),
        (
            step(10, holds=(Hold(id="h", title="Dead", wait_minutes=5, wait_after="s99"),)),
            "step 10, hold h: there is no step with the id s99",
        ),
        (
            step(10, holds=(Hold(id="h", title="Dead", wait_minutes=5, wait_after="s10"),)),
            "step 10, hold h: waits for its own step, where nothing else is done",
        ),
        (
            step(10, holds=(Hold(id="h", title="Closed", close_up=True),)),
            "step 10, hold h: is passed before something is covered; write refit",
        ),
        (
            step(10, holds=(Hold(id="h", title="Seen", when=Phase.REFIT, beneath=("s10",)),)),
            "step 10, hold h: only a close-up looks beneath; set `close_up`",
        ),
        (
            step(10, readings=(Reading(name="isolation", unit="kOhm", limit="9", at_least="500"),)),
            "step 10, reading “isolation”: is more than its limit: no reading could be good",
        ),
        (
            step(10, phase=Phase.REFIT, holds=(Hold(id="h", title="Seen"),)),
            "step 10, hold h: is asked for at the strip, but its step is refit-only",
        ),
    ],
)
def test_a_fault_is_named_by_step_and_position(given: Step, says: str) -> None:
    assert told(given) == [says]


def test_what_is_never_taken_apart_or_put_back_holds_nobody_up() -> None:
    fill = step(20, phase=Phase.REFIT, after=("s10",))
    lift = step(30, phase=Phase.STRIP, refit_after=("s10",))
    shield = step(40, after=("s50",), refit_after=("s30",))
    bleed = step(50, phase=Phase.REFIT)

    assert told(step(10), fill, lift, shield, bleed) == [
        "step 20: is worked at the refit alone, so nothing comes off before it; use refit_after",
        "step 40: step 50 (s50) is never taken apart, it is refit-only",
        "step 30: is worked when stripping alone, so nothing goes back before it; use after",
        "step 40: step 30 (s30) is never put back, it is strip-only",
    ]


def test_steps_that_wait_for_one_another_are_named_by_their_numbers() -> None:
    ring = (step(10, after=("s30",)), step(20, after=("s10",)), step(30, after=("s20",)))

    assert told(*ring) == [
        "step 10: when stripping, the steps wait for one another: step 10 waits for step 30, "
        "step 30 waits for step 20, step 20 waits for step 10"
    ]


def test_a_step_that_waits_for_itself_is_a_ring() -> None:
    assert told(step(10, after=("s10",))) == [
        "step 10: when stripping, the steps wait for one another: step 10 waits for step 10"
    ]


def test_a_ring_of_the_way_back_is_found_though_the_strip_is_sound() -> None:
    # 20 comes off after 10, so it goes back first; yet it is said to wait for 10.
    sound = (step(10), step(20, after=("s10",), refit_after=("s10",)))

    assert told(*sound) == [
        "step 20: when refitting, the steps wait for one another: step 20 waits for step 10, "
        "step 10 waits for step 20"
    ]


def test_every_ring_is_told_not_only_the_first() -> None:
    two = (step(10, after=("s20",)), step(20, after=("s10",)), step(30, after=("s30",)))

    assert len(told(*two)) == 2


def test_a_fault_knows_its_place_in_the_document() -> None:
    given = plan(step(10), step(20, bolts("P1"), bolts("P2", part="B9")))

    assert [one.path for one in placed_faults(given, PARTS)] == [
        "steps[2].positions[2].stack[1].part"
    ]


# Oddities


def stage(torque_nm: str = "20", source: str = "invented") -> tuple[Stage, ...]:
    return (Stage(id="t", words="tighten", torque_nm=torque_nm, source=source),)


def test_a_torque_that_hardly_fits_its_bolt_is_doubted_without_naming_another() -> None:
    (doubt,) = odd(step(10, bolts(stages=stage("200"))))

    assert doubt == (
        "step 10, position P1, stage t: 200 N·m is very much for M8 of class 8.8: at usual "
        "friction the bolt would be pulled beyond its proof load. Compare thread, class and unit "
        "with the maker's document; the maker's value governs. (B8)"
    )


def test_a_torque_that_fits_is_not_remarked_upon() -> None:
    assert odd(step(10, bolts(stages=stage("20")))) == ()


@pytest.mark.parametrize(
    ("given", "says"),
    [
        (
            step(10, bolts(stages=stage(source=""))),
            "step 10, position P1, stage t: a tightening value without a source; "
            "name the maker's document",
        ),
        (
            step(10, bolts(part="S8")),
            "step 10, position P1, part S8: the catalogue says that it is spent at the first "
            "secure, the rule here is reuse",
        ),
        (
            step(10, bolts(stack=(StackItem(part="B8", rule=Rule.REPLACE),), loosen_only=True)),
            "step 10, position P1, part B8: the rule is replace, but it is only loosened here",
        ),
        (
            step(10, bolts(stack=(StackItem(part="B8", rule=Rule.INSPECT),))),
            "step 10, position P1, part B8: is to be inspected, but for what is not said",
        ),
        (
            step(10, bolts(stack=(StackItem(part="B8", max_uses=3),))),
            "step 10, position P1, part B8: has a limit of uses, but the rule is reuse",
        ),
        (
            step(10, bolts(part="C1")),
            "step 10, position P1, part C1: was superseded by C2; new ones come as that",
        ),
        (
            step(10, bolts(part="T1")),
            "step 10, position P1, part T1: is a temporary item; list it as one, or it counts as "
            "belonging here",
        ),
        (
            step(10, bolts(), bolts("P2", part="B8L")),
            "step 10: B8L is easily taken for B8 (same thread, drive and head, 10 mm longer: "
            "M8x35 against M8x25)",
        ),
        (
            step(10, holds=(Hold(id="h", title="Dead", high_voltage=True),)),
            "step 10, hold h: high voltage, but no second person is asked for",
        ),
        (
            step(10, hazards=(Hazard.LIFTED,)),
            "step 10: has a hazard (lifted), but neither hold nor caution of its own",
        ),
        (
            step(10, bolts(), hazards=(Hazard.HIGH_VOLTAGE,), cautions=("Orange lines.",)),
            "step 10: high voltage is opened, and no high-voltage hold comes before it",
        ),
        (
            step(10, temporaries=(Temporary(id="t", words="hose cap"),)),
            "step 10, temporary item t: before which step the hose cap must be off is not said",
        ),
        (
            step(10, bolts(where="rim, clockwise: 1 to 8")),
            "step 10, position P1: the words count 1 to 8, but sets is 4",
        ),
        (
            step(10, bolts(sets=400)),
            "step 10, position P1: 400 single pieces in one position; is that so?",
        ),
        (
            step(10, bolts(critical=True)),
            "step 10, position P1: is critical, but nothing is written down when it is secured",
        ),
        (
            step(10, bolts(), phase=Phase.REFIT),
            "step 10, position P1: its step is refit-only, so nothing comes off here: all pieces "
            "are new",
        ),
    ],
)
def test_what_a_lead_would_rather_hear_now(given: Step, says: str) -> None:
    assert odd(given) == (says,)


def test_high_voltage_that_was_proved_dead_further_out_is_not_remarked_upon() -> None:
    dead = Hold(id="h", title="Proved dead", high_voltage=True, witness=True)
    proved = step(10, holds=(dead,), phase=Phase.STRIP)
    between = step(20, bolts(), after=("s10",))
    opened = step(
        30, bolts("P2"), after=("s20",), hazards=(Hazard.HIGH_VOLTAGE,), cautions=("Orange.",)
    )

    assert odd(proved, between, opened) == ()


def test_critical_with_a_tick_is_written_down() -> None:
    assert odd(step(10, bolts(critical=True, record=Record.TICK))) == ()
