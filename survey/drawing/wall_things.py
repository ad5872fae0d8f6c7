"""How each thing on a wall is drawn in its elevation: thin ink as typed, pencil where a size is supposed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from survey.drawing.elevation import Elevation
from survey.drawing.geometry import Point
from survey.drawing.primitives import Circle, Drawable, HatchedRing, Layer, Polyline, Role
from survey.records import (
    AccessPanel,
    Electrical,
    Feature,
    Fixture,
    Mark,
    Obstacle,
    Opening,
    Register,
    RoughIn,
    Stud,
    Trim,
    TypedLength,
)
from survey.report.context import mm

PIPE: Final = 40.0
PLATE: Final = (70.0, 115.0)
GRILLE: Final = (300.0, 150.0)
FIXTURE: Final = (400.0, 400.0)
OBSTACLE: Final = (200.0, 200.0)
DOOR_TOP: Final = 2030.0
WINDOW: Final = (1000.0, 2000.0)
CASING: Final = 60.0
BASEBOARD: Final = 100.0
STUD: Final = 38.0
"""mm: sizes of what nobody has sized yet, drawn in pencil; heights are above the floor (common practice)."""
CROSS: Final = 25.0
"""mm: half a mark's cross."""

FATES: Final = {"stays": Role.REFERENCE, "comes off": Role.TRIM, "comes later": Role.ASSUMED}


@dataclass(frozen=True)
class Drawn:
    """What is drawn of a thing, the point that its words are about, and the places to be dimensioned."""

    shapes: tuple[Drawable, ...]
    said_at: Point
    along: tuple[tuple[str, Point], ...] = ()
    """Points of the elevation, and where they lie on the drawing."""
    up: Point | None = None


def drawn(thing: Feature | Mark, wall: Elevation, top: float) -> Drawn | None:
    """Draw a thing; nothing where its place is not known. `top` is how high the picture goes, mm."""
    match thing:
        case Trim():
            return _trim(thing, wall, top)
        case Opening():
            return _opening(thing, wall)
        case Stud():
            return _stud(thing, wall, top)
    x, up = wall.along(thing.name), wall.up(thing.name)
    if x is None:
        return None
    is_high = up is not None
    y = up if up is not None else wall.floor_up + (top - wall.floor_up) / 2
    shapes = tuple(_at_point(thing, x, y, is_high))
    return Drawn(shapes, (x, y), ((thing.name, (x, y)),), (x, y) if is_high else None) if shapes else None


def _at_point(thing: Feature | Mark, x: float, y: float, is_high: bool) -> Iterator[Drawable]:
    """Draw what has a middle."""
    match thing:
        case Mark():
            for dx, dy in ((CROSS, CROSS), (CROSS, -CROSS)):
                yield line(((x - dx, y - dy), (x + dx, y + dy)), Role.REFERENCE, thing.id)
        case RoughIn():
            radius = mm(thing.diameter, PIPE) / 2
            role = _sized(is_high, thing.diameter)
            yield Circle((x, y), radius, role=role, layer=Layer.REFERENCE, record=thing.id)
            for dx, dy in ((1.6 * radius, 0.0), (0.0, 1.6 * radius)):
                yield line(((x - dx, y - dy), (x + dx, y + dy)), Role.REFERENCE, thing.id)
        case Electrical():
            yield _plate(thing, x, y, thing.plate_width, thing.plate_height, PLATE, is_high)
        case Register() | AccessPanel():
            yield _plate(thing, x, y, thing.width, thing.height, GRILLE, is_high)
        case Fixture():
            yield _plate(thing, x, y, thing.width, None, FIXTURE, is_high)
        case Obstacle():
            yield _plate(thing, x, y, thing.width, thing.height, OBSTACLE, is_high)


def _plate(
    thing: Feature,
    x: float,
    y: float,
    width: TypedLength | None,
    height: TypedLength | None,
    usual: tuple[float, float],
    is_high: bool,
) -> Polyline:
    across, up = mm(width, usual[0]) / 2, mm(height, usual[1]) / 2
    return rectangle(x - across, y - up, x + across, y + up, _sized(is_high, width, height), thing.id)


def _stud(stud: Stud, wall: Elevation, top: float) -> Drawn | None:
    x = wall.along(stud.name)
    if x is None:
        return None
    assumed = stud.proved == "assumed spacing"
    half = mm(stud.width, STUD) / 2
    edges = Role.ASSUMED if assumed or stud.width is None else Role.REFERENCE
    shapes = [line(((x + dx, wall.floor_up), (x + dx, top)), edges, stud.id) for dx in (-half, half)]
    if not assumed:
        shapes.append(line(((x, wall.floor_up), (x, top)), Role.CENTRE, stud.id))
    return Drawn(tuple(shapes), (x, top), ((stud.name, (x, wall.floor_up)),))


def _opening(opening: Opening, wall: Elevation) -> Drawn | None:
    left, right = (wall.along(f"{opening.name}:{edge}") for edge in ("left", "right"))
    middle, width = wall.along(opening.name), opening.clear_width
    if width is not None:
        if left is None and right is None and middle is not None:
            left = middle - mm(width) / 2
        left = right - mm(width) if left is None and right is not None else left
        right = left + mm(width) if right is None and left is not None else right
    if left is None or right is None or right <= left:
        return None
    usual = WINDOW if opening.type == "window" else (0.0, DOOR_TOP)
    bottom = mm(opening.bottom, wall.floor_up + usual[0])
    top = mm(opening.top, max(wall.floor_up + usual[1], bottom + 1.0))
    is_sized = opening.top is not None and (opening.bottom is not None or opening.type == "door")
    box = rectangle(
        left,
        min(bottom, top),
        right,
        max(bottom, top),
        _sized(True) if is_sized else Role.ASSUMED,
        opening.id,
    )
    places = tuple(
        (name, (x, bottom))
        for name, x in ((f"{opening.name}:left", left), (f"{opening.name}:right", right))
        if name in wall.sightings
    )
    return Drawn((box,), ((left + right) / 2, (bottom + top) / 2), places)


def _trim(trim: Trim, wall: Elevation, top: float) -> Drawn | None:
    if trim.type in ("baseboard", "crown"):
        return _running(trim, wall, top)
    edge = wall.edge(trim.name)
    if not edge:
        return None
    sign = 1.0 if trim.toward == "right" else -1.0
    if trim.type == "sill":
        return _sill(trim, wall, edge[0][0], sign)
    low = mm(trim.bottom, wall.floor_up)
    high = max(mm(trim.top, wall.floor_up + DOOR_TOP), low + 1.0)
    near = [_on_edge(edge, y) for y in (low, high)]
    width = sign * mm(trim.width, CASING)
    far = [(x + width, y) for x, y in reversed(near)]
    role = Role.ASSUMED if trim.width is None else FATES[trim.fate]
    shape = Polyline((*near, *far), closed=True, role=role, layer=Layer.REFERENCE, record=trim.id)
    heavy = line(tuple(near), FATES[trim.fate], trim.id)
    return Drawn((shape, heavy), (near[1][0] + width / 2, (low + high) / 2), ((trim.name, edge[-1]),))


def _sill(trim: Trim, wall: Elevation, near: float, sign: float) -> Drawn:
    up = wall.up(trim.name)
    low = mm(trim.bottom, up if up is not None else wall.floor_up + WINDOW[0])
    high = max(mm(trim.top, low + STUD), low + 1.0)
    far = near + sign * mm(trim.width, GRILLE[0])
    role = FATES[trim.fate] if trim.width is not None else Role.ASSUMED
    box = rectangle(min(near, far), low, max(near, far), high, role, trim.id)
    return Drawn((box,), ((near + far) / 2, high), ((trim.name, (near, low)),))


def _running(trim: Trim, wall: Elevation, top: float) -> Drawn | None:
    """Draw a baseboard or a crown, over the whole wall."""
    ends = wall.left, wall.right
    left, right = (end if end is not None else reach for end, reach in zip(ends, reaches(wall), strict=True))
    size = mm(trim.width, BASEBOARD)
    low = mm(trim.bottom, wall.floor_up) if trim.type == "baseboard" else mm(trim.top, top) - size
    role = Role.ASSUMED if trim.width is None else FATES[trim.fate]
    edge = low + size if trim.type == "baseboard" else low
    # Only its own edge: the other one is the floor, or the ceiling.
    return Drawn((line(((left, edge), (right, edge)), role, trim.id),), ((left + right) / 2, low + size / 2))


def reaches(wall: Elevation) -> tuple[float, float]:
    """Return from where to where the wall is drawn, mm: its ends, or a little past what was read on it."""
    read = [one.x for seen in wall.sightings.values() for one in seen]
    read += [x for check in wall.checks for x, _ in check.points]
    read += [x for (x, _), _ in (*wall.floor, *wall.ceiling)]
    least, most = min(read, default=0.0), max(read, default=0.0)
    past = max(0.12 * (most - least), 150.0)
    if wall.left is None and wall.right is None:
        return min(least - past, -past), max(most + past, past)
    if wall.left is None:
        assert wall.right is not None
        return min(least - past, wall.right - 2 * past), wall.right
    right = wall.right if wall.right is not None else max(most + past, wall.left + 2 * past)
    return wall.left, right


def _on_edge(edge: tuple[Point, ...], y: float) -> Point:
    """Return where an upright edge is at a height: between the places it was read at, plumb beyond them."""
    if y <= edge[0][1] or len(edge) == 1:
        return edge[0][0], y
    for (x0, y0), (x1, y1) in pairwise(edge):
        if y <= y1:
            return x0 + (x1 - x0) * (y - y0) / (y1 - y0), y
    return edge[-1][0], y


def _sized(is_high: bool, *sizes: TypedLength | None) -> Role:
    return Role.REFERENCE if is_high and all(size is not None for size in sizes) else Role.ASSUMED


def line(points: tuple[Point, ...], role: Role, record: str) -> Polyline:
    """Return an open line that shows a record."""
    return Polyline(points, role=role, layer=Layer.REFERENCE, record=record)


def rectangle(left: float, bottom: float, right: float, top: float, role: Role, record: str) -> Polyline:
    """Return an upright rectangle that shows a record."""
    corners = ((left, bottom), (right, bottom), (right, top), (left, top))
    return Polyline(corners, closed=True, role=role, layer=Layer.REFERENCE, record=record)


def hatched(points: tuple[Point, ...]) -> HatchedRing:
    """Hatch a band, such as what is behind a wall's face: the inner outline has no area."""
    outer = Polyline(points, closed=True, role=Role.HATCH, layer=Layer.REFERENCE)
    a, b = points[0], points[1]
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    return HatchedRing(outer, Polyline((a, middle, b), closed=True, role=Role.HATCH, layer=Layer.REFERENCE))
