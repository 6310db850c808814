"""The usual order breaks fewest pairs: against every order there is, and tau against SciPy's."""

from __future__ import annotations

import random
from itertools import permutations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from notebook.history.consensus import count_broken, count_wins, find_consensus, tau

PARTS = ["drum", "guard", "pawl", "pinion", "seal", "shaft", "spring"]
orders_of_jobs = st.lists(st.lists(st.sampled_from(PARTS[:6]), unique=True, max_size=6), max_size=6)


@given(orders_of_jobs)
@settings(max_examples=60, deadline=None)
def test_no_order_breaks_fewer(orders: list[list[str]]) -> None:
    found = find_consensus(orders)
    steps = {s for order in orders for s in order}
    assert sorted(found.steps) == sorted(steps)
    assert found.is_exact
    wins = count_wins(orders)
    assert found.broken == count_broken(found.steps, wins)
    assert found.broken == min(count_broken(order, wins) for order in permutations(sorted(steps)))


@given(orders_of_jobs)
@settings(max_examples=30, deadline=None)
@example(
    [
        ["drum", "guard", "pawl", "pinion", "seal", "shaft"], ["drum", "pawl", "guard", "pinion", "seal", "shaft"],
        ["drum", "pawl", "guard", "pinion", "seal", "shaft"], ["drum", "pinion", "guard", "pawl", "seal", "shaft"],
    ]
)  # fmt: skip
def test_the_order_in_which_jobs_are_given_changes_nothing(orders: list[list[str]]) -> None:
    assert find_consensus(orders) == find_consensus(orders[::-1])


@given(st.permutations(range(9)), st.permutations(range(9)))
@settings(max_examples=40, deadline=None)
def test_tau_is_that_of_scipy(one: list[int], other: list[int]) -> None:
    """Kendall's tau-b of SciPy is tau-a where there are no ties."""
    stats = pytest.importorskip("scipy.stats")
    steps, order = [str(n) for n in one], [str(n) for n in other]
    places = [[line.index(str(n)) for n in range(9)] for line in (steps, order)]
    assert tau(steps, order) == pytest.approx(stats.kendalltau(*places).statistic)


def test_tau_counts_only_what_both_have() -> None:
    assert tau(["a", "b", "c"], ["c", "x", "a"]) == -1
    assert tau(["a", "b"], ["b"]) is None


def test_a_step_only_one_job_names_finds_its_place() -> None:
    found = find_consensus([["guard", "pinion", "drum"], ["guard", "seal", "drum"], ["guard", "pinion", "drum"]])
    assert found.steps[0] == "guard"
    assert found.steps[-1] == "drum"
    assert found.broken == 0


def test_twenty_steps_that_contradict_each_other_come_close_to_what_made_them() -> None:
    """Orders made from one true order with neighbours changed over; beyond 12 the search is no longer exhaustive."""
    rng = random.Random(8)
    true = [f"step {n:02}" for n in range(20)]
    orders = []
    for _ in range(9):
        order = list(true)
        for _ in range(30):
            at = rng.randrange(len(order) - 1)
            order[at], order[at + 1] = order[at + 1], order[at]
        orders.append(order)
    found = find_consensus(orders)
    assert found.broken <= count_broken(true, count_wins(orders))
    assert (tau(true, found.steps) or 0) > 0.85


def test_a_knot_of_more_than_twelve_is_said_not_to_be_exact() -> None:
    """Three jobs that go round in a circle: no order keeps all of them."""
    ring = [f"{n:02}" for n in range(15)]
    found = find_consensus([ring, ring[5:] + ring[:5], ring[10:] + ring[:10]])
    assert not found.is_exact
    assert found.broken <= min(
        count_broken(o, count_wins([ring, ring[5:] + ring[:5], ring[10:] + ring[:10]]))
        for o in (ring, ring[5:] + ring[:5])
    )


def test_no_jobs_no_order() -> None:
    assert find_consensus([]).steps == ()
