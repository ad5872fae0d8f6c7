"""Where a rigid piece truly comes to rest: pushed against real surfaces, by linear programming."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog
from true_room import TrueRoom

from fitting.placement import Against, At, Frame, Lateral, Question, Spotted

FloatArray = NDArray[np.float64]
TOWARD = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "back": (0.0, 1.0)}


def reaches(
    room: TrueRoom, wall: str, frame: Frame, toward: str, x: FloatArray, y: FloatArray, up: FloatArray
) -> FloatArray:
    """How far it is from points of the piece to a wall's finished surface, by going there step by step."""
    it = room.wall(wall)
    cos, sin = math.cos(frame.heading), math.sin(frame.heading)
    start = np.stack([frame.x + cos * x - sin * y, frame.y + sin * x + cos * y], axis=-1)
    dx, dy = TOWARD[toward]
    step = np.array([cos * dx - sin * dy, sin * dx + cos * dy])
    covered = np.vectorize(lambda s, z: room.covered(wall, s, z))
    reach = np.zeros(start.shape[:-1])
    for _ in range(12):  # slopes of walls are below 0.05: each round leaves a twentieth
        along = (start + reach[..., None] * step) @ it.along
        depth = it.offset + it.tilt * up + it.bump(along, up)
        if room.coverings:
            depth = depth + covered(along, up)
        reach = (depth - start @ it.inward) / float(step @ it.inward)
    return reach


def pushed(
    room: TrueRoom,
    wall: str,
    guess: Frame,
    extent: tuple[float, float],
    depth: float,
    span: tuple[float, float],
    lateral: Lateral,
) -> Frame:
    """Push the back against the wall and the piece sideways, again and again till it rests."""
    frame = guess
    for _ in range(4):
        frame = _pushed_back(room, wall, frame, extent, depth, span)
        frame = _moved_sideways(room, frame, depth, span, lateral)
    return frame


def _pushed_back(
    room: TrueRoom,
    wall: str,
    frame: Frame,
    extent: tuple[float, float],
    depth: float,
    span: tuple[float, float],
) -> Frame:
    """The line y = a + b x in front of all points of the wall that is furthest back in the middle."""
    x, up = (grid.ravel() for grid in np.meshgrid(np.linspace(*extent, 61), np.linspace(*span, 5)))
    wall_y = depth + reaches(room, wall, frame, "back", x, np.full_like(x, depth), up)
    middle = sum(extent) / 2
    found = linprog(
        [-1.0, -middle], A_ub=np.column_stack([np.ones_like(x), x]), b_ub=wall_y, bounds=[(None, None)] * 2
    )
    a, b = found.x
    heading = frame.heading + math.atan(b)
    back = frame.to_room(0.0, a)
    return Frame(back[0] + depth * math.sin(heading), back[1] - depth * math.cos(heading), heading)


def _moved_sideways(
    room: TrueRoom, frame: Frame, depth: float, span: tuple[float, float], lateral: Lateral
) -> Frame:
    if isinstance(lateral, At):
        x, y, _ = room.place(lateral.name, sum(span) / 2)
        return Frame(*frame.to_room(frame.to_piece(x, y)[0] + lateral.out, 0.0), frame.heading)
    y, up = (grid.ravel() for grid in np.meshgrid(np.linspace(0.0, depth, 28), np.linspace(*span, 5)))
    if isinstance(lateral, Against):
        near = reaches(room, lateral.wall, frame, lateral.side, np.zeros_like(y), y, up).min() - lateral.gap
        shift = -near if lateral.side == "left" else near
    else:
        left, right = (
            reaches(room, wall, frame, side, np.zeros_like(y), y, up).min()
            for side, wall in (("left", lateral.left), ("right", lateral.right))
        )
        shift = (right - left) / 2
    return Frame(*frame.to_room(shift, 0.0), frame.heading)


def answer(room: TrueRoom, frame: Frame, question: Question) -> float:
    if isinstance(question, Spotted):
        x, y, _ = room.place(question.name, question.up)
        return frame.to_piece(x, y)["xy".index(question.axis)]
    at = (np.array([number]) for number in (question.x, question.y, question.up))
    return float(reaches(room, question.wall, frame, question.toward, *at)[0])
