"""The invented procedure can be worked: its order, its holds, its temporary items."""

from __future__ import annotations

import networkx
import pytest
from scenario_files import HOLDS, PLAN, REFIT, STRIP, TEMPORARIES

from partsvc.domain.plan import Phase
from partsvc.domain.precedence import refit_order

OUTWARDS = [
    "hangers-left",
    "kit-complete",
    "raise-gap",
    "hv-rear",
    "raise-contact",
    "bolts-left",
    "pack-check",
    "hv-drive",
    "isolation-check",
    "close-under",
    "shield-front",
    "van-down",
    "key-12v",
    "wake-up",
    "temporaries-back",
    "close-drive",
    "road-test",
    "after-test",
]


def strip_graph() -> networkx.DiGraph[str]:
    graph = networkx.DiGraph((first, step.id) for step in PLAN.steps for first in step.after)
    graph.add_nodes_from(PLAN.step_of)
    return graph


def refit_graph() -> networkx.DiGraph[str]:
    graph = strip_graph().reverse()
    graph.add_edges_from((first, step.id) for step in PLAN.steps for first in step.refit_after)
    return graph


def test_precedence_names_known_steps_and_has_no_ring_either_way() -> None:
    assert set(strip_graph()) | set(refit_graph()) == set(PLAN.step_of)
    assert networkx.is_directed_acyclic_graph(strip_graph())
    assert networkx.is_directed_acyclic_graph(refit_graph())


def test_precedence_leaves_work_for_two_people_at_once() -> None:
    layers = networkx.topological_generations(strip_graph().subgraph(s.id for s in STRIP))

    assert max(map(len, layers)) >= 6
    assert networkx.dag_longest_path_length(strip_graph()) < len(STRIP) // 2


def test_the_written_order_can_be_worked_as_it_stands() -> None:
    place = {step.id: step.number for step in PLAN.steps}

    assert [s.id for s in STRIP if any(place[f] >= s.number for f in s.after)] == []


def test_steps_of_the_refit_alone_say_what_must_be_back_first() -> None:
    alone = [step for step in PLAN.steps if step.phase is Phase.REFIT]

    assert len(alone) >= 12
    assert [s.id for s in alone if s.after or s.positions or not s.refit_after] == []
    assert [s.id for s in STRIP if s.phase is Phase.STRIP and s.refit_after] == []


@pytest.mark.parametrize("high_voltage", ["hv-drive", "hv-charge", "hv-heater", "hv-rear"])
def test_nothing_of_high_voltage_is_opened_before_it_is_proved_dead(high_voltage: str) -> None:
    before = networkx.ancestors(strip_graph(), high_voltage)

    assert {"service-plug", "plug-custody", "prove-dead"} <= before


def test_the_way_back_runs_from_the_pack_outwards_to_the_road() -> None:
    order = refit_order(
        [step.id for step in REFIT],
        stripped={step.id: step.number for step in STRIP},
        after=PLAN.strip_after,
        refit_after=PLAN.refit_after,
    )
    assert [step for step in order if step in OUTWARDS] == OUTWARDS
    assert sorted(order) == sorted(step.id for step in REFIT)


def test_there_are_hold_points_both_ways() -> None:
    assert len([h for h in HOLDS if h.when is Phase.STRIP]) >= 10
    assert {"h-kit", "h-isolation", "h-close-under", "h-close-drive"} <= {
        h.id for h in HOLDS if h.when is Phase.REFIT
    }


def test_proved_dead_asks_for_three_readings_a_meter_and_a_witness() -> None:
    hold = PLAN.holds["h-dead"][1]

    # 60 V DC: upper limit of voltage class A, UN R100 section 2 and ISO 6469-3 clause 4.
    assert [(reading.name, reading.unit, reading.limit) for reading in hold.readings] == [
        ("HV+ to HV-", "V", "60"),
        ("HV+ to chassis", "V", "60"),
        ("HV- to chassis", "V", "60"),
    ]
    assert (hold.instrument, hold.witness, hold.high_voltage) == (True, True, True)


def test_temporary_items_are_off_before_a_later_step_of_the_refit() -> None:
    refit, back = {step.id for step in REFIT}, refit_graph()
    worked_both_ways = [(s, i) for s, i in TEMPORARIES if s.phase is Phase.BOTH]
    too_early = [
        item.id
        for step, item in worked_both_ways
        if step.id not in networkx.ancestors(back, item.off_before)
    ]

    assert len(TEMPORARIES) >= 8
    assert {item.off_before for _, item in TEMPORARIES} <= refit
    assert too_early == []
