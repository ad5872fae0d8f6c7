"""Whether a top fits as often as it was promised, in rooms drawn from the prior and read as one reads.

Nothing of the answer is used to judge it but the blank's two sizes and where the piece was said to touch:
the true surfaces are those of `true_room`, and the piece is pushed against them here.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import piece_rooms as rooms
import pytest
from numpy.typing import NDArray
from rooms import drawn
from scipy.optimize import linprog
from thorough import many
from true_room import TrueRoom

from fitting.allowance import SAW
from fitting.contact import least_scribe, straight_edge
from fitting.piece import EdgePlan
from fitting.placement import Frame
from fitting.seating import CROWN_SHARE
from fitting.site import CornerTurn, Distance, KnownRoom, Leaning, Spot, know_room
from fitting.top import FittedTop, TopPlan, fit_top

FloatArray = NDArray[np.float64]

ROOMS = many(40, 60)
ASKED = 0.9
SURELY = 0.99
AXES = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "back": (0.0, 1.0)}


def room_and_readings(seed: int, width: float) -> tuple[TrueRoom, KnownRoom]:
    random, prior = np.random.default_rng(seed), rooms.WAVES
    left, right = 90 + np.degrees(random.normal(0, prior.square_sd, 2))
    room = rooms.alcove(width, left, right)
    for wall in ("left", "back", "right"):
        room = room.changed(wall, tilt=random.normal(0, prior.tilt_sd), bump=drawn(prior, random))
    up, length = rooms.UP, room.corner("back-right", rooms.UP)[0]
    asked = [
        CornerTurn("a", 0.0, 1.5e-3, "left-back", 600.0, 600.0, up),
        CornerTurn("b", 0.0, 1.5e-3, "back-right", 600.0, 600.0, up),
        Distance("back", 0.0, 0.8, "left-back", "back-right", up, up),
        Leaning("lean", 0.0, 1.0, "back", 300.0, "left-back", 0.0, up),
        rooms.check("back", "left-back", np.linspace(50, length - 50, 5), 0.4),
        rooms.check("left", "left-back", np.linspace(50, 550, 4), 0.4),
        rooms.check("right", "back-right", np.linspace(50, 550, 4), 0.4),
    ]
    for out in (50.0, 550.0):
        ends = Spot("left", out, "left-back"), Spot("right", out, "back-right")
        asked.append(Distance(f"across {out}", 0.0, 0.8, *ends, up, up))
    return room, know_room(room.plan(), rooms.noisy(room, asked, random), prior)


def reach(room: TrueRoom, frame: Frame, wall: str, x: float, y: float, up: float = rooms.UP) -> float:
    """How far it truly is from a place of the piece to a wall."""
    cos, sin = math.cos(frame.heading), math.sin(frame.heading)
    right, back = AXES[wall]
    at = frame.to_room(x, y)
    return room.ray(wall, *at, cos * right - sin * back, sin * right + cos * back, up)


def pushed_home(room: TrueRoom, top: FittedTop, anywhere: bool) -> Frame:
    """Push a top 900 x 560 against the true back wall, then to the left one.

    It rests where it was said to touch and turn, or `anywhere` on the true wall, by the same rule.
    """
    rest = _anywhere if anywhere else _as_said
    frame = Frame(*(room.corner("left-back", rooms.UP)[:2] - [0, 560]), 0.0)
    for _ in range(3):
        offset, slope = rest(room, top, frame)
        frame = Frame(*frame.to_room(0.0, -offset), frame.heading - math.atan(slope))
        places = [(y, rooms.UP) for y in np.linspace(0, 560, 57)]
        if not anywhere:
            places = [(one.y, one.up) for one in top.placed.held]
        left = min(reach(room, frame, "left", 0.0, *place) for place in places)
        frame = Frame(*frame.to_room(-left, 0.0), frame.heading)
    return frame


def _anywhere(room: TrueRoom, top: FittedTop, frame: Frame) -> tuple[float, float]:
    xs = np.linspace(0, 900, 91)
    wall = [560 - reach(room, frame, "back", x, 0.0) for x in xs]
    held = straight_edge(xs, wall)
    if held.touches[1] - held.touches[0] < CROWN_SHARE * 900:
        held = least_scribe(xs, wall)
    return held.offset, held.slope


def _as_said(room: TrueRoom, top: FittedTop, frame: Frame) -> tuple[float, float]:
    first, left, right = (top.placed.touches[0], *top.placed.turned_by)
    wall = [560 - reach(room, frame, "back", one.x, 0.0, one.up) for one in (first, left, right)]
    slope = (wall[2] - wall[1]) / (right.x - left.x)
    return wall[0] - slope * first.x, slope


def short_by(room: TrueRoom, top: FittedTop, frame: Frame) -> FloatArray:
    """How far the true walls lie beyond the blank's left and back edge at the worst place, mm."""
    edges = top.outline.edges
    left = max(reach(room, frame, "left", 900.0, y) for y in np.linspace(0, 560, 57))
    back = max(reach(room, frame, "back", x, 0.0) for x in np.linspace(0, 900, 91))
    return np.array([left - edges["left"].blank, back - edges["back"].blank])


@pytest.fixture(scope="module")
def tried() -> dict[tuple[str, float], FloatArray]:
    """What tops are short of, (rooms, 2), with nothing left on for the saw to cover up what is unknown."""
    left, back = (EdgePlan(wall, "scribed", saw=0.0) for wall in ("left", "back"))
    plan = TopPlan("back", rooms.UP, 30, left, None, back, depth=560, width=900)
    found: dict[tuple[str, float], list[FloatArray]] = {}
    for seed in range(ROOMS):
        room, known = room_and_readings(seed, 1500.0)
        tops = {asked: fit_top(known, replace(plan, confidence=asked)) for asked in (ASKED, SURELY)}
        for rest in ("as said", "anywhere"):
            frame = pushed_home(room, tops[ASKED], rest == "anywhere")
            for asked, top in tops.items():
                found.setdefault((rest, asked), []).append(short_by(room, top, frame))
        edges = tops[ASKED].outline.edges
        unknown = np.array([edges[side].allowance.unknown for side in ("left", "back")])
        found.setdefault(("unknown", ASKED), []).append(unknown)
    return {name: np.array(each) for name, each in found.items()}


def covered(short: FloatArray) -> float:
    """In which share of the rooms both edges are covered."""
    return float((short <= 0).all(axis=1).mean())


def by_chance(asked: float) -> float:
    """Fewer fits than this come by chance once in a hundred, where it was asked for."""
    return asked - 2.33 * math.sqrt(asked * (1 - asked) / ROOMS)


@pytest.mark.parametrize("asked", [ASKED, SURELY])
def test_a_blank_covers_as_often_as_asked_where_it_rests_as_said(tried, asked):
    assert covered(tried["as said", asked]) >= by_chance(asked)


def test_a_blank_covers_as_often_as_surely_asked_wherever_it_rests(tried):
    """Of 200 rooms 0.99, nothing being left for the saw."""
    assert covered(tried["anywhere", SURELY]) >= by_chance(SURELY)


def test_at_a_low_chance_the_saw_makes_good_for_where_it_rests(tried):
    """What a piece stands further out than planned is counted as an error, not as known: at 0.90 asked that
    covers in 0.85 of 200 rooms without the 1/16 in for the saw, and with it in nearly all."""
    assert covered(tried["anywhere", ASKED]) >= by_chance(ASKED) - 0.05
    assert covered(tried["anywhere", ASKED] - SAW) >= by_chance(ASKED)


def test_with_what_is_left_for_the_saw_it_all_but_always_covers(tried):
    assert covered(tried["anywhere", ASKED] - SAW) >= by_chance(SURELY)


def test_without_what_is_unknown_it_would_not_cover(tried):
    # So that the checks above can fail.
    assert covered(tried["as said", ASKED] + tried["unknown", ASKED]) < 0.5


def room_to_move(room: TrueRoom, top: FittedTop) -> float:
    """The least clearance (mm) of a net top, shifted and turned a little to make it the greatest."""
    ring = top.outline.outline
    steps = np.linspace(0, 1, 8, endpoint=False)
    points = np.concatenate(
        [a + np.outer(steps, b - a) for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True)]
    )
    ends = [room.corner(name, rooms.UP)[:2] for name in ("left-back", "back-right")]
    heading = math.atan2(*(ends[1] - ends[0])[::-1])
    out = np.array([math.sin(heading), -math.cos(heading)])
    place = (ends[0] + ends[1]) / 2 + out * ring[:, 1].max() + out * top.outline.edges["back"].gap
    pose = np.array([*place, heading])
    for _ in range(3):
        slopes, gaps = clearances(room, points, pose)
        # Maximise t with gap + slopes . step >= t; the front stays within 1 mm of where it is meant to be.
        sizes = [(-20, 20), (-1, 1), (-0.05, 0.05), (None, None)]
        best = linprog([0, 0, 0, -1], np.column_stack([-slopes, np.ones(len(gaps))]), gaps, bounds=sizes)
        pose = pose + best.x[:3]
    return float(clearances(room, points, pose)[1].min())


def clearances(room: TrueRoom, points: np.ndarray, pose: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    x, y, turn = pose
    spin = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    at = points @ spin.T + [x, y]
    slopes, gaps = [], []
    for wall in room.walls:
        along, out = at @ wall.along, at @ wall.inward
        places = np.linspace(along.min() - 5, along.max() + 5, 60)
        surface = [room.depth(wall.name, place, rooms.UP) for place in places]
        gaps.append(out - np.interp(along, places, surface))
        swing = wall.inward[1] * (at[:, 0] - x) - wall.inward[0] * (at[:, 1] - y)
        slopes.append(np.column_stack([np.tile(wall.inward, (len(at), 1)), swing]))
    return np.concatenate(slopes), np.concatenate(gaps)


def test_a_net_top_goes_in_between_three_walls_as_often_as_asked():
    # Free to shift and turn a little as it goes in, 0.99 of 150 rooms at 0.90 asked; held still, 0.92.
    edges = {side: EdgePlan(side, "net") for side in ("left", "right", "back")}
    plan = TopPlan("back", rooms.UP, 30, depth=560, confidence=ASKED, **edges)
    clear = []
    for seed in range(1000, 1000 + ROOMS // 2):
        room, known = room_and_readings(seed, 1300.0)
        clear.append(room_to_move(room, fit_top(known, plan)) >= 0)
    assert np.mean(clear) >= ASKED
