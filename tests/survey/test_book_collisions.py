"""No word of a job book lies on another or on a line, on any page of any sample, by the PDF's own boxes.

What counts as a line: every stroke that is drawn. A word's own leader ends beside it; rules of tables and
frames stand clear of their words. Letters are taken from the baseline to the height of capitals, shrunk by a
hair, because accents and commas reach past that without touching anything.
"""

import io

import pdfplumber
import pytest
from pdf_reading import POINT, collisions, ink
from sample_reports import sample_report, survey_of
from shapely import LineString, STRtree, box
from thorough import many

from survey.drawing import LaidOut, Role, Stroke, letter
from survey.handover.book.content import Book
from survey.handover.book.paper import sheet_of
from survey.handover.job_book import job_book
from survey.handover.pdf import draw, open_pdf
from survey.samples import sample_names

HAIR = 0.35 / POINT
"""A third of a millimetre, in points: less than this is no overlap that anybody sees."""


def strokes(page):
    """Yield every drawn segment of a page as a line, in points with y up, arrow heads left out."""
    height = float(page.height)
    for one in page.lines:
        yield LineString([(x, height - y) for x, y in one["pts"]])
    for one in page.curves:
        if not one["fill"] and len(one["pts"]) > 1:
            yield LineString([(x, height - y) for x, y in one["pts"]])
    for one in page.rects:
        if not one["fill"]:
            yield LineString(box(one["x0"], one["y0"], one["x1"], one["y1"]).exterior.coords)


def crossed(page):
    """List letters that a stroke runs through."""
    letters = [char for char in page.chars if char["text"].strip()]
    boxes = [ink(char).buffer(-HAIR) for char in letters]
    lines = [line for line in strokes(page) if line.length > 0]
    tree = STRtree(lines)
    found = []
    for i, j in zip(*tree.query(boxes, predicate="intersects"), strict=True):
        if not boxes[i].is_empty:
            found.append(
                (letters[i]["text"], round(letters[i]["x0"]), round(letters[i]["top"]), lines[j].bounds)
            )
    return found


def around(page, char):
    """Give the words around a letter, for the message."""
    near = page.within_bbox(
        (
            max(0, char[1] - 60),
            max(0, char[2] - 6),
            min(char[1] + 90, page.width),
            min(char[2] + 16, page.height),
        )
    )
    return near.extract_text()


# Every sample on its unit's paper; on the other one too where there is most to set.
PAPERS = [*((name, None) for name in sample_names()), ("sink-wall", "A4")]
BOTH = [(name, paper) for name in sample_names() for paper in ("A4", "Letter")]


@pytest.mark.parametrize(("name", "paper"), many(PAPERS, BOTH))
def test_no_word_lies_on_a_word_or_a_line(name, paper):
    report = sample_report(name)
    content = job_book(Book(survey_of(name), report, sheet_of(report.unit, paper)))
    with pdfplumber.open(io.BytesIO(content)) as book:
        assert len(book.pages) > len([one for one in report.pieces if one.status != "not ready"])
        for number, page in enumerate(book.pages, start=1):
            assert collisions(page) == [], f"page {number}"
            found = crossed(page)
            assert found == [], f"page {number}: {around(page, found[0])!r}"


def test_a_line_through_a_word_is_found():
    file = io.BytesIO()
    canvas = open_pdf(file, (100, 50))
    marks = (letter("finished 22", (10, 20)), Stroke(((5, 21), (60, 21.5)), Role.DIMENSION))
    draw(canvas, LaidOut(marks, 100, 50, 1, (0, 0)), 0, 0)
    canvas.showPage()
    canvas.save()
    with pdfplumber.open(io.BytesIO(file.getvalue())) as book:
        assert crossed(book.pages[0])
