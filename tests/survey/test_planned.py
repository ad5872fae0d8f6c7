"""Where pieces are planned along a wall: the same for the walk, for the wall's picture and for the room's.

Places worked out by hand. A left corner at 0, a wall of 3000 where it has a right corner.
"""

from __future__ import annotations

import dictated
import pytest

from survey.dictation import dictate
from survey.drawing import Polyline, Role
from survey.drawing.elevation import elevation, standing
from survey.drawing.room_view import room_drawing
from survey.records import Survey
from survey.report.make import answer
from survey.samples import sample_survey
from survey.walk import place_of
from survey.walk.stand import span_of
from survey.walk.stand import standing as planned_pieces

JOB = "job V in mm to 1 mm level line 1000"
LEFT = ("wall left", "corner left-back joins left and back")
RIGHT = ("wall right", "corner back-right joins back and right")
SIZE = "height 700 depth 500"
READ = "length left-back to back-right up 900 reads 3000"
RUN = (
    f"cabinet a width 450 {SIZE}, left meets left filler gap 20, right meets b net gap 0",
    f"cabinet b width 600 {SIZE}, left meets a net gap 2, right meets c net gap 0",
    f"cabinet c width 800 {SIZE}, left meets b net gap 0, right open",
)
FROM_RIGHT = (
    f"cabinet a width 450 {SIZE}, left open, right meets b net gap 5",
    f"cabinet b width 600 {SIZE}, left meets a net gap 5, right meets right net gap 10",
)
OUT_OF_TRUE = 12.0
"""mm: more than any wall of the samples is out of true where its cabinets stand."""
PANEL = "panel end on back along 2000 from left-back shows right depth 500 thickness 20 height 900"
TOP = "top t on b thickness 30 end overhang 25, left meets left scribed, right open, back meets back net"

CASES = {
    "a run from the left": ((LEFT,), RUN, {"a": (20, 470), "b": (472, 1072), "c": (1072, 1872)}),
    "a run from the right": ((LEFT, RIGHT), FROM_RIGHT, {"a": (1935, 2385), "b": (2390, 2990)}),
    "a run that is too wide goes on over the wall": (
        (LEFT, RIGHT),
        (f"cabinet a width 2000 {SIZE}, left meets left net gap 0, right meets b net gap 0",
         f"cabinet b width 1100 {SIZE}, left meets a net gap 0, right meets right filler"),
        {"a": (0, 2000), "b": (2000, 3100)},
    ),
    "gaps larger than the wall leave no place": (
        (LEFT, RIGHT),
        (f"cabinet a width 450 {SIZE}, left meets left filler gap 2000, right meets right filler gap 1500",),
        {"a": None},
    ),
    "a run leaves its last filler what is over": (
        (LEFT, RIGHT),
        (f"cabinet a width 400 {SIZE}, left meets left filler gap 20, right meets b net gap 0",
         f"cabinet b width 500 {SIZE}, left meets a net gap 3, right meets c net",
         f"cabinet c width 500 {SIZE}, left meets b net, right meets right filler"),
        {"a": (20, 420), "b": (423, 923), "c": (923, 1423)},
    ),
    "of two gaps the larger is kept": (
        (LEFT,),
        (f"cabinet a width 450 {SIZE}, left meets left net gap 0, right meets b net gap 4",
         f"cabinet b width 600 {SIZE}, left meets a net gap 1, right meets c net gap 1",
         f"cabinet c width 800 {SIZE}, left meets b net gap 3, right open"),
        {"a": (0, 450), "b": (454, 1054), "c": (1057, 1857)},
    ),
    "a run from one that is placed": (
        (LEFT,),
        (f"cabinet a width 450 {SIZE}, left open, right meets b net gap 5",
         f"cabinet b width 600 {SIZE}, left meets a net gap 5, right open along 900 from left-back"),
        {"a": (445, 895), "b": (900, 1500)},
    ),
    "between a wall and a neighbour": (
        (LEFT,),
        (f"cabinet a width 450 {SIZE}, left meets left filler, right meets b net gap 0",
         f"cabinet b width 600 {SIZE} along 500 from left-back"),
        {"a": (50, 500), "b": (500, 1100)},
    ),
    "against a panel": (
        (LEFT,),
        (PANEL, f"cabinet a width 450 {SIZE}, left open, right meets end net gap 0"),
        {"end": (1980, 2000), "a": (1530, 1980)},
    ),
    "a top over the run": ((LEFT,), (*RUN, TOP), {"t": (0, 1097)}),
    "boxes that only name each other": (
        (LEFT,),
        (f"cabinet a width 450 {SIZE}, left open, right meets b net gap 0",
         f"cabinet b width 600 {SIZE}, left meets a net gap 0, right open"),
        {"a": None, "b": None},
    ),
    "in line with what was read": (
        (LEFT,),
        ("mark joint on back", "position joint along 1500 from left-back up 900",
         f"cabinet a width 450 {SIZE}, aim in line centre with joint off 10"),
        {"a": (1285, 1735)},
    ),
    "a neighbour at another wall is none": (
        (LEFT,),
        (f"cabinet a on left width 450 {SIZE}, left open, right meets back net gap 0",
         f"cabinet b width 600 {SIZE}, left meets a net gap 0, right open"),
        {"b": (0, 600)},
    ),
}  # fmt: skip


def survey_of(corners: tuple[tuple[str, ...], ...], lines: tuple[str, ...]) -> Survey:
    place = [JOB, "room r", "wall back", *(line for one in corners for line in one)]
    read = [READ] if len(corners) == 2 else []
    return Survey(dictate([*place, *read, *lines], Survey([])))


@pytest.mark.parametrize(("corners", "lines", "spans"), CASES.values(), ids=CASES)
def test_a_piece_stands_beside_its_neighbour_in_both_pictures(corners, lines, spans) -> None:
    survey = survey_of(corners, lines)
    stood, open_ = standing(elevation(survey, "back"))
    found = {one.name: (one.left, one.right) for one in stood}
    drawn = {
        item.record: (min(x for x, _ in item.points), max(x for x, _ in item.points))
        for item in room_drawing(survey, None).items
        if isinstance(item, Polyline) and item.role is Role.BLANK
    }
    for name, span in spans.items():
        record = survey.named[name][0].id
        if span is None:
            assert name in open_
            assert record not in drawn
        else:
            assert found[name] == pytest.approx(span)
            # Seen from above the wall runs along x, too: its left end is the plan's origin.
            # It is not drawn on into the next wall.
            seen = span if len(corners) == 1 else (span[0], min(span[1], 3000))
            assert drawn[record] == pytest.approx(seen)


def test_a_wall_is_read_behind_each_box_of_a_run_and_up_to_the_wall_it_meets() -> None:
    survey = survey_of((LEFT,), RUN)
    place = place_of(survey)
    read = {one.name: span_of(place, survey, "back", "left-back", one) for one in planned_pieces(survey)}
    assert read == {"a": (0.0, 470.0), "b": (472.0, 1072.0), "c": (1072.0, 1872.0)}


def test_counted_from_the_right_a_run_is_as_far_from_there() -> None:
    lines = tuple(line.replace("left-back", "back-right") for line in FROM_RIGHT)
    survey = survey_of((RIGHT,), lines)
    place = place_of(survey)
    read = {one.name: span_of(place, survey, "back", "back-right", one) for one in planned_pieces(survey)}
    assert read == {"a": (615.0, 1065.0), "b": (0.0, 610.0)}
    stood, _ = standing(elevation(survey, "back"))
    assert {one.name: (one.left, one.right) for one in stood} == {"a": (-1065, -615), "b": (-610, -10)}


@pytest.mark.parametrize("name", ["sink-wall", "study-niche", "corner-vanity", "chimney-breast"])
def test_cabinets_of_a_sample_are_planned_where_they_are_found_to_stand(name: str) -> None:
    """What is worked out from the readings differs by what the room is out of true, and by no more."""
    survey = sample_survey(name)
    _, context = answer(survey)
    assert context is not None
    stood, _ = standing(elevation(survey, "back"))
    at = {one.name: (one.left, one.right) for one in stood}
    boxes = {name: box for name, (box, _) in context.cabinets.items() if box.plan.wall == "back"}
    assert boxes
    for cabinet, box in boxes.items():
        # The back wall runs along the plan's x, from the same corner as the elevation.
        ends = [box.placed.frame.to_room(box.left + x, 0.0)[0] for x in (0.0, box.plan.width)]
        assert at[cabinet] == pytest.approx(ends, abs=OUT_OF_TRUE), cabinet


BOX = "height 700 depth 500 bottom 100"
RUNS = {
    "from a gap": (
        f"cabinet a width 400 {BOX}, left meets left filler gap 20",
        f"cabinet b width 500 {BOX}, left meets a net gap 3",
        f"cabinet c width 500 {BOX}, left meets b net, right meets right filler",
    ),
    "from a net end": (
        f"cabinet a width 400 {BOX}, left meets left filler, right meets b net",
        f"cabinet b width 500 {BOX}, left meets a net gap 3, right meets right net gap 5",
    ),
    "from what is placed": (
        f"cabinet a width 400 {BOX}, left meets left filler, right meets b net gap 2",
        f"cabinet b width 500 {BOX} along 700 from left-back, left meets a net",
    ),
    "of fillers alone": (
        f"cabinet a width 400 {BOX}, left meets left filler, right meets b net gap 1",
        f"cabinet b width 500 {BOX}, left meets a net gap 1",
    ),
    "amid two walls": (f"cabinet a width 1400 {BOX}, left meets left filler, right meets right filler",),
}


@pytest.mark.parametrize("lines", RUNS.values(), ids=RUNS)
def test_in_a_room_without_fault_a_run_is_planned_just_where_it_is_found_to_stand(lines) -> None:
    survey = dictated.survey_of(*lines)
    _, context = answer(survey)
    assert context is not None
    stood = {one.name: (one.left, one.right) for one in standing(elevation(survey, "back"))[0]}
    assert sorted(stood) == sorted(context.cabinets)
    for cabinet, (box, _) in context.cabinets.items():
        ends = [box.placed.frame.to_room(box.left + x, 0.0)[0] for x in (0.0, box.plan.width)]
        assert stood[cabinet] == pytest.approx(ends, abs=0.05), cabinet
