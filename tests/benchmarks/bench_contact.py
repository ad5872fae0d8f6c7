"""How the contact of a straight edge grows with the number of stations.

Run it: ``python tests/benchmarks/bench_contact.py``. Ten times the stations in n log n take 12.5
times as long; the budget is twice that. A quadratic hull would take 100 times.
"""

import sys
from collections.abc import Callable
from functools import partial
from time import perf_counter

import numpy as np

from fitting.contact import least_scribe, straight_edge, upper_hull

FEW, MANY = 10_000, 100_000
BUDGET = 25.0


def best_seconds(ask: Callable[[], object], repeats: int = 5) -> float:
    """Time the call several times and keep the least."""
    seconds = []
    for _ in range(repeats):
        started = perf_counter()
        ask()
        seconds.append(perf_counter() - started)
    return min(seconds)


def walls(n: int) -> dict[str, tuple[np.ndarray, np.ndarray]]:
    """Make a rough wall (few corners on the hull) and a smooth crown (all stations corners)."""
    along = np.linspace(0, 4000, n)
    rough = np.cumsum(np.random.default_rng(1).normal(0, 0.05, n))
    return {"rough": (along, rough), "crown": (along, along * (4000 - along) / 1e4)}


def main() -> int:
    """Print the ratios; return 1 where one is over the budget."""
    over = False
    few, many = walls(FEW), walls(MANY)
    assert len(upper_hull(*many["crown"])) == MANY, "the crown is no longer the worst case"
    for name in few:
        for ask in (straight_edge, least_scribe):
            short, long = (best_seconds(partial(ask, *wall[name])) for wall in (few, many))
            over |= long / short > BUDGET
            print(f"{ask.__name__:14s}{name:6s}{short:8.4f} s{long:8.4f} s  {long / short:5.1f}x")
    return int(over)


if __name__ == "__main__":
    sys.exit(main())
