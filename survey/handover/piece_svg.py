"""A piece's picture as SVG, for a page of text or a mail."""

from __future__ import annotations

from typing import Literal

from survey.drawing import layout
from survey.drawing.pieces import piece_drawing
from survey.handover.piece_block import SCALES
from survey.handover.svg import to_svg
from survey.report.structs import PieceReport


def piece_svg(
    piece: PieceReport, unit: Literal["in", "mm"], area: tuple[float, float] = (190.0, 140.0)
) -> str:
    """Return the same picture as in the job book, trimmed to what is drawn.

    Parameters
    ----------
    piece : PieceReport
        A piece that is ready.
    unit : "in" or "mm"
        The job's unit; it chooses between scales.
    area : (float, float)
        Largest width and height, mm.

    Raises
    ------
    DrawingError
        The piece is not ready or does not fit the area.

    Examples
    --------
    >>> shelf = PieceReport("shelf", "top", "ready", outline=((0, 0), (600, 0), (600, 300), (0, 300)))
    >>> piece_svg(shelf, "mm").splitlines()[1]
    '<title>shelf</title>'
    """
    return to_svg(layout(piece_drawing(piece), area, scales=SCALES[unit]).trimmed(4.0))
