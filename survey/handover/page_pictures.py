"""A PDF's pages as pictures (PNG), to look at without printing."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Final

DPI: Final = 110
"""Letters of 1.8 mm are 8 dots high: legible on a screen."""


def page_pictures(pdf: bytes) -> Iterator[bytes]:
    """Yield each page as PNG; the same PDF gives the same pictures.

    >>> from survey.handover.pdf import open_pdf
    >>> file = io.BytesIO()
    >>> canvas = open_pdf(file, (210, 297))
    >>> canvas.showPage(); canvas.save()
    >>> [picture[:4] for picture in page_pictures(file.getvalue())]
    [b'\\x89PNG']
    """
    import pypdfium2  # type: ignore[import-untyped]

    document = pypdfium2.PdfDocument(pdf)
    try:
        for page in document:
            picture = page.render(scale=DPI / 72).to_pil().convert("L")
            file = io.BytesIO()
            picture.save(file, "PNG", optimize=True, dpi=(DPI, DPI))
            page.close()
            yield file.getvalue()
    finally:
        document.close()


def count_pages(pdf: bytes) -> int:
    """Return how many pages a PDF has."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    try:
        return len(document)
    finally:
        document.close()
