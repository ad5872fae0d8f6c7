"""Any piece gets pages: invented ones with notches at all sides, cut-outs and stations, slim or tall.

Held to three things: nothing lies on anything, everything stays on the paper, and every number that the
report gives for a corner or a centre is on the page somewhere.
"""

import io
import math

import pdfplumber
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pdf_reading import collisions
from report_zoo import INCH, METRIC, Shop, combed, report
from sample_reports import sample_report, survey_of
from test_book_collisions import around, crossed

from survey.drawing import LaidOut, Lettering
from survey.drawing.piece_words import typeset
from survey.handover.book.content import Book
from survey.handover.book.paper import MARGIN, sheet_of
from survey.handover.book.piece_pages import piece_pages
from survey.handover.pdf import draw, open_pdf
from survey.records import Survey
from survey.report.structs import CutOutReport, EdgeReport, NotchCorner, PieceReport

QUARTER = math.tan(math.pi / 8)
"""Bulge of a quarter circle."""
POINT = 72 / 25.4
"""PDF points in a millimetre."""
SIZES = st.tuples(
    st.sampled_from([75.0, 240.0, 600.0, 1400.0, 2600.0]), st.sampled_from([60.0, 420.0, 2300.0])
)
COUNTS = st.fixed_dictionaries({side: st.integers(0, 6) for side in ("front", "right", "back", "left")})
FROM = "from the left end", "from the front"


def notches_of(shop, side, count, width, depth):
    """Give notches evenly along a side, in the direction that the ring runs, and the points of the ring."""
    size = width if side in ("front", "back") else depth
    deep = 0.08 * (depth if side in ("front", "back") else width)
    points, notches = [], []
    for i in range(count):
        first, last = size * (i + 0.37) / (count + 0.2), size * (i + 0.74) / (count + 0.2)
        ring = [(first, 0.0), (first, deep), (last, deep), (last, 0.0)]
        if side == "front":
            corners = ring
        elif side == "right":
            corners = [(width - v, u) for u, v in ring]
        elif side == "back":
            corners = [(width - u, depth - v) for u, v in ring]
        else:
            corners = [(v, depth - u) for u, v in ring]
        points += corners
        notches.append(shop.notch(f"{side}-{i + 1}", 2, *FROM, corners))
    return points, notches


def invented(step, size, counts, holes, is_scribed):
    """Give a piece; its ring runs along the front, up the right end, back, down the left end."""
    shop = Shop(step)
    width, depth = size
    start = {"front": (0.0, 0.0), "right": (width, 0.0), "back": (width, depth), "left": (0.0, depth)}
    outline, notches = [], []
    for side, corner in start.items():
        points, made = notches_of(shop, side, counts[side], width, depth)
        outline += [corner, *points]
        notches += made
    over = shop.allowance(3.0, 1.2) if is_scribed else None
    more = over.total.cut_mm if over else 0.0
    stations = [(share * depth, 2.0 + share) for share in (0.0, 0.25, 0.5, 0.75, 1.0)]
    left = (
        shop.scribed("left", "wall left", "from the front", over, stations)
        if over
        else EdgeReport("left", "wall left", "net", gap=shop.size(2))
    )
    return PieceReport(
        "invented",
        "panel",
        "ready",
        material="oak",
        grain="along width",
        datum="front edge and left end",
        finished=shop.named(width=width, depth=depth, thickness=20),
        blank=shop.named(width=width + more, depth=depth, thickness=20),
        outline=tuple(outline),
        blank_outline=((-more, 0.0), (width, 0.0), (width, depth), (-more, depth)),
        edges=(left, EdgeReport("back", "wall back", "net", gap=shop.size(2))),
        notches=tuple(notches),
        cut_outs=tuple(cut_out(shop, i, holes, width, depth) for i in range(holes)),
        confidence=0.95,
        limits="all of it together",
    )


def cut_out(shop, i, count, width, depth):
    """Give a hole in the middle of a piece; every other one a circle."""
    x, y, half = width * (i + 1) / (count + 1), depth * 0.47, min(0.07 * depth, 0.2 * width / (count + 1))
    size, centre = shop.size(2 * half), NotchCorner(shop.size(x), shop.size(y))
    if i % 2:
        ring = tuple((x + half * math.cos(a / 9), y + half * math.sin(a / 9)) for a in range(56))
        arcs = tuple((x + half * u, y + half * v, QUARTER) for u, v in ((1, 0), (0, 1), (-1, 0), (0, -1)))
        return CutOutReport(f"hole-{i + 1}", "oval", size, size, centre, *FROM, ring=ring, arcs=arcs)
    ring = ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))
    return CutOutReport(f"hole-{i + 1}", "rectangle", size, size, centre, *FROM, ring=ring)


def pages_of(piece, step, paper):
    made = report(piece, step=step)
    sheet = sheet_of(made.unit, paper)
    return sheet, piece_pages(Book(Survey([]), made, sheet), piece)


def written(sheet, blocks):
    """Write pages as a PDF, and give it as pdfplumber reads it."""
    file = io.BytesIO()
    canvas = open_pdf(file, sheet.size)
    for block in blocks:
        marks = tuple(block.at(MARGIN, sheet.size[1] - MARGIN - block.height))
        draw(canvas, LaidOut(marks, *sheet.size, 1.0, (0.0, 0.0)), 0.0, 0.0)
        canvas.showPage()
    canvas.save()
    return pdfplumber.open(io.BytesIO(file.getvalue()))


def left_out(piece, blocks):
    """List the corners, centres and names of the report that are lettered nowhere."""
    said = {
        word
        for block in blocks
        for mark in block.at(0.0, 0.0)
        if isinstance(mark, Lettering)
        for word in (mark.text, *mark.text.split(" × "), mark.text.removesuffix(" mm"))
    }
    corners = [corner for notch in piece.notches for corner in notch.corners]
    corners += [one.centre for one in piece.cut_outs]
    numbers = {typeset(size.text).removesuffix(" mm") for one in corners for size in (one.across, one.deep)}
    names = {one.around for one in piece.notches} | {one.name for one in piece.cut_outs}
    return {one for one in numbers | names if one not in said}


def check(piece, step, paper):
    sheet, blocks = pages_of(piece, step, paper)
    assert left_out(piece, blocks) == set()
    with written(sheet, blocks) as book:
        for page in book.pages:
            assert collisions(page) == []
            found = crossed(page)
            assert found == [], around(page, found[0])
            for char in page.chars:
                assert min(char["x0"], char["top"]) > 0.9 * MARGIN * POINT
                assert char["x1"] < page.width - 0.9 * MARGIN * POINT
                assert char["bottom"] < page.height - 0.9 * MARGIN * POINT


@settings(max_examples=12, deadline=None, derandomize=True)
@given(
    step=st.sampled_from([INCH, METRIC]),
    size=SIZES,
    counts=COUNTS,
    holes=st.integers(0, 3),
    is_scribed=st.booleans(),
    paper=st.sampled_from(["A4", "Letter"]),
)
def test_any_piece_is_set_with_all_its_numbers_and_nothing_on_anything(
    step, size, counts, holes, is_scribed, paper
):
    check(invented(step, size, counts, holes, is_scribed), step, paper)


@pytest.mark.parametrize("count", [20, 34])
def test_many_notches_on_a4(count):
    check(combed(METRIC, count), METRIC, "A4")


def test_a_number_left_out_is_noticed():
    piece = invented(METRIC, (600.0, 420.0), {"front": 2, "right": 0, "back": 1, "left": 0}, 1, False)
    _, blocks = pages_of(piece, METRIC, "A4")
    other = invented(METRIC, (600.0, 420.0), {"front": 3, "right": 0, "back": 1, "left": 0}, 1, False)
    assert "front-3" in left_out(other, blocks)


def test_a_piece_over_two_pages_keeps_its_numbers_in_the_picture_and_its_name_on_both():
    made = sample_report("sink-wall")
    (piece,) = [one for one in made.pieces if one.name == "vanity-top"]
    sheet = sheet_of(made.unit)
    blocks = piece_pages(Book(survey_of("sink-wall"), made, sheet), piece)
    told = [[mark.text for mark in one.at(0.0, 0.0) if isinstance(mark, Lettering)] for one in blocks]
    assert len(told) == 2
    assert told[0][0] == "vanity-top"
    assert told[1][0] == "vanity-top, continued"
    centre = piece.cut_outs[0].centre
    assert {typeset(centre.across.text), typeset(centre.deep.text)} <= set(told[0])
