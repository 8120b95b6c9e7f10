"""The way back is the way in, reversed, as far as the vehicle allows it."""

from itertools import pairwise

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsvc.domain.precedence import Cycle, ancestors, find_cycle, refit_order, strip_levels

#: The shield comes off before drain and brackets; both before the pack.
PLAN = ("shield", "drain", "brackets", "pack")
AFTER = {"drain": ["shield"], "brackets": ["shield"], "pack": ["drain", "brackets"]}


def back(steps=PLAN, *, stripped=(), after=AFTER, refit_after=None):
    return refit_order(
        steps,
        stripped={step: rank for rank, step in enumerate(stripped)},
        after=after,
        refit_after=refit_after or {},
    )


def test_the_way_back_reverses_what_was_really_done():
    assert back(stripped=("shield", "brackets", "drain", "pack")) == (
        "pack",
        "drain",
        "brackets",
        "shield",
    )


def test_prerequisites_override_the_real_order():
    # Somebody lowered the shield last, working around it; it still has to go back last.
    assert back(stripped=("drain", "brackets", "pack", "shield"))[-1] == "shield"


def test_before_anything_came_off_the_plan_is_reversed():
    assert back() == ("pack", "brackets", "drain", "shield")
    assert back(("a", "b", "c"), after={}) == ("c", "b", "a")


def test_a_step_not_stripped_yet_keeps_its_place_in_the_plan():
    assert back(("a", "b", "c", "d"), stripped=("a", "d", "c"), after={}) == ("c", "d", "b", "a")


def test_a_refit_only_step_comes_as_soon_as_its_prerequisites_are_back():
    steps = (*PLAN, "bleed", "fill")

    order = back(steps, stripped=PLAN, refit_after={"fill": ["drain"], "bleed": ["fill"]})

    assert order == ("pack", "brackets", "drain", "fill", "bleed", "shield")


def test_two_refit_only_steps_due_at_once_come_in_plan_order():
    steps = ("z", "clean", "a", "pack")

    order = back(steps, stripped=("pack",), after={}, refit_after={"z": ["pack"], "a": ["pack"]})

    assert order == ("pack", "z", "a", "clean")


def test_a_step_can_be_held_back_until_something_is_refitted():
    order = back(stripped=PLAN, refit_after={"brackets": ["shield"]}, after={"drain": ["shield"]})

    assert order == ("pack", "drain", "shield", "brackets")


def test_a_step_already_back_still_passes_its_constraints_on():
    # "drain" is not to be placed any more, yet "pack" came off after "shield" by way of it.
    order = back(
        ("pack", "shield"),
        stripped=("pack", "shield"),
        after={"drain": ["shield"], "pack": ["drain"]},
    )

    assert order == ("pack", "shield")


def test_steps_that_wait_for_one_another_are_named():
    with pytest.raises(Cycle) as caught:
        back(("a", "b"), after={}, refit_after={"a": ["b"], "b": ["a"]})

    assert caught.value.steps == ("a", "b")
    assert str(caught.value) == "a waits for b; b waits for a"


def test_strip_and_refit_constraints_together_may_form_a_ring():
    with pytest.raises(Cycle) as caught:
        back(refit_after={"pack": ["shield"]})

    assert set(caught.value.steps) >= {"pack", "shield"}


def test_a_step_that_waits_for_itself_is_a_ring_of_one():
    assert find_cycle({"a": [], "b": ["a", "b"]}) == ("b",)


def test_what_must_come_off_first():
    assert ancestors("pack", AFTER) == {"shield", "drain", "brackets"}
    assert ancestors("shield", AFTER) == frozenset()
    assert ancestors("a", {"a": ["b"], "b": ["a"]}) == {"a", "b"}


def test_the_layers_of_the_strip():
    assert strip_levels(AFTER) == (("shield",), ("drain", "brackets"), ("pack",))
    assert strip_levels({}) == ()
    with pytest.raises(Cycle):
        strip_levels({"a": ["b"], "b": ["a"], "c": []})


def test_a_long_chain_is_no_trouble():
    chain = [f"s{n:05}" for n in range(5_000)]
    after = {late: [early] for early, late in pairwise(chain)}

    assert back(tuple(chain), after=after) == tuple(reversed(chain))
    assert len(strip_levels(after)) == 5_000
    assert find_cycle({**after, chain[0]: [chain[-1]]}) != ()


NAMES = [f"s{n}" for n in range(9)]
GRAPHS = st.dictionaries(
    st.sampled_from(NAMES), st.lists(st.sampled_from(NAMES), max_size=3), max_size=9
)
#: Each step waits only for steps named before it: no ring is possible.
SOUND = st.permutations(NAMES).flatmap(
    lambda names: st.fixed_dictionaries(
        {
            name: st.lists(st.sampled_from(names[:at]), max_size=3)
            for at, name in enumerate(names)
            if at
        }
    )
)


def directed(after, *, reverse=False):
    """An edge from what comes first to what comes next."""
    graph = nx.DiGraph([(other, step) for step, others in after.items() for other in others])
    graph.add_nodes_from(after)
    return graph.reverse() if reverse else graph


@given(GRAPHS)
def test_a_ring_is_found_just_when_there_is_one(after):
    cycle = find_cycle(after)
    waits = set(directed(after, reverse=True).edges)

    assert (cycle == ()) == nx.is_directed_acyclic_graph(directed(after))
    assert len(set(cycle)) == len(cycle)
    assert {*zip(cycle, cycle[1:] + cycle[:1], strict=True)} <= waits


@given(GRAPHS, st.sampled_from(NAMES))
def test_ancestors_are_those_of_the_graph(after, step):
    graph = directed({**after, step: after.get(step, [])})
    on_a_ring = step in {
        n for c in nx.strongly_connected_components(graph) if len(c) > 1 for n in c
    }
    itself = {step} if on_a_ring or graph.has_edge(step, step) else set()

    assert ancestors(step, after) == nx.ancestors(graph, step) | itself


@given(SOUND)
def test_the_layers_are_those_of_the_graph(after):
    expected = [set(layer) for layer in nx.topological_generations(directed(after))]

    assert [set(layer) for layer in strip_levels(after)] == expected


@given(SOUND, st.permutations(NAMES))
def test_all_stripped_the_order_is_the_lexicographical_one(after, real):
    rank = {step: at for at, step in enumerate(real)}
    graph = directed(after, reverse=True)
    graph.add_nodes_from(NAMES)

    order = refit_order(NAMES, stripped=rank, after=after, refit_after={})

    assert list(order) == list(
        nx.lexicographical_topological_sort(graph, key=lambda step: -rank[step])
    )


@given(GRAPHS, GRAPHS, st.permutations(NAMES), st.integers(0, 9), st.integers(0, 9))
def test_whatever_is_asked_the_order_keeps_every_constraint(after, refit, real, done, placed):
    graph = nx.compose(directed(after, reverse=True), directed(refit))
    stripped = {step: at for at, step in enumerate(real[:done])}
    steps = NAMES[:placed]
    call = lambda: refit_order(steps, stripped=stripped, after=after, refit_after=refit)  # noqa: E731

    if not nx.is_directed_acyclic_graph(graph):
        with pytest.raises(Cycle) as caught:
            call()
        ring = caught.value.steps
        assert all(graph.has_edge(b, a) for a, b in zip(ring, ring[1:] + ring[:1], strict=True))
        return
    order = call()

    assert sorted(order) == sorted(steps)
    place = {step: at for at, step in enumerate(order)}
    closure = nx.transitive_closure_dag(graph)
    assert [
        (a, b) for a, b in closure.edges if a in place and b in place and place[a] > place[b]
    ] == []
    assert call() == order


@given(SOUND, st.permutations(NAMES))
def test_a_refit_only_step_follows_its_last_prerequisite_directly(after, real):
    rank = {step: at for at, step in enumerate(real)}
    prerequisites = real[2:5]

    order = refit_order(
        ["fill", *NAMES], stripped=rank, after=after, refit_after={"fill": prerequisites}
    )

    assert order[order.index("fill") - 1] in prerequisites
    assert tuple(step for step in order if step != "fill") == refit_order(
        NAMES, stripped=rank, after=after, refit_after={}
    )
