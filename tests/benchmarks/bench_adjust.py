"""Compare the adjustment with scipy's least_squares on one machine in one run.

Run with `python tests/benchmarks/bench_adjust.py`; ends with status 1 where a budget is missed.
Budgets: 10 points and 60 distances at least 5 times faster than `least_squares` with its numeric
Jacobian and 1.5 times faster than its analytic `trf`, equal to 1e-6 mm when the reference runs with
tolerances of 1e-15; 200 readings with a full covariance within one frame of 16.7 ms.
"""

import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

import numpy as np
from scipy.optimize import least_squares

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "fitting"))

from networks import adjust_network
from test_adjust import random_network, scipy_state

from fitting.adjust import adjust

NUMERIC, ANALYTIC, EQUAL_MM, FRAME_MS = 5.0, 1.5, 1e-6, 16.7


def milliseconds(*jobs: Callable[[], object], rounds: int = 30, calls: int = 10) -> list[float]:
    """Median time of each job; turns of some calls each, so a busy machine slows all alike."""
    times: list[list[float]] = [[] for _ in jobs]
    for _ in range(rounds):
        for job, taken in zip(jobs, times, strict=True):
            began = perf_counter()
            for _ in range(calls):
                job()
            taken.append(1000 * (perf_counter() - began) / calls)
    return [median(taken) for taken in times]


def network() -> bool:
    """10 points, 60 distances: the ratios to scipy, and the largest difference."""
    room = random_network(np.random.default_rng(1), points=10, readings=60)
    linearise, sd, start = room.linearise(), np.sqrt(room.variance), room.unknowns

    at = {name: i for i, name in enumerate([*room.start, *room.fixed])}
    begin, end = np.array([[at[name] for name in d.ends] for d in room.distances]).T
    corners, observed = np.array(list(room.fixed.values())), room.observed

    def residuals(state: np.ndarray) -> np.ndarray:
        """No more than scipy needs: without slopes, or the reference would look slow."""
        points = np.concatenate([state.reshape(-1, 2), corners])
        ray = points[end] - points[begin]
        return (np.hypot(ray[:, 0], ray[:, 1]) - observed) / sd

    def jacobian(state: np.ndarray) -> np.ndarray:
        return linearise(state)[1] / sd[:, None]

    assert np.allclose(residuals(start), -linearise(start)[0] / sd)

    ours, numeric, analytic = milliseconds(
        lambda: adjust(linearise, start, sd**2),
        lambda: least_squares(residuals, start),
        lambda: least_squares(residuals, start, jac=jacobian, method="trf"),
    )
    apart = float(np.abs(adjust_network(room).state - scipy_state(room)).max())
    print(f"10 points, 60 distances: {ours:.2f} ms")
    print(f"  scipy, numeric Jacobian {numeric / ours:6.1f} times as long (at least {NUMERIC:g})")
    print(f"  scipy, analytic trf     {analytic / ours:6.1f} times as long (at least {ANALYTIC:g})")
    print(f"  largest difference      {apart:.1e} mm (at most {EQUAL_MM:g})")
    return numeric / ours >= NUMERIC and analytic / ours >= ANALYTIC and apart <= EQUAL_MM


def room() -> bool:
    """A full covariance with priors, its tests and a prediction at 200 places."""
    random = np.random.default_rng(2)
    m, n, k = 200, 40, 200
    place = random.uniform(0, 3000, m + k)
    kernel = 2.0 * np.exp(-np.abs(place[:, None] - place) / 300)
    sigma = kernel[:m, :m] + 0.25 * np.eye(m)
    design, star, observed = (random.normal(size=size) for size in [(m, n), (k, n), m])

    def refit() -> None:
        found = adjust(
            lambda state: (observed - design @ state, design),
            np.zeros(n),
            sigma,
            prior_sd=np.full(n, 10.0),
        )
        assert np.isfinite(found.standardized).all()
        found.predict(star, kernel[m:, :m], kernel[m:, m:])

    (taken,) = milliseconds(refit)
    print(f"200 readings, 40 unknowns, full covariance, predicted at 200 places: {taken:.1f} ms")
    print(f"  (at most {FRAME_MS:g})")
    return taken <= FRAME_MS


if __name__ == "__main__":
    sys.exit(not all([network(), room()]))
