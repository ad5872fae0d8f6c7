"""Backs sized by hand."""

import pytest

from fitting.back import LEAST_BEHIND, PLAY, BackPlan, fit_back, least_lip
from fitting.errors import BadInput

BOX = {"width": 900.0, "height": 720.0, "side": 18.0, "thickness": 6.0}


@pytest.mark.parametrize(
    ("sits", "groove", "play", "width", "height", "bearing"),
    [
        # Inside 900 - 36 = 864 by 720 - 36 = 684; at each edge the groove less the play more.
        ("in a rabbet", 9.0, 1.0, 880.0, 700.0, 8.0),
        ("in a groove", 10.0, 0.5, 883.0, 703.0, 9.5),
        ("on the back", 0.0, 1.0, 900.0, 720.0, 18.0),
        ("in a rabbet", 18.0, 0.0, 900.0, 720.0, 18.0),  # all of the side taken away
    ],
)
def test_sizes(sits, groove, play, width, height, bearing):
    back = fit_back(BackPlan(**BOX, sits=sits, groove=groove, play=play))
    assert (back.width, back.height, back.bearing) == (width, height, bearing)
    assert back.inside == (864.0, 684.0)


def test_usual_play_is_a_thirty_second_at_each_edge():
    # 3/4 in sides of a box 36 in wide, a groove 3/8 deep: 34 1/2 + 3/4 - 1/16 = 35 3/16.
    inch = 25.4
    back = fit_back(BackPlan(36 * inch, 30 * inch, 0.75 * inch, 0.25 * inch, "in a groove", 0.375 * inch))
    assert back.width / inch == pytest.approx(35 + 3 / 16)
    assert inch / 32 == PLAY


def test_the_lip_is_how_far_the_back_is_set_in():
    assert fit_back(BackPlan(**BOX, groove=9.0, set_in=12.0)).lip == 12.0
    assert fit_back(BackPlan(**BOX, groove=9.0)).lip == 0.0
    assert least_lip(6.0, kept=3.0) == 9.0


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"groove": 0.5}, "groove: expected more than the 0.79375 mm of play, got 0.5"),
        ({"groove": 18.5}, "groove: expected 18 mm or less in sides of 18, got 18.5"),
        (
            {"groove": 12.0, "sits": "in a groove"},
            r"groove: expected 11\.65 mm or less in sides of 18, got 12",
        ),
        ({"groove": 5.0, "sits": "on the back"}, "expected none for a back that lies on the box"),
        ({"set_in": 5.0, "sits": "on the back"}, "and no lip"),
        ({"side": 450.0, "groove": 9.0}, "sides: expected some that leave something between them"),
        ({"width": float("nan"), "groove": 9.0}, "width: expected a size above 0"),
        ({"groove": float("inf")}, "groove: expected 0 mm or more"),
        ({"groove": 9.0, "sits": "glued"}, "sits: expected one of"),
    ],
)
def test_bad_input(changes, says):
    with pytest.raises(BadInput, match=says):
        fit_back(BackPlan(**BOX | changes))


def test_a_groove_keeps_a_quarter_of_an_inch_of_the_side():
    deepest = 18.0 - LEAST_BEHIND
    assert fit_back(BackPlan(**BOX, sits="in a groove", groove=deepest)).bearing == deepest - PLAY
    with pytest.raises(BadInput, match="hump: expected 0 mm or more, got -1"):
        least_lip(-1.0)
