"""A run on a floor that falls is levelled from the highest place under all of it: worked out by hand.

The floor falls 1 in 100 to the right, or rises so: two cabinets of 400 and 500 stand between 40 and 940.
"""

from __future__ import annotations

import pytest
from dictated import ALCOVE, piece, report_of, without

FLAT = without(ALCOVE, "drop floor")
FIRST = "cabinet one width 400 height 800 depth 500, left meets left net gap 40, right meets two net gap 0"
SECOND = "cabinet two width 500 height 800 depth 500, left meets one net gap 0, right open"
KICKED = "toe height 100 toe depth 50"


def room(fall: int) -> list[str]:
    """With a floor that falls by so many mm on 1000 to the right."""
    drops = [
        f"drop floor back along {along} from left-back out {out} reads {1000 + fall * along / 1000:g}"
        for along in (100, 1400)
        for out in (50, 550)
    ]
    return [*FLAT, *drops]


def shims(told) -> list[float]:
    """At the left and at the right, in front."""
    sizes = {one.name: one.size.mm for one in told.measures}
    return [sizes[f"shim at the {side} front"] for side in ("left", "right")]


@pytest.mark.parametrize(
    ("fall", "first", "second"),
    [(10, (0, 4), (4, 9)), (-10, (9, 5), (5, 0)), (0, (0, 0), (0, 0))],
)
def test_the_shims_of_a_run_go_on_where_its_cabinets_meet(fall, first, second):
    report = report_of(f"{FIRST} {KICKED}", f"{SECOND} {KICKED}", room=room(fall))
    assert shims(piece(report, "one")) == pytest.approx(first, abs=0.25)
    assert shims(piece(report, "two")) == pytest.approx(second, abs=0.25)


def test_the_toe_kicks_of_a_run_go_on_too():
    kicks = [
        f"toe kick k{of} width {width} height 100 thickness 18 of {of}"
        for of, width in (("one", 400), ("two", 500))
    ]
    report = report_of(f"{FIRST} {KICKED}", f"{SECOND} {KICKED}", *kicks, room=room(10))
    ends = [
        one.size.mm
        for name in ("kone", "ktwo")
        for one in piece(report, name).measures
        if one.name.startswith("height at")
    ]
    assert ends == pytest.approx([100, 104, 104, 109], abs=0.25)


def test_a_cabinet_that_hangs_beside_is_no_part_of_it():
    hung = SECOND.replace("depth 500,", "depth 500 bottom 300,")
    report = report_of(FIRST, hung, room=room(-10))
    assert shims(piece(report, "one")) == pytest.approx((4, 0), abs=0.25)
