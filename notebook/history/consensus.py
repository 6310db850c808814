"""The usual order of doing things, by the orders in which they were done: the one that breaks fewest of them.

In: the order of steps of each job; no job needs to hold them all. Out: one order, how many pairs it breaks, and how far
each job goes along with it. Up to 12 steps that contradict each other it is the best there is (Kemeny's order); beyond,
the best that is found by moving one step or one run of steps at a time, from the mean order and from each job's own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

EXACT_TO = 12
MOST_STARTS = 12

Wins = Mapping[tuple[str, str], int]
"""(a, b): in how many jobs a came before b."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Consensus:
    """One order over several jobs."""

    steps: tuple[str, ...]
    broken: int
    """Over all jobs, pairs of steps that were done the other way round."""
    pairs: int
    """Over all jobs, pairs of steps that were done in either order."""
    is_exact: bool
    """It is known that no order breaks fewer."""


def find_consensus(orders: Sequence[Sequence[str]]) -> Consensus:
    """Give the order that breaks fewest pairs; among equals the one nearest to the mean places, then by name."""
    wins = count_wins(orders)
    steps = _by_mean_place(orders)
    out: list[str] = []
    is_exact = True
    for knot in _knots(steps, wins):
        if len(knot) <= EXACT_TO:
            out.extend(_best(knot, wins))
        else:
            is_exact = False
            out.extend(_settle(knot, orders, wins))
    return Consensus(steps=tuple(out), broken=count_broken(out, wins), pairs=sum(wins.values()), is_exact=is_exact)


def count_wins(orders: Sequence[Sequence[str]]) -> dict[tuple[str, str], int]:
    """Count for each pair in how many jobs the one came before the other; a step that comes twice counts where it came first."""
    wins: dict[tuple[str, str], int] = {}
    for order in orders:
        for pair in combinations(dict.fromkeys(order), 2):
            wins[pair] = wins.get(pair, 0) + 1
    return wins


def count_broken(steps: Sequence[str], wins: Wins) -> int:
    """Count the pairs, over all jobs, that an order has the other way round."""
    return sum(wins.get((later, earlier), 0) for earlier, later in combinations(steps, 2))


def tau(steps: Sequence[str], order: Sequence[str]) -> float | None:
    """Give Kendall's tau of one job's order with another, over the steps that both have; None for fewer than two."""
    place = {step: n for n, step in enumerate(steps)}
    shared = [place[s] for s in dict.fromkeys(order) if s in place]
    if len(shared) < 2:
        return None
    signs = [1 if b > a else -1 for a, b in combinations(shared, 2)]
    return sum(signs) / len(signs)


def _by_mean_place(orders: Sequence[Sequence[str]]) -> list[str]:
    places: dict[str, list[Fraction]] = {}  # exact, so that equal means are equal in whatever order they are added
    for order in orders:
        seen = list(dict.fromkeys(order))
        for n, step in enumerate(seen):
            places.setdefault(step, []).append(Fraction(2 * n + 1, 2 * len(seen)))
    return sorted(places, key=lambda s: (sum(places[s]) / len(places[s]), s))


def _knots(steps: Sequence[str], wins: Wins) -> list[list[str]]:
    """Cut the steps into knots that contradict themselves, in an order in which no majority is broken between two knots.

    A best order keeps such knots apart (the extended Condorcet criterion), so each can be settled alone.
    """
    before = {
        s: [t for t in steps if wins.get((t, s), 0) > wins.get((s, t), 0)] for s in steps
    }  # fmt: skip
    reach = {s: _reach(s, before) for s in steps}
    left = list(steps)
    out: list[list[str]] = []
    while left:
        first = next(s for s in left if all(t not in left or s in reach[t] for t in reach[s]))
        knot = [t for t in left if t == first or (t in reach[first] and first in reach[t])]
        out.append(knot)
        left = [s for s in left if s not in knot]
    return out


def _reach(step: str, before: Mapping[str, Sequence[str]]) -> frozenset[str]:
    seen: set[str] = set()
    todo = list(before[step])
    while todo:
        at = todo.pop()
        if at not in seen:
            seen.add(at)
            todo.extend(before[at])
    return frozenset(seen)


def _best(knot: Sequence[str], wins: Wins) -> list[str]:
    """Give the best order of a few steps: over every set of steps already done, the cheapest way to have done them."""
    count = len(knot)
    cost = [[wins.get((knot[b], knot[a]), 0) for b in range(count)] for a in range(count)]
    cheapest = [0] * (1 << count)
    last = [0] * (1 << count)
    for done in range(1, 1 << count):
        least = -1
        for step in range(count - 1, -1, -1):
            if done >> step & 1:
                rest = done & ~(1 << step)
                broken = cheapest[rest] + sum(cost[at][step] for at in range(count) if rest >> at & 1)
                if least < 0 or broken < least:
                    least, last[done] = broken, step
        cheapest[done] = least
    out = []
    done = (1 << count) - 1
    while done:
        out.append(knot[last[done]])
        done &= ~(1 << last[done])
    return out[::-1]


def _settle(knot: Sequence[str], orders: Sequence[Sequence[str]], wins: Wins) -> list[str]:
    """Improve the mean order and each job's own, and give the best that comes of it."""
    starts = [list(knot)]
    for order in sorted({tuple(dict.fromkeys(order)) for order in orders}):
        own = [s for s in order if s in set(knot)]
        if len(own) > len(knot) // 2:
            starts.append([*own, *(s for s in knot if s not in own)])
    tried = [_improve(start, wins) for start in starts[:MOST_STARTS]]
    return min(tried, key=lambda o: count_broken(o, wins))


def _improve(start: Sequence[str], wins: Wins) -> list[str]:
    """Move one step, or a run of steps, to where it breaks fewest, until nothing gets better."""
    order = list(start)
    is_better = True
    while is_better:
        is_better = False
        for length in range(1, len(order) // 2 + 1):
            for at in range(len(order) - length + 1):
                moved = _move(order, at, length, wins)
                if moved is not None:
                    order, is_better = moved, True
    return order


def _move(order: list[str], at: int, length: int, wins: Wins) -> list[str] | None:
    run, rest = order[at : at + length], order[:at] + order[at + length :]
    change, best, place = 0, 0, at
    for to in range(at - 1, -1, -1):
        change += _change(rest[to], run, wins)
        if change < best:
            best, place = change, to
    change = 0
    for to in range(at, len(rest)):
        change -= _change(rest[to], run, wins)
        if change < best:
            best, place = change, to + 1
    return rest[:place] + run + rest[place:] if best < 0 else None


def _change(passed: str, run: Sequence[str], wins: Wins) -> int:
    """Give how many more pairs are broken when a run is moved from behind a step to before it."""
    return sum(wins.get((passed, s), 0) - wins.get((s, passed), 0) for s in run)
