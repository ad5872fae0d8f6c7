"""Where a rigid piece sits: its back line by contact, its place along the wall, and what that ties.

A placed piece has a frame of its own: x right along its back line, y to the back, y = 0 its front. It
is set plumb and level; its back touches as the vertical plane through the supporting line of the wall's
greatest deviation over its height (DESIGN: "How pieces sit"). Because it is pushed against the walls, an
error of a wall's place moves the piece along with the wall; only what is left over counts in a fit, and
`Placed.measure` carries the covariance through that, and counts in how much further out the piece comes to
stand because the true wall is never foremost just where it is expected (`fitting.seating`).

A fitter may hold a piece off that place with shims (`Placed.moved`). Then it has two frames: the one that
it is seated in, which its walls move, and the one that it stands in, fixed to the first. What it bears on is
asked in the first; all else is asked of the piece where it stands.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.seating import Bearing, Seating, resting, seated
from fitting.site import KnownRoom, Ray
from fitting.site.known import ray_quantity
from fitting.site.linear import Linear, combine
from fitting.site.scene import Scene
from fitting.stations import heights, stations

FloatArray = NDArray[np.float64]
Toward = Literal["left", "right", "back"]

AXES: dict[Toward, tuple[float, float]] = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "back": (0.0, 1.0)}


@dataclass(frozen=True)
class Against:
    """x = 0 is `gap` mm off the foremost point of the wall at that side."""

    side: Literal["left", "right"]
    wall: str
    gap: float = 0.0


@dataclass(frozen=True)
class Between:
    """x = 0 is midway between the foremost points of two walls."""

    left: str
    right: str


@dataclass(frozen=True)
class At:
    """x = 0 is `out` mm to the right of a corner or mark of the back wall (negative: to the left)."""

    name: str
    out: float


class Stands(Protocol):
    """An upright plane that stands in the room; see `fitting.standing`."""

    def questions(
        self, placed: Placed, toward: Literal["left", "right"], places: Sequence[tuple[float, float, float]]
    ) -> list[Clear]:
        """Return how far it is from places (x, y, up) of a piece to it."""
        ...


@dataclass(frozen=True, eq=False)
class Beside:
    """x = 0 is `gap` mm off where what stands at that side, about `along` mm along the wall, is nearest."""

    side: Literal["left", "right"]
    what: Stands
    along: float
    gap: float = 0.0


Lateral = Against | Between | At | Beside


@dataclass(frozen=True)
class Frame:
    """A piece's frame in the plan: where its origin is, and the direction of its x."""

    x: float
    y: float
    heading: float

    def to_room(self, x: float, y: float) -> tuple[float, float]:
        """Return a point of the piece in the plan."""
        cos, sin = math.cos(self.heading), math.sin(self.heading)
        return self.x + cos * x - sin * y, self.y + sin * x + cos * y

    def to_piece(self, x: float, y: float) -> tuple[float, float]:
        """Return a point of the plan in the piece's frame."""
        cos, sin = math.cos(self.heading), math.sin(self.heading)
        return cos * (x - self.x) + sin * (y - self.y), -sin * (x - self.x) + cos * (y - self.y)


@dataclass(frozen=True)
class Reach:
    """Ask how far it is from (x, y) of the piece to a wall, at a height; `seated`: before it was moved."""

    toward: Toward
    wall: str
    x: float
    y: float
    up: float
    seated: bool = False


@dataclass(frozen=True)
class Spotted:
    """Ask where a feature is in the piece's frame: its x or its y; `seated`: before it was moved."""

    name: str
    up: float
    axis: Literal["x", "y"]
    seated: bool = False


@dataclass(frozen=True)
class Clear:
    """Ask how far it is from (x, y) of the piece to an upright plane that stands in the room.

    The answer is a sum of others, each times its factor, and a constant; `normal` is the plane's.
    """

    toward: Literal["left", "right"]
    x: float
    y: float
    up: float
    terms: tuple[tuple[float, Reach | Spotted], ...]
    constant: float
    normal: tuple[float, float]
    seated: bool = False


Question = Reach | Spotted | Clear


@dataclass(frozen=True, eq=False)
class Placed:
    """A piece in its place.

    Attributes
    ----------
    frame
        x right along the back line, y to the back, y = 0 the front; where the expected walls put it, or
        where shims hold it off that.
    depth
        From the front to the back line, mm.
    touches
        The places, as questions, where the back line touches the expected wall: two, or one on a crown.
    turned_by
        The two places that give it its direction: the gaps there stay alike. Its touches where there are
        two; on a crown the places where the gap is greatest, which the fitter makes alike with shims.
    held
        What holds it sideways: one question for `Against` and `At`, two for `Between`.
    back, sides
        All that it may touch instead: along the back, and for each of `held`.
    seat
        The frame that it is seated in; nothing where it stands as it is seated.
    """

    room: KnownRoom = field(repr=False)
    wall: str
    frame: Frame
    depth: float
    touches: tuple[Reach, ...]
    turned_by: tuple[Reach, Reach]
    lateral: Lateral
    held: tuple[Question, ...]
    back: tuple[Reach, ...] = field(repr=False)
    sides: tuple[tuple[Question, ...], ...] = field(repr=False)
    seat: Frame | None = None

    @property
    def seated_frame(self) -> Frame:
        """The frame that its walls put it in."""
        return self.frame if self.seat is None else self.seat

    @property
    def off_seat(self) -> tuple[float, float, float]:
        """How far it was turned (radians, leftward seen from above), its origin moved right and back (mm)."""
        seat = self.seated_frame
        right, back = seat.to_piece(self.frame.x, self.frame.y)
        return self.frame.heading - seat.heading, right, back

    def moved(self, turn: float, right: float, back: float) -> Placed:
        """Return it held off where it stands by shims, as firmly tied to its seat as before.

        Parameters
        ----------
        turn
            Radians, leftward seen from above, about the origin of its seat.
        right, back
            Then mm, along its seated line and to the back of it.

        Returns
        -------
        Placed
            Small motions are those whose effects `effects` gives. What it may touch is not asked again:
            whoever moves it looks at the gaps.
        """
        seat = self.seated_frame
        x, y = seat.to_piece(self.frame.x, self.frame.y)
        cos, sin = math.cos(turn), math.sin(turn)
        origin = seat.to_room(cos * x - sin * y + right, sin * x + cos * y + back)
        first, second = (replace(one, seated=True) for one in self.turned_by)
        return replace(
            self,
            frame=Frame(*origin, self.frame.heading + turn),
            touches=tuple(replace(one, seated=True) for one in self.touches),
            turned_by=(first, second),
            held=tuple(replace(one, seated=True) for one in self.held),
            back=tuple(replace(one, seated=True) for one in self.back),
            sides=tuple(tuple(replace(one, seated=True) for one in side) for side in self.sides),
            seat=seat,
        )

    def _frame_of(self, question: Question) -> Frame:
        return self.seated_frame if question.seated else self.frame

    @property
    def on_crown(self) -> bool:
        """Whether the back could rock where it touches, so that shims give it its direction."""
        return len(self.touches) == 1

    def measure(self, questions: Sequence[Question]) -> Joint:
        """Return the answers jointly, the piece pushed to where it sits in every possible room.

        The mean is of the piece where it is planned, on the expected wall. On an uneven wall it comes to rest
        some tenths of a millimetre further out: that too is an error against the plan, and the covariance is
        about the plan (mean square errors, not only scatter).
        """
        seating, bearing = self.seating, self.bearing
        joint = self._query([*bearing, *questions])
        answers = joint.mean[len(bearing) :]
        effects = self.effects(questions, answers)
        carry = np.hstack([effects @ seating.slopes[seating.used].T, np.eye(len(questions))])
        further_out = effects @ seating.shift
        covariance = carry @ joint.covariance @ carry.T + effects @ seating.rest @ effects.T
        covariance += np.outer(further_out, further_out)
        return Joint(answers, (covariance + covariance.T) / 2)

    def expect(self, questions: Sequence[Question]) -> FloatArray:
        """Return the answers in the room that is expected, its touches at 0: `measure` without what the
        unknown adds, at a part of its cost."""
        return self.room.expect(lambda scene: self.quantities(scene, questions))

    def walls(self) -> set[str]:
        """Return the names of the walls that say where it sits."""
        return {self.wall} | {one.wall for one in self.held if isinstance(one, Reach)}

    @property
    def bearing(self) -> list[Question]:
        """The places that it touches or is turned by on any of the walls that may be."""
        places = self._places()
        return [places[k] for k in self.seating.used]

    @cached_property
    def seating(self) -> Seating:
        """How it comes to rest on all the walls that the back and what holds it may have."""
        places = self._places()
        joint = self._query(places)
        clearance = joint.mean - [self._wanted(one) for one in places]
        ends = len(self.back) + np.cumsum([0, *map(len, self.sides)])
        sides = tuple(slice(int(a), int(b)) for a, b in pairwise(ends))
        first, second = (self.back.index(one) for one in self.turned_by)
        turning = (first, second) if self.on_crown else None
        along = np.array([one.x for one in self.back])
        bearing = Bearing(along, self.effects(places, joint.mean), sides, turning)
        return seated(bearing, Joint(clearance, joint.covariance))

    def _places(self) -> list[Question]:
        return [*self.back, *(one for side in self.sides for one in side)]

    def _wanted(self, place: Question) -> float:
        """Return the answer at a place that it touches, or that holds it."""
        if isinstance(place, Spotted):
            return -self.lateral.out if isinstance(self.lateral, At) else 0.0
        if place.toward == "back":
            return self.depth - place.y
        return self.lateral.gap if isinstance(self.lateral, Against | Beside) else 0.0

    def _query(self, questions: Sequence[Question]) -> Joint:
        return self.room.query(lambda scene: self.quantities(scene, questions))

    def quantities(self, scene: Scene, questions: Sequence[Question]) -> list[Linear]:
        """Return the answers with their derivatives, the piece held where it is planned."""
        return [self._quantity(scene, one) for one in questions]

    def _quantity(self, scene: Scene, question: Question) -> Linear:
        if isinstance(question, Reach):
            return ray_quantity(scene, self.ray(question))
        if isinstance(question, Clear):
            seated = question.seated
            terms = ((by, replace(one, seated=True) if seated else one) for by, one in question.terms)
            parts = [(by, self._quantity(scene, one)) for by, one in terms]
            return combine(*parts, (1.0, question.constant))
        frame = self._frame_of(question)
        x, y, _ = scene.place(question.name, question.up)
        cos, sin = math.cos(frame.heading), math.sin(frame.heading)
        if question.axis == "x":
            return combine((cos, x), (sin, y), (1.0, -cos * frame.x - sin * frame.y))
        return combine((-sin, x), (cos, y), (1.0, sin * frame.x - cos * frame.y))

    def ray(self, reach: Reach) -> Ray:
        """Return a question's ray in the plan."""
        return Ray(reach.wall, *self._start_and_way(reach), reach.up)

    def _start_and_way(self, question: Reach | Clear) -> tuple[float, float, float, float]:
        """Return from where, and in which direction, a question looks in the plan."""
        frame = self._frame_of(question)
        cos, sin = math.cos(frame.heading), math.sin(frame.heading)
        ax, ay = AXES[question.toward]
        return *frame.to_room(question.x, question.y), cos * ax - sin * ay, sin * ax + cos * ay

    def effects(self, questions: Sequence[Question], answers: FloatArray) -> FloatArray:
        """Return what a small turn of the piece (radians) and motions to the back and to the right (mm) do to
        answers (k, 3); it turns about the origin of its seat, and moves along its seated line."""
        return np.array([self._effect(one, answer) for one, answer in zip(questions, answers, strict=True)])

    def _effect(self, question: Question, answer: float) -> FloatArray:
        """What a small turn of the piece and motions to the back and right do to an answer."""
        seat = self.seated_frame
        if isinstance(question, Spotted):
            heading = self._frame_of(question).heading
            x, y = Frame(seat.x, seat.y, heading).to_piece(*self.room.point(question.name, question.up).mean)
            cos, sin = math.cos(heading - seat.heading), math.sin(heading - seat.heading)
            return np.array([y, -sin, -cos] if question.axis == "x" else [-x, -cos, sin])
        x, y, dx, dy = self._start_and_way(question)
        facing = question.normal if isinstance(question, Clear) else self.room.axes(question.wall)[1]
        wall = np.array(facing)
        right = np.array([math.cos(seat.heading), math.sin(seat.heading)])
        back, here = _quarter_turn(right), np.array([x - seat.x, y - seat.y])
        towards = np.array([dx, dy])
        swing = _quarter_turn(here + answer * towards)
        effect: FloatArray = -np.array([swing, back, right]) @ wall / (towards @ wall)
        return effect


def _quarter_turn(vector: FloatArray) -> FloatArray:
    return np.array([-vector[1], vector[0]])


def place(
    room: KnownRoom,
    wall: str,
    lateral: Lateral,
    extent: tuple[float, float] | None,
    depth: float,
    bottom: float,
    top: float,
) -> Placed:
    """Place a piece with its back to a wall.

    Parameters
    ----------
    room, wall
        The wall that its back touches.
    lateral
        What holds it sideways; that says where x = 0 is.
    extent
        From which x to which x it reaches; not needed between two walls.
    depth
        From its front to its back line, mm.
    bottom, top
        Heights above z = 0, mm.

    Raises
    ------
    BadInput
        A piece of no size, or one held by nothing.
    """
    if not (depth > 0 and top > bottom):
        raise BadInput(f"expected a depth above 0 and a top above the bottom, got {depth}, {bottom}, {top}")
    heading = room.heading(wall)
    start, end = _extent(lateral, extent, room, wall, heading, (bottom + top) / 2)
    along = _along(room, wall, lateral, (bottom + top) / 2, start, end)
    return _hold(_seat(room, wall, lateral, along, heading, depth, bottom, top), bottom, top)


def _extent(
    lateral: Lateral,
    extent: tuple[float, float] | None,
    room: KnownRoom,
    wall: str,
    heading: float,
    up: float,
) -> tuple[float, float]:
    if extent is not None:
        if not extent[1] > extent[0]:
            raise BadInput(f"expected a width above 0, got a piece from {extent[0]} to {extent[1]}")
        return extent
    if not isinstance(lateral, Between):
        raise BadInput("a piece that is not between two walls needs its width")
    left, right = (_wall_end(room, wall, other, up) for other in (lateral.left, lateral.right))
    half = (right - left) / 2
    if not half > 0:
        raise BadInput(
            f"between `{lateral.left}` and `{lateral.right}` is no room along `{wall}`: "
            "expected a left wall and another right"
        )
    return -half, half


def _wall_end(room: KnownRoom, wall: str, other: str, up: float) -> float:
    """Where the back wall meets another, along it."""
    for corner in room.plan.corners:
        if {corner.left, corner.right} == {wall, other}:
            return float(room.along(wall, corner.name, up).mean[0])
    raise BadInput(f"walls `{wall}` and `{other}` have no corner: expected neighbours")


def _along(
    room: KnownRoom, wall: str, lateral: Lateral, up: float, start: float, end: float
) -> tuple[float, float]:
    """Return the piece's span along the back wall, well enough to say where its back touches."""
    if isinstance(lateral, At):
        zero = float(room.along(wall, lateral.name, up).mean[0]) + lateral.out
    elif isinstance(lateral, Beside):
        zero = lateral.along + (lateral.gap if lateral.side == "left" else -lateral.gap)
    elif isinstance(lateral, Against):
        inward = lateral.gap if lateral.side == "left" else -lateral.gap
        zero = _wall_end(room, wall, lateral.wall, up) + inward
    else:
        zero = (_wall_end(room, wall, lateral.left, up) + _wall_end(room, wall, lateral.right, up)) / 2
    return zero + start, zero + end


def _seat(
    room: KnownRoom,
    wall: str,
    lateral: Lateral,
    along: tuple[float, float],
    heading: float,
    depth: float,
    bottom: float,
    top: float,
) -> Placed:
    """Push the back against the wall; the frame's x = 0 is still the start of the span, held by nothing."""
    here = _point_out(room, wall, along[0], depth)
    frame = Frame(*here, heading)
    xs, ups = np.meshgrid(stations(0.0, along[1] - along[0]), heights(bottom, top))
    asked = [
        Reach("back", wall, float(x), 0.0, float(up)) for x, up in zip(xs.ravel(), ups.ravel(), strict=True)
    ]
    probe = Placed(room, wall, frame, depth, (), (asked[0], asked[-1]), lateral, (), (), ())
    toward_room = -probe.expect(asked).reshape(xs.shape)
    foremost, across = toward_room.argmax(axis=0), np.arange(xs.shape[1])
    there = tuple(replace(asked[k], y=depth / 2) for k in np.ravel_multi_index((foremost, across), xs.shape))
    contact, touching, (left, right) = resting(xs[0], toward_room[foremost, across])
    back = Frame(*frame.to_room(0.0, -contact.offset), heading + math.atan(-contact.slope))
    origin = Frame(*back.to_room(0.0, -depth), back.heading)
    touches = tuple(there[k] for k in touching)
    return Placed(room, wall, origin, depth, touches, (there[left], there[right]), lateral, (), there, ())


def _point_out(room: KnownRoom, wall: str, along: float, out: float) -> tuple[float, float]:
    (ux, uy), (nx, ny) = room.axes(wall)
    x, y = room.foot(wall)
    return x + ux * along + nx * out, y + uy * along + ny * out


def _hold(loose: Placed, bottom: float, top: float) -> Placed:
    """Move the frame sideways to where the piece is held, and remember by what."""
    lateral = loose.lateral
    if isinstance(lateral, At):
        mark = Spotted(lateral.name, (bottom + top) / 2, "x")
        return _shifted(loose, float(loose.expect([mark])[0]) + lateral.out, (mark,), ((mark,),))
    if isinstance(lateral, Against):
        side, nearest, reach = _foremost(loose, lateral.side, lateral.wall, bottom, top)
        sign = -1.0 if lateral.side == "left" else 1.0
        return _shifted(loose, sign * (reach - lateral.gap), (side[nearest],), (side,))
    if isinstance(lateral, Beside):
        return _put_beside(loose, lateral, (bottom + top) / 2)
    left, nearest_left, left_reach = _foremost(loose, "left", lateral.left, bottom, top)
    right, nearest_right, right_reach = _foremost(loose, "right", lateral.right, bottom, top)
    held = left[nearest_left], right[nearest_right]
    return _shifted(loose, (right_reach - left_reach) / 2, held, (left, right))


def _put_beside(loose: Placed, lateral: Beside, up: float) -> Placed:
    """Hold a piece by what stands beside it: that is straight, so both ends of the depth tell all of it."""
    ends = [(0.0, 0.0, up), (0.0, loose.depth, up)]
    reach = loose.expect(lateral.what.questions(loose, lateral.side, ends))
    sign = -1.0 if lateral.side == "left" else 1.0
    placed = _shifted(loose, sign * (float(reach.min()) - lateral.gap), (), ())
    side = tuple(lateral.what.questions(placed, lateral.side, ends))
    return replace(placed, held=(side[int(np.argmin(reach))],), sides=(side,))


def _foremost(
    placed: Placed, side: Literal["left", "right"], wall: str, bottom: float, top: float
) -> tuple[tuple[Reach, ...], int, float]:
    """Return where over the height a side wall stands nearest, all along the depth; where over all, and how
    far that is from x = 0."""
    ys, ups = np.meshgrid(stations(0.0, placed.depth), heights(bottom, top))
    asked = [
        Reach(side, wall, 0.0, float(y), float(up)) for y, up in zip(ys.ravel(), ups.ravel(), strict=True)
    ]
    reach = placed.expect(asked).reshape(ys.shape)
    level, deep = reach.argmin(axis=0), np.arange(ys.shape[1])
    there = tuple(asked[k] for k in np.ravel_multi_index((level, deep), ys.shape))
    nearest = int(np.argmin(reach.min(axis=0)))
    return there, nearest, float(reach.min())


def _shifted(
    placed: Placed, right: float, held: tuple[Question, ...], sides: tuple[tuple[Question, ...], ...]
) -> Placed:
    """Put x = 0 further right; places of the back keep their place in the room."""
    frame = Frame(*placed.frame.to_room(right, 0.0), placed.frame.heading)

    def moved(places: tuple[Reach, ...]) -> tuple[Reach, ...]:
        return tuple(replace(one, x=one.x - right) for one in places)

    first, second = moved(placed.turned_by)
    touches, back = moved(placed.touches), moved(placed.back)
    return replace(
        placed, frame=frame, touches=touches, turned_by=(first, second), held=held, back=back, sides=sides
    )
