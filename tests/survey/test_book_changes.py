"""The job book's chapter on what changed, read back as a reader of the PDF would."""

from __future__ import annotations

import io
from functools import cache

import pytest
from msgspec.structs import replace
from pdf_reading import POINT, collisions, pages
from report_zoo import INCH, METRIC, Shop, alcove_top, cabinet, corner_top, report, sink_top, tall_panel
from test_changed_piece import wider

from survey.changes import ComparisonError
from survey.dictation import dictate
from survey.drawing import LaidOut, Role, Stroke
from survey.finding import finding
from survey.findings import fit
from survey.handover.blocks import Block
from survey.handover.book.changes import ON_SITE, changes
from survey.handover.book.content import Book
from survey.handover.book.paper import MARGIN, paged, sheet_of
from survey.handover.job_book import job_book
from survey.handover.pdf import draw, open_pdf
from survey.records import Survey
from survey.samples import sample_survey

EMPTY = Survey([])
DOUBT = finding(402, ["r1"], ["vanity-top"], what="one or the other of two long readings", do="read again")


def book_of(before, after, paper=None, surveys=(EMPTY, EMPTY)):
    return Book(surveys[1], after, sheet_of(after.unit, paper), (surveys[0], before))


def printed(book: Book) -> bytes:
    """The chapter's pages alone."""
    file = io.BytesIO()
    canvas = open_pdf(file, book.sheet.size, "what changed")
    for page in paged(changes(book), book.sheet):
        draw(
            canvas,
            LaidOut(page.at(MARGIN, book.sheet.size[1] - MARGIN - page.height), *book.sheet.size, 1, (0, 0)),
            0,
            0,
        )
        canvas.showPage()
    canvas.save()
    return file.getvalue()


def words(content: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in pages(content)).split())


def revised(made, number=42, start="77aa0b1c"):
    return replace(made, revision=number, survey_hash=start + "0" * 56)


@cache
def changed(paper="Letter") -> bytes:
    """Four pieces: one wider, one with its sink elsewhere, one gone, one new."""
    was = [corner_top(), sink_top(), tall_panel(), cabinet()]
    now = [wider(corner_top(), 25.4), wider(sink_top(), -12.7), tall_panel()]
    now.append(replace(cabinet(), name="linen", material="oak"))
    before = revised(report(*was, findings=[]), 38, "2d8c7c46")
    return printed(book_of(before, revised(report(*now, findings=[DOUBT])), paper))


INCHES = Shop(INCH)


def test_without_an_earlier_revision_there_is_no_chapter():
    assert changes(Book(EMPTY, report(corner_top()), sheet_of("in"))) == []


def test_nothing_changed_is_said_in_a_few_lines():
    same = report(corner_top(), findings=[])
    found = words(printed(book_of(revised(same, 38), revised(same, 40))))
    assert found == (
        "What changed From revision 38 (77aa0b1c) to revision 40 (77aa0b1c) "
        "Nothing that counts changed: what was handed over is right."
    )


def test_the_list_says_what_to_do_with_what_is_cut():
    found = words(changed())
    assert "From revision 38 (2d8c7c46) to revision 42 (77aa0b1c)" in found
    assert (
        "3 pieces are not right on the old paper. A new blank is needed: vanity-top, sink-top; "
        "Not asked for any more: vanity." in found
    )
    assert "it is short by up to 1″; look before you cut or set it: new finding 402" in found
    assert found.index("vanity-top: a new blank is needed") < found.index("sink-top: a new blank is needed")
    assert "402 new vanity-top: one of these is wrong" in found
    assert "linen new not on the old paper" in found
    assert "vanity not asked for any more do not cut or set it" in found


def test_sizes_are_told_from_and_to_with_the_difference():
    found = words(changed())
    assert "finished width 56 1⁄2″ 57 1⁄2″ +1″" in found
    assert "outline moved by at most 1″" in found


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_no_letter_lies_on_another_and_all_stays_inside_the_margins(paper):
    for page in pages(changed(paper)):
        assert collisions(page) == []
        things = [*page.chars, *page.lines, *page.curves, *page.rects]
        assert min(one["x0"] for one in things) * POINT >= MARGIN - 0.5
        assert max(one["x1"] for one in things) * POINT <= float(page.width) * POINT - MARGIN + 0.5
        assert max(one["bottom"] for one in things) * POINT <= float(page.height) * POINT - MARGIN + 2.0


def strokes(blocks, role):
    return [
        mark
        for block in blocks
        if isinstance(block, Block)
        for mark in block.marks
        if isinstance(mark, Stroke) and mark.role is role
    ]


def test_each_changed_outline_is_drawn_over_what_it_was():
    before = report(corner_top(), sink_top(), findings=[])
    now = report(wider(corner_top(), 25.4), wider(sink_top(), -12.7), findings=[])
    blocks = changes(book_of(before, now))
    old = [mark for mark in strokes(blocks, Role.EARLIER) if mark.closed]
    holes = len(sink_top().cut_outs)
    assert len(old) == 2 + holes
    assert {"as it was in", "revision 0 (1a2b3c4d)"} <= {
        mark.text
        for block in blocks
        if isinstance(block, Block)
        for mark in block.marks
        if hasattr(mark, "text")
    }


def test_two_pieces_share_a_page_where_they_fit():
    small = replace(alcove_top(), notches=())
    was = [replace(small, name=name) for name in ("one", "two", "three")]
    now = [wider(piece, 5.0, METRIC) for piece in was]
    found = printed(book_of(report(*was, step=METRIC, findings=[]), report(*now, step=METRIC, findings=[])))
    told = [page.extract_text() for page in pages(found)]
    (shared,) = [text for text in told if "two: a new blank is needed" in text]
    assert "three: a new blank is needed" in shared


def test_many_sizes_on_site_are_counted_and_not_all_listed():
    piece = cabinet()
    named = [(f"gap-{at}", at) for at in range(ON_SITE + 5)]

    def with_gaps(by):
        measures = tuple(
            replace(piece.measures[0], name=name, size=INCHES.size(10 * at + by)) for name, at in named
        )
        return replace(piece, measures=measures)

    found = words(printed(book_of(report(with_gaps(0)), report(with_gaps(5)))))
    assert f"gap-{ON_SITE - 1} " in found
    assert f"gap-{ON_SITE} " not in found
    assert "and 5 more on site see its page" in found


def test_a_long_table_goes_over_pages():
    piece = cabinet()
    parts = [(f"size {at}", at) for at in range(120)]

    def with_sizes(by):
        sizes = tuple(
            replace(piece.measures[0], name=name, size=INCHES.size(10 * at + by)) for name, at in parts
        )
        return replace(piece, seams=sizes)

    content = printed(book_of(report(with_sizes(0)), report(with_sizes(5))))
    assert len(pages(content)) >= 3
    found = words(content)
    assert all(f"seam size {at} " in found for at in range(120))


def test_records_are_told_as_they_were_dictated_with_the_reason():
    survey = sample_survey("corner-vanity")
    reading = next(one for one in survey.current if getattr(one, "kind_name", "") or one.note == "")
    mark = survey.named["m1"][0]
    after = survey.plus(
        *dictate([f'withdraw {mark.id} because "hung on a nail"', 'note "=ring twice"'], survey)
    )
    same = report(findings=[], title="Vanity")
    found = words(printed(book_of(same, same, surveys=(survey, after))))
    assert (
        'withdrawn mark m1 on back described "plumb line beside the mirror" (because: hung on a nail)'
        in found
    )
    assert 'added note "=ring twice"' in found
    assert reading is not None


def test_another_job_is_refused():
    one, other = (Survey(dictate([f'job "{name}" in mm to 1 mm'], Survey([]))) for name in ("a", "b"))
    with pytest.raises(ComparisonError, match="different jobs"):
        changes(book_of(report(), report(), surveys=(one, other)))


def test_hostile_words_are_set_and_stay_on_the_page():
    name = "x" * 40
    note = "\u202eturned " + "w" * 300 + "\x07"
    was = report(replace(corner_top(), name=name, rule="a", material="oak"), findings=[])
    now = report(replace(corner_top(), name=name, rule="b", material=note), findings=[])
    for page in pages(printed(book_of(was, now))):
        assert max(char["x1"] for char in page.chars) * POINT <= float(page.width) * POINT - MARGIN + 0.5
        assert collisions(page) == []


@cache
def real() -> Book:
    """A reading and a size of the corner vanity corrected."""
    survey = sample_survey("corner-vanity")
    box = survey.named["vanity"][0]
    line = "cabinet vanity on back width 43 height 24 depth 18 bottom 10, left meets left filler gap 3/4"
    after = survey.plus(*dictate([f'correct {box.id}: {line} material "birch plywood"'], survey))
    return Book(after, fit(after), sheet_of("in"), (survey, fit(survey)))


def test_the_same_book_has_the_same_chapter():
    book = real()
    content = printed(book)
    assert content == printed(Book(book.survey, book.report, book.sheet, book.before))
    assert [collisions(page) for page in pages(content)] == [[] for _ in pages(content)]
    found = words(content)
    assert f"From revision 50 ({book.before[1].survey_hash[:8]}) to revision 51" in found
    assert "vanity: to be altered or built anew" in found
    assert "vanity-top: a new blank is needed" in found
    assert "finished width 43 1⁄4″ 44 1⁄4″ +1″" in found


def test_the_chapter_stands_in_the_book():
    book = book_of(report(cabinet(), findings=[]), report(findings=[]))
    assert "cabinet: not asked for any more" not in words(job_book(replace_before(book, None)))
    assert "not asked for any more do not cut or set it" in words(job_book(book))


def replace_before(book, before):
    return Book(book.survey, book.report, book.sheet, before)
