r"""A pair of hooked (French) cleats, ripped from one board with the saw tilted; and what goes between sides.

Seen from the end, the wall at the left; t is the board's thickness, a the saw's tilt from square::

            | back of the box
      wall  |
        +---+      box half: its long face to the wall, its bevel below
        |   |
        |   |
        |  /+      the bevel bears over t tan a in height, t / cos a along the slope
        | //
        |//|
        +/ |       wall half: its long face to the room, its bevel above
        |  |
        +--+

Both halves lie in the one layer of thickness t, so the box's back hangs t off the wall.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from fitting.errors import BadInput
from fitting.piece import refuse_size
from fitting.strip import KERF

USUAL_TILT: Final = math.radians(45.0)
"""Common practice, no source: 3/4 in pine or plywood, ripped at 45 degrees."""
FLATTEST, STEEPEST = math.radians(15.0), math.radians(60.0)
"""A tilt under 15 degrees hooks nothing, and no saw that a board is ripped on tilts over 60 (judgement)."""
NARROWEST: Final = 25.4
"""mm; a half whose short face is under 1 in splits at its screws (judgement)."""


@dataclass(frozen=True)
class CleatPair:
    """Both halves of a hooked pair; mm, heights along the wall.

    Attributes
    ----------
    wall_half, box_half : float
        Height of each half's long face.
    bevel : float
        How much shorter each short face is; how high the bevels bear on one another; and how far the box is
        lifted over its place before it hooks on.
    slope : float
        Length of the bevel along its slope.
    off_cut : float
        What is left of the board, square at both edges; 0 where the halves share all of it.
    stack : float
        Height of the hooked pair, from the wall half's lower edge to the box half's upper one.
    behind : float
        The gap behind the box: its lower edge needs a strip as thick.
    """

    wall_half: float
    box_half: float
    bevel: float
    slope: float
    off_cut: float
    stack: float
    behind: float

    def box_half_top(self, up: float) -> float:
        """Return the height of the box half's upper edge; `up` is that of the wall half's point."""
        return up - self.bevel + self.box_half


def cleat_pair(
    board: float,
    thickness: float,
    tilt: float = USUAL_TILT,
    kerf: float = KERF,
    wall_half: float | None = None,
    box_half: float | None = None,
) -> CleatPair:
    """Rip a pair out of a board.

    Parameters
    ----------
    board, thickness : float
        The board's width and thickness, mm.
    tilt : float
        The saw's, from square, radians.
    kerf : float
        What the blade takes, mm, square to the cut.
    wall_half, box_half : float, optional
        Height of a long face. One alone: the other gets the rest; neither: they are alike.

    Raises
    ------
    BadInput
        A tilt that hooks nothing, a board that is too narrow: how wide it must be is said.

    Notes
    -----
    The tilted blade takes kerf / cos a of the face. On either face of the board a long face, the cut and
    a short face make up the width: long + long = board - kerf / cos a + t tan a.

    Examples
    --------
    A board 150 by 20 at 45 degrees, the saw taking 3 mm:

    >>> pair = cleat_pair(150.0, 20.0, kerf=3.0)
    >>> round(pair.wall_half, 2), round(pair.bevel, 2), round(pair.stack, 2), pair.behind
    (82.88, 20.0, 145.76, 20.0)
    """
    refuse_size("board", board)
    refuse_size("thickness", thickness)
    if not (math.isfinite(kerf) and 0 <= kerf < board):
        raise BadInput(f"kerf: expected 0 mm or more and less than the board, got {kerf}")
    if not FLATTEST <= tilt <= STEEPEST:
        raise BadInput(
            f"angle: expected the saw tilted 15 to 60 degrees from square, got {math.degrees(tilt):g}; "
            "45 is usual"
        )
    bevel, cut = thickness * math.tan(tilt), kerf / math.cos(tilt)
    both = board - cut + bevel
    off_cut = 0.0
    if wall_half is None and box_half is None:
        wall_half = box_half = both / 2
    elif wall_half is None:
        wall_half = both - float(box_half or 0.0)
    elif box_half is None:
        box_half = both - wall_half
    else:
        off_cut = max(both - wall_half - box_half - kerf, 0.0)
    least = NARROWEST + bevel
    for what, half in (("wall half", wall_half), ("box half", box_half)):
        if half is None or half < least:
            raise BadInput(
                f"{what}: expected a long face of {least:.1f} mm or more, so that its short one keeps "
                f"{NARROWEST:g}, got {half or 0.0:.1f}; a board {2 * least + cut - bevel:.1f} wide gives two"
            )
    if wall_half is None or box_half is None or wall_half + box_half > both + 1e-9:
        need = float(wall_half or 0.0) + float(box_half or 0.0) - bevel + cut
        raise BadInput(f"board: expected {need:.1f} mm or more for these halves, got {board:g}")
    stack = wall_half + box_half - bevel
    return CleatPair(wall_half, box_half, bevel, thickness / math.cos(tilt), off_cut, stack, float(thickness))


def between_sides(width: float, side_thickness: float) -> float:
    """Return the length (mm) of a stretcher or hanging rail that goes between a box's sides.

    >>> between_sides(900.0, 18.0)
    864.0
    """
    refuse_size("width", width)
    refuse_size("thickness of the sides", side_thickness)
    inside = width - 2 * side_thickness
    if inside <= 0:
        raise BadInput(
            f"expected sides that leave something between them, got {side_thickness} in {width} mm"
        )
    return inside
