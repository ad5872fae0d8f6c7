"""Face frames, drawers, fronts, stretchers and cleats in the report, worked out by hand.

The room is `dictated.ALCOVE`: 1500 mm between square corners, plumb and flat; the ceiling at 2400.
"""

from __future__ import annotations

import pytest
from dictated import ALCOVE, edge, found, numbers, piece, report_of, sizes, without

BOX = "cabinet box width 1000 height 700 depth 480 bottom 330, left meets left filler gap 50"
FRAME = "face frame ff width 1000 height 700 thickness 20 of box stile 40 rail 40 openings 150, 430"
DRAWER = (
    "drawer d width 400 height 150 thickness 450 slide clearance 13 sides 15 front thickness 20 sits inset"
)
PAIR = "cleat c width 900 height 150 thickness 20 of box angle 45 up 950"


def part(told, name):
    return next(one for one in told.parts if one.name == name)


def finished(told, name):
    return list(sizes(part(told, name).finished).values())


def test_a_face_frame_has_its_members_and_openings():
    # 1000 less two stiles of 40 leaves 920; 40 + 150 + 40 + 430 + 40 = 700.
    told = piece(report_of(BOX, FRAME), "ff")
    assert (told.kind, told.status) == ("face frame", "ready")
    assert finished(told, "left stile") == finished(told, "right stile") == ["700 mm", "40 mm", "20 mm"]
    assert finished(told, "rail") == ["920 mm", "40 mm", "20 mm"]
    assert [one.quantity for one in told.parts] == [1, 1, 3]
    measures = sizes(told.measures)
    assert (measures["opening 1, height"], measures["opening 1, from the top"]) == ("150 mm", "40 mm")
    assert (measures["opening 2, height"], measures["opening 2, from the top"]) == ("430 mm", "230 mm")
    assert sizes(told.finished) == {"width": "1000 mm", "height": "700 mm", "thickness": "20 mm"}


def test_a_stile_at_the_wall_is_left_wide_and_scribed():
    # The box is 50 off the flat wall: 40 + 50 finished, and on the blank its allowance.
    told = piece(report_of(BOX, f"{FRAME} left meets left scribed"), "ff")
    stile, allowance = part(told, "left stile"), edge(told, "left").allowance
    assert sizes(stile.finished)["width"] == "90 mm"
    assert stile.rough[1].size.cut_mm == 90 + allowance.total.cut_mm
    assert sizes(told.finished)["width"] == "1050 mm"
    assert told.blank[0].size.cut_mm == 1050 + allowance.total.cut_mm
    assert finished(told, "rail")[0] == "920 mm"
    assert told.chance.covers.chance >= 0.99
    assert told.readings
    assert min(x for x, _ in told.outline) == pytest.approx(-50, abs=0.5)


def test_between_two_walls_both_stiles_are_wide():
    # 1500 - 1000 = 500, half at each side: 40 + 250.
    box = BOX.replace(" gap 50", " , right meets right filler")
    told = piece(report_of(box, f"{FRAME} left meets left scribed, right meets right scribed"), "ff")
    assert finished(told, "left stile")[1] == finished(told, "right stile")[1] == "290 mm"
    assert {one.edge for one in told.edges} == {"left", "right"}


def test_a_stile_is_notched_over_the_baseboard():
    board = "baseboard base on left width 400 projection 12 bottom 0"
    told = piece(report_of(BOX, f"{FRAME} left meets left scribed", board), "ff")
    (notch,) = told.notches
    assert notch.around == "base"


@pytest.mark.parametrize(
    ("line", "number", "words"),
    [
        (f"{FRAME} right meets right scribed", 306, "right side of `box` meets wall `right`"),
        (f"{FRAME} left meets left net", 502, "its left stile is to be net"),
        (FRAME.replace("stile 40 ", ""), 306, "how wide the stiles of `ff` are"),
        (FRAME.replace("430", "480"), 502, "make them 50 less, or the frame 50 higher"),
        (FRAME.replace(" of box", "") + " left meets left scribed", 306, "which cabinet `ff` belongs to"),
    ],
)
def test_a_frame_that_cannot_be_made_is_refused(line, number, words):
    report = report_of(BOX, line)
    assert any(words in f"{one.says}" for one in found(report, number)), report.findings
    assert piece(report, "ff").status == "not ready"
    assert not piece(report, "ff").parts


def test_the_wall_must_have_been_read_where_a_stile_meets_it():
    room = without(ALCOVE, "lean left", "lean right")  # by widths at two heights one would tell the other
    report = report_of(BOX, f"{FRAME} left meets left scribed", room=room)
    assert piece(report, "ff").status == "not ready"
    assert 302 in numbers(report)


def test_a_drawer_is_made_from_its_opening():
    # 400 - 2 x 13 = 374 wide; 150 less 3/4 and 1/4 in leaves 124.6; front and back 374 - 2 x 15 = 344. The
    # bottom goes 7.5 less 1/32 in into each groove: 344 + 13.4 by 420 + 13.4. The inset front is 400 and 150
    # less 1/8 in at each side: 393.65 by 143.65. All rounded down: they must go in.
    told = piece(report_of(DRAWER), "d")
    assert sizes(told.finished) == {"width": "374 mm", "height": "124 mm", "depth": "450 mm"}
    assert finished(told, "side") == ["450 mm", "124 mm", "15 mm"]
    assert finished(told, "front and back") == ["344 mm", "124 mm", "15 mm"]
    assert finished(told, "bottom") == ["433 mm", "357 mm", "6 mm"]
    assert finished(told, "inset front") == ["393 mm", "143 mm", "20 mm"]
    # Cut 1/16 in over at each edge, 3.2 together, rounded up.
    assert list(sizes(part(told, "inset front").rough).values()) == ["397 mm", "147 mm", "20 mm"]
    assert "measure its opening at both ends" in part(told, "inset front").note


def test_what_a_drawer_lacks_is_said_and_nothing_guessed():
    report = report_of(DRAWER.replace("slide clearance 13 ", ""))
    (missing,) = found(report, 306)
    assert missing.says == "how much the slides of `d` take at each side is not said"
    assert piece(report, "d").status == "not ready"
    report = report_of(DRAWER.replace("sides 15 ", ""))
    assert found(report, 306)[0].says == "how thick the sides of `d` are is not said"


def test_a_slide_that_is_longer_than_its_box_and_a_box_too_deep_are_said():
    slides = 'bought rails "slides" depth 500 measured in hand'
    report = report_of(BOX, f"{DRAWER} of box slide rails", slides)
    (one,) = found(report, 562)
    assert "its box is 50 mm less deep than slide `rails` is long" in one.says
    # Inset, the front's 20 is in the box's 480: 460 clear; 470 is 10 too deep. 18 in slides (457) go in.
    report = report_of(BOX, f"{DRAWER.replace('thickness 450', 'thickness 470')} of box")
    (one,) = found(report, 562)
    assert "10 mm deeper than there is room in `box`" in one.says
    assert one.do == "make it 10 mm less deep; the longest slide that goes in is 457 mm"
    assert not found(report_of(BOX, f"{DRAWER} of box"), 562)


def test_an_inset_false_front_is_cut_over_and_trimmed_last():
    told = piece(report_of("false front f width 300 height 100 thickness 18 sits inset"), "f")
    assert sizes(told.finished) == {"width": "300 mm", "height": "100 mm", "thickness": "18 mm"}
    assert sizes(told.rough) == {"width": "304 mm", "height": "104 mm", "thickness": "18 mm"}
    assert sizes(told.measures)["width of the opening that it suits"] == "306 mm"
    before = piece(report_of("false front f width 300 height 100 thickness 18 sits overlay"), "f")
    assert before.rough == before.finished
    assert before.measures == ()


def test_a_hanging_rail_goes_between_the_sides_under_the_top():
    # 1000 - 2 x 18 = 964. The box's top at 330 + 700 = 1030, less 18: 1012, its middle 50 lower.
    rail = "stretcher s width 964 height 100 thickness 18 of box sides 18"
    report = report_of(BOX, rail)
    told = piece(report, "s")
    assert sizes(told.finished)["width"] == "964 mm"
    assert list(sizes(told.measures).values()) == ["1012 mm", "962 mm"]
    assert any("framing" in one for one in told.cautions)
    assert not found(report, 563)
    wrong = report_of(BOX, rail.replace("964", "960"))
    assert sizes(piece(wrong, "s").finished)["width"] == "964 mm"
    assert "typed 960 mm long; between the sides of `box` there are 964 mm" in found(wrong, 563)[0].says


def test_a_pair_of_cleats():
    # At 45 degrees the bevel is the thickness, 20; long faces (150 + 20 - 3.175 x 1.41421) / 2 = 82.75. The
    # point at 950: the box half stands 20 lower and ends at 930 + 82.75 = 1012.75, below the top at 1030.
    report = report_of(BOX, PAIR)
    told = piece(report, "c")
    assert finished(told, "wall half") == finished(told, "box half") == ["900 mm", "82 mm", "20 mm"]
    measures = sizes(told.measures)
    assert measures["gap behind the box"] == measures["bears in height"] == "20 mm"
    assert measures["lift to hook it on, and room to keep above"] == "20 mm"
    assert measures["height of the box half's upper edge"] == "1013 mm"
    assert any("hangs on the wall" in one for one in told.cautions)
    assert not found(report, 564)


def test_a_cleat_too_high_for_its_box_and_a_box_that_cannot_be_lifted_are_said():
    # Ends at 1000 - 20 + 82.75 = 1062.75: 32.75 above 1030.
    report = report_of(BOX, PAIR.replace("up 950", "up 1000"))
    (one,) = found(report, 564)
    assert "ends 33 mm above the top of `box`" in one.says
    # A box that ends 5 below the ceiling at 2400 is lifted 20.
    report = report_of(BOX.replace("bottom 330", "bottom 1695"), PAIR.replace("up 950", "up 2300"))
    (one,) = found(report, 564)
    assert "is lifted 20 mm to hook it on" in one.says
    assert one.do.startswith("hang it 15 mm lower") or one.do.startswith("hang it 16 mm lower")


def test_a_cleat_that_hooks_nothing_is_refused_and_one_without_an_angle_is_a_strip():
    report = report_of(PAIR.replace("45", "10").replace(" of box", ""))
    assert "15 to 60 degrees" in found(report, 502)[0].says
    told = piece(report_of("cleat c width 900 height 150 thickness 20 up 800"), "c")
    assert (told.status, told.parts) == ("as typed", ())
    assert sizes(told.measures) == {"height of its upper edge": "800 mm"}
    assert told.cautions


@pytest.mark.parametrize("line", [FRAME, DRAWER, PAIR, f"{FRAME} left meets left scribed"])
def test_what_hangs_on_a_box_that_is_not_there_is_refused(line):
    report = report_of(line if " of box" in line else f"{line} of box")
    assert report.pieces[-1].status == "not ready"
