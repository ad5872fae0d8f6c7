"""Points in a plane, and heights, as parametrisations of `fitting.adjust.adjust`.

Lengths in any one unit, angles in radians, clockwise from north (y) as surveyors count them.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fitting.adjust import Adjustment, adjust

FloatArray = NDArray[np.float64]
Linearise = Callable[[FloatArray], tuple[FloatArray, FloatArray]]


@dataclass(frozen=True)
class Distance:
    ends: tuple[str, str]
    value: float
    sd: float


@dataclass(frozen=True)
class Angle:
    """Clockwise at `at` from `start` to `end`; a bearing, from north to `end`, without `start`."""

    at: str
    start: str | None
    end: str
    value: float
    sd: float


@dataclass(frozen=True)
class Published:
    """What the source prints: x, sd of x, y, sd of y (m, mm) of points, and s0 in units of sd."""

    points: dict[str, tuple[float, float, float, float]]
    s0: float
    redundancy: tuple[float, ...] = ()
    distances: tuple[float, ...] = ()
    standardized: tuple[float, ...] = ()


@dataclass(frozen=True)
class Network:
    source: str
    fixed: dict[str, tuple[float, float]]
    start: dict[str, tuple[float, float]]
    distances: tuple[Distance, ...]
    angles: tuple[Angle, ...] = ()
    freedom: int = 0
    published: Published | None = None

    def scaled(self, factor: float) -> "Network":
        """The same network `factor` times as large, readings and accuracies too."""
        return replace(
            self,
            fixed={name: (x * factor, y * factor) for name, (x, y) in self.fixed.items()},
            start={name: (x * factor, y * factor) for name, (x, y) in self.start.items()},
            distances=tuple(replace(d, value=d.value * factor, sd=d.sd * factor) for d in self.distances),
        )

    @property
    def extent(self) -> float:
        return float(np.ptp(np.array([*self.fixed.values(), *self.start.values()]), axis=0).max())

    def index(self, *ends: str) -> int:
        """Row of the distance between two points, or of the angle named by three."""
        if len(ends) == 2:
            return next(i for i, d in enumerate(self.distances) if set(d.ends) == set(ends))
        rows = (i for i, a in enumerate(self.angles) if (a.at, a.start, a.end) == ends)
        return len(self.distances) + next(rows)

    def read(self, ends: tuple[str, str], value: float) -> "Network":
        """The same network with another reading of one distance."""
        row = self.index(*ends)
        changed = replace(self.distances[row], value=value)
        return replace(self, distances=(*self.distances[:row], changed, *self.distances[row + 1 :]))

    def without(self, *ends: str) -> "Network":
        """The same network without one reading."""
        row = self.index(*ends)
        kept = [r for i, r in enumerate([*self.distances, *self.angles]) if i != row]
        return replace(
            self,
            distances=tuple(r for r in kept if isinstance(r, Distance)),
            angles=tuple(r for r in kept if isinstance(r, Angle)),
        )

    @property
    def observed(self) -> FloatArray:
        return np.array([reading.value for reading in [*self.distances, *self.angles]])

    @property
    def variance(self) -> FloatArray:
        return np.array([reading.sd**2 for reading in [*self.distances, *self.angles]])

    @property
    def unknowns(self) -> FloatArray:
        return np.array(list(self.start.values())).ravel()

    @property
    def names(self) -> list[str]:
        return [f"{name} {axis}" for name in self.start for axis in "xy"]

    def linearise(self) -> Linearise:
        """Observed − computed and design of the unfixed points' x, y in the order of `start`."""
        reach = self._rays([d.ends for d in self.distances])
        ahead = self._rays([(a.at, a.end) for a in self.angles])
        behind = self._rays([(a.at, a.start) for a in self.angles])
        observed, d = self.observed, len(self.distances)

        def linearise(state: FloatArray) -> tuple[FloatArray, FloatArray]:
            points = state.reshape(-1, 2)
            length, slope = lengths(reach.at(points))
            if not self.angles:
                return observed - length, reach.design(slope)
            end, end_slope = bearings(ahead.at(points))
            start, start_slope = bearings(behind.at(points))
            angle = np.remainder(observed[d:] - end + start + np.pi, 2 * np.pi) - np.pi
            turned = ahead.design(end_slope) - behind.design(start_slope)
            return np.concatenate([observed[:d] - length, angle]), np.concatenate(
                [reach.design(slope), turned]
            )

        return linearise

    def _rays(self, ends: Sequence[tuple[str, str | None]]) -> "Rays":
        column = {name: i for i, name in enumerate(self.start)}
        ties, held = np.zeros((len(ends), len(column))), np.zeros((len(ends), 2))
        for row, (begin, end) in enumerate(ends):
            if end is None:
                held[row] = 0.0, 1.0  # north
                continue
            for name, sign in ((begin, -1.0), (end, 1.0)):
                if name in column:
                    ties[row, column[name]] = sign
                else:
                    held[row] += sign * np.array(self.fixed[name])
        return Rays(ties, held)


@dataclass(frozen=True)
class Rays:
    """Differences of points: `ties` ±1 for unfixed ones, `held` what fixed ones add."""

    ties: FloatArray  # (m, points)
    held: FloatArray  # (m, 2)

    def at(self, points: FloatArray) -> FloatArray:
        """x, y from the beginning of each ray to its end (m, 2)."""
        ray: FloatArray = self.ties @ points + self.held
        return ray

    def design(self, slope: FloatArray) -> FloatArray:
        """Slopes with the unfixed points' x, y (m, 2 points), given those with the ray's."""
        return (self.ties[:, :, None] * slope[:, None, :]).reshape(len(self.ties), -1)


def lengths(rays: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Lengths, and their slopes with the ray's x, y."""
    length = np.hypot(rays[:, 0], rays[:, 1])
    return length, rays / length[:, None]


def bearings(rays: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Clockwise from north, and the slopes with the ray's x, y."""
    x, y = rays.T
    return np.arctan2(x, y), np.column_stack([y, -x]) / (x**2 + y**2)[:, None]


def adjust_network(network: Network, start: FloatArray | None = None) -> Adjustment:
    """Adjust; free of a datum where no point is fixed."""
    return adjust(
        network.linearise(),
        network.unknowns if start is None else start,
        network.variance,
        datum="fixed" if network.fixed else "free",
        names=network.names,
    )


@dataclass(frozen=True)
class Levelling:
    """Heights from differences: `lines` are from, to, upward difference, sd."""

    source: str
    fixed: dict[str, float]
    unknown: tuple[str, ...]
    lines: tuple[tuple[str, str, float, float], ...]

    def adjust(self, factor: float = 1.0) -> Adjustment:
        """Adjust, all lengths multiplied by `factor`."""
        observed, sd = np.array([line[2:] for line in self.lines]).T * factor
        column = {name: i for i, name in enumerate([*self.unknown, *self.fixed])}
        everything = np.zeros((len(self.lines), len(column)))
        for row, (start, end, _, _) in enumerate(self.lines):
            everything[row, column[end]] += 1.0
            everything[row, column[start]] -= 1.0
        design = everything[:, : len(self.unknown)]
        known = everything[:, len(self.unknown) :] @ list(self.fixed.values()) * factor
        return adjust(
            lambda state: (observed - known - design @ state, design),
            np.zeros(len(self.unknown)),
            sd**2,
            names=self.unknown,
        )
