"""Where everything is on one wall, facing it: what the readings say before any adjustment.

The frame is the elevation's: x to the right along the wall, y up from the level plane z = 0, millimetres.
x = 0 is the wall's left corner; where it has none, its right corner (the wall then lies at x < 0); without
corners, the mark that places are counted from.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from fitting.site import Along, Distance, Gaps, Height, Leaning, Level, Plan
from survey.drawing.errors import DrawingError
from survey.drawing.geometry import Point
from survey.observe import Observed, observe
from survey.observe.ground import Ground
from survey.records import Feature, Mark, Panel, Piece, Reading, Survey, Top
from survey.records.pieces import BoxPiece, Filler
from survey.report.context import mm
from survey.walk.planned import Row, planned, wall_behind

USUAL_LENGTH: Final = 1500.0
"""mm: how long a wall is drawn of which nothing is known."""
USUAL_FLOOR: Final = -960.0
"""mm above z = 0: where a floor is drawn that nobody read, z = 0 being the level line (common practice)."""
SAME_HEIGHT: Final = 60.0
"""mm: what was read within this of height was read at one place."""
APART: Final = 3.0
"""mm: readings of one place that are further apart do not agree."""


@dataclass(frozen=True)
class Sighting:
    """One reading of how far along a point is: its place, at which height, counted from where."""

    x: float
    up: float
    record: str
    start: str


@dataclass(frozen=True)
class Check:
    """Where a straightedge lay, or a lean was read: the stations' places."""

    points: tuple[Point, ...]
    record: str


@dataclass
class Elevation:
    """One wall as it was read.

    `left` and `right` are its ends, nothing where it runs on; `is_read` says that the distance between two
    ends was read. `sightings` and `heights` are by point: a feature's name, or `name:edge`.
    """

    survey: Survey
    wall: str
    ground: Ground
    plan: Plan
    left: float | None = None
    right: float | None = None
    is_read: bool = False
    sightings: dict[str, list[Sighting]] = field(default_factory=dict)
    heights: dict[str, list[tuple[float, str]]] = field(default_factory=dict)
    checks: list[Check] = field(default_factory=list)
    floor: list[tuple[Point, str]] = field(default_factory=list)
    ceiling: list[tuple[Point, str]] = field(default_factory=list)

    @property
    def floor_up(self) -> float:
        """How high the floor is, about: as read, or where it is supposed to be."""
        if self.floor:
            return _mean([y for (_, y), _ in self.floor])
        return 0.0 if self.ground.level_line > 0.0 else USUAL_FLOOR

    @property
    def things(self) -> tuple[Feature | Mark, ...]:
        """What is on the wall, in the order in which it was put down."""
        found: tuple[Feature | Mark, ...] = (*self.survey.of(Feature), *self.survey.of(Mark))
        return tuple(one for one in found if one.wall == self.wall)

    def along(self, point: str) -> float | None:
        """Return how far right a point is, the mean of its readings; nothing where there are none.

        Readings at another height than the first are left out: the corner they count from may lean.
        """
        seen = self.sightings.get(point, ())
        return _mean([one.x for one in seen if _is_near(one, seen[0])]) if seen else None

    def up(self, point: str) -> float | None:
        """Return how high a point is, the mean of its readings; nothing where there are none."""
        seen = self.heights.get(point, ())
        return _mean([up for up, _ in seen]) if seen else None

    def edge(self, name: str) -> tuple[Point, ...]:
        """Return where an upright edge was read, from below; readings of one height as their mean."""
        bands: list[list[Sighting]] = []
        for one in sorted(self.sightings.get(name, ()), key=lambda one: one.up):
            if bands and _is_near(one, bands[-1][0]):
                bands[-1].append(one)
            else:
                bands.append([one])
        return tuple((_mean([one.x for one in band]), _mean([one.up for one in band])) for band in bands)

    def disagreeing(self, point: str) -> tuple[float, float] | None:
        """Return the least and the greatest place of a point that was read twice at a height and differs."""
        for one in self.sightings.get(point, ()):
            near = [other.x for other in self.sightings[point] if _is_near(other, one)]
            if max(near) - min(near) > APART:
                return min(near), max(near)
        return None

    @property
    def row(self) -> Row:
        """The wall as pieces are planned along it."""
        left, right, ground = self.left, self.right, self.ground

        def is_leftward(start: str) -> bool:
            return ground.at_right_end(start, self.wall)

        return Row(self.survey, self.wall, self.plan.back, left, right, self.place, is_leftward)

    def start_x(self, start: str) -> float | None:
        """Return how far right what places are counted from is; nothing where it was not read."""
        if self.ground.at_right_end(start, self.wall):
            return self.right
        if start in self.ground.corners:
            return self.left
        if start == self.plan.origin and start not in self.sightings:
            return 0.0
        return self.along(start)

    def place(self, start: str, along: float) -> float | None:
        """Return how far right a place is that was counted from `start`."""
        at = self.start_x(start)
        if at is None:
            return None
        return at - along if self.ground.at_right_end(start, self.wall) else at + along

    def not_measured(self) -> tuple[str, ...]:
        """Return the points that have no place yet: names, and `name:edge` for a window's edges."""
        return tuple(
            point for thing in self.things for point in points_of(thing) if point not in self.sightings
        )


def points_of(thing: Feature | Mark) -> tuple[str, ...]:
    """Return what of a thing is measured along the wall; nothing for what runs over all of it.

    >>> from survey.dictation import dictate
    >>> window, base = dictate(["window w on back", "baseboard b on back"], Survey([]))
    >>> points_of(window), points_of(base)
    (('w:left', 'w:right'), ())
    """
    kind = getattr(thing, "type", "")
    if kind in ("baseboard", "crown") or thing.__struct_config__.tag == "floor-heat":
        return ()
    if kind in ("window", "shower door", "door"):
        return f"{thing.name}:left", f"{thing.name}:right"
    return (thing.name,)


def elevation(survey: Survey, wall: str) -> Elevation:
    """Gather what the readings say of a wall.

    Raises
    ------
    DrawingError
        There is no such wall, or the walls make no room yet.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> lines = ["job V in mm to 1 mm level line 1000", "room r", "wall back", "wall left"]
    >>> lines += ["corner left and back", "drain d on back", "position d along 600 from left-back up 520"]
    >>> back = elevation(Survey(dictate(lines, Survey([]))), "back")
    >>> back.along("d"), back.up("d"), back.left, back.right
    (600.0, 520.0, 0.0, None)
    """
    observed, ground = observe(survey), Ground(survey)
    if observed.plan is None:
        raise DrawingError("The walls make no room yet: say what kind of place it is first.")
    if wall not in ground.walls:
        raise DrawingError(f"There is no wall {wall!r} any more: choose another.")
    found = Elevation(survey, wall, ground, observed.plan)
    _ends(found)
    _sight(found, observed)
    for reading in observed.readings:
        _lay(found, reading, observed)
    found.floor.sort()
    found.ceiling.sort()
    return found


def _is_near(one: Sighting, other: Sighting) -> bool:
    """Whether two readings were taken at one height."""
    return abs(one.up - other.up) <= SAME_HEIGHT


def _mean(numbers: Sequence[float]) -> float:
    return sum(numbers) / len(numbers)


def _ends(found: Elevation) -> None:
    left, right = (found.plan.corner_at(found.wall, end) for end in ("left", "right"))
    length = found.plan.lengths.get(found.wall)
    found.is_read = length is not None
    found.left = 0.0 if left is not None else None
    if right is not None:
        found.right = 0.0 if left is None else length or USUAL_LENGTH


def _sight(found: Elevation, observed: Observed) -> None:
    """Place points along the wall, those counted from others after these; in as many rounds as it takes."""
    waiting = [one for reading in observed.readings for one in _claims(found, reading, observed)]
    while waiting:
        left = []
        placed: list[tuple[str, Sighting]] = []
        for point, start, along, up, record in waiting:
            x = found.place(start, along)
            if x is None:
                left.append((point, start, along, up, record))
            else:
                placed.append((point, Sighting(x, up, record, start)))
        for point, sighting in placed:
            found.sightings.setdefault(point, []).append(sighting)
        if len(left) == len(waiting):
            return
        waiting = left


def _claims(
    found: Elevation, reading: object, observed: Observed
) -> Iterator[tuple[str, str, float, float, str]]:
    """Give what a reading says of points on the wall: point, counted from, how far, height, record."""
    if isinstance(reading, Along):
        record = observed.what[reading.key].record
        # Sizes of features tie their edges too; only what was read on the wall is a sighting.
        if _is_here(found, reading.feature) and isinstance(found.survey.by_id[record], Reading):
            yield reading.feature, reading.start, reading.value, reading.up, record
    elif isinstance(reading, Distance):
        record = observed.what[reading.key].record
        for start, point in ((reading.first, reading.second), (reading.second, reading.first)):
            if not (isinstance(start, str) and isinstance(point, str)):
                continue
            corner = found.plan.corner(start)
            if corner is not None and found.wall in (corner.left, corner.right) and _is_here(found, point):
                yield point, start, reading.value, reading.first_up, record


def _is_here(found: Elevation, point: str) -> bool:
    """Whether a point is of something on the wall that somebody put down; struck marks are not."""
    feature = found.plan.feature(point)
    return (
        feature is not None and feature.wall == found.wall and point.partition(":")[0] in found.ground.things
    )


def _lay(found: Elevation, reading: object, observed: Observed) -> None:
    """Put down a height, or where an edge, a level or a tape for floor and ceiling was held."""
    match reading:
        case Height(key=key, value=value, feature=point):
            if _is_here(found, point):
                found.heights.setdefault(point, []).append((value, observed.what[key].record))
        case Gaps(key=key, wall=found.wall, start=start):
            stations = zip(reading.along, reading.up, strict=True)
            points = [(x, up) for along, up in stations if (x := found.place(start, along)) is not None]
            if len(points) > 1:
                found.checks.append(Check(tuple(points), observed.what[key].record))
        case Leaning(key=key, wall=found.wall, start=start):
            x = found.place(start, reading.along)
            if x is not None:
                found.checks.append(Check(((x, reading.low), (x, reading.high)), observed.what[key].record))
        case Level(key=key, wall=found.wall, start=start):
            x = found.place(start, reading.along)
            line = found.floor if reading.surface == "floor" else found.ceiling
            if x is not None:
                line.append(((x, reading.value), observed.what[key].record))


# Pieces


@dataclass(frozen=True)
class Standing:
    """A piece as it is planned on a wall: from where to where, and how high."""

    name: str
    record: str
    left: float
    right: float
    bottom: float
    top: float


def standing(found: Elevation) -> tuple[list[Standing], list[str]]:
    """Return the pieces on the wall where they are planned, and the names of those without a place."""
    placed: dict[str, Standing] = {}
    open_: list[str] = []
    for kind in (BoxPiece, Top, Panel, Filler):
        for piece in found.survey.of(kind):
            if wall_behind(piece, found.survey, found.plan.back) != found.wall:
                continue
            one = _stand(piece, found, placed)
            if one is None:
                open_.append(piece.name)
            else:
                placed[piece.name] = one
    return list(placed.values()), open_


def _stand(piece: Piece, found: Elevation, placed: dict[str, Standing]) -> Standing | None:
    match piece:
        case BoxPiece():
            bottom = mm(piece.bottom, found.floor_up)
            return _along(piece, found, bottom, bottom + mm(piece.height))
        case Top():
            under = placed.get(piece.on or "")
            top = mm(piece.up) if piece.up is not None else None
            if top is None:
                top = under.top + mm(piece.thickness) if under is not None else None
            return None if top is None else _along(piece, found, top - mm(piece.thickness), top)
        case Panel():
            bottom = mm(piece.bottom, found.floor_up)
            return _along(piece, found, bottom, bottom + mm(piece.height))
        case Filler():
            box = placed.get(piece.beside)
            if piece.side == "top":
                over = [y for (_, y), _ in found.ceiling]
                if box is None or not over or min(over) <= box.top:
                    return None
                return Standing(piece.name, piece.id, box.left, box.right, box.top, min(over))
            end = found.left if piece.side == "left" else found.right
            if box is None or end is None:
                return None
            left, right = (end, box.left) if piece.side == "left" else (box.right, end)
            return Standing(piece.name, piece.id, left, right, box.bottom, box.top) if right > left else None
    return None


def _along(piece: BoxPiece | Top | Panel, found: Elevation, bottom: float, top: float) -> Standing | None:
    """Put a piece where it is planned along the wall; nothing where nobody said it."""
    span = planned(found.row, piece)
    return None if span is None else Standing(piece.name, piece.id, *span, bottom, top)
