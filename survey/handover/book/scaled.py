"""A picture at the largest scale that some area takes; what was laid out once is not laid out again."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from survey.drawing import Drawing, DrawingError, layout
from survey.handover.blocks import SMALL, Block, Remembered, picture, space, stack, words
from survey.handover.piece_block import ANY_AREA, AROUND, SCALES, SMALLEST_PIECE

NOTE: Final = 0.8 + 1.5 * SMALL
"""Height of what is said of the scale below a picture, paper mm."""


@dataclass(frozen=True)
class Scaled:
    """A drawing that looks for room.

    Examples
    --------
    >>> from survey.drawing import Layer, Polyline, Role
    >>> shelf = Polyline(((0, 0), (760, 0), (760, 300), (0, 300)), closed=True,
    ...                  role=Role.FINISHED, layer=Layer.CUT)
    >>> found = Scaled(Drawing((shelf,), "shelf"), "mm")
    >>> [found.within(width, 100.0) is None for width in (180.0, 30.0)]
    [False, True]
    """

    drawing: Drawing
    unit: str
    _at: dict[float, Block | None] = field(default_factory=dict, compare=False)

    def within(self, width: float, height: float, least: float = SMALLEST_PIECE) -> Block | None:
        """Return the picture in the middle of a width, its scale below it; nothing where it has no room.

        `least` is how long its longest side is drawn at least, paper mm.
        """
        size = self.drawing.extents()
        for one_to in SCALES[self.unit]:
            if size.width / one_to > width - AROUND or size.height / one_to > height - NOTE - AROUND:
                continue
            if max(size.width, size.height) / one_to < least:
                return None
            block = self._block(one_to)
            if block is None:
                continue
            if block.width <= width and block.height + NOTE <= height:
                return self._named(block, one_to, width)
            # Its words take as much room at a smaller scale.
            words_across, words_up = block.width - size.width / one_to, block.height - size.height / one_to
            if words_across > width - least / 4 or words_up > height - NOTE - least / 4:
                return None
        return None

    def _block(self, one_to: float) -> Block | None:
        """Lay the picture out; room does not change it, only whether it is taken."""
        if one_to not in self._at:
            try:
                laid_out = layout(self.drawing, ANY_AREA, one_to, metrics=Remembered())
            except DrawingError:
                self._at[one_to] = None
            else:
                self._at[one_to] = picture(laid_out)
        return self._at[one_to]

    @staticmethod
    def _named(block: Block, one_to: float, width: float) -> Block:
        across = (width - block.width) / 2
        said = words(f"scale 1:{one_to:g}", width - across, SMALL)
        shown = stack([block, space(0.8), said])
        return Block(width, shown.height, shown.at(across, 0.0))
