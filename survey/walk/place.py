"""The place that pieces go to: its walls in order, and nominal sizes where nothing was read yet."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, TypeVar

from survey.errors import RecordError
from survey.quantity import Step, read_step, round_length, write_length
from survey.records import (
    BoxPiece,
    Corner,
    LengthReading,
    Mark,
    Panel,
    Piece,
    Record,
    Room,
    Spot,
    Survey,
    Top,
    TypedLength,
    Wall,
)

Kind = Literal["wall", "corner", "alcove", "room"]
End = Literal["left", "right"]
Named = TypeVar("Named", Wall, Corner)

INCH: Final = 25.4


@dataclass(frozen=True)
class Usual:
    """Round sizes of a unit, in mm, for what nobody has said yet: a wall's length, a counter's depth.

    A counter is `below` the level line where z = 0 is that line; `low` is above the floor and clear of a
    baseboard (common practice, no source). Places that we choose fall on a `handy` mark of the tape.
    """

    length: float
    depth: float
    height: float
    below: float
    low: float
    handy: float


USUAL: Final[dict[str, Usual]] = {
    "mm": Usual(1500.0, 600.0, 860.0, 100.0, 100.0, 5.0),
    "in": Usual(*(INCH * inches for inches in (60.0, 24.0, 34.0, 4.0, 4.0, 0.25))),
}
USUAL_STEP: Final = Step(Fraction(127, 80), "in")


@dataclass(frozen=True)
class Place:
    """Walls around what is planned.

    Attributes
    ----------
    kind
        By what adjoins the back wall: nothing, one inside corner, two, or walls all the way round.
    back
        The wall that pieces are fixed to, unless they say another.
    walls
        Names, clockwise seen from above; an open row from its left end, a closed room from its back wall.
    corners
        In the same order; the corner after the last wall, of a room, is the last.
    lengths
        mm, one for each wall; None where nothing was read.
    depth, height
        mm, of what is planned: out of the wall, and above z = 0.
    level_line
        mm above z = 0.
    step
        The job's smallest fraction; its unit is the job's.
    marks
        Wall and mark, for walls that have one.
    """

    kind: Kind
    back: str
    walls: tuple[str, ...]
    corners: tuple[Corner, ...] = ()
    lengths: tuple[float | None, ...] = ()
    depth: float = 600.0
    height: float = 860.0
    level_line: float = 0.0
    step: Step = USUAL_STEP
    marks: tuple[tuple[str, str], ...] = ()

    @property
    def floor(self) -> float:
        """Where the floor is about, mm above z = 0; where z = 0 is the level line, below it."""
        return 0.0 if self.level_line > 0.0 else -(self.usual.height + self.usual.below)

    @property
    def low(self) -> float:
        """How high above z = 0 walls are read near the floor, in mm."""
        return self.rounded(self.floor + self.usual.low)

    @property
    def usual(self) -> Usual:
        """Round sizes in the job's unit."""
        return USUAL[self.step.unit]

    def known(self, wall: str) -> float | None:
        """Return a wall's length in mm as it was read; nothing where it was not."""
        return self.lengths[self.walls.index(wall)] if self.lengths else None

    def length(self, wall: str) -> float:
        """Return a wall's length in mm, or the nominal one."""
        known = self.known(wall)
        return self.usual.length if known is None else known

    def corner_at(self, wall: str, end: End) -> Corner | None:
        """Return the corner at a wall's end, facing it."""
        field = "right_wall" if end == "left" else "left_wall"
        return next((corner for corner in self.corners if getattr(corner, field) == wall), None)

    def beside(self, wall: str, end: End) -> str | None:
        """Return the wall that meets a wall's end in an inside corner."""
        corner = self.corner_at(wall, end)
        if corner is None or corner.turn == "outside":
            return None
        return corner.left_wall if end == "left" else corner.right_wall

    def start(self, wall: str) -> str | None:
        """Return what places on a wall are counted from: its left corner, its right one, or a mark."""
        corner = self.corner_at(wall, "left") or self.corner_at(wall, "right")
        return corner.name if corner else dict(self.marks).get(wall)

    def leftward(self, wall: str, start: str) -> bool:
        """Whether places count leftward: from the corner at the wall's right end."""
        corner = self.corner_at(wall, "right")
        return corner is not None and corner.name == start

    def from_left(self, wall: str, start: str, along: float) -> float:
        """Return how far right of a wall's left end (or of its mark) a place is, in mm."""
        return self.length(wall) - along if self.leftward(wall, start) else along

    def point(self, wall: str, start: str, along: float) -> tuple[float, float]:
        """Return where a place on a wall is in the nominal plan: mm right and back of the back's left end.

        >>> alcove = Place("alcove", "back", ("back",))
        >>> alcove.point("back", "m", 300.0)
        (300.0, 0.0)
        """
        x, y, heading = self._axes(wall)
        right = self.from_left(wall, start, along)
        return x + right * math.cos(heading), y + right * math.sin(heading)

    def normal(self, wall: str) -> tuple[float, float]:
        """Return the direction out of a wall, into the room, in the nominal plan."""
        heading = self._axes(wall)[2]
        return math.sin(heading), -math.cos(heading)

    def _axes(self, wall: str) -> tuple[float, float, float]:
        """Return a wall's left end and heading, walked to from the back wall."""
        x = y = heading = 0.0
        at, here = self.walls.index(self.back), self.walls.index(wall)
        while at < here:
            length = self.length(self.walls[at])
            x, y = x + length * math.cos(heading), y + length * math.sin(heading)
            heading -= _turn(self._between(self.walls[at], self.walls[at + 1]))
            at += 1
        while at > here:
            heading += _turn(self._between(self.walls[at - 1], self.walls[at]))
            length = self.length(self.walls[at - 1])
            x, y = x - length * math.cos(heading), y - length * math.sin(heading)
            at -= 1
        return x, y, heading

    def _between(self, left: str, right: str) -> Corner:
        return next(c for c in self.corners if (c.left_wall, c.right_wall) == (left, right))

    def typed(self, mm: float) -> TypedLength:
        """Return a length as it would be typed in the job's unit, to its smallest fraction.

        >>> Place("wall", "back", ("back",)).typed(34.5 * 25.4)
        TypedLength(text='34 1/2', unit='in')
        """
        return TypedLength(write_length(mm, self.step).removesuffix(f" {self.step.unit}"), self.step.unit)

    def say(self, mm: float) -> str:
        """Say a length in the job's unit."""
        return write_length(mm, self.step)

    def rounded(self, mm: float) -> float:
        """Return a length on the job's graduations."""
        return float(round_length(mm, self.step))

    def handy(self, mm: float) -> float:
        """Return the mark of the tape that is easily found near a place that we choose.

        >>> Place("wall", "back", ("back",)).handy(300.0) / 25.4
        11.75
        """
        return self.rounded(round(mm / self.usual.handy) * self.usual.handy)


def room_side(corner: Corner) -> float:
    """Return the angle meant on the room's side, in radians."""
    if corner.nominal is not None:
        return corner.nominal.angle.radians
    return math.pi / 2 if corner.turn == "inside" else 3 * math.pi / 2


def _turn(corner: Corner) -> float:
    """Return how far the walls turn clockwise at a corner."""
    return math.pi - room_side(corner)


def place_of(survey: Survey) -> Place:
    """Return the place of a survey's room.

    Sizes come from the pieces planned and from lengths read; where there are none they are nominal.

    Raises
    ------
    RecordError
        Where no room says which wall is the back, or there is no such wall.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> lines = "job Vanity in mm to 1 mm level line 1000", "room bath", "wall back", "wall left"
    >>> place = place_of(Survey(dictate([*lines, "corner left and back"], Survey([]))))
    >>> place.kind, place.walls, place.length("back"), place.height
    ('corner', ('left', 'back'), 1500.0, 860.0)
    """
    back = _back(survey)
    corners = _sound_corners(survey)
    walls, row, closed = _row(back, corners)
    inside = sum(corner.turn == "inside" and back in (corner.left_wall, corner.right_wall) for corner in row)
    kind: Kind = "room" if closed else ("wall", "corner", "alcove")[inside]
    job = survey.job
    level_line = float(job.level_line.mm) if job is not None and job.level_line is not None else 0.0
    depth, height = _planned(survey)
    step = USUAL_STEP if job is None else read_step(job.step)
    usual = USUAL[step.unit]
    counter = usual.height if level_line > 0.0 else -usual.below
    return Place(
        kind,
        back,
        walls,
        row,
        tuple(_length(survey, wall, row) for wall in walls),
        usual.depth if depth is None else depth,
        counter if height is None else height,
        level_line,
        step,
        _marks(survey, walls),
    )


def _back(survey: Survey) -> str:
    rooms, walls = survey.of(Room), [wall.name for wall in survey.of(Wall)]
    if not rooms:
        raise RecordError(
            "a walk needs a room: expected a line such as `room bath back back`, got none; add it"
        )
    back = rooms[-1].back
    if back not in walls:
        there = ", ".join(f"`{name}`" for name in walls) or "none"
        raise RecordError(
            f"room `{rooms[-1].name}`: expected its back wall `{back}` among the walls, got {there}; "
            f"add `wall {back}`, or say which wall is the back"
        )
    return back


def _sound_corners(survey: Survey) -> list[Corner]:
    """Return corners between walls that are there; of two at one end of a wall the first counts."""
    walls = {wall.name for wall in survey.of(Wall)}
    taken: set[tuple[str, str]] = set()
    sound = []
    for corner in survey.of(Corner):
        ends = {(corner.left_wall, "right"), (corner.right_wall, "left")}
        apart = corner.left_wall != corner.right_wall
        if apart and {corner.left_wall, corner.right_wall} <= walls and not ends & taken:
            taken |= ends
            sound.append(corner)
    return sound


def _row(back: str, corners: list[Corner]) -> tuple[tuple[str, ...], tuple[Corner, ...], bool]:
    """Walk from the back wall both ways; return walls and corners clockwise, and whether they close."""
    rightward = {corner.left_wall: corner for corner in corners}
    leftward = {corner.right_wall: corner for corner in corners}
    walls, row = [back], []
    while (corner := rightward.get(walls[-1])) is not None:
        row.append(corner)
        if corner.right_wall == back:
            return tuple(walls), tuple(row), True
        walls.append(corner.right_wall)
    while (corner := leftward.get(walls[0])) is not None:
        row.insert(0, corner)
        walls.insert(0, corner.left_wall)
    return tuple(walls), tuple(row), False


def _length(survey: Survey, wall: str, corners: tuple[Corner, ...]) -> float | None:
    """Return a wall's length as read between its corners, or else between its neighbours nearest to it."""
    left = next((corner for corner in corners if corner.right_wall == wall), None)
    right = next((corner for corner in corners if corner.left_wall == wall), None)
    if left is None or right is None:
        return None
    read = []
    for number, reading in enumerate(survey.of(LengthReading)):
        first, second = reading.between
        for one, other in ((first, second), (second, first)):
            outs = _out_of(one, left.name, left.left_wall), _out_of(other, right.name, right.right_wall)
            if outs[0] is not None and outs[1] is not None and reading.reads.mm > 0:
                read.append((max(outs[0], outs[1]), -number, float(reading.reads.mm)))
    return min(read)[2] if read else None


def _out_of(end: Spot | str, corner: str, wall: str) -> float | None:
    """Return how far along its neighbour an end of a wall was read; nothing for another place."""
    if isinstance(end, Spot):
        return abs(float(end.along.mm)) if (end.wall, end.from_) == (wall, corner) else None
    return 0.0 if end == corner else None


def _marks(survey: Survey, walls: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """Return a mark for each wall that has one: the room's origin before others."""
    origin = survey.of(Room)[-1].origin
    marks: dict[str, str] = {}
    for mark in sorted(survey.of(Mark), key=lambda mark: mark.name != origin):
        marks.setdefault(mark.wall, mark.name)
    return tuple((wall, marks[wall]) for wall in walls if wall in marks)


def _planned(survey: Survey) -> tuple[float | None, float | None]:
    """Return how deep and how high the planned pieces are: the deepest, and a top before a box."""
    pieces = survey.of(Piece)
    depths = [depth for piece in pieces if (depth := depth_of(piece, survey)) is not None]
    for kind in (Top, BoxPiece, Panel):
        heights = [
            up for piece in pieces if isinstance(piece, kind) and (up := top_of(piece, survey)) is not None
        ]
        if heights:
            return max(depths, default=None), heights[0]
    return max(depths, default=None), None


def cabinet_under(piece: Piece, survey: Survey) -> BoxPiece | None:
    """Return the cabinet that a top lies on."""
    if not isinstance(piece, Top) or piece.on is None:
        return None
    return next((one for one in survey.named.get(piece.on, ()) if isinstance(one, BoxPiece)), None)


def depth_of(piece: Record, survey: Survey) -> float | None:
    """Return how far a piece stands out of its wall, in mm, as far as it is typed."""
    if isinstance(piece, (BoxPiece, Panel)):
        return float(piece.depth.mm)
    if not isinstance(piece, Top):
        return None
    if piece.depth is not None:
        return float(piece.depth.mm)
    box = cabinet_under(piece, survey)
    return (
        None if box is None else float(box.depth.mm) + (float(piece.overhang.mm) if piece.overhang else 0.0)
    )


def bottom_of(piece: BoxPiece | Panel) -> float | None:
    """Return how high a piece's underside is, in mm above z = 0; nothing where it stands on the floor."""
    return None if piece.bottom is None else float(piece.bottom.mm)


def top_of(piece: Record, survey: Survey) -> float | None:
    """Return how high a piece's upper face is, in mm above z = 0, a floor at z = 0 taken for granted."""
    if isinstance(piece, (BoxPiece, Panel)):
        return (bottom_of(piece) or 0.0) + float(piece.height.mm)
    if not isinstance(piece, Top):
        return None
    if piece.up is not None:
        return float(piece.up.mm)
    box = cabinet_under(piece, survey)
    under = None if box is None else top_of(box, survey)
    return None if under is None else under + float(piece.thickness.mm)
