"""Where the tape lies: every line of a walk has a picture, nothing in it is mirrored."""

from __future__ import annotations

import pytest

from survey.dictation import dictate
from survey.drawing import Circle, DrawingError, LaidOut, Point, Polyline, Role, Text
from survey.drawing.reading_view import reading_view, reading_view_drawing
from survey.records import Reading, Survey, Tool
from survey.walk import place_of, walk

ALCOVE = (
    "job V in mm to 1 mm level line 1000", "room r", "wall left", "wall back", "wall right",
    "corner left and back", "corner back and right", "drain d on back",
    "cabinet box on back width 900 height 800 depth 500, left meets left filler, right meets right filler",
)  # fmt: skip
BASE = Survey(dictate(ALCOVE, Survey([])))


def drawn(said: str, opened: int = 0) -> tuple[list[tuple[Point, ...]], list[Point]]:
    """Return the tapes and the circles of a reading's picture."""
    (reading,) = dictate([said], BASE)
    assert isinstance(reading, Reading)
    items = reading_view_drawing(reading, place_of(BASE), BASE, opened).items
    tapes = [one.points for one in items if isinstance(one, Polyline) and one.role is Role.TOUCH]
    circles = [one.centre for one in items if isinstance(one, Circle)]
    return tapes, circles


@pytest.mark.parametrize("tools", ["straightedge", "laser"])
@pytest.mark.parametrize("sheet", [(30.0, 20.0), (90.0, 70.0)])
def test_every_line_of_a_walk_has_a_picture(tools: str, sheet: tuple[float, float]) -> None:
    place = place_of(BASE)
    for line in walk(place, BASE, tools):  # type: ignore[arg-type]
        picture = reading_view(line.reading, place, BASE, sheet)
        assert isinstance(picture, LaidOut)
        assert picture.width <= sheet[0] + 2.0
        assert picture.height <= sheet[1] + 2.0


def test_a_width_lies_between_the_side_walls_so_far_out() -> None:
    tapes, _ = drawn("length left at 500 from left-back to right at 500 from back-right up 850 reads 1498")
    assert tapes == [(pytest.approx((0.0, -500.0)), pytest.approx((1500.0, -500.0)))]


def test_the_open_station_is_where_it_is_counted_from() -> None:
    _, left = drawn("straightedge back up 850 from left-back: 0 0, 300 0, 1200 0", opened=1)
    _, right = drawn("straightedge back up 850 from back-right: 0 0, 300 0, 1200 0", opened=1)
    assert left == [(300.0, 0.0)]
    assert right == [(1200.0, 0.0)]


def test_a_drop_goes_down_from_the_level_line_in_front_of_the_wall() -> None:
    ((top, bottom),), _ = drawn("drop floor back along 400 from left-back out 500 reads 1000")
    assert top[0] == bottom[0] == pytest.approx(400.0 - 0.4 * 500.0)
    assert top[1] - bottom[1] == pytest.approx(1000.0)


def test_a_lean_s_arrow_comes_out_of_the_wall_at_its_top() -> None:
    ((top, tip),), _ = drawn("lean back along 100 from left-back low 100 high 850 in 2")
    assert top == (100.0, 850.0)
    assert tip[0] < top[0]
    assert tip[1] < top[1]


def test_a_thing_is_drawn_right_of_the_corner_it_is_counted_from() -> None:
    tapes, (at,) = drawn("position d along 400 from left-back up 500")
    assert at == (400.0, 500.0)
    assert ((0.0, 500.0), (400.0, 500.0)) in tapes


def test_the_left_leg_of_a_corner_lies_on_its_left_wall() -> None:
    tapes, _ = drawn("three sides left-back 400 left 300 right diagonal 500 up 850")
    (left, _, right), _ = tapes
    assert left[1] == pytest.approx(-400.0)
    assert right[0] == pytest.approx(300.0)


def test_what_has_no_place_is_said() -> None:
    reading = Tool(id="t", taken=BASE.records[0].taken, name="tape")
    with pytest.raises(DrawingError, match="no place"):
        reading_view_drawing(reading, place_of(BASE), BASE)


def test_walls_are_named() -> None:
    (reading,) = dictate(["length left-back to back-right up 850 reads 1498"], BASE)
    assert isinstance(reading, Reading)
    items = reading_view_drawing(reading, place_of(BASE), BASE).items
    assert {one.text for one in items if isinstance(one, Text)} == {"left", "back", "right"}
