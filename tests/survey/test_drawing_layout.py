"""The layout: true to scale, inside its paper, and no text on a line or on another text."""

import importlib
import itertools
import math

import pytest
from drawing_zoo import SHEET, ZOO, combed, ordinates, rectangle, rounded, sixteenths, top
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, STRtree

from survey.drawing import (
    INCH_SCALES,
    Angular,
    Arrows,
    Axis,
    Circle,
    Drawing,
    DrawingError,
    Layer,
    Lettering,
    Linear,
    Ordinate,
    Polyline,
    Role,
    Round,
    Side,
    Stroke,
    Text,
    layout,
)
from survey.drawing.geometry import flatten
from survey.drawing.place_ordinates import push_apart

CUT = {"role": Role.FINISHED, "layer": Layer.CUT}
CLEAR = 0.3
"""Kept between any text and any line in these tests, paper mm."""


def texts(laid):
    return [mark for mark in laid.marks if isinstance(mark, Lettering)]


def box(lettering):
    return Polygon(lettering.quad().corners())


def line(mark):
    if isinstance(mark, Round):
        return Point(mark.centre).buffer(mark.radius, quad_segs=32).exterior
    flat = flatten(mark.points, mark.bulges, mark.closed, 0.01)
    return LineString([*flat, flat[0]] if mark.closed else flat)


def collisions(laid):
    """Every text that a line or another text comes too near to (an own search, by shapely)."""
    letterings = texts(laid)
    boxes = [box(one) for one in letterings]
    lines = [line(mark) for mark in laid.marks if not isinstance(mark, Lettering)]
    tree, found = STRtree(lines), []
    for one, area in zip(letterings, boxes, strict=True):
        near = tree.query(area.buffer(CLEAR))
        found += [(one.text, lines[i].wkt) for i in near if lines[i].distance(area) < CLEAR]
    for (a, first), (b, second) in itertools.combinations(zip(letterings, boxes, strict=True), 2):
        if first.distance(second) < CLEAR:
            found.append((a.text, b.text))
    return found


def by_text(laid, text):
    (one,) = [lettering for lettering in texts(laid) if lettering.text == text]
    return one


@pytest.mark.parametrize("sheet", [SHEET, (277.0, 190.0), (190.0, 130.0)], ids=str)
@pytest.mark.parametrize("name", ZOO)
def test_no_text_lies_on_a_line_or_a_text(name, sheet):
    laid = layout(ZOO[name](), sheet)
    assert collisions(laid) == []
    wanted = {item.text for item in ZOO[name]().items if hasattr(item, "text")}
    shown = {lettering.text for lettering in texts(laid)}
    assert {row for text in wanted for row in text.split("\n")} <= shown


@pytest.mark.parametrize("name", ZOO)
def test_everything_lies_on_the_paper(name):
    left, bottom, right, upper = layout(ZOO[name](), SHEET).extents()
    assert left >= 0
    assert bottom >= 0
    assert right <= SHEET[0]
    assert upper <= SHEET[1]


def test_the_searching_test_itself_finds_a_collision():
    shelf = rectangle(0, 0, 100, 50, **CUT)
    fixed = Text((50.0, 0.0), "on the edge", movable=False)
    assert collisions(layout(Drawing((shelf, fixed)), SHEET, 1))


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.floats(5, 1795), min_size=1, max_size=40),
    st.lists(st.floats(5, 395), min_size=0, max_size=12),
    st.sampled_from([Side.TOP, Side.BOTTOM]),
    st.booleans(),
)
def test_any_strip_comes_out_free_of_collisions(along, up, side, in_inches):
    text = sixteenths if in_inches else "{:.1f}".format
    drawing = Drawing(
        (
            rectangle(0, 0, 1800, 400, **CUT),
            *(Circle((x, 200), 4, role=Role.FINISHED, layer=Layer.DRILL) for x in along),
            *ordinates((0, 0), Axis.X, [(x, 200) for x in along], text, side),
            *ordinates((1800, 0), Axis.Y, [(1800, y) for y in up], text),
            Linear((0, 0), (1800, 0), text(1800)),
            Linear((1800, 0), (1800, 400), text(400)),
            Text((900, 60), "show face up"),
            Angular((0, 0), (1, 0), (0, 1), "90°"),
        )
    )
    assert collisions(layout(drawing, SHEET)) == []


@pytest.mark.parametrize("degrees", range(0, 360, 15))
def test_a_turned_piece_is_dimensioned_as_well(degrees):
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def turn(x, y):
        return x * cos - y * sin, x * sin + y * cos

    corners = (turn(0, 0), turn(700, 0), turn(700, 300), turn(80, 300), turn(0, 220))
    drawing = Drawing(
        (
            Polyline(corners, closed=True, **CUT),
            *(
                Linear(a, b, f"{math.dist(a, b):.0f}", outward=-1)
                for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
            ),
            Angular(corners[4], corners[0], corners[3], "135°"),
        )
    )
    laid = layout(drawing, SHEET)
    assert collisions(laid) == []
    assert all(-math.pi / 2 < t.angle <= math.pi / 2 + 1e-9 for t in texts(laid))


@pytest.mark.parametrize("name", ZOO)
def test_shapes_are_true_to_scale_and_not_mirrored(name):
    drawing = ZOO[name]()
    laid = layout(drawing, SHEET)
    (cut,) = [i for i in drawing.items if getattr(i, "closed", False) and i.record and i.layer == "CUT"] or [
        drawing.items[0]
    ]
    stroke = next(
        m
        for m in laid.marks
        if isinstance(m, Stroke) and len(m.points) == len(cut.points) and m.role == cut.role
    )
    assert stroke.bulges == cut.bulges
    assert stroke.record == cut.record
    for drawn, model in zip(stroke.points, cut.points, strict=True):
        assert drawn == pytest.approx(laid.place(model), abs=1e-9)
    model_area, drawn_area = signed_area(cut.points), signed_area(stroke.points)
    assert drawn_area * laid.one_to**2 == pytest.approx(model_area, rel=1e-9)


def signed_area(points):
    ring = zip(points, [*points[1:], points[0]], strict=True)
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in ring) / 2


def test_the_largest_scale_that_fits_is_taken():
    laid = layout(top(), SHEET, scales=INCH_SCALES)
    assert laid.one_to == 12
    assert laid.scale_text == "1:12"
    with pytest.raises(DrawingError, match=r"does not fit 190 x 277 mm .*1:8"):
        layout(top(), SHEET, 8)


@pytest.mark.parametrize("sheet", [(0.0, 100.0), (math.nan, 100.0), (100.0, math.inf)])
def test_paper_without_size_is_refused(sheet):
    with pytest.raises(DrawingError, match="width and a height"):
        layout(rounded(), sheet)


def test_the_same_picture_is_laid_out_the_same():
    assert layout(top(), SHEET) == layout(top(), SHEET)


def test_numbers_stand_in_the_order_of_their_features():
    laid = layout(combed(), SHEET)
    along = [(t.at[0], float(t.text)) for t in texts(laid) if t.angle and "." in t.text]
    assert len(along) == 41
    assert [number for _, number in sorted(along)] == sorted(number for _, number in along)


def test_leaders_do_not_cross():
    laid = layout(combed(), SHEET)
    leaders = [line(m) for m in laid.marks if isinstance(m, Stroke) and m.role == Role.DIMENSION]
    crossing = [(a.wkt, b.wkt) for a, b in itertools.combinations(leaders, 2) if a.crosses(b)]
    assert len(leaders) > 80
    assert crossing == []


def test_eighty_numbers_along_one_edge_still_fit():
    laid = layout(combed(38), SHEET)
    assert collisions(laid) == []
    assert len([t for t in texts(laid) if "." in t.text]) == 77


def test_more_numbers_than_an_edge_can_hold_are_refused():
    with pytest.raises(DrawingError, match="divide the dimensions over two pictures"):
        layout(combed(70), SHEET)


@settings(deadline=None)
@given(
    st.lists(st.floats(-500, 500), min_size=2, max_size=30).map(sorted),
    st.floats(0.1, 30),
)
def test_pushing_apart_is_isotonic_regression(wanted, apart):
    from scipy.optimize import isotonic_regression

    offsets = [apart * i for i in range(len(wanted))]
    reference = isotonic_regression([w - o for w, o in zip(wanted, offsets, strict=True)]).x
    moved = push_apart(wanted, [apart] * (len(wanted) - 1))
    assert moved == pytest.approx(reference + offsets, abs=1e-9)


def test_the_datum_is_marked_once_with_its_zero():
    laid = layout(top(), SHEET)
    assert len([t for t in texts(laid) if t.text == "0"]) == 2
    zero = max((t for t in texts(laid) if t.text == "0"), key=lambda t: t.at[0])
    assert zero.extents().middle[0] == pytest.approx(laid.place((1422.4, 0))[0], abs=0.2)


def test_equal_ordinates_are_written_once():
    shelf = rectangle(0, 0, 600, 300, **CUT)
    twice = ordinates((0, 0), Axis.X, [(600, 0), (600, 300)], "{:.0f}".format, Side.BOTTOM)
    laid = layout(Drawing((shelf, *twice)), SHEET)
    assert sorted(t.text for t in texts(laid)) == ["0", "600"]


def test_equal_places_with_unlike_numbers_are_both_shown():
    shelf = rectangle(0, 0, 600, 300, **CUT)
    both = [Ordinate((0, 0), (600, 0), Axis.X, text, Side.BOTTOM) for text in ("600", "599")]
    laid = layout(Drawing((shelf, *both)), SHEET)
    assert {"599", "600"} <= {t.text for t in texts(laid)}
    assert collisions(laid) == []


def test_two_datums_along_one_axis_stand_on_opposite_sides():
    shelf = rectangle(0, 0, 600, 300, **CUT)
    left, right = ((Ordinate((x, 0), (200, 0), Axis.X, text)) for x, text in ((0, "200"), (600, "400")))
    laid = layout(Drawing((shelf, left, right)), SHEET)
    middle = laid.place((300, 150))[1]
    assert (by_text(laid, "200").at[1] < middle) != (by_text(laid, "400").at[1] < middle)


def test_a_third_datum_is_refused():
    shelf = rectangle(0, 0, 600, 300, **CUT)
    three = [Ordinate((x, 0), (200, 0), Axis.X, f"{x}") for x in (0, 600, 300)]
    with pytest.raises(DrawingError, match="already count from another datum: use one datum"):
        layout(Drawing((shelf, *three)), SHEET)


def test_linear_dimensions_nest_outside_the_outline():
    shelf = rectangle(0, 0, 600, 300, **CUT)
    chain = [Linear((x, 0), (x + 200, 0), f"{x}+", outward=-1) for x in (0, 200, 400)]
    overall = Linear((0, 0), (600, 0), "600", outward=-1)
    laid = layout(Drawing((overall, shelf, *chain)), SHEET)
    edge = laid.place((0, 0))[1]
    depths = [edge - by_text(laid, text).at[1] for text in ("0+", "200+", "400+", "600")]
    assert depths[0] == pytest.approx(depths[1]) == pytest.approx(depths[2])
    assert depths[3] > depths[0] + 5
    assert depths[0] > 5
    assert collisions(laid) == []


def test_a_short_dimension_has_its_text_beside_it():
    shelf = rectangle(0, 0, 600, 300, **CUT)
    laid = layout(Drawing((shelf, Linear((0, 0), (6, 0), "1234.5", outward=-1))), SHEET)
    text = by_text(laid, "1234.5").extents()
    assert text.left > laid.place((6, 0))[0] or text.right < laid.place((0, 0))[0]
    assert collisions(laid) == []


def test_a_note_gives_way_and_a_fixed_one_does_not():
    shelf = rectangle(0, 0, 600, 300, **CUT)
    fixed = Text((300, 150), "stays", movable=False)
    laid = layout(Drawing((shelf, Text((300, 150), "gives way"), fixed)), SHEET)
    assert by_text(laid, "stays").extents().middle == pytest.approx(laid.place((300, 150)), abs=0.5)
    assert collisions(laid) == []


def test_a_leader_points_at_its_place():
    shelf = rectangle(0, 0, 600, 300, **CUT)
    note = Text((200, 300), "clear of the pipe", shift=(12, 14), leader=True)
    laid = layout(Drawing((shelf, note)), SHEET)
    (head,) = [m for m in laid.marks if isinstance(m, Stroke) and m.filled]
    assert head.points[0] == pytest.approx(laid.place((200, 300)), abs=1e-9)
    assert collisions(laid) == []


@pytest.mark.parametrize("role", [Role.CAUTION, Role.STOP])
def test_warnings_are_framed(role):
    shelf = rectangle(0, 0, 600, 300, **CUT)
    laid = layout(Drawing((shelf, Text((300, 150), "stud not found", role=role))), SHEET)
    (frame,) = [m for m in laid.marks if isinstance(m, Stroke) and m.role == role]
    assert Polygon(frame.points).contains(box(by_text(laid, "stud not found")))


def test_lines_of_a_text_run_downwards():
    shelf = rectangle(0, 0, 600, 300, **CUT)
    laid = layout(Drawing((shelf, Text((300, 150), "first\nsecond"))), SHEET)
    assert by_text(laid, "first").at[1] > by_text(laid, "second").at[1] + 2.5


def test_an_angle_in_a_narrow_corner_still_finds_room():
    wedge = Polyline(((0, 0), (600, 0), (600, 40)), closed=True, **CUT)
    angle = Angular((0, 0), (600, 0), (600, 40), "3.8°")
    laid = layout(Drawing((wedge, angle)), SHEET)
    assert collisions(laid) == []


def test_arrows_stand_at_both_ends_of_the_grain():
    shelf = rectangle(0, 0, 600, 300, **CUT)
    grain = Polyline(((100, 150), (500, 150)), arrows=Arrows.BOTH, role=Role.GRAIN, layer=Layer.NOTE)
    laid = layout(Drawing((shelf, grain)), SHEET)
    tips = sorted(m.points[0] for m in laid.marks if isinstance(m, Stroke) and m.filled)
    assert tips[0] == pytest.approx(laid.place((100, 150)))
    assert tips[1] == pytest.approx(laid.place((500, 150)))


def test_trimming_keeps_everything_and_its_place():
    laid = layout(top(), SHEET)
    trimmed = laid.trimmed(5.0)
    assert trimmed.extents() == pytest.approx((5, 5, trimmed.width - 5, trimmed.height - 5))
    corner = trimmed.place((1422.4, 0))
    finished = next(m for m in trimmed.marks if getattr(m, "record", "") == "top-1")
    assert finished.points[1] == pytest.approx(corner)


def test_small_letters_are_the_last_resort():
    attempts = list(importlib.import_module("survey.drawing.layout")._attempts(top(), (10, 20)))
    assert [shrink == 1.0 for *_, shrink in attempts] == [True] * 4 + [False] * 4
