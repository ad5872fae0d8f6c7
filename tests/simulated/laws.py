"""Laws of how far real walls are from flat, each unlike the others, to be drawn from.

A surface gives the deviation in mm, positive toward the room, at places along a wall (from its left end) and
up. Sizes of what builders leave behind are common knowledge of the trade, without a source, unless said.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
Part = Callable[[FloatArray, FloatArray], FloatArray]


@dataclass(frozen=True, eq=False)
class Waves:
    """A sum of cosines: stationary, Gaussian in the limit, and quick along a line of even steps."""

    along: FloatArray
    up: FloatArray
    phase: FloatArray
    size: FloatArray

    def __call__(self, along: FloatArray, up: FloatArray) -> FloatArray:
        angle = np.multiply.outer(along, self.along) + np.multiply.outer(up, self.up) + self.phase
        return np.asarray(np.cos(angle) @ self.size)

    def line(self, start: tuple[float, float], step: tuple[float, float], count: int) -> FloatArray:
        """Return what `__call__` does at start, start + step, ...: a wall at the cost of a few points."""
        block = math.isqrt(max(count - 1, 0)) + 1
        turn = self.along * step[0] + self.up * step[1]
        first = self.size * np.exp(1j * (self.along * start[0] + self.up * start[1] + self.phase))
        inner = np.cumprod(np.vstack([np.ones_like(first), np.tile(np.exp(1j * turn), (block - 1, 1))]), 0)
        outer = np.cumprod(np.vstack([first, np.tile(np.exp(1j * turn * block), (block - 1, 1))]), 0)
        real = outer.real @ inner.real.T - outer.imag @ inner.imag.T
        return np.asarray(real.ravel()[:count])


@dataclass(frozen=True, eq=False)
class Surface:
    """The sum of its parts."""

    parts: tuple[Part, ...] = ()

    def __call__(self, along: ArrayLike, up: ArrayLike) -> FloatArray:
        s, z = np.asarray(along, float), np.asarray(up, float)
        if s.shape != z.shape:
            s, z = s + 0.0 * z, z + 0.0 * s  # as numpy broadcasts, and quicker for few points
        total = np.zeros(s.shape)
        for part in self.parts:
            total = total + part(s, z)
        return total

    def line(self, start: tuple[float, float], step: tuple[float, float], count: int) -> FloatArray:
        """Return the deviations at `count` places in even steps from a first one, (along, up) each."""
        steps = np.arange(count)
        s, z = start[0] + step[0] * steps, start[1] + step[1] * steps
        total = np.zeros(count)
        for part in self.parts:
            total += part.line(start, step, count) if isinstance(part, Waves) else part(s, z)
        return total


FLAT = Surface()
LEVEL_TO_LEVEL = 2400.0
"""Floor to ceiling."""


def draw(law: str, length: float, inside: tuple[bool, bool], rng: np.random.Generator) -> Surface:
    """Draw a wall's surface.

    `length` in mm; `inside` says whether the left and the right end are inside corners, where mud is.

    >>> draw("flat", 900.0, (True, True), np.random.default_rng(1))([0.0, 450.0], 850.0)
    array([0., 0.])
    """
    if law == "flat":
        return FLAT
    if law not in LAWS:
        raise ValueError(f"expected a law out of {', '.join(LAWS)} or flat, got {law!r}: use one of these")
    ends = [end for end, there in zip((0.0, length), inside, strict=True) if there]
    return Surface((*LAWS[law](length, rng), *(mud(end, length, rng) for end in ends)))


# What all inside corners have


def mud(end: float, length: float, rng: np.random.Generator) -> Part:
    """0 to 3 mm in the corner, differing with height, an eighth of it left after 50 to 300 mm.

    One corner in six has none. Behind the corner it goes on as thick as in it.
    """
    height = 0.0 if rng.random() < 1 / 6 else rng.uniform(0.0, 3.0)
    fade, wave, phase = rng.uniform(50.0, 300.0), rng.uniform(500.0, 2500.0), rng.uniform(0.0, 2 * math.pi)
    sign = 1.0 if end == 0.0 else -1.0

    def built_up(s: FloatArray, z: FloatArray) -> FloatArray:
        thick = height * (0.65 + 0.35 * np.cos(2 * math.pi * z / wave + phase))
        return thick * np.exp(-2.0 * np.maximum(sign * (s - end), 0.0) / fade)

    return built_up


# As assumed, and wavy


def _waves(
    rng: np.random.Generator, sd: float, along: float, up: float, rough: bool, count: int
) -> tuple[FloatArray, ...]:
    """Draw frequencies from the spectrum.

    A squared exponential's is a Gaussian; in the plane a Matern's of order v is a t of 2 v degrees of freedom
    (Rasmussen and Williams, Gaussian Processes for Machine Learning, 4.2.1; from memory).
    """
    frequency = rng.normal(size=(2, count))
    if rough:
        frequency /= np.sqrt(rng.chisquare(3.0, size=count) / 3.0)
    size = np.full(count, sd * math.sqrt(2.0 / count))
    return frequency[0] / along, frequency[1] / up, rng.uniform(0.0, 2 * math.pi, count), size


def _gaussian(rng: np.random.Generator, short: float) -> Waves:
    drawn = (
        _waves(rng, 1.5, 1500.0, 1500.0, False, 24),
        _waves(rng, 1.0 * short, 300.0, 700.0, True, 64),
        _waves(rng, 0.4 * short, 120.0, 120.0, True, 96),
    )
    return Waves(*(np.concatenate(columns) for columns in zip(*drawn, strict=True)))


def as_assumed(length: float, rng: np.random.Generator) -> tuple[Part, ...]:
    """Stationary Gaussian waves: bow, waviness, and fine."""
    return (_gaussian(rng, 1.0),)


def wavy(length: float, rng: np.random.Generator) -> tuple[Part, ...]:
    """The same with its short waves half as high again."""
    return (_gaussian(rng, 1.5),)


# Framed


def framed(length: float, rng: np.random.Generator) -> tuple[Part, ...]:
    """Studs that bow and stand apart, board drawn in at them, taped seams."""
    return (_bow(length, rng), _studs(length, rng), *_seams(length, rng))


def _bow(length: float, rng: np.random.Generator) -> Part:
    size, tilt = rng.normal(0.0, 0.6 + 0.6 * length / 1000.0), rng.uniform(-0.5, 0.5)

    def bow(s: FloatArray, z: FloatArray) -> FloatArray:
        return size * np.sin(math.pi * s / length) * (1.0 + tilt * np.cos(math.pi * z / LEVEL_TO_LEVEL))

    return bow


def _studs(length: float, rng: np.random.Generator) -> Part:
    """Each stud is a little out and has a crown of its own; between two, the board bulges out."""
    spacing = rng.choice([406.4, 400.0])
    start = -rng.uniform(0.2, 1.2) * spacing
    count = int((length - start) / spacing) + 3
    out, crown = rng.normal(0.0, 0.7, count), rng.normal(0.0, 0.8, count)
    bulge, screws = rng.uniform(0.3, 1.2), rng.uniform(0.0, 2 * math.pi)

    def studs(s: FloatArray, z: FloatArray) -> FloatArray:
        where = np.clip((s - start) / spacing, 0.0, count - 1.001)
        left = where.astype(int)
        part = where - left
        share = (1.0 - np.cos(math.pi * part)) / 2
        upright = np.sin(math.pi * np.clip(z / LEVEL_TO_LEVEL, 0.0, 1.0))
        lefts, rights = (out[k] + upright * crown[k] for k in (left, left + 1))
        drawn_in = (
            bulge * np.sin(math.pi * part) ** 2 * (1.0 + 0.3 * np.cos(2 * math.pi * z / 300.0 + screws))
        )
        return (1.0 - share) * lefts + share * rights + drawn_in

    return studs


def _seams(length: float, rng: np.random.Generator) -> list[Part]:
    """Boards of 1220 mm stand or lie: seams run up, or one runs along and short ones stop at it."""
    if rng.random() < 0.5:
        first = rng.uniform(0.0, 1220.0)
        return [_seam(at, False, rng) for at in np.arange(first, length, 1220.0)]
    butts = rng.uniform(0.0, length, int(rng.random() < length / 2400.0))
    return [_seam(rng.uniform(1150.0, 1250.0), True, rng), *(_seam(at, False, rng) for at in butts)]


def _seam(at: float, lying: bool, rng: np.random.Generator) -> Part:
    width, height = rng.uniform(200.0, 300.0), rng.uniform(1.0, 2.5)

    def seam(s: FloatArray, z: FloatArray) -> FloatArray:
        away = np.clip(((z if lying else s) - at) / width, -0.5, 0.5)
        return height * np.cos(math.pi * away) ** 2

    return seam


# Plastered


def plastered(length: float, rng: np.random.Generator) -> tuple[Part, ...]:
    """Floated by eye: a wandering line, dishes of the trowel, hollows and humps with heavy tails."""
    return (_wander(length, rng), _dishes(length, rng), _humps(length, rng))


GRID = 5.0
"""Drawn lines are kept every so many mm, with straight lines between."""


def _wander(length: float, rng: np.random.Generator) -> Part:
    """A random walk low on the wall and another one high, each smoothed over a hand's breadth or two."""
    grid = np.arange(-100.0, length + 100.0 + GRID, GRID)
    kernel = np.hanning(round(rng.uniform(100.0, 260.0) / GRID))
    walks = rng.standard_t(4.0, (2, grid.size + kernel.size - 1)).cumsum(axis=1) * 0.11
    low, high = (np.convolve(walk, kernel / kernel.sum(), "valid") for walk in walks)
    low, high = (line - line.mean() for line in (low, high))

    def wander(s: FloatArray, z: FloatArray) -> FloatArray:
        share = (1.0 - np.cos(math.pi * np.clip((z - 300.0) / 1500.0, 0.0, 1.0))) / 2
        return (1.0 - share) * np.interp(s, grid, low) + share * np.interp(s, grid, high)

    return wander


def _dishes(length: float, rng: np.random.Generator) -> Part:
    """Between ridges 150 to 400 mm apart, hollows of a fraction of a millimetre."""
    ridges = np.cumsum(rng.uniform(150.0, 400.0, int(length / 150.0) + 4)) - 400.0
    grid = np.arange(-100.0, length + 100.0 + GRID, GRID)
    number = np.clip(np.searchsorted(ridges, grid) - 1, 0, ridges.size - 2)
    part = (grid - ridges[number]) / (ridges[number + 1] - ridges[number])
    depth = np.abs(rng.standard_t(4.0, ridges.size)) * 0.5
    line = -depth[number] * np.sin(math.pi * np.clip(part, 0.0, 1.0)) ** 2
    slant, wave = rng.normal(0.0, 0.05), rng.uniform(700.0, 1800.0)

    def dishes(s: FloatArray, z: FloatArray) -> FloatArray:
        return np.interp(s + slant * z, grid, line) * (1.0 + 0.4 * np.sin(2 * math.pi * z / wave))

    return dishes


def _humps(length: float, rng: np.random.Generator) -> Part:
    """About ten a square metre, 80 to 500 mm wide, higher than they are wide, of a heavy-tailed height."""
    count = rng.poisson(10.0 * length * LEVEL_TO_LEVEL / 1e6)
    width = np.exp(rng.uniform(math.log(80.0), math.log(500.0), count)) / 2
    tall = width * rng.uniform(1.0, 3.0, count)
    at, up = rng.uniform(-50.0, length + 50.0, count), rng.uniform(0.0, LEVEL_TO_LEVEL, count)
    size = rng.standard_t(3.0, count) * 0.45

    def humps(s: FloatArray, z: FloatArray) -> FloatArray:
        s, z = s[..., None], z[..., None]
        far = ((s - at) / width) ** 2 + ((z - up) / tall) ** 2
        return np.asarray(np.exp(-0.5 * np.minimum(far, 60.0)) @ size)

    return humps


# Masonry


def masonry(length: float, rng: np.random.Generator) -> tuple[Part, ...]:
    """Floated between screeds: flat facets with kinks, small steps, and a rough face."""
    rough = Waves(*_waves(rng, 0.2, 60.0, 60.0, False, 40))
    return (_facets(length, rng), _steps(length, rng), rough)


def _facets(length: float, rng: np.random.Generator) -> Part:
    across = np.concatenate([[-200.0], np.cumsum(rng.uniform(300.0, 900.0, int(length / 300.0) + 3)) - 200.0])
    upward = np.concatenate([[-300.0], np.cumsum(rng.uniform(300.0, 900.0, 12)) - 300.0])
    size = rng.normal(0.0, 1.6, (across.size, upward.size))

    def facets(s: FloatArray, z: FloatArray) -> FloatArray:
        i, p = _between(across, s)
        j, q = _between(upward, z)
        low, high = ((1 - p) * size[i, k] + p * size[i + 1, k] for k in (j, j + 1))
        return np.asarray((1 - q) * low + q * high)

    return facets


def _between(marks: FloatArray, at: FloatArray) -> tuple[NDArray[np.intp], FloatArray]:
    number = np.clip(np.searchsorted(marks, at) - 1, 0, marks.size - 2)
    return number, np.clip((at - marks[number]) / (marks[number + 1] - marks[number]), 0.0, 1.0)


def _steps(length: float, rng: np.random.Generator) -> Part:
    """About one in half a metre, up to a millimetre or two, blended by the trowel over 30 to 60 mm."""
    count = rng.poisson(length / 500.0)
    at, width = rng.uniform(0.0, length, count), rng.uniform(30.0, 60.0, count)
    size, lean = rng.normal(0.0, 0.7, count), rng.normal(0.0, 0.02, count)

    def steps(s: FloatArray, z: FloatArray) -> FloatArray:
        part = np.clip((s[..., None] - at - lean * z[..., None]) / width + 0.5, 0.0, 1.0)
        return np.asarray((part * part * (3.0 - 2.0 * part) - 0.5) @ size)

    return steps


LAWS: dict[str, Callable[[float, np.random.Generator], tuple[Part, ...]]] = {
    "as-assumed": as_assumed,
    "framed": framed,
    "plastered": plastered,
    "masonry": masonry,
    "wavy": wavy,
}
