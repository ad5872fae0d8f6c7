"""What is planed off along an edge."""

from math import radians, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitting.contact import straight_edge
from fitting.errors import BadInput
from fitting.scribe import final_reach, scribe

# Out of square across the depth, offset = d tan(delta), inches (computed, elementary geometry).
OUT_OF_SQUARE = [
    (18, 0.25, 0.0785),
    (18, 2.0, 0.6286),
    (21, 0.5, 0.1833),
    (22.5, 1.5, 0.5892),
    (25.5, 1.0, 0.4451),
]


@pytest.mark.parametrize(("depth_in", "off_deg", "offset_in"), OUT_OF_SQUARE)
@pytest.mark.parametrize("side", [1, -1], ids=["opens", "pinches"])
def test_scribe_of_a_side_is_its_out_of_square(depth_in, off_deg, offset_in, side):
    out = np.linspace(0, depth_in, 7) * 25.4
    reach = 900 + side * out * tan(radians(off_deg))
    first = final_reach(out, reach)
    cut = scribe(out, reach, first, blank_reach=reach.max())
    assert cut.deepest / 25.4 == pytest.approx(offset_in, abs=5e-5)
    assert cut.deepest_at == pytest.approx(0 if side > 0 else depth_in * 25.4)
    assert cut.shallowest == pytest.approx(0)
    assert cut.beyond.max() / 25.4 == pytest.approx(offset_in, abs=5e-5)
    assert cut.covers


def test_back_of_an_unturned_box_in_an_out_of_square_corner():
    # W 1500, D 600, corner off by 1 degree: the unturned side scribe is 10.47304 (computed, LP).
    out = np.array([0.0, 600.0])
    cut = scribe(out, 1500 + out * tan(radians(1)), 1500, 1500 + 600 * tan(radians(1)))
    assert cut.deepest == pytest.approx(10.47304, abs=5e-6)


def test_an_asymmetric_hump_is_found_at_its_end():
    cut = scribe([0, 200, 900, 1200], [560, 552, 561, 560], 552, 562)
    assert (cut.deepest, cut.deepest_at) == (10, 200)
    assert (cut.shallowest, cut.shallowest_at) == (1, 900)
    assert cut.beyond.tolist() == [8, 0, 9, 8]


def test_a_wall_that_comes_in_over_the_final_line_shows_as_negative_beyond():
    cut = scribe([0, 500], [558, 562], final_reach=560, blank_reach=565)
    assert cut.beyond.tolist() == [-2, 2]
    assert cut.covers


def test_lines_that_are_not_parallel_to_the_datum():
    cut = scribe([0, 500, 1000], [560, 563, 567], [560, 562, 564], [566, 568, 570])
    assert cut.beyond.tolist() == [0, 1, 3]
    assert cut.depth.tolist() == [6, 5, 3]


@pytest.mark.parametrize(
    ("blank_reach", "covers"), [(564, True), (564 - 1e-9, True), (563.999, False), (550, False)]
)
def test_a_short_blank_is_reported_and_not_raised(blank_reach, covers):
    cut = scribe([0, 1000], [560, 564], 560, blank_reach)
    assert cut.covers is covers
    assert cut.shallowest == pytest.approx(blank_reach - 564)


def test_one_station_is_deepest_and_shallowest():
    cut = scribe([300], [560], 560, 563)
    assert (cut.deepest, cut.shallowest, cut.deepest_at, cut.shallowest_at) == (3, 3, 300, 300)


walls = st.lists(st.tuples(st.floats(-3000, 3000), st.floats(-20, 20)), min_size=2, max_size=20)


@given(walls, st.floats(0, 20))
def test_depth_against_the_contact_line_is_gap_and_allowance(rows, left_on):
    # The finished line as the straight edge took it: what is left on, less the gap, is planed off.
    along = np.arange(len(rows)) * 50.0
    wall = np.array([deviation for _, deviation in rows])
    held = straight_edge(along, wall)
    reach, final = 600 - wall, 600 - held.line(along)
    cut = scribe(along, reach, final, final + left_on)
    np.testing.assert_allclose(cut.beyond, held.gaps, atol=1e-9)
    np.testing.assert_allclose(cut.depth, left_on - held.gaps, atol=1e-9)
    assert cut.covers == (cut.depth.min() >= -1e-6)


@given(walls, st.floats(-500, 500))
def test_moving_the_datum_or_mirroring_changes_no_depth(rows, move):
    along, reach = (np.array(column) for column in zip(*rows, strict=True))
    cut = scribe(along, reach, 30, 40)
    moved = scribe(along, reach + move, 30 + move, 40 + move)
    mirrored = scribe(-along, reach, 30, 40)
    np.testing.assert_allclose(moved.depth, cut.depth, atol=1e-9)
    assert mirrored.depth.tolist() == cut.depth.tolist()
    assert mirrored.deepest_at == -cut.deepest_at


@pytest.mark.parametrize(
    ("numbers", "said"),
    [
        (([0, 1], [560], 560, 562), "one reach for each station, got 1 for 2"),
        (([0, 1], [560, np.nan], 560, 562), "reach: expected finite numbers, got nan at station 1"),
        (([0, np.inf], [560, 561], 560, 562), "stations: expected finite numbers"),
        (([0, 1], [560, 561], np.nan, 562), "final_reach: expected finite"),
        (
            ([0, 1], [560, 561], 560, [562, 563, 564]),
            "blank_reach: expected one number or 2, one a station, got 3",
        ),
        (([], [], 560, 562), "stations: expected a list of one number or more"),
        (([0, 1], [560, 561], 560, "22 1/4"), "blank_reach: expected numbers in mm"),
    ],
)
def test_bad_numbers_are_refused(numbers, said):
    with pytest.raises(BadInput, match=said):
        scribe(*numbers)


def test_final_reach_refuses_too():
    with pytest.raises(BadInput, match="reach: expected finite"):
        final_reach([0, 1], [560, np.nan])
