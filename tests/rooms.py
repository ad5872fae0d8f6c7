"""A zoo of rooms that are known exactly (tests/true_room.py), named for what is wrong with them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from true_room import Bump, Ground, Mark, Reading, TrueRoom, TrueWall, flat

from fitting.site import Along, Corner, Covering, Distance, Height, Leaning, Level, Prior, Spot


def polygon(
    names: Sequence[str], vertices: Sequence[tuple[float, float]], back: str, closed: bool = False
) -> TrueRoom:
    """Put up walls between vertices, clockwise; angles meant are the nearest right angles.

    Corners are named after the walls that meet: `left-back`.
    """
    ends = [*vertices, vertices[0]] if closed else list(vertices)
    walls = tuple(TrueWall.between(n, a, b) for n, a, b in zip(names, ends[:-1], ends[1:], strict=True))
    following = [*walls[1:], walls[0]] if closed else list(walls[1:])
    corners = []
    for left, right in zip(walls, following, strict=False):
        angle = (math.pi + right.heading - left.heading) % (2 * math.pi)
        meant = round(angle / (math.pi / 2)) * math.pi / 2
        corners.append(Corner(f"{left.name}-{right.name}", left.name, right.name, meant))
    return TrueRoom(back, walls, tuple(corners))


def crown(middle: float, half: float, height: float) -> Bump:
    """A wall that bulges into the room by `height` at `middle` and is back in plane `half` mm away."""
    return lambda along, _up: height * (1.0 - ((along - middle) / half) ** 2)


def ripples(seed: int, height: float) -> Bump:
    """A smooth unevenness with waves of 300 to 2000 mm."""
    random = np.random.default_rng(seed)
    count = 8
    along, up = (2 * math.pi / random.uniform(300.0, 2000.0, count) for _ in range(2))
    phase = random.uniform(0.0, 2 * math.pi, count)
    scale = height / math.sqrt(count / 2)
    return lambda s, z: scale * float(np.cos(along * s + up * z + phase).sum())


def drawn(
    prior: Prior,
    random: np.random.Generator,
    features: int = 200,
    ends: tuple[float, float] = (-math.inf, math.inf),
) -> Bump:
    """Draw a surface from a prior by its spectrum, so that it can be looked at anywhere.

    Frequencies are drawn anew for each surface, so over many the covariance is exactly the prior's.
    Spectra: Gaussian for a squared exponential; Student t of 3 degrees of freedom for a Matern-3/2
    (Rasmussen and Williams, Gaussian Processes for Machine Learning, 4.2.1; from memory). `ends` are where
    along the wall its inside corners are, in which something is built up.
    """
    rows, phases, sizes = [], [], []
    for wave in prior.waves:
        frequency = random.normal(size=(features, 2))
        if wave.shape == "rough":
            frequency /= np.sqrt(random.chisquare(3.0, size=(features, 1)) / 3.0)
        rows.append(frequency / np.array([wave.along, wave.up]))
        phases.append(random.uniform(0.0, 2 * math.pi, features))
        sizes.append(np.full(features, wave.sd * math.sqrt(2.0 / features)))
    along, up = np.concatenate(rows).T
    phase, size = np.concatenate(phases), np.concatenate(sizes)

    def waves(s: float, z: float) -> float:
        return np.cos(np.multiply.outer(s, along) + np.multiply.outer(z, up) + phase) @ size

    parts = [waves, *(_built_up(prior, random, end, features) for end in ends if math.isfinite(end))]
    return lambda s, z: sum(part(s, z) for part in parts)


def _built_up(prior: Prior, random: np.random.Generator, end: float, features: int) -> Bump:
    """Draw what is built up in a corner: for each fade a height that changes upward, by its spectrum."""
    built = prior.build_up
    if built is None:
        return flat
    upward = random.normal(size=(len(built.fades), features))
    upward /= np.sqrt(random.chisquare(3.0, size=upward.shape) / 3.0) * built.up
    phase = random.uniform(0.0, 2 * math.pi, upward.shape)
    size = built.sd * math.sqrt(2.0 / features / len(built.fades))

    def bump(s: float, z: float) -> float:
        heights = size * np.cos(np.multiply.outer(z, upward) + phase).sum(axis=-1)
        return (heights * np.exp(-np.abs(np.subtract.outer(s, [end])) / built.fades)).sum(axis=-1)

    return bump


# The zoo. Corners are called after their walls, marks after what they are.

ALCOVE = [(0.0, -900.0), (0.0, 0.0), (1500.0, 0.0), (1500.0, -900.0)]
THREE = ["left", "back", "right"]


def square() -> TrueRoom:
    return polygon(THREE, ALCOVE, "back")


def out_of_square() -> TrueRoom:
    """Left corner wider than square, right one tighter."""
    return polygon(THREE, [(-25.0, -900.0), (0.0, 0.0), (1512.0, 0.0), (1493.0, -880.0)], "back")


def leaning() -> TrueRoom:
    """Left and back lean into the room, right leans away."""
    return (
        out_of_square().changed("left", tilt=0.004).changed("back", tilt=0.003).changed("right", tilt=-0.005)
    )


def bowed() -> TrueRoom:
    """A hump of 6 mm in the back wall, side walls flat."""
    return square().changed("back", bump=crown(750.0, 750.0, 6.0))


def alcove() -> TrueRoom:
    """Everything at once: out of square and plumb, uneven, tile to come on back and right."""
    room = leaning()
    for seed, wall in enumerate(THREE):
        room = room.changed(wall, bump=ripples(seed, 2.0))
    coverings = (
        Covering("back", 11.0, 0.5, bottom=700.0, top=1300.0),
        Covering("right", 9.5, 0.5, start=0.0, end=600.0, bottom=0.0),
    )
    marks = {
        "drain": Mark("back", 640.0, height=520.0),
        "casing": Mark("right", 560.0, lean=0.006, height=0.0),
        "stud": Mark("left", -330.0),
    }
    grounds = {
        "floor": Ground(-12.0, 0.004, -0.003, ripples(9, 1.5)),
        "ceiling": Ground(2412.0, -0.002, 0.001),
    }
    return replace(room, coverings=coverings, marks=marks, grounds=grounds)


def l_shaped() -> TrueRoom:
    """Six walls, one outside corner where `jog` ends and `far` begins."""
    vertices = [
        (-12.0, -2600.0), (0.0, 0.0), (2400.0, 0.0), (2412.0, -1395.0), (1405.0, -1402.0), (1398.0, -2588.0),
    ]  # fmt: skip
    return polygon(["left", "back", "right", "jog", "far", "front"], vertices, "back", closed=True)


def closed_room() -> TrueRoom:
    vertices = [(9.0, -2105.0), (0.0, 0.0), (2403.0, 0.0), (2391.0, -2095.0)]
    room = polygon(["left", "back", "right", "front"], vertices, "back", closed=True)
    return room.changed("right", tilt=0.002).changed("front", tilt=-0.003)


def chimney_breast() -> TrueRoom:
    """The recess's back wall, then the breast: cheek, face, other cheek; two outside corners."""
    vertices = [
        (6.0, -1200.0), (0.0, 0.0), (1105.0, 0.0), (1101.0, -355.0), (2300.0, -361.0), (2304.0, -10.0),
        (3200.0, -14.0),
    ]  # fmt: skip
    names = ["left", "recess", "cheek", "face", "other cheek", "other recess"]
    return polygon(names, vertices, "recess")


def single() -> TrueRoom:
    """One wall and a scratch on it, which is the origin; a stud 700 mm to its right."""
    room = replace(polygon(["wall"], [(-900.0, 0.0), (1300.0, 0.0)], "wall"), origin="scratch")
    marks = {"scratch": Mark("wall", 0.0), "stud": Mark("wall", 700.0, height=1200.0)}
    return replace(room.changed("wall", tilt=0.003, bump=ripples(5, 1.5)), marks=marks)


def two_walls() -> TrueRoom:
    return polygon(["back", "right"], [(-1300.0, 0.0), (0.0, 0.0), (-14.0, -900.0)], "back")


ZOO: dict[str, Callable[[], TrueRoom]] = {
    "square": square,
    "out of square": out_of_square,
    "leaning": leaning,
    "bowed": bowed,
    "alcove": alcove,
    "L-shaped": l_shaped,
    "closed": closed_room,
    "chimney breast": chimney_breast,
    "single": single,
    "two walls": two_walls,
}


# Readings


def tape(key, first, second, first_up=850.0, second_up=850.0, sd=0.5, finished=False) -> Distance:
    return Distance(key, 1.0, sd, first, second, first_up, second_up, finished)


def every_reading(room: TrueRoom, sd: float = 1e-3) -> list[Reading]:
    """Enough to know all: lengths at two heights, three sides of each corner, leans, features, floor."""
    read: list[Reading] = []
    for wall in room.walls:
        starts = [c for c in room.corners if c.right == wall.name]
        ends = [c for c in room.corners if c.left == wall.name]
        names = [c.name for c in (*starts, *ends)]
        if len(names) == 2:
            for up in (300.0, 1500.0):
                read.append(tape(f"length {wall.name} {up}", *names, up, up, sd))
        start = names[0] if names else room.origin
        read.append(Leaning(f"lean {wall.name}", 0.0, sd, wall.name, 250.0, start, 200.0, 1800.0))
    for corner in room.corners:
        left, right = (Spot(wall, 300.0, corner.name) for wall in (corner.left, corner.right))
        read.append(tape(f"three sides {corner.name}", left, right, sd=sd))
    for name, mark in room.marks.items():
        if name != room.origin:
            starts = [c.name for c in room.corners if mark.wall in (c.left, c.right)] or [room.origin]
            for up in (200.0, 1400.0):
                read.append(Along(f"along {name} {up}", 0.0, sd, name, starts[0], up))
            read.append(Height(f"height {name}", 0.0, sd, name))
    for surface in room.grounds:
        for wall, start, out in (
            ("back", "left-back", 10.0),
            ("back", "left-back", 700.0),
            ("back", "back-right", 500.0),
        ):
            read.append(Level(f"{surface} {start} {out}", 0.0, sd, surface, wall, 100.0, start, out))
    return [room.exact(reading) for reading in read]
