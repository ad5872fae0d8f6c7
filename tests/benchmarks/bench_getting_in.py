"""How the planner compares with a mere look over a dense grid, in the same run.

Run it: ``python tests/benchmarks/bench_getting_in.py``. A rectangle round a square corner. The grid has steps
of 20 mm and 2 degrees, and says nothing nearer to the limit than that; the planner is asked 3 mm off it and
answers soundly. Budget: a fifth of the grid's time, in which nothing is searched yet.
"""

import sys
from time import perf_counter

import numpy as np
import shapely
from shapely import Polygon

from fitting.getting_in.passage import longest_round_corner
from fitting.getting_in.passing import FloatArray, Passing, Pose, rectangle, turned
from fitting.getting_in.planner import find_way

FIRST, SECOND, THICK = 900.0, 900.0, 600.0
STEP, DEGREES = 20.0, 2
BUDGET = 0.2


def walls(long: float) -> tuple[FloatArray, ...]:
    """Give the walls of the corner."""
    far = 2 * long
    return (
        rectangle(-100, -100, 100, SECOND + far),
        rectangle(0, -100, FIRST + far, 100),
        rectangle(FIRST, SECOND, far, far),
    )


def plan(long: float) -> Passing:
    """Ask the planner."""
    bar = rectangle(-long / 2, -THICK / 2, long, THICK)
    ends = Pose(FIRST / 2, SECOND + long, -np.pi / 2), Pose(FIRST + long, SECOND / 2, 0.0)
    reach = 2 * long - 100
    return find_way(bar, walls(long), *ends, within=(-100, -100, FIRST + reach, SECOND + reach))


def grid(long: float) -> int:
    """Count the free places and turns of a quarter: what a search over the grid would begin with."""
    solid = shapely.union_all([Polygon(ring) for ring in walls(long)])
    shapely.prepare(solid)
    bar = rectangle(-long / 2, -THICK / 2, long, THICK)
    across = np.arange(0, FIRST + long, STEP)
    places = np.stack(np.meshgrid(across, across, indexing="ij"), axis=-1).reshape(-1, 1, 2)
    free = 0
    for degrees in range(-90, 1, DEGREES):
        shapes = shapely.polygons(places + turned(bar, np.radians(degrees)))
        free += int((~shapely.intersects(solid, shapes)).sum())
    return free


def main() -> int:
    """Print the ratio; return 1 where it is over the budget."""
    longest = longest_round_corner(FIRST, SECOND, THICK)
    over = False
    for off, expected in ((-3.0, "goes"), (3.0, "does not go")):
        started = perf_counter()
        answer = plan(longest + off)
        planned = perf_counter() - started
        assert answer.verdict == expected, answer.verdict
        started = perf_counter()
        grid(longest + off)
        gridded = perf_counter() - started
        over |= planned > BUDGET * gridded
        print(
            f"{off:+5.0f} mm  {expected:12s}{planned:8.3f} s  grid{gridded:8.3f} s  {planned / gridded:5.2f}x"
        )
    return int(over)


if __name__ == "__main__":
    sys.exit(main())
