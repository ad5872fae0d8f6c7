"""Every ready outline of every sample and of the zoo, read back by readers that share no code with ours.

For DXF an own reader of group codes and `ezdxf.readfile` with its audit; for SVG `svgelements`. Area and
extents must agree with the computed outline within a micrometre.
"""

import io
import itertools
import math
import re
import warnings

import ezdxf
import pytest
from report_zoo import METRIC, alcove_top, corner_top, filler, report, sink_top, tall_panel
from sample_reports import sample_report
from shapely import Polygon
from test_backends import read_dxf, values, vertices

from survey.drawing import Layer
from survey.drawing import Polyline as DrawnLine
from survey.drawing.geometry import flatten
from survey.drawing.pieces import piece_drawing
from survey.handover.contents import outline_files
from survey.samples import sample_names

MICROMETRE = 1e-3
FINE = 1e-5
"""mm: chords of arcs here, so fine that areas of arcs agree to less than they are compared to."""


ZOO = {
    "zoo, in": report(corner_top(), tall_panel(), filler()),
    "zoo, mm": report(alcove_top(), sink_top(), step=METRIC),
}


def made_of(name):
    return ZOO[name] if name in ZOO else sample_report(name)


def polylines_r12(entities):
    """Put the vertices of old polylines to the polyline that they follow."""
    found, open_one = [], None
    for entity in entities:
        kind = entity[0][1]
        if kind == "POLYLINE":
            open_one = [entity, []]
            found.append(open_one)
        elif kind == "VERTEX":
            assert open_one is not None
            open_one[1] += vertices(entity)
        elif kind == "SEQEND":
            open_one = None
    return [(values(one, 8)[0], bool(int(values(one, 70)[0]) & 1), points) for one, points in found]


def polylines(content, form):
    """Return (layer, closed, [(x, y, bulge)]) of every polyline of a file."""
    header, entities = read_dxf(content)
    kinds = {entity[0][1] for entity in entities} - {"EOF"}
    if form == "r12":
        assert kinds <= {"POLYLINE", "VERTEX", "SEQEND", "CIRCLE", "TEXT"}
        assert header["$ACADVER"] == ["AC1009"]
        return polylines_r12(entities)
    assert kinds <= {"LWPOLYLINE", "CIRCLE", "TEXT"}
    assert header["$ACADVER"] == ["AC1015"]
    rings = [entity for entity in entities if entity[0][1] == "LWPOLYLINE"]
    return [(values(one, 8)[0], bool(int(values(one, 70)[0]) & 1), vertices(one)) for one in rings]


def expected(piece):
    """Return the closed lines of a piece's drawing by layer: what every file must hold."""
    rings = [one for one in piece_drawing(piece).items if isinstance(one, DrawnLine) and one.closed]
    return [(one.layer.value, flatten(one.points, one.bulges, True, FINE)) for one in rings]


def polygon(points, per=1.0):
    xy = [(x * per, y * per) for x, y, _ in points]
    return Polygon(flatten(xy, [bulge for _, _, bulge in points], True, FINE))


def same(found, wanted):
    apart = [abs(a - b) for a, b in zip(found.bounds, wanted.bounds, strict=True)]
    assert max(apart) < MICROMETRE
    assert abs(found.area - wanted.area) < MICROMETRE * wanted.length
    assert (
        found.symmetric_difference(wanted).area < MICROMETRE * wanted.length
    )  # so it is not mirrored either


CASES = [*sample_names(), *ZOO]


@pytest.mark.parametrize("form", ["r2000", "r12"])
@pytest.mark.parametrize("name", CASES)
def test_dxf_holds_the_outlines_and_nothing_twice(name, form):
    made = made_of(name)
    per = 25.4 if made.unit == "in" else 1.0
    named = {one.name: one for one in made.pieces}
    files = list(outline_files(made, form))
    ready = [one.name for one in made.pieces if one.outline and one.status == "ready"]
    assert [one.piece for one in files] == ready
    for file in files:
        content = file.make()
        found = polylines(content, form)
        closed = [(layer, points) for layer, is_closed, points in found if is_closed]
        wanted = expected(named[file.piece])
        assert [layer for layer, _ in closed] == [layer for layer, _ in wanted]
        for (_, points), (_, ring) in zip(closed, wanted, strict=True):
            assert points[0][:2] != points[-1][:2]
            same(polygon(points, per), Polygon(ring))
        open_ones = [layer for layer, is_closed, _ in found if not is_closed]
        assert not set(open_ones) & {"CUT", "BLANK"}
        cuts = [polygon(points, per) for layer, points in closed if layer == "CUT"]
        outer = max(cuts, key=lambda one: one.area)
        assert all(outer.covers(one) for one in cuts)
        for layer in ("CUT", "BLANK"):
            sides = [side for one, points in closed if one == layer for side in segments_of(points)]
            assert len(sides) == len(set(sides)), f"{file.name}: a segment is there twice"


def segments_of(points):
    """Return each segment whichever way it runs, to a tenth of a micrometre (in inches finer still)."""
    rounded = [(round(x, 4), round(y, 4)) for x, y, _ in points]
    return [frozenset(pair) for pair in itertools.pairwise([*rounded, rounded[0]])]


@pytest.mark.parametrize("form", ["r2000", "r12"])
@pytest.mark.parametrize("name", ["sink-wall", "study-niche"])
def test_the_library_reads_it_and_finds_no_fault(name, form, tmp_path):
    made = made_of(name)
    for file in outline_files(made, form):
        path = tmp_path / file.name
        path.write_bytes(file.make())
        document = ezdxf.readfile(path)
        audit = document.audit()
        assert (audit.errors, audit.fixes) == ([], [])
        if form == "r2000":
            assert document.header["$INSUNITS"] == {"in": 1, "mm": 4}[made.unit]
        box = [document.header[name] for name in ("$EXTMIN", "$EXTMAX")]
        assert box[0][0] < box[1][0] < 1e4
        cuts = [e for e in document.modelspace() if e.dxf.layer == "CUT"]
        assert all(e.closed if form == "r2000" else e.is_closed for e in cuts)


def test_r12_says_its_unit_in_a_word_and_in_its_name_and_letters_in_ascii():
    file = next(iter(outline_files(made_of("sink-wall"), "r12")))
    assert file.name.endswith("_in_r12.dxf")
    content = file.make()
    content.decode("ascii")
    words = [values(one, 1)[0] for one in read_dxf(content)[1] if one[0][1] == "TEXT"]
    assert "unit of this file: inch" in words
    layers = {layer for one in read_dxf(content)[1] for layer in values(one, 8)}
    assert all(len(one) <= 31 and one.isupper() and one.isascii() for one in layers)


@pytest.mark.parametrize("name", CASES)
def test_svg_is_the_outline_true_to_size(name):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from svgelements import SVG, Group, Path, Shape

    made = made_of(name)
    named = {one.name: one for one in made.pieces}
    for file in outline_files(made, "svg"):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            picture = SVG.parse(io.StringIO(without_size(file.make().decode())), reify=True)
            groups = {one.id: one for one in picture if isinstance(one, Group)}
            drawn = [
                (layer.value, ring_of(Path(shape)))
                for layer in Layer
                if layer.value in groups
                for shape in groups[layer.value].select(lambda one: isinstance(one, Shape))
            ]
        found = [(layer, ring) for layer, ring in drawn if ring]
        wanted = expected(named[file.piece])
        # SVG has its own origin, and y points down.
        left = min(x for _, ring in found for x, _ in ring) - min(x for _, ring in wanted for x, _ in ring)
        top = max(y for _, ring in found for _, y in ring) + min(y for _, ring in wanted for _, y in ring)
        turned = [(layer, Polygon([(x - left, top - y) for x, y in ring])) for layer, ring in found]
        for layer in {layer for layer, _ in (*wanted, *found)}:
            ours = sorted((Polygon(ring) for one, ring in wanted if one == layer), key=lambda one: one.area)
            theirs = sorted((ring for one, ring in turned if one == layer), key=lambda one: one.area)
            for ring, mine in zip(theirs, ours, strict=True):
                same(ring, mine)


def without_size(text):
    """Check that a user unit is a millimetre, and leave that to the reader no more: its inch is rounded."""
    size = re.search(r'width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 ([\d.]+) ([\d.]+)"', text)
    assert size is not None
    assert (size[1], size[2]) == (size[3], size[4])
    return text.replace(size[0], "")


def ring_of(path):
    """Draw a closed path of lines and arcs out; nothing of one that is open."""
    from svgelements import Arc, Close, Line, Move

    points = []
    for step in path:
        if isinstance(step, Arc):
            turn = abs(step.sweep)
            radius = max(step.rx, step.ry)
            count = max(2, math.ceil(turn / (2 * math.acos(1 - FINE / radius))))
            points += [(p.x, p.y) for p in (step.point(i / count) for i in range(1, count + 1))]
        elif isinstance(step, (Line, Move)):
            points.append((step.end.x, step.end.y))
        else:
            assert isinstance(step, Close)
    if not points or not isinstance(path[-1], Close):
        return []
    return points[:-1] if math.dist(points[0], points[-1]) < FINE else points
