"""PDF, DXF and SVG, read back by readers that share no code with the writers."""

import io
import itertools
import math
import re
from xml.etree import ElementTree

import pdfplumber
import pypdf
import pytest
from drawing_zoo import NOTCH, SHEET, ZOO, rectangle, rounded, tall_panel, top
from shapely import Point, Polygon

from survey.drawing import (
    INCH_SCALES,
    Axis,
    Circle,
    Drawing,
    DrawingError,
    HatchedRing,
    Layer,
    Lettering,
    Linear,
    Ordinate,
    Polyline,
    Role,
    Text,
    layout,
)
from survey.handover import dxf, pdf, svg

CUT = {"role": Role.FINISHED, "layer": Layer.CUT}
POINT = 25.4 / 72
"""Millimetres in a PDF point (ISO 32000-1, 8.3.2.3)."""
LENGTH, DEPTH = 1422.4, 558.8
"""Nominal size of the top of the zoo, mm."""


# --- An own reader of DXF: pairs of lines, a group code and its value ------------------------


def read_dxf(content: bytes):
    """Return (header variables, entities); an entity is its list of (code, value)."""
    lines = content.decode("cp1252").splitlines()
    pairs = [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]
    header, entities, section, name = {}, [], None, None
    for index, (code, value) in enumerate(pairs):
        if (code, value) == (0, "SECTION"):
            section = pairs[index + 1][1]
        elif section == "HEADER" and code == 9:
            name = value
        elif section == "HEADER" and name:
            header.setdefault(name, []).append(value)
        elif section == "ENTITIES" and code == 0:
            entities.append([(0, value)])
        elif section == "ENTITIES" and entities:
            entities[-1].append((code, value))
    return header, [entity for entity in entities if entity[0][1] != "ENDSEC"]


def values(entity, code):
    return [value for group, value in entity if group == code]


def numbers(entity, code):
    return [float(value) for value in values(entity, code)]


def of(entities, kind, layer):
    return [e for e in entities if e[0][1] == kind and values(e, 8) == [layer]]


def vertices(entity):
    """Return (x, y, bulge) of a light-weight polyline; a missing bulge is 0."""
    found = []
    for code, value in entity:
        if code == 10:
            found.append([float(value), 0.0, 0.0])
        elif code == 20:
            found[-1][1] = float(value)
        elif code == 42:
            found[-1][2] = float(value)
    return [tuple(vertex) for vertex in found]


def written(drawing, unit="mm", **more):
    file = io.BytesIO()
    dxf.write_dxf(file, drawing, unit, **more)
    return read_dxf(file.getvalue())


def cut_outline(drawing):
    rings = [i for i in drawing.items if isinstance(i, Polyline) and i.layer is Layer.CUT]
    return max(rings, key=lambda ring: Polygon(ring.points).area)


def outline_of(entities, layer="CUT"):
    rings = [ring for ring in of(entities, "LWPOLYLINE", layer) if len(vertices(ring)) > 2]
    return max(rings, key=lambda ring: Polygon([v[:2] for v in vertices(ring)]).area)


UNITS = {"mm": (1.0, "4", "1"), "in": (25.4, "1", "0")}


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("name", ZOO)
def test_dxf_outline_is_the_outline_of_the_drawing(name, unit):
    per, insunits, measurement = UNITS[unit]
    drawing = ZOO[name]()
    header, entities = written(drawing, unit)
    assert header["$ACADVER"] == ["AC1015"]  # R2000
    assert header["$INSUNITS"] == [insunits]
    assert header["$MEASUREMENT"] == [measurement]
    ring, outline = outline_of(entities), cut_outline(drawing)
    found = vertices(ring)
    assert values(ring, 70) == ["1"]  # the closed flag
    assert int(values(ring, 90)[0]) == len(found) == len(outline.points)
    bulges = outline.bulges or (0.0,) * len(outline.points)
    for (x, y, bulge), model, expected in zip(found, outline.points, bulges, strict=True):
        assert (x * per, y * per) == pytest.approx(model, abs=1e-9)
        assert bulge == pytest.approx(expected, abs=1e-12)
    area = Polygon([v[:2] for v in found]).area * per**2
    assert area == pytest.approx(Polygon(outline.points).area, rel=1e-12)


@pytest.mark.parametrize("unit", UNITS)
def test_dxf_notch_is_at_its_end_and_its_side(unit):
    per = UNITS[unit][0]
    _, entities = written(top(), unit)
    ring = Polygon([v[:2] for v in vertices(outline_of(entities))])
    x, y = NOTCH[0] / 2 / per, NOTCH[1] / 2 / per
    probe = {
        "front left": (x, y),
        "front right": (LENGTH / per - x, y),
        "back left": (x, 540 / per),
        "back right": (LENGTH / per - x, 540 / per),
    }
    inside = {where for where, at in probe.items() if ring.distance(Point(at)) == 0}
    assert inside == set(probe) - {"front left"}


@pytest.mark.parametrize("unit", UNITS)
def test_dxf_extents_enclose_what_is_written(unit):
    per = UNITS[unit][0]
    header, entities = written(rounded(), unit)
    # By hand: a shelf of 400 x 200 with a half-round of radius 50 on top; the reference lines
    # stand 60 and 120 mm below it.
    assert [float(v) * per for v in header["$EXTMIN"]] == pytest.approx([0, -120, 0], abs=1e-3)
    assert [float(v) * per for v in header["$EXTMAX"]] == pytest.approx([400, 250, 0], abs=1e-3)
    (hole,) = of(entities, "CIRCLE", "DRILL")
    centre = [numbers(hole, code)[0] * per for code in (10, 20, 40)]
    assert centre == pytest.approx([340, 160, 8], abs=1e-9)


@pytest.mark.parametrize("unit", UNITS)
def test_dxf_carries_lines_of_100_mm_and_4_in(unit):
    per = UNITS[unit][0]
    _, entities = written(rounded(), unit)
    lines = [vertices(e) for e in of(entities, "LWPOLYLINE", "REFERENCE")]
    lengths = sorted(math.dist(a[:2], b[:2]) * per for a, b in lines)
    assert lengths == pytest.approx([100.0, 101.6], abs=1e-6)
    assert {"100 mm", "4 in"} <= {values(e, 1)[0] for e in of(entities, "TEXT", "NOTE")}


@pytest.mark.parametrize("name", ZOO)
def test_dxf_holds_only_what_a_machine_understands(name):
    _, entities = written(ZOO[name]())
    assert {e[0][1] for e in entities} <= {"LWPOLYLINE", "CIRCLE", "TEXT"}
    assert {values(e, 8)[0] for e in entities} <= {layer.value for layer in Layer}
    assert all(values(e, 8) == ["NOTE"] for e in entities if e[0][1] == "TEXT")


def test_dxf_leaves_out_dimensions_and_hatching():
    drawing = top()
    _, entities = written(drawing)
    dimensions = {i.text for i in drawing.items if isinstance(i, Ordinate | Linear)}
    assert dimensions
    assert not dimensions & {values(e, 1)[0] for e in entities if e[0][1] == "TEXT"}
    plain = Drawing(tuple(i for i in drawing.items if not isinstance(i, HatchedRing)))
    assert len(written(plain)[1]) == len(entities)


def test_dxf_letters_are_plain_and_read_the_right_way():
    shelf = rectangle(0, 0, 600, 300, **CUT)
    _, entities = written(Drawing((shelf, Text((300, 150), "gap 3⁄16″\n2 × 4"))), note_scale=8)
    first, second = of(entities, "TEXT", "NOTE")[:2]
    assert values(first, 1) == ['gap 3/16"']
    assert values(second, 1) == ["2 x 4"]
    assert numbers(first, 40) == [20.0]  # 2.5 mm at 1:8
    assert numbers(first, 21)[0] > numbers(second, 21)[0]
    assert not numbers(first, 71)  # neither backward nor upside down


@pytest.mark.parametrize("name", ZOO)
def test_dxf_passes_the_librarys_own_audit(name):
    import ezdxf

    file = io.BytesIO()
    dxf.write_dxf(file, ZOO[name](), "in")
    document = ezdxf.read(io.StringIO(file.getvalue().decode("cp1252")))
    audit = document.audit()
    assert (audit.errors, audit.fixes) == ([], [])


def test_dxf_bytes_depend_on_the_drawing_alone(tmp_path):
    import ezdxf

    before = ezdxf.options.write_fixed_meta_data_for_testing
    file = io.BytesIO()
    dxf.write_dxf(file, top(), "mm")
    dxf.write_dxf(tmp_path / "top_mm.dxf", top(), "mm")
    assert (tmp_path / "top_mm.dxf").read_bytes() == file.getvalue()
    assert before is False
    assert ezdxf.options.write_fixed_meta_data_for_testing is before


HOLE = {"role": Role.FINISHED, "layer": Layer.CUT}


@pytest.mark.parametrize(
    ("items", "words"),
    [
        ([Circle((0, 0), 5, role=Role.FINISHED, layer=Layer.DRILL)], "nothing on CUT"),
        ([Polyline(((0, 0), (9, 0), (9, 9)), record="p1", **CUT)], r"\(record p1\) is open"),
        (
            [Polyline(((0, 0), (100, 0), (0, 80), (100, 80)), closed=True, **CUT)],
            "crosses or touches itself",
        ),
        (
            [rectangle(0, 0, 90, 90, **CUT), rectangle(200, 0, 280, 80, **CUT)],
            "not inside the outline of the piece",
        ),
        (
            [rectangle(0, 0, 90, 90, **CUT), rectangle(0, 0, 90, 90, **CUT)],
            "touches or doubles",
        ),
        (
            [rectangle(0, 0, 90, 90, **CUT), rectangle(0, 20, 30, 60, **CUT)],
            "a notch of the outline",
        ),
        (
            [
                rectangle(0, 0, 90, 90, **CUT),
                Circle((40, 40), 10, **HOLE),
                Circle((55, 40), 10, **HOLE),
            ],
            "overlaps another cut-out",
        ),
    ],
)
def test_dxf_refuses_what_would_be_cut_wrongly(tmp_path, items, words):
    target = tmp_path / "piece.dxf"
    with pytest.raises(DrawingError, match=words):
        dxf.write_dxf(target, Drawing(tuple(items), "Piece"), "mm")
    assert not target.exists()


def test_dxf_refuses_an_unknown_unit():
    with pytest.raises(DrawingError, match="'mm' or 'in', got 'cm'"):
        dxf.write_dxf(io.BytesIO(), top(), "cm")


# --- PDF, by pdfplumber ----------------------------------------------------------------------


def pdf_bytes(laid, x=10.0, y=12.0):
    file = io.BytesIO()
    canvas = pdf.open_pdf(file, (laid.width + 2 * x, laid.height + 2 * y), laid.title)
    pdf.draw(canvas, laid, x, y)
    canvas.showPage()
    canvas.save()
    return file.getvalue()


def pdf_page(laid, x=10.0, y=12.0):
    return pdfplumber.open(io.BytesIO(pdf_bytes(laid, x, y))).pages[0]


def on_paper(page, at, x=10.0, y=12.0):
    """Return a point of pdfplumber (points, from the top) in mm of the area."""
    return at[0] * POINT - x, (float(page.height) - at[1]) * POINT - y


def pdf_paths(page):
    """Return (points in mm of the area, line width in mm) of every path."""
    shapes = [*page.curves, *page.lines, *page.rects]
    return [([on_paper(page, p) for p in s["pts"]], s["linewidth"] * POINT) for s in shapes]


def test_pdf_outline_is_true_to_size_and_its_notch_in_place():
    laid = layout(top(), SHEET, scales=INCH_SCALES)
    page = pdf_page(laid)
    outline = [laid.place(p) for p in cut_outline(top()).points]
    found = [points for points, _ in pdf_paths(page) if len(points) in (len(outline), len(outline) + 1)]
    best = min(found, key=lambda points: math.dist(points[0], outline[0]))
    for drawn, expected in zip(best, outline, strict=False):
        assert drawn == pytest.approx(expected, abs=1e-3)
    ring = Polygon(best)
    left, bottom, right, upper = ring.bounds
    width = NOTCH[0] / laid.one_to / 2
    assert ring.distance(Point((left + width, bottom + width))) > 0
    for corner in ((right - width, bottom + width), (left + width, upper - width)):
        assert ring.distance(Point(corner)) == 0


def test_pdf_line_of_100_mm_is_100_mm():
    line = Polyline(((0, 0), (100, 0)), role=Role.REFERENCE, layer=Layer.REFERENCE)
    page = pdf_page(layout(Drawing((line,)), (120, 20), 1))
    (found,) = page.lines
    assert (found["x1"] - found["x0"]) * POINT == pytest.approx(100.0, abs=1e-3)


def test_pdf_keeps_the_two_line_weights():
    weights = {round(width, 3) for _, width in pdf_paths(pdf_page(layout(top(), SHEET)))}
    assert weights == {0.18, 0.5}


@pytest.mark.parametrize("name", ZOO)
def test_pdf_text_is_never_mirrored_and_reads_from_below_or_the_right(name):
    page = pdf_page(layout(ZOO[name](), SHEET))
    assert len(page.chars) > 5
    for char in page.chars:
        a, b, c, d, *_ = char["matrix"]
        assert a * d - b * c > 0
        turn = math.degrees(math.atan2(b, a))
        assert -90 < turn <= 90.001


@pytest.mark.parametrize("name", ZOO)
def test_pdf_texts_can_be_found_and_stand_where_the_layout_says(name):
    laid = layout(ZOO[name](), SHEET)
    page = pdf_page(laid)
    expected = [mark for mark in laid.marks if isinstance(mark, Lettering)]
    letters = "".join(char["text"] for char in page.chars)
    assert letters == "".join(mark.text for mark in expected)
    chars = iter(page.chars)
    for mark in expected:
        cos, sin = math.cos(mark.angle), math.sin(mark.angle)
        for run in mark.runs:
            *_, x, y = next(chars)["matrix"]
            start = on_paper(page, (x, float(page.height) - y))
            across, up = run.across, run.up
            wanted = (mark.at[0] + cos * across - sin * up, mark.at[1] + sin * across + cos * up)
            assert start == pytest.approx(wanted, abs=1e-3)
            for _ in run.text[1:]:
                next(chars)


def test_pdf_fractions_survive_as_words():
    words = pdf_page(layout(top(), SHEET, scales=INCH_SCALES)).extract_text()
    assert "56 1⁄2″" in words
    assert "17 11⁄16″" in words


def test_pdf_embeds_the_bundled_font_and_asks_not_to_be_scaled():
    reader = pypdf.PdfReader(io.BytesIO(pdf_bytes(layout(top(), SHEET))))
    fonts = [f.get_object() for f in reader.pages[0]["/Resources"]["/Font"].values()]
    used = [f for f in fonts if "DejaVuSansCondensed" in f["/BaseFont"]]
    assert used
    assert all("/FontFile2" in font["/FontDescriptor"] for font in used)
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert reader.metadata.title == "Vanity top"


def test_pdf_bytes_depend_on_the_drawing_alone():
    laid = layout(tall_panel(), SHEET)
    assert pdf_bytes(laid) == pdf_bytes(laid)


def test_pdf_arcs_stay_on_their_circle():
    for start, end, bulge in [((0, 0), (10, 0), 1.0), ((3, 4), (-8, 1), -0.4), ((0, 0), (1, 9), 3)]:
        arc = pdf.arc_of(start, end, bulge)
        last = start
        for one, two, stop in pdf.curves(start, end, bulge):
            for t in (0.25, 0.5, 0.75):
                weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
                x, y = (
                    sum(w * p[i] for w, p in zip(weights, (last, one, two, stop), strict=True))
                    for i in (0, 1)
                )
                assert math.dist((x, y), arc.centre) == pytest.approx(arc.radius, rel=5e-6)
            last = stop
        assert last == end


def test_pdf_draws_the_half_round_outwards():
    laid = layout(rounded(), SHEET)
    page = pdf_page(laid)
    shelf = max(page.curves, key=lambda c: c["width"] * c["height"])
    upper = max(on_paper(page, p)[1] for p in shelf["pts"])
    assert upper == pytest.approx(laid.place((0, 250))[1], abs=0.01)


# --- SVG, by ElementTree ---------------------------------------------------------------------

NAMESPACE = "{http://www.w3.org/2000/svg}"


def svg_root(laid):
    return ElementTree.fromstring(svg.to_svg(laid))


def svg_points(path, height):
    """Return the end points of a path's steps in mm, y up."""
    steps = re.findall(r"([MLA])([^MLAZ]*)", path.get("d"))
    ends = [tuple(float(n) for n in step.split()[-2:]) for _, step in steps]
    return [(x, height - y) for x, y in ends]


def svg_arc_middle(start, step, height):
    """Return the middle of an arc by the formulas of SVG 1.1, appendix F.6.5, y up."""
    r, _, _, large, sweep, x, y = (float(n) for n in step.split())
    (x1, y1), (x2, y2) = (start[0], height - start[1]), (x, y)
    dx, dy = (x1 - x2) / 2, (y1 - y2) / 2
    root = math.sqrt(max(0.0, (r * r - dx * dx - dy * dy) / (dx * dx + dy * dy)))
    sign = 1.0 if large != sweep else -1.0
    cx, cy = sign * root * dy + (x1 + x2) / 2, -sign * root * dx + (y1 + y2) / 2
    first, last = math.atan2(y1 - cy, x1 - cx), math.atan2(y2 - cy, x2 - cx)
    turn = (last - first) % math.tau if sweep else -((first - last) % math.tau)
    middle = first + turn / 2
    return cx + r * math.cos(middle), height - (cy + r * math.sin(middle))


def test_svg_is_true_to_size():
    laid = layout(top(), SHEET)
    root = svg_root(laid)
    assert (root.get("width"), root.get("height")) == ("190mm", "277mm")
    assert root.get("viewBox") == "0 0 190 277"
    assert root.find(f"{NAMESPACE}title").text == "Vanity top"


def test_svg_outline_has_its_notch_in_place():
    laid = layout(top(), SHEET)
    (path,) = [p for p in svg_root(laid).iter(f"{NAMESPACE}path") if p.get("data-record") == "top-1"]
    found = svg_points(path, laid.height)
    outline = [laid.place(p) for p in cut_outline(top()).points]
    for drawn, expected in itertools.zip_longest(found, outline):
        assert drawn == pytest.approx(expected, abs=1e-4)
    ring = Polygon(found)
    left, bottom, right, upper = ring.bounds
    step = NOTCH[0] / laid.one_to / 2
    assert ring.distance(Point((left + step, bottom + step))) > 0
    for corner in ((right - step, bottom + step), (left + step, upper - step)):
        assert ring.distance(Point(corner)) == 0


@pytest.mark.parametrize("bulge", [0.3, -0.3, 1.0, -1.0, 2.5, -2.5])
def test_svg_arcs_turn_as_their_bulges_say(bulge):
    from ezdxf.math import bulge_to_arc

    curve = Polyline(((0, 0), (60, 20)), (bulge, 0.0), role=Role.FINISHED, layer=Layer.NOTE)
    laid = layout(Drawing((curve,)), SHEET, 2)
    (path,) = svg_root(laid).iter(f"{NAMESPACE}path")
    points = svg_points(path, laid.height)
    steps = re.findall(r"A([^MLAZ]*)", path.get("d"))
    middles = [
        svg_arc_middle(start, step, laid.height) for start, step in zip(points[:-1], steps, strict=True)
    ]
    # The sagitta is bulge times half the chord, to the right of the way for a positive bulge
    # (DXF reference, group code 42); an arc in two halves has its middle where they meet.
    expected = laid.place((30 + bulge * 10, 10 - bulge * 30))
    found = points[1] if len(steps) == 2 else middles[0]
    assert found == pytest.approx(expected, abs=1e-3)
    centre, _, _, radius = bulge_to_arc(laid.place((0, 0)), laid.place((60, 20)), bulge)
    for middle in middles:
        assert math.dist(middle, (centre.x, centre.y)) == pytest.approx(radius, abs=2e-3)


def test_svg_letters_stand_and_turn_as_the_layout_says():
    laid = layout(tall_panel(), SHEET)
    expected = [mark for mark in laid.marks if isinstance(mark, Lettering)]
    found = list(svg_root(laid).iter(f"{NAMESPACE}text"))
    assert [("".join(t.itertext())) for t in found] == [mark.text for mark in expected]
    for text, mark in zip(found, expected, strict=True):
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", text.get("transform"))]
        assert (numbers[0], laid.height - numbers[1]) == pytest.approx(mark.at, abs=1e-3)
        assert -sum(numbers[2:]) == pytest.approx(math.degrees(mark.angle), abs=1e-3)
        assert "scale" not in text.get("transform")


def test_svg_escapes_words_and_records():
    note = Text((0, 0), 'a < b & "c"', record='x"<&')
    line = Polyline(((0, 0), (50, 0)), role=Role.FINISHED, layer=Layer.NOTE)
    (text,) = svg_root(layout(Drawing((line, note), "A & B <1>"), SHEET)).iter(f"{NAMESPACE}text")
    assert "".join(text.itertext()) == 'a < b & "c"'
    assert text.get("data-record") == 'x"<&'


def test_svg_text_depends_on_the_drawing_alone():
    assert svg.to_svg(layout(top(), SHEET)) == svg.to_svg(layout(top(), SHEET))


# --- One piece, three formats ----------------------------------------------------------------


def test_the_three_formats_agree_on_every_corner():
    laid = layout(rounded(), SHEET)
    from_dxf = [laid.place(v[:2]) for v in vertices(outline_of(written(rounded())[1]))]
    (path,) = [p for p in svg_root(laid).iter(f"{NAMESPACE}path") if p.get("data-record") == "shelf"]
    from_svg = svg_points(path, laid.height)
    page = pdf_page(laid)
    from_pdf = [point for points, _ in pdf_paths(page) for point in points]
    assert len(from_dxf) == 8
    for corner in from_dxf:
        assert min(math.dist(corner, point) for point in from_svg) < 1e-3
        assert min(math.dist(corner, point) for point in from_pdf) < 1e-3


def test_an_ordinate_names_the_notch_from_the_right_end():
    """The number beside the notch is its distance from the datum, measured in the PDF itself."""
    corner = NOTCH[0]
    drawing = Drawing(
        (
            cut_outline(top()),
            Ordinate((LENGTH, 0), (corner, 0), Axis.X, f"{LENGTH - corner:.1f}"),
        )
    )
    laid = layout(drawing, SHEET)
    page = pdf_page(laid)
    tall = [line for line in page.lines if abs(line["x1"] - line["x0"]) < 0.01]
    positions = sorted({round(on_paper(page, (line["x0"], 0))[0], 3) for line in tall})
    assert (positions[-1] - positions[0]) * laid.one_to == pytest.approx(LENGTH - corner, abs=0.05)
    assert f"{LENGTH - corner:.1f}" in "".join(char["text"] for char in page.chars)
