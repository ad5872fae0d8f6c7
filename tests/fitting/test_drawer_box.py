"""Drawer boxes worked out by hand. The opening is 20 in wide and 6 high, the box 18 deep, 1/2 in stuff::

      |.5|<-------- 19 -------->|.5|     1/2 in for the slide at each side (common practice for side mount)
         +-+------------------+-+
         | |       18         | |        front and back between the sides: 19 - 2 x 1/2
         | |                  | |
         +-+------------------+-+

6 - 3/4 above - 1/4 below leaves 5 of height (common practice, no source).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from fitting.drawer_box import PLAY, SLIDE_LENGTHS, DrawerPlan, fit_drawer_box, longest_slide
from fitting.errors import BadInput

INCH = 25.4
PLAN = DrawerPlan(20 * INCH, 6 * INCH, 18 * INCH, 0.5 * INCH, 0.5 * INCH)


def inches(*values):
    return pytest.approx([one * INCH for one in values])


def part(box, name):
    return next(one for one in box.parts if one.name == name)


def test_the_box_and_its_walls():
    box = fit_drawer_box(PLAN)
    assert [box.width, box.height, box.depth] == inches(19, 5, 18)
    side, ends = part(box, "side"), part(box, "front and back")
    assert [side.length, side.width, side.thickness] == inches(18, 5, 0.5)
    assert [ends.length, ends.width, ends.thickness] == inches(18, 5, 0.5)
    assert (side.quantity, ends.quantity) == (2, 2)


# Front and back: 18 between the sides; let in by 1/4 at each end; run through to the outside.
@pytest.mark.parametrize(("joint", "length"), [("butt", 18), ("rabbet", 18.5), ("dovetail", 19)])
def test_the_joint_says_how_long_front_and_back_are(joint, length):
    assert part(fit_drawer_box(replace(PLAN, joint=joint)), "front and back").length == pytest.approx(
        length * INCH
    )


def test_the_bottom_goes_into_its_grooves_with_a_little_play():
    # Inside 18 by 17; grooves 1/4 deep, 1/32 of play at each end: 18 + 2 (1/4 - 1/32) = 18 7/16.
    bottom = part(fit_drawer_box(PLAN), "bottom")
    assert [bottom.length, bottom.width, bottom.thickness] == inches(17 + 7 / 16, 18 + 7 / 16, 1 / 4)
    shallow = part(fit_drawer_box(replace(PLAN, groove=0.125 * INCH)), "bottom")
    assert [shallow.length, shallow.width] == inches(17 + 3 / 16, 18 + 3 / 16)


@pytest.mark.parametrize("joint", ["butt", "rabbet", "dovetail"])
def test_assembled_it_has_its_width(joint):
    """Put together again: the ends, less what is let in, and both sides, both slides make the opening."""
    box = fit_drawer_box(replace(PLAN, joint=joint))
    let_in = {"butt": 0, "rabbet": 0.25, "dovetail": 0.5}[joint] * INCH
    across = part(box, "front and back").length - 2 * let_in + 2 * PLAN.stuff + 2 * PLAN.clearance
    assert across == pytest.approx(PLAN.width)
    inside = part(box, "front and back").length - 2 * let_in
    assert inside < part(box, "bottom").width < inside + PLAN.stuff - PLAY


@pytest.mark.parametrize(("deep", "length"), [(20, 20), (19.99, 18), (40, 28), (10, 10)])
def test_the_longest_slide_that_goes_in(deep, length):
    assert longest_slide(deep * INCH) == pytest.approx(length * INCH)


def test_what_is_kept_free_behind_counts():
    assert longest_slide(20 * INCH, behind=1.0) == pytest.approx(18 * INCH)
    assert len(SLIDE_LENGTHS) == 10


@pytest.mark.parametrize(
    ("change", "what"),
    [
        ({"width": 2 * INCH}, r"opening's width: expected more than 50\.8 mm, got 50\.8"),
        ({"height": 1 * INCH}, r"opening's height: expected more than 25\.4 mm, got 25\.4"),
        ({"depth": 1 * INCH}, r"opening's depth: expected more than 25\.4"),
        ({"clearance": -1.0}, "clearance: expected 0 mm or more"),
        ({"groove": 12.7}, "groove: expected"),
        ({"joint": "glue"}, "joint: expected one of"),
        ({"stuff": float("nan")}, "stuff: expected a size"),
    ],
)
def test_what_leaves_no_box_is_refused(change, what):
    with pytest.raises(BadInput, match=what):
        fit_drawer_box(replace(PLAN, **change))


def test_no_slide_is_short_enough():
    with pytest.raises(BadInput, match="room for a slide"):
        longest_slide(9 * INCH)
