"""A piece tried in 1,000 rooms drawn, at 150 places: how long until it is known whether it goes in.

Run with `python tests/benchmarks/bench_chance.py`; ends with status 1 where a budget is missed. Budgets are
ratios to what one exchange costs at least, in the same run: one product of the rooms with a (150 x 150)
matrix and 1,000 inverses of 4 x 4. The pose that leaves most room may take 10 times as long (50 ms where that
is 5 ms), the pose kept to both sides (300 rows) 20 times. Beside them stand, in ms, `goes_in` as a whole and
scipy's linear programme for one room times 1,000.
"""

import os
import sys
from collections.abc import Callable
from statistics import median
from time import perf_counter

# Threads only wait for one another here.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from scipy.optimize import linprog

from fitting.chance import draws_of, goes_in
from fitting.joint import Joint
from fitting.play import ease, most_room, within

ROOMS, EACH = 1000, 50
LIMITS = np.array([0.02, 20.0, 20.0])
RATIO, BOTH_RATIO = 10.0, 20.0


def milliseconds(*jobs: Callable[[], object], rounds: int = 25) -> list[float]:
    """Median time of each job, in turns, so that a busy machine slows all alike."""
    times: list[list[float]] = [[] for _ in jobs]
    for _ in range(rounds):
        for job, taken in zip(jobs, times, strict=True):
            began = perf_counter()
            job()
            taken.append(1000 * (perf_counter() - began))
    return [median(taken) for taken in times]


def alcove() -> tuple[np.ndarray, Joint]:
    """A piece between three uneven walls, 50 places at each: what motions do, and its clearances."""
    x, y = np.linspace(0.0, 1200.0, EACH), np.linspace(0.0, 600.0, EACH)
    one, none = np.ones(EACH), np.zeros(EACH)
    left, right = np.column_stack([-y, none, one]), np.column_stack([y, none, -one])
    at, wall = np.concatenate([y, x, y]), np.repeat([0, 1, 2], EACH)
    alike = wall[:, None] == wall
    uneven = alike * np.exp(-np.abs(at[:, None] - at) / 200) + 0.05 * np.eye(3 * EACH)
    effects = np.vstack([left, np.column_stack([-x, -one, none]), right])
    return effects, Joint(np.full(3 * EACH, 2.5), uneven)


def main() -> bool:
    effects, clearance = alcove()
    rooms, greatest = draws_of(clearance, ROOMS), np.full(3 * EACH, 6.0)
    small = np.random.default_rng(1).normal(size=(ROOMS, 4, 4))
    parts = tuple(slice(EACH * wall, EACH * (wall + 1)) for wall in range(3))
    failing = rooms[most_room(effects, rooms, LIMITS).room < 0]
    least, room, both, eased, whole = milliseconds(
        lambda: (rooms @ clearance.covariance, np.linalg.inv(small)),
        lambda: most_room(effects, rooms, LIMITS),
        lambda: within(effects, rooms, LIMITS, greatest),
        lambda: ease(effects, failing, LIMITS),
        lambda: goes_in(effects, clearance, LIMITS, greatest, rounding=0.5, parts=parts, draws=ROOMS),
    )

    def by_scipy() -> None:
        rows, bounds = np.column_stack([-effects, np.ones(3 * EACH)]), [(-one, one) for one in LIMITS]
        linprog([0, 0, 0, -1.0], A_ub=rows, b_ub=rooms[0], bounds=[*bounds, (None, None)], method="highs")

    (scipy,) = milliseconds(by_scipy)
    print(f"{ROOMS} rooms, {3 * EACH} places; one product and {ROOMS} small inverses {least:.2f} ms")
    print(f"  most_room {room:6.1f} ms, {room / least:5.1f} times (at most {RATIO:g})")
    print(f"  within    {both:6.1f} ms, {both / least:5.1f} times (at most {BOTH_RATIO:g})")
    print(f"  ease      {eased:6.1f} ms for {len(failing)} rooms without room")
    print(f"  goes_in   {whole:6.1f} ms, drawing, both sides and parts together")
    print(f"  scipy, one programme a room: {scipy * ROOMS / room:.0f} times as long as most_room")
    return room / least <= RATIO and both / least <= BOTH_RATIO


if __name__ == "__main__":
    sys.exit(not main())
