"""The job book, read back with pdfplumber and pypdf."""

import io
import math

import pypdf
import pytest
from msgspec.structs import replace
from pdf_reading import CAPITAL, POINT, collisions, em, pages, text
from report_zoo import (
    FINDINGS,
    METRIC,
    PIECES,
    REPORTS,
    STUDS,
    cabinet,
    combed,
    corner_top,
    filler,
    framed_face,
    not_ready,
    report,
    sink_top,
    tall_panel,
)

from survey.dictation import dictate
from survey.drawing import Lettering
from survey.finding import Finding
from survey.handover.book.content import Book
from survey.handover.book.paper import MARGIN, sheet_of
from survey.handover.job_book import job_book, job_book_pages
from survey.records import Survey
from survey.report.structs import (
    ChanceReport,
    Dimension,
    Likelihood,
    NextReading,
    OrderStep,
    UnfoundReport,
    WayStepReport,
)

JOB = Survey(dictate(['job "Hall bathroom" in inches to 1/16'], Survey([])))


def book_of(made, **more):
    """Give a book of a report alone; its survey is empty, but for what is said."""
    return Book(more.get("survey", Survey([])), made, sheet_of(made.unit))


def bound(made, **more) -> bytes:
    return job_book(book_of(made, **more))


def leaves(made, told=None):
    return job_book_pages(book_of(made), told)


@pytest.fixture(scope="module", params=REPORTS)
def sheet(request):
    return bound(REPORTS[request.param]())


@pytest.fixture(scope="module", params=PIECES)
def single(request):
    make = PIECES[request.param]
    is_inch = request.param in ("corner top", "filler", "tall panel", "cabinet", "not ready")
    return bound(report(make()) if is_inch else report(make(), step=METRIC))


def test_no_letter_lies_on_another(sheet):
    assert [collisions(page) for page in pages(sheet)] == [[] for _ in pages(sheet)]


def test_no_letter_lies_on_another_for_any_piece_alone(single):
    assert [collisions(page) for page in pages(single)] == [[] for _ in pages(single)]


def test_the_search_for_collisions_finds_one():
    from survey.drawing import LaidOut, letter
    from survey.handover.pdf import draw, open_pdf

    file = io.BytesIO()
    canvas = open_pdf(file, (100, 50))
    marks = (letter("first words", (10, 20)), letter("second words", (12, 21)))
    draw(canvas, LaidOut(marks, 100, 50, 1, (0, 0)), 0, 0)
    canvas.showPage()
    canvas.save()
    assert collisions(pages(file.getvalue())[0])


def test_everything_stays_inside_the_margins(sheet):
    for page in pages(sheet):
        things = [*page.chars, *page.lines, *page.curves, *page.rects]
        assert min(one["x0"] for one in things) * POINT >= MARGIN - 0.5
        assert max(one["x1"] for one in things) * POINT <= float(page.width) * POINT - MARGIN + 0.5
        assert min(one["top"] for one in things) * POINT >= MARGIN - 2.0
        assert max(one["bottom"] for one in things) * POINT <= float(page.height) * POINT - MARGIN + 2.0


def test_letters_are_never_smaller_than_the_smallest_that_is_lettered(sheet):
    """1.8 mm capitals (ISO 3098), the digits of fractions seven tenths of that at least."""
    sizes = [em(char) * POINT * CAPITAL for page in pages(sheet) for char in page.chars]
    assert min(sizes) >= 0.7 * 1.8 - 0.01


@pytest.mark.parametrize(
    ("name", "expected"),
    [("vanity", (215.9, 279.4)), ("alcove", (210.0, 297.0))],
)
def test_inches_are_on_letter_and_millimetres_on_a4(name, expected):
    for page in pages(bound(REPORTS[name]())):
        size = (float(page.width) * POINT, float(page.height) * POINT)
        assert size == pytest.approx(expected, abs=0.01)


def test_further_pages_are_numbered():
    content = bound(REPORTS["everything in mm"]())
    count = len(pages(content))
    assert count > 2
    assert [f"page {i + 1} of {count}" in (p.extract_text() or "") for i, p in enumerate(pages(content))] == [
        True
    ] * count


def test_head_says_title_unit_fraction_confidence_and_revision():
    words = text(bound(REPORTS["vanity"]()))
    assert "Hall bathroom" in words
    assert "All sizes in inches, to the nearest 1⁄16″" in words
    assert "99 % chance" in words
    assert "(1a2b3c4d)" in words
    assert "All sizes in millimetres, to the nearest 1 mm" in text(bound(REPORTS["alcove"]()))


def test_list_has_finished_and_blank_sizes():
    words = text(bound(report(corner_top())))
    assert "56 1⁄2″ × 22″ × 1 1⁄4″" in words
    assert "56 7⁄8″ × 22 3⁄8″ × 1 1⁄4″" in words
    assert "width × depth × thickness" in words
    assert "1435 × 559 × 32" in text(bound(report(corner_top(METRIC), step=METRIC)))


def test_notch_corners_and_scribe_depths_are_tabled():
    words = text(bound(report(corner_top())))
    for row in ("56 7⁄16″ 3 5⁄8″", "53 7⁄8″ 3 5⁄8″", "53 7⁄8″ 0″"):
        assert row in words
    assert "from the right end from the front" in words.replace("\nend", " end") or "from the right" in words
    assert "left, scribed to wall left: plane off 1⁄8″ to 1⁄4″" in words
    assert words.count("plane off") == 4


def test_stations_printed_are_stations_of_the_report():
    piece = corner_top(METRIC)
    words = text(bound(report(piece, step=METRIC)))
    (line,) = [line for line in words.splitlines() if line.startswith("from the right end 0 ")]
    back = next(edge for edge in piece.edges if edge.edge == "back")
    places = [float(place) for place in line.removeprefix("from the right end ").split()]
    assert len(places) >= 5
    assert set(places) <= {station.at.cut_mm for station in back.scribe}
    assert (places[0], places[-1]) == (back.scribe[0].at.cut_mm, back.scribe[-1].at.cut_mm)


def test_bench_and_van_find_their_words():
    goes = WayStepReport("front-door", "goes", "", sink_top().finished[2].size, "on edge")
    stuck = WayStepReport("hall-corner", "does not go", "", helps=("leave it in two", "take the door off"))
    day = (
        OrderStep(1, "strike the level line", why="everything is measured from it"),
        OrderStep(2, "scribe sink-top to wall back", ("sink-top",), check=("the gap at the back",)),
    )
    told = report(replace(sink_top(), way=(goes, stuck)), framed_face())
    marks = [mark for page in leaves(replace(told, order=day)) for mark in page.marks]
    found = " ".join(mark.text for mark in marks if isinstance(mark, Lettering))
    for words in (
        "1. strike the level line (everything is measured from it).",
        "2. scribe sink-top to wall back. Check first: the gap at the back.",
        "Stock: comes out of plank-2, 96 long.",
        "Wait for basin: measure it before you cut.",
        "Past front-door: goes, on edge, 1 3⁄16″ to spare.",
        "What would help: leave it in two; or take the door off.",
        "Lift: 21.5 kg: one person, carefully.",
    ):
        assert words in found


def test_confidence_says_what_it_covers():
    words = text(bound(report(corner_top()))).replace("\n", " ")
    assert "Worked out for 99 %: left and back edge" in words


def test_what_stops_the_work_stands_first_and_in_words():
    first = pages(bound(REPORTS["vanity"]()))[0].extract_text()
    assert "STOP before cutting" in first
    assert "300 splash-left: nothing says where wall left is; read a length to it." in first
    assert "STOP" not in text(bound(REPORTS["vanity, nothing open"]()))


def test_what_is_not_ready_shows_no_size_at_all():
    piece = replace(corner_top(), status="not ready", findings=(300,))
    words = text(bound(report(piece, findings=FINDINGS[:1])))
    assert "do not cut" in words
    assert "56" not in words
    assert "22″" not in words


def test_cautions_of_what_hangs_on_the_wall_are_printed():
    words = text(bound(report(cabinet()))).split()
    assert "Caution:" in words
    assert set(STUDS.split()) <= set(words)


def test_findings_in_doubt_are_told_before_the_pieces():
    words = text(bound(REPORTS["vanity"]()))
    doubt = words.index("601 In doubt: vanity-top: tile on area wet is still to come: 3⁄8″ thick")
    assert words.index("Before you cut") < doubt < words.index("show face up")


def test_an_asymmetric_notch_is_at_its_end_and_its_side():
    """The heavy outline on paper has its missing corner at the front and left, as the report has it."""
    piece = corner_top()
    page = next(p for p in pages(bound(report(piece))) if "show face up" in (p.extract_text() or ""))
    shapes = [s for s in (*page.curves, *page.lines) if len(s["pts"]) > 40]
    ring = max(shapes, key=lambda s: s["width"] * s["height"])["pts"]
    xs, ys = zip(*ring, strict=True)
    left, right, top, bottom = min(xs), max(xs), min(ys), max(ys)

    def corner(x, y):
        return min(math.dist((x, y), p) for p in ring) < 2.0

    assert not corner(left, bottom)
    assert corner(right, bottom)
    assert corner(right, top)
    assert corner(left, top)
    scale = (right - left) / max(abs(x) for x, _ in piece.outline)
    assert min(math.dist((right - 1368.4 * scale, bottom), p) for p in ring) < 0.5


def test_bytes_depend_on_the_report_alone():
    first, second = (bound(REPORTS["tall"]()) for _ in range(2))
    assert first == second
    assert b"CreationDate (D:2000" in first or "2000" in str(pypdf.PdfReader(io.BytesIO(first)).metadata)


def test_sixty_pieces_lay_out():
    pieces = [
        replace(piece, name=f"{piece.name}-{i}")
        for i in range(10)
        for piece in (corner_top(), filler(), tall_panel(), cabinet(), not_ready(), filler())
    ]
    told = []
    made = leaves(report(*pieces), lambda *step: told.append(step))
    assert len(made) > 15
    assert told[-1][1] == told[-1][2]
    lettered = " ".join(mark.text for page in made for mark in page.marks if isinstance(mark, Lettering))
    assert all(piece.name in lettered for piece in pieces)


def test_many_findings_go_on_over_pages():
    many = [
        Finding(302, "stops", f"wall `w{i}` was not checked", "hold a straightedge there") for i in range(90)
    ]
    content = bound(report(corner_top(), findings=many))
    assert [page for page in map(collisions, pages(content)) if page] == []
    assert "STOP before cutting (continued)" in text(content)
    assert "wall w89 was" in text(content)


def test_twenty_notches_are_drawn_so_that_they_can_be_read_and_all_are_tabled():
    made = report(combed(METRIC, 20), step=METRIC)
    *_, page = leaves(made)
    lettered = [mark.text for mark in page.marks if isinstance(mark, Lettering)]
    (scale,) = [float(one.removeprefix("scale 1:")) for one in lettered if one.startswith("scale 1:")]
    assert scale <= 20  # 2 m on 100 mm
    assert {f"stud-{number}" for number in range(1, 21)} <= set(lettered)
    corners = {words.removesuffix(" mm") for words in lettered}
    told = {one.across.text.removesuffix(" mm") for notch in combed().notches for one in notch.corners}
    assert told <= corners


def test_sixty_notches_are_tabled_even_where_the_picture_has_no_room_for_them():
    piece = combed(METRIC, 60)
    content = bound(report(piece, step=METRIC))
    words = text(content)
    assert all(f"stud-{i + 1}" in words for i in range(60))
    assert [page for page in map(collisions, pages(content)) if page] == []


def test_long_and_hostile_words_stay_on_the_page():
    name = "n" * 40
    piece = replace(corner_top(), name=name, material="m" * 80, rule="r" * 400)
    content = bound(report(piece, title="t" * 200))
    for page in pages(content):
        assert max(char["x1"] for char in page.chars) < float(page.width) - 20
    assert [page for page in map(collisions, pages(content)) if page] == []


CHANCE = ChanceReport(
    Likelihood(0.86, 0.01),
    goes_in=Likelihood(0.981, 0.004),
    close=Likelihood(0.871, 0.01),
    greatest_gap=Dimension(3.175, 3.175, "1/8 in"),
    by_numbers=Likelihood(0.743, 0.01),
    unfound=UnfoundReport(
        "r1", "length a to b", Dimension(3.2, 3.175, "1/8 in"), Dimension(1.6, 1.5875, "1/16 in")
    ),
)
NEXT = NextReading("width at the front", "`vanity-top` from 87 % to 98 %", 1.6)


def in_room(made, **room):
    return replace(made, room=replace(made.room, **room))


def test_a_piece_shows_its_chance_and_what_leaves_most_unknown_of_each_edge():
    top = corner_top()
    edges = tuple(replace(edge, driver=f"the check of {edge.edge}") for edge in top.edges)
    made = leaves(report(replace(top, chance=CHANCE, edges=edges)))
    words = " ".join(mark.text for page in made for mark in page.marks if isinstance(mark, Lettering))
    for told in (
        "Chance: goes in: 98 %; with no gap over 1⁄8″: 87 %",
        "74 % if marked out by numbers to 1⁄16″: use the DXF or a template",
        "Most unknown: left edge: the check of left; back edge: the check of back.",
        "Slips: length a to b: a slip of 1⁄8″ or less would go unnoticed, and move an edge by up to 1⁄16″.",
    ):
        assert told in words


def test_before_the_pieces_stands_what_is_suspect_what_to_read_next_and_what_to_repeat():
    doubt = Finding(402, "doubt", "one of these is wrong: length a to b; length c to d", "read them again")
    length = next(iter(dictate(["length a to b up 34 reads 60 3/8 in"], JOB)))
    made = in_room(report(corner_top(), findings=[doubt]), next_readings=(NEXT,), repeat=(length.id,))
    page = text(bound(made, survey=Survey([*JOB.records, length])))
    places = [
        page.index(told)
        for told in (
            "402 In doubt: one of these is wrong: length a to b; length c to d; read them again.",
            "Read next",
            "1. width at the front (about 2 minutes): vanity-top from 87 % to 98 %.",
            "Read again before cutting, once what is still to come is there",
            "length a to b up 34 reads 60 3⁄8″",
            "show face up",
        )
    ]
    assert places == sorted(places)
    assert "repeat one width" not in page


def test_where_nothing_is_to_be_read_one_line_says_so():
    made = in_room(report(corner_top()), enough="no further reading helps")
    words = text(bound(made)).replace("\n", " ")
    assert "Read next: nothing: no further reading helps. Before cutting, repeat one width if any" in words


def test_many_readings_to_take_and_repeat_lie_on_nothing():
    line = "straightedge back up 34 from left-back: " + ", ".join(f"{at} 0" for at in range(1, 60))
    checks = dictate([line] * 5, JOB)
    made = in_room(
        report(replace(corner_top(), chance=CHANCE)),
        next_readings=(NEXT,) * 12,
        repeat=tuple(one.id for one in checks),
    )
    content = bound(made, survey=Survey([*JOB.records, *checks]))
    assert [page for page in map(collisions, pages(content)) if page] == []


def test_a_question_needs_no_more_points():
    doubt = Finding(401, "doubt", "a length looks 1 in too small: an inch misread?", "read it again")
    assert "misread? read it again." in text(bound(report(corner_top(), findings=[doubt])))
