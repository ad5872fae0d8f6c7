"""A top between two walls is told so that it can be cut from paper: where its ends lie, not only its widths.

By hand: between straight walls an end at an angle to the back runs off by depth × tan(angle − 90°).
"""

from __future__ import annotations

import math

import pytest
from dictated import piece, report_of

BETWEEN = "top between against back up 850 thickness 30 depth 500, " + ", ".join(
    f"{side} meets {side} net gap 2" for side in ("left", "right", "back")
)
ASKEW = [(93, 87), (87, 93), (93, 93), (90, 90), (90, 135), (135, 90)]


def alcove(left: float, right: float) -> list[str]:
    """1500 between straight walls, the corners as said."""
    return f"""
job Askew in mm to 1 mm level line 1000
room place
wall left
wall back
wall right
corner left-back joins left and back nominal {left}
corner back-right joins back and right nominal {right}
length left-back to back-right up 850 reads 1500
angle left-back reads {left} reach 600 up 850
angle back-right reads {right} reach 600 up 850
straightedge back up 850 from left-back: 20 0, 250 0, 500 0, 750 0, 1000 0, 1250 0, 1480 0
straightedge left up 850 from left-back: 20 0, 200 0, 400 0, 600 0
straightedge right up 850 from back-right: 20 0, 200 0, 400 0, 600 0
""".strip().splitlines()


def told(left: float, right: float) -> dict[str, float]:
    report = report_of(BETWEEN, room=alcove(left, right))
    top = piece(report, "between")
    assert top.datum == "front edge and centre line"
    return {one.name: one.size.mm for one in top.measures} | {one.name: one.size.mm for one in top.finished}


@pytest.mark.parametrize(("left", "right"), ASKEW)
def test_each_end_is_told_from_the_centre_line(left, right):
    measures = told(left, right)
    for side, angle in (("left", left), ("right", right)):
        run = (
            measures[f"centre line to the {side} end, at the front"]
            - (measures[f"centre line to the {side} end, at the back"])
        )
        assert run == pytest.approx(measures["depth"] * math.tan(math.radians(angle - 90)), abs=1.5)


@pytest.mark.parametrize(("left", "right"), ASKEW)
@pytest.mark.parametrize("place", ["at the front", "halfway back", "at the back"])
def test_both_ends_add_up_to_the_width_there(left, right, place):
    measures = told(left, right)
    both = sum(measures[f"centre line to the {side} end, {place}"] for side in ("left", "right"))
    assert both == pytest.approx(measures[f"finished width {place}"], abs=0.01)


def test_the_width_at_the_back_is_the_width_at_the_back():
    """In front of a splayed wall a width is told where it is said to be.

    2 mm in front of the back wall it is 1502 from wall to wall; less both gaps of 2, 1498.
    """
    measures = told(90, 135)
    assert measures["finished width at the back"] == pytest.approx(1498, abs=0.5)
    front = measures["finished width at the back"] + measures["depth"]
    assert measures["finished width at the front"] == pytest.approx(front, abs=1.5)


def test_an_end_that_is_shallower_than_the_other_is_told_where_it_comes_to_its_own_corner():
    """The back wall stands 20 further out at the right: one end is shallower.

    1500 between square walls, less both gaps of 2: 1496.
    """
    flat = "20 0, 250 0, 500 0, 750 0, 1000 0, 1250 0, 1480 0"
    room = [
        line.replace(flat, "20 20, 250 20, 500 20, 750 20, 1000 18, 1250 9, 1480 0")
        for line in alcove(90, 90)
    ]
    measures = {one.name: one.size.mm for one in piece(report_of(BETWEEN, room=room), "between").measures}
    assert measures["finished width at the back"] == pytest.approx(1496, abs=1.5)


def test_a_centre_line_is_said_to_be_its_cabinets_where_the_top_runs_on_past_it():
    """A cabinet 600 wide, 50 from the left wall: its middle is at 350, that of the top at 750 of 1500."""
    box = "cabinet box width 600 height 700 depth 480 bottom 100, left meets left filler gap 50"
    ends = "left meets left net gap 2, right meets right net gap 2, back meets back scribed"
    room = [*alcove(90, 90), "lean left along 480 from left-back low 100 high 900 in 0"]
    top = piece(report_of(box, f"top lid on box thickness 30 overhang 20, {ends}", room=room), "lid")
    assert top.datum == "front edge and centre line of `box`"
    left = next(
        one.size.mm for one in top.measures if one.name == "centre line to the left end, at the front"
    )
    assert left == pytest.approx(348, abs=3)
