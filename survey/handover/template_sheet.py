"""What a sheet of a template shows besides the outline: crosses, letters, words, scale bars."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from survey.drawing import Anchor, Box, Mark, Point, Role, Round, Stroke, letter
from survey.drawing.laid_out import Lettering
from survey.drawing.metrics import bundled
from survey.drawing.paper import Paper as Sheet
from survey.drawing.piece_words import grain_axis, printable
from survey.drawing.pieces import ON_VERTEX, notch_corners
from survey.handover.blocks import SMALL, line, stack, words
from survey.handover.template_shape import ARM, Template, page_words, short, spots
from survey.handover.tiling import MARGIN, STRIP, Seam, Tile

RING: Final = 2.6
"""Radius around the two far crosses and around a match mark, mm."""
NAME: Final = 3.5
"""Capital height of the piece's name on each sheet, mm."""
NOTE: Final = 2.5
"""Capital height of words along lines, mm."""
GRAIN: Final = 40.0
"""Length of the grain's arrow, mm."""
APART: Final = 1.5
"""Nearer than this to the finished line the dashed one is not named, mm."""


def sheet_marks(made: Template, tile: Tile) -> tuple[Mark, ...]:
    """Return what a sheet shows besides the outline, paper mm from its lower left."""
    sheet = Sheet(bundled())
    frame = _on(made, tile, tile.window.corners())
    for _, points in made.lines:
        sheet.taken.add_path(_on(made, tile, points))
    _draw_frame(sheet, frame)
    seams = [seam for seam in made.tiling.seams if tile in (seam.first, seam.second)]
    for seam in seams:
        _draw_seam(sheet, made, tile, seam)
    _draw_far(sheet, made, tile)
    window = Box.around(frame)
    _write_sides(sheet, made, tile, window)
    _write_line_kinds(sheet, made, tile, window)
    _write_cut_outs(sheet, made, tile, window)
    _write_name(sheet, made, tile, window)
    _draw_grain(sheet, made, tile, window)
    return (*sheet.marks, *_strip_marks(made, tile))


def _on(made: Template, tile: Tile, points: Iterable[Point]) -> list[Point]:
    return [made.tiling.place(tile, p) for p in points]


def _draw_frame(sheet: Sheet, frame: Sequence[Point]) -> None:
    sheet.draw_line([*frame, frame[0]], Role.REFERENCE, "")


def _draw_seam(sheet: Sheet, made: Template, tile: Tile, seam: Seam) -> None:
    """Draw the crosses and the letter that two sheets share, and where to cut or to lay."""
    place = made.tiling.place
    for p in seam.crosses():
        _draw_cross(sheet, place(tile, p))
    middle = place(tile, _clear_middle(made, seam))
    sheet.marks.append(Round(middle, RING, Role.REFERENCE))
    sheet.taken.add_path([*Box(*middle, *middle).grown(RING).corners()])
    sheet.draw_text(letter(seam.name, middle, Anchor.MIDDLE, height=NAME if len(seam.name) < 2 else NOTE))
    shared = seam.shared
    if tile is seam.second:
        _write_cut_here(sheet, made, tile, is_upright=seam.is_upright)
        return
    # The neighbour's left or lower frame: its cut edge comes to lie here.
    ends = shared.corners()[0], shared.corners()[3 if seam.is_upright else 1]
    sheet.draw_line(_on(made, tile, ends), Role.HIDDEN, "")
    text = f"lay page {seam.second.page} to this line"
    for share in (0.3, 0.7, 0.25, 0.75, 0.4, 0.6, 0.12, 0.88):
        if seam.is_upright:
            at = place(tile, (shared.left, shared.bottom + share * shared.height))
            put = letter(text, (at[0] - 1.2, at[1]), Anchor.BOTTOM, height=SMALL, angle=math.pi / 2)
        else:
            at = place(tile, (shared.left + share * shared.width, shared.bottom))
            put = letter(text, (at[0], at[1] - 1.2), Anchor.TOP, height=SMALL)
        if sheet.is_free(put):
            sheet.draw_text(put)
            return


def _clear_middle(made: Template, seam: Seam) -> Point:
    """Return a place for the letter that no line crosses, the same on both sheets."""
    from shapely import Point as Spot  # type: ignore[import-untyped]

    shared, (x, y) = seam.shared, seam.shared.middle
    spots = [
        (x, shared.bottom + share * shared.height)
        if seam.is_upright
        else (shared.left + share * shared.width, y)
        for share in (0.5, 0.45, 0.55, 0.4, 0.6, 0.35, 0.65)
    ]
    return next((p for p in spots if made.drawn.distance(Spot(p)) > RING + 1.0), spots[0])


def _write_cut_here(sheet: Sheet, made: Template, tile: Tile, *, is_upright: bool) -> None:
    x, y = made.tiling.place(tile, tile.window.corners()[0])
    text = "cut off along this line"
    if is_upright:
        at = (x - 1.2, y + tile.window.height - 4.0)
        sheet.draw_text(letter(text, at, Anchor.BOTTOM_RIGHT, height=SMALL, angle=math.pi / 2))
    else:
        at = (x + tile.window.width - 4.0, y - 1.2)
        sheet.draw_text(letter(text, at, Anchor.TOP_RIGHT, height=SMALL))


def _draw_cross(sheet: Sheet, at: Point) -> None:
    sheet.draw_line(((at[0] - ARM, at[1]), (at[0] + ARM, at[1])), Role.REFERENCE, "")
    sheet.draw_line(((at[0], at[1] - ARM), (at[0], at[1] + ARM)), Role.REFERENCE, "")


def _draw_far(sheet: Sheet, made: Template, tile: Tile) -> None:
    for name, p in zip("PQ", made.far, strict=True):
        box = tile.window
        if not (box.left < p[0] < box.right and box.bottom < p[1] < box.top):
            continue
        at = made.tiling.place(tile, p)
        _draw_cross(sheet, at)
        sheet.marks.append(Round(at, RING, Role.REFERENCE))
        sheet.draw_text(letter(name, (at[0] + ARM + 0.6, at[1] + 0.8), height=NAME))


def _write_sides(sheet: Sheet, made: Template, tile: Tile, window: Box) -> None:
    """Say along each edge, on the wood, what it meets."""
    notched = [notch_corners(made.piece, notch) for notch in made.piece.notches]
    for where, (text, points) in made.told.items():
        inward = {"top": (0, -1), "bottom": (0, 1), "left": (1, 0), "right": (-1, 0)}[where]
        parts = []
        for a, b in itertools.pairwise(points):
            # A notch does not meet what its edge meets.
            if not any(_is_near(a, corners) and _is_near(b, corners) for corners in notched):
                start, end = _on(made, tile, (a, b))
                parts += [part] if (part := _inside(start, end, window)) else []
        _write_along(sheet, text, parts, inward, window)


def _is_near(p: Point, corners: Iterable[Point]) -> bool:
    return min(math.dist(p, corner) for corner in corners) <= ON_VERTEX


def _write_line_kinds(sheet: Sheet, made: Template, tile: Tile, window: Box) -> None:
    """Name the dashed line beside it, outside, and the solid one, on the wood."""
    from shapely import Point as Spot

    for role, text, sign in ((Role.BLANK, "blank line", -1), (Role.FINISHED, "finished line", 1)):
        # The first ring is the piece; those that follow are cut-outs.
        points = next((points for kind, points in made.lines if kind is role), ())
        stretches: dict[tuple[int, int], list[tuple[Point, Point]]] = {}
        for a, b in itertools.pairwise(points):
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            if role is Role.BLANK and made.wood.exterior.distance(Spot(middle)) < APART:
                continue
            start, end = _on(made, tile, (a, b))
            part = _inside(start, end, window)
            if part is not None:
                stretches.setdefault(_inward(*part), []).append(part)
        if stretches:
            inward = max(stretches, key=lambda one: sum(math.dist(*part) for part in stretches[one]))
            _write_along(sheet, text, stretches[inward], (sign * inward[0], sign * inward[1]), window)


def _inward(a: Point, b: Point) -> tuple[int, int]:
    """Return about where the wood lies of a segment of a counter-clockwise ring: to its left."""
    if abs(b[0] - a[0]) > abs(b[1] - a[1]):
        return 0, 1 if b[0] > a[0] else -1
    return 1 if b[1] < a[1] else -1, 0


def _write_cut_outs(sheet: Sheet, made: Template, tile: Tile, window: Box) -> None:
    """Name each cut-out at its centre, beside its centre lines."""
    for one in made.piece.cut_outs:
        if len(one.ring) < 3:
            continue
        x, y = made.tiling.place(tile, Box.around(one.ring).middle)
        item = f" for {one.item}" if one.item else ""
        for text in (f"cut out: {one.name}{item}", one.name):
            put = letter(printable(text), (x + 1.4, y + 1.4), height=NOTE)
            if _is_in(put, window) and sheet.is_free(put):
                sheet.draw_text(put)
                break


def _inside(a: Point, b: Point, window: Box) -> tuple[Point, Point] | None:
    from survey.drawing.laid_out import Quad

    span = Quad((window.left, window.bottom), (1.0, 0.0), window.width, window.height).span(a, b)
    if span is None:
        return None
    first, last = ((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])) for share in span)
    return first, last


def _write_along(
    sheet: Sheet, text: str, parts: Sequence[tuple[Point, Point]], beside: tuple[int, int], window: Box
) -> None:
    """Write beside parts of a line, about at their middle; nowhere if no place is free."""
    is_flat = beside[0] == 0
    axis = 0 if is_flat else 1
    # Only what runs about along the words: not the sides of a notch.
    along = [(a, b) for a, b in parts if abs(b[axis] - a[axis]) > 2 * abs(b[1 - axis] - a[1 - axis])]
    if not along:
        return
    spots = [
        (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
        for a, b in along
        for share in (0.5, 0.35, 0.65, 0.2, 0.8)
    ]
    low, high = min(p[axis] for p in spots), max(p[axis] for p in spots)
    spots.sort(key=lambda p: abs(p[axis] - (low + high) / 2))
    anchor = Anchor.BOTTOM if beside[1] > 0 or beside[0] < 0 else Anchor.TOP
    for off in (1.6, 2.6, 4.0, 6.0, 9.0):
        for p in spots:
            at = (p[0] + off * beside[0], p[1] + off * beside[1])
            put = letter(text, at, anchor, height=NOTE, angle=0.0 if is_flat else math.pi / 2)
            if _is_in(put, window) and sheet.is_free(put):
                sheet.draw_text(put)
                return


def _is_in(put: Lettering, window: Box) -> bool:
    box, inner = put.extents(), window.grown(-1.0)
    return (
        box.left > inner.left
        and box.right < inner.right
        and box.bottom > inner.bottom
        and box.top < inner.top
    )


def _write_name(sheet: Sheet, made: Template, tile: Tile, window: Box) -> None:
    """Write the piece's name on the wood of each sheet, its way up and its page."""
    name = short(made.piece.name)
    for text, height in ((f"{name} · {made.face}", NAME), (f"{name} · {made.face}", NOTE), (name, NOTE)):
        for p in spots(window):
            put = letter(text, p, Anchor.MIDDLE, height=height)
            if _is_on_wood(put.extents(), made, tile, window) and sheet.is_free(put):
                sheet.draw_text(put)
                return


def _draw_grain(sheet: Sheet, made: Template, tile: Tile, window: Box) -> None:
    """Draw an arrow along the grain on the wood of each sheet, where it has room."""
    axis = grain_axis(made.piece)
    if not axis:
        return
    half = GRAIN / 2
    for p in spots(window):
        across, up = (half, 3.0) if axis == "x" else (3.0, half)
        box = Box(p[0] - across, p[1] - up, p[0] + across, p[1] + up)
        put = letter("grain", p, Anchor.MIDDLE, height=NOTE, angle=0.0 if axis == "x" else math.pi / 2)
        from survey.drawing.laid_out import Quad

        quad = Quad((box.left, box.bottom), (1.0, 0.0), box.width, box.height)
        if not (_is_on_wood(box, made, tile, window) and sheet.is_free_quad(quad)):
            continue
        sheet.draw_text(put)
        free = put.width / 2 + 1.5
        ahead = (1.0, 0.0) if axis == "x" else (0.0, 1.0)
        for sign in (-1.0, 1.0):
            near, tip = ((p[0] + sign * far * ahead[0], p[1] + sign * far * ahead[1]) for far in (free, half))
            sheet.draw_line((near, tip), Role.GRAIN, "")
            sheet.draw_arrow(tip, (sign * ahead[0], sign * ahead[1]), Role.GRAIN, "")
        return


def _is_on_wood(box: Box, made: Template, tile: Tile, window: Box) -> bool:
    from shapely import box as rectangle

    inner = window.grown(-1.0)
    if box.left < inner.left or box.right > inner.right or box.bottom < inner.bottom or box.top > inner.top:
        return False
    x, y = made.tiling.place(tile, (0.0, 0.0))
    return bool(made.wood.contains(rectangle(box.left - x, box.bottom - y, box.right - x, box.top - y)))


def _strip_marks(made: Template, tile: Tile) -> Iterator[Mark]:
    """Set scale bars and words in the strips outside of what the sheet shows of the outline."""
    x, y = MARGIN + STRIP[0], MARGIN + STRIP[1]
    yield from scale_bar((x + 2.0, y - 9.5), is_upright=False)
    yield from scale_bar((MARGIN + 8.5, y + 2.0), is_upright=True)
    width = made.tiling.size[0] - 2 * MARGIN
    foot = [
        line(
            f"{short(made.piece.name)} · {short(made.report.title)}", page_words(made, tile.page), width, 2.5
        ),
        words(
            f"{made.face}, nothing is mirrored · solid: finished line · dashed: blank · print at 100 %, and "
            f"check both bars with a rule before you cut · {made.far_words} · revision "
            f"{made.report.survey_hash[:8]}",
            width,
            SMALL,
        ),
    ]
    yield from stack(foot, 0.6).at(MARGIN, MARGIN)


def scale_bar(at: Point, *, is_upright: bool) -> Iterator[Mark]:
    """Draw 100 mm and 4 in beside each other from `at`, to the right or up."""

    def turned(along: float, across: float) -> Point:
        return (at[0] - across, at[1] + along) if is_upright else (at[0] + along, at[1] + across)

    for across, size, step, text in ((3.5, 100.0, 10.0, "100 mm"), (0.0, 4 * 25.4, 25.4, "4 in")):
        away = 1.0 if across else -1.0
        yield Stroke((turned(0.0, across), turned(size, across)), Role.REFERENCE)
        for i in range(round(size / step) + 1):
            tall = 2.4 if i in (0, round(size / step)) else 1.4
            ends = turned(i * step, across), turned(i * step, across + away * tall)
            yield Stroke(ends, Role.REFERENCE)
        anchor, angle = Anchor.LEFT, math.pi / 2 if is_upright else 0.0
        yield letter(
            text,
            turned(size + 1.8 + (1.6 if across else 0.0), across + away * 0.4),
            anchor,
            height=SMALL,
            angle=angle,
        )
