"""What readings stand on: the names of the survey, its level line and graduation, and how to refuse.

An observer asks here for every number and every name that a record holds; what cannot be used is
raised as `LeftOut`, which becomes a finding with the record's id.
"""

from __future__ import annotations

import math
from collections.abc import Collection
from difflib import get_close_matches
from fractions import Fraction
from typing import Final, TypeVar

from fitting.tables import TapeClass
from survey.finding import Finding, finding
from survey.quantity import Step, read_step, write_angle, write_length
from survey.records import (
    Area,
    Corner,
    Feature,
    Mark,
    Opening,
    Stud,
    Survey,
    Tool,
    Trim,
    TypedAngle,
    TypedLength,
    Wall,
)
from survey.records.limits import LONGEST_MM

DEFAULT_STEP: Final = Step(Fraction(127, 80), "in")
"""1/16 in, until the job says its own."""
EDGES: Final = frozenset({"near", "far", "left", "right", "top", "bottom", "centre", "center"})
"""What may stand behind the colon of a reference to a feature."""

Named = TypeVar("Named", Wall, Corner, Mark, Feature)

_MOST_NAMES_SAID: Final = 12
_MOST_COMPARED: Final = 500
_MOST_SEARCHES: Final = 50


class LeftOut(Exception):
    """A record that cannot be used; becomes the finding of this number and these words."""

    def __init__(self, number: int, **words: object) -> None:
        """Keep what the finding is made of."""
        super().__init__(number, words)
        self.number = number
        self.words = words

    def finding(self, record: str) -> Finding:
        """Return the finding about a record."""
        return finding(self.number, (record,), (), **self.words)


class Ground:
    """The names and settings of a survey.

    `asked` gathers the feature points that were referred to since it was last cleared.
    """

    def __init__(self, survey: Survey) -> None:
        """Index the current records by name; of two with one name the first counts."""
        job = survey.job
        self.step: Step = DEFAULT_STEP if job is None else read_step(job.step)
        self.step_mm = float(self.step.mm)
        self.level_line = self._level_line(survey)
        self.walls: dict[str, Wall] = _first(survey.of(Wall))
        self.corners: dict[str, Corner] = {
            name: corner
            for name, corner in _first(survey.of(Corner)).items()
            if corner.left_wall in self.walls and corner.right_wall in self.walls
        }
        self.things: dict[str, Mark | Feature] = {**_first(survey.of(Feature)), **_first(survey.of(Mark))}
        self.floor_areas: tuple[Area, ...] = tuple(
            area
            for area in survey.of(Area)
            if area.wall == "floor" and any(layer.state == "to come" for layer in area.layers)
        )
        self.tape_classes: dict[str, TapeClass] = {
            tool.instrument: tool.tape_class for tool in survey.of(Tool) if tool.tape_class is not None
        }
        self.struck: dict[str, str] = {}
        self.asked: set[str] = set()
        self._read: dict[TypedLength, float] = {}  # heights and starts come again and again
        self._said: dict[float, str] = {}
        self._named: dict[str, list[str]] = {}
        self._searches = 0

    def _level_line(self, survey: Survey) -> float:
        job = survey.job
        typed = None if job is None else job.level_line
        if typed is None or abs(typed.mm) > LONGEST_MM:
            return 0.0
        return float(typed.mm)

    # Numbers

    def mm(self, typed: TypedLength, what: str, least: float = -math.inf) -> float:
        """Return a typed length in mm, refused below `least` and over 60 m either way."""
        value = self._read.get(typed)
        if value is None:
            value = self._read[typed] = float(typed.mm)
        if abs(value) > LONGEST_MM:
            expected = f"at most {LONGEST_MM // 1000} m"
            raise LeftOut(200, what=what, value=typed.text, expected=expected)
        if value < least:
            raise LeftOut(200, what=what, value=typed.text, expected="zero or more")
        return value

    def size(self, typed: TypedLength, what: str) -> float:
        """Return a typed length of more than nothing, in mm."""
        value = self.mm(typed, what)
        if value <= 0.0:
            raise LeftOut(200, what=what, value=typed.text, expected="more than zero")
        return value

    def sd(self, typed: TypedLength | None, otherwise: float) -> float:
        """Return a reading's own standard deviation in mm, or the one that its instrument has."""
        return otherwise if typed is None else self.size(typed, "the standard deviation")

    def height(self, typed: TypedLength | None, what: str) -> float:
        """Return a height above z = 0 in mm, refused where there is none."""
        if typed is None:
            raise LeftOut(203, what=what)
        return self.mm(typed, f"the height of {what}")

    def angle(self, typed: TypedAngle) -> float:
        """Return a typed angle in radians."""
        return typed.angle.radians

    # Words

    def say(self, mm: float) -> str:
        """Say a length in the job's unit."""
        if mm not in self._said:
            self._said[mm] = write_length(mm, self.step)
        return self._said[mm]

    def say_angle(self, radians: float) -> str:
        """Say an angle in degrees."""
        return write_angle(radians)

    # Names

    def known(self, name: str, sort: str, names: Collection[str]) -> str:
        """Say which names of a sort there are, those that look like `name` first."""
        if sort not in self._named:
            self._named[sort] = sorted(names)
        there = self._named[sort]
        if not there:
            return f"there are no {sort} yet"
        close: list[str] = []
        if self._searches < _MOST_SEARCHES:
            self._searches += 1
            close = get_close_matches(name, there[:_MOST_COMPARED], n=3, cutoff=0.6)
        said = close + [other for other in there[: _MOST_NAMES_SAID + 3] if other not in close]
        more = len(there) - len(said[:_MOST_NAMES_SAID])
        listed = ", ".join(f"`{other}`" for other in said[:_MOST_NAMES_SAID])
        return f"{sort} are {listed}" + (f" and {more} more" if more else "")

    def wall(self, name: str, what: str) -> str:
        """Return the name of a wall that is there."""
        if name not in self.walls:
            raise LeftOut(103, what=what, name=name, known=self.known(name, "walls", self.walls))
        return name

    def corner(self, name: str, what: str) -> Corner:
        """Return a corner that is there."""
        if name not in self.corners:
            raise LeftOut(103, what=what, name=name, known=self.known(name, "corners", self.corners))
        return self.corners[name]

    def point(self, reference: str, what: str) -> str:
        """Return the one name of the corner or feature point that a reference means."""
        if reference in self.corners:
            return reference
        name, _, edge = reference.partition(":")
        thing = self.things.get(name)
        if thing is None or (edge and (edge not in EDGES or isinstance(thing, Mark))):
            names = self.corners.keys() | self.things.keys()
            raise LeftOut(
                103,
                what=what,
                name=reference,
                known=self.known(reference, "corners, marks and features", names),
            )
        if thing.wall == "floor":
            raise LeftOut(208, name=name, what=what)
        if thing.wall not in self.walls:
            why = f"`{name}` is on wall `{thing.wall}`, which does not exist"
            raise LeftOut(207, what=what, why=why, do=f"correct the wall of `{name}`")
        point = _point_of(thing, edge)
        self.asked.add(point)
        return point

    def on_wall(self, reference: str, wall: str, what: str) -> str:
        """Return a corner at one end of a wall, or a feature point on it."""
        point = self.point(reference, what)
        if wall not in self.walls_of(point):
            why = f"`{reference}` is not on wall `{wall}`"
            raise LeftOut(207, what=what, why=why, do="name a corner at one of its ends or a mark on it")
        return point

    def walls_of(self, point: str) -> tuple[str, ...]:
        """Return the two walls of a corner, or the wall of a feature point."""
        corner = self.corners.get(point)
        if corner is not None:
            return corner.left_wall, corner.right_wall
        if point in self.struck:
            return (self.struck[point],)
        return (self.things[point.partition(":")[0]].wall,)

    def runs_up(self, point: str) -> bool:
        """Whether a point belongs to something upright, which is at every height."""
        thing = self.things.get(point.partition(":")[0])
        return isinstance(thing, Stud | Opening) or (isinstance(thing, Trim) and thing.type == "casing")

    def at_right_end(self, point: str, wall: str) -> bool:
        """Whether a point is the corner at a wall's right end, from where `along` counts leftward."""
        return point in self.corners and self.corners[point].left_wall == wall

    def strike(self, name: str, wall: str) -> str:
        """Put down a mark that only one reading knows; its name has a blank, so no person's has it."""
        self.struck[name] = wall
        self.asked.add(name)
        return name


def _point_of(thing: Mark | Feature, edge: str) -> str:
    """Give one point one name: a casing's near edge is the casing, a stud's centre the stud."""
    own = {"", "centre", "center"}
    if isinstance(thing, Trim):
        far = "right" if thing.toward == "right" else "left"
        own = {"", "near", "left" if far == "right" else "right"}
        edge = "far" if edge == far else edge
    return thing.name if edge in own else f"{thing.name}:{edge}"


def _first(records: tuple[Named, ...]) -> dict[str, Named]:
    found: dict[str, Named] = {}
    for record in records:
        found.setdefault(record.name, record)
    return found
