"""A piece's picture: what it says is what the report printed, where the report says it is."""

import math
from xml.etree import ElementTree

import pytest
from msgspec.structs import replace
from report_zoo import (
    INCH,
    METRIC,
    PIECES,
    alcove_top,
    cabinet,
    combed,
    corner_top,
    filler,
    not_ready,
    sink_top,
)
from report_zoo import tall_panel as tall
from sample_reports import sample_report
from shapely import Polygon

from survey.drawing import (
    Axis,
    Circle,
    DrawingError,
    HatchedRing,
    Layer,
    Lettering,
    Linear,
    Ordinate,
    Polyline,
    Role,
    Side,
    Stroke,
    Text,
    layout,
)
from survey.drawing.piece_words import typeset
from survey.drawing.pieces import has_picture, notch_corners, piece_drawing
from survey.handover.piece_block import SCALES
from survey.handover.piece_svg import piece_svg
from survey.quantity import read_length

DRAWN = [name for name in PIECES if name != "not ready"]
OUTLINED = [name for name in DRAWN if PIECES[name]().outline]


def of(drawing, kind, **wanted):
    return [
        item
        for item in drawing.items
        if isinstance(item, kind) and all(getattr(item, key) == value for key, value in wanted.items())
    ]


def said(drawing):
    return "\n".join(item.text for item in of(drawing, (Text, Ordinate, Linear)))


@pytest.mark.parametrize("name", OUTLINED)
def test_outlines_are_the_reports_own_never_turned_or_mirrored(name):
    piece = PIECES[name]()
    drawing = piece_drawing(piece)
    finished, *cut_outs = of(drawing, Polyline, role=Role.FINISHED)
    assert (finished.points, finished.bulges) == (piece.outline, piece.bulges)
    assert [one.points for one in cut_outs] == [one.ring for one in piece.cut_outs]
    blanks = [line.points for line in of(drawing, Polyline, role=Role.BLANK)]
    assert blanks == ([piece.blank_outline] if piece.blank_outline else [])
    assert len(of(drawing, HatchedRing)) == len(blanks)


@pytest.mark.parametrize("name", OUTLINED)
def test_the_saw_follows_the_blank_where_something_is_left_to_scribe(name):
    piece = PIECES[name]()
    cut = of(piece_drawing(piece), Polyline, layer=Layer.CUT)
    scribed = any(edge.allowance for edge in piece.edges)
    assert cut[0].points == (piece.blank_outline if scribed else piece.outline)
    assert [one.points for one in cut[1:]] == [one.ring for one in piece.cut_outs]


def test_centres_of_cut_outs_are_dimensioned_from_the_datum():
    """By hand: 700 mm from the right end is 27 9/16 in, 260 and 490 from the front 10 1/4 and 19 5/16 in."""
    found = of(piece_drawing(sink_top()), Ordinate)
    assert [(one.axis, one.text) for one in found] == [
        *((Axis.X, "27 9⁄16″"), (Axis.Y, "10 1⁄4″")),
        *((Axis.X, "27 9⁄16″"), (Axis.Y, "19 5⁄16″")),
    ]
    assert [one.feature for one in found] == [
        pytest.approx(at, abs=1e-6) for at in 2 * [(-700.0, 260.0)] + 2 * [(-700.0, 490.0)]
    ]
    assert {"bowl", "tap"} <= set(said(piece_drawing(sink_top())).split("\n"))


def test_a_datum_that_names_a_cabinet_shows_no_marks_around_the_name():
    named = replace(sink_top(), datum="front edge and centre line of `vanity`")
    assert "`" not in said(piece_drawing(named))
    assert "centre line of vanity" in said(piece_drawing(named))


@pytest.mark.parametrize("name", DRAWN)
def test_words_and_dimensions_are_on_the_layer_for_notes(name):
    drawing = piece_drawing(PIECES[name]())
    assert all(item.layer is Layer.NOTE for item in of(drawing, (Text, Ordinate, Linear, HatchedRing)))


def test_edges_are_named_by_what_they_meet_and_say_what_to_leave():
    words = said(piece_drawing(corner_top()))
    assert "scribed to wall left:\nleave 3⁄8″" in words
    assert "this side to the wall\nscribed to wall back: leave 3⁄8″" in words
    assert "front edge" in words
    assert "right end" in words


def test_datum_is_named_and_marked_at_the_origin():
    (mark,) = [text for text in of(piece_drawing(corner_top()), Text) if "datum" in text.text]
    assert mark.text == "datum: front edge\nand right end;\nmeasure from here"
    assert mark.at == (0.0, 0.0)
    assert mark.leader


def test_a_centre_line_is_drawn_and_sides_are_said_in_words():
    drawing = piece_drawing(alcove_top())
    (line,) = of(drawing, Polyline, role=Role.CENTRE)
    assert line.points == ((0.0, 0), (0.0, 420.0))
    assert line.layer is Layer.REFERENCE
    assert {"240 mm right", "300 mm right"} <= {o.text for o in of(drawing, Ordinate, axis=Axis.X)}


@pytest.mark.parametrize("name", ["corner top", "alcove top", "tall panel", "twenty notches"])
def test_every_notch_number_is_the_distance_of_its_feature_from_the_datum(name):
    """Read the words back with the reader of readings: within half a graduation of the geometry."""
    piece = PIECES[name]()
    half = 25.4 / 32 if name in ("corner top", "tall panel") else 0.5
    found = of(piece_drawing(piece), Ordinate)
    assert len(found) >= 3
    for one in found:
        words = one.text.removesuffix(" left").removesuffix(" right")
        at = one.feature[0 if one.axis is Axis.X else 1]
        assert abs(float(read_length(words, "mm").mm) - abs(at)) <= half + 1e-6
        assert min(math.dist(one.feature, corner) for corner in piece.outline) < 1e-6


def test_the_notch_of_the_corner_top_is_at_its_front_and_its_left():
    """By hand: 2 5/8 in off the left end of a top 56 1/2 in long; 3 5/8 in from the front."""
    found = of(piece_drawing(corner_top()), Ordinate)
    assert {o.text for o in found if o.axis is Axis.X} == {"53 7⁄8″", "56 7⁄16″"}
    assert {o.text for o in found if o.axis is Axis.Y} == {"3 5⁄8″", "0″"}
    assert {o.side for o in found} == {Side.BOTTOM, Side.LEFT}
    assert all(o.feature[0] < -1350 and o.feature[1] < 100 for o in found)


def test_notches_at_both_ends_are_told_apart_though_the_report_gives_distances_only():
    piece = tall()
    base, conduit = (notch_corners(piece, notch) for notch in piece.notches)
    assert all(x < -570 and y < 150 for x, y in base)
    assert all(-185 < x < -115 and y < 65 for x, y in conduit)


def test_a_notch_that_is_not_in_the_outline_is_refused():
    piece = corner_top()
    moved = replace(piece, outline=tuple((x + 40.0, y) for x, y in piece.outline))
    with pytest.raises(DrawingError, match="around 'casing' of 'vanity-top' is not in its outline"):
        piece_drawing(moved)


def test_overall_sizes_are_finished_and_blank():
    words = {linear.text: linear for linear in of(piece_drawing(corner_top()), Linear)}
    assert set(words) == {"finished 56 1⁄2″", "blank 56 7⁄8″", "finished 22″", "blank 22 3⁄8″"}
    for text, linear in words.items():
        size = float(read_length(text.partition(" ")[2], "in").mm)
        assert math.dist(linear.start, linear.end) == pytest.approx(size, abs=25.4 / 32)


def test_one_size_is_said_once_where_blank_and_finished_are_the_same():
    words = {linear.text for linear in of(piece_drawing(filler()), Linear)}
    assert words == {"finished 1 1⁄2″", "blank 1 3⁄4″", "cut to 30″"}


def test_a_strip_that_lies_has_its_length_to_the_right_and_its_width_up():
    """As a strip above a cabinet; its grain is said as it lies in the room."""
    upright = filler()
    sizes, blank = ({one.name: one for one in each} for each in (upright.finished, upright.blank))
    lying = replace(
        upright,
        datum="lower edge, and the cabinet's left side",
        grain="along width",
        finished=tuple(sizes[name] for name in ("length", "width", "thickness")),
        blank=tuple(blank[name] for name in ("length", "width", "thickness")),
        outline=tuple((y, -x) for x, y in upright.outline)[::-1],
        blank_outline=tuple((y, -x) for x, y in upright.blank_outline)[::-1],
        edges=(replace(upright.edges[0], edge="top", meets="the ceiling"),),
    )
    drawing = piece_drawing(lying)
    lines = {one.text: (one.start, one.end) for one in of(drawing, Linear)}
    (x0, y0), (x1, y1) = lines["cut to 30″"]
    assert (abs(x1 - x0), y1 - y0) == pytest.approx((762.0, 0.0))
    (x0, y0), (x1, y1) = lines["finished 1 1⁄2″"]
    assert (x1 - x0, abs(y1 - y0)) == pytest.approx((0.0, 38.1))
    ((_, low), (_, high)) = of(drawing, Polyline, role=Role.GRAIN)[0].points
    assert low == pytest.approx(high)
    assert "long edge" not in said(drawing).replace(lying.datum, "")
    assert {"left end", "right end", "lower edge"} <= set(said(drawing).split("\n"))


@pytest.mark.parametrize(
    ("make", "is_level"), [(corner_top, True), (filler, False), (tall, False), (combed, True)]
)
def test_grain_arrow_runs_along_the_grain_inside_the_piece(make, is_level):
    drawing = piece_drawing(make())
    (arrow,) = of(drawing, Polyline, role=Role.GRAIN)
    (x0, y0), (x1, y1) = arrow.points
    assert (y0 == pytest.approx(y1)) == is_level
    assert (x0 == pytest.approx(x1)) == (not is_level)
    ring = Polygon(make().outline)
    assert all(ring.covers(point) for point in map(_point, arrow.points))


def _point(p):
    from shapely import Point

    return Point(p)


def test_no_grain_no_arrow():
    assert not of(piece_drawing(alcove_top()), Polyline, role=Role.GRAIN)


def test_a_box_is_drawn_but_nothing_of_it_is_cut():
    drawing = piece_drawing(cabinet())
    assert {item.layer for item in drawing.shapes()} == {Layer.REFERENCE}
    box = drawing.extents()
    assert (box.width, box.height) == pytest.approx((1371.6, 762))


def test_holes_in_a_back_are_drawn_hidden_and_dimensioned_from_its_side_and_underside():
    (box,) = [one for one in sample_report("sink-wall").pieces if one.name == "sink-base"]
    drawing = piece_drawing(box)
    circles = {item.centre: item for item in drawing.items if isinstance(item, Circle)}
    assert {item.role for item in circles.values()} == {Role.HIDDEN}
    assert sorted(round(2 * one.radius / 25.4, 2) for one in circles.values()) == [1, 1, 2]
    told = {(one.axis, one.text) for one in drawing.items if isinstance(one, Ordinate)}
    assert told == {
        (Axis.X, "12″"), (Axis.X, "8″"), (Axis.X, "16″"), (Axis.Y, "18″"), (Axis.Y, "21″"),
    }  # fmt: skip
    for hole in box.holes:
        assert (hole.across.mm, hole.up.mm) in circles
    names = {item.text for item in drawing.items if isinstance(item, Text)}
    assert {"drain", "hot", "cold", "sizes from the left side", "sizes from the underside"} <= names


def test_a_hole_without_a_diameter_is_its_centre_alone():
    (box,) = [one for one in sample_report("sink-wall").pieces if one.name == "sink-base"]
    bare = replace(box, holes=(replace(box.holes[0], diameter=None),))
    drawing = piece_drawing(bare)
    assert not [item for item in drawing.items if isinstance(item, Circle)]
    lines = [item for item in drawing.items if isinstance(item, Polyline) and item.role is Role.CENTRE]
    assert len(lines) == 2


def test_what_is_not_ready_has_no_picture():
    outlined = replace(corner_top(), status="not ready")
    for piece in (not_ready(), outlined):
        assert not has_picture(piece)
        with pytest.raises(DrawingError, match="not ready"):
            piece_drawing(piece)


def test_without_sizes_there_is_no_picture():
    bare = replace(cabinet(), finished=())
    assert not has_picture(bare)
    with pytest.raises(DrawingError, match="no outline"):
        piece_drawing(bare)


@pytest.mark.parametrize("name", DRAWN)
def test_no_text_lies_on_another_when_laid_out(name):
    unit = "in" if name in ("corner top", "filler", "tall panel", "cabinet") else "mm"
    laid = layout(piece_drawing(PIECES[name]()), (190.0, 240.0), scales=SCALES[unit])
    texts = [mark.quad() for mark in laid.marks if isinstance(mark, Lettering)]
    assert len(texts) > (5 if PIECES[name]().outline else 3)
    assert not [(a, b) for i, a in enumerate(texts) for b in texts[:i] if a.overlaps(b)]


@pytest.mark.parametrize("name", DRAWN)
def test_no_text_lies_on_the_finished_outline(name):
    laid = layout(piece_drawing(PIECES[name]()), (190.0, 240.0), scales=SCALES["mm"])
    edges = [
        pair
        for mark in laid.marks
        if isinstance(mark, Stroke) and mark.role is Role.FINISHED
        for pair in zip(mark.points, (*mark.points[1:], mark.points[0]), strict=True)
    ]
    texts = [mark for mark in laid.marks if isinstance(mark, Lettering)]
    assert edges
    assert not [text.text for text in texts for a, b in edges if text.quad().span(a, b)]


@pytest.mark.parametrize("step", [INCH, METRIC], ids=["in", "mm"])
def test_the_picture_as_svg_is_well_formed_and_the_same_every_time(step):
    text = piece_svg(corner_top(step), step.unit)
    root = ElementTree.fromstring(text)
    assert root.find("{http://www.w3.org/2000/svg}title").text == "vanity-top"
    assert "scribed to wall left:" in "".join(root.itertext())
    assert text == piece_svg(corner_top(step), step.unit)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("34 5/16 in", "34 5⁄16″"),
        ("-1/2 in", "−1⁄2″"),
        ("leave 5/16 in", "leave 5⁄16″"),
        ("872.5 mm", "872.5 mm"),
        ("front-2 in the hall", "front-2 in the hall"),
        ("splash-left", "splash-left"),
    ],
)
def test_lengths_are_typeset_and_names_are_left_alone(text, expected):
    assert typeset(text) == expected


def test_the_zoo_has_nothing_drilled_and_nothing_unlettered():
    for name in DRAWN:
        drawing = piece_drawing(PIECES[name]())
        assert not of(drawing, Circle)
        assert all(item.text.strip() for item in of(drawing, (Text, Ordinate, Linear)))


def test_hostile_names_are_lettered():
    piece = replace(corner_top(), name="a/\x00\n‮b", material="\t")
    assert piece_drawing(piece).title == "a/ b"
