"""The walk: what to read, in which order, for a place and its pieces."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final, Literal

import msgspec

from survey.records import Corner, Survey
from survey.walk import asked
from survey.walk.asked import Run
from survey.walk.features import doors, on_walls
from survey.walk.line import Line
from survey.walk.place import Place
from survey.walk.same import satisfies
from survey.walk.stand import COUNTER, Height, Stand, stands

Tools = Literal["straightedge", "laser"]

STANDS_BACK: Final = 0.75
"""Of the depth that is read, how far out a laser stands: in front of the walls' ends, still within reach."""
INSET: Final = 50.0
"""mm from a piece's corners at which the floor is read."""


def walk(
    place: Place, survey: Survey, tools: Tools = "straightedge", heights: Sequence[float] = ()
) -> tuple[Line, ...]:
    """Return what to read for the pieces of a survey, in walking order, grouped by wall.

    Nothing is asked twice, and nothing that no piece needs; what was read already is there too: see `done`.
    Without pieces, it is what a top at counter height over the back wall needs. A wall that has neither a
    corner nor a mark has no lines: there is nothing to count from.

    Parameters
    ----------
    place
        Where: see `place_of`.
    survey
        Its pieces and features are looked at, its readings are not.
    tools
        A `straightedge` of 1200 and one of 600 mm (48 and 24 in), or a `laser` that throws two vertical
        lines, square to one another: it stands still while all walls are read from it.
    heights
        mm above z = 0 at which to read the walls, in place of those of the pieces.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> from survey.walk import place_of
    >>> alcove = ["job V in mm to 1 mm level line 1000", "room r", "wall a", "wall back", "wall b"]
    >>> alcove += ["corner a and back", "corner back and b"]
    >>> survey = Survey(dictate(alcove, Survey([])))
    >>> lines = walk(place_of(survey), survey, "laser")
    >>> [line.numbers for line in lines], sum(line.numbers for line in lines)
    ([1, 1, 1, 11, 5, 5, 1], 25)
    >>> lines[0].name
    'width at the back, counter height'
    """
    needed = stands(place, survey, heights)
    crossing = _crossing(place, needed)
    found = [line for stand in needed for line in _for_stand(place, survey, stand, tools, crossing)]
    if place.kind == "room" and not any(stand.pieces for stand in needed):
        found += _around(place)
    found += doors(place, survey, tuple(name for stand in needed for name in stand.pieces))
    again = [line for stand in needed[:1] for line in _again(place, stand)]
    return numbered([*_by_wall(once(found, place, survey)), *again], "walk")


def numbered(lines: Iterable[Line], name: str) -> tuple[Line, ...]:
    """Give the lines' records ids by their order."""
    return tuple(
        replace(line, reading=msgspec.structs.replace(line.reading, id=f"{name}-{number:02}"))
        for number, line in enumerate(lines, 1)
    )


def once(lines: Iterable[Line], place: Place, survey: Survey) -> list[Line]:
    """Leave out lines that an earlier one makes needless; that one is then needed for their pieces too."""
    kept: list[Line] = []
    for line in lines:
        for number, other in enumerate(kept):
            same = type(other.reading) is type(line.reading) and satisfies(
                other.reading, line.reading, place, survey
            )
            if same:
                needs = tuple(dict.fromkeys((*other.needs, *line.needs)))
                kept[number] = replace(other, needs=needs, priority=min(other.priority, line.priority))
                break
        else:
            kept.append(line)
    return kept


def _by_wall(lines: Iterable[Line]) -> Iterator[Line]:
    walls: dict[str, list[Line]] = {}
    for line in lines:
        walls.setdefault(line.wall, []).append(line)
    for of_wall in walls.values():
        yield from of_wall


def _crossing(place: Place, needed: Sequence[Stand]) -> tuple[float, float] | None:
    """Return where a laser's lines cross, in the nominal plan; nothing where only one wall is read."""
    if not needed or (len(needed) == 1 and not needed[0].sides):
        return None
    first = needed[0]
    x, y = place.point(first.wall, first.start, sum(first.main.span) / 2)
    nx, ny = place.normal(first.wall)
    return x + STANDS_BACK * first.main.depth * nx, y + STANDS_BACK * first.main.depth * ny


def _for_stand(
    place: Place, survey: Survey, stand: Stand, tools: Tools, crossing: tuple[float, float] | None
) -> Iterator[Line]:
    """Give the lines of one stand, in the order in which a fitter takes them."""
    yield from _drops(place, stand)
    yield from _across(place, stand, tools)
    yield from _surfaces(place, stand, tools, crossing)
    for upright in stand.uprights:
        if upright.plumb:
            yield from asked.plumb_checks(place, upright)
        yield asked.lean(place, upright, side=upright.wall != stand.wall)
    yield from on_walls(place, survey, stand)


def _across(place: Place, stand: Stand, tools: Tools) -> Iterator[Line]:
    """Give widths and diagonals where pieces go from wall to wall; else each corner by three sides."""
    for number, height in enumerate(stand.across()):
        yield from widths(place, stand, height, middle=number == 0)
    if stand.across():
        if tools == "straightedge":
            yield from asked.diagonals(place, stand, stand.across()[0])
        return
    for corner, side in own_corners(place, stand):
        height = stand.first_at(side)
        yield asked.three_sides(place, corner, stand.wall, height, height.depth)


def own_corners(place: Place, stand: Stand) -> Iterator[tuple[Corner, str]]:
    """Give the corners that the pieces of a stand go into, each with the wall beside it."""
    for corner, wall in (
        (place.corner_at(stand.wall, "left"), stand.left),
        (place.corner_at(stand.wall, "right"), stand.right),
    ):
        if corner is not None and wall is not None:
            yield corner, wall


def widths(place: Place, stand: Stand, height: Height, middle: bool) -> Iterator[Line]:
    """Give widths at the back, in the middle and at the front of what is planned."""
    yield asked.width(place, stand, asked.figures(place).out, "at the back", height)
    if middle:
        yield asked.width(place, stand, place.handy(height.depth / 2), "in the middle", height)
    yield asked.width(place, stand, height.depth, "at the front", height)


def runs(place: Place, stand: Stand) -> Iterator[tuple[Run, Height]]:
    """Give the stretches of wall to be checked, each at its height: the stand's own wall, then its sides."""
    for height in stand.heights:
        yield Run(stand.wall, stand.start, *height.span, _at_corners(place, stand, height)), height
    for corner, wall in own_corners(place, stand):
        for height in stand.heights:
            if wall in height.met and (height.counter or height is stand.first_at(wall)):
                yield Run(wall, corner.name, 0.0, height.depth), height


def _at_corners(place: Place, stand: Stand, height: Height) -> tuple[bool, bool]:
    """Whether a stretch of a stand's wall ends in corners: at its start, and at its far end."""
    names = {corner.name for corner in place.corners}
    far = place.corner_at(stand.wall, "left" if place.leftward(stand.wall, stand.start) else "right")
    length, close = place.length(stand.wall), asked.figures(place).close
    return stand.start in names and height.span[0] < close, far is not None and height.span[
        1
    ] > length - close


def _surfaces(
    place: Place, stand: Stand, tools: Tools, crossing: tuple[float, float] | None
) -> Iterator[Line]:
    """Give what tells humps and hollows, with edges or from a laser."""
    for number, (run, height) in enumerate(runs(place, stand)):
        if tools == "laser":
            yield asked.line_offsets(place, run, height, crossing, setting=number == 0)
        else:
            yield from asked.edge_checks(place, run, height)


def _drops(place: Place, stand: Stand) -> Iterator[Line]:
    """Give the floor at the four corners of what stands on it, the ceiling at the front of what is tall."""
    foot = stand.footprint
    if foot is None:
        return
    low, high = foot.span
    inset = min(INSET, foot.depth / 4)
    ends = ((low + inset, "near one end"), (high - inset, "near the other end"))
    if high - low < 4 * inset:
        ends = ((low, "near one end"), (low + 4 * inset, "a little further along"))
    for out, side in ((inset, "at the back"), (foot.depth - inset, "at the front")):
        for along, end in ends:
            at = place.handy(along), place.handy(out)
            yield asked.drop(place, stand, *at, f"{end}, {side}", foot.pieces)
    if stand.to_ceiling:
        for along, end in ends:
            at = place.handy(along), place.handy(foot.depth - inset)
            yield asked.drop(place, stand, *at, f"{end}, at the front", stand.to_ceiling, up=True)


def _around(place: Place) -> Iterator[Line]:
    """Give what closes the round of a room: each wall's length, each corner, diagonals across."""
    height = Height(place.height, COUNTER, (0.0, 0.0), place.depth, ())
    for wall in place.walls:
        line = asked.side_of_room(place, wall)
        if line is not None:
            yield line
    for corner in place.corners:
        if corner.turn == "outside":
            yield asked.by_gauge(place, corner, corner.right_wall, height)
        else:
            yield asked.three_sides(place, corner, corner.right_wall, height, place.depth)
    half = len(place.corners) // 2
    for first, second in zip(place.corners[:half], place.corners[half:], strict=False):
        if half > 1 and "outside" not in (first.turn, second.turn):
            yield asked.across_room(place, first, second)


def _again(place: Place, stand: Stand) -> Iterator[Line]:
    """Give the front width once again, at the end of the visit."""
    for height in stand.across()[:1]:
        yield asked.width(place, stand, height.depth, "at the front", height, again=True)
