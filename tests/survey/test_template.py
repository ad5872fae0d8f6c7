"""Full-size templates, read back from the PDF alone and put together as somebody with tape would."""

import io
import itertools
import math
import re
from collections import defaultdict
from dataclasses import dataclass
from string import ascii_uppercase

import numpy as np
import pdfplumber
import pypdf
import pytest
from cli_bench import run
from msgspec.structs import replace
from pdf_reading import POINT, collisions, pages
from report_zoo import (
    METRIC,
    alcove_top,
    cabinet,
    combed,
    corner_top,
    filler,
    not_ready,
    report,
    sink_top,
    tall_panel,
)
from shapely import LineString, Point, Polygon, box, union_all
from test_hand_over import SURVEY, names, of_survey

from survey.errors import SurveyError
from survey.file import SurveyFile
from survey.handover.template import TemplateAsked, template
from survey.handover.tiling import LONGEST, MARGIN, OVERLAP, PAPERS, STRIP, paper_named, tiled
from survey.handover.wanted import Wanted
from survey.handover.write import hand_over
from survey.samples import sample_survey

ZOO = {
    "corner": (corner_top(), "A4", ""),
    "corner, back": (corner_top(), "A4", "back"),
    "corner, left": (corner_top(), "Letter", "left"),
    "sink": (sink_top(), "A3", ""),
    "sink, roll": (sink_top(), "roll 24 in", ""),
    "filler": (filler(), "Letter", ""),
    "alcove": (alcove_top(), "A2", ""),
    "panel": (tall_panel(), "Arch C", ""),
    "panel, bottom": (tall_panel(), "A4", "bottom"),
    "comb": (combed(), "A4", "back"),
}


def made(key: str) -> bytes:
    piece, paper, edge = ZOO[key]
    return template(report(piece, step=METRIC), piece.name, paper_named(paper), edge)


@pytest.fixture(scope="module", params=ZOO)
def zoo(request):
    """Give a piece, the edge asked for, and its template."""
    return ZOO[request.param][0], ZOO[request.param][2], made(request.param)


@dataclass
class Sheet:
    """One page as read, mm from its lower left."""

    page: object
    frame: tuple[float, float, float, float]
    marks: dict[str, tuple[float, float]]
    """Centres of rings, by their letter: seams' and P, Q (as `far P`)."""
    crosses: list[tuple[float, float]]
    solid: list[list[tuple[float, float]]]
    """Paths drawn with a heavy pen, whole even where the sheet cuts them off."""
    shift: tuple[float, float] = (0.0, 0.0)

    def put(self, p):
        return p[0] + self.shift[0], p[1] + self.shift[1]

    @property
    def window(self):
        left, bottom, right, top = self.frame
        return box(*self.put((left, bottom)), *self.put((right, top)))


def paths(page):
    """Yield every stroked path with its pen's weight, mm."""
    for one in [*page.lines, *page.curves, *page.rects]:
        points = [(x * POINT, (float(page.height) - y) * POINT) for x, y in one["pts"]]
        yield points, one["linewidth"] * POINT


def read(content: bytes) -> list[Sheet]:
    """Read every sheet but the map."""
    return [_sheet(page) for page in pages(content)[1:]]


def _sheet(page) -> Sheet:
    every = list(paths(page))
    solid = [points for points, weight in every if weight == pytest.approx(0.5, abs=1e-3)]
    rings, flat, upright, frames = [], [], [], []
    for points, weight in every:
        if weight == pytest.approx(0.5, abs=1e-3):
            continue
        xs, ys = zip(*points, strict=True)
        wide, tall = max(xs) - min(xs), max(ys) - min(ys)
        middle = ((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2)
        if len(points) == 2 and (wide, tall) == pytest.approx((8.0, 0.0), abs=1e-3):
            flat.append(middle)
        elif len(points) == 2 and (wide, tall) == pytest.approx((0.0, 8.0), abs=1e-3):
            upright.append(middle)
        elif len(points) > 3 and wide == pytest.approx(5.2, abs=1e-3) == tall:
            rings.append(middle)
        elif len(points) in (4, 5) and weight < 0.3:
            frames.append((min(xs), min(ys), max(xs), max(ys)))
    crosses = [p for p in flat if any(math.dist(p, q) < 1e-3 for q in upright)]
    letters = [
        (
            (char["x0"] + char["x1"]) / 2 * POINT,
            (float(page.height) - (char["top"] + char["bottom"]) / 2) * POINT,
        )
        for char in page.chars
    ]
    marks = {}
    for ring in rings:
        is_far = any(math.dist(ring, p) < 1e-3 for p in crosses)
        reach, allowed = (8.0, "PQ") if is_far else (2.6, ascii_uppercase)
        inside = [
            char["text"]
            for char, p in zip(page.chars, letters, strict=True)
            if math.dist(p, ring) < reach and char["text"] in allowed
        ]
        marks[("far " if is_far else "") + "".join(inside)] = ring
    seen = max(
        (one for one in frames if one[0] == pytest.approx(MARGIN + STRIP[0], abs=1e-3)),
        key=lambda one: (one[2] - one[0]) * (one[3] - one[1]),
    )
    return Sheet(page, seen, marks, crosses, solid)


def taped(content: bytes) -> list[Sheet]:
    """Put the sheets together by the letters that two of them share; the first stays where it is."""
    sheets = read(content)
    placed, left = [sheets[0]], sheets[1:]
    while left:
        one, other, letter = next(
            (one, other, letter)
            for one in left
            for other in placed
            for letter in one.marks.keys() & other.marks.keys()
            if not letter.startswith("far")
        )
        x, y = other.put(other.marks[letter])
        one.shift = (x - one.marks[letter][0], y - one.marks[letter][1])
        placed.append(one)
        left.remove(one)
    return placed


def onto_piece(sheets, piece):
    """Move what was taped so that the first vertex lies where the report has it."""
    wanted = piece.outline[0]
    x, y = sheets[0].put(outline_on(sheets[0], piece)[0])
    for sheet in sheets:
        sheet.shift = (sheet.shift[0] + wanted[0] - x, sheet.shift[1] + wanted[1] - y)
    return sheets


def outline_on(sheet, piece):
    """Return the piece's ring on a sheet: of the heavy paths the one that reaches farthest."""
    return max(sheet.solid, key=lambda path: Polygon(path).area)


def test_taped_together_it_is_the_outline(zoo):
    piece, _, content = zoo
    for sheet in onto_piece(taped(content), piece):
        drawn = [sheet.put(p) for p in outline_on(sheet, piece)]
        for vertex in piece.outline:
            assert min(math.dist(vertex, p) for p in drawn) < 0.01
        if not piece.bulges:
            assert LineString([*drawn, drawn[0]]).hausdorff_distance(Polygon(piece.outline).exterior) < 0.01


def test_what_is_asked_for_is_seen_on_some_sheet(zoo):
    piece, edge, content = zoo
    seen = union_all([sheet.window.buffer(0.01) for sheet in onto_piece(taped(content), piece)])
    if not edge:
        assert seen.covers(Polygon(piece.outline))
        assert seen.covers(Polygon(piece.blank_outline))
        return
    ring = Polygon(piece.outline)
    left, bottom, right, top = ring.bounds
    middle = ((left + right) / 2, (bottom + top) / 2)
    at = {
        "back": (middle[0], top),
        "left": (left, middle[1]),
        "bottom": (middle[0], bottom),
    }[edge]
    along = {
        "back": box(left, top - 30, right, top),
        "left": box(left, bottom, left + 30, top),
        "bottom": box(left, bottom, right, bottom + 30),
    }[edge]
    assert seen.distance(Point(at)) == 0
    assert seen.covers(ring.exterior.intersection(along))


def test_the_outline_is_ink_on_the_paper_where_a_sheet_shows_it(zoo):
    """The renderer is another one (PDFium): neither a clip nor a white pen hides a part of the line."""
    piece, _, content = zoo
    looked = 0
    for sheet in read(content):
        image = sheet.page.to_image(resolution=72).original.convert("L")
        dark = np.asarray(image) < 200
        left, bottom, right, top = sheet.frame
        for path in sheet.solid:
            spots = list(path)
            if not piece.bulges:
                spots += [
                    (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
                    for a, b in itertools.pairwise([*path, path[0]])
                    for share in np.linspace(0.1, 0.9, 9)
                ]
            for x, y in spots:
                if left + 1 < x < right - 1 and bottom + 1 < y < top - 1:
                    column, row = int(x / POINT), int(float(sheet.page.height) - y / POINT)
                    assert dark[max(0, row - 2) : row + 3, max(0, column - 2) : column + 3].any(), (x, y)
                    looked += 1
    assert looked > 10


def test_crosses_of_neighbours_lie_on_each_other(zoo):
    _, _, content = zoo
    sheets = taped(content)
    count = 0
    for one, other in itertools.combinations(sheets, 2):
        shared = [letter for letter in one.marks.keys() & other.marks.keys() if not letter.startswith("far")]
        if not shared:
            continue
        overlap = one.window.intersection(other.window)
        for first, second in ((one, other), (other, one)):
            in_first = [first.put(p) for p in first.crosses if overlap.covers(Point(first.put(p)))]
            on_both = [p for p in in_first if any(math.dist(p, second.put(q)) < 0.01 for q in second.crosses)]
            assert len(on_both) >= 2
            count += 1
    assert count >= 2 * (len(sheets) - 1)


def test_neighbours_overlap_by_what_the_map_says(zoo):
    _, _, content = zoo
    sheets = taped(content)
    said = re.search(r"overlap by ([\d.]+) mm", pages(content)[0].extract_text())
    assert (said is None) == (len(sheets) == 1)
    for one, other in itertools.combinations(sheets, 2):
        if any(not letter.startswith("far") for letter in one.marks.keys() & other.marks.keys()):
            left, bottom, right, top = one.window.intersection(other.window).bounds
            assert min(right - left, top - bottom) == pytest.approx(float(said[1]), abs=0.01)
            assert min(right - left, top - bottom) == pytest.approx(OVERLAP, abs=0.01)


def test_every_sheet_has_true_scale_bars_both_ways(zoo):
    _, _, content = zoo
    for page in pages(content)[1:]:
        spans = defaultdict(int)
        for points, _ in paths(page):
            if len(points) == 2:
                across, up = (abs(a - b) for a, b in zip(*points, strict=True))
                for length in (100.0, 101.6):
                    spans[length, "flat"] += abs(across - length) < 1e-3 and up < 1e-6
                    spans[length, "upright"] += abs(up - length) < 1e-3 and across < 1e-6
        assert all(spans[length, way] >= 1 for length in (100.0, 101.6) for way in ("flat", "upright"))
        told = page.extract_text()
        assert "100 mm" in told
        assert "4 in" in told


def test_the_two_far_crosses_are_as_far_apart_as_is_printed(zoo):
    _, _, content = zoo
    sheets = taped(content)
    at = {
        letter[-1]: sheet.put(p)
        for sheet in sheets
        for letter, p in sheet.marks.items()
        if letter.startswith("far")
    }
    assert set(at) == {"P", "Q"}
    apart = math.dist(at["P"], at["Q"])
    for page in pages(content):
        said = re.search(r"P to Q ([\d.]+) mm \(([\d.]+)\s*in\)", " ".join(page.extract_text().split()))
        assert float(said[1]) == pytest.approx(apart, abs=0.06)
        assert float(said[2]) == pytest.approx(apart / 25.4, abs=0.006)
    reach = union_all([sheet.window for sheet in sheets]).bounds
    assert apart > 0.6 * math.dist(reach[:2], reach[2:])


@pytest.mark.parametrize(
    ("key", "gone"),
    [("corner", (-1420.0, 40.0)), ("alcove", (270.0, 400.0)), ("panel", (-582.0, 70.0))],
)
def test_a_notch_stays_on_its_side(key, gone):
    """`gone` is in the notch (by hand from the zoo); its mirror image is wood."""
    piece = ZOO[key][0]
    sheet = onto_piece(taped(made(key)), piece)[0]
    ring = Polygon([sheet.put(p) for p in outline_on(sheet, piece)])
    left, bottom, right, top = ring.bounds
    assert not ring.covers(Point(gone))
    assert ring.covers(Point(left + right - gone[0], gone[1]))
    assert ring.covers(Point(gone[0], bottom + top - gone[1]))


def test_words_are_never_mirrored_and_read_from_below_or_from_the_right(zoo):
    _, _, content = zoo
    for page in pages(content):
        for char in page.chars:
            a, b, c, d, *_ = char["matrix"]
            assert a * d - b * c > 0
            assert (a > 0 and abs(b) < 1e-6) or (b > 0 and abs(a) < 1e-6)


def test_every_sheet_says_what_it_is(zoo):
    piece, _, content = zoo
    every = pages(content)
    for number, page in enumerate(every, 1):
        told = " ".join(page.extract_text().split())
        assert f"page {number} of {len(every)}" in told
        assert piece.name in told
        assert "revision" in told
        assert "show face" in told


def test_the_lines_are_named_and_the_side_to_the_wall_is_told():
    told = " ".join(page.extract_text() for page in pages(made("corner, back"))[1:])
    assert told.count("this side to the wall, scribed to wall back") >= 5
    for word in ("blank line", "finished line", "grain"):
        assert word in told
    # The words of upright seams run up; those of flat ones are read as lines.
    stacked = " ".join(page.extract_text() for page in pages(made("corner, left"))[1:])
    for word in ("lay page 2 to this line", "lay page 3 to this line", "cut off along this line"):
        assert word in stacked


def test_cut_outs_are_named_with_their_centre_lines():
    sheet = read(made("sink, roll"))
    told = " ".join(one.page.extract_text() for one in sheet)
    assert "cut out: bowl for basin" in told
    bowl, tap = sorted((p for p in sheet[0].solid if p is not outline_on(sheet[0], None)), key=len)[:2]
    for ring in (bowl, tap):
        xs, ys = zip(*ring, strict=True)
        centre = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        through = [
            p
            for p, weight in paths(sheet[0].page)
            if len(p) == 2 and weight < 0.3 and LineString(p).distance(Point(centre)) < 0.01
        ]
        assert len(through) >= 2


def test_no_letter_lies_on_another(zoo):
    _, _, content = zoo
    assert [collisions(page) for page in pages(content)] == [[] for _ in pages(content)]


def test_printers_margins_are_free(zoo):
    _, _, content = zoo
    for sheet in read(content):
        left, bottom, right, top = sheet.frame
        width, height = float(sheet.page.width) * POINT, float(sheet.page.height) * POINT
        assert min(left, bottom, width - right, height - top) >= MARGIN - 1e-3
    for page in pages(content):
        for char in page.chars:
            assert char["x0"] * POINT >= MARGIN - 0.5, char["text"]
            assert char["x1"] * POINT <= float(page.width) * POINT - MARGIN + 0.5, char["text"]


def test_it_asks_not_to_be_scaled_and_same_in_same_out():
    content = made("corner")
    preferences = pypdf.PdfReader(io.BytesIO(content)).trailer["/Root"]["/ViewerPreferences"]
    assert preferences["/PrintScaling"] == "/None"
    assert made("corner") == content


@pytest.mark.parametrize(
    ("piece", "paper", "edge", "sheets"),
    [
        # Across, A4 shows 258 x 159 mm: ceil((L - 15) / 243) sheets of a strip L long; of 1435 and what is
        # left over 6, of 2000 9.
        (corner_top(), "A4", "back", 6),
        (combed(), "A4", "back", 9),
        # Upright, Letter shows 176.9 x 228.4 mm: of 558.8 + blank, 3.
        (corner_top(), "Letter", "left", 3),
        # All of 1435 x 559 and what is left over: across 6 x 4; upright, where A4 shows 171 x 246, 10 x 3.
        (corner_top(), "A4", "", 24),
        (corner_top(), "roll 36 in", "", 1),
        (filler(), "Arch D", "", 1),
    ],
)
def test_it_takes_as_few_sheets_as_counted_by_hand(piece, paper, edge, sheets):
    content = template(report(piece), piece.name, paper_named(paper), edge)
    assert len(pages(content)) == 1 + sheets


def test_a_piece_narrower_than_a_sheet_is_one_sheet():
    small = replace(
        filler(),
        outline=((-38.0, 0.0), (0.0, 0.0), (0.0, 150.0), (-38.0, 150.0)),
        blank_outline=(),
        edges=(),
    )
    content = template(report(small), small.name, paper_named("A4"))
    (sheet,) = read(content)
    assert sheet.marks.keys() == {"far P", "far Q"}
    assert "nothing to tape" in pages(content)[0].extract_text()


def test_sheets_without_anything_are_not_printed():
    """An L, 1,000 by 1,000 with arms of 100: of A4's 5 x 7 windows those of one row and one column."""
    shape = ((0, 0), (1000, 0), (1000, 100), (100, 100), (100, 1000), (0, 1000))
    piece = replace(alcove_top(), outline=tuple((float(x), float(y)) for x, y in shape), blank_outline=())
    piece = replace(piece, notches=(), edges=())
    content = template(report(piece), piece.name, paper_named("A4"))
    assert len(pages(content)) == 1 + 5 + 7 - 1
    assert union_all([one.window.buffer(0.01) for one in onto_piece(taped(content), piece)]).covers(
        Polygon(shape)
    )


@pytest.mark.parametrize("name", PAPERS)
def test_every_paper_is_taken_by_its_name_and_has_its_size(name):
    piece = alcove_top()
    page = pages(template(report(piece), piece.name, paper_named(name.lower())))[1]
    size = sorted((float(page.width) * POINT, float(page.height) * POINT))
    assert size == pytest.approx(sorted(PAPERS[name]), abs=1e-3)


def test_papers_are_those_of_the_standards():
    """ISO 216: each A size halves the one before, A0 is 1 m2. Arch C to E: 18 x 24, 24 x 36, 36 x 48 in."""
    assert PAPERS["A0"][0] * PAPERS["A0"][1] == pytest.approx(1e6, rel=1e-3)
    for larger, smaller in itertools.pairwise(["A0", "A1", "A2", "A3", "A4"]):
        assert PAPERS[smaller] == (PAPERS[larger][1] // 2, PAPERS[larger][0])
    inches = {name: tuple(round(one / 25.4, 6) for one in PAPERS[name]) for name in PAPERS}
    assert inches["Letter"] == (8.5, 11)
    assert inches["Tabloid"] == (11, 17)
    assert [inches[f"Arch {size}"] for size in "CDE"] == [(18, 24), (24, 36), (36, 48)]


def test_a_roll_is_as_long_as_it_takes_but_no_page_is_longer_than_a_pdf_may_be():
    long = tiled(box_of(9000.0, 300.0), paper_named("roll 610 mm"), lambda window: True)
    assert long.size == (LONGEST, 610.0)
    assert len(long.tiles) == 2
    assert LONGEST / POINT < 14_400
    short = tiled(box_of(1000.0, 300.0), paper_named("roll 610 mm"), lambda window: True)
    assert len(short.tiles) == 1
    assert short.size == pytest.approx((1000 + 2 * MARGIN + STRIP[0], 610.0))


def box_of(width, height):
    from survey.drawing import Box

    return Box(0.0, 0.0, width, height)


@pytest.mark.parametrize(
    "text", ["A5", "", "roll", "roll 10 mm", "roll 9999 in", "roll -610 mm", "roll nan mm"]
)
def test_an_unknown_paper_is_refused(text):
    with pytest.raises(SurveyError, match=r"^expected a (paper|roll).*got"):
        paper_named(text)


@pytest.mark.parametrize(
    ("name", "edge", "says"),
    [
        ("nope", "", r"expected a piece of this job .*vanity-top.*got 'nope'"),
        ("splash-left", "", r"'splash-left' is not ready .*300"),
        ("vanity", "", r"piece with an outline.*'vanity' is a cabinet"),
        ("vanity-top", "top", r"expected an edge of 'vanity-top' .*back.*got 'top'"),
        ("filler-left", "back", r"expected an edge of 'filler-left' .*left.*got 'back'"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(tmp_path, name, edge, says):
    whole = report(corner_top(), filler(), cabinet(), not_ready())
    with pytest.raises(SurveyError, match=says):
        template(whole, name, paper_named("A4"), edge)
    asked = Wanted(templates=(TemplateAsked(name, paper_named("A4"), edge),))
    with pytest.raises(SurveyError, match=says):
        hand_over(SURVEY, of_survey(whole), tmp_path / "cut", wanted=asked)
    assert names(tmp_path) == []


@pytest.mark.parametrize("name", ["a/../b", "x" * 300, "📐 top", "لوح"])
def test_awkward_names_are_shortened_and_keep_their_place(tmp_path, name):
    piece = replace(filler(), name=name)
    content = template(report(piece), name, paper_named("A4"))
    assert [collisions(page) for page in pages(content)] == [[] for _ in pages(content)]
    hand_over(
        SURVEY,
        of_survey(report(piece)),
        tmp_path / "cut",
        wanted=Wanted(templates=(TemplateAsked(name, paper_named("A4")),)),
    )
    assert any(one.startswith("template-") for one in names(tmp_path / "cut"))


def test_the_command_writes_what_is_asked_for(tmp_path):
    file = tmp_path / "job.survey"
    SurveyFile.create(file, sample_survey("corner-vanity").records).close()
    asked = ("--template", "vanity-top", "--edge", "back", "--edge", "left", "--paper", "letter")
    result = run("handover", file, "--to", tmp_path / "cut", *asked)
    mark = f"r{len(sample_survey('corner-vanity').records):04d}"
    back, left = (f"template-vanity-top-{edge}_{mark}.pdf" for edge in ("back", "left"))
    assert {back, left} < set(names(tmp_path / "cut"))
    assert str(tmp_path / "cut" / back) in result.stdout
    with pdfplumber.open(tmp_path / "cut" / back) as strip:
        assert "the back edge, a strip" in strip.pages[0].extract_text()


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--template", "vanity-top", "--paper", "A7"), "got 'A7'"),
        (("--template", "vanity-tip"), "got 'vanity-tip'"),
        (("--edge", "back"), "--template PIECE"),
    ],
)
def test_the_command_refuses_and_writes_nothing(tmp_path, options, says):
    file = tmp_path / "job.survey"
    SurveyFile.create(file, sample_survey("corner-vanity").records).close()
    result = run("handover", file, "--to", tmp_path / "cut", *options)
    assert result.exit_code == 2
    assert says in result.stderr
    assert names(tmp_path) == ["job.survey"]
