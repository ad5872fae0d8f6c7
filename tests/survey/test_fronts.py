"""Doors, drawers and fillers in the report: what opens, what strikes, and what a strip must be for it.

All in an alcove 1500 wide between square, plumb walls (`dictated`), read far enough out that what is unknown
of the walls before a cabinet is small.
"""

import math

import pytest
from dictated import ALCOVE, found, piece, report_of, sizes, survey_of

from survey.app.piece_sides import sides
from survey.drawing.elevation import elevation, standing
from survey.records import Filler
from survey.walk import place_of, walk

OUT = [
    "straightedge left up 300 from left-back: 0 0, 300 0, 600 0, 900 0, 1200 0, 1500 0",
    "straightedge right up 300 from back-right: 0 0, 300 0, 600 0, 900 0, 1200 0, 1500 0",
    "three sides left-back 1500 left 800 right diagonal 1700 up 300",
    "three sides back-right 800 left 1500 right diagonal 1700 up 300",
]
ROOM = [*ALCOVE, *OUT]
WALLS = ALCOVE[:7]
CLEAR = 25.4 / 8
CUP = 1.5
SURE = 4.0
"""mm; what may be added for what is unknown of the walls, which are read that well."""


def box(left=40, width=600, depth=500):
    sizes = f"width {width} height 600 depth {depth} bottom 100"
    return f"cabinet box {sizes}, left meets left filler gap {left}, right open"


def door(name="d1", hinge="left", start=0, width=300, more="pull 35"):
    return (
        f"hinged door {name} width {width} height 580 thickness 20 of box hinge {hinge} hinges cup "
        f"from left {start} from top 10 {more}"
    )


STRIP = "filler strip left of box thickness 18"
TRIM = [
    "casing trim on left toward left width 60 projection 18",
    "position trim along 740 from left-back up 850",
]
"""A casing whose near edge is 740 from the corner, that is 240 before the face of a cabinet 500 deep; 60
wide."""


def told(*lines, room=ROOM):
    return report_of(*lines, room=list(room))


def least(report, name="strip"):
    (one,) = [
        one.size.mm for one in piece(report, name).measures if one.name.startswith("least width, to open")
    ]
    return one


def test_a_door_beside_a_wall_needs_its_pull_and_a_little():
    """Hinge edge at the box's side; opened square its pull stands 35 toward the wall, 1.5 for the hinge, 1/8
    clear.

    |  strip  |====== door, closed
    |       [=|
    |         |       opened: 35 + 1.5 + 3.2 = 39.7
    """
    report = told(box(60), STRIP, door())
    assert 35 + CUP + CLEAR <= least(report) <= 35 + CUP + CLEAR + SURE
    assert found(report, 524) == []


def test_a_strip_too_narrow_is_said_with_the_angle_and_the_least_change():
    """With 20 beside it: 20 - 1.5 - 3.2 = 15.3 = 35 sin a - s cos a at the pull's near end,
    s = 300 - 31.75 - 15.875 = 252.4: a = 180 - acos(15.3 / R) - atan(35 / s) = 85.6 degrees."""
    report = told(box(20), STRIP, door())
    (one,) = found(report, 524)
    assert {"d1", "box"} <= set(one.pieces)
    s = 300 - 31.75 - 15.875
    by_hand = math.degrees(math.acos(-(20 - CUP - CLEAR) / math.hypot(s, 35)) - math.atan2(35, s))
    said = float(one.says.split("opens to ")[1].split(" degrees")[0])
    assert by_hand - 1.0 <= said <= by_hand
    more = float(one.do.split("leave ")[1].split(" mm")[0])
    assert 35 + CUP + CLEAR - 20 <= more <= 35 + CUP + CLEAR - 20 + SURE + 1
    # The least change mends it, and no less does.
    assert found(told(box(20 + math.ceil(more)), STRIP, door()), 524) == []
    assert len(found(told(box(20 + math.ceil(more) - 2), STRIP, door()), 524)) == 1


def test_a_casing_on_the_side_wall_counts_only_where_the_door_gets_to():
    """The casing, 18 out of the wall, is from 240 to 300 before the face. A door of 300, its pin 20 before
    the face, has its pull from 272 to 304 out when it is square: 35 + 18; one of 150 ends before it."""
    room = [*ROOM, *TRIM]
    wide = told(box(80), STRIP, door(), room=room)
    assert 35 + 18 + CUP + CLEAR <= least(wide) <= 35 + 18 + CUP + CLEAR + 2 * SURE
    short = told(box(80), STRIP, door(width=150), room=room)
    assert least(short) <= 35 + CUP + CLEAR + SURE
    (one,) = found(told(box(45), STRIP, door(), room=room), 524)
    assert "`trim`" in one.says


@pytest.mark.parametrize(("sits", "expected"), [("overlay", 18), ("inset", 8)])
def test_a_drawer_slides_out_past_a_casing(sits, expected):
    """Travel 450: it comes to the casing (from 240 to 300 before the face), 18 out. Its overlay front is
    taken to reach to the box's edge less half a reveal; an inset one ends where its opening does, 20 in."""
    line = f"drawer w1 width 560 height 150 thickness 450 of box sits {sits} from left 20 from top 20 pull 30"
    report = told(box(10), STRIP, line, room=[*ROOM, *TRIM])
    lacks = 18 + CLEAR - 10 - (25.4 / 16 if sits == "overlay" else 20)
    (gap,) = [
        one.size.mm
        for one in piece(report, "w1").measures
        if one.name == "least gap at the left of `box` to open"
    ]
    assert max(0, 10 + lacks) <= gap <= max(0, 10 + lacks) + 2 * SURE
    struck = found(report, 525)
    assert bool(struck) == (lacks > 0)
    if struck:
        assert "`trim`" in struck[0].says
        assert least(report) == gap


def test_a_front_put_down_for_itself_says_how_wide_a_drawers_is():
    """Its front begins 30 in from the box's side, so 10 + 30 off the wall: it passes a casing of 18."""
    line = "drawer w1 width 500 height 150 thickness 450 of box sits overlay from left 50 from top 20"
    front = "false front n1 width 540 height 190 thickness 20 of box sits overlay from left 30 from top 0"
    room = [*ROOM, *TRIM]
    assert len(found(told(box(10), STRIP, line, room=room), 525)) == 1  # else it may reach 1 1/2 in further
    assert found(told(box(10), STRIP, line, front, room=room), 525) == []


def test_a_drawer_that_stops_before_the_casing_passes_it():
    line = "drawer w1 width 560 height 150 thickness 150 of box sits overlay from left 20 from top 20"
    assert found(told(box(10), STRIP, line, room=[*ROOM, *TRIM]), 525) == []


def test_what_rolls_out_behind_a_door_must_pass_it():
    """The door hangs at the box's side, 20 thick, opened square: 20 + 3.2 in; the roll-out begins 18 in."""
    line = "drawer w1 width 264 height 150 thickness 450 of box sits inset from left {} from top 300"
    (one,) = found(told(box(60), door(width=300), line.format(18)), 526)
    assert "w1" in one.pieces
    assert "d1" in one.pieces
    assert f"{math.ceil(20 + CLEAR - 18)} mm" in one.says
    assert found(told(box(60), door(width=300), line.format(24)), 526) == []


def test_the_gaps_beside_doors_are_told_and_two_that_overlap_are_refused():
    """Doors of 298 from 1 and from 301 on a face of 600: 1 at each side, 2 between."""
    pair = door("d1", "left", 1, 298, ""), door("d2", "right", 301, 298, "")
    report = told(box(60), *pair)
    measures = sizes(piece(report, "d1").measures)
    assert measures["from its left to the cabinet's side"] == "1 mm"
    assert measures["from its right to the next front"] == "2 mm"
    # 1/8 in between and half of it at the ends: (600 - 2 * 3.175) / 2
    assert measures["width for even gaps, 3 mm by a card"] == "297 mm"
    assert found(report, 530) == []
    overlapping = told(box(60), door("d1", "left", 1, 301, ""), pair[1])
    assert {one.pieces[0] for one in found(overlapping, 530)} == {"d1", "d2"}


def test_two_doors_that_nobody_gave_a_place_hang_on_one_another_and_that_is_said_once_of_each():
    """Both are 300 wide in the middle of 600: each laps over the other by all of its 300."""
    middle = [
        door(name, hinge).replace("from left 0 ", "") for name, hinge in (("d1", "left"), ("d2", "right"))
    ]
    said = found(told(box(60), *middle), 530)
    assert sorted(one.pieces[0] for one in said) == ["d1", "d2"]
    assert all("is -300 mm" in one.says and "`from left`" in one.do for one in said)


def test_a_door_higher_than_its_cabinet_is_said_with_what_mends_it():
    """600 high, from 10 under the top a door of 595: 5 over its lower edge."""
    (one,) = found(told(box(60), door(start=1, width=298, more="").replace("height 580", "height 595")), 530)
    assert "from its bottom to the cabinet's edge of `d1` is -5 mm" in one.says
    assert one.do.startswith("make it 5 mm lower")


def test_doors_one_over_the_other_leave_a_gap():
    upper = door("d1", "left", 1, 598, "").replace("height 580", "height 280")
    lower = (
        door("d2", "left", 1, 598, "")
        .replace("height 580", "height 300")
        .replace("from top 10", "from top 293")
    )
    report = told(box(60), upper, lower)
    assert sizes(piece(report, "d1").measures)["from its bottom to the next front"] == "3 mm"
    assert found(report, 530) == []
    tight = told(box(60), upper, lower.replace("from top 293", "from top 288"))
    assert {one.pieces[0] for one in found(tight, 530)} == {"d1", "d2"}


def test_the_free_edge_of_a_door_needs_room_to_swing():
    """sqrt(298^2 + 20^2) - 298 = 0.67; with 0.5 between the doors that is lacking."""
    report = told(box(60), door("d1", "left", 1, 298, ""), door("d2", "right", 299.5, 298, ""))
    assert {one.pieces[0] for one in found(report, 530)} == {"d1", "d2"}


def test_a_door_of_no_cabinet_asks_which():
    line = door().replace(" of box", "")
    (one,) = found(told(box(), line), 306)
    assert "which cabinet `d1` hangs on" in one.says
    assert piece(told(box(), line), "d1").status == "not ready"


@pytest.mark.parametrize(
    ("gap", "number"), [(2, 527), (3.1, 527), (3.2, 528), (19, 528), (20, None), (76, None), (77, 529)]
)
def test_a_strips_width_is_judged(gap, number):
    """Less than a kerf of 1/8 in; under 3/4 in; over 3 in: common practice."""
    report = told(box(gap), STRIP)
    assert [one.number for one in report.findings if one.number in (527, 528, 529)] == (
        [number] if number else []
    )
    assert (piece(report, "strip").status == "ready") == (number != 527)


def test_the_least_change_mends_a_strip_under_a_kerf():
    (one,) = found(told(box(2), STRIP), 527)
    more = float(one.do.split("leave ")[1].split(" mm")[0])
    assert found(told(box(2 + more), STRIP), 527) == []


TALL = "cabinet box width 600 height 2240 depth 500 bottom 100, left meets left filler gap 30, right open"


def test_a_strip_on_top_closes_to_the_ceiling():
    """The ceiling is at 2400, the box's top at 2340: 60; over the box 600, and on over the strip of 30 at the
    left."""
    top = "filler lid top of box thickness 18"
    alone, both = (piece(told(TALL, *more), "lid") for more in ((top,), (top, STRIP)))
    assert sizes(alone.finished) == {"length": "600 mm", "width": "60 mm", "thickness": "18 mm"}
    assert sizes(both.finished)["length"] == "630 mm"
    assert [one.edge for one in alone.edges] == ["top"]
    assert alone.edges[0].allowance is not None
    assert min(x for x, _ in both.outline) == pytest.approx(-30, abs=0.5)
    assert alone.chance is not None
    assert alone.chance.covers.chance > 0.98


def test_a_strip_on_top_asks_for_the_ceiling():
    room = [line for line in ROOM if not line.startswith("drop ceiling")]
    report = told(TALL, "filler lid top of box thickness 18", room=room)
    assert piece(report, "lid").status == "not ready"
    assert any("where the ceiling is over `lid`" in one.says for one in found(report, 306))


PAIR = (
    "cabinet base width 600 height 800 depth 500 bottom 0, left meets left filler gap 30, right open",
    "cabinet wall-box width 600 height 700 depth 300 bottom 1400, left meets left filler gap 30, right open",
    "filler a left of base thickness 18",
)


def test_strips_that_run_on_are_cut_from_one_board_in_order():
    """800, a kerf of 3.2, 700: the second lies from 803.2 to 1503.2."""
    report = told(*PAIR, "filler b left of wall-box thickness 18 runs on from a")
    first, second = (piece(report, name) for name in "ab")
    assert "cut from one board, in this order" in first.rule
    assert sizes(first.measures)["along its board, to"] == "800 mm"
    assert sizes(second.measures)["along its board, from"] == "803 mm"
    assert sizes(second.measures)["along its board, to"] == "1503 mm"


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("filler b left of wall-box thickness 22 runs on from a", "different material or thickness"),
        ("filler b left of wall-box thickness 18 runs on from b", "in a ring"),
    ],
)
def test_strips_that_cannot_run_on_are_refused(line, why):
    report = told(*PAIR, line)
    assert any(why in one.says for one in found(report, 531))
    assert piece(report, "b").status == "not ready"


def test_the_walk_asks_for_the_ceiling_where_a_strip_goes_on_top():
    standing_box = TALL.replace(" bottom 100", "")

    def asked(*lines):
        survey = survey_of(*lines, room=WALLS)
        return [line.name for line in walk(place_of(survey), survey) if "up to the ceiling" in line.name]

    assert len(asked(standing_box, "filler lid top of box thickness 18")) == 2
    assert asked(standing_box) == []


def test_a_strip_on_top_is_drawn_between_cabinet_and_ceiling():
    drawn, _ = standing(elevation(survey_of(TALL, "filler lid top of box thickness 18", room=ROOM), "back"))
    (lid,) = [one for one in drawn if one.name == "lid"]
    assert (lid.bottom, lid.top) == (2340, 2400)
    assert lid.right - lid.left == 600


def test_neighbours_pulls_count_past_square():
    """Two boxes side by side with no wall between; the left one's pull stands 40 out beside the joint. A door
    hinged there opens square past it, and is held up by it further on."""
    near = (
        "cabinet near-1 width 400 height 600 depth 500 bottom 100, left meets left filler gap 60, right open"
    )
    far = "cabinet box width 600 height 600 depth 500 bottom 100, right meets right filler gap 430, left open"
    pulled = (
        "hinged door d2 width 396 height 580 thickness 20 of near-1 hinge left hinges cup from left 2 "
        "from top 10 pull 40"
    )
    square = told(near, far, pulled, door(start=2))
    assert found(square, 524) == []
    (one,) = found(told(near, far, pulled, door(start=2, more="opens 170")), 524)
    assert "the pull of `d2`" in one.says
    assert found(told(near, far, door(start=2, more="opens 170")), 524) == []


@pytest.mark.parametrize(("reveal", "opens"), [(1.5, True), (0.5, False)])
def test_two_doors_a_reveal_apart_open_beside_one_another(reveal, opens):
    """3 mm between two doors that hang on neighbours are enough for a linkage that comes 1.5 mm past the
    door's edge; 1 mm is not, and 0.5 are lacking."""
    near = (
        "cabinet near-1 width 400 height 600 depth 500 bottom 100, left meets left filler gap 60, right open"
    )
    other = (
        f"hinged door d2 width {400 - 2 * reveal} height 580 thickness 20 of near-1 hinge left hinges cup "
        f"from left {reveal} from top 10"
    )
    beside = "cabinet box width 600 height 600 depth 500 bottom 100, left meets near-1 net gap 0, right open"
    struck = found(told(near, beside, other, door(start=reveal, more="")), 524)
    assert not struck if opens else "strikes `d2`" in struck[0].says


@pytest.mark.parametrize(
    ("side", "says"), [("top", "scribed to the ceiling"), ("left", "scribed to wall left")]
)
def test_the_app_says_what_a_strips_edges_meet(side, says):
    survey = survey_of(TALL, f"filler lid {side} of box thickness 18", room=ROOM)
    (strip,) = survey.of(Filler)
    assert says in [one.says for one in sides(strip, survey)]
