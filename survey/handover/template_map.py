"""The first page of a template: how its sheets lie, and how to put them together."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from survey.drawing import Anchor, Box, LaidOut, Mark, Point, Role, Stroke, letter
from survey.drawing.metrics import bundled
from survey.drawing.paper import Paper as Sheet
from survey.handover.blocks import SMALL, line, stack, words
from survey.handover.template_shape import Template, page_words, short, spots
from survey.handover.tiling import MARGIN, OVERLAP

NOTE: Final = 2.5
"""Capital height of what to do, mm."""
MAP_ROLL: Final = 297.0
"""Height of the map's page on a roll, mm."""


def map_page(made: Template) -> LaidOut:
    """Return the first page: how the sheets lie, and how to put them together."""
    paper = made.tiling.paper
    size = (paper.width, MAP_ROLL) if paper.is_roll else made.tiling.size
    width = size[0] - 2 * MARGIN
    what = f"the {made.edge} edge, a strip" if made.edge else "the whole outline"
    count = len(made.tiling.tiles)
    sheets = f"{count} sheet{'s' if count > 1 else ''} of {paper.name}"
    scribed = any(one.allowance for one in made.piece.edges)
    last = (
        ". Solid is the finished line, dashed the blank: saw to the dashed line where there is one, fit, "
        "then plane towards the solid one."
        if scribed
        else ". Solid is the finished line."
    )
    tape = (
        f"2.  Neighbours overlap by {OVERLAP:g} mm. Cut a sheet off along its left and lower line where it "
        "says so, lay it on the line of its neighbour that names its page, crosses on crosses and letters "
        "on the same letters, and tape it."
    )
    steps = [
        "1.  Print at 100 %, not fitted to the page. On every sheet measure both scale bars with a rule.",
        tape,
        f"3.  Check with a tape: {made.far_words}. Where that is off, lay the sheets again; trust the tape.",
        f"4.  Lay it on the wood with its words readable: {made.face}{last}",
        "5.  Hold the template in its place in the room before you cut wood.",
    ]
    if count == 1:
        steps[1] = "2.  It is one sheet: nothing to tape."
    head = stack(
        [
            words(f"Template, full size: {short(made.piece.name)}", width, 5.0),
            words(f"{short(made.report.title)} · {what} · {sheets}", width, NOTE),
            *(words(step, width, NOTE) for step in steps),
        ],
        1.6,
    )
    foot = line(
        f"revision {made.report.survey_hash[:8]} · this map is not to scale",
        page_words(made, 1),
        width,
        SMALL,
    )
    room = Box(MARGIN, MARGIN + foot.height + 4.0, size[0] - MARGIN, size[1] - MARGIN - head.height - 6.0)
    marks = (
        *head.at(MARGIN, size[1] - MARGIN - head.height),
        *foot.at(MARGIN, MARGIN),
        *_map_marks(made, room),
    )
    return LaidOut(marks, *size, 1.0, (0.0, 0.0), "map")


def _map_marks(made: Template, room: Box) -> Iterator[Mark]:
    """Draw the sheets and the outline small, with page numbers, letters and the far crosses."""
    everything = [p for tile in made.tiling.tiles for p in tile.window.corners()]
    everything += [p for _, points in made.lines for p in points]
    around = Box.around(everything)
    scale = min(room.width / around.width, room.height / around.height)

    def on(p: Point) -> Point:
        return (
            room.middle[0] + scale * (p[0] - around.middle[0]),
            room.middle[1] + scale * (p[1] - around.middle[1]),
        )

    sheet = Sheet(bundled())
    for stroke in made.marks:
        if stroke.role is not Role.CENTRE:
            points = tuple(on(p) for p in stroke.points)
            sheet.marks.append(Stroke(points, stroke.role, stroke.bulges, stroke.closed))
    for _, points in made.lines:
        sheet.taken.add_path([on(p) for p in points])
    for tile in made.tiling.tiles:
        corners = [on(p) for p in tile.window.corners()]
        sheet.draw_line([*corners, corners[0]], Role.HIDDEN, "")
    texts = [(str(tile.page), tile.window, 4.0) for tile in made.tiling.tiles]
    texts += [(seam.name, seam.shared.grown(OVERLAP), 1.8) for seam in made.tiling.seams]
    for name, p in zip("PQ", made.far, strict=True):
        _draw_small_cross(sheet, on(p))
        texts.append((name, Box(*p, *p).grown(5.0 / scale), 2.2))
    for text, box, height in texts:
        _write_in(sheet, text, Box.around([on(p) for p in box.corners()]), height)
    yield from sheet.marks


def _draw_small_cross(sheet: Sheet, at: Point) -> None:
    sheet.draw_line(((at[0] - 1.2, at[1]), (at[0] + 1.2, at[1])), Role.REFERENCE, "")
    sheet.draw_line(((at[0], at[1] - 1.2), (at[0], at[1] + 1.2)), Role.REFERENCE, "")


def _write_in(sheet: Sheet, text: str, box: Box, height: float) -> None:
    """Write where a box has room nearest to its middle."""
    for size in (height, 1.8):
        for p in spots(box):
            put = letter(text, p, Anchor.MIDDLE, height=size)
            if sheet.is_free(put):
                sheet.draw_text(put)
                return
