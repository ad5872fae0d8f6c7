"""Tops in the report: shaped corners, seams and cut-outs, covers, and what materials ask."""

from __future__ import annotations

import math

import pytest
from dictated import ALCOVE, COUNTER, found, numbers, piece, report_of, without

BOWL = "cut out bowl in counter rectangle width 200 depth 260 along 350 from right end from front 230"
WIDE = COUNTER.replace("width 700", "width 1000")
ON = "cabinet base width 600 height 820 depth 450, left meets left filler gap 30"
SOLID = (
    "top slab on base thickness {} overhang {} end overhang {}, left meets left net gap {}, "
    "back meets back net gap 4, worked as solid surface"
)


def seam(line, *lines):
    return found(report_of(COUNTER, BOWL, line, *lines), 538)


def test_a_rounded_corner_comes_into_the_outline_as_an_arc():
    """By hand: the right end is the datum, so the arc runs from -60, 0 to 0, 60; a quarter: tan(pi / 8)."""
    told = piece(report_of(f"{COUNTER} corner right radius 60"), "counter")
    assert len(told.bulges) == len(told.outline)
    at = next(k for k, bulge in enumerate(told.bulges) if bulge)
    assert told.outline[at] == pytest.approx((-60, 0), abs=1e-6)
    assert told.outline[(at + 1) % len(told.outline)] == pytest.approx((0, 60), abs=1e-6)
    assert told.bulges[at] == pytest.approx(math.tan(math.pi / 8), abs=1e-6)
    assert (0.0, 0.0) in told.blank_outline


def test_a_corner_at_a_wall_stays_square_and_that_is_said():
    (said,) = found(report_of(f"{COUNTER} corner left clip 60"), 536)
    assert said.says == "the left front corner of `counter` stays square: that end meets `left`"


def test_a_corner_that_does_not_fit_says_how_large_it_may_be():
    report = report_of(f"{COUNTER} corner right clip 800")
    (said,) = found(report, 537)
    assert (said.severity, piece(report, "counter").status) == ("stops", "not ready")
    most = float(said.do.removeprefix("make it ").removesuffix(" mm or less"))
    assert 450 < most <= 500
    assert piece(report_of(f"{COUNTER} corner right clip {most:.0f}"), "counter").status == "ready"


def test_a_seam_in_a_cut_out_says_how_far_to_move_it():
    """By hand: the bowl is 250 to 450 from the right end; 340 lies in it; 76.2 off: 173.8 and 526.2."""
    (said,) = seam("seam s1 in counter along 340 from right end")
    assert said.says == "the seam `s1` of `counter` falls in `bowl`"
    assert said.do == "move it 187 mm to the left or 167 mm to the right"
    assert seam("seam s1 in counter along 528 from right end") == []
    told = piece(report_of(COUNTER, BOWL, "seam s1 in counter along 528 from right end"), "counter")
    (named,) = told.seams
    assert (named.name, named.size.text) == ("seam s1, from the right end", "528 mm")


def test_a_joint_may_run_through_the_middle_of_a_cut_out_but_not_along_its_edge():
    """By hand: the bowl is 100 to 360 from the front; a joint at 110 leaves a strip of 10."""
    (said,) = seam("seam j in counter board joint from front 110")
    assert "falls 10 mm from the edge of `bowl`" in said.says
    assert seam("seam j in counter board joint from front 230") == []


def test_a_knot_counts_where_it_lies_beside_a_cut_out():
    (said,) = seam("seam k in counter knot along 240 from right end from front 200 size 30")
    assert "knot `k`" in said.says
    assert seam("seam k in counter knot along 240 from right end from front 480 size 30") == []


def test_a_seam_off_its_piece_is_refused_and_no_move_leads_off_it():
    (said,) = found(report_of(COUNTER, "seam s in counter along 720 from right end"), 502)
    assert "the seam `s` lies" in said.says
    near = "cut out hole in counter width 60 depth 60 along 80 from right end"
    (said,) = found(report_of(COUNTER, near, "seam s in counter along 90 from right end"), 538)
    assert said.do.endswith("to the left")
    assert "or" not in said.do


def test_a_cut_out_is_held_to_the_shaped_corner():
    """By hand: 60 x 60 about 90, 60 reaches 60 from the end and 30 from the front, 90 together; 200 go."""
    hole = "cut out hole in counter width 60 depth 60 along 90 from right end from front 60"
    assert 533 not in numbers(report_of(COUNTER, hole))
    assert 533 in numbers(report_of(f"{COUNTER} corner right clip 200", hole))


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("seam j in counter board joint", "how far from the front the joint `j` is"),
        ("seam s in counter along 300", "from which end, and how far, the seam `s` is"),
    ],
)
def test_what_is_not_said_of_a_seam_is_asked(line, says):
    (said,) = found(report_of(COUNTER, line), 306)
    assert says in said.says


def test_what_is_longer_than_its_stock_says_where_a_seam_would_fall():
    """By hand: 1000 and what is left on, from stock of 900: about 500 from the right end, the middle."""
    stock = "stock plank walnut board length 900 width 600 thickness 32"
    report = report_of(f"{WIDE} material walnut", stock)
    (said,) = [one for one in found(report, 602) if "longer than its stock" in one.says]
    place = float(said.do.removeprefix("a seam would best fall ").partition(" mm")[0])
    assert place == pytest.approx(503, abs=8)


def test_a_cover_that_is_too_thin_says_by_how_much():
    """By hand: the wall is hollow by 8 mm behind the top; a cover of 6 less 3.2 for the caulk hides 2.8."""
    hollow = "straightedge back up 850 from left-back: 0 0, 175 6, 350 8, 525 6, 700 0, 1100 0, 1500 0"
    room = [*without(ALCOVE, "straightedge back"), hollow]
    thin = COUNTER.replace("back meets back scribed", "back meets back covered cover 6")
    (said,) = found(report_of(thin, room=room), 539)
    opens = float(said.says.partition("opens to ")[2].partition(" mm")[0])
    more = float(said.do.removeprefix("let the cover be ").partition(" mm")[0])
    assert opens == pytest.approx(8, abs=1.5)
    assert more == pytest.approx(opens - 2.8, abs=1.1)
    thick = COUNTER.replace("back meets back scribed", f"back meets back covered cover {6 + more + 1}")
    assert found(report_of(thick, room=room), 539) == []


def test_solid_surface_wants_room_at_walls_and_little_overhang():
    """1/8 in at walls; 12 in free at 3/4 in, 6 in at 1/2 in (Architectural Woodwork Standards, quoted)."""
    report = report_of(ON, SOLID.format(19, 25, 320, 2))
    (gap,) = found(report, 540)
    assert gap.says.startswith("`slab` has 2 mm of room at its left")
    scribed = SOLID.replace("back meets back net gap 4", "back meets back scribed")
    assert "has 0 mm of room at its back" in found(report_of(ON, scribed.format(19, 25, 30, 4)), 540)[0].says
    (out,) = found(report, 541)
    assert "320 mm past its cabinet at its right: 305 mm" in out.says
    fine = report_of(ON, SOLID.format(19, 25, 300, 4))
    assert not {540, 541} & set(numbers(fine))
    thin = report_of(ON, SOLID.format(12.7, 160, 20, 4))
    assert "at its front: 152 mm" in found(thin, 541)[0].says


def test_stone_is_cut_from_a_template():
    (said,) = found(report_of(f"{COUNTER} worked as stone"), 602)
    assert said.do.startswith("have a template taken")
