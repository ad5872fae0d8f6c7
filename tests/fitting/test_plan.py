"""What cannot be a room is refused before anything is read."""

import math
from functools import partial

import pytest
import rooms

from fitting.errors import BadInput
from fitting.site import Corner, Covering, Feature, Plan

THREE = ("left", "back", "right")
LEFT, RIGHT = Corner("a", "left", "back"), Corner("b", "back", "right")
FOUR = (*THREE, "front")
LOOP = (LEFT, RIGHT, Corner("c", "right", "front"), Corner("d", "front", "left"))
MARK = Feature("mark", "back")


def outside(corner: Corner) -> Corner:
    return Corner(corner.name, corner.left, corner.right, 3 * math.pi / 2)


three = partial(Plan, "back", THREE)


def right(angle: float) -> Corner:
    return Corner("b", "back", "right", angle)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Plan("rear", THREE, (LEFT, RIGHT)), r"back wall `rear` is not among the walls \['left'"),
        (lambda: three((LEFT, Corner("b", "back", "rihgt"))), "`b` joins wall `rihgt`, which does not"),
        (lambda: three((LEFT, Corner("b", "right", "back"))), "both at the left end of wall `back`.*swapped"),
        (
            lambda: three((LEFT, Corner("b", "left", "right"))),
            "both at the right end of wall `left`.*swapped",
        ),
        (lambda: three((LEFT,)), r"walls \['right'\] hang on nothing.*add the corners between"),
        (
            lambda: Plan("back", FOUR, (*LOOP[:3], outside(LOOP[3]))),
            "do not close.*180 degrees, expected 360.*outside",
        ),
        (lambda: three((LEFT, RIGHT), features=(Feature("pipe", "rear"),)), "`pipe` is on wall `rear`"),
        (lambda: three((LEFT, RIGHT), (Covering("rear", 9.0, 1.0),)), "a covering` is on wall `rear`"),
        (lambda: three((LEFT, RIGHT), features=(Feature("a", "back"),)), "`a` names two things"),
        (lambda: Plan("back", ("back", "back")), "`back` names two things"),
        (lambda: three((LEFT, right(math.nan))), "corner `b`: expected an angle .* got nan"),
        (lambda: three((LEFT, right(math.pi))), "corner `b`: expected an angle .* got 180"),
        (lambda: three((LEFT, right(0.0))), "corner `b`: expected an angle .* got 0"),
        (lambda: three((LEFT, RIGHT), (Covering("back", math.nan, 1.0),)), "covering of wall `back`.* nan"),
        (
            lambda: three((LEFT, RIGHT), (Covering("back", 9.0, 0.0),)),
            "covering of wall .*sd above zero",
        ),
        (lambda: Plan("back", ("back",), origin="mark"), "origin `mark` is no feature of the back wall"),
        (
            lambda: three((LEFT, RIGHT), features=(MARK,), origin="mark"),
            "origin `mark` is not wanted.*left wall `left`",
        ),
    ],
)
def test_what_is_no_room_is_refused(make, message):
    with pytest.raises(BadInput, match=message):
        make()


def test_a_room_may_close_or_stay_open():
    assert Plan("back", FOUR, LOOP).headings["front"] == pytest.approx(-math.pi)
    assert rooms.l_shaped().plan().corner_at("far", "left").name == "jog-far"
    assert Plan("back", ("back",)).zero is None
    assert Plan("back", ("back", "right"), (RIGHT,)).zero == "right"
    assert Plan("back", ("back", "right"), (RIGHT,), features=(MARK,), origin="mark").zero is None
