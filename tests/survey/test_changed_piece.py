"""A piece drawn over what it was: the old line is told apart, cut by nobody, and pointed at."""

from __future__ import annotations

import io
from itertools import product

import ezdxf
import pytest
from msgspec.structs import replace
from report_zoo import INCH, METRIC, Shop, alcove_top, cabinet, combed, corner_top, sink_top, tall_panel
from shapely import LineString, Point, Polygon
from test_drawing_layout import collisions

from survey.drawing import LaidOut, Layer, Lettering, Linear, Ordinate, Polyline, Role, Text
from survey.drawing.changed_piece import changed_drawing
from survey.drawing.pieces import piece_drawing
from survey.drawing.style import PENS
from survey.handover.book.scaled import Scaled
from survey.handover.dxf import write_dxf

REVISION = "revision 38 (2d8c7c46)"


def wider(piece, by, step=INCH):
    """The same piece, stretched away from its datum by mm; its printed width goes along."""
    shop = Shop(step)
    low, high = min(x for x, _ in piece.outline), max(x for x, _ in piece.outline)
    share = 1 + by / (high - low)

    def stretched(ring):
        return tuple((x * share, y) for x, y in ring)

    def named(sizes):
        return tuple(
            replace(one, size=shop.size(one.size.mm + by)) if one.name == "width" else one for one in sizes
        )

    notches = tuple(
        replace(
            notch,
            corners=tuple(
                replace(corner, across=shop.size(corner.across.mm * share)) for corner in notch.corners
            ),
        )
        for notch in piece.notches
    )
    cut_outs = tuple(
        replace(
            one,
            ring=stretched(one.ring),
            centre=replace(one.centre, across=shop.size(one.centre.across.mm * share)),
        )
        for one in piece.cut_outs
    )
    return replace(
        piece,
        outline=stretched(piece.outline),
        blank_outline=stretched(piece.blank_outline),
        finished=named(piece.finished),
        blank=named(piece.blank),
        notches=notches,
        cut_outs=cut_outs,
    )


def drawn(was, now, step=INCH):
    return changed_drawing(was, now, REVISION, step)


def earlier(drawing):
    return [one for one in drawing.items if isinstance(one, Polyline) and one.role is Role.EARLIER]


def of_kind(drawing, kind):
    return [one.text for one in drawing.items if isinstance(one, kind)]


def test_a_piece_that_did_not_change_is_not_drawn():
    for piece in (corner_top(), cabinet(), sink_top()):
        assert drawn(piece, piece) is None


def test_the_old_line_lies_where_it_was_under_the_new_one():
    was, now = corner_top(), wider(corner_top(), 25.4)
    drawing = drawn(was, now)
    (old,) = earlier(drawing)
    assert old.points == was.outline
    assert drawing.items[0] is old
    assert piece_drawing(now).shapes() == drawing.shapes()[1:]


def test_no_machine_follows_the_old_line():
    """DXF of the very picture, which nobody writes: CUT and REFERENCE are those of the new piece."""
    was, now = corner_top(), wider(corner_top(), 25.4)
    assert {one.layer for one in earlier(drawn(was, now))} == {Layer.NOTE}
    outlines = {}
    for name, drawing in (("new", piece_drawing(now)), ("changed", drawn(was, now))):
        file = io.BytesIO()
        write_dxf(file, drawing, "in")
        read = ezdxf.read(io.StringIO(file.getvalue().decode()))
        outlines[name] = {
            layer: [
                list(one.get_points()) for one in read.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
            ]
            for layer in ("CUT", "BLANK", "REFERENCE")
        }
    assert outlines["new"] == outlines["changed"]


def test_the_old_line_is_told_apart_from_what_is_cut_without_colour():
    old = PENS[Role.EARLIER]
    assert old.weight < PENS[Role.FINISHED].weight
    assert max(old.dash) < min(PENS[Role.BLANK].dash)  # dots, where the blank line has dashes
    assert old.dash != PENS[Role.ASSUMED].dash


def test_the_legend_points_at_the_old_line_where_it_is_away_from_the_new_one():
    was, now = corner_top(), wider(corner_top(), 25.4)
    (legend,) = [one for one in drawn(was, now).items if isinstance(one, Text) and "as it was" in one.text]
    assert legend.text == f"as it was in\n{REVISION}"
    at = Point(legend.at)
    assert LineString([*was.outline, was.outline[0]]).distance(at) < 0.01
    assert Polygon(now.outline).exterior.distance(at) > 0.75 * 25.4


def test_numbers_that_changed_say_what_they_were():
    drawing = drawn(corner_top(), wider(corner_top(), 25.4))
    old, new = (
        {one.name: one.size.text for one in each.finished}
        for each in (corner_top(), wider(corner_top(), 25.4))
    )
    assert (old["width"], new["width"]) == ("56 1/2 in", "57 1/2 in")
    assert "finished 57 1⁄2″ (was 56 1⁄2″)" in of_kind(drawing, Linear)
    assert [text for text in of_kind(drawing, Linear) if "22″" in text] == [
        "finished 22″"
    ]  # the depth stayed
    corners = of_kind(drawing, Ordinate)
    assert sum("(was " in text for text in corners) == 2
    assert "3 5⁄8″" in corners  # how deep the notch is


def test_what_is_left_on_says_what_it_was():
    shop = Shop(INCH)
    more = shop.allowance(8.0, 3.0)
    left, back = corner_top().edges
    now = replace(corner_top(), edges=(replace(left, allowance=more), back))
    texts = of_kind(drawn(corner_top(), now), Text)
    (told,) = [text for text in texts if "was" in text]
    assert told == "scribed to wall left:\nleave 9⁄16″ (was 3⁄8″)"


def test_a_cut_out_that_moved_is_drawn_where_it_was_and_the_outline_is_not():
    was = sink_top()
    moved = tuple(
        replace(
            one,
            ring=tuple((x + 30, y) for x, y in one.ring),
            centre=replace(one.centre, across=Shop(INCH).size(one.centre.across.mm + 30)),
        )
        if at == 0
        else one
        for at, one in enumerate(was.cut_outs)
    )
    drawing = drawn(was, replace(was, cut_outs=moved))
    (old,) = earlier(drawing)
    assert old.points == was.cut_outs[0].ring
    assert any("(was " in text for text in of_kind(drawing, Ordinate))


def test_less_than_half_a_graduation_is_not_drawn():
    was = alcove_top()
    slightly = replace(was, outline=tuple((x, y + 0.4) for x, y in was.outline))
    more = replace(was, outline=tuple((x, y + 0.6) for x, y in was.outline), notches=())
    assert drawn(replace(was, notches=()), replace(slightly, notches=()), METRIC) is None
    assert earlier(drawn(replace(was, notches=()), more, METRIC))


def test_another_datum_is_laid_corner_on_corner():
    was = replace(corner_top(), notches=())
    now = replace(wider(was, 25.4), datum="front edge and left end")
    (old,) = earlier(drawn(was, now))
    assert min(x for x, _ in old.points) == pytest.approx(min(x for x, _ in now.outline))


def test_a_box_is_drawn_as_its_front():
    was = cabinet()
    now = replace(was, finished=Shop(INCH).named(width=1000, height=762, depth=533))
    drawing = drawn(was, now)
    assert len(earlier(drawing)) == 1
    assert any("(was " in text for text in of_kind(drawing, Linear))


def test_what_has_no_picture_on_one_side_is_not_drawn():
    unready = replace(corner_top(), status="not ready")
    assert drawn(unready, corner_top()) is None
    assert drawn(corner_top(), unready) is None


MADE = {
    "corner top": (corner_top, INCH),
    "alcove top": (alcove_top, METRIC),
    "sink top": (sink_top, INCH),
    "tall panel": (tall_panel, INCH),
    "comb": (lambda: combed(count=6), METRIC),
}


@pytest.mark.parametrize(
    ("name", "by"), [("alcove top", 40.0), *product(sorted(set(MADE) - {"alcove top"}), (-20.0, 40.0))]
)
def test_no_text_lies_on_a_line_or_a_text(name, by):
    make, step = MADE[name]
    drawing = drawn(make(), wider(make(), by, step), step)
    shown = Scaled(drawing, step.unit).within(185.0, 240.0)
    assert shown is not None
    laid = LaidOut(shown.marks, shown.width, shown.height, 1.0, (0.0, 0.0))
    assert collisions(laid) == []
    assert {row for text in of_kind(drawing, Text) for row in text.split("\n")} <= {
        mark.text for mark in laid.marks if isinstance(mark, Lettering)
    }
