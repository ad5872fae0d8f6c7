"""What each kind of reading observes, against real surfaces in space (tests/rooms.py), by brute force."""

import math
from dataclasses import replace

import numpy as np
import pytest
import rooms
from true_room import CROSS, SCRATCH, Reading, TrueRoom

from fitting.errors import BadInput
from fitting.site import (
    Along,
    CornerTurn,
    Distance,
    Gaps,
    Height,
    Known,
    Leaning,
    Level,
    Spot,
    Tool,
    Touch,
)
from fitting.site.linear import Linear
from fitting.site.prior import OLD_HOUSE
from fitting.site.scene import Places, Scene, room_unknowns
from fitting.site.unknowns import Unknowns

GROUND_SLOPE = 0.006
"""A level is taken at a point that moves with its walls; on a floor nearly level that is left out."""
STATIONS = (100.0, 350.0, 600.0, 850.0)
FOUR = (0.0,) * 4
TAPE = Tool("tape, hooked", 0.3, 2e-4)
RULE = Tool("rule", 0.3, 0.0)


def distance(first, second, first_up=900.0, second_up=900.0, finished=False) -> Distance:
    return Distance("tape", 1.0, 0.5, first, second, first_up, second_up, finished)


def laser(wall: str, start: str, up: tuple[float, ...] = (850.0,) * 4) -> Gaps:
    return Gaps(f"laser {wall}", wall, start, STATIONS, up, FOUR, (0.5,) * 4, "A")


ALCOVE: dict[str, Reading] = {
    "width at the back": distance("left-back", "back-right"),
    "width at the front": distance(Spot("left", 800.0, "left-back"), Spot("right", 800.0, "back-right")),
    "diagonal": distance(Spot("left", 600.0, "left-back"), "back-right", 400.0, 1500.0),
    "finished diagonal": distance(Spot("left", 500.0, "left-back"), "back-right", 800.0, 800.0, True),
    "finished spots": distance(
        Spot("back", 300.0, "left-back"), Spot("right", 300.0, "back-right"), finished=True
    ),
    "mark to mark": distance("stud", "drain", 300.0, 520.0),
    "mark to corner": distance("casing", "left-back", 1800.0, 1800.0),
    "spot from a mark": distance(Spot("back", 250.0, "drain"), "stud"),
    "spot from the right-hand corner": distance(Spot("back", 250.0, "back-right"), "stud"),
    "gauge": CornerTurn("gauge", 0.0, 0.003, "left-back", 400.0, 250.0, 850.0),
    "square in the right corner": CornerTurn("square", 0.0, 0.003, "back-right", 200.0, 600.0, 300.0),
    "level check": Gaps("level", "back", "left-back", STATIONS, (850.0,) * 4, FOUR, (0.3,) * 4),
    "check from the right": Gaps("level", "back", "back-right", STATIONS, (850.0,) * 4, FOUR, (0.3,) * 4),
    "check from a mark": Gaps("level", "back", "drain", STATIONS, (850.0,) * 4, FOUR, (0.3,) * 4),
    "plumb check": Gaps("plumb", "left", "left-back", (420.0,) * 4, STATIONS, FOUR, (0.3,) * 4),
    "lean": Leaning("lean", 0.0, 0.5, "right", 300.0, "back-right", 200.0, 1900.0),
    "lean from the right": Leaning("lean", 0.0, 0.5, "left", 300.0, "left-back", 200.0, 1900.0),
    "floor": Level("floor", 0.0, 1.0, "floor", "back", 700.0, "left-back", 450.0),
    "ceiling from the right": Level("ceiling", 0.0, 1.0, "ceiling", "back", 700.0, "back-right", 450.0),
    "along": Along("along", 0.0, 0.5, "drain", "left-back", 520.0),
    "along from the right": Along("along", 0.0, 0.5, "drain", "back-right", 520.0),
    "along, finished, leaning": Along("along", 0.0, 0.5, "casing", "back-right", 1200.0, True),
    "height": Height("height", 0.0, 0.5, "drain"),
    "diagonal between scratches": distance(
        Spot("back", 150.0, "left-back", 1.0), Spot("right", 600.0, "back-right", 1.0), 850.0, 850.0
    ),
    "scratch from the right": distance(Spot("back", 150.0, "back-right", 1.0), "stud", 850.0, 400.0),
    "width by a tool": replace(distance("left-back", "back-right"), tool=TAPE),
    "along by a tool": Along("along", 0.0, 0.5, "drain", "back-right", 520.0, tool=TAPE),
    "height by a tool": Height("height", 0.0, 0.5, "drain", tool=RULE),
    "calibration": Known("known", 0.0, 0.2, 1000.0, tool=TAPE),
    "laser along the back wall": laser("back", "left-back"),
    "laser out along the left wall": laser("left", "left-back"),
    "laser out along the right wall": laser("right", "back-right", STATIONS),
    "template": Touch(
        "template", ("left", "back", "back", "right"),
        ((-290.0, 100.0), (20.0, 400.0), (700.0, 400.0), (1150.0, 40.0)), 860.0, (0.5,) * 4, True,
    ),
}  # fmt: skip
CLOSED = {
    "across": distance("left-back", "right-front", 700.0, 1500.0),
    "front corner": CornerTurn("gauge", 0.0, 0.003, "front-left", 400.0, 250.0, 850.0),
    "front check": Gaps("level", "front", "front-left", STATIONS, (850.0,) * 4, FOUR, (0.3,) * 4),
}
OUTSIDE = {
    "over an outside corner": distance("left-recess", "cheek-face"),
    "breast": distance("cheek-face", "face-other cheek", 300.0, 1900.0),
    "spot past an outside corner": distance(Spot("face", 300.0, "cheek-face"), "left-recess"),
    "outside corner": CornerTurn("gauge", 0.0, 0.003, "cheek-face", 200.0, 300.0, 850.0),
    "inside corner": CornerTurn("gauge", 0.0, 0.003, "other cheek-other recess", 200.0, 300.0, 850.0),
}
SINGLE = {
    "one wall": distance("scratch", "stud", 100.0, 1200.0),
    "plumb on one wall": Gaps("plumb", "wall", "scratch", (50.0,) * 4, STATIONS, FOUR, (0.3,) * 4),
    "along one wall": Along("along", 0.0, 0.5, "stud", "scratch", 900.0),
}
CASES = [
    pytest.param(room, reading, id=name)
    for room, readings in [
        (rooms.alcove(), ALCOVE),
        (rooms.closed_room(), CLOSED),
        (rooms.chimney_breast(), OUTSIDE),
        (rooms.single(), SINGLE),
    ]
    for name, reading in readings.items()
]


def unknowns_of(room: TrueRoom, reading: Reading) -> Unknowns:
    unknowns = room_unknowns(room.plan(), OLD_HOUSE.square_sd, OLD_HOUSE.tilt_sd)
    reading.unknowns(unknowns)
    return unknowns


def observed(room: TrueRoom, reading: Reading) -> tuple[list[Linear], Unknowns, Places]:
    """What `fitting.site` says of a reading at the state that the room truly has."""
    unknowns, places = unknowns_of(room, reading), Places()
    scene = Scene(room.plan(), unknowns, room.truth(unknowns.names), places)
    return reading.observe(scene), unknowns, places


def numbers(room: TrueRoom, reading: Reading) -> np.ndarray:
    return np.array(room.numbers(reading))


@pytest.mark.parametrize(("room", "reading"), CASES)
def test_a_reading_observes_what_a_perfect_tape_reads_between_planes(room, reading):
    room = room.planes()
    read = room.exact(reading)
    foretold = [quantity.value for quantity in observed(room, read)[0]]
    wanted = np.zeros(4) if isinstance(read, Touch) else numbers(room, reading)
    assert foretold == pytest.approx(wanted, abs=1e-7)


@pytest.mark.parametrize(("room", "reading"), CASES)
def test_derivatives_by_unknowns_are_those_of_the_surfaces(room, reading):
    room = room.planes()
    reading = room.exact(reading)
    quantities, unknowns, _ = observed(room, reading)
    ours = np.array([[q.terms.get(k, 0.0) for k in range(len(unknowns))] for q in quantities])
    for k, name in enumerate(unknowns.names):
        small = name.startswith(("place", "height", "offset", "template", "thickness"))
        step = 1e-2 if small else 1e-5
        up, down = (numbers(moved(room, name, side * step), reading) for side in (1, -1))
        slack = 2e-5
        if isinstance(reading, Level) and reading.surface not in name:
            slack = GROUND_SLOPE * (1500.0 if name.startswith("turn of corner") else 1.0)
        assert ours[:, k] == pytest.approx((up - down) / (2 * step), rel=2e-5, abs=slack), name


def moved(room: TrueRoom, unknown: str, step: float) -> TrueRoom:
    """The room with one of its unknowns changed by a step."""
    kind, _, name = unknown.partition(" of ")
    name = name.removeprefix("wall ").strip("`")
    if kind == "template":  # "template X to the right"
        kind = "template " + unknown.rpartition(" ")[2]
    walls = {wall.name: wall for wall in room.walls}
    match kind:
        case "place" if name in walls:
            return room.changed(name, offset=walls[name].offset + step)
        case "turn" if name.startswith("corner "):
            corner = name.removeprefix("corner ").strip("`")
            for wall, bends in room.plan().bends.items():
                for bend, sign in bends:
                    if bend == corner:
                        room = room.changed(wall, heading=walls[wall].heading + sign * step)
            return room
        case "tilt":
            return room.changed(name, tilt=walls[name].tilt + step)
        case "thickness":
            number = int(name.rpartition(" ")[2]) - 1
            coverings = list(room.coverings)
            coverings[number] = replace(coverings[number], thickness=coverings[number].thickness + step)
            return replace(room, coverings=tuple(coverings))
        case "place" | "lean" | "height" if name in room.marks:
            field = {"place": "along"}.get(kind, kind)
            mark = room.marks[name]
            changed = replace(mark, **{field: getattr(mark, field) + step})
            return replace(room, marks=room.marks | {name: changed})
        case "height" | "rise":
            surface, _, toward = name.partition(" to the ")
            ground = room.grounds[surface]
            field = toward or "height"
            changed = replace(ground, **{field: getattr(ground, field) + step})
            return replace(room, grounds=room.grounds | {surface: changed})
    return moved_tool(room, unknown, step)


def moved_tool(room: TrueRoom, unknown: str, step: float) -> TrueRoom:
    for number, (start, end) in enumerate(CROSS):
        if unknown.startswith(start) and unknown.endswith(end):
            return replace(room, cross=tuple(v + step * (k == number) for k, v in enumerate(room.cross)))
    if unknown.startswith("scratch"):
        return replace(room, scratches={**room.scratches, unknown: SCRATCH + step})
    zero, scale = room.tool
    if unknown.startswith("zero of"):
        return replace(room, tool=(zero + step, scale))
    if unknown.startswith("scale of"):
        return replace(room, tool=(zero, scale + step))
    offset, turn = room.line
    right, back, swing = room.pose
    if unknown.startswith("offset of line"):
        return replace(room, line=(offset + step, turn))
    if unknown.startswith("turn of line"):
        return replace(room, line=(offset, turn + step))
    if unknown.startswith("turn of template"):
        return replace(room, pose=(right, back, swing + step))
    if unknown.endswith("to the right"):
        return replace(room, pose=(right + step, back, swing))
    assert unknown.endswith("to the back")
    return replace(room, pose=(right, back + step, swing))


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize(("room", "reading"), CASES)
def test_derivatives_by_deviations_are_those_of_uneven_surfaces(room, reading, seed):
    """Make every wall a little uneven: each place where a reading senses it must count as it says."""
    room = room.planes()
    reading = room.exact(reading)
    quantities, _, places = observed(room, reading)
    size = 1e-3
    bumps = {wall.name: rooms.ripples(100 * seed + k, size) for k, wall in enumerate(room.walls)}
    bumps |= {surface: rooms.ripples(7 + seed, size) for surface in room.grounds}
    uneven = replace(
        room,
        walls=tuple(replace(wall, bump=bumps[wall.name]) for wall in room.walls),
        grounds={name: replace(ground, bump=bumps[name]) for name, ground in room.grounds.items()},
    )
    there = [bumps[w](a, z) for w, a, z in zip(places.walls, places.along, places.up, strict=True)]
    foretold = [sum(q.terms.get(-1 - k, 0.0) * d for k, d in enumerate(there)) for q in quantities]
    change = numbers(uneven, reading) - numbers(room, reading)
    # Second order: slopes of the planes (0.02) times slopes of the unevenness (0.01 per mm of it).
    assert foretold == pytest.approx(change, abs=0.03 * size * scale(reading))


def scale(reading: Reading) -> float:
    return 1.0 / 200.0 if isinstance(reading, CornerTurn) else 1.0


# Refusals


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Height("r", math.nan, 0.5, "a"), "reading r: expected a finite value .* got nan"),
        (lambda: Height("r", 1.0, 0.0, "a"), "an sd above zero, got 1.0 and 0.0"),
        (lambda: Height("r", 1.0, math.nan, "a"), "an sd above zero"),
        (lambda: Height("r", 1.0, math.inf, "a"), "an sd above zero"),
        (lambda: Gaps("r", "w", "a", (1.0,), (1.0,), (1.0,), (1.0,)), "two stations or more"),
        (lambda: Gaps("r", "w", "a", (1.0, 2.0), (1.0,), (1.0, 2.0), (1.0, 1.0)), "a gap for each"),
        (lambda: Gaps("r", "w", "a", (1.0, math.inf), (1.0, 1.0), (1.0, 2.0), (1.0, 1.0)), "finite"),
        (lambda: Gaps("r", "w", "a", (1.0, 2.0), (1.0, 1.0), (1.0, 2.0), (1.0, 0.0)), "above zero"),
        (lambda: Touch("r", ("w", "v"), ((0.0, 1.0),), 1.0, (1.0,)), "one wall and one sd for each point"),
        (lambda: Touch("r", ("w",), ((0.0, math.nan),), 1.0, (1.0,)), "finite"),
        (lambda: CornerTurn("r", 0.0, 0.1, "c", 0.0, 100.0, 1.0), "reach above zero"),
    ],
)
def test_a_reading_refuses_numbers_that_are_none(make, message):
    with pytest.raises(BadInput, match=message):
        make()


@pytest.mark.parametrize(("room", "reading"), CASES)
def test_a_reading_that_calls_itself_straight_has_the_same_derivatives_at_every_state(room, reading):
    unknowns = unknowns_of(room, reading)
    here = room.truth(unknowns.names)
    away = here + np.where(unknowns.vectors()[1] < 1.0, 0.01, 20.0)
    quantities, there = (
        reading.observe(Scene(room.plan(), unknowns, state, Places())) for state in (here, away)
    )
    for one, moved_on in zip(quantities, there, strict=True):
        evenly = one.value + sum(slope * (away - here)[key] for key, slope in one.terms.items() if key >= 0)
        stays = one.terms == pytest.approx(moved_on.terms) and moved_on.value == pytest.approx(evenly)
        assert stays or not reading.straight
