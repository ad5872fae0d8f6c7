"""What is said twice, at the wrong end or past a corner is refused: it would be cut wrong and look right.

The room is `dictated.ALCOVE`: 1500 mm between square corners.
"""

from __future__ import annotations

import pytest
from dictated import ALCOVE, CASING, COUNTER, found, numbers, piece, report_of, without

BOX = "cabinet box width 1000 height 500 depth 480 bottom 330"
HELD = f"{BOX}, left meets left filler gap 50"
BACK = "back meets back scribed"
ENDS = "left meets left net, right meets right net"

TWICE = {
    "a box by its wall and along": (
        f"{BOX}, left meets left filler along 300 from left-back",
        "where it stands",
    ),
    "a top's width between walls": (f"top t up 850 thickness 30 depth 500 width 900, {ENDS}", "its width"),
    "a top's place by its wall": (f"{COUNTER} along 30 from left-back", "its place"),
    "a top's width on a box": (
        f"top t on box thickness 30 width 400, left meets left scribed, {BACK}",
        "its width",
    ),
    "a top's depth on a box": (f"top t on box thickness 30 depth 700, {BACK}", "its depth"),
    "a top's place on a box": (f"top t on box thickness 30 along 30 from left-back, {BACK}", "its place"),
}
IMPOSSIBLE = {
    "a scribed end with a gap": (
        COUNTER.replace("left scribed", "left scribed gap 50"),
        "to leave a gap there",
    ),
    "a scribed back with a gap": (COUNTER.replace(BACK, f"{BACK} gap 30"), "its back edge is to be scribed"),
    "an overhang past no box": (f"{COUNTER} overhang 20", "it lies on none"),
    "a top in its box": (f"top t on box up 840 thickness 30, {BACK}", "its underside lower than the top of"),
    "a left side at the right wall": (
        f"{BOX}, left meets right net gap 3",
        "at the right end of wall `back`",
    ),
    "a right end at the left wall": (
        COUNTER.replace("left meets left", "right meets left"),
        "at the left end",
    ),
    "a back at a side wall": (
        COUNTER.replace(BACK, "back meets left scribed"),
        "its back is to meet wall `left`",
    ),
}


@pytest.mark.parametrize(("line", "what"), TWICE.values(), ids=TWICE)
def test_what_is_said_twice_is_refused(line, what):
    report = report_of(*([HELD] if "on box" in line else []), line)
    (refusal,) = found(report, 502)
    assert f"{what} is" in refusal.says or f"{what} stands" in refusal.says or what in refusal.says
    assert "said twice" in refusal.says
    assert "leave `" in refusal.do
    assert report.pieces[-1].status == "not ready"
    assert not report.pieces[-1].finished


@pytest.mark.parametrize(("line", "why"), IMPOSSIBLE.values(), ids=IMPOSSIBLE)
def test_what_nothing_can_follow_is_refused(line, why):
    report = report_of(*([HELD] if "on box" in line else []), line)
    assert any(why in one.says for one in found(report, 502))
    assert report.pieces[-1].status == "not ready"


def test_what_rests_on_a_box_that_is_said_twice_is_not_ready():
    report = report_of(
        f"{BOX}, left meets left filler along 300 from left-back", "filler f left of box thickness 18"
    )
    assert [one.status for one in report.pieces] == ["not ready", "not ready"]


@pytest.mark.parametrize(("right", "comes_out"), [(450, None), (50, "450 mm")])
def test_of_two_gaps_the_one_that_is_not_kept_is_said(right, comes_out):
    """1500 less the box's 1000 leaves 500: the left gap of 50 is kept, so the right one is 450."""
    report = report_of(f"{HELD}, right meets right filler gap {right}")
    assert piece(report, "box").status == "ready"
    if comes_out is None:
        assert numbers(report) == []
    else:
        (said,) = found(report, 510)
        assert (
            said.says == f"the gap at the right of `box` comes out at {comes_out}, not at the 50 mm asked for"
        )


@pytest.mark.parametrize(("width", "comes_out"), [(600, None), (560, "40 mm")])
def test_what_two_walls_leave_between_two_cabinets_is_said(width, comes_out):
    """1500 less gaps of 50 at both walls, less 800 and 600, leaves nothing; with 560, 40 mm between them."""
    size = "height 500 depth 480 bottom 330"
    report = report_of(
        f"cabinet one width 800 {size}, left meets left filler gap 50, right meets two net",
        f"cabinet two width {width} {size}, left meets one net, right meets right filler gap 50",
    )
    said = [one.says for one in found(report, 510)]
    at_the_joint = f"the gap at the left of `two` comes out at {comes_out}, not at the 0 mm asked for"
    assert said == ([] if comes_out is None else [at_the_joint])


# --- Past the corner: the wall's length is not read here, as on a wall with one corner

OPEN = without(ALCOVE, "length", "straightedge back")
PAST = {
    "a check": "straightedge back up 850 from back-right: -500 0, -350 1, -200 0",
    "a lean": "lean back along -500 from back-right low 100 high 1900 in 4",
    "a drop": "drop floor back along -500 from back-right out 50 reads 1018",
}


@pytest.mark.parametrize("line", PAST.values(), ids=PAST)
def test_a_reading_past_the_corner_it_counts_from_is_off_the_wall(line):
    """A minus turns the place around: what is read 500 left of the corner would be taken 500 right of it."""
    (off,) = found(report_of(line, room=OPEN), 209)
    assert "-500 mm" in off.says
    assert "past corner `back-right`, off wall `back`" in off.says
    assert found(report_of(line.replace("-", "").replace("backright", "back-right"), room=OPEN), 209) == []


OUTSIDE = """
job Nose in mm to 1 mm level line 1000
room place
wall back masonry
wall breast masonry
corner nose joins back and breast outside
lean back along 500 from nose low 100 high 1900 in 0
straightedge back up 830 from nose: 0 0, 200 0, 400 0, 600 0, 800 0
""".strip().splitlines()


@pytest.mark.parametrize(
    "line",
    [
        "cabinet hung width 600 height 500 depth 300 bottom 330 along {} from nose",
        "top shelf up 830 thickness 30 depth 300 width 600 along {} from nose, back meets back scribed",
        "panel p along {} from nose shows left depth 99 thickness 9 height 400 bottom 9 back meets back net",
    ],
)
def test_a_piece_past_an_outside_corner_is_refused(line):
    """Beyond an outside corner there is no wall that could stop it."""
    assert [one.status for one in report_of(line.format(100), room=OUTSIDE).pieces] == ["ready"]
    report = report_of(line.format(-100), room=OUTSIDE)
    (refusal,) = found(report, 502)
    assert "100 mm past corner `nose`, off wall `back`" in refusal.says


# --- The opening that a casing stands beside


@pytest.mark.parametrize(("toward", "doubted"), [("left", False), ("right", True)])
def test_a_casing_that_opens_into_the_corner_is_doubted(toward, doubted):
    """On the left wall its corner with the back wall is at the right: 450 less 60 is no width for a door."""
    casing = CASING.replace("toward left", f"toward {toward}")
    report = report_of(casing, "position trim along 450 from left-back up 850", COUNTER)
    assert [(one.severity, one.pieces) for one in found(report, 511)] == (
        [("doubt", ("counter",))] if doubted else []
    )
