"""The parts of a picture, checked against other libraries and published rules."""

import itertools
import math
import subprocess
import sys

import pytest
from drawing_zoo import rectangle
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon

import survey.drawing
from survey.drawing import (
    Anchor,
    Angular,
    Arrows,
    Axis,
    Circle,
    Drawing,
    DrawingError,
    HatchedRing,
    Layer,
    Linear,
    Ordinate,
    Polyline,
    Role,
    Side,
    Text,
    letter,
)
from survey.drawing.geometry import arc_of, extents, flatten, hatch
from survey.drawing.metrics import FONT_FILE, FONT_NAME, bundled
from survey.drawing.style import HEAVY, LIGHT, PENS
from survey.ink import PAPER, Ink

CUT = {"role": Role.FINISHED, "layer": Layer.CUT}
ORIGIN = (0.0, 0.0)

coordinates = st.floats(-3000, 3000, allow_nan=False)
points = st.tuples(coordinates, coordinates)
bulges = st.floats(0.02, 3.0).flatmap(lambda b: st.sampled_from([b, -b]))


def far_apart(pair):
    return math.dist(*pair) > 1.0


pairs = st.tuples(points, points).filter(far_apart)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Polyline((ORIGIN, (math.nan, 0.0)), **CUT), "finite numbers"),
        (lambda: Polyline((ORIGIN, (math.inf, 0.0)), **CUT), "finite numbers"),
        (lambda: Polyline((ORIGIN, (1, 0)), bulges=(1.0,), **CUT), "2 points, 1 bulges"),
        (lambda: Polyline((ORIGIN, (1, 0)), closed=True, **CUT), "3 points or more, got 2"),
        (lambda: Polyline((ORIGIN,), **CUT), "2 points or more, got 1"),
        (
            lambda: Polyline((ORIGIN, (1, 0), (1, 1), ORIGIN), closed=True, **CUT),
            "repeats its first point",
        ),
        (
            lambda: Polyline((ORIGIN, (1, 0), (1, 1)), closed=True, arrows=Arrows.END, **CUT),
            "no ends for arrows",
        ),
        (lambda: Circle(ORIGIN, 0.0, **CUT), "radius above 0, got 0.0"),
        (lambda: Circle(ORIGIN, math.nan, **CUT), "finite numbers"),
        (
            lambda: HatchedRing(rectangle(0, 0, 9, 9, **CUT), Polyline((ORIGIN, (1, 0)), **CUT)),
            "two closed polylines",
        ),
        (lambda: Text(ORIGIN, " "), "printable characters"),
        (lambda: Text(ORIGIN, "bell\a"), "printable characters"),
        (lambda: Text(ORIGIN, "a", height=0.0), "height above 0 mm"),
        (lambda: Text(ORIGIN, "a", angle=math.nan), "finite numbers"),
        (lambda: Ordinate(ORIGIN, (1, 0), Axis.X, "1", Side.LEFT), "stands at bottom or top"),
        (lambda: Linear(ORIGIN, ORIGIN, "0"), "needs two points"),
        (lambda: Linear(ORIGIN, (1, 0), "1", outward=2), "got 2"),
        (lambda: Angular(ORIGIN, ORIGIN, (1, 0), "0°"), "must leave its vertex"),
        (lambda: Drawing((), "Empty").extents(), "'Empty' has no shape"),
    ],
)
def test_what_cannot_be_drawn_is_refused_with_the_reason(make, words):
    with pytest.raises(DrawingError, match=words):
        make()


def test_a_text_is_never_on_a_layer_that_cuts():
    with pytest.raises(TypeError, match="layer"):
        Text(ORIGIN, "front", layer=Layer.CUT)


@settings(deadline=None)
@given(pairs, bulges)
def test_arcs_agree_with_ezdxf(pair, bulge):
    from ezdxf.math import bulge_to_arc

    arc = arc_of(*pair, bulge)
    centre, _, _, radius = bulge_to_arc(*pair, bulge)
    assert arc.centre == pytest.approx((centre.x, centre.y), abs=1e-6)
    assert arc.radius == pytest.approx(radius, abs=1e-6)
    assert arc.at(1.0) == pytest.approx(pair[1], abs=1e-6)


@settings(deadline=None)
@given(pairs, bulges)
def test_extents_of_an_arc_are_those_of_its_points(pair, bulge):
    arc = arc_of(*pair, bulge)
    line = LineString([arc.at(i / 2000) for i in range(2001)])
    # A chord of 1/2000 of the sweep leaves its arc by less than r (sweep / 2000)^2 / 8.
    within = 1e-6 + arc.radius * (arc.sweep / 2000) ** 2 / 8
    assert extents(pair, (bulge, 0.0), False) == pytest.approx(line.bounds, abs=within)


@settings(deadline=None)
@given(pairs, bulges, st.floats(0.001, 1.0))
def test_flattening_stays_within_its_tolerance(pair, bulge, tolerance):
    arc = arc_of(*pair, bulge)
    flat = flatten(pair, (bulge, 0.0), False, tolerance)
    assert (flat[0], flat[-1]) == pair
    for a, b in itertools.pairwise(flat):
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        assert arc.radius - math.dist(middle, arc.centre) <= tolerance + 1e-6


@pytest.mark.parametrize("spacing", [0.5, 1.6])
def test_hatching_covers_the_ring_and_nothing_else(spacing):
    outer = [(0, 0), (100, 0), (110, 60), (-5, 62)]
    inner = [(8, 5), (90, 0.5), (99, 50), (5, 50)]
    ring = Polygon(outer, [inner])
    lines = hatch([outer, inner], spacing)
    covered = spacing * sum(math.dist(a, b) for a, b in lines)
    assert covered == pytest.approx(ring.area, rel=0.03)
    outside = sum(LineString(line).difference(ring.buffer(1e-9)).length for line in lines)
    assert outside == pytest.approx(0.0, abs=1e-6)


def test_equal_outlines_leave_nothing_to_hatch():
    ring = [(0, 0), (40, 0), (40, 30), (0, 30)]
    assert [line for line in hatch([ring, ring], 1.6) if math.dist(*line) > 1e-9] == []


def test_extents_count_shapes_and_not_words():
    shelf = rectangle(0, 0, 600, 300, **CUT)
    note = Text((5000.0, 5000.0), "far away")
    assert Drawing((shelf, note)).extents() == (0, 0, 600, 300)


@settings(deadline=None)
@given(st.text(st.sampled_from("0123456789 ′″°×–½abcXYZ/.,⅛"), min_size=1, max_size=30))
def test_widths_agree_with_reportlab(text):
    from reportlab.pdfbase import pdfmetrics

    from survey.handover.pdf import font_name

    em = 2.5 * bundled().em
    expected = pdfmetrics.stringWidth(text, font_name(), em)
    assert bundled().plain_width(text, 2.5) == pytest.approx(expected, rel=1e-3, abs=0.01)


@pytest.mark.parametrize("letter", "⁄″′½¼¾⅛⅜⅝⅞°×–−±⌀→")
def test_the_bundled_font_has_the_letters_of_the_trade(letter):
    from reportlab.pdfbase.ttfonts import TTFontFile

    assert ord(letter) in TTFontFile(str(FONT_FILE)).charToGlyph


def test_the_font_comes_with_its_licence_and_stays_small():
    licence = FONT_FILE.with_name(f"{FONT_NAME}.LICENSE.txt").read_text(encoding="utf-8")
    assert "Permission is hereby granted, free of charge" in licence
    assert FONT_FILE.stat().st_size < 800_000


def test_capitals_are_as_high_as_asked():
    from fontTools.ttLib import TTFont

    with TTFont(FONT_FILE) as font:
        cap = font["glyf"]["E"].yMax / font["head"].unitsPerEm
    assert 2.5 * bundled().em * cap == pytest.approx(2.5)


def test_a_fraction_is_set_small_and_an_ordinary_slash_is_not():
    assert [(run.text, run.up > 0) for run in bundled().runs("1 3⁄4″", 2.5)] == [
        ("1 ", False),
        ("3", True),
        ("⁄", False),
        ("4", False),
        ("″", False),
    ]
    assert [run.text for run in bundled().runs("1 3/4", 2.5)] == ["1 3/4"]


@pytest.mark.parametrize("anchor", Anchor)
@pytest.mark.parametrize("angle", [0.0, 0.4, math.pi / 2])
def test_each_anchor_lies_on_its_point(anchor, angle):
    line = letter("HEHE", (50.0, 80.0), anchor, height=3.5, angle=angle)
    column = {"left": 0.0, "right": line.width}.get(anchor.split()[-1], line.width / 2)
    row = {"bottom": 0.0, "top": 3.5}.get(anchor.split()[0], 1.75)
    x = line.at[0] + column * math.cos(angle) - row * math.sin(angle)
    y = line.at[1] + column * math.sin(angle) + row * math.cos(angle)
    assert (x, y) == pytest.approx((50.0, 80.0))


def test_small_digits_keep_the_smallest_height_of_iso_3098_nearly():
    # ISO 3098 starts at 1.8 mm; fraction digits of a 2.5 mm text are 0.7 of it (our choice).
    assert bundled().runs("3⁄4", 2.5)[0].height == pytest.approx(1.75)


def luminance(ink: Ink) -> float:
    """WCAG 2.1, definition of relative luminance."""
    parts = [part / 255 for part in ink]
    linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("role", Role)
def test_every_ink_is_readable_in_sunlight(role):
    # Contrast ratio of WCAG 2.1; 7:1 is its level AAA and DESIGN's floor.
    ratio = (luminance(PAPER) + 0.05) / (luminance(PENS[role].ink) + 0.05)
    assert ratio >= 7.0


def test_outlines_are_told_apart_without_colour():
    outlines = set(Role) - {
        Role.HATCH,
        Role.GRAIN,
        Role.REFERENCE,
        Role.DIMENSION,
        Role.NOTE,
    }
    looks = {(PENS[role].weight, PENS[role].dash, PENS[role].framed) for role in outlines}
    assert len(looks) == len(outlines)


def test_there_are_two_line_weights():
    assert {pen.weight for pen in PENS.values()} == {HEAVY, LIGHT}
    assert HEAVY >= 2 * LIGHT  # ISO 128: wide to narrow is 2 to 1 or more (from memory)


def test_public_names_are_all_there():
    assert all(hasattr(survey.drawing, name) for name in survey.drawing.__all__)


def test_importing_pictures_loads_nothing_heavy():
    code = (
        "import sys, survey.drawing, survey.handover.pdf, survey.handover.dxf, survey.handover.svg;"
        "heavy = {'ezdxf', 'reportlab', 'fontTools', 'numpy', 'shapely', 'PIL'};"
        "print(*sorted(heavy & set(sys.modules)))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == ""
