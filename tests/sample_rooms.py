"""The rooms that the sample surveys were made up from, and what they give by plain geometry.

Nothing here calls what `fitting` computes with: surfaces are those of `true_room`, places on them are found
by root finding, foremost places by trying a fine grid. So it proves the arithmetic of each `working.md`,
which `expected.toml` repeats, and that the readings in `notes.txt` are readings of that room.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from itertools import product

import numpy as np
from true_room import Ground, Mark, TrueRoom, TrueWall

from fitting.site import Along, Corner, Height, Touch

INCH = 25.4
QUARTER = math.pi / 2
Numbers = Mapping[str, float]


def corner_vanity_room() -> TrueRoom:
    """A corner open by 0.0087, a hump on the back wall, the left wall leaning in by 1/240."""

    def hump(along: float, _up: float) -> float:
        return float(np.interp(along, [6 * INCH, 18 * INCH, 30 * INCH, 42 * INCH], [0, 1, 1, 0])) * INCH / 8

    left = TrueWall("left", QUARTER - math.asin(0.0087), 0.0, 1 / 240)
    room = TrueRoom(
        "back", (left, TrueWall("back", 0.0, 0.0, 0.0, hump)), (Corner("left-back", "left", "back"),)
    )
    # Near edge 18 5/8 from the corner at a height of 4, leaning toward it by 1/8 in 30.
    casing = Mark("left", -(18.625 + 4 / 240) * INCH, 1 / 240)
    ground = {"floor": Ground(-5 * INCH / 48, -INCH / 8 / (38 * INCH), 0.0)}
    return replace(room, marks={"door-casing": casing}, grounds=ground)


def tiled_alcove_room() -> TrueRoom:
    """Bare walls 1200 apart behind, 1 in 200 less in front; a hollow behind; the left wall leaning out."""

    def hollow(along: float, _up: float) -> float:
        return float(np.interp(along, [200, 600, 1000], [0, -2, 0]))

    right = TrueWall.between("right", (1200.0, 0.0), (1197.0, -600.0))
    walls = (TrueWall("left", QUARTER, 0.0, -1 / 400), TrueWall("back", 0.0, 0.0, 0.0, hollow), right)
    return TrueRoom(
        "back", walls, (Corner("left-back", "left", "back"), Corner("back-right", "back", "right"))
    )


def chimney_breast_room() -> TrueRoom:
    """An inside corner open by 1 in 100, both its walls leaning in; an outside corner; floor and ceiling."""
    side = replace(TrueWall.between("side", (0.0, 0.0), (4.5, -450.0)), tilt=1 / 400)
    face = TrueWall("face", 0.0, 450.0)
    corners = (Corner("back-side", "back", "side"), Corner("side-face", "side", "face", 3 * QUARTER))
    grounds = {"floor": Ground(0.0, 1 / 200), "ceiling": Ground(2400.0, 1 / 150)}
    return TrueRoom("back", (TrueWall("back", 0.0, 0.0, 1 / 500), side, face), corners, grounds=grounds)


def doubtful_readings_room() -> TrueRoom:
    """60 3/8 wide, square, flat and plumb."""
    walls = (
        TrueWall("left", QUARTER, 0.0),
        TrueWall("back", 0.0, 0.0),
        TrueWall("right", -QUARTER, -60.375 * INCH),
    )
    return TrueRoom(
        "back", walls, (Corner("left-back", "left", "back"), Corner("back-right", "back", "right"))
    )


def sink_wall_room() -> TrueRoom:
    """A corner closed by 1 in 120, its walls leaning out, the floor falling to the front and the right."""
    walls = (
        TrueWall("left", QUARTER + math.asin(1 / 120), 0.0, -1 / 240),
        TrueWall("back", 0.0, 0.0, -1 / 320),
    )
    grounds = {"floor": Ground(0.0, -1 / 96, 1 / 64), "ceiling": Ground(96 * INCH)}
    return TrueRoom("back", walls, (Corner("left-back", "left", "back"),), grounds=grounds)


def study_niche_room() -> TrueRoom:
    """A long wall that opens and leans in, a belly behind, a breast that closes, a sloping ceiling."""

    def belly(along: float, _up: float) -> float:
        return float(np.interp(along, [300, 700, 1100, 1500], [0, 3, 3, 0]))

    walls = (
        TrueWall("left", QUARTER - math.asin(1 / 150), 0.0, 1 / 300),
        TrueWall("back", 0.0, 0.0, 0.0, belly),
        TrueWall("breast", -QUARTER - math.asin(1 / 200), -1800 * math.cos(math.asin(1 / 200))),
    )
    return TrueRoom(
        "back",
        walls,
        (Corner("left-back", "left", "back"), Corner("back-breast", "back", "breast")),
        marks={"corner-strip": Mark("breast", 655.0 - 1800.0 / 200), "study-door": Mark("left", -2300.0)},
        grounds={"floor": Ground(0.0, 0.0, 1 / 300), "ceiling": Ground(2400.0, -1 / 300, 1 / 200)},
        pose=(900.0, -600.0, 0.0),
    )


ROOMS: dict[str, Callable[[], TrueRoom]] = {
    "corner-vanity": corner_vanity_room,
    "tiled-alcove": tiled_alcove_room,
    "chimney-breast": chimney_breast_room,
    "doubtful-readings": doubtful_readings_room,
    "sink-wall": sink_wall_room,
    "study-niche": study_niche_room,
}


def with_marks_of(room: TrueRoom, readings: tuple[object, ...]) -> TrueRoom:
    """Put each mark that the room does not know where the first reading of it says."""
    marks = dict(room.marks)
    for one in readings:
        if isinstance(one, Along) and one.feature not in marks:
            wall = next(
                wall.name
                for wall in room.walls
                if one.start
                in {corner.name for corner in room.corners if wall.name in (corner.left, corner.right)}
                and _is_on(one.feature, wall.name, one.start, room)
            )
            start = room.place_along(wall, one.start, one.up, False)
            marks[one.feature] = Mark(wall, start + room.rightward(wall, one.start) * one.value)
    return replace(room, marks=marks)


def _is_on(feature: str, wall: str, start: str, room: TrueRoom) -> bool:
    """Struck marks say by their names on which wall of the corner they are; other things are on the back."""
    corner = room.corner_named(start)
    assert corner is not None
    if feature.startswith("left mark"):
        return wall == corner.left
    return wall == (corner.right if feature.startswith("right mark") else room.back)


def off(room: TrueRoom, reading: object) -> float:
    """How far a reading is off what a perfect tape would have read, in mm (an angle: over its leg)."""
    if isinstance(reading, Height):
        return 0.0
    if isinstance(reading, Touch):  # the template as it was held: the room says how
        return max(abs(one) for one in room.standing_out(reading))
    room = replace(room, tool=(0.0, 0.0), scratch=0.0)  # a perfect tape, between marks put just there
    true = np.array(room.numbers(reading))  # type: ignore[arg-type]
    read = np.array(reading.read)  # type: ignore[attr-defined]
    apart = read - true
    if apart.size > 1:  # gaps: the edge was held to the wall somehow; a straight line is not off
        along, up = np.array(reading.along), np.array(reading.up)  # type: ignore[attr-defined]
        places = up if np.ptp(up) > np.ptp(along) else along
        apart = apart - np.polyval(np.polyfit(places, apart, 1), places)
    reach = getattr(reading, "right_reach", 1.0)
    return float(np.abs(apart).max()) * reach


# What the pieces must be. A box is looked at in a frame parallel to the back wall's plane: so the rooms were
# made that their backs sit parallel to it.


@dataclass(frozen=True)
class Box:
    """A box in its place: x from its left side's, y of its back, heights; all in mm of the room."""

    room: TrueRoom
    left: float
    right: float
    back: float
    depth: float
    bottom: float
    top: float
    cover: Numbers = field(default_factory=dict)  # layers still to come, by wall

    def to_wall(self, wall: str, x: float, y: float, up: float) -> float:
        """How far it is from a point of the room straight to the left, right or back wall."""
        heading = self.room.wall(wall).heading
        dx, dy = (0.0, 1.0) if abs(heading) < 0.5 else (-math.copysign(1.0, heading), 0.0)
        return self.room.ray(wall, x, y, dx, dy, up) - self.cover.get(wall, 0.0)

    def gap(self, side: str, wall: str, up: float, deep: float) -> float:
        """The gap beside it, `deep` from its front."""
        x = self.left if side == "left" else self.right
        return self.to_wall(wall, x, self.back - self.depth + deep, up)

    def least_gap(self, side: str, wall: str) -> float:
        return min(
            self.gap(side, wall, up, deep)
            for up, deep in product(np.linspace(self.bottom, self.top, 9), np.linspace(0.0, self.depth, 9))
        )

    def behind(self, up: float) -> list[float]:
        """Gaps behind its back."""
        y = self.back - self.depth
        return [
            self.to_wall("back", float(x), y, up) - self.depth for x in np.linspace(self.left, self.right, 85)
        ]


def span(values: list[float]) -> float:
    return max(values) - min(values)


def corner_vanity_numbers() -> Numbers:
    """By trying places of the surfaces; in inches."""
    room = corner_vanity_room()
    low, high = 10 * INCH, 34 * INCH
    loose = Box(room, 40 * INCH, 82 * INCH, -INCH / 8, 18 * INCH, low, high)
    moved = loose.least_gap("left", "left") - 0.75 * INCH
    box = replace(loose, left=loose.left - moved, right=loose.right - moved)
    face = [box.gap("left", "left", float(up), 0.0) for up in np.linspace(low, high, 25)]
    end, front, up = box.right + INCH / 2, box.back - 19.5 * INCH, 35.25 * INCH
    casing = room.place("door-casing", up)
    kept = 0.148 * INCH  # 1/16 and the estimate of the unknown, as in the working
    deep = casing[1] - front + kept
    ys = np.linspace(front + deep, room.corner("left-back", up)[1], 60)
    left = [box.to_wall("left", end, float(y), up) for y in ys]
    xs = np.linspace(end - left[-1], end, 120)
    back = [box.to_wall("back", float(x), front, up) for x in xs]
    return {
        "corner left-back": _angle(room, "left-back", high),
        "vanity least gap at the left": box.least_gap("left", "left") / INCH,
        "vanity gap at the left, top back": box.gap("left", "left", high, box.depth) / INCH,
        "vanity gap at the left, top front": box.gap("left", "left", high, 0.0) / INCH,
        "vanity gap at the left, bottom back": box.gap("left", "left", low, box.depth) / INCH,
        "vanity gap at the left, bottom front": box.gap("left", "left", low, 0.0) / INCH,
        "vanity largest gap behind": max(box.behind(low)) / INCH,
        "strip width": min(face) / INCH,
        "strip range left": span(face) / INCH,
        "vanity-top width": min(left) / INCH,
        "vanity-top range left": span(left) / INCH,
        "vanity-top depth": min(back) / INCH,
        "vanity-top range back": span(back) / INCH,
        "vanity-top notch 0 across": left[0] / INCH,
        "vanity-top notch 0 deep": deep / INCH,
        "vanity-top notch 1 across": (end - casing[0] - 0.75 * INCH - kept) / INCH,
    }


def tiled_alcove_numbers() -> Numbers:
    """The same in millimetres; the tile is taken off the way to the wall."""
    room = tiled_alcove_room()
    loose = Box(room, 50.0, 1150.0, -10.0, 480.0, 350.0, 850.0, {"back": 10.0, "right": 10.0})
    moved = (loose.least_gap("right", "right") - loose.least_gap("left", "left")) / 2
    box = replace(loose, left=loose.left + moved, right=loose.right + moved)
    middle, front = (box.left + box.right) / 2, box.back - 500.0
    left = [box.to_wall("left", middle, float(y), 880.0) for y in np.linspace(front, -10.0, 50)]
    right = [box.to_wall("right", middle, float(y), 880.0) for y in np.linspace(front, -10.0, 50)]
    least = box.least_gap("left", "left") + box.least_gap("right", "right")
    gaps = {
        f"vanity gap at the {side}, {level} {place}": box.gap(side, side, up, deep)
        for side, (level, up), (place, deep) in product(
            ("left", "right"), (("top", 850.0), ("bottom", 350.0)), (("front", 0.0), ("back", 480.0))
        )
    }
    return {
        **gaps,
        "corner left-back": _angle(room, "left-back", 850.0),
        "corner back-right": _angle(room, "back-right", 850.0),
        "vanity least gap at the left": box.least_gap("left", "left"),
        "vanity least gap at the right": box.least_gap("right", "right"),
        "vanity largest gap behind": max(box.behind(350.0)),
        "vanity filler option left only: left strip, least": least,
        "vanity filler option both alike: right strip, least": least / 2,
        "left-strip width": gaps["vanity gap at the left, bottom front"],
        "left-strip range left": gaps["vanity gap at the left, top front"]
        - gaps["vanity gap at the left, bottom front"],
        "right-strip width": gaps["vanity gap at the right, bottom front"],
        "counter wall to wall": min(left) + min(right),
    }


def chimney_breast_numbers() -> Numbers:
    """The same in millimetres; box and panel stand on the floor's highest place under them."""
    room = chimney_breast_room()
    loose = Box(room, -640.0, -40.0, -4.0, 400.0, 0.0, 2000.0)
    moved = loose.least_gap("right", "side") - 30.0
    box = replace(loose, left=loose.left + moved, right=loose.right + moved)
    kept = 2.9  # 1/16 in and what is unknown of the board, as in the working
    board, thick = 4 * INCH, 0.625 * INCH
    face = {up: box.gap("right", "side", up, 0.0) for up in np.linspace(0.0, 2000.0, 401)}
    bottom = room.grounds["floor"].at(-652.5, 0.0)

    def panel(over: float) -> float:
        """From the panel's front edge to the wall, at a height over its bottom."""
        return 420.0 + room.depth("back", -652.5, bottom + 2000) - room.depth("back", -652.5, bottom + over)

    notch = board + kept - bottom
    return {
        "corner back-side": _angle(room, "back-side", 2000.0),
        "corner side-face": _angle(room, "side-face", 2000.0),
        "linen least gap at the right": box.least_gap("right", "side"),
        "linen gap at the right, top front": box.gap("right", "side", 2000.0, 0.0),
        "linen gap at the right, bottom back": box.gap("right", "side", 0.0, 400.0),
        "linen gap at the right, bottom front": box.gap("right", "side", 0.0, 0.0),
        "linen largest gap behind": max(box.behind(0.0)),
        "linen shim at the left front": room.grounds["floor"].at(box.right, 0)
        - room.grounds["floor"].at(box.left, 0),
        "strip width": min(face.values()),
        "strip range right": max(gap for up, gap in face.items() if up >= board + kept) - min(face.values()),
        "strip notch 1 across": box.gap("right", "side", board / 2, 0.0) - thick - kept,
        "strip notch 2 across": box.gap("right", "side", board + kept, 0.0),
        "end depth": panel(2000.0),
        "end range back": panel(notch) - panel(2000.0),
        "end notch 0 across": panel(notch),
        "end notch 0 deep": notch,
        "end notch 1 across": panel((board - bottom) / 2) - thick - kept,
    }


def sink_wall_numbers() -> Numbers:
    """In inches; boxes stand on the floor's highest place, at z = 0, or hang where they are to."""
    room = sink_wall_room()
    low, high, up = 0.0, 33.25 * INCH, 34.5 * INCH
    loose = Box(room, 30.0, 30.0 + 18 * INCH, 0.0, 21 * INCH, low, high)
    moved = loose.least_gap("left", "left") - INCH
    box = replace(loose, left=loose.left - moved, right=loose.right - moved)
    face = [box.gap("left", "left", float(one), 0.0) for one in np.linspace(low, high, 25)]
    end, front = box.right + (24 + 1.25) * INCH, -22 * INCH
    depth = room.ray("back", end, front, 0.0, 1.0, up)
    ys = np.linspace(front, front + depth, 60)
    left = [end - room.ray("left", end, float(y), -1.0, 0.0, up) for y in ys]
    kept = 2.9  # 1/16 and what is unknown of the board, as in the working
    board, thick = 4.5 * INCH, 0.5 * INCH

    floor = room.grounds["floor"]
    stands = floor.at(43.9375 * INCH, 0.0)

    def behind(up: float) -> float:
        """From the end panel's front edge to the wall; 21 to where it stands out most, at its foot."""
        return 21 * INCH + room.depth("back", end, stands) - room.depth("back", end, up)

    cab = Box(room, 0.0, 15 * INCH, 0.15 * INCH, 8 * INCH, 48 * INCH, 78 * INCH)
    aside = cab.least_gap("left", "left") - 0.75 * INCH
    hung = replace(cab, left=cab.left - aside, right=cab.right - aside)
    before = hung.back - 8.75 * INCH  # the frame's face
    stile = [hung.to_wall("left", hung.left, before, float(one)) for one in np.linspace(48, 78, 25) * INCH]
    drain = room.corner("left-back", 18 * INCH)[0] + 31.25 * INCH
    return {
        "corner left-back": _angle(room, "left-back", high),
        "drawer-base least gap at the left": box.least_gap("left", "left") / INCH,
        "drawer-base gap at the left, bottom back": box.gap("left", "left", low, box.depth) / INCH,
        "drawer-base gap at the left, top front": box.gap("left", "left", high, 0.0) / INCH,
        "drawer-base gap at the left, top back": box.gap("left", "left", high, box.depth) / INCH,
        "drawer-base largest gap behind": max(box.behind(high)) / INCH,
        "drawer-base shim at the right front": (floor.at(box.left, 0.0) - floor.at(box.right, -21 * INCH))
        / INCH,
        "strip width": min(face) / INCH,
        "strip range left": span(face) / INCH,
        "kick-1 height": 4 + (floor.at(box.left, 0.0) - floor.at(box.left, -18 * INCH)) / INCH,
        "kick-2 height at the right end": 4
        + (floor.at(box.left, 0.0) - floor.at(box.right + 24 * INCH, -18 * INCH)) / INCH,
        "end depth": behind(board + kept) / INCH,
        "end range back": (behind(stands + 33.6875 * INCH) - behind(board + kept)) / INCH,
        "end notch 0 across": (behind((board + stands) / 2) - thick - kept) / INCH,
        "end notch 1 deep": (board + kept - stands) / INCH,
        "vanity-top width": (end - max(left)) / INCH,
        "vanity-top range left": span(left) / INCH,
        "vanity-top depth": depth / INCH,
        "vanity-top bowl across": (end - drain) / INCH,
        "wall-cab gap at the left, bottom back": hung.gap("left", "left", 48 * INCH, hung.depth) / INCH,
        "wall-cab gap at the left, top front": hung.gap("left", "left", 78 * INCH, 0.0) / INCH,
        "wall-cab gap at the left, top back": hung.gap("left", "left", 78 * INCH, hung.depth) / INCH,
        "frame width": 15 + min(stile) / INCH,
        "mirror wall beside it at the left": hung.to_wall("left", drain - 12 * INCH, 0.0, 57 * INCH) / INCH,
    }


def study_niche_numbers() -> Numbers:
    """The same in millimetres; the tall cabinet is looked at along the long wall, from its foot."""
    room = study_niche_room()
    loose = Box(room, 50.0, 1750.0, -3.0, 300.0, 1150.0, 1950.0)
    places = [
        (float(up), float(deep)) for up, deep in product(np.linspace(1150, 1950, 9), np.linspace(0, 300, 9))
    ]
    widest = {
        side: max(loose.gap(side, wall, *place) for place in places)
        for side, wall in (("left", "left"), ("right", "breast"))
    }
    moved = (widest["right"] - widest["left"]) / 2  # alike where they are widest
    box = replace(loose, left=loose.left + moved, right=loose.right + moved)
    face = [box.gap("left", "left", float(up), 0.0) for up in np.linspace(1150, 1950, 25)]

    def ends(up: float, y: float, gap: float) -> tuple[float, float]:
        """The ends of a board between the walls, its gap off them."""
        left, right = (
            room.ray(wall, 900.0, y, dx, 0.0, up) for wall, dx in (("left", -1.0), ("breast", 1.0))
        )
        return 900.0 - left + gap, 900.0 + right - gap

    desk, shelf = (
        [ends(up, float(y), gap) for y in np.linspace(-3.0 - depth, back, 40)]
        for up, gap, depth, back in ((740.0, 2.0, 640.0, 0.0), (2150.0, 1.0, 300.0, -5.0))
    )
    lefts, rights = zip(*desk, strict=True)
    wall = room.wall("left")
    top = 2320.0 + room.grounds["floor"].at(0.0, -1000.0)

    def foot(along: float, out: float, up: float) -> tuple[float, float]:
        """A place before the long wall: so far along it from the corner, so far out of its foot."""
        x, y = -along * wall.along + (out + room.depth("left", -along, up)) * wall.inward
        return float(x), float(y)

    over = [room.grounds["ceiling"].at(*foot(along, 580.0, top)) - top for along in (1600.0, 1000.0)]
    bottom = room.grounds["floor"].at(*foot(1618.0, 0.0, 0.0))
    heights = [room.grounds["ceiling"].at(*foot(1618.0, out, 2390.0)) - bottom for out in (0.0, 590.0)]
    kept, middle = 5.1, (lefts[-1] + rights[0]) / 2
    chase = 158.0 + room.corner("left-back", 740.0)[0] - middle
    return {
        "corner left-back": _angle(room, "left-back", 740.0),
        "corner back-breast": _angle(room, "back-breast", 740.0),
        "press largest gap behind": room.depth("left", -1300.0, top)
        - room.depth("left", -1300.0, top - 2320.0),
        "press shim under the loose base at the left front": 600.0 / 300,
        "cornice width": min(over),
        "cornice gap at the face, right": max(over),
        "end height": min(heights),
        "end range top": span(heights),
        "end range back": room.depth("left", -1618.0, bottom + min(heights))
        - room.depth("left", -1618.0, bottom),
        "bookcase least gap at the left": box.least_gap("left", "left"),
        "bookcase least gap at the right": box.least_gap("right", "breast"),
        "bookcase gap at the left, top front": box.gap("left", "left", 1950.0, 0.0),
        "bookcase gap at the left, bottom front": box.gap("left", "left", 1150.0, 0.0),
        "bookcase gap at the right, top back": box.gap("right", "breast", 1950.0, 300.0),
        "strip-left width": min(face),
        "strip-left range left": span(face),
        "desk width": min(rights) - max(lefts),
        "desk finished width at the front": rights[0] - lefts[0],
        "desk finished width at the back": rights[-1] - lefts[-1],
        "desk notch 0 across": chase + 55.0 + kept,
        "desk notch 2 across": chase - 55.0 - kept,
        "desk notch 1 deep": 643.0 - 80.0 - kept,
        "high-shelf width": min(right for _, right in shelf) - max(left for left, _ in shelf),
        "high-shelf finished width at the front": shelf[0][1] - shelf[0][0],
    }


def _angle(room: TrueRoom, corner: str, up: float) -> float:
    """A corner's room-side angle in degrees over 500 mm of both walls."""
    meant = room.corner_named(corner)
    assert meant is not None
    return math.degrees(room.turn(corner, 500.0, 500.0, up) + meant.angle)


NUMBERS: dict[str, Callable[[], Numbers]] = {
    "corner-vanity": corner_vanity_numbers,
    "tiled-alcove": tiled_alcove_numbers,
    "chimney-breast": chimney_breast_numbers,
    "sink-wall": sink_wall_numbers,
    "study-niche": study_niche_numbers,
}
