"""The job book of the largest sample against bare reportlab calls that put the same marks on as many pages.

    python tests/benchmarks/bench_job_book.py

Budget: at most 3 times. What is more than bare: scales chosen, words and dimensions placed, tables set.
"""

import io
import math
import time

from reportlab.pdfgen.canvas import Canvas

from survey.drawing.laid_out import Lettering, Round
from survey.drawing.metrics import bundled
from survey.findings import fit
from survey.handover import blocks
from survey.handover.book.content import Book
from survey.handover.book.paper import sheet_of
from survey.handover.job_book import job_book, job_book_pages
from survey.handover.pdf import MM, font_name
from survey.samples import sample_survey

LARGEST = "sink-wall"


def bare(pages) -> None:
    """Draw every mark with one plain call each, as somebody would who knows all places beforehand."""
    canvas = Canvas(io.BytesIO(), invariant=1)
    font, em = font_name(), bundled().em
    for page in pages:
        canvas.setPageSize((page.width * MM, page.height * MM))
        for mark in page.marks:
            if isinstance(mark, Lettering):
                canvas.saveState()
                canvas.translate(mark.at[0] * MM, mark.at[1] * MM)
                canvas.rotate(math.degrees(mark.angle))
                for run in mark.runs:
                    canvas.setFont(font, run.height * em * MM)
                    canvas.drawString(run.across * MM, run.up * MM, run.text)
                canvas.restoreState()
            elif isinstance(mark, Round):
                canvas.circle(mark.centre[0] * MM, mark.centre[1] * MM, mark.radius * MM)
            else:
                path = canvas.beginPath()
                path.moveTo(mark.points[0][0] * MM, mark.points[0][1] * MM)
                for x, y in mark.points[1:]:
                    path.lineTo(x * MM, y * MM)
                canvas.drawPath(path)
        canvas.showPage()
    canvas.save()


def seconds(run) -> float:
    """Time one run, as if nothing had been set before."""
    for cached in (blocks.words, blocks._runs, blocks._reach):
        cached.cache_clear()
    start = time.perf_counter()
    run()
    return time.perf_counter() - start


def main() -> None:
    """Print the ratio."""
    survey = sample_survey(LARGEST)
    report = fit(survey)

    def book() -> Book:
        return Book(survey, report, sheet_of(report.unit))

    pages = job_book_pages(book())
    # In turn, and the best of each: so both meet the same machine.
    times = [(seconds(lambda: job_book(book())), seconds(lambda: bare(pages))) for _ in range(9)]
    ours, plain = (min(each) for each in zip(*times, strict=True))
    print(f"{len(pages)} pages: {ours:.2f} s, bare reportlab {plain:.2f} s, ratio {ours / plain:.2f}")


if __name__ == "__main__":
    main()
